//! Noncentral distributions and power: values of forty digits, printed examples, and limits.

use nalgebra::{DMatrix, DVector};
use proptest::prelude::*;
use wetlane_stats::noncentral::{NoncentralChiSquare, NoncentralError, NoncentralF, NoncentralT};
use wetlane_stats::power::{
    PowerError, ReplicatedTest, least_noncentrality, power_of_f_test, replicates_for_power,
};

use crate::reference::{Reference, list, number};
use crate::support::assert_close;

/// noncentral-distributions.json: absolute 1e-9, and relative 1e-6 for what lies between 1e-12 and 1e-3.
fn assert_probability(actual: f64, expected: f64, label: &str) {
    assert!(
        (actual - expected).abs() <= 1e-9,
        "{label}: {actual:e}, wanted {expected:e}"
    );
    if (1e-12..1e-3).contains(&expected) {
        assert!(
            (actual - expected).abs() <= 1e-6 * expected,
            "{label}: {actual:e}, wanted {expected:e}"
        );
    }
}

#[test]
fn noncentral_f_equals_forty_digit_values() {
    // noncentral-distributions.json: mpmath 1.3.0, 40 digits, Poisson mixture (Johnson, Kotz & Balakrishnan 1995).
    let reference = Reference::open("noncentral-distributions");
    for row in reference.table("ncf_rows") {
        let distribution = NoncentralF::new(row[0], row[1], row[2]).unwrap();
        let label = format!("F'({}, {}, {}) at {}", row[0], row[1], row[2], row[3]);
        assert_probability(distribution.cdf(row[3]), row[4], &label);
        assert_probability(distribution.sf(row[3]), row[5], &label);
    }
    // The smallest one to its own digits: no cancellation in the lower tail.
    let tiny = NoncentralF::new(1.0, 4.0, 200.0).unwrap().cdf(7.708_647);
    assert_close(
        tiny,
        2.796_337_248_734_658_6e-14,
        1e-9,
        "mpmath 1.3.0, 40 digits",
    );
}

#[test]
fn noncentral_t_equals_forty_digit_values() {
    // noncentral-distributions.json: mpmath 1.3.0, 40 digits, quadrature over the chi scale.
    let reference = Reference::open("noncentral-distributions");
    for row in reference.table("nct_rows") {
        let distribution = NoncentralT::new(row[0], row[1]).unwrap();
        let label = format!("t'({}, {}) at {}", row[0], row[1], row[2]);
        assert_probability(distribution.cdf(row[2]), row[3], &label);
        assert_probability(distribution.sf(row[2]), row[4], &label);
    }
    for row in reference.table("nct_quantile_rows") {
        let quantile = NoncentralT::new(row[1], row[2])
            .unwrap()
            .quantile(row[0])
            .unwrap();
        assert_close(quantile, row[3], 1e-9, "mpmath 1.3.0, 40 digits");
    }
}

#[test]
fn squares_of_noncentral_t_are_noncentral_f() {
    // Identity: t'(ν, δ)² is F'(1, ν, δ²).
    for (df, delta, t) in [
        (3.0, 0.7, 1.2),
        (8.0, 2.5, 2.3),
        (20.0, 6.0, 4.0),
        (50.0, 45.0, 44.0),
    ] {
        let of_t = NoncentralT::new(df, delta).unwrap();
        let of_f = NoncentralF::new(1.0, df, delta * delta).unwrap();
        let both = of_t.cdf(t) - of_t.cdf(-t);
        assert_close(of_f.cdf(t * t), both, 1e-11, "t'² = F'");
    }
}

