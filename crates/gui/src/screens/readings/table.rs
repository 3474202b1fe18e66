//! The table: one row a run, which opens into its readings by place and repeat.

use std::collections::{BTreeMap, BTreeSet};

use egui::{Align, Id, Key, KeyboardShortcut, Modifiers, Rect, Shape, Stroke, Ui, pos2, vec2};

use super::columns::{Column, Columns, TICKS, columns};
use crate::app::view::{Request, View, message};
use crate::campaign::command::Command;
use crate::campaign::project::{Outcome, Project, Quality, Run, SettingEntry};
use crate::campaign::reading_table::{
    CellEntryError, CellState, QualityColumn, ReadingTable, Slot, cell_state, mean_text,
    outcome_text, read_as_run, read_film_cell, read_metre, read_quality_cell, read_slot,
    setting_text, slots_of_run, value_text,
};
use crate::number_text::format_number;
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::button::link;
use crate::widgets::editable_grid::{
    CellLook, EditableGrid, GridCell, GridEvent, GridOutput, GridRow, RowRule,
};
use crate::widgets::heading::inline_text;
use crate::widgets::lettering::{Lettering, base_line_around};
use crate::widgets::message_list::MessageWeight;

/// Opens and closes the readings of the selected run.
pub(super) const OPEN_RUN: KeyboardShortcut = KeyboardShortcut::new(Modifiers::COMMAND, Key::Enter);

/// Room below the table for its legend.
const LEGEND: f32 = 30.0;

/// What the table remembers.
#[derive(Debug, Default)]
pub(super) struct TableState {
    open: BTreeSet<u32>,
    /// Empty repeats that were asked for beyond those there are.
    more: BTreeMap<u32, u32>,
    cursor_row: usize,
    first_quality: usize,
}

/// A block pasted into the table.
#[derive(Debug)]
pub(super) struct PastedBlock {
    /// The block.
    pub text: String,
    /// The run on whose row the cursor stood.
    pub run: u32,
}

/// A row of the table.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Row {
    /// A run, by its place in the run order.
    Run(usize),
    /// A slot of a run.
    Slot(usize, Slot),
}

impl Row {
    const fn run(&self) -> usize {
        match self {
            Self::Run(at) | Self::Slot(at, _) => *at,
        }
    }
}

/// Everything a cell is made from.
struct Sheet<'a> {
    view: &'a View<'a>,
    facts: &'a ReadingTable,
    columns: &'a Columns,
    rows: &'a [Row],
    open: &'a BTreeSet<u32>,
}

