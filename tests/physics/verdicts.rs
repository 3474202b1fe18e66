//! The verdict, what it assumed, what it left unchecked, and what it rests on.

use wetlane_physics::{
    Activity, Angle, Basis, Calibration, CalibrationError, Doubt, Dryer, Foil, FoilMaterial, Head,
    Ink, Input, Length, LimitId, Line, Outcome, Prepared, Rheology, Setting, Severity, SlotDie,
    Solvent, SurfaceTension, Temperature, Verdict, Viscosity, assess, assess_nominal,
};

use crate::sample_lines::{nanowire_line, setting, with_die, with_gas, worked_example};
use crate::support::assert_close;

/// What a newcomer knows: viscosity, tension, width and the knobs, on a line with a dryer.
fn minimal_line() -> Line {
    Line {
        ink: Ink {
            rheology: Some(Rheology::Newtonian {
                viscosity: Viscosity::from_mpa_s(10.0),
            }),
            surface_tension: Some(SurfaceTension::from_mn_per_m(30.0)),
            ..Ink::default()
        },
        head: Head::SlotDie(SlotDie {
            coated_width: Some(Length::from_mm(100.0)),
            ..SlotDie::default()
        }),
        dryer: Some(Dryer::default()),
        ..Line::default()
    }
}

#[test]
fn minimal_project_is_feasible_with_assumed_lips_and_angles() {
    let assessment = assess(&minimal_line(), &setting(1.0, 20.0, 100.0)).expect("valid inputs");
    assert_eq!(assessment.verdict, Verdict::Feasible);
    assert!(assessment.rests_on.is_empty(), "{:?}", assessment.rests_on);
    for input in [
        Input::DownstreamLip,
        Input::UpstreamLip,
        Input::UpstreamGapRatio,
        Input::AngleOnLip,
        Input::AngleOnFoil,
        Input::LipCorner,
        Input::Density,
    ] {
        assert!(
            assessment.assumed.contains(&input),
            "{} is assumed",
            input.label()
        );
    }
    assert!(!assessment.assumed.contains(&Input::SurfaceTension));
    assert!(
        !assessment.assumed.contains(&Input::DryerHeatTransferAbove),
        "drying was not judged"
    );
}

#[test]
fn minimal_project_lists_what_it_did_not_check() {
    let assessment = assess(&minimal_line(), &setting(1.0, 20.0, 100.0)).expect("valid inputs");
    let unchecked: Vec<(LimitId, Input)> = assessment.unchecked().collect();
    for pair in [
        (LimitId::DryAtExit, Input::Solvent),
        (LimitId::Blister, Input::Solvent),
        (LimitId::FoilMax, Input::GasTemperature),
        (LimitId::Particle, Input::LargestParticle),
        (LimitId::SyringeVolume, Input::SyringeVolume),
        (LimitId::FoilLength, Input::RollLength),
        (LimitId::PumpRange, Input::FlowSpan),
    ] {
        assert!(unchecked.contains(&pair), "{pair:?} in {unchecked:?}");
    }
    assert!(
        unchecked
            .iter()
            .all(|(id, _)| id.severity() == Severity::Hard)
    );
}

#[test]
fn missing_essential_input_makes_the_verdict_unknown() {
    let good = setting(1.0, 20.0, 100.0);
    for (line, setting, missing) in [
        (
            minimal_line(),
            Setting {
                speed: None,
                ..good
            },
            Input::Speed,
        ),
        (minimal_line(), Setting { flow: None, ..good }, Input::Flow),
        (minimal_line(), Setting { gap: None, ..good }, Input::Gap),
        (
            with_die(&minimal_line(), |die| die.coated_width = None),
            good,
            Input::CoatedWidth,
        ),
        (
            Line {
                ink: Ink {
                    rheology: None,
                    ..minimal_line().ink
                },
                ..minimal_line()
            },
            good,
            Input::Viscosity,
        ),
    ] {
        let assessment = assess(&line, &setting).expect("missing is no error");
        assert_eq!(assessment.verdict, Verdict::Unknown, "{}", missing.label());
        assert_eq!(assessment.missing_essential(), Some(missing));
        let held = assessment
            .limit(LimitId::BeadHold)
            .expect("always recorded");
        assert_eq!(held.outcome, Outcome::NotEvaluated { missing });
        assert!(!held.holds(), "not evaluated never counts as passed");
    }
}

