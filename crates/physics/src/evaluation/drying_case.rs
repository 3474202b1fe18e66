//! What the drying of a setting needs, and the zones that its film goes through.

use arrayvec::ArrayVec;

use crate::assumed::{Input, InputSet};
use crate::drying::{
    BLISTERING_RESIDUAL, DryingCase, DryingFilm, DryingZone, FallingRate, FilmActivity,
    InfraredHeating, MAX_ZONES, constant_rate_time,
};
use crate::film_defects::stiff_film_solvent_kg_per_m2;
use crate::line::Gas;
use crate::physical_constants::{GAS_CONSTANT, STANDARD_PRESSURE};
use crate::prepared::{DryerValues, InfraredValues, Knobs, RollerValues, Values};
use crate::quantity::{
    Density, Diffusivity, Fraction, HeatTransferCoefficient, Irradiance, Length, Pressure,
    Temperature,
};
use crate::solvent::Solvent;
use crate::solvent_vapor::FRESH_GAS_TEMPERATURE;

pub(super) const DRYING_INPUTS: InputSet = InputSet::of(&[
    Input::Density,
    Input::FoilThickness,
    Input::FoilMaterial,
    Input::RoomTemperature,
    Input::OpenPath,
    Input::OpenPathHeatTransfer,
    Input::Activity,
]);
pub(super) const DRYER_INPUTS: InputSet =
    InputSet::of(&[Input::DryerHeatTransferAbove, Input::DryerHeatTransferBelow]);
pub(super) const INFRARED_INPUTS: InputSet =
    InputSet::of(&[Input::InfraredAbsorbed, Input::InfraredHeatTransfer]);

/// Inputs that drying depends on; any other input leaves the march of a given film as it was.
const MARCH_INPUTS: InputSet = DRYING_INPUTS
    .union(DRYER_INPUTS)
    .union(INFRARED_INPUTS)
    .union(InputSet::of(&[
        Input::ResidualSolvent,
        Input::CriticalResidual,
        Input::RelativeHumidity,
        Input::RollerContact,
    ]));

/// Inputs that change how the film of a head dries.
pub(crate) fn march_inputs(values: &Values) -> InputSet {
    MARCH_INPUTS.union(values.head.method.film_inputs())
}

/// A line's infrared lamps with their length \[m\] and irradiance [W/m²].
#[derive(Debug, Clone, Copy)]
pub(super) struct Lamps {
    values: InfraredValues,
    pub(super) length: f64,
    pub(super) irradiance: f64,
}

impl Lamps {
    /// The lamps of a line, or what they lack; `Ok(None)` if the line has none.
    pub(super) fn new(values: &Values, knobs: &Knobs) -> Result<Option<Self>, Input> {
        let Some(lamps) = values.infrared else {
            return Ok(None);
        };
        Ok(Some(Self {
            values: lamps,
            length: lamps.length.ok_or(Input::InfraredLength)?,
            irradiance: knobs.infrared.ok_or(Input::InfraredPower)?,
        }))
    }

    pub(super) const fn is_in_dryer(&self) -> bool {
        self.values.is_in_dryer
    }

    /// Radiation that the web takes up [W/m²].
    pub(super) fn absorbed(&self) -> f64 {
        self.values.absorbed * self.irradiance
    }

    /// Heat-transfer coefficient of both sides together where the lamps stand [W/(m²·K)].
    pub(super) fn both_sides(&self, dryer: Option<&DryerValues>) -> f64 {
        match dryer.filter(|_| self.is_in_dryer()) {
            Some(dryer) => dryer.h_top + dryer.h_bottom,
            None => 2.0 * self.values.h,
        }
    }

    const fn heating(&self) -> InfraredHeating {
        InfraredHeating {
            irradiance: Irradiance::from_w_per_m2(self.irradiance),
            absorbed: Fraction::from_ratio(self.values.absorbed),
        }
    }
}

