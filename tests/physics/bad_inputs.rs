//! Every way an input can be wrong is refused by name; a missing input is not.

use wetlane_physics::{
    Angle, Carreau, Density, Dryer, Fraction, HeatTransferCoefficient, HeatedRoller, Ink, Input,
    InputError, Length, Line, MolarEnergy, PlasmaStation, Power, Pressure, Pump, Rheology, Setting,
    ShearRate, Solvent, Span, Speed, Station, SurfaceTension, Temperature, Viscosity, Volume,
    VolumeFlow, assess, assess_nominal, dry_speed,
};

use crate::sample_lines::{nanowire_line, setting, with_die, with_gas, worked_example};

fn refuse_setting(setting: Setting) -> InputError {
    assess(&worked_example(), &setting).expect_err("refused")
}

fn refuse_line(line: &Line) -> InputError {
    assess(line, &setting(1.0, 20.0, 100.0)).expect_err("refused")
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
        refuse_line(&line)
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
fn flow_law_out_of_its_domain_is_refused() {
    let good = Carreau {
        at_rest: Viscosity::from_pa_s(1.0),
        at_high_rate: Viscosity::from_pa_s(0.0),
        time_constant_s: 0.0,
        index: 0.5,
    };
    let at_rest = Viscosity::from_pa_s(0.0);
    let at_high_rate = Viscosity::from_pa_s(-1.0);
    for bad in [
        Carreau { at_rest, ..good },
        Carreau {
            at_high_rate,
            ..good
        },
        Carreau {
            index: -0.5,
            ..good
        },
        Carreau {
            time_constant_s: f64::NAN,
            ..good
        },
    ] {
        let mut line = worked_example();
        line.ink.rheology = Some(Rheology::Carreau(bad));
        assert_eq!(refuse_line(&line).input(), Input::Viscosity, "{bad:?}");
    }
    let mut line = worked_example();
    line.ink.rheology = Some(Rheology::Carreau(good));
    assert!(assess(&line, &GOOD()).is_ok());
    line.ink.activation_energy = Some(MolarEnergy::from_j_per_mol(-1.0));
    assert_eq!(refuse_line(&line).input(), Input::ActivationEnergy);
    line.ink.activation_energy = None;
    line.ink.viscosity_temperature = Some(Temperature::from_deg_c(2000.0));
    assert_eq!(refuse_line(&line).input(), Input::ViscosityTemperature);
    line.ink.viscosity_temperature = None;
    line.ink.shear_rate_span = Some(Span {
        least: ShearRate::from_per_s(0.0),
        greatest: ShearRate::from_per_s(1.0),
    });
    assert_eq!(refuse_line(&line).input(), Input::ShearRateSpan);
    let error = refuse_setting(Setting {
        ink_temperature: Some(Temperature::from_k(0.0)),
        ..GOOD()
    });
    assert_eq!(error.input(), Input::InkTemperature);
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
        refuse_line(&line),
        InputError::SpanReversed {
            input: Input::SpeedSpan,
            least: 2.0,
            greatest: 1.0
        }
    );
}

const NO_LENGTH: Option<Length> = Some(Length::from_m(f64::NAN));
const NO_H: Option<HeatTransferCoefficient> =
    Some(HeatTransferCoefficient::from_w_per_m2_k(f64::NAN));
const NO_SHARE: Option<Fraction> = Some(Fraction::from_ratio(f64::NAN));

/// Changes the line in one place.
type Change = fn(&mut Line);

/// Puts a NaN into each number of head and foil in turn.
const HEAD_AND_FOIL: [(Input, Change); 11] = [
    (Input::CoatedWidth, |line| {
        *line = with_die(line, |die| die.coated_width = NO_LENGTH);
    }),
    (Input::DownstreamLip, |line| {
        *line = with_die(line, |die| die.downstream_lip = NO_LENGTH);
    }),
    (Input::UpstreamLip, |line| {
        *line = with_die(line, |die| die.upstream_lip = NO_LENGTH);
    }),
    (Input::UpstreamGapRatio, |line| {
        *line = with_die(line, |die| die.upstream_gap_ratio = Some(f64::NAN));
    }),
    (Input::FeedSlotHeight, |line| {
        *line = with_die(line, |die| die.feed_slot_height = NO_LENGTH);
    }),
    (Input::FeedSlotLength, |line| {
        *line = with_die(line, |die| die.feed_slot_length = NO_LENGTH);
    }),
    (Input::GapTolerance, |line| {
        *line = with_die(line, |die| die.gap_tolerance = NO_LENGTH);
    }),
    (Input::FoilThickness, |line| line.foil.thickness = NO_LENGTH),
    (Input::RollLength, |line| line.foil.roll_length = NO_LENGTH),
    (Input::Leader, |line| line.leader = NO_LENGTH),
    (Input::SyringeVolume, |line| {
        line.pump = Some(Pump {
            syringe_volume: Some(Volume::from_m3(f64::NAN)),
            ..Pump::default()
        });
    }),
];

/// Puts a NaN into each number of the other stations in turn.
const STATIONS: [(Input, Change); 11] = [
    (Input::DryerLength, |line| {
        line.dryer = Some(Dryer {
            length: NO_LENGTH,
            ..Dryer::default()
        });
    }),
    (Input::DryerHeatTransferAbove, |line| {
        line.dryer = Some(Dryer {
            h_top: NO_H,
            ..Dryer::default()
        });
    }),
    (Input::DryerHeatTransferBelow, |line| {
        line.dryer = Some(Dryer {
            h_bottom: NO_H,
            ..Dryer::default()
        });
    }),
    (Input::ResidualSolvent, |line| {
        line.dryer = Some(Dryer {
            residual_solvent: NO_SHARE,
            ..Dryer::default()
        });
    }),
    (Input::RollerDiameter, |line| {
        line.roller = Some(HeatedRoller {
            diameter: NO_LENGTH,
            ..HeatedRoller::default()
        });
    }),
    (Input::RollerContact, |line| {
        line.roller = Some(HeatedRoller {
            contact: NO_H,
            ..HeatedRoller::default()
        });
    }),
    (Input::OpenPath, |line| {
        line.surroundings.open_path = NO_LENGTH;
    }),
    (Input::OpenPathHeatTransfer, |line| {
        line.surroundings.open_path_h = NO_H;
    }),
    (Input::RelativeHumidity, |line| {
        line.surroundings.relative_humidity = NO_SHARE;
    }),
    (Input::ElectrodeWidth, |line| {
        line.plasma = Some(PlasmaStation {
            electrode_width: NO_LENGTH,
            ..PlasmaStation::default()
        });
    }),
    (Input::SaturatedEnergy, |line| {
        let saturated_energy = Some(SurfaceTension::from_n_per_m(f64::NAN));
        line.plasma = Some(PlasmaStation {
            saturated_energy,
            ..PlasmaStation::default()
        });
    }),
];

#[test]
fn one_number_that_is_none_is_refused_by_its_own_name() {
    for (input, change) in HEAD_AND_FOIL.into_iter().chain(STATIONS) {
        let mut line = worked_example();
        change(&mut line);
        assert_eq!(refuse_line(&line), InputError::NotANumber { input });
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
