//! What frees the runs that cannot run: the nearest place of each that works with the chance the project asks for.

use std::collections::BTreeMap;

use serde::Serialize;

use super::document::{finite, units_of};
use crate::campaign::answers::plain;
use crate::campaign::chance::chance_words;
use crate::campaign::project::{Project, SettingValue, Settings};
use crate::campaign::pull::pull_runs;
use crate::campaign::sentence_case::in_sentence;

/// What frees some runs.
#[derive(Debug, Serialize)]
pub(super) struct FreeingDocument {
    /// Runs with the settings that change.
    freed: Vec<FreedRun>,
    /// Runs near which nothing works.
    stuck: Vec<u32>,
}

/// One run and the change that frees it.
#[derive(Debug, Serialize)]
struct FreedRun {
    run: u32,
    settings: Settings,
    units: BTreeMap<String, String>,
    distance: Option<f64>,
    probability: Option<f64>,
}

impl FreeingDocument {
    /// Searches a place for each run, the least effort first.
    pub(super) fn of(project: &Project, runs: &[u32]) -> Self {
        let found = pull_runs(project, runs, |_| false);
        let freed = found.pulled.into_iter().map(|(run, pulled)| FreedRun {
            run,
            units: units_of(project, &pulled.settings),
            settings: pulled.settings,
            distance: finite(pulled.distance),
            probability: pulled.chance,
        });
        Self {
            freed: freed.collect(),
            stuck: found.left,
        }
    }

    /// A line for each run: "run 5: speed 1.9 to 1.4 m/min; works with a chance of 92 %".
    pub(super) fn lines(&self, project: &Project) -> Vec<String> {
        let freed = self.freed.iter().map(|freed| freed.words(project));
        let stuck = self.stuck.iter().map(|run| {
            format!("run {run}: nothing near it works; leave it out or change the line")
        });
        freed.chain(stuck).collect()
    }
}

impl FreedRun {
    fn words(&self, project: &Project) -> String {
        let planned = project.run(self.run).map(|run| &run.planned);
        let changes: Vec<String> = self
            .settings
            .iter()
            .filter_map(|(id, to)| {
                let setting = project.setting(id)?;
                let from = planned.and_then(|planned| planned.get(id));
                let words = format!(
                    "{} {} to {} {}",
                    in_sentence(&setting.label),
                    from.map_or_else(|| "?".to_owned(), written),
                    written(to),
                    setting.unit
                );
                Some(words.trim_end().to_owned())
            })
            .collect();
        let chance = self
            .probability
            .map(|chance| format!("; works with a chance of {}", chance_words(chance)))
            .unwrap_or_default();
        format!("run {}: {}{chance}", self.run, changes.join(", "))
    }
}

fn written(value: &SettingValue) -> String {
    value.number().map_or_else(|| value.to_string(), plain)
}
