//! Plots: a field with two axes and layers of maps, lines, bands, hatching, run marks and words.
//!
//! A plot is plain data in the units of its axes; [`Plot::draw`] puts it on a page. Whatever is not finite or has no
//! place on its axis is left out; nothing is drawn outside the field but run marks at its edge.

use super::axis::{Axis, Tick};
use super::color_map::MapScale;
use super::drawing::{Anchor, Color, Drawing, Frame, Point, Stroke, Words};
use super::isolines::{Grid, Isoline};
use super::paper::{AXIS, INK, INK2, PAPER, UNIT_SIZE};
use super::plot_layers;
use super::run_marks::{self, RunMark};
use super::text_width::{fitted, text_width};

/// A plot.
#[derive(Debug, Clone, PartialEq)]
pub struct Plot {
    /// Width in figure units, axes and headings included.
    pub width: f64,
    /// Height in figure units, axes and headings included.
    pub height: f64,
    /// Axis across.
    pub x: Axis,
    /// Axis up.
    pub y: Axis,
    /// What is drawn, lowest first.
    pub layers: Vec<Layer>,
    /// What the plot is, in a few words, for people who hear it.
    pub title: String,
    /// What it shows, for people who hear it.
    pub description: String,
}

/// What can be drawn in a field; places are `[across, up]` in the units of the axes.
#[derive(Debug, Clone, PartialEq)]
pub enum Layer {
    /// Colors by value with a bar at the right that explains them.
    Map(ColorMap),
    /// A region that cannot be had, hatched over on paper color.
    NotHere(NotHere),
    /// Lines of equal value with their numbers in chips.
    Isolines(Isolines),
    /// A line.
    Curve(Curve),
    /// The room between two lines.
    Band(Band),
    /// A straight line across or up the field.
    Rule(Rule),
    /// The side beyond a bound, hatched.
    Beyond(Beyond),
    /// Upright bars.
    Bars(Vec<Bar>),
    /// Data points.
    Dots(Vec<Dot>),
    /// Numbered runs.
    Runs(Vec<RunMark>),
    /// A dashed rectangle.
    Range(RangeBox),
    /// Words beside a place.
    Label(Label),
    /// The cross at the chosen place.
    Cross(Point),
}

/// Colors by value.
#[derive(Debug, Clone, PartialEq)]
pub struct ColorMap {
    /// The values; not-a-number where there is none.
    pub grid: Grid,
    /// From value to color.
    pub scale: MapScale,
    /// What stands above the bar: the unit.
    pub heading: String,
    /// Values whose numbers beside the bar are bold: the goals.
    pub goals: Vec<f64>,
}

/// A region that cannot be had.
#[derive(Debug, Clone, PartialEq)]
pub struct NotHere {
    /// Below zero where it cannot be had; not-a-number counts as "can".
    pub grid: Grid,
    /// Whether its edge is drawn as a limit curve; leave it out where curves are drawn on their own.
    pub has_edge: bool,
}

/// Lines of equal value.
#[derive(Debug, Clone, PartialEq)]
pub struct Isolines {
    /// The values.
    pub grid: Grid,
    /// Which lines.
    pub levels: Vec<Level>,
}

/// One line of equal value.
#[derive(Debug, Clone, PartialEq)]
pub struct Level {
    /// The value.
    pub value: f64,
    /// What its chip says; empty for none.
    pub label: String,
    /// What kind of line.
    pub kind: LevelKind,
}

/// Kinds of lines of equal value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LevelKind {
    /// A value among others.
    Plain,
    /// The goal: heavy.
    Goal,
    /// The edge of the region of all goals: dashed with a casing.
    Edge,
}

/// A line.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Its pieces.
    pub pieces: Vec<Isoline>,
    /// Its look.
    pub stroke: Stroke,
    /// What is written along it, on the side that cannot be had if there is one; empty for nothing.
    pub name: String,
}

/// The room between two lines.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// Places `[across, lower, upper]`, ascending across.
    pub points: Vec<[f64; 3]>,
    /// Its color.
    pub color: Color,
}

