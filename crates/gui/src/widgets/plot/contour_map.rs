//! A map of a film quality over two settings: colors, labelled lines, what cannot run hatched, runs and the cross.

use egui::{
    Align, Id, Mesh, Painter, Pos2, Rect, Sense, Shape, Stroke, StrokeKind, Ui, WidgetInfo,
    accesskit::Role, pos2, vec2,
};

use super::cross::{cross_moves, paint_map_cross};
use super::field::{Field, Room, points};
use super::map_picture::{MapPicture, picture};
use super::run_marks::{PlacedRun, RunMark, paint_runs, place_runs, run_at};
use super::window_chart::{PlotNote, PlotOutput, paint_note, paint_pointer_words};
use crate::figure::axis::Axis;
use crate::figure::color_map::MapScale;
use crate::figure::isolines::{Grid, Isoline};
use crate::number_text::format_short;
use crate::theme::{self, MAP_CASING, MAP_INK, Palette, map_color, measure, text_size};
use crate::widgets::button::focus_ring;
use crate::widgets::hatch::{Hatch, hatch_where};
use crate::widgets::lettering::Lettering;

/// A line of equal value on a map.
#[derive(Debug, Clone, PartialEq)]
pub struct MapLevel {
    /// The value.
    pub value: f64,
    /// What stands in its chip and beside the bar.
    pub label: String,
    /// Whether it is the goal: heavy line, bold number.
    pub is_goal: bool,
}

/// A map over two settings.
#[derive(Debug)]
pub struct ContourMap<'a> {
    /// Name of the map, unique in the window: what it shows, in words.
    pub name: &'a str,
    /// Axis across.
    pub x: &'a Axis,
    /// Axis up.
    pub y: &'a Axis,
    /// The values. They should be known over the whole grid, also where the line cannot run: give that as `margin`.
    pub values: &'a Grid,
    /// The tightest margin: below zero where the line cannot run. `None`: it can run everywhere.
    pub margin: Option<&'a Grid>,
    /// Not below zero where all goals are met.
    pub goals: Option<&'a Grid>,
    /// Changes whenever values, margin, goals, levels, scale or axes change; colors and lines are kept until then.
    pub revision: u64,
    /// From value to color.
    pub scale: MapScale,
    /// Unit of the values.
    pub unit: &'a str,
    /// The lines of equal value.
    pub levels: &'a [MapLevel],
    /// Words in the field.
    pub notes: &'a [PlotNote],
    /// The settings now.
    pub cross: Option<[f64; 2]>,
    /// Runs.
    pub runs: &'a [RunMark],
    /// The selected run.
    pub selected: Option<u32>,
}

