//! Everything that can be wrong with a request for a plan, one variant a way.

use crate::design::DesignKind;
use crate::error::StatsError;

/// Why a plan could not be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DesignError {
    /// A factor or setting is wrong.
    #[error(transparent)]
    Stats(#[from] StatsError),
    /// There is nothing to vary.
    #[error("a plan needs at least one factor")]
    NoFactors,
    /// Fewer factors than the family has.
    #[error("a {} plan needs at least {need} factors that have a middle setting; there are {have}", kind.label())]
    TooFewFactors {
        /// The family.
        kind: DesignKind,
        /// Smallest number.
        need: usize,
        /// How many there are.
        have: usize,
    },
    /// Fewer two-level factors than a fraction needs.
    #[error(
        "a fraction needs at least {need} factors that can stand at two levels; there are {have}"
    )]
    TooFewTwoLevelFactors {
        /// Smallest number.
        need: usize,
        /// How many there are.
        have: usize,
    },
    /// A text that is no list of generators for these factors.
    #[error("\"{text}\" is no list of generators: {reason}")]
    BadGenerators {
        /// What was written.
        text: String,
        /// What is wrong with it.
        reason: String,
    },
    /// More generators than can be handled.
    #[error("{n_generators} generators are too many; 16 are possible")]
    TooManyGenerators {
        /// How many.
        n_generators: usize,
    },
    /// A number of runs that differs from that of the generators.
    #[error("{asked} runs were asked for, but the generators give {n_runs}")]
    RunsAgainstGenerators {
        /// How many were asked for.
        asked: usize,
        /// How many the generators give.
        n_runs: usize,
    },
    /// No catalogued fraction has this size.
    #[error(
        "no fraction of {n_factors} two-level factors in {n_runs} runs is known{}; generators can be given instead",
        known_sizes(available)
    )]
    NotInCatalogue {
        /// Number of two-level factors.
        n_factors: usize,
        /// Number of runs that was asked for.
        n_runs: usize,
        /// Numbers of runs that are known for these factors, ascending.
        available: Vec<usize>,
    },
    /// A number of runs that the family does not have for these factors.
    #[error(
        "a {} plan of these factors has no {asked} runs; possible are {}",
        kind.label(),
        super::note::join_numbers(possible)
    )]
    RunsNotPossible {
        /// The family.
        kind: DesignKind,
        /// How many were asked for.
        asked: usize,
        /// How many there can be, ascending.
        possible: Vec<usize>,
    },
    /// An axial distance that is not a positive number, or too small for the family.
    #[error("{alpha} is no axial distance{}", if *needs_one { " of at least 1" } else { "" })]
    BadAxialDistance {
        /// The distance, coded.
        alpha: f64,
        /// True if the family needs at least 1.
        needs_one: bool,
    },
    /// Hard limits that cut into the range of the factor.
    #[error("the hard limits {low} to {high} of \"{factor}\" cut into its own range")]
    HardLimitInsideRange {
        /// The factor.
        factor: String,
        /// Lower limit, natural units.
        low: f64,
        /// Upper limit, natural units.
        high: f64,
    },
    /// A factorial part that leaves the quadratic model without unique estimates.
    #[error("with this factorial part the quadratic terms {} cannot be told apart", terms.join(", "))]
    QuadraticNotEstimable {
        /// Terms that depend on others.
        terms: Vec<String>,
    },
    /// More factors than the family has.
    #[error("a {} plan is known for at most {limit} factors; there are {have}", kind.label())]
    TooManyFactors {
        /// The family.
        kind: DesignKind,
        /// Largest number.
        limit: usize,
        /// How many there are.
        have: usize,
    },
    /// Fewer runs than the family has.
    #[error("a {} plan has at least {need} runs; {have} was asked for", kind.label())]
    TooFewRuns {
        /// The family.
        kind: DesignKind,
        /// Smallest number.
        need: usize,
        /// How many were asked for.
        have: usize,
    },
    /// More runs than any campaign can make.
    #[error("the plan would have {n_runs} runs; more than {limit} are refused")]
    TooManyRuns {
        /// Number of runs (the largest countable number if it is beyond counting).
        n_runs: usize,
        /// The limit.
        limit: usize,
    },
    /// A number of replicates of zero.
    #[error("a plan is made at least once; 0 replicates were asked for")]
    NoReplicates,
    /// A number of blocks of zero.
    #[error("a plan has at least one block; 0 were asked for")]
    NoBlocks,
    /// An option that says nothing for this family.
    #[error("\"{option}\" does not apply to a {} plan", kind.label())]
    OptionDoesNotApply {
        /// The family.
        kind: DesignKind,
        /// The option in words.
        option: &'static str,
    },
    /// An option without which the family is not determined.
    #[error("a {} plan needs \"{option}\"", kind.label())]
    OptionMissing {
        /// The family.
        kind: DesignKind,
        /// The option in words.
        option: &'static str,
    },
    /// A list with one entry a factor that has another length.
    #[error("\"{option}\" has {found} entries, but there are {expected} factors")]
    WrongLength {
        /// The option in words.
        option: &'static str,
        /// Number of factors.
        expected: usize,
        /// Number of entries.
        found: usize,
    },
    /// A number of levels for a factor whose levels are given.
    #[error("the levels of \"{factor}\" are given by its list; no other number can be asked for")]
    LevelsAreGiven {
        /// The factor.
        factor: String,
    },
    /// A factor at fewer than two levels.
    #[error("\"{factor}\" was asked for at {n_levels} level(s); at least two are needed")]
    TooFewLevels {
        /// The factor.
        factor: String,
        /// How many.
        n_levels: usize,
    },
    /// Centre runs where nothing has a middle.
    #[error(
        "no factor has a middle setting (all are categories or have two levels), so there are no centre runs"
    )]
    NoMiddle,
    /// A number of return runs below two.
    #[error("return runs are at least the first and the last run; {n_runs} was asked for")]
    TooFewReturnRuns {
        /// How many.
        n_runs: usize,
    },
    /// A number of blocks into which this plan does not divide.
    #[error(
        "this plan cannot be divided into {n_blocks} blocks{}",
        possible_blocks(possible)
    )]
    BlocksNotPossible {
        /// How many were asked for.
        n_blocks: usize,
        /// Numbers of blocks that are possible, ascending.
        possible: Vec<usize>,
    },
    /// A setting beyond the numbers that can be written.
    #[error("the setting {coded} (coded) of \"{factor}\" is beyond all numbers")]
    SettingOutOfNumbers {
        /// The factor.
        factor: String,
        /// The coded setting.
        coded: f64,
    },
}

fn known_sizes(available: &[usize]) -> String {
    if available.is_empty() {
        return String::new();
    }
    let numbers: Vec<String> = available.iter().map(ToString::to_string).collect();
    format!(" (known: {})", numbers.join(", "))
}

fn possible_blocks(possible: &[usize]) -> String {
    if possible.is_empty() {
        return String::new();
    }
    let numbers: Vec<String> = possible.iter().map(ToString::to_string).collect();
    format!("; possible are {}", numbers.join(", "))
}
