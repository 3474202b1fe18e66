//! How each layer of a plot is drawn.

use super::axis::{Axis, Tick};
use super::color_map::{MapScale, color_at};
use super::drawing::{Anchor, Color, Dash, Frame, Look, Point, Step, Stroke, Words};
use super::isolines::{Grid, Isoline, isolines};
use super::paper::{
    ACCENT, AMBER, AMBER_LINE, AMBER_SOFT, AXIS, BEYOND_PITCH, HATCH, HATCH_PITCH, HATCH_WEIGHT,
    INK, INK2, INK3, LIMIT_CURVE, MAP_CASING, MAP_INK, PAPER, UNIT_SIZE,
};
use super::plot::{
    BAR_WIDTH, Band, Bar, Beyond, ColorMap, Curve, Direction, Dot, DotKind, Isolines, Label, Layer,
    Level, LevelKind, NotHere, RangeBox, Rule, Stage,
};
use super::region::{filled_up, hatch, outline_steps, region_at_least, thinned};
use super::text_width::text_width;

/// Bands of color in a map: few enough to keep files small, enough to look smooth.
const N_BANDS: u32 = 40;
/// Most numbers beside a color bar.
const N_BAR_TICKS: usize = 6;
/// Shares of a line's length at which its number or name may stand, the best first.
const PLACES: [f64; 9] = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88];

pub(super) fn draw(stage: &mut Stage<'_>, layer: &Layer) {
    match layer {
        Layer::Map(map) => draw_map(stage, map),
        Layer::NotHere(region) => draw_not_here(stage, region),
        Layer::Isolines(lines) => draw_isolines(stage, lines),
        Layer::Curve(curve) => draw_curve(stage, curve),
        Layer::Band(band) => draw_band(stage, band),
        Layer::Rule(rule) => draw_rule(stage, rule),
        Layer::Beyond(beyond) => draw_beyond(stage, *beyond),
        Layer::Bars(bars) => draw_bars(stage, bars),
        Layer::Dots(dots) => draw_dots(stage, dots),
        Layer::Range(range) => draw_range(stage, *range),
        Layer::Label(label) => draw_label(stage, label),
        Layer::Cross(at) => draw_cross(stage, *at),
        Layer::Runs(_) => {}
    }
}

fn color_of(position: f64) -> Color {
    Color(color_at(position))
}

/// The value at a share of the color bar, from its lower end.
fn bar_value(scale: &MapScale, share: f64) -> f64 {
    if scale.is_log {
        (scale.low.ln() + share * (scale.high.ln() - scale.low.ln())).exp()
    } else {
        scale.low + share * (scale.high - scale.low)
    }
}

fn draw_map(stage: &mut Stage<'_>, map: &ColorMap) {
    draw_colors(stage, map);
    draw_bar(stage, map);
}

/// Each band of color covers everywhere the value is at least its lower end, and the next lies over it: no seams.
fn draw_colors(stage: &mut Stage<'_>, map: &ColorMap) {
    let grid = filled_up(&map.grid);
    if grid.range().is_none() {
        return;
    }
    let (unknown, field) = (unknown_cells(stage, &map.grid), stage.field);
    let mut shapes: Vec<(Color, Vec<Step>)> = Vec::new();
    for band in 0..N_BANDS {
        let low = f64::from(band) / f64::from(N_BANDS);
        let middle = low + 0.5 / f64::from(N_BANDS);
        let Some(position) = map.scale.position(bar_value(&map.scale, middle)) else {
            continue;
        };
        let level = if band == 0 {
            f64::MIN
        } else {
            bar_value(&map.scale, low)
        };
        let outlines = if band == 0 {
            Vec::new()
        } else {
            region_at_least(&grid, level)
        };
        let steps = if band == 0 {
            grid_frame(stage, &grid)
        } else {
            outline_steps(&outlines, |at| stage.place(at))
        };
        if !steps.is_empty() {
            shapes.push((color_of(position), steps));
        }
    }
    stage.drawing.clipped(field, |inside| {
        for (color, steps) in shapes {
            inside.path(steps, Look::filled(color));
        }
        inside.path(unknown, Look::filled(PAPER));
    });
}

/// The rectangle that the grid covers.
fn grid_frame(stage: &Stage<'_>, grid: &Grid) -> Vec<Step> {
    let ends = |axis: &[f64]| axis.first().copied().zip(axis.last().copied());
    let (Some((left, right)), Some((low, high))) = (ends(&grid.xs), ends(&grid.ys)) else {
        return Vec::new();
    };
    let corners = [
        [left, low],
        [right, low],
        [right, high],
        [left, high],
        [left, low],
    ];
    outline_steps(&[corners.to_vec()], |at| stage.place(at))
}

