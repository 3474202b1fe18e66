//! Limits of the stations around the head: spans, syringe, roll, plasma, foil temperatures, vapour, ozone.

use wetlane_physics::{
    Assessment, Basis, DrySpeedCache, Dryer, FoilMaterial, HeatTransferCoefficient, HeatedRoller,
    Input, Length, LimitId, LimitRecord, Line, Outcome, PlasmaStation, Power, Prepared, Pump,
    Rheology, Sense, Setting, Severity, Solvent, Span, Speed, SurfaceTension, Temperature,
    Viscosity, Volume, VolumeFlow, assess_given_dry_speed, assess_with, assess_without_drying,
};

use crate::assert_within;
use crate::assessed::{judged, margin, record};
use crate::sample_lines::{
    nanowire_line, setting, with_die, with_gas, with_roller, worked_example,
};
use crate::support::assert_close;

const RUN: fn() -> Setting = || setting(1.0, 20.0, 100.0);

#[test]
fn station_that_is_not_there_says_nothing() {
    let assessment = judged(&worked_example(), &RUN());
    for id in [
        LimitId::PlasmaSpan,
        LimitId::PlasmaOver,
        LimitId::PlasmaHeat,
        LimitId::RollerSpan,
        LimitId::GasTemperatureSpan,
        LimitId::DryAtExit,
        LimitId::Blister,
        LimitId::FoilMax,
        LimitId::LelDryer,
        LimitId::HotTouch,
        LimitId::Ozone,
    ] {
        assert!(assessment.limit(id).is_none(), "{}", id.key());
    }
}

#[test]
fn records_come_once_each_in_the_order_of_evaluation() {
    let mut line = nanowire_line();
    line.plasma = Some(PlasmaStation::default());
    line.roller = Some(HeatedRoller::default());
    for line in [line, nanowire_line(), worked_example(), Line::default()] {
        let assessment = judged(&line, &RUN());
        let ids: Vec<LimitId> = assessment.limits.iter().map(|limit| limit.id).collect();
        let mut sorted = ids.clone();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(ids, sorted);
        for limit in &assessment.limits {
            assert_eq!(
                (limit.severity, limit.station),
                (limit.id.severity(), limit.id.station())
            );
        }
    }
}

#[test]
fn speed_span_records_its_nearer_end() {
    let span = |least, greatest| {
        Some(Span {
            least: Speed::from_m_per_min(least),
            greatest: Speed::from_m_per_min(greatest),
        })
    };
    let line = Line {
        speed_span: span(0.5, 4.0),
        ..worked_example()
    };
    let slow = record(&line, &RUN(), LimitId::SpeedSpan);
    // By hand: 1 − 0.5/1 against 1 − 1/4.
    assert_eq!(slow.sense, Sense::AtLeast);
    assert_close(slow.margin().expect("evaluated"), 0.5, 1e-12, "by hand");
    let line = Line {
        speed_span: span(0.1, 0.8),
        ..worked_example()
    };
    let fast = record(&line, &RUN(), LimitId::SpeedSpan);
    assert_eq!(fast.sense, Sense::AtMost);
    assert_close(fast.margin().expect("evaluated"), -0.25, 1e-12, "by hand");
    assert_eq!(
        record(&worked_example(), &RUN(), LimitId::SpeedSpan).outcome,
        Outcome::NotEvaluated {
            missing: Input::SpeedSpan
        }
    );
}

