//! Central distributions: normal, Student's t, Fisher's F, chi-square and beta.
//!
//! Upper tails are computed as such and never as 1 − cdf, so a p-value of 1e-300 is still meant. The incomplete beta
//! and gamma functions are continued fractions and series (modified Lentz method) whose prefactor is Loader's (2000)
//! saddle-point form; it keeps 13 digits and more where a difference of log-gammas of large arguments does not.
//! Quantiles are Newton steps on the logarithm of the smaller tail: that function is concave in the log-odds (beta, F,
//! t) or the logarithm (chi-square) of the variable, so the steps converge from any start and end at rounding level.
//!
//! Sources: Loader, C. (2000), Fast and accurate computation of binomial probabilities. Abramowitz & Stegun (1964),
//! Handbook of Mathematical Functions, chapters 6 and 26. Di Donato & Morris (1992), Algorithm 708, ACM Trans. Math.
//! Softw. 18, 360–373. Thompson & Barnett (1986), J. Comput. Phys. 64, 490–509
//! (modified Lentz).

use std::f64::consts::{PI, SQRT_2};

use statrs::function::erf::erfc_inv;
use statrs::function::gamma::ln_gamma;

/// A parameter with which there is no such distribution.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum DistributionError {
    /// Degrees of freedom that are not above zero.
    #[error("{df} is no number of degrees of freedom: it must be above zero")]
    BadDegreesOfFreedom {
        /// What was given.
        df: f64,
    },
    /// A shape that is not finite or not above zero.
    #[error("{shape} is no shape of a beta distribution: it must be finite and above zero")]
    BadShape {
        /// What was given.
        shape: f64,
    },
}

/// Probability of a standard normal variable to lie at or below `z`.
pub fn normal_cdf(z: f64) -> f64 {
    normal_sf(-z)
}

/// Probability of a standard normal variable to lie above `z`.
pub fn normal_sf(z: f64) -> f64 {
    // erfc(x) = Q(1/2, x²) (Abramowitz & Stegun 6.5.17); the library's own erfc is only good to 11 digits.
    let (inside, outside) = incomplete_gamma(0.5, 0.5 * z * z);
    if z < 0.0 {
        0.5 + 0.5 * inside
    } else {
        0.5 * outside
    }
}

/// Density of the standard normal distribution.
pub fn normal_density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * PI).sqrt()
}

/// The value that a standard normal variable stays below with probability `p` (taken as 0 below 0, as 1 above 1).
pub fn normal_quantile(p: f64) -> f64 {
    if p.is_nan() {
        return f64::NAN;
    }
    if p <= 0.0 {
        return f64::NEG_INFINITY;
    }
    if p >= 1.0 {
        return f64::INFINITY;
    }
    // The lower tail is the smaller one, so its logarithm is well conditioned; 1 − p is exact from 0.5 on.
    let (tail, sign) = if p <= 0.5 { (p, 1.0) } else { (1.0 - p, -1.0) };
    let mut z = -SQRT_2 * erfc_inv(2.0 * tail);
    for _ in 0..2 {
        let below = normal_cdf(z);
        let density = normal_density(z);
        if below > 0.0 && density > 0.0 {
            z -= (below / tail).ln() * below / density;
        }
    }
    sign * z
}

/// Student's t distribution with any degrees of freedom above zero; infinite ones give the normal distribution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StudentT {
    df: f64,
}

impl StudentT {
    /// The distribution with `df` degrees of freedom.
    ///
    /// # Errors
    /// [`DistributionError::BadDegreesOfFreedom`] unless df > 0.
    pub fn new(df: f64) -> Result<Self, DistributionError> {
        checked_df(df).map(|df| Self { df })
    }

    /// Probability of a value at or below `t`.
    pub fn cdf(&self, t: f64) -> f64 {
        self.sf(-t)
    }

    /// Probability of a value above `t`.
    pub fn sf(&self, t: f64) -> f64 {
        if self.df.is_infinite() {
            return normal_sf(t);
        }
        let half_two_sided = 0.5 * self.two_sided(t);
        if t < 0.0 {
            1.0 - half_two_sided
        } else {
            half_two_sided
        }
    }

