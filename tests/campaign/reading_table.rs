//! The table of readings and the page of a run at the machine.
//!
//! Yardsticks: counts and means worked by hand from the sample file, and for the pump the conservation of volume,
//! flow = speed × wet thickness × coated width. The sample is invented.

use std::path::Path;

use wetlane::campaign::card::Field;
use wetlane::campaign::command::Command;
use wetlane::campaign::machine_page::{first_open_run, machine_page};
use wetlane::campaign::project::{
    Outcome, Project, Quality, Reading, ReadingValue, Run, SettingValue, StationKind,
};
use wetlane::campaign::project_file::from_bytes;
use wetlane::campaign::reading_table::{
    CellEntryError, CellState, ReadingTable, Slot, cell_state, known_faults, mean_text, n_missing,
    read_as_run, read_film_cell, read_metre, read_quality_cell, read_slot, slots, slots_of_run,
};
use wetlane::campaign::roll::lay_out;

use crate::support::assert_close;

const NOW: &str = "2026-05-04T09:30:00Z";

fn sample() -> Project {
    let bytes = include_bytes!("../../sample-projects/a-silver-nanowire-electrode.json");
    from_bytes(bytes, Path::new("a-silver-nanowire-electrode.json")).unwrap()
}

fn quality<'a>(project: &'a Project, id: &str) -> &'a Quality {
    project.quality(id).unwrap()
}

fn run(project: &Project, number: u32) -> &Run {
    project.run(number).unwrap()
}

fn with_readings(project: &Project, quality: &str, values: &[(&str, u32, ReadingValue)]) -> Run {
    let mut run = run(project, 3).clone();
    run.readings = values
        .iter()
        .map(|(place, repeat, value)| Reading {
            quality: quality.to_owned(),
            place: (*place).to_owned(),
            repeat: *repeat,
            value: value.clone(),
            area: None,
            when: String::new(),
            who: String::new(),
            set_aside: None,
            earlier: Vec::new(),
        })
        .collect();
    run
}

#[test]
fn a_cell_shows_the_mean_of_the_readings_that_count() {
    let project = sample();
    let resistance = quality(&project, "sheet_resistance");
    // (50.4 + 47.7 + 49.6)/3 = 49.2333; without the reading at the left (47.7 + 49.6)/2 = 48.65.
    assert_eq!(mean_text(run(&project, 3), resistance, 1), "49.2");
    let mut run = run(&project, 3).clone();
    if let Some(left) = run.readings.iter_mut().find(|r| r.place == "left") {
        left.set_aside = Some("fingerprint".to_owned());
    }
    assert_eq!(mean_text(&run, resistance, 2), "48.65");
    let CellState::Read {
        mean,
        deviations,
        n_set_aside,
        n_missing,
    } = cell_state(&run, resistance)
    else {
        unreachable!("the run has readings")
    };
    assert_close(mean.unwrap(), 48.65, 1e-12, "(47.7 + 49.6)/2");
    assert_close(
        deviations.iter().sum::<f64>(),
        0.0,
        1e-12,
        "deviations from a mean add up to nothing",
    );
    assert_eq!((n_set_aside, n_missing), (1, 0));
}

#[test]
fn a_mean_of_readings_below_a_bound_lies_below_the_mean_of_the_bounds() {
    let project = sample();
    let haze = quality(&project, "haze");
    let cell = |values: &[(&str, u32, ReadingValue)]| {
        mean_text(&with_readings(&project, "haze", values), haze, 2)
    };
    let below = ReadingValue::Below(0.1);
    let above = ReadingValue::Above(0.5);
    let exact = ReadingValue::Exact(0.3);
    assert_eq!(cell(&[("", 1, below.clone())]), "< 0.10");
    assert_eq!(
        cell(&[("", 1, below.clone()), ("", 2, exact.clone())]),
        "< 0.20"
    );
    assert_eq!(cell(&[("", 1, above.clone()), ("", 2, exact)]), "> 0.40");
    assert_eq!(cell(&[("", 1, above), ("", 2, below)]), "2 readings");
}

