//! Everything that can be wrong with an input, one variant a way.

use crate::factor::Value;

/// Why a plan, a model or a fit could not be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum StatsError {
    /// A range that is empty, not finite, or not positive on a log scale.
    #[error(
        "the range {low} to {high} of \"{factor}\" is not a range: low must be below high, and above zero on a log scale"
    )]
    BadRange {
        /// The factor.
        factor: String,
        /// Its lower end.
        low: f64,
        /// Its upper end.
        high: f64,
    },
    /// A category or list with fewer than two levels.
    #[error("\"{factor}\" has {n_levels} level(s); at least two are needed")]
    TooFewLevels {
        /// The factor.
        factor: String,
        /// How many it has.
        n_levels: usize,
    },
    /// A level that is named twice.
    #[error("\"{factor}\" names the level \"{level}\" twice")]
    RepeatedLevel {
        /// The factor.
        factor: String,
        /// The level.
        level: String,
    },
    /// Two factors with one name.
    #[error("two factors are called \"{factor}\"")]
    RepeatedFactor {
        /// The name.
        factor: String,
    },
    /// A setting that a factor cannot take.
    #[error("{value:?} is no setting of \"{factor}\"")]
    ValueDoesNotFit {
        /// The factor.
        factor: String,
        /// The setting.
        value: Value,
    },
    /// A run with too few or too many settings.
    #[error("a run has {found} settings, but there are {expected} factors")]
    WrongLength {
        /// Number of factors.
        expected: usize,
        /// Number of settings.
        found: usize,
    },
    /// A text that is no term of these factors.
    #[error("\"{text}\" is no term: {reason}")]
    BadTerm {
        /// What was written.
        text: String,
        /// What is wrong with it.
        reason: String,
    },
}
