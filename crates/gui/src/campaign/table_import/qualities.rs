//! Columns of film qualities: their kinds, their readings, and what became of the film.

use super::super::project::{
    Goal, Importance, Outcome, Quality, QualityKind, QualityScale, ReadingValue,
};
use super::super::reading_text::{read_outcome, reading_of, split_faults};
use super::super::table_cell::{Cell, CellFault};
use super::super::table_problem::{RowPlace, listed};
use super::super::table_text::Row;
use super::columns::{Columns, Rows};
use super::settings::in_order_met;
use super::{ImportFault, ResponseSpec, unit_of};

/// The qualities, and what every row says of them; lists have one entry a row.
#[derive(Debug, Default)]
pub(super) struct Readings {
    pub(super) qualities: Vec<Quality>,
    /// Quality by quality, `None` for a missing reading; empty for a quality of sound and faulty.
    pub(super) values: Vec<Vec<Option<ReadingValue>>>,
    /// What the column of sound and faulty says; `None` if no column does.
    pub(super) outcomes: Option<Vec<Option<Outcome>>>,
    /// What the column of faults says.
    pub(super) faults: Vec<Vec<String>>,
    /// Areas of counts.
    pub(super) areas: Vec<Option<f64>>,
    /// Columns that were read as numbers.
    pub(super) numeric_columns: Vec<usize>,
    pub(super) notes: Vec<String>,
    pub(super) warnings: Vec<String>,
}

/// Reads the columns of responses, faults and areas.
pub(super) fn read_qualities(rows: &mut Rows<'_, '_>, columns: &Columns<'_>) -> Readings {
    let mut read = Readings::default();
    for (spec, column) in &columns.responses {
        let kind = spec.kind.unwrap_or_else(|| kind_of(rows, *column));
        if kind != QualityKind::Class && !spec.classes.is_empty() {
            rows.add_to_column(*column, ImportFault::ClassesOfOther { kind });
        } else if kind == QualityKind::Sound {
            read_sound(rows, spec, *column, &mut read);
        } else {
            read_response(rows, spec, *column, kind, &mut read);
        }
    }
    read.faults = read_faults(rows, columns);
    check_contradictions(rows, columns, &read);
    read.areas = read_areas(rows, columns, &mut read);
    read
}

/// Sound, if every entry says sound or faulty in words; continuous otherwise.
fn kind_of(rows: &Rows<'_, '_>, column: usize) -> QualityKind {
    let mut entries = rows
        .texts(column)
        .filter(|(_, text)| !text.is_empty())
        .peekable();
    if entries.peek().is_some() && entries.all(|(_, text)| read_outcome(text).is_ok()) {
        QualityKind::Sound
    } else {
        QualityKind::Continuous
    }
}

fn quality(rows: &Rows<'_, '_>, spec: &ResponseSpec, column: usize, kind: QualityKind) -> Quality {
    let unit = unit_of(rows.table, column);
    Quality {
        id: spec.name.clone(),
        label: rows
            .table
            .columns()
            .get(column)
            .map(|column| column.name.clone())
            .unwrap_or_default(),
        unit: if unit.is_empty() && kind == QualityKind::Percent {
            "%".to_owned()
        } else {
            unit
        },
        kind,
        goal: Goal::Watch,
        importance: Importance::Must,
        weight: 1.0,
        places: Vec::new(),
        classes: spec.classes.clone(),
        scale: QualityScale::Plain,
    }
}

fn kind_note(spec: &ResponseSpec, kind: QualityKind) -> String {
    let how = if spec.kind.is_some() {
        "as given"
    } else {
        "from its entries"
    };
    format!("{} is {}, {how}", listed([spec.name.as_str()]), kind.key())
}

fn read_sound(rows: &mut Rows<'_, '_>, spec: &ResponseSpec, column: usize, read: &mut Readings) {
    if let Some(first) = read
        .qualities
        .iter()
        .find(|quality| quality.kind == QualityKind::Sound)
    {
        return rows.add_to_column(
            column,
            ImportFault::SecondSound {
                first: first.id.clone(),
            },
        );
    }
    let texts: Vec<(RowPlace, &str)> = rows.texts(column).collect();
    let mut outcomes = Vec::with_capacity(texts.len());
    for (row, text) in texts {
        // Digits count only because the column was named as one of sound and faulty.
        let outcome = match (text, spec.kind) {
            ("", _) => Ok(None),
            ("1", Some(_)) => Ok(Some(Outcome::Sound)),
            ("0", Some(_)) => Ok(Some(Outcome::Faulty { faults: Vec::new() })),
            (text, _) => read_outcome(text).map(Some),
        };
        outcomes.push(outcome.unwrap_or_else(|error| {
            rows.add(row, column, error);
            None
        }));
    }
    let n_sound = outcomes
        .iter()
        .filter(|outcome| **outcome == Some(Outcome::Sound))
        .count();
    let n_said = outcomes.iter().flatten().count();
    let n_silent = outcomes.len() - n_said;
    read.notes.push(format!(
        "{}: {n_sound} sound, {} faulty{} (sound, pass, good or 1 is sound; faulty, fail, bad or 0 is faulty).",
        kind_note(spec, QualityKind::Sound),
        n_said - n_sound,
        if n_silent == 0 { String::new() } else { format!(", {n_silent} not judged") },
    ));
    read.qualities
        .push(quality(rows, spec, column, QualityKind::Sound));
    read.values.push(Vec::new());
    read.outcomes = Some(outcomes);
}

