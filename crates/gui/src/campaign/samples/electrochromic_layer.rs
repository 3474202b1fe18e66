//! Sample D, invented: an electrochromic layer by gravure; rolls as a category, two days, a bottle that broke.
//!
//! Hidden truth: what a roll hands over grows with its cells; the dry mass trades contrast, which saturates, against
//! switching, which slows; haze grows with mass, air and speed, and more on the coarsest roll; plasma dose drives
//! adhesion. The second day is a little hazier. Only a narrow band of dry mass meets all goals.

use std::collections::BTreeMap;

use super::super::card::{Field, HowKnown};
use super::super::planning::PlanError;
use super::super::presets::{lab_coater_with, new_project, quality, setting};
use super::super::project::{
    BlockChoice, EffortClass, Goal, Outcome, PlanRecord, Project, Quality, QualityKind, Question,
    Reading, Role, Run, RunRole, SettingEntry, SettingValue, Settings, Variation,
};
use super::super::pull::pull;
use super::best_point::choose;
use super::invented::{exact_reading, fit_with, invented_card, note_step, number_at, varied};
use super::scatter::{Scatter, cross_cut_class, shown};
use wetlane_physics::HeadKind;
use wetlane_stats::design::{Purpose, RandomStream, Seed};

const SEED: u64 = 17;
const CREATED: &str = "2026-05-18T07:30:00Z";
const DAY_1_READ_AT: &str = "2026-05-18T17:30:00Z";
const DAY_2_READ_AT: &str = "2026-05-19T15:00:00Z";
const CHECKS_READ_AT: &str = "2026-05-19T17:30:00Z";
const N_CHECK_RUNS: usize = 3;
/// Numbers of each range among which the chosen point is looked for.
const N_GRID: usize = 7;