    /// Probability of a value farther from zero than |t|: the two-sided p-value.
    pub fn two_sided(&self, t: f64) -> f64 {
        if self.df.is_infinite() {
            return 2.0 * normal_sf(t.abs());
        }
        let ratio = t * (t / self.df);
        let (toward_zero, outward) = split_odds(ratio);
        incomplete_beta(0.5, 0.5 * self.df, outward, toward_zero).1
    }

    /// The value that is not passed with probability `p` (taken as 0 below 0, as 1 above 1).
    pub fn quantile(&self, p: f64) -> f64 {
        if self.df.is_infinite() || p.is_nan() {
            return normal_quantile(p);
        }
        let (smaller, sign) = if p < 0.5 { (p, -1.0) } else { (1.0 - p, 1.0) };
        sign * self.two_sided_quantile(2.0 * smaller)
    }

    /// The positive value whose two-sided tail probability is `q`: `t(1 − q/2)`.
    pub fn two_sided_quantile(&self, q: f64) -> f64 {
        if self.df.is_infinite() || q.is_nan() {
            return -normal_quantile(0.5 * q);
        }
        let log_odds = beta_log_odds(0.5, 0.5 * self.df, 1.0 - q, q);
        (0.5 * log_odds).exp() * self.df.sqrt()
    }
}

/// Fisher's F distribution; infinite denominator degrees of freedom give chi-square / df.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FisherF {
    numerator_df: f64,
    denominator_df: f64,
}

impl FisherF {
    /// The distribution of a ratio of mean squares with these degrees of freedom.
    ///
    /// # Errors
    /// [`DistributionError::BadDegreesOfFreedom`] unless both are above zero and the numerator's finite.
    pub fn new(numerator_df: f64, denominator_df: f64) -> Result<Self, DistributionError> {
        if numerator_df.is_infinite() {
            return Err(DistributionError::BadDegreesOfFreedom { df: numerator_df });
        }
        Ok(Self {
            numerator_df: checked_df(numerator_df)?,
            denominator_df: checked_df(denominator_df)?,
        })
    }

    /// Probability of a ratio at or below `f`.
    pub fn cdf(&self, f: f64) -> f64 {
        self.tails(f).0
    }

    /// Probability of a ratio above `f`: the p-value.
    pub fn sf(&self, f: f64) -> f64 {
        self.tails(f).1
    }

    /// The ratio that is not passed with probability `p` (taken as 0 below 0, as 1 above 1).
    pub fn quantile(&self, p: f64) -> f64 {
        self.quantile_of_tails(p, 1.0 - p)
    }

    /// The ratio that is passed with probability `q`; exact also for tiny `q`.
    pub fn upper_quantile(&self, q: f64) -> f64 {
        self.quantile_of_tails(1.0 - q, q)
    }

    fn tails(&self, f: f64) -> (f64, f64) {
        if f.is_nan() {
            return (f64::NAN, f64::NAN);
        }
        if f <= 0.0 {
            return (0.0, 1.0);
        }
        if self.denominator_df.is_infinite() {
            return incomplete_gamma(0.5 * self.numerator_df, 0.5 * self.numerator_df * f);
        }
        let (y, x) = split_odds(self.numerator_df * f / self.denominator_df);
        incomplete_beta(0.5 * self.numerator_df, 0.5 * self.denominator_df, x, y)
    }

    fn quantile_of_tails(&self, lower: f64, upper: f64) -> f64 {
        let (a, b) = (0.5 * self.numerator_df, 0.5 * self.denominator_df);
        if b.is_infinite() {
            return gamma_log_quantile(a, lower, upper).exp() / a;
        }
        beta_log_odds(a, b, lower, upper).exp() * (self.denominator_df / self.numerator_df)
    }
}

/// The chi-square distribution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChiSquare {
    df: f64,
}