#[test]
fn gap_and_pump_spans_are_judged() {
    let line = with_die(&worked_example(), |die| {
        die.gap_span = Some(Span {
            least: Length::from_um(50.0),
            greatest: Length::from_um(80.0),
        });
    });
    // By hand: 1 − 100/80.
    assert_close(
        margin(&line, &RUN(), LimitId::GapSpan),
        -0.25,
        1e-12,
        "by hand",
    );
    let pump = Pump {
        flow_span: Some(Span {
            least: VolumeFlow::from_ml_per_min(0.05),
            greatest: VolumeFlow::from_ml_per_min(30.0),
        }),
        syringe_volume: Some(Volume::from_ml(10.0)),
        dead_volume: Some(Volume::from_ml(4.0)),
        ..Pump::default()
    };
    let line = Line {
        pump: Some(pump),
        ..worked_example()
    };
    // By hand: 2 mL/min against 30 and 0.05.
    assert_close(
        margin(&line, &RUN(), LimitId::PumpRange),
        1.0 - 2.0 / 30.0,
        1e-12,
        "by hand",
    );
    // By hand: 2 m · 20 µm · 100 mm = 4 mL and 4 mL of priming against 10 mL.
    let run = Setting {
        foil_needed: Some(Length::from_m(2.0)),
        ..RUN()
    };
    assert_close(
        margin(&line, &run, LimitId::SyringeVolume),
        0.2,
        1e-12,
        "by hand",
    );
}

#[test]
fn roll_must_hold_leader_and_sample() {
    let mut line = worked_example();
    line.foil.roll_length = Some(Length::from_m(40.0));
    line.leader = Some(Length::from_m(5.0));
    let run = Setting {
        foil_needed: Some(Length::from_m(45.0)),
        ..RUN()
    };
    // By hand: 1 − 50/40.
    assert_close(
        margin(&line, &run, LimitId::FoilLength),
        -0.25,
        1e-12,
        "by hand",
    );
    assert_eq!(
        record(&line, &RUN(), LimitId::FoilLength).outcome,
        Outcome::NotEvaluated {
            missing: Input::FoilNeeded
        }
    );
}

fn plasma_line() -> Line {
    let mut line = worked_example();
    line.ink.angle_on_foil = None;
    line.ink.surface_tension = Some(SurfaceTension::from_mn_per_m(45.0));
    line.foil.material = Some(FoilMaterial::Pet);
    line.foil.thickness = Some(Length::from_um(100.0));
    line.foil.surface_energy = Some(SurfaceTension::from_mn_per_m(43.0));
    line.plasma = Some(PlasmaStation {
        electrode_width: Some(Length::from_mm(120.0)),
        power_span: Some(Span {
            least: Power::from_w(0.3),
            greatest: Power::from_w(60.0),
        }),
        exhaust: Some(VolumeFlow::from_m3_per_h(100.0)),
        ..PlasmaStation::default()
    });
    line
}

fn with_power(watts: f64) -> Setting {
    Setting {
        plasma_power: Some(Power::from_w(watts)),
        ..RUN()
    }
}

#[test]
fn plasma_raises_the_energy_and_lowers_the_angle() {
    let line = plasma_line();
    let (off, on) = (
        judged(&line, &with_power(0.0)),
        judged(&line, &with_power(1.8)),
    );
    // 1.8 W over 120 mm at 1 m/min is 15 W min/m², one characteristic dose: E16, computed: 52.482 mN/m.
    assert_close(
        on.derived.foil_energy_n_per_m.expect("known"),
        52.482e-3,
        1e-5,
        "E16, computed",
    );
    assert_close(
        on.derived.plasma_dose_j_per_m2.expect("known"),
        900.0,
        1e-12,
        "by hand",
    );
    assert_close(
        off.derived.foil_energy_n_per_m.expect("known"),
        0.043,
        1e-12,
        "untreated",
    );
    // By hand, eq 5.6b: cos θ = 2 √(43/45) − 1.
    let theta = (2.0 * (43.0_f64 / 45.0).sqrt() - 1.0).acos();
    assert_close(
        off.derived.equilibrium_angle_rad.expect("known"),
        theta,
        1e-12,
        "by hand",
    );
    let energy_min = |assessment: &Assessment| {
        assessment
            .limit(LimitId::SurfaceEnergyMin)
            .and_then(LimitRecord::margin)
            .expect("evaluated")
    };
    assert_close(
        energy_min(&off),
        1.0 - theta.to_degrees() / 60.0,
        1e-12,
        "by hand",
    );
    assert_close(energy_min(&on), 1.0, 1e-12, "the ink spreads");
    // By hand: (52.482 − 45 − 8)/8.
    assert_within(
        margin(&line, &with_power(1.8), LimitId::SurfaceEnergyRule),
        -0.0648,
        1e-3,
        "by hand",
    );
}

