//! The run sheet: what to turn before each run, where its film lies on the roll, and boxes for what came of it.
//!
//! [`sheet`] gathers it as data; [`RunSheet::to_html`] prints it and [`RunSheet::to_csv`] writes it as a table. What a
//! machine has no knob for (wet thickness, dose, seconds in the dryer) stands beside the knob that follows from it.

mod knob_columns;
mod layout;
mod page;
mod table;

use std::collections::BTreeMap;

use wetlane_physics::Verdict;

use self::knob_columns::{KnobColumn, knob_columns};
use super::card::Field;
use super::check_word::check_word;
use super::decimals::shared_decimals;
use super::feasibility::{Judgement, RunJudgement};
use super::limit_words::in_short;
use super::moves_along::moves_in_words;
use super::project::{
    Outcome, PlanRecord, Project, QualityKind, ReadingValue, Run, RunRole, SettingValue, Settings,
    StationKind, WebMode,
};
use super::resolve::resolve;
use super::roll::{Roll, RunOnRoll, SetUpBar, Totals, lay_out};
use super::roll_figure::foil_strip;
use super::sentence_case::in_sentence;
use crate::figure::foil_strip::FoilStrip;
use crate::figure::web_line::{Station, Stop};
use crate::number_text::format_number;

/// A run sheet as data.
#[derive(Debug, Clone, PartialEq)]
pub struct RunSheet {
    /// Title of the project.
    pub title: String,
    /// Kind, date, algorithm and seed of the plan, in words.
    pub plan: String,
    /// The word that the sheet shares with its file.
    pub check_word: String,
    /// The stations in web order with what stays as it is.
    pub stops: Vec<Stop>,
    /// What stays as it is for all runs.
    pub fixed: Vec<FixedSetting>,
    /// What moves along with the settings although nobody sets it.
    pub moves: Option<String>,
    /// What is turned from run to run.
    pub columns: Vec<SheetColumn>,
    /// The runs in run order.
    pub rows: Vec<SheetRow>,
    /// Film qualities with their places, one box a run each.
    pub readings: Vec<ReadingColumn>,
    /// Foil lost before the first run (m).
    pub leader_m: f64,
    /// Minutes until the first run.
    pub start_minutes: f64,
    /// Ink, foil and time in all, against what there is.
    pub totals: Totals,
    /// The roll to scale.
    pub strip: FoilStrip,
    /// Cautions, each with the numbers of the run that asks most; the last is the closing sentence.
    pub cautions: Vec<String>,
}

/// A setting that stays as it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FixedSetting {
    /// Name.
    pub label: String,
    /// Value with its unit.
    pub value: String,
}

/// A column of settings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetColumn {
    /// Name of the knob that is turned.
    pub label: String,
    /// Its unit.
    pub unit: String,
    /// Name and unit of what was asked for, if the knob only follows from it.
    pub asked: Option<(String, String)>,
}

/// One setting of one run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetCell {
    /// What to set, as written on the sheet; empty if it is not known.
    pub knob: String,
    /// Whether it differs from the run before: this is to be turned.
    pub is_changed: bool,
    /// What was asked for, if the knob only follows from it.
    pub asked: String,
}

/// One run.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetRow {
    /// Run number.
    pub run: u32,
    /// What it is for.
    pub role: RunRole,
    /// The stop before it.
    pub set_up: Option<SetUpBar>,
    /// Minutes until it starts, if it is the first run.
    pub first_minutes: Option<f64>,
    /// Settings, one a column.
    pub cells: Vec<SheetCell>,
    /// Metre at which its settling starts.
    pub start_m: f64,
    /// Metre at which its sample starts.
    pub sample_start_m: f64,
    /// Metre at which its sample ends.
    pub end_m: f64,
    /// Ink it takes (mL); `None` if that is not known.
    pub ink_ml: Option<f64>,
    /// Ink used up to its end (mL).
    pub ink_used_ml: f64,
    /// Minutes it takes, its set-up included; `None` if that is not known.
    pub minutes: Option<f64>,
    /// Minutes passed up to its end.
    pub minutes_passed: f64,
    /// Name of the binding limit; empty if nothing is known.
    pub limit: String,
    /// Margin of the binding limit.
    pub margin: Option<f64>,
    /// Whether it can run; `None` if that is not known.
    pub feasible: Option<bool>,
    /// The limit in words: what binds, what breaks, why it is run all the same, or what is not known.
    pub remark: String,
    /// Settings that were pulled to a feasible place, in words.
    pub pulled: Vec<String>,
    /// What was written down already.
    pub done: Done,
    /// Readings there are already, one a column of [`RunSheet::readings`]; empty where there is none.
    pub readings: Vec<String>,
}

