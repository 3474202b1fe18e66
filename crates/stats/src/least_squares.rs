//! Least squares by Householder QR: coefficients with their errors, quality of fit, aliases.
//!
//! Nothing is ever formed from X'X. Responses far from zero are shifted before any sum (and the intercept shifted
//! back), residuals are explicit differences, and a badly conditioned matrix gets iterative refinement of solution and
//! residuals together with residuals in doubled precision (Björck 1967), which gives all digits that the data carry.
//!
//! Sources: Golub & Van Loan, Matrix Computations (4th ed. 2013), sections 5.3 and 5.3.8; Björck, Å. (1967), Iterative
//! refinement of linear least squares solutions I, BIT 7, 257–278; Draper & Smith, Applied Regression Analysis
//! (3rd ed. 1998) for the statistics.

use std::sync::Arc;

use nalgebra::DMatrix;

use crate::confidence::{ConfidenceLevel, Interval};
use crate::distributions::StudentT;
use crate::error::FitError;
use crate::linear_system::{LARGEST_NUMBER, System, scale_by};
use crate::model::{ColumnGroup, ColumnSource, ModelLayout, ModelMatrix};
use crate::qr::OrderedQr;
use crate::undefined::{Known, Undefined};

/// Residuals whose squares sum to less than this share of the total are rounding noise.
const PERFECT_FIT_SHARE: f64 = 1e-20;

/// Leverages above 1 minus this count as 1.
const FULL_LEVERAGE_SLACK: f64 = 1e-10;

/// Alias coefficients below this are rounding of zero.
pub const ALIAS_THRESHOLD: f64 = 1e-6;

/// A part of what a coefficient really estimates: `E[estimate] = own term + Σ coefficient × term`.
#[derive(Debug, Clone, PartialEq)]
pub struct AliasPart {
    /// Name of the column outside the fit.
    pub term: String,
    /// How much of it is in the estimate.
    pub coefficient: f64,
}

/// One model column with its estimate, or why there is none.
#[derive(Debug, Clone, PartialEq)]
pub struct Coefficient {
    /// Name of the column: `speed`, `gas[argon]`, `block[day 2]`.
    pub name: String,
    /// 0-based index of the column in the model matrix.
    pub column: usize,
    /// What its group of columns belongs to.
    pub source: ColumnSource,
    /// The coefficient in coded units.
    pub estimate: Known<f64>,
    /// Its standard error.
    pub standard_error: Known<f64>,
    /// Estimate over standard error.
    pub t: Known<f64>,
    /// Error degrees of freedom.
    pub df: usize,
    /// Two-sided probability of a larger |t| if the true coefficient is zero.
    pub p: Known<f64>,
    /// Two-sided confidence interval.
    pub interval: Known<Interval>,
    /// Variance inflation: centered if the model has an intercept.
    pub vif: Known<f64>,
    /// The dropped columns that this estimate contains; empty for a dropped column itself.
    pub aliased_with: Vec<AliasPart>,
}

/// A column that could not be estimated beside the earlier ones.
#[derive(Debug, Clone, PartialEq)]
pub struct DroppedColumn {
    /// Name of the column.
    pub name: String,
    /// 0-based index in the model matrix.
    pub column: usize,
    /// The kept columns it equals in sum; empty if it is zero at every run.
    pub equals: Vec<AliasPart>,
}

/// What the total sum of squares is measured about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TotalAbout {
    /// The mean: models that can fit a constant.
    Mean,
    /// Zero: models that cannot.
    Zero,
}

