//! The pump line from the plunger to the head, with its defaults filled in.

use std::f64::consts::PI;

use super::Filler;
use crate::assumed::Input;
use crate::input_error::{InputError, not_negative, positive};
use crate::line::{Line, Pump};
use crate::physical_constants::STANDARD_PRESSURE;
use crate::quantity::{Compliance, Duration, Force, Length, Pressure, Volume};

/// The pump line in SI.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PumpValues {
    pub(crate) plunger_area: Option<f64>,
    pub(crate) greatest_force: Option<f64>,
    pub(crate) friction: f64,
    pub(crate) tube_bore: Option<f64>,
    pub(crate) tube_length: Option<f64>,
    pub(crate) filter_drop: f64,
    /// Of trapped air, syringe and tube together [m³/Pa].
    pub(crate) compliance: f64,
    pub(crate) step_volume: Option<f64>,
    pub(crate) allowed_lag: f64,
    pub(crate) level: Option<f64>,
    pub(crate) rating: Option<f64>,
    pub(crate) residual_ink: f64,
}

impl PumpValues {
    pub(super) fn resolve(line: &Line, filler: &mut Filler<'_>) -> Result<Self, InputError> {
        let pump = &line.pump.unwrap_or_default();
        let bore = positive(Input::SyringeBore, pump.syringe_bore.map(Length::m))?;
        let friction = not_negative(Input::PlungerFriction, pump.plunger_friction.map(Force::n))?;
        let filter = not_negative(Input::FilterDrop, pump.filter_drop.map(Pressure::pa))?;
        let lag = positive(Input::AllowedLag, pump.allowed_lag.map(Duration::s))?;
        Ok(Self {
            plunger_area: bore.map(|d| 0.25 * PI * d * d),
            greatest_force: positive(Input::GreatestForce, pump.greatest_force.map(Force::n))?,
            friction: filler.fill(Input::PlungerFriction, friction),
            tube_bore: positive(Input::TubeBore, pump.tube_bore.map(Length::m))?,
            tube_length: not_negative(Input::TubeLength, pump.tube_length.map(Length::m))?,
            filter_drop: filler.fill(Input::FilterDrop, filter),
            compliance: resolve_compliance(pump, filler)?,
            step_volume: positive(Input::StepVolume, pump.step_volume.map(Volume::m3))?,
            allowed_lag: filler.fill(Input::AllowedLag, lag),
            level: not_negative(Input::LevelAboveLips, pump.level_above_lips.map(Length::m))?,
            rating: positive(
                Input::PressureRating,
                pump.pressure_rating.map(Pressure::pa),
            )?,
            residual_ink: filler.fill(Input::ResidualInk, None),
        })
    }
}

/// Trapped air yields by its volume over the pressure around it; the line's own pressure is left out, which makes the lag
/// too long rather than too short.
fn resolve_compliance(pump: &Pump, filler: &mut Filler<'_>) -> Result<f64, InputError> {
    let air = not_negative(Input::TrappedAir, pump.trapped_air.map(Volume::m3))?;
    let line = not_negative(
        Input::LineCompliance,
        pump.line_compliance.map(Compliance::m3_per_pa),
    )?;
    let air = filler.fill(Input::TrappedAir, air);
    Ok(air / STANDARD_PRESSURE + filler.fill(Input::LineCompliance, line))
}