impl TableState {
    /// Draws the table; returns a block that was pasted into it.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        facts: &ReadingTable,
        requests: &mut Vec<Request>,
    ) -> Option<PastedBlock> {
        if self.first_quality >= facts.qualities.len() {
            self.first_quality = 0;
        }
        if ui.input_mut(|input| input.consume_shortcut(&OPEN_RUN)) {
            self.toggle(view.selection.run);
        }
        let shown = columns(ui, view.project, facts, self.first_quality);
        let rows = self.rows(view.project);
        let output = {
            let sheet = Sheet {
                view,
                facts,
                columns: &shown,
                rows: &rows,
                open: &self.open,
            };
            sheet.show(ui)
        };
        let pasted = self.take_events(ui, &output, (&rows, &shown), (view, facts), requests);
        self.legend_ui(ui, view, &shown);
        pasted
    }

    fn rows(&self, project: &Project) -> Vec<Row> {
        let mut rows = Vec::with_capacity(project.runs.len());
        for (at, run) in project.runs.iter().enumerate() {
            rows.push(Row::Run(at));
            if self.open.contains(&run.number) {
                let n_more = self.more.get(&run.number).copied().unwrap_or(0);
                let slots = slots_of_run(project, run, n_more);
                rows.extend(slots.into_iter().map(|slot| Row::Slot(at, slot)));
            }
        }
        rows
    }

    fn toggle(&mut self, run: Option<u32>) {
        if let Some(run) = run
            && !self.open.remove(&run)
        {
            self.open.insert(run);
        }
    }

    fn take_events(
        &mut self,
        ui: &Ui,
        output: &GridOutput,
        (rows, columns): (&[Row], &Columns),
        (view, facts): (&View<'_>, &ReadingTable),
        requests: &mut Vec<Request>,
    ) -> Option<PastedBlock> {
        let mut pasted = None;
        let run_at = |row: usize| {
            rows.get(row)
                .and_then(|row| view.project.runs.get(row.run()))
        };
        for event in &output.events {
            match event {
                GridEvent::Select { row } => {
                    self.cursor_row = *row;
                    requests.push(Request::SelectRun(run_at(*row).map(|run| run.number)));
                }
                GridEvent::Paste { row, text, .. } if text.trim().contains(['\t', '\n']) => {
                    pasted = run_at(*row).map(|run| PastedBlock {
                        text: text.clone(),
                        run: run.number,
                    });
                }
                GridEvent::Commit { row, column, text }
                | GridEvent::Paste { row, column, text } => {
                    let place = rows.get(*row).zip(columns.kinds.get(*column));
                    if let Some((row, kind)) = place {
                        requests.extend(entered(view, facts, row, *kind, text));
                    }
                }
                GridEvent::Clear { row, column } => {
                    let place = rows.get(*row).zip(columns.kinds.get(*column));
                    if let Some((row, kind)) = place {
                        requests.extend(cleared(view, facts, row, *kind));
                    }
                }
                GridEvent::FillDown { row, column } => {
                    let above = row.checked_sub(1).and_then(|above| rows.get(above));
                    if let (Some(above), Some(row), Some(kind)) =
                        (above, rows.get(*row), columns.kinds.get(*column))
                    {
                        requests.extend(filled(view, facts, (above, row), *kind));
                    }
                }
            }
        }
        self.take_clicks(ui, output, rows, view, requests);
        pasted
    }

    /// A press on the mark before a run opens it; a press on the row that already has the cursor selects its run.
    fn take_clicks(
        &mut self,
        ui: &Ui,
        output: &GridOutput,
        rows: &[Row],
        view: &View<'_>,
        requests: &mut Vec<Request>,
    ) {
        let (is_clicked, is_double, at) = ui.input(|input| {
            let pointer = &input.pointer;
            let button = egui::PointerButton::Primary;
            (
                pointer.primary_clicked(),
                pointer.button_double_clicked(button),
                pointer.interact_pos(),
            )
        });
        let Some(at) = at.filter(|at| is_clicked && output.body.contains(*at)) else {
            return;
        };
        // Something drawn above the table (a list that is open) takes the press.
        if ui.ctx().layer_id_at(at) != Some(ui.layer_id()) {
            return;
        }
        let run = rows
            .get(self.cursor_row)
            .and_then(|row| view.project.runs.get(row.run()));
        let Some(run) = run else { return };
        if view.selection.run != Some(run.number) {
            requests.push(Request::SelectRun(Some(run.number)));
        }
        let is_on_number = output
            .columns
            .first()
            .is_some_and(|column| column.contains(at.x));
        let is_on_mark = at.x < output.body.left() + 20.0;
        if (is_on_mark && !is_double) || (is_on_number && !is_on_mark && is_double) {
            self.toggle(Some(run.number));
            ui.ctx().request_repaint();
        }
    }

    /// What the marks mean, what had no room, and what can be done with the selected run.
    fn legend_ui(&mut self, ui: &mut Ui, view: &View<'_>, columns: &Columns) {
        ui.add_space(4.0);
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 16.0;
            if let Some(run) = view.selection.run {
                let is_open = self.open.contains(&run);
                let words = if is_open {
                    format!("Close run {run}")
                } else {
                    format!("Open run {run}")
                };
                let hint = format!("{} does the same", ui.ctx().format_shortcut(&OPEN_RUN));
                if link(ui, &words).on_hover_text(hint).clicked() {
                    self.toggle(Some(run));
                }
                if is_open && link(ui, "One more reading a place").clicked() {
                    *self.more.entry(run).or_insert(0) += 1;
                }
            }
            if columns.n_qualities_left_out > 0 && link(ui, "More film qualities").clicked() {
                let n_shown = columns
                    .kinds
                    .iter()
                    .filter(|kind| matches!(kind, Column::Quality(_)))
                    .count();
                self.first_quality += n_shown.max(1);
            }
            let words = legend_words(columns);
            let room = ui.available_width();
            let text = Lettering::new(words, theme::regular(text_size::UNIT), Palette::of(ui).ink2);
            if room > 160.0 {
                let (rect, _) = ui.allocate_exact_size(vec2(room, 20.0), egui::Sense::hover());
                let base = base_line_around(rect.center().y, text_size::UNIT);
                text.write_within(ui.painter(), pos2(rect.left(), base), Align::LEFT, room);
            } else {
                inline_text(ui, "");
            }
        });
    }
}