#[test]
fn missing_is_counted_by_place_and_only_for_sound_films() {
    let mut project = sample();
    let table = ReadingTable::new(&project);
    let missing: Vec<usize> = table.qualities.iter().map(|q| q.n_missing).collect();
    // Runs 13, 15 and 17 lack the transmittance; run 18 is faulty and lacks nothing.
    assert_eq!(missing, [0, 0, 3, 0, 0]);
    assert_eq!(
        table.sentence(),
        "18 sound runs, 1 faulty. 3 readings of transmittance are still missing."
    );
    let resistance = quality(&project, "sheet_resistance").clone();
    let values = [("left", 1, ReadingValue::Exact(50.0))];
    let partly = with_readings(&project, "sheet_resistance", &values);
    assert_eq!(n_missing(&partly, &resistance), 2);
    // A reading of the whole film stands for all places.
    let whole = with_readings(
        &project,
        "sheet_resistance",
        &[("", 1, ReadingValue::Exact(50.0))],
    );
    assert_eq!(n_missing(&whole, &resistance), 0);
    for run in &mut project.runs {
        run.outcome = Outcome::NotRun;
        run.readings.clear();
    }
    let sentence = ReadingTable::new(&project).sentence();
    assert_eq!(sentence, "19 runs to run. Nothing is read yet.");
    project.runs.clear();
    assert_eq!(ReadingTable::new(&project).sentence(), "No runs yet.");
}

#[test]
fn a_run_opens_into_its_places_and_repeats() {
    let project = sample();
    let resistance = quality(&project, "sheet_resistance");
    let labels: Vec<String> = slots(run(&project, 3), resistance)
        .iter()
        .map(Slot::label)
        .collect();
    assert_eq!(
        labels,
        ["left, reading 1", "centre, reading 1", "right, reading 1"]
    );
    // Three places and the film as a whole, each with one more repeat.
    assert_eq!(slots_of_run(&project, run(&project, 3), 1).len(), 8);
}

#[test]
fn one_text_gives_one_reading_for_each_slot_or_says_what_is_wrong() {
    let project = sample();
    let resistance = quality(&project, "sheet_resistance");
    let edits = read_quality_cell("50,4; < 40; 49.9", run(&project, 3), resistance, NOW).unwrap();
    // The first is what stands there already.
    let values: Vec<(&str, Option<ReadingValue>)> = edits
        .iter()
        .map(|edit| (edit.place.as_str(), edit.value.clone()))
        .collect();
    assert_eq!(
        values,
        [
            ("centre", Some(ReadingValue::Below(40.0))),
            ("right", Some(ReadingValue::Exact(49.9)))
        ]
    );
    let too_few = read_quality_cell("50.4", run(&project, 3), resistance, NOW);
    let Err(CellEntryError::NValues {
        n_given, n_wanted, ..
    }) = too_few
    else {
        unreachable!("one value for three places")
    };
    assert_eq!((n_given, n_wanted), (1, 3));
    let wrong = read_quality_cell("50.4; 4O; 49", run(&project, 3), resistance, NOW);
    assert!(matches!(wrong, Err(CellEntryError::Reading(_))));
    let haze = quality(&project, "haze");
    let left = Slot {
        place: "left".to_owned(),
        repeat: 1,
    };
    let elsewhere = read_slot("1.2", run(&project, 3), haze, &left, NOW);
    assert!(matches!(elsewhere, Err(CellEntryError::NotReadHere { .. })));
}

