//! A table that is edited cell by cell with the keyboard, and into which blocks are pasted.
//!
//! The table is one stop of the Tab key. Inside it the arrows, Home, End, Page keys, Enter and Tab move the cursor;
//! typing overwrites the cell, F2 or a double click edits it, Delete clears it, Ctrl+D fills down, Esc gives up an edit
//! or leaves the table. Text that its `check` refuses stays in the cell with the message beside it. Only rows in view
//! are drawn.

mod keys;
mod paint;

use std::collections::BTreeMap;

use egui::{
    EventFilter, Id, Rangef, Rect, ScrollArea, Sense, Ui, WidgetInfo, accesskit::Role, pos2, vec2,
};

use super::number_field::show_message_over;
use keys::{Step, editor_steps, navigation_steps};

/// What the cells of a column hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ColumnHolds {
    /// Numbers, which stand on the right.
    #[default]
    Numbers,
    /// Words, which start at the left.
    Words,
}

/// One column of the table.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct GridColumn {
    /// Head of the column.
    pub head: String,
    /// Unit under the head.
    pub unit: String,
    /// Least width in points; spare width goes to the columns that grow.
    pub width: u16,
    /// Whether the column takes spare width.
    pub grows: bool,
    /// What its cells hold.
    pub holds: ColumnHolds,
    /// Whether its cells can be edited.
    pub is_fixed: bool,
}

impl GridColumn {
    /// A column of numbers.
    pub fn number(head: &str, unit: &str, width: u16) -> Self {
        Self {
            head: head.to_owned(),
            unit: unit.to_owned(),
            width,
            ..Self::default()
        }
    }

    /// A column of words.
    pub fn words(head: &str, width: u16) -> Self {
        Self {
            head: head.to_owned(),
            width,
            holds: ColumnHolds::Words,
            ..Self::default()
        }
    }

    /// The same column, not to be edited.
    #[must_use]
    pub fn fixed(mut self) -> Self {
        self.is_fixed = true;
        self
    }

    /// The same column, taking spare width.
    #[must_use]
    pub fn growing(mut self) -> Self {
        self.grows = true;
        self
    }
}

/// How the text of a cell looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum CellLook {
    /// Plain.
    #[default]
    Normal,
    /// Bold.
    Bold,
    /// Secondary text.
    Quiet,
    /// The same value as in the row above.
    Repeated,
    /// Differs from the first plan.
    Changed,
    /// About a limit: amber and bold.
    Trouble,
    /// Wanted but not there yet: the text in a dashed frame.
    Missing,
    /// A filled flag.
    Faulty,
}

/// What a cell shows.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct GridCell {
    /// Its text.
    pub text: String,
    /// How the text looks.
    pub look: CellLook,
}

impl GridCell {
    /// A cell with a look.
    pub fn new(text: impl Into<String>, look: CellLook) -> Self {
        Self {
            text: text.into(),
            look,
        }
    }
}

/// The rule above a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum RowRule {
    /// None.
    #[default]
    None,
    /// Something must be set up before this row.
    SetUp,
    /// A new bottle.
    NewBottle,
}

/// What a row shows beside its cells.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct GridRow {
    /// Its name in the accessibility tree, e.g. "run 3".
    pub name: String,
    /// Whether it is selected.
    pub is_selected: bool,
    /// The rule above it.
    pub rule: RowRule,
}

/// What was done in the table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum GridEvent {
    /// A cell got a new text that passed `check`.
    Commit {
        /// Row of the cell.
        row: usize,
        /// Column of the cell.
        column: usize,
        /// The text, without blanks around it.
        text: String,
    },
    /// A block was pasted with its first cell here.
    Paste {
        /// Row of the first cell.
        row: usize,
        /// Column of the first cell.
        column: usize,
        /// The block as it came: columns parted by tabs, rows by line ends.
        text: String,
    },
    /// A cell is to be emptied.
    Clear {
        /// Row of the cell.
        row: usize,
        /// Column of the cell.
        column: usize,
    },
    /// The cell takes the value of the cell above.
    FillDown {
        /// Row of the cell.
        row: usize,
        /// Column of the cell.
        column: usize,
    },
    /// The cursor came to another row.
    Select {
        /// The row.
        row: usize,
    },
}

/// What the table did in this frame, and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct GridOutput {
    /// What was done, in order.
    pub events: Vec<GridEvent>,
    /// The part of the window that holds the rows.
    pub body: Rect,
    /// Where each column stands.
    pub columns: Vec<Rangef>,
}

