//! Everything that can be wrong with a question about a plan, one variant a way.

use crate::error::StatsError;
use crate::power::PowerError;

/// Why a plan could not be judged.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EvaluationError {
    /// A point, block or term that does not belong to the factors.
    #[error(transparent)]
    Stats(#[from] StatsError),
    /// A plan without runs.
    #[error("there are no runs to judge")]
    NoRuns,
    /// A model without terms.
    #[error("the model has no terms")]
    NoTerms,
    /// An effect or significance level outside its range.
    #[error(transparent)]
    Power(#[from] PowerError),
    /// Not one set-up number a run.
    #[error("there are {found} set-up numbers for {expected} runs")]
    SetUpsLength {
        /// Number of runs.
        expected: usize,
        /// Number of set-up numbers.
        found: usize,
    },
    /// A variance ratio that is negative or not finite.
    #[error(
        "{ratio} is no ratio of set-up to run variance: it must be a finite number from zero up"
    )]
    BadVarianceRatio {
        /// What was given.
        ratio: f64,
    },
}
