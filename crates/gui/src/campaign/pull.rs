//! The nearest setting that can run, for a run that cannot.
//!
//! First each setting alone, those that change on the fly before those that need a stop: the smallest move, in coded
//! units, that makes every hard limit hold. If no single setting does it, the run is moved on a straight line towards
//! the middle of the ranges. The wanted margin is kept; where a limit was only just met, settings are moved on by
//! another hundredth of the range.

use wetlane_stats::{CodedPoint, FactorSpace, Value};

use super::factors::{coded_point, factor_space, settings_at};
use super::feasibility::{Depth, Judge};
use super::project::{EffortClass, Project, Run, Settings};

/// Steps of the scan across a range.
const SCAN: usize = 40;
/// Halvings of the step in which the limit turns.
const HALVINGS: usize = 20;
/// Move beyond the limit itself, in coded units: a hundredth of the range.
const BEYOND: f64 = 0.02;

/// A feasible place near a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Pulled {
    /// The settings that differ from the planned ones.
    pub settings: Settings,
    /// Length of the move in coded units.
    pub distance: f64,
}

struct Search<'a> {
    project: &'a Project,
    space: FactorSpace,
    judge: Judge<'a>,
}

impl Search<'_> {
    fn is_feasible(&mut self, point: &CodedPoint) -> bool {
        let Ok(settings) = settings_at(&self.space, point) else {
            return false;
        };
        self.judge
            .judge(&settings, Depth::Nominal)
            .is_ok_and(|judgement| judgement.feasible() == Some(true))
    }

    /// The first feasible share of the way from `from` to `to`, 0 to 1.
    fn first_feasible(&mut self, from: &CodedPoint, to: &CodedPoint) -> Option<f64> {
        let mut blocked = 0.0;
        for step in 1..=SCAN {
            let share = step as f64 / SCAN as f64;
            if self.is_feasible(&between(from, to, share)) {
                return Some(self.turning_point(from, to, blocked, share));
            }
            blocked = share;
        }
        None
    }

    fn turning_point(
        &mut self,
        from: &CodedPoint,
        to: &CodedPoint,
        mut blocked: f64,
        mut free: f64,
    ) -> f64 {
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(blocked, free);
            if self.is_feasible(&between(from, to, middle)) {
                free = middle;
            } else {
                blocked = middle;
            }
        }
        free
    }
}

/// The nearest feasible place of a run; `None` if there is none to be found, or the run is feasible as planned.
pub fn pull(project: &Project, run: &Run) -> Option<Pulled> {
    let space = factor_space(project).ok()?;
    let start = coded_point(&space, &run.planned).ok()?;
    let mut search = Search {
        project,
        space,
        judge: Judge::new(project),
    };
    if search.is_feasible(&start) {
        return None;
    }
    for class in EffortClass::ALL {
        if let Some(pulled) = best_single_move(&mut search, &start, class) {
            return pulled_from(&search.space, run, &start, &pulled);
        }
    }
    let middle = CodedPoint(
        start
            .0
            .iter()
            .map(|value| match value {
                Value::Number(_) => Value::Number(0.0),
                Value::Level(level) => Value::Level(*level),
            })
            .collect(),
    );
    let share = search.first_feasible(&start, &middle)?;
    let place = safely_beyond(&mut search, &start, &middle, share);
    pulled_from(&search.space, run, &start, &place)
}

/// What became of several runs that could not run.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PulledRuns {
    /// Runs with their feasible places.
    pub pulled: Vec<(u32, Pulled)>,
    /// Runs near which no feasible place was found.
    pub left: Vec<u32>,
}

/// The nearest feasible places of some runs, ending early (with those found so far) once `stop`, which is told the
/// share done, says so.
pub fn pull_runs(project: &Project, runs: &[u32], stop: impl Fn(f64) -> bool) -> PulledRuns {
    let mut found = PulledRuns::default();
    let places = runs.iter().filter_map(|number| project.run(*number));
    for (done, run) in places.enumerate() {
        if stop(done as f64 / runs.len() as f64) {
            break;
        }
        match pull(project, run) {
            Some(pulled) => found.pulled.push((run.number, pulled)),
            None => found.left.push(run.number),
        }
    }
    found
}

/// The smallest move of one setting of this effort that frees the run.
fn best_single_move(
    search: &mut Search<'_>,
    start: &CodedPoint,
    class: EffortClass,
) -> Option<CodedPoint> {
    let efforts: Vec<EffortClass> = search
        .project
        .varied()
        .map(|setting| setting.effort.class)
        .collect();
    let mut best: Option<(f64, CodedPoint)> = None;
    for (index, effort) in efforts.into_iter().enumerate() {
        let Some(Value::Number(x)) = start.0.get(index).copied() else {
            continue;
        };
        if effort != class {
            continue;
        }
        for end in [-1.0, 1.0] {
            let mut to = start.clone();
            if let Some(value) = to.0.get_mut(index) {
                *value = Value::Number(end);
            }
            let reach = (end - x).abs();
            let Some(share) = (reach > 1e-9)
                .then(|| search.first_feasible(start, &to))
                .flatten()
            else {
                continue;
            };
            let place = safely_beyond(search, start, &to, share);
            let distance = distance(start, &place);
            if best.as_ref().is_none_or(|(least, _)| distance < *least) {
                best = Some((distance, place));
            }
        }
    }
    best.map(|(_, place)| place)
}

/// A place a little beyond the limit, if that is still feasible and on the way.
fn safely_beyond(
    search: &mut Search<'_>,
    from: &CodedPoint,
    to: &CodedPoint,
    share: f64,
) -> CodedPoint {
    let at_limit = between(from, to, share);
    let length = distance(from, to);
    let further = between(from, to, (share + BEYOND / length).min(1.0));
    if search.is_feasible(&further) {
        further
    } else {
        at_limit
    }
}

fn between(from: &CodedPoint, to: &CodedPoint, share: f64) -> CodedPoint {
    CodedPoint(
        from.0
            .iter()
            .zip(&to.0)
            .map(|pair| match pair {
                (Value::Number(a), Value::Number(b)) => Value::Number(a + share * (b - a)),
                (value, _) => *value,
            })
            .collect(),
    )
}

fn distance(one: &CodedPoint, other: &CodedPoint) -> f64 {
    let squares = one.0.iter().zip(&other.0).map(|pair| match pair {
        (Value::Number(a), Value::Number(b)) => (a - b).powi(2),
        _ => 0.0,
    });
    squares.sum::<f64>().sqrt()
}

fn pulled_from(
    space: &FactorSpace,
    run: &Run,
    start: &CodedPoint,
    place: &CodedPoint,
) -> Option<Pulled> {
    let mut settings = settings_at(space, place).ok()?;
    settings.retain(|id, value| run.planned.get(id) != Some(value));
    (!settings.is_empty()).then(|| Pulled {
        settings,
        distance: distance(start, place),
    })
}
