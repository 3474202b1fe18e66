//! Margins of many settings against those of single ones, line by line and limit by limit.

use wetlane_physics::batch::{BatchError, Columns, MarginColumn};
use wetlane_physics::{
    Basis, Calibration, Carreau, DrySpeedTable, Input, InputError, Length, LimitId, LimitRecord,
    Line, PlasmaStation, Power, Prepared, Pump, Rheology, Setting, Severity, Span, Speed,
    SurfaceTension, TableRange, Temperature, Viscosity, Volume, VolumeFlow,
};

use crate::assert_within;
use crate::sample_lines::{
    gravure_line, knife_line, nanowire_line, setting, slurry_line, transport_layer_line, with_die,
    with_gas, with_roller, with_vacuum_box, worked_example,
};

/// More than two blocks of 64, and not a multiple.
const N: usize = 150;
/// Two makes of exponential differ in the last digit or two; a margin passes on what the difference of two thicknesses
/// leaves of that.
const AGREEMENT: f64 = 1e-12;

/// Numbers evenly spread between two ends by ratios (multiples of the golden section).
fn column(least: f64, greatest: f64, stride: u32) -> Vec<f64> {
    (0..u32::try_from(N).expect("few"))
        .map(|i| {
            let share = (0.618_033_988_75 * f64::from(stride * i + 1)).fract();
            least * (greatest / least).powf(share)
        })
        .collect()
}

fn prepared(line: &Line) -> Prepared {
    let mut calibration = Calibration::default();
    for (limit, factor) in [
        (LimitId::BeadHold, 1.3),
        (LimitId::WettingFailure, 0.9),
        (LimitId::LipWetting, 0.8),
        (LimitId::DryAtExit, 1.1),
    ] {
        calibration.set(limit, factor).expect("valid factor");
    }
    let basis = Basis {
        calibration,
        ..Basis::default()
    };
    Prepared::new(line, &basis).expect("valid line")
}

fn setting_at(columns: &Columns<'_>, i: usize) -> Setting {
    columns
        .varied
        .iter()
        .fold(columns.base, |setting, (knob, numbers)| {
            setting.with_knob(*knob, numbers[i]).expect("a knob")
        })
}

/// Binding limits and the margins of all hard and soft limits are those of one assessment a setting.
fn assert_same_as_one_by_one(prepared: &Prepared, columns: &Columns<'_>, what: &str) {
    let (mut limits, mut margins) = (vec![LimitId::LowFlow; N], vec![0.0; N]);
    prepared
        .binding_of_many(columns, None, &mut limits, &mut margins)
        .expect("valid columns");
    let assessed = |i: usize| {
        let found = prepared.assess_without_drying(&setting_at(columns, i));
        found.expect("valid setting")
    };
    for i in 0..N {
        let binding = prepared
            .binding_without_drying(&setting_at(columns, i))
            .expect("valid setting")
            .expect("all essential inputs are there");
        assert_within(margins[i], binding.1, AGREEMENT, what);
        // Where two limits are as near as the margins agree, either may bind.
        let named = assessed(i).limit(limits[i]).and_then(LimitRecord::margin);
        assert_within(named.expect("evaluated"), binding.1, AGREEMENT, what);
    }
    for limit in assessed(0).limits {
        let is_told = matches!(limit.severity, Severity::Hard | Severity::Soft);
        let mut alone = vec![0.0; N];
        let wanted = &mut [MarginColumn {
            limit: limit.id,
            margins: &mut alone,
        }];
        let found = prepared.margins_of_many(columns, None, wanted);
        if !is_told || limit.margin().is_none() {
            assert_eq!(found, Err(BatchError::NotJudged { limit: limit.id }));
            continue;
        }
        found.expect("the limit is judged");
        for (i, margin) in alone.into_iter().enumerate() {
            let expected = assessed(i).limit(limit.id).and_then(LimitRecord::margin);
            let label = format!("{what}: {}", limit.id.label());
            assert_within(margin, expected.expect("evaluated"), AGREEMENT, &label);
        }
    }
}

