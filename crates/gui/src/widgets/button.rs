//! What can be pressed: the one filled button of a screen, outlined buttons, links, tick boxes.

use egui::{
    Align, Color32, CornerRadius, CursorIcon, Pos2, Rect, Response, Sense, Shape, Stroke,
    StrokeKind, Ui, WidgetInfo, accesskit::Role, pos2, vec2,
};

use super::lettering::{Lettering, base_line_around};
use crate::theme::{self, Palette, measure, text_size};

/// How a button looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ButtonLook {
    /// Filled: what comes next. One a screen.
    Primary,
    /// Outlined.
    Outlined,
    /// Outlined in the accent: chosen, or next in line at the machine.
    Accent,
    /// Outlined in amber on a soft ground: a fault that was chosen.
    Fault,
    /// Outlined in amber and hatched: says "not here" at the machine.
    Hatched,
}

/// The filled button that says what comes next.
pub fn primary_button(ui: &mut Ui, words: &str) -> Response {
    let width = (button_width(ui, words) + 48.0).max(120.0);
    sized_button(
        ui,
        words,
        ButtonLook::Primary,
        vec2(width, measure::BUTTON_HEIGHT),
        text_size::BUTTON,
    )
}

/// An outlined button.
pub fn outlined_button(ui: &mut Ui, words: &str) -> Response {
    let width = button_width(ui, words) + 32.0;
    sized_button(
        ui,
        words,
        ButtonLook::Outlined,
        vec2(width, measure::BUTTON_HEIGHT),
        text_size::BUTTON,
    )
}

/// A small outlined button for a choice beside others, 26 high.
pub fn choice_button(ui: &mut Ui, words: &str, look: ButtonLook) -> Response {
    let width = Lettering::new(words, theme::bold(text_size::CELL), Color32::PLACEHOLDER)
        .width(ui.painter())
        + 18.0;
    let response = sized_button(ui, words, look, vec2(width, 26.0), text_size::CELL);
    let is_chosen = matches!(
        look,
        ButtonLook::Accent | ButtonLook::Fault | ButtonLook::Primary
    );
    let is_enabled = ui.is_enabled();
    response.widget_info(|| WidgetInfo::selected(Role::RadioButton, is_enabled, is_chosen, words));
    response
}

fn button_width(ui: &Ui, words: &str) -> f32 {
    Lettering::new(words, theme::bold(text_size::BUTTON), Color32::PLACEHOLDER).width(ui.painter())
}

/// A button of a given size, with words of a given size in its middle.
pub fn sized_button(
    ui: &mut Ui,
    words: &str,
    look: ButtonLook,
    size: egui::Vec2,
    text_size: f32,
) -> Response {
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let is_enabled = ui.is_enabled();
    response.widget_info(|| WidgetInfo::labeled(Role::Button, is_enabled, words));
    paint_button(ui, rect, &response, words, (look, text_size));
    response.on_hover_cursor(CursorIcon::PointingHand)
}

/// Draws a button into `rect`; `style` is its look and the size of its words.
fn paint_button(ui: &Ui, rect: Rect, response: &Response, words: &str, style: (ButtonLook, f32)) {
    let palette = Palette::of(ui);
    let (look, size) = style;
    let is_pressed = response.is_pointer_button_down_on();
    let hover = response.hovered();
    let (fill, outline, text) = match look {
        ButtonLook::Primary => (palette.accent, Stroke::NONE, palette.on_accent),
        ButtonLook::Outlined => (
            palette.ground,
            Stroke::new(1.0, palette.control),
            palette.accent,
        ),
        ButtonLook::Accent => (
            palette.sheet,
            Stroke::new(2.0, palette.accent),
            palette.accent,
        ),
        ButtonLook::Fault => (
            palette.amber_soft,
            Stroke::new(2.0, palette.amber_line),
            palette.amber,
        ),
        ButtonLook::Hatched => (
            palette.sheet,
            Stroke::new(2.0, palette.amber_line),
            palette.amber,
        ),
    };
    let painter = ui.painter();
    let radius = CornerRadius::same(measure::BUTTON_RADIUS);
    let fill = match (look, hover || is_pressed) {
        (ButtonLook::Outlined, true) => palette.selected,
        (ButtonLook::Accent, true) => palette.accent_soft,
        _ => fill,
    };
    painter.rect(rect, radius, fill, outline, StrokeKind::Inside);
    if look == ButtonLook::Primary && hover {
        let inner = Stroke::new(1.0, palette.on_accent);
        painter.rect_stroke(rect.shrink(3.0), radius, inner, StrokeKind::Inside);
    }
    let font = if look == ButtonLook::Outlined {
        theme::regular(size)
    } else {
        theme::bold(size)
    };
    let words = Lettering::new(words, font, text);
    if look == ButtonLook::Hatched {
        let hatch = super::hatch::Hatch::near(palette);
        super::hatch::hatch_rect(painter, rect.shrink(2.0), hatch);
        let plate = vec2(words.width(painter) + 0.8 * size, size * 1.4);
        painter.rect_filled(Rect::from_center_size(rect.center(), plate), 0, fill);
    }
    let base_line = base_line_around(rect.center().y, size);
    words.write_within(
        painter,
        pos2(rect.center().x, base_line),
        Align::Center,
        rect.width() - 8.0,
    );
    focus_ring(ui, rect, response);
}

