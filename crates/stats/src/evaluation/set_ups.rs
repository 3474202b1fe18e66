//! Plans whose runs share set-ups: the covariance `V = I + η Z Z'` of runs, scaled so that a single run has variance 1
//! (Jones & Nachtsheim 2009, Split-plot designs: what, why, and how, J. Qual. Technol. 41, 340–361; docs/methods.md,
//! 4.1 and 4.5).

use nalgebra::{DMatrix, DVector, Matrix2};

use crate::undefined::{Known, Undefined};

/// Below this share of its size an information counts as none (own choice).
const NO_INFORMATION: f64 = 1e-9;

/// Runs grouped into set-ups with a ratio η of set-up to run variance.
#[derive(Debug, Clone)]
pub(crate) struct SetUps {
    /// 0-based set-up of each run.
    of_run: Vec<usize>,
    /// Runs in each set-up.
    sizes: Vec<usize>,
    ratio: f64,
}

impl SetUps {
    /// Groups runs by their set-up number.
    pub(crate) fn new(of_run: &[usize], ratio: f64) -> Self {
        let mut numbers = of_run.to_vec();
        numbers.sort_unstable();
        numbers.dedup();
        let of_run: Vec<usize> = of_run
            .iter()
            .filter_map(|number| numbers.binary_search(number).ok())
            .collect();
        let mut sizes = vec![0; numbers.len()];
        for set_up in &of_run {
            sizes[*set_up] += 1;
        }
        Self {
            of_run,
            sizes,
            ratio,
        }
    }

    pub(crate) const fn n_set_ups(&self) -> usize {
        self.sizes.len()
    }

    pub(crate) const fn ratio(&self) -> f64 {
        self.ratio
    }

    /// True if every column entry is the same in all runs of a set-up.
    pub(crate) fn is_constant_within(&self, column: &[f64]) -> bool {
        let mut first: Vec<Option<f64>> = vec![None; self.sizes.len()];
        self.of_run.iter().zip(column).all(|(set_up, x)| {
            let known = first[*set_up].get_or_insert(*x);
            (*known - x).abs() < 1e-9
        })
    }

    /// Variance between runs in the stratum of set-ups, in units of the run variance: `η + 1/m`, m the mean size.
    pub(crate) fn stratum_variance(&self) -> f64 {
        self.ratio + self.sizes.len() as f64 / self.of_run.len() as f64
    }

    /// Multiplies rows by `V^(−1/2)`, V scaled to 1 for a single run: within a set-up of m runs
    /// `√(1 + η) (I − (1 − 1/√(1 + η m)) J/m)`.
    pub(crate) fn whiten(&self, matrix: &mut DMatrix<f64>) {
        let whole = (1.0 + self.ratio).sqrt();
        for mut column in matrix.column_iter_mut() {
            let mut sums = vec![0.0; self.sizes.len()];
            for (set_up, x) in self.of_run.iter().zip(column.iter()) {
                sums[*set_up] += x;
            }
            for (set_up, x) in self.of_run.iter().zip(column.iter_mut()) {
                let m = self.sizes[*set_up] as f64;
                let share = 1.0 - 1.0 / (1.0 + self.ratio * m).sqrt();
                *x = whole * (*x - share * sums[*set_up] / m);
            }
        }
    }

    /// `V⁻¹ A` with `V = I + η Z Z'` unscaled.
    fn solve(&self, matrix: &DMatrix<f64>) -> DMatrix<f64> {
        let mut solved = matrix.clone();
        for mut column in solved.column_iter_mut() {
            let sums = self.sums(column.iter());
            for (set_up, x) in self.of_run.iter().zip(column.iter_mut()) {
                let m = self.sizes[*set_up] as f64;
                *x -= self.ratio / (1.0 + self.ratio * m) * sums[*set_up];
            }
        }
        solved
    }

