//! The Readings screen by its visible words: typing, judging, pasting, setting aside, the page for the machine.

use egui::accesskit::Role;
use egui::{Event, Key, Theme, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use wetlane::app::App;
use wetlane::app::action::{Action, Screen};
use wetlane::campaign::project::{Outcome, ReadingValue, Run, SettingValue};

use crate::desk::{NOW, changed_sample, click, picture, project, sample, window_on};

/// The window with the sample campaign on its Readings screen.
fn window<'a>(size: egui::Vec2, scale: f32, look: Theme) -> Harness<'a, App> {
    window_on(sample(), Screen::Readings, size, scale, look)
}

fn desk<'a>() -> Harness<'a, App> {
    window(vec2(1366.0, 768.0), 1.0, Theme::Light)
}

fn run<'h>(harness: &'h Harness<'_, App>, number: u32) -> &'h Run {
    project(harness).run(number).expect("a run of the sample")
}

fn press(harness: &mut Harness<'_, App>, key: Key) {
    harness.key_press(key);
    harness.run_steps(3);
}

fn type_here(harness: &mut Harness<'_, App>, text: &str) {
    harness.event(Event::Text(text.to_owned()));
    harness.run_steps(3);
}

fn paste(harness: &mut Harness<'_, App>, text: &str) {
    harness.event(Event::Paste(text.to_owned()));
    harness.run_steps(4);
}

fn exact(run: &Run, quality: &str, place: &str, repeat: u32) -> Option<f64> {
    match run.reading(quality, place, repeat)?.value {
        ReadingValue::Exact(value) => Some(value),
        _ => None,
    }
}

#[test]
fn without_runs_the_one_next_step_is_named() {
    let path = changed_sample("no-runs.json", |project| {
        project.runs.clear();
        project.choice = None;
        project.plan = None;
    });
    let mut harness = window_on(
        path,
        Screen::Readings,
        vec2(1366.0, 768.0),
        1.0,
        Theme::Light,
    );
    harness.get_by_label_contains("No runs yet.");
    picture(&mut harness, "readings-empty");
    click(&mut harness, "Plan the runs");
    assert_eq!(harness.state().screen(), Screen::Plan);
}

#[test]
fn of_very_many_runs_only_those_in_view_are_drawn() {
    let path = changed_sample("many-runs.json", |project| {
        project.line = None;
        let pattern = project.runs.clone();
        project.runs = (1..=10_000_u32)
            .zip(pattern.iter().cycle())
            .map(|(number, run)| Run {
                number,
                ..run.clone()
            })
            .collect();
    });
    let mut harness = window_on(
        path,
        Screen::Readings,
        vec2(1366.0, 768.0),
        1.0,
        Theme::Light,
    );
    assert!(harness.query_by_label("film, run 12").is_some());
    assert!(harness.query_by_label("film, run 5000").is_none());
    click(&mut harness, "film, run 12");
    press(&mut harness, Key::PageDown);
    harness.run_steps(4);
    assert!(harness.query_by_label("film, run 24").is_some());
}

#[test]
fn long_names_end_in_dots_and_nothing_leaves_the_window() {
    let path = changed_sample("long-names.json", |project| {
        for quality in &mut project.qualities {
            quality.label = format!(
                "{} as read with the second instrument of the laboratory",
                quality.label
            );
        }
        for setting in &mut project.settings {
            setting.label = format!("{} of the station in the middle of the line", setting.label);
        }
        if let Some(run) = project.runs.first_mut() {
            run.note =
                "edge waved for 0.2 m and came back after the second splice of the roll".to_owned();
        }
    });
    for (size, scale) in [(vec2(1366.0, 768.0), 1.0), (vec2(683.0, 384.0), 2.0)] {
        let mut harness = window_on(path.clone(), Screen::Readings, size, scale, Theme::Light);
        picture(&mut harness, &format!("long-names-{}", size.x));
        for node in harness.query_all_by_label_contains("run 2") {
            let bounds = node.rect();
            assert!(
                bounds.right() <= size.x && bounds.left() >= 0.0,
                "{bounds:?}"
            );
        }
    }
}

#[test]
fn the_sentence_counts_films_and_missing_readings() {
    let harness = desk();
    // Counted by hand in the sample file: 18 sound runs, run 18 faulty, runs 13, 15 and 17 lack one reading each.
    harness.get_by_label_contains(
        "18 sound runs, 1 faulty. 3 readings of transmittance are still missing.",
    );
}

#[test]
fn a_decimal_comma_is_typed_into_a_cell_and_undone_by_name() {
    let mut harness = desk();
    click(&mut harness, "transmittance, run 13");
    type_here(&mut harness, "90,4");
    press(&mut harness, Key::Enter);
    assert_eq!(exact(run(&harness, 13), "transmittance", "", 1), Some(90.4));
    let reading = run(&harness, 13)
        .reading("transmittance", "", 1)
        .expect("just typed");
    assert_eq!(reading.when, NOW);
    let undo = harness
        .state()
        .session()
        .and_then(|session| session.undo_label());
    assert_eq!(undo, Some("transmittance of run 13"));
    let ctx = harness.ctx.clone();
    harness.state_mut().act(Action::Undo, &ctx);
    harness.run_steps(4);
    assert_eq!(exact(run(&harness, 13), "transmittance", "", 1), None);
}

#[test]
fn values_beyond_the_range_of_the_instrument_are_kept_as_limits() {
    let mut harness = desk();
    click(&mut harness, "haze, run 13");
    type_here(&mut harness, "< 0,1");
    press(&mut harness, Key::Enter);
    let value = run(&harness, 13)
        .reading("haze", "", 1)
        .map(|r| r.value.clone());
    assert_eq!(value, Some(ReadingValue::Below(0.1)));
    let earlier = run(&harness, 13)
        .reading("haze", "", 1)
        .map(|r| r.earlier.len());
    assert_eq!(earlier, Some(1));
}

#[test]
fn wrong_text_stays_in_its_cell_with_the_reason() {
    let mut harness = desk();
    let before = project(&harness).clone();
    click(&mut harness, "transmittance, run 13");
    type_here(&mut harness, "9O,4");
    press(&mut harness, Key::Enter);
    assert_eq!(project(&harness), &before);
    press(&mut harness, Key::ArrowUp);
    assert!(harness.query_by_label_contains("9O,4").is_some());
}

#[test]
fn three_places_are_typed_at_once_or_one_by_one() {
    let mut harness = desk();
    let resistance = "sheet resistance, run 3";
    click(&mut harness, resistance);
    type_here(&mut harness, "51,2; 48; 50,1");
    press(&mut harness, Key::Enter);
    for (place, value) in [("left", 51.2), ("centre", 48.0), ("right", 50.1)] {
        assert_eq!(
            exact(run(&harness, 3), "sheet_resistance", place, 1),
            Some(value)
        );
    }
    click(&mut harness, resistance);
    harness.key_press_modifiers(egui::Modifiers::COMMAND, Key::Enter);
    harness.run_steps(4);
    click(&mut harness, "Close run 3");
    click(&mut harness, "Open run 3");
    click(&mut harness, "One more reading a place");
    picture(&mut harness, "readings-open-run");
    click(&mut harness, "sheet resistance, run 3, centre, reading 2");
    type_here(&mut harness, "47.5");
    press(&mut harness, Key::Enter);
    assert_eq!(
        exact(run(&harness, 3), "sheet_resistance", "centre", 2),
        Some(47.5)
    );
}

#[test]
fn a_film_is_judged_with_its_faults() {
    let mut harness = desk();
    click(&mut harness, "film, run 4");
    click(&mut harness, "faulty");
    assert_eq!(
        run(&harness, 4).outcome,
        Outcome::Faulty { faults: Vec::new() }
    );
    click(&mut harness, "streaks");
    click(&mut harness, "tacky");
    let faults = vec!["streaks".to_owned(), "tacky".to_owned()];
    assert_eq!(run(&harness, 4).outcome, Outcome::Faulty { faults });
    picture(&mut harness, "readings-faulty");
    click(&mut harness, "sound");
    assert_eq!(run(&harness, 4).outcome, Outcome::Sound);
}

#[test]
fn a_setting_that_was_run_otherwise_is_typed_and_taken_back() {
    let mut harness = desk();
    let planned = run(&harness, 2)
        .planned
        .get("speed")
        .and_then(SettingValue::number);
    click(&mut harness, "speed, run 2");
    type_here(&mut harness, "1,5");
    press(&mut harness, Key::Enter);
    let as_run = run(&harness, 2)
        .as_run
        .get("speed")
        .and_then(SettingValue::number);
    assert_eq!(as_run, Some(1.5));
    click(&mut harness, "speed, run 2");
    type_here(&mut harness, &planned.expect("a number").to_string());
    press(&mut harness, Key::Enter);
    assert!(run(&harness, 2).as_run.is_empty());
}

#[test]
fn a_reading_is_set_aside_with_a_reason_and_never_deleted() {
    let mut harness = desk();
    click(&mut harness, "sheet resistance, run 4");
    press(&mut harness, Key::Delete);
    assert_eq!(run(&harness, 4).readings.len(), 7);
    let said = harness
        .state()
        .messages()
        .first()
        .map(|message| message.what.clone());
    assert_eq!(said.as_deref(), Some("A reading is never deleted."));
    click(
        &mut harness,
        "Set aside… Sheet resistance, right, reading 1",
    );
    picture(&mut harness, "readings-set-aside");
    click(&mut harness, "fingerprint");
    let aside = |harness: &Harness<'_, App>| {
        let reading = run(harness, 4).reading("sheet_resistance", "right", 1);
        reading.and_then(|reading| reading.set_aside.clone())
    };
    assert_eq!(aside(&harness).as_deref(), Some("fingerprint"));
    click(&mut harness, "Take in Sheet resistance, right, reading 1");
    assert_eq!(aside(&harness), None);
}

