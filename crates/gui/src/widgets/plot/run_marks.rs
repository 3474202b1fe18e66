//! Runs on a plot: each number in a shape that says what became of it, the same everywhere.

use egui::{Align, Color32, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, pos2};

use super::field::Field;
pub use crate::figure::run_marks::{RunMark, RunMarkKind};
use crate::theme::{self, Palette, text_size};
use crate::widgets::lettering::Lettering;

/// Radius of a run mark in points.
pub const RADIUS: f32 = 8.5;
/// Distance between marks of runs with the same settings.
const PITCH: f32 = 19.0;
/// Marks side by side before a new row is begun.
const N_IN_ROW: u16 = 4;
/// How near a press must be to pick a run, in points.
const REACH: f32 = 12.0;

/// A run mark with its place on the screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlacedRun {
    /// Where its middle stands.
    pub center: Pos2,
    /// Number of the run.
    pub number: u32,
}

/// Finds a place for every run inside `field`; runs with the same settings stand side by side.
pub fn place_runs(field: &Field<'_>, runs: &[RunMark]) -> Vec<Option<PlacedRun>> {
    let mut groups: Vec<(Pos2, u16)> = Vec::new();
    runs.iter()
        .map(|run| {
            let at = field
                .place(run.at)
                .filter(|at| field.rect.expand(2.0).contains(*at))?;
            let group = groups
                .iter_mut()
                .find(|(place, _)| place.distance(at) < 2.0);
            let index = if let Some((_, n)) = group {
                *n += 1;
                *n
            } else {
                groups.push((at, 0));
                0
            };
            let (column, row) = (f32::from(index % N_IN_ROW), f32::from(index / N_IN_ROW));
            // Rows of marks grow into the field, whichever edge the place is near.
            let side = if at.x > field.rect.center().x {
                -1.0
            } else {
                1.0
            };
            let up = if at.y > field.rect.center().y {
                -1.0
            } else {
                1.0
            };
            let center = at + egui::vec2(side * column, up * row) * PITCH;
            Some(PlacedRun {
                center,
                number: run.number,
            })
        })
        .collect()
}

/// Draws the runs; `selected` is filled with the ground of selected rows.
pub fn paint_runs(
    painter: &Painter,
    palette: &Palette,
    runs: &[RunMark],
    places: &[Option<PlacedRun>],
    selected: Option<u32>,
) {
    for (run, place) in runs.iter().zip(places) {
        let Some(place) = place else { continue };
        paint_run(
            painter,
            palette,
            place.center,
            run.number,
            run.kind,
            selected == Some(run.number),
        );
        if !run.note.is_empty() {
            let at = pos2(place.center.x + RADIUS + 4.0, place.center.y + 4.5);
            Lettering::new(&run.note, theme::regular(text_size::UNIT), palette.ink2).write_cased(
                painter,
                at,
                Align::LEFT,
                palette.sheet,
            );
        }
    }
}

/// Draws one run mark around `center`.
pub fn paint_run(
    painter: &Painter,
    palette: &Palette,
    center: Pos2,
    number: u32,
    kind: RunMarkKind,
    is_selected: bool,
) {
    let fill = if is_selected {
        palette.accent
    } else {
        palette.sheet
    };
    let mut text = if is_selected {
        palette.on_accent
    } else {
        palette.ink
    };
    match kind {
        RunMarkKind::Sound => {
            painter.circle(center, RADIUS, fill, Stroke::new(1.3, palette.ink));
        }
        RunMarkKind::Return => {
            painter.circle(center, RADIUS + 2.5, fill, Stroke::new(1.1, palette.ink));
            painter.circle(center, RADIUS - 0.5, fill, Stroke::new(1.1, palette.ink));
        }
        RunMarkKind::Near => {
            painter.circle_filled(center, RADIUS, fill);
            painter.extend(dashed_ring(
                center,
                RADIUS,
                Stroke::new(1.7, palette.amber_line),
            ));
        }
        RunMarkKind::Faulty => {
            let square = Rect::from_center_size(center, egui::Vec2::splat(2.0 * RADIUS));
            let fill = if is_selected {
                palette.amber
            } else {
                palette.amber_soft
            };
            text = if is_selected {
                palette.sheet
            } else {
                palette.amber
            };
            painter.rect(
                square,
                0,
                fill,
                Stroke::new(1.6, palette.amber_line),
                StrokeKind::Middle,
            );
        }
    }
    number_in(painter, center, number, text, kind == RunMarkKind::Faulty);
}

fn number_in(painter: &Painter, center: Pos2, number: u32, color: Color32, is_bold: bool) {
    let size = if number > 99 { 9.0 } else { 11.0 };
    let font = if is_bold {
        theme::bold(size)
    } else {
        theme::regular(size)
    };
    Lettering::new(number.to_string(), font, color).write(
        painter,
        pos2(center.x, center.y + 0.36 * size),
        Align::Center,
    );
}

/// A ring of dashes.
pub fn dashed_ring(center: Pos2, radius: f32, stroke: Stroke) -> Vec<Shape> {
    const N_STEPS: u8 = 60;
    let path: Vec<Pos2> = (0..=N_STEPS)
        .map(|i| {
            center
                + radius
                    * egui::Vec2::angled(std::f32::consts::TAU * f32::from(i) / f32::from(N_STEPS))
        })
        .collect();
    Shape::dashed_line(&path, stroke, 4.0, 2.6)
}

/// The run nearest to a press, within reach.
pub fn run_at(places: &[Option<PlacedRun>], point: Pos2) -> Option<u32> {
    places
        .iter()
        .flatten()
        .map(|place| (place.center.distance(point), place.number))
        .filter(|(distance, _)| *distance <= REACH)
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, number)| number)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::axis::Axis;
    use egui::vec2;

    #[test]
    fn runs_of_the_same_settings_do_not_hide_each_other() {
        let (x, y) = (
            Axis::linear("", "", 0.0, 1.0),
            Axis::linear("", "", 0.0, 1.0),
        );
        let field = Field {
            rect: Rect::from_min_size(pos2(0.0, 0.0), vec2(300.0, 200.0)),
            x: &x,
            y: &y,
        };
        let run = |number, at| RunMark {
            at,
            number,
            kind: RunMarkKind::Sound,
            note: String::new(),
        };
        let runs: Vec<RunMark> = (1..=6)
            .map(|n| run(n, [0.2, 0.4]))
            .chain([run(7, [3.0, 0.4])])
            .collect();
        let places = place_runs(&field, &runs);
        assert_eq!(places[6], None);
        for (i, a) in places.iter().flatten().enumerate() {
            for b in places.iter().flatten().skip(i + 1) {
                assert!(a.center.distance(b.center) > 2.0 * RADIUS);
            }
        }
        assert_eq!(run_at(&places, pos2(60.0, 121.0)), Some(1));
        assert_eq!(run_at(&places, pos2(250.0, 20.0)), None);
    }
}
