//! What must hold for every fit, whatever the data: by brute force or by algebra, on random plans and responses.

use proptest::prelude::*;
use wetlane_stats::{
    Blocks, CodedPoint, ConfidenceLevel, Direction, Factor, FactorSpace, LeastSquares, ModelMatrix,
    TermList, Value,
};

use crate::fitting::{estimate_of, estimates};

/// A random plan with its responses.
#[derive(Debug, Clone)]
struct Data {
    rows: Vec<Vec<f64>>,
    response: Vec<f64>,
    weights: Option<Vec<f64>>,
}

impl Data {
    fn space(&self) -> FactorSpace {
        let factors = (0..self.rows[0].len())
            .map(|index| Factor::continuous(format!("x{index}"), -1.0, 1.0).unwrap())
            .collect();
        FactorSpace::new(factors).unwrap()
    }

    fn points(&self) -> Vec<CodedPoint> {
        self.rows
            .iter()
            .map(|row| CodedPoint(row.iter().map(|x| Value::Number(*x)).collect()))
            .collect()
    }

    fn matrix(&self) -> ModelMatrix {
        let space = self.space();
        let terms = TermList::quadratic(&space);
        ModelMatrix::new(&space, &terms, &self.points(), None).unwrap()
    }

    fn fit(&self) -> LeastSquares {
        LeastSquares::fit(&self.matrix(), &self.response, self.weights.as_deref()).unwrap()
    }

    fn without(&self, run: usize) -> Self {
        let mut rest = self.clone();
        rest.rows.remove(run);
        rest.response.remove(run);
        if let Some(weights) = &mut rest.weights {
            weights.remove(run);
        }
        rest
    }

    fn weight(&self, run: usize) -> f64 {
        self.weights.as_ref().map_or(1.0, |weights| weights[run])
    }
}

fn data() -> impl Strategy<Value = Data> {
    (1_usize..=3, 4_usize..=12, any::<bool>()).prop_flat_map(|(k, n_spare, weighted)| {
        let n = (k + 1) * (k + 2) / 2 + n_spare;
        let rows = prop::collection::vec(prop::collection::vec(-1.0..1.0, k), n);
        let response = prop::collection::vec(-10.0..10.0, n);
        let weights = prop::collection::vec(0.2..5.0, n);
        (rows, response, weights).prop_map(move |(rows, response, weights)| Data {
            rows,
            response,
            weights: weighted.then_some(weights),
        })
    })
}

/// Random plans may be nearly degenerate; their figures have few digits, and no claim is made about those.
fn is_well_posed(fit: &LeastSquares) -> bool {
    fit.dropped().is_empty()
        && fit.condition_number() < 1e4
        && fit.leverages().iter().all(|h| *h < 0.999)
}

fn is_close(a: f64, b: f64, tolerance: f64) -> bool {
    (a - b).abs() <= tolerance * a.abs().max(b.abs()).max(1e-9)
}

