//! The best that any plan of any size could do: the D-optimal spread of weight over a region (docs/methods.md, 4.2).
//!
//! Weights are multiplied by `d_i/p` again and again (Silvey, Titterington & Torsney 1978, Commun. Statist. A7,
//! 1379–1389); the equivalence theorem (Kiefer & Wolfowitz 1960, Can. J. Math. 12, 363–366) bounds what is left to
//! gain: `ln|M*| − ln|M| ≤ p ln(max d/p)`.

use nalgebra::DMatrix;

use crate::evaluation::orthonormal::OrthonormalRows;
use crate::evaluation::region::Region;
use crate::factor::CodedPoint;

/// The gap `max d/p − 1` at which the search ends (docs/methods.md, 4.2).
const GAP: f64 = 1e-3;

/// Weights below this are dropped on the way.
const NEGLIGIBLE_WEIGHT: f64 = 1e-6;

/// Rounds of multiplication before the search gives up with the bound it has (own choice).
const MAX_ROUNDS: usize = 20_000;

/// Rounds between looks at negligible weights.
const ROUNDS_BETWEEN_DROPS: usize = 50;

/// Times that the best place of the region is added to the candidates.
const MAX_ADDITIONS: usize = 30;

/// Sobol points among the candidates where limits are in force, and where not.
const N_CANDIDATES_LIMITED: usize = 2000;
const N_CANDIDATES_FREE: usize = 200;

/// The optimum over a region, per unit weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ContinuousOptimum {
    /// `ln|M|` of the best weights that were found.
    pub(crate) ln_determinant: f64,
    /// No plan of any size passes this.
    pub(crate) ln_determinant_bound: f64,
}

/// Searches the optimum; `None` if no weights make the model estimable.
pub(crate) fn continuous_optimum(
    rows: &OrthonormalRows,
    region: Region<'_>,
) -> Option<ContinuousOptimum> {
    let n_sample = if region.is_feasible.is_some() {
        N_CANDIDATES_LIMITED
    } else {
        N_CANDIDATES_FREE
    };
    let mut candidates = region.grid(true);
    if candidates.is_empty() {
        candidates = region.grid(false);
    }
    candidates.extend(region.sample(n_sample));
    let mut points = Weighted::evenly(rows, candidates);
    let p = rows.n_columns() as f64;
    for _ in 0..MAX_ADDITIONS {
        points.improve()?;
        let inverse = points.information().try_inverse()?;
        let value_at = |point: &CodedPoint| {
            let mut row = vec![0.0; rows.n_columns()];
            rows.fill(&point.0, None, &mut row);
            quadratic_form(&inverse, &row)
        };
        // Climb from the heaviest points and from the best candidates dropped on the way.
        let best = points
            .starts()
            .iter()
            .map(|start| region.climb(start, &value_at))
            .reduce(|best, next| if next.1 > best.1 { next } else { best })?;
        let gap = (best.1 / p).max(1.0);
        if gap <= 1.0 + GAP {
            let ln_determinant = points.information().cholesky()?.ln_determinant();
            return Some(ContinuousOptimum {
                ln_determinant,
                ln_determinant_bound: ln_determinant + p * gap.ln(),
            });
        }
        points.add(rows, best.0);
    }
    let inverse = points.information().try_inverse()?;
    let ln_determinant = points.information().cholesky()?.ln_determinant();
    let gap = (points.largest_variance(&inverse) / p).max(1.0);
    Some(ContinuousOptimum {
        ln_determinant,
        ln_determinant_bound: ln_determinant + p * gap.ln(),
    })
}

fn quadratic_form(inverse: &DMatrix<f64>, row: &[f64]) -> f64 {
    let mut sum = 0.0;
    for (column, x) in row.iter().enumerate() {
        let product: f64 = inverse
            .column(column)
            .iter()
            .zip(row)
            .map(|(m, y)| m * y)
            .sum();
        sum += x * product;
    }
    sum
}

