//! One stretch of the web path: what heats the film there and how fast its vapour leaves.

use super::FINE_HALVINGS;
use crate::elementary::ln;
use crate::gas::VaporTransfer;
use crate::line::Gas;
use crate::physical_constants::{STANDARD_PRESSURE, STEFAN_BOLTZMANN};
use crate::quantity::{
    Fraction, HeatTransferCoefficient, Irradiance, Length, Pressure, Temperature,
};
use crate::solvent::{Solvent, SolventProperties};

/// Largest share of the surrounding pressure that the vapour at the film may reach in eq 6.3.
const GREATEST_VAPOR_SHARE: f64 = 0.999;
/// Largest share of the surrounding pressure that vapour in the gas may reach.
const GREATEST_GAS_VAPOR_SHARE: f64 = 0.99;
/// Coldest film at which vapour pressures are taken \[K\].
const COLDEST_FILM_K: f64 = 230.0;
/// How far above the hottest source of heat vapour pressures are taken \[K\].
const OVERSHOOT_K: f64 = 60.0;

/// Radiation of infrared lamps onto the web.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InfraredHeating {
    /// What arrives at the web.
    pub irradiance: Irradiance,
    /// Share that film and foil take up; also their emissivity when hot (grey body).
    pub absorbed: Fraction,
}

/// A stretch of the web path with one state of gas, roller and lamps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DryingZone {
    /// Length along the web.
    pub length: Length,
    /// Gas.
    pub gas: Gas,
    /// Gas temperature.
    pub gas_temperature: Temperature,
    /// Heat transfer above the film, where vapour leaves.
    pub h_top: HeatTransferCoefficient,
    /// Heat transfer below the foil.
    pub h_bottom: HeatTransferCoefficient,
    /// Contact with a roller: its heat transfer and temperature.
    pub contact: Option<(HeatTransferCoefficient, Temperature)>,
    /// Infrared lamps.
    pub infrared: Option<InfraredHeating>,
    /// Partial pressure of the solvent in the gas that is fed.
    pub vapor_pressure: Pressure,
    /// Moles of vapour fed to the zone by the film, per mole of fresh gas and per speed [s/m]; zero where the fresh gas
    /// is not known or plenty (eq 6.15). All solvent is taken to evaporate here, the careful side.
    pub vapor_load_s_per_m: f64,
}

/// How far the solvent is off its handbook row, as factors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct VaporErrors {
    pub(crate) pressure: f64,
    pub(crate) diffusivity: f64,
}

impl VaporErrors {
    pub(crate) const NONE: Self = Self {
        pressure: 1.0,
        diffusivity: 1.0,
    };
}

/// A zone in SI numbers.
#[derive(Debug, Clone, Copy)]
pub(super) struct Zone {
    pub(super) length: f64,
    pub(super) gas_k: f64,
    pub(super) h_top: f64,
    pub(super) h_bottom: f64,
    pub(super) h_contact: f64,
    pub(super) contact_k: f64,
    /// Room air, whose moisture can condense into a cold film.
    pub(super) is_humid: bool,
    /// Infrared flux taken up [W/m²].
    radiant: f64,
    /// Emissivity of both faces under infrared lamps; zero without them.
    emissivity: f64,
    hottest_k: f64,
    fed_share: f64,
    vapor_load: f64,
    /// Factor on the saturated vapour pressure.
    pressure_factor: f64,
    transfer: VaporTransfer,
}

impl Zone {
    pub(super) fn new(zone: &DryingZone, solvent: Solvent) -> Self {
        let (h_contact, contact_k) = zone
            .contact
            .map_or((0.0, 0.0), |(h, t)| (h.w_per_m2_k(), t.k()));
        let (radiant, emissivity) = zone.infrared.map_or((0.0, 0.0), |lamps| {
            let absorbed = lamps.absorbed.ratio();
            (absorbed * lamps.irradiance.w_per_m2(), absorbed)
        });
        let (h_top, h_bottom) = (zone.h_top.w_per_m2_k(), zone.h_bottom.w_per_m2_k());
        let gas_k = zone.gas_temperature.k();
        let transfer = h_top + h_bottom + h_contact;
        // Where gas and roller alone would hold a dry web; a bound, not a state.
        let above_gas = if transfer > 0.0 {
            radiant / transfer
        } else {
            0.0
        };
        Self {
            length: zone.length.m(),
            gas_k,
            h_top,
            h_bottom,
            h_contact,
            contact_k,
            is_humid: zone.gas == Gas::Air,
            radiant,
            emissivity,
            hottest_k: if h_contact > 0.0 {
                gas_k.max(contact_k) + above_gas
            } else {
                gas_k + above_gas
            },
            fed_share: zone.vapor_pressure.pa() / STANDARD_PRESSURE,
            vapor_load: zone.vapor_load_s_per_m,
            pressure_factor: 1.0,
            transfer: VaporTransfer::new(solvent, zone.gas),
        }
    }

    /// The same zone with a solvent that is off its handbook row.
    pub(super) fn with_vapor_errors(self, errors: VaporErrors) -> Self {
        Self {
            pressure_factor: errors.pressure,
            transfer: self.transfer.with_diffusivity_times(errors.diffusivity),
            ..self
        }
    }

