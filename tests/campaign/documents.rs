//! Run sheet, report and figures: they read back as what they say they are, whatever people typed, and their numbers
//! are those of the roll.
//!
//! Yardsticks: XML 1.0 as `roxmltree` reads it, RFC 4180 as the `csv` crate reads it, and sums worked by hand. The
//! projects are invented.

#![expect(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

use std::path::Path;

use roxmltree::{Document, Node, ParsingOptions};
use wetlane::campaign::answer_figures::{Slice, quality_figure, window_figure};
use wetlane::campaign::card::Card;
use wetlane::campaign::documents::{report_html, run_sheet_csv, run_sheet_html};
use wetlane::campaign::feasibility::{Depth, judge_runs};
use wetlane::campaign::presets::{foils, inks, lab_coater, new_project, quality};
use wetlane::campaign::project::{
    ChosenPoint, EarlierValue, Goal, HistoryStep, Outcome, Project, Promise, Reading, ReadingValue,
    Run, RunRole, SettingValue, Settings, Variation,
};
use wetlane::campaign::project_file::from_bytes;
use wetlane::campaign::reading_entry::{EntryOptions, enter_table};
use wetlane::campaign::report::{
    CheckState, ReportInput, ReportPart, ReportParts, check_runs, verdict_sentences,
};
use wetlane::campaign::roll::lay_out;
use wetlane::campaign::roll_figure::foil_strip;
use wetlane::campaign::run_sheet::sheet;
use wetlane::campaign::samples::SAMPLES;
use wetlane::campaign::table_text::{Table, TableOptions};
use wetlane::figure::svg;

use crate::support::assert_close;

const NOW: &str = "2026-05-04T09:30:00Z";

fn sample(index: usize) -> Project {
    from_bytes(SAMPLES[index].bytes, Path::new(SAMPLES[index].file_name)).unwrap()
}

fn parsed(text: &str) -> Document<'_> {
    let options = ParsingOptions {
        allow_dtd: true,
        ..ParsingOptions::default()
    };
    Document::parse_with_options(text, options).unwrap_or_else(|error| panic!("{error}"))
}

/// A planned run; what is not said stands at its default, as in a project file.
fn run(number: u32, settings: &[(&str, f64)]) -> Run {
    let planned: Settings = settings
        .iter()
        .map(|(id, value)| ((*id).to_owned(), SettingValue::Number(*value)))
        .collect();
    serde_json::from_value(serde_json::json!({ "number": number, "planned": planned })).unwrap()
}

fn reading(quality: &str, value: f64) -> Reading {
    let value = ReadingValue::Exact(value);
    serde_json::from_value(serde_json::json!({ "quality": quality, "repeat": 1, "value": value }))
        .unwrap()
}

/// Speed and gap are varied, the wet thickness stays: the pump has to be turned all the same.
fn small_project() -> Project {
    let mut project = new_project(
        "small",
        7,
        NOW.to_owned(),
        inks()[0].clone(),
        foils()[0].clone(),
        lab_coater(),
    );
    "small".clone_into(&mut project.id);
    for setting in &mut project.settings {
        match setting.id.as_str() {
            "speed" => {
                setting.variation = Variation::Range {
                    low: 0.5,
                    high: 2.0,
                    log: false,
                }
            }
            "gap" => {
                setting.variation = Variation::Range {
                    low: 100.0,
                    high: 200.0,
                    log: false,
                }
            }
            _ => {}
        }
    }
    project.runs = vec![
        run(1, &[("speed", 1.0), ("gap", 150.0)]),
        run(2, &[("speed", 2.0), ("gap", 150.0)]),
        run(3, &[("speed", 2.0), ("gap", 200.0)]),
    ];
    project
}

/// The rows of a table below its head.
fn rows_of(table: &str) -> Vec<csv::StringRecord> {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    reader.records().map(|record| record.unwrap()).collect()
}

fn class_of<'a>(node: Node<'a, '_>) -> &'a str {
    node.attribute("class").unwrap_or("")
}

fn text_of(node: Node<'_, '_>) -> String {
    node.descendants()
        .filter_map(|node| node.text().filter(|_| node.is_text()))
        .collect()
}

