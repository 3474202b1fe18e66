//! Confidence levels and intervals.

use crate::error::FitError;

/// A confidence level or coverage: a probability strictly between 0 and 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct ConfidenceLevel(f64);

impl ConfidenceLevel {
    /// 95 %, the default everywhere (common practice).
    pub const NINETY_FIVE: Self = Self(0.95);

    /// A level such as 0.95.
    ///
    /// # Errors
    /// [`FitError::BadConfidenceLevel`] unless 0 < level < 1.
    pub fn new(level: f64) -> Result<Self, FitError> {
        if level > 0.0 && level < 1.0 {
            Ok(Self(level))
        } else {
            Err(FitError::BadConfidenceLevel { level })
        }
    }

    /// The level as a probability.
    pub const fn level(self) -> f64 {
        self.0
    }

    /// 1 − level: the probability that is left outside.
    pub const fn outside(self) -> f64 {
        1.0 - self.0
    }
}

impl Default for ConfidenceLevel {
    fn default() -> Self {
        Self::NINETY_FIVE
    }
}

/// Two ends of an interval, low ≤ high.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Interval {
    /// The interval `center ± half_width`.
    pub const fn around(center: f64, half_width: f64) -> Self {
        Self {
            low: center - half_width,
            high: center + half_width,
        }
    }

    /// True if the value lies inside or on an end.
    pub fn contains(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }
}
