//! Widths of the columns and heights of the rows of a run sheet on paper, and which runs stand on which page.
//!
//! Lengths are millimetres on the narrower and on the lower of A4 and Letter, both landscape; heights are estimated
//! from the widths of the words.

use super::page::{notes, set_up_words};
use super::{RunSheet, SheetColumn, SheetRow};
use crate::figure::text_width::text_width;

/// Width of the page inside its margins (Letter).
const PAGE_WIDTH: f64 = 259.0;
/// Room for head and rows of the runs (A4): 190 mm inside the margins, less the page's head and foot.
const ROOM: f64 = 162.0;
/// Widths of the columns that are always there; the note takes what is left.
pub(super) const RUN_WIDTH: f64 = 12.0;
/// See [`RUN_WIDTH`].
pub(super) const SET_UP_WIDTH: f64 = 34.0;
/// See [`RUN_WIDTH`].
pub(super) const METRE_WIDTH: f64 = 30.0;
/// See [`RUN_WIDTH`].
pub(super) const AS_RUN_WIDTH: f64 = 36.0;
/// See [`RUN_WIDTH`].
pub(super) const FILM_WIDTH: f64 = 26.0;
const LEAST_NOTE_WIDTH: f64 = 34.0;
/// Least width of a column of settings, and the most that a long word is granted.
const KNOB_WIDTHS: (f64, f64) = (12.0, 22.0);
/// Least height of a run.
const RUN_HEIGHT: f64 = 13.6;
/// One point (by definition of the point of desktop publishing: 1/72 inch).
const POINT: f64 = 25.4 / 72.0;
/// Sizes of lettering in points; the style sheet holds the same.
const HEAD_SIZE: f64 = 7.5;
const SMALL_SIZE: f64 = 7.0;
/// See [`HEAD_SIZE`].
const SET_UP_SIZE: f64 = 8.5;

/// Room for the rows of readings on a page, and the height of such a row.
const READINGS: (f64, f64) = (148.0, 9.0);

/// Rows of readings on each page of as few as hold `n_runs`, all about equally full.
pub(super) fn n_readings_down(n_runs: usize) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a quotient of two constants"
    )]
    let most = (READINGS.0 / READINGS.1) as usize;
    n_runs.div_ceil(n_runs.div_ceil(most).max(1)).max(1)
}

/// Widths of the columns of settings, as wide as their longest words where there is room for that.
pub(super) fn knob_widths(sheet: &RunSheet) -> Vec<f64> {
    let taken =
        RUN_WIDTH + SET_UP_WIDTH + METRE_WIDTH + AS_RUN_WIDTH + FILM_WIDTH + LEAST_NOTE_WIDTH;
    let room = PAGE_WIDTH - taken;
    let wanted: Vec<f64> = sheet
        .columns
        .iter()
        .enumerate()
        .map(|(index, column)| wanted(sheet, index, column))
        .collect();
    let sum: f64 = wanted.iter().sum();
    let squeeze = if sum > room { room / sum } else { 1.0 };
    wanted.into_iter().map(|width| width * squeeze).collect()
}

fn wanted(sheet: &RunSheet, index: usize, column: &SheetColumn) -> f64 {
    const PADDING: f64 = 2.6;
    let whole = |text: &str, size: f64, is_bold: bool| text_width(text, size * POINT, is_bold);
    let longest = |text: &str, size: f64, is_bold: bool| {
        let words = text
            .split_whitespace()
            .map(|word| whole(word, size, is_bold));
        words.fold(0.0, f64::max)
    };
    // Wide enough for two lines, so that no head grows tall.
    let two_lines = |text: &str, size: f64, is_bold: bool| {
        longest(text, size, is_bold).max(0.6 * whole(text, size, is_bold))
    };
    let values = sheet.rows.iter().filter_map(|row| row.cells.get(index));
    let value = values
        .map(|cell| longest(&cell.knob, value_size(&cell.knob), true))
        .fold(0.0, f64::max);
    let head =
        two_lines(&column.label, HEAD_SIZE, true).max(longest(&column.unit, HEAD_SIZE, false));
    let asked = column.asked.as_ref().map_or(0.0, |(label, unit)| {
        two_lines(&format!("{label}, {unit}"), SMALL_SIZE, false)
    });
    (value.max(head).max(asked) + PADDING)
        .max(KNOB_WIDTHS.0)
        .min(KNOB_WIDTHS.1)
}

/// Whether a value is written in figures; names of levels are longer and set smaller.
pub(super) fn is_number(value: &str) -> bool {
    value.replace('\u{2212}', "-").parse::<f64>().is_ok()
}

