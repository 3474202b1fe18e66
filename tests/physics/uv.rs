//! Ultraviolet curing: dose, depth, peak, warming, oxygen, covers, and people near the lamp (eqs 7.1, 7.2, 9.8).

use wetlane_physics::curing::{
    dose_at_bottom, exposure_dose, exposure_time, lamp_power_for_dose, warming,
};
use wetlane_physics::{
    Angle, CureKind, Dryer, ExposureDose, Foil, FoilMaterial, Fraction, Ink, Input, InputError,
    Irradiance, Length, LimitId, Line, Outcome, Resin, Setting, Severity, Span, Speed, Station,
    UvCover, UvStation, assess, assess_without_drying, cautions,
};

use crate::assert_within;
use crate::assessed::{judged, numbers, record};
use crate::sample_lines::{nanowire_line, setting, with_gas, worked_example};
use crate::support::assert_close;

#[test]
fn lamp_of_100_milliwatts_lays_down_six_tenths_of_a_joule() {
    // G1, computed by a second implementation: 100 mW/cm², 100 mm window, 1 m/min: 0.6 J/cm².
    let (lamp, window, speed) = (
        Irradiance::from_mw_per_cm2(100.0),
        Length::from_mm(100.0),
        Speed::from_m_per_min(1.0),
    );
    let dose = exposure_dose(lamp, window, speed);
    assert_close(dose.j_per_cm2(), 0.6, 1e-9, "G1, computed");
    // Identity: eq 7.1 inverted.
    let half = ExposureDose::from_j_per_cm2(0.3);
    let power = lamp_power_for_dose(half, lamp, window, speed);
    assert_close(power.ratio(), 0.5, 1e-12, "identity");
}

#[test]
fn quarter_of_the_dose_reaches_the_bottom_below_a_cover() {
    // G2, computed by a second implementation: cover 0.85, absorbance 0.5: 0.16128 J/cm².
    let bottom = dose_at_bottom(
        ExposureDose::from_j_per_cm2(0.6),
        Fraction::from_ratio(0.85),
        0.5,
    );
    assert_close(bottom.j_per_cm2(), 0.16128, 1e-3, "G2, computed");
}

#[test]
fn absorbed_dose_warms_polyester_by_37_kelvins() {
    // G6, computed by a second implementation: 0.6 J/cm² in 100 µm polyester.
    let capacity = FoilMaterial::Pet.areal_heat_capacity_j_per_m2_k(Length::from_um(100.0));
    let rise = warming(
        ExposureDose::from_j_per_cm2(0.6),
        Fraction::from_ratio(1.0),
        capacity,
    );
    assert_close(rise.k(), 36.894, 1e-3, "G6, computed");
}

#[test]
fn daily_limits_of_eye_and_skin_are_those_published() {
    // I12, published: ICNIRP (2004), 30 J/m²: 1 mW/m² of weighted light takes 8.33 h.
    let weak = exposure_time(
        Irradiance::from_w_per_m2(1e-3),
        Some(Length::from_nm(270.0)),
    );
    assert_close(weak.h(), 8.3333, 1e-4, "I12, ICNIRP (2004)");
    // I19, identity of the limit of 10 kJ/m²: 100 mW/cm² of near ultraviolet takes 10 s.
    let near = exposure_time(
        Irradiance::from_mw_per_cm2(100.0),
        Some(Length::from_nm(365.0)),
    );
    assert_close(near.s(), 10.0, 1e-9, "I19, ICNIRP (2004)");
    // A lamp of unknown wavelength is judged by the worst.
    let unknown = exposure_time(Irradiance::from_mw_per_cm2(100.0), None);
    assert_close(unknown.s(), 0.03, 1e-9, "by hand: 30/1000");
}

