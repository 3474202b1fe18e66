//! The project: everything that someone typed, chose, measured or was promised, and nothing that can be computed.
//!
//! Two things that could be computed are stored all the same because they are promises: the frozen plan and the
//! intervals promised for check runs. They must not change under people's feet.

use std::collections::BTreeMap;
use std::fmt;

use serde::{Deserialize, Serialize};

use wetlane_physics::{HeadKind, Station};

use super::card::Card;
use crate::number_text::parse_number;

/// Name of the file format.
pub const FORMAT: &str = "wetlane-project";
/// Newest version of the file format that this program reads and the only one that it writes.
pub const VERSION: u32 = 1;

/// A campaign on one film.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Project {
    /// Always [`FORMAT`].
    pub format: String,
    /// Format version.
    pub version: u32,
    /// Version of the program that wrote it.
    pub program: String,
    /// Random name of this project, kept by its copies.
    pub id: String,
    /// Title.
    pub title: String,
    /// What the film is for; demo projects say here that they are invented.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub purpose: String,
    /// When it was made (UTC, RFC 3339).
    pub created: String,
    /// Seed of every random choice.
    pub seed: u64,
    /// The ink.
    #[serde(default)]
    pub ink: Card,
    /// The foil.
    #[serde(default)]
    pub foil: Card,
    /// The line; `None` in a project made from a table of numbers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<LineCard>,
    /// Everything that can be set.
    #[serde(default)]
    pub settings: Vec<SettingEntry>,
    /// Film qualities with their goals.
    #[serde(default)]
    pub qualities: Vec<Quality>,
    /// How limits are judged.
    #[serde(default)]
    pub limits: LimitChoices,
    /// What there is of ink, foil and time.
    #[serde(default)]
    pub budget: Budget,
    /// Names of layers that the runs share, outermost first, beside day, roll, bottle and set-up.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub layers: Vec<String>,
    /// The nuisance block, if there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub block: Option<BlockChoice>,
    /// What says how far along a run was (metre, hours, age of the ink), for drift.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub positions: Vec<PositionScale>,
    /// Unit of the areas on which defects are counted; empty if areas are not told apart.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub area_unit: String,
    /// The plan as it was frozen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub plan: Option<PlanRecord>,
    /// The runs, in run order.
    #[serde(default)]
    pub runs: Vec<Run>,
    /// How each quality is fitted, by quality id; nothing here means the default.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub analyses: BTreeMap<String, AnalysisChoice>,
    /// The chosen point and its check runs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub choice: Option<ChosenPoint>,
    /// Named steps that lie behind this state, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub history: Vec<HistoryStep>,
}

/// How the web runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
#[serde(rename_all = "snake_case")]
pub enum WebMode {
    /// From an unwinder to a rewinder.
    #[default]
    RollToRoll,
    /// A foil clamped on one roll.
    SingleRoll,
}

/// The line: its own card and its stations in web order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LineCard {
    /// How the web runs.
    #[serde(default)]
    pub web: WebMode,
    /// Speeds, room, open path, leader.
    pub card: Card,
    /// Stations in web order.
    pub stations: Vec<StationCard>,
}

impl WebMode {
    /// Both.
    pub const ALL: [Self; 2] = [Self::RollToRoll, Self::SingleRoll];

    /// Words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::RollToRoll => "from roll to roll",
            Self::SingleRoll => "a sheet on one roll",
        }
    }
}

impl LineCard {
    /// The line with one station more, at its usual place along the web.
    #[must_use]
    pub fn with_station(&self, station: StationCard) -> Self {
        let mut line = self.clone();
        let at = line
            .stations
            .iter()
            .position(|known| known.kind > station.kind)
            .unwrap_or(line.stations.len());
        line.stations.insert(at, station);
        line
    }
}

/// What a station is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StationKind {
    /// Plasma pre-treatment.
    Plasma,
    /// Slot-die head with its metering pump.
    SlotDie,
    /// Knife, comma bar or blade over a roll.
    Knife,
    /// Wire-wound bar.
    WireBar,
    /// Gravure unit.
    Gravure,
    /// Flexo unit.
    Flexo,
    /// Heated roller.
    HeatedRoller,
    /// Infrared lamps.
    Infrared,
    /// Hot-gas dryer.
    HotGasDryer,
    /// Laminator.
    Laminator,
    /// Ultraviolet lamp.
    Ultraviolet,
}