fn is_of_class(node: &Node<'_, '_>, class: &str) -> bool {
    class_of(*node).split(' ').any(|one| one == class)
}

// What a document may hold.

const ELEMENTS: &[&str] = &[
    "html",
    "head",
    "meta",
    "title",
    "style",
    "body",
    "header",
    "footer",
    "section",
    "div",
    "p",
    "h1",
    "h2",
    "h3",
    "strong",
    "span",
    "bdi",
    "br",
    "ul",
    "li",
    "table",
    "colgroup",
    "col",
    "thead",
    "tbody",
    "tr",
    "th",
    "td",
    "figure",
    "figcaption",
    "svg",
    "desc",
    "path",
    "rect",
    "circle",
    "text",
];

const ATTRIBUTES: &[&str] = &[
    "lang",
    "charset",
    "http-equiv",
    "content",
    "name",
    "class",
    "style",
    "version",
    "width",
    "height",
    "viewBox",
    "role",
    "aria-label",
    "font-family",
    "font-size",
    "font-weight",
    "text-anchor",
    "transform",
    "fill",
    "fill-rule",
    "stroke",
    "stroke-width",
    "stroke-dasharray",
    "stroke-linejoin",
    "paint-order",
    "overflow",
    "x",
    "y",
    "cx",
    "cy",
    "r",
    "rx",
    "d",
];

/// Nothing but known elements and attributes, nothing fetched, every figure with words for people who hear it.
fn assert_harmless(document: &Document<'_>) {
    for node in document.descendants().filter(Node::is_element) {
        let name = node.tag_name().name();
        assert!(ELEMENTS.contains(&name), "element {name}");
        for attribute in node.attributes() {
            assert!(
                ATTRIBUTES.contains(&attribute.name()),
                "attribute {} of {name}",
                attribute.name()
            );
            assert!(
                !attribute.value().contains("://"),
                "{} of {name} leads outside",
                attribute.name()
            );
        }
        let is_figure = name == "svg" && node.attribute("role").is_some();
        if is_figure {
            let leaf = |name: &str| {
                node.children()
                    .find(|child| child.has_tag_name(name))
                    .map(text_of)
            };
            let titled = node
                .children()
                .find(|child| child.tag_name().name() == "title")
                .map(text_of);
            assert!(
                titled
                    .or_else(|| leaf("title"))
                    .is_some_and(|title| !title.is_empty())
            );
            assert_eq!(node.attribute("viewBox").unwrap().split(' ').count(), 4);
            assert!(node.attribute("width").unwrap().ends_with("mm"));
        }
        if name == "style" {
            assert!(!text_of(node).contains("url(") && !text_of(node).contains("@import"));
        }
    }
}

#[test]
fn documents_of_the_samples_are_well_formed_and_harmless() {
    for index in 0..SAMPLES.len() {
        let project = sample(index);
        let report = report_html(&project, NOW, ReportParts::all());
        let document = parsed(&report);
        assert_harmless(&document);
        let n_figures = document
            .descendants()
            .filter(|node| node.attribute("role") == Some("img"))
            .count();
        assert!(n_figures > 20, "{n_figures} figures");
        assert!(report.contains("Local codes and licensed practice prevail"));
        let page = run_sheet_html(&project);
        assert_harmless(&parsed(&page));
        assert!(page.contains("Local codes and licensed practice prevail"));
    }
}

#[test]
fn a_figure_alone_is_a_whole_svg_file() {
    let project = sample(0);
    let strip = foil_strip(&project, &lay_out(&project), &[]).draw("The roll & all <of it>", 800.0);
    let file = svg::file(&strip);
    assert!(file.starts_with("<?xml version=\"1.0\" encoding=\"UTF-8\"?>"));
    let document = Document::parse(&file).unwrap();
    let root = document.root_element();
    assert_eq!(
        root.tag_name().namespace(),
        Some("http://www.w3.org/2000/svg")
    );
    assert_eq!(root.attribute("aria-label"), Some("The roll & all <of it>"));
    assert_harmless(&document);
}

/// Words of a figure in the order in which they are put down.
fn words_of(document: &Document<'_>) -> Vec<String> {
    document
        .descendants()
        .filter(|node| node.tag_name().name() == "text")
        .map(text_of)
        .collect()
}

