//! The Readings screen: entry by typing or pasting, what became of each film, and the page for the machine.

mod columns;
mod keypad;
mod machine;
mod paste;
mod reading_list;
mod run_panel;
mod table;
mod tiles;
mod verdict;

use std::rc::Rc;

use egui::{Align, Layout, Rect, ScrollArea, Sense, Stroke, Ui, UiBuilder, vec2};

use crate::app::action::Screen;
use crate::app::derived::Stamps;
use crate::app::view::{Request, View};
use crate::campaign::reading_table::ReadingTable;
use crate::theme::{Palette, measure};
use crate::widgets::button::{link, primary_button};
use crate::widgets::choice::word_row;
use crate::widgets::heading::sentence;

/// Width of the right column on a full screen.
const RIGHT: f32 = 366.0;
/// Gap between the table and the right column.
const GAP: f32 = 32.0;

/// Drafts of the Readings screen.
#[derive(Debug, Default)]
pub struct ReadingsScreen {
    facts: Option<(Stamps, Rc<ReadingTable>)>,
    table: table::TableState,
    run: run_panel::RunPanel,
    paste: paste::PasteState,
    machine: Option<machine::MachineState>,
    /// Column shown on a narrow screen.
    narrow_column: usize,
}

impl ReadingsScreen {
    /// Draws the screen.
    pub fn ui(&mut self, ui: &mut Ui, view: &mut View<'_>) -> Vec<Request> {
        let mut requests = Vec::new();
        let facts = self.facts(view);
        if view.project.runs.is_empty() {
            empty_ui(ui, &mut requests);
            return requests;
        }
        if let Some(machine) = &mut self.machine {
            if machine.ui(ui, view, &facts, &mut requests) {
                self.machine = None;
                ui.ctx().request_repaint();
            }
            return requests;
        }
        self.take_paste(ui, view);
        self.head_ui(ui, view, &facts, &mut requests);
        if ui.available_width() < measure::NARROW {
            self.narrow_ui(ui, view, &facts, &mut requests);
        } else {
            self.wide_ui(ui, view, &facts, &mut requests);
        }
        requests
    }

    /// Columns and counts of the present revision.
    fn facts(&mut self, view: &View<'_>) -> Rc<ReadingTable> {
        let stamps = view.derived.stamps();
        match &self.facts {
            Some((known, facts)) if *known == stamps => Rc::clone(facts),
            _ => {
                let facts = Rc::new(ReadingTable::new(view.project));
                self.facts = Some((stamps, Rc::clone(&facts)));
                facts
            }
        }
    }

    /// A block pasted while no field has the focus, or any text while a block is waited for.
    fn take_paste(&mut self, ui: &Ui, view: &View<'_>) {
        if ui.ctx().text_edit_focused() {
            return;
        }
        if let Some(text) = self.paste.take_text(ui) {
            self.open_paste(&text, view.selection.run, view);
        }
    }

    fn open_paste(&mut self, text: &str, from: Option<u32>, view: &View<'_>) {
        self.paste.open(text, from, view);
        self.narrow_column = 2;
    }

