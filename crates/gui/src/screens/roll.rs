//! The Roll screen: the foil to scale in metres, what is left of ink, foil and time, and the run order.

use egui::{Align, Id, Layout, ScrollArea, Ui, vec2};

use crate::app::action::{Action, Screen};
use crate::app::spine_view::state_of;
use crate::app::view::{Request, View};
use crate::campaign::answers::plain;
use crate::campaign::command::Command;
use crate::campaign::fitting::longest_sample_that_fits;
use crate::campaign::project::{Project, RunRole, SettingValue};
use crate::campaign::roll::{Roll, RunOnRoll, Totals};
use crate::campaign::run_order::{as_shuffled, is_changed_by_hand, move_run, move_set_up, n_stops};
use crate::number_text::format_typed;
use crate::widgets::button::{link, primary_button};
use crate::widgets::foil_strip::{
    BottleBand, FoilEvent, FoilRun, FoilRunState, FoilStrip, SetUpBar, SettingTrack, StoreTrack,
    foil_strip,
};
use crate::widgets::heading::{body_text, quiet_text, section_head, sentence};
use crate::widgets::margin_bar::LimitState;

/// Width kept free beside what scrolls, for its bar.
const BESIDE_SCROLL_BAR: f32 = 10.0;

/// Drafts of the Roll screen.
#[derive(Debug, Default)]
pub struct RollScreen {
    /// The advice for a project that does not fit, with the runs stamp and budget it was computed for.
    advice: Option<(crate::app::derived::Stamps, Option<f64>)>,
}

impl RollScreen {
    /// Draws the screen.
    pub fn ui(&mut self, ui: &mut Ui, view: &mut View<'_>) -> Vec<Request> {
        let mut requests = Vec::new();
        let Some(roll) = view
            .derived
            .roll()
            .cloned()
            .filter(|roll| !roll.runs.is_empty())
        else {
            sentence(ui, "No runs yet.", "A plan lays its runs on the roll.");
            if primary_button(ui, "Plan the runs").clicked() {
                requests.push(Request::GoTo(Screen::Plan));
            }
            return requests;
        };
        head_ui(ui, view.project, &roll, &mut requests);
        self.advice_ui(ui, view, &roll.totals, &mut requests);
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            ui.set_max_width(ui.available_width() - BESIDE_SCROLL_BAR);
            let strip = strip_of(view, &roll);
            for event in foil_strip(ui, Id::unique("roll strip"), &strip) {
                requests.extend(request_of(event, view.project, &roll));
            }
            ui.add_space(8.0);
            order_ui(ui, view, &roll);
        });
        requests
    }

    /// What does not fit, and the longest sample with which it would.
    fn advice_ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        totals: &Totals,
        requests: &mut Vec<Request>,
    ) {
        let shortfalls = totals.shortfalls();
        if shortfalls.is_empty() {
            return;
        }
        let stamps = view.derived.stamps();
        if self.advice.is_none_or(|(known, _)| known != stamps) {
            self.advice = Some((stamps, longest_sample_that_fits(view.project)));
        }
        body_text(ui, &format!("Too much: {}.", shortfalls.join("; ")));
        if let Some((_, Some(sample_m))) = self.advice {
            let words = format!(
                "Shorten the samples to {} m: then all of it fits",
                plain(sample_m)
            );
            if link(ui, &words).clicked() {
                let mut budget = view.project.budget.clone();
                budget.sample_m = sample_m;
                requests.push(Request::Edit(Command::SetBudget(budget)));
            }
        }
        ui.add_space(4.0);
    }
}

fn head_ui(ui: &mut Ui, project: &Project, roll: &Roll, requests: &mut Vec<Request>) {
    let (first, below) = head_words(project, roll);
    ui.horizontal_top(|ui| {
        let width = (ui.available_width() - 230.0).max(200.0);
        ui.allocate_ui(vec2(width, 44.0), |ui| {
            ui.vertical(|ui| sentence(ui, &first, &below))
        });
        ui.with_layout(Layout::right_to_left(Align::TOP), |ui| {
            if primary_button(ui, "Print the run sheet…").clicked() {
                requests.push(Request::Act(Action::PrintRunSheet));
            }
        });
    });
    ui.add_space(4.0);
}

