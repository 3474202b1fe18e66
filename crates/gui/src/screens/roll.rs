//! The Roll screen: the foil to scale in metres, what is left of ink, foil and time, and the run order.

use egui::{Align, Id, Layout, Rect, ScrollArea, Sense, Ui, pos2, vec2};

use crate::app::action::{Action, Screen};
use crate::app::background::{Available, Background};
use crate::app::derived::Stamps;
use crate::app::spine_view::state_of;
use crate::app::view::{Request, View};
use crate::campaign::answers::plain;
use crate::campaign::command::Command;
use crate::campaign::data_map::{DataMap, data_map, mapped_qualities};
use crate::campaign::fitting::longest_sample_that_fits;
use crate::campaign::project::{Project, RunRole, SettingValue};
use crate::campaign::roll::{Roll, RunOnRoll, Totals, hours_words};
use crate::campaign::run_order::{
    FullShuffle, as_shuffled, drift_correlations, full_shuffle, is_changed_by_hand, move_run,
    move_set_up, n_stops,
};
use crate::campaign::sentence_case::{capitalized, in_sentence};
use crate::campaign::telling_first::{TellingFirst, telling_first};
use crate::number_text::format_typed;
use crate::theme::map_color;
use crate::widgets::button::{link, primary_button};
use crate::widgets::choice::dropdown;
use crate::widgets::foil_strip::{
    BottleBand, FoilEvent, FoilRun, FoilRunState, FoilStrip, SetUpBar, SettingTrack, StoreTrack,
    foil_strip,
};
use crate::widgets::heading::{body_text, inline_text, quiet_text, section_head, sentence};
use crate::widgets::margin_bar::LimitState;

/// Width kept free beside what scrolls, for its bar.
const BESIDE_SCROLL_BAR: f32 = 10.0;

/// Strongest correlation with the place along the roll that is not spoken of (common practice).
const WEAK_DRIFT: f64 = 0.3;

/// What the order costs, worked out beside the screen.
#[derive(Debug)]
struct OrderFacts {
    full_shuffle: Option<FullShuffle>,
    drifts: Vec<(String, f64)>,
    telling_first: Option<TellingFirst>,
}

/// Drafts of the Roll screen.
#[derive(Debug)]
pub struct RollScreen {
    /// The advice for a project that does not fit, with the stamps it was computed for.
    advice: Option<(Stamps, Option<f64>)>,
    order: Background<Stamps, OrderFacts>,
    /// Id of the quality that colors the strip; `None` shows the plan.
    colored_by: Option<String>,
}

