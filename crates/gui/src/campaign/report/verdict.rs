//! The sentences that open the report: where the film stands, and what is still open.

use super::ReportInput;
use super::check_runs::{CheckState, check_runs};
use crate::campaign::answers::GoalLine;
use crate::campaign::chance::chance_words;
use crate::campaign::feasibility::count;
use crate::campaign::project::{Importance, Outcome, Project};
use crate::campaign::sentence_case::capitalized;
use crate::campaign::sentence_case::in_sentence;

/// The sentence in bold, and what qualifies it.
pub fn verdict_sentences(input: &ReportInput<'_>) -> (String, Vec<String>) {
    let mut more = Vec::new();
    let first = first_sentence(input, &mut more);
    proof(input.project, &mut more);
    if let Some(judgement) = &input.at_held
        && judgement.feasible() == Some(false)
    {
        more.push("The limits say that this point cannot run.".to_owned());
    }
    (first, more)
}

fn first_sentence(input: &ReportInput<'_>, more: &mut Vec<String>) -> String {
    let project = input.project;
    if project.runs.is_empty() {
        return "There is no plan yet.".to_owned();
    }
    let n_done = project.runs.iter().filter(|run| run.has_results()).count();
    if n_done == 0 {
        let (n_infeasible, _) = count(&input.judgements);
        let n_runs = project.runs.len();
        return if n_infeasible > 0 {
            format!(
                "{n_infeasible} of {} cannot run. Nothing is spent yet.",
                runs(n_runs)
            )
        } else {
            format!("{} planned, none run yet.", capitalized(&runs(n_runs)))
        };
    }
    let n_faulty = project
        .runs
        .iter()
        .filter(|run| matches!(run.outcome, Outcome::Faulty { .. }))
        .count();
    more.push(format!(
        "{} of {} done, {n_faulty} faulty.",
        n_done,
        runs(project.runs.len())
    ));
    goals_sentence(input, more)
}

fn goals_sentence(input: &ReportInput<'_>, more: &mut Vec<String>) -> String {
    let musts: Vec<&GoalLine> = input
        .goals
        .iter()
        .filter(|line| is_must(input.project, line))
        .collect();
    let place = if input.project.choice.is_some() {
        "at the chosen point"
    } else {
        "at the cross"
    };
    if musts.is_empty() {
        return "No goal is set.".to_owned();
    }
    let unknown: Vec<String> = musts
        .iter()
        .filter(|line| line.meets.is_none())
        .map(|line| in_sentence(&line.label))
        .collect();
    let missed: Vec<String> = musts
        .iter()
        .filter(|line| line.meets == Some(false))
        .map(|line| in_sentence(&line.label))
        .collect();
    if !unknown.is_empty() {
        more.push(format!("Not known: {}.", unknown.join(", ")));
    }
    if !missed.is_empty() {
        return format!("Missed {place}: {}.", missed.join(", "));
    }
    if unknown.len() == musts.len() {
        return "Too little is measured to answer.".to_owned();
    }
    let least = musts
        .iter()
        .filter_map(|line| line.chance.map(|chance| (chance, line)))
        .min_by(|(a, _), (b, _)| a.total_cmp(b));
    let chance = least.map_or_else(String::new, |(chance, line)| {
        format!(
            "; the least sure is {} with a chance of {}",
            in_sentence(&line.label),
            chance_words(chance)
        )
    });
    let which = if unknown.is_empty() {
        "All goals are met"
    } else {
        "All goals that can be judged are met"
    };
    format!("{which} {place}{chance}.")
}

fn is_must(project: &Project, line: &GoalLine) -> bool {
    project.quality(&line.quality).is_some_and(|quality| {
        quality.importance == Importance::Must && quality.goal.interval().is_some()
    })
}

/// Whether the check runs have proven the point.
fn proof(project: &Project, more: &mut Vec<String>) {
    if project.choice.is_none() {
        return;
    }
    let checks = check_runs(project);
    let n_of = |state: CheckState| checks.iter().filter(|check| check.state == state).count();
    more.push(if checks.is_empty() {
        "Not yet proven: no check runs are planned.".to_owned()
    } else if n_of(CheckState::Outside) > 0 {
        "Not proven: a check run fell outside what was promised.".to_owned()
    } else if n_of(CheckState::Open) > 0 {
        let mut open: Vec<u32> = checks
            .iter()
            .filter(|check| check.state == CheckState::Open)
            .map(|check| check.run)
            .collect();
        open.dedup();
        format!(
            "Not yet proven: {} to be made or read.",
            check_run_words(open.len())
        )
    } else {
        "Proven: every check run fell inside what was promised.".to_owned()
    });
}

fn check_run_words(n: usize) -> String {
    if n == 1 {
        "one check run is".to_owned()
    } else {
        format!("{n} check runs are")
    }
}

fn runs(n: usize) -> String {
    if n == 1 {
        "1 run".to_owned()
    } else {
        format!("{n} runs")
    }
}
