//! An engraved roll, the anilox of a flexo unit or the roll of a gravure, with its defaults filled in.

use super::{Filler, Knobs};
use crate::assumed::Input;
use crate::head::EngravedRoll;
use crate::input_error::{InputError, not_negative, positive};
use crate::quantity::{CellVolume, Length, LineCount};

/// An engraved roll in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct EngravedRollValues {
    /// Cells of the roll that is mounted [m³/m²].
    mounted_volume: Option<f64>,
    /// Depth of the cells over their volume per area.
    depth_ratio: f64,
    /// Pitch of the cells \[m\].
    pub(crate) pitch: Option<f64>,
    pub(crate) doctor_to_nip: Option<f64>,
    pub(crate) radius: Option<f64>,
    pub(crate) gap: Option<f64>,
}

impl EngravedRollValues {
    pub(super) fn resolve(
        roll: &EngravedRoll,
        filler: &mut Filler<'_>,
    ) -> Result<Self, InputError> {
        let depth_ratio = positive(Input::CellDepthRatio, roll.cell_depth_ratio)?;
        let lines = positive(Input::CellLines, roll.cell_lines.map(LineCount::per_m))?;
        let diameter = positive(Input::HeadRollDiameter, roll.diameter.map(Length::m))?;
        Ok(Self {
            mounted_volume: positive(
                Input::CellVolume,
                roll.cell_volume.map(CellVolume::m3_per_m2),
            )?,
            depth_ratio: filler.fill(Input::CellDepthRatio, depth_ratio),
            pitch: lines.map(|per_m| 1.0 / per_m),
            doctor_to_nip: not_negative(Input::DoctorToNip, roll.doctor_to_nip.map(Length::m))?,
            radius: diameter.map(|diameter| 0.5 * diameter),
            gap: positive(Input::RollGap, roll.gap.map(Length::m))?,
        })
    }

    /// Cell volume [m³/m²] of the roll of this run.
    pub(crate) fn volume(&self, knobs: &Knobs) -> Result<f64, Input> {
        knobs
            .head
            .cell_volume
            .or(self.mounted_volume)
            .ok_or(Input::CellVolume)
    }

    /// Shear rate at which cells of a volume empty [1/s]: speed over depth (eq 1.19, common practice).
    pub(crate) fn shear_rate(&self, speed: f64, volume: f64) -> f64 {
        speed / (self.depth_ratio * volume)
    }
}
