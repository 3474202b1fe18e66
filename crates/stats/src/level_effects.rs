//! Effects of all levels of the categories, the one without a column of its own included.

use crate::error::FitError;
use crate::factor::{CodedPoint, Factor, FactorKind, FactorSpace, Value};
use crate::least_squares::LeastSquares;
use crate::model::ColumnSource;
use crate::term::Term;
use crate::undefined::Known;

/// What one level of a category does, as deviation from the mean of the levels.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelEffect {
    /// 0-based index of the factor.
    pub factor: usize,
    /// 0-based index of the level.
    pub level: usize,
    /// Name of the level.
    pub name: String,
    /// The effect: with products in the model, that at the middle of the numbers, averaged over other categories.
    pub estimate: Known<f64>,
    /// Its standard error, from the covariance of the columns.
    pub standard_error: Known<f64>,
}

impl LeastSquares {
    /// Effects of every level of every category whose main effect is in the model; they sum to zero for each category,
    /// whichever coding was fitted.
    ///
    /// # Errors
    /// [`FitError::Space`] if `space` is not the one of the fit.
    pub fn level_effects(&self, space: &FactorSpace) -> Result<Vec<LevelEffect>, FitError> {
        let mut effects = Vec::new();
        for (index, factor) in space.factors().iter().enumerate() {
            let FactorKind::Categorical { levels } = factor.kind() else {
                continue;
            };
            let source = ColumnSource::Term(Term::main_effect(index));
            let Some(group) = self.groups().iter().find(|group| group.source == source) else {
                continue;
            };
            let rows = (0..levels.len())
                .map(|level| {
                    self.layout()
                        .row_at(space, &level_point(space, index, level))
                })
                .collect::<Result<Vec<_>, _>>()?;
            for (level, name) in levels.iter().enumerate() {
                let mut row = vec![0.0; self.n_columns()];
                for column in group.columns.clone() {
                    let mean = rows.iter().map(|row| row[column]).sum::<f64>() / rows.len() as f64;
                    row[column] = rows[level][column] - mean;
                }
                let effect = self.predict(&row)?;
                effects.push(LevelEffect {
                    factor: index,
                    level,
                    name: name.clone(),
                    estimate: effect.value().clone(),
                    standard_error: effect.standard_error(),
                });
            }
        }
        Ok(effects)
    }
}

fn level_point(space: &FactorSpace, category: usize, level: usize) -> CodedPoint {
    let value = |(index, factor): (usize, &Factor)| {
        if index == category {
            Value::Level(level)
        } else if factor.is_categorical() {
            Value::Level(0)
        } else {
            Value::Number(0.0)
        }
    };
    CodedPoint(space.factors().iter().enumerate().map(value).collect())
}
