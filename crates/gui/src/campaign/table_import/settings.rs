//! Columns of settings: numbers with a range, names with levels.

use std::collections::{BTreeMap, BTreeSet};

use super::super::project::{
    Effort, EffortClass, Role, SettingEntry, SettingValue, Settings, Variation,
};
use super::super::table_cell::{Cell, CellFault, converted};
use super::super::table_problem::{RowPlace, listed};
use super::super::unit::Unit;
use super::columns::{Columns, Rows};
use super::{CategorySpec, FactorSpec, ImportFault, ImportRequest, MOST_LEVELS, unit_of};

/// The settings, and the values that every row gives them.
#[derive(Debug, Default)]
pub(super) struct SettingColumns {
    pub(super) entries: Vec<SettingEntry>,
    /// One entry a row; a row with a missing value lacks the setting.
    pub(super) of_rows: Vec<Settings>,
    pub(super) notes: Vec<String>,
    pub(super) warnings: Vec<String>,
}

/// Reads the columns of factors, then of categories.
pub(super) fn read_settings(
    rows: &mut Rows<'_, '_>,
    request: &ImportRequest,
    columns: &Columns<'_>,
) -> SettingColumns {
    let mut read = SettingColumns {
        of_rows: vec![Settings::new(); rows.filled.len()],
        ..SettingColumns::default()
    };
    for (spec, column) in &columns.factors {
        read_factor(rows, spec, *column, &mut read);
    }
    for (spec, column) in &columns.categories {
        read_category(rows, spec, *column, &mut read);
    }
    for entry in read
        .entries
        .iter_mut()
        .filter(|entry| request.hard.contains(&entry.id))
    {
        entry.effort = Effort {
            class: EffortClass::StopAndWait,
            minutes: 0.0,
        };
    }
    read
}

fn read_factor(
    rows: &mut Rows<'_, '_>,
    spec: &FactorSpec,
    column: usize,
    read: &mut SettingColumns,
) {
    let names = names_in(rows, column);
    if let Some((row, text)) = names.first {
        rows.add(row, column, ImportFault::FactorIsText { text });
    }
    if names.are_all {
        return;
    }
    let numbers = rows.plain_numbers(column);
    note_missing(rows, column);
    let unit = unit_of(rows.table, column);
    let given = spec.unit.clone().unwrap_or_default();
    let (unit, range) = match in_unit(spec.range, &given, unit) {
        Ok(converted) => converted,
        Err(fault) => return rows.add_to_column(column, fault),
    };
    let measured = numbers.iter().flatten();
    let least = measured.clone().copied().fold(f64::INFINITY, f64::min);
    let greatest = measured.copied().fold(f64::NEG_INFINITY, f64::max);
    let Some((low, high)) = range.or((least <= greatest).then_some((least, greatest))) else {
        return;
    };
    if !(low.is_finite() && high.is_finite() && low < high) {
        let fault = match range {
            Some((low, high)) => ImportFault::NoRange { low, high },
            None => ImportFault::OneValue { value: low },
        };
        return rows.add_to_column(column, fault);
    }
    let with_unit = if unit.is_empty() {
        String::new()
    } else {
        format!(" {unit}")
    };
    let name = listed([spec.name.as_str()]);
    match range {
        Some(_) => read.notes.push(format!(
            "{name} ranges from {low} to {high}{with_unit}, as given."
        )),
        None => read.notes.push(format!(
            "{name} ranges from {low} to {high}{with_unit}, its least and greatest value."
        )),
    }
    let n_beyond = numbers
        .iter()
        .flatten()
        .filter(|number| **number < low || **number > high)
        .count();
    if n_beyond > 0 {
        read.warnings.push(format!(
            "{name} lies beyond its range in {n_beyond} {}; they are used all the same.",
            rows_word(n_beyond)
        ));
    }
    let variation = Variation::Range {
        low,
        high,
        log: false,
    };
    read.entries.push(entry(
        rows,
        column,
        &spec.name,
        unit,
        SettingValue::Number(low / 2.0 + high / 2.0),
        variation,
    ));
    for (settings, number) in read.of_rows.iter_mut().zip(numbers) {
        if let Some(number) = number {
            settings.insert(spec.name.clone(), SettingValue::Number(number));
        }
    }
}

const fn rows_word(n: usize) -> &'static str {
    if n == 1 { "row" } else { "rows" }
}

/// Names where numbers belong.
struct Names {
    /// The first; in a column that also has numbers, only a text without digits counts.
    first: Option<(RowPlace, String)>,
    /// True if the column has names and no number.
    are_all: bool,
}

fn names_in(rows: &Rows<'_, '_>, column: usize) -> Names {
    let mut has_number = false;
    let mut texts: Vec<(RowPlace, &str)> = Vec::new();
    for row in &rows.filled {
        match rows.table.number(row, column) {
            Ok(Cell::Empty) | Err(CellFault::MissingWord { .. }) => {}
            Err(CellFault::NotANumber { .. } | CellFault::TooLong { .. }) => {
                texts.push((row.place, rows.table.text(row, column)));
            }
            Ok(_) | Err(_) => has_number = true,
        }
    }
    let counts = |text: &str| !has_number || !text.contains(|c: char| c.is_ascii_digit());
    let first = texts
        .iter()
        .find(|(_, text)| counts(text))
        .map(|(row, text)| (*row, (*text).to_owned()));
    Names {
        are_all: !has_number && first.is_some(),
        first,
    }
}

