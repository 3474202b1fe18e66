//! Three plans to choose from for a question, each with what it takes and with what it can and cannot tell.
//!
//! The words come from the plan itself: its aliases, the largest model it supports, its repeated runs. Kinds that do
//! not fit (a Box–Behnken plan with two settings, centre runs among categories) are passed over.

use std::sync::atomic::AtomicBool;

use wetlane_stats::default_model::{ModelSize, default_model};
use wetlane_stats::design::{
    AliasSet, Design, DesignKind, DesignRequest, Progress, RegularFraction, RunRole, SearchBudget,
    Seed, fractions_for,
};
use wetlane_stats::{
    CodedPoint, FactorKind, FactorSpace, ModelMatrix, ReplicateGroups, StatsError, Value,
};

use super::factors::factor_space;
use super::feasibility::{Depth, Judge};
use super::planning::{MadePlan, PlanRequest, Repeats, build_plan};
use super::project::{Project, Question, Run};
use super::roll::{Totals, lay_out_runs};

/// Titles from few runs to many.
const TITLES: [&str; 3] = ["Small", "Fitting", "Rich"];
/// Centre runs that show curvature and scatter beside a two-level plan (common practice).
const N_CENTRE: usize = 3;
/// Return runs: first, middle and last show a drift that is no straight line, too (common practice).
const N_RETURN: usize = 3;
/// No proposal has more runs than this (own choice: a long week on a lab coater).
const MOST_RUNS: usize = 128;
/// Runs for each setting of a plan that fills a region; ten are common practice (Loeppky, Sacks & Welch 2009,
/// Technometrics 51, 366–376).
const FILLING_RUNS: [usize; 3] = [4, 7, 10];
/// Fewest runs that fill a region.
const FEWEST_FILLING: usize = 6;
/// Exchanges of a search that keeps three proposals below a second each; a plan can be searched longer later.
const SEARCH_WORK: usize = 40_000_000;
/// Starts of that search.
const SEARCH_STARTS: usize = 4;
/// Sets of aliases that a sentence names before it only counts the rest.
const NAMED_ALIASES: usize = 1;

/// A plan to choose.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// `Small`, `Fitting` or `Rich`.
    pub title: String,
    /// What to ask for to get it.
    pub request: PlanRequest,
    /// New runs.
    pub n_runs: usize,
    /// Stops to set up something that is hard to change; 0 if nothing is.
    pub n_set_ups: usize,
    /// New runs that break a hard limit as planned.
    pub n_infeasible: usize,
    /// New runs that cannot be judged yet.
    pub n_unknown: usize,
    /// Ink, foil and time for all runs of the project, those that are made already included.
    pub totals: Totals,
    /// What is too much, in words.
    pub shortfalls: Vec<String>,
    /// What it can tell.
    pub tells: String,
    /// What it cannot.
    pub cannot: String,
}

/// Three plans for a question, from few runs to many; fewer if less fits, none if nothing is varied.
pub fn proposals(project: &Project, question: Question) -> Vec<Proposal> {
    proposals_until(project, question, &AtomicBool::new(false))
}

/// As [`proposals`], ending early (with those made so far) once `stop` is set.
pub fn proposals_until(project: &Project, question: Question, stop: &AtomicBool) -> Vec<Proposal> {
    let Ok(space) = factor_space(project) else {
        return Vec::new();
    };
    if space.n_factors() == 0 {
        return Vec::new();
    }
    let progress = Progress::new(stop, &|_| {});
    let mut plans: Vec<(PlanRequest, MadePlan)> = candidates(&space, project.seed, question)
        .into_iter()
        .filter_map(|design| {
            let request = PlanRequest {
                question,
                model: String::new(),
                design,
            };
            let made = build_plan(project, &request, Repeats::MakeAgain, "", &progress).ok()?;
            (made.design.runs.len() <= MOST_RUNS && !progress.is_stopped())
                .then_some((request, made))
        })
        .collect();
    // Stable, so that of equally large plans the one that is named first stays.
    plans.sort_by_key(|(_, made)| made.design.runs.len());
    plans.dedup_by_key(|(_, made)| made.design.runs.len());
    let n = plans.len();
    let chosen: Vec<usize> = if n <= TITLES.len() {
        (0..n).collect()
    } else {
        vec![0, n / 2, n - 1]
    };
    let titles = if n == 1 { &TITLES[1..] } else { &TITLES[..] };
    chosen
        .into_iter()
        .zip(titles)
        .filter_map(|(index, title)| {
            let (request, made) = plans.get(index)?;
            proposal(project, title, request, made).ok()
        })
        .collect()
}

