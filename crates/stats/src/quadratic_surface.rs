//! The fitted second-order surface `b0 + x'b + x'Bx` over the factors that are numbers, at fixed category levels.
//!
//! Every entry of b0, b and B is a linear function of the coefficients, and is kept as one, so that anything made from
//! them has a standard error. B is symmetric; a product's coefficient stands in it by halves.
//!
//! Source: Box, G.E.P. & Draper, N.R. (1987), Empirical Model-Building and Response Surfaces, chapters 9–11.

use nalgebra::{DMatrix, DVector};

use crate::distributions::FisherF;
use crate::error::{FitError, StatsError};
use crate::factor::{CodedPoint, FactorSpace, Value};
use crate::least_squares::LeastSquares;
use crate::model::{ColumnRecipe, FactorPart, ModelLayout};
use crate::qr::{OrderedQr, SpreadAbout};
use crate::undefined::{Known, Undefined};

/// Which end of the surface is looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// Larger responses.
    Up,
    /// Smaller responses.
    Down,
}

/// A second-order surface in coded units.
#[derive(Debug, Clone, PartialEq)]
pub struct QuadraticSurface {
    factors: Vec<usize>,
    base: CodedPoint,
    constant: f64,
    linear: DVector<f64>,
    quadratic: DMatrix<f64>,
    /// For each factor, the model columns that make its entry of b, with their factors.
    linear_parts: Vec<Vec<(usize, f64)>>,
    /// The same for B, row by row.
    quadratic_parts: Vec<Vec<Vec<(usize, f64)>>>,
    missing_squares: Vec<usize>,
}

/// What a model column is at fixed category levels: a factor times a product of numbers.
struct FixedColumn {
    multiplier: f64,
    numbers: Vec<FactorPart>,
}

impl LeastSquares {
    /// The surface at the category levels of `levels` (its numbers do not matter), averaged over blocks.
    ///
    /// # Errors
    /// [`FitError::Undefined`] with [`Undefined::AboveSecondOrder`] for a model of higher order, or with
    /// [`Undefined::NotEstimable`] if a product or main effect was dropped; [`FitError::Space`] if the space or point
    /// is not that of the fit.
    pub fn quadratic_surface(
        &self,
        space: &FactorSpace,
        levels: &CodedPoint,
    ) -> Result<QuadraticSurface, FitError> {
        let base = base_point(space, levels)?;
        let row = self.layout().row_at(space, &base)?;
        let columns = fixed_columns(self.layout(), space, &base)?;
        let mut factors: Vec<usize> = columns
            .iter()
            .filter(|column| column.multiplier != 0.0)
            .flat_map(|column| column.numbers.iter().map(|part| part.factor))
            .collect();
        factors.sort_unstable();
        factors.dedup();
        let k = factors.len();
        let mut surface = QuadraticSurface {
            constant: self.predict(&row)?.value().clone()?,
            linear: DVector::zeros(k),
            quadratic: DMatrix::zeros(k, k),
            linear_parts: vec![Vec::new(); k],
            quadratic_parts: vec![vec![Vec::new(); k]; k],
            missing_squares: Vec::new(),
            factors,
            base,
        };
        for (index, column) in columns.iter().enumerate() {
            if column.multiplier != 0.0 {
                surface.add(self, index, column)?;
            }
        }
        surface.missing_squares = (0..k)
            .filter(|at| surface.quadratic_parts[*at][*at].is_empty())
            .map(|at| surface.factors[at])
            .collect();
        Ok(surface)
    }
}