/// The worked example with a resin under a lamp of 100 mW/cm² at 365 nm.
fn lamp_line() -> Line {
    let line = worked_example();
    Line {
        ink: Ink {
            resin: Resin {
                dose: Some(ExposureDose::from_j_per_cm2(0.3)),
                irradiance: Some(Irradiance::from_mw_per_cm2(50.0)),
                absorbance: Some(0.1),
                cure: Some(CureKind::FreeRadical),
            },
            ..line.ink
        },
        foil: Foil {
            material: Some(FoilMaterial::Pet),
            thickness: Some(Length::from_um(100.0)),
            ..Foil::default()
        },
        uv: Some(UvStation {
            irradiance: Some(Irradiance::from_mw_per_cm2(100.0)),
            peak_irradiance: Some(Irradiance::from_mw_per_cm2(200.0)),
            window: Some(Length::from_mm(100.0)),
            wavelength: Some(Length::from_nm(365.0)),
            oxygen: Some(Fraction::from_percent(0.2)),
            cover: None,
            absorbed: Some(Fraction::from_ratio(1.0)),
            power_span: Some(Span {
                least: Fraction::from_percent(20.0),
                greatest: Fraction::from_percent(100.0),
            }),
        }),
        ..line
    }
}

fn with_lamp(line: &Line, change: impl FnOnce(&mut UvStation)) -> Line {
    let mut lamp = line.uv.expect("a lamp");
    change(&mut lamp);
    Line {
        uv: Some(lamp),
        ..*line
    }
}

fn at_power(speed: f64, percent: f64) -> Setting {
    Setting {
        uv_power: Some(Fraction::from_percent(percent)),
        ..setting(speed, 20.0, 100.0)
    }
}

#[test]
fn dose_at_the_bottom_is_held_against_the_need_of_the_resin() {
    let (value, bound, margin) = numbers(&lamp_line(), &at_power(1.0, 100.0), LimitId::UvDose);
    // By hand from G1: 0.6 J/cm² through a layer of absorbance 0.1.
    assert_close(value, 6000.0 * 10.0_f64.powf(-0.1), 1e-9, "G1, by hand");
    assert_close(bound, 3000.0, 1e-12, "data sheet");
    assert_close(margin, 1.0 - bound / value, 1e-12, "definition");
    assert_eq!(LimitId::UvDose.severity(), Severity::Hard);
    assert_eq!(LimitId::UvDose.station(), Station::Uv);
    let derived = judged(&lamp_line(), &at_power(1.0, 50.0)).derived;
    assert_close(
        derived.uv_dose_j_per_m2.expect("known"),
        3000.0,
        1e-9,
        "G1 at half power",
    );
}

#[test]
fn faster_web_and_weaker_lamp_cure_less() {
    let margin = |speed, power| numbers(&lamp_line(), &at_power(speed, power), LimitId::UvDose).2;
    let speeds = [0.3, 1.0, 2.0, 5.0].map(|speed| margin(speed, 100.0));
    let powers = [20.0, 50.0, 80.0, 100.0].map(|power| margin(1.0, power));
    assert!(
        speeds.windows(2).all(|pair| pair[1] < pair[0]),
        "{speeds:?}"
    );
    assert!(
        powers.windows(2).all(|pair| pair[1] > pair[0]),
        "{powers:?}"
    );
    assert!(
        (margin(1.0, 0.0) + 10.0).abs() < 1e-12,
        "a dark lamp cures nothing"
    );
}

#[test]
fn peak_does_not_mind_the_speed() {
    let peak = |speed, power| numbers(&lamp_line(), &at_power(speed, power), LimitId::UvPeak);
    // By hand: 200 mW/cm² at half power against 50.
    assert_close(peak(1.0, 50.0).2, 0.5, 1e-12, "by hand");
    assert_close(peak(9.0, 50.0).2, 0.5, 1e-12, "by hand");
    // The mean stands in for a peak that is not stated.
    let flat = with_lamp(&lamp_line(), |lamp| lamp.peak_irradiance = None);
    let (value, bound, _) = numbers(&flat, &at_power(1.0, 100.0), LimitId::UvPeak);
    assert_close(value / bound, 2.0, 1e-12, "by hand");
}

