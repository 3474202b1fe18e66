//! Tables from disk, with every problem of theirs in one message.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use crate::campaign::table_problem::Problems;
use crate::campaign::table_records::decode;
use crate::campaign::table_text::{LONGEST_TEXT, Table, TableOptions};

use super::error::CliError;

/// Reads a table.
///
/// # Errors
/// [`CliError::TableFile`] or [`CliError::Table`].
pub(super) fn read_table(path: &Path, options: &TableOptions) -> Result<Table, CliError> {
    let bytes = read_start(path).map_err(|source| CliError::TableFile {
        path: path.to_owned(),
        source,
    })?;
    let text = decode(&bytes).map_err(|fault| CliError::Table {
        path: path.to_owned(),
        problems: fault.to_string(),
    })?;
    Table::read(&text, options).map_err(|problems| table_error(path, &problems))
}

/// No more than what shows that a file is too long: some files never end.
fn read_start(path: &Path) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let most = u64::try_from(LONGEST_TEXT).unwrap_or(u64::MAX);
    File::open(path)?
        .take(most.saturating_add(1))
        .read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// The problems of a table as one error.
pub(super) fn table_error<F: std::fmt::Display>(path: &Path, problems: &Problems<F>) -> CliError {
    CliError::Table {
        path: path.to_owned(),
        problems: problems.to_string(),
    }
}