impl QuadraticSurface {
    fn add(
        &mut self,
        fit: &LeastSquares,
        index: usize,
        column: &FixedColumn,
    ) -> Result<(), Undefined> {
        let order: u32 = column.numbers.iter().map(|part| part.exponent).sum();
        let name = &fit.column_names()[index];
        if order > 2 {
            return Err(Undefined::AboveSecondOrder { term: name.clone() });
        }
        let at: Vec<usize> = column
            .numbers
            .iter()
            .filter_map(|part| self.factors.binary_search(&part.factor).ok())
            .collect();
        let Ok(estimate) = fit.estimate(index) else {
            // A dropped square is a missing one; anything else dropped leaves the surface open.
            return if order == 0 || (order == 2 && at.len() == 1) {
                Ok(())
            } else {
                Err(Undefined::NotEstimable {
                    terms: name.clone(),
                })
            };
        };
        match at.as_slice() {
            [i] if order == 1 => {
                self.linear[*i] += column.multiplier * estimate;
                self.linear_parts[*i].push((index, column.multiplier));
            }
            [i] => {
                self.quadratic[(*i, *i)] += column.multiplier * estimate;
                self.quadratic_parts[*i][*i].push((index, column.multiplier));
            }
            [i, j] => {
                let half = 0.5 * column.multiplier;
                for (row, col) in [(*i, *j), (*j, *i)] {
                    self.quadratic[(row, col)] += half * estimate;
                    self.quadratic_parts[row][col].push((index, half));
                }
            }
            _ => {}
        }
        Ok(())
    }

    /// 0-based indices of the factors of the surface: the numbers that the model names, ascending.
    pub fn factors(&self) -> &[usize] {
        &self.factors
    }

    /// Value at the middle of all factors.
    pub const fn constant(&self) -> f64 {
        self.constant
    }

    /// Gradient at the middle: one entry a factor of the surface.
    pub const fn linear(&self) -> &DVector<f64> {
        &self.linear
    }

    /// The symmetric matrix B.
    pub const fn quadratic(&self) -> &DMatrix<f64> {
        &self.quadratic
    }

    /// 0-based indices of factors of the surface whose square is not estimated.
    pub fn missing_squares(&self) -> &[usize] {
        &self.missing_squares
    }

    /// Height of the surface at coded settings of its factors.
    ///
    /// # Errors
    /// [`FitError::RowLength`] unless there is one setting a factor of the surface.
    pub fn value_at(&self, settings: &[f64]) -> Result<f64, FitError> {
        self.check_settings(settings)?;
        let x = DVector::from_column_slice(settings);
        Ok(self.constant + self.linear.dot(&x) + (&self.quadratic * &x).dot(&x))
    }

    /// The run at coded settings of the surface's factors; other numbers at their middle, categories as fixed.
    ///
    /// # Errors
    /// As [`QuadraticSurface::value_at`].
    pub fn point_at(&self, settings: &[f64]) -> Result<CodedPoint, FitError> {
        self.check_settings(settings)?;
        let mut point = self.base.clone();
        for (factor, setting) in self.factors.iter().zip(settings) {
            point.0[*factor] = Value::Number(*setting);
        }
        Ok(point)
    }

    fn check_settings(&self, settings: &[f64]) -> Result<(), FitError> {
        if settings.len() == self.factors.len() {
            Ok(())
        } else {
            Err(FitError::RowLength {
                expected: self.factors.len(),
                found: settings.len(),
            })
        }
    }

    /// Direction of steepest ascent (or descent) at the middle, as a unit vector in coded units.
    ///
    /// # Errors
    /// [`Undefined::FlatSurface`] if the gradient is zero.
    pub fn steepest_direction(&self, direction: Direction) -> Known<Vec<f64>> {
        let length = self.linear.norm();
        if length <= 0.0 {
            return Err(Undefined::FlatSurface);
        }
        let sign = match direction {
            Direction::Up => 1.0,
            Direction::Down => -1.0,
        };
        Ok(self.linear.iter().map(|b| sign * b / length).collect())
    }

    /// The model-column weights of the second derivative along `axis`: `Σ w_i w_j B_ij`.
    pub(crate) fn curvature_row(&self, axis: &[f64], n_columns: usize) -> Vec<f64> {
        let mut row = vec![0.0; n_columns];
        for (parts_of_row, wi) in self.quadratic_parts.iter().zip(axis) {
            for (parts, wj) in parts_of_row.iter().zip(axis) {
                for (column, factor) in parts {
                    row[*column] += wi * wj * factor;
                }
            }
        }
        row
    }

