//! What a table would enter: every value held against the project and against the other rows.

use std::collections::BTreeMap;

use super::super::command::{Command, ReadingEdit};
use super::super::project::{Outcome, Project, QualityKind, Run, SettingValue, Settings};
use super::super::reading_text::{read_outcome, reading_of, split_faults};
use super::super::table_problem::{CellPlace, Located, Problems, listed};
use super::super::table_text::{Row, Table};
use super::rows::{Reader, is_same_setting};
use super::{
    ColumnSummary, Differing, Entry, EntryColumn, EntryErrors, EntryFault, EntryOptions,
    EntrySummary, MatchedBy, Tally, Target, is_same, known_names, with_unit,
};

/// A table held against a project: what it would enter, and what keeps it from that.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    commands: Vec<Command>,
    summary: EntrySummary,
    problems: Vec<Located<EntryFault>>,
}

impl Draft {
    /// Holds a table against a project; `columns` has an entry for each column of the table.
    pub fn new(
        table: &Table,
        columns: &[EntryColumn],
        project: &Project,
        options: &EntryOptions,
    ) -> Self {
        let reader = Reader::new(
            table,
            columns.iter().map(|column| column.target.clone()),
            project,
        );
        let mut builder = Builder::new(reader, options);
        builder.check_columns();
        let runs = builder.reader.runs_of_rows(options.rows);
        for (row, run) in table.rows().iter().zip(runs) {
            if let Some(run) = run.and_then(|number| project.run(number)) {
                builder.take_row(row, run);
            }
        }
        builder.finish(columns)
    }

    /// What keeps the table from being entered, by row; problems of columns and of the table first.
    pub fn problems(&self) -> &[Located<EntryFault>] {
        &self.problems
    }

    /// What it would enter.
    pub const fn summary(&self) -> &EntrySummary {
        &self.summary
    }

    /// The command with its summary.
    ///
    /// # Errors
    /// Every problem, if there is one.
    pub fn into_entry(self) -> Result<Entry, EntryErrors> {
        if !self.problems.is_empty() {
            return Err(Problems(self.problems));
        }
        let label = match self.summary.readings.n_changed() {
            0 => "remarks from a table".to_owned(),
            1 => "1 reading from a table".to_owned(),
            n => format!("{n} readings from a table"),
        };
        let command = (!self.commands.is_empty()).then_some(Command::Together {
            label,
            commands: self.commands,
        });
        Ok(Entry {
            command,
            summary: self.summary,
        })
    }
}

/// A value with the row that gave it.
type FromRow<T> = (usize, T);

/// Where a reading stands: run, quality, place, repeat.
type ReadingKey = (u32, String, String, u32);

struct Builder<'a> {
    reader: Reader<'a>,
    options: &'a EntryOptions,
    edits: Vec<ReadingEdit>,
    seen: BTreeMap<ReadingKey, usize>,
    n_repeats: BTreeMap<(u32, String, String), u32>,
    outcomes: BTreeMap<u32, FromRow<Outcome>>,
    notes: BTreeMap<u32, Vec<String>>,
    metres: BTreeMap<u32, FromRow<f64>>,
    as_run: BTreeMap<u32, BTreeMap<String, FromRow<SettingValue>>>,
    /// Where each value of a run stands, for problems that show only when all rows are read.
    places: BTreeMap<(u32, usize), CellPlace>,
    summary: EntrySummary,
}

impl<'a> Builder<'a> {
    fn new(reader: Reader<'a>, options: &'a EntryOptions) -> Self {
        Self {
            reader,
            options,
            edits: Vec::new(),
            seen: BTreeMap::new(),
            n_repeats: BTreeMap::new(),
            outcomes: BTreeMap::new(),
            notes: BTreeMap::new(),
            metres: BTreeMap::new(),
            as_run: BTreeMap::new(),
            places: BTreeMap::new(),
            summary: EntrySummary::default(),
        }
    }