fn legend_words(columns: &Columns) -> String {
    let mut words = String::from("Teal: differs from the plan. Dashed: readings are missing.");
    if !columns.settings_left_out.is_empty() {
        words = format!(
            "{words} Select a run to see {}.",
            columns.settings_left_out.join(", ")
        );
    }
    words
}

impl Sheet<'_> {
    fn show(&self, ui: &mut Ui) -> GridOutput {
        let cell = |row: usize, column: usize| self.cell(row, column);
        let row = |row: usize| self.row(row);
        let check = |row: usize, column: usize, text: &str| self.check(row, column, text);
        let painter =
            |ui: &Ui, rect: Rect, row: usize, column: usize| self.paint(ui, rect, row, column);
        let id = Id::unique("table of readings");
        EditableGrid::new(
            id,
            "Readings",
            &self.columns.heads,
            self.rows.len(),
            &cell,
            &row,
        )
        .check(&check)
        .painter(&painter)
        .pitch(measure::READING_PITCH)
        .most_height((ui.available_height() - LEGEND).max(100.0))
        .show(ui)
    }

    fn place(&self, row: usize, column: usize) -> Option<(&Row, &Run, Column)> {
        let row = self.rows.get(row)?;
        let run = self.view.project.runs.get(row.run())?;
        Some((row, run, *self.columns.kinds.get(column)?))
    }

    fn quality(&self, at: usize) -> Option<(&QualityColumn, &Quality)> {
        let column = self.facts.qualities.get(at)?;
        Some((column, self.view.project.quality(&column.id)?))
    }

    fn row(&self, row: usize) -> GridRow {
        let Some(row) = self.rows.get(row) else {
            return GridRow::default();
        };
        let run = self.view.project.runs.get(row.run());
        let number = run.map_or(0, |run| run.number);
        match row {
            Row::Run(at) => GridRow {
                name: format!("run {number}"),
                is_selected: self.view.selection.run == Some(number),
                rule: self.rule(*at),
            },
            Row::Slot(_, slot) => GridRow {
                name: format!("run {number}, {}", slot.label()),
                is_selected: false,
                rule: RowRule::None,
            },
        }
    }

    fn rule(&self, at: usize) -> RowRule {
        let placed = self.view.derived.roll().and_then(|roll| roll.runs.get(at));
        match placed.and_then(|placed| placed.set_up.as_ref()) {
            Some(set_up) if set_up.is_strip_down => RowRule::NewBottle,
            Some(_) => RowRule::SetUp,
            None => RowRule::None,
        }
    }

    fn cell(&self, row: usize, column: usize) -> GridCell {
        let Some((row, run, kind)) = self.place(row, column) else {
            return GridCell::default();
        };
        match row {
            Row::Run(at) => self.run_cell(*at, run, kind),
            Row::Slot(_, slot) => self.slot_cell(run, slot, kind),
        }
    }

    fn run_cell(&self, at: usize, run: &Run, kind: Column) -> GridCell {
        match kind {
            Column::Run => GridCell::new(run.number.to_string(), CellLook::Normal),
            Column::Metre => self.metre_cell(at, run),
            Column::Setting(at) => self.setting_cell(run, at),
            Column::Film => match &run.outcome {
                Outcome::Faulty { .. } => GridCell::new("faulty", CellLook::Faulty),
                Outcome::NotRun => GridCell::new(outcome_text(&run.outcome), CellLook::Repeated),
                Outcome::Sound => GridCell::new("sound", CellLook::Quiet),
            },
            Column::Quality(at) => self.quality_cell(run, at),
            Column::Note => GridCell::new(run.note.clone(), CellLook::Quiet),
        }
    }

    /// The metre as written down, else as laid out on the roll.
    fn metre_cell(&self, at: usize, run: &Run) -> GridCell {
        if let Some(metre) = run.metre {
            return GridCell::new(format_number(metre, 1), CellLook::Normal);
        }
        let placed = self.view.derived.roll().and_then(|roll| roll.runs.get(at));
        placed.map_or_else(GridCell::default, |placed| {
            GridCell::new(format_number(placed.sample_start_m, 1), CellLook::Repeated)
        })
    }

    fn setting_cell(&self, run: &Run, at: usize) -> GridCell {
        let Some(column) = self.facts.settings.get(at) else {
            return GridCell::default();
        };
        let Some(value) = run.setting(&column.id) else {
            return GridCell::default();
        };
        let look = if run.planned.get(&column.id) == Some(value) {
            CellLook::Normal
        } else {
            CellLook::Changed
        };
        GridCell::new(setting_text(value, column.n_decimals), look)
    }

    fn quality_cell(&self, run: &Run, at: usize) -> GridCell {
        let Some((column, quality)) = self.quality(at) else {
            return GridCell::default();
        };
        match cell_state(run, quality) {
            CellState::Read { n_missing, .. } => {
                let look = if n_missing > 0 {
                    CellLook::Missing
                } else {
                    CellLook::Normal
                };
                GridCell::new(mean_text(run, quality, column.n_decimals), look)
            }
            CellState::NotRun | CellState::NoFilm | CellState::Missing => GridCell::default(),
        }
    }

    fn slot_cell(&self, run: &Run, slot: &Slot, kind: Column) -> GridCell {
        match kind {
            Column::Film => {
                let words = if slot.place.is_empty() {
                    slot.label()
                } else {
                    format!("{} {}", slot.place, slot.repeat)
                };
                GridCell::new(words, CellLook::Quiet)
            }
            Column::Quality(at) => {
                let Some((column, quality)) = self.quality(at) else {
                    return GridCell::default();
                };
                let reading = run.reading(&quality.id, &slot.place, slot.repeat);
                reading.map_or_else(GridCell::default, |reading| {
                    let look = if reading.set_aside.is_some() {
                        CellLook::Repeated
                    } else {
                        CellLook::Normal
                    };
                    GridCell::new(value_text(&reading.value, column.n_decimals), look)
                })
            }
            Column::Run | Column::Metre | Column::Setting(_) | Column::Note => GridCell::default(),
        }
    }

    fn check(&self, row: usize, column: usize, text: &str) -> Result<(), String> {
        let Some((row, run, kind)) = self.place(row, column) else {
            return Ok(());
        };
        command_of(self.view, self.facts, (row, run), kind, text)
            .map(|_| ())
            .map_err(|error| error.to_string())
    }

    /// Draws what is no text; true where the cell is then complete.
    fn paint(&self, ui: &Ui, rect: Rect, row: usize, column: usize) -> bool {
        let Some((row, run, kind)) = self.place(row, column) else {
            return false;
        };
        match (row, kind) {
            (Row::Run(_), Column::Run) => {
                paint_opener(ui, rect, self.open.contains(&run.number));
                false
            }
            (Row::Run(_), Column::Quality(at)) => {
                let Some((column, quality)) = self.quality(at) else {
                    return false;
                };
                let is_first = self
                    .columns
                    .kinds
                    .iter()
                    .find(|k| matches!(k, Column::Quality(_)))
                    == Some(&kind);
                paint_state(ui, rect, &cell_state(run, quality), column.spread, is_first)
            }
            (Row::Slot(_, slot), kind) => {
                if !matches!(kind, Column::Run | Column::Metre | Column::Setting(_)) {
                    ui.painter().rect_filled(rect, 0, Palette::of(ui).sheet);
                }
                if let Column::Quality(at) = kind
                    && let Some((_, quality)) = self.quality(at)
                    && let Some(reading) = run.reading(&quality.id, &slot.place, slot.repeat)
                    && reading.set_aside.is_some()
                {
                    paint_aside(ui, rect);
                }
                false
            }
            (Row::Run(_), _) => false,
        }
    }
}

