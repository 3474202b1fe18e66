//! A few small pictures, compared with those kept in `tests/snapshots`.
//!
//! They guard against changes nobody meant; what a widget says is tested by its words elsewhere. After a change that
//! was meant, look at the new pictures and keep them with `UPDATE_SNAPSHOTS=1 cargo test -p wetlane --test screens`.

use egui::{Id, Theme, Ui, Vec2, vec2};
use egui_kittest::kittest::Queryable;
use egui_kittest::{Harness, SnapshotOptions};
use wetlane::widgets::limit_row::limit_list;
use wetlane::widgets::margin_bar::LimitState;
use wetlane::widgets::number_field::NumberField;
use wetlane::widgets::screen_tape::screen_tape;
use wetlane::widgets::spine::spine;

use crate::gallery::{harness, limits, screens, spine_model, title};

/// The folder of the kept pictures.
const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/snapshots");

fn compare(harness: &mut Harness<'_>, name: &str) {
    harness.snapshot_options(name, &SnapshotOptions::new().output_path(FOLDER));
}

fn page<'a>(size: Vec2, scale: f32, theme: Theme, page: impl FnMut(&mut Ui) + 'a) -> Harness<'a> {
    let mut harness = harness(size, scale, theme, page);
    harness.run();
    harness
}

fn limit_page(ui: &mut Ui) {
    limit_list(ui, "Limits", &limits(), Some(1));
}

#[test]
fn light_limits_look_as_kept() {
    compare(
        &mut page(vec2(350.0, 150.0), 1.0, Theme::Light, limit_page),
        "limits-light-1x",
    );
}

#[test]
fn dark_limits_look_as_kept() {
    compare(
        &mut page(vec2(350.0, 150.0), 2.0, Theme::Dark, limit_page),
        "limits-dark-2x",
    );
}

#[test]
fn the_small_spine_looks_as_kept() {
    let draw = |ui: &mut Ui| {
        spine(
            ui,
            &spine_model(LimitState::Near, LimitState::Broken),
            &title(),
        );
    };
    compare(
        &mut page(vec2(683.0, 90.0), 1.0, Theme::Light, draw),
        "spine-small-light-1x",
    );
}

#[test]
fn the_tape_looks_as_kept() {
    let draw = |ui: &mut Ui| {
        screen_tape(ui, &screens(), 3);
    };
    compare(
        &mut page(vec2(700.0, 50.0), 1.0, Theme::Dark, draw),
        "tape-dark-1x",
    );
}

#[test]
fn wrong_text_looks_as_kept() {
    let draw = |ui: &mut Ui| {
        NumberField::new(Id::unique("speed"), "Speed, m/min", "1.80")
            .unit("m/min")
            .show(ui);
    };
    let mut harness = page(vec2(420.0, 70.0), 2.0, Theme::Light, draw);
    harness.get_by_label("Speed, m/min").focus();
    harness.run();
    harness.get_by_label("Speed, m/min").type_text("12,5O");
    harness.run();
    harness.key_press(egui::Key::Tab);
    harness.run();
    compare(&mut harness, "wrong-text-light-2x");
}
