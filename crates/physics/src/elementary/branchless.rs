//! Exponential, logarithm, power and hyperbolic tangent without a branch or a table, for loops over many numbers that the
//! compiler turns into vector instructions.
//!
//! Plain multiplications and additions in a fixed order, never fused, so that the bits are the same on every machine and with
//! every width of vector. Each is as good as one unit in the last place or two over the range stated, which is narrower than
//! that of the functions for single numbers; outside it the result is finite but wrong.

#![expect(
    clippy::inline_always,
    reason = "a call in a loop keeps it from being vectorized"
)]

/// The functions of this module.
pub(crate) struct Branchless;

impl super::Elementary for Branchless {
    #[inline(always)]
    fn exp(x: f64) -> f64 {
        exp(x)
    }

    #[inline(always)]
    fn pow(base: f64, exponent: f64) -> f64 {
        pow(base, exponent)
    }

    #[inline(always)]
    fn tanh(x: f64) -> f64 {
        tanh(x)
    }
}

/// 1.5 · 2⁵²: adding it leaves a whole number in the low bits of the sum.
const ROUNDER: f64 = 6_755_399_441_055_744.0;
/// ln 2 in two parts; the first has 21 trailing zero bits, so that its products with exponents are exact (fdlibm, `e_exp.c`).
const LN_2_HIGH: f64 = 6.931_471_803_691_238e-1;
const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;
const BIAS: u64 = 1023;
const MANTISSA_BITS: u32 = 52;

/// 1/n! for N terms from n = `first`: the Taylor series on ±ln 2/2, cut where terms fall below 5e-18.
const fn inverse_factorials<const N: usize>(first: usize) -> [f64; N] {
    let mut all = [1.0; N];
    let mut factorial = 1.0;
    let mut n = 1;
    while n < first + N {
        factorial *= n as f64;
        if n >= first {
            all[n - first] = 1.0 / factorial;
        }
        n += 1;
    }
    all
}

const INVERSE_FACTORIALS_LOW: [f64; 8] = inverse_factorials(0);
const INVERSE_FACTORIALS_HIGH: [f64; 6] = inverse_factorials(8);

/// 1/(2n + 3) for N terms from n = `first`: the series of the inverse hyperbolic tangent on ±0.172 behind its first term, cut
/// where terms fall below 1e-18.
const fn inverse_odds<const N: usize>(first: usize) -> [f64; N] {
    let mut all = [0.0; N];
    let mut n = 0;
    while n < N {
        all[n] = 1.0 / (2 * (n + first) + 3) as f64;
        n += 1;
    }
    all
}

const INVERSE_ODDS_LOW: [f64; 8] = inverse_odds(0);
const INVERSE_ODDS_HIGH: [f64; 2] = inverse_odds(8);

/// A polynomial of eight terms by rising powers of a number with its square and fourth power, its terms paired over and over
/// (Estrin 1960) instead of one after the other: few steps wait for each other.
#[inline(always)]
fn eight_terms(c: &[f64; 8], (x, x2, x4): (f64, f64, f64)) -> f64 {
    ((c[0] + c[1] * x) + (c[2] + c[3] * x) * x2) + ((c[4] + c[5] * x) + (c[6] + c[7] * x) * x2) * x4
}

/// Σ xⁿ/n! to n = 13.
#[inline(always)]
fn exponential_series(x: f64) -> f64 {
    let x2 = x * x;
    let x4 = x2 * x2;
    let low = eight_terms(&INVERSE_FACTORIALS_LOW, (x, x2, x4));
    let c = &INVERSE_FACTORIALS_HIGH;
    let high = ((c[0] + c[1] * x) + (c[2] + c[3] * x) * x2) + (c[4] + c[5] * x) * x4;
    low + high * (x4 * x4)
}

/// Σ zⁿ/(2n + 3) to n = 9.
#[inline(always)]
fn tangent_series(z: f64) -> f64 {
    let z2 = z * z;
    let z4 = z2 * z2;
    let low = eight_terms(&INVERSE_ODDS_LOW, (z, z2, z4));
    low + (INVERSE_ODDS_HIGH[0] + INVERSE_ODDS_HIGH[1] * z) * (z4 * z4)
}