fn proposal(
    project: &Project,
    title: &str,
    request: &PlanRequest,
    made: &MadePlan,
) -> Result<Proposal, StatsError> {
    let runs: Vec<&Run> = made.runs.iter().collect();
    let totals = lay_out_runs(project, &runs).totals;
    let (n_infeasible, n_unknown) = count_doubtful(project, made.new_runs());
    let (tells, cannot) = words_of(&made.space, &made.design)?;
    let n_set_ups = made
        .design
        .runs
        .iter()
        .filter_map(|run| run.whole_plot)
        .max()
        .unwrap_or(0);
    Ok(Proposal {
        title: title.to_owned(),
        request: request.clone(),
        n_runs: made.design.runs.len(),
        n_set_ups,
        n_infeasible,
        n_unknown,
        shortfalls: totals.shortfalls(),
        totals,
        tells,
        cannot,
    })
}

fn count_doubtful(project: &Project, runs: &[Run]) -> (usize, usize) {
    let mut judge = Judge::new(project);
    let mut n_infeasible = 0;
    let mut n_unknown = 0;
    for run in runs {
        let judged = judge.judge(&project.settings_of(run), Depth::Nominal);
        match judged.ok().and_then(|judgement| judgement.feasible()) {
            Some(true) => {}
            Some(false) => n_infeasible += 1,
            None => n_unknown += 1,
        }
    }
    (n_infeasible, n_unknown)
}

/// The plans that are tried, the preferred of equally large ones first.
fn candidates(space: &FactorSpace, seed: u64, question: Question) -> Vec<DesignRequest> {
    let new = |kind| DesignRequest::new(kind, Seed(seed));
    let found = match question {
        Question::WhichMatter => two_level_plans(space, new),
        Question::MapTheResponse => surface_plans(space, new, true),
        Question::FindTheBest => surface_plans(space, new, false),
        Question::UnknownWindow => filling_plans(space, new),
    };
    if space
        .factors()
        .iter()
        .any(|factor| !factor.is_categorical())
    {
        return found;
    }
    // Among names alone there is only the table of all combinations.
    (1..=TITLES.len())
        .map(|n_replicates| DesignRequest {
            n_replicates,
            ..new(DesignKind::FullFactorial)
        })
        .collect()
}

/// A two-level plan with the resolution of its fraction; all combinations have the highest.
struct Rung {
    request: DesignRequest,
    resolution: usize,
}

fn rungs(space: &FactorSpace, new: impl Fn(DesignKind) -> DesignRequest) -> Vec<Rung> {
    let n_two_level = space
        .factors()
        .iter()
        .filter(|factor| !matches!(factor.kind(), FactorKind::Categorical { levels } if levels.len() > 2))
        .count();
    let fractions = fractions_for(n_two_level).into_iter().filter_map(|entry| {
        let request = DesignRequest {
            n_runs: Some(entry.n_runs),
            n_centre: Some(0),
            ..new(DesignKind::FractionalFactorial)
        };
        let design = wetlane_stats::design::build(space, &request, &Progress::unwatched()).ok()?;
        let resolution = design.details.fraction.as_ref()?.resolution()?;
        Some(Rung {
            request,
            resolution,
        })
    });
    let full = Rung {
        request: DesignRequest {
            n_centre: Some(0),
            ..new(DesignKind::FullFactorial)
        },
        resolution: usize::MAX,
    };
    let mut rungs: Vec<Rung> = fractions.collect();
    rungs.push(full);
    rungs
}

