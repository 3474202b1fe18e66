//! `limits`: the margin of every physical limit, for every run or for one setting.

use crate::campaign::sentence_case::in_sentence;
use std::collections::BTreeMap;

use serde::Serialize;
use wetlane_physics::{Severity, Verdict};

use crate::campaign::answers::plain;
use crate::campaign::chance::{REPORT_DRAWS, SCREEN_DRAWS, chance_of, chance_words};
use crate::campaign::feasibility::{Depth, Judge, JudgeError, Judgement, RunJudgement};
use crate::campaign::limit_words::{comparison, name_of_key};
use crate::campaign::moves_along::moves_in_words;
use crate::campaign::project::{Project, Run, Settings};
use crate::campaign::project_file;
use crate::campaign::resolve::ResolveError;
use crate::campaign::what_follows::{bounds, knobs};

use super::Answer;
use super::arguments::LimitsArgs;
use super::assignment::{PointSettings, point_of};
use super::console::Console;
use super::document::{
    AssumedDocument, DerivedDocument, LimitDocument, Reasons, VERSION, finite, units_of,
};
use super::error::CliError;
use super::freeing::FreeingDocument;
use super::text_table::{Align, TextTable};

/// What is known of one setting.
#[derive(Debug, Serialize)]
struct SettingDocument {
    #[serde(skip_serializing_if = "Option::is_none")]
    run: Option<u32>,
    settings: Settings,
    units: BTreeMap<String, String>,
    assumed: Vec<AssumedDocument>,
    derived: Vec<DerivedDocument>,
    limits: Vec<LimitDocument>,
    binding: Option<&'static str>,
    margin: Option<f64>,
    feasible: Option<bool>,
    verdict: &'static str,
    probability: Option<f64>,
    why: Option<String>,
    cautions: Vec<String>,
}

/// What frees runs, on request only.
fn freeing(project: &Project, runs: &[u32], arguments: &LimitsArgs) -> Option<FreeingDocument> {
    arguments.free.then(|| FreeingDocument::of(project, runs))
}

fn print_freeing(
    project: &Project,
    freeing: Option<&FreeingDocument>,
    console: &mut Console<'_>,
) -> Result<(), CliError> {
    let Some(freeing) = freeing else {
        return Ok(());
    };
    let lines = freeing.lines(project);
    console.line("")?;
    console.line(if lines.is_empty() {
        "No run needs to be freed."
    } else {
        "What frees them:"
    })?;
    for line in lines {
        console.line(&format!("  {line}"))?;
    }
    Ok(())
}

#[derive(Debug, Serialize)]
struct OneDocument {
    document: &'static str,
    version: u32,
    #[serde(flatten)]
    setting: SettingDocument,
    #[serde(skip_serializing_if = "Option::is_none")]
    freeing: Option<FreeingDocument>,
    warnings: Vec<String>,
}

#[derive(Debug, Serialize)]
struct RunsDocument {
    document: &'static str,
    version: u32,
    runs: Vec<SettingDocument>,
    n_infeasible: usize,
    n_unknown: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    freeing: Option<FreeingDocument>,
    warnings: Vec<String>,
}

const NAME: &str = "limits";

/// Answers `limits`.
///
/// # Errors
/// [`CliError`] for a file, run or setting that is none.
pub(super) fn run(arguments: &LimitsArgs, console: &mut Console<'_>) -> Result<Answer, CliError> {
    let project = project_file::open(&arguments.file)?.project;
    let feasible = match (arguments.run, arguments.at.is_empty()) {
        (Some(number), _) => {
            let run = find_run(&project, number)?;
            one(&project, Asked::Run(run), arguments, console)?
        }
        (None, true) if !project.runs.is_empty() => every(&project, arguments, console)?,
        (None, _) => {
            let point = point_of(&project, &arguments.at)?;
            one(&project, Asked::Point(point), arguments, console)?
        }
    };
    Ok(if arguments.strict && feasible != Some(true) {
        Answer::No
    } else {
        Answer::Yes
    })
}