#[test]
fn lamp_warms_the_foil_and_adds_to_its_hottest() {
    let (value, bound, _) = numbers(&lamp_line(), &at_power(1.0, 100.0), LimitId::UvHeat);
    // G6, computed.
    assert_close(value, 36.894, 1e-3, "G6, computed");
    assert_close(bound, 20.0, 1e-12, "common practice");
    let hottest = judged(&lamp_line(), &at_power(1.0, 100.0))
        .derived
        .hottest_foil_k
        .expect("known");
    assert_within(hottest - 273.15, 22.0 + 36.894, 1e-2, "room and G6");
    assert!(numbers(&lamp_line(), &at_power(1.0, 100.0), LimitId::FoilMax).2 > 0.6);
    assert!(numbers(&lamp_line(), &at_power(0.2, 100.0), LimitId::FoilMax).2 < 0.0);
    // After a dryer it adds to the hottest of the march.
    let dried = Line {
        uv: lamp_line().uv,
        ..nanowire_line()
    };
    let run = with_gas(at_power(0.2, 50.0), 70.0);
    let dark = with_gas(at_power(0.2, 0.0), 70.0);
    let hottest = |run: &Setting| judged(&dried, run).derived.hottest_foil_k.expect("marched");
    let rise = 0.5 * 36.894 / 0.2 * 100.0 / 125.0;
    assert_close(hottest(&run) - hottest(&dark), rise, 1e-3, "G6, by hand");
}

#[test]
fn oxygen_matters_to_free_radicals_in_the_open() {
    let run = at_power(1.0, 100.0);
    let (value, bound, margin) = numbers(&lamp_line(), &run, LimitId::UvOxygen);
    // By hand: 0.2 % against 0.5 %.
    assert_close(value, 0.002, 1e-12, "as stated");
    assert_close(bound, 0.005, 1e-12, "common practice");
    assert_close(margin, 0.6, 1e-9, "by hand");
    let open = with_lamp(&lamp_line(), |lamp| lamp.oxygen = None);
    assert!(
        (numbers(&open, &run, LimitId::UvOxygen).2 + 10.0).abs() < 1e-12,
        "air"
    );
    assert!(judged(&open, &run).assumed.contains(&Input::UvOxygen));
    let covered = with_lamp(&lamp_line(), |lamp| lamp.cover = Some(UvCover::default()));
    assert!(judged(&covered, &run).limit(LimitId::UvOxygen).is_none());
    let mut cationic = lamp_line();
    cationic.ink.resin.cure = Some(CureKind::Cationic);
    assert!(judged(&cationic, &run).limit(LimitId::UvOxygen).is_none());
    let mut unsaid = lamp_line();
    unsaid.ink.resin.cure = None;
    assert!(judged(&unsaid, &run).assumed.contains(&Input::CureKind));
}

#[test]
fn cover_takes_its_share_of_dose_and_peak() {
    let run = at_power(1.0, 100.0);
    let covered = with_lamp(&lamp_line(), |lamp| {
        lamp.cover = Some(UvCover {
            material: Some(FoilMaterial::Pet),
            transmittance: Some(Fraction::from_ratio(0.85)),
        });
    });
    for id in [LimitId::UvDose, LimitId::UvPeak] {
        let share = numbers(&covered, &run, id).0 / numbers(&lamp_line(), &run, id).0;
        assert_close(share, 0.85, 1e-12, id.key());
    }
    let unknown = with_lamp(&covered, |lamp| lamp.cover = Some(UvCover::default()));
    assert_eq!(
        record(&unknown, &run, LimitId::UvDose).outcome,
        Outcome::NotEvaluated {
            missing: Input::UvTransmittance
        }
    );
}

#[test]
fn covers_that_block_the_light_are_warned_of() {
    let run = at_power(1.0, 100.0);
    let covered = |material| {
        with_lamp(&lamp_line(), |lamp| {
            lamp.cover = Some(UvCover {
                material,
                transmittance: Some(Fraction::from_ratio(0.5)),
            });
        })
    };
    let warned = |line: &Line, words: &str| {
        let texts = cautions(line, &run, &judged(line, &run));
        texts.iter().any(|text| text.contains(words))
    };
    // From memory: polyester absorbs below 310 nm, polyethylene naphthalate below 380, polyimide below 450; the lamp has 365.
    let margin = |material| {
        record(&covered(Some(material)), &run, LimitId::UvBlock)
            .margin()
            .expect("evaluated")
    };
    assert_close(
        margin(FoilMaterial::Pet),
        1.0 - 310.0 / 365.0,
        1e-12,
        "from memory",
    );
    assert!(margin(FoilMaterial::Pen) < 0.0);
    assert!(
        (margin(FoilMaterial::Aluminium) + 10.0).abs() < 1e-12,
        "opaque"
    );
    assert!(warned(
        &covered(Some(FoilMaterial::Polyimide)),
        "below 450 nm"
    ));
    assert!(warned(
        &covered(Some(FoilMaterial::Copper)),
        "lets no light"
    ));
    assert!(!warned(&covered(Some(FoilMaterial::Pet)), "stays liquid"));
    assert!(warned(
        &covered(None),
        "Whether the cover lets the light of the lamp through: not computed"
    ));
    assert_eq!(LimitId::UvBlock.severity(), Severity::Caution);
}

