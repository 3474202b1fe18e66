//! Tolerance factors and confirmation runs against tables and worked figures; coverage by simulation.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use wetlane_stats::distributions::{ChiSquare, normal_quantile};
use wetlane_stats::prediction::{one_sided_tolerance_factor, tolerance_factor};
use wetlane_stats::{ConfidenceLevel, FitError, Prediction, Undefined};

use crate::fitting::Case;
use crate::reference::{Reference, list, number, numbers};
use crate::support::assert_close;

fn level(p: f64) -> ConfidenceLevel {
    ConfidenceLevel::new(p).unwrap()
}

// Howe (1969) for n = 3 to 100 (tolerance-factors.json, own quadrature); NIST/SEMATECH e-Handbook 7.2.6.3 prints 2.217
// for n = 43, 90 % with 99 % confidence.
#[test]
fn two_sided_tolerance_factors_are_those_of_howe() {
    let reference = Reference::open("tolerance-factors");
    for row in reference.table("rows") {
        let own = tolerance_factor(row[0], row[0] - 1.0, level(row[1]), level(row[2])).unwrap();
        assert_close(own, row[5], 1e-6, "Howe's formula, tolerance-factors.json");
        // The exact factor by quadrature: Howe's is within 4 % from n = 3 and within 1 % from n = 10.
        let slack = if row[0] < 10.0 { 0.04 } else { 0.01 };
        assert_close(own, row[6], slack, "exact factor, tolerance-factors.json");
    }
    let own = tolerance_factor(43.0, 42.0, level(0.9), level(0.99)).unwrap();
    reference
        .expected("published_n43_p90_g99")
        .check_named("k2_howe", own);
}

// tolerance-factors.json (own quadrature, k1_exact); NIST/SEMATECH e-Handbook 7.2.6.3 prints 1.8740 for n = 43, and
// classical tables 2.911 for n = 10, 95 % with 95 % confidence.
#[test]
fn one_sided_tolerance_factors_are_exact() {
    let reference = Reference::open("tolerance-factors");
    let own = |row: &[f64]| {
        one_sided_tolerance_factor(row[0], row[0] - 1.0, level(row[1]), level(row[2])).unwrap()
    };
    for row in reference.table("rows") {
        assert_close(own(&row), row[3], 1e-6, "tolerance-factors.json, k1_exact");
    }
    reference
        .expected("published_n43_p90_g99")
        .check_named("k1_exact", own(&[43.0, 0.9, 0.99]));
    reference
        .expected("published_k1_n10_p95_g95")
        .check(own(&[10.0, 0.95, 0.95]));
    assert_eq!(
        one_sided_tolerance_factor(0.0, 4.0, level(0.9), level(0.9)),
        None
    );
    assert_eq!(
        one_sided_tolerance_factor(5.0, 0.0, level(0.9), level(0.9)),
        None
    );
    let sample = Prediction::from_parts(10.0, 2.0 / 43.0_f64.sqrt(), 2.0, 42, 1).unwrap();
    let bounds = sample
        .one_sided_tolerance_bounds(level(0.9), level(0.99))
        .unwrap();
    assert_close(bounds.low, 10.0 - 2.0 * 1.874, 1e-4, "e-Handbook");
}

// By definition: infinitely many df leave only the uncertainty of the mean.
#[test]
fn tolerance_factor_has_its_limits() {
    let own = tolerance_factor(25.0, f64::INFINITY, level(0.95), level(0.95)).unwrap();
    let wanted = normal_quantile(0.975) * (1.0_f64 + 1.0 / 25.0).sqrt();
    assert_close(own, wanted, 1e-12, "limit");
    assert_eq!(tolerance_factor(25.0, 0.0, level(0.9), level(0.9)), None);
    assert_eq!(
        tolerance_factor(f64::NAN, 4.0, level(0.9), level(0.9)),
        None
    );
}

// confirmation-and-pareto.json (scipy): interval of the mean of new runs, t and p.
#[test]
fn confirmation_runs_are_held_against_the_prediction() {
    let reference = Reference::open("confirmation-and-pareto");
    for case in list(reference.data("confirmation")) {
        let df = usize::try_from(case["df"].as_u64().unwrap()).unwrap();
        let of = |name: &str| number(&case[name]);
        let prediction = Prediction::from_parts(of("prediction"), of("se_mean"), of("s"), df, 3);
        let observed = numbers(&case["observed"]);
        let own = prediction
            .unwrap()
            .confirm(&observed, ConfidenceLevel::NINETY_FIVE)
            .unwrap();
        let wanted = numbers(&case["interval95"]);
        assert_close(own.interval.low, wanted[0], 1e-9, "scipy, interval95");
        assert_close(own.interval.high, wanted[1], 1e-9, "scipy, interval95");
        assert_close(own.t, of("t"), 1e-9, "scipy, t");
        assert_close(own.p, of("p"), 1e-9, "scipy, p");
        assert_eq!(own.is_inside, case["inside"].as_bool().unwrap());
        assert_eq!(own.scatter.is_some(), observed.len() >= 3);
    }
}

