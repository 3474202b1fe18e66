//! `check`: everything wrong or doubtful in a project, each with its place and what to do.

use std::collections::BTreeMap;
use std::io::ErrorKind;

use serde::Serialize;
use wetlane_stats::default_model::MIN_ERROR_DF;
use wetlane_stats::diagnostics::run_order_check;

use crate::campaign::analysis::{QualityFit, fit_as_chosen};
use crate::campaign::answers::plain;
use crate::campaign::feasibility::{Depth, judge_runs};
use crate::campaign::json_file::FileError;
use crate::campaign::limit_words::in_short;
use crate::campaign::machine_span::machine_span;
use crate::campaign::project::{
    EffortClass, Outcome, Project, QualityKind, ReadingValue, Run, SettingEntry, Variation,
};
use crate::campaign::project_file;
use crate::campaign::sentence_case::capitalized;
use crate::campaign::validity::Problem;

use super::Answer;
use super::arguments::CheckArgs;
use super::console::Console;
use super::document::VERSION;
use super::error::CliError;

/// Probability below which a slope of residuals over the run order is called a drift (common practice).
const DRIFT_P: f64 = 0.05;
/// Fewest readings from which a kind is guessed.
const FEWEST_READINGS: usize = 5;
/// Most different whole numbers that look like classes, and the largest of them (own choice).
const MOST_CLASSES: usize = 6;
/// Largest number that looks like a class.
const LARGEST_CLASS: f64 = 10.0;
/// Fewest runs in standard order that are no accident: one order in 120.
const FEWEST_IN_ORDER: usize = 5;

#[derive(Debug, Serialize)]
struct CheckDocument {
    document: &'static str,
    version: u32,
    faults: Vec<Finding>,
    doubts: Vec<Finding>,
    ok: bool,
    warnings: Vec<String>,
}

/// Something wrong or doubtful.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
struct Finding {
    what: String,
    #[serde(rename = "where")]
    place: Place,
    #[serde(rename = "do")]
    remedy: String,
    code: &'static str,
}

#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
struct Place {
    run: Option<u32>,
    field: Option<String>,
    row: Option<usize>,
    column: Option<usize>,
}

impl Place {
    fn run(run: u32) -> Self {
        Self {
            run: Some(run),
            ..Self::default()
        }
    }

    fn field(field: &str) -> Self {
        Self {
            field: Some(field.to_owned()),
            ..Self::default()
        }
    }

    fn words(&self) -> String {
        let mut words = Vec::new();
        if let Some(run) = self.run {
            words.push(format!("run {run}"));
        }
        if let Some(field) = &self.field {
            words.push(format!("\"{field}\""));
        }
        if let (Some(row), Some(column)) = (self.row, self.column) {
            words.push(format!("line {row}, column {column}"));
        }
        words.join(", ")
    }
}

fn finding(
    code: &'static str,
    place: Place,
    what: impl Into<String>,
    remedy: impl Into<String>,
) -> Finding {
    Finding {
        what: what.into(),
        place,
        remedy: remedy.into(),
        code,
    }
}

/// Answers `check`.
///
/// # Errors
/// [`CliError`] for a file that is not there or cannot be read at all. What is wrong inside it is the answer.
pub(super) fn run(arguments: &CheckArgs, console: &mut Console<'_>) -> Result<Answer, CliError> {
    let (faults, doubts) = match project_file::open(&arguments.file) {
        Ok(opened) => (faults_of(&opened.project), doubts_of(&opened.project)),
        Err(error) => (faults_of_file(error)?, Vec::new()),
    };
    let document = CheckDocument {
        document: "check",
        version: VERSION,
        ok: faults.is_empty(),
        faults,
        doubts,
        warnings: Vec::new(),
    };
    if arguments.json {
        console.document(&document)?;
    } else {
        print(&document, console)?;
    }
    Ok(if document.ok { Answer::Yes } else { Answer::No })
}

