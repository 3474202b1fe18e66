//! The program itself, called as a user calls it: what it prints, writes, and says by its exit status.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;
use wetlane::campaign::project_file;

fn sample() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../sample-projects/a-silver-nanowire-electrode.json")
}

fn wetlane(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_wetlane"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// What the program prints to standard output, if it answers with this exit status.
pub(crate) fn answer(folder: &Path, arguments: &[&str], status: i32) -> String {
    let output = wetlane(folder, arguments);
    assert_eq!(
        output.status.code(),
        Some(status),
        "{arguments:?}: {}",
        text(&output.stderr)
    );
    text(&output.stdout)
}

/// The JSON document it prints.
pub(crate) fn document(folder: &Path, arguments: &[&str], status: i32) -> Value {
    serde_json::from_str(&answer(folder, arguments, status)).unwrap()
}

/// What the program says when it refuses: exit status 2, nothing on standard output, no panic.
pub(crate) fn refusal(folder: &Path, arguments: &[&str]) -> String {
    let output = wetlane(folder, arguments);
    let why = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{arguments:?}: {why}");
    assert!(output.stdout.is_empty(), "{arguments:?}");
    assert!(!why.trim().is_empty() && !why.contains("panicked"), "{why}");
    why
}

#[test]
fn a_published_table_is_imported_and_fitted_with_the_printed_coefficients() {
    let folder = tempfile::tempdir().unwrap();
    let table = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../tests/data/tables/chemical-process-ccd.csv");
    std::fs::copy(table, folder.path().join("yields.csv")).unwrap();
    let import = [
        "import",
        "yields.csv",
        "--factor",
        "x1=-1..1",
        "--factor",
        "x2=-1..1",
        "--response",
        "yield",
        "--out",
        "film.json",
    ];
    answer(folder.path(), &import, 0);
    let fit = document(folder.path(), &["fit", "film.json", "--json"], 0);
    let terms = fit["fits"][0]["terms"].as_array().unwrap();
    // Montgomery, Design and Analysis of Experiments, central composite example, in coded units; half a unit of the last
    // printed digit.
    let printed = [
        ("1", 79.94),
        ("x1", 0.995),
        ("x2", 0.515),
        ("x1*x2", 0.25),
        ("x1^2", -1.376),
        ("x2^2", -1.001),
    ];
    assert_eq!(terms.len(), printed.len());
    for (name, value) in printed {
        let term = terms.iter().find(|term| term["name"] == name).unwrap();
        let estimate = term["estimate"].as_f64().unwrap();
        assert!(
            (estimate - value).abs() <= 0.0005,
            "{name}: {estimate}, printed {value}"
        );
    }
}

#[test]
fn the_same_seed_writes_the_same_plan() {
    let folder = tempfile::tempdir().unwrap();
    let sample = sample();
    let plan = |seed: &str, out: &str| {
        let arguments = [
            "plan",
            sample.to_str().unwrap(),
            "--kind",
            "fractional-factorial",
            "--runs",
            "16",
            "--seed",
            seed,
            "--out",
            out,
        ];
        answer(folder.path(), &arguments, 0);
        project_file::open(&folder.path().join(out))
            .unwrap()
            .project
            .runs
    };
    let first = plan("7", "first.json");
    assert_eq!(first, plan("7", "again.json"));
    assert_ne!(first, plan("8", "other.json"));
}

#[test]
fn limits_say_no_where_the_film_cannot_be_coated() {
    let folder = tempfile::tempdir().unwrap();
    let sample = sample();
    let sample = sample.to_str().unwrap();
    // The thinnest film at the greatest speed lies outside of the sample's window: visco-capillary low-flow limit.
    let far = ["--at", "speed=2.4m/min", "--at", "wet_thickness=10um"];
    let strict = [&["limits", sample, "--strict", "--json"], &far[..]].concat();
    let judged = document(folder.path(), &strict, 1);
    assert_eq!(judged["document"], "limits");
    let plain = [&["limits", sample], &far[..]].concat();
    let words = answer(folder.path(), &plain, 0).to_lowercase();
    assert!(words.contains("bead"), "{words}");
    let gentle = ["limits", sample, "--strict", "--at", "speed=0.6m/min"];
    answer(folder.path(), &gentle, 0);
    // A unit is converted: the same speed in millimetres a second.
    let converted = ["limits", sample, "--json", "--at", "speed=10mm/s"];
    assert_eq!(
        document(folder.path(), &converted, 0),
        document(
            folder.path(),
            &["limits", sample, "--json", "--at", "speed=0.6m/min"],
            0
        )
    );
}

#[test]
fn the_report_and_the_run_sheet_need_nothing_beside_them() {
    let folder = tempfile::tempdir().unwrap();
    let sample = sample();
    let sample = sample.to_str().unwrap();
    answer(
        folder.path(),
        &["report", sample, "--out", "report.html"],
        0,
    );
    answer(folder.path(), &["sheet", sample, "--out", "sheet.html"], 0);
    for page in ["report.html", "sheet.html"] {
        let page = std::fs::read_to_string(folder.path().join(page)).unwrap();
        assert!(page.contains("Silver-nanowire electrode"));
        for elsewhere in ["src=\"http", "href=\"http", "url(http"] {
            assert!(!page.contains(elsewhere), "{elsewhere}");
        }
    }
}

#[test]
fn bad_use_and_bad_input_are_told_apart_from_a_no() {
    let folder = tempfile::tempdir().unwrap();
    let sample = sample();
    let sample = sample.to_str().unwrap();
    std::fs::write(folder.path().join("broken.json"), "{\"format\": ").unwrap();
    let bad: [&[&str]; 5] = [
        &["fly", sample],
        &["limits", "nowhere.json"],
        &["fit", "broken.json"],
        &["limits", sample, "--at", "speed=2.4kg"],
        &["limits", sample, "--at", "haste=2.4m/min"],
    ];
    for arguments in bad {
        let output = wetlane(folder.path(), arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(output.stdout.is_empty(), "{arguments:?}");
        let why = text(&output.stderr);
        assert!(
            !why.trim().is_empty() && !why.contains("panicked"),
            "{arguments:?}: {why}"
        );
    }
}

/// Sample A at corners of its window: margins of the slot-die limits, computed by a second implementation of the same
/// equations in another language.
#[test]
fn limits_of_the_sample_have_the_margins_of_a_second_implementation() {
    let sample = sample();
    let names = ["low_flow", "bead_hold", "flood", "wetting_failure"];
    let corners = [
        (
            ["speed=2.4m/min", "wet_thickness=10um", "gap=250um"],
            [
                -0.066_129_303_469_266_04,
                -1.035_760_085_911_272,
                0.971_375_770_388_506_4,
                0.990_537_884_626_134_3,
            ],
        ),
        (
            ["speed=2.4m/min", "wet_thickness=10um", "gap=100um"],
            [
                0.573_548_278_612_293_6,
                -0.037_496_479_780_697_37,
                0.914_599_576_243_956_2,
                0.990_537_884_626_134_3,
            ],
        ),
        (
            ["speed=0.6m/min", "wet_thickness=24um", "gap=250um"],
            [
                0.819_056_844_963_699_9,
                0.762_104_098_006_225_4,
                0.924_441_555_367_100_6,
                0.997_634_471_156_533_6,
            ],
        ),
    ];
    for (at, expected) in corners {
        let mut arguments = vec!["limits", sample.to_str().unwrap(), "--json"];
        arguments.extend(at.iter().flat_map(|setting| ["--at", *setting]));
        let judged = document(Path::new("."), &arguments, 0);
        let limits = judged["limits"].as_array().unwrap();
        for (name, margin) in names.iter().zip(expected) {
            let limit = limits.iter().find(|limit| limit["limit"] == *name).unwrap();
            let found = limit["margin"].as_f64().unwrap();
            assert!(
                (found / margin - 1.0).abs() < 1e-9,
                "{at:?} {name}: {found} instead of {margin}"
            );
        }
    }
}
