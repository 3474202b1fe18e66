//! How long a film takes to become steady, and what that costs in foil and ink (eqs 2.20 to 2.26).

use wetlane_physics::{
    Basis, Changeover, Duration, Fraction, InkChange, Input, InputError, Knife, Length, LimitId,
    Line, Outcome, Prepared, Pump, Setting, Settling, Volume, assess_nominal,
};

use crate::pump_line::pump_line;
use crate::sample_lines::{nanowire_line, setting, worked_example};
use crate::support::assert_close;

fn prepared(line: &Line) -> Prepared {
    Prepared::new(line, &Basis::default()).expect("a valid line")
}

fn settling(line: &Line, run: &Setting, changeover: Changeover) -> Settling {
    prepared(line).settling(run, changeover).expect("valid")
}

const RUN: fn() -> Setting = || setting(1.0, 20.0, 100.0);

fn with_dead_volume(line: &Line, ml: f64) -> Line {
    Line {
        pump: Some(Pump {
            dead_volume: Some(Volume::from_ml(ml)),
            ..line.pump.unwrap_or_default()
        }),
        ..*line
    }
}

fn flushed(percent: f64) -> Changeover {
    Changeover {
        ink: InkChange::FlushedThrough {
            residual: Some(Fraction::from_percent(percent)),
        },
        heater_settling: None,
    }
}

#[test]
fn bead_is_exchanged_after_three_volumes() {
    let waits = settling(&worked_example(), &RUN(), Changeover::default());
    // By hand, eq 2.23: 100 µm · 2 mm · 100 mm over 2 mL/min is 0.6 s; three of them.
    assert_close(waits.bead.expect("known").s(), 1.8, 1e-12, "by hand");
    assert_close(waits.time.s(), 1.8, 1e-12, "by hand");
    assert_eq!(waits.pump_line, None);
    assert_close(waits.length.expect("known").m(), 0.03, 1e-12, "by hand");
    assert_close(
        waits.ink_on_foil.expect("known").ml(),
        0.06,
        1e-12,
        "by hand",
    );
    assert_close(
        waits.ink_lost().expect("known").ml(),
        0.06,
        1e-12,
        "by hand",
    );
}

#[test]
fn pump_line_that_is_slower_than_the_bead_decides() {
    let mut line = pump_line();
    line.pump = line.pump.map(|pump| Pump {
        trapped_air: Some(Volume::from_ml(2.0)),
        ..pump
    });
    let waits = settling(&line, &RUN(), Changeover::default());
    // B7, computed by a second implementation, with twenty times the air.
    assert_close(
        waits.time.s(),
        3.0 * 20.0 * 0.23658,
        1e-3,
        "B7, computed from the equation",
    );
    let length = prepared(&line)
        .settle_length(&RUN(), Changeover::default())
        .expect("valid");
    assert_close(
        length.expect("known").m(),
        waits.time.s() / 60.0,
        1e-12,
        "by hand: at 1 m/min",
    );
}

#[test]
fn new_ink_flushes_three_dead_volumes() {
    let line = with_dead_volume(&worked_example(), 2.0);
    let waits = settling(&line, &RUN(), flushed(5.0));
    // B5, computed by a second implementation: 5.9915 mL for 5 %; at 2 mL/min.
    assert_close(
        waits.flush.expect("known").min(),
        5.9915 / 2.0,
        1e-4,
        "B5, computed from the equation",
    );
    assert_close(
        waits.ink_lost().expect("known").ml(),
        5.9915,
        1e-4,
        "B5, computed from the equation",
    );
    // The default residual is 5 % as well.
    let unstated = Changeover {
        ink: InkChange::FlushedThrough { residual: None },
        heater_settling: None,
    };
    assert_eq!(settling(&line, &RUN(), unstated).flush, waits.flush);
}

#[test]
fn cleaned_line_costs_its_dead_volume_and_no_time() {
    let line = with_dead_volume(&worked_example(), 4.0);
    let primed = Changeover {
        ink: InkChange::Primed,
        heater_settling: None,
    };
    let waits = settling(&line, &RUN(), primed);
    assert_close(waits.priming.ml(), 4.0, 1e-12, "as stated");
    assert_close(waits.time.s(), 1.8, 1e-12, "the bead alone");
    // By hand: 4 mL and 0.06 mL over the foil.
    assert_close(
        waits.ink_lost().expect("known").ml(),
        4.06,
        1e-12,
        "by hand",
    );
}