/// A least-squares fit of one response. Undefined figures say why.
///
/// # Examples
/// ```
/// use wetlane_stats::*;
///
/// // Film thickness at the corners of two factors, and three runs in the middle (invented numbers).
/// let speed = Factor::continuous("speed", 1.0, 5.0)?;
/// let gap = Factor::continuous("gap", 60.0, 120.0)?;
/// let space = FactorSpace::new(vec![speed, gap])?;
/// let settings = [(1.0, 60.0), (5.0, 60.0), (1.0, 120.0), (5.0, 120.0), (3.0, 90.0), (3.0, 90.0), (3.0, 90.0)];
/// let points = settings
///     .iter()
///     .map(|(speed, gap)| space.code(&NaturalPoint(vec![Value::Number(*speed), Value::Number(*gap)])))
///     .collect::<Result<Vec<_>, _>>()?;
/// let terms = TermList::parse("speed, gap, speed*gap", &space, Intercept::Included)?;
/// let model = ModelMatrix::new(&space, &terms, &points, None)?;
/// let fit = LeastSquares::fit(&model, &[12.0, 18.0, 14.0, 26.0, 17.2, 17.6, 17.4], None)?;
///
/// assert_eq!(fit.error_df(), 3);
/// assert!((fit.estimate(1)? - 4.5).abs() < 1e-12); // half of (18 + 26 − 12 − 14)/2, by hand
/// let groups = ReplicateGroups::within(&points, None, 1e-9)?;
/// assert_eq!(fit.lack_of_fit(&groups)?.pure_error.df, 2);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone)]
pub struct LeastSquares {
    layout: Arc<ModelLayout>,
    pub(crate) qr: OrderedQr,
    pub(crate) r_inverse: DMatrix<f64>,
    /// `Q'y` of the shifted response, one number for each kept column.
    pub(crate) effects: Vec<f64>,
    /// Estimates of the kept columns.
    pub(crate) estimates: Vec<f64>,
    pub(crate) rows: Vec<usize>,
    left_out: Vec<usize>,
    pub(crate) observed: Vec<f64>,
    pub(crate) weights: Option<Vec<f64>>,
    pub(crate) fitted: Vec<f64>,
    pub(crate) residuals: Vec<f64>,
    pub(crate) leverages: Vec<f64>,
    /// Sum of squares of each kept column about its mean (about zero without intercept), for the variance inflation.
    column_squares: Vec<f64>,
    residual_squares: f64,
    total_squares: f64,
    total_about: TotalAbout,
    rounding_squares: f64,
}

impl LeastSquares {
    /// Fits `response`, one value a row of `model`.
    ///
    /// # Arguments
    /// * `weights` — relative weights w (variance σ²/w), one a row; a row of weight 0 takes no part.
    ///
    /// # Errors
    /// [`FitError`] names the first thing that is wrong with lengths, responses, weights or model columns. Dependent
    /// columns and missing error df are no errors: the figures concerned are undefined and say why.
    pub fn fit(
        model: &ModelMatrix,
        response: &[f64],
        weights: Option<&[f64]>,
    ) -> Result<Self, FitError> {
        check_lengths(model, response.len(), weights)?;
        let rows = used_rows(model.n_runs(), weights, |_| true)?;
        Self::fit_rows(model, rows, |row| response[row], weights)
    }

    /// As [`LeastSquares::fit`], without the runs that have no response; [`LeastSquares::left_out`] lists them.
    ///
    /// If a whole block or level is without responses, build the matrix from the runs that have one instead
    /// ([`crate::Blocks::select_runs`]): its columns here stay those of all runs, and the average over blocks is then
    /// not estimable.
    ///
    /// # Errors
    /// As [`LeastSquares::fit`].
    pub fn fit_available(
        model: &ModelMatrix,
        response: &[Option<f64>],
        weights: Option<&[f64]>,
    ) -> Result<Self, FitError> {
        check_lengths(model, response.len(), weights)?;
        let rows = used_rows(model.n_runs(), weights, |row| response[row].is_some())?;
        Self::fit_rows(model, rows, |row| response[row].unwrap_or(0.0), weights)
    }

