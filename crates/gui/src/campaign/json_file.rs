//! Files of ours: JSON with a format and a version, read with messages that name the place, written as a whole or not
//! at all.
//!
//! A file of a newer version is refused; a file that is cut short or is something else yields a message and is never
//! written over by opening it.

use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

use serde::Deserialize;
use serde::de::DeserializeOwned;

use super::validity::Problem;

/// Largest file that is read [bytes]; a project of ten thousand runs and twenty qualities is about a tenth of it.
const LARGEST_FILE: u64 = 512 * 1024 * 1024;

/// Why a file could not be opened or saved.
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
    /// The file is too large to be one of ours.
    #[error("the file has {size} bytes; nothing of ours is that large. File: {}", path.display())]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// Its size.
        size: u64,
    },
    /// The text is not what was looked for.
    #[error("this is no Wetlane {wanted}: {reason}. File: {}", path.display())]
    NotOurs {
        /// What was looked for.
        wanted: &'static str,
        /// The file.
        path: PathBuf,
        /// What is the matter.
        reason: String,
    },
    /// A newer program wrote it.
    #[error(
        "it was saved by a newer version (format {found}, this program reads up to {read}). Update the program; \
         the file is left as it is. File: {}", path.display()
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its version.
        found: u64,
        /// Newest version that is read.
        read: u32,
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
    #[error("the {wanted} contradicts itself: {}. File: {}", list(problems), path.display())]
    Invalid {
        /// What it is.
        wanted: &'static str,
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

/// A kind of file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FileKind {
    /// What stands behind "format".
    pub format: &'static str,
    /// Newest version that is read and the only one that is written.
    pub version: u32,
    /// What it is called in messages.
    pub noun: &'static str,
}

#[derive(Deserialize)]
struct Header {
    format: Option<String>,
    version: Option<u64>,
}

impl FileKind {
    /// Reads a document of this kind from the bytes of a file; `path` only serves messages.
    ///
    /// # Errors
    /// [`FileError`] says what is wrong and where.
    pub fn read<T: DeserializeOwned>(self, bytes: &[u8], path: &Path) -> Result<T, FileError> {
        let bytes = bytes.strip_prefix("\u{feff}".as_bytes()).unwrap_or(bytes);
        self.check_header(bytes, path)?;
        let mut reader = serde_json::Deserializer::from_slice(bytes);
        serde_path_to_error::deserialize(&mut reader).map_err(|error| {
            let place = error.path().to_string();
            let inner = error.into_inner();
            FileError::Unreadable {
                path: path.to_owned(),
                line: inner.line(),
                column: inner.column(),
                place,
                reason: without_position(&inner.to_string()),
            }
        })
    }

    fn check_header(self, bytes: &[u8], path: &Path) -> Result<(), FileError> {
        let not_ours = |reason: String| FileError::NotOurs {
            wanted: self.noun,
            path: path.to_owned(),
            reason,
        };
        if bytes.iter().all(u8::is_ascii_whitespace) {
            return Err(not_ours("the file is empty".to_owned()));
        }
        let header: Header = serde_json::from_slice(bytes).map_err(|error| {
            not_ours(if error.is_eof() {
                format!("the text ends in the middle, at line {}", error.line())
            } else {
                error.to_string()
            })
        })?;
        if header.format.as_deref() != Some(self.format) {
            let reason = format!("it does not say \"format\": \"{}\"", self.format);
            return Err(not_ours(reason));
        }
        match header.version {
            Some(version) if version == u64::from(self.version) => Ok(()),
            Some(version) if version > u64::from(self.version) => Err(FileError::Newer {
                path: path.to_owned(),
                found: version,
                read: self.version,
            }),
            Some(_) | None => Err(not_ours("it names no format version".to_owned())),
        }
    }
}

fn without_position(message: &str) -> String {
    message
        .split(" at line ")
        .next()
        .unwrap_or(message)
        .to_owned()
}

/// The bytes of a document: indented JSON with a line end. The same document gives the same bytes.
///
/// # Errors
/// None for what this program holds: numbers are finite and keys are text.
pub fn bytes_of<T: serde::Serialize>(document: &T) -> Result<Vec<u8>, serde_json::Error> {
    let mut bytes = serde_json::to_vec_pretty(document)?;
    bytes.push(b'\n');
    Ok(bytes)
}

/// All bytes of a file.
///
/// # Errors
/// [`FileError::Io`] or [`FileError::TooLarge`].
pub fn read_bytes(path: &Path) -> Result<Vec<u8>, FileError> {
    let io = |source| FileError::Io {
        doing: "opening the file",
        path: path.to_owned(),
        source,
    };
    let size = fs::metadata(path).map_err(io)?.len();
    let too_large = |size| FileError::TooLarge {
        path: path.to_owned(),
        size,
    };
    if size > LARGEST_FILE {
        return Err(too_large(size));
    }
    // Some files say nothing of their size and never end.
    let mut bytes = Vec::new();
    fs::File::open(path)
        .and_then(|file| file.take(LARGEST_FILE + 1).read_to_end(&mut bytes))
        .map_err(io)?;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(too_large(bytes.len() as u64));
    }
    Ok(bytes)
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