impl ChiSquare {
    /// The distribution with `df` degrees of freedom.
    ///
    /// # Errors
    /// [`DistributionError::BadDegreesOfFreedom`] unless df is above zero and finite.
    pub fn new(df: f64) -> Result<Self, DistributionError> {
        if df.is_infinite() {
            return Err(DistributionError::BadDegreesOfFreedom { df });
        }
        checked_df(df).map(|df| Self { df })
    }

    /// Probability of a value at or below `x`.
    pub fn cdf(&self, x: f64) -> f64 {
        incomplete_gamma(0.5 * self.df, 0.5 * x).0
    }

    /// Probability of a value above `x`.
    pub fn sf(&self, x: f64) -> f64 {
        incomplete_gamma(0.5 * self.df, 0.5 * x).1
    }

    /// The value that is not passed with probability `p` (taken as 0 below 0, as 1 above 1).
    pub fn quantile(&self, p: f64) -> f64 {
        2.0 * gamma_log_quantile(0.5 * self.df, p, 1.0 - p).exp()
    }

    /// The value that is passed with probability `q`; exact also for tiny `q`.
    pub fn upper_quantile(&self, q: f64) -> f64 {
        2.0 * gamma_log_quantile(0.5 * self.df, 1.0 - q, q).exp()
    }
}

/// The beta distribution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beta {
    a: f64,
    b: f64,
}

impl Beta {
    /// The distribution with density proportional to `x^(a−1) (1−x)^(b−1)`.
    ///
    /// # Errors
    /// [`DistributionError::BadShape`] unless both shapes are finite and above zero.
    pub fn new(a: f64, b: f64) -> Result<Self, DistributionError> {
        for shape in [a, b] {
            if !(shape.is_finite() && shape > 0.0) {
                return Err(DistributionError::BadShape { shape });
            }
        }
        Ok(Self { a, b })
    }

    /// Probability of a value at or below `x`: the regularized incomplete beta function.
    pub fn cdf(&self, x: f64) -> f64 {
        incomplete_beta(self.a, self.b, x, 1.0 - x).0
    }

    /// Probability of a value above `x`.
    pub fn sf(&self, x: f64) -> f64 {
        incomplete_beta(self.a, self.b, x, 1.0 - x).1
    }

    /// The value that is not passed with probability `p` (taken as 0 below 0, as 1 above 1).
    pub fn quantile(&self, p: f64) -> f64 {
        split_odds(beta_log_odds(self.a, self.b, p, 1.0 - p).exp()).1
    }
}

fn checked_df(df: f64) -> Result<f64, DistributionError> {
    if df > 0.0 {
        Ok(df)
    } else {
        Err(DistributionError::BadDegreesOfFreedom { df })
    }
}

/// `(1/(1+r), r/(1+r))` without loss at either end.
fn split_odds(r: f64) -> (f64, f64) {
    if r.is_infinite() {
        (0.0, 1.0)
    } else {
        (1.0 / (1.0 + r), r / (1.0 + r))
    }
}

/// Regularized incomplete beta function and its complement: `(I_x(a, b), 1 − I_x(a, b))`, both without cancellation.
///
/// `y` is 1 − x, given apart because the caller often knows it with more digits. Outside 0..1 the tails are 0 and 1.
pub(crate) fn incomplete_beta(a: f64, b: f64, x: f64, y: f64) -> (f64, f64) {
    if x.is_nan() || y.is_nan() {
        return (f64::NAN, f64::NAN);
    }
    if x <= 0.0 {
        return (0.0, 1.0);
    }
    if y <= 0.0 {
        return (1.0, 0.0);
    }
    let prefix = beta_prefix(a, b, x, y);
    // The fraction converges fast below the mean a/(a + b); above it the mirrored one does.
    if b * x <= a * y {
        let lower = (prefix / beta_fraction(a, b, x, y)).min(1.0);
        (lower, 1.0 - lower)
    } else {
        let upper = (prefix / beta_fraction(b, a, y, x)).min(1.0);
        (1.0 - upper, upper)
    }
}

/// `x^a y^b / B(a, b)` by Loader's (2000) form of the binomial probability.
pub(crate) fn beta_prefix(a: f64, b: f64, x: f64, y: f64) -> f64 {
    let n = a + b;
    let exponent = stirling_error(n)
        - stirling_error(a)
        - stirling_error(b)
        - deviance(a, n * x)
        - deviance(b, n * y);
    exponent.exp() * (a * (b / n) / (2.0 * PI)).sqrt()
}

