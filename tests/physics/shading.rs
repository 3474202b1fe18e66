//! Chances of many settings at once: the same as one by one, whatever the order, the line and the number of threads.

use wetlane_physics::probability::{
    CHART_DRAWS, ChanceError, Chances, DryingResponse, InputErrors, Likelihood, Shade,
};
use wetlane_physics::{
    Basis, Carreau, Cause, Length, LimitId, Line, PlasmaStation, Power, Prepared, Pressure, Pump,
    Rheology, Setting, Span, Speed, Spread, SurfaceTension, TableRange, Temperature, Uncertainties,
    Viscosity, Volume, VolumeFlow,
};

use crate::sample_lines::{
    flexo_line, gravure_line, knife_line, knife_setting, nanowire_line, setting, slurry_line,
    speed_setting, transport_layer_line, wire_bar_line, with_die, with_gas, with_roller,
    with_vacuum_box, worked_example,
};
use crate::{assert_between, assert_within};

/// Numbers evenly spread over 0 to 1 (multiples of the golden section).
fn spread(i: usize) -> f64 {
    (0.618_033_988_75 * f64::from(u32::try_from(i).expect("few"))).fract()
}

fn between(least: f64, greatest: f64, share: f64) -> f64 {
    least * (greatest / least).powf(share)
}

fn chances(line: &Line, uncertainties: &Uncertainties) -> Chances {
    let prepared = Prepared::new(line, &Basis::default()).expect("valid line");
    let errors = InputErrors::new(&prepared, uncertainties);
    Chances::new(&errors, CHART_DRAWS, 11).expect("a number of draws")
}

fn shade(
    chances: &Chances,
    settings: &[Setting],
    drying: Option<&DryingResponse>,
) -> Vec<Option<Shade>> {
    let mut shades = vec![None; settings.len()];
    chances
        .shade(settings, drying, &mut shades, || false)
        .expect("valid settings");
    shades
}

fn without_stations(line: &Line) -> Line {
    Line {
        dryer: None,
        roller: None,
        ..*line
    }
}

/// Settings all over the window of a slot die.
fn all_over(speeds: (f64, f64), wets: (f64, f64), gaps: (f64, f64)) -> Vec<Setting> {
    (1..60)
        .map(|i| {
            setting(
                between(speeds.0, speeds.1, spread(i)),
                between(wets.0, wets.1, spread(7 * i + 1)),
                between(gaps.0, gaps.1, spread(31 * i + 2)),
            )
        })
        .collect()
}

/// One by one the walk along the line decides, with exponentials of another make: a draw that lies on a limit to fifteen
/// digits may fall on either side.
fn assert_same_as_one_by_one(chances: &Chances, settings: &[Setting], what: &str) {
    let shades = shade(chances, settings, None);
    for (setting, shade) in settings.iter().zip(shades) {
        let (shade, alone) = (
            shade.expect("all essential inputs are there"),
            chances.of(setting).expect("valid setting"),
        );
        let alone = alone.expect("all essential inputs are there");
        let one_draw = 1.0 / f64::from(CHART_DRAWS);
        assert_within(shade.all_hold, alone.all_hold, one_draw, what);
        if let Some((id, share)) = shade.likeliest_failure {
            assert_within(share, alone.fails(id).expect("evaluated"), one_draw, what);
        }
        let most = alone
            .limits
            .iter()
            .filter(|limit| limit.id.severity() == wetlane_physics::Severity::Hard)
            .map(|limit| limit.fails)
            .fold(0.0, f64::max);
        let likeliest = shade.likeliest_failure.map_or(0.0, |(_, share)| share);
        assert_within(likeliest, most, one_draw, what);
    }
}

#[test]
fn shades_of_every_ink_are_those_of_single_settings() {
    let table = Uncertainties::default();
    let newtonian = without_stations(&nanowire_line());
    let thinning = without_stations(&slurry_line());
    let mut carreau = thinning;
    carreau.ink.rheology = Some(Rheology::Carreau(Carreau {
        at_rest: Viscosity::from_pa_s(5.0),
        at_high_rate: Viscosity::from_pa_s(0.05),
        time_constant_s: 0.1,
        index: 0.5,
    }));
    let thin = all_over((0.1, 10.0), (2.0, 100.0), (60.0, 300.0));
    let thick = all_over((0.05, 3.0), (40.0, 400.0), (100.0, 500.0));
    assert_same_as_one_by_one(&chances(&newtonian, &table), &thin, "Newtonian");
    assert_same_as_one_by_one(&chances(&thinning, &table), &thick, "power law");
    assert_same_as_one_by_one(&chances(&carreau, &table), &thick, "Carreau");
}

