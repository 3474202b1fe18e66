//! What the runs of a project can tell before they are made: how small a change each term shows, which terms are
//! mixed up, how well the response is known between the runs.
//!
//! Counted are all runs that are not faulty, as they were or will be run. The model is the plan's, or the largest
//! standard one that the runs support. Where a setting is hard to change, runs between two changes of such settings
//! make a set-up, and set-ups are taken to scatter as much as runs do (common practice where nothing is known).

use std::cell::RefCell;

use wetlane_stats::default_model::{ModelSize, default_model};
use wetlane_stats::evaluation::{Evaluation, EvaluationError, EvaluationOptions, SetUpRequest};
use wetlane_stats::power::power_of_f_test;
use wetlane_stats::{
    CodedPoint, ColumnSource, FactorSpace, Intercept, Known, StatsError, Term, TermList, Undefined,
};

use super::analysis_table::blocks_of;
use super::factors::{coded_point, factor_space, settings_at};
use super::feasibility::{Depth, Judge};
use super::project::{EffortClass, Outcome, Project, Run};
use super::sentence_case::in_sentence;

pub use wetlane_stats::evaluation::Stratum;

/// Chance with which a change is to be found (common practice).
pub const WANTED_POWER: f64 = 0.8;
/// Chance of taking scatter for a change (common practice).
const ALPHA: f64 = 0.05;
/// Variance between set-ups over that between runs, where nothing is known (common practice).
const VARIANCE_RATIO: f64 = 1.0;
/// Points at which the prediction variance is looked at; each is judged for whether it can run.
const REGION_POINTS: usize = 1024;
/// Correlation from which two terms cannot be told apart.
const SAME: f64 = 0.999;
/// Correlation from which two terms are hard to tell apart: their variance doubles (1/(1 − r²) = 2).
const ALIKE: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// Largest noncentrality in which the wanted power is looked for; beyond it nothing is ever sure.
const MOST_NONCENTRALITY: f64 = 1e5;
/// Halvings of that range.
const HALVINGS: usize = 60;

/// Why nothing can be said.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WorthError {
    /// No run to judge.
    #[error("there are no runs to judge")]
    NoRuns,
    /// Nothing is varied.
    #[error("no setting is varied")]
    NothingVaried,
    /// Factors or terms that do not fit.
    #[error(transparent)]
    Stats(#[from] StatsError),
    /// The plan cannot be judged.
    #[error(transparent)]
    Evaluation(#[from] EvaluationError),
}

/// What a plan says of one term.
#[derive(Debug, Clone, PartialEq)]
pub struct TermWorth {
    /// The term in words: "speed × gap".
    pub label: String,
    /// True for a setting by itself.
    pub is_single: bool,
    /// Smallest change over the range that is found with [`WANTED_POWER`], in standard deviations of a run.
    pub sure_change: Known<f64>,
    /// Chance of finding a change of two standard deviations.
    pub power: Known<f64>,
    /// Standard error of the coefficient (coded units) in standard deviations of a run.
    pub relative_se: Known<f64>,
    /// Largest variance inflation of its columns.
    pub vif: Known<f64>,
    /// Among what it is judged; `None` without set-ups.
    pub stratum: Option<Stratum>,
}

/// What all runs together can tell.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanWorth {
    /// Runs that count.
    pub n_runs: usize,
    /// Numbers of runs that are no point among the factors.
    pub left_out: Vec<u32>,
    /// Name of the model: `linear`, `interactions`, `quadratic`, or `terms`.
    pub model: String,
    /// Set-ups, if some setting is hard to change.
    pub n_set_ups: Option<usize>,
    /// The terms in canonical order, the mean left out.
    pub terms: Vec<TermWorth>,
    /// Terms that cannot be told apart, one list a set.
    pub confused: Vec<Vec<String>>,
    /// Pairs that are hard to tell apart, with their correlation, strongest first.
    pub alike: Vec<(String, String, f64)>,
    /// Numbers of runs of which none may be lost.
    pub indispensable: Vec<u32>,
    /// The figures in the words of textbooks.
    pub evaluation: Evaluation,
}

