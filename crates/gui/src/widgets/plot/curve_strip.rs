//! A film quality along one setting through the cross, drawn under the station where the setting is made.

use egui::{
    Align, EventFilter, Id, Key, Mesh, Painter, Rect, Response, Sense, Shape, Stroke, Ui,
    WidgetInfo, accesskit::Role, pos2, vec2,
};

use super::field::Field;
use crate::figure::axis::Axis;
use crate::figure::color_map::WantedEnd;
use crate::number_text::format_short;
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::button::focus_ring;
use crate::widgets::hatch::{Hatch, hatch_rect};
use crate::widgets::lettering::{Lettering, write_run};

/// Height of the field of a strip.
pub const STRIP_HEIGHT: f32 = 56.0;
/// Room above the field, for name and unit.
pub const STRIP_ABOVE: f32 = 18.0;
/// Room below the field, for the handle and the ends of the setting.
pub const STRIP_BELOW: f32 = 22.0;

/// A quality along one setting.
#[derive(Debug, Clone, PartialEq)]
pub struct CurveStrip<'a> {
    /// Name of the setting.
    pub name: &'a str,
    /// Its unit.
    pub unit: &'a str,
    /// Axis of the setting.
    pub x: &'a Axis,
    /// Axis of the quality, the same for all strips of a row.
    pub y: &'a Axis,
    /// Places `[setting, quality]` of the fitted curve.
    pub curve: &'a [[f64; 2]],
    /// Places `[setting, lower, upper]` of its band; may be empty.
    pub band: &'a [[f64; 3]],
    /// The bound of the goal and the end that is wanted.
    pub goal: Option<(f64, WantedEnd)>,
    /// The setting now.
    pub at: f64,
    /// Lowest and highest setting as text.
    pub ends: (&'a str, &'a str),
    /// Whether the numbers of the quality stand at the left (about 40 points beside the field).
    pub shows_numbers: bool,
}

/// The setting was moved along a strip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StripMove {
    /// The new setting.
    pub to: f64,
    /// Whether the move is finished.
    pub is_done: bool,
}