impl Default for RollScreen {
    fn default() -> Self {
        Self {
            advice: None,
            order: Background::new("what the order costs"),
            colored_by: None,
        }
    }
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
            let map = self.map_ui(ui, view.project);
            let strip = strip_of(view, &roll, map.as_ref());
            for event in foil_strip(ui, Id::unique("roll strip"), &strip) {
                requests.extend(request_of(event, view.project, &roll));
            }
            ui.add_space(8.0);
            order_ui(ui, view, &roll);
            requests.extend(self.order_facts_ui(ui, view, &roll));
        });
        requests
    }

    /// The choice of the quality that colors the strip, with its scale; the readings along the roll.
    fn map_ui(&mut self, ui: &mut Ui, project: &Project) -> Option<DataMap> {
        let qualities = mapped_qualities(project);
        if qualities.is_empty() {
            return None;
        }
        let mut map = None;
        ui.horizontal(|ui| {
            inline_text(ui, "The strip shows");
            let mut words = vec!["the plan".to_owned()];
            words.extend(qualities.iter().map(|quality| in_sentence(&quality.label)));
            let chosen = self
                .colored_by
                .as_ref()
                .and_then(|id| qualities.iter().position(|quality| quality.id == *id));
            let present = chosen.map_or(0, |index| index + 1);
            let id = Id::unique("strip colored by");
            if let Some(picked) =
                dropdown(ui, id, "the strip shows", &words, (Some(present), 180.0))
            {
                self.colored_by = picked
                    .checked_sub(1)
                    .and_then(|index| qualities.get(index))
                    .map(|quality| quality.id.clone());
            }
            let quality = qualities
                .iter()
                .find(|quality| Some(&quality.id) == self.colored_by.as_ref());
            if let Some(quality) = quality {
                map = data_map(project, quality);
                if let Some(map) = &map {
                    scale_ui(ui, map, &quality.unit);
                    inline_text(ui, "lanes: left, centre, right; hatched: not read");
                }
            }
        });
        ui.add_space(4.0);
        map
    }

    /// How the order compares with a full shuffle, what it is confused with, and an order that tells more early.
    fn order_facts_ui(&mut self, ui: &mut Ui, view: &View<'_>, roll: &Roll) -> Option<Request> {
        let project = view.derived.snapshot()?;
        let stamps = view.derived.stamps();
        self.order.ask(stamps, ui.ctx(), move |_| OrderFacts {
            full_shuffle: full_shuffle(&project),
            drifts: drift_correlations(&project),
            telling_first: telling_first(&project),
        });
        self.order.poll();
        let Available::Fresh(facts) = self.order.get(&stamps) else {
            quiet_text(ui, "What the order costs is being worked out.");
            return None;
        };
        if let Some(words) = facts.full_shuffle.and_then(|all| shuffle_words(&all, roll)) {
            quiet_text(ui, &words);
        }
        let drifts: Vec<String> = facts
            .drifts
            .iter()
            .filter(|(_, r)| r.abs() >= WEAK_DRIFT)
            .map(|(id, r)| format!("{} (r = {})", label_of(view.project, id), signed(*r)))
            .collect();
        if drifts.is_empty() {
            quiet_text(
                ui,
                "No setting follows the place along the roll: a drift is told apart from all of them.",
            );
        } else {
            body_text(
                ui,
                &format!(
                    "A drift along the roll would look in part like an effect of {}.",
                    drifts.join(", ")
                ),
            );
        }
        let first = facts.telling_first.as_ref()?;
        telling_first_ui(ui, first)
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

/// The scale of the colors with its ends.
fn scale_ui(ui: &mut Ui, map: &DataMap, unit: &str) {
    let size = vec2(96.0, 12.0);
    inline_text(ui, &plain(map.scale.low));
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let steps = 48;
    for step in 0..steps {
        let share = f64::from(step) / f64::from(steps - 1);
        let value = if map.scale.is_log {
            map.scale.low * (map.scale.high / map.scale.low).powf(share)
        } else {
            map.scale.low + share * (map.scale.high - map.scale.low)
        };
        let Some(position) = map.scale.position(value) else {
            continue;
        };
        let width = rect.width() / steps as f32;
        let left = rect.left() + width * step as f32;
        let part = Rect::from_min_size(pos2(left, rect.top()), vec2(width + 0.5, rect.height()));
        ui.painter().rect_filled(part, 0, map_color(position));
    }
    inline_text(ui, format!("{} {unit}", plain(map.scale.high)).trim_end());
    ui.add_space(8.0);
}

/// "A full shuffle would stop 14 times (now 6) and take 48 min more."
fn shuffle_words(all: &FullShuffle, roll: &Roll) -> Option<String> {
    let now = n_stops(roll);
    if all.n_stops < now as f64 + 0.5 {
        return None;
    }
    let minutes = all
        .minutes
        .zip(roll.totals.hours)
        .map(|(all, hours)| all - 60.0 * hours)
        .filter(|more| *more > 0.5)
        .map(|more| format!(" and take {} more", hours_words(more / 60.0)))
        .unwrap_or_default();
    Some(format!(
        "A full shuffle would stop {:.0} times (now {now}){minutes}; it is the most honest order, and return runs stand in for it.",
        all.n_stops
    ))
}

fn label_of(project: &Project, id: &str) -> String {
    project
        .setting(id)
        .map_or_else(|| id.to_owned(), |setting| in_sentence(&setting.label))
}

/// A correlation with its sign: "+0.41", "−0.41".
fn signed(r: f64) -> String {
    let sign = if r < 0.0 { "\u{2212}" } else { "+" };
    format!("{sign}{:.2}", r.abs())
}

/// The offer of an order whose first runs tell most.
fn telling_first_ui(ui: &mut Ui, first: &TellingFirst) -> Option<Request> {
    let cost = match first.minutes_more {
        Some(more) if more > 0.5 => format!(", {more:.0} min more"),
        Some(more) if more < -0.5 => format!(", {:.0} min less", -more),
        Some(_) | None => String::new(),
    };
    ui.add_space(4.0);
    let is_pressed = link(ui, &format!("Put the most telling runs first{cost}")).clicked();
    let enough = first.n_until_each_setting.map_or_else(String::new, |n| {
        format!(" After {n} runs each setting by itself can be told.")
    });
    quiet_text(
        ui,
        &format!("For a day that may end early.{enough} The order is then no longer shuffled."),
    );
    is_pressed.then(|| Request::Edit(first.command.clone()))
}

fn request_of(event: FoilEvent, project: &Project, roll: &Roll) -> Option<Request> {
    match event {
        FoilEvent::Pick { run } => Some(Request::SelectRun(Some(run))),
        FoilEvent::MoveRun { from, to } => move_run(project, from, to).map(Request::Edit),
        FoilEvent::MoveSetUp { from, to } => move_set_up(roll, from, to).map(Request::Edit),
    }
}

fn strip_of(view: &View<'_>, roll: &Roll, map: Option<&DataMap>) -> FoilStrip {
    let project = view.project;
    FoilStrip {
        metres: roll
            .totals
            .foil_in_hand_m
            .unwrap_or(roll.totals.foil_m)
            .max(roll.totals.foil_m),
        leader: roll.leader_m,
        runs: roll.runs.iter().map(|run| run_of(view, run, map)).collect(),
        bottles: bottles_of(roll),
        set_ups: roll.runs.iter().filter_map(bar_of).collect(),
        settings: tracks_of(project, roll),
        stores: stores_of(project, roll),
        selected: view.selection.run,
    }
}

fn run_of(view: &View<'_>, run: &RunOnRoll, map: Option<&DataMap>) -> FoilRun {
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
        lanes: map.map(|map| map.positions(run.run).unwrap_or([None; 3])),
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
                name: in_sentence(&setting.label),
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
        .map(|setting| in_sentence(&setting.label))
        .collect();
    if !hard.is_empty() {
        quiet_text(
            ui,
            &format!(
                "{} stay the same within a set-up: they are judged from {} set-ups, not from {} runs.",
                capitalized(&hard.join(", ")),
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
