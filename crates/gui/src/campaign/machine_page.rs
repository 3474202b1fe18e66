//! One run as one needs it standing at the machine: what to turn, what it was before, where the foil is.
//!
//! Only two runs are looked at, so that the page is as quick for ten thousand runs as for ten.

use super::sentence_case::in_sentence;
use std::collections::BTreeMap;

use super::feasibility::Judgement;
use super::project::{Outcome, Project, Role, Run, SettingEntry, SettingValue, Settings};
use super::reading_table::setting_text;
use super::resolve::{Resolved, resolve};
use super::roll::{Roll, RunOnRoll};
use crate::campaign::decimals::shared_decimals;
use crate::number_text::{format_number, format_short};

/// One knob of a run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnobTile {
    /// Name of what is turned.
    pub label: String,
    /// Its value for this run.
    pub value: String,
    /// Its unit.
    pub unit: String,
    /// Its value in the run before, as it was run; `None` for the first run.
    pub was: Option<String>,
    /// Whether it is to be turned.
    pub is_changed: bool,
    /// What was asked for, if the knob only follows from it: "wet thickness 24 µm".
    pub asked: String,
}

/// One run at the machine.
#[derive(Debug, Clone, PartialEq)]
pub struct MachinePage {
    /// Its number.
    pub run: u32,
    /// Its 1-based place in the run order.
    pub place: usize,
    /// Runs in all.
    pub n_runs: usize,
    /// The run before.
    pub previous: Option<u32>,
    /// The run after.
    pub next: Option<u32>,
    /// Knobs, those that change first.
    pub tiles: Vec<KnobTile>,
    /// Where it lies on the roll.
    pub on_roll: Option<RunOnRoll>,
    /// Why the knobs are not known, if so.
    pub unknown: Option<String>,
    /// Ink left after the run \[mL\], as laid out; `None` if flow, speed or ink in hand are not known.
    pub ink_left_ml: Option<f64>,
    /// Foil left after the run \[m\], as laid out; `None` if the foil in hand is not stated.
    pub foil_left_m: Option<f64>,
}

impl MachinePage {
    /// How many knobs are turned, in words.
    pub fn change_words(&self) -> String {
        let n_changed = self.tiles.iter().filter(|tile| tile.is_changed).count();
        match (n_changed, self.previous) {
            (_, None) => "set everything".to_owned(),
            (0, Some(_)) => "nothing changes".to_owned(),
            (n, Some(_)) if n == self.tiles.len() => format!("all {n} change"),
            (1, Some(_)) => format!("1 of {} changes", self.tiles.len()),
            (n, Some(_)) => format!("{n} of {} change", self.tiles.len()),
        }
    }

    /// What is left after the run, in words; empty if nothing is known of it.
    pub fn left_words(&self) -> String {
        let ink = self
            .ink_left_ml
            .map(|ml| format!("ink {} mL", format_number(ml, 1)));
        let foil = self
            .foil_left_m
            .map(|m| format!("foil {} m", format_number(m, 1)));
        let left: Vec<String> = ink.into_iter().chain(foil).collect();
        if left.is_empty() {
            String::new()
        } else {
            format!("Left after this run, as laid out: {}.", left.join(", "))
        }
    }

    /// The stop before the run, in words; empty if the web runs on.
    pub fn stop_words(&self) -> String {
        let Some(set_up) = self
            .on_roll
            .as_ref()
            .and_then(|on_roll| on_roll.set_up.as_ref())
        else {
            return String::new();
        };
        format!(
            "Stop for {} min: {}.",
            format_short(set_up.minutes),
            set_up.changes.join(", ").to_lowercase()
        )
    }
}

/// Cautions of the station cards for settings that were judged; the last says that local codes prevail.
pub fn cautions_of(judgement: &Judgement) -> Vec<String> {
    let resolved = &judgement.resolved;
    wetlane_physics::cautions(&resolved.line, &resolved.setting, &judgement.assessment)
}

/// The first run that was not run yet, else the first of all.
pub fn first_open_run(project: &Project) -> Option<u32> {
    project
        .runs
        .iter()
        .find(|run| run.outcome == Outcome::NotRun)
        .or_else(|| project.runs.first())
        .map(|run| run.number)
}

