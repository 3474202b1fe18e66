//! The gain of an exchange along one factor, as a polynomial or a ratio of two, and its greatest value.
//!
//! Along one coordinate x of a run the row is a polynomial in x, so determinant and trace after the exchange are too; their
//! coefficients cost a few products of the columns that change, and then each value of x costs almost nothing.

use super::information::{Image, Information};
use super::model_rows::{ModelRows, Part};
use crate::factor::{CodedPoint, Value};

/// Newton steps to a maximum, each safeguarded by a bracket.
const MAX_STEPS: usize = 40;
/// Width of a bracket, coded, at which a maximum counts as found.
const NARROW: f64 = 1e-10;

/// Gains along one factor: relative growth of the determinant, or relative fall of the trace. `N` is twice the greatest power
/// of a factor and one.
#[derive(Debug)]
pub(super) struct GainProfile<const N: usize> {
    numerator: [f64; N],
    /// Of the fall of the trace: the growth of the determinant, times the trace.
    denominator: Option<[f64; N]>,
}

/// A form along the coordinate.
struct FormAlong<const N: usize> {
    /// `g'Mg`.
    own: [f64; N],
    /// `f'Mg`.
    cross: [f64; N],
}

impl<const N: usize> FormAlong<N> {
    /// `form` is `f'Mf`, `image` is `Mf`.
    fn new(
        parts: &[Part],
        cofactors: &[f64],
        powers: &[f64; N],
        (image, form): (&[f64], f64),
        matrix: &[f64],
    ) -> Self {
        let n_columns = image.len();
        let (mut own, mut cross) = ([0.0; N], [0.0; N]);
        own[0] = form;
        cross[0] = form;
        let mut start = 0;
        // Columns with the same power of the factor stand together: their sums stay in registers.
        for group in parts.chunk_by(|one, other| one.exponent() == other.exponent()) {
            let factors = &cofactors[start..start + group.len()];
            let (power, here) = (group[0].exponent(), powers[group[0].exponent()]);
            let along = group.iter().zip(factors);
            let seen: f64 = along
                .map(|(part, factor)| factor * image[part.column])
                .sum();
            cross[power] += seen;
            cross[0] -= seen * here;
            own[power] += 2.0 * seen;
            own[0] -= 2.0 * seen * here;
            let mut other_start = 0;
            for other in parts.chunk_by(|one, other| one.exponent() == other.exponent()) {
                let other_factors = &cofactors[other_start..other_start + other.len()];
                let mut sum = 0.0;
                for (part, factor) in group.iter().zip(factors) {
                    let row = &matrix[part.column * n_columns..(part.column + 1) * n_columns];
                    let entries = other.iter().zip(other_factors);
                    let line: f64 = entries
                        .map(|(part, factor)| factor * row[part.column])
                        .sum();
                    sum += factor * line;
                }
                let (other_power, there) = (other[0].exponent(), powers[other[0].exponent()]);
                own[power + other_power] += sum;
                own[power] -= sum * there;
                own[other_power] -= sum * here;
                own[0] += sum * here * there;
                other_start += other.len();
            }
            start += group.len();
        }
        Self { own, cross }
    }
}

impl<const N: usize> GainProfile<N> {
    /// Along a factor that is a number, for a run that stands at `x`.
    pub(super) fn new(
        information: &Information,
        leaving: &Image,
        parts: &[Part],
        cofactors: &[f64],
        x: f64,
    ) -> Self {
        let mut powers = [1.0; N];
        for exponent in 1..N {
            powers[exponent] = powers[exponent - 1] * x;
        }
        let seen = (leaving.dx.as_slice(), leaving.xdx);
        let d = FormAlong::new(parts, cofactors, &powers, seen, information.inverse());
        let (mut gdg, fdg) = (d.own, d.cross);
        gdg[0] += 1.0;
        let mut ratio = product(&fdg, &fdg);
        for (ratio, gdg) in ratio.iter_mut().zip(&gdg) {
            *ratio += (1.0 - leaving.xdx) * gdg;
        }
        let (Some(trace), Some(weighed)) = (information.trace(), information.weighed()) else {
            ratio[0] -= 1.0;
            return Self {
                numerator: ratio,
                denominator: None,
            };
        };
        let seen = (leaving.ax.as_slice(), leaving.xax);
        let a = FormAlong::new(parts, cofactors, &powers, seen, weighed);
        let cross = product(&fdg, &a.cross);
        let mut fall = [0.0; N];
        for power in 0..N {
            fall[power] =
                (1.0 - leaving.xdx) * a.own[power] + 2.0 * cross[power] - gdg[power] * leaving.xax;
            ratio[power] *= trace;
        }
        Self {
            numerator: fall,
            denominator: Some(ratio),
        }
    }

