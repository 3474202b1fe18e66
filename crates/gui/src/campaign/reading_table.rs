//! The table of readings: what stands in each cell, what is missing, and what a typed text changes.
//!
//! A row is a run; it opens into its slots, one for each place on the film and repeat. A quality of a run shows the
//! mean of its readings that are not set aside. Nothing is filled in: a missing reading is counted as missing.

use std::collections::BTreeMap;

use super::command::{Command, ReadingEdit};
use super::decimals::{decimals_of, shared_decimals};
use super::project::{
    Outcome, Project, Quality, QualityKind, Reading, ReadingValue, Run, SettingEntry, SettingValue,
    Variation,
};
use super::reading_text::{ReadingError, read_outcome, read_reading};
use super::sentence_case::in_sentence;
use super::table_problem::{listed, shown};
use crate::number_text::{NumberError, format_number, parse_number};

/// A place on the film with the number of the repeat there.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Slot {
    /// Place; empty if places are not told apart.
    pub place: String,
    /// 1-based repeat.
    pub repeat: u32,
}

impl Slot {
    /// Words for a row: "left, reading 2"; "reading 1" without a place.
    pub fn label(&self) -> String {
        if self.place.is_empty() {
            format!("reading {}", self.repeat)
        } else {
            format!("{}, reading {}", self.place, self.repeat)
        }
    }
}

/// Faults that are offered before any was written down, in trade words.
pub const USUAL_FAULTS: [&str; 6] = [
    "cross bars",
    "ribs",
    "streaks",
    "pinholes",
    "bare edge",
    "tacky",
];

/// The usual faults and those that the project's runs have, each once.
pub fn known_faults(project: &Project) -> Vec<String> {
    let mut faults: Vec<String> = USUAL_FAULTS.map(str::to_owned).to_vec();
    for run in &project.runs {
        if let Outcome::Faulty { faults: own } = &run.outcome {
            for fault in own {
                if !faults.contains(fault) {
                    faults.push(fault.clone());
                }
            }
        }
    }
    faults
}

/// Places at which a quality is read in a run: its own, then others that the run has readings of.
pub fn places(run: &Run, quality: &Quality) -> Vec<String> {
    let mut places = quality.places.clone();
    for reading in run.readings.iter().filter(|r| r.quality == quality.id) {
        if !places.contains(&reading.place) {
            places.push(reading.place.clone());
        }
    }
    if places.is_empty() {
        places.push(String::new());
    }
    places
}

/// Slots of a quality in a run: every place with its first repeat and all repeats that were read.
pub fn slots(run: &Run, quality: &Quality) -> Vec<Slot> {
    let mut slots = Vec::new();
    for place in places(run, quality) {
        let mut repeats: Vec<u32> = run
            .readings
            .iter()
            .filter(|r| r.quality == quality.id && r.place == place)
            .map(|r| r.repeat)
            .collect();
        repeats.push(1);
        repeats.sort_unstable();
        repeats.dedup();
        slots.extend(repeats.into_iter().map(|repeat| Slot {
            place: place.clone(),
            repeat,
        }));
    }
    slots
}

/// Slots of all qualities of a run, place by place, with `n_more` empty repeats at every place.
pub fn slots_of_run(project: &Project, run: &Run, n_more: u32) -> Vec<Slot> {
    let mut order: Vec<String> = Vec::new();
    let mut last: BTreeMap<String, u32> = BTreeMap::new();
    for quality in measured(project) {
        for slot in slots(run, quality) {
            if !order.contains(&slot.place) {
                order.push(slot.place.clone());
            }
            let most = last.entry(slot.place).or_insert(1);
            *most = (*most).max(slot.repeat);
        }
    }
    let mut all = Vec::new();
    for place in order {
        let most = last
            .get(&place)
            .copied()
            .unwrap_or(1)
            .saturating_add(n_more);
        all.extend((1..=most).map(|repeat| Slot {
            place: place.clone(),
            repeat,
        }));
    }
    all
}

/// Whether a quality is read at a place.
pub fn is_read_at(run: &Run, quality: &Quality, place: &str) -> bool {
    places(run, quality).iter().any(|known| known == place)
}

