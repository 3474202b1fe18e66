//! Noncentral F, chi-square and t distributions: what a test finds when there is something to find.
//!
//! All are Poisson mixtures of central ones. The weights are summed outward from the largest one and divided by their
//! own sum, so that no large logarithms of gamma functions cancel; every term is a full evaluation of the incomplete
//! beta or gamma function. Sources: Johnson, Kotz & Balakrishnan (1995), Continuous Univariate Distributions vol. 2,
//! chapters 29–31; for t the series of Lenth (1989), Algorithm AS 243, Appl. Statist. 38, 185–189.

use statrs::function::gamma::ln_gamma;

use crate::distributions::{incomplete_beta, incomplete_gamma, normal_sf};

/// Terms below this share of their sum end a series.
const NEGLIGIBLE: f64 = 1e-18;

/// Largest noncentrality: beyond, the series takes longer than a tenth of a second and every power is 1.
pub const MAX_NONCENTRALITY: f64 = 1e6;

/// A parameter with which there is no such distribution, or none that can be computed.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoncentralError {
    /// Degrees of freedom that are not above zero, or infinite where they must be finite.
    #[error("{df} is no number of degrees of freedom here")]
    BadDegreesOfFreedom {
        /// What was given.
        df: f64,
    },
    /// A noncentrality outside its range.
    #[error("the noncentrality {value} is not between 0 and 1e6 (its root for t)")]
    BadNoncentrality {
        /// What was given.
        value: f64,
    },
    /// A probability outside 0..1.
    #[error("{probability} is no probability strictly between 0 and 1")]
    BadProbability {
        /// What was given.
        probability: f64,
    },
}

/// The noncentral F distribution; infinite denominator degrees of freedom give noncentral chi-square / df.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoncentralF {
    numerator_df: f64,
    denominator_df: f64,
    noncentrality: f64,
}

impl NoncentralF {
    /// The distribution of `(χ'²(df1, λ)/df1) / (χ²(df2)/df2)`.
    ///
    /// # Errors
    /// [`NoncentralError::BadDegreesOfFreedom`] unless df1 is above zero and finite and df2 above zero;
    /// [`NoncentralError::BadNoncentrality`] unless 0 ≤ λ ≤ [`MAX_NONCENTRALITY`].
    pub fn new(
        numerator_df: f64,
        denominator_df: f64,
        noncentrality: f64,
    ) -> Result<Self, NoncentralError> {
        if !(numerator_df > 0.0 && numerator_df.is_finite()) {
            return Err(NoncentralError::BadDegreesOfFreedom { df: numerator_df });
        }
        if denominator_df.is_nan() || denominator_df <= 0.0 {
            return Err(NoncentralError::BadDegreesOfFreedom { df: denominator_df });
        }
        if !(0.0..=MAX_NONCENTRALITY).contains(&noncentrality) {
            return Err(NoncentralError::BadNoncentrality {
                value: noncentrality,
            });
        }
        Ok(Self {
            numerator_df,
            denominator_df,
            noncentrality,
        })
    }

    /// Probability of a ratio at or below `f`.
    pub fn cdf(&self, f: f64) -> f64 {
        self.tails(f).0
    }

    /// Probability of a ratio above `f`: the power of an F test with critical value `f`.
    pub fn sf(&self, f: f64) -> f64 {
        self.tails(f).1
    }

    fn tails(&self, f: f64) -> (f64, f64) {
        if f.is_nan() {
            return (f64::NAN, f64::NAN);
        }
        if f <= 0.0 {
            return (0.0, 1.0);
        }
        if f.is_infinite() {
            return (1.0, 0.0);
        }
        let (half_df, half_denominator) = (0.5 * self.numerator_df, 0.5 * self.denominator_df);
        let scaled = self.numerator_df * f;
        if half_denominator.is_infinite() {
            return poisson_mixture(0.5 * self.noncentrality, |j| {
                incomplete_gamma(half_df + j, 0.5 * scaled)
            });
        }
        let sum = scaled + self.denominator_df;
        let (y, rest) = (scaled / sum, self.denominator_df / sum);
        poisson_mixture(0.5 * self.noncentrality, |j| {
            incomplete_beta(half_df + j, half_denominator, y, rest)
        })
    }
}

/// The noncentral chi-square distribution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoncentralChiSquare {
    ratio: NoncentralF,
}

impl NoncentralChiSquare {
    /// The distribution of a sum of `df` squared normal variables of variance 1 whose squared means add up to λ.
    ///
    /// # Errors
    /// As [`NoncentralF::new`].
    pub fn new(df: f64, noncentrality: f64) -> Result<Self, NoncentralError> {
        NoncentralF::new(df, f64::INFINITY, noncentrality).map(|ratio| Self { ratio })
    }

    /// Probability of a value at or below `x`.
    pub fn cdf(&self, x: f64) -> f64 {
        self.ratio.cdf(x / self.ratio.numerator_df)
    }

    /// Probability of a value above `x`.
    pub fn sf(&self, x: f64) -> f64 {
        self.ratio.sf(x / self.ratio.numerator_df)
    }
}

/// The noncentral t distribution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoncentralT {
    df: f64,
    delta: f64,
}

