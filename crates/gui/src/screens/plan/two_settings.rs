//! The plan over two settings, with what cannot run hatched at the values of the shown run.

use egui::{Ui, vec2};

use super::Judged;
use crate::app::spine_view::state_of;
use crate::app::view::{Request, View};
use crate::campaign::answers::{RunLook, RunMark as PlacedMark, axis_of, run_marks};
use crate::campaign::project::{Project, SettingEntry, Settings};
use crate::campaign::sentence_case::in_sentence;
use crate::campaign::window_axes::default_axes;
use crate::campaign::window_map::{MapAxis, WindowMap};
use crate::figure::axis::Axis;
use crate::figure::run_marks::{RunMark, RunMarkKind};
use crate::widgets::choice::dropdown;
use crate::widgets::heading::{inline_text, quiet_text, section_head};
use crate::widgets::margin_bar::LimitState;
use crate::widgets::plot::window_chart::{CurveKind, WindowChart, WindowCurve};

/// Grid points along each axis.
const GRID: usize = 41;

fn numbers(project: &Project) -> Vec<&SettingEntry> {
    project
        .varied()
        .filter(|setting| setting.now.number().is_some())
        .collect()
}

/// The axes: those chosen, else speed and wet thickness, else the first two.
fn axes_of(project: &Project, chosen: Option<&(String, String)>) -> Option<(String, String)> {
    let all = numbers(project);
    let is_varied = |id: &str| all.iter().any(|setting| setting.id == id);
    let usable = |(x, y): &(String, String)| x != y && is_varied(x) && is_varied(y);
    let first_two = || Some((all.first()?.id.clone(), all.get(1)?.id.clone()));
    chosen
        .cloned()
        .filter(usable)
        .or_else(|| default_axes(project).filter(usable))
        .or_else(first_two)
}

/// Draws the chart and the choice of its axes.
pub(super) fn ui(
    ui: &mut Ui,
    view: &mut View<'_>,
    judged: &Judged,
    axes: &mut Option<(String, String)>,
    requests: &mut Vec<Request>,
) {
    let project = view.project;
    let Some((x_id, y_id)) = axes_of(project, axes.as_ref()) else {
        return;
    };
    let held = view.shown.clone();
    section_head(ui, "The runs over two settings", "");
    let Some((x, y)) = axis_of(project, &x_id, GRID).zip(axis_of(project, &y_id, GRID)) else {
        return;
    };
    let ctx = ui.ctx().clone();
    let map = view.derived.answer_window(&held, (&x, &y), &ctx);
    let map = map.any().and_then(Option::as_ref);
    let map = map.filter(|map| map.x == x && map.y == y).cloned();
    let marks = marks_of(view, judged, &held, (&x_id, &y_id));
    let can_run = |[across, up]: [f64; 2]| {
        map.as_ref()
            .is_none_or(|map| map.feasible(across, up) != Some(false))
    };
    let curves = map.as_ref().map(curves_of).unwrap_or_default();
    let (x_axis, y_axis) = (figure_axis(project, &x), figure_axis(project, &y));
    let chart = WindowChart {
        name: "plan over two settings",
        x: &x_axis,
        y: &y_axis,
        can_run: &can_run,
        chance: None,
        curves: &curves,
        notes: &[],
        range: None,
        cross: None,
        runs: &marks,
        selected: view.selection.run,
    };
    let height = (ui.available_height() - 56.0).clamp(170.0, 300.0);
    let output = chart.show(ui, vec2(ui.available_width(), height));
    if let Some(run) = output.picked {
        requests.push(Request::SelectRun(Some(run)));
    }
    quiet_text(ui, &held_words(project, &held, (&x_id, &y_id)));
    axes_ui(ui, &numbers(project), (&x_id, &y_id), axes);
}

/// Where the chart cuts: "Hatched at gap 250 µm, air temperature 70 °C."
fn held_words(project: &Project, held: &Settings, (x, y): (&str, &str)) -> String {
    let others: Vec<String> = project
        .varied()
        .filter(|setting| setting.id != x && setting.id != y)
        .filter_map(|setting| {
            let value = held.get(&setting.id)?;
            let words = format!("{} {value} {}", in_sentence(&setting.label), setting.unit);
            Some(words.trim_end().to_owned())
        })
        .collect();
    if others.is_empty() {
        String::new()
    } else {
        format!("Hatched at {}.", others.join(", "))
    }
}