#[test]
fn heater_that_settles_while_the_web_runs_costs_foil() {
    let change = Changeover {
        heater_settling: Some(Duration::from_min(4.0)),
        ..Changeover::default()
    };
    let waits = settling(&worked_example(), &RUN(), change);
    assert_close(waits.time.min(), 4.0, 1e-12, "as stated");
    assert_close(waits.length.expect("known").m(), 4.0, 1e-12, "by hand");
}

#[test]
fn film_is_seen_once_it_has_come_through_the_dryer() {
    let line = nanowire_line();
    let waits = settling(&line, &RUN(), Changeover::default());
    // By hand: 0.4 m of open path and 1.2 m of dryer at 1 m/min.
    let seen = waits.seen_after.expect("known").s() - waits.time.s();
    assert_close(seen, 96.0, 1e-12, "by hand");
    let stated = Line {
        inspection_path: Some(Length::from_m(0.5)),
        ..line
    };
    let waits = settling(&stated, &RUN(), Changeover::default());
    let seen = waits.seen_after.expect("known").s() - waits.time.s();
    assert_close(seen, 30.0, 1e-12, "by hand");
    let unknown = settling(&worked_example(), &RUN(), Changeover::default());
    assert_eq!(unknown.seen_after, None);
}

#[test]
fn head_without_a_bead_settles_by_ink_and_heaters_alone() {
    let mut line = with_dead_volume(&worked_example(), 2.0);
    line.head = wetlane_physics::Head::Knife(Knife {
        coated_width: Some(Length::from_mm(100.0)),
        film_over_gap: Some(0.5),
        ..Knife::default()
    });
    let run = Setting {
        flow: None,
        ..RUN()
    };
    let waits = settling(&line, &run, flushed(5.0));
    assert_eq!((waits.pump_line, waits.bead), (None, None));
    // By hand: half of 100 µm over 100 mm at 1 m/min takes 5 mL/min; 5.9915 mL of flushing.
    assert_close(
        waits.flush.expect("known").min(),
        5.9915 / 5.0,
        1e-4,
        "B5, and by hand",
    );
}

#[test]
fn settling_is_held_against_the_foil_granted() {
    let granted = |mm: f64| Setting {
        settling_granted: Some(Length::from_mm(mm)),
        ..RUN()
    };
    let margin = |mm: f64| {
        assess_nominal(&worked_example(), &granted(mm))
            .expect("valid")
            .limit(LimitId::StartupLength)
            .and_then(wetlane_physics::LimitRecord::margin)
            .expect("evaluated")
    };
    // By hand: 30 mm needed.
    assert_close(margin(60.0), 0.5, 1e-12, "by hand");
    assert_close(margin(20.0), -0.5, 1e-12, "by hand");
    assert_close(margin(0.0), -10.0, 1e-12, "nothing granted");
}

#[test]
fn settling_without_a_gap_names_it() {
    let run = Setting {
        gap: None,
        settling_granted: Some(Length::from_mm(60.0)),
        ..RUN()
    };
    let assessment = assess_nominal(&worked_example(), &run).expect("valid");
    assert_eq!(
        assessment
            .limit(LimitId::StartupLength)
            .map(|limit| limit.outcome),
        Some(Outcome::NotEvaluated {
            missing: Input::Gap
        })
    );
}

#[test]
fn impossible_changeovers_are_refused() {
    let prepared = prepared(&worked_example());
    let refuse = |change: Changeover| prepared.settling(&RUN(), change).expect_err("refused");
    assert_eq!(
        refuse(flushed(0.0)),
        InputError::NotPositive {
            input: Input::ResidualInk,
            value: 0.0
        }
    );
    assert_eq!(
        refuse(flushed(200.0)),
        InputError::AboveOne {
            input: Input::ResidualInk,
            value: 2.0
        }
    );
    assert!(matches!(
        refuse(Changeover {
            heater_settling: Some(Duration::from_s(-1.0)),
            ..Changeover::default()
        }),
        InputError::Negative {
            input: Input::HeaterSettling,
            ..
        }
    ));
}
