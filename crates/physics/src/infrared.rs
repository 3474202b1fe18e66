//! Infrared lamps: how hot they make a dry web, and what happens when the web stops below them (eqs 6.18, 6.19).

use crate::elementary::exp;
use crate::quantity::{Duration, Irradiance, Temperature, TemperatureDifference};

/// Share of the infrared that a metal foil with a thin film takes up, with the range over which it is doubted (common
/// practice); other foils have the row of [`crate::assumed`].
pub const ABSORBED_ON_METAL: (f64, f64, f64) = (0.1, 0.05, 0.2);
/// Time that a person takes to switch the lamps off when the web has stopped (common practice).
pub const REACTION_TIME: Duration = Duration::from_s(10.0);

/// A dry web under lamps, in gas on both sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WebUnderLamps {
    /// Radiation that the web takes up.
    pub absorbed: Irradiance,
    /// Gas temperature.
    pub gas: Temperature,
    /// Heat-transfer coefficients of both sides together [W/(m²·K)].
    pub both_sides_w_per_m2_k: f64,
    /// Heat capacity of the foil per area [J/(m²·K)].
    pub areal_heat_capacity_j_per_m2_k: f64,
}

impl WebUnderLamps {
    /// Temperature after a time under the lamps, from the temperature before: the exponential approach of eq 6.18 to where
    /// gas and lamps are in balance. A film that evaporates and what the hot web radiates only lower it, so that it bounds
    /// the march from above.
    pub fn after(&self, time: Duration, before: Temperature) -> Temperature {
        let h = self.both_sides_w_per_m2_k;
        let (q, c) = (
            self.absorbed.w_per_m2(),
            self.areal_heat_capacity_j_per_m2_k,
        );
        if h <= 0.0 {
            return before + TemperatureDifference::from_k(q * time.s() / c);
        }
        let balance = self.gas.k() + q / h;
        Temperature::from_k(balance + (before.k() - balance) * exp(-h * time.s() / c))
    }

    /// Time in which a web that stands still warms from one temperature to another (eq 6.19), heat given off to the gas left
    /// out; zero if it is there, infinite with the lamps off.
    pub fn time_to_reach(&self, limit: Temperature, from: Temperature) -> Duration {
        let rise = (limit - from).k();
        if rise <= 0.0 {
            return Duration::from_s(0.0);
        }
        Duration::from_s(self.areal_heat_capacity_j_per_m2_k * rise / self.absorbed.w_per_m2())
    }
}
