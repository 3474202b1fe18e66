//! Vouches for the campaign: projects, commands, tables in and out, and whole campaigns, all without a window.

#[path = "../support/mod.rs"]
mod support;

mod documents;
mod samples;
mod tables;
