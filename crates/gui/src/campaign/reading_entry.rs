//! Readings from a table into a project that exists.
//!
//! Columns are matched by name, never by position; rows go to runs by the run number or, where every varied setting has
//! a column and no two runs share their settings, by these. Nothing that stands in the project is written over unless
//! that is asked for, and an empty cell never takes a reading back. The result is one command and a summary that names
//! every match.

mod draft;
mod matching;
mod rows;

use super::command::Command;
use super::project::{Project, QualityKind, ReadingValue};
use super::reading_text::ReadingError;
use super::table_cell::{CellFault, DecimalSign};
use super::table_problem::{Problems, listed, shown};
use super::table_text::Table;

pub use draft::Draft;
pub use matching::match_columns;

/// Where the cells of a column go.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Target {
    /// Nowhere.
    #[default]
    LeftOut,
    /// They are run numbers.
    Run,
    /// They are settings as planned: rows are found by them, or checked against the run.
    Setting(String),
    /// They are settings as run.
    AsRun(String),
    /// They are readings.
    Reading {
        /// Id of the quality.
        quality: String,
        /// Place on the film; empty if the rows say it, or nobody does.
        place: String,
    },
    /// They say what became of the film.
    Outcome,
    /// They name faults.
    Fault,
    /// They are notes.
    Note,
    /// They are metres on the roll.
    Metre,
    /// They are places on the film.
    Place,
    /// They are numbers of repeats.
    Repeat,
    /// They are areas on which defects were counted.
    Area,
}

impl Target {
    /// Words for the screen and the summary.
    pub fn label(&self, project: &Project) -> String {
        let setting = |id: &String| {
            project
                .setting(id)
                .map_or_else(|| id.clone(), |setting| setting.label.clone())
        };
        match self {
            Self::LeftOut => "left out".to_owned(),
            Self::Run => "run".to_owned(),
            Self::Setting(id) => setting(id),
            Self::AsRun(id) => format!("{}, as run", setting(id)),
            Self::Reading { quality, place } => {
                let label = project
                    .quality(quality)
                    .map_or_else(|| quality.clone(), |quality| quality.label.clone());
                if place.is_empty() {
                    label
                } else {
                    format!("{label}, {place}")
                }
            }
            Self::Outcome => "sound or faulty".to_owned(),
            Self::Fault => "fault".to_owned(),
            Self::Note => "note".to_owned(),
            Self::Metre => "metre".to_owned(),
            Self::Place => "place".to_owned(),
            Self::Repeat => "repeat".to_owned(),
            Self::Area => "area".to_owned(),
        }
    }

    /// Unit in which the project keeps the numbers; empty for anything without.
    pub fn unit(&self, project: &Project) -> String {
        match self {
            Self::Setting(id) | Self::AsRun(id) => project
                .setting(id)
                .map(|setting| setting.unit.clone())
                .unwrap_or_default(),
            Self::Reading { quality, .. } => project
                .quality(quality)
                .map(|quality| quality.unit.clone())
                .unwrap_or_default(),
            Self::Metre => "m".to_owned(),
            Self::Area => project.area_unit.clone(),
            Self::LeftOut
            | Self::Run
            | Self::Outcome
            | Self::Fault
            | Self::Note
            | Self::Place
            | Self::Repeat => String::new(),
        }
    }

    /// True if the cells are read as numbers.
    pub fn is_numeric(&self, project: &Project) -> bool {
        match self {
            Self::Run | Self::Metre | Self::Repeat | Self::Area => true,
            Self::Setting(id) | Self::AsRun(id) => project
                .setting(id)
                .is_some_and(|setting| setting.now.number().is_some()),
            Self::Reading { quality, .. } => {
                project
                    .quality(quality)
                    .is_some_and(|quality| match quality.kind {
                        QualityKind::Sound => false,
                        QualityKind::Class => quality.classes.is_empty(),
                        QualityKind::Continuous | QualityKind::Percent | QualityKind::Count => true,
                    })
            }
            Self::LeftOut | Self::Outcome | Self::Fault | Self::Note | Self::Place => false,
        }
    }
}

/// Why a column goes where it goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MatchedBy {
    /// Nothing is called so.
    #[default]
    Nothing,
    /// Its head is the name or id.
    Name,
    /// Its head begins the name, with the same unit, and no other name fits.
    Abbreviation,
    /// The user said so.
    Hand,
}

/// Whether heads may be shortened names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Abbreviations {
    /// Only whole names count.
    Refused,
    /// A head with a unit may begin the name of a quality of that unit; for previews that the user looks at.
    Proposed,
}