    fn check_columns(&mut self) {
        let brings = |target: &Target| match target {
            Target::Reading { .. }
            | Target::AsRun(_)
            | Target::Outcome
            | Target::Fault
            | Target::Note
            | Target::Metre => true,
            Target::LeftOut
            | Target::Run
            | Target::Setting(_)
            | Target::Place
            | Target::Repeat
            | Target::Area => false,
        };
        // A column that cannot be used would have been one.
        if self.reader.problems.is_empty()
            && !self
                .reader
                .columns
                .iter()
                .any(|column| brings(&column.target))
        {
            let fault = EntryFault::NothingToEnter {
                heads: self.reader.table.listed_heads(),
                known: known_names(self.reader.project),
            };
            self.reader.problems.push(Located {
                place: CellPlace::TABLE,
                fault,
            });
        }
    }

    fn take_row(&mut self, row: &Row, run: &Run) {
        let targets: Vec<(usize, Target)> = self
            .reader
            .columns
            .iter()
            .map(|column| (column.index, column.target.clone()))
            .collect();
        let place = self
            .reader
            .column(&Target::Place)
            .map_or("", |column| self.reader.table.text(row, column))
            .to_owned();
        let repeat = self.reader.column(&Target::Repeat).and_then(|column| {
            self.reader
                .whole_number(row, column, |text| EntryFault::NoRepeat { text })
        });
        let area = self.area(row);
        for (column, target) in &targets {
            self.places.insert(
                (run.number, *column),
                self.reader.table.cell_place(row, *column),
            );
            match target {
                Target::Reading {
                    quality,
                    place: own,
                } => {
                    let place = if own.is_empty() { &place } else { own };
                    self.take_reading(
                        row,
                        *column,
                        run,
                        &ReadingSpot {
                            quality,
                            place,
                            repeat,
                            area,
                        },
                    );
                }
                Target::AsRun(id) => self.take_as_run(row, *column, run, id),
                Target::Note => self.take_note(row, *column, run),
                Target::Metre => self.take_metre(row, *column, run),
                Target::LeftOut
                | Target::Run
                | Target::Setting(_)
                | Target::Outcome
                | Target::Fault
                | Target::Place
                | Target::Repeat
                | Target::Area => {}
            }
        }
        self.take_outcome(row, run);
    }

    fn area(&mut self, row: &Row) -> Option<f64> {
        let column = self.reader.column(&Target::Area)?;
        let area = self.reader.plain_number(row, column)?;
        if area > 0.0 {
            return Some(area);
        }
        let text = self.reader.table.text(row, column).to_owned();
        self.reader.add(row, column, EntryFault::NoArea { text });
        None
    }

    fn take_reading(&mut self, row: &Row, column: usize, run: &Run, spot: &ReadingSpot<'_>) {
        let project = self.reader.project;
        let Some(quality) = project.quality(spot.quality) else {
            return;
        };
        let text = self.reader.table.text(row, column);
        let value = match reading_of(text, || self.reader.number(row, column), quality) {
            Ok(Some(value)) => value,
            Ok(None) => return,
            Err(error) => return self.reader.add(row, column, error),
        };
        if !spot.place.is_empty()
            && !quality.places.is_empty()
            && !quality.places.iter().any(|place| place == spot.place)
        {
            let fault = EntryFault::NoPlace {
                quality: quality.label.clone(),
                place: spot.place.to_owned(),
                places: listed(quality.places.iter().map(String::as_str)),
            };
            return self.reader.add(row, column, fault);
        }
        let repeat = spot.repeat.unwrap_or_else(|| {
            let key = (run.number, quality.id.clone(), spot.place.to_owned());
            let n = self.n_repeats.entry(key).or_insert(0);
            *n += 1;
            *n
        });
        let key = (
            run.number,
            quality.id.clone(),
            spot.place.to_owned(),
            repeat,
        );
        if let Some(first_row) = self.seen.insert(key, row.place.number) {
            return self.reader.add(
                row,
                column,
                EntryFault::Twice {
                    run: run.number,
                    first_row,
                },
            );
        }
        let area = spot.area.filter(|_| quality.kind == QualityKind::Count);
        match run.reading(&quality.id, spot.place, repeat) {
            None => self.summary.readings.n_new += 1,
            Some(old) if is_same(old, &value, area) => {
                self.summary.readings.n_same += 1;
                return;
            }
            Some(old) => {
                let place = self.reader.table.cell_place(row, column);
                if !self.may_replace(place, run.number, old.value.to_string(), value.to_string()) {
                    return;
                }
                self.summary.readings.n_replaced += 1;
            }
        }
        self.edits.push(ReadingEdit {
            run: run.number,
            quality: quality.id.clone(),
            place: spot.place.to_owned(),
            repeat,
            value: Some(value),
            area,
            when: self.options.when.clone(),
            who: self.options.who.clone(),
        });
    }

