//! The best that any plan of any size could do: the D-optimal spread of weight over a region (docs/methods.md, 4.2).
//!
//! Weight is moved between pairs of candidates, each time by the amount that is best for the determinant (Böhning 1986,
//! A vertex-exchange method in D-optimal design theory, Metrika 33, 337–347), from the candidates with weight to those
//! with the largest variance, all pairs in turn as in Harman, Filová & Richtárik (2020), A randomized exchange algorithm
//! for computing optimal approximate designs of experiments, J. Am. Statist. Assoc. 115, 348–361, but in a fixed order.
//! The equivalence theorem (Kiefer & Wolfowitz 1960, Can. J. Math. 12, 363–366) bounds what is left to gain:
//! `ln|M*| − ln|M| ≤ p ln(max d/p)`.

use nalgebra::DMatrix;

use crate::evaluation::orthonormal::OrthonormalRows;
use crate::evaluation::region::Region;
use crate::evaluation::symmetric_optimum::symmetric_optimum;
use crate::factor::CodedPoint;
use crate::qr::dot;

/// The gap `max d/p − 1` at which the search ends (docs/methods.md, 4.2).
pub(crate) const GAP: f64 = 1e-3;

/// Rounds of exchanges before the search gives up with the bound it has (own choice; ten to fifty are usual).
const MAX_ROUNDS: usize = 300;

/// Times that the best place of the region is added to the candidates.
const MAX_ADDITIONS: usize = 30;

/// Sobol points among the candidates where limits are in force, and where not.
const N_CANDIDATES_LIMITED: usize = 2000;
const N_CANDIDATES_FREE: usize = 200;

/// Grid points that are drawn where the whole grid is too large, beside its corners.
const N_GRID_SAMPLE: usize = 1500;

/// Numbers moved in all exchanges together, about: a few seconds (own choice). The bound that is reached by then is what
/// is reported; it errs on the safe side.
const MAX_WORK: usize = 2_000_000_000;

/// Places from which the region is searched for a larger variance.
const N_CLIMBS: usize = 20;

/// Weights below this are nothing.
const NO_WEIGHT: f64 = 1e-12;

/// The optimum over a region, per unit weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ContinuousOptimum {
    /// `ln|M|` of the best weights that were found.
    pub(crate) ln_determinant: f64,
    /// No plan of any size passes this.
    pub(crate) ln_determinant_bound: f64,
}

/// Searches the optimum; `None` if no weights make the model estimable.
///
/// A whole cube is a case of its own: [`symmetric_optimum`].
pub(crate) fn continuous_optimum(
    rows: &OrthonormalRows,
    region: Region<'_>,
) -> Option<ContinuousOptimum> {
    if region.is_feasible.is_none()
        && let Some(optimum) = symmetric_optimum(rows.recipes(), region.space)
    {
        return Some(optimum);
    }
    general_optimum(rows, region)
}

/// The optimum over any region, by exchanges among candidates.
fn general_optimum(rows: &OrthonormalRows, region: Region<'_>) -> Option<ContinuousOptimum> {
    let p = rows.n_columns() as f64;
    let mut weighted = Weighted::new(rows, candidates(region))?;
    let mut optimum: Option<ContinuousOptimum> = None;
    for _ in 0..MAX_ADDITIONS {
        weighted.improve()?;
        let ln_determinant = weighted.information().cholesky()?.ln_determinant();
        let value_at = |point: &CodedPoint| {
            let mut row = vec![0.0; rows.n_columns()];
            rows.fill(&point.0, None, &mut row);
            quadratic_form(&weighted.inverse, &row)
        };
        // Climb to the places where weight is missing most.
        let best = weighted
            .largest_variances(N_CLIMBS)
            .iter()
            .map(|place| region.climb(&weighted.points[*place], &value_at))
            .reduce(|best, next| if next.1 > best.1 { next } else { best })?;
        let gap = (best.1 / p).max(1.0);
        let bound = ln_determinant + p * gap.ln();
        let known = optimum.get_or_insert(ContinuousOptimum {
            ln_determinant,
            ln_determinant_bound: bound,
        });
        known.ln_determinant = known.ln_determinant.max(ln_determinant);
        known.ln_determinant_bound = known.ln_determinant_bound.min(bound);
        if gap <= 1.0 + GAP || weighted.work > MAX_WORK {
            break;
        }
        weighted.add(rows, best.0);
    }
    optimum
}

/// Ends, middles and corners, where optima of polynomials have their weight, and evenly spread points.
fn candidates(region: Region<'_>) -> Vec<CodedPoint> {
    let mut candidates = region.grid(true);
    if candidates.is_empty() {
        candidates = region.grid(false);
        candidates.extend(region.sample_of_grid(N_GRID_SAMPLE));
    }
    candidates.extend(region.sample(if region.is_feasible.is_some() {
        N_CANDIDATES_LIMITED
    } else {
        N_CANDIDATES_FREE
    }));
    candidates
}

