//! A pasted block before it is taken over: which column goes where, in which unit and with which decimal sign, what
//! every cell is read as, and what is wrong with which cell.
//!
//! A block with a header is matched by name, and every match is listed. A block without one goes nowhere until the user
//! says to which qualities, and to which runs.

use super::project::{Project, QualityKind, SettingEntry};
use super::reading_entry::{
    Abbreviations, Differing, Draft, Entry, EntryColumn, EntryErrors, EntryFault, EntryOptions,
    EntrySummary, MatchedBy, RowsGoTo, Target, match_columns,
};
use super::table_cell::{Cell, DecimalSign, read_number};
use super::table_problem::{Located, Problems};
use super::table_text::{Header, Row, Table, TableFault, TableOptions};

/// First values of a column that a preview shows.
const N_SHOWN: usize = 5;

/// A column of the preview.
#[derive(Debug, Clone, PartialEq)]
pub struct PreviewColumn {
    /// Its head; `column 2` in a block without header.
    pub head: String,
    /// Where it goes.
    pub target: Target,
    /// Why.
    pub by: MatchedBy,
    /// Unit in which it is read: that of its head, else that of the project.
    pub unit: String,
    /// Its decimal sign, if a number shows one.
    pub sign: Option<DecimalSign>,
    /// Its first cells: what was pasted, and what it is read as.
    pub first: Vec<PreviewCell>,
}

/// A cell of the preview.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PreviewCell {
    /// What was pasted.
    pub pasted: String,
    /// What it is read as; nothing if it cannot be read, or is not.
    pub read_as: Option<String>,
}

/// A pasted block, held against the project.
#[derive(Debug, Clone, PartialEq)]
pub struct Preview {
    text: String,
    table: Table,
    columns: Vec<EntryColumn>,
    options: EntryOptions,
    draft: Draft,
}

/// Why a column cannot be sent elsewhere.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RetargetError {
    /// There is no such column.
    #[error("the block has {n_columns} columns; there is no column {number}")]
    NoColumn {
        /// Columns of the block.
        n_columns: usize,
        /// The 1-based column that was asked for.
        number: usize,
    },
}

impl Preview {
    /// Reads a pasted block. It has a header if no cell of its first row is a number and there are rows below; see
    /// [`Preview::set_header`].
    ///
    /// # Errors
    /// Every [`TableFault`] of the block.
    pub fn new(
        text: &str,
        project: &Project,
        options: EntryOptions,
    ) -> Result<Self, Problems<TableFault>> {
        Self::with_header(text, header_of(text), project, options)
    }

    fn with_header(
        text: &str,
        header: Header,
        project: &Project,
        options: EntryOptions,
    ) -> Result<Self, Problems<TableFault>> {
        let table = Table::read(
            text,
            &TableOptions {
                header,
                ..TableOptions::default()
            },
        )?;
        let columns = match header {
            Header::FirstRow => match_columns(&table, project, Abbreviations::Proposed),
            Header::None => vec![EntryColumn::default(); table.columns().len()],
        };
        let draft = Draft::new(&table, &columns, project, &options);
        Ok(Self {
            text: text.to_owned(),
            table,
            columns,
            options,
            draft,
        })
    }

    /// Reads the block again with or without a header; targets that were chosen by hand are lost.
    ///
    /// # Errors
    /// As [`Preview::new`]; the preview then stays as it is.
    pub fn set_header(
        &mut self,
        header: Header,
        project: &Project,
    ) -> Result<(), Problems<TableFault>> {
        *self = Self::with_header(&self.text, header, project, self.options.clone())?;
        Ok(())
    }

    /// Sends a column (0-based) elsewhere.
    ///
    /// # Errors
    /// [`RetargetError`] if there is no such column.
    pub fn retarget(
        &mut self,
        column: usize,
        target: Target,
        project: &Project,
    ) -> Result<(), RetargetError> {
        let n_columns = self.columns.len();
        let entry = self
            .columns
            .get_mut(column)
            .ok_or(RetargetError::NoColumn {
                n_columns,
                number: column + 1,
            })?;
        *entry = EntryColumn {
            target,
            by: MatchedBy::Hand,
        };
        self.update(project);
        Ok(())
    }

    /// Reads a column (0-based) with another decimal sign.
    ///
    /// # Errors
    /// [`RetargetError`] if there is no such column.
    pub fn set_sign(
        &mut self,
        column: usize,
        sign: DecimalSign,
        project: &Project,
    ) -> Result<(), RetargetError> {
        let n_columns = self.columns.len();
        if column >= n_columns {
            return Err(RetargetError::NoColumn {
                n_columns,
                number: column + 1,
            });
        }
        self.table.set_sign(column, sign);
        self.update(project);
        Ok(())
    }

