//! Infrared lamps before and in the dryer: heat on the film, on the dry web, and on a web that stops (eqs 6.1, 6.19).

use wetlane_physics::caution::CLOSING_SENTENCE;
use wetlane_physics::drying::{DryingCase, DryingFilm, DryingZone, FilmActivity, InfraredHeating};
use wetlane_physics::infrared::WebUnderLamps;
use wetlane_physics::{
    Assessment, Basis, DrySpeed, DrySpeedCache, DrySpeedTable, Duration, FoilMaterial, Fraction,
    Gas, HeatTransferCoefficient, Infrared, InfraredPlace, Input, InputError, Irradiance, Length,
    LimitId, Line, Outcome, Prepared, Pressure, Setting, Severity, Solvent, Span, Speed, Station,
    TableRange, Temperature, assess, assess_nominal, assess_with, assess_without_drying, cautions,
    dry_speed,
};

use crate::assert_within;
use crate::assessed::{margin, record};
use crate::sample_lines::{nanowire_line, setting, with_gas};
use crate::support::assert_close;

/// Stefan–Boltzmann constant [W/(m²·K⁴)] (CODATA 2018).
const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;

fn polyester(um: f64) -> f64 {
    FoilMaterial::Pet.areal_heat_capacity_j_per_m2_k(Length::from_um(um))
}

/// The nanowire line with lamps of 0.3 m that give half of their light to the web.
fn lit_line(place: InfraredPlace) -> Line {
    Line {
        infrared: Some(Infrared {
            place,
            length: Some(Length::from_m(0.3)),
            absorbed: Some(Fraction::from_ratio(0.5)),
            h: Some(HeatTransferCoefficient::from_w_per_m2_k(8.0)),
            irradiance_span: Some(Span {
                least: Irradiance::from_kw_per_m2(1.0),
                greatest: Irradiance::from_kw_per_m2(20.0),
            }),
        }),
        ..nanowire_line()
    }
}

fn with_lamps(setting: Setting, kw_per_m2: f64) -> Setting {
    Setting {
        infrared_power: Some(Irradiance::from_kw_per_m2(kw_per_m2)),
        ..setting
    }
}

fn run(kw_per_m2: f64) -> Setting {
    with_lamps(with_gas(setting(2.4, 24.0, 100.0), 70.0), kw_per_m2)
}

fn speed_of(line: &Line, setting: &Setting) -> f64 {
    dry_speed(line, setting)
        .expect("valid inputs")
        .expect("no input is missing")
        .speed()
        .m_per_s()
}

/// A zone of room air of 22 °C under lamps.
fn lit_zone(length_m: f64, h: f64, absorbed_w_per_m2: f64) -> DryingZone {
    DryingZone {
        length: Length::from_m(length_m),
        gas: Gas::Air,
        gas_temperature: Temperature::from_deg_c(22.0),
        h_top: HeatTransferCoefficient::from_w_per_m2_k(h),
        h_bottom: HeatTransferCoefficient::from_w_per_m2_k(h),
        contact: None,
        infrared: Some(InfraredHeating {
            irradiance: Irradiance::from_w_per_m2(2.0 * absorbed_w_per_m2),
            absorbed: Fraction::from_ratio(0.5),
        }),
        vapor_pressure: Pressure::from_pa(0.0),
        vapor_load_s_per_m: 0.0,
    }
}

fn ethanol_film(wet_um: f64) -> DryingFilm {
    DryingFilm {
        solvent: Solvent::Ethanol,
        solvent_kg_per_m2: wet_um * 1e-6 * 800.0 * 0.95,
        solids_kg_per_m2: wet_um * 1e-6 * 800.0 * 0.05,
        foil_heat_capacity_j_per_m2_k: polyester(100.0),
        start: Temperature::from_deg_c(22.0),
        activity: FilmActivity::Free,
    }
}

#[test]
fn dry_polyester_warms_by_31_kelvins_a_second_under_5_kilowatts_absorbed() {
    // F32, computed by a second implementation: 10 kW/m², half absorbed, 100 µm polyester: 30.745 K/s.
    let web = WebUnderLamps {
        absorbed: Irradiance::from_kw_per_m2(5.0),
        gas: Temperature::from_deg_c(22.0),
        both_sides_w_per_m2_k: 0.0,
        areal_heat_capacity_j_per_m2_k: polyester(100.0),
    };
    let after = web.after(Duration::from_s(1.0), Temperature::from_deg_c(22.0));
    assert_within(after.deg_c(), 22.0 + 30.745, 1e-3, "F32, computed");
    let time = web.time_to_reach(
        Temperature::from_deg_c(22.0 + 30.745),
        Temperature::from_deg_c(22.0),
    );
    assert_close(time.s(), 1.0, 1e-4, "F32, computed");
    // The march of a film without solvent does the same when hardly any heat is given off.
    let bare = DryingFilm {
        solvent_kg_per_m2: 0.0,
        solids_kg_per_m2: 0.0,
        ..ethanol_film(20.0)
    };
    let march =
        DryingCase::new(bare, &[lit_zone(0.1, 1e-6, 5000.0)], 0.05).march(Speed::from_m_per_s(0.1));
    assert_within(
        march.hottest.deg_c(),
        22.0 + 30.745,
        0.1,
        "F32, less what the web radiates in a second",
    );
}