/// Shows that `response` has the keyboard focus.
pub fn focus_ring(ui: &Ui, rect: Rect, response: &Response) {
    if response.has_focus() {
        let stroke = Stroke::new(1.6, Palette::of(ui).accent);
        let radius = CornerRadius::same(measure::BUTTON_RADIUS + 1);
        ui.painter()
            .rect_stroke(rect.expand(2.5), radius, stroke, StrokeKind::Inside);
    }
}

/// A link: accent text with a thin underline.
pub fn link(ui: &mut Ui, words: &str) -> Response {
    sized_link(ui, words, text_size::BODY)
}

/// A link with words of a given size.
pub fn sized_link(ui: &mut Ui, words: &str, size: f32) -> Response {
    let text = Lettering::new(words, theme::regular(size), Palette::of(ui).accent);
    let width = text.width(ui.painter());
    let (rect, response) =
        ui.allocate_exact_size(vec2(width, (size * 1.45).ceil()), Sense::click());
    paint_link(ui, rect, &response, text);
    response.on_hover_cursor(CursorIcon::PointingHand)
}

/// A link set on the base line through `at`; takes no room in the layout.
pub fn link_at(ui: &Ui, at: Pos2, align: Align, words: &str, size: f32) -> Response {
    let text = Lettering::new(words, theme::regular(size), Palette::of(ui).accent);
    let (rect, response) = interact_at(ui, at, align, &text);
    paint_link(ui, rect, &response, text);
    response.on_hover_cursor(CursorIcon::PointingHand)
}

/// As [`link_at`], without the underline, for the title line.
pub fn plain_link_at(ui: &Ui, at: Pos2, align: Align, words: &str, size: f32) -> Response {
    let text = Lettering::new(words, theme::regular(size), Palette::of(ui).accent);
    let (rect, response) = interact_at(ui, at, align, &text);
    let is_enabled = ui.is_enabled();
    response.widget_info(|| WidgetInfo::labeled(Role::Link, is_enabled, words));
    let drawn = text.write(ui.painter(), pos2(rect.left(), at.y), Align::LEFT);
    if response.hovered() {
        ui.painter()
            .hline(drawn.x_range(), at.y + 3.0, Stroke::new(1.0, text.color));
    }
    focus_ring(ui, drawn, &response);
    response.on_hover_cursor(CursorIcon::PointingHand)
}

fn interact_at(ui: &Ui, at: Pos2, align: Align, text: &Lettering) -> (Rect, Response) {
    let (size, width) = (text.font.size, text.width(ui.painter()));
    let left = match align {
        Align::Min => at.x,
        Align::Center => at.x - width / 2.0,
        Align::Max => at.x - width,
    };
    let rect = Rect::from_min_size(
        pos2(left, at.y - size * 1.03),
        vec2(width, (size * 1.45).ceil()),
    );
    (
        rect,
        ui.interact(
            rect,
            ui.scope_id().with(("link", &text.text)),
            Sense::click(),
        ),
    )
}

fn paint_link(ui: &Ui, rect: Rect, response: &Response, text: Lettering) {
    let is_enabled = ui.is_enabled();
    response.widget_info(|| WidgetInfo::labeled(Role::Link, is_enabled, &text.text));
    let base_line = rect.top() + text.font.size * 1.03;
    let drawn = text.write(ui.painter(), pos2(rect.left(), base_line), Align::LEFT);
    let weight = if response.hovered() { 1.4 } else { 0.7 };
    ui.painter().hline(
        drawn.x_range(),
        base_line + 3.0,
        Stroke::new(weight, text.color),
    );
    focus_ring(ui, drawn, response);
}

/// A tick box with its words; a click flips `is_ticked`.
pub fn tick_box(ui: &mut Ui, is_ticked: &mut bool, words: &str) -> Response {
    const SIDE: f32 = 16.0;
    let palette = Palette::of(ui);
    let text = Lettering::new(words, theme::regular(text_size::BODY), palette.ink);
    let size = vec2(SIDE + 8.0 + text.width(ui.painter()), measure::FIELD_HEIGHT);
    let (rect, mut response) = ui.allocate_exact_size(size, Sense::click());
    if response.clicked() {
        *is_ticked = !*is_ticked;
        response.mark_changed();
    }
    let is_enabled = ui.is_enabled();
    response.widget_info(|| WidgetInfo::selected(Role::CheckBox, is_enabled, *is_ticked, words));
    let square = Rect::from_min_size(
        pos2(rect.left(), rect.center().y - SIDE / 2.0),
        egui::Vec2::splat(SIDE),
    );
    let outline = if response.hovered() {
        palette.accent
    } else {
        palette.control
    };
    paint_tick(ui, square, *is_ticked, Stroke::new(1.0, outline));
    let at = pos2(
        square.right() + 8.0,
        base_line_around(rect.center().y, text_size::BODY),
    );
    text.write(ui.painter(), at, Align::LEFT);
    focus_ring(ui, rect, &response);
    response.on_hover_cursor(CursorIcon::PointingHand)
}

fn paint_tick(ui: &Ui, square: Rect, is_ticked: bool, outline: Stroke) {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let radius = CornerRadius::same(measure::FIELD_RADIUS);
    if is_ticked {
        painter.rect_filled(square, radius, palette.accent);
        let at = |x: f32, y: f32| square.min + vec2(x, y) * square.width() / 16.0;
        let tick = vec![at(3.8, 8.4), at(6.8, 11.4), at(12.4, 5.0)];
        painter.add(Shape::line(tick, Stroke::new(2.0, palette.on_accent)));
    } else {
        painter.rect(square, radius, palette.sheet, outline, StrokeKind::Inside);
    }
}
