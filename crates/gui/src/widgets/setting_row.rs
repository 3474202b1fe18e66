//! Rows of settings: where the setting stands on the machine's span, its range, its value now, the effort to change it.

use egui::{
    Align, CursorIcon, Id, Rect, Response, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo,
    accesskit::Role, pos2, vec2,
};

use super::button::focus_ring;
use super::lettering::{Lettering, base_line_around};
use super::number_field::{Committed, NumberField};
use crate::number_text::parse_number;
use crate::theme::{self, Palette, measure, text_size};

/// How hard a setting is to change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Effort {
    /// While the web runs.
    #[default]
    OnTheFly,
    /// The web stops, or waits until the setting is steady.
    StopAndWait,
    /// The line is stripped down: other ink, other head.
    StripDown,
}

impl Effort {
    /// The word on screen.
    pub fn label(self) -> &'static str {
        match self {
            Self::OnTheFly => "on the fly",
            Self::StopAndWait => "stop",
            Self::StripDown => "strip down",
        }
    }

    fn n_steps(self) -> u8 {
        match self {
            Self::OnTheFly => 1,
            Self::StopAndWait => 2,
            Self::StripDown => 3,
        }
    }
}

/// One setting as shown in a list. Numbers are in the unit shown.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SettingLine {
    /// Name of the setting.
    pub name: String,
    /// Its unit.
    pub unit: String,
    /// Smallest and largest value that the machine can do.
    pub machine: (f64, f64),
    /// Smallest and largest value of the plan; `None` when the setting is fixed.
    pub range: Option<(f64, f64)>,
    /// The range in words, e.g. "0.60 to 2.40".
    pub range_text: String,
    /// The value now; `None` when it is not known.
    pub now: Option<f64>,
    /// The value now as text, as shown in the field.
    pub now_text: String,
    /// How hard it is to change.
    pub effort: Effort,
    /// Minutes of a change in words, e.g. "6 min"; empty when on the fly.
    pub minutes: String,
    /// Whether equal ratios get equal lengths on the rail.
    pub is_log: bool,
}

/// What was done with a setting row.
#[derive(Debug, Clone, PartialEq)]
pub enum SettingEdit {
    /// A new value now.
    Now(Committed<f64>),
    /// The rail or the range was pressed: the range wants to be edited.
    OpenRange,
    /// The effort was pressed: it wants to be edited.
    OpenEffort,
}

/// Head of a list of setting rows, with the names of the columns.
pub fn setting_head(ui: &mut Ui, word: &str) {
    let width = ui.available_width();
    let (rect, response) = ui.allocate_exact_size(
        vec2(width, super::heading::SECTION_HEAD_HEIGHT),
        Sense::hover(),
    );
    super::heading::paint_section_head(ui, rect, word, "effort to change");
    response.widget_info(|| WidgetInfo::labeled(Role::Heading, true, word));
    let places = Places::new(rect);
    let palette = Palette::of(ui);
    let base_line = rect.bottom() - 7.5;
    for (word, x, align) in [
        ("range", places.rail.center(), Align::Center),
        ("now", places.field_right - 4.0, Align::RIGHT),
    ] {
        Lettering::new(word, theme::regular(text_size::UNIT), palette.ink2).write(
            ui.painter(),
            pos2(x, base_line),
            align,
        );
    }
}

/// A setting row across the available width (at least about 330). `parse` reads the field; its error is the message.
pub fn setting_row<E: std::fmt::Display>(
    ui: &mut Ui,
    id: Id,
    line: &SettingLine,
    is_selected: bool,
    parse: impl Fn(&str) -> Result<f64, E>,
) -> Option<SettingEdit> {
    let size = vec2(ui.available_width(), measure::SETTING_PITCH);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    ui.add_space(-ui.spacing().item_spacing.y); // the pitch already holds the gap
    let palette = Palette::of(ui);
    if is_selected {
        ui.painter()
            .rect_filled(rect.expand2(vec2(8.0, -0.5)), 0, palette.selected);
    }
    let places = Places::new(rect);
    names(ui, rect, &places, line);
    let mut edit = None;
    if rail(ui, id, rect, &places, line).clicked() {
        edit = Some(SettingEdit::OpenRange);
    }
    if effort(ui, id, rect, &places, line).clicked() {
        edit = Some(SettingEdit::OpenEffort);
    }
    let name = if line.unit.is_empty() {
        line.name.clone()
    } else {
        format!("{}, {}", line.name, line.unit)
    };
    let field = Rect::from_center_size(
        pos2(places.field_right - FIELD_WIDTH / 2.0, rect.center().y),
        vec2(FIELD_WIDTH, measure::FIELD_HEIGHT),
    );
    let output = NumberField::new(id.with("now"), &name, &line.now_text).show_at(ui, field, parse);
    output.committed.map(SettingEdit::Now).or(edit)
}

