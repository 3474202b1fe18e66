//! Composite and Box–Behnken plans: published axial distances, run numbers and block rules.

use wetlane_stats::design::{
    AxialDistance, CubePart, Design, DesignError, DesignKind, DesignNote, DesignRequest, Progress,
    RunRole, Seed, block_imbalance, build,
};
use wetlane_stats::{ChangeEffort, Factor, FactorSpace, ModelMatrix, Scale, TermList};

use crate::factor_spaces::{category, continuous, count, discrete, letters, numbers};
use crate::reference::{Reference, list, number};
use crate::support::assert_close;

fn request(kind: DesignKind) -> DesignRequest {
    DesignRequest::new(kind, Seed(5))
}

fn made(space: &FactorSpace, request: &DesignRequest) -> Design {
    build(space, request, &Progress::unwatched()).unwrap()
}

fn n_of_role(design: &Design, role: RunRole) -> usize {
    design.runs.iter().filter(|run| run.role == role).count()
}

#[test]
fn orthogonally_blocked_composites_have_the_published_axial_distance() {
    // central-composite-alpha.json: Box & Hunter (1957), table as in Myers & Montgomery.
    let reference = Reference::open("central-composite-alpha");
    let rows = reference.table("rows");
    let printed = list(reference.expected("published_alpha").json());
    for (row, printed) in rows.iter().zip(printed) {
        let [k, n_cube, n_cube_blocks, c_f, c_a] = [0, 1, 2, 3, 4].map(|i| count(row[i]));
        let label = format!("{k} factors, {n_cube} factorial runs");
        let space = letters(k);
        let asked = DesignRequest {
            n_blocks: n_cube_blocks + 1,
            cube_part: if n_cube == 1 << k {
                CubePart::Full
            } else {
                CubePart::SmallestOfResolutionFive
            },
            ..request(DesignKind::CentralComposite)
        };
        let design = made(&space, &asked);
        let alpha = design.details.axial_distance.unwrap();
        assert_close(alpha, row[5], 1e-9, "alpha² = m (2k + c_a)/(2 (m + c_f))");
        assert!((alpha - number(printed)).abs() <= 0.0006, "{label}");
        assert_eq!(n_of_role(&design, RunRole::Plan), n_cube, "{label}");
        assert_eq!(n_of_role(&design, RunRole::Axial), 2 * k, "{label}");
        assert_eq!(
            n_of_role(&design, RunRole::Centre),
            n_cube_blocks * c_f + c_a
        );
        // The promise itself: blocks leave every coefficient of the quadratic model alone.
        let blocks: Vec<usize> = design.runs.iter().map(|run| run.block.unwrap()).collect();
        assert_eq!(
            block_imbalance(&space, &design.points(), &blocks).unwrap(),
            None
        );
        let axial_block = design.runs.iter().find(|run| run.role == RunRole::Axial);
        assert_eq!(axial_block.unwrap().block, Some(n_cube_blocks + 1));
        let rotatable = DesignRequest {
            axial_distance: Some(AxialDistance::Rotatable),
            n_blocks: 1,
            ..asked
        };
        let design = made(&space, &rotatable);
        assert_close(
            design.details.axial_distance.unwrap(),
            row[6],
            1e-12,
            "F^(1/4)",
        );
    }
}

#[test]
fn rotatable_axial_distances_follow_the_number_of_factorial_runs() {
    // central-composite-alpha.json, rotatable_rows; 2^(8-2) and the half fractions come from the catalogue.
    let reference = Reference::open("central-composite-alpha");
    for row in reference.table("rotatable_rows") {
        let (k, n_cube) = (count(row[0]), count(row[1]));
        let smallest = [(5, 16), (6, 32), (7, 64), (8, 64)];
        let generators = match (k, n_cube) {
            (8, 128) => Some("H=ABCDEFG".to_owned()),
            _ => None,
        };
        let asked = DesignRequest {
            generators,
            cube_part: if n_cube == 1 << k && !smallest.contains(&(k, n_cube)) {
                CubePart::Full
            } else {
                CubePart::SmallestOfResolutionFive
            },
            ..request(DesignKind::CentralComposite)
        };
        let design = made(&letters(k), &asked);
        assert_eq!(n_of_role(&design, RunRole::Plan), n_cube);
        assert_close(
            design.details.axial_distance.unwrap(),
            row[2],
            1e-12,
            "F^(1/4)",
        );
        let largest = design
            .runs
            .iter()
            .flat_map(|run| numbers(&run.coded))
            .fold(0.0, f64::max);
        assert_close(largest, row[2], 1e-12, "axial points stand at alpha");
    }
}

