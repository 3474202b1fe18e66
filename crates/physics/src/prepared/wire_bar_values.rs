//! A wire-wound bar with its defaults filled in.

use super::{Filler, Knobs};
use crate::assumed::Input;
use crate::head::WireBar;
use crate::input_error::{InputError, positive};
use crate::quantity::Length;
use crate::wire_bar::{wet_thickness, wire_for_wet_thickness};

/// A wire-wound bar in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct WireBarValues {
    /// Wire of the bar that is mounted.
    mounted_wire: Option<f64>,
    /// Film over wire diameter.
    ratio: f64,
}

impl WireBarValues {
    pub(super) fn resolve(bar: &WireBar, filler: &mut Filler<'_>) -> Result<Self, InputError> {
        let ratio = positive(Input::FilmOverWire, bar.film_over_wire)?;
        Ok(Self {
            mounted_wire: positive(Input::WireDiameter, bar.wire_diameter.map(Length::m))?,
            ratio: filler.fill(Input::FilmOverWire, ratio),
        })
    }

    /// Wire diameter \[m\] of the bar of this run.
    pub(crate) fn wire(&self, knobs: &Knobs) -> Result<f64, Input> {
        knobs
            .head
            .wire
            .or(self.mounted_wire)
            .ok_or(Input::WireDiameter)
    }

    /// Wet thickness \[m\] of a wire.
    pub(crate) fn wet_thickness(&self, wire: f64) -> f64 {
        wet_thickness(Length::from_m(wire), self.ratio).m()
    }

    /// Wire diameter \[m\] for a wet thickness.
    pub(crate) fn wire_for_wet_thickness(&self, wet: f64) -> f64 {
        wire_for_wet_thickness(Length::from_m(wet), self.ratio).m()
    }
}
