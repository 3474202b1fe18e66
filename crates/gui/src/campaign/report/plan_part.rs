//! What was known, wanted, planned, run and read: cards, settings, the plan, readings and history.

use super::ReportInput;
use super::front::with_unit;
use crate::campaign::answers::goal_words;
use crate::campaign::card::{Card, Entry, Field};
use crate::campaign::decimals::shared_decimals;
use crate::campaign::html::{Cell, Html, Table};
use crate::campaign::project::{
    EffortClass, Importance, Outcome, PlanRecord, Project, QualityKind, QualityScale, Question,
    Reading, Run, SettingEntry, SettingValue, Variation,
};
use crate::campaign::run_sheet::{decimals_of_quality, moment, written_reading};
use crate::campaign::sentence_case::in_sentence;
use crate::number_text::format_number;

/// Columns of readings that stand beside each other on an upright page.
const READINGS_ACROSS: usize = 8;
/// Columns of settings that stand beside each other on an upright page.
const SETTINGS_ACROSS: usize = 9;

/// Ink, foil and line, each value with how it is known.
pub(super) fn cards(page: &mut Html, input: &ReportInput<'_>) {
    let project = input.project;
    ReportInput::section(page, "Ink, foil and line", |page| {
        page.element("div", "cards", |page| {
            card(page, "Ink", &project.ink);
            card(page, "Foil", &project.foil);
            if let Some(line) = &project.line {
                card(page, "Line", &line.card);
                for station in &line.stations {
                    card(page, "Station", &station.card);
                }
            }
        });
    });
}

fn card(page: &mut Html, kind: &str, card: &Card) {
    page.element("div", "card", |page| {
        page.element("h3", "", |page| {
            page.text(kind);
            page.text(": ");
            page.typed(&card.name);
        });
        let mut table = Table::new().words("").numbers("", "").words("");
        for (field, entry) in &card.fields {
            table.row(card_row(*field, entry));
        }
        table.write(page, "");
        if !card.note.is_empty() {
            page.leaf("p", "quiet", &card.note);
        }
    });
}

fn card_row(field: Field, entry: &Entry) -> Vec<Cell> {
    match entry {
        Entry::Number(number) => {
            let value = with_unit(&SettingValue::Number(number.value), number.unit.symbol());
            vec![
                field.label().into(),
                value.into(),
                Cell::classed(number.known.label(), "quiet"),
            ]
        }
        Entry::Word(word) => {
            let words = field.words();
            let shown = words
                .iter()
                .find(|(key, _)| key == word)
                .map_or(word.as_str(), |(_, label)| *label);
            vec![field.label().into(), shown.into(), Cell::default()]
        }
    }
}

/// Settings with ranges and effort; film qualities with goals.
pub(super) fn settings(page: &mut Html, input: &ReportInput<'_>) {
    let project = input.project;
    ReportInput::kept_section(page, "Settings", |page| {
        let mut table = Table::new()
            .words("setting")
            .words("unit")
            .words("varied")
            .numbers("present", "")
            .words("a change");
        for setting in &project.settings {
            table.row(setting_row(setting));
        }
        table.write(page, "");
    });
    ReportInput::kept_section(page, "Goals", |page| {
        let mut table = Table::new()
            .words("film quality")
            .words("unit")
            .words("wanted")
            .words("")
            .words("read at")
            .words("fitted as");
        for quality in &project.qualities {
            let importance = match quality.importance {
                Importance::Must => "must",
                Importance::Wish => "wish",
            };
            let scale = match (quality.kind, quality.scale) {
                (QualityKind::Sound, _) => "sound or faulty",
                (_, QualityScale::Plain) => "as read",
                (_, QualityScale::Log) => "natural logarithm",
                (_, QualityScale::Sqrt) => "square root",
            };
            table.row([
                quality.label.as_str().into(),
                quality.unit.as_str().into(),
                goal_words(quality.goal, &quality.unit).into(),
                importance.into(),
                quality.places.join(", ").into(),
                scale.into(),
            ]);
        }
        table.write(page, "");
    });
}

fn setting_row(setting: &SettingEntry) -> Vec<Cell> {
    let effort = match setting.effort.class {
        EffortClass::OnTheFly => setting.effort.class.label().to_owned(),
        class => format!("{}, {} min", class.label(), setting.effort.minutes),
    };
    let present = SettingValue::to_string(&setting.now).replace('-', "\u{2212}");
    vec![
        setting.label.as_str().into(),
        setting.unit.as_str().into(),
        variation_words(&setting.variation).into(),
        present.into(),
        effort.into(),
    ]
}

