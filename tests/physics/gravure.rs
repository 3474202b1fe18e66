//! Gravure (section 4.4) and engraved rolls.

use wetlane_physics::gravure::{PickoutFall, pickout};
use wetlane_physics::{
    Basis, CellVolume, Density, Dryer, Fraction, Gravure, GravureArrangement, Input, Length,
    LimitId, Line, LineCount, MeteringError, MeteringKnob, Outcome, Prepared, Pressure, Rheology,
    Sense, Setting, Severity, Solvent, Verdict, Viscosity, VolumeFlow,
};

use crate::assessed::{judged, margin, record, wet_um};
use crate::sample_lines::{gravure_line, speed_setting, with_gas, with_gravure};
use crate::support::assert_close;
use crate::{assert_between, assert_within};

const RUN: fn() -> Setting = || speed_setting(1.0);

fn arranged(arrangement: GravureArrangement) -> Line {
    with_gravure(&gravure_line(), |unit: &mut Gravure| {
        unit.arrangement = Some(arrangement);
    })
}

#[test]
fn cell_volumes_and_line_counts_convert_as_the_trade_does() {
    // B10, published: a trade article takes 2 BCM per square inch for about 3 µm; exactly 2e9 µm³ over (25.4 mm)².
    let cells = CellVolume::from_bcm_per_in2(2.0);
    assert_close(cells.cm3_per_m2(), 3.0, 5e-2, "B10, trade article");
    assert_close(
        cells.cm3_per_m2(),
        2e-9 / (0.0254 * 0.0254) * 1e6,
        1e-12,
        "identity",
    );
    assert_close(
        LineCount::from_per_inch(254.0).per_cm(),
        100.0,
        1e-12,
        "identity",
    );
}

#[test]
fn kiss_roll_hands_over_a_sixth_of_its_cells() {
    // D11, published: 15 to 20 % of cells of 20 cm³/m² from a forward roll on an unsupported web (Benkreira & Cohu 1998), 3 to
    // 4 µm. The share is that of the source, so that the check is not independent.
    assert_between(
        wet_um(&gravure_line(), &RUN()),
        3.0,
        4.0,
        "D11, Benkreira & Cohu (1998)",
    );
}

#[test]
fn arrangement_decides_how_much_is_picked_out() {
    // Shares of section 4.4: pressed nip 0.5 to 0.6, reverse kiss 0.3; unknown 0.4.
    let nip = wet_um(&arranged(GravureArrangement::NipPressed), &RUN());
    assert_between(nip, 10.0, 12.0, "0.5 to 0.6 of 20 µm");
    let reverse = wet_um(&arranged(GravureArrangement::ReverseKiss), &RUN());
    assert_close(reverse, 6.0, 1e-12, "0.3 of 20 µm");
    let unknown = with_gravure(&gravure_line(), |unit| unit.arrangement = None);
    assert_close(wet_um(&unknown, &RUN()), 8.0, 1e-12, "0.4 of 20 µm");
    let measured = with_gravure(&gravure_line(), |unit| {
        unit.pickout = Some(Fraction::from_percent(45.0));
    });
    assert_close(
        wet_um(&measured, &RUN()),
        9.0,
        1e-12,
        "a measured share outranks it",
    );
}

#[test]
fn film_is_proportional_to_cells_and_to_the_speed_of_the_roll() {
    let line = arranged(GravureArrangement::ReverseKiss);
    let run = Setting {
        cell_volume: Some(CellVolume::from_cm3_per_m2(30.0)),
        speed_ratio: Some(1.5),
        ..RUN()
    };
    // By hand, eq 2.4: 0.3 · 30 µm · 1.5.
    assert_close(wet_um(&line, &run), 13.5, 1e-12, "by hand");
    assert!(judged(&line, &RUN()).assumed.contains(&Input::SpeedRatio));
    assert!(!judged(&line, &run).assumed.contains(&Input::SpeedRatio));
}