/// Reads the text of a cell: `Ok` or why it is refused.
pub type CellCheck<'a> = &'a dyn Fn(usize, usize, &str) -> Result<(), String>;

/// Draws a cell itself and returns true, or leaves it to the table and returns false.
pub type CellPainter<'a> = &'a dyn Fn(&Ui, Rect, usize, usize) -> bool;

/// A table over data that the caller holds.
pub struct EditableGrid<'a> {
    id: Id,
    name: &'a str,
    columns: &'a [GridColumn],
    n_rows: usize,
    cell: &'a dyn Fn(usize, usize) -> GridCell,
    row: &'a dyn Fn(usize) -> GridRow,
    check: Option<CellCheck<'a>>,
    painter: Option<CellPainter<'a>>,
    pitch: f32,
    most_height: f32,
}

impl std::fmt::Debug for EditableGrid<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("EditableGrid")
            .field("name", &self.name)
            .field("n_rows", &self.n_rows)
            .finish_non_exhaustive()
    }
}

/// What the table remembers between frames.
#[derive(Debug, Clone, Default)]
struct Memory {
    row: usize,
    column: usize,
    edit: Option<Edit>,
    wrong: BTreeMap<(usize, usize), Wrong>,
    wants_scroll: bool,
}

/// A cell that is being typed in.
#[derive(Debug, Clone, Default)]
struct Edit {
    text: String,
    origin: String,
}

/// Text that was refused, kept in its cell.
#[derive(Debug, Clone, Default)]
struct Wrong {
    text: String,
    message: String,
    origin: String,
}

impl<'a> EditableGrid<'a> {
    /// A table of `n_rows` rows. `id` must be unique in the window, `name` is its name in the accessibility tree.
    pub fn new(
        id: Id,
        name: &'a str,
        columns: &'a [GridColumn],
        n_rows: usize,
        cell: &'a dyn Fn(usize, usize) -> GridCell,
        row: &'a dyn Fn(usize) -> GridRow,
    ) -> Self {
        Self {
            id,
            name,
            columns,
            n_rows,
            cell,
            row,
            check: None,
            painter: None,
            pitch: crate::theme::measure::READING_PITCH,
            most_height: f32::INFINITY,
        }
    }

    /// What a cell accepts; without it every text is accepted.
    #[must_use]
    pub fn check(mut self, check: CellCheck<'a>) -> Self {
        self.check = Some(check);
        self
    }

    /// Cells that are not text.
    #[must_use]
    pub fn painter(mut self, painter: CellPainter<'a>) -> Self {
        self.painter = Some(painter);
        self
    }

    /// Height of a row in points.
    #[must_use]
    pub fn pitch(mut self, pitch: f32) -> Self {
        self.pitch = pitch;
        self
    }

    /// Most height that heads and rows take; further rows are scrolled.
    #[must_use]
    pub fn most_height(mut self, most_height: f32) -> Self {
        self.most_height = most_height;
        self
    }

    /// Shows the table across the available width.
    pub fn show(self, ui: &mut Ui) -> GridOutput {
        let mut memory: Memory = ui.data(|data| data.get_temp(self.id)).unwrap_or_default();
        memory.row = memory.row.min(self.n_rows.saturating_sub(1));
        memory.column = memory.column.min(self.columns.len().saturating_sub(1));
        memory.wrong.retain(|&(row, column), wrong| {
            row < self.n_rows && (self.cell)(row, column).text == wrong.origin
        });
        let mut events = Vec::new();
        self.keys(ui, &mut memory, &mut events);
        let columns = self.column_ranges(ui);
        paint::heads(ui, self.columns, &columns);
        let body = self.rows(ui, &columns, &mut memory, &mut events);
        self.lock_focus(ui, &memory);
        ui.data_mut(|data| data.insert_temp(self.id, memory));
        GridOutput {
            events,
            body,
            columns,
        }
    }

    fn editor_id(&self) -> Id {
        self.id.with("editor")
    }

    /// Moves, edits and pastes that the keyboard asks for in this frame.
    fn keys(&self, ui: &mut Ui, memory: &mut Memory, events: &mut Vec<GridEvent>) {
        let (id, editor) = (self.id, self.editor_id());
        let is_editing = memory.edit.is_some();
        let has_focus = ui.memory(|m| m.has_focus(if is_editing { editor } else { id }));
        let is_given_up = is_editing && ui.input(|input| input.key_pressed(egui::Key::Escape));
        if is_given_up {
            memory.edit = None;
            memory.wrong.remove(&(memory.row, memory.column));
            ui.memory_mut(|m| m.request_focus(id));
            return;
        }
        if !has_focus || self.n_rows == 0 {
            return;
        }
        let steps = if is_editing {
            editor_steps(ui)
        } else {
            navigation_steps(ui)
        };
        for step in steps {
            self.apply(ui, memory, events, step);
        }
    }

