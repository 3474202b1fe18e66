//! The window of the line: limit curves over two settings, what cannot run hatched, the cross at the settings now.

use egui::{
    Align, Id, Mesh, Painter, Pos2, Rect, Response, Sense, Shape, Stroke, StrokeKind, Ui,
    WidgetInfo, accesskit::Role, pos2, vec2,
};

use super::cross::{CrossMove, cross_moves, paint_cross, paint_cross_lines};
use super::field::{Field, Room};
use super::run_marks::{PlacedRun, RunMark, paint_runs, place_runs, run_at};
use crate::figure::axis::Axis;
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::button::focus_ring;
use crate::widgets::hatch::{Hatch, hatch_where};
use crate::widgets::lettering::Lettering;

/// What kind of line a curve of the window is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CurveKind {
    /// The edge of what can run.
    Edge,
    /// A further limit that does not bind here.
    Further,
    /// The line of a stated chance: dotted.
    Chance,
}

/// A curve of the window with its name.
#[derive(Debug, Clone, PartialEq)]
pub struct WindowCurve {
    /// Its pieces, each a list of places `[across, up]`.
    pub pieces: Vec<Vec<[f64; 2]>>,
    /// What kind of line it is.
    pub kind: CurveKind,
    /// What is written along it; empty for nothing.
    pub name: String,
}

/// Words at a place of the plot.
#[derive(Debug, Clone, PartialEq)]
pub struct PlotNote {
    /// Where their middle stands.
    pub at: [f64; 2],
    /// The words.
    pub words: String,
    /// Whether they name a limit or region (bold) or tell a consequence.
    pub is_name: bool,
}

/// The range of the plan as a dashed box.
#[derive(Debug, Clone, PartialEq)]
pub struct RangeBox {
    /// Lowest and highest value across.
    pub across: (f64, f64),
    /// Lowest and highest value up.
    pub up: (f64, f64),
    /// What is written on it, e.g. "range to be varied".
    pub words: String,
}

/// The window of the line over two settings.
pub struct WindowChart<'a> {
    /// Name of the plot, unique in the window: what it shows, in words.
    pub name: &'a str,
    /// Axis across.
    pub x: &'a Axis,
    /// Axis up.
    pub y: &'a Axis,
    /// Whether a place can run. Asked about ten thousand times a frame: look it up in a grid rather than compute it.
    pub can_run: &'a dyn Fn([f64; 2]) -> bool,
    /// The chance that a place works, which shades the field; asked about two thousand times a frame.
    pub chance: Option<&'a dyn Fn([f64; 2]) -> Option<f64>>,
    /// The curves.
    pub curves: &'a [WindowCurve],
    /// Words in the field.
    pub notes: &'a [PlotNote],
    /// The range of the plan.
    pub range: Option<&'a RangeBox>,
    /// The settings now.
    pub cross: Option<[f64; 2]>,
    /// Runs of the plan.
    pub runs: &'a [RunMark],
    /// The selected run.
    pub selected: Option<u32>,
}

impl std::fmt::Debug for WindowChart<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("WindowChart")
            .field("name", &self.name)
            .finish_non_exhaustive()
    }
}

/// What was done with a plot.
#[derive(Debug, Clone)]
pub struct PlotOutput {
    /// The cross was moved.
    pub moved: Option<CrossMove>,
    /// A run was pressed.
    pub picked: Option<u32>,
    /// The run under the pointer.
    pub hovered: Option<u32>,
    /// The place under the pointer, in the units of the axes.
    pub pointer: Option<[f64; 2]>,
    /// Where the field stands.
    pub field: Rect,
    /// Response of the field.
    pub response: Response,
}