/// A setting row whose field takes any number.
pub fn plain_setting_row(
    ui: &mut Ui,
    id: Id,
    line: &SettingLine,
    is_selected: bool,
) -> Option<SettingEdit> {
    setting_row(ui, id, line, is_selected, parse_number)
}

/// Two fields for the ends of a range, with "to" between them. Returns the new low and high end, whichever changed.
pub fn range_fields(
    ui: &mut Ui,
    id: Id,
    name: &str,
    ends: (&str, &str),
    unit: &str,
) -> (Option<Committed<f64>>, Option<Committed<f64>>) {
    let spoken = |end: &str| format!("{name}, {end}, {unit}");
    ui.horizontal(|ui| {
        let low = NumberField::new(id.with("low"), &spoken("low"), ends.0)
            .show(ui)
            .committed;
        super::heading::inline_text(ui, "to");
        let high = NumberField::new(id.with("high"), &spoken("high"), ends.1)
            .unit(unit)
            .show(ui)
            .committed;
        (low, high)
    })
    .inner
}

const FIELD_WIDTH: f32 = 62.0;

/// Places of the columns across a row.
struct Places {
    rail: egui::Rangef,
    field_right: f32,
    steps_left: f32,
    right: f32,
}

impl Places {
    /// The columns of a row 404 wide, wider rows leave the gain to the rail.
    fn new(row: Rect) -> Self {
        let spare = (row.width() - 404.0).max(-70.0);
        let field_right = row.left() + 282.0 + spare;
        let rail_left = row.left() + 112.0 + spare.min(0.0) * 0.3;
        Self {
            rail: egui::Rangef::new(rail_left, field_right - FIELD_WIDTH - 30.0),
            field_right,
            steps_left: field_right + 14.0,
            right: row.right(),
        }
    }
}

fn names(ui: &Ui, rect: Rect, places: &Places, line: &SettingLine) {
    let palette = Palette::of(ui);
    let room = places.rail.min - rect.left() - 8.0;
    Lettering::new(&line.name, theme::regular(text_size::CELL), palette.ink).write_within(
        ui.painter(),
        pos2(rect.left(), rect.top() + 15.0),
        Align::LEFT,
        room,
    );
    Lettering::new(
        &line.unit,
        theme::regular(text_size::UNIT_CLOSE),
        palette.ink2,
    )
    .write_within(
        ui.painter(),
        pos2(rect.left(), rect.top() + 29.5),
        Align::LEFT,
        room,
    );
}

/// Place of a value along the span, 0 to 1, held at the ends.
fn share(value: f64, span: (f64, f64), is_log: bool) -> f32 {
    let place = |v: f64| {
        if is_log {
            v.max(f64::MIN_POSITIVE).ln()
        } else {
            v
        }
    };
    let share = (place(value) - place(span.0)) / (place(span.1) - place(span.0));
    #[expect(clippy::cast_possible_truncation, reason = "held within 0..=1")]
    let share = if share.is_finite() {
        share.clamp(0.0, 1.0) as f32
    } else {
        0.0
    };
    share
}

