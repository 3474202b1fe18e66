//! How far one may go: fastest drying and curing, gas for a speed, pump rate for a dry film, vapour in the exhaust.

use wetlane_physics::drying_answers::HOTTEST_GAS;
use wetlane_physics::{
    Basis, Density, Dryer, ExposureDose, Fraction, Irradiance, Length, LimitId, LimitRecord, Line,
    Prepared, Resin, Setting, Solvent, Sought, Span, Speed, Temperature, UvStation, VolumeFlow,
};

use crate::assert_within;
use crate::sample_lines::{nanowire_line, setting, with_gas, worked_example};
use crate::support::assert_close;

fn prepared(line: &Line) -> Prepared {
    Prepared::new(line, &Basis::default()).expect("valid line")
}

fn run(speed: f64, deg_c: f64) -> Setting {
    with_gas(setting(speed, 24.0, 100.0), deg_c)
}

fn margin(prepared: &Prepared, setting: &Setting, id: LimitId) -> f64 {
    prepared
        .assess_nominal(setting)
        .expect("valid")
        .limit(id)
        .and_then(LimitRecord::margin)
        .expect("evaluated")
}

fn speeds(least: f64, greatest: f64) -> Span<Speed> {
    Span {
        least: Speed::from_m_per_min(least),
        greatest: Speed::from_m_per_min(greatest),
    }
}

#[test]
fn fastest_web_that_dries_is_the_dry_speed_within_the_span() {
    let fastest = |span| {
        let line = Line {
            speed_span: span,
            ..nanowire_line()
        };
        prepared(&line)
            .fastest_drying_speed(&run(1.0, 70.0))
            .expect("valid")
            .expect("no input is missing")
    };
    // F44, computed by a second implementation: 1.9487 m/min.
    let Sought::At(speed) = fastest(None) else {
        panic!("within reach")
    };
    assert_close(speed.m_per_min(), 1.9487, 1e-2, "F44, computed");
    assert!(matches!(fastest(Some(speeds(0.1, 5.0))), Sought::At(_)));
    assert_eq!(
        fastest(Some(speeds(0.1, 1.0))),
        Sought::Anywhere(Speed::from_m_per_min(1.0))
    );
    let none = fastest(Some(speeds(3.0, 5.0)));
    assert_eq!(none, Sought::Nowhere(Speed::from_m_per_min(3.0)));
    assert!(!none.is_within() && fastest(None).is_within());
}

#[test]
fn margin_vanishes_at_the_fastest_web() {
    let mut basis = Basis::default();
    basis
        .calibration
        .set(LimitId::DryAtExit, 1.3)
        .expect("positive");
    for basis in [Basis::default(), basis] {
        let prepared = Prepared::new(&nanowire_line(), &basis).expect("valid line");
        let fastest = prepared
            .fastest_drying_speed(&run(1.0, 90.0))
            .expect("valid")
            .expect("known")
            .value();
        let there = run(fastest.m_per_min(), 90.0);
        assert_within(
            margin(&prepared, &there, LimitId::DryAtExit),
            0.0,
            1e-3,
            "definition",
        );
    }
}

fn with_gas_span(least: f64, greatest: f64) -> Line {
    let line = nanowire_line();
    Line {
        dryer: line.dryer.map(|dryer| Dryer {
            temperature_span: Some(Span {
                least: Temperature::from_deg_c(least),
                greatest: Temperature::from_deg_c(greatest),
            }),
            ..dryer
        }),
        ..line
    }
}

#[test]
fn gas_for_a_wanted_speed_is_found_or_said_to_be_beyond_the_span() {
    let gas = |line: &Line, speed: f64| {
        prepared(line)
            .gas_temperature_for_speed(&run(1.0, 50.0), Speed::from_m_per_min(speed))
            .expect("valid")
            .expect("no input is missing")
    };
    // F44 and F45, computed by a second implementation: 1.9487 m/min at 70 °C, 3.4402 m/min at 110 °C.
    for (speed, deg_c) in [(1.9487, 70.0), (3.4402, 110.0)] {
        let Sought::At(found) = gas(&with_gas_span(30.0, 140.0), speed) else {
            panic!("within the span")
        };
        assert_within(found.deg_c(), deg_c, 1.0, "F44, F45, computed");
    }
    assert_eq!(
        gas(&with_gas_span(30.0, 100.0), 3.4402),
        Sought::Nowhere(Temperature::from_deg_c(100.0))
    );
    assert_eq!(
        gas(&with_gas_span(90.0, 140.0), 1.9487),
        Sought::Anywhere(Temperature::from_deg_c(90.0))
    );
    // Without a span the search has an end of its own.
    assert_eq!(gas(&nanowire_line(), 90.0), Sought::Nowhere(HOTTEST_GAS));
    assert!(gas(&nanowire_line(), 3.4402).is_within());
}