#[test]
fn orthogonal_squares_are_uncorrelated() {
    // Box & Hunter (1957): alpha² = (√(F (F + 2k + n_c)) − F)/2; property: squares centred on their means are
    // orthogonal. With two replicates the same must hold with the centre runs of the whole plan.
    for (k, n_centre, n_replicates) in [(2, 4, 1), (3, 1, 1), (5, 3, 1), (3, 4, 2)] {
        let space = letters(k);
        let asked = DesignRequest {
            axial_distance: Some(AxialDistance::OrthogonalSquares),
            n_centre: Some(n_centre),
            n_replicates,
            ..request(DesignKind::CentralComposite)
        };
        let design = made(&space, &asked);
        let rows: Vec<Vec<f64>> = design.runs.iter().map(|run| numbers(&run.coded)).collect();
        let n = rows.len() as f64;
        let mean = |factor: usize| rows.iter().map(|row| row[factor].powi(2)).sum::<f64>() / n;
        let covariance: f64 = rows
            .iter()
            .map(|row| (row[0].powi(2) - mean(0)) * (row[1].powi(2) - mean(1)))
            .sum();
        assert!(covariance.abs() < 1e-9, "{k} factors: {covariance}");
    }
    // Two factors, four factorial runs, one centre run: (√36 − 4)/2 = 1, by hand.
    let asked = DesignRequest {
        axial_distance: Some(AxialDistance::OrthogonalSquares),
        n_centre: Some(1),
        ..request(DesignKind::CentralComposite)
    };
    let alpha = made(&letters(2), &asked).details.axial_distance.unwrap();
    assert_close(alpha, 1.0, 1e-15, "by hand");
}

#[test]
fn spherical_face_centred_and_inscribed_plans_stand_where_they_should() {
    let space = letters(3);
    let spherical = DesignRequest {
        axial_distance: Some(AxialDistance::Spherical),
        ..request(DesignKind::CentralComposite)
    };
    let design = made(&space, &spherical);
    for run in design.runs.iter().filter(|run| run.role != RunRole::Centre) {
        let radius = numbers(&run.coded).iter().map(|x| x * x).sum::<f64>();
        assert_close(radius, 3.0, 1e-15, "all points at distance √k");
    }
    let faces = made(&space, &request(DesignKind::FaceCentred));
    for run in &faces.runs {
        assert!(
            numbers(&run.coded)
                .iter()
                .all(|x| x.abs() < 1e-15 || (x.abs() - 1.0).abs() < 1e-15)
        );
    }
    assert_eq!(n_of_role(&faces, RunRole::Axial), 6);
    // Inscribed: the rotatable plan divided by its alpha, 8^(1/4).
    let inscribed = made(&space, &request(DesignKind::Inscribed));
    let alpha = 8.0_f64.sqrt().sqrt();
    for run in &inscribed.runs {
        let wanted = match run.role {
            RunRole::Axial => 1.0,
            RunRole::Centre => 0.0,
            _ => 1.0 / alpha,
        };
        let largest = numbers(&run.coded)
            .iter()
            .fold(0.0, |m: f64, x| m.max(x.abs()));
        assert_close(largest, wanted, 1e-15, "plan divided by alpha");
    }
    let low = DesignRequest {
        axial_distance: Some(AxialDistance::Coded(0.9)),
        ..request(DesignKind::Inscribed)
    };
    assert_eq!(
        build(&space, &low, &Progress::unwatched()).unwrap_err(),
        DesignError::BadAxialDistance {
            alpha: 0.9,
            needs_one: true
        }
    );
    for alpha in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let bad = DesignRequest {
            axial_distance: Some(AxialDistance::Coded(alpha)),
            ..request(DesignKind::CentralComposite)
        };
        assert!(matches!(
            build(&space, &bad, &Progress::unwatched()),
            Err(DesignError::BadAxialDistance { .. })
        ));
    }
}

