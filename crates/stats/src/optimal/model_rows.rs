//! Rows of the model, and how they change along one factor.

use crate::evaluation::OrthonormalRows;
use crate::factor::{CodedPoint, FactorSpace, Value};
use crate::model::{ColumnRecipe, FactorPart};

/// The model's columns.
#[derive(Debug)]
pub(super) struct ModelRows {
    rows: OrthonormalRows,
    along: Vec<Vec<Part>>,
}

/// A column that changes with a factor.
#[derive(Debug)]
pub(super) struct Part {
    pub(super) column: usize,
    /// What the factor contributes.
    own: FactorPart,
    /// What the other factors contribute.
    others: Vec<FactorPart>,
}

impl Part {
    /// Power of the factor, if it is a number.
    pub(super) const fn exponent(&self) -> usize {
        self.own.exponent as usize
    }
}

impl ModelRows {
    pub(super) fn new(space: &FactorSpace, rows: OrthonormalRows) -> Self {
        let along = (0..space.n_factors())
            .map(|factor| {
                let columns = rows.recipes().iter().enumerate();
                let mut parts: Vec<Part> = columns
                    .filter_map(|(column, recipe)| part_of(column, recipe, factor))
                    .collect();
                parts.sort_by_key(Part::exponent);
                parts
            })
            .collect();
        Self { rows, along }
    }

    pub(super) const fn rows(&self) -> &OrthonormalRows {
        &self.rows
    }

    pub(super) fn n_columns(&self) -> usize {
        self.rows.n_columns()
    }

    /// Columns that change with a factor, by ascending power.
    pub(super) fn along(&self, factor: usize) -> &[Part] {
        &self.along[factor]
    }

    /// Greatest power of a factor.
    pub(super) fn max_exponent(&self) -> usize {
        let parts = self.along.iter().flatten();
        parts.map(Part::exponent).max().unwrap_or(0)
    }

    pub(super) fn row(&self, point: &CodedPoint) -> Vec<f64> {
        let mut row = vec![0.0; self.n_columns()];
        self.fill(point, &mut row);
        row
    }

    pub(super) fn fill(&self, point: &CodedPoint, row: &mut [f64]) {
        self.rows.fill(&point.0, None, row);
    }

    /// What the other factors contribute to a column.
    pub(super) fn cofactor(&self, part: &Part, point: &CodedPoint) -> f64 {
        let mut product = 1.0;
        for other in &part.others {
            product *= self.rows.part_value(other, point.0.get(other.factor));
        }
        product
    }

    /// What a setting of the factor contributes to a column.
    pub(super) fn contribution(&self, part: &Part, value: Value) -> f64 {
        self.rows.part_value(&part.own, Some(&value))
    }
}

fn part_of(column: usize, recipe: &ColumnRecipe, factor: usize) -> Option<Part> {
    let ColumnRecipe::Product(parts) = recipe else {
        return None;
    };
    let own = *parts.iter().find(|part| part.factor == factor)?;
    let others = parts.iter().filter(|part| part.factor != factor);
    Some(Part {
        column,
        own,
        others: others.copied().collect(),
    })
}
