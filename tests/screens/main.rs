//! Screens and widgets, driven by their visible words and drawn without a display.

#![expect(
    clippy::expect_used,
    reason = "a test that cannot go on says so by ending, in its parts too"
)]

mod desk;
mod gallery;
mod heads_screen;
mod line_screen;
mod pictures;
mod plan_screen;
mod plan_to_report;
mod plots;
mod readings_screen;
mod roll_screen;
mod samples_screen;
mod software_renderer;
mod stations_screen;
mod widgets;
