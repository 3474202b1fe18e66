//! From a table of settings and readings to a project.
//!
//! What is said decides and nothing else: which columns are settings, readings, layers, places, blocks. What then
//! follows from the data (least and greatest values, levels, kinds, what is a run and what a reading of one) is found
//! here and told in notes. Everything that is wrong with a table is reported in one go.
//!
//! How layers stand in the project: [`Project::layers`] lists the named ones, outermost first, and every run carries its
//! labels; a level is its path of labels. Only set-ups that no column names, found from settings that are hard to
//! change, are numbered in `Run::set_up`.

mod columns;
mod qualities;
mod runs;
mod settings;

use columns::{Columns, Labels, Rows};
use qualities::{Readings, read_qualities};
use runs::{Structure, structure_of};
use settings::{SettingColumns, read_settings};

use super::project::{BlockChoice, PositionScale, Project, QualityKind};
use super::reading_text::ReadingError;
use super::table_cell::CellFault;
use super::table_problem::{CellPlace, Located, Problems, listed, shown};
use super::table_text::{Header, Table, TableOptions};
use super::unit::Unit;
use super::validity::{Problem, problems_of};

/// Most levels of a category: more of them than runs of any campaign are a column of numbers or notes.
pub const MOST_LEVELS: usize = 1000;

/// A numeric setting.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FactorSpec {
    /// Head of its column, with or without the unit; the setting's id.
    pub name: String,
    /// Least and greatest value; those of the column if left out.
    pub range: Option<(f64, f64)>,
    /// Unit of the range; that of the head if left out.
    pub unit: Option<String>,
}

/// A setting with named levels.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CategorySpec {
    /// Head of its column; the setting's id.
    pub name: String,
    /// Its levels in order; as met in the column if left out.
    pub levels: Option<Vec<String>>,
}

/// A film quality.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct ResponseSpec {
    /// Head of its column, with or without the unit; the quality's id.
    pub name: String,
    /// Its kind; found from the entries if left out.
    pub kind: Option<QualityKind>,
    /// Names of classes, best first.
    pub classes: Vec<String>,
}

/// A nuisance block.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct BlockSpec {
    /// Head of its column.
    pub name: String,
    /// True if its levels are a sample of many.
    pub random: bool,
}

/// What each column of a table is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ImportRequest {
    /// Numeric settings.
    pub factors: Vec<FactorSpec>,
    /// Settings with named levels.
    pub categories: Vec<CategorySpec>,
    /// Film qualities.
    pub responses: Vec<ResponseSpec>,
    /// The nuisance block.
    pub block: Option<BlockSpec>,
    /// Columns that say what rows share, outermost first.
    pub layers: Vec<String>,
    /// Column of places on the film.
    pub place: Option<String>,
    /// Settings that are hard to change.
    pub hard: Vec<String>,
    /// Column of the run order.
    pub order: Option<String>,
    /// Columns along which results may drift.
    pub positions: Vec<String>,
    /// Column of faults.
    pub fault: Option<String>,
    /// Column of the areas on which defects were counted.
    pub area: Option<String>,
    /// Words for a missing reading.
    pub missing: Vec<String>,
}

impl ImportRequest {
    /// How the table of this request is to be read.
    pub fn table_options(&self) -> TableOptions {
        TableOptions {
            delimiter: None,
            header: Header::FirstRow,
            missing: self.missing.clone(),
        }
    }
}

/// A project made from a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Imported {
    /// The project.
    pub project: Project,
    /// What was found from the data.
    pub notes: Vec<String>,
    /// What is doubtful.
    pub warnings: Vec<String>,
}

/// What a column is used for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ColumnUse {
    /// A numeric setting.
    Factor,
    /// A setting with named levels.
    Category,
    /// A film quality.
    Response,
    /// The block.
    Block,
    /// A layer.
    Layer,
    /// The place.
    Place,
    /// The run order.
    Order,
    /// A position.
    Position,
    /// The fault.
    Fault,
    /// The area of a count.
    Area,
}

impl ColumnUse {
    /// Words for messages.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Factor => "factor",
            Self::Category => "category",
            Self::Response => "response",
            Self::Block => "block",
            Self::Layer => "layer",
            Self::Place => "place",
            Self::Order => "order",
            Self::Position => "position",
            Self::Fault => "fault",
            Self::Area => "area",
        }
    }

    /// True if one column may be both: the run order is often the number of a run, and a position may also tell the
    /// days or rolls apart.
    pub(super) fn goes_with(self, other: Self) -> bool {
        let loose = |one: Self| matches!(one, Self::Order | Self::Position);
        let tight = |one: Self| {
            matches!(
                one,
                Self::Order | Self::Position | Self::Layer | Self::Block
            )
        };
        self != other && ((loose(self) && tight(other)) || (loose(other) && tight(self)))
    }
}

