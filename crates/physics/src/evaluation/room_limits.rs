//! Records of severity caution about the air that people breathe: vapour when the exhaust stops, spills, breathing, sparks,
//! oxygen. Estimates only; a room of which nothing is known yields no record, and the words say so.

use super::caution_limits::{BurningVapor, burning_vapor};
use super::{Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::infrared::REACTION_TIME;
use crate::limit::LimitId;
use crate::prepared::{DryerValues, Knobs, Values};
use crate::quantity::{Density, Energy, Fraction, Temperature, Volume, VolumeFlow};
use crate::room_air::{CLEAN_AIR_OXYGEN, LEAST_OXYGEN, StoppedExhaust, spill_share, steady_oxygen};
use crate::solvent::Solvent;
use crate::solvent_vapor::{
    CAREFUL_SPAN_K, DESIGN_SHARE, FRESH_GAS_TEMPERATURE, breathing_air, explosive_limit_at,
    vapor_flow, vapor_of_liquid, vapor_share,
};
use crate::static_electricity::{CHARGED_PERSON, PERSON, spark_energy};

/// Mixing factor of a room, 3 to 10; the careful end (common practice).
const ROOM_MIXING_FACTOR: f64 = 10.0;

impl<S: Sink> Walk<'_, S> {
    /// Never part of the verdict.
    pub(super) fn room_cautions(&mut self) {
        if let Some(dryer) = self.values.dryer {
            if dryer.gas_volume.is_some() {
                self.loss_of_exhaust(&dryer);
            }
            if dryer.gas.is_inert() && self.is_room_known() {
                self.oxygen(&dryer);
            }
        }
        let Some(solvent) = self.values.ink.solvent else {
            return;
        };
        if solvent.is_flammable() {
            self.spark();
            if self.is_room_known() {
                self.spill(solvent);
            }
        }
        if self.is_room_known() {
            self.breathing(solvent);
        }
    }

    fn is_room_known(&self) -> bool {
        let room = &self.values.room;
        room.volume.is_some() || room.ventilation.is_some()
    }

    /// Time to a quarter of the explosive limit against the time that a person takes to stop the ink.
    fn loss_of_exhaust(&mut self, dryer: &DryerValues) {
        match self.time_after_loss(dryer) {
            Ok(Some(seconds)) => {
                self.uses(InputSet::of(&[Input::Density, Input::Solids]));
                self.ratio(LimitId::LelLoss, seconds, REACTION_TIME.s());
            }
            Ok(None) => {}
            Err(missing) => self.missing(LimitId::LelLoss, missing),
        }
    }

    /// `Ok(None)` if the vapour does not burn.
    fn time_after_loss(&self, dryer: &DryerValues) -> Result<Option<f64>, Input> {
        let Some(BurningVapor { flow, limit }) = burning_vapor(self.values, self.knobs)? else {
            return Ok(None);
        };
        let fresh = dryer.fresh_gas.ok_or(Input::FreshGas)?;
        let hot = self.knobs.gas_k.ok_or(Input::GasTemperature)?;
        let volume = dryer.gas_volume.ok_or(Input::DryerGasVolume)?;
        let stopped = StoppedExhaust {
            gas: Volume::from_m3(volume * FRESH_GAS_TEMPERATURE.k() / hot),
            vapor: flow,
            running_share: vapor_share(flow, VolumeFlow::from_m3_per_s(fresh)),
            on_the_web: self.vapor_on_the_web(dryer, flow)?,
        };
        let quarter = Fraction::from_ratio(DESIGN_SHARE * limit.ratio());
        Ok(Some(stopped.time_to(quarter).s()))
    }

    /// Vapour of the film between head and end of the dryer, taken to be as wet as it left the head: what is fed in the time
    /// that the web takes for that way.
    fn vapor_on_the_web(&self, dryer: &DryerValues, fed: VolumeFlow) -> Result<Volume, Input> {
        let speed = self.knobs.speed.ok_or(Input::Speed)?;
        let length = dryer.length.ok_or(Input::DryerLength)?;
        let seconds = (self.path_to_dryer() + length) / speed;
        Ok(Volume::from_m3(fed.m3_per_s() * seconds))
    }

    /// Share of the explosive limit in the room after a spill, against a quarter of it.
    fn spill(&mut self, solvent: Solvent) {
        let share = || -> Result<Option<f64>, Input> {
            let Some(limit) = solvent.properties().explosive_limit else {
                return Ok(None);
            };
            let spilled = spilled_vapor(self.values, solvent)?;
            let room = self.values.room.volume.ok_or(Input::RoomVolume)?;
            let limit = explosive_limit_at(
                Fraction::from_percent(limit.percent),
                Temperature::from_k(self.values.room.temperature),
                CAREFUL_SPAN_K,
            );
            let share = spill_share(spilled, Volume::from_m3(room));
            Ok(Some(share.ratio() / limit.ratio()))
        };
        match share() {
            Ok(Some(share)) => {
                self.uses(InputSet::of(&[
                    Input::Density,
                    Input::Solids,
                    Input::RoomTemperature,
                ]));
                self.ratio(LimitId::Spill, share, DESIGN_SHARE);
            }
            Ok(None) => {}
            Err(missing) => self.missing(LimitId::Spill, missing),
        }
    }

    /// Clean air that would dilute all vapour to its exposure limit, against what the room gets.
    fn breathing(&mut self, solvent: Solvent) {
        if solvent.properties().exposure_limit.is_none() {
            return;
        }
        let flows = || -> Result<(f64, f64), Input> {
            let needed = air_to_breathe(self.values, self.knobs, solvent)?;
            let ventilation = self.values.room.ventilation.ok_or(Input::Ventilation)?;
            Ok((
                needed.map_or(0.0, VolumeFlow::m3_per_s),
                ventilation.flow().m3_per_s(),
            ))
        };
        match flows() {
            Ok((needed, there)) => {
                self.uses(InputSet::of(&[Input::Density, Input::Solids]));
                self.ratio(LimitId::Breathing, needed, there);
            }
            Err(missing) => self.missing(LimitId::Breathing, missing),
        }
    }

    /// The spark of a person against what ignites the vapour.
    fn spark(&mut self) {
        let spark = spark_energy(PERSON, CHARGED_PERSON);
        let ignites = Energy::from_j(self.values.ink.ignition_energy);
        self.uses(InputSet::of(&[Input::IgnitionEnergy]));
        self.ratio(LimitId::StaticSpark, spark.j(), ignites.j());
    }

    /// Oxygen in the long run if all inert gas stays in the room, against deficient air; measured by the way from clean air.
    fn oxygen(&mut self, dryer: &DryerValues) {
        let oxygen = || -> Result<f64, Input> {
            let inert = dryer.fresh_gas.ok_or(Input::FreshGas)?;
            let ventilation = self.values.room.ventilation.ok_or(Input::Ventilation)?;
            Ok(steady_oxygen(VolumeFlow::from_m3_per_s(inert), ventilation).ratio())
        };
        match oxygen() {
            Ok(oxygen) => {
                self.derived.room_oxygen = Some(oxygen);
                let (clean, least) = (CLEAN_AIR_OXYGEN.ratio(), LEAST_OXYGEN.ratio());
                let factor = self.calibration.factor(LimitId::OxygenRoom);
                let bound = clean - factor * (clean - least);
                let margin = super::clip((oxygen - bound) / (clean - bound));
                self.evaluated(
                    LimitId::OxygenRoom,
                    LimitId::OxygenRoom.sense(),
                    (oxygen, bound, margin),
                    factor,
                );
            }
            Err(missing) => self.missing(LimitId::OxygenRoom, missing),
        }
    }
}

