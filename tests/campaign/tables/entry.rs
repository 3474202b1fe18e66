//! Readings into a project that exists.

use proptest::prelude::*;
use wetlane::campaign::command::{Command, ReadingEdit};
use wetlane::campaign::project::{
    Effort, Goal, Importance, Outcome, Project, Quality, QualityKind, QualityScale, ReadingValue,
    Role, Run, RunRole, SettingEntry, SettingValue, Settings, Variation,
};
use wetlane::campaign::reading_entry::{
    ColumnSummary, Differing, Entry, EntryOptions, MatchedBy, Tally, Target, enter_table,
};
use wetlane::campaign::reading_text::{read_outcome, read_reading};
use wetlane::campaign::table_cell::DecimalSign;
use wetlane::campaign::table_text::{Table, TableOptions};
use wetlane::campaign::validity::problems_of;

use super::{empty_project, messages, table};

const NOW: &str = "2026-05-05T10:00:00Z";

fn quality(id: &str, label: &str, unit: &str, kind: QualityKind) -> Quality {
    Quality {
        id: id.to_owned(),
        label: label.to_owned(),
        unit: unit.to_owned(),
        kind,
        goal: Goal::Watch,
        importance: Importance::Must,
        weight: 1.0,
        places: Vec::new(),
        classes: Vec::new(),
        scale: QualityScale::Plain,
    }
}

fn setting(
    id: &str,
    label: &str,
    unit: &str,
    now: SettingValue,
    variation: Variation,
) -> SettingEntry {
    SettingEntry {
        id: id.to_owned(),
        label: label.to_owned(),
        role: Role::Free,
        unit: unit.to_owned(),
        now,
        variation,
        step: None,
        scatter: None,
        effort: Effort::default(),
    }
}

fn run(number: u32, speed: f64, gas: &str) -> Run {
    Run {
        number,
        role: RunRole::Plan,
        standard_order: None,
        replicate: 1,
        set_up: None,
        labels: std::collections::BTreeMap::new(),
        planned: Settings::from([
            ("speed".to_owned(), SettingValue::Number(speed)),
            ("gas".to_owned(), SettingValue::Level(gas.to_owned())),
        ]),
        pulled: Settings::new(),
        as_run: Settings::new(),
        on_purpose: None,
        outcome: Outcome::NotRun,
        metre: None,
        positions: std::collections::BTreeMap::new(),
        time: String::new(),
        note: String::new(),
        readings: Vec::new(),
    }
}

/// An invented plan of five runs over speed and gas (the first one repeated as the fifth) with five qualities.
pub(crate) fn planned_project() -> Project {
    let mut project = empty_project();
    let range = Variation::Range {
        low: 1.0,
        high: 2.0,
        log: false,
    };
    let gases = Variation::Categories {
        levels: vec!["air".to_owned(), "argon".to_owned()],
    };
    project.settings = vec![
        setting("speed", "Speed", "m/min", SettingValue::Number(1.5), range),
        setting(
            "gas",
            "Gas",
            "",
            SettingValue::Level("air".to_owned()),
            gases,
        ),
        setting(
            "room",
            "Room temperature",
            "°C",
            SettingValue::Number(22.0),
            Variation::Fixed,
        ),
    ];
    project.qualities = vec![
        quality(
            "sheet_resistance",
            "Sheet resistance",
            "Ω/sq",
            QualityKind::Continuous,
        ),
        quality("transmittance", "Transmittance", "%", QualityKind::Percent),
        quality("haze", "Haze", "%", QualityKind::Percent),
        quality("look", "Look", "", QualityKind::Class),
        quality("holes", "Pinholes", "", QualityKind::Count),
        quality("film_sound", "Sound film", "", QualityKind::Sound),
    ];
    project.qualities[0].places = vec!["left".to_owned(), "centre".to_owned(), "right".to_owned()];
    project.qualities[3].classes = vec!["good".to_owned(), "fair".to_owned(), "bad".to_owned()];
    project.runs = vec![
        run(1, 1.0, "air"),
        run(2, 2.0, "air"),
        run(3, 1.0, "argon"),
        run(4, 2.0, "argon"),
        run(5, 1.0, "air"),
    ];
    assert_eq!(problems_of(&project), []);
    project
}

fn options() -> EntryOptions {
    EntryOptions {
        when: NOW.to_owned(),
        who: "A".to_owned(),
        ..EntryOptions::default()
    }
}

