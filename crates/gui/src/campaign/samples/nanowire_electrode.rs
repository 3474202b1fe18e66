//! Sample A, invented: a silver-nanowire electrode on polyester foil; which of six settings matter.
//!
//! Hidden truth: sheet resistance falls with (wet thickness · wire content)^−1.3 and bends a little with air
//! temperature through the binder; haze and transmittance follow the amount of wire; plasma dose drives adhesion;
//! speed widens the spread across; gap does nothing.

use super::super::card::{Field, HowKnown};
use super::super::command::Command;
use super::super::planning::{PlanError, PlanRequest, make_plan};
use super::super::presets::{lab_coater, new_project, quality, setting};
use super::super::project::{
    EffortClass, Goal, Importance, Outcome, Project, QualityKind, QualityScale, Question, Reading,
    Role, Run, SettingEntry, SettingValue, Variation,
};
use super::super::pull::pull;
use super::invented::{exact_reading, invented_card, number_at, varied};
use super::scatter::{Scatter, cross_cut_class, shown};
use wetlane_stats::design::{DesignKind, DesignRequest, Progress, Seed};

const SEED: u64 = 7;
const CREATED: &str = "2026-02-03T08:00:00Z";
const READ_AT: &str = "2026-02-04T15:30:00Z";
/// Run whose bead tore although the model let it pass.
const FAULTY_ROLE_OFFSET: u32 = 16;
/// Runs whose transmittance was not read yet.
const NOT_READ: [u32; 4] = [13, 15, 17, 18];

/// Makes the sample.
///
/// # Errors
/// [`PlanError`] if the plan could not be made; never with the settings here.
pub fn nanowire_electrode() -> Result<Project, PlanError> {
    let mut project = empty();
    let mut design = DesignRequest::new(DesignKind::FractionalFactorial, Seed(SEED));
    design.n_runs = Some(16);
    design.n_centre = Some(0);
    design.n_return = Some(3);
    let request = PlanRequest {
        question: Question::WhichMatter,
        model: "linear".to_owned(),
        design,
    };
    let (record, runs) = make_plan(&project, &request, CREATED, &Progress::unwatched())?;
    project.plan = Some(record);
    project.runs = runs;
    pull_infeasible(&mut project);
    read_all(&mut project);
    Ok(project)
}

fn empty() -> Project {
    let ink = invented_card(
        "Silver nanowires in water and alcohol",
        &[
            (Field::Viscosity, 12.0, "mPa·s", HowKnown::Measured),
            (Field::SurfaceTension, 28.0, "mN/m", HowKnown::Measured),
            (Field::Density, 0.98, "g/cm³", HowKnown::Measured),
            (Field::LargestParticle, 13.0, "µm", HowKnown::DataSheet),
            (Field::AngleOnLip, 30.0, "°", HowKnown::Guessed),
            (Field::AngleOnFoil, 20.0, "°", HowKnown::Measured),
            (Field::PotLife, 8.0, "h", HowKnown::DataSheet),
        ],
        &[(Field::Solvent, "water"), (Field::Activity, "free")],
    );
    let foil = invented_card(
        "PET 125 µm",
        &[
            (Field::Thickness, 125.0, "µm", HowKnown::DataSheet),
            (Field::SurfaceEnergy, 36.0, "mN/m", HowKnown::Measured),
            (Field::HighestTemperature, 120.0, "°C", HowKnown::DataSheet),
            (Field::RollLength, 40.0, "m", HowKnown::Measured),
        ],
        &[(Field::Material, "pet")],
    );
    let mut project = new_project(
        "Silver-nanowire electrode",
        SEED,
        CREATED.to_owned(),
        ink,
        foil,
        lab_coater(),
    );
    "sample-a".clone_into(&mut project.id);
    "Invented demo project. A transparent electrode: which of six settings matter for resistance, haze and adhesion?"
        .clone_into(&mut project.purpose);
    project.settings = settings();
    project.qualities = qualities();
    project.budget.ink_ml = Some(60.0);
    project.budget.foil_m = Some(40.0);
    project.budget.hours = Some(6.0);
    project.budget.start_minutes = 20.0;
    project
}

fn settings() -> Vec<SettingEntry> {
    let mut content = setting(Role::Solids);
    "wire_content".clone_into(&mut content.id);
    "Wire content".clone_into(&mut content.label);
    content.variation = Variation::Levels {
        levels: vec![0.15, 0.30],
    };
    content.now = SettingValue::Number(0.30);
    content.effort.class = EffortClass::StripDown;
    content.effort.minutes = 35.0;
    vec![
        varied(Role::Speed, 0.6, 2.4, 1.2, 0.01),
        varied(Role::WetThickness, 10.0, 24.0, 17.0, 0.1),
        varied(Role::Gap, 100.0, 250.0, 175.0, 5.0),
        varied(Role::GasTemperature, 70.0, 110.0, 90.0, 1.0),
        varied(Role::PlasmaDose, 5.0, 40.0, 22.5, 0.5),
        content,
    ]
}

