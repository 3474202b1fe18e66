//! Records of severity caution, never part of the verdict: what may harm people. Estimates only.

use super::{Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::limit::LimitId;
use crate::prepared::{Knobs, Values};
use crate::settling::line_pressure_pa;
use crate::web::THREADING_SPEED;

/// Reserve of a pump line's rating over the pressure that the flow takes (common practice).
const PRESSURE_RESERVE: f64 = 1.5;

impl<S: Sink> Walk<'_, S> {
    /// Threading by hand, or the run itself if that speed is not stated; recorded once something is known of the web.
    pub(super) fn nip(&mut self) {
        let Some(web) = &self.values.web else {
            return;
        };
        match web.threading_speed().or(self.knobs.speed) {
            Some(speed) => self.ratio(LimitId::Nip, speed, THREADING_SPEED.m_per_s()),
            None => self.missing(LimitId::Nip, Input::ThreadingSpeed),
        }
    }

    /// Recorded once something is known of the pump.
    pub(super) fn pump_pressure(&mut self) {
        let pump = &self.values.pump;
        if !self.values.head.has_pump {
            return;
        }
        match (greatest_pressure_pa(self.values, self.knobs), pump.rating) {
            (Ok(pressure), Some(rating)) => {
                self.uses(InputSet::of(&[Input::FilterDrop]));
                self.ratio(LimitId::Pressure, pressure, rating);
            }
            (Err(missing), _) => self.missing(LimitId::Pressure, missing),
            (Ok(_), None) => self.missing(LimitId::Pressure, Input::PressureRating),
        }
    }
}

/// Pressure that the pump line can reach \[Pa\]: what the flow takes with its reserve, or what the drive makes against a
/// clogged die, whichever is more; or the input without which neither is known.
pub(crate) fn greatest_pressure_pa(values: &Values, knobs: &Knobs) -> Result<f64, Input> {
    let pump = &values.pump;
    let clogged = pump
        .greatest_force
        .zip(pump.plunger_area)
        .map(|(force, area)| force / area);
    match (line_pressure_pa(values, knobs), clogged) {
        (Ok(running), Some(clogged)) => Ok((PRESSURE_RESERVE * running).max(clogged)),
        (Ok(running), None) => Ok(PRESSURE_RESERVE * running),
        (Err(_), Some(clogged)) => Ok(clogged),
        (Err(missing), None) => Err(missing),
    }
}
