//! Elementary functions that give the same bits on every machine.
//!
//! The standard library hands these to the platform's mathematics library, whose last bit differs between systems and
//! even between processors. A plan that is filtered by margins must not change with the machine, so the pure Rust
//! versions of the `libm` package are used. Square roots are exact everywhere and stay with the standard library.

pub(crate) mod branchless;

/// Where an equation takes its elementary functions from: one number at a time, or in loops that are vectorized. A trait and
/// not a function handed in, since what is called through a function is not inlined into loops of wide vectors.
pub(crate) trait Elementary {
    /// eˣ.
    fn exp(x: f64) -> f64;
    /// baseᵉˣᵖᵒⁿᵉⁿᵗ.
    fn pow(base: f64, exponent: f64) -> f64;
    /// Hyperbolic tangent.
    fn tanh(x: f64) -> f64;
}

/// The functions of this module.
pub(crate) struct OneByOne;

impl Elementary for OneByOne {
    fn exp(x: f64) -> f64 {
        exp(x)
    }

    fn pow(base: f64, exponent: f64) -> f64 {
        pow(base, exponent)
    }

    fn tanh(x: f64) -> f64 {
        tanh(x)
    }
}

pub(crate) fn exp(x: f64) -> f64 {
    libm::exp(x)
}

pub(crate) fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// A power of a number that is not negative, to some 1e-15 for exponents of a few units: half the time of the exact one.
pub(crate) fn pow(base: f64, exponent: f64) -> f64 {
    exp(exponent * ln(base))
}

pub(crate) fn tanh(x: f64) -> f64 {
    libm::tanh(x)
}

pub(crate) fn sin(x: f64) -> f64 {
    libm::sin(x)
}

pub(crate) fn cos(x: f64) -> f64 {
    libm::cos(x)
}

pub(crate) fn acos(x: f64) -> f64 {
    libm::acos(x)
}

pub(crate) fn erfc(x: f64) -> f64 {
    libm::erfc(x)
}

/// x^(2/3) for x ≥ 0.
pub(crate) fn two_thirds_power(x: f64) -> f64 {
    pow(x, 2.0 / 3.0)
}
