//! Files that a command writes: what their ending says, and writing them as a whole or not at all.

use std::path::Path;

use crate::campaign::clock::now_utc;
use crate::campaign::command::Command;
use crate::campaign::json_file::write_atomically;
use crate::campaign::project::{HistoryStep, Project};
use crate::campaign::project_file;

use super::error::CliError;

/// The ending of a file among those that are offered, in small letters.
///
/// # Errors
/// [`CliError::Ending`] with the endings there are.
pub(super) fn ending_of(
    path: &Path,
    endings: &[&'static str],
    offered: &'static str,
) -> Result<&'static str, CliError> {
    let ending = path.extension().and_then(|ending| ending.to_str());
    ending
        .and_then(|ending| {
            endings
                .iter()
                .find(|known| known.eq_ignore_ascii_case(ending))
        })
        .copied()
        .ok_or_else(|| CliError::Ending {
            path: path.to_owned(),
            offered,
        })
}

/// Writes a file; whatever happens, either the old or the new one is there as a whole.
///
/// # Errors
/// [`CliError::File`].
pub(super) fn write(path: &Path, bytes: &[u8]) -> Result<(), CliError> {
    Ok(write_atomically(path, bytes)?)
}

/// The name of a file without its folder, as it may stand in a history that others read.
pub(super) fn file_name(path: &Path) -> String {
    path.file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default()
}

/// Adds a named step to the history of a project.
///
/// # Errors
/// [`CliError::Refused`], which does not happen to a valid project.
pub(super) fn note_step(project: &mut Project, what: String) -> Result<(), CliError> {
    let step = HistoryStep {
        what,
        when: now_utc(),
        program: env!("CARGO_PKG_VERSION").to_owned(),
    };
    Command::NoteStep(Some(step)).apply(project)?;
    Ok(())
}

/// Writes a project.
///
/// # Errors
/// [`CliError::File`].
pub(super) fn write_project(path: &Path, project: &Project) -> Result<(), CliError> {
    project_file::save(project, path, None)?;
    Ok(())
}