fn figure_axis(project: &Project, axis: &MapAxis) -> Axis {
    let setting = project.setting(&axis.id);
    let title = setting.map(|setting| in_sentence(&setting.label));
    let unit = setting.map(|setting| setting.unit.clone());
    Axis::linear(
        title.unwrap_or_default(),
        unit.unwrap_or_default(),
        axis.low,
        axis.high,
    )
}

fn curves_of(map: &WindowMap) -> Vec<WindowCurve> {
    map.curves
        .iter()
        .filter(|curve| curve.is_edge)
        .map(|curve| WindowCurve {
            pieces: curve.pieces.clone(),
            kind: CurveKind::Edge,
            name: in_sentence(curve.limit.label()),
        })
        .collect()
}

/// One mark a place: the selected run, else one in the slice, else the first; the others are counted beside it.
fn marks_of(
    view: &View<'_>,
    judged: &Judged,
    held: &Settings,
    (x, y): (&str, &str),
) -> Vec<RunMark> {
    let state = |run: u32| {
        let judged = judged.runs.iter().find(|judged| judged.run == run)?;
        let judgement = judged.judgement.as_ref().ok()?;
        Some(state_of(judgement.margin()?, judgement.safety_margin))
    };
    let cannot = |run: u32| state(run) == Some(LimitState::Broken);
    let key = |mark: &PlacedMark| (mark.x.to_bits(), mark.y.to_bits());
    let all = run_marks(view.project, held, x, y, &cannot);
    let mut places: Vec<Vec<PlacedMark>> = Vec::new();
    for mark in all {
        let is_here = |place: &&mut Vec<PlacedMark>| {
            place.first().is_some_and(|first| key(first) == key(&mark))
        };
        match places.iter_mut().find(is_here) {
            Some(place) => place.push(mark),
            None => places.push(vec![mark]),
        }
    }
    places
        .into_iter()
        .filter_map(|place| {
            let n_more = place.len() - 1;
            let rank = |mark: &&PlacedMark| {
                (
                    Some(mark.run) != view.selection.run,
                    !mark.off_slice.is_empty(),
                )
            };
            let shown = place.iter().min_by_key(rank)?;
            let kind = match (shown.look, state(shown.run)) {
                (RunLook::Faulty, _) => RunMarkKind::Faulty,
                (RunLook::Return, _) => RunMarkKind::Return,
                (RunLook::Plain, Some(LimitState::Near)) => RunMarkKind::Near,
                (RunLook::Plain, _) => RunMarkKind::Sound,
            };
            Some(RunMark {
                at: [shown.x, shown.y],
                number: shown.run,
                kind,
                note: if n_more > 0 {
                    format!("+{n_more}")
                } else {
                    String::new()
                },
            })
        })
        .collect()
}

fn axes_ui(
    ui: &mut Ui,
    all: &[&SettingEntry],
    (x, y): (&str, &str),
    axes: &mut Option<(String, String)>,
) {
    let labels: Vec<String> = all.iter().map(|setting| setting.label.clone()).collect();
    let width = ((ui.available_width() - 104.0) / 2.0).clamp(64.0, 150.0);
    ui.horizontal(|ui| {
        let pick = |ui: &mut Ui, words: &str, present: &str| {
            inline_text(ui, words);
            let chosen = all.iter().position(|setting| setting.id == present);
            let id = egui::Id::unique(("plan axis", words));
            let name = format!("setting {words}");
            let picked = dropdown(ui, id, &name, &labels, (chosen, width));
            let setting = picked.and_then(|picked| all.get(picked));
            setting.map(|setting| setting.id.clone())
        };
        let across = pick(ui, "across", x);
        let up = pick(ui, "up", y);
        if across.is_some() || up.is_some() {
            *axes = Some(changed_axes((x, y), across, up));
        }
    });
}

/// The axes after a choice; choosing the other axis' setting swaps the two.
fn changed_axes(
    (x, y): (&str, &str),
    across: Option<String>,
    up: Option<String>,
) -> (String, String) {
    match (across, up) {
        (Some(across), _) if across == y => (across, x.to_owned()),
        (_, Some(up)) if up == x => (y.to_owned(), up),
        (across, up) => (
            across.unwrap_or_else(|| x.to_owned()),
            up.unwrap_or_else(|| y.to_owned()),
        ),
    }
}