impl ContourMap<'_> {
    /// Draws the map in `size`, axes and color bar included.
    pub fn show(&self, ui: &mut Ui, size: egui::Vec2) -> PlotOutput {
        let (outer, _) = ui.allocate_exact_size(size, Sense::hover());
        let field = Field::inside(outer, Room::AXES_AND_BAR, self.x, self.y);
        let palette = Palette::of(ui);
        let id = Id::unique(("map", self.name));
        let response = ui.interact(field.rect, id, Sense::click_and_drag());
        self.describe(ui, &response);
        let picture = picture(ui, id.with("picture"), self, &field);
        let painter = ui.painter();
        field.paint_ground(painter, palette);
        self.paint_colors(painter, palette, &field, &picture);
        let places = place_runs(&field, self.runs);
        self.paint_lines(painter, &field, &picture, &places);
        for note in self.notes {
            self.paint_note(painter, palette, &field, note);
        }
        paint_runs(painter, palette, self.runs, &places, self.selected);
        if let Some(at) = self.cross.and_then(|cross| field.place(cross)) {
            paint_map_cross(&field.painter(painter), at);
        }
        field.paint_axes(painter, palette);
        self.paint_bar(painter, palette, field.rect);
        focus_ring(ui, field.rect, &response);
        let moved = self
            .cross
            .and_then(|cross| cross_moves(ui, &response, &field, cross));
        let pointer = response.hover_pos();
        let hovered = pointer.and_then(|p| run_at(&places, p));
        if let Some(at) = pointer {
            paint_pointer_words(ui, at, field.rect, &self.pointer_words(&field, at, hovered));
        }
        let picked = response.clicked().then_some(hovered).flatten();
        PlotOutput {
            moved,
            picked,
            hovered,
            pointer: pointer.map(|p| field.at(p)),
            field: field.rect,
            response,
        }
    }

    fn describe(&self, ui: &Ui, response: &egui::Response) {
        let is_enabled = ui.is_enabled();
        let at_cross = self.cross.and_then(|[x, y]| self.values.interpolate(x, y));
        let words = match at_cross {
            Some(value) => format!(
                "{}; at the cross {} {}",
                self.name,
                format_short(value),
                self.unit
            ),
            None => self.name.to_owned(),
        };
        response.widget_info(|| WidgetInfo::labeled(Role::Figure, is_enabled, &words));
    }

    /// Whether the line can run at a place; `None` where no value is known.
    fn is_known(&self, at: [f64; 2]) -> bool {
        match self.margin {
            Some(margin) => margin.interpolate(at[0], at[1]).is_some_and(|m| m >= 0.0),
            None => self.values.interpolate(at[0], at[1]).is_some(),
        }
    }

    fn pointer_words(&self, field: &Field<'_>, at: Pos2, hovered: Option<u32>) -> String {
        let [x, y] = field.at(at);
        let value = match self.values.interpolate(x, y) {
            Some(value) if self.is_known([x, y]) => {
                format!("{} {}", format_short(value), self.unit)
            }
            _ => "cannot run".to_owned(),
        };
        match hovered {
            Some(run) => format!("run {run}, {value}"),
            None => value,
        }
    }

    fn paint_colors(
        &self,
        painter: &Painter,
        palette: &Palette,
        field: &Field<'_>,
        picture: &MapPicture,
    ) {
        let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        painter.image(
            picture.texture.id(),
            field.rect,
            whole,
            egui::Color32::WHITE,
        );
        let blocked = |point: Pos2| !self.is_known(field.at(point));
        hatch_where(painter, field.rect, Hatch::infeasible(palette), blocked);
        for edge in &picture.edges {
            field.paint_line(
                painter,
                edge,
                Stroke::new(measure::LIMIT_CURVE, palette.amber_line),
            );
        }
    }

    fn paint_lines(
        &self,
        painter: &Painter,
        field: &Field<'_>,
        picture: &MapPicture,
        runs: &[Option<PlacedRun>],
    ) {
        for (level, lines) in self.levels.iter().zip(&picture.levels) {
            let weight = if level.is_goal { 3.0 } else { 1.1 };
            for line in lines {
                field.paint_line(painter, line, Stroke::new(weight, MAP_INK));
            }
        }
        for line in &picture.goals {
            field.paint_line(painter, line, Stroke::new(4.4, MAP_CASING));
            field.paint_dashes(painter, line, Stroke::new(2.0, MAP_INK), (7.0, 4.0));
        }
        let mut taken: Vec<Rect> = runs
            .iter()
            .flatten()
            .map(|run| Rect::from_center_size(run.center, egui::Vec2::splat(24.0)))
            .collect();
        taken.extend(
            self.cross
                .and_then(|cross| field.place(cross))
                .map(|at| Rect::from_center_size(at, vec2(36.0, 36.0))),
        );
        taken.extend(
            self.notes
                .iter()
                .filter_map(|note| note_box(painter, field, note)),
        );
        for (level, lines) in self.levels.iter().zip(&picture.levels) {
            for line in lines {
                paint_chip(painter, field, (level, line), &mut taken);
            }
        }
    }

    /// Words over colors are cased as the lines of the map, words over hatching as the sheet.
    fn paint_note(&self, painter: &Painter, palette: &Palette, field: &Field<'_>, note: &PlotNote) {
        if !self.is_known(note.at) {
            paint_note(painter, palette, field, note);
            return;
        }
        let Some(at) = field.place(note.at) else {
            return;
        };
        let font = if note.is_name {
            theme::bold(text_size::UNIT)
        } else {
            theme::regular(text_size::UNIT)
        };
        let words = Lettering::new(&note.words, font, MAP_INK);
        let half = (words.width(painter) / 2.0 + 4.0).min(field.rect.width() / 2.0);
        let x =
            at.x.clamp(field.rect.left() + half, field.rect.right() - half);
        words.write_cased(
            &field.painter(painter),
            pos2(x, at.y + 4.5),
            Align::Center,
            MAP_CASING,
        );
    }

    /// The color bar at the right, with the levels' numbers.
    fn paint_bar(&self, painter: &Painter, palette: &Palette, field: Rect) {
        const N_ROWS: u8 = 64;
        let bar =
            Rect::from_x_y_ranges(field.right() + 14.0..=field.right() + 28.0, field.y_range());
        let mut mesh = Mesh::default();
        for i in 0..=N_ROWS {
            let share = f32::from(i) / f32::from(N_ROWS);
            let y = bar.bottom() - share * bar.height();
            let axis = bar_axis(&self.scale);
            let position = self
                .scale
                .position(axis.value_at(f64::from(share)))
                .unwrap_or(0.0);
            for x in [bar.left(), bar.right()] {
                mesh.colored_vertex(pos2(x, y), map_color(position));
            }
            if i > 0 {
                let n = 2 * u32::from(i);
                mesh.add_triangle(n - 2, n - 1, n);
                mesh.add_triangle(n - 1, n, n + 1);
            }
        }
        painter.add(Shape::mesh(mesh));
        let heading = Lettering::new(self.unit, theme::regular(text_size::UNIT), palette.ink2);
        heading.write_within(
            painter,
            pos2(bar.left(), bar.top() - 9.0),
            Align::LEFT,
            46.0,
        );
        self.paint_bar_numbers(painter, palette, bar);
    }

    fn paint_bar_numbers(&self, painter: &Painter, palette: &Palette, bar: Rect) {
        let mut free_below = f32::INFINITY;
        let mut levels: Vec<(f32, &MapLevel)> = self
            .levels
            .iter()
            .filter_map(|level| {
                Some((
                    bar.bottom() - points(self.scale.fraction(level.value)?) * bar.height(),
                    level,
                ))
            })
            .filter(|(y, _)| *y > bar.top() + 1.0 && *y < bar.bottom() - 1.0)
            .collect();
        // The goal keeps its number where the others would crowd it.
        levels.sort_by(|a, b| b.0.total_cmp(&a.0));
        let goals: Vec<f32> = levels
            .iter()
            .filter(|(_, level)| level.is_goal)
            .map(|(y, _)| *y)
            .collect();
        for (y, level) in levels {
            let is_crowded = free_below - y < 15.0
                || !level.is_goal && goals.iter().any(|g| (g - y).abs() < 15.0);
            painter.hline(
                bar.right()..=bar.right() + 4.0,
                y,
                Stroke::new(1.0, palette.ink3),
            );
            if is_crowded {
                continue;
            }
            let (font, color) = if level.is_goal {
                (theme::bold(text_size::UNIT), palette.ink)
            } else {
                (theme::regular(text_size::UNIT), palette.ink2)
            };
            Lettering::new(&level.label, font, color).write(
                painter,
                pos2(bar.right() + 7.0, y + 4.5),
                Align::LEFT,
            );
            free_below = y;
        }
    }
}

