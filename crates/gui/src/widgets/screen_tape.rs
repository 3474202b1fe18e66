//! The tape of screens: a ruled tape with one length per screen, in the order of the work.

use egui::{
    Align, CursorIcon, Rect, Response, Sense, Stroke, Ui, WidgetInfo, accesskit::Role, pos2, vec2,
};

use super::button::focus_ring;
use super::lettering::Lettering;
use crate::theme::{self, Palette, measure, text_size};

/// One screen on the tape.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TapeItem {
    /// Name of the screen.
    pub name: String,
    /// What it holds in a few words, e.g. "19 runs, 4 cannot run"; may be empty.
    pub count: String,
}

impl TapeItem {
    /// A screen with what it holds.
    pub fn new(name: impl Into<String>, count: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            count: count.into(),
        }
    }
}

/// Draws the tape across the available width; `present` is the screen shown. Returns the screen that was pressed.
///
/// In windows narrower than about 1100 points the counts are left out, below [`measure::NARROW`] the names close up.
pub fn screen_tape(ui: &mut Ui, screens: &[TapeItem], present: usize) -> Option<usize> {
    let palette = Palette::of(ui);
    let width = ui.available_width();
    let (strip, _) = ui.allocate_exact_size(vec2(width, measure::TAPE_HEIGHT), Sense::hover());
    let margin = if width < measure::NARROW {
        measure::WINDOW_MARGIN / 2.0
    } else {
        measure::WINDOW_MARGIN
    };
    let tape = Rect::from_x_y_ranges(
        strip.left() + margin..=strip.right() - margin,
        strip.y_range(),
    );
    let rule = tape.bottom() - 0.5;
    ui.painter().hline(
        tape.x_range(),
        rule,
        Stroke::new(measure::RULE, palette.line),
    );
    let length = tape.width() / screens.len().max(1) as f32;
    let mut pressed = None;
    for (i, screen) in screens.iter().enumerate() {
        let left = tape.left() + length * i as f32;
        let rect = Rect::from_x_y_ranges(left..=left + length, tape.y_range());
        ticks(ui, rect);
        if item(ui, rect, screen, (i, i == present)).clicked() {
            pressed = Some(i);
        }
    }
    ui.painter().vline(
        tape.right(),
        rule - 6.0..=rule,
        Stroke::new(measure::RULE, palette.ink3),
    );
    pressed
}

/// A tick at the start of a length and four small ones inside it.
fn ticks(ui: &Ui, rect: Rect) {
    let palette = Palette::of(ui);
    let rule = rect.bottom() - 0.5;
    ui.painter().vline(
        rect.left(),
        rule - 6.0..=rule,
        Stroke::new(measure::RULE, palette.ink3),
    );
    for i in 1..5_u8 {
        let x = rect.left() + rect.width() * f32::from(i) / 5.0;
        ui.painter().vline(
            x,
            rule - 3.0..=rule,
            Stroke::new(measure::RULE, palette.line),
        );
    }
}

fn item(ui: &Ui, rect: Rect, screen: &TapeItem, place: (usize, bool)) -> Response {
    let (index, is_present) = place;
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let response = ui.interact(rect, ui.scope_id().with(("screen", index)), Sense::click());
    let is_enabled = ui.is_enabled();
    let words = if screen.count.is_empty() {
        screen.name.clone()
    } else {
        format!("{}, {}", screen.name, screen.count)
    };
    response.widget_info(|| WidgetInfo::selected(Role::Tab, is_enabled, is_present, &words));
    let base_line = rect.top() + 20.0;
    let (font, color) = if is_present {
        (theme::bold(text_size::TAPE), palette.accent)
    } else {
        (theme::regular(text_size::TAPE), palette.ink)
    };
    let inset = if rect.width() < 120.0 { 6.0 } else { 9.0 };
    let left = rect.left() + inset;
    let room = rect.right() - left - 4.0;
    let name = Lettering::new(&screen.name, font, color).write_within(
        painter,
        pos2(left, base_line),
        Align::LEFT,
        room,
    );
    let count = Lettering::new(&screen.count, theme::regular(text_size::UNIT), palette.ink2);
    let at = pos2(name.right() + 8.0, base_line);
    if rect.width() > 170.0 {
        count.write_within(painter, at, Align::LEFT, rect.right() - at.x - 8.0);
    }
    if is_present {
        let bar = Rect::from_x_y_ranges(rect.x_range(), rect.bottom() - 4.0..=rect.bottom());
        painter.rect_filled(bar, 0, palette.accent);
    } else if response.hovered() {
        painter.hline(
            rect.x_range(),
            rect.bottom() - 1.0,
            Stroke::new(2.0, palette.control),
        );
    }
    focus_ring(ui, rect.shrink2(vec2(3.0, 3.0)), &response);
    response.on_hover_cursor(CursorIcon::PointingHand)
}
