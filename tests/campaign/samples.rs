//! The sample projects: up to date, byte-stable, fitted, and with the limits that their story tells.

use std::path::Path;

use wetlane_physics::LimitId;
use wetlane_stats::design::{Purpose, RandomStream, Seed};

use wetlane::campaign::analysis::{Certainty, fit_all};
use wetlane::campaign::answers::{EffectLine, effect_lines, goal_lines};
use wetlane::campaign::feasibility::{Depth, Judge, judge_runs};
use wetlane::campaign::project::{Importance, Outcome, Project, RunRole, SettingValue, Settings};
use wetlane::campaign::project_file::{from_bytes, to_bytes};
use wetlane::campaign::promises::promises_at;
use wetlane::campaign::report::{CheckState, check_runs};
use wetlane::campaign::roll::lay_out;
use wetlane::campaign::samples::SAMPLES;

mod battery_cathode;
mod electrochromic_layer;

/// Hard limits that the second implementation knows.
const JUDGED: [LimitId; 5] = [
    LimitId::LowFlow,
    LimitId::BeadHold,
    LimitId::Flood,
    LimitId::WettingFailure,
    LimitId::DryAtExit,
];

/// The sample whose file name starts with this letter.
fn sample(letter: &str) -> Project {
    let sample = SAMPLES
        .iter()
        .find(|sample| sample.file_name.starts_with(letter))
        .unwrap();
    from_bytes(sample.bytes, Path::new(sample.file_name)).unwrap()
}

fn numbers(settings: &[(&str, f64)]) -> Settings {
    settings
        .iter()
        .map(|(id, value)| ((*id).to_owned(), SettingValue::Number(*value)))
        .collect()
}

/// The worst of the limits that the second implementation knows, with its margin.
fn worst(judge: &mut Judge<'_>, settings: &Settings) -> (LimitId, f64) {
    let judged = judge.judge(settings, Depth::Nominal).unwrap();
    let margin = |limit: &LimitId| Some((*limit, judged.assessment.limit(*limit)?.margin()?));
    JUDGED
        .iter()
        .filter_map(margin)
        .min_by(|(_, a), (_, b)| a.total_cmp(b))
        .unwrap()
}

/// Share of some random settings that can run by every hard limit.
fn feasible_share(project: &Project, draw: impl Fn(&mut RandomStream) -> Settings) -> f64 {
    const N_DRAWS: u32 = 400;
    let mut judge = Judge::new(project);
    let mut stream = RandomStream::new(Seed(7), Purpose::InventedReadings, 0);
    let n_feasible = (0..N_DRAWS)
        .filter(|_| {
            let judged = judge.judge(&draw(&mut stream), Depth::Nominal).unwrap();
            judged.feasible().unwrap()
        })
        .count();
    n_feasible as f64 / f64::from(N_DRAWS)
}

fn between(stream: &mut RandomStream, least: f64, greatest: f64) -> f64 {
    least + (greatest - least) * stream.unit()
}

#[test]
fn every_sample_is_what_its_generator_makes() {
    for sample in SAMPLES {
        let made = to_bytes(&(sample.make)().unwrap()).unwrap();
        assert!(
            made == sample.bytes,
            "{} is out of date: cargo run -p wetlane --example make_samples",
            sample.file_name
        );
    }
}

#[test]
fn every_sample_opens_and_saves_back_byte_for_byte() {
    for sample in SAMPLES {
        let project = from_bytes(sample.bytes, Path::new(sample.file_name)).unwrap();
        assert_eq!(
            to_bytes(&project).unwrap(),
            sample.bytes,
            "{}",
            sample.file_name
        );
    }
}

#[test]
fn every_sample_says_that_it_is_invented() {
    for sample in SAMPLES {
        let project = from_bytes(sample.bytes, Path::new(sample.file_name)).unwrap();
        assert!(project.purpose.contains("Invented"), "{}", sample.file_name);
    }
}

#[test]
fn every_quality_of_every_sample_is_fitted() {
    for sample in SAMPLES {
        let project = from_bytes(sample.bytes, Path::new(sample.file_name)).unwrap();
        for (quality, fit) in fit_all(&project) {
            assert!(
                fit.is_ok(),
                "{}, {quality}: {:?}",
                sample.file_name,
                fit.err()
            );
        }
    }
}

fn corner(speed: f64, wet: f64, gap: f64, air: f64) -> Settings {
    numbers(&[
        ("speed", speed),
        ("wet_thickness", wet),
        ("gap", gap),
        ("air_temperature", air),
    ])
}

/// Sample A, corners of speed, wet thickness, gap and air temperature, with 0.30 % wires. The numbers were computed
/// by a second implementation of the same equations in another language (bisection for the bead, the drying march
/// written again) for the limits of the window and of drying alone; the tolerance is that of its coarser march.
#[test]
fn corners_of_the_nanowire_sample_have_the_margins_of_a_second_implementation() {
    let project = sample("a");
    let mut judge = Judge::new(&project);
    for ((speed, wet, gap, air), expected) in [
        ((0.6, 10.0, 250.0, 70.0), 0.429_05),
        ((2.4, 10.0, 250.0, 70.0), -1.035_8),
        ((2.4, 24.0, 250.0, 70.0), -0.231_56),
        ((2.4, 24.0, 100.0, 110.0), 0.302_37),
    ] {
        let (_, margin) = worst(&mut judge, &corner(speed, wet, gap, air));
        assert!(
            (margin - expected).abs() < 0.03,
            "{speed} {wet} {gap} {air}: {margin} instead of {expected}"
        );
    }
}

