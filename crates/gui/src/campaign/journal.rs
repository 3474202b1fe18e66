//! The journal: every edit since the last save, one line of JSON each, on the disk before the next one is made.
//!
//! The first line holds the project as it was last saved (or as it was made) and where it belongs; each further line
//! holds one command. Replaying the commands on the first line's project gives the last state. A line that was cut
//! off by a crash ends the replay; everything before it counts.

use std::fs::{self, File, OpenOptions};
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread::JoinHandle;

use serde::{Deserialize, Serialize};

use super::command::Command;
use super::project::Project;
use super::project_file::Fingerprint;

/// First line of a journal.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct JournalStart {
    /// Always "wetlane-journal".
    pub format: String,
    /// The file that the edits belong to; `None` for a project that was never saved.
    pub path: Option<PathBuf>,
    /// Fingerprint of that file.
    pub fingerprint: Option<Fingerprint>,
    /// The project before the edits.
    pub project: Project,
}

/// One edit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct JournalLine {
    at: String,
    label: String,
    command: Command,
}

/// Edits that were not saved.
#[derive(Debug, Clone, PartialEq)]
pub struct Recovered {
    /// The journal they were found in.
    pub journal: PathBuf,
    /// Its first line.
    pub start: JournalStart,
    /// The project with all edits.
    pub project: Project,
    /// Names of the edits, oldest first.
    pub labels: Vec<String>,
    /// When the last edit was made (UTC, RFC 3339).
    pub last_at: String,
}

const FORMAT: &str = "wetlane-journal";

impl JournalStart {
    /// The first line of a new journal.
    pub fn new(path: Option<PathBuf>, fingerprint: Option<Fingerprint>, project: Project) -> Self {
        Self {
            format: FORMAT.to_owned(),
            path,
            fingerprint,
            project,
        }
    }
}

/// Why a journal cannot be kept or read.
#[derive(Debug, thiserror::Error)]
pub enum JournalError {
    /// The file system says no.
    #[error("the journal of edits cannot be {doing}: {source}. File: {}", path.display())]
    Io {
        /// What was tried.
        doing: &'static str,
        /// The journal.
        path: PathBuf,
        /// The system's reason.
        source: std::io::Error,
    },
    /// The first line is not that of a journal.
    #[error("this is no journal of edits. File: {}", path.display())]
    NoJournal {
        /// The file.
        path: PathBuf,
    },
}

/// Where the journal of a project lies: one file for each project and process in the user's data folder.
pub fn journal_path(folder: &Path, project_id: &str, process: u32) -> PathBuf {
    let plain: String = project_id
        .chars()
        .filter(|c| c.is_ascii_alphanumeric() || *c == '-')
        .take(64)
        .collect();
    folder.join(format!("{plain}-{process}.journal"))
}

enum Message {
    Line(String),
    Restart(Box<JournalStart>),
    Stop,
}

/// Writes a journal on a thread of its own; each line is synced to the disk before the next is taken.
#[derive(Debug)]
pub struct JournalWriter {
    path: PathBuf,
    sender: Sender<Message>,
    problems: Receiver<JournalError>,
    thread: Option<JoinHandle<()>>,
}

impl JournalWriter {
    /// Starts a journal, written over if it exists.
    ///
    /// # Errors
    /// [`JournalError::Io`] if the file cannot be made.
    pub fn start(path: PathBuf, start: &JournalStart) -> Result<Self, JournalError> {
        let io = |source| JournalError::Io {
            doing: "started",
            path: path.clone(),
            source,
        };
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder).map_err(io)?;
        }
        let mut file = write_start(&path, start)?;
        let (sender, receiver) = channel::<Message>();
        let (problem_sender, problems) = channel();
        let file_path = path.clone();
        let thread = std::thread::Builder::new()
            .name("journal".to_owned())
            .spawn(move || {
                for message in receiver {
                    let result = match message {
                        Message::Line(line) => append(&mut file, &line, &file_path),
                        Message::Restart(start) => {
                            write_start(&file_path, &start).map(|new| file = new)
                        }
                        Message::Stop => return,
                    };
                    if let Err(problem) = result
                        && problem_sender.send(problem).is_err()
                    {
                        return;
                    }
                }
            })
            .map_err(io)?;
        Ok(Self {
            path,
            sender,
            problems,
            thread: Some(thread),
        })
    }

    /// Adds an edit. It is on the disk as soon as the thread has taken it, a few milliseconds later.
    pub fn append(&self, command: &Command, at: &str) {
        let line = JournalLine {
            at: at.to_owned(),
            label: command.label(),
            command: command.clone(),
        };
        match serde_json::to_string(&line) {
            Ok(line) => self.send(Message::Line(line)),
            Err(error) => log::error!("an edit could not be journalled: {error}"),
        }
    }

    /// Starts anew from a state that was saved.
    pub fn restart(&self, start: JournalStart) {
        self.send(Message::Restart(Box::new(start)));
    }

    /// What went wrong since the last call.
    pub fn problems(&self) -> Vec<JournalError> {
        self.problems.try_iter().collect()
    }

    /// Waits until every edit is on the disk and closes the file.
    pub fn close(mut self) {
        self.stop();
    }

    /// Closes and removes the journal: nothing in it is needed any more.
    pub fn discard(mut self) {
        self.stop();
        if let Err(error) = fs::remove_file(&self.path) {
            log::debug!("the journal could not be removed: {error}");
        }
    }

    fn send(&self, message: Message) {
        if self.sender.send(message).is_err() {
            log::error!("the journal thread has ended");
        }
    }

    fn stop(&mut self) {
        self.send(Message::Stop);
        if let Some(thread) = self.thread.take()
            && thread.join().is_err()
        {
            log::error!("the journal thread failed");
        }
    }
}