fn two_level_plans(
    space: &FactorSpace,
    new: impl Fn(DesignKind) -> DesignRequest,
) -> Vec<DesignRequest> {
    let rungs = rungs(space, new);
    let of_resolution = |least: usize, from: usize| {
        (from..rungs.len()).find(|at| rungs.get(*at).is_some_and(|rung| rung.resolution >= least))
    };
    let n_centre = has_middle(space).then_some(N_CENTRE);
    let middle = of_resolution(4, 0).unwrap_or(0);
    let large = of_resolution(5, middle + 1);
    let at = |index: usize| rungs.get(index).map(|rung| rung.request.clone());
    let rich = |request: DesignRequest| DesignRequest {
        n_centre: n_centre.or(request.n_centre),
        n_return: Some(N_RETURN),
        ..request
    };
    let mut plans = Vec::new();
    plans.extend(at(0));
    plans.extend(at(middle).map(|request| DesignRequest {
        n_centre: n_centre.or(request.n_centre),
        ..request
    }));
    plans.extend(large.and_then(at).map(&rich));
    plans.extend(at(middle).map(|request| {
        rich(DesignRequest {
            n_replicates: 2,
            ..request
        })
    }));
    if large.is_some() {
        // Three plans are enough; the repeated one only stands in where there is no larger fraction.
        plans.pop();
    }
    plans
}

fn surface_plans(
    space: &FactorSpace,
    new: impl Fn(DesignKind) -> DesignRequest,
    with_box_behnken: bool,
) -> Vec<DesignRequest> {
    let mut plans = vec![
        DesignRequest {
            n_centre: Some(2),
            ..new(DesignKind::FaceCentred)
        },
        DesignRequest {
            n_return: Some(N_RETURN),
            ..new(DesignKind::FaceCentred)
        },
        DesignRequest {
            n_return: Some(N_RETURN),
            ..new(DesignKind::CentralComposite)
        },
    ];
    if with_box_behnken {
        plans.push(new(DesignKind::BoxBehnken));
        plans.push(new(DesignKind::CentralComposite));
    }
    let n_numbers = space
        .factors()
        .iter()
        .filter(|factor| matches!(factor.kind(), FactorKind::Continuous { .. }))
        .count();
    if n_numbers < 2 {
        // No composite plan has a single number: three settings of it, once and repeated.
        let n_levels: Vec<Option<usize>> = space
            .factors()
            .iter()
            .map(|factor| matches!(factor.kind(), FactorKind::Continuous { .. }).then_some(3))
            .collect();
        plans.extend((1..=TITLES.len()).map(|n_replicates| DesignRequest {
            n_levels: n_levels.clone(),
            n_replicates,
            n_centre: Some(0),
            ..new(DesignKind::FullFactorial)
        }));
    }
    plans
}

fn filling_plans(
    space: &FactorSpace,
    new: impl Fn(DesignKind) -> DesignRequest,
) -> Vec<DesignRequest> {
    FILLING_RUNS
        .iter()
        .map(|n_each| {
            let n_runs =
                (n_each * space.n_factors()).max(FEWEST_FILLING + n_each - FILLING_RUNS[0]);
            DesignRequest {
                n_runs: Some(n_runs),
                search_budget: Some(SearchBudget {
                    n_starts: SEARCH_STARTS,
                    n_trials: SEARCH_WORK / (n_runs * SEARCH_STARTS),
                }),
                ..new(DesignKind::LatinHypercube)
            }
        })
        .collect()
}

/// True if some number has a middle, so that there can be centre runs.
fn has_middle(space: &FactorSpace) -> bool {
    space.factors().iter().any(|factor| match factor.kind() {
        FactorKind::Continuous { .. } => true,
        FactorKind::Discrete { levels } => levels.len() > 2,
        FactorKind::Categorical { .. } => false,
    })
}

