//! A gap that was set cold and what heat takes from it (eq 3.12).

use wetlane_physics::{
    Assessment, Basis, ColdGap, Expansion, HeatedRoller, Input, Knife, Length, LimitId,
    LimitRecord, Line, MeteringKnob, Outcome, Prepared, Setting, Span, Temperature, Verdict,
    assess, assess_nominal,
};

use crate::sample_lines::{setting, with_die, with_roller, worked_example};
use crate::support::assert_close;

/// C19: a steel roller of 100 mm diameter, 60 K above the temperature at which the gap was set.
fn cold() -> ColdGap {
    ColdGap {
        set_at: Some(Temperature::from_deg_c(20.0)),
        roller_diameter: Some(Length::from_mm(100.0)),
        roller_expansion: Some(Expansion::from_um_per_m_k(12.0)),
        roller_temperature: Some(Temperature::from_deg_c(80.0)),
        ..ColdGap::default()
    }
}

fn line() -> Line {
    Line {
        cold_gap: Some(cold()),
        ..worked_example()
    }
}

fn run(gap_um: f64) -> Setting {
    setting(1.0, 20.0, gap_um)
}

fn assessed(line: &Line, run: &Setting) -> Assessment {
    assess_nominal(line, run).expect("valid inputs")
}

fn margin(line: &Line, run: &Setting, id: LimitId) -> f64 {
    assessed(line, run)
        .limit(id)
        .and_then(LimitRecord::margin)
        .unwrap_or_else(|| panic!("{} is evaluated", id.key()))
}

#[test]
fn hot_steel_roller_eats_36_um() {
    let hot = assessed(&line(), &run(136.0)).derived.hot_gap_m;
    // C19, identity: 50 mm · 12e-6/K · 60 K = 36 µm.
    assert_close(hot.expect("known"), 100e-6, 1e-9, "C19, identity");
    // By hand: 20 µm needed of 100 µm.
    assert_close(
        margin(&line(), &run(136.0), LimitId::ThermalGap),
        0.8,
        1e-9,
        "by hand",
    );
}

#[test]
fn window_is_judged_at_the_hot_gap() {
    let hot = assessed(&worked_example(), &run(100.0));
    let cold = assessed(&line(), &run(136.0));
    for id in [
        LimitId::LowFlow,
        LimitId::BeadHold,
        LimitId::Flood,
        LimitId::LipWetting,
        LimitId::GapFill,
        LimitId::Recirculation,
        LimitId::GapTolerance,
    ] {
        let of = |assessment: &Assessment| assessment.limit(id).and_then(LimitRecord::margin);
        assert_close(
            of(&cold).expect("evaluated"),
            of(&hot).expect("evaluated"),
            1e-9,
            id.key(),
        );
    }
}

#[test]
fn span_of_the_head_is_that_of_the_gap_as_set() {
    let line = with_die(&line(), |die| {
        die.gap_span = Some(Span {
            least: Length::from_um(50.0),
            greatest: Length::from_um(120.0),
        });
    });
    // By hand: 136 µm set against 120 µm.
    assert_close(
        margin(&line, &run(136.0), LimitId::GapSpan),
        1.0 - 136.0 / 120.0,
        1e-12,
        "by hand",
    );
}

#[test]
fn closed_gap_is_infeasible_and_every_margin_stays_in_reach() {
    for gap_um in [36.0, 30.0, 10.0] {
        let assessment = assessed(&line(), &run(gap_um));
        let gap = assessment.limit(LimitId::ThermalGap).expect("recorded");
        assert!(gap.margin().is_some_and(|margin| margin < -9.99), "{gap:?}");
        assert_eq!(assessment.verdict, Verdict::Infeasible);
        for limit in &assessment.limits {
            assert!(
                limit
                    .margin()
                    .is_none_or(|margin| (-10.0..=1.0).contains(&margin)),
                "{}",
                limit.id.key()
            );
        }
    }
}

#[test]
fn particles_ask_for_more_than_twenty_micrometres() {
    let mut line = line();
    line.ink.largest_particle = Some(Length::from_um(15.0));
    // By hand: 45 µm needed of 100 µm.
    assert_close(
        margin(&line, &run(136.0), LimitId::ThermalGap),
        0.55,
        1e-9,
        "by hand",
    );
}

