//! From a text to its rows of cells, and from the bytes of a file to a text.
//!
//! The rules are those of RFC 4180 with any of three separators, kept strictly: a quotation mark that is never closed
//! and text behind a closing one are faults with their line, because guessing would swallow rows; an empty line is an
//! empty row, because rows may belong to runs by their order.

use super::table_problem::{CellPlace, Problems, RowPlace};
use super::table_text::{Header, LONGEST_CELL, LONGEST_TEXT, MOST_CELLS, MOST_COLUMNS, TableFault};

/// What separates the cells of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Delimiter {
    /// A tab, as in text copied from a spreadsheet.
    Tab,
    /// A semicolon.
    Semicolon,
    /// A comma.
    Comma,
}

impl Delimiter {
    /// All of them, the least doubtful first.
    pub const ALL: [Self; 3] = [Self::Tab, Self::Semicolon, Self::Comma];

    /// Words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Tab => "tabs",
            Self::Semicolon => "semicolons",
            Self::Comma => "commas",
        }
    }

    const fn character(self) -> char {
        match self {
            Self::Tab => '\t',
            Self::Semicolon => ';',
            Self::Comma => ',',
        }
    }
}

/// A line, or several lines if a quoted cell goes over more than one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Record {
    pub(super) line: usize,
    pub(super) cells: Vec<String>,
}

impl Record {
    pub(super) fn is_empty(&self) -> bool {
        self.cells.iter().all(|cell| cell.trim().is_empty())
    }
}

/// Bytes of a file as text: UTF-8 with or without a byte order mark, or UTF-16 with one.
///
/// # Errors
/// [`TableFault::TooLong`], [`TableFault::NotUtf8`] or [`TableFault::NotUtf16`].
pub fn decode(bytes: &[u8]) -> Result<String, TableFault> {
    if bytes.len() > LONGEST_TEXT {
        return Err(TableFault::TooLong {
            n_bytes: bytes.len(),
        });
    }
    match bytes {
        [0xff, 0xfe, rest @ ..] => decode_utf16(rest, u16::from_le_bytes),
        [0xfe, 0xff, rest @ ..] => decode_utf16(rest, u16::from_be_bytes),
        _ => std::str::from_utf8(bytes)
            .map(ToOwned::to_owned)
            .map_err(|error| {
                let valid = bytes.get(..error.valid_up_to()).unwrap_or_default();
                TableFault::NotUtf8 {
                    line: valid.split(|byte| *byte == b'\n').count(),
                    byte: valid.len() + 1,
                }
            }),
    }
}

fn decode_utf16(bytes: &[u8], unit: impl Fn([u8; 2]) -> u16) -> Result<String, TableFault> {
    let (pairs, rest) = bytes.as_chunks::<2>();
    if !rest.is_empty() {
        return Err(TableFault::NotUtf16);
    }
    char::decode_utf16(pairs.iter().map(|pair| unit(*pair)))
        .collect::<Result<String, _>>()
        .ok()
        .ok_or(TableFault::NotUtf16)
}

/// How a text falls into cells under one delimiter.
struct Shape {
    n_heads: usize,
    is_even: bool,
}

fn shape_of(text: &str, delimiter: Delimiter) -> Option<Shape> {
    // An empty line is an empty row of any table.
    let mut widths = Records::new(text, delimiter)
        .map(|record| record.map(|record| record.cells.len()))
        .filter(|width| *width != Ok(0));
    let n_heads = widths.next()?.ok()?;
    let is_even = widths.all(|width| width == Ok(n_heads));
    Some(Shape { n_heads, is_even })
}

/// The one delimiter that gives two columns or more and equal rows; if rows are unequal under all of them, the one that
/// splits the header. A tab is never part of a name, so it goes before the others.
pub(super) fn find_delimiter(text: &str, header: Header) -> Result<Option<Delimiter>, TableFault> {
    let allowed = Delimiter::ALL
        .into_iter()
        .filter(|delimiter| header == Header::FirstRow || *delimiter != Delimiter::Comma);
    let splitting: Vec<(Delimiter, bool)> = allowed
        .filter_map(|delimiter| {
            shape_of(text, delimiter)
                .filter(|shape| shape.n_heads > 1)
                .map(|s| (delimiter, s.is_even))
        })
        .collect();
    let even: Vec<Delimiter> = splitting
        .iter()
        .filter(|(_, is_even)| *is_even)
        .map(|(delimiter, _)| *delimiter)
        .collect();
    let any: Vec<Delimiter> = splitting.iter().map(|(delimiter, _)| *delimiter).collect();
    match if even.is_empty() {
        any.as_slice()
    } else {
        even.as_slice()
    } {
        [] => Ok(None),
        [Delimiter::Tab, ..] => Ok(Some(Delimiter::Tab)),
        [one] => Ok(Some(*one)),
        [one, other, ..] => Err(TableFault::UnclearDelimiter {
            one: *one,
            other: *other,
        }),
    }
}

