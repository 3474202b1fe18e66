//! Predictions of a least-squares fit with every kind of interval: of the mean, of new runs, of a share of all runs.
//!
//! Sources: Draper & Smith, Applied Regression Analysis (3rd ed. 1998), sections 3.1 and 5.1; Scheffé, H. (1959), The
//! Analysis of Variance, section 3.5; Howe, W.G. (1969), J. Am. Statist. Assoc. 64, 610–620 and Wallis, W.A. (1951),
//! Tolerance intervals for linear regression, for the tolerance factor.

use crate::confidence::{ConfidenceLevel, Interval};
use crate::distributions::{ChiSquare, FisherF, StudentT, normal_quantile};
use crate::error::FitError;
use crate::least_squares::LeastSquares;
use crate::noncentral::NoncentralT;
use crate::undefined::{Known, Undefined};

/// A point is not estimable if what the runs cannot determine of its model row passes this share of the row.
const ESTIMABLE_TOLERANCE: f64 = 1e-8;

/// The fitted surface at one model row.
#[derive(Debug, Clone, PartialEq)]
pub struct Prediction {
    value: Known<f64>,
    variance_factor: Known<f64>,
    sd: Known<f64>,
    df: usize,
    rank: usize,
}

impl LeastSquares {
    /// The prediction at a model row, such as [`crate::ModelMatrix::row_at`] gives it.
    ///
    /// # Errors
    /// [`FitError::RowLength`] or [`FitError::RowNotFinite`] for a row that does not belong to the model.
    pub fn predict(&self, row: &[f64]) -> Result<Prediction, FitError> {
        if row.len() != self.n_columns() {
            return Err(FitError::RowLength {
                expected: self.n_columns(),
                found: row.len(),
            });
        }
        if let Some(column) = row.iter().position(|value| !value.is_finite()) {
            return Err(FitError::RowNotFinite {
                column: self.column_names()[column].clone(),
            });
        }
        let kept: Vec<f64> = self.kept_columns().iter().map(|c| row[*c]).collect();
        let estimable = self.check_estimable(row, &kept);
        let value = estimable.clone().map(|()| {
            kept.iter()
                .zip(&self.estimates)
                .map(|(x, b)| x * b)
                .sum::<f64>()
        });
        let variance_factor = estimable.map(|()| self.variance_factor(&kept));
        Ok(Prediction {
            value,
            variance_factor,
            sd: self.residual_sd(),
            df: self.error_df(),
            rank: self.rank(),
        })
    }

    /// `f'(X'X)⁻¹f` of a row of the kept columns: the squared length of `f' R⁻¹`.
    pub(crate) fn variance_factor(&self, kept: &[f64]) -> f64 {
        self.r_inverse
            .column_iter()
            .enumerate()
            .map(|(last, column)| {
                let z: f64 = column.iter().zip(&kept[..=last]).map(|(r, x)| r * x).sum();
                z * z
            })
            .sum()
    }

    pub(crate) fn check_estimable(&self, row: &[f64], kept: &[f64]) -> Known<()> {
        let size = row.iter().map(|v| v * v).sum::<f64>().sqrt();
        let lost: Vec<&str> = self
            .qr
            .dependent()
            .iter()
            .filter(|dependent| {
                let implied: f64 = dependent.on_kept.iter().zip(kept).map(|(a, x)| a * x).sum();
                (row[dependent.column] - implied).abs() > ESTIMABLE_TOLERANCE * size
            })
            .map(|dependent| self.column_names()[dependent.column].as_str())
            .collect();
        if lost.is_empty() {
            Ok(())
        } else {
            Err(Undefined::NotEstimable {
                terms: lost.join(", "),
            })
        }
    }
}

