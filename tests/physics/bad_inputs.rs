//! Every way an input can be wrong is refused by name; a missing input is not.

use wetlane_physics::{
    Angle, Density, Dryer, Foil, Fraction, HeatTransferCoefficient, HeatedRoller, Ink, Input,
    InputError, Length, Line, PlasmaStation, Power, Pressure, Pump, Rheology, Setting, Solvent,
    Span, Speed, Station, SurfaceTension, Surroundings, Temperature, Viscosity, VolumeFlow, assess,
    assess_nominal, dry_speed,
};

use crate::sample_lines::{nanowire_line, setting, with_die, with_gas, worked_example};

fn refuse_setting(setting: Setting) -> InputError {
    assess(&worked_example(), &setting).expect_err("refused")
}

fn refuse_line(line: Line) -> InputError {
    assess(&line, &setting(1.0, 20.0, 100.0)).expect_err("refused")
}

const GOOD: fn() -> Setting = || setting(1.0, 20.0, 100.0);

#[test]
fn zero_speed_is_refused() {
    let error = refuse_setting(Setting {
        speed: Some(Speed::from_m_per_s(0.0)),
        ..GOOD()
    });
    assert_eq!(
        error,
        InputError::NotPositive {
            input: Input::Speed,
            value: 0.0
        }
    );
    assert_eq!(error.to_string(), "Web speed must be above zero, not 0 m/s");
}

#[test]
fn negative_flow_is_refused() {
    let error = refuse_setting(Setting {
        flow: Some(VolumeFlow::from_m3_per_s(-1.0)),
        ..GOOD()
    });
    assert_eq!(
        error,
        InputError::NotPositive {
            input: Input::Flow,
            value: -1.0
        }
    );
}

#[test]
fn gap_that_is_no_number_is_refused() {
    let error = refuse_setting(Setting {
        gap: Some(Length::from_m(f64::NAN)),
        ..GOOD()
    });
    assert_eq!(error, InputError::NotANumber { input: Input::Gap });
    assert_eq!(error.to_string(), "Coating gap is not a number");
}

#[test]
fn infinite_speed_is_refused() {
    let error = refuse_setting(Setting {
        speed: Some(Speed::from_m_per_s(f64::INFINITY)),
        ..GOOD()
    });
    assert_eq!(
        error,
        InputError::Infinite {
            input: Input::Speed
        }
    );
}

#[test]
fn negative_vacuum_is_refused_and_zero_is_not() {
    let error = refuse_setting(Setting {
        vacuum: Some(Pressure::from_pa(-1.0)),
        ..GOOD()
    });
    assert_eq!(
        error,
        InputError::Negative {
            input: Input::Vacuum,
            value: -1.0
        }
    );
    assert!(
        assess(
            &worked_example(),
            &Setting {
                vacuum: Some(Pressure::from_pa(0.0)),
                ..GOOD()
            }
        )
        .is_ok()
    );
}

#[test]
fn vacuum_without_a_box_is_refused() {
    let error = refuse_setting(Setting {
        vacuum: Some(Pressure::from_pa(100.0)),
        ..GOOD()
    });
    assert_eq!(error, InputError::NoVacuumBox);
    assert_eq!(error.input(), Input::Vacuum);
}

#[test]
fn knobs_of_stations_that_are_not_there_are_refused() {
    let plasma = refuse_setting(Setting {
        plasma_power: Some(Power::from_w(10.0)),
        ..GOOD()
    });
    assert_eq!(
        plasma,
        InputError::NoStation {
            input: Input::PlasmaPower,
            station: Station::Plasma
        }
    );
    let warm = Some(Temperature::from_deg_c(50.0));
    let roller = refuse_setting(Setting {
        roller_temperature: warm,
        ..GOOD()
    });
    assert_eq!(
        roller,
        InputError::NoStation {
            input: Input::RollerTemperature,
            station: Station::Roller
        }
    );
    let gas = refuse_setting(Setting {
        gas_temperature: warm,
        ..GOOD()
    });
    assert_eq!(
        gas,
        InputError::NoStation {
            input: Input::GasTemperature,
            station: Station::Dryer
        }
    );
}

