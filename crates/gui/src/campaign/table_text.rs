//! Tables as text: comma, semicolon or tab between the cells, decimal point or comma, a header row or none.
//!
//! What may be read in two ways is refused with advice; nothing is guessed without being said.

use super::sentence_case::capitalized;
use super::table_cell::{
    Cell, CellFault, ColumnSign, DecimalSign, SignEvidence, decide_sign, read_number, sign_evidence,
};
use super::table_problem::{
    CellPlace, ColumnPlace, Located, Problems, RowPlace, code_of, listed, shown,
};
use super::table_records::{
    Delimiter, Record, find_delimiter, line_place, long_cell, split, too_wide,
};
use super::unit::Unit;

/// Longest text that is read, in bytes; a campaign's table has a few hundred rows.
pub const LONGEST_TEXT: usize = 64 * 1024 * 1024;
/// Most columns of a table.
pub const MOST_COLUMNS: usize = 2000;
/// Most cells of a table, so that a text of separators only does not fill the memory.
pub const MOST_CELLS: usize = 4_000_000;
/// Longest text of a cell, in characters; usual spreadsheets allow no more (common practice).
pub const LONGEST_CELL: usize = 32_767;

/// Whether the first row names the columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Header {
    /// It does.
    #[default]
    FirstRow,
    /// It holds data like any other.
    None,
}

/// How a text is to be read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TableOptions {
    /// What separates the cells; found from the text if left out. Without a header, commas are never taken on their
    /// own: `12,5` in a column of numbers is one number to most people.
    pub delimiter: Option<Delimiter>,
    /// Whether the first row names the columns.
    pub header: Header,
    /// Words for missing, exactly as they stand in the cells.
    pub missing: Vec<String>,
}

/// Why a text is no table.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TableFault {
    /// Not UTF-8 and not marked as UTF-16.
    #[error("The text is not UTF-8 (byte {byte} on line {line}). Save the table as UTF-8.")]
    NotUtf8 {
        /// 1-based line.
        line: usize,
        /// 1-based byte of the text.
        byte: usize,
    },
    /// Broken UTF-16.
    #[error("The text is marked as UTF-16 but is not. Save the table as UTF-8.")]
    NotUtf16,
    /// Too much text.
    #[error(
        "The text has {n_bytes} bytes; a table may have {LONGEST_TEXT}. Take out what is not needed."
    )]
    TooLong {
        /// Its length.
        n_bytes: usize,
    },
    /// Too many columns.
    #[error(
        "The row has {n_columns} cells; a table may have {MOST_COLUMNS} columns. Take out what is not needed."
    )]
    TooManyColumns {
        /// How many.
        n_columns: usize,
    },
    /// Too many cells.
    #[error("The table has more than {MOST_CELLS} cells. Take out what is not needed.")]
    TooManyCells,
    /// A cell with too much text.
    #[error(
        "\"{}\" has more than {LONGEST_CELL} characters. Shorten it.",
        shown(text)
    )]
    LongCell {
        /// Its beginning.
        text: String,
    },
    /// Nothing at all.
    #[error("The table is empty. It needs a header row and at least one row below.")]
    Empty,
    /// A header without rows.
    #[error("There is a header but no row below it.")]
    NoRows,
    /// Two delimiters fit equally well.
    #[error(
        "The cells may be separated by {} or by {}. Put names and texts that hold one of the two in quotation marks.",
        one.label(), other.label()
    )]
    UnclearDelimiter {
        /// One.
        one: Delimiter,
        /// The other.
        other: Delimiter,
    },
    /// A quotation mark that is never closed.
    #[error(
        "A quotation mark is opened here and never closed. Close it, or write it twice if it is part of the text."
    )]
    OpenQuote,
    /// Text between a closing quotation mark and the next separator.
    #[error(
        "There is text behind a closing quotation mark. Write a quotation mark twice if it is part of the text."
    )]
    TextBehindQuote,
    /// A row that is longer or shorter than the header.
    #[error("The row has {n_cells} cells, the header has {n_heads}.{}", ragged_advice(*n_cells, *n_heads, *delimiter))]
    Ragged {
        /// Cells of the row.
        n_cells: usize,
        /// Cells of the header.
        n_heads: usize,
        /// What separates the cells.
        delimiter: Option<Delimiter>,
    },
    /// A column with values and no name.
    #[error("Column {number} has no name in the header row. Give it one.")]
    NoHead {
        /// 1-based place from the left.
        number: usize,
    },
    /// Two columns of one name.
    #[error(
        "Columns {first} and {second} are both called \"{}\". Rename one.",
        shown(head)
    )]
    RepeatedHead {
        /// The name.
        head: String,
        /// 1-based place of the first.
        first: usize,
        /// 1-based place of the second.
        second: usize,
    },
    /// A character that cannot be seen.
    #[error("The unseen character {} stands in \"{}\". Take it out.", code_of(*character), shown(text))]
    Unseen {
        /// The character.
        character: char,
        /// The text around it.
        text: String,
    },
}

