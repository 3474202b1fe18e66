//! Drying of a film on its way through open path, heated roller, infrared lamps and dryer (eqs 6.1 to 6.15, 6.19).
//!
//! One temperature stands for foil and film. Heat comes from gas above and below, from a roller and from infrared lamps;
//! vapour leaves by diffusion through the gas with its own bulk flow (Stefan). The film is marched through the zones in web
//! order with a fixed number of equal time steps a zone and one Newton step each; the highest speed at which it still leaves
//! dry is found by bisection on a logarithmic grid. Heat carried off by the leaving vapour is left out. Slow diffusion in a
//! solidifying film has a formula of its own ([`falling_rate_time`]), whose time is added to that of the march.

use crate::elementary::{exp, ln, two_thirds_power};
use crate::line::Activity;
use crate::quantity::{
    Density, Diffusivity, Duration, Length, Pressure, Temperature, TemperatureDifference,
};
use crate::solvent::Solvent;

mod dry_speed;
mod march;
mod zone;

pub use dry_speed::{DRY_SPEED_REACH, DrySpeed};
pub use march::{DryingCase, March, STEPS_PER_ZONE};
pub(crate) use zone::VaporErrors;
pub use zone::{DryingZone, InfraredHeating};

/// Heat capacity of dry solids in the film [J/(kg·K)] (common practice).
pub const SOLIDS_HEAT_CAPACITY: f64 = 1500.0;
/// Heat capacity of the liquid in the film [J/(kg·K)] (common practice).
pub const LIQUID_HEAT_CAPACITY: f64 = 2000.0;
/// Interaction parameter of a dissolved polymer, 0.4 to 0.5 (common practice).
pub const FLORY_HUGGINS_CHI: f64 = 0.45;
/// Residual solvent, per dry mass, down to which the film can still boil (common practice).
pub const BLISTERING_RESIDUAL: f64 = 0.05;
/// Distance to the boiling point that a wet film keeps (common practice).
pub const BOILING_DISTANCE: TemperatureDifference = TemperatureDifference::from_k(5.0);
/// Room for the zones of a line.
pub const MAX_ZONES: usize = 8;
/// Halvings of a bisection for a temperature or a solvent content: below a nanokelvin.
const FINE_HALVINGS: u32 = 45;

/// A film as it leaves the head, with the foil below it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DryingFilm {
    /// Solvent.
    pub solvent: Solvent,
    /// Solvent per area [kg/m²].
    pub solvent_kg_per_m2: f64,
    /// Solids per area [kg/m²]; zero for a trial with solvent alone, whose residual is then counted per solvent fed.
    pub solids_kg_per_m2: f64,
    /// Heat capacity of the foil per area [J/(m²·K)].
    pub foil_heat_capacity_j_per_m2_k: f64,
    /// Temperature of foil and film at the head.
    pub start: Temperature,
    /// Activity of the solvent.
    pub activity: FilmActivity,
}

/// How the vapour pressure falls as the film dries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FilmActivity {
    /// Activity 1 to the end.
    Free,
    /// Flory & Huggins (eq 6.6) for a dissolved polymer of a density.
    Polymer {
        /// Density of the dry polymer.
        dry_density: Density,
    },
}

impl FilmActivity {
    /// From the choice of the ink; `None` if a polymer's dry density is missing.
    pub fn new(activity: Activity, dry_density: Option<Density>) -> Option<Self> {
        match activity {
            Activity::Free => Some(Self::Free),
            Activity::Polymer => dry_density.map(|dry_density| Self::Polymer { dry_density }),
        }
    }
}

/// Activity of a solvent at its volume fraction in a polymer (Flory & Huggins, eq 6.6).
pub fn flory_huggins_activity(solvent_volume_fraction: f64, chi: f64) -> f64 {
    let polymer = 1.0 - solvent_volume_fraction;
    solvent_volume_fraction * exp(polymer + chi * polymer * polymer)
}

/// Time to evaporate a mass of solvent per area [kg/m²] at a flux [kg/(m²·s)] (eq 6.12).
pub fn constant_rate_time(solvent_kg_per_m2: f64, flux_kg_per_m2_s: f64) -> Duration {
    Duration::from_s(solvent_kg_per_m2 / flux_kg_per_m2_s)
}

