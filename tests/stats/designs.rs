//! What all plans share: full factorials, rounding, replicates, centre runs, blocks, set-ups, run order, and messages.

use std::collections::BTreeSet;

use proptest::prelude::*;
use wetlane_stats::design::{
    ALGORITHM_VERSION, CentrePlacement, Design, DesignError, DesignKind, DesignNote, DesignRequest,
    MAX_RUNS, OrderRule, Progress, RunRole, SearchBudget, Seed, build, nearest_settable, settable,
};
use wetlane_stats::{
    ChangeEffort, CodedPoint, Factor, FactorSpace, ModelMatrix, Scale, TermList, Value,
};

use crate::factor_spaces::{category, continuous, discrete, letters, numbers};

fn made(space: &FactorSpace, request: &DesignRequest) -> Design {
    build(space, request, &Progress::unwatched()).unwrap()
}

fn refused(space: &FactorSpace, request: &DesignRequest) -> DesignError {
    build(space, request, &Progress::unwatched()).unwrap_err()
}

fn request(kind: DesignKind) -> DesignRequest {
    DesignRequest {
        n_centre: Some(0),
        ..DesignRequest::new(kind, Seed(20))
    }
}

fn in_standard_order(design: &Design) -> Vec<Vec<f64>> {
    let mut runs: Vec<_> = design.runs.iter().collect();
    runs.sort_by_key(|run| run.standard_order);
    runs.iter().map(|run| numbers(&run.coded)).collect()
}

#[test]
fn three_factors_at_two_levels_stand_in_standard_order() {
    // Box, Hunter & Hunter (1978), Statistics for Experimenters, table 10.1: the 2^3 in standard order, the first
    // factor alternating.
    let design = made(&letters(3), &request(DesignKind::FullFactorial));
    let expected = [
        [-1.0, -1.0, -1.0],
        [1.0, -1.0, -1.0],
        [-1.0, 1.0, -1.0],
        [1.0, 1.0, -1.0],
        [-1.0, -1.0, 1.0],
        [1.0, -1.0, 1.0],
        [-1.0, 1.0, 1.0],
        [1.0, 1.0, 1.0],
    ];
    assert_eq!(in_standard_order(&design), expected.map(Vec::from));
    assert_eq!(design.algorithm_version, ALGORITHM_VERSION);
    assert_eq!(design.seed, Seed(20));
}

#[test]
fn mixed_levels_give_every_combination_once() {
    // Property (docs/methods.md, 3.1): 2 · 3 · 4 · 3 combinations, each once.
    let space = FactorSpace::new(vec![
        Factor::continuous("speed", 1.0, 5.0).unwrap(),
        Factor::continuous("gap", 50.0, 150.0).unwrap(),
        discrete("roll", &[10.0, 20.0, 40.0, 100.0]),
        category("gas", &["air", "argon", "nitrogen"]),
    ])
    .unwrap();
    let request = DesignRequest {
        n_levels: vec![None, Some(3), None, None],
        ..request(DesignKind::FullFactorial)
    };
    let design = made(&space, &request);
    let distinct: BTreeSet<Vec<u64>> = design
        .runs
        .iter()
        .map(|run| numbers(&run.coded).iter().map(|x| x.to_bits()).collect())
        .collect();
    assert_eq!(design.runs.len(), 72);
    assert_eq!(distinct.len(), 72);
    // A list keeps its own numbers: 20 of 10…100 is coded (2·20 − 110)/90 = −7/9, by hand.
    assert!(
        design
            .runs
            .iter()
            .any(|run| (numbers(&run.coded)[2] + 7.0 / 9.0).abs() < 1e-15)
    );
}

#[test]
fn too_many_runs_are_refused_and_many_are_noted() {
    // Limits of docs/methods.md, 3.1: note above 128, refuse above 100 000; the product must not overflow.
    let wide: Vec<Factor> = (0..40)
        .map(|index| {
            discrete(
                &format!("f{index}"),
                &[1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0],
            )
        })
        .collect();
    let space = FactorSpace::new(wide).unwrap();
    let error = refused(&space, &request(DesignKind::FullFactorial));
    assert_eq!(
        error,
        DesignError::TooManyRuns {
            n_runs: usize::MAX,
            limit: MAX_RUNS
        }
    );
    let error = refused(&letters(17), &request(DesignKind::FullFactorial));
    assert_eq!(
        error,
        DesignError::TooManyRuns {
            n_runs: 131_072,
            limit: MAX_RUNS
        }
    );
    let many = made(&letters(8), &request(DesignKind::FullFactorial));
    assert_eq!(many.notes, [DesignNote::ManyRuns { n_runs: 256 }]);
    let few = made(&letters(7), &request(DesignKind::FullFactorial));
    assert!(few.notes.is_empty());
    let replicated = DesignRequest {
        n_replicates: 1000,
        ..request(DesignKind::FullFactorial)
    };
    assert!(matches!(
        refused(&letters(7), &replicated),
        DesignError::TooManyRuns {
            n_runs: 128_000,
            ..
        }
    ));
}

