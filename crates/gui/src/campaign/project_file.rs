//! The project file: JSON, indented, in a fixed order, written as a whole or not at all.
//!
//! This is the only place that reads and writes projects.

use std::fs;
use std::path::Path;

use serde::Deserialize;
use sha2::{Digest, Sha256};

use super::json_file::{FileError, FileKind, bytes_of, read_bytes, write_atomically};
use super::project::{FORMAT, Project, VERSION};
use super::validity::problems_of;

const KIND: FileKind = FileKind {
    format: FORMAT,
    version: VERSION,
    noun: "project",
};

/// SHA-256 of a file's bytes, as hexadecimal text: tells whether a file is still the one that was opened.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, Deserialize)]
#[serde(transparent)]
pub struct Fingerprint(String);

impl Fingerprint {
    /// Fingerprint of some bytes.
    pub fn of(bytes: &[u8]) -> Self {
        use std::fmt::Write as _;
        let mut text = String::with_capacity(64);
        for byte in Sha256::digest(bytes) {
            // Writing to a string cannot fail.
            write!(text, "{byte:02x}").unwrap_or_default();
        }
        Self(text)
    }
}

/// A project with the bytes it came from.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    /// The project.
    pub project: Project,
    /// Fingerprint of the file.
    pub fingerprint: Fingerprint,
}

/// The bytes of a project file. The same project gives the same bytes.
///
/// # Errors
/// None for a valid project: numbers are finite and keys are text.
pub fn to_bytes(project: &Project) -> Result<Vec<u8>, serde_json::Error> {
    bytes_of(project)
}

/// Reads a project from the bytes of a file; `path` only serves messages.
///
/// # Errors
/// [`FileError`] says what is wrong and where.
pub fn from_bytes(bytes: &[u8], path: &Path) -> Result<Project, FileError> {
    let project: Project = KIND.read(bytes, path)?;
    let problems = problems_of(&project);
    if problems.is_empty() {
        Ok(project)
    } else {
        Err(FileError::Invalid {
            wanted: KIND.noun,
            path: path.to_owned(),
            problems,
        })
    }
}

/// Opens a project file.
///
/// # Errors
/// [`FileError`]; the file is never changed.
pub fn open(path: &Path) -> Result<Opened, FileError> {
    let bytes = read_bytes(path)?;
    let project = from_bytes(&bytes, path)?;
    Ok(Opened {
        project,
        fingerprint: Fingerprint::of(&bytes),
    })
}

/// Saves a project: the new file is complete and on the disk before it takes the old one's place.
///
/// `known` is the fingerprint with which the file was opened or last saved; if the file is no longer that one,
/// nothing is written. `None` writes in any case.
///
/// # Errors
/// [`FileError::ChangedOnDisk`], or [`FileError::Io`]; the old file is then as it was.
pub fn save(
    project: &Project,
    path: &Path,
    known: Option<&Fingerprint>,
) -> Result<Fingerprint, FileError> {
    if let Some(known) = known
        && let Ok(now) = fs::read(path)
        && Fingerprint::of(&now) != *known
    {
        return Err(FileError::ChangedOnDisk {
            path: path.to_owned(),
        });
    }
    let mut current = project.clone();
    env!("CARGO_PKG_VERSION").clone_into(&mut current.program);
    let bytes = to_bytes(&current).map_err(|error| FileError::Io {
        doing: "writing the project",
        path: path.to_owned(),
        source: error.into(),
    })?;
    write_atomically(path, &bytes)?;
    Ok(Fingerprint::of(&bytes))
}
