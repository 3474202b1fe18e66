//! The words beside a verdict that warn: numbers rounded the careful way, nothing promised, nothing passed over.

use wetlane_physics::caution::CLOSING_SENTENCE;
use wetlane_physics::{
    Dryer, Gas, Line, PlasmaStation, Power, Setting, Solvent, VolumeFlow, assess_nominal, cautions,
};

use crate::sample_lines::{nanowire_line, setting, with_gas, worked_example};

fn texts(line: &Line, setting: &Setting) -> Vec<String> {
    let assessment = assess_nominal(line, setting).expect("valid inputs");
    cautions(line, setting, &assessment)
}

fn toluene_line(fresh_gas_m3_per_h: Option<f64>) -> Line {
    let mut line = nanowire_line();
    line.ink.solvent = Some(Solvent::Toluene);
    line.dryer = line.dryer.map(|dryer| Dryer {
        fresh_gas: fresh_gas_m3_per_h.map(VolumeFlow::from_m3_per_h),
        ..dryer
    });
    line
}

#[test]
fn every_list_ends_with_the_closing_sentence() {
    for line in [worked_example(), nanowire_line(), toluene_line(None)] {
        let run = setting(1.0, 20.0, 100.0);
        let texts = texts(&line, &run);
        assert_eq!(texts.last().map(String::as_str), Some(CLOSING_SENTENCE));
        assert!(CLOSING_SENTENCE.contains("Local codes and licensed practice prevail"));
    }
}

#[test]
fn no_text_promises_anything() {
    let mut line = toluene_line(Some(200.0));
    line.plasma = Some(PlasmaStation::default());
    line.dryer = line.dryer.map(|dryer| Dryer {
        gas: Gas::Nitrogen,
        ..dryer
    });
    let run = Setting {
        plasma_power: Some(Power::from_w(10.0)),
        ..with_gas(setting(1.0, 15.0, 100.0), 80.0)
    };
    for text in texts(&line, &run) {
        let words = text.to_lowercase();
        let words: Vec<&str> = words.split(|c: char| !c.is_alphabetic()).collect();
        for promise in ["ok", "permitted", "compliant", "harmless", "allowed"] {
            assert!(!words.contains(&promise), "{text}");
        }
        assert!(!words.contains(&"safe"), "{text}");
    }
}

#[test]
fn share_of_the_explosive_limit_is_rounded_up() {
    let line = toluene_line(Some(20.0));
    let run = with_gas(setting(1.0, 15.0, 100.0), 80.0);
    let share = assess_nominal(&line, &run)
        .expect("valid")
        .derived
        .lel_share
        .expect("computed");
    let text = texts(&line, &run)
        .into_iter()
        .find(|text| text.contains("lower explosive limit"))
        .expect("said");
    let number: f64 = text
        .split_whitespace()
        .nth(4)
        .expect("a number")
        .parse()
        .expect("a number");
    assert!(number >= 100.0 * share, "{text}: {share}");
    assert!(number <= 110.0 * share, "{text}: {share}");
    assert!(text.contains("at most 25 %"));
}

#[test]
fn missing_fresh_gas_is_said_rather_than_passed_over() {
    let texts = texts(
        &toluene_line(None),
        &with_gas(setting(1.0, 15.0, 100.0), 80.0),
    );
    assert!(
        texts
            .iter()
            .any(|text| text.contains("not computed") && text.contains("Fresh gas")),
        "{texts:?}"
    );
}

#[test]
fn water_has_no_vapor_caution() {
    let texts = texts(&nanowire_line(), &with_gas(setting(1.0, 15.0, 100.0), 80.0));
    assert!(
        texts.iter().all(|text| !text.contains("explosive")),
        "{texts:?}"
    );
}

#[test]
fn ozone_of_a_small_plasma_is_told_in_grams_and_air() {
    let mut line = worked_example();
    line.plasma = Some(PlasmaStation::default());
    let run = Setting {
        plasma_power: Some(Power::from_w(100.0)),
        ..setting(1.0, 20.0, 100.0)
    };
    // By hand, I11: 0.1 kW · 50 g/kWh = 5 g/h; 25 000 m³/h.
    let texts = texts(&line, &run);
    let text = texts
        .iter()
        .find(|text| text.contains("ozone"))
        .expect("said");
    assert!(
        text.contains("5.0 g/h") && text.contains("25000 m³/h"),
        "{text}"
    );
}

#[test]
fn unknown_plasma_power_is_said() {
    let mut line = worked_example();
    line.plasma = Some(PlasmaStation::default());
    let texts = texts(&line, &setting(1.0, 20.0, 100.0));
    assert!(
        texts
            .iter()
            .any(|text| text.starts_with("Ozone of the plasma: not computed")),
        "{texts:?}"
    );
}

#[test]
fn inert_gas_warns_of_the_oxygen_in_the_room() {
    let mut line = nanowire_line();
    line.dryer = line.dryer.map(|dryer| Dryer {
        gas: Gas::Argon,
        ..dryer
    });
    let texts = texts(&line, &with_gas(setting(1.0, 15.0, 100.0), 80.0));
    assert!(
        texts.iter().any(|text| text.contains("Oxygen alarm")),
        "{texts:?}"
    );
}

#[test]
fn hot_surface_and_nip_are_named_with_their_numbers() {
    let texts = texts(
        &nanowire_line(),
        &with_gas(setting(1.23, 15.0, 100.0), 80.4),
    );
    assert!(texts.iter().any(|text| text.contains("81 °C")), "{texts:?}");
    assert!(
        texts.iter().any(|text| text.contains("1.3 m/min")),
        "{texts:?}"
    );
}

#[test]
fn toxic_solvent_is_named_as_such_with_the_lower_limit() {
    let mut line = toluene_line(Some(20.0));
    line.ink.solvent = Some(Solvent::Methylpyrrolidone);
    let texts = texts(&line, &with_gas(setting(1.0, 15.0, 100.0), 80.0));
    assert!(
        texts.iter().any(|text| text.contains("unborn child")),
        "{texts:?}"
    );
    assert!(
        texts
            .iter()
            .any(|text| text.contains("3.5 ppm") && text.contains("safety data sheet")),
        "{texts:?}"
    );
}

#[test]
fn breathing_air_is_told_for_a_badly_mixed_room() {
    let mut line = toluene_line(Some(20.0));
    line.ink.density = Some(wetlane_physics::Density::from_kg_per_m3(867.0));
    line.ink.solids = Some(wetlane_physics::Fraction::from_ratio(0.0));
    // By hand, from I5: 2 mL/min of toluene need 1363 m³/h for 20 ppm; ten times that in a badly mixed room, rounded up.
    let texts = texts(&line, &with_gas(setting(1.0, 20.0, 100.0), 80.0));
    assert!(
        texts
            .iter()
            .any(|text| text.contains("14000 m³/h of clean air")),
        "{texts:?}"
    );
}
