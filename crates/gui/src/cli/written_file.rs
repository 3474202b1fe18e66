//! Files that a command writes: what their ending says, and writing them as a whole or not at all.

use std::path::Path;

use crate::campaign::project::Project;
use crate::campaign::project_file::{self, write_atomically};

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

/// Writes a project.
///
/// # Errors
/// [`CliError::File`].
pub(super) fn write_project(path: &Path, project: &Project) -> Result<(), CliError> {
    project_file::save(project, path, None)?;
    Ok(())
}