/// One rectangle for every grid point without a value, half way to its neighbors.
fn unknown_cells(stage: &Stage<'_>, grid: &Grid) -> Vec<Step> {
    let (across, up) = (cell_edges(&grid.xs), cell_edges(&grid.ys));
    let mut steps = Vec::new();
    for (j, rows) in up.windows(2).enumerate() {
        for (i, columns) in across.windows(2).enumerate() {
            let ([low, high], [left, right]) = (rows, columns) else {
                continue;
            };
            if grid.at(i, j).is_none() {
                let corners = [
                    [*left, *low],
                    [*right, *low],
                    [*right, *high],
                    [*left, *high],
                ];
                steps.extend(outline_steps(&[corners.to_vec()], |at| stage.place(at)));
            }
        }
    }
    steps
}

fn cell_edges(axis: &[f64]) -> Vec<f64> {
    let middles = axis
        .windows(2)
        .filter_map(|pair| Some(f64::midpoint(*pair.first()?, *pair.get(1)?)));
    axis.first()
        .copied()
        .into_iter()
        .chain(middles)
        .chain(axis.last().copied())
        .collect()
}

/// The numbers beside the color bar of a map.
pub(super) fn bar_ticks(map: &ColorMap) -> Vec<Tick> {
    let scale = &map.scale;
    let axis = if scale.is_log {
        Axis::log("", "", scale.low, scale.high)
    } else {
        Axis::linear("", "", scale.low, scale.high)
    };
    axis.ticks(N_BAR_TICKS)
}

fn draw_bar(stage: &mut Stage<'_>, map: &ColorMap) {
    let field = stage.field;
    let bar = Frame::new(field.right() + 16.0, field.y, BAR_WIDTH, field.height);
    let step = bar.height / f64::from(N_BANDS);
    for band in 0..N_BANDS {
        let middle = (f64::from(band) + 0.5) / f64::from(N_BANDS);
        let Some(position) = map.scale.position(bar_value(&map.scale, middle)) else {
            continue;
        };
        // Each step reaches down to the bar's end, under the next: no seams.
        let top = bar.bottom() - f64::from(band + 1) * step;
        let height = if band == 0 { step } else { 1.5 * step };
        let frame = Frame::new(bar.x, top, bar.width, height);
        stage
            .drawing
            .rectangle(frame, Look::filled(color_of(position)));
    }
    stage.drawing.rectangle(bar, Look::outlined(AXIS));
    for tick in bar_ticks(map) {
        let Some(share) = map.scale.fraction(tick.value) else {
            continue;
        };
        let y = bar.bottom() - share * bar.height;
        stage
            .drawing
            .line([bar.right(), y], [bar.right() + 5.0, y], AXIS);
        let at = [bar.right() + 9.0, y + 0.35 * UNIT_SIZE];
        let words = Words::new(at, tick.label, UNIT_SIZE, INK);
        let is_goal = map
            .goals
            .iter()
            .any(|goal| (goal - tick.value).abs() <= 1e-9 * goal.abs());
        stage
            .drawing
            .words(if is_goal { words.bold() } else { words });
    }
    let at = [bar.x, 13.0];
    stage
        .drawing
        .words(Words::new(at, map.heading.as_str(), UNIT_SIZE, INK2));
}

fn draw_not_here(stage: &mut Stage<'_>, region: &NotHere) {
    let known = filled_up(&region.grid);
    let against = Grid {
        values: known.values.iter().map(|value| -value).collect(),
        ..known.clone()
    };
    let cover = outline_steps(&region_at_least(&against, 0.0), |at| stage.place(at));
    let field = stage.field;
    let lines = hatch(&field, HATCH_PITCH, |point| {
        let [x, y] = stage.value_at(point);
        against.interpolate(x, y).unwrap_or(-1.0)
    });
    let edges: Vec<Vec<Point>> = if region.has_edge {
        let curves = isolines(&known, 0.0);
        curves.iter().map(|line| on_page(stage, line)).collect()
    } else {
        Vec::new()
    };
    stage.drawing.clipped(field, |inside| {
        inside.path(cover, Look::filled(PAPER));
        inside.path(lines, Look::outlined(Stroke::new(HATCH, HATCH_WEIGHT)));
        for edge in edges {
            inside.polyline(edge, LIMIT_CURVE);
        }
    });
}

fn on_page(stage: &Stage<'_>, line: &[Point]) -> Vec<Point> {
    let points: Vec<Point> = line.iter().filter_map(|at| stage.place(*at)).collect();
    thinned(&points)
}

