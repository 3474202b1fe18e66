//! Files that are cut, damaged, hostile or newer: a message, nothing written over, no panic.

use std::path::Path;

use proptest::prelude::*;
use wetlane::campaign::json_file::FileError;
use wetlane::campaign::project::{Reading, ReadingValue};
use wetlane::campaign::project_file::{from_bytes, open, save, to_bytes};
use wetlane::campaign::samples::SAMPLES;

fn read(bytes: &[u8]) -> Result<wetlane::campaign::project::Project, FileError> {
    from_bytes(bytes, Path::new("film.json"))
}

#[test]
fn a_file_cut_anywhere_is_refused() {
    let whole = SAMPLES[0].bytes;
    let content = whole.trim_ascii_end().len();
    for length in (0..content).step_by(131) {
        let refused = read(&whole[..length]).unwrap_err().to_string();
        assert!(refused.contains("film.json"), "{length}: {refused}");
    }
}

#[test]
fn a_newer_file_is_refused_with_advice_and_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("newer.json");
    let text = String::from_utf8(SAMPLES[0].bytes.to_vec()).unwrap();
    let newer = text.replacen("\"version\": 1", "\"version\": 4711", 1);
    assert_ne!(newer, text);
    std::fs::write(&path, &newer).unwrap();
    let refused = open(&path).unwrap_err();
    assert!(matches!(refused, FileError::Newer { found: 4711, .. }));
    assert!(refused.to_string().contains("Update the program"));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), newer);
}

#[test]
fn what_is_no_project_is_refused() {
    let deep = "[".repeat(200_000);
    let bad: [&[u8]; 7] = [
        b"",
        b"null",
        b"[]",
        b"{}",
        b"\xff\xfe\x00",
        b"{\"format\": \"other\", \"version\": 1}",
        deep.as_bytes(),
    ];
    for bytes in bad {
        assert!(read(bytes).is_err());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    /// Any damage is either refused or leaves a project that can be written and read again.
    #[test]
    fn damage_never_makes_a_panic(place in any::<proptest::sample::Index>(), byte in any::<u8>(), n in 1_usize..40) {
        let mut bytes = SAMPLES[1].bytes.to_vec();
        let at = place.index(bytes.len());
        let end = (at + n).min(bytes.len());
        bytes[at..end].fill(byte);
        if let Ok(project) = read(&bytes) {
            let again = to_bytes(&project).unwrap();
            prop_assert_eq!(read(&again).unwrap(), project);
        }
    }
}

/// The program without a process of its own: exit status and what it says.
fn run(arguments: &[&str]) -> (u8, String) {
    let mut out = Vec::new();
    let mut messages = Vec::new();
    let all: Vec<&str> = std::iter::once("wetlane")
        .chain(arguments.iter().copied())
        .collect();
    let status = wetlane::cli::run(all, &mut out, &mut messages);
    (status, String::from_utf8(messages).unwrap())
}

/// Every command that opens a project, with a file it would write.
fn commands<'a>(file: &'a str, out: &'a str, table: &'a str) -> Vec<Vec<&'a str>> {
    vec![
        vec!["limits", file],
        vec!["fit", file, "--json"],
        vec!["predict", file, "--at", "speed=1"],
        vec!["plan", file, "--kind", "full-factorial", "--out", out],
        vec!["readings", file, "--from", table, "--out", out],
        vec!["sheet", file, "--out", out],
        vec!["report", file, "--out", out],
    ]
}

#[test]
fn a_cut_file_is_bad_input_for_every_command_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("film.json");
    let out = folder.path().join("out.html");
    let table = folder.path().join("table.csv");
    std::fs::write(&table, "run,haze\n1,1\n").unwrap();
    std::fs::write(&out, "as it was").unwrap();
    let whole = SAMPLES[0].bytes;
    let content = whole.trim_ascii_end().len();
    let (file, out, table) = (
        file.to_str().unwrap(),
        out.to_str().unwrap(),
        table.to_str().unwrap(),
    );
    for (index, length) in (0..content).step_by(97).enumerate() {
        std::fs::write(file, &whole[..length]).unwrap();
        let commands = commands(file, out, table);
        let arguments = &commands[index % commands.len()];
        let (status, message) = run(arguments);
        assert_eq!(status, 2, "{length} bytes, {arguments:?}");
        assert!(message.contains("film.json"), "{message}");
        assert_eq!(std::fs::read(file).unwrap(), &whole[..length]);
        assert_eq!(std::fs::read_to_string(out).unwrap(), "as it was");
    }
}

