//! Single-df test of curvature of a two-level plan with centre runs.
//!
//! The difference between the mean of the factorial runs and that of the centre runs estimates the sum of all quadratic
//! coefficients. Source: Box, G.E.P. & Wilson, K.B. (1951), J. R. Statist. Soc. B 13, 1–45; Montgomery, D.C., Design
//! and Analysis of Experiments, section on centre points.

use crate::distributions::FisherF;
use crate::error::FitError;
use crate::factor::{CodedPoint, Value};
use crate::lack_of_fit::{LackOfFit, SAME_SETTING};
use crate::least_squares::LeastSquares;
use crate::undefined::{Known, Undefined};

/// Which mean square the curvature is held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CurvatureError {
    /// Scatter of replicates.
    PureError,
    /// The residual of the fit, where there is no replicate; it may hold the curvature itself.
    Residual,
}

/// The test of curvature.
#[derive(Debug, Clone, PartialEq)]
pub struct Curvature {
    /// Number of runs with every number at −1 or +1.
    pub n_factorial: usize,
    /// Number of runs with every number at 0.
    pub n_center: usize,
    /// Mean of the factorial runs − mean of the centre runs.
    pub difference: f64,
    /// `n_F n_C d²/(n_F + n_C)`, one degree of freedom.
    pub sum_of_squares: f64,
    /// What it is tested against.
    pub error: CurvatureError,
    /// That mean square.
    pub error_mean_square: Known<f64>,
    /// Its degrees of freedom.
    pub error_df: usize,
    /// Ratio of the mean squares.
    pub f: Known<f64>,
    /// Probability of a larger ratio without curvature.
    pub p: Known<f64>,
}

impl LeastSquares {
    /// Compares factorial with centre runs. `points` are the coded settings of all model rows; numbers that do not vary
    /// are ignored, and so are categories, blocks and weights: runs of one block and equal weights are meant.
    ///
    /// # Errors
    /// [`FitError::CompanionLength`] unless there is one point a row; [`FitError::Undefined`] with
    /// [`Undefined::NoCenterRuns`] or [`Undefined::NoFactorialRuns`].
    pub fn curvature(
        &self,
        points: &[CodedPoint],
        lack_of_fit: &LackOfFit,
    ) -> Result<Curvature, FitError> {
        self.check_companion("settings", points.len())?;
        let used: Vec<&CodedPoint> = self.rows().iter().map(|row| &points[*row]).collect();
        let varied = varied_numbers(&used);
        let mean_where = |wanted: f64| {
            let at = used.iter().zip(self.observed()).filter(|(point, _)| {
                let settings = varied.iter().filter_map(|factor| number_at(point, *factor));
                !varied.is_empty()
                    && settings
                        .into_iter()
                        .all(|x| (x.abs() - wanted).abs() <= SAME_SETTING)
            });
            let (count, sum) = at.fold((0_usize, 0.0), |(n, sum), (_, y)| (n + 1, sum + y));
            (count > 0).then(|| (count, sum / count as f64))
        };
        let (n_center, center) = mean_where(0.0).ok_or(Undefined::NoCenterRuns)?;
        let (n_factorial, corner) = mean_where(1.0).ok_or(Undefined::NoFactorialRuns)?;
        let difference = corner - center;
        let (n_f, n_c) = (n_factorial as f64, n_center as f64);
        let sum_of_squares = n_f * n_c * difference * difference / (n_f + n_c);
        let pure = &lack_of_fit.pure_error;
        let (error, error_df, error_mean_square) = if pure.df > 0 {
            (CurvatureError::PureError, pure.df, pure.mean_square.clone())
        } else {
            let mean_square = self.residual_mean_square();
            (CurvatureError::Residual, self.error_df(), mean_square)
        };
        let f = error_mean_square.clone().and_then(|mean_square| {
            if self.is_rounding(mean_square * error_df as f64) {
                Err(match error {
                    CurvatureError::PureError => Undefined::NoPureErrorScatter,
                    CurvatureError::Residual => Undefined::PerfectFit,
                })
            } else {
                Ok(sum_of_squares / mean_square)
            }
        });
        let p = f.clone().and_then(|f| {
            let distribution = FisherF::new(1.0, error_df as f64).ok();
            Ok(distribution.ok_or(Undefined::NoErrorDf)?.sf(f))
        });
        Ok(Curvature {
            n_factorial,
            n_center,
            difference,
            sum_of_squares,
            error,
            error_mean_square,
            error_df,
            f,
            p,
        })
    }
}

fn number_at(point: &CodedPoint, factor: usize) -> Option<f64> {
    match point.0.get(factor) {
        Some(Value::Number(x)) => Some(*x),
        Some(Value::Level(_)) | None => None,
    }
}

/// Factors that are numbers and take more than one setting.
fn varied_numbers(points: &[&CodedPoint]) -> Vec<usize> {
    let Some((first, others)) = points.split_first() else {
        return Vec::new();
    };
    (0..first.0.len())
        .filter(|factor| {
            number_at(first, *factor).is_some_and(|x| {
                others.iter().any(|point| {
                    number_at(point, *factor).is_some_and(|y| (x - y).abs() > SAME_SETTING)
                })
            })
        })
        .collect()
}