fn draw_isolines(stage: &mut Stage<'_>, lines: &Isolines) {
    let mut chips = Vec::new();
    let field = stage.field;
    for level in &lines.levels {
        let pieces: Vec<Vec<Point>> = isolines(&lines.grid, level.value)
            .iter()
            .map(|line| on_page(stage, line))
            .collect();
        let longest = pieces
            .iter()
            .max_by(|a, b| length_of(a).total_cmp(&length_of(b)))
            .cloned();
        stage.drawing.clipped(field, |inside| {
            for piece in &pieces {
                for stroke in level_strokes(level.kind) {
                    inside.polyline(piece.iter().copied(), stroke);
                }
            }
        });
        chips.extend(longest.map(|line| (line, level)));
    }
    for (line, level) in chips {
        draw_chip(stage, &line, level);
    }
}

fn level_strokes(kind: LevelKind) -> Vec<Stroke> {
    match kind {
        LevelKind::Plain => vec![Stroke::new(MAP_INK, 1.1)],
        LevelKind::Goal => vec![Stroke::new(MAP_CASING, 4.6), Stroke::new(MAP_INK, 3.0)],
        LevelKind::Edge => vec![
            Stroke::new(MAP_CASING, 4.6),
            Stroke::new(MAP_INK, 2.0).dashed(Dash::Long),
        ],
    }
}

/// The number of a line in a chip, where it hits nothing else.
fn draw_chip(stage: &mut Stage<'_>, line: &[Point], level: &Level) {
    const HEIGHT: f64 = 16.0;
    let is_bold = level.kind == LevelKind::Goal;
    let width = text_width(&level.label, 11.5, is_bold) + 8.0;
    if level.label.is_empty() || length_of(line) < 1.2 * width {
        return;
    }
    let Some(chip) = PLACES
        .iter()
        .filter_map(|share| along(line, *share))
        .map(|(at, _)| Frame::around(at, width, HEIGHT))
        .find(|frame| can_be_had(stage, frame) && stage.claim(*frame))
    else {
        return;
    };
    stage.drawing.rounded(chip, 3.0, Look::filled(MAP_CASING));
    let at = [chip.x + width / 2.0, chip.y + HEIGHT / 2.0 + 4.1];
    let words = Words::new(at, level.label.as_str(), 11.5, MAP_INK).anchored(Anchor::Middle);
    stage
        .drawing
        .words(if is_bold { words.bold() } else { words });
}

/// Whether no corner of a rectangle lies where settings cannot run.
fn can_be_had(stage: &Stage<'_>, frame: &Frame) -> bool {
    let corners = [
        [frame.x, frame.y],
        [frame.right(), frame.y],
        [frame.x, frame.bottom()],
        [frame.right(), frame.bottom()],
    ];
    corners.iter().all(|corner| !is_not_here(stage, *corner))
}

fn length_of(line: &[Point]) -> f64 {
    line.windows(2).map(distance).sum()
}

fn distance(pair: &[Point]) -> f64 {
    match pair {
        [from, to] => (to[0] - from[0]).hypot(to[1] - from[1]),
        _ => 0.0,
    }
}

/// The point at a share of a line's length, and the direction there in degrees, readable from below (−90 to 90).
fn along(line: &[Point], share: f64) -> Option<(Point, f64)> {
    let mut left = length_of(line) * share;
    for pair in line.windows(2) {
        let [from, to] = pair else { continue };
        let step = distance(pair);
        if step >= left && step > 0.0 {
            let part = left / step;
            let at = [
                from[0] + (to[0] - from[0]) * part,
                from[1] + (to[1] - from[1]) * part,
            ];
            let angle = (to[1] - from[1]).atan2(to[0] - from[0]).to_degrees();
            let upright = if angle > 90.0 {
                angle - 180.0
            } else if angle < -90.0 {
                angle + 180.0
            } else {
                angle
            };
            return Some((at, upright));
        }
        left -= step;
    }
    None
}

fn draw_curve(stage: &mut Stage<'_>, curve: &Curve) {
    let places = |piece: &Isoline| piece.iter().filter_map(|at| stage.place(*at)).collect();
    let pieces: Vec<Vec<Point>> = curve.pieces.iter().map(places).collect();
    let field = stage.field;
    stage.drawing.clipped(field, |inside| {
        for piece in &pieces {
            inside.polyline(thinned(piece), curve.stroke);
        }
    });
    if curve.name.is_empty() {
        return;
    }
    let visible = pieces.iter().flat_map(|piece| inside_parts(piece, &field));
    if let Some(longest) = visible.max_by(|a, b| length_of(a).total_cmp(&length_of(b))) {
        draw_name(stage, &longest, &curve.name);
    }
}