fn replacing() -> EntryOptions {
    EntryOptions {
        differing: Differing::Replace,
        ..options()
    }
}

#[track_caller]
fn entered(text: &str, project: &Project, options: &EntryOptions) -> Entry {
    enter_table(&table(text), project, options).unwrap_or_else(|problems| panic!("{problems}"))
}

#[track_caller]
fn refused(text: &str, project: &Project) -> Vec<String> {
    messages(&enter_table(&table(text), project, &options()).expect_err("refused"))
}

/// The project after a table.
#[track_caller]
fn after(text: &str, project: &Project, options: &EntryOptions) -> Project {
    let mut project = project.clone();
    let entry = entered(text, &project, options);
    entry
        .command
        .expect("something new")
        .apply(&mut project)
        .unwrap();
    project
}

fn value<'a>(
    project: &'a Project,
    run: u32,
    quality: &str,
    place: &str,
    repeat: u32,
) -> Option<&'a ReadingValue> {
    project
        .run(run)?
        .reading(quality, place, repeat)
        .map(|reading| &reading.value)
}

const fn tally(n_new: usize, n_same: usize, n_replaced: usize) -> Tally {
    Tally {
        n_new,
        n_same,
        n_replaced,
    }
}

#[test]
fn a_typed_reading_is_read_as_its_quality_asks() {
    let project = planned_project();
    let quality = |id: &str| project.quality(id).unwrap();
    let read =
        |text: &str, id: &str| read_reading(text, quality(id)).map_err(|error| error.to_string());
    for (text, id, expected) in [
        ("12,5", "sheet_resistance", ReadingValue::Exact(12.5)),
        (" 12.5 ", "sheet_resistance", ReadingValue::Exact(12.5)),
        ("< 0.1", "sheet_resistance", ReadingValue::Below(0.1)),
        (">500", "sheet_resistance", ReadingValue::Above(500.0)),
        ("−3", "sheet_resistance", ReadingValue::Exact(-3.0)),
        ("fair", "look", ReadingValue::Class("fair".to_owned())),
        ("0", "holes", ReadingValue::Exact(0.0)),
    ] {
        assert_eq!(read(text, id), Ok(expected), "{text}");
    }
    for (text, id, message) in [
        ("  ", "haze", "There is nothing to read here."),
        (
            "12,5O",
            "haze",
            "\"12,5O\" is not a number: the last character is \"O\". It looks like a zero.",
        ),
        ("101", "haze", "101 is not between 0 and 100 %."),
        (
            "excellent",
            "look",
            "\"excellent\" is none of the classes \"good\", \"fair\", \"bad\".",
        ),
        (
            "1.5",
            "holes",
            "1.5 is not a count. Write a whole number, 0 or more.",
        ),
        (
            "sound",
            "film_sound",
            "\"Sound film\" says what became of the film. Enter it as sound or faulty, not as a reading.",
        ),
    ] {
        assert_eq!(read(text, id), Err(message.to_owned()), "{text}");
    }
}

#[test]
fn outcomes_are_read_from_two_sets_of_words() {
    for text in ["sound", "Pass", " GOOD "] {
        assert_eq!(read_outcome(text), Ok(Outcome::Sound), "{text}");
    }
    let faulty = |faults: &[&str]| Outcome::Faulty {
        faults: faults.iter().map(|fault| (*fault).to_owned()).collect(),
    };
    assert_eq!(read_outcome("fail"), Ok(faulty(&[])));
    assert_eq!(
        read_outcome("Faulty: streaks; pinholes, streaks"),
        Ok(faulty(&["streaks", "pinholes"]))
    );
    for text in ["", "ok", "sound: yes", "1"] {
        assert!(read_outcome(text).is_err(), "{text}");
    }
}