impl StationKind {
    /// The kind of head, if it is one.
    pub const fn head(self) -> Option<HeadKind> {
        match self {
            Self::SlotDie => Some(HeadKind::SlotDie),
            Self::Knife => Some(HeadKind::Knife),
            Self::WireBar => Some(HeadKind::WireBar),
            Self::Gravure => Some(HeadKind::Gravure),
            Self::Flexo => Some(HeadKind::Flexo),
            Self::Plasma
            | Self::HeatedRoller
            | Self::Infrared
            | Self::HotGasDryer
            | Self::Laminator
            | Self::Ultraviolet => None,
        }
    }

    /// The station of physics whose limits belong to it.
    pub const fn in_physics(self) -> Station {
        match self {
            Self::Plasma => Station::Plasma,
            Self::SlotDie | Self::Knife | Self::WireBar | Self::Gravure | Self::Flexo => {
                Station::Head
            }
            Self::HeatedRoller => Station::Roller,
            Self::Infrared => Station::Infrared,
            Self::HotGasDryer => Station::Dryer,
            Self::Laminator => Station::Laminator,
            Self::Ultraviolet => Station::Uv,
        }
    }
}

/// One station.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StationCard {
    /// What it is.
    pub kind: StationKind,
    /// Its values.
    pub card: Card,
}

/// What a setting means to the line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Web speed.
    Speed,
    /// Seconds in the dryer; the speed follows.
    DryerTime,
    /// Pump flow.
    Flow,
    /// Wet film thickness; the flow follows.
    WetThickness,
    /// Dry film thickness; the flow follows.
    DryThickness,
    /// Dry mass per area; the flow follows.
    CoatWeight,
    /// Coating gap.
    Gap,
    /// Coating gap over wet thickness; the gap follows.
    GapToWet,
    /// Wire diameter of a bar.
    WireDiameter,
    /// Volume of the cells of an engraved roll.
    CellVolume,
    /// Speed of an engraved roll over that of the web.
    SpeedRatio,
    /// How far plate and foil of a flexo unit are pressed together.
    Impression,
    /// Capillary number of the film; the speed follows.
    CapillaryNumber,
    /// Temperature of the ink in the head.
    InkTemperature,
    /// Vacuum under the bead.
    Vacuum,
    /// Plasma power.
    PlasmaPower,
    /// Plasma dose; the power follows.
    PlasmaDose,
    /// Heated-roller temperature.
    RollerTemperature,
    /// Irradiance of the infrared lamps.
    InfraredPower,
    /// Dryer gas temperature.
    GasTemperature,
    /// Tension of the web, per width.
    Tension,
    /// Load of the laminator's nip, per width.
    NipLoad,
    /// Temperature of the laminator's hot roller.
    LaminationTemperature,
    /// Ultraviolet lamp power as a share of full power.
    UvPower,
    /// Ultraviolet dose; the lamp power follows.
    UvDose,
    /// Solids of the ink (another bottle).
    Solids,
    /// Viscosity of the ink (another bottle).
    Viscosity,
    /// A setting of the user's own that no limit knows.
    Free,
}

/// A value of a setting: a number in the setting's unit, or a level of a category.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum SettingValue {
    /// A number in the setting's unit.
    Number(f64),
    /// The name of a level.
    Level(String),
}

impl SettingValue {
    /// The number, if it is one.
    pub const fn number(&self) -> Option<f64> {
        match self {
            Self::Number(number) => Some(*number),
            Self::Level(_) => None,
        }
    }

    /// The number that the limits see: the number itself, or the one that a level's name reads as. An engraved roll
    /// may be a category to the fit (rolls differ in more than their volume) and still have its volume for its name.
    pub fn measure(&self) -> Option<f64> {
        match self {
            Self::Number(number) => Some(*number),
            Self::Level(level) => parse_number(level).ok(),
        }
    }

    /// The level, if it is one.
    pub fn level(&self) -> Option<&str> {
        match self {
            Self::Number(_) => None,
            Self::Level(level) => Some(level),
        }
    }
}

impl fmt::Display for SettingValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(number) => write!(f, "{number}"),
            Self::Level(level) => f.write_str(level),
        }
    }
}

/// Settings of a run by setting id.
pub type Settings = BTreeMap<String, SettingValue>;