#[test]
fn lamps_left_long_on_a_dry_web_are_balanced_by_air_and_by_its_own_radiation() {
    let bare = DryingFilm {
        solvent_kg_per_m2: 0.0,
        solids_kg_per_m2: 0.0,
        ..ethanol_film(20.0)
    };
    let (h, q, room) = (8.0, 3000.0, 295.15_f64);
    let march =
        DryingCase::new(bare, &[lit_zone(5.0, h, q)], 0.05).march(Speed::from_m_per_s(1e-2));
    // Heat balance by hand: the coefficients hold the part of radiation that is linear about the room, 4εσT³; the rest is
    // εσ(T⁴ − T_r⁴) less that part, on both sides, with the emissivity of 0.5 that absorbs the light.
    let t = march.hottest.k();
    let radiated = 0.5 * STEFAN_BOLTZMANN * (t.powi(4) - room.powi(4));
    let linear = 0.5 * STEFAN_BOLTZMANN * 4.0 * room.powi(3) * (t - room);
    assert_close(
        2.0 * (h * (t - room) + radiated - linear),
        q,
        1e-4,
        "heat balance",
    );
    assert!(t < room + q / (2.0 * h), "radiation cools");
}

#[test]
fn constant_rate_under_lamps_spends_their_heat_on_vapor() {
    // Energy balance: what lamps and gas give is what the vapour carries off, in quantities that the crate gives apart.
    let zone = lit_zone(1.0, 20.0, 4000.0);
    let film = zone.constant_rate_temperature(Solvent::Ethanol);
    let flux = zone.evaporation_flux_kg_per_m2_s(Solvent::Ethanol, film);
    let latent = Solvent::Ethanol.heat_of_vaporization_j_per_kg(film);
    let (t, room) = (film.k(), 295.15_f64);
    let beyond = t.powi(4) - room.powi(4) - 4.0 * room.powi(3) * (t - room);
    let heat = 4000.0 + 40.0 * (room - t) - STEFAN_BOLTZMANN * beyond;
    assert_close(flux * latent, heat, 1e-6, "energy balance");
    // By hand: the lamps alone evaporate 4000/870e3 = 4.6 g/(m²·s), several times what gas of 80 °C does (F19: 1.93).
    assert!(flux > 3e-3, "{flux}");
}

#[test]
fn lamps_hasten_drying_the_more_the_brighter_they_are() {
    for place in [InfraredPlace::BeforeDryer, InfraredPlace::InDryer] {
        let line = lit_line(place);
        let speeds: Vec<f64> = [0.0, 2.0, 5.0, 10.0, 20.0]
            .map(|q| speed_of(&line, &run(q)))
            .to_vec();
        assert!(
            speeds.windows(2).all(|pair| pair[1] >= pair[0]),
            "{place:?}: {speeds:?}"
        );
        assert!(speeds[4] > 1.3 * speeds[0], "{place:?}: {speeds:?}");
    }
}

#[test]
fn lamps_that_are_off_in_the_dryer_change_nothing() {
    let dark = nanowire_line();
    let lit = lit_line(InfraredPlace::InDryer);
    let plain = with_gas(setting(2.4, 24.0, 100.0), 70.0);
    // Two zones in place of one, and a wet film that radiates a little less than it is counted for.
    assert_close(
        speed_of(&lit, &run(0.0)),
        speed_of(&dark, &plain),
        1e-2,
        "the same dryer",
    );
    let assessment = assess_nominal(&lit, &run(0.0)).expect("valid inputs");
    assert!(assessment.limit(LimitId::InfraredSpan).is_none());
    assert!(assessment.limit(LimitId::InfraredStop).is_none());
}

#[test]
fn line_without_lamps_says_nothing_of_them() {
    let plain = with_gas(setting(2.4, 24.0, 100.0), 70.0);
    let assessment = assess_nominal(&nanowire_line(), &plain).expect("valid inputs");
    for limit in &assessment.limits {
        assert_ne!(limit.station, Station::Infrared, "{}", limit.id.key());
    }
    assert!(!assessment.assumed.contains(&Input::InfraredAbsorbed));
}

