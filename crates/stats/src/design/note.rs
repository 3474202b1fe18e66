//! What is worth knowing or doubtful about a plan that could be made.

use std::fmt;

/// One remark on a plan; its `Display` says it in words.
#[derive(Debug, Clone, PartialEq)]
pub enum DesignNote {
    /// More runs than [`crate::design::MANY_RUNS`].
    ManyRuns {
        /// How many.
        n_runs: usize,
    },
    /// Settings were rounded to what can be set.
    Rounded {
        /// The factor.
        factor: String,
        /// Number of runs in which it moved.
        n_runs: usize,
        /// Largest move, coded.
        largest_shift: f64,
    },
    /// The plan of the other factors is made at every combination of the levels of these.
    Crossed {
        /// Factors without a middle.
        factors: Vec<String>,
        /// Number of combinations.
        n_combinations: usize,
    },
    /// Centre runs stand at every combination of the levels of factors without a middle.
    CentreRunsAtEachCombination {
        /// Number of combinations.
        n_combinations: usize,
        /// Centre runs at each.
        n_each: usize,
    },
    /// Centre runs stand at the first level of the factors without a middle.
    CentreRunsAtFirstLevels {
        /// Factors without a middle.
        factors: Vec<String>,
    },
    /// Runs are grouped into set-ups, within which the factors that are hard to change stay constant.
    SetUps {
        /// Number of set-ups.
        n_set_ups: usize,
        /// Number of runs.
        n_runs: usize,
    },
    /// These set-ups have the same hard settings as the one before and must still be set up afresh.
    SetUpsToReset {
        /// Their numbers.
        set_ups: Vec<usize>,
    },
    /// The order was not left to chance alone.
    OrderRestricted,
}

impl fmt::Display for DesignNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::ManyRuns { n_runs } => write!(f, "The plan has {n_runs} runs."),
            Self::Rounded {
                factor,
                n_runs,
                largest_shift,
            } => write!(
                f,
                "\"{factor}\" was rounded to settable values in {n_runs} runs, by up to {:.3} % of its range.",
                50.0 * largest_shift
            ),
            Self::Crossed {
                factors,
                n_combinations,
            } => write!(
                f,
                "The plan is made at each of the {n_combinations} combinations of the levels of {}.",
                factors.join(", ")
            ),
            Self::CentreRunsAtEachCombination {
                n_combinations,
                n_each,
            } => write!(
                f,
                "Each of the {n_combinations} combinations of levels without a middle has {n_each} centre runs."
            ),
            Self::CentreRunsAtFirstLevels { factors } => write!(
                f,
                "All centre runs stand at the first level of {}.",
                factors.join(", ")
            ),
            Self::SetUps { n_set_ups, n_runs } => write!(
                f,
                "The {n_runs} runs form {n_set_ups} set-ups, because some factors are hard to change; effects of those \
                 factors are judged against the scatter between set-ups."
            ),
            Self::SetUpsToReset { set_ups } => write!(
                f,
                "Set-ups {} have the same hard settings as the one before and must still be set up afresh.",
                join_numbers(set_ups)
            ),
            Self::OrderRestricted => f.write_str(
                "The order of the runs was not left to chance alone; a drift can look like an effect.",
            ),
        }
    }
}

pub(crate) fn join_numbers(numbers: &[usize]) -> String {
    let texts: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    texts.join(", ")
}
