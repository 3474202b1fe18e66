//! From a project to a plan: which runs, in which order, and the record that freezes it.

use std::collections::BTreeMap;

use wetlane_stats::design::{self, Design, DesignError, DesignKind, DesignRequest, Progress};
use wetlane_stats::{FactorSpace, StatsError};

use super::command::Command;
use super::factors::{factor_space, settings_at};
use super::machine_span::machine_span;
use super::plan_options::options_of;
use super::project::{
    PlanRecord, Project, Question, Run, RunRole, SettingEntry, Settings, Variation,
};

pub use super::proposals::{Proposal, proposals, proposals_until};

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
    /// There is no such kind.
    #[error("there is no plan of kind \"{kind}\"; there are {known}")]
    NoSuchKind {
        /// What was asked for.
        kind: String,
        /// The kinds there are.
        known: String,
    },
    /// An option that cannot be read.
    #[error("\"{text}\" does not do for \"{option}\"; it takes {expected}")]
    BadOption {
        /// The option.
        option: String,
        /// What was written.
        text: String,
        /// What it takes.
        expected: String,
    },
}

/// Name of the blocks of a plan in a project that has no name of its own for them.
pub const PLANNED_BLOCK: &str = "block";

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

/// A plan that was made but not yet taken.
#[derive(Debug, Clone)]
pub struct MadePlan {
    /// The record that freezes it.
    pub record: PlanRecord,
    /// Every run the project would have: those with results as they are, then the new ones in run order.
    pub runs: Vec<Run>,
    /// Number of runs at the front of `runs` that have results.
    pub n_kept: usize,
    /// The factors.
    pub space: FactorSpace,
    /// The design itself.
    pub design: Design,
}

impl MadePlan {
    /// The new runs, in run order.
    pub fn new_runs(&self) -> &[Run] {
        self.runs.get(self.n_kept..).unwrap_or_default()
    }
}

/// Which runs of a new plan are made although one with the same settings has results.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Repeats {
    /// All of them: the new plan is whole in itself.
    #[default]
    MakeAgain,
    /// None: runs that have results count, each for one run of the plan.
    CountThoseMade,
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
    let made = build_plan(project, request, Repeats::MakeAgain, now, progress)?;
    Ok((made.record, made.runs))
}

/// As [`make_plan`], with the design and its factors.
///
/// Axial runs beyond the ranges stop at what the machine can do, where the line's cards say it.
///
/// # Errors
/// As [`make_plan`].
pub fn build_plan(
    project: &Project,
    request: &PlanRequest,
    repeats: Repeats,
    now: &str,
    progress: &Progress<'_>,
) -> Result<MadePlan, PlanError> {
    let space = factor_space(project)?;
    if space.n_factors() == 0 {
        return Err(PlanError::NothingVaried);
    }
    let mut request = request.clone();
    if request.design.kind == DesignKind::CentralComposite && request.design.hard_limits.is_empty()
    {
        request.design.hard_limits = machine_spans(project);
    }
    let design = design::build(&space, &request.design, progress)?;
    let record = record_of(project, &request, &design, now);
    let kept: Vec<Run> = project
        .runs
        .iter()
        .filter(|run| run.has_results())
        .cloned()
        .collect();
    let n_kept = kept.len();
    let runs = runs_of(project, &space, &design, kept, repeats)?;
    Ok(MadePlan {
        record,
        runs,
        n_kept,
        space,
        design,
    })
}

/// What the machine can set of each varied setting, in its unit; `None` where no card says it or where the span cuts
/// into the range. Empty if nothing is known at all.
fn machine_spans(project: &Project) -> Vec<Option<(f64, f64)>> {
    let spans: Vec<Option<(f64, f64)>> = project
        .varied()
        .map(|setting| span_around_range(project, setting))
        .collect();
    if spans.iter().any(Option::is_some) {
        spans
    } else {
        Vec::new()
    }
}

fn span_around_range(project: &Project, setting: &SettingEntry) -> Option<(f64, f64)> {
    let Variation::Range { low, high, .. } = setting.variation else {
        return None;
    };
    machine_span(project, setting).filter(|span| span.0 <= low && high <= span.1)
}

