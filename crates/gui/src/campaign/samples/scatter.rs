//! Scatter for invented readings: normal numbers from a stored seed, the same on every machine.

use wetlane_stats::design::{Purpose, RandomStream, Seed};

/// A stream of normal numbers.
pub(super) struct Scatter {
    stream: RandomStream,
}

impl Scatter {
    /// The stream of a seed.
    pub(super) fn new(seed: u64, index: u32) -> Self {
        Self {
            stream: RandomStream::new(Seed(seed), Purpose::InventedReadings, index),
        }
    }

    /// A standard normal number: the mean of twelve uniform ones, centred and scaled (Irwin–Hall), which needs no
    /// function whose last digit depends on the machine.
    pub(super) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.stream.unit()).sum::<f64>() - 6.0
    }

    /// A factor exp(sd · normal), by its first two terms for the small scatters used here.
    pub(super) fn factor(&mut self, sd: f64) -> f64 {
        1.0 + sd * self.normal()
    }
}

/// Rounds a reading to the digits that a gauge shows.
pub(super) fn shown(value: f64, decimals: i32) -> f64 {
    let power = 10f64.powi(decimals);
    (value * power).round() / power
}

/// A value as a cross-cut class, 0 for the best to 5.
pub(super) fn cross_cut_class(value: f64) -> f64 {
    // Adding zero takes the sign off a rounded −0.2.
    value.round().clamp(0.0, 5.0) + 0.0
}