fn find_run(project: &Project, number: u32) -> Result<&Run, CliError> {
    project.run(number).ok_or_else(|| {
        let known: Vec<String> = project
            .runs
            .iter()
            .map(|run| run.number.to_string())
            .collect();
        CliError::NoRun {
            run: number,
            known: if known.is_empty() {
                "no runs at all".to_owned()
            } else {
                known.join(", ")
            },
        }
    })
}

enum Asked<'a> {
    Run(&'a Run),
    Point(PointSettings),
}

/// One setting or run; returns whether it can run.
fn one(
    project: &Project,
    asked: Asked<'_>,
    arguments: &LimitsArgs,
    console: &mut Console<'_>,
) -> Result<Option<bool>, CliError> {
    let mut judge = Judge::new(project);
    let (run, point) = match asked {
        Asked::Run(run) => (
            Some(run.number),
            PointSettings {
                settings: project.settings_of(run),
                assumed: Vec::new(),
            },
        ),
        Asked::Point(point) => (None, point),
    };
    let judged = judge.judge(&point.settings, Depth::WithDoubts);
    if run.is_none()
        && let Err(error) = &judged
        && is_bad_input(error)
    {
        return Err(error.clone().into());
    }
    let mut warnings = Vec::new();
    if run.is_none() && project.runs.is_empty() && !point.assumed.is_empty() {
        warnings.push("The project has no runs yet; this is one setting of it.".to_owned());
    }
    let feasible = judged.as_ref().ok().and_then(Judgement::feasible);
    let draws = arguments.probability.then_some(REPORT_DRAWS);
    let document = OneDocument {
        document: NAME,
        version: VERSION,
        setting: setting_document(&mut judge, (project, run), &point, &judged, draws),
        freeing: freeing(project, run.as_slice(), arguments),
        warnings,
    };
    if arguments.json {
        console.document(&document)?;
    } else {
        print_setting(project, &document.setting, judged.as_ref().ok(), console)?;
        print_freeing(project, document.freeing.as_ref(), console)?;
        for warning in &document.warnings {
            console.line(warning)?;
        }
    }
    Ok(feasible)
}

/// True if the settings themselves are wrong, rather than something that nobody stated.
const fn is_bad_input(error: &JudgeError) -> bool {
    match error {
        JudgeError::Resolve(
            ResolveError::NoLine
            | ResolveError::NoHead
            | ResolveError::Needs { .. }
            | ResolveError::NoNumber { .. },
        ) => false,
        JudgeError::Resolve(
            ResolveError::SetTwice { .. }
            | ResolveError::OutOfDomain { .. }
            | ResolveError::OutOfReach { .. }
            | ResolveError::Unit { .. },
        )
        | JudgeError::Input(_) => true,
    }
}

/// Every run; returns whether all can run, `None` if that is not known of some and no other is infeasible.
fn every(
    project: &Project,
    arguments: &LimitsArgs,
    console: &mut Console<'_>,
) -> Result<Option<bool>, CliError> {
    let mut judge = Judge::new(project);
    let mut runs = Vec::with_capacity(project.runs.len());
    let mut all_judged = Vec::with_capacity(project.runs.len());
    for run in &project.runs {
        let point = PointSettings {
            settings: project.settings_of(run),
            assumed: Vec::new(),
        };
        let judged = judge.judge(&point.settings, Depth::WithDoubts);
        runs.push(setting_document(
            &mut judge,
            (project, Some(run.number)),
            &point,
            &judged,
            arguments.probability.then_some(SCREEN_DRAWS),
        ));
        all_judged.push(RunJudgement {
            run: run.number,
            judgement: judged,
        });
    }
    let stuck: Vec<u32> = runs
        .iter()
        .filter(|run| run.feasible == Some(false))
        .filter_map(|run| run.run)
        .collect();
    let count = |wanted: Option<bool>| runs.iter().filter(|run| run.feasible == wanted).count();
    let document = RunsDocument {
        document: NAME,
        version: VERSION,
        n_infeasible: count(Some(false)),
        n_unknown: count(None),
        freeing: freeing(project, &stuck, arguments),
        runs,
        warnings: Vec::new(),
    };
    if arguments.json {
        console.document(&document)?;
    } else {
        print_runs(project, &document, console)?;
        if let Some(moves) = moves_in_words(project, &all_judged) {
            console.paragraph(&moves)?;
        }
        print_freeing(project, document.freeing.as_ref(), console)?;
    }
    Ok(match (document.n_infeasible, document.n_unknown) {
        (0, 0) => Some(true),
        (0, _) => None,
        _ => Some(false),
    })
}

