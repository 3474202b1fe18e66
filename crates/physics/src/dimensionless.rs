//! Dimensionless numbers of coating flow (eqs 1.1 to 1.8). Plain `f64`, because they carry no unit.

use crate::physical_constants::STANDARD_GRAVITY;
use crate::quantity::{Density, HeatTransferCoefficient, Length, Speed, SurfaceTension, Viscosity};

/// Capillary number `Ca = μU/σ`, viscous over capillary forces (eq 1.1).
///
/// # Examples
/// ```
/// use wetlane_physics::dimensionless::capillary_number;
/// use wetlane_physics::quantity::{Speed, SurfaceTension, Viscosity};
/// let ca = capillary_number(
///     Viscosity::from_mpa_s(10.0),
///     Speed::from_m_per_min(1.0),
///     SurfaceTension::from_mn_per_m(30.0),
/// );
/// assert!((ca - 1.0 / 180.0).abs() < 1e-12); // 0.01 · (1/60) / 0.03, by hand
/// ```
pub fn capillary_number(
    viscosity: Viscosity,
    speed: Speed,
    surface_tension: SurfaceTension,
) -> f64 {
    viscosity.pa_s() * speed.m_per_s() / surface_tension.n_per_m()
}

/// Reynolds number `Re = ρUL/μ` on a length: the film thickness or the coating gap (eq 1.2).
pub fn reynolds_number(
    density: Density,
    speed: Speed,
    length: Length,
    viscosity: Viscosity,
) -> f64 {
    density.kg_per_m3() * speed.m_per_s() * length.m() / viscosity.pa_s()
}

/// Weber number `We = ρU²t/σ` of the film, inertia over capillary forces (eq 1.3).
pub fn weber_number(
    density: Density,
    speed: Speed,
    thickness: Length,
    surface_tension: SurfaceTension,
) -> f64 {
    let u = speed.m_per_s();
    density.kg_per_m3() * u * u * thickness.m() / surface_tension.n_per_m()
}

/// Gap over wet thickness `G = H/t` (eq 1.4).
pub fn dimensionless_gap(gap: Length, wet_thickness: Length) -> f64 {
    gap.m() / wet_thickness.m()
}

/// Bond number `Bo = ρgH²/σ` of a gap, gravity over capillary forces (eq 1.5).
pub fn bond_number(density: Density, gap: Length, surface_tension: SurfaceTension) -> f64 {
    let h = gap.m();
    density.kg_per_m3() * STANDARD_GRAVITY * h * h / surface_tension.n_per_m()
}

/// Péclet number `Pe = v_e·t/D` of a drying film, recession of its surface over diffusion in it (eq 1.6).
/// The diffusivity is given in m²/s. Above 1 a skin forms.
pub fn drying_peclet_number(recession: Speed, thickness: Length, diffusivity_m2_per_s: f64) -> f64 {
    recession.m_per_s() * thickness.m() / diffusivity_m2_per_s
}

/// Biot number `Bi = h·t/k` of a foil, heat transfer to it over conduction [W/(m·K)] through it. One temperature stands for
/// foil and film while it is small.
pub fn biot_number(
    heat_transfer: HeatTransferCoefficient,
    thickness: Length,
    conductivity_w_per_m_k: f64,
) -> f64 {
    heat_transfer.w_per_m2_k() * thickness.m() / conductivity_w_per_m_k
}

/// Biot number up to which one temperature stands for foil and film (common practice).
pub const GREATEST_BIOT_NUMBER: f64 = 0.3;

/// Marangoni number of a film (eq 1.7), from the slope of its surface tension [N/(m·K)], the temperature difference
/// across it \[K\] and its thermal diffusivity [m²/s]. Cells appear above about 80 (Pearson 1958, J. Fluid Mech. 4, 489,
/// quoted from memory, unverified).
pub fn marangoni_number(
    surface_tension_slope: f64,
    difference_k: f64,
    thickness: Length,
    viscosity: Viscosity,
    thermal_diffusivity_m2_per_s: f64,
) -> f64 {
    surface_tension_slope.abs() * difference_k * thickness.m()
        / (viscosity.pa_s() * thermal_diffusivity_m2_per_s)
}
