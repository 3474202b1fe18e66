//! A campaign from nothing to a report, by the command line alone: plan, measure, import, fit, predict, report.

use std::path::Path;

use serde_json::Value;
use wetlane::campaign::card::{Card, Field};
use wetlane::campaign::project::{
    Effort, Goal, Importance, LineCard, Project, Quality, QualityKind, QualityScale, ReadingValue,
    Role, Run, SettingEntry, SettingValue, StationCard, StationKind, Variation, WebMode,
};
use wetlane::campaign::project_file;

use crate::command_line::{answer, document, refusal};

/// The film whose readings are invented here: a polynomial of the two settings in the user's units. A quadratic fit of
/// its exact values has to find it again; that is algebra, and no program of ours is its own yardstick.
fn film(speed: f64, gap: f64) -> f64 {
    40.0 + 6.0 * (speed - 1.5) - 0.05 * (gap - 120.0) + 3.0 * (speed - 1.5).powi(2)
}

/// The planned runs with a column of readings behind them.
fn measured(plan: &str) -> String {
    let mut lines = plan.lines();
    let head = lines.next().unwrap();
    let names: Vec<&str> = head.split(',').collect();
    let column = |name: &str| {
        names
            .iter()
            .position(|head| head.starts_with(name))
            .unwrap()
    };
    let (speed, gap) = (column("speed"), column("gap"));
    let rows = lines.map(|line| {
        let cells: Vec<&str> = line.split(',').collect();
        let value = film(cells[speed].parse().unwrap(), cells[gap].parse().unwrap());
        format!("{},{},{value}", cells[speed], cells[gap])
    });
    let mut table = vec!["speed,gap,haze".to_owned()];
    table.extend(rows);
    table.join("\n")
}

fn prediction(folder: &Path, at: [&str; 2]) -> Value {
    let arguments = [
        "predict",
        "film.json",
        "--json",
        "--at",
        at[0],
        "--at",
        at[1],
    ];
    document(folder, &arguments, 0)
}

#[test]
fn from_nothing_to_a_report() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let settings = [
        "--factor",
        "speed=0.6..2.4m/min",
        "--factor",
        "gap=80..160um",
    ];
    let plan = [
        "plan",
        "--kind",
        "face-centred",
        "--centre",
        "3",
        "--seed",
        "3",
        "--csv",
    ];
    let plan = answer(folder, &[&plan[..], &settings[..]].concat(), 0);
    // Four corners, four face centres, three centre runs.
    assert_eq!(plan.lines().count(), 1 + 4 + 4 + 3);

    std::fs::write(folder.join("readings.csv"), measured(&plan)).unwrap();
    let import = [
        "import",
        "readings.csv",
        "--response",
        "haze",
        "--out",
        "film.json",
    ];
    answer(folder, &[&import[..], &settings[..]].concat(), 0);

    let fit = document(folder, &["fit", "film.json", "--json"], 0);
    assert_eq!(fit["fits"][0]["model"], "quadratic");
    assert_eq!(fit["fits"][0]["n_runs"], 11);
    for (at, speed, gap) in [
        (["speed=1.5m/min", "gap=120um"], 1.5, 120.0),
        (["speed=2m/min", "gap=0.1mm"], 2.0, 100.0),
    ] {
        let predicted = prediction(folder, at);
        let value = predicted["points"][0]["responses"][0]["value"]
            .as_f64()
            .unwrap();
        assert!((value - film(speed, gap)).abs() < 1e-9, "{value}");
    }
    answer(folder, &["sheet", "film.json", "--out", "sheet.html"], 0);
    answer(folder, &["report", "film.json", "--out", "report.html"], 0);
    let report = std::fs::read_to_string(folder.join("report.html")).unwrap();
    assert!(report.contains("haze"));
    let check = document(folder, &["check", "film.json", "--json"], 0);
    assert_eq!(check["faults"].as_array().map(Vec::len), Some(0));
}