    /// True if a value of the project may be replaced; a problem is noted if not.
    fn may_replace(&mut self, place: CellPlace, run: u32, old: String, new: String) -> bool {
        match self.options.differing {
            Differing::Replace => true,
            Differing::Refuse => {
                self.reader.problems.push(Located {
                    place,
                    fault: EntryFault::Differs { run, old, new },
                });
                false
            }
        }
    }

    fn take_as_run(&mut self, row: &Row, column: usize, run: &Run, id: &str) {
        let Some(setting) = self.reader.project.setting(id) else {
            return;
        };
        let Some(value) = self.reader.setting_value(row, column, setting) else {
            return;
        };
        let of_run = self.as_run.entry(run.number).or_default();
        match of_run.get(id) {
            None => {
                of_run.insert(id.to_owned(), (row.place.number, value));
            }
            Some((_, first)) if is_same_setting(first, &value) => {}
            Some((first_row, first)) => {
                let (first_row, first, text) = (*first_row, first.to_string(), value.to_string());
                let fault = EntryFault::Contradiction {
                    run: run.number,
                    first_row,
                    first,
                    text,
                };
                self.reader.add(row, column, fault);
            }
        }
    }

    fn take_note(&mut self, row: &Row, column: usize, run: &Run) {
        let text = self.reader.table.text(row, column);
        let notes = self.notes.entry(run.number).or_default();
        if !text.is_empty() && !notes.iter().any(|note| note == text) {
            notes.push(text.to_owned());
        }
    }

    fn take_metre(&mut self, row: &Row, column: usize, run: &Run) {
        let Some(metre) = self.reader.plain_number(row, column) else {
            return;
        };
        let (first_row, first) = *self
            .metres
            .entry(run.number)
            .or_insert((row.place.number, metre));
        if first.total_cmp(&metre).is_ne() {
            let (first, text) = (first.to_string(), metre.to_string());
            self.reader.add(
                row,
                column,
                EntryFault::Contradiction {
                    run: run.number,
                    first_row,
                    first,
                    text,
                },
            );
        }
    }

    fn take_outcome(&mut self, row: &Row, run: &Run) {
        let table = self.reader.table;
        let (judged, named) = (
            self.reader.column(&Target::Outcome),
            self.reader.column(&Target::Fault),
        );
        let outcome = match judged.map(|column| (column, table.text(row, column))) {
            None | Some((_, "")) => None,
            Some((column, text)) => match read_outcome(text) {
                Ok(outcome) => Some(outcome),
                Err(error) => return self.reader.add(row, column, error),
            },
        };
        let faults = named
            .map(|column| split_faults(table.text(row, column)))
            .unwrap_or_default();
        let outcome = match (outcome, faults.first()) {
            (None, None) => return,
            (Some(Outcome::Sound), Some(fault)) => {
                let column = named.or(judged).unwrap_or_default();
                return self.reader.add(
                    row,
                    column,
                    EntryFault::SoundWithFault {
                        fault: fault.clone(),
                    },
                );
            }
            (Some(Outcome::Faulty { faults: own }), _) => Outcome::Faulty {
                faults: united(own, faults),
            },
            (None | Some(Outcome::NotRun), Some(_)) => Outcome::Faulty { faults },
            (Some(outcome), None) => outcome,
        };
        let column = judged.or(named).unwrap_or_default();
        match self.outcomes.get(&run.number) {
            Some((first_row, first)) if *first != outcome => {
                let (first, text) = (in_words(first), in_words(&outcome));
                let fault = EntryFault::Contradiction {
                    run: run.number,
                    first_row: *first_row,
                    first,
                    text,
                };
                self.reader.add(row, column, fault);
            }
            Some(_) => {}
            None => {
                self.outcomes
                    .insert(run.number, (row.place.number, outcome));
            }
        }
    }