#[test]
fn temperature_with_a_mistaken_unit_is_refused() {
    let error = assess(&nanowire_line(), &with_gas(GOOD(), -120.0)).expect_err("refused");
    assert!(matches!(
        error,
        InputError::TemperatureOutOfReach {
            input: Input::GasTemperature,
            ..
        }
    ));
    assert!(assess(&nanowire_line(), &with_gas(GOOD(), 800.0)).is_err());
}

#[test]
fn ink_values_out_of_their_domain_are_refused() {
    let with_ink = |change: fn(&mut Ink)| {
        let mut line = worked_example();
        change(&mut line.ink);
        refuse_line(line)
    };
    let zero_viscosity = |ink: &mut Ink| {
        ink.rheology = Some(Rheology::Newtonian {
            viscosity: Viscosity::from_pa_s(0.0),
        });
    };
    assert_eq!(with_ink(zero_viscosity).input(), Input::Viscosity);
    let zero_index = |ink: &mut Ink| {
        ink.rheology = Some(Rheology::PowerLaw {
            consistency: Viscosity::from_pa_s(1.0),
            index: 0.0,
        });
    };
    assert_eq!(with_ink(zero_index).input(), Input::Viscosity);
    assert_eq!(
        with_ink(|ink| ink.surface_tension = Some(SurfaceTension::from_n_per_m(f64::NAN))),
        InputError::NotANumber {
            input: Input::SurfaceTension
        }
    );
    assert_eq!(
        with_ink(|ink| ink.density = Some(Density::from_kg_per_m3(-1.0))),
        InputError::NotPositive {
            input: Input::Density,
            value: -1.0
        }
    );
    assert_eq!(
        with_ink(|ink| ink.solids = Some(Fraction::from_ratio(1.5))),
        InputError::AboveOne {
            input: Input::Solids,
            value: 1.5
        }
    );
    assert_eq!(
        with_ink(|ink| ink.dry_porosity = Some(Fraction::from_ratio(1.0))),
        InputError::NothingLeft {
            input: Input::DryPorosity,
            value: 1.0
        }
    );
    assert!(matches!(
        with_ink(|ink| ink.angle_on_foil = Some(Angle::from_deg(181.0))),
        InputError::AngleOutOfRange {
            input: Input::AngleOnFoil,
            ..
        }
    ));
    assert_eq!(
        with_ink(|ink| ink.dispersive_tension = Some(SurfaceTension::from_mn_per_m(31.0))),
        InputError::PartAboveWhole {
            input: Input::DispersiveTension,
            part: 0.031,
            whole: 0.030
        }
    );
}

#[test]
fn reversed_spans_are_refused() {
    let line = Line {
        speed_span: Some(Span {
            least: Speed::from_m_per_s(2.0),
            greatest: Speed::from_m_per_s(1.0),
        }),
        ..worked_example()
    };
    assert_eq!(
        refuse_line(line),
        InputError::SpanReversed {
            input: Input::SpeedSpan,
            least: 2.0,
            greatest: 1.0
        }
    );
}