#[test]
fn the_window_names_its_limits_its_axes_and_every_run() {
    let project = sample(0);
    let input = ReportInput::gather(&project, NOW, ReportParts::all(), &|_| false).unwrap();
    let window = input.window.as_ref().unwrap();
    let slice = Slice {
        project: &project,
        held: &input.held,
        window: Some(window),
        marks: &input.marks,
    };
    let file = svg::file(&window_figure(&slice, [800.0, 400.0]).unwrap());
    let document = Document::parse(&file).unwrap();
    assert_harmless(&document);
    let words = words_of(&document);
    for expected in ["speed, m/min", "wet thickness, µm"] {
        assert!(
            words.iter().any(|word| word == expected),
            "{expected} in {words:?}"
        );
    }
    let edges: Vec<_> = window.curves.iter().filter(|curve| curve.is_edge).collect();
    assert!(!edges.is_empty(), "some corner of this sample cannot run");
    for edge in edges {
        let name = edge.limit.label().to_lowercase();
        assert!(
            words.iter().any(|word| word.to_lowercase() == name),
            "{name} in {words:?}"
        );
    }
    for run in &project.runs {
        assert!(
            words.contains(&run.number.to_string()),
            "run {} in {words:?}",
            run.number
        );
    }
    // Without a window there is no chart of it, and maps still stand.
    let bare = Slice {
        window: None,
        ..slice
    };
    assert!(window_figure(&bare, [800.0, 400.0]).is_none());
    let map = input.qualities[0].map.as_ref().unwrap();
    let file = svg::file(&quality_figure(&bare, map, [800.0, 400.0]).unwrap());
    let words = words_of(&Document::parse(&file).unwrap());
    // The goal of this sample, at most 40 Ω/sq, is one of the lines.
    assert!(words.iter().any(|word| word == "40"), "{words:?}");
    assert!(words.iter().any(|word| word == "Ω/sq"), "{words:?}");
}

#[test]
fn the_same_project_gives_the_same_bytes() {
    let project = sample(0);
    assert_eq!(
        report_html(&project, NOW, ReportParts::all()),
        report_html(&project, NOW, ReportParts::all())
    );
    assert_eq!(run_sheet_html(&project), run_sheet_html(&project));
    assert_eq!(run_sheet_csv(&project), run_sheet_csv(&project));
}

// Text that people typed.

/// Markup, formulas, writing direction, control characters, ends of attributes and comments.
const HOSTILE: &[&str] = &[
    "<script>alert(1)</script>",
    "</title></style><img src=x onerror=alert(1)>",
    "=HYPERLINK(\"x\",\"y\")",
    "+1+1",
    "-1+1",
    "@SUM(A1:A9)",
    "\u{202e}gnp.exe\u{2066}",
    "bell\u{7}null\u{0}escape\u{1b}[31m",
    "\" onload=\"x' --> ]]> & &amp;",
    "line\r\nbreak\ttab\u{2028}separator",
    "שלום עולם ١٢٣",
    "{{7*7}} ${x} <%= y %>",
    "\u{fffe}\u{ffff}\u{85}",
];

fn hostile(index: usize) -> String {
    HOSTILE[index % HOSTILE.len()].to_owned()
}

/// A project in which every text that a person can type is hostile.
fn hostile_project(turn: usize) -> Project {
    let mut project = sample(0);
    let mut next = turn;
    let mut text = || {
        next += 1;
        hostile(next)
    };
    project.title = text();
    project.purpose = text();
    project.ink.name = text();
    project.ink.note = text();
    project.foil.name = text();
    project.foil.note = text();
    if let Some(line) = &mut project.line {
        line.card.name = text();
        for station in &mut line.stations {
            station.card.name = text();
            station.card.note = text();
        }
    }
    for setting in &mut project.settings {
        setting.label = text();
    }
    for quality in &mut project.qualities {
        quality.label = text();
        quality.unit = text();
        quality.places = quality
            .places
            .iter()
            .map(|place| format!("{place}{}", text()))
            .collect();
    }
    let places = project.qualities[0].places.clone();
    for (index, run) in project.runs.iter_mut().enumerate() {
        run.note = text();
        run.time = text();
        run.on_purpose = (index % 3 == 0).then(&mut text);
        if index % 4 == 0 {
            run.outcome = Outcome::Faulty {
                faults: vec![text(), text()],
            };
        }
        for reading in &mut run.readings {
            if let Some(place) = places
                .iter()
                .find(|place| !reading.place.is_empty() && place.starts_with(&reading.place))
            {
                reading.place = place.clone();
            }
            reading.set_aside = Some(text());
            reading.who = text();
            reading.earlier = vec![EarlierValue {
                value: ReadingValue::Class(text()),
                when: text(),
            }];
        }
    }
    if let Some(plan) = &mut project.plan {
        plan.kind = text();
        plan.model = text();
        plan.frozen_at = text();
        plan.notes = vec![text(), text()];
        plan.options.insert(text(), text());
    }
    project
        .limits
        .switched_off
        .insert("gap_span".to_owned(), text());
    project.history = vec![HistoryStep {
        what: text(),
        when: text(),
        program: text(),
    }];
    project.created = text();
    project.program = text();
    project
}

