//! How far one may go: the fastest web that dries or cures, the gas that dries a wanted speed, the pump rate of a wanted dry
//! film, the vapour in the exhaust.
//!
//! Each answer is sought within the span of its knob as stated; whether the other limits hold there is a matter of
//! [`Prepared::assess`]. Calibration factors of the limit in question count.

use crate::assess::Prepared;
use crate::assumed::Input;
use crate::drying::DRY_SPEED_REACH;
use crate::evaluation::{DryingInputs, burning_vapor, cured_dose_at_full_power};
use crate::input_error::InputError;
use crate::limit::LimitId;
use crate::line::Setting;
use crate::metering::SolidContent;
use crate::prepared::Knobs;
use crate::quantity::{Density, Fraction, Length, Speed, Temperature, VolumeFlow};
use crate::solvent_vapor::{DESIGN_SHARE, dilution_air, vapor_share};

/// Hottest gas that is sought where the dryer's span is not stated.
pub const HOTTEST_GAS: Temperature = Temperature::from_deg_c(300.0);
/// Distance at which the search for a gas temperature ends \[K\].
const TEMPERATURE_STEP_K: f64 = 0.01;

/// An answer sought within the span of a knob.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sought<Q> {
    /// Up to here, or from here on.
    At(Q),
    /// Anywhere within the span: its far end.
    Anywhere(Q),
    /// Nowhere within the span; its end that comes nearest.
    Nowhere(Q),
}

impl<Q> Sought<Q> {
    /// The border of what was sought, or the end of the span that stands for it.
    pub fn value(self) -> Q {
        match self {
            Self::At(value) | Self::Anywhere(value) | Self::Nowhere(value) => value,
        }
    }

    /// True unless there is no such place within the span.
    pub const fn is_within(&self) -> bool {
        match self {
            Self::At(_) | Self::Anywhere(_) => true,
            Self::Nowhere(_) => false,
        }
    }
}

/// A speed against a span [m/s], slower being easier.
fn fastest_within(speed: f64, (least, greatest): (f64, f64)) -> Sought<Speed> {
    if speed < least {
        Sought::Nowhere(Speed::from_m_per_s(least))
    } else if speed >= greatest {
        Sought::Anywhere(Speed::from_m_per_s(greatest))
    } else {
        Sought::At(Speed::from_m_per_s(speed))
    }
}

/// Flammable vapour in the exhaust of the dryer. An estimate only.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExhaustVapor {
    /// Share of the lower explosive limit at the gas temperature; `None` if the fresh gas is not stated.
    pub of_limit: Option<f64>,
    /// Share of a quarter of that limit, for which ovens are designed; `None` if the fresh gas is not stated.
    pub of_design: Option<f64>,
    /// Fresh gas that makes just a quarter of the limit, counted at 21 °C.
    pub fresh_gas_for_design: VolumeFlow,
}

impl Prepared {
    fn speed_span(&self) -> (f64, f64) {
        self.values().head.speed_span.unwrap_or(DRY_SPEED_REACH)
    }