fn faults_of_file(error: FileError) -> Result<Vec<Finding>, CliError> {
    let what = error.to_string();
    Ok(match error {
        FileError::Io { ref source, .. } if source.kind() == ErrorKind::InvalidData => {
            vec![finding(
                "unreadable",
                Place::default(),
                what,
                "restore it from a copy",
            )]
        }
        FileError::Io { .. } | FileError::ChangedOnDisk { .. } => return Err(error.into()),
        FileError::TooLarge { .. } | FileError::NotOurs { .. } => vec![finding(
            "no_project",
            Place::default(),
            what,
            "name a project file, or restore it from a copy",
        )],
        FileError::Newer { .. } => vec![finding(
            "unknown_version",
            Place::default(),
            what,
            "update the program",
        )],
        FileError::Unreadable {
            line,
            column,
            place,
            ..
        } => vec![finding(
            "unreadable",
            Place {
                field: Some(place),
                row: Some(line),
                column: Some(column),
                run: None,
            },
            what,
            "correct it there, or restore the file from a copy",
        )],
        FileError::Invalid { problems, .. } => problems.into_iter().map(contradiction).collect(),
    })
}

fn contradiction(problem: Problem) -> Finding {
    finding(
        "contradiction",
        Place {
            run: problem.place.run,
            field: problem.place.field,
            ..Place::default()
        },
        problem.what,
        problem.remedy,
    )
}

fn faults_of(project: &Project) -> Vec<Finding> {
    let mut found = Vec::new();
    for setting in &project.settings {
        found.extend(outside_span(project, setting));
    }
    for judged in project
        .line
        .iter()
        .flat_map(|_| judge_runs(project, Depth::Nominal))
    {
        let (Some(run), Ok(judgement)) = (project.run(judged.run), &judged.judgement) else {
            continue;
        };
        let is_open = matches!(run.outcome, Outcome::NotRun) && run.readings.is_empty();
        let Some(limit) = judgement
            .binding()
            .filter(|_| judged.feasible() == Some(false))
        else {
            continue;
        };
        if is_open && run.on_purpose.is_none() {
            found.push(finding(
                "run_infeasible",
                Place::run(run.number),
                format!(
                    "it breaks a hard limit: {}",
                    in_short(limit, &judgement.assessment)
                ),
                format!(
                    "{} Or keep it on purpose, with the reason.",
                    limit.id.remedy()
                ),
            ));
        }
    }
    found.extend(changes_in_set_ups(project));
    found
}

/// Values of a setting that the machine cannot be set to.
fn outside_span(project: &Project, setting: &SettingEntry) -> Option<Finding> {
    let (least, greatest) = machine_span(project, setting)?;
    let (low, high) = match &setting.variation {
        Variation::Fixed => (setting.now.number()?, setting.now.number()?),
        Variation::Range { low, high, .. } => (*low, *high),
        Variation::Levels { levels } => (*levels.first()?, *levels.last()?),
        Variation::Categories { .. } => return None,
    };
    let is_below = low < least && !is_near(low, least);
    let is_above = high > greatest && !is_near(high, greatest);
    if !is_below && !is_above {
        return None;
    }
    Some(finding(
        "outside_machine_span",
        Place::field(&setting.id),
        format!(
            "{} to {} {} is outside what the machine does, {} to {}",
            plain(low),
            plain(high),
            setting.unit,
            plain(least),
            plain(greatest)
        ),
        "narrow the range, or correct the card of the machine",
    ))
}

/// Rounding of a conversion between units is no breach.
fn is_near(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * one.abs().max(other.abs())
}

/// Hard settings that change between runs of one set-up.
fn changes_in_set_ups(project: &Project) -> Vec<Finding> {
    let mut set_ups: BTreeMap<Vec<String>, Vec<&Run>> = BTreeMap::new();
    for run in &project.runs {
        if let Some(path) = set_up_of(project, run) {
            set_ups.entry(path).or_default().push(run);
        }
    }
    let hard: Vec<&SettingEntry> = project
        .varied()
        .filter(|setting| setting.effort.class != EffortClass::OnTheFly)
        .collect();
    let mut found = Vec::new();
    for (path, runs) in &set_ups {
        for setting in &hard {
            let first = runs.first().and_then(|run| run.setting(&setting.id));
            let other = runs.iter().find(|run| run.setting(&setting.id) != first);
            if let Some(other) = other {
                found.push(finding(
                    "hard_setting_changes",
                    Place {
                        run: Some(other.number),
                        field: Some(setting.id.clone()),
                        ..Place::default()
                    },
                    format!(
                        "it is hard to change, but changes inside set-up {}",
                        path.join(", ")
                    ),
                    "number the set-ups anew, or say that it is easy to change",
                ));
            }
        }
    }
    found
}

