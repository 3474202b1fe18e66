//! The start page and the Line screen by their visible words: a first film, settings, cards, cross, undo.

use std::path::{Path, PathBuf};

use egui::{Theme, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use wetlane::app::action::{Action, Screen};
use wetlane::app::file_picker::{FileAnswer, FilePicker, FileQuestion};
use wetlane::app::{App, Setting};
use wetlane::campaign::card::Field;
use wetlane::campaign::card_file::{self, SharedCard};
use wetlane::campaign::presets::inks;
use wetlane::campaign::project::{KnownTo, Role, SettingValue, Variation};

use crate::desk::{
    act, click, is_said, picture, project, sample, settle, type_into, wait_for, window_with,
};

fn window<'a>(
    file: Option<PathBuf>,
    size: egui::Vec2,
    scale: f32,
    theme: Theme,
) -> Harness<'a, App> {
    let setting = Setting {
        file,
        ..Setting::default()
    };
    window_with(setting, size, scale, theme)
}

#[test]
fn a_first_film_is_made_in_two_clicks_from_the_start_page() {
    let mut harness = window(None, vec2(1366.0, 768.0), 1.0, Theme::Light);
    harness.get_by_label("New film…").click();
    settle(&mut harness);
    harness.get_by_label("Make the project").click();
    settle(&mut harness);
    let varied: Vec<Role> = project(&harness)
        .varied()
        .map(|setting| setting.role)
        .collect();
    assert_eq!(varied, [Role::Speed, Role::WetThickness, Role::Gap]);
    assert_eq!(project(&harness).qualities.len(), 1);
    harness.get_by_label("Plan the runs").click();
    settle(&mut harness);
    assert_eq!(harness.state().screen(), Screen::Plan);
}

#[test]
fn a_typed_speed_moves_the_cross_and_undo_takes_it_back() {
    let mut harness = window(Some(sample()), vec2(1366.0, 768.0), 1.0, Theme::Light);
    type_into(&mut harness, "Speed, m/min", "1,8");
    let speed = |harness: &Harness<'_, App>| project(harness).setting("speed").unwrap().now.clone();
    assert_eq!(speed(&harness), SettingValue::Number(1.8));
    act(&mut harness, Action::Undo);
    assert_eq!(speed(&harness), SettingValue::Number(1.2));
}

#[test]
fn a_wrong_number_stays_with_its_message_and_changes_nothing() {
    let mut harness = window(Some(sample()), vec2(1366.0, 768.0), 1.0, Theme::Light);
    let before = project(&harness).clone();
    type_into(&mut harness, "Speed, m/min", "1,8O");
    assert_eq!(*project(&harness), before);
    assert!(harness.query_by_label_contains("is not a number").is_some());
}

#[test]
fn a_setting_that_cannot_run_is_named_with_its_limit() {
    let mut harness = window(Some(sample()), vec2(1366.0, 768.0), 1.0, Theme::Light);
    type_into(&mut harness, "Speed, m/min", "3");
    type_into(&mut harness, "Wet thickness, µm", "8");
    assert!(
        harness
            .query_by_label_contains("It cannot run: bead holds")
            .is_some()
    );
}

#[test]
fn the_ink_card_is_edited_in_place_and_can_be_emptied() {
    let mut harness = window(Some(sample()), vec2(1366.0, 768.0), 1.0, Theme::Light);
    harness.get_all_by_label("Edit…").next().unwrap().click();
    settle(&mut harness);
    type_into(&mut harness, "Viscosity, mPa·s", "15");
    let viscosity = |harness: &Harness<'_, App>| project(harness).ink.number(Field::Viscosity);
    assert!((viscosity(&harness).unwrap().value - 15.0).abs() < 1e-12);
    type_into(&mut harness, "Viscosity, mPa·s", " ");
    assert_eq!(viscosity(&harness), None);
    assert!(
        harness
            .query_by_label_contains("Not enough is known")
            .is_some()
    );
}

#[test]
fn a_fixed_setting_is_varied_from_the_list() {
    let mut harness = window(None, vec2(1366.0, 768.0), 1.0, Theme::Light);
    harness.get_by_label("New film…").click();
    settle(&mut harness);
    harness.get_by_label("Make the project").click();
    settle(&mut harness);
    harness.get_by_label("Vary another setting…").click();
    settle(&mut harness);
    harness.get_by_label("Vary air temperature").click();
    settle(&mut harness);
    harness.get_by_label("varied over a range").click();
    settle(&mut harness);
    let air = project(&harness).setting("air_temperature").unwrap();
    assert_eq!(
        air.variation,
        Variation::Range {
            low: 70.0,
            high: 110.0,
            log: false
        }
    );
}

