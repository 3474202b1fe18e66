//! A reading as people write it: `12,5`, `< 0.1`, `> 500`, a class by its word, `sound`, `faulty: streaks`.

use super::project::{Outcome, Quality, QualityKind, ReadingValue};
use super::table_cell::{Cell, CellFault, read_number};
use super::table_problem::{listed, shown};

/// Words for a sound film.
const SOUND_WORDS: [&str; 3] = ["sound", "pass", "good"];
/// Words for a faulty film.
const FAULTY_WORDS: [&str; 3] = ["faulty", "fail", "bad"];

/// Why a text is no reading of a quality.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReadingError {
    /// Nothing was written.
    #[error("There is nothing to read here.")]
    Empty,
    /// No number.
    #[error(transparent)]
    Cell(#[from] CellFault),
    /// A percentage beyond its ends.
    #[error("{value} is not between 0 and 100 %.")]
    NoPercentage {
        /// The number.
        value: f64,
    },
    /// Part of a defect, or fewer than none.
    #[error("{value} is not a count. Write a whole number, 0 or more.")]
    NoCount {
        /// The number.
        value: f64,
    },
    /// A limit where a limit means nothing.
    #[error(
        "\"{}\" does not fit here. < and > are for measured numbers and percentages.",
        shown(text)
    )]
    NoLimitHere {
        /// The text.
        text: String,
    },
    /// A class that the quality does not have.
    #[error("\"{}\" is none of the classes {}.", shown(text), listed(classes.iter().map(String::as_str)))]
    NoClass {
        /// The text.
        text: String,
        /// The classes, best first.
        classes: Vec<String>,
    },
    /// Neither sound nor faulty.
    #[error(
        "\"{}\" says neither sound nor faulty. Write sound, pass or good; or faulty, fail or bad, and what is wrong behind \
         a colon (\"faulty: streaks\").",
        shown(text)
    )]
    NoOutcome {
        /// The text.
        text: String,
    },
    /// A quality that is not read but judged.
    #[error(
        "\"{}\" says what became of the film. Enter it as sound or faulty, not as a reading.",
        shown(quality)
    )]
    IsOutcome {
        /// Label of the quality.
        quality: String,
    },
}

/// Reads what was typed into a cell of a film quality; point and comma both count as decimal sign.
///
/// # Errors
/// [`ReadingError`] says why the text is no reading of the quality.
pub fn read_reading(text: &str, quality: &Quality) -> Result<ReadingValue, ReadingError> {
    reading_of(text, || read_number(text, None), quality)?.ok_or(ReadingError::Empty)
}

/// As [`read_reading`], where `number` knows the decimal sign; `None` is a missing reading.
pub(super) fn reading_of(
    text: &str,
    number: impl FnOnce() -> Result<Cell<'static>, CellFault>,
    quality: &Quality,
) -> Result<Option<ReadingValue>, ReadingError> {
    let text = text.trim();
    if text.is_empty() {
        return Ok(None);
    }
    match quality.kind {
        QualityKind::Sound => Err(ReadingError::IsOutcome {
            quality: quality.label.clone(),
        }),
        QualityKind::Class if !quality.classes.is_empty() => {
            class_of(text, &quality.classes).map(Some)
        }
        QualityKind::Class
        | QualityKind::Count
        | QualityKind::Percent
        | QualityKind::Continuous => value_of(number()?, text, quality.kind),
    }
}

fn class_of(text: &str, classes: &[String]) -> Result<ReadingValue, ReadingError> {
    classes
        .iter()
        .find(|class| class.as_str() == text)
        .map(|class| ReadingValue::Class(class.clone()))
        .ok_or_else(|| ReadingError::NoClass {
            text: text.to_owned(),
            classes: classes.to_vec(),
        })
}

fn value_of(
    cell: Cell<'_>,
    text: &str,
    kind: QualityKind,
) -> Result<Option<ReadingValue>, ReadingError> {
    let (number, value) = match cell {
        Cell::Empty | Cell::Text(_) => return Ok(None),
        Cell::Number(number) => (number, ReadingValue::Exact(number)),
        Cell::Below(number) => (number, ReadingValue::Below(number)),
        Cell::Above(number) => (number, ReadingValue::Above(number)),
    };
    match kind {
        QualityKind::Percent if !(0.0..=100.0).contains(&number) => {
            Err(ReadingError::NoPercentage { value: number })
        }
        QualityKind::Count | QualityKind::Class if !matches!(value, ReadingValue::Exact(_)) => {
            Err(ReadingError::NoLimitHere {
                text: text.to_owned(),
            })
        }
        QualityKind::Count if number < 0.0 || number.fract() != 0.0 => {
            Err(ReadingError::NoCount { value: number })
        }
        QualityKind::Percent
        | QualityKind::Count
        | QualityKind::Class
        | QualityKind::Continuous
        | QualityKind::Sound => Ok(Some(value)),
    }
}

/// Reads what became of a film: one of two sets of words, in any case; the faults of a faulty one stand behind a colon,
/// separated by commas or semicolons.
///
/// # Errors
/// [`ReadingError::Empty`] or [`ReadingError::NoOutcome`].
pub fn read_outcome(text: &str) -> Result<Outcome, ReadingError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(ReadingError::Empty);
    }
    let is_one_of = |word: &str, words: &[&str]| {
        words
            .iter()
            .any(|known| known.eq_ignore_ascii_case(word.trim()))
    };
    let (word, faults) = text
        .split_once(':')
        .map_or((text, None), |(word, faults)| (word, Some(faults)));
    match faults {
        None if is_one_of(word, &SOUND_WORDS) => Ok(Outcome::Sound),
        Some(_) | None if is_one_of(word, &FAULTY_WORDS) => Ok(Outcome::Faulty {
            faults: split_faults(faults.unwrap_or_default()),
        }),
        Some(_) | None => Err(ReadingError::NoOutcome {
            text: text.to_owned(),
        }),
    }
}

/// Names of faults, separated by commas or semicolons; each one once.
pub fn split_faults(text: &str) -> Vec<String> {
    let mut faults: Vec<String> = Vec::new();
    for fault in text
        .split([',', ';'])
        .map(str::trim)
        .filter(|fault| !fault.is_empty())
    {
        if !faults.iter().any(|known| known == fault) {
            faults.push(fault.to_owned());
        }
    }
    faults
}