#[test]
fn warm_die_grows_as_well() {
    let mut line = line();
    line.cold_gap = Some(ColdGap {
        die_length: Some(Length::from_mm(40.0)),
        die_expansion: Some(Expansion::from_um_per_m_k(17.0)),
        die_temperature: Some(Temperature::from_deg_c(45.0)),
        ..cold()
    });
    // By hand: 40 mm · 17e-6/K · 25 K = 17 µm more.
    let hot = assessed(&line, &run(136.0)).derived.hot_gap_m;
    assert_close(hot.expect("known"), 83e-6, 1e-9, "by hand");
}

#[test]
fn heated_roller_stands_behind_the_head_if_no_other_is_stated() {
    let line = Line {
        cold_gap: Some(ColdGap {
            set_at: Some(Temperature::from_deg_c(20.0)),
            ..ColdGap::default()
        }),
        roller: Some(HeatedRoller {
            diameter: Some(Length::from_mm(100.0)),
            ..HeatedRoller::default()
        }),
        ..worked_example()
    };
    let assessment = assessed(&line, &with_roller(run(136.0), 80.0));
    assert_close(
        assessment.derived.hot_gap_m.expect("known"),
        100e-6,
        1e-9,
        "C19 with the assumed expansion of steel",
    );
    assert!(assessment.assumed.contains(&Input::BackingRollerExpansion));
    assert_eq!(
        assessed(&line, &run(136.0))
            .limit(LimitId::ThermalGap)
            .map(|limit| limit.outcome),
        Some(Outcome::NotEvaluated {
            missing: Input::BackingRollerTemperature
        })
    );
}

#[test]
fn verdict_rests_on_the_assumed_expansion_that_closes_the_gap() {
    let mut line = line();
    line.cold_gap = Some(ColdGap {
        roller_expansion: None,
        ..cold()
    });
    // By hand: an aluminium roller at 24e-6/K eats 72 µm of 85 µm and leaves less than 20 µm.
    let assessment = assess(&line, &setting(1.0, 20.0, 85.0)).expect("valid inputs");
    assert!(
        assessment.rests_on.contains(&Input::BackingRollerExpansion),
        "{:?}",
        assessment.rests_on
    );
}

#[test]
fn colder_roller_opens_the_gap() {
    let mut line = line();
    line.cold_gap = Some(ColdGap {
        roller_temperature: Some(Temperature::from_deg_c(10.0)),
        ..cold()
    });
    let hot = assessed(&line, &run(100.0)).derived.hot_gap_m;
    // By hand: 50 mm · 12e-6/K · 10 K = 6 µm.
    assert_close(hot.expect("known"), 106e-6, 1e-9, "by hand");
}

#[test]
fn gap_that_is_set_for_a_film_allows_for_the_growth() {
    let line = Line {
        head: wetlane_physics::Head::Knife(Knife {
            coated_width: Some(Length::from_mm(100.0)),
            film_over_gap: Some(0.5),
            ..Knife::default()
        }),
        ..line()
    };
    let prepared = Prepared::new(&line, &Basis::default()).expect("a valid line");
    let plain = Setting {
        flow: None,
        ..run(150.0)
    };
    let set = prepared
        .with_wet_thickness(&plain, Length::from_um(40.0), MeteringKnob::Gap)
        .expect("a knife has a gap");
    // By hand: 80 µm hot, 36 µm of growth.
    assert_close(set.gap.expect("set").um(), 116.0, 1e-9, "by hand");
    let wet = prepared.wet_thickness(&set).expect("valid").expect("known");
    assert_close(wet.um(), 40.0, 1e-9, "round trip");
    assert!(
        assessed(&line, &set)
            .limit(LimitId::ThermalGap)
            .is_some_and(LimitRecord::holds)
    );
}

#[test]
fn quick_answer_sees_the_hot_gap() {
    let prepared = Prepared::new(&line(), &Basis::default()).expect("a valid line");
    let run = run(40.0);
    let full = prepared.assess_nominal(&run).expect("valid inputs");
    let quick = prepared.binding_without_drying(&run).expect("valid inputs");
    assert_eq!(
        quick.map(|(_, margin)| margin),
        full.binding().and_then(LimitRecord::margin)
    );
}
