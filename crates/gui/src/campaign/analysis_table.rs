//! The one door from readings to `wetlane-stats`: a table with one row a run, never one a reading.
//!
//! Rows carry the settings as they were run, coded in the present range (values beyond ±1 are fine). Several readings
//! of a run are reduced to their mean on the fitted scale: readings share their run's error, so only runs count
//! (Montgomery, Design and Analysis of Experiments, on subsampling). Faulty, missing and set-aside readings are left
//! out and listed; they are never zero.

use wetlane_stats::{Blocks, CodedPoint, FactorSpace, NaturalPoint, StatsError};

use super::factors::{PointError, factor_space, natural_point};
use super::planning::PLANNED_BLOCK;
use super::project::{
    Outcome, Project, Quality, QualityKind, QualityScale, Reading, ReadingValue, Run,
};

/// One run in the table.
#[derive(Debug, Clone, PartialEq)]
pub struct AnalysisRow {
    /// Run number.
    pub run: u32,
    /// Settings as run, natural units.
    pub natural: NaturalPoint,
    /// The same, coded.
    pub coded: CodedPoint,
    /// Mean of its readings on the fitted scale.
    pub value: f64,
    /// How many readings stand behind the value.
    pub n_readings: usize,
    /// Standard deviation among its readings on the fitted scale, if there are several.
    pub within_sd: Option<f64>,
}

/// A run that does not take part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// Run number.
    pub run: u32,
    /// Why.
    pub why: String,
}

/// A layer that several runs share.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SharedLayer {
    /// Its name: day, roll, bottle, `set_up`, or the project's own.
    pub name: String,
    /// Number of its levels among the rows.
    pub n_levels: usize,
}

/// Everything a fit of one quality needs.
#[derive(Debug, Clone, PartialEq)]
pub struct AnalysisTable {
    /// The varied settings as factors.
    pub space: FactorSpace,
    /// One row a run, in run order.
    pub rows: Vec<AnalysisRow>,
    /// Runs that do not take part.
    pub left_out: Vec<LeftOut>,
    /// Number of readings behind all rows.
    pub n_readings: usize,
    /// Fixed nuisance blocks.
    pub blocks: Option<Blocks>,
    /// Layers above the run that more than one run shares, outermost first.
    pub layers: Vec<SharedLayer>,
    /// Readings below or above a limit that were left out.
    pub n_censored: usize,
}

/// Why there is no table.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TableError {
    /// No such quality.
    #[error("there is no film quality \"{id}\"; there are: {known}")]
    NoQuality {
        /// What was asked for.
        id: String,
        /// What there is.
        known: String,
    },
    /// A range that is none.
    #[error(transparent)]
    Stats(#[from] StatsError),
    /// No run has a reading.
    #[error("no run has a reading of \"{id}\" yet")]
    NoReadings {
        /// The quality.
        id: String,
    },
}

/// Readings of one quality as a table of runs.
///
/// # Errors
/// [`TableError`] if the quality does not exist, has no readings, or the ranges do not make factors.
pub fn analysis_table(
    project: &Project,
    quality_id: &str,
    scale: QualityScale,
) -> Result<AnalysisTable, TableError> {
    let quality = project
        .quality(quality_id)
        .ok_or_else(|| TableError::NoQuality {
            id: quality_id.to_owned(),
            known: project
                .qualities
                .iter()
                .map(|quality| quality.id.as_str())
                .collect::<Vec<_>>()
                .join(", "),
        })?;
    let space = factor_space(project)?;
    let mut collected = Collected::default();
    let mut used: Vec<&Run> = Vec::new();
    for run in &project.runs {
        match row_of(
            project,
            &space,
            run,
            quality,
            scale,
            &mut collected.n_censored,
        ) {
            Ok(row) => {
                collected.n_readings += row.n_readings;
                collected.rows.push(row);
                used.push(run);
            }
            Err(why) => collected.left_out.push(LeftOut {
                run: run.number,
                why,
            }),
        }
    }
    if collected.rows.is_empty() {
        return Err(TableError::NoReadings {
            id: quality_id.to_owned(),
        });
    }
    Ok(AnalysisTable {
        blocks: blocks_of(project, &used),
        layers: layers_of(project, &used),
        space,
        rows: collected.rows,
        left_out: collected.left_out,
        n_readings: collected.n_readings,
        n_censored: collected.n_censored,
    })
}

#[derive(Default)]
struct Collected {
    rows: Vec<AnalysisRow>,
    left_out: Vec<LeftOut>,
    n_readings: usize,
    n_censored: usize,
}

