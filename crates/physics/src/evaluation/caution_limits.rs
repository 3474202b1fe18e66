//! Records of severity caution: vapour, hot surfaces, lamps on a web that stops, ozone.

use super::drying_case::Lamps;
use super::{Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::heat_transfer::{BURN_THRESHOLD, COOL_SURFACE};
use crate::infrared::REACTION_TIME;
use crate::limit::LimitId;
use crate::plasma::ozone_dilution;
use crate::prepared::{DryerValues, Knobs, PlasmaValues, Values};
use crate::quantity::{Density, Fraction, Power, Temperature, VolumeFlow};
use crate::solvent_vapor::{
    CAREFUL_SPAN_K, DESIGN_SHARE, FRESH_GAS_TEMPERATURE, explosive_limit_at, vapor_flow,
    vapor_share,
};

impl<S: Sink> Walk<'_, S> {
    /// Never part of the verdict.
    pub(super) fn cautions(&mut self) {
        if let Some(dryer) = self.values.dryer {
            self.explosive_vapor(&dryer);
        }
        self.room_cautions();
        let values = self.values;
        if values.dryer.is_some() || values.roller.is_some() || values.laminator.is_some() {
            self.hot_surface();
        }
        if let Some(plasma) = self.values.plasma {
            self.ozone(&plasma);
        }
        if self.values.infrared.is_some() {
            self.infrared_stop();
        }
        self.uv_cautions();
    }

    fn explosive_vapor(&mut self, dryer: &DryerValues) {
        match self.explosive_share(dryer) {
            Ok(Some(share)) => {
                self.uses(InputSet::of(&[Input::Density, Input::Solids]));
                self.derived.lel_share = Some(share);
                self.ratio(LimitId::LelDryer, share, DESIGN_SHARE);
            }
            Ok(None) => {}
            Err(missing) => self.missing(LimitId::LelDryer, missing),
        }
    }

    /// Vapour in the exhaust over its explosive limit at the gas temperature; `Ok(None)` if the vapour does not burn.
    fn explosive_share(&self, dryer: &DryerValues) -> Result<Option<f64>, Input> {
        let Some(vapor) = burning_vapor(self.values, self.knobs)? else {
            return Ok(None);
        };
        let fresh = dryer.fresh_gas.ok_or(Input::FreshGas)?;
        let share = vapor_share(vapor.flow, VolumeFlow::from_m3_per_s(fresh));
        Ok(Some(share.ratio() / vapor.limit.ratio()))
    }

    fn hot_surface(&mut self) {
        let surface = match self.hottest_setting() {
            Ok(surface) => self
                .knobs
                .lamination_k
                .map_or(surface, |hot| surface.max(hot)),
            Err(missing) => return self.missing(LimitId::HotTouch, missing),
        };
        let cool = COOL_SURFACE.k();
        let factor = self.calibration.factor(LimitId::HotTouch);
        let bound = cool + factor * (BURN_THRESHOLD.k() - cool);
        let margin = super::clip(1.0 - (surface - cool) / (bound - cool));
        self.evaluated(
            LimitId::HotTouch,
            LimitId::HotTouch.sense(),
            (surface, bound, margin),
            factor,
        );
    }

    fn ozone(&mut self, plasma: &PlasmaValues) {
        match (self.knobs.plasma_power, plasma.exhaust) {
            (Some(power), _) if power <= 0.0 => {}
            (None, _) => self.missing(LimitId::Ozone, Input::PlasmaPower),
            (Some(_), None) => self.missing(LimitId::Ozone, Input::PlasmaExhaust),
            (Some(power), Some(exhaust)) => {
                self.ratio(
                    LimitId::Ozone,
                    ozone_dilution(Power::from_w(power)).m3_per_s(),
                    exhaust,
                );
            }
        }
    }

    /// A web that stops below lamps that stay on; judged on a stated foil only, and not with the lamps off.
    fn infrared_stop(&mut self) {
        let time = || -> Result<Option<f64>, Input> {
            let irradiance = self.knobs.infrared.ok_or(Input::InfraredPower)?;
            if irradiance <= 0.0 {
                return Ok(None);
            }
            let Some(lamps) = Lamps::new(self.values, self.knobs)? else {
                return Ok(None);
            };
            self.values.foil.material.ok_or(Input::FoilMaterial)?;
            self.values.foil.thickness.ok_or(Input::FoilThickness)?;
            let limit = self.foil_limit_k().ok_or(Input::FoilMaterial)?;
            let from = self.hottest_setting()?;
            let time = self
                .web_under(&lamps, from)
                .time_to_reach(Temperature::from_k(limit), Temperature::from_k(from));
            Ok(Some(time.s()))
        };
        match time() {
            Ok(Some(seconds)) => {
                self.uses(InputSet::of(&[Input::InfraredAbsorbed]));
                self.ratio(LimitId::InfraredStop, seconds, REACTION_TIME.s());
            }
            Ok(None) => {}
            Err(missing) => self.missing(LimitId::InfraredStop, missing),
        }
    }
}

/// Vapour of a flammable solvent.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BurningVapor {
    /// Flow of all the solvent that is fed, counted at the temperature of the fresh gas.
    pub(crate) flow: VolumeFlow,
    /// Lower explosive limit at the gas temperature.
    pub(crate) limit: Fraction,
}

/// Vapour that the dryer makes, or the first input that it lacks; `Ok(None)` if it does not burn.
pub(crate) fn burning_vapor(values: &Values, knobs: &Knobs) -> Result<Option<BurningVapor>, Input> {
    let solvent = values.ink.solvent.ok_or(Input::Solvent)?;
    let Some(limit) = solvent.properties().explosive_limit else {
        return Ok(None);
    };
    let flow = values.ink_flow(knobs)?;
    let hot = knobs.gas_k.ok_or(Input::GasTemperature)?;
    Ok(Some(BurningVapor {
        flow: vapor_flow(
            solvent,
            VolumeFlow::from_m3_per_s(flow),
            Density::from_kg_per_m3(values.ink.rho),
            Fraction::from_ratio(values.ink.solids.unwrap_or(0.0)),
            FRESH_GAS_TEMPERATURE,
        ),
        limit: explosive_limit_at(
            Fraction::from_percent(limit.percent),
            Temperature::from_k(hot),
            CAREFUL_SPAN_K,
        ),
    }))
}