/// What the runs can tell, those in `without` left out.
///
/// # Errors
/// [`WorthError`] says what is missing.
pub fn plan_worth(project: &Project, without: &[u32]) -> Result<PlanWorth, WorthError> {
    let space = factor_space(project)?;
    if space.n_factors() == 0 {
        return Err(WorthError::NothingVaried);
    }
    let counted = Counted::of(project, &space, without);
    if counted.points.is_empty() {
        return Err(WorthError::NoRuns);
    }
    let blocks = blocks_of(project, &counted.runs);
    let set_ups = set_ups_of(project, &counted.runs);
    let (model, terms) = terms_of(project, &space, &counted.points)?;
    let judge = RefCell::new(Judge::new(project));
    let is_feasible = |point: &CodedPoint| {
        let Ok(settings) = settings_at(&space, point) else {
            return false;
        };
        let whole = with_cross(project, settings);
        let judged = judge.borrow_mut().judge(&whole, Depth::Nominal);
        // What is not known to break a limit counts as possible.
        judged.map_or(true, |judged| judged.feasible() != Some(false))
    };
    let options = EvaluationOptions {
        alpha: ALPHA,
        blocks: blocks.as_ref(),
        set_ups: set_ups.as_ref().map(|of_run| SetUpRequest {
            of_run,
            variance_ratio: VARIANCE_RATIO,
        }),
        is_feasible: Some(&is_feasible),
        n_region_points: REGION_POINTS,
        ..EvaluationOptions::default()
    };
    let evaluation =
        wetlane_stats::evaluation::evaluate(&space, &terms, &counted.points, &options)?;
    let MixedTerms { confused, alike } = mixed_terms(project, &evaluation);
    Ok(PlanWorth {
        n_runs: counted.points.len(),
        model,
        n_set_ups: set_ups
            .as_ref()
            .map(|of_run| of_run.iter().max().map_or(0, |last| last + 1)),
        terms: term_worths(project, &evaluation, options.effect_over_sigma),
        confused,
        alike,
        indispensable: evaluation
            .indispensable_runs
            .iter()
            .filter_map(|index| counted.runs.get(*index))
            .map(|run| run.number)
            .collect(),
        left_out: counted.left_out,
        evaluation,
    })
}

/// The runs that count, with their points.
struct Counted<'a> {
    runs: Vec<&'a Run>,
    points: Vec<CodedPoint>,
    left_out: Vec<u32>,
}

impl<'a> Counted<'a> {
    fn of(project: &'a Project, space: &FactorSpace, without: &[u32]) -> Self {
        let mut counted = Self {
            runs: Vec::new(),
            points: Vec::new(),
            left_out: Vec::new(),
        };
        let sound = project.runs.iter().filter(|run| {
            !matches!(run.outcome, Outcome::Faulty { .. }) && !without.contains(&run.number)
        });
        for run in sound {
            match coded_point(space, &project.settings_of(run)) {
                Ok(point) => {
                    counted.runs.push(run);
                    counted.points.push(point);
                }
                Err(_) => counted.left_out.push(run.number),
            }
        }
        counted
    }
}

fn with_cross(project: &Project, varied: super::project::Settings) -> super::project::Settings {
    let mut whole = project.cross();
    whole.extend(varied);
    whole
}

/// The set-up of each run, counted from 0: a new one wherever a setting that is hard to change differs from the run
/// before. `None` if nothing is hard to change or every run has a set-up of its own.
fn set_ups_of(project: &Project, runs: &[&Run]) -> Option<Vec<usize>> {
    let hard: Vec<&str> = project
        .varied()
        .filter(|setting| setting.effort.class != EffortClass::OnTheFly)
        .map(|setting| setting.id.as_str())
        .collect();
    let mut present = 0;
    let mut of_run = Vec::with_capacity(runs.len());
    let mut before: Option<&Run> = None;
    for run in runs {
        if before.is_some_and(|before| hard.iter().any(|id| before.setting(id) != run.setting(id)))
        {
            present += 1;
        }
        of_run.push(present);
        before = Some(run);
    }
    (!hard.is_empty() && present + 1 < runs.len()).then_some(of_run)
}

/// The terms of the plan's own model, or of the largest standard one that the runs support.
pub(super) fn terms_of(
    project: &Project,
    space: &FactorSpace,
    points: &[CodedPoint],
) -> Result<(String, TermList), StatsError> {
    let named = project.plan.as_ref().map_or("", |plan| plan.model.trim());
    if let Some(size) = ModelSize::ALL.into_iter().find(|size| size.key() == named) {
        return Ok((named.to_owned(), size.terms(space)));
    }
    if !named.is_empty()
        && let Ok(terms) = TermList::parse(named, space, Intercept::Included)
    {
        return Ok(("terms".to_owned(), terms));
    }
    let model = default_model(space, points, None, None)?;
    Ok((model.size.key().to_owned(), model.terms))
}

