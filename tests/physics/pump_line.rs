//! The pump line: pressure, force, lag, bars of its steps, spread across the web, drip at a stop (eqs 2.16 to 2.21, 2.27,
//! 2.28).

use wetlane_physics::pump_line::PumpLine;
use wetlane_physics::{
    Assessment, Carreau, Compliance, Force, Input, Length, LimitId, LimitRecord, Line, Outcome,
    Pressure, Pump, Rheology, Setting, Severity, Viscosity, Volume, VolumeFlow, assess_nominal,
    cautions,
};

use crate::assert_within;
use crate::sample_lines::{setting, with_die, worked_example};
use crate::support::assert_close;

const RUN: fn() -> Setting = || setting(1.0, 20.0, 100.0);

/// The circuit of B6 and B7: tube 1.0 mm × 0.5 m, slot 100 µm × 30 mm × 100 mm, 0.1 mL of air, syringe of 14.5 mm.
pub(crate) fn pump_line() -> Line {
    let line = with_die(&worked_example(), |die| {
        die.feed_slot_height = Some(Length::from_um(100.0));
        die.feed_slot_length = Some(Length::from_mm(30.0));
        die.slot_height_error = Some(Length::from_um(1.0));
        die.manifold_radius = Some(Length::from_mm(3.0));
    });
    Line {
        pump: Some(Pump {
            syringe_bore: Some(Length::from_mm(14.5)),
            greatest_force: Some(Force::from_n(100.0)),
            plunger_friction: Some(Force::from_n(0.0)),
            tube_bore: Some(Length::from_mm(1.0)),
            tube_length: Some(Length::from_m(0.5)),
            filter_drop: Some(Pressure::from_pa(0.0)),
            trapped_air: Some(Volume::from_ml(0.1)),
            line_compliance: Some(Compliance::from_m3_per_pa(0.0)),
            step_volume: Some(Volume::from_m3(0.05e-9)),
            ..Pump::default()
        }),
        ..line
    }
}

fn with_pump(line: &Line, change: impl FnOnce(&mut Pump)) -> Line {
    let mut pump = line.pump.unwrap_or_default();
    change(&mut pump);
    Line {
        pump: Some(pump),
        ..*line
    }
}

fn with_rheology(line: &Line, rheology: Rheology) -> Line {
    let mut line = *line;
    line.ink.rheology = Some(rheology);
    line
}

fn newtonian(pa_s: f64) -> Rheology {
    Rheology::Newtonian {
        viscosity: Viscosity::from_pa_s(pa_s),
    }
}

fn assess(line: &Line) -> Assessment {
    assess_nominal(line, &RUN()).expect("valid inputs")
}

fn numbers(line: &Line, id: LimitId) -> (f64, f64, f64) {
    let assessment = assess(line);
    match assessment.limit(id).map(|limit| limit.outcome) {
        Some(Outcome::Evaluated {
            value,
            bound,
            margin,
        }) => (value, bound, margin),
        other => panic!("{}: {other:?}", id.key()),
    }
}

fn margin(line: &Line, id: LimitId) -> f64 {
    numbers(line, id).2
}

#[test]
fn plunger_force_of_a_thin_and_of_a_thick_ink() {
    let (force, greatest, margin) = numbers(&pump_line(), LimitId::PumpForce);
    // B12, computed by a second implementation.
    assert_close(force, 1.3195, 1e-3, "B12, computed from the equation");
    assert_within(greatest, 100.0, 1e-12, "as stated");
    assert_within(margin, 1.0 - 0.013_195, 1e-4, "by hand");
    // docs/methods.md: 130 N at 1 Pa·s, which 100 N cannot push.
    let thick = with_rheology(&pump_line(), newtonian(1.0));
    let (force, _, margin) = numbers(&thick, LimitId::PumpForce);
    assert_close(force, 131.95, 1e-3, "B12, a hundred times the viscosity");
    assert_within(margin, -0.3195, 1e-3, "by hand");
    assert_eq!(LimitId::PumpForce.severity(), Severity::Hard);
}

#[test]
fn friction_and_filter_add_to_the_force() {
    let line = with_pump(&pump_line(), |pump| {
        pump.plunger_friction = Some(Force::from_n(12.0));
        pump.filter_drop = Some(Pressure::from_kpa(20.0));
    });
    let (force, ..) = numbers(&line, LimitId::PumpForce);
    // By hand: 1.3195 N, 12 N, and 20 kPa on 1.6513 cm².
    let area = 0.25 * std::f64::consts::PI * 0.0145 * 0.0145;
    assert_close(force, 1.3195 + 12.0 + 20e3 * area, 1e-4, "by hand");
}

