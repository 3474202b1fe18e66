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

/// Why a fit could not be made, or a question could not be put to it. Rows are 0-based inside and 1-based in messages.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FitError {
    /// No run has both a response and a weight above zero.
    #[error("there is no run to fit")]
    NoRuns,
    /// A model without any column.
    #[error("the model has no terms")]
    NoColumns,
    /// Every column is zero at all runs.
    #[error("no term varies in the runs, and the model has no intercept")]
    NothingEstimable,
    /// Not one response a run.
    #[error("there are {found} responses for {expected} runs")]
    ResponseLength {
        /// Number of runs.
        expected: usize,
        /// Number of responses.
        found: usize,
    },
    /// Not one weight a run.
    #[error("there are {found} weights for {expected} runs")]
    WeightsLength {
        /// Number of runs.
        expected: usize,
        /// Number of weights.
        found: usize,
    },
    /// Not one group, position or block a run.
    #[error("there are {found} {what} for {expected} runs")]
    CompanionLength {
        /// What was given for each run.
        what: &'static str,
        /// Number of runs.
        expected: usize,
        /// How many there are.
        found: usize,
    },
    /// A response that is NaN or infinite.
    #[error("the response of run {} is not a finite number", .row + 1)]
    ResponseNotFinite {
        /// 0-based row.
        row: usize,
    },
    /// A response whose square would overflow.
    #[error("the response {value:e} of run {} is beyond 1e100; use a larger unit", .row + 1)]
    ResponseTooLarge {
        /// 0-based row.
        row: usize,
        /// The response.
        value: f64,
    },
    /// A weight that is negative or not finite.
    #[error("the weight {weight} of run {} is not a finite number from zero up", .row + 1)]
    BadWeight {
        /// 0-based row.
        row: usize,
        /// The weight.
        weight: f64,
    },
    /// A model column that overflows at some run.
    #[error("the term \"{column}\" is not a finite number at run {}", .row + 1)]
    ColumnNotFinite {
        /// Name of the column.
        column: String,
        /// 0-based row.
        row: usize,
    },
    /// A model row of another length than the model.
    #[error("a row of {found} numbers was given for a model with {expected} columns")]
    RowLength {
        /// Number of model columns.
        expected: usize,
        /// Length of the row.
        found: usize,
    },
    /// A model row with a number that is not finite.
    #[error("the setting asked for is not finite in the term \"{column}\"")]
    RowNotFinite {
        /// Name of the column.
        column: String,
    },
    /// A confidence level outside 0..1.
    #[error("{level} is no confidence level: it must lie between 0 and 1")]
    BadConfidenceLevel {
        /// What was given.
        level: f64,
    },
    /// A number that must be finite, or positive, and is not.
    #[error("{what} must be {must_be}, but is {value}")]
    BadNumber {
        /// What it is.
        what: &'static str,
        /// What it must be.
        must_be: &'static str,
        /// What was given.
        value: f64,
    },
    /// A question that the fit has no answer to, with the reason.
    #[error(transparent)]
    Undefined(#[from] crate::undefined::Undefined),
    /// A point or term that does not belong to the factors.
    #[error(transparent)]
    Space(#[from] StatsError),
}
