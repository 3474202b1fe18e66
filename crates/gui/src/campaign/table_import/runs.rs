//! Which rows are runs, and which are readings of one.

use std::collections::{BTreeMap, BTreeSet};

use super::super::project::{Outcome, QualityKind, Reading, Run, RunRole, Settings};
use super::super::table_problem::{CellPlace, RowPlace, listed};
use super::super::table_text::Table;
use super::columns::{Columns, Labels};
use super::qualities::Readings;
use super::settings::SettingColumns;
use super::{Found, ImportErrors, ImportFault};

/// The runs, and what was found about them.
#[derive(Debug, Default)]
pub(super) struct Structure {
    pub(super) runs: Vec<Run>,
    pub(super) notes: Vec<String>,
    pub(super) warnings: Vec<String>,
}

/// Rows of one run, by their places in the lists; never empty.
type RowsOfRun = Vec<usize>;

/// Everything that the rows say.
struct Said<'a> {
    table: &'a Table,
    columns: &'a Columns<'a>,
    places: &'a [RowPlace],
    settings: &'a SettingColumns,
    readings: &'a Readings,
    labels: &'a Labels,
}

/// Groups the rows into runs, orders and numbers them.
///
/// With layers, the innermost decides: if no setting varies inside any of its levels, its levels are the runs and the
/// rows their readings; otherwise every row is a run and the layer is shared by several.
pub(super) fn structure_of(
    table: &Table,
    columns: &Columns<'_>,
    places: &[RowPlace],
    settings: &SettingColumns,
    readings: &Readings,
    labels: &Labels,
) -> Result<Structure, ImportErrors> {
    let said = Said {
        table,
        columns,
        places,
        settings,
        readings,
        labels,
    };
    let mut structure = Structure::default();
    let innermost = said.levels(labels.layers.len());
    let rows_are_readings = !labels.layers.is_empty() && said.varying_in(&innermost).is_empty();
    let mut groups: Vec<RowsOfRun> = if rows_are_readings {
        innermost
    } else {
        (0..places.len()).map(|row| vec![row]).collect()
    };
    said.describe(&groups, rows_are_readings, &mut structure);
    let mut found = Found::default();
    said.check_agreement(&groups, &mut found);
    let numbers = said.numbers(&groups, rows_are_readings, &mut found);
    found.settle()?;
    let mut numbered: Vec<(u32, RowsOfRun)> = numbers.into_iter().zip(groups.drain(..)).collect();
    said.sort(&mut numbered, &mut structure);
    structure.runs = numbered
        .iter()
        .map(|(number, rows)| said.run(*number, rows, &mut structure.warnings))
        .collect();
    number_replicates(&mut structure.runs);
    said.number_set_ups(&mut structure);
    Ok(structure)
}