#[test]
fn line_of_unstated_friction_assumes_some() {
    let line = with_pump(&pump_line(), |pump| pump.plunger_friction = None);
    let assessment = assess(&line);
    assert!(assessment.assumed.contains(&Input::PlungerFriction));
    let (force, ..) = numbers(&line, LimitId::PumpForce);
    assert_close(force, 1.3195 + 5.0, 1e-4, "B12 and the assumed 5 N");
}

#[test]
fn verdict_rests_on_an_assumed_friction_that_decides() {
    let line = with_pump(&pump_line(), |pump| {
        pump.plunger_friction = None;
        pump.greatest_force = Some(Force::from_n(10.0));
    });
    let assessment = wetlane_physics::assess(&line, &RUN()).expect("valid inputs");
    assert!(assessment.rests_on.contains(&Input::PlungerFriction));
}

#[test]
fn lag_of_a_tenth_of_a_millilitre_of_air() {
    let (lag, allowed, _) = numbers(&pump_line(), LimitId::PumpLag);
    // B7, computed by a second implementation: three time constants of 0.23658 s.
    assert_close(lag, 3.0 * 0.23658, 1e-3, "B7, computed from the equation");
    assert_within(allowed, 10.0, 1e-12, "assumed");
    // docs/methods.md: 1 Pa·s and 2 mL of air need 470 s, three time constants 1420 s.
    let bad = with_pump(&with_rheology(&pump_line(), newtonian(1.0)), |pump| {
        pump.trapped_air = Some(Volume::from_ml(2.0));
    });
    let (lag, _, margin) = numbers(&bad, LimitId::PumpLag);
    assert_close(lag / 3.0, 473.2, 1e-3, "B7, two thousand times");
    assert_within(margin, -10.0, 1e-12, "clipped");
}

#[test]
fn soft_syringe_counts_like_a_bubble() {
    let line = with_pump(&pump_line(), |pump| {
        pump.trapped_air = Some(Volume::from_ml(0.0));
        // By hand: 0.1 mL at 101 325 Pa yields 0.1/1.01325 mL per bar.
        pump.line_compliance = Some(Compliance::from_ml_per_bar(0.1 / 1.013_25));
    });
    let (bubble, ..) = numbers(&pump_line(), LimitId::PumpLag);
    let (soft, ..) = numbers(&line, LimitId::PumpLag);
    assert_close(soft, bubble, 1e-12, "by hand");
}

#[test]
fn pump_steps_make_bars_that_level() {
    let assessment = assess(&pump_line());
    // B13, identity: 25 µm.
    let pitch = assessment.derived.pump_bar_pitch_m.expect("known");
    assert_close(pitch, 25e-6, 1e-9, "B13, identity");
    assert!(margin(&pump_line(), LimitId::PumpPulsation) > 0.999);
}

#[test]
fn bars_of_three_millimetres_stay() {
    // D10, computed by a second implementation: 0.1 Pa·s, 30 mN/m, 30 µm, 3 mm: 19.249 s. The open path gives 24 s at
    // 1 m/min over the assumed 0.4 m; ten times the viscosity leaves no doubt.
    let bars = |pa_s: f64| {
        with_pump(&with_rheology(&pump_line(), newtonian(pa_s)), |pump| {
            // By hand: 3 mm · 30 µm · 100 mm.
            pump.step_volume = Some(Volume::from_m3(9e-9));
        })
    };
    let run = setting(1.0, 30.0, 100.0);
    let record = |line: &Line| -> LimitRecord {
        let assessment = assess_nominal(line, &run).expect("valid inputs");
        *assessment.limit(LimitId::PumpPulsation).expect("recorded")
    };
    let Outcome::Evaluated { value, bound, .. } = record(&bars(0.1)).outcome else {
        panic!("evaluated")
    };
    assert_close(value, 19.249, 1e-3, "D10, computed from the equation");
    assert_close(bound, 24.0, 1e-12, "by hand: 0.4 m at 1 m/min");
    assert!(!record(&bars(1.0)).holds());
}

