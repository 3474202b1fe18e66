//! Readings become one value a run: the run, not the reading, is the experimental unit.
//!
//! Readings of one film share the run's error, so counting them as runs would fake degrees of freedom. The mean (or
//! median) goes into the fit; the scatter within the run is kept beside it and can be a response of its own as ln s.
//!
//! Sources: Box, Hunter & Hunter (2005), Statistics for Experimenters, section on "replicated" readings; Bartlett,
//! M.S. & Kendall, D.G. (1946), J. R. Statist. Soc. Suppl. 8, 128–138 for the variance 1/(2(m − 1)) of ln s.

use crate::error::FitError;

/// How readings are reduced to one number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Center {
    /// Arithmetic mean.
    Mean,
    /// Median: half the sum of the middle two for an even count.
    Median,
}

/// What the readings of one run come to.
#[derive(Debug, Clone, PartialEq)]
pub struct RunValue {
    /// Mean or median; `None` without readings.
    pub center: Option<f64>,
    /// Standard deviation within the run (n − 1); `None` with fewer than two readings.
    pub sd: Option<f64>,
    /// Number of readings.
    pub n_readings: usize,
}

impl RunValue {
    /// Reduces the readings of one run.
    ///
    /// # Errors
    /// [`FitError::BadNumber`] for a reading that is not finite.
    pub fn from_readings(readings: &[f64], center: Center) -> Result<Self, FitError> {
        if let Some(bad) = readings.iter().find(|reading| !reading.is_finite()) {
            return Err(FitError::BadNumber {
                what: "a reading",
                must_be: "finite",
                value: *bad,
            });
        }
        let mean = shifted_mean(readings);
        Ok(Self {
            center: match center {
                Center::Mean => mean,
                Center::Median => median(readings),
            },
            sd: mean.and_then(|mean| standard_deviation(readings, mean)),
            n_readings: readings.len(),
        })
    }

    /// Degrees of freedom of the standard deviation.
    pub const fn df(&self) -> usize {
        self.n_readings.saturating_sub(1)
    }

    /// ln of the standard deviation with its weight 2(m − 1), the inverse of its variance, for a fit of the scatter.
    ///
    /// Equal readings have sd 0; then the rounding of the reading stands in for it, resolution/√12 (common practice),
    /// and the value is marked. `None` with fewer than two readings, or with equal ones and no resolution above zero.
    pub fn log_sd(&self, resolution: f64) -> Option<LogSd> {
        let sd = self.sd?;
        let is_from_resolution = sd <= 0.0;
        let sd = if is_from_resolution {
            resolution / 12.0_f64.sqrt()
        } else {
            sd
        };
        (sd > 0.0 && sd.is_finite()).then(|| LogSd {
            value: sd.ln(),
            weight: 2.0 * self.df() as f64,
            is_from_resolution,
        })
    }
}

/// ln of a run's standard deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogSd {
    /// ln s.
    pub value: f64,
    /// Weight in a fit: 2(m − 1).
    pub weight: f64,
    /// True if all readings were equal and the resolution stood in.
    pub is_from_resolution: bool,
}

/// Standard deviation within runs, pooled over all of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PooledSd {
    /// √(Σ (m − 1) s² / Σ (m − 1)).
    pub sd: f64,
    /// Σ (m − 1).
    pub df: usize,
}

/// Pools the scatter within runs; `None` if no run has two readings.
pub fn pooled_sd(runs: &[RunValue]) -> Option<PooledSd> {
    let pairs = runs.iter().filter_map(|run| Some((run.sd?, run.df())));
    let (squares, df) = pairs.fold((0.0, 0), |(squares, df), (sd, own)| {
        (squares + sd * sd * own as f64, df + own)
    });
    (df > 0).then(|| PooledSd {
        sd: (squares / df as f64).sqrt(),
        df,
    })
}

