//! A field for words in a row, as wide as asked.

use egui::{Id, Sense, Ui, vec2};

use crate::theme::measure;
use crate::widgets::text_field::bare_text_field;

/// A field for words; returns the text when it is committed.
pub(super) fn field(ui: &mut Ui, id: Id, name: &str, shown: &str, width: f32) -> Option<String> {
    let (rect, _) = ui.allocate_exact_size(vec2(width, measure::FIELD_HEIGHT), Sense::hover());
    bare_text_field(ui, id, name, shown, rect)
}