    fn fit_rows(
        model: &ModelMatrix,
        rows: Vec<usize>,
        response: impl Fn(usize) -> f64,
        weights: Option<&[f64]>,
    ) -> Result<Self, FitError> {
        let observed: Vec<f64> = rows.iter().map(|row| response(*row)).collect();
        check_response(&observed, &rows)?;
        let weights: Option<Vec<f64>> =
            weights.map(|all| rows.iter().map(|row| all[*row]).collect());
        let roots: Option<Vec<f64>> = weights
            .as_ref()
            .map(|weights| weights.iter().map(|w| w.sqrt()).collect());
        let system = System::new(model, &rows, &observed, roots)?;
        let solution = system.solve();
        let qr = system.qr;
        if qr.rank() == 0 {
            return Err(FitError::NothingEstimable);
        }
        let total = system.total;
        let leverages = row_squares(&qr.thin_q());
        let fitted = observed
            .iter()
            .zip(&solution.residuals)
            .map(|(y, e)| y - e)
            .collect();
        let left_out = left_out_rows(model.n_runs(), &rows);
        Ok(Self {
            layout: Arc::clone(model.layout()),
            r_inverse: qr.r_inverse(),
            effects: solution.effects,
            estimates: solution.estimates,
            rows,
            left_out,
            weights,
            fitted,
            leverages,
            column_squares: system.column_squares,
            residual_squares: solution.residual_squares,
            residuals: solution.residuals,
            total_squares: total.squares,
            total_about: total.about,
            rounding_squares: total.rounding_squares,
            observed,
            qr,
        })
    }

    /// Number of runs in the fit.
    pub const fn n_runs(&self) -> usize {
        self.observed.len()
    }

    /// Number of model columns, dropped ones included.
    pub fn n_columns(&self) -> usize {
        self.layout.n_columns()
    }

    /// Number of estimated coefficients.
    pub const fn rank(&self) -> usize {
        self.qr.rank()
    }

    /// Error degrees of freedom: runs − rank.
    pub const fn error_df(&self) -> usize {
        self.observed.len() - self.qr.rank()
    }

    /// Degrees of freedom of the total: runs − 1 about the mean, runs about zero.
    pub const fn total_df(&self) -> usize {
        match self.total_about {
            TotalAbout::Mean => self.observed.len() - 1,
            TotalAbout::Zero => self.observed.len(),
        }
    }

    /// 0-based rows of the model matrix that were used, ascending; all figures for each run are in this order.
    pub fn rows(&self) -> &[usize] {
        &self.rows
    }

    /// 0-based rows that were left out for want of a response or weight.
    pub fn left_out(&self) -> &[usize] {
        &self.left_out
    }

    /// What the model columns are.
    pub fn layout(&self) -> &ModelLayout {
        &self.layout
    }

    /// Names of all model columns.
    pub fn column_names(&self) -> &[String] {
        self.layout.column_names()
    }

    /// Groups of model columns.
    pub fn groups(&self) -> &[ColumnGroup] {
        self.layout.groups()
    }

    /// True if the model has an intercept.
    pub fn has_intercept(&self) -> bool {
        self.layout.has_intercept()
    }

    /// 0-based indices of the estimated columns, ascending.
    pub fn kept_columns(&self) -> &[usize] {
        self.qr.kept()
    }

    /// The estimate of a model column by 0-based index.
    ///
    /// # Errors
    /// [`Undefined::Aliased`] for a dropped column and for one that does not exist.
    pub fn estimate(&self, column: usize) -> Known<f64> {
        self.position(column)
            .and_then(|position| self.estimates.get(position))
            .copied()
            .ok_or(Undefined::Aliased)
    }

    /// Estimates of all model columns with zero for dropped ones: for predictions of estimable points.
    pub fn estimates_or_zero(&self) -> Vec<f64> {
        let mut all = vec![0.0; self.n_columns()];
        for (column, estimate) in self.qr.kept().iter().zip(&self.estimates) {
            all[*column] = *estimate;
        }
        all
    }

    /// Position of a column among the kept ones.
    pub(crate) fn position(&self, column: usize) -> Option<usize> {
        self.qr.kept().binary_search(&column).ok()
    }

