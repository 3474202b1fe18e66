//! Rounding of coded settings to what can really be set (docs/methods.md, 1.6).
//!
//! A plan is found on the coded scale, but a dial has steps and a discrete factor has a list. Plans, their evaluation
//! and fits use the settings that will really be run.

use crate::error::StatsError;
use crate::factor::{CodedPoint, Factor, FactorKind, FactorSpace, Value};

/// Relative slack within which a setting counts as one that is on the dial already: some roundings of 64-bit numbers
/// (own choice; far below any step of a machine).
const ON_THE_DIAL: f64 = 1e-12;

/// Most settable neighbors that [`nearest_settable`] looks at: all of 3⁹ (own choice; about 20 ms of limits).
const MAX_NEIGHBORS: usize = 19_683;

/// The nearest settable run to a coded run, one coordinate at a time.
///
/// * A continuous factor with a step takes the nearest multiple of the step. The two ends of its range can be set
///   too, for they were given as settings; between the ends nothing beyond them is chosen.
/// * A discrete factor takes the nearest number of its list (the lower of two equally near ones).
/// * Continuous factors without a step and categories stay as they are.
///
/// # Errors
/// [`StatsError::WrongLength`] or [`StatsError::ValueDoesNotFit`] for a point that is not of this space.
pub fn settable(space: &FactorSpace, point: &CodedPoint) -> Result<CodedPoint, StatsError> {
    shifted(space, point, &vec![0; space.n_factors()])
}

/// The settable run nearest to a coded run that passes `is_feasible`: first the rounded run itself, then its
/// neighbors one step up or down in each coordinate, by growing coded distance from the unrounded run.
///
/// `None` if no neighbor passes. With more than nine factors that have steps or lists, only neighbors that differ in
/// few of them are tried.
///
/// # Errors
/// As [`settable`].
pub fn nearest_settable(
    space: &FactorSpace,
    point: &CodedPoint,
    is_feasible: &dyn Fn(&CodedPoint) -> bool,
) -> Result<Option<CodedPoint>, StatsError> {
    let stepped: Vec<usize> = (0..space.n_factors())
        .filter(|index| has_steps(&space.factors()[*index]))
        .collect();
    let mut shifts = vec![vec![0_i8; space.n_factors()]];
    for factor in stepped {
        for known in 0..shifts.len() {
            for shift in [-1, 1] {
                if shifts.len() < MAX_NEIGHBORS {
                    let mut moved = shifts[known].clone();
                    moved[factor] = shift;
                    shifts.push(moved);
                }
            }
        }
    }
    let mut neighbors = Vec::with_capacity(shifts.len());
    for shift in &shifts {
        let neighbor = shifted(space, point, shift)?;
        neighbors.push((squared_distance(point, &neighbor), neighbor));
    }
    neighbors.sort_by(|one, other| one.0.total_cmp(&other.0));
    Ok(neighbors
        .into_iter()
        .map(|(_, neighbor)| neighbor)
        .find(|neighbor| is_feasible(neighbor)))
}

const fn has_steps(factor: &Factor) -> bool {
    match factor.kind() {
        FactorKind::Continuous { step, .. } => step.is_some(),
        FactorKind::Discrete { .. } => true,
        FactorKind::Categorical { .. } => false,
    }
}

fn squared_distance(one: &CodedPoint, other: &CodedPoint) -> f64 {
    one.0
        .iter()
        .zip(&other.0)
        .map(|pair| match pair {
            (Value::Number(a), Value::Number(b)) => (a - b) * (a - b),
            (Value::Number(_) | Value::Level(_), _) => 0.0,
        })
        .sum()
}

/// The rounded run, moved by whole steps in each coordinate.
fn shifted(
    space: &FactorSpace,
    point: &CodedPoint,
    shifts: &[i8],
) -> Result<CodedPoint, StatsError> {
    if point.0.len() != space.n_factors() {
        return Err(StatsError::WrongLength {
            expected: space.n_factors(),
            found: point.0.len(),
        });
    }
    space
        .factors()
        .iter()
        .zip(point.0.iter().zip(shifts))
        .map(|(factor, (value, shift))| settable_value(factor, *value, *shift))
        .collect::<Result<Vec<_>, _>>()
        .map(CodedPoint)
}

fn settable_value(factor: &Factor, coded: Value, shift: i8) -> Result<Value, StatsError> {
    // Also checks that the value fits the factor.
    let natural = factor.decode(coded)?;
    let (Value::Number(x), Value::Number(u)) = (coded, natural) else {
        return Ok(coded);
    };
    match factor.kind() {
        FactorKind::Continuous {
            low,
            high,
            step: Some(step),
            ..
        } => {
            let wanted = u + f64::from(shift) * step;
            let mut chosen = nearest_on_dial(wanted, *low, *high, *step);
            if factor.is_log() && chosen <= 0.0 {
                // Below one step there is no positive number on the dial.
                chosen = *step;
            }
            if (chosen - u).abs() <= ON_THE_DIAL * (high - low) {
                return Ok(coded);
            }
            coded_number(factor, chosen, *low, *high)
        }
        FactorKind::Discrete { levels } => {
            let nearest = nearest_index(levels, u);
            let place = nearest
                .saturating_add_signed(isize::from(shift))
                .min(levels.len() - 1);
            let (low, high) = (levels[0], levels[levels.len() - 1]);
            coded_number(factor, levels[place], low, high)
        }
        FactorKind::Continuous { step: None, .. } | FactorKind::Categorical { .. } => {
            Ok(Value::Number(x))
        }
    }
}

/// Codes a setting; the ends are −1 and +1 to the last bit, so that two-level plans stay exactly two-level.
fn coded_number(factor: &Factor, natural: f64, low: f64, high: f64) -> Result<Value, StatsError> {
    match natural {
        u if u.total_cmp(&low).is_eq() => Ok(Value::Number(-1.0)),
        u if u.total_cmp(&high).is_eq() => Ok(Value::Number(1.0)),
        u => factor.code(Value::Number(u)),
    }
}

/// Nearest multiple of the step; a wish inside the range is answered inside the range, its ends included.
fn nearest_on_dial(wanted: f64, low: f64, high: f64, step: f64) -> f64 {
    let multiple = multiple_of_step((wanted / step).round(), step);
    let slack = ON_THE_DIAL * (high - low);
    if wanted < low - slack || wanted > high + slack {
        return multiple;
    }
    let mut nearest = low;
    let below = multiple_of_step((wanted / step).floor(), step);
    let above = multiple_of_step((wanted / step).ceil(), step);
    for candidate in [multiple, below, above, high] {
        let is_inside = (low..=high).contains(&candidate);
        if is_inside && (candidate - wanted).abs() < (nearest - wanted).abs() {
            nearest = candidate;
        }
    }
    nearest
}

/// `count·step`, through a division where the step is one over a whole number: 3 · 0.1 is then 0.3 and not
/// 0.300 000 000 000 000 04.
fn multiple_of_step(count: f64, step: f64) -> f64 {
    let inverse = (1.0 / step).round();
    if inverse >= 1.0 && (inverse * step - 1.0).abs() < 1e-14 {
        count / inverse
    } else {
        count * step
    }
}

/// Index of the nearest number of an ascending list; the lower one of two equally near.
pub(crate) fn nearest_index(levels: &[f64], wanted: f64) -> usize {
    let mut nearest = 0;
    for (index, level) in levels.iter().enumerate() {
        let distance = |at: usize| levels.get(at).map_or(f64::INFINITY, |l| (l - wanted).abs());
        if (level - wanted).abs() < distance(nearest) {
            nearest = index;
        }
    }
    nearest
}