    fn sums<'a>(&self, column: impl Iterator<Item = &'a f64>) -> Vec<f64> {
        let mut sums = vec![0.0; self.sizes.len()];
        for (set_up, x) in self.of_run.iter().zip(column) {
            sums[*set_up] += x;
        }
        sums
    }

    /// `Z Z' A`: every entry becomes the sum over its set-up.
    fn summed(&self, matrix: &DMatrix<f64>) -> DMatrix<f64> {
        let mut summed = matrix.clone();
        for mut column in summed.column_iter_mut() {
            let sums = self.sums(column.iter());
            for (set_up, x) in self.of_run.iter().zip(column.iter_mut()) {
                *x = sums[*set_up];
            }
        }
        summed
    }

    /// What the degrees of freedom of contrasts need, for a model matrix of full rank.
    ///
    /// With `P = V⁻¹ − W Φ W'`, `W = V⁻¹X`, `Φ = (X'V⁻¹X)⁻¹` and `S = Z Z'`, the expected information of the two variances
    /// is half of tr(PSPS), tr(PSP) and tr(PP) (docs/methods.md, 5.8.4). S and V⁻¹ commute, so every trace is a sum over
    /// set-ups less terms of the size of Φ.
    pub(crate) fn information(&self, x: &DMatrix<f64>) -> Option<StratumInformation> {
        let w = self.solve(x);
        let covariance = (x.transpose() * &w).try_inverse()?;
        let (summed, solved) = (self.summed(&w), self.solve(&w));
        let by_run = w.transpose() * &w;
        let by_set_up = w.transpose() * &summed;
        // tr A for A one of V⁻¹SV⁻¹S, V⁻¹SV⁻¹, V⁻²: the direction of ones of a set-up of m runs has 1/(1 + η m) in V⁻¹ and
        // m in S, all others 1 and 0.
        let over_set_ups = |of_size: &dyn Fn(f64) -> f64| -> f64 {
            self.sizes.iter().map(|size| of_size(*size as f64)).sum()
        };
        let ones = |m: f64| 1.0 / (1.0 + self.ratio * m);
        let trace = |a: &DMatrix<f64>, b: &DMatrix<f64>| (a * b).trace();
        let crossed = |one: &DMatrix<f64>, other: &DMatrix<f64>| {
            trace(&(&covariance * one), &(&covariance * other))
        };
        let between = over_set_ups(&|m| (m * ones(m)).powi(2))
            - 2.0 * trace(&covariance, &(summed.transpose() * self.summed(&solved)))
            + crossed(&by_set_up, &by_set_up);
        let cross = over_set_ups(&|m| m * ones(m) * ones(m))
            - 2.0 * trace(&covariance, &(summed.transpose() * &solved))
            + crossed(&by_set_up, &by_run);
        let within = over_set_ups(&|m| m - 1.0 + ones(m) * ones(m))
            - 2.0 * trace(&covariance, &(w.transpose() * &solved))
            + crossed(&by_run, &by_run);
        Some(StratumInformation {
            information: 0.5 * Matrix2::new(between, cross, cross, within),
            by_set_up: &covariance * by_set_up * &covariance,
            by_run: &covariance * by_run * &covariance,
            covariance,
        })
    }
}

/// Covariance of the coefficients and how it depends on the two variances, at the assumed ratio, run variance 1.
#[derive(Debug, Clone)]
pub(crate) struct StratumInformation {
    information: Matrix2<f64>,
    /// Derivative of the covariance with respect to the set-up variance and to the run variance.
    by_set_up: DMatrix<f64>,
    by_run: DMatrix<f64>,
    covariance: DMatrix<f64>,
}

impl StratumInformation {
    /// Degrees of freedom of a contrast of the coefficients after Satterthwaite (1946, Biometrics Bull. 2, 110–114), with
    /// the expected information of the variances: no data are needed.
    pub(crate) fn df(&self, contrast: &DVector<f64>) -> Known<f64> {
        let quadratic = |matrix: &DMatrix<f64>| (contrast.transpose() * matrix * contrast)[(0, 0)];
        let variance = quadratic(&self.covariance);
        let (by_set_up, by_run) = (quadratic(&self.by_set_up), quadratic(&self.by_run));
        let (between, within) = (self.information[(0, 0)], self.information[(1, 1)]);
        if within <= 0.0 || variance <= 0.0 {
            return Err(Undefined::NoErrorDf);
        }
        let determinant = self.information.determinant();
        let spread = if determinant > NO_INFORMATION * between.max(within) * within {
            let inverse = Matrix2::new(
                within,
                -self.information[(0, 1)],
                -self.information[(1, 0)],
                between,
            ) / determinant;
            let g = nalgebra::Vector2::new(by_set_up, by_run);
            (g.transpose() * inverse * g)[(0, 0)]
        } else if by_set_up.abs() > NO_INFORMATION * variance {
            // The contrast needs the scatter between set-ups, and nothing tells it.
            return Err(Undefined::NoErrorDf);
        } else {
            by_run * by_run / within
        };
        if spread <= 0.0 {
            return Err(Undefined::NoErrorDf);
        }
        Ok(2.0 * variance * variance / spread)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn information_of_unequal_set_ups_equals_that_of_full_matrices() {
        // Definition (Searle, Casella & McCulloch 1992, Variance Components, eq 6.61): half of tr(P V_i P V_j) with all
        // matrices written out; set-ups of one, two and four runs.
        let of_run = [3, 3, 5, 8, 8, 8, 8, 9, 9];
        let x = DMatrix::from_fn(9, 3, |run, column| match column {
            0 => 1.0,
            1 => f64::from(u8::from(of_run[run] > 5)),
            _ => (run as f64 * 1.7).sin(),
        });
        let ratio = 0.8;
        let own = SetUps::new(&of_run, ratio).information(&x).unwrap();
        let shared = DMatrix::from_fn(9, 9, |one, other| {
            f64::from(u8::from(of_run[one] == of_run[other]))
        });
        let inverse = (DMatrix::identity(9, 9) + ratio * &shared)
            .try_inverse()
            .unwrap();
        let covariance = (x.transpose() * &inverse * &x).try_inverse().unwrap();
        let projection = &inverse - &inverse * &x * &covariance * x.transpose() * &inverse;
        let product = &projection * &shared;
        let wanted = [
            0.5 * (&product * &product).trace(),
            0.5 * (&product * &projection).trace(),
            0.5 * (&projection * &projection).trace(),
        ];
        let found = [
            own.information[(0, 0)],
            own.information[(0, 1)],
            own.information[(1, 1)],
        ];
        for (found, wanted) in found.iter().zip(wanted) {
            assert!(
                (found - wanted).abs() < 1e-10 * wanted.abs(),
                "{found} {wanted}"
            );
        }
        assert!((own.covariance - covariance).norm() < 1e-10);
    }
}
