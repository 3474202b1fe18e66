//! `report`: one self-contained page for a colleague without the program.

use crate::campaign::clock::now_utc;
use crate::campaign::documents::report_html;
use crate::campaign::project_file;
use crate::campaign::report::ReportParts;

use super::Answer;
use super::arguments::ReportArgs;
use super::console::Console;
use super::error::CliError;
use super::written_file::{ending_of, write};

/// Answers `report`.
///
/// # Errors
/// [`CliError`] for a project that cannot be opened or a file that cannot be written.
pub(super) fn run(arguments: &ReportArgs, console: &mut Console<'_>) -> Result<Answer, CliError> {
    ending_of(&arguments.out, &["html"], ".html")?;
    let project = project_file::open(&arguments.file)?.project;
    let page = report_html(&project, &now_utc(), ReportParts::all());
    write(&arguments.out, page.as_bytes())?;
    console.message(&format!("The report is in {}.", arguments.out.display()));
    Ok(Answer::Yes)
}