#[test]
fn readings_go_to_runs_by_number_and_every_match_is_listed() {
    let project = planned_project();
    let text = "run;Sheet resistance (Ω/sq);haze;Look;note;date\n3;75,2;1;good;first;1.2.\n1;<54,5;;bad;;2.2.\n";
    let Entry { command, summary } = entered(text, &project, &options());
    assert_eq!(summary.readings, tally(5, 0, 0));
    assert_eq!(summary.remarks, tally(1, 0, 0));
    assert_eq!(summary.left_out, ["date"]);
    let listed: Vec<(&str, &str, &str, Option<DecimalSign>)> = summary
        .columns
        .iter()
        .map(|column: &ColumnSummary| {
            (
                column.head.as_str(),
                column.goes_to.as_str(),
                column.unit.as_str(),
                column.sign,
            )
        })
        .collect();
    assert_eq!(
        listed,
        [
            ("run", "run", "", None),
            (
                "Sheet resistance (Ω/sq)",
                "Sheet resistance",
                "Ω/sq",
                Some(DecimalSign::Comma)
            ),
            ("haze", "Haze", "%", None),
            ("Look", "Look", "", None),
            ("note", "note", "", None),
        ]
    );
    assert!(
        summary
            .columns
            .iter()
            .all(|column| column.by == MatchedBy::Name)
    );
    assert_eq!(
        summary.notes,
        [
            "The cells are separated by semicolons.",
            "Decimal comma in \"Sheet resistance (Ω/sq)\": \"75,2\" is read as 75.2."
        ]
    );
    let command = command.unwrap();
    assert_eq!(command.label(), "5 readings from a table");
    let mut changed = project.clone();
    let inverse = command.apply(&mut changed).unwrap();
    assert_eq!(
        value(&changed, 3, "sheet_resistance", "", 1),
        Some(&ReadingValue::Exact(75.2))
    );
    assert_eq!(
        value(&changed, 1, "sheet_resistance", "", 1),
        Some(&ReadingValue::Below(54.5))
    );
    assert_eq!(value(&changed, 1, "haze", "", 1), None);
    assert_eq!(
        value(&changed, 1, "look", "", 1),
        Some(&ReadingValue::Class("bad".to_owned()))
    );
    let reading = changed.run(3).unwrap().reading("haze", "", 1).unwrap();
    assert_eq!((reading.when.as_str(), reading.who.as_str()), (NOW, "A"));
    assert_eq!(changed.run(3).unwrap().note, "first");
    inverse.apply(&mut changed).unwrap();
    assert_eq!(changed, project);
}

#[test]
fn the_same_table_twice_brings_nothing_new() {
    let project = planned_project();
    let text = "run,haze,outcome,metre (m),note,speed as run\n1,1.5,sound,5.5,dusty,1.2\n2,2.5,faulty: ribs,7,,2\n";
    let once = after(text, &project, &options());
    let Entry { command, summary } = entered(text, &once, &options());
    assert_eq!(command, None);
    assert_eq!(summary.readings, tally(0, 2, 0));
    assert_eq!(summary.outcomes, tally(0, 2, 0));
    assert_eq!(summary.as_run, tally(0, 2, 0));
    assert_eq!(summary.remarks, tally(0, 3, 0));
}

#[test]
fn rows_are_found_by_their_settings() {
    let project = planned_project();
    // 33.333333333333336 mm/s are 2 m/min.
    let text = "Speed (mm/s),gas,haze\n33.333333333333336,argon,1\n33.333333333333336,air,2\n";
    let changed = after(text, &project, &options());
    assert_eq!(
        value(&changed, 4, "haze", "", 1),
        Some(&ReadingValue::Exact(1.0))
    );
    assert_eq!(
        value(&changed, 2, "haze", "", 1),
        Some(&ReadingValue::Exact(2.0))
    );
    let notes = entered(text, &project, &options()).summary.notes;
    assert!(
        notes.contains(&"\"Speed (mm/s)\" was converted from mm/s to m/min.".to_owned()),
        "{notes:?}"
    );
    assert_eq!(
        refused(
            "speed,gas,haze\n1,air,1\n1.7,argon,2\n2,helium,3\n,air,4\n1x,air,5\n",
            &project
        ),
        [
            "Row 1 (line 2): The runs 1, 5 all have the settings Speed 1 m/min, Gas air. Add a column \"run\".",
            "Row 2 (line 3): No run has the settings Speed 1.7 m/min, Gas argon. Correct them, or add a column \"run\".",
            "Row 3 (line 4), column \"gas\": \"helium\" is none of the levels \"air\", \"argon\". Correct it.",
            "Row 4 (line 5), column \"speed\": The setting has no value in this row. Fill it in, or add a column \"run\".",
            "Row 5 (line 6), column \"speed\": \"1x\" is not a number: the last character is \"x\".",
        ]
    );
    assert_eq!(
        refused("speed,haze\n1,1\n", &project),
        [
            "Nothing says which run a row is. Add a column \"run\", or a column for each varied setting (missing: \"Gas\")."
        ]
    );
}

