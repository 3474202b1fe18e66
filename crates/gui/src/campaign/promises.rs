//! What check runs at a chosen point are promised: intervals that hold together.
//!
//! A check run is a new run, so each promise is a prediction interval of one new run. All promises of all check runs
//! are to hold at once with the wanted confidence, since a single breach is read as "not proven": the level of each is
//! 1 − (1 − level)/(qualities · check runs), Bonferroni's inequality (Miller 1981, Simultaneous Statistical Inference,
//! section 1.3). Fits with blocks promise for their average: what a new day or bottle adds is not in the interval.

use std::collections::BTreeMap;

use wetlane_stats::{ConfidenceLevel, Interval};

use super::analysis::{AnalysisError, QualityFit};
use super::project::{Goal, Promise, Settings};

/// Confidence with which all promises hold together.
pub const PROMISED_TOGETHER: f64 = 0.95;
/// Digits of a promise. It is said aloud and compared with a gauge; its ends are rounded outward, never inward.
const DIGITS: i32 = 4;

/// The intervals promised for each of `n_check_runs` runs at some settings, by quality id.
///
/// Qualities that are only watched, and those whose fit leaves no finite interval at this point, are promised nothing.
pub fn promises_at(
    fits: &[(String, Result<QualityFit, AnalysisError>)],
    settings: &Settings,
    n_check_runs: usize,
) -> BTreeMap<String, Promise> {
    let wanted: Vec<(&str, &QualityFit)> = fits
        .iter()
        .filter_map(|(id, fit)| Some((id.as_str(), fit.as_ref().ok()?)))
        .filter(|(_, fit)| fit.quality.goal != Goal::Watch)
        .collect();
    let n_promises = (wanted.len() * n_check_runs).max(1) as f64;
    let Ok(level) = ConfidenceLevel::new(1.0 - (1.0 - PROMISED_TOGETHER) / n_promises) else {
        return BTreeMap::new();
    };
    wanted
        .into_iter()
        .filter_map(|(id, fit)| {
            let predicted = fit.predict(settings, level).ok()?;
            Some((id.to_owned(), promise(predicted.single.ok()?)?))
        })
        .collect()
}

fn promise(interval: Interval) -> Option<Promise> {
    let size = interval.low.abs().max(interval.high.abs());
    let promise = Promise {
        low: rounded(interval.low, size, f64::floor),
        high: rounded(interval.high, size, f64::ceil),
    };
    (promise.low.is_finite() && promise.high.is_finite()).then_some(promise)
}

/// Rounds to [`DIGITS`] digits of a number of this size, in the direction of `to_whole`.
fn rounded(value: f64, size: f64, to_whole: impl Fn(f64) -> f64) -> f64 {
    // The decade from the printed number: exact, where a logarithm may be off by its last digit.
    let printed = format!("{size:e}");
    let decade: i32 = printed
        .split_once('e')
        .and_then(|(_, exponent)| exponent.parse().ok())
        .unwrap_or(0);
    let decimals = DIGITS - 1 - decade;
    let step = 10f64.powi(decimals.abs());
    if decimals >= 0 {
        to_whole(value * step) / step
    } else {
        to_whole(value / step) * step
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_are_rounded_outward() {
        let of = |low, high| {
            let promise = promise(Interval { low, high }).unwrap();
            (promise.low, promise.high)
        };
        assert_eq!(of(17.2349, 18.7611), (17.23, 18.77));
        assert_eq!(of(-0.012_345, 0.001_111), (-0.01235, 0.00112));
        assert_eq!(of(123_456.0, 234_567.0), (123_400.0, 234_600.0));
        assert_eq!(of(2.0, 4.0), (2.0, 4.0));
        assert!(
            promise(Interval {
                low: 0.0,
                high: f64::INFINITY
            })
            .is_none()
        );
    }
}
