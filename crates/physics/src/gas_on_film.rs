//! What the drying gas does to a liquid film: shear along it, and pressure of jets onto it.

use crate::gas::GasProperties;
use crate::quantity::{Length, Pressure, Speed, Viscosity};

/// Stress of gas flowing along a plate, averaged over a length, laminar (textbook, quoted from memory).
pub fn mean_plate_shear(speed: Speed, length: Length, gas: GasProperties) -> Pressure {
    let (u, rho) = (speed.m_per_s(), gas.density_kg_per_m3);
    let re = u * length.m() * rho / gas.viscosity_pa_s;
    Pressure::from_pa(0.5 * rho * u * u * MEAN_DRAG_COEFFICIENT / re.sqrt())
}

/// Local stress at the end of the length, half of the mean.
pub fn local_plate_shear(speed: Speed, length: Length, gas: GasProperties) -> Pressure {
    Pressure::from_pa(0.5 * mean_plate_shear(speed, length, gas).pa())
}

/// Mean drag coefficient of a laminar plate times the root of the Reynolds number (Blasius 1908).
const MEAN_DRAG_COEFFICIENT: f64 = 1.328;

/// Speed of a film's surface under the shear of gas: `τt/μ`.
pub fn film_speed_under_shear(
    shear: Pressure,
    wet_thickness: Length,
    viscosity: Viscosity,
) -> Speed {
    Speed::from_m_per_s(shear.pa() * wet_thickness.m() / viscosity.pa_s())
}

/// Stagnation pressure of a jet.
pub fn jet_pressure(exit_speed: Speed, gas: GasProperties) -> Pressure {
    let u = exit_speed.m_per_s();
    Pressure::from_pa(0.5 * gas.density_kg_per_m3 * u * u)
}

/// Mean speed of a film under a pressure that falls off over a distance: `t²Δp/(3μS)`.
pub fn film_speed_under_jet(
    pressure: Pressure,
    falls_over: Length,
    wet_thickness: Length,
    viscosity: Viscosity,
) -> Speed {
    let t = wet_thickness.m();
    Speed::from_m_per_s(t * t * pressure.pa() / (3.0 * viscosity.pa_s() * falls_over.m()))
}
