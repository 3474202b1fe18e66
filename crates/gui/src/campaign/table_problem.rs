//! Where in a table something is wrong, and how foreign text is shown in a message.

use super::sentence_case::capitalized;
use std::error::Error;
use std::fmt;

/// Problems that a message lists before it only counts the rest.
const MOST_LISTED: usize = 20;
/// Characters of a cell that a message quotes.
const MOST_QUOTED: usize = 40;

/// A row, as people count it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct RowPlace {
    /// 1-based row of data, the header not counted.
    pub number: usize,
    /// 1-based line of the text on which it starts.
    pub line: usize,
}

/// A column.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct ColumnPlace {
    /// 0-based place from the left.
    pub index: usize,
    /// Its head.
    pub head: String,
}

/// A row, a column, a cell, or (with neither) the whole table.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct CellPlace {
    /// The row.
    pub row: Option<RowPlace>,
    /// The column.
    pub column: Option<ColumnPlace>,
}

impl CellPlace {
    /// The whole table.
    pub const TABLE: Self = Self {
        row: None,
        column: None,
    };

    /// A whole row.
    pub const fn row(row: RowPlace) -> Self {
        Self {
            row: Some(row),
            column: None,
        }
    }

    /// A whole column.
    pub const fn column(column: ColumnPlace) -> Self {
        Self {
            row: None,
            column: Some(column),
        }
    }

    /// A cell.
    pub const fn cell(row: RowPlace, column: ColumnPlace) -> Self {
        Self {
            row: Some(row),
            column: Some(column),
        }
    }
}

impl fmt::Display for RowPlace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "row {}", self.number)?;
        if self.line == self.number {
            Ok(())
        } else {
            write!(f, " (line {})", self.line)
        }
    }
}

impl fmt::Display for CellPlace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (&self.row, &self.column) {
            (None, None) => f.write_str("table"),
            (Some(row), None) => row.fmt(f),
            (None, Some(column)) => write!(f, "column \"{}\"", shown(&column.head)),
            (Some(row), Some(column)) => write!(f, "{row}, column \"{}\"", shown(&column.head)),
        }
    }
}

/// Something that is wrong, with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Located<F> {
    /// Where.
    pub place: CellPlace,
    /// What is wrong and what to do.
    pub fault: F,
}

impl<F: fmt::Display> fmt::Display for Located<F> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.place == CellPlace::TABLE {
            return self.fault.fmt(f);
        }
        let place = capitalized(&self.place.to_string());
        write!(f, "{place}: {}", self.fault)
    }
}

/// Everything that is wrong with a table, in the order of its rows; never empty as an error.
#[derive(Debug, Clone, PartialEq)]
pub struct Problems<F>(pub Vec<Located<F>>);

impl<F> Problems<F> {
    /// A single problem.
    pub fn one(place: CellPlace, fault: F) -> Self {
        Self(vec![Located { place, fault }])
    }

    /// The same problems as part of a wider kind.
    pub fn widen<G>(self, wider: impl Fn(F) -> G) -> Problems<G> {
        Problems(
            self.0
                .into_iter()
                .map(|Located { place, fault }| Located {
                    place,
                    fault: wider(fault),
                })
                .collect(),
        )
    }
}

impl<F: fmt::Display> fmt::Display for Problems<F> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, problem) in self.0.iter().take(MOST_LISTED).enumerate() {
            if index > 0 {
                f.write_str("\n")?;
            }
            problem.fmt(f)?;
        }
        match self.0.len().checked_sub(MOST_LISTED) {
            Some(n_more @ 1..) => write!(f, "\n… and {n_more} more"),
            Some(0) | None => Ok(()),
        }
    }
}

impl<F: fmt::Debug + fmt::Display> Error for Problems<F> {}

/// True for characters that would act on the message, or hide in it, instead of being seen: controls, marks that turn
/// the writing direction, and characters without width (Unicode Standard Annex 9, table 1; byte order mark).
pub fn is_unseen(character: char) -> bool {
    character.is_control()
        || matches!(character, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
}

/// Foreign text for a message: its first characters, unseen ones by their code.
pub fn shown(text: &str) -> String {
    shown_up_to(text, MOST_QUOTED)
}

/// As [`shown`], with another length.
pub fn shown_up_to(text: &str, n_characters: usize) -> String {
    let mut seen = String::new();
    for (index, character) in text.chars().enumerate() {
        if index == n_characters {
            seen.push('…');
            break;
        }
        if is_unseen(character) {
            seen.push_str(&code_of(character));
        } else {
            seen.push(character);
        }
    }
    seen
}

/// The code of a character, as `⟨U+202E⟩`.
pub fn code_of(character: char) -> String {
    format!("⟨U+{:04X}⟩", u32::from(character))
}

/// Names in quotation marks, separated by commas; the rest is counted.
pub fn listed<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    let names: Vec<&str> = names.into_iter().collect();
    let quoted = |name: &&str| format!("\"{}\"", shown(name));
    let list = names
        .iter()
        .take(MOST_LISTED)
        .map(quoted)
        .collect::<Vec<_>>()
        .join(", ");
    match names.len().checked_sub(MOST_LISTED) {
        Some(n_more @ 1..) => format!("{list} and {n_more} more"),
        Some(0) | None => list,
    }
}