fn value_size(value: &str) -> f64 {
    if is_number(value) { 11.0 } else { 8.5 }
}

/// Lines that a text takes in a column of a width at a size (pt).
fn n_lines(text: &str, size: f64, width: f64) -> f64 {
    // Words are not torn, so lines are on average not full.
    const FULL: f64 = 0.92;
    if text.is_empty() {
        return 0.0;
    }
    (text_width(text, size * POINT, true) / (FULL * width))
        .ceil()
        .max(1.0)
}

fn head_height(sheet: &RunSheet, widths: &[f64]) -> f64 {
    let heights = sheet.columns.iter().zip(widths).map(|(column, width)| {
        let width = width - 2.0;
        let asked = column.asked.as_ref();
        let asked = asked.map_or(0.0, |(label, unit)| {
            n_lines(&format!("{label}, {unit}"), SMALL_SIZE, width)
        });
        3.4 * (n_lines(&column.label, HEAD_SIZE, width)
            + n_lines(&column.unit, HEAD_SIZE, width)
            + asked)
    });
    heights.fold(6.8, f64::max) + 2.4
}

/// Estimated height of a run.
fn height(row: &SheetRow, widths: &[f64]) -> f64 {
    const PADDING: f64 = 2.2;
    // Lines are 1.3 times as high as their letters.
    let line = |size: f64| 1.3 * size * POINT;
    let taken = RUN_WIDTH + SET_UP_WIDTH + METRE_WIDTH + AS_RUN_WIDTH + FILM_WIDTH;
    let note_width = PAGE_WIDTH - taken - widths.iter().sum::<f64>() - 3.0;
    let (changes, minutes) = set_up_words(row);
    let set_up = n_lines(
        &format!("{changes}, {minutes}"),
        SET_UP_SIZE,
        SET_UP_WIDTH - 3.0,
    );
    let written = std::iter::once(row.done.note.as_str());
    let notes: f64 = notes(row)
        .iter()
        .map(String::as_str)
        .chain(written)
        .map(|note| n_lines(note, HEAD_SIZE, note_width))
        .sum();
    let values = row.cells.iter().zip(widths).map(|(cell, width)| {
        let size = value_size(&cell.knob);
        line(size) * n_lines(&cell.knob, size, width - 1.0) + line(SMALL_SIZE)
    });
    [
        set_up * line(SET_UP_SIZE),
        notes * line(HEAD_SIZE),
        values.fold(0.0, f64::max),
    ]
    .into_iter()
    .map(|height| height + PADDING)
    .fold(RUN_HEIGHT, f64::max)
}

/// The runs, dealt to as few pages as hold them, all about equally full.
pub(super) fn dealt(sheet: &RunSheet) -> Vec<&[SheetRow]> {
    let widths = knob_widths(sheet);
    let heights: Vec<f64> = sheet.rows.iter().map(|row| height(row, &widths)).collect();
    let full = (ROOM - head_height(sheet, &widths)).max(RUN_HEIGHT);
    let fewest = counts(&heights, full);
    // The least room that still needs no more pages fills them evenly.
    let (mut low, mut high) = (RUN_HEIGHT, full);
    for _ in 0..30 {
        let room = f64::midpoint(low, high);
        if counts(&heights, room).len() <= fewest.len() {
            high = room;
        } else {
            low = room;
        }
    }
    let mut rest = sheet.rows.as_slice();
    counts(&heights, high)
        .into_iter()
        .map(|n_runs| {
            let (page, later) = rest.split_at(n_runs.min(rest.len()));
            rest = later;
            page
        })
        .collect()
}

/// How many rows stand on each page of some room; a row that is higher than a page gets one of its own.
fn counts(heights: &[f64], room: f64) -> Vec<usize> {
    let mut pages: Vec<usize> = Vec::new();
    let mut left = 0.0;
    for height in heights {
        match pages.last_mut() {
            Some(n_rows) if *height <= left => *n_rows += 1,
            _ => {
                pages.push(1);
                left = room;
            }
        }
        left -= height;
    }
    pages
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_of_readings_are_about_equally_full() {
        assert_eq!(n_readings_down(19), 10);
        assert_eq!(n_readings_down(16), 16);
        assert_eq!(n_readings_down(0), 1);
    }

    #[test]
    fn rows_fill_pages_and_none_is_lost() {
        assert_eq!(counts(&[10.0; 7], 30.0), [3, 3, 1]);
        assert_eq!(counts(&[10.0, 50.0, 10.0], 30.0), [1, 1, 1]);
        assert!(counts(&[], 30.0).is_empty());
    }
}