#[test]
fn strong_plasma_over_treats_and_heats_the_foil() {
    let line = plasma_line();
    // By hand: 36 W is 300 W min/m², the twentieth characteristic dose; 18 000 J/m² half absorbed in 162.6 J/(m²·K).
    assert_within(
        margin(&line, &with_power(36.0), LimitId::PlasmaOver),
        0.0,
        1e-12,
        "by hand",
    );
    let heat = record(&line, &with_power(36.0), LimitId::PlasmaHeat);
    let Outcome::Evaluated { value, bound, .. } = heat.outcome else {
        panic!("evaluated")
    };
    assert_close(value, 9000.0 / 162.63, 1e-4, "by hand");
    assert_close(bound, 20.0, 1e-12, "accepted warming");
    assert_eq!(heat.severity, Severity::Soft);
}

#[test]
fn plasma_that_is_off_is_within_its_span_and_makes_no_ozone() {
    let assessment = judged(&plasma_line(), &with_power(0.0));
    assert!(assessment.limit(LimitId::PlasmaSpan).is_none());
    assert!(assessment.limit(LimitId::Ozone).is_none());
    // By hand: 1 − 0.3/0.2.
    assert_close(
        margin(&plasma_line(), &with_power(0.2), LimitId::PlasmaSpan),
        -0.5,
        1e-12,
        "by hand",
    );
}

#[test]
fn ozone_is_held_against_the_exhaust_of_the_hood() {
    let record = record(&plasma_line(), &with_power(10.0), LimitId::Ozone);
    let Outcome::Evaluated {
        value,
        bound,
        margin,
    } = record.outcome
    else {
        panic!("evaluated")
    };
    // By hand, from I11: 10 W needs 2500 m³/h.
    assert_close(
        VolumeFlow::from_m3_per_s(value).m3_per_h(),
        2500.0,
        1e-9,
        "I11",
    );
    assert_close(
        VolumeFlow::from_m3_per_s(bound).m3_per_h(),
        100.0,
        1e-12,
        "as stated",
    );
    assert_within(margin, -10.0, 1e-12, "clipped");
    assert_eq!(record.severity, Severity::Caution);
}

#[test]
fn plasma_without_electrode_width_cannot_vouch_for_the_foil() {
    let mut line = plasma_line();
    line.plasma = line.plasma.map(|plasma| PlasmaStation {
        electrode_width: None,
        ..plasma
    });
    let expected = Outcome::NotEvaluated {
        missing: Input::ElectrodeWidth,
    };
    for id in [
        LimitId::SurfaceEnergyMin,
        LimitId::SurfaceEnergyRule,
        LimitId::PlasmaOver,
        LimitId::PlasmaHeat,
    ] {
        assert_eq!(
            record(&line, &with_power(5.0), id).outcome,
            expected,
            "{}",
            id.key()
        );
    }
}

#[test]
fn parts_of_both_energies_outrank_their_totals() {
    let mut line = plasma_line();
    line.plasma = None;
    line.ink.dispersive_tension = Some(SurfaceTension::from_mn_per_m(30.0));
    line.foil.dispersive_energy = Some(SurfaceTension::from_mn_per_m(33.0));
    // By hand, eq 5.4: cos θ = 2 (√(33 · 30) + √(10 · 15))/45 − 1.
    let cosine: f64 = 2.0 * ((33.0_f64 * 30.0).sqrt() + 150.0_f64.sqrt()) / 45.0 - 1.0;
    let theta = judged(&line, &RUN())
        .derived
        .equilibrium_angle_rad
        .expect("known");
    assert_close(theta, cosine.acos(), 1e-12, "by hand");
}