fn setting_document(
    judge: &mut Judge<'_>,
    (project, run): (&Project, Option<u32>),
    point: &PointSettings,
    judged: &Result<Judgement, JudgeError>,
    draws: Option<u32>,
) -> SettingDocument {
    let mut document = SettingDocument {
        run,
        settings: point.settings.clone(),
        units: units_of(project, &point.settings),
        assumed: point
            .assumed
            .iter()
            .map(|id| AssumedDocument::setting(project, id, &point.settings))
            .collect(),
        derived: Vec::new(),
        limits: Vec::new(),
        binding: None,
        margin: None,
        feasible: None,
        verdict: Verdict::Unknown.key(),
        probability: None,
        why: None,
        cautions: Vec::new(),
    };
    let mut reasons = Reasons::default();
    match judged {
        Ok(judgement) => {
            fill(&mut document, judge, point, judgement);
            if document.feasible.is_none() {
                reasons.add("feasible", unknown_words(judgement));
            }
        }
        Err(error) => {
            for key in ["binding", "margin", "feasible"] {
                reasons.add(key, error);
            }
        }
    }
    match draws {
        None => reasons.add("probability", "it was not asked for: --probability"),
        Some(n_draws) => match chance_of(project, &point.settings, n_draws, || false) {
            Ok(Some(chance)) => {
                document.probability = Some(chance.all_hold);
                for limit in &mut document.limits {
                    limit.take_chance(&chance);
                }
            }
            Ok(None) => reasons.add("probability", "an essential input is missing"),
            Err(error) => reasons.add("probability", error),
        },
    }
    document.why = reasons.text();
    document
}

fn fill(
    document: &mut SettingDocument,
    judge: &mut Judge<'_>,
    point: &PointSettings,
    judgement: &Judgement,
) {
    document.derived = DerivedDocument::all(judgement);
    document.limits = LimitDocument::all(judgement);
    document.binding = judgement.binding().map(|limit| limit.id.key());
    document.margin = judgement.margin().and_then(finite);
    document.feasible = judgement.feasible();
    document.verdict = judgement.verdict().key();
    if let Ok(prepared) = judge.prepared(&point.settings) {
        document
            .assumed
            .extend(AssumedDocument::inputs(&prepared, judgement));
        document.cautions = prepared.cautions(&judgement.resolved.setting, &judgement.assessment);
    }
}

fn unknown_words(judgement: &Judgement) -> String {
    judgement.assessment.missing_essential().map_or_else(
        || "an input is missing".to_owned(),
        |input| format!("missing: {}", in_sentence(input.label())),
    )
}

/// Settings in words: "speed 1.2 m/min, gap 80 µm".
pub(super) fn settings_words(project: &Project, settings: &Settings) -> String {
    let words: Vec<String> = project
        .settings
        .iter()
        .filter_map(|setting| {
            let value = settings.get(&setting.id)?;
            let value = value
                .number()
                .map_or_else(|| value.to_string(), short_number);
            Some(
                format!("{} {value} {}", setting.id, setting.unit)
                    .trim_end()
                    .to_owned(),
            )
        })
        .collect();
    words.join(", ")
}

/// A setting for people: at most six significant digits, no trailing zeros.
pub(super) fn short_number(number: f64) -> String {
    let rounded: f64 = format!("{number:.5e}").parse().unwrap_or(number);
    rounded.to_string()
}

