//! What can be said on the command line. Every command has an example in its help.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

/// Workbench for designing experiments on coated and printed films.
///
/// Without a command the window opens, on its start page or on the project file that is named. Every command below
/// works without a display. Exit status: 0 done; 1 done, and the answer is "no"; 2 bad use or bad input.
#[derive(Debug, Parser)]
#[command(
    name = "wetlane",
    version,
    max_term_width = 100,
    args_conflicts_with_subcommands = true
)]
pub struct Arguments {
    /// Project to open in the window
    pub file: Option<PathBuf>,
    /// What to do without a window
    #[command(subcommand)]
    pub command: Option<CliCommand>,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum CliCommand {
    /// Make a project from a table of settings and readings
    #[command(
        after_help = "Example: wetlane import readings.csv --factor speed=0.6..2.4m/min --response haze --out film.json"
    )]
    Import(ImportArgs),
    /// Make a plan: which settings to run, in which order
    #[command(
        after_help = "Example: wetlane plan film.json --kind face-centred --centre 3 --seed 7 --out film.json"
    )]
    Plan(PlanArgs),
    /// Show which settings break a physical limit, which one and by how much
    #[command(after_help = "Example: wetlane limits film.json --at speed=2.4m/min --at gap=250um")]
    Limits(LimitsArgs),
    /// Draw where the line can run over two settings
    #[command(
        after_help = "Example: wetlane window film.json --x speed --y wet_thickness --out window.svg"
    )]
    Window(WindowArgs),
    /// Write the run sheet
    #[command(after_help = "Example: wetlane sheet film.json --out sheet.html")]
    Sheet(SheetArgs),
    /// Take readings from a table into a project
    #[command(after_help = "Example: wetlane readings film.json --from monday.csv --out film.json")]
    Readings(ReadingsArgs),
    /// Fit film qualities to settings
    #[command(
        after_help = "Example: wetlane fit film.json --response haze --model quadratic --json"
    )]
    Fit(FitArgs),
    /// Predict film qualities at a setting, with intervals and limits
    #[command(
        after_help = "Example: wetlane predict film.json --at speed=1.2m/min --at wet_thickness=16um"
    )]
    Predict(PredictArgs),
    /// Write a self-contained report
    #[command(after_help = "Example: wetlane report film.json --out report.html")]
    Report(ReportArgs),
    /// List everything wrong or doubtful in a project
    #[command(after_help = "Example: wetlane check film.json")]
    Check(CheckArgs),
}