fn bar_axis(scale: &MapScale) -> Axis {
    if scale.is_log {
        Axis::log("", "", scale.low, scale.high)
    } else {
        Axis::linear("", "", scale.low, scale.high)
    }
}

fn note_box(painter: &Painter, field: &Field<'_>, note: &PlotNote) -> Option<Rect> {
    let width = Lettering::new(&note.words, theme::bold(text_size::UNIT), MAP_INK).width(painter);
    Some(Rect::from_center_size(
        field.place(note.at)?,
        vec2(width + 8.0, 18.0),
    ))
}

/// Draws the number of a line in a chip on it, where there is room; leaves it out where there is none.
fn paint_chip(
    painter: &Painter,
    field: &Field<'_>,
    line: (&MapLevel, &Isoline),
    taken: &mut Vec<Rect>,
) {
    let (level, line) = line;
    if level.label.is_empty() {
        return;
    }
    let font = if level.is_goal {
        theme::bold(12.0)
    } else {
        theme::regular(12.0)
    };
    let number = Lettering::new(&level.label, font, MAP_INK);
    let size = vec2(number.width(painter) + 9.0, 16.0);
    let path: Vec<Pos2> = field
        .path(line)
        .into_iter()
        .filter(|p| field.rect.contains(*p))
        .collect();
    let total: f32 = path
        .windows(2)
        .filter_map(|w| Some(w.first()?.distance(*w.get(1)?)))
        .sum();
    if total < size.x + 24.0 {
        return;
    }
    for share in [0.72, 0.5, 0.35, 0.85, 0.2, 0.6, 0.1] {
        let Some(center) = point_at(&path, share * total) else {
            continue;
        };
        let chip = Rect::from_center_size(center, size);
        if field.rect.shrink(2.0).contains_rect(chip) && !taken.iter().any(|t| t.intersects(chip)) {
            painter.rect(chip, 2, MAP_CASING, Stroke::NONE, StrokeKind::Inside);
            number.write(painter, pos2(center.x, center.y + 4.4), Align::Center);
            taken.push(chip.expand(3.0));
            return;
        }
    }
}

fn point_at(path: &[Pos2], mut left: f32) -> Option<Pos2> {
    for (a, b) in path.iter().zip(path.iter().skip(1)) {
        let step = a.distance(*b);
        if step >= left && step > 0.0 {
            return Some(*a + (*b - *a) * (left / step));
        }
        left -= step;
    }
    None
}