/// Qualities that are read; whether a film is sound is judged instead.
pub fn measured(project: &Project) -> impl Iterator<Item = &Quality> {
    project
        .qualities
        .iter()
        .filter(|quality| quality.kind != QualityKind::Sound)
}

/// What a quality of a run comes to.
#[derive(Debug, Clone, PartialEq)]
pub enum CellState {
    /// The run was not run and has no reading.
    NotRun,
    /// The film is faulty and has no reading.
    NoFilm,
    /// A sound film without a reading that counts.
    Missing,
    /// There are readings.
    Read {
        /// Mean of the exact readings; `None` for named classes.
        mean: Option<f64>,
        /// Readings by place and repeat, as fractions of the mean away from it; empty for one reading.
        deviations: Vec<f64>,
        /// Readings that are set aside.
        n_set_aside: usize,
        /// Places without a reading.
        n_missing: usize,
    },
}

/// Readings of one quality that count.
fn counted<'a>(run: &'a Run, quality: &'a Quality) -> impl Iterator<Item = &'a Reading> {
    run.readings
        .iter()
        .filter(|r| r.quality == quality.id && r.set_aside.is_none())
}

/// How many places of a quality lack a reading: none unless the film is sound.
pub fn n_missing(run: &Run, quality: &Quality) -> usize {
    if run.outcome != Outcome::Sound || quality.kind == QualityKind::Sound {
        return 0;
    }
    let has = |place: &str| {
        run.readings
            .iter()
            .any(|r| r.quality == quality.id && r.place == place)
    };
    // A reading without a place stands for the whole film.
    if quality.places.is_empty() || has("") {
        return usize::from(!run.readings.iter().any(|r| r.quality == quality.id));
    }
    quality.places.iter().filter(|place| !has(place)).count()
}

/// What a quality of a run comes to.
pub fn cell_state(run: &Run, quality: &Quality) -> CellState {
    let readings: Vec<&Reading> = counted(run, quality).collect();
    if readings.is_empty() {
        return match run.outcome {
            Outcome::NotRun => CellState::NotRun,
            Outcome::Faulty { .. } => CellState::NoFilm,
            Outcome::Sound => CellState::Missing,
        };
    }
    let numbers: Vec<f64> = readings
        .iter()
        .filter_map(|r| number_of(&r.value))
        .collect();
    let mean = (!numbers.is_empty()).then(|| numbers.iter().sum::<f64>() / numbers.len() as f64);
    let deviations = match mean {
        Some(mean) if numbers.len() > 1 && mean != 0.0 => numbers
            .iter()
            .map(|number| (number - mean) / mean.abs())
            .collect(),
        Some(_) | None => Vec::new(),
    };
    let n_all = run
        .readings
        .iter()
        .filter(|r| r.quality == quality.id)
        .count();
    CellState::Read {
        mean,
        deviations,
        n_set_aside: n_all - readings.len(),
        n_missing: n_missing(run, quality),
    }
}

const fn number_of(value: &ReadingValue) -> Option<f64> {
    match value {
        ReadingValue::Exact(number) | ReadingValue::Below(number) | ReadingValue::Above(number) => {
            Some(*number)
        }
        ReadingValue::Class(_) => None,
    }
}

/// A reading with a number of decimals, or the more that it needs.
pub fn value_text(value: &ReadingValue, n_decimals: usize) -> String {
    let number = |x: f64| format_number(x, n_decimals.max(decimals_of(x)));
    match value {
        ReadingValue::Exact(x) => number(*x),
        ReadingValue::Below(x) => format!("< {}", number(*x)),
        ReadingValue::Above(x) => format!("> {}", number(*x)),
        ReadingValue::Class(name) => name.clone(),
    }
}