#[test]
fn small_estimated_angles_are_not_trusted_below_ten_degrees() {
    let mut line = plasma_line();
    line.plasma = None;
    line.ink.surface_tension = Some(SurfaceTension::from_mn_per_m(30.0));
    let spreading = judged(&line, &RUN());
    line.ink.angle_on_foil = Some(wetlane_physics::Angle::from_deg(10.0));
    let measured = judged(&line, &RUN());
    let held = |assessment: &Assessment| assessment.derived.thinnest_held_m.expect("evaluated");
    assert_close(
        held(&spreading),
        held(&measured),
        1e-12,
        "both at ten degrees",
    );
}

#[test]
fn foil_limits_follow_the_hottest_temperature_of_the_march() {
    let line = nanowire_line();
    // Slow web: the dry foil reaches the gas temperature of 110 °C.
    let run = with_gas(setting(0.2, 10.0, 100.0), 110.0);
    let hottest = judged(&line, &run).derived.hottest_foil_k.expect("marched");
    assert_within(hottest, 383.15, 0.1, "gas temperature");
    // By hand: limit 130 °C for polyester, room 22 °C: (130 − 110)/108; glass transition 78 °C: −32/56.
    assert_within(
        margin(&line, &run, LimitId::FoilMax),
        20.0 / 108.0,
        2e-3,
        "by hand",
    );
    assert_within(
        margin(&line, &run, LimitId::FoilTg),
        -32.0 / 56.0,
        2e-3,
        "by hand",
    );
    // Film bulletin: 0.9 % at 105 °C and 1.8 % at 150 °C: 1.0 % at 110 °C against 0.5 %.
    assert_within(
        margin(&line, &run, LimitId::FoilShrink),
        -1.0,
        2e-2,
        "polyester film bulletin",
    );
}

#[test]
fn wet_film_keeps_the_foil_cool() {
    let line = nanowire_line();
    let run = with_gas(setting(2.4, 24.0, 100.0), 110.0);
    let fast = with_gas(setting(4.0, 24.0, 100.0), 110.0);
    let hottest = |run: &Setting| judged(&line, run).derived.hottest_foil_k.expect("marched");
    assert!(hottest(&fast) < 333.0, "{}", hottest(&fast));
    assert!(hottest(&run) < 383.0);
}

#[test]
fn without_the_march_the_foil_is_taken_to_reach_the_hottest_setting() {
    let line = nanowire_line();
    let run = with_gas(setting(4.0, 24.0, 100.0), 110.0);
    for assessment in [
        assess_without_drying(&line, &run).expect("valid"),
        assess_given_dry_speed(&line, &run, Speed::from_m_per_min(3.44)).expect("valid"),
    ] {
        assert_eq!(assessment.derived.hottest_foil_k, Some(383.15));
        assert!(assessment.limit(LimitId::Blister).is_none());
    }
}

#[test]
fn dry_speed_that_is_handed_in_is_the_one_that_counts() {
    let line = nanowire_line();
    let run = with_gas(setting(2.4, 24.0, 100.0), 110.0);
    let assessment =
        assess_given_dry_speed(&line, &run, Speed::from_m_per_min(4.8)).expect("valid");
    let margin = assessment
        .limit(LimitId::DryAtExit)
        .and_then(LimitRecord::margin)
        .expect("evaluated");
    assert_close(margin, 0.5, 1e-12, "by hand: 1 − 2.4/4.8");
    let without = assess_without_drying(&line, &run).expect("valid");
    assert!(without.limit(LimitId::DryAtExit).is_none());
}

#[test]
fn closed_form_limits_are_the_same_on_every_path() {
    let line = nanowire_line();
    let run = with_gas(setting(1.1, 17.0, 140.0), 90.0);
    let full = judged(&line, &run);
    let without = assess_without_drying(&line, &run).expect("valid");
    for id in LimitId::ALL {
        let marched = [
            LimitId::FoilMax,
            LimitId::FoilTg,
            LimitId::FoilShrink,
            LimitId::DryAtExit,
            LimitId::ResidualSolvent,
            LimitId::Blister,
            LimitId::Skin,
            LimitId::Marangoni,
            LimitId::GasShear,
            LimitId::JetBlow,
            LimitId::EdgeRetreat,
        ];
        if !marched.contains(&id) {
            assert_eq!(full.limit(id), without.limit(id), "{}", id.key());
        }
    }
}