/// A line with a slot die, two settings, one quality: everything invented.
fn write_line_project(path: &Path) {
    let fixed = |id: &str, role, value: f64, unit: &str| SettingEntry {
        id: id.to_owned(),
        label: id.to_owned(),
        role,
        unit: unit.to_owned(),
        now: SettingValue::Number(value),
        variation: Variation::Fixed,
        step: None,
        scatter: None,
        effort: Effort::default(),
    };
    let varied = |id: &str, role, low: f64, high: f64, unit: &str| SettingEntry {
        variation: Variation::Range {
            low,
            high,
            log: false,
        },
        ..fixed(id, role, low, unit)
    };
    let mut project = Project::new(
        "Invented film",
        "invented".to_owned(),
        "2026-01-05T08:00:00Z".to_owned(),
        5,
    );
    project.ink = Card::named("ink")
        .with(Field::Viscosity, 12.0, "mPa·s")
        .with(Field::SurfaceTension, 30.0, "mN/m")
        .with(Field::Density, 1.0, "g/cm³");
    project.line = Some(LineCard {
        web: WebMode::RollToRoll,
        card: Card::named("line"),
        stations: vec![StationCard {
            kind: StationKind::SlotDie,
            card: Card::named("head").with(Field::CoatedWidth, 100.0, "mm"),
        }],
    });
    project.settings = vec![
        varied("speed", Role::Speed, 0.6, 2.4, "m/min"),
        varied("gap", Role::Gap, 80.0, 160.0, "µm"),
        fixed("wet", Role::WetThickness, 30.0, "µm"),
    ];
    project.qualities = vec![Quality {
        id: "haze".to_owned(),
        label: "Haze".to_owned(),
        unit: "%".to_owned(),
        kind: QualityKind::Continuous,
        goal: Goal::AtMost(40.0),
        importance: Importance::Must,
        weight: 1.0,
        places: Vec::new(),
        classes: Vec::new(),
        scale: QualityScale::Plain,
    }];
    project_file::save(&project, path, None).unwrap();
}

/// Run numbers of a plan with the readings that the invented film gives at its settings.
fn readings_of(plan: &Value) -> Vec<(u64, f64)> {
    let runs = plan["runs"].as_array().unwrap();
    runs.iter()
        .map(|run| {
            let setting = |name: &str| run["settings"][name].as_f64().unwrap();
            let value = film(setting("speed"), setting("gap"));
            (run["run"].as_u64().unwrap(), value)
        })
        .collect()
}

fn write_readings(path: &Path, readings: &[(u64, f64)]) {
    let rows: Vec<String> = readings
        .iter()
        .map(|(run, value)| format!("{run},{value}"))
        .collect();
    std::fs::write(path, format!("run,haze\n{}\n", rows.join("\n"))).unwrap();
}

