//! The coating window in the middle: what can run over two settings, with the cross at the present values.

use crate::campaign::sentence_case::in_sentence;
use egui::{Id, Ui, vec2};

use super::LineScreen;
use crate::app::background::Available;
use crate::app::derived::window_key;
use crate::app::view::{Request, View};
use crate::campaign::chance::chance_words;
use crate::campaign::command::Command;
use crate::campaign::project::{Project, SettingValue, Settings, Variation};
use crate::campaign::window_axes::{default_axes, numeric_settings, window_axis};
use crate::campaign::window_chances::{ChanceMap, window_chances};
use crate::campaign::window_map::{MapAxis, WindowMap};
use crate::figure::axis::Axis;
use crate::widgets::button::link;
use crate::widgets::choice::dropdown;
use crate::widgets::heading::{body_text, inline_text, quiet_text, section_head};
use crate::widgets::plot::cross::CrossMove;
use crate::widgets::plot::window_chart::{CurveKind, RangeBox, WindowChart, WindowCurve};

/// Grid points along each axis: every boundary point is refined afterwards, so that the grid only has to find it.
const GRID: usize = 49;
/// Grid points of the shade along each axis; chances change smoothly.
const SHADE_GRID: usize = 29;
/// Least height of the chart.
const LEAST_HEIGHT: f32 = 220.0;

impl LineScreen {
    /// Draws the chart with its axes and their choice.
    pub(super) fn window_ui(
        &mut self,
        ui: &mut Ui,
        view: &mut View<'_>,
        requests: &mut Vec<Request>,
    ) {
        let project = view.project;
        let Some((x_id, y_id)) = self.axes.clone().or_else(|| default_axes(project)) else {
            section_head(ui, "Window", "");
            body_text(
                ui,
                "Two settings that are numbers make a window. Speed and wet thickness are a good start.",
            );
            return;
        };
        let axes = window_axis(project, &x_id, GRID).zip(window_axis(project, &y_id, GRID));
        let Some((x, y)) = axes else {
            self.axes = None;
            return;
        };
        section_head(ui, &window_title(project, view.shown, &x.id, &y.id), "");
        if self.is_choosing_axes {
            self.axes_ui(ui, project, (&x_id, &y_id));
        }
        let size = vec2(
            ui.available_width(),
            (ui.available_height() - 26.0).max(LEAST_HEIGHT),
        );
        let ctx = ui.ctx().clone();
        let held = view.shown.clone();
        let is_stale;
        let map = {
            let available = view.derived.window(&held, (&x, &y), &ctx);
            is_stale = !matches!(available, Available::Fresh(_));
            available
                .any()
                .and_then(Option::as_ref)
                .filter(|map| map.x.id == x.id && map.y.id == y.id)
                .cloned()
        };
        let shade = self.shade_of(ui, view, &held, (&x, &y));
        let moved = chart_ui(
            ui,
            size,
            project,
            &held,
            (&x, &y),
            (map.as_ref(), shade.as_ref()),
        );
        requests.extend(moved.map(|moved| cross_request(&x.id, &y.id, moved)));
        ui.horizontal(|ui| {
            if link(ui, "Change axes…").clicked() {
                self.is_choosing_axes = !self.is_choosing_axes;
            }
            let words = if self.is_shade_hidden {
                "Show chances"
            } else {
                "Hide chances"
            };
            if link(ui, words).clicked() {
                self.is_shade_hidden = !self.is_shade_hidden;
            }
            quiet_text(ui, below_chart(is_stale, shade.as_ref()));
        });
    }

    /// The chances over the axes, from the background; those of a moment ago are not shown.
    fn shade_of(
        &mut self,
        ui: &Ui,
        view: &View<'_>,
        held: &Settings,
        (x, y): (&MapAxis, &MapAxis),
    ) -> Option<ChanceMap> {
        if self.is_shade_hidden {
            return None;
        }
        let coarse = |axis: &MapAxis| MapAxis {
            n: SHADE_GRID,
            ..axis.clone()
        };
        let key = window_key(view.derived.stamps(), held, (&coarse(x), &coarse(y)));
        if let Some(project) = view.derived.snapshot() {
            let work = key.clone();
            self.shade.ask(key.clone(), ui.ctx(), move |watch| {
                let stop = || watch.is_stopped();
                window_chances(&project, &work.held, (&work.x, &work.y), &stop).ok()
            });
        }
        self.shade.poll();
        match self.shade.get(&key) {
            Available::Fresh(shade) => shade.clone(),
            Available::Stale(_) | Available::Nothing => None,
        }
    }

