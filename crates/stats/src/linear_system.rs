//! The weighted system behind a fit: shifted response, scaled columns, solution and iterative refinement.
//!
//! Source: Björck, Å. (1967), Iterative refinement of linear least squares solutions I, BIT 7, 257–278; Golub & Van
//! Loan, Matrix Computations (4th ed. 2013), section 5.3.8.

use crate::double_double::DoubleDouble;
use crate::error::FitError;
use crate::least_squares::TotalAbout;
use crate::model::ModelMatrix;
use crate::qr::{OrderedQr, SpreadAbout, dot};

/// Responses whose size passes this multiple of their range are shifted before the fit (common practice).
const SHIFT_RATIO: f64 = 1e3;

/// Differences below this many times the size of the responses are rounding of the responses themselves.
const RESPONSE_ROUNDING: f64 = 4.0 * f64::EPSILON;

/// Matrices with a column that keeps less than this share of its length get refinement. Chosen by trial: orthogonal
/// and composite plans stay above 0.3 and have nothing to gain.
const REFINEMENT_THRESHOLD: f64 = 0.2;

/// Largest number whose square and sums of squares cannot overflow.
pub(crate) const LARGEST_NUMBER: f64 = 1e100;

/// The total sum of squares and what it is about.
#[derive(Clone, Copy)]
pub(crate) struct Total {
    pub(crate) squares: f64,
    pub(crate) about: TotalAbout,
    /// Weighted sum of squares that the rounding of the responses can make up.
    pub(crate) rounding_squares: f64,
}

/// The weighted, shifted system on its way to a solution.
pub(crate) struct System {
    n_rows: usize,
    /// Weighted model columns, column by column.
    columns: Vec<f64>,
    /// Weighted, shifted response.
    response: Vec<f64>,
    roots: Option<Vec<f64>>,
    shift: f64,
    pub(crate) qr: OrderedQr,
    pub(crate) column_squares: Vec<f64>,
    pub(crate) total: Total,
}

pub(crate) struct Solution {
    /// `Q'y` of the kept columns.
    pub(crate) effects: Vec<f64>,
    pub(crate) estimates: Vec<f64>,
    /// Unweighted residuals.
    pub(crate) residuals: Vec<f64>,
    /// Weighted sum of their squares.
    pub(crate) residual_squares: f64,
}

impl System {
    pub(crate) fn new(
        model: &ModelMatrix,
        rows: &[usize],
        observed: &[f64],
        roots: Option<Vec<f64>>,
    ) -> Result<Self, FitError> {
        let n_rows = rows.len();
        let columns = weighted_columns(model, rows, roots.as_deref())?;
        let ones = roots.clone().unwrap_or_else(|| vec![1.0; n_rows]);
        let spread = if model.has_intercept() {
            SpreadAbout::Mean(&ones)
        } else {
            SpreadAbout::Zero
        };
        let qr = OrderedQr::new(&columns, n_rows, spread);
        let column_squares = qr
            .kept()
            .iter()
            .map(|column| {
                let values = &columns[column * n_rows..(column + 1) * n_rows];
                match spread {
                    SpreadAbout::Zero => dot(values, values),
                    SpreadAbout::Mean(ones) => squares_about_mean(values, ones),
                }
            })
            .collect();
        let about = if model.has_intercept() || spans_constant(&qr, &ones) {
            TotalAbout::Mean
        } else {
            TotalAbout::Zero
        };
        let shift = if model.has_intercept() {
            response_shift(observed)
        } else {
            0.0
        };
        let mut response: Vec<f64> = observed.iter().map(|y| y - shift).collect();
        scale_by(&mut response, roots.as_deref());
        Ok(Self {
            total: total(observed, &response, &ones, about),
            n_rows,
            columns,
            response,
            roots,
            shift,
            qr,
            column_squares,
        })
    }

    pub(crate) fn solve(&self) -> Solution {
        let rank = self.qr.rank();
        let mut image = self.response.clone();
        self.qr.apply_q_transpose(&mut image);
        let mut estimates = self.qr.coefficients(&image);
        image.truncate(rank);
        let mut residuals = self.response.clone();
        for (column, estimate) in self.qr.kept().iter().zip(&estimates) {
            let values = &self.columns[column * self.n_rows..(column + 1) * self.n_rows];
            for (residual, value) in residuals.iter_mut().zip(values) {
                *residual -= estimate * value;
            }
        }
        if self.qr.smallest_remainder() < REFINEMENT_THRESHOLD {
            self.refine(&mut estimates, &mut residuals);
        }
        let residual_squares = dot(&residuals, &residuals);
        if let Some(roots) = &self.roots {
            for (residual, root) in residuals.iter_mut().zip(roots) {
                *residual /= root;
            }
        }
        if let Some(first) = estimates.first_mut() {
            *first += self.shift;
        }
        Solution {
            effects: image,
            estimates,
            residuals,
            residual_squares,
        }
    }