impl Said<'_> {
    /// Rows by the path of their labels in the outermost `n_layers` layers, in the order in which they are first met.
    fn levels(&self, n_layers: usize) -> Vec<RowsOfRun> {
        let mut of_path: BTreeMap<Vec<&str>, usize> = BTreeMap::new();
        let mut levels: Vec<RowsOfRun> = Vec::new();
        for row in 0..self.places.len() {
            let path = self.path(row, n_layers);
            let level = *of_path.entry(path).or_insert(levels.len());
            match levels.get_mut(level) {
                Some(rows) => rows.push(row),
                None => levels.push(vec![row]),
            }
        }
        levels
    }

    /// The labels of a row, outermost first; a random block is a layer outside all others.
    fn path(&self, row: usize, n_layers: usize) -> Vec<&str> {
        let block = self
            .labels
            .block
            .iter()
            .filter(|_| self.columns.is_block_random);
        let layers = block.chain(self.labels.layers.iter().take(n_layers));
        layers
            .map(|labels| labels.get(row).map_or("", String::as_str))
            .collect()
    }

    fn settings_of(&self, row: usize) -> Option<&Settings> {
        self.settings.of_rows.get(row)
    }

    /// Ids of the settings that take more than one value inside a level.
    fn varying_in(&self, levels: &[RowsOfRun]) -> Vec<&str> {
        let varies = |id: &str| {
            levels.iter().any(|rows| {
                let mut values = rows
                    .iter()
                    .map(|row| self.settings_of(*row).and_then(|settings| settings.get(id)));
                let first = values.next();
                values.any(|value| Some(value) != first)
            })
        };
        self.settings
            .entries
            .iter()
            .map(|entry| entry.id.as_str())
            .filter(|id| varies(id))
            .collect()
    }

    fn describe(&self, runs: &[RowsOfRun], rows_are_readings: bool, structure: &mut Structure) {
        let (n_runs, n_rows) = (runs.len(), self.places.len());
        let Some((innermost, _)) = self.columns.layers.last() else {
            structure.notes.push(format!(
                "Every row is a run: {n_runs} runs. Rows with equal settings are replicates."
            ));
            return;
        };
        let innermost = listed([*innermost]);
        if rows_are_readings {
            structure.notes.push(format!(
                "No setting varies inside a level of {innermost}, so its levels are the runs and the rows their readings: \
                 {n_runs} runs, {n_rows} rows."
            ));
        } else {
            let levels = self.levels(self.columns.layers.len());
            structure.notes.push(format!(
                "{} vary inside levels of {innermost}, so these are set-ups and every row is a run: {n_runs} runs in {} \
                 set-ups. Rows with equal settings inside one are replicates; if they are repeated readings, name the \
                 column of run numbers as one more layer.",
                listed(self.varying_in(&levels)),
                levels.len(),
            ));
        }
        self.describe_strata(structure);
    }

    /// Says to which layer a setting belongs: the outermost inside whose levels it never varies.
    fn describe_strata(&self, structure: &mut Structure) {
        let mut left: Vec<&str> = self
            .settings
            .entries
            .iter()
            .map(|entry| entry.id.as_str())
            .collect();
        for (index, (layer, _)) in self.columns.layers.iter().enumerate() {
            let varying = self.varying_in(&self.levels(index + 1));
            let (stay, go): (Vec<&str>, Vec<&str>) =
                left.into_iter().partition(|id| varying.contains(id));
            if !go.is_empty() {
                structure.notes.push(format!(
                    "Changed only between levels of {}: {}.",
                    listed([*layer]),
                    listed(go)
                ));
            }
            left = stay;
        }
        if !left.is_empty() {
            structure
                .notes
                .push(format!("Changed from run to run: {}.", listed(left)));
        }
    }

    /// Rows of one run lie in one block.
    fn check_agreement(&self, runs: &[RowsOfRun], found: &mut Found) {
        let (Some((_, column)), Some(block)) = (self.columns.block, &self.labels.block) else {
            return;
        };
        for rows in runs {
            let mut labels = rows
                .iter()
                .filter_map(|row| Some((self.places.get(*row)?, block.get(*row)?)));
            let Some((first_row, first)) = labels.next() else {
                continue;
            };
            for (row, text) in labels.filter(|(_, text)| *text != first) {
                let fault = ImportFault::DiffersInRun {
                    text: text.clone(),
                    first: first.clone(),
                    first_row: first_row.number,
                };
                found.add(
                    CellPlace::cell(*row, self.table.column_place(column)),
                    fault,
                );
            }
        }
    }

    /// The label of a run where labels are different whole numbers, the row where rows are runs, else a count.
    fn numbers(&self, runs: &[RowsOfRun], rows_are_readings: bool, found: &mut Found) -> Vec<u32> {
        let first_rows = || runs.iter().filter_map(|rows| rows.first());
        let numbers: Option<Vec<u32>> = if rows_are_readings {
            let labels = self.labels.layers.last();
            let own: Option<Vec<u32>> = first_rows()
                .map(|row| labels?.get(*row)?.parse().ok().filter(|number| *number > 0))
                .collect();
            let are_different =
                |numbers: &Vec<u32>| numbers.iter().collect::<BTreeSet<_>>().len() == numbers.len();
            own.filter(are_different).or_else(|| {
                (1..=runs.len())
                    .map(|number| u32::try_from(number).ok())
                    .collect()
            })
        } else {
            first_rows()
                .map(|row| u32::try_from(self.places.get(*row)?.number).ok())
                .collect()
        };
        numbers.unwrap_or_else(|| {
            found.add(CellPlace::TABLE, ImportFault::TooManyRuns);
            Vec::new()
        })
    }

    fn order_of(&self, rows: &[usize]) -> Option<f64> {
        let order = self.labels.order.as_ref()?;
        rows.iter()
            .filter_map(|row| order.get(*row))
            .copied()
            .reduce(f64::min)
    }

    /// Puts the runs into run order; those of equal order stay as they stand in the table.
    fn sort(&self, runs: &mut [(u32, RowsOfRun)], structure: &mut Structure) {
        if self.labels.order.is_none() {
            return;
        }
        let order = |rows: &RowsOfRun| self.order_of(rows).unwrap_or_default();
        runs.sort_by(|(_, a), (_, b)| order(a).total_cmp(&order(b)));
        let n_ties = runs
            .windows(2)
            .filter(
                |pair| matches!(pair, [(_, a), (_, b)] if order(a).total_cmp(&order(b)).is_eq()),
            )
            .count();
        if n_ties > 0 {
            structure.warnings.push(
                "The run order names some places twice; runs of one place follow each other as in the table.".to_owned(),
            );
        }
    }

    fn run(&self, number: u32, rows: &[usize], warnings: &mut Vec<String>) -> Run {
        let first = rows.first().copied().unwrap_or_default();
        let readings = self.readings_of(rows);
        let planned = self.settings_of(first).cloned().unwrap_or_default();
        Run {
            labels: self.labels_of(first),
            outcome: self.outcome_of(rows, !readings.is_empty()),
            positions: self.positions_of(number, rows, warnings),
            note: self.remarks_of(rows),
            readings,
            ..Run::new(number, RunRole::Plan, planned)
        }
    }

    fn labels_of(&self, row: usize) -> BTreeMap<String, String> {
        let layers = self
            .columns
            .layers
            .iter()
            .map(|(name, _)| *name)
            .zip(&self.labels.layers);
        let block = self
            .columns
            .block
            .map(|(name, _)| name)
            .zip(self.labels.block.as_ref());
        layers
            .chain(block)
            .filter_map(|(name, labels)| Some((name.to_owned(), labels.get(row)?.clone())))
            .collect()
    }

    /// Readings quality by quality within each row; rows of one place are its repeats.
    fn readings_of(&self, rows: &[usize]) -> Vec<Reading> {
        let mut n_of_place: BTreeMap<&str, u32> = BTreeMap::new();
        let mut readings = Vec::new();
        for row in rows {
            let place = self
                .labels
                .place
                .as_ref()
                .and_then(|places| places.get(*row))
                .map_or("", String::as_str);
            let repeat = n_of_place.entry(place).or_insert(0);
            *repeat += 1;
            for (quality, values) in self.readings.qualities.iter().zip(&self.readings.values) {
                let Some(Some(value)) = values.get(*row) else {
                    continue;
                };
                let area = self.readings.areas.get(*row).copied().flatten();
                readings.push(Reading {
                    quality: quality.id.clone(),
                    place: place.to_owned(),
                    repeat: *repeat,
                    value: value.clone(),
                    area: area.filter(|_| quality.kind == QualityKind::Count),
                    when: String::new(),
                    who: String::new(),
                    set_aside: None,
                    earlier: Vec::new(),
                });
            }
        }
        readings
    }

    /// Faulty if any row says so; sound if a row says so, or if no column judges films and there is something measured.
    fn outcome_of(&self, rows: &[usize], has_readings: bool) -> Outcome {
        let said = |row: &usize| {
            self.readings
                .outcomes
                .as_ref()
                .and_then(|outcomes| outcomes.get(*row)?.as_ref())
        };
        let mut faults: Vec<String> = Vec::new();
        let mut is_faulty = false;
        for row in rows {
            let named = self.readings.faults.get(*row).into_iter().flatten();
            let judged = match said(row) {
                Some(Outcome::Faulty { faults }) => {
                    is_faulty = true;
                    faults.as_slice()
                }
                Some(Outcome::Sound | Outcome::NotRun) | None => &[],
            };
            for fault in judged.iter().chain(named) {
                is_faulty = true;
                if !faults.contains(fault) {
                    faults.push(fault.clone());
                }
            }
        }
        let is_judged = self.readings.outcomes.is_some();
        let is_sound = if is_judged {
            rows.iter().any(|row| said(row) == Some(&Outcome::Sound))
        } else {
            has_readings
        };
        if is_faulty {
            Outcome::Faulty { faults }
        } else if is_sound {
            Outcome::Sound
        } else {
            Outcome::NotRun
        }
    }

    /// Where the run was; the mean, if its rows were at several positions.
    fn positions_of(
        &self,
        number: u32,
        rows: &[usize],
        warnings: &mut Vec<String>,
    ) -> BTreeMap<String, f64> {
        let mut positions = BTreeMap::new();
        for ((name, _), numbers) in self.columns.positions.iter().zip(&self.labels.positions) {
            let of_run: Vec<f64> = rows.iter().filter_map(|row| *numbers.get(*row)?).collect();
            let Some(first) = of_run.first() else {
                continue;
            };
            if of_run.iter().any(|number| number.total_cmp(first).is_ne()) {
                warnings.push(format!(
                    "Run {number} has several values of {}; it stands at their mean.",
                    listed([*name])
                ));
            }
            // Shifted by the first, so that equal numbers have themselves as their mean.
            let mean = first
                + of_run.iter().map(|number| number - first).sum::<f64>() / of_run.len() as f64;
            positions.insert((*name).to_owned(), mean);
        }
        positions
    }

    /// Unused columns as one note, `head: text; head: text`; different texts of one column go together.
    fn remarks_of(&self, rows: &[usize]) -> String {
        let mut of_head: Vec<(&str, Vec<&str>)> = Vec::new();
        for (head, text) in rows
            .iter()
            .filter_map(|row| self.labels.remarks.get(*row))
            .flatten()
        {
            match of_head.iter_mut().find(|(known, _)| known == head) {
                Some((_, texts)) if texts.contains(&text.as_str()) => {}
                Some((_, texts)) => texts.push(text),
                None => of_head.push((head, vec![text])),
            }
        }
        let parts: Vec<String> = of_head
            .into_iter()
            .map(|(head, texts)| format!("{head}: {}", texts.join(", ")))
            .collect();
        parts.join("; ")
    }

    /// Without layers, consecutive runs with the same values of all hard settings share a set-up; a random block ends
    /// it, because levels are nested in it.
    fn number_set_ups(&self, structure: &mut Structure) {
        let hard = &self.columns.hard;
        if hard.is_empty() {
            return;
        }
        if !self.columns.layers.is_empty() {
            let layers = listed(self.columns.layers.iter().map(|(name, _)| *name));
            structure.notes.push(format!(
                "Set-ups are those of the layers {layers}, not found from the hard settings."
            ));
            return;
        }
        let block = self
            .columns
            .block
            .map(|(name, _)| name)
            .filter(|_| self.columns.is_block_random);
        let mut n_set_ups = 0;
        let mut last: Option<(
            Vec<Option<super::super::project::SettingValue>>,
            Option<String>,
        )> = None;
        for run in &mut structure.runs {
            let values = hard
                .iter()
                .map(|id| run.planned.get(*id).cloned())
                .collect();
            let now = (values, block.and_then(|name| run.labels.get(name).cloned()));
            if last.as_ref() != Some(&now) {
                n_set_ups += 1;
                last = Some(now);
            }
            run.set_up = Some(n_set_ups);
        }
        structure.notes.push(format!(
            "{n_set_ups} set-ups from the run order: consecutive runs with the same {}.",
            listed(hard.iter().copied())
        ));
    }
}

/// Counts runs of equal settings in run order.
fn number_replicates(runs: &mut [Run]) {
    let mut n_of_settings: BTreeMap<String, u32> = BTreeMap::new();
    for run in runs {
        let settings: Vec<String> = run
            .planned
            .iter()
            .map(|(id, value)| format!("{id}\u{1f}{value}"))
            .collect();
        let n = n_of_settings.entry(settings.join("\u{1e}")).or_insert(0);
        *n += 1;
        run.replicate = *n;
    }
}
