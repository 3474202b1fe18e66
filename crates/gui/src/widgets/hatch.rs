//! Hatching: 45° lines rising to the right, fixed to the screen, that mean "not here" everywhere in the window.

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, pos2};

use crate::theme::Palette;

/// Distance, weight and color of hatch lines.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hatch {
    /// Distance between lines, square to them, in points.
    pub pitch: f32,
    /// Line weight in points.
    pub weight: f32,
    /// Line color.
    pub color: Color32,
}

impl Hatch {
    /// Settings that cannot run, on plots and strips.
    pub fn infeasible(palette: &Palette) -> Self {
        Self {
            pitch: 8.0,
            weight: 1.3,
            color: palette.hatch,
        }
    }

    /// The side beyond a limit or a goal, on bars and curves.
    pub fn beyond(palette: &Palette) -> Self {
        Self {
            pitch: 6.0,
            weight: 1.0,
            color: palette.hatch,
        }
    }

    /// A station whose limit is near.
    pub fn near(palette: &Palette) -> Self {
        Self {
            pitch: 8.0,
            weight: 1.5,
            color: palette.amber_line,
        }
    }

    /// A station whose limit is broken.
    pub fn broken(palette: &Palette) -> Self {
        Self {
            pitch: 4.0,
            weight: 1.7,
            color: palette.amber_line,
        }
    }

    /// The same hatch in another color.
    #[must_use]
    pub fn with_color(self, color: Color32) -> Self {
        Self { color, ..self }
    }

    /// The same hatch `k` times as close.
    #[must_use]
    pub fn scaled(self, k: f32) -> Self {
        Self {
            pitch: (self.pitch * k).max(3.0),
            weight: (self.weight * k).max(0.8),
            ..self
        }
    }

    fn stroke(&self) -> Stroke {
        Stroke::new(self.weight, self.color)
    }
}

/// Hatches a rectangle.
pub fn hatch_rect(painter: &Painter, rect: Rect, hatch: Hatch) {
    if !rect.is_positive() {
        return;
    }
    let clipped = painter.with_clip_rect(painter.clip_rect().intersect(rect));
    let lines = diagonals(rect, hatch.pitch).map(|line| {
        Shape::line_segment(
            [line.at(rect.left()), line.at(rect.right())],
            hatch.stroke(),
        )
    });
    clipped.extend(lines);
}

/// Hatches the inside of a polygon of any shape (even-odd rule).
pub fn hatch_polygon(painter: &Painter, corners: &[Pos2], hatch: Hatch) {
    let bounds = Rect::from_points(corners);
    for line in diagonals(bounds, hatch.pitch) {
        let mut xs: Vec<f32> = (0..corners.len())
            .filter_map(|i| line.cut(*corners.get(i)?, *corners.get((i + 1) % corners.len())?))
            .collect();
        xs.sort_by(f32::total_cmp);
        for pair in xs.chunks_exact(2) {
            if let [from, to] = *pair {
                painter.line_segment([line.at(from), line.at(to)], hatch.stroke());
            }
        }
    }
}

/// Hatches the inside of a circle.
pub fn hatch_circle(painter: &Painter, center: Pos2, radius: f32, hatch: Hatch) {
    let bounds = Rect::from_center_size(center, egui::Vec2::splat(2.0 * radius));
    for line in diagonals(bounds, hatch.pitch) {
        let offset = (line.sum - center.x - center.y) / std::f32::consts::SQRT_2;
        let half_chord =
            (radius * radius - offset * offset).max(0.0).sqrt() / std::f32::consts::SQRT_2;
        let middle = center.x + offset / std::f32::consts::SQRT_2;
        if half_chord > 0.5 {
            painter.line_segment(
                [line.at(middle - half_chord), line.at(middle + half_chord)],
                hatch.stroke(),
            );
        }
    }
}

