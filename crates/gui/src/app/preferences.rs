//! What the program remembers between starts: theme and recent files. Never part of a project.

use std::fs;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::campaign::json_file::write_atomically;
use crate::theme::ThemeChoice;

/// How many recent files are kept.
const RECENT: usize = 8;

/// Preferences of the person at this computer.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Preferences {
    /// Palette.
    pub theme: ThemeChoice,
    /// Files opened or saved last, newest first.
    pub recent: Vec<PathBuf>,
}

impl Preferences {
    /// Reads them; anything unreadable counts as not there.
    pub fn load(folder: &Path) -> Self {
        fs::read(folder.join("preferences.json"))
            .ok()
            .and_then(|bytes| serde_json::from_slice(&bytes).ok())
            .unwrap_or_default()
    }

    /// Writes them; a failure only costs the memory of this start.
    pub fn store(&self, folder: &Path) {
        let written = fs::create_dir_all(folder)
            .map_err(|error| error.to_string())
            .and_then(|()| serde_json::to_vec_pretty(self).map_err(|error| error.to_string()))
            .and_then(|bytes| {
                write_atomically(&folder.join("preferences.json"), &bytes)
                    .map_err(|error| error.to_string())
            });
        if let Err(error) = written {
            log::warn!("the preferences could not be kept: {error}");
        }
    }

    /// Puts a file at the head of the recent ones.
    pub fn remember(&mut self, path: &Path) {
        self.recent.retain(|known| known != path);
        self.recent.insert(0, path.to_owned());
        self.recent.truncate(RECENT);
    }
}

/// Folders of the program for this person: preferences and journals.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProgramFolders {
    /// Preferences.
    pub config: PathBuf,
    /// Journals of edits.
    pub journals: PathBuf,
}

impl ProgramFolders {
    /// The usual folders of this system; `None` where there is no home folder.
    pub fn of_this_person() -> Option<Self> {
        let folders = directories::ProjectDirs::from("", "", "wetlane")?;
        Some(Self {
            config: folders.config_dir().to_owned(),
            journals: folders.data_local_dir().join("journals"),
        })
    }
}