fn quadratic_form(matrix: &DMatrix<f64>, row: &[f64]) -> f64 {
    let columns = matrix.as_slice().chunks_exact(row.len().max(1));
    columns
        .zip(row)
        .map(|(column, x)| x * dot(column, row))
        .sum()
}

/// Candidates with weights that add up to 1.
struct Weighted {
    points: Vec<CodedPoint>,
    /// Model row of each candidate.
    rows: Vec<Vec<f64>>,
    weights: Vec<f64>,
    /// `M⁻¹`.
    inverse: DMatrix<f64>,
    /// `f'M⁻¹f` of each candidate, as of the last refresh.
    variances: Vec<f64>,
    /// Numbers moved so far.
    work: usize,
}

impl Weighted {
    /// Equal weight on as many candidates as there are columns, chosen one by one as far as possible from the span of
    /// the others; `None` if the candidates do not span.
    fn new(rows: &OrthonormalRows, points: Vec<CodedPoint>) -> Option<Self> {
        let model_rows: Vec<Vec<f64>> = points
            .iter()
            .map(|point| {
                let mut row = vec![0.0; rows.n_columns()];
                rows.fill(&point.0, None, &mut row);
                row
            })
            .collect();
        let mut weights = vec![0.0; points.len()];
        for place in spanning_rows(&model_rows, rows.n_columns())? {
            weights[place] = 1.0 / rows.n_columns() as f64;
        }
        let mut weighted = Self {
            variances: vec![0.0; points.len()],
            points,
            rows: model_rows,
            weights,
            inverse: DMatrix::zeros(0, 0),
            work: 0,
        };
        weighted.refresh()?;
        Some(weighted)
    }

    fn information(&self) -> DMatrix<f64> {
        let p = self.rows.first().map_or(0, Vec::len);
        let mut information = DMatrix::zeros(p, p);
        for (row, weight) in self.rows.iter().zip(&self.weights) {
            if *weight > 0.0 {
                for (column, x) in row.iter().enumerate() {
                    let scaled = weight * x;
                    for (target, y) in information.column_mut(column).iter_mut().zip(row) {
                        *target += scaled * y;
                    }
                }
            }
        }
        information
    }

    /// Forms the inverse and all variances anew.
    fn refresh(&mut self) -> Option<()> {
        self.inverse = self.information().cholesky()?.inverse();
        for (variance, row) in self.variances.iter_mut().zip(&self.rows) {
            *variance = quadratic_form(&self.inverse, row);
        }
        Some(())
    }

    /// Places of the largest variances, descending; the earlier of equals first.
    fn largest_variances(&self, n: usize) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.variances.len()).collect();
        order.sort_by(|one, other| self.variances[*other].total_cmp(&self.variances[*one]));
        order.truncate(n);
        order
    }

    /// Moves weight until the gap over the candidates is small enough.
    fn improve(&mut self) -> Option<()> {
        let n_columns = self.inverse.ncols();
        for _ in 0..MAX_ROUNDS {
            self.refresh()?;
            let wanting = self.largest_variances(n_columns);
            let largest = wanting.first().map_or(0.0, |place| self.variances[*place]);
            if largest <= n_columns as f64 * (1.0 + 0.5 * GAP) || self.work > MAX_WORK {
                break;
            }
            let mut support: Vec<usize> = (0..self.weights.len())
                .filter(|place| self.weights[*place] > 0.0)
                .collect();
            support.sort_by(|one, other| self.variances[*one].total_cmp(&self.variances[*other]));
            let n_pairs = wanting.len() * support.len();
            self.work += (4 * n_pairs + self.rows.len()) * n_columns * n_columns;
            for to in &wanting {
                for from in &support {
                    self.exchange(*from, *to);
                }
            }
            // What is below rounding stays out from now on.
            let sum: f64 = self.weights.iter().filter(|w| **w > NO_WEIGHT).sum();
            for weight in &mut self.weights {
                *weight = if *weight > NO_WEIGHT {
                    *weight / sum
                } else {
                    0.0
                };
            }
        }
        self.refresh()
    }

    /// Moves weight α from one candidate to another (or back, if negative) to maximize
    /// `|M + α(f_u f_u' − f_v f_v')|/|M| = (1 + α d_u)(1 − α d_v) + α² d_uv²`.
    fn exchange(&mut self, from: usize, to: usize) {
        let (weight_from, weight_to) = (self.weights[from], self.weights[to]);
        if from == to || weight_from + weight_to <= 0.0 {
            return;
        }
        let (row_from, row_to) = (&self.rows[from], &self.rows[to]);
        let image_to = product(&self.inverse, row_to);
        let d_to = dot(&image_to, row_to);
        let cross = dot(&image_to, row_from);
        let d_from = quadratic_form(&self.inverse, row_from);
        let curvature = 2.0 * (d_to * d_from - cross * cross);
        let slope = d_to - d_from;
        let step = if curvature > 1e-14 * d_to * d_from {
            (slope / curvature).clamp(-weight_to, weight_from)
        } else if slope > 0.0 {
            weight_from
        } else {
            -weight_to
        };
        let gain = (1.0 + step * d_to) * (1.0 - step * d_from) + step * step * cross * cross;
        if step.abs() <= NO_WEIGHT || gain <= 1.0 {
            return;
        }
        rank_one(&mut self.inverse, &image_to, -step / (1.0 + step * d_to));
        let image_from = product(&self.inverse, row_from);
        let d_after = dot(&image_from, row_from);
        rank_one(
            &mut self.inverse,
            &image_from,
            step / (1.0 - step * d_after),
        );
        self.weights[to] += step;
        self.weights[from] -= step;
    }

    /// Adds a place without weight: the next exchanges give it some.
    fn add(&mut self, rows: &OrthonormalRows, point: CodedPoint) {
        let mut row = vec![0.0; rows.n_columns()];
        rows.fill(&point.0, None, &mut row);
        self.variances.push(quadratic_form(&self.inverse, &row));
        self.rows.push(row);
        self.weights.push(0.0);
        self.points.push(point);
    }
}

