//! The information matrix `X'X` of a plan with its inverse, kept up to date while runs are exchanged.

use super::vector_loops::{add_outer, multiply};

/// Pivots below this share of the largest diagonal entry make a matrix singular.
const SINGULAR: f64 = 1e-11;

/// `X'X` by its inverse and determinant. Sums in a fixed order, so that the bits are the same on every machine.
#[derive(Debug, Clone)]
pub(super) struct Information {
    n_columns: usize,
    /// `D = (X'X)⁻¹`, row by row.
    inverse: Vec<f64>,
    /// Determinant of `X'X/n`.
    determinant: f64,
    weighed: Option<Weighed>,
}

/// What is added where predictions or coefficients are weighed.
#[derive(Debug, Clone)]
struct Weighed {
    /// `DWD`, row by row.
    matrix: Vec<f64>,
    /// Trace of `WD`.
    trace: f64,
}

/// A row seen through the inverse: `Df`, `f'Df`, and the same with `DWD` if there are weights.
#[derive(Debug, Clone, Default)]
pub(super) struct Image {
    pub(super) row: Vec<f64>,
    pub(super) dx: Vec<f64>,
    pub(super) xdx: f64,
    pub(super) ax: Vec<f64>,
    pub(super) xax: f64,
}

/// What an exchange of one row for another does to determinant and trace (Fedorov 1972).
#[derive(Debug, Clone, Copy)]
pub(super) struct Forms {
    /// `g'Dg`.
    pub(super) gdg: f64,
    /// `f'Dg`.
    pub(super) fdg: f64,
    /// `g'DWDg`.
    pub(super) gag: f64,
    /// `f'DWDg`.
    pub(super) fag: f64,
}

impl Forms {
    /// Determinant after over determinant before: `(1 + g'Dg)(1 − f'Df) + (f'Dg)²`.
    pub(super) fn ratio(&self, leaving: &Image) -> f64 {
        (1.0 + self.gdg) * (1.0 - leaving.xdx) + self.fdg * self.fdg
    }

    /// What the trace of `WD` falls by, times the ratio.
    pub(super) fn fall(&self, leaving: &Image) -> f64 {
        (1.0 - leaving.xdx) * self.gag + 2.0 * self.fdg * self.fag - (1.0 + self.gdg) * leaving.xax
    }
}

impl Information {
    /// From the rows of the runs; `None` if they do not determine every coefficient.
    pub(super) fn of<'r>(
        rows: impl Iterator<Item = &'r [f64]>,
        n_columns: usize,
        weights: Option<&[f64]>,
    ) -> Option<Self> {
        let p = n_columns;
        let mut matrix = vec![0.0; p * p];
        let mut n_runs = 0;
        for row in rows {
            n_runs += 1;
            for (a, line) in row.iter().zip(matrix.chunks_exact_mut(p)) {
                add_scaled(line, *a, row);
            }
        }
        let scale = 1.0 / f64::from(n_runs.max(1));
        for entry in &mut matrix {
            *entry *= scale;
        }
        let determinant = cholesky(&mut matrix, p)?;
        let mut inverse = inverse_of_factor(&matrix, p);
        for entry in &mut inverse {
            *entry *= scale;
        }
        let weighed = weights.map(|weights| {
            let product = multiplied(&inverse, weights, p);
            Weighed {
                trace: (0..p).map(|i| product[i * p + i]).sum(),
                matrix: multiplied(&product, &inverse, p),
            }
        });
        Some(Self {
            n_columns,
            inverse,
            determinant,
            weighed,
        })
    }

    pub(super) const fn determinant(&self) -> f64 {
        self.determinant
    }

    /// Trace of `W(X'X)⁻¹` if there are weights.
    pub(super) fn trace(&self) -> Option<f64> {
        self.weighed.as_ref().map(|weighed| weighed.trace)
    }

    /// `D`, row by row.
    pub(super) fn inverse(&self) -> &[f64] {
        &self.inverse
    }

    /// `DWD`, row by row, if there are weights.
    pub(super) fn weighed(&self) -> Option<&[f64]> {
        self.weighed
            .as_ref()
            .map(|weighed| weighed.matrix.as_slice())
    }

    /// `x'(X'X)⁻¹x`.
    pub(super) fn form(&self, x: &[f64]) -> f64 {
        let rows = self.inverse.chunks_exact(self.n_columns).zip(x);
        rows.map(|(row, a)| a * dot(row, x)).sum()
    }

    /// Sees a row through the inverse.
    pub(super) fn look_at(&self, row: &[f64], image: &mut Image) {
        image.row.clear();
        image.row.extend_from_slice(row);
        multiply(&self.inverse, row, &mut image.dx);
        image.xdx = dot(&image.dx, row);
        if let Some(weighed) = &self.weighed {
            multiply(&weighed.matrix, row, &mut image.ax);
            image.xax = dot(&image.ax, row);
        }
    }

    /// What the exchange of a row for another does.
    pub(super) fn forms(&self, leaving: &Image, coming: &Image) -> Forms {
        Forms {
            gdg: coming.xdx,
            fdg: dot(&leaving.dx, &coming.row),
            gag: coming.xax,
            fag: if self.weighed.is_some() {
                dot(&leaving.ax, &coming.row)
            } else {
                0.0
            },
        }
    }

    /// Takes a row out and puts another in (rank-two update; Fedorov 1972). With `b = Dg` and `a = Df` the inverse falls by
    /// `b tᵗ + a sᵗ`, and `DWD` follows from the same vectors.
    pub(super) fn exchange(&mut self, leaving: &Image, coming: &Image) {
        let forms = self.forms(leaving, coming);
        let ratio = forms.ratio(leaving);
        let (bb, ab, aa) = (
            (leaving.xdx - 1.0) / ratio,
            -forms.fdg / ratio,
            (1.0 + forms.gdg) / ratio,
        );
        let mixed = |on_b: f64, on_a: f64| {
            let pairs = coming.dx.iter().zip(&leaving.dx);
            pairs
                .map(|(b, a)| on_b * b + on_a * a)
                .collect::<Vec<f64>>()
        };
        // Minus t and minus s.
        let (t, s) = (mixed(bb, ab), mixed(ab, aa));
        add_outer(&mut self.inverse, [(&coming.dx, &t), (&leaving.dx, &s)]);
        self.determinant *= ratio;
        if let Some(weighed) = &mut self.weighed {
            let halved = |image: &Image, on_t: f64, on_s: f64| {
                let pairs = image.ax.iter().zip(t.iter().zip(&s));
                pairs
                    .map(|(y, (t, s))| y + 0.5 * (on_t * t + on_s * s))
                    .collect::<Vec<f64>>()
            };
            let b = halved(coming, forms.gag, forms.fag);
            let a = halved(leaving, forms.fag, leaving.xax);
            add_outer(
                &mut weighed.matrix,
                [(&b, &t), (&t, &b), (&a, &s), (&s, &a)],
            );
            weighed.trace -= forms.fall(leaving) / ratio;
        }
    }
}