/// One column with its target.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct EntryColumn {
    /// Where its cells go.
    pub target: Target,
    /// Why.
    pub by: MatchedBy,
}

/// Which run a row belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum RowsGoTo {
    /// By run number, else by settings.
    #[default]
    Matched,
    /// One run a row in the project's order, from this run on, unless a column gives the run; the user pasted there.
    InOrderFrom(u32),
}

/// What to do where the project has another value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Differing {
    /// Refuse the table.
    #[default]
    Refuse,
    /// Take the new value; readings keep the old one in their history.
    Replace,
}

/// How a table is entered.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct EntryOptions {
    /// Which run a row belongs to.
    pub rows: RowsGoTo,
    /// What to do where the project has another value.
    pub differing: Differing,
    /// Now (UTC, RFC 3339).
    pub when: String,
    /// Who read.
    pub who: String,
}

/// How many values of a kind are new, and how many the project knew.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tally {
    /// Values where there was none.
    pub n_new: usize,
    /// Values that the project has already.
    pub n_same: usize,
    /// Values that take the place of others.
    pub n_replaced: usize,
}

/// A column as it was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ColumnSummary {
    /// Its head.
    pub head: String,
    /// Where it goes, in words.
    pub goes_to: String,
    /// Why.
    pub by: MatchedBy,
    /// Unit in which it was read: that of the head, else that of the project.
    pub unit: String,
    /// Its decimal sign, if a number shows one.
    pub sign: Option<DecimalSign>,
}

/// What a table brings.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct EntrySummary {
    /// Readings.
    pub readings: Tally,
    /// Films said to be sound or faulty.
    pub outcomes: Tally,
    /// Settings as run.
    pub as_run: Tally,
    /// Notes and metres.
    pub remarks: Tally,
    /// Columns that go somewhere.
    pub columns: Vec<ColumnSummary>,
    /// Heads of columns that go nowhere.
    pub left_out: Vec<String>,
    /// What was found from the data.
    pub notes: Vec<String>,
}

/// A table that can be entered.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The change; `None` if the project has everything already.
    pub command: Option<Command>,
    /// What it brings.
    pub summary: EntrySummary,
}

