//! What each run does to the fit: leverage, studentized residuals, influence, and checks of the residuals as a whole.
//!
//! Sources: Belsley, Kuh & Welsch (1980), Regression Diagnostics, chapter 2 (DFFITS, COVRATIO, external residuals);
//! Cook, R.D. (1977), Technometrics 19, 15–18; Allen, D.M. (1974), Technometrics 16, 125–127 (deleted residuals);
//! Blom, G. (1958) for the plotting position 0.375; Daniel, C. (1959), Technometrics 1, 311–341 (half-normal plot).

use crate::distributions::{StudentT, normal_quantile};
use crate::error::FitError;
use crate::least_squares::{LeastSquares, is_full_leverage};
use crate::undefined::{Known, Undefined, columns_in_words, runs_in_words};

/// Diagnostics of one run. Deletion figures say what the fit without this run would be.
#[derive(Debug, Clone, PartialEq)]
pub struct RunDiagnostics {
    /// 0-based row of the model matrix.
    pub row: usize,
    /// The response.
    pub observed: f64,
    /// The fitted value.
    pub fitted: f64,
    /// Observed − fitted, unweighted.
    pub residual: f64,
    /// Diagonal of the hat matrix (of the weighted rows).
    pub leverage: f64,
    /// Residual over its own standard error: √w e/(s√(1 − h)).
    pub studentized_internal: Known<f64>,
    /// The same with s of the fit without this run; t distributed with error df − 1.
    pub studentized_external: Known<f64>,
    /// Probability of so large an external residual anywhere among all runs (Bonferroni).
    pub outlier_p: Known<f64>,
    /// Cook's distance: shift of all fitted values together.
    pub cook: Known<f64>,
    /// Shift of the own fitted value over its standard error.
    pub dffits: Known<f64>,
    /// Ratio of the determinants of the covariance without and with this run.
    pub covratio: Known<f64>,
    /// Observed − what the other runs predict: e/(1 − h).
    pub deleted_residual: Known<f64>,
    /// Weight of the run, 1 without weights.
    pub weight: f64,
}

impl LeastSquares {
    /// Diagnostics of all used runs, in the order of [`LeastSquares::rows`].
    pub fn diagnostics(&self) -> Vec<RunDiagnostics> {
        let sd = self.testing_sd();
        let outliers = OutlierTest::new(self.n_runs(), self.error_df());
        (0..self.n_runs())
            .map(|run| self.run_diagnostics(run, &sd, outliers.as_ref()))
            .collect()
    }

    fn run_diagnostics(
        &self,
        run: usize,
        sd: &Known<f64>,
        outliers: Option<&OutlierTest>,
    ) -> RunDiagnostics {
        let row = self.rows()[run];
        let h = self.leverages()[run];
        let residual = self.residuals()[run];
        let weight = self.weights().map_or(1.0, |weights| weights[run]);
        let rest = 1.0 - h;
        let p = self.rank() as f64;
        let df = self.error_df() as f64;
        let deletable = if is_full_leverage(h) {
            Err(Undefined::LeverageOne { rows: vec![row] })
        } else {
            Ok(())
        };
        let internal = deletable.clone().and_then(|()| {
            let sd = sd.clone()?;
            Ok(weight.sqrt() * residual / (sd * rest.sqrt()))
        });
        let external = internal.clone().and_then(|r| external_residual(r, df));
        let covratio = external.clone().map(|t| {
            let variance_ratio = (df - 1.0 + t * t) / df;
            1.0 / (rest * variance_ratio.powf(p))
        });
        RunDiagnostics {
            row,
            observed: self.observed()[run],
            fitted: self.fitted()[run],
            residual,
            leverage: h,
            outlier_p: external.clone().and_then(|t| {
                let test = outliers.ok_or(Undefined::OneErrorDf)?;
                Ok(test.p(t))
            }),
            cook: internal.clone().map(|r| r * r * h / (p * rest)),
            dffits: external.clone().map(|t| t * (h / rest).sqrt()),
            studentized_internal: internal,
            studentized_external: external,
            covratio,
            deleted_residual: deletable.map(|()| residual / rest),
            weight,
        }
    }
}

/// Bonferroni test of the largest external residual.
struct OutlierTest {
    distribution: StudentT,
    n_runs: f64,
    /// Below this size the probability is 1, which saves most of the tail integrals.
    certain: f64,
}