    /// The columns that could not be estimated beside earlier ones.
    pub fn dropped(&self) -> Vec<DroppedColumn> {
        self.qr
            .dependent()
            .iter()
            .map(|dependent| DroppedColumn {
                name: self.column_names()[dependent.column].clone(),
                column: dependent.column,
                equals: self
                    .qr
                    .kept()
                    .iter()
                    .zip(&dependent.on_kept)
                    .filter(|(_, coefficient)| coefficient.abs() > ALIAS_THRESHOLD)
                    .map(|(kept, coefficient)| AliasPart {
                        term: self.column_names()[*kept].clone(),
                        coefficient: *coefficient,
                    })
                    .collect(),
            })
            .collect()
    }

    /// Every model column in canonical order with estimate, error, t, p, interval, variance inflation and aliases.
    pub fn coefficients(&self, level: ConfidenceLevel) -> Vec<Coefficient> {
        let sigma = self.testing_sd();
        let df = self.error_df();
        let distribution = StudentT::new(df as f64).ok();
        let t_limit = distribution.map(|t| t.two_sided_quantile(level.outside()));
        let mut all: Vec<Coefficient> = self
            .groups()
            .iter()
            .flat_map(|group| group.columns.clone().map(move |column| (group, column)))
            .map(|(group, column)| self.aliased_coefficient(column, group.source.clone()))
            .collect();
        for (position, column) in self.qr.kept().iter().enumerate() {
            let Some(entry) = all.get_mut(*column) else {
                continue;
            };
            let estimate = self.estimates[position];
            let length = dot_row(&self.r_inverse, position);
            let standard_error = self.residual_sd().map(|sd| sd * length);
            let t = sigma.clone().map(|sd| estimate / (sd * length));
            entry.estimate = Ok(estimate);
            entry.p = t.clone().and_then(|t| {
                let distribution = distribution.ok_or(Undefined::NoErrorDf)?;
                Ok(distribution.two_sided(t))
            });
            entry.t = t;
            entry.interval = standard_error.clone().and_then(|error| {
                let limit = t_limit.ok_or(Undefined::NoErrorDf)?;
                Ok(Interval::around(estimate, limit * error))
            });
            entry.standard_error = standard_error;
            entry.vif = if self.has_intercept() && *column == 0 {
                Err(Undefined::Intercept)
            } else {
                Ok(self.column_squares[position] * length * length)
            };
            entry.aliased_with = self.dropped_parts(position);
        }
        all
    }

    fn aliased_coefficient(&self, column: usize, source: ColumnSource) -> Coefficient {
        Coefficient {
            name: self.column_names()[column].clone(),
            column,
            source,
            estimate: Err(Undefined::Aliased),
            standard_error: Err(Undefined::Aliased),
            t: Err(Undefined::Aliased),
            df: self.error_df(),
            p: Err(Undefined::Aliased),
            interval: Err(Undefined::Aliased),
            vif: Err(Undefined::Aliased),
            aliased_with: Vec::new(),
        }
    }

    fn dropped_parts(&self, position: usize) -> Vec<AliasPart> {
        self.qr
            .dependent()
            .iter()
            .filter_map(|dependent| {
                let coefficient = *dependent.on_kept.get(position)?;
                (coefficient.abs() > ALIAS_THRESHOLD).then(|| AliasPart {
                    term: self.column_names()[dependent.column].clone(),
                    coefficient,
                })
            })
            .collect()
    }

    /// What each model column's estimate holds of columns outside the fit: the alias matrix `(X1'X1)⁻¹X1'X2` of Box &
    /// Wilson (1951), row for row of the model's columns (empty for dropped ones), without dropped columns.
    ///
    /// # Errors
    /// [`FitError::CompanionLength`] unless `outside` has one row for each run of the model.
    pub fn aliases_with(&self, outside: &ModelMatrix) -> Result<Vec<Vec<AliasPart>>, FitError> {
        let n_model_rows = self.rows.len() + self.left_out.len();
        if outside.n_runs() != n_model_rows {
            return Err(FitError::CompanionLength {
                what: "rows of outside terms",
                expected: n_model_rows,
                found: outside.n_runs(),
            });
        }
        let roots = self.root_weights();
        let mut parts = vec![Vec::new(); self.n_columns()];
        for (name, column) in outside
            .column_names()
            .iter()
            .zip(outside.matrix().column_iter())
        {
            let mut image: Vec<f64> = self.rows.iter().map(|row| column[*row]).collect();
            scale_by(&mut image, roots.as_deref());
            self.qr.apply_q_transpose(&mut image);
            let on_kept = self.qr.coefficients(&image);
            for (kept, coefficient) in self.qr.kept().iter().zip(on_kept) {
                if coefficient.abs() > ALIAS_THRESHOLD {
                    parts[*kept].push(AliasPart {
                        term: name.clone(),
                        coefficient,
                    });
                }
            }
        }
        Ok(parts)
    }

