//! `predict`: film qualities at a setting, with intervals, limits and how far the setting lies from the runs.

use crate::campaign::sentence_case::in_sentence;
use std::collections::BTreeMap;
use std::path::Path;

use serde::Serialize;
use wetlane_stats::{ConfidenceLevel, Interval, Known};

use crate::campaign::analysis::{AnalysisError, FitOptions, QualityFit};
use crate::campaign::analysis_table::{from_scale, on_scale};
use crate::campaign::answers::{goal_words, plain};
use crate::campaign::extrapolation::{Extrapolation, extrapolation};
use crate::campaign::feasibility::{Depth, Judge, Judgement};
use crate::campaign::project::{Goal, Project, Quality, QualityKind, SettingValue, Settings};
use crate::campaign::project_file;
use crate::campaign::table_cell::Cell;
use crate::campaign::table_problem::{Located, Problems};
use crate::campaign::table_text::{Table, TableOptions};
use crate::campaign::unit::Unit;

use super::Answer;
use super::arguments::{ModelArgs, PredictArgs};
use super::assignment::{PointSettings, completed, find_setting, point_of, value_of};
use super::console::Console;
use super::document::{AssumedDocument, LimitDocument, Reasons, VERSION, finite, units_of};
use super::error::CliError;
use super::fit::{asked_qualities, fitted, options_of};
use super::limits::settings_words;
use super::read_table::{read_table, table_error};
use super::text_table::{Align, TextTable};

/// Share of all future runs that a tolerance interval holds.
const TOLERANCE_SHARE: ConfidenceLevel = ConfidenceLevel::NINETY_FIVE;

#[derive(Debug, Serialize)]
struct PredictDocument {
    document: &'static str,
    version: u32,
    points: Vec<PointDocument>,
    warnings: Vec<String>,
}

#[derive(Debug, Serialize)]
struct PointDocument {
    settings: Settings,
    units: BTreeMap<String, String>,
    assumed: Vec<AssumedDocument>,
    responses: Vec<ResponseDocument>,
    sound: Option<()>,
    limits: Vec<LimitDocument>,
    feasible: Option<bool>,
    extrapolation: ExtrapolationDocument,
    why: Option<String>,
    warnings: Vec<String>,
}

#[derive(Debug, Serialize)]
struct ResponseDocument {
    name: String,
    unit: String,
    kind: QualityKind,
    value: Option<f64>,
    standard_error: Option<f64>,
    df: Option<usize>,
    low: Option<f64>,
    high: Option<f64>,
    single_low: Option<f64>,
    single_high: Option<f64>,
    tolerance_low: Option<f64>,
    tolerance_high: Option<f64>,
    probability_meets: Option<f64>,
    class_probabilities: Option<()>,
    why: Option<String>,
}

#[derive(Debug, Serialize)]
struct ExtrapolationDocument {
    outside_range: Vec<String>,
    outside_hull: Option<bool>,
    leverage_ratio: Option<f64>,
    why: Option<String>,
}

type Fits<'p> = Vec<(&'p Quality, Result<QualityFit, AnalysisError>)>;

/// Answers `predict`.
///
/// # Errors
/// [`CliError`] for a file, quality, setting or table that is none. A quality that cannot be predicted is no error: the
/// document says why.
pub(super) fn run(arguments: &PredictArgs, console: &mut Console<'_>) -> Result<Answer, CliError> {
    let level = ConfidenceLevel::new(arguments.level)?;
    let project = project_file::open(&arguments.file)?.project;
    let (points, mut warnings) = match &arguments.table {
        Some(table) => points_of_table(&project, table)?,
        None => (vec![point_of(&project, &arguments.at)?], Vec::new()),
    };
    let mut fits = Fits::new();
    for quality in asked_qualities(&project, arguments.response.as_deref())? {
        let options: FitOptions = options_of(&project, quality, &ModelArgs::default(), None)?;
        fits.push((quality, fitted(&project, quality, &options)?));
    }
    if fits.is_empty() {
        warnings.push("The project has no film qualities.".to_owned());
    }
    let mut judge = Judge::new(&project);
    let document = PredictDocument {
        document: "predict",
        version: VERSION,
        points: points
            .iter()
            .map(|point| point_document(&project, &mut judge, &fits, point, level))
            .collect(),
        warnings,
    };
    if arguments.json {
        console.document(&document)?;
    } else {
        print(&project, &document, level, console)?;
    }
    Ok(Answer::Yes)
}

