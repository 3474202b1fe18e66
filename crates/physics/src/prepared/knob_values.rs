//! The knobs of a run by their names: to see whether any of some has moved.

use super::Knobs;
use crate::assumed::Input;

impl Knobs {
    /// What a knob is set to, in SI; `None` if it is not set or the input is no knob.
    pub(crate) const fn value(&self, knob: Input) -> Option<f64> {
        match knob {
            Input::Speed => self.speed,
            Input::Flow => self.flow,
            Input::Gap => self.head.gap,
            Input::WireDiameter => self.head.wire,
            Input::CellVolume => self.head.cell_volume,
            Input::SpeedRatio => self.head.speed_ratio,
            Input::Impression => self.head.impression,
            Input::WantedWetThickness => self.head.wanted,
            Input::Vacuum => Some(self.vacuum),
            Input::PlasmaPower => self.plasma_power,
            Input::RollerTemperature => self.roller_k,
            Input::InfraredPower => self.infrared,
            Input::GasTemperature => self.gas_k,
            Input::UvPower => self.uv_power,
            Input::InkTemperature => self.ink_k,
            Input::FoilNeeded => self.foil_needed,
            _ => None,
        }
    }
}