#[test]
fn gas_that_was_found_dries_the_film_and_a_cooler_one_does_not() {
    let prepared = prepared(&with_gas_span(30.0, 140.0));
    for speed in [1.0, 1.5, 2.5, 3.5] {
        let gas = prepared
            .gas_temperature_for_speed(&run(1.0, 50.0), Speed::from_m_per_min(speed))
            .expect("valid")
            .expect("known")
            .value();
        // The grid of dry speeds lies within 1.5e-4 on the slow side.
        let there = margin(&prepared, &run(speed, gas.deg_c()), LimitId::DryAtExit);
        let cooler = margin(
            &prepared,
            &run(speed, gas.deg_c() - 1.0),
            LimitId::DryAtExit,
        );
        assert!(there > -2e-3 && cooler < -2e-3, "{speed}: {there} {cooler}");
    }
}

#[test]
fn faster_webs_want_hotter_gas() {
    let prepared = prepared(&with_gas_span(30.0, 200.0));
    let gases = [0.5, 1.0, 2.0, 3.0, 4.0].map(|speed| {
        prepared
            .gas_temperature_for_speed(&run(1.0, 50.0), Speed::from_m_per_min(speed))
            .expect("valid")
            .expect("known")
            .value()
            .k()
    });
    assert!(gases.windows(2).all(|pair| pair[1] >= pair[0]), "{gases:?}");
}

#[test]
fn pump_rate_for_a_dry_film_is_that_of_the_volume_balance() {
    let mut line = worked_example();
    line.ink.solids = Some(Fraction::from_ratio(0.05));
    line.ink.dry_density = Some(Density::from_kg_per_m3(1200.0));
    let prepared = prepared(&line);
    // B1 and B2: 2 mL/min on 100 mm at 1 m/min are 20 µm wet and 833.33 nm dry.
    let dry = Length::from_nm(833.333_333);
    let flow = prepared
        .flow_for_dry_thickness(&setting(1.0, 5.0, 100.0), dry)
        .expect("valid")
        .expect("known");
    assert_close(flow.ml_per_min(), 2.0, 1e-6, "B1 and B2");
    let wet = prepared.wet_thickness_for_dry(dry).expect("known");
    assert_close(wet.um(), 20.0, 1e-6, "B2");
    line.ink.solids = Some(Fraction::from_ratio(0.0));
    let solvent_alone = Prepared::new(&line, &Basis::default()).expect("valid line");
    assert!(solvent_alone.wet_thickness_for_dry(dry).is_none());
    line.ink.dry_density = None;
    let unknown = Prepared::new(&line, &Basis::default()).expect("valid line");
    assert_eq!(
        unknown.flow_for_dry_thickness(&setting(1.0, 5.0, 100.0), dry),
        Ok(None)
    );
}

fn toluene_line(fresh_m3_per_h: Option<f64>) -> Line {
    let mut line = nanowire_line();
    line.ink.solvent = Some(Solvent::Toluene);
    line.ink.density = Some(Density::from_kg_per_m3(867.0));
    line.ink.solids = Some(Fraction::from_ratio(0.0));
    line.dryer = line.dryer.map(|dryer| Dryer {
        fresh_gas: fresh_m3_per_h.map(VolumeFlow::from_m3_per_h),
        ..dryer
    });
    line
}

#[test]
fn vapor_is_told_against_a_quarter_of_the_limit() {
    // 2 mL/min on 100 mm at 1 m/min; the limit of toluene is 1.0 % at 25 °C.
    let run = with_gas(setting(1.0, 20.0, 100.0), 25.0);
    let vapor = prepared(&toluene_line(Some(20.0)))
        .exhaust_vapor(&run)
        .expect("valid")
        .expect("known");
    // I16, computed: 12.393 % of 1.1 % in an exhaust of 20 m³/h; here the vapour comes on top of the fresh gas.
    let share = 0.12393 * 1.1 * 20.0 / 20.0273;
    assert_close(vapor.of_limit.expect("known"), share, 1e-3, "I16, computed");
    assert_close(
        vapor.of_design.expect("known"),
        4.0 * share,
        1e-3,
        "I16, computed",
    );
    // I4, computed: 9.8054 m³/h for 25 % of 1.1 % in the handbook's form; ten per cent more for 1.0 %, 0.8 % for the exact
    // form.
    assert_close(
        vapor.fresh_gas_for_design.m3_per_h(),
        9.8054 * 1.1 * 1.008,
        3e-3,
        "I4, computed",
    );
    // Just that fresh gas makes a quarter of the limit.
    let exact = prepared(&toluene_line(Some(vapor.fresh_gas_for_design.m3_per_h())));
    let there = exact.exhaust_vapor(&run).expect("valid").expect("known");
    assert_close(there.of_design.expect("known"), 1.0, 1e-9, "identity");
    assert_within(
        margin(&exact, &run, LimitId::LelDryer),
        0.0,
        1e-9,
        "identity",
    );
}

