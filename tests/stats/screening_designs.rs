//! Screening plans: Plackett & Burman's tables, conference matrices, and what both promise.

use proptest::prelude::*;
use wetlane_stats::design::{
    Design, DesignError, DesignKind, DesignNote, DesignRequest, PLACKETT_BURMAN_RUNS, Progress,
    RunRole, Seed, build,
};
use wetlane_stats::{ChangeEffort, Factor, FactorSpace, Scale, Value};

use crate::factor_spaces::{category, continuous};
use crate::reference::{Reference, list, numbers};
use crate::support::assert_close;

fn made(space: &FactorSpace, request: &DesignRequest) -> Design {
    build(space, request, &Progress::unwatched()).unwrap()
}

/// So many ranges.
fn ranges(n_factors: usize) -> FactorSpace {
    let factor = |i| Factor::continuous(format!("x{i}"), -1.0, 1.0).unwrap();
    FactorSpace::new((0..n_factors).map(factor).collect()).unwrap()
}

fn request(kind: DesignKind, n_runs: Option<usize>) -> DesignRequest {
    DesignRequest {
        n_runs,
        n_centre: Some(0),
        ..DesignRequest::new(kind, Seed(5))
    }
}

/// Coded settings in standard order; levels of a category count as −1 and 1.
fn table(design: &Design) -> Vec<Vec<f64>> {
    let mut runs: Vec<_> = design.runs.iter().collect();
    runs.sort_by_key(|run| run.standard_order);
    let coded = |value: &Value| match value {
        Value::Number(number) => *number,
        Value::Level(level) => 2.0 * *level as f64 - 1.0,
    };
    runs.iter()
        .map(|run| run.coded.0.iter().map(coded).collect())
        .collect()
}

/// Sum over the runs of the product of some columns.
fn moment(table: &[Vec<f64>], columns: &[usize]) -> f64 {
    let product = |row: &Vec<f64>| columns.iter().map(|c| row[*c]).product::<f64>();
    table.iter().map(product).sum()
}

#[test]
fn cyclic_plans_are_those_of_plackett_and_burman() {
    // plackett-burman.json: Plackett & Burman (1946); 12, 20, 24 and 36 read from NIST's public data files.
    let reference = Reference::open("plackett-burman");
    let rows = reference.data("first_rows");
    for n_runs in PLACKETT_BURMAN_RUNS.into_iter().filter(|n| *n != 28) {
        let printed = rows[n_runs.to_string()].as_str().unwrap();
        let plan = table(&made(
            &ranges(n_runs - 1),
            &request(DesignKind::PlackettBurman, Some(n_runs)),
        ));
        let signs = |row: &[f64]| -> String {
            row.iter()
                .map(|x| if *x > 0.0 { '+' } else { '-' })
                .collect()
        };
        assert_eq!(signs(&plan[0]), printed, "{n_runs} runs");
        assert!(plan[n_runs - 1].iter().all(|x| *x < 0.0));
        for pair in plan[..n_runs - 1].windows(2) {
            let moved: Vec<f64> = (0..n_runs - 1)
                .map(|column| pair[0][(column + n_runs - 2) % (n_runs - 1)])
                .collect();
            assert_eq!(
                pair[1], moved,
                "{n_runs} runs: each row is the one above, moved on"
            );
        }
    }
}

#[test]
fn every_plan_has_independent_main_effects_and_the_published_partial_aliases() {
    // plackett-burman.json: C′C = N·I, and the shares of a product in a main effect over the first six columns.
    let reference = Reference::open("plackett-burman");
    let printed = reference
        .expected("alias_coefficients_main_vs_2fi")
        .json()
        .clone();
    for n_runs in PLACKETT_BURMAN_RUNS {
        let n = n_runs as f64;
        let design = made(
            &ranges(n_runs - 1),
            &request(DesignKind::PlackettBurman, None),
        );
        assert_eq!(
            design.runs.len(),
            n_runs,
            "the smallest that is large enough"
        );
        let plan = table(&design);
        for a in 0..n_runs - 1 {
            assert_close(moment(&plan, &[a]), 0.0, 1e-12, "balance");
            for b in 0..a {
                assert_close(moment(&plan, &[a, b]), 0.0, 1e-12, "C′C = N·I");
            }
        }
        let Some(expected) = printed.get(n_runs.to_string()).map(numbers) else {
            continue;
        };
        let mut found: Vec<f64> = Vec::new();
        for i in 0..6 {
            for j in 0..i {
                for l in (0..n_runs - 1).filter(|l| *l != i && *l != j) {
                    let share = moment(&plan, &[i, j, l]) / n;
                    if found.iter().all(|known| (known - share).abs() > 1e-9) {
                        found.push(share);
                    }
                }
            }
        }
        found.sort_by(f64::total_cmp);
        assert_eq!(found.len(), expected.len(), "{n_runs} runs: {found:?}");
        for (found, expected) in found.iter().zip(&expected) {
            assert_close(*found, *expected, 1e-5, "plackett-burman.json");
        }
    }
}

