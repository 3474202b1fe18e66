//! `plan`: which settings to run, in which order.

use crate::campaign::sentence_case::in_sentence;
use std::io::IsTerminal;
use std::io::Write;
use std::sync::atomic::AtomicBool;

use serde::Serialize;
use wetlane_stats::default_model::default_model;
use wetlane_stats::design::{DesignRequest, Progress, Seed};
use wetlane_stats::{CodedPoint, FactorKind, FactorSpace, Intercept, ModelSize, TermList, Value};

use crate::campaign::analysis::AnalysisError;
use crate::campaign::answers::plain;
use crate::campaign::clock::now_utc;
use crate::campaign::factors::coded_point;
use crate::campaign::feasibility::{Depth, Judge};
use crate::campaign::limit_words::name_of_key;
use crate::campaign::plan_options::{parse_axial_distance, parse_kind, parse_order};
use crate::campaign::planning::{
    MadePlan, PLANNED_BLOCK, PlanError, PlanRequest, Repeats, build_plan, take_plan,
};
use crate::campaign::project::{
    Effort, EffortClass, Project, Question, Role, Run, SettingEntry, SettingValue, Settings,
    Variation,
};
use crate::campaign::project_file;
use crate::campaign::roll::{Totals, lay_out_runs};
use crate::campaign::unit::Unit;

use super::Answer;
use super::arguments::PlanArgs;
use super::assignment::{
    AssignmentError, category_spec, find_setting, middle_of, named_count, named_range,
};
use super::console::Console;
use super::document::{FactorDocument, Reasons, VERSION, finite};
use super::error::CliError;
use super::import::{SEED, new_id};
use super::limits::short_number;
use super::text_table::{Align, TextTable};
use super::written_file::{note_step, write_project};

#[derive(Debug, Serialize)]
struct PlanDocument {
    document: &'static str,
    version: u32,
    kind: String,
    seed: u64,
    algorithm_version: u32,
    model: String,
    factors: Vec<FactorDocument>,
    runs: Vec<RunDocument>,
    #[serde(skip_serializing_if = "Option::is_none")]
    search: Option<SearchDocument>,
    budget: BudgetDocument,
    notes: Vec<String>,
    warnings: Vec<String>,
}

#[derive(Debug, Serialize)]
struct RunDocument {
    run: u32,
    standard_order: Option<u32>,
    order: u32,
    block: Option<u32>,
    whole_plot: Option<u32>,
    replicate: u32,
    role: &'static str,
    settings: Settings,
    coded: std::collections::BTreeMap<String, Option<f64>>,
    feasible: Option<bool>,
    binding_limit: Option<&'static str>,
    margin: Option<f64>,
    why: Option<String>,
}

#[derive(Debug, Serialize)]
struct SearchDocument {
    criterion: &'static str,
    value: f64,
    d_efficiency: Option<f64>,
    of_bound: Option<f64>,
    starts: usize,
    best_start_share: Option<f64>,
    why: Option<String>,
}

#[derive(Debug, Serialize)]
struct BudgetDocument {
    ink_ml: Option<f64>,
    foil_m: Option<f64>,
    hours: Option<f64>,
    fits: Option<bool>,
    why: Option<String>,
}

/// Answers `plan`.
///
/// # Errors
/// [`CliError`] says what does not fit; nothing is written then.
pub(super) fn run(arguments: &PlanArgs, console: &mut Console<'_>) -> Result<Answer, CliError> {
    let mut project = match &arguments.file {
        Some(file) => project_file::open(file)?.project,
        None => project_of_factors(arguments)?,
    };
    set_hard(&mut project, &arguments.hard)?;
    let request = request_of(arguments, &project)?;
    check_model(&project, &request.model)?;
    let repeats = if arguments.keep {
        Repeats::CountThoseMade
    } else {
        Repeats::MakeAgain
    };
    let made = build_watched(&project, &request, repeats, console)?;
    take_plan(made.record.clone(), made.runs.clone()).apply(&mut project)?;
    let document = document_of(&project, &made)?;
    if let Some(out) = &arguments.out {
        let what = format!(
            "made a {} plan of {} new runs",
            made.record.kind,
            made.new_runs().len()
        );
        note_step(&mut project, what)?;
        write_project(out, &project)?;
    }
    if arguments.json {
        console.document(&document)?;
    } else if arguments.csv {
        console.text(&csv_of(&project, &document)?)?;
    } else {
        print(&document, console)?;
    }
    Ok(Answer::Yes)
}