/// The dryer of a line with its length \[m\] and gas temperature \[K\].
#[derive(Debug, Clone, Copy)]
struct HotGas {
    dryer: DryerValues,
    length: f64,
    gas_k: f64,
}

/// Everything that the drying of a setting needs.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DryingInputs {
    solvent: Solvent,
    lamps: Option<Lamps>,
    hot_gas: Option<HotGas>,
    pub(super) speed: f64,
    t: f64,
    solids: f64,
    activity: FilmActivity,
    /// Diffusivity of the solvent in the solid film [m²/s] with its dry density [kg/m³].
    diffusion: Option<(f64, f64)>,
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
        let hot_gas = match values.dryer {
            Some(dryer) => Some(HotGas {
                dryer,
                length: dryer.length.ok_or(Input::DryerLength)?,
                gas_k: knobs.gas_k.ok_or(Input::GasTemperature)?,
            }),
            None => None,
        };
        let lamps = Lamps::new(values, knobs)?;
        let (speed, t) = film?;
        let solids = values.ink.solids.ok_or(Input::Solids)?;
        let dry_density = values.ink.dry_density.map(Density::from_kg_per_m3);
        let activity =
            FilmActivity::new(values.ink.activity, dry_density).ok_or(Input::DryDensity)?;
        let diffusion = match values.film.diffusivity {
            Some(diffusivity) => Some((
                diffusivity,
                values.ink.dry_density.ok_or(Input::DryDensity)?,
            )),
            None => None,
        };
        Ok(Self {
            solvent,
            lamps,
            hot_gas,
            speed,
            t,
            solids,
            activity,
            diffusion,
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
        let mut zones = self.zones_before_dryer(values, knobs);
        zones.extend(self.dryer_zones(values, film.solvent_kg_per_m2));
        let dry = values
            .residual
            .map_or(BLISTERING_RESIDUAL, |residual| residual.dry);
        let case = DryingCase::new(film, &zones, dry)
            .with_vapor_errors(values.vapor_errors)
            .with_stiff_film(stiff_solvent(values, &film, dry));
        match self.diffusion {
            Some((diffusivity, dry_density)) => case.with_falling_rate(FallingRate {
                dry_thickness: Length::from_m(film.solids_kg_per_m2 / dry_density),
                diffusivity: Diffusivity::from_m2_per_s(diffusivity),
                at_start: values.film.critical_residual,
            }),
            None => case,
        }
    }

    /// Length of the way from the head to the end of the zones \[m\].
    pub(super) fn path(&self, values: &Values, knobs: &Knobs) -> f64 {
        let in_dryer = self.hot_gas.map_or(0.0, |hot_gas| hot_gas.length);
        self.path_to_dryer(values, knobs) + in_dryer
    }

    /// Length of the way from the head to the dryer that the march takes \[m\].
    pub(super) fn path_to_dryer(&self, values: &Values, knobs: &Knobs) -> f64 {
        self.zones_before_dryer(values, knobs)
            .iter()
            .map(|zone| zone.length.m())
            .sum()
    }

    /// Open path, roller, and lamps that stand in room air.
    fn zones_before_dryer(
        &self,
        values: &Values,
        knobs: &Knobs,
    ) -> ArrayVec<DryingZone, MAX_ZONES> {
        let mut zones = ArrayVec::new();
        zones.push(open_path(values, self.solvent));
        zones.extend(roller_contact(values, knobs, self.solvent));
        zones.extend(
            self.lamps
                .filter(|lamps| !lamps.is_in_dryer())
                .map(|lamps| lamps_in_air(values, &lamps, self.solvent)),
        );
        zones
    }

    /// The dryer: one zone, or two if lamps shine on its first part. The gas is well mixed over both.
    fn dryer_zones(
        &self,
        values: &Values,
        solvent_kg_per_m2: f64,
    ) -> ArrayVec<DryingZone, MAX_ZONES> {
        let mut zones = ArrayVec::new();
        let Some(HotGas {
            dryer,
            length,
            gas_k,
        }) = self.hot_gas
        else {
            return zones;
        };
        let whole = dryer_zone(
            values,
            &dryer,
            (length, gas_k),
            self.solvent,
            solvent_kg_per_m2,
        );
        let lit = self.lamps.filter(Lamps::is_in_dryer).map(|lamps| {
            let lit = lamps.length.min(length);
            (lit, lamps.heating())
        });
        let Some((lit, heating)) = lit else {
            zones.push(whole);
            return zones;
        };
        zones.push(DryingZone {
            length: Length::from_m(lit),
            infrared: Some(heating),
            ..whole
        });
        if lit < length {
            zones.push(DryingZone {
                length: Length::from_m(length - lit),
                ..whole
            });
        }
        zones
    }
}