/// The mean of a quality's readings in words. Where readings are only known to lie below (above) a value, so does the
/// mean; where both occur, the number of readings stands there instead.
pub fn mean_text(run: &Run, quality: &Quality, n_decimals: usize) -> String {
    let readings: Vec<&Reading> = counted(run, quality).collect();
    if let [only] = readings.as_slice() {
        return value_text(&only.value, n_decimals);
    }
    let is = |wanted: fn(&ReadingValue) -> bool| readings.iter().any(|r| wanted(&r.value));
    let below = is(|value| matches!(value, ReadingValue::Below(_)));
    let above = is(|value| matches!(value, ReadingValue::Above(_)));
    let CellState::Read {
        mean: Some(mean), ..
    } = cell_state(run, quality)
    else {
        let mut classes: Vec<String> = Vec::new();
        for reading in readings {
            let name = value_text(&reading.value, 0);
            if !classes.contains(&name) {
                classes.push(name);
            }
        }
        return classes.join(" / ");
    };
    let number = format_number(mean, n_decimals);
    match (below, above) {
        (false, false) => number,
        (true, false) => format!("< {number}"),
        (false, true) => format!("> {number}"),
        (true, true) => format!("{} readings", readings.len()),
    }
}

/// A column of settings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SettingColumn {
    /// Id of the setting.
    pub id: String,
    /// Its name.
    pub label: String,
    /// Its unit.
    pub unit: String,
    /// Decimals of its numbers.
    pub n_decimals: usize,
}

/// A column of readings.
#[derive(Debug, Clone, PartialEq)]
pub struct QualityColumn {
    /// Id of the quality.
    pub id: String,
    /// Its name.
    pub label: String,
    /// Its unit, or its classes from first to last.
    pub unit: String,
    /// Decimals of its numbers.
    pub n_decimals: usize,
    /// Widest deviation of a reading from the mean of its run, as a fraction of that mean; 0 without repeats.
    pub spread: f64,
    /// Places without a reading, over all sound films.
    pub n_missing: usize,
}

/// Columns and counts of the table; cells are made from the project row by row.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReadingTable {
    /// Varied settings.
    pub settings: Vec<SettingColumn>,
    /// Qualities that are read.
    pub qualities: Vec<QualityColumn>,
    /// Sound films.
    pub n_sound: usize,
    /// Faulty films.
    pub n_faulty: usize,
    /// Runs still to be run.
    pub n_not_run: usize,
}

impl ReadingTable {
    /// Columns and counts of a project.
    pub fn new(project: &Project) -> Self {
        let count = |wanted: fn(&Outcome) -> bool| {
            project
                .runs
                .iter()
                .filter(|run| wanted(&run.outcome))
                .count()
        };
        Self {
            settings: project
                .varied()
                .map(|setting| setting_column(project, setting))
                .collect(),
            qualities: measured(project)
                .map(|quality| quality_column(project, quality))
                .collect(),
            n_sound: count(|outcome| matches!(outcome, Outcome::Sound)),
            n_faulty: count(|outcome| matches!(outcome, Outcome::Faulty { .. })),
            n_not_run: count(|outcome| matches!(outcome, Outcome::NotRun)),
        }
    }

    /// Where one stands, in one or two sentences.
    pub fn sentence(&self) -> String {
        let n_runs = self.n_sound + self.n_faulty + self.n_not_run;
        if n_runs == 0 {
            return "No runs yet.".to_owned();
        }
        if self.n_sound + self.n_faulty == 0 {
            return format!("{} to run. Nothing is read yet.", many(n_runs, "run"));
        }
        let mut words = format!(
            "{}, {} faulty",
            many(self.n_sound, "sound run"),
            self.n_faulty
        );
        if self.n_not_run > 0 {
            words = format!("{words}, {} still to run", self.n_not_run);
        }
        format!("{words}. {}", self.missing_words())
    }

    fn missing_words(&self) -> String {
        let lacking: Vec<&QualityColumn> =
            self.qualities.iter().filter(|q| q.n_missing > 0).collect();
        let total: usize = lacking.iter().map(|q| q.n_missing).sum();
        let is = if total == 1 { "is" } else { "are" };
        match lacking.as_slice() {
            [] if self.qualities.is_empty() => "No film quality is named yet.".to_owned(),
            [] => "No reading is missing.".to_owned(),
            [one] => format!(
                "{} of {} {is} still missing.",
                many(total, "reading"),
                in_sentence(&one.label)
            ),
            [one, two] => format!(
                "{} of {} and {} of {} are still missing.",
                many(one.n_missing, "reading"),
                in_sentence(&one.label),
                two.n_missing,
                in_sentence(&two.label)
            ),
            more => format!(
                "{total} readings of {} qualities are still missing.",
                more.len()
            ),
        }
    }
}