/// Smallest number that stands for zero in Lentz's method.
const LENTZ_FLOOR: f64 = 1e-300;

/// Upper limit of terms; the fractions need about 5·√(largest parameter), so this serves up to 1e8.
const MAX_TERMS: u32 = 100_000;

/// Continued fraction of the incomplete beta function in the contracted form of Di Donato & Morris (1992), equation 9,
/// where x and 1 − x stand apart: the common form loses digits to 1 − x when one parameter is large.
fn beta_fraction(a: f64, b: f64, x: f64, y: f64) -> f64 {
    let away_from_zero = |v: f64| {
        if v.abs() < LENTZ_FLOOR {
            LENTZ_FLOOR
        } else {
            v
        }
    };
    let below_mean = a * y - b * x + 1.0;
    let mut fraction = away_from_zero(a * below_mean / (a + 1.0));
    let (mut c, mut d) = (fraction, 0.0);
    for term in 1..=MAX_TERMS {
        let n = f64::from(term);
        let odd = a + 2.0 * n - 1.0;
        let share = n * (b - n) * x / odd;
        let numerator = (a + n - 1.0) * (a + b + n - 1.0) / odd * share * x;
        let denominator = n + share + (a + n) * (below_mean + n * (1.0 + y)) / (odd + 2.0);
        d = 1.0 / away_from_zero(denominator + numerator * d);
        c = away_from_zero(denominator + numerator / c);
        let change = c * d;
        fraction *= change;
        if (change - 1.0).abs() <= f64::EPSILON {
            break;
        }
    }
    fraction
}

/// Regularized incomplete gamma functions `(P(a, x), Q(a, x))`, both without cancellation.
pub(crate) fn incomplete_gamma(a: f64, x: f64) -> (f64, f64) {
    if x.is_nan() {
        return (f64::NAN, f64::NAN);
    }
    if x <= 0.0 {
        return (0.0, 1.0);
    }
    if x.is_infinite() {
        return (1.0, 0.0);
    }
    let prefix = poisson_density(a, x);
    if x < a + 1.0 {
        let lower = (prefix * gamma_series(a, x)).min(1.0);
        (lower, 1.0 - lower)
    } else {
        let upper = (prefix * a * gamma_fraction(a, x)).min(1.0);
        (1.0 - upper, upper)
    }
}

/// `x^a e^−x / Γ(a + 1)` by Loader's (2000) saddle-point form.
fn poisson_density(a: f64, x: f64) -> f64 {
    (-stirling_error(a) - deviance(a, x)).exp() / (2.0 * PI * a).sqrt()
}

/// Series `1 + x/(a+1) + x²/((a+1)(a+2)) + …` (Abramowitz & Stegun 6.5.29).
fn gamma_series(a: f64, x: f64) -> f64 {
    let (mut sum, mut term, mut divisor) = (1.0, 1.0, a);
    for _ in 0..MAX_TERMS {
        divisor += 1.0;
        term *= x / divisor;
        sum += term;
        if term <= sum * 0.5 * f64::EPSILON {
            break;
        }
    }
    sum
}

/// Continued fraction of the upper incomplete gamma function without its prefactor (Abramowitz & Stegun 6.5.31).
fn gamma_fraction(a: f64, x: f64) -> f64 {
    let away_from_zero = |v: f64| {
        if v.abs() < LENTZ_FLOOR {
            LENTZ_FLOOR
        } else {
            v
        }
    };
    let mut b = x + 1.0 - a;
    let mut c = 1.0 / LENTZ_FLOOR;
    let mut d = 1.0 / away_from_zero(b);
    let mut fraction = d;
    for term in 1..=MAX_TERMS {
        let i = f64::from(term);
        let numerator = -i * (i - a);
        b += 2.0;
        d = 1.0 / away_from_zero(numerator * d + b);
        c = away_from_zero(b + numerator / c);
        let change = d * c;
        fraction *= change;
        if (change - 1.0).abs() <= f64::EPSILON {
            break;
        }
    }
    fraction
}