#[test]
fn broken_limit_outweighs_a_missing_input() {
    let line = with_die(&minimal_line(), |die| die.coated_width = None);
    let mut line = Line {
        ink: Ink {
            largest_particle: Some(Length::from_um(90.0)),
            ..line.ink
        },
        ..line
    };
    let assessment = assess(&line, &setting(1.0, 20.0, 100.0)).expect("valid inputs");
    assert_eq!(assessment.verdict, Verdict::Infeasible);
    line.ink.largest_particle = None;
    let assessment = assess(&line, &setting(1.0, 20.0, 100.0)).expect("valid inputs");
    assert_eq!(assessment.verdict, Verdict::Unknown);
}

#[test]
fn near_the_bead_limit_the_verdict_rests_on_the_lips() {
    // Lips of 1 mm hold 28 µm; the longest that may be meant do not hold 30 µm.
    let assessment = assess(&minimal_line(), &setting(4.0, 30.0, 150.0)).expect("valid inputs");
    assert_eq!(
        assessment.verdict,
        Verdict::Marginal,
        "{:?}",
        assessment.binding()
    );
    assert!(
        assessment.rests_on.contains(&Input::DownstreamLip),
        "{:?}",
        assessment.rests_on
    );
    let stated = with_die(&minimal_line(), |die| {
        die.downstream_lip = Some(Length::from_mm(1.0));
    });
    let assessment = assess(&stated, &setting(4.0, 30.0, 150.0)).expect("valid inputs");
    assert!(
        !assessment.rests_on.contains(&Input::DownstreamLip),
        "a stated input is not doubted"
    );
}

#[test]
fn infeasible_verdict_names_what_could_save_it() {
    let assessment = assess(&minimal_line(), &setting(4.0, 24.0, 150.0)).expect("valid inputs");
    assert_eq!(
        assessment.verdict,
        Verdict::Infeasible,
        "{:?}",
        assessment.binding()
    );
    assert!(
        assessment.rests_on.contains(&Input::DownstreamLip),
        "{:?}",
        assessment.rests_on
    );
}

#[test]
fn nominal_assessment_leaves_the_doubts_out() {
    let setting = setting(4.0, 30.0, 150.0);
    let nominal = assess_nominal(&minimal_line(), &setting).expect("valid inputs");
    assert!(nominal.rests_on.is_empty());
    assert_eq!(nominal.verdict, Verdict::Feasible);
    let full = assess(&minimal_line(), &setting).expect("valid inputs");
    assert_eq!(nominal.limits, full.limits);
}

#[test]
fn drying_verdict_rests_on_heat_transfer_that_was_assumed() {
    let mut line = nanowire_line();
    line.dryer = Some(Dryer {
        length: Some(Length::from_m(1.2)),
        ..Dryer::default()
    });
    let assessment =
        assess(&line, &with_gas(setting(1.9, 24.0, 150.0), 70.0)).expect("valid inputs");
    assert_eq!(
        assessment.verdict,
        Verdict::Marginal,
        "{:?}",
        assessment.binding()
    );
    assert!(
        assessment.rests_on.contains(&Input::DryerHeatTransferAbove),
        "{:?}",
        assessment.rests_on
    );
    assert!(
        !assessment.rests_on.contains(&Input::AllowedShrinkage),
        "shrinkage is not a hard limit"
    );
}

#[test]
fn assumed_values_and_ranges_can_be_told() {
    let prepared = Prepared::new(&minimal_line(), &Basis::default()).expect("valid line");
    let assessment = prepared
        .assess_nominal(&setting(1.0, 20.0, 100.0))
        .expect("valid inputs");
    let lip = prepared
        .assumed_inputs(&assessment)
        .into_iter()
        .find(|row| row.input == Input::DownstreamLip);
    let lip = lip.expect("assumed");
    assert_eq!(lip.value, Some(1e-3));
    assert_eq!(lip.range, Some((0.3e-3, 2e-3)));
}