/// A line with every limit that a slot die can have.
fn full_line() -> Line {
    let mut line = with_die(&with_vacuum_box(&nanowire_line()), |die| {
        die.feed_slot_height = Some(Length::from_um(150.0));
        die.upstream_gap_ratio = Some(1.2);
        die.gap_span = Some(Span {
            least: Length::from_um(50.0),
            greatest: Length::from_um(250.0),
        });
    });
    line.pump = Some(Pump {
        flow_span: Some(Span {
            least: VolumeFlow::from_ml_per_min(0.2),
            greatest: VolumeFlow::from_ml_per_min(10.0),
        }),
        syringe_volume: Some(Volume::from_ml(20.0)),
        ..Pump::default()
    });
    line.foil.roll_length = Some(Length::from_m(60.0));
    line.speed_span = Some(Span {
        least: Speed::from_m_per_min(0.1),
        greatest: Speed::from_m_per_min(5.0),
    });
    line
}

fn base() -> Setting {
    Setting {
        foil_needed: Some(Length::from_m(8.0)),
        ..with_gas(setting(1.0, 20.0, 100.0), 90.0)
    }
}

#[test]
fn window_and_spans_are_those_of_single_settings() {
    let (speeds, flows, gaps, vacuums) = (
        column(0.1 / 60.0, 8.0 / 60.0, 1),
        column(2e-9, 3e-7, 7),
        column(30e-6, 400e-6, 31),
        column(1.0, 2000.0, 11),
    );
    let varied: [(Input, &[f64]); 4] = [
        (Input::Speed, &speeds),
        (Input::Flow, &flows),
        (Input::Gap, &gaps),
        (Input::Vacuum, &vacuums),
    ];
    let columns = Columns {
        base: base(),
        varied: &varied,
    };
    assert_same_as_one_by_one(&prepared(&full_line()), &columns, "all columns");
    for n in 1..varied.len() {
        let columns = Columns {
            base: base(),
            varied: &varied[..n],
        };
        assert_same_as_one_by_one(&prepared(&full_line()), &columns, "some columns");
    }
}

#[test]
fn thinning_inks_are_those_of_single_settings() {
    let (speeds, gaps) = (
        column(0.05 / 60.0, 3.0 / 60.0, 1),
        column(60e-6, 800e-6, 31),
    );
    let flows: Vec<f64> = speeds.iter().map(|v| 150e-6 * 0.1 * v).collect();
    let columns = Columns {
        base: base(),
        varied: &[
            (Input::Speed, &speeds),
            (Input::Flow, &flows),
            (Input::Gap, &gaps),
        ],
    };
    assert_same_as_one_by_one(&prepared(&slurry_line()), &columns, "power law");
    let mut carreau = slurry_line();
    carreau.ink.rheology = Some(Rheology::Carreau(Carreau {
        at_rest: Viscosity::from_pa_s(5.0),
        at_high_rate: Viscosity::from_pa_s(0.05),
        time_constant_s: 0.1,
        index: 0.5,
    }));
    assert_same_as_one_by_one(&prepared(&carreau), &columns, "Carreau");
}

#[test]
fn treatment_by_plasma_is_that_of_single_settings() {
    let mut line = worked_example();
    line.ink.angle_on_foil = None;
    line.foil.surface_energy = Some(SurfaceTension::from_mn_per_m(30.0));
    line.plasma = Some(PlasmaStation {
        electrode_width: Some(Length::from_mm(100.0)),
        power_span: Some(Span {
            least: Power::from_w(5.0),
            greatest: Power::from_w(60.0),
        }),
        ..PlasmaStation::default()
    });
    let (speeds, powers) = (column(0.1 / 60.0, 5.0 / 60.0, 1), column(1.0, 80.0, 7));
    let columns = Columns {
        base: setting(1.0, 20.0, 100.0),
        varied: &[(Input::Speed, &speeds), (Input::PlasmaPower, &powers)],
    };
    assert_same_as_one_by_one(&prepared(&line), &columns, "plasma");
}

