//! A campaign from nothing to a report, by the command line alone: plan, measure, import, fit, predict, report.

use std::path::Path;

use serde_json::Value;

use crate::command_line::{answer, document};

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