/// The mark that opens a run.
fn paint_opener(ui: &Ui, rect: Rect, is_open: bool) {
    let center = pos2(rect.left() + 9.0, rect.center().y);
    let corners = if is_open {
        [vec2(-4.0, -2.5), vec2(4.0, -2.5), vec2(0.0, 3.0)]
    } else {
        [vec2(-2.5, -4.0), vec2(3.0, 0.0), vec2(-2.5, 4.0)]
    };
    let corners = corners.map(|corner| center + corner).to_vec();
    let stroke = Stroke::new(1.2, Palette::of(ui).accent);
    ui.painter().add(Shape::closed_line(corners, stroke));
}

/// Ticks of the readings around their mean, or the word that stands where nothing was read; true for a word.
fn paint_state(ui: &Ui, rect: Rect, state: &CellState, spread: f64, is_first: bool) -> bool {
    match state {
        CellState::Read { deviations, .. } => {
            if spread > 0.0 && !deviations.is_empty() {
                paint_ticks(ui, rect, deviations, spread);
            }
            false
        }
        CellState::Missing => {
            paint_missing(ui, rect);
            true
        }
        CellState::NoFilm if is_first => {
            write_right(ui, rect, "no film to read");
            true
        }
        CellState::NoFilm | CellState::NotRun => true,
    }
}

