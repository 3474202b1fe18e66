//! An open project with its file, its journal and its undo stack: what a window holds.

use std::path::{Path, PathBuf};

use super::clock::now_utc;
use super::command::{Command, Refusal};
use super::journal::{JournalError, JournalStart, JournalWriter, Recovered, journal_path};
use super::json_file::FileError;
use super::project::Project;
use super::project_file::{self, Fingerprint};

/// Steps that can be undone; older ones are forgotten.
const UNDO_DEPTH: usize = 500;

/// A step that can be undone or redone.
#[derive(Debug, Clone, PartialEq)]
struct Step {
    label: String,
    command: Command,
}

/// An open project.
#[derive(Debug)]
pub struct Session {
    project: Project,
    revision: u64,
    saved_revision: u64,
    path: Option<PathBuf>,
    fingerprint: Option<Fingerprint>,
    undo: Vec<Step>,
    redo: Vec<Step>,
    journal: Option<JournalWriter>,
    journal_folder: Option<PathBuf>,
}

impl Session {
    /// A project that was never saved. Without a journal folder nothing is journalled (command line, tests).
    pub fn new(project: Project, journal_folder: Option<PathBuf>) -> Self {
        Self {
            project,
            revision: 1,
            saved_revision: 0,
            path: None,
            fingerprint: None,
            undo: Vec::new(),
            redo: Vec::new(),
            journal: None,
            journal_folder,
        }
    }

    /// Opens a file.
    ///
    /// # Errors
    /// [`FileError`] says what is wrong with the file.
    pub fn open(path: &Path, journal_folder: Option<PathBuf>) -> Result<Self, FileError> {
        let opened = project_file::open(path)?;
        let mut session = Self::new(opened.project, journal_folder);
        session.saved_revision = session.revision;
        session.path = Some(std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned()));
        session.fingerprint = Some(opened.fingerprint);
        Ok(session)
    }

    /// Goes on from edits that were not saved. The result still belongs to its file and differs from it.
    pub fn recover(recovered: Recovered, journal_folder: Option<PathBuf>) -> Self {
        let mut session = Self::new(recovered.project, journal_folder);
        session.path = recovered.start.path;
        session.fingerprint = recovered.start.fingerprint;
        session
    }

    /// Starts a journal that holds the recovered state, so that it survives even if nothing is edited any more.
    pub fn keep_recovered_in_journal(&mut self) {
        self.begin_journal();
        if let Some(journal) = &self.journal {
            // A step without effect: recovery offers only journals with at least one edit.
            journal.append(&Command::SetTitle(self.project.title.clone()), &now_utc());
        }
    }

    /// The project.
    pub const fn project(&self) -> &Project {
        &self.project
    }

    /// Number of the present state; every applied command raises it.
    pub const fn revision(&self) -> u64 {
        self.revision
    }

    /// The file, if it has one.
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// True if there are changes that the file does not hold.
    pub const fn has_unsaved_changes(&self) -> bool {
        self.revision != self.saved_revision
    }

    /// Name of the step that undo takes back.
    pub fn undo_label(&self) -> Option<&str> {
        self.undo.last().map(|step| step.label.as_str())
    }

    /// Name of the step that redo brings again.
    pub fn redo_label(&self) -> Option<&str> {
        self.redo.last().map(|step| step.label.as_str())
    }

    /// Applies a command, journals it and makes it undoable.
    ///
    /// # Errors
    /// [`Refusal`]; nothing is changed then.
    pub fn apply(&mut self, command: &Command) -> Result<(), Refusal> {
        let inverse = self.change(command)?;
        self.undo.push(Step {
            label: command.label(),
            command: inverse,
        });
        if self.undo.len() > UNDO_DEPTH {
            self.undo.remove(0);
        }
        self.redo.clear();
        Ok(())
    }

    /// Takes the last step back.
    ///
    /// # Errors
    /// [`Refusal`] if it cannot be taken back any more; the step is then dropped.
    pub fn undo(&mut self) -> Result<(), Refusal> {
        if let Some(step) = self.undo.pop() {
            let inverse = self.change(&step.command)?;
            self.redo.push(Step {
                label: step.label,
                command: inverse,
            });
        }
        Ok(())
    }

    /// Brings the last undone step again.
    ///
    /// # Errors
    /// As [`Session::undo`].
    pub fn redo(&mut self) -> Result<(), Refusal> {
        if let Some(step) = self.redo.pop() {
            let inverse = self.change(&step.command)?;
            self.undo.push(Step {
                label: step.label,
                command: inverse,
            });
        }
        Ok(())
    }

    fn change(&mut self, command: &Command) -> Result<Command, Refusal> {
        // The journal starts from the state before its first edit.
        self.begin_journal();
        let inverse = command.apply(&mut self.project)?;
        self.revision += 1;
        if let Some(journal) = &self.journal {
            journal.append(command, &now_utc());
        }
        Ok(inverse)
    }

    fn begin_journal(&mut self) {
        if self.journal.is_some() {
            return;
        }
        let Some(folder) = &self.journal_folder else {
            return;
        };
        let path = journal_path(folder, &self.project.id, std::process::id());
        let start = JournalStart::new(
            self.path.clone(),
            self.fingerprint.clone(),
            self.project.clone(),
        );
        match JournalWriter::start(path, &start) {
            Ok(journal) => self.journal = Some(journal),
            Err(error) => {
                log::error!("{error}");
                // Trying again at every edit would only repeat the message.
                self.journal_folder = None;
            }
        }
    }

    /// Saves to the file it belongs to.
    ///
    /// # Errors
    /// [`FileError`]; without a file of its own, an `Io` error that asks for a name.
    pub fn save(&mut self) -> Result<(), FileError> {
        let Some(path) = self.path.clone() else {
            return Err(FileError::Io {
                doing: "saving without a name",
                path: PathBuf::new(),
                source: std::io::Error::new(
                    std::io::ErrorKind::NotFound,
                    "choose a file name first",
                ),
            });
        };
        let known = self.fingerprint.clone();
        self.write(path, known.as_ref())
    }

    /// Saves to another file, which then is the project's own.
    ///
    /// # Errors
    /// [`FileError`].
    pub fn save_as(&mut self, path: PathBuf) -> Result<(), FileError> {
        self.write(path, None)
    }

    fn write(&mut self, path: PathBuf, known: Option<&Fingerprint>) -> Result<(), FileError> {
        let fingerprint = project_file::save(&self.project, &path, known)?;
        self.fingerprint = Some(fingerprint);
        self.path = Some(std::fs::canonicalize(&path).unwrap_or(path));
        self.saved_revision = self.revision;
        if let Some(journal) = &self.journal {
            let start = JournalStart::new(
                self.path.clone(),
                self.fingerprint.clone(),
                self.project.clone(),
            );
            journal.restart(start);
        }
        Ok(())
    }

    /// What the journal could not do since the last call.
    pub fn journal_problems(&self) -> Vec<JournalError> {
        self.journal
            .as_ref()
            .map(JournalWriter::problems)
            .unwrap_or_default()
    }

    /// Ends the session. The journal is kept only if there are changes that the file does not hold.
    pub fn close(mut self) {
        let unsaved = self.has_unsaved_changes();
        if let Some(journal) = self.journal.take() {
            if unsaved {
                journal.close();
            } else {
                journal.discard();
            }
        }
    }

    /// Ends the session and drops what was not saved.
    pub fn close_without_saving(mut self) {
        if let Some(journal) = self.journal.take() {
            journal.discard();
        }
    }
}