    fn finish(mut self, columns: &[EntryColumn]) -> Draft {
        let mut commands = self.as_run_commands();
        commands.extend(self.outcome_commands());
        commands.extend(self.metre_commands());
        commands.extend(self.note_commands());
        if !self.edits.is_empty() {
            commands.push(Command::EnterReadings(std::mem::take(&mut self.edits)));
        }
        self.describe(columns);
        let mut problems = self.reader.problems;
        problems.sort_by(|a, b| a.place.cmp(&b.place));
        Draft {
            commands,
            summary: self.summary,
            problems,
        }
    }

    /// Where the last row of a run has its cell of this target.
    fn place_of(&self, run: u32, target: &Target) -> CellPlace {
        self.reader
            .column(target)
            .and_then(|column| self.places.get(&(run, column)).cloned())
            .unwrap_or_default()
    }

    fn as_run_commands(&mut self) -> Vec<Command> {
        let project = self.reader.project;
        let mut commands = Vec::new();
        for (number, values) in std::mem::take(&mut self.as_run) {
            let Some(run) = project.run(number) else {
                continue;
            };
            let mut as_run: Settings = run.as_run.clone();
            for (id, (_, value)) in values {
                let Some(setting) = project.setting(&id) else {
                    continue;
                };
                let planned = run.target(&id).unwrap_or(&setting.now);
                let known = run.as_run.get(&id);
                if is_same_setting(known.unwrap_or(planned), &value) {
                    self.summary.as_run.n_same += 1;
                    continue;
                }
                if let Some(known) = known {
                    let place = self.place_of(number, &Target::AsRun(id.clone()));
                    let (old, new) = (
                        with_unit(known, &setting.unit),
                        with_unit(&value, &setting.unit),
                    );
                    if !self.may_replace(place, number, old, new) {
                        continue;
                    }
                    self.summary.as_run.n_replaced += 1;
                } else {
                    self.summary.as_run.n_new += 1;
                }
                if is_same_setting(planned, &value) {
                    as_run.remove(&id);
                } else {
                    as_run.insert(id, value);
                }
            }
            if as_run != run.as_run {
                commands.push(Command::SetAsRun {
                    run: number,
                    as_run,
                });
            }
        }
        commands
    }

    fn outcome_commands(&mut self) -> Vec<Command> {
        let mut commands = Vec::new();
        for (number, (_, outcome)) in std::mem::take(&mut self.outcomes) {
            let Some(run) = self.reader.project.run(number) else {
                continue;
            };
            match (&run.outcome, &outcome) {
                (old, new) if old == new => {
                    self.summary.outcomes.n_same += 1;
                    continue;
                }
                (Outcome::Faulty { .. }, Outcome::Faulty { faults }) if faults.is_empty() => {
                    self.summary.outcomes.n_same += 1;
                    continue;
                }
                (Outcome::NotRun, _) => self.summary.outcomes.n_new += 1,
                (Outcome::Faulty { faults }, Outcome::Faulty { .. }) if faults.is_empty() => {
                    self.summary.outcomes.n_new += 1;
                }
                (old, new) => {
                    let target = if self.reader.column(&Target::Outcome).is_some() {
                        Target::Outcome
                    } else {
                        Target::Fault
                    };
                    let place = self.place_of(number, &target);
                    if !self.may_replace(place, number, in_words(old), in_words(new)) {
                        continue;
                    }
                    self.summary.outcomes.n_replaced += 1;
                }
            }
            commands.push(Command::SetOutcome {
                run: number,
                outcome,
            });
        }
        commands
    }

    fn metre_commands(&mut self) -> Vec<Command> {
        let mut commands = Vec::new();
        for (number, (_, metre)) in std::mem::take(&mut self.metres) {
            let Some(run) = self.reader.project.run(number) else {
                continue;
            };
            match run.metre {
                Some(old) if old.total_cmp(&metre).is_eq() => {
                    self.summary.remarks.n_same += 1;
                    continue;
                }
                Some(old) => {
                    let place = self.place_of(number, &Target::Metre);
                    if !self.may_replace(
                        place,
                        number,
                        with_unit(&old, "m"),
                        with_unit(&metre, "m"),
                    ) {
                        continue;
                    }
                    self.summary.remarks.n_replaced += 1;
                }
                None => self.summary.remarks.n_new += 1,
            }
            commands.push(Command::SetMetre {
                run: number,
                metre: Some(metre),
            });
        }
        commands
    }

