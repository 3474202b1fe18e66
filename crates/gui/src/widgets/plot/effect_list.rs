//! Effects as rows: an interval bar on one common scale, a verdict, one sentence with range and units.

use egui::{
    Align, CursorIcon, Painter, Rangef, Rect, Response, Sense, Stroke, Ui, WidgetInfo,
    accesskit::Role, pos2, vec2,
};

use super::field::points;
use crate::figure::axis::Axis;
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::button::focus_ring;
use crate::widgets::heading::{SECTION_HEAD_HEIGHT, paint_section_head};
use crate::widgets::lettering::Lettering;

/// How sure an effect is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Its interval is far from zero.
    Clear,
    /// Its interval touches zero on one side only.
    Likely,
    /// Its interval holds zero.
    CannotTell,
}

impl Verdict {
    /// The words on screen.
    pub fn label(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::Likely => "likely",
            Self::CannotTell => "cannot tell",
        }
    }
}

/// One effect.
#[derive(Debug, Clone, PartialEq)]
pub struct EffectLine {
    /// The setting, or the settings that act together.
    pub name: String,
    /// The estimate, on the scale of the bars.
    pub estimate: f64,
    /// Ends of its interval.
    pub interval: (f64, f64),
    /// How sure it is.
    pub verdict: Verdict,
    /// One sentence, e.g. "higher by 11 % (3 to 20) over 0.6 to 2.4 m/min".
    pub sentence: String,
}

/// Pitch of the rows.
const PITCH: f32 = 50.0;

/// A list of effects under one head; `scale` is the common axis of all bars. Returns the row that was pressed.
pub fn effect_list(
    ui: &mut Ui,
    head: (&str, &str),
    effects: &[EffectLine],
    scale: &Axis,
    selected: Option<usize>,
) -> Option<usize> {
    let width = ui.available_width();
    let (head_rect, response) =
        ui.allocate_exact_size(vec2(width, SECTION_HEAD_HEIGHT), Sense::hover());
    paint_section_head(ui, head_rect, head.0, head.1);
    response.widget_info(|| WidgetInfo::labeled(Role::Heading, true, head.0));
    let (body, _) = ui.allocate_exact_size(
        vec2(width, 14.0 + PITCH * effects.len() as f32),
        Sense::hover(),
    );
    let bar = bar_range(body);
    let palette = Palette::of(ui);
    paint_scale(ui.painter(), palette, scale, bar, body.top() + 15.0);
    let mut pressed = None;
    for (i, effect) in effects.iter().enumerate() {
        let top = body.top() + 14.0 + PITCH * i as f32;
        let rect = Rect::from_min_size(pos2(body.left(), top), vec2(width, PITCH));
        if row(ui, rect, (i, effect), (scale, bar), selected == Some(i)).clicked() {
            pressed = Some(i);
        }
        if i + 1 < effects.len() {
            let stroke = Stroke::new(measure::HAIR, palette.line);
            ui.painter()
                .hline(rect.x_range(), rect.bottom() - 2.5, stroke);
        }
    }
    pressed
}

/// The bars take about a third of the width.
fn bar_range(body: Rect) -> Rangef {
    Rangef::new(
        body.left() + 0.40 * body.width(),
        body.left() + 0.735 * body.width(),
    )
}

fn at(scale: &Axis, bar: Rangef, value: f64) -> Option<f32> {
    Some(bar.min + points(scale.fraction(value)?).clamp(0.0, 1.0) * bar.span())
}

fn paint_scale(painter: &Painter, palette: &Palette, scale: &Axis, bar: Rangef, base_line: f32) {
    for tick in scale.ticks(3) {
        let Some(x) = at(scale, bar, tick.value) else {
            continue;
        };
        Lettering::new(
            &tick.label,
            theme::regular(text_size::UNIT_CLOSE),
            palette.ink2,
        )
        .write(painter, pos2(x, base_line), Align::Center);
    }
}

