//! How far a point lies from where the runs were: outside a range, outside the hull of the runs, or where the model
//! leans further out than at any run.
//!
//! A point is inside the convex hull of the runs if it is a weighted mean of them. Whether there are such weights is the
//! first phase of a linear program, solved by the simplex method with Bland's rule, which cannot cycle (Bland 1977,
//! Math. Oper. Res. 2, 103–107). Among categories only runs at the same levels count.

use wetlane_stats::{CodedPoint, FactorSpace, Value};

use super::analysis::{AnalysisError, QualityFit};
use super::factors::coded_point;
use super::project::Settings;

/// Coded distance beyond an end that still counts as rounding.
const SLACK: f64 = 1e-9;
/// Sum of misses in the weighted mean that still counts as rounding, for coded settings of the order of 1.
const HULL_SLACK: f64 = 1e-7;
/// Size below which an entry of the simplex table is rounding of zero.
const PIVOT_SLACK: f64 = 1e-11;

/// Where a point lies from the runs of a fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Extrapolation {
    /// Ids of settings that are outside their range.
    pub outside_range: Vec<String>,
    /// True if it is no weighted mean of the runs.
    pub is_outside_hull: bool,
    /// Variance of the prediction there over the largest one at any run; above 1 the model leans further out. `None` if
    /// the prediction does not exist.
    pub leverage_ratio: Option<f64>,
}

/// Where settings lie from the runs of a fit.
///
/// # Errors
/// [`AnalysisError`] if the settings are no point of the fit's factors.
pub fn extrapolation(
    fit: &QualityFit,
    settings: &Settings,
) -> Result<Extrapolation, AnalysisError> {
    let point = coded_point(&fit.space, settings)?;
    let runs = fit
        .table
        .rows
        .iter()
        .map(|row| fit.space.code(&row.natural))
        .collect::<Result<Vec<_>, _>>()?;
    let largest = fit.fit.leverages().iter().copied().fold(0.0, f64::max);
    let variance = fit.predict_at(&point)?.variance_factor().clone().ok();
    Ok(Extrapolation {
        outside_range: outside_range(&fit.space, &point),
        is_outside_hull: is_outside_hull(&runs, &point),
        leverage_ratio: variance
            .filter(|_| largest > 0.0)
            .map(|variance| variance / largest),
    })
}

fn outside_range(space: &FactorSpace, point: &CodedPoint) -> Vec<String> {
    space
        .factors()
        .iter()
        .zip(&point.0)
        .filter(|(_, value)| matches!(value, Value::Number(coded) if coded.abs() > 1.0 + SLACK))
        .map(|(factor, _)| factor.name().to_owned())
        .collect()
}

/// True if `point` is no weighted mean of those `runs` that stand at the same levels of all categories.
pub fn is_outside_hull(runs: &[CodedPoint], point: &CodedPoint) -> bool {
    let same_levels = |run: &&CodedPoint| {
        run.0.len() == point.0.len()
            && run.0.iter().zip(&point.0).all(|pair| match pair {
                (Value::Level(one), Value::Level(other)) => one == other,
                (Value::Number(_), Value::Number(_)) => true,
                (Value::Level(_), Value::Number(_)) | (Value::Number(_), Value::Level(_)) => false,
            })
    };
    let columns: Vec<Vec<f64>> = runs.iter().filter(same_levels).map(numbers_of).collect();
    let target = numbers_of(point);
    if target.len() == 1 && !columns.is_empty() {
        // Categories only: some run stands at the same levels.
        return false;
    }
    !Simplex::new(&columns, &target).finds_weights()
}

/// The numbers of a point, and 1 for the sum of the weights.
fn numbers_of(point: &CodedPoint) -> Vec<f64> {
    let numbers = point.0.iter().filter_map(|value| match value {
        Value::Number(coded) => Some(*coded),
        Value::Level(_) => None,
    });
    numbers.chain([1.0]).collect()
}

/// The table of the first phase: equations `Σ weight · column = target` with one artificial variable each.
struct Simplex {
    /// One row an equation: coefficients of the weights, then the right side.
    rows: Vec<Vec<f64>>,
    /// Reduced costs of the weights, then minus the sum of the artificial variables.
    costs: Vec<f64>,
    /// The weight that is basic in each row; `None` while it is the artificial variable.
    basis: Vec<Option<usize>>,
}

impl Simplex {
    fn new(columns: &[Vec<f64>], target: &[f64]) -> Self {
        let rows: Vec<Vec<f64>> = target
            .iter()
            .enumerate()
            .map(|(row, wanted)| {
                // Right sides must not be negative.
                let sign = if *wanted < 0.0 { -1.0 } else { 1.0 };
                let coefficients = columns
                    .iter()
                    .map(|column| sign * column.get(row).copied().unwrap_or(0.0));
                coefficients.chain([sign * wanted]).collect()
            })
            .collect();
        let mut costs = vec![0.0; columns.len() + 1];
        for row in &rows {
            for (cost, entry) in costs.iter_mut().zip(row) {
                *cost -= entry;
            }
        }
        Self {
            basis: vec![None; rows.len()],
            rows,
            costs,
        }
    }

