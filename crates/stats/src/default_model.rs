//! The model that is fitted when none is named: the largest standard size that the executed runs support.
//!
//! Sizes: quadratic, interactions, linear, mean only. A size is supported if every column is independent of the others
//! and of blocks, at least three error degrees of freedom are left, and every layer of set-ups that carries a term has
//! at least one. No subset of squares or products is picked: if one pair cannot be told apart, the next smaller size is
//! taken and the pair is named (own rule, following common practice).

use nalgebra::DMatrix;

use crate::error::StatsError;
use crate::factor::{CodedPoint, FactorSpace, Value};
use crate::lack_of_fit::SAME_SETTING;
use crate::model::{Blocks, ColumnSource, ModelMatrix};
use crate::qr::{OrderedQr, SpreadAbout};
use crate::term::{Term, TermList};
use crate::undefined::columns_in_words;

/// Fewest error degrees of freedom for a model that was not asked for by name (common practice).
pub const MIN_ERROR_DF: usize = 3;

/// Standard sizes of a model.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ModelSize {
    /// The mean alone.
    Mean,
    /// Main effects.
    Linear,
    /// Main effects and two-factor products.
    Interactions,
    /// Also the squares of numbers.
    Quadratic,
}

impl ModelSize {
    /// Every size, smallest first.
    pub const ALL: [Self; 4] = [
        Self::Mean,
        Self::Linear,
        Self::Interactions,
        Self::Quadratic,
    ];

    /// The word for it in documents: `mean`, `linear`, `interactions`, `quadratic`.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Mean => "mean",
            Self::Linear => "linear",
            Self::Interactions => "interactions",
            Self::Quadratic => "quadratic",
        }
    }

    /// The size's terms for these factors; squares of all numbers in a quadratic.
    pub fn terms(self, space: &FactorSpace) -> TermList {
        match self {
            Self::Mean => TermList::mean_only(),
            Self::Linear => TermList::linear(space),
            Self::Interactions => TermList::interactions(space),
            Self::Quadratic => TermList::quadratic(space),
        }
    }
}

/// Why a size was passed over.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SizeObstacle {
    /// A column equals a sum of others at all runs.
    #[error("the runs cannot tell \"{column}\" from {twins}")]
    Aliased {
        /// The first column that is not independent.
        column: String,
        /// What it equals: names joined by " + ", or words for a constant.
        twins: String,
    },
    /// Too few runs.
    #[error(
        "{n_runs} runs leave {error_df} error df for {n_columns} coefficients; {MIN_ERROR_DF} are needed"
    )]
    TooFewRuns {
        /// Runs there are.
        n_runs: usize,
        /// Coefficients, blocks included.
        n_columns: usize,
        /// Error degrees of freedom.
        error_df: usize,
    },
    /// Set-ups that leave no error for the terms that change only between them.
    #[error(
        "{n_set_ups} set-ups leave no error df for \"{term}\", which changes only between them"
    )]
    TooFewSetUps {
        /// Set-ups there are.
        n_set_ups: usize,
        /// The first such term.
        term: String,
    },
    /// No number with three settings.
    #[error("no number takes three different settings")]
    NoThreeSettings,
}

/// The model chosen, and what kept larger ones out.
#[derive(Debug, Clone, PartialEq)]
pub struct DefaultModel {
    /// The size taken.
    pub size: ModelSize,
    /// Its terms.
    pub terms: TermList,
    /// True if the runs support all of it; false for a linear model of which only a part can be estimated.
    pub is_supported: bool,
    /// The larger sizes that failed, largest first, and the obstacle of a linear model that is not fully supported.
    pub obstacles: Vec<(ModelSize, SizeObstacle)>,
}

impl DefaultModel {
    /// One sentence that says why this size.
    pub fn reason(&self) -> String {
        let failed: Vec<String> = self
            .obstacles
            .iter()
            .map(|(size, obstacle)| format!("{} not supported: {obstacle}", size.key()))
            .collect();
        let choice = if self.is_supported {
            format!(
                "{} is the largest model that the runs support",
                self.size.key()
            )
        } else {
            format!("{} with what can be estimated", self.size.key())
        };
        if failed.is_empty() {
            choice
        } else {
            format!("{choice} ({})", failed.join("; "))
        }
    }
}

/// Chooses the default model for the executed runs of one response.
///
/// # Arguments
/// * `points` — coded settings of the runs that have this response
/// * `blocks` — their fixed blocks
/// * `set_ups` — 0-based set-up of each run, if some factors change only between set-ups
///
/// # Errors
/// [`StatsError::WrongLength`] or [`StatsError::ValueDoesNotFit`] for points, blocks or set-ups that do not fit.
pub fn default_model(
    space: &FactorSpace,
    points: &[CodedPoint],
    blocks: Option<&Blocks>,
    set_ups: Option<&[usize]>,
) -> Result<DefaultModel, StatsError> {
    if let Some(set_ups) = set_ups.filter(|set_ups| set_ups.len() != points.len()) {
        return Err(StatsError::WrongLength {
            expected: points.len(),
            found: set_ups.len(),
        });
    }
    let smallest = if space.n_factors() == 0 {
        ModelSize::Mean
    } else {
        ModelSize::Linear
    };
    let mut obstacles = Vec::new();
    for size in sizes(space) {
        let Some(terms) = size_terms(size, space, points) else {
            obstacles.push((size, SizeObstacle::NoThreeSettings));
            continue;
        };
        let model = ModelMatrix::new(space, &terms, points, blocks)?;
        match obstacle(&model, set_ups) {
            None => {
                return Ok(DefaultModel {
                    size,
                    terms,
                    is_supported: true,
                    obstacles,
                });
            }
            Some(found) => obstacles.push((size, found)),
        }
    }
    Ok(DefaultModel {
        size: smallest,
        terms: smallest.terms(space),
        is_supported: false,
        obstacles,
    })
}