#[test]
fn pulled_settings_are_what_rows_are_found_by() {
    let mut project = planned_project();
    project.runs[1]
        .pulled
        .insert("speed".to_owned(), SettingValue::Number(1.8));
    let changed = after("speed,gas,haze\n1.8,air,2\n", &project, &options());
    assert_eq!(
        value(&changed, 2, "haze", "", 1),
        Some(&ReadingValue::Exact(2.0))
    );
}

#[test]
fn settings_beside_a_run_number_must_be_the_runs_own() {
    let project = planned_project();
    assert_eq!(
        refused(
            "run,speed,gas,room,haze\n1,1,air,22,1\n2,1,air,22,2\n3,1,air,25,3\n",
            &project
        ),
        [
            "Row 2 (line 3), column \"speed\": Run 2 is planned at 2 m/min, the table says \"1\". Correct one of them; if it was run \
             so, call the column \"Speed as run\".",
            "Row 3 (line 4), column \"gas\": Run 3 is planned at argon, the table says \"air\". Correct one of them; if it was run so, \
             call the column \"Gas as run\".",
            "Row 3 (line 4), column \"room\": Run 3 is planned at 22 °C, the table says \"25\". Correct one of them; if it was run so, \
             call the column \"Room temperature as run\".",
        ]
    );
    // What was run before is known, too.
    let mut project = project;
    project.runs[1]
        .as_run
        .insert("speed".to_owned(), SettingValue::Number(1.0));
    let changed = after("run,speed,haze\n2,1,2\n", &project, &options());
    assert_eq!(
        value(&changed, 2, "haze", "", 1),
        Some(&ReadingValue::Exact(2.0))
    );
}

#[test]
fn settings_as_run_are_kept_where_they_differ_from_the_plan() {
    let project = planned_project();
    let text =
        "run,Speed as run (m/min),gas (as run),room as run\n1,1.2,air,22\n2,2,argon,23\n3,,,\n";
    let Entry { command, summary } = entered(text, &project, &options());
    assert_eq!(summary.as_run, tally(3, 3, 0));
    let mut changed = project.clone();
    command.unwrap().apply(&mut changed).unwrap();
    assert_eq!(
        changed.runs[0].as_run,
        Settings::from([("speed".to_owned(), SettingValue::Number(1.2))])
    );
    assert_eq!(
        changed.runs[1].as_run,
        Settings::from([
            ("gas".to_owned(), SettingValue::Level("argon".to_owned())),
            ("room".to_owned(), SettingValue::Number(23.0))
        ])
    );
    // The plan itself stays as it was, and going back to it takes the difference away.
    assert_eq!(changed.runs[0].planned, project.runs[0].planned);
    assert_eq!(
        refused("run,speed as run\n1,1\n", &changed),
        [
            "Row 1 (line 2), column \"speed as run\": Run 1 has \"1.2 m/min\" here, the table says \"1 m/min\". Correct one of them, or \
          ask to replace (--replace)."
        ]
    );
    let back = after("run,speed as run\n1,1\n", &changed, &replacing());
    assert_eq!(back.runs[0].as_run, Settings::new());
}

#[test]
fn nothing_is_written_over_unless_asked() {
    let project = planned_project();
    let before = after(
        "run,haze,film,metre,note\n1,1.5,sound,5,dusty\n2,2.5,faulty: ribs,6,\n",
        &project,
        &options(),
    );
    let text = "run,haze,film,metre,note\n1,1.6,faulty,5.5,clean\n2,2.5,faulty,,\n";
    assert_eq!(
        refused(text, &before),
        [
            "Row 1 (line 2), column \"haze\": Run 1 has \"1.5\" here, the table says \"1.6\". Correct one of them, or ask to replace \
             (--replace).",
            "Row 1 (line 2), column \"film\": Run 1 has \"sound\" here, the table says \"faulty\". Correct one of them, or ask to \
             replace (--replace).",
            "Row 1 (line 2), column \"metre\": Run 1 has \"5 m\" here, the table says \"5.5 m\". Correct one of them, or ask to \
             replace (--replace).",
            "Row 1 (line 2), column \"note\": Run 1 has \"dusty\" here, the table says \"clean\". Correct one of them, or ask to \
             replace (--replace).",
        ]
    );
    let summary = entered(text, &before, &replacing()).summary;
    assert_eq!(summary.readings, tally(0, 1, 1));
    assert_eq!(summary.outcomes, tally(0, 1, 1));
    assert_eq!(summary.remarks, tally(0, 0, 2));
    let changed = after(text, &before, &replacing());
    let reading = changed.run(1).unwrap().reading("haze", "", 1).unwrap();
    assert_eq!(reading.value, ReadingValue::Exact(1.6));
    // The old value stays in the history of the reading.
    assert_eq!(reading.earlier[0].value, ReadingValue::Exact(1.5));
    assert_eq!(
        changed.runs[1].outcome,
        Outcome::Faulty {
            faults: vec!["ribs".to_owned()]
        }
    );
    assert_eq!(
        (changed.runs[0].metre, changed.runs[0].note.as_str()),
        (Some(5.5), "clean")
    );
}