/// What a page shows instead of characters that must not be obeyed.
fn shown(text: &str) -> String {
    text.chars()
        .map(|character| match character {
            '\r' | '\n' | '\t' | '\u{85}' | '\u{2028}' => ' ',
            '\u{0}'..='\u{1f}' | '\u{202e}' | '\u{2066}' | '\u{fffe}' | '\u{ffff}' => '\u{fffd}',
            other => other,
        })
        .collect()
}

#[test]
fn typed_text_stays_text_in_every_document() {
    for turn in (0..HOSTILE.len()).step_by(3) {
        let project = hostile_project(turn);
        let page = run_sheet_html(&project);
        let document = parsed(&page);
        assert_harmless(&document);
        assert!(
            text_of(document.root_element()).contains(&shown(&project.title)),
            "title {:?}",
            project.title
        );
        // Maps are drawn with the same writer as the strip; leaving them out keeps the test short.
        let parts: ReportParts = ReportPart::ALL
            .into_iter()
            .filter(|part| {
                ![ReportPart::Summary, ReportPart::Limits, ReportPart::Answers].contains(part)
            })
            .collect();
        let input = ReportInput::gather(&project, hostile(turn), parts, &|_| false).unwrap();
        let page = input.to_html();
        let document = parsed(&page);
        assert_harmless(&document);
        let text = text_of(document.root_element());
        for typed in [
            &project.title,
            &project.purpose,
            &project.ink.note,
            &project.runs[3].note,
        ] {
            assert!(text.contains(&shown(typed)), "{typed:?}");
        }
        assert!(!page.contains('\u{202e}') && !page.contains('\u{0}'));
    }
}

#[test]
fn hostile_names_stay_text_in_maps_and_curves() {
    let project = hostile_project(0);
    let page = report_html(&project, NOW, ReportParts::all());
    assert_harmless(&parsed(&page));
}

#[test]
fn a_spreadsheet_finds_no_formula_in_the_table() {
    // The starting characters are those of the OWASP page on CSV injection; full-width forms count as well there.
    for turn in 0..HOSTILE.len() {
        let text = run_sheet_csv(&hostile_project(turn));
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(text.as_bytes());
        for record in reader.records() {
            for cell in &record.unwrap() {
                let first = cell
                    .trim_start_matches('\u{feff}')
                    .trim_start()
                    .chars()
                    .next();
                let is_number = cell.parse::<f64>().is_ok();
                let is_formula = first.is_some_and(|first| "=+-@＝＋－＠".contains(first));
                assert!(is_number || !is_formula, "{cell:?}");
                assert!(!cell.chars().any(char::is_control), "{cell:?}");
            }
        }
    }
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(40))]

    #[test]
    fn any_text_leaves_every_document_readable(text in "\\PC{0,40}|.{0,40}") {
        let mut project = small_project();
        project.title = text.clone();
        project.settings[0].label = text.clone();
        project.runs[0].note = text.clone();
        project.qualities.push(quality("thickness", &text, &text));
        let page = run_sheet_html(&project);
        parsed(&page);
        let report = ReportInput::gather(&project, NOW, [ReportPart::Plan, ReportPart::Settings].into_iter().collect(), &|_| false);
        parsed(&report.unwrap().to_html());
        let table = run_sheet_csv(&project);
        let n_rows = rows_of(&table).len();
        proptest::prop_assert_eq!(n_rows, 3);
    }
}

