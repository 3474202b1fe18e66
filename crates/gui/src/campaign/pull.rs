//! The nearest setting that can run, for a run that cannot.
//!
//! First each setting alone, those that change on the fly before those that need a stop: the smallest move, in coded
//! units, that makes every hard limit hold. If no single setting does it, the run is moved on a straight line towards
//! the middle of the ranges. The wanted margin is kept; where a limit was only just met, settings are moved on by
//! another hundredth of the range.
//!
//! At the limit itself a run is a coin toss. [`pull_runs`] therefore moves each run on, the same way, to where it works
//! with the chance that the project asks for.

use wetlane_stats::{CodedPoint, FactorSpace, Value};

use super::chance::{CHART_DRAWS, USUAL_LEAST_CHANCE, chance_of};
use super::factors::{coded_point, factor_space, settings_at};
use super::feasibility::{Depth, Judge};
use super::project::{EffortClass, Project, Run, Settings};

/// Steps of the scan across a range.
const SCAN: usize = 40;
/// Halvings of the step in which the limit turns.
const HALVINGS: usize = 20;
/// Move beyond the limit itself, in coded units: a hundredth of the range.
const BEYOND: f64 = 0.02;
/// Steps from the limit to the end of the way, at which the chance is looked at.
const CHANCE_STEPS: u32 = 16;
/// Halvings of the step in which the chance is reached.
const CHANCE_HALVINGS: usize = 5;

/// A feasible place near a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Pulled {
    /// The settings that differ from the planned ones.
    pub settings: Settings,
    /// Length of the move in coded units.
    pub distance: f64,
    /// The chance that it works there; `None` if it was not asked for or is not known.
    pub chance: Option<f64>,
}

/// A way along which a run is moved, and how far: everything hard holds from there on.
#[derive(Debug, Clone)]
struct Move {
    to: CodedPoint,
    share: f64,
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
    let (mut search, start) = search_from(project, run)?;
    let found = moves(&mut search, &start).into_iter().next()?;
    let place = safely_beyond(&mut search, &start, &found);
    pulled_from(&search.space, run, (&start, &place), None)
}

/// As [`pull`], to where the run works with a chance of at least `least`: along the first way that has such a place.
/// Where none has, the best place of all ways is taken, with its chance. `stop` ends the search early.
fn pull_to_chance(
    project: &Project,
    run: &Run,
    least: f64,
    stop: &dyn Fn() -> bool,
) -> Option<Pulled> {
    let (mut search, start) = search_from(project, run)?;
    let ways = moves(&mut search, &start);
    let mut best: Option<(CodedPoint, f64)> = None;
    for way in &ways {
        let chance_at = |share: f64| {
            let place = between(&start, &way.to, share);
            chance_at(project, run, &search.space, &place, stop)
        };
        let Some((share, chance)) = place_with_chance(way.share, least, chance_at) else {
            continue;
        };
        if best.as_ref().is_none_or(|(_, known)| chance > *known) {
            best = Some((between(&start, &way.to, share), chance));
        }
        if chance >= least {
            break;
        }
    }
    if let Some((place, chance)) = best {
        return pulled_from(&search.space, run, (&start, &place), Some(chance));
    }
    let place = safely_beyond(&mut search, &start, ways.first()?);
    pulled_from(&search.space, run, (&start, &place), None)
}

/// The chance that a run works at a place.
fn chance_at(
    project: &Project,
    run: &Run,
    space: &FactorSpace,
    place: &CodedPoint,
    stop: &dyn Fn() -> bool,
) -> Option<f64> {
    let mut settings = project.settings_of(run);
    settings.extend(settings_at(space, place).ok()?);
    let chance = chance_of(project, &settings, CHART_DRAWS, stop);
    chance.ok().flatten().map(|chance| chance.all_hold)
}

/// The first share of a way, from `from` on, at which the chance is at least `least`, else the share with the greatest
/// chance; `None` if no chance is known.
fn place_with_chance(
    from: f64,
    least: f64,
    chance_at: impl Fn(f64) -> Option<f64>,
) -> Option<(f64, f64)> {
    let one_step = (1.0 - from) / f64::from(CHANCE_STEPS);
    let mut best: Option<(f64, f64)> = None;
    for step in 0..=CHANCE_STEPS {
        let share = from + one_step * f64::from(step);
        let chance = chance_at(share)?;
        if best.is_none_or(|(_, known)| chance > known) {
            best = Some((share, chance));
        }
        if chance >= least {
            break;
        }
    }
    let (share, chance) = best?;
    if chance < least {
        return Some((share, chance));
    }
    let (mut short, mut far) = ((share - one_step).max(from), (share, chance));
    for _ in 0..CHANCE_HALVINGS {
        let middle = f64::midpoint(short, far.0);
        match chance_at(middle) {
            Some(chance) if chance >= least => far = (middle, chance),
            _ => short = middle,
        }
    }
    Some(far)
}

