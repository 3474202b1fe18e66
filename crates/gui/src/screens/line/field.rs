//! A field for words and a name before a field, as wide as asked.

use egui::{Align, Id, Label, Layout, Response, Sense, Ui, vec2};

use crate::theme::measure;
use crate::widgets::text_field::bare_text_field;

/// A field for words; returns the text when it is committed.
pub(super) fn field(ui: &mut Ui, id: Id, name: &str, shown: &str, width: f32) -> Option<String> {
    let (rect, _) = ui.allocate_exact_size(vec2(width, measure::FIELD_HEIGHT), Sense::hover());
    bare_text_field(ui, id, name, shown, rect)
}

/// A label that takes a fixed width and stands at its left end.
pub(super) fn left_label(ui: &mut Ui, width: f32, height: f32, label: Label) -> Response {
    ui.allocate_ui_with_layout(
        vec2(width, height),
        Layout::left_to_right(Align::Center),
        |ui| {
            ui.set_min_width(width);
            ui.add(label)
        },
    )
    .inner
}