/// "19 runs on 33.5 m, in 3 h 27 min with 3.5 mL of ink left over."
fn head_words(project: &Project, roll: &Roll) -> (String, String) {
    let totals = &roll.totals;
    let time = totals
        .hours
        .map(|hours| format!(", in {}", hours_words(hours)))
        .unwrap_or_default();
    let left = totals
        .ink_in_hand_ml
        .zip(totals.ink_ml)
        .map(|(there, used)| there - used);
    let ink = match left {
        Some(left) if left >= 0.0 => format!(" with {} mL of ink left over", plain(left)),
        Some(left) => format!("; {} mL of ink are missing", plain(-left)),
        None => String::new(),
    };
    let first = format!(
        "{} runs on {:.1} m{time}{ink}.",
        roll.runs.len(),
        totals.foil_m
    );
    let stops = n_stops(roll);
    let bottles = roll.runs.last().map_or(1, |run| run.bottle);
    let bottles = if bottles > 1 {
        format!(", {} bottle changes", bottles - 1)
    } else {
        String::new()
    };
    let order = if is_changed_by_hand(project) {
        " The order was changed by hand."
    } else {
        ""
    };
    (first, format!("{stops} stops{bottles}.{order}"))
}

fn hours_words(hours: f64) -> String {
    // Hours of a campaign are far below what an integer holds.
    #[expect(clippy::cast_possible_truncation, reason = "a campaign has few hours")]
    let minutes = (60.0 * hours).round() as i64;
    format!("{} h {} min", minutes / 60, minutes % 60)
}

fn request_of(event: FoilEvent, project: &Project, roll: &Roll) -> Option<Request> {
    match event {
        FoilEvent::Pick { run } => Some(Request::SelectRun(Some(run))),
        FoilEvent::MoveRun { from, to } => move_run(project, from, to).map(Request::Edit),
        FoilEvent::MoveSetUp { from, to } => move_set_up(roll, from, to).map(Request::Edit),
    }
}

fn strip_of(view: &View<'_>, roll: &Roll) -> FoilStrip {
    let project = view.project;
    FoilStrip {
        metres: roll
            .totals
            .foil_in_hand_m
            .unwrap_or(roll.totals.foil_m)
            .max(roll.totals.foil_m),
        leader: roll.leader_m,
        runs: roll.runs.iter().map(|run| run_of(view, run)).collect(),
        bottles: bottles_of(roll),
        set_ups: roll.runs.iter().filter_map(bar_of).collect(),
        settings: tracks_of(project, roll),
        stores: stores_of(project, roll),
        selected: view.selection.run,
    }
}

fn run_of(view: &View<'_>, run: &RunOnRoll) -> FoilRun {
    let judged = view
        .derived
        .judged_run(run.run)
        .and_then(|judged| judged.judgement.as_ref().ok());
    let state = judged.and_then(|judgement| {
        judgement
            .margin()
            .map(|margin| state_of(margin, judgement.safety_margin))
    });
    let state = match state {
        Some(LimitState::Broken) => FoilRunState::Broken,
        Some(LimitState::Near) => FoilRunState::Near,
        Some(LimitState::Holds) | None if run.role == RunRole::Return => FoilRunState::Return,
        Some(LimitState::Holds) | None => FoilRunState::Plain,
    };
    FoilRun {
        number: run.run,
        from: run.start_m,
        sample_from: run.sample_start_m,
        to: run.end_m,
        bottle: usize::try_from(run.bottle.saturating_sub(1)).unwrap_or(0),
        state,
        lanes: None,
    }
}

fn bottles_of(roll: &Roll) -> Vec<BottleBand> {
    let mut bands: Vec<(u32, f64, f64)> = Vec::new();
    for run in &roll.runs {
        match bands.last_mut() {
            Some((bottle, _, to)) if *bottle == run.bottle => *to = run.end_m,
            _ => bands.push((run.bottle, run.start_m, run.end_m)),
        }
    }
    bands
        .into_iter()
        .map(|(bottle, from, to)| BottleBand {
            from,
            to,
            words: format!("bottle {bottle}"),
        })
        .collect()
}

fn bar_of(run: &RunOnRoll) -> Option<SetUpBar> {
    let set_up = run.set_up.as_ref()?;
    Some(SetUpBar {
        at: run.start_m,
        words: format!("{} min", format_typed(set_up.minutes)),
        is_bottle_change: set_up.is_strip_down,
    })
}