fn read_response(
    rows: &mut Rows<'_, '_>,
    spec: &ResponseSpec,
    column: usize,
    kind: QualityKind,
    read: &mut Readings,
) {
    let is_numeric = spec.classes.is_empty();
    if is_numeric {
        if let Some(words) = words_of(rows, column) {
            let words = listed(words.iter().take(6).map(String::as_str));
            let fault = if kind == QualityKind::Class {
                ImportFault::ClassOrder { words }
            } else {
                ImportFault::WordsUnclear { words }
            };
            return rows.add_to_column(column, fault);
        }
        read.numeric_columns.push(column);
    }
    let quality = quality(rows, spec, column, kind);
    let cells: Vec<Cell<'static>> = if is_numeric {
        rows.cells(column)
    } else {
        vec![Cell::Empty; rows.filled.len()]
    };
    let table_rows = rows.filled.clone();
    let values: Vec<Option<ReadingValue>> = table_rows
        .iter()
        .zip(cells)
        .map(|(row, cell)| value_of(rows, row, column, cell, &quality))
        .collect();
    read.notes
        .push(format!("{}: {}.", kind_note(spec, kind), counted(&values)));
    read.qualities.push(quality);
    read.values.push(values);
}

/// The reading of a cell; `cell` was read before, with its problems noted, if the column holds numbers.
fn value_of(
    rows: &mut Rows<'_, '_>,
    row: &Row,
    column: usize,
    cell: Cell<'static>,
    quality: &Quality,
) -> Option<ReadingValue> {
    let text = rows.table.text(row, column);
    reading_of(text, || Ok(cell), quality).unwrap_or_else(|error| {
        rows.add(row.place, column, error);
        None
    })
}

/// Words of a column that has no number at all.
fn words_of(rows: &Rows<'_, '_>, column: usize) -> Option<Vec<String>> {
    let mut words = Vec::new();
    for row in &rows.filled {
        match rows.table.number(row, column) {
            Ok(Cell::Empty) | Err(CellFault::MissingWord { .. }) => {}
            Err(CellFault::NotANumber { .. } | CellFault::TooLong { .. }) => {
                words.push(rows.table.text(row, column));
            }
            Ok(_) | Err(_) => return None,
        }
    }
    (!words.is_empty()).then(|| in_order_met(words.into_iter()))
}

fn counted(values: &[Option<ReadingValue>]) -> String {
    let n_missing = values.iter().filter(|value| value.is_none()).count();
    let n_below = values
        .iter()
        .filter(|value| matches!(value, Some(ReadingValue::Below(_))))
        .count();
    let n_above = values
        .iter()
        .filter(|value| matches!(value, Some(ReadingValue::Above(_))))
        .count();
    let mut parts = vec![match values.len() - n_missing {
        1 => "1 reading".to_owned(),
        n => format!("{n} readings"),
    }];
    for (n, what) in [
        (n_below, "of them below a limit"),
        (n_above, "of them above a limit"),
        (n_missing, "missing"),
    ] {
        if n > 0 {
            parts.push(format!("{n} {what}"));
        }
    }
    parts.join(", ")
}

fn read_faults(rows: &mut Rows<'_, '_>, columns: &Columns<'_>) -> Vec<Vec<String>> {
    let Some(column) = columns.fault else {
        return vec![Vec::new(); rows.filled.len()];
    };
    let texts: Vec<(RowPlace, &str)> = rows.texts(column).collect();
    texts
        .into_iter()
        .map(|(row, text)| {
            if text.contains(['\n', '\t']) {
                rows.add(
                    row,
                    column,
                    ImportFault::BrokenName {
                        text: text.to_owned(),
                    },
                );
            }
            split_faults(text)
        })
        .collect()
}

fn check_contradictions(rows: &mut Rows<'_, '_>, columns: &Columns<'_>, read: &Readings) {
    let (Some(column), Some(outcomes)) = (columns.fault, &read.outcomes) else {
        return;
    };
    let places = rows.places();
    for ((row, outcome), faults) in places.into_iter().zip(outcomes).zip(&read.faults) {
        if let (Some(Outcome::Sound), Some(fault)) = (outcome, faults.first()) {
            rows.add(
                row,
                column,
                ImportFault::SoundWithFault {
                    fault: fault.clone(),
                },
            );
        }
    }
}

/// Areas; every row with a count needs one if there is a column of them.
fn read_areas(
    rows: &mut Rows<'_, '_>,
    columns: &Columns<'_>,
    read: &mut Readings,
) -> Vec<Option<f64>> {
    let Some(column) = columns.area else {
        return vec![None; rows.filled.len()];
    };
    let counts: Vec<&Vec<Option<ReadingValue>>> = read
        .qualities
        .iter()
        .zip(&read.values)
        .filter(|(quality, _)| quality.kind == QualityKind::Count)
        .map(|(_, values)| values)
        .collect();
    if counts.is_empty() {
        read.warnings
            .push("There is an area but no count, so the area is used nowhere.".to_owned());
    }
    let areas = rows.plain_numbers(column);
    for ((index, row), area) in rows.places().into_iter().enumerate().zip(&areas) {
        let is_counted = counts
            .iter()
            .any(|values| matches!(values.get(index), Some(Some(_))));
        match area {
            Some(value) if *value <= 0.0 => {
                rows.add(row, column, ImportFault::NoArea { value: *value });
            }
            None if is_counted => rows.add(row, column, ImportFault::AreaMissing),
            Some(_) | None => {}
        }
    }
    areas
}