fn paint_ticks(ui: &Ui, rect: Rect, deviations: &[f64], spread: f64) {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let middle = pos2(rect.left() + 6.0 + TICKS / 2.0, rect.center().y);
    let half = TICKS / 2.0 - 4.0;
    let line = egui::Rangef::new(middle.x - half, middle.x + half);
    painter.hline(line, middle.y, Stroke::new(measure::HAIR, palette.line));
    for deviation in deviations {
        // A share of the widest deviation, from -1 to 1.
        #[expect(clippy::cast_possible_truncation, reason = "a place on screen")]
        let share = (deviation / spread) as f32;
        let y = egui::Rangef::new(middle.y - 4.5, middle.y + 4.5);
        let stroke = Stroke::new(1.4, palette.ink2);
        painter.vline(middle.x + share.clamp(-1.0, 1.0) * half, y, stroke);
    }
}

fn paint_missing(ui: &Ui, rect: Rect) {
    let drawn = write_right(ui, rect.translate(vec2(-4.0, 0.0)), "missing");
    let frame = drawn
        .translate(vec2(0.0, -1.0))
        .expand2(vec2(8.0, -0.5))
        .intersect(rect.shrink(1.0));
    let corners = [
        frame.left_top(),
        frame.right_top(),
        frame.right_bottom(),
        frame.left_bottom(),
        frame.left_top(),
    ];
    let stroke = Stroke::new(1.0, Palette::of(ui).control);
    ui.painter()
        .extend(Shape::dashed_line(&corners, stroke, 3.0, 3.0));
}

/// A reading that is set aside is struck through.
fn paint_aside(ui: &Ui, rect: Rect) {
    let line = egui::Rangef::new(rect.right() - 44.0, rect.right() - 3.0);
    let stroke = Stroke::new(1.2, Palette::of(ui).ink2);
    ui.painter().hline(line, rect.center().y, stroke);
}

fn write_right(ui: &Ui, rect: Rect, words: &str) -> Rect {
    let text = Lettering::new(words, theme::regular(text_size::UNIT), Palette::of(ui).ink2);
    let at = pos2(
        rect.right() - 6.0,
        base_line_around(rect.center().y, text_size::UNIT),
    );
    text.write_within(ui.painter(), at, Align::RIGHT, rect.width() - 8.0)
}

