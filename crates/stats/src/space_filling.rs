//! How evenly points fill a region: distances, discrepancy, correlations (docs/methods.md, 3.10).
//!
//! Points are rows of equal length. Nothing here knows factors.

use crate::undefined::{Known, Undefined};

/// How the distance of two points is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DistanceNorm {
    /// Sum of absolute differences.
    Rectangular,
    /// Root of the sum of squared differences.
    Euclidean,
}

impl DistanceNorm {
    fn between(self, one: &[f64], other: &[f64]) -> f64 {
        let differences = one.iter().zip(other).map(|(a, b)| a - b);
        match self {
            Self::Rectangular => differences.map(f64::abs).sum(),
            Self::Euclidean => differences.map(|d| d * d).sum::<f64>().sqrt(),
        }
    }
}

/// Smallest distance of two points.
///
/// # Errors
/// [`Undefined::TooFewRuns`] for fewer than two points.
pub fn min_distance(points: &[Vec<f64>], norm: DistanceNorm) -> Known<f64> {
    pair_distances(points, norm)
        .reduce(f64::min)
        .ok_or(Undefined::TooFewRuns {
            needed: 1,
            present: points.len(),
        })
}

/// The criterion `φ_p = (Σ d⁻ᵖ)^(1/p)` over all pairs of points (Morris & Mitchell 1995, J. Statist. Plann. Inference
/// 43, 381–402); infinite if two points are equal. Formed relative to the smallest distance, so that it does not
/// overflow.
///
/// # Errors
/// [`Undefined::TooFewRuns`] for fewer than two points; [`Undefined::DoesNotApply`] unless p is positive and finite.
pub fn phi_p(points: &[Vec<f64>], p: f64, norm: DistanceNorm) -> Known<f64> {
    if !(p > 0.0 && p.is_finite()) {
        return Err(Undefined::DoesNotApply);
    }
    let least = min_distance(points, norm)?;
    if least <= 0.0 {
        return Ok(f64::INFINITY);
    }
    let sum: f64 = pair_distances(points, norm)
        .map(|distance| (least / distance).powf(p))
        .sum();
    Ok(sum.powf(1.0 / p) / least)
}

fn pair_distances(points: &[Vec<f64>], norm: DistanceNorm) -> impl Iterator<Item = f64> {
    points.iter().enumerate().flat_map(move |(place, one)| {
        points
            .iter()
            .skip(place + 1)
            .map(move |other| norm.between(one, other))
    })
}

/// Squared centered L2 discrepancy of points in the unit cube (Hickernell 1998, A generalized discrepancy and
/// quadrature error bound, Math. Comput. 67, 299–322, eq 5.2c): 0 for perfectly even, larger for less even.
///
/// # Errors
/// [`Undefined::TooFewRuns`] without points, [`Undefined::DoesNotApply`] for points outside the unit cube.
pub fn centred_discrepancy(points: &[Vec<f64>]) -> Known<f64> {
    if points.is_empty() {
        return Err(Undefined::TooFewRuns {
            needed: 0,
            present: 0,
        });
    }
    let is_inside = |x: &f64| (-1e-12..=1.0 + 1e-12).contains(x);
    if !points.iter().flatten().all(is_inside) {
        return Err(Undefined::DoesNotApply);
    }
    let n = points.len() as f64;
    let n_dimensions = points.first().map_or(0, Vec::len);
    let volume: f64 = (0..n_dimensions).map(|_| 13.0 / 12.0).product();
    let single: f64 = points
        .iter()
        .map(|point| {
            point
                .iter()
                .map(|x| {
                    let a = (x - 0.5).abs();
                    1.0 + 0.5 * a - 0.5 * a * a
                })
                .product::<f64>()
        })
        .sum();
    let mut pairs = 0.0;
    for one in points {
        for other in points {
            pairs += one
                .iter()
                .zip(other)
                .map(|(x, y)| {
                    1.0 + 0.5 * (x - 0.5).abs() + 0.5 * (y - 0.5).abs() - 0.5 * (x - y).abs()
                })
                .product::<f64>();
        }
    }
    Ok(volume - 2.0 / n * single + pairs / (n * n))
}

/// Pearson correlations of all columns; `None` where a column is constant. Rows of unequal length count to the
/// shortest.
pub fn correlations(points: &[Vec<f64>]) -> Vec<Vec<Option<f64>>> {
    let n_columns = points.iter().map(Vec::len).min().unwrap_or(0);
    let n = points.len() as f64;
    let centred: Vec<Vec<f64>> = (0..n_columns)
        .map(|column| {
            let values: Vec<f64> = points.iter().map(|point| point[column]).collect();
            let mean = values.iter().sum::<f64>() / n;
            values.iter().map(|x| x - mean).collect()
        })
        .collect();
    let largest = |column: usize| {
        points
            .iter()
            .map(|point| point[column].abs())
            .fold(0.0, f64::max)
    };
    let lengths: Vec<f64> = centred
        .iter()
        .map(|column| column.iter().map(|x| x * x).sum::<f64>().sqrt())
        .collect();
    // What is left of a constant column is the rounding of its mean.
    let is_constant = |column: usize| lengths[column] <= 1e-12 * n.sqrt() * largest(column);
    (0..n_columns)
        .map(|one| {
            (0..n_columns)
                .map(|other| {
                    if is_constant(one) || is_constant(other) {
                        return None;
                    }
                    let product: f64 = centred[one]
                        .iter()
                        .zip(&centred[other])
                        .map(|(a, b)| a * b)
                        .sum();
                    Some((product / (lengths[one] * lengths[other])).clamp(-1.0, 1.0))
                })
                .collect()
        })
        .collect()
}

/// Largest and root mean square correlation of two different columns, constant ones left out.
///
/// # Errors
/// [`Undefined::DoesNotVary`] if fewer than two columns vary.
pub fn column_correlation(points: &[Vec<f64>]) -> Known<ColumnCorrelation> {
    let matrix = correlations(points);
    let off_diagonal: Vec<f64> = matrix
        .iter()
        .enumerate()
        .flat_map(|(place, row)| row.iter().skip(place + 1))
        .filter_map(|correlation| *correlation)
        .collect();
    if off_diagonal.is_empty() {
        return Err(Undefined::DoesNotVary);
    }
    let squares: f64 = off_diagonal.iter().map(|r| r * r).sum();
    Ok(ColumnCorrelation {
        largest: off_diagonal.iter().fold(0.0, |most, r| most.max(r.abs())),
        root_mean_square: (squares / off_diagonal.len() as f64).sqrt(),
    })
}

/// How far columns are from being uncorrelated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColumnCorrelation {
    /// Largest absolute correlation.
    pub largest: f64,
    /// Root mean square correlation.
    pub root_mean_square: f64,
}