fn config() -> ProptestConfig {
    ProptestConfig {
        cases: 64,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(config())]

    // By algebra: a projection is symmetric and idempotent, and its trace is the rank.
    #[test]
    fn the_hat_matrix_is_a_projection(data in data()) {
        let fit = data.fit();
        let hat = fit.hat_matrix();
        prop_assert!((&hat - hat.transpose()).abs().max() < 1e-12);
        prop_assert!((&hat * &hat - &hat).abs().max() < 1e-12);
        prop_assert!((hat.trace() - fit.rank() as f64).abs() < 1e-10);
        for (run, leverage) in fit.leverages().iter().enumerate() {
            prop_assert!((leverage - hat[(run, run)]).abs() < 1e-12);
        }
    }

    // By algebra: residuals are orthogonal to every model column (in the weighted inner product).
    #[test]
    fn residuals_are_orthogonal_to_the_columns(data in data()) {
        let fit = data.fit();
        let matrix = data.matrix();
        for column in matrix.matrix().column_iter() {
            let product: f64 = (0..fit.n_runs())
                .map(|run| data.weight(run) * column[run] * fit.residuals()[run])
                .sum();
            prop_assert!(product.abs() < 1e-10);
        }
    }

    // By algebra: sequential sums add up to the model's, model and residual to the total; t² is the marginal F.
    #[test]
    fn sums_of_squares_add_up(data in data()) {
        let fit = data.fit();
        prop_assume!(is_well_posed(&fit));
        let rows = fit.anova_sequential(None);
        let squares = |row: &wetlane_stats::AnovaRow| row.sum_of_squares.clone().unwrap();
        let n_terms = rows.len() - 3;
        let parts: f64 = rows[1..=n_terms].iter().map(squares).sum();
        prop_assert!(is_close(parts, squares(&rows[0]), 1e-10));
        let both = squares(&rows[0]) + fit.residual_sum_of_squares();
        prop_assert!(is_close(both, fit.total_sum_of_squares(), 1e-10));
        let marginal = fit.anova_marginal(None);
        let coefficients = fit.coefficients(ConfidenceLevel::NINETY_FIVE);
        for (row, coefficient) in marginal[1..=n_terms].iter().zip(&coefficients[1..]) {
            let t = coefficient.t.clone().unwrap();
            prop_assert!(is_close(row.f.clone().unwrap(), t * t, 1e-9));
            let p = coefficient.p.clone().unwrap();
            prop_assert!(is_close(row.p.clone().unwrap(), p, 1e-9));
        }
        // In a full model no term is contained in all others, so the last one is hierarchical, marginal, sequential.
        let hierarchical = fit.anova_hierarchical(None);
        prop_assert!(is_close(squares(&hierarchical[n_terms]), squares(&marginal[n_terms]), 1e-8));
        prop_assert!(is_close(squares(&rows[n_terms]), squares(&marginal[n_terms]), 1e-8));
    }

    // By brute force: every run is left out in turn and predicted from the others (Allen 1974, Cook 1977, Belsley, Kuh &
    // Welsch 1980).
    #[test]
    fn deletion_figures_equal_brute_force(data in data()) {
        let fit = data.fit();
        prop_assume!(is_well_posed(&fit));
        let matrix = data.matrix();
        let s2 = fit.residual_mean_square().unwrap();
        let p = fit.rank() as f64;
        let mut press = 0.0;
        for run in fit.diagnostics() {
            let rest = data.without(run.row).fit();
            prop_assume!(is_well_posed(&rest));
            let row: Vec<f64> = matrix.matrix().row(run.row).iter().copied().collect();
            let predicted = rest.predict(&row).unwrap().value().clone().unwrap();
            let deleted = data.response[run.row] - predicted;
            prop_assert!(is_close(deleted, run.deleted_residual.clone().unwrap(), 1e-7));
            press += data.weight(run.row) * deleted * deleted;
            let rest_sd = rest.residual_sd().unwrap();
            let scale = (data.weight(run.row) / (1.0 - run.leverage)).sqrt();
            let external = scale * run.residual / rest_sd;
            prop_assert!(is_close(external, run.studentized_external.clone().unwrap(), 1e-7));
            let all = estimates(&rest);
            let shift: Vec<f64> = (0..fit.n_runs())
                .map(|other| {
                    let row = matrix.matrix().row(other);
                    let moved: f64 = row.iter().zip(&all).map(|(x, b)| x * b).sum();
                    fit.fitted()[other] - moved
                })
                .collect();
            let distance: f64 = shift
                .iter()
                .enumerate()
                .map(|(other, d)| data.weight(other) * d * d)
                .sum();
            prop_assert!(is_close(distance / (p * s2), run.cook.clone().unwrap(), 1e-7));
            let own = data.weight(run.row).sqrt() * shift[run.row] / (rest_sd * run.leverage.sqrt());
            prop_assert!(is_close(own, run.dffits.clone().unwrap(), 1e-7));
            let ratio = rest.covariance().unwrap().determinant() / fit.covariance().unwrap().determinant();
            prop_assert!(is_close(ratio, run.covratio.clone().unwrap(), 1e-6));
        }
        prop_assert!(is_close(press, fit.press().unwrap(), 1e-7));
    }

    // By algebra: the order of the runs does not matter.
    #[test]
    fn fits_do_not_depend_on_the_order_of_the_runs(data in data(), turn in 1_usize..9) {
        let fit = data.fit();
        prop_assume!(is_well_posed(&fit));
        let mut turned = data;
        let n = turned.rows.len();
        turned.rows.rotate_left(turn % n);
        turned.response.rotate_left(turn % n);
        if let Some(weights) = &mut turned.weights {
            weights.rotate_left(turn % n);
        }
        let other = turned.fit();
        for (a, b) in estimates(&fit).iter().zip(estimates(&other)) {
            prop_assert!(is_close(*a, b, 1e-8));
        }
        prop_assert!(is_close(fit.press().unwrap(), other.press().unwrap(), 1e-8));
        let p = |fit: &LeastSquares| fit.anova_marginal(None)[0].p.clone().unwrap();
        prop_assert!(is_close(p(&fit), p(&other), 1e-8));
    }

    // By algebra: p-values, shares and standardized figures have no unit.
    #[test]
    fn the_unit_of_the_response_changes_no_p_value(data in data()) {
        let fit = data.fit();
        prop_assume!(is_well_posed(&fit));
        for unit in [1e9, 1e-9] {
            let mut scaled = data.clone();
            for y in &mut scaled.response {
                *y *= unit;
            }
            let other = scaled.fit();
            prop_assert!(is_close(fit.r2().unwrap(), other.r2().unwrap(), 1e-9));
            let level = ConfidenceLevel::NINETY_FIVE;
            for (a, b) in fit.coefficients(level).iter().zip(other.coefficients(level)) {
                let (a, b) = (a.p.clone().unwrap(), b.p.unwrap());
                prop_assert!((a - b).abs() <= 1e-8);
            }
            for (a, b) in fit.diagnostics().iter().zip(other.diagnostics()) {
                let (a, b) = (a.cook.clone().unwrap(), b.cook.unwrap());
                prop_assert!(is_close(a, b, 1e-8));
            }
        }
    }

    // By algebra: adding a constant to every response moves the intercept alone.
    #[test]
    fn a_constant_moves_the_intercept_alone(data in data(), constant in -1e6_f64..1e6) {
        let fit = data.fit();
        prop_assume!(is_well_posed(&fit));
        let mut moved = data;
        for y in &mut moved.response {
            *y += constant;
        }
        let other = moved.fit();
        let (a, b) = (estimates(&fit), estimates(&other));
        // Responses near 1e6 carry ten digits of what varies by 10.
        prop_assert!((a[0] + constant - b[0]).abs() < 1e-5);
        for (a, b) in a[1..].iter().zip(&b[1..]) {
            prop_assert!((a - b).abs() < 1e-5);
        }
        prop_assert!((fit.r2().unwrap() - other.r2().unwrap()).abs() < 1e-7);
    }

    // By algebra: a block column orthogonal to all others changes no other coefficient.
    #[test]
    fn an_orthogonal_block_changes_no_other_coefficient(response in prop::collection::vec(-10.0..10.0, 16)) {
        let space = FactorSpace::new(
            ["a", "b"].map(|name| Factor::continuous(name, -1.0, 1.0).unwrap()).to_vec(),
        ).unwrap();
        let sign = |run: usize, bit: usize| if run >> bit & 1 == 1 { 1.0 } else { -1.0 };
        let points: Vec<CodedPoint> = (0..16)
            .map(|run| CodedPoint(vec![Value::Number(sign(run, 0)), Value::Number(sign(run, 1))]))
            .collect();
        let blocks = Blocks {
            name: "day".to_owned(),
            labels: ["Montag", "Dienstag"].map(String::from).to_vec(),
            of_run: (0..16).map(|run| run >> 2 & 1).collect(),
        };
        let terms = TermList::interactions(&space);
        let fit = |blocks| {
            let matrix = ModelMatrix::new(&space, &terms, &points, blocks).unwrap();
            LeastSquares::fit(&matrix, &response, None).unwrap()
        };
        let (with, without) = (fit(Some(&blocks)), fit(None));
        for name in ["1", "a", "b", "a*b"] {
            prop_assert!((estimate_of(&with, name) - estimate_of(&without, name)).abs() < 1e-12);
        }
    }

    // By algebra: names and order of levels and blocks do not change a test.
    #[test]
    fn reordering_levels_changes_no_test(response in prop::collection::vec(-10.0..10.0, 18), turn in 1_usize..3) {
        let levels = ["argon", "Luft", "ohne"].map(String::from).to_vec();
        let labels = ["Montag", "Dienstag"].map(String::from).to_vec();
        let p = |shift: usize| {
            let mut own = levels.clone();
            own.rotate_left(shift);
            let space = FactorSpace::new(vec![
                Factor::categorical("gas", own).unwrap(),
                Factor::continuous("speed", -1.0, 1.0).unwrap(),
            ]).unwrap();
            let points: Vec<CodedPoint> = (0..18)
                .map(|run| CodedPoint(vec![
                    Value::Level((run + 3 - shift) % 3),
                    Value::Number([-1.0, 0.3, 1.0][run / 3 % 3]),
                ]))
                .collect();
            let mut labels = labels.clone();
            labels.rotate_left(shift % 2);
            let of_run = (0..18).map(|run| (run / 9 + shift) % 2).collect();
            let blocks = Blocks { name: "day".to_owned(), labels, of_run };
            let terms = TermList::interactions(&space);
            let matrix = ModelMatrix::new(&space, &terms, &points, Some(&blocks)).unwrap();
            let fit = LeastSquares::fit(&matrix, &response, None).unwrap();
            fit.anova_marginal(None)
                .iter()
                .filter_map(|row| row.p.clone().ok())
                .collect::<Vec<f64>>()
        };
        for (a, b) in p(0).iter().zip(p(turn)) {
            prop_assert!(is_close(*a, b, 1e-9));
        }
    }

    // By algebra (Draper 1963): along the maximum path the response rises with the radius and the settings move
    // continuously; no other point of the sphere is higher.
    #[test]
    fn the_ridge_path_rises_and_is_the_best_of_its_sphere(data in data(), angles in prop::collection::vec(-1.0_f64..1.0, 3)) {
        let fit = data.fit();
        prop_assume!(is_well_posed(&fit));
        let space = data.space();
        let middle = CodedPoint(vec![Value::Number(0.0); data.rows[0].len()]);
        let surface = fit.quadratic_surface(&space, &middle).unwrap();
        let radii: Vec<f64> = (1..=40).map(|step| 0.05 * f64::from(step)).collect();
        let up = fit.ridge_analysis(&space, &surface, Direction::Up, &radii).unwrap();
        let down = fit.ridge_analysis(&space, &surface, Direction::Down, &radii).unwrap();
        let value = |point: &wetlane_stats::RidgePoint| point.prediction.value().clone().unwrap();
        for pair in up.windows(2) {
            // dy/dR = 2μR, and μ falls along the path: the response rises until μ passes zero at a maximum.
            let rises = value(&pair[1]) >= value(&pair[0]) - 1e-9;
            prop_assert!(rises || pair[1].multiplier < 0.0);
            // Hard cases turn a corner; elsewhere a step of the radius moves the settings by a bounded amount.
            let moved: f64 = pair[0].coded.iter().zip(&pair[1].coded).map(|(a, b)| (a - b).powi(2)).sum();
            prop_assert!(moved.sqrt() < 2.0);
        }
        let length = angles[..data.rows[0].len()].iter().map(|a| a * a).sum::<f64>().sqrt();
        prop_assume!(length > 1e-3);
        for ((radius, up), down) in radii.iter().zip(&up).zip(&down) {
            let norm: f64 = up.coded.iter().map(|x| x * x).sum::<f64>().sqrt();
            prop_assert!(is_close(norm, *radius, 1e-9));
            let other: Vec<f64> = angles[..data.rows[0].len()].iter().map(|a| a * radius / length).collect();
            let there = surface.value_at(&other).unwrap();
            prop_assert!(there <= value(up) + 1e-9 * there.abs().max(1.0));
            prop_assert!(there >= value(down) - 1e-9 * there.abs().max(1.0));
        }
    }
}