impl OutlierTest {
    fn new(n_runs: usize, error_df: usize) -> Option<Self> {
        let distribution = StudentT::new(error_df.checked_sub(1)? as f64).ok()?;
        let n_runs = n_runs as f64;
        // A hair below, so that rounding of the quantile decides nothing.
        let certain = distribution.two_sided_quantile(1.0 / n_runs) * (1.0 - 1e-9);
        Some(Self {
            distribution,
            n_runs,
            certain,
        })
    }

    fn p(&self, t: f64) -> f64 {
        if t.abs() <= self.certain {
            1.0
        } else {
            (self.n_runs * self.distribution.two_sided(t)).min(1.0)
        }
    }
}

/// `r √((ν−1)/(ν−r²))` from the internal residual r and the error df ν.
fn external_residual(r: f64, df: f64) -> Known<f64> {
    if df < 1.5 {
        return Err(Undefined::OneErrorDf);
    }
    // r² = ν when this run holds the whole residual sum of squares; the rest of it is then rounding.
    let left = df - r * r;
    if left < 1e-9 * df {
        return Err(Undefined::OthersFittedExactly);
    }
    Ok(r * ((df - 1.0) / left).sqrt())
}

/// Error degrees of freedom below this deserve a note (common practice).
const FEW_ERROR_DF: usize = 3;

/// Condition numbers above this cost more digits than a response has (common practice).
const HIGH_CONDITION: f64 = 1e6;

/// Outliers are noted below this Bonferroni probability (common practice).
const OUTLIER_P: f64 = 0.05;

/// Something about a fit that its reader should know. Rows are 0-based inside and 1-based in words.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FitNote {
    /// Runs that took no part.
    #[error("{} left out for want of a response", runs_in_words(.rows))]
    LeftOut {
        /// The runs.
        rows: Vec<usize>,
    },
    /// A column that depends on others.
    #[error("the runs cannot tell \"{column}\" from {}", columns_in_words(.equals))]
    Aliased {
        /// The column.
        column: String,
        /// The columns that it equals in sum; empty if it is zero at all runs.
        equals: Vec<String>,
    },
    /// As many coefficients as runs.
    #[error("as many coefficients as runs: no error can be estimated")]
    Saturated,
    /// An error estimate that rests on one or two degrees of freedom.
    #[error("only {df} error df: intervals are wide and tests weak")]
    FewErrorDf {
        /// How many there are.
        df: usize,
    },
    /// All responses equal.
    #[error("the response does not vary")]
    ZeroVariance,
    /// Residuals at rounding level.
    #[error("perfect fit within rounding: there is no scatter to test against")]
    PerfectFit,
    /// Runs that are fitted exactly.
    #[error("leverage 1 at {}: fitted exactly; losing it loses terms", runs_in_words(.rows))]
    FullLeverage {
        /// The runs.
        rows: Vec<usize>,
    },
    /// Runs with more than twice the mean leverage.
    #[error("{} weighs more than twice the average in the fit", runs_in_words(.rows))]
    HighLeverage {
        /// The runs.
        rows: Vec<usize>,
    },
    /// A run far from what the others say.
    #[error("run {} lies far from what the other runs predict (p = {p:.2})", .row + 1)]
    Outlier {
        /// The run.
        row: usize,
        /// Bonferroni probability.
        p: f64,
    },
    /// Columns that nearly depend on each other.
    #[error("the terms are nearly dependent (condition number {condition_number:.0e})")]
    NearlyDependent {
        /// 2-norm condition of the columns scaled to unit length.
        condition_number: f64,
    },
}

impl LeastSquares {
    /// What is doubtful about the fit, gravest first.
    pub fn notes(&self) -> Vec<FitNote> {
        let mut notes = Vec::new();
        if self.has_zero_variance() {
            notes.push(FitNote::ZeroVariance);
        }
        notes.extend(self.dropped().into_iter().map(|dropped| FitNote::Aliased {
            column: dropped.name,
            equals: dropped.equals.into_iter().map(|part| part.term).collect(),
        }));
        match self.error_df() {
            0 => notes.push(FitNote::Saturated),
            _ if self.is_perfect() && !self.has_zero_variance() => notes.push(FitNote::PerfectFit),
            df if df < FEW_ERROR_DF => notes.push(FitNote::FewErrorDf { df }),
            _ => {}
        }
        if self.error_df() > 0 {
            self.note_leverages(&mut notes);
        }
        let outliers = self.diagnostics().into_iter().filter_map(|run| {
            let p = run.outlier_p.ok().filter(|p| *p < OUTLIER_P)?;
            Some(FitNote::Outlier { row: run.row, p })
        });
        notes.extend(outliers);
        let condition_number = self.condition_number();
        if condition_number > HIGH_CONDITION {
            notes.push(FitNote::NearlyDependent { condition_number });
        }
        if !self.left_out().is_empty() {
            notes.push(FitNote::LeftOut {
                rows: self.left_out().to_vec(),
            });
        }
        notes
    }