// Numbers of the run sheet.

#[test]
fn totals_of_the_run_sheet_are_those_of_the_roll() {
    for index in 0..SAMPLES.len() {
        let project = sample(index);
        let sheet = sheet(&project, &[]);
        let roll = lay_out(&project);
        assert_eq!(sheet.totals, roll.totals);
        // The rows add up to the totals, summed here anew.
        let ink: f64 = sheet.rows.iter().map(|row| row.ink_ml.unwrap()).sum();
        let minutes: f64 = sheet.rows.iter().map(|row| row.minutes.unwrap()).sum();
        let source = "sum over the rows of the sheet";
        assert_close(roll.totals.ink_ml.unwrap(), ink, 1e-12, source);
        assert_close(
            roll.totals.hours.unwrap() * 60.0,
            minutes + sheet.start_minutes,
            1e-12,
            source,
        );
        let foil: f64 = sheet.rows.iter().map(|row| row.end_m - row.start_m).sum();
        assert_close(roll.totals.foil_m, sheet.leader_m + foil, 1e-12, source);
        let last = sheet.rows.last().unwrap();
        assert_close(last.ink_used_ml, ink, 1e-12, source);
        assert_close(
            last.minutes_passed,
            minutes + sheet.start_minutes,
            1e-12,
            source,
        );
        // What is printed are these numbers.
        let page = run_sheet_html(&project);
        let text = text_of(parsed(&page).root_element());
        assert!(
            text.contains(&format!("{ink:.1} mL"))
                && text.contains(&format!("{foil_m:.1} m", foil_m = roll.totals.foil_m))
        );
    }
}

#[test]
fn a_small_sheet_agrees_with_a_calculation_by_hand() {
    // By hand: 17 µm × 100 mm × 1 m/min = 1.70 mL/min, at 2 m/min 3.40 mL/min. A run is 0.5 m of settling and 1 m of
    // sample, so it takes 1.5 m × 100 mm × 17 µm = 2.55 mL; the first also fills 4 mL of dead volume. The gap of run 3
    // stops the line for 6 min.
    let project = small_project();
    let sheet = sheet(&project, &judge_runs(&project, Depth::Nominal));
    let labels: Vec<&str> = sheet
        .columns
        .iter()
        .map(|column| column.label.as_str())
        .collect();
    assert_eq!(labels, ["Speed", "Pump flow", "Gap", "Plasma power"]);
    let flow: Vec<&str> = sheet
        .rows
        .iter()
        .map(|row| row.cells[1].knob.as_str())
        .collect();
    assert_eq!(flow, ["1.70", "3.40", "3.40"]);
    assert!(sheet.rows.iter().all(|row| row.cells[1].asked == "17"));
    let source = "by hand, above";
    let ends: Vec<f64> = sheet.rows.iter().map(|row| row.end_m).collect();
    for (end, expected) in ends.iter().zip([6.5, 8.0, 9.5]) {
        assert_close(*end, expected, 1e-12, source);
    }
    assert_close(
        sheet.totals.ink_ml.unwrap(),
        4.0 + 3.0 * 2.55,
        1e-12,
        source,
    );
    // 1.5 m at 1 m/min, 1.5 m at 2 m/min twice, and 6 min of gap.
    assert_close(
        sheet.totals.hours.unwrap() * 60.0,
        1.5 + 0.75 + 0.75 + 6.0,
        1e-12,
        source,
    );
    let bar = sheet.rows[2].set_up.as_ref().unwrap();
    assert_eq!(bar.changes, ["Gap"]);
    assert!(sheet.rows[1].set_up.is_none());
    // Only what is not turned stays out of the columns.
    let fixed: Vec<&str> = sheet
        .fixed
        .iter()
        .map(|setting| setting.label.as_str())
        .collect();
    assert_eq!(fixed, ["Air temperature"]);
}

