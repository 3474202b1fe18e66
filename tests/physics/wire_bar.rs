//! Wire-wound bar (section 4.2).

use wetlane_physics::wire_bar::{
    CHART_RATIO, GROOVE_RATIO, groove_area_m2, nearest_wire, wet_thickness, wire_for_wet_thickness,
};
use wetlane_physics::{
    Basis, Density, Dryer, Fraction, Input, Length, LimitId, LimitRecord, Line, Outcome, Prepared,
    Pressure, Rheology, Setting, Severity, Solvent, Verdict, Viscosity, VolumeFlow,
};

use crate::assessed::{judged, margin, record, wet_um};
use crate::sample_lines::{speed_setting, wire_bar_line, with_bar, with_gas};
use crate::support::assert_close;

const RUN: fn() -> Setting = || speed_setting(2.0);
const MIL: f64 = 25.4;

#[test]
fn grooves_of_a_tight_winding_hold_a_tenth_of_the_wire() {
    // D4, published: the rod-coating rule T = 0.107 D of a trade page.
    assert_close(GROOVE_RATIO, 0.107, 5e-3, "D4, trade page");
    // D3, computed: 32.19 µm of 0.3 mm.
    let film = wet_thickness(Length::from_mm(0.3), GROOVE_RATIO);
    assert_close(film.um(), 32.19, 1e-4, "D3, computed");
    // D5, published: 0.000061 square inches a groove of a no. 24 rod (0.024 in) on a trade page.
    let inch = 0.0254;
    let area = groove_area_m2(Length::from_m(0.024 * inch)) / (inch * inch);
    assert_close(area, 6.1e-5, 2e-2, "D5, trade page");
}

#[test]
fn supplier_charts_give_nine_hundredths_of_the_wire() {
    // D6, published: no. 10 rod (10 mil) lays down 0.9 mil by a trade page; D7: no. 56 rod 5.04 mil by a supplier's chart.
    let film = |mil: f64| wet_thickness(Length::from_um(mil * MIL), CHART_RATIO).um();
    assert_close(film(10.0), 22.9, 1e-2, "D6, trade page");
    assert_close(film(56.0) / MIL, 5.04, 1e-3, "D7, supplier's chart");
}

#[test]
fn dry_layer_of_a_trade_page_is_met() {
    // B3, published: wire 0.4 mm, 0.08 of it, 40 % solids, ink of 1.05 g/cm³, film of 1 g/cm³: about 13.4 µm.
    let mut line = with_bar(&wire_bar_line(), |bar| {
        bar.wire_diameter = Some(Length::from_mm(0.4));
        bar.film_over_wire = Some(0.08);
    });
    line.ink.solids = Some(Fraction::from_percent(40.0));
    line.ink.density = Some(Density::from_g_per_cm3(1.05));
    line.ink.dry_density = Some(Density::from_g_per_cm3(1.0));
    let dry = judged(&line, &RUN())
        .derived
        .dry_thickness_m
        .expect("known");
    assert_close(dry, 13.4e-6, 1e-2, "B3, trade page");
}

#[test]
fn wire_is_found_for_a_film_and_the_nearest_bar_of_a_set() {
    let wire = wire_for_wet_thickness(Length::from_um(27.0), CHART_RATIO);
    assert_close(wire.um(), 300.0, 1e-12, "by hand");
    let set: Vec<Length> = [100.0, 250.0, 300.0, 400.0].map(Length::from_um).to_vec();
    // By hand: films of 9, 22.5, 27 and 36 µm.
    for (wanted, nearest) in [(1.0, 100.0), (24.0, 250.0), (26.0, 300.0), (500.0, 400.0)] {
        let found = nearest_wire(&set, CHART_RATIO, Length::from_um(wanted));
        assert_close(found.expect("a bar").um(), nearest, 1e-12, "by hand");
    }
    assert_eq!(nearest_wire(&[], CHART_RATIO, Length::from_um(1.0)), None);
}

#[test]
fn bar_of_the_run_outranks_the_one_that_is_mounted() {
    assert_close(
        wet_um(&wire_bar_line(), &RUN()),
        27.0,
        1e-12,
        "0.09 · 300 µm",
    );
    let other = Setting {
        wire_diameter: Some(Length::from_um(500.0)),
        ..RUN()
    };
    assert_close(
        wet_um(&wire_bar_line(), &other),
        45.0,
        1e-12,
        "0.09 · 500 µm",
    );
}

#[test]
fn bar_runs_and_its_film_does_not_depend_on_speed_or_ink() {
    let assessment = judged(&wire_bar_line(), &RUN());
    assert_eq!(
        assessment.verdict,
        Verdict::Feasible,
        "{:?}",
        assessment.binding()
    );
    assert!(assessment.assumed.contains(&Input::FilmOverWire));
    let mut thick = wire_bar_line();
    thick.ink.rheology = Some(Rheology::Newtonian {
        viscosity: Viscosity::from_mpa_s(500.0),
    });
    assert_close(wet_um(&thick, &speed_setting(9.0)), 27.0, 1e-12, "identity");
}