#[test]
fn numbers_beyond_all_numbers_and_bottomless_nesting_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("film.json");
    let text = String::from_utf8(SAMPLES[0].bytes.to_vec()).unwrap();
    let deep = "[".repeat(100_000);
    let objects = "{\"a\":".repeat(100_000);
    for (what, with) in [
        ("\"version\": 1,", "\"version\": 1, \"seed\": 1e999,"),
        ("\"version\": 1,", "\"version\": 1, \"seed\": -1,"),
        ("\"version\": 1,", "\"version\": 184467440737095516160,"),
        ("\"version\": 1,", "\"version\": 0,"),
        ("\"version\": 1,", "\"version\": 1, \"unheard_of\": 3,"),
        ("\"version\": 1,", "\"version\": \"1\","),
        ("\"sample_m\": ", "\"sample_m\": 1e999, \"x\": "),
        ("\"runs\": [", &format!("\"runs\": [{deep}")),
        ("\"runs\": [", &format!("\"runs\": [{objects}")),
        ("\"number\": 1,", "\"number\": 99999999999,"),
        ("\"number\": 1,", "\"number\": 2,"),
        ("\"low\": ", "\"low\": 1e308, \"low\": "),
    ] {
        let bad = text.replacen(what, with, 1);
        assert_ne!(bad, text, "the sample has no {what}");
        std::fs::write(&file, &bad).unwrap();
        let (status, message) = run(&["limits", file.to_str().unwrap()]);
        assert_eq!(status, 2, "{with:.40}");
        assert!(
            message.contains("film.json") && message.len() < 2000,
            "{message:.200}"
        );
        assert_eq!(std::fs::read_to_string(&file).unwrap(), bad);
    }
}

#[test]
fn saving_what_was_opened_gives_the_same_bytes() {
    let folder = tempfile::tempdir().unwrap();
    let first = folder.path().join("first.json");
    let second = folder.path().join("second.json");
    for sample in SAMPLES {
        let project = (sample.make)().unwrap();
        save(&project, &first, None).unwrap();
        let opened = open(&first).unwrap();
        assert_eq!(opened.project, project);
        save(&opened.project, &second, None).unwrap();
        assert_eq!(
            std::fs::read(&first).unwrap(),
            std::fs::read(&second).unwrap()
        );
    }
}

#[test]
fn a_file_that_somebody_else_changed_is_not_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("film.json");
    let project = (SAMPLES[0].make)().unwrap();
    let known = save(&project, &path, None).unwrap();
    let mut other = project.clone();
    other.title = "Somebody else's".to_owned();
    save(&other, &path, None).unwrap();
    let refused = save(&project, &path, Some(&known)).unwrap_err();
    assert!(matches!(refused, FileError::ChangedOnDisk { .. }));
    assert_eq!(open(&path).unwrap().project.title, "Somebody else's");
}

#[test]
fn a_save_that_cannot_be_made_leaves_everything_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let project = (SAMPLES[0].make)().unwrap();
    let file = folder.path().join("film.json");
    save(&project, &file, None).unwrap();
    let before = std::fs::read(&file).unwrap();
    // A folder that is a file, one that is not there, and one where a file should be.
    let taken = folder.path().join("taken");
    std::fs::create_dir(&taken).unwrap();
    for path in [
        file.join("inside.json"),
        folder.path().join("no/where.json"),
        taken.clone(),
    ] {
        assert!(
            matches!(save(&project, &path, None), Err(FileError::Io { .. })),
            "{path:?}"
        );
        let out = path.to_str().unwrap();
        let plan = [
            "plan",
            "--factor",
            "a=0..1",
            "--kind",
            "full-factorial",
            "--out",
            out,
        ];
        assert_eq!(run(&plan).0, 2);
    }
    assert_eq!(std::fs::read(&file).unwrap(), before);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 2);
    assert_eq!(std::fs::read_dir(&taken).unwrap().count(), 0);
}

