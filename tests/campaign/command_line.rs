//! The program itself, called as a user calls it: what it prints, writes, and says by its exit status.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;
use wetlane::campaign::project_file;
use wetlane::campaign::samples::SAMPLES;

use crate::support::workspace_file;

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
    for sample in SAMPLES {
        let file = workspace_file("sample-projects").join(sample.file_name);
        let file = file.to_str().unwrap();
        answer(folder.path(), &["report", file, "--out", "report.html"], 0);
        answer(folder.path(), &["sheet", file, "--out", "sheet.html"], 0);
        for page in ["report.html", "sheet.html"] {
            let page = std::fs::read_to_string(folder.path().join(page)).unwrap();
            assert!(page.contains(sample.title), "{}", sample.title);
            for elsewhere in ["src=\"http", "href=\"http", "url(http"] {
                assert!(!page.contains(elsewhere), "{elsewhere}");
            }
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

#[test]
fn every_command_has_help_with_an_example() {
    let folder = tempfile::tempdir().unwrap();
    let help = answer(folder.path(), &["--help"], 0);
    for command in COMMANDS {
        assert!(help.contains(command), "{command}");
        let own = answer(folder.path(), &[command, "--help"], 0);
        assert!(
            own.contains(&format!("Example: wetlane {command} ")),
            "{own}"
        );
        assert!(own.lines().all(|line| line.chars().count() <= 100), "{own}");
        // Nothing at all is bad use.
        refusal(folder.path(), &[command]);
    }
    answer(folder.path(), &["--version"], 0);
}

const COMMANDS: [&str; 9] = [
    "import", "plan", "limits", "sheet", "readings", "fit", "predict", "report", "check",
];

#[test]
fn tables_for_people_fit_a_hundred_columns() {
    let folder = tempfile::tempdir().unwrap();
    let sample = sample();
    let sample = sample.to_str().unwrap();
    let plan = [
        "plan",
        sample,
        "--kind",
        "fractional-factorial",
        "--runs",
        "16",
        "--blocks",
        "2",
    ];
    let at = [
        "limits",
        sample,
        "--at",
        "speed=2.4m/min",
        "--at",
        "wet_thickness=10um",
    ];
    for arguments in [
        &plan[..],
        &at,
        &["limits", sample],
        &["fit", sample],
        &["fit", sample, "--natural"],
        &["predict", sample, "--at", "speed=1"],
        &["check", sample],
    ] {
        let words = answer(folder.path(), arguments, 0);
        let widest = words.lines().map(|line| line.chars().count()).max();
        assert!(
            widest.is_some_and(|widest| widest <= 100),
            "{arguments:?}: {widest:?}"
        );
    }
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    let sample = sample();
    let sample = sample.to_str().unwrap();
    for arguments in [
        &["limits", sample, "--json"][..],
        &["fit", sample],
        &["--help"],
    ] {
        let mut child = Command::new(env!("CARGO_BIN_EXE_wetlane"))
            .args(arguments)
            .stdout(std::process::Stdio::piped())
            .stderr(std::process::Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{arguments:?}");
        assert!(output.stderr.is_empty(), "{}", text(&output.stderr));
    }
}

#[test]
fn what_later_versions_bring_is_refused_now() {
    let folder = tempfile::tempdir().unwrap();
    let sample = sample();
    let sample = sample.to_str().unwrap();
    for arguments in [
        &["limits", sample, "--learned"][..],
        &["plan", sample, "--kind", "face-centred", "--inside-limits"],
        &["plan", sample, "--kind", "optimal"],
        &[
            "plan",
            sample,
            "--kind",
            "full-factorial",
            "--criterion",
            "d",
        ],
        &["choose", sample],
        &["next", sample],
        &["evaluate", sample],
        &["gauge", "table.csv"],
        &["sheet", sample, "--out", "sheet.pdf"],
        &["sheet", sample, "--out", "sheet"],
        &["report", sample, "--out", "report.pdf"],
    ] {
        refusal(folder.path(), arguments);
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn options_that_do_not_fit_a_plan_are_refused_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let two = ["--factor", "a=0..1", "--factor", "b=1..2mm"];
    for (options, told) in [
        (&["--kind", "box-behnken"][..], "at least 3"),
        (&["--kind", "round"], "full-factorial"),
        (&["--kind", "full-factorial", "--runs", "5"], "runs"),
        (
            &["--kind", "full-factorial", "--generators", "b=a"],
            "generators",
        ),
        (&["--kind", "face-centred", "--alpha", "wide"], "rotatable"),
        (
            &["--kind", "full-factorial", "--levels", "a=1"],
            "at least two",
        ),
        (&["--kind", "full-factorial", "--levels", "c=3"], "\"c\""),
        (
            &["--kind", "full-factorial", "--replicates", "0"],
            "at least once",
        ),
        (
            &["--kind", "full-factorial", "--return-runs", "1"],
            "last run",
        ),
        (&["--kind", "full-factorial", "--hard", "c"], "\"c\""),
        (
            &["--kind", "full-factorial", "--model", "cubic"],
            "quadratic",
        ),
        (&["--kind", "latin-hypercube"], "runs"),
        (
            &["--kind", "full-factorial", "--order", "random"],
            "shuffled",
        ),
    ] {
        let arguments = [&["plan", "--out", "film.json"], options, &two[..]].concat();
        let message = refusal(folder.path(), &arguments);
        assert!(message.contains(told), "{options:?}: {message}");
    }
    for (factor, told) in [
        ("a=2..1", "below"),
        ("a=1..1", "below"),
        ("a", "NAME=VALUE"),
        ("=0..1", "names nothing"),
        ("a=1mm..2um", "two units"),
        ("a=0,5..1,5", "no range"),
    ] {
        let arguments = [
            "plan",
            "--kind",
            "full-factorial",
            "--factor",
            factor,
            "--out",
            "film.json",
        ];
        let message = refusal(folder.path(), &arguments);
        assert!(message.contains(told), "{factor}: {message}");
    }
    assert!(!folder.path().join("film.json").exists());
}

#[test]
fn a_plan_is_printed_and_written_at_once() {
    let folder = tempfile::tempdir().unwrap();
    let plan = [
        "plan",
        "--factor",
        "a=0..1",
        "--category",
        "gas=air,argon,nitrogen",
        "--kind",
        "full-factorial",
        "--seed",
        "9",
        "--json",
        "--out",
        "film.json",
    ];
    let plan = document(folder.path(), &plan, 0);
    let project = project_file::open(&folder.path().join("film.json"))
        .unwrap()
        .project;
    let runs = plan["runs"].as_array().unwrap();
    assert_eq!(runs.len(), project.runs.len());
    for (planned, run) in runs.iter().zip(&project.runs) {
        assert_eq!(planned["run"], run.number);
        assert_eq!(planned["order"], run.number);
        assert_eq!(
            planned["settings"],
            serde_json::to_value(&run.planned).unwrap()
        );
        // Levels of a category with more than two are counted from 1, ends of a range are −1 and 1.
        let levels = ["air", "argon", "nitrogen"];
        let level = levels
            .iter()
            .position(|l| planned["settings"]["gas"] == *l)
            .unwrap();
        assert_eq!(planned["coded"]["gas"].as_f64(), Some(level as f64 + 1.0));
        let a = planned["settings"]["a"].as_f64().unwrap();
        let coded = planned["coded"]["a"].as_f64().unwrap();
        assert!((coded - (2.0 * a - 1.0)).abs() < 1e-9);
        assert!(planned["feasible"].is_null() && planned["why"].is_string());
    }
    assert_eq!(project.plan.unwrap().seed, 9);
}

#[test]
fn a_check_finds_what_is_wrong_and_what_is_doubtful() {
    let folder = tempfile::tempdir().unwrap();
    // Seven runs of two settings that move together, with a count in the readings.
    std::fs::write(
        folder.path().join("table.csv"),
        "a,b,pinholes\n1,1,0\n2,2,3\n3,3,5\n4,4,12\n5,5,9\n6,6,14\n7,7,17\n",
    )
    .unwrap();
    let import = [
        "import",
        "table.csv",
        "--factor",
        "a",
        "--factor",
        "b",
        "--response",
        "pinholes",
        "--out",
        "film.json",
    ];
    answer(folder.path(), &import, 0);
    let checked = document(folder.path(), &["check", "film.json", "--json"], 0);
    assert_eq!(checked["ok"], true);
    let doubts = checked["doubts"].as_array().unwrap();
    for code in ["aliased_terms", "looks_like_count"] {
        let doubt = doubts.iter().find(|doubt| doubt["code"] == code).unwrap();
        assert_eq!(doubt["where"]["field"], "pinholes");
        assert!(
            doubt["do"]
                .as_str()
                .is_some_and(|advice| !advice.is_empty())
        );
    }
    // A file that cannot be read is a fault of the project, not of the command.
    for (name, content, code) in [
        (
            "cut.json",
            "{\"format\": \"wetlane-project\", \"ver",
            "no_project",
        ),
        (
            "newer.json",
            "{\"format\": \"wetlane-project\", \"version\": 99}",
            "unknown_version",
        ),
        (
            "odd.json",
            "{\"format\": \"wetlane-project\",\n \"version\": 1, \"title\": 7}",
            "unreadable",
        ),
    ] {
        std::fs::write(folder.path().join(name), content).unwrap();
        let checked = document(folder.path(), &["check", name, "--json"], 1);
        assert_eq!(checked["ok"], false);
        assert_eq!(checked["faults"][0]["code"], code, "{checked}");
        // For every other command it is bad input.
        refusal(folder.path(), &["fit", name]);
    }
    refusal(folder.path(), &["check", "nowhere.json"]);
}

#[test]
fn the_window_is_drawn_and_tabled_with_the_margins_of_limits() {
    let folder = tempfile::tempdir().unwrap();
    let file = sample();
    let file = file.to_str().unwrap();
    let args = ["window", file, "--at", "gap=100um", "--out", "window.svg"];
    answer(folder.path(), &args, 0);
    let svg = std::fs::read_to_string(folder.path().join("window.svg")).unwrap();
    let drawing = roxmltree::Document::parse(&svg).unwrap();
    let texts: Vec<&str> = drawing
        .descendants()
        .filter_map(|node| node.text())
        .collect();
    for words in ["bead holds", "speed", "wet thickness"] {
        assert!(texts.iter().any(|text| text.contains(words)), "{words}");
    }

    let args = [
        "window",
        file,
        "--x",
        "speed",
        "--y",
        "wet_thickness",
        "--at",
        "gap=100um",
        "--out",
        "w.csv",
    ];
    answer(folder.path(), &args, 0);
    let csv = std::fs::read_to_string(folder.path().join("w.csv")).unwrap();
    let mut rows = csv.lines();
    assert_eq!(
        rows.next(),
        Some("speed (m/min),wet_thickness (µm),margin,can run")
    );
    // A place of the table against the limits of the same setting, asked for one by one.
    let row: Vec<&str> = csv.lines().nth(700).unwrap().split(',').collect();
    let speed = format!("speed={}m/min", row[0]);
    let wet = format!("wet_thickness={}um", row[1]);
    let args = [
        "limits",
        file,
        "--at",
        &speed,
        "--at",
        &wet,
        "--at",
        "gap=100um",
        "--json",
    ];
    let limits = document(folder.path(), &args, 0);
    let binding = limits["binding"].as_str().unwrap();
    let limit = limits["limits"]
        .as_array()
        .unwrap()
        .iter()
        .find(|limit| limit["limit"] == binding);
    let margin = limit.unwrap()["margin"].as_f64().unwrap();
    assert!(
        (margin - row[2].parse::<f64>().unwrap()).abs() < 1e-12,
        "{margin} {row:?}"
    );

    refusal(
        folder.path(),
        &[
            "window", file, "--x", "speed", "--y", "speed", "--out", "x.svg",
        ],
    );
    refusal(
        folder.path(),
        &["window", file, "--x", "nothing", "--out", "x.svg"],
    );
    refusal(folder.path(), &["window", file, "--out", "x.docx"]);
    assert!(!folder.path().join("x.svg").exists());
}
