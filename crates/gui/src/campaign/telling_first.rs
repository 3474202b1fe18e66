//! An order whose first runs already tell something: if the day ends early, what was made is worth the most.
//!
//! The order is that of [`sequential_order`]; what is set up stays together, and runs with results come first, as they
//! are.

use wetlane_stats::default_model::{ModelSize, default_model};
use wetlane_stats::sequential_order::sequential_order;
use wetlane_stats::{CodedPoint, FactorSpace};

use super::command::Command;
use super::factors::{coded_point, factor_space};
use super::plan_worth::terms_of;
use super::project::{EffortClass, Project};
use super::roll::lay_out;
use super::run_order::order_command;

/// The order and what it costs.
#[derive(Debug, Clone, PartialEq)]
pub struct TellingFirst {
    /// Run numbers in the new order.
    pub order: Vec<u32>,
    /// After how many runs each setting by itself can be told; `None` if all runs together cannot.
    pub n_until_each_setting: Option<usize>,
    /// Minutes it takes more than the present order; `None` if some time is not known.
    pub minutes_more: Option<f64>,
    /// The step that brings the runs into this order.
    pub command: Command,
}

/// The order in which the most telling runs come first; `None` if there is no plan to order or nothing would change.
pub fn telling_first(project: &Project) -> Option<TellingFirst> {
    let space = factor_space(project).ok()?;
    let points: Vec<CodedPoint> = project
        .runs
        .iter()
        .map(|run| coded_point(&space, &project.settings_of(run)).ok())
        .collect::<Option<_>>()?;
    let (_, terms) = terms_of(project, &space, &points).ok()?;
    let (made, stretches) = made_and_stretches(project);
    let places = sequential_order(&space, &terms, &points, &made, &stretches).ok()?;
    let numbers = |place: &usize| project.runs.get(*place).map(|run| run.number);
    let order: Vec<u32> = places.iter().filter_map(numbers).collect();
    let is_same = order.iter().eq(project.runs.iter().map(|run| &run.number));
    (!is_same).then(|| {
        let ordered: Vec<CodedPoint> = places
            .iter()
            .filter_map(|place| points.get(*place).cloned())
            .collect();
        let command = order_command("the most telling runs first", &order);
        TellingFirst {
            n_until_each_setting: n_until_each_setting(&space, &ordered),
            minutes_more: minutes_more(project, &command),
            order,
            command,
        }
    })
}

/// Places of the runs with results, and of the others between two stops; one each where nothing is hard to change.
fn made_and_stretches(project: &Project) -> (Vec<usize>, Vec<Vec<usize>>) {
    let has_hard = project
        .varied()
        .any(|setting| setting.effort.class != EffortClass::OnTheFly);
    let mut made = Vec::new();
    let mut stretches: Vec<Vec<usize>> = Vec::new();
    for (place, (run, on_roll)) in project.runs.iter().zip(&lay_out(project).runs).enumerate() {
        let goes_on = has_hard && on_roll.set_up.is_none();
        if run.has_results() {
            made.push(place);
            continue;
        }
        match stretches.last_mut() {
            Some(stretch) if goes_on => stretch.push(place),
            _ => stretches.push(vec![place]),
        }
    }
    (made, stretches)
}

/// The fewest first runs that tell each setting by itself.
fn n_until_each_setting(space: &FactorSpace, points: &[CodedPoint]) -> Option<usize> {
    (1..=points.len()).find(|n| {
        points.get(..*n).is_some_and(|first| {
            default_model(space, first, None, None)
                .is_ok_and(|model| model.is_supported && model.size >= ModelSize::Linear)
        })
    })
}

fn minutes_more(project: &Project, command: &Command) -> Option<f64> {
    let mut reordered = project.clone();
    command.apply(&mut reordered).ok()?;
    let hours = |project: &Project| lay_out(project).totals.hours;
    Some(60.0 * (hours(&reordered)? - hours(project)?))
}
