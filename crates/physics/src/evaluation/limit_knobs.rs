//! Which knobs a limit follows at most, so that what cannot have changed is not computed again.

use crate::assumed::{Input, InputSet};
use crate::limit::LimitId;
use crate::prepared::Values;

/// Knobs that a hard limit follows at most on a line whose head is a slot die; `None` for a limit of which nothing is said
/// here, which may follow all of them.
pub(crate) fn knobs_of(values: &Values, id: LimitId) -> Option<InputSet> {
    let of_lamps = if values.infrared.is_some() {
        InputSet::of(&[Input::Speed, Input::InfraredPower])
    } else {
        InputSet::EMPTY
    };
    Some(match id {
        LimitId::SpeedSpan => InputSet::of(&[Input::Speed]),
        LimitId::GapSpan | LimitId::Particle => InputSet::of(&[Input::Gap]),
        LimitId::PumpRange => InputSet::of(&[Input::Flow]),
        LimitId::FoilLength => InputSet::of(&[Input::FoilNeeded]),
        LimitId::SurfaceEnergyMin if values.plasma.is_none() => InputSet::EMPTY,
        LimitId::SurfaceEnergyMin => InputSet::of(&[Input::Speed, Input::PlasmaPower]),
        LimitId::RollerSpan => InputSet::of(&[Input::RollerTemperature]),
        LimitId::GasTemperatureSpan => InputSet::of(&[Input::GasTemperature]),
        LimitId::FoilMax => {
            InputSet::of(&[Input::RollerTemperature, Input::GasTemperature]).union(of_lamps)
        }
        _ => return None,
    })
}