impl CurveStrip<'_> {
    /// Draws the strip with its field in `rect` (usually [`STRIP_HEIGHT`] high); takes no room in the layout.
    ///
    /// A press or drag in the field, or the arrows, move the setting.
    pub fn show_at(&self, ui: &Ui, rect: Rect) -> Option<StripMove> {
        let palette = Palette::of(ui);
        let field = Field {
            rect,
            x: self.x,
            y: self.y,
        };
        let id = Id::unique(("curve strip", self.name));
        let target = Rect::from_min_max(rect.min, rect.max + vec2(0.0, STRIP_BELOW / 2.0));
        let response = ui.interact(target, id, Sense::click_and_drag());
        let is_enabled = ui.is_enabled();
        let words = format!("{}, {} {}", self.name, format_short(self.at), self.unit);
        response.widget_info(|| WidgetInfo {
            value: Some(self.at),
            ..WidgetInfo::labeled(Role::Slider, is_enabled, &words)
        });
        self.paint(ui.painter(), palette, &field);
        focus_ring(ui, rect, &response);
        self.moves(ui, &response, &field)
    }

    fn paint(&self, painter: &Painter, palette: &Palette, field: &Field<'_>) {
        let rect = field.rect;
        field.paint_ground(painter, palette);
        self.paint_band(painter, palette, field);
        self.paint_goal(painter, palette, field);
        painter.hline(
            rect.x_range(),
            rect.bottom(),
            Stroke::new(measure::RULE, palette.ink3),
        );
        field.paint_line(painter, self.curve, Stroke::new(2.0, palette.accent));
        let name = Lettering::new(self.name, theme::bold(text_size::UNIT_CLOSE), palette.ink);
        let unit = Lettering::new(
            self.unit,
            theme::regular(text_size::UNIT_CLOSE),
            palette.ink2,
        );
        write_run(
            painter,
            pos2(rect.left(), rect.top() - 6.0),
            6.0,
            &[name, unit],
        );
        self.paint_plumb_line(painter, palette, field);
        let end =
            |text: &str| Lettering::new(text, theme::regular(text_size::UNIT_CLOSE), palette.ink2);
        let base_line = rect.bottom() + 19.0;
        end(self.ends.0).write(painter, pos2(rect.left(), base_line), Align::LEFT);
        end(self.ends.1).write(painter, pos2(rect.right(), base_line), Align::RIGHT);
        if self.shows_numbers {
            painter.vline(
                rect.left(),
                rect.y_range(),
                Stroke::new(measure::RULE, palette.ink3),
            );
            self.paint_numbers(painter, palette, field);
        }
    }

    /// Numbers of the quality at the left; the goal's is bold and keeps its room.
    fn paint_numbers(&self, painter: &Painter, palette: &Palette, field: &Field<'_>) {
        let goal = self
            .goal
            .and_then(|(goal, _)| Some((field.place_y(goal)?, goal)));
        let goal = goal.filter(|(y, _)| field.rect.y_range().contains(*y));
        let number = |y: f32, lettering: Lettering| {
            painter.hline(
                field.rect.left() - 5.0..=field.rect.left(),
                y,
                Stroke::new(measure::RULE, palette.ink3),
            );
            lettering.write(
                painter,
                pos2(field.rect.left() - 9.0, y + 4.5),
                Align::RIGHT,
            );
        };
        if let Some((y, goal)) = goal {
            number(
                y,
                Lettering::new(
                    plain(goal),
                    theme::bold(text_size::UNIT_CLOSE),
                    palette.amber,
                ),
            );
        }
        for tick in self.y.ticks(4) {
            let Some(y) = field.place_y(tick.value) else {
                continue;
            };
            if goal.is_none_or(|(goal, _)| (goal - y).abs() > 13.0) {
                number(
                    y,
                    Lettering::new(
                        &tick.label,
                        theme::regular(text_size::UNIT_CLOSE),
                        palette.ink2,
                    ),
                );
            }
        }
    }

    fn paint_band(&self, painter: &Painter, palette: &Palette, field: &Field<'_>) {
        let mut mesh = Mesh::default();
        for [x, low, high] in self.band {
            let (Some(low), Some(high)) = (field.place([*x, *low]), field.place([*x, *high]))
            else {
                continue;
            };
            let n = u32::try_from(mesh.vertices.len()).unwrap_or(0);
            mesh.colored_vertex(low, palette.accent_soft);
            mesh.colored_vertex(high, palette.accent_soft);
            if n >= 2 {
                mesh.add_triangle(n - 2, n - 1, n);
                mesh.add_triangle(n - 1, n, n + 1);
            }
        }
        field.painter(painter).add(Shape::mesh(mesh));
    }

    fn paint_goal(&self, painter: &Painter, palette: &Palette, field: &Field<'_>) {
        let Some((goal, wanted)) = self.goal else {
            return;
        };
        let Some(y) = field.place_y(goal) else { return };
        let y = y.clamp(field.rect.top(), field.rect.bottom());
        let beyond = match wanted {
            WantedEnd::Low => Rect::from_x_y_ranges(field.rect.x_range(), field.rect.top()..=y),
            WantedEnd::High => Rect::from_x_y_ranges(field.rect.x_range(), y..=field.rect.bottom()),
        };
        hatch_rect(painter, beyond, Hatch::beyond(palette));
        painter.hline(
            field.rect.x_range(),
            y,
            Stroke::new(1.2, palette.amber_line),
        );
    }

    /// The line down to the curve, the ring on it and the handle below the field.
    fn paint_plumb_line(&self, painter: &Painter, palette: &Palette, field: &Field<'_>) {
        let Some(x) = field
            .place_x(self.at)
            .filter(|x| field.rect.x_range().expand(1.0).contains(*x))
        else {
            return;
        };
        let y = value_at(self.curve, self.at).and_then(|value| field.place_y(value));
        let y = y
            .unwrap_or(field.rect.center().y)
            .clamp(field.rect.top(), field.rect.bottom());
        painter.vline(x, field.rect.top() - 3.0..=y, Stroke::new(1.0, palette.ink));
        painter.circle(
            pos2(x, y),
            4.4,
            palette.sheet,
            Stroke::new(1.6, palette.ink),
        );
        let tip = pos2(x, field.rect.bottom() + 2.0);
        let handle = vec![tip, tip + vec2(5.0, 7.0), tip + vec2(-5.0, 7.0)];
        painter.add(Shape::convex_polygon(handle, palette.accent, Stroke::NONE));
    }

    fn moves(&self, ui: &Ui, response: &Response, field: &Field<'_>) -> Option<StripMove> {
        if response.has_focus() {
            let filter = EventFilter {
                horizontal_arrows: true,
                ..EventFilter::default()
            };
            ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, filter));
            let steps = ui.input(|input| {
                let pressed = |key| f64::from(u8::from(input.key_pressed(key)));
                let size = if input.modifiers.shift { 0.05 } else { 0.01 };
                size * (pressed(Key::ArrowRight) - pressed(Key::ArrowLeft))
            });
            if steps.abs() > 0.0 {
                let share = (self.x.fraction(self.at)? + steps).clamp(0.0, 1.0);
                return Some(StripMove {
                    to: self.x.value_at(share),
                    is_done: true,
                });
            }
        }
        let pointer = response.interact_pointer_pos()?;
        let to = field.held_at(pointer)[0];
        if response.drag_stopped() || response.clicked() {
            return Some(StripMove { to, is_done: true });
        }
        response
            .dragged()
            .then_some(StripMove { to, is_done: false })
    }
}

/// A bound as people write it: no more decimals than it needs, three at most.
fn plain(value: f64) -> String {
    let text = crate::number_text::format_number(value, 3);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The value of a curve at `x`, linear between its places; `None` outside.
fn value_at(curve: &[[f64; 2]], x: f64) -> Option<f64> {
    curve
        .iter()
        .zip(curve.iter().skip(1))
        .find_map(|([x0, y0], [x1, y1])| {
            let is_between = *x0 <= x && x <= *x1 && x1 > x0;
            is_between.then(|| y0 + (y1 - y0) * (x - x0) / (x1 - x0))
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ring_sits_on_the_curve() {
        let curve = [[0.0, 1.0], [1.0, 3.0], [2.0, 2.0]];
        assert!((value_at(&curve, 0.5).unwrap() - 2.0).abs() < 1e-12);
        assert!((value_at(&curve, 2.0).unwrap() - 2.0).abs() < 1e-12);
        assert_eq!(value_at(&curve, 2.1), None);
        assert_eq!(value_at(&[], 0.0), None);
    }
}
