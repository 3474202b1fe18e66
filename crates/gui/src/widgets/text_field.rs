//! Fields for words: one line with its label, and notes of several lines. A change is reported once, when it is done.

use std::convert::Infallible;

use egui::{Align, Frame, Id, Sense, TextEdit, Ui, pos2, vec2};

use super::lettering::{Lettering, base_line_around};
use super::number_field::NumberField;
use crate::theme::{self, Palette, measure, text_size};

/// A one-line field for words, with `label` before it in a column `label_width` wide.
///
/// Returns the text when it was changed and committed (Enter, Tab or leaving the field); Esc brings back the old one.
pub fn text_field(
    ui: &mut Ui,
    id: Id,
    label: &str,
    shown: &str,
    widths: (f32, f32),
) -> Option<String> {
    let (label_width, field_width) = widths;
    let (rect, _) = ui.allocate_exact_size(
        vec2(label_width + field_width, measure::FIELD_HEIGHT),
        Sense::hover(),
    );
    let at = pos2(
        rect.left(),
        base_line_around(rect.center().y, text_size::BODY),
    );
    Lettering::new(label, theme::regular(text_size::BODY), Palette::of(ui).ink).write_within(
        ui.painter(),
        at,
        Align::LEFT,
        label_width - 8.0,
    );
    let field = egui::Rect::from_min_max(pos2(rect.left() + label_width, rect.top()), rect.max);
    bare_text_field(ui, id, label, shown, field)
}

/// A one-line field for words in `rect`, named `name` in the accessibility tree; takes no room in the layout.
pub fn bare_text_field(
    ui: &mut Ui,
    id: Id,
    name: &str,
    shown: &str,
    rect: egui::Rect,
) -> Option<String> {
    let field = NumberField::new(id, name, shown)
        .align(Align::LEFT)
        .font(theme::regular(text_size::BODY));
    let output = field.show_at(ui, rect, |text| Ok::<String, Infallible>(text.to_owned()));
    output.committed.map(|committed| committed.text)
}

/// A note of several lines; returns the text when it was changed and the field is left.
pub fn note_field(ui: &mut Ui, id: Id, name: &str, shown: &str, n_rows: usize) -> Option<String> {
    let draft: Option<String> = ui.data(|data| data.get_temp(id));
    let mut text = draft.unwrap_or_else(|| shown.to_owned());
    let palette = Palette::of(ui);
    let has_focus = ui.memory(|memory| memory.has_focus(id));
    let outline = if has_focus {
        egui::Stroke::new(2.0, palette.accent)
    } else {
        egui::Stroke::new(1.0, palette.control)
    };
    let frame = Frame::new()
        .fill(palette.sheet)
        .stroke(outline)
        .corner_radius(measure::FIELD_RADIUS)
        .inner_margin(egui::Margin::symmetric(7, 5));
    let edit = TextEdit::multiline(&mut text)
        .id(id)
        .font(theme::regular(text_size::BODY))
        .frame(frame)
        .desired_width(f32::INFINITY)
        .desired_rows(n_rows);
    let response = ui.add(edit).accessible_name(name);
    let is_reverted =
        response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Escape));
    if response.has_focus() {
        ui.data_mut(|data| data.insert_temp(id, text));
        return None;
    }
    ui.data_mut(|data| data.remove_temp::<String>(id));
    (response.lost_focus() && !is_reverted && text != shown).then_some(text)
}