#[test]
fn boiling_is_judged_on_the_wet_film_alone() {
    let mut line = nanowire_line();
    line.ink.solvent = Some(Solvent::Acetone);
    line.ink.solids = Some(wetlane_physics::Fraction::from_ratio(0.05));
    // Gas of 120 °C is far above the boiling point of 56 °C, yet the wet film stays cold.
    let gas = with_gas(setting(1.0, 20.0, 100.0), 120.0);
    assert!(margin(&line, &gas, LimitId::Blister) > 0.3);
    // A hot roller is another matter.
    line.roller = Some(HeatedRoller {
        diameter: Some(Length::from_mm(100.0)),
        wrap: Some(wetlane_physics::Angle::from_deg(180.0)),
        contact: Some(HeatTransferCoefficient::from_w_per_m2_k(600.0)),
        temperature_span: None,
    });
    let roller = with_roller(with_gas(setting(2.0, 60.0, 200.0), 60.0), 90.0);
    assert!(margin(&line, &roller, LimitId::Blister) < 0.0);
}

#[test]
fn roller_of_unknown_size_is_taken_at_its_own_temperature() {
    let mut line = nanowire_line();
    line.ink.solvent = Some(Solvent::Acetone);
    line.roller = Some(HeatedRoller::default());
    let run = with_roller(with_gas(RUN(), 40.0), 80.0);
    let assessment = judged(&line, &run);
    assert_eq!(assessment.derived.hottest_foil_k, Some(353.15));
    let blister = assessment
        .limit(LimitId::Blister)
        .and_then(LimitRecord::margin)
        .expect("evaluated");
    assert!(blister < 0.0, "acetone boils at 56 °C: {blister}");
}

#[test]
fn dryer_of_unknown_length_still_judges_boiling_and_foil() {
    let mut line = nanowire_line();
    line.dryer = line.dryer.map(|dryer| Dryer {
        length: None,
        ..dryer
    });
    let run = with_gas(RUN(), 100.0);
    assert_eq!(
        record(&line, &run, LimitId::DryAtExit).outcome,
        Outcome::NotEvaluated {
            missing: Input::DryerLength
        }
    );
    let Outcome::Evaluated { value, .. } = record(&line, &run, LimitId::Blister).outcome else {
        panic!("evaluated")
    };
    // The film keeps its constant-rate temperature, between room and boiling.
    assert!((295.15..353.15).contains(&value), "{value}");
    assert_eq!(judged(&line, &run).derived.hottest_foil_k, Some(373.15));
}

#[test]
fn temperature_spans_are_measured_from_the_room() {
    let mut line = nanowire_line();
    let span = Span {
        least: Temperature::from_deg_c(40.0),
        greatest: Temperature::from_deg_c(140.0),
    };
    line.dryer = line.dryer.map(|dryer| Dryer {
        temperature_span: Some(span),
        ..dryer
    });
    // By hand: (140 − 100)/(140 − 22), and (30 − 40)/118.
    let at = |deg_c| record(&line, &with_gas(RUN(), deg_c), LimitId::GasTemperatureSpan);
    assert_close(
        at(100.0).margin().expect("evaluated"),
        40.0 / 118.0,
        1e-9,
        "by hand",
    );
    assert_close(
        at(30.0).margin().expect("evaluated"),
        -10.0 / 118.0,
        1e-9,
        "by hand",
    );
    assert_eq!(at(30.0).sense, Sense::AtLeast);
}

