//! Nothing that was typed is lost: undo gives back what was, and a journal cut anywhere by a crash gives back all that
//! had reached the disk.

use std::path::Path;
use std::sync::OnceLock;

use proptest::prelude::*;
use wetlane::campaign::command::Command;
use wetlane::campaign::journal::{JournalStart, JournalWriter, left_behind, read};
use wetlane::campaign::project::{Outcome, Project, SettingValue, Settings};
use wetlane::campaign::samples::SAMPLES;
use wetlane::campaign::session::Session;
use wetlane::campaign::validity::problems_of;

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

/// The sample with eight runs of which four have results, a setting and a film quality that nothing uses.
fn start() -> Project {
    static START: OnceLock<Project> = OnceLock::new();
    let make = || {
        let mut project = sample();
        project.runs.truncate(8);
        for run in project.runs.iter_mut().skip(4) {
            run.readings.clear();
            run.outcome = Outcome::NotRun;
        }
        let mut setting = project.settings[0].clone();
        "unused".clone_into(&mut setting.id);
        project.settings.push(setting);
        let mut quality = project.qualities[0].clone();
        "unused".clone_into(&mut quality.id);
        project.qualities.push(quality);
        project
    };
    START.get_or_init(make).clone()
}

/// The commands that random numbers make: every kind of change, sensible or not.
mod random_commands {
    use std::collections::BTreeMap;

    use proptest::prelude::*;
    use wetlane::campaign::card::{Card, Entry, Field, HowKnown, NumberEntry};
    use wetlane::campaign::command::{CardRef, Command, ReadingEdit, ReadingRef};
    use wetlane::campaign::planning::{PlanRequest, make_plan, take_plan};
    use wetlane::campaign::presets;
    use wetlane::campaign::project::{
        AnalysisChoice, Budget, ChosenPoint, HistoryStep, LimitChoices, Outcome, Project, Promise,
        Question, ReadingValue, SettingValue, Settings, Variation,
    };
    use wetlane::campaign::unit::Unit;
    use wetlane_stats::design::{DesignKind, DesignRequest, Progress, Seed};

    /// What a command is made from: which kind, and three numbers.
    pub(super) type Dice = (u8, u32, u32, f64);

    pub(super) fn dice() -> impl Strategy<Value = Dice> {
        (0_u8..30, 0_u32..25, 0_u32..25, -3.0_f64..30.0)
    }

    fn number(value: f64, unit: &str) -> Entry {
        Entry::Number(NumberEntry {
            value,
            unit: Unit::parse(unit).unwrap(),
            known: HowKnown::Typical,
        })
    }

    fn pick<T>(items: &[T], index: u32) -> Option<&T> {
        items.get(usize::try_from(index).unwrap() % items.len().max(1))
    }

    fn settings(project: &Project, which: u32, value: f64) -> Settings {
        pick(&project.settings, which)
            .map(|setting| (setting.id.clone(), SettingValue::Number(value)))
            .into_iter()
            .collect()
    }

    fn reading(project: &Project, run: u32, which: u32, value: f64) -> ReadingEdit {
        let quality = pick(&project.qualities, which);
        ReadingEdit {
            run,
            quality: quality.map_or_else(|| "none".to_owned(), |quality| quality.id.clone()),
            place: String::new(),
            repeat: 1 + which % 3,
            value: (value > 0.0).then_some(ReadingValue::Exact(value)),
            area: None,
            when: "2026-02-05T09:00:00Z".to_owned(),
            who: String::new(),
        }
    }

    /// The command of some dice, for the project as it stands.
    pub(super) fn command(project: &Project, dice: Dice) -> Command {
        let (kind, a, b, x) = dice;
        match kind {
            0..=9 => of_project(project, kind, a, b, x),
            10..=19 => of_run(project, kind, a, b, x),
            _ => of_rest(project, kind, (a, b, x)),
        }
    }

    fn of_project(project: &Project, kind: u8, a: u32, b: u32, x: f64) -> Command {
        match kind {
            0 => Command::SetTitle(format!("title {a}")),
            1 => Command::SetPurpose(format!("purpose {b}")),
            2 => Command::SetSeed(u64::from(a)),
            3 => Command::SetField {
                card: if a.is_multiple_of(2) {
                    CardRef::Ink
                } else {
                    CardRef::Station(a as usize)
                },
                field: Field::Viscosity,
                entry: (!b.is_multiple_of(3))
                    .then(|| number(x, if b % 3 == 1 { "mPa·s" } else { "mm" })),
            },
            4 => Command::SetCard {
                card: if a.is_multiple_of(2) {
                    CardRef::Foil
                } else {
                    CardRef::Line
                },
                with: Box::new(Card::named("another").with(Field::Thickness, x, "µm")),
            },
            5 => Command::SetLine((a.is_multiple_of(2)).then(|| Box::new(presets_line(project)))),
            6 => put_setting(project, a, b, x),
            7 => Command::RemoveSetting {
                id: pick(&project.settings, a).map_or_else(String::new, |s| s.id.clone()),
            },
            8 => Command::MoveCross(settings(project, a, x)),
            _ => Command::SetBudget(Budget {
                ink_ml: Some(x),
                hours: Some(f64::from(a)),
                ..Budget::default()
            }),
        }
    }