/// The command that puts a made plan in place.
pub fn take_plan(record: PlanRecord, runs: Vec<Run>) -> Command {
    Command::ReplacePlan {
        plan: Some(Box::new(record)),
        runs,
    }
}

fn record_of(project: &Project, request: &PlanRequest, made: &Design, now: &str) -> PlanRecord {
    let ids: Vec<String> = project.varied().map(|setting| setting.id.clone()).collect();
    PlanRecord {
        question: request.question,
        kind: made.kind.key().to_owned(),
        model: request.model.clone(),
        options: options_of(&request.design, &ids),
        seed: made.seed.0,
        algorithm_version: made.algorithm_version,
        frozen_at: now.to_owned(),
        factors: project.varied().cloned().collect(),
        notes: made.notes.iter().map(ToString::to_string).collect(),
    }
}

fn runs_of(
    project: &Project,
    space: &FactorSpace,
    made: &Design,
    kept: Vec<Run>,
    repeats: Repeats,
) -> Result<Vec<Run>, StatsError> {
    let mut number = project.next_run_number_after_results();
    let block_name = project
        .block
        .as_ref()
        .map_or(PLANNED_BLOCK, |block| block.name.as_str());
    // Set-ups and blocks of runs that were made are over; the new plan's are others.
    let n_set_ups = kept.iter().filter_map(|run| run.set_up).max().unwrap_or(0);
    let n_blocks = kept
        .iter()
        .filter_map(|run| run.labels.get(block_name)?.parse::<usize>().ok())
        .max()
        .unwrap_or(0);
    // Settings of runs that were made, each of which counts for one run of the plan.
    let mut already: Vec<Settings> = match repeats {
        Repeats::MakeAgain => Vec::new(),
        Repeats::CountThoseMade => kept.iter().map(|run| settings_as_run(space, run)).collect(),
    };
    let mut runs = kept;
    for planned in &made.runs {
        let settings = settings_at(space, &planned.coded)?;
        if let Some(at) = already.iter().position(|made| *made == settings) {
            already.remove(at);
            continue;
        }
        let mut labels = BTreeMap::new();
        if let Some(block) = planned.block {
            labels.insert(block_name.to_owned(), (n_blocks + block).to_string());
        }
        runs.push(Run {
            standard_order: u32::try_from(planned.standard_order).ok(),
            replicate: u32::try_from(planned.replicate).unwrap_or(1),
            set_up: planned
                .whole_plot
                .and_then(|set_up| u32::try_from(set_up).ok())
                .map(|set_up| n_set_ups + set_up),
            labels,
            ..Run::new(number, role_of(planned.role), settings)
        });
        number += 1;
    }
    Ok(runs)
}

fn settings_as_run(space: &FactorSpace, run: &Run) -> Settings {
    space
        .factors()
        .iter()
        .filter_map(|factor| {
            Some((
                factor.name().to_owned(),
                run.setting(factor.name())?.clone(),
            ))
        })
        .collect()
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

/// Plan kinds that answer a question, the one that is usually taken first.
pub fn kinds_for(question: Question) -> &'static [DesignKind] {
    match question {
        Question::WhichMatter => &[
            DesignKind::FractionalFactorial,
            DesignKind::FullFactorial,
            DesignKind::PlackettBurman,
            DesignKind::DefinitiveScreening,
        ],
        Question::MapTheResponse => &[
            DesignKind::FaceCentred,
            DesignKind::BoxBehnken,
            DesignKind::CentralComposite,
            DesignKind::Inscribed,
            DesignKind::FullFactorial,
        ],
        Question::FindTheBest => &[
            DesignKind::CentralComposite,
            DesignKind::FaceCentred,
            DesignKind::BoxBehnken,
            DesignKind::Inscribed,
            DesignKind::FullFactorial,
        ],
        Question::UnknownWindow => &[DesignKind::LatinHypercube, DesignKind::FullFactorial],
    }
}