#[test]
fn a_setting_as_run_is_kept_only_where_it_differs() {
    let mut project = sample();
    let speed = project.setting("speed").unwrap().clone();
    let command = read_as_run("1,5", run(&project, 3), &speed).unwrap();
    command.apply(&mut project).unwrap();
    assert_eq!(
        run(&project, 3).setting("speed"),
        Some(&SettingValue::Number(1.5))
    );
    let command = read_as_run("2.40", run(&project, 3), &speed).unwrap();
    command.apply(&mut project).unwrap();
    assert!(run(&project, 3).as_run.is_empty());
    assert!(read_as_run("fast", run(&project, 3), &speed).is_err());
}

#[test]
fn films_and_metres_are_read_as_people_write_them() {
    assert_eq!(read_film_cell("Sound").unwrap(), Outcome::Sound);
    assert_eq!(read_film_cell("not run").unwrap(), Outcome::NotRun);
    let faults = vec!["streaks".to_owned(), "ribs".to_owned()];
    let faulty = read_film_cell("faulty: streaks, ribs").unwrap();
    assert_eq!(faulty, Outcome::Faulty { faults });
    assert!(read_film_cell("fine").is_err());
    assert_eq!(read_metre("12,5").unwrap(), Some(12.5));
    assert_eq!(read_metre(" ").unwrap(), None);
    assert!(matches!(
        read_metre("-1"),
        Err(CellEntryError::NegativeMetre { .. })
    ));
}

#[test]
fn faults_that_were_written_down_are_offered_again() {
    let mut project = sample();
    let faults = vec!["fish eyes".to_owned(), "ribs".to_owned()];
    let outcome = Outcome::Faulty { faults };
    Command::SetOutcome { run: 4, outcome }
        .apply(&mut project)
        .unwrap();
    let known = known_faults(&project);
    assert_eq!(known.iter().filter(|fault| *fault == "ribs").count(), 1);
    assert_eq!(known.last().map(String::as_str), Some("fish eyes"));
}

#[test]
fn the_machine_page_shows_the_pump_flow_that_volume_conservation_asks_for() {
    let project = sample();
    let roll = lay_out(&project);
    let page = machine_page(&project, Some(&roll), 4).unwrap();
    assert_eq!(
        (page.previous, page.next, page.n_runs),
        (Some(3), Some(5), 19)
    );
    let run = run(&project, 4);
    let number = |id: &str| run.setting(id).and_then(SettingValue::number).unwrap();
    let die = project.station(StationKind::SlotDie).unwrap();
    let width_m = die.si(Field::CoatedWidth).unwrap();
    // m/min × µm × m = 1e-6 m³/min = 1 mL/min.
    let flow = number("speed") * number("wet_thickness") * width_m;
    let tile = page
        .tiles
        .iter()
        .find(|tile| tile.label == "Pump flow")
        .unwrap();
    assert_close(
        tile.value.parse::<f64>().unwrap(),
        flow,
        0.005 * flow,
        "conservation of volume",
    );
    assert_eq!(tile.unit, "mL/min");
    assert!(tile.asked.starts_with("wet thickness 24.0"));
    let turned = |label: &str| {
        page.tiles
            .iter()
            .find(|t| t.label == label)
            .map(|t| t.is_changed)
    };
    // Run 3 ran at 2.4 m/min and 110 °C, run 4 at 0.6 m/min and 110 °C.
    assert_eq!(turned("Speed"), Some(true));
    assert_eq!(turned("Air temperature"), Some(false));
    let before = page
        .tiles
        .iter()
        .find(|t| t.label == "Speed")
        .and_then(|t| t.was.clone());
    assert_eq!(before.as_deref(), Some("2.40"));
}

#[test]
fn the_machine_page_starts_where_nothing_was_run_yet() {
    let mut project = sample();
    assert_eq!(first_open_run(&project), Some(1));
    for run in project.runs.iter_mut().skip(10) {
        run.outcome = Outcome::NotRun;
    }
    assert_eq!(first_open_run(&project), Some(11));
    assert_eq!(machine_page(&project, None, 99), None);
    project.runs.clear();
    assert_eq!(first_open_run(&project), None);
}
