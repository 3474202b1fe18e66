//! Ultraviolet curing: span, dose, peak, warming, oxygen, and the cautions that belong to the lamp.

use super::{Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::curing::{
    ACCEPTED_OXYGEN, ACCEPTED_WARMING, WORKING_DAY, dose_at_bottom, exposure_dose, exposure_time,
    warming,
};
use crate::limit::LimitId;
use crate::line::CureKind;
use crate::prepared::{CoverValues, UvValues, Values};
use crate::quantity::{ExposureDose, Fraction, Irradiance, Length, Speed};

impl<S: Sink> Walk<'_, S> {
    pub(super) fn uv_limits(&mut self) {
        let values = self.values;
        let Some(lamp) = &values.uv else {
            return;
        };
        self.uv_span(lamp);
        let dose = self.uv_dose(lamp);
        self.cure_dose(lamp, dose);
        if S::WANTS_ALL {
            self.cure_peak(lamp);
            self.uv_heat(lamp, dose);
            self.uv_oxygen(lamp);
        }
    }

    /// A lamp that is off is within every span.
    fn uv_span(&mut self, lamp: &UvValues) {
        match self.knobs.uv_power {
            Some(power) if power <= 0.0 => {}
            power => self.span_or_missing(
                LimitId::UvSpan,
                (power, Input::UvPower),
                (lamp.power_span, Input::UvPowerSpan),
            ),
        }
    }

    /// Dose on the web, or the first input that it lacks.
    fn uv_dose(&self, lamp: &UvValues) -> Result<ExposureDose, Input> {
        let irradiance = lamp.irradiance.ok_or(Input::UvIrradiance)?;
        let window = lamp.window.ok_or(Input::UvWindow)?;
        let power = self.knobs.uv_power.ok_or(Input::UvPower)?;
        let speed = self.knobs.speed.ok_or(Input::Speed)?;
        Ok(exposure_dose(
            Irradiance::from_w_per_m2(power * irradiance),
            Length::from_m(window),
            Speed::from_m_per_s(speed),
        ))
    }

    /// Dose at the bottom of the resin against what it needs.
    fn cure_dose(&mut self, lamp: &UvValues, dose: Result<ExposureDose, Input>) {
        let resin = self.values.resin;
        let numbers = || -> Result<(f64, f64), Input> {
            let needed = resin.dose.ok_or(Input::CureDose)?;
            let bottom = dose_at_bottom(dose?, transmittance(lamp)?, resin.absorbance);
            Ok((bottom.j_per_m2(), needed))
        };
        if S::WANTS_ALL {
            self.derived.uv_dose_j_per_m2 = dose.ok().map(ExposureDose::j_per_m2);
        }
        match numbers() {
            Ok((bottom, needed)) => {
                self.uses(InputSet::of(&[Input::ResinAbsorbance]));
                self.ratio(LimitId::UvDose, bottom, needed);
            }
            Err(missing) => self.missing(LimitId::UvDose, missing),
        }
    }

    /// Peak irradiance at the surface of the resin against what it needs to start.
    fn cure_peak(&mut self, lamp: &UvValues) {
        let numbers = || -> Result<(f64, f64), Input> {
            let needed = self.values.resin.irradiance.ok_or(Input::CureIrradiance)?;
            let peak = lamp.peak.ok_or(Input::UvIrradiance)?;
            let power = self.knobs.uv_power.ok_or(Input::UvPower)?;
            Ok((power * peak * transmittance(lamp)?.ratio(), needed))
        };
        match numbers() {
            Ok((peak, needed)) => self.ratio(LimitId::UvPeak, peak, needed),
            Err(missing) => self.missing(LimitId::UvPeak, missing),
        }
    }

    /// Warming of the foil by the lamp \[K\]; zero on a line without one.
    pub(super) fn uv_warming(&mut self) -> Result<f64, Input> {
        let values = self.values;
        let Some(lamp) = &values.uv else {
            return Ok(0.0);
        };
        let dose = self.uv_dose(lamp)?;
        self.uses(InputSet::of(&[
            Input::UvAbsorbed,
            Input::FoilMaterial,
            Input::FoilThickness,
        ]));
        let absorbed = Fraction::from_ratio(lamp.absorbed);
        Ok(warming(dose, absorbed, self.values.foil.heat_capacity).k())
    }

    /// Judged on a stated foil only.
    fn uv_heat(&mut self, lamp: &UvValues, dose: Result<ExposureDose, Input>) {
        let foil = &self.values.foil;
        let rise = || -> Result<f64, Input> {
            foil.material.ok_or(Input::FoilMaterial)?;
            foil.thickness.ok_or(Input::FoilThickness)?;
            let absorbed = Fraction::from_ratio(lamp.absorbed);
            Ok(warming(dose?, absorbed, foil.heat_capacity).k())
        };
        match rise() {
            Ok(kelvins) => {
                self.uses(InputSet::of(&[Input::UvAbsorbed]));
                self.ratio(LimitId::UvHeat, kelvins, ACCEPTED_WARMING.k());
            }
            Err(missing) => self.missing(LimitId::UvHeat, missing),
        }
    }

    /// Neither cationic resins nor resins below a cover mind oxygen.
    fn uv_oxygen(&mut self, lamp: &UvValues) {
        if lamp.cover.is_some() || self.values.resin.cure == CureKind::Cationic {
            return;
        }
        self.uses(InputSet::of(&[Input::UvOxygen, Input::CureKind]));
        self.ratio(LimitId::UvOxygen, lamp.oxygen, ACCEPTED_OXYGEN.ratio());
    }

    /// Never part of the verdict.
    pub(super) fn uv_cautions(&mut self) {
        let values = self.values;
        let Some(lamp) = &values.uv else {
            return;
        };
        self.uv_exposure(lamp);
        if let Some(cover) = &lamp.cover {
            self.uv_block(lamp, cover);
        }
    }

    /// Direct view of the lamp, shutters open; not with the lamp off.
    fn uv_exposure(&mut self, lamp: &UvValues) {
        let time = || -> Result<Option<f64>, Input> {
            let power = self.knobs.uv_power.ok_or(Input::UvPower)?;
            if power <= 0.0 {
                return Ok(None);
            }
            let irradiance = lamp.irradiance.ok_or(Input::UvIrradiance)?;
            let time = exposure_time(
                Irradiance::from_w_per_m2(power * irradiance),
                lamp.wavelength.map(Length::from_m),
            );
            Ok(Some(time.s()))
        };
        match time() {
            Ok(Some(seconds)) => self.ratio(LimitId::UvExposure, seconds, WORKING_DAY.s()),
            Ok(None) => {}
            Err(missing) => self.missing(LimitId::UvExposure, missing),
        }
    }

    /// Whether the cover lets the light of the lamp through.
    fn uv_block(&mut self, lamp: &UvValues, cover: &CoverValues) {
        let numbers = || -> Result<(f64, f64), Input> {
            let material = cover.material.ok_or(Input::UvCoverMaterial)?;
            let wavelength = lamp.wavelength.ok_or(Input::UvWavelength)?;
            let edge = material.absorption_edge().map_or(f64::INFINITY, Length::m);
            Ok((edge, wavelength))
        };
        match numbers() {
            Ok((edge, wavelength)) => self.ratio(LimitId::UvBlock, edge, wavelength),
            Err(missing) => self.missing(LimitId::UvBlock, missing),
        }
    }
}

/// Share of the light that reaches the resin.
fn transmittance(lamp: &UvValues) -> Result<Fraction, Input> {
    match lamp.cover {
        Some(cover) => cover
            .transmittance
            .map(Fraction::from_ratio)
            .ok_or(Input::UvTransmittance),
        None => Ok(Fraction::from_ratio(1.0)),
    }
}

/// Dose at the bottom of the resin at full power and a speed, or the first input that it lacks.
pub(crate) fn cured_dose_at_full_power(
    values: &Values,
    speed: Speed,
) -> Result<ExposureDose, Input> {
    let lamp = values.uv.ok_or(Input::UvIrradiance)?;
    let dose = exposure_dose(
        Irradiance::from_w_per_m2(lamp.irradiance.ok_or(Input::UvIrradiance)?),
        Length::from_m(lamp.window.ok_or(Input::UvWindow)?),
        speed,
    );
    Ok(dose_at_bottom(
        dose,
        transmittance(&lamp)?,
        values.resin.absorbance,
    ))
}