#[test]
fn centre_runs_stand_at_each_combination_of_categories_or_at_the_first() {
    let space = FactorSpace::new(vec![
        Factor::continuous("speed", 1.0, 5.0).unwrap(),
        category("gas", &["air", "argon"]),
        category("foil", &["PET", "PEN", "paper"]),
    ])
    .unwrap();
    let each = DesignRequest {
        n_centre: Some(2),
        ..request(DesignKind::FullFactorial)
    };
    let design = made(&space, &each);
    let centres: Vec<_> = design
        .runs
        .iter()
        .filter(|run| run.role == RunRole::Centre)
        .collect();
    assert_eq!(centres.len(), 12);
    assert!(
        centres
            .iter()
            .all(|run| run.coded.0[0] == Value::Number(0.0))
    );
    assert!(
        design
            .notes
            .contains(&DesignNote::CentreRunsAtEachCombination {
                n_combinations: 6,
                n_each: 2
            })
    );
    let first = DesignRequest {
        centre_placement: CentrePlacement::FirstLevels,
        ..each
    };
    let design = made(&space, &first);
    let centres: Vec<_> = design
        .runs
        .iter()
        .filter(|run| run.role == RunRole::Centre)
        .collect();
    let expected = CodedPoint(vec![Value::Number(0.0), Value::Level(0), Value::Level(0)]);
    assert_eq!(centres.len(), 2);
    assert!(centres.iter().all(|run| run.coded == expected));
}

#[test]
fn centre_runs_of_categories_alone_are_refused() {
    let space = FactorSpace::new(vec![
        category("gas", &["air", "argon"]),
        discrete("roll", &[10.0, 20.0]),
    ])
    .unwrap();
    let asked = DesignRequest {
        n_centre: Some(1),
        ..request(DesignKind::FullFactorial)
    };
    assert_eq!(refused(&space, &asked), DesignError::NoMiddle);
    let by_default = DesignRequest::new(DesignKind::FullFactorial, Seed(1));
    assert_eq!(made(&space, &by_default).runs.len(), 4);
}

#[test]
fn factorials_have_three_centre_runs_unless_told_otherwise() {
    // docs/methods.md, 3.18: three for factorials (curvature test, pure error); common practice.
    let by_default = DesignRequest::new(DesignKind::FullFactorial, Seed(1));
    assert_eq!(made(&letters(2), &by_default).runs.len(), 4 + 3);
}

#[test]
fn replicates_repeat_the_plan_and_become_blocks() {
    let doubled = DesignRequest {
        n_replicates: 2,
        n_blocks: 2,
        n_centre: Some(3),
        ..request(DesignKind::FullFactorial)
    };
    let design = made(&letters(2), &doubled);
    assert_eq!(design.runs.len(), 2 * 4 + 3);
    assert_eq!(design.n_blocks, 2);
    for run in design.runs.iter().filter(|run| run.role == RunRole::Plan) {
        assert_eq!(run.block, Some(run.replicate));
    }
    // The three centre runs are dealt as evenly as possible.
    let centres_of = |block: usize| {
        design
            .runs
            .iter()
            .filter(|run| run.role == RunRole::Centre && run.block == Some(block))
            .count()
    };
    assert_eq!((centres_of(1), centres_of(2)), (2, 1));
    // Blocks are made one after the other.
    let blocks: Vec<_> = design.runs.iter().filter_map(|run| run.block).collect();
    assert!(blocks.is_sorted());
}

#[test]
fn numbers_of_blocks_that_do_not_divide_the_plan_are_refused() {
    let asked = DesignRequest {
        n_blocks: 3,
        ..request(DesignKind::FullFactorial)
    };
    assert_eq!(
        refused(&letters(3), &asked),
        DesignError::BlocksNotPossible {
            n_blocks: 3,
            possible: vec![1, 2, 4]
        }
    );
    let none = DesignRequest {
        n_blocks: 0,
        ..request(DesignKind::FullFactorial)
    };
    assert_eq!(refused(&letters(3), &none), DesignError::NoBlocks);
}