impl NoncentralT {
    /// The distribution of `(Z + δ)/√(χ²(df)/df)`.
    ///
    /// # Errors
    /// [`NoncentralError::BadDegreesOfFreedom`] unless df is above zero and finite;
    /// [`NoncentralError::BadNoncentrality`] unless δ² ≤ [`MAX_NONCENTRALITY`].
    pub fn new(df: f64, delta: f64) -> Result<Self, NoncentralError> {
        if !(df > 0.0 && df.is_finite()) {
            return Err(NoncentralError::BadDegreesOfFreedom { df });
        }
        if !(0.0..=MAX_NONCENTRALITY).contains(&(delta * delta)) {
            return Err(NoncentralError::BadNoncentrality { value: delta });
        }
        Ok(Self { df, delta })
    }

    /// Probability of a value at or below `t`.
    pub fn cdf(&self, t: f64) -> f64 {
        self.tails(t).0
    }

    /// Probability of a value above `t`.
    pub fn sf(&self, t: f64) -> f64 {
        self.tails(t).1
    }

    /// The value that is not passed with probability `p`: by bisection to the last digits.
    ///
    /// # Errors
    /// [`NoncentralError::BadProbability`] unless 0 < p < 1.
    pub fn quantile(&self, p: f64) -> Result<f64, NoncentralError> {
        if !(p > 0.0 && p < 1.0) {
            return Err(NoncentralError::BadProbability { probability: p });
        }
        // Below the wish while the smaller of the two tails says so: no digits are lost near 1.
        let is_below = |t: f64| {
            let (lower, upper) = self.tails(t);
            if p < 0.5 { lower < p } else { upper > 1.0 - p }
        };
        let mut width = 1.0 + self.delta.abs();
        let (mut low, mut high) = (self.delta - width, self.delta + width);
        while !is_below(low) && width < f64::MAX / 4.0 {
            width *= 2.0;
            low = self.delta - width;
        }
        width = 1.0 + self.delta.abs();
        while is_below(high) && width < f64::MAX / 4.0 {
            width *= 2.0;
            high = self.delta + width;
        }
        loop {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high || high - low <= 1e-14 * high.abs().max(low.abs()) {
                return Ok(middle);
            }
            if is_below(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
    }

    fn tails(&self, t: f64) -> (f64, f64) {
        if t.is_nan() {
            return (f64::NAN, f64::NAN);
        }
        if t < 0.0 {
            let (lower, upper) = positive_t_tails(-t, -self.delta, self.df);
            (upper, lower)
        } else {
            positive_t_tails(t, self.delta, self.df)
        }
    }
}

/// Lenth (1989), for t ≥ 0: `Φ(−δ) + ½ Σ [p_j I_y(j + ½, ν/2) + q_j I_y(j + 1, ν/2)]`, `y = t²/(t² + ν)`, and its
/// complement, which is the same sum with the complements of the incomplete beta functions.
fn positive_t_tails(t: f64, delta: f64, df: f64) -> (f64, f64) {
    if t.is_infinite() {
        return (1.0, 0.0);
    }
    let square = t * t;
    let (y, rest) = if square.is_infinite() {
        (1.0, 0.0)
    } else {
        (square / (square + df), df / (square + df))
    };
    let half_df = 0.5 * df;
    // q_j/p_j = (δ/√2) Γ(j + 1)/Γ(j + 3/2)
    let odd_share = |j: f64| {
        delta * std::f64::consts::FRAC_1_SQRT_2 * (ln_gamma(j + 1.0) - ln_gamma(j + 1.5)).exp()
    };
    let (lower, upper) = poisson_mixture(0.5 * delta * delta, |j| {
        let even = incomplete_beta(j + 0.5, half_df, y, rest);
        let odd = incomplete_beta(j + 1.0, half_df, y, rest);
        let share = odd_share(j);
        (
            0.5 * (even.0 + share * odd.0),
            0.5 * (even.1 + share * odd.1),
        )
    });
    (
        (normal_sf(delta) + lower).clamp(0.0, 1.0),
        upper.clamp(0.0, 1.0),
    )
}

/// `Σ w_j f(j)` for both parts of f, w the Poisson probabilities with this mean.
fn poisson_mixture(mean: f64, parts: impl Fn(f64) -> (f64, f64)) -> (f64, f64) {
    let start = mean.floor();
    let (mut weights, mut lower, mut upper) = (0.0, 0.0, 0.0);
    let mut add = |j: f64, weight: f64| {
        let (one, other) = parts(j);
        let terms = (weight * one, weight * other);
        weights += weight;
        lower += terms.0;
        upper += terms.1;
        // Each sum must have its own last digits; a part that is 0 from here on stays 0.
        weight > NEGLIGIBLE * weights
            || terms.0.abs() > NEGLIGIBLE * lower.abs()
            || terms.1.abs() > NEGLIGIBLE * upper.abs()
    };
    let (mut j, mut weight) = (start, 1.0);
    while add(j, weight) {
        j += 1.0;
        weight *= mean / j;
    }
    (j, weight) = (start, 1.0);
    while j >= 1.0 {
        weight *= j / mean;
        j -= 1.0;
        if !add(j, weight) {
            break;
        }
    }
    (lower / weights, upper / weights)
}