/// The rows of a table as points; columns that are no settings are told and passed over.
fn points_of_table(
    project: &Project,
    path: &Path,
) -> Result<(Vec<PointSettings>, Vec<String>), CliError> {
    let table = read_table(path, &TableOptions::default())?;
    let mut columns = Vec::new();
    let mut warnings = Vec::new();
    for (index, column) in table.columns().iter().enumerate() {
        match find_setting(project, &column.head).or_else(|_| find_setting(project, &column.name)) {
            Ok(setting) => columns.push((index, setting)),
            Err(_) => warnings.push(format!(
                "Column \"{}\" is no setting; it is not used.",
                column.head
            )),
        }
    }
    if columns.is_empty() {
        let first = table.columns().first().map(|column| column.head.clone());
        find_setting(project, &first.unwrap_or_default())?;
    }
    let mut problems: Vec<Located<String>> = Vec::new();
    let mut points = Vec::new();
    for row in table.rows().iter().filter(|row| !row.is_empty()) {
        let mut given = Settings::new();
        for (index, setting) in &columns {
            if table.text(row, *index).is_empty() {
                continue;
            }
            match cell_value(&table, row, *index, setting) {
                Ok(value) => {
                    given.insert(setting.id.clone(), value);
                }
                Err(fault) => problems.push(Located {
                    place: table.cell_place(row, *index),
                    fault,
                }),
            }
        }
        points.push(completed(project, given));
    }
    if problems.is_empty() {
        Ok((points, warnings))
    } else {
        Err(table_error(path, &Problems(problems)))
    }
}

/// A cell as a value of a setting: a number in the unit of the head, a number with a unit of its own, or a level.
fn cell_value(
    table: &Table,
    row: &crate::campaign::table_text::Row,
    column: usize,
    setting: &crate::campaign::project::SettingEntry,
) -> Result<SettingValue, String> {
    let text = table.text(row, column);
    let is_number = matches!(
        setting.variation,
        crate::campaign::project::Variation::Range { .. }
            | crate::campaign::project::Variation::Levels { .. }
    );
    let read = table.number(row, column);
    if let Err(fault) = &read
        && is_number
        && text.parse::<f64>().is_ok()
    {
        // The decimal sign of the column is in doubt, which is worth more than what the cell alone would say.
        return Err(fault.to_string());
    }
    let plain_number = match read {
        Ok(Cell::Number(number)) => Some(number),
        Ok(Cell::Empty | Cell::Below(_) | Cell::Above(_) | Cell::Text(_)) | Err(_) => None,
    };
    let unit = table.columns().get(column).and_then(|c| c.unit.clone());
    let typed = match (plain_number, unit) {
        (Some(number), Some(unit)) if is_number => {
            // The shortest text that reads back as the same number.
            let unit = Unit::parse(&unit).map_or(unit, |known| known.symbol().to_owned());
            format!("{number}{unit}")
        }
        (Some(number), None) if is_number => number.to_string(),
        _ => text.to_owned(),
    };
    value_of(setting, &typed).map_err(|error| error.to_string())
}

fn point_document(
    project: &Project,
    judge: &mut Judge<'_>,
    fits: &Fits<'_>,
    point: &PointSettings,
    level: ConfidenceLevel,
) -> PointDocument {
    let mut reasons = Reasons::default();
    let judged = judge.judge(&point.settings, Depth::Nominal);
    let mut assumed: Vec<AssumedDocument> = point
        .assumed
        .iter()
        .map(|id| AssumedDocument::setting(project, id, &point.settings))
        .collect();
    let feasible = match &judged {
        Ok(judgement) => {
            if let Ok(prepared) = judge.prepared(&point.settings) {
                assumed.extend(AssumedDocument::inputs(&prepared, judgement));
            }
            let feasible = judgement.feasible();
            if feasible.is_none() {
                reasons.add("feasible", "an input of the limits is missing");
            }
            feasible
        }
        Err(error) => {
            reasons.add("feasible", error);
            None
        }
    };
    reasons.add(
        "sound",
        "nothing is learned from sound and faulty films in this version",
    );
    let extrapolation = extrapolation_document(fits, &point.settings);
    PointDocument {
        settings: point.settings.clone(),
        units: units_of(project, &point.settings),
        assumed,
        responses: fits
            .iter()
            .map(|(quality, fit)| response_document(quality, fit, &point.settings, level))
            .collect(),
        sound: None,
        limits: judged.as_ref().map(LimitDocument::all).unwrap_or_default(),
        feasible,
        why: reasons.text(),
        warnings: warnings_of(&extrapolation, judged.as_ref().ok()),
        extrapolation,
    }
}

