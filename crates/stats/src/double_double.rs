//! Numbers of about 31 digits as unevaluated sums of two doubles, for the few sums that must not lose any.
//!
//! Used where digits cancel: residuals for iterative refinement and the substitution from coded to natural units.
//! Source: Dekker, T.J. (1971), A floating-point technique for extending the available precision, Numer. Math. 18,
//! 224–242; the two-sum is Knuth's (The Art of Computer Programming, vol. 2, section 4.2.2). Plain arithmetic only, so
//! the result is the same on every machine. Operands must stay below 1e290 in size.

/// The value `high + low`, with |low| at most half a unit in the last place of `high`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DoubleDouble {
    high: f64,
    low: f64,
}

impl DoubleDouble {
    pub(crate) const ZERO: Self = Self::new(0.0);
    pub(crate) const ONE: Self = Self::new(1.0);

    pub(crate) const fn new(value: f64) -> Self {
        Self {
            high: value,
            low: 0.0,
        }
    }

    /// The exact sum of two doubles.
    pub(crate) const fn exact_sum(a: f64, b: f64) -> Self {
        let high = a + b;
        let b_part = high - a;
        let low = (a - (high - b_part)) + (b - b_part);
        Self { high, low }
    }

    /// The exact product of two doubles.
    pub(crate) const fn exact_product(a: f64, b: f64) -> Self {
        let high = a * b;
        let (a_high, a_low) = split(a);
        let (b_high, b_low) = split(b);
        let low = ((a_high * b_high - high) + a_high * b_low + a_low * b_high) + a_low * b_low;
        Self { high, low }
    }

    /// The nearest double.
    pub(crate) const fn to_f64(self) -> f64 {
        self.high + self.low
    }

    pub(crate) const fn plus(self, other: Self) -> Self {
        let sum = Self::exact_sum(self.high, other.high);
        let tail = Self::exact_sum(self.low, other.low);
        let first = quick_sum(sum.high, sum.low + tail.high);
        quick_sum(first.high, first.low + tail.low)
    }

    pub(crate) const fn times(self, other: Self) -> Self {
        let product = Self::exact_product(self.high, other.high);
        quick_sum(
            product.high,
            product.low + (self.high * other.low + self.low * other.high),
        )
    }

    pub(crate) const fn negated(self) -> Self {
        Self {
            high: -self.high,
            low: -self.low,
        }
    }

    pub(crate) const fn divided_by(self, other: Self) -> Self {
        let first = self.high / other.high;
        let rest = self.plus(other.times(Self::new(first)).negated());
        let second = rest.high / other.high;
        let rest = rest.plus(other.times(Self::new(second)).negated());
        quick_sum(first, second).plus(Self::new(rest.high / other.high))
    }
}

/// Sum of two doubles of which the first is the larger.
const fn quick_sum(a: f64, b: f64) -> DoubleDouble {
    let high = a + b;
    DoubleDouble {
        high,
        low: b - (high - a),
    }
}

/// Veltkamp's split into two halves of 26 bits.
const fn split(a: f64) -> (f64, f64) {
    const FACTOR: f64 = 134_217_729.0; // 2^27 + 1
    let scaled = FACTOR * a;
    let high = scaled - (scaled - a);
    (high, a - high)
}

#[cfg(test)]
mod tests {
    use super::DoubleDouble;

    // By hand: (2^53 + 1)·(2^53 − 1) = 2^106 − 1 needs 106 bits.
    #[test]
    fn products_keep_every_bit() {
        let big = 2.0_f64.powi(53);
        let product = DoubleDouble::exact_sum(big, 1.0).times(DoubleDouble::exact_sum(big, -1.0));
        let rest = product.plus(DoubleDouble::exact_product(big, big).negated());
        assert!((rest.to_f64() + 1.0).abs() < 1e-15);
    }

    // By hand: 1/3 to 31 digits times 3 is 1 to 31 digits.
    #[test]
    fn a_third_times_three_is_one() {
        let third = DoubleDouble::ONE.divided_by(DoubleDouble::new(3.0));
        let rest = third
            .times(DoubleDouble::new(3.0))
            .plus(DoubleDouble::ONE.negated());
        assert!(rest.to_f64().abs() < 1e-31);
    }
}
