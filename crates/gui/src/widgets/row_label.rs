//! A name before a field: as wide as asked, at its left end.

use egui::{Align, Label, Layout, Response, Ui, vec2};

/// A label that takes a fixed width and stands at its left end.
pub fn left_label(ui: &mut Ui, width: f32, height: f32, label: Label) -> Response {
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