#[test]
fn spread_across_the_web_adds_slot_and_manifold() {
    let (spread, tolerance, margin) = numbers(&pump_line(), LimitId::CrossWeb);
    // B9, identity, 3 %, and B8, computed, 1.0916e-4.
    assert_close(spread, 0.03 + 1.0916e-4, 1e-5, "B8 and B9");
    assert_within(tolerance, 0.10, 1e-12, "tolerance of the wet thickness");
    assert_within(margin, 0.6989, 1e-3, "by hand");
}

#[test]
fn shear_thinning_ink_answers_the_slot_more_strongly() {
    let law = |index| Rheology::PowerLaw {
        consistency: Viscosity::from_pa_s(1.0),
        index,
    };
    let spread = |index| numbers(&with_rheology(&pump_line(), law(index)), LimitId::CrossWeb).0;
    // By hand: flow of a power law goes with the height to the power 2 + 1/n.
    assert_close(spread(1.0), 0.030_109_16, 1e-6, "as a Newtonian ink");
    assert_close(spread(0.5), 0.04 + 1.0916e-4, 1e-5, "by hand: fourth power");
}

fn circuit() -> PumpLine {
    PumpLine {
        tube_bore: Length::from_mm(1.0),
        tube_length: Length::from_m(0.5),
        slot_width: Length::from_mm(100.0),
        slot_height: Length::from_um(100.0),
        slot_length: Length::from_mm(30.0),
    }
}

#[test]
fn power_law_pressure_is_that_of_the_closed_forms() {
    // Textbook closed forms (Bird, Armstrong & Hassager, from memory): tube (2KL/a)[(3n+1)/n · Q/(πa³)]ⁿ, slot
    // (2KL/h)[(4n+2)/n · Q/(wh²)]ⁿ.
    let (k, n, q) = (0.8_f64, 0.6_f64, 2e-6 / 60.0);
    let (a, h, w) = (0.5e-3_f64, 100e-6_f64, 0.1_f64);
    let tube =
        2.0 * k * 0.5 / a * ((3.0 * n + 1.0) / n * q / (std::f64::consts::PI * a.powi(3))).powf(n);
    let slot = 2.0 * k * 0.03 / h * ((4.0 * n + 2.0) / n * q / (w * h * h)).powf(n);
    let law = Rheology::PowerLaw {
        consistency: Viscosity::from_pa_s(k),
        index: n,
    };
    let drop = circuit().pressure_drop(&law, VolumeFlow::from_m3_per_s(q));
    assert_close(drop.pa(), tube + slot, 1e-9, "textbook, from memory");
}

#[test]
fn plateau_of_carreau_is_a_newtonian_ink() {
    let flow = VolumeFlow::from_ml_per_min(2.0);
    let carreau = Rheology::Carreau(Carreau {
        at_rest: Viscosity::from_pa_s(0.01),
        at_high_rate: Viscosity::from_pa_s(0.01),
        time_constant_s: 1.0,
        index: 0.4,
    });
    let plain = circuit().pressure_drop(&newtonian(0.01), flow);
    assert_close(
        circuit().pressure_drop(&carreau, flow).pa(),
        plain.pa(),
        1e-12,
        "identity",
    );
    // B6 and B7, computed: 6790.6 Pa of the tube and the slot's, 12 · 0.01 · 0.03 · Q/(0.1 · 1e-12) = 1200 Pa.
    assert_close(plain.pa(), 6790.6 + 1200.0, 1e-4, "B6, and by hand");
}

#[test]
fn die_above_its_menisci_drips() {
    let level = |mm: f64| {
        with_pump(&pump_line(), |pump| {
            pump.level_above_lips = Some(Length::from_mm(mm));
        })
    };
    let (_, held, _) = numbers(&level(20.0), LimitId::HeadAtStop);
    // C18, computed by a second implementation with both angles zero, 61.183 mm; here both are 30°.
    let expected = 61.183e-3 * 30.0_f64.to_radians().cos();
    assert_close(held, expected, 1e-4, "C18, times the cosine");
    assert!(margin(&level(20.0), LimitId::HeadAtStop) > 0.0);
    assert!(margin(&level(80.0), LimitId::HeadAtStop) < 0.0);
    assert_within(
        margin(&level(0.0), LimitId::HeadAtStop),
        1.0,
        1e-12,
        "no head",
    );
}