    fn head_ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        facts: &ReadingTable,
        requests: &mut Vec<Request>,
    ) {
        let is_narrow = ui.available_width() < measure::NARROW;
        let buttons_width = if is_narrow { 170.0 } else { 440.0 };
        ui.horizontal_top(|ui| {
            let text_width = (ui.available_width() - buttons_width).max(200.0);
            let below = if is_narrow {
                ""
            } else {
                "Type over a cell, or paste a block: columns are matched by name, never by position."
            };
            ui.allocate_ui(vec2(text_width, 44.0), |ui| {
                ui.vertical(|ui| sentence(ui, &facts.sentence(), below));
            });
            ui.with_layout(Layout::right_to_left(Align::TOP), |ui| {
                if primary_button(ui, "See the answers").clicked() {
                    requests.push(Request::GoTo(Screen::Answers));
                }
                if !is_narrow {
                    ui.add_space(10.0);
                    self.links_ui(ui, view);
                }
            });
        });
        ui.add_space(if is_narrow { 0.0 } else { 4.0 });
    }

    fn links_ui(&mut self, ui: &mut Ui, view: &View<'_>) {
        ui.spacing_mut().item_spacing.x = 20.0;
        if link(ui, "At-the-machine view").clicked() {
            self.machine = Some(machine::MachineState::starting_at(view));
            ui.ctx().request_repaint();
        }
        if link(ui, "Paste readings…").clicked() {
            self.paste.wait(ui.ctx());
            self.narrow_column = 2;
        }
    }

    fn wide_ui(
        &mut self,
        ui: &mut Ui,
        view: &mut View<'_>,
        facts: &ReadingTable,
        requests: &mut Vec<Request>,
    ) {
        let full = ui.available_rect_before_wrap();
        let spare = (full.width() - 1318.0).max(0.0);
        let right_width = (RIGHT + 0.1 * spare).min(1.2 * RIGHT);
        let left = full.with_max_x(full.right() - right_width - GAP);
        let right = full.with_min_x(full.right() - right_width);
        let mut inner = ui.new_child(UiBuilder::new().id_salt("readings table").max_rect(left));
        self.table_ui(&mut inner, view, facts, requests);
        column(ui, "readings right", right, |ui| {
            if self.paste.is_open() {
                self.paste.ui(ui, view, requests);
                ui.add_space(14.0);
            }
            self.run.ui(ui, view, facts, requests);
        });
        ui.advance_cursor_after_rect(full);
    }

    fn narrow_ui(
        &mut self,
        ui: &mut Ui,
        view: &mut View<'_>,
        facts: &ReadingTable,
        requests: &mut Vec<Request>,
    ) {
        let run = view
            .selection
            .run
            .map_or_else(|| "Run".to_owned(), |run| format!("Run {run}"));
        let mut heads = vec!["Table", run.as_str()];
        if self.paste.is_open() {
            heads.push("Paste");
        }
        let shown = self.narrow_column.min(heads.len() - 1);
        let line = ui.cursor();
        if let Some(chosen) = word_row(ui, &heads, shown) {
            self.narrow_column = chosen;
        }
        let line = line.with_max_y(ui.cursor().top());
        let right_to_left = Layout::right_to_left(Align::TOP);
        let builder = UiBuilder::new().id_salt("readings links").max_rect(line);
        let mut links = ui.new_child(builder.layout(right_to_left));
        self.links_ui(&mut links, view);
        let rect = ui.available_rect_before_wrap();
        if shown == 0 {
            let mut inner = ui.new_child(UiBuilder::new().id_salt("readings table").max_rect(rect));
            self.table_ui(&mut inner, view, facts, requests);
        } else {
            column(ui, "readings narrow", rect, |ui| {
                if shown == 1 {
                    self.run.ui(ui, view, facts, requests);
                } else {
                    self.paste.ui(ui, view, requests);
                }
            });
        }
        ui.advance_cursor_after_rect(rect);
    }

    fn table_ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        facts: &ReadingTable,
        requests: &mut Vec<Request>,
    ) {
        if let Some(pasted) = self.table.ui(ui, view, facts, requests) {
            self.open_paste(&pasted.text, Some(pasted.run), view);
        }
    }
}

/// Draws into a part of the screen, scrolling up and down where it must.
fn column(ui: &mut Ui, name: &str, rect: Rect, draw: impl FnOnce(&mut Ui)) {
    let layout = Layout::top_down(Align::LEFT);
    let builder = UiBuilder::new().id_salt(name).max_rect(rect).layout(layout);
    let mut inner = ui.new_child(builder);
    ScrollArea::vertical()
        .id_salt(name)
        .auto_shrink(false)
        .show(&mut inner, |ui| {
            // The bar of the scroll area lies over the margin, not over the content.
            ui.set_max_width(rect.width() - 8.0);
            draw(ui);
        });
}

/// No runs: the one thing to do, and the outline of what will stand here.
fn empty_ui(ui: &mut Ui, requests: &mut Vec<Request>) {
    ui.horizontal_top(|ui| {
        let text_width = (ui.available_width() - 190.0).max(200.0);
        ui.allocate_ui(vec2(text_width, 44.0), |ui| {
            ui.vertical(|ui| {
                sentence(
                    ui,
                    "No runs yet.",
                    "Plan the runs first; each becomes a row here.",
                )
            });
        });
        ui.with_layout(Layout::right_to_left(Align::TOP), |ui| {
            if primary_button(ui, "Plan the runs").clicked() {
                requests.push(Request::GoTo(Screen::Plan));
            }
        });
    });
    ui.add_space(20.0);
    let palette = Palette::of(ui);
    let width = (ui.available_width() - RIGHT - GAP).max(240.0);
    for row in 0..9 {
        let (rect, _) = ui.allocate_exact_size(vec2(width, measure::READING_PITCH), Sense::hover());
        let weight = if row == 0 {
            measure::RULE
        } else {
            measure::HAIR
        };
        let stroke = Stroke::new(weight, palette.line);
        ui.painter().hline(rect.x_range(), rect.bottom(), stroke);
    }
}
