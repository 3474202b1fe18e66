//! Plans: which settings are run, in which order.
//!
//! [`build`] turns a [`DesignRequest`] into a [`Design`]. All families share what follows the choice of points:
//! crossing with factors that have no middle, rounding to settable values, replicates, centre runs, blocks, set-ups
//! for factors that are hard to change, and the order in which the runs are made. Same request, same factors, same
//! seed: the same plan, bit for bit.

mod assembly;
mod blocking;
mod box_behnken;
mod catalogue;
mod central_composite;
mod conference;
mod definitive_screening;
mod error;
mod fraction;
mod fractional_factorial;
mod full_factorial;
mod generators;
mod latin_hypercube;
mod lattice;
mod maximin_exchange;
mod note;
mod plackett_burman;
mod random_stream;
mod run_order;
mod settable;

use std::fmt;
use std::sync::atomic::{AtomicBool, Ordering};

pub(crate) use assembly::listed_settings;
pub use blocking::{BlockWords, block_imbalance, block_words};
pub use catalogue::{CATALOGUE, CatalogueEntry, fractions_for};
pub use error::DesignError;
pub use fraction::{AliasSet, Generator, RegularFraction, Word};
pub use note::DesignNote;
pub use plackett_burman::PLACKETT_BURMAN_RUNS;
pub use random_stream::{Purpose, RandomStream, Seed};
pub use settable::{nearest_settable, settable};

use crate::factor::{CodedPoint, FactorSpace};

/// Version of everything that leads from a request to a plan. It is stored beside the seed; any change that could
/// give another plan for an old seed raises it.
pub const ALGORITHM_VERSION: u32 = 1;

/// Above this number of runs a plan carries a warning (common practice).
pub const MANY_RUNS: usize = 128;

/// Above this number of runs a plan is refused (own choice: no campaign makes that many).
pub const MAX_RUNS: usize = 100_000;

/// A family of plans.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DesignKind {
    /// All combinations of all levels.
    FullFactorial,
    /// A regular fraction of the two-level factorial.
    FractionalFactorial,
    /// Two-level screening with hardly more runs than factors.
    PlackettBurman,
    /// Three-level screening in mirrored pairs of runs.
    DefinitiveScreening,
    /// Factorial part at the ends of the ranges, axial points outside them, centre runs.
    CentralComposite,
    /// Composite with axial points at the ends of the ranges.
    FaceCentred,
    /// Composite shrunk until its axial points stand at the ends of the ranges.
    Inscribed,
    /// Three levels without corners.
    BoxBehnken,
    /// Every factor takes evenly spaced settings, one in each run, with runs far apart.
    LatinHypercube,
}

impl DesignKind {
    /// All families, in the order in which they are offered.
    pub const ALL: [Self; 9] = [
        Self::FullFactorial,
        Self::FractionalFactorial,
        Self::PlackettBurman,
        Self::DefinitiveScreening,
        Self::CentralComposite,
        Self::FaceCentred,
        Self::Inscribed,
        Self::BoxBehnken,
        Self::LatinHypercube,
    ];

    /// The word that stands for the family in files and on the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::FullFactorial => "full-factorial",
            Self::FractionalFactorial => "fractional-factorial",
            Self::PlackettBurman => "plackett-burman",
            Self::DefinitiveScreening => "definitive-screening",
            Self::CentralComposite => "central-composite",
            Self::FaceCentred => "face-centred",
            Self::Inscribed => "inscribed",
            Self::BoxBehnken => "box-behnken",
            Self::LatinHypercube => "latin-hypercube",
        }
    }

    /// The family of a key; `None` if there is none.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// The name for people.
    pub const fn label(self) -> &'static str {
        match self {
            Self::FullFactorial => "full factorial",
            Self::FractionalFactorial => "fractional factorial",
            Self::PlackettBurman => "Plackett–Burman",
            Self::DefinitiveScreening => "definitive screening",
            Self::CentralComposite => "central composite",
            Self::FaceCentred => "face-centred composite",
            Self::Inscribed => "inscribed composite",
            Self::BoxBehnken => "Box–Behnken",
            Self::LatinHypercube => "Latin hypercube",
        }
    }
}

