//! The foil as a strip in metres: where each run lies, what it takes of ink, foil and time, and whether all of it fits.
//!
//! Settling after a change: until pump line and bead follow (first-order wash-out to 5 %, common practice), never less
//! than the length stated in the budget. A strip-down is cleaned and primed again, so it costs one dead volume of ink.
//! Waiting times of several changes at one stop add up (cautious; the user may state less). On a single roll every run takes a
//! sheet of its own, and nothing is threaded.

use std::collections::BTreeMap;

use wetlane_physics::web::lap_length;
use wetlane_physics::{Basis, Changeover, Length, Prepared, Volume, Web};

use super::project::{EffortClass, Project, Run, RunRole, SettingValue, WebMode};
use super::resolve::{Resolved, resolve};

/// A stop at which something is changed that cannot be changed on the fly.
#[derive(Debug, Clone, PartialEq)]
pub struct SetUpBar {
    /// Minutes it takes.
    pub minutes: f64,
    /// Labels of the settings that change.
    pub changes: Vec<String>,
    /// True if something is stripped down (a new bottle).
    pub is_strip_down: bool,
}

/// One run on the strip.
#[derive(Debug, Clone, PartialEq)]
pub struct RunOnRoll {
    /// Run number.
    pub run: u32,
    /// What it is for.
    pub role: RunRole,
    /// The stop before it, if there is one.
    pub set_up: Option<SetUpBar>,
    /// Metre at which its settling starts.
    pub start_m: f64,
    /// Metre at which its sample starts.
    pub sample_start_m: f64,
    /// Metre at which its sample ends.
    pub end_m: f64,
    /// Ink it takes, priming included \[mL\]; `None` if flow or speed are not known.
    pub ink_ml: Option<f64>,
    /// Minutes it takes, its set-up included; `None` if the speed is not known.
    pub minutes: Option<f64>,
    /// Ink used up to its end \[mL\].
    pub ink_used_ml: f64,
    /// Minutes passed up to its end.
    pub minutes_passed: f64,
    /// Number of the bottle, from 1: one more at every strip-down.
    pub bottle: u32,
}

/// The whole strip.
#[derive(Debug, Clone, PartialEq)]
pub struct Roll {
    /// Foil lost before the first run \[m\].
    pub leader_m: f64,
    /// Runs in run order.
    pub runs: Vec<RunOnRoll>,
    /// Ink, foil and time in all.
    pub totals: Totals,
}

/// What all runs take, against what there is.
#[derive(Debug, Clone, PartialEq)]
pub struct Totals {
    /// Ink \[mL\]; `None` if it is not known for some run.
    pub ink_ml: Option<f64>,
    /// Foil \[m\].
    pub foil_m: f64,
    /// Time \[h\]; `None` if it is not known for some run.
    pub hours: Option<f64>,
    /// Ink in hand \[mL\].
    pub ink_in_hand_ml: Option<f64>,
    /// Foil in hand \[m\].
    pub foil_in_hand_m: Option<f64>,
    /// Time there is \[h\].
    pub hours_in_hand: Option<f64>,
}

impl Totals {
    /// What is too much, in words; empty if all fits or nothing is stated.
    pub fn shortfalls(&self) -> Vec<String> {
        let pairs = [
            ("ink", self.ink_ml, self.ink_in_hand_ml, "mL"),
            ("foil", Some(self.foil_m), self.foil_in_hand_m, "m"),
            ("time", self.hours, self.hours_in_hand, "h"),
        ];
        pairs
            .into_iter()
            .filter_map(|(name, needed, there, unit)| {
                let (needed, there) = (needed?, there?);
                (needed > there).then(|| format!("{name}: {needed:.1} of {there:.1} {unit}"))
            })
            .collect()
    }

    /// Whether everything fits; `None` if something is not known or not stated.
    pub fn fits(&self) -> Option<bool> {
        if !self.shortfalls().is_empty() {
            return Some(false);
        }
        let known = self.ink_ml.is_some() && self.hours.is_some();
        let stated = self.ink_in_hand_ml.is_some()
            && self.foil_in_hand_m.is_some()
            && self.hours_in_hand.is_some();
        (known && stated).then_some(true)
    }
}

/// "3 h 25 min", "40 min".
pub fn hours_words(hours: f64) -> String {
    // Hours of a campaign are far below what an integer holds.
    #[expect(clippy::cast_possible_truncation, reason = "a campaign has few hours")]
    let minutes = (60.0 * hours).round() as i64;
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, minutes) => format!("{hours} h {minutes} min"),
    }
}

/// Lays the runs of a project on the roll, in run order.
pub fn lay_out(project: &Project) -> Roll {
    let runs: Vec<&Run> = project.runs.iter().collect();
    lay_out_runs(project, &runs)
}

