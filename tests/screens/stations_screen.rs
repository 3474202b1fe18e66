//! Stations beside the head, and a sheet on a single roll, put on the line from its card.

use egui::{Theme, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use wetlane::app::{App, Setting};
use wetlane::campaign::project::{StationKind, WebMode};

use crate::desk::{click, is_said, picture, project, settle, window_with};

/// A new film with the card of its line open.
fn line_card(scale: f32, theme: Theme) -> Harness<'static, App> {
    let mut harness = window_with(Setting::default(), vec2(1366.0, 768.0), scale, theme);
    click(&mut harness, "New film…");
    click(&mut harness, "Make the project");
    settle(&mut harness);
    let edits: Vec<_> = harness.get_all_by_label("Edit…").collect();
    edits[2].click();
    drop(edits);
    settle(&mut harness);
    harness
}

fn press(harness: &mut Harness<'static, App>, words: &str) {
    harness.get_by_label(words).scroll_to_me();
    harness.run_steps(4);
    click(harness, words);
    settle(harness);
}

#[test]
fn every_station_is_added_at_its_place_along_the_web() {
    let mut harness = line_card(1.0, Theme::Light);
    for (words, spine) in [
        ("Add a laminator", "Laminator"),
        ("Add an ultraviolet lamp", "UV lamp"),
        ("Add infrared lamps", "Infrared"),
        ("Add a heated roller", "Roller"),
    ] {
        press(&mut harness, words);
        assert!(is_said(&harness, spine), "{spine}");
        assert!(!is_said(&harness, words), "no second one is offered");
    }
    let line = project(&harness).line.clone().unwrap();
    let kinds: Vec<StationKind> = line.stations.iter().map(|station| station.kind).collect();
    assert_eq!(
        kinds,
        [
            StationKind::Plasma,
            StationKind::SlotDie,
            StationKind::HeatedRoller,
            StationKind::Infrared,
            StationKind::HotGasDryer,
            StationKind::Laminator,
            StationKind::Ultraviolet,
        ]
    );
    picture(&mut harness, "stations-all");
}

#[test]
fn foil_may_be_a_sheet_on_one_roll() {
    let mut harness = line_card(2.0, Theme::Dark);
    assert!(is_said(&harness, "Unwind"));
    press(&mut harness, "how the foil runs");
    click(&mut harness, "a sheet on one roll");
    settle(&mut harness);
    assert_eq!(
        project(&harness).line.as_ref().unwrap().web,
        WebMode::SingleRoll
    );
    assert!(is_said(&harness, "Single roll") && !is_said(&harness, "Unwind"));
    assert!(is_said(&harness, "Roll diameter") && !is_said(&harness, "Leader"));
    picture(&mut harness, "single-roll-dark-2x");
}

#[test]
fn handbook_cards_open_on_request_and_fill_the_ink() {
    let mut harness = line_card(1.0, Theme::Light);
    press(&mut harness, "Back to the settings");
    press(&mut harness, "Use another card…");
    assert!(!is_said(&harness, "Toluene, pure"));
    press(&mut harness, "Show the handbook's solvents and foils…");
    press(&mut harness, "Toluene, pure");
    let ink = &project(&harness).ink;
    assert_eq!(ink.name, "Toluene, pure");
    assert!(ink.note.contains("Jasper (1972)"));
}