    fn presets_line(project: &Project) -> wetlane::campaign::project::LineCard {
        project.line.clone().unwrap_or_else(presets::lab_coater)
    }

    fn put_setting(project: &Project, a: u32, b: u32, x: f64) -> Command {
        let mut setting = pick(&project.settings, a).cloned().unwrap();
        if b.is_multiple_of(3) {
            setting.id = format!("new_{b}");
        }
        setting.variation = match b % 4 {
            0 => Variation::Fixed,
            1 => Variation::Range {
                low: x,
                high: x + 1.0,
                log: false,
            },
            2 => Variation::Levels {
                levels: vec![x, x - 1.0],
            },
            _ => setting.variation,
        };
        Command::PutSetting {
            index: b as usize,
            setting: Box::new(setting),
        }
    }

    fn of_run(project: &Project, kind: u8, run: u32, b: u32, x: f64) -> Command {
        match kind {
            10 => Command::MoveRun {
                run,
                to: b as usize,
            },
            11 => Command::PullRun {
                run,
                pulled: settings(project, b, x),
            },
            12 => Command::KeepOnPurpose {
                run,
                reason: (b.is_multiple_of(2)).then(|| format!("reason {b}")),
            },
            13 => Command::SetAsRun {
                run,
                as_run: settings(project, b, x),
            },
            14 => Command::SetOutcome {
                run,
                outcome: match b % 3 {
                    0 => Outcome::NotRun,
                    1 => Outcome::Sound,
                    _ => Outcome::Faulty {
                        faults: vec!["streaks".to_owned()],
                    },
                },
            },
            15 => Command::SetNote {
                run,
                note: format!("note {b}"),
            },
            16 => Command::SetMetre {
                run,
                metre: (b.is_multiple_of(2)).then_some(x),
            },
            17 => Command::EnterReadings(vec![
                reading(project, run, b, x),
                reading(project, run + 1, b + 1, -x),
                reading(project, run, b, 2.0 * x),
            ]),
            18 => Command::SetAside {
                reading: {
                    let edit = reading(project, run, b, x);
                    ReadingRef {
                        run,
                        quality: edit.quality,
                        place: edit.place,
                        repeat: edit.repeat,
                    }
                },
                reason: (b.is_multiple_of(2)).then(|| "dropped".to_owned()),
            },
            _ => Command::RestoreReadings {
                run,
                readings: Vec::new(),
            },
        }
    }

    fn of_rest(project: &Project, kind: u8, (a, b, x): (u32, u32, f64)) -> Command {
        match kind {
            20 => {
                let mut quality = pick(&project.qualities, a).cloned().unwrap();
                if b.is_multiple_of(2) {
                    quality.id = format!("quality_{b}");
                }
                quality.weight = x;
                Command::PutQuality {
                    index: a as usize,
                    quality: Box::new(quality),
                }
            }
            21 => Command::RemoveQuality {
                id: pick(&project.qualities, a).map_or_else(String::new, |q| q.id.clone()),
            },
            22 => Command::SetLimits(LimitChoices {
                safety_margin: x / 100.0,
                switched_off: BTreeMap::from([("flood".to_owned(), "tried".to_owned())]),
                ..LimitChoices::default()
            }),
            23 => plan(project, a, b),
            24 => Command::ReplacePlan {
                plan: None,
                runs: Vec::new(),
            },
            25 => Command::SetAnalysis {
                quality: format!("quality_{a}"),
                choice: (b.is_multiple_of(2)).then(AnalysisChoice::default),
            },
            26 => Command::SetChoice((a.is_multiple_of(2)).then(|| {
                Box::new(ChosenPoint {
                    settings: settings(project, a, x),
                    check_runs: vec![b],
                    promised: BTreeMap::from([(
                        "haze".to_owned(),
                        Promise {
                            low: x,
                            high: x + 1.0,
                        },
                    )]),
                })
            })),
            27 => Command::NoteStep((a.is_multiple_of(2)).then(|| HistoryStep {
                what: format!("step {a}"),
                when: "2026-02-05T09:00:00Z".to_owned(),
                program: "0".to_owned(),
            })),
            _ => Command::Together {
                label: "together".to_owned(),
                commands: vec![
                    of_project(project, (b % 10) as u8, a, b, x),
                    of_run(project, 10 + (a % 10) as u8, b, a, x),
                    of_project(project, (a % 10) as u8, b, a, x),
                ],
            },
        }
    }