impl WindowChart<'_> {
    /// Draws the chart in `size`, axes included.
    pub fn show(&self, ui: &mut Ui, size: egui::Vec2) -> PlotOutput {
        let (outer, _) = ui.allocate_exact_size(size, Sense::hover());
        let field = Field::inside(outer, Room::AXES, self.x, self.y);
        let palette = Palette::of(ui);
        let id = Id::unique(("window chart", self.name));
        let response = ui.interact(field.rect, id, Sense::click_and_drag());
        self.describe(ui, &response);
        let painter = ui.painter();
        field.paint_ground(painter, palette);
        if let Some(chance) = self.chance {
            paint_shade(painter, palette, &field, chance);
        }
        let blocked = |point: Pos2| !(self.can_run)(field.at(point));
        hatch_where(painter, field.rect, Hatch::infeasible(palette), blocked);
        let places = place_runs(&field, self.runs);
        self.paint_curves(painter, palette, &field);
        self.paint_range(painter, palette, &field);
        self.paint_names(
            painter,
            palette,
            &field,
            self.taken(painter, &field, &places),
        );
        for note in self.notes {
            paint_note(painter, palette, &field, note);
        }
        if let Some(at) = self.cross.and_then(|cross| field.place(cross)) {
            paint_cross_lines(painter, palette, &field, at);
        }
        paint_runs(painter, palette, self.runs, &places, self.selected);
        if let Some(at) = self.cross.and_then(|cross| field.place(cross)) {
            paint_cross(&field.painter(painter), palette, at);
        }
        field.paint_axes(painter, palette);
        focus_ring(ui, field.rect, &response);
        let moved = self
            .cross
            .and_then(|cross| cross_moves(ui, &response, &field, cross));
        let pointer = response.hover_pos();
        PlotOutput {
            moved,
            picked: response
                .clicked()
                .then(|| pointer.and_then(|p| run_at(&places, p)))
                .flatten(),
            hovered: pointer.and_then(|p| run_at(&places, p)),
            pointer: pointer.map(|p| field.at(p)),
            field: field.rect,
            response,
        }
    }

    fn describe(&self, ui: &Ui, response: &Response) {
        let is_enabled = ui.is_enabled();
        let state = match self.cross {
            Some([across, up]) => {
                let verdict = if (self.can_run)([across, up]) {
                    "can run"
                } else {
                    "cannot run"
                };
                let number = crate::number_text::format_short;
                format!(
                    "{}; at {} and {}: {verdict}",
                    self.name,
                    number(across),
                    number(up)
                )
            }
            None => self.name.to_owned(),
        };
        response.widget_info(|| WidgetInfo::labeled(Role::Figure, is_enabled, &state));
    }

    fn paint_curves(&self, painter: &Painter, palette: &Palette, field: &Field<'_>) {
        for curve in self.curves {
            for piece in &curve.pieces {
                match curve.kind {
                    CurveKind::Edge => {
                        field.paint_line(
                            painter,
                            piece,
                            Stroke::new(measure::LIMIT_CURVE, palette.amber_line),
                        );
                    }
                    CurveKind::Further => {
                        field.paint_line(
                            painter,
                            piece,
                            Stroke::new(measure::SECOND_LIMIT, palette.amber_line),
                        );
                    }
                    CurveKind::Chance => {
                        let stroke = Stroke::new(1.4, palette.amber_line);
                        field.paint_dashes(painter, piece, stroke, (2.0, 4.0));
                    }
                }
            }
        }
    }

    fn paint_names(
        &self,
        painter: &Painter,
        palette: &Palette,
        field: &Field<'_>,
        mut taken: Vec<Rect>,
    ) {
        for curve in self.curves.iter().filter(|curve| !curve.name.is_empty()) {
            let font = match curve.kind {
                CurveKind::Edge => theme::bold(text_size::UNIT),
                CurveKind::Further | CurveKind::Chance => theme::regular(text_size::UNIT),
            };
            let name = Lettering::new(&curve.name, font, palette.amber);
            if let Some((center, angle)) = name_place(painter, field, curve, &name, &mut taken) {
                name.write_along(&field.painter(painter), center, angle, palette.sheet);
            }
        }
    }

    /// Places that names of curves keep clear of: cross, runs, notes, words of the range.
    fn taken(&self, painter: &Painter, field: &Field<'_>, runs: &[Option<PlacedRun>]) -> Vec<Rect> {
        let around = |at: Pos2, size: egui::Vec2| Rect::from_center_size(at, size);
        let mut taken: Vec<Rect> = runs
            .iter()
            .flatten()
            .map(|run| around(run.center, vec2(26.0, 26.0)))
            .collect();
        taken.extend(
            self.cross
                .and_then(|cross| field.place(cross))
                .map(|at| around(at, vec2(38.0, 38.0))),
        );
        for note in self.notes {
            let width = Lettering::new(
                &note.words,
                theme::bold(text_size::UNIT),
                egui::Color32::PLACEHOLDER,
            )
            .width(painter);
            taken.extend(
                field
                    .place(note.at)
                    .map(|at| around(at - vec2(0.0, 4.0), vec2(width + 8.0, 18.0))),
            );
        }
        taken
    }

    fn paint_range(&self, painter: &Painter, palette: &Palette, field: &Field<'_>) {
        let Some(range) = self.range else { return };
        let corner = |x: f64, y: f64| field.place([x, y]);
        let (Some(low), Some(high)) = (
            corner(range.across.0, range.up.0),
            corner(range.across.1, range.up.1),
        ) else {
            return;
        };
        let rect = Rect::from_two_pos(low, high);
        let corners = [
            rect.left_top(),
            rect.right_top(),
            rect.right_bottom(),
            rect.left_bottom(),
            rect.left_top(),
        ];
        let stroke = Stroke::new(1.4, palette.accent);
        field
            .painter(painter)
            .extend(Shape::dashed_line(&corners, stroke, 6.0, 4.0));
        let at = pos2(rect.left() + 15.0, rect.top() - 7.0);
        Lettering::new(
            &range.words,
            theme::regular(text_size::UNIT),
            palette.accent,
        )
        .write_cased(&field.painter(painter), at, Align::LEFT, palette.sheet);
    }
}