/// Why a table makes no project.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ImportFault {
    /// Nothing is said about any column.
    #[error(
        "Say at least which column is a factor, a category or a response. The columns are {heads}."
    )]
    NothingSaid {
        /// All heads.
        heads: String,
    },
    /// A column that the table does not have.
    #[error("There is no column \"{}\" for the {}. The columns are {heads}.", shown(name), role.label())]
    NoColumn {
        /// The name.
        name: String,
        /// What it was to be.
        role: ColumnUse,
        /// All heads.
        heads: String,
    },
    /// Two uses of one column.
    #[error("The column is named as {} and as {}. Give it one use.", one.label(), other.label())]
    TwoUses {
        /// One.
        one: ColumnUse,
        /// The other.
        other: ColumnUse,
    },
    /// A hard setting that is no setting.
    #[error(
        "\"{}\" is hard to change but neither factor nor category. Name it as one of them.",
        shown(name)
    )]
    HardNoSetting {
        /// The name.
        name: String,
    },
    /// A cell that is no number.
    #[error(transparent)]
    Cell(#[from] CellFault),
    /// A cell that is no reading.
    #[error(transparent)]
    Reading(#[from] ReadingError),
    /// A numeric setting whose column holds names.
    #[error(
        "The column holds text, such as \"{}\". If these are levels, name it as a category (--category).",
        shown(text)
    )]
    FactorIsText {
        /// The first text.
        text: String,
    },
    /// A setting without value.
    #[error("The setting has no value in this row. Fill it in, or take the row out.")]
    NoSetting,
    /// A limit where a plain number belongs.
    #[error("\"{}\" must be a plain number, without < or >.", shown(text))]
    LimitHere {
        /// The text.
        text: String,
    },
    /// A setting that never changes.
    #[error(
        "The column has one value throughout, {value}. Leave it out, or give the factor a range."
    )]
    OneValue {
        /// The value.
        value: f64,
    },
    /// A range that is none.
    #[error("{low} to {high} is no range. The first number must be below the second.")]
    NoRange {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
    /// A range in a unit that cannot be turned into the column's.
    #[error(
        "The range is in \"{}\", the column in \"{}\". Give the range in the column's unit.",
        shown(given),
        shown(head)
    )]
    RangeUnit {
        /// Unit of the range.
        given: String,
        /// Unit of the head.
        head: String,
    },
    /// A category with fewer than two levels.
    #[error(
        "A category needs two levels or more; there is {}. Leave the column out, or list the levels.",
        levels
    )]
    OneLevel {
        /// What there is.
        levels: String,
    },
    /// A category with too many levels to be one.
    #[error(
        "The column has {n_levels} different levels; a category may have {MOST_LEVELS}. Is it a number, or a note?"
    )]
    TooManyLevels {
        /// How many.
        n_levels: usize,
    },
    /// A level named twice.
    #[error("The level \"{}\" is listed twice. Take one out.", shown(level))]
    RepeatedLevel {
        /// The level.
        level: String,
    },
    /// A level that was not declared.
    #[error(
        "\"{}\" is none of the levels {levels}. Correct it, or list it too.",
        shown(text)
    )]
    NoLevel {
        /// The text.
        text: String,
        /// The levels.
        levels: String,
    },
    /// A label that is missing.
    #[error("The {} is missing in this row. Fill it in, or take the row out.", role.label())]
    NoLabel {
        /// What the column is.
        role: ColumnUse,
    },
    /// A line break or tab inside a name.
    #[error("\"{}\" goes over more than one line. Write it on one.", shown(text))]
    BrokenName {
        /// The text.
        text: String,
    },
    /// Words that may be classes.
    #[error(
        "The column holds words such as {words}, which are neither numbers nor sound and faulty. If they are classes, \
         list them, best first (--response NAME=class:GOOD,FAIR,BAD)."
    )]
    WordsUnclear {
        /// Some of the words.
        words: String,
    },
    /// Words for classes without their order.
    #[error(
        "The classes are words: {words}. List them in order, best first (--response NAME=class:GOOD,FAIR,BAD)."
    )]
    ClassOrder {
        /// The words.
        words: String,
    },
    /// Classes for another kind.
    #[error("A {} quality has no classes. Take the list out, or make it a class.", kind.key())]
    ClassesOfOther {
        /// The kind.
        kind: QualityKind,
    },
    /// A second column of sound and faulty.
    #[error(
        "\"{}\" already says whether the film is sound. Make this one a class of two words, the better one first \
         (--response NAME=class:PASS,FAIL).",
        shown(first)
    )]
    SecondSound {
        /// The first.
        first: String,
    },
    /// Sound and a fault at once.
    #[error(
        "The film is sound and yet has the fault \"{}\". Correct one of the two, or name the word as missing.",
        shown(fault)
    )]
    SoundWithFault {
        /// The fault.
        fault: String,
    },
    /// Rows of one run that must agree and do not.
    #[error(
        "\"{}\" differs from \"{}\" in row {first_row} of the same run. Correct one of them, or give the runs a layer of \
         their own.",
        shown(text),
        shown(first)
    )]
    DiffersInRun {
        /// The text.
        text: String,
        /// The text of the run's first row.
        first: String,
        /// That row.
        first_row: usize,
    },
    /// An area that is none.
    #[error("{value} is no area. It must be above zero.")]
    NoArea {
        /// The number.
        value: f64,
    },
    /// A count without area.
    #[error("There is a count but no area in this row. Fill it in.")]
    AreaMissing,
    /// A row without its place in the run order.
    #[error("The run order is missing in this row. Fill it in.")]
    OrderMissing,
    /// More rows than run numbers.
    #[error("The table has too many rows to number its runs. Split it.")]
    TooManyRuns,
    /// The project would contradict itself.
    #[error("{0}")]
    Invalid(Problem),
}

