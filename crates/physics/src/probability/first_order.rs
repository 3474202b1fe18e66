//! Chances of the limits by propagation of errors, each limit on its own.

use arrayvec::ArrayVec;

use super::{ChanceError, ErrorSource, InputErrors};
use crate::elementary::ln;
use crate::evaluation::{Drying, Walk};
use crate::input_errors::DrawnLine;
use crate::limit::{Dimension, LimitId, LimitRecord, MAX_LIMITS, Outcome, Sense, Severity};
use crate::line::Setting;
use crate::normal_distribution::normal_chance;
use crate::prepared::Knobs;

/// Standard deviations that an input is moved to either side (chosen so that curvature is felt little and the grid of dry
/// speeds not at all).
const STEP: f64 = 0.5;

/// What propagation of errors says of one hard limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstOrderLimit {
    /// Which limit.
    pub id: LimitId,
    /// Distance to the limit in standard deviations of the doubt; infinite without any.
    pub deviations: f64,
    /// Chance that it holds.
    pub holds: f64,
    /// What the doubt mostly comes from, with its share of the variance; `None` without any doubt.
    pub leading: Option<(ErrorSource, f64)>,
}

/// What propagation of errors says of a setting.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstOrder {
    /// Every evaluated hard limit but the spans of the machine.
    pub limits: ArrayVec<FirstOrderLimit, MAX_LIMITS>,
}

impl FirstOrder {
    /// The row of a limit.
    pub fn limit(&self, id: LimitId) -> Option<&FirstOrderLimit> {
        self.limits.iter().find(|limit| limit.id == id)
    }

    /// Least and greatest chance that all of these limits hold, whatever binds their errors together (Boole and Fréchet).
    pub fn all_hold_between(&self) -> (f64, f64) {
        let failing: f64 = self.limits.iter().map(|limit| 1.0 - limit.holds).sum();
        let holds = self.limits.iter().map(|limit| limit.holds);
        ((1.0 - failing).max(0.0), holds.fold(1.0, f64::min))
    }
}

/// Distances of all hard limits.
type Distances = ArrayVec<(LimitId, f64), MAX_LIMITS>;

impl InputErrors {
    /// The chance of each hard limit by first-order propagation of errors (eq 10.2): the standard deviation of
    /// `ln(bound/value)`, of a temperature that of the distance in kelvins, from what each input alone contributes.
    /// `Ok(None)` if a core limit lacks an essential input. Two assessments for every input that scatters; 25 ms with drying.
    ///
    /// # Errors
    /// [`ChanceError::Input`] names the knob that cannot be used.
    pub fn first_order(&self, setting: &Setting) -> Result<Option<FirstOrder>, ChanceError> {
        let knobs = self.prepared().knobs(setting)?;
        let mut scores = vec![0.0; self.n_variables()];
        let Some(nominal) = distances(&self.drawn(&scores), &knobs) else {
            return Ok(None);
        };
        let mut variances = vec![Variance::default(); nominal.len()];
        for variable in 0..scores.len() {
            let mut at = |score: f64| {
                if let Some(moved) = scores.get_mut(variable) {
                    *moved = score;
                }
                let found = distances(&self.drawn(&scores), &knobs);
                if let Some(moved) = scores.get_mut(variable) {
                    *moved = 0.0;
                }
                found
            };
            let (Some(below), Some(above)) = (at(-STEP), at(STEP)) else {
                return Ok(None);
            };
            for ((variance, below), above) in variances.iter_mut().zip(&below).zip(&above) {
                debug_assert_eq!(
                    below.0, above.0,
                    "values do not decide which limits there are"
                );
                variance.add((above.1 - below.1) / (2.0 * STEP), variable);
            }
        }
        let limits = nominal.iter().zip(&variances);
        Ok(Some(FirstOrder {
            limits: limits
                .map(|(&(id, distance), variance)| self.limit(id, distance, variance))
                .collect(),
        }))
    }

    fn limit(&self, id: LimitId, distance: f64, variance: &Variance) -> FirstOrderLimit {
        let doubt = variance.sum.sqrt();
        let deviations = if doubt > 0.0 {
            distance / doubt
        } else if distance >= 0.0 {
            f64::INFINITY
        } else {
            f64::NEG_INFINITY
        };
        let leading = variance.greatest.and_then(|(variable, part)| {
            let source = self.source(variable)?;
            (doubt > 0.0).then_some((source, part / variance.sum))
        });
        FirstOrderLimit {
            id,
            deviations,
            holds: normal_chance(deviations),
            leading,
        }
    }
}

/// Variance of a distance, with the input that adds most.
#[derive(Debug, Clone, Copy, Default)]
struct Variance {
    sum: f64,
    greatest: Option<(usize, f64)>,
}

impl Variance {
    /// Adds what an input contributes by its slope. A distance without a finite slope is beyond any doubt.
    fn add(&mut self, slope: f64, variable: usize) {
        let part = slope * slope;
        if !part.is_finite() {
            return;
        }
        self.sum += part;
        if self.greatest.is_none_or(|(_, greatest)| part > greatest) {
            self.greatest = Some((variable, part));
        }
    }
}

/// Distances of the hard limits of a drawn line; `None` if a core limit was not evaluated.
fn distances(drawn: &DrawnLine, set: &Knobs) -> Option<Distances> {
    let records = ArrayVec::<LimitRecord, MAX_LIMITS>::new();
    let knobs = drawn.knobs_set_to(set);
    let records = Walk::new(
        &drawn.values,
        &drawn.calibration,
        &knobs,
        Drying::Full,
        records,
    )
    .keep();
    let mut distances = Distances::new();
    for record in records {
        if record.severity != Severity::Hard || record.id.is_machine_span() {
            continue;
        }
        match record.outcome {
            Outcome::Evaluated { value, bound, .. } => {
                let distance = distance(record.dimension, record.sense, value, bound);
                if distances.try_push((record.id, distance)).is_err() {
                    debug_assert!(false, "more records than limits");
                }
            }
            Outcome::NotEvaluated { .. } if record.id.is_core() => return None,
            Outcome::NotEvaluated { .. } => {}
        }
    }
    Some(distances)
}

/// Signed distance to a limit, positive while it holds: a logarithm, of a temperature kelvins.
fn distance(dimension: Dimension, sense: Sense, value: f64, bound: f64) -> f64 {
    let (small, large) = match sense {
        Sense::AtMost => (value, bound),
        Sense::AtLeast => (bound, value),
    };
    if dimension == Dimension::Temperature {
        large - small
    } else if small <= 0.0 {
        f64::INFINITY
    } else if large <= 0.0 {
        f64::NEG_INFINITY
    } else {
        ln(large / small)
    }
}