/// How much trouble a change is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, Default,
)]
#[serde(rename_all = "snake_case")]
pub enum EffortClass {
    /// While the web runs.
    #[default]
    OnTheFly,
    /// Stop and wait.
    StopAndWait,
    /// Strip down, clean, fill again.
    StripDown,
}

impl EffortClass {
    /// All classes, least trouble first.
    pub const ALL: [Self; 3] = [Self::OnTheFly, Self::StopAndWait, Self::StripDown];

    /// Words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::OnTheFly => "on the fly",
            Self::StopAndWait => "stop and wait",
            Self::StripDown => "strip down",
        }
    }
}

/// Effort of a change.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct Effort {
    /// Class.
    pub class: EffortClass,
    /// Minutes lost.
    #[serde(default)]
    pub minutes: f64,
}

/// Over what a setting is varied.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Variation {
    /// Kept at its present value.
    Fixed,
    /// Any number of a range.
    Range {
        /// Least value.
        low: f64,
        /// Greatest value.
        high: f64,
        /// True if equal ratios count equally.
        #[serde(default)]
        log: bool,
    },
    /// Some numbers, ascending.
    Levels {
        /// The numbers.
        levels: Vec<f64>,
    },
    /// Named levels.
    Categories {
        /// The levels in order.
        levels: Vec<String>,
    },
}

/// One thing that can be set.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SettingEntry {
    /// Lower-snake name for files and the command line.
    pub id: String,
    /// Name on screen.
    pub label: String,
    /// What it means to the line.
    pub role: Role,
    /// Unit of all its numbers.
    #[serde(default)]
    pub unit: String,
    /// Present value: the fixed value, and the place of the cross.
    pub now: SettingValue,
    /// Whether and how it is varied.
    pub variation: Variation,
    /// Smallest step that can be set.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub step: Option<f64>,
    /// Standard deviation with which a set value is hit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub scatter: Option<f64>,
    /// Effort of a change.
    #[serde(default)]
    pub effort: Effort,
}

impl SettingEntry {
    /// True unless it is fixed.
    pub const fn is_varied(&self) -> bool {
        !matches!(self.variation, Variation::Fixed)
    }
}

/// What kind of number a film quality is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, Default,
)]
#[serde(rename_all = "snake_case")]
pub enum QualityKind {
    /// Any number.
    #[default]
    Continuous,
    /// 0 to 100 %.
    Percent,
    /// A count of defects.
    Count,
    /// An ordered class.
    Class,
    /// Sound or faulty.
    Sound,
}

impl QualityKind {
    /// All kinds.
    pub const ALL: [Self; 5] = [
        Self::Continuous,
        Self::Percent,
        Self::Count,
        Self::Class,
        Self::Sound,
    ];

    /// Name in files and on the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Continuous => "continuous",
            Self::Percent => "percent",
            Self::Count => "count",
            Self::Class => "class",
            Self::Sound => "sound",
        }
    }
}

/// What is wanted of a quality.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, Default)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Goal {
    /// Nothing is wanted; it is only watched.
    #[default]
    Watch,
    /// At most this.
    AtMost(f64),
    /// At least this.
    AtLeast(f64),
    /// Between the two.
    Between {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
    /// This, give or take the tolerance.
    Target {
        /// The wanted value.
        value: f64,
        /// How far off is still good.
        tolerance: f64,
    },
    /// As high as possible.
    High,
    /// As low as possible.
    Low,
}

impl Goal {
    /// The interval in which the goal is met, if it has one; open ends are infinite.
    pub const fn interval(self) -> Option<(f64, f64)> {
        match self {
            Self::AtMost(high) => Some((f64::NEG_INFINITY, high)),
            Self::AtLeast(low) => Some((low, f64::INFINITY)),
            Self::Between { low, high } => Some((low, high)),
            Self::Target { value, tolerance } => Some((value - tolerance, value + tolerance)),
            Self::Watch | Self::High | Self::Low => None,
        }
    }
}

/// Whether a goal has to be met.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
#[serde(rename_all = "snake_case")]
pub enum Importance {
    /// It must be met.
    #[default]
    Must,
    /// It would be good.
    Wish,
}

/// The scale on which a quality is fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
#[serde(rename_all = "snake_case")]
pub enum QualityScale {
    /// As read.
    #[default]
    Plain,
    /// Natural logarithm.
    Log,
    /// Square root.
    Sqrt,
}