/// `ln Γ(z+1) − (z + ½) ln z + z − ½ ln 2π`: what Stirling's formula leaves over (Loader 2000, section 2).
fn stirling_error(z: f64) -> f64 {
    if z <= 15.0 {
        return ln_gamma(z + 1.0) - (z + 0.5) * z.ln() + z - 0.5 * (2.0 * PI).ln();
    }
    // Abramowitz & Stegun 6.1.41; the next term is below 2e-16 from z = 15 on.
    let square = z * z;
    let tail = 1.0 / 1680.0 - (1.0 / 1188.0) / square;
    let tail = 1.0 / 1260.0 - tail / square;
    let tail = 1.0 / 360.0 - tail / square;
    (1.0 / 12.0 - tail / square) / z
}

/// Deviance part `k ln(k/m) + m − k`, without cancellation near k = m (Loader 2000, section 2.2).
fn deviance(k: f64, m: f64) -> f64 {
    if (k - m).abs() >= 0.1 * (k + m) {
        return k * (k / m).ln() + m - k;
    }
    let v = (k - m) / (k + m);
    let mut sum = (k - m) * v;
    let mut power = 2.0 * k * v;
    for j in 1..1000 {
        power *= v * v;
        let next = sum + power / f64::from(2 * j + 1);
        #[expect(
            clippy::float_cmp,
            reason = "the series ends when a term changes nothing"
        )]
        if next == sum {
            break;
        }
        sum = next;
    }
    sum
}

/// Log-odds `ln(x/(1−x))` of the beta quantile whose tails are `lower` and `upper` (their sum is 1).
fn beta_log_odds(a: f64, b: f64, lower: f64, upper: f64) -> f64 {
    log_concave_root((a / b).ln(), lower, upper, |u| {
        let (y, x) = split_odds(u.exp());
        let (below, above) = incomplete_beta(a, b, x, y);
        (below, above, beta_prefix(a, b, x, y))
    })
}

/// Logarithm of the quantile of the gamma distribution with shape `a` and scale 1.
fn gamma_log_quantile(a: f64, lower: f64, upper: f64) -> f64 {
    log_concave_root(a.ln(), lower, upper, |u| {
        let x = u.exp();
        let (below, above) = incomplete_gamma(a, x);
        (below, above, a * poisson_density(a, x))
    })
}

/// Solves `below(u) = lower` for a distribution that is log-concave in `u`, by Newton steps on the logarithm of the
/// smaller tail. `at(u)` returns both tails and the density in `u`.
fn log_concave_root(
    start: f64,
    lower: f64,
    upper: f64,
    at: impl Fn(f64) -> (f64, f64, f64),
) -> f64 {
    if lower.is_nan() || upper.is_nan() {
        return f64::NAN;
    }
    if lower <= 0.0 || upper >= 1.0 {
        return f64::NEG_INFINITY;
    }
    if upper <= 0.0 || lower >= 1.0 {
        return f64::INFINITY;
    }
    let use_lower = lower <= upper;
    let wanted = if use_lower { lower } else { upper };
    let mut u = start;
    let mut last_step = f64::INFINITY;
    for _ in 0..200 {
        let (below, above, density) = at(u);
        let (tail, sign) = if use_lower {
            (below, 1.0)
        } else {
            (above, -1.0)
        };
        if !(tail > 0.0 && density > 0.0) {
            // Beyond the smallest number: halve the way back to the start, where the tail is of order one.
            u = 0.5 * (u + start);
            continue;
        }
        let step = sign * (wanted / tail).ln() * tail / density;
        let reached = step.abs() <= 2.0 * f64::EPSILON * (1.0 + u.abs());
        // Convergence is quadratic and one-sided, so a step that no longer shrinks is rounding noise.
        let stalled = step.abs() < 1e-9 && step.abs() >= 0.5 * last_step;
        u += step.clamp(-50.0, 50.0);
        if reached || stalled {
            break;
        }
        last_step = step.abs();
    }
    u
}
