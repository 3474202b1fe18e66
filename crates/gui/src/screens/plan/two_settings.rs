//! The plan over two settings, with what cannot run hatched at the values of the shown run.

use egui::{Ui, vec2};

use crate::app::view::{Request, View};
use crate::campaign::answers::{RunLook, axis_of, run_marks};
use crate::campaign::feasibility::RunJudgement;
use crate::campaign::project::{Project, SettingEntry};
use crate::figure::axis::Axis;
use crate::figure::run_marks::{RunMark, RunMarkKind};
use crate::widgets::choice::dropdown;
use crate::widgets::heading::{inline_text, section_head};
use crate::widgets::plot::window_chart::{CurveKind, WindowChart, WindowCurve};

/// Grid points along each axis.
const GRID: usize = 41;

fn numbers(project: &Project) -> Vec<&SettingEntry> {
    project
        .varied()
        .filter(|setting| setting.now.number().is_some())
        .collect()
}

/// Draws the chart and the choice of its axes.
pub(super) fn ui(
    ui: &mut Ui,
    view: &mut View<'_>,
    judged: &[RunJudgement],
    axes: &mut Option<(String, String)>,
    requests: &mut Vec<Request>,
) {
    let project = view.project;
    let all = numbers(project);
    let default = || Some((all.first()?.id.clone(), all.get(1)?.id.clone()));
    let Some((x_id, y_id)) = axes.clone().or_else(default) else {
        return;
    };
    section_head(ui, "The runs over two settings", "");
    let Some((x, y)) = axis_of(project, &x_id, GRID).zip(axis_of(project, &y_id, GRID)) else {
        *axes = None;
        return;
    };
    let held = view.shown.clone();
    let ctx = ui.ctx().clone();
    let map = view
        .derived
        .answer_window(&held, (&x, &y), &ctx)
        .any()
        .and_then(Option::as_ref);
    let map = map.filter(|map| map.x == x && map.y == y).cloned();
    let cannot = |run: u32| {
        judged
            .iter()
            .any(|judged| judged.run == run && judged.feasible() == Some(false))
    };
    let marks: Vec<RunMark> = run_marks(project, &held, &x_id, &y_id, &cannot)
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
        .collect();
    let can_run = |[across, up]: [f64; 2]| {
        map.as_ref()
            .is_none_or(|map| map.feasible(across, up) != Some(false))
    };
    let curves: Vec<WindowCurve> = map
        .iter()
        .flat_map(|map| &map.curves)
        .filter(|curve| curve.is_edge)
        .map(|curve| WindowCurve {
            pieces: curve.pieces.clone(),
            kind: CurveKind::Edge,
            name: curve.limit.label().to_lowercase(),
        })
        .collect();
    let axis = |axis: &crate::campaign::window_map::MapAxis| {
        let setting = project.setting(&axis.id);
        let title = setting
            .map(|setting| setting.label.to_lowercase())
            .unwrap_or_default();
        let unit = setting
            .map(|setting| setting.unit.clone())
            .unwrap_or_default();
        Axis::linear(title, unit, axis.low, axis.high)
    };
    let (x_axis, y_axis) = (axis(&x), axis(&y));
    let chart = WindowChart {
        name: "plan over two settings",
        x: &x_axis,
        y: &y_axis,
        can_run: &can_run,
        curves: &curves,
        notes: &[],
        range: None,
        cross: None,
        runs: &marks,
        selected: view.selection.run,
    };
    let height = (ui.available_height() - 34.0).clamp(180.0, 300.0);
    let output = chart.show(ui, vec2(ui.available_width(), height));
    if let Some(run) = output.picked {
        requests.push(Request::SelectRun(Some(run)));
    }
    axes_ui(ui, &all, (&x_id, &y_id), axes);
}

fn axes_ui(
    ui: &mut Ui,
    all: &[&SettingEntry],
    (x, y): (&str, &str),
    axes: &mut Option<(String, String)>,
) {
    let labels: Vec<String> = all.iter().map(|setting| setting.label.clone()).collect();
    let width = ((ui.available_width() - 120.0) / 2.0).clamp(80.0, 150.0);
    ui.horizontal(|ui| {
        let pick = |ui: &mut Ui, words: &str, present: &str| {
            inline_text(ui, words);
            let chosen = all.iter().position(|setting| setting.id == present);
            let id = egui::Id::unique(("plan axis", words));
            let picked = dropdown(
                ui,
                id,
                &format!("setting {words}"),
                &labels,
                (chosen, width),
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
