//! Sample B, invented: a hole-transport layer on polyester foil; a map with settings that are hard to change.
//!
//! Hidden truth: wet thickness sets the dry thickness; pinholes lie along a ridge of roller temperature against speed;
//! set-ups scatter twice as much as runs; the second day is 3 nm thicker; efficiency follows thickness and pinholes and
//! arrives late: 20 of 32 runs.

use std::collections::BTreeMap;

use super::super::card::{Field, HowKnown};
use super::super::feasibility::{Depth, Judge};
use super::super::planning::PlanError;
use super::super::presets::{heated_roller, lab_coater, new_project, quality, setting};
use super::super::project::{
    Goal, Importance, Outcome, PlanRecord, Project, QualityKind, Question, Reading, Role, Run,
    RunRole, SettingEntry, SettingValue, Settings,
};
use super::invented::{exact_reading, invented_card, number_at, varied};
use super::scatter::{Scatter, shown};
use wetlane_stats::design::{Purpose, RandomStream, Seed};

const SEED: u64 = 11;
const CREATED: &str = "2026-03-02T08:00:00Z";
const READ_AT: &str = "2026-03-05T16:00:00Z";
/// Runs whose device efficiency has arrived.
const WITH_EFFICIENCY: u32 = 20;

/// Gap and roller temperature of the eight set-ups, before shuffling: corners, middles and two centres.
const SET_UPS: [(f64, f64); 8] = [
    (80.0, 30.0),
    (80.0, 70.0),
    (200.0, 30.0),
    (200.0, 70.0),
    (140.0, 50.0),
    (140.0, 50.0),
    (80.0, 50.0),
    (140.0, 70.0),
];

/// Makes the sample.
///
/// # Errors
/// None; the signature is that of all samples.
pub fn hole_transport_layer() -> Result<Project, PlanError> {
    let mut project = empty();
    project.runs = planned_runs(&project);
    project.plan = Some(PlanRecord {
        question: Question::MapTheResponse,
        kind: "by-hand".to_owned(),
        model: "quadratic".to_owned(),
        options: BTreeMap::from([("set_ups".to_owned(), "8".to_owned()), ("blocks".to_owned(), "2".to_owned())]),
        seed: SEED,
        algorithm_version: 1,
        frozen_at: CREATED.to_owned(),
        factors: project.varied().cloned().collect(),
        notes: vec![
            "Eight set-ups of gap and roller temperature, four runs of speed and wet thickness in each, narrowed at \
             each gap to what the bead can hold. Set-ups and the runs in them are shuffled."
                .to_owned(),
        ],
    });
    read_all(&mut project);
    Ok(project)
}

fn empty() -> Project {
    let ink = invented_card(
        "Conducting-polymer dispersion in water",
        &[
            (Field::Viscosity, 8.0, "mPa·s", HowKnown::Measured),
            (Field::SurfaceTension, 32.0, "mN/m", HowKnown::Measured),
            (Field::Density, 0.99, "g/cm³", HowKnown::Measured),
            (Field::Solids, 1.1, "%", HowKnown::DataSheet),
            (Field::DryDensity, 1.1, "g/cm³", HowKnown::DataSheet),
            (Field::AngleOnLip, 30.0, "°", HowKnown::Guessed),
            (Field::AngleOnFoil, 20.0, "°", HowKnown::Measured),
        ],
        &[(Field::Solvent, "water"), (Field::Activity, "free")],
    );
    let foil = invented_card(
        "PET 125 µm",
        &[
            (Field::Thickness, 125.0, "µm", HowKnown::DataSheet),
            (Field::HighestTemperature, 120.0, "°C", HowKnown::DataSheet),
            (Field::RollLength, 80.0, "m", HowKnown::Measured),
        ],
        &[(Field::Material, "pet")],
    );
    let mut line = lab_coater();
    line.stations
        .retain(|station| station.kind != super::super::project::StationKind::Plasma);
    line.stations.insert(1, heated_roller());
    let mut project = new_project(
        "Hole-transport layer",
        SEED,
        CREATED.to_owned(),
        ink,
        foil,
        line,
    );
    "sample-b".clone_into(&mut project.id);
    "Invented demo project. A 70 nm layer without pinholes: map thickness and pinholes while gap and roller are hard to change."
        .clone_into(&mut project.purpose);
    project.settings = settings();
    project.qualities = qualities();
    project.budget.ink_ml = Some(120.0);
    project.budget.foil_m = Some(80.0);
    project.budget.hours = Some(10.0);
    project.budget.start_minutes = 20.0;
    project
}