/// What was written down of a run already.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Done {
    /// What became of it.
    pub outcome: Outcome,
    /// Metre at which its sample starts, as written down.
    pub metre: Option<f64>,
    /// When it was run.
    pub time: String,
    /// Remarks.
    pub note: String,
    /// Settings that differed from the sheet, in words.
    pub off_plan: Vec<String>,
}

/// A box for readings: a film quality at a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReadingColumn {
    /// Id of the quality.
    pub quality: String,
    /// Name of the quality.
    pub label: String,
    /// Unit, or the classes in order.
    pub unit: String,
    /// Place on the film; empty if places are not told apart.
    pub place: String,
}

/// What ends the cautions where no run could be judged.
const CLOSING: &str = "Local codes and licensed practice prevail.";

/// Gathers the run sheet of a project. `judgements` are those of its runs, in any order; a run without one is marked as
/// not judged.
pub fn sheet(project: &Project, judgements: &[RunJudgement]) -> RunSheet {
    let roll = lay_out(project);
    let by_run: BTreeMap<u32, &RunJudgement> = judgements
        .iter()
        .map(|judged| (judged.run, judged))
        .collect();
    let knobs = knob_columns(project);
    let readings = reading_columns(project);
    RunSheet {
        title: project.title.clone(),
        plan: plan_words(project),
        check_word: check_word(project),
        stops: line_stops(project),
        fixed: fixed_settings(project, &knobs),
        columns: knobs.iter().map(|knob| knob.heading.clone()).collect(),
        rows: rows(project, &roll, &by_run, &knobs, &readings),
        readings,
        leader_m: roll.leader_m,
        start_minutes: project.budget.start_minutes,
        strip: foil_strip(project, &roll, judgements),
        totals: roll.totals,
        moves: moves_in_words(project, judgements),
        cautions: all_cautions(judgements),
    }
}

fn rows(
    project: &Project,
    roll: &Roll,
    judged: &BTreeMap<u32, &RunJudgement>,
    knobs: &[KnobColumn],
    readings: &[ReadingColumn],
) -> Vec<SheetRow> {
    let mut before: Vec<Option<String>> = vec![None; knobs.len()];
    let mut rows = Vec::with_capacity(project.runs.len());
    for (index, (run, place)) in project.runs.iter().zip(&roll.runs).enumerate() {
        let cells: Vec<SheetCell> = knobs
            .iter()
            .zip(&mut before)
            .map(|(knob, before)| knob.cell(index, before))
            .collect();
        rows.push(row(
            project,
            run,
            place,
            judged.get(&run.number).copied(),
            cells,
            readings,
        ));
    }
    rows
}

fn row(
    project: &Project,
    run: &Run,
    place: &RunOnRoll,
    judged: Option<&RunJudgement>,
    cells: Vec<SheetCell>,
    readings: &[ReadingColumn],
) -> SheetRow {
    let judgement = judged.and_then(|judged| judged.judgement.as_ref().ok());
    let binding = judgement.and_then(Judgement::binding);
    let is_first = project
        .runs
        .first()
        .is_some_and(|first| first.number == run.number);
    SheetRow {
        run: run.number,
        role: run.role,
        set_up: place.set_up.clone(),
        first_minutes: is_first.then_some(project.budget.start_minutes),
        cells,
        start_m: place.start_m,
        sample_start_m: place.sample_start_m,
        end_m: place.end_m,
        ink_ml: place.ink_ml,
        ink_used_ml: place.ink_used_ml,
        minutes: place.minutes,
        minutes_passed: place.minutes_passed,
        limit: binding.map_or_else(String::new, |limit| limit.id.label().to_owned()),
        margin: judgement.and_then(Judgement::margin),
        feasible: judged.and_then(RunJudgement::feasible),
        remark: remark(run, judged),
        pulled: pulled(project, run),
        done: done(project, run),
        readings: readings
            .iter()
            .map(|column| {
                present_readings(run, column, decimals_of_quality(project, &column.quality))
            })
            .collect(),
    }
}

