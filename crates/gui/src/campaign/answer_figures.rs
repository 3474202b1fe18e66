//! Figures of a project put together from its window, maps and curves: for the report and for files of their own.

use crate::campaign::answers::{QualityCurve, QualityMap, RunLook, RunMark, plain};
use crate::campaign::project::{Goal, Project, Quality, Settings, Variation};
use crate::campaign::sentence_case::in_sentence;
use crate::campaign::window_map::{MapAxis, WindowMap};
use crate::figure::axis::Axis;
use crate::figure::color_map::{MapScale, WantedEnd};
use crate::figure::drawing::{Dash, Drawing, Stroke};
use crate::figure::interval_bar::{IntervalBar, shared_ends};
use crate::figure::paper::{ACCENT, ACCENT_SOFT, INK3, LIMIT_CURVE, SECOND_LIMIT};
use crate::figure::plot::{
    Band, Beyond, ColorMap, Curve, Direction, Dot, DotKind, Isolines, Layer, Level, LevelKind,
    NotHere, Plot, RangeBox, Rule, pieces_of,
};
use crate::figure::run_marks::{RunMark as PlotMark, RunMarkKind};

/// What the figures of a project share: where it is cut, and what stands on every map.
#[derive(Debug, Clone, Copy)]
pub struct Slice<'a> {
    /// The project.
    pub project: &'a Project,
    /// The settings at which maps and curves are cut; the cross stands there.
    pub held: &'a Settings,
    /// The window over the two settings of the maps, which hatches what cannot run.
    pub window: Option<&'a WindowMap>,
    /// The runs over the same two settings.
    pub marks: &'a [RunMark],
}

/// Most lines of equal value on a map.
const N_LINES: usize = 7;

/// The axis of a setting.
pub fn setting_axis(project: &Project, axis: &MapAxis) -> Axis {
    let setting = project.setting(&axis.id);
    let title = setting.map_or_else(|| axis.id.clone(), |setting| in_sentence(&setting.label));
    let unit = setting.map_or("", |setting| setting.unit.as_str());
    match setting.map(|setting| &setting.variation) {
        Some(Variation::Range { log: true, .. }) => Axis::log(title, unit, axis.low, axis.high),
        _ => Axis::linear(title, unit, axis.low, axis.high),
    }
}

/// The window over two settings with its limits, the range to be varied, the runs and the cross; `None` without a
/// window. `size` is in figure units.
pub fn window_figure(slice: &Slice<'_>, size: [f64; 2]) -> Option<Drawing> {
    let window = slice.window?;
    let project = slice.project;
    let (x, y) = (
        setting_axis(project, &window.x),
        setting_axis(project, &window.y),
    );
    let mut plot = Plot::new("Where the line can run", size, x, y).with(Layer::NotHere(NotHere {
        grid: window.worst.clone(),
        has_edge: false,
    }));
    plot = limit_curves(plot, window);
    if let (Some(across), Some(up)) = (
        range_of(project, &window.x.id),
        range_of(project, &window.y.id),
    ) {
        plot = plot.with(Layer::Range(RangeBox {
            low: [across.0, up.0],
            high: [across.1, up.1],
        }));
    }
    plot = plot.with(Layer::Runs(
        slice
            .marks
            .iter()
            .map(|mark| plot_mark(mark, slice.window))
            .collect(),
    ));
    Some(
        with_cross(plot, slice.held, window)
            .described(window_words(project, window))
            .draw(),
    )
}

fn limit_curves(mut plot: Plot, window: &WindowMap) -> Plot {
    for curve in &window.curves {
        let (stroke, name) = if curve.is_edge {
            (LIMIT_CURVE, in_sentence(curve.limit.label()))
        } else {
            (SECOND_LIMIT, String::new())
        };
        plot = plot.with(Layer::Curve(Curve {
            pieces: curve.pieces.clone(),
            stroke,
            name,
        }));
    }
    plot
}

