//! Optimal plans: runs anywhere in the region, chosen so that a stated model is estimated or predicted as well as can be
//! (docs/methods.md, 3.13).
//!
//! Coordinate exchange (Meyer & Nachtsheim 1995, Technometrics 37, 60–69) over continuous settings: one coordinate of one run
//! after the other moves to where the criterion is best, into the region's boundary where that cuts it off. Each start is
//! shaken and improved again (iterated local search). Runs that are there already may be kept and counted.

mod gain_profile;
mod information;
mod local_search;
mod model_rows;
mod search;
mod vector_loops;

use crate::design::{SearchBudget, Seed};
use crate::error::StatsError;
use crate::evaluation::OrthonormalRows;
use crate::factor::{CodedPoint, FactorSpace};
use crate::term::TermList;

pub use search::search;

/// What is best.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Criterion {
    /// D: the coefficients together, by the greatest determinant of the information matrix.
    #[default]
    Determinant,
    /// A: the coefficients one by one, by the least sum of their variances (coded, intercept included).
    CoefficientVariance,
    /// I: the predictions, by the least prediction variance on average over the region.
    PredictionVariance,
}

impl Criterion {
    /// All of them.
    pub const ALL: [Self; 3] = [
        Self::Determinant,
        Self::CoefficientVariance,
        Self::PredictionVariance,
    ];

    /// The letter that stands for it in textbooks, in files and on the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Determinant => "d",
            Self::CoefficientVariance => "a",
            Self::PredictionVariance => "i",
        }
    }

    /// The criterion of a letter; `None` if there is none.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|known| known.key() == key)
    }

    /// What it is for, for people.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Determinant => "tell coefficients",
            Self::CoefficientVariance => "tell each coefficient",
            Self::PredictionVariance => "predict between the runs",
        }
    }
}

/// What is asked for.
#[derive(Clone, Copy)]
pub struct OptimalRequest<'a> {
    /// The model.
    pub terms: &'a TermList,
    /// What is best.
    pub criterion: Criterion,
    /// Number of new runs.
    pub n_runs: usize,
    /// Runs that are made already and count.
    pub kept: &'a [CodedPoint],
    /// Where runs can be made; everywhere in the ranges if not given.
    pub is_feasible: Option<&'a (dyn Fn(&CodedPoint) -> bool + Sync)>,
    /// Factors that stand at their ends and middle only: those that are hard to change.
    pub few_levels: &'a [usize],
    /// Starts, and how often each is shaken.
    pub budget: SearchBudget,
    /// The number from which every random choice follows.
    pub seed: Seed,
}

impl std::fmt::Debug for OptimalRequest<'_> {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter
            .debug_struct("OptimalRequest")
            .field("criterion", &self.criterion)
            .field("n_runs", &self.n_runs)
            .field("n_kept", &self.kept.len())
            .finish_non_exhaustive()
    }
}

/// An optimal plan.
#[derive(Debug, Clone, PartialEq)]
pub struct OptimalPlan {
    /// The new runs, coded.
    pub points: Vec<CodedPoint>,
    /// Determinant of `X'X/n` to the power of one over the number of coefficients, in orthonormal coding.
    pub determinant_root: f64,
    /// What was made best: the determinant root, the sum of the variances of the coefficients, or the prediction variance on
    /// average over the region (variances over that of a run).
    pub value: f64,
    /// Starts that were completed.
    pub n_completed: usize,
}

/// Why there is no optimal plan.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum OptimalError {
    /// A factor, term or setting is wrong.
    #[error(transparent)]
    Stats(#[from] StatsError),
    /// Fewer runs than coefficients.
    #[error("a model with {need} coefficients takes at least {need} runs; {have} were asked for")]
    TooFewRuns {
        /// Coefficients.
        need: usize,
        /// Runs, those that are kept included.
        have: usize,
    },
    /// No place that was tried can run.
    #[error(
        "none of {n_tried} settings spread over the ranges can run; widen the ranges or loosen the limits"
    )]
    NowhereFeasible {
        /// Settings that were tried.
        n_tried: usize,
    },
    /// The region is so thin that some coefficients cannot be told apart in it.
    #[error(
        "the settings that can run do not tell all terms of the model apart; drop terms or widen the ranges"
    )]
    NotEstimable,
}

/// Average of `f f'` over the region, row by row: exact over whole ranges, else over the feasible settings of a spread sample.
fn moments(space: &FactorSpace, rows: &OrthonormalRows, sample: Option<&[CodedPoint]>) -> Vec<f64> {
    let p = rows.n_columns();
    let Some(sample) = sample else {
        let exact = rows.moments(space);
        return (0..p * p).map(|at| exact[(at / p, at % p)]).collect();
    };
    let mut sum = vec![0.0; p * p];
    let mut row = vec![0.0; p];
    for point in sample {
        rows.fill(&point.0, None, &mut row);
        for i in 0..p {
            for j in 0..p {
                sum[i * p + j] += row[i] * row[j];
            }
        }
    }
    let share = 1.0 / sample.len().max(1) as f64;
    sum.iter().map(|entry| entry * share).collect()
}
