//! The project file: JSON, indented, in a fixed order, written as a whole or not at all.
//!
//! This is the only place that reads and writes projects. A file of a newer version is refused; a file that is cut
//! short or is no project yields a message and is never written over by opening it.

use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

use serde::Deserialize;
use sha2::{Digest, Sha256};

use super::project::{FORMAT, Project, VERSION};
use super::validity::{Problem, problems_of};

/// Largest file that is read [bytes]; a project of ten thousand runs and twenty qualities is about a tenth of it.
const LARGEST_FILE: u64 = 512 * 1024 * 1024;

/// Why a project could not be opened or saved.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    /// The file system says no.
    #[error("{doing} is not possible: {source}. File: {}", path.display())]
    Io {
        /// What was tried.
        doing: &'static str,
        /// The file.
        path: PathBuf,
        /// The system's reason.
        source: std::io::Error,
    },
    /// The file is too large to be a project.
    #[error("the file has {size} bytes; no project is that large. File: {}", path.display())]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// Its size.
        size: u64,
    },
    /// The text is no project of ours.
    #[error("this is no Wetlane project: {reason}. File: {}", path.display())]
    NoProject {
        /// The file.
        path: PathBuf,
        /// What is the matter.
        reason: String,
    },
    /// A newer program wrote it.
    #[error(
        "it was saved by a newer version (format {found}, this program reads up to {VERSION}). Update the program; \
         the file is left as it is. File: {}", path.display()
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its version.
        found: u64,
    },
    /// Something in it cannot be read.
    #[error("at line {line}, column {column}, \"{place}\": {reason}. File: {}", path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// 1-based line.
        line: usize,
        /// 1-based column.
        column: usize,
        /// Path of keys inside the document.
        place: String,
        /// What is wrong.
        reason: String,
    },
    /// It can be read but contradicts itself.
    #[error("the project contradicts itself: {}. File: {}", list(problems), path.display())]
    Invalid {
        /// The file.
        path: PathBuf,
        /// Every breach.
        problems: Vec<Problem>,
    },
    /// Somebody else changed the file since it was opened.
    #[error("the file was changed by somebody else since it was opened; save under another name to keep both. File: {}", path.display())]
    ChangedOnDisk {
        /// The file.
        path: PathBuf,
    },
}

fn list(problems: &[Problem]) -> String {
    problems
        .iter()
        .take(5)
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join("; ")
}

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
    let mut bytes = serde_json::to_vec_pretty(project)?;
    bytes.push(b'\n');
    Ok(bytes)
}

#[derive(Deserialize)]
struct Header {
    format: Option<String>,
    version: Option<u64>,
}

/// Reads a project from the bytes of a file; `path` only serves messages.
///
/// # Errors
/// [`FileError`] says what is wrong and where.
pub fn from_bytes(bytes: &[u8], path: &Path) -> Result<Project, FileError> {
    let no_project = |reason: String| FileError::NoProject {
        path: path.to_owned(),
        reason,
    };
    let bytes = bytes.strip_prefix("\u{feff}".as_bytes()).unwrap_or(bytes);
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Err(no_project("the file is empty".to_owned()));
    }
    let header: Header = serde_json::from_slice(bytes).map_err(|error| {
        if error.is_eof() {
            no_project(format!(
                "the text ends in the middle, at line {}",
                error.line()
            ))
        } else {
            no_project(error.to_string())
        }
    })?;
    if header.format.as_deref() != Some(FORMAT) {
        return Err(no_project(format!(
            "it does not say \"format\": \"{FORMAT}\""
        )));
    }
    match header.version {
        Some(version) if version == u64::from(VERSION) => {}
        Some(version) if version > u64::from(VERSION) => {
            return Err(FileError::Newer {
                path: path.to_owned(),
                found: version,
            });
        }
        Some(_) | None => return Err(no_project("it names no format version".to_owned())),
    }
    let mut reader = serde_json::Deserializer::from_slice(bytes);
    let project: Project = serde_path_to_error::deserialize(&mut reader).map_err(|error| {
        let place = error.path().to_string();
        let inner = error.into_inner();
        FileError::Unreadable {
            path: path.to_owned(),
            line: inner.line(),
            column: inner.column(),
            place,
            reason: without_position(&inner.to_string()),
        }
    })?;
    let problems = problems_of(&project);
    if problems.is_empty() {
        Ok(project)
    } else {
        Err(FileError::Invalid {
            path: path.to_owned(),
            problems,
        })
    }
}

fn without_position(message: &str) -> String {
    message
        .split(" at line ")
        .next()
        .unwrap_or(message)
        .to_owned()
}

/// Opens a project file.
///
/// # Errors
/// [`FileError`]; the file is never changed.
pub fn open(path: &Path) -> Result<Opened, FileError> {
    let io = |source| FileError::Io {
        doing: "opening the project",
        path: path.to_owned(),
        source,
    };
    let size = fs::metadata(path).map_err(io)?.len();
    if size > LARGEST_FILE {
        return Err(FileError::TooLarge {
            path: path.to_owned(),
            size,
        });
    }
    // Some files say nothing of their size and never end.
    let mut bytes = Vec::new();
    fs::File::open(path)
        .and_then(|file| file.take(LARGEST_FILE + 1).read_to_end(&mut bytes))
        .map_err(io)?;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(FileError::TooLarge {
            path: path.to_owned(),
            size: bytes.len() as u64,
        });
    }
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

/// Writes a file so that, whatever happens, either the old or the new one is there as a whole.
///
/// # Errors
/// [`FileError::Io`]; the old file is then as it was.
pub fn write_atomically(path: &Path, bytes: &[u8]) -> Result<(), FileError> {
    let io = |source| FileError::Io {
        doing: "saving",
        path: path.to_owned(),
        source,
    };
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    // A device or a pipe would be replaced by a file, which nobody wants who writes to one.
    if fs::metadata(&target).is_ok_and(|metadata| !metadata.is_file()) {
        return Err(io(std::io::Error::new(
            std::io::ErrorKind::InvalidInput,
            "there is something of this name that is no ordinary file",
        )));
    }
    let folder = match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".wetlane-").suffix(".part");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = fs::metadata(&target).map_or(0o666, |metadata| metadata.permissions().mode());
        builder.permissions(fs::Permissions::from_mode(mode));
    }
    let mut file = builder.tempfile_in(&folder).map_err(io)?;
    file.write_all(bytes).map_err(io)?;
    file.as_file().sync_all().map_err(io)?;
    file.persist(&target).map_err(|error| io(error.error))?;
    sync_folder(&folder);
    Ok(())
}

/// Makes the renaming itself durable. Not every file system can; then the file is whole all the same.
fn sync_folder(folder: &Path) {
    if let Ok(folder) = fs::File::open(folder)
        && let Err(error) = folder.sync_all()
    {
        log::debug!("the folder could not be synced: {error}");
    }
}