impl fmt::Display for DesignKind {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.label())
    }
}

/// Where the centre runs stand when some factors have no middle (categories and numbers with two levels).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum CentrePlacement {
    /// The asked number at every combination of the levels of those factors.
    #[default]
    EachCombination,
    /// The asked number at the first level of each of them.
    FirstLevels,
}

/// How the order of the runs is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum OrderRule {
    /// Each order equally likely (within blocks, and within set-ups if a factor is hard to change).
    #[default]
    Shuffled,
    /// The best of 200 random orders: the one whose main effects are least correlated with a linear drift over the
    /// runs. A restriction of randomization.
    TrendBalanced,
    /// As listed by the family. A restriction of randomization: a drift then looks like an effect.
    Standard,
}

/// How far axial points stand from the middle (docs/methods.md, 3.7). F is the number of factorial runs, k that of
/// factors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AxialDistance {
    /// `F^(1/4)`: the prediction variance depends on the distance from the middle only.
    Rotatable,
    /// `√k`: factorial and axial points at equal distance from the middle.
    Spherical,
    /// Squares uncorrelated with each other.
    OrthogonalSquares,
    /// Blocks change no coefficient.
    OrthogonalBlocks,
    /// This coded distance.
    Coded(f64),
}

/// The factorial part of a composite plan when no generators are given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum CubePart {
    /// The smallest catalogued fraction of resolution V or more; all combinations for up to four factors.
    #[default]
    SmallestOfResolutionFive,
    /// All combinations.
    Full,
}

/// How long a search may last, counted so that the same budget gives the same plan on every machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SearchBudget {
    /// Independent starts; of equally good plans the earliest is taken. 0: a random plan.
    pub n_starts: usize,
    /// Exchanges that are tried in each.
    pub n_trials: usize,
}

/// What a search did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SearchRecord {
    /// Starts that were to be made.
    pub n_starts: usize,
    /// Starts that were completed.
    pub n_completed: usize,
    /// Exchanges tried in each.
    pub n_trials: usize,
    /// Starts that ended at the same smallest distance as the best.
    pub n_starts_at_best: usize,
    /// Smallest distance of two runs, each factor counted in levels 0…n−1.
    pub min_distance: f64,
}

/// What is asked for. [`DesignRequest::new`] has the defaults; change the fields that differ.
#[derive(Debug, Clone, PartialEq)]
pub struct DesignRequest {
    /// The family.
    pub kind: DesignKind,
    /// Number of evenly spaced levels of each continuous factor in a full factorial, one entry a factor, `None` for
    /// two levels and for factors that have a list. Empty: `None` for all.
    pub n_levels: Vec<Option<usize>>,
    /// Generators of a fraction: `E=ABC F=-BCD` in factor letters (A, B, C, … without I, in factor order, unless factors
    /// have one-letter names), or `web=speed*gap` in names. For composite plans those of the factorial part.
    pub generators: Option<String>,
    /// Number of runs of a fraction or a screening plan (centre runs, replicates and crossed categories not counted) or of a
    /// Latin hypercube.
    pub n_runs: Option<usize>,
    /// Distance of axial points; `None`: for orthogonal blocks if there are blocks, else rotatable.
    pub axial_distance: Option<AxialDistance>,
    /// Factorial part of a composite plan.
    pub cube_part: CubePart,
    /// Natural settings that axial points must not pass, one entry a factor; points beyond are moved to the limit.
    /// Empty: no limits.
    pub hard_limits: Vec<Option<(f64, f64)>>,
    /// How long to search for a Latin hypercube; `None`: half a second to two seconds of one thread.
    pub search_budget: Option<SearchBudget>,
    /// Number of centre runs, in all replicates and blocks together, at each combination of the levels of factors
    /// without a middle (see [`CentrePlacement`]). `None`: the family's default.
    pub n_centre: Option<usize>,
    /// Where centre runs stand when there are factors without a middle.
    pub centre_placement: CentrePlacement,
    /// How often the whole plan is made. Centre runs are not multiplied.
    pub n_replicates: usize,
    /// Number of blocks. If it is a multiple of the number of replicates, each replicate has blocks of its own.
    pub n_blocks: usize,
    /// Number of extra runs at the middle of all factors (first level of a category), evenly spread from the first
    /// run to the last, that show a drift. At least two.
    pub n_return: Option<usize>,
    /// How the order of the runs is chosen.
    pub order: OrderRule,
    /// The number from which every random choice follows.
    pub seed: Seed,
}

