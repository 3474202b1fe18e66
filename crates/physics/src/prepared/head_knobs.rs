//! The knobs of a run that belong to the head, each refused on a head that has no such knob.

use super::HeadValues;
use crate::assumed::Input;
use crate::head::HeadKind;
use crate::input_error::{InputError, positive};
use crate::line::Setting;
use crate::quantity::{CellVolume, Length};

/// Knobs of the head in SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct HeadKnobs {
    /// The gap while coating.
    pub(crate) gap: Option<f64>,
    /// The gap as it was set.
    pub(crate) set_gap: Option<f64>,
    /// What heat takes from a gap that was set cold.
    pub(crate) gap_growth: f64,
    /// Wire diameter of the bar of this run.
    pub(crate) wire: Option<f64>,
    /// Cell volume of the roll of this run [m³/m²].
    pub(crate) cell_volume: Option<f64>,
    /// Speed of the roll over that of the web.
    pub(crate) speed_ratio: Option<f64>,
    /// Impression of a flexo plate.
    pub(crate) impression: Option<f64>,
    /// Wet thickness that is wanted.
    pub(crate) wanted: Option<f64>,
}

impl HeadKnobs {
    pub(super) fn resolve(head: &HeadValues, setting: &Setting) -> Result<Self, InputError> {
        use HeadKind::{Flexo, Gravure, Knife, SlotDie, WireBar};

        let kind = head.kind();
        let of = |owners: &[HeadKind], input: Input, value: Option<f64>| {
            if value.is_some() && !owners.contains(&kind) {
                return Err(InputError::NotOfHead { input, head: kind });
            }
            positive(input, value)
        };
        let gap = of(&[SlotDie, Knife], Input::Gap, setting.gap.map(Length::m))?;
        Ok(Self {
            gap,
            set_gap: gap,
            gap_growth: 0.0,
            wire: of(
                &[WireBar],
                Input::WireDiameter,
                setting.wire_diameter.map(Length::m),
            )?,
            cell_volume: of(
                &[Gravure, Flexo],
                Input::CellVolume,
                setting.cell_volume.map(CellVolume::m3_per_m2),
            )?,
            speed_ratio: of(&[Gravure], Input::SpeedRatio, setting.speed_ratio)?,
            impression: of(
                &[Flexo],
                Input::Impression,
                setting.impression.map(Length::m),
            )?,
            wanted: positive(
                Input::WantedWetThickness,
                setting.wanted_wet_thickness.map(Length::m),
            )?,
        })
    }
}
