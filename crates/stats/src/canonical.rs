//! Canonical analysis: where a second-order surface is level, what shape it has there, and how sure that is.
//!
//! Eigenvalues of B are curvatures along the principal axes. Their standard errors are those of the squares in a refit
//! along these axes (the double linear regression of Bisgaard & Ankenman 1996), which is a linear function of the
//! coefficients, so no refit is needed. An axis whose curvature is not told from zero is a ridge, and the stationary
//! point then is one of many.
//!
//! Sources: Box & Draper (1987), Empirical Model-Building and Response Surfaces, chapter 10; Bisgaard, S. & Ankenman,
//! B. (1996), Standard errors for the eigenvalues in second-order response surface models, Technometrics 38, 238–246.

use nalgebra::SymmetricEigen;

use crate::error::FitError;
use crate::factor::{CodedPoint, FactorSpace, Value};
use crate::least_squares::LeastSquares;
use crate::prediction::Prediction;
use crate::quadratic_surface::QuadraticSurface;
use crate::term::Term;
use crate::undefined::{Known, Undefined};

/// A curvature below this share of the largest one is a ridge (common practice).
const RIDGE_SHARE: f64 = 0.05;

/// A curvature within this many standard errors of zero is a ridge (common practice).
const RIDGE_STANDARD_ERRORS: f64 = 2.0;

/// Below this ratio of the smallest curvature to the largest the surface counts as flat.
const FLAT_RATIO: f64 = 1e-10;

/// The shape of a surface about its stationary point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Nature {
    /// Falls in all directions.
    Maximum,
    /// Rises in all directions.
    Minimum,
    /// Rises in some and falls in others.
    Saddle,
    /// Level, as far as the runs can tell, in at least one direction.
    Ridge,
}

impl Nature {
    /// The word for it in documents: `maximum`, `minimum`, `saddle`, `ridge`.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Maximum => "maximum",
            Self::Minimum => "minimum",
            Self::Saddle => "saddle",
            Self::Ridge => "ridge",
        }
    }
}

/// One principal axis.
#[derive(Debug, Clone, PartialEq)]
pub struct PrincipalAxis {
    /// Eigenvalue of B: half the second derivative along the axis.
    pub eigenvalue: f64,
    /// Its standard error.
    pub standard_error: Known<f64>,
    /// Unit vector in the surface's factors; its largest entry is positive.
    pub direction: Vec<f64>,
    /// True if the curvature is not told from zero.
    pub is_ridge: bool,
}

/// The point where the surface is level, with its shape.
#[derive(Debug, Clone, PartialEq)]
pub struct StationaryPoint {
    /// 0-based indices of the factors it has settings for.
    pub factors: Vec<usize>,
    /// Coded settings of these factors.
    pub coded: Vec<f64>,
    /// The whole run: other numbers at their middle, categories as fixed.
    pub point: CodedPoint,
    /// The surface there.
    pub prediction: Prediction,
    /// Shape, with ridges as far as the runs can tell.
    pub nature: Nature,
    /// Shape by the signs of the eigenvalues alone.
    pub nature_by_signs: Nature,
    /// Principal axes, eigenvalues ascending.
    pub axes: Vec<PrincipalAxis>,
    /// Distance from the middle of the region in coded units.
    pub distance: f64,
}

impl StationaryPoint {
    /// True if every factor's setting lies within its range (−1..1).
    pub fn is_inside_ranges(&self) -> bool {
        self.coded.iter().all(|x| x.abs() <= 1.0)
    }

    /// True if every factor's setting lies within what was run.
    pub fn is_inside_runs(&self, runs: &[CodedPoint]) -> bool {
        self.factors.iter().zip(&self.coded).all(|(factor, x)| {
            let settings = runs.iter().filter_map(|run| match run.0.get(*factor) {
                Some(Value::Number(setting)) => Some(*setting),
                Some(Value::Level(_)) | None => None,
            });
            let (low, high) = settings.fold((f64::INFINITY, f64::NEG_INFINITY), |range, s| {
                (range.0.min(s), range.1.max(s))
            });
            low <= *x && *x <= high
        })
    }
}