/// One film quality.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Quality {
    /// Lower-snake name for files and the command line.
    pub id: String,
    /// Name on screen.
    pub label: String,
    /// Unit of its readings.
    #[serde(default)]
    pub unit: String,
    /// Kind of number.
    #[serde(default)]
    pub kind: QualityKind,
    /// What is wanted.
    #[serde(default)]
    pub goal: Goal,
    /// Whether it has to be.
    #[serde(default)]
    pub importance: Importance,
    /// Weight among wishes.
    #[serde(default = "one")]
    pub weight: f64,
    /// Named places on the film where it is read.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub places: Vec<String>,
    /// Names of classes, best first, for [`QualityKind::Class`] with words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub classes: Vec<String>,
    /// Scale of the fit.
    #[serde(default)]
    pub scale: QualityScale,
}

const fn one() -> f64 {
    1.0
}

/// How limits are judged.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct LimitChoices {
    /// Margin that a setting must keep to count as feasible.
    #[serde(default)]
    pub safety_margin: f64,
    /// Factor on the bound of a limit, by limit key, learned from the user's own runs.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub calibration: BTreeMap<String, f64>,
    /// Limits that are not judged, by limit key, with the reason.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub switched_off: BTreeMap<String, String>,
    /// How well inputs are known, by the key of what scatters; those left out are known as is usual in the trade.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub uncertainties: BTreeMap<String, KnownTo>,
    /// Chance of working, 0 to 1, that a pulled run is asked to have; the usual one if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least_chance: Option<f64>,
}

/// One standard deviation of an input.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum KnownTo {
    /// Per cent of its value.
    Percent(f64),
    /// A number in the unit that its kind of input has: µm, °, K, mN/m.
    Absolute(f64),
}

/// What there is, and what a run takes beyond its film.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Budget {
    /// Ink in hand \[mL\].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ink_ml: Option<f64>,
    /// Foil in hand \[m\]; the roll of the foil card if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub foil_m: Option<f64>,
    /// Hours on the line.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<f64>,
    /// Length of film that is sampled in each run \[m\].
    #[serde(default = "one")]
    pub sample_m: f64,
    /// Shortest length that is discarded after a change \[m\]; more if the computed settling is longer.
    #[serde(default = "default_settle")]
    pub settle_m: f64,
    /// Minutes until the first run (heating, threading, filling).
    #[serde(default)]
    pub start_minutes: f64,
}

const fn default_settle() -> f64 {
    0.5
}

impl Default for Budget {
    fn default() -> Self {
        Self {
            ink_ml: None,
            foil_m: None,
            hours: None,
            sample_m: one(),
            settle_m: default_settle(),
            start_minutes: 0.0,
        }
    }
}

/// The nuisance block.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BlockChoice {
    /// Its name.
    pub name: String,
    /// True if its levels are a sample of many.
    #[serde(default)]
    pub random: bool,
}

/// A scale along which results may drift.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PositionScale {
    /// Its name.
    pub name: String,
    /// Unit of its numbers.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub unit: String,
}

/// What the plan is to answer.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, Default,
)]
#[serde(rename_all = "snake_case")]
pub enum Question {
    /// Which settings matter.
    #[default]
    WhichMatter,
    /// Map the response.
    MapTheResponse,
    /// Where can it run at all.
    UnknownWindow,
    /// Find the best point.
    FindTheBest,
}

/// The plan as frozen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlanRecord {
    /// What it is to answer.
    #[serde(default)]
    pub question: Question,
    /// Kind, as the command line calls it.
    pub kind: String,
    /// Model it was made for: linear, interactions, quadratic, or a list of terms.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub model: String,
    /// Options in words as given: generators, centre runs, replicates.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub options: BTreeMap<String, String>,
    /// Seed.
    pub seed: u64,
    /// Version of the algorithm.
    pub algorithm_version: u32,
    /// When it was frozen (UTC, RFC 3339).
    pub frozen_at: String,
    /// The varied settings as they were.
    pub factors: Vec<SettingEntry>,
    /// What the plan says of itself.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
}

/// What a run is for.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, Default,
)]
#[serde(rename_all = "snake_case")]
pub enum RunRole {
    /// A run of the plan.
    #[default]
    Plan,
    /// A run at the centre.
    Centre,
    /// A run on an axis.
    Axial,
    /// The same setting repeated through the roll.
    Return,
    /// A check run.
    Check,
    /// Added later.
    Added,
}

