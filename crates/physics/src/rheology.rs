//! How thick the ink is where it matters: flow laws, temperature, solids, and the shear rates of a coating line.
//!
//! Standard textbook forms (Bird, Armstrong & Hassager, Dynamics of Polymeric Liquids, quoted from memory). The shear
//! rates are exact for Newtonian lubrication flow.

use crate::elementary::{Elementary, OneByOne, exp, ln, pow};
use crate::line::Rheology;
use crate::physical_constants::GAS_CONSTANT;
use crate::quantity::{Fraction, Length, MolarEnergy, Speed, Temperature, Viscosity, VolumeFlow};

impl Rheology {
    /// Viscosity at a shear rate [1/s] (eq 1.9 for a power law, eq 1.10 for Carreau's law).
    ///
    /// A shear-thinning power law grows without bound towards zero rate; the caller keeps the rate positive.
    pub fn viscosity_at(&self, shear_rate_per_s: f64) -> Viscosity {
        Viscosity::from_pa_s(self.viscosity_by::<OneByOne>(shear_rate_per_s))
    }

    /// As [`Self::viscosity_at`] in SI, by functions of the caller's.
    #[expect(
        clippy::inline_always,
        reason = "loops over many settings are vectorized through it"
    )]
    #[inline(always)]
    pub(crate) fn viscosity_by<E: Elementary>(&self, rate: f64) -> f64 {
        match *self {
            Self::Newtonian { viscosity } => viscosity.pa_s(),
            Self::PowerLaw { consistency, index } => consistency.pa_s() * E::pow(rate, index - 1.0),
            Self::Carreau(law) => law.viscosity_by::<E>(rate),
        }
    }

    /// The flow law at another temperature, where the viscosity at rest is `factor` times what it was (eq 1.20): rates are
    /// counted in the time of the liquid, which stretches by the same factor (time and temperature superposed).
    ///
    /// # Source
    /// Bird, Armstrong & Hassager, Dynamics of Polymeric Liquids, quoted from memory, unverified.
    #[must_use]
    pub fn shifted_by(self, factor: f64) -> Self {
        let times = |viscosity: Viscosity| Viscosity::from_pa_s(viscosity.pa_s() * factor);
        match self {
            Self::Newtonian { viscosity } => Self::Newtonian {
                viscosity: times(viscosity),
            },
            Self::PowerLaw { consistency, index } => Self::PowerLaw {
                consistency: Viscosity::from_pa_s(consistency.pa_s() * pow(factor, index)),
                index,
            },
            Self::Carreau(law) => Self::Carreau(Carreau {
                at_rest: times(law.at_rest),
                at_high_rate: times(law.at_high_rate),
                time_constant_s: law.time_constant_s * factor,
                index: law.index,
            }),
        }
    }
}

/// The flow law of an ink at the temperature of the head, asked only within the shear rates it was measured at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FlowLaw {
    pub(crate) rheology: Rheology,
    /// Least and greatest measured rate [1/s].
    pub(crate) rates: Option<(f64, f64)>,
    /// The temperature of the head changes the law.
    pub(crate) is_shifted: bool,
}

impl FlowLaw {
    /// Viscosity [Pa·s] at a shear rate [1/s], held at the ends of the measured range.
    pub(crate) fn viscosity(&self, rate: f64) -> f64 {
        self.viscosity_by::<OneByOne>(rate)
    }

    /// As [`Self::viscosity`], by functions of the caller's.
    #[expect(
        clippy::inline_always,
        reason = "loops over many settings are vectorized through it"
    )]
    #[inline(always)]
    pub(crate) fn viscosity_by<E: Elementary>(&self, rate: f64) -> f64 {
        let rate = match self.rates {
            Some((least, greatest)) => rate.max(least).min(greatest),
            None => rate,
        };
        self.rheology.viscosity_by::<E>(rate)
    }

    /// Viscosity [Pa·s] under a shear stress \[Pa\]: of a power-law ink at the rate that the stress drives, of any other at
    /// rest.
    pub(crate) fn viscosity_under(&self, stress: f64) -> f64 {
        match self.rheology {
            Rheology::Newtonian { .. } | Rheology::Carreau(_) => self.viscosity(0.0),
            Rheology::PowerLaw { consistency, index } => {
                self.viscosity(pow(stress / consistency.pa_s(), 1.0 / index))
            }
        }
    }

    /// One viscosity at every shear rate.
    pub(crate) const fn is_newtonian(&self) -> bool {
        match self.rheology {
            Rheology::Newtonian { .. } => true,
            Rheology::PowerLaw { .. } | Rheology::Carreau(_) => false,
        }
    }
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
        Viscosity::from_pa_s(self.viscosity_by::<OneByOne>(shear_rate_per_s))
    }

    #[expect(
        clippy::inline_always,
        reason = "loops over many settings are vectorized through it"
    )]
    #[inline(always)]
    fn viscosity_by<E: Elementary>(&self, rate: f64) -> f64 {
        let (mu_0, mu_inf) = (self.at_rest.pa_s(), self.at_high_rate.pa_s());
        let x = self.time_constant_s * rate;
        mu_inf + (mu_0 - mu_inf) * E::pow(1.0 + x * x, 0.5 * (self.index - 1.0))
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
        let (reference, viscosity) = self.reference;
        let energy = MolarEnergy::from_j_per_mol(self.activation_energy_j_per_mol);
        Viscosity::from_pa_s(viscosity.pa_s() * temperature_factor(energy, reference, temperature))
    }
}

/// Viscosity at a temperature over the one at a reference, `exp[(E_a/R)(1/T − 1/T_ref)]` (eq 1.20).
///
/// # Validity
/// About ±30 K around the reference, for liquids far from their glass transition.
pub fn temperature_factor(
    activation_energy: MolarEnergy,
    reference: Temperature,
    temperature: Temperature,
) -> f64 {
    let inverse_difference = 1.0 / temperature.k() - 1.0 / reference.k();
    exp(activation_energy.j_per_mol() / GAS_CONSTANT * inverse_difference)
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