    /// Probability of a gradient as far from zero as the one at `settings`, if that were the true stationary point:
    /// the confidence region at `level` holds the settings with p ≥ 1 − level.
    ///
    /// # Errors
    /// [`FitError::RowLength`], or [`FitError::Undefined`] if the fit has no error estimate.
    ///
    /// # Source
    /// Box, G.E.P. & Hunter, J.S. (1954), A confidence region for the solution of a set of simultaneous equations with
    /// an application to experimental design, Biometrika 41, 190–199.
    pub fn stationarity_p(&self, fit: &LeastSquares, settings: &[f64]) -> Result<f64, FitError> {
        self.check_settings(settings)?;
        let sd = fit.testing_sd()?;
        let k = self.factors.len();
        let rank = fit.rank();
        let mut gradient = Vec::with_capacity(k);
        let mut images = Vec::with_capacity(k * rank);
        for factor in 0..k {
            let row = self.gradient_row(factor, settings, fit.n_columns());
            let kept: Vec<f64> = fit.kept_columns().iter().map(|c| row[*c]).collect();
            gradient.push(kept.iter().zip(&fit.estimates).map(|(x, b)| x * b).sum());
            images.extend(
                fit.r_inverse
                    .column_iter()
                    .map(|column| column.iter().zip(&kept).map(|(r, x)| r * x).sum::<f64>()),
            );
        }
        let factor = OrderedQr::new(&images, rank, SpreadAbout::Zero);
        if k == 0 || factor.rank() < k {
            return Err(Undefined::FlatSurface.into());
        }
        let z = factor.forward_substitute(&gradient);
        let f = z.iter().map(|z| z * z).sum::<f64>() / (k as f64 * sd * sd);
        let distribution = FisherF::new(k as f64, fit.error_df() as f64);
        Ok(distribution.ok().ok_or(Undefined::NoErrorDf)?.sf(f))
    }

    fn gradient_row(&self, factor: usize, settings: &[f64], n_columns: usize) -> Vec<f64> {
        let mut row = vec![0.0; n_columns];
        for (column, weight) in &self.linear_parts[factor] {
            row[*column] += weight;
        }
        for (parts, setting) in self.quadratic_parts[factor].iter().zip(settings) {
            for (column, weight) in parts {
                row[*column] += 2.0 * setting * weight;
            }
        }
        row
    }
}

/// The given category levels with all numbers at their middle.
fn base_point(space: &FactorSpace, levels: &CodedPoint) -> Result<CodedPoint, StatsError> {
    if levels.0.len() != space.n_factors() {
        return Err(StatsError::WrongLength {
            expected: space.n_factors(),
            found: levels.0.len(),
        });
    }
    let values = space.factors().iter().zip(&levels.0);
    Ok(CodedPoint(
        values
            .map(|(factor, level)| {
                if factor.is_categorical() {
                    *level
                } else {
                    Value::Number(0.0)
                }
            })
            .collect(),
    ))
}

/// Every model column with its categories fixed.
fn fixed_columns(
    layout: &ModelLayout,
    space: &FactorSpace,
    base: &CodedPoint,
) -> Result<Vec<FixedColumn>, StatsError> {
    // With every number at 1 a product is just its category part.
    let ones = CodedPoint(
        base.0
            .iter()
            .map(|value| match value {
                Value::Number(_) => Value::Number(1.0),
                Value::Level(level) => Value::Level(*level),
            })
            .collect(),
    );
    let multipliers = layout.row_at(space, &ones)?;
    Ok(layout
        .recipes()
        .iter()
        .zip(multipliers)
        .map(|(recipe, multiplier)| match recipe {
            ColumnRecipe::Block => FixedColumn {
                multiplier: 0.0,
                numbers: Vec::new(),
            },
            ColumnRecipe::Product(parts) => FixedColumn {
                multiplier,
                numbers: parts
                    .iter()
                    .filter(|part| {
                        let factor = space.factors().get(part.factor);
                        factor.is_some_and(|factor| !factor.is_categorical())
                    })
                    .copied()
                    .collect(),
            },
        })
        .collect())
}