#[test]
fn a_campaign_on_a_line_goes_through_every_command() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    write_line_project(&folder.join("film.json"));
    // The file that is read may be the one that is written.
    let plan = [
        "plan",
        "film.json",
        "--kind",
        "face-centred",
        "--centre",
        "3",
        "--return-runs",
        "3",
        "--out",
        "film.json",
        "--json",
    ];
    let plan = document(folder, &plan, 0);
    let runs = plan["runs"].as_array().unwrap();
    assert_eq!(runs.len(), 4 + 4 + 3 + 3);
    assert!(runs.iter().all(|run| run["feasible"] == true), "{plan}");
    let role = |role: &str| runs.iter().filter(|run| run["role"] == role).count();
    assert_eq!((role("centre"), role("return"), role("axial")), (3, 3, 4));
    answer(folder, &["limits", "film.json", "--strict"], 0);

    answer(folder, &["sheet", "film.json", "--out", "sheet.csv"], 0);
    let sheet = std::fs::read(folder.join("sheet.csv")).unwrap();
    let mut sheet = csv::Reader::from_reader(sheet.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&sheet));
    assert_eq!(sheet.records().count(), runs.len());

    let readings = readings_of(&plan);
    write_readings(&folder.join("readings.csv"), &readings);
    let take = [
        "readings",
        "film.json",
        "--from",
        "readings.csv",
        "--out",
        "measured.json",
        "--json",
    ];
    let taken = document(folder, &take, 0);
    assert_eq!(taken["readings"]["n_new"], readings.len());

    let fit = document(folder, &["fit", "measured.json", "--json", "--natural"], 0);
    assert_eq!(fit["fits"][0]["model"], "quadratic");
    // 40 + 6(s − 1.5) − 0.05(g − 120) + 3(s − 1.5)², multiplied out by hand.
    for (name, value) in [
        ("1", 43.75),
        ("speed", -3.0),
        ("gap", -0.05),
        ("speed^2", 3.0),
    ] {
        let terms = fit["fits"][0]["terms"].as_array().unwrap();
        let term = terms.iter().find(|term| term["name"] == name).unwrap();
        assert!(
            (term["estimate"].as_f64().unwrap() - value).abs() < 1e-8,
            "{name}"
        );
    }
    let at = [
        "predict",
        "measured.json",
        "--json",
        "--at",
        "speed=0.6m/min",
    ];
    let predicted = document(folder, &at, 0);
    let point = &predicted["points"][0];
    let value = point["responses"][0]["value"].as_f64().unwrap();
    assert!((value - film(0.6, 120.0)).abs() < 1e-9);
    assert_eq!(point["feasible"], true);

    answer(
        folder,
        &["report", "measured.json", "--out", "report.html"],
        0,
    );
    assert!(folder.join("report.html").metadata().unwrap().len() > 10_000);
    let checked = document(folder, &["check", "measured.json", "--json"], 0);
    assert_eq!(checked["ok"], true, "{checked}");
    let history = project_file::open(&folder.join("measured.json"))
        .unwrap()
        .project
        .history;
    assert_eq!(history.len(), 2);
}

#[test]
fn runs_with_readings_survive_a_new_plan() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    write_line_project(&folder.join("film.json"));
    let first = [
        "plan",
        "film.json",
        "--kind",
        "full-factorial",
        "--out",
        "film.json",
        "--json",
    ];
    let first = document(folder, &first, 0);
    let readings: Vec<(u64, f64)> = readings_of(&first).into_iter().take(4).collect();
    write_readings(&folder.join("readings.csv"), &readings);
    let take = [
        "readings",
        "film.json",
        "--from",
        "readings.csv",
        "--out",
        "film.json",
    ];
    answer(folder, &take, 0);
    let before = project_file::open(&folder.join("film.json"))
        .unwrap()
        .project;
    let measured: Vec<Run> = before
        .runs
        .iter()
        .filter(|run| run.has_results())
        .cloned()
        .collect();
    assert_eq!(measured.len(), 4);

    let again = [
        "plan",
        "film.json",
        "--kind",
        "face-centred",
        "--out",
        "again.json",
        "--json",
    ];
    let again = document(folder, &again, 0);
    let after = project_file::open(&folder.join("again.json"))
        .unwrap()
        .project;
    assert!(measured.iter().all(|run| after.runs.contains(run)));
    let n_new = again["runs"].as_array().unwrap().len();
    assert_eq!(after.runs.len(), measured.len() + n_new);
    let mut numbers: Vec<u32> = after.runs.iter().map(|run| run.number).collect();
    numbers.sort_unstable();
    numbers.dedup();
    assert_eq!(numbers.len(), after.runs.len());

    // With --keep, runs that were made are not made again.
    let keep = [
        "plan",
        "film.json",
        "--kind",
        "face-centred",
        "--keep",
        "--out",
        "kept.json",
        "--json",
    ];
    let kept = document(folder, &keep, 0);
    let made_of_plan = measured.iter().filter(|run| {
        let planned = again["runs"].as_array().unwrap();
        planned.iter().any(|planned| {
            ["speed", "gap"].iter().all(|id| {
                planned["settings"][id].as_f64() == run.setting(id).and_then(SettingValue::number)
            })
        })
    });
    let n_counted = made_of_plan.count();
    assert!(n_counted > 0);
    assert_eq!(kept["runs"].as_array().unwrap().len(), n_new - n_counted);
    let after = project_file::open(&folder.join("kept.json"))
        .unwrap()
        .project;
    assert!(measured.iter().all(|run| after.runs.contains(run)));
}

