//! From a project to a plan: which runs, in which order, and the record that freezes it.

use std::collections::BTreeMap;

use wetlane_stats::design::{self, Design, DesignError, DesignKind, DesignRequest, Progress};
use wetlane_stats::{FactorSpace, StatsError};

use super::command::Command;
use super::factors::{factor_space, settings_at};
use super::project::{Outcome, PlanRecord, Project, Question, Run, RunRole, Settings};

/// Why no plan was made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// Nothing is varied.
    #[error("no setting is varied; give at least one a range")]
    NothingVaried,
    /// A range that is none.
    #[error(transparent)]
    Stats(#[from] StatsError),
    /// The kind of plan does not fit.
    #[error(transparent)]
    Design(#[from] DesignError),
}

/// What a plan is asked to be.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanRequest {
    /// What it is to answer.
    pub question: Question,
    /// Model it is for, in words (`linear`, `interactions`, `quadratic`, or terms); empty if open.
    pub model: String,
    /// The design.
    pub design: DesignRequest,
}

/// Makes the plan and its runs; runs with results stay, new ones get new numbers behind them.
///
/// # Errors
/// [`PlanError`] says what does not fit.
pub fn make_plan(
    project: &Project,
    request: &PlanRequest,
    now: &str,
    progress: &Progress<'_>,
) -> Result<(PlanRecord, Vec<Run>), PlanError> {
    let space = factor_space(project)?;
    if space.n_factors() == 0 {
        return Err(PlanError::NothingVaried);
    }
    let made = design::build(&space, &request.design, progress)?;
    let record = record_of(project, request, &made, now);
    let runs = runs_of(project, &space, &made)?;
    Ok((record, runs))
}

/// The command that puts a made plan in place.
pub fn take_plan(record: PlanRecord, runs: Vec<Run>) -> Command {
    Command::ReplacePlan {
        plan: Some(Box::new(record)),
        runs,
    }
}

fn record_of(project: &Project, request: &PlanRequest, made: &Design, now: &str) -> PlanRecord {
    PlanRecord {
        question: request.question,
        kind: made.kind.key().to_owned(),
        model: request.model.clone(),
        options: options_of(&request.design),
        seed: made.seed.0,
        algorithm_version: made.algorithm_version,
        frozen_at: now.to_owned(),
        factors: project.varied().cloned().collect(),
        notes: made.notes.iter().map(ToString::to_string).collect(),
    }
}

/// The options that differ from doing nothing special, so that the plan can be made again from its record.
fn options_of(request: &DesignRequest) -> BTreeMap<String, String> {
    let mut options = BTreeMap::new();
    let mut note = |name: &str, value: String| {
        options.insert(name.to_owned(), value);
    };
    if let Some(n_centre) = request.n_centre {
        note("centre", n_centre.to_string());
    }
    if request.n_replicates > 1 {
        note("replicates", request.n_replicates.to_string());
    }
    if request.n_blocks > 1 {
        note("blocks", request.n_blocks.to_string());
    }
    if let Some(n_return) = request.n_return {
        note("return_runs", n_return.to_string());
    }
    options
}

fn runs_of(project: &Project, space: &FactorSpace, made: &Design) -> Result<Vec<Run>, StatsError> {
    let mut runs: Vec<Run> = project
        .runs
        .iter()
        .filter(|run| run.has_results())
        .cloned()
        .collect();
    let mut number = project.next_run_number_after_results();
    let block_name = project
        .block
        .as_ref()
        .map_or("block", |block| block.name.as_str());
    for planned in &made.runs {
        let mut labels = BTreeMap::new();
        if let Some(block) = planned.block {
            labels.insert(block_name.to_owned(), block.to_string());
        }
        runs.push(Run {
            number,
            role: role_of(planned.role),
            standard_order: u32::try_from(planned.standard_order).ok(),
            replicate: u32::try_from(planned.replicate).unwrap_or(1),
            set_up: planned
                .whole_plot
                .and_then(|set_up| u32::try_from(set_up).ok()),
            labels,
            planned: settings_at(space, &planned.coded)?,
            pulled: Settings::new(),
            as_run: Settings::new(),
            on_purpose: None,
            outcome: Outcome::NotRun,
            metre: None,
            positions: BTreeMap::new(),
            time: String::new(),
            note: String::new(),
            readings: Vec::new(),
        });
        number += 1;
    }
    Ok(runs)
}

const fn role_of(role: design::RunRole) -> RunRole {
    match role {
        design::RunRole::Plan => RunRole::Plan,
        design::RunRole::Centre => RunRole::Centre,
        design::RunRole::Axial => RunRole::Axial,
        design::RunRole::Return => RunRole::Return,
        design::RunRole::Check => RunRole::Check,
        design::RunRole::Added => RunRole::Added,
    }
}

impl Project {
    /// The first number behind all runs that have results.
    fn next_run_number_after_results(&self) -> u32 {
        self.runs
            .iter()
            .filter(|run| run.has_results())
            .map(|run| run.number)
            .max()
            .unwrap_or(0)
            + 1
    }
}

/// Plan kinds that answer a question, from few runs to many, with the words that say what each can tell.
pub fn kinds_for(question: Question) -> &'static [DesignKind] {
    match question {
        Question::WhichMatter => &[DesignKind::FullFactorial],
        Question::MapTheResponse | Question::FindTheBest | Question::UnknownWindow => {
            &[DesignKind::FullFactorial]
        }
    }
}