#[test]
fn lamps_longer_than_the_dryer_light_all_of_it() {
    let with_length = |m: f64| {
        let mut line = lit_line(InfraredPlace::InDryer);
        line.infrared = line.infrared.map(|lamps| Infrared {
            length: Some(Length::from_m(m)),
            ..lamps
        });
        speed_of(&line, &run(5.0))
    };
    assert_close(with_length(1.2), with_length(9.0), 1e-12, "the dryer ends");
    assert!(with_length(0.6) < with_length(1.2));
}

#[test]
fn lamps_in_the_dryer_of_a_line_without_one_stand_in_the_room() {
    let in_room = Line {
        dryer: None,
        ..lit_line(InfraredPlace::BeforeDryer)
    };
    let nominally_in_dryer = Line {
        dryer: None,
        ..lit_line(InfraredPlace::InDryer)
    };
    let run = with_lamps(setting(0.5, 10.0, 100.0), 10.0);
    assert_close(
        speed_of(&in_room, &run),
        speed_of(&nominally_in_dryer, &run),
        1e-15,
        "the same lamps",
    );
}

#[test]
fn lamps_alone_can_dry_a_film_and_are_judged_for_it() {
    let line = Line {
        dryer: None,
        ..lit_line(InfraredPlace::BeforeDryer)
    };
    let run = with_lamps(setting(0.3, 10.0, 100.0), 10.0);
    let DrySpeed::At(dry) = dry_speed(&line, &run)
        .expect("valid")
        .expect("no input is missing")
    else {
        panic!("within reach")
    };
    assert_close(
        margin(&line, &run, LimitId::DryAtExit),
        1.0 - 0.3 / dry.m_per_min(),
        1e-9,
        "definition",
    );
    assert!(
        assess_nominal(&line, &run)
            .expect("valid")
            .assumed
            .contains(&Input::ResidualSolvent)
    );
}

#[test]
fn bright_lamps_boil_a_wet_film_and_overheat_a_dry_foil() {
    let line = lit_line(InfraredPlace::BeforeDryer);
    let slow = |q| with_lamps(with_gas(setting(0.4, 24.0, 250.0), 70.0), q);
    assert!(margin(&line, &slow(0.0), LimitId::FoilMax) > 0.5);
    assert!(margin(&line, &slow(20.0), LimitId::FoilMax) < 0.0);
    // Thick ethanol ink in still air: 20 kW/m² taken up need more vapour than leaves below 5 K under the boiling point.
    let mut ethanol = line;
    ethanol.ink.solvent = Some(Solvent::Ethanol);
    let margins = [1.0, 5.0, 20.0, 40.0].map(|q| {
        let run = with_lamps(with_gas(setting(0.4, 400.0, 500.0), 70.0), q);
        margin(&ethanol, &run, LimitId::Blister)
    });
    assert!(
        margins.windows(2).all(|pair| pair[1] < pair[0]),
        "{margins:?}"
    );
    assert!(margins[0] > 0.3 && margins[3] < 0.0, "{margins:?}");
}

#[test]
fn closed_form_never_promises_a_cooler_foil_than_the_march() {
    for place in [InfraredPlace::BeforeDryer, InfraredPlace::InDryer] {
        let line = lit_line(place);
        for speed in [0.05, 0.3, 1.0, 4.0] {
            for wet in [1.0, 10.0, 60.0] {
                for q in [0.0, 1.0, 5.0, 20.0] {
                    let run = with_lamps(with_gas(setting(speed, wet, 100.0), 90.0), q);
                    let hottest =
                        |assessment: Assessment| assessment.derived.hottest_foil_k.expect("known");
                    let marched = hottest(assess_nominal(&line, &run).expect("valid"));
                    let bound = hottest(assess_without_drying(&line, &run).expect("valid"));
                    assert!(
                        marched <= bound + 1e-6,
                        "{place:?} {speed} {wet} {q}: {marched} {bound}"
                    );
                }
            }
        }
    }
}

#[test]
fn span_of_the_lamps_is_a_hard_limit() {
    let line = lit_line(InfraredPlace::BeforeDryer);
    // By hand: 1 − 25/20 and 1 − 1/2.
    assert_close(
        margin(&line, &run(25.0), LimitId::InfraredSpan),
        -0.25,
        1e-12,
        "by hand",
    );
    assert_close(
        margin(&line, &run(2.0), LimitId::InfraredSpan),
        0.5,
        1e-12,
        "by hand",
    );
    assert_eq!(LimitId::InfraredSpan.severity(), Severity::Hard);
}

