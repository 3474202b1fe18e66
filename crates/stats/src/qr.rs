//! Householder QR that keeps columns in their order and says what each dependent column depends on.
//!
//! A column joins the factor if what is left of it after the earlier columns is more than [`RANK_TOLERANCE`] of its
//! spread; otherwise it is dropped with its coefficients on the kept ones. There is no pivoting, because that would
//! change which of two aliased terms survives. Columns are scaled by powers of two, which costs no rounding.
//! Source: Golub & Van Loan, Matrix Computations (4th ed. 2013), section 5.2; the order-keeping rank rule is ours.

use nalgebra::DMatrix;

/// A column is dependent if less than this share of its spread about the mean is left after the earlier columns.
/// Chosen by trial: coded polynomials of degree 10 leave 1e-4, settings that differ by rounding leave 1e-15.
pub const RANK_TOLERANCE: f64 = 1e-9;

/// A column whose spread itself is rounding of its settings: nothing below this share of its length is counted. Chosen
/// by trial: a setting written in two ways differs by 1e-15 of its distance from zero, up to 1e-12 in coded units.
const ROUNDING_TOLERANCE: f64 = 1e-11;

/// A column that depends on kept columns before it.
#[derive(Debug, Clone, PartialEq)]
pub struct DependentColumn {
    /// 0-based index of the column.
    pub column: usize,
    /// Coefficients on the kept columns, in their order: `column = Σ coefficient × kept`. Zero for kept ones after it.
    pub on_kept: Vec<f64>,
}

/// Factor `X = Q R` of the kept columns of a matrix with `n_rows` rows.
#[derive(Debug, Clone)]
pub struct OrderedQr {
    n_rows: usize,
    kept: Vec<usize>,
    dependent: Vec<DependentColumn>,
    /// Householder vectors, one column of `n_rows` numbers for each kept column; entries above the diagonal are unused.
    reflectors: Vec<f64>,
    betas: Vec<f64>,
    /// Upper triangle, column-major, leading dimension `rank`, of the scaled columns.
    triangle: Vec<f64>,
    /// Power of two that each kept column was multiplied by.
    scales: Vec<f64>,
}

/// What a column's remainder is compared with.
#[derive(Debug, Clone, Copy)]
pub enum SpreadAbout<'a> {
    /// The length of the column: models without an intercept.
    Zero,
    /// The length of the column after its mean is taken out; the slice is the intercept's column, whose own length
    /// counts in full.
    Mean(&'a [f64]),
}

impl OrderedQr {
    /// Factors a matrix given column by column (`columns[c * n_rows + r]`).
    pub fn new(columns: &[f64], n_rows: usize, spread: SpreadAbout<'_>) -> Self {
        let n_columns = columns.len().checked_div(n_rows).unwrap_or(0);
        let mut qr = Self {
            n_rows,
            kept: Vec::with_capacity(n_columns.min(n_rows)),
            dependent: Vec::new(),
            reflectors: Vec::with_capacity(n_rows * n_columns.min(n_rows)),
            betas: Vec::with_capacity(n_columns.min(n_rows)),
            triangle: Vec::new(),
            scales: Vec::with_capacity(n_columns.min(n_rows)),
        };
        let mut above: Vec<Vec<f64>> = Vec::with_capacity(n_columns.min(n_rows));
        let mut dependent = Vec::new();
        let mut work = vec![0.0; n_rows];
        for (index, column) in columns.chunks_exact(n_rows.max(1)).enumerate() {
            let scale = power_of_two_scale(column);
            for (target, value) in work.iter_mut().zip(column) {
                *target = value * scale;
            }
            let reference = reference_length(&work, spread);
            let length = norm(&work);
            qr.apply_q_transpose(&mut work);
            let rank = qr.kept.len();
            let remainder = norm(&work[rank..]);
            let threshold = (RANK_TOLERANCE * reference).max(ROUNDING_TOLERANCE * length);
            if remainder > threshold {
                let diagonal = qr.push_reflector(&work, remainder);
                let mut head = work[..rank].to_vec();
                head.push(diagonal);
                above.push(head);
                qr.kept.push(index);
                qr.scales.push(scale);
            } else {
                dependent.push((index, work[..rank].to_vec(), scale));
            }
        }
        qr.store_triangle(&above);
        qr.dependent = dependent
            .into_iter()
            .map(|(column, head, scale)| qr.dependence(column, head, scale))
            .collect();
        qr
    }

