//! Cards as files of their own, so that an ink, a foil or a line is described once and shared.

use std::path::Path;

use serde::{Deserialize, Serialize};

use super::card::Card;
use super::command::{CardRef, Command};
use super::json_file::{FileError, FileKind, bytes_of, read_bytes, write_atomically};
use super::project::{LineCard, Project};
use super::validity::{card_problems, line_problems};

/// Newest version of the card format that this program reads and the only one that it writes.
pub const VERSION: u32 = 1;

const KIND: FileKind = FileKind {
    format: "wetlane-card",
    version: VERSION,
    noun: "card",
};

/// A card that stands alone.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum SharedCard {
    /// An ink.
    Ink(Card),
    /// A foil.
    Foil(Card),
    /// A line with its stations.
    Line(LineCard),
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct CardDocument {
    format: String,
    version: u32,
    program: String,
    card: SharedCard,
}

impl SharedCard {
    /// A card of a project; a station is shared with its line. `None` if there is no line.
    pub fn of(project: &Project, which: CardRef) -> Option<Self> {
        match which {
            CardRef::Ink => Some(Self::Ink(project.ink.clone())),
            CardRef::Foil => Some(Self::Foil(project.foil.clone())),
            CardRef::Line | CardRef::Station(_) => project.line.clone().map(Self::Line),
        }
    }

    /// What is on the card: "ink", "foil", "line".
    pub const fn noun(&self) -> &'static str {
        match self {
            Self::Ink(_) => "ink",
            Self::Foil(_) => "foil",
            Self::Line(_) => "line",
        }
    }

    /// Its name.
    pub fn name(&self) -> &str {
        match self {
            Self::Ink(card) | Self::Foil(card) => &card.name,
            Self::Line(line) => &line.card.name,
        }
    }

    /// The step that puts it into a project.
    pub fn command(self) -> Command {
        match self {
            Self::Ink(card) => Command::SetCard {
                card: CardRef::Ink,
                with: Box::new(card),
            },
            Self::Foil(card) => Command::SetCard {
                card: CardRef::Foil,
                with: Box::new(card),
            },
            Self::Line(line) => Command::SetLine(Some(Box::new(line))),
        }
    }
}

/// The bytes of a card file. The same card gives the same bytes.
///
/// # Errors
/// None for a valid card: numbers are finite and keys are text.
pub fn to_bytes(card: &SharedCard) -> Result<Vec<u8>, serde_json::Error> {
    bytes_of(&CardDocument {
        format: KIND.format.to_owned(),
        version: VERSION,
        program: env!("CARGO_PKG_VERSION").to_owned(),
        card: card.clone(),
    })
}

/// Reads a card from the bytes of a file; `path` only serves messages.
///
/// # Errors
/// [`FileError`] says what is wrong and where.
pub fn from_bytes(bytes: &[u8], path: &Path) -> Result<SharedCard, FileError> {
    let document: CardDocument = KIND.read(bytes, path)?;
    let problems = match &document.card {
        SharedCard::Ink(card) | SharedCard::Foil(card) => card_problems(card),
        SharedCard::Line(line) => line_problems(line),
    };
    if problems.is_empty() {
        Ok(document.card)
    } else {
        Err(FileError::Invalid {
            wanted: KIND.noun,
            path: path.to_owned(),
            problems,
        })
    }
}

/// Opens a card file.
///
/// # Errors
/// [`FileError`]; the file is never changed.
pub fn open(path: &Path) -> Result<SharedCard, FileError> {
    from_bytes(&read_bytes(path)?, path)
}

/// Writes a card file as a whole or not at all.
///
/// # Errors
/// [`FileError::Io`]; a file that was there is then as it was.
pub fn save(card: &SharedCard, path: &Path) -> Result<(), FileError> {
    let bytes = to_bytes(card).map_err(|error| FileError::Io {
        doing: "writing the card",
        path: path.to_owned(),
        source: error.into(),
    })?;
    write_atomically(path, &bytes)
}