/// A project that holds nothing but the settings named on the command line.
fn project_of_factors(arguments: &PlanArgs) -> Result<Project, CliError> {
    let mut project = Project::new("Plan", new_id(), now_utc(), arguments.seed.unwrap_or(SEED));
    for text in &arguments.factors {
        let (name, range) = named_range(text)?;
        // A known unit is written in its usual way, any other is the user's own.
        let unit = range
            .unit
            .map(|unit| Unit::parse(&unit).map_or(unit, |known| known.symbol().to_owned()));
        let variation = Variation::Range {
            low: range.low,
            high: range.high,
            log: false,
        };
        add_setting(&mut project, name, unit.unwrap_or_default(), variation)?;
    }
    for text in &arguments.categories {
        let spec = category_spec(text)?;
        let levels = spec.levels.ok_or_else(|| AssignmentError::FewLevels {
            name: spec.name.clone(),
        })?;
        add_setting(
            &mut project,
            spec.name,
            String::new(),
            Variation::Categories { levels },
        )?;
    }
    Ok(project)
}

fn add_setting(
    project: &mut Project,
    id: String,
    unit: String,
    variation: Variation,
) -> Result<(), CliError> {
    if project.setting(&id).is_some() {
        return Err(AssignmentError::Twice { name: id }.into());
    }
    let mut setting = SettingEntry {
        label: id.clone(),
        id,
        role: Role::Free,
        unit,
        now: SettingValue::Number(0.0),
        variation,
        step: None,
        scatter: None,
        effort: Effort::default(),
    };
    setting.now = middle_of(&setting);
    let put = crate::campaign::command::Command::PutSetting {
        index: project.settings.len(),
        setting: Box::new(setting),
    };
    put.apply(project)?;
    Ok(())
}

/// Settings that `--hard` names are hard to change from now on; minutes that are stated stay.
fn set_hard(project: &mut Project, hard: &[String]) -> Result<(), CliError> {
    for name in hard {
        let setting = find_setting(project, name)?;
        if !setting.is_varied() {
            return Err(AssignmentError::NotVaried { name: name.clone() }.into());
        }
        let id = setting.id.clone();
        for setting in project.settings.iter_mut().filter(|s| s.id == id) {
            if setting.effort.class == EffortClass::OnTheFly {
                setting.effort.class = EffortClass::StopAndWait;
            }
        }
    }
    Ok(())
}

fn request_of(arguments: &PlanArgs, project: &Project) -> Result<PlanRequest, CliError> {
    let seed = Seed(arguments.seed.unwrap_or(project.seed));
    let mut design = DesignRequest::new(parse_kind(&arguments.kind)?, seed);
    design.generators.clone_from(&arguments.generators);
    design.n_runs = arguments.runs;
    design.n_centre = arguments.centre;
    design.n_replicates = arguments.replicates;
    design.n_blocks = arguments.blocks;
    design.n_return = arguments.return_runs;
    design.axial_distance = arguments
        .alpha
        .as_deref()
        .map(parse_axial_distance)
        .transpose()?;
    if let Some(order) = &arguments.order {
        design.order = parse_order(order)?;
    }
    let varied: Vec<&str> = project
        .varied()
        .map(|setting| setting.id.as_str())
        .collect();
    for text in &arguments.levels {
        let (name, n_levels) = named_count(text)?;
        let index =
            varied
                .iter()
                .position(|id| *id == name)
                .ok_or_else(|| AssignmentError::NoSetting {
                    name,
                    known: varied.join(", "),
                })?;
        design.n_levels.resize(varied.len(), None);
        if let Some(place) = design.n_levels.get_mut(index) {
            *place = Some(n_levels);
        }
    }
    let model = arguments.model.as_ref().or(arguments.terms.as_ref());
    Ok(PlanRequest {
        question: project
            .plan
            .as_ref()
            .map_or_else(Question::default, |plan| plan.question),
        model: model.cloned().unwrap_or_default(),
        design,
    })
}