/// One effect with its place in the list; a category has a line for each of its levels, all of one name.
fn row(
    ui: &Ui,
    rect: Rect,
    (index, effect): (usize, &EffectLine),
    scale: (&Axis, Rangef),
    is_selected: bool,
) -> Response {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let response = ui.interact(rect, ui.scope_id().with(("effect", index)), Sense::click());
    let is_enabled = ui.is_enabled();
    let words = format!(
        "{}: {}, {}",
        effect.name,
        effect.verdict.label(),
        effect.sentence
    );
    response
        .widget_info(|| WidgetInfo::selected(Role::ListBoxOption, is_enabled, is_selected, &words));
    if is_selected {
        painter.rect_filled(rect.expand2(vec2(8.0, -2.0)), 0, palette.selected);
    }
    let (scale, bar) = scale;
    let name_base = rect.top() + 20.0;
    let is_sure = effect.verdict != Verdict::CannotTell;
    let name_color = if is_sure { palette.ink } else { palette.ink2 };
    Lettering::new(&effect.name, theme::bold(text_size::CELL), name_color).write_within(
        painter,
        pos2(rect.left(), name_base),
        Align::LEFT,
        bar.min - rect.left() - 8.0,
    );
    let (verdict_font, verdict_color) = match effect.verdict {
        Verdict::Clear => (theme::bold(text_size::CELL), palette.ink),
        Verdict::Likely => (theme::regular(text_size::CELL), palette.ink),
        Verdict::CannotTell => (theme::regular(text_size::CELL), palette.ink2),
    };
    Lettering::new(effect.verdict.label(), verdict_font, verdict_color).write(
        painter,
        pos2(rect.right(), name_base),
        Align::RIGHT,
    );
    Lettering::new(
        &effect.sentence,
        theme::regular(text_size::CELL),
        palette.ink2,
    )
    .write_within(
        painter,
        pos2(rect.left(), rect.top() + 38.0),
        Align::LEFT,
        rect.width(),
    );
    let color = if is_sure {
        palette.accent
    } else {
        palette.ink3
    };
    paint_interval(
        painter,
        palette,
        (effect.estimate, effect.interval),
        (scale, bar, name_base - 4.5),
        color,
    );
    focus_ring(ui, rect.shrink2(vec2(0.0, 4.0)), &response);
    response.on_hover_cursor(CursorIcon::PointingHand)
}

/// Draws an interval bar with a tick at its estimate and one at zero; `place` is scale, bar and height on screen.
fn paint_interval(
    painter: &Painter,
    palette: &Palette,
    effect: (f64, (f64, f64)),
    place: (&Axis, Rangef, f32),
    color: egui::Color32,
) {
    let (estimate, (low, high)) = effect;
    let (scale, bar, y) = place;
    painter.hline(bar, y, Stroke::new(measure::RULE, palette.hair));
    if let (Some(low), Some(high)) = (at(scale, bar, low), at(scale, bar, high)) {
        let span = Rect::from_x_y_ranges(low..=high.max(low + 1.0), y - 2.5..=y + 2.5);
        painter.rect_filled(span, 0, color.gamma_multiply(0.45));
    }
    if let Some(x) = at(scale, bar, estimate) {
        painter.vline(x, y - 6.0..=y + 6.0, Stroke::new(2.4, color));
    }
    if scale.low() <= 0.0
        && scale.high() >= 0.0
        && let Some(x) = at(scale, bar, 0.0)
    {
        painter.vline(x, y - 7.0..=y + 7.0, Stroke::new(1.2, palette.ink));
    }
}

/// A quantity with its interval, such as one part of the scatter.
#[derive(Debug, Clone, PartialEq)]
pub struct IntervalLine {
    /// What it is.
    pub name: String,
    /// The estimate with its unit.
    pub value: String,
    /// The estimate.
    pub estimate: f64,
    /// Ends of its interval.
    pub interval: (f64, f64),
}

/// Rows of quantities with their intervals on one scale.
pub fn interval_rows(ui: &mut Ui, lines: &[IntervalLine], scale: &Axis) {
    for line in lines {
        let (rect, response) =
            ui.allocate_exact_size(vec2(ui.available_width(), 24.0), Sense::hover());
        ui.add_space(-ui.spacing().item_spacing.y);
        let palette = Palette::of(ui);
        let painter = ui.painter();
        let base_line = rect.top() + 16.0;
        let bar = Rangef::new(rect.left() + 0.49 * rect.width(), rect.right());
        Lettering::new(&line.name, theme::regular(text_size::CELL), palette.ink).write_within(
            painter,
            pos2(rect.left(), base_line),
            Align::LEFT,
            0.3 * rect.width(),
        );
        Lettering::new(&line.value, theme::regular(text_size::CELL), palette.ink).write(
            painter,
            pos2(bar.min - 20.0, base_line),
            Align::RIGHT,
        );
        let place = (scale, bar, base_line - 4.5);
        paint_interval(
            painter,
            palette,
            (line.estimate, line.interval),
            place,
            palette.accent,
        );
        response.widget_info(|| {
            WidgetInfo::labeled(Role::Label, true, format!("{}: {}", line.name, line.value))
        });
    }
}