/// Arguments of `import`.
#[derive(Debug, Args)]
pub struct ImportArgs {
    /// Table: comma, semicolon or tab; decimal point or comma; a header row
    pub table: PathBuf,
    /// A setting that is a number, with its range if it is not the column's own
    #[arg(long = "factor", value_name = "NAME[=LOW..HIGH[unit]]")]
    pub factors: Vec<String>,
    /// A setting that is a category, with its levels if their order matters
    #[arg(long = "category", value_name = "NAME[=A,B,…]")]
    pub categories: Vec<String>,
    /// A film quality, with its kind: continuous, percent, count, class, sound
    #[arg(long = "response", value_name = "NAME[=KIND]")]
    pub responses: Vec<String>,
    /// A fixed block that the analysis removes, or a random one
    #[arg(long, value_name = "NAME[=random]")]
    pub block: Option<String>,
    /// A column that says what was shared, outermost first
    #[arg(long = "layer", value_name = "NAME")]
    pub layers: Vec<String>,
    /// A column of positions on the film
    #[arg(long, value_name = "NAME")]
    pub place: Option<String>,
    /// A setting that is hard to change
    #[arg(long = "hard", value_name = "NAME")]
    pub hard: Vec<String>,
    /// The column of the run order
    #[arg(long, value_name = "NAME")]
    pub order: Option<String>,
    /// A column of positions in the campaign, for drift
    #[arg(long = "position", value_name = "NAME")]
    pub positions: Vec<String>,
    /// The column that names the fault of a faulty film
    #[arg(long, value_name = "NAME")]
    pub fault: Option<String>,
    /// The column of the area on which counts were made
    #[arg(long, value_name = "NAME")]
    pub area: Option<String>,
    /// A word that stands for a missing reading
    #[arg(long = "missing", value_name = "TEXT")]
    pub missing: Vec<String>,
    /// Project file to write
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
    /// Print one JSON document
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `plan`.
#[derive(Debug, Args)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a flag of the command line"
)]
pub struct PlanArgs {
    /// Project whose varied settings are planned
    #[arg(required_unless_present_any = ["factors", "categories"])]
    pub file: Option<PathBuf>,
    /// Without a project: a setting with its range
    #[arg(
        long = "factor",
        value_name = "NAME=LOW..HIGH[unit]",
        conflicts_with = "file"
    )]
    pub factors: Vec<String>,
    /// Without a project: a category with its levels
    #[arg(long = "category", value_name = "NAME=A,B,…", conflicts_with = "file")]
    pub categories: Vec<String>,
    /// Kind of plan
    #[arg(long)]
    pub kind: String,
    /// Model it is for: linear, interactions, quadratic
    #[arg(long, conflicts_with = "terms")]
    pub model: Option<String>,
    /// Terms it is for, comma-separated
    #[arg(long)]
    pub terms: Option<String>,
    /// Number of runs, where the kind leaves it open
    #[arg(long)]
    pub runs: Option<usize>,
    /// Generators of a fraction, such as "E=ABCD"
    #[arg(long, value_name = "TEXT")]
    pub generators: Option<String>,
    /// Number of centre runs
    #[arg(long)]
    pub centre: Option<usize>,
    /// How often the whole plan is made
    #[arg(long, default_value_t = 1)]
    pub replicates: usize,
    /// Number of blocks
    #[arg(long, default_value_t = 1)]
    pub blocks: usize,
    /// Extra runs at one setting, spread from first to last, that show a drift
    #[arg(long, value_name = "N")]
    pub return_runs: Option<usize>,
    /// How far axial runs stand from the middle: a coded number, rotatable, spherical, orthogonal-squares or
    /// orthogonal-blocks
    #[arg(long, value_name = "DISTANCE")]
    pub alpha: Option<String>,
    /// Levels of a setting in a full factorial, where two are not wanted
    #[arg(long = "levels", value_name = "NAME=N")]
    pub levels: Vec<String>,
    /// Run order: shuffled, trend-balanced or standard
    #[arg(long)]
    pub order: Option<String>,
    /// Settings that are hard to change, beside those of the project
    #[arg(long = "hard", value_name = "NAME")]
    pub hard: Vec<String>,
    /// Seed of every random choice; the project's own if left out
    #[arg(long)]
    pub seed: Option<u64>,
    /// Count runs that have readings for the new plan and only add the others
    #[arg(long)]
    pub keep: bool,
    /// Project file to write
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Print the runs as a table with commas
    #[arg(long)]
    pub csv: bool,
    /// Print one JSON document
    #[arg(long, conflicts_with = "csv")]
    pub json: bool,
}

