//! Natural coefficients draw the same surface as the coded ones.

use wetlane_stats::{
    CategoryCoding, ChangeEffort, CodedPoint, ConfidenceLevel, Factor, FactorKind, FactorSpace,
    Intercept, LeastSquares, ModelMatrix, NaturalPoint, Scale, TermList, Undefined, Value,
};

use crate::fitting::Case;
use crate::support::assert_close;

const LEVEL: ConfidenceLevel = ConfidenceLevel::NINETY_FIVE;

fn log_factor(name: &str, low: f64, high: f64) -> Factor {
    let kind = FactorKind::Continuous {
        low,
        high,
        scale: Scale::Log,
        step: None,
    };
    Factor::new(name, kind, ChangeEffort::Easy).unwrap()
}

// By hand: 2 + 3u + 0.5u² on 10..20 is found again from its values; t and p of the square do not depend on the units.
#[test]
fn a_polynomial_in_the_setting_is_found_again() {
    let u: Vec<f64> = (0..9).map(|i| 10.0 + 1.25 * f64::from(i)).collect();
    let noise = [0.01, -0.02, 0.005, 0.0, -0.01, 0.015, -0.005, 0.01, -0.005];
    let response: Vec<f64> = u
        .iter()
        .zip(noise)
        .map(|(u, e)| 2.0 + 3.0 * u + 0.5 * u * u + e)
        .collect();
    let case = Case::imported(&[("speed", u)]);
    let fit = case.fit("speed, speed^2", &response);
    let natural = fit.natural_coefficients(&case.space, LEVEL).unwrap();
    let names: Vec<&str> = natural.iter().map(|c| c.name.as_str()).collect();
    assert_eq!(names, ["1", "speed", "speed^2"]);
    for (coefficient, wanted) in natural.iter().zip([2.0, 3.0, 0.5]) {
        let interval = coefficient.interval.clone().unwrap();
        assert!(interval.contains(wanted), "{}", coefficient.name);
    }
    let coded = fit.coefficients(LEVEL);
    assert_close(
        natural[2].t.clone().unwrap(),
        coded[2].t.clone().unwrap(),
        1e-12,
        "no higher-order relative",
    );
}

// By definition: both polynomials have the same value at any setting, categories and blocks included.
#[test]
fn both_polynomials_agree_at_every_setting() {
    let space = FactorSpace::new(vec![
        Factor::continuous("gap", 60.0, 140.0).unwrap(),
        log_factor("speed", 0.5, 8.0),
        Factor::categorical("gas", ["argon", "air", "none"].map(String::from).to_vec()).unwrap(),
    ])
    .unwrap();
    let mut points = Vec::new();
    let mut response = Vec::new();
    for run in 0_u32..24 {
        let level = |n: u32| f64::from((run * 7 + n * 5) % 11) / 5.0 - 1.0;
        points.push(CodedPoint(vec![
            Value::Number(level(1)),
            Value::Number(level(run % 4)),
            Value::Level((run % 3) as usize),
        ]));
        response.push(5.0 + level(2) + 0.3 * level(3) * f64::from(run % 5));
    }
    let list = "gap, speed, gas, gap^2, gap*speed, gap*gas, speed*gas";
    let terms = TermList::parse(list, &space, Intercept::Included).unwrap();
    for coding in [
        CategoryCoding::Effect,
        CategoryCoding::Treatment { reference: 1 },
    ] {
        let matrix = ModelMatrix::with_coding(&space, &terms, &points, None, coding).unwrap();
        let fit = LeastSquares::fit(&matrix, &response, None).unwrap();
        let natural = fit.natural_coefficients(&space, LEVEL).unwrap();
        assert_eq!(natural.len(), fit.n_columns());
        for level in 0..3 {
            let setting = NaturalPoint(vec![
                Value::Number(97.0),
                Value::Number(3.1),
                Value::Level(level),
            ]);
            let coded = space.code(&setting).unwrap();
            let row = matrix.row_at(&space, &coded).unwrap();
            let wanted = fit.predict(&row).unwrap().value().clone().unwrap();
            // The same columns with the settings themselves, the logarithm where the scale is one.
            let raw = CodedPoint(vec![
                Value::Number(97.0),
                Value::Number(3.1_f64.ln()),
                Value::Level(level),
            ]);
            let raw = matrix.row_at(&space, &raw).unwrap();
            let own: f64 = raw
                .iter()
                .zip(&natural)
                .map(|(x, c)| x * c.estimate.clone().unwrap())
                .sum();
            assert_close(own, wanted, 1e-12, "the same surface");
        }
        let speed = natural.iter().find(|c| c.name == "speed").unwrap();
        assert_eq!(speed.logarithmic, [1]);
        assert!(
            natural
                .iter()
                .all(|c| c.name == "speed" || c.logarithmic.is_empty() || c.name.contains("speed"))
        );
    }
}

// By hand: (u − 15)²/25 = u²/25 − 1.2u + 9: the coded square alone brings a line and a constant.
#[test]
fn a_square_alone_implies_lower_terms() {
    let case = Case::imported(&[("u", vec![10.0, 12.0, 15.0, 18.0, 20.0])]);
    let response = [4.0, 2.5, 2.0, 2.4, 4.1];
    let fit = case.fit("u^2", &response);
    let natural = fit.natural_coefficients(&case.space, LEVEL).unwrap();
    let implied: Vec<(&str, bool)> = natural
        .iter()
        .map(|c| (c.name.as_str(), c.is_implied))
        .collect();
    assert_eq!(implied, [("1", false), ("u", true), ("u^2", false)]);
    let square = natural[2].estimate.clone().unwrap();
    let line = natural[1].estimate.clone().unwrap();
    assert_close(line, -30.0 * square, 1e-13, "by hand");
}

// By definition: with two settings the square cannot be told from a constant, so the natural slope is not known either.
#[test]
fn what_a_dropped_square_spoils_is_said() {
    let case = Case::imported(&[("u", vec![10.0, 20.0, 10.0, 20.0])]);
    let fit = case.fit("u, u^2", &[1.0, 2.0, 1.2, 2.1]);
    let natural = fit.natural_coefficients(&case.space, LEVEL).unwrap();
    assert_eq!(natural[2].estimate, Err(Undefined::Aliased));
    assert_eq!(
        natural[1].estimate.clone().unwrap_err().to_string(),
        "not estimable: the runs cannot separate u^2"
    );
    let fit = case.fit("u", &[1.0, 2.0, 1.2, 2.1]);
    let natural = fit.natural_coefficients(&case.space, LEVEL).unwrap();
    assert_close(
        natural[1].estimate.clone().unwrap(),
        0.095,
        1e-12,
        "by hand",
    );
}

// By hand: far from zero the coefficients cancel, and doubled precision keeps what the data hold.
#[test]
fn a_range_far_from_zero_keeps_its_digits() {
    let u: Vec<f64> = (0..7).map(|i| 1e6 + f64::from(i)).collect();
    let response: Vec<f64> = (0..7).map(|i| 4.0 + f64::from(i * i)).collect();
    let case = Case::imported(&[("u", u)]);
    let fit = case.fit("u, u^2", &response);
    let natural = fit.natural_coefficients(&case.space, LEVEL).unwrap();
    let own: Vec<f64> = natural
        .iter()
        .map(|c| c.estimate.clone().unwrap())
        .collect();
    // 4 + (u − 1e6)²
    assert_close(own[2], 1.0, 1e-14, "by hand");
    assert_close(own[1], -2e6, 1e-14, "by hand");
    assert_close(own[0], 1e12 + 4.0, 1e-14, "by hand");
}