fn print_setting(
    project: &Project,
    document: &SettingDocument,
    judgement: Option<&Judgement>,
    console: &mut Console<'_>,
) -> Result<(), CliError> {
    console.paragraph(&settings_words(project, &document.settings))?;
    let Some(judgement) = judgement else {
        let why = document.why.as_deref().unwrap_or_default();
        return console.line(&format!("{}: {why}", Verdict::Unknown.label()));
    };
    let closest = judgement.binding().map_or_else(String::new, |limit| {
        format!(
            "; closest limit: {}, margin {}",
            in_sentence(limit.id.label()),
            limit.margin().map_or_else(String::new, plain)
        )
    });
    console.line(&format!("{}{closest}", judgement.verdict().label()))?;
    if let Some(chance) = document.probability {
        console.line(&format!(
            "It works with a chance of {}, as well as the inputs are known.",
            chance_words(chance)
        ))?;
    }
    console.line("")?;
    for line in limits_table(judgement, document).lines() {
        console.line(&line)?;
    }
    for (head, all) in [
        ("What follows:", knobs(judgement)),
        ("How far one may go at this setting:", bounds(judgement)),
    ] {
        if all.is_empty() {
            continue;
        }
        console.line("")?;
        console.line(head)?;
        for follows in all {
            console.line(&format!("  {}: {}", follows.name, follows.value))?;
        }
    }
    if !document.assumed.is_empty() {
        console.line("")?;
        console.line("Assumed:")?;
        for assumed in &document.assumed {
            console.line(&format!("  {}", assumed.words()))?;
        }
    }
    console.line("")?;
    for caution in &document.cautions {
        console.paragraph(caution)?;
    }
    Ok(())
}

fn limits_table(judgement: &Judgement, document: &SettingDocument) -> TextTable {
    let has_chance = document.probability.is_some();
    let mut heads = vec![
        ("limit", Align::Left),
        ("station", Align::Left),
        ("value and bound", Align::Left),
        ("margin", Align::Right),
        ("holds", Align::Left),
    ];
    if has_chance {
        heads.push(("chance", Align::Right));
    }
    heads.push(("what it does to the film", Align::Left));
    let mut table = TextTable::new(&heads);
    for (record, limit) in judgement.assessment.limits.iter().zip(&document.limits) {
        let holds = match (record.margin(), record.severity) {
            _ if judgement.switched_off.contains_key(record.id.key()) => "off",
            (None, _) => "?",
            (Some(_), _) if record.holds() => "yes",
            (Some(_), Severity::Hard) => "NO",
            (Some(_), Severity::Soft | Severity::Caution | Severity::Validity) => "no",
        };
        let mut cells = vec![
            record.id.label().to_owned(),
            record.station.label().to_owned(),
            comparison(record),
            record.margin().map_or_else(String::new, plain),
            holds.to_owned(),
        ];
        if has_chance {
            cells.push(limit.chance().map_or_else(String::new, chance_words));
        }
        cells.push(if record.margin().is_some() && !record.holds() {
            record.id.defect().to_owned()
        } else {
            String::new()
        });
        table.row(cells);
    }
    table
}

fn print_runs(
    project: &Project,
    document: &RunsDocument,
    console: &mut Console<'_>,
) -> Result<(), CliError> {
    let has_chance = document.runs.iter().any(|run| run.probability.is_some());
    let mut heads = vec![
        ("run", Align::Right),
        ("settings", Align::Left),
        ("can run", Align::Left),
        ("closest limit", Align::Left),
        ("margin", Align::Right),
    ];
    if has_chance {
        heads.push(("chance", Align::Right));
    }
    let mut table = TextTable::new(&heads);
    for run in &document.runs {
        let can_run = match run.feasible {
            Some(true) => "yes",
            Some(false) => "NO",
            None => "?",
        };
        let closest = match (run.binding, run.feasible) {
            (Some(binding), Some(_)) => name_of_key(binding),
            (_, _) => run.why.clone().unwrap_or_default(),
        };
        let varied: Settings = project
            .varied()
            .filter_map(|setting| {
                let value = run.settings.get(&setting.id)?;
                Some((setting.id.clone(), value.clone()))
            })
            .collect();
        table.row([
            run.run.map(|run| run.to_string()).unwrap_or_default(),
            settings_words(project, &varied),
            can_run.to_owned(),
            closest,
            run.margin.map_or_else(String::new, plain),
            run.probability.map_or_else(String::new, chance_words),
        ]);
    }
    for line in table.lines() {
        console.line(&line)?;
    }
    console.line("")?;
    console.line(&format!(
        "{} of {} runs break a hard limit; {} cannot be judged.",
        document.n_infeasible,
        document.runs.len(),
        document.n_unknown
    ))?;
    console.line("Local codes and licensed practice prevail.")
}