/// The page of a run; `None` if there is no such run.
pub fn machine_page(project: &Project, roll: Option<&Roll>, number: u32) -> Option<MachinePage> {
    let at = project.runs.iter().position(|run| run.number == number)?;
    let run = project.runs.get(at)?;
    let before = at.checked_sub(1).and_then(|at| project.runs.get(at));
    let wanted = targets_of(project, run);
    let resolved = resolve(project, &wanted);
    let unknown = resolved.as_ref().err().map(ToString::to_string);
    let now = Knobs {
        settings: wanted,
        resolved: resolved.ok(),
    };
    let then = before.map(|run| {
        let settings = project.settings_of(run);
        let resolved = resolve(project, &settings).ok();
        Knobs { settings, resolved }
    });
    let mut tiles: Vec<KnobTile> = project
        .settings
        .iter()
        .filter_map(|setting| tile_of(project, setting, &now, then.as_ref()))
        .collect();
    tiles.sort_by_key(|tile| !tile.is_changed);
    let on_roll = roll
        .and_then(|roll| roll.runs.get(at))
        .filter(|on_roll| on_roll.run == number);
    let totals = roll.map(|roll| &roll.totals);
    let ink_in_hand = totals.and_then(|totals| totals.ink_ml.and(totals.ink_in_hand_ml));
    let foil_in_hand = totals.and_then(|totals| totals.foil_in_hand_m);
    Some(MachinePage {
        run: number,
        place: at + 1,
        n_runs: project.runs.len(),
        previous: before.map(|run| run.number),
        next: project.runs.get(at + 1).map(|run| run.number),
        tiles,
        unknown,
        ink_left_ml: ink_in_hand
            .zip(on_roll)
            .map(|(there, run)| there - run.ink_used_ml),
        foil_left_m: foil_in_hand
            .zip(on_roll)
            .map(|(there, run)| there - run.end_m),
        on_roll: on_roll.cloned(),
    })
}

/// Settings with the knobs that follow from them.
struct Knobs {
    settings: Settings,
    resolved: Option<Resolved>,
}

impl Knobs {
    fn followed(&self, role: Role) -> Option<f64> {
        let followed = &self.resolved.as_ref()?.followed;
        let knob = followed.iter().find(|followed| followed.role == role)?;
        Some(knob.quantity.value)
    }
}

/// Settings as they are to be set: the present values, overlaid with the run's plan.
fn targets_of(project: &Project, run: &Run) -> BTreeMap<String, SettingValue> {
    let mut settings = project.cross();
    for own in [&run.planned, &run.pulled] {
        settings.extend(own.iter().map(|(id, value)| (id.clone(), value.clone())));
    }
    settings
}

fn tile_of(
    project: &Project,
    setting: &SettingEntry,
    now: &Knobs,
    then: Option<&Knobs>,
) -> Option<KnobTile> {
    let own = now.settings.get(&setting.id)?;
    let n_decimals = decimals(project, setting);
    let own_text = setting_text(own, n_decimals);
    let knobs = setting.role.knobs_under(project.head_kind());
    let knob = knobs
        .into_iter()
        .find_map(|role| Some((role, now.followed(role)?)));
    let Some((role, value)) = knob else {
        let before = then.and_then(|then| then.settings.get(&setting.id));
        return setting.is_varied().then(|| KnobTile {
            label: setting.label.clone(),
            value: own_text,
            unit: setting.unit.clone(),
            was: before.map(|value| setting_text(value, n_decimals)),
            is_changed: before != Some(own),
            asked: String::new(),
        });
    };
    let text = format_short(value);
    let was = then.and_then(|then| then.followed(role)).map(format_short);
    let is_changed = was.as_ref() != Some(&text);
    (setting.is_varied() || is_changed).then(|| KnobTile {
        label: role.label().to_owned(),
        value: text,
        unit: role.usual_unit().symbol().to_owned(),
        was,
        is_changed,
        asked: format!(
            "{} {own_text} {}",
            in_sentence(&setting.label),
            setting.unit
        )
        .trim_end()
        .to_owned(),
    })
}

/// Decimals that a setting's numbers need over all its runs' ranges.
fn decimals(project: &Project, setting: &SettingEntry) -> usize {
    let values = project
        .runs
        .iter()
        .take(200)
        .filter_map(|run| run.setting(&setting.id).and_then(SettingValue::number));
    shared_decimals(setting.step.into_iter().chain(values))
}
