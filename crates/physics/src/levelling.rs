//! Whether marks of the head flow out before the film stiffens (eqs 4.4 to 4.7): wire marks, screens, ribs.
//!
//! Surface tension pulls a wavy film flat and viscosity holds it back. Levelling fights sagging and Marangoni flow; a film
//! that dewets must not be given the time to level.

use std::f64::consts::PI;

use crate::elementary::{exp, ln};
use crate::quantity::{Duration, Length, Pressure, SurfaceTension, Viscosity};
use crate::rheology::FlowLaw;

/// Time constants after which a mark counts as gone: 99 % of it.
pub const LEVELLING_TIME_CONSTANTS: f64 = 4.6;
/// Share of the constant-rate drying time after which the film is ten times as thick and levels no more (common practice).
pub const LEVELLING_SHARE_OF_DRYING: f64 = 0.3;

const PI_CUBED: f64 = PI * PI * PI;

/// Time constant of a wavy film, `τ = 3μλ⁴/(16π⁴σt³)` (eq 4.4).
///
/// # Validity
/// Amplitude much smaller and wavelength much larger than the film; Newtonian; viscosity and thickness do not change.
///
/// # Source
/// Orchard (1962), Appl. Sci. Res. A 11, 451, quoted from memory; the form is confirmed by three secondary sources and
/// derived again.
pub fn levelling_time_constant(
    viscosity: Viscosity,
    surface_tension: SurfaceTension,
    film: Length,
    wavelength: Length,
) -> Duration {
    Duration::from_s(time_constant_s(
        viscosity.pa_s(),
        surface_tension.n_per_m(),
        film.m(),
        wavelength.m(),
    ))
}

pub(crate) fn time_constant_s(mu: f64, sigma: f64, t: f64, lambda: f64) -> f64 {
    let square = lambda * lambda;
    3.0 * mu * square * square / (16.0 * PI_CUBED * PI * sigma * t * t * t)
}

/// Time until a mark has shrunk to a share of its first height (eq 4.5).
pub fn time_to_level(time_constant: Duration, share_left: f64) -> Duration {
    Duration::from_s(-ln(share_left) * time_constant.s())
}

/// Height of a mark after a time (eq 4.4).
pub fn amplitude_after(amplitude: Length, time: Duration, time_constant: Duration) -> Length {
    Length::from_m(amplitude.m() * exp(-time.s() / time_constant.s()))
}

/// Largest stress that drives a mark of an amplitude flat, `8π³σat/λ³` (eq 4.7, derived).
pub fn levelling_stress(
    surface_tension: SurfaceTension,
    amplitude: Length,
    film: Length,
    wavelength: Length,
) -> Pressure {
    Pressure::from_pa(stress_pa(
        surface_tension.n_per_m(),
        amplitude.m(),
        film.m(),
        wavelength.m(),
    ))
}

fn stress_pa(sigma: f64, a: f64, t: f64, lambda: f64) -> f64 {
    8.0 * PI_CUBED * sigma * a * t / (lambda * lambda * lambda)
}

/// Amplitude at which a mark freezes in an ink with a yield stress, `a = τ_y λ³/(8π³σt)` (eq 4.7, derived).
pub fn frozen_amplitude(
    yield_stress: Pressure,
    surface_tension: SurfaceTension,
    film: Length,
    wavelength: Length,
) -> Length {
    Length::from_m(frozen_amplitude_m(
        yield_stress.pa(),
        surface_tension.n_per_m(),
        film.m(),
        wavelength.m(),
    ))
}

pub(crate) fn frozen_amplitude_m(tau_y: f64, sigma: f64, t: f64, lambda: f64) -> f64 {
    tau_y / stress_pa(sigma, 1.0, t, lambda)
}

/// Viscosity [Pa·s] of an ink that only levels, under the levelling stress of a mark of the given amplitude; an ink with a
/// plateau counts as at rest, the careful end.
pub(crate) fn levelling_viscosity(law: &FlowLaw, sigma: f64, a: f64, t: f64, lambda: f64) -> f64 {
    law.viscosity_under(stress_pa(sigma, a, t, lambda))
}
