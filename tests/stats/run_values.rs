//! Readings reduced to one value a run.

use wetlane_stats::run_values::{pooled_sd, reading_count_weights};
use wetlane_stats::{Center, FitError, Profile, RunValue};

use crate::reference::Reference;
use crate::support::assert_close;

fn value(readings: &[f64], center: Center) -> RunValue {
    RunValue::from_readings(readings, center).unwrap()
}

// By hand: 2, 4, 9 have mean 5, median 4, variance (9 + 1 + 16)/2.
#[test]
fn mean_median_and_sd_are_those_by_hand() {
    let mean = value(&[2.0, 4.0, 9.0], Center::Mean);
    assert_eq!(mean.center, Some(5.0));
    assert_close(mean.sd.unwrap(), 13.0_f64.sqrt(), 1e-15, "by hand");
    assert_eq!(mean.df(), 2);
    assert_eq!(value(&[2.0, 9.0, 4.0], Center::Median).center, Some(4.0));
    assert_eq!(
        value(&[1.0, 2.0, 9.0, 4.0], Center::Median).center,
        Some(3.0)
    );
}

// By definition: nothing, one reading, equal readings.
#[test]
fn few_or_equal_readings_say_what_they_cannot_tell() {
    let none = value(&[], Center::Mean);
    assert_eq!((none.center, none.sd, none.df()), (None, None, 0));
    let one = value(&[7.5], Center::Median);
    assert_eq!((one.center, one.sd), (Some(7.5), None));
    assert_eq!(one.log_sd(0.1), None);
    let equal = value(&[0.1, 0.1, 0.1], Center::Mean);
    assert_eq!((equal.center, equal.sd), (Some(0.1), Some(0.0)));
    // Resolution 0.1 stands in with its own rounding error, 0.1/√12.
    let log_sd = equal.log_sd(0.1).unwrap();
    assert!(log_sd.is_from_resolution);
    assert_close(log_sd.value, (0.1 / 12.0_f64.sqrt()).ln(), 1e-15, "by hand");
    assert_close(log_sd.weight, 4.0, 1e-15, "2(m − 1)");
    assert_eq!(equal.log_sd(0.0), None);
    assert!(matches!(
        RunValue::from_readings(&[1.0, f64::INFINITY], Center::Mean),
        Err(FitError::BadNumber { .. })
    ));
}

// NIST StRD, SmLs01: the pooled scatter within groups is the certified residual sd, 0.1.
#[test]
fn pooled_scatter_is_the_within_groups_sd() {
    let reference = Reference::open("strd-anova-sirstv");
    let treatment = reference.column("treatment");
    let readings = reference.column("y");
    let runs: Vec<RunValue> = (1..=5)
        .map(|group| {
            let own: Vec<f64> = (0..readings.len())
                .filter(|row| (treatment[*row] - f64::from(group)).abs() < 0.5)
                .map(|row| readings[row])
                .collect();
            value(&own, Center::Mean)
        })
        .collect();
    let pooled = pooled_sd(&runs).unwrap();
    assert_eq!(pooled.df, 20);
    reference.expected("residual_sd").check(pooled.sd);
    assert_eq!(pooled_sd(&[value(&[1.0], Center::Mean)]), None);
}

// By hand: with run variance 1 and reading variance 2, means of 1, 2 and 4 readings have variances 3, 2 and 1.5.
#[test]
fn weights_follow_the_number_of_readings() {
    let runs: Vec<RunValue> = [1, 2, 4, 0]
        .map(|n| value(&vec![1.0; n], Center::Mean))
        .to_vec();
    let weights = reading_count_weights(&runs, 1.0, 2.0).unwrap();
    for (own, wanted) in weights.iter().zip([0.5, 0.75, 1.0, 0.0]) {
        assert_close(*own, wanted, 1e-15, "by hand");
    }
    assert!(reading_count_weights(&runs, -1.0, 2.0).is_err());
    assert!(reading_count_weights(&runs, 0.0, 0.0).is_err());
}

// By hand: a profile 3, 5, 6, 7, 4 at 0 to 4.
#[test]
fn a_profile_has_edges_and_slope() {
    let positions = [2.0, 0.0, 1.0, 4.0, 3.0];
    let values = [6.0, 3.0, 5.0, 4.0, 7.0];
    let profile = Profile::new(&positions, &values).unwrap();
    assert_close(profile.mean, 5.0, 1e-15, "by hand");
    assert_close(profile.range, 4.0, 1e-15, "by hand");
    assert_close(
        profile.edge_minus_center.unwrap(),
        3.5 - 6.0,
        1e-15,
        "by hand",
    );
    assert_close(profile.slope.unwrap(), 0.4, 1e-15, "Σ x(y − 5) = 4 over 10");
    assert!(Profile::new(&positions[1..], &values).is_err());
    assert!(Profile::new(&[], &[]).is_err());
    let flat = Profile::new(&[1.0, 1.0], &[2.0, 3.0]).unwrap();
    assert_eq!((flat.slope, flat.edge_minus_center), (None, None));
}