/// A straight line across or up the field.
#[derive(Debug, Clone, PartialEq)]
pub struct Rule {
    /// Which axis its value belongs to.
    pub of: Direction,
    /// The value.
    pub value: f64,
    /// Its look.
    pub stroke: Stroke,
    /// What stands beside it; empty for nothing.
    pub words: String,
}

/// Across or up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// Along the axis across.
    Across,
    /// Along the axis up.
    Up,
}

/// The side beyond a bound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beyond {
    /// Lower end of the hatched stretch upwards; open if infinite.
    pub low: f64,
    /// Upper end; open if infinite.
    pub high: f64,
}

/// An upright bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// Where its middle stands across.
    pub at: f64,
    /// Where it starts.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// Width in figure units.
    pub width: f64,
}

/// A data point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dot {
    /// Where.
    pub at: Point,
    /// How it is drawn.
    pub kind: DotKind,
}

/// Kinds of data points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DotKind {
    /// A reading of a run.
    Plain,
    /// A return run: double ring.
    Return,
    /// A faulty or doubtful run: square.
    Faulty,
}

/// A dashed rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RangeBox {
    /// Lower left corner.
    pub low: Point,
    /// Upper right corner.
    pub high: Point,
}

/// Words beside a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// Where.
    pub at: Point,
    /// The words.
    pub text: String,
    /// Their color.
    pub color: Color,
    /// Which end stands at the place.
    pub anchor: Anchor,
}

/// The pieces of a curve through some points, broken where one is not finite.
pub fn pieces_of(points: impl IntoIterator<Item = Point>) -> Vec<Isoline> {
    let mut pieces = vec![Isoline::new()];
    for point in points {
        if point.iter().all(|value| value.is_finite()) {
            if let Some(piece) = pieces.last_mut() {
                piece.push(point);
            }
        } else if pieces.last().is_some_and(|piece| !piece.is_empty()) {
            pieces.push(Isoline::new());
        }
    }
    pieces.retain(|piece| piece.len() > 1);
    pieces
}

/// Room above the field for the heading of the axis up.
const ROOM_ABOVE: f64 = 24.0;
/// Room below the field for numbers and the heading of the axis across.
const ROOM_BELOW: f64 = 42.0;
/// Length of a tick.
const TICK: f64 = 5.0;
/// Gap between a tick and its number.
const TICK_GAP: f64 = 4.0;
/// Least room at the right.
const ROOM_RIGHT: f64 = 12.0;
/// Gap between field and color bar.
const BAR_GAP: f64 = 16.0;
/// Width of the color bar.
pub(super) const BAR_WIDTH: f64 = 14.0;
/// Most ticks on an axis.
const N_TICKS: usize = 6;

impl Plot {
    /// A plot without layers.
    pub fn new(title: impl Into<String>, [width, height]: [f64; 2], x: Axis, y: Axis) -> Self {
        let (title, description) = (title.into(), String::new());
        Self {
            width,
            height,
            x,
            y,
            layers: Vec::new(),
            title,
            description,
        }
    }

    /// The same plot with one more layer on top.
    #[must_use]
    pub fn with(mut self, layer: Layer) -> Self {
        self.layers.push(layer);
        self
    }

    /// The same plot with a sentence for people who hear it.
    #[must_use]
    pub fn described(self, description: impl Into<String>) -> Self {
        Self {
            description: description.into(),
            ..self
        }
    }

    /// Draws it.
    pub fn draw(&self) -> Drawing {
        let mut drawing = Drawing::new(self.width, self.height, self.title.clone());
        drawing.description.clone_from(&self.description);
        let mut stage = Stage {
            x: &self.x,
            y: &self.y,
            field: self.field(),
            not_here: self.not_here(),
            taken: Vec::new(),
            drawing,
        };
        let marks = stage.reserve(&self.layers);
        let mut marks = marks.into_iter();
        for layer in &self.layers {
            if let Layer::Runs(_) = layer {
                for placed in marks.next().unwrap_or_default() {
                    run_marks::draw(&mut stage.drawing, &placed);
                }
            } else {
                plot_layers::draw(&mut stage, layer);
            }
        }
        stage.axes();
        stage.drawing
    }