#[test]
fn shades_follow_vacuum_treatment_and_uneven_gaps() {
    let mut line = with_die(&with_vacuum_box(&worked_example()), |die| {
        die.upstream_gap_ratio = Some(0.7);
    });
    line.ink.angle_on_foil = None;
    line.foil.surface_energy = Some(SurfaceTension::from_mn_per_m(32.0));
    line.plasma = Some(PlasmaStation {
        electrode_width: Some(Length::from_mm(100.0)),
        ..PlasmaStation::default()
    });
    let settings: Vec<Setting> = all_over((0.1, 10.0), (2.0, 100.0), (30.0, 300.0))
        .into_iter()
        .enumerate()
        .map(|(i, run)| Setting {
            vacuum: Some(Pressure::from_pa(400.0 * spread(5 * i + 3))),
            plasma_power: Some(Power::from_w(if i % 3 == 0 {
                0.0
            } else {
                40.0 * spread(i)
            })),
            ..run
        })
        .collect();
    let chances = chances(&line, &Uncertainties::default());
    assert_same_as_one_by_one(&chances, &settings, "vacuum and plasma");
}

#[test]
fn shades_take_absolute_errors_and_gaps_near_their_error() {
    let mut table = Uncertainties::default();
    for (cause, spread) in [
        (Cause::Speed, Spread::Absolute(0.02 / 60.0)),
        (Cause::Flow, Spread::Absolute(2e-10)),
        (Cause::Gap, Spread::Absolute(12e-6)),
    ] {
        table.set(cause, spread).expect("valid spread");
    }
    let chances = chances(&worked_example(), &table);
    // Gaps of 15 µm stand little more than a standard deviation from zero.
    let settings = all_over((0.05, 5.0), (1.0, 60.0), (15.0, 200.0));
    assert_same_as_one_by_one(&chances, &settings, "absolute errors");
}

#[test]
fn shades_of_every_head_are_those_of_single_settings() {
    let table = Uncertainties::default();
    let knife: Vec<Setting> = (1..30)
        .map(|i| {
            knife_setting(
                between(0.1, 20.0, spread(i)),
                between(30.0, 600.0, spread(3 * i)),
            )
        })
        .collect();
    let by_speed: Vec<Setting> = (1..30)
        .map(|i| speed_setting(between(0.1, 60.0, spread(i))))
        .collect();
    for (line, settings) in [
        (knife_line(), &knife),
        (wire_bar_line(), &by_speed),
        (gravure_line(), &by_speed),
        (flexo_line(), &by_speed),
    ] {
        let chances = chances(&without_stations(&line), &table);
        assert_same_as_one_by_one(&chances, settings, line.head.kind().label());
    }
}

#[test]
fn what_is_kept_from_one_setting_to_the_next_is_right() {
    // Every knob of a line with all limits moves or goes missing in turn; each shade must be that of a fresh call.
    let mut line = with_vacuum_box(&nanowire_line());
    line.ink.angle_on_foil = None;
    line.plasma = Some(PlasmaStation {
        electrode_width: Some(Length::from_mm(100.0)),
        ..PlasmaStation::default()
    });
    line.roller = transport_layer_line().roller;
    line.pump = Some(Pump {
        syringe_volume: Some(Volume::from_ml(20.0)),
        ..Pump::default()
    });
    line.foil.roll_length = Some(Length::from_m(12.0));
    line.speed_span = Some(Span {
        least: Speed::from_m_per_min(0.5),
        greatest: Speed::from_m_per_min(4.0),
    });
    let mut run = with_roller(with_gas(setting(1.0, 20.0, 60.0), 90.0), 60.0);
    let settings: Vec<Setting> = (0..200)
        .map(|i| {
            let x = spread(13 * i + 5);
            match i % 9 {
                0 => run.speed = Some(Speed::from_m_per_min(between(0.3, 6.0, x))),
                1 => run.flow = Some(VolumeFlow::from_ml_per_min(between(0.5, 20.0, x))),
                2 => run.gap = Some(Length::from_um(between(30.0, 300.0, x))),
                3 => run.vacuum = Some(Pressure::from_pa(300.0 * x)),
                4 => run.plasma_power = (x > 0.3).then(|| Power::from_w(50.0 * x)),
                5 => run.roller_temperature = Some(Temperature::from_deg_c(30.0 + 130.0 * x)),
                6 => run.gas_temperature = Some(Temperature::from_deg_c(60.0 + 120.0 * x)),
                7 => run.foil_needed = (x > 0.4).then(|| Length::from_m(20.0 * x)),
                _ => run.ink_temperature = Some(Temperature::from_deg_c(15.0 + 20.0 * x)),
            }
            run
        })
        .collect();
    let chances = chances(&line, &Uncertainties::default());
    let together = shade(&chances, &settings, None);
    let hues: std::collections::BTreeSet<u64> = together
        .iter()
        .flatten()
        .map(|shade| shade.all_hold.to_bits())
        .collect();
    assert!(hues.len() > 20, "{} different chances", hues.len());
    for (setting, kept) in settings.iter().zip(together) {
        assert_eq!(shade(&chances, &[*setting], None), [kept]);
    }
}