#[test]
fn assumptions_can_be_edited() {
    let mut basis = Basis::default();
    let mut row = basis
        .assumptions
        .get(Input::DownstreamLip)
        .expect("has a row");
    row.value = 0.5e-3;
    row.doubt = Doubt::Fixed;
    assert!(basis.assumptions.set(Input::DownstreamLip, row));
    assert!(
        !basis.assumptions.set(Input::Viscosity, row),
        "viscosity may not be assumed"
    );
    let edited = Prepared::new(&minimal_line(), &basis).expect("valid line");
    let stated = with_die(&minimal_line(), |die| {
        die.downstream_lip = Some(Length::from_mm(0.5));
    });
    let stated = Prepared::new(&stated, &Basis::default()).expect("valid line");
    let setting = setting(1.0, 20.0, 100.0);
    let held = |prepared: &Prepared| {
        prepared
            .assess_nominal(&setting)
            .expect("valid")
            .derived
            .thinnest_held_m
    };
    assert_eq!(held(&edited), held(&stated));
}

#[test]
fn every_default_lies_within_its_range() {
    for (input, row) in Basis::default().assumptions.rows() {
        if let Some((low, high)) = row.doubt.ends(row.value) {
            assert!(
                low <= row.value && row.value <= high && low < high,
                "{}",
                input.label()
            );
        }
    }
}

#[test]
fn density_follows_from_its_parts_where_they_are_stated() {
    let mut line = worked_example();
    line.ink.density = None;
    line.ink.solids = Some(wetlane_physics::Fraction::from_ratio(0.5));
    line.ink.dry_density = Some(wetlane_physics::Density::from_kg_per_m3(2000.0));
    line.ink.solvent = Some(Solvent::Water);
    let assessment = assess_nominal(&line, &setting(1.0, 20.0, 100.0)).expect("valid inputs");
    // By hand, eq 2.8: 1/(0.5/2000 + 0.5/997) = 1330.66; coat weight 20e-6 · 1330.66 · 0.5.
    let weight = assessment
        .derived
        .coat_weight_kg_per_m2
        .expect("solids are stated");
    assert_close(weight, 20e-6 * 1330.66 * 0.5, 1e-5, "by hand");
    assert!(assessment.assumed.contains(&Input::Density));
}

#[test]
fn surface_tension_follows_from_the_solvent() {
    let mut line = worked_example();
    line.ink.surface_tension = None;
    line.ink.solvent = Some(Solvent::Ethanol);
    let assessment = assess_nominal(&line, &setting(1.0, 20.0, 100.0)).expect("valid inputs");
    // By hand: 22.4 − 0.083 · 2 = 22.234 mN/m at 22 °C; Ca = 0.01/60/0.022234.
    let ca = assessment.derived.capillary_number.expect("evaluated");
    assert_close(ca, 0.01 / 60.0 / 0.022_234, 1e-9, "by hand");
}

#[test]
fn calibration_scales_a_limit_and_is_named() {
    let setting = setting(1.0, 20.0, 100.0);
    let mut basis = Basis::default();
    basis
        .calibration
        .set(LimitId::BeadHold, 2.0)
        .expect("a positive factor");
    let prepared = Prepared::new(&worked_example(), &basis).expect("valid line");
    let calibrated = prepared.assess_nominal(&setting).expect("valid inputs");
    let plain = assess_nominal(&worked_example(), &setting).expect("valid inputs");
    let margin = |assessment: &wetlane_physics::Assessment| {
        assessment
            .limit(LimitId::BeadHold)
            .and_then(wetlane_physics::LimitRecord::margin)
            .expect("evaluated")
    };
    // Identity: m = 1 − k t_hold/t.
    assert_close(
        1.0 - margin(&calibrated),
        2.0 * (1.0 - margin(&plain)),
        1e-12,
        "identity",
    );
    assert!(
        calibrated
            .limit(LimitId::BeadHold)
            .expect("recorded")
            .is_calibrated
    );
    assert!(
        !calibrated
            .limit(LimitId::Flood)
            .expect("recorded")
            .is_calibrated
    );
}

