//! Heated roller, lamps and dryer: spans, whether the film dries, whether it boils.

use super::drying_case::{
    DRYER_INPUTS, DRYING_INPUTS, DryingInputs, INFRARED_INPUTS, hottest_constant_rate, roller_zone,
};
use super::{DrySpeeds, Drying, Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::drying::{BOILING_DISTANCE, DryingCase, March};
use crate::limit::LimitId;
use crate::line::Activity;
use crate::quantity::Speed;
use crate::solvent::Solvent;

/// What is known of the march at the set speed.
#[derive(Debug, Clone, Copy)]
pub(super) enum Marched {
    /// What it found.
    Known(March),
    /// An input that it lacks.
    Lacks(Input),
    /// It was not wanted.
    LeftOut,
}

impl Marched {
    pub(super) const fn march(&self) -> Option<&March> {
        match self {
            Self::Known(march) => Some(march),
            Self::Lacks(_) | Self::LeftOut => None,
        }
    }
}

impl<S: Sink> Walk<'_, S> {
    pub(super) fn drying_limits(&mut self) {
        let values = self.values;
        if let Some(roller) = &values.roller {
            self.temperature_span_or_missing(
                LimitId::RollerSpan,
                (self.knobs.roller_k, Input::RollerTemperature),
                (roller.temperature_span, Input::RollerTemperatureSpan),
            );
        }
        self.infrared_span();
        if let Some(dryer) = &values.dryer {
            self.temperature_span_or_missing(
                LimitId::GasTemperatureSpan,
                (self.knobs.gas_k, Input::GasTemperature),
                (dryer.temperature_span, Input::GasTemperatureSpan),
            );
        }
        if values.roller.is_none() && values.infrared.is_none() && values.dryer.is_none() {
            self.lamp_alone();
            return;
        }
        let marched = self.drying();
        self.blister(marched.march());
        self.foil_temperature_limits(marched.march());
        if S::WANTS_ALL {
            self.film_defects(&marched);
            self.exhaust_limits();
        }
    }

    /// A line whose film is not dried but cured: it flows until the lamp.
    fn lamp_alone(&mut self) {
        if self.values.uv.is_none() {
            return;
        }
        self.foil_temperature_limits(None);
        if S::WANTS_ALL {
            self.edge_until_lamp();
        }
    }

    pub(super) fn temperature_span_or_missing(
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

    /// Whether the film dries, if the line has a dryer or infrared lamps, with the march at the set speed.
    fn drying(&mut self) -> Marched {
        if let Drying::LeaveOut = self.drying {
            return Marched::LeftOut;
        }
        let inputs = match DryingInputs::new(self.values, self.knobs) {
            Ok(inputs) => inputs,
            Err(missing) => {
                if self.values.residual.is_some() {
                    self.missing(LimitId::DryAtExit, missing);
                    self.residual_solvent(Err(missing));
                }
                return Marched::Lacks(missing);
            }
        };
        self.mark_drying();
        let case = inputs.case(self.values, self.knobs);
        let (march, speeds) = self.march_and_speeds(&case, inputs.speed);
        if let Some(march) = march {
            self.derived.residual_at_exit = Some(march.residual);
        }
        if self.values.residual.is_some() {
            self.derived.dry_speed_m_per_s = Some(speeds.dry);
            self.ratio(LimitId::DryAtExit, inputs.speed, speeds.dry);
            self.derived.residual_speed_m_per_s = speeds.target;
            self.residual_solvent(Ok((inputs.speed, speeds.target)));
        }
        if let Some(dryer) = &self.values.dryer {
            let to_dryer = inputs.path_to_dryer(self.values, self.knobs) / inputs.speed;
            self.derived.dry_after_s = match march.and_then(|march| march.dry_after) {
                Some(time) => Some((time.s() - to_dryer).max(0.0)),
                None => dryer.length.map(|length| length / speeds.dry),
            };
        }
        march.map_or(Marched::LeftOut, Marched::Known)
    }

    /// The march at a speed [m/s] and the dry speeds, as far as they are wanted and not known.
    fn march_and_speeds(&self, case: &DryingCase, speed: f64) -> (Option<March>, DrySpeeds) {
        let march = || Some(case.march(Speed::from_m_per_s(speed)));
        match self.drying {
            Drying::LeaveOut => (None, DrySpeeds::of_dry(speed)),
            Drying::Given(known) => (None, DrySpeeds::of_dry(known)),
            Drying::Known(known, march) => (Some(march), DrySpeeds::of_dry(known)),
            Drying::KnownSpeeds(known) => (march(), known),
            Drying::SideOnly => {
                let march = case.march(Speed::from_m_per_s(speed));
                // Only the side matters here: twice or half the set speed stands for either.
                let is_dry = self.values.residual.is_none() || march.dry_after.is_some();
                let side = if is_dry { 2.0 * speed } else { 0.5 * speed };
                (Some(march), DrySpeeds::of_dry(side))
            }
            Drying::Full => (march(), self.search_dry_speeds(case, speed)),
        }
    }

    fn search_dry_speeds(&self, case: &DryingCase, speed: f64) -> DrySpeeds {
        let Some(residual) = self.values.residual else {
            return DrySpeeds::of_dry(speed);
        };
        let dry = case.dry_speed().speed();
        let target = (S::WANTS_ALL && !self.lacks_diffusivity()).then(|| {
            let case = case.clone().with_residual(residual.target);
            case.dry_speed_near(dry).speed().m_per_s()
        });
        DrySpeeds {
            dry: dry.m_per_s(),
            target,
        }
    }

    /// A dissolved polymer holds its last solvent by slow diffusion, of which nothing is known.
    fn lacks_diffusivity(&self) -> bool {
        self.values.ink.activity == Activity::Polymer && self.values.film.diffusivity.is_none()
    }

    /// Of the set speed and the highest that reaches the target; not judged where the dry speed was handed in.
    fn residual_solvent(&mut self, speeds: Result<(f64, Option<f64>), Input>) {
        if !S::WANTS_ALL {
            return;
        }
        match (speeds, self.drying) {
            (_, Drying::Given(_)) => {}
            (Err(missing), _) => self.missing(LimitId::ResidualSolvent, missing),
            (Ok((speed, Some(target))), _) => {
                self.uses(InputSet::of(&[Input::ResidualTarget]));
                self.ratio(LimitId::ResidualSolvent, speed, target);
            }
            (Ok((_, None)), _) if self.lacks_diffusivity() => {
                self.missing(LimitId::ResidualSolvent, Input::FilmDiffusivity);
            }
            (Ok((_, None)), _) => {}
        }
    }

    fn mark_drying(&mut self) {
        self.uses(DRYING_INPUTS);
        if self.values.ink.solvent == Some(Solvent::Water) {
            self.uses(InputSet::of(&[Input::RelativeHumidity]));
        }
        if self.values.film.diffusivity.is_some() {
            self.uses(InputSet::of(&[Input::CriticalResidual]));
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
        if roller_zone(self.values, self.knobs).is_some() {
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
            (
                None,
                Drying::Full | Drying::KnownSpeeds(_) | Drying::Known(..) | Drying::SideOnly,
            ) => {
                self.mark_drying();
                hottest_constant_rate(self.values, self.knobs, solvent)
            }
        };
        self.temperature(
            LimitId::Blister,
            hottest,
            solvent.boiling_point().k() - BOILING_DISTANCE.k(),
        );
    }
}