/// Value and boldness of every cell of settings on the pages of runs, row by row.
fn knobs_on_paper(page: &str) -> Vec<Vec<(String, bool)>> {
    let document = parsed(page);
    let rows = document.descendants().filter(|node| {
        node.has_tag_name("tr")
            && node
                .children()
                .any(|cell| cell.has_tag_name("td") && is_of_class(&cell, "knob"))
    });
    rows.map(|row| {
        row.children()
            .filter(|cell| is_of_class(cell, "knob"))
            .map(|cell| {
                let value = cell
                    .children()
                    .find(|child| is_of_class(child, "value"))
                    .map(text_of);
                (value.unwrap(), is_of_class(&cell, "turn"))
            })
            .collect()
    })
    .collect()
}

#[test]
fn only_what_changes_from_run_to_run_is_bold() {
    for project in [sample(0), sample(1), small_project()] {
        let rows = knobs_on_paper(&run_sheet_html(&project));
        assert_eq!(rows.len(), project.runs.len());
        assert!(
            rows[0].iter().all(|(_, is_bold)| *is_bold),
            "everything is set for the first run"
        );
        for pair in rows.windows(2) {
            for ((before, _), (value, is_bold)) in pair[0].iter().zip(&pair[1]) {
                assert_eq!(*is_bold, before != value, "{before} then {value}");
            }
        }
    }
    // The style prints just these in bold.
    let page = run_sheet_html(&small_project());
    assert!(page.contains("td.turn .value { font-weight: 700; }"));
}

#[test]
fn the_table_reads_back() {
    let project = sample(0);
    let sheet = sheet(&project, &judge_runs(&project, Depth::Nominal));
    let text = sheet.to_csv();
    assert!(text.starts_with('\u{feff}') && text.contains("\r\n"));
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let heads: Vec<String> = reader
        .headers()
        .unwrap()
        .iter()
        .map(ToOwned::to_owned)
        .collect();
    let column = |name: &str| {
        heads
            .iter()
            .position(|head| head.trim_start_matches('\u{feff}') == name)
            .unwrap_or_else(|| panic!("{name} in {heads:?}"))
    };
    let (run_at, flow, wet) = (
        column("run"),
        column("Pump flow [mL/min]"),
        column("Wet thickness [µm]"),
    );
    let (speed, ink, left) = (
        column("Speed [m/min]"),
        column("ink [mL]"),
        column("Sheet resistance, left [Ω/sq]"),
    );
    let records: Vec<csv::StringRecord> = reader.records().map(|record| record.unwrap()).collect();
    assert_eq!(records.len(), project.runs.len());
    for (record, run) in records.iter().zip(&project.runs) {
        let number = |at: usize| record[at].parse::<f64>().unwrap();
        assert_eq!(record[run_at], run.number.to_string());
        // Weinstein & Ruschak (2004): t = Q/(U·w), here with 100 mm and flows written to 0.01 mL/min.
        let expected = number(wet) * number(speed) * 0.1;
        assert!(
            (number(flow) - expected).abs() <= 0.0051,
            "{} for {expected}",
            number(flow)
        );
        assert!(number(ink) > 0.0);
        let written = run
            .reading("sheet_resistance", "left", 1)
            .map(|reading| reading.value.to_string());
        match written {
            Some(value) => assert_close(number(left), value.parse().unwrap(), 1e-12, "the project"),
            None => assert_eq!(&record[left], ""),
        }
    }
}

#[test]
fn readings_written_into_the_table_come_back_to_their_runs() {
    let measured = sample(0);
    let mut blank = measured.clone();
    for run in &mut blank.runs {
        run.readings.clear();
        run.outcome = Outcome::NotRun;
        run.note.clear();
    }
    let written = run_sheet_csv(&measured);
    let table = Table::read(&written, &TableOptions::default())
        .unwrap_or_else(|problems| panic!("{problems}"));
    let entry = enter_table(&table, &blank, &EntryOptions::default())
        .unwrap_or_else(|problems| panic!("{problems}"));
    entry.command.unwrap().apply(&mut blank).unwrap();
    for (run, expected) in blank.runs.iter().zip(&measured.runs) {
        assert_eq!(run.outcome, expected.outcome, "run {}", run.number);
        assert_eq!(run.note, expected.note, "run {}", run.number);
        let values = |run: &Run| -> Vec<(String, String, ReadingValue)> {
            let readings = run.readings.iter();
            readings
                .map(|reading| {
                    (
                        reading.quality.clone(),
                        reading.place.clone(),
                        reading.value.clone(),
                    )
                })
                .collect()
        };
        assert_eq!(values(run), values(expected), "run {}", run.number);
    }
}

