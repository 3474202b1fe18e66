//! The field of a plot and its axes.

use egui::{Align, Painter, Pos2, Rect, Shape, Stroke, pos2};

use crate::figure::axis::Axis;
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::lettering::Lettering;

/// Room for axes around a field, in points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// For the numbers of the axis up.
    pub left: f32,
    /// For the heading of the axis up.
    pub top: f32,
    /// At the right.
    pub right: f32,
    /// For the numbers and the heading of the axis across.
    pub bottom: f32,
}

impl Room {
    /// Room for both axes with numbers and headings.
    pub const AXES: Self = Self {
        left: 38.0,
        top: 20.0,
        right: 6.0,
        bottom: 40.0,
    };
    /// As [`Self::AXES`], with a color bar at the right.
    pub const AXES_AND_BAR: Self = Self {
        left: 38.0,
        top: 20.0,
        right: 60.0,
        bottom: 40.0,
    };
}

/// A field with its axes.
#[derive(Debug, Clone, Copy)]
pub struct Field<'a> {
    /// Where it stands in the window.
    pub rect: Rect,
    /// Axis across.
    pub x: &'a Axis,
    /// Axis up.
    pub y: &'a Axis,
}

/// A number of the plot as a screen coordinate.
#[expect(
    clippy::cast_possible_truncation,
    reason = "screen coordinates need no more digits"
)]
pub(crate) fn points(value: f64) -> f32 {
    value.clamp(-1e6, 1e6) as f32
}

impl<'a> Field<'a> {
    /// The field that is left of `outer` when room is taken for the axes.
    pub fn inside(outer: Rect, room: Room, x: &'a Axis, y: &'a Axis) -> Self {
        let rect = Rect::from_min_max(
            pos2(outer.left() + room.left, outer.top() + room.top),
            pos2(outer.right() - room.right, outer.bottom() - room.bottom),
        );
        Self { rect, x, y }
    }

    /// Where a place of the plot stands on the screen; `None` where an axis has no place for it.
    pub fn place(&self, at: [f64; 2]) -> Option<Pos2> {
        Some(pos2(self.place_x(at[0])?, self.place_y(at[1])?))
    }

    /// Where a value across stands.
    pub fn place_x(&self, value: f64) -> Option<f32> {
        Some(self.rect.left() + points(self.x.fraction(value)?) * self.rect.width())
    }

    /// Where a value up stands.
    pub fn place_y(&self, value: f64) -> Option<f32> {
        Some(self.rect.bottom() - points(self.y.fraction(value)?) * self.rect.height())
    }

    /// What stands at a point of the screen.
    pub fn at(&self, point: Pos2) -> [f64; 2] {
        let across = f64::from((point.x - self.rect.left()) / self.rect.width());
        let up = f64::from((self.rect.bottom() - point.y) / self.rect.height());
        [self.x.value_at(across), self.y.value_at(up)]
    }

    /// As [`Self::at`], held inside the field.
    pub fn held_at(&self, point: Pos2) -> [f64; 2] {
        self.at(self.rect.clamp(point))
    }

    /// The places of a line on the screen; places without one are left out.
    pub fn path(&self, line: &[[f64; 2]]) -> Vec<Pos2> {
        line.iter().filter_map(|at| self.place(*at)).collect()
    }

    /// A painter that draws nothing outside the field.
    pub fn painter(&self, painter: &Painter) -> Painter {
        painter.with_clip_rect(painter.clip_rect().intersect(self.rect))
    }

    /// Draws the sheet.
    pub fn paint_ground(&self, painter: &Painter, palette: &Palette) {
        painter.rect_filled(self.rect, 0, palette.sheet);
    }

    /// Draws a line inside the field.
    pub fn paint_line(&self, painter: &Painter, line: &[[f64; 2]], stroke: Stroke) {
        self.painter(painter)
            .add(Shape::line(self.path(line), stroke));
    }