/// The stretches of a line that lie in a rectangle.
fn inside_parts(line: &[Point], field: &Frame) -> Vec<Vec<Point>> {
    line.split(|point| !field.contains(*point))
        .filter(|part| part.len() > 1)
        .map(<[Point]>::to_vec)
        .collect()
}

/// Distance of a name's middle from its curve.
const NAME_GAP: f64 = 11.0;

/// A name along its curve, on the side that cannot be had.
fn draw_name(stage: &mut Stage<'_>, line: &[Point], name: &str) {
    let width = text_width(name, UNIT_SIZE, true);
    let mut found = None;
    for (at, angle) in PLACES.iter().filter_map(|share| along(line, *share)) {
        let (sin, cos) = angle.to_radians().sin_cos();
        let sides =
            [1.0, -1.0].map(|side| [at[0] - side * NAME_GAP * sin, at[1] + side * NAME_GAP * cos]);
        let center = sides
            .into_iter()
            .find(|center| is_not_here(stage, *center))
            .unwrap_or(sides[1]);
        let frame = turned_frame(center, width, UNIT_SIZE + 2.0, angle);
        if stage.claim(frame) {
            found = Some((center, angle));
            break;
        }
    }
    // Without a free place along the curve the name stands upright beside its middle, held inside the field.
    let (center, angle) = found.unwrap_or_else(|| {
        let at = along(line, 0.5).map_or([stage.field.x, stage.field.y], |(at, _)| at);
        let field = stage.field;
        let (half, high) = (
            (width / 2.0).min(field.width / 2.0),
            UNIT_SIZE.min(field.height / 2.0),
        );
        let x = at[0].min(field.right() - half).max(field.x + half);
        (
            [x, at[1].min(field.bottom() - high).max(field.y + high)],
            0.0,
        )
    });
    stage.cased_words(center, name, AMBER, angle);
}

fn is_not_here(stage: &Stage<'_>, point: Point) -> bool {
    let [x, y] = stage.value_at(point);
    stage
        .not_here
        .and_then(|grid| grid.interpolate(x, y))
        .is_some_and(|value| value < 0.0)
}

/// The upright rectangle around a turned one.
fn turned_frame(center: Point, width: f64, height: f64, degrees: f64) -> Frame {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let (sin, cos) = (sin.abs(), cos.abs());
    Frame::around(
        center,
        width * cos + height * sin,
        width * sin + height * cos,
    )
}

fn draw_band(stage: &mut Stage<'_>, band: &Band) {
    let known: Vec<&[f64; 3]> = band
        .points
        .iter()
        .filter(|point| point.iter().all(|value| value.is_finite()))
        .collect();
    let there = known
        .iter()
        .filter_map(|[x, low, _]| stage.place([*x, *low]));
    let back = known
        .iter()
        .rev()
        .filter_map(|[x, _, high]| stage.place([*x, *high]));
    let outline: Vec<Point> = there.chain(back).collect();
    let field = stage.field;
    stage.drawing.clipped(field, |inside| {
        inside.polygon(outline, Look::filled(band.color));
    });
}

fn draw_rule(stage: &mut Stage<'_>, rule: &Rule) {
    let field = stage.field;
    let (from, to) = match rule.of {
        Direction::Across => ([rule.value, stage.y.low()], [rule.value, stage.y.high()]),
        Direction::Up => ([stage.x.low(), rule.value], [stage.x.high(), rule.value]),
    };
    let (Some(from), Some(to)) = (stage.place(from), stage.place(to)) else {
        return;
    };
    if !field.contains(from) && !field.contains(to) {
        return;
    }
    stage.drawing.line(from, to, rule.stroke);
    let words = |at: Point, anchor: Anchor| {
        Words::new(at, rule.words.as_str(), UNIT_SIZE, INK2)
            .anchored(anchor)
            .cased(PAPER)
    };
    let fits = to[0] + 6.0 + text_width(&rule.words, UNIT_SIZE, false) < stage.drawing.width;
    stage.drawing.words(match rule.of {
        Direction::Across if fits => words([to[0] + 5.0, field.y + 13.0], Anchor::Start),
        Direction::Across => words([to[0] - 5.0, field.y + 13.0], Anchor::End),
        Direction::Up => words([field.right() - 4.0, to[1] - 5.0], Anchor::End),
    });
}