    fn axes_ui(&mut self, ui: &mut Ui, project: &Project, (x, y): (&str, &str)) {
        let all = numeric_settings(project);
        let labels: Vec<String> = all.iter().map(|setting| setting.label.clone()).collect();
        ui.horizontal(|ui| {
            let axis = |ui: &mut Ui, words: &str, present: &str| {
                let chosen = all.iter().position(|setting| setting.id == present);
                let picked = dropdown(
                    ui,
                    Id::unique(("window axis", words)),
                    words,
                    &labels,
                    (chosen, 160.0),
                );
                picked
                    .and_then(|picked| all.get(picked))
                    .map(|setting| setting.id.clone())
            };
            inline_text(ui, "across");
            let across = axis(ui, "setting across", x);
            inline_text(ui, "up");
            let up = axis(ui, "setting up", y);
            if across.is_some() || up.is_some() {
                let (mut new_x, mut new_y) = (
                    across.unwrap_or_else(|| x.to_owned()),
                    up.unwrap_or_else(|| y.to_owned()),
                );
                if new_x == new_y {
                    // The same setting twice: the other axis takes the place that became free.
                    if new_x == x {
                        y.clone_into(&mut new_x);
                    } else {
                        x.clone_into(&mut new_y);
                    }
                }
                self.axes = Some((new_x, new_y));
            }
        });
    }
}

/// What stands below the chart.
fn below_chart(is_stale: bool, shade: Option<&ChanceMap>) -> &'static str {
    match (is_stale, shade) {
        (true, _) => "The window is being computed for these values.",
        (false, None) => "Drag the cross, or move it with the arrows.",
        (false, Some(shade)) if shade.counts_drying => "Deeper shade: less likely to work.",
        (false, Some(_)) => "Deeper shade: less likely; drying is left out.",
    }
}

/// "Window for this ink at gap 175 µm".
fn window_title(project: &Project, shown: &Settings, x: &str, y: &str) -> String {
    let at: Vec<String> = project
        .settings
        .iter()
        .filter(|setting| setting.id != x && setting.id != y)
        .filter(|setting| setting.role != crate::campaign::project::Role::Free)
        .filter_map(|setting| {
            let value = shown.get(&setting.id).unwrap_or(&setting.now);
            let number = value.measure()?;
            Some(format!(
                "{} {} {}",
                in_sentence(&setting.label),
                crate::campaign::answers::plain(number),
                setting.unit
            ))
        })
        .take(2)
        .collect();
    if at.is_empty() {
        "Window for this ink".to_owned()
    } else {
        format!("Window at {}", at.join(", "))
    }
}

fn axis_of(project: &Project, axis: &MapAxis) -> Axis {
    let setting = project.setting(&axis.id);
    let title = setting.map_or_else(|| axis.id.clone(), |setting| in_sentence(&setting.label));
    let unit = setting
        .map(|setting| setting.unit.clone())
        .unwrap_or_default();
    Axis::linear(title, unit, axis.low, axis.high)
}

fn chart_ui(
    ui: &mut Ui,
    size: egui::Vec2,
    project: &Project,
    shown: &Settings,
    (x, y): (&MapAxis, &MapAxis),
    (map, shade): (Option<&WindowMap>, Option<&ChanceMap>),
) -> Option<CrossMove> {
    let at = |axis: &MapAxis| shown.get(&axis.id).and_then(SettingValue::number);
    let can_run =
        |[across, up]: [f64; 2]| map.is_none_or(|map| map.feasible(across, up) != Some(false));
    let mut curves: Vec<WindowCurve> = map
        .map(|map| {
            map.curves
                .iter()
                .map(|curve| WindowCurve {
                    pieces: curve.pieces.clone(),
                    kind: if curve.is_edge {
                        CurveKind::Edge
                    } else {
                        CurveKind::Further
                    },
                    name: in_sentence(curve.limit.label()),
                })
                .collect()
        })
        .unwrap_or_default();
    curves.extend(shade.map(|shade| WindowCurve {
        pieces: shade.border.clone(),
        kind: CurveKind::Chance,
        name: format!("works with {}", chance_words(shade.least)),
    }));
    let chance_at = |[across, up]: [f64; 2]| shade?.chance.interpolate(across, up);
    let range = range_of(project, &x.id)
        .zip(range_of(project, &y.id))
        .map(|(across, up)| RangeBox {
            across,
            up,
            words: "range to be varied".to_owned(),
        });
    let (x_axis, y_axis) = (axis_of(project, x), axis_of(project, y));
    let chart = WindowChart {
        name: "coating window",
        x: &x_axis,
        y: &y_axis,
        can_run: &can_run,
        chance: shade
            .is_some()
            .then_some(&chance_at as &dyn Fn([f64; 2]) -> Option<f64>),
        curves: &curves,
        notes: &[],
        range: range.as_ref(),
        cross: at(x).zip(at(y)).map(|(across, up)| [across, up]),
        runs: &[],
        selected: None,
    };
    chart.show(ui, size).moved
}

fn range_of(project: &Project, id: &str) -> Option<(f64, f64)> {
    match &project.setting(id)?.variation {
        Variation::Range { low, high, .. } => Some((*low, *high)),
        Variation::Levels { levels } => levels.first().copied().zip(levels.last().copied()),
        Variation::Fixed | Variation::Categories { .. } => None,
    }
}

/// While it is dragged the cross only moves on the screen; where it is let go is one step.
fn cross_request(x: &str, y: &str, moved: CrossMove) -> Request {
    let [across, up] = moved.to;
    let place = |value: f64| SettingValue::Number(crate::campaign::window_axes::readable(value));
    let settings = Settings::from([(x.to_owned(), place(across)), (y.to_owned(), place(up))]);
    if moved.is_done {
        Request::DropCross(Command::MoveCross(settings))
    } else {
        Request::DragCross(Some(settings))
    }
}