/// The sizes that differ for these factors, largest first.
fn sizes(space: &FactorSpace) -> Vec<ModelSize> {
    let has_numbers = space
        .factors()
        .iter()
        .any(|factor| !factor.is_categorical());
    let mut sizes = Vec::new();
    if has_numbers {
        sizes.push(ModelSize::Quadratic);
    }
    match space.n_factors() {
        0 => sizes.push(ModelSize::Mean),
        1 => sizes.push(ModelSize::Linear),
        _ => sizes.extend([ModelSize::Interactions, ModelSize::Linear]),
    }
    sizes
}

/// Terms of a size; the quadratic has squares only of numbers with three executed settings, and is no size of its own
/// without any.
fn size_terms(size: ModelSize, space: &FactorSpace, points: &[CodedPoint]) -> Option<TermList> {
    if size != ModelSize::Quadratic {
        return Some(size.terms(space));
    }
    let squares: Vec<Term> = (0..space.n_factors())
        .filter(|factor| n_settings(points, *factor) >= 3)
        .map(Term::square)
        .collect();
    if squares.is_empty() {
        return None;
    }
    let mut terms = TermList::interactions(space).terms().to_vec();
    terms.extend(squares);
    Some(TermList::new(terms))
}

/// Number of different settings of a factor that is a number, counted to three; 0 for a category.
fn n_settings(points: &[CodedPoint], factor: usize) -> usize {
    let mut known: Vec<f64> = Vec::new();
    for point in points {
        let Some(Value::Number(x)) = point.0.get(factor) else {
            return 0;
        };
        if known.len() < 3 && known.iter().all(|k| (k - x).abs() > SAME_SETTING) {
            known.push(*x);
        }
    }
    known.len()
}

fn obstacle(model: &ModelMatrix, set_ups: Option<&[usize]>) -> Option<SizeObstacle> {
    let n_runs = model.n_runs();
    let qr = factor(model.matrix(), model.has_intercept());
    if let Some(dependent) = qr.dependent().first() {
        let names: Vec<&str> = qr
            .kept()
            .iter()
            .zip(&dependent.on_kept)
            .filter(|(_, coefficient)| coefficient.abs() > crate::least_squares::ALIAS_THRESHOLD)
            .map(|(kept, _)| model.column_names()[*kept].as_str())
            .collect();
        // Beyond one column a run every further column is dependent, which says nothing about the term.
        if qr.rank() < n_runs || names.len() < n_runs {
            return Some(SizeObstacle::Aliased {
                column: model.column_names()[dependent.column].clone(),
                twins: columns_in_words(&names),
            });
        }
    }
    let error_df = n_runs.saturating_sub(model.n_columns());
    if error_df < MIN_ERROR_DF {
        return Some(SizeObstacle::TooFewRuns {
            n_runs,
            n_columns: model.n_columns(),
            error_df,
        });
    }
    set_ups.and_then(|set_ups| set_up_obstacle(model, set_ups))
}

fn factor(matrix: &DMatrix<f64>, has_intercept: bool) -> OrderedQr {
    let ones = vec![1.0; matrix.nrows()];
    let spread = if has_intercept {
        SpreadAbout::Mean(&ones)
    } else {
        SpreadAbout::Zero
    };
    OrderedQr::new(matrix.as_slice(), matrix.nrows(), spread)
}

/// Terms whose columns are constant within every set-up are tested between set-ups; they must leave at least one df.
fn set_up_obstacle(model: &ModelMatrix, set_ups: &[usize]) -> Option<SizeObstacle> {
    let mut labels: Vec<usize> = set_ups.to_vec();
    labels.sort_unstable();
    labels.dedup();
    let first_run_of = |label: usize| set_ups.iter().position(|other| *other == label);
    let is_between = |column: usize| {
        let values = model.matrix().column(column);
        set_ups.iter().enumerate().all(|(run, label)| {
            first_run_of(*label)
                .is_some_and(|first| (values[run] - values[first]).abs() <= SAME_SETTING)
        })
    };
    let mut columns = Vec::new();
    let mut first_term = None;
    for group in model.groups() {
        let is_term = matches!(&group.source, ColumnSource::Term(term) if !term.is_intercept());
        let between: Vec<usize> = group.columns.clone().filter(|c| is_between(*c)).collect();
        if is_term && !between.is_empty() && first_term.is_none() {
            first_term = Some(group.name.clone());
        }
        columns.extend(between);
    }
    let between = model.matrix().select_columns(&columns);
    let rank = factor(&between, model.has_intercept()).rank();
    first_term
        .filter(|_| labels.len() <= rank)
        .map(|term| SizeObstacle::TooFewSetUps {
            n_set_ups: labels.len(),
            term,
        })
}
