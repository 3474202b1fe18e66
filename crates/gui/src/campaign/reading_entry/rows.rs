//! Which run a row belongs to.

use super::super::project::{Project, Run, SettingEntry, SettingValue};
use super::super::reading_text::ReadingError;
use super::super::table_cell::{Cell, CellFault, converted};
use super::super::table_problem::{CellPlace, Located, listed};
use super::super::table_text::{Row, Table};
use super::super::unit::Unit;
use super::{EntryFault, RowsGoTo, Target, with_unit};

/// Two settings are one within this share, which a conversion of units may cost; nobody sets a machine that finely.
const SETTING_TOLERANCE: f64 = 1e-9;

/// A column that goes somewhere.
pub(super) struct UsedColumn {
    /// Its 0-based place.
    pub(super) index: usize,
    pub(super) target: Target,
    /// Unit of the head and unit of the project, where they differ.
    pub(super) conversion: Option<(Unit, Unit)>,
}

/// The table as the entry sees it.
pub(super) struct Reader<'a> {
    pub(super) table: &'a Table,
    pub(super) project: &'a Project,
    pub(super) columns: Vec<UsedColumn>,
    pub(super) problems: Vec<Located<EntryFault>>,
}

impl<'a> Reader<'a> {
    /// Takes the columns that go somewhere; problems of whole columns are noted.
    pub(super) fn new(
        table: &'a Table,
        targets: impl Iterator<Item = Target>,
        project: &'a Project,
    ) -> Self {
        let mut reader = Self {
            table,
            project,
            columns: Vec::new(),
            problems: Vec::new(),
        };
        for (index, target) in targets
            .enumerate()
            .filter(|(_, target)| *target != Target::LeftOut)
        {
            if let Err(fault) = reader.take(index, target) {
                reader.add_to_column(index, fault);
            }
        }
        reader
    }

    fn take(&mut self, index: usize, target: Target) -> Result<(), EntryFault> {
        let missing = match &target {
            Target::Setting(id) | Target::AsRun(id) => {
                self.project.setting(id).is_none().then_some(id)
            }
            Target::Reading { quality, .. } => {
                self.project.quality(quality).is_none().then_some(quality)
            }
            _ => None,
        };
        if let Some(name) = missing {
            return Err(EntryFault::NoTarget { name: name.clone() });
        }
        if let Some(first) = self.columns.iter().find(|column| column.target == target) {
            let first = self.table.column_place(first.index).head;
            return Err(EntryFault::SecondColumn {
                first,
                target: target.label(self.project),
            });
        }
        let conversion = self.conversion(index, &target)?;
        self.columns.push(UsedColumn {
            index,
            target,
            conversion,
        });
        Ok(())
    }

    /// How numbers in the unit of the head become numbers in the unit of the project.
    fn conversion(
        &self,
        index: usize,
        target: &Target,
    ) -> Result<Option<(Unit, Unit)>, EntryFault> {
        let wanted = target.unit(self.project);
        let head = self
            .table
            .columns()
            .get(index)
            .and_then(|column| column.unit.clone())
            .unwrap_or_default();
        if head.is_empty() || wanted.is_empty() || head == wanted {
            return Ok(None);
        }
        match (Unit::parse(&head), Unit::parse(&wanted)) {
            (Ok(from), Ok(to)) if from == to => Ok(None),
            (Ok(from), Ok(to)) if from.dimension() == to.dimension() => Ok(Some((from, to))),
            (Ok(_) | Err(_), Ok(_) | Err(_)) => Err(EntryFault::Unit { head, wanted }),
        }
    }

    /// Notes a problem of a cell; one of its column as a whole is noted once.
    pub(super) fn add(&mut self, row: &Row, column: usize, fault: impl Into<EntryFault>) {
        let fault = fault.into();
        let is_of_column = match &fault {
            EntryFault::Cell(cell) | EntryFault::Reading(ReadingError::Cell(cell)) => {
                cell.is_of_column()
            }
            _ => false,
        };
        if !is_of_column {
            self.problems.push(Located {
                place: self.table.cell_place(row, column),
                fault,
            });
        } else if !self.problems.iter().any(|known| known.fault == fault) {
            self.add_to_column(column, fault);
        }
    }

    pub(super) fn add_to_column(&mut self, column: usize, fault: EntryFault) {
        self.problems.push(Located {
            place: CellPlace::column(self.table.column_place(column)),
            fault,
        });
    }

    pub(super) fn column(&self, target: &Target) -> Option<usize> {
        self.columns
            .iter()
            .find(|column| column.target == *target)
            .map(|column| column.index)
    }

