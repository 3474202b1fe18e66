//! Widgets by their visible words: what is typed, clicked and dragged, and what is reported once.

use egui::{Id, Key, Theme, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use wetlane::widgets::number_field::NumberField;

use crate::software_renderer::SoftwareRenderer;

/// A field over a value, with everything it reported.
#[derive(Default)]
struct FieldPage {
    shown: String,
    commits: Vec<(String, f64)>,
}

fn field_page<'a>(shown: &str) -> Harness<'a, FieldPage> {
    let page = FieldPage {
        shown: shown.into(),
        commits: Vec::new(),
    };
    Harness::builder()
        .with_size(vec2(500.0, 200.0))
        .with_theme(Theme::Light)
        .with_max_steps(20)
        .with_context_setup(wetlane::theme::install)
        .renderer(SoftwareRenderer::default())
        .build_ui_state(
            |ui, page: &mut FieldPage| {
                for (id, name) in [("speed", "Speed, m/min"), ("gap", "Gap, µm")] {
                    let shown = page.shown.clone();
                    let field = NumberField::new(Id::unique(id), name, &shown).unit("m/min");
                    if let Some(committed) = field.show(ui).committed {
                        page.commits.push((committed.text, committed.value));
                        page.shown = wetlane::number_text::format_number(committed.value, 2);
                    }
                }
            },
            page,
        )
}

fn type_into(harness: &mut Harness<'_, FieldPage>, name: &str, text: &str) {
    harness.get_by_label(name).focus();
    harness.run();
    harness.get_by_label(name).type_text(text);
    harness.run();
}

#[test]
fn decimal_comma_is_read_and_committed_once_on_enter() {
    let mut harness = field_page("1.80");
    type_into(&mut harness, "Speed, m/min", "12,5");
    assert!(
        harness.state().commits.is_empty(),
        "nothing is reported while typing"
    );
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(harness.state().commits, [("12,5".to_owned(), 12.5)]);
    assert_eq!(
        harness.get_by_label("Speed, m/min").value().as_deref(),
        Some("12.50")
    );
    harness.key_press(Key::Tab);
    harness.run();
    assert_eq!(harness.state().commits.len(), 1);
}

#[test]
fn tab_commits_and_moves_on() {
    let mut harness = field_page("1.80");
    type_into(&mut harness, "Speed, m/min", "2.4");
    harness.key_press(Key::Tab);
    harness.run();
    assert_eq!(harness.state().commits, [("2.4".to_owned(), 2.4)]);
    assert!(harness.get_by_label("Gap, µm").is_focused());
}

#[test]
fn leaving_the_field_by_a_click_commits() {
    let mut harness = field_page("1.80");
    type_into(&mut harness, "Speed, m/min", "2.4");
    harness.get_by_label("Gap, µm").click();
    harness.run();
    assert_eq!(harness.state().commits.len(), 1);
}

#[test]
fn wrong_text_stays_with_its_message_until_it_is_right() {
    let mut harness = field_page("1.80");
    type_into(&mut harness, "Speed, m/min", "12,5O");
    harness.key_press(Key::Tab);
    harness.run();
    let message = "\"12,5O\" is not a number: the last character is \"O\". It looks like a zero.";
    assert!(harness.state().commits.is_empty());
    assert_eq!(
        harness.get_by_label("Speed, m/min").value().as_deref(),
        Some("12,5O")
    );
    harness.get_by_label(message);
    type_into(&mut harness, "Speed, m/min", "12,50");
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(harness.state().commits, [("12,50".to_owned(), 12.5)]);
    assert!(harness.query_by_label(message).is_none());
}

#[test]
fn escape_brings_back_the_value_from_before() {
    let mut harness = field_page("1.80");
    type_into(&mut harness, "Speed, m/min", "77");
    harness.key_press(Key::Escape);
    harness.run();
    assert!(harness.state().commits.is_empty());
    assert_eq!(
        harness.get_by_label("Speed, m/min").value().as_deref(),
        Some("1.80")
    );
}

#[test]
fn leaving_without_a_change_reports_nothing() {
    let mut harness = field_page("1.80");
    harness.get_by_label("Speed, m/min").focus();
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    assert!(harness.state().commits.is_empty());
}

#[test]
fn a_value_changed_from_outside_replaces_wrong_text() {
    let mut harness = field_page("1.80");
    type_into(&mut harness, "Speed, m/min", "abc");
    harness.key_press(Key::Tab);
    harness.run();
    harness.state_mut().shown = "3.00".into();
    harness.run();
    assert_eq!(
        harness.get_by_label("Speed, m/min").value().as_deref(),
        Some("3.00")
    );
}