fn variation_words(variation: &Variation) -> String {
    match variation {
        Variation::Fixed => "fixed".to_owned(),
        Variation::Range { low, high, log } => {
            format!("{low} to {high}{}", if *log { ", by ratios" } else { "" })
                .replace('-', "\u{2212}")
        }
        Variation::Levels { levels } => levels
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join(", ")
            .replace('-', "\u{2212}"),
        Variation::Categories { levels } => levels.join(", "),
    }
}

/// The plan as it was made, and every run as it was run.
pub(super) fn plan(page: &mut Html, input: &ReportInput<'_>) {
    ReportInput::kept_section(page, "Plan as made", |page| match &input.project.plan {
        Some(plan) => plan_record(page, plan),
        None => page.leaf(
            "p",
            "quiet",
            "No plan was frozen; the runs were entered one by one or came from a table.",
        ),
    });
    ReportInput::section(page, "Plan as run", |page| {
        if input.project.runs.is_empty() {
            page.leaf("p", "quiet", "No runs yet.");
            return;
        }
        let varied: Vec<&SettingEntry> = input.project.varied().collect();
        for settings in varied.chunks(SETTINGS_ACROSS) {
            runs_table(page, input.project, settings);
        }
        page.leaf("p", "quiet", "Bold: pulled to where it can run, or run otherwise than planned; the planned value stands in brackets.");
    });
}

fn plan_record(page: &mut Html, plan: &PlanRecord) {
    let question = match plan.question {
        Question::WhichMatter => "which settings matter",
        Question::MapTheResponse => "map the response",
        Question::UnknownWindow => "where it can run at all",
        Question::FindTheBest => "find the best point",
    };
    let model = if plan.model.is_empty() {
        "open"
    } else {
        plan.model.as_str()
    };
    let mut table = Table::new().words("").words("");
    for (name, value) in [
        ("question", question.to_owned()),
        ("kind", plan.kind.clone()),
        ("made for the model", model.to_owned()),
        ("seed", plan.seed.to_string()),
        (
            "version of the algorithm",
            plan.algorithm_version.to_string(),
        ),
        ("frozen", moment(&plan.frozen_at)),
    ] {
        table.row([name.into(), value.into()]);
    }
    for (name, value) in &plan.options {
        table.row([name.replace('_', " ").into(), value.as_str().into()]);
    }
    table.write(page, "narrow");
    for note in &plan.notes {
        page.leaf("p", "", note);
    }
}

fn runs_table(page: &mut Html, project: &Project, settings: &[&SettingEntry]) {
    let mut table = Table::new().numbers("run", "").words("role");
    for setting in settings {
        table = table.numbers(in_sentence(&setting.label), setting.unit.clone());
    }
    table = table.words("film").words("note");
    let decimals: Vec<usize> = settings
        .iter()
        .map(|setting| decimals_of_setting(project, &setting.id))
        .collect();
    for run in &project.runs {
        let mut cells: Vec<Cell> = vec![
            run.number.to_string().into(),
            Cell::classed(run.role.key(), "value"),
        ];
        let pairs = settings.iter().zip(&decimals);
        cells
            .extend(pairs.map(|(setting, n_decimals)| setting_cell(run, &setting.id, *n_decimals)));
        cells.push(film_cell(&run.outcome));
        let purpose = run
            .on_purpose
            .as_ref()
            .map(|reason| format!("kept on purpose: {reason}"));
        let notes: Vec<String> = purpose
            .into_iter()
            .chain((!run.note.is_empty()).then(|| run.note.clone()))
            .collect();
        cells.push(notes.join("; ").into());
        table.row(cells);
    }
    table.write(page, "small");
}

fn setting_cell(run: &Run, id: &str, n_decimals: usize) -> Cell {
    let text = |value: &SettingValue| match value {
        SettingValue::Number(number) => format_number(*number, n_decimals),
        SettingValue::Level(level) => level.clone(),
    };
    match (run.setting(id), run.planned.get(id)) {
        (Some(as_run), Some(planned)) if as_run != planned => Cell::classed(
            format!("{} ({})", text(as_run), text(planned)),
            "number strong",
        ),
        (Some(as_run), _) => text(as_run).into(),
        (None, _) => Cell::default(),
    }
}

/// Decimals for all values of a setting, planned and run.
fn decimals_of_setting(project: &Project, id: &str) -> usize {
    let values = project
        .runs
        .iter()
        .flat_map(|run| [run.setting(id), run.planned.get(id)]);
    shared_decimals(values.flatten().filter_map(SettingValue::number))
}

fn film_cell(outcome: &Outcome) -> Cell {
    match outcome {
        Outcome::NotRun => Cell::classed("not run", "quiet"),
        Outcome::Sound => "sound".into(),
        Outcome::Faulty { faults } if faults.is_empty() => Cell::classed("faulty", "warn"),
        Outcome::Faulty { faults } => {
            Cell::classed(format!("faulty: {}", faults.join(", ")), "warn")
        }
    }
}

