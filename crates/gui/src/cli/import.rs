//! `import`: a project from a table of settings and readings.

use std::path::PathBuf;

use serde::Serialize;
use uuid::Uuid;

use crate::campaign::clock::now_utc;
use crate::campaign::project::{BlockChoice, Project, QualityKind};
use crate::campaign::table_import::{ImportRequest, Imported, import};

use super::Answer;
use super::arguments::ImportArgs;
use super::assignment::{AssignmentError, block_spec, category_spec, factor_spec, response_spec};
use super::console::Console;
use super::document::{FactorDocument, VERSION};
use super::error::CliError;
use super::read_table::{read_table, table_error};
use super::text_table::{Align, TextTable};
use super::written_file::{file_name, note_step, write_project};

/// Seed of an imported project: nothing random was made in it, and the same table gives the same project.
pub(super) const SEED: u64 = 1;

#[derive(Debug, Serialize)]
struct ImportDocument {
    document: &'static str,
    version: u32,
    out: PathBuf,
    title: String,
    n_runs: usize,
    n_readings: usize,
    factors: Vec<FactorDocument>,
    responses: Vec<ResponseDocument>,
    layers: Vec<String>,
    block: Option<BlockChoice>,
    notes: Vec<String>,
    warnings: Vec<String>,
}

#[derive(Debug, Serialize)]
struct ResponseDocument {
    name: String,
    label: String,
    unit: String,
    kind: QualityKind,
    n_runs: usize,
    n_readings: usize,
}

/// Answers `import`.
///
/// # Errors
/// [`CliError`] with every problem of the table, or of what was said about it.
pub(super) fn run(arguments: &ImportArgs, console: &mut Console<'_>) -> Result<Answer, CliError> {
    let request = request_of(arguments)?;
    let table = read_table(&arguments.table, &request.table_options())?;
    let title = arguments
        .table
        .file_stem()
        .map(|stem| stem.to_string_lossy().into_owned())
        .unwrap_or_default();
    let project = Project::new(title, new_id(), now_utc(), SEED);
    let mut imported = import(&table, &request, project)
        .map_err(|problems| table_error(&arguments.table, &problems))?;
    let what = format!(
        "imported {} runs from {}",
        imported.project.runs.len(),
        file_name(&arguments.table)
    );
    note_step(&mut imported.project, what)?;
    write_project(&arguments.out, &imported.project)?;
    let document = document_of(arguments, imported);
    if arguments.json {
        console.document(&document)?;
    } else {
        print(&document, console)?;
    }
    Ok(Answer::Yes)
}

/// A random name for a new project.
pub(super) fn new_id() -> String {
    Uuid::new_v4().to_string()
}

fn request_of(arguments: &ImportArgs) -> Result<ImportRequest, AssignmentError> {
    let all = |texts: &[String]| texts.to_vec();
    Ok(ImportRequest {
        factors: arguments
            .factors
            .iter()
            .map(|text| factor_spec(text))
            .collect::<Result<_, _>>()?,
        categories: arguments
            .categories
            .iter()
            .map(|text| category_spec(text))
            .collect::<Result<_, _>>()?,
        responses: arguments
            .responses
            .iter()
            .map(|text| response_spec(text))
            .collect::<Result<_, _>>()?,
        block: arguments.block.as_deref().map(block_spec).transpose()?,
        layers: all(&arguments.layers),
        place: arguments.place.clone(),
        hard: all(&arguments.hard),
        order: arguments.order.clone(),
        positions: all(&arguments.positions),
        fault: arguments.fault.clone(),
        area: arguments.area.clone(),
        missing: all(&arguments.missing),
    })
}

fn document_of(arguments: &ImportArgs, imported: Imported) -> ImportDocument {
    let project = &imported.project;
    let responses = project
        .qualities
        .iter()
        .map(|quality| {
            let readings_of = |run: &crate::campaign::project::Run| {
                run.readings
                    .iter()
                    .filter(|reading| reading.quality == quality.id)
                    .count()
            };
            ResponseDocument {
                name: quality.id.clone(),
                label: quality.label.clone(),
                unit: quality.unit.clone(),
                kind: quality.kind,
                n_runs: project
                    .runs
                    .iter()
                    .filter(|run| match quality.kind {
                        QualityKind::Sound => run.has_results(),
                        _ => readings_of(run) > 0,
                    })
                    .count(),
                n_readings: project.runs.iter().map(readings_of).sum(),
            }
        })
        .collect();
    ImportDocument {
        document: "import",
        version: VERSION,
        out: arguments.out.clone(),
        title: project.title.clone(),
        n_runs: project.runs.len(),
        n_readings: project.runs.iter().map(|run| run.readings.len()).sum(),
        factors: FactorDocument::all(project),
        responses,
        layers: project.layers.clone(),
        block: project.block.clone(),
        notes: imported.notes,
        warnings: imported.warnings,
    }
}

fn print(document: &ImportDocument, console: &mut Console<'_>) -> Result<(), CliError> {
    console.paragraph(&format!(
        "{}: {} runs with {} readings, written to {}.",
        document.title,
        document.n_runs,
        document.n_readings,
        document.out.display()
    ))?;
    let mut table = TextTable::new(&[
        ("film quality", Align::Left),
        ("kind", Align::Left),
        ("unit", Align::Left),
        ("runs", Align::Right),
        ("readings", Align::Right),
    ]);
    for response in &document.responses {
        table.row([
            response.label.clone(),
            response.kind.key().to_owned(),
            response.unit.clone(),
            response.n_runs.to_string(),
            response.n_readings.to_string(),
        ]);
    }
    if !table.is_empty() {
        for line in table.lines() {
            console.line(&line)?;
        }
    }
    for note in &document.notes {
        console.paragraph(note)?;
    }
    for warning in &document.warnings {
        console.message(&format!("Warning: {warning}"));
    }
    Ok(())
}
