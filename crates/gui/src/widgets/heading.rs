//! Headings: the sentence that opens a screen, and the word on a ruled line that opens a section.

use egui::{Align, Rect, Response, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use super::lettering::Lettering;
use crate::theme::{self, Palette, measure, text_size};

/// Height that [`section_head`] takes, rule included.
pub const SECTION_HEAD_HEIGHT: f32 = 24.0;

const BASE_TO_RULE: f32 = 7.0;

/// A section head across the available width: bold word on the left, quiet words on the right, rule below.
pub fn section_head(ui: &mut Ui, word: &str, right: &str) -> Response {
    let (rect, response) = ui.allocate_exact_size(
        vec2(ui.available_width(), SECTION_HEAD_HEIGHT),
        Sense::hover(),
    );
    paint_section_head(ui, rect, word, right);
    response.widget_info(|| WidgetInfo::labeled(egui::accesskit::Role::Heading, true, word));
    response
}

/// Draws a section head into `rect`, its rule along the bottom.
pub fn paint_section_head(ui: &Ui, rect: Rect, word: &str, right: &str) {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let rule = rect.bottom() - 0.5;
    let base_line = rule - BASE_TO_RULE;
    let word = Lettering::new(word, theme::bold(text_size::SECTION), palette.ink).write(
        painter,
        pos2(rect.left(), base_line),
        Align::LEFT,
    );
    let room = rect.right() - word.right() - 10.0;
    Lettering::new(right, theme::regular(text_size::UNIT), palette.ink2).write_within(
        painter,
        pos2(rect.right(), base_line),
        Align::RIGHT,
        room,
    );
    painter.hline(
        rect.x_range(),
        rule,
        Stroke::new(measure::RULE, palette.ink),
    );
}

/// A quiet head with a hair rule instead of an ink rule, for parts of a section.
pub fn quiet_head(ui: &mut Ui, word: &str, right: &str) -> Response {
    let (rect, response) = ui.allocate_exact_size(
        vec2(ui.available_width(), SECTION_HEAD_HEIGHT),
        Sense::hover(),
    );
    let palette = Palette::of(ui);
    let base_line = rect.bottom() - 0.5 - BASE_TO_RULE;
    let words = [
        (word, rect.left(), Align::LEFT),
        (right, rect.right(), Align::RIGHT),
    ];
    for (text, x, align) in words {
        Lettering::new(text, theme::regular(text_size::UNIT), palette.ink2).write_within(
            ui.painter(),
            pos2(x, base_line),
            align,
            rect.width(),
        );
    }
    ui.painter().hline(
        rect.x_range(),
        rect.bottom() - 0.5,
        Stroke::new(measure::HAIR, palette.line),
    );
    response.widget_info(|| WidgetInfo::labeled(egui::accesskit::Role::Heading, true, word));
    response
}

/// The sentence of a screen and the line under it, both wrapped to the available width.
///
/// Leave room for the buttons of the screen by calling it in a narrower `ui`.
pub fn sentence(ui: &mut Ui, sentence: &str, below: &str) -> Response {
    let palette = Palette::of(ui);
    let head = Lettering::new(sentence, theme::bold(text_size::SENTENCE), palette.ink);
    let sub = Lettering::new(below, theme::regular(text_size::SUB_SENTENCE), palette.ink2);
    let width = ui.available_width();
    let head_height = head.wrapped_height(ui.painter(), width);
    let sub_height = if below.is_empty() {
        0.0
    } else {
        sub.wrapped_height(ui.painter(), width)
    };
    let (rect, response) =
        ui.allocate_exact_size(vec2(width, head_height + sub_height), Sense::hover());
    let first_base = rect.top() + text_size::SENTENCE * 1.02;
    let drawn = head.write_wrapped(ui.painter(), pos2(rect.left(), first_base), width);
    if !below.is_empty() {
        sub.write_wrapped(
            ui.painter(),
            pos2(rect.left(), drawn.bottom() + 13.5),
            width,
        );
    }
    response.widget_info(|| {
        WidgetInfo::labeled(
            egui::accesskit::Role::Heading,
            true,
            format!("{sentence} {below}").trim_end(),
        )
    });
    response
}

/// Quiet body text, wrapped to the available width.
pub fn quiet_text(ui: &mut Ui, text: &str) -> Response {
    let color = Palette::of(ui).ink2;
    paragraph(
        ui,
        Lettering::new(text, theme::regular(text_size::CELL), color),
    )
}

/// Body text, wrapped to the available width.
pub fn body_text(ui: &mut Ui, text: &str) -> Response {
    let color = Palette::of(ui).ink;
    paragraph(
        ui,
        Lettering::new(text, theme::regular(text_size::CELL), color),
    )
}

fn paragraph(ui: &mut Ui, text: Lettering) -> Response {
    let width = ui.available_width();
    let height = text.wrapped_height(ui.painter(), width);
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    let base_line = rect.top() + text.font.size * 1.03;
    text.write_wrapped(ui.painter(), pos2(rect.left(), base_line), width);
    response.widget_info(|| WidgetInfo::labeled(egui::accesskit::Role::Label, true, &text.text));
    response
}

/// A word in a row of fields, in their vertical middle.
pub fn inline_text(ui: &mut Ui, text: &str) -> Response {
    let lettering = Lettering::new(text, theme::regular(text_size::CELL), Palette::of(ui).ink2);
    let size = vec2(lettering.width(ui.painter()), measure::FIELD_HEIGHT);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let base_line = super::lettering::base_line_around(rect.center().y, text_size::CELL);
    lettering.write(ui.painter(), pos2(rect.left(), base_line), Align::LEFT);
    response.widget_info(|| WidgetInfo::labeled(egui::accesskit::Role::Label, true, text));
    response
}