    /// The gain at a setting; minus infinity where nothing could be estimated any more.
    pub(super) fn at(&self, x: f64) -> f64 {
        let value = horner(&self.numerator, x).0;
        match &self.denominator {
            None => value,
            Some(denominator) => {
                let below = horner(denominator, x).0;
                if below > 1e-12 {
                    value / below
                } else {
                    f64::NEG_INFINITY
                }
            }
        }
    }

    /// The setting of the greatest gain on −1…1, and the gain there.
    pub(super) fn greatest(&self) -> (f64, f64) {
        let places = N + N / 2 + 2;
        let spacing = 2.0 / (places - 1) as f64;
        let mut best = (-1.0, self.at(-1.0));
        for place in 1..places {
            let x = if place + 1 == places {
                1.0
            } else {
                place as f64 * spacing - 1.0
            };
            let gain = self.at(x);
            if gain > best.1 {
                best = (x, gain);
            }
        }
        let (low, high) = ((best.0 - spacing).max(-1.0), (best.0 + spacing).min(1.0));
        let refined = self.root_of_slope(low, high, best.0);
        let gain = self.at(refined);
        if gain > best.1 { (refined, gain) } else { best }
    }

    /// Where the slope is zero inside a bracket, by Newton's method with bisection as its safeguard.
    fn root_of_slope(&self, mut low: f64, mut high: f64, start: f64) -> f64 {
        let mut x = start;
        for _ in 0..MAX_STEPS {
            let (slope, curvature) = self.slope(x);
            if slope > 0.0 {
                low = x;
            } else {
                high = x;
            }
            let newton = x - slope / curvature;
            let next = if newton > low && newton < high {
                newton
            } else {
                f64::midpoint(low, high)
            };
            if (next - x).abs() < NARROW {
                return next;
            }
            x = next;
        }
        x
    }

    /// A multiple of the slope of the gain, with its own slope.
    fn slope(&self, x: f64) -> (f64, f64) {
        let (value, slope, curvature) = horner(&self.numerator, x);
        match &self.denominator {
            None => (slope, curvature),
            Some(denominator) => {
                let below = horner(denominator, x);
                (
                    slope * below.0 - value * below.1,
                    curvature * below.0 - value * below.2,
                )
            }
        }
    }
}

/// The gain of another setting of a factor that is a category or a list.
pub(super) fn gain_of_setting(
    information: &Information,
    rows: &ModelRows,
    leaving: &Image,
    point: &CodedPoint,
    factor: usize,
    value: Value,
) -> f64 {
    let parts = rows.along(factor);
    let change = |part: &Part| {
        rows.cofactor(part, point) * rows.contribution(part, value) - leaving.row[part.column]
    };
    let changes: Vec<f64> = parts.iter().map(change).collect();
    let forms = |image: &[f64], form: f64, matrix: &[f64]| {
        let (mut along, mut square) = (0.0, 0.0);
        for (part, change) in parts.iter().zip(&changes) {
            along += change * image[part.column];
            for (other, other_change) in parts.iter().zip(&changes) {
                let entry = matrix[part.column * image.len() + other.column];
                square += change * other_change * entry;
            }
        }
        (form + along, form + 2.0 * along + square)
    };
    let (fdg, gdg) = forms(&leaving.dx, leaving.xdx, information.inverse());
    let mut all = super::information::Forms {
        gdg,
        fdg,
        gag: 0.0,
        fag: 0.0,
    };
    let (Some(trace), Some(weighed)) = (information.trace(), information.weighed()) else {
        return all.ratio(leaving) - 1.0;
    };
    (all.fag, all.gag) = forms(&leaving.ax, leaving.xax, weighed);
    let ratio = all.ratio(leaving);
    if ratio > 1e-12 {
        all.fall(leaving) / ratio / trace
    } else {
        f64::NEG_INFINITY
    }
}

/// Value, slope and curvature of a polynomial.
fn horner<const N: usize>(coefficients: &[f64; N], x: f64) -> (f64, f64, f64) {
    let (mut value, mut slope, mut half_curvature) = (0.0, 0.0, 0.0);
    for coefficient in coefficients.iter().rev() {
        half_curvature = half_curvature * x + slope;
        slope = slope * x + value;
        value = value * x + coefficient;
    }
    (value, slope, 2.0 * half_curvature)
}

/// Product of two polynomials whose degrees add up to less than `N`.
fn product<const N: usize>(one: &[f64; N], other: &[f64; N]) -> [f64; N] {
    let mut product = [0.0; N];
    for (power, factor) in one.iter().enumerate().take(N / 2 + 1) {
        for (more, other) in other.iter().enumerate().take(N / 2 + 1) {
            product[power + more] += factor * other;
        }
    }
    product
}