#[test]
fn missing_irradiance_or_length_leaves_drying_unjudged() {
    let line = lit_line(InfraredPlace::BeforeDryer);
    let plain = with_gas(setting(2.4, 24.0, 100.0), 70.0);
    for id in [
        LimitId::InfraredSpan,
        LimitId::DryAtExit,
        LimitId::Blister,
        LimitId::FoilMax,
        LimitId::InfraredStop,
    ] {
        assert_eq!(
            record(&line, &plain, id).outcome,
            Outcome::NotEvaluated {
                missing: Input::InfraredPower
            },
            "{}",
            id.key()
        );
    }
    let mut short = line;
    short.infrared = short.infrared.map(|lamps| Infrared {
        length: None,
        ..lamps
    });
    assert_eq!(
        record(&short, &run(5.0), LimitId::DryAtExit).outcome,
        Outcome::NotEvaluated {
            missing: Input::InfraredLength
        }
    );
}

#[test]
fn polyester_that_stops_below_lamps_reaches_its_limit_in_seconds() {
    let mut line = lit_line(InfraredPlace::BeforeDryer);
    line.foil.thickness = Some(Length::from_um(100.0));
    line.dryer = None;
    // By hand from F32: 10 kW/m², half absorbed, 30.745 K/s from 22 °C to the 130 °C of polyester.
    let run = with_lamps(setting(1.0, 20.0, 100.0), 10.0);
    let stop = record(&line, &run, LimitId::InfraredStop);
    let Outcome::Evaluated { value, margin, .. } = stop.outcome else {
        panic!("evaluated")
    };
    assert_close(value, 108.0 / 30.745, 1e-4, "F32, computed");
    assert_close(margin, 1.0 - 10.0 * 30.745 / 108.0, 1e-3, "by hand");
    assert_eq!(stop.severity, Severity::Caution);
    let assessment = assess(&line, &run).expect("valid");
    let texts = cautions(&line, &run, &assessment);
    // 3.51 s, rounded down.
    assert!(
        texts
            .iter()
            .any(|text| text.contains("in 3.5 s") && text.contains("Interlock the lamps")),
        "{texts:?}"
    );
    assert_eq!(texts.last().map(String::as_str), Some(CLOSING_SENTENCE));
}

#[test]
fn flammable_solvent_below_lamps_is_warned_of() {
    let mut line = lit_line(InfraredPlace::BeforeDryer);
    let warned = |line: &Line| {
        let assessment = assess_nominal(line, &run(5.0)).expect("valid");
        cautions(line, &run(5.0), &assessment)
            .iter()
            .any(|text| text.contains("Infrared emitters") && text.contains("ignite"))
    };
    assert!(!warned(&line), "water does not burn");
    line.ink.solvent = Some(Solvent::Isopropanol);
    assert!(warned(&line));
}

#[test]
fn emitters_are_guarded_whether_lit_or_not() {
    let line = lit_line(InfraredPlace::BeforeDryer);
    for q in [0.0, 5.0] {
        let assessment = assess_nominal(&line, &run(q)).expect("valid");
        let texts = cautions(&line, &run(q), &assessment);
        assert!(
            texts
                .iter()
                .any(|text| text.starts_with("Infrared emitters burn skin")),
            "{texts:?}"
        );
    }
}

#[test]
fn metal_foil_is_taken_to_reflect_most_of_the_light() {
    let share = |material| {
        let mut line = lit_line(InfraredPlace::BeforeDryer);
        line.foil.material = Some(material);
        line.infrared = line.infrared.map(|lamps| Infrared {
            absorbed: None,
            ..lamps
        });
        let prepared = Prepared::new(&line, &Basis::default()).expect("valid line");
        let assessment = prepared.assess_nominal(&run(5.0)).expect("valid");
        let assumed = prepared
            .assumed_inputs(&assessment)
            .into_iter()
            .find(|assumed| assumed.input == Input::InfraredAbsorbed)
            .expect("assumed");
        (assumed.value, assumed.range)
    };
    // Common practice: metal foil 0.05 to 0.2, films on plastic 0.2 to 0.9.
    assert_eq!(
        share(FoilMaterial::Aluminium),
        (Some(0.1), Some((0.05, 0.2)))
    );
    assert_eq!(share(FoilMaterial::Pet), (Some(0.5), Some((0.2, 0.9))));
}