#[test]
fn the_largest_plans_are_made_or_refused_without_delay() {
    // 2^16 runs with a hard factor, and a number of blocks into which they do not divide; a search or a scan over all
    // pairs of runs would take minutes.
    let mut factors: Vec<Factor> = letters(15).factors().to_vec();
    factors.push(continuous(
        "oven",
        (80.0, 120.0),
        Scale::Linear,
        None,
        ChangeEffort::Hard,
    ));
    let space = FactorSpace::new(factors).unwrap();
    let design = made(&space, &request(DesignKind::FullFactorial));
    assert_eq!(design.runs.len(), 65_536);
    assert_eq!(design.runs.last().unwrap().whole_plot, Some(2));
    let in_three = DesignRequest {
        n_blocks: 3,
        ..request(DesignKind::FullFactorial)
    };
    assert!(matches!(
        refused(&space, &in_three),
        DesignError::BlocksNotPossible { n_blocks: 3, .. }
    ));
    let in_sixteen = DesignRequest {
        n_blocks: 16,
        ..in_three
    };
    assert_eq!(made(&space, &in_sixteen).n_blocks, 16);
}

#[test]
fn level_columns_of_a_balanced_plan_sum_to_zero() {
    // Property 1 of docs/methods.md, 8.3: sum-to-zero columns of categories over all combinations of levels.
    let space = FactorSpace::new(vec![
        category("gas", &["air", "argon"]),
        category("foil", &["PET", "PEN", "paper", "glass"]),
    ])
    .unwrap();
    let design = made(&space, &request(DesignKind::FullFactorial));
    let terms = TermList::interactions(&space);
    let model = ModelMatrix::new(&space, &terms, &design.points(), None).unwrap();
    for column in model.matrix().column_iter().skip(1) {
        assert!(column.sum().abs() < 1e-12);
    }
}

#[test]
fn every_wrong_request_has_its_own_message() {
    let space = letters(3);
    let nothing = FactorSpace::new(Vec::new()).unwrap();
    let full = request(DesignKind::FullFactorial);
    assert_eq!(refused(&nothing, &full), DesignError::NoFactors);
    let changed = |change: fn(&mut DesignRequest)| {
        let mut asked = full.clone();
        change(&mut asked);
        asked
    };
    assert_eq!(
        refused(&space, &changed(|r| r.n_replicates = 0)),
        DesignError::NoReplicates
    );
    assert_eq!(
        refused(&space, &changed(|r| r.n_return = Some(1))),
        DesignError::TooFewReturnRuns { n_runs: 1 }
    );
    assert!(matches!(
        refused(&space, &changed(|r| r.n_levels = vec![Some(3)])),
        DesignError::WrongLength {
            found: 1,
            expected: 3,
            ..
        }
    ));
    assert!(matches!(
        refused(&space, &changed(|r| r.n_levels = vec![Some(1), None, None])),
        DesignError::TooFewLevels { n_levels: 1, .. }
    ));
    assert!(matches!(
        refused(&space, &changed(|r| r.generators = Some("C=AB".to_owned()))),
        DesignError::OptionDoesNotApply {
            option: "generators",
            ..
        }
    ));
    let with_list = FactorSpace::new(vec![discrete("roll", &[1.0, 2.0, 3.0])]).unwrap();
    assert!(matches!(
        refused(&with_list, &changed(|r| r.n_levels = vec![Some(3)])),
        DesignError::LevelsAreGiven { .. }
    ));
}

