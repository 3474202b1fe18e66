//! The order in which runs tell most as they come in, for a day that may end early.
//!
//! Runs are taken one by one, each time the one that raises the determinant of the information matrix most (sequential
//! D-optimal order: Wynn 1970, Ann. Math. Stat. 41, 1655–1664). Runs that belong together, as in a set-up, stay
//! together: whole groups are taken by the mean gain of their runs, the runs within a group by their own.

use nalgebra::{DMatrix, DVector};

use crate::error::StatsError;
use crate::factor::{CodedPoint, FactorSpace};
use crate::model::ModelMatrix;
use crate::term::TermList;

/// Information on every coefficient before the first run, in runs: far below one, so that it only makes the first runs
/// comparable (own choice).
const PRIOR: f64 = 1e-3;
/// Gains closer than this are equal: the earlier run is taken, whatever the rounding.
const SAME_GAIN: f64 = 1e-9;

/// The indices of `points` in the order in which they tell most of the coefficients of `terms`.
///
/// # Arguments
/// * `made` — runs that were made already, in their order; they come first
/// * `groups` — all other runs, in groups that stay together; groups of one leave every run free
///
/// An index beyond `points` is left out.
///
/// # Errors
/// [`StatsError`] for points or terms that do not fit the space.
pub fn sequential_order(
    space: &FactorSpace,
    terms: &TermList,
    points: &[CodedPoint],
    made: &[usize],
    groups: &[Vec<usize>],
) -> Result<Vec<usize>, StatsError> {
    let matrix = ModelMatrix::new(space, terms, points, None)?;
    let rows: Vec<DVector<f64>> = points
        .iter()
        .map(|point| matrix.row_at(space, point).map(DVector::from_vec))
        .collect::<Result<_, _>>()?;
    let known = |indices: &[usize]| -> Vec<usize> {
        let is_run = |index: &usize| *index < rows.len();
        indices.iter().copied().filter(is_run).collect()
    };
    let mut information = Information::none(matrix.n_columns());
    let mut order = known(made);
    for index in &order {
        information.add(&rows[*index]);
    }
    let groups = groups.iter().map(|group| known(group));
    let mut left: Vec<Vec<usize>> = groups.filter(|group| !group.is_empty()).collect();
    while !left.is_empty() {
        let (place, group) = best_group(&information, &left, &rows);
        left.remove(place);
        for index in &group {
            information.add(&rows[*index]);
        }
        order.extend(group);
    }
    Ok(order)
}

/// The inverse of the information matrix.
#[derive(Debug, Clone)]
struct Information {
    inverse: DMatrix<f64>,
}

impl Information {
    fn none(n_columns: usize) -> Self {
        Self {
            inverse: DMatrix::identity(n_columns, n_columns) / PRIOR,
        }
    }

    /// Logarithm of the factor by which a run multiplies the determinant.
    fn gain(&self, row: &DVector<f64>) -> f64 {
        row.dot(&(&self.inverse * row)).ln_1p()
    }

    /// Takes a run in (Sherman & Morrison 1950, Ann. Math. Stat. 21, 124).
    fn add(&mut self, row: &DVector<f64>) {
        let column = &self.inverse * row;
        let gain = 1.0 + row.dot(&column);
        self.inverse -= (&column * column.transpose()) / gain;
    }
}

/// Place of the best of the groups left, with its runs in order.
fn best_group(
    information: &Information,
    left: &[Vec<usize>],
    rows: &[DVector<f64>],
) -> (usize, Vec<usize>) {
    let mut best = (0, f64::NEG_INFINITY, Vec::new());
    for (place, group) in left.iter().enumerate() {
        let (gain, order) = ordered_within(information.clone(), group, rows);
        let mean = gain / group.len() as f64;
        if mean > best.1 + SAME_GAIN {
            best = (place, mean, order);
        }
    }
    (best.0, best.2)
}

/// The whole gain of a group and its runs, the most telling first.
fn ordered_within(
    mut information: Information,
    group: &[usize],
    rows: &[DVector<f64>],
) -> (f64, Vec<usize>) {
    let mut left = group.to_vec();
    let mut order = Vec::with_capacity(left.len());
    let mut sum = 0.0;
    while !left.is_empty() {
        let mut best = (0, f64::NEG_INFINITY);
        for (place, index) in left.iter().enumerate() {
            let gain = information.gain(&rows[*index]);
            if gain > best.1 + SAME_GAIN {
                best = (place, gain);
            }
        }
        let index = left.remove(best.0);
        information.add(&rows[index]);
        sum += best.1;
        order.push(index);
    }
    (sum, order)
}
