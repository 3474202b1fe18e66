//! Pasted blocks before they are taken over.

use proptest::prelude::*;
use wetlane::campaign::command::Command;
use wetlane::campaign::paste_preview::{Preview, PreviewCell, RetargetError};
use wetlane::campaign::project::Project;
use wetlane::campaign::project::ReadingValue;
use wetlane::campaign::reading_entry::{Differing, EntryOptions, MatchedBy, RowsGoTo, Target};
use wetlane::campaign::table_cell::DecimalSign;
use wetlane::campaign::table_text::Header;

use super::entry::planned_project;
use super::messages;

const NOW: &str = "2026-05-05T10:00:00Z";

#[track_caller]
fn preview(text: &str, project: &Project) -> Preview {
    Preview::new(text, project, EntryOptions::default())
        .unwrap_or_else(|problems| panic!("{problems}"))
}

fn reading(quality: &str, place: &str) -> Target {
    Target::Reading {
        quality: quality.to_owned(),
        place: place.to_owned(),
    }
}

#[track_caller]
fn taken_over(preview: &Preview, project: &Project) -> Project {
    let mut project = project.clone();
    let entry = preview
        .to_command(&project, NOW)
        .unwrap_or_else(|problems| panic!("{problems}"));
    entry.command.unwrap().apply(&mut project).unwrap();
    project
}

fn haze(project: &Project) -> Vec<Option<f64>> {
    let value = |run: &wetlane::campaign::project::Run| match run.reading("haze", "", 1)?.value {
        ReadingValue::Exact(number) => Some(number),
        _ => None,
    };
    project.runs.iter().map(value).collect()
}

fn problems(preview: &Preview) -> Vec<String> {
    preview.problems().iter().map(ToString::to_string).collect()
}

#[test]
fn a_block_with_heads_shows_every_column_with_unit_sign_and_first_values() {
    let project = planned_project();
    let shown = preview(
        "run\tT (%)\tdate\n3\t88,9\t12.11.\n4\t90,4\t12.11.\n1\t\t12.11.\n",
        &project,
    );
    assert_eq!((shown.n_rows(), shown.n_readings()), (3, 2));
    assert!(shown.problems().is_empty());
    let columns = shown.columns(&project);
    assert_eq!(
        (&columns[0].target, columns[0].by),
        (&Target::Run, MatchedBy::Name)
    );
    // The only quality in % that begins with T; it is shown before anything is taken over.
    assert_eq!(
        (&columns[1].target, columns[1].by),
        (&reading("transmittance", ""), MatchedBy::Abbreviation)
    );
    assert_eq!(
        (columns[1].unit.as_str(), columns[1].sign),
        ("%", Some(DecimalSign::Comma))
    );
    assert_eq!(
        (&columns[2].target, columns[2].by),
        (&Target::LeftOut, MatchedBy::Nothing)
    );
    let cell = |pasted: &str, read_as: Option<&str>| PreviewCell {
        pasted: pasted.to_owned(),
        read_as: read_as.map(ToOwned::to_owned),
    };
    assert_eq!(
        columns[1].first,
        [
            cell("88,9", Some("88.9")),
            cell("90,4", Some("90.4")),
            cell("", None)
        ]
    );
    assert_eq!(columns[2].first[0], cell("12.11.", None));
    assert!(
        shown
            .summary()
            .notes
            .contains(&"\"T (%)\" was taken for Transmittance.".to_owned())
    );
    let changed = taken_over(&shown, &project);
    let reading = changed
        .run(3)
        .unwrap()
        .reading("transmittance", "", 1)
        .unwrap();
    assert_eq!(
        (&reading.value, reading.when.as_str()),
        (&ReadingValue::Exact(88.9), NOW)
    );
}

#[test]
fn an_abbreviation_that_fits_two_names_or_another_unit_is_no_match() {
    let mut project = planned_project();
    let target = |head: &str, project: &Project| {
        preview(&format!("run\t{head}\n1\t5\n"), project).columns(project)[1]
            .target
            .clone()
    };
    assert_eq!(target("H (%)", &project), reading("haze", ""));
    assert_eq!(target("T (nm)", &project), Target::LeftOut);
    assert_eq!(target("T", &project), Target::LeftOut);
    project.qualities[2].label = "Turbidity".to_owned();
    assert_eq!(target("T (%)", &project), Target::LeftOut);
}

