//! What the machine can be set to, and whether ink and foil last.

use super::{Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::limit::LimitId;
use crate::prepared::{MethodValues, SingleRollValues, WebValues};
use crate::quantity::Length;
use crate::web::lap_length;

impl<S: Sink> Walk<'_, S> {
    /// Spans of speed, gap and pump; syringe and foil.
    pub(super) fn machine_limits(&mut self) {
        let head = &self.values.head;
        self.span_or_missing(
            LimitId::SpeedSpan,
            (self.knobs.speed, Input::Speed),
            (head.speed_span, Input::SpeedSpan),
        );
        match &head.method {
            MethodValues::SlotDie(die) => self.gap_span_limit(die.gap_span),
            MethodValues::Knife(knife) => self.gap_span_limit(knife.gap_span),
            MethodValues::WireBar(_) | MethodValues::Gravure(_) | MethodValues::Flexo(_) => {}
        }
        // A slot die cannot run without a pump; any other head may be fed by hand.
        if head.has_pump || head.is_pre_metered() {
            self.span_or_missing(
                LimitId::PumpRange,
                (self.knobs.flow, Input::Flow),
                (head.flow_span, Input::FlowSpan),
            );
            self.syringe_limit();
        }
        self.foil_length_limit();
    }

    fn gap_span_limit(&mut self, gap_span: Option<(f64, f64)>) {
        self.span_or_missing(
            LimitId::GapSpan,
            (self.knobs.head.set_gap, Input::Gap),
            (gap_span, Input::GapSpan),
        );
    }

    pub(super) fn span_or_missing(
        &mut self,
        id: LimitId,
        (value, value_input): (Option<f64>, Input),
        (span, span_input): (Option<(f64, f64)>, Input),
    ) {
        match (value, span) {
            (Some(value), Some(span)) => self.span(id, value, span),
            (_, None) => self.missing(id, span_input),
            (None, Some(_)) => self.missing(id, value_input),
        }
    }

    fn syringe_limit(&mut self) {
        let head = &self.values.head;
        let needed = || -> Result<(f64, f64), Input> {
            let filling = head.syringe_volume.ok_or(Input::SyringeVolume)?;
            let foil = self.knobs.foil_needed.ok_or(Input::FoilNeeded)?;
            Ok((self.ink_per_length()? * foil + head.dead_volume, filling))
        };
        match needed() {
            Ok((volume, filling)) => {
                self.uses(InputSet::of(&[Input::DeadVolume]));
                self.ratio(LimitId::SyringeVolume, volume, filling);
            }
            Err(missing) => self.missing(LimitId::SyringeVolume, missing),
        }
    }

    /// Ink that the pump gives per length of foil [m²]; what runs over at a head other than a slot die counts.
    fn ink_per_length(&self) -> Result<f64, Input> {
        let is_pre_metered = self.values.head.is_pre_metered();
        match (self.knobs.flow, self.knobs.speed) {
            (Some(fed), Some(speed)) if !is_pre_metered => Ok(fed / speed),
            _ => {
                let width = self.values.head.width.ok_or(Input::CoatedWidth)?;
                Ok(self.wet_thickness()? * width)
            }
        }
    }

    /// A single roll has no more foil than one lap, and no leader.
    fn foil_length_limit(&mut self) {
        if let Some(WebValues::SingleRoll(roll)) = &self.values.web {
            return self.lap_limit(roll);
        }
        match (self.values.foil.roll_length, self.knobs.foil_needed) {
            (Some(roll), Some(needed)) => {
                self.uses(InputSet::of(&[Input::Leader]));
                self.ratio(LimitId::FoilLength, self.values.foil.leader + needed, roll);
            }
            (None, _) => self.missing(LimitId::FoilLength, Input::RollLength),
            (Some(_), None) => self.missing(LimitId::FoilLength, Input::FoilNeeded),
        }
    }

    fn lap_limit(&mut self, roll: &SingleRollValues) {
        match (roll.diameter, self.knobs.foil_needed) {
            (Some(diameter), Some(needed)) => {
                self.uses(InputSet::of(&[Input::Clamp]));
                let lap = lap_length(Length::from_m(diameter), Length::from_m(roll.clamp));
                self.ratio(LimitId::FoilLength, needed, lap.m());
            }
            (None, _) => self.missing(LimitId::FoilLength, Input::SingleRollDiameter),
            (Some(_), None) => self.missing(LimitId::FoilLength, Input::FoilNeeded),
        }
    }
}
