//! The questions that people bring to a line, asked on the command line: how thin, how fast, which air, which flow, which
//! runs cannot work and what frees them, how much ink, foil and time, how much vapor.

use std::path::Path;

use serde_json::Value;
use wetlane::campaign::card::Field;
use wetlane::campaign::feasibility::{Depth, Judge};
use wetlane::campaign::presets::{foils, inks, lab_coater, new_project};
use wetlane::campaign::project::{Project, Role, SettingValue, StationKind};
use wetlane::campaign::project_file;

use crate::command_line::{answer, document};
use crate::heads::{NOW, set};
use crate::support::{assert_close, workspace_file};

/// A film of a polymer in toluene on the lab coater, invented.
fn toluene_film() -> Project {
    let mut line = lab_coater();
    for station in &mut line.stations {
        if station.kind == StationKind::HotGasDryer {
            station.card = station.card.clone().with(Field::FreshGas, 20.0, "m³/h");
        }
    }
    let ink = inks().remove(2);
    let mut project = new_project("film", 3, NOW.to_owned(), ink, foils().remove(0), line);
    set(&mut project, Role::Speed, 1.0);
    project
}

fn save(folder: &Path, project: &Project) -> String {
    let path = folder.join("film.json");
    project_file::save(project, &path, None).unwrap();
    path.display().to_string()
}

fn derived(document: &Value, name: &str) -> f64 {
    let all = document["derived"].as_array().unwrap();
    let one = all.iter().find(|derived| derived["name"] == name).unwrap();
    one["value"]
        .as_f64()
        .unwrap_or_else(|| unreachable!("{one}"))
}

#[test]
fn coolest_air_for_two_metres_a_minute_is_where_the_film_just_dries() {
    let folder = tempfile::tempdir().unwrap();
    // Sample A is slot-coated from water; its speed is a setting.
    let sample = workspace_file("sample-projects/a-silver-nanowire-electrode.json");
    let file = sample.display().to_string();
    let at = |air: &str| {
        document(
            folder.path(),
            &[
                "limits",
                &file,
                "--at",
                "speed=2m/min",
                "--at",
                air,
                "--json",
            ],
            0,
        )
    };
    let coolest = derived(&at("air_temperature=90"), "coolest_gas");
    let margin_of = |air: f64| {
        let judged = at(&format!("air_temperature={air}"));
        let limits = judged["limits"].as_array().unwrap();
        let dry = limits.iter().find(|limit| limit["limit"] == "dry_at_exit");
        dry.unwrap()["margin"].as_f64().unwrap()
    };
    // On the limit there, broken half a kelvin below; the answer does not hang on the air that is set.
    assert!(
        (0.0..0.02).contains(&margin_of(coolest + 0.02)),
        "{coolest}"
    );
    assert!(margin_of(coolest - 0.5) < 0.0);
    assert_close(
        derived(&at("air_temperature=110"), "coolest_gas"),
        coolest,
        1e-6,
        "what is sought does not hang on what is set",
    );
}

#[test]
fn fastest_speed_that_dries_is_a_limit_at_that_speed() {
    let folder = tempfile::tempdir().unwrap();
    let sample = workspace_file("sample-projects/a-silver-nanowire-electrode.json");
    let file = sample.display().to_string();
    let at = |speed: f64| {
        let speed = format!("speed={speed}");
        document(
            folder.path(),
            &["limits", &file, "--at", &speed, "--json"],
            0,
        )
    };
    let fastest = derived(&at(1.5), "dry_speed");
    let dry = |speed: f64| {
        let judged = at(speed);
        let limits = judged["limits"].as_array().unwrap().clone();
        let limit = limits.iter().find(|limit| limit["limit"] == "dry_at_exit");
        limit.unwrap()["margin"].as_f64().unwrap()
    };
    assert!(dry(fastest * 0.999) > 0.0 && dry(fastest * 1.001) < 0.0);
}

#[test]
fn pump_flow_for_a_dry_thickness_is_volume_over_solids() {
    let mut project = toluene_film();
    // By hand: 100 nm dry of 2 % of 0.87 g/cm³ with 1.1 g/cm³ dry are 100 · 1.1/(0.87 · 0.02) = 6322 nm wet; at 1 m/min and
    // 100 mm that is 0.632 mL/min.
    for setting in &mut project.settings {
        if setting.role == Role::WetThickness {
            setting.role = Role::DryThickness;
            setting.id = "dry_thickness".to_owned();
            setting.unit = "nm".to_owned();
            setting.now = SettingValue::Number(100.0);
        }
    }
    let folder = tempfile::tempdir().unwrap();
    let file = save(folder.path(), &project);
    let said = answer(folder.path(), &["limits", &file, "--at", "speed=1"], 0);
    assert!(said.contains("pump flow: 0.632 mL/min"), "{said}");
}