/// A model that is named must be one, also where the kind of plan does not depend on it.
fn check_model(project: &Project, model: &str) -> Result<(), CliError> {
    if model.is_empty() || ModelSize::ALL.iter().any(|size| size.key() == model) {
        return Ok(());
    }
    let space = crate::campaign::factors::factor_space(project).map_err(PlanError::from)?;
    if let Err(error) = TermList::parse(model, &space, Intercept::Included) {
        return Err(if model.contains(['*', '^', ',']) {
            AnalysisError::from(error).into()
        } else {
            AnalysisError::NoSuchModel {
                model: model.to_owned(),
            }
            .into()
        });
    }
    Ok(())
}

/// Makes the plan, with the share that is done on the error stream if somebody watches.
fn build_watched(
    project: &Project,
    request: &PlanRequest,
    repeats: Repeats,
    console: &Console<'_>,
) -> Result<MadePlan, PlanError> {
    let n_threads = std::thread::available_parallelism().map_or(1, usize::from);
    let stop = AtomicBool::new(false);
    let shows = console.shows_progress() && std::io::stderr().is_terminal();
    let report = move |share: f64| {
        if shows && share < 1.0 {
            // Nothing can be done about a closed error stream.
            write!(std::io::stderr(), "\rsearching {:3.0} %", 100.0 * share).unwrap_or_default();
        }
    };
    let progress = Progress::new(&stop, &report).with_threads(n_threads);
    let made = build_plan(project, request, repeats, &now_utc(), &progress);
    if shows {
        write!(std::io::stderr(), "\r{:16}\r", "").unwrap_or_default();
    }
    made
}

fn document_of(project: &Project, made: &MadePlan) -> Result<PlanDocument, CliError> {
    let mut judge = Judge::new(project);
    let mut runs = Vec::with_capacity(made.new_runs().len());
    let mut warnings = Vec::new();
    for run in made.new_runs() {
        runs.push(run_document(project, made, &mut judge, run)?);
    }
    let n_infeasible = runs
        .iter()
        .filter(|run| run.feasible == Some(false))
        .count();
    if n_infeasible > 0 {
        warnings.push(format!(
            "{n_infeasible} of {} runs break a hard limit as planned; \"limits\" says which and by how much.",
            runs.len()
        ));
    }
    if made.n_kept > 0 {
        warnings.push(format!(
            "{} runs that have results stay as they are; the new ones follow behind them.",
            made.n_kept
        ));
    }
    let all: Vec<&Run> = made.runs.iter().collect();
    Ok(PlanDocument {
        document: "plan",
        version: VERSION,
        kind: made.record.kind.clone(),
        seed: made.record.seed,
        algorithm_version: made.record.algorithm_version,
        model: model_of(made)?,
        factors: FactorDocument::all(project),
        runs,
        search: search_of(made),
        budget: budget_of(&lay_out_runs(project, &all).totals),
        notes: made.record.notes.clone(),
        warnings,
    })
}

/// The model as asked for, or the largest that the planned runs support.
fn model_of(made: &MadePlan) -> Result<String, CliError> {
    if !made.record.model.is_empty() {
        return Ok(made.record.model.clone());
    }
    let found =
        default_model(&made.space, &made.design.points(), None, None).map_err(PlanError::from)?;
    Ok(found.size.key().to_owned())
}

