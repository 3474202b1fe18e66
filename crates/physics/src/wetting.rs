//! Will the wetting line hold, and will the film stay: dynamic contact angle, entrained air, dewetting.

use crate::elementary::{Elementary, OneByOne, acos, cos, ln, sin};
use crate::physical_constants::STANDARD_GRAVITY;
use crate::quantity::{Angle, Density, Length, Speed, SurfaceTension, Viscosity};

/// Coefficient and exponent of the dynamic angle of Jiang, Oh & Slattery (1979).
const JIANG_COEFFICIENT: f64 = 4.96;
const JIANG_EXPONENT: f64 = 0.702;

/// Cosine of the dynamic contact angle (eq 3.8) from the cosine of the static one.
pub(crate) fn dynamic_cosine(static_cosine: f64, capillary_number: f64) -> f64 {
    dynamic_cosine_of_logarithm(static_cosine, ln(capillary_number))
}

/// As [`dynamic_cosine`], for a caller who has the logarithm of the capillary number.
pub(crate) fn dynamic_cosine_of_logarithm(static_cosine: f64, ln_capillary_number: f64) -> f64 {
    dynamic_cosine_by::<OneByOne>(static_cosine, ln_capillary_number)
}

/// As [`dynamic_cosine_of_logarithm`], by functions of the caller's.
#[expect(
    clippy::inline_always,
    reason = "loops over many settings are vectorized through it"
)]
#[inline(always)]
pub(crate) fn dynamic_cosine_by<E: Elementary>(
    static_cosine: f64,
    ln_capillary_number: f64,
) -> f64 {
    let rise = E::tanh(JIANG_COEFFICIENT * E::exp(JIANG_EXPONENT * ln_capillary_number));
    (static_cosine - (1.0 + static_cosine) * rise).clamp(-1.0, 1.0)
}

/// Dynamic contact angle at the wetting line from the static angle and the capillary number (eq 3.8).
///
/// # Validity
/// Capillary numbers 1e-4 to 1, static angles below about 120°.
///
/// # Source
/// Jiang, Oh & Slattery (1979), J. Colloid Interface Sci. 69, 74; formula as used in open flow solvers.
pub fn dynamic_contact_angle(static_angle: Angle, capillary_number: f64) -> Angle {
    Angle::from_rad(acos(dynamic_cosine(
        cos(static_angle.rad()),
        capillary_number,
    )))
}

/// Coefficient of eq 5.1 [m/s], for the group in centimetres per second.
const BURLEY_KENNEDY_COEFFICIENT: f64 = 0.676_79;
const BURLEY_KENNEDY_EXPONENT: f64 = -0.67;
/// Plateau of the air-entrainment speed for thick inks [m/s].
pub(crate) const AIR_ENTRAINMENT_PLATEAU_M_PER_S: f64 = 0.095;

/// Speed at which a tape plunging into a pool entrains air without the plateau of thick liquids (eq 5.1).
///
/// # Validity
/// Smooth dry tape, viscosity 1 mPa·s to 0.465 Pa·s.
///
/// # Source
/// Burley & Kennedy (1976), Chem. Eng. Sci. 31, 901, abstract; the exponent is partly illegible in the scan, 0.67
/// reproduces the plateau within 10 %.
pub fn plunging_tape_speed(
    viscosity: Viscosity,
    density: Density,
    surface_tension: SurfaceTension,
) -> Speed {
    Speed::from_m_per_s(plunging_tape_m_per_s::<OneByOne>(
        viscosity.pa_s(),
        density.kg_per_m3(),
        surface_tension.n_per_m(),
    ))
}

#[expect(
    clippy::inline_always,
    reason = "loops over many settings are vectorized through it"
)]
#[inline(always)]
fn plunging_tape_m_per_s<E: Elementary>(mu: f64, rho: f64, sigma: f64) -> f64 {
    let n_cm_per_s = 100.0 * mu * (STANDARD_GRAVITY / (rho * sigma)).sqrt();
    BURLEY_KENNEDY_COEFFICIENT * E::pow(n_cm_per_s, BURLEY_KENNEDY_EXPONENT)
}

/// Speed at which air is entrained: eq 5.1 with its plateau as a floor at every viscosity.
///
/// Switching to the plateau at 0.465 Pa·s would make a jump of up to 40 %; as a floor it is at most 30 % optimistic just
/// below the switch, inside the scatter of the measurements.
pub fn air_entrainment_speed(
    viscosity: Viscosity,
    density: Density,
    surface_tension: SurfaceTension,
) -> Speed {
    Speed::from_m_per_s(air_entrainment_m_per_s(
        viscosity.pa_s(),
        density.kg_per_m3(),
        surface_tension.n_per_m(),
    ))
}

pub(crate) fn air_entrainment_m_per_s(mu: f64, rho: f64, sigma: f64) -> f64 {
    air_entrainment_by::<OneByOne>(mu, rho, sigma)
}

/// As [`air_entrainment_m_per_s`], by functions of the caller's.
#[expect(
    clippy::inline_always,
    reason = "loops over many settings are vectorized through it"
)]
#[inline(always)]
pub(crate) fn air_entrainment_by<E: Elementary>(mu: f64, rho: f64, sigma: f64) -> f64 {
    plunging_tape_m_per_s::<E>(mu, rho, sigma).max(AIR_ENTRAINMENT_PLATEAU_M_PER_S)
}

/// Coefficient of the dewetting front, spans 0.003 to 0.02 (Redon, Brochard-Wyart & Rondelez 1991, Phys. Rev. Lett. 66,
/// 715, quoted from memory, unverified).
pub const DEWETTING_COEFFICIENT: f64 = 0.006;

/// Capillary length `√(σ/ρg)`.
pub fn capillary_length(surface_tension: SurfaceTension, density: Density) -> Length {
    Length::from_m((surface_tension.n_per_m() / (density.kg_per_m3() * STANDARD_GRAVITY)).sqrt())
}

/// Thinnest film that gravity stabilises on a foil with a contact angle (eq 5.12); thinner films are metastable and
/// survive only by drying first.
///
/// # Source
/// de Gennes, Brochard-Wyart & Quéré, Capillarity and Wetting Phenomena, quoted from memory, unverified.
pub fn thinnest_stable_film(
    angle: Angle,
    surface_tension: SurfaceTension,
    density: Density,
) -> Length {
    Length::from_m(2.0 * capillary_length(surface_tension, density).m() * sin(0.5 * angle.rad()))
}

/// Speed at which the edge of a film retreats on a foil with a contact angle (eq 5.13).
pub fn dewetting_speed(
    angle: Angle,
    surface_tension: SurfaceTension,
    viscosity: Viscosity,
    coefficient: f64,
) -> Speed {
    let theta = angle.rad();
    Speed::from_m_per_s(
        coefficient * surface_tension.n_per_m() / viscosity.pa_s() * theta * theta * theta,
    )
}