fn note_missing(rows: &mut Rows<'_, '_>, column: usize) {
    let texts: Vec<(RowPlace, &str)> = rows.texts(column).collect();
    for (row, _) in texts.into_iter().filter(|(_, text)| text.is_empty()) {
        rows.add(row, column, ImportFault::NoSetting);
    }
}

type UnitAndRange = (String, Option<(f64, f64)>);

/// The unit of the column and the range in it.
fn in_unit(
    range: Option<(f64, f64)>,
    given: &str,
    head: String,
) -> Result<UnitAndRange, ImportFault> {
    let given_unit = Unit::parse(given).ok().filter(|_| !given.is_empty());
    if head.is_empty() {
        return Ok((
            given_unit.map_or_else(|| given.to_owned(), |unit| unit.symbol().to_owned()),
            range,
        ));
    }
    if given.is_empty() || given == head {
        return Ok((head, range));
    }
    let fault = || ImportFault::RangeUnit {
        given: given.to_owned(),
        head: head.clone(),
    };
    let (Some(from), Ok(to)) = (given_unit, Unit::parse(&head)) else {
        return Err(fault());
    };
    let convert = |value: f64| converted(value, from, to).ok().ok_or_else(fault);
    let range = match range {
        Some((low, high)) => Some((convert(low)?, convert(high)?)),
        None => None,
    };
    Ok((head, range))
}

fn read_category(
    rows: &mut Rows<'_, '_>,
    spec: &CategorySpec,
    column: usize,
    read: &mut SettingColumns,
) {
    note_missing(rows, column);
    let texts: Vec<(RowPlace, &str)> = rows
        .texts(column)
        .filter(|(_, text)| !text.is_empty())
        .collect();
    let levels = match levels_of(spec, &texts) {
        Ok(levels) => levels,
        Err(fault) => return rows.add_to_column(column, fault),
    };
    let quoted = listed(levels.iter().map(String::as_str));
    for (row, text) in texts {
        if text.contains(['\n', '\t']) {
            rows.add(
                row,
                column,
                ImportFault::BrokenName {
                    text: text.to_owned(),
                },
            );
        } else if !levels.iter().any(|level| level == text) {
            rows.add(
                row,
                column,
                ImportFault::NoLevel {
                    text: text.to_owned(),
                    levels: quoted.clone(),
                },
            );
        }
    }
    let name = listed([spec.name.as_str()]);
    let how = if spec.levels.is_some() {
        "as given"
    } else {
        "in the order met"
    };
    read.notes
        .push(format!("{name} has the levels {quoted}, {how}."));
    if let Some((one, other)) = near_twins(&levels) {
        read.warnings.push(format!(
            "{name} has the levels {}, which differ only in their writing.",
            listed([one, other])
        ));
    }
    let now = SettingValue::Level(levels.first().cloned().unwrap_or_default());
    read.entries.push(entry(
        rows,
        column,
        &spec.name,
        String::new(),
        now,
        Variation::Categories { levels },
    ));
    for (settings, row) in read.of_rows.iter_mut().zip(&rows.filled) {
        let level = rows.table.text(row, column);
        if !level.is_empty() {
            settings.insert(spec.name.clone(), SettingValue::Level(level.to_owned()));
        }
    }
}

/// The declared levels, or those of the column in the order met.
fn levels_of(spec: &CategorySpec, texts: &[(RowPlace, &str)]) -> Result<Vec<String>, ImportFault> {
    let levels = spec
        .levels
        .clone()
        .unwrap_or_else(|| in_order_met(texts.iter().map(|(_, text)| *text)));
    let mut seen = BTreeSet::new();
    if let Some(level) = levels.iter().find(|level| !seen.insert(level.as_str())) {
        return Err(ImportFault::RepeatedLevel {
            level: level.clone(),
        });
    }
    match levels.as_slice() {
        [] => Err(ImportFault::OneLevel {
            levels: "none".to_owned(),
        }),
        [only] => Err(ImportFault::OneLevel {
            levels: format!("only {}", listed([only.as_str()])),
        }),
        more if more.len() > MOST_LEVELS => Err(ImportFault::TooManyLevels {
            n_levels: more.len(),
        }),
        _ => Ok(levels),
    }
}

/// Different texts in the order in which they are first met.
pub(super) fn in_order_met<'a>(texts: impl Iterator<Item = &'a str>) -> Vec<String> {
    let mut seen = BTreeSet::new();
    texts
        .filter(|text| seen.insert(*text))
        .map(ToOwned::to_owned)
        .collect()
}

/// Two levels that would be one but for capitals or blanks.
fn near_twins(levels: &[String]) -> Option<(&str, &str)> {
    let plain = |level: &str| level.to_lowercase().split_whitespace().collect::<String>();
    let mut seen: BTreeMap<String, &str> = BTreeMap::new();
    levels.iter().find_map(|level| {
        seen.insert(plain(level), level)
            .map(|twin| (twin, level.as_str()))
    })
}

fn entry(
    rows: &Rows<'_, '_>,
    column: usize,
    id: &str,
    unit: String,
    now: SettingValue,
    variation: Variation,
) -> SettingEntry {
    SettingEntry {
        id: id.to_owned(),
        label: rows
            .table
            .columns()
            .get(column)
            .map(|column| column.name.clone())
            .unwrap_or_default(),
        role: Role::Free,
        unit,
        now,
        variation,
        step: None,
        scatter: None,
        effort: Effort::default(),
    }
}