/// As [`lay_out`] for some runs, which need not be the project's own (a proposal).
pub fn lay_out_runs(project: &Project, runs: &[&Run]) -> Roll {
    let leader_m = project
        .line
        .as_ref()
        .filter(|line| line.web == WebMode::RollToRoll)
        .and_then(|line| line.card.si(super::card::Field::Leader))
        .unwrap_or(0.0);
    let mut layout = Layout {
        project,
        metre: leader_m,
        ink_used_ml: 0.0,
        minutes: project.budget.start_minutes,
        bottle: 1,
        before: None,
    };
    let placed: Vec<RunOnRoll> = runs.iter().map(|run| layout.place(run)).collect();
    let all = |known: bool, total: f64| known.then_some(total);
    let totals = Totals {
        ink_ml: all(
            placed.iter().all(|run| run.ink_ml.is_some()),
            layout.ink_used_ml,
        ),
        foil_m: layout.metre,
        hours: all(
            placed.iter().all(|run| run.minutes.is_some()),
            layout.minutes / 60.0,
        ),
        ink_in_hand_ml: project.budget.ink_ml,
        foil_in_hand_m: project
            .budget
            .foil_m
            .or_else(|| project.foil.si(super::card::Field::RollLength)),
        hours_in_hand: project.budget.hours,
    };
    Roll {
        leader_m,
        runs: placed,
        totals,
    }
}

struct Layout<'a> {
    project: &'a Project,
    metre: f64,
    ink_used_ml: f64,
    minutes: f64,
    bottle: u32,
    before: Option<BTreeMap<String, SettingValue>>,
}

impl Layout<'_> {
    fn place(&mut self, run: &Run) -> RunOnRoll {
        let settings = self.project.settings_of(run);
        let set_up = self.set_up(&settings);
        let is_first = self.before.is_none();
        let is_strip_down = set_up.as_ref().is_some_and(|bar| bar.is_strip_down);
        if is_strip_down {
            self.bottle += 1;
        }
        let resolved = resolve(self.project, &settings).ok();
        let settle_m = self.settle_m(resolved.as_ref());
        let length = settle_m + self.project.budget.sample_m;
        let set_up_minutes = set_up.as_ref().map_or(0.0, |bar| bar.minutes);
        let knobs = resolved.as_ref().map(|resolved| &resolved.setting);
        let speed = knobs.and_then(|setting| setting.speed);
        let minutes = speed.map(|speed| set_up_minutes + length / speed.m_per_min());
        let priming_ml = if is_first || is_strip_down {
            Self::dead_volume_ml(resolved.as_ref())
        } else {
            0.0
        };
        // What feeds a head that sets its own film runs back; only what the web carries off is used up.
        let flow = resolved.as_ref().and_then(|resolved| resolved.ink_flow);
        let ink_ml = flow
            .zip(speed)
            .map(|(flow, speed)| priming_ml + flow.ml_per_min() * length / speed.m_per_min());
        let start_m = self.metre;
        let end_m = start_m + length;
        self.metre = end_m + rest_of_sheet_m(resolved.as_ref(), length);
        self.ink_used_ml += ink_ml.unwrap_or(priming_ml);
        self.minutes += minutes.unwrap_or(set_up_minutes);
        self.before = Some(settings);
        RunOnRoll {
            run: run.number,
            role: run.role,
            set_up,
            start_m,
            sample_start_m: start_m + settle_m,
            end_m,
            ink_ml,
            minutes,
            ink_used_ml: self.ink_used_ml,
            minutes_passed: self.minutes,
            bottle: self.bottle,
        }
    }

    /// The stop before a run: every setting that changes and is not changed on the fly.
    fn set_up(&self, settings: &BTreeMap<String, SettingValue>) -> Option<SetUpBar> {
        let before = self.before.as_ref()?;
        let changed: Vec<_> = self
            .project
            .varied()
            .filter(|setting| setting.effort.class != EffortClass::OnTheFly)
            .filter(|setting| before.get(&setting.id) != settings.get(&setting.id))
            .collect();
        (!changed.is_empty()).then(|| SetUpBar {
            minutes: changed.iter().map(|setting| setting.effort.minutes).sum(),
            changes: changed
                .iter()
                .map(|setting| setting.label.clone())
                .collect(),
            is_strip_down: changed
                .iter()
                .any(|setting| setting.effort.class == EffortClass::StripDown),
        })
    }

    /// Length discarded before the sample \[m\]: until the film is steady at this setting, or the stated length if longer.
    fn settle_m(&self, resolved: Option<&Resolved>) -> f64 {
        let steady = resolved.and_then(|resolved| {
            let prepared = Prepared::new(&resolved.line, &Basis::default()).ok()?;
            let same_ink = Changeover::default();
            let length = prepared.settle_length(&resolved.setting, same_ink).ok()??;
            Some(length.m()).filter(|metres| metres.is_finite())
        });
        self.project.budget.settle_m.max(steady.unwrap_or(0.0))
    }

    fn dead_volume_ml(resolved: Option<&Resolved>) -> f64 {
        resolved
            .and_then(|resolved| resolved.line.pump?.dead_volume)
            .map_or(0.0, Volume::ml)
    }
}

/// Foil that a run takes beyond its settling and sample \[m\]: on a single roll the rest of its sheet, since every run
/// gets one of its own.
fn rest_of_sheet_m(resolved: Option<&Resolved>, coated_m: f64) -> f64 {
    let lap = resolved.and_then(|resolved| match resolved.line.web? {
        Web::SingleRoll(roll) => Some(lap_length(
            roll.diameter?,
            roll.clamp.unwrap_or(Length::from_m(0.0)),
        )),
        Web::RollToRoll(_) => None,
    });
    lap.map_or(0.0, |lap| (lap.m() - coated_m).max(0.0))
}