/// Cells of the shade across and up.
const SHADE_CELLS: [u16; 2] = [48, 40];
/// How much of the shade's color stands where nothing works.
const FULL_SHADE: f32 = 0.9;

/// Shades a field: nothing where a place is sure to work, the full shade where it is sure not to, the ground where that is not
/// known.
fn paint_shade(
    painter: &Painter,
    palette: &Palette,
    field: &Field<'_>,
    chance: &dyn Fn([f64; 2]) -> Option<f64>,
) {
    let [across, up] = SHADE_CELLS;
    let mut mesh = Mesh::default();
    for row in 0..=up {
        for column in 0..=across {
            let share = vec2(
                f32::from(column) / f32::from(across),
                f32::from(row) / f32::from(up),
            );
            let at = field.rect.min + field.rect.size() * share;
            let fails = chance(field.at(at)).map_or(0.0, |chance| 1.0 - chance);
            #[expect(clippy::cast_possible_truncation, reason = "a share of one")]
            let shade = FULL_SHADE * fails.clamp(0.0, 1.0) as f32;
            mesh.colored_vertex(at, palette.amber_soft.gamma_multiply(shade));
        }
    }
    let width = u32::from(across) + 1;
    for row in 0..u32::from(up) {
        for column in 0..u32::from(across) {
            let corner = row * width + column;
            mesh.add_triangle(corner, corner + 1, corner + width);
            mesh.add_triangle(corner + 1, corner + width + 1, corner + width);
        }
    }
    painter.add(Shape::mesh(mesh));
}

/// Draws words in a field, cased with the sheet and held inside it.
pub fn paint_note(painter: &Painter, palette: &Palette, field: &Field<'_>, note: &PlotNote) {
    let Some(at) = field.place(note.at) else {
        return;
    };
    let (font, color) = if note.is_name {
        (theme::bold(text_size::UNIT), palette.amber)
    } else {
        (theme::regular(text_size::UNIT), palette.ink2)
    };
    let words = Lettering::new(&note.words, font, color);
    let half = words.width(painter) / 2.0 + 4.0;
    if half * 2.0 > field.rect.width() {
        return;
    }
    let x =
        at.x.clamp(field.rect.left() + half, field.rect.right() - half);
    let y =
        at.y.clamp(field.rect.top() + 14.0, field.rect.bottom() - 6.0);
    words.write_cased(painter, pos2(x, y), Align::Center, palette.sheet);
}

/// How far a name stands from its curve, in points.
const NAME_DISTANCE: f32 = 9.0;

/// A place along a curve where its name lies inside the field and on no other name: its middle and the angle there.
fn name_place(
    painter: &Painter,
    field: &Field<'_>,
    curve: &WindowCurve,
    name: &Lettering,
    taken: &mut Vec<Rect>,
) -> Option<(Pos2, f32)> {
    let width = name.width(painter);
    let longest = curve
        .pieces
        .iter()
        .map(|piece| visible_path(field, piece))
        .max_by(|a, b| length(a).total_cmp(&length(b)))?;
    let total = length(&longest);
    if total < width * 0.8 {
        return None;
    }
    let inner = field.rect.shrink(4.0);
    for share in [0.55, 0.7, 0.4, 0.8, 0.3, 0.62, 0.48, 0.2, 0.9] {
        for side in [-1.0, 1.0] {
            let Some((center, angle)) = along(&longest, share * total, width, side) else {
                continue;
            };
            let boxes = name_boxes(center, angle, width);
            let fits = boxes
                .iter()
                .all(|b| inner.contains_rect(*b) && !taken.iter().any(|t| t.intersects(*b)));
            if fits {
                taken.extend(boxes);
                return Some((center, angle));
            }
        }
    }
    None
}

