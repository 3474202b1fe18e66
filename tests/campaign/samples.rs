//! The sample projects: up to date, byte-stable, fitted, and with the limits that their story tells.

use std::path::Path;

use wetlane_physics::LimitId;

use wetlane::campaign::analysis::fit_all;
use wetlane::campaign::feasibility::{Depth, Judge, count, judge_runs};
use wetlane::campaign::project::{SettingValue, Settings};
use wetlane::campaign::project_file::{from_bytes, to_bytes};
use wetlane::campaign::roll::lay_out;
use wetlane::campaign::samples::SAMPLES;

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

fn corner_settings(speed: f64, wet: f64, gap: f64, air: f64) -> Settings {
    Settings::from([
        ("speed".to_owned(), SettingValue::Number(speed)),
        ("wet_thickness".to_owned(), SettingValue::Number(wet)),
        ("gap".to_owned(), SettingValue::Number(gap)),
        ("air_temperature".to_owned(), SettingValue::Number(air)),
    ])
}

fn corner(judge: &mut Judge<'_>, speed: f64, wet: f64, gap: f64, air: f64) -> f64 {
    judge
        .judge(&corner_settings(speed, wet, gap, air), Depth::Nominal)
        .unwrap()
        .margin()
        .unwrap()
}

/// Sample A, corners of speed, wet thickness, gap and air temperature, with 0.30 % wires. The numbers were computed
/// by a second implementation of the same equations in another language (bisection for the bead, the drying march
/// written again) for the limits of the window and of drying alone; the tolerance is that of its coarser march.
#[test]
fn corners_of_the_nanowire_sample_have_the_margins_of_a_second_implementation() {
    const JUDGED: [LimitId; 5] = [
        LimitId::LowFlow,
        LimitId::BeadHold,
        LimitId::Flood,
        LimitId::WettingFailure,
        LimitId::DryAtExit,
    ];
    let project = from_bytes(SAMPLES[0].bytes, Path::new("a")).unwrap();
    let mut judge = Judge::new(&project);
    for ((speed, wet, gap, air), expected) in [
        ((0.6, 10.0, 250.0, 70.0), 0.429_05),
        ((2.4, 10.0, 250.0, 70.0), -1.035_8),
        ((2.4, 24.0, 250.0, 70.0), -0.231_56),
        ((2.4, 24.0, 100.0, 110.0), 0.302_37),
    ] {
        let judged = judge
            .judge(&corner_settings(speed, wet, gap, air), Depth::Nominal)
            .unwrap();
        let margins = JUDGED
            .iter()
            .filter_map(|limit| judged.assessment.limit(*limit)?.margin());
        let margin = margins.fold(f64::INFINITY, f64::min);
        assert!(
            (margin - expected).abs() < 0.03,
            "{speed} {wet} {gap} {air}: {margin} instead of {expected}"
        );
    }
}

#[test]
fn six_of_the_sixteen_corners_of_the_nanowire_sample_cannot_run() {
    let project = from_bytes(SAMPLES[0].bytes, Path::new("a")).unwrap();
    let mut judge = Judge::new(&project);
    let mut n_broken = 0;
    for speed in [0.6, 2.4] {
        for wet in [10.0, 24.0] {
            for gap in [100.0, 250.0] {
                for air in [70.0, 110.0] {
                    n_broken += i32::from(corner(&mut judge, speed, wet, gap, air) < 0.0);
                }
            }
        }
    }
    assert_eq!(n_broken, 6);
}

#[test]
fn pulled_runs_of_the_samples_all_can_run() {
    for sample in SAMPLES {
        let project = from_bytes(sample.bytes, Path::new(sample.file_name)).unwrap();
        let judged = judge_runs(&project, Depth::Nominal);
        assert_eq!(count(&judged), (0, 0), "{}", sample.file_name);
    }
}

#[test]
fn the_nanowire_plan_does_not_fit_its_ink_as_planned() {
    // 16 runs and 3 return runs with one priming a bottle need more than the 60 mL in hand.
    let project = from_bytes(SAMPLES[0].bytes, Path::new("a")).unwrap();
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
