//! The sentence of the Plan screen and the button that says what comes next.

use egui::{Align, Layout, Ui, vec2};

use super::Judged;
use super::offers::{Offers, named};
use crate::app::action::Screen;
use crate::app::view::{Request, View};
use crate::campaign::feasibility::RunJudgement;
use crate::campaign::project::Run;
use crate::campaign::sentence_case::capitalized;
use crate::theme::measure;
use crate::widgets::button::primary_button;
use crate::widgets::heading::sentence;

/// Room for the buttons: one, or one with two links.
const ONE_BUTTON: f32 = 200.0;
const ALL_OFFERS: f32 = 500.0;

/// Draws sentence, buttons and the open offer.
pub(super) fn ui(
    ui: &mut Ui,
    view: &View<'_>,
    judged: &Judged,
    offers: &mut Offers,
    requests: &mut Vec<Request>,
) {
    let stuck = judged.stuck(view);
    let (first, below) = words(view, judged, &stuck);
    if ui.available_width() < measure::NARROW {
        sentence(ui, &first, &below);
        ui.horizontal_wrapped(|ui| next_ui(ui, view, &stuck, offers, requests));
    } else {
        let room = if stuck.is_empty() {
            ONE_BUTTON
        } else {
            ALL_OFFERS
        };
        ui.horizontal_top(|ui| {
            let width = (ui.available_width() - room).max(160.0);
            ui.allocate_ui(vec2(width, 44.0), |ui| {
                ui.vertical(|ui| sentence(ui, &first, &below))
            });
            ui.with_layout(Layout::right_to_left(Align::TOP), |ui| {
                next_ui(ui, view, &stuck, offers, requests);
            });
        });
    }
    requests.extend(offers.open_ui(ui, view, &stuck));
    ui.add_space(4.0);
}

/// The button that says what comes next.
fn next_ui(
    ui: &mut Ui,
    view: &View<'_>,
    stuck: &[u32],
    offers: &mut Offers,
    requests: &mut Vec<Request>,
) {
    if view.project.varied().next().is_none() {
        if primary_button(ui, "Vary a setting first").clicked() {
            requests.push(Request::GoTo(Screen::Line));
        }
    } else if !stuck.is_empty() {
        offers.buttons_ui(ui, view, stuck);
    } else if !view.project.runs.is_empty() && primary_button(ui, "See the roll").clicked() {
        requests.push(Request::GoTo(Screen::Roll));
    }
}

fn words(view: &View<'_>, judged: &Judged, stuck: &[u32]) -> (String, String) {
    let runs = &view.project.runs;
    let n_runs = runs.len();
    if n_runs == 0 {
        let below =
            "Say what is wanted and what there is, then take a proposal: the runs appear then.";
        return ("No plan yet.".to_owned(), below.to_owned());
    }
    if !judged.is_fresh {
        let below = "What can run and what cannot is being worked out.";
        return (format!("Judging {n_runs} runs."), below.to_owned());
    }
    let spent = if runs.iter().any(Run::has_results) {
        "Runs with results stay as they are."
    } else {
        "Nothing is spent yet."
    };
    if !stuck.is_empty() {
        return (
            format!("{} of {n_runs} runs cannot run. {spent}", stuck.len()),
            broken_words(&judged.runs, stuck),
        );
    }
    let unknown = |judged: &&RunJudgement| judged.feasible().is_none();
    let n_unknown = judged.runs.iter().filter(unknown).count();
    if n_unknown > 0 {
        let why = judged.runs.iter().find_map(RunJudgement::why_unknown);
        return (
            format!("{n_unknown} of {n_runs} runs cannot be judged."),
            why.map(|why| capitalized(&why)).unwrap_or_default(),
        );
    }
    let beyond: Vec<&Run> = judged
        .runs
        .iter()
        .filter(|judged| judged.feasible() == Some(false))
        .filter_map(|judged| view.project.run(judged.run))
        .collect();
    if beyond.is_empty() {
        return (format!("All {n_runs} runs can run."), spent.to_owned());
    }
    (
        format!("{} of {n_runs} runs can run.", n_runs - beyond.len()),
        format!("{} {spent}", beyond_words(&beyond)),
    )
}

/// Which runs are to be made beyond a limit on purpose, and which were made beyond one.
fn beyond_words(beyond: &[&Run]) -> String {
    let numbers = |has_results: bool| -> Vec<u32> {
        let of_kind = beyond.iter().filter(|run| run.has_results() == has_results);
        of_kind.map(|run| run.number).collect()
    };
    let (kept, made) = (numbers(false), numbers(true));
    let verb =
        |runs: &[u32], one: &'static str, several| if runs.len() == 1 { one } else { several };
    let mut sentences = Vec::new();
    if !kept.is_empty() {
        let verb = verb(&kept, "breaks", "break");
        sentences.push(format!(
            "{} {verb} a limit on purpose.",
            capitalized(&named(&kept))
        ));
    }
    if !made.is_empty() {
        let verb = verb(&made, "was", "were");
        sentences.push(format!(
            "{} {verb} made beyond a limit.",
            capitalized(&named(&made))
        ));
    }
    sentences.join(" ")
}

/// What fails, once for each limit: "Dry at exit breaks in runs 2, 4."
fn broken_words(judged: &[RunJudgement], stuck: &[u32]) -> String {
    let mut by_limit: Vec<(&str, Vec<u32>)> = Vec::new();
    for run in judged.iter().filter(|judged| stuck.contains(&judged.run)) {
        let judgement = run.judgement.as_ref().ok();
        let Some(limit) = judgement.and_then(|judgement| judgement.binding()) else {
            continue;
        };
        let name = limit.id.label();
        match by_limit.iter_mut().find(|(known, _)| *known == name) {
            Some((_, runs)) => runs.push(run.run),
            None => by_limit.push((name, vec![run.run])),
        }
    }
    let words: Vec<String> = by_limit
        .into_iter()
        .map(|(name, runs)| format!("{} breaks in {}.", capitalized(name), named(&runs)))
        .collect();
    words.join(" ")
}