fn ragged_advice(n_cells: usize, n_heads: usize, delimiter: Option<Delimiter>) -> &'static str {
    match delimiter {
        Some(Delimiter::Comma) if n_cells > n_heads => {
            " If the comma is the decimal sign too, separate the cells by semicolons or tabs, or put the numbers in \
             quotation marks."
        }
        Some(_) | None if n_cells > n_heads => {
            " Take out the cells beyond the header, or name their columns."
        }
        Some(_) | None => {
            " Fill up the row; a missing value is an empty cell between two separators."
        }
    }
}

/// One column.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// The head as it stands, without line breaks and outer blanks; `column 3` in a table without header.
    pub head: String,
    /// The head without its unit.
    pub name: String,
    /// The unit in brackets at the end of the head, as written.
    pub unit: Option<String>,
    /// Its decimal sign.
    pub sign: ColumnSign,
}

/// One row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Where it stands.
    pub place: RowPlace,
    /// Its cells without outer blanks, one a column.
    cells: Vec<String>,
}

impl Row {
    /// True if every cell is empty.
    pub fn is_empty(&self) -> bool {
        self.cells.iter().all(String::is_empty)
    }
}

/// A table of texts, every row as long as the header.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    delimiter: Option<Delimiter>,
    header: Header,
    columns: Vec<Column>,
    rows: Vec<Row>,
    missing: Vec<String>,
}

type TableProblems = Problems<TableFault>;

impl Table {
    /// Reads a text.
    ///
    /// # Errors
    /// Every [`TableFault`] of the text with its place.
    pub fn read(text: &str, options: &TableOptions) -> Result<Self, TableProblems> {
        let whole = |fault| Problems::one(CellPlace::TABLE, fault);
        if text.len() > LONGEST_TEXT {
            return Err(whole(TableFault::TooLong {
                n_bytes: text.len(),
            }));
        }
        // One byte order mark; line ends of all systems.
        let text = text
            .strip_prefix('\u{feff}')
            .unwrap_or(text)
            .replace("\r\n", "\n")
            .replace('\r', "\n");
        let text = text.trim_end_matches('\n');
        if text.trim().is_empty() {
            return Err(whole(TableFault::Empty));
        }
        let delimiter = match options.delimiter {
            Some(delimiter) => Some(delimiter),
            None => find_delimiter(text, options.header).map_err(whole)?,
        };
        // A table of one column has no separator, and no tab either.
        let records = split(text, delimiter.unwrap_or(Delimiter::Tab))?;
        Self::of_records(records, delimiter, options)
    }

    /// A table of cells that came in another way than as text, such as the sheet of a workbook.
    ///
    /// # Errors
    /// As [`Table::read`].
    pub fn of_cells(rows: Vec<Vec<String>>, options: &TableOptions) -> Result<Self, TableProblems> {
        if rows.iter().map(Vec::len).sum::<usize>() > MOST_CELLS {
            return Err(Problems::one(CellPlace::TABLE, TableFault::TooManyCells));
        }
        let records: Vec<Record> = rows
            .into_iter()
            .enumerate()
            .map(|(index, cells)| Record {
                line: index + 1,
                cells,
            })
            .collect();
        for record in &records {
            if let Some(fault) = record
                .cells
                .iter()
                .find_map(|cell| long_cell(cell))
                .or_else(|| too_wide(record.cells.len()))
            {
                return Err(Problems::one(line_place(record.line), fault));
            }
        }
        Self::of_records(records, None, options)
    }

