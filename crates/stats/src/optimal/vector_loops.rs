//! Loops over rows of matrices, compiled once for each width of vector that processors have; the widest at hand is taken at
//! run time. Sums and products are never fused or reordered, so that the bits do not depend on what is taken (tested).

use pulp::{Arch, Simd, WithSimd};

/// `product = matrix · x` for a symmetric matrix.
pub(super) fn multiply(matrix: &[f64], x: &[f64], product: &mut Vec<f64>) {
    product.clear();
    product.resize(x.len(), 0.0);
    Arch::new().dispatch(Multiply { matrix, x, product });
}

/// `matrix += Σ left rightᵗ` over pairs of vectors.
pub(super) fn add_outer<const PAIRS: usize>(matrix: &mut [f64], pairs: [(&[f64], &[f64]); PAIRS]) {
    Arch::new().dispatch(AddOuter { matrix, pairs });
}

struct Multiply<'a> {
    matrix: &'a [f64],
    x: &'a [f64],
    product: &'a mut [f64],
}

impl WithSimd for Multiply<'_> {
    type Output = ();

    #[expect(
        clippy::inline_always,
        reason = "what is not inlined here is compiled for narrow vectors"
    )]
    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) {
        // Four rows at a time, so that the sums stay in registers.
        let n = self.x.len();
        let product = &mut self.product[..n];
        let mut rows = self.matrix.chunks_exact(4 * n);
        let mut factors = self.x.chunks_exact(4);
        for (rows, x) in rows.by_ref().zip(factors.by_ref()) {
            let (a, rest) = rows.split_at(n);
            let (b, rest) = rest.split_at(n);
            let (c, d) = rest.split_at(n);
            let d = &d[..n];
            for i in 0..n {
                product[i] += (x[0] * a[i] + x[1] * b[i]) + (x[2] * c[i] + x[3] * d[i]);
            }
        }
        let rest = rows.remainder().chunks_exact(n);
        for (row, x) in rest.zip(factors.remainder()) {
            for (sum, entry) in product.iter_mut().zip(row) {
                *sum += x * entry;
            }
        }
    }
}

struct AddOuter<'a, const PAIRS: usize> {
    matrix: &'a mut [f64],
    pairs: [(&'a [f64], &'a [f64]); PAIRS],
}

impl<const PAIRS: usize> WithSimd for AddOuter<'_, PAIRS> {
    type Output = ();

    #[expect(
        clippy::inline_always,
        reason = "what is not inlined here is compiled for narrow vectors"
    )]
    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) {
        let n = self.pairs.first().map_or(0, |(left, _)| left.len()).max(1);
        let rights = self.pairs.map(|(_, right)| &right[..n]);
        for (row, line) in self.matrix.chunks_exact_mut(n).enumerate() {
            let factors = self.pairs.map(|(left, _)| left[row]);
            for (column, entry) in line.iter_mut().enumerate() {
                let mut sum = 0.0;
                for pair in 0..PAIRS {
                    sum += factors[pair] * rights[pair][column];
                }
                *entry += sum;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use pulp::Scalar;

    #[test]
    fn bits_do_not_depend_on_the_width_of_vectors() {
        // Invented numbers.
        let n: u32 = 23;
        let numbers = |n: u32, step: f64| -> Vec<f64> {
            (0..n)
                .map(|i| (f64::from(i) * step).fract() - 0.4)
                .collect()
        };
        let (matrix, x, y) = (numbers(n * n, 0.37), numbers(n, 0.61), numbers(n, 0.23));
        let (mut wide, mut narrow) = (Vec::new(), vec![0.0; x.len()]);
        multiply(&matrix, &x, &mut wide);
        Scalar.vectorize(Multiply {
            matrix: &matrix,
            x: &x,
            product: &mut narrow,
        });
        let bits = |numbers: &[f64]| numbers.iter().map(|x| x.to_bits()).collect::<Vec<u64>>();
        assert_eq!(bits(&wide), bits(&narrow));
        for (column, sum) in wide.iter().enumerate() {
            let expected: f64 = x
                .iter()
                .enumerate()
                .map(|(row, x)| x * matrix[row * y.len() + column])
                .sum();
            assert!((sum - expected).abs() < 1e-12);
        }
        let (mut wide, mut narrow) = (matrix.clone(), matrix);
        let pairs = [(x.as_slice(), y.as_slice()), (y.as_slice(), x.as_slice())];
        add_outer(&mut wide, pairs);
        Scalar.vectorize(AddOuter {
            matrix: &mut narrow,
            pairs,
        });
        assert_eq!(bits(&wide), bits(&narrow));
    }
}