/// Why a table, or a cell of it, cannot be entered.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EntryFault {
    /// No column holds anything to enter.
    #[error(
        "No column is matched by anything that can be entered. The columns are {heads}; the project knows {known}."
    )]
    NothingToEnter {
        /// All heads.
        heads: String,
        /// Names of the project.
        known: String,
    },
    /// Nothing says which run a row is.
    #[error(
        "Nothing says which run a row is. Add a column \"run\", or a column for each varied setting (missing: {missing})."
    )]
    NoRunColumn {
        /// Varied settings without a column.
        missing: String,
    },
    /// Two columns for one thing.
    #[error(
        "The column \"{}\" already goes to {target}. Leave one of the two out.",
        shown(first)
    )]
    SecondColumn {
        /// Head of the first.
        first: String,
        /// What both go to.
        target: String,
    },
    /// A target that the project does not have.
    #[error(
        "The project has no \"{}\". Choose where the column goes.",
        shown(name)
    )]
    NoTarget {
        /// Its name.
        name: String,
    },
    /// A unit that cannot be turned into the project's.
    #[error(
        "The column is in \"{}\", the project in \"{}\". Convert the numbers, or correct the head.",
        shown(head),
        shown(wanted)
    )]
    Unit {
        /// Unit of the head.
        head: String,
        /// Unit of the project.
        wanted: String,
    },
    /// A cell that is no number.
    #[error(transparent)]
    Cell(#[from] CellFault),
    /// A cell that is no reading.
    #[error(transparent)]
    Reading(#[from] ReadingError),
    /// `<` or `>` where a plain number belongs.
    #[error("\"{}\" must be a plain number.", shown(text))]
    NoPlainNumber {
        /// The text.
        text: String,
    },
    /// A row without run.
    #[error("The run is missing in this row. Fill it in, or take the row out.")]
    RunMissing,
    /// A run that the project does not have.
    #[error("There is no run {}. {}", shown(text), known_runs(*first, *last))]
    NoRun {
        /// The text.
        text: String,
        /// Least run number of the project.
        first: Option<u32>,
        /// Greatest run number.
        last: Option<u32>,
    },
    /// More rows than runs.
    #[error(
        "There is no run for this row: the project ends with run {last}. Take out the rows beyond it."
    )]
    BeyondLastRun {
        /// The last run.
        last: u32,
    },
    /// Settings that no run has.
    #[error("No run has the settings {settings}. Correct them, or add a column \"run\".")]
    NoRunWithSettings {
        /// The settings.
        settings: String,
    },
    /// Settings that several runs have.
    #[error("The runs {runs} all have the settings {settings}. Add a column \"run\".")]
    SeveralRuns {
        /// Numbers of the runs.
        runs: String,
        /// The settings.
        settings: String,
    },
    /// A setting that is not the run's.
    #[error(
        "Run {run} is planned at {planned}, the table says \"{}\". Correct one of them; if it was run so, call the column \
         \"{} as run\".",
        shown(text),
        shown(setting)
    )]
    OtherSetting {
        /// The run.
        run: u32,
        /// Label of the setting.
        setting: String,
        /// The value in the project.
        planned: String,
        /// The text.
        text: String,
    },
    /// A setting without value, where rows are matched by settings.
    #[error("The setting has no value in this row. Fill it in, or add a column \"run\".")]
    SettingMissing,
    /// A level that the setting does not have.
    #[error("\"{}\" is none of the levels {levels}. Correct it.", shown(text))]
    NoLevel {
        /// The text.
        text: String,
        /// The levels.
        levels: String,
    },
    /// A place that the quality does not have.
    #[error(
        "{quality} is read at {places}, not at \"{}\". Correct the place, or add it to the film quality.",
        shown(place)
    )]
    NoPlace {
        /// Label of the quality.
        quality: String,
        /// The place.
        place: String,
        /// Its places.
        places: String,
    },
    /// A repeat that is none.
    #[error("\"{}\" is no repeat. Count repeats 1, 2, 3.", shown(text))]
    NoRepeat {
        /// The text.
        text: String,
    },
    /// An area that is none.
    #[error("\"{}\" is no area. It must be a number above zero.", shown(text))]
    NoArea {
        /// The text.
        text: String,
    },
    /// A value that stands in the table twice.
    #[error(
        "Row {first_row} already gives this value of run {run}. Take one out, or number the repeats in a column \"repeat\"."
    )]
    Twice {
        /// The run.
        run: u32,
        /// The earlier row.
        first_row: usize,
    },
    /// Rows of one run that contradict each other.
    #[error(
        "Row {first_row} says \"{}\" of run {run}, this row \"{}\". Correct one of them.",
        shown(first),
        shown(text)
    )]
    Contradiction {
        /// The run.
        run: u32,
        /// The earlier row.
        first_row: usize,
        /// What the earlier row says.
        first: String,
        /// What this row says.
        text: String,
    },
    /// Sound and a fault at once.
    #[error(
        "The film is sound and yet has the fault \"{}\". Correct one of the two.",
        shown(fault)
    )]
    SoundWithFault {
        /// The fault.
        fault: String,
    },
    /// Another value in the project.
    #[error(
        "Run {run} has \"{}\" here, the table says \"{}\". Correct one of them, or ask to replace (--replace).",
        shown(old),
        shown(new)
    )]
    Differs {
        /// The run.
        run: u32,
        /// The value of the project.
        old: String,
        /// The value of the table.
        new: String,
    },
}

fn known_runs(first: Option<u32>, last: Option<u32>) -> String {
    match (first, last) {
        (Some(first), Some(last)) => format!("The project has runs {first} to {last}."),
        (Some(_), None) | (None, Some(_) | None) => {
            "The project has no runs yet; make a plan first.".to_owned()
        }
    }
}

/// Everything that keeps a table from being entered.
pub type EntryErrors = Problems<EntryFault>;

/// Enters a table whose columns are matched by name.
///
/// # Errors
/// Every [`EntryFault`] with its row and column; nothing is entered then.
pub fn enter_table(
    table: &Table,
    project: &Project,
    options: &EntryOptions,
) -> Result<Entry, EntryErrors> {
    let columns = match_columns(table, project, Abbreviations::Refused);
    Draft::new(table, &columns, project, options).into_entry()
}

/// Names of everything that columns can be matched by, for messages.
fn known_names(project: &Project) -> String {
    listed(
        project
            .qualities
            .iter()
            .map(|quality| quality.label.as_str()),
    )
}

/// A value for messages, with its unit.
fn with_unit(value: &impl ToString, unit: &str) -> String {
    if unit.is_empty() {
        value.to_string()
    } else {
        format!("{} {unit}", value.to_string())
    }
}

/// True if two readings are the same, area included where one is given.
fn is_same(old: &super::project::Reading, value: &ReadingValue, area: Option<f64>) -> bool {
    old.value == *value && (area.is_none() || area == old.area)
}