/// Each varied number as stretches of one value.
fn tracks_of(project: &Project, roll: &Roll) -> Vec<SettingTrack> {
    project
        .varied()
        .filter(|setting| setting.now.number().is_some())
        .map(|setting| {
            let mut steps: Vec<(f64, f64, f64, String)> = Vec::new();
            for place in &roll.runs {
                let value = project
                    .run(place.run)
                    .and_then(|run| run.setting(&setting.id))
                    .and_then(SettingValue::number);
                let Some(value) = value else { continue };
                match steps.last_mut() {
                    Some((_, to, known, _))
                        if (*known - value).abs() <= f64::EPSILON * value.abs() =>
                    {
                        *to = place.end_m;
                    }
                    _ => steps.push((place.start_m, place.end_m, value, format_typed(value))),
                }
            }
            SettingTrack {
                name: setting.label.to_lowercase(),
                unit: setting.unit.clone(),
                steps,
            }
        })
        .collect()
}

fn stores_of(project: &Project, roll: &Roll) -> Vec<StoreTrack> {
    let totals = &roll.totals;
    let mut stores = Vec::new();
    let mut store = |name: &str,
                     there: Option<f64>,
                     unit: &str,
                     used: &dyn Fn(&RunOnRoll) -> f64,
                     start: f64| {
        let Some(there) = there.filter(|there| *there > 0.0) else {
            return;
        };
        let mut left = vec![(0.0, 1.0 - start / there)];
        left.extend(
            roll.runs
                .iter()
                .map(|run| (run.end_m, 1.0 - used(run) / there)),
        );
        let last = roll.runs.last().map_or(there, |run| there - used(run));
        let words = if last >= 0.0 {
            format!("{} {unit} left", plain(last))
        } else {
            format!("{} {unit} short", plain(-last))
        };
        stores.push(StoreTrack {
            name: name.to_owned(),
            whole: format!("{} {unit}", plain(there)),
            left,
            words,
        });
    };
    store(
        "ink",
        totals.ink_in_hand_ml,
        "mL",
        &|run| run.ink_used_ml,
        0.0,
    );
    store(
        "foil",
        totals.foil_in_hand_m,
        "m",
        &|run| run.end_m,
        roll.leader_m,
    );
    store(
        "time",
        totals.hours_in_hand,
        "h",
        &|run| run.minutes_passed / 60.0,
        project.budget.start_minutes / 60.0,
    );
    stores
}

/// What the order costs in time and in honesty of the shuffle.
fn order_ui(ui: &mut Ui, view: &View<'_>, roll: &Roll) {
    section_head(
        ui,
        "The order and what it costs",
        "drag a run by its number, a set-up by its bar",
    );
    let minutes = roll.totals.hours.map(|hours| 60.0 * hours);
    if is_changed_by_hand(view.project) {
        let (shuffled_minutes, shuffled_stops) = as_shuffled(view.project);
        let saved = shuffled_minutes
            .zip(minutes)
            .map(|(shuffled, now)| shuffled - now);
        let saved = match saved {
            Some(saved) if saved > 0.5 => format!(" It saves {} min.", plain(saved)),
            Some(saved) if saved < -0.5 => format!(" It takes {} min more.", plain(-saved)),
            Some(_) | None => String::new(),
        };
        quiet_text(
            ui,
            &format!(
                "The order was changed by hand; as shuffled it had {shuffled_stops} stops.{saved} Whatever drifts along the \
             roll can now look like an effect of a setting; return runs show it."
            ),
        );
    }
    let hard: Vec<String> = view
        .project
        .varied()
        .filter(|setting| setting.effort.class != crate::campaign::project::EffortClass::OnTheFly)
        .map(|setting| setting.label.to_lowercase())
        .collect();
    if !hard.is_empty() {
        quiet_text(
            ui,
            &format!(
                "{} stay the same within a set-up: they are judged from {} set-ups, not from {} runs.",
                hard.join(", "),
                n_stops(roll) + 1,
                roll.runs.len()
            ),
        );
    }
    quiet_text(
        ui,
        "Settling is at least the length stated in the budget, and three bead volumes if that is longer.",
    );
}