#[test]
fn runs_with_hard_factors_form_set_ups() {
    let space = FactorSpace::new(vec![
        continuous(
            "oven",
            (80.0, 120.0),
            Scale::Linear,
            None,
            ChangeEffort::Hard,
        ),
        Factor::continuous("speed", 1.0, 5.0).unwrap(),
        Factor::continuous("gap", 50.0, 150.0).unwrap(),
    ])
    .unwrap();
    let asked = DesignRequest {
        n_replicates: 3,
        n_centre: Some(2),
        ..request(DesignKind::FullFactorial)
    };
    let design = made(&space, &asked);
    let set_ups: Vec<usize> = design
        .runs
        .iter()
        .map(|run| run.whole_plot.unwrap())
        .collect();
    // Three replicates of two oven settings, and one set-up of centre runs; numbered in the order they are made.
    assert!(set_ups.is_sorted());
    assert_eq!(set_ups.last(), Some(&7));
    for pair in design.runs.windows(2) {
        if pair[0].whole_plot == pair[1].whole_plot {
            assert_eq!(pair[0].coded.0[0], pair[1].coded.0[0]);
        }
    }
    assert!(design.notes.contains(&DesignNote::SetUps {
        n_set_ups: 7,
        n_runs: 26
    }));
    // A set-up that repeats the setting of the one before is named, and only such.
    let reset: Vec<usize> = design
        .runs
        .windows(2)
        .filter(|pair| pair[0].whole_plot != pair[1].whole_plot)
        .filter(|pair| pair[0].coded.0[0] == pair[1].coded.0[0])
        .filter_map(|pair| pair[1].whole_plot)
        .collect();
    let noted = design.notes.iter().find_map(|note| match note {
        DesignNote::SetUpsToReset { set_ups } => Some(set_ups.clone()),
        _ => None,
    });
    assert_eq!(noted.unwrap_or_default(), reset);
}

#[test]
fn return_runs_stand_first_last_and_evenly_between() {
    let asked = DesignRequest {
        n_return: Some(3),
        ..request(DesignKind::FullFactorial)
    };
    let design = made(&letters(3), &asked);
    let places: Vec<usize> = (0..design.runs.len())
        .filter(|place| design.runs[*place].role == RunRole::Return)
        .collect();
    assert_eq!(places, [0, 5, 10]);
    for place in places {
        assert_eq!(numbers(&design.runs[place].coded), [0.0, 0.0, 0.0]);
    }
    let mut order: Vec<usize> = design.runs.iter().map(|run| run.standard_order).collect();
    order.sort_unstable();
    assert_eq!(order, (1..=11).collect::<Vec<_>>());
}

#[test]
fn return_runs_do_not_split_a_set_up() {
    let space = FactorSpace::new(vec![
        continuous(
            "oven",
            (80.0, 120.0),
            Scale::Linear,
            None,
            ChangeEffort::Hard,
        ),
        Factor::continuous("speed", 1.0, 5.0).unwrap(),
    ])
    .unwrap();
    let asked = DesignRequest {
        n_return: Some(3),
        n_replicates: 3,
        ..request(DesignKind::FullFactorial)
    };
    let design = made(&space, &asked);
    let mut seen: Vec<(usize, Value)> = Vec::new();
    for run in &design.runs {
        let set_up = run.whole_plot.unwrap();
        match seen.iter().find(|(known, _)| *known == set_up) {
            Some((_, oven)) => assert_eq!(*oven, run.coded.0[0]),
            None => seen.push((set_up, run.coded.0[0])),
        }
    }
    assert!(design.runs.iter().map(|run| run.whole_plot).is_sorted());
    assert_eq!(design.runs[0].role, RunRole::Return);
    assert_eq!(design.runs.last().unwrap().role, RunRole::Return);
}

#[test]
fn run_order_is_the_one_of_the_written_out_algorithm() {
    // tests/data/statistics/run_order_golden.py: a second implementation (ChaCha8 by RFC 8439's layout with 8 rounds,
    // splitmix64 key, Lemire's bounded numbers, Fisher–Yates), run with Python 3.
    let golden = [
        (
            0_u64,
            [1, 13, 10, 3, 5, 12, 11, 4, 14, 7, 15, 8, 2, 6, 9, 16],
        ),
        (20, [5, 12, 16, 11, 10, 15, 2, 3, 8, 6, 9, 4, 7, 1, 14, 13]),
        (
            u64::MAX,
            [2, 6, 7, 13, 8, 16, 3, 5, 9, 14, 4, 1, 15, 12, 10, 11],
        ),
    ];
    for (seed, expected) in golden {
        let asked = DesignRequest {
            seed: Seed(seed),
            ..request(DesignKind::FullFactorial)
        };
        let order: Vec<usize> = made(&letters(4), &asked)
            .runs
            .iter()
            .map(|run| run.standard_order)
            .collect();
        assert_eq!(order, expected, "seed {seed}");
    }
}

