//! `limits` and `predict`: margins against a second implementation, what is assumed, and when the answer is "no".

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

use serde_json::Value;
use wetlane::campaign::card::{Card, Field};
use wetlane::campaign::project::{
    Effort, LineCard, Project, Role, SettingEntry, SettingValue, StationCard, StationKind,
    Variation, WebMode,
};
use wetlane::campaign::project_file;
use wetlane::campaign::samples::SAMPLES;

use crate::command_line::{answer, document};
use crate::support::workspace_file;

fn new_project() -> Project {
    Project::new(
        "Invented film",
        "invented".to_owned(),
        "2026-01-05T08:00:00Z".to_owned(),
        1,
    )
}

fn fixed(id: &str, role: Role, value: f64, unit: &str) -> SettingEntry {
    SettingEntry {
        id: id.to_owned(),
        label: id.to_owned(),
        role,
        unit: unit.to_owned(),
        now: SettingValue::Number(value),
        variation: Variation::Fixed,
        step: None,
        scatter: None,
        effort: Effort::default(),
    }
}

fn varied(id: &str, role: Role, (low, high): (f64, f64), unit: &str) -> SettingEntry {
    SettingEntry {
        variation: Variation::Range {
            low,
            high,
            log: false,
        },
        ..fixed(id, role, low, unit)
    }
}

fn line(card: Card, stations: Vec<(StationKind, Card)>) -> LineCard {
    LineCard {
        web: WebMode::RollToRoll,
        card,
        stations: stations
            .into_iter()
            .map(|(kind, card)| StationCard { kind, card })
            .collect(),
    }
}

fn write(project: &Project, path: &Path) {
    project_file::save(project, path, None).unwrap();
}

/// One line of `tests/data/physics/reference_margins.csv` by the heads of its columns.
struct Case(BTreeMap<String, String>);

impl Case {
    fn all() -> Vec<Self> {
        let path = workspace_file("tests/data/physics/reference_margins.csv");
        let text = std::fs::read_to_string(path).unwrap();
        let mut lines = text.lines().filter(|line| !line.starts_with('#'));
        let split = |line: &str| line.split(';').map(str::to_owned).collect::<Vec<_>>();
        let names = split(lines.next().unwrap());
        lines
            .map(|line| Self(names.iter().cloned().zip(split(line)).collect()))
            .collect()
    }

    fn number(&self, name: &str) -> Option<f64> {
        match self.0[name].as_str() {
            "-" => None,
            text => Some(text.parse().unwrap()),
        }
    }

    /// A card of some columns, each in the unit that the column names.
    fn card(&self, fields: &[(Field, &str, &str)]) -> Card {
        fields.iter().fold(
            Card::named("card"),
            |card, (field, column, unit)| match self.number(column) {
                Some(value) => card.with(*field, value, unit),
                None => card,
            },
        )
    }

    fn ink(&self) -> Card {
        let card = self.card(&[
            (Field::SurfaceTension, "surface_tension_n_per_m", "N/m"),
            (Field::Density, "density_kg_per_m3", "kg/m³"),
            (Field::DryDensity, "dry_density_kg_per_m3", "kg/m³"),
            (Field::AngleOnLip, "angle_on_lip_deg", "°"),
            (Field::AngleOnFoil, "angle_on_foil_deg", "°"),
        ]);
        let consistency = self.number("consistency_pa_s").unwrap();
        let index = self.number("index").unwrap();
        let card = if (index - 1.0).abs() < 1e-12 {
            card.with(Field::Viscosity, consistency, "Pa·s")
        } else {
            card.with(Field::Consistency, consistency, "Pa·s")
                .with(Field::FlowIndex, index, "×")
        };
        // Shares are typed in per cent.
        card.with(Field::Solids, 100.0 * self.number("solids").unwrap(), "%")
            .with_word(Field::Solvent, &self.0["solvent"])
            .with_word(Field::Activity, &self.0["activity"])
    }