#[test]
fn empty_cells_never_take_anything_back() {
    let project = planned_project();
    let before = after(
        "run,haze,note,metre,film\n1,1.5,dusty,5,sound\n",
        &project,
        &options(),
    );
    let Entry { command, .. } = entered(
        "run,haze,note,metre,film\n1,,,,\n2,,,,\n",
        &before,
        &replacing(),
    );
    assert_eq!(command, None);
}

#[test]
fn places_and_repeats_come_from_columns_heads_or_the_count_of_rows() {
    let project = planned_project();
    let text = "run,place,sheet resistance,haze\n1,left,10,1\n1,left,11,\n1,right,12,2\n";
    let changed = after(text, &project, &options());
    let exact = |run, quality: &str, place: &str, repeat| match value(
        &changed, run, quality, place, repeat,
    ) {
        Some(ReadingValue::Exact(number)) => Some(*number),
        _ => None,
    };
    assert_eq!(exact(1, "sheet_resistance", "left", 1), Some(10.0));
    assert_eq!(exact(1, "sheet_resistance", "left", 2), Some(11.0));
    assert_eq!(exact(1, "sheet_resistance", "right", 1), Some(12.0));
    let notes = entered(text, &project, &options()).summary.notes;
    assert!(
        notes.contains(
            &"Several rows of one run and place were counted as repeats: run 1, sheet_resistance, left: 2.".to_owned()
        ),
        "{notes:?}"
    );
    let wide = "run,Sheet resistance left,sheet_resistance (centre),repeat\n1,10,11,2\n1,12,13,1\n";
    let changed = after(wide, &project, &options());
    let exact =
        |place: &str, repeat| value(&changed, 1, "sheet_resistance", place, repeat).cloned();
    assert_eq!(exact("left", 2), Some(ReadingValue::Exact(10.0)));
    assert_eq!(exact("centre", 1), Some(ReadingValue::Exact(13.0)));
    assert_eq!(
        refused(
            "run,place,repeat,sheet resistance\n1,middle,1,10\n2,left,0,11\n3,left,1.5,12\n4,left,1,13\n4,left,1,14\n",
            &project
        ),
        [
            "Row 1 (line 2), column \"sheet resistance\": Sheet resistance is read at \"left\", \"centre\", \"right\", not at \"middle\". \
             Correct the place, or add it to the film quality.",
            "Row 2 (line 3), column \"repeat\": \"0\" is no repeat. Count repeats 1, 2, 3.",
            "Row 3 (line 4), column \"repeat\": \"1.5\" is no repeat. Count repeats 1, 2, 3.",
            "Row 5 (line 6), column \"sheet resistance\": Row 4 already gives this value of run 4. Take one out, or number the repeats in \
             a column \"repeat\".",
        ]
    );
}

#[test]
fn areas_go_with_counts_only() {
    let project = planned_project();
    let changed = after(
        "run,pinholes,haze,area\n1,3,1,2.5\n2,0,2,\n",
        &project,
        &options(),
    );
    let area = |quality: &str| {
        changed
            .run(1)
            .unwrap()
            .reading(quality, "", 1)
            .unwrap()
            .area
    };
    assert_eq!((area("holes"), area("haze")), (Some(2.5), None));
    assert_eq!(
        changed
            .run(2)
            .unwrap()
            .reading("holes", "", 1)
            .unwrap()
            .area,
        None
    );
    assert_eq!(
        refused("run,pinholes,area\n1,3,0\n", &project),
        ["Row 1 (line 2), column \"area\": \"0\" is no area. It must be a number above zero."]
    );
}