#[test]
fn each_run_is_first_equally_often() {
    // Property 25 of docs/methods.md, 8.3: 10^5 seeds, chi-square test of equal frequencies; p > 1e-4. The bound is
    // the upper 1e-4 point of chi-square with 7 df, 29.88 (Abramowitz & Stegun, Handbook of Mathematical Functions,
    // table 26.8).
    let space = letters(3);
    let mut counts = [0_u32; 8];
    for seed in 0..100_000 {
        let asked = DesignRequest {
            seed: Seed(seed),
            ..request(DesignKind::FullFactorial)
        };
        counts[made(&space, &asked).runs[0].standard_order - 1] += 1;
    }
    let expected = 100_000.0 / 8.0;
    let chi_square: f64 = counts
        .iter()
        .map(|count| (f64::from(*count) - expected).powi(2) / expected)
        .sum();
    assert!(chi_square < 29.88, "{chi_square}");
}

#[test]
fn trend_balanced_orders_are_less_correlated_with_time_and_are_declared() {
    let space = letters(3);
    let worst = |design: &Design| {
        (0..3)
            .map(|factor| {
                let cross: f64 = design
                    .runs
                    .iter()
                    .enumerate()
                    .map(|(place, run)| (place as f64 - 3.5) * numbers(&run.coded)[factor])
                    .sum();
                cross.abs()
            })
            .fold(0.0, f64::max)
    };
    for seed in 0..20 {
        let shuffled = DesignRequest {
            seed: Seed(seed),
            ..request(DesignKind::FullFactorial)
        };
        let balanced = DesignRequest {
            order: OrderRule::TrendBalanced,
            ..shuffled.clone()
        };
        let (plain, chosen) = (made(&space, &shuffled), made(&space, &balanced));
        assert!(worst(&chosen) <= worst(&plain));
        assert_eq!(chosen.notes, [DesignNote::OrderRestricted]);
        assert!(plain.notes.is_empty());
    }
    let listed = DesignRequest {
        order: OrderRule::Standard,
        ..request(DesignKind::FullFactorial)
    };
    let order: Vec<usize> = made(&space, &listed)
        .runs
        .iter()
        .map(|run| run.standard_order)
        .collect();
    assert_eq!(order, [1, 2, 3, 4, 5, 6, 7, 8]);
}

#[test]
fn settings_are_rounded_to_the_dial_and_its_ends_stay() {
    // By hand: speed 0.25…1.05 in steps of 0.1. The middle 0.65 lies between 0.6 and 0.7 on the dial; the ends were
    // given as settings and stay.
    let space = FactorSpace::new(vec![
        continuous(
            "speed",
            (0.25, 1.05),
            Scale::Linear,
            Some(0.1),
            ChangeEffort::Easy,
        ),
        discrete("roll", &[10.0, 20.0, 40.0]),
        category("gas", &["air", "argon"]),
    ])
    .unwrap();
    let natural = |x: f64, roll: f64| {
        let coded = CodedPoint(vec![Value::Number(x), Value::Number(roll), Value::Level(1)]);
        let rounded = settable(&space, &coded).unwrap();
        let natural = space.decode(&rounded).unwrap();
        (natural.0[0], natural.0[1], natural.0[2])
    };
    let close = |value: Value, expected: f64| match value {
        Value::Number(u) => assert!((u - expected).abs() < 1e-14, "{u} is not {expected}"),
        Value::Level(_) => panic!("not a number"),
    };
    close(natural(-1.0, 0.0).0, 0.25);
    close(natural(1.0, 0.0).0, 1.05);
    close(natural(-0.05, 0.0).0, 0.6);
    close(natural(0.05, 0.0).0, 0.7);
    close(natural(0.97, 0.0).0, 1.05);
    close(natural(1.5, 0.0).0, 1.3);
    close(natural(0.0, 0.0).1, 20.0);
    close(natural(0.0, 0.4).1, 40.0);
    close(natural(0.0, 1.7).1, 40.0);
    assert_eq!(natural(0.0, 0.0).2, Value::Level(1));
    assert!(settable(&space, &CodedPoint(vec![Value::Number(0.0)])).is_err());
}

#[test]
fn a_step_below_one_dial_mark_on_a_log_scale_stays_positive() {
    let space = FactorSpace::new(vec![continuous(
        "dose",
        (1.0, 100.0),
        Scale::Log,
        Some(1.0),
        ChangeEffort::Easy,
    )])
    .unwrap();
    let rounded = settable(&space, &CodedPoint(vec![Value::Number(-3.0)])).unwrap();
    assert_eq!(space.decode(&rounded).unwrap().0[0], Value::Number(1.0));
}