#[test]
fn vapor_is_told_against_a_quarter_of_the_explosive_limit_with_the_air_that_it_takes() {
    let project = toluene_film();
    let judged = Judge::new(&project)
        .judge(&project.cross(), Depth::WithDoubts)
        .unwrap();
    let exhaust = judged.answers.unwrap().exhaust.unwrap();
    let folder = tempfile::tempdir().unwrap();
    let file = save(folder.path(), &project);
    let told = document(folder.path(), &["limits", &file, "--json"], 0);
    let of_design = derived(&told, "vapor_of_design");
    // The share of a quarter is four times that of the whole.
    assert_close(
        of_design,
        4.0 * derived(&told, "lel_share"),
        1e-9,
        "by hand",
    );
    // The fresh gas that makes just the quarter makes it: share V/(V + air) against 20 m³/h.
    let air = derived(&told, "fresh_gas_for_design");
    let vapor_in_20 = exhaust.of_limit.unwrap();
    assert!((air < 20.0) == (vapor_in_20 < 0.25));
    let said = answer(folder.path(), &["limits", &file], 0);
    assert!(
        said.contains("vapor over a quarter of its explosive limit"),
        "{said}"
    );
    assert!(said.contains("Local codes and licensed practice prevail"));
}

#[test]
fn runs_that_cannot_work_are_named_with_the_limit_and_with_what_frees_them() {
    let folder = tempfile::tempdir().unwrap();
    let sample = workspace_file("sample-projects/b-hole-transport-layer.json");
    let file = sample.display().to_string();
    // The same campaign with a thicker foil at the lower lip: its thinnest films break the bead.
    let mut project = project_file::open(Path::new(&file)).unwrap().project;
    let setting = |project: &Project, role: Role| project.setting_of(role).unwrap().id.clone();
    let (wet, speed) = (
        setting(&project, Role::WetThickness),
        setting(&project, Role::Speed),
    );
    let run = project.runs[0].number;
    for (id, value) in [(wet, 5.0), (speed, 3.0)] {
        project.runs[0]
            .planned
            .insert(id, SettingValue::Number(value));
    }
    let file = save(folder.path(), &project);
    let told = document(folder.path(), &["limits", &file, "--free", "--json"], 0);
    let of_run = told["runs"].as_array().unwrap();
    let stuck = of_run.iter().find(|judged| judged["run"] == run).unwrap();
    assert_eq!(stuck["feasible"], false);
    assert!(stuck["binding"].is_string());
    let freed = told["freeing"]["freed"].as_array().unwrap();
    let change = freed.iter().find(|freed| freed["run"] == run).unwrap();
    assert!(change["probability"].as_f64().unwrap() >= 0.9);
    // The change is real: the run with it works.
    for (id, value) in change["settings"].as_object().unwrap() {
        let number = value.as_f64().unwrap();
        project.runs[0]
            .planned
            .insert(id.clone(), SettingValue::Number(number));
    }
    let settings = project.settings_of(&project.runs[0]);
    let judged = Judge::new(&project)
        .judge(&settings, Depth::Nominal)
        .unwrap();
    assert_eq!(judged.feasible(), Some(true));
    let said = answer(folder.path(), &["limits", &file, "--free"], 0);
    assert!(said.contains(&format!("run {run}: ")), "{said}");
    assert!(said.contains("works with a chance of"), "{said}");
}

#[test]
fn thinnest_film_and_what_stops_it_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let sample = workspace_file("sample-projects/b-hole-transport-layer.json");
    let file = sample.display().to_string();
    let at = |wet: f64| {
        let wet = format!("wet_thickness={wet}");
        document(
            folder.path(),
            &[
                "limits",
                &file,
                "--at",
                "speed=1.9",
                "--at",
                "gap=140",
                "--at",
                &wet,
                "--json",
            ],
            0,
        )
    };
    let told = at(8.0);
    let (thinnest, low_flow) = (
        derived(&told, "thinnest_held"),
        derived(&told, "thinnest_low_flow"),
    );
    let stops = thinnest.max(low_flow);
    assert_eq!(at(stops * 1.001)["feasible"], true);
    let thinner = at(stops * 0.999);
    assert_eq!(thinner["feasible"], false);
    let expected = if thinnest > low_flow {
        "bead_hold"
    } else {
        "low_flow"
    };
    assert_eq!(thinner["binding"], expected);
}