pub(super) fn split(text: &str, delimiter: Delimiter) -> Result<Vec<Record>, Problems<TableFault>> {
    let mut n_cells = 0;
    let mut records = Vec::new();
    for record in Records::new(text, delimiter) {
        let record = record.map_err(|(line, fault)| Problems::one(line_place(line), fault))?;
        n_cells += record.cells.len();
        if n_cells > MOST_CELLS {
            return Err(Problems::one(CellPlace::TABLE, TableFault::TooManyCells));
        }
        records.push(record);
    }
    Ok(records)
}

/// The place of a line whose row is not known yet.
pub(super) const fn line_place(line: usize) -> CellPlace {
    CellPlace::row(RowPlace { number: line, line })
}

pub(super) fn too_wide(n_columns: usize) -> Option<TableFault> {
    (n_columns > MOST_COLUMNS).then_some(TableFault::TooManyColumns { n_columns })
}

pub(super) fn long_cell(cell: &str) -> Option<TableFault> {
    // Bytes first: there are never fewer of them than characters.
    (cell.len() > LONGEST_CELL && cell.chars().count() > LONGEST_CELL).then(|| {
        TableFault::LongCell {
            text: cell.chars().take(LONGEST_CELL).collect(),
        }
    })
}

/// What ends a cell.
enum CellEnd {
    Delimiter,
    Line,
    Text,
}

/// The records of a text, up to the first fault.
struct Records<'a> {
    rest: &'a str,
    delimiter: char,
    line: usize,
    is_over: bool,
}

type LineFault = (usize, TableFault);

impl<'a> Records<'a> {
    const fn new(text: &'a str, delimiter: Delimiter) -> Self {
        Self {
            rest: text,
            delimiter: delimiter.character(),
            line: 1,
            is_over: false,
        }
    }

    fn record(&mut self) -> Result<Record, LineFault> {
        let line = self.line;
        let mut cells: Vec<String> = Vec::new();
        loop {
            let (cell, end) = self.cell()?;
            let is_blank = cells.is_empty() && cell.trim().is_empty();
            cells.push(cell);
            if let Some(fault) = cells
                .last()
                .and_then(|cell| long_cell(cell))
                .or_else(|| too_wide(cells.len()))
            {
                return Err((line, fault));
            }
            match end {
                CellEnd::Delimiter => continue,
                CellEnd::Line => self.line += 1,
                CellEnd::Text => self.is_over = true,
            }
            if is_blank {
                cells.clear();
            }
            return Ok(Record { line, cells });
        }
    }

    fn cell(&mut self) -> Result<(String, CellEnd), LineFault> {
        let start = self.rest.trim_start_matches(' ');
        if let Some(quoted) = start.strip_prefix('"') {
            self.rest = quoted;
            let text = self.quoted()?;
            self.rest = self.rest.trim_start_matches(' ');
            let (behind, end) = self.plain();
            return if behind.is_empty() {
                Ok((text, end))
            } else {
                Err((self.line, TableFault::TextBehindQuote))
            };
        }
        let (text, end) = self.plain();
        Ok((text.to_owned(), end))
    }

    /// Takes everything up to the next separator, and the separator.
    fn plain(&mut self) -> (&'a str, CellEnd) {
        let delimiter = self.delimiter;
        let Some((text, rest)) = self.rest.split_once([delimiter, '\n']) else {
            return (std::mem::take(&mut self.rest), CellEnd::Text);
        };
        let is_line_end = self
            .rest
            .get(text.len()..)
            .is_some_and(|end| end.starts_with('\n'));
        self.rest = rest;
        (
            text,
            if is_line_end {
                CellEnd::Line
            } else {
                CellEnd::Delimiter
            },
        )
    }

    /// Takes everything up to the closing quotation mark, and the mark.
    fn quoted(&mut self) -> Result<String, LineFault> {
        let opened = self.line;
        let mut text = String::new();
        loop {
            let (part, rest) = self
                .rest
                .split_once('"')
                .ok_or((opened, TableFault::OpenQuote))?;
            self.line += part.matches('\n').count();
            text.push_str(part);
            if let Some(rest) = rest.strip_prefix('"') {
                self.rest = rest;
                text.push('"');
            } else {
                self.rest = rest;
                return Ok(text);
            }
        }
    }
}

impl Iterator for Records<'_> {
    type Item = Result<Record, LineFault>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.is_over {
            return None;
        }
        let record = self.record();
        self.is_over |= record.is_err();
        Some(record)
    }
}
