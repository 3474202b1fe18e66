//! The quality over two settings, all others at the cross; what cannot run is hatched.

use crate::campaign::sentence_case::in_sentence;
use egui::{Id, Ui, vec2};

use crate::app::view::{Request, View};
use crate::campaign::analysis::QualityFit;
use crate::campaign::answer_figures::{setting_axis, wanted_end};
use crate::campaign::answers::{QualityMap, RunLook, axis_of, run_marks};
use crate::campaign::command::Command;
use crate::campaign::project::{Project, SettingEntry, SettingValue, Settings};
use crate::campaign::window_axes::readable;
use crate::campaign::window_map::WindowMap;
use crate::figure::axis::round_values;
use crate::figure::color_map::MapScale;
use crate::figure::run_marks::{RunMark, RunMarkKind};
use crate::number_text::format_short;
use crate::widgets::choice::dropdown;
use crate::widgets::heading::{inline_text, quiet_text};
use crate::widgets::plot::contour_map::{ContourMap, MapLevel};
use crate::widgets::plot::cross::CrossMove;
use crate::widgets::plot::scatter::empty_plot;

/// Grid points along each axis.
const GRID: usize = 41;
/// Most lines of equal value.
const LINES: usize = 7;

fn numbers(project: &Project) -> Vec<&SettingEntry> {
    project
        .varied()
        .filter(|setting| setting.now.number().is_some())
        .collect()
}

/// The two settings that matter most to the quality, or the first two.
fn default_axes(view: &View<'_>, fit: &QualityFit) -> Option<(String, String)> {
    let all = numbers(view.project);
    let speed = all
        .iter()
        .find(|setting| setting.role == crate::campaign::project::Role::Speed);
    let mut by_size = fit
        .effects(view.shown)
        .into_iter()
        .map(|effect| effect.setting);
    let first = by_size.find(|id| all.iter().any(|setting| setting.id == *id))?;
    let second = by_size.find(|id| *id != first && all.iter().any(|setting| setting.id == *id))?;
    match speed {
        Some(speed) if speed.id != first => Some((speed.id.clone(), first)),
        Some(_) | None => Some((first, second)),
    }
}

/// Draws the map and the choice of its axes.
pub(super) fn ui(
    ui: &mut Ui,
    view: &mut View<'_>,
    fit: &QualityFit,
    axes: &mut Option<(String, String)>,
    requests: &mut Vec<Request>,
) {
    let Some((x_id, y_id)) = axes.clone().or_else(|| default_axes(view, fit)) else {
        quiet_text(ui, "A map needs two varied settings that are numbers.");
        return;
    };
    let Some((x, y)) = axis_of(view.project, &x_id, GRID).zip(axis_of(view.project, &y_id, GRID))
    else {
        *axes = None;
        return;
    };
    let held = view.shown.clone();
    let ctx = ui.ctx().clone();
    let size = vec2(
        ui.available_width(),
        (ui.available_height() - 34.0).max(200.0),
    );
    let window = view
        .derived
        .answer_window(&held, (&x, &y), &ctx)
        .any()
        .and_then(Option::as_ref);
    let window = window
        .filter(|window| window.x == x && window.y == y)
        .cloned();
    let map = view
        .derived
        .map(&fit.quality.id, &held, (&x, &y), &ctx)
        .any()
        .and_then(Option::as_ref);
    let map = map
        .filter(|map| map.x == x && map.y == y && map.quality == fit.quality.id)
        .cloned();
    match map {
        Some(map) => {
            let moved = map_ui(ui, size, view, fit, (&map, window.as_ref()), requests);
            requests.extend(moved.map(|moved| cross_request(&x_id, &y_id, moved)));
        }
        None => empty_plot(ui, size, "The map is being computed."),
    }
    axes_ui(ui, view.project, (&x_id, &y_id), axes);
}

