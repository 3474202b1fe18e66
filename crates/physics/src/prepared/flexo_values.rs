//! A flexo unit with its defaults filled in.

use super::{EngravedRollValues, Filler};
use crate::assumed::{Assumption, Doubt, Input};
use crate::flexo::Transfer;
use crate::head::{AniloxMetering, Flexo};
use crate::input_error::{InputError, positive, share};
use crate::quantity::{CellVolume, Fraction, Length, LineCount};

/// How far the share that a rubber roll lets pass to the plate may be off: it leaves ink on the lands, more at speed (common
/// practice).
const RUBBER_ROLL_DOUBT: Doubt = Doubt::Between {
    low: 0.4,
    high: 0.75,
};

/// A flexo unit in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FlexoValues {
    pub(crate) metering: AniloxMetering,
    pub(crate) anilox: EngravedRollValues,
    transfer: Transfer,
    /// Lines of the plate per metre.
    pub(crate) plate_lines: Option<f64>,
}

impl FlexoValues {
    pub(super) fn resolve(unit: &Flexo, filler: &mut Filler<'_>) -> Result<Self, InputError> {
        let part = |input: Input, stated: Option<Fraction>| {
            positive(input, share(input, stated.map(Fraction::ratio))?)
        };
        let (to_plate, to_foil, printed) = (
            part(Input::ToPlate, unit.to_plate)?,
            part(Input::ToFoil, unit.to_foil)?,
            part(Input::PrintedShare, unit.printed_share)?,
        );
        Ok(Self {
            metering: unit.metering.unwrap_or_else(|| {
                filler.assumed = filler.assumed.with(Input::AniloxMetering);
                AniloxMetering::Chambered
            }),
            anilox: EngravedRollValues::resolve(&unit.anilox, filler)?,
            transfer: Transfer {
                to_plate: filler.fill(Input::ToPlate, to_plate),
                to_foil: filler.fill(Input::ToFoil, to_foil),
                printed_share: filler.fill(Input::PrintedShare, printed),
            },
            plate_lines: positive(Input::PlateLines, unit.plate_lines.map(LineCount::per_m))?,
        })
    }

    /// Doubt of an assumed input that differs from its row in the table.
    pub(super) fn doubt_of(&self, input: Input) -> Option<Assumption> {
        match (input, self.metering) {
            (Input::ToPlate, AniloxMetering::RubberRoll) => Some(Assumption {
                value: self.transfer.to_plate,
                doubt: RUBBER_ROLL_DOUBT,
            }),
            _ => None,
        }
    }

    /// Wet thickness \[m\] of cells of a volume [m³/m²].
    pub(crate) fn wet_thickness(&self, volume: f64) -> f64 {
        self.transfer
            .wet_thickness(CellVolume::from_m3_per_m2(volume))
            .m()
    }

    /// Cell volume [m³/m²] for a wet thickness \[m\].
    pub(crate) fn volume_for_wet_thickness(&self, wet: f64) -> f64 {
        self.transfer
            .cells_for_wet_thickness(Length::from_m(wet))
            .m3_per_m2()
    }
}
