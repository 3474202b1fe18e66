//! Second-order surfaces: the published composite plans with stationary points, axes, ridges and intervals.

use wetlane_stats::{
    CodedPoint, ConfidenceLevel, Direction, FitError, LeastSquares, Nature, ReplicateGroups,
    Undefined, Value,
};

use crate::fitting::{Case, estimates, standard_errors};
use crate::reference::{Reference, list, numbers};
use crate::support::assert_close;

const QUADRATIC: &str = "x1, x2, x1^2, x2^2, x1*x2";

fn process(reference: &Reference) -> Case {
    Case::coded(&[
        ("x1", reference.column("x1")),
        ("x2", reference.column("x2")),
    ])
}

fn middle() -> CodedPoint {
    at(0.0, 0.0)
}

fn at(x1: f64, x2: f64) -> CodedPoint {
    CodedPoint(vec![Value::Number(x1), Value::Number(x2)])
}

// Montgomery, composite plan for a chemical process (tables 11.6/11.7), yield: coefficients, R2, PRESS and the split
// of the residual as printed; further digits from numpy/scipy.
#[test]
fn yield_surface_has_the_published_fit() {
    let reference = Reference::open("chemical-process-ccd");
    let case = process(&reference);
    let fit = case.fit(QUADRATIC, &reference.column("yield"));
    let of = |figure: &str| reference.expected(&format!("yield/{figure}"));
    of("published_coefficients").check_all(&estimates(&fit));
    of("coefficients").check_all(&estimates(&fit));
    of("std_errors").check_all(&standard_errors(&fit));
    of("published_r2").check(fit.r2().unwrap());
    of("published_adj_r2").check(fit.r2_adjusted().unwrap());
    of("published_pred_r2").check(fit.r2_predicted().unwrap());
    of("published_press").check(fit.press().unwrap());
    of("residual_ss").check(fit.residual_sum_of_squares());
    let groups = ReplicateGroups::within(&case.points, None, 1e-9).unwrap();
    let split = fit.lack_of_fit(&groups).unwrap();
    of("pure_error_ss").check(split.pure_error.sum_of_squares.clone().unwrap());
    of("lack_of_fit_ss").check(split.lack_of_fit.sum_of_squares.clone().unwrap());
    of("lack_of_fit_F").check(split.f.clone().unwrap());
    of("lack_of_fit_p").check(split.p.clone().unwrap());
    assert_eq!((split.lack_of_fit.df, split.pure_error.df), (3, 4));
}

// The same source: stationary point (0.389, 0.306), value 80.21, eigenvalues −0.9635 and −1.4143, a maximum.
#[test]
fn yield_surface_has_the_published_maximum() {
    let reference = Reference::open("chemical-process-ccd");
    let case = process(&reference);
    let fit = case.fit(QUADRATIC, &reference.column("yield"));
    let of = |figure: &str| reference.expected(&format!("yield/{figure}"));
    let top = fit.stationary_point(&case.space, &middle()).unwrap();
    of("stationary_point").check_all(&top.coded);
    of("stationary_point_full").check_all(&top.coded);
    of("stationary_value").check(top.prediction.value().clone().unwrap());
    let eigenvalues: Vec<f64> = top.axes.iter().map(|axis| axis.eigenvalue).collect();
    of("eigenvalues").check_all(&eigenvalues);
    let columns = of("eigenvectors_columns");
    for (index, axis) in top.axes.iter().enumerate() {
        // The reference lists row by row, and the sign is free.
        for (entry, row) in axis.direction.iter().zip(list(columns.json())) {
            let wanted = numbers(row)[index].abs();
            assert_close(entry.abs(), wanted, 1e-7, "numpy, eigenvectors_columns");
        }
    }
    assert_eq!(top.nature, Nature::Maximum);
    assert!(top.is_inside_ranges() && top.is_inside_runs(&case.points));
    // The point itself is the most plausible stationary point; the middle of the region is not one.
    let surface = fit.quadratic_surface(&case.space, &middle()).unwrap();
    let p = |settings: &[f64]| surface.stationarity_p(&fit, settings).unwrap();
    assert_close(p(&top.coded), 1.0, 1e-9, "gradient zero");
    assert!(p(&[0.0, 0.0]) < 0.01);
}

