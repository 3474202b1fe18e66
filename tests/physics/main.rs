//! Vouches for `wetlane-physics`: every number against an outside source or an independent second computation, every
//! limit against its properties, every bad input against its error.
//!
//! Kinds of check, stated beside each number: "published" (an outside number, its source named), "from memory" (an
//! outside number not seen again), "computed" (a second implementation gives the same number) and "identity" (exact).

#![expect(
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

#[path = "../support/mod.rs"]
mod support;

mod assessed;
mod bad_inputs;
mod batch;
mod cautions;
mod cold_gap;
mod dry_speed_tables;
mod drying;
mod drying_answers;
mod exhaust;
mod film_defects;
mod flexo;
mod gravure;
mod head_properties;
mod independent_margins;
mod infrared;
mod knife;
mod lamination;
mod landau_levich;
mod levelling;
mod limits_of_a_line;
mod metering;
mod numbers_that_are_none;
mod plasma;
mod probability;
mod properties;
mod pump_line;
mod quantities;
mod residual_solvent;
mod rheology;
mod room_air;
mod sample_lines;
mod sample_projects;
mod settling;
mod shading;
mod single_roll;
mod slot_die_window;
mod solvents;
mod uncertainties;
mod uv;
mod vapor_and_ozone;
mod verdicts;
mod web;
mod wetting;
mod window_axes;
mod window_ranges;
mod wire_bar;
mod words;

/// Compares within an absolute distance, for quantities whose zero is arbitrary.
#[track_caller]
fn assert_within(actual: f64, expected: f64, distance: f64, source: &str) {
    assert!(
        (actual - expected).abs() <= distance,
        "got {actual}, wanted {expected} ± {distance}: {source}"
    );
}

/// Compares with a published bracket.
#[track_caller]
fn assert_between(actual: f64, least: f64, greatest: f64, source: &str) {
    assert!(
        (least..=greatest).contains(&actual),
        "got {actual}, wanted {least} to {greatest}: {source}"
    );
}