#[test]
fn rounding_moves_to_a_feasible_neighbor() {
    // By hand: steps of 0.5 coded. (0.21, 0.2) rounds to (0, 0); with x + y ≥ 0.4 required, of the settable points that
    // pass (0.5, 0) is the nearest, a little nearer than (0, 0.5).
    let space = FactorSpace::new(vec![
        continuous(
            "x",
            (-1.0, 1.0),
            Scale::Linear,
            Some(0.5),
            ChangeEffort::Easy,
        ),
        continuous(
            "y",
            (-1.0, 1.0),
            Scale::Linear,
            Some(0.5),
            ChangeEffort::Easy,
        ),
    ])
    .unwrap();
    let point = CodedPoint(vec![Value::Number(0.21), Value::Number(0.2)]);
    let sum = |point: &CodedPoint| numbers(point).iter().sum::<f64>();
    let found = nearest_settable(&space, &point, &|point| sum(point) >= 0.4).unwrap();
    assert_eq!(numbers(&found.unwrap()), [0.5, 0.0]);
    let free = nearest_settable(&space, &point, &|_| true).unwrap();
    assert_eq!(numbers(&free.unwrap()), [0.0, 0.0]);
    let none = nearest_settable(&space, &point, &|_| false).unwrap();
    assert!(none.is_none());
}

#[test]
fn names_beyond_ascii_pass_through() {
    // Pitfall 20 of docs/methods.md, 7.4.
    let space = FactorSpace::new(vec![
        Factor::continuous("Bahngeschwindigkeit Übergröße", 1.0, 5.0).unwrap(),
        category("気体", &["空気", "アルゴン", "窒素"]),
        discrete("μ", &[1.0, 2.0, 4.0]),
    ])
    .unwrap();
    let asked = DesignRequest {
        n_centre: Some(1),
        ..DesignRequest::new(DesignKind::FullFactorial, Seed(3))
    };
    let design = made(&space, &asked);
    assert_eq!(design.runs.len(), 18 + 3);
}

proptest! {
    // Property 10 of docs/methods.md, 8.3: every plan honors levels and its stated size; property 1: coding round trip.
    #[test]
    fn every_plan_honors_levels_blocks_and_size(
        seed in any::<u64>(),
        kind in prop::sample::select(DesignKind::ALL.to_vec()),
        n_numbers in 3_usize..6,
        n_levels in 2_usize..4,
        n_replicates in 1_usize..3,
        step in prop::option::of(0.05_f64..0.4),
        is_hard in any::<bool>(),
    ) {
        let effort = if is_hard { ChangeEffort::Hard } else { ChangeEffort::Easy };
        let mut factors: Vec<Factor> = (0..n_numbers)
            .map(|index| continuous(&format!("x{index}"), (1.0, 3.0), Scale::Linear, step, if index == 0 { effort } else { ChangeEffort::Easy }))
            .collect();
        let labels: Vec<String> = (0..n_levels).map(|level| format!("level {level}")).collect();
        factors.push(Factor::categorical("gas", labels).unwrap());
        let space = FactorSpace::new(factors).unwrap();
        let mut asked = DesignRequest { n_replicates, ..DesignRequest::new(kind, Seed(seed)) };
        if kind == DesignKind::FractionalFactorial {
            asked.generators = Some("x2=x0*x1".to_owned());
        }
        if kind == DesignKind::LatinHypercube {
            asked.n_runs = Some(12);
            asked.search_budget = Some(SearchBudget { n_starts: 2, n_trials: 1_000 });
        }
        let design = made(&space, &asked);
        let mut standard: Vec<usize> = design.runs.iter().map(|run| run.standard_order).collect();
        standard.sort_unstable();
        prop_assert_eq!(standard, (1..=design.runs.len()).collect::<Vec<_>>());
        for run in &design.runs {
            prop_assert_eq!(&settable(&space, &run.coded).unwrap(), &run.coded);
            let natural = space.decode(&run.coded).unwrap();
            let back = space.code(&natural).unwrap();
            for (one, other) in numbers(&run.coded).iter().zip(numbers(&back)) {
                prop_assert!((one - other).abs() < 1e-14);
            }
            prop_assert!(matches!(run.coded.0[n_numbers], Value::Level(level) if level < n_levels));
            prop_assert_eq!(run.whole_plot.is_some(), is_hard);
        }
        let again = made(&space, &asked);
        prop_assert_eq!(again, design);
    }
}