#[test]
fn pickout_falls_with_the_capillary_number_as_fitted() {
    let fall = PickoutFall {
        exponent: 0.5,
        reference_capillary_number: 0.01,
    };
    // By hand: 0.4 · (0.04/0.01)^(−1/2).
    assert_close(pickout(0.4, Some(fall), 0.04), 0.2, 1e-12, "by hand");
    assert_close(pickout(0.4, None, 0.04), 0.4, 1e-12, "constant");
    assert_close(
        pickout(0.4, Some(fall), 1e-5),
        1.0,
        1e-12,
        "no more than all",
    );
    let line = with_gravure(&gravure_line(), |unit| {
        unit.pickout_exponent = Some(0.5);
        unit.pickout_reference = Some(0.02 / 60.0 / 0.030);
    });
    // At 1 m/min the capillary number is the reference, at 4 m/min half as much is picked out.
    assert_close(wet_um(&line, &RUN()), 3.5, 1e-12, "identity");
    assert_close(wet_um(&line, &speed_setting(4.0)), 1.75, 1e-12, "by hand");
    // One of the two numbers alone says nothing.
    let half = with_gravure(&line, |unit| unit.pickout_reference = None);
    assert_close(wet_um(&half, &speed_setting(4.0)), 3.5, 1e-12, "constant");
}

#[test]
fn kiss_coating_is_stable_up_to_a_fiftieth() {
    // By hand: Ca 0.02/60/0.030 = 0.011111 at 1 m/min, of 0.02 (Benkreira & Cohu 1998).
    let at = |speed| record(&gravure_line(), &speed_setting(speed), LimitId::GravureCa);
    assert_close(
        at(1.0).margin().expect("evaluated"),
        1.0 - 0.011_111 / 0.02,
        1e-4,
        "by hand",
    );
    assert!(at(1.9).margin().expect("evaluated") < 0.0);
    assert_eq!(at(1.0).severity, Severity::Soft);
    assert_eq!(
        judged(&gravure_line(), &speed_setting(1.9)).verdict,
        Verdict::Feasible
    );
}

#[test]
fn pressed_nip_prints_between_a_hundredth_and_ten() {
    let line = arranged(GravureArrangement::NipPressed);
    let at = |speed| record(&line, &speed_setting(speed), LimitId::GravureCa);
    // By hand: Ca 0.0055556 at 0.5 m/min, 0.01 over that.
    let slow = at(0.5);
    assert_eq!(slow.sense, Sense::AtLeast);
    assert_close(
        slow.margin().expect("evaluated"),
        1.0 - 0.01 / 0.005_555_6,
        1e-4,
        "by hand",
    );
    let good = at(10.0);
    assert_close(
        good.margin().expect("evaluated"),
        1.0 - 0.01 / 0.111_11,
        1e-4,
        "by hand",
    );
    let mut paste = line;
    paste.ink.rheology = Some(Rheology::Newtonian {
        viscosity: Viscosity::from_pa_s(5.0),
    });
    let fast = record(&paste, &speed_setting(10.0), LimitId::GravureCa);
    assert_eq!(fast.sense, Sense::AtMost);
    assert_close(
        fast.margin().expect("evaluated"),
        1.0 - 2.777_78,
        1e-4,
        "by hand: 5/6/0.030 of 10",
    );
}

#[test]
fn of_a_reverse_roll_nothing_is_said_and_of_an_unknown_one_what_is_missing() {
    let reverse = arranged(GravureArrangement::ReverseKiss);
    assert!(judged(&reverse, &RUN()).limit(LimitId::GravureCa).is_none());
    let unknown = with_gravure(&gravure_line(), |unit| unit.arrangement = None);
    assert_eq!(
        record(&unknown, &RUN(), LimitId::GravureCa).outcome,
        Outcome::NotEvaluated {
            missing: Input::GravureArrangement
        }
    );
}

#[test]
fn cells_fill_up_to_the_number_that_was_measured() {
    let line = with_gravure(&gravure_line(), |unit| {
        unit.filling_capillary_number = Some(0.05);
    });
    assert_close(
        margin(&line, &RUN(), LimitId::CellFilled),
        1.0 - 0.011_111 / 0.05,
        1e-4,
        "by hand",
    );
    assert_eq!(
        record(&gravure_line(), &RUN(), LimitId::CellFilled).outcome,
        Outcome::NotEvaluated {
            missing: Input::FillingCapillaryNumber
        }
    );
}