/// The set-up of a run: its number, or its path of labels where the innermost layer is one.
fn set_up_of(project: &Project, run: &Run) -> Option<Vec<String>> {
    if let Some(set_up) = run.set_up {
        return Some(vec![set_up.to_string()]);
    }
    let path: Vec<String> = project
        .layers
        .iter()
        .filter_map(|layer| run.labels.get(layer).cloned())
        .collect();
    (!path.is_empty() && path.len() == project.layers.len()).then_some(path)
}

fn doubts_of(project: &Project) -> Vec<Finding> {
    let mut found = Vec::new();
    found.extend(runs_beyond_limits(project));
    found.extend(order_not_shuffled(project));
    for quality in &project.qualities {
        if quality.kind == QualityKind::Sound {
            continue;
        }
        found.extend(missing_readings(project, &quality.id));
        if quality.kind == QualityKind::Continuous {
            found.extend(looks_like_other_kind(project, &quality.id));
        }
        if let Ok(fit) = fit_as_chosen(project, &quality.id) {
            found.extend(doubts_of_fit(&quality.id, &fit));
        }
    }
    found
}

/// Runs that were made although a limit says they could not, and runs that cannot be judged.
fn runs_beyond_limits(project: &Project) -> Vec<Finding> {
    let mut found = Vec::new();
    for judged in project
        .line
        .iter()
        .flat_map(|_| judge_runs(project, Depth::Nominal))
    {
        let Some(run) = project.run(judged.run) else {
            continue;
        };
        match judged.feasible() {
            Some(false) if run.has_results() && run.on_purpose.is_none() => found.push(finding(
                "ran_beyond_limit",
                Place::run(run.number),
                "it has results although a hard limit is broken on paper",
                "check the inputs of the limit: the film knows better than the model",
            )),
            None if !run.has_results() => found.push(finding(
                "cannot_be_judged",
                Place::run(run.number),
                judged.why_unknown().unwrap_or_default(),
                "state what is missing",
            )),
            Some(_) | None => {}
        }
    }
    found
}

fn order_not_shuffled(project: &Project) -> Option<Finding> {
    project.plan.as_ref()?;
    let order: Vec<u32> = project
        .runs
        .iter()
        .filter_map(|run| run.standard_order)
        .collect();
    let ascends = order.windows(2).all(|pair| matches!(pair, [a, b] if a < b));
    (order.len() >= FEWEST_IN_ORDER && ascends).then(|| {
        finding(
            "order_not_shuffled",
            Place::field("plan"),
            "the runs stand in the order in which the plan lists them, so that a drift can look like an effect",
            "make the plan again with a shuffled order, unless it was restricted on purpose",
        )
    })
}

fn missing_readings(project: &Project, quality: &str) -> Option<Finding> {
    let has_reading = |run: &Run| {
        run.readings
            .iter()
            .any(|reading| reading.quality == quality)
    };
    if !project.runs.iter().any(has_reading) {
        return None;
    }
    let missing: Vec<&Run> = project
        .runs
        .iter()
        .filter(|run| run.has_results() && !matches!(run.outcome, Outcome::Faulty { .. }))
        .filter(|run| !has_reading(run))
        .collect();
    let first = missing.first()?;
    let numbers: Vec<String> = missing.iter().map(|run| run.number.to_string()).collect();
    Some(finding(
        "missing_reading",
        Place {
            run: Some(first.number),
            field: Some(quality.to_owned()),
            ..Place::default()
        },
        format!(
            "no reading in {} of the runs made: {}",
            missing.len(),
            numbers.join(", ")
        ),
        "read them, or mark the films as faulty",
    ))
}

