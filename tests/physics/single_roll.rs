//! A sheet on one roll: one lap, no leader, no tension, speed by the turning of the roll.

use wetlane_physics::web::{lap_length, mark_pitch, rotation, surface_speed};
use wetlane_physics::{
    Assessment, Input, Length, LimitId, LimitRecord, Line, Outcome, Rotation, Setting, SingleRoll,
    Speed, Web, assess_nominal,
};

use crate::sample_lines::{setting, worked_example};
use crate::support::assert_close;

fn line() -> Line {
    Line {
        web: Some(Web::SingleRoll(SingleRoll {
            diameter: Some(Length::from_mm(200.0)),
            clamp: Some(Length::from_mm(28.0)),
            threading_speed: None,
        })),
        leader: Some(Length::from_m(5.0)),
        ..worked_example()
    }
}

fn run(needed_mm: f64) -> Setting {
    Setting {
        foil_needed: Some(Length::from_mm(needed_mm)),
        ..setting(1.0, 20.0, 100.0)
    }
}

fn assess(line: &Line, run: &Setting) -> Assessment {
    assess_nominal(line, run).expect("valid inputs")
}

fn lap(line: &Line, run: &Setting) -> LimitRecord {
    *assess(line, run)
        .limit(LimitId::FoilLength)
        .expect("recorded")
}

#[test]
fn run_must_fit_on_one_lap_and_has_no_leader() {
    // By hand: π · 200 mm − 28 mm = 600.3 mm; the leader of 5 m does not count.
    let Outcome::Evaluated { value, bound, .. } = lap(&line(), &run(500.0)).outcome else {
        panic!("evaluated")
    };
    assert_close(value, 0.5, 1e-12, "by hand");
    assert_close(bound, 0.600_318_5, 1e-6, "by hand");
    assert!(lap(&line(), &run(500.0)).holds());
    assert!(!lap(&line(), &run(700.0)).holds());
}

#[test]
fn roll_of_foil_on_the_shelf_does_not_lengthen_the_lap() {
    let mut line = line();
    line.foil.roll_length = Some(Length::from_m(100.0));
    assert!(!lap(&line, &run(700.0)).holds());
}

#[test]
fn lap_of_a_roll_of_unknown_diameter_is_not_judged() {
    let line = Line {
        web: Some(Web::SingleRoll(SingleRoll::default())),
        ..worked_example()
    };
    assert_eq!(
        lap(&line, &run(500.0)).outcome,
        Outcome::NotEvaluated {
            missing: Input::SingleRollDiameter
        }
    );
}

#[test]
fn clamp_that_takes_the_whole_roll_leaves_nothing() {
    let line = Line {
        web: Some(Web::SingleRoll(SingleRoll {
            diameter: Some(Length::from_mm(200.0)),
            clamp: Some(Length::from_m(1.0)),
            threading_speed: None,
        })),
        ..worked_example()
    };
    assert_close(
        lap(&line, &run(500.0)).margin().expect("evaluated"),
        -10.0,
        1e-12,
        "clipped",
    );
}

#[test]
fn nothing_is_said_of_tension() {
    let assessment = assess(&line(), &run(500.0));
    for id in [
        LimitId::TensionSpan,
        LimitId::TensionMax,
        LimitId::TensionMin,
        LimitId::Slack,
        LimitId::Wrinkle,
        LimitId::Traction,
    ] {
        assert!(assessment.limit(id).is_none(), "{}", id.key());
    }
}

#[test]
fn roll_of_80_mm_turns_four_times_a_minute() {
    // H7, computed by a second implementation: 3.9789 rev/min at 1 m/min.
    let diameter = Length::from_mm(80.0);
    let turning = rotation(Speed::from_m_per_min(1.0), diameter);
    assert_close(
        turning.per_min(),
        3.9789,
        1e-4,
        "H7, computed from the equation",
    );
    assert_close(
        surface_speed(turning, diameter).m_per_min(),
        1.0,
        1e-12,
        "round trip",
    );
    let derived = assess(&line(), &run(500.0)).derived;
    // By hand: 1 m/min over π · 0.2 m.
    let turning = Rotation::from_per_s(derived.roll_rotation_per_s.expect("known"));
    assert_close(turning.per_min(), 1.591_549, 1e-6, "by hand");
    assert_close(
        derived.lap_length_m.expect("known"),
        0.600_318_5,
        1e-6,
        "by hand",
    );
}

#[test]
fn marks_of_a_roller_come_once_a_turn() {
    // By hand.
    let pitch = mark_pitch(Length::from_mm(80.0));
    assert_close(pitch.mm(), 251.327_4, 1e-6, "by hand");
    let lap = lap_length(Length::from_mm(80.0), Length::from_mm(0.0));
    assert_close(lap.m(), pitch.m(), 1e-15, "a lap without a clamp");
}