/// The row of a run, or why it has none.
fn row_of(
    project: &Project,
    space: &FactorSpace,
    run: &Run,
    quality: &Quality,
    scale: QualityScale,
    n_censored: &mut usize,
) -> Result<AnalysisRow, String> {
    if quality.kind != QualityKind::Sound && matches!(run.outcome, Outcome::Faulty { .. }) {
        return Err("faulty".to_owned());
    }
    let readings: Vec<&Reading> = run
        .readings
        .iter()
        .filter(|reading| reading.quality == quality.id)
        .collect();
    if readings.is_empty() {
        return Err("not measured".to_owned());
    }
    let kept: Vec<&Reading> = readings
        .into_iter()
        .filter(|reading| reading.set_aside.is_none())
        .collect();
    if kept.is_empty() {
        return Err("all readings set aside".to_owned());
    }
    let mut values = Vec::with_capacity(kept.len());
    for reading in kept {
        match reading_number(&reading.value, quality) {
            Some(number) => values.push(on_scale(number, scale).ok_or_else(|| {
                format!(
                    "{number} has no {} scale",
                    if scale == QualityScale::Log {
                        "logarithmic"
                    } else {
                        "square-root"
                    }
                )
            })?),
            None => *n_censored += 1,
        }
    }
    if values.is_empty() {
        return Err("beyond the measuring range".to_owned());
    }
    let settings = project.settings_of(run);
    let natural = natural_point(space, &settings).map_err(|error: PointError| error.to_string())?;
    let coded = space.code(&natural).map_err(|error| error.to_string())?;
    let (value, within_sd) = mean_and_sd(&values);
    Ok(AnalysisRow {
        run: run.number,
        natural,
        coded,
        value,
        n_readings: values.len(),
        within_sd,
    })
}

/// A reading as a number; classes by their place in the order, 0 for the best; `None` beyond the measuring range.
pub(crate) fn reading_number(value: &ReadingValue, quality: &Quality) -> Option<f64> {
    match value {
        ReadingValue::Exact(number) => Some(*number),
        ReadingValue::Below(_) | ReadingValue::Above(_) => None,
        ReadingValue::Class(name) => quality
            .classes
            .iter()
            .position(|class| class == name)
            .map(|place| place as f64),
    }
}

/// A number on the scale of the fit; `None` where the scale does not reach.
pub fn on_scale(number: f64, scale: QualityScale) -> Option<f64> {
    match scale {
        QualityScale::Plain => Some(number),
        QualityScale::Log => (number > 0.0).then(|| number.ln()),
        QualityScale::Sqrt => (number >= 0.0).then(|| number.sqrt()),
    }
}

/// Back from the scale of the fit to the reading's own unit (the median, if the scale is not plain).
pub fn from_scale(value: f64, scale: QualityScale) -> f64 {
    match scale {
        QualityScale::Plain => value,
        QualityScale::Log => value.exp(),
        QualityScale::Sqrt => value.max(0.0).powi(2),
    }
}

fn mean_and_sd(values: &[f64]) -> (f64, Option<f64>) {
    let n = values.len() as f64;
    // Shifted by the first value, so that equal readings have no scatter at all.
    let shift = values.first().copied().unwrap_or(0.0);
    let mean = shift + values.iter().map(|value| value - shift).sum::<f64>() / n;
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    (
        mean,
        (values.len() > 1).then(|| (squares / (n - 1.0)).sqrt()),
    )
}

/// The fixed blocks of some runs: those the project names, or those of its plan; `None` if all are in one.
pub(crate) fn blocks_of(project: &Project, runs: &[&Run]) -> Option<Blocks> {
    // A plan in blocks labels its runs also where the project has no name for them.
    let name = match &project.block {
        Some(block) if block.random => return None,
        Some(block) => block.name.clone(),
        None => PLANNED_BLOCK.to_owned(),
    };
    let (labels, of_run) = levels_of(runs, |run| run.labels.get(&name).cloned());
    (labels.len() > 1).then_some(Blocks {
        name,
        labels,
        of_run,
    })
}

/// Levels in the order in which they are first met.
fn levels_of(runs: &[&Run], label: impl Fn(&Run) -> Option<String>) -> (Vec<String>, Vec<usize>) {
    let mut labels: Vec<String> = Vec::new();
    let of_run = runs
        .iter()
        .map(|run| {
            let level = label(run).unwrap_or_default();
            labels
                .iter()
                .position(|known| *known == level)
                .unwrap_or_else(|| {
                    labels.push(level);
                    labels.len() - 1
                })
        })
        .collect();
    (labels, of_run)
}

/// Layers with fewer levels than runs and more than one level; each level counts by its path from outside. A fixed
/// block is none of them: the model has it.
fn layers_of(project: &Project, runs: &[&Run]) -> Vec<SharedLayer> {
    let block = project.block.as_ref().filter(|block| !block.random);
    let is_block = |name: &str| block.is_some_and(|block| block.name == name);
    let own = project.layers.iter().map(String::as_str);
    let built_in = ["day", "roll", "bottle"]
        .into_iter()
        .filter(|name| !is_block(name) && !project.layers.iter().any(|own| own == name));
    let mut path: Vec<String> = vec![String::new(); runs.len()];
    let mut layers = Vec::new();
    let mut add = |name: &str, label: &dyn Fn(&Run) -> Option<String>| {
        let labels: Vec<Option<String>> = runs.iter().map(|run| label(run)).collect();
        if labels.iter().all(Option::is_none) {
            return;
        }
        for (path, label) in path.iter_mut().zip(labels) {
            path.push('\u{1f}');
            path.push_str(&label.unwrap_or_default());
        }
        let mut levels = path.clone();
        levels.sort_unstable();
        levels.dedup();
        if levels.len() > 1 && levels.len() < runs.len() {
            layers.push(SharedLayer {
                name: name.to_owned(),
                n_levels: levels.len(),
            });
        }
    };
    for name in built_in.chain(own) {
        add(name, &|run| run.labels.get(name).cloned());
    }
    add("set_up", &|run| run.set_up.map(|set_up| set_up.to_string()));
    layers
}
