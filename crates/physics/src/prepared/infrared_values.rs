//! The infrared lamps of a line, checked and filled in.

use super::Filler;
use crate::assumed::{Assumption, Doubt, Input};
use crate::infrared::ABSORBED_ON_METAL;
use crate::input_error::{InputError, not_negative, positive, share, span};
use crate::line::{FoilMaterial, InfraredPlace, Line};
use crate::quantity::{Fraction, HeatTransferCoefficient, Length};

/// The infrared lamps in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct InfraredValues {
    /// In the hot gas; never on a line without a dryer.
    pub(crate) is_in_dryer: bool,
    pub(crate) length: Option<f64>,
    pub(crate) absorbed: f64,
    pub(crate) h: f64,
    pub(crate) irradiance_span: Option<(f64, f64)>,
}

impl InfraredValues {
    pub(super) fn resolve(
        line: &Line,
        filler: &mut Filler<'_>,
    ) -> Result<Option<Self>, InputError> {
        let Some(lamps) = line.infrared else {
            return Ok(None);
        };
        let absorbed = share(Input::InfraredAbsorbed, lamps.absorbed.map(Fraction::ratio))?;
        let h = not_negative(
            Input::InfraredHeatTransfer,
            lamps.h.map(HeatTransferCoefficient::w_per_m2_k),
        )?;
        let assumed_share = metal_absorption(line).map_or(
            filler.assumptions.value(Input::InfraredAbsorbed),
            |(share, _)| share,
        );
        Ok(Some(Self {
            is_in_dryer: lamps.place == InfraredPlace::InDryer && line.dryer.is_some(),
            length: positive(Input::InfraredLength, lamps.length.map(Length::m))?,
            absorbed: filler.fill_with(Input::InfraredAbsorbed, absorbed, assumed_share),
            h: filler.fill(Input::InfraredHeatTransfer, h),
            irradiance_span: span(
                Input::InfraredSpan,
                lamps
                    .irradiance_span
                    .map(|s| (s.least.w_per_m2(), s.greatest.w_per_m2())),
                not_negative,
            )?,
        }))
    }
}

/// Share that a metal foil takes up, with its doubt; `None` for other foils.
fn metal_absorption(line: &Line) -> Option<(f64, Doubt)> {
    let is_metal = line.foil.material.is_some_and(FoilMaterial::is_metal);
    let (share, low, high) = ABSORBED_ON_METAL;
    is_metal.then_some((share, Doubt::Between { low, high }))
}

/// Assumed share with the range over which it is doubted.
pub(super) fn absorbed_doubt(line: &Line, row: Assumption) -> (f64, Doubt) {
    metal_absorption(line).unwrap_or((row.value, row.doubt))
}