#[test]
fn verdict_rests_on_the_share_of_light_that_was_assumed() {
    let mut line = lit_line(InfraredPlace::BeforeDryer);
    line.infrared = line.infrared.map(|lamps| Infrared {
        absorbed: None,
        ..lamps
    });
    // Half of the light dries this film with little to spare; a fifth of it does not.
    let assumed_half = speed_of(
        &line,
        &with_lamps(with_gas(setting(1.0, 24.0, 100.0), 70.0), 8.0),
    );
    let run = with_lamps(
        with_gas(setting(0.97 * 60.0 * assumed_half, 24.0, 100.0), 70.0),
        8.0,
    );
    let assessment = assess(&line, &run).expect("valid");
    assert!(
        assessment.rests_on.contains(&Input::InfraredAbsorbed),
        "{:?}",
        assessment.rests_on
    );
}

#[test]
fn cached_dry_speeds_are_kept_apart_by_irradiance() {
    let (line, mut cache) = (lit_line(InfraredPlace::BeforeDryer), DrySpeedCache::new());
    for q in [0.0, 5.0, 10.0, 5.0, 0.0] {
        let cached = assess_with(&line, &run(q), &mut cache).expect("valid");
        assert_eq!(
            cached,
            assess_nominal(&line, &run(q)).expect("valid"),
            "{q}"
        );
    }
}

#[test]
fn table_of_dry_speeds_reads_between_irradiances() {
    let line = lit_line(InfraredPlace::BeforeDryer);
    let prepared = Prepared::new(&line, &Basis::default()).expect("valid line");
    let range = TableRange {
        wet_thickness: Span {
            least: Length::from_um(20.0),
            greatest: Length::from_um(28.0),
        },
        gas: Span {
            least: Temperature::from_deg_c(70.0),
            greatest: Temperature::from_deg_c(70.0),
        },
        roller: None,
        infrared: Some(Span {
            least: Irradiance::from_kw_per_m2(0.0),
            greatest: Irradiance::from_kw_per_m2(6.0),
        }),
    };
    let table = DrySpeedTable::new(&prepared, range).expect("smooth");
    for (wet, q) in [(20.0, 0.0), (23.7, 1.3), (25.1, 3.7), (27.9, 5.9)] {
        let run = with_lamps(with_gas(setting(1.0, wet, 100.0), 70.0), q);
        let read = table.dry_speed(&run).expect("within the range").m_per_s();
        assert_close(
            read,
            speed_of(&line, &run),
            wetlane_physics::dry_speed_table::STATED_ERROR,
            "the march itself",
        );
    }
    let dark = with_gas(setting(1.0, 24.0, 100.0), 70.0);
    assert!(table.dry_speed(&dark).is_none(), "irradiance is not stated");
}

fn refuse(change: impl FnOnce(&mut Infrared)) -> InputError {
    let mut line = lit_line(InfraredPlace::BeforeDryer);
    let mut lamps = line.infrared.expect("lamps");
    change(&mut lamps);
    line.infrared = Some(lamps);
    assess(&line, &run(5.0)).expect_err("refused")
}

#[test]
fn impossible_lamps_are_refused_by_name() {
    assert_eq!(
        refuse(|lamps| lamps.length = Some(Length::from_m(0.0))).input(),
        Input::InfraredLength
    );
    assert_eq!(
        refuse(|lamps| lamps.absorbed = Some(Fraction::from_ratio(1.1))),
        InputError::AboveOne {
            input: Input::InfraredAbsorbed,
            value: 1.1
        }
    );
    assert_eq!(
        refuse(|lamps| lamps.h = Some(HeatTransferCoefficient::from_w_per_m2_k(f64::NAN))),
        InputError::NotANumber {
            input: Input::InfraredHeatTransfer
        }
    );
    assert_eq!(
        refuse(|lamps| lamps.irradiance_span = Some(Span {
            least: Irradiance::from_w_per_m2(2.0),
            greatest: Irradiance::from_w_per_m2(1.0),
        }))
        .input(),
        Input::InfraredSpan
    );
}

#[test]
fn impossible_irradiances_are_refused_by_name() {
    let negative = assess(&lit_line(InfraredPlace::BeforeDryer), &run(-1.0)).expect_err("refused");
    assert_eq!(
        negative.to_string(),
        "Infrared irradiance must not be negative, but is -1000 W/m²"
    );
    let nowhere = assess(&nanowire_line(), &run(1.0)).expect_err("refused");
    assert_eq!(
        nowhere,
        InputError::NoStation {
            input: Input::InfraredPower,
            station: Station::Infrared
        }
    );
    // Off is off, also where there are none.
    assert!(assess(&nanowire_line(), &run(0.0)).is_ok());
}