    fn finds_weights(mut self) -> bool {
        let n_weights = self.costs.len() - 1;
        // Bland's rule ends by itself; the bound only guards against rounding.
        for _ in 0..50 * (n_weights + self.rows.len()) {
            let entering = self
                .costs
                .iter()
                .take(n_weights)
                .position(|cost| *cost < -PIVOT_SLACK);
            let Some(entering) = entering else { break };
            let Some(leaving) = self.leaving(entering) else {
                break;
            };
            self.pivot(leaving, entering);
        }
        self.costs
            .last()
            .is_some_and(|left| left.abs() <= HULL_SLACK)
    }

    /// The row with the smallest ratio, of equal ones the one whose basic variable comes first.
    fn leaving(&self, entering: usize) -> Option<usize> {
        let mut best: Option<(f64, usize, usize)> = None;
        for (index, row) in self.rows.iter().enumerate() {
            let (Some(entry), Some(right)) = (row.get(entering), row.last()) else {
                continue;
            };
            if *entry <= PIVOT_SLACK {
                continue;
            }
            let ratio = right / entry;
            // Artificial variables leave first: they are not needed any more.
            let order = self
                .basis
                .get(index)
                .copied()
                .flatten()
                .map_or(0, |w| w + 1);
            let is_better = best.is_none_or(|(least, its_order, _)| {
                ratio < least - PIVOT_SLACK || (ratio <= least + PIVOT_SLACK && order < its_order)
            });
            if is_better {
                best = Some((ratio, order, index));
            }
        }
        best.map(|(_, _, index)| index)
    }

    fn pivot(&mut self, leaving: usize, entering: usize) {
        let Some(mut row) = self.rows.get(leaving).cloned() else {
            return;
        };
        let pivot = row.get(entering).copied().unwrap_or(1.0);
        for entry in &mut row {
            *entry /= pivot;
        }
        let subtract = |other: &mut Vec<f64>| {
            let factor = other.get(entering).copied().unwrap_or(0.0);
            for (entry, own) in other.iter_mut().zip(&row) {
                *entry -= factor * own;
            }
        };
        for (index, other) in self.rows.iter_mut().enumerate() {
            if index != leaving {
                subtract(other);
            }
        }
        subtract(&mut self.costs);
        if let (Some(place), Some(basic)) =
            (self.rows.get_mut(leaving), self.basis.get_mut(leaving))
        {
            *place = row;
            *basic = Some(entering);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(numbers: &[f64]) -> CodedPoint {
        CodedPoint(numbers.iter().copied().map(Value::Number).collect())
    }

    /// Corners of the box −1..1 in `k` dimensions.
    fn corners(k: u32) -> Vec<CodedPoint> {
        (0..2_usize.pow(k))
            .map(|bits| {
                let end = |i: u32| if bits >> i & 1 == 1 { 1.0 } else { -1.0 };
                at(&(0..k).map(end).collect::<Vec<_>>())
            })
            .collect()
    }

    #[test]
    fn a_box_holds_its_faces_and_nothing_beyond() {
        for k in 1..=5 {
            let runs = corners(k);
            let mut point = vec![0.3; k as usize];
            assert!(!is_outside_hull(&runs, &at(&point)));
            point[0] = 1.0;
            assert!(!is_outside_hull(&runs, &at(&point)), "on a face, k = {k}");
            point[0] = 1.001;
            assert!(is_outside_hull(&runs, &at(&point)), "beyond, k = {k}");
            assert!(runs.iter().all(|corner| !is_outside_hull(&runs, corner)));
        }
    }

    #[test]
    fn a_cross_polytope_ends_where_the_sizes_sum_to_one() {
        let runs: Vec<CodedPoint> = (0..4)
            .flat_map(|i| {
                [-1.0, 1.0].map(|end| {
                    let mut point = vec![0.0; 4];
                    point[i] = end;
                    at(&point)
                })
            })
            .collect();
        assert!(!is_outside_hull(&runs, &at(&[0.25, -0.25, 0.25, -0.25])));
        assert!(!is_outside_hull(&runs, &at(&[0.4, 0.3, -0.2, 0.09])));
        assert!(is_outside_hull(&runs, &at(&[0.4, 0.3, -0.2, 0.11])));
    }

    #[test]
    fn only_runs_at_the_same_levels_count() {
        let run = |x: f64, level| CodedPoint(vec![Value::Number(x), Value::Level(level)]);
        let runs = [run(-1.0, 0), run(1.0, 0), run(-1.0, 1)];
        assert!(!is_outside_hull(&runs, &run(0.0, 0)));
        assert!(is_outside_hull(&runs, &run(0.0, 1)));
        assert!(is_outside_hull(&runs, &run(0.0, 2)));
        assert!(is_outside_hull(&[], &run(0.0, 0)));
    }

    #[test]
    fn repeated_and_degenerate_runs_do_not_cycle() {
        let runs: Vec<CodedPoint> = (0..60)
            .map(|i| at(&[f64::from(i % 3) - 1.0, f64::from(i % 3) - 1.0, 0.0]))
            .collect();
        assert!(!is_outside_hull(&runs, &at(&[0.5, 0.5, 0.0])));
        assert!(is_outside_hull(&runs, &at(&[0.5, 0.4, 0.0])));
        assert!(is_outside_hull(&runs, &at(&[0.5, 0.5, 0.1])));
    }
}