// Bisgaard & Ankenman (1996): the standard errors of the eigenvalues are those of the squares in a fit along the axes.
#[test]
fn eigenvalue_errors_are_those_of_a_fit_along_the_axes() {
    let reference = Reference::open("chemical-process-ccd");
    let case = process(&reference);
    let response = reference.column("yield");
    let fit = case.fit(QUADRATIC, &response);
    let top = fit.stationary_point(&case.space, &middle()).unwrap();
    let along = |axis: &[f64]| -> Vec<f64> {
        let (x1, x2) = (reference.column("x1"), reference.column("x2"));
        x1.iter()
            .zip(&x2)
            .map(|(a, b)| axis[0] * a + axis[1] * b)
            .collect()
    };
    let turned = Case::coded(&[
        ("x1", along(&top.axes[0].direction)),
        ("x2", along(&top.axes[1].direction)),
    ]);
    let refit = turned.fit(QUADRATIC, &response);
    let squares = refit.coefficients(ConfidenceLevel::NINETY_FIVE);
    for (axis, square) in top.axes.iter().zip(&squares[3..5]) {
        let wanted = square.estimate.clone().unwrap();
        assert_close(axis.eigenvalue, wanted, 1e-9, "refit along the axes");
        let own = axis.standard_error.clone().unwrap();
        let wanted = square.standard_error.clone().unwrap();
        assert_close(own, wanted, 1e-9, "refit along the axes");
    }
    let product = squares[5].estimate.clone().unwrap();
    assert!(product.abs() < 1e-10);
}

fn check_ridge(fit: &LeastSquares, case: &Case, path: &str, direction: Direction) {
    let reference = Reference::open("chemical-process-ccd");
    let entry = reference.expected(path);
    let surface = fit.quadratic_surface(&case.space, &middle()).unwrap();
    for row in list(entry.json()) {
        let wanted = numbers(row);
        let points = fit
            .ridge_analysis(&case.space, &surface, direction, &wanted[..1])
            .unwrap();
        let own = [
            points[0].radius,
            points[0].multiplier,
            points[0].coded[0],
            points[0].coded[1],
            points[0].prediction.value().clone().unwrap(),
        ];
        for (own, wanted) in own.iter().zip(&wanted) {
            // Tolerance of the file.
            assert_close(*own, *wanted, 1e-7, path);
        }
    }
}

// Computed with numpy/scipy by Hoerl's and Draper's equations (ridge_* of chemical-process-ccd.json).
#[test]
fn ridge_paths_follow_the_best_response_at_each_distance() {
    let reference = Reference::open("chemical-process-ccd");
    let case = process(&reference);
    let yields = case.fit(QUADRATIC, &reference.column("yield"));
    check_ridge(
        &yields,
        &case,
        "yield/ridge_maximum_R_mu_x1_x2_y",
        Direction::Up,
    );
    check_ridge(
        &yields,
        &case,
        "yield/ridge_minimum_R_mu_x1_x2_y",
        Direction::Down,
    );
    let weights = case.fit(QUADRATIC, &reference.column("molecular_weight"));
    let path = |end: &str| format!("molecular_weight_quadratic/ridge_{end}_R_mu_x1_x2_y");
    check_ridge(&weights, &case, &path("maximum"), Direction::Up);
    check_ridge(&weights, &case, &path("minimum"), Direction::Down);
}

// The same plan, viscosity and molecular weight: printed coefficients; stationary points from numpy/scipy.
#[test]
fn viscosity_and_molecular_weight_have_the_published_surfaces() {
    let reference = Reference::open("chemical-process-ccd");
    let case = process(&reference);
    for (name, path) in [
        ("viscosity", "viscosity"),
        ("molecular_weight", "molecular_weight_quadratic"),
    ] {
        let fit = case.fit(QUADRATIC, &reference.column(name));
        let of = |figure: &str| reference.expected(&format!("{path}/{figure}"));
        of("coefficients").check_all(&estimates(&fit));
        let level = fit.stationary_point(&case.space, &middle()).unwrap();
        of("stationary_point").check_all(&level.coded);
        let eigenvalues: Vec<f64> = level.axes.iter().map(|axis| axis.eigenvalue).collect();
        of("eigenvalues").check_all(&eigenvalues);
    }
    let viscosity = case.fit(QUADRATIC, &reference.column("viscosity"));
    let of = |figure: &str| reference.expected(&format!("viscosity/{figure}"));
    of("published_coefficients").check_all(&estimates(&viscosity));
    of("residual_ss").check(viscosity.residual_sum_of_squares());
    let response = reference.column("molecular_weight");
    let quadratic = case.fit(QUADRATIC, &response);
    reference
        .expected("molecular_weight_quadratic/pred_r_squared")
        .check(quadratic.r2_predicted().unwrap());
    let saddle = quadratic.stationary_point(&case.space, &middle()).unwrap();
    assert_eq!(saddle.nature_by_signs, Nature::Saddle);
    // By the rule of two standard errors this saddle cannot be told from a ridge.
    assert_eq!(saddle.nature, Nature::Ridge);
    assert!(!saddle.is_inside_ranges());
    let line = case.fit("x1, x2", &response);
    let of = |figure: &str| reference.expected(&format!("molecular_weight_first_order/{figure}"));
    of("published_coefficients").check_all(&estimates(&line));
    of("coefficients").check_all(&estimates(&line));
    of("residual_ss").check(line.residual_sum_of_squares());
}

