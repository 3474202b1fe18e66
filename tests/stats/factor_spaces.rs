//! Factor spaces that several tests share.

use wetlane_stats::{ChangeEffort, CodedPoint, Factor, FactorKind, FactorSpace, Scale, Value};

/// Continuous factors named A, B, C, … (I is left out) with the range −1 to 1.
pub(crate) fn letters(n_factors: usize) -> FactorSpace {
    let factors = "ABCDEFGHJKLMNOPQRSTUVWXYZ"
        .chars()
        .take(n_factors)
        .map(|letter| Factor::continuous(letter, -1.0, 1.0).unwrap())
        .collect();
    FactorSpace::new(factors).unwrap()
}

/// A continuous factor with a step, a log scale or a high price of change.
pub(crate) fn continuous(
    name: &str,
    range: (f64, f64),
    scale: Scale,
    step: Option<f64>,
    effort: ChangeEffort,
) -> Factor {
    let (low, high) = range;
    let kind = FactorKind::Continuous {
        low,
        high,
        scale,
        step,
    };
    Factor::new(name, kind, effort).unwrap()
}

pub(crate) fn category(name: &str, levels: &[&str]) -> Factor {
    Factor::categorical(name, levels.iter().map(ToString::to_string).collect()).unwrap()
}

pub(crate) fn discrete(name: &str, levels: &[f64]) -> Factor {
    let kind = FactorKind::Discrete {
        levels: levels.to_vec(),
    };
    Factor::new(name, kind, ChangeEffort::Easy).unwrap()
}

/// The coded numbers of a run; a category counts as its level number.
pub(crate) fn numbers(point: &CodedPoint) -> Vec<f64> {
    point
        .0
        .iter()
        .map(|value| match value {
            Value::Number(x) => *x,
            Value::Level(level) => *level as f64,
        })
        .collect()
}

/// A count that a data file holds as a number.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "counts in data files are small whole numbers"
)]
pub(crate) fn count(number: f64) -> usize {
    assert!(
        number >= 0.0 && number.fract() == 0.0,
        "{number} is no count"
    );
    number as usize
}

/// Runs of numbers, one row a run.
pub(crate) fn points(rows: &[Vec<f64>]) -> Vec<CodedPoint> {
    rows.iter()
        .map(|row| CodedPoint(row.iter().map(|x| Value::Number(*x)).collect()))
        .collect()
}