    /// Adds the reflector that turns `work[rank..]` into its length; returns the diagonal of R.
    fn push_reflector(&mut self, work: &[f64], remainder: f64) -> f64 {
        let rank = self.kept.len();
        let start = self.reflectors.len();
        self.reflectors.resize(start + self.n_rows, 0.0);
        let vector = &mut self.reflectors[start..];
        vector[rank..].copy_from_slice(&work[rank..]);
        // The sign that adds instead of cancelling (Golub & Van Loan, algorithm 5.1.1).
        let diagonal = if work[rank] > 0.0 {
            -remainder
        } else {
            remainder
        };
        vector[rank] -= diagonal;
        let square = dot(&vector[rank..], &vector[rank..]);
        self.betas.push(2.0 / square);
        diagonal
    }

    fn store_triangle(&mut self, above: &[Vec<f64>]) {
        let rank = above.len();
        self.triangle = vec![0.0; rank * rank];
        for (target, head) in self.triangle.chunks_exact_mut(rank.max(1)).zip(above) {
            target[..head.len()].copy_from_slice(head);
        }
    }

    fn dependence(&self, column: usize, mut head: Vec<f64>, scale: f64) -> DependentColumn {
        let n_before = head.len();
        head.resize(self.rank(), 0.0);
        self.back_substitute(&mut head, n_before);
        for (coefficient, kept_scale) in head.iter_mut().zip(&self.scales) {
            *coefficient *= kept_scale / scale;
        }
        DependentColumn {
            column,
            on_kept: head,
        }
    }

    /// Number of kept columns.
    pub const fn rank(&self) -> usize {
        self.kept.len()
    }

    /// Number of rows.
    pub const fn n_rows(&self) -> usize {
        self.n_rows
    }

    /// 0-based indices of the kept columns, ascending.
    pub fn kept(&self) -> &[usize] {
        &self.kept
    }

    /// The columns that were dropped, ascending.
    pub fn dependent(&self) -> &[DependentColumn] {
        &self.dependent
    }

    /// Turns a vector of `n_rows` numbers into `Q'v`; shorter ones are left as they are.
    pub fn apply_q_transpose(&self, vector: &mut [f64]) {
        for index in 0..self.betas.len() {
            self.reflect(index, vector);
        }
    }

    /// Turns a vector of `n_rows` numbers into `Q v`; shorter ones are left as they are.
    pub fn apply_q(&self, vector: &mut [f64]) {
        for index in (0..self.betas.len()).rev() {
            self.reflect(index, vector);
        }
    }

    fn reflect(&self, index: usize, vector: &mut [f64]) {
        if vector.len() != self.n_rows {
            return;
        }
        let reflector = &self.reflectors[index * self.n_rows + index..(index + 1) * self.n_rows];
        let tail = &mut vector[index..];
        let factor = self.betas[index] * dot(reflector, tail);
        for (target, value) in tail.iter_mut().zip(reflector) {
            *target -= factor * value;
        }
    }

    /// The orthonormal columns: `n_rows` × `rank`.
    pub fn thin_q(&self) -> DMatrix<f64> {
        let mut q = DMatrix::zeros(self.n_rows, self.rank());
        for (index, column) in q
            .as_mut_slice()
            .chunks_exact_mut(self.n_rows.max(1))
            .enumerate()
        {
            column[index] = 1.0;
            // Later reflectors do not touch a unit vector in front of them.
            for reflector in (0..=index).rev() {
                self.reflect(reflector, column);
            }
        }
        q
    }

    /// Coefficients of the kept columns whose `Q'` image is given in its first `rank` numbers: `R⁻¹ effects`.
    pub fn coefficients(&self, effects: &[f64]) -> Vec<f64> {
        let mut solution = vec![0.0; self.rank()];
        for (target, value) in solution.iter_mut().zip(effects) {
            *target = *value;
        }
        self.back_substitute(&mut solution, self.rank());
        for (coefficient, scale) in solution.iter_mut().zip(&self.scales) {
            *coefficient *= scale;
        }
        solution
    }

    /// The largest of some coefficients of the kept columns, in the scale of the columns that were factored.
    pub(crate) fn scaled_size(&self, coefficients: &[f64]) -> f64 {
        coefficients
            .iter()
            .zip(&self.scales)
            .map(|(coefficient, scale)| (coefficient / scale).abs())
            .fold(0.0, f64::max)
    }

    /// Solves `R'z = g` for the kept columns in their own units.
    pub(crate) fn forward_substitute(&self, right_side: &[f64]) -> Vec<f64> {
        let rank = self.rank();
        let mut z = vec![0.0; rank];
        for row in 0..rank {
            let column = &self.triangle[row * rank..row * rank + row];
            let known = dot(column, &z[..row]);
            z[row] = (right_side[row] * self.scales[row] - known) / self.triangle[row * rank + row];
        }
        z
    }