#[test]
fn ink_that_wets_nothing_holds_no_head() {
    let mut line = with_pump(&pump_line(), |pump| {
        pump.level_above_lips = Some(Length::from_mm(1.0));
    });
    line.ink.angle_on_lip = Some(wetlane_physics::Angle::from_deg(120.0));
    line.ink.angle_on_foil = Some(wetlane_physics::Angle::from_deg(110.0));
    let (_, held, margin) = numbers(&line, LimitId::HeadAtStop);
    assert!(held.abs() < 1e-15);
    assert_within(margin, -10.0, 1e-12, "beyond it");
}

#[test]
fn pressure_of_a_clogged_die_is_told_and_held_against_the_rating() {
    let rated = with_pump(&pump_line(), |pump| {
        pump.pressure_rating = Some(Pressure::from_kpa(500.0));
    });
    let (reached, rating, margin) = numbers(&rated, LimitId::Pressure);
    // By hand: 100 N on a plunger of 14.5 mm.
    let clogged = 100.0 / (0.25 * std::f64::consts::PI * 0.0145 * 0.0145);
    assert_close(reached, clogged, 1e-12, "by hand");
    assert_within(rating, 500e3, 1e-6, "as stated");
    assert!(margin < 0.0);
    let texts = cautions(&rated, &RUN(), &assess(&rated));
    // 605.6 kPa, up to two digits.
    assert!(
        texts
            .iter()
            .any(|text| text.starts_with("Pump line can reach 610 kPa")),
        "{texts:?}"
    );
    assert_eq!(LimitId::Pressure.severity(), Severity::Caution);
}

#[test]
fn pressure_without_a_known_drive_is_that_of_the_flow_with_a_reserve() {
    let line = with_pump(&pump_line(), |pump| {
        pump.greatest_force = None;
        pump.pressure_rating = Some(Pressure::from_kpa(500.0));
    });
    // B6 and the slot, one and a half times.
    let (reached, ..) = numbers(&line, LimitId::Pressure);
    assert_close(reached, 1.5 * 7990.6, 1e-4, "by hand");
}

#[test]
fn unstated_pump_line_is_unchecked_by_name() {
    let assessment = assess(&worked_example());
    for (id, missing) in [
        (LimitId::PumpForce, Input::GreatestForce),
        (LimitId::PumpPulsation, Input::StepVolume),
        (LimitId::PumpLag, Input::TubeBore),
        (LimitId::StartupLength, Input::SettlingGranted),
        (LimitId::CrossWeb, Input::FeedSlotHeight),
        (LimitId::HeadAtStop, Input::LevelAboveLips),
    ] {
        let record = assessment.limit(id).expect("recorded");
        assert_eq!(
            record.outcome,
            Outcome::NotEvaluated { missing },
            "{}",
            id.key()
        );
    }
    assert!(
        assessment
            .unchecked()
            .any(|pair| pair == (LimitId::PumpForce, Input::GreatestForce))
    );
    assert!(assessment.limit(LimitId::Pressure).is_none());
    assert!(assessment.limit(LimitId::ThermalGap).is_none());
}

#[test]
fn harder_pumping_never_helps() {
    let base = pump_line();
    let variants: [Line; 5] = [
        with_rheology(&base, newtonian(0.02)),
        with_pump(&base, |pump| {
            pump.tube_length = Some(Length::from_m(1.0));
        }),
        with_pump(&base, |pump| {
            pump.tube_bore = Some(Length::from_mm(0.8));
        }),
        with_pump(&base, |pump| {
            pump.syringe_bore = Some(Length::from_mm(20.0));
        }),
        with_die(&base, |die| {
            die.feed_slot_height = Some(Length::from_um(80.0));
        }),
    ];
    for harder in variants {
        assert!(margin(&harder, LimitId::PumpForce) < margin(&base, LimitId::PumpForce));
        assert!(margin(&harder, LimitId::PumpLag) <= margin(&base, LimitId::PumpLag));
    }
}

#[test]
fn stalled_pump_binds_in_the_quick_answer_too() {
    let stalled = with_rheology(&pump_line(), newtonian(1.0));
    let prepared = wetlane_physics::Prepared::new(&stalled, &wetlane_physics::Basis::default())
        .expect("a valid line");
    let full = prepared.assess_nominal(&RUN()).expect("valid inputs");
    let worst = full.binding().and_then(LimitRecord::margin);
    let quick = prepared
        .binding_without_drying(&RUN())
        .expect("valid inputs")
        .map(|(_, margin)| margin);
    assert_eq!(worst, quick);
    assert!(
        full.limit(LimitId::PumpForce)
            .is_some_and(|limit| !limit.holds())
    );
}