#[test]
fn people_near_the_lamp_are_warned_with_times_rounded_down() {
    let texts = |line: &Line, run: &Setting| cautions(line, run, &judged(line, run));
    let all = texts(&lamp_line(), &at_power(1.0, 90.0));
    // I19 at 90 %: 11.1 s.
    assert!(
        all.iter()
            .any(|text| text.contains("within 11 s") && text.contains("Interlocked shielding")),
        "{all:?}"
    );
    assert!(all.iter().all(|text| !text.contains("ozone")), "{all:?}");
    let (value, bound, margin) = numbers(&lamp_line(), &at_power(1.0, 100.0), LimitId::UvExposure);
    assert_close(value, 10.0, 1e-9, "I19");
    assert_close(bound, 28_800.0, 1e-12, "a working day");
    assert!((margin + 10.0).abs() < 1e-12);
    // A lamp of unknown or short wavelength may make ozone; an unknown power is said.
    let unknown = with_lamp(&lamp_line(), |lamp| lamp.wavelength = None);
    let all = texts(&unknown, &at_power(1.0, 100.0));
    assert!(
        all.iter().any(|text| text.contains("make ozone")),
        "{all:?}"
    );
    let all = texts(&lamp_line(), &setting(1.0, 20.0, 100.0));
    assert!(
        all.iter().any(
            |text| text.starts_with("Time to the daily limit") && text.contains("not computed")
        ),
        "{all:?}"
    );
    let dark = texts(&lamp_line(), &at_power(1.0, 0.0));
    assert!(
        dark.iter().all(|text| !text.contains("Unshielded")),
        "{dark:?}"
    );
}

#[test]
fn no_lamp_text_promises_anything() {
    let line = with_lamp(&lamp_line(), |lamp| {
        lamp.wavelength = None;
        lamp.cover = Some(UvCover::default());
    });
    for text in cautions(
        &line,
        &at_power(1.0, 100.0),
        &judged(&line, &at_power(1.0, 100.0)),
    ) {
        let words = text.to_lowercase();
        for promise in [
            "ok",
            "permitted",
            "compliant",
            "harmless",
            "allowed",
            "safe",
        ] {
            assert!(
                words
                    .split(|c: char| !c.is_alphabetic())
                    .all(|word| word != promise),
                "{text}"
            );
        }
    }
}

#[test]
fn film_of_a_line_without_dryer_flows_until_the_lamp() {
    let mut line = lamp_line();
    line.ink.angle_on_foil = Some(Angle::from_deg(20.0));
    let run = at_power(1.0, 100.0);
    let (value, _, _) = numbers(&line, &run, LimitId::EdgeRetreat);
    // E15, computed: 0.76559 mm/s at 20°, 30 mN/m and 10 mPa·s; by hand: over 0.4 m of open path at 1 m/min.
    assert_close(value, 0.76559e-3 * 24.0, 1e-3, "E15, computed");
    let without = assess_without_drying(&line, &run).expect("valid");
    assert_eq!(
        without.limit(LimitId::EdgeRetreat),
        judged(&line, &run).limit(LimitId::EdgeRetreat)
    );
}

#[test]
fn span_of_the_lamp_is_a_hard_limit_and_off_lies_within_it() {
    // By hand: 1 − 20/10.
    let low = numbers(&lamp_line(), &at_power(1.0, 10.0), LimitId::UvSpan);
    assert_close(low.2, -1.0, 1e-12, "by hand");
    assert!(
        judged(&lamp_line(), &at_power(1.0, 0.0))
            .limit(LimitId::UvSpan)
            .is_none()
    );
}