fn warnings_of(
    extrapolation: &ExtrapolationDocument,
    judgement: Option<&Judgement>,
) -> Vec<String> {
    let mut warnings = Vec::new();
    if let [first, rest @ ..] = extrapolation.outside_range.as_slice() {
        let names: Vec<&str> = std::iter::once(first)
            .chain(rest)
            .map(String::as_str)
            .collect();
        warnings.push(format!(
            "Outside the range of {}; the fit knows nothing there.",
            names.join(", ")
        ));
    } else if extrapolation.outside_hull == Some(true) {
        warnings.push("No runs surround this setting; the fit is extrapolated.".to_owned());
    }
    let broken = judgement.filter(|judgement| judgement.feasible() == Some(false));
    if let Some(limit) = broken.and_then(Judgement::binding) {
        warnings.push(format!(
            "This setting breaks a hard limit: {}.",
            in_sentence(limit.id.label())
        ));
    }
    warnings
}

/// The farthest out of all fits: qualities may have been measured on different runs.
fn extrapolation_document(fits: &Fits<'_>, settings: &Settings) -> ExtrapolationDocument {
    let found: Vec<Extrapolation> = fits
        .iter()
        .filter_map(|(_, fit)| extrapolation(fit.as_ref().ok()?, settings).ok())
        .collect();
    let mut reasons = Reasons::default();
    let ratios: Vec<f64> = found.iter().filter_map(|e| e.leverage_ratio).collect();
    let leverage_ratio = ratios.iter().copied().reduce(f64::max).and_then(finite);
    if found.is_empty() {
        reasons.add("outside_hull", "nothing is fitted");
    }
    if leverage_ratio.is_none() {
        reasons.add(
            "leverage_ratio",
            if found.is_empty() {
                "nothing is fitted"
            } else {
                "the runs cannot separate what this setting asks for"
            },
        );
    }
    ExtrapolationDocument {
        outside_range: found
            .first()
            .map(|e| e.outside_range.clone())
            .unwrap_or_default(),
        outside_hull: (!found.is_empty()).then(|| found.iter().any(|e| e.is_outside_hull)),
        leverage_ratio,
        why: reasons.text(),
    }
}

fn response_document(
    quality: &Quality,
    fit: &Result<QualityFit, AnalysisError>,
    settings: &Settings,
    level: ConfidenceLevel,
) -> ResponseDocument {
    let mut document = ResponseDocument {
        name: quality.id.clone(),
        unit: quality.unit.clone(),
        kind: quality.kind,
        value: None,
        standard_error: None,
        df: None,
        low: None,
        high: None,
        single_low: None,
        single_high: None,
        tolerance_low: None,
        tolerance_high: None,
        probability_meets: None,
        class_probabilities: None,
        why: None,
    };
    match fit {
        Ok(fit) => {
            if let Err(error) = fill_response(&mut document, fit, settings, level) {
                document.why = Some(error.to_string());
            }
        }
        Err(error) => document.why = Some(error.to_string()),
    }
    document
}

