//! The model matrix: one column for each number that a term adds to the fit.

use std::ops::Range;
use std::sync::Arc;

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
    layout: Arc<ModelLayout>,
}

/// What the columns of a model are, apart from any runs.
#[derive(Debug, Clone, PartialEq)]
pub struct ModelLayout {
    column_names: Vec<String>,
    groups: Vec<ColumnGroup>,
    recipes: Vec<ColumnRecipe>,
    coding: CategoryCoding,
    has_intercept: bool,
}

/// How a column is made from the settings of a run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ColumnRecipe {
    /// A product over factors; empty for the intercept.
    Product(Vec<FactorPart>),
    /// A block column.
    Block,
}

/// What one factor contributes to a product: one of its own columns, to a power.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FactorPart {
    /// 0-based index of the factor.
    pub factor: usize,
    /// Which of the factor's own columns: 0 for a number, 0-based column of a category.
    pub column: usize,
    /// The power, 1 for a category.
    pub exponent: u32,
}

impl ModelMatrix {
    /// Builds the matrix of `terms` at `points`, with effect coding of categories.
    ///
    /// # Errors
    /// [`StatsError::WrongLength`] or [`StatsError::ValueDoesNotFit`] for a point or block that is not of this space;
    /// [`StatsError::BadTerm`] for a term of another space or a power of a category.
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
        if let Some(blocks) = blocks {
            blocks.check(points.len())?;
        }
        // A block without runs has no effect to estimate, and no share in the average of the blocks.
        let present = blocks.map(Blocks::without_empty);
        let block_pairs = present.as_ref().filter(|blocks| blocks.labels.len() > 1);
        let layout = ModelLayout::new(space, terms, block_pairs, coding)?;
        let mut matrix = DMatrix::zeros(points.len(), layout.recipes.len());
        let mut own_columns = OwnColumns::of(space);
        for (run, point) in points.iter().enumerate() {
            own_columns.read(space, point, coding)?;
            let block = block_pairs.map_or_else(Vec::new, |blocks| {
                effect_columns(blocks.labels.len(), blocks.of_run[run])
            });
            fill_row(&layout.recipes, &own_columns, &block, |column, value| {
                matrix[(run, column)] = value;
            });
        }
        Ok(Self {
            matrix,
            layout: Arc::new(layout),
        })
    }

    /// The model row at one setting, averaged over the blocks (their columns are 0): length `n_columns`.
    ///
    /// # Errors
    /// [`StatsError::WrongLength`] or [`StatsError::ValueDoesNotFit`] for a point that is not of this space.
    pub fn row_at(&self, space: &FactorSpace, point: &CodedPoint) -> Result<Vec<f64>, StatsError> {
        self.layout.row_at(space, point)
    }

    /// The same model on some of the runs, in the order given (0-based).
    ///
    /// # Errors
    /// [`StatsError::WrongLength`] if a run does not exist.
    pub fn select_runs(&self, runs: &[usize]) -> Result<Self, StatsError> {
        if let Some(run) = runs.iter().find(|run| **run >= self.n_runs()) {
            return Err(StatsError::WrongLength {
                expected: self.n_runs(),
                found: run + 1,
            });
        }
        Ok(Self {
            matrix: self.matrix.select_rows(runs),
            layout: Arc::clone(&self.layout),
        })
    }

    /// The numbers: `n_runs` × `n_columns`.
    pub const fn matrix(&self) -> &DMatrix<f64> {
        &self.matrix
    }

    /// What the columns are.
    pub const fn layout(&self) -> &Arc<ModelLayout> {
        &self.layout
    }

    /// Name of each column: `speed`, `gas[argon]`, `speed*gas[argon]`, `block[day 2]`.
    pub fn column_names(&self) -> &[String] {
        self.layout.column_names()
    }

    /// Column groups in column order.
    pub fn groups(&self) -> &[ColumnGroup] {
        self.layout.groups()
    }

    /// How each column is made, in column order.
    pub fn recipes(&self) -> &[ColumnRecipe] {
        self.layout.recipes()
    }

    /// How categories are coded.
    pub fn coding(&self) -> CategoryCoding {
        self.layout.coding()
    }

    /// True if the first column is the intercept.
    pub fn has_intercept(&self) -> bool {
        self.layout.has_intercept()
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

impl Blocks {
    /// The same blocks without those that have no run (unless there is no run at all).
    #[must_use]
    pub fn without_empty(&self) -> Self {
        let mut new_index = vec![None; self.labels.len()];
        for block in &self.of_run {
            if let Some(index) = new_index.get_mut(*block) {
                *index = Some(0);
            }
        }
        for (next, index) in new_index.iter_mut().flatten().enumerate() {
            *index = next;
        }
        if self.of_run.is_empty() || new_index.iter().all(Option::is_some) {
            return self.clone();
        }
        let kept = self.labels.iter().zip(&new_index);
        Self {
            name: self.name.clone(),
            labels: kept
                .filter(|(_, index)| index.is_some())
                .map(|(label, _)| label.clone())
                .collect(),
            of_run: self
                .of_run
                .iter()
                .filter_map(|block| new_index.get(*block).copied().flatten())
                .collect(),
        }
    }

    /// The blocks of some of the runs (0-based, in the order given), without those that have none of them.
    ///
    /// # Errors
    /// [`StatsError::WrongLength`] if a run does not exist.
    pub fn select_runs(&self, runs: &[usize]) -> Result<Self, StatsError> {
        let of_run = runs
            .iter()
            .map(|run| {
                let block = self.of_run.get(*run).copied();
                block.ok_or(StatsError::WrongLength {
                    expected: self.of_run.len(),
                    found: run + 1,
                })
            })
            .collect::<Result<Vec<_>, _>>()?;
        Ok(Self {
            of_run,
            ..self.clone()
        }
        .without_empty())
    }

    fn check(&self, n_runs: usize) -> Result<(), StatsError> {
        if self.of_run.len() != n_runs {
            return Err(StatsError::WrongLength {
                expected: n_runs,
                found: self.of_run.len(),
            });
        }
        match self
            .of_run
            .iter()
            .find(|block| **block >= self.labels.len())
        {
            Some(block) => Err(StatsError::ValueDoesNotFit {
                factor: self.name.clone(),
                value: Value::Level(*block),
            }),
            None => Ok(()),
        }
    }
}

fn check_term(space: &FactorSpace, term: &Term) -> Result<(), StatsError> {
    for (index, exponent) in term.powers() {
        let reason = match space.factors().get(*index) {
            None => format!("there is no factor number {}", index + 1),
            Some(factor) if factor.is_categorical() && *exponent > 1 => {
                format!("a category such as \"{}\" has no powers", factor.name())
            }
            Some(_) => continue,
        };
        return Err(StatsError::BadTerm {
            text: term.name(space),
            reason,
        });
    }
    Ok(())
}

impl ModelLayout {
    /// Lays out the columns of `terms`, blocks right after the intercept.
    pub(crate) fn new(
        space: &FactorSpace,
        terms: &TermList,
        blocks: Option<&Blocks>,
        coding: CategoryCoding,
    ) -> Result<Self, StatsError> {
        let mut layout = Self {
            column_names: Vec::new(),
            groups: Vec::new(),
            recipes: Vec::new(),
            coding,
            has_intercept: terms.has_intercept(),
        };
        if !terms.has_intercept() {
            layout.add_blocks(blocks);
        }
        for term in terms.terms() {
            check_term(space, term)?;
            layout.add_term(space, term);
            if term.is_intercept() {
                layout.add_blocks(blocks);
            }
        }
        Ok(layout)
    }

    /// The layout of other terms with the same blocks and coding.
    pub(crate) fn with_terms(
        &self,
        space: &FactorSpace,
        terms: &TermList,
    ) -> Result<Self, StatsError> {
        let mut layout = Self::new(space, terms, None, self.coding)?;
        let Some(blocks) = self
            .groups
            .iter()
            .find(|group| group.source == ColumnSource::Blocks)
        else {
            return Ok(layout);
        };
        let at = usize::from(layout.has_intercept);
        let n_blocks = blocks.columns.len();
        let names = self.column_names[blocks.columns.clone()].to_vec();
        layout.column_names.splice(at..at, names);
        layout
            .recipes
            .splice(at..at, vec![ColumnRecipe::Block; n_blocks]);
        for group in layout.groups.iter_mut().skip(at) {
            group.columns = group.columns.start + n_blocks..group.columns.end + n_blocks;
        }
        layout.groups.insert(
            at,
            ColumnGroup {
                columns: at..at + n_blocks,
                ..blocks.clone()
            },
        );
        Ok(layout)
    }

    fn add_blocks(&mut self, blocks: Option<&Blocks>) {
        let Some(blocks) = blocks else { return };
        let start = self.recipes.len();
        for label in column_levels(&blocks.labels) {
            self.recipes.push(ColumnRecipe::Block);
            self.column_names.push(format!("{}[{label}]", blocks.name));
        }
        self.groups.push(ColumnGroup {
            source: ColumnSource::Blocks,
            name: blocks.name.clone(),
            columns: start..self.recipes.len(),
        });
    }

    fn add_term(&mut self, space: &FactorSpace, term: &Term) {
        let start = self.recipes.len();
        for (name, parts) in term_columns(space, term, self.coding) {
            self.column_names.push(name);
            self.recipes.push(ColumnRecipe::Product(parts));
        }
        self.groups.push(ColumnGroup {
            source: ColumnSource::Term(term.clone()),
            name: term.name(space),
            columns: start..self.recipes.len(),
        });
    }

    /// The model row at one setting, averaged over the blocks (their columns are 0): length `n_columns`.
    ///
    /// # Errors
    /// [`StatsError::WrongLength`] or [`StatsError::ValueDoesNotFit`] for a point that is not of this space.
    pub fn row_at(&self, space: &FactorSpace, point: &CodedPoint) -> Result<Vec<f64>, StatsError> {
        let mut own_columns = OwnColumns::of(space);
        own_columns.read(space, point, self.coding)?;
        let belongs = |part: &FactorPart| own_columns.place(part).is_some();
        let all_belong = self.recipes.iter().all(|recipe| match recipe {
            ColumnRecipe::Block => true,
            ColumnRecipe::Product(parts) => parts.iter().all(belongs),
        });
        if !all_belong {
            return Err(StatsError::WrongLength {
                expected: self.n_factors_named(),
                found: space.n_factors(),
            });
        }
        let mut row = vec![0.0; self.recipes.len()];
        fill_row(&self.recipes, &own_columns, &[], |column, value| {
            row[column] = value;
        });
        Ok(row)
    }

    /// One more than the largest factor index in any column.
    fn n_factors_named(&self) -> usize {
        self.recipes
            .iter()
            .filter_map(|recipe| match recipe {
                ColumnRecipe::Block => None,
                ColumnRecipe::Product(parts) => parts.iter().map(|part| part.factor + 1).max(),
            })
            .max()
            .unwrap_or(0)
    }

    /// Name of each column.
    pub fn column_names(&self) -> &[String] {
        &self.column_names
    }

    /// Column groups in column order.
    pub fn groups(&self) -> &[ColumnGroup] {
        &self.groups
    }

    /// How each column is made, in column order.
    pub fn recipes(&self) -> &[ColumnRecipe] {
        &self.recipes
    }

    /// How categories are coded.
    pub const fn coding(&self) -> CategoryCoding {
        self.coding
    }

    /// True if the first column is the intercept.
    pub const fn has_intercept(&self) -> bool {
        self.has_intercept
    }

    /// Number of columns.
    pub const fn n_columns(&self) -> usize {
        self.recipes.len()
    }
}

/// Hands every column's value at one run to `set`. An empty `block` stands for the average of the blocks.
fn fill_row(
    recipes: &[ColumnRecipe],
    own_columns: &OwnColumns,
    block: &[f64],
    mut set: impl FnMut(usize, f64),
) {
    let mut block = block.iter();
    for (column, recipe) in recipes.iter().enumerate() {
        let value = match recipe {
            ColumnRecipe::Block => block.next().copied().unwrap_or(0.0),
            ColumnRecipe::Product(parts) => parts
                .iter()
                .map(|part| power(own_columns.get(part), part.exponent))
                .product(),
        };
        set(column, value);
    }
}

/// `x^exponent` by repeated squaring; the standard library's `powi` may differ between platforms in the last bit.
fn power(x: f64, exponent: u32) -> f64 {
    let (mut result, mut square, mut left) = (1.0, x, exponent);
    while left > 0 {
        if left & 1 == 1 {
            result *= square;
        }
        square *= square;
        left >>= 1;
    }
    result
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

/// The columns that each factor has of its own at one run, one factor after the other.
struct OwnColumns {
    starts: Vec<usize>,
    values: Vec<f64>,
}

impl OwnColumns {
    fn of(space: &FactorSpace) -> Self {
        let mut starts = Vec::with_capacity(space.n_factors() + 1);
        let mut next = 0;
        for factor in space.factors() {
            starts.push(next);
            next += factor.n_columns();
        }
        starts.push(next);
        Self {
            starts,
            values: Vec::with_capacity(next),
        }
    }

    /// Takes the settings of a run.
    fn read(
        &mut self,
        space: &FactorSpace,
        point: &CodedPoint,
        coding: CategoryCoding,
    ) -> Result<(), StatsError> {
        if point.0.len() != space.n_factors() {
            return Err(StatsError::WrongLength {
                expected: space.n_factors(),
                found: point.0.len(),
            });
        }
        self.values.clear();
        for (factor, value) in space.factors().iter().zip(&point.0) {
            match (factor.kind(), value) {
                (FactorKind::Categorical { levels }, Value::Level(level))
                    if *level < levels.len() =>
                {
                    self.push_level(levels.len(), *level, coding);
                }
                (FactorKind::Continuous { .. } | FactorKind::Discrete { .. }, Value::Number(x))
                    if x.is_finite() =>
                {
                    self.values.push(*x);
                }
                _ => {
                    return Err(StatsError::ValueDoesNotFit {
                        factor: factor.name().to_owned(),
                        value: *value,
                    });
                }
            }
        }
        Ok(())
    }

    fn push_level(&mut self, n_levels: usize, level: usize, coding: CategoryCoding) {
        match coding {
            CategoryCoding::Effect => self.values.extend(effect_columns(n_levels, level)),
            CategoryCoding::Treatment { reference } => {
                let levels = treatment_levels(n_levels, reference).into_iter();
                self.values
                    .extend(levels.map(|column| f64::from(u8::from(column == level))));
            }
        }
    }

    /// Place of a factor's own column among the values, if there is one.
    fn place(&self, part: &FactorPart) -> Option<usize> {
        let start = *self.starts.get(part.factor)?;
        let end = *self.starts.get(part.factor + 1)?;
        Some(start + part.column).filter(|place| *place < end)
    }

    fn get(&self, part: &FactorPart) -> f64 {
        self.values[self.starts[part.factor] + part.column]
    }
}

/// The columns of a term: names, and what is multiplied in each; the last factor's columns run fastest.
fn term_columns(
    space: &FactorSpace,
    term: &Term,
    coding: CategoryCoding,
) -> Vec<(String, Vec<FactorPart>)> {
    if term.is_intercept() {
        return vec![("1".to_owned(), Vec::new())];
    }
    let mut combined: Vec<(String, Vec<FactorPart>)> = vec![(String::new(), Vec::new())];
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
        combined = combined
            .iter()
            .flat_map(|(so_far, parts)| {
                names.iter().enumerate().map(move |(column, name)| {
                    let joined = if so_far.is_empty() {
                        name.clone()
                    } else {
                        format!("{so_far}*{name}")
                    };
                    let mut all = parts.clone();
                    all.push(FactorPart {
                        factor: *index,
                        column,
                        exponent: *exponent,
                    });
                    (joined, all)
                })
            })
            .collect();
    }
    combined
}