#[test]
fn vapor_is_held_against_a_quarter_of_the_limit_at_gas_temperature() {
    let mut line = nanowire_line();
    line.ink.solvent = Some(Solvent::Toluene);
    line.ink.density = Some(wetlane_physics::Density::from_kg_per_m3(867.0));
    line.ink.solids = Some(wetlane_physics::Fraction::from_ratio(0.0));
    line.dryer = line.dryer.map(|dryer| Dryer {
        fresh_gas: Some(VolumeFlow::from_m3_per_h(20.0)),
        ..dryer
    });
    let record = record(&line, &with_gas(RUN(), 25.0), LimitId::LelDryer);
    let Outcome::Evaluated { value, bound, .. } = record.outcome else {
        panic!("evaluated")
    };
    // I16, computed: 2 mL/min into an exhaust of 20 m³/h is 12.393 % of 1.1 %; the limit held is 1.0 %, and the vapour adds to
    // the fresh gas: 12.393 · 1.1/1.0 · 20/20.0273.
    assert_close(
        100.0 * value,
        12.393 * 1.1 * 20.0 / 20.0273,
        1e-3,
        "I16, computed",
    );
    assert_close(bound, 0.25, 1e-12, "design share");
}

#[test]
fn vapor_in_little_fresh_gas_slows_drying() {
    let mut line = nanowire_line();
    let run = with_gas(setting(1.0, 24.0, 150.0), 70.0);
    let speed = |line: &Line| {
        judged(line, &run)
            .derived
            .dry_speed_m_per_s
            .expect("marched")
    };
    let plenty = speed(&line);
    let with_gas_flow = |line: &mut Line, m3_per_h| {
        line.dryer = line.dryer.map(|d| Dryer {
            fresh_gas: Some(VolumeFlow::from_m3_per_h(m3_per_h)),
            ..d
        });
    };
    with_gas_flow(&mut line, 1e6);
    assert_close(speed(&line), plenty, 2e-4, "endless fresh gas");
    with_gas_flow(&mut line, 10.0);
    assert!(speed(&line) < 0.98 * plenty);
}

#[test]
fn dryer_reports_its_times() {
    let derived = judged(&nanowire_line(), &with_gas(RUN(), 100.0)).derived;
    // By hand: 1.2 m and 0.4 m at 1 m/min.
    assert_close(derived.dryer_time_s.expect("known"), 72.0, 1e-9, "by hand");
    assert_close(derived.open_time_s.expect("known"), 24.0, 1e-9, "by hand");
    let dry_after = derived.dry_after_s.expect("marched");
    assert!(dry_after > 0.0 && dry_after < 72.0, "{dry_after}");
}

#[test]
fn ranges_of_the_model_are_judged_on_their_own_numbers() {
    let mut line = worked_example();
    line.ink.rheology = Some(Rheology::PowerLaw {
        consistency: Viscosity::from_pa_s(1.0),
        index: 0.5,
    });
    // By hand: the rates of film and gap stand as 100 to 20 µm, the viscosities as √5, against 2.
    let range = record(&line, &RUN(), LimitId::RheologyRange);
    let Outcome::Evaluated {
        value,
        bound,
        margin,
    } = range.outcome
    else {
        panic!("evaluated")
    };
    assert_close(value, 5.0_f64.sqrt(), 1e-12, "by hand");
    assert_close(bound, 2.0, 1e-12, "common practice");
    assert_close(margin, 1.0 - 5.0_f64.sqrt() / 2.0, 1e-12, "by hand");
    assert_eq!(range.severity, Severity::Validity);
    // A shear-thickening ink is out of range the other way round.
    line.ink.rheology = Some(Rheology::PowerLaw {
        consistency: Viscosity::from_pa_s(1e-4),
        index: 1.5,
    });
    assert_close(
        1.0 - self::margin(&line, &RUN(), LimitId::RheologyRange),
        5.0_f64.sqrt() / 2.0,
        1e-12,
        "by hand",
    );
    assert!(
        judged(&worked_example(), &RUN())
            .limit(LimitId::RheologyRange)
            .is_none(),
        "a Newtonian ink has one viscosity"
    );
    // A1 and by hand: Ca 5.556e-3 against 0.1; Re 1000 · (1/60) · 1e-4/0.01 against 10.
    assert_close(
        1.0 - self::margin(&worked_example(), &RUN(), LimitId::CapillaryRange),
        0.055_556,
        1e-5,
        "A1",
    );
    assert_close(
        1.0 - self::margin(&worked_example(), &RUN(), LimitId::GapReynolds),
        1.0 / 60.0,
        1e-9,
        "by hand",
    );
}

