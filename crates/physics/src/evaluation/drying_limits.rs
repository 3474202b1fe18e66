//! Heated roller and dryer: spans, whether the film dries, whether it boils.

use super::drying_case::{
    DRYER_INPUTS, DRYING_INPUTS, DryingInputs, INFRARED_INPUTS, hottest_constant_rate, roller_zone,
};
use super::{Drying, Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::drying::{BOILING_DISTANCE, March};
use crate::limit::LimitId;
use crate::quantity::Speed;
use crate::solvent::Solvent;

impl<S: Sink> Walk<'_, S> {
    pub(super) fn drying_limits(&mut self) {
        let (roller, dryer) = (self.values.roller, self.values.dryer);
        if let Some(roller) = roller {
            self.temperature_span_or_missing(
                LimitId::RollerSpan,
                (self.knobs.roller_k, Input::RollerTemperature),
                (roller.temperature_span, Input::RollerTemperatureSpan),
            );
        }
        self.infrared_span();
        if let Some(dryer) = dryer {
            self.temperature_span_or_missing(
                LimitId::GasTemperatureSpan,
                (self.knobs.gas_k, Input::GasTemperature),
                (dryer.temperature_span, Input::GasTemperatureSpan),
            );
        }
        if roller.is_none() && self.values.infrared.is_none() && dryer.is_none() {
            return;
        }
        let march = self.dry_at_exit();
        self.blister(march.as_ref());
        self.foil_temperature_limits(march.as_ref());
    }

    fn temperature_span_or_missing(
        &mut self,
        id: LimitId,
        (value, value_input): (Option<f64>, Input),
        (span, span_input): (Option<(f64, f64)>, Input),
    ) {
        match (value, span) {
            (Some(value), Some(span)) => {
                self.uses(InputSet::of(&[Input::RoomTemperature]));
                self.temperature_span(id, value, span);
            }
            (_, None) => self.missing(id, span_input),
            (None, Some(_)) => self.missing(id, value_input),
        }
    }

    /// Records `dry_at_exit`, if the line has a dryer or infrared lamps, and returns the march at the set speed, if one was run.
    fn dry_at_exit(&mut self) -> Option<March> {
        if let Drying::LeaveOut = self.drying {
            return None;
        }
        let inputs = match DryingInputs::new(self.values, &self.knobs) {
            Ok(inputs) => inputs,
            Err(missing) => {
                if self.values.residual.is_some() {
                    self.missing(LimitId::DryAtExit, missing);
                }
                return None;
            }
        };
        self.mark_drying();
        let speed = inputs.speed;
        let march = || {
            inputs
                .case(self.values, &self.knobs)
                .march(Speed::from_m_per_s(speed))
        };
        let (march, dry_speed) = match self.drying {
            Drying::LeaveOut => return None,
            Drying::Given(known) => (None, known),
            Drying::Known(known, march) => (Some(march), known),
            Drying::KnownSpeed(known) => (Some(march()), known),
            Drying::SideOnly => {
                let march = march();
                // Only the side matters here: twice or half the set speed stands for either.
                let is_dry = self.values.residual.is_none() || march.dry_after.is_some();
                (Some(march), if is_dry { 2.0 * speed } else { 0.5 * speed })
            }
            Drying::Full if self.values.residual.is_none() => (Some(march()), speed),
            Drying::Full => {
                let case = inputs.case(self.values, &self.knobs);
                (
                    Some(case.march(Speed::from_m_per_s(speed))),
                    case.dry_speed().speed().m_per_s(),
                )
            }
        };
        if self.values.residual.is_some() {
            self.derived.dry_speed_m_per_s = Some(dry_speed);
            self.ratio(LimitId::DryAtExit, speed, dry_speed);
        }
        if let Some(dryer) = self.values.dryer {
            let to_dryer = inputs.path_to_dryer(self.values, &self.knobs) / speed;
            self.derived.dry_after_s = match march.and_then(|march| march.dry_after) {
                Some(time) => Some((time.s() - to_dryer).max(0.0)),
                None => dryer.length.map(|length| length / dry_speed),
            };
        }
        march
    }

    fn mark_drying(&mut self) {
        self.uses(DRYING_INPUTS);
        if self.values.ink.solvent == Some(Solvent::Water) {
            self.uses(InputSet::of(&[Input::RelativeHumidity]));
        }
        if self.values.residual.is_some() {
            self.uses(InputSet::of(&[Input::ResidualSolvent]));
        }
        if self.values.dryer.is_some() {
            self.uses(DRYER_INPUTS);
        }
        if self.values.infrared.is_some() {
            self.uses(INFRARED_INPUTS);
        }
        if roller_zone(self.values, &self.knobs).is_some() {
            self.uses(InputSet::of(&[Input::RollerContact]));
        }
    }

    /// Not judged without a march or its closed-form stand-in.
    fn blister(&mut self, march: Option<&March>) {
        let Some(solvent) = self.values.ink.solvent else {
            self.missing(LimitId::Blister, Input::Solvent);
            return;
        };
        if let Err(missing) = self.hottest_web() {
            self.missing(LimitId::Blister, missing);
            return;
        }
        let hottest = match (march, self.drying) {
            (Some(march), _) => {
                let wet = march.hottest_while_wet.k();
                self.unmarched_roller_k()
                    .map_or(wet, |roller| wet.max(roller))
            }
            // Without the march nothing quick is known of the wet film.
            (None, Drying::Given(_) | Drying::LeaveOut) => return,
            (None, Drying::Full | Drying::KnownSpeed(_) | Drying::Known(..) | Drying::SideOnly) => {
                self.mark_drying();
                hottest_constant_rate(self.values, &self.knobs, solvent)
            }
        };
        self.temperature(
            LimitId::Blister,
            hottest,
            solvent.boiling_point().k() - BOILING_DISTANCE.k(),
        );
    }
}
