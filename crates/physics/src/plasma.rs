//! Plasma and corona treatment: dose, response of the foil, ageing, warming (eqs 5.7 to 5.11).

use crate::elementary::{exp, ln};
use crate::quantity::{
    Duration, Length, PlasmaDose, Power, Speed, SurfaceTension, TemperatureDifference, VolumeFlow,
};

/// Energy per treated area, one side (eq 5.7). Use the net discharge power where it is known; the generator shows more.
pub fn plasma_dose(power: Power, electrode_width: Length, speed: Speed) -> PlasmaDose {
    PlasmaDose::from_j_per_m2(power.w() / (electrode_width.m() * speed.m_per_s()))
}

/// Saturating response of a foil's wetting tension to the dose (eq 5.8). Fit both ends and the characteristic dose from
/// three or four readings of one's own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlasmaResponse {
    /// Wetting tension untreated.
    pub untreated: SurfaceTension,
    /// Wetting tension at high dose.
    pub saturated: SurfaceTension,
    /// Dose at which 63 % of the gain is reached.
    pub characteristic_dose: PlasmaDose,
}

/// What dose a wanted wetting tension takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NeededDose {
    /// The foil has it untreated.
    None,
    /// This much.
    Dose(PlasmaDose),
    /// No dose reaches it on this foil.
    Unreachable,
}

impl PlasmaResponse {
    /// Wetting tension after a dose (eq 5.8).
    pub fn treated(&self, dose: PlasmaDose) -> SurfaceTension {
        SurfaceTension::from_n_per_m(response_n_per_m(
            self.untreated.n_per_m(),
            self.saturated.n_per_m(),
            dose.j_per_m2() / self.characteristic_dose.j_per_m2(),
        ))
    }

    /// Least dose for a wanted wetting tension (eq 5.8 inverted).
    pub fn needed_dose(&self, wanted: SurfaceTension) -> NeededDose {
        let (gamma, gamma_0, gamma_max) = (
            wanted.n_per_m(),
            self.untreated.n_per_m(),
            self.saturated.n_per_m(),
        );
        if gamma <= gamma_0 {
            NeededDose::None
        } else if gamma >= gamma_max {
            NeededDose::Unreachable
        } else {
            let share = (gamma_max - gamma) / (gamma_max - gamma_0);
            NeededDose::Dose(PlasmaDose::from_j_per_m2(
                -self.characteristic_dose.j_per_m2() * ln(share),
            ))
        }
    }
}

pub(crate) fn response_n_per_m(untreated: f64, saturated: f64, doses: f64) -> f64 {
    untreated + (saturated - untreated) * (1.0 - exp(-doses))
}

/// Share of the plasma's gain that stays for good (common practice).
pub const LASTING_SHARE_OF_GAIN: f64 = 0.4;
/// Time constant of ageing at room conditions (common practice); warmer and damper is faster.
pub const AGEING_TIME: Duration = Duration::from_h(72.0);

/// Wetting tension some time after treatment (eq 5.9), from the tensions untreated and just treated.
pub fn aged(
    untreated: SurfaceTension,
    treated: SurfaceTension,
    age: Duration,
    ageing_time: Duration,
) -> SurfaceTension {
    let (gamma_0, gamma_p) = (untreated.n_per_m(), treated.n_per_m());
    let gamma_inf = gamma_0 + LASTING_SHARE_OF_GAIN * (gamma_p - gamma_0);
    SurfaceTension::from_n_per_m(
        gamma_inf + (gamma_p - gamma_inf) * exp(-age.s() / ageing_time.s()),
    )
}

/// Multiple of the characteristic dose above which a foil is over-treated (common practice, eq 5.10).
pub const OVER_TREATMENT_DOSES: f64 = 20.0;
/// Share of the plasma's energy that heats the foil, 0.3 to 0.7 (common practice).
pub const HEATING_SHARE: f64 = 0.5;
/// Warming of the foil that is accepted (common practice).
pub const ACCEPTED_WARMING: TemperatureDifference = TemperatureDifference::from_k(20.0);

/// Warming of a foil by a dose (eq 5.11), from its heat capacity per area [J/(m²·K)].
pub fn warming(
    dose: PlasmaDose,
    areal_heat_capacity_j_per_m2_k: f64,
    heating_share: f64,
) -> TemperatureDifference {
    TemperatureDifference::from_k(heating_share * dose.j_per_m2() / areal_heat_capacity_j_per_m2_k)
}

/// Ozone of a corona or barrier discharge in air [kg/J]: 50 g/kWh, 20 to 100 (quoted from memory, unverified).
pub const OZONE_YIELD_KG_PER_J: f64 = 50e-3 / 3.6e6;
/// Ozone allowed in breathing air [kg/m³]: 0.1 ppm or 0.2 mg/m³ (occupational limits of two agencies).
pub const OZONE_LIMIT_KG_PER_M3: f64 = 0.2e-6;

/// Ozone that a discharge makes [kg/s].
pub fn ozone_rate_kg_per_s(power: Power) -> f64 {
    OZONE_YIELD_KG_PER_J * power.w()
}

/// Air that dilutes the ozone of a discharge to its limit (eq 9.7). A room cannot supply it.
pub fn ozone_dilution(power: Power) -> VolumeFlow {
    VolumeFlow::from_m3_per_s(ozone_rate_kg_per_s(power) / OZONE_LIMIT_KG_PER_M3)
}