#[test]
fn air_is_judged_at_the_shear_rate_of_the_wire() {
    let mut line = wire_bar_line();
    line.ink.rheology = Some(Rheology::PowerLaw {
        consistency: Viscosity::from_pa_s(2.0),
        index: 0.5,
    });
    // By hand: rate (2/60)/150 µm = 222.22 1/s; 2/√222.22 = 0.134164 Pa·s; eq 5.1 with 30 mN/m and 1000 kg/m³:
    // 0.67679 (100 · 0.134164 · √(9.80665/30))^(−0.67).
    let mu = 2.0 / (2.0 / 60.0 / 150e-6_f64).sqrt();
    let expected = 0.676_79 * (100.0 * mu * (9.806_65_f64 / 30.0).sqrt()).powf(-0.67);
    let Outcome::Evaluated { bound, .. } = record(&line, &RUN(), LimitId::AirEntrainment).outcome
    else {
        panic!("evaluated")
    };
    assert_close(bound, expected, 1e-9, "by hand");
    // The film forms at a higher rate: (2/60)/27 µm, √5.5556 thinner, which is more than twice.
    assert_close(
        1.0 - margin(&line, &RUN(), LimitId::RheologyRange),
        (150.0_f64 / 27.0).sqrt() / 2.0,
        1e-9,
        "by hand",
    );
}

#[test]
fn bar_that_is_fed_less_than_a_fifth_over_starves() {
    // By hand: 27 µm · 100 mm · 2 m/min = 5.4 mL/min, and a fifth more is 6.48.
    let fed = |ml_per_min| Setting {
        flow: Some(VolumeFlow::from_ml_per_min(ml_per_min)),
        ..RUN()
    };
    assert_close(
        margin(&wire_bar_line(), &fed(12.96), LimitId::BarFlood),
        0.5,
        1e-9,
        "by hand",
    );
    assert_eq!(
        judged(&wire_bar_line(), &fed(6.5)).verdict,
        Verdict::Feasible
    );
    assert_eq!(
        judged(&wire_bar_line(), &fed(6.4)).verdict,
        Verdict::Infeasible
    );
}

#[test]
fn particle_must_be_smaller_than_a_sixth_of_the_wire() {
    let mut line = wire_bar_line();
    line.ink.largest_particle = Some(Length::from_um(25.0));
    assert_close(
        margin(&line, &RUN(), LimitId::Particle),
        0.5,
        1e-9,
        "by hand: 25 of 50 µm",
    );
    line.ink.largest_particle = Some(Length::from_um(51.0));
    assert_eq!(judged(&line, &RUN()).verdict, Verdict::Infeasible);
}

#[test]
fn wanted_film_is_met_within_its_tolerance() {
    let wanting = |um| Setting {
        wanted_wet_thickness: Some(Length::from_um(um)),
        ..RUN()
    };
    // By hand: 27 µm against 28 ± 2.8 and 24 ± 2.4.
    let at = |um| record(&wire_bar_line(), &wanting(um), LimitId::BarTarget);
    assert_close(
        at(28.0).margin().expect("evaluated"),
        1.0 - 1.0 / 2.8,
        1e-9,
        "by hand",
    );
    assert_close(
        at(24.0).margin().expect("evaluated"),
        1.0 - 3.0 / 2.4,
        1e-9,
        "by hand",
    );
    assert_eq!(at(24.0).severity, Severity::Soft);
    assert_eq!(
        judged(&wire_bar_line(), &wanting(24.0)).verdict,
        Verdict::Feasible
    );
}

#[test]
fn wire_marks_level_before_the_film_stiffens_or_freeze() {
    // By hand, eq 4.4 with the wire as wavelength: 3 · 0.02 · (300e-6)⁴/(16 π⁴ · 0.03 · (27e-6)³) = 0.5281 ms; 4.6 of them
    // against 0.4 m at 2 m/min, 12 s.
    let constant = 3.0 * 0.02 * 300e-6_f64.powi(4)
        / (16.0 * std::f64::consts::PI.powi(4) * 0.03 * 27e-6_f64.powi(3));
    let Outcome::Evaluated {
        value,
        bound,
        margin: levels,
    } = record(&wire_bar_line(), &RUN(), LimitId::BarLevelling).outcome
    else {
        panic!("evaluated")
    };
    assert_close(value, 4.6 * constant, 1e-9, "by hand");
    assert_close(bound, 12.0, 1e-9, "by hand");
    assert!(levels > 0.99);
    assert!(
        judged(&wire_bar_line(), &RUN())
            .limit(LimitId::FrozenMarks)
            .is_none()
    );
    // With a yield stress of 1 Pa the mark freezes at 1 · (300e-6)³/(8 π³ · 0.03 · 27e-6) = 134.4 nm of 2.7 µm.
    let mut gel = wire_bar_line();
    gel.ink.yield_stress = Some(Pressure::from_pa(1.0));
    let frozen = 27e-12 / (8.0 * std::f64::consts::PI.powi(3) * 0.03 * 27e-6);
    assert_close(
        1.0 - margin(&gel, &RUN(), LimitId::FrozenMarks),
        frozen / 2.7e-6,
        1e-9,
        "by hand",
    );
    gel.ink.yield_stress = Some(Pressure::from_pa(50.0));
    assert!(margin(&gel, &RUN(), LimitId::FrozenMarks) < 0.0);
    // Soft: the film is marked, but it is there.
    assert_eq!(judged(&gel, &RUN()).verdict, Verdict::Feasible);
}

