//! Pump line and feed slot: force, bars of the pump's steps, lag, settling, spread across the web; what heat takes from the
//! gap, and what drips at a stop.

use super::plasma_limits::WettingState;
use super::{Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::levelling::LEVELLING_TIME_CONSTANTS;
use crate::limit::LimitId;
use crate::metering::{cross_web_error_of_manifold, cross_web_error_of_slot, drip_head_m};
use crate::prepared::{AngleSource, MethodValues, SlotDieValues};
use crate::pump_line::{local_index, slot_wall_rate};
use crate::quantity::Length;
use crate::settling::{Changeover, line_pressure_pa, pump_lag_s, settle};
use crate::slot_die::{LEAST_HOT_GAP, PARTICLES_ACROSS_GAP};

const LAG_INPUTS: InputSet = InputSet::of(&[
    Input::FilterDrop,
    Input::TrappedAir,
    Input::LineCompliance,
    Input::AllowedLag,
]);
const SETTLING_INPUTS: InputSet = InputSet::of(&[
    Input::FilterDrop,
    Input::TrappedAir,
    Input::LineCompliance,
    Input::DownstreamLip,
    Input::UpstreamLip,
]);

impl<S: Sink> Walk<'_, S> {
    pub(super) fn pump_limits(&mut self, wetting: &WettingState) {
        if let MethodValues::SlotDie(die) = &self.values.head.method {
            self.pump_force();
            if S::WANTS_ALL {
                self.pump_pulsation();
                self.pump_lag();
                self.startup_length();
                self.cross_web(die);
            }
            self.thermal_gap();
            if S::WANTS_ALL {
                self.head_at_stop(die, wetting);
            }
        } else {
            self.thermal_gap();
        }
    }

    fn pump_force(&mut self) {
        let pump = &self.values.pump;
        let force = || -> Result<(f64, f64), Input> {
            let greatest = pump.greatest_force.ok_or(Input::GreatestForce)?;
            let area = pump.plunger_area.ok_or(Input::SyringeBore)?;
            let pressure = line_pressure_pa(self.values, self.knobs)?;
            Ok((area * pressure + pump.friction, greatest))
        };
        match force() {
            Ok((force, greatest)) => {
                self.uses(InputSet::of(&[Input::PlungerFriction, Input::FilterDrop]));
                self.ratio(LimitId::PumpForce, force, greatest);
            }
            Err(missing) => self.missing(LimitId::PumpForce, missing),
        }
    }

    /// Time constant of the bars of the pump's steps against the time in which the film flows.
    fn pump_pulsation(&mut self) {
        let pitch = || -> Result<f64, Input> {
            let step = self.values.pump.step_volume.ok_or(Input::StepVolume)?;
            let width = self.values.head.width.ok_or(Input::CoatedWidth)?;
            Ok(step / (self.wet_thickness()? * width))
        };
        let pitch = pitch();
        self.derived.pump_bar_pitch_m = pitch.ok();
        let levelling = match (pitch, self.values.flow_law(self.knobs)) {
            (Ok(pitch), Ok(law)) => self.levelling(&law, pitch),
            (Err(missing), _) | (Ok(_), Err(missing)) => Err(missing),
        };
        match levelling {
            Ok(bars) => self.ratio(
                LimitId::PumpPulsation,
                bars.needed / LEVELLING_TIME_CONSTANTS,
                bars.at_hand,
            ),
            Err(missing) => self.missing(LimitId::PumpPulsation, missing),
        }
    }

    fn pump_lag(&mut self) {
        self.derived.pump_pressure_pa = line_pressure_pa(self.values, self.knobs).ok();
        match pump_lag_s(self.values, self.knobs) {
            Ok(lag) => {
                self.uses(LAG_INPUTS);
                self.ratio(LimitId::PumpLag, lag, self.values.pump.allowed_lag);
            }
            Err(missing) => self.missing(LimitId::PumpLag, missing),
        }
    }

    /// Foil that passes until the film is steady after a change on the fly, against the foil granted.
    fn startup_length(&mut self) {
        let times = settle(self.values, self.knobs, Changeover::default());
        let steady = times.bead.map(|_| times.longest());
        let length = steady.zip(self.knobs.speed).map(|(time, v)| v * time);
        self.derived.settling_time_s = steady;
        self.derived.settling_length_m = length;
        match (self.knobs.settling_granted, length) {
            (Some(granted), Some(length)) => {
                self.uses(SETTLING_INPUTS);
                self.ratio(LimitId::StartupLength, length, granted);
            }
            (None, _) => self.missing(LimitId::StartupLength, Input::SettlingGranted),
            (Some(_), None) => {
                let missing = self.wet_thickness().err().unwrap_or(Input::Gap);
                self.missing(LimitId::StartupLength, missing);
            }
        }
    }

    /// A shear-thinning ink answers an uneven slot by more than the third power: `2 + 1/n`.
    fn cross_web(&mut self, die: &SlotDieValues) {
        let spread = || -> Result<f64, Input> {
            let height = die.feed_slot_height.ok_or(Input::FeedSlotHeight)?;
            let length = die.feed_slot_length.ok_or(Input::FeedSlotLength)?;
            let width = self.values.head.width.ok_or(Input::CoatedWidth)?;
            let law = self.values.flow_law(self.knobs)?;
            let flow = self.knobs.flow.ok_or(Input::Flow)?;
            let viscosity = |rate: f64| law.viscosity(rate);
            let n = local_index(&viscosity, slot_wall_rate(width, height, flow));
            let of_slot = cross_web_error_of_slot(
                Length::from_m(die.slot_height_error),
                Length::from_m(height),
            );
            let of_manifold = cross_web_error_of_manifold(
                Length::from_m(width),
                Length::from_m(height),
                Length::from_m(length),
                Length::from_m(die.manifold_radius),
            );
            Ok(of_slot * (2.0 + 1.0 / n) / 3.0 + of_manifold)
        };
        match spread() {
            Ok(spread) => {
                self.uses(InputSet::of(&[
                    Input::SlotHeightError,
                    Input::ManifoldRadius,
                    Input::ThicknessTolerance,
                ]));
                self.ratio(
                    LimitId::CrossWeb,
                    spread,
                    self.values.head.thickness_tolerance,
                );
            }
            Err(missing) => self.missing(LimitId::CrossWeb, missing),
        }
    }

    /// Recorded only for a gap that was set cold, on a head that has one.
    fn thermal_gap(&mut self) {
        let Some(cold) = self.values.cold_gap else {
            return;
        };
        match &self.values.head.method {
            MethodValues::SlotDie(_) | MethodValues::Knife(_) => {}
            MethodValues::WireBar(_) | MethodValues::Gravure(_) | MethodValues::Flexo(_) => return,
        }
        let growth = cold.growth(self.values.room.temperature, self.knobs.roller_k);
        let set = self.knobs.head.set_gap.ok_or(Input::Gap);
        let hot = match (set, growth) {
            (Ok(set), Ok(growth)) => set + self.knobs.gap_error - growth,
            (Err(missing), _) | (Ok(_), Err(missing)) => {
                return self.missing(LimitId::ThermalGap, missing);
            }
        };
        self.derived.hot_gap_m = Some(hot);
        self.uses(InputSet::of(&[
            Input::BackingRollerExpansion,
            Input::DieExpansion,
        ]));
        if cold.is_set_at_room() {
            self.uses(InputSet::of(&[Input::RoomTemperature]));
        }
        let particle = self.values.ink.largest_particle.unwrap_or(0.0);
        let needed = LEAST_HOT_GAP.m().max(PARTICLES_ACROSS_GAP * particle);
        self.ratio(LimitId::ThermalGap, hot, needed);
    }

    fn head_at_stop(&mut self, die: &SlotDieValues, wetting: &WettingState) {
        let ink = &self.values.ink;
        let cosines = die.cosines.on_lip + wetting.bead_cosine;
        match (self.values.pump.level, self.knobs.head.gap) {
            (Some(level), Some(gap)) => {
                let held = drip_head_m(ink.sigma, ink.rho, gap, cosines);
                self.uses(InputSet::of(&[
                    Input::SurfaceTension,
                    Input::Density,
                    Input::AngleOnLip,
                    Input::AngleOnFoil,
                ]));
                if self.values.head.angle_source == AngleSource::Totals {
                    self.uses(wetting.energy_inputs);
                }
                self.ratio(LimitId::HeadAtStop, level, held);
            }
            (None, _) => self.missing(LimitId::HeadAtStop, Input::LevelAboveLips),
            (Some(_), None) => self.missing(LimitId::HeadAtStop, Input::Gap),
        }
    }
}
