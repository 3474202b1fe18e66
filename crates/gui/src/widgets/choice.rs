//! One of several: rows with a round mark, a drop-down list, a row of words.

use egui::{
    Align, CornerRadius, CursorIcon, Id, Popup, PopupCloseBehavior, Rect, Response, Sense, Shape,
    Stroke, StrokeKind, Ui, WidgetInfo, accesskit::Role, pos2, vec2,
};

use super::button::focus_ring;
use super::lettering::{Lettering, base_line_around};
use crate::theme::{self, Palette, measure, text_size};

/// Rows with a round mark, the chosen one bold. Returns the row that was pressed.
pub fn radio_rows(ui: &mut Ui, words: &[&str], chosen: Option<usize>) -> Option<usize> {
    const PITCH: f32 = 23.0;
    let mut pressed = None;
    for (i, word) in words.iter().enumerate() {
        let is_chosen = chosen == Some(i);
        let (rect, response) =
            ui.allocate_exact_size(vec2(ui.available_width(), PITCH), Sense::click());
        ui.add_space(-ui.spacing().item_spacing.y);
        radio_row(ui, rect, &response, word, is_chosen);
        if response.on_hover_cursor(CursorIcon::PointingHand).clicked() {
            pressed = Some(i);
        }
    }
    ui.add_space(ui.spacing().item_spacing.y);
    pressed
}

fn radio_row(ui: &Ui, rect: Rect, response: &Response, word: &str, is_chosen: bool) {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let is_enabled = ui.is_enabled();
    response.widget_info(|| WidgetInfo::selected(Role::RadioButton, is_enabled, is_chosen, word));
    let center = pos2(rect.left() + 7.0, rect.center().y);
    let outline = if is_chosen || response.hovered() {
        palette.accent
    } else {
        palette.control
    };
    painter.circle(center, 6.2, palette.sheet, Stroke::new(1.4, outline));
    if is_chosen {
        painter.circle_filled(center, 3.2, palette.accent);
    }
    let font = if is_chosen {
        theme::bold(text_size::CELL)
    } else {
        theme::regular(text_size::CELL)
    };
    let at = pos2(
        rect.left() + 22.0,
        base_line_around(rect.center().y, text_size::CELL),
    );
    let drawn = Lettering::new(word, font, palette.ink).write_within(
        painter,
        at,
        Align::LEFT,
        rect.width() - 22.0,
    );
    focus_ring(
        ui,
        Rect::from_min_max(rect.min, pos2(drawn.right(), rect.bottom())).shrink2(vec2(0.0, 2.0)),
        response,
    );
}

/// A field that shows the chosen word and opens a list of all. Returns the word that was picked.
///
/// `name` is its name in the accessibility tree. Enter or Space opens, arrows move, Esc closes.
pub fn dropdown(
    ui: &mut Ui,
    id: Id,
    name: &str,
    words: &[String],
    chosen: (Option<usize>, f32),
) -> Option<usize> {
    let (chosen, width) = chosen;
    let (rect, _) = ui.allocate_exact_size(vec2(width, measure::FIELD_HEIGHT), Sense::hover());
    let response = ui.interact(rect, id, Sense::click());
    let shown = chosen.and_then(|i| words.get(i)).map_or("", String::as_str);
    let is_enabled = ui.is_enabled();
    response.widget_info(|| WidgetInfo {
        current_text_value: Some(shown.to_owned()),
        ..WidgetInfo::labeled(Role::ComboBox, is_enabled, name)
    });
    let popup = Popup::menu(&response)
        .width(width)
        .close_behavior(PopupCloseBehavior::CloseOnClick);
    let is_open = popup.is_open();
    paint_dropdown(ui, rect, &response, shown, is_open);
    let mut picked = None;
    popup.show(|ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        egui::ScrollArea::vertical()
            .max_height(260.0)
            .show(ui, |ui| {
                for (i, word) in words.iter().enumerate() {
                    let is_chosen = chosen == Some(i);
                    if list_row(ui, word, is_chosen).clicked() {
                        picked = Some(i);
                    }
                }
            });
    });
    response.on_hover_cursor(CursorIcon::PointingHand);
    picked.filter(|i| Some(*i) != chosen)
}

