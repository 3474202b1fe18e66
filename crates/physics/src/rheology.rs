//! How thick the ink is where it matters: flow laws, temperature, solids, and the shear rates of a coating line.
//!
//! Standard textbook forms (Bird, Armstrong & Hassager, Dynamics of Polymeric Liquids, quoted from memory). The shear
//! rates are exact for Newtonian lubrication flow.

use crate::elementary::{exp, ln, pow};
use crate::line::Rheology;
use crate::physical_constants::GAS_CONSTANT;
use crate::quantity::{Fraction, Length, Speed, Temperature, Viscosity, VolumeFlow};

impl Rheology {
    /// Viscosity at a shear rate [1/s] (eq 1.9 for a power law).
    ///
    /// A shear-thinning power law grows without bound towards zero rate; the caller keeps the rate positive.
    pub fn viscosity_at(&self, shear_rate_per_s: f64) -> Viscosity {
        match *self {
            Self::Newtonian { viscosity } => viscosity,
            Self::PowerLaw { consistency, index } => Viscosity::from_pa_s(
                power_law_viscosity_pa_s(consistency.pa_s(), index, shear_rate_per_s),
            ),
        }
    }
}

pub(crate) fn power_law_viscosity_pa_s(k: f64, n: f64, rate: f64) -> f64 {
    k * pow(rate, n - 1.0)
}

/// Carreau's law with its two plateaus.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carreau {
    /// Viscosity at rest.
    pub at_rest: Viscosity,
    /// Viscosity at high shear rate.
    pub at_high_rate: Viscosity,
    /// Time constant λ \[s\].
    pub time_constant_s: f64,
    /// Flow index n of the slope between the plateaus.
    pub index: f64,
}

impl Carreau {
    /// Viscosity at a shear rate [1/s] (eq 1.10).
    pub fn viscosity_at(&self, shear_rate_per_s: f64) -> Viscosity {
        let (mu_0, mu_inf) = (self.at_rest.pa_s(), self.at_high_rate.pa_s());
        let x = self.time_constant_s * shear_rate_per_s;
        Viscosity::from_pa_s(mu_inf + (mu_0 - mu_inf) * pow(1.0 + x * x, 0.5 * (self.index - 1.0)))
    }
}

/// Andrade's law of viscosity with temperature, fitted through two measured points (eq 1.20).
///
/// # Validity
/// About ±30 K around the points, for liquids far from their glass transition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Andrade {
    reference: (Temperature, Viscosity),
    activation_energy_j_per_mol: f64,
}

impl Andrade {
    /// Fits the law. `None` if both temperatures are equal.
    pub fn through(
        first: (Temperature, Viscosity),
        second: (Temperature, Viscosity),
    ) -> Option<Self> {
        let inverse_difference = 1.0 / first.0.k() - 1.0 / second.0.k();
        let energy = GAS_CONSTANT * ln(first.1.pa_s() / second.1.pa_s()) / inverse_difference;
        energy.is_finite().then_some(Self {
            reference: first,
            activation_energy_j_per_mol: energy,
        })
    }

    /// Activation energy [J/mol].
    pub const fn activation_energy_j_per_mol(&self) -> f64 {
        self.activation_energy_j_per_mol
    }

    /// Viscosity at a temperature.
    pub fn viscosity_at(&self, temperature: Temperature) -> Viscosity {
        let (t_ref, mu_ref) = self.reference;
        let x = self.activation_energy_j_per_mol / GAS_CONSTANT
            * (1.0 / temperature.k() - 1.0 / t_ref.k());
        Viscosity::from_pa_s(mu_ref.pa_s() * exp(x))
    }
}

/// Random packing of equal spheres, for [`relative_viscosity_of_suspension`] (quoted from memory, unverified).
pub const SPHERE_PACKING: Fraction = Fraction::from_ratio(0.64);
/// Intrinsic viscosity of spheres (Einstein 1906).
pub const INTRINSIC_VISCOSITY_OF_SPHERES: f64 = 2.5;

/// Viscosity of a suspension over that of its liquid (Krieger & Dougherty, eq 1.12). Infinite at and above the packing.
pub fn relative_viscosity_of_suspension(
    solids_by_volume: Fraction,
    packing: Fraction,
    intrinsic: f64,
) -> f64 {
    let room = 1.0 - solids_by_volume.ratio() / packing.ratio();
    if room > 0.0 {
        pow(room, -intrinsic * packing.ratio())
    } else {
        f64::INFINITY
    }
}

/// Nominal shear rate of the coating gap `U/H` [1/s] (eq 1.13).
pub fn gap_shear_rate_per_s(speed: Speed, gap: Length) -> f64 {
    speed.m_per_s() / gap.m()
}

/// Shear rate at the web in the gap `(U/H)(4 − 6t/H)` [1/s] (eq 1.14).
pub fn web_wall_shear_rate_per_s(speed: Speed, gap: Length, wet_thickness: Length) -> f64 {
    gap_shear_rate_per_s(speed, gap) * (4.0 - 6.0 * wet_thickness.m() / gap.m())
}

/// Shear rate at the downstream lip `(U/H)(6t/H − 2)` [1/s]: zero at a third of the gap, reversed below (eq 1.15).
pub fn lip_wall_shear_rate_per_s(speed: Speed, gap: Length, wet_thickness: Length) -> f64 {
    gap_shear_rate_per_s(speed, gap) * (6.0 * wet_thickness.m() / gap.m() - 2.0)
}

/// Shear rate of the film-forming meniscus `U/t` [1/s] (eq 1.16).
pub fn film_shear_rate_per_s(speed: Speed, wet_thickness: Length) -> f64 {
    speed.m_per_s() / wet_thickness.m()
}

/// Shear rate at the wall of the feed slot `6Q/(w·h²)` [1/s] (eq 1.17).
pub fn slot_wall_shear_rate_per_s(flow: VolumeFlow, width: Length, slot_height: Length) -> f64 {
    6.0 * flow.m3_per_s() / (width.m() * slot_height.m() * slot_height.m())
}

/// Shear rate at the wall of a round tube `4Q/(πa³)` [1/s] (eq 1.18).
pub fn tube_wall_shear_rate_per_s(flow: VolumeFlow, tube_radius: Length) -> f64 {
    let a = tube_radius.m();
    4.0 * flow.m3_per_s() / (std::f64::consts::PI * a * a * a)
}