    fn of_records(
        mut records: Vec<Record>,
        delimiter: Option<Delimiter>,
        options: &TableOptions,
    ) -> Result<Self, TableProblems> {
        while records.last().is_some_and(Record::is_empty) {
            records.pop();
        }
        let n_header_rows = match options.header {
            Header::FirstRow => {
                records
                    .iter()
                    .take_while(|record| record.is_empty())
                    .count()
                    + 1
            }
            Header::None => 0,
        };
        let Some(n_columns) = records
            .iter()
            .map(|record| record.cells.len())
            .find(|n_cells| *n_cells > 0)
        else {
            return Err(Problems::one(CellPlace::TABLE, TableFault::Empty));
        };
        let data = records.split_off(n_header_rows.min(records.len()));
        let heads = match records.pop() {
            Some(header) => heads_of(header, &data)?,
            None => (1..=n_columns)
                .map(|number| format!("column {number}"))
                .collect(),
        };
        if data.is_empty() {
            return Err(Problems::one(CellPlace::TABLE, TableFault::NoRows));
        }
        let rows = rows_of(data, &heads, n_columns, delimiter)?;
        let signs = signs_of(&rows, heads.len(), &options.missing, delimiter);
        let columns = heads.into_iter().zip(signs).map(|(head, sign)| {
            let (name, unit) = split_head(&head);
            Column {
                head,
                name,
                unit,
                sign,
            }
        });
        let (columns, missing) = (columns.collect(), options.missing.clone());
        Ok(Self {
            delimiter,
            header: options.header,
            columns,
            rows,
            missing,
        })
    }

    /// What separates the cells; `None` in a table of one column.
    pub const fn delimiter(&self) -> Option<Delimiter> {
        self.delimiter
    }

    /// Whether the first row names the columns.
    pub const fn header(&self) -> Header {
        self.header
    }

    /// The columns from the left.
    pub fn columns(&self) -> &[Column] {
        &self.columns
    }

    /// The rows of data from the top, empty ones in between among them.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// The column of a head; if no head is the name, the only column that is called so before its unit.
    pub fn find_column(&self, name: &str) -> Option<usize> {
        let name = name.trim();
        self.columns
            .iter()
            .position(|column| column.head == name)
            .or_else(|| {
                let mut fitting = self
                    .columns
                    .iter()
                    .enumerate()
                    .filter(|(_, column)| column.name == name);
                fitting
                    .next()
                    .map(|(index, _)| index)
                    .filter(|_| fitting.next().is_none())
            })
    }

    /// Heads in quotation marks, for messages.
    pub fn listed_heads(&self) -> String {
        listed(self.columns.iter().map(|column| column.head.as_str()))
    }

    /// The place of a column.
    pub fn column_place(&self, column: usize) -> ColumnPlace {
        ColumnPlace {
            index: column,
            head: self
                .columns
                .get(column)
                .map(|column| column.head.clone())
                .unwrap_or_default(),
        }
    }

    /// The place of a cell.
    pub fn cell_place(&self, row: &Row, column: usize) -> CellPlace {
        CellPlace::cell(row.place, self.column_place(column))
    }