/// Time of slow diffusion in a solidified film of a dry thickness (eq 6.13), from the diffusivity [m²/s] and the solvent
/// per dry mass at which the constant rate ends and at which the film counts as dry; zero if it starts dry enough.
pub fn falling_rate_time(
    dry_thickness: Length,
    diffusivity_m2_per_s: f64,
    at_start: f64,
    at_end: f64,
) -> Duration {
    let pi_squared = std::f64::consts::PI * std::f64::consts::PI;
    let t = dry_thickness.m();
    let logarithm = ln(8.0 / pi_squared * at_start / at_end);
    Duration::from_s((4.0 * t * t / (pi_squared * diffusivity_m2_per_s) * logarithm).max(0.0))
}

/// What slow diffusion in a solidifying film depends on, for the falling rate that follows the march.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FallingRate {
    /// Thickness of the dense dry layer.
    pub dry_thickness: Length,
    /// Diffusivity of the solvent in it.
    pub diffusivity: Diffusivity,
    /// Solvent per dry mass at which the constant rate ends.
    pub at_start: f64,
}

impl FallingRate {
    /// Time down to a residual per dry mass (eq 6.13).
    pub fn time_to(&self, residual: f64) -> Duration {
        falling_rate_time(
            self.dry_thickness,
            self.diffusivity.m2_per_s(),
            self.at_start,
            residual,
        )
    }
}

/// Solvent per dry mass below which a film of dissolved polymer cannot dry in a gas, at any speed: where its activity has
/// fallen to the partial pressure of the gas over the vapour pressure at the film's temperature (eq 6.6). Infinite if the
/// gas is saturated.
pub fn least_residual(
    solvent: Solvent,
    dry_density: Density,
    film: Temperature,
    gas_vapor: Pressure,
    chi: f64,
) -> f64 {
    let wanted = gas_vapor.pa() / solvent.vapor_pressure(film).pa();
    let (mut dry, mut wet) = (0.0, 1.0);
    for _ in 0..FINE_HALVINGS {
        let middle = 0.5 * (dry + wet);
        if flory_huggins_activity(middle, chi) < wanted {
            dry = middle;
        } else {
            wet = middle;
        }
    }
    let phi = 0.5 * (dry + wet);
    phi / (1.0 - phi) * solvent.density().kg_per_m3() / dry_density.kg_per_m3()
}

/// A vapour given by its own numbers, for [`evaporative_cooling_temperature`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoolingVapor {
    /// Molar mass [kg/mol].
    pub molar_mass_kg_per_mol: f64,
    /// Heat of vaporization [J/kg].
    pub heat_of_vaporization_j_per_kg: f64,
    /// Vapour pressure, taken as constant.
    pub vapor_pressure: Pressure,
    /// Lewis number of vapour and gas.
    pub lewis_number: f64,
}

/// Temperature of a wet surface in dry gas by the textbook's estimate: slow evaporation, vapour pressure taken as constant,
/// density and heat capacity [J/(kg·K)] of the gas given. `None` where it has no solution. A check of the film balance, not
/// part of it.
///
/// # Source
/// Incropera et al., Fundamentals of Heat and Mass Transfer, evaporative cooling, quoted from memory, unverified.
pub fn evaporative_cooling_temperature(
    vapor: CoolingVapor,
    gas: Temperature,
    gas_density: Density,
    gas_heat_capacity: f64,
) -> Option<Temperature> {
    let numerator = vapor.molar_mass_kg_per_mol
        * vapor.heat_of_vaporization_j_per_kg
        * vapor.vapor_pressure.pa();
    let denominator = crate::physical_constants::GAS_CONSTANT
        * gas_density.kg_per_m3()
        * gas_heat_capacity
        * two_thirds_power(vapor.lewis_number);
    let discriminant = gas.k() * gas.k() - 4.0 * numerator / denominator;
    (discriminant >= 0.0).then(|| Temperature::from_k(0.5 * (gas.k() + discriminant.sqrt())))
}