/// What binds or breaks, in words.
fn remark(run: &Run, judged: Option<&RunJudgement>) -> String {
    let Some(judged) = judged else {
        return "not judged".to_owned();
    };
    let limit = match &judged.judgement {
        Err(error) => format!("not judged: {error}"),
        Ok(judgement) => limit_words(judgement, judged),
    };
    match &run.on_purpose {
        Some(reason) => format!("kept on purpose: {reason} ({limit})"),
        None => limit,
    }
}

fn limit_words(judgement: &Judgement, judged: &RunJudgement) -> String {
    if let Some(why) = judged.why_unknown() {
        return format!("not known: {why}");
    }
    let broken = judgement.broken();
    if !broken.is_empty() {
        let words: Vec<String> = broken
            .iter()
            .map(|limit| in_short(limit, &judgement.assessment))
            .collect();
        return format!("cannot run: {}", words.join("; "));
    }
    let Some(binding) = judgement.binding() else {
        return "no limit known".to_owned();
    };
    let margin = judgement
        .margin()
        .map_or_else(String::new, |margin| format_number(margin, 2));
    let words = format!("{}, margin {margin}", in_sentence(binding.id.label()));
    if judgement.verdict() == Verdict::Marginal {
        let inputs: Vec<String> = judgement
            .assessment
            .rests_on
            .iter()
            .map(|input| in_sentence(input.label()))
            .collect();
        return format!("{words}; hangs on assumed {}", inputs.join(", "));
    }
    words
}

fn pulled(project: &Project, run: &Run) -> Vec<String> {
    changes(project, &run.pulled, |id| run.planned.get(id))
}

/// Settings that differ from others, in words: "speed 1.25 instead of 2.4 m/min".
fn changes<'a>(
    project: &Project,
    settings: &Settings,
    instead_of: impl Fn(&str) -> Option<&'a SettingValue>,
) -> Vec<String> {
    settings
        .iter()
        .filter_map(|(id, value)| {
            let other = instead_of(id).filter(|other| *other != value)?;
            let setting = project.setting(id);
            let label = setting.map_or(id.as_str(), |setting| setting.label.as_str());
            let unit = setting.map_or("", |setting| setting.unit.as_str());
            Some(
                format!("{} {value} instead of {other} {unit}", in_sentence(label))
                    .trim_end()
                    .to_owned(),
            )
        })
        .collect()
}

fn done(project: &Project, run: &Run) -> Done {
    Done {
        outcome: run.outcome.clone(),
        metre: run.metre,
        time: run.time.clone(),
        note: run.note.clone(),
        off_plan: changes(project, &run.as_run, |id| run.target(id)),
    }
}

fn reading_columns(project: &Project) -> Vec<ReadingColumn> {
    let mut columns = Vec::new();
    for quality in project
        .qualities
        .iter()
        .filter(|quality| quality.kind != QualityKind::Sound)
    {
        let unit = if quality.classes.is_empty() {
            quality.unit.clone()
        } else {
            quality.classes.join(", ")
        };
        let places = if quality.places.is_empty() {
            vec![String::new()]
        } else {
            quality.places.clone()
        };
        columns.extend(places.into_iter().map(|place| ReadingColumn {
            quality: quality.id.clone(),
            label: quality.label.clone(),
            unit: unit.clone(),
            place,
        }));
    }
    columns
}

/// The readings of a run that belong into a box, repeats in their order.
fn present_readings(run: &Run, column: &ReadingColumn, n_decimals: usize) -> String {
    let values: Vec<String> = run
        .readings
        .iter()
        .filter(|reading| reading.quality == column.quality && reading.place == column.place)
        .map(|reading| written_reading(&reading.value, n_decimals))
        .collect();
    values.join("; ")
}