fn paint_dropdown(ui: &Ui, rect: Rect, response: &Response, shown: &str, is_open: bool) {
    let palette = Palette::of(ui);
    let outline = if is_open || response.has_focus() {
        Stroke::new(2.0, palette.accent)
    } else if response.hovered() {
        Stroke::new(1.0, palette.accent)
    } else {
        Stroke::new(1.0, palette.control)
    };
    let painter = ui.painter();
    painter.rect(
        rect,
        CornerRadius::same(measure::FIELD_RADIUS),
        palette.sheet,
        outline,
        StrokeKind::Inside,
    );
    let tip = pos2(rect.right() - 12.0, rect.center().y + 2.0);
    let arrow = vec![tip + vec2(-4.0, -4.0), tip, tip + vec2(4.0, -4.0)];
    painter.add(Shape::line(arrow, Stroke::new(1.6, palette.accent)));
    let at = pos2(
        rect.left() + 8.0,
        base_line_around(rect.center().y, text_size::BODY),
    );
    Lettering::new(shown, theme::regular(text_size::BODY), palette.ink).write_within(
        painter,
        at,
        Align::LEFT,
        rect.width() - 30.0,
    );
}

fn list_row(ui: &mut Ui, word: &str, is_chosen: bool) -> Response {
    let palette = Palette::of(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 24.0), Sense::click());
    let is_enabled = ui.is_enabled();
    response.widget_info(|| WidgetInfo::selected(Role::ListBoxOption, is_enabled, is_chosen, word));
    if response.hovered() || response.has_focus() {
        ui.painter().rect_filled(rect, 0, palette.selected);
    }
    let font = if is_chosen {
        theme::bold(text_size::BODY)
    } else {
        theme::regular(text_size::BODY)
    };
    let at = pos2(
        rect.left() + 6.0,
        base_line_around(rect.center().y, text_size::BODY),
    );
    Lettering::new(word, font, palette.ink).write_within(
        ui.painter(),
        at,
        Align::LEFT,
        rect.width() - 8.0,
    );
    response.on_hover_cursor(CursorIcon::PointingHand)
}

/// Words in a row over one rule, the chosen one bold with a bar under it. Returns the word that was pressed.
///
/// Words that do not fit into the width go on in the next line.
pub fn word_row(ui: &mut Ui, words: &[&str], chosen: usize) -> Option<usize> {
    const GAP: f32 = 20.0;
    const PITCH: f32 = 23.0;
    let palette = Palette::of(ui);
    let width = ui.available_width();
    let widths: Vec<f32> = words
        .iter()
        .map(|word| {
            Lettering::new(*word, theme::bold(text_size::CELL), palette.ink).width(ui.painter())
        })
        .collect();
    let mut places = Vec::with_capacity(words.len());
    let (mut x, mut line) = (0.0, 0_u16);
    for word_width in &widths {
        if x > 0.0 && x + word_width > width {
            (x, line) = (0.0, line + 1);
        }
        places.push((x, line));
        x += word_width + GAP;
    }
    let height = PITCH * f32::from(line + 1);
    let (rect, _) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    let mut pressed = None;
    for (i, ((word, word_width), (x, line))) in words.iter().zip(&widths).zip(&places).enumerate() {
        let corner = rect.min + vec2(*x, PITCH * f32::from(*line));
        let cell = Rect::from_min_size(corner, vec2(*word_width, PITCH));
        let response = ui.interact(
            cell.expand2(vec2(GAP / 3.0, 0.0)),
            ui.scope_id().with(("word", i, word)),
            Sense::click(),
        );
        row_word(ui, cell, &response, word, i == chosen);
        if response.on_hover_cursor(CursorIcon::PointingHand).clicked() {
            pressed = Some(i);
        }
    }
    ui.painter().hline(
        rect.x_range(),
        rect.bottom() - 0.5,
        Stroke::new(measure::RULE, palette.ink),
    );
    pressed
}

fn row_word(ui: &Ui, cell: Rect, response: &Response, word: &str, is_chosen: bool) {
    let palette = Palette::of(ui);
    let is_enabled = ui.is_enabled();
    response.widget_info(|| WidgetInfo::selected(Role::Tab, is_enabled, is_chosen, word));
    let (font, color) = if is_chosen {
        (theme::bold(text_size::CELL), palette.accent)
    } else {
        (theme::regular(text_size::CELL), palette.ink2)
    };
    Lettering::new(word, font, color).write(
        ui.painter(),
        pos2(cell.left(), cell.bottom() - 8.0),
        Align::LEFT,
    );
    let y = cell.bottom() - 2.0;
    if is_chosen {
        ui.painter()
            .hline(cell.x_range(), y, Stroke::new(3.0, palette.accent));
    } else if response.hovered() {
        ui.painter()
            .hline(cell.x_range(), y, Stroke::new(2.0, palette.control));
    }
    focus_ring(ui, cell, response);
}