impl Prediction {
    /// A prediction from its parts, for a result that was stored: value, standard error of the mean, residual standard
    /// deviation, error df and rank of the fit.
    ///
    /// # Errors
    /// [`FitError::BadNumber`] for a value that is not finite, a negative error or a standard deviation not above zero.
    pub fn from_parts(
        value: f64,
        standard_error: f64,
        sd: f64,
        df: usize,
        rank: usize,
    ) -> Result<Self, FitError> {
        let check = |what, must_be, number: f64, holds: bool| {
            if holds {
                Ok(number)
            } else {
                Err(FitError::BadNumber {
                    what,
                    must_be,
                    value: number,
                })
            }
        };
        let value = check("the predicted value", "finite", value, value.is_finite())?;
        let error_fits = standard_error.is_finite() && standard_error >= 0.0;
        let standard_error = check(
            "the standard error",
            "finite and not negative",
            standard_error,
            error_fits,
        )?;
        let sd_fits = sd.is_finite() && sd > 0.0;
        let sd = check(
            "the standard deviation",
            "finite and above zero",
            sd,
            sd_fits,
        )?;
        Ok(Self {
            value: Ok(value),
            variance_factor: Ok((standard_error / sd).powi(2)),
            sd: if df == 0 {
                Err(Undefined::NoErrorDf)
            } else {
                Ok(sd)
            },
            df,
            rank,
        })
    }

    /// The predicted mean.
    pub const fn value(&self) -> &Known<f64> {
        &self.value
    }

    /// Variance of the predicted mean over that of a run: `v = f'(X'X)⁻¹f`.
    pub const fn variance_factor(&self) -> &Known<f64> {
        &self.variance_factor
    }

    /// Residual standard deviation of the fit.
    pub const fn residual_sd(&self) -> &Known<f64> {
        &self.sd
    }

    /// Error degrees of freedom.
    pub const fn df(&self) -> usize {
        self.df
    }

    /// Standard error of the predicted mean: s√v.
    ///
    /// # Errors
    /// [`Undefined::NotEstimable`] or [`Undefined::NoErrorDf`].
    pub fn standard_error(&self) -> Known<f64> {
        Ok(self.sd.clone()? * self.variance_factor.clone()?.sqrt())
    }

    /// Confidence interval of the mean at this point.
    ///
    /// # Errors
    /// As [`Prediction::standard_error`].
    pub fn mean_interval(&self, level: ConfidenceLevel) -> Known<Interval> {
        let v = self.variance_factor.clone()?;
        self.t_interval(level, v)
    }

    /// Prediction interval of one new run.
    ///
    /// # Errors
    /// As [`Prediction::standard_error`].
    pub fn single_interval(&self, level: ConfidenceLevel) -> Known<Interval> {
        let v = self.variance_factor.clone()?;
        self.t_interval(level, 1.0 + v)
    }

    /// Prediction interval of the mean of `n_new` new runs (taken as at least one).
    ///
    /// # Errors
    /// As [`Prediction::standard_error`].
    pub fn mean_of_interval(&self, n_new: usize, level: ConfidenceLevel) -> Known<Interval> {
        let v = self.variance_factor.clone()?;
        self.t_interval(level, 1.0 / n_new.max(1) as f64 + v)
    }

    fn t_interval(&self, level: ConfidenceLevel, variance: f64) -> Known<Interval> {
        let half = self.t_limit(level)? * self.sd.clone()? * variance.sqrt();
        Ok(Interval::around(self.value.clone()?, half))
    }

    fn t_limit(&self, level: ConfidenceLevel) -> Known<f64> {
        let distribution = StudentT::new(self.df as f64)
            .ok()
            .ok_or(Undefined::NoErrorDf)?;
        Ok(distribution.two_sided_quantile(level.outside()))
    }

    /// The band that holds the mean at all points at once: `± s√(p F v)` (Scheffé 1959).
    ///
    /// # Errors
    /// As [`Prediction::standard_error`].
    pub fn simultaneous_interval(&self, level: ConfidenceLevel) -> Known<Interval> {
        let f = FisherF::new(self.rank as f64, self.df as f64)
            .ok()
            .ok_or(Undefined::NoErrorDf)?
            .upper_quantile(level.outside());
        let half = (self.rank as f64 * f).sqrt() * self.standard_error()?;
        Ok(Interval::around(self.value.clone()?, half))
    }

