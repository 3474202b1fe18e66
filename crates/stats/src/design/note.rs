//! What is worth knowing or doubtful about a plan that could be made.

/// One remark on a plan; its `Display` says it in words. (The derive is that of errors for its message only.)
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DesignNote {
    /// More runs than [`crate::design::MANY_RUNS`].
    #[error("The plan has {n_runs} runs.")]
    ManyRuns {
        /// How many.
        n_runs: usize,
    },
    /// Settings were rounded to what can be set.
    #[error("\"{factor}\" was rounded to settable values in {n_runs} runs, by up to {:.3} % of its range.", 50.0 * largest_shift)]
    Rounded {
        /// The factor.
        factor: String,
        /// Number of runs in which it moved.
        n_runs: usize,
        /// Largest move, coded.
        largest_shift: f64,
    },
    /// The plan of the other factors is made at every combination of the levels of these.
    #[error("The plan is made at each of the {n_combinations} combinations of the levels of {}.", factors.join(", "))]
    Crossed {
        /// Factors without a middle.
        factors: Vec<String>,
        /// Number of combinations.
        n_combinations: usize,
    },
    /// Centre runs stand at every combination of the levels of factors without a middle.
    #[error(
        "Each of the {n_combinations} combinations of levels without a middle has {n_each} centre runs."
    )]
    CentreRunsAtEachCombination {
        /// Number of combinations.
        n_combinations: usize,
        /// Centre runs at each.
        n_each: usize,
    },
    /// Centre runs stand at the first level of the factors without a middle.
    #[error("All centre runs stand at the first level of {}.", factors.join(", "))]
    CentreRunsAtFirstLevels {
        /// Factors without a middle.
        factors: Vec<String>,
    },
    /// The fraction has resolution III.
    #[error("Resolution III: main effects are aliased with two-factor products.")]
    MainEffectsAliasedWithPairs,
    /// The fraction has resolution IV.
    #[error(
        "Resolution IV: main effects are clear of two-factor products, which are aliased among themselves."
    )]
    PairsAliasedAmongThemselves,
    /// Main effects of a screening plan hold parts of many two-factor products.
    #[error(
        "Main effects are mixed in part with every two-factor product that does not contain them, with up to {largest:.2} of it."
    )]
    MainEffectsPartlyAliased {
        /// Largest share of a product in a main effect.
        largest: f64,
    },
    /// Main effects of a screening plan are clear of everything of second order.
    #[error(
        "Main effects are clear of squares and two-factor products; squares are correlated with each other ({squares:.2}), and with products."
    )]
    MainEffectsClearOfSecondOrder {
        /// Correlation of two squares without centre runs beyond one.
        squares: f64,
    },
    /// Factors with two levels take that clearness away.
    #[error(
        "Factors with two levels have no middle: main effects are no longer quite clear of two-factor products."
    )]
    TwoLevelFactorsInScreening,
    /// These effects cannot be told from differences between blocks.
    #[error("Cannot be told from differences between blocks: {}, and what is aliased with them.", effects.join(", "))]
    ConfoundedWithBlocks {
        /// The shortest effect of each set of aliases.
        effects: Vec<String>,
    },
    /// Blocks change the coefficients of the quadratic model.
    #[error(
        "Blocks change the coefficients: the mean of {term} differs between blocks by up to {imbalance:.3}."
    )]
    BlocksNotOrthogonal {
        /// The least balanced column.
        term: String,
        /// Largest difference of its mean in a block from its mean over all runs.
        imbalance: f64,
    },
    /// Axial runs lie outside the range of a factor.
    #[error(
        "Axial runs take \"{factor}\" outside its range, to {low} and {high}; check that it can be set."
    )]
    AxialBeyondRange {
        /// The factor.
        factor: String,
        /// Lowest setting, natural units.
        low: f64,
        /// Highest setting, natural units.
        high: f64,
    },
    /// An axial run has a negative setting of a factor whose range is not negative.
    #[error(
        "An axial run asks for a negative \"{factor}\" ({setting}), though its range is not negative."
    )]
    AxialBelowZero {
        /// The factor.
        factor: String,
        /// The setting, natural units.
        setting: f64,
    },
    /// An axial run was moved inwards to a hard limit.
    #[error(
        "An axial run of \"{factor}\" was moved from {wanted:.3} to {used:.3} (coded), its hard limit."
    )]
    AxialShrunk {
        /// The factor.
        factor: String,
        /// Coded place that the family asks for.
        wanted: f64,
        /// Coded place at the limit.
        used: f64,
    },
    /// The fraction of the factorial part has too few runs for good estimates.
    #[error(
        "The factorial part has resolution {resolution}, below V: some coefficients are estimated poorly."
    )]
    SmallComposite {
        /// Its resolution.
        resolution: usize,
    },
    /// No run stands at a corner of the region.
    #[error(
        "No run stands where several factors are at their ends together; predictions there are less certain."
    )]
    NoCorners,
    /// Runs are grouped into set-ups, within which the factors that are hard to change stay constant.
    #[error(
        "The {n_runs} runs form {n_set_ups} set-ups, because some factors are hard to change; effects of those factors are judged against the scatter between set-ups."
    )]
    SetUps {
        /// Number of set-ups.
        n_set_ups: usize,
        /// Number of runs.
        n_runs: usize,
    },
    /// These set-ups have the same hard settings as the one before and must still be set up afresh.
    #[error(
        "Set-ups {} have the same hard settings as the one before and must still be set up afresh.",
        join_numbers(set_ups)
    )]
    SetUpsToReset {
        /// Their numbers.
        set_ups: Vec<usize>,
    },
    /// The search was stopped before its end; the best so far was taken.
    #[error(
        "The search was stopped after {n_completed} of {n_starts} starts; this is the best plan so far."
    )]
    SearchStopped {
        /// Starts that were completed.
        n_completed: usize,
        /// Starts that were asked for.
        n_starts: usize,
    },
    /// The plan was drawn at random without a search.
    #[error("The {n_runs} runs were drawn at random; the plan was not improved by a search.")]
    NotSearched {
        /// Number of runs.
        n_runs: usize,
    },
    /// The order was not left to chance alone.
    #[error("The order of the runs was not left to chance alone; a drift can look like an effect.")]
    OrderRestricted,
}

pub(crate) fn join_numbers(numbers: &[usize]) -> String {
    let texts: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    texts.join(", ")
}