/// The command of a text typed into a cell; `None` if nothing changes.
fn command_of(
    view: &View<'_>,
    facts: &ReadingTable,
    (row, run): (&Row, &Run),
    kind: Column,
    text: &str,
) -> Result<Option<Command>, CellEntryError> {
    let number = run.number;
    let setting_at =
        |at: usize| -> Option<&SettingEntry> { view.project.setting(&facts.settings.get(at)?.id) };
    let quality_at =
        |at: usize| -> Option<&Quality> { view.project.quality(&facts.qualities.get(at)?.id) };
    let gone = |what: &str| CellEntryError::Gone {
        what: what.to_owned(),
    };
    let command = match (row, kind) {
        (Row::Run(_), Column::Metre) => Command::SetMetre {
            run: number,
            metre: read_metre(text)?,
        },
        (Row::Run(_), Column::Setting(at)) => {
            read_as_run(text, run, setting_at(at).ok_or_else(|| gone("setting"))?)?
        }
        (Row::Run(_), Column::Film) => Command::SetOutcome {
            run: number,
            outcome: read_film_cell(text)?,
        },
        (Row::Run(_), Column::Note) => Command::SetNote {
            run: number,
            note: text.to_owned(),
        },
        (Row::Run(_), Column::Quality(at)) => {
            let quality = quality_at(at).ok_or_else(|| gone("film quality"))?;
            let edits = read_quality_cell(text, run, quality, view.now)?;
            if edits.is_empty() {
                return Ok(None);
            }
            Command::EnterReadings(edits)
        }
        (Row::Slot(_, slot), Column::Quality(at)) => {
            let quality = quality_at(at).ok_or_else(|| gone("film quality"))?;
            Command::EnterReadings(vec![read_slot(text, run, quality, slot, view.now)?])
        }
        (Row::Run(_), Column::Run)
        | (
            Row::Slot(..),
            Column::Run | Column::Metre | Column::Setting(_) | Column::Film | Column::Note,
        ) => return Err(gone("cell to type into here, take the row of the run")),
    };
    Ok(Some(command))
}

fn refused(run: u32, what: impl Into<String>, todo: &str) -> Request {
    message(MessageWeight::Refusal, format!("Run {run}"), what, todo)
}

fn entered(
    view: &View<'_>,
    facts: &ReadingTable,
    row: &Row,
    kind: Column,
    text: &str,
) -> Option<Request> {
    let run = view.project.runs.get(row.run())?;
    match command_of(view, facts, (row, run), kind, text.trim()) {
        Ok(command) => command.map(Request::Edit),
        Err(error) => Some(refused(
            run.number,
            error.to_string(),
            "Nothing was changed.",
        )),
    }
}

/// Delete: a metre, a note and a difference from the plan go; a reading never does.
fn cleared(view: &View<'_>, facts: &ReadingTable, row: &Row, kind: Column) -> Option<Request> {
    let run = view.project.runs.get(row.run())?;
    let number = run.number;
    match (row, kind) {
        (Row::Run(_), Column::Metre) => Some(Request::Edit(Command::SetMetre {
            run: number,
            metre: None,
        })),
        (Row::Run(_), Column::Note) => Some(Request::Edit(Command::SetNote {
            run: number,
            note: String::new(),
        })),
        (Row::Run(_), Column::Film) => Some(Request::Edit(Command::SetOutcome {
            run: number,
            outcome: Outcome::NotRun,
        })),
        (Row::Run(_), Column::Setting(at)) => {
            let mut as_run = run.as_run.clone();
            as_run.remove(&facts.settings.get(at)?.id)?;
            Some(Request::Edit(Command::SetAsRun {
                run: number,
                as_run,
            }))
        }
        (_, Column::Quality(_)) => Some(refused(
            number,
            "A reading is never deleted.",
            "Set it aside with a reason, at the right under its run; or undo the step that entered it.",
        )),
        (Row::Run(_), Column::Run) | (Row::Slot(..), _) => None,
    }
}

/// Fill down: film, note and settings as run; readings are never copied from run to run.
fn filled(
    view: &View<'_>,
    facts: &ReadingTable,
    (above, row): (&Row, &Row),
    kind: Column,
) -> Option<Request> {
    let source = view.project.runs.get(above.run())?;
    let run = view.project.runs.get(row.run())?;
    if !matches!(row, Row::Run(_)) || matches!(kind, Column::Quality(_) | Column::Metre) {
        return Some(refused(
            run.number,
            "Readings and metres are not copied from run to run.",
            "Type what was read.",
        ));
    }
    match kind {
        Column::Film => Some(Request::Edit(Command::SetOutcome {
            run: run.number,
            outcome: source.outcome.clone(),
        })),
        Column::Note => Some(Request::Edit(Command::SetNote {
            run: run.number,
            note: source.note.clone(),
        })),
        Column::Setting(at) => {
            let value = source.setting(&facts.settings.get(at)?.id)?;
            entered(view, facts, row, kind, &value.to_string())
        }
        Column::Run | Column::Metre | Column::Quality(_) => None,
    }
}