    /// The text of a cell; nothing for a word that stands for missing.
    pub fn text<'a>(&self, row: &'a Row, column: usize) -> &'a str {
        let text = row.cells.get(column).map_or("", String::as_str);
        if self.missing.iter().any(|word| word == text) {
            ""
        } else {
            text
        }
    }

    /// What stands in a cell; whatever is no number under the column's decimal sign is text.
    pub fn cell<'a>(&self, row: &'a Row, column: usize) -> Cell<'a> {
        let text = self.text(row, column);
        match self.number(row, column) {
            Ok(cell) => cell,
            Err(_) => Cell::Text(text),
        }
    }

    /// A cell as a number, with its limit sign if it has one, or nothing.
    ///
    /// # Errors
    /// [`CellFault`]; if the column's decimal sign cannot be told, only cells with one are refused.
    pub fn number(&self, row: &Row, column: usize) -> Result<Cell<'static>, CellFault> {
        let text = self.text(row, column);
        match self.columns.get(column).map(|column| &column.sign) {
            Some(ColumnSign::Refused(fault)) => {
                let cell = read_number(text, None)?;
                if text.contains(['.', ',']) {
                    Err(fault.clone())
                } else {
                    Ok(cell)
                }
            }
            Some(ColumnSign::One(sign)) => read_number(text, Some(*sign)),
            Some(ColumnSign::Unused) | None => read_number(text, None),
        }
    }

    /// All cells of a column as numbers, one a row; an unreadable one is `Cell::Empty` and a problem. A decimal sign
    /// that cannot be told is one problem of the column, and so is each word for missing that was not named.
    pub fn numbers(&self, column: usize) -> (Vec<Cell<'static>>, Vec<Located<CellFault>>) {
        let mut problems: Vec<Located<CellFault>> = Vec::new();
        if let Some(ColumnSign::Refused(fault)) =
            self.columns.get(column).map(|column| &column.sign)
        {
            problems.push(Located {
                place: CellPlace::column(self.column_place(column)),
                fault: fault.clone(),
            });
        }
        let read =
            |row: &Row, problems: &mut Vec<Located<CellFault>>| match self.number(row, column) {
                Ok(cell) => cell,
                Err(fault) if fault.is_of_column() => Cell::Empty,
                Err(fault) => {
                    if !counts_as_known(problems, &fault) {
                        problems.push(Located {
                            place: self.cell_place(row, column),
                            fault,
                        });
                    }
                    Cell::Empty
                }
            };
        let cells = self
            .rows
            .iter()
            .map(|row| read(row, &mut problems))
            .collect();
        (cells, problems)
    }

    /// Has a column read with another decimal sign.
    pub fn set_sign(&mut self, column: usize, sign: DecimalSign) {
        if let Some(column) = self.columns.get_mut(column) {
            column.sign = ColumnSign::One(sign);
        }
    }

    /// Says how cells were separated.
    pub fn delimiter_note(&self) -> Option<String> {
        self.delimiter
            .map(|delimiter| format!("The cells are separated by {}.", delimiter.label()))
    }

    /// Says which decimal sign was read in which of some columns, with the first number that shows it.
    pub fn sign_notes(&self, columns: &[usize]) -> Vec<String> {
        let note = |sign: DecimalSign| {
            let of_sign: Vec<usize> = columns
                .iter()
                .copied()
                .filter(|index| self.columns.get(*index).and_then(|c| c.sign.sign()) == Some(sign))
                .collect();
            let example = of_sign
                .iter()
                .find_map(|column| self.example(*column, sign))?;
            let heads = listed(
                of_sign
                    .iter()
                    .filter_map(|index| self.columns.get(*index))
                    .map(|c| c.head.as_str()),
            );
            Some(format!(
                "{} in {heads}: {example}.",
                capitalized(sign.label())
            ))
        };
        [DecimalSign::Point, DecimalSign::Comma]
            .into_iter()
            .filter_map(note)
            .collect()
    }

    fn example(&self, column: usize, sign: DecimalSign) -> Option<String> {
        self.rows.iter().find_map(|row| {
            let text = self.text(row, column);
            let cell = self
                .number(row, column)
                .ok()
                .filter(|_| text.contains(sign.character()))?;
            Some(format!("\"{}\" is read as {cell}", shown(text)))
        })
    }
}

/// Counts a word for missing that a problem already names.
fn counts_as_known(problems: &mut [Located<CellFault>], fault: &CellFault) -> bool {
    let CellFault::MissingWord { text: word, .. } = fault else {
        return false;
    };
    for problem in problems {
        if let CellFault::MissingWord { text, n_more } = &mut problem.fault
            && text == word
        {
            *n_more += 1;
            return true;
        }
    }
    false
}