#[test]
fn the_sheet_says_why_a_run_is_kept_and_what_was_pulled() {
    let mut project = small_project();
    // A film of 1 µm behind a gap of 200 µm breaks the bead at any speed.
    let wet = project
        .settings
        .iter_mut()
        .find(|setting| setting.id == "wet_thickness")
        .unwrap();
    wet.now = SettingValue::Number(1.0);
    project.runs[0].on_purpose = Some("to see the bars".to_owned());
    project.runs[1]
        .pulled
        .insert("speed".to_owned(), SettingValue::Number(1.5));
    let sheet = sheet(&project, &judge_runs(&project, Depth::Nominal));
    assert_eq!(sheet.rows[0].feasible, Some(false));
    assert!(
        sheet.rows[0]
            .remark
            .starts_with("kept on purpose: to see the bars (cannot run: "),
        "{}",
        sheet.rows[0].remark
    );
    assert!(
        sheet.rows[1].remark.starts_with("cannot run: "),
        "{}",
        sheet.rows[1].remark
    );
    assert_eq!(sheet.rows[1].pulled, ["speed 1.5 instead of 2 m/min"]);
    assert_eq!(
        sheet.rows[1].cells[0].knob, "1.5",
        "what is to be set is the pulled value"
    );
    // Without a judgement nothing is claimed.
    let unjudged = wetlane::campaign::run_sheet::sheet(&project, &[]);
    assert!(unjudged.rows.iter().all(|row| row.feasible.is_none()));
    assert_eq!(unjudged.rows[1].remark, "not judged");
}

#[test]
fn many_runs_are_dealt_to_pages_and_none_is_lost() {
    let mut project = small_project();
    project.runs = (1..=47)
        .map(|number| run(number, &[("speed", 1.0), ("gap", 150.0)]))
        .collect();
    let page = run_sheet_html(&project);
    let document = parsed(&page);
    let pages: Vec<usize> = document
        .descendants()
        .filter(|node| is_of_class(node, "runs"))
        .map(|table| {
            table
                .descendants()
                .filter(|cell| cell.has_tag_name("td") && is_of_class(cell, "run"))
                .count()
        })
        .collect();
    assert_eq!(pages.iter().sum::<usize>(), 47);
    // The last page may be short, but not a mere remainder.
    let (last, full) = pages.split_last().unwrap();
    assert!(
        full.iter().all(|n_runs| (8..=12).contains(n_runs)) && *last >= 5,
        "{pages:?}"
    );
}

// The report.

fn headings(page: &str) -> Vec<String> {
    let document = parsed(page);
    document
        .descendants()
        .filter(|node| node.has_tag_name("h2"))
        .map(text_of)
        .collect()
}

#[test]
fn unfinished_projects_have_documents_too() {
    let empty = Project::new("empty", "id".to_owned(), NOW.to_owned(), 1);
    let mut planned = small_project();
    planned
        .qualities
        .push(quality("thickness", "Thickness", "nm"));
    let mut without_line = small_project();
    without_line.line = None;
    let mut unknown_ink = small_project();
    unknown_ink.ink = Card::default();
    let mut one_setting = small_project();
    one_setting.settings.retain(|setting| setting.id == "speed");
    for project in [empty, planned, without_line, unknown_ink, one_setting] {
        let report = report_html(&project, NOW, ReportParts::all());
        assert_harmless(&parsed(&report));
        assert!(report.contains("Local codes and licensed practice prevail"));
        assert_harmless(&parsed(&run_sheet_html(&project)));
        let table = run_sheet_csv(&project);
        let n_rows = rows_of(&table).len();
        assert_eq!(n_rows, project.runs.len());
    }
}