    /// A cell as a number in the unit of the project.
    pub(super) fn number(&self, row: &Row, column: usize) -> Result<Cell<'static>, CellFault> {
        let conversion = self
            .columns
            .iter()
            .find(|used| used.index == column)
            .and_then(|used| used.conversion);
        let cell = self.table.number(row, column)?;
        let Some((from, to)) = conversion else {
            return Ok(cell);
        };
        let convert = |number: f64| converted(number, from, to).unwrap_or(number);
        Ok(match cell {
            Cell::Number(number) => Cell::Number(convert(number)),
            Cell::Below(number) => Cell::Below(convert(number)),
            Cell::Above(number) => Cell::Above(convert(number)),
            Cell::Empty | Cell::Text(_) => cell,
        })
    }

    /// A cell as a plain number; a problem is noted.
    pub(super) fn plain_number(&mut self, row: &Row, column: usize) -> Option<f64> {
        match self.number(row, column) {
            Ok(Cell::Number(number)) => Some(number),
            Ok(Cell::Empty | Cell::Text(_)) => None,
            Ok(Cell::Below(_) | Cell::Above(_)) => {
                self.add(
                    row,
                    column,
                    EntryFault::NoPlainNumber {
                        text: self.table.text(row, column).to_owned(),
                    },
                );
                None
            }
            Err(fault) => {
                self.add(row, column, fault);
                None
            }
        }
    }

    /// A cell as a whole number from 1; `fault` says what it is if it is not.
    pub(super) fn whole_number(
        &mut self,
        row: &Row,
        column: usize,
        fault: impl Fn(String) -> EntryFault,
    ) -> Option<u32> {
        let text = self.table.text(row, column).to_owned();
        let number = self.plain_number(row, column)?;
        let whole = (number.fract() == 0.0 && (1.0..=f64::from(u32::MAX)).contains(&number))
            .then(|| format!("{number:.0}").parse().ok())
            .flatten();
        if whole.is_none() {
            self.add(row, column, fault(text));
        }
        whole
    }

    /// A cell as a value of a setting; a problem is noted.
    pub(super) fn setting_value(
        &mut self,
        row: &Row,
        column: usize,
        setting: &SettingEntry,
    ) -> Option<SettingValue> {
        if setting.now.number().is_some() {
            return self.plain_number(row, column).map(SettingValue::Number);
        }
        let text = self.table.text(row, column);
        if text.is_empty() {
            return None;
        }
        let value = SettingValue::Level(text.to_owned());
        if super::super::validity::value_fits(setting, &value) {
            return Some(value);
        }
        let levels = match &setting.variation {
            super::super::project::Variation::Categories { levels } => {
                listed(levels.iter().map(String::as_str))
            }
            _ => String::new(),
        };
        self.add(
            row,
            column,
            EntryFault::NoLevel {
                text: text.to_owned(),
                levels,
            },
        );
        None
    }

    /// The run of every row of the table; `None` for an empty row and for one with a problem, which is noted.
    pub(super) fn runs_of_rows(&mut self, rows: RowsGoTo) -> Vec<Option<u32>> {
        let table = self.table;
        if let Some(column) = self.column(&Target::Run) {
            return table
                .rows()
                .iter()
                .map(|row| self.run_by_number(row, column))
                .collect();
        }
        if let RowsGoTo::InOrderFrom(first) = rows {
            return self.runs_in_order(first);
        }
        let varied: Vec<&SettingEntry> = self.project.varied().collect();
        let column_of = |setting: &SettingEntry| self.column(&Target::Setting(setting.id.clone()));
        let missing: Vec<&str> = varied
            .iter()
            .filter(|setting| column_of(setting).is_none())
            .map(|setting| setting.label.as_str())
            .collect();
        if !missing.is_empty() || varied.is_empty() {
            let missing = if varied.is_empty() {
                "no setting is varied".to_owned()
            } else {
                listed(missing)
            };
            self.problems.push(Located {
                place: CellPlace::TABLE,
                fault: EntryFault::NoRunColumn { missing },
            });
            return vec![None; table.rows().len()];
        }
        let keys: Vec<(&SettingEntry, usize)> = varied
            .iter()
            .filter_map(|setting| Some((*setting, column_of(setting)?)))
            .collect();
        table
            .rows()
            .iter()
            .map(|row| self.run_by_settings(row, &keys))
            .collect()
    }

    fn runs_in_order(&mut self, first: u32) -> Vec<Option<u32>> {
        let numbers: Vec<u32> = self
            .project
            .runs
            .iter()
            .map(|run| run.number)
            .skip_while(|number| *number != first)
            .collect();
        let table = self.table;
        let mut runs = Vec::with_capacity(table.rows().len());
        for (index, row) in table.rows().iter().enumerate() {
            let run = numbers.get(index).copied();
            if run.is_none() && !row.is_empty() {
                let fault = match self.project.runs.last() {
                    Some(last) if !numbers.is_empty() => {
                        EntryFault::BeyondLastRun { last: last.number }
                    }
                    Some(_) | None => self.no_run(first.to_string()),
                };
                self.problems.push(Located {
                    place: CellPlace::row(row.place),
                    fault,
                });
            }
            runs.push(run.filter(|_| !row.is_empty()));
        }
        runs
    }

    fn no_run(&self, text: String) -> EntryFault {
        let numbers = || self.project.runs.iter().map(|run| run.number);
        EntryFault::NoRun {
            text,
            first: numbers().min(),
            last: numbers().max(),
        }
    }

    fn run_by_number(&mut self, row: &Row, column: usize) -> Option<u32> {
        if row.is_empty() {
            return None;
        }
        let text = self.table.text(row, column).to_owned();
        if text.is_empty() {
            self.add(row, column, EntryFault::RunMissing);
            return None;
        }
        let fault = self.no_run(text);
        let number = self.whole_number(row, column, |_| fault.clone())?;
        if self.project.run(number).is_none() {
            self.add(row, column, fault);
            return None;
        }
        self.check_settings(row, number).then_some(number)
    }

    /// Settings beside the run number must be the run's own.
    fn check_settings(&mut self, row: &Row, number: u32) -> bool {
        let project = self.project;
        let Some(run) = project.run(number) else {
            return false;
        };
        let settings: Vec<(usize, &SettingEntry)> = self
            .columns
            .iter()
            .filter_map(|column| match &column.target {
                Target::Setting(id) => Some((column.index, project.setting(id)?)),
                _ => None,
            })
            .collect();
        let mut fits = true;
        for (column, setting) in settings {
            let n_problems = self.problems.len();
            let value = self.setting_value(row, column, setting);
            fits &= self.problems.len() == n_problems;
            let Some(value) = value else { continue };
            let known = [
                run.target(&setting.id),
                run.setting(&setting.id),
                fixed_value(setting),
            ];
            if !known
                .into_iter()
                .flatten()
                .any(|known| is_same_setting(known, &value))
            {
                fits = false;
                let planned = run.target(&setting.id).unwrap_or(&setting.now);
                let fault = EntryFault::OtherSetting {
                    run: number,
                    setting: setting.label.clone(),
                    planned: with_unit(planned, &setting.unit),
                    text: self.table.text(row, column).to_owned(),
                };
                self.add(row, column, fault);
            }
        }
        fits
    }

    fn run_by_settings(&mut self, row: &Row, keys: &[(&SettingEntry, usize)]) -> Option<u32> {
        if row.is_empty() {
            return None;
        }
        let n_problems = self.problems.len();
        let mut values: Vec<(&SettingEntry, SettingValue)> = Vec::with_capacity(keys.len());
        for (setting, column) in keys {
            match self.setting_value(row, *column, setting) {
                Some(value) => values.push((setting, value)),
                None if self.table.text(row, *column).is_empty() => {
                    self.add(row, *column, EntryFault::SettingMissing);
                }
                None => {}
            }
        }
        if self.problems.len() > n_problems {
            return None;
        }
        let has_all = |run: &&Run| {
            values.iter().all(|(setting, value)| {
                run.target(&setting.id)
                    .is_some_and(|own| is_same_setting(own, value))
            })
        };
        let fitting: Vec<u32> = self
            .project
            .runs
            .iter()
            .filter(has_all)
            .map(|run| run.number)
            .collect();
        let settings = || {
            let parts = values.iter().map(|(setting, value)| {
                format!("{} {}", setting.label, with_unit(value, &setting.unit))
            });
            parts.collect::<Vec<_>>().join(", ")
        };
        let fault = match fitting.as_slice() {
            [one] => return Some(*one),
            [] => EntryFault::NoRunWithSettings {
                settings: settings(),
            },
            several => EntryFault::SeveralRuns {
                runs: several
                    .iter()
                    .map(ToString::to_string)
                    .collect::<Vec<_>>()
                    .join(", "),
                settings: settings(),
            },
        };
        self.problems.push(Located {
            place: CellPlace::row(row.place),
            fault,
        });
        None
    }
}

/// The value of a setting that no run varies.
fn fixed_value(setting: &SettingEntry) -> Option<&SettingValue> {
    (!setting.is_varied()).then_some(&setting.now)
}

pub(super) fn is_same_setting(one: &SettingValue, other: &SettingValue) -> bool {
    match (one, other) {
        (SettingValue::Number(a), SettingValue::Number(b)) => {
            (a - b).abs() <= SETTING_TOLERANCE * a.abs().max(b.abs())
        }
        (SettingValue::Level(a), SettingValue::Level(b)) => a == b,
        (SettingValue::Number(_), SettingValue::Level(_))
        | (SettingValue::Level(_), SettingValue::Number(_)) => false,
    }
}
