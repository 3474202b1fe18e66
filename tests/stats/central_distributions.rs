//! Tails and quantiles of the central distributions against 50-digit values and closed forms.

use wetlane_stats::distributions::{
    Beta, ChiSquare, DistributionError, FisherF, StudentT, normal_cdf, normal_quantile, normal_sf,
};

use crate::reference::Reference;
use crate::support::assert_close;

const SOURCE: &str = "mpmath 1.4.1, 50 digits (central_distributions.py)";

/// Tails and quantiles agree to this relative difference down to the smallest ones; measured: 1e-13 for tails, 4e-13 for quantiles.
const TOLERANCE: f64 = 1e-12;

fn rows(kind: &str) -> Vec<Vec<f64>> {
    Reference::open("central-distributions").table(&format!("{kind}_rows"))
}

// mpmath at 50 digits.
#[test]
fn tails_agree_to_twelve_digits_however_small() {
    for row in rows("t") {
        let t = StudentT::new(row[0]).unwrap();
        assert_close(t.sf(row[1]), row[2], TOLERANCE, SOURCE);
        assert_close(t.cdf(-row[1]), row[2], TOLERANCE, SOURCE);
    }
    for row in rows("f") {
        let f = FisherF::new(row[0], row[1]).unwrap();
        assert_close(f.cdf(row[2]), row[3], TOLERANCE, SOURCE);
        assert_close(f.sf(row[2]), row[4], TOLERANCE, SOURCE);
    }
    for row in rows("chi2") {
        let chi_square = ChiSquare::new(row[0]).unwrap();
        assert_close(chi_square.cdf(row[1]), row[2], TOLERANCE, SOURCE);
        assert_close(chi_square.sf(row[1]), row[3], TOLERANCE, SOURCE);
    }
    for row in rows("beta") {
        let beta = Beta::new(row[0], row[1]).unwrap();
        assert_close(beta.cdf(row[2]), row[3], TOLERANCE, SOURCE);
        assert_close(beta.sf(row[2]), row[4], TOLERANCE, SOURCE);
    }
    for row in rows("normal") {
        assert_close(normal_sf(row[0]), row[1], TOLERANCE, SOURCE);
        assert_close(normal_cdf(-row[0]), row[1], TOLERANCE, SOURCE);
    }
}

// mpmath at 50 digits.
#[test]
fn quantiles_agree_to_twelve_digits() {
    for row in rows("t_quantile") {
        let t = StudentT::new(row[0]).unwrap();
        assert_close(t.two_sided_quantile(row[1]), row[2], TOLERANCE, SOURCE);
        assert_close(t.quantile(0.5 * row[1]), -row[2], TOLERANCE, SOURCE);
    }
    for row in rows("f_quantile") {
        let f = FisherF::new(row[0], row[1]).unwrap();
        assert_close(f.upper_quantile(row[2]), row[3], TOLERANCE, SOURCE);
    }
    for row in rows("chi2_quantile") {
        let chi_square = ChiSquare::new(row[0]).unwrap();
        assert_close(chi_square.quantile(row[1]), row[2], TOLERANCE, SOURCE);
    }
}

// scipy 1.17.1: figures that a general library gives for the same tails.
#[test]
fn tails_agree_with_a_general_library() {
    let t = StudentT::new(5.0).unwrap();
    assert_close(t.sf(40.0), 9.205_981_085_886e-8, 1e-12, "scipy 1.17.1");
    let f = FisherF::new(8.0, 18000.0).unwrap();
    assert_close(f.sf(5.0), 3.255_969_950_43e-6, 1e-11, "scipy 1.17.1");
    assert_close(normal_sf(30.0), 4.906_713_9e-198, 1e-7, "scipy 1.17.1");
    let chi_square = ChiSquare::new(7.0).unwrap();
    assert_close(
        chi_square.sf(200.0),
        1.147_781_224e-39,
        1e-9,
        "scipy 1.17.1",
    );
}

// Closed forms (Abramowitz & Stegun 26.7): t on 1 df is Cauchy; chi-square on 2 df is exponential; F on 2 and ν df has
// upper tail (1 + 2f/ν)^(−ν/2).
#[test]
fn closed_forms_are_met_far_out_in_the_tails() {
    let cauchy = StudentT::new(1.0).unwrap();
    for t in [0.1_f64, 1.0, 30.0, 1e6, 1e12] {
        let wanted = (1.0 / t).atan() / std::f64::consts::PI;
        assert_close(cauchy.sf(t), wanted, 1e-13, "arctangent");
    }
    let exponential = ChiSquare::new(2.0).unwrap();
    for x in [0.01, 2.0, 50.0, 1300.0] {
        assert_close(exponential.sf(x), (-0.5 * x).exp(), 1e-13, "exponential");
    }
    for df in [1.0, 4.0, 40.0] {
        let f = FisherF::new(2.0, df).unwrap();
        for ratio in [0.2, 3.0, 80.0] {
            let wanted = (-0.5 * df * (2.0 * ratio / df).ln_1p()).exp();
            assert_close(f.sf(ratio), wanted, 1e-13, "power law");
        }
    }
}

// By definition: the quantile undoes the distribution function, and infinite df are the limits.
#[test]
fn quantiles_undo_tails_and_limits_hold() {
    for p in [1e-9, 1e-3, 0.2, 0.5, 0.9, 0.9999] {
        assert_close(normal_cdf(normal_quantile(p)), p, 1e-13, "round trip");
        for df in [0.7, 1.0, 6.0, 88.0, 1e5] {
            let t = StudentT::new(df).unwrap();
            assert_close(t.cdf(t.quantile(p)), p, 1e-10, "round trip");
            let f = FisherF::new(df, 9.0).unwrap();
            assert_close(f.cdf(f.quantile(p)), p, 1e-10, "round trip");
            let chi_square = ChiSquare::new(df).unwrap();
            assert_close(
                chi_square.cdf(chi_square.quantile(p)),
                p,
                1e-10,
                "round trip",
            );
            let beta = Beta::new(df, 3.0).unwrap();
            assert_close(beta.cdf(beta.quantile(p)), p, 1e-10, "round trip");
        }
        let t = StudentT::new(f64::INFINITY).unwrap();
        assert_close(t.quantile(p), normal_quantile(p), 1e-12, "limit of t");
        let f = FisherF::new(4.0, f64::INFINITY).unwrap();
        let chi_square = ChiSquare::new(4.0).unwrap();
        assert_close(
            f.quantile(p),
            chi_square.quantile(p) / 4.0,
            1e-12,
            "limit of F",
        );
    }
    assert_eq!(normal_quantile(0.0), f64::NEG_INFINITY);
    assert_eq!(StudentT::new(3.0).unwrap().quantile(1.0), f64::INFINITY);
    assert_eq!(ChiSquare::new(3.0).unwrap().quantile(-1.0), 0.0);
}

// By definition: there is no distribution with no or negative degrees of freedom.
#[test]
fn impossible_parameters_are_refused() {
    let bad = |df| DistributionError::BadDegreesOfFreedom { df };
    assert_eq!(StudentT::new(0.0), Err(bad(0.0)));
    assert_eq!(ChiSquare::new(-2.0), Err(bad(-2.0)));
    assert_eq!(FisherF::new(2.0, 0.0), Err(bad(0.0)));
    assert!(StudentT::new(f64::NAN).is_err());
    assert_eq!(
        Beta::new(1.0, 0.0),
        Err(DistributionError::BadShape { shape: 0.0 })
    );
    assert_eq!(
        bad(0.0).to_string(),
        "0 is no number of degrees of freedom: it must be above zero"
    );
}
