//! Pressure from the plunger to the lips, and the shear-thinning ink in tube and slot (eqs 2.17, 2.18).

use std::f64::consts::PI;

use crate::elementary::ln;
use crate::line::Rheology;
use crate::quantity::{Length, Pressure, VolumeFlow};

/// How far a shear rate is moved either way to read the slope of a flow curve.
const SLOPE_STEP: f64 = 1.01;
/// Least slope of stress over rate on logarithmic scales that is believed; a flatter flow curve slips or bands.
const LEAST_INDEX: f64 = 0.05;

/// Tube and feed slot in series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PumpLine {
    /// Inner diameter of the tube.
    pub tube_bore: Length,
    /// Length of the tube.
    pub tube_length: Length,
    /// Coated width, over which the slot feeds.
    pub slot_width: Length,
    /// Height of the slot.
    pub slot_height: Length,
    /// Length of the slot.
    pub slot_length: Length,
}

impl PumpLine {
    /// Pressure drop of the tube (eq 2.17) and the slot (eq 2.18) at a flow.
    ///
    /// A shear-thinning ink is taken at its wall shear rate with the correction of Weissenberg & Rabinowitsch, which is
    /// exact for a power law; the printed equations follow for a Newtonian ink.
    ///
    /// # Validity
    /// Laminar, developed flow without yield stress or wall slip; the manifold takes nothing.
    ///
    /// # Source
    /// Bird, Armstrong & Hassager, Dynamics of Polymeric Liquids, quoted from memory, unverified.
    pub fn pressure_drop(&self, rheology: &Rheology, flow: VolumeFlow) -> Pressure {
        let viscosity = |rate: f64| rheology.viscosity_at(rate).pa_s();
        Pressure::from_pa(self.pressure_drop_pa(&viscosity, flow.m3_per_s()))
    }

    /// With the viscosity [Pa·s] as a function of the shear rate [1/s].
    pub(crate) fn pressure_drop_pa(&self, viscosity: &impl Fn(f64) -> f64, q: f64) -> f64 {
        let (a, h) = (0.5 * self.tube_bore.m(), self.slot_height.m());
        let in_tube = wall_stress(viscosity, 4.0 * q / (PI * a * a * a), |n| {
            (3.0 * n + 1.0) / (4.0 * n)
        });
        let in_slot = wall_stress(viscosity, slot_wall_rate(self.slot_width.m(), h, q), |n| {
            (2.0 * n + 1.0) / (3.0 * n)
        });
        2.0 * self.tube_length.m() / a * in_tube + 2.0 * self.slot_length.m() / h * in_slot
    }
}

/// Shear rate of a Newtonian ink at the wall of a feed slot [1/s] (eq 1.17).
pub(crate) fn slot_wall_rate(width: f64, height: f64, flow: f64) -> f64 {
    6.0 * flow / (width * height * height)
}

/// Shear stress at a wall \[Pa\] where a Newtonian liquid has a shear rate; `correction` gives the true rate over that from
/// the index of the flow curve there.
fn wall_stress(
    viscosity: &impl Fn(f64) -> f64,
    newtonian_rate: f64,
    correction: impl Fn(f64) -> f64,
) -> f64 {
    let rate = newtonian_rate * correction(local_index(viscosity, newtonian_rate));
    viscosity(rate) * rate
}

/// Slope of stress over rate on logarithmic scales: the index of the power law that touches the flow curve at a rate.
pub(crate) fn local_index(viscosity: &impl Fn(f64) -> f64, rate: f64) -> f64 {
    let ratio = viscosity(rate * SLOPE_STEP) / viscosity(rate / SLOPE_STEP);
    (1.0 + ln(ratio) / (2.0 * ln(SLOPE_STEP))).max(LEAST_INDEX)
}
