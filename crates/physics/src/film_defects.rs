//! What can spoil a film while it dries: skin, cells, cracks, films that gas and jets push, and when the film stiffens.
//!
//! Section 6.7 of `docs/methods.md`. Estimates of when a defect is to be expected, not of how bad it is.

use std::f64::consts::PI;

use crate::drying::{DryingFilm, LIQUID_HEAT_CAPACITY};
use crate::elementary::pow;
use crate::line::Activity;
use crate::physical_constants::BOLTZMANN_CONSTANT;
use crate::quantity::{
    Density, Diffusivity, Length, Pressure, SurfaceTension, Temperature, TemperatureDifference,
    Viscosity,
};
use crate::rheology::{INTRINSIC_VISCOSITY_OF_SPHERES, SPHERE_PACKING};

/// Péclet number above which solids gather at the surface (Routh & Russel 1998, `AIChE` J. 44, 2088, quoted from memory,
/// unverified).
pub const GREATEST_PECLET_NUMBER: f64 = 1.0;
/// Marangoni number above which cells form (Pearson 1958, J. Fluid Mech. 4, 489, quoted from memory, unverified).
pub const GREATEST_MARANGONI_NUMBER: f64 = 80.0;
/// Thermal diffusivity of liquids [m²/s]; water has 1.4e-7, organic liquids 0.7e-7 to 1e-7 (common practice).
pub const LIQUID_THERMAL_DIFFUSIVITY: f64 = 1e-7;
/// Distance that a cold film keeps from the dew point of the room (common practice).
pub const DISTANCE_TO_DEW: TemperatureDifference = TemperatureDifference::from_k(2.0);
/// How often the viscosity has grown when a film counts as stiff (common practice).
pub const STIFF_VISCOSITY_RATIO: f64 = 10.0;
/// Power of the concentration with which the viscosity of a dissolved, entangled polymer grows (textbook, quoted from
/// memory); 3.4 to 5.
const POLYMER_EXPONENT: f64 = 3.4;

/// Diffusivity of a sphere in a liquid, `kT/(3πμd)` (Stokes & Einstein).
pub fn stokes_einstein_diffusivity(
    diameter: Length,
    liquid: Viscosity,
    temperature: Temperature,
) -> Diffusivity {
    Diffusivity::from_m2_per_s(
        BOLTZMANN_CONSTANT * temperature.k() / (3.0 * PI * liquid.pa_s() * diameter.m()),
    )
}

/// Temperature difference across a film through which a heat flux [W/m²] passes.
pub fn difference_across_film(
    heat_flux_w_per_m2: f64,
    thickness: Length,
    density: Density,
) -> TemperatureDifference {
    let conductivity = LIQUID_THERMAL_DIFFUSIVITY * density.kg_per_m3() * LIQUID_HEAT_CAPACITY;
    TemperatureDifference::from_k(heat_flux_w_per_m2 * thickness.m() / conductivity)
}

/// What a layer of packed particles needs to be judged for cracks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ParticlePacking {
    /// Diameter of the particles.
    pub diameter: Length,
    /// Shear modulus of the particles.
    pub shear_modulus: Pressure,
    /// Contacts of a particle in the packing; about 6 at random.
    pub contacts: f64,
    /// Largest suction of the drying liquid between the particles, as a positive number.
    pub suction: Pressure,
}

/// Thickest layer of packed particles that dries without cracks.
///
/// `0.64 [G M φ R³/(2σ)]^(1/2) [2σ/(p R)]^(3/2)` with the packing φ = 0.64 of random spheres.
///
/// # Validity
/// Hard spheres of one size on a rigid foil.
///
/// # Source
/// Singh & Tirumkudulu (2007), Phys. Rev. Lett. 98, 218302, quoted from memory, unverified; the formula also stands in open
/// code.
pub fn critical_cracking_thickness(
    packing: &ParticlePacking,
    surface_tension: SurfaceTension,
) -> Length {
    let (r, sigma) = (0.5 * packing.diameter.m(), surface_tension.n_per_m());
    let stiffness = packing.shear_modulus.pa() * packing.contacts * SPHERE_PACKING.ratio();
    let elastic = (stiffness * r * r * r / (2.0 * sigma)).sqrt();
    Length::from_m(0.64 * elastic * pow(2.0 * sigma / (packing.suction.pa() * r), 1.5))
}

/// Solvent per area [kg/m²] that is left when a film has become ten times as viscous as it was coated.
///
/// Dispersed particles after Krieger & Dougherty (eq 1.12); dissolved polymer by the 3.4th power of its mass share. All of the
/// solvent if the particles are packed from the start; none if the film holds no solids or stiffens only when it is dry.
pub fn stiff_film_solvent_kg_per_m2(
    film: &DryingFilm,
    activity: Activity,
    dry_density: Density,
) -> f64 {
    let (solids, solvent) = (film.solids_kg_per_m2, film.solvent_kg_per_m2);
    if solids <= 0.0 {
        return 0.0;
    }
    match activity {
        Activity::Free => {
            let (solid_volume, liquid_density) = (
                solids / dry_density.kg_per_m3(),
                film.solvent.density().kg_per_m3(),
            );
            let packed = SPHERE_PACKING.ratio();
            let share = solid_volume / (solid_volume + solvent / liquid_density);
            let room = 1.0 - share / packed;
            if room <= 0.0 {
                return solvent;
            }
            let growth = pow(
                STIFF_VISCOSITY_RATIO,
                -1.0 / (INTRINSIC_VISCOSITY_OF_SPHERES * packed),
            );
            let stiff_share = packed * (1.0 - room * growth);
            solid_volume * (1.0 / stiff_share - 1.0) * liquid_density
        }
        Activity::Polymer => {
            let share = solids / (solids + solvent);
            let stiff_share = share * pow(STIFF_VISCOSITY_RATIO, 1.0 / POLYMER_EXPONENT);
            solids * (1.0 / stiff_share - 1.0).max(0.0)
        }
    }
}