    fn apply(&self, ui: &Ui, memory: &mut Memory, events: &mut Vec<GridEvent>, step: Step) {
        let (row, column) = (memory.row, memory.column);
        match step {
            Step::Move { rows, columns } => {
                self.commit(ui, memory, events);
                let row = row
                    .saturating_add_signed(rows)
                    .min(self.n_rows.saturating_sub(1));
                let column = column
                    .saturating_add_signed(columns)
                    .min(self.columns.len().saturating_sub(1));
                go(memory, row, column, events);
            }
            Step::Tab { is_back } => {
                self.commit(ui, memory, events);
                self.tab(ui, memory, events, is_back);
            }
            Step::RowStart => go(memory, row, 0, events),
            Step::RowEnd => go(memory, row, self.columns.len().saturating_sub(1), events),
            Step::Type(text) => match &mut memory.edit {
                Some(edit) => edit.text.push_str(&text),
                None => self.begin_edit(ui, memory, Some(text)),
            },
            Step::Edit => self.begin_edit(ui, memory, None),
            Step::Clear if self.is_editable(column) => {
                memory.wrong.remove(&(row, column));
                events.push(GridEvent::Clear { row, column });
            }
            Step::FillDown if self.is_editable(column) && row > 0 => {
                events.push(GridEvent::FillDown { row, column });
            }
            Step::Clear | Step::FillDown => {}
            Step::Paste(text) => {
                memory.edit = None;
                ui.memory_mut(|m| m.request_focus(self.id));
                events.push(GridEvent::Paste { row, column, text });
            }
            Step::Copy => ui.ctx().copy_text((self.cell)(row, column).text),
        }
    }

    /// Tab goes along the row and on to the next; at the ends it leaves the table.
    fn tab(&self, ui: &Ui, memory: &mut Memory, events: &mut Vec<GridEvent>, is_back: bool) {
        let n_columns = self.columns.len();
        let place = memory.row * n_columns + memory.column;
        let next = if is_back {
            place.checked_sub(1)
        } else {
            Some(place + 1).filter(|p| *p < self.n_rows * n_columns)
        };
        match next {
            Some(next) => go(memory, next / n_columns, next % n_columns, events),
            None => ui.memory_mut(|m| {
                m.request_focus(self.id);
                let direction = if is_back {
                    egui::FocusDirection::Previous
                } else {
                    egui::FocusDirection::Next
                };
                m.move_focus(direction);
            }),
        }
    }

    fn is_editable(&self, column: usize) -> bool {
        self.columns
            .get(column)
            .is_some_and(|column| !column.is_fixed)
    }

    fn begin_edit(&self, ui: &Ui, memory: &mut Memory, typed: Option<String>) {
        if !self.is_editable(memory.column) {
            return;
        }
        let place = (memory.row, memory.column);
        let origin = (self.cell)(place.0, place.1).text;
        let text = typed.unwrap_or_else(|| {
            memory
                .wrong
                .get(&place)
                .map_or_else(|| origin.clone(), |w| w.text.clone())
        });
        let mut state = egui::text_edit::TextEditState::default();
        let end = egui::text_selection::CCursorRange::one(egui::text::CCursor::end_of_str(&text));
        state.cursor.set_char_range(Some(end));
        state.store(ui.ctx(), self.editor_id());
        memory.edit = Some(Edit { text, origin });
        ui.memory_mut(|m| m.request_focus(self.editor_id()));
    }

    /// Ends an edit: its text is reported, or kept as wrong.
    fn commit(&self, ui: &Ui, memory: &mut Memory, events: &mut Vec<GridEvent>) {
        let Some(edit) = memory.edit.take() else {
            return;
        };
        ui.memory_mut(|m| m.request_focus(self.id));
        let (row, column) = (memory.row, memory.column);
        let text = edit.text.trim().to_owned();
        if text == edit.origin {
            memory.wrong.remove(&(row, column));
            return;
        }
        match self.check.map_or(Ok(()), |check| check(row, column, &text)) {
            Ok(()) => {
                memory.wrong.remove(&(row, column));
                events.push(GridEvent::Commit { row, column, text });
            }
            Err(message) => {
                memory.wrong.insert(
                    (row, column),
                    Wrong {
                        text,
                        message,
                        origin: edit.origin,
                    },
                );
            }
        }
    }

