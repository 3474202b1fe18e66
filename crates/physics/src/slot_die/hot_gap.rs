//! What heat takes from a gap that was set cold (eq 3.12). A gap is otherwise taken as set hot, the foil subtracted.

use crate::quantity::{Length, TemperatureDifference};

/// Thermal expansion of structural steel [1/K] (common handbook value).
pub const STEEL_EXPANSION_PER_K: f64 = 12e-6;

/// A body that grows into the gap: half the diameter of the backing roller, or the length of the die.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrowingBody {
    /// Length that grows towards the gap.
    pub length: Length,
    /// Thermal expansion [1/K].
    pub expansion_per_k: f64,
    /// Rise since the gap was set.
    pub rise: TemperatureDifference,
}

impl GrowingBody {
    /// By how much it grows.
    pub fn growth(&self) -> Length {
        Length::from_m(self.length.m() * self.expansion_per_k * self.rise.k())
    }
}

/// Gap that is left of one set cold; zero or negative if the bodies touch (eq 3.12).
pub fn hot_gap(cold_gap: Length, roller: GrowingBody, die: GrowingBody) -> Length {
    Length::from_m(cold_gap.m() - roller.growth().m() - die.growth().m())
}
