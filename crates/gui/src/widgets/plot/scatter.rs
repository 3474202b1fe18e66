//! Points in a field: residuals, measured against fitted, normal plots, profiles.

use egui::{
    Align, Id, Painter, Pos2, Rect, Response, Sense, Shape, Stroke, StrokeKind, Ui, UiBuilder,
    WidgetInfo, accesskit::Role, pos2,
};

use super::field::{Field, Room};
use super::window_chart::{PlotOutput, paint_pointer_words};
use crate::figure::axis::Axis;
use crate::theme::{self, Palette, text_size};
use crate::widgets::button::focus_ring;
use crate::widgets::lettering::Lettering;

/// How a point looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DotLook {
    /// A filled dot.
    #[default]
    Plain,
    /// A return run: a double ring.
    Return,
    /// Set aside: a hollow dot.
    SetAside,
    /// Far from the others: a square in amber.
    Outlying,
}

/// A point of a scatter plot.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ScatterPoint {
    /// Where.
    pub at: [f64; 2],
    /// The run it belongs to; `None` for points that are no runs, such as effects.
    pub run: Option<u32>,
    /// How it looks.
    pub look: DotLook,
    /// What is written beside it; empty for nothing.
    pub label: String,
}

/// A line of a scatter plot.
#[derive(Debug, Clone, PartialEq)]
pub struct ScatterLine {
    /// Its places.
    pub path: Vec<[f64; 2]>,
    /// How it looks.
    pub look: LineLook,
}

/// How a line of a scatter plot looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineLook {
    /// A thin line of reference.
    Reference,
    /// A fitted curve.
    Fitted,
    /// A bound: dashed.
    Bound,
}

/// A line across the whole field, with words at its end.
#[derive(Debug, Clone, PartialEq)]
pub struct FieldRule {
    /// Where it crosses its axis.
    pub value: f64,
    /// Whether it stands upright at a value across, or lies at a value up.
    pub is_upright: bool,
    /// What is written at it; empty for nothing.
    pub words: String,
}

/// A scatter plot.
#[derive(Debug, Clone, PartialEq)]
pub struct ScatterPlot<'a> {
    /// Name of the plot, unique in the window.
    pub name: &'a str,
    /// Axis across.
    pub x: &'a Axis,
    /// Axis up.
    pub y: &'a Axis,
    /// The points.
    pub points: &'a [ScatterPoint],
    /// Lines.
    pub lines: &'a [ScatterLine],
    /// Lines across the whole field.
    pub rules: &'a [FieldRule],
    /// The selected run.
    pub selected: Option<u32>,
}