#[test]
fn large_noncentralities_approach_the_normal_distribution() {
    // Limit: χ'²(df, λ) is nearly normal with mean df + λ and variance 2 (df + 2λ) for large λ; its median is near the
    // mean. Skewness is √8 (df + 3λ)/(df + 2λ)^1.5 = 0.024 here, which moves P(at the mean) from 1/2 by skewness/6/√(2π)
    // = 0.0016 (Edgeworth expansion, first term).
    let distribution = NoncentralChiSquare::new(4.0, 30_000.0).unwrap();
    let at_mean = distribution.cdf(30_004.0);
    let skewness = 8.0_f64.sqrt() * 90_004.0 / 60_004.0_f64.powf(1.5);
    let expected = 0.5 + skewness / 6.0 / (2.0 * std::f64::consts::PI).sqrt();
    assert!((at_mean - expected).abs() < 1e-5, "{at_mean} {expected}");
    assert!((distribution.cdf(30_004.0) + distribution.sf(30_004.0) - 1.0).abs() < 1e-12);
    // F' with infinite denominator df is χ'²/df.
    let ratio = NoncentralF::new(4.0, f64::INFINITY, 30_000.0).unwrap();
    assert_close(ratio.cdf(7_501.0), at_mean, 1e-13, "F'(df, ∞) = χ'²/df");
}

#[test]
fn nonsense_parameters_are_refused() {
    for (df1, df2, lambda) in [
        (0.0, 5.0, 1.0),
        (-1.0, 5.0, 1.0),
        (f64::NAN, 5.0, 1.0),
        (f64::INFINITY, 5.0, 1.0),
        (2.0, 0.0, 1.0),
        (2.0, f64::NAN, 1.0),
        (2.0, 5.0, -1.0),
        (2.0, 5.0, f64::NAN),
        (2.0, 5.0, 1e9),
    ] {
        assert!(
            NoncentralF::new(df1, df2, lambda).is_err(),
            "{df1} {df2} {lambda}"
        );
    }
    assert!(NoncentralT::new(0.0, 1.0).is_err());
    assert!(NoncentralT::new(5.0, f64::NAN).is_err());
    let t = NoncentralT::new(5.0, 1.0).unwrap();
    for probability in [0.0, 1.0, -0.1, f64::NAN] {
        assert!(matches!(
            t.quantile(probability),
            Err(NoncentralError::BadProbability { .. })
        ));
    }
    let f = NoncentralF::new(2.0, 5.0, 3.0).unwrap();
    assert_eq!((f.cdf(0.0), f.sf(-1.0)), (0.0, 1.0));
    assert_eq!((f.cdf(f64::INFINITY), f.sf(f64::INFINITY)), (1.0, 0.0));
    assert!(f.cdf(f64::NAN).is_nan());
    assert!(matches!(
        power_of_f_test(1.0, 5.0, 2.0, 0.0),
        Err(PowerError::BadSignificanceLevel { .. })
    ));
    assert!(power_of_f_test(1.0, 5.0, f64::NAN, 0.05).is_err());
    assert!(power_of_f_test(1.0, 0.0, 1.0, 0.05).is_err());
    assert_eq!(
        power_of_f_test(1.0, 1.0, f64::INFINITY, 0.05),
        power_of_f_test(1.0, 1.0, 1e8, 0.05)
    );
}

#[test]
fn two_printed_examples_of_power_come_out() {
    // R reference manual, power.t.test(n = 20, delta = 1, sd = 1): 0.8689528 (one tail, the manual's default for a
    // two-sided test): P(t'(38, √10) > t_0.975(38)).
    let reference = Reference::open("power-examples");
    let critical = wetlane_stats::distributions::StudentT::new(38.0)
        .unwrap()
        .two_sided_quantile(0.05);
    let one_tail = NoncentralT::new(38.0, 10.0_f64.sqrt())
        .unwrap()
        .sf(critical);
    reference
        .expected("r_power_t_test_n20_delta1_sd1_two_sided")
        .check(one_tail);
    // power.anova.test(groups = 4, n = 5, between.var = 1, within.var = 3): 0.3535594; λ = (4 − 1)·5·1/3 = 5.
    let power = power_of_f_test(3.0, 16.0, 5.0, 0.05).unwrap();
    reference
        .expected("r_power_anova_groups4_n5_between1_within3")
        .check(power);
}

