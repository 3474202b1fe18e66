//! Widgets by their visible words: what is typed, clicked and dragged, and what is reported once.

use egui::{Id, Key, Theme, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use wetlane::widgets::choice::{dropdown, radio_rows, word_row};
use wetlane::widgets::editable_grid::{
    CellLook, EditableGrid, GridCell, GridColumn, GridEvent, GridRow,
};
use wetlane::widgets::limit_row::limit_list;
use wetlane::widgets::margin_bar::LimitState;
use wetlane::widgets::message_list::message_line;
use wetlane::widgets::number_field::NumberField;
use wetlane::widgets::screen_tape::screen_tape;
use wetlane::widgets::setting_row::{SettingEdit, plain_setting_row};
use wetlane::widgets::spine::{SpineClick, spine};
use wetlane::widgets::text_field::{note_field, text_field};

use crate::gallery::{limits, messages, screens, settings, spine_model, title};
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

/// A page that keeps what was pressed.
fn page<'a, State: Default + 'a>(
    size: egui::Vec2,
    mut draw: impl FnMut(&mut egui::Ui, &mut State) + 'a,
) -> Harness<'a, State> {
    let mut harness = Harness::builder()
        .with_size(size)
        .with_max_steps(20)
        .with_context_setup(wetlane::theme::install)
        .renderer(SoftwareRenderer::default())
        .build_ui_state(move |ui, state| draw(ui, state), State::default());
    harness.run();
    harness
}

#[test]
fn a_limit_row_says_all_in_words_and_can_be_pressed() {
    let mut harness = page(vec2(360.0, 200.0), |ui, pressed: &mut Option<usize>| {
        *pressed = limit_list(ui, "Limits", &limits(), Some(1)).or(*pressed);
    });
    harness.get_by_label("Stays wet: 40 ≤ 30 s, broken, chance 3 %");
    harness.get_by_label("Bead holds: 13.0 ≥ 12.4 µm, near its limit, chance 76 %");
    harness
        .get_by_label("Low flow: 13.0 ≥ 10.2 µm, holds, chance > 99 %")
        .click();
    harness.run();
    assert_eq!(*harness.state(), Some(2));
}

#[test]
fn the_tape_is_pressed_by_name_and_by_keyboard() {
    let mut harness = page(vec2(1366.0, 60.0), |ui, pressed: &mut Option<usize>| {
        *pressed = screen_tape(ui, &screens(), 0).or(*pressed);
    });
    harness.get_by_label("Plan, 19 runs, 4 cannot run").click();
    harness.run();
    assert_eq!(*harness.state(), Some(1));
    harness.get_by_label("Answers, 5 qualities").focus();
    harness.run();
    harness.key_press(Key::Space);
    harness.run();
    assert_eq!(*harness.state(), Some(4));
}

#[test]
fn every_station_of_the_spine_is_named_and_pressed() {
    let mut harness = page(
        vec2(1366.0, 180.0),
        |ui, pressed: &mut Option<SpineClick>| {
            let model = spine_model(LimitState::Near, LimitState::Broken);
            *pressed = spine(ui, &model, &title()).or(*pressed);
        },
    );
    harness.get_by_label("Dryer, hot gas, 90 °C, air, needs 14 s, has 40 s: broken, 10 s short");
    harness.get_by_label("IR, off: not used");
    harness.get_by_label_contains("Head, slot die").click();
    harness.run();
    assert_eq!(*harness.state(), Some(SpineClick::Station(2)));
    harness
        .get_by_label("Undo: speed 1.60 → 1.80 m/min")
        .click();
    harness.run();
    assert_eq!(*harness.state(), Some(SpineClick::Undo));
    harness.get_by_label("Find…").click();
    harness.run();
    assert_eq!(*harness.state(), Some(SpineClick::Find));
}

#[test]
fn a_small_spine_keeps_the_stations_in_use() {
    let harness = page(vec2(683.0, 100.0), |ui, (): &mut ()| {
        spine(
            ui,
            &spine_model(LimitState::Holds, LimitState::Holds),
            &title(),
        );
    });
    harness.get_by_label_contains("Head, slot die");
    assert!(harness.query_by_label("IR, off: not used").is_none());
}