    fn note_commands(&mut self) -> Vec<Command> {
        let mut commands = Vec::new();
        for (number, notes) in std::mem::take(&mut self.notes) {
            let note = notes.join("; ");
            let Some(run) = self.reader.project.run(number).filter(|_| !note.is_empty()) else {
                continue;
            };
            if run.note == note {
                self.summary.remarks.n_same += 1;
                continue;
            }
            if run.note.is_empty() {
                self.summary.remarks.n_new += 1;
            } else {
                let place = self.place_of(number, &Target::Note);
                if !self.may_replace(place, number, run.note.clone(), note.clone()) {
                    continue;
                }
                self.summary.remarks.n_replaced += 1;
            }
            commands.push(Command::SetNote { run: number, note });
        }
        commands
    }

    fn describe(&mut self, columns: &[EntryColumn]) {
        let (table, project) = (self.reader.table, self.reader.project);
        for (column, entry) in table.columns().iter().zip(columns) {
            if entry.target == Target::LeftOut {
                self.summary.left_out.push(column.head.clone());
                continue;
            }
            self.summary.columns.push(ColumnSummary {
                head: column.head.clone(),
                goes_to: entry.target.label(project),
                by: entry.by,
                unit: column
                    .unit
                    .clone()
                    .unwrap_or_else(|| entry.target.unit(project)),
                sign: column
                    .sign
                    .sign()
                    .filter(|_| entry.target.is_numeric(project)),
            });
        }
        self.summary.notes = self.notes_on_data(columns);
    }

    fn notes_on_data(&self, columns: &[EntryColumn]) -> Vec<String> {
        let (table, project) = (self.reader.table, self.reader.project);
        let numeric: Vec<usize> = self
            .reader
            .columns
            .iter()
            .filter(|column| column.target.is_numeric(project))
            .map(|column| column.index)
            .collect();
        let mut notes: Vec<String> = table
            .delimiter_note()
            .into_iter()
            .chain(table.sign_notes(&numeric))
            .collect();
        let abbreviated = table
            .columns()
            .iter()
            .zip(columns)
            .filter(|(_, entry)| entry.by == MatchedBy::Abbreviation);
        for (column, entry) in abbreviated {
            notes.push(format!(
                "{} was taken for {}.",
                listed([column.head.as_str()]),
                entry.target.label(project)
            ));
        }
        for column in &self.reader.columns {
            if let Some((from, to)) = column.conversion {
                notes.push(format!(
                    "{} was converted from {from} to {to}.",
                    listed([table.column_place(column.index).head.as_str()])
                ));
            }
        }
        let repeated: Vec<String> = self
            .n_repeats
            .iter()
            .filter(|(_, n)| **n > 1)
            .map(|((run, quality, place), n)| {
                let place = if place.is_empty() {
                    String::new()
                } else {
                    format!(", {place}")
                };
                format!("run {run}, {quality}{place}: {n}")
            })
            .take(10)
            .collect();
        if !repeated.is_empty() {
            notes.push(format!(
                "Several rows of one run and place were counted as repeats: {}.",
                repeated.join("; ")
            ));
        }
        notes
    }
}

/// Where a reading goes within its run.
struct ReadingSpot<'a> {
    quality: &'a str,
    place: &'a str,
    repeat: Option<u32>,
    area: Option<f64>,
}

fn united(mut faults: Vec<String>, more: Vec<String>) -> Vec<String> {
    for fault in more {
        if !faults.contains(&fault) {
            faults.push(fault);
        }
    }
    faults
}

fn in_words(outcome: &Outcome) -> String {
    match outcome {
        Outcome::NotRun => "not run".to_owned(),
        Outcome::Sound => "sound".to_owned(),
        Outcome::Faulty { faults } if faults.is_empty() => "faulty".to_owned(),
        Outcome::Faulty { faults } => format!("faulty: {}", faults.join(", ")),
    }
}

impl Tally {
    /// Values that change the project.
    pub const fn n_changed(self) -> usize {
        self.n_new + self.n_replaced
    }
}