    /// Keeps arrows and Tab inside the table while it has the focus.
    fn lock_focus(&self, ui: &Ui, memory: &Memory) {
        let editing = memory.edit.is_some();
        let filter = EventFilter {
            tab: true,
            horizontal_arrows: true,
            vertical_arrows: true,
            escape: editing,
        };
        let id = if editing { self.editor_id() } else { self.id };
        ui.memory_mut(|m| m.set_focus_lock_filter(id, filter));
    }

    fn column_ranges(&self, ui: &Ui) -> Vec<Rangef> {
        let least: f32 = self
            .columns
            .iter()
            .map(|column| f32::from(column.width))
            .sum();
        let n_growing = self
            .columns
            .iter()
            .filter(|column| column.grows)
            .count()
            .max(1) as f32;
        let spare = (ui.available_width() - least).max(0.0) / n_growing;
        let mut left = ui.cursor().left();
        let mut ranges = Vec::with_capacity(self.columns.len());
        for column in self.columns {
            let right = left + f32::from(column.width) + if column.grows { spare } else { 0.0 };
            ranges.push(Rangef::new(left, right));
            left = right;
        }
        ranges
    }

    fn rows(
        &self,
        ui: &mut Ui,
        columns: &[Rangef],
        memory: &mut Memory,
        events: &mut Vec<GridEvent>,
    ) -> Rect {
        let width = columns.last().map_or(0.0, |last| last.max)
            - columns.first().map_or(0.0, |first| first.min);
        let whole = self.pitch * self.n_rows as f32;
        let most = (self.most_height - paint::HEAD_HEIGHT)
            .min(ui.available_height().max(self.pitch * 2.0));
        let height = whole.min(most);
        let corner = ui.cursor().min;
        let body = Rect::from_min_size(corner, vec2(width, height));
        let response = ui.interact(body, self.id, Sense::FOCUSABLE);
        response.widget_info(|| WidgetInfo::labeled(Role::Grid, true, self.name));
        ui.spacing_mut().item_spacing.y = 0.0;
        ui.scope(|ui| {
            let area = ScrollArea::vertical()
                .id_salt(self.id)
                .max_height(height)
                .auto_shrink([false, true]);
            area.show_rows(ui, self.pitch, self.n_rows, |ui, shown| {
                if std::mem::take(&mut memory.wants_scroll) {
                    let top =
                        ui.max_rect().top() + self.pitch * (memory.row as f32 - shown.start as f32);
                    let cursor = Rect::from_min_size(pos2(body.left(), top), vec2(1.0, self.pitch));
                    ui.scroll_to_rect(cursor, None);
                }
                for row in shown {
                    let (rect, _) = ui.allocate_exact_size(vec2(width, self.pitch), Sense::hover());
                    self.row_ui(ui, (row, rect), columns, memory, events);
                }
            });
        });
        if response.gained_focus() {
            memory.wants_scroll = true;
        }
        body
    }

    fn row_ui(
        &self,
        ui: &mut Ui,
        place: (usize, Rect),
        columns: &[Rangef],
        memory: &mut Memory,
        events: &mut Vec<GridEvent>,
    ) {
        let (row, rect) = place;
        let view = (self.row)(row);
        paint::row_ground(ui, rect, &view);
        let has_focus = ui.memory(|m| m.has_focus(self.id) || m.has_focus(self.editor_id()));
        for (column, range) in columns.iter().enumerate() {
            let cell_rect = Rect::from_x_y_ranges(*range, rect.y_range());
            let is_cursor = has_focus && (memory.row, memory.column) == (row, column);
            let cell = self.shown_cell(row, column, memory);
            let is_painted = self
                .painter
                .is_some_and(|paint| paint(ui, cell_rect, row, column));
            if !is_painted {
                let holds = self
                    .columns
                    .get(column)
                    .map_or(ColumnHolds::Numbers, |c| c.holds);
                paint::cell(ui, cell_rect, &cell, holds, view.is_selected);
            }
            self.interact(
                ui,
                cell_rect,
                (row, column),
                (&view, &cell),
                (memory, events),
            );
            let wrong = memory.wrong.get(&(row, column));
            if is_cursor || wrong.is_some() {
                paint::outline(ui, cell_rect, wrong.is_some());
            }
            if is_cursor {
                self.editor(ui, cell_rect, memory, events);
                if let Some(wrong) = memory
                    .wrong
                    .get(&(row, column))
                    .filter(|_| memory.edit.is_none())
                {
                    show_message_over(ui, self.id, cell_rect, &wrong.message);
                }
            }
        }
    }

