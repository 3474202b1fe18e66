//! Confirmation runs: do new runs at the chosen settings agree with what the fit promised?
//!
//! The mean of m new runs should lie within `f'b ± t s √(1/m + v)`, each single one within `± t s √(1 + v)`. Source:
//! Montgomery, D.C., Design and Analysis of Experiments, section on confirmation experiments; the interval is the
//! textbook prediction interval of a future mean.

use crate::confidence::{ConfidenceLevel, Interval};
use crate::distributions::{FisherF, StudentT};
use crate::error::FitError;
use crate::prediction::Prediction;
use crate::undefined::Undefined;

/// Fewest new runs whose scatter is compared with that of the fit.
const MIN_RUNS_FOR_SCATTER: usize = 3;

/// What new runs say about a prediction.
#[derive(Debug, Clone, PartialEq)]
pub struct Confirmation {
    /// Mean of the new runs.
    pub mean: f64,
    /// Where it was promised to lie.
    pub interval: Interval,
    /// True if it does: "consistent".
    pub is_inside: bool,
    /// (mean − prediction) over the standard error of the difference.
    pub t: f64,
    /// Two-sided probability of a larger |t| if the prediction is right.
    pub p: f64,
    /// Where each single run was promised to lie.
    pub single_interval: Interval,
    /// Whether each run does, in the order given.
    pub is_single_inside: Vec<bool>,
    /// Comparison of the scatter; `None` with fewer than three runs.
    pub scatter: Option<ScatterComparison>,
}

/// Is the variance of the new runs larger than that of the fit?
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScatterComparison {
    /// Variance of the new runs over the residual mean square.
    pub f: f64,
    /// Probability of a larger ratio if they are equal.
    pub p: f64,
}

impl Prediction {
    /// Holds new runs at this point against the prediction. With several responses give `level` by Bonferroni:
    /// 1 − (1 − level)/number of responses.
    ///
    /// # Errors
    /// [`FitError::NoRuns`] without new runs, [`FitError::BadNumber`] for one that is not finite,
    /// [`FitError::Undefined`] if the prediction has no error.
    pub fn confirm(
        &self,
        observed: &[f64],
        level: ConfidenceLevel,
    ) -> Result<Confirmation, FitError> {
        if let Some(bad) = observed.iter().find(|y| !y.is_finite()) {
            return Err(FitError::BadNumber {
                what: "a new run",
                must_be: "finite",
                value: *bad,
            });
        }
        if observed.is_empty() {
            return Err(FitError::NoRuns);
        }
        let m = observed.len() as f64;
        let mean = observed.iter().sum::<f64>() / m;
        let value = self.value().clone()?;
        let sd = self.residual_sd().clone()?;
        let v = self.variance_factor().clone()?;
        let error = sd * (1.0 / m + v).sqrt();
        if error <= 0.0 {
            return Err(Undefined::PerfectFit.into());
        }
        let t = (mean - value) / error;
        let distribution = StudentT::new(self.df() as f64).ok();
        let interval = self.mean_of_interval(observed.len(), level)?;
        let single_interval = self.single_interval(level)?;
        Ok(Confirmation {
            mean,
            interval,
            is_inside: interval.contains(mean),
            t,
            p: distribution.ok_or(Undefined::NoErrorDf)?.two_sided(t),
            single_interval,
            is_single_inside: observed
                .iter()
                .map(|y| single_interval.contains(*y))
                .collect(),
            scatter: self.compare_scatter(observed, mean, sd),
        })
    }

    fn compare_scatter(&self, observed: &[f64], mean: f64, sd: f64) -> Option<ScatterComparison> {
        if observed.len() < MIN_RUNS_FOR_SCATTER {
            return None;
        }
        let df = observed.len() as f64 - 1.0;
        let squares: f64 = observed.iter().map(|y| (y - mean).powi(2)).sum();
        let f = squares / df / (sd * sd);
        let distribution = FisherF::new(df, self.df() as f64).ok()?;
        Some(ScatterComparison {
            f,
            p: distribution.sf(f),
        })
    }
}