    /// The field inside axes, headings and color bar.
    pub fn field(&self) -> Frame {
        let up = self.y.ticks(N_TICKS);
        let widest = widest(up.iter().map(|tick| tick.label.as_str()));
        let left = (widest.min(0.4 * self.width) + TICK + TICK_GAP).max(30.0);
        let right = self
            .layers
            .iter()
            .map(|layer| match layer {
                Layer::Map(map) => {
                    let numbers = plot_layers::bar_ticks(map);
                    let numbers = numbers.iter().map(|tick| tick.label.as_str());
                    let heading = text_width(&map.heading, UNIT_SIZE, false) - BAR_WIDTH;
                    BAR_GAP
                        + BAR_WIDTH
                        + (TICK + TICK_GAP + self::widest(numbers) * 1.05).max(heading)
                }
                _ => ROOM_RIGHT,
            })
            .fold(ROOM_RIGHT, f64::max);
        let width = (self.width - left - right).max(10.0);
        Frame::new(
            left,
            ROOM_ABOVE,
            width,
            (self.height - ROOM_ABOVE - ROOM_BELOW).max(10.0),
        )
    }

    fn not_here(&self) -> Option<&Grid> {
        self.layers.iter().find_map(|layer| match layer {
            Layer::NotHere(region) => Some(&region.grid),
            _ => None,
        })
    }
}

/// As many ticks as fit on an axis of some length without their labels, which take `room` along it, touching.
fn spaced_ticks(axis: &Axis, length: f64, room: impl Fn(&Tick) -> f64) -> Vec<Tick> {
    let fits = |ticks: &Vec<Tick>| {
        ticks.windows(2).all(|pair| match pair {
            [one, other] => {
                let places = axis.fraction(one.value).zip(axis.fraction(other.value));
                let between = places.map_or(0.0, |(from, to)| (to - from) * length);
                between >= f64::midpoint(room(one), room(other))
            }
            _ => true,
        })
    };
    (2..=N_TICKS)
        .rev()
        .map(|n_ticks| axis.ticks(n_ticks))
        .find(fits)
        .unwrap_or_else(|| axis.ticks(2))
}

fn widest<'a>(labels: impl Iterator<Item = &'a str>) -> f64 {
    labels
        .map(|label| text_width(label, UNIT_SIZE, false))
        .fold(0.0, f64::max)
}

/// A plot on its way to the page.
pub(super) struct Stage<'a> {
    pub(super) x: &'a Axis,
    pub(super) y: &'a Axis,
    pub(super) field: Frame,
    /// Below zero where it cannot be had.
    pub(super) not_here: Option<&'a Grid>,
    /// Where words and marks already stand.
    pub(super) taken: Vec<Frame>,
    pub(super) drawing: Drawing,
}

