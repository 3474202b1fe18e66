//! What stands in a cell of a table, and which sign its column writes before decimals.
//!
//! A column has one decimal sign. Digits in groups of three are refused rather than read as a thousandth of what they
//! mean, and where a sign could be either, the column is refused with advice.

use std::fmt;

use crate::number_text::{NumberError, parse_number};

use super::table_problem::{shown, shown_up_to};
use super::unit::{Dimension, Unit, UnitError, split_number};

/// Longest text that is tried as a number; written out in full, no 64-bit number needs more (17 digits, a sign, a
/// power), and people do not type more.
const LONGEST_NUMBER: usize = 64;

/// Words that often stand for a missing value; they are never taken for one unless the user says so.
const USUAL_MISSING_WORDS: [&str; 13] = [
    "-", "–", "—", ".", "?", "n/a", "na", "n.a.", "nan", "null", "none", "missing", "nd",
];

/// The sign before decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DecimalSign {
    /// 12.5.
    Point,
    /// 12,5.
    Comma,
}

impl DecimalSign {
    /// Words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Point => "decimal point",
            Self::Comma => "decimal comma",
        }
    }

    /// The sign itself.
    pub const fn character(self) -> char {
        match self {
            Self::Point => '.',
            Self::Comma => ',',
        }
    }

    /// The other sign.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Point => Self::Comma,
            Self::Comma => Self::Point,
        }
    }
}

/// What stands in a cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Cell<'a> {
    /// Nothing, or a word for missing that the user named.
    Empty,
    /// A number.
    Number(f64),
    /// Below this number (`< 0.1`, `≤ 0.1`).
    Below(f64),
    /// Above this number (`> 500`, `≥ 500`).
    Above(f64),
    /// Anything else, without the blanks around it.
    Text(&'a str),
}

/// Why a cell, or a whole column, is no number.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CellFault {
    /// A character that no number holds, a gap, two decimal signs, no digit, or too large.
    #[error("{}", shown_up_to(&reason.to_string(), 240))]
    NotANumber {
        /// What is wrong with it.
        reason: NumberError,
    },
    /// More text than a number has.
    #[error("\"{}\" is too long for a number.", shown(text))]
    TooLong {
        /// The text.
        text: String,
    },
    /// A number with its unit.
    #[error(
        "\"{}\" holds a unit. Write \"{unit}\" into the column head, in brackets, and only the number here.",
        shown(text)
    )]
    HoldsUnit {
        /// The text.
        text: String,
        /// The unit.
        unit: String,
    },
    /// A formula.
    #[error("\"{}\" is a formula. Put its value here.", shown(text))]
    Formula {
        /// The text.
        text: String,
    },
    /// What a spreadsheet writes where a formula failed.
    #[error(
        "\"{}\" says that a formula failed. Put a value here, or leave the cell empty.",
        shown(text)
    )]
    FailedFormula {
        /// The text.
        text: String,
    },
    /// A word that may stand for a missing value, but was not named as one.
    #[error(
        "\"{}\"{} is not a number. If it stands for a missing value, name it as such (--missing \"{}\") or leave the \
         cell empty.",
        shown(text), also_in(*n_more), shown(text)
    )]
    MissingWord {
        /// The word.
        text: String,
        /// In how many more rows of the column it stands.
        n_more: usize,
    },
    /// `<` or `>` with nothing behind it.
    #[error("\"{}\" lacks the number behind the sign.", shown(text))]
    NoLimit {
        /// The text.
        text: String,
    },
    /// Point and comma in one column.
    #[error(
        "\"{}\" (row {point_row}) has a decimal point, \"{}\" (row {comma_row}) a decimal comma. Use one sign in the whole \
         column, and none between thousands.",
        shown(point_text),
        shown(comma_text)
    )]
    MixedSigns {
        /// First text with a point.
        point_text: String,
        /// Its row.
        point_row: usize,
        /// First text with a comma.
        comma_text: String,
        /// Its row.
        comma_row: usize,
    },
    /// Digits in groups of three, which may be thousands or decimals.
    #[error(
        "\"{}\" (row {row}) may be {} or {}. Write thousands without a separator, or give a number of the column another \
         count of decimals.",
        shown(text),
        as_decimal(text),
        as_thousands(text)
    )]
    Unclear {
        /// First such text.
        text: String,
        /// Its row.
        row: usize,
    },
    /// The sign that the column does not use.
    #[error("\"{}\" does not have the {} of its column. Write thousands without a separator.", shown(text), sign.label())]
    OtherSign {
        /// The text.
        text: String,
        /// The sign of the column.
        sign: DecimalSign,
    },
}

