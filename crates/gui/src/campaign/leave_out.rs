//! A plan without some of its runs: what is left, and what that costs, in words.

use super::answers::plain;
use super::command::Command;
use super::plan_worth::{PlanWorth, WorthError, plan_worth};
use super::project::{Project, Run};

/// Growth of the smallest sure change from which it is told.
const TOLD_GROWTH: f64 = 1.02;
/// Terms that a sentence names before it only counts the rest.
const NAMED: usize = 3;

/// A plan without some runs.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftOut {
    /// Numbers of the runs that go.
    pub runs: Vec<u32>,
    /// The step that takes them away.
    pub command: Command,
    /// What it costs.
    pub cost: String,
}

/// What is left without these runs; runs with results stay. `None` if none of them can go.
pub fn leave_out(project: &Project, runs: &[u32]) -> Option<LeftOut> {
    let goes = |run: &Run| runs.contains(&run.number) && !run.has_results();
    let going: Vec<u32> = project
        .runs
        .iter()
        .filter(|run| goes(run))
        .map(|run| run.number)
        .collect();
    if going.is_empty() {
        return None;
    }
    let kept: Vec<Run> = project
        .runs
        .iter()
        .filter(|run| !goes(run))
        .cloned()
        .collect();
    let n_kept = kept.len();
    let what = match going.as_slice() {
        [run] => format!("left out run {run}"),
        all => format!("left out {} runs", all.len()),
    };
    Some(LeftOut {
        cost: cost_words(
            n_kept,
            plan_worth(project, &[]),
            plan_worth(project, &going),
        ),
        command: Command::Together {
            label: what,
            commands: vec![Command::ReplacePlan {
                plan: project.plan.clone().map(Box::new),
                runs: kept,
            }],
        },
        runs: going,
    })
}

fn cost_words(
    n_kept: usize,
    before: Result<PlanWorth, WorthError>,
    after: Result<PlanWorth, WorthError>,
) -> String {
    let left = format!("{n_kept} runs are left.");
    let (Ok(before), Ok(after)) = (before, after) else {
        return format!("{left} What they can tell is not known.");
    };
    let mut words = vec![left];
    let lost = lost_terms(&before, &after);
    if !lost.is_empty() {
        let more = lost.len().saturating_sub(NAMED);
        let named = lost
            .iter()
            .take(NAMED)
            .cloned()
            .collect::<Vec<_>>()
            .join(", ");
        let more = if more > 0 {
            format!(" and {more} more")
        } else {
            String::new()
        };
        words.push(format!("They no longer tell {named}{more}."));
    }
    if let Some((label, from, to)) = worst_growth(&before, &after) {
        words.push(format!(
            "The smallest sure change of {label} grows from {} to {} times the scatter of a run.",
            plain(from),
            plain(to)
        ));
    } else if lost.is_empty() {
        words.push("No setting by itself is told less surely.".to_owned());
    }
    words.join(" ")
}

/// Terms that were told before and are not any more.
fn lost_terms(before: &PlanWorth, after: &PlanWorth) -> Vec<String> {
    before
        .terms
        .iter()
        .filter(|term| term.sure_change.is_ok())
        .filter(|term| {
            !after
                .terms
                .iter()
                .any(|kept| kept.label == term.label && kept.sure_change.is_ok())
        })
        .map(|term| term.label.clone())
        .collect()
}

/// The single setting whose smallest sure change grows most: label, before, after.
fn worst_growth<'a>(before: &'a PlanWorth, after: &PlanWorth) -> Option<(&'a str, f64, f64)> {
    before
        .terms
        .iter()
        .filter(|term| term.is_single)
        .filter_map(|term| {
            let was = *term.sure_change.as_ref().ok()?;
            let kept = after.terms.iter().find(|kept| kept.label == term.label)?;
            let now = *kept.sure_change.as_ref().ok()?;
            (now > TOLD_GROWTH * was).then_some((term.label.as_str(), was, now))
        })
        .max_by(|a, b| (a.2 / a.1).total_cmp(&(b.2 / b.1)))
}