/// What a plan can tell and what not.
fn words_of(space: &FactorSpace, design: &Design) -> Result<(String, String), StatsError> {
    let points = design.points();
    let model = default_model(space, &points, None, None)?;
    let columns = ModelMatrix::new(space, &model.terms, &points, None)?;
    let n_repeats = n_repeats(space, &points)?;
    let n_return = design
        .runs
        .iter()
        .filter(|run| run.role == RunRole::Return)
        .count();
    let fraction = RegularFraction::recognize(space, &points).filter(|f| f.resolution().is_some());
    let mut tells = vec![
        match model.size {
            ModelSize::Mean => "only how much results scatter",
            ModelSize::Linear => "which settings matter, each by itself",
            ModelSize::Interactions => "which settings matter and which of them act together",
            ModelSize::Quadratic => {
                "the whole surface: each setting, how they act together, and how it bends"
            }
        }
        .to_owned(),
    ];
    if model.is_supported && points.len() >= columns.n_columns() {
        tells.push(format!(
            "{} degrees of freedom are left for scatter",
            points.len() - columns.n_columns()
        ));
    }
    if n_repeats > 0 {
        tells.push(format!("{n_repeats} of them from repeated settings"));
    }
    if n_return > 0 {
        tells.push(format!("a drift, from {n_return} return runs"));
    }
    let mut cannot = Vec::new();
    if let Some(fraction) = &fraction {
        cannot.extend(alias_words(space, fraction));
    }
    if model.size != ModelSize::Quadratic {
        cannot.push(bend_words(space, &points));
    }
    if n_repeats == 0 {
        cannot.push("scatter apart from what the model misses: no setting is repeated".to_owned());
    }
    if design.kind == DesignKind::BoxBehnken {
        cannot.push(
            "much about settings that stand at their ends together: no run is there".to_owned(),
        );
    }
    if n_return == 0 {
        cannot.push("how large a drift is: there are no return runs".to_owned());
    }
    Ok((tells.join("; "), cannot.join("; ")))
}

/// The head of what a plan can or cannot tell: its first clause without the examples, a drift if it is spoken of, and
/// how many clauses more there are.
pub fn short_words(words: &str) -> String {
    let clauses: Vec<&str> = words.split("; ").collect();
    let is_kept = |(place, clause): &(usize, &&str)| *place == 0 || clause.starts_with("a drift");
    let kept: Vec<&str> = clauses
        .iter()
        .enumerate()
        .filter(is_kept)
        .map(|(_, clause)| clause.split(": ").next().unwrap_or(clause))
        .collect();
    match clauses.len() - kept.len() {
        0 => kept.join("; "),
        more => format!("{}; {more} more", kept.join("; ")),
    }
}

/// Degrees of freedom among runs with the same settings.
fn n_repeats(space: &FactorSpace, points: &[CodedPoint]) -> Result<usize, StatsError> {
    let groups = ReplicateGroups::within_steps(space, points, None)?;
    Ok(points.len() - groups.n_groups())
}

/// What is mixed in a fraction: single settings with pairs first, else pairs among each other.
fn alias_words(space: &FactorSpace, fraction: &RegularFraction) -> Option<String> {
    let sets = fraction.alias_sets();
    let mixed = |longest_first: usize| -> Vec<&AliasSet> {
        sets.iter()
            .filter(|set| set.effects.len() > 1)
            .filter(|set| {
                set.effects
                    .first()
                    .is_some_and(|e| e.length() == longest_first)
            })
            .collect()
    };
    let single = mixed(1);
    let (what, mixed) = if single.is_empty() {
        ("pairs from each other", mixed(2))
    } else {
        ("settings from pairs of others", single)
    };
    if mixed.is_empty() {
        return None;
    }
    let named: Vec<String> = mixed
        .iter()
        .take(NAMED_ALIASES)
        .map(|set| {
            let names: Vec<String> = set
                .effects
                .iter()
                .map(|effect| {
                    let ids = effect.product_name(space);
                    ids.replace('*', " × ").replace('_', " ")
                })
                .collect();
            names.join(" = ")
        })
        .collect();
    let more = mixed.len().saturating_sub(NAMED_ALIASES);
    let more = if more > 0 {
        format!(" and {more} more")
    } else {
        String::new()
    };
    Some(format!("{what}: {}{more}", named.join(", ")))
}

fn bend_words(space: &FactorSpace, points: &[CodedPoint]) -> String {
    let is_between = |value: &Value| matches!(value, Value::Number(coded) if coded.abs() < 0.999);
    let numbers_are_between = |point: &CodedPoint| {
        let mut numbers = point
            .0
            .iter()
            .zip(space.factors())
            .filter(|(_, factor)| !factor.is_categorical());
        numbers.all(|(value, _)| is_between(value))
    };
    if has_middle(space) && points.iter().any(numbers_are_between) {
        "which setting bends the response: runs in the middle only show that it bends".to_owned()
    } else {
        "whether the response bends between the ends".to_owned()
    }
}
