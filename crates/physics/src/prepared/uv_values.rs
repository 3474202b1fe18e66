//! The ultraviolet station and what the resin needs of it, checked and filled in.

use super::Filler;
use crate::assumed::Input;
use crate::input_error::{InputError, not_negative, positive, share, span};
use crate::line::{CureKind, FoilMaterial, Line};
use crate::quantity::{ExposureDose, Fraction, Irradiance, Length};

/// A cover over the resin in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct CoverValues {
    pub(crate) material: Option<FoilMaterial>,
    pub(crate) transmittance: Option<f64>,
}

/// The ultraviolet station in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct UvValues {
    /// Mean irradiance along the window at full power [W/m²].
    pub(crate) irradiance: Option<f64>,
    /// Peak irradiance at full power; the mean if it is not stated [W/m²].
    pub(crate) peak: Option<f64>,
    pub(crate) window: Option<f64>,
    pub(crate) wavelength: Option<f64>,
    pub(crate) oxygen: f64,
    pub(crate) cover: Option<CoverValues>,
    pub(crate) absorbed: f64,
    pub(crate) power_span: Option<(f64, f64)>,
}

impl UvValues {
    pub(super) fn resolve(
        line: &Line,
        filler: &mut Filler<'_>,
    ) -> Result<Option<Self>, InputError> {
        let Some(lamp) = line.uv else {
            return Ok(None);
        };
        let irradiance = positive(
            Input::UvIrradiance,
            lamp.irradiance.map(Irradiance::w_per_m2),
        )?;
        let peak = positive(
            Input::UvPeakIrradiance,
            lamp.peak_irradiance.map(Irradiance::w_per_m2),
        )?;
        let oxygen = share(Input::UvOxygen, lamp.oxygen.map(Fraction::ratio))?;
        let absorbed = share(Input::UvAbsorbed, lamp.absorbed.map(Fraction::ratio))?;
        let cover = match lamp.cover {
            Some(cover) => Some(CoverValues {
                material: cover.material,
                transmittance: share(
                    Input::UvTransmittance,
                    cover.transmittance.map(Fraction::ratio),
                )?,
            }),
            None => None,
        };
        Ok(Some(Self {
            irradiance,
            peak: peak.or(irradiance),
            window: positive(Input::UvWindow, lamp.window.map(Length::m))?,
            wavelength: positive(Input::UvWavelength, lamp.wavelength.map(Length::m))?,
            oxygen: filler.fill(Input::UvOxygen, oxygen),
            cover,
            absorbed: filler.fill(Input::UvAbsorbed, absorbed),
            power_span: span(
                Input::UvPowerSpan,
                lamp.power_span
                    .map(|s| (s.least.ratio(), s.greatest.ratio())),
                share,
            )?,
        }))
    }
}

/// What the resin needs, in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ResinValues {
    pub(crate) dose: Option<f64>,
    pub(crate) irradiance: Option<f64>,
    pub(crate) absorbance: f64,
    pub(crate) cure: CureKind,
}

impl ResinValues {
    pub(super) fn resolve(line: &Line, filler: &mut Filler<'_>) -> Result<Self, InputError> {
        let resin = &line.ink.resin;
        let absorbance = not_negative(Input::ResinAbsorbance, resin.absorbance)?;
        Ok(Self {
            dose: positive(Input::CureDose, resin.dose.map(ExposureDose::j_per_m2))?,
            irradiance: positive(
                Input::CureIrradiance,
                resin.irradiance.map(Irradiance::w_per_m2),
            )?,
            absorbance: filler.fill(Input::ResinAbsorbance, absorbance),
            cure: resin.cure.unwrap_or_else(|| {
                filler.assumed = filler.assumed.with(Input::CureKind);
                CureKind::FreeRadical
            }),
        })
    }
}