/// Puts a NaN into each number of the line in turn.
fn lines_with_one_nan() -> Vec<(Input, Line)> {
    let nan_length = Some(Length::from_m(f64::NAN));
    let nan_h = Some(HeatTransferCoefficient::from_w_per_m2_k(f64::NAN));
    let nan_share = Some(Fraction::from_ratio(f64::NAN));
    let nan_tension = Some(SurfaceTension::from_n_per_m(f64::NAN));
    let line = worked_example();
    let foil = |change: fn(&mut Foil, Option<Length>), input| {
        let mut line = line;
        change(&mut line.foil, nan_length);
        (input, line)
    };
    let dryer = |dryer: Dryer, input| {
        (
            input,
            Line {
                dryer: Some(dryer),
                ..line
            },
        )
    };
    let roller = |roller: HeatedRoller, input| {
        (
            input,
            Line {
                roller: Some(roller),
                ..line
            },
        )
    };
    let room = |surroundings: Surroundings, input| {
        (
            input,
            Line {
                surroundings,
                ..line
            },
        )
    };
    let plasma = |plasma: PlasmaStation, input| {
        (
            input,
            Line {
                plasma: Some(plasma),
                ..line
            },
        )
    };
    vec![
        (
            Input::CoatedWidth,
            with_die(line, |die| die.coated_width = nan_length),
        ),
        (
            Input::DownstreamLip,
            with_die(line, |die| die.downstream_lip = nan_length),
        ),
        (
            Input::UpstreamLip,
            with_die(line, |die| die.upstream_lip = nan_length),
        ),
        (
            Input::UpstreamGapRatio,
            with_die(line, |die| die.upstream_gap_ratio = Some(f64::NAN)),
        ),
        (
            Input::FeedSlotHeight,
            with_die(line, |die| die.feed_slot_height = nan_length),
        ),
        (
            Input::FeedSlotLength,
            with_die(line, |die| die.feed_slot_length = nan_length),
        ),
        (
            Input::GapTolerance,
            with_die(line, |die| die.gap_tolerance = nan_length),
        ),
        foil(|foil, nan| foil.thickness = nan, Input::FoilThickness),
        foil(|foil, nan| foil.roll_length = nan, Input::RollLength),
        (
            Input::Leader,
            Line {
                leader: nan_length,
                ..line
            },
        ),
        dryer(
            Dryer {
                length: nan_length,
                ..Dryer::default()
            },
            Input::DryerLength,
        ),
        dryer(
            Dryer {
                h_top: nan_h,
                ..Dryer::default()
            },
            Input::DryerHeatTransferAbove,
        ),
        dryer(
            Dryer {
                h_bottom: nan_h,
                ..Dryer::default()
            },
            Input::DryerHeatTransferBelow,
        ),
        dryer(
            Dryer {
                residual_solvent: nan_share,
                ..Dryer::default()
            },
            Input::ResidualSolvent,
        ),
        roller(
            HeatedRoller {
                diameter: nan_length,
                ..HeatedRoller::default()
            },
            Input::RollerDiameter,
        ),
        roller(
            HeatedRoller {
                contact: nan_h,
                ..HeatedRoller::default()
            },
            Input::RollerContact,
        ),
        room(
            Surroundings {
                open_path: nan_length,
                ..Surroundings::default()
            },
            Input::OpenPath,
        ),
        room(
            Surroundings {
                open_path_h: nan_h,
                ..Surroundings::default()
            },
            Input::OpenPathHeatTransfer,
        ),
        room(
            Surroundings {
                relative_humidity: nan_share,
                ..Surroundings::default()
            },
            Input::RelativeHumidity,
        ),
        plasma(
            PlasmaStation {
                electrode_width: nan_length,
                ..PlasmaStation::default()
            },
            Input::ElectrodeWidth,
        ),
        plasma(
            PlasmaStation {
                saturated_energy: nan_tension,
                ..PlasmaStation::default()
            },
            Input::SaturatedEnergy,
        ),
        (
            Input::SyringeVolume,
            Line {
                pump: Some(Pump {
                    syringe_volume: Some(wetlane_physics::Volume::from_m3(f64::NAN)),
                    ..Pump::default()
                }),
                ..line
            },
        ),
    ]
}

#[test]
fn one_number_that_is_none_is_refused_by_its_own_name() {
    for (input, line) in lines_with_one_nan() {
        assert_eq!(refuse_line(line), InputError::NotANumber { input });
    }
}

#[test]
fn line_about_which_nothing_is_stated_is_no_error() {
    let assessment =
        assess_nominal(&Line::default(), &Setting::default()).expect("missing is no error");
    assert_eq!(assessment.missing_essential(), Some(Input::Viscosity));
}

#[test]
fn pure_solvent_and_pure_solids_are_legal() {
    for solids in [0.0, 1.0] {
        let mut line = nanowire_line();
        line.ink.solids = Some(Fraction::from_ratio(solids));
        let speed = dry_speed(&line, &with_gas(GOOD(), 80.0))
            .expect("legal")
            .expect("all inputs are there");
        assert!(speed.speed().m_per_s() > 0.0);
    }
}

#[test]
fn every_solvent_can_be_dried_at_every_temperature_in_reach() {
    for solvent in Solvent::ALL {
        for deg_c in [-60.0, 25.0, 200.0, 700.0] {
            let mut line = nanowire_line();
            line.ink.solvent = Some(solvent);
            let assessment = assess_nominal(&line, &with_gas(GOOD(), deg_c)).expect("legal");
            for limit in &assessment.limits {
                let holds = limit
                    .margin()
                    .is_none_or(|margin| (-10.0..=1.0).contains(&margin));
                assert!(
                    holds,
                    "{} of {} at {deg_c} °C",
                    limit.id.key(),
                    solvent.key()
                );
            }
        }
    }
}
