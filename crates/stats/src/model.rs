//! The model matrix: one column for each number that a term adds to the fit.

use std::ops::Range;

use nalgebra::DMatrix;

use crate::error::StatsError;
use crate::factor::{CodedPoint, FactorKind, FactorSpace, Value};
use crate::term::{Term, TermList};

/// How the columns of a category are made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CategoryCoding {
    /// Sum to zero: the coefficient of `factor[level]` is that level's deviation from the mean of the levels. Two
    /// levels have one column, −1 and +1, named after the second; more have one for each level but the last.
    Effect,
    /// The coefficient of `factor[level]` is the difference from the reference level (its 0-based index).
    Treatment {
        /// Index of the reference level in every category that has it; the first level in shorter ones.
        reference: usize,
    },
}

/// The nuisance block of each run, 0-based, with the names of the blocks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Blocks {
    /// Name of the block column ("block" unless the table has its own).
    pub name: String,
    /// Names of the blocks.
    pub labels: Vec<String>,
    /// Block of each run.
    pub of_run: Vec<usize>,
}

/// Where a span of columns comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ColumnSource {
    /// A model term.
    Term(Term),
    /// The blocks.
    Blocks,
}

/// All columns that belong to one term or to the blocks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnGroup {
    /// What they belong to.
    pub source: ColumnSource,
    /// Name of the whole group: `speed*gas`, `block`.
    pub name: String,
    /// Indices of its columns.
    pub columns: Range<usize>,
}

/// Model matrix: `n_runs` rows × `n_columns` columns, coded units, canonical term order, blocks right after the intercept.
#[derive(Debug, Clone, PartialEq)]
pub struct ModelMatrix {
    matrix: DMatrix<f64>,
    column_names: Vec<String>,
    groups: Vec<ColumnGroup>,
    has_intercept: bool,
}

impl ModelMatrix {
    /// Builds the matrix of `terms` at `points`, with effect coding of categories.
    ///
    /// # Errors
    /// [`StatsError::WrongLength`] or [`StatsError::ValueDoesNotFit`] for a point that is not of this space.
    pub fn new(
        space: &FactorSpace,
        terms: &TermList,
        points: &[CodedPoint],
        blocks: Option<&Blocks>,
    ) -> Result<Self, StatsError> {
        Self::with_coding(space, terms, points, blocks, CategoryCoding::Effect)
    }

    /// As [`ModelMatrix::new`] with a choice of category coding.
    ///
    /// # Errors
    /// As [`ModelMatrix::new`].
    pub fn with_coding(
        space: &FactorSpace,
        terms: &TermList,
        points: &[CodedPoint],
        blocks: Option<&Blocks>,
        coding: CategoryCoding,
    ) -> Result<Self, StatsError> {
        let rows = points
            .iter()
            .map(|point| factor_columns(space, point, coding))
            .collect::<Result<Vec<_>, _>>()?;
        let mut columns: Vec<Vec<f64>> = Vec::new();
        let mut column_names = Vec::new();
        let mut groups = Vec::new();
        let block_pairs = blocks.filter(|blocks| blocks.labels.len() > 1);
        if let Some(blocks) = block_pairs.filter(|blocks| blocks.of_run.len() != points.len()) {
            return Err(StatsError::WrongLength {
                expected: points.len(),
                found: blocks.of_run.len(),
            });
        }
        let add_blocks = |columns: &mut Vec<Vec<f64>>,
                          names: &mut Vec<String>,
                          groups: &mut Vec<ColumnGroup>| {
            if let Some(blocks) = block_pairs {
                let start = columns.len();
                let coded: Vec<Vec<f64>> = blocks
                    .of_run
                    .iter()
                    .map(|block| effect_columns(blocks.labels.len(), *block))
                    .collect();
                for (offset, label) in column_levels(&blocks.labels).into_iter().enumerate() {
                    columns.push(coded.iter().map(|row| row[offset]).collect());
                    names.push(format!("{}[{label}]", blocks.name));
                }
                groups.push(ColumnGroup {
                    source: ColumnSource::Blocks,
                    name: blocks.name.clone(),
                    columns: start..columns.len(),
                });
            }
        };
        if !terms.has_intercept() {
            add_blocks(&mut columns, &mut column_names, &mut groups);
        }
        for term in terms.terms() {
            let start = columns.len();
            for (name, picks) in term_columns(space, term, coding) {
                columns.push(
                    rows.iter()
                        .map(|row| {
                            picks
                                .iter()
                                .map(|pick| row[pick.factor][pick.column].powi(pick.exponent))
                                .product()
                        })
                        .collect(),
                );
                column_names.push(name);
            }
            groups.push(ColumnGroup {
                source: ColumnSource::Term(term.clone()),
                name: term.name(space),
                columns: start..columns.len(),
            });
            if term.is_intercept() {
                add_blocks(&mut columns, &mut column_names, &mut groups);
            }
        }
        let matrix = DMatrix::from_fn(points.len(), columns.len(), |row, column| {
            columns[column][row]
        });
        Ok(Self {
            matrix,
            column_names,
            groups,
            has_intercept: terms.has_intercept(),
        })
    }