/// Vapour of the most ink that one spill can lose, at the temperature of the room; or the input that it lacks.
pub(crate) fn spilled_vapor(values: &Values, solvent: Solvent) -> Result<Volume, Input> {
    let spill = values
        .room
        .spill
        .or(values.head.syringe_volume)
        .ok_or(Input::SpillVolume)?;
    let liquid = spill * (1.0 - values.ink.solids.unwrap_or(0.0));
    Ok(vapor_of_liquid(
        solvent,
        Volume::from_m3(liquid),
        Density::from_kg_per_m3(values.ink.rho),
        Temperature::from_k(values.room.temperature),
    ))
}

/// Clean air that dilutes all vapour of a run to the exposure limit of its solvent, or the input that it lacks; `Ok(None)`
/// if none is listed.
pub(crate) fn air_to_breathe(
    values: &Values,
    knobs: &Knobs,
    solvent: Solvent,
) -> Result<Option<VolumeFlow>, Input> {
    let Some(limit) = solvent.properties().exposure_limit else {
        return Ok(None);
    };
    let vapor = vapor_flow(
        solvent,
        VolumeFlow::from_m3_per_s(values.ink_flow(knobs)?),
        Density::from_kg_per_m3(values.ink.rho),
        Fraction::from_ratio(values.ink.solids.unwrap_or(0.0)),
        FRESH_GAS_TEMPERATURE,
    );
    Ok(Some(breathing_air(vapor, limit.ppm, ROOM_MIXING_FACTOR)))
}
