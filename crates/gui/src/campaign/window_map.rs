//! The coating window over two settings: the worst margin everywhere, and the curve on which each hard limit turns.
//!
//! Margins are sampled on a grid through [`Judge`]; every point of a curve is then moved along its grid edge to where the margin of that limit is zero. What is drawn is thus the same limit that judges a run.

use wetlane_physics::{LimitId, Severity, Station};

use super::feasibility::{Depth, Judge, Judgement};
use super::project::{Project, SettingValue, Settings};
use crate::figure::isolines::{Grid, Isoline, isolines};

/// A margin nearer to zero than this is zero for a drawing.
const MARGIN_TOLERANCE: f64 = 1e-7;
/// Shortest bracket, as a share of a grid edge.
const EDGE_TOLERANCE: f64 = 1e-9;
/// Most steps to a point of a curve; false position needs about six.
const MOST_STEPS: usize = 40;

/// One axis of the window.
#[derive(Debug, Clone, PartialEq)]
pub struct MapAxis {
    /// Id of the setting.
    pub id: String,
    /// Least value shown, in the setting's unit.
    pub low: f64,
    /// Greatest value shown.
    pub high: f64,
    /// Number of grid points.
    pub n: usize,
}

impl MapAxis {
    /// The grid points, in the setting's unit.
    pub fn positions(&self) -> Vec<f64> {
        let last = self.n.max(2) - 1;
        (0..=last)
            .map(|i| self.low + (self.high - self.low) * (i as f64 / last as f64))
            .collect()
    }
}

/// The curve on which one hard limit turns from holding to broken.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitCurve {
    /// Which limit.
    pub limit: LimitId,
    /// Pieces of the curve, in the units of the axes.
    pub pieces: Vec<Isoline>,
    /// True if nothing else is broken along at least half of its points: it is the edge of the window there.
    pub is_edge: bool,
}

/// The window over two settings.
#[derive(Debug, Clone, PartialEq)]
pub struct WindowMap {
    /// Axis across.
    pub x: MapAxis,
    /// Axis up.
    pub y: MapAxis,
    /// Least margin of all hard limits; not-a-number where it is not known.
    pub worst: Grid,
    /// Curves of the limits that turn somewhere inside.
    pub curves: Vec<LimitCurve>,
}

impl WindowMap {
    /// Whether a place can run; `None` outside the map or where it is not known.
    pub fn feasible(&self, x: f64, y: f64) -> Option<bool> {
        self.worst.interpolate(x, y).map(|margin| margin >= 0.0)
    }
}

struct Sampler<'a> {
    judge: Judge<'a>,
    settings: Settings,
    x: String,
    y: String,
    safety_margin: f64,
}

impl Sampler<'_> {
    fn judge(&mut self, x: f64, y: f64) -> Option<Judgement> {
        self.judge_to(x, y, Depth::Nominal)
    }

    fn judge_to(&mut self, x: f64, y: f64, depth: Depth) -> Option<Judgement> {
        self.settings
            .insert(self.x.clone(), SettingValue::Number(x));
        self.settings
            .insert(self.y.clone(), SettingValue::Number(y));
        self.judge.judge(&self.settings, depth).ok()
    }

    /// What is left of a limit's margin beyond the one asked for.
    fn surplus(&mut self, limit: LimitId, x: f64, y: f64) -> Option<f64> {
        let safety = self.safety_margin;
        // The march through the dryer is costly, and only limits of roller, lamps and dryer need it.
        let depth = match limit.station() {
            // So do those of the web, which softens where it is hottest.
            Station::Roller | Station::Infrared | Station::Dryer | Station::Rewind => {
                Depth::Nominal
            }
            Station::Unwind
            | Station::Plasma
            | Station::Head
            | Station::Laminator
            | Station::Uv => Depth::ClosedForm,
        };
        let margin = self
            .judge_to(x, y, depth)?
            .assessment
            .limit(limit)?
            .margin()?;
        Some(margin - safety)
    }
}