/// A device or socket is not replaced by a file, however it is named.
#[cfg(unix)]
#[test]
fn what_is_no_ordinary_file_is_left_alone() {
    use std::os::unix::fs::FileTypeExt;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("socket");
    let _listener = std::os::unix::net::UnixListener::bind(&path).unwrap();
    let plan = [
        "plan",
        "--factor",
        "a=0..1",
        "--kind",
        "full-factorial",
        "--out",
        path.to_str().unwrap(),
    ];
    let (status, message) = run(&plan);
    assert_eq!(status, 2);
    assert!(message.contains("no ordinary file"), "{message}");
    assert!(std::fs::metadata(&path).unwrap().file_type().is_socket());
}

/// A full disk: the shell limits how much the program may write, as a quota does.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_old_file_whole() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("film.json");
    save(&(SAMPLES[0].make)().unwrap(), &file, None).unwrap();
    let before = std::fs::read(&file).unwrap();
    assert!(before.len() > 8192);
    let script = "ulimit -f 4; trap '' XFSZ; exec \"$0\" plan film.json --kind fractional-factorial --runs 16 --out film.json";
    let output = std::process::Command::new("bash")
        .current_dir(folder.path())
        .args(["-c", script, env!("CARGO_BIN_EXE_wetlane")])
        .output()
        .unwrap();
    let message = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{message}");
    assert!(message.contains("film.json"), "{message}");
    assert_eq!(std::fs::read(&file).unwrap(), before);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// Bytes changed at random: a message or an answer, never a crash, and the file stays what it is.
    #[test]
    fn flipped_bytes_never_end_a_command_badly(
        flips in proptest::collection::vec((any::<proptest::sample::Index>(), any::<u8>()), 1..8),
    ) {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("film.json");
        let mut bytes = SAMPLES[1].bytes.to_vec();
        for (place, byte) in flips {
            let at = place.index(bytes.len());
            bytes[at] ^= byte;
        }
        std::fs::write(&file, &bytes).unwrap();
        let path = file.to_str().unwrap();
        for arguments in [&["limits", path][..], &["fit", path, "--json"], &["check", path]] {
            let (status, message) = run(arguments);
            prop_assert!(status <= 2, "{status}");
            prop_assert_eq!(status == 2, !message.is_empty(), "{}", message);
        }
        prop_assert_eq!(std::fs::read(&file).unwrap(), bytes);
    }

    /// Every 64-bit number comes back from the file as it went in.
    #[test]
    fn numbers_come_back_bit_for_bit(
        values in proptest::collection::vec(proptest::num::f64::NORMAL | proptest::num::f64::SUBNORMAL, 1..40),
    ) {
        let mut project = (SAMPLES[0].make)().unwrap();
        let quality = project.qualities[0].id.clone();
        let run = project.runs.iter_mut().find(|run| run.has_results()).unwrap();
        run.readings.clear();
        for (index, value) in values.iter().enumerate() {
            run.readings.push(Reading {
                quality: quality.clone(),
                place: String::new(),
                repeat: u32::try_from(index).unwrap() + 1,
                value: ReadingValue::Exact(*value),
                area: None,
                when: String::new(),
                who: String::new(),
                set_aside: None,
                earlier: Vec::new(),
            });
        }
        let bytes = to_bytes(&project).unwrap();
        let again = read(&bytes).unwrap();
        let run = again.runs.iter().find(|run| run.readings.len() == values.len()).unwrap();
        for (reading, value) in run.readings.iter().zip(&values) {
            let ReadingValue::Exact(found) = reading.value else { unreachable!() };
            prop_assert_eq!(found.to_bits(), value.to_bits());
        }
        prop_assert_eq!(to_bytes(&again).unwrap(), bytes);
    }
}
