//! The chosen point of a sample and its check runs, found with the program's own fits and limits.

use super::super::analysis::{QualityFit, fit_all};
use super::super::answers::goal_lines;
use super::super::factors::{coded_point, factor_space, settings_at};
use super::super::feasibility::{Depth, Judge};
use super::super::project::{
    ChosenPoint, Importance, Outcome, Project, Role, Run, RunRole, Settings,
};
use super::super::promises::promises_at;
use super::invented::number_at;
use wetlane_stats::design::settable;
use wetlane_stats::{CodedPoint, Factor, FactorKind, Value};

/// Margin that a chosen point keeps to every limit: nearer ones are marked "near" on the screens.
const MARGIN: f64 = 0.1;
/// Chance of every goal that is sure enough, so that speed counts.
const SURE: f64 = 0.95;
/// Difference of chances that does not count against speed.
const LITTLE: f64 = 0.01;
/// Runs around a chosen point that must all have been sound.
const N_NEIGHBORS: usize = 3;

/// Chooses the fastest point at which every goal is sure enough, or as sure as anywhere if it is nowhere; moves the cross there, and adds check runs with what they are promised.
///
/// Looked at are `n_levels` numbers of each range, with every level of a list or a category; taken is the best of them
/// that keeps a margin to every limit and lies among sound runs. Nothing is done if there is none.
pub(super) fn choose(project: &mut Project, n_levels: usize, n_check_runs: usize) {
    let fits = fit_all(project);
    let Some(settings) = best_point(project, n_levels) else {
        return;
    };
    let promised = promises_at(&fits, &settings, n_check_runs);
    let numbers = project.next_run_number()..;
    let runs: Vec<Run> = numbers
        .take(n_check_runs)
        .map(|number| Run::new(number, RunRole::Check, settings.clone()))
        .collect();
    let check_runs = runs.iter().map(|run| run.number).collect();
    add_each_set_up(project, runs);
    for setting in &mut project.settings {
        if let Some(value) = settings.get(&setting.id) {
            setting.now = value.clone();
        }
    }
    project.choice = Some(ChosenPoint {
        settings,
        check_runs,
        promised,
    });
}

/// Adds runs, each of which is set up anew where the project counts set-ups.
pub(super) fn add_each_set_up(project: &mut Project, runs: Vec<Run>) {
    let mut set_up = project.runs.iter().filter_map(|run| run.set_up).max();
    for mut run in runs {
        set_up = set_up.map(|last| last + 1);
        run.set_up = set_up;
        project.runs.push(run);
    }
}

fn best_point(project: &Project, n_levels: usize) -> Option<Settings> {
    let fits: Vec<(String, Result<QualityFit, String>)> = fit_all(project)
        .into_iter()
        .map(|(id, fit)| (id, fit.map_err(|error| error.to_string())))
        .collect();
    let speed = project.setting_of(Role::Speed)?.id.as_str();
    let mut points: Vec<(f64, Settings)> = grid(project, n_levels)
        .into_iter()
        .filter_map(|settings| Some((least_chance(project, &fits, &settings)?, settings)))
        .collect();
    let surest = points.iter().map(|(chance, _)| *chance).fold(0.0, f64::max);
    let enough = SURE.min(surest - LITTLE);
    points.retain(|(chance, _)| *chance >= enough);
    points.sort_by(|(chance_a, a), (chance_b, b)| {
        number_at(b, speed)
            .total_cmp(&number_at(a, speed))
            .then(chance_b.total_cmp(chance_a))
    });
    let mut judge = Judge::new(project);
    let mut can_run = |settings: &Settings| {
        let judged = judge.judge(settings, Depth::Nominal).ok();
        judged
            .and_then(|judgement| judgement.margin())
            .is_some_and(|margin| margin >= MARGIN)
    };
    points
        .into_iter()
        .map(|(_, settings)| settings)
        .find(|settings| is_among_sound_runs(project, settings) && can_run(settings))
}

/// Chance of the least sure of the goals that must be met.
fn least_chance(
    project: &Project,
    fits: &[(String, Result<QualityFit, String>)],
    settings: &Settings,
) -> Option<f64> {
    let is_must = |id: &str| {
        project
            .quality(id)
            .is_some_and(|quality| quality.importance == Importance::Must)
    };
    goal_lines(project, fits, settings)
        .iter()
        .filter(|line| is_must(&line.quality))
        .filter_map(|line| line.chance)
        .min_by(f64::total_cmp)
}

/// Every combination of evenly spaced numbers and of levels, as they can be set.
fn grid(project: &Project, n_levels: usize) -> Vec<Settings> {
    let Ok(space) = factor_space(project) else {
        return Vec::new();
    };
    let mut points = vec![CodedPoint(Vec::new())];
    for factor in space.factors() {
        let values = values_of(factor, n_levels);
        let longer = |point: &CodedPoint, value: &Value| {
            let mut values = point.0.clone();
            values.push(*value);
            CodedPoint(values)
        };
        points = points
            .iter()
            .flat_map(|point| values.iter().map(|value| longer(point, value)))
            .collect();
    }
    points
        .iter()
        .filter_map(|point| settings_at(&space, &settable(&space, point).ok()?).ok())
        .collect()
}

fn values_of(factor: &Factor, n_levels: usize) -> Vec<Value> {
    let last = n_levels.max(2) - 1;
    match factor.kind() {
        FactorKind::Continuous { .. } => (0..=last)
            .map(|level| Value::Number(2.0 * level as f64 / last as f64 - 1.0))
            .collect(),
        FactorKind::Discrete { levels } => {
            let (low, high) = factor.range().unwrap_or((-1.0, 1.0));
            let coded = |level: &f64| Value::Number((2.0 * level - low - high) / (high - low));
            levels.iter().map(coded).collect()
        }
        FactorKind::Categorical { levels } => (0..levels.len()).map(Value::Level).collect(),
    }
}

/// True if the nearest runs that were made, in coded distance, all gave a sound film.
fn is_among_sound_runs(project: &Project, settings: &Settings) -> bool {
    let Ok(space) = factor_space(project) else {
        return false;
    };
    let Ok(place) = coded_point(&space, settings) else {
        return false;
    };
    let mut neighbors: Vec<(f64, bool)> = project
        .runs
        .iter()
        .filter(|run| run.has_results())
        .filter_map(|run| {
            let point = coded_point(&space, &project.settings_of(run)).ok()?;
            Some((distance(&place, &point), run.outcome == Outcome::Sound))
        })
        .collect();
    neighbors.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    neighbors.len() >= N_NEIGHBORS
        && neighbors
            .iter()
            .take(N_NEIGHBORS)
            .all(|(_, is_sound)| *is_sound)
}

/// Coded distance; two different levels of a category are as far apart as the ends of a range.
fn distance(one: &CodedPoint, other: &CodedPoint) -> f64 {
    let squares = one.0.iter().zip(&other.0).map(|pair| match pair {
        (Value::Number(a), Value::Number(b)) => (a - b).powi(2),
        (a, b) if a == b => 0.0,
        _ => 4.0,
    });
    squares.sum::<f64>().sqrt()
}
