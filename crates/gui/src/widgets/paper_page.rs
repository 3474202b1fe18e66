//! A paper page as a card: the only part of the window with a shadow.

use egui::{
    Color32, Rect, Response, Sense, Stroke, StrokeKind, TextureId, Ui, UiBuilder, WidgetInfo,
    accesskit::Role, pos2, vec2,
};

use crate::theme::{self, Palette, measure};

/// Height over width of upright A4 paper (ISO 216: the ratio is the square root of two).
pub const A4_RATIO: f32 = std::f32::consts::SQRT_2;

/// A page of a given width and height, with `contents` laid out inside its margin (5.4 % of the width).
///
/// `name` is its name in the accessibility tree, e.g. "Page 1 of 4".
pub fn paper_page(
    ui: &mut Ui,
    name: &str,
    size: egui::Vec2,
    contents: impl FnOnce(&mut Ui),
) -> Response {
    let (rect, response) = card(ui, name, size);
    let inner = rect.shrink(size.x * 0.054);
    let mut page = ui.new_child(
        UiBuilder::new()
            .max_rect(inner)
            .layout(egui::Layout::top_down(egui::Align::Min)),
    );
    page.set_clip_rect(rect.intersect(ui.clip_rect()));
    contents(&mut page);
    response
}

/// A page that shows a picture of the printed page.
pub fn paper_picture(ui: &mut Ui, name: &str, size: egui::Vec2, picture: TextureId) -> Response {
    let (rect, response) = card(ui, name, size);
    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
    ui.painter()
        .image(picture, rect.shrink(1.0), whole, Color32::WHITE);
    response
}

fn card(ui: &mut Ui, name: &str, size: egui::Vec2) -> (Rect, Response) {
    let palette = Palette::of(ui);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let painter = ui.painter();
    painter.rect_filled(
        rect.translate(vec2(3.0, 4.0)),
        0,
        theme::page_shadow(palette),
    );
    painter.rect(
        rect,
        measure::BUTTON_RADIUS,
        palette.sheet,
        Stroke::new(1.0, palette.line),
        StrokeKind::Inside,
    );
    let is_enabled = ui.is_enabled();
    response.widget_info(|| WidgetInfo::labeled(Role::Button, is_enabled, name));
    super::button::focus_ring(ui, rect, &response);
    (rect, response)
}