/// A search with the place of the run; `None` if that is no point or feasible as planned.
fn search_from<'a>(project: &'a Project, run: &Run) -> Option<(Search<'a>, CodedPoint)> {
    let space = factor_space(project).ok()?;
    let start = coded_point(&space, &run.planned).ok()?;
    let mut search = Search {
        project,
        space,
        judge: Judge::new(project),
    };
    (!search.is_feasible(&start)).then_some((search, start))
}

/// The ways that free a run: each setting alone, least effort first and then the nearest, and last of all the straight
/// line to the middle of the ranges.
fn moves(search: &mut Search<'_>, start: &CodedPoint) -> Vec<Move> {
    let mut found: Vec<Move> = Vec::new();
    for class in EffortClass::ALL {
        let mut of_class = single_moves(search, start, class);
        of_class.sort_by(|(a, _), (b, _)| a.total_cmp(b));
        found.extend(of_class.into_iter().map(|(_, way)| way));
    }
    let to = CodedPoint(
        start
            .0
            .iter()
            .map(|value| match value {
                Value::Number(_) => Value::Number(0.0),
                Value::Level(level) => Value::Level(*level),
            })
            .collect(),
    );
    if let Some(share) = search.first_feasible(start, &to) {
        found.push(Move { to, share });
    }
    found
}

/// What became of several runs that could not run.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PulledRuns {
    /// Runs with their feasible places.
    pub pulled: Vec<(u32, Pulled)>,
    /// Those of them that work with less than the chance asked for, at the best place on their way.
    pub risky: Vec<u32>,
    /// Runs near which no feasible place was found.
    pub left: Vec<u32>,
}

/// The places to which some runs are pulled to work with the chance that the project asks for, ending early (with those found so far) once `stop`, which is told the
/// share done, says so.
pub fn pull_runs(project: &Project, runs: &[u32], stop: impl Fn(f64) -> bool) -> PulledRuns {
    let mut found = PulledRuns::default();
    let least = project.limits.least_chance.unwrap_or(USUAL_LEAST_CHANCE);
    let places = runs.iter().filter_map(|number| project.run(*number));
    for (done, run) in places.enumerate() {
        let share = done as f64 / runs.len() as f64;
        if stop(share) {
            break;
        }
        match pull_to_chance(project, run, least, &|| stop(share)) {
            Some(pulled) => {
                if pulled.chance.is_some_and(|chance| chance < least) {
                    found.risky.push(run.number);
                }
                found.pulled.push((run.number, pulled));
            }
            None => found.left.push(run.number),
        }
    }
    found
}

/// The moves of one setting of this effort that free the run, with their length in coded units.
fn single_moves(
    search: &mut Search<'_>,
    start: &CodedPoint,
    class: EffortClass,
) -> Vec<(f64, Move)> {
    let efforts: Vec<EffortClass> = search
        .project
        .varied()
        .map(|setting| setting.effort.class)
        .collect();
    let mut found = Vec::new();
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
            let way = Move { to, share };
            let length = distance(start, &safely_beyond(search, start, &way));
            found.push((length, way));
        }
    }
    found
}

/// A place a little beyond the limit, if that is still feasible and on the way.
fn safely_beyond(search: &mut Search<'_>, from: &CodedPoint, found: &Move) -> CodedPoint {
    let at_limit = between(from, &found.to, found.share);
    let length = distance(from, &found.to);
    let further = between(from, &found.to, (found.share + BEYOND / length).min(1.0));
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
    (start, place): (&CodedPoint, &CodedPoint),
    chance: Option<f64>,
) -> Option<Pulled> {
    let mut settings = settings_at(space, place).ok()?;
    settings.retain(|id, value| run.planned.get(id) != Some(value));
    (!settings.is_empty()).then(|| Pulled {
        settings,
        distance: distance(start, place),
        chance,
    })
}