    pub(crate) fn root_weights(&self) -> Option<Vec<f64>> {
        self.weights
            .as_ref()
            .map(|weights| weights.iter().map(|w| w.sqrt()).collect())
    }

    /// Responses, in the order of [`LeastSquares::rows`].
    pub fn observed(&self) -> &[f64] {
        &self.observed
    }

    /// Fitted values.
    pub fn fitted(&self) -> &[f64] {
        &self.fitted
    }

    /// Residuals: observed − fitted, unweighted.
    pub fn residuals(&self) -> &[f64] {
        &self.residuals
    }

    /// Leverages: the diagonal of the hat matrix; they sum to the rank.
    pub fn leverages(&self) -> &[f64] {
        &self.leverages
    }

    /// The hat matrix `Q Q'`, `n_runs` × `n_runs`: turns (root-weighted) responses into fitted values.
    pub fn hat_matrix(&self) -> DMatrix<f64> {
        let q = self.qr.thin_q();
        &q * q.transpose()
    }

    /// Weights of the runs, if there are any.
    pub fn weights(&self) -> Option<&[f64]> {
        self.weights.as_deref()
    }

    /// 0-based rows of the runs with leverage 1: fitted exactly, whatever they measured.
    pub fn full_leverage_rows(&self) -> Vec<usize> {
        self.rows
            .iter()
            .zip(&self.leverages)
            .filter(|(_, leverage)| is_full_leverage(**leverage))
            .map(|(row, _)| *row)
            .collect()
    }

    /// Weighted sum of squared residuals.
    pub const fn residual_sum_of_squares(&self) -> f64 {
        self.residual_squares
    }

    /// Weighted sum of squares of the response about its weighted mean, or about zero: see
    /// [`LeastSquares::total_about`].
    pub const fn total_sum_of_squares(&self) -> f64 {
        self.total_squares
    }

    /// What the total is measured about.
    pub const fn total_about(&self) -> TotalAbout {
        self.total_about
    }

    /// True if the response does not vary at all.
    pub fn has_zero_variance(&self) -> bool {
        self.total_squares <= 0.0
    }

    /// True if the residuals are no more than rounding, although there are error degrees of freedom.
    pub fn is_perfect(&self) -> bool {
        self.is_rounding(self.residual_squares)
    }

    /// True if a sum of squared differences of responses is no more than rounding.
    pub(crate) fn is_rounding(&self, squares: f64) -> bool {
        squares
            <= self
                .rounding_squares
                .max(PERFECT_FIT_SHARE * self.total_squares)
    }

    /// Residual mean square s² = RSS/(n − p).
    ///
    /// # Errors
    /// [`Undefined::NoErrorDf`] for a saturated fit.
    pub fn residual_mean_square(&self) -> Known<f64> {
        match self.error_df() {
            0 => Err(Undefined::NoErrorDf),
            df => Ok(self.residual_squares / df as f64),
        }
    }

    /// Residual standard deviation s.
    ///
    /// # Errors
    /// As [`LeastSquares::residual_mean_square`].
    pub fn residual_sd(&self) -> Known<f64> {
        self.residual_mean_square().map(f64::sqrt)
    }

    /// s, if it is a scale that anything can be tested against.
    pub(crate) fn testing_sd(&self) -> Known<f64> {
        let sd = self.residual_sd()?;
        if self.has_zero_variance() {
            Err(Undefined::ZeroVariance)
        } else if self.is_perfect() {
            Err(Undefined::PerfectFit)
        } else {
            Ok(sd)
        }
    }

