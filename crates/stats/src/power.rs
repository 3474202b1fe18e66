//! Power: the chance that a test finds an effect of a given size (docs/methods.md, 4.5).
//!
//! The test of a term has noncentrality `λ = β' C⁻¹ β / σ²`, C the term's block of `(X'X)⁻¹`. Sizes are given as the
//! change E that a term makes across its coded range, in standard deviations between runs.

use nalgebra::{DMatrix, DVector};

use crate::distributions::{DistributionError, FisherF};
use crate::noncentral::{MAX_NONCENTRALITY, NoncentralError, NoncentralF};

/// Beyond this noncentrality the power is 1 to the last digit, whatever the degrees of freedom.
const CERTAIN: f64 = MAX_NONCENTRALITY / 10.0;

/// A question to which no power can be given.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum PowerError {
    /// A significance level outside 0..1.
    #[error("the significance level {alpha} is not between 0 and 1")]
    BadSignificanceLevel {
        /// What was given.
        alpha: f64,
    },
    /// An effect that is negative or not finite.
    #[error("the effect {effect} (in standard deviations) is not a finite number from zero up")]
    BadEffect {
        /// What was given.
        effect: f64,
    },
    /// Degrees of freedom or noncentrality with which there is no noncentral distribution.
    #[error(transparent)]
    Noncentral(#[from] NoncentralError),
    /// Degrees of freedom with which there is no central distribution.
    #[error(transparent)]
    Central(#[from] DistributionError),
}

/// Power of an F test at significance level `alpha`: the chance that F'(df1, df2, λ) passes the upper alpha point of
/// F(df1, df2). Infinite `df2` stands for a known standard deviation.
///
/// # Errors
/// [`PowerError::BadSignificanceLevel`] unless 0 < alpha < 1; [`PowerError::Noncentral`] for degrees of freedom that
/// are not above zero or a negative λ.
pub fn power_of_f_test(df1: f64, df2: f64, lambda: f64, alpha: f64) -> Result<f64, PowerError> {
    if !(alpha > 0.0 && alpha < 1.0) {
        return Err(PowerError::BadSignificanceLevel { alpha });
    }
    // Only the size that matters is cut: NaN and negative numbers are refused below.
    let lambda = if lambda > CERTAIN { CERTAIN } else { lambda };
    let distribution = NoncentralF::new(df1, df2, lambda)?;
    let central = FisherF::new(df1, df2)?;
    Ok(distribution.sf(central.upper_quantile(alpha)))
}

/// Noncentrality of the test of a term when the range of its contribution over the settings is `effect` and the rest of
/// the coefficients is as unlucky as can be.
///
/// `covariance` is C in units of σ², one row and column for each column of the term; `settings` holds the term's
/// columns at the settings between which the contribution may range, such as the levels of a category. For the pair
/// of settings (u, v) the smallest λ with contributions differing by E is `E²/(d'Cd)`, d the difference of their
/// columns; the least over all pairs is taken. For one column that is the coefficient `E/width` of docs/methods.md;
/// for a balanced category with r runs a level it is `λ = r E²/2` (two levels E apart, the others midway).
///
/// `None` if the settings do not differ in the term.
pub fn least_noncentrality(
    effect: f64,
    covariance: &DMatrix<f64>,
    settings: &[DVector<f64>],
) -> Option<f64> {
    let mut largest = 0.0_f64;
    for (place, one) in settings.iter().enumerate() {
        for other in &settings[place + 1..] {
            let difference = one - other;
            largest = largest.max((difference.transpose() * covariance * &difference)[(0, 0)]);
        }
    }
    (largest > 0.0).then(|| effect * effect / largest)
}

/// Smallest number of replicates of a plan whose power at a term reaches `wanted`; `None` if `max_replicates` do not.
///
/// One replicate has `n_runs` runs, `rank` estimated columns (the same in all replicates) and noncentrality
/// `lambda_of_one`, which grows with the number of replicates.
///
/// # Errors
/// As [`power_of_f_test`].
pub fn replicates_for_power(
    plan: ReplicatedTest,
    wanted: f64,
    max_replicates: usize,
) -> Result<Option<usize>, PowerError> {
    for n_replicates in 1..=max_replicates {
        let n_runs = plan.n_runs.saturating_mul(n_replicates);
        if n_runs <= plan.rank {
            continue;
        }
        let df2 = (n_runs - plan.rank) as f64;
        let lambda = plan.lambda_of_one * n_replicates as f64;
        if power_of_f_test(plan.df1, df2, lambda, plan.alpha)? >= wanted {
            return Ok(Some(n_replicates));
        }
    }
    Ok(None)
}

/// A test in a plan that may be replicated as a whole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReplicatedTest {
    /// Runs of one replicate.
    pub n_runs: usize,
    /// Columns that are estimated.
    pub rank: usize,
    /// Columns that are tested.
    pub df1: f64,
    /// Noncentrality with one replicate.
    pub lambda_of_one: f64,
    /// Significance level.
    pub alpha: f64,
}