/// Decimals for all readings of a quality.
pub(super) fn decimals_of_quality(project: &Project, quality: &str) -> usize {
    let readings = project.runs.iter().flat_map(|run| &run.readings);
    let numbers = readings
        .filter(|reading| reading.quality == quality)
        .filter_map(|reading| match reading.value {
            ReadingValue::Exact(value)
            | ReadingValue::Below(value)
            | ReadingValue::Above(value) => Some(value),
            ReadingValue::Class(_) => None,
        });
    shared_decimals(numbers)
}

/// A reading as people write it.
pub(super) fn written_reading(value: &ReadingValue, n_decimals: usize) -> String {
    match value {
        ReadingValue::Exact(number) => format_number(*number, n_decimals),
        ReadingValue::Below(number) => format!("< {}", format_number(*number, n_decimals)),
        ReadingValue::Above(number) => format!("> {}", format_number(*number, n_decimals)),
        ReadingValue::Class(name) => name.clone(),
    }
}

/// "plan of 2026-05-04 09:30 UTC, full-factorial, algorithm 1, seed 7".
fn plan_words(project: &Project) -> String {
    match &project.plan {
        Some(plan) => plan_record_words(plan),
        None => format!("no frozen plan, seed {}", project.seed),
    }
}

fn plan_record_words(plan: &PlanRecord) -> String {
    format!(
        "plan of {}, {}, algorithm {}, seed {}",
        moment(&plan.frozen_at),
        plan.kind,
        plan.algorithm_version,
        plan.seed
    )
}

/// A moment as people write it: `2026-05-04T09:30:00Z` becomes "2026-05-04 09:30 UTC"; other text stays.
pub(super) fn moment(text: &str) -> String {
    match (
        text.get(..10),
        text.get(10..11),
        text.get(11..16),
        text.ends_with('Z'),
    ) {
        (Some(day), Some("T"), Some(time), true) => format!("{day} {time} UTC"),
        _ => text.to_owned(),
    }
}

/// Settings that do not change between the runs, with the knob that follows where there is one.
fn fixed_settings(project: &Project, columns: &[KnobColumn]) -> Vec<FixedSetting> {
    let followed = resolve(project, &project.cross()).ok();
    project
        .settings
        .iter()
        .filter(|setting| !columns.iter().any(|column| column.setting == setting.id))
        .map(|setting| {
            let value = format!("{} {}", setting.now, setting.unit)
                .trim_end()
                .to_owned();
            let knobs = setting.role.knobs_under(project.head_kind());
            let knob = followed.as_ref().and_then(|now| now.followed_of(&knobs));
            match knob {
                Some(knob) => {
                    let number = super::answers::plain(knob.quantity.value);
                    FixedSetting {
                        label: knob.role.label().to_owned(),
                        value: format!(
                            "{number} {} ({} {value})",
                            knob.quantity.unit,
                            in_sentence(&setting.label)
                        ),
                    }
                }
                None => FixedSetting {
                    label: setting.label.clone(),
                    value,
                },
            }
        })
        .collect()
}