impl CellFault {
    /// True for what is wrong with the column as a whole.
    pub const fn is_of_column(&self) -> bool {
        matches!(self, Self::MixedSigns { .. } | Self::Unclear { .. })
    }
}

fn also_in(n_more: usize) -> String {
    match n_more {
        0 => String::new(),
        1 => " (in one more row, too)".to_owned(),
        n => format!(" (in {n} more rows, too)"),
    }
}

fn as_decimal(text: &str) -> String {
    text.trim().replace(',', ".")
}

fn as_thousands(text: &str) -> String {
    text.trim().replace([',', '.'], "")
}

/// Which decimal sign a column has.
#[derive(Debug, Clone, PartialEq)]
pub enum ColumnSign {
    /// No number of the column has decimals.
    Unused,
    /// One sign throughout.
    One(DecimalSign),
    /// None can be told.
    Refused(CellFault),
}

impl ColumnSign {
    /// The sign, if there is one.
    pub const fn sign(&self) -> Option<DecimalSign> {
        match self {
            Self::One(sign) => Some(*sign),
            Self::Unused | Self::Refused(_) => None,
        }
    }
}

/// What the cells of one column say about its decimal sign, before other columns are asked.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum SignEvidence {
    None,
    Sure(DecimalSign),
    /// Every number with the sign has three digits behind it and none to four before: it may part thousands.
    Grouped {
        sign: DecimalSign,
        text: String,
        row: usize,
    },
    Mixed(CellFault),
}

/// Gathers the evidence; `cells` are row numbers with texts, missing ones left out.
pub(super) fn sign_evidence<'a>(cells: impl Iterator<Item = (usize, &'a str)>) -> SignEvidence {
    let mut first: [Option<(usize, &str)>; 2] = [None, None];
    let mut all_grouped = true;
    for (row, text) in cells {
        let (_, rest) = split_limit(text);
        let Some(sign) = sign_of(rest) else { continue };
        let slot = match sign {
            DecimalSign::Point => &mut first[0],
            DecimalSign::Comma => &mut first[1],
        };
        slot.get_or_insert((row, text));
        all_grouped &= is_grouped(rest);
    }
    match first {
        [None, None] => SignEvidence::None,
        [Some((point_row, point)), Some((comma_row, comma))] => {
            SignEvidence::Mixed(CellFault::MixedSigns {
                point_text: point.to_owned(),
                point_row,
                comma_text: comma.to_owned(),
                comma_row,
            })
        }
        [Some((row, text)), None] => one_sign(DecimalSign::Point, all_grouped, row, text),
        [None, Some((row, text))] => one_sign(DecimalSign::Comma, all_grouped, row, text),
    }
}

fn one_sign(sign: DecimalSign, all_grouped: bool, row: usize, text: &str) -> SignEvidence {
    if all_grouped {
        SignEvidence::Grouped {
            sign,
            text: text.to_owned(),
            row,
        }
    } else {
        SignEvidence::Sure(sign)
    }
}

/// The decimal sign of a text that is a number.
fn sign_of(text: &str) -> Option<DecimalSign> {
    if text.len() > LONGEST_NUMBER || parse_number(text).is_err() {
        return None;
    }
    [DecimalSign::Point, DecimalSign::Comma]
        .into_iter()
        .find(|sign| text.contains(sign.character()))
}

/// True for `1.234` and `-12,500`, which may be thousands; false for `0.125` and `12.5`, which cannot.
fn is_grouped(text: &str) -> bool {
    let digits = text.trim().trim_start_matches(['+', '-', '\u{2212}']);
    let Some((before, behind)) = digits.split_once(['.', ',']) else {
        return false;
    };
    (1..=3).contains(&before.len())
        && !before.starts_with('0')
        && behind.len() == 3
        && digits
            .bytes()
            .all(|byte| byte.is_ascii_digit() || byte == b'.' || byte == b',')
}