impl Drop for JournalWriter {
    fn drop(&mut self) {
        if self.thread.is_some() {
            self.stop();
        }
    }
}

/// Writes the first line into a new file and puts it in the old one's place, so that a crash leaves one or the other.
fn write_start(path: &Path, start: &JournalStart) -> Result<File, JournalError> {
    let io = |source| JournalError::Io {
        doing: "started",
        path: path.to_owned(),
        source,
    };
    let line = serde_json::to_string(start).map_err(|error| io(error.into()))?;
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or_else(|| Path::new("."));
    let mut file = tempfile::Builder::new()
        .prefix(".journal-")
        .tempfile_in(folder)
        .map_err(io)?;
    file.write_all(line.as_bytes()).map_err(io)?;
    file.write_all(b"\n").map_err(io)?;
    file.as_file().sync_all().map_err(io)?;
    file.persist(path).map_err(|error| io(error.error))?;
    OpenOptions::new().append(true).open(path).map_err(io)
}

fn append(file: &mut File, line: &str, path: &Path) -> Result<(), JournalError> {
    let io = |source| JournalError::Io {
        doing: "written",
        path: path.to_owned(),
        source,
    };
    file.write_all(line.as_bytes()).map_err(io)?;
    file.write_all(b"\n").map_err(io)?;
    file.sync_data().map_err(io)
}

/// Reads a journal and replays it.
///
/// # Errors
/// [`JournalError`] if there is no first line; a broken later line only ends the replay.
pub fn read(path: &Path) -> Result<Recovered, JournalError> {
    let io = |source| JournalError::Io {
        doing: "read",
        path: path.to_owned(),
        source,
    };
    let no_journal = || JournalError::NoJournal {
        path: path.to_owned(),
    };
    let mut lines = BufReader::new(File::open(path).map_err(io)?).split(b'\n');
    let first = lines.next().ok_or_else(no_journal)?.map_err(io)?;
    let start: JournalStart = serde_json::from_slice(&first).ok().ok_or_else(no_journal)?;
    if start.format != FORMAT {
        return Err(no_journal());
    }
    let mut project = start.project.clone();
    let mut labels = Vec::new();
    let mut last_at = String::new();
    for bytes in lines {
        let Ok(bytes) = bytes else { break };
        let Ok(line) = serde_json::from_slice::<JournalLine>(&bytes) else {
            break;
        };
        if line.command.apply(&mut project).is_err() {
            break;
        }
        labels.push(line.label);
        last_at = line.at;
    }
    Ok(Recovered {
        journal: path.to_owned(),
        start,
        project,
        labels,
        last_at,
    })
}

/// Journals with unsaved edits that no running program holds, newest first.
pub fn left_behind(folder: &Path, is_running: impl Fn(u32) -> bool) -> Vec<Recovered> {
    let Ok(entries) = fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut found: Vec<Recovered> = entries
        .filter_map(Result::ok)
        .map(|entry| entry.path())
        .filter(|path| {
            path.extension()
                .is_some_and(|extension| extension == "journal")
        })
        .filter(|path| !process_of(path).is_some_and(&is_running))
        .filter_map(|path| read(&path).ok())
        .filter(|recovered| !recovered.labels.is_empty())
        .collect();
    found.sort_by(|a, b| {
        b.last_at
            .cmp(&a.last_at)
            .then_with(|| a.journal.cmp(&b.journal))
    });
    found
}

fn process_of(path: &Path) -> Option<u32> {
    path.file_stem()?.to_str()?.rsplit('-').next()?.parse().ok()
}