impl LeastSquares {
    /// Principal axes of the surface, eigenvalues ascending.
    pub fn principal_axes(&self, surface: &QuadraticSurface) -> Vec<PrincipalAxis> {
        let eigen = SymmetricEigen::new(surface.quadratic().clone());
        let mut order: Vec<usize> = (0..eigen.eigenvalues.len()).collect();
        order.sort_by(|a, b| eigen.eigenvalues[*a].total_cmp(&eigen.eigenvalues[*b]));
        let largest = eigen
            .eigenvalues
            .iter()
            .fold(0.0_f64, |m, v| m.max(v.abs()));
        order
            .into_iter()
            .map(|index| {
                let direction = with_positive_lead(eigen.eigenvectors.column(index).iter());
                let eigenvalue = eigen.eigenvalues[index];
                let standard_error = self.curvature_error(surface, &direction);
                let is_uncertain = standard_error
                    .as_ref()
                    .is_ok_and(|error| eigenvalue.abs() < RIDGE_STANDARD_ERRORS * error);
                PrincipalAxis {
                    is_ridge: is_uncertain || eigenvalue.abs() < RIDGE_SHARE * largest,
                    eigenvalue,
                    standard_error,
                    direction,
                }
            })
            .collect()
    }

    fn curvature_error(&self, surface: &QuadraticSurface, direction: &[f64]) -> Known<f64> {
        let sd = self.residual_sd()?;
        let row = surface.curvature_row(direction, self.n_columns());
        let kept: Vec<f64> = self.kept_columns().iter().map(|c| row[*c]).collect();
        Ok(sd * self.variance_factor(&kept).sqrt())
    }

    /// The stationary point `x = −½ B⁻¹ b` of the surface at the category levels of `levels`.
    ///
    /// # Errors
    /// [`FitError::Undefined`] with [`Undefined::NoFullSquarePart`] unless the square of every number in the model is
    /// estimated, with [`Undefined::FlatSurface`] if B is singular, else as [`LeastSquares::quadratic_surface`].
    pub fn stationary_point(
        &self,
        space: &FactorSpace,
        levels: &CodedPoint,
    ) -> Result<StationaryPoint, FitError> {
        let surface = self.quadratic_surface(space, levels)?;
        check_squares(space, &surface)?;
        let axes = self.principal_axes(&surface);
        let sizes = || axes.iter().map(|axis| axis.eigenvalue.abs());
        let smallest = sizes().fold(f64::INFINITY, f64::min);
        let largest = sizes().fold(0.0, f64::max);
        if largest <= 0.0 || smallest < FLAT_RATIO * largest {
            return Err(Undefined::FlatSurface.into());
        }
        let mut coded = vec![0.0; surface.factors().len()];
        for axis in &axes {
            let slope: f64 = axis
                .direction
                .iter()
                .zip(surface.linear().iter())
                .map(|(w, b)| w * b)
                .sum();
            for (setting, w) in coded.iter_mut().zip(&axis.direction) {
                *setting -= 0.5 * slope / axis.eigenvalue * w;
            }
        }
        let point = surface.point_at(&coded)?;
        let row = self.layout().row_at(space, &point)?;
        Ok(StationaryPoint {
            factors: surface.factors().to_vec(),
            point,
            prediction: self.predict(&row)?,
            nature: if axes.iter().any(|axis| axis.is_ridge) {
                Nature::Ridge
            } else {
                nature_by_signs(&axes)
            },
            nature_by_signs: nature_by_signs(&axes),
            axes,
            distance: coded.iter().map(|x| x * x).sum::<f64>().sqrt(),
            coded,
        })
    }
}

fn check_squares(space: &FactorSpace, surface: &QuadraticSurface) -> Result<(), Undefined> {
    let missing: Vec<String> = surface
        .missing_squares()
        .iter()
        .map(|factor| Term::square(*factor).name(space))
        .collect();
    if !missing.is_empty() {
        return Err(Undefined::NoFullSquarePart {
            missing: missing.join(", "),
        });
    }
    if surface.factors().is_empty() {
        return Err(Undefined::FlatSurface);
    }
    Ok(())
}

fn nature_by_signs(axes: &[PrincipalAxis]) -> Nature {
    if axes.iter().all(|axis| axis.eigenvalue < 0.0) {
        Nature::Maximum
    } else if axes.iter().all(|axis| axis.eigenvalue > 0.0) {
        Nature::Minimum
    } else {
        Nature::Saddle
    }
}

/// An eigenvector's sign is free; this makes it the same everywhere.
fn with_positive_lead<'a>(entries: impl Iterator<Item = &'a f64> + Clone) -> Vec<f64> {
    let lead = entries.clone().fold(
        0.0_f64,
        |lead, v| if v.abs() > lead.abs() { *v } else { lead },
    );
    let sign = if lead < 0.0 { -1.0 } else { 1.0 };
    entries.map(|v| sign * v).collect()
}