#[test]
fn the_line_screen_draws_at_every_size_and_theme() {
    for (size, scale) in [(vec2(1366.0, 768.0), 1.0), (vec2(683.0, 384.0), 2.0)] {
        for theme in [Theme::Light, Theme::Dark] {
            let mut harness = window(Some(sample()), size, scale, theme);
            let picture = harness.render().unwrap();
            assert!(picture.width() > 1000);
            if let Some(folder) = std::env::var_os("WETLANE_PICTURES") {
                let name = format!("line-{theme:?}-{scale}x.png").to_lowercase();
                picture.save(Path::new(&folder).join(name)).unwrap();
            }
        }
    }
}

/// A file dialog that always answers with the same file.
struct AlwaysThis(PathBuf, bool);

impl FilePicker for AlwaysThis {
    fn ask(&mut self, _: &FileQuestion, ctx: &egui::Context) {
        self.1 = true;
        ctx.request_repaint();
    }

    fn poll(&mut self) -> Option<FileAnswer> {
        std::mem::take(&mut self.1).then(|| FileAnswer::Chosen(self.0.clone()))
    }
}

#[test]
fn a_card_goes_to_a_file_and_another_comes_from_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("ink.json");
    let setting = Setting {
        file: Some(sample()),
        picker: Box::new(AlwaysThis(path.clone(), false)),
        ..Setting::default()
    };
    let mut harness = window_with(setting, vec2(1366.0, 768.0), 1.0, Theme::Light);
    let ink = project(&harness).ink.clone();
    harness.get_all_by_label("Edit…").next().unwrap().click();
    settle(&mut harness);
    click(&mut harness, "Save this card to a file…");
    settle(&mut harness);
    assert_eq!(
        card_file::open(&path).unwrap(),
        SharedCard::Ink(ink.clone())
    );

    let other = SharedCard::Ink(inks().remove(2));
    card_file::save(&other, &path).unwrap();
    click(&mut harness, "Back to the settings");
    click(&mut harness, "Use another card…");
    click(&mut harness, "Open a card from a file…");
    settle(&mut harness);
    assert_eq!(project(&harness).ink.name, other.name());
    act(&mut harness, Action::Undo);
    assert_eq!(project(&harness).ink, ink);

    std::fs::write(&path, "{}").unwrap();
    click(&mut harness, "Open a card from a file…");
    settle(&mut harness);
    assert!(is_said(&harness, "this is no Wetlane card"));
    assert_eq!(project(&harness).ink, ink);
}

#[test]
fn how_well_an_input_is_known_is_typed_and_moves_the_chance() {
    let mut harness = window(Some(sample()), vec2(1366.0, 768.0), 1.0, Theme::Dark);
    type_into(&mut harness, "Wet thickness, µm", "8");
    wait_for(&mut harness, "It works with a chance of");
    click(&mut harness, "How well the inputs are known…");
    picture(&mut harness, "known-to");
    let known = |harness: &Harness<'_, App>| {
        let all = &project(harness).limits.uncertainties;
        all.get("viscosity").copied()
    };
    type_into(&mut harness, "Ink viscosity, known to, %", "30");
    assert_eq!(known(&harness), Some(KnownTo::Percent(30.0)));
    type_into(&mut harness, "Ink viscosity, known to, %", "-1");
    assert_eq!(known(&harness), Some(KnownTo::Percent(30.0)));
    type_into(&mut harness, "Ink viscosity, known to, %", " ");
    assert_eq!(known(&harness), None);
    type_into(&mut harness, "least chance, %", "80");
    assert_eq!(project(&harness).limits.least_chance, Some(0.8));
    type_into(&mut harness, "least chance, %", "100");
    assert_eq!(project(&harness).limits.least_chance, Some(0.8));
}

#[test]
fn the_window_is_shaded_by_chance_until_the_shade_is_hidden() {
    let mut harness = window(Some(sample()), vec2(1366.0, 768.0), 1.0, Theme::Dark);
    wait_for(&mut harness, "Deeper shade: less likely to work.");
    picture(&mut harness, "line-shaded-dark");
    click(&mut harness, "Hide chances");
    assert!(!is_said(&harness, "Deeper shade"));
    assert!(is_said(&harness, "Drag the cross"));
    click(&mut harness, "Show chances");
    wait_for(&mut harness, "Deeper shade: less likely to work.");
}