#[test]
fn outcomes_and_faults_come_together() {
    let project = planned_project();
    let changed = after(
        "run,Sound film,fault\n1,sound,\n2,faulty: ribs,streaks\n3,,pinholes\n4,,\n",
        &project,
        &options(),
    );
    let outcomes: Vec<&Outcome> = changed.runs.iter().map(|run| &run.outcome).collect();
    let faulty = |faults: &[&str]| Outcome::Faulty {
        faults: faults.iter().map(|fault| (*fault).to_owned()).collect(),
    };
    assert_eq!(
        outcomes,
        [
            &Outcome::Sound,
            &faulty(&["ribs", "streaks"]),
            &faulty(&["pinholes"]),
            &Outcome::NotRun,
            &Outcome::NotRun
        ]
    );
    assert_eq!(
        refused(
            "run,film,fault\n1,sound,ribs\n2,ok,\n3,sound,\n3,faulty,\n",
            &project
        ),
        [
            "Row 1 (line 2), column \"fault\": The film is sound and yet has the fault \"ribs\". Correct one of the two.",
            "Row 2 (line 3), column \"film\": \"ok\" says neither sound nor faulty. Write sound, pass or good; or faulty, fail or bad, and \
             what is wrong behind a colon (\"faulty: streaks\").",
            "Row 4 (line 5), column \"film\": Row 3 says \"sound\" of run 3, this row \"faulty\". Correct one of them.",
        ]
    );
}

#[test]
fn rows_of_one_run_must_agree() {
    let project = planned_project();
    assert_eq!(
        refused("run,metre,speed as run\n1,5,1.2\n1,6,1.3\n", &project),
        [
            "Row 2 (line 3), column \"metre\": Row 1 says \"5\" of run 1, this row \"6\". Correct one of them.",
            "Row 2 (line 3), column \"speed as run\": Row 1 says \"1.2\" of run 1, this row \"1.3\". Correct one of them.",
        ]
    );
    // Notes join.
    let changed = after("run,note\n1,dusty\n1,late\n1,dusty\n", &project, &options());
    assert_eq!(changed.runs[0].note, "dusty; late");
}

#[test]
fn runs_must_exist() {
    let project = planned_project();
    assert_eq!(
        refused("run,haze\n9,1\n,2\n1.5,3\nx,4\n<2,5\n", &project),
        [
            "Row 1 (line 2), column \"run\": There is no run 9. The project has runs 1 to 5.",
            "Row 2 (line 3), column \"run\": The run is missing in this row. Fill it in, or take the row out.",
            "Row 3 (line 4), column \"run\": There is no run 1.5. The project has runs 1 to 5.",
            "Row 4 (line 5), column \"run\": \"x\" is not a number: the last character is \"x\".",
            "Row 5 (line 6), column \"run\": \"<2\" must be a plain number.",
        ]
    );
    let mut empty = project;
    empty.runs.clear();
    assert_eq!(
        refused("run,haze\n1,1\n", &empty),
        [
            "Row 1 (line 2), column \"run\": There is no run 1. The project has no runs yet; make a plan first."
        ]
    );
}

#[test]
fn columns_that_bring_nothing_or_the_same_are_refused() {
    let project = planned_project();
    assert_eq!(
        refused("run,colour\n1,red\n", &project),
        [
            "No column is matched by anything that can be entered. The columns are \"run\", \"colour\"; the project knows \"Sheet \
          resistance\", \"Transmittance\", \"Haze\", \"Look\", \"Pinholes\", \"Sound film\"."
        ]
    );
    assert_eq!(
        refused("run,Haze,haze\n1,1,2\n", &project),
        ["Column \"haze\": The column \"Haze\" already goes to Haze. Leave one of the two out."]
    );
    assert_eq!(
        refused("run,haze (nm)\n1,1\n", &project),
        [
            "Column \"haze (nm)\": The column is in \"nm\", the project in \"%\". Convert the numbers, or correct the head."
        ]
    );
}

#[test]
fn units_of_heads_are_converted_and_limits_with_them() {
    let changed = after(
        "run,haze (ppm)\n1,12500\n2,<400\n",
        &planned_project(),
        &options(),
    );
    assert_eq!(
        value(&changed, 1, "haze", "", 1),
        Some(&ReadingValue::Exact(1.25))
    );
    assert_eq!(
        value(&changed, 2, "haze", "", 1),
        Some(&ReadingValue::Below(0.04))
    );
}