/// eˣ for |x| ≤ 700.
#[inline(always)]
pub(crate) fn exp(x: f64) -> f64 {
    let shifted = x * std::f64::consts::LOG2_E + ROUNDER;
    let k = shifted - ROUNDER;
    let r = (x - k * LN_2_HIGH) - k * LN_2_LOW;
    // The low bits of the shifted number are the exponent; what stands above them is pushed out.
    let scale = f64::from_bits(shifted.to_bits().wrapping_add(BIAS) << MANTISSA_BITS);
    exponential_series(r) * scale
}

/// ln x for x from 1e-300 to 1e300.
#[inline(always)]
pub(crate) fn ln(x: f64) -> f64 {
    // x = 2ᵏ·m with m from √½ to √2.
    let sqrt_half = std::f64::consts::FRAC_1_SQRT_2.to_bits();
    let one = 1.0_f64.to_bits();
    let biased = x.to_bits().wrapping_add(one - sqrt_half) >> MANTISSA_BITS;
    let m = f64::from_bits(
        x.to_bits()
            .wrapping_sub(biased << MANTISSA_BITS)
            .wrapping_add(one),
    );
    // A small whole number to floating point without the conversion that older vector units lack.
    let k = f64::from_bits(biased | ROUNDER.to_bits()) - (ROUNDER + BIAS as f64);
    let f = m - 1.0;
    let s = f / (2.0 + f);
    let z = s * s;
    // ln m = 2·atanh(s) = 2s + 2s·(z/3 + z²/5 + …); the first term, which is not small, is f − s·f.
    let rest = 2.0 * s * (z * tangent_series(z));
    k * LN_2_HIGH + ((f - s * f) + (rest + k * LN_2_LOW))
}

/// baseᵉˣᵖᵒⁿᵉⁿᵗ for a base from 1e-300 to 1e300, as [`super::pow`] does it.
#[inline(always)]
pub(crate) fn pow(base: f64, exponent: f64) -> f64 {
    exp(exponent * ln(base))
}

/// Hyperbolic tangent of a number from zero up; the error is absolute, of the size of one unit in the last place of one.
#[inline(always)]
pub(crate) fn tanh(x: f64) -> f64 {
    // Beyond 20 it rounds to one.
    1.0 - 2.0 / (exp(2.0 * x.min(20.0)) + 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Distance in units in the last place.
    fn units_apart(a: f64, b: f64) -> u64 {
        a.to_bits().abs_diff(b.to_bits())
    }

    /// Numbers spread evenly over a stretch (multiples of the golden section).
    fn spread(least: f64, greatest: f64) -> impl Iterator<Item = f64> {
        (0..200_000)
            .map(move |i| least + (greatest - least) * (0.618_033_988_75 * f64::from(i)).fract())
    }

    #[test]
    fn exponential_is_that_of_libm_to_two_units() {
        for x in spread(-700.0, 700.0)
            .chain(spread(-2.0, 2.0))
            .chain([0.0, 1.0, -1.0])
        {
            assert!(units_apart(exp(x), libm::exp(x)) <= 2, "{x}");
        }
        assert_eq!(exp(0.0).to_bits(), 1.0_f64.to_bits());
    }

    #[test]
    fn logarithm_is_that_of_libm_to_two_units() {
        let wide = spread(-690.0, 690.0).map(libm::exp);
        for x in wide
            .chain(spread(0.5, 2.0))
            .chain(spread(0.99, 1.01))
            .chain([1e-300, 1e300])
        {
            assert!(units_apart(ln(x), libm::log(x)) <= 2, "{x}");
        }
        assert_eq!(ln(1.0).to_bits(), 0.0_f64.to_bits());
    }

    #[test]
    fn tangent_is_that_of_libm_to_a_unit_of_one() {
        for x in spread(0.0, 3.0)
            .chain(spread(0.0, 1000.0))
            .chain([0.0, 1e-9])
        {
            assert!((tanh(x) - libm::tanh(x)).abs() <= 2.0 * f64::EPSILON, "{x}");
        }
    }

    #[test]
    fn power_is_that_of_single_numbers() {
        for x in spread(-20.0, 20.0).map(libm::exp) {
            let (ours, theirs) = (pow(x, 2.0 / 3.0), super::super::pow(x, 2.0 / 3.0));
            assert!((ours / theirs - 1.0).abs() < 1e-14, "{x}");
        }
    }
}