fn run_document(
    project: &Project,
    made: &MadePlan,
    judge: &mut Judge<'_>,
    run: &Run,
) -> Result<RunDocument, CliError> {
    let judged = judge.judge(&project.settings_of(run), Depth::Nominal);
    let (feasible, binding_limit, margin, why) = match &judged {
        Ok(judgement) => (
            judgement.feasible(),
            judgement.binding().map(|limit| limit.id.key()),
            judgement.margin().and_then(finite),
            judgement
                .assessment
                .missing_essential()
                .map(|input| format!("missing: {}", in_sentence(input.label()))),
        ),
        Err(error) => (None, None, None, Some(error.to_string())),
    };
    // As the plan says it: the settings are rounded to what people type.
    let planned = made
        .design
        .runs
        .iter()
        .find(|planned| u32::try_from(planned.standard_order).ok() == run.standard_order);
    let coded = match planned {
        Some(planned) => planned.coded.clone(),
        None => coded_point(&made.space, &run.planned).map_err(AnalysisError::from)?,
    };
    let block_name = project
        .block
        .as_ref()
        .map_or(PLANNED_BLOCK, |block| block.name.as_str());
    Ok(RunDocument {
        run: run.number,
        standard_order: run.standard_order,
        order: run.number,
        block: run
            .labels
            .get(block_name)
            .and_then(|label| label.parse().ok()),
        whole_plot: run.set_up,
        replicate: run.replicate,
        role: run.role.key(),
        settings: run.planned.clone(),
        coded: coded_of(&made.space, &coded),
        feasible,
        binding_limit,
        margin,
        why: if feasible.is_none() { why } else { None },
    })
}

/// Coded settings: numbers as they are, a category of two levels as −1 and +1, of more as the level's number from 1.
fn coded_of(
    space: &FactorSpace,
    point: &CodedPoint,
) -> std::collections::BTreeMap<String, Option<f64>> {
    space
        .factors()
        .iter()
        .zip(&point.0)
        .map(|(factor, value)| {
            let coded = match (value, factor.kind()) {
                (Value::Number(number), _) => finite(*number),
                (Value::Level(level), FactorKind::Categorical { levels }) if levels.len() == 2 => {
                    Some(if *level == 0 { -1.0 } else { 1.0 })
                }
                (Value::Level(level), _) => Some((level + 1) as f64),
            };
            (factor.name().to_owned(), coded)
        })
        .collect()
}

fn search_of(made: &MadePlan) -> Option<SearchDocument> {
    let search = made.design.details.search?;
    let mut reasons = Reasons::default();
    for key in ["d_efficiency", "of_bound"] {
        reasons.add(key, "the plan fills the region and is made for no model");
    }
    let share = (search.n_completed > 0)
        .then(|| search.n_starts_at_best as f64 / search.n_completed as f64);
    if share.is_none() {
        reasons.add("best_start_share", "no start was completed");
    }
    Some(SearchDocument {
        criterion: "maximin",
        value: search.min_distance,
        d_efficiency: None,
        of_bound: None,
        starts: search.n_completed,
        best_start_share: share,
        why: reasons.text(),
    })
}

fn budget_of(totals: &Totals) -> BudgetDocument {
    let mut reasons = Reasons::default();
    if totals.ink_ml.is_none() {
        reasons.add("ink_ml", "flow or speed of some run is not known");
    }
    if totals.hours.is_none() {
        reasons.add("hours", "the speed of some run is not known");
    }
    if totals.fits().is_none() {
        reasons.add("fits", "what there is, or what is needed, is not all known");
    }
    BudgetDocument {
        ink_ml: totals.ink_ml.and_then(finite),
        foil_m: finite(totals.foil_m),
        hours: totals.hours.and_then(finite),
        fits: totals.fits(),
        why: reasons.text(),
    }
}