/// Candidates with weights.
struct Weighted {
    points: Vec<CodedPoint>,
    rows: DMatrix<f64>,
    weights: Vec<f64>,
}

impl Weighted {
    fn evenly(rows: &OrthonormalRows, points: Vec<CodedPoint>) -> Self {
        let n = points.len();
        Self {
            rows: rows.matrix(&points, None),
            weights: vec![1.0 / n.max(1) as f64; n],
            points,
        }
    }

    fn information(&self) -> DMatrix<f64> {
        let mut scaled = self.rows.clone();
        for (mut row, weight) in scaled.row_iter_mut().zip(&self.weights) {
            row *= *weight;
        }
        self.rows.transpose() * scaled
    }

    fn variances(&self, inverse: &DMatrix<f64>) -> Vec<f64> {
        let product = &self.rows * inverse;
        (0..self.rows.nrows())
            .map(|row| product.row(row).dot(&self.rows.row(row)))
            .collect()
    }

    fn largest_variance(&self, inverse: &DMatrix<f64>) -> f64 {
        self.variances(inverse).into_iter().fold(0.0, f64::max)
    }

    /// Multiplies weights until the gap over the candidates is small enough.
    fn improve(&mut self) -> Option<()> {
        let p = self.rows.ncols() as f64;
        for round in 0..MAX_ROUNDS {
            let inverse = self.information().try_inverse()?;
            let variances = self.variances(&inverse);
            let largest = variances.iter().copied().fold(0.0, f64::max);
            if largest <= p * (1.0 + 0.5 * GAP) {
                return Some(());
            }
            for (weight, variance) in self.weights.iter_mut().zip(&variances) {
                *weight *= variance / p;
            }
            if round % ROUNDS_BETWEEN_DROPS == ROUNDS_BETWEEN_DROPS - 1 {
                self.drop_negligible(&variances, largest - p);
            }
        }
        Some(())
    }

    /// Drops points that cannot belong to any optimum (Harman & Pronzato 2007, Statist. Probab. Lett. 77, 90–94: those
    /// with `d < p (1 + ε/2 − √(ε(4 + ε − 4/p))/2)`, ε = max d − p) or whose weight has become negligible, and lets the
    /// others share the weight.
    fn drop_negligible(&mut self, variances: &[f64], excess: f64) {
        let p = self.rows.ncols() as f64;
        let root = (excess * (4.0 + excess - 4.0 / p)).max(0.0).sqrt();
        let limit = p * (1.0 + 0.5 * excess - 0.5 * root);
        let kept: Vec<usize> = (0..self.weights.len())
            .filter(|place| {
                // A light point with a large variance is on its way up.
                let is_heavy = self.weights[*place] >= NEGLIGIBLE_WEIGHT || variances[*place] > p;
                variances[*place] >= limit && is_heavy
            })
            .collect();
        if kept.len() == self.weights.len() || kept.len() < self.rows.ncols() {
            return;
        }
        self.points = kept
            .iter()
            .map(|place| self.points[*place].clone())
            .collect();
        self.weights = kept.iter().map(|place| self.weights[*place]).collect();
        self.rows = self.rows.select_rows(&kept);
        let sum: f64 = self.weights.iter().sum();
        for weight in &mut self.weights {
            *weight /= sum;
        }
    }

    /// The heaviest points, from which the region is searched for a better place.
    fn starts(&self) -> Vec<CodedPoint> {
        let mut order: Vec<usize> = (0..self.weights.len()).collect();
        order.sort_by(|one, other| self.weights[*other].total_cmp(&self.weights[*one]));
        order
            .into_iter()
            .take(20)
            .map(|place| self.points[place].clone())
            .collect()
    }

    /// Adds a place with a share of the weight.
    fn add(&mut self, rows: &OrthonormalRows, point: CodedPoint) {
        let share = 1.0 / (self.rows.ncols() + 1) as f64;
        for weight in &mut self.weights {
            *weight *= 1.0 - share;
        }
        self.weights.push(share);
        self.points.push(point);
        self.rows = rows.matrix(&self.points, None);
    }
}