#[test]
fn the_note_names_the_largest_share_of_a_product() {
    // Twelve runs: a third of every product (Plackett & Burman 1946; a textbook figure).
    let design = made(&ranges(5), &request(DesignKind::PlackettBurman, None));
    assert_eq!(
        design.notes,
        [DesignNote::MainEffectsPartlyAliased { largest: 1.0 / 3.0 }]
    );
}

#[test]
fn numbers_of_runs_that_are_none_are_refused_with_those_that_are() {
    let asked = |n_factors: usize, kind, n_runs| {
        build(
            &ranges(n_factors),
            &request(kind, Some(n_runs)),
            &Progress::unwatched(),
        )
        .unwrap_err()
    };
    assert_eq!(
        asked(13, DesignKind::PlackettBurman, 12),
        DesignError::RunsNotPossible {
            kind: DesignKind::PlackettBurman,
            asked: 12,
            possible: vec![20, 24, 28, 36, 44, 48]
        }
    );
    let DesignError::RunsNotPossible { possible, .. } =
        asked(6, DesignKind::DefinitiveScreening, 14)
    else {
        panic!("refused for its number of runs")
    };
    assert_eq!(possible[..4], [12, 16, 20, 24]);
    assert!(matches!(
        asked(60, DesignKind::PlackettBurman, 64),
        DesignError::TooManyFactors { limit: 47, .. }
    ));
    let two = build(
        &ranges(2),
        &request(DesignKind::DefinitiveScreening, None),
        &Progress::unwatched(),
    );
    assert!(matches!(
        two,
        Err(DesignError::TooFewFactors {
            need: 3,
            have: 2,
            ..
        })
    ));
}

#[test]
fn definitive_plans_have_the_published_properties() {
    // definitive-screening.json: Jones & Nachtsheim (2011), Xiao, Lin & Bai (2012); matrices by Paley's construction.
    let reference = Reference::open("definitive-screening");
    let properties = reference.expected("properties").json().clone();
    for order in [4, 6, 8, 10, 12, 14] {
        let asked = DesignRequest {
            n_centre: Some(1),
            ..request(DesignKind::DefinitiveScreening, Some(2 * order))
        };
        let design = made(&ranges(order), &asked);
        let plan = table(&design);
        let printed = &properties[order.to_string()];
        assert_eq!(plan.len() as u64, printed["runs"].as_u64().unwrap());
        let inner = printed["main_x_main_inner"].as_f64().unwrap();
        for a in 0..order {
            assert_close(moment(&plan, &[a, a]), inner, 1e-12, "main effects");
            for b in 0..order {
                for c in 0..order {
                    assert_close(
                        moment(&plan, &[a, b, c]),
                        0.0,
                        1e-12,
                        "clear of second order",
                    );
                }
                if a != b {
                    assert_close(moment(&plan, &[a, b]), 0.0, 1e-12, "orthogonal");
                }
            }
        }
        // Correlation of two squares: 1/3 − 1/(m − 1), Jones & Nachtsheim (2011).
        let (n, mean) = (plan.len() as f64, inner / plan.len() as f64);
        let both = moment(&plan, &[0, 0, 1, 1]) / n - mean * mean;
        let correlation = both / (mean - mean * mean);
        assert_close(
            correlation,
            1.0 / 3.0 - 1.0 / (order as f64 - 1.0),
            1e-9,
            "Jones & Nachtsheim (2011)",
        );
        let DesignNote::MainEffectsClearOfSecondOrder { squares } = design.notes[0] else {
            panic!("noted")
        };
        assert_close(squares, correlation, 1e-9, "as noted");
    }
}