    fn project(&self) -> Project {
        let mut project = new_project();
        project.ink = self.ink();
        project.foil = self
            .card(&[
                (Field::Thickness, "foil_m", "m"),
                (Field::SurfaceEnergy, "foil_energy_n_per_m", "N/m"),
            ])
            .with_word(Field::Material, &self.0["foil"]);
        let head = self
            .card(&[
                (Field::CoatedWidth, "width_m", "m"),
                (Field::DownstreamLip, "downstream_lip_m", "m"),
                (Field::UpstreamLip, "upstream_lip_m", "m"),
                (Field::UpstreamGapRatio, "upstream_gap_ratio", "×"),
                (Field::LipCorner, "lip_corner_deg", "°"),
            ])
            .with_word(Field::VacuumBox, "yes");
        project.line = Some(line(
            self.card(&[
                (Field::RoomTemperature, "room_c", "°C"),
                (Field::OpenPath, "open_path_m", "m"),
                (Field::OpenPathH, "open_path_h", "W/m²K"),
            ]),
            vec![(StationKind::SlotDie, head)],
        ));
        let number = |name| self.number(name).unwrap();
        project.settings = vec![
            fixed("speed", Role::Speed, number("speed_m_per_s"), "m/s"),
            fixed("wet", Role::WetThickness, number("wet_m"), "m"),
            fixed("gap", Role::Gap, number("gap_m"), "m"),
            fixed("vacuum", Role::Vacuum, number("vacuum_pa"), "Pa"),
        ];
        project
    }
}

/// Limits that depend on nothing behind the head.
const AT_THE_HEAD: [&str; 11] = [
    "low_flow",
    "bead_hold",
    "flood",
    "lip_wetting",
    "gap_fill",
    "air_entrainment",
    "wetting_failure",
    "recirculation",
    "ca_range",
    "re_gap",
    "gap_tolerance",
];

// A second implementation in another language, which bisects where the program has a closed form. Its last bits and the
// way through units and percentages leave 1e-9, relative above 1 and absolute below.
#[test]
fn margins_agree_with_a_second_implementation_through_file_and_units() {
    let folder = tempfile::tempdir().unwrap();
    let mut n_compared = 0;
    for (number, case) in Case::all().iter().enumerate() {
        write(&case.project(), &folder.path().join("film.json"));
        let judged = document(folder.path(), &["limits", "film.json", "--json"], 0);
        let limits = judged["limits"].as_array().unwrap();
        for name in AT_THE_HEAD {
            let limit = limits.iter().find(|limit| limit["limit"] == name).unwrap();
            let margin = limit["margin"].as_f64().unwrap();
            let expected = case.number(&format!("= {name}")).unwrap();
            assert!(
                (margin - expected).abs() <= 1e-9 * expected.abs().max(1.0),
                "row {number}, {name}: {margin:?}, the second implementation {expected:?}"
            );
            assert_eq!(limit["holds"], margin >= 0.0);
            n_compared += 1;
        }
    }
    assert_eq!(n_compared, 60 * AT_THE_HEAD.len());
}

/// What a newcomer knows: viscosity, surface tension, density, gap, speed, flow, width.
fn minimal_project() -> Project {
    let mut project = new_project();
    project.ink = Card::named("ink")
        .with(Field::Viscosity, 12.0, "mPa·s")
        .with(Field::SurfaceTension, 30.0, "mN/m")
        .with(Field::Density, 1.0, "g/cm³");
    project.line = Some(line(
        Card::named("line"),
        vec![(
            StationKind::SlotDie,
            Card::named("head").with(Field::CoatedWidth, 100.0, "mm"),
        )],
    ));
    project.settings = vec![
        fixed("gap", Role::Gap, 100.0, "µm"),
        fixed("speed", Role::Speed, 1.0, "m/min"),
        fixed("flow", Role::Flow, 3.0, "mL/min"),
    ];
    project
}