fn term_worths(project: &Project, evaluation: &Evaluation, effect: f64) -> Vec<TermWorth> {
    evaluation
        .terms
        .iter()
        .filter_map(|term| {
            let ColumnSource::Term(source) = &term.source else {
                return None;
            };
            if source.order() == 0 {
                return None;
            }
            let sure_change = sure_change(
                term.n_columns,
                term.error_df.clone(),
                term.noncentrality.clone(),
                effect,
            );
            Some(TermWorth {
                label: term_words(project, &term.name),
                is_single: is_single(source),
                sure_change,
                power: term.power.clone(),
                relative_se: term.relative_se.clone(),
                vif: term.vif.clone(),
                stratum: term.stratum,
            })
        })
        .collect()
}

fn is_single(term: &Term) -> bool {
    term.order() == 1
}

/// The change that is found with [`WANTED_POWER`]: the noncentrality grows with the square of the change.
fn sure_change(
    n_columns: usize,
    error_df: Known<f64>,
    noncentrality: Known<f64>,
    effect: f64,
) -> Known<f64> {
    let (df2, known) = (error_df?, noncentrality?);
    let power = |lambda: f64| {
        power_of_f_test(n_columns as f64, df2, lambda, ALPHA).or(Err(Undefined::NoErrorDf))
    };
    if power(MOST_NONCENTRALITY)? < WANTED_POWER {
        return Err(Undefined::NoErrorDf);
    }
    let (mut low, mut high) = (0.0, MOST_NONCENTRALITY);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if power(middle)? < WANTED_POWER {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(effect * (high / known).sqrt())
}

/// Terms that a plan mixes up.
struct MixedTerms {
    /// Sets whose members cannot be told apart.
    confused: Vec<Vec<String>>,
    /// Pairs that are hard to tell apart, with their correlation; the worst first.
    alike: Vec<(String, String, f64)>,
}

fn mixed_terms(project: &Project, evaluation: &Evaluation) -> MixedTerms {
    let correlations = &evaluation.correlations;
    let name = |index: usize| {
        let known = correlations.names.get(index);
        known.map_or_else(String::new, |name| term_words(project, name))
    };
    let n = correlations.names.len();
    let mut sets: Vec<Vec<usize>> = Vec::new();
    let mut alike = Vec::new();
    for (one, row) in correlations.matrix.iter().enumerate().take(n) {
        for (other, r) in row.iter().enumerate().take(n).skip(one + 1) {
            match r {
                Some(r) if r.abs() >= SAME => join(&mut sets, one, other),
                Some(r) if r.abs() >= ALIKE => alike.push((name(one), name(other), *r)),
                _ => {}
            }
        }
    }
    alike.sort_by(|a, b| b.2.abs().total_cmp(&a.2.abs()));
    let in_words = |set: Vec<usize>| set.into_iter().map(name).collect();
    MixedTerms {
        confused: sets.into_iter().map(in_words).collect(),
        alike,
    }
}

/// Puts two terms into one set: a term that is in a set already brings the other in.
fn join(sets: &mut Vec<Vec<usize>>, one: usize, other: usize) {
    let known = sets
        .iter_mut()
        .find(|set| set.contains(&one) || set.contains(&other));
    let Some(set) = known else {
        sets.push(vec![one, other]);
        return;
    };
    for term in [one, other] {
        if !set.contains(&term) {
            set.push(term);
        }
    }
}

/// A term's name in the words of the settings: `speed*gap` is "speed × gap", `gap^2` is "gap²".
pub fn term_words(project: &Project, name: &str) -> String {
    let factor = |part: &str| {
        let part = part.trim_matches('`');
        let (id, rest) = match part.find(['^', '[']) {
            Some(at) => part.split_at(at),
            None => (part, ""),
        };
        let label = project.setting(id.trim_matches('`')).map_or_else(
            || id.replace('_', " "),
            |setting| in_sentence(&setting.label),
        );
        match rest {
            "" => label,
            "^2" => format!("{label}²"),
            "^3" => format!("{label}³"),
            level => format!(
                "{label} {}",
                level.trim_start_matches('[').trim_end_matches(']')
            ),
        }
    };
    name.split('*').map(factor).collect::<Vec<_>>().join(" × ")
}

/// Words for a model: what it can describe.
pub fn model_words(model: &str) -> &'static str {
    match model {
        "mean" => "only the mean",
        "linear" => "each setting by itself",
        "interactions" => "each setting by itself and in pairs",
        "quadratic" => "each setting, pairs and bends",
        _ => "the terms of the plan",
    }
}
