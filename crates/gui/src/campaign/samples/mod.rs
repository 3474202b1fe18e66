//! Invented sample projects with readings made from a stated truth and a seed.
//!
//! Everything in them is made up: inks, numbers, results. The plan comes from the program's own planning, the limits
//! from its own physics, and the readings from the hidden truth that stands as formulas in each sample's file plus
//! normal scatter. `cargo run --example make_samples` writes the files; a test makes sure that they are up to date.

mod battery_cathode;
mod best_point;
mod electrochromic_layer;
mod hole_transport_layer;
mod invented;
mod nanowire_electrode;
mod scatter;

use super::planning::PlanError;
use super::project::Project;

pub use battery_cathode::battery_cathode;
pub use electrochromic_layer::electrochromic_layer;
pub use hole_transport_layer::hole_transport_layer;
pub use nanowire_electrode::nanowire_electrode;

/// A sample that ships with the program.
#[derive(Debug, Clone, Copy)]
pub struct Sample {
    /// Name of its file in `sample-projects`.
    pub file_name: &'static str,
    /// Title on the start page.
    pub title: &'static str,
    /// One sentence of what it shows.
    pub shows: &'static str,
    /// Its bytes.
    pub bytes: &'static [u8],
    /// Makes it anew.
    pub make: fn() -> Result<Project, PlanError>,
}

/// The samples in the order of the start page.
pub const SAMPLES: [Sample; 4] = [
    Sample {
        file_name: "a-silver-nanowire-electrode.json",
        title: "Silver-nanowire electrode",
        shows: "Which of six settings matter: 16 runs and 3 return runs, six corners cannot run.",
        bytes: include_bytes!("../../../../../sample-projects/a-silver-nanowire-electrode.json"),
        make: nanowire_electrode,
    },
    Sample {
        file_name: "b-hole-transport-layer.json",
        title: "Hole-transport layer",
        shows: "A map of the response with settings that are hard to change: eight set-ups of four runs.",
        bytes: include_bytes!("../../../../../sample-projects/b-hole-transport-layer.json"),
        make: hole_transport_layer,
    },
    Sample {
        file_name: "c-battery-cathode.json",
        title: "Battery cathode",
        shows: "Where a slurry coats sound at all: 24 spread-out runs, six near the border, three check runs.",
        bytes: include_bytes!("../../../../../sample-projects/c-battery-cathode.json"),
        make: battery_cathode,
    },
    Sample {
        file_name: "d-electrochromic-gravure.json",
        title: "Electrochromic layer",
        shows: "Three engraved rolls over two days: 14 runs, a broken bottle, six runs after a look, three check runs.",
        bytes: include_bytes!("../../../../../sample-projects/d-electrochromic-gravure.json"),
        make: electrochromic_layer,
    },
];