#[test]
fn any_knob_and_any_head_are_those_of_single_settings() {
    let (gases, rollers, foils) = (
        column(330.0, 460.0, 1),
        column(300.0, 440.0, 7),
        column(0.5, 40.0, 11),
    );
    let mut line = full_line();
    line.roller = transport_layer_line().roller;
    let columns = Columns {
        base: with_roller(base(), 50.0),
        varied: &[
            (Input::GasTemperature, &gases),
            (Input::RollerTemperature, &rollers),
            (Input::FoilNeeded, &foils),
        ],
    };
    assert_same_as_one_by_one(&prepared(&line), &columns, "temperatures and foil");
    let (speeds, gaps, inks) = (
        column(0.1 / 60.0, 40.0 / 60.0, 1),
        column(20e-6, 600e-6, 7),
        column(285.0, 310.0, 13),
    );
    let columns = Columns {
        base: with_roller(base(), 50.0),
        varied: &[(Input::InkTemperature, &inks), (Input::Speed, &speeds)],
    };
    assert_same_as_one_by_one(&prepared(&line), &columns, "temperature of the ink");
    let columns = Columns {
        base: Setting::default(),
        varied: &[(Input::Speed, &speeds), (Input::Gap, &gaps)],
    };
    assert_same_as_one_by_one(&prepared(&knife_line()), &columns, "knife");
    let columns = Columns {
        base: Setting::default(),
        varied: &[(Input::Speed, &speeds)],
    };
    assert_same_as_one_by_one(&prepared(&gravure_line()), &columns, "gravure");
}

#[test]
fn drying_is_read_from_the_table_and_marched_beyond_it() {
    let prepared = prepared(&full_line());
    let range = TableRange {
        wet_thickness: Span {
            least: Length::from_um(10.0),
            greatest: Length::from_um(30.0),
        },
        gas: Span {
            least: Temperature::from_deg_c(70.0),
            greatest: Temperature::from_deg_c(110.0),
        },
        roller: None,
        infrared: None,
    };
    let table = DrySpeedTable::new(&prepared, range).expect("smooth");
    let speeds = column(0.3 / 60.0, 5.0 / 60.0, 1);
    let wets = column(8e-6, 32e-6, 7);
    let flows: Vec<f64> = speeds.iter().zip(&wets).map(|(v, t)| 0.1 * v * t).collect();
    let gases = column(345.0, 385.0, 31);
    let columns = Columns {
        base: base(),
        varied: &[
            (Input::Speed, &speeds),
            (Input::Flow, &flows),
            (Input::GasTemperature, &gases),
        ],
    };
    let (mut limits, mut margins) = (vec![LimitId::LowFlow; N], vec![0.0; N]);
    prepared
        .binding_of_many(&columns, Some(&table), &mut limits, &mut margins)
        .expect("valid columns");
    let (mut n_read, mut n_marched) = (0, 0);
    for i in 0..N {
        let run = setting_at(&columns, i);
        let read = table.dry_speed(&run);
        n_read += usize::from(read.is_some());
        n_marched += usize::from(read.is_none());
        let dry_speed = read.unwrap_or_else(|| {
            let marched = prepared.dry_speed(&run).expect("valid setting");
            marched.expect("all inputs are there").speed()
        });
        let alone = prepared
            .binding_given_dry_speed(&run, dry_speed)
            .expect("valid setting")
            .expect("all essential inputs are there");
        assert_within(margins[i], alone.1, 1e-11, "one setting");
        assert_eq!(limits[i], alone.0);
    }
    assert!(n_read > 50 && n_marched > 10, "{n_read}, {n_marched}");
    assert!(limits.contains(&LimitId::DryAtExit) && limits.contains(&LimitId::BeadHold));
}