#[test]
fn a_block_is_shown_before_it_is_taken_over() {
    let mut harness = desk();
    paste(
        &mut harness,
        "run\tT (%)\tdate\n13\t88,9\t12.11.\n15\t89,7\t12.11.\n17\t90,1\t12.11.\n",
    );
    picture(&mut harness, "readings-paste");
    assert_eq!(exact(run(&harness, 13), "transmittance", "", 1), None);
    click(&mut harness, "Take over 3 readings");
    for (number, value) in [(13, 88.9), (15, 89.7), (17, 90.1)] {
        assert_eq!(
            exact(run(&harness, number), "transmittance", "", 1),
            Some(value)
        );
    }
    harness.get_by_label_contains("No reading is missing.");
}

#[test]
fn what_differs_stands_side_by_side_before_it_is_replaced() {
    let mut harness = desk();
    let old = exact(run(&harness, 3), "haze", "", 1).expect("a reading of the sample");
    paste(&mut harness, "run\thaze\n3\t9.87\n13\t1.11\n");
    harness.get_by_label_contains(&format!("{old} stands, 9.87 pasted"));
    picture(&mut harness, "readings-differs");
    assert!(harness.query_by_label_contains("Take over").is_none());
    harness.get_by_label_contains("by what was pasted").click();
    harness.run_steps(4);
    harness
        .get_by_label_contains("Take over 2 readings")
        .click();
    harness.run_steps(4);
    let reading = run(&harness, 3).reading("haze", "", 1).expect("replaced");
    assert_eq!(reading.value, ReadingValue::Exact(9.87));
    assert_eq!(reading.earlier.len(), 1);
}