/// Solvent per area that is left when the film flows no more [kg/m²]: of a solid of unknown density as much as counts as
/// dry, the careful end.
fn stiff_solvent(values: &Values, film: &DryingFilm, dry: f64) -> f64 {
    match values.ink.dry_density {
        Some(dry_density) => stiff_film_solvent_kg_per_m2(
            film,
            values.ink.activity,
            Density::from_kg_per_m3(dry_density),
        ),
        None => dry * film.solids_kg_per_m2,
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
        infrared: None,
        vapor_pressure: room_vapor(values, solvent),
        vapor_load_s_per_m: 0.0,
    }
}

/// Temperature and wrapped length of a roller whose temperature and size are stated.
pub(super) fn roller_zone(values: &Values, knobs: &Knobs) -> Option<(RollerValues, f64, f64)> {
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

fn lamps_in_air(values: &Values, lamps: &Lamps, solvent: Solvent) -> DryingZone {
    let h = HeatTransferCoefficient::from_w_per_m2_k(lamps.values.h);
    DryingZone {
        length: Length::from_m(lamps.length),
        h_top: h,
        h_bottom: h,
        infrared: Some(lamps.heating()),
        ..open_path(values, solvent)
    }
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

/// Partial pressure of the solvent in the gas that is fed to the dryer; bottled gas is dry.
pub(super) fn fed_vapor(values: &Values, dryer: &DryerValues, solvent: Solvent) -> Pressure {
    if dryer.gas.is_inert() {
        Pressure::from_pa(0.0)
    } else {
        room_vapor(values, solvent)
    }
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
        infrared: None,
        vapor_pressure: fed_vapor(values, dryer, solvent),
        vapor_load_s_per_m: vapor_load(values, dryer, solvent, solvent_kg_per_m2),
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

/// Highest temperature that a wet film of free solvent keeps in any zone of which enough is stated \[K\].
pub(crate) fn hottest_constant_rate(values: &Values, knobs: &Knobs, solvent: Solvent) -> f64 {
    let mut hottest = values.room.temperature;
    if let Some(zone) = roller_contact(values, knobs, solvent) {
        hottest = zone.constant_rate_temperature(solvent).k().max(hottest);
    } else if let Some(roller) = knobs.roller_k {
        hottest = roller.max(hottest);
    }
    let lamps = Lamps::new(values, knobs).ok().flatten();
    if let Some(lamps) = lamps.filter(|lamps| !lamps.is_in_dryer()) {
        let zone = lamps_in_air(values, &lamps, solvent);
        hottest = zone.constant_rate_temperature(solvent).k().max(hottest);
    }
    if let (Some(dryer), Some(gas)) = (values.dryer, knobs.gas_k) {
        let infrared = lamps
            .filter(Lamps::is_in_dryer)
            .map(|lamps| lamps.heating());
        let zone = DryingZone {
            infrared,
            ..dryer_zone(values, &dryer, (1.0, gas), solvent, 0.0)
        };
        hottest = zone.constant_rate_temperature(solvent).k().max(hottest);
    }
    hottest
}
