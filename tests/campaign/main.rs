//! Vouches for the campaign: projects, commands, tables in and out, and whole campaigns, all without a window.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on says so by ending, in its parts too"
)]

#[path = "../support/mod.rs"]
mod support;

#[path = "../support/reference.rs"]
#[expect(
    dead_code,
    clippy::panic,
    reason = "other tests read more of the reference cases; a test fails by panicking"
)]
mod reference;

mod card_fields;
mod card_files;
mod chances;
mod command_line;
mod documents;
#[expect(clippy::panic, reason = "a test fails by panicking")]
mod documents_by_schema;
mod fits_by_command;
#[expect(clippy::panic, reason = "a test fails by panicking")]
mod heads;
mod limits_by_command;
mod plan_kinds;
mod plan_worth;
mod project_files;
mod questions;
mod reading_table;
mod samples;
mod stations;
mod tables;
mod undo_and_journal;
mod whole_campaign;
mod window_chances;