    /// Share of the total sum of squares that the model explains: 1 − RSS/TSS.
    ///
    /// # Errors
    /// [`Undefined::ZeroVariance`].
    pub fn r2(&self) -> Known<f64> {
        if self.has_zero_variance() {
            return Err(Undefined::ZeroVariance);
        }
        Ok(1.0 - self.residual_squares / self.total_squares)
    }

    /// R² with mean squares for sums: 1 − (RSS/(n − p))/(TSS/df of the total).
    ///
    /// # Errors
    /// [`Undefined::ZeroVariance`] or [`Undefined::NoErrorDf`].
    pub fn r2_adjusted(&self) -> Known<f64> {
        self.r2()?;
        let mean_square = self.residual_mean_square()?;
        Ok(1.0 - mean_square / (self.total_squares / self.total_df() as f64))
    }

    /// Prediction sum of squares: Σ w (e/(1 − h))², each run predicted from the others (Allen 1974).
    ///
    /// # Errors
    /// [`Undefined::LeverageOne`] names the runs without which the model cannot be fitted.
    pub fn press(&self) -> Known<f64> {
        let rows = self.full_leverage_rows();
        if !rows.is_empty() {
            return Err(Undefined::LeverageOne { rows });
        }
        let deleted = self
            .residuals
            .iter()
            .zip(&self.leverages)
            .map(|(e, h)| e / (1.0 - h));
        Ok(match &self.weights {
            None => deleted.map(|d| d * d).sum(),
            Some(weights) => deleted.zip(weights).map(|(d, w)| w * d * d).sum(),
        })
    }

    /// Predicted R²: 1 − PRESS/TSS; may be negative.
    ///
    /// # Errors
    /// [`Undefined::ZeroVariance`], or as [`LeastSquares::press`].
    pub fn r2_predicted(&self) -> Known<f64> {
        self.r2()?;
        Ok(1.0 - self.press()? / self.total_squares)
    }

    /// Log-likelihood of the normal model at the maximum-likelihood variance RSS/n, all constants included.
    ///
    /// # Errors
    /// [`Undefined::NoErrorDf`], [`Undefined::PerfectFit`] or [`Undefined::ZeroVariance`]: the likelihood is unbounded.
    pub fn log_likelihood(&self) -> Known<f64> {
        let log_variance = self.log_variance()?;
        let n = self.n_runs() as f64;
        let log_weights: f64 = self
            .weights
            .iter()
            .flatten()
            .map(|weight| weight.ln())
            .sum();
        let two_pi = 2.0 * std::f64::consts::PI;
        Ok(-0.5 * n * (two_pi.ln() + log_variance + 1.0) + 0.5 * log_weights)
    }

    fn log_variance(&self) -> Known<f64> {
        self.testing_sd()?;
        Ok((self.residual_squares / self.n_runs() as f64).ln())
    }

    /// Akaike's criterion n ln(RSS/n) + 2K with K = p + 1 (the variance counts); compares fits of the same runs on the
    /// same scale.
    ///
    /// # Errors
    /// As [`LeastSquares::log_likelihood`].
    pub fn aic(&self) -> Known<f64> {
        let n_parameters = self.rank() as f64 + 1.0;
        Ok(self.n_runs() as f64 * self.log_variance()? + 2.0 * n_parameters)
    }

    /// AIC corrected for few runs: AIC + 2K(K+1)/(n − K − 1) (Hurvich & Tsai 1989).
    ///
    /// # Errors
    /// [`Undefined::TooFewRuns`] unless n > K + 1, else as [`LeastSquares::log_likelihood`].
    pub fn aicc(&self) -> Known<f64> {
        let n_parameters = self.rank() + 1;
        let aic = self.aic()?;
        if self.n_runs() <= n_parameters + 1 {
            return Err(Undefined::TooFewRuns {
                needed: n_parameters + 1,
                present: self.n_runs(),
            });
        }
        let k = n_parameters as f64;
        Ok(aic + 2.0 * k * (k + 1.0) / (self.n_runs() as f64 - k - 1.0))
    }

