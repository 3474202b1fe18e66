//! What leaves the dryer with its exhaust: heat and vapour.

use super::drying_case::fed_vapor;
use super::film_defect_limits::DEW_REFERENCE_K;
use super::{Sink, Walk, clip};
use crate::assumed::{Input, InputSet};
use crate::heat_transfer::gas_heating_power;
use crate::limit::LimitId;
use crate::physical_constants::{GAS_CONSTANT, STANDARD_PRESSURE};
use crate::prepared::DryerValues;
use crate::quantity::{Pressure, Temperature, TemperatureDifference, VolumeFlow};
use crate::solvent::Solvent;
use crate::solvent_vapor::FRESH_GAS_TEMPERATURE;

/// Distance that a wall keeps from the dew point of the exhaust \[K\] (common practice).
const DISTANCE_TO_DEW_K: f64 = 5.0;

impl<S: Sink> Walk<'_, S> {
    pub(super) fn exhaust_limits(&mut self) {
        let Some(dryer) = self.values.dryer else {
            return;
        };
        self.heater_power(&dryer);
        self.condensation(&dryer);
    }

    /// Solvent fed [kg/s], all of it taken to evaporate.
    fn solvent_feed(&self) -> Result<f64, Input> {
        let solids = self.values.ink.solids.ok_or(Input::Solids)?;
        Ok(self.values.ink_flow(self.knobs)? * self.values.ink.rho * (1.0 - solids))
    }

    /// Eq 6.16 with the web leaving at the temperature of the gas and all solvent evaporated, the careful end.
    fn heater_power(&mut self, dryer: &DryerValues) {
        let power = || -> Result<(f64, f64), Input> {
            let installed = dryer.heater_power.ok_or(Input::HeaterPower)?;
            let fresh = dryer.fresh_gas.ok_or(Input::FreshGas)?;
            let gas_k = self.knobs.gas_k.ok_or(Input::GasTemperature)?;
            let solvent = self.values.ink.solvent.ok_or(Input::Solvent)?;
            let speed = self.knobs.speed.ok_or(Input::Speed)?;
            let width = self.values.head.width.ok_or(Input::CoatedWidth)?;
            let rise = (gas_k - self.values.room.temperature).max(0.0);
            let gas = gas_heating_power(
                VolumeFlow::from_m3_per_s(fresh),
                dryer.gas.properties(FRESH_GAS_TEMPERATURE),
                TemperatureDifference::from_k(rise),
            );
            let web = self.values.foil.heat_capacity * speed * width * rise;
            let latent = solvent.properties().heat_of_vaporization_j_per_kg;
            Ok((gas.w() + web + self.solvent_feed()? * latent, installed))
        };
        match power() {
            Ok((needed, installed)) => {
                self.uses(InputSet::of(&[
                    Input::Density,
                    Input::FoilMaterial,
                    Input::FoilThickness,
                    Input::RoomTemperature,
                ]));
                self.ratio(LimitId::HeaterPower, needed, installed);
            }
            Err(missing) => self.missing(LimitId::HeaterPower, missing),
        }
    }

    /// Partial pressure of the solvent in the exhaust \[Pa\] (eq 6.15).
    fn exhaust_vapor(&self, dryer: &DryerValues, solvent: Solvent) -> Result<f64, Input> {
        let fresh = dryer.fresh_gas.ok_or(Input::FreshGas)?;
        let gas_mol_per_s = STANDARD_PRESSURE * fresh / (GAS_CONSTANT * FRESH_GAS_TEMPERATURE.k());
        let vapor_mol_per_s = self.solvent_feed()? / solvent.properties().molar_mass_kg_per_mol();
        let load = vapor_mol_per_s / gas_mol_per_s;
        let fed = fed_vapor(self.values, dryer, solvent).pa() / STANDARD_PRESSURE;
        Ok(STANDARD_PRESSURE * (fed + load) / (1.0 + load))
    }

    fn condensation(&mut self, dryer: &DryerValues) {
        let dew = || -> Result<Option<Temperature>, Input> {
            let solvent = self.values.ink.solvent.ok_or(Input::Solvent)?;
            let vapor = self.exhaust_vapor(dryer, solvent)?;
            Ok(solvent.saturation_temperature(Pressure::from_pa(vapor)))
        };
        match dew() {
            Ok(Some(dew)) => {
                self.uses(InputSet::of(&[Input::Density, Input::CoolestWall]));
                if self.values.ink.solvent == Some(Solvent::Water) {
                    self.uses(InputSet::of(&[
                        Input::RelativeHumidity,
                        Input::RoomTemperature,
                    ]));
                }
                self.derived.exhaust_dew_point_k = Some(dew.k());
                let bound = dryer.coolest_wall_k - DISTANCE_TO_DEW_K;
                self.evaluated(
                    LimitId::Condensation,
                    LimitId::Condensation.sense(),
                    (dew.k(), bound, clip((bound - dew.k()) / DEW_REFERENCE_K)),
                    1.0,
                );
            }
            // Nothing evaporates.
            Ok(None) => {}
            Err(missing) => self.missing(LimitId::Condensation, missing),
        }
    }
}