fn add_scaled(line: &mut [f64], factor: f64, x: &[f64]) {
    for (target, x) in line.iter_mut().zip(x) {
        *target += factor * x;
    }
}

fn multiplied(a: &[f64], b: &[f64], p: usize) -> Vec<f64> {
    let mut product = vec![0.0; p * p];
    for (line, factors) in product.chunks_exact_mut(p).zip(a.chunks_exact(p)) {
        for (factor, row) in factors.iter().zip(b.chunks_exact(p)) {
            add_scaled(line, *factor, row);
        }
    }
    product
}

pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Replaces the lower triangle by its Cholesky factor and returns the determinant; `None` for a singular matrix.
fn cholesky(matrix: &mut [f64], p: usize) -> Option<f64> {
    let largest = (0..p).map(|i| matrix[i * p + i]).fold(0.0, f64::max);
    let mut determinant = 1.0;
    for i in 0..p {
        for j in 0..=i {
            let before = dot(&matrix[i * p..i * p + j], &matrix[j * p..j * p + j]);
            let rest = matrix[i * p + j] - before;
            matrix[i * p + j] = if i == j {
                if rest.is_nan() || rest <= SINGULAR * largest {
                    return None;
                }
                determinant *= rest;
                rest.sqrt()
            } else {
                rest / matrix[j * p + j]
            };
        }
    }
    Some(determinant)
}

/// Inverse of `LL'` from its lower factor.
fn inverse_of_factor(factor: &[f64], p: usize) -> Vec<f64> {
    // Row i of the inverse of L, from the rows above it.
    let mut lower = vec![0.0; p * p];
    for i in 0..p {
        let (above, below) = lower.split_at_mut(i * p);
        let line = &mut below[..p];
        line[i] = 1.0;
        for (k, row) in above.chunks_exact(p).enumerate() {
            add_scaled(line, -factor[i * p + k], row);
        }
        let pivot = factor[i * p + i];
        for entry in line {
            *entry /= pivot;
        }
    }
    let mut inverse = vec![0.0; p * p];
    for row in lower.chunks_exact(p) {
        for (a, line) in row.iter().zip(inverse.chunks_exact_mut(p)) {
            if *a != 0.0 {
                add_scaled(line, *a, row);
            }
        }
    }
    inverse
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows() -> Vec<Vec<f64>> {
        // Invented numbers.
        (0..9)
            .map(|i| {
                let x = f64::from(i) / 4.0 - 1.0;
                vec![1.0, x, x * x, (1.7 * x).fract()]
            })
            .collect()
    }

    fn close(one: &[f64], other: &[f64]) {
        assert_eq!(one.len(), other.len());
        for (a, b) in one.iter().zip(other) {
            assert!((a - b).abs() < 1e-9, "{a} {b}");
        }
    }

    #[test]
    fn exchange_equals_the_matrices_of_the_new_rows() {
        // Fedorov (1972), the rank-two update, against the inverse computed anew.
        let mut weights = vec![0.0; 16];
        for (at, weight) in [(0, 1.0), (5, 0.3), (10, 0.2), (2, 0.3), (8, 0.3), (15, 0.1)] {
            weights[at] = weight;
        }
        let mut rows = rows();
        let of = |rows: &[Vec<f64>]| {
            Information::of(rows.iter().map(Vec::as_slice), 4, Some(&weights)).unwrap()
        };
        let mut updated = of(&rows);
        let into = vec![1.0, 0.3, -0.2, 0.9];
        let (mut leaving, mut coming) = (Image::default(), Image::default());
        updated.look_at(&rows[2], &mut leaving);
        updated.look_at(&into, &mut coming);
        updated.exchange(&leaving, &coming);
        rows[2] = into;
        let anew = of(&rows);
        close(&updated.inverse, &anew.inverse);
        let (one, other) = (updated.weighed.unwrap(), anew.weighed.unwrap());
        close(&one.matrix, &other.matrix);
        close(&[one.trace], &[other.trace]);
        assert!((updated.determinant / anew.determinant - 1.0).abs() < 1e-10);
    }

    #[test]
    fn too_few_rows_determine_nothing() {
        let rows = rows();
        assert!(Information::of(rows[..3].iter().map(Vec::as_slice), 4, None).is_none());
    }
}