fn visible_path(field: &Field<'_>, piece: &[[f64; 2]]) -> Vec<Pos2> {
    field
        .path(piece)
        .into_iter()
        .filter(|p| field.rect.expand(1.0).contains(*p))
        .collect()
}

fn length(path: &[Pos2]) -> f32 {
    path.windows(2)
        .filter_map(|w| w.first().zip(w.get(1)).map(|(a, b)| a.distance(*b)))
        .sum()
}

/// The point at a length along a path.
fn point_along(path: &[Pos2], mut left: f32) -> Option<Pos2> {
    for (a, b) in path.iter().zip(path.iter().skip(1)) {
        let step = a.distance(*b);
        if step >= left && step > 0.0 {
            return Some(*a + (*b - *a) * (left / step));
        }
        left -= step;
    }
    path.last().copied()
}

/// The middle of a name beside the path and its angle, turned so that it reads from left to right.
fn along(path: &[Pos2], at: f32, width: f32, side: f32) -> Option<(Pos2, f32)> {
    let from = point_along(path, (at - width / 2.0).max(0.0))?;
    let middle = point_along(path, at)?;
    let to = point_along(path, at + width / 2.0)?;
    let chord = if to.x >= from.x { to - from } else { from - to };
    if chord.length() < width * 0.6 {
        return None;
    }
    let direction = chord.normalized();
    let normal = vec2(-direction.y, direction.x);
    // The middle between curve and chord, so that a bent curve keeps its distance over the whole name.
    let base = middle + (from + (to - from) * 0.5 - middle) * 0.5;
    Some((base + normal * side * NAME_DISTANCE, direction.angle()))
}

/// Small boxes that cover a turned line of text.
fn name_boxes(center: Pos2, angle: f32, width: f32) -> Vec<Rect> {
    const SIDE: f32 = 13.0;
    let direction = egui::Vec2::angled(angle);
    let n_boxes = (width / SIDE).ceil().max(1.0);
    let mut boxes = Vec::new();
    let mut i = 0.0;
    while i < n_boxes {
        let offset = ((i + 0.5) / n_boxes - 0.5) * width;
        boxes.push(Rect::from_center_size(
            center + direction * offset,
            vec2(SIDE, SIDE),
        ));
        i += 1.0;
    }
    boxes
}

/// Draws an outlined plate with words at the pointer.
pub(super) fn paint_pointer_words(ui: &Ui, at: Pos2, bounds: Rect, words: &str) {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let words = Lettering::new(words, theme::regular(text_size::UNIT), palette.ink);
    let size = vec2(words.width(painter) + 12.0, 20.0);
    let left = if at.x + 14.0 + size.x > bounds.right() {
        at.x - 14.0 - size.x
    } else {
        at.x + 14.0
    };
    let top = (at.y - 26.0).max(bounds.top());
    let plate = Rect::from_min_size(pos2(left, top), size);
    painter.rect(
        plate,
        measure::FIELD_RADIUS,
        palette.sheet,
        Stroke::new(1.0, palette.control),
        StrokeKind::Inside,
    );
    words.write(
        painter,
        pos2(plate.left() + 6.0, plate.top() + 14.5),
        Align::LEFT,
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_lies_beside_its_line_and_reads_from_left_to_right() {
        let path = [pos2(200.0, 100.0), pos2(0.0, 100.0)];
        let (center, angle) = along(&path, 100.0, 60.0, -1.0).unwrap();
        assert!(
            (center.x - 100.0).abs() < 1e-3 && (center.y - 91.0).abs() < 1e-3 && angle.abs() < 1e-3
        );
        assert!(along(&path, 100.0, 900.0, -1.0).is_none());
    }

    #[test]
    fn boxes_cover_the_whole_name() {
        let boxes = name_boxes(pos2(50.0, 50.0), 0.0, 80.0);
        let all = boxes.iter().fold(Rect::NOTHING, |all, b| all.union(*b));
        assert!(all.left() <= 10.5 && all.right() >= 89.5);
    }
}