#[test]
fn number_of_threads_does_not_change_a_bit() {
    let chances = chances(
        &without_stations(&nanowire_line()),
        &Uncertainties::default(),
    );
    let settings = all_over((0.1, 10.0), (2.0, 100.0), (60.0, 300.0));
    let alone = shade(&chances, &settings, None);
    for n_threads in [2, 5] {
        let mut shades = vec![None; settings.len()];
        let n = settings.len().div_ceil(n_threads);
        std::thread::scope(|scope| {
            for (settings, shades) in settings.chunks(n).zip(shades.chunks_mut(n)) {
                let chances = &chances;
                scope.spawn(move || chances.shade(settings, None, shades, || false));
            }
        });
        assert_eq!(shades, alone);
    }
}

fn drying_range(line: &Line) -> TableRange {
    TableRange {
        wet_thickness: Span {
            least: Length::from_um(6.0),
            greatest: Length::from_um(40.0),
        },
        gas: Span {
            least: Temperature::from_deg_c(60.0),
            greatest: Temperature::from_deg_c(120.0),
        },
        roller: line.roller.map(|_| Span {
            least: Temperature::from_deg_c(30.0),
            greatest: Temperature::from_deg_c(70.0),
        }),
        infrared: None,
    }
}

#[test]
fn shades_with_the_dryer_are_those_of_the_march() {
    for line in [nanowire_line(), transport_layer_line()] {
        let chances = chances(&line, &Uncertainties::default());
        let range = drying_range(&line);
        let response = DryingResponse::new(&chances, range, || false).expect("smooth");
        let settings: Vec<Setting> = (1..25)
            .map(|i| {
                let run = setting(
                    between(0.4, 4.0, spread(i)),
                    between(6.0, 40.0, spread(7 * i + 1)),
                    120.0,
                );
                let run = with_gas(run, 60.0 + 60.0 * spread(3 * i));
                match line.roller {
                    Some(_) => with_roller(run, 30.0 + 40.0 * spread(11 * i)),
                    None => run,
                }
            })
            .collect();
        let shades = shade(&chances, &settings, Some(&response));
        let mut n_decided_by_drying = 0;
        for (setting, shade) in settings.iter().zip(shades) {
            let alone = chances.of(setting).expect("valid setting");
            let alone = alone.expect("all essential inputs are there");
            let shade = shade.expect("all essential inputs are there");
            // An error of 1 % in a dry speed that is known to some 25 % moves 1.6 % of the draws across at most.
            assert_within(shade.all_hold, alone.all_hold, 0.017, "march of every draw");
            let wet = alone.fails(LimitId::DryAtExit).expect("evaluated");
            n_decided_by_drying += usize::from((0.05..0.95).contains(&wet));
        }
        assert!(n_decided_by_drying >= 4, "{n_decided_by_drying}");
    }
}