fn window_words(project: &Project, window: &WindowMap) -> String {
    let label = |id: &str| {
        project
            .setting(id)
            .map_or_else(|| id.to_owned(), |setting| in_sentence(&setting.label))
    };
    let limits: Vec<String> = window
        .curves
        .iter()
        .filter(|curve| curve.is_edge)
        .map(|curve| in_sentence(curve.limit.label()))
        .collect();
    let ends = if limits.is_empty() {
        "no limit".to_owned()
    } else {
        limits.join(", ")
    };
    format!(
        "{} across, {} up; the window ends at: {ends}",
        label(&window.x.id),
        label(&window.y.id)
    )
}

fn with_cross(plot: Plot, held: &Settings, window: &WindowMap) -> Plot {
    let number = |id: &str| {
        held.get(id)
            .and_then(crate::campaign::project::SettingValue::number)
    };
    match (number(&window.x.id), number(&window.y.id)) {
        (Some(x), Some(y)) => plot.with(Layer::Cross([x, y])),
        _ => plot,
    }
}

fn range_of(project: &Project, id: &str) -> Option<(f64, f64)> {
    match &project.setting(id)?.variation {
        Variation::Range { low, high, .. } => Some((*low, *high)),
        Variation::Levels { levels } => Some((*levels.first()?, *levels.last()?)),
        Variation::Fixed | Variation::Categories { .. } => None,
    }
}

/// A run as a mark; one that stands where this slice cannot run says what it had otherwise, if that is short.
fn plot_mark(mark: &RunMark, window: Option<&WindowMap>) -> PlotMark {
    const LONGEST_NOTE: usize = 24;
    let kind = match mark.look {
        RunLook::Plain => RunMarkKind::Sound,
        RunLook::Return => RunMarkKind::Return,
        RunLook::Faulty => RunMarkKind::Faulty,
    };
    let is_beyond = window.is_some_and(|window| window.feasible(mark.x, mark.y) == Some(false));
    let is_short = mark.off_slice.chars().count() <= LONGEST_NOTE;
    PlotMark {
        at: [mark.x, mark.y],
        number: mark.run,
        kind,
        note: if is_beyond && is_short {
            mark.off_slice.clone()
        } else {
            String::new()
        },
    }
}

/// A film quality over two settings, hatched where the line cannot run; `None` if the project has no such quality or
/// the map no value. `size` is in figure units.
pub fn quality_figure(slice: &Slice<'_>, map: &QualityMap, size: [f64; 2]) -> Option<Drawing> {
    let project = slice.project;
    let quality = project.quality(&map.quality)?;
    let (low, high) = shown_range(map, slice.window)?;
    let scale = MapScale {
        low,
        high,
        is_log: map.is_log && low > 0.0,
        wanted: wanted_end(quality.goal),
    };
    let (x, y) = (setting_axis(project, &map.x), setting_axis(project, &map.y));
    let heading = if quality.unit.is_empty() {
        in_sentence(&quality.label)
    } else {
        quality.unit.clone()
    };
    let goals = finite_ends(quality.goal);
    let levels = levels(&scale, &goals);
    let color_map = ColorMap {
        grid: map.values.clone(),
        scale,
        heading,
        goals,
    };
    let mut plot = Plot::new(quality.label.clone(), size, x, y)
        .with(Layer::Map(color_map))
        .with(Layer::Isolines(Isolines {
            grid: map.values.clone(),
            levels,
        }));
    if let Some(window) = slice.window {
        plot = plot.with(Layer::NotHere(NotHere {
            grid: window.worst.clone(),
            has_edge: false,
        }));
        for curve in window.curves.iter().filter(|curve| curve.is_edge) {
            let name = in_sentence(curve.limit.label());
            plot = plot.with(Layer::Curve(Curve {
                pieces: curve.pieces.clone(),
                stroke: LIMIT_CURVE,
                name,
            }));
        }
        plot = with_cross(plot, slice.held, window);
    }
    plot = plot.with(Layer::Runs(
        slice
            .marks
            .iter()
            .map(|mark| plot_mark(mark, slice.window))
            .collect(),
    ));
    let ends = format!("{} to {} {}", plain(low), plain(high), quality.unit);
    let words = format!(
        "{} from {}; lighter is wanted",
        quality.label,
        ends.trim_end()
    );
    Some(plot.described(words).draw())
}

