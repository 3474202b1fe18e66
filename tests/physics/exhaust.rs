//! Heat and vapour that leave the dryer: heater power and dew point of the exhaust (eqs 6.15, 6.16).

use wetlane_physics::{
    Dryer, Foil, FoilMaterial, Fraction, Gas, Input, InputError, Length, LimitId, Line, Outcome,
    Power, Setting, Severity, Solvent, Temperature, VolumeFlow, assess, assess_nominal,
    assess_without_drying,
};

use crate::assert_within;
use crate::sample_lines::{nanowire_line, setting, with_gas};
use crate::support::assert_close;

/// The nanowire line with a dryer of 20 m³/h fresh air and 600 W.
fn line() -> Line {
    let line = nanowire_line();
    Line {
        foil: Foil {
            material: Some(FoilMaterial::Pet),
            thickness: Some(Length::from_um(100.0)),
            ..line.foil
        },
        dryer: line.dryer.map(|dryer| Dryer {
            fresh_gas: Some(VolumeFlow::from_m3_per_h(20.0)),
            heater_power: Some(Power::from_w(600.0)),
            ..dryer
        }),
        ..line
    }
}

fn run() -> Setting {
    with_gas(setting(1.0, 20.0, 100.0), 80.0)
}

fn with_dryer(change: impl FnOnce(&mut Dryer)) -> Line {
    let mut line = line();
    let mut dryer = line.dryer.expect("a dryer");
    change(&mut dryer);
    line.dryer = Some(dryer);
    line
}

fn numbers(line: &Line, setting: &Setting, id: LimitId) -> (f64, f64, f64) {
    let assessment = assess_nominal(line, setting).expect("valid inputs");
    let limit = assessment.limit(id).expect("recorded");
    assert_eq!(limit.severity, Severity::Soft);
    match limit.outcome {
        Outcome::Evaluated {
            value,
            bound,
            margin,
        } => (value, bound, margin),
        Outcome::NotEvaluated { missing } => panic!("{} lacks {}", id.key(), missing.label()),
    }
}

#[test]
fn heaters_warm_gas_and_web_and_evaporate_the_solvent() {
    let (value, bound, margin) = numbers(&line(), &run(), LimitId::HeaterPower);
    // By hand: 20 m³/h of air of 21 °C and 1.2001 kg/m³, 1008 J/(kg·K), from 22 to 80 °C; 100 µm of polyester of 162.63
    // J/(m²·K), 100 mm wide at 1 m/min; 2 mL/min of 980 kg/m³ and 99.7 % water of 2442 kJ/kg.
    let gas = 20.0 / 3600.0 * 1.2001 * 1008.0 * 58.0;
    let web = 162.63 * 0.1 / 60.0 * 58.0;
    let latent = 2e-6 / 60.0 * 980.0 * 0.997 * 2442e3;
    assert_close(value, gas + web + latent, 1e-3, "by hand");
    assert_close(bound, 600.0, 1e-12, "as stated");
    assert_close(margin, 1.0 - value / bound, 1e-12, "definition");
    // F38, computed: 364.31 W for air of 25 °C alone; here the air is heated by 58 in place of 55 K and counted at 21 °C.
    assert_close(
        gas,
        364.31 * 58.0 / 55.0 * 298.15 / 294.15,
        5e-3,
        "F38, computed",
    );
}

#[test]
fn dew_point_of_exhaust_that_took_up_nothing_is_that_of_the_room() {
    let quiet = with_gas(setting(1e-4, 1e-3, 1.0), 80.0);
    let (dew, bound, margin) = numbers(&line(), &quiet, LimitId::Condensation);
    // Published psychrometric tables, from memory: air of 22 °C and 50 % RH has its dew point at 11.1 °C.
    assert_within(dew - 273.15, 11.1, 0.2, "psychrometric tables, from memory");
    // By hand: a duct at room temperature less 5 K.
    assert_within(bound - 273.15, 17.0, 1e-9, "by hand");
    assert_close(margin, (bound - dew) / 10.0, 1e-9, "definition");
}