#[test]
fn a_block_without_heads_goes_nowhere_until_told() {
    let project = planned_project();
    let mut shown = preview("1,5\n2,5\n\n4,5\n", &project);
    assert_eq!(shown.table().header(), Header::None);
    assert_eq!((shown.n_rows(), shown.n_readings()), (4, 0));
    assert!(!shown.problems().is_empty());
    assert!(shown.to_command(&project, NOW).is_err());
    shown.retarget(0, reading("haze", ""), &project).unwrap();
    assert_eq!(
        problems(&shown),
        [
            "Nothing says which run a row is. Add a column \"run\", or a column for each varied setting (missing: \"Speed\", \"Gas\")."
        ]
    );
    shown.set_rows(RowsGoTo::InOrderFrom(2), &project);
    assert_eq!((problems(&shown), shown.n_readings()), (vec![], 3));
    assert_eq!(shown.columns(&project)[0].by, MatchedBy::Hand);
    // The empty row keeps its run.
    assert_eq!(
        haze(&taken_over(&shown, &project)),
        [None, Some(1.5), Some(2.5), None, Some(4.5)]
    );
}

#[test]
fn rows_beyond_the_last_run_and_unknown_first_runs_are_refused() {
    let project = planned_project();
    let mut shown = preview("1.5\n2.5\n3.5\n", &project);
    shown.retarget(0, reading("haze", ""), &project).unwrap();
    shown.set_rows(RowsGoTo::InOrderFrom(4), &project);
    assert_eq!(
        problems(&shown),
        [
            "Row 3: There is no run for this row: the project ends with run 5. Take out the rows beyond it."
        ]
    );
    shown.set_rows(RowsGoTo::InOrderFrom(77), &project);
    assert_eq!(
        problems(&shown)[0],
        "Row 1: There is no run 77. The project has runs 1 to 5."
    );
}

#[test]
fn a_pasted_run_column_is_believed_over_the_place_of_the_paste() {
    let project = planned_project();
    let mut shown = preview("run\thaze\n5\t1.5\n", &project);
    shown.set_rows(RowsGoTo::InOrderFrom(2), &project);
    assert_eq!(
        haze(&taken_over(&shown, &project)),
        [None, None, None, None, Some(1.5)]
    );
}

#[test]
fn problems_stand_at_their_cells() {
    let project = planned_project();
    let shown = preview(
        "run\thaze\tlook\n1\t1,5O\tgood\n9\t2\tfine\n2\t3\tfine\n",
        &project,
    );
    let places: Vec<(usize, usize)> = shown
        .problems()
        .iter()
        .map(|problem| {
            (
                problem.place.row.unwrap().number,
                problem.place.column.as_ref().unwrap().index,
            )
        })
        .collect();
    assert_eq!(places, [(1, 1), (2, 0), (3, 2)]);
    assert_eq!(
        messages(&shown.to_command(&project, NOW).unwrap_err())[0],
        "Row 1 (line 2), column \"haze\": \"1,5O\" is not a number: the last character is \"O\". It looks like a zero."
    );
}

#[test]
fn columns_can_be_sent_elsewhere_and_read_otherwise() {
    let project = planned_project();
    // Copied as shown on screen: thousands or decimals.
    let mut shown = preview("run\tR\n1\t1,234\n2\t2,345\n", &project);
    shown
        .retarget(1, reading("sheet_resistance", "left"), &project)
        .unwrap();
    let unclear = "Column \"R\": \"1,234\" (row 1) may be 1.234 or 1234.";
    assert!(
        problems(&shown)[0].starts_with(unclear),
        "{:?}",
        problems(&shown)
    );
    shown.set_sign(1, DecimalSign::Comma, &project).unwrap();
    assert_eq!(
        shown.columns(&project)[1].first[0].read_as.as_deref(),
        Some("1.234")
    );
    let changed = taken_over(&shown, &project);
    assert_eq!(
        changed
            .run(1)
            .unwrap()
            .reading("sheet_resistance", "left", 1)
            .unwrap()
            .value,
        ReadingValue::Exact(1.234)
    );
    // The point would have parted thousands, and the comma does not fit it.
    shown.set_sign(1, DecimalSign::Point, &project).unwrap();
    assert_eq!(
        problems(&shown)[0],
        "Row 1 (line 2), column \"R\": \"1,234\" does not have the decimal point of its column. Write thousands without a separator."
    );
    shown.retarget(1, reading("haze", ""), &project).unwrap();
    shown.retarget(1, Target::LeftOut, &project).unwrap();
    assert_eq!(shown.n_readings(), 0);
    let missing = RetargetError::NoColumn {
        n_columns: 2,
        number: 3,
    };
    assert_eq!(
        shown.retarget(2, Target::Note, &project),
        Err(missing.clone())
    );
    assert_eq!(
        shown.set_sign(2, DecimalSign::Point, &project),
        Err(missing.clone())
    );
    assert_eq!(
        missing.to_string(),
        "the block has 2 columns; there is no column 3"
    );
    shown.retarget(1, reading("gloss", ""), &project).unwrap();
    assert_eq!(
        problems(&shown)[0],
        "Column \"R\": The project has no \"gloss\". Choose where the column goes."
    );
}

