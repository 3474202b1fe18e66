//! The start page and the Line screen by their visible words: a first film, settings, cards, cross, undo.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{Key, Theme, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use wetlane::app::action::{Action, Screen};
use wetlane::app::{App, Setting};
use wetlane::campaign::card::Field;
use wetlane::campaign::project::{Project, Role, SettingValue, Variation};

use crate::software_renderer::SoftwareRenderer;

fn sample() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../sample-projects/a-silver-nanowire-electrode.json")
}

fn window<'a>(
    file: Option<PathBuf>,
    size: egui::Vec2,
    scale: f32,
    theme: Theme,
) -> Harness<'a, App> {
    let mut harness = Harness::builder()
        .with_size(size)
        .with_pixels_per_point(scale)
        .with_max_steps(40)
        .with_render_cursor(false)
        .renderer(SoftwareRenderer::default())
        .build_eframe(|creation| {
            let clock: Arc<dyn Fn() -> String> = Arc::new(|| "2026-02-05T09:00:00Z".to_owned());
            let app = App::new(
                &creation.egui_ctx,
                Setting {
                    file,
                    clock,
                    ..Setting::default()
                },
            );
            creation.egui_ctx.set_theme(theme);
            app
        });
    settle(&mut harness);
    harness
}

/// Frames until work in the background has ended, at most a few seconds.
fn settle(harness: &mut Harness<'_, App>) {
    for _ in 0..400 {
        harness.step();
        if harness.state().derived().under_way().is_empty() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    harness.step();
}

fn project<'a>(harness: &'a Harness<'_, App>) -> &'a Project {
    harness.state().session().unwrap().project()
}

fn type_into(harness: &mut Harness<'_, App>, name: &str, text: &str) {
    harness.get_by_label(name).focus();
    harness.step();
    harness.key_press_modifiers(egui::Modifiers::COMMAND, Key::A);
    harness.step();
    harness.get_by_label(name).type_text(text);
    harness.step();
    harness.key_press(Key::Enter);
    settle(harness);
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
    let ctx = harness.ctx.clone();
    harness.state_mut().act(Action::Undo, &ctx);
    settle(&mut harness);
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