impl Stage<'_> {
    /// Where a place of the axes lies on the page; may be outside the field.
    pub(super) fn place(&self, [x, y]: Point) -> Option<Point> {
        let (across, up) = (self.x.fraction(x)?, self.y.fraction(y)?);
        // Far outside is as good as just outside, and keeps coordinates printable.
        let held = |fraction: f64| fraction.clamp(-10.0, 11.0);
        Some([
            self.field.x + held(across) * self.field.width,
            self.field.bottom() - held(up) * self.field.height,
        ])
    }

    /// The place of the axes that lies at a point of the page.
    pub(super) fn value_at(&self, [x, y]: Point) -> Point {
        let across = (x - self.field.x) / self.field.width;
        let up = (self.field.bottom() - y) / self.field.height;
        [self.x.value_at(across), self.y.value_at(up)]
    }

    /// Notes where words stand; false, and nothing noted, if something stands there or it leaves the field.
    pub(super) fn claim(&mut self, frame: Frame) -> bool {
        let free =
            frame.is_within(&self.field) && self.taken.iter().all(|taken| !taken.overlaps(&frame));
        if free {
            self.taken.push(frame);
        }
        free
    }

    /// Places run marks and the cross before anything else, so that words keep clear of them.
    fn reserve(&mut self, layers: &[Layer]) -> Vec<Vec<run_marks::Placed>> {
        let mut marks = Vec::new();
        let cross = layers.iter().find_map(|layer| match layer {
            Layer::Cross(at) => self.place(*at),
            _ => None,
        });
        for layer in layers {
            match layer {
                Layer::Runs(runs) => {
                    let placed = run_marks::place(runs, &self.field, cross, |at| self.place(at));
                    self.taken
                        .extend(placed.iter().map(run_marks::Placed::frame));
                    marks.push(placed);
                }
                Layer::Cross(at) => {
                    if let Some(at) = self.place(*at) {
                        self.taken.push(Frame::around(at, 34.0, 34.0));
                    }
                }
                Layer::Label(label) => {
                    if let Some(frame) = plot_layers::label_frame(self, label) {
                        self.taken.push(frame);
                    }
                }
                _ => {}
            }
        }
        marks
    }

    fn axes(&mut self) {
        let field = self.field;
        let corner = [field.x, field.bottom()];
        self.drawing.line([field.x, field.y], corner, AXIS);
        self.drawing
            .line(corner, [field.right(), field.bottom()], AXIS);
        for tick in spaced_ticks(self.y, field.height, |_| UNIT_SIZE + 2.5) {
            if let Some([_, y]) = self.place([self.x.low(), tick.value]) {
                self.drawing.line([field.x - TICK, y], [field.x, y], AXIS);
                let text = fitted(
                    &tick.label,
                    UNIT_SIZE,
                    false,
                    field.x - TICK - TICK_GAP + 2.0,
                );
                let at = [field.x - TICK - TICK_GAP, y + 0.35 * UNIT_SIZE];
                self.drawing
                    .words(Words::new(at, text, UNIT_SIZE, INK).anchored(Anchor::End));
            }
        }
        self.ticks_across();
        let heading = fitted(
            &self.y.heading(),
            UNIT_SIZE,
            false,
            self.drawing.width * 0.8,
        );
        self.drawing
            .words(Words::new([0.0, 13.0], heading, UNIT_SIZE, INK2));
        let heading = fitted(&self.x.heading(), UNIT_SIZE, false, self.drawing.width);
        let end = field.right().max(text_width(&heading, UNIT_SIZE, false));
        let at = [end, field.bottom() + ROOM_BELOW - 5.0];
        self.drawing
            .words(Words::new(at, heading, UNIT_SIZE, INK2).anchored(Anchor::End));
    }

    fn ticks_across(&mut self) {
        let field = self.field;
        let room = |tick: &Tick| text_width(&tick.label, UNIT_SIZE, false) + 8.0;
        let ticks = spaced_ticks(self.x, field.width, room);
        let share = field.width / ticks.len().max(1) as f64;
        for tick in ticks {
            if let Some([x, _]) = self.place([tick.value, self.y.low()]) {
                let bottom = field.bottom();
                self.drawing.line([x, bottom], [x, bottom + TICK], AXIS);
                let at = [x, bottom + TICK + TICK_GAP + 0.75 * UNIT_SIZE];
                let text = fitted(&tick.label, UNIT_SIZE, false, share.max(30.0));
                self.drawing
                    .words(Words::new(at, text, UNIT_SIZE, INK).anchored(Anchor::Middle));
            }
        }
    }

    /// Words with a casing, centered on a point.
    pub(super) fn cased_words(&mut self, center: Point, text: &str, color: Color, degrees: f64) {
        // Turning goes round the base line, which lies a third of the size below the middle of the letters.
        let (sin, cos) = degrees.to_radians().sin_cos();
        let down = 0.35 * UNIT_SIZE;
        let at = [center[0] - down * sin, center[1] + down * cos];
        self.drawing.words(
            Words::new(at, text, UNIT_SIZE, color)
                .bold()
                .anchored(Anchor::Middle)
                .turned(degrees)
                .cased(PAPER),
        );
    }
}