#[test]
fn box_behnken_plans_have_the_published_runs_and_orthogonal_blocks() {
    // box-behnken.json: Box & Behnken (1960); NIST/SEMATECH e-Handbook 5.3.3.6.2 (run numbers).
    let reference = Reference::open("box-behnken");
    let published = reference.expected("published_runs");
    for (name, case) in reference.data("designs").as_object().unwrap() {
        let k: usize = name.parse().unwrap();
        let space = letters(k);
        let block_sizes = list(&case["block_sizes"]);
        let asked = DesignRequest {
            n_blocks: block_sizes.len(),
            ..request(DesignKind::BoxBehnken)
        };
        let design = made(&space, &asked);
        published.check_named(name, design.runs.len() as f64);
        assert_eq!(
            n_of_role(&design, RunRole::Centre) as f64,
            number(&case["centre_runs"])
        );
        for (block, size) in block_sizes.iter().enumerate() {
            let n_runs = design
                .runs
                .iter()
                .filter(|run| block_sizes.len() == 1 || run.block == Some(block + 1))
                .count();
            assert_eq!(n_runs as f64, number(size), "{k} factors");
        }
        if block_sizes.len() > 1 {
            let blocks: Vec<usize> = design.runs.iter().map(|run| run.block.unwrap()).collect();
            assert_eq!(
                block_imbalance(&space, &design.points(), &blocks).unwrap(),
                None
            );
        }
        let model =
            ModelMatrix::new(&space, &TermList::quadratic(&space), &design.points(), None).unwrap();
        let information = model.matrix().transpose() * model.matrix();
        let ln_determinant = information.clone().cholesky().unwrap().ln_determinant();
        assert_close(
            ln_determinant,
            number(&case["log_det_XtX"]),
            1e-9,
            "box-behnken.json",
        );
        let inverse = information.try_inverse().unwrap();
        let variance = |term: &str| {
            let column = model.column_names().iter().position(|n| n == term).unwrap();
            inverse[(column, column)]
        };
        assert_close(
            variance("A"),
            number(&case["var_linear"]),
            1e-9,
            "box-behnken.json",
        );
        assert_close(
            variance("A^2"),
            number(&case["var_quadratic"]),
            1e-9,
            "box-behnken.json",
        );
        let products: Vec<f64> = model
            .column_names()
            .iter()
            .filter(|name| name.contains('*'))
            .map(|name| variance(name))
            .collect();
        let least = products.iter().copied().fold(f64::INFINITY, f64::min);
        let greatest = products.iter().copied().fold(0.0, f64::max);
        assert_close(
            least,
            number(&case["var_interaction_min"]),
            1e-9,
            "box-behnken.json",
        );
        assert_close(
            greatest,
            number(&case["var_interaction_max"]),
            1e-9,
            "box-behnken.json",
        );
        assert!(design.notes.contains(&DesignNote::NoCorners));
    }
}

#[test]
fn numbers_of_factors_outside_the_family_are_refused() {
    let refused =
        |k: usize, kind| build(&letters(k), &request(kind), &Progress::unwatched()).unwrap_err();
    assert_eq!(
        refused(2, DesignKind::BoxBehnken),
        DesignError::TooFewFactors {
            kind: DesignKind::BoxBehnken,
            need: 3,
            have: 2
        }
    );
    assert_eq!(
        refused(8, DesignKind::BoxBehnken),
        DesignError::TooManyFactors {
            kind: DesignKind::BoxBehnken,
            limit: 7,
            have: 8
        }
    );
    assert!(matches!(
        refused(1, DesignKind::CentralComposite),
        DesignError::TooFewFactors { need: 2, .. }
    ));
    assert!(matches!(
        refused(12, DesignKind::FaceCentred),
        DesignError::TooManyFactors { limit: 11, .. }
    ));
    let blocks = DesignRequest {
        n_blocks: 4,
        ..request(DesignKind::CentralComposite)
    };
    assert_eq!(
        build(&letters(3), &blocks, &Progress::unwatched()).unwrap_err(),
        DesignError::BlocksNotPossible {
            n_blocks: 4,
            possible: vec![1, 2, 3]
        }
    );
}