#[test]
fn a_setting_row_takes_a_value_and_opens_its_range() {
    let mut harness = page(vec2(430.0, 120.0), |ui, edits: &mut Vec<SettingEdit>| {
        let line = &settings()[0];
        edits.extend(plain_setting_row(ui, Id::unique("speed"), line, false));
    });
    harness.get_by_label("Speed, m/min").focus();
    harness.run();
    harness.get_by_label("Speed, m/min").type_text("2,1");
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    harness.get_by_label_contains("Range of Speed").click();
    harness.run();
    harness
        .get_by_label_contains("Effort to change Speed")
        .click();
    harness.run();
    let [
        SettingEdit::Now(now),
        SettingEdit::OpenRange,
        SettingEdit::OpenEffort,
    ] = &harness.state()[..]
    else {
        panic!("unexpected edits: {:?}", harness.state());
    };
    assert!((now.value - 2.1).abs() < 1e-12);
}

#[test]
fn choices_are_made_by_pressing_their_words() {
    let words: Vec<String> = ["slot die", "knife", "gravure"].map(Into::into).into();
    let mut harness = page(
        vec2(300.0, 300.0),
        move |ui, picked: &mut [Option<usize>; 3]| {
            picked[0] = radio_rows(
                ui,
                &["Which settings matter", "Map the response"],
                picked[0],
            )
            .or(picked[0]);
            picked[1] =
                dropdown(ui, Id::unique("head"), "Head", &words, (picked[1], 150.0)).or(picked[1]);
            picked[2] = word_row(ui, &["Haze", "Spread"], picked[2].unwrap_or(0)).or(picked[2]);
        },
    );
    harness.get_by_label("Map the response").click();
    harness.run();
    harness.get_by_label("Head").click();
    harness.run();
    harness.get_by_label("knife").click();
    harness.run();
    harness.get_by_label("Spread").click();
    harness.run();
    assert_eq!(*harness.state(), [Some(1), Some(1), Some(1)]);
    assert_eq!(
        harness.get_by_label("Head").value().as_deref(),
        Some("knife")
    );
}

#[test]
fn the_message_list_opens_jumps_and_closes() {
    let mut harness = page(
        vec2(900.0, 400.0),
        |ui, state: &mut (bool, Option<usize>)| {
            ui.with_layout(egui::Layout::bottom_up(egui::Align::Min), |ui| {
                state.1 = message_line(ui, &mut state.0, &messages(), ("", "saved")).or(state.1);
            });
        },
    );
    harness
        .get_by_label("3 messages: Run 7, wet thickness: \"12,5O\" is not a number.")
        .click();
    harness.run();
    assert!(harness.state().0);
    harness.key_press(Key::Escape);
    harness.run();
    assert!(!harness.state().0);
    harness.state_mut().0 = true;
    harness.run();
    harness
        .get_by_label("Go there: Run 4, place right: Set aside: fingerprint.")
        .click();
    harness.run();
    assert_eq!(*harness.state(), (false, Some(1)));
}

#[test]
fn words_and_notes_are_reported_once_when_the_field_is_left() {
    let mut harness = page(vec2(500.0, 200.0), |ui, changes: &mut Vec<String>| {
        changes.extend(text_field(
            ui,
            Id::unique("project"),
            "Project",
            "trial",
            (80.0, 200.0),
        ));
        changes.extend(note_field(ui, Id::unique("note"), "Note, run 4", "", 2));
    });
    harness.get_by_label("Project").focus();
    harness.run();
    harness.get_by_label("Project").type_text("electrode");
    harness.run();
    harness.key_press(Key::Tab);
    harness.run();
    harness.get_by_label("Note, run 4").type_text("edge waved");
    harness.run();
    assert_eq!(harness.state().len(), 1);
    harness.get_by_label("Project").focus();
    harness.run();
    assert_eq!(*harness.state(), ["electrode", "edge waved"]);
}