#[test]
fn power_law_ink_levels_with_the_viscosity_that_its_own_stress_makes() {
    let mut line = wire_bar_line();
    line.ink.rheology = Some(Rheology::PowerLaw {
        consistency: Viscosity::from_pa_s(2.0),
        index: 0.5,
    });
    // By hand: S = 8 π³ · 0.03 · 2.7e-6 · 27e-6/(300e-6)³ of a mark of a tenth of the film; μ = K²/S.
    let stress = 8.0 * std::f64::consts::PI.powi(3) * 0.03 * 2.7e-6 * 27e-6 / 27e-12;
    let newtonian = record(&wire_bar_line(), &RUN(), LimitId::BarLevelling);
    let thinning = record(&line, &RUN(), LimitId::BarLevelling);
    let needed = |record: &LimitRecord| match record.outcome {
        Outcome::Evaluated { value, .. } => value,
        Outcome::NotEvaluated { .. } => panic!("evaluated"),
    };
    assert_close(
        needed(&thinning) / needed(&newtonian),
        4.0 / stress / 0.02,
        1e-9,
        "by hand",
    );
}

#[test]
fn faster_webs_and_finer_wires_leave_less_time_and_less_to_level() {
    let at = |line: &Line, setting: &Setting| margin(line, setting, LimitId::BarLevelling);
    let mut thick = wire_bar_line();
    thick.ink.rheology = Some(Rheology::Newtonian {
        viscosity: Viscosity::from_pa_s(5.0),
    });
    assert!(at(&thick, &speed_setting(4.0)) < at(&thick, &RUN()));
    let coarse = with_bar(&thick, |bar| {
        bar.wire_diameter = Some(Length::from_um(600.0));
    });
    assert!(at(&coarse, &RUN()) < at(&thick, &RUN()));
}

#[test]
fn ink_outside_the_range_of_bars_is_doubted_but_not_refused() {
    let mut line = wire_bar_line();
    line.ink.rheology = Some(Rheology::Newtonian {
        viscosity: Viscosity::from_pa_s(2.0),
    });
    let range = record(&line, &RUN(), LimitId::BarRange);
    assert_close(
        range.margin().expect("evaluated"),
        -1.0,
        1e-9,
        "trade page: 1000 mPa·s",
    );
    assert_eq!(range.severity, Severity::Validity);
    assert_eq!(judged(&line, &RUN()).verdict, Verdict::Feasible);
}

#[test]
fn missing_essential_input_makes_the_verdict_unknown() {
    let bare = with_bar(&wire_bar_line(), |bar| bar.wire_diameter = None);
    let mut no_ink = wire_bar_line();
    no_ink.ink.rheology = None;
    for (line, setting, missing) in [
        (bare, RUN(), Input::WireDiameter),
        (no_ink, RUN(), Input::Viscosity),
        (wire_bar_line(), Setting::default(), Input::Speed),
    ] {
        let assessment = judged(&line, &setting);
        assert_eq!(assessment.verdict, Verdict::Unknown, "{}", missing.label());
        assert_eq!(assessment.missing_essential(), Some(missing));
    }
    // The bar of the run is enough.
    let run = Setting {
        wire_diameter: Some(Length::from_um(200.0)),
        ..RUN()
    };
    assert_eq!(judged(&bare, &run).verdict, Verdict::Feasible);
}

#[test]
fn verdict_on_drying_rests_on_the_share_of_the_wire_that_was_assumed() {
    let mut line = wire_bar_line();
    line.ink.solvent = Some(Solvent::Ethanol);
    line.ink.solids = Some(Fraction::from_percent(5.0));
    line.dryer = Some(Dryer {
        length: Some(Length::from_m(1.0)),
        ..Dryer::default()
    });
    let prepared = Prepared::new(&line, &Basis::default()).expect("valid line");
    let warm = with_gas(RUN(), 60.0);
    let dry_speed = prepared
        .dry_speed(&warm)
        .expect("valid")
        .expect("known")
        .speed();
    // Just dry with 0.09 of the wire, so not with 0.105.
    let near = with_gas(speed_setting(0.95 * dry_speed.m_per_min()), 60.0);
    let assessment = prepared.assess(&near).expect("valid inputs");
    assert!(
        assessment.rests_on.contains(&Input::FilmOverWire),
        "{:?}",
        assessment.rests_on
    );
}