#[test]
fn vapor_without_fresh_gas_still_says_how_much_it_takes() {
    let run = with_gas(setting(1.0, 20.0, 100.0), 80.0);
    let vapor = prepared(&toluene_line(None))
        .exhaust_vapor(&run)
        .expect("valid")
        .expect("known");
    assert_eq!((vapor.of_limit, vapor.of_design), (None, None));
    assert!(vapor.fresh_gas_for_design.m3_per_h() > 9.8);
    assert_eq!(
        prepared(&nanowire_line()).exhaust_vapor(&run),
        Ok(None),
        "water"
    );
}

/// A lamp of 100 mW/cm² over 100 mm and a resin that needs 0.3 J/cm².
fn lamp_line() -> Line {
    let mut line = worked_example();
    line.ink.resin = Resin {
        dose: Some(ExposureDose::from_j_per_cm2(0.3)),
        absorbance: Some(0.0),
        ..Resin::default()
    };
    line.uv = Some(UvStation {
        irradiance: Some(Irradiance::from_mw_per_cm2(100.0)),
        window: Some(Length::from_mm(100.0)),
        power_span: Some(Span {
            least: Fraction::from_percent(20.0),
            greatest: Fraction::from_percent(100.0),
        }),
        ..UvStation::default()
    });
    line
}

fn at_power(speed: f64, percent: f64) -> Setting {
    Setting {
        uv_power: Some(Fraction::from_percent(percent)),
        ..setting(speed, 20.0, 100.0)
    }
}

#[test]
fn lamp_allows_a_speed_and_a_speed_takes_a_power() {
    let prepared = prepared(&lamp_line());
    // By hand from G1: 0.6 J/cm² at 1 m/min, twice the need; at half power just the need.
    let fastest = |power| {
        prepared
            .fastest_curing_speed(&at_power(1.0, power))
            .expect("valid")
            .expect("known")
            .value()
            .m_per_min()
    };
    assert_close(fastest(100.0), 2.0, 1e-9, "G1, by hand");
    assert_close(fastest(50.0), 1.0, 1e-9, "G1, by hand");
    let power = |speed| {
        prepared
            .uv_power_for_cure(&at_power(speed, 100.0))
            .expect("valid")
            .expect("known")
    };
    let Sought::At(half) = power(1.0) else {
        panic!("within the span")
    };
    assert_close(half.percent(), 50.0, 1e-9, "G1, by hand");
    assert_eq!(power(3.0), Sought::Nowhere(Fraction::from_percent(100.0)));
    assert_eq!(power(0.1), Sought::Anywhere(Fraction::from_percent(20.0)));
    // The margin vanishes there.
    let there = at_power(fastest(100.0), 100.0);
    assert_within(
        margin(&prepared, &there, LimitId::UvDose),
        0.0,
        1e-9,
        "definition",
    );
}

#[test]
fn questions_that_lack_an_input_have_no_answer() {
    let bare = prepared(&worked_example());
    let plain = setting(1.0, 20.0, 100.0);
    assert_eq!(bare.fastest_drying_speed(&plain), Ok(None));
    assert_eq!(
        bare.gas_temperature_for_speed(&plain, Speed::from_m_per_min(1.0)),
        Ok(None)
    );
    assert_eq!(bare.exhaust_vapor(&plain), Ok(None));
    assert_eq!(bare.fastest_curing_speed(&plain), Ok(None));
    assert_eq!(bare.uv_power_for_cure(&plain), Ok(None));
    let mut nameless = nanowire_line();
    nameless.ink.solvent = None;
    assert_eq!(
        prepared(&nameless).gas_temperature_for_speed(&run(1.0, 80.0), Speed::from_m_per_min(1.0)),
        Ok(None)
    );
    assert!(
        prepared(&nanowire_line())
            .fastest_drying_speed(&run(-1.0, 80.0))
            .is_err()
    );
}