/// One filling of the trough: roll, solids, air temperature, and speed with dose of its runs.
type Filling = (&'static str, f64, f64, [(f64, f64); 2]);

/// The fillings of the first day, before shuffling.
const DAY_1: [Filling; 7] = [
    ("12", 6.0, 80.0, [(6.0, 35.0), (3.0, 10.0)]),
    ("12", 14.0, 120.0, [(1.0, 40.0), (3.5, 20.0)]),
    ("20", 6.0, 120.0, [(4.5, 40.0), (1.5, 12.0)]),
    ("20", 10.0, 100.0, [(2.0, 30.0), (5.0, 12.0)]),
    ("20", 14.0, 80.0, [(6.0, 5.0), (3.0, 35.0)]),
    ("30", 6.0, 80.0, [(6.0, 20.0), (2.5, 5.0)]),
    BROKEN_BOTTLE,
];
/// The filling whose bottle broke: its films do not exist.
const BROKEN_BOTTLE: Filling = ("30", 14.0, 100.0, [(1.5, 25.0), (4.0, 40.0)]);
/// The fillings of the second day, chosen after a look at the first: around the dry mass that trades contrast against
/// switching, with the dose that holds.
const DAY_2: [Filling; 3] = [
    ("20", 11.0, 90.0, [(4.0, 35.0), (6.0, 28.0)]),
    ("20", 9.0, 110.0, [(3.0, 30.0), (5.5, 40.0)]),
    ("30", 7.5, 100.0, [(2.5, 35.0), (5.0, 28.0)]),
];

/// Makes the sample.
///
/// # Errors
/// None; the signature is that of all samples.
pub fn electrochromic_layer() -> Result<Project, PlanError> {
    let mut project = empty();
    plan_day_1(&mut project);
    pull_infeasible(&mut project);
    note_step(
        &mut project,
        "Plan frozen: seven fillings of two runs",
        CREATED,
    );
    coat(&mut project, DAY_1_READ_AT);
    note_step(
        &mut project,
        "First day read; the bottle of one filling broke",
        DAY_1_READ_AT,
    );
    add_day_2(&mut project);
    note_step(
        &mut project,
        "Second campaign: six runs chosen after a look at the first",
        DAY_1_READ_AT,
    );
    coat(&mut project, DAY_2_READ_AT);
    choose_terms(&mut project);
    choose(&mut project, N_GRID, N_CHECK_RUNS);
    for run in project
        .runs
        .iter_mut()
        .filter(|run| run.role == RunRole::Check)
    {
        run.labels = day("2");
    }
    note_step(
        &mut project,
        "Point chosen, three check runs with their promises",
        DAY_2_READ_AT,
    );
    coat(&mut project, CHECKS_READ_AT);
    note_step(&mut project, "Check runs read", CHECKS_READ_AT);
    Ok(project)
}

fn empty() -> Project {
    let ink = invented_card(
        "Electrochromic dispersion in water",
        &[
            (Field::Viscosity, 30.0, "mPa·s", HowKnown::Measured),
            (Field::SurfaceTension, 30.0, "mN/m", HowKnown::Measured),
            (Field::Density, 1.0, "g/cm³", HowKnown::Measured),
            (Field::AngleOnFoil, 25.0, "°", HowKnown::Measured),
        ],
        &[(Field::Solvent, "water"), (Field::Activity, "free")],
    );
    let foil = invented_card(
        "PET 100 µm",
        &[
            (Field::Thickness, 100.0, "µm", HowKnown::DataSheet),
            (Field::SurfaceEnergy, 42.0, "mN/m", HowKnown::Measured),
            (Field::HighestTemperature, 130.0, "°C", HowKnown::DataSheet),
            (Field::RollLength, 60.0, "m", HowKnown::Measured),
        ],
        &[(Field::Material, "pet")],
    );
    let mut project = new_project(
        "Electrochromic layer",
        SEED,
        CREATED.to_owned(),
        ink,
        foil,
        lab_coater_with(HeadKind::Gravure),
    );
    "sample-d".clone_into(&mut project.id);
    "Invented demo project. Three engraved rolls, two days and a broken bottle: the narrow band where a layer both \
     colours and switches."
        .clone_into(&mut project.purpose);
    project.settings = settings();
    project.qualities = qualities();
    project.block = Some(BlockChoice {
        name: "day".to_owned(),
        random: false,
    });
    project.budget.ink_ml = Some(300.0);
    project.budget.foil_m = Some(60.0);
    project.budget.hours = Some(16.0);
    project.budget.start_minutes = 30.0;
    project
}

fn settings() -> Vec<SettingEntry> {
    let mut roll = setting(Role::CellVolume);
    "engraved_roll".clone_into(&mut roll.id);
    "Engraved roll".clone_into(&mut roll.label);
    roll.variation = Variation::Categories {
        levels: ["12", "20", "30"].map(ToOwned::to_owned).to_vec(),
    };
    roll.now = SettingValue::Level("20".to_owned());
    let mut solids = varied(Role::Solids, 6.0, 14.0, 10.0, 0.5);
    solids.effort.class = EffortClass::StripDown;
    solids.effort.minutes = 15.0;
    vec![
        roll,
        varied(Role::Speed, 1.0, 6.0, 3.0, 0.1),
        solids,
        varied(Role::GasTemperature, 80.0, 120.0, 100.0, 1.0),
        varied(Role::PlasmaDose, 5.0, 40.0, 22.5, 0.5),
    ]
}

fn qualities() -> Vec<Quality> {
    let mut contrast = quality("contrast", "Optical density change", "");
    contrast.goal = Goal::AtLeast(0.35);
    let mut haze = quality("haze", "Haze", "%");
    haze.goal = Goal::AtMost(1.5);
    let mut switching = quality("switching", "Switching", "s");
    switching.goal = Goal::AtMost(8.0);
    let mut class = quality("cross_cut", "Cross-cut class", "");
    class.kind = QualityKind::Class;
    class.goal = Goal::AtMost(1.0);
    vec![contrast, haze, switching, class]
}

fn day(day: &str) -> BTreeMap<String, String> {
    BTreeMap::from([("day".to_owned(), day.to_owned())])
}

fn plan_day_1(project: &mut Project) {
    let mut stream = RandomStream::new(Seed(SEED), Purpose::RunOrder, 0);
    let mut fillings: Vec<(usize, Filling)> = DAY_1.into_iter().enumerate().collect();
    stream.shuffle(&mut fillings);
    for (place, (roll, solids, air, runs)) in fillings {
        let mut runs: Vec<(usize, (f64, f64))> = runs.into_iter().enumerate().collect();
        stream.shuffle(&mut runs);
        let set_up = next_set_up(project);
        for (inner, (speed, dose)) in runs {
            let settings = settings_of(roll, solids, air, (speed, dose));
            project.runs.push(Run {
                standard_order: u32::try_from(2 * place + inner + 1).ok(),
                set_up: Some(set_up),
                labels: day("1"),
                ..Run::new(project.next_run_number(), RunRole::Plan, settings)
            });
        }
    }
    project.plan = Some(PlanRecord {
        question: Question::FindTheBest,
        kind: "by-hand".to_owned(),
        model: "linear".to_owned(),
        options: BTreeMap::from([("set_ups".to_owned(), "7".to_owned())]),
        seed: SEED,
        algorithm_version: 1,
        frozen_at: CREATED.to_owned(),
        factors: project.varied().cloned().collect(),
        notes: vec![
            "Seven fillings of roll and bottle at one air temperature each, two runs of speed and dose in each. Fillings \
             and the runs in them are shuffled."
                .to_owned(),
        ],
    });
}

fn add_day_2(project: &mut Project) {
    for (roll, solids, air, runs) in DAY_2 {
        let set_up = next_set_up(project);
        for pair in runs {
            let settings = settings_of(roll, solids, air, pair);
            project.runs.push(Run {
                set_up: Some(set_up),
                labels: day("2"),
                ..Run::new(project.next_run_number(), RunRole::Added, settings)
            });
        }
    }
}

fn next_set_up(project: &Project) -> u32 {
    let last = project.runs.iter().filter_map(|run| run.set_up).max();
    last.unwrap_or(0) + 1
}

fn settings_of(roll: &str, solids: f64, air: f64, (speed, dose): (f64, f64)) -> Settings {
    let number = |id: &str, value| (id.to_owned(), SettingValue::Number(value));
    Settings::from([
        (
            "engraved_roll".to_owned(),
            SettingValue::Level(roll.to_owned()),
        ),
        number("solids", solids),
        number("air_temperature", air),
        number("speed", speed),
        number("plasma_dose", dose),
    ])
}

fn pull_infeasible(project: &mut Project) {
    let pulled: Vec<Option<Settings>> = project
        .runs
        .iter()
        .map(|run| pull(project, run).map(|pulled| pulled.settings))
        .collect();
    for (run, pulled) in project.runs.iter_mut().zip(pulled) {
        run.pulled = pulled.unwrap_or_default();
    }
}

/// Terms that the mechanisms suggest: contrast and switching by what each roll hands over of the solids.
fn choose_terms(project: &mut Project) {
    for quality in ["contrast", "switching"] {
        fit_with(
            project,
            quality,
            "engraved_roll, solids, engraved_roll*solids",
        );
    }
    fit_with(
        project,
        "haze",
        "engraved_roll, solids, speed, air_temperature",
    );
    fit_with(project, "cross_cut", "plasma_dose");
}

/// What the readings follow, at one run.
struct Truth {
    roll: f64,
    speed: f64,
    solids: f64,
    air: f64,
    dose: f64,
    is_second_day: bool,
}

impl Truth {
    fn of(project: &Project, run: &Run) -> Self {
        let settings = project.settings_of(run);
        let at = |id: &str| number_at(&settings, id);
        let roll = settings.get("engraved_roll");
        Self {
            roll: roll.and_then(SettingValue::measure).unwrap_or(0.0),
            speed: at("speed"),
            solids: at("solids"),
            air: at("air_temperature"),
            dose: at("plasma_dose"),
            is_second_day: run.labels.get("day").is_some_and(|day| day == "2"),
        }
    }

    /// Dry mass [g/m²]: the coarser the cells, the larger the share that they hand over.
    fn dry_mass(&self) -> f64 {
        let transfer = 0.45 + 0.003 * (self.roll - 20.0);
        transfer * self.roll * self.solids / 100.0
    }

    fn contrast(&self) -> f64 {
        0.75 * self.dry_mass() / (self.dry_mass() + 0.85)
    }

    fn switching(&self) -> f64 {
        2.0 + 3.4 * self.dry_mass() + 2.0 * self.dry_mass().powi(2)
    }

    fn haze(&self) -> f64 {
        let coarse = if self.roll > 25.0 { 0.25 } else { 0.0 };
        let second_day = if self.is_second_day { 0.05 } else { 0.0 };
        let drying = 0.010 * (self.air - 100.0) + 0.05 * (self.speed - 3.0);
        0.75 + 0.3 * self.dry_mass() + drying + coarse + second_day
    }

    fn adhesion(&self) -> f64 {
        2.3 - 0.055 * self.dose
    }
}

/// Coats and reads every run that was not made yet, but for those whose bottle broke.
fn coat(project: &mut Project, read_at: &str) {
    let (roll, solids, air, _) = BROKEN_BOTTLE;
    let broken = settings_of(roll, solids, air, (0.0, 0.0));
    let mut runs = std::mem::take(&mut project.runs);
    for run in runs.iter_mut().filter(|run| !run.has_results()) {
        let is_of_broken = ["engraved_roll", "solids", "air_temperature"]
            .iter()
            .all(|id| run.planned.get(*id) == broken.get(*id));
        if is_of_broken {
            "bottle of 14 % broke, no film".clone_into(&mut run.note);
            continue;
        }
        let truth = Truth::of(project, run);
        run.outcome = Outcome::Sound;
        run.readings = readings_of(&truth, &mut Scatter::new(SEED, run.number), read_at);
    }
    project.runs = runs;
}

fn readings_of(truth: &Truth, scatter: &mut Scatter, read_at: &str) -> Vec<Reading> {
    let [contrast, haze, switching, class] =
        [0.008, 0.05, 0.20, 0.25].map(|sd| sd * scatter.normal());
    [
        ("contrast", shown(truth.contrast() + contrast, 3)),
        ("haze", shown(truth.haze() + haze, 2)),
        ("switching", shown(truth.switching() + switching, 1)),
        ("cross_cut", cross_cut_class(truth.adhesion() + class)),
    ]
    .into_iter()
    .map(|(quality, value)| exact_reading(quality, "", value, read_at))
    .collect()
}