#[test]
fn exhaust_carries_the_water_that_evaporates() {
    let (dew, _, _) = numbers(&line(), &run(), LimitId::Condensation);
    // By hand: 2 mL/min · 980 · 0.997/0.018015 kg/mol = 1.8079e-3 mol/s of water into 20 m³/h · 101325/(8.3145 · 294.15) =
    // 0.23016 mol/s of air that holds 1326 Pa: (0.013090 + 0.007855)/1.007855 of an atmosphere, 2105.7 Pa.
    let vapor = Solvent::Water.vapor_pressure(Temperature::from_k(dew)).pa();
    assert_close(vapor, 2105.7, 1e-3, "by hand");
}

#[test]
fn more_fresh_gas_dries_the_exhaust_and_costs_power() {
    let at = |m3_per_h: f64| {
        let line = with_dryer(|dryer| {
            dryer.fresh_gas = Some(VolumeFlow::from_m3_per_h(m3_per_h));
        });
        (
            numbers(&line, &run(), LimitId::Condensation).2,
            numbers(&line, &run(), LimitId::HeaterPower).2,
        )
    };
    let (little, plenty) = (at(5.0), at(50.0));
    assert!(
        plenty.0 > little.0 && plenty.1 < little.1,
        "{little:?} {plenty:?}"
    );
}

#[test]
fn bottled_gas_brings_no_moisture() {
    let nitrogen = with_dryer(|dryer| dryer.gas = Gas::Nitrogen);
    let dew = |line: &Line| numbers(line, &run(), LimitId::Condensation).0;
    assert!(dew(&nitrogen) < dew(&line()));
}

#[test]
fn warm_wall_stays_dry() {
    let margin = |deg_c: f64| {
        let line = with_dryer(|dryer| dryer.coolest_wall = Some(Temperature::from_deg_c(deg_c)));
        numbers(&line, &run(), LimitId::Condensation).2
    };
    assert!(margin(15.0) < 0.0 && margin(50.0) > 0.99);
    let assumed = assess_nominal(&line(), &run()).expect("valid").assumed;
    assert!(assumed.contains(&Input::CoolestWall), "{assumed:?}");
}

#[test]
fn cold_gas_takes_no_power_to_heat() {
    let cold = with_gas(setting(1.0, 20.0, 100.0), 10.0);
    let (value, _, _) = numbers(&line(), &cold, LimitId::HeaterPower);
    assert_close(value, 2e-6 / 60.0 * 980.0 * 0.997 * 2442e3, 1e-9, "by hand");
}

#[test]
fn exhaust_is_judged_alike_with_and_without_the_march() {
    let full = assess_nominal(&line(), &run()).expect("valid");
    let quick = assess_without_drying(&line(), &run()).expect("valid");
    for id in [LimitId::HeaterPower, LimitId::Condensation] {
        assert_eq!(full.limit(id), quick.limit(id), "{}", id.key());
    }
}

#[test]
fn missing_inputs_are_named() {
    let missing = |line: &Line, id: LimitId| {
        assess_nominal(line, &run())
            .expect("valid")
            .limit(id)
            .map(|limit| limit.outcome)
    };
    assert_eq!(
        missing(&nanowire_line(), LimitId::HeaterPower),
        Some(Outcome::NotEvaluated {
            missing: Input::HeaterPower
        })
    );
    assert_eq!(
        missing(&nanowire_line(), LimitId::Condensation),
        Some(Outcome::NotEvaluated {
            missing: Input::FreshGas
        })
    );
    let without_dryer = Line {
        dryer: None,
        ..line()
    };
    let quiet = assess_nominal(&without_dryer, &setting(1.0, 20.0, 100.0)).expect("valid");
    assert!(quiet.limit(LimitId::HeaterPower).is_none());
    let mut dry = line();
    dry.ink.solids = Some(Fraction::from_ratio(1.0));
    dry.dryer = dry.dryer.map(|dryer| Dryer {
        gas: Gas::Nitrogen,
        ..dryer
    });
    assert!(missing(&dry, LimitId::Condensation).is_none());
}

#[test]
fn impossible_dryers_are_refused_by_name() {
    let refused = |line: &Line| assess(line, &run()).expect_err("refused");
    assert_eq!(
        refused(&with_dryer(
            |dryer| dryer.heater_power = Some(Power::from_w(0.0))
        )),
        InputError::NotPositive {
            input: Input::HeaterPower,
            value: 0.0
        }
    );
    assert_eq!(
        refused(&with_dryer(|dryer| {
            dryer.coolest_wall = Some(Temperature::from_k(20.0));
        }))
        .input(),
        Input::CoolestWall
    );
}
