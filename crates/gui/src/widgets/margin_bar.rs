//! The margin bar: how far a value is from its bound, on one scale for all limits.

use egui::{Painter, Pos2, Rect, Shape, Stroke, pos2, vec2};

use super::hatch::{Hatch, hatch_rect};
use crate::theme::{Palette, measure};

/// What the margin says about a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LimitState {
    /// The limit holds, uncertainty included.
    #[default]
    Holds,
    /// The span of the margin reaches across the bound.
    Near,
    /// The limit is broken.
    Broken,
}

impl LimitState {
    /// The word for the accessibility tree and the run sheet.
    pub fn label(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::Near => "near its limit",
            Self::Broken => "broken",
        }
    }
}

/// A margin with its uncertainty. Positive: inside the bound. Shares of the bound, no unit; 1 is a full bar.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Margin {
    /// The margin.
    pub value: f64,
    /// Its 5 % and 95 % points, where they are known.
    pub span: Option<(f64, f64)>,
    /// What it says about the limit.
    pub state: LimitState,
}

/// The bound stands at this share of the bar's width.
const BOUND_PLACE: f32 = 0.7;

/// Where the bound stands on a bar of this rectangle.
pub fn bound_x(rect: Rect) -> f32 {
    rect.left() + BOUND_PLACE * rect.width()
}

/// Which parts of a bar are drawn: in a column of rows the bound and the hatch are drawn once for all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BarParts {
    /// Track, bound, hatch, span and mark: a bar that stands alone.
    Whole,
    /// Track, span and mark only.
    InColumn,
}

/// Draws a margin bar in the vertical middle of `rect`.
pub fn paint_margin_bar(
    painter: &Painter,
    palette: &Palette,
    rect: Rect,
    margin: Margin,
    parts: BarParts,
) {
    let y = rect.center().y;
    let bound = bound_x(rect);
    if parts == BarParts::Whole {
        painter.hline(
            rect.left()..=bound,
            y,
            Stroke::new(measure::RULE, palette.line),
        );
        let beyond = Rect::from_min_max(pos2(bound, y - 4.0), pos2(rect.right(), y + 4.0));
        hatch_rect(
            painter,
            beyond,
            Hatch {
                weight: 0.9,
                ..Hatch::beyond(palette)
            },
        );
        painter.vline(
            bound,
            y - 6.0..=y + 6.0,
            Stroke::new(measure::BOUND, palette.ink),
        );
    }
    let mut mark = place(rect, margin.value);
    if margin.state == LimitState::Broken {
        mark = mark.max((bound + 7.0).min(rect.right() - 4.0)); // an arrowhead is never read as left of the bound
    }
    if parts == BarParts::InColumn {
        let from = if margin.value >= 0.0 { mark } else { bound };
        let to = if margin.value >= 0.0 { bound } else { mark };
        painter.hline(from..=to, y, Stroke::new(measure::RULE, palette.line));
    }
    if let Some((low, high)) = margin.span {
        let color = match margin.state {
            LimitState::Holds => palette.ink3,
            LimitState::Near | LimitState::Broken => palette.amber_line,
        };
        let span = Rect::from_min_max(
            pos2(place(rect, high), y - 2.5),
            pos2(place(rect, low), y + 2.5),
        );
        painter.rect_filled(span, 0, color.gamma_multiply(0.65));
    }
    paint_margin_mark(painter, palette, pos2(mark, y), margin.state);
}

/// The mark of a margin: dot, hollow diamond or arrowhead.
pub fn paint_margin_mark(painter: &Painter, palette: &Palette, at: Pos2, state: LimitState) {
    match state {
        LimitState::Holds => {
            painter.circle_filled(at, 3.6, palette.ink);
        }
        LimitState::Near => {
            let outline = Stroke::new(1.6, palette.amber_line);
            painter.add(Shape::convex_polygon(
                diamond(at, 5.0),
                palette.sheet,
                outline,
            ));
        }
        LimitState::Broken => {
            painter.add(Shape::convex_polygon(
                arrowhead(at),
                palette.amber,
                Stroke::NONE,
            ));
        }
    }
}

/// The corners of a diamond that reaches `r` from its middle.
pub fn diamond(at: Pos2, r: f32) -> Vec<Pos2> {
    vec![
        at - vec2(0.0, r),
        at + vec2(r, 0.0),
        at + vec2(0.0, r),
        at - vec2(r, 0.0),
    ]
}

fn arrowhead(at: Pos2) -> Vec<Pos2> {
    vec![
        at + vec2(-4.5, -5.0),
        at + vec2(5.5, 0.0),
        at + vec2(-4.5, 5.0),
    ]
}

/// Where a margin stands on the bar, held inside it.
fn place(rect: Rect, margin: f64) -> f32 {
    #[expect(clippy::cast_possible_truncation, reason = "held within -1..=1")]
    let margin = if margin.is_nan() {
        0.0
    } else {
        margin.clamp(-1.0, 1.0) as f32
    };
    let inset = 4.0_f32.min(rect.width() / 4.0);
    (bound_x(rect) - margin * BOUND_PLACE * rect.width())
        .clamp(rect.left() + inset.min(2.0), rect.right() - inset)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_stand_left_of_the_bound_when_it_holds_and_right_when_it_is_broken() {
        let rect = Rect::from_min_size(pos2(10.0, 0.0), vec2(100.0, 20.0));
        assert!((bound_x(rect) - 80.0).abs() < 1e-4);
        assert!((place(rect, 0.0) - 80.0).abs() < 1e-4);
        assert!((place(rect, 0.5) - 45.0).abs() < 1e-4);
        assert!(place(rect, -0.1) > 80.0);
        assert!(place(rect, 40.0) >= rect.left() && place(rect, -40.0) <= rect.right());
        assert!(place(rect, f64::NAN).is_finite());
    }
}