#[test]
fn a_minimal_project_gets_a_verdict_and_is_told_what_was_assumed() {
    let folder = tempfile::tempdir().unwrap();
    write(&minimal_project(), &folder.path().join("film.json"));
    let judged = document(folder.path(), &["limits", "film.json", "--json"], 0);
    assert!(judged["feasible"].is_boolean(), "{judged}");
    assert_ne!(judged["verdict"], "unknown");
    assert!(judged["binding"].is_string() && judged["margin"].is_number());
    let assumed = judged["assumed"].as_array().unwrap();
    let names: Vec<&str> = assumed
        .iter()
        .map(|a| a["name"].as_str().unwrap())
        .collect();
    // The window of the bead cannot be had without these.
    for needed in [
        "angle_on_lip",
        "downstream_lip",
        "upstream_lip",
        "gap_tolerance",
    ] {
        assert!(names.contains(&needed), "{needed}: {names:?}");
    }
    for assumed in assumed {
        assert_eq!(assumed["what"], "input");
        let told = assumed["value"].is_number() || assumed["why"].is_string();
        assert!(told, "{assumed}");
    }
    // 3 mL/min over 1 m/min and 100 mm are 30 µm, by hand.
    let derived = judged["derived"].as_array().unwrap();
    let wet = derived
        .iter()
        .find(|d| d["name"] == "wet_thickness")
        .unwrap();
    assert!((wet["value"].as_f64().unwrap() - 30.0).abs() < 1e-9);
    assert_eq!(wet["unit"], "µm");
    // Capillary number 0.012 Pa·s × (1/60) m/s / 0.030 N/m = 1/150, by hand.
    let capillary = derived
        .iter()
        .find(|d| d["name"] == "capillary_number")
        .unwrap();
    assert!((capillary["value"].as_f64().unwrap() - 1.0 / 150.0).abs() < 1e-12);
    let cautions = judged["cautions"].to_string();
    assert!(cautions.contains("Local codes and licensed practice prevail"));
    let words = answer(folder.path(), &["limits", "film.json"], 0);
    assert!(
        words.contains("Assumed:") && words.contains("angle on lip"),
        "{words}"
    );
    assert!(words.contains("Local codes and licensed practice prevail"));
}

#[test]
fn without_a_core_input_nothing_is_claimed() {
    let folder = tempfile::tempdir().unwrap();
    let mut project = minimal_project();
    project.ink = Card::named("ink").with(Field::SurfaceTension, 30.0, "mN/m");
    write(&project, &folder.path().join("film.json"));
    let judged = document(folder.path(), &["limits", "film.json", "--json"], 0);
    assert!(judged["feasible"].is_null());
    assert!(
        judged["why"].as_str().unwrap().contains("viscosity"),
        "{}",
        judged["why"]
    );
    answer(folder.path(), &["limits", "film.json", "--strict"], 1);
    // And without a line there is nothing to judge by.
    write(&new_project(), &folder.path().join("empty.json"));
    let judged = document(folder.path(), &["limits", "empty.json", "--json"], 0);
    assert!(judged["feasible"].is_null());
    assert!(judged["why"].as_str().unwrap().contains("line"));
    answer(folder.path(), &["limits", "empty.json", "--strict"], 1);
}

fn varied_project() -> Project {
    let mut project = minimal_project();
    project.settings = vec![
        varied("gap", Role::Gap, (80.0, 160.0), "µm"),
        varied("speed", Role::Speed, (0.5, 2.5), "m/min"),
        fixed("flow", Role::Flow, 3.0, "mL/min"),
        SettingEntry {
            variation: Variation::Categories {
                levels: vec!["air".to_owned(), "argon".to_owned()],
            },
            now: SettingValue::Level("argon".to_owned()),
            ..fixed("gas", Role::Free, 0.0, "")
        },
    ];
    project
}