    /// Partial pressure of the solvent in the gas at a web speed (eq 6.15).
    pub(super) fn vapor_pressure(&self, speed: f64) -> f64 {
        let load = self.vapor_load * speed;
        let share = (self.fed_share + load) / (1.0 + load);
        STANDARD_PRESSURE * share.min(GREATEST_GAS_VAPOR_SHARE)
    }

    /// Evaporation flux [kg/(m²·s)] from a film of temperature \[K\] and activity (eq 6.3); never condensation.
    pub(super) fn flux(
        &self,
        properties: &SolventProperties,
        film_k: f64,
        activity: f64,
        gas_vapor: f64,
    ) -> f64 {
        if self.h_top <= 0.0 {
            return 0.0;
        }
        let t = film_k.min(self.hottest_k + OVERSHOOT_K).max(COLDEST_FILM_K);
        let saturated = activity * self.pressure_factor * properties.antoine.vapor_pressure_pa(t);
        let surface = saturated.min(GREATEST_VAPOR_SHARE * STANDARD_PRESSURE);
        if surface <= gas_vapor {
            return 0.0;
        }
        let driving = ln((STANDARD_PRESSURE - gas_vapor) / (STANDARD_PRESSURE - surface));
        self.transfer.flux(self.h_top, t, self.gas_k, driving)
    }

    /// Heat [W/m²] that gas, roller and lamps give to a film of a temperature \[K\].
    pub(super) fn heat(&self, film_k: f64) -> f64 {
        let by_contact = (self.h_top + self.h_bottom) * (self.gas_k - film_k)
            + self.h_contact * (self.contact_k - film_k);
        if self.emissivity > 0.0 {
            by_contact + self.radiant - self.excess_radiation(film_k)
        } else {
            by_contact
        }
    }

    /// How fast the heat falls with the film's temperature [W/(m²·K)].
    pub(super) fn heat_slope(&self, film_k: f64) -> f64 {
        let by_contact = self.h_top + self.h_bottom + self.h_contact;
        if self.emissivity > 0.0 {
            by_contact + self.excess_radiation_slope(film_k)
        } else {
            by_contact
        }
    }

    /// What both faces of a hot web radiate beyond the part that is linear about the gas temperature [W/m²]: the
    /// heat-transfer coefficients hold that part already, `T⁴ − T_g⁴ − 4T_g³(T − T_g)` is left.
    fn excess_radiation(&self, film_k: f64) -> f64 {
        let cube = self.gas_k * self.gas_k * self.gas_k;
        let fourth = film_k * film_k * film_k * film_k;
        let beyond = fourth - cube * (4.0 * film_k - 3.0 * self.gas_k);
        2.0 * self.emissivity * STEFAN_BOLTZMANN * beyond
    }

    /// Slope of [`Self::excess_radiation`], never below zero so that the implicit step stays stable.
    fn excess_radiation_slope(&self, film_k: f64) -> f64 {
        let cubes = film_k * film_k * film_k - self.gas_k * self.gas_k * self.gas_k;
        8.0 * self.emissivity * STEFAN_BOLTZMANN * cubes.max(0.0)
    }

    /// Heat that comes through the foil rather than from above [W/m²].
    pub(super) fn heat_from_below(&self, film_k: f64) -> f64 {
        self.h_bottom * (self.gas_k - film_k) + self.h_contact * (self.contact_k - film_k)
    }

    /// Temperature at which a wet film of activity 1 stays (eq 6.7): heat taken up equals heat carried off by vapour.
    fn constant_rate_k(&self, properties: &SolventProperties) -> f64 {
        let gas_vapor = self.vapor_pressure(0.0);
        let boiling = properties.antoine.b
            / (properties.antoine.a - libm::log10(0.998 * STANDARD_PRESSURE))
            - properties.antoine.c;
        let (mut cold, mut hot) = (COLDEST_FILM_K, boiling);
        for _ in 0..FINE_HALVINGS {
            let middle = 0.5 * (cold + hot);
            let loss = self.flux(properties, middle, 1.0, gas_vapor)
                * properties.heat_of_vaporization_at(middle);
            if self.heat(middle) > loss {
                cold = middle;
            } else {
                hot = middle;
            }
        }
        0.5 * (cold + hot)
    }
}

impl DryingZone {
    /// Temperature that a wet film keeps in the zone (eq 6.7): the wet-bulb temperature if one gas side alone heats it.
    ///
    /// # Validity
    /// Activity 1. Found between 230 K and just below the boiling point.
    pub fn constant_rate_temperature(&self, solvent: Solvent) -> Temperature {
        Temperature::from_k(Zone::new(self, solvent).constant_rate_k(solvent.properties()))
    }

    /// Evaporation flux [kg/(m²·s)] of a film of activity 1 and a temperature (eq 6.3).
    pub fn evaporation_flux_kg_per_m2_s(&self, solvent: Solvent, film: Temperature) -> f64 {
        let zone = Zone::new(self, solvent);
        zone.flux(
            solvent.properties(),
            film.k(),
            1.0,
            zone.vapor_pressure(0.0),
        )
    }
}