#[test]
fn parts_can_be_left_out() {
    let project = sample(0);
    let made = |parts: ReportParts| {
        ReportInput::gather(&project, NOW, parts, &|_| false)
            .unwrap()
            .to_html()
    };
    assert!(headings(&made(ReportParts::none())).is_empty());
    for (part, heading) in [
        (ReportPart::Recipe, "Recipe card"),
        (ReportPart::Cards, "Ink, foil and line"),
        (ReportPart::Plan, "Plan as made"),
        (ReportPart::Roll, "Roll and amounts"),
        (ReportPart::Readings, "Readings"),
        (ReportPart::Cautions, "Cautions"),
        (ReportPart::Assumed, "What was assumed"),
        (ReportPart::History, "History"),
    ] {
        let page = made([part].into_iter().collect());
        assert_eq!(headings(&page).first().map(String::as_str), Some(heading));
        let mut without = ReportParts::all();
        without.toggle(part);
        assert!(!without.has(part));
    }
}

#[test]
fn work_on_a_report_can_be_stopped() {
    assert!(ReportInput::gather(&sample(0), NOW, ReportParts::all(), &|_| true).is_none());
}

#[test]
fn sheet_and_report_bear_the_same_check_word() {
    let project = sample(1);
    let word = sheet(&project, &[]).check_word;
    assert!(run_sheet_html(&project).contains(&word));
    let input = ReportInput::gather(&project, NOW, ReportParts::none(), &|_| false).unwrap();
    assert!(input.to_html().contains(&word));
    let mut other = project.clone();
    other.runs.swap(0, 1);
    assert_ne!(
        sheet(&other, &[]).check_word,
        word,
        "another order is another sheet"
    );
}

/// A project with a chosen point, a check run with `value` and the promise of 60 to 80 nm.
fn checked_project(value: Option<f64>) -> Project {
    let mut project = small_project();
    let mut thickness = quality("thickness", "Thickness", "nm");
    thickness.goal = Goal::Between {
        low: 50.0,
        high: 90.0,
    };
    project.qualities.push(thickness);
    let settings = project.runs[0].planned.clone();
    let mut check = run(4, &[("speed", 1.0), ("gap", 150.0)]);
    check.role = RunRole::Check;
    if let Some(value) = value {
        check.outcome = Outcome::Sound;
        check.readings = vec![reading("thickness", value)];
    }
    project.runs.push(check);
    let promised = [(
        "thickness".to_owned(),
        Promise {
            low: 60.0,
            high: 80.0,
        },
    )]
    .into_iter()
    .collect();
    project.choice = Some(ChosenPoint {
        settings,
        check_runs: vec![4],
        promised,
    });
    project
}

#[test]
fn a_point_is_proven_only_by_check_runs_inside_their_promise() {
    for (value, state, words) in [
        (
            None,
            CheckState::Open,
            "Not yet proven: one check run is to be made or read.",
        ),
        (
            Some(80.0),
            CheckState::Inside,
            "Proven: every check run fell inside what was promised.",
        ),
        (
            Some(80.1),
            CheckState::Outside,
            "Not proven: a check run fell outside what was promised.",
        ),
    ] {
        let project = checked_project(value);
        let checks = check_runs(&project);
        assert_eq!(checks.len(), 1);
        assert_eq!(checks[0].state, state);
        let input = ReportInput::gather(&project, NOW, ReportParts::none(), &|_| false).unwrap();
        let (_, more) = verdict_sentences(&input);
        assert!(more.iter().any(|sentence| sentence == words), "{more:?}");
    }
    // A faulty film breaks the promise whatever was read on it.
    let mut project = checked_project(Some(70.0));
    project.runs[3].outcome = Outcome::Faulty {
        faults: vec!["ribs".to_owned()],
    };
    assert_eq!(check_runs(&project)[0].state, CheckState::Outside);
}

#[test]
fn the_first_sentence_says_where_the_film_stands() {
    let sentence = |project: &Project| {
        let input = ReportInput::gather(project, NOW, ReportParts::none(), &|_| false).unwrap();
        verdict_sentences(&input).0
    };
    let mut project = small_project();
    assert_eq!(sentence(&project), "3 runs planned, none run yet.");
    let wet = project
        .settings
        .iter_mut()
        .find(|setting| setting.id == "wet_thickness")
        .unwrap();
    wet.now = SettingValue::Number(1.0);
    assert_eq!(
        sentence(&project),
        "3 of 3 runs cannot run. Nothing is spent yet."
    );
    project.runs.clear();
    assert_eq!(sentence(&project), "There is no plan yet.");
}