    /// Schwarz's criterion n ln(RSS/n) + K ln n.
    ///
    /// # Errors
    /// As [`LeastSquares::log_likelihood`].
    pub fn bic(&self) -> Known<f64> {
        let n = self.n_runs() as f64;
        Ok(n * self.log_variance()? + (self.rank() as f64 + 1.0) * n.ln())
    }

    /// 2-norm condition number of the estimated columns scaled to unit length, intercept included.
    pub fn condition_number(&self) -> f64 {
        self.qr.condition_number()
    }

    /// Covariance of the estimated columns, `rank` × `rank`, in the order of [`LeastSquares::kept_columns`].
    ///
    /// # Errors
    /// [`Undefined::NoErrorDf`].
    pub fn covariance(&self) -> Known<DMatrix<f64>> {
        let mean_square = self.residual_mean_square()?;
        Ok(self.inverse_information() * mean_square)
    }

    /// `(X'WX)⁻¹` of the estimated columns.
    pub fn inverse_information(&self) -> DMatrix<f64> {
        &self.r_inverse * self.r_inverse.transpose()
    }
}

/// True for a run that its own coefficients fit exactly.
pub(crate) fn is_full_leverage(leverage: f64) -> bool {
    leverage > 1.0 - FULL_LEVERAGE_SLACK
}

/// Length of one row of an upper triangular matrix.
pub(crate) fn dot_row(upper: &DMatrix<f64>, row: usize) -> f64 {
    upper
        .row(row)
        .iter()
        .skip(row)
        .map(|v| v * v)
        .sum::<f64>()
        .sqrt()
}

fn row_squares(q: &DMatrix<f64>) -> Vec<f64> {
    let mut squares = vec![0.0; q.nrows()];
    for column in q.as_slice().chunks_exact(q.nrows().max(1)) {
        for (square, value) in squares.iter_mut().zip(column) {
            *square += value * value;
        }
    }
    squares
}

fn left_out_rows(n_rows: usize, used: &[usize]) -> Vec<usize> {
    let mut used = used.iter().peekable();
    (0..n_rows)
        .filter(|row| used.next_if_eq(&row).is_none())
        .collect()
}

fn check_lengths(
    model: &ModelMatrix,
    n_responses: usize,
    weights: Option<&[f64]>,
) -> Result<(), FitError> {
    let expected = model.n_runs();
    if n_responses != expected {
        return Err(FitError::ResponseLength {
            expected,
            found: n_responses,
        });
    }
    if let Some(weights) = weights {
        if weights.len() != expected {
            return Err(FitError::WeightsLength {
                expected,
                found: weights.len(),
            });
        }
        if let Some(row) = weights.iter().position(|w| !(w.is_finite() && *w >= 0.0)) {
            return Err(FitError::BadWeight {
                row,
                weight: weights[row],
            });
        }
    }
    if model.n_columns() == 0 {
        return Err(FitError::NoColumns);
    }
    Ok(())
}

fn used_rows(
    n_rows: usize,
    weights: Option<&[f64]>,
    has_response: impl Fn(usize) -> bool,
) -> Result<Vec<usize>, FitError> {
    let rows: Vec<usize> = (0..n_rows)
        .filter(|row| weights.is_none_or(|weights| weights[*row] > 0.0) && has_response(*row))
        .collect();
    if rows.is_empty() {
        return Err(FitError::NoRuns);
    }
    Ok(rows)
}

fn check_response(observed: &[f64], rows: &[usize]) -> Result<(), FitError> {
    for (value, row) in observed.iter().zip(rows) {
        if !value.is_finite() {
            return Err(FitError::ResponseNotFinite { row: *row });
        }
        if value.abs() > LARGEST_NUMBER {
            return Err(FitError::ResponseTooLarge {
                row: *row,
                value: *value,
            });
        }
    }
    Ok(())
}