fn many(n: usize, what: &str) -> String {
    if n == 1 {
        format!("{n} {what}")
    } else {
        format!("{n} {what}s")
    }
}

fn setting_column(project: &Project, setting: &SettingEntry) -> SettingColumn {
    let values = project
        .runs
        .iter()
        .filter_map(|run| run.setting(&setting.id).and_then(SettingValue::number));
    SettingColumn {
        id: setting.id.clone(),
        label: setting.label.clone(),
        unit: setting.unit.clone(),
        n_decimals: shared_decimals(setting.step.into_iter().chain(values)),
    }
}

fn quality_column(project: &Project, quality: &Quality) -> QualityColumn {
    let readings = project
        .runs
        .iter()
        .flat_map(|run| &run.readings)
        .filter(|reading| reading.quality == quality.id);
    let spread = project
        .runs
        .iter()
        .map(|run| match cell_state(run, quality) {
            CellState::Read { deviations, .. } => {
                deviations.iter().fold(0.0_f64, |most, d| most.max(d.abs()))
            }
            CellState::NotRun | CellState::NoFilm | CellState::Missing => 0.0,
        })
        .fold(0.0_f64, f64::max);
    let unit = match (quality.classes.first(), quality.classes.last()) {
        (Some(first), Some(last)) => format!("{first} to {last}"),
        _ => quality.unit.clone(),
    };
    QualityColumn {
        id: quality.id.clone(),
        label: quality.label.clone(),
        unit,
        n_decimals: shared_decimals(readings.filter_map(|r| number_of(&r.value))),
        spread,
        n_missing: project.runs.iter().map(|run| n_missing(run, quality)).sum(),
    }
}

/// A value of a setting with a number of decimals, or the more that it needs.
pub fn setting_text(value: &SettingValue, n_decimals: usize) -> String {
    match value {
        SettingValue::Number(number) => {
            format_number(*number, n_decimals.max(decimals_of(*number)))
        }
        SettingValue::Level(level) => level.clone(),
    }
}

/// Settings in one line: "2.40 m/min, 10.0 µm, gap 250 µm"; those that the map lacks are left out.
pub fn settings_words(
    project: &Project,
    table: &ReadingTable,
    value_of: impl Fn(&str) -> Option<SettingValue>,
) -> String {
    let words: Vec<String> = table
        .settings
        .iter()
        .filter_map(|column| {
            let value = value_of(&column.id)?;
            let text = setting_text(&value, column.n_decimals);
            let name = project
                .setting(&column.id)
                .map_or_else(String::new, |setting| in_sentence(&setting.label));
            Some(
                format!("{name} {text} {}", column.unit)
                    .trim_end()
                    .to_owned(),
            )
        })
        .collect();
    words.join(", ")
}

/// What became of a film, in words for its cell.
pub fn outcome_text(outcome: &Outcome) -> String {
    match outcome {
        Outcome::NotRun => "not run".to_owned(),
        Outcome::Sound => "sound".to_owned(),
        Outcome::Faulty { faults } if faults.is_empty() => "faulty".to_owned(),
        Outcome::Faulty { faults } => format!("faulty: {}", faults.join(", ")),
    }
}

/// Why a typed text does not fit its cell.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CellEntryError {
    /// It is no reading.
    #[error(transparent)]
    Reading(#[from] ReadingError),
    /// Not one value for each slot.
    #[error(
        "{n_given} of {} readings were typed. Type them in this order, a semicolon between: {slots}; or open the run.",
        n_wanted
    )]
    NValues {
        /// Values that were typed.
        n_given: usize,
        /// Readings there are.
        n_wanted: usize,
        /// The slots in order.
        slots: String,
    },
    /// The quality is not read there.
    #[error("{quality} is read at {places}, not here.")]
    NotReadHere {
        /// Label of the quality.
        quality: String,
        /// Its places.
        places: String,
    },
    /// It is no number.
    #[error(transparent)]
    Number(#[from] NumberError),
    /// A level that the setting does not have.
    #[error("\"{}\" is none of the levels {levels}.", shown(text))]
    NoLevel {
        /// The text.
        text: String,
        /// The levels.
        levels: String,
    },
    /// A metre before the start of the roll.
    #[error("{value} m lies before the start of the roll. Type 0 or more.")]
    NegativeMetre {
        /// The metre.
        value: f64,
    },
    /// The run, setting or quality is gone.
    #[error("There is no {what} any more.")]
    Gone {
        /// What was looked for.
        what: String,
    },
}

