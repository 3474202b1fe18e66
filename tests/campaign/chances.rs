//! The chance that a setting works: from the project's own figures, by the command line, and for runs that are pulled.

use wetlane::campaign::chance::{
    NoChance, SCREEN_DRAWS, chance_of, chance_words, spread_of, uncertainties, usual,
};
use wetlane::campaign::feasibility::{Depth, Judge};
use wetlane::campaign::presets::{foils, inks, lab_coater, new_project};
use wetlane::campaign::project::{KnownTo, Project, SettingValue};
use wetlane::campaign::pull::pull_runs;
use wetlane::campaign::validity::problems_of;
use wetlane_physics::{Cause, LimitId};

use crate::command_line::{answer, document};

fn project() -> Project {
    let (ink, foil) = (inks().remove(0), foils().remove(0));
    new_project("test", 5, String::new(), ink, foil, lab_coater())
}

fn at_wet(project: &Project, microns: f64) -> wetlane::campaign::project::Settings {
    let mut settings = project.cross();
    settings.insert("wet_thickness".to_owned(), SettingValue::Number(microns));
    settings
}

#[test]
fn a_setting_far_inside_works_and_one_far_outside_does_not() {
    let project = project();
    let chance = |microns: f64| {
        let chance = chance_of(&project, &at_wet(&project, microns), 512, || false);
        chance.unwrap().unwrap().all_hold
    };
    assert!(chance(30.0) > 0.9);
    assert!(chance(2.0) < 0.1);
}