#[test]
fn impossible_calibration_is_refused() {
    let mut calibration = Calibration::default();
    for factor in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(matches!(
            calibration.set(LimitId::BeadHold, factor),
            Err(CalibrationError::NotPositive {
                limit: LimitId::BeadHold,
                ..
            })
        ));
    }
    assert_eq!(
        calibration.set(LimitId::PumpRange, 1.1),
        Err(CalibrationError::MachineSpan {
            limit: LimitId::PumpRange
        })
    );
    assert_eq!(calibration, Calibration::default());
}

#[test]
fn cautions_never_enter_the_verdict() {
    let mut line = nanowire_line();
    line.ink.solvent = Some(Solvent::Toluene);
    line.dryer = line.dryer.map(|dryer| Dryer {
        fresh_gas: Some(wetlane_physics::VolumeFlow::from_m3_per_h(0.5)),
        ..dryer
    });
    let assessment =
        assess_nominal(&line, &with_gas(setting(1.0, 15.0, 100.0), 80.0)).expect("valid inputs");
    let vapor = assessment.limit(LimitId::LelDryer).expect("recorded");
    assert!(vapor.margin().expect("evaluated") < 0.0);
    assert_eq!(vapor.severity, Severity::Caution);
    assert_eq!(
        assessment.verdict,
        Verdict::Feasible,
        "{:?}",
        assessment.binding()
    );
}

#[test]
fn foil_known_by_name_is_judged_on_its_untreated_energy() {
    let mut line = minimal_line();
    line.foil = Foil {
        material: Some(FoilMaterial::Pet),
        ..Foil::default()
    };
    let assessment = assess(&line, &setting(1.0, 20.0, 100.0)).expect("valid inputs");
    assert!(assessment.assumed.contains(&Input::FoilEnergy));
    assert_close(
        assessment.derived.foil_energy_n_per_m.expect("named foil"),
        0.041,
        1e-12,
        "low end for polyester",
    );
    // Ink of 45 mN/m on rolled aluminium of unknown cleanliness: everything rests on the energy of the foil.
    line.foil = Foil {
        material: Some(FoilMaterial::Aluminium),
        ..Foil::default()
    };
    line.ink.surface_tension = Some(SurfaceTension::from_mn_per_m(45.0));
    let assessment = assess(&line, &setting(1.0, 20.0, 100.0)).expect("valid inputs");
    assert_eq!(assessment.verdict, Verdict::Infeasible);
    assert!(
        assessment.rests_on.contains(&Input::FoilEnergy),
        "{:?}",
        assessment.rests_on
    );
}

#[test]
fn default_activity_is_that_of_a_dispersion_and_is_named() {
    let mut line = nanowire_line();
    let run = with_gas(setting(1.0, 20.0, 150.0), 80.0);
    let free = assess_nominal(&line, &run).expect("valid inputs");
    line.ink.activity = None;
    let assumed = assess_nominal(&line, &run).expect("valid inputs");
    assert_eq!(
        free.derived.dry_speed_m_per_s,
        assumed.derived.dry_speed_m_per_s
    );
    assert!(assumed.assumed.contains(&Input::Activity));
    line.ink.activity = Some(Activity::Polymer);
    let polymer = assess_nominal(&line, &run).expect("valid inputs");
    assert_eq!(
        polymer.limit(LimitId::DryAtExit).expect("recorded").outcome,
        Outcome::NotEvaluated {
            missing: Input::DryDensity
        }
    );
}

#[test]
fn angle_that_was_measured_silences_the_rule_of_thumb() {
    let mut line = minimal_line();
    line.foil.surface_energy = Some(SurfaceTension::from_mn_per_m(42.0));
    let rule = |line: &Line| {
        let assessment = assess_nominal(line, &setting(1.0, 20.0, 100.0)).expect("valid inputs");
        assessment
            .limit(LimitId::SurfaceEnergyRule)
            .and_then(wetlane_physics::LimitRecord::margin)
    };
    // By hand: (42 − 30 − 8)/8.
    assert_close(rule(&line).expect("evaluated"), 0.5, 1e-12, "by hand");
    line.ink.angle_on_foil = Some(Angle::from_deg(20.0));
    assert!(rule(&line).is_none());
}