impl DesignRequest {
    /// A plan of this family with all defaults: one replicate, one block, the family's centre runs, shuffled.
    pub const fn new(kind: DesignKind, seed: Seed) -> Self {
        Self {
            kind,
            n_levels: Vec::new(),
            generators: None,
            n_runs: None,
            axial_distance: None,
            cube_part: CubePart::SmallestOfResolutionFive,
            hard_limits: Vec::new(),
            search_budget: None,
            n_centre: None,
            centre_placement: CentrePlacement::EachCombination,
            n_replicates: 1,
            n_blocks: 1,
            n_return: None,
            order: OrderRule::Shuffled,
            seed,
        }
    }
}

/// What a run is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RunRole {
    /// A point of the family itself.
    Plan,
    /// All factors that have a middle stand at it.
    Centre,
    /// One factor stands away from the middle, all others at it.
    Axial,
    /// The same setting again and again to show a drift.
    Return,
    /// Confirms a chosen setting.
    Check,
    /// Added to a plan later.
    Added,
}

impl RunRole {
    /// All roles.
    pub const ALL: [Self; 6] = [
        Self::Plan,
        Self::Centre,
        Self::Axial,
        Self::Return,
        Self::Check,
        Self::Added,
    ];

    /// The word that stands for the role in files.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Plan => "plan",
            Self::Centre => "centre",
            Self::Axial => "axial",
            Self::Return => "return",
            Self::Check => "check",
            Self::Added => "added",
        }
    }

    /// The role of a key; `None` if there is none.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.key() == key)
    }
}

/// One run of a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct DesignRun {
    /// Number of the run in the list of the family, from 1: plan points (first factor fastest), replicate by
    /// replicate, then centre runs, then return runs.
    pub standard_order: usize,
    /// Number of its block, from 1; `None` if the plan has one block.
    pub block: Option<usize>,
    /// Number of its set-up, from 1; `None` if no factor is hard to change.
    pub whole_plot: Option<usize>,
    /// Number of its copy of the plan, from 1; centre and return runs are counted through.
    pub replicate: usize,
    /// What it is for.
    pub role: RunRole,
    /// Its settings: rounded to settable values.
    pub coded: CodedPoint,
}

/// What is particular to some families of plans.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FamilyDetails {
    /// The fraction and its defining relation: of a fractional factorial, or of the factorial part of a composite.
    pub fraction: Option<RegularFraction>,
    /// Coded distance of the axial points of a composite, before an inscribed plan is shrunk by it.
    pub axial_distance: Option<f64>,
    /// What the search of a Latin hypercube did.
    pub search: Option<SearchRecord>,
}

/// A plan: runs in the order in which they are made.
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    /// The family.
    pub kind: DesignKind,
    /// The runs, in run order.
    pub runs: Vec<DesignRun>,
    /// The number from which every random choice followed.
    pub seed: Seed,
    /// [`ALGORITHM_VERSION`] at the time.
    pub algorithm_version: u32,
    /// Number of blocks; 1 if it is not divided.
    pub n_blocks: usize,
    /// What is particular to some families.
    pub details: FamilyDetails,
    /// What is worth knowing or doubtful about it.
    pub notes: Vec<DesignNote>,
}

impl Design {
    /// Settings of all runs, in run order.
    pub fn points(&self) -> Vec<CodedPoint> {
        self.runs.iter().map(|run| run.coded.clone()).collect()
    }
}

/// How a long search reports, is stopped, and how many threads it may use.
#[derive(Clone, Copy)]
pub struct Progress<'a> {
    stop: Option<&'a AtomicBool>,
    report: Option<&'a (dyn Fn(f64) + Sync)>,
    n_threads: usize,
}

impl fmt::Debug for Progress<'_> {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter
            .debug_struct("Progress")
            .field("is_stopped", &self.is_stopped())
            .field("n_threads", &self.n_threads)
            .finish_non_exhaustive()
    }
}

