//! Model rows whose category columns have mean square 1 and are uncorrelated over balanced levels, so that criteria of
//! plans with and without categories compare (docs/methods.md, 1.2).

use nalgebra::DMatrix;

use crate::error::StatsError;
use crate::factor::{CodedPoint, FactorKind, FactorSpace, Value};
use crate::model::{Blocks, ColumnRecipe, FactorPart, ModelMatrix};
use crate::term::TermList;

/// Makes model rows in orthonormal coding.
#[derive(Debug, Clone)]
pub(crate) struct OrthonormalRows {
    recipes: Vec<ColumnRecipe>,
    /// Columns of each level of each factor; empty for numbers.
    levels: Vec<Vec<Vec<f64>>>,
    block_levels: Vec<Vec<f64>>,
}

impl OrthonormalRows {
    pub(crate) fn new(
        space: &FactorSpace,
        terms: &TermList,
        blocks: Option<&Blocks>,
    ) -> Result<Self, StatsError> {
        // The layout needs no run; blocks are checked against the runs by whoever builds their matrix.
        let layout = ModelMatrix::new(space, terms, &[], None)?;
        let n_blocks = blocks.map_or(1, |blocks| blocks.labels.len());
        let mut recipes: Vec<ColumnRecipe> = layout.recipes().to_vec();
        let after_intercept = usize::from(terms.has_intercept());
        for _ in 1..n_blocks {
            recipes.insert(after_intercept.min(recipes.len()), ColumnRecipe::Block);
        }
        let levels = space
            .factors()
            .iter()
            .map(|factor| match factor.kind() {
                FactorKind::Categorical { levels } => helmert_rows(levels.len()),
                FactorKind::Continuous { .. } | FactorKind::Discrete { .. } => Vec::new(),
            })
            .collect();
        Ok(Self {
            recipes,
            levels,
            block_levels: helmert_rows(n_blocks),
        })
    }

    pub(crate) fn n_columns(&self) -> usize {
        self.recipes.len()
    }

    /// How the columns are made, in column order.
    pub(crate) fn recipes(&self) -> &[ColumnRecipe] {
        &self.recipes
    }

    /// The rows of a plan: `n_runs` × `n_columns`. The points must be of the space.
    pub(crate) fn matrix(&self, points: &[CodedPoint], blocks: Option<&Blocks>) -> DMatrix<f64> {
        let mut matrix = DMatrix::zeros(points.len(), self.n_columns());
        let mut row = vec![0.0; self.n_columns()];
        for (run, point) in points.iter().enumerate() {
            let block = blocks.and_then(|blocks| blocks.of_run.get(run)).copied();
            self.fill(&point.0, block, &mut row);
            for (column, value) in row.iter().enumerate() {
                matrix[(run, column)] = *value;
            }
        }
        matrix
    }

    /// The row at one setting; without a block the average of all blocks.
    pub(crate) fn fill(&self, values: &[Value], block: Option<usize>, row: &mut [f64]) {
        let mut block_columns = block
            .and_then(|block| self.block_levels.get(block))
            .into_iter()
            .flatten();
        for (target, recipe) in row.iter_mut().zip(&self.recipes) {
            *target = match recipe {
                ColumnRecipe::Block => block_columns.next().copied().unwrap_or(0.0),
                ColumnRecipe::Product(parts) => parts
                    .iter()
                    .map(|part| self.part_value(part, values.get(part.factor)))
                    .product(),
            };
        }
    }

    /// What a setting contributes to a column: its power, or an entry of the category's own columns.
    pub(crate) fn part_value(&self, part: &FactorPart, value: Option<&Value>) -> f64 {
        match value {
            Some(Value::Number(x)) => power(*x, part.exponent),
            Some(Value::Level(level)) => self
                .levels
                .get(part.factor)
                .and_then(|levels| levels.get(*level)?.get(part.column))
                .copied()
                .unwrap_or(0.0),
            None => 0.0,
        }
    }