// Computed with numpy/scipy (yield_at_0.4_0.3).
#[test]
fn intervals_at_a_point_agree() {
    let reference = Reference::open("chemical-process-ccd");
    let case = process(&reference);
    let matrix = case.matrix(QUADRATIC);
    let fit = LeastSquares::fit(&matrix, &reference.column("yield"), None).unwrap();
    let row = matrix.row_at(&case.space, &at(0.4, 0.3)).unwrap();
    let prediction = fit.predict(&row).unwrap();
    let entry = reference.expected("yield_at_0.4_0.3");
    entry.check_named("prediction", prediction.value().clone().unwrap());
    entry.check_named("se_mean", prediction.standard_error().unwrap());
    let mean = prediction
        .mean_interval(ConfidenceLevel::NINETY_FIVE)
        .unwrap();
    entry.part("ci95").check_all(&[mean.low, mean.high]);
    let single = prediction
        .single_interval(ConfidenceLevel::NINETY_FIVE)
        .unwrap();
    entry.part("pi95").check_all(&[single.low, single.high]);
    // Scheffé's band is wider by √(p F(p, ν))/t: with p = 6 and ν = 7, F(0.95) = 3.866 and t(0.975) = 2.365 in any
    // table (from memory, two decimals certain).
    let band = prediction
        .simultaneous_interval(ConfidenceLevel::NINETY_FIVE)
        .unwrap();
    let ratio = (band.high - band.low) / (mean.high - mean.low);
    assert_close(
        ratio,
        (6.0 * 3.866_f64).sqrt() / 2.365,
        1e-3,
        "F and t tables",
    );
}

// NIST/SEMATECH e-Handbook 5.5.3.1: staged fits, the block between stages, the final surface (numpy/scipy).
#[test]
fn a_campaign_in_stages_agrees_at_every_stage() {
    let reference = Reference::open("sequential-campaign-ccd");
    let stage = |rows: &[&str]| {
        let column = |name: &str| -> Vec<f64> {
            rows.iter()
                .flat_map(|rows| reference.column_of("columns", rows, name))
                .collect()
        };
        let case = Case::coded(&[("x1", column("x1")), ("x2", column("x2"))]);
        (case, column("yield"))
    };
    let (case, response) = stage(&["stage1"]);
    let fit = case.fit("x1, x2", &response);
    let entry = reference.expected("stage1_first_order");
    entry.part("coefficients").check_all(&estimates(&fit));
    entry.check_named("residual_sd", fit.residual_sd().unwrap());
    entry.check_named("r_squared", fit.r2().unwrap());
    let fit = case.fit("x1, x2, x1*x2", &response);
    let entry = reference.expected("stage1_with_interaction");
    entry.part("coefficients").check_all(&estimates(&fit));
    entry.check_named("residual_sd", fit.residual_sd().unwrap());
    let (case, response) = stage(&["stage2"]);
    let fit = case.fit("x1, x2", &response);
    let entry = reference.expected("stage2_first_order");
    entry.part("coefficients").check_all(&estimates(&fit));
    entry.check_named("residual_sd", fit.residual_sd().unwrap());
    let (case, response) = stage(&["stage2", "stage3_axial"]);
    let fit = case.fit(QUADRATIC, &response);
    let entry = reference.expected("stage2_3_quadratic");
    entry.part("coefficients").check_all(&estimates(&fit));
    entry.part("std_errors").check_all(&standard_errors(&fit));
    entry.check_named("residual_sd", fit.residual_sd().unwrap());
    entry.check_named("r_squared", fit.r2().unwrap());
    entry.check_named("press", fit.press().unwrap());
    let top = fit.stationary_point(&case.space, &middle()).unwrap();
    reference.expected("stationary_point").check_all(&top.coded);
    let value = top.prediction.value().clone().unwrap();
    reference.expected("stationary_value").check(value);
    let eigenvalues: Vec<f64> = top.axes.iter().map(|axis| axis.eigenvalue).collect();
    reference.expected("eigenvalues").check_all(&eigenvalues);
}

