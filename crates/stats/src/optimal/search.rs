//! The search: random plans are improved, shaken and improved again, from several starts.

use std::sync::atomic::{AtomicUsize, Ordering};

use super::local_search::{Effort, Plan, Problem};
use super::model_rows::ModelRows;
use super::{Criterion, OptimalError, OptimalPlan, OptimalRequest, moments};
use crate::design::{Progress, Purpose, RandomStream, SearchBudget, Seed, listed_settings};
use crate::evaluation::{OrthonormalRows, Region};
use crate::factor::{CodedPoint, FactorSpace, Value};

/// Settings spread over the ranges, among which the feasible ones are starting places.
const SAMPLE: usize = 4096;
/// A finer sample is taken where fewer than this many were feasible.
const ENOUGH: usize = 64;
/// Settings of the finer sample of a thin region.
const FINE_SAMPLE: usize = 65_536;
/// Runs that a shake moves, at most.
const SHAKEN: usize = 2;
/// Random plans that are tried before one is put together place by place.
const RANDOM_STARTS: usize = 8;
/// Share of starting places among ends and middles of the ranges, where optimal plans have most of their runs.
const GRID_SHARE: f64 = 0.6;
/// Relative advantage that counts.
const LEAST_ADVANTAGE: f64 = 1e-10;
/// Relative loss that is gone on with at first (chosen by trial).
const TOLERANCE: f64 = 0.012;
/// A shaken plan that is nearer than this to what is tolerated is driven further.
const PROMISING: f64 = 0.001;
/// While shaking.
const QUICK: Effort = Effort {
    least_gain: 1e-5,
    n_halvings: 12,
    n_rounds: 1,
};
/// For plans that may be the best of a start.
const CAREFUL: Effort = Effort {
    least_gain: 1e-6,
    n_halvings: 24,
    n_rounds: 2,
};
/// For the plan that is given.
const FINAL: Effort = Effort {
    least_gain: 1e-11,
    n_halvings: 45,
    n_rounds: 4,
};

/// Searches an optimal plan. The same request gives the same plan, bit for bit, whatever the number of threads.
///
/// # Errors
/// [`OptimalError`] says what does not fit.
pub fn search(
    space: &FactorSpace,
    request: &OptimalRequest<'_>,
    progress: &Progress<'_>,
) -> Result<OptimalPlan, OptimalError> {
    let rows = ModelRows::new(space, OrthonormalRows::new(space, request.terms, None)?);
    let (need, have) = (rows.n_columns(), request.n_runs + request.kept.len());
    if have < need || request.n_runs == 0 {
        return Err(OptimalError::TooFewRuns { need, have });
    }
    let n_columns = rows.n_columns() as f64;
    let starts = Starts::new(space, request, rows, progress)?;
    let mut found = starts.run();
    found.sort_by_key(|(index, _)| *index);
    let n_completed = found.len();
    let better = |best: Plan, next: Plan| {
        let advantage = starts
            .problem
            .advantage(&next.information, &best.information);
        if advantage > LEAST_ADVANTAGE {
            next
        } else {
            best
        }
    };
    let best = found.into_iter().filter_map(|(_, plan)| plan);
    let mut best = best.reduce(better).ok_or(OptimalError::NotEstimable)?;
    let mut stream = RandomStream::new(request.seed, Purpose::OptimalPlan, u32::MAX);
    starts.problem.improve(&mut best, FINAL, &mut stream);
    starts.problem.refresh(&mut best);
    let determinant_root = best.information.determinant().powf(1.0 / n_columns);
    Ok(OptimalPlan {
        determinant_root,
        value: best.information.trace().unwrap_or(determinant_root),
        points: best.points,
        n_completed,
    })
}

struct Starts<'a> {
    problem: Problem<'a>,
    n_runs: usize,
    /// Feasible settings at ends and middles, and spread all over the region.
    grid: Vec<CodedPoint>,
    spread: Vec<CodedPoint>,
    seed: Seed,
    budget: SearchBudget,
    progress: &'a Progress<'a>,
    next: AtomicUsize,
}

impl<'a> Starts<'a> {
    fn new(
        space: &'a FactorSpace,
        request: &OptimalRequest<'a>,
        rows: ModelRows,
        progress: &'a Progress<'a>,
    ) -> Result<Self, OptimalError> {
        let (grid, spread) = places(space, request);
        if grid.is_empty() && spread.is_empty() {
            return Err(OptimalError::NowhereFeasible {
                n_tried: FINE_SAMPLE,
            });
        }
        let weights = match request.criterion {
            Criterion::Determinant => None,
            Criterion::CoefficientVariance => Some(identity(rows.n_columns())),
            Criterion::PredictionVariance => {
                let inside = request.is_feasible.is_some().then_some(spread.as_slice());
                let inside = inside.filter(|inside| !inside.is_empty());
                Some(moments(space, rows.rows(), inside))
            }
        };
        let kept = request.kept.iter().map(|point| rows.row(point)).collect();
        Ok(Self {
            problem: Problem {
                space,
                kept,
                weights,
                is_feasible: request.is_feasible,
                listed: Problem::listed(space, request.few_levels),
                rows,
            },
            n_runs: request.n_runs,
            grid,
            spread,
            seed: request.seed,
            budget: SearchBudget {
                n_starts: request.budget.n_starts.max(1),
                ..request.budget
            },
            progress,
            next: AtomicUsize::new(0),
        })
    }