#[test]
fn tabled_powers_come_out() {
    // power-examples.json: mpmath 1.3.0; noncentralities stated with each case.
    let reference = Reference::open("power-examples");
    for case in list(reference.data("cases")) {
        let name = case["case"].as_str().unwrap();
        let df1 = case.get("df1").map_or(1.0, number);
        let alpha = number(&case["alpha"]);
        let power =
            power_of_f_test(df1, number(&case["df2"]), number(&case["lambda"]), alpha).unwrap();
        let wanted = number(&case["power"]);
        assert!(
            (power - wanted).abs() <= 1e-6,
            "{name}: {power}, wanted {wanted}"
        );
    }
}

#[test]
fn the_most_unlucky_levels_of_a_category_are_two_apart_and_the_rest_midway() {
    // docs/methods.md, 4.5: balanced one-way with r runs a level: λ = r E²/2. Sum-to-zero coefficients have covariance
    // (I − J/L)/r among the first L − 1 levels.
    for (n_levels, n_each, effect) in [(3, 4, 1.5), (4, 5, 2.0), (5, 3, 2.0), (2, 7, 1.0)] {
        let n = n_levels - 1;
        let covariance = DMatrix::from_fn(n, n, |i, j| {
            (f64::from(u8::from(i == j)) - 1.0 / n_levels as f64) / f64::from(n_each)
        });
        let settings: Vec<DVector<f64>> = (0..n_levels)
            .map(|level| {
                DVector::from_fn(n, |column, _| {
                    if level == n {
                        -1.0
                    } else {
                        f64::from(u8::from(level == column))
                    }
                })
            })
            .collect();
        let lambda = least_noncentrality(effect, &covariance, &settings).unwrap();
        assert_close(
            lambda,
            f64::from(n_each) * effect * effect / 2.0,
            1e-12,
            "r E²/2",
        );
    }
    let one = DMatrix::from_element(1, 1, 1.0);
    assert_eq!(
        least_noncentrality(2.0, &one, &[DVector::from_element(1, 1.0)]),
        None
    );
}

#[test]
fn replicates_for_a_wanted_power_are_the_fewest() {
    // By the definition: the count before does not reach the wish, the count itself does. A 2² with its full model has
    // no error in one replicate.
    let plan = ReplicatedTest {
        n_runs: 4,
        rank: 4,
        df1: 1.0,
        lambda_of_one: 1.0,
        alpha: 0.05,
    };
    let n = replicates_for_power(plan, 0.9, 100).unwrap().unwrap();
    let power = |n: usize| power_of_f_test(1.0, (4 * n - 4) as f64, n as f64, 0.05).unwrap();
    assert!(power(n) >= 0.9 && power(n - 1) < 0.9);
    assert_eq!(replicates_for_power(plan, 0.9, 3).unwrap(), None);
}

proptest! {
    // Property 21 of docs/methods.md, 8.3.
    #[test]
    fn power_grows_with_effect_and_df_and_begins_at_alpha(
        df1 in 1_u8..6, df2 in 1_u8..60, lambda in 0.01_f64..40.0, alpha in 0.001_f64..0.2,
    ) {
        let (df1, df2) = (f64::from(df1), f64::from(df2));
        let power = |df2: f64, lambda: f64| power_of_f_test(df1, df2, lambda, alpha).unwrap();
        prop_assert!((power(df2, 0.0) - alpha).abs() < 1e-10);
        prop_assert!(power(df2, lambda) > alpha);
        prop_assert!(power(df2, 1.1 * lambda) > power(df2, lambda));
        prop_assert!(power(df2 + 1.0, lambda) > power(df2, lambda));
        prop_assert!(power(f64::INFINITY, lambda) > power(df2, lambda));
    }

    #[test]
    fn tails_add_to_one_and_quantiles_invert(df in 1.0_f64..80.0, delta in -6.0_f64..6.0, t in -10.0_f64..10.0) {
        let distribution = NoncentralT::new(df, delta).unwrap();
        let (lower, upper) = (distribution.cdf(t), distribution.sf(t));
        prop_assert!((lower + upper - 1.0).abs() < 1e-11);
        if (1e-6..1.0 - 1e-6).contains(&lower) {
            let back = distribution.quantile(lower).unwrap();
            prop_assert!((back - t).abs() < 1e-7 * (1.0 + t.abs()), "{} {}", back, t);
        }
    }
}