fn settings() -> Vec<SettingEntry> {
    let mut air = setting(Role::GasTemperature);
    air.now = SettingValue::Number(100.0);
    vec![
        varied(Role::Gap, 80.0, 200.0, 140.0, 5.0),
        varied(Role::RollerTemperature, 30.0, 70.0, 50.0, 1.0),
        varied(Role::Speed, 0.8, 3.0, 1.6, 0.05),
        varied(Role::WetThickness, 5.0, 12.0, 7.5, 0.1),
        air,
    ]
}

fn qualities() -> Vec<super::super::project::Quality> {
    let mut thickness = quality("thickness", "Dry thickness", "nm");
    thickness.goal = Goal::Target {
        value: 70.0,
        tolerance: 5.0,
    };
    thickness.places = vec!["left".to_owned(), "centre".to_owned(), "right".to_owned()];
    let mut spread = quality("spread_across", "Spread across", "%");
    spread.goal = Goal::AtMost(5.0);
    let mut pinholes = quality("pinholes", "Pinholes", "per 10 cm²");
    pinholes.kind = QualityKind::Count;
    pinholes.goal = Goal::AtMost(2.0);
    let mut efficiency = quality("efficiency", "Device efficiency", "%");
    efficiency.goal = Goal::High;
    efficiency.importance = Importance::Wish;
    vec![thickness, spread, pinholes, efficiency]
}

/// The thinnest and fastest that the bead of each gap holds is found with the program's own limits.
fn planned_runs(project: &Project) -> Vec<Run> {
    let mut stream = RandomStream::new(Seed(SEED), Purpose::RunOrder, 0);
    let mut set_ups: Vec<(usize, (f64, f64))> = SET_UPS.into_iter().enumerate().collect();
    stream.shuffle(&mut set_ups);
    let mut judge = Judge::new(project);
    let mut runs = Vec::new();
    for (index, (place, (gap, roller))) in set_ups.into_iter().enumerate() {
        let mut inside: Vec<(usize, (f64, f64))> =
            four_runs(index).into_iter().enumerate().collect();
        stream.shuffle(&mut inside);
        for (inner, pair) in inside {
            let settings = narrowed(&mut judge, gap, roller, pair);
            let number = u32::try_from(runs.len() + 1).unwrap_or(u32::MAX);
            let day = if index < 4 { "1" } else { "2" };
            runs.push(Run {
                standard_order: u32::try_from(4 * place + inner + 1).ok(),
                set_up: u32::try_from(index + 1).ok(),
                labels: BTreeMap::from([("day".to_owned(), day.to_owned())]),
                ..Run::new(number, RunRole::Plan, settings)
            });
        }
    }
    runs
}

/// Speed and wet thickness of the four runs of a set-up: corners in one, points on the axes with the centre in the next.
fn four_runs(set_up: usize) -> Vec<(f64, f64)> {
    if set_up.is_multiple_of(2) {
        vec![(0.8, 5.0), (3.0, 12.0), (0.8, 12.0), (3.0, 5.0)]
    } else {
        vec![(1.9, 8.5), (0.8, 8.5), (3.0, 8.5), (1.9, 12.0)]
    }
}