#[test]
fn a_setting_on_a_limit_is_nearly_a_coin_toss() {
    // At zero margin a symmetric error breaks a limit in half of all cases.
    let project = project();
    let margin = |microns: f64| {
        let judged = Judge::new(&project)
            .judge(&at_wet(&project, microns), Depth::Nominal)
            .unwrap();
        judged
            .assessment
            .limit(LimitId::BeadHold)
            .unwrap()
            .margin()
            .unwrap()
    };
    let (mut low, mut high) = (1.0, 40.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if margin(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    let chance = chance_of(&project, &at_wet(&project, high), SCREEN_DRAWS, || false);
    let fails = chance.unwrap().unwrap().fails(LimitId::BeadHold).unwrap();
    assert!((fails - 0.5).abs() < 0.06, "{fails}");
}

#[test]
fn own_figures_replace_the_usual_ones_and_nonsense_is_refused() {
    let mut project = project();
    for cause in Cause::ALL {
        // What is shown as usual is what physics takes.
        assert_eq!(
            spread_of(cause, usual(cause)),
            Ok(cause.default_spread()),
            "{cause:?}"
        );
    }
    let chance = |project: &Project| {
        let chance = chance_of(project, &at_wet(project, 6.0), SCREEN_DRAWS, || false);
        chance.unwrap().unwrap().all_hold
    };
    let before = chance(&project);
    for cause in Cause::ALL {
        let nothing = match usual(cause) {
            KnownTo::Percent(_) => KnownTo::Percent(0.0),
            KnownTo::Absolute(_) => KnownTo::Absolute(0.0),
        };
        project
            .limits
            .uncertainties
            .insert(cause.key().to_owned(), nothing);
    }
    assert_eq!(problems_of(&project), Vec::new());
    assert_eq!(
        uncertainties(&project),
        wetlane_physics::Uncertainties::none()
    );
    let exact = chance(&project);
    assert!(exact.min(1.0 - exact) < 1e-12, "{exact}");
    assert!(before > 0.0 && before < 1.0, "{before}");

    project
        .limits
        .uncertainties
        .insert("gas_temperature".to_owned(), KnownTo::Percent(5.0));
    project
        .limits
        .uncertainties
        .insert("mood".to_owned(), KnownTo::Percent(5.0));
    project.limits.least_chance = Some(1.5);
    assert_eq!(problems_of(&project).len(), 3);
}

#[test]
fn a_limit_that_is_switched_off_takes_no_part() {
    let mut project = project();
    let fails = |project: &Project| {
        let chance = chance_of(project, &at_wet(project, 2.0), 256, || false)
            .unwrap()
            .unwrap();
        (chance.all_hold, chance.fails(LimitId::BeadHold))
    };
    assert!(fails(&project).1.is_some_and(|fails| fails > 0.9));
    for key in ["bead_hold", "low_flow"] {
        project
            .limits
            .switched_off
            .insert(key.to_owned(), "seen to run".to_owned());
    }
    let (all_hold, bead) = fails(&project);
    assert_eq!(bead, None);
    assert!(all_hold > 0.9, "{all_hold}");
}

#[test]
fn a_search_for_chances_stops_when_told() {
    let project = project();
    let stopped = chance_of(&project, &project.cross(), SCREEN_DRAWS, || true);
    assert!(matches!(stopped, Err(NoChance::Draws(_))));
}

#[test]
fn chances_read_as_people_say_them() {
    assert_eq!(chance_words(0.9999), "> 99 %");
    assert_eq!(chance_words(0.0001), "< 1 %");
    assert_eq!(chance_words(0.873), "87 %");
}

#[test]
fn the_command_line_tells_the_chance_of_a_setting_and_of_runs() {
    let folder = tempfile::tempdir().unwrap();
    let file = crate::support::workspace_file("sample-projects/a-silver-nanowire-electrode.json");
    let file = file.to_str().unwrap();
    let one = document(
        folder.path(),
        &[
            "limits",
            file,
            "--at",
            "speed=2m/min",
            "--probability",
            "--json",
        ],
        0,
    );
    let all_hold = one["probability"].as_f64().unwrap();
    assert!((0.0..=1.0).contains(&all_hold));
    let limits = one["limits"].as_array().unwrap();
    let of = |name: &str| {
        let limit = limits.iter().find(|limit| limit["limit"] == name).unwrap();
        limit["probability"].as_f64()
    };
    // The chance of all is at most that of each hard limit.
    assert!(of("bead_hold").unwrap() >= all_hold && of("dry_at_exit").unwrap() >= all_hold);
    // A caution has no chance: it never says that something is safe.
    assert_eq!(of("hot_touch"), None);
    let runs = answer(folder.path(), &["limits", file, "--probability"], 0);
    assert!(runs.contains("chance") && runs.contains(" %"), "{runs}");
    let without = document(
        folder.path(),
        &["limits", file, "--at", "speed=2m/min", "--json"],
        0,
    );
    assert!(without["probability"].is_null());
}

#[test]
fn a_pulled_run_works_with_the_chance_that_is_asked_for() {
    let file = crate::support::workspace_file("sample-projects/a-silver-nanowire-electrode.json");
    let mut project = wetlane::campaign::project_file::open(&file)
        .unwrap()
        .project;
    let broken: Vec<u32> = project
        .runs
        .iter()
        .filter(|run| !run.pulled.is_empty())
        .map(|run| run.number)
        .collect();
    for run in &mut project.runs {
        run.pulled.clear();
        run.as_run.clear();
        run.readings.clear();
    }
    assert!(broken.len() > 3);
    let chances = |project: &Project| -> Vec<(f64, f64)> {
        let found = pull_runs(project, &broken, |_| false);
        assert!(found.left.is_empty() && found.risky.is_empty(), "{found:?}");
        found
            .pulled
            .iter()
            .map(|(number, pulled)| {
                let mut settings = project.settings_of(project.run(*number).unwrap());
                settings.extend(pulled.settings.clone());
                let chance = chance_of(project, &settings, SCREEN_DRAWS, || false);
                (chance.unwrap().unwrap().all_hold, pulled.distance)
            })
            .collect()
    };
    let usual = chances(&project);
    // 256 draws place a run, 2048 look at it again: the standard error of the first at 90 % is 2 %.
    assert!(
        usual
            .iter()
            .all(|(chance, _)| (0.84..0.97).contains(chance)),
        "{usual:?}"
    );
    project.limits.least_chance = Some(0.6);
    let bolder = chances(&project);
    for ((_, far), (_, near)) in usual.iter().zip(&bolder) {
        assert!(near < far, "{near} {far}");
    }
}