#[test]
fn a_reading_that_differs_is_never_overwritten_unless_asked() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    write_line_project(&folder.join("film.json"));
    let plan = [
        "plan",
        "film.json",
        "--kind",
        "full-factorial",
        "--out",
        "film.json",
    ];
    answer(folder, &plan, 0);
    let take = [
        "readings",
        "film.json",
        "--from",
        "readings.csv",
        "--out",
        "film.json",
    ];
    write_readings(&folder.join("readings.csv"), &[(1, 10.0), (2, 11.0)]);
    answer(folder, &take, 0);
    // The same table again changes nothing.
    let same = document(folder, &[&take[..], &["--json"]].concat(), 0);
    assert_eq!(
        same["readings"],
        serde_json::json!({"n_new": 0, "n_same": 2, "n_replaced": 0})
    );

    let before = std::fs::read(folder.join("film.json")).unwrap();
    write_readings(
        &folder.join("readings.csv"),
        &[(1, 10.0), (2, 12.5), (3, 9.0)],
    );
    let message = refusal(folder, &take);
    for told in ["Row 2", "\"haze\"", "11", "12.5", "--replace"] {
        assert!(message.contains(told), "{told}: {message}");
    }
    assert_eq!(std::fs::read(folder.join("film.json")).unwrap(), before);

    let replaced = document(folder, &[&take[..], &["--replace", "--json"]].concat(), 0);
    assert_eq!(
        replaced["readings"],
        serde_json::json!({"n_new": 1, "n_same": 1, "n_replaced": 1})
    );
    let project = project_file::open(&folder.join("film.json"))
        .unwrap()
        .project;
    let reading = project.run(2).unwrap().reading("haze", "", 1).unwrap();
    assert_eq!(reading.value, ReadingValue::Exact(12.5));
    assert_eq!(reading.earlier[0].value, ReadingValue::Exact(11.0));

    write_readings(&folder.join("readings.csv"), &[(1, 10.0), (99, 9.0)]);
    assert!(refusal(folder, &take).contains("99"));
    std::fs::write(folder.join("readings.csv"), "run,haze\n1,1O.0\n").unwrap();
    assert!(refusal(folder, &take).contains("1O.0"));
}

#[test]
fn blocks_of_a_plan_are_in_its_fit() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    write_line_project(&folder.join("film.json"));
    let plan = [
        "plan",
        "film.json",
        "--kind",
        "central-composite",
        "--blocks",
        "2",
        "--alpha",
        "orthogonal-blocks",
        "--out",
        "film.json",
        "--json",
    ];
    let plan = document(folder, &plan, 0);
    let shift = |block: u64| if block == 1 { -4.0 } else { 4.0 };
    let runs = plan["runs"].as_array().unwrap();
    let readings: Vec<(u64, f64)> = readings_of(&plan)
        .into_iter()
        .zip(runs)
        .map(|((run, value), planned)| (run, value + shift(planned["block"].as_u64().unwrap())))
        .collect();
    write_readings(&folder.join("readings.csv"), &readings);
    let take = [
        "readings",
        "film.json",
        "--from",
        "readings.csv",
        "--out",
        "film.json",
    ];
    answer(folder, &take, 0);
    let fit = document(
        folder,
        &["fit", "film.json", "--json", "--model", "quadratic"],
        0,
    );
    let fit = &fit["fits"][0];
    // Half the difference between the blocks, and nothing left over: the film is a polynomial and a shift.
    let terms = fit["terms"].as_array().unwrap();
    let block = terms
        .iter()
        .find(|term| term["name"].as_str().unwrap().starts_with("block["));
    assert!((block.unwrap()["estimate"].as_f64().unwrap().abs() - 4.0).abs() < 1e-9);
    let rows = fit["anova"].as_array().unwrap();
    let residual = rows.iter().find(|row| row["source"] == "residual").unwrap();
    assert!(residual["sum_of_squares"].as_f64().unwrap() < 1e-15);
    assert!(rows.iter().any(|row| row["source"] == "block"));
}