/// Least and greatest value where the line can run; everywhere if that is nowhere or not known.
fn shown_range(map: &QualityMap, window: Option<&WindowMap>) -> Option<(f64, f64)> {
    let grid = &map.values;
    let inside = |x: f64, y: f64| window.is_none_or(|window| window.feasible(x, y) != Some(false));
    let mut range: Option<(f64, f64)> = None;
    for (j, y) in grid.ys.iter().enumerate() {
        for (i, x) in grid.xs.iter().enumerate() {
            if let Some(value) = grid.at(i, j).filter(|_| inside(*x, *y)) {
                range = Some(range.map_or((value, value), |(low, high)| {
                    (low.min(value), high.max(value))
                }));
            }
        }
    }
    let (low, high) = range.or_else(|| grid.range())?;
    // A level surface still needs a scale.
    let room = 1e-6 * low.abs().max(high.abs()).max(1e-12);
    Some(if high - low > room {
        (low, high)
    } else {
        (low - room, high + room)
    })
}

/// The end of a quality that is drawn light: the one that is wanted.
pub const fn wanted_end(goal: Goal) -> WantedEnd {
    match goal {
        Goal::AtMost(_) | Goal::Low => WantedEnd::Low,
        Goal::AtLeast(_)
        | Goal::High
        | Goal::Between { .. }
        | Goal::Target { .. }
        | Goal::Watch => WantedEnd::High,
    }
}

fn finite_ends(goal: Goal) -> Vec<f64> {
    goal.interval().map_or_else(Vec::new, |(low, high)| {
        [low, high]
            .into_iter()
            .filter(|end| end.is_finite())
            .collect()
    })
}

/// Round values between the ends of the scale, and the goals.
fn levels(scale: &MapScale, goals: &[f64]) -> Vec<Level> {
    let axis = if scale.is_log {
        Axis::log("", "", scale.low, scale.high)
    } else {
        Axis::linear("", "", scale.low, scale.high)
    };
    let step = (scale.high - scale.low) / (4.0 * N_LINES as f64);
    let is_near_goal = |value: f64| goals.iter().any(|goal| (goal - value).abs() < step);
    let ticks = axis
        .ticks(N_LINES)
        .into_iter()
        .filter(|tick| !is_near_goal(tick.value));
    let plain_lines = ticks.map(|tick| Level {
        value: tick.value,
        label: tick.label,
        kind: LevelKind::Plain,
    });
    let goal_lines = goals.iter().map(|goal| Level {
        value: *goal,
        label: goal.to_string(),
        kind: LevelKind::Goal,
    });
    plain_lines.chain(goal_lines).collect()
}

/// A film quality along one setting, with its band and the side beyond the goal hatched, between the values `low` and
/// `high` (see [`shared_range`]); equal ratios take equal room if `is_log`.
pub fn curve_figure(
    slice: &Slice<'_>,
    quality: &Quality,
    curve: &QualityCurve,
    (low, high): (f64, f64),
    is_log: bool,
) -> Drawing {
    let project = slice.project;
    let setting = project.setting(&curve.setting);
    let label = setting.map_or_else(
        || curve.setting.clone(),
        |setting| in_sentence(&setting.label),
    );
    let unit = setting.map_or("", |setting| setting.unit.as_str());
    let ends = (
        curve.xs.first().copied().unwrap_or(0.0),
        curve.xs.last().copied().unwrap_or(1.0),
    );
    let x = if curve.levels.is_empty() {
        Axis::linear(label.clone(), unit, ends.0, ends.1)
    } else {
        Axis::levels(label.clone(), curve.levels.clone())
    };
    let y_title = in_sentence(&quality.label);
    let y = if is_log {
        Axis::log(y_title, quality.unit.clone(), low, high)
    } else {
        Axis::linear(y_title, quality.unit.clone(), low, high)
    };
    let title = format!("{} along {label}", quality.label);
    let mut plot = Plot::new(title, [CURVE_WIDTH, 178.0], x, y);
    if let Some((least, most)) = quality.goal.interval() {
        plot = plot
            .with(Layer::Beyond(Beyond {
                low: f64::NEG_INFINITY,
                high: least,
            }))
            .with(Layer::Beyond(Beyond {
                low: most,
                high: f64::INFINITY,
            }));
    }
    plot = if curve.levels.is_empty() {
        with_band(plot, curve)
    } else {
        with_levels(plot, curve)
    };
    let here = slice
        .held
        .get(&curve.setting)
        .and_then(crate::campaign::project::SettingValue::number);
    if let Some(value) = here.filter(|_| curve.levels.is_empty()) {
        let stroke = Stroke::new(INK3, 1.0).dashed(Dash::Dots);
        plot = plot.with(Layer::Rule(Rule {
            of: Direction::Across,
            value,
            stroke,
            words: String::new(),
        }));
    }
    plot.draw()
}

