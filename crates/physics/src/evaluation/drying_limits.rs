//! Heated roller and dryer: spans, drying, temperatures of film and foil, and the cautions that belong to them.

use arrayvec::ArrayVec;

use super::{Drying, Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::drying::{
    BLISTERING_RESIDUAL, BOILING_DISTANCE, DryingCase, DryingFilm, DryingZone, FilmActivity,
    MAX_ZONES, March, constant_rate_time,
};
use crate::heat_transfer::{BURN_THRESHOLD, COOL_SURFACE};
use crate::limit::LimitId;
use crate::line::Gas;
use crate::physical_constants::{GAS_CONSTANT, STANDARD_PRESSURE};
use crate::plasma::ozone_dilution;
use crate::prepared::{DryerValues, Knobs, RollerValues, Values};
use crate::quantity::{
    Density, Fraction, HeatTransferCoefficient, Length, Power, Pressure, Speed, Temperature,
    VolumeFlow,
};
use crate::solvent::Solvent;
use crate::solvent_vapor::{
    CAREFUL_SPAN_K, DESIGN_SHARE, FRESH_GAS_TEMPERATURE, explosive_limit_at, vapor_flow,
    vapor_share,
};

const DRYING_INPUTS: InputSet = InputSet::of(&[
    Input::Density,
    Input::FoilThickness,
    Input::FoilMaterial,
    Input::RoomTemperature,
    Input::OpenPath,
    Input::OpenPathHeatTransfer,
    Input::Activity,
]);
const DRYER_INPUTS: InputSet = InputSet::of(&[
    Input::DryerHeatTransferAbove,
    Input::DryerHeatTransferBelow,
    Input::ResidualSolvent,
]);

/// Inputs that drying depends on; any other input leaves the march of a given film as it was.
const MARCH_INPUTS: InputSet = DRYING_INPUTS.union(DRYER_INPUTS).union(InputSet::of(&[
    Input::RelativeHumidity,
    Input::RollerContact,
]));

/// Inputs that change how the film of a head dries.
pub(crate) fn march_inputs(values: &Values) -> InputSet {
    MARCH_INPUTS.union(values.head.method.film_inputs())
}

impl<S: Sink> Walk<'_, S> {
    pub(super) fn drying_limits(&mut self) {
        let (roller, dryer) = (self.values.roller, self.values.dryer);
        if let Some(roller) = roller {
            self.temperature_span_or_missing(
                LimitId::RollerSpan,
                (self.knobs.roller_k, Input::RollerTemperature),
                (roller.temperature_span, Input::RollerTemperatureSpan),
            );
        }
        if let Some(dryer) = dryer {
            self.temperature_span_or_missing(
                LimitId::GasTemperatureSpan,
                (self.knobs.gas_k, Input::GasTemperature),
                (dryer.temperature_span, Input::GasTemperatureSpan),
            );
        }
        if roller.is_none() && dryer.is_none() {
            return;
        }
        let march = self.dry_at_exit();
        self.blister(march.as_ref());
        self.foil_temperature_limits(march.as_ref());
    }

    fn temperature_span_or_missing(
        &mut self,
        id: LimitId,
        (value, value_input): (Option<f64>, Input),
        (span, span_input): (Option<(f64, f64)>, Input),
    ) {
        match (value, span) {
            (Some(value), Some(span)) => {
                self.uses(InputSet::of(&[Input::RoomTemperature]));
                self.temperature_span(id, value, span);
            }
            (_, None) => self.missing(id, span_input),
            (None, Some(_)) => self.missing(id, value_input),
        }
    }

    /// Records `dry_at_exit`, if the line has a dryer, and returns the march at the set speed, if one was run.
    fn dry_at_exit(&mut self) -> Option<March> {
        if let Drying::LeaveOut = self.drying {
            return None;
        }
        let inputs = match DryingInputs::new(self.values, &self.knobs) {
            Ok(inputs) => inputs,
            Err(missing) => {
                if self.values.dryer.is_some() {
                    self.missing(LimitId::DryAtExit, missing);
                }
                return None;
            }
        };
        self.mark_drying();
        let speed = inputs.speed;
        let march = || {
            inputs
                .case(self.values, &self.knobs)
                .march(Speed::from_m_per_s(speed))
        };
        let (march, dry_speed) = match self.drying {
            Drying::LeaveOut => return None,
            Drying::Given(known) => (None, known),
            Drying::Known(known, march) => (Some(march), known),
            Drying::KnownSpeed(known) => (Some(march()), known),
            Drying::SideOnly => {
                let march = march();
                // Only the side matters here: twice or half the set speed stands for either.
                let is_dry = self
                    .values
                    .dryer
                    .is_none_or(|dryer| march.residual <= dryer.residual);
                (Some(march), if is_dry { 2.0 * speed } else { 0.5 * speed })
            }
            Drying::Full if self.values.dryer.is_none() => (Some(march()), speed),
            Drying::Full => {
                let case = inputs.case(self.values, &self.knobs);
                (
                    Some(case.march(Speed::from_m_per_s(speed))),
                    case.dry_speed().speed().m_per_s(),
                )
            }
        };
        if let Some(dryer) = self.values.dryer {
            self.derived.dry_speed_m_per_s = Some(dry_speed);
            self.derived.dry_after_s = match march.and_then(|march| march.dry_after) {
                Some(time) => Some(time.s().max(0.0)),
                None => dryer.length.map(|length| length / dry_speed),
            };
            self.ratio(LimitId::DryAtExit, speed, dry_speed);
        }
        march
    }

    fn mark_drying(&mut self) {
        self.uses(DRYING_INPUTS);
        if self.values.ink.solvent == Some(Solvent::Water) {
            self.uses(InputSet::of(&[Input::RelativeHumidity]));
        }
        if self.values.dryer.is_some() {
            self.uses(DRYER_INPUTS);
        }
        if roller_zone(self.values, &self.knobs).is_some() {
            self.uses(InputSet::of(&[Input::RollerContact]));
        }
    }

    /// Hottest temperature that a station is set to \[K\], or the temperature that is missing.
    fn hottest_setting(&self) -> Result<f64, Input> {
        let hottest = match (self.knobs.roller_k, self.knobs.gas_k) {
            (Some(roller), Some(gas)) => roller.max(gas),
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => {
                return Err(if self.values.dryer.is_some() {
                    Input::GasTemperature
                } else {
                    Input::RollerTemperature
                });
            }
        };
        Ok(hottest.max(self.values.room.temperature))
    }

    /// A roller that is hot but whose zone is not in the march, because its size is not stated.
    fn unmarched_roller_k(&self) -> Option<f64> {
        if roller_zone(self.values, &self.knobs).is_some() {
            None
        } else {
            self.knobs.roller_k
        }
    }

    /// Not judged without a march or its closed-form stand-in.
    fn blister(&mut self, march: Option<&March>) {
        let Some(solvent) = self.values.ink.solvent else {
            self.missing(LimitId::Blister, Input::Solvent);
            return;
        };
        if let Err(missing) = self.hottest_setting() {
            self.missing(LimitId::Blister, missing);
            return;
        }
        let hottest = match (march, self.drying) {
            (Some(march), _) => {
                let wet = march.hottest_while_wet.k();
                self.unmarched_roller_k()
                    .map_or(wet, |roller| wet.max(roller))
            }
            // Without the march nothing quick is known of the wet film.
            (None, Drying::Given(_) | Drying::LeaveOut) => return,
            (None, Drying::Full | Drying::KnownSpeed(_) | Drying::Known(..) | Drying::SideOnly) => {
                self.mark_drying();
                hottest_constant_rate(self.values, &self.knobs, solvent)
            }
        };
        self.temperature(
            LimitId::Blister,
            hottest,
            solvent.boiling_point().k() - BOILING_DISTANCE.k(),
        );
    }

    fn foil_temperature_limits(&mut self, march: Option<&March>) {
        let foil = &self.values.foil;
        let hottest = match (self.hottest_setting(), march) {
            (Err(missing), _) => {
                for id in [LimitId::FoilMax, LimitId::FoilTg, LimitId::FoilShrink] {
                    self.missing(id, missing);
                }
                return;
            }
            (Ok(_), Some(march)) => {
                let web = march.hottest.k();
                self.unmarched_roller_k()
                    .map_or(web, |roller| web.max(roller))
            }
            (Ok(setting), None) => setting,
        };
        self.derived.hottest_foil_k = Some(hottest);
        match foil.highest.or(foil
            .material
            .map(|material| material.highest_temperature().k()))
        {
            Some(bound) => self.temperature(LimitId::FoilMax, hottest, bound),
            None => self.missing(LimitId::FoilMax, Input::FoilMaterial),
        }
        let Some(material) = foil.material else {
            self.missing(LimitId::FoilTg, Input::FoilMaterial);
            self.missing(LimitId::FoilShrink, Input::FoilMaterial);
            return;
        };
        if let Some(transition) = material.glass_transition() {
            self.temperature(LimitId::FoilTg, hottest, transition.k());
        }
        if let Some(shrinkage) = material.shrinkage(Temperature::from_k(hottest)) {
            self.uses(InputSet::of(&[Input::AllowedShrinkage]));
            self.ratio(
                LimitId::FoilShrink,
                shrinkage.ratio(),
                foil.allowed_shrinkage,
            );
        }
    }

    /// Records of severity caution: never part of the verdict.
    pub(super) fn cautions(&mut self) {
        if let Some(dryer) = self.values.dryer {
            self.explosive_vapor(&dryer);
        }
        if self.values.dryer.is_some() || self.values.roller.is_some() {
            match self.hottest_setting() {
                Ok(surface) => {
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
                Err(missing) => self.missing(LimitId::HotTouch, missing),
            }
        }
        if let Some(plasma) = self.values.plasma {
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
    }

    fn explosive_vapor(&mut self, dryer: &DryerValues) {
        let share = || -> Result<Option<f64>, Input> {
            let solvent = self.values.ink.solvent.ok_or(Input::Solvent)?;
            let Some(limit) = solvent.properties().explosive_limit else {
                return Ok(None);
            };
            let flow = self.values.ink_flow(&self.knobs)?;
            let fresh = dryer.fresh_gas.ok_or(Input::FreshGas)?;
            let hot = self.knobs.gas_k.ok_or(Input::GasTemperature)?;
            let vapor = vapor_flow(
                solvent,
                VolumeFlow::from_m3_per_s(flow),
                Density::from_kg_per_m3(self.values.ink.rho),
                Fraction::from_ratio(self.values.ink.solids.unwrap_or(0.0)),
                FRESH_GAS_TEMPERATURE,
            );
            let lel = explosive_limit_at(
                Fraction::from_percent(limit.percent),
                Temperature::from_k(hot),
                CAREFUL_SPAN_K,
            );
            Ok(Some(
                vapor_share(vapor, VolumeFlow::from_m3_per_s(fresh)).ratio() / lel.ratio(),
            ))
        };
        match share() {
            Ok(Some(share)) => {
                self.uses(InputSet::of(&[Input::Density, Input::Solids]));
                self.derived.lel_share = Some(share);
                self.ratio(LimitId::LelDryer, share, DESIGN_SHARE);
            }
            Ok(None) => {}
            Err(missing) => self.missing(LimitId::LelDryer, missing),
        }
    }
}

/// Partial pressure of the solvent in room air: humidity for water, nothing for others.
fn room_vapor(values: &Values, solvent: Solvent) -> Pressure {
    if solvent == Solvent::Water {
        let saturated = solvent.vapor_pressure(Temperature::from_k(values.room.temperature));
        Pressure::from_pa(values.room.humidity * saturated.pa())
    } else {
        Pressure::from_pa(0.0)
    }
}

fn open_path(values: &Values, solvent: Solvent) -> DryingZone {
    let h = HeatTransferCoefficient::from_w_per_m2_k(values.room.open_path_h);
    DryingZone {
        length: Length::from_m(values.room.open_path),
        gas: Gas::Air,
        gas_temperature: Temperature::from_k(values.room.temperature),
        h_top: h,
        h_bottom: h,
        contact: None,
        vapor_pressure: room_vapor(values, solvent),
        vapor_load_s_per_m: 0.0,
    }
}

/// Temperature and wrapped length of a roller whose temperature and size are stated.
fn roller_zone(values: &Values, knobs: &Knobs) -> Option<(RollerValues, f64, f64)> {
    let roller = values.roller?;
    let (hot, diameter, wrap) = (knobs.roller_k?, roller.diameter?, roller.wrap?);
    (wrap > 0.0).then_some((roller, hot, 0.5 * diameter * wrap))
}

fn roller_contact(values: &Values, knobs: &Knobs, solvent: Solvent) -> Option<DryingZone> {
    let (roller, hot, length) = roller_zone(values, knobs)?;
    Some(DryingZone {
        length: Length::from_m(length),
        h_bottom: HeatTransferCoefficient::from_w_per_m2_k(0.0),
        contact: Some((
            HeatTransferCoefficient::from_w_per_m2_k(roller.contact),
            Temperature::from_k(hot),
        )),
        ..open_path(values, solvent)
    })
}

/// Moles of vapour per mole of fresh gas and per speed [s/m] (eq 6.15): all solvent of a film of a solvent mass per area
/// evaporates into the fresh gas of the dryer.
fn vapor_load(
    values: &Values,
    dryer: &DryerValues,
    solvent: Solvent,
    solvent_kg_per_m2: f64,
) -> f64 {
    let (Some(fresh), Some(width)) = (dryer.fresh_gas, values.head.width) else {
        return 0.0;
    };
    let gas_mol_per_s = STANDARD_PRESSURE * fresh / (GAS_CONSTANT * FRESH_GAS_TEMPERATURE.k());
    solvent_kg_per_m2 * width / solvent.properties().molar_mass_kg_per_mol() / gas_mol_per_s
}

fn dryer_zone(
    values: &Values,
    dryer: &DryerValues,
    (length, hot): (f64, f64),
    solvent: Solvent,
    solvent_kg_per_m2: f64,
) -> DryingZone {
    DryingZone {
        length: Length::from_m(length),
        gas: dryer.gas,
        gas_temperature: Temperature::from_k(hot),
        h_top: HeatTransferCoefficient::from_w_per_m2_k(dryer.h_top),
        h_bottom: HeatTransferCoefficient::from_w_per_m2_k(dryer.h_bottom),
        contact: None,
        // Bottled gas is dry.
        vapor_pressure: if dryer.gas.is_inert() {
            Pressure::from_pa(0.0)
        } else {
            room_vapor(values, solvent)
        },
        vapor_load_s_per_m: vapor_load(values, dryer, solvent, solvent_kg_per_m2),
    }
}

/// Everything that the drying of a setting needs.
#[derive(Clone, Copy)]
pub(crate) struct DryingInputs {
    solvent: Solvent,
    /// The dryer with its length \[m\] and gas temperature \[K\], if the line has one.
    dryer: Option<(DryerValues, (f64, f64))>,
    speed: f64,
    t: f64,
    solids: f64,
    activity: FilmActivity,
}

impl DryingInputs {
    /// Collects them, or names the first that is missing.
    pub(crate) fn new(values: &Values, knobs: &Knobs) -> Result<Self, Input> {
        let film = || {
            Ok((
                knobs.speed.ok_or(Input::Speed)?,
                values.wet_thickness(knobs)?,
            ))
        };
        Self::of_film(values, knobs, film())
    }

    /// For a film of any origin, given by its speed [m/s] and wet thickness \[m\].
    pub(crate) fn of_film(
        values: &Values,
        knobs: &Knobs,
        film: Result<(f64, f64), Input>,
    ) -> Result<Self, Input> {
        let solvent = values.ink.solvent.ok_or(Input::Solvent)?;
        let dryer = match values.dryer {
            Some(dryer) => {
                let length = dryer.length.ok_or(Input::DryerLength)?;
                Some((dryer, (length, knobs.gas_k.ok_or(Input::GasTemperature)?)))
            }
            None => None,
        };
        let (speed, t) = film?;
        let solids = values.ink.solids.ok_or(Input::Solids)?;
        let dry_density = values.ink.dry_density.map(Density::from_kg_per_m3);
        let activity =
            FilmActivity::new(values.ink.activity, dry_density).ok_or(Input::DryDensity)?;
        Ok(Self {
            solvent,
            dryer,
            speed,
            t,
            solids,
            activity,
        })
    }

    /// The film with its zones.
    pub(crate) fn case(&self, values: &Values, knobs: &Knobs) -> DryingCase {
        let mass = self.t * values.ink.rho;
        let film = DryingFilm {
            solvent: self.solvent,
            solvent_kg_per_m2: mass * (1.0 - self.solids),
            solids_kg_per_m2: mass * self.solids,
            foil_heat_capacity_j_per_m2_k: values.foil.heat_capacity,
            start: Temperature::from_k(values.room.temperature),
            activity: self.activity,
        };
        let mut zones = ArrayVec::<DryingZone, MAX_ZONES>::new();
        zones.push(open_path(values, self.solvent));
        zones.extend(roller_contact(values, knobs, self.solvent));
        zones.extend(self.dryer.map(|(dryer, place)| {
            dryer_zone(values, &dryer, place, self.solvent, film.solvent_kg_per_m2)
        }));
        let residual = values
            .dryer
            .map_or(BLISTERING_RESIDUAL, |dryer| dryer.residual);
        DryingCase::new(film, &zones, residual)
    }
}

/// Evaporation flux from ink at the temperature of the room into room air [kg/(m²·s)] (eq 6.3).
pub(super) fn room_evaporation_kg_per_m2_s(values: &Values, solvent: Solvent) -> f64 {
    open_path(values, solvent)
        .evaporation_flux_kg_per_m2_s(solvent, Temperature::from_k(values.room.temperature))
}

/// Time to evaporate the solvent of a film of a wet thickness \[m\] at the constant rate of the dryer \[s\] (eq 6.12); `None`
/// where an input is missing or the line has no dryer.
pub(super) fn constant_rate_time_s(values: &Values, knobs: &Knobs, wet: f64) -> Option<f64> {
    let (solvent, dryer) = (values.ink.solvent?, values.dryer?);
    let solvent_kg_per_m2 = wet * values.ink.rho * (1.0 - values.ink.solids?);
    let zone = dryer_zone(values, &dryer, (1.0, knobs.gas_k?), solvent, 0.0);
    let film = zone.constant_rate_temperature(solvent);
    let flux = zone.evaporation_flux_kg_per_m2_s(solvent, film);
    Some(constant_rate_time(solvent_kg_per_m2, flux).s())
}

/// Highest temperature that a wet film of free solvent keeps in any zone whose temperature is stated \[K\].
fn hottest_constant_rate(values: &Values, knobs: &Knobs, solvent: Solvent) -> f64 {
    let mut hottest = values.room.temperature;
    if let Some(zone) = roller_contact(values, knobs, solvent) {
        hottest = zone.constant_rate_temperature(solvent).k().max(hottest);
    } else if let Some(roller) = knobs.roller_k {
        hottest = roller.max(hottest);
    }
    if let (Some(dryer), Some(gas)) = (values.dryer, knobs.gas_k) {
        let zone = dryer_zone(values, &dryer, (1.0, gas), solvent, 0.0);
        hottest = zone.constant_rate_temperature(solvent).k().max(hottest);
    }
    hottest
}