/// Computes the window over two settings with all others at `held`.
///
/// `stop` is told the share done and ends the work, with `None`, once it says so.
pub fn window_map(
    project: &Project,
    held: &Settings,
    x: &MapAxis,
    y: &MapAxis,
    stop: &dyn Fn(f64) -> bool,
) -> Option<WindowMap> {
    let (xs, ys) = (x.positions(), y.positions());
    let mut sampler = Sampler {
        judge: Judge::new(project),
        settings: held.clone(),
        x: x.id.clone(),
        y: y.id.clone(),
        safety_margin: project.limits.safety_margin,
    };
    let n_places = xs.len() * ys.len();
    let mut worst = Vec::with_capacity(n_places);
    let mut margins: Vec<Vec<f64>> = vec![Vec::with_capacity(n_places); LimitId::ALL.len()];
    for (row, up) in ys.iter().enumerate() {
        if stop(0.9 * row as f64 / ys.len() as f64) {
            return None;
        }
        for across in &xs {
            let judged = sampler.judge(*across, *up);
            worst.push(
                judged
                    .as_ref()
                    .and_then(Judgement::margin)
                    .map_or(f64::NAN, |m| m - sampler.safety_margin),
            );
            for (limit, column) in LimitId::ALL.iter().zip(&mut margins) {
                column.push(
                    counted_margin(judged.as_ref(), *limit)
                        .map_or(f64::NAN, |m| m - sampler.safety_margin),
                );
            }
        }
    }
    let worst = Grid {
        xs: xs.clone(),
        ys: ys.clone(),
        values: worst,
    };
    let mut curves = Vec::new();
    for (limit, values) in LimitId::ALL.iter().zip(margins) {
        if stop(0.95) {
            return None;
        }
        let grid = Grid {
            xs: xs.clone(),
            ys: ys.clone(),
            values,
        };
        let pieces: Vec<Isoline> = isolines(&grid, 0.0)
            .into_iter()
            .map(|piece| {
                piece
                    .into_iter()
                    .map(|point| refine(&mut sampler, *limit, &grid, point))
                    .collect()
            })
            .collect();
        if !pieces.is_empty() {
            let is_edge = is_edge_of_window(&worst, &pieces);
            curves.push(LimitCurve {
                limit: *limit,
                pieces,
                is_edge,
            });
        }
    }
    Some(WindowMap {
        x: x.clone(),
        y: y.clone(),
        worst,
        curves,
    })
}

/// The margin of a limit if it is hard and counts.
fn counted_margin(judged: Option<&Judgement>, limit: LimitId) -> Option<f64> {
    let judged = judged?;
    if judged.switched_off.contains_key(limit.key()) {
        return None;
    }
    let record = judged.assessment.limit(limit)?;
    (record.severity == Severity::Hard)
        .then(|| record.margin())
        .flatten()
}

/// Moves a point along the grid edge on which it lies to where the limit's margin is zero: false position with the
/// Illinois step (Dowell & Jarratt 1971, BIT 11, 168–174), which never leaves the bracket.
fn refine(sampler: &mut Sampler<'_>, limit: LimitId, grid: &Grid, [x, y]: [f64; 2]) -> [f64; 2] {
    let Some((low, high)) = edge_of(grid, x, y) else {
        return [x, y];
    };
    let place = |share: f64| {
        [
            low[0] + share * (high[0] - low[0]),
            low[1] + share * (high[1] - low[1]),
        ]
    };
    let mut surplus = |share: f64| {
        let [x, y] = place(share);
        sampler.surplus(limit, x, y)
    };
    let (Some(mut at_a), Some(mut at_b)) = (surplus(0.0), surplus(1.0)) else {
        return [x, y];
    };
    if (at_a >= 0.0) == (at_b >= 0.0) {
        return [x, y];
    }
    let (mut a, mut b) = (0.0, 1.0);
    for _ in 0..MOST_STEPS {
        let share = (a * at_b - b * at_a) / (at_b - at_a);
        let Some(at_share) = surplus(share) else {
            return [x, y];
        };
        if at_share.abs() < MARGIN_TOLERANCE || (b - a).abs() < EDGE_TOLERANCE {
            return place(share);
        }
        if (at_share >= 0.0) == (at_b >= 0.0) {
            at_a *= 0.5;
        } else {
            (a, at_a) = (b, at_b);
        }
        (b, at_b) = (share, at_share);
    }
    place(f64::midpoint(a, b))
}

/// The two grid points between which a point of an isoline lies.
fn edge_of(grid: &Grid, x: f64, y: f64) -> Option<([f64; 2], [f64; 2])> {
    let on = |positions: &[f64], value: f64| {
        positions
            .iter()
            .copied()
            .find(|p| (p - value).abs() <= f64::EPSILON * p.abs())
    };
    let around = |positions: &[f64], value: f64| {
        positions.windows(2).find_map(|pair| match pair {
            [a, b] if *a <= value && value <= *b => Some((*a, *b)),
            _ => None,
        })
    };
    match (on(&grid.xs, x), on(&grid.ys, y)) {
        (Some(x), None) => around(&grid.ys, y).map(|(a, b)| ([x, a], [x, b])),
        (None, Some(y)) => around(&grid.xs, x).map(|(a, b)| ([a, y], [b, y])),
        (Some(_), Some(_)) | (None, None) => None,
    }
}

/// True if along at least half of the points no other limit is broken much: a worst margin near zero.
fn is_edge_of_window(worst: &Grid, pieces: &[Isoline]) -> bool {
    const NEAR: f64 = 0.05;
    let points: Vec<&[f64; 2]> = pieces.iter().flatten().collect();
    let free = points
        .iter()
        .filter(|[x, y]| {
            worst
                .interpolate(*x, *y)
                .is_some_and(|margin| margin > -NEAR)
        })
        .count();
    2 * free >= points.len()
}