impl RunRole {
    /// Name in files and documents.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Plan => "plan",
            Self::Centre => "centre",
            Self::Axial => "axial",
            Self::Return => "return",
            Self::Check => "check",
            Self::Added => "added",
        }
    }
}

/// What became of a run.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, Default)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Outcome {
    /// It was not run yet.
    #[default]
    NotRun,
    /// The film was sound.
    Sound,
    /// The film was faulty in these ways.
    Faulty {
        /// Names of the faults.
        faults: Vec<String>,
    },
}

/// A reading's value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum ReadingValue {
    /// Read exactly.
    Exact(f64),
    /// Below this (`< 0.1`).
    Below(f64),
    /// Above this (`> 500`).
    Above(f64),
    /// A class by name.
    Class(String),
}

impl fmt::Display for ReadingValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Exact(value) => write!(f, "{value}"),
            Self::Below(value) => write!(f, "< {value}"),
            Self::Above(value) => write!(f, "> {value}"),
            Self::Class(name) => f.write_str(name),
        }
    }
}

/// One reading.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// Id of the quality.
    pub quality: String,
    /// Place on the film; empty if places are not told apart.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub place: String,
    /// 1-based repeat at that place.
    pub repeat: u32,
    /// What was read.
    pub value: ReadingValue,
    /// Area on which defects were counted [`Project::area_unit`]; only counts have one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area: Option<f64>,
    /// When it was entered (UTC, RFC 3339).
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub when: String,
    /// Who read it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub who: String,
    /// Why it is left out of every fit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set_aside: Option<String>,
    /// What stood here before, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub earlier: Vec<EarlierValue>,
}

/// A value that was replaced.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EarlierValue {
    /// The value.
    pub value: ReadingValue,
    /// When it had been entered.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub when: String,
}

/// One run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Run {
    /// Number on the run sheet; never changes, never used twice.
    pub number: u32,
    /// What it is for.
    #[serde(default)]
    pub role: RunRole,
    /// Place in the plan's standard order, 1-based.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub standard_order: Option<u32>,
    /// Replicate, 1-based.
    #[serde(default = "one_u32")]
    pub replicate: u32,
    /// Set-up (whole plot), 1-based.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set_up: Option<u32>,
    /// Labels of block and layers by their names: day, roll, bottle, and the project's own.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub labels: BTreeMap<String, String>,
    /// Settings as planned, of the varied settings.
    pub planned: Settings,
    /// Settings that were pulled to a feasible place, with the planned ones kept above.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub pulled: Settings,
    /// Settings that differed when it was run.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub as_run: Settings,
    /// Why it is run although a limit is broken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_purpose: Option<String>,
    /// What became of it.
    #[serde(default)]
    pub outcome: Outcome,
    /// Metre on the roll where its sample starts, as written down at the machine.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub metre: Option<f64>,
    /// How far along it was, by the names of [`Project::positions`].
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub positions: BTreeMap<String, f64>,
    /// When it was run (as typed).
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub time: String,
    /// Remarks, and columns of an imported table that nothing else uses.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// Readings in the order of entry.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub readings: Vec<Reading>,
}

const fn one_u32() -> u32 {
    1
}

impl Run {
    /// A run that is planned and nothing more.
    pub fn new(number: u32, role: RunRole, planned: Settings) -> Self {
        Self {
            number,
            role,
            standard_order: None,
            replicate: one_u32(),
            set_up: None,
            labels: BTreeMap::new(),
            planned,
            pulled: Settings::new(),
            as_run: Settings::new(),
            on_purpose: None,
            outcome: Outcome::NotRun,
            metre: None,
            positions: BTreeMap::new(),
            time: String::new(),
            note: String::new(),
            readings: Vec::new(),
        }
    }

    /// The value of a varied setting as it was, or will be, run: as run, else pulled, else planned.
    pub fn setting(&self, id: &str) -> Option<&SettingValue> {
        self.as_run
            .get(id)
            .or_else(|| self.pulled.get(id))
            .or_else(|| self.planned.get(id))
    }

    /// The value as it is to be set now: pulled, else planned.
    pub fn target(&self, id: &str) -> Option<&SettingValue> {
        self.pulled.get(id).or_else(|| self.planned.get(id))
    }