/// Arguments of `limits`.
#[derive(Debug, Args)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "switches of a command line are just that"
)]
pub struct LimitsArgs {
    /// Project
    pub file: PathBuf,
    /// Only this run
    #[arg(long, value_name = "N", conflicts_with = "at")]
    pub run: Option<u32>,
    /// One setting instead of the planned runs
    #[arg(long, value_name = "NAME=VALUE")]
    pub at: Vec<String>,
    /// Also the chance that each limit holds, as well as the inputs are known
    #[arg(long)]
    pub probability: bool,
    /// Also what frees each run that cannot run: the least change to where it works with the chance the project asks for
    #[arg(long, conflicts_with = "at")]
    pub free: bool,
    /// Exit with 1 if something cannot run or cannot be judged
    #[arg(long)]
    pub strict: bool,
    /// Print one JSON document
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `window`.
#[derive(Debug, Args)]
pub struct WindowArgs {
    /// Project
    pub file: PathBuf,
    /// Setting across; speed if not given
    #[arg(long, value_name = "NAME")]
    pub x: Option<String>,
    /// Setting up; what sets the film if not given
    #[arg(long, value_name = "NAME")]
    pub y: Option<String>,
    /// Values at which other settings are held
    #[arg(long, value_name = "NAME=VALUE")]
    pub at: Vec<String>,
    /// File to write: .svg or .csv
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
}

/// Arguments of `sheet`.
#[derive(Debug, Args)]
pub struct SheetArgs {
    /// Project
    pub file: PathBuf,
    /// File to write: .html or .csv
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
}

/// Arguments of `readings`.
#[derive(Debug, Args)]
pub struct ReadingsArgs {
    /// Project
    pub file: PathBuf,
    /// Table of readings
    #[arg(long, value_name = "TABLE")]
    pub from: PathBuf,
    /// Replace readings that differ; the old value stays in the reading's history
    #[arg(long)]
    pub replace: bool,
    /// A word that stands for a missing reading
    #[arg(long = "missing", value_name = "TEXT")]
    pub missing: Vec<String>,
    /// Project file to write
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
    /// Print one JSON document
    #[arg(long)]
    pub json: bool,
}

/// Which model is fitted.
#[derive(Debug, Default, Args)]
pub struct ModelArgs {
    /// Model: mean, linear, interactions, quadratic
    #[arg(long, conflicts_with = "terms")]
    pub model: Option<String>,
    /// Terms, comma-separated: "speed, gap, speed*gap, gap^2"; "1" is the mean alone
    #[arg(long)]
    pub terms: Option<String>,
    /// Leave the intercept out
    #[arg(long)]
    pub no_intercept: bool,
    /// Compare levels of categories with this one instead of with their mean
    #[arg(long, value_name = "LEVEL")]
    pub reference: Option<String>,
}

/// Arguments of `fit`.
#[derive(Debug, Args)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a flag of the command line"
)]
pub struct FitArgs {
    /// Project
    pub file: PathBuf,
    /// Only this film quality
    #[arg(long, value_name = "NAME")]
    pub response: Option<String>,
    /// Model
    #[command(flatten)]
    pub model: ModelArgs,
    /// Scale on which the quality is fitted: none, log or sqrt; the quality's own if left out
    #[arg(long)]
    pub transform: Option<String>,
    /// Method: least-squares
    #[arg(long)]
    pub method: Option<String>,
    /// Coefficients for settings coded −1 to +1 over their range (the default)
    #[arg(long, conflicts_with = "natural")]
    pub coded: bool,
    /// Coefficients for settings in their own units
    #[arg(long)]
    pub natural: bool,
    /// Confidence level
    #[arg(long, default_value_t = 0.95)]
    pub level: f64,
    /// Print one JSON document
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `predict`.
#[derive(Debug, Args)]
pub struct PredictArgs {
    /// Project
    pub file: PathBuf,
    /// A setting; those not given stand at their middle
    #[arg(long, value_name = "NAME=VALUE", required_unless_present = "table")]
    pub at: Vec<String>,
    /// A table of settings, one row a point
    #[arg(long, value_name = "TABLE", conflicts_with = "at")]
    pub table: Option<PathBuf>,
    /// Only this film quality
    #[arg(long, value_name = "NAME")]
    pub response: Option<String>,
    /// Confidence level
    #[arg(long, default_value_t = 0.95)]
    pub level: f64,
    /// Print one JSON document
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `report`.
#[derive(Debug, Args)]
pub struct ReportArgs {
    /// Project
    pub file: PathBuf,
    /// File to write: .html
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// Project
    pub file: PathBuf,
    /// Print one JSON document
    #[arg(long)]
    pub json: bool,
}
