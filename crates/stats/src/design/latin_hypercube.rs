//! Latin hypercubes whose points stay as far from each other as a search can bring them (maximin distance).
//!
//! Every continuous factor takes n evenly spaced settings, each in one run; the settings are the middles of n equal
//! cells. Numbers with a list and categories take each of their levels equally often (counts differ by at most one).
//! The search exchanges two entries of a column at a time. It minimizes Σ d⁻²ᵖ over all pairs of runs, whose limit for
//! large p is the maximin criterion (Morris & Mitchell 1995, Exploratory designs for computational experiments, J.
//! Statist. Plann. Inference 43, 381–402), by threshold accepting (Dueck & Scheuer 1990, J. Comput. Phys. 90,
//! 161–175): like annealing, but every exchange that is worse by less than a shrinking threshold is accepted, so that
//! no exponentials are needed and every machine takes the same way. One start comes from a lattice rule (Korobov 1959).
//!
//! Distances are Euclidean in levels 0…n−1 of each factor; two runs with different levels of a category count as
//! √(n(n+1)/6) apart in it, the root mean square distance in a continuous factor (own choice).

use std::sync::atomic::{AtomicUsize, Ordering};

use crate::design::assembly::{
    BasePlan, BasePoint, BlockLayout, check_number_of_runs, dealt_evenly, listed_settings,
};
use crate::design::maximin_exchange::{Column, Schedule, Sharpness, improve};
use crate::design::note::DesignNote;
use crate::design::{
    DesignError, DesignRequest, FamilyDetails, Progress, Purpose, RandomStream, RunRole,
    SearchBudget, SearchRecord, Seed,
};
use crate::factor::{CodedPoint, FactorSpace, Value};

/// Largest number of runs that is searched; above, a random Latin hypercube is taken (own choice: the table of
/// distances would outgrow the processor's cache by far).
const MAX_SEARCHED_RUNS: usize = 2000;

/// Up to this many runs a plan is small: many short, blunt starts find more than few long, sharp ones (by trial).
const SMALL_PLAN: usize = 28;

/// Starts of small and of large plans when no budget is given.
const DEFAULT_STARTS: (usize, usize) = (40, 2);

/// Exchanges that are tried in all starts of small and of large plans when no budget is given, times the number of runs
/// and [`WORK_BESIDE_RUNS`]: about half a second and two seconds of one thread (measured).
const DEFAULT_WORK: (usize, usize) = (250_000_000, 800_000_000);

/// What an exchange costs beside its runs, counted in runs (measured).
const WORK_BESIDE_RUNS: usize = 20;

/// The points of the best Latin hypercube that was found.
pub(crate) fn points(
    space: &FactorSpace,
    request: &DesignRequest,
    progress: &Progress<'_>,
) -> Result<BasePlan, DesignError> {
    let n_runs = request.n_runs.ok_or(DesignError::OptionMissing {
        kind: request.kind,
        option: "runs",
    })?;
    if n_runs < 2 {
        return Err(DesignError::TooFewRuns {
            kind: request.kind,
            need: 2,
            have: n_runs,
        });
    }
    check_number_of_runs(n_runs)?;
    let layout = BlockLayout::choose(request, |_| false, Vec::new)?;
    let columns: Vec<ColumnKind> = space.factors().iter().map(ColumnKind::of).collect();
    let (found, record, notes) = search(request, &columns, n_runs, progress);
    let points = (0..n_runs)
        .map(|run| BasePoint {
            coded: CodedPoint(
                columns
                    .iter()
                    .zip(&found.levels)
                    .map(|(column, levels)| column.setting(levels[run], n_runs))
                    .collect(),
            ),
            role: RunRole::Plan,
            block: 0,
        })
        .collect();
    Ok(BasePlan {
        points,
        layout,
        n_centre_of_block: dealt_evenly(
            request.n_centre.unwrap_or(0),
            layout.n_blocks(request.n_replicates),
        ),
        is_block_balance_told: false,
        details: FamilyDetails {
            search: Some(record),
            ..FamilyDetails::default()
        },
        notes,
    })
}

/// What the levels of a column are.
#[derive(Debug, Clone)]
enum ColumnKind {
    /// Levels 0…n−1, each once.
    Continuous,
    /// Places in a list of coded numbers.
    Listed(Vec<f64>),
    /// Level numbers of a category.
    Category(usize),
}

impl ColumnKind {
    fn of(factor: &crate::factor::Factor) -> Self {
        let Some(settings) = listed_settings(factor) else {
            return Self::Continuous;
        };
        if factor.is_categorical() {
            return Self::Category(settings.len());
        }
        Self::Listed(
            settings
                .iter()
                .map(|setting| match setting {
                    Value::Number(x) => *x,
                    Value::Level(_) => 0.0,
                })
                .collect(),
        )
    }