    /// Draws a dashed line inside the field.
    pub fn paint_dashes(
        &self,
        painter: &Painter,
        line: &[[f64; 2]],
        stroke: Stroke,
        dash: (f32, f32),
    ) {
        let path = self.path(line);
        self.painter(painter)
            .extend(Shape::dashed_line(&path, stroke, dash.0, dash.1));
    }

    /// Draws both axes with ticks, numbers and headings.
    pub fn paint_axes(&self, painter: &Painter, palette: &Palette) {
        let stroke = Stroke::new(measure::RULE, palette.ink3);
        painter.hline(self.rect.x_range(), self.rect.bottom(), stroke);
        painter.vline(self.rect.left(), self.rect.y_range(), stroke);
        self.paint_ticks_across(painter, palette);
        self.paint_ticks_up(painter, palette);
        let heading =
            |text: String| Lettering::new(text, theme::regular(text_size::UNIT), palette.ink2);
        heading(self.x.heading()).write(
            painter,
            pos2(self.rect.right(), self.rect.bottom() + 35.0),
            Align::RIGHT,
        );
        let left = self.rect.left() - 36.0;
        heading(self.y.heading()).write_within(
            painter,
            pos2(left, self.rect.top() - 9.0),
            Align::LEFT,
            self.rect.right() - left,
        );
    }

    /// Draws ticks and numbers of the axis across.
    pub fn paint_ticks_across(&self, painter: &Painter, palette: &Palette) {
        let stroke = Stroke::new(measure::RULE, palette.ink3);
        let n_ticks = if self.rect.width() < 200.0 { 4 } else { 6 };
        let mut free_from = f32::NEG_INFINITY;
        for tick in self.x.ticks(n_ticks) {
            let Some(x) = self.place_x(tick.value) else {
                continue;
            };
            painter.vline(x, self.rect.bottom()..=self.rect.bottom() + 5.0, stroke);
            let label = Lettering::new(&tick.label, theme::regular(text_size::UNIT), palette.ink2);
            let half = label.width(painter) / 2.0;
            if x - half > free_from {
                label.write(painter, pos2(x, self.rect.bottom() + 18.0), Align::Center);
                free_from = x + half + 4.0;
            }
        }
    }

    /// Draws ticks and numbers of the axis up.
    pub fn paint_ticks_up(&self, painter: &Painter, palette: &Palette) {
        let stroke = Stroke::new(measure::RULE, palette.ink3);
        let n_ticks = if self.rect.height() < 120.0 { 3 } else { 5 };
        for tick in self.y.ticks(n_ticks) {
            let Some(y) = self.place_y(tick.value) else {
                continue;
            };
            painter.hline(self.rect.left() - 5.0..=self.rect.left(), y, stroke);
            Lettering::new(&tick.label, theme::regular(text_size::UNIT), palette.ink2).write(
                painter,
                pos2(self.rect.left() - 9.0, y + 4.5),
                Align::RIGHT,
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::vec2;

    #[test]
    fn places_and_points_are_inverse() {
        let (x, y) = (
            Axis::linear("speed", "m/min", 0.0, 4.0),
            Axis::log("thickness", "µm", 1.0, 100.0),
        );
        let field = Field {
            rect: Rect::from_min_size(pos2(10.0, 20.0), vec2(200.0, 100.0)),
            x: &x,
            y: &y,
        };
        assert_eq!(field.place([1.0, 10.0]), Some(pos2(60.0, 70.0))); // quarter across, half way up in decades
        let [across, up] = field.at(pos2(60.0, 70.0));
        assert!((across - 1.0).abs() < 1e-5 && (up - 10.0).abs() < 1e-4);
        assert_eq!(field.place([1.0, -1.0]), None);
        let held = field.held_at(pos2(-500.0, 500.0));
        assert!(held[0].abs() < 1e-6 && (held[1] - 1.0).abs() < 1e-6);
    }
}