/// The nearest settings towards slow and thick that the limits allow at this gap.
fn narrowed(judge: &mut Judge<'_>, gap: f64, roller: f64, (speed, wet): (f64, f64)) -> Settings {
    let at = |share: f64| {
        let slower = speed + share * (0.8 - speed);
        let thicker = wet + share * (12.0 - wet);
        Settings::from([
            ("gap".to_owned(), SettingValue::Number(gap)),
            (
                "roller_temperature".to_owned(),
                SettingValue::Number(roller),
            ),
            ("speed".to_owned(), SettingValue::Number(shown(slower, 2))),
            (
                "wet_thickness".to_owned(),
                SettingValue::Number(shown(thicker, 1)),
            ),
        ])
    };
    for step in 0..=20 {
        let settings = at(f64::from(step) / 20.0);
        let margin = judge
            .judge(&settings, Depth::Nominal)
            .ok()
            .and_then(|judged| judged.margin());
        if margin.is_some_and(|margin| margin >= 0.05) {
            return settings;
        }
    }
    at(1.0)
}

/// What the readings follow, at one run.
struct Truth {
    speed: f64,
    wet: f64,
    roller: f64,
}

impl Truth {
    fn of(project: &Project, run: &Run) -> Self {
        let settings = project.settings_of(run);
        let at = |id: &str| number_at(&settings, id);
        Self {
            speed: at("speed"),
            wet: at("wet_thickness"),
            roller: at("roller_temperature"),
        }
    }

    /// Dry thickness [nm] by the mass balance of the ink, 0.1 nm lost per m/min.
    fn thickness(&self) -> f64 {
        9.9 * self.wet - 0.6 * (self.speed - 1.9)
    }

    /// Pinholes on 10 cm²: few where the roller suits the speed.
    fn pinholes(&self) -> f64 {
        let off_ridge = (self.roller - 40.0 - 9.0 * (self.speed - 0.8)) / 15.0;
        0.8 + 1.6 * off_ridge.powi(2)
    }

    fn spread(&self) -> f64 {
        2.2 + 0.5 * self.speed + 6.0 / self.wet
    }

    fn efficiency(&self) -> f64 {
        let off = (self.thickness() - 72.0) / 20.0;
        12.5 - 1.4 * off.powi(2) - 0.25 * self.pinholes()
    }
}

fn read_all(project: &mut Project) {
    let mut runs = project.runs.clone();
    for run in &mut runs {
        let mut set_up = Scatter::new(SEED, 1000 + run.set_up.unwrap_or(0));
        let shift = 2.0 * set_up.normal();
        let day = if run.labels.get("day").is_some_and(|day| day == "2") {
            3.0
        } else {
            0.0
        };
        let mut scatter = Scatter::new(SEED, run.number);
        run.outcome = Outcome::Sound;
        let truth = Truth::of(project, run);
        run.readings = readings_of(run.number, &truth, shift + day, &mut scatter);
    }
    project.runs = runs;
}

fn readings_of(run: u32, truth: &Truth, shift: f64, scatter: &mut Scatter) -> Vec<Reading> {
    let mut readings = Vec::new();
    let mut add = |quality: &str, place: &str, value: f64| {
        readings.push(exact_reading(quality, place, value, READ_AT));
    };
    let level = truth.thickness() + shift + scatter.normal();
    for (place, profile) in [("left", 0.6), ("centre", -0.8), ("right", 0.2)] {
        add(
            "thickness",
            place,
            shown(level + profile + 0.5 * scatter.normal(), 1),
        );
    }
    add(
        "spread_across",
        "",
        shown((truth.spread() + 0.3 * scatter.normal()).max(0.1), 1),
    );
    add(
        "pinholes",
        "",
        (truth.pinholes() + 0.7 * scatter.normal()).round().max(0.0),
    );
    if run <= WITH_EFFICIENCY {
        add(
            "efficiency",
            "",
            shown(truth.efficiency() + 0.15 * scatter.normal(), 2),
        );
    }
    readings
}