    /// Solves the leading `size` rows of `R x = head` in place, in scaled columns.
    fn back_substitute(&self, head: &mut [f64], size: usize) {
        let rank = self.rank();
        for row in (0..size).rev() {
            let column = &self.triangle[row * rank..row * rank + row];
            let solved = head[row] / self.triangle[row * rank + row];
            head[row] = solved;
            for (target, value) in head[..row].iter_mut().zip(column) {
                *target -= solved * value;
            }
        }
    }

    /// `R⁻¹` of the kept columns in their own units, `rank` × `rank`, upper triangular. `(X'X)⁻¹ = R⁻¹ R⁻ᵀ`.
    pub fn r_inverse(&self) -> DMatrix<f64> {
        let rank = self.rank();
        let mut inverse = DMatrix::zeros(rank, rank);
        for (index, column) in inverse
            .as_mut_slice()
            .chunks_exact_mut(rank.max(1))
            .enumerate()
        {
            column[index] = 1.0;
            self.back_substitute(column, index + 1);
            for (value, scale) in column.iter_mut().zip(&self.scales) {
                *value *= scale;
            }
        }
        inverse
    }

    /// `R` of the kept columns in their own units, `rank` × `rank`, upper triangular.
    pub fn r(&self) -> DMatrix<f64> {
        let rank = self.rank();
        DMatrix::from_fn(rank, rank, |row, column| {
            self.triangle[column * rank + row] / self.scales[column]
        })
    }

    /// 2-norm condition number of the kept columns scaled to unit length; infinite when there are none.
    pub fn condition_number(&self) -> f64 {
        let rank = self.rank();
        let mut unit = DMatrix::from_vec(rank, rank, self.triangle.clone());
        for mut column in unit.column_iter_mut() {
            let length = column.norm();
            column /= length;
        }
        let singular = unit.singular_values();
        if singular.is_empty() {
            return f64::INFINITY;
        }
        singular.max() / singular.min()
    }

    /// `ln det X'X` of the kept columns in their own units.
    pub fn ln_determinant(&self) -> f64 {
        let rank = self.rank();
        2.0 * (0..rank)
            .map(|index| (self.triangle[index * rank + index].abs() / self.scales[index]).ln())
            .sum::<f64>()
    }

    /// The smallest share of its length that a kept column has left after the earlier ones: a cheap sign of trouble.
    pub(crate) fn smallest_remainder(&self) -> f64 {
        let rank = self.rank();
        self.triangle
            .chunks_exact(rank.max(1))
            .enumerate()
            .map(|(index, column)| column[index].abs() / norm(&column[..=index]))
            .fold(1.0, f64::min)
    }
}

/// Inner product in eight running sums, so that the processor can work on several numbers at once; the order of
/// addition is fixed, so the result is the same everywhere.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let n = a.len().min(b.len());
    let (a, b) = (&a[..n], &b[..n]);
    let mut sums = [0.0; 8];
    let (a_chunks, a_rest) = a.as_chunks::<8>();
    let (b_chunks, b_rest) = b.as_chunks::<8>();
    for (x, y) in a_chunks.iter().zip(b_chunks) {
        for lane in 0..8 {
            sums[lane] += x[lane] * y[lane];
        }
    }
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(x, y)| x * y).sum();
    ((sums[0] + sums[4]) + (sums[1] + sums[5])) + ((sums[2] + sums[6]) + (sums[3] + sums[7])) + rest
}

/// Euclidean length.
pub(crate) fn norm(a: &[f64]) -> f64 {
    dot(a, a).sqrt()
}

/// The power of two that brings the column's length near 1; 1 for a column of zeros.
fn power_of_two_scale(column: &[f64]) -> f64 {
    let largest = column.iter().fold(0.0_f64, |size, v| size.max(v.abs()));
    if largest < f64::MIN_POSITIVE {
        return 1.0;
    }
    // Clearing the mantissa leaves the power of two at or below the largest entry.
    let power = f64::from_bits(largest.to_bits() & 0x7ff0_0000_0000_0000);
    1.0 / power
}

fn reference_length(scaled: &[f64], spread: SpreadAbout<'_>) -> f64 {
    match spread {
        SpreadAbout::Zero => norm(scaled),
        SpreadAbout::Mean(intercept) => {
            let mean = dot(scaled, intercept) / dot(intercept, intercept);
            let square: f64 = scaled
                .iter()
                .zip(intercept)
                .map(|(value, one)| (value - mean * one).powi(2))
                .sum();
            square.sqrt()
        }
    }
}