    /// Runs all starts, on as many threads as are allowed.
    fn run(&self) -> Vec<(usize, Option<Plan>)> {
        let n_threads = self.progress.n_threads().min(self.budget.n_starts);
        std::thread::scope(|scope| {
            let workers: Vec<_> = (1..n_threads)
                .filter_map(|index| {
                    std::thread::Builder::new()
                        .name(format!("optimal-plan-{index}"))
                        .spawn_scoped(scope, || self.work())
                        .ok()
                })
                .collect();
            let mut found = self.work();
            for worker in workers {
                // A worker that could not finish leaves its starts out.
                found.extend(worker.join().unwrap_or_default());
            }
            found
        })
    }

    /// Takes starts until none are left.
    fn work(&self) -> Vec<(usize, Option<Plan>)> {
        let mut found = Vec::new();
        loop {
            let index = self.next.fetch_add(1, Ordering::Relaxed);
            let is_needed = index == 0 || !self.progress.is_stopped();
            if index >= self.budget.n_starts || !is_needed {
                return found;
            }
            found.push((index, self.start(index)));
            self.progress
                .report(found.len() as f64 / self.budget.n_starts as f64);
        }
    }

    /// One start: a random plan, improved, then shaken and improved again and again. A plan that is slightly worse is gone on
    /// with, less and less so (threshold accepting; Dueck & Scheuer 1990, J. Comput. Phys. 90, 161–175).
    fn start(&self, index: usize) -> Option<Plan> {
        let stream_index = u32::try_from(index).unwrap_or(u32::MAX - 1);
        let mut stream = RandomStream::new(self.seed, Purpose::OptimalPlan, stream_index);
        let mut best = self.first_plan(&mut stream)?;
        self.problem.improve(&mut best, CAREFUL, &mut stream);
        self.problem.refresh(&mut best);
        let mut current = best.clone();
        for shake in 0..self.budget.n_trials {
            if self.progress.is_stopped() {
                break;
            }
            let left = 1.0 - shake as f64 / self.budget.n_trials as f64;
            let Some(plan) = self.shaken(&current, TOLERANCE * left, &mut stream) else {
                continue;
            };
            let advantage = self.problem.advantage(&plan.information, &best.information);
            if advantage > LEAST_ADVANTAGE {
                best = plan.clone();
            }
            current = plan;
        }
        Some(best)
    }

    /// The plan shaken and improved; `None` if it is worse by more than a tolerance.
    fn shaken(&self, from: &Plan, tolerance: f64, stream: &mut RandomStream) -> Option<Plan> {
        let problem = &self.problem;
        let mut plan = from.clone();
        if !self.shake(&mut plan, stream) {
            return None;
        }
        problem.improve(&mut plan, QUICK, stream);
        let advantage =
            |plan: &Plan| problem.advantage(&plan.information, &from.information) + tolerance;
        if advantage(&plan) < -PROMISING {
            return None;
        }
        problem.improve(&mut plan, CAREFUL, stream);
        (problem.refresh(&mut plan) && advantage(&plan) >= 0.0).then_some(plan)
    }

    /// Puts some runs somewhere else; false if none could be.
    fn shake(&self, plan: &mut Plan, stream: &mut RandomStream) -> bool {
        let mut is_shaken = false;
        for _ in 0..=stream.below(SHAKEN) {
            let run = stream.below(plan.points.len());
            is_shaken |= self.problem.put(plan, run, self.somewhere(stream));
        }
        is_shaken
    }

    fn somewhere(&self, stream: &mut RandomStream) -> CodedPoint {
        let on_grid = stream.unit() < GRID_SHARE;
        let places = if self.spread.is_empty() || (on_grid && !self.grid.is_empty()) {
            &self.grid
        } else {
            &self.spread
        };
        places[stream.below(places.len())].clone()
    }

    /// A random plan that tells all terms apart, or one put together place by place: each new run where the variance of the
    /// prediction is greatest.
    fn first_plan(&self, stream: &mut RandomStream) -> Option<Plan> {
        for _ in 0..RANDOM_STARTS {
            let points = (0..self.n_runs).map(|_| self.somewhere(stream)).collect();
            if let Some(plan) = self.problem.plan(points) {
                return Some(plan);
            }
        }
        self.problem
            .put_together(self.n_runs, &self.grid, &self.spread)
    }
}

fn identity(n: usize) -> Vec<f64> {
    let entry = |at: usize| if at / n == at % n { 1.0 } else { 0.0 };
    (0..n * n).map(entry).collect()
}

/// Feasible settings at ends and middles, and all over the region.
fn places(space: &FactorSpace, request: &OptimalRequest<'_>) -> (Vec<CodedPoint>, Vec<CodedPoint>) {
    let region = Region {
        space,
        is_feasible: request
            .is_feasible
            .map(|test| test as &dyn Fn(&CodedPoint) -> bool),
    };
    let mut grid = region.grid(true);
    if grid.is_empty() {
        grid = region.sample_of_grid(SAMPLE);
    }
    let spread = |n: usize| {
        // What is hard to change is moved to its few levels before it is judged.
        let free = Region {
            space,
            is_feasible: None,
        };
        let mut points = free.sample(n);
        for point in &mut points {
            keep_few_levels(space, request.few_levels, point);
        }
        points.retain(|point| region.contains(point));
        points
    };
    let mut sample = spread(SAMPLE);
    if sample.len() < ENOUGH {
        sample = spread(FINE_SAMPLE);
    }
    (grid, sample)
}

/// Moves the numbers of some factors to the nearest of ends and middle.
fn keep_few_levels(space: &FactorSpace, few_levels: &[usize], point: &mut CodedPoint) {
    for factor in few_levels {
        let is_range = space
            .factors()
            .get(*factor)
            .is_some_and(|factor| listed_settings(factor).is_none());
        if let (true, Some(Value::Number(x))) = (is_range, point.0.get_mut(*factor)) {
            *x = (1.5 * *x).round().clamp(-1.0, 1.0);
        }
    }
}
