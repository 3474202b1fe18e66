//! Nothing that was typed is lost: undo gives back what was, and a journal cut anywhere by a crash gives back all that
//! had reached the disk.

use std::path::Path;

use wetlane::campaign::command::Command;
use wetlane::campaign::journal::{JournalStart, JournalWriter, left_behind, read};
use wetlane::campaign::project::{Outcome, Project, SettingValue, Settings};
use wetlane::campaign::samples::SAMPLES;
use wetlane::campaign::session::Session;

fn sample() -> Project {
    (SAMPLES[0].make)().unwrap()
}

/// Edits of several kinds.
fn edits() -> Vec<Command> {
    let to = Settings::from([("speed".to_owned(), SettingValue::Number(1.7))]);
    vec![
        Command::SetTitle("Second day".to_owned()),
        Command::MoveCross(to),
        Command::SetOutcome {
            run: 3,
            outcome: Outcome::NotRun,
        },
        Command::SetPurpose("What the new bottle changes".to_owned()),
    ]
}

#[test]
fn every_edit_is_undone_and_redone_in_turn() {
    let mut session = Session::new(sample(), None);
    let mut states = vec![session.project().clone()];
    for edit in edits() {
        session.apply(&edit).unwrap();
        states.push(session.project().clone());
    }
    for pair in states.windows(2) {
        assert_ne!(pair[0], pair[1]);
    }
    for state in states.iter().rev().skip(1) {
        session.undo().unwrap();
        assert_eq!(session.project(), state);
    }
    for state in states.iter().skip(1) {
        session.redo().unwrap();
        assert_eq!(session.project(), state);
    }
}

#[test]
fn a_journal_cut_at_any_byte_gives_back_every_whole_line() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("film-1.journal");
    let writer =
        JournalWriter::start(path.clone(), &JournalStart::new(None, None, sample())).unwrap();
    let mut states = vec![sample()];
    for edit in edits() {
        writer.append(&edit, "2026-02-05T09:00:00Z");
        let mut next = states.last().unwrap().clone();
        edit.apply(&mut next).unwrap();
        states.push(next);
    }
    writer.close();
    let bytes = std::fs::read(&path).unwrap();
    let first_line = bytes.iter().position(|byte| *byte == b'\n').unwrap();
    let cut_path = folder.path().join("cut-1.journal");
    let read_cut = |length: usize| {
        std::fs::write(&cut_path, &bytes[..length]).unwrap();
        read(&cut_path)
    };
    for length in (0..first_line).step_by(997) {
        assert!(read_cut(length).is_err(), "{length} bytes");
    }
    for length in first_line..=bytes.len() {
        let recovered = read_cut(length).unwrap();
        let n_whole = bytes[first_line + 1..length.max(first_line + 1)]
            .split(|byte| *byte == b'\n')
            .count()
            - 1;
        // A last line that is whole but for its end of line counts as well.
        let n_edits = recovered.labels.len();
        assert!(n_edits == n_whole || n_edits == n_whole + 1, "{length}");
        assert_eq!(recovered.project, states[n_edits], "{length} bytes");
    }
    assert_eq!(
        read_cut(bytes.len()).unwrap().project,
        states[edits().len()]
    );
}

#[test]
fn edits_left_behind_are_offered_until_they_are_saved() {
    let folder = tempfile::tempdir().unwrap();
    let journals = folder.path().join("journals");
    let file = folder.path().join("film.json");
    let nobody_runs = |_: u32| false;
    let offered = |journals: &Path| left_behind(journals, nobody_runs);

    let mut session = Session::new(sample(), Some(journals.clone()));
    session
        .apply(&Command::SetTitle("Second day".to_owned()))
        .unwrap();
    session.close();
    let found = offered(&journals);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].project.title, "Second day");
    assert!(left_behind(&journals, |_| true).is_empty());

    let mut session = Session::recover(found[0].clone(), Some(journals.clone()));
    std::fs::remove_file(&found[0].journal).unwrap();
    session.save_as(file.clone()).unwrap();
    session.close();
    assert!(offered(&journals).is_empty());
    assert_eq!(
        Session::open(&file, None).unwrap().project().title,
        "Second day"
    );
}