/// One typed reading in its slot.
///
/// # Errors
/// [`CellEntryError`] if the text is no reading of the quality, or the quality is not read at the place.
pub fn read_slot(
    text: &str,
    run: &Run,
    quality: &Quality,
    slot: &Slot,
    when: &str,
) -> Result<ReadingEdit, CellEntryError> {
    if !is_read_at(run, quality, &slot.place) {
        let places = quality.places.iter().map(String::as_str);
        return Err(CellEntryError::NotReadHere {
            quality: quality.label.clone(),
            places: if quality.places.is_empty() {
                "the film as a whole".to_owned()
            } else {
                listed(places)
            },
        });
    }
    Ok(ReadingEdit {
        run: run.number,
        quality: quality.id.clone(),
        place: slot.place.clone(),
        repeat: slot.repeat,
        value: Some(read_reading(text, quality)?),
        area: None,
        when: when.to_owned(),
        who: String::new(),
    })
}

/// What is typed into the cell of a run: one reading for each slot, a semicolon between them.
///
/// # Errors
/// [`CellEntryError`] if the number of readings is another, or one of them is none.
pub fn read_quality_cell(
    text: &str,
    run: &Run,
    quality: &Quality,
    when: &str,
) -> Result<Vec<ReadingEdit>, CellEntryError> {
    let slots = slots(run, quality);
    let texts: Vec<&str> = text.split(';').map(str::trim).collect();
    if texts.len() != slots.len() {
        let labels: Vec<String> = slots.iter().map(Slot::label).collect();
        return Err(CellEntryError::NValues {
            n_given: texts.len(),
            n_wanted: slots.len(),
            slots: labels.join("; "),
        });
    }
    let edits: Result<Vec<ReadingEdit>, CellEntryError> = texts
        .iter()
        .zip(&slots)
        .map(|(text, slot)| read_slot(text, run, quality, slot, when))
        .collect();
    Ok(edits?
        .into_iter()
        .filter(|edit| {
            let known = run.reading(&edit.quality, &edit.place, edit.repeat);
            known.map(|reading| &reading.value) != edit.value.as_ref()
        })
        .collect())
}

/// A typed value of a setting as it was run; the plan's own value takes the difference back.
///
/// # Errors
/// [`CellEntryError`] if the text is no number or no level of the setting.
pub fn read_as_run(
    text: &str,
    run: &Run,
    setting: &SettingEntry,
) -> Result<Command, CellEntryError> {
    let value = if let Variation::Categories { levels } = &setting.variation {
        let level = levels.iter().find(|level| level.as_str() == text.trim());
        SettingValue::Level(level.cloned().ok_or_else(|| CellEntryError::NoLevel {
            text: text.to_owned(),
            levels: listed(levels.iter().map(String::as_str)),
        })?)
    } else {
        SettingValue::Number(parse_number(text)?)
    };
    let mut as_run = run.as_run.clone();
    if run.target(&setting.id) == Some(&value) {
        as_run.remove(&setting.id);
    } else {
        as_run.insert(setting.id.clone(), value);
    }
    Ok(Command::SetAsRun {
        run: run.number,
        as_run,
    })
}

/// A typed metre; an empty text means that none was written down.
///
/// # Errors
/// [`CellEntryError`] if the text is no number, or a negative one.
pub fn read_metre(text: &str) -> Result<Option<f64>, CellEntryError> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let value = parse_number(text)?;
    if value < 0.0 {
        return Err(CellEntryError::NegativeMetre { value });
    }
    Ok(Some(value))
}

/// What is typed into the cell of the film: sound, faulty, faulty with faults behind a colon, or not run.
///
/// # Errors
/// [`CellEntryError`] if it is none of these.
pub fn read_film_cell(text: &str) -> Result<Outcome, CellEntryError> {
    if text.trim().eq_ignore_ascii_case("not run") {
        return Ok(Outcome::NotRun);
    }
    Ok(read_outcome(text)?)
}