/// Everything that is wrong with a table, or with what was said about it.
pub type ImportErrors = Problems<ImportFault>;

/// Makes a project from a table; `project` gives title, id, time and seed.
///
/// # Errors
/// Every [`ImportFault`] with its row and column.
pub fn import(
    table: &Table,
    request: &ImportRequest,
    project: Project,
) -> Result<Imported, ImportErrors> {
    let mut found = Found::default();
    let columns = Columns::find(table, request, &mut found);
    let mut rows = Rows::new(table, &mut found);
    let settings = read_settings(&mut rows, request, &columns);
    let readings = read_qualities(&mut rows, &columns);
    let labels = Labels::read(&mut rows, &columns);
    let places = rows.places();
    found.settle()?;
    let structure = structure_of(table, &columns, &places, &settings, &readings, &labels)?;
    let imported = assemble(
        table,
        request,
        &columns,
        Parts {
            settings,
            readings,
            labels,
            structure,
        },
        project,
    );
    match problems_of(&imported.project).into_iter().next() {
        Some(problem) => Err(Problems::one(
            CellPlace::TABLE,
            ImportFault::Invalid(problem),
        )),
        None => Ok(imported),
    }
}

struct Parts {
    settings: SettingColumns,
    readings: Readings,
    labels: Labels,
    structure: Structure,
}

fn assemble(
    table: &Table,
    request: &ImportRequest,
    columns: &Columns<'_>,
    parts: Parts,
    mut project: Project,
) -> Imported {
    let Parts {
        settings,
        readings,
        labels,
        structure,
    } = parts;
    let numeric: Vec<usize> = columns
        .numbers()
        .chain(readings.numeric_columns.iter().copied())
        .collect();
    let mut notes: Vec<String> = table
        .delimiter_note()
        .into_iter()
        .chain(table.sign_notes(&numeric))
        .collect();
    let mut warnings = labels.warnings;
    for (new_notes, new_warnings) in [
        (settings.notes, settings.warnings),
        (readings.notes, readings.warnings),
        (structure.notes, structure.warnings),
    ] {
        notes.extend(new_notes);
        warnings.extend(new_warnings);
    }
    if !columns.unused.is_empty() {
        let heads = columns
            .unused
            .iter()
            .filter_map(|index| table.columns().get(*index));
        let heads = listed(heads.map(|column| column.head.as_str()));
        warnings.push(format!(
            "Kept as notes of the runs and used nowhere: {heads}."
        ));
    }
    project.settings = settings.entries;
    project.qualities = readings.qualities;
    project.layers.clone_from(&request.layers);
    project.block = request.block.as_ref().map(|block| BlockChoice {
        name: block.name.clone(),
        random: block.random,
    });
    project.positions = columns
        .positions
        .iter()
        .map(|(name, column)| PositionScale {
            name: (*name).to_owned(),
            unit: unit_of(table, *column),
        })
        .collect();
    project.area_unit = columns
        .area
        .map(|column| unit_of(table, column))
        .unwrap_or_default();
    project.runs = structure.runs;
    Imported {
        project,
        notes,
        warnings,
    }
}

/// The unit of a head: as the program writes it if it knows it, else as it stands.
fn unit_of(table: &Table, column: usize) -> String {
    let unit = table
        .columns()
        .get(column)
        .and_then(|column| column.unit.clone())
        .unwrap_or_default();
    match Unit::parse(&unit) {
        Ok(known) if !unit.is_empty() => known.symbol().to_owned(),
        Ok(_) | Err(_) => unit,
    }
}

/// Collects problems while going on.
#[derive(Debug, Default)]
struct Found(Vec<Located<ImportFault>>);

impl Found {
    fn add(&mut self, place: CellPlace, fault: impl Into<ImportFault>) {
        self.0.push(Located {
            place,
            fault: fault.into(),
        });
    }

    /// Ends with what was found: problems of columns and of the table first, then by row.
    fn settle(mut self) -> Result<(), ImportErrors> {
        self.0.sort_by(|a, b| a.place.cmp(&b.place));
        if self.0.is_empty() {
            Ok(())
        } else {
            Err(Problems(self.0))
        }
    }
}