#[test]
fn the_machine_page_judges_and_reads_without_a_keyboard() {
    let mut harness = desk();
    click(&mut harness, "film, run 13");
    click(&mut harness, "At-the-machine view");
    harness.get_by_label_contains("Run 13, 13 of 19");
    picture(&mut harness, "readings-machine");
    click(&mut harness, "Faulty");
    assert!(matches!(run(&harness, 13).outcome, Outcome::Faulty { .. }));
    picture(&mut harness, "readings-machine-faulty");
    click(&mut harness, "ribs");
    let faults = vec!["ribs".to_owned()];
    assert_eq!(run(&harness, 13).outcome, Outcome::Faulty { faults });
    click(&mut harness, "Sound");
    click(&mut harness, "transmittance…");
    for key in ["8", "8", "decimal point", "9"] {
        harness.get_by_role_and_label(Role::Button, key).click();
        harness.run_steps(4);
    }
    picture(&mut harness, "readings-machine-keys");
    click(&mut harness, "Enter");
    assert_eq!(exact(run(&harness, 13), "transmittance", "", 1), Some(88.9));
    click(&mut harness, "Next run");
    harness.get_by_label_contains("Run 14, 14 of 19");
}

#[test]
fn every_target_at_the_machine_is_large_enough_for_gloves() {
    use egui_kittest::kittest::NodeT as _;
    let mut harness = desk();
    click(&mut harness, "At-the-machine view");
    click(&mut harness, "Faulty");
    let words = [
        "Sound",
        "Faulty",
        "ribs",
        "streaks",
        "Next run",
        "Previous run",
        "Back to the table",
    ];
    for word in words {
        let node = harness.get_by_label(word);
        let bounds = node.accesskit_node().bounding_box().expect("drawn");
        // Points, at scale 1.
        assert!(
            bounds.height() >= 56.0 && bounds.width() >= 56.0,
            "{word}: {bounds:?}"
        );
    }
}

#[test]
fn the_screen_fits_a_small_window_at_twice_the_size_and_the_dark() {
    for (size, scale, name) in [
        (vec2(1366.0, 768.0), 1.0, "wide"),
        (vec2(683.0, 384.0), 2.0, "small"),
    ] {
        for (look, look_name) in [(Theme::Light, "light"), (Theme::Dark, "dark")] {
            let mut harness = window(size, scale, look);
            harness.get_by_label("See the answers");
            click(&mut harness, "film, run 2");
            picture(&mut harness, &format!("{name}-{look_name}"));
            if name == "small" {
                click(&mut harness, "Run 2");
                picture(&mut harness, &format!("{name}-run-{look_name}"));
                click(&mut harness, "At-the-machine view");
                picture(&mut harness, &format!("{name}-machine-{look_name}"));
                click(&mut harness, "Film");
                click(&mut harness, "Faulty");
                picture(&mut harness, &format!("{name}-machine-film-{look_name}"));
                harness
                    .get_by_role_and_label(Role::Button, "Readings")
                    .click();
                harness.run_steps(4);
                picture(
                    &mut harness,
                    &format!("{name}-machine-readings-{look_name}"),
                );
                harness.get_by_label_contains("haze").click();
                harness.run_steps(4);
                picture(&mut harness, &format!("{name}-machine-keys-{look_name}"));
            }
        }
    }
}