#[test]
fn room_temperature_changes_nothing_but_what_it_may() {
    let mut line = nanowire_line();
    let run = with_gas(setting(1.0, 20.0, 150.0), 80.0);
    let cool = assess_nominal(&line, &run).expect("valid inputs");
    line.surroundings.room_temperature = Some(Temperature::from_deg_c(28.0));
    let warm = assess_nominal(&line, &run).expect("valid inputs");
    assert_eq!(cool.limit(LimitId::BeadHold), warm.limit(LimitId::BeadHold));
    assert_ne!(
        cool.limit(LimitId::DryAtExit),
        warm.limit(LimitId::DryAtExit)
    );
}

#[test]
fn defaults_are_those_of_the_methods_page() {
    let assumptions = Basis::default().assumptions;
    let degrees = |deg: f64| deg.to_radians();
    let celsius = |deg_c: f64| deg_c + 273.15;
    // docs/methods.md, table of assumed inputs: value, low end, high end; all common practice.
    for (input, value, low, high) in [
        (Input::SurfaceTension, 0.030, 0.022, 0.045),
        (Input::Density, 1000.0, 780.0, 1700.0),
        (Input::DownstreamLip, 1e-3, 0.3e-3, 2e-3),
        (Input::UpstreamLip, 1e-3, 0.3e-3, 2e-3),
        (Input::UpstreamGapRatio, 1.0, 0.8, 1.5),
        (
            Input::AngleOnLip,
            degrees(30.0),
            degrees(10.0),
            degrees(60.0),
        ),
        (
            Input::AngleOnFoil,
            degrees(30.0),
            degrees(10.0),
            degrees(60.0),
        ),
        (
            Input::LipCorner,
            degrees(90.0),
            degrees(60.0),
            degrees(120.0),
        ),
        (Input::FoilThickness, 100e-6, 25e-6, 200e-6),
        (Input::FoilEnergy, 0.041, 0.036, 0.044),
        (
            Input::RoomTemperature,
            celsius(22.0),
            celsius(18.0),
            celsius(28.0),
        ),
        (Input::RelativeHumidity, 0.5, 0.2, 0.7),
        (Input::DryerHeatTransferAbove, 30.0, 15.0, 60.0),
        (Input::DryerHeatTransferBelow, 10.0, 5.0, 30.0),
        (Input::OpenPath, 0.4, 0.1, 1.0),
        (Input::RollerContact, 300.0, 150.0, 600.0),
        (Input::ResidualSolvent, 0.05, 0.01, 0.10),
        (Input::AllowedShrinkage, 0.005, 0.001, 0.01),
        (Input::SaturatedEnergy, 0.058, 0.056, 0.060),
    ] {
        let row = assumptions
            .get(input)
            .unwrap_or_else(|| panic!("{} has a row", input.label()));
        let (least, greatest) = row.doubt.ends(row.value).expect("a range");
        assert_close(row.value, value, 1e-12, input.label());
        assert_close(least, low, 1e-12, input.label());
        assert_close(greatest, high, 1e-12, input.label());
    }
    for input in [
        Input::Viscosity,
        Input::Speed,
        Input::Gap,
        Input::CoatedWidth,
        Input::Flow,
        Input::Solvent,
    ] {
        assert!(
            assumptions.get(input).is_none(),
            "{} may not be assumed",
            input.label()
        );
    }
}

#[test]
fn density_from_its_parts_is_doubted_by_a_twentieth() {
    let mut line = worked_example();
    line.ink.density = None;
    line.ink.solids = Some(wetlane_physics::Fraction::from_ratio(0.5));
    line.ink.dry_density = Some(wetlane_physics::Density::from_kg_per_m3(2000.0));
    line.ink.solvent = Some(Solvent::Water);
    let prepared = Prepared::new(&line, &Basis::default()).expect("valid line");
    let assessment = prepared
        .assess_nominal(&setting(1.0, 20.0, 100.0))
        .expect("valid inputs");
    let rows = prepared.assumed_inputs(&assessment);
    let density = rows
        .iter()
        .find(|row| row.input == Input::Density)
        .expect("assumed");
    let (low, high) = density.range.expect("varied");
    assert_close(high / low, 1.05 / 0.95, 1e-12, "common practice");
}