fn looks_like_other_kind(project: &Project, quality: &str) -> Option<Finding> {
    let values: Vec<f64> = project
        .runs
        .iter()
        .flat_map(|run| &run.readings)
        .filter(|reading| reading.quality == quality)
        .map(|reading| match reading.value {
            ReadingValue::Exact(value) => Some(value),
            ReadingValue::Below(_) | ReadingValue::Above(_) | ReadingValue::Class(_) => None,
        })
        .collect::<Option<_>>()?;
    let is_whole = |value: &f64| *value >= 0.0 && value.fract() == 0.0;
    if values.len() < FEWEST_READINGS || !values.iter().all(is_whole) {
        return None;
    }
    let mut different = values;
    different.sort_by(f64::total_cmp);
    different.dedup();
    let largest = different.last().copied().unwrap_or(0.0);
    if different.len() <= MOST_CLASSES && largest <= LARGEST_CLASS {
        return Some(finding(
            "looks_like_class",
            Place::field(quality),
            format!(
                "all readings are among {} whole numbers up to {largest}",
                different.len()
            ),
            "if these are classes or counts, say so in the kind of the film quality",
        ));
    }
    // Whole hundreds are rounding rather than counting.
    let is_counted = different.first().copied().unwrap_or(0.0) < LARGEST_CLASS;
    is_counted.then(|| {
        finding(
            "looks_like_count",
            Place::field(quality),
            "all readings are whole numbers from zero up",
            "if defects were counted, say so in the kind of the film quality",
        )
    })
}

fn doubts_of_fit(quality: &str, fit: &QualityFit) -> Vec<Finding> {
    let mut found = Vec::new();
    let dropped: Vec<String> = fit.fit.dropped().into_iter().map(|d| d.name).collect();
    if !dropped.is_empty() {
        found.push(finding(
            "aliased_terms",
            Place::field(quality),
            format!(
                "the runs cannot tell these terms from others: {}",
                dropped.join(", ")
            ),
            "take them out of the model, or add runs",
        ));
    }
    let df = fit.fit.error_df();
    if df < MIN_ERROR_DF {
        found.push(finding(
            "few_error_df",
            Place::field(quality),
            format!(
                "{df} degrees of freedom are left for error in the {} model",
                fit.model_name
            ),
            "take a smaller model, or add runs",
        ));
    }
    for layer in &fit.table.layers {
        found.push(finding(
            "shared_layer",
            Place::field(quality),
            format!(
                "the runs share {} levels of \"{}\" and are not independent of each other",
                layer.n_levels, layer.name
            ),
            "read intervals of settings that only change with it as too narrow",
        ));
    }
    let drift = run_order_check(fit.fit.residuals());
    if let Ok(p) = drift.p
        && p < DRIFT_P
    {
        found.push(finding(
            "drift",
            Place::field(quality),
            format!("residuals change along the run order (p = {})", plain(p)),
            "look for what changed with time, and add return runs",
        ));
    }
    found
}

fn print(document: &CheckDocument, console: &mut Console<'_>) -> Result<(), CliError> {
    for (title, findings) in [("Fault", &document.faults), ("Doubt", &document.doubts)] {
        for finding in findings {
            let place = finding.place.words();
            let place = if place.is_empty() {
                String::new()
            } else {
                format!("{place}: ")
            };
            let text = format!(
                "{title}: {place}{}. {}",
                finding.what,
                sentence(&finding.remedy)
            );
            console.paragraph(&text)?;
        }
    }
    console.line(&match (document.faults.len(), document.doubts.len()) {
        (0, 0) => "Nothing wrong or doubtful was found.".to_owned(),
        (faults, doubts) => format!("{faults} faults, {doubts} doubts."),
    })
}

/// A phrase as a sentence.
fn sentence(phrase: &str) -> String {
    let mut text = capitalized(phrase);
    if !text.ends_with('.') {
        text.push('.');
    }
    text
}
