//! The flag that names a near or broken limit: a strip with a pointed right end.

use egui::{Align, Color32, Painter, Pos2, Rect, Shape, Stroke, pos2};

use super::lettering::{Lettering, base_line_around};
use crate::theme::{self, Palette, text_size};

/// How a flag looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FlagLook {
    /// Outlined: a limit is near.
    Near,
    /// Filled: a limit is broken.
    Broken,
}

/// Height of a flag in points.
pub const FLAG_HEIGHT: f32 = 18.0;

const POINT: f32 = 7.0;
const PADDING: f32 = 8.0;

/// Width of the flag that [`flag`] draws for `words`.
pub fn flag_width(painter: &Painter, words: &str) -> f32 {
    lettering(words, Color32::PLACEHOLDER).width(painter) + 2.0 * PADDING + POINT
}

/// Draws a flag from `left_middle` to the right and returns its rectangle.
pub fn flag(
    painter: &Painter,
    palette: &Palette,
    left_middle: Pos2,
    words: &str,
    look: FlagLook,
) -> Rect {
    let (fill, outline, text) = match look {
        FlagLook::Near => (palette.sheet, palette.amber_line, palette.amber),
        FlagLook::Broken => (palette.amber, palette.amber, palette.sheet),
    };
    let words = lettering(words, text);
    let width = words.width(painter) + 2.0 * PADDING + POINT;
    let rect = Rect::from_min_size(
        left_middle - egui::vec2(0.0, FLAG_HEIGHT / 2.0),
        egui::vec2(width, FLAG_HEIGHT),
    );
    painter.add(Shape::convex_polygon(
        pointed(rect),
        fill,
        Stroke::new(1.4, outline),
    ));
    let base_line = base_line_around(left_middle.y, text_size::UNIT);
    words.write(painter, pos2(rect.left() + PADDING, base_line), Align::LEFT);
    rect
}

fn lettering(words: &str, color: Color32) -> Lettering {
    Lettering::new(words, theme::bold(text_size::UNIT), color)
}

fn pointed(rect: Rect) -> Vec<Pos2> {
    let shoulder = rect.right() - POINT;
    vec![
        rect.left_top(),
        pos2(shoulder, rect.top()),
        rect.right_center(),
        pos2(shoulder, rect.bottom()),
        rect.left_bottom(),
    ]
}