#[test]
fn small_composites_come_only_on_request_and_hopeless_ones_not_at_all() {
    // Hartley (1959), Smallest composite designs for quadratic response surfaces, Biometrics 15, 611–624: resolution
    // III without words of four letters still lets all quadratic terms be estimated; words of four letters do not.
    let space = letters(4);
    let small = DesignRequest {
        generators: Some("D=AB".to_owned()),
        ..request(DesignKind::CentralComposite)
    };
    let design = made(&space, &small);
    assert_eq!(n_of_role(&design, RunRole::Plan), 8);
    assert!(
        design
            .notes
            .contains(&DesignNote::SmallComposite { resolution: 3 })
    );
    let hopeless = DesignRequest {
        generators: Some("D=ABC".to_owned()),
        ..small
    };
    match build(&space, &hopeless, &Progress::unwatched()) {
        Err(DesignError::QuadraticNotEstimable { terms }) => {
            // I = ABCD: AB = CD, AC = BD, AD = BC; the later of each pair goes.
            assert_eq!(terms, ["B*C", "B*D", "C*D"]);
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn axial_points_beyond_the_range_are_told_in_natural_units() {
    // Pitfall 8 of docs/methods.md, 7.4. By hand for two factors, alpha = √2: on a log scale 0.1…10 the axial points
    // are 10^(±√2), positive; on a linear scale 0.1…10 the lower one is 5.05 − 4.95·√2 = −1.950…, below zero.
    let space = FactorSpace::new(vec![
        continuous("dose", (0.1, 10.0), Scale::Log, None, ChangeEffort::Easy),
        Factor::continuous("flow", 0.1, 10.0).unwrap(),
    ])
    .unwrap();
    let design = made(&space, &request(DesignKind::CentralComposite));
    let beyond: Vec<(&str, f64, f64)> = design
        .notes
        .iter()
        .filter_map(|note| match note {
            DesignNote::AxialBeyondRange { factor, low, high } => {
                Some((factor.as_str(), *low, *high))
            }
            _ => None,
        })
        .collect();
    let root = 2.0_f64.sqrt();
    assert_eq!((beyond[0].0, beyond[1].0), ("dose", "flow"));
    assert_close(beyond[0].1, 10.0_f64.powf(-root), 1e-13, "by hand");
    assert_close(beyond[0].2, 10.0_f64.powf(root), 1e-13, "by hand");
    assert_close(beyond[1].1, 5.05 - 4.95 * root, 1e-13, "by hand");
    let below: Vec<&DesignNote> = design
        .notes
        .iter()
        .filter(|note| matches!(note, DesignNote::AxialBelowZero { .. }))
        .collect();
    assert!(matches!(below[..], [DesignNote::AxialBelowZero { factor, .. }] if factor == "flow"));
    for point in design.points() {
        assert!(
            matches!(space.decode(&point).unwrap().0[0], wetlane_stats::Value::Number(u) if u > 0.0)
        );
    }
    // A range of many decades: the axial point lies beyond all numbers.
    let wide = FactorSpace::new(vec![
        continuous(
            "dose",
            (1e-300, 1e300),
            Scale::Log,
            None,
            ChangeEffort::Easy,
        ),
        Factor::continuous("flow", 0.1, 10.0).unwrap(),
    ])
    .unwrap();
    assert!(matches!(
        build(
            &wide,
            &request(DesignKind::CentralComposite),
            &Progress::unwatched()
        ),
        Err(DesignError::SettingOutOfNumbers { .. })
    ));
}

#[test]
fn hard_limits_move_axial_points_inwards_one_sided() {
    let space = FactorSpace::new(vec![
        Factor::continuous("flow", 1.0, 3.0).unwrap(),
        Factor::continuous("gap", 50.0, 150.0).unwrap(),
    ])
    .unwrap();
    let asked = DesignRequest {
        hard_limits: vec![Some((0.8, 10.0)), None],
        ..request(DesignKind::CentralComposite)
    };
    let design = made(&space, &asked);
    let flow: Vec<f64> = design
        .runs
        .iter()
        .map(|run| numbers(&run.coded)[0])
        .collect();
    let least = flow.iter().copied().fold(f64::INFINITY, f64::min);
    let greatest = flow.iter().copied().fold(0.0, f64::max);
    // By hand: 0.8 of 1…3 is coded (0.8 − 2)/1 = −1.2; the other side stays at √2.
    assert_close(least, -1.2, 1e-14, "by hand");
    assert_close(greatest, 2.0_f64.sqrt(), 1e-14, "by hand");
    assert_eq!(
        design
            .notes
            .iter()
            .filter(|note| matches!(note, DesignNote::AxialShrunk { .. }))
            .count(),
        1
    );
    let cutting = DesignRequest {
        hard_limits: vec![Some((1.5, 10.0)), None],
        ..asked.clone()
    };
    assert!(matches!(
        build(&space, &cutting, &Progress::unwatched()),
        Err(DesignError::HardLimitInsideRange { .. })
    ));
    let short = DesignRequest {
        hard_limits: vec![None],
        ..asked
    };
    assert!(matches!(
        build(&space, &short, &Progress::unwatched()),
        Err(DesignError::WrongLength { .. })
    ));
}

#[test]
fn composites_are_crossed_with_categories_and_lists_are_rounded() {
    let space = FactorSpace::new(vec![
        Factor::continuous("speed", 1.0, 5.0).unwrap(),
        category("gas", &["air", "argon"]),
        discrete("roll", &[10.0, 20.0, 40.0]),
    ])
    .unwrap();
    let asked = DesignRequest {
        n_centre: Some(3),
        ..request(DesignKind::FaceCentred)
    };
    let design = made(&space, &asked);
    // (4 factorial + 4 axial + 3 centre) at each gas.
    assert_eq!(design.runs.len(), 22);
    // The middle of 10…40 is 25; the nearest number of the list is 20, coded −1/3, by hand.
    let mut levels: Vec<f64> = design
        .runs
        .iter()
        .map(|run| numbers(&run.coded)[2])
        .collect();
    levels.sort_by(f64::total_cmp);
    levels.dedup();
    assert_eq!(levels.len(), 3);
    assert_close(levels[1], -1.0 / 3.0, 1e-15, "by hand");
    assert!(
        design
            .notes
            .iter()
            .any(|note| matches!(note, DesignNote::Rounded { factor, .. } if factor == "roll"))
    );
    assert!(design.notes.contains(&DesignNote::Crossed {
        factors: vec!["gas".to_owned()],
        n_combinations: 2
    }));
}

#[test]
fn replicated_blocked_composites_stay_orthogonal() {
    // Two replicates in six blocks have blocks of their own; in three blocks they share them.
    let space = letters(3);
    for (n_blocks, n_runs) in [(6, 2 * 20), (3, 2 * 20)] {
        let asked = DesignRequest {
            n_blocks,
            n_replicates: 2,
            ..request(DesignKind::CentralComposite)
        };
        let design = made(&space, &asked);
        assert_eq!(design.runs.len(), n_runs);
        assert_eq!(design.n_blocks, n_blocks);
        let blocks: Vec<usize> = design.runs.iter().map(|run| run.block.unwrap()).collect();
        assert_eq!(
            block_imbalance(&space, &design.points(), &blocks).unwrap(),
            None
        );
    }
    // Face-centred axial points cannot be balanced by blocks: that is told.
    let faces = DesignRequest {
        n_blocks: 2,
        ..request(DesignKind::FaceCentred)
    };
    let design = made(&space, &faces);
    assert!(
        design
            .notes
            .iter()
            .any(|note| matches!(note, DesignNote::BlocksNotOrthogonal { .. }))
    );
}

#[test]
fn asked_centre_runs_are_neither_lost_nor_multiplied() {
    let space = letters(3);
    for (n_blocks, n_replicates) in [(1, 1), (1, 2), (2, 1), (2, 2), (3, 1), (3, 2), (6, 2)] {
        for n_centre in 0..12 {
            for kind in [DesignKind::CentralComposite, DesignKind::Inscribed] {
                let asked = DesignRequest {
                    n_blocks,
                    n_replicates,
                    n_centre: Some(n_centre),
                    ..request(kind)
                };
                let design = made(&space, &asked);
                assert_eq!(n_of_role(&design, RunRole::Centre), n_centre, "{asked:?}");
                assert_eq!(design.runs.len(), 14 * n_replicates + n_centre);
            }
        }
    }
}