    fn shown_cell(&self, row: usize, column: usize, memory: &Memory) -> GridCell {
        match memory.wrong.get(&(row, column)) {
            Some(wrong) => GridCell::new(&wrong.text, CellLook::Trouble),
            None => (self.cell)(row, column),
        }
    }

    fn interact(
        &self,
        ui: &Ui,
        rect: Rect,
        place: (usize, usize),
        shown: (&GridRow, &GridCell),
        change: (&mut Memory, &mut Vec<GridEvent>),
    ) {
        let (row, column) = place;
        let (memory, events) = change;
        let response = ui.interact(rect, self.id.with(place), Sense::CLICK);
        let head = self.columns.get(column).map_or("", |c| c.head.as_str());
        response.widget_info(|| WidgetInfo {
            current_text_value: Some(shown.1.text.clone()),
            ..WidgetInfo::labeled(Role::Cell, true, format!("{head}, {}", shown.0.name))
        });
        if response.clicked() || response.double_clicked() {
            if (memory.row, memory.column) != place {
                self.commit(ui, memory, events);
            }
            ui.memory_mut(|m| m.request_focus(self.id));
            go(memory, row, column, events);
            if response.double_clicked() {
                self.begin_edit(ui, memory, None);
            }
        }
    }

    fn editor(&self, ui: &mut Ui, rect: Rect, memory: &mut Memory, events: &mut Vec<GridEvent>) {
        let Some(edit) = &mut memory.edit else { return };
        let holds = self
            .columns
            .get(memory.column)
            .map_or(ColumnHolds::Numbers, |c| c.holds);
        let name = format!(
            "editing {}",
            self.columns
                .get(memory.column)
                .map_or("", |c| c.head.as_str())
        );
        let response =
            paint::editor(ui, rect, self.editor_id(), &mut edit.text, holds).accessible_name(name);
        if response.lost_focus() && !ui.memory(|m| m.has_focus(self.id)) {
            self.commit(ui, memory, events);
            ui.memory_mut(|m| m.surrender_focus(self.id));
        }
    }
}

fn go(memory: &mut Memory, row: usize, column: usize, events: &mut Vec<GridEvent>) {
    if memory.row != row {
        events.push(GridEvent::Select { row });
    }
    memory.row = row;
    memory.column = column;
    memory.wants_scroll = true;
}

/// Splits a pasted block into rows and cells: columns parted by tabs, rows by line ends; a last empty line is dropped.
pub fn split_block(text: &str) -> Vec<Vec<&str>> {
    let lines = text.strip_suffix('\n').unwrap_or(text);
    lines
        .split('\n')
        .map(|line| {
            line.strip_suffix('\r')
                .unwrap_or(line)
                .split('\t')
                .collect()
        })
        .collect()
}

/// Takes a paste that holds more than one cell out of the input, before a field turns its line ends into blanks.
///
/// Call it before drawing any field; `None` when there is no such paste in this frame.
pub fn take_block_paste(ui: &Ui) -> Option<String> {
    ui.input_mut(|input| {
        let at = input
            .events
            .iter()
            .position(|event| matches!(event, egui::Event::Paste(text) if is_block(text)))?;
        match input.events.remove(at) {
            egui::Event::Paste(text) => Some(text),
            _ => None,
        }
    })
}

fn is_block(text: &str) -> bool {
    text.trim_end_matches(['\r', '\n']).contains(['\t', '\n'])
}

/// Where a row stands in a table whose rows are `pitch` high and start at `top`.
pub fn row_rect(body: Rect, pitch: f32, row: usize) -> Rect {
    Rect::from_min_size(
        pos2(body.left(), body.top() + pitch * row as f32),
        vec2(body.width(), pitch),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_block_is_split_by_tabs_and_line_ends() {
        assert_eq!(
            split_block("1\t2\r\n3\t4\r\n"),
            vec![vec!["1", "2"], vec!["3", "4"]]
        );
        assert_eq!(split_block("12,5"), vec![vec!["12,5"]]);
        assert_eq!(split_block("a\n\nb"), vec![vec!["a"], vec![""], vec!["b"]]);
    }

    #[test]
    fn one_cell_with_a_line_end_is_no_block() {
        assert!(!is_block("12.5\n"));
        assert!(is_block("12.5\n13.0\n"));
        assert!(is_block("12.5\t13.0"));
    }
}
