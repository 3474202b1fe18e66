//! The quality along each setting through the cross, with its band.

use crate::campaign::sentence_case::in_sentence;
use egui::{Rect, Sense, Ui, pos2, vec2};

use crate::app::view::{Request, View};
use crate::campaign::analysis::QualityFit;
use crate::campaign::answer_figures::{shared_range, wanted_end};
use crate::campaign::answers::{QualityCurve, quality_curve};
use crate::campaign::command::Command;
use crate::campaign::project::{Goal, SettingValue, Settings};
use crate::campaign::window_axes::readable;
use crate::figure::axis::Axis;
use crate::number_text::format_typed;
use crate::widgets::columns::columns_that_fit;
use crate::widgets::plot::curve_strip::{
    CurveStrip, STRIP_ABOVE, STRIP_BELOW, STRIP_HEIGHT, StripMove,
};

/// Points along a curve.
const POINTS: usize = 41;
/// Room for the numbers of the quality, left of the first strip.
const NUMBERS: f32 = 44.0;
/// Narrowest strip.
const NARROWEST: f32 = 90.0;

/// Draws the strips across the width, in as many rows as they need.
pub(super) fn ui(ui: &mut Ui, view: &View<'_>, fit: &QualityFit, requests: &mut Vec<Request>) {
    let curves: Vec<QualityCurve> = fit
        .space
        .factors()
        .iter()
        .filter(|factor| !factor.is_categorical())
        .filter_map(|factor| quality_curve(fit, view.shown, factor.name(), POINTS))
        .collect();
    let Some((low, high)) = shared_range(&curves, fit.quality.goal) else {
        return;
    };
    let y = Axis::linear(
        in_sentence(&fit.quality.label),
        fit.quality.unit.clone(),
        low,
        high,
    );
    let width = ui.available_width();
    let n_a_row = columns_that_fit(width - NUMBERS, NARROWEST + 20.0, curves.len());
    for row in curves.chunks(n_a_row) {
        let height = STRIP_ABOVE + STRIP_HEIGHT + STRIP_BELOW;
        let (rect, _) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
        let pitch = (width - NUMBERS) / n_a_row as f32;
        for (index, curve) in row.iter().enumerate() {
            let left = rect.left() + NUMBERS + pitch * index as f32;
            let field = Rect::from_min_size(
                pos2(left, rect.top() + STRIP_ABOVE),
                vec2(pitch - 20.0, STRIP_HEIGHT),
            );
            if let Some(moved) = strip_ui(ui, field, view, fit, (curve, &y), index == 0) {
                requests.push(request_of(&curve.setting, moved));
            }
        }
    }
}

fn strip_ui(
    ui: &Ui,
    field: Rect,
    view: &View<'_>,
    fit: &QualityFit,
    (curve, y): (&QualityCurve, &Axis),
    shows_numbers: bool,
) -> Option<StripMove> {
    let setting = view.project.setting(&curve.setting)?;
    let (low, high) = (*curve.xs.first()?, *curve.xs.last()?);
    let x = Axis::linear(setting.label.clone(), setting.unit.clone(), low, high);
    let places: Vec<[f64; 2]> = curve
        .xs
        .iter()
        .zip(&curve.values)
        .filter_map(|(x, value)| Some([*x, (*value)?]))
        .collect();
    let band: Vec<[f64; 3]> = curve
        .xs
        .iter()
        .zip(curve.lows.iter().zip(&curve.highs))
        .filter_map(|(x, (low, high))| Some([*x, (*low)?, (*high)?]))
        .collect();
    let goal = match fit.quality.goal {
        Goal::AtMost(bound) | Goal::AtLeast(bound) => Some((bound, wanted_end(fit.quality.goal))),
        Goal::Watch | Goal::Between { .. } | Goal::Target { .. } | Goal::High | Goal::Low => None,
    };
    let ends = (format_typed(low), format_typed(high));
    CurveStrip {
        name: &setting.label,
        unit: &setting.unit,
        x: &x,
        y,
        curve: &places,
        band: &band,
        goal,
        at: view
            .shown
            .get(&curve.setting)
            .and_then(SettingValue::number)?,
        ends: (&ends.0, &ends.1),
        shows_numbers,
    }
    .show_at(ui, field)
}

fn request_of(setting: &str, moved: StripMove) -> Request {
    let settings = Settings::from([(setting.to_owned(), SettingValue::Number(readable(moved.to)))]);
    if moved.is_done {
        Request::DropCross(Command::MoveCross(settings))
    } else {
        Request::DragCross(Some(settings))
    }
}
