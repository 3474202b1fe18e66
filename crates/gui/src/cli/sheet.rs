//! `sheet`: the run sheet as a page or a table.

use crate::campaign::documents::{run_sheet_csv, run_sheet_html};
use crate::campaign::project_file;

use super::Answer;
use super::arguments::SheetArgs;
use super::console::Console;
use super::error::CliError;
use super::written_file::{ending_of, write};

/// Answers `sheet`.
///
/// # Errors
/// [`CliError`] for a project that cannot be opened, has no runs, or a file that cannot be written.
pub(super) fn run(arguments: &SheetArgs, console: &mut Console<'_>) -> Result<Answer, CliError> {
    let ending = ending_of(&arguments.out, &["html", "csv"], ".html or .csv")?;
    let project = project_file::open(&arguments.file)?.project;
    if project.runs.is_empty() {
        return Err(CliError::NoRuns);
    }
    let text = match ending {
        "csv" => run_sheet_csv(&project),
        _ => run_sheet_html(&project),
    };
    write(&arguments.out, text.as_bytes())?;
    console.message(&format!(
        "The sheet of {} runs is in {}.",
        project.runs.len(),
        arguments.out.display()
    ));
    Ok(Answer::Yes)
}