#[test]
fn wrong_columns_are_refused() {
    let prepared = prepared(&worked_example());
    let (mut limits, mut margins) = ([LimitId::LowFlow; 3], [0.0; 3]);
    let mut of = |base: Setting, varied: &[(Input, &[f64])]| {
        let columns = Columns { base, varied };
        prepared.binding_of_many(&columns, None, &mut limits, &mut margins)
    };
    let good = [1e-4, 2e-4, 3e-4];
    let run = setting(1.0, 20.0, 100.0);
    assert_eq!(of(run, &[(Input::Gap, &good)]), Ok(()));
    assert_eq!(
        of(run, &[(Input::Viscosity, &good)]),
        Err(BatchError::NotAKnob {
            input: Input::Viscosity
        })
    );
    assert_eq!(
        of(run, &[(Input::Gap, &good[..2])]),
        Err(BatchError::ColumnLength {
            input: Input::Gap,
            found: 2,
            wanted: 3
        })
    );
    let bad = |number: f64| [1e-4, number, 3e-4];
    assert_eq!(
        of(run, &[(Input::Gap, &bad(-1.0))]),
        Err(BatchError::Setting {
            index: 1,
            error: InputError::NotPositive {
                input: Input::Gap,
                value: -1.0
            }
        })
    );
    assert_eq!(
        of(run, &[(Input::Gap, &bad(f64::NAN))]),
        Err(BatchError::Setting {
            index: 1,
            error: InputError::NotANumber { input: Input::Gap }
        })
    );
    assert_eq!(
        of(run, &[(Input::Gap, &bad(f64::INFINITY))]),
        Err(BatchError::Setting {
            index: 1,
            error: InputError::Infinite { input: Input::Gap }
        })
    );
    assert_eq!(
        of(run, &[(Input::Vacuum, &[0.0, 0.0, 100.0])]),
        Err(BatchError::Setting {
            index: 2,
            error: InputError::NoVacuumBox
        })
    );
    let no_flow = Setting { flow: None, ..run };
    assert_eq!(
        of(no_flow, &[(Input::Gap, &good)]),
        Err(BatchError::Missing { input: Input::Flow })
    );
    let message = of(run, &[(Input::Gap, &bad(0.0))])
        .expect_err("no gap")
        .to_string();
    assert_eq!(
        message,
        "setting 2: Coating gap must be above zero, not 0 m"
    );
}

#[test]
fn places_and_settings_must_be_as_many() {
    let prepared = prepared(&worked_example());
    let gaps = [1e-4, 2e-4, 3e-4];
    let columns = Columns {
        base: setting(1.0, 20.0, 100.0),
        varied: &[(Input::Gap, &gaps)],
    };
    assert_eq!(
        prepared.binding_of_many(&columns, None, &mut [LimitId::LowFlow; 2], &mut [0.0; 3]),
        Err(BatchError::Places {
            found: 2,
            wanted: 3
        })
    );
    let (mut three, mut two) = ([0.0; 3], [0.0; 2]);
    let wanted = &mut [
        MarginColumn {
            limit: LimitId::BeadHold,
            margins: &mut three,
        },
        MarginColumn {
            limit: LimitId::Flood,
            margins: &mut two,
        },
    ];
    assert_eq!(
        prepared.margins_of_many(&columns, None, wanted),
        Err(BatchError::Places {
            found: 2,
            wanted: 3
        })
    );
    assert_eq!(prepared.margins_of_many(&columns, None, &mut []), Ok(()));
    // No settings, no margins.
    let none = Columns {
        base: setting(1.0, 20.0, 100.0),
        varied: &[(Input::Gap, &[])],
    };
    assert_eq!(
        prepared.binding_of_many(&none, None, &mut [], &mut []),
        Ok(())
    );
}

#[test]
fn nothing_is_allocated_for_ten_thousand_settings_or_one() {
    let line = nanowire_line();
    let prepared = prepared(&line);
    let n = 10_000;
    let speeds: Vec<f64> = (0..n).map(|i| 0.005 + 2e-6 * f64::from(i)).collect();
    let gaps: Vec<f64> = (0..n).map(|i| 60e-6 + 1e-8 * f64::from(i)).collect();
    let varied = [
        (Input::Speed, speeds.as_slice()),
        (Input::Gap, gaps.as_slice()),
    ];
    let columns = Columns {
        base: setting(1.0, 15.0, 100.0),
        varied: &varied,
    };
    let (mut limits, mut margins) = (vec![LimitId::LowFlow; 10_000], vec![0.0; 10_000]);
    let of_many = allocation_counter::measure(|| {
        let found = prepared.binding_of_many(&columns, None, &mut limits, &mut margins);
        assert_eq!(found, Ok(()));
    });
    assert_eq!(of_many.count_total, 0);
    let run = with_gas(setting(1.0, 15.0, 100.0), 90.0);
    let of_one = allocation_counter::measure(|| {
        assert!(prepared.assess(&run).is_ok());
    });
    assert_eq!(of_one.count_total, 0);
}
