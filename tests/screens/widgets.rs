//! Widgets by their visible words: what is typed, clicked and dragged, and what is reported once.

use egui::{Id, Key, Theme, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use wetlane::widgets::editable_grid::{
    CellLook, EditableGrid, GridCell, GridColumn, GridEvent, GridRow,
};
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

/// A table of numbers with everything it reported.
#[derive(Default)]
struct GridPage {
    cells: Vec<[String; 3]>,
    events: Vec<GridEvent>,
}

fn grid_page<'a>(n_rows: usize) -> Harness<'a, GridPage> {
    let cells = (0..n_rows)
        .map(|i| [format!("{i}"), "1.20".to_owned(), "17.0".to_owned()])
        .collect();
    let page = GridPage {
        cells,
        events: Vec::new(),
    };
    let columns = [
        GridColumn::number("run", "", 50).fixed(),
        GridColumn::number("speed", "m/min", 80),
        GridColumn::number("wet", "µm", 80),
    ];
    Harness::builder()
        .with_size(vec2(400.0, 240.0))
        .with_max_steps(20)
        .with_context_setup(wetlane::theme::install)
        .renderer(SoftwareRenderer::default())
        .build_ui_state(
            move |ui, page: &mut GridPage| {
                let cell = |row: usize, column: usize| {
                    GridCell::new(&page.cells[row][column], CellLook::Normal)
                };
                let row = |row: usize| GridRow {
                    name: format!("run {row}"),
                    ..GridRow::default()
                };
                let check = |_: usize, _: usize, text: &str| {
                    wetlane::number_text::parse_number(text)
                        .map(|_| ())
                        .map_err(|error| error.to_string())
                };
                let grid = EditableGrid::new(
                    Id::unique("runs"),
                    "Runs",
                    &columns,
                    page.cells.len(),
                    &cell,
                    &row,
                );
                let output = grid.check(&check).show(ui);
                for event in output.events {
                    if let GridEvent::Commit { row, column, text } = &event {
                        page.cells[*row][*column].clone_from(text);
                    }
                    page.events.push(event);
                }
            },
            page,
        )
}

fn commit(row: usize, column: usize, text: &str) -> GridEvent {
    GridEvent::Commit {
        row,
        column,
        text: text.into(),
    }
}

#[test]
fn typing_overwrites_a_cell_and_enter_goes_down() {
    let mut harness = grid_page(4);
    harness.get_by_label("speed, run 1").click();
    harness.run();
    harness.get_by_label("Runs").type_text("2,4");
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    harness.get_by_label("Runs").type_text("3");
    harness.run();
    harness.key_press(Key::Tab);
    harness.run();
    harness.get_by_label("Runs").type_text("9");
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    let commits: Vec<_> = harness
        .state()
        .events
        .iter()
        .filter(|e| matches!(e, GridEvent::Commit { .. }))
        .collect();
    assert_eq!(
        commits,
        [&commit(1, 1, "2,4"), &commit(2, 1, "3"), &commit(2, 2, "9")]
    );
}

#[test]
fn f2_edits_and_escape_gives_up() {
    let mut harness = grid_page(3);
    harness.get_by_label("wet, run 0").click();
    harness.run();
    harness.key_press(Key::F2);
    harness.run();
    let editor = harness.get_by_label("editing wet");
    assert_eq!(editor.value().as_deref(), Some("17.0"));
    editor.type_text("5");
    harness.run();
    assert_eq!(
        harness.get_by_label("editing wet").value().as_deref(),
        Some("17.05")
    );
    harness.key_press(Key::Escape);
    harness.run();
    assert!(harness.query_by_label("editing wet").is_none());
    assert_eq!(harness.state().cells[0][2], "17.0");
    harness.key_press(Key::ArrowDown);
    harness.run();
    assert_eq!(
        harness.state().events,
        [GridEvent::Select { row: 1 }],
        "the table still has the focus"
    );
}

#[test]
fn refused_text_stays_in_its_cell_with_the_message() {
    let mut harness = grid_page(3);
    harness.get_by_label("speed, run 0").click();
    harness.run();
    harness.get_by_label("Runs").type_text("1,2O");
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(
        harness.get_by_label("speed, run 0").value().as_deref(),
        Some("1,2O")
    );
    assert_eq!(harness.state().cells[0][1], "1.20");
    harness.key_press(Key::ArrowUp);
    harness.run();
    harness.get_by_label(
        "\"1,2O\" is not a number: the last character is \"O\". It looks like a zero.",
    );
}

#[test]
fn blocks_are_pasted_whole_and_fixed_columns_are_left_alone() {
    let mut harness = grid_page(3);
    harness.get_by_label("speed, run 1").click();
    harness.run();
    harness.event(egui::Event::Paste("1,5\t20\n1,6\t21\n".into()));
    harness.run();
    let pasted = GridEvent::Paste {
        row: 1,
        column: 1,
        text: "1,5\t20\n1,6\t21\n".into(),
    };
    assert!(harness.state().events.contains(&pasted));
    harness.get_by_label("run, run 2").click();
    harness.run();
    harness.key_press(Key::Delete);
    harness.get_by_label("Runs").type_text("7");
    harness.run();
    assert!(harness.query_by_label("editing run").is_none());
    assert!(
        !harness
            .state()
            .events
            .iter()
            .any(|e| matches!(e, GridEvent::Clear { .. }))
    );
}

#[test]
fn keys_clear_fill_down_and_reach_rows_out_of_view() {
    let mut harness = grid_page(60);
    harness.get_by_label("speed, run 1").click();
    harness.run();
    harness.key_press(Key::Delete);
    harness.key_press_modifiers(egui::Modifiers::COMMAND, Key::D);
    harness.run();
    assert!(
        harness
            .state()
            .events
            .contains(&GridEvent::Clear { row: 1, column: 1 })
    );
    assert!(
        harness
            .state()
            .events
            .contains(&GridEvent::FillDown { row: 1, column: 1 })
    );
    assert!(
        harness.query_by_label("speed, run 50").is_none(),
        "rows out of view are not drawn"
    );
    for _ in 0..5 {
        harness.key_press(Key::PageDown);
        harness.run();
    }
    harness.get_by_label("speed, run 59");
}