    /// The mean of `f f'` over the whole region: numbers uniform on −1…1, lists and levels equally often (docs/methods.md,
    /// 1.5). Block columns average to zero.
    pub(crate) fn moments(&self, space: &FactorSpace) -> DMatrix<f64> {
        let n = self.n_columns();
        let mut moments = DMatrix::zeros(n, n);
        for one in 0..n {
            for other in one..n {
                let (ColumnRecipe::Product(a), ColumnRecipe::Product(b)) =
                    (&self.recipes[one], &self.recipes[other])
                else {
                    continue;
                };
                let moment: f64 = (0..space.n_factors())
                    .map(|factor| {
                        let part = |parts: &[FactorPart]| {
                            parts.iter().find(|part| part.factor == factor).copied()
                        };
                        self.factor_moment(space, factor, [part(a), part(b)])
                    })
                    .product();
                moments[(one, other)] = moment;
                moments[(other, one)] = moment;
            }
        }
        moments
    }

    fn factor_moment(
        &self,
        space: &FactorSpace,
        factor: usize,
        parts: [Option<FactorPart>; 2],
    ) -> f64 {
        let Some(kind) = space.factors().get(factor).map(crate::factor::Factor::kind) else {
            return 1.0;
        };
        if parts.iter().all(Option::is_none) {
            return 1.0;
        }
        let exponent: u32 = parts.iter().flatten().map(|part| part.exponent).sum();
        match kind {
            FactorKind::Continuous { .. } if exponent % 2 == 1 => 0.0,
            FactorKind::Continuous { .. } => 1.0 / (f64::from(exponent) + 1.0),
            FactorKind::Discrete { levels } => {
                let (low, high) = (levels[0], levels[levels.len() - 1]);
                let coded = levels.iter().map(|u| (2.0 * u - low - high) / (high - low));
                coded.map(|x| power(x, exponent)).sum::<f64>() / levels.len() as f64
            }
            FactorKind::Categorical { levels } => {
                let products = (0..levels.len()).map(|level| {
                    parts
                        .iter()
                        .flatten()
                        .map(|part| self.part_value(part, Some(&Value::Level(level))))
                        .product::<f64>()
                });
                products.sum::<f64>() / levels.len() as f64
            }
        }
    }
}

/// Rows of the Helmert matrix for each level, columns scaled to mean square 1: column c has −a before level c, c·a at
/// it and 0 after, `a² = L/(c(c + 1))`. Two levels: −1 and +1.
fn helmert_rows(n_levels: usize) -> Vec<Vec<f64>> {
    (0..n_levels)
        .map(|level| {
            (1..n_levels)
                .map(|column| {
                    let c = column as f64;
                    let a = (n_levels as f64 / (c * (c + 1.0))).sqrt();
                    match level.cmp(&column) {
                        std::cmp::Ordering::Less => -a,
                        std::cmp::Ordering::Equal => c * a,
                        std::cmp::Ordering::Greater => 0.0,
                    }
                })
                .collect()
        })
        .collect()
}

/// `x^exponent` by repeated multiplication, the same on every machine.
pub(crate) fn power(x: f64, exponent: u32) -> f64 {
    (0..exponent).map(|_| x).product()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn category_columns_are_orthonormal_over_balanced_levels() {
        // Definition (docs/methods.md, 1.2): mean square 1, no correlation, mean 0.
        for n_levels in 2..8 {
            let rows = helmert_rows(n_levels);
            for one in 0..n_levels - 1 {
                let mean: f64 = rows.iter().map(|row| row[one]).sum::<f64>();
                assert!(mean.abs() < 1e-12);
                for other in 0..n_levels - 1 {
                    let product: f64 =
                        rows.iter().map(|r| r[one] * r[other]).sum::<f64>() / n_levels as f64;
                    let wanted = f64::from(u8::from(one == other));
                    assert!((product - wanted).abs() < 1e-12);
                }
            }
        }
    }
}