/// The stations in web order with a word about each.
pub(super) fn line_stops(project: &Project) -> Vec<Stop> {
    let Some(line) = &project.line else {
        return Vec::new();
    };
    let stop = |station, name: &str, lines: Vec<String>| Stop {
        station,
        name: name.to_owned(),
        lines,
    };
    let is_roll = line.web == WebMode::RollToRoll;
    let first = if is_roll {
        Station::Unwinder
    } else {
        Station::Clamp
    };
    let foil = vec![project.foil.name.clone()];
    let mut stops = vec![stop(first, if is_roll { "Unwinder" } else { "Roll" }, foil)];
    for station in &line.stations {
        let card = &station.card;
        let quantity = |field: Field| card.number(field).map(|entry| entry.quantity().to_string());
        let lines = |texts: [Option<String>; 2]| texts.into_iter().flatten().collect();
        stops.push(match station.kind {
            StationKind::Plasma => {
                let width = quantity(Field::ElectrodeWidth).map(|width| format!("{width} wide"));
                stop(Station::Plasma, "Plasma", lines([width, None]))
            }
            StationKind::SlotDie
            | StationKind::Knife
            | StationKind::WireBar
            | StationKind::Gravure
            | StationKind::Flexo => {
                let width = quantity(Field::CoatedWidth).map(|width| format!("{width} wide"));
                stop(
                    picture_of_head(station.kind),
                    "Head",
                    lines([Some(project.ink.name.clone()), width]),
                )
            }
            StationKind::HeatedRoller => stop(Station::HeatedRoller, "Heated roller", Vec::new()),
            StationKind::Infrared => {
                let length = quantity(Field::InfraredLength);
                stop(Station::Infrared, "Infrared", lines([length, None]))
            }
            StationKind::Laminator => {
                let laid = card.word(Field::LaidMaterial).and_then(|word| {
                    let words = Field::LaidMaterial.words();
                    let found = words.iter().find(|(key, _)| *key == word);
                    found.map(|(_, label)| (*label).to_owned())
                });
                let thickness = quantity(Field::LaidThickness);
                stop(Station::Laminator, "Laminator", lines([laid, thickness]))
            }
            StationKind::Ultraviolet => {
                let window = quantity(Field::UvWindow);
                stop(Station::Ultraviolet, "UV lamp", lines([window, None]))
            }
            StationKind::HotGasDryer => {
                let length = quantity(Field::DryerLength);
                let gas = card.word(Field::Gas).map(ToOwned::to_owned);
                stop(Station::HotGasDryer, "Dryer", lines([length, gas]))
            }
        });
    }
    let last = if is_roll {
        Station::Rewinder
    } else {
        Station::Clamp
    };
    stops.push(stop(
        last,
        if is_roll { "Rewinder" } else { "" },
        Vec::new(),
    ));
    stops
}

const fn picture_of_head(kind: StationKind) -> Station {
    match kind {
        StationKind::Knife => Station::Knife,
        StationKind::WireBar => Station::WireBar,
        StationKind::Gravure | StationKind::Flexo => Station::EngravedRoll,
        _ => Station::SlotDie,
    }
}

/// The cautions of all runs, each once, with the numbers of the run that asks most; the closing sentence last.
pub(super) fn all_cautions(judgements: &[RunJudgement]) -> Vec<String> {
    let mut texts: Vec<(String, f64, String)> = Vec::new();
    let mut closing = CLOSING.to_owned();
    for judgement in judgements
        .iter()
        .filter_map(|judged| judged.judgement.as_ref().ok())
    {
        let resolved = &judgement.resolved;
        let mut own =
            wetlane_physics::cautions(&resolved.line, &resolved.setting, &judgement.assessment);
        if let Some(last) = own.pop() {
            closing = last;
        }
        for text in own {
            let (shape, number) = (without_numbers(&text), first_number(&text));
            match texts.iter_mut().find(|(known, ..)| *known == shape) {
                Some((_, most, known)) if number > *most => {
                    *most = number;
                    *known = text;
                }
                Some(_) => {}
                None => texts.push((shape, number, text)),
            }
        }
    }
    let mut cautions: Vec<String> = texts.into_iter().map(|(.., text)| text).collect();
    cautions.push(closing);
    cautions
}

fn without_numbers(text: &str) -> String {
    text.chars()
        .filter(|character| !character.is_ascii_digit() && *character != '.')
        .collect()
}

fn first_number(text: &str) -> f64 {
    let start = text.find(|character: char| character.is_ascii_digit());
    let digits: String = start
        .and_then(|start| text.get(start..))
        .unwrap_or_default()
        .chars()
        .take_while(|character| character.is_ascii_digit() || *character == '.')
        .collect();
    digits.trim_end_matches('.').parse().unwrap_or(0.0)
}

impl RunSheet {
    /// The sheet as one HTML document that prints on A4 or Letter, landscape.
    pub fn to_html(&self) -> String {
        page::write(self)
    }

    /// The sheet as comma-separated values (RFC 4180), one row a run, with a byte order mark.
    pub fn to_csv(&self) -> String {
        table::write(self)
    }
}