fn product(matrix: &DMatrix<f64>, row: &[f64]) -> Vec<f64> {
    // The matrix is symmetric: its columns are its rows.
    matrix
        .as_slice()
        .chunks_exact(row.len().max(1))
        .map(|column| dot(column, row))
        .collect()
}

/// `matrix += factor · v v'`.
fn rank_one(matrix: &mut DMatrix<f64>, v: &[f64], factor: f64) {
    let columns = matrix.as_mut_slice().chunks_exact_mut(v.len().max(1));
    for (column, x) in columns.zip(v) {
        let scaled = factor * x;
        for (target, y) in column.iter_mut().zip(v) {
            *target += scaled * y;
        }
    }
}

/// Places of rows that span, each the farthest from the span of those before; `None` if there are not enough.
fn spanning_rows(rows: &[Vec<f64>], n_columns: usize) -> Option<Vec<usize>> {
    let mut remainders: Vec<Vec<f64>> = rows.to_vec();
    let mut chosen = Vec::with_capacity(n_columns);
    let mut first_length = 0.0;
    for _ in 0..n_columns {
        let lengths = remainders.iter().map(|row| dot(row, row));
        let (place, square) = lengths
            .enumerate()
            .reduce(|best, next| if next.1 > best.1 { next } else { best })?;
        if chosen.is_empty() {
            first_length = square;
        }
        if square <= 1e-18 * first_length || square <= 0.0 {
            return None;
        }
        chosen.push(place);
        let length = square.sqrt();
        let direction: Vec<f64> = remainders[place].iter().map(|x| x / length).collect();
        for row in &mut remainders {
            let along = dot(row, &direction);
            for (target, x) in row.iter_mut().zip(&direction) {
                *target -= along * x;
            }
        }
    }
    Some(chosen)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::factor::{Factor, FactorSpace};
    use crate::term::{Intercept, TermList};

    #[test]
    fn both_ways_to_the_optimum_of_a_cube_agree() {
        // Uniqueness of the optimal information matrix: the exchange among candidates and the symmetric search must
        // meet within their gaps; categories, third powers and left-out terms included.
        let space = FactorSpace::new(vec![
            Factor::continuous("A", -1.0, 1.0).unwrap(),
            Factor::continuous("B", -1.0, 1.0).unwrap(),
            Factor::categorical("C", ["u", "v", "w"].map(str::to_owned).to_vec()).unwrap(),
        ])
        .unwrap();
        for terms in [
            "A,B,C",
            "A,B,C,A*B,A*C,A^2,B^2",
            "A,A^2,A^3,B",
            "A,B^2,A*B,B*C",
        ] {
            let terms = TermList::parse(terms, &space, Intercept::Included).unwrap();
            let rows = OrthonormalRows::new(&space, &terms, None).unwrap();
            let region = Region {
                space: &space,
                is_feasible: None,
            };
            let one = symmetric_optimum(rows.recipes(), &space).unwrap();
            let other = general_optimum(&rows, region).unwrap();
            let p = rows.n_columns() as f64;
            for optimum in [one, other] {
                assert!(optimum.ln_determinant <= optimum.ln_determinant_bound);
                let gap = optimum.ln_determinant_bound - optimum.ln_determinant;
                assert!(gap <= p * 1.001 * GAP, "{terms:?}: {gap}");
            }
            assert!(one.ln_determinant <= other.ln_determinant_bound + 1e-12);
            assert!(other.ln_determinant <= one.ln_determinant_bound + 1e-12);
        }
    }
}
