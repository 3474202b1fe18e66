//! Tables in: text, imports, readings and pasted blocks.
//!
//! Invented tables are small and say what they show. Published ones lie in `tests/data/tables`. The comma-separated form
//! is checked against RFC 4180 and against the `csv` package as an independent writer and reader.

#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

mod entry;
mod import;
mod import_refusals;
mod preview;
mod published;
mod request;
mod text;

use wetlane::campaign::project::Project;
use wetlane::campaign::table_problem::Problems;
use wetlane::campaign::table_text::{Table, TableOptions};

/// An empty project with fixed id and time.
fn empty_project() -> Project {
    Project::new(
        "Invented table",
        "test-id".to_owned(),
        "2026-05-04T09:30:00Z".to_owned(),
        1,
    )
}

/// A text that must be a table.
#[track_caller]
fn table(text: &str) -> Table {
    Table::read(text, &TableOptions::default()).unwrap_or_else(|problems| panic!("{problems}"))
}

/// Messages one by one.
fn messages<F: std::fmt::Display>(problems: &Problems<F>) -> Vec<String> {
    problems.0.iter().map(ToString::to_string).collect()
}
