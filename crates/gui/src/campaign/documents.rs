//! Run sheet and report of a project, complete: everything they need is computed here.

use super::feasibility::{Depth, judge_runs};
use super::project::Project;
use super::report::{ReportInput, ReportParts};
use super::run_sheet::sheet;

/// The run sheet as a self-contained page.
pub fn run_sheet_html(project: &Project) -> String {
    sheet(project, &judge_runs(project, Depth::WithDoubts)).to_html()
}

/// The run sheet as a table of comma-separated values.
pub fn run_sheet_csv(project: &Project) -> String {
    sheet(project, &judge_runs(project, Depth::WithDoubts)).to_csv()
}

/// The report with these parts as a self-contained page; `now` (UTC, RFC 3339) is the time it bears.
pub fn report_html(project: &Project, now: &str, parts: ReportParts) -> String {
    // Nothing stops the work, so it is always there at the end.
    ReportInput::gather(project, now, parts, &|_| false)
        .map_or_else(String::new, |input| input.to_html())
}