fn map_ui(
    ui: &mut Ui,
    size: egui::Vec2,
    view: &View<'_>,
    fit: &QualityFit,
    (map, window): (&QualityMap, Option<&WindowMap>),
    requests: &mut Vec<Request>,
) -> Option<CrossMove> {
    let (low, high) = map.values.range()?;
    let scale = MapScale {
        low,
        high,
        is_log: map.is_log && low > 0.0,
        wanted: wanted_end(fit.quality.goal),
    };
    let levels = levels_of(fit, &scale);
    let marks = marks_of(view, &map.x.id, &map.y.id);
    let (x_axis, y_axis) = (
        setting_axis(view.project, &map.x),
        setting_axis(view.project, &map.y),
    );
    let at = |id: &str| view.shown.get(id).and_then(SettingValue::number);
    let output = ContourMap {
        name: &format!("map of {}", in_sentence(&fit.quality.label)),
        x: &x_axis,
        y: &y_axis,
        values: &map.values,
        margin: window.map(|window| &window.worst),
        goals: None,
        revision: revision_of(map, window),
        scale,
        unit: &fit.quality.unit,
        levels: &levels,
        notes: &[],
        cross: at(&map.x.id)
            .zip(at(&map.y.id))
            .map(|(across, up)| [across, up]),
        runs: &marks,
        selected: view.selection.run,
    }
    .show(ui, size);
    if let Some(run) = output.picked {
        requests.push(Request::SelectRun(Some(run)));
    }
    output.moved
}

/// Lines at round values, and heavy ones where the goal ends.
fn levels_of(fit: &QualityFit, scale: &MapScale) -> Vec<MapLevel> {
    let goal_ends: Vec<f64> = fit
        .quality
        .goal
        .interval()
        .map(|(low, high)| {
            [low, high]
                .into_iter()
                .filter(|end| scale.low < *end && *end < scale.high)
                .collect()
        })
        .unwrap_or_default();
    let is_goal = |value: f64| {
        goal_ends
            .iter()
            .any(|end| (end - value).abs() <= 1e-9 * value.abs().max(1.0))
    };
    let mut values = round_values(scale.low, scale.high, LINES, scale.is_log);
    values.retain(|value| !is_goal(*value));
    values.extend(&goal_ends);
    values
        .into_iter()
        .map(|value| MapLevel {
            value,
            label: format_short(value),
            is_goal: is_goal(value),
        })
        .collect()
}

fn marks_of(view: &View<'_>, x: &str, y: &str) -> Vec<RunMark> {
    run_marks(view.project, view.shown, x, y, &|_| false)
        .into_iter()
        .map(|mark| RunMark {
            at: [mark.x, mark.y],
            number: mark.run,
            kind: match mark.look {
                RunLook::Plain => RunMarkKind::Sound,
                RunLook::Return => RunMarkKind::Return,
                RunLook::Faulty => RunMarkKind::Faulty,
            },
            note: String::new(),
        })
        .collect()
}

/// A number that changes with what is drawn, so that the picture is kept between frames.
fn revision_of(map: &QualityMap, window: Option<&WindowMap>) -> u64 {
    let values = map
        .values
        .values
        .iter()
        .chain(window.iter().flat_map(|window| &window.worst.values));
    values.fold(0xcbf2_9ce4_8422_2325, |hash, value| {
        (hash ^ value.to_bits()).wrapping_mul(0x0100_0000_01b3)
    })
}

fn axes_ui(
    ui: &mut Ui,
    project: &Project,
    (x, y): (&str, &str),
    axes: &mut Option<(String, String)>,
) {
    let all = numbers(project);
    let labels: Vec<String> = all.iter().map(|setting| setting.label.clone()).collect();
    ui.horizontal(|ui| {
        let pick = |ui: &mut Ui, words: &str, present: &str| {
            inline_text(ui, words);
            let chosen = all.iter().position(|setting| setting.id == present);
            let id = Id::unique(("answers axis", words));
            let picked = dropdown(
                ui,
                id,
                &format!("setting {words}"),
                &labels,
                (chosen, 150.0),
            );
            picked
                .and_then(|picked| all.get(picked))
                .map(|setting| setting.id.clone())
        };
        let across = pick(ui, "across", x);
        let up = pick(ui, "up", y);
        if across.is_some() || up.is_some() {
            let (mut new_x, mut new_y) = (
                across.unwrap_or_else(|| x.to_owned()),
                up.unwrap_or_else(|| y.to_owned()),
            );
            if new_x == new_y {
                if new_x == x {
                    y.clone_into(&mut new_x);
                } else {
                    x.clone_into(&mut new_y);
                }
            }
            *axes = Some((new_x, new_y));
        }
    });
}

fn cross_request(x: &str, y: &str, moved: CrossMove) -> Request {
    let [across, up] = moved.to;
    let place = |value: f64| SettingValue::Number(readable(value));
    let settings = Settings::from([(x.to_owned(), place(across)), (y.to_owned(), place(up))]);
    if moved.is_done {
        Request::DropCross(Command::MoveCross(settings))
    } else {
        Request::DragCross(Some(settings))
    }
}