/// The runs as a table with commas, settings with their units in the heads.
fn csv_of(project: &Project, document: &PlanDocument) -> Result<String, CliError> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let varied: Vec<&SettingEntry> = project.varied().collect();
    let heads = ["run", "block", "set_up", "role"]
        .map(ToOwned::to_owned)
        .into_iter()
        .chain(varied.iter().map(|setting| head_of(setting)));
    let page_error = |reason: String| CliError::Page {
        what: "table",
        reason,
    };
    writer
        .write_record(heads)
        .map_err(|error| page_error(error.to_string()))?;
    let text = |number: Option<u32>| number.map(|n| n.to_string()).unwrap_or_default();
    for run in &document.runs {
        let cells = [
            run.run.to_string(),
            text(run.block),
            text(run.whole_plot),
            run.role.to_owned(),
        ];
        let settings = varied.iter().map(|setting| {
            run.settings
                .get(&setting.id)
                .map(ToString::to_string)
                .unwrap_or_default()
        });
        writer
            .write_record(cells.into_iter().chain(settings))
            .map_err(|error| page_error(error.to_string()))?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| page_error(error.to_string()))?;
    String::from_utf8(bytes).map_err(|error| page_error(error.to_string()))
}

fn head_of(setting: &SettingEntry) -> String {
    if setting.unit.is_empty() {
        setting.id.clone()
    } else {
        format!("{} ({})", setting.id, setting.unit)
    }
}

fn print(document: &PlanDocument, console: &mut Console<'_>) -> Result<(), CliError> {
    console.line(&format!(
        "{} plan of {} runs for the {} model, seed {}",
        document.kind,
        document.runs.len(),
        document.model,
        document.seed
    ))?;
    let has_blocks = document.runs.iter().any(|run| run.block.is_some());
    let has_set_ups = document.runs.iter().any(|run| run.whole_plot.is_some());
    let mut table = TextTable::new(&[("run", Align::Right), ("for", Align::Left)]);
    for (head, _) in [("block", has_blocks), ("set-up", has_set_ups)]
        .into_iter()
        .filter(|(_, is_there)| *is_there)
    {
        table.add_column(head, Align::Right);
    }
    for factor in &document.factors {
        table.add_column(&factor.head(), Align::Right);
    }
    table.add_column("can run", Align::Left);
    for run in &document.runs {
        let settings = document.factors.iter().map(|factor| {
            let value = run.settings.get(factor.name());
            value.map_or_else(String::new, |value| {
                value
                    .number()
                    .map_or_else(|| value.to_string(), short_number)
            })
        });
        let can_run = match (run.feasible, run.binding_limit) {
            (Some(true), _) => "yes".to_owned(),
            (Some(false), Some(limit)) => format!("NO: {}", name_of_key(limit)),
            (Some(false), None) => "NO".to_owned(),
            (None, _) => "?".to_owned(),
        };
        let number = |number: Option<u32>| number.map(|n| n.to_string()).unwrap_or_default();
        table.row(
            [run.run.to_string(), run.role.to_owned()]
                .into_iter()
                .chain(has_blocks.then(|| number(run.block)))
                .chain(has_set_ups.then(|| number(run.whole_plot)))
                .chain(settings)
                .chain([can_run]),
        );
    }
    for line in table.lines() {
        console.line(&line)?;
    }
    let known = |number: Option<f64>, unit: &str| {
        number.map_or_else(
            || "?".to_owned(),
            |number| format!("{} {unit}", plain(number)),
        )
    };
    console.line(&format!(
        "Takes {} of ink, {} of foil, {}.",
        known(document.budget.ink_ml, "mL"),
        known(document.budget.foil_m, "m"),
        known(document.budget.hours, "h")
    ))?;
    for note in document.notes.iter().chain(&document.warnings) {
        console.paragraph(note)?;
    }
    Ok(())
}
