//! The region over which predictions are judged: ranges, lists and categories, and what a feasibility test leaves.

use crate::factor::{CodedPoint, Factor, FactorKind, FactorSpace, Value};
use crate::sobol::Sobol;

/// Most corners that are looked at (own choice).
const MAX_CORNERS: usize = 16_384;

/// Smallest step of the climb to a maximum, coded.
const FINEST_STEP: f64 = 1e-7;

/// Rounds of the climb at one step width (own choice; a few are needed).
const MAX_ROUNDS: usize = 200;

/// All settings of a space that pass a test.
#[derive(Clone, Copy)]
pub(crate) struct Region<'a> {
    pub(crate) space: &'a FactorSpace,
    pub(crate) is_feasible: Option<&'a dyn Fn(&CodedPoint) -> bool>,
}

impl Region<'_> {
    pub(crate) fn contains(&self, point: &CodedPoint) -> bool {
        self.is_feasible
            .is_none_or(|is_feasible| is_feasible(point))
    }

    /// The feasible ones of the first `n` Sobol points, spread over ranges, lists and levels alike. Beyond 64 factors
    /// the others stand at their middle or first level.
    pub(crate) fn sample(&self, n: usize) -> Vec<CodedPoint> {
        let n_spread = self.space.n_factors().min(crate::sobol::MAX_DIMENSIONS);
        let Some(mut sobol) = Sobol::new(n_spread) else {
            return Vec::new();
        };
        (0..n)
            .map(|_| {
                let mut unit = sobol.next_point();
                unit.resize(self.space.n_factors(), 0.5);
                CodedPoint(
                    self.space
                        .factors()
                        .iter()
                        .zip(unit)
                        .map(|(factor, u)| setting_at(factor, u))
                        .collect(),
                )
            })
            .filter(|point| self.contains(point))
            .collect()
    }

    /// Feasible settings on the grid of ends (and middles, if asked for) of all numbers and all levels of categories,
    /// if there are not too many; else none.
    pub(crate) fn grid(&self, with_middles: bool) -> Vec<CodedPoint> {
        let lists: Vec<Vec<Value>> = self
            .space
            .factors()
            .iter()
            .map(|factor| match factor.kind() {
                FactorKind::Categorical { levels } => (0..levels.len()).map(Value::Level).collect(),
                FactorKind::Continuous { .. } if with_middles => {
                    [-1.0, 0.0, 1.0].map(Value::Number).to_vec()
                }
                FactorKind::Discrete { .. } if with_middles => coded_list(factor),
                FactorKind::Continuous { .. } | FactorKind::Discrete { .. } => {
                    [-1.0, 1.0].map(Value::Number).to_vec()
                }
            })
            .collect();
        let n_points = lists
            .iter()
            .try_fold(1_usize, |n, list| n.checked_mul(list.len()));
        let Some(n_points) = n_points.filter(|n| *n <= MAX_CORNERS) else {
            return Vec::new();
        };
        (0..n_points)
            .map(|index| {
                let mut rest = index;
                CodedPoint(
                    lists
                        .iter()
                        .map(|list| {
                            let value = list[rest % list.len()];
                            rest /= list.len();
                            value
                        })
                        .collect(),
                )
            })
            .filter(|point| self.contains(point))
            .collect()
    }

    /// Feasible ones of `n` settings spread over the grid of ends and middles, for spaces whose whole grid is too large.
    pub(crate) fn sample_of_grid(&self, n: usize) -> Vec<CodedPoint> {
        let free = Region {
            space: self.space,
            is_feasible: None,
        };
        let mut points = free.sample(n);
        for point in &mut points {
            for (factor, value) in self.space.factors().iter().zip(&mut point.0) {
                if let (FactorKind::Continuous { .. }, Value::Number(x)) = (factor.kind(), value) {
                    *x = (1.5 * *x).round();
                }
            }
        }
        points.retain(|point| self.contains(point));
        points
    }

    /// Climbs from a feasible setting, one coordinate at a time with shrinking steps, to a local maximum.
    pub(crate) fn climb(
        &self,
        start: &CodedPoint,
        value_at: &dyn Fn(&CodedPoint) -> f64,
    ) -> (CodedPoint, f64) {
        let mut best = (start.clone(), value_at(start));
        let mut step = 0.5;
        while step > FINEST_STEP {
            for _ in 0..MAX_ROUNDS {
                if !self.climb_round(&mut best, step, value_at) {
                    break;
                }
            }
            step *= 0.5;
        }
        best
    }

    /// One round over all factors; true if something was better.
    fn climb_round(
        &self,
        best: &mut (CodedPoint, f64),
        step: f64,
        value_at: &dyn Fn(&CodedPoint) -> f64,
    ) -> bool {
        let mut is_better = false;
        for (index, factor) in self.space.factors().iter().enumerate() {
            let Some(here) = best.0.0.get(index).copied() else {
                continue;
            };
            for candidate in neighbors(factor, here, step) {
                let mut point = best.0.clone();
                if let Some(value) = point.0.get_mut(index) {
                    *value = candidate;
                }
                if point == best.0 || !self.contains(&point) {
                    continue;
                }
                let value = value_at(&point);
                // Differences at rounding level must not keep the climb going.
                if value > best.1 + 1e-13 * best.1.abs() {
                    *best = (point, value);
                    is_better = true;
                }
            }
        }
        is_better
    }
}

fn neighbors(factor: &Factor, here: Value, step: f64) -> Vec<Value> {
    match (factor.kind(), here) {
        (FactorKind::Continuous { .. }, Value::Number(x)) => [x - step, x + step]
            .map(|x| Value::Number(x.clamp(-1.0, 1.0)))
            .to_vec(),
        (FactorKind::Discrete { .. }, Value::Number(_)) => coded_list(factor),
        (FactorKind::Categorical { levels }, Value::Level(_)) => {
            (0..levels.len()).map(Value::Level).collect()
        }
        (FactorKind::Continuous { .. } | FactorKind::Discrete { .. }, Value::Level(_))
        | (FactorKind::Categorical { .. }, Value::Number(_)) => Vec::new(),
    }
}

/// The setting a share of the way through a factor.
fn setting_at(factor: &Factor, share: f64) -> Value {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a share below 1 of a small count"
    )]
    let place = |n: usize| ((share * n as f64) as usize).min(n.saturating_sub(1));
    match factor.kind() {
        FactorKind::Continuous { .. } => Value::Number(2.0 * share - 1.0),
        FactorKind::Discrete { .. } => {
            let list = coded_list(factor);
            list.get(place(list.len()))
                .copied()
                .unwrap_or(Value::Number(0.0))
        }
        FactorKind::Categorical { levels } => Value::Level(place(levels.len())),
    }
}

fn coded_list(factor: &Factor) -> Vec<Value> {
    crate::design::listed_settings(factor).unwrap_or_default()
}