#[test]
fn ink_dries_in_the_cells_of_a_slow_roll() {
    let mut line = with_gravure(&gravure_line(), |unit| {
        unit.roll.doctor_to_nip = Some(Length::from_mm(100.0));
    });
    line.ink.solvent = Some(Solvent::Toluene);
    line.surroundings.room_temperature = Some(wetlane_physics::Temperature::from_deg_c(25.0));
    line.surroundings.open_path_h = Some(
        wetlane_physics::HeatTransferCoefficient::from_w_per_m2_k(8.0),
    );
    let loss = 0.05 * (1.0 - margin(&line, &RUN(), LimitId::CellDryIn));
    // By hand with the Chilton and Colburn analogy at 25 °C: h/(ρ c_p) Le^(−2/3) with ρ c_p = 1184 J/m³K and
    // Le = 2.14e-5/8.1e-6 gives 3.54 mm/s; vapour of 3790 Pa is 0.1409 kg/m³; flux 0.50 g/m²s, 2 % more for the bulk flow;
    // 6 s of way; 20 cm³/m² of 1000 kg/m³. The properties of the gas are taken at another temperature, hence the tolerance.
    let by_hand = 3.54e-3 * 0.1409 * 1.02 * 6.0 / 0.020;
    assert_close(loss, by_hand, 5e-2, "by hand");
    // Twice as fast a roll loses half as much.
    let fast = Setting {
        speed_ratio: Some(2.0),
        ..RUN()
    };
    assert_close(
        0.05 * (1.0 - margin(&line, &fast, LimitId::CellDryIn)),
        0.5 * loss,
        1e-9,
        "identity",
    );
    line.ink.solvent = None;
    assert_eq!(
        record(&line, &RUN(), LimitId::CellDryIn).outcome,
        Outcome::NotEvaluated {
            missing: Input::Solvent
        }
    );
}

#[test]
fn water_in_damp_air_dries_in_slowly() {
    let mut line = with_gravure(&gravure_line(), |unit| {
        unit.roll.doctor_to_nip = Some(Length::from_mm(100.0));
    });
    line.ink.solvent = Some(Solvent::Water);
    let at = |percent| {
        let mut line = line;
        line.surroundings.relative_humidity = Some(Fraction::from_percent(percent));
        margin(&line, &speed_setting(0.2), LimitId::CellDryIn)
    };
    assert!(at(20.0) < at(70.0));
    assert_within(at(100.0), 1.0, 1e-12, "saturated air takes up nothing");
}

#[test]
fn screen_levels_before_the_film_stiffens() {
    // By hand, eq 4.4: pitch 1/60 cm, film 3.5 µm: 3 · 0.02 · (166.67e-6)⁴/(16 π⁴ · 0.03 · (3.5e-6)³); 0.4 m at 1 m/min is 24 s.
    let constant = 3.0 * 0.02 * (0.01_f64 / 60.0).powi(4)
        / (16.0 * std::f64::consts::PI.powi(4) * 0.03 * 3.5e-6_f64.powi(3));
    let Outcome::Evaluated { value, bound, .. } =
        record(&gravure_line(), &RUN(), LimitId::PatternLevelling).outcome
    else {
        panic!("evaluated")
    };
    assert_close(value, 4.6 * constant, 1e-9, "by hand");
    assert_close(bound, 24.0, 1e-9, "by hand");
    let mut gel = gravure_line();
    gel.ink.yield_stress = Some(Pressure::from_pa(5.0));
    assert!(margin(&gel, &RUN(), LimitId::FrozenMarks) < 0.0);
    let unknown = with_gravure(&gravure_line(), |unit| unit.roll.cell_lines = None);
    assert_eq!(
        record(&unknown, &RUN(), LimitId::PatternLevelling).outcome,
        Outcome::NotEvaluated {
            missing: Input::CellLines
        }
    );
}

#[test]
fn nip_of_known_gap_and_roll_is_judged_for_ribs() {
    let line = with_gravure(&gravure_line(), |unit| {
        unit.roll.gap = Some(Length::from_um(50.0));
        unit.roll.diameter = Some(Length::from_mm(100.0));
    });
    // D15: 0.014 for 50 µm and 100 mm; Ca 0.011111.
    assert_close(
        margin(&line, &RUN(), LimitId::Ribbing),
        1.0 - 0.011_111 / 0.014,
        1e-4,
        "D15",
    );
    assert_eq!(
        record(&gravure_line(), &RUN(), LimitId::Ribbing).outcome,
        Outcome::NotEvaluated {
            missing: Input::RollGap
        }
    );
}