fn rail(ui: &Ui, id: Id, rect: Rect, places: &Places, line: &SettingLine) -> Response {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let y = rect.top() + 12.5;
    let at =
        |value: f64| places.rail.min + places.rail.span() * share(value, line.machine, line.is_log);
    let track = Stroke::new(measure::RULE, palette.line);
    painter.hline(places.rail, y, track);
    for x in [places.rail.min, places.rail.max] {
        painter.vline(x, y - 3.5..=y + 3.5, track);
    }
    if let Some((low, high)) = line.range {
        let bar = Rect::from_x_y_ranges(at(low)..=at(high).max(at(low) + 2.0), y - 2.5..=y + 2.5);
        painter.rect_filled(bar, 0, palette.accent);
    }
    if let Some(now) = line.now {
        let tip = pos2(at(now), y - 3.5);
        let marker = vec![tip, tip + vec2(-4.0, -6.0), tip + vec2(4.0, -6.0)];
        painter.add(Shape::convex_polygon(marker, palette.ink, Stroke::NONE));
    }
    let words = if line.range.is_some() {
        line.range_text.as_str()
    } else {
        "fixed"
    };
    let middle = pos2(places.rail.center(), rect.top() + 29.5);
    Lettering::new(words, theme::regular(text_size::UNIT), palette.ink2).write_within(
        painter,
        middle,
        Align::Center,
        places.rail.span() + 40.0,
    );
    let target =
        Rect::from_x_y_ranges(places.rail.expand(8.0), rect.y_range()).shrink2(vec2(0.0, 1.0));
    let response = ui.interact(target, id.with("rail"), Sense::click());
    let is_enabled = ui.is_enabled();
    response.widget_info(|| {
        WidgetInfo::labeled(
            Role::Button,
            is_enabled,
            format!("Range of {}: {words} {}", line.name, line.unit),
        )
    });
    if response.hovered() {
        painter.hline(
            places.rail,
            rect.top() + 33.0,
            Stroke::new(0.8, palette.accent),
        );
    }
    focus_ring(ui, target.shrink(3.0), &response);
    response.on_hover_cursor(CursorIcon::PointingHand)
}

fn effort(ui: &Ui, id: Id, rect: Rect, places: &Places, line: &SettingLine) -> Response {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let bottom = rect.center().y + 7.5;
    for step in 1..=3_u8 {
        let left = places.steps_left + 7.0 * f32::from(step - 1);
        let bar = Rect::from_x_y_ranges(left..=left + 5.0, bottom - 4.2 * f32::from(step)..=bottom);
        if step <= line.effort.n_steps() {
            painter.rect_filled(bar, 0, palette.ink3);
        } else {
            painter.rect_stroke(bar, 0, Stroke::new(0.9, palette.line), StrokeKind::Inside);
        }
    }
    let y = if line.minutes.is_empty() {
        base_line_around(rect.center().y, text_size::CELL)
    } else {
        rect.top() + 15.0
    };
    let room = places.right - places.steps_left - 26.0;
    Lettering::new(
        line.effort.label(),
        theme::regular(text_size::CELL),
        palette.ink2,
    )
    .write_within(painter, pos2(places.right, y), Align::RIGHT, room);
    Lettering::new(&line.minutes, theme::regular(text_size::CELL), palette.ink2).write_within(
        painter,
        pos2(places.right, rect.top() + 30.0),
        Align::RIGHT,
        room,
    );
    let target = Rect::from_x_y_ranges(places.steps_left - 4.0..=places.right, rect.y_range())
        .shrink2(vec2(0.0, 1.0));
    let response = ui.interact(target, id.with("effort"), Sense::click());
    let is_enabled = ui.is_enabled();
    response.widget_info(|| {
        let words = format!(
            "Effort to change {}: {} {}",
            line.name,
            line.effort.label(),
            line.minutes
        );
        WidgetInfo::labeled(Role::Button, is_enabled, words.trim_end())
    });
    focus_ring(ui, target.shrink(3.0), &response);
    response.on_hover_cursor(CursorIcon::PointingHand)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_on_the_rail_follow_the_scale() {
        assert!((share(1.0, (0.0, 4.0), false) - 0.25).abs() < 1e-6);
        assert!((share(2.0, (1.0, 4.0), true) - 0.5).abs() < 1e-6); // 2 is the geometric mean of 1 and 4
        assert!(share(-5.0, (0.0, 4.0), false).abs() < 1e-6);
        assert!(share(1.0, (3.0, 3.0), false).is_finite());
        assert!(share(f64::NAN, (0.0, 4.0), false).is_finite());
    }
}