fn qualities() -> Vec<super::super::project::Quality> {
    let mut resistance = quality("sheet_resistance", "Sheet resistance", "Ω/sq");
    resistance.goal = Goal::AtMost(40.0);
    resistance.scale = QualityScale::Log;
    resistance.places = vec!["left".to_owned(), "centre".to_owned(), "right".to_owned()];
    let mut haze = quality("haze", "Haze", "%");
    haze.goal = Goal::AtMost(1.8);
    let mut transmittance = quality("transmittance", "Transmittance", "%");
    transmittance.goal = Goal::AtLeast(88.0);
    let mut class = quality("cross_cut", "Cross-cut class", "");
    class.kind = QualityKind::Class;
    class.goal = Goal::AtMost(1.0);
    let mut spread = quality("spread_across", "Spread across", "%");
    spread.goal = Goal::AtMost(8.0);
    spread.importance = Importance::Wish;
    vec![resistance, haze, transmittance, class, spread]
}

fn pull_infeasible(project: &mut Project) {
    let runs = project.runs.clone();
    for run in &runs {
        if let Some(pulled) = pull(project, run) {
            let command = Command::PullRun {
                run: run.number,
                pulled: pulled.settings,
            };
            if let Err(refusal) = command.apply(project) {
                log::warn!("{refusal}");
            }
        }
    }
}

/// What the readings follow, at one run.
struct Truth {
    speed: f64,
    wet: f64,
    air: f64,
    dose: f64,
    content: f64,
}

impl Truth {
    fn of(project: &Project, run: &Run) -> Self {
        let settings = project.settings_of(run);
        let at = |id: &str| number_at(&settings, id);
        Self {
            speed: at("speed"),
            wet: at("wet_thickness"),
            air: at("air_temperature"),
            dose: at("plasma_dose"),
            content: at("wire_content"),
        }
    }

    fn wire(&self) -> f64 {
        self.wet * self.content
    }

    fn sheet_resistance(&self) -> f64 {
        let binder = 1.0 + 0.05 * ((self.air - 95.0) / 20.0).powi(2);
        75.0 * (self.wire() / 2.55).powf(-1.3) * binder * (1.0 + 0.05 * (self.speed - 1.2))
    }

    fn haze(&self) -> f64 {
        0.37 + 0.226 * self.wire()
    }

    fn transmittance(&self) -> f64 {
        91.9 - 0.39 * self.wire()
    }

    fn adhesion(&self) -> f64 {
        2.4 - 0.055 * self.dose
    }

    fn spread(&self) -> f64 {
        1.9 + 0.8 * self.speed
    }
}

fn read_all(project: &mut Project) {
    let faulty = faulty_run(project);
    let mut runs = project.runs.clone();
    for run in &mut runs {
        let mut scatter = Scatter::new(SEED, run.number);
        if run.number == faulty {
            run.outcome = Outcome::Faulty {
                faults: vec!["cross bars".to_owned()],
            };
            "cross bars, 11 mm apart".clone_into(&mut run.note);
            continue;
        }
        run.outcome = Outcome::Sound;
        let truth = Truth::of(project, run);
        run.readings = readings_of(run.number, &truth, &mut scatter);
    }
    project.runs = runs;
}

/// A run near the limit of the bead: the last one that was pulled for it, so that the model's scatter shows.
fn faulty_run(project: &Project) -> u32 {
    let pulled = project
        .runs
        .iter()
        .filter(|run| !run.pulled.is_empty())
        .map(|run| run.number);
    pulled.max().unwrap_or(FAULTY_ROLE_OFFSET)
}

fn readings_of(run: u32, truth: &Truth, scatter: &mut Scatter) -> Vec<Reading> {
    let mut readings = Vec::new();
    let mut add = |quality: &str, place: &str, value: f64| {
        readings.push(exact_reading(quality, place, value, READ_AT));
    };
    let run_level = truth.sheet_resistance() * scatter.factor(0.03);
    for (place, profile) in [("left", 1.01), ("centre", 0.98), ("right", 1.01)] {
        add(
            "sheet_resistance",
            place,
            shown(run_level * profile * scatter.factor(0.008), 1),
        );
    }
    add("haze", "", shown(truth.haze() + 0.04 * scatter.normal(), 2));
    let transmittance = shown(truth.transmittance() + 0.15 * scatter.normal(), 1);
    if !NOT_READ.contains(&run) {
        add("transmittance", "", transmittance);
    }
    add(
        "cross_cut",
        "",
        cross_cut_class(truth.adhesion() + 0.35 * scatter.normal()),
    );
    add(
        "spread_across",
        "",
        shown((truth.spread() + 0.3 * scatter.normal()).max(0.1), 1),
    );
    readings
}