    /// Says which runs the rows belong to.
    pub fn set_rows(&mut self, rows: RowsGoTo, project: &Project) {
        self.options.rows = rows;
        self.update(project);
    }

    /// Says what happens where the project has another value.
    pub fn set_differing(&mut self, differing: Differing, project: &Project) {
        self.options.differing = differing;
        self.update(project);
    }

    /// Holds the block against the project anew; needed whenever the project has changed.
    pub fn update(&mut self, project: &Project) {
        self.draft = Draft::new(&self.table, &self.columns, project, &self.options);
    }

    /// The columns from the left.
    pub fn columns(&self, project: &Project) -> Vec<PreviewColumn> {
        self.table
            .columns()
            .iter()
            .zip(&self.columns)
            .enumerate()
            .map(|(index, (column, entry))| PreviewColumn {
                head: column.head.clone(),
                target: entry.target.clone(),
                by: entry.by,
                unit: column
                    .unit
                    .clone()
                    .unwrap_or_else(|| entry.target.unit(project)),
                sign: column
                    .sign
                    .sign()
                    .filter(|_| entry.target.is_numeric(project)),
                first: self
                    .table
                    .rows()
                    .iter()
                    .take(N_SHOWN)
                    .map(|row| self.cell(row, index, &entry.target, project))
                    .collect(),
            })
            .collect()
    }

    fn cell(&self, row: &Row, column: usize, target: &Target, project: &Project) -> PreviewCell {
        let text = self.table.text(row, column);
        let read_as = if target.is_numeric(project) {
            self.table
                .number(row, column)
                .ok()
                .filter(|cell| *cell != Cell::Empty)
                .map(|cell| cell.to_string())
        } else {
            (*target != Target::LeftOut && !text.is_empty()).then(|| text.to_owned())
        };
        PreviewCell {
            pasted: text.to_owned(),
            read_as,
        }
    }

    /// The block as a table of texts.
    pub const fn table(&self) -> &Table {
        &self.table
    }

    /// Number of rows, the header not counted.
    pub fn n_rows(&self) -> usize {
        self.table.rows().len()
    }

    /// Number of readings that would be entered or replaced.
    pub fn n_readings(&self) -> usize {
        self.draft.summary().readings.n_changed()
    }

    /// What is wrong, with row and column.
    pub fn problems(&self) -> &[Located<EntryFault>] {
        self.draft.problems()
    }

    /// What it would bring.
    pub const fn summary(&self) -> &EntrySummary {
        self.draft.summary()
    }

    /// Where columns can go in this project, for the list of choices.
    pub fn choices(project: &Project) -> Vec<Target> {
        let mut choices = vec![Target::LeftOut, Target::Run];
        // What became of a film is no reading.
        for quality in project
            .qualities
            .iter()
            .filter(|quality| quality.kind != QualityKind::Sound)
        {
            let places = std::iter::once("").chain(quality.places.iter().map(String::as_str));
            for place in places {
                choices.push(Target::Reading {
                    quality: quality.id.clone(),
                    place: place.to_owned(),
                });
            }
        }
        choices.extend([
            Target::Outcome,
            Target::Fault,
            Target::Note,
            Target::Metre,
            Target::Place,
            Target::Repeat,
            Target::Area,
        ]);
        let varied: Vec<&SettingEntry> = project.varied().collect();
        choices.extend(
            varied
                .iter()
                .map(|setting| Target::Setting(setting.id.clone())),
        );
        choices.extend(
            varied
                .iter()
                .map(|setting| Target::AsRun(setting.id.clone())),
        );
        choices
    }

    /// The command that takes the block over; `when` is now (UTC, RFC 3339).
    ///
    /// # Errors
    /// Every problem of the block.
    pub fn to_command(&self, project: &Project, when: &str) -> Result<Entry, EntryErrors> {
        let options = EntryOptions {
            when: when.to_owned(),
            ..self.options.clone()
        };
        Draft::new(&self.table, &self.columns, project, &options).into_entry()
    }
}

/// A first row of names: every cell has a letter, none is a number, and something stands below.
fn header_of(text: &str) -> Header {
    let options = TableOptions {
        header: Header::None,
        ..TableOptions::default()
    };
    // A block that is no table either way is refused as one with a header.
    let Ok(table) = Table::read(text, &options) else {
        return Header::FirstRow;
    };
    let is_name = |cell: &str| {
        cell.is_empty()
            || (cell.chars().any(char::is_alphabetic) && read_number(cell, None).is_err())
    };
    let has_names = table.rows().first().is_some_and(|row| {
        (0..table.columns().len()).all(|column| is_name(table.text(row, column)))
    });
    if has_names && table.rows().len() > 1 {
        Header::FirstRow
    } else {
        Header::None
    }
}