// The same campaign with a block for each stage. The reference's block column is +1 for the first stage and stands
// last; ours is named after the second stage and follows the intercept.
#[test]
fn a_block_between_stages_moves_only_what_it_must() {
    let reference = Reference::open("sequential-campaign-ccd");
    let column = |name: &str| -> Vec<f64> {
        ["stage2", "stage3_axial"]
            .iter()
            .flat_map(|rows| reference.column_of("columns", rows, name))
            .collect()
    };
    let stages: Vec<String> = (0..13)
        .map(|run| if run < 9 { "factorial" } else { "axial" }.to_owned())
        .collect();
    let case =
        Case::coded(&[("x1", column("x1")), ("x2", column("x2"))]).in_blocks("stage", &stages);
    let fit = case.fit(QUADRATIC, &column("yield"));
    assert_eq!(fit.column_names()[1], "stage[axial]");
    let entry = reference.expected("stage2_3_quadratic_with_block");
    let rotate = |own: Vec<f64>, sign: f64| {
        let mut turned = vec![own[0]];
        turned.extend(&own[2..]);
        turned.push(sign * own[1]);
        turned
    };
    entry
        .part("coefficients")
        .check_all(&rotate(estimates(&fit), -1.0));
    entry
        .part("std_errors")
        .check_all(&rotate(standard_errors(&fit), 1.0));
    entry.check_named("block_half_difference_last", -fit.estimate(1).unwrap());
    // A prediction averages over the blocks: the middle is the intercept.
    let row = fit.layout().row_at(&case.space, &middle()).unwrap();
    let center = fit.predict(&row).unwrap().value().clone().unwrap();
    assert_close(
        center,
        fit.estimate(0).unwrap(),
        1e-15,
        "block columns are 0",
    );
}

// By definition: no stationary point without every square, none on a plane.
#[test]
fn a_surface_without_its_squares_has_no_stationary_point() {
    let reference = Reference::open("chemical-process-ccd");
    let case = process(&reference);
    let fit = case.fit("x1, x2, x1^2, x1*x2", &reference.column("yield"));
    let missing = "x2^2".to_owned();
    assert_eq!(
        fit.stationary_point(&case.space, &middle()),
        Err(FitError::Undefined(Undefined::NoFullSquarePart { missing }))
    );
    let fit = case.fit("x1, x2, x1^2, x2^2, x1^3", &reference.column("yield"));
    let term = "x1^3".to_owned();
    assert_eq!(
        fit.stationary_point(&case.space, &middle()),
        Err(FitError::Undefined(Undefined::AboveSecondOrder { term }))
    );
}

// By hand: y = 3 − (x1 − 0.5)² − 2 (x2 + 0.25)² has its top at (0.5, −0.25); steepest ascent at the middle is
// (1, −1)/√2.
#[test]
fn a_known_surface_is_recovered_exactly() {
    let grid = [-1.0, 0.0, 1.0];
    let x1: Vec<f64> = grid.iter().flat_map(|_| grid).collect();
    let x2: Vec<f64> = grid.iter().flat_map(|v| [*v; 3]).collect();
    let response: Vec<f64> = x1
        .iter()
        .zip(&x2)
        .map(|(a, b)| 3.0 - (a - 0.5).powi(2) - 2.0 * (b + 0.25).powi(2))
        .collect();
    let case = Case::coded(&[("x1", x1), ("x2", x2)]);
    let fit = case.fit(QUADRATIC, &response);
    let top = fit.stationary_point(&case.space, &middle()).unwrap();
    assert_close(top.coded[0], 0.5, 1e-13, "by hand");
    assert_close(top.coded[1], -0.25, 1e-13, "by hand");
    let value = top.prediction.value().clone().unwrap();
    assert_close(value, 3.0, 1e-14, "by hand");
    let surface = fit.quadratic_surface(&case.space, &middle()).unwrap();
    let up = surface.steepest_direction(Direction::Up).unwrap();
    assert_close(up[0], 0.5_f64.sqrt(), 1e-13, "by hand");
    assert_close(up[1], -(0.5_f64.sqrt()), 1e-13, "by hand");
}