impl ScatterPlot<'_> {
    /// Draws the plot in `size`, axes included. It is magnified by Ctrl and the wheel, moved by dragging, and shown whole
    /// again by a double click.
    pub fn show(&self, ui: &mut Ui, size: egui::Vec2) -> PlotOutput {
        let (outer, _) = ui.allocate_exact_size(size, Sense::hover());
        let whole = Field::inside(outer, Room::AXES, self.x, self.y);
        let palette = Palette::of(ui);
        whole.paint_ground(ui.painter(), palette);
        let (response, x, y) = self.magnified(ui, whole.rect, palette);
        let field = Field::inside(outer, Room::AXES, &x, &y);
        let is_enabled = ui.is_enabled();
        response.widget_info(|| {
            let words = format!("{}, {} points", self.name, self.points.len());
            WidgetInfo::labeled(Role::Figure, is_enabled, words)
        });
        let painter = ui.painter();
        self.paint_rules(painter, palette, &field);
        field.paint_axes(painter, palette);
        self.paint_points(painter, palette, &field);
        focus_ring(ui, field.rect, &response);
        let pointer = response.hover_pos();
        let nearest = pointer.and_then(|p| self.nearest(&field, p));
        if let (Some(at), Some(point)) = (pointer, nearest) {
            let words = match point.run {
                Some(run) => format!("run {run}"),
                None => point.label.clone(),
            };
            if !words.is_empty() {
                paint_pointer_words(ui, at, field.rect, &words);
            }
        }
        let hovered = nearest.and_then(|point| point.run);
        PlotOutput {
            moved: None,
            picked: response.clicked().then_some(hovered).flatten(),
            hovered,
            pointer: pointer.map(|p| field.at(p)),
            field: field.rect,
            response,
        }
    }

    /// The plot that keeps the magnification and draws the lines, in places along the axes (0 to 1) so that axes by
    /// ratios work alike; returns the parts of the axes that are seen.
    fn magnified(&self, ui: &mut Ui, rect: Rect, palette: &Palette) -> (Response, Axis, Axis) {
        let mut child = ui.new_child(UiBuilder::new().id_salt(self.name).max_rect(rect));
        let ends = (self.x.low(), self.x.high(), self.y.low(), self.y.high());
        let id = Id::unique((
            "scatter",
            self.name,
            ends.0.to_bits(),
            ends.1.to_bits(),
            ends.2.to_bits(),
            ends.3.to_bits(),
        ));
        let plot = egui_plot::Plot::new(id)
            .id(id)
            .width(rect.width())
            .height(rect.height())
            .show_axes(false)
            .show_grid(false)
            .show_background(false)
            .show_x(false)
            .show_y(false)
            .allow_scroll(false)
            .allow_boxed_zoom(false)
            .set_margin_fraction(egui::Vec2::ZERO)
            .default_x_bounds(0.0, 1.0)
            .default_y_bounds(0.0, 1.0);
        let shown = plot.show(&mut child, |plot| {
            for line in self.lines {
                plot.line(self.line_in_places(line, palette));
            }
            plot.plot_bounds()
        });
        let (least, greatest) = (shown.inner.min(), shown.inner.max());
        let x = self.x.part(least[0], greatest[0]);
        let y = self.y.part(least[1], greatest[1]);
        (shown.response, x, y)
    }

    fn line_in_places(&self, line: &ScatterLine, palette: &Palette) -> egui_plot::Line<'static> {
        let places: Vec<[f64; 2]> = line
            .path
            .iter()
            .filter_map(|[x, y]| Some([self.x.fraction(*x)?, self.y.fraction(*y)?]))
            .collect();
        let drawn = egui_plot::Line::new("", places).allow_hover(false);
        match line.look {
            LineLook::Reference => drawn.stroke(Stroke::new(1.0, palette.ink2)),
            LineLook::Fitted => drawn.stroke(Stroke::new(2.0, palette.accent)),
            LineLook::Bound => drawn
                .stroke(Stroke::new(1.2, palette.ink2))
                .style(egui_plot::LineStyle::Dashed { length: 5.0 }),
        }
    }

    fn nearest(&self, field: &Field<'_>, pointer: Pos2) -> Option<&ScatterPoint> {
        self.points
            .iter()
            .filter_map(|point| Some((field.place(point.at)?.distance(pointer), point)))
            .filter(|(distance, _)| *distance < 12.0)
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, point)| point)
    }

    fn paint_rules(&self, painter: &Painter, palette: &Palette, field: &Field<'_>) {
        for rule in self.rules {
            let words = Lettering::new(&rule.words, theme::regular(text_size::UNIT), palette.ink2);
            if rule.is_upright {
                let Some(x) = field.place_x(rule.value) else {
                    continue;
                };
                field.painter(painter).vline(
                    x,
                    field.rect.y_range(),
                    Stroke::new(1.4, palette.ink),
                );
                words.write_cased(
                    painter,
                    pos2(x + 6.0, field.rect.top() + 13.0),
                    Align::LEFT,
                    palette.sheet,
                );
            } else {
                let Some(y) = field.place_y(rule.value) else {
                    continue;
                };
                field.painter(painter).hline(
                    field.rect.x_range(),
                    y,
                    Stroke::new(1.0, palette.ink3),
                );
                words.write_cased(
                    painter,
                    pos2(field.rect.right() - 4.0, y - 5.0),
                    Align::RIGHT,
                    palette.sheet,
                );
            }
        }
    }

    fn paint_points(&self, painter: &Painter, palette: &Palette, field: &Field<'_>) {
        let mut taken: Vec<Rect> = Vec::new();
        for point in self.points {
            let Some(at) = field
                .place(point.at)
                .filter(|at| field.rect.expand(1.0).contains(*at))
            else {
                continue;
            };
            let is_selected = point.run.is_some() && point.run == self.selected;
            paint_dot(painter, palette, at, point.look, is_selected);
            if !point.label.is_empty() {
                let font = if is_selected {
                    theme::bold(text_size::UNIT)
                } else {
                    theme::regular(text_size::UNIT)
                };
                let words = Lettering::new(&point.label, font, palette.ink);
                paint_label(painter, palette, field.rect, (at, &words), &mut taken);
            }
        }
    }
}