/// Weights for a fit of run means with unequal numbers of readings: `1/(s_run² + s_reading²/m)`, scaled so that the
/// largest is 1; weight 0 for a run without readings.
///
/// # Errors
/// [`FitError::BadNumber`] unless both variances are finite, not negative and not both zero.
pub fn reading_count_weights(
    runs: &[RunValue],
    run_variance: f64,
    reading_variance: f64,
) -> Result<Vec<f64>, FitError> {
    for (what, value) in [
        ("the variance between runs", run_variance),
        ("the variance of readings", reading_variance),
    ] {
        if !(value.is_finite() && value >= 0.0) {
            return Err(FitError::BadNumber {
                what,
                must_be: "finite and not negative",
                value,
            });
        }
    }
    if run_variance + reading_variance <= 0.0 {
        return Err(FitError::BadNumber {
            what: "the sum of the variances",
            must_be: "above zero",
            value: run_variance + reading_variance,
        });
    }
    let precision = |run: &RunValue| match run.n_readings {
        0 => 0.0,
        m => 1.0 / (run_variance + reading_variance / m as f64),
    };
    let largest = runs.iter().map(precision).fold(0.0, f64::max);
    Ok(runs
        .iter()
        .map(|run| {
            if largest > 0.0 {
                precision(run) / largest
            } else {
                0.0
            }
        })
        .collect())
}

/// Numbers that describe a profile across positions; each can be a response of its own.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// Mean over positions.
    pub mean: f64,
    /// Largest − smallest.
    pub range: f64,
    /// Standard deviation (n − 1); `None` with one position.
    pub sd: Option<f64>,
    /// Mean of the two outermost positions − mean of the innermost one or two; `None` with fewer than three positions.
    pub edge_minus_center: Option<f64>,
    /// Least-squares slope over position; `None` unless positions differ.
    pub slope: Option<f64>,
}

impl Profile {
    /// Describes values at positions across the film.
    ///
    /// # Errors
    /// [`FitError::CompanionLength`] unless there is one position a value, [`FitError::NoRuns`] without values,
    /// [`FitError::BadNumber`] for a number that is not finite.
    pub fn new(positions: &[f64], values: &[f64]) -> Result<Self, FitError> {
        if positions.len() != values.len() {
            return Err(FitError::CompanionLength {
                what: "positions",
                expected: values.len(),
                found: positions.len(),
            });
        }
        if let Some(bad) = positions.iter().chain(values).find(|v| !v.is_finite()) {
            return Err(FitError::BadNumber {
                what: "a position or value",
                must_be: "finite",
                value: *bad,
            });
        }
        let mean = shifted_mean(values).ok_or(FitError::NoRuns)?;
        let mut order: Vec<usize> = (0..values.len()).collect();
        order.sort_by(|a, b| positions[*a].total_cmp(&positions[*b]));
        let (low, high) = values.iter().fold((values[0], values[0]), |range, v| {
            (range.0.min(*v), range.1.max(*v))
        });
        Ok(Self {
            mean,
            range: high - low,
            sd: standard_deviation(values, mean),
            edge_minus_center: edge_minus_center(&order, values),
            slope: slope(positions, values, mean),
        })
    }
}

fn edge_minus_center(order: &[usize], values: &[f64]) -> Option<f64> {
    let n = order.len();
    if n < 3 {
        return None;
    }
    let at = |place: usize| values[order[place]];
    let edge = 0.5 * (at(0) + at(n - 1));
    Some(edge - 0.5 * (at((n - 1) / 2) + at(n / 2)))
}

fn slope(positions: &[f64], values: &[f64], mean: f64) -> Option<f64> {
    let middle = shifted_mean(positions)?;
    let spread: f64 = positions.iter().map(|x| (x - middle).powi(2)).sum();
    let products: f64 = positions
        .iter()
        .zip(values)
        .map(|(x, y)| (x - middle) * (y - mean))
        .sum();
    (spread > 0.0).then(|| products / spread)
}

/// Mean of deviations from the first value, so that equal values have exactly themselves as mean.
fn shifted_mean(values: &[f64]) -> Option<f64> {
    let first = values.first()?;
    let sum: f64 = values.iter().map(|value| value - first).sum();
    Some(first + sum / values.len() as f64)
}

fn standard_deviation(values: &[f64], mean: f64) -> Option<f64> {
    if values.len() < 2 {
        return None;
    }
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    Some((squares / (values.len() as f64 - 1.0)).sqrt())
}

fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let upper = sorted.get(sorted.len() / 2)?;
    let lower = sorted.get((sorted.len() - 1) / 2)?;
    // Half the difference, so that two equal middle values have exactly themselves as median.
    Some(lower + 0.5 * (upper - lower))
}