/// True for characters that have no place in a table: controls, marks that turn the writing direction of what follows,
/// and a byte order mark inside the text.
fn is_out_of_place(character: char) -> bool {
    (character.is_control() && !matches!(character, '\n' | '\t'))
        || matches!(character, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

fn unseen(text: &str) -> Option<TableFault> {
    text.chars()
        .find(|character| is_out_of_place(*character))
        .map(|character| TableFault::Unseen {
            character,
            text: text.to_owned(),
        })
}

/// The heads on one line each; empty columns at the right edge, which some programs write, are dropped.
fn heads_of(header: Record, data: &[Record]) -> Result<Vec<String>, TableProblems> {
    let mut heads: Vec<String> = header
        .cells
        .iter()
        .map(|cell| cell.split_whitespace().collect::<Vec<_>>().join(" "))
        .collect();
    while let Some(last) = heads.len().checked_sub(1)
        && heads.last().is_some_and(String::is_empty)
        && data.iter().all(|record| {
            record
                .cells
                .get(last)
                .is_none_or(|cell| cell.trim().is_empty())
        })
    {
        heads.pop();
    }
    let mut problems = Vec::new();
    for (index, head) in heads.iter().enumerate() {
        let place = || {
            CellPlace::column(ColumnPlace {
                index,
                head: head.clone(),
            })
        };
        if head.is_empty() {
            problems.push(Located {
                place: CellPlace::TABLE,
                fault: TableFault::NoHead { number: index + 1 },
            });
        } else if let Some(fault) = unseen(head) {
            problems.push(Located {
                place: place(),
                fault,
            });
        } else if let Some(first) = heads.iter().take(index).position(|earlier| earlier == head) {
            let fault = TableFault::RepeatedHead {
                head: head.clone(),
                first: first + 1,
                second: index + 1,
            };
            problems.push(Located {
                place: CellPlace::TABLE,
                fault,
            });
        }
    }
    if problems.is_empty() {
        Ok(heads)
    } else {
        Err(Problems(problems))
    }
}

fn rows_of(
    data: Vec<Record>,
    heads: &[String],
    n_columns: usize,
    delimiter: Option<Delimiter>,
) -> Result<Vec<Row>, TableProblems> {
    let mut problems = Vec::new();
    let mut rows = Vec::with_capacity(data.len());
    for (index, record) in data.into_iter().enumerate() {
        let place = RowPlace {
            number: index + 1,
            line: record.line,
        };
        let n_cells = record.cells.len();
        if n_cells != n_columns && n_cells > 0 {
            let fault = TableFault::Ragged {
                n_cells,
                n_heads: n_columns,
                delimiter,
            };
            problems.push(Located {
                place: CellPlace::row(place),
                fault,
            });
            continue;
        }
        let mut cells: Vec<String> = record.cells.into_iter().map(trimmed).collect();
        cells.resize(heads.len(), String::new());
        for (column, (cell, head)) in cells.iter().zip(heads).enumerate() {
            if let Some(fault) = unseen(cell) {
                let column = ColumnPlace {
                    index: column,
                    head: head.clone(),
                };
                problems.push(Located {
                    place: CellPlace::cell(place, column),
                    fault,
                });
            }
        }
        rows.push(Row { place, cells });
    }
    if problems.is_empty() {
        Ok(rows)
    } else {
        Err(Problems(problems))
    }
}

fn trimmed(cell: String) -> String {
    let text = cell.trim();
    if text.len() == cell.len() {
        cell
    } else {
        text.to_owned()
    }
}

/// The decimal sign of every column, from its own cells and, where these may mean two things, from the others.
fn signs_of(
    rows: &[Row],
    n_columns: usize,
    missing: &[String],
    delimiter: Option<Delimiter>,
) -> Vec<ColumnSign> {
    let evidence: Vec<SignEvidence> = (0..n_columns)
        .map(|column| {
            let cells = rows.iter().filter_map(|row| {
                row.cells
                    .get(column)
                    .map(|cell| (row.place.number, cell.as_str()))
            });
            sign_evidence(cells.filter(|(_, cell)| !missing.iter().any(|word| word == cell)))
        })
        .collect();
    let sure: Vec<DecimalSign> = evidence
        .iter()
        .filter_map(|evidence| {
            if let SignEvidence::Sure(sign) = evidence {
                Some(*sign)
            } else {
                None
            }
        })
        .collect();
    let by_semicolons = delimiter == Some(Delimiter::Semicolon);
    evidence
        .into_iter()
        .map(|evidence| decide_sign(evidence, &sure, by_semicolons))
        .collect()
}

/// Splits `gap (µm)` or `gap [µm]` into the name and the unit. What stands in the brackets counts as a unit if it is
/// one that the program converts, has a sign that words lack (`Ω/sq`, `%`), or has three letters at most.
pub fn split_head(head: &str) -> (String, Option<String>) {
    let whole = || (head.to_owned(), None);
    let opening = match head.chars().last() {
        Some(')') => '(',
        Some(']') => '[',
        Some(_) | None => return whole(),
    };
    let Some((name, tail)) = head.rsplit_once(opening) else {
        return whole();
    };
    let unit = tail.trim_end_matches([')', ']']).trim();
    let is_unit = !unit.is_empty()
        && (Unit::parse(unit).is_ok()
            || unit.chars().count() <= 3
            || unit.chars().any(|c| {
                !c.is_alphanumeric() && !c.is_whitespace() && !matches!(c, ',' | '-' | '_')
            }));
    if name.trim().is_empty() || !is_unit {
        whole()
    } else {
        (name.trim().to_owned(), Some(unit.to_owned()))
    }
}
