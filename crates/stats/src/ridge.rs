//! Ridge analysis: the best response at each distance from the middle of the region.
//!
//! On the sphere |x| = R the extreme of `b0 + x'b + x'Bx` solves `(B − μI) x = −b/2` with μ above the largest eigenvalue
//! for the maximum and below the smallest for the minimum. R falls as μ moves away from the eigenvalue, so μ is found
//! by bisection on the logarithm of its distance. Where b has no part along the leading axis, the path leaves the
//! other axes' point along that axis, in both senses alike (the positive one is returned).
//!
//! Sources: Hoerl, A.E. (1959), Optimum solution of many variables equations, Chem. Eng. Progress 55, 69–78; Draper,
//! N.R. (1963), "Ridge analysis" of response surfaces, Technometrics 5, 469–479.

use nalgebra::{DVector, SymmetricEigen};

use crate::error::FitError;
use crate::factor::{CodedPoint, FactorSpace};
use crate::least_squares::LeastSquares;
use crate::prediction::Prediction;
use crate::quadratic_surface::{Direction, QuadraticSurface};

/// A slope along the leading axis below this share of the gradient counts as none.
const NO_SLOPE: f64 = 1e-13;

/// The extreme on one sphere.
#[derive(Debug, Clone, PartialEq)]
pub struct RidgePoint {
    /// Distance from the middle in coded units.
    pub radius: f64,
    /// The multiplier μ; infinite on a surface without slope or curvature.
    pub multiplier: f64,
    /// Coded settings of the surface's factors.
    pub coded: Vec<f64>,
    /// The whole run.
    pub point: CodedPoint,
    /// The surface there, with its errors.
    pub prediction: Prediction,
}

impl LeastSquares {
    /// The extremes of the surface on spheres of the given radii (coded units) about the middle.
    ///
    /// # Errors
    /// [`FitError::BadNumber`] for a radius that is not finite and above zero; [`FitError::Space`] if the space is not
    /// that of the fit.
    pub fn ridge_analysis(
        &self,
        space: &FactorSpace,
        surface: &QuadraticSurface,
        direction: Direction,
        radii: &[f64],
    ) -> Result<Vec<RidgePoint>, FitError> {
        let path = RidgePath::new(surface, direction);
        radii
            .iter()
            .map(|radius| {
                if !(radius.is_finite() && *radius > 0.0) {
                    return Err(FitError::BadNumber {
                        what: "a radius",
                        must_be: "finite and above zero",
                        value: *radius,
                    });
                }
                let (multiplier, coded) = path.extreme_at(*radius);
                let point = surface.point_at(&coded)?;
                let row = self.layout().row_at(space, &point)?;
                Ok(RidgePoint {
                    radius: *radius,
                    multiplier,
                    coded,
                    point,
                    prediction: self.predict(&row)?,
                })
            })
            .collect()
    }
}

/// The surface turned so that the maximum is looked for, in its principal axes.
struct RidgePath {
    sign: f64,
    eigen: SymmetricEigen<f64, nalgebra::Dyn>,
    /// Half the gradient along each axis.
    half_slopes: DVector<f64>,
    largest: f64,
    /// Axes whose eigenvalue is the largest one.
    leading: Vec<bool>,
}

impl RidgePath {
    fn new(surface: &QuadraticSurface, direction: Direction) -> Self {
        let sign = match direction {
            Direction::Up => 1.0,
            Direction::Down => -1.0,
        };
        let eigen = SymmetricEigen::new(surface.quadratic() * sign);
        let half_slopes = eigen.eigenvectors.transpose() * surface.linear() * (0.5 * sign);
        let largest = eigen
            .eigenvalues
            .iter()
            .fold(f64::NEG_INFINITY, |m, v| m.max(*v));
        let size = eigen
            .eigenvalues
            .iter()
            .fold(0.0_f64, |m, v| m.max(v.abs()));
        let leading = eigen
            .eigenvalues
            .iter()
            .map(|value| largest - value <= 1e-12 * size)
            .collect();
        Self {
            sign,
            eigen,
            half_slopes,
            largest,
            leading,
        }
    }

    /// Multiplier and coded settings of the extreme at this radius.
    fn extreme_at(&self, radius: f64) -> (f64, Vec<f64>) {
        let slope = self.half_slopes.norm();
        if self.half_slopes.is_empty() {
            return (f64::INFINITY, Vec::new());
        }
        let leading_slope = self
            .half_slopes
            .iter()
            .zip(&self.leading)
            .filter(|(_, leads)| **leads)
            .map(|(g, _)| g * g)
            .sum::<f64>()
            .sqrt();
        let has_leading_slope = leading_slope > NO_SLOPE * slope;
        if !has_leading_slope && self.radius_at(0.0) < radius {
            return self.along_leading_axis(radius);
        }
        // |g_lead|/R ≤ μ − λ ≤ |g|/R, since R² is at least the leading part and at most all over (μ − λ)².
        let mut low = (leading_slope / radius).max(f64::MIN_POSITIVE).ln();
        let mut high = (slope / radius).ln();
        if !has_leading_slope {
            low = high - 80.0;
        }
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high {
                break;
            }
            if self.radius_at(middle.exp()) > radius {
                low = middle;
            } else {
                high = middle;
            }
        }
        let distance = high.exp();
        let axial = self.axial_settings(distance);
        let settings = &self.eigen.eigenvectors * axial;
        let scale = radius / settings.norm();
        (
            self.sign * (self.largest + distance),
            settings.iter().map(|x| x * scale).collect(),
        )
    }

    /// Settings along the axes for μ this far above the largest eigenvalue; leading axes without slope stay at zero.
    fn axial_settings(&self, distance: f64) -> DVector<f64> {
        DVector::from_iterator(
            self.half_slopes.len(),
            self.half_slopes
                .iter()
                .zip(self.eigen.eigenvalues.iter())
                .zip(&self.leading)
                .map(|((g, value), leads)| {
                    let gap = self.largest - value + distance;
                    if *leads && distance <= 0.0 {
                        0.0
                    } else {
                        g / gap
                    }
                }),
        )
    }

    fn radius_at(&self, distance: f64) -> f64 {
        self.axial_settings(distance).norm()
    }

    /// μ stays at the largest eigenvalue, and what the other axes leave of the radius goes along the leading one.
    fn along_leading_axis(&self, radius: f64) -> (f64, Vec<f64>) {
        let mut axial = self.axial_settings(0.0);
        let rest = (radius * radius - axial.norm_squared()).max(0.0).sqrt();
        if let Some(index) = self.leading.iter().position(|leads| *leads) {
            axial[index] = rest;
        }
        let settings = &self.eigen.eigenvectors * axial;
        (self.sign * self.largest, settings.iter().copied().collect())
    }
}