// By definition.
#[test]
fn confirmation_needs_finite_runs_and_an_error() {
    let prediction = Prediction::from_parts(1.0, 0.1, 0.2, 5, 3).unwrap();
    let confirm = |runs: &[f64]| prediction.confirm(runs, ConfidenceLevel::NINETY_FIVE);
    assert_eq!(confirm(&[]), Err(FitError::NoRuns));
    assert!(confirm(&[f64::NAN]).is_err());
    let saturated = Prediction::from_parts(1.0, 0.1, 0.2, 0, 3).unwrap();
    assert_eq!(
        saturated.confirm(&[1.0], ConfidenceLevel::NINETY_FIVE),
        Err(FitError::Undefined(Undefined::NoErrorDf))
    );
    assert!(Prediction::from_parts(1.0, -0.1, 0.2, 5, 3).is_err());
    assert!(Prediction::from_parts(1.0, 0.1, 0.0, 5, 3).is_err());
}

/// A standard normal number from 53 random bits, by inversion.
fn normal(generator: &mut ChaCha8Rng) -> f64 {
    let bits = generator.next_u64() >> 11;
    normal_quantile((bits as f64 + 0.5) / 9_007_199_254_740_992.0)
}

/// Share of simulated data sets whose interval does what it promises.
fn coverage(promise: impl Fn(&Prediction, f64, f64) -> bool) -> f64 {
    let x = vec![-1.0, -1.0, -0.5, 0.0, 0.0, 0.5, 1.0, 1.0];
    let case = Case::coded(&[("x", x.clone())]);
    let matrix = case.matrix("x, x^2");
    let row = [1.0, 0.3, 0.09];
    let truth = |x: f64| 2.0 + x - 0.5 * x * x;
    let mut generator = ChaCha8Rng::seed_from_u64(20_240_517);
    let n_sets = 4000;
    let kept = (0..n_sets)
        .filter(|_| {
            let response: Vec<f64> = x
                .iter()
                .map(|x| truth(*x) + 0.7 * normal(&mut generator))
                .collect();
            let fit = wetlane_stats::LeastSquares::fit(&matrix, &response, None).unwrap();
            let new_run = truth(0.3) + 0.7 * normal(&mut generator);
            promise(&fit.predict(&row).unwrap(), truth(0.3), new_run)
        })
        .count();
    kept as f64 / f64::from(n_sets)
}

// By simulation, 4000 data sets of 8 runs: within 3 binomial standard errors of the nominal share.
#[test]
fn intervals_cover_as_often_as_they_say() {
    let ninety = level(0.9);
    let slack = 3.0 * (0.9_f64 * 0.1 / 4000.0).sqrt();
    let mean = coverage(|p, truth, _| p.mean_interval(ninety).unwrap().contains(truth));
    assert!((mean - 0.9).abs() < slack, "mean: {mean}");
    let single = coverage(|p, _, run| p.single_interval(ninety).unwrap().contains(run));
    assert!((single - 0.9).abs() < slack, "single: {single}");
    // Content 80 % of the true distribution with confidence 90 %: Howe's factor is approximate with 5 df, so the share
    // is only asked to lie within 2 % of the nominal one.
    let tolerance = coverage(|p, truth, _| {
        let interval = p.tolerance_interval(level(0.8), ninety).unwrap();
        let share = wetlane_stats::distributions::normal_cdf((interval.high - truth) / 0.7)
            - wetlane_stats::distributions::normal_cdf((interval.low - truth) / 0.7);
        share >= 0.8
    });
    assert!((tolerance - 0.9).abs() < 0.02, "tolerance: {tolerance}");
}

// By definition: the factor of the tolerance interval at a point uses the leverage there.
#[test]
fn tolerance_interval_of_a_plain_sample_is_the_table_factor() {
    let prediction = Prediction::from_parts(10.0, 2.0 / 43.0_f64.sqrt(), 2.0, 42, 1).unwrap();
    let interval = prediction
        .tolerance_interval(level(0.9), level(0.99))
        .unwrap();
    // NIST/SEMATECH e-Handbook 7.2.6.3: 2.217.
    assert_close(interval.high - 10.0, 2.0 * 2.217, 2.5e-4, "e-Handbook");
    let chi_square = ChiSquare::new(42.0).unwrap().quantile(0.01);
    // The same page: chi-square(0.01, 42) = 23.650.
    assert_close(chi_square, 23.650, 1e-4, "e-Handbook");
}