/// Hatching beyond a bound, with the bound itself as a limit curve.
fn draw_beyond(stage: &mut Stage<'_>, beyond: Beyond) {
    let (low, high) = (stage.y.low(), stage.y.high());
    let (from, to) = (beyond.low.max(low), beyond.high.min(high));
    let (Some([_, bottom]), Some([_, top])) = (
        stage.place([stage.x.low(), from]),
        stage.place([stage.x.low(), to]),
    ) else {
        return;
    };
    if from >= to {
        return;
    }
    let field = stage.field;
    let frame = Frame::new(field.x, top, field.width, bottom - top);
    let lines = hatch(&frame, BEYOND_PITCH, |_| 1.0);
    stage
        .drawing
        .path(lines, Look::outlined(Stroke::new(HATCH, HATCH_WEIGHT)));
    for (bound, y) in [(beyond.low, bottom), (beyond.high, top)] {
        if low < bound && bound < high {
            let stroke = Stroke::new(AMBER_LINE, 1.6);
            stage.drawing.line([field.x, y], [field.right(), y], stroke);
        }
    }
}

fn draw_bars(stage: &mut Stage<'_>, bars: &[Bar]) {
    let field = stage.field;
    let frames: Vec<Frame> = bars
        .iter()
        .filter_map(|bar| {
            let ([x, from], [_, to]) = (
                stage.place([bar.at, bar.from])?,
                stage.place([bar.at, bar.to])?,
            );
            let (top, bottom) = (from.min(to), from.max(to));
            Some(Frame::new(
                x - bar.width / 2.0,
                top,
                bar.width,
                bottom - top,
            ))
        })
        .collect();
    stage.drawing.clipped(field, |inside| {
        for frame in frames {
            inside.rectangle(frame, Look::filled(INK3));
        }
    });
}

fn draw_dots(stage: &mut Stage<'_>, dots: &[Dot]) {
    let reach = stage.field;
    for dot in dots {
        let Some(at) = stage.place(dot.at).filter(|at| reach.contains(*at)) else {
            continue;
        };
        match dot.kind {
            DotKind::Plain => stage.drawing.circle(at, 4.0, Look::filled(ACCENT)),
            DotKind::Return => {
                stage
                    .drawing
                    .circle(at, 6.0, Look::both(PAPER, Stroke::new(INK, 1.2)));
                stage
                    .drawing
                    .circle(at, 3.0, Look::outlined(Stroke::new(INK, 1.2)));
            }
            DotKind::Faulty => {
                let look = Look::both(AMBER_SOFT, Stroke::new(AMBER_LINE, 1.4));
                stage.drawing.rectangle(Frame::around(at, 8.0, 8.0), look);
            }
        }
    }
}

fn draw_range(stage: &mut Stage<'_>, range: RangeBox) {
    let (Some([left, bottom]), Some([right, top])) =
        (stage.place(range.low), stage.place(range.high))
    else {
        return;
    };
    let frame = Frame::new(left, top, right - left, bottom - top);
    let field = stage.field;
    stage.drawing.clipped(field, |inside| {
        let dashed = Stroke::new(ACCENT, 1.4).dashed(Dash::Long);
        inside.rectangle(frame, Look::outlined(dashed));
    });
}

/// The room that a label takes; `None` if its place is not in the field.
pub(super) fn label_frame(stage: &Stage<'_>, label: &Label) -> Option<Frame> {
    let [x, y] = stage
        .place(label.at)
        .filter(|at| stage.field.contains(*at))?;
    let width = text_width(&label.text, UNIT_SIZE, true);
    let left = match label.anchor {
        Anchor::Start => x,
        Anchor::Middle => x - width / 2.0,
        Anchor::End => x - width,
    };
    Some(Frame::new(left, y - UNIT_SIZE, width, UNIT_SIZE + 4.0))
}

fn draw_label(stage: &mut Stage<'_>, label: &Label) {
    if let Some(at) = stage.place(label.at).filter(|at| stage.field.contains(*at)) {
        stage.drawing.words(
            Words::new(at, label.text.as_str(), UNIT_SIZE, label.color)
                .bold()
                .anchored(label.anchor)
                .cased(PAPER),
        );
    }
}

fn draw_cross(stage: &mut Stage<'_>, at: Point) {
    let Some([x, y]) = stage.place(at).filter(|at| stage.field.contains(*at)) else {
        return;
    };
    for (color, extra) in [(PAPER, 3.0), (MAP_INK, 0.0)] {
        let stroke = Stroke::new(color, 1.6 + extra);
        stage.drawing.circle([x, y], 11.0, Look::outlined(stroke));
        for [dx, dy] in [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]] {
            let from = [x + 4.0 * dx, y + 4.0 * dy];
            stage
                .drawing
                .line(from, [x + 16.0 * dx, y + 16.0 * dy], stroke);
        }
    }
}