    fn note_leverages(&self, notes: &mut Vec<FitNote>) {
        let full = self.full_leverage_rows();
        let limit = 2.0 * self.rank() as f64 / self.n_runs() as f64;
        let high: Vec<usize> = self
            .rows()
            .iter()
            .zip(self.leverages())
            .filter(|(_, h)| **h > limit && !is_full_leverage(**h))
            .map(|(row, _)| *row)
            .collect();
        if !full.is_empty() {
            notes.push(FitNote::FullLeverage { rows: full });
        }
        if !high.is_empty() {
            notes.push(FitNote::HighLeverage { rows: high });
        }
    }
}

/// A value with its place on a normal plot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NormalScore {
    /// Position of the value in the list that was given.
    pub index: usize,
    /// The value (its size, for a half-normal plot).
    pub value: f64,
    /// Normal quantile of its rank.
    pub quantile: f64,
}

/// Places of values on a normal plot, ascending: quantile Φ⁻¹((i − 0.375)/(m + 0.25)) for rank i of m (Blom 1958).
pub fn normal_scores(values: &[f64]) -> Vec<NormalScore> {
    let count = values.len() as f64;
    scores(values, |rank| {
        normal_quantile((rank - 0.375) / (count + 0.25))
    })
}

/// Places of sizes on a half-normal plot, ascending: quantile Φ⁻¹(0.5 + 0.5 (i − 0.5)/m) (Daniel 1959).
pub fn half_normal_scores(values: &[f64]) -> Vec<NormalScore> {
    let sizes: Vec<f64> = values.iter().map(|value| value.abs()).collect();
    let count = values.len() as f64;
    scores(&sizes, |rank| {
        normal_quantile(0.5 + 0.5 * (rank - 0.5) / count)
    })
}

fn scores(values: &[f64], quantile: impl Fn(f64) -> f64) -> Vec<NormalScore> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    order
        .into_iter()
        .enumerate()
        .map(|(rank, index)| NormalScore {
            index,
            value: values[index],
            quantile: quantile(rank as f64 + 1.0),
        })
        .collect()
}

/// Do residuals drift or stick together in the order in which the runs were made?
#[derive(Debug, Clone, PartialEq)]
pub struct RunOrderCheck {
    /// Correlation of each residual with the next: `Σ e_i e_{i+1} / Σ e_i²`.
    pub lag_one: Known<f64>,
    /// Slope of the residuals for each run.
    pub slope: Known<f64>,
    /// t of the slope, on runs − 2 df.
    pub t: Known<f64>,
    /// Two-sided probability of a larger |t| without a trend.
    pub p: Known<f64>,
}

/// Checks residuals that are given in run order (unweighted trend, common practice).
pub fn run_order_check(residuals: &[f64]) -> RunOrderCheck {
    let n = residuals.len() as f64;
    let squares: f64 = residuals.iter().map(|e| e * e).sum();
    let lag_one = if squares > 0.0 {
        let products: f64 = residuals.windows(2).map(|pair| pair[0] * pair[1]).sum();
        Ok(products / squares)
    } else {
        Err(Undefined::PerfectFit)
    };
    let middle = 0.5 * (n - 1.0);
    let mean = residuals.iter().sum::<f64>() / n;
    let centered = || (0..).map(|run| f64::from(run) - middle).zip(residuals);
    let spread: f64 = centered().map(|(x, _)| x * x).sum();
    let slope = if residuals.len() < 2 {
        Err(Undefined::TooFewRuns {
            needed: 1,
            present: residuals.len(),
        })
    } else {
        Ok(centered().map(|(x, e)| x * (e - mean)).sum::<f64>() / spread)
    };
    let t = slope.clone().and_then(|slope| {
        if residuals.len() < 3 {
            return Err(Undefined::NoErrorDf);
        }
        let rest: f64 = centered()
            .map(|(x, e)| (e - mean - slope * x).powi(2))
            .sum();
        if rest <= 1e-20 * squares {
            return Err(Undefined::PerfectFit);
        }
        Ok(slope / (rest / (n - 2.0) / spread).sqrt())
    });
    let p = t.clone().and_then(|t| {
        let distribution = StudentT::new(n - 2.0).ok().ok_or(Undefined::NoErrorDf)?;
        Ok(distribution.two_sided(t))
    });
    RunOrderCheck {
        lag_one,
        slope,
        t,
        p,
    }
}