    /// Fastest web, within the span of the drive, on which a film of the wet thickness of a setting leaves dry at its
    /// temperatures. `Ok(None)` if an input is missing or nothing on the line dries.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn fastest_drying_speed(
        &self,
        setting: &Setting,
    ) -> Result<Option<Sought<Speed>>, InputError> {
        let factor = self.basis().calibration.factor(LimitId::DryAtExit);
        let dry = self.dry_speed(setting)?;
        Ok(dry.map(|dry| fastest_within(factor * dry.speed().m_per_s(), self.speed_span())))
    }

    /// Coolest gas, within the span of the dryer, that dries a film of the wet thickness of a setting at a speed, roller and
    /// lamps as set. `Ok(None)` if an input is missing or the line has no dryer.
    ///
    /// Without a span the search runs from the room to [`HOTTEST_GAS`].
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn gas_temperature_for_speed(
        &self,
        setting: &Setting,
        speed: Speed,
    ) -> Result<Option<Sought<Temperature>>, InputError> {
        let knobs = self.knobs(setting)?;
        let values = self.values();
        let (Some(dryer), Ok(wet)) = (values.dryer, values.wet_thickness(&knobs)) else {
            return Ok(None);
        };
        let speed = speed.m_per_s() / self.basis().calibration.factor(LimitId::DryAtExit);
        let dries_at = |gas_k: f64| {
            let knobs = Knobs {
                gas_k: Some(gas_k),
                ..knobs
            };
            let inputs = DryingInputs::of_film(values, &knobs, Ok((speed, wet))).ok()?;
            let case = inputs.case(values, &knobs);
            Some(case.is_dry_at(Speed::from_m_per_s(speed)))
        };
        let room = values.room.temperature;
        let span = dryer.temperature_span;
        let (least, greatest) = span.unwrap_or((room, HOTTEST_GAS.k().max(room)));
        Ok(coolest_within(dries_at, (least, greatest)))
    }

    /// Wet thickness for a dry thickness (eq 2.6 inverted), with the ink's assumed density and porosity where they are not
    /// stated. `None` if its solids or their density are missing, or if it has none.
    pub fn wet_thickness_for_dry(&self, dry_thickness: Length) -> Option<Length> {
        let ink = &self.values().ink;
        let solids = ink.solids.filter(|solids| *solids > 0.0)?;
        let content = SolidContent {
            ink_density: Density::from_kg_per_m3(ink.rho),
            solids: Fraction::from_ratio(solids),
            dry_density: Density::from_kg_per_m3(ink.dry_density?),
            porosity: Fraction::from_ratio(ink.porosity),
        };
        Some(content.wet_thickness(dry_thickness))
    }

    /// Pump flow that a dry thickness takes at the speed of a setting (eqs 2.6, 2.10), all of it laid down. `Ok(None)` if
    /// an input is missing.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn flow_for_dry_thickness(
        &self,
        setting: &Setting,
        dry_thickness: Length,
    ) -> Result<Option<VolumeFlow>, InputError> {
        let knobs = self.knobs(setting)?;
        let flow = || {
            let wet = self.wet_thickness_for_dry(dry_thickness)?;
            Some(wet.m() * knobs.speed? * self.values().head.width?)
        };
        Ok(flow().map(VolumeFlow::from_m3_per_s))
    }

    /// Flammable vapour in the exhaust of the dryer, all solvent fed taken to evaporate. `Ok(None)` if an input is missing,
    /// the line has no dryer, or the vapour does not burn.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn exhaust_vapor(&self, setting: &Setting) -> Result<Option<ExhaustVapor>, InputError> {
        let knobs = self.knobs(setting)?;
        let values = self.values();
        let (Some(dryer), Ok(Some(vapor))) = (values.dryer, burning_vapor(values, &knobs)) else {
            return Ok(None);
        };
        let of_limit = dryer.fresh_gas.map(|fresh| {
            let fresh = VolumeFlow::from_m3_per_s(fresh);
            vapor_share(vapor.flow, fresh).ratio() / vapor.limit.ratio()
        });
        Ok(Some(ExhaustVapor {
            of_limit,
            of_design: of_limit.map(|share| share / DESIGN_SHARE),
            fresh_gas_for_design: dilution_air(vapor.flow, vapor.limit, DESIGN_SHARE),
        }))
    }

    /// Fastest web, within the span of the drive, on which the lamp cures the resin to its bottom at the power of a
    /// setting. `Ok(None)` if an input is missing or the line has no lamp.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn fastest_curing_speed(
        &self,
        setting: &Setting,
    ) -> Result<Option<Sought<Speed>>, InputError> {
        let knobs = self.knobs(setting)?;
        let needed = self.needed_dose();
        let one = Speed::from_m_per_s(1.0);
        let cured = cured_dose_at_full_power(self.values(), one);
        let (Some(needed), Ok(full), Some(power)) = (needed, cured, knobs.uv_power) else {
            return Ok(None);
        };
        Ok(Some(fastest_within(
            power * full.j_per_m2() / needed,
            self.speed_span(),
        )))
    }

    /// Least power of the lamp, within its span, that cures the resin to its bottom at the speed of a setting. `Ok(None)` if
    /// an input is missing or the line has no lamp.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn uv_power_for_cure(
        &self,
        setting: &Setting,
    ) -> Result<Option<Sought<Fraction>>, InputError> {
        let knobs = self.knobs(setting)?;
        let answer = || -> Result<Sought<Fraction>, Input> {
            let speed = Speed::from_m_per_s(knobs.speed.ok_or(Input::Speed)?);
            let full = cured_dose_at_full_power(self.values(), speed)?;
            let power = self.needed_dose().ok_or(Input::CureDose)? / full.j_per_m2();
            let lamp = self.values().uv.ok_or(Input::UvIrradiance)?;
            let (least, greatest) = lamp.power_span.unwrap_or((0.0, 1.0));
            Ok(if power > greatest {
                Sought::Nowhere(Fraction::from_ratio(greatest))
            } else if power <= least {
                Sought::Anywhere(Fraction::from_ratio(least))
            } else {
                Sought::At(Fraction::from_ratio(power))
            })
        };
        Ok(answer().ok())
    }

    /// Dose that the resin needs [J/m²], as calibrated.
    fn needed_dose(&self) -> Option<f64> {
        let factor = self.basis().calibration.factor(LimitId::UvDose);
        self.values().resin.dose.map(|dose| factor * dose)
    }
}

/// Coolest place of a span from which on a film dries; `None` if an input is missing.
fn coolest_within(
    dries_at: impl Fn(f64) -> Option<bool>,
    (least, greatest): (f64, f64),
) -> Option<Sought<Temperature>> {
    if !dries_at(greatest)? {
        return Some(Sought::Nowhere(Temperature::from_k(greatest)));
    }
    if dries_at(least)? {
        return Some(Sought::Anywhere(Temperature::from_k(least)));
    }
    let (mut wet, mut dry) = (least, greatest);
    while dry - wet > TEMPERATURE_STEP_K {
        let middle = 0.5 * (wet + dry);
        if dries_at(middle)? {
            dry = middle;
        } else {
            wet = middle;
        }
    }
    Some(Sought::At(Temperature::from_k(dry)))
}