    /// Iterative refinement of the augmented system `r + A b = y, A'r = 0` (Björck 1967): solution and residuals are
    /// corrected together, with the right sides computed in doubled precision. Ends when a step no longer halves.
    fn refine(&self, estimates: &mut [f64], residuals: &mut [f64]) {
        let rank = self.qr.rank();
        let mut last_size = f64::INFINITY;
        for _ in 0..4 {
            let (row_defect, column_defect) = self.defects(estimates, residuals);
            let z = self.qr.forward_substitute(&column_defect);
            let mut image = row_defect;
            self.qr.apply_q_transpose(&mut image);
            let head: Vec<f64> = image.iter().zip(&z).map(|(f, z)| f - z).collect();
            let correction = self.qr.coefficients(&head);
            image[..rank].copy_from_slice(&z);
            self.qr.apply_q(&mut image);
            let size = self.qr.scaled_size(&correction);
            if size.is_nan() || size > 0.5 * last_size {
                break;
            }
            for (estimate, step) in estimates.iter_mut().zip(&correction) {
                *estimate += step;
            }
            for (residual, step) in residuals.iter_mut().zip(&image) {
                *residual += step;
            }
            last_size = size;
        }
    }

    /// `y − r − A b` and `−A'r`, each summed in doubled precision.
    fn defects(&self, estimates: &[f64], residuals: &[f64]) -> (Vec<f64>, Vec<f64>) {
        let mut rows: Vec<DoubleDouble> = self
            .response
            .iter()
            .zip(residuals)
            .map(|(y, r)| DoubleDouble::exact_sum(*y, -r))
            .collect();
        let mut columns = Vec::with_capacity(estimates.len());
        for (column, estimate) in self.qr.kept().iter().zip(estimates) {
            let values = &self.columns[column * self.n_rows..(column + 1) * self.n_rows];
            let mut sum = DoubleDouble::ZERO;
            for ((defect, value), residual) in rows.iter_mut().zip(values).zip(residuals) {
                *defect = defect.plus(DoubleDouble::exact_product(-estimate, *value));
                sum = sum.plus(DoubleDouble::exact_product(-residual, *value));
            }
            columns.push(sum.to_f64());
        }
        (
            rows.into_iter().map(DoubleDouble::to_f64).collect(),
            columns,
        )
    }
}

fn weighted_columns(
    model: &ModelMatrix,
    rows: &[usize],
    roots: Option<&[f64]>,
) -> Result<Vec<f64>, FitError> {
    let mut columns = Vec::with_capacity(rows.len() * model.n_columns());
    for (index, column) in model.matrix().column_iter().enumerate() {
        let start = columns.len();
        for row in rows {
            let value = column[*row];
            // Squares and sums of squares of a column must stay finite, too.
            if !(value.is_finite() && value.abs() < LARGEST_NUMBER) {
                return Err(FitError::ColumnNotFinite {
                    column: model.column_names()[index].clone(),
                    row: *row,
                });
            }
            columns.push(value);
        }
        scale_by(&mut columns[start..], roots);
    }
    Ok(columns)
}

/// Sum of squares of weighted values about their weighted mean, in two passes. `ones` holds the root weights.
fn squares_about_mean(weighted: &[f64], ones: &[f64]) -> f64 {
    let mean = dot(weighted, ones) / dot(ones, ones);
    weighted
        .iter()
        .zip(ones)
        .map(|(value, one)| (value - mean * one).powi(2))
        .sum()
}

/// True if the columns can make a constant: the all-ones vector has nothing left outside them.
fn spans_constant(qr: &OrderedQr, ones: &[f64]) -> bool {
    let mut image = ones.to_vec();
    qr.apply_q_transpose(&mut image);
    let outside = &image[qr.rank()..];
    dot(outside, outside) < 1e-18 * dot(ones, ones)
}

fn response_shift(observed: &[f64]) -> f64 {
    let (low, high) = range(observed);
    let size = low.abs().max(high.abs());
    match observed.first() {
        Some(first) if size > SHIFT_RATIO * (high - low) => *first,
        _ => 0.0,
    }
}

fn range(values: &[f64]) -> (f64, f64) {
    values
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
            (low.min(*v), high.max(*v))
        })
}

fn total(observed: &[f64], response: &[f64], ones: &[f64], about: TotalAbout) -> Total {
    let (low, high) = range(observed);
    let rounding = RESPONSE_ROUNDING * low.abs().max(high.abs());
    let squares = match about {
        TotalAbout::Mean if high - low <= rounding => 0.0,
        TotalAbout::Mean => squares_about_mean(response, ones),
        TotalAbout::Zero => dot(response, response),
    };
    Total {
        squares,
        about,
        rounding_squares: rounding * rounding * dot(ones, ones),
    }
}

pub(crate) fn scale_by(values: &mut [f64], factors: Option<&[f64]>) {
    if let Some(factors) = factors {
        for (value, factor) in values.iter_mut().zip(factors) {
            *value *= factor;
        }
    }
}