/// Decides on a column: its own evidence first, then what the other columns of the table do (`sure` signs) and, for
/// commas, whether the cells are separated by semicolons, as is common where the comma is the decimal sign.
pub(super) fn decide_sign(
    evidence: SignEvidence,
    sure: &[DecimalSign],
    by_semicolons: bool,
) -> ColumnSign {
    match evidence {
        SignEvidence::None => ColumnSign::Unused,
        SignEvidence::Sure(sign) => ColumnSign::One(sign),
        SignEvidence::Mixed(fault) => ColumnSign::Refused(fault),
        SignEvidence::Grouped { sign, text, row } => {
            let others_agree = !sure.contains(&sign.other());
            let is_clear = match sign {
                DecimalSign::Point => others_agree,
                DecimalSign::Comma => others_agree && (by_semicolons || sure.contains(&sign)),
            };
            if is_clear {
                ColumnSign::One(sign)
            } else {
                ColumnSign::Refused(CellFault::Unclear { text, row })
            }
        }
    }
}

/// On which side of a limit a reading lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Side {
    Exact,
    Below,
    Above,
}

/// Splits `< 0.1` into its side and `0.1`. "At most" and "below" are the same for a measured number.
fn split_limit(text: &str) -> (Side, &str) {
    let text = text.trim();
    let signs = [
        ("<=", Side::Below),
        ("<", Side::Below),
        ("≤", Side::Below),
        (">=", Side::Above),
        (">", Side::Above),
        ("≥", Side::Above),
    ];
    signs
        .into_iter()
        .find_map(|(sign, side)| text.strip_prefix(sign).map(|rest| (side, rest.trim())))
        .unwrap_or((Side::Exact, text))
}

/// Reads a cell as a number, a number behind `<` or `>`, or nothing. `sign` is the decimal sign of the column, `None` if
/// either will do.
///
/// # Errors
/// [`CellFault`] says why it is none.
pub fn read_number(text: &str, sign: Option<DecimalSign>) -> Result<Cell<'static>, CellFault> {
    let text = text.trim();
    let owned = || text.to_owned();
    if text.is_empty() {
        return Ok(Cell::Empty);
    }
    if text.len() > LONGEST_NUMBER {
        return Err(CellFault::TooLong { text: owned() });
    }
    if text.starts_with('=') {
        return Err(CellFault::Formula { text: owned() });
    }
    if text.starts_with('#') {
        return Err(CellFault::FailedFormula { text: owned() });
    }
    if USUAL_MISSING_WORDS.contains(&text.to_lowercase().as_str()) {
        return Err(CellFault::MissingWord {
            text: owned(),
            n_more: 0,
        });
    }
    let (side, rest) = split_limit(text);
    if rest.is_empty() {
        return Err(CellFault::NoLimit { text: owned() });
    }
    let number = parse_number(rest)
        .map_err(|reason| holds_unit(text, rest).unwrap_or(CellFault::NotANumber { reason }))?;
    match sign {
        Some(sign) if rest.contains(sign.other().character()) => Err(CellFault::OtherSign {
            text: owned(),
            sign,
        }),
        Some(_) | None => Ok(match side {
            Side::Exact => Cell::Number(number),
            Side::Below => Cell::Below(number),
            Side::Above => Cell::Above(number),
        }),
    }
}

/// Recognizes `80 µm`, whose digits are fine and whose unit belongs elsewhere.
fn holds_unit(text: &str, rest: &str) -> Option<CellFault> {
    let with_point = rest.replace(',', ".");
    let (_, tail) = split_number(&with_point).ok()?;
    // A lone "l" is a mistyped one more often than a liter, and a dash or "x" is no unit that a head would name.
    let unit = Unit::parse(tail)
        .ok()
        .filter(|unit| tail != "l" && unit.dimension() != Dimension::Ratio)?;
    Some(CellFault::HoldsUnit {
        text: text.to_owned(),
        unit: unit.symbol().to_owned(),
    })
}

/// A number of one unit in another, without the noise of the conversion: 0.08 mm is 80 µm and not 80.00000000000001.
/// Fourteen digits are kept, more than anybody sets or reads.
///
/// # Errors
/// [`UnitError::DoesNotFit`] if the units measure different things.
pub(super) fn converted(number: f64, from: Unit, to: Unit) -> Result<f64, UnitError> {
    let exact = from.convert(number, to)?;
    Ok(format!("{exact:.13e}").parse().unwrap_or(exact))
}

impl fmt::Display for Cell<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => Ok(()),
            Self::Number(number) => write!(f, "{number}"),
            Self::Below(number) => write!(f, "< {number}"),
            Self::Above(number) => write!(f, "> {number}"),
            Self::Text(text) => f.write_str(&shown(text)),
        }
    }
}