    /// A random column in which every level comes equally often; the levels that come once more are drawn too.
    fn random_levels(&self, n_runs: usize, stream: &mut RandomStream) -> Vec<usize> {
        let n_levels = match self {
            Self::Continuous => return stream.permutation(n_runs),
            Self::Listed(numbers) => numbers.len(),
            Self::Category(n_levels) => *n_levels,
        };
        let order = stream.permutation(n_levels);
        let mut levels: Vec<usize> = order.iter().copied().cycle().take(n_runs).collect();
        stream.shuffle(&mut levels);
        levels
    }

    /// The column of these levels for the exchange engine.
    fn placed(&self, levels: &[usize], n_runs: usize) -> Column {
        let n = n_runs as f64;
        Column {
            positions: levels
                .iter()
                .map(|level| self.position(*level, n_runs))
                .collect(),
            category_distance: match self {
                Self::Continuous | Self::Listed(_) => None,
                Self::Category(_) => Some(n * (n + 1.0) / 6.0),
            },
        }
    }

    /// Where a level stands on the scale 0…n−1.
    fn position(&self, level: usize, n_runs: usize) -> f64 {
        match self {
            Self::Continuous | Self::Category(_) => level as f64,
            Self::Listed(numbers) => {
                let coded = numbers.get(level).copied().unwrap_or(0.0);
                0.5 * (coded + 1.0) * (n_runs - 1) as f64
            }
        }
    }

    fn setting(&self, level: usize, n_runs: usize) -> Value {
        match self {
            // Middle of the cell: (level + 1/2)/n of the way from −1 to 1.
            Self::Continuous => {
                let n = n_runs as f64;
                Value::Number((2.0 * level as f64 + 1.0 - n) / n)
            }
            Self::Listed(numbers) => Value::Number(numbers.get(level).copied().unwrap_or(0.0)),
            Self::Category(_) => Value::Level(level),
        }
    }
}

/// A Latin hypercube with its criteria.
#[derive(Debug, Clone)]
struct Found {
    /// Level of each run, column by column.
    levels: Vec<Vec<usize>>,
    /// Squared distances of all pairs of runs, in levels, ascending.
    squared_distances: Vec<f64>,
    /// False if the start was stopped.
    is_complete: bool,
}

impl Found {
    fn min_squared_distance(&self) -> f64 {
        self.squared_distances.first().copied().unwrap_or(0.0)
    }

    /// Morris & Mitchell (1995): the greater smallest distance, then fewer pairs at it, and so on.
    fn is_better_than(&self, other: &Self) -> bool {
        self.squared_distances
            .iter()
            .zip(&other.squared_distances)
            .map(|(own, others)| own.total_cmp(others))
            .find(|order| order.is_ne())
            .is_some_and(std::cmp::Ordering::is_gt)
    }
}

/// Runs all starts, on as many threads as are allowed, and takes the best; of equals the first.
fn search(
    request: &DesignRequest,
    columns: &[ColumnKind],
    n_runs: usize,
    progress: &Progress<'_>,
) -> (Found, SearchRecord, Vec<DesignNote>) {
    let budget = request.search_budget.unwrap_or_else(|| {
        let (n_starts, work) = if n_runs <= SMALL_PLAN {
            (DEFAULT_STARTS.0, DEFAULT_WORK.0)
        } else {
            (DEFAULT_STARTS.1, DEFAULT_WORK.1)
        };
        SearchBudget {
            n_starts,
            n_trials: work / ((n_runs + WORK_BESIDE_RUNS) * n_starts),
        }
    });
    let is_searched = n_runs <= MAX_SEARCHED_RUNS && budget.n_starts > 0 && !columns.is_empty();
    let n_starts = if is_searched { budget.n_starts } else { 1 };
    let n_trials = if is_searched { budget.n_trials } else { 0 };
    let starts = Starts {
        seed: request.seed,
        columns,
        n_runs,
        budget: SearchBudget { n_starts, n_trials },
        progress,
        next: AtomicUsize::new(0),
    };
    let mut results = starts.run();
    results.sort_by_key(|(index, _)| *index);
    let n_completed = results
        .iter()
        .filter(|(_, found)| found.is_complete)
        .count();
    let mut notes = Vec::new();
    if !is_searched {
        notes.push(DesignNote::NotSearched { n_runs });
    } else if n_completed < n_starts {
        notes.push(DesignNote::SearchStopped {
            n_completed,
            n_starts,
        });
    }
    let greatest = results
        .iter()
        .map(|(_, found)| found.min_squared_distance())
        .fold(0.0, f64::max);
    let n_best = results
        .iter()
        .filter(|(_, found)| found.min_squared_distance() >= greatest)
        .count();
    let record = SearchRecord {
        n_starts,
        n_completed,
        n_trials,
        n_starts_at_best: n_best,
        min_distance: greatest.sqrt(),
    };
    let best = results
        .into_iter()
        .map(|(_, found)| found)
        .reduce(|best, found| {
            if found.is_better_than(&best) {
                found
            } else {
                best
            }
        });
    // There is always a first start; without one a random plan is as good.
    let best = best.unwrap_or_else(|| starts.start(0));
    (best, record, notes)
}