#[test]
fn matrices_of_prime_fields_are_the_printed_ones() {
    // definitive-screening.json: orders whose field is a prime one, where the order of the elements is not in doubt.
    let reference = Reference::open("definitive-screening");
    for order in [4, 6, 8, 12, 14] {
        let printed: Vec<Vec<f64>> = list(&reference.data("conference")[order.to_string()])
            .iter()
            .map(numbers)
            .collect();
        let plan = table(&made(
            &ranges(order),
            &request(DesignKind::DefinitiveScreening, Some(2 * order)),
        ));
        for (row, expected) in printed.iter().enumerate() {
            assert_eq!(&plan[2 * row], expected, "order {order}, row {row}");
            let mirrored: Vec<f64> = expected.iter().map(|x| -x).collect();
            assert_eq!(plan[2 * row + 1], mirrored);
        }
    }
}

#[test]
fn two_spare_factors_are_the_usual_choice() {
    // Jones & Nachtsheim (2017): four runs more than needed, for the scatter. Six factors: order 8, 17 runs with the centre.
    let design = made(
        &ranges(6),
        &DesignRequest::new(DesignKind::DefinitiveScreening, Seed(1)),
    );
    assert_eq!(design.runs.len(), 17);
    let centres = design.runs.iter().filter(|run| run.role == RunRole::Centre);
    assert_eq!(centres.count(), 1);
}

#[test]
fn mirrored_runs_share_a_block_with_a_centre_run() {
    let asked = DesignRequest {
        n_blocks: 2,
        ..DesignRequest::new(DesignKind::DefinitiveScreening, Seed(1))
    };
    let design = made(&ranges(6), &asked);
    for block in 1..=2 {
        let of_block: Vec<_> = design
            .runs
            .iter()
            .filter(|run| run.block == Some(block))
            .collect();
        let centres = of_block.iter().filter(|run| run.role == RunRole::Centre);
        assert_eq!(centres.count(), 1);
        let rows: Vec<Vec<f64>> = of_block
            .iter()
            .map(|run| {
                let numbers = run.coded.0.iter().filter_map(|value| match value {
                    Value::Number(number) => Some(*number),
                    Value::Level(_) => None,
                });
                numbers.collect()
            })
            .collect();
        for row in &rows {
            let mirrored: Vec<f64> = row.iter().map(|x| 0.0 - x).collect();
            assert!(rows.contains(&mirrored), "{row:?}");
        }
    }
}

#[test]
fn a_factor_with_two_levels_stands_at_opposite_ends_in_the_pair_of_its_middle() {
    let mut factors: Vec<_> = (0..4)
        .map(|i| {
            continuous(
                &format!("x{i}"),
                (0.0, 1.0),
                Scale::Linear,
                None,
                ChangeEffort::Easy,
            )
        })
        .collect();
    factors.push(category("ink", &["old", "new"]));
    let space = FactorSpace::new(factors).unwrap();
    let design = made(&space, &request(DesignKind::DefinitiveScreening, None));
    let plan = table(&design);
    assert!(plan.iter().all(|row| row[4].abs() == 1.0));
    for pair in plan.chunks(2) {
        let sum: f64 = pair[0]
            .iter()
            .zip(&pair[1])
            .map(|(a, b)| (a + b).abs())
            .sum();
        assert_close(sum, 0.0, 1e-12, "mirrored in every factor");
    }
    assert!(
        design
            .notes
            .contains(&DesignNote::TwoLevelFactorsInScreening)
    );
}

proptest! {
    #[test]
    fn any_number_of_factors_is_balanced_and_independent(
        n_factors in 3_usize..40, seed in any::<u64>(), definitive in any::<bool>(),
    ) {
        let kind = if definitive {
            DesignKind::DefinitiveScreening
        } else {
            DesignKind::PlackettBurman
        };
        let asked = DesignRequest {
            n_centre: Some(0),
            ..DesignRequest::new(kind, Seed(seed))
        };
        let space = ranges(n_factors);
        let design = made(&space, &asked);
        let plan = table(&design);
        for a in 0..n_factors {
            prop_assert!(moment(&plan, &[a]).abs() < 1e-9);
            for b in 0..a {
                prop_assert!(moment(&plan, &[a, b]).abs() < 1e-9);
            }
        }
        // The same seed, the same plan.
        prop_assert_eq!(design, made(&space, &asked));
    }
}