/// Every reading by run, quality and place; what was set aside or replaced stands below with the reason.
pub(super) fn readings(page: &mut Html, input: &ReportInput<'_>) {
    let project = input.project;
    ReportInput::section(page, "Readings", |page| {
        let columns = reading_places(project);
        if project.runs.iter().all(|run| run.readings.is_empty()) {
            page.leaf("p", "quiet", "No readings yet.");
            return;
        }
        for columns in columns.chunks(READINGS_ACROSS) {
            readings_table(page, project, columns);
        }
        aside(page, project);
    });
}

/// Quality id, heading, unit and place of every column that has a reading, in the order of the project.
fn reading_places(project: &Project) -> Vec<(String, String, String, String)> {
    let mut columns = Vec::new();
    for quality in &project.qualities {
        let mut places: Vec<&str> = quality.places.iter().map(String::as_str).collect();
        for reading in project.runs.iter().flat_map(|run| &run.readings) {
            if reading.quality == quality.id && !places.contains(&reading.place.as_str()) {
                places.push(&reading.place);
            }
        }
        for place in places {
            let heading = if place.is_empty() {
                quality.label.clone()
            } else {
                format!("{}, {place}", quality.label)
            };
            columns.push((
                quality.id.clone(),
                heading,
                quality.unit.clone(),
                place.to_owned(),
            ));
        }
    }
    columns
}

fn readings_table(
    page: &mut Html,
    project: &Project,
    columns: &[(String, String, String, String)],
) {
    let mut table = Table::new().numbers("run", "");
    for (_, heading, unit, _) in columns {
        table = table.numbers(heading.as_str(), unit.as_str());
    }
    let decimals: Vec<usize> = columns
        .iter()
        .map(|(quality, ..)| decimals_of_quality(project, quality))
        .collect();
    for run in &project.runs {
        let cells = columns
            .iter()
            .zip(&decimals)
            .map(|((quality, _, _, place), n_decimals)| {
                let readings = run.readings.iter();
                let here = readings
                    .filter(|reading| reading.quality == *quality && reading.place == *place);
                let values: Vec<String> = here
                    .map(|reading| reading_words(reading, *n_decimals))
                    .collect();
                Cell::from(values.join("; "))
            });
        table.row(std::iter::once(Cell::from(run.number.to_string())).chain(cells));
    }
    table.write(page, "small");
}

/// A reading in the decimals of its column; what was set aside bears a star.
fn reading_words(reading: &Reading, n_decimals: usize) -> String {
    let mark = if reading.set_aside.is_some() { "*" } else { "" };
    format!("{}{mark}", written_reading(&reading.value, n_decimals))
}

fn aside(page: &mut Html, project: &Project) {
    let all = || {
        project.runs.iter().flat_map(|run| {
            run.readings
                .iter()
                .map(move |reading| (run.number, reading))
        })
    };
    let name = |reading: &Reading| {
        let label = project
            .quality(&reading.quality)
            .map_or(reading.quality.as_str(), |quality| quality.label.as_str());
        if reading.place.is_empty() {
            label.to_owned()
        } else {
            format!("{label}, {}", reading.place)
        }
    };
    let decimals = |reading: &Reading| decimals_of_quality(project, &reading.quality);
    let mut lines = Vec::new();
    for (run, reading) in all() {
        if let Some(reason) = &reading.set_aside {
            lines.push(format!(
                "* run {run}, {}: {} set aside: {reason}",
                name(reading),
                written_reading(&reading.value, decimals(reading))
            ));
        }
        for earlier in &reading.earlier {
            let when = if earlier.when.is_empty() {
                String::new()
            } else {
                format!(" ({})", moment(&earlier.when))
            };
            lines.push(format!(
                "run {run}, {}: earlier value {}{when}",
                name(reading),
                written_reading(&earlier.value, decimals(reading))
            ));
        }
    }
    for line in lines {
        page.leaf("p", "quiet", &line);
    }
}

/// The named steps of the project.
pub(super) fn history(page: &mut Html, input: &ReportInput<'_>) {
    let project = input.project;
    ReportInput::section(page, "History", |page| {
        let mut table = Table::new().words("when").words("what").words("program");
        table.row([
            moment(&project.created).into(),
            "made".into(),
            Cell::default(),
        ]);
        for step in &project.history {
            table.row([
                moment(&step.when).into(),
                step.what.as_str().into(),
                step.program.as_str().into(),
            ]);
        }
        table.write(page, "");
        page.leaf(
            "p",
            "quiet",
            &format!(
                "Project last saved with Wetlane {}, report made with {}. Seed of all random choices: {}.",
                project.program,
                env!("CARGO_PKG_VERSION"),
                project.seed
            ),
        );
    });
}
