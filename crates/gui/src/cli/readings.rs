//! `readings`: takes readings from a table into a project.

use std::path::PathBuf;

use serde::Serialize;

use crate::campaign::clock::now_utc;
use crate::campaign::project_file;
use crate::campaign::reading_entry::{
    ColumnSummary, Differing, EntryOptions, EntrySummary, MatchedBy, RowsGoTo, Tally, enter_table,
};
use crate::campaign::table_cell::DecimalSign;
use crate::campaign::table_text::{Header, TableOptions};

use super::Answer;
use super::arguments::ReadingsArgs;
use super::console::Console;
use super::document::VERSION;
use super::error::CliError;
use super::read_table::{read_table, table_error};
use super::text_table::{Align, TextTable};
use super::written_file::{file_name, note_step, write_project};

#[derive(Debug, Serialize)]
struct ReadingsDocument {
    document: &'static str,
    version: u32,
    out: PathBuf,
    readings: TallyDocument,
    outcomes: TallyDocument,
    as_run: TallyDocument,
    remarks: TallyDocument,
    columns: Vec<ColumnDocument>,
    left_out: Vec<String>,
    notes: Vec<String>,
    warnings: Vec<String>,
}

#[derive(Debug, Serialize)]
#[expect(
    clippy::struct_field_names,
    reason = "the names are keys of the document"
)]
struct TallyDocument {
    n_new: usize,
    n_same: usize,
    n_replaced: usize,
}

impl From<Tally> for TallyDocument {
    fn from(tally: Tally) -> Self {
        Self {
            n_new: tally.n_new,
            n_same: tally.n_same,
            n_replaced: tally.n_replaced,
        }
    }
}

#[derive(Debug, Serialize)]
struct ColumnDocument {
    head: String,
    goes_to: String,
    matched_by: &'static str,
    unit: String,
    decimal_sign: Option<char>,
}

impl From<ColumnSummary> for ColumnDocument {
    fn from(column: ColumnSummary) -> Self {
        Self {
            head: column.head,
            goes_to: column.goes_to,
            matched_by: match column.by {
                MatchedBy::Nothing => "nothing",
                MatchedBy::Name => "name",
                MatchedBy::Abbreviation => "abbreviation",
                MatchedBy::Hand => "hand",
            },
            unit: column.unit,
            decimal_sign: column.sign.map(DecimalSign::character),
        }
    }
}

/// Answers `readings`.
///
/// # Errors
/// [`CliError`] with every row and column that does not fit; nothing is written then.
pub(super) fn run(arguments: &ReadingsArgs, console: &mut Console<'_>) -> Result<Answer, CliError> {
    let mut project = project_file::open(&arguments.file)?.project;
    let table = read_table(
        &arguments.from,
        &TableOptions {
            delimiter: None,
            header: Header::FirstRow,
            missing: arguments.missing.clone(),
        },
    )?;
    let options = EntryOptions {
        rows: RowsGoTo::Matched,
        differing: if arguments.replace {
            Differing::Replace
        } else {
            Differing::Refuse
        },
        when: now_utc(),
        who: String::new(),
    };
    let entry = enter_table(&table, &project, &options)
        .map_err(|problems| table_error(&arguments.from, &problems))?;
    if let Some(command) = &entry.command {
        command.apply(&mut project)?;
        let tally = entry.summary.readings;
        let what = format!(
            "took {} readings from {}",
            tally.n_new + tally.n_replaced,
            file_name(&arguments.from)
        );
        note_step(&mut project, what)?;
    }
    write_project(&arguments.out, &project)?;
    let document = document_of(arguments, entry.summary);
    if arguments.json {
        console.document(&document)?;
    } else {
        print(&document, console)?;
    }
    Ok(Answer::Yes)
}

fn document_of(arguments: &ReadingsArgs, summary: EntrySummary) -> ReadingsDocument {
    let warnings = summary
        .left_out
        .iter()
        .map(|head| format!("Column \"{head}\" goes nowhere."))
        .collect();
    ReadingsDocument {
        document: "readings",
        version: VERSION,
        out: arguments.out.clone(),
        readings: summary.readings.into(),
        outcomes: summary.outcomes.into(),
        as_run: summary.as_run.into(),
        remarks: summary.remarks.into(),
        columns: summary.columns.into_iter().map(Into::into).collect(),
        left_out: summary.left_out,
        notes: summary.notes,
        warnings,
    }
}

fn print(document: &ReadingsDocument, console: &mut Console<'_>) -> Result<(), CliError> {
    let mut columns = TextTable::new(&[
        ("column", Align::Left),
        ("goes to", Align::Left),
        ("unit", Align::Left),
    ]);
    for column in &document.columns {
        columns.row([
            column.head.clone(),
            column.goes_to.clone(),
            column.unit.clone(),
        ]);
    }
    for line in columns.lines() {
        console.line(&line)?;
    }
    let tally = &document.readings;
    console.paragraph(&format!(
        "{} readings are new, {} were there already, {} were replaced; written to {}.",
        tally.n_new,
        tally.n_same,
        tally.n_replaced,
        document.out.display()
    ))?;
    for note in &document.notes {
        console.paragraph(note)?;
    }
    for warning in &document.warnings {
        console.message(&format!("Warning: {warning}"));
    }
    Ok(())
}
