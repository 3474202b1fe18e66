//! Short ways to say what the columns of a table are, and to look at what came of it.

use std::collections::BTreeMap;

use wetlane::campaign::project::{Project, QualityKind, ReadingValue, Run};
use wetlane::campaign::table_import::{
    CategorySpec, FactorSpec, ImportErrors, ImportRequest, Imported, ResponseSpec, import,
};
use wetlane::campaign::table_text::Table;
use wetlane::campaign::validity::problems_of;

use super::{empty_project, messages};
use crate::support::workspace_file;

pub(crate) fn factor(name: &str) -> FactorSpec {
    FactorSpec {
        name: name.to_owned(),
        ..FactorSpec::default()
    }
}

pub(crate) fn category(name: &str) -> CategorySpec {
    CategorySpec {
        name: name.to_owned(),
        levels: None,
    }
}

pub(crate) fn response(name: &str) -> ResponseSpec {
    ResponseSpec {
        name: name.to_owned(),
        ..ResponseSpec::default()
    }
}

pub(crate) fn kind(name: &str, kind: QualityKind) -> ResponseSpec {
    ResponseSpec {
        name: name.to_owned(),
        kind: Some(kind),
        classes: Vec::new(),
    }
}

pub(crate) fn owned(names: &[&str]) -> Vec<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

/// Factors and responses, nothing else.
pub(crate) fn plain(factors: &[&str], responses: &[&str]) -> ImportRequest {
    ImportRequest {
        factors: factors.iter().map(|name| factor(name)).collect(),
        responses: responses.iter().map(|name| response(name)).collect(),
        ..ImportRequest::default()
    }
}

pub(crate) fn try_import(text: &str, request: &ImportRequest) -> Result<Imported, ImportErrors> {
    let table =
        Table::read(text, &request.table_options()).unwrap_or_else(|problems| panic!("{problems}"));
    import(&table, request, empty_project())
}

#[track_caller]
pub(crate) fn imported(text: &str, request: &ImportRequest) -> Imported {
    let imported = try_import(text, request).unwrap_or_else(|problems| panic!("{problems}"));
    assert_eq!(problems_of(&imported.project), []);
    imported
}

#[track_caller]
pub(crate) fn refused(text: &str, request: &ImportRequest) -> Vec<String> {
    messages(&try_import(text, request).expect_err("refused"))
}

pub(crate) fn exact(run: &Run, quality: &str) -> Vec<f64> {
    let readings = run
        .readings
        .iter()
        .filter(|reading| reading.quality == quality);
    readings
        .map(|reading| match reading.value {
            ReadingValue::Exact(value) => value,
            _ => panic!("{:?}", reading.value),
        })
        .collect()
}

/// Values of a quality by the label or level of each run.
pub(crate) fn grouped(
    project: &Project,
    quality: &str,
    key: impl Fn(&Run) -> String,
) -> BTreeMap<String, Vec<f64>> {
    let mut groups: BTreeMap<String, Vec<f64>> = BTreeMap::new();
    for run in &project.runs {
        groups
            .entry(key(run))
            .or_default()
            .extend(exact(run, quality));
    }
    groups
}

pub(crate) fn numbers_of(project: &Project) -> Vec<u32> {
    project.runs.iter().map(|run| run.number).collect()
}

/// A table of `tests/data/tables`.
pub(crate) fn published(name: &str) -> String {
    std::fs::read_to_string(workspace_file(&format!("tests/data/tables/{name}.csv"))).unwrap()
}