/// Draws one point of a scatter plot.
pub fn paint_dot(painter: &Painter, palette: &Palette, at: Pos2, look: DotLook, is_selected: bool) {
    if is_selected {
        painter.circle_stroke(at, 8.0, Stroke::new(2.0, palette.accent));
    }
    match look {
        DotLook::Plain => {
            painter.circle_filled(at, 3.7, palette.accent);
        }
        DotLook::Return => {
            painter.circle(at, 6.0, palette.sheet, Stroke::new(1.1, palette.ink));
            painter.circle_stroke(at, 3.0, Stroke::new(1.3, palette.ink));
        }
        DotLook::SetAside => {
            painter.circle(at, 3.7, palette.sheet, Stroke::new(1.3, palette.ink3));
        }
        DotLook::Outlying => {
            let square = Rect::from_center_size(at, egui::Vec2::splat(8.5));
            painter.rect(
                square,
                0,
                palette.amber_soft,
                Stroke::new(1.5, palette.amber_line),
                StrokeKind::Middle,
            );
        }
    }
}

/// Writes words right or left of a point, where they meet no others; leaves them out where there is no room.
fn paint_label(
    painter: &Painter,
    palette: &Palette,
    field: Rect,
    label: (Pos2, &Lettering),
    taken: &mut Vec<Rect>,
) {
    let (at, words) = label;
    let width = words.width(painter);
    for (x, align, dy) in [
        (at.x + 8.0, Align::LEFT, 4.5),
        (at.x - 8.0, Align::RIGHT, 4.5),
        (at.x + 6.0, Align::LEFT, -6.0),
        (at.x - 6.0, Align::RIGHT, -6.0),
        (at.x - 6.0, Align::RIGHT, 15.0),
        (at.x + 6.0, Align::LEFT, 15.0),
    ] {
        let left = if align == Align::LEFT { x } else { x - width };
        let room = Rect::from_min_size(pos2(left, at.y + dy - 11.0), egui::vec2(width, 14.0));
        if field.expand(6.0).contains_rect(room) && !taken.iter().any(|t| t.intersects(room)) {
            words.write_cased(painter, pos2(x, at.y + dy), align, palette.sheet);
            taken.push(room);
            return;
        }
    }
}

/// Draws an empty field with its axes in gray: what stands there before there are data.
pub fn empty_plot(ui: &mut Ui, size: egui::Vec2, words: &str) {
    let (outer, response) = ui.allocate_exact_size(size, Sense::hover());
    let palette = Palette::of(ui);
    let room = Room::AXES;
    let rect = Rect::from_min_max(
        outer.min + egui::vec2(room.left, room.top),
        outer.max - egui::vec2(room.right, room.bottom),
    );
    let painter = ui.painter();
    painter.rect_filled(rect, 0, palette.sheet);
    let corner = vec![rect.left_top(), rect.left_bottom(), rect.right_bottom()];
    painter.extend(Shape::dashed_line(
        &corner,
        Stroke::new(1.0, palette.line),
        3.0,
        3.0,
    ));
    Lettering::new(words, theme::regular(text_size::BODY), palette.ink2).write_within(
        painter,
        pos2(rect.center().x, rect.center().y + 5.0),
        Align::Center,
        rect.width() - 16.0,
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Figure, true, words));
}