fn fill_response(
    document: &mut ResponseDocument,
    fit: &QualityFit,
    settings: &Settings,
    level: ConfidenceLevel,
) -> Result<(), AnalysisError> {
    let predicted = fit.predict_on_scale(settings)?;
    let own = fit.in_own_unit(&predicted, level);
    let mut reasons = Reasons::default();
    document.value = reasons.number("value", &own.value);
    document.standard_error = reasons.number("standard_error", &own.standard_error);
    document.df = Some(own.df);
    (document.low, document.high) = both_ends(&mut reasons, ["low", "high"], &own.mean);
    (document.single_low, document.single_high) =
        both_ends(&mut reasons, ["single_low", "single_high"], &own.single);
    let tolerance = predicted
        .tolerance_interval(TOLERANCE_SHARE, level)
        .map(|interval| Interval {
            low: from_scale(interval.low, fit.scale),
            high: from_scale(interval.high, fit.scale),
        });
    (document.tolerance_low, document.tolerance_high) = both_ends(
        &mut reasons,
        ["tolerance_low", "tolerance_high"],
        &tolerance,
    );
    match ends_of_goal(fit.quality.goal, fit) {
        Some((low, high)) => {
            let chance = predicted.chance_of_single_between(low, high);
            document.probability_meets = reasons.number("probability_meets", &chance);
        }
        None => reasons.add("probability_meets", "no goal that is met or missed"),
    }
    if fit.quality.kind == QualityKind::Class {
        reasons.add(
            "class_probabilities",
            "classes are fitted as numbers in this version",
        );
    } else {
        reasons.add("class_probabilities", "no classes");
    }
    document.why = reasons.text();
    Ok(())
}

fn both_ends(
    reasons: &mut Reasons,
    keys: [&'static str; 2],
    interval: &Known<Interval>,
) -> (Option<f64>, Option<f64>) {
    let [low_key, high_key] = keys;
    let end = |pick: fn(&Interval) -> f64| interval.as_ref().map(pick);
    (
        reasons.number(low_key, &end(|interval| interval.low)),
        reasons.number(high_key, &end(|interval| interval.high)),
    )
}

/// The ends of a goal on the fitted scale. An end that the scale does not reach, such as 0 for a logarithm, is beyond
/// all values.
fn ends_of_goal(goal: Goal, fit: &QualityFit) -> Option<(f64, f64)> {
    let (low, high) = goal.interval()?;
    let on = |end: f64| {
        if end.is_finite() {
            on_scale(end, fit.scale).unwrap_or(f64::NEG_INFINITY)
        } else {
            end
        }
    };
    Some((on(low), on(high)))
}

fn print(
    project: &Project,
    document: &PredictDocument,
    level: ConfidenceLevel,
    console: &mut Console<'_>,
) -> Result<(), CliError> {
    for (index, point) in document.points.iter().enumerate() {
        if index > 0 {
            console.line("")?;
        }
        console.paragraph(&settings_words(project, &point.settings))?;
        print_point(project, point, level, console)?;
    }
    for warning in &document.warnings {
        console.line(warning)?;
    }
    console.line("Local codes and licensed practice prevail.")
}

fn print_point(
    project: &Project,
    point: &PointDocument,
    level: ConfidenceLevel,
    console: &mut Console<'_>,
) -> Result<(), CliError> {
    let percent = 100.0 * level.level();
    let interval = format!("mean, {percent} %");
    let single = format!("one run, {percent} %");
    let mut table = TextTable::new(&[
        ("film quality", Align::Left),
        ("value", Align::Right),
        (&interval, Align::Right),
        (&single, Align::Right),
        ("wanted", Align::Left),
        ("chance", Align::Right),
        ("", Align::Left),
    ]);
    let between = |low: Option<f64>, high: Option<f64>| match (low, high) {
        (Some(low), Some(high)) => format!("{} to {}", plain(low), plain(high)),
        _ => String::new(),
    };
    for response in &point.responses {
        let quality = project.quality(&response.name);
        table.row([
            response.name.clone(),
            response.value.map_or_else(String::new, |value| {
                format!("{} {}", plain(value), response.unit)
                    .trim_end()
                    .to_owned()
            }),
            between(response.low, response.high),
            between(response.single_low, response.single_high),
            quality.map_or_else(String::new, |q| goal_words(q.goal, &q.unit)),
            response
                .probability_meets
                .map_or_else(String::new, |chance| format!("{:.0} %", 100.0 * chance)),
            match response.value {
                Some(_) => String::new(),
                None => response.why.clone().unwrap_or_default(),
            },
        ]);
    }
    for line in table.lines() {
        console.line(&line)?;
    }
    let verdict = match point.feasible {
        Some(true) => "All hard limits hold.".to_owned(),
        Some(false) => "A hard limit is broken.".to_owned(),
        None => format!(
            "Limits not judged: {}.",
            point.why.as_deref().unwrap_or("an input is missing")
        ),
    };
    console.line(&verdict)?;
    for warning in &point.warnings {
        console.line(warning)?;
    }
    Ok(())
}
