//! Why a number does not exist: shown in its place, never a made-up value.

/// The reason why a statistic has no value.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Undefined {
    /// The column depends on others, so its coefficient cannot be told from theirs.
    #[error("aliased")]
    Aliased,
    /// The point asks for a combination of terms that the runs cannot separate.
    #[error("not estimable: the runs cannot separate {terms}")]
    NotEstimable {
        /// The terms, comma-separated.
        terms: String,
    },
    /// As many parameters as runs.
    #[error("no error df")]
    NoErrorDf,
    /// One error df, where two are needed.
    #[error("only one error df")]
    OneErrorDf,
    /// A run that the fit passes through exactly, so that it cannot be left out.
    #[error("leverage 1 at {}", runs_in_words(.rows))]
    LeverageOne {
        /// 0-based rows of the runs.
        rows: Vec<usize>,
    },
    /// Without this run the fit is perfect, so that its distance has no scale.
    #[error("all other runs are fitted exactly")]
    OthersFittedExactly,
    /// Residuals at rounding level.
    #[error("perfect fit within rounding")]
    PerfectFit,
    /// All responses equal.
    #[error("the response does not vary")]
    ZeroVariance,
    /// No two runs with the same settings.
    #[error("no replicate")]
    NoReplicate,
    /// Replicates that agree exactly.
    #[error("the replicates agree exactly")]
    NoPureErrorScatter,
    /// As many parameters as different settings.
    #[error("no df for lack of fit")]
    NoLackOfFitDf,
    /// A term that a higher one with missing cells contains.
    #[error("\"{higher}\" has missing cells; see the sequential or hierarchical table")]
    MissingCells {
        /// The higher term.
        higher: String,
    },
    /// Too few runs for the correction of the information criterion.
    #[error("more than {needed} runs are needed, there are {present}")]
    TooFewRuns {
        /// The count that must be passed.
        needed: usize,
        /// Runs there are.
        present: usize,
    },
    /// The intercept, where a figure only makes sense for other columns.
    #[error("not for the intercept")]
    Intercept,
    /// A row of a table to which the figure does not belong (such as F of the total).
    #[error("does not apply")]
    DoesNotApply,
    /// A model without all squares that a stationary point needs.
    #[error("the model has no full square part: {missing} missing")]
    NoFullSquarePart {
        /// The missing terms, comma-separated.
        missing: String,
    },
    /// A model with terms above second order.
    #[error("the model has the term \"{term}\" above second order")]
    AboveSecondOrder {
        /// The first such term.
        term: String,
    },
    /// A surface that is flat in some direction, so that no single point is stationary.
    #[error("the surface is flat in some direction")]
    FlatSurface,
    /// A curvature test without runs in the middle.
    #[error("no centre runs")]
    NoCenterRuns,
    /// A curvature test without runs at the corners.
    #[error("no factorial runs")]
    NoFactorialRuns,
    /// A region in which nothing passes the feasibility test, as far as was looked.
    #[error("no feasible setting was found")]
    NoFeasiblePoint,
    /// A scale that is not estimated because no run varies as it would need.
    #[error("the runs do not vary in it")]
    DoesNotVary,
}

/// A statistic, or why there is none.
pub type Known<T> = Result<T, Undefined>;

/// 0-based rows as people count them: `run 7`, `runs 3, 5`.
pub(crate) fn runs_in_words(rows: &[usize]) -> String {
    let numbers: Vec<String> = rows.iter().map(|row| (row + 1).to_string()).collect();
    let noun = if rows.len() == 1 { "run" } else { "runs" };
    format!("{noun} {}", numbers.join(", "))
}

/// A sum of columns: `"speed" + a constant`, or `zero` for none.
pub(crate) fn columns_in_words<Name: AsRef<str>>(names: &[Name]) -> String {
    if names.is_empty() {
        return "zero".to_owned();
    }
    let quoted = names.iter().map(|name| match name.as_ref() {
        "1" => "a constant".to_owned(),
        name => format!("\"{name}\""),
    });
    quoted.collect::<Vec<String>>().join(" + ")
}