#[test]
fn thinning_ink_is_judged_at_the_shear_rate_of_the_cells() {
    let mut line = with_gravure(&gravure_line(), |unit| {
        unit.roll.cell_depth_ratio = Some(2.0);
    });
    line.ink.rheology = Some(Rheology::PowerLaw {
        consistency: Viscosity::from_pa_s(1.0),
        index: 0.5,
    });
    // By hand, eq 1.19: (1/60)/40 µm = 416.67 1/s; 1/√416.67 = 48.990 mPa·s.
    let Outcome::Evaluated { value, .. } = record(&line, &RUN(), LimitId::GravureRange).outcome
    else {
        panic!("evaluated")
    };
    assert_close(value, 0.048_990, 1e-4, "by hand");
    assert_close(
        1.0 - margin(&line, &RUN(), LimitId::GravureCa),
        0.048_990 / 60.0 / 0.030 / 0.02,
        1e-4,
        "by hand",
    );
}

#[test]
fn feed_is_judged_only_where_one_is_stated() {
    assert!(
        judged(&gravure_line(), &RUN())
            .limit(LimitId::FeedStarved)
            .is_none()
    );
    // By hand: 3.5 µm · 100 mm · 1 m/min = 0.35 mL/min.
    let fed = |ml_per_min| Setting {
        flow: Some(VolumeFlow::from_ml_per_min(ml_per_min)),
        ..RUN()
    };
    assert_close(
        margin(&gravure_line(), &fed(0.5), LimitId::FeedStarved),
        0.3,
        1e-9,
        "by hand",
    );
    assert_eq!(
        judged(&gravure_line(), &fed(0.3)).verdict,
        Verdict::Infeasible
    );
}

#[test]
fn wetting_alone_is_core() {
    let assessment = judged(&gravure_line(), &RUN());
    assert_eq!(assessment.verdict, Verdict::Feasible);
    // 20 mPa·s, 30 mN/m: eq 5.1 gives 0.67679 (100 · 0.02 √(9.80665/30))^(−0.67) = 0.6203 m/s, five times 186 m/min.
    assert_eq!(
        judged(&gravure_line(), &speed_setting(185.0)).verdict,
        Verdict::Feasible
    );
    assert_eq!(
        judged(&gravure_line(), &speed_setting(188.0)).verdict,
        Verdict::Infeasible
    );
    let bare = with_gravure(&gravure_line(), |unit| unit.roll.cell_volume = None);
    let unknown = judged(&bare, &RUN());
    assert_eq!(unknown.verdict, Verdict::Unknown);
    assert_eq!(unknown.missing_essential(), Some(Input::CellVolume));
}

#[test]
fn film_that_no_cells_give_is_out_of_reach() {
    // A thinning ink whose pickout falls faster than the cells grow.
    let mut line = with_gravure(&gravure_line(), |unit| {
        unit.pickout_exponent = Some(3.0);
        unit.pickout_reference = Some(1e-3);
    });
    line.ink.rheology = Some(Rheology::PowerLaw {
        consistency: Viscosity::from_pa_s(5.0),
        index: 0.3,
    });
    let prepared = Prepared::new(&line, &Basis::default()).expect("valid line");
    assert_eq!(
        prepared.with_wet_thickness(&RUN(), Length::from_um(10.0), MeteringKnob::CellVolume),
        Err(MeteringError::OutOfReach {
            knob: MeteringKnob::CellVolume
        })
    );
    // A faster roll still does.
    let faster = prepared
        .with_wet_thickness(&RUN(), Length::from_um(10.0), MeteringKnob::SpeedRatio)
        .expect("known");
    assert_close(wet_um(&line, &faster), 10.0, 1e-9, "round trip");
}

#[test]
fn verdict_on_drying_rests_on_the_pickout_that_was_assumed() {
    let mut line = arranged(GravureArrangement::ReverseKiss);
    line.ink.solvent = Some(Solvent::Ethanol);
    line.ink.solids = Some(Fraction::from_percent(5.0));
    line.ink.density = Some(Density::from_kg_per_m3(800.0));
    line.dryer = Some(Dryer {
        length: Some(Length::from_m(0.3)),
        ..Dryer::default()
    });
    let prepared = Prepared::new(&line, &Basis::default()).expect("valid line");
    let dry_speed = prepared
        .dry_speed(&with_gas(RUN(), 60.0))
        .expect("valid")
        .expect("known")
        .speed();
    let near = with_gas(speed_setting(0.95 * dry_speed.m_per_min()), 60.0);
    let assessment = prepared.assess(&near).expect("valid inputs");
    assert!(
        assessment.rests_on.contains(&Input::Pickout),
        "{:?}",
        assessment.rests_on
    );
}