#[test]
fn two_names_that_fit_alike_are_no_match() {
    let mut project = planned_project();
    project.qualities[1].label = "Haze".to_owned();
    // The id still tells them apart; the label does not.
    assert_eq!(
        entered("run,haze\n1,1\n", &project, &options())
            .summary
            .left_out,
        Vec::<String>::new()
    );
    assert_eq!(
        refused("run,HAZE\n1,1\n", &project)[0].split('.').next(),
        Some("No column is matched by anything that can be entered")
    );
}

#[test]
fn shortened_heads_are_not_guessed_without_a_preview() {
    let summary = entered("run,T (%),haze\n1,88.9,1\n", &planned_project(), &options()).summary;
    assert_eq!(summary.left_out, ["T (%)"]);
}

#[test]
fn labels_and_units_of_targets_are_those_of_the_project() {
    let project = planned_project();
    let reading = Target::Reading {
        quality: "sheet_resistance".to_owned(),
        place: "left".to_owned(),
    };
    assert_eq!(
        (reading.label(&project), reading.unit(&project)),
        ("Sheet resistance, left".to_owned(), "Ω/sq".to_owned())
    );
    let as_run = Target::AsRun("speed".to_owned());
    assert_eq!(
        (as_run.label(&project), as_run.unit(&project)),
        ("Speed, as run".to_owned(), "m/min".to_owned())
    );
    assert!(
        !Target::Reading {
            quality: "look".to_owned(),
            place: String::new()
        }
        .is_numeric(&project)
    );
}

proptest! {
    // Entering readings in one table or row by row gives the same project.
    #[test]
    fn one_table_or_many_give_the_same_project(values in proptest::collection::vec(0.0..100.0_f64, 5)) {
        let project = planned_project();
        let rows: Vec<String> = values.iter().enumerate().map(|(index, value)| format!("{},{value}\n", index + 1)).collect();
        let at_once = after(&format!("run,haze\n{}", rows.concat()), &project, &options());
        let mut one_by_one = project;
        for row in &rows {
            one_by_one = after(&format!("run,haze\n{row}"), &one_by_one, &options());
        }
        prop_assert_eq!(&at_once, &one_by_one);
        for (index, value) in values.iter().enumerate() {
            let reading = &at_once.runs[index].readings[0];
            prop_assert!(matches!(reading.value, ReadingValue::Exact(number) if number.to_bits() == value.to_bits()));
        }
    }

    #[test]
    fn any_table_is_entered_or_refused_without_a_crash(
        cells in proptest::collection::vec("[0-5]|[0-9.,<>a]{0,4}|air|argon|left|good|sound|", 27),
        replace in any::<bool>(),
    ) {
        let rows: Vec<String> =
            cells.chunks(9).map(|row| row.iter().map(|cell| format!("\"{cell}\"")).collect::<Vec<_>>().join(",")).collect();
        let text = format!("run,speed,gas as run,haze,sheet resistance,place,look,film,metre\n{}\n", rows.join("\n"));
        if let Ok(table) = Table::read(&text, &TableOptions::default()) {
            let mut project = planned_project();
            project.runs[0].as_run.insert("gas".to_owned(), SettingValue::Level("argon".to_owned()));
            let options = if replace { replacing() } else { options() };
            match enter_table(&table, &project, &options) {
                Ok(Entry { command: Some(command), .. }) => {
                    command.apply(&mut project).unwrap();
                    prop_assert_eq!(problems_of(&project), []);
                }
                Ok(Entry { command: None, .. }) => {}
                Err(problems) => prop_assert!(!problems.to_string().is_empty()),
            }
        }
    }
}

#[test]
fn an_edit_with_an_area_replaces_the_area() {
    let mut project = planned_project();
    let edit = |area| {
        Command::EnterReadings(vec![ReadingEdit {
            run: 1,
            quality: "holes".to_owned(),
            place: String::new(),
            repeat: 1,
            value: Some(ReadingValue::Exact(3.0)),
            area,
            when: NOW.to_owned(),
            who: String::new(),
        }])
    };
    edit(Some(2.0)).apply(&mut project).unwrap();
    let before = project.clone();
    let inverse = edit(Some(4.0)).apply(&mut project).unwrap();
    assert_eq!(project.runs[0].readings[0].area, Some(4.0));
    inverse.apply(&mut project).unwrap();
    assert_eq!(project, before);
    assert!(edit(Some(0.0)).apply(&mut project).is_err());
    assert_eq!(project, before);
}
