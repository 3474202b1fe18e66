//! Check runs: what was promised for them and what was read.

use crate::campaign::project::{Outcome, Project, Promise, Reading, ReadingValue, Run};

/// One check run against one promise.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckRun {
    /// Run number.
    pub run: u32,
    /// Id of the quality.
    pub quality: String,
    /// The interval that was promised.
    pub promised: Promise,
    /// Mean of what was read, if all of it is a number.
    pub read: Option<f64>,
    /// How it stands.
    pub state: CheckState,
}

/// How a check run stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CheckState {
    /// It has not been run and read yet.
    Open,
    /// It fell inside the promised interval.
    Inside,
    /// It fell outside, or the film was faulty.
    Outside,
}

/// Every check run of the chosen point with every promise; empty if no point was chosen.
pub fn check_runs(project: &Project) -> Vec<CheckRun> {
    let Some(choice) = &project.choice else {
        return Vec::new();
    };
    let pairs = choice
        .check_runs
        .iter()
        .flat_map(|run| choice.promised.iter().map(move |promise| (run, promise)));
    pairs
        .map(|(run, (quality, promised))| {
            let found = project.run(*run);
            let read = found.and_then(|run| mean_reading(run, quality));
            CheckRun {
                run: *run,
                quality: quality.clone(),
                promised: *promised,
                read,
                state: state(found, read, *promised),
            }
        })
        .collect()
}

fn state(run: Option<&Run>, read: Option<f64>, promised: Promise) -> CheckState {
    if run.is_some_and(|run| matches!(run.outcome, Outcome::Faulty { .. })) {
        return CheckState::Outside;
    }
    match read {
        None => CheckState::Open,
        Some(read) if promised.low <= read && read <= promised.high => CheckState::Inside,
        Some(_) => CheckState::Outside,
    }
}

fn mean_reading(run: &Run, quality: &str) -> Option<f64> {
    let kept = |reading: &&Reading| reading.quality == quality && reading.set_aside.is_none();
    let values: Vec<f64> = run
        .readings
        .iter()
        .filter(kept)
        .map(|reading| match reading.value {
            ReadingValue::Exact(value) => Some(value),
            ReadingValue::Below(_) | ReadingValue::Above(_) | ReadingValue::Class(_) => None,
        })
        .collect::<Option<Vec<f64>>>()?;
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}