#[test]
fn settings_not_given_stand_at_their_middle_and_are_named() {
    let folder = tempfile::tempdir().unwrap();
    write(&varied_project(), &folder.path().join("film.json"));
    let judged = document(
        folder.path(),
        &["limits", "film.json", "--json", "--at", "gap=0.1mm"],
        0,
    );
    let settings = &judged["settings"];
    assert!((settings["gap"].as_f64().unwrap() - 100.0).abs() < 1e-9);
    assert_eq!(settings["speed"], 1.5);
    assert_eq!(settings["flow"], 3.0);
    assert_eq!(settings["gas"], "air");
    assert_eq!(judged["units"]["gap"], "µm");
    let named = |judged: &Value| -> Vec<String> {
        let assumed = judged["assumed"].as_array().unwrap();
        let settings = assumed.iter().filter(|a| a["what"] == "setting");
        settings
            .map(|a| a["name"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(named(&judged), ["speed", "gas"]);
    let whole = ["--at", "gap=100", "--at", "speed=1", "--at", "gas=argon"];
    let judged = document(
        folder.path(),
        &[&["limits", "film.json", "--json"], &whole[..]].concat(),
        0,
    );
    assert!(named(&judged).is_empty());
}

#[test]
fn a_unit_or_level_that_does_not_fit_is_refused_with_what_does() {
    let folder = tempfile::tempdir().unwrap();
    write(&varied_project(), &folder.path().join("film.json"));
    let path = folder.path().join("film.json");
    let before = std::fs::read(&path).unwrap();
    for (setting, told) in [
        ("speed=2um", "m/min, m/s"),
        ("speed=2parsec", "m/min, m/s"),
        ("gap=80m/min", "µm, mm"),
        ("gas=helium", "air, argon"),
        ("gas=3", "air, argon"),
        ("haste=3", "gap, speed, flow, gas"),
        ("speed", "NAME=VALUE"),
        ("speed=fast", "number"),
        ("speed=1e999", "1e999"),
        ("speed=1,5m/min", "decimal point"),
        ("speed=-2m/min", "above zero"),
        ("gap=nan", "number"),
    ] {
        // A speed below zero is a number like any other to a fit; the limits of the prediction are then unknown.
        let commands: &[&str] = if told == "above zero" {
            &["limits"]
        } else {
            &["limits", "predict"]
        };
        for command in commands {
            let arguments = [*command, "film.json", "--at", setting];
            let message = crate::command_line::refusal(folder.path(), &arguments);
            assert!(message.contains(told), "{arguments:?}: {message}");
        }
    }
    let twice = ["limits", "film.json", "--at", "gap=90", "--at", "gap=91"];
    assert!(crate::command_line::refusal(folder.path(), &twice).contains("twice"));
    assert_eq!(std::fs::read(&path).unwrap(), before);
}

#[test]
fn every_run_is_judged_and_counted() {
    let folder = tempfile::tempdir().unwrap();
    let project = (SAMPLES[0].make)().unwrap();
    write(&project, &folder.path().join("film.json"));
    let judged = document(folder.path(), &["limits", "film.json", "--json"], 0);
    let runs = judged["runs"].as_array().unwrap();
    assert_eq!(runs.len(), project.runs.len());
    let count = |wanted: &Value| runs.iter().filter(|run| run["feasible"] == *wanted).count();
    assert_eq!(judged["n_infeasible"], count(&Value::Bool(false)));
    assert_eq!(judged["n_unknown"], count(&Value::Null));
    let first = project.runs[0].number.to_string();
    let one = document(
        folder.path(),
        &["limits", "film.json", "--json", "--run", &first],
        0,
    );
    for key in [
        "settings", "limits", "binding", "feasible", "derived", "assumed", "cautions",
    ] {
        assert_eq!(one[key], runs[0][key], "{key}");
    }
    let missing = ["limits", "film.json", "--run", "4711"];
    assert!(crate::command_line::refusal(folder.path(), &missing).contains("4711"));
}

#[test]
fn a_plan_with_a_run_that_cannot_be_made_is_a_no_only_if_asked_strictly() {
    let folder = tempfile::tempdir().unwrap();
    let mut project = varied_project();
    // At the least flow the film at the highest speed is far thinner than the bead can be.
    project.settings[2] = varied("flow", Role::Flow, (0.1, 3.0), "mL/min");
    write(&project, &folder.path().join("film.json"));
    let plan = [
        "plan",
        "film.json",
        "--kind",
        "full-factorial",
        "--out",
        "planned.json",
        "--json",
    ];
    let planned = document(folder.path(), &plan, 0);
    let runs = planned["runs"].as_array().unwrap();
    let n_infeasible = runs.iter().filter(|run| run["feasible"] == false).count();
    assert!(n_infeasible > 0 && n_infeasible < runs.len());
    assert!(
        planned["warnings"]
            .to_string()
            .contains("break a hard limit")
    );
    answer(folder.path(), &["limits", "planned.json"], 0);
    answer(folder.path(), &["limits", "planned.json", "--strict"], 1);
    let judged = document(folder.path(), &["limits", "planned.json", "--json"], 0);
    assert_eq!(judged["n_infeasible"], n_infeasible);
    for (planned, judged) in runs.iter().zip(judged["runs"].as_array().unwrap()) {
        assert_eq!(planned["binding_limit"], judged["binding"]);
        assert_eq!(planned["margin"], judged["margin"]);
    }
    let checked = document(folder.path(), &["check", "planned.json", "--json"], 1);
    let faults = checked["faults"].as_array().unwrap();
    let infeasible = faults
        .iter()
        .filter(|fault| fault["code"] == "run_infeasible");
    assert_eq!(infeasible.count(), n_infeasible);
    assert_eq!(checked["ok"], false);
}

#[test]
fn a_prediction_says_how_far_it_lies_from_the_runs() {
    let folder = tempfile::tempdir().unwrap();
    // Three corners of a square: a triangle.
    std::fs::write(
        folder.path().join("table.csv"),
        "x1,x2,y\n0,0,1.0\n0,0,1.2\n1,0,2.0\n1,0,2.1\n0,1,3.0\n0,1,3.3\n",
    )
    .unwrap();
    let import = [
        "import",
        "table.csv",
        "--factor",
        "x1",
        "--factor",
        "x2",
        "--response",
        "y",
        "--out",
        "film.json",
    ];
    answer(folder.path(), &import, 0);
    let mut table = "x1,x2".to_owned();
    for (x1, x2) in [(0.2, 0.2), (0.5, 0.5), (0.8, 0.8), (1.5, 0.0)] {
        write!(table, "\n{x1},{x2}").unwrap();
    }
    std::fs::write(folder.path().join("points.csv"), table).unwrap();
    let arguments = ["predict", "film.json", "--table", "points.csv", "--json"];
    let predicted = document(folder.path(), &arguments, 0);
    let points = predicted["points"].as_array().unwrap();
    let outside: Vec<bool> = points
        .iter()
        .map(|point| point["extrapolation"]["outside_hull"].as_bool().unwrap())
        .collect();
    assert_eq!(outside, [false, false, true, true]);
    let beyond = &points[3]["extrapolation"]["outside_range"];
    assert_eq!(*beyond, serde_json::json!(["x1"]));
    // The plane through three means: 1.1 at the origin, 2.05 and 3.15 beside it, by hand.
    let value = points[0]["responses"][0]["value"].as_f64().unwrap();
    assert!((value - (1.1 + 0.2 * 0.95 + 0.2 * 2.05)).abs() < 1e-12);
    // Variance 1/2 at each corner is the largest; at (0.8, 0.8) it is ½(0.6² + 0.8² + 0.8²), by hand.
    let ratio = points[2]["extrapolation"]["leverage_ratio"]
        .as_f64()
        .unwrap();
    assert!((ratio - (0.36 + 0.64 + 0.64)).abs() < 1e-9, "{ratio}");
    assert!(points[2]["warnings"].to_string().contains("extrapolated"));
}