/// Width of a curve chart: three stand beside each other.
const CURVE_WIDTH: f64 = 266.0;

fn with_band(plot: Plot, curve: &QualityCurve) -> Plot {
    let known =
        |index: usize, from: &[Option<f64>]| from.get(index).copied().flatten().unwrap_or(f64::NAN);
    let band = curve
        .xs
        .iter()
        .enumerate()
        .map(|(index, x)| [*x, known(index, &curve.lows), known(index, &curve.highs)])
        .collect();
    let line = curve
        .xs
        .iter()
        .enumerate()
        .map(|(index, x)| [*x, known(index, &curve.values)]);
    let pieces = pieces_of(line);
    plot.with(Layer::Band(Band {
        points: band,
        color: ACCENT_SOFT,
    }))
    .with(Layer::Curve(Curve {
        pieces,
        stroke: Stroke::new(ACCENT, 2.0),
        name: String::new(),
    }))
}

fn with_levels(plot: Plot, curve: &QualityCurve) -> Plot {
    let mut pieces = Vec::new();
    let mut dots = Vec::new();
    for (index, x) in curve.xs.iter().enumerate() {
        let of = |from: &[Option<f64>]| from.get(index).copied().flatten();
        if let (Some(low), Some(high)) = (of(&curve.lows), of(&curve.highs)) {
            pieces.push(vec![[*x, low], [*x, high]]);
        }
        dots.extend(of(&curve.values).map(|value| Dot {
            at: [*x, value],
            kind: DotKind::Plain,
        }));
    }
    plot.with(Layer::Curve(Curve {
        pieces,
        stroke: Stroke::new(ACCENT, 1.4),
        name: String::new(),
    }))
    .with(Layer::Dots(dots))
}

/// The range that all curves of a quality share: the fitted values, their bands as far as they do not dwarf them, and
/// the goals nearby.
pub fn shared_range(curves: &[QualityCurve], goal: Goal) -> Option<(f64, f64)> {
    let spread = |values: &mut dyn Iterator<Item = f64>| {
        values
            .filter(|value| value.is_finite())
            .fold(None, |range: Option<(f64, f64)>, value| {
                Some(range.map_or((value, value), |(low, high)| {
                    (low.min(value), high.max(value))
                }))
            })
    };
    let (low, high) = spread(
        &mut curves
            .iter()
            .flat_map(|curve| curve.values.iter().flatten().copied()),
    )?;
    let reach = (high - low)
        .max(1e-9 * low.abs().max(high.abs()))
        .max(f64::MIN_POSITIVE);
    let (least, most) = (low - reach, high + reach);
    let bands = curves
        .iter()
        .flat_map(|curve| curve.lows.iter().chain(&curve.highs).flatten().copied());
    let near = bands
        .chain(finite_ends(goal))
        .filter(|value| least <= *value && *value <= most);
    let (shown_low, shown_high) = spread(&mut near.chain([low, high]))?;
    let room = 0.06 * (shown_high - shown_low);
    // What is above zero stays there, also on an axis of ratios.
    let below = shown_low - room;
    let floor = if shown_low > 0.0 && below <= 0.0 {
        0.9 * shown_low
    } else {
        below
    };
    Some((floor, shown_high + room))
}

/// The bars of "what matters", one an effect.
pub fn effect_bars(effects: &[crate::campaign::answers::EffectLine]) -> Vec<Option<Drawing>> {
    let bar = |line: &crate::campaign::answers::EffectLine| {
        line.shown
            .map(|(value, low, high)| IntervalBar { low, value, high })
    };
    let all: Vec<IntervalBar> = effects.iter().filter_map(bar).collect();
    let ends = shared_ends(&all);
    effects
        .iter()
        .map(|line| bar(line).map(|bar| bar.draw(&line.sentence, ends)))
        .collect()
}