    /// Chance that one new run falls between `low` and `high` (either may be infinite), from the t distribution of its
    /// prediction: (y − ŷ)/(s √(1 + v)) on the error df. Scatter and the doubt of the fit are both in it.
    ///
    /// # Errors
    /// As [`Prediction::standard_error`].
    pub fn chance_of_single_between(&self, low: f64, high: f64) -> Known<f64> {
        let center = self.value.clone()?;
        let spread = self.sd.clone()? * (1.0 + self.variance_factor.clone()?).sqrt();
        let t = StudentT::new(self.df as f64)
            .ok()
            .ok_or(Undefined::NoErrorDf)?;
        let above = if high.is_infinite() {
            0.0
        } else {
            t.sf((high - center) / spread)
        };
        let below = if low.is_infinite() {
            0.0
        } else {
            t.cdf((low - center) / spread)
        };
        Ok((1.0 - above - below).clamp(0.0, 1.0))
    }

    /// Interval that holds the share `coverage` of all future runs at this point with confidence `level`: value ± k s
    /// with the factor of [`tolerance_factor`] for n* = 1/v.
    ///
    /// # Errors
    /// As [`Prediction::standard_error`].
    pub fn tolerance_interval(
        &self,
        coverage: ConfidenceLevel,
        level: ConfidenceLevel,
    ) -> Known<Interval> {
        let n_effective = 1.0 / self.variance_factor.clone()?;
        let factor = tolerance_factor(n_effective, self.df as f64, coverage, level)
            .ok_or(Undefined::NoErrorDf)?;
        let half = factor * self.sd.clone()?;
        Ok(Interval::around(self.value.clone()?, half))
    }

    /// One-sided bounds: at least the share `coverage` of all future runs at this point lies above the lower one, and at
    /// least that share below the upper one, each with confidence `level` on its own. Exact:
    /// [`one_sided_tolerance_factor`] for n* = 1/v.
    ///
    /// # Errors
    /// As [`Prediction::standard_error`].
    pub fn one_sided_tolerance_bounds(
        &self,
        coverage: ConfidenceLevel,
        level: ConfidenceLevel,
    ) -> Known<Interval> {
        let n_effective = 1.0 / self.variance_factor.clone()?;
        let factor = one_sided_tolerance_factor(n_effective, self.df as f64, coverage, level)
            .ok_or(Undefined::NoErrorDf)?;
        let half = factor * self.sd.clone()?;
        Ok(Interval::around(self.value.clone()?, half))
    }
}

/// Two-sided normal tolerance factor `k = z √(ν (1 + 1/n*)/χ²)`, with χ² the lower 1 − `level` point on ν df.
///
/// `n_effective` is the number of runs that the estimate of the mean is worth (n for a plain sample), `df` the degrees
/// of freedom of the standard deviation. `None` if either is not above zero.
///
/// # Source
/// Howe (1969); within 0.5 % of the exact factor from n = 10 on, more for smaller samples (see the tests).
pub fn tolerance_factor(
    n_effective: f64,
    df: f64,
    coverage: ConfidenceLevel,
    level: ConfidenceLevel,
) -> Option<f64> {
    if !(n_effective > 0.0 && df > 0.0) {
        return None;
    }
    let z = -normal_quantile(0.5 * coverage.outside());
    if df.is_infinite() {
        return Some(z * (1.0 + 1.0 / n_effective).sqrt());
    }
    let chi_square = ChiSquare::new(df).ok()?.quantile(level.outside());
    Some(z * (df * (1.0 + 1.0 / n_effective) / chi_square).sqrt())
}

/// One-sided normal tolerance factor `k = t'(level; ν, z √n*)/√n*` by the noncentral t distribution; exact.
///
/// Arguments as for [`tolerance_factor`]. `None` if one is not above zero and finite, or if n* passes what the
/// noncentral distribution is computed for.
///
/// # Source
/// Owen, D.B. (1968), A survey of properties and applications of the noncentral t-distribution, Technometrics 10,
/// 445–478.
pub fn one_sided_tolerance_factor(
    n_effective: f64,
    df: f64,
    coverage: ConfidenceLevel,
    level: ConfidenceLevel,
) -> Option<f64> {
    if !(n_effective > 0.0 && n_effective.is_finite()) {
        return None;
    }
    let delta = -normal_quantile(coverage.outside()) * n_effective.sqrt();
    let quantile = NoncentralT::new(df, delta)
        .ok()?
        .quantile(level.level())
        .ok()?;
    Some(quantile / n_effective.sqrt())
}