/// Hatches those parts of `rect` where `is_inside` holds for the screen point.
///
/// Lines are walked in steps of 2 points and cut by bisection to a tenth of a point; slivers thinner than a step
/// along the line may be missed.
pub fn hatch_where(painter: &Painter, rect: Rect, hatch: Hatch, is_inside: impl Fn(Pos2) -> bool) {
    const STEP: f32 = 2.0;
    if !rect.is_positive() {
        return;
    }
    let mut lines = Vec::new();
    for line in diagonals(rect, hatch.pitch) {
        let (first, last) = line.span(rect);
        let mut started = is_inside(line.at(first)).then_some(first);
        let mut x = first;
        while x < last {
            let next = (x + STEP).min(last);
            let (was, is) = (started.is_some(), is_inside(line.at(next)));
            if was != is {
                let cut = bisect(x, next, |x| is_inside(line.at(x)) == was);
                match started.take() {
                    Some(from) => lines.push(Shape::line_segment(
                        [line.at(from), line.at(cut)],
                        hatch.stroke(),
                    )),
                    None => started = Some(cut),
                }
            }
            x = next;
        }
        if let Some(from) = started {
            lines.push(Shape::line_segment(
                [line.at(from), line.at(last)],
                hatch.stroke(),
            ));
        }
    }
    painter
        .with_clip_rect(painter.clip_rect().intersect(rect))
        .extend(lines);
}

/// The last place between `low` and `high` where `holds`, which holds at `low` and not at `high`.
fn bisect(mut low: f32, mut high: f32, holds: impl Fn(f32) -> bool) -> f32 {
    while high - low > 0.1 {
        let middle = 0.5 * (low + high);
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// A line x + y = sum on screen (y grows downwards, so it rises to the right).
#[derive(Debug, Clone, Copy)]
struct Diagonal {
    sum: f32,
}

impl Diagonal {
    fn at(self, x: f32) -> Pos2 {
        pos2(x, self.sum - x)
    }

    /// Where the line enters and leaves `rect`, which it meets.
    fn span(self, rect: Rect) -> (f32, f32) {
        (
            (self.sum - rect.bottom()).max(rect.left()),
            (self.sum - rect.top()).min(rect.right()),
        )
    }

    /// Where the line cuts the side from `a` to `b`; the end `b` does not belong to the side.
    fn cut(self, a: Pos2, b: Pos2) -> Option<f32> {
        let (from, to) = (a.x + a.y - self.sum, b.x + b.y - self.sum);
        ((from < 0.0) != (to < 0.0)).then(|| a.x + (b.x - a.x) * from / (from - to))
    }
}

/// The hatch lines that meet `bounds`, on a grid fixed to the screen.
fn diagonals(bounds: Rect, pitch: f32) -> impl Iterator<Item = Diagonal> {
    let step = f64::from(pitch.max(1.0)) * std::f64::consts::SQRT_2;
    let from = f64::from(bounds.left() + bounds.top());
    let to = f64::from(bounds.right() + bounds.bottom());
    let first = (from / step).ceil();
    let n = if bounds.is_finite() {
        ((to / step).floor() - first + 1.0).clamp(0.0, 20_000.0)
    } else {
        0.0
    };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "held within 0..=20000 above"
    )]
    let n = n as u32;
    #[expect(
        clippy::cast_possible_truncation,
        reason = "screen coordinates fit f32"
    )]
    (0..n).map(move |k| Diagonal {
        sum: ((first + f64::from(k)) * step) as f32,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_the_pitch_apart() {
        let lines: Vec<_> =
            diagonals(Rect::from_min_max(pos2(0.0, 0.0), pos2(100.0, 50.0)), 8.0).collect();
        // Distance between x + y = s and x + y = t is |s - t| / √2 (elementary geometry); 150 / (8√2) = 13.3.
        assert_eq!(lines.len(), 14);
        for pair in lines.windows(2) {
            assert!(((pair[1].sum - pair[0].sum) / std::f32::consts::SQRT_2 - 8.0).abs() < 1e-3);
        }
        assert_eq!(diagonals(Rect::NOTHING, 8.0).count(), 0);
        assert_eq!(diagonals(Rect::EVERYTHING, 8.0).count(), 0);
    }

    #[test]
    fn cuts_of_a_closed_outline_come_in_pairs() {
        // A concave arrow shape: every line must cut it an even number of times.
        let corners = [
            pos2(0.0, 0.0),
            pos2(40.0, 0.0),
            pos2(20.0, 10.0),
            pos2(40.0, 40.0),
            pos2(0.0, 40.0),
        ];
        for line in diagonals(Rect::from_points(&corners), 3.0) {
            let n = (0..5)
                .filter(|&i| line.cut(corners[i], corners[(i + 1) % 5]).is_some())
                .count();
            assert_eq!(n % 2, 0);
        }
    }

    #[test]
    fn bisection_finds_the_edge() {
        assert!((bisect(0.0, 2.0, |x| x < 1.3) - 1.3).abs() <= 0.1);
    }
}
