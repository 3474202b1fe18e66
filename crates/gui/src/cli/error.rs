//! Everything that can end a command without its answer, and the exit status that follows.

use std::io;
use std::path::PathBuf;

use wetlane_stats::FitError;

use crate::campaign::analysis::AnalysisError;
use crate::campaign::command::Refusal;
use crate::campaign::feasibility::JudgeError;
use crate::campaign::json_file::FileError;
use crate::campaign::planning::PlanError;

use super::assignment::AssignmentError;

/// Why a command gave no answer.
#[derive(Debug, thiserror::Error)]
pub enum CliError {
    /// The result could not be written.
    #[error("the result cannot be written: {0}")]
    Output(io::Error),
    /// A project or another file.
    #[error(transparent)]
    File(#[from] FileError),
    /// A table that cannot be read from disk.
    #[error("the table cannot be read: {source}. File: {}", path.display())]
    TableFile {
        /// The file.
        path: PathBuf,
        /// The system's reason.
        source: io::Error,
    },
    /// Everything that is wrong with a table, line by line.
    #[error("{problems}\nFile: {}", path.display())]
    Table {
        /// The file.
        path: PathBuf,
        /// The problems.
        problems: String,
    },
    /// A setting, range or name on the command line.
    #[error(transparent)]
    Assignment(#[from] AssignmentError),
    /// A plan that cannot be made.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// A change that the project refuses.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// A setting that cannot be judged.
    #[error(transparent)]
    Judge(#[from] JudgeError),
    /// A fit that cannot be asked for.
    #[error(transparent)]
    Analysis(#[from] AnalysisError),
    /// A number for a fit that is none.
    #[error(transparent)]
    Fit(#[from] FitError),
    /// A window that cannot be drawn.
    #[error(
        "the window of this project cannot be drawn: {why}. Name two of its settings with --x and --y"
    )]
    NoWindow {
        /// What is missing.
        why: &'static str,
    },
    /// A run that does not exist.
    #[error("there is no run {run}; there are {known}")]
    NoRun {
        /// What was asked for.
        run: u32,
        /// The numbers there are.
        known: String,
    },
    /// A film quality that does not exist.
    #[error("there is no film quality \"{name}\"; there are {known}")]
    NoQuality {
        /// What was asked for.
        name: String,
        /// What there is.
        known: String,
    },
    /// Something that this version does not offer.
    #[error("\"{text}\" is not offered for --{option}; there are {offered}")]
    NotOffered {
        /// The option.
        option: &'static str,
        /// What was asked for.
        text: String,
        /// What there is.
        offered: &'static str,
    },
    /// A file whose ending does not say what to write.
    #[error("what is written is said by the ending, {offered}; this file has another. File: {}", path.display())]
    Ending {
        /// The file.
        path: PathBuf,
        /// The endings there are.
        offered: &'static str,
    },
    /// The project has no runs, and runs are needed.
    #[error("the project has no runs yet; make a plan first")]
    NoRuns,
    /// A page that cannot be put together.
    #[error("the {what} cannot be made: {reason}")]
    Page {
        /// Run sheet or report.
        what: &'static str,
        /// Why.
        reason: String,
    },
}

impl CliError {
    /// True if whoever read the result went away, which is no failure.
    pub fn is_closed_pipe(&self) -> bool {
        matches!(self, Self::Output(error) if error.kind() == io::ErrorKind::BrokenPipe)
    }
}