    /// The numbers: `n_runs` × `n_columns`.
    pub const fn matrix(&self) -> &DMatrix<f64> {
        &self.matrix
    }

    /// Name of each column: `speed`, `gas[argon]`, `speed*gas[argon]`, `block[day 2]`.
    pub fn column_names(&self) -> &[String] {
        &self.column_names
    }

    /// Column groups in column order.
    pub fn groups(&self) -> &[ColumnGroup] {
        &self.groups
    }

    /// True if the first column is the intercept.
    pub const fn has_intercept(&self) -> bool {
        self.has_intercept
    }

    /// Number of rows.
    pub fn n_runs(&self) -> usize {
        self.matrix.nrows()
    }

    /// Number of columns.
    pub fn n_columns(&self) -> usize {
        self.matrix.ncols()
    }
}

/// One factor of a column: which of the factor's own columns, to which power.
struct Pick {
    factor: usize,
    column: usize,
    exponent: i32,
}

/// The level names that the columns of a category carry under effect coding.
fn column_levels(levels: &[String]) -> Vec<&String> {
    if levels.len() == 2 {
        vec![&levels[1]]
    } else {
        levels[..levels.len() - 1].iter().collect()
    }
}

fn effect_columns(n_levels: usize, level: usize) -> Vec<f64> {
    if n_levels == 2 {
        return vec![if level == 0 { -1.0 } else { 1.0 }];
    }
    (0..n_levels - 1)
        .map(|column| {
            if level == n_levels - 1 {
                -1.0
            } else {
                f64::from(u8::from(column == level))
            }
        })
        .collect()
}

fn treatment_levels(n_levels: usize, reference: usize) -> Vec<usize> {
    let reference = if reference < n_levels { reference } else { 0 };
    (0..n_levels).filter(|level| *level != reference).collect()
}

/// The model columns of each factor at one point.
fn factor_columns(
    space: &FactorSpace,
    point: &CodedPoint,
    coding: CategoryCoding,
) -> Result<Vec<Vec<f64>>, StatsError> {
    if point.0.len() != space.n_factors() {
        return Err(StatsError::WrongLength {
            expected: space.n_factors(),
            found: point.0.len(),
        });
    }
    space
        .factors()
        .iter()
        .zip(&point.0)
        .map(|(factor, value)| match (factor.kind(), value) {
            (FactorKind::Categorical { levels }, Value::Level(level)) if *level < levels.len() => {
                Ok(match coding {
                    CategoryCoding::Effect => effect_columns(levels.len(), *level),
                    CategoryCoding::Treatment { reference } => {
                        treatment_levels(levels.len(), reference)
                            .into_iter()
                            .map(|column| f64::from(u8::from(column == *level)))
                            .collect()
                    }
                })
            }
            (FactorKind::Continuous { .. } | FactorKind::Discrete { .. }, Value::Number(x))
                if x.is_finite() =>
            {
                Ok(vec![*x])
            }
            _ => Err(StatsError::ValueDoesNotFit {
                factor: factor.name().to_owned(),
                value: *value,
            }),
        })
        .collect()
}

/// The columns of a term: names, and what is multiplied in each; the last factor's columns run fastest.
fn term_columns(
    space: &FactorSpace,
    term: &Term,
    coding: CategoryCoding,
) -> Vec<(String, Vec<Pick>)> {
    if term.is_intercept() {
        return vec![("1".to_owned(), Vec::new())];
    }
    let mut combined: Vec<(String, Vec<Pick>)> = vec![(String::new(), Vec::new())];
    for (index, exponent) in term.powers() {
        let factor = &space.factors()[*index];
        let base = Term::from_powers(vec![(*index, *exponent)]).name(space);
        let names: Vec<String> = match factor.kind() {
            FactorKind::Categorical { levels } => {
                let labels: Vec<&String> = match coding {
                    CategoryCoding::Effect => column_levels(levels),
                    CategoryCoding::Treatment { reference } => {
                        treatment_levels(levels.len(), reference)
                            .into_iter()
                            .map(|level| &levels[level])
                            .collect()
                    }
                };
                labels
                    .into_iter()
                    .map(|level| format!("{base}[{level}]"))
                    .collect()
            }
            FactorKind::Continuous { .. } | FactorKind::Discrete { .. } => vec![base],
        };
        let exponent = i32::try_from(*exponent).unwrap_or(i32::MAX);
        combined = combined
            .iter()
            .flat_map(|(so_far, picks)| {
                names.iter().enumerate().map(move |(column, name)| {
                    let joined = if so_far.is_empty() {
                        name.clone()
                    } else {
                        format!("{so_far}*{name}")
                    };
                    let mut all: Vec<Pick> = picks
                        .iter()
                        .map(|p| Pick {
                            factor: p.factor,
                            column: p.column,
                            exponent: p.exponent,
                        })
                        .collect();
                    all.push(Pick {
                        factor: *index,
                        column,
                        exponent,
                    });
                    (joined, all)
                })
            })
            .collect();
    }
    combined
}