struct Starts<'a> {
    seed: Seed,
    columns: &'a [ColumnKind],
    n_runs: usize,
    budget: SearchBudget,
    progress: &'a Progress<'a>,
    next: AtomicUsize,
}

impl Starts<'_> {
    fn run(&self) -> Vec<(usize, Found)> {
        let n_threads = self.progress.n_threads().min(self.budget.n_starts);
        std::thread::scope(|scope| {
            let workers: Vec<_> = (1..n_threads)
                .filter_map(|index| {
                    std::thread::Builder::new()
                        .name(format!("latin-hypercube-{index}"))
                        .spawn_scoped(scope, || self.work())
                        .ok()
                })
                .collect();
            let mut results = self.work();
            for worker in workers {
                // A worker that could not finish leaves its starts out; the record then says so.
                results.extend(worker.join().unwrap_or_default());
            }
            results
        })
    }

    /// Takes starts until none are left.
    fn work(&self) -> Vec<(usize, Found)> {
        let mut results = Vec::new();
        loop {
            let index = self.next.fetch_add(1, Ordering::Relaxed);
            let is_needed = index == 0 || !self.progress.is_stopped();
            if index >= self.budget.n_starts || !is_needed {
                return results;
            }
            results.push((index, self.start(index)));
            self.progress
                .report(results.len() as f64 / self.budget.n_starts as f64);
        }
    }

    fn start(&self, index: usize) -> Found {
        let stream_index = u32::try_from(index).unwrap_or(u32::MAX);
        let mut stream = RandomStream::new(self.seed, Purpose::LatinHypercube, stream_index);
        let mut levels: Vec<Vec<usize>> = self
            .columns
            .iter()
            .map(|column| column.random_levels(self.n_runs, &mut stream))
            .collect();
        if index == 0 && self.budget.n_trials > 0 {
            super::lattice::replace_by_best_lattice(
                &mut levels,
                |column| matches!(self.columns.get(column), Some(ColumnKind::Continuous)),
                self.n_runs,
            );
        }
        let columns: Vec<Column> = self
            .columns
            .iter()
            .zip(&levels)
            .map(|(kind, levels)| kind.placed(levels, self.n_runs))
            .collect();
        let improved = improve(columns, self.schedule(index), &mut stream, self.progress);
        let levels: Vec<Vec<usize>> = levels
            .iter()
            .zip(&improved.origins)
            .map(|(levels, origins)| origins.iter().map(|origin| levels[*origin]).collect())
            .collect();
        Found {
            squared_distances: self.squared_distances(&levels),
            levels,
            is_complete: improved.is_complete,
        }
    }

    /// Blunt potentials and high thresholds for small plans, sharp and low for large ones, low where the start is good
    /// already (all chosen by trial on 5 to 50 runs of 2 to 5 factors).
    fn schedule(&self, index: usize) -> Schedule {
        let (sharpness, thresholds) = match (self.n_runs <= SMALL_PLAN, index % 4) {
            (true, _) if index == 0 => (Sharpness::ThirtyTwo, (0.0, 0.02)),
            (true, 1) => (Sharpness::Sixteen, (1.0, 0.1)),
            (true, 2) => (Sharpness::Eight, (0.3, 0.05)),
            (true, _) => (Sharpness::Eight, (1.0, 0.1)),
            (false, _) => (Sharpness::ThirtyTwo, (0.05, 0.01)),
        };
        Schedule {
            n_trials: self.budget.n_trials,
            sharpness,
            thresholds,
        }
    }

    /// All squared distances, ascending: exact for whole levels.
    fn squared_distances(&self, levels: &[Vec<usize>]) -> Vec<f64> {
        let columns: Vec<Column> = self
            .columns
            .iter()
            .zip(levels)
            .map(|(kind, levels)| kind.placed(levels, self.n_runs))
            .collect();
        let mut distances = Vec::with_capacity(self.n_runs * (self.n_runs - 1) / 2);
        for one in 0..self.n_runs {
            for other in one + 1..self.n_runs {
                distances.push(
                    columns
                        .iter()
                        .map(|column| column.between(one, other))
                        .sum(),
                );
            }
        }
        distances.sort_by(f64::total_cmp);
        distances
    }
}