#[test]
fn missing_inputs_are_named_and_nothing_is_said_without_a_lamp() {
    let missing = |line: &Line, run: &Setting, id: LimitId| match record(line, run, id).outcome {
        Outcome::NotEvaluated { missing } => missing,
        Outcome::Evaluated { .. } => panic!("{} lacks nothing", id.key()),
    };
    let plain = setting(1.0, 20.0, 100.0);
    assert_eq!(
        missing(&lamp_line(), &plain, LimitId::UvDose),
        Input::UvPower
    );
    assert_eq!(
        missing(&lamp_line(), &plain, LimitId::FoilMax),
        Input::UvPower
    );
    let run = at_power(1.0, 100.0);
    let mut ink = lamp_line();
    ink.ink.resin = Resin::default();
    assert_eq!(missing(&ink, &run, LimitId::UvDose), Input::CureDose);
    assert_eq!(missing(&ink, &run, LimitId::UvPeak), Input::CureIrradiance);
    let lamp = with_lamp(&lamp_line(), |lamp| lamp.window = None);
    assert_eq!(missing(&lamp, &run, LimitId::UvDose), Input::UvWindow);
    let foil = Line {
        foil: Foil::default(),
        ..lamp_line()
    };
    assert_eq!(missing(&foil, &run, LimitId::UvHeat), Input::FoilMaterial);
    let without = Line {
        uv: None,
        dryer: Some(Dryer::default()),
        ..lamp_line()
    };
    let assessment = judged(&without, &with_gas(plain, 80.0));
    assert!(
        assessment
            .limits
            .iter()
            .all(|limit| limit.station != Station::Uv)
    );
    assert!(!assessment.assumed.contains(&Input::UvAbsorbed));
}

#[test]
fn verdict_rests_on_an_absorbance_that_was_assumed() {
    let mut line = lamp_line();
    line.ink.resin.absorbance = None;
    // By hand: 0.6 J/cm² is twice the need; through an absorbance of 0.5 it is 0.63 of it.
    let assessment = assess(&line, &at_power(1.0, 100.0)).expect("valid");
    assert!(
        assessment.rests_on.contains(&Input::ResinAbsorbance),
        "{:?}",
        assessment.rests_on
    );
}

/// A change of a line that makes it impossible.
type Spoil = fn(&mut UvStation);

#[test]
fn impossible_lamps_and_resins_are_refused_by_name() {
    let cases: [(Spoil, Input); 8] = [
        (
            |lamp| lamp.irradiance = Some(Irradiance::from_w_per_m2(0.0)),
            Input::UvIrradiance,
        ),
        (
            |lamp| lamp.peak_irradiance = Some(Irradiance::from_w_per_m2(f64::NAN)),
            Input::UvPeakIrradiance,
        ),
        (
            |lamp| lamp.window = Some(Length::from_m(-1.0)),
            Input::UvWindow,
        ),
        (
            |lamp| lamp.wavelength = Some(Length::from_m(0.0)),
            Input::UvWavelength,
        ),
        (
            |lamp| lamp.oxygen = Some(Fraction::from_ratio(1.5)),
            Input::UvOxygen,
        ),
        (
            |lamp| lamp.absorbed = Some(Fraction::from_ratio(-0.5)),
            Input::UvAbsorbed,
        ),
        (
            |lamp| {
                lamp.cover = Some(UvCover {
                    material: None,
                    transmittance: Some(Fraction::from_ratio(2.0)),
                });
            },
            Input::UvTransmittance,
        ),
        (
            |lamp| {
                lamp.power_span = Some(Span {
                    least: Fraction::from_ratio(0.9),
                    greatest: Fraction::from_ratio(0.1),
                });
            },
            Input::UvPowerSpan,
        ),
    ];
    for (change, input) in cases {
        let line = with_lamp(&lamp_line(), change);
        assert_eq!(
            assess(&line, &at_power(1.0, 100.0))
                .expect_err("refused")
                .input(),
            input
        );
    }
    let mut line = lamp_line();
    line.ink.resin.dose = Some(ExposureDose::from_j_per_m2(0.0));
    assert_eq!(
        assess(&line, &at_power(1.0, 100.0))
            .expect_err("refused")
            .input(),
        Input::CureDose
    );
}

#[test]
fn impossible_lamp_powers_are_refused_by_name() {
    let beyond = assess(&lamp_line(), &at_power(1.0, 150.0)).expect_err("refused");
    assert_eq!(
        beyond.to_string(),
        "Power of the UV lamp must be at most 100 %, not 150 %"
    );
    assert_eq!(
        assess(&worked_example(), &at_power(1.0, 50.0)).expect_err("refused"),
        InputError::NoStation {
            input: Input::UvPower,
            station: Station::Uv
        }
    );
}