/// A hint that the scatter depends on a factor: for information, not a test of the model.
#[derive(Debug, Clone, PartialEq)]
pub struct DispersionHint {
    /// Slope of ln e² on the coded factor; twice it is ln of the variance ratio between high and low.
    pub slope: Known<f64>,
    /// t of the slope, on runs − 2 df.
    pub t: Known<f64>,
    /// ln of the ratio of mean squared residuals at settings above and below the middle (Box & Meyer 1986).
    pub log_variance_ratio: Known<f64>,
}

impl LeastSquares {
    /// Does the size of the residuals change with `settings`, the coded settings of one factor at all model rows?
    ///
    /// # Errors
    /// [`FitError::CompanionLength`] unless there is one setting a row, [`FitError::BadNumber`] for one that is not
    /// finite.
    ///
    /// # Source
    /// Box, G.E.P. & Meyer, R.D. (1986), Dispersion effects from fractional designs, Technometrics 28, 19–27.
    pub fn dispersion_hint(&self, settings: &[f64]) -> Result<DispersionHint, FitError> {
        self.check_companion("settings", settings.len())?;
        if let Some(bad) = settings.iter().find(|setting| !setting.is_finite()) {
            return Err(FitError::BadNumber {
                what: "a setting",
                must_be: "finite",
                value: *bad,
            });
        }
        if self.testing_sd().is_err() {
            let why = self.testing_sd().err().unwrap_or(Undefined::NoErrorDf);
            return Ok(DispersionHint {
                slope: Err(why.clone()),
                t: Err(why.clone()),
                log_variance_ratio: Err(why),
            });
        }
        let weights = self.weights();
        let pairs: Vec<(f64, f64)> = self
            .rows()
            .iter()
            .zip(self.residuals())
            .enumerate()
            .map(|(run, (row, e))| (settings[*row], e * e * weights.map_or(1.0, |w| w[run])))
            .collect();
        let (slope, t) = log_slope(&pairs, self.residual_sum_of_squares());
        Ok(DispersionHint {
            slope,
            t,
            log_variance_ratio: log_variance_ratio(&pairs),
        })
    }
}

/// Slope and t of ln e² on the setting. A residual of zero counts as 1e-12 of the mean square, so that its logarithm
/// exists.
fn log_slope(pairs: &[(f64, f64)], residual_squares: f64) -> (Known<f64>, Known<f64>) {
    let n = pairs.len() as f64;
    let floor = 1e-12 * residual_squares / n;
    let logs: Vec<(f64, f64)> = pairs.iter().map(|(x, e)| (*x, e.max(floor).ln())).collect();
    let mean_x = logs.iter().map(|(x, _)| x).sum::<f64>() / n;
    let mean_y = logs.iter().map(|(_, y)| y).sum::<f64>() / n;
    let spread: f64 = logs.iter().map(|(x, _)| (x - mean_x).powi(2)).sum();
    if spread <= 1e-18 * n {
        return (Err(Undefined::DoesNotVary), Err(Undefined::DoesNotVary));
    }
    let products: f64 = logs.iter().map(|(x, y)| (x - mean_x) * (y - mean_y)).sum();
    let slope = products / spread;
    if pairs.len() < 3 {
        return (Ok(slope), Err(Undefined::NoErrorDf));
    }
    let rest: f64 = logs
        .iter()
        .map(|(x, y)| (y - mean_y - slope * (x - mean_x)).powi(2))
        .sum();
    let total: f64 = logs.iter().map(|(_, y)| (y - mean_y).powi(2)).sum();
    let t = if rest <= 1e-20 * total || total <= 0.0 {
        Err(Undefined::PerfectFit)
    } else {
        Ok(slope / (rest / (n - 2.0) / spread).sqrt())
    };
    (Ok(slope), t)
}

fn log_variance_ratio(pairs: &[(f64, f64)]) -> Known<f64> {
    let mean_square = |high: bool| {
        let side: Vec<f64> = pairs
            .iter()
            .filter(|(x, _)| if high { *x > 0.0 } else { *x < 0.0 })
            .map(|(_, e)| *e)
            .collect();
        let sum: f64 = side.iter().sum();
        (sum > 0.0).then(|| sum / side.len() as f64)
    };
    match (mean_square(true), mean_square(false)) {
        (Some(high), Some(low)) => Ok((high / low).ln()),
        _ => Err(Undefined::DoesNotVary),
    }
}