#[test]
fn hottest_surface_is_held_against_the_burn_threshold() {
    let mut line = nanowire_line();
    line.roller = Some(HeatedRoller::default());
    // By hand: the roller of 90 °C is hotter than the gas; 1 − (90 − 20)/(51 − 20).
    let run = with_roller(with_gas(RUN(), 60.0), 90.0);
    let hot = record(&line, &run, LimitId::HotTouch);
    assert_close(
        hot.margin().expect("evaluated"),
        1.0 - 70.0 / 31.0,
        1e-9,
        "ISO 13732-1, from memory",
    );
    assert_eq!(hot.severity, Severity::Caution);
    // The other way round, and a cold line.
    let run = with_roller(with_gas(RUN(), 60.0), 30.0);
    assert_close(
        margin(&line, &run, LimitId::HotTouch),
        1.0 - 40.0 / 31.0,
        1e-9,
        "by hand",
    );
    let run = with_roller(with_gas(RUN(), 22.0), 22.0);
    assert_close(
        margin(&line, &run, LimitId::HotTouch),
        1.0 - 2.0 / 31.0,
        1e-9,
        "by hand",
    );
}

#[test]
fn temperature_margins_near_the_room_are_counted_in_ten_kelvins() {
    let mut line = nanowire_line();
    line.foil.highest_temperature = Some(Temperature::from_deg_c(25.0));
    // By hand: a limit 3 K above the room; a slow web reaches the gas of 27 °C: (25 − 27)/10.
    let run = with_gas(setting(0.05, 10.0, 100.0), 27.0);
    let hottest = judged(&line, &run).derived.hottest_foil_k.expect("marched");
    assert_close(
        margin(&line, &run, LimitId::FoilMax),
        (298.15 - hottest) / 10.0,
        1e-9,
        "by hand",
    );
}

#[test]
fn assumed_saturation_never_lowers_the_energy_of_a_foil() {
    let mut line = plasma_line();
    line.foil.surface_energy = Some(SurfaceTension::from_mn_per_m(65.0));
    let treated = judged(&line, &with_power(5.0))
        .derived
        .foil_energy_n_per_m
        .expect("known");
    assert_close(treated, 0.065, 1e-12, "untreated already above 58 mN/m");
}

#[test]
fn cached_dry_speeds_change_nothing() {
    let (line, mut cache) = (nanowire_line(), DrySpeedCache::new());
    // One film at many speeds, and more films than the cache holds.
    for i in 0..150_u32 {
        let wet = 10.0 + f64::from(i / 2) * 0.1;
        let run = with_gas(setting(0.8 + f64::from(i % 2), wet, 150.0), 80.0);
        let cached = assess_with(&line, &run, &mut cache).expect("valid");
        let (Some(kept), Some(fresh)) = (
            cached.derived.dry_speed_m_per_s,
            judged(&line, &run).derived.dry_speed_m_per_s,
        ) else {
            panic!("dry speeds are known")
        };
        // The flow is typed in mL/min, so that equal films may differ in the last bit and fall on neighboring grid points.
        assert_close(kept, fresh, 2e-4, "the same march");
        let again = assess_with(&line, &run, &mut cache).expect("valid");
        assert_eq!(cached, again);
    }
    cache.clear();
    let prepared = Prepared::new(&line, &Basis::default()).expect("valid");
    let run = with_gas(setting(1.0, 20.0, 150.0), 80.0);
    assert_eq!(
        prepared.assess_with(&run, &mut cache),
        prepared.assess_nominal(&run)
    );
}