#[test]
fn chart_without_a_response_leaves_drying_out() {
    let line = nanowire_line();
    let chances = chances(&line, &Uncertainties::default());
    // Far too fast to dry, and well inside the window of the bead.
    let run = with_gas(setting(3.0, 60.0, 100.0), 60.0);
    let [Some(closed)] = shade(&chances, &[run], None)[..] else {
        panic!("all essential inputs are there");
    };
    assert_between(closed.all_hold, 0.9, 1.0, "drying is left out");
    assert_eq!(closed.likelihood(), Likelihood::of(closed.all_hold));
    let range = TableRange {
        wet_thickness: Span {
            least: Length::from_um(50.0),
            greatest: Length::from_um(70.0),
        },
        ..drying_range(&line)
    };
    let response = DryingResponse::new(&chances, range, || false).expect("smooth");
    let [Some(whole)] = shade(&chances, &[run], Some(&response))[..] else {
        panic!("all essential inputs are there");
    };
    assert_between(whole.all_hold, 0.0, 0.05, "drying decides");
    assert_eq!(
        whole.likeliest_failure.map(|(id, _)| id),
        Some(LimitId::DryAtExit)
    );
}

#[test]
fn limits_that_are_switched_off_do_not_shade() {
    let line = without_stations(&nanowire_line());
    let chances = chances(&line, &Uncertainties::default());
    let run = setting(1.0, 14.0, 250.0);
    let [Some(all)] = shade(&chances, &[run], None)[..] else {
        panic!("all essential inputs are there");
    };
    let Some((id, _)) = all.likeliest_failure else {
        panic!("a thin film in a wide gap breaks a limit");
    };
    assert_eq!(id, LimitId::BeadHold);
    let lenient = chances.ignoring(&[LimitId::BeadHold]);
    let [Some(rest)] = shade(&lenient, &[run], None)[..] else {
        panic!("all essential inputs are there");
    };
    assert!(rest.all_hold > all.all_hold);
    assert_ne!(
        rest.likeliest_failure.map(|(id, _)| id),
        Some(LimitId::BeadHold)
    );
}

#[test]
fn wrong_calls_are_refused() {
    let line = nanowire_line();
    let drawn = chances(&line, &Uncertainties::default());
    let run = with_gas(setting(1.0, 20.0, 120.0), 90.0);
    assert_eq!(
        drawn.shade(&[run; 3], None, &mut [None; 2], || false),
        Err(ChanceError::Lengths {
            n_settings: 3,
            n_shades: 2
        })
    );
    let mut asked = 0;
    let stopped = drawn.shade(&vec![run; 100], None, &mut vec![None; 100], || {
        asked += 1;
        asked > 2
    });
    assert_eq!((stopped, asked), (Err(ChanceError::Stopped), 3));
    let mut bad = run;
    bad.gap = Some(Length::from_um(-1.0));
    assert!(matches!(
        drawn.shade(&[run, bad], None, &mut [None; 2], || false),
        Err(ChanceError::Input(_))
    ));
    // Without an essential input there is no shade, and no error.
    let mut bare = run;
    bare.flow = None;
    assert_eq!(shade(&drawn, &[bare], None), [None]);
}

#[test]
fn response_is_of_its_range_and_its_draws() {
    let line = nanowire_line();
    let drawn = chances(&line, &Uncertainties::default());
    let range = TableRange {
        wet_thickness: Span {
            least: Length::from_um(20.0),
            greatest: Length::from_um(20.0),
        },
        gas: Span {
            least: Temperature::from_deg_c(90.0),
            greatest: Temperature::from_deg_c(90.0),
        },
        roller: None,
        infrared: None,
    };
    assert_eq!(
        DryingResponse::new(&drawn, range, || true).err(),
        Some(ChanceError::Stopped)
    );
    let response = DryingResponse::new(&drawn, range, || false).expect("one node");
    let run = with_gas(setting(1.0, 20.0, 120.0), 90.0);
    let outside = with_gas(setting(1.0, 25.0, 120.0), 90.0);
    let mut shades = [None];
    let within = drawn.shade(&[run], Some(&response), &mut shades, || false);
    assert_eq!((within, shades[0].is_some()), (Ok(()), true));
    assert_eq!(
        drawn.shade(&[outside], Some(&response), &mut shades, || false),
        Err(ChanceError::BeyondResponse)
    );
    let more = Chances::new(drawn.errors(), 2 * CHART_DRAWS, 11).expect("a number of draws");
    assert_eq!(
        more.shade(&[run], Some(&response), &mut shades, || false),
        Err(ChanceError::BeyondResponse)
    );
    // A line that says too little of drying has no response.
    let bare = chances(&worked_example(), &Uncertainties::default());
    assert!(matches!(
        DryingResponse::new(&bare, range, || false),
        Err(ChanceError::Table(_))
    ));
}