    /// True if something was measured or judged on it.
    pub const fn has_results(&self) -> bool {
        !self.readings.is_empty() || !matches!(self.outcome, Outcome::NotRun)
    }

    /// The reading of a quality at a place and repeat.
    pub fn reading(&self, quality: &str, place: &str, repeat: u32) -> Option<&Reading> {
        self.readings.iter().find(|reading| {
            reading.quality == quality && reading.place == place && reading.repeat == repeat
        })
    }
}

/// How one quality is fitted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct AnalysisChoice {
    /// `linear`, `interactions`, `quadratic`; empty for the default.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub model: String,
    /// A list of terms instead of a model.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub terms: String,
}

/// The chosen point with its check runs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ChosenPoint {
    /// Settings.
    pub settings: Settings,
    /// Numbers of the check runs.
    pub check_runs: Vec<u32>,
    /// The interval promised for each check run, by quality id.
    pub promised: BTreeMap<String, Promise>,
}

/// An interval that was promised.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Promise {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// A step in the project's life.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HistoryStep {
    /// What happened.
    pub what: String,
    /// When (UTC, RFC 3339).
    pub when: String,
    /// Version of the program.
    pub program: String,
}

impl Project {
    /// An empty project.
    pub fn new(title: impl Into<String>, id: String, created: String, seed: u64) -> Self {
        Self {
            format: FORMAT.to_owned(),
            version: VERSION,
            program: env!("CARGO_PKG_VERSION").to_owned(),
            id,
            title: title.into(),
            purpose: String::new(),
            created,
            seed,
            ink: Card::default(),
            foil: Card::default(),
            line: None,
            settings: Vec::new(),
            qualities: Vec::new(),
            limits: LimitChoices::default(),
            budget: Budget::default(),
            layers: Vec::new(),
            block: None,
            positions: Vec::new(),
            area_unit: String::new(),
            plan: None,
            runs: Vec::new(),
            analyses: BTreeMap::new(),
            choice: None,
            history: Vec::new(),
        }
    }

    /// A setting by id.
    pub fn setting(&self, id: &str) -> Option<&SettingEntry> {
        self.settings.iter().find(|setting| setting.id == id)
    }

    /// The setting that plays a role.
    pub fn setting_of(&self, role: Role) -> Option<&SettingEntry> {
        self.settings.iter().find(|setting| setting.role == role)
    }

    /// The varied settings in the project's order.
    pub fn varied(&self) -> impl Iterator<Item = &SettingEntry> {
        self.settings.iter().filter(|setting| setting.is_varied())
    }

    /// A quality by id.
    pub fn quality(&self, id: &str) -> Option<&Quality> {
        self.qualities.iter().find(|quality| quality.id == id)
    }

    /// A run by its number.
    pub fn run(&self, number: u32) -> Option<&Run> {
        self.runs.iter().find(|run| run.number == number)
    }

    /// Present values of all settings: the cross.
    pub fn cross(&self) -> Settings {
        self.settings
            .iter()
            .map(|setting| (setting.id.clone(), setting.now.clone()))
            .collect()
    }

    /// All settings of a run: the present values, overlaid with the run's own as it was or will be run.
    pub fn settings_of(&self, run: &Run) -> Settings {
        let mut all = self.cross();
        for settings in [&run.planned, &run.pulled, &run.as_run] {
            all.extend(
                settings
                    .iter()
                    .map(|(id, value)| (id.clone(), value.clone())),
            );
        }
        all
    }

    /// A station by kind.
    pub fn station(&self, kind: StationKind) -> Option<&Card> {
        let line = self.line.as_ref()?;
        line.stations
            .iter()
            .find(|station| station.kind == kind)
            .map(|station| &station.card)
    }

    /// The station with the coating head.
    pub fn head(&self) -> Option<&StationCard> {
        let stations = &self.line.as_ref()?.stations;
        stations
            .iter()
            .find(|station| station.kind.head().is_some())
    }

    /// The kind of coating head; a slot die where there is none yet.
    pub fn head_kind(&self) -> HeadKind {
        self.head()
            .and_then(|station| station.kind.head())
            .unwrap_or(HeadKind::SlotDie)
    }

    /// A run number that was never used.
    pub fn next_run_number(&self) -> u32 {
        self.runs.iter().map(|run| run.number).max().unwrap_or(0) + 1
    }
}
