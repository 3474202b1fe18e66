//! The cross at the present settings: drawn the same everywhere, dragged with the pointer, moved with the arrows.

use egui::{Color32, EventFilter, Key, Painter, Pos2, Response, Shape, Stroke, Ui, vec2};

use super::field::Field;
use crate::theme::{MAP_CASING, MAP_INK, Palette};

/// Where the cross went.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CrossMove {
    /// The new place, in the units of the axes.
    pub to: [f64; 2],
    /// Whether the move is finished: one finished move is one step to undo.
    pub is_done: bool,
}

/// How near a press must be to take hold of the cross, in points.
const GRIP: f32 = 30.0;
/// One press of an arrow, as a share of the axis; with Shift five times as much.
const ARROW_STEP: f32 = 0.01;

/// Draws the cross on a plot of this theme.
pub fn paint_cross(painter: &Painter, palette: &Palette, at: Pos2) {
    paint(painter, at, palette.ink, palette.sheet);
}

/// Draws the cross on a map.
pub fn paint_map_cross(painter: &Painter, at: Pos2) {
    paint(painter, at, MAP_INK, MAP_CASING);
}

fn paint(painter: &Painter, at: Pos2, ink: Color32, casing: Color32) {
    for (weight, color) in [(4.0, casing), (1.7, ink)] {
        let stroke = Stroke::new(weight, color);
        painter.circle_stroke(at, 11.0, stroke);
        for direction in [
            vec2(1.0, 0.0),
            vec2(-1.0, 0.0),
            vec2(0.0, 1.0),
            vec2(0.0, -1.0),
        ] {
            painter.line_segment([at + 4.0 * direction, at + 16.0 * direction], stroke);
        }
    }
}

/// Draws dotted lines from the cross to both axes.
pub fn paint_cross_lines(painter: &Painter, palette: &Palette, field: &Field<'_>, at: Pos2) {
    let stroke = Stroke::new(1.0, palette.ink2);
    let inner = field.painter(painter);
    for ends in [
        [
            egui::pos2(at.x, field.rect.top()),
            egui::pos2(at.x, field.rect.bottom()),
        ],
        [
            egui::pos2(field.rect.left(), at.y),
            egui::pos2(field.rect.right(), at.y),
        ],
    ] {
        inner.extend(Shape::dashed_line(&ends, stroke, 2.0, 3.0));
    }
}

/// Moves that the pointer or the arrows make with the cross at `cross`; `response` is that of the field.
///
/// A drag that starts near the cross moves it; the arrows move it while the field has the focus.
pub fn cross_moves(
    ui: &Ui,
    response: &Response,
    field: &Field<'_>,
    cross: [f64; 2],
) -> Option<CrossMove> {
    let place = field.place(cross)?;
    let grip = response.id.with("cross");
    if response.drag_started() {
        let pressed = ui.input(|input| input.pointer.press_origin());
        let offset = pressed
            .map(|pressed| place - pressed)
            .filter(|offset| offset.length() < GRIP);
        ui.data_mut(|data| data.insert_temp(grip, offset));
    }
    let held: Option<egui::Vec2> = ui
        .data(|data| data.get_temp::<Option<egui::Vec2>>(grip))
        .flatten();
    if let (Some(offset), Some(pointer)) = (held, response.interact_pointer_pos()) {
        let to = field.held_at(pointer + offset);
        if response.drag_stopped() {
            ui.data_mut(|data| data.remove::<Option<egui::Vec2>>(grip));
            return Some(CrossMove { to, is_done: true });
        }
        if response.dragged() {
            ui.ctx().set_cursor_icon(egui::CursorIcon::Grabbing);
            return Some(CrossMove { to, is_done: false });
        }
    }
    arrow_move(ui, response, field, place)
}

fn arrow_move(ui: &Ui, response: &Response, field: &Field<'_>, place: Pos2) -> Option<CrossMove> {
    if !response.has_focus() {
        return None;
    }
    let filter = EventFilter {
        horizontal_arrows: true,
        vertical_arrows: true,
        ..EventFilter::default()
    };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, filter));
    let steps = ui.input(|input| {
        let pressed = |key| f32::from(u8::from(input.key_pressed(key)));
        let size = if input.modifiers.shift { 5.0 } else { 1.0 } * ARROW_STEP;
        let across = pressed(Key::ArrowRight) - pressed(Key::ArrowLeft);
        let down = pressed(Key::ArrowDown) - pressed(Key::ArrowUp);
        vec2(across, down) * size
    });
    (steps != egui::Vec2::ZERO).then(|| CrossMove {
        to: field.held_at(place + steps * field.rect.size()),
        is_done: true,
    })
}