    fn plan(project: &Project, a: u32, b: u32) -> Command {
        let mut design = DesignRequest::new(DesignKind::FullFactorial, Seed(u64::from(a)));
        design.n_replicates = 1 + b as usize % 2;
        let request = PlanRequest {
            question: Question::WhichMatter,
            model: String::new(),
            design,
        };
        match make_plan(
            project,
            &request,
            "2026-02-05T09:00:00Z",
            &Progress::unwatched(),
        ) {
            Ok((record, runs)) => take_plan(record, runs),
            Err(_) => Command::ReplacePlan {
                plan: None,
                runs: Vec::new(),
            },
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// Whatever is done: what is refused changes nothing, undo and redo restore every state exactly, every state is
    /// valid, and the journal of the edits leads to the same project.
    #[test]
    fn undo_and_redo_of_every_command_restore_the_project(dice in proptest::collection::vec(random_commands::dice(), 1..40)) {
        let mut session = Session::new(start(), None);
        let mut journalled = start();
        let mut states = vec![start()];
        for dice in dice {
            let command = random_commands::command(session.project(), dice);
            let before = session.project().clone();
            if session.apply(&command).is_err() {
                prop_assert_eq!(session.project(), &before, "refused: {:?}", command);
                continue;
            }
            prop_assert_eq!(problems_of(session.project()), vec![]);
            let line = serde_json::to_string(&command).unwrap();
            let read: Command = serde_json::from_str(&line).unwrap();
            prop_assert_eq!(&read, &command);
            read.apply(&mut journalled).unwrap();
            prop_assert_eq!(&journalled, session.project());
            states.push(session.project().clone());
        }
        for state in states.iter().rev().skip(1) {
            session.undo().unwrap();
            prop_assert_eq!(session.project(), state);
        }
        prop_assert!(session.undo_label().is_none());
        for state in states.iter().skip(1) {
            session.redo().unwrap();
            prop_assert_eq!(session.project(), state);
        }
    }
}

/// So that the test above does not pass by refusing everything.
#[test]
fn every_kind_of_random_command_can_be_accepted() {
    for kind in 0..30 {
        let is_accepted = |a: u32, b: u32| {
            let mut project = start();
            let command = random_commands::command(&project, (kind, a, b, 3.5));
            command.apply(&mut project).is_ok()
        };
        let is_ever_accepted = (0..12).any(|a| (0..6).any(|b| is_accepted(a, b)));
        // Runs with results stay, so that a plan without runs is always refused.
        assert_eq!(is_ever_accepted, kind != 24, "kind {kind}");
    }
}

/// Titles that the child process below gives, one after the other.
fn title(edit: usize) -> String {
    format!("edit {edit}")
}

/// Not a test: the process that [`a_killed_process_loses_no_edit_that_reached_the_disk`] kills.
#[test]
#[ignore = "started and killed by another test"]
fn edits_without_end() {
    let Ok(folder) = std::env::var("WETLANE_TEST_JOURNALS") else {
        return;
    };
    let mut session = Session::new(sample(), Some(folder.into()));
    for edit in 0.. {
        session.apply(&Command::SetTitle(title(edit))).unwrap();
        std::thread::sleep(std::time::Duration::from_micros(300));
    }
}

/// The kill gives the process no chance to do anything; whatever another process could read by then must come back.
#[cfg(unix)]
#[test]
fn a_killed_process_loses_no_edit_that_reached_the_disk() {
    let folder = tempfile::tempdir().unwrap();
    let mut child = std::process::Command::new(std::env::current_exe().unwrap())
        .args([
            "--exact",
            "undo_and_journal::edits_without_end",
            "--ignored",
        ])
        .env("WETLANE_TEST_JOURNALS", folder.path())
        .stdout(std::process::Stdio::null())
        .spawn()
        .unwrap();
    let journal = wait_for_edits(folder.path(), 60);
    let seen = std::fs::read(&journal).unwrap();
    // SIGKILL.
    child.kill().unwrap();
    child.wait().unwrap();
    let n_seen = seen.split(|byte| *byte == b'\n').count() - 2;
    let found = left_behind(folder.path(), |_| false);
    assert_eq!(found.len(), 1);
    let recovered = &found[0];
    assert!(recovered.labels.len() >= n_seen && n_seen >= 60);
    assert_eq!(recovered.project.title, title(recovered.labels.len() - 1));
    let mut expected = sample();
    expected.title.clone_from(&recovered.project.title);
    assert_eq!(recovered.project, expected);
}

/// Waits until the only journal of a folder holds so many edits, and gives its name.
fn wait_for_edits(folder: &Path, n_edits: usize) -> std::path::PathBuf {
    for _ in 0..3000 {
        let journal = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .find(|path| {
                path.extension()
                    .is_some_and(|extension| extension == "journal")
            });
        if let Some(journal) = journal {
            let bytes = std::fs::read(&journal).unwrap();
            if bytes.split(|byte| *byte == b'\n').count() > n_edits + 1 {
                return journal;
            }
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    unreachable!("the child process made no edits");
}