#[test]
fn six_of_the_sixteen_corners_of_the_nanowire_sample_cannot_run() {
    let project = sample("a");
    let mut judge = Judge::new(&project);
    let mut n_broken = 0;
    for speed in [0.6, 2.4] {
        for wet in [10.0, 24.0] {
            for gap in [100.0, 250.0] {
                for air in [70.0, 110.0] {
                    let judged = judge.judge(&corner(speed, wet, gap, air), Depth::Nominal);
                    n_broken += i32::from(judged.unwrap().margin().unwrap() < 0.0);
                }
            }
        }
    }
    assert_eq!(n_broken, 6);
}

#[test]
fn every_run_of_the_samples_can_run_or_is_kept_on_purpose() {
    for sample in SAMPLES {
        let project = from_bytes(sample.bytes, Path::new(sample.file_name)).unwrap();
        for judged in judge_runs(&project, Depth::Nominal) {
            let is_kept = project.run(judged.run).unwrap().on_purpose.is_some();
            assert_eq!(
                judged.feasible(),
                Some(!is_kept),
                "{}, run {}",
                sample.file_name,
                judged.run
            );
        }
    }
}

/// The project as it was when its point was chosen: the check runs not yet made.
fn before_the_check_runs(project: &Project) -> Project {
    let mut before = project.clone();
    for run in &mut before.runs {
        if run.role == RunRole::Check {
            run.outcome = Outcome::NotRun;
            run.readings.clear();
        }
    }
    before
}

#[test]
fn promises_of_the_samples_are_those_of_the_fit_before_the_check_runs() {
    let mut n_chosen = 0;
    for sample in SAMPLES {
        let project = from_bytes(sample.bytes, Path::new(sample.file_name)).unwrap();
        let Some(choice) = &project.choice else {
            continue;
        };
        n_chosen += 1;
        let fits = fit_all(&before_the_check_runs(&project));
        let promised = promises_at(&fits, &choice.settings, choice.check_runs.len());
        assert_eq!(choice.promised, promised, "{}", sample.file_name);
        for number in &choice.check_runs {
            let run = project.run(*number).unwrap();
            assert_eq!(run.role, RunRole::Check);
            assert_eq!(run.planned, choice.settings);
        }
    }
    assert!(n_chosen > 0, "no sample has a chosen point");
}

#[test]
fn chosen_points_of_the_samples_meet_every_goal_and_can_run_with_a_margin() {
    for sample in SAMPLES {
        let project = from_bytes(sample.bytes, Path::new(sample.file_name)).unwrap();
        let Some(choice) = &project.choice else {
            continue;
        };
        let fits: Vec<_> = fit_all(&project)
            .into_iter()
            .map(|(id, fit)| (id, fit.map_err(|error| error.to_string())))
            .collect();
        for line in goal_lines(&project, &fits, &choice.settings) {
            if project.quality(&line.quality).unwrap().importance == Importance::Must {
                assert_eq!(line.meets, Some(true), "{}, {line:?}", sample.file_name);
            }
        }
        let mut judge = Judge::new(&project);
        let judged = judge.judge(&choice.settings, Depth::Nominal).unwrap();
        assert!(judged.margin().unwrap() >= 0.1, "{}", sample.file_name);
    }
}

/// An effect is "likely" if its 95 % interval passes zero and its 80 % interval does not, so one end has another sign.
#[test]
fn a_likely_effect_says_that_its_interval_passes_zero() {
    let project = sample("a");
    let (_, fit) = fit_all(&project)
        .into_iter()
        .find(|(id, _)| id == "sheet_resistance")
        .unwrap();
    let lines = effect_lines(&project, &fit.unwrap(), &project.cross());
    let is_likely = |line: &&EffectLine| line.effect.certainty == Certainty::Likely;
    let likely: Vec<&EffectLine> = lines.iter().filter(is_likely).collect();
    assert!(!likely.is_empty(), "{lines:?}");
    for line in likely {
        let (_, low, high) = line.shown.unwrap();
        assert!(low < 0.0 && 0.0 < high, "{line:?}");
        assert!(line.sentence.contains("(\u{2212}"), "{line:?}");
    }
}

#[test]
fn the_nanowire_plan_does_not_fit_its_ink_as_planned() {
    // 16 runs and 3 return runs with one priming a bottle need more than the 60 mL in hand.
    let project = sample("a");
    let totals = lay_out(&project).totals;
    assert_eq!(totals.fits(), Some(false), "{totals:?}");
    assert!(
        totals
            .shortfalls()
            .iter()
            .any(|shortfall| shortfall.starts_with("ink")),
        "{totals:?}"
    );
}