#[test]
fn heads_are_told_from_values_and_can_be_corrected() {
    let project = planned_project();
    for (text, header) in [
        ("haze\n1.5", Header::FirstRow),
        ("1.5\n2.5", Header::None),
        ("<0,1\n2.5", Header::None),
        ("good\t1\nbad\t2", Header::None),
        ("haze", Header::None),
        ("run,haze\n1,1.5", Header::FirstRow),
        ("good\nbad", Header::FirstRow),
    ] {
        assert_eq!(preview(text, &project).table().header(), header, "{text:?}");
    }
    // Words look like a head; the user knows better.
    let mut shown = preview("good\nbad\n", &project);
    shown.set_header(Header::None, &project).unwrap();
    shown.retarget(0, reading("look", ""), &project).unwrap();
    shown.set_rows(RowsGoTo::InOrderFrom(1), &project);
    assert_eq!(shown.n_readings(), 2);
    // A block that is no table with a head stays as it was.
    let mut shown = preview("1\t1\n2\t3\n", &project);
    let before = shown.clone();
    assert_eq!(
        messages(&shown.set_header(Header::FirstRow, &project).unwrap_err()),
        ["Columns 1 and 2 are both called \"1\". Rename one."]
    );
    assert_eq!(shown, before);
}

#[test]
fn a_value_that_differs_is_taken_only_if_asked() {
    let project = planned_project();
    let project = taken_over(&preview("run\thaze\n1\t1.5\n", &project), &project);
    let mut shown = preview("run\thaze\n1\t1.6\n2\t2\n", &project);
    assert_eq!((shown.problems().len(), shown.n_readings()), (1, 1));
    shown.set_differing(Differing::Replace, &project);
    assert_eq!((shown.problems().len(), shown.n_readings()), (0, 2));
    assert_eq!(
        haze(&taken_over(&shown, &project))[..2],
        [Some(1.6), Some(2.0)]
    );
}

#[test]
fn a_preview_follows_the_project() {
    let project = planned_project();
    let mut shown = preview("run\thaze\n1\t1.5\n", &project);
    let changed = taken_over(&shown, &project);
    shown.update(&changed);
    assert_eq!(
        (shown.n_readings(), shown.summary().readings.n_same),
        (0, 1)
    );
    let mut without = project;
    Command::RemoveQuality {
        id: "haze".to_owned(),
    }
    .apply(&mut without)
    .unwrap();
    shown.update(&without);
    assert_eq!(
        problems(&shown)[0],
        "Column \"haze\": The project has no \"haze\". Choose where the column goes."
    );
}

#[test]
fn every_target_of_a_project_is_offered_once() {
    let project = planned_project();
    let choices = Preview::choices(&project);
    assert!(
        choices.contains(&reading("sheet_resistance", "centre"))
            && choices.contains(&Target::AsRun("speed".to_owned()))
    );
    for (index, choice) in choices.iter().enumerate() {
        assert!(!choices[..index].contains(choice), "{choice:?}");
    }
    // What the film became is no reading.
    assert!(!choices.contains(&reading("film_sound", "")) && choices.contains(&Target::Outcome));
}

proptest! {
    #[test]
    fn any_pasted_text_is_shown_or_refused_without_a_crash(
        text in "(?s)([a-z0-9,.<>\t\n;\" ]|run|haze){0,30}",
        column in 0_usize..3,
    ) {
        let project = planned_project();
        if let Ok(mut shown) = Preview::new(&text, &project, EntryOptions::default()) {
            shown.set_rows(RowsGoTo::InOrderFrom(1), &project);
            for target in Preview::choices(&project) {
                if shown.retarget(column, target, &project).is_ok() {
                    let n_columns = shown.columns(&project).len();
                    prop_assert_eq!(n_columns, shown.table().columns().len());
                    prop_assert_eq!(shown.to_command(&project, NOW).is_ok(), shown.problems().is_empty());
                }
            }
        }
    }
}