impl<'a> Progress<'a> {
    /// Nobody watches and nothing stops the search; one thread.
    pub const fn unwatched() -> Progress<'static> {
        Progress {
            stop: None,
            report: None,
            n_threads: 1,
        }
    }

    /// The search ends soon after `stop` becomes true, with the best it has; `report` is told the share that is done,
    /// 0 to 1, from whichever thread is at work.
    pub const fn new(stop: &'a AtomicBool, report: &'a (dyn Fn(f64) + Sync)) -> Self {
        Self {
            stop: Some(stop),
            report: Some(report),
            n_threads: 1,
        }
    }

    /// The same with up to this many threads. The result does not depend on it.
    #[must_use]
    pub const fn with_threads(self, n_threads: usize) -> Self {
        Self { n_threads, ..self }
    }

    /// True once the search should end.
    pub fn is_stopped(&self) -> bool {
        self.stop.is_some_and(|stop| stop.load(Ordering::Relaxed))
    }

    /// Tells the watcher the share that is done.
    pub fn report(&self, share: f64) {
        if let Some(report) = self.report {
            report(share);
        }
    }

    /// Number of threads that may be used, at least 1.
    pub fn n_threads(&self) -> usize {
        self.n_threads.max(1)
    }
}

/// Makes a plan.
///
/// # Errors
/// [`DesignError`] says which part of the request does not fit the family or the factors.
pub fn build(
    space: &FactorSpace,
    request: &DesignRequest,
    progress: &Progress<'_>,
) -> Result<Design, DesignError> {
    if space.n_factors() == 0 {
        return Err(DesignError::NoFactors);
    }
    if request.n_replicates == 0 {
        return Err(DesignError::NoReplicates);
    }
    if request.n_blocks == 0 {
        return Err(DesignError::NoBlocks);
    }
    check_options(request)?;
    progress.report(0.0);
    let base = match request.kind {
        DesignKind::FullFactorial => full_factorial::points(space, request)?,
        DesignKind::FractionalFactorial => fractional_factorial::points(space, request)?,
        DesignKind::PlackettBurman => plackett_burman::points(space, request)?,
        DesignKind::DefinitiveScreening => definitive_screening::points(space, request)?,
        DesignKind::CentralComposite | DesignKind::FaceCentred | DesignKind::Inscribed => {
            central_composite::points(space, request)?
        }
        DesignKind::BoxBehnken => box_behnken::points(space, request)?,
        DesignKind::LatinHypercube => latin_hypercube::points(space, request, progress)?,
    };
    let design = assembly::assemble(space, request, base)?;
    progress.report(1.0);
    Ok(design)
}

/// Refuses options that would silently do nothing.
fn check_options(request: &DesignRequest) -> Result<(), DesignError> {
    let kind = request.kind;
    let is_composite = matches!(
        kind,
        DesignKind::CentralComposite | DesignKind::FaceCentred | DesignKind::Inscribed
    );
    let is_fraction = kind == DesignKind::FractionalFactorial;
    let is_hypercube = kind == DesignKind::LatinHypercube;
    let is_screening = matches!(
        kind,
        DesignKind::PlackettBurman | DesignKind::DefinitiveScreening
    );
    let refused = [
        (
            "levels",
            request.n_levels.iter().any(Option::is_some) && kind != DesignKind::FullFactorial,
        ),
        (
            "generators",
            request.generators.is_some() && !is_fraction && !is_composite,
        ),
        (
            "runs",
            request.n_runs.is_some() && !is_fraction && !is_hypercube && !is_screening,
        ),
        (
            "search budget",
            request.search_budget.is_some() && !is_hypercube,
        ),
        (
            "axial distance",
            request.axial_distance.is_some() && !is_composite,
        ),
        (
            "full factorial part",
            request.cube_part == CubePart::Full && !is_composite,
        ),
    ];
    match refused.into_iter().find(|(_, is_refused)| *is_refused) {
        Some((option, _)) => Err(DesignError::OptionDoesNotApply { kind, option }),
        None => Ok(()),
    }
}
