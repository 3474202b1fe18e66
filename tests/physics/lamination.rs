//! The nip of a laminator and its bond line (eqs 7.3 to 7.8).

use proptest::prelude::*;
use wetlane_physics::lamination::{
    Nip, bond_line_temperature, lamination_dose_pa_s, unwarmed_share,
};
use wetlane_physics::probability::{Chances, InputErrors};
use wetlane_physics::{
    Adhesive, AdhesiveKind, Basis, Cause, Diffusivity, Duration, FoilMaterial, Fraction, Input,
    InputError, LaidFoil, Laminator, Length, LimitId, Line, MolarEnergy, Outcome, Prepared,
    Pressure, Sense, Setting, Severity, Span, Speed, Spread, Station, Temperature, Uncertainties,
    Verdict, Web, WebPath, WebTension, assess_nominal,
};

use crate::assessed::{judged, margin, numbers, record};
use crate::sample_lines::{nanowire_line, setting, with_gas, worked_example};
use crate::support::assert_close;

fn nip() -> Nip {
    Nip {
        load: WebTension::from_n_per_mm(2.0),
        diameters: (Length::from_mm(200.0), Length::from_mm(200.0)),
        rubber_modulus: Pressure::from_pa(5e6),
        rubber_poisson_ratio: 0.49,
    }
}

/// A hot-melt laminator behind the line of the nanowire ink, all invented.
fn laminating_line() -> Line {
    let mut line = nanowire_line();
    line.laminator = Some(Laminator {
        adhesive: Adhesive {
            kind: AdhesiveKind::HotMelt,
            softening: Some(Temperature::from_deg_c(80.0)),
            activation_energy: Some(MolarEnergy::from_kj_per_mol(60.0)),
            ..Adhesive::default()
        },
        laid: LaidFoil {
            material: Some(FoilMaterial::Pet),
            thickness: Some(Length::from_um(50.0)),
            tension: Some(WebTension::from_n_per_m(50.0)),
        },
        hot_roller: Some(Length::from_mm(200.0)),
        counter_roller: Some(Length::from_mm(200.0)),
        load_span: Some(Span {
            least: WebTension::from_n_per_mm(0.5),
            greatest: WebTension::from_n_per_mm(10.0),
        }),
        temperature_span: Some(Span {
            least: Temperature::from_deg_c(20.0),
            greatest: Temperature::from_deg_c(160.0),
        }),
        ..Laminator::default()
    });
    line.web = Some(Web::RollToRoll(WebPath::default()));
    line
}

fn change(line: &Line, change: impl FnOnce(&mut Laminator)) -> Line {
    let mut line = *line;
    change(line.laminator.as_mut().expect("a laminator"));
    line
}

fn pressed(n_per_mm: f64, deg_c: f64) -> Setting {
    Setting {
        nip_load: Some(WebTension::from_n_per_mm(n_per_mm)),
        lamination_temperature: Some(Temperature::from_deg_c(deg_c)),
        tension: Some(WebTension::from_n_per_m(100.0)),
        ..setting(1.0, 20.0, 100.0)
    }
}

#[test]
fn two_rollers_of_200_mm_touch_over_8_8_mm() {
    // G3 to G5, G7, computed by a second implementation.
    let nip = nip();
    assert_close(nip.contact_length().mm(), 8.7979, 1e-3, "G3");
    let pressure = nip.mean_pressure();
    let dwell = nip.dwell(Speed::from_m_per_min(1.0));
    assert_close(pressure.kpa(), 227.33, 1e-3, "G4");
    assert_close(dwell.s(), 0.527_87, 1e-3, "G5");
    let warm = Temperature::from_deg_c(60.0);
    let dose = lamination_dose_pa_s(
        pressure,
        dwell,
        MolarEnergy::from_kj_per_mol(0.0),
        warm,
        warm,
    );
    // The load over the speed, whatever the rubber is.
    assert_close(
        dose,
        2000.0 * 60.0,
        1e-12,
        "G7, by hand: 2 N/mm over 1 m/min",
    );
}

#[test]
fn fifty_milliseconds_warm_a_bond_line_below_50_um_of_polyester() {
    // F33, computed by a second implementation from the first term of the series.
    let share = unwarmed_share(
        Length::from_um(50.0),
        Diffusivity::from_m2_per_s(9.5e-8),
        Duration::from_s(0.05),
    );
    assert_close(
        share.ratio(),
        0.011_72,
        1e-3,
        "F33, computed from the equation",
    );
}

#[test]
fn both_series_of_the_warming_slab_agree() {
    // Carslaw & Jaeger: error functions for early times, exponentials for late ones; 400 exponential terms by hand.
    for fourier in [0.02, 0.05, 0.1, 0.2, 0.29, 0.31, 0.5, 1.0] {
        let late = std::f64::consts::PI.powi(2) / 4.0;
        let l = Length::from_um(80.0);
        let alpha = 1e-7;
        let time = Duration::from_s(fourier / late * l.m() * l.m() / alpha);
        let got = unwarmed_share(l, Diffusivity::from_m2_per_s(alpha), time).ratio();
        let sum: f64 = (0..400)
            .map(|k| {
                let n = f64::from(2 * k + 1);
                let sign = if k % 2 == 0 { 1.0 } else { -1.0 };
                sign * (-n * n * fourier).exp() / n
            })
            .sum();
        assert_close(
            got,
            4.0 / std::f64::consts::PI * sum,
            1e-9,
            "Carslaw & Jaeger",
        );
    }
}

#[test]
fn hot_melt_needs_a_bond_line_between_softening_and_what_the_foil_stands() {
    let line = laminating_line();
    let (bond, bound, good) = numbers(&line, &pressed(2.0, 95.0), LimitId::LamTemp);
    // By hand: half a second below 50 µm of polyester leaves exp(−π²·9.5e-8·0.53/(4·2.5e-9)) < 1e-21 unwarmed.
    assert_close(bond, 273.15 + 95.0, 1e-6, "by hand");
    assert_close(bound, 273.15 + 80.0, 1e-12, "softening as stated");
    assert!(good > 0.99, "15 K above the softening, {good}");
    let cold = record(&line, &pressed(2.0, 75.0), LimitId::LamTemp);
    assert_eq!(cold.severity, Severity::Hard);
    assert_eq!(cold.station, Station::Laminator);
    assert_close(
        cold.margin().expect("known"),
        -0.5,
        1e-6,
        "5 K of 10 K too cold",
    );
    assert_eq!(
        judged(&line, &pressed(2.0, 75.0)).verdict,
        Verdict::Infeasible
    );
    // Hotter than the foil stands.
    let foil = FoilMaterial::Pet.highest_temperature().deg_c();
    let hot = record(&line, &pressed(2.0, foil + 5.0), LimitId::LamTemp);
    assert_eq!(hot.sense, Sense::AtMost);
    assert_close(
        hot.margin().expect("known"),
        -0.5,
        1e-6,
        "5 K of 10 K too hot",
    );
}

#[test]
fn thick_foil_at_speed_stays_cold() {
    let line = change(&laminating_line(), |l| {
        l.laid.thickness = Some(Length::from_um(250.0));
    });
    let fast = Setting {
        speed: Some(Speed::from_m_per_min(20.0)),
        ..pressed(2.0, 95.0)
    };
    assert!(margin(&line, &pressed(2.0, 95.0), LimitId::LamTemp) > 0.0);
    assert!(margin(&line, &fast, LimitId::LamTemp) < 0.0);
}

#[test]
fn pressure_and_time_are_measured_by_what_the_adhesive_needs() {
    let line = laminating_line();
    let (pressure, needed, _) = numbers(&line, &pressed(2.0, 95.0), LimitId::LamPressure);
    assert_close(needed, 100e3, 1e-12, "common practice for hot melts");
    assert_close(pressure, 227.33e3, 1e-3, "G4");
    let (time, needed, _) = numbers(&line, &pressed(2.0, 95.0), LimitId::LamDwell);
    assert_close(needed, 0.1, 1e-12, "common practice for hot melts");
    assert_close(time, 0.527_87, 1e-3, "G5");
    let derived = judged(&line, &pressed(2.0, 95.0)).derived;
    assert_close(derived.nip_contact_m.expect("known"), 8.7979e-3, 1e-3, "G3");
    // Arrhenius by hand: 60 kJ/mol from 80 to 95 °C is 2.30 times as soft.
    let softer = (60_000.0 / 8.314_462_618 * (1.0 / 353.15 - 1.0 / 368.15_f64)).exp();
    assert_close(
        derived.lamination_dose_pa_s.expect("known"),
        120e3 * softer,
        1e-6,
        "load over speed, by hand",
    );
}

#[test]
fn pressure_sensitive_adhesive_is_judged_by_its_tack_and_not_by_heat() {
    let line = change(&laminating_line(), |l| {
        l.adhesive = Adhesive {
            kind: AdhesiveKind::PressureSensitive,
            modulus_at_1_hz: Some(Pressure::from_pa(6e5)),
            ..Adhesive::default()
        };
    });
    let run = pressed(2.0, 25.0);
    assert!(judged(&line, &run).limit(LimitId::LamTemp).is_none());
    let (_, bound, tack) = numbers(&line, &run, LimitId::LamTack);
    assert_close(bound, 3e5, 1e-12, "Dahlquist, from memory");
    assert_close(tack, -1.0, 1e-12, "twice as stiff");
    assert_close(
        judged(&line, &run)
            .derived
            .lamination_dose_pa_s
            .expect("known"),
        120e3,
        1e-9,
        "G7, load over speed",
    );
}

#[test]
fn resin_that_light_cures_asks_for_no_time_in_the_nip() {
    let line = change(&laminating_line(), |l| {
        l.adhesive = Adhesive {
            kind: AdhesiveKind::UvCured,
            ..Adhesive::default()
        };
    });
    let judged = judged(&line, &pressed(2.0, 25.0));
    assert!(judged.limit(LimitId::LamDwell).is_none());
    assert!(judged.limit(LimitId::LamTack).is_none());
    assert!(judged.limit(LimitId::LamPressure).is_some());
}

#[test]
fn unequal_stretch_curls_the_laminate() {
    // By hand: nanowire foil and laid foil are polyester of 4.8 GPa.
    let line = laminating_line();
    let thickness = line.foil.thickness.expect("stated").m();
    let web = 100.0 / (4.8e9 * thickness);
    let laid = 50.0 / (4.8e9 * 50e-6);
    let (difference, bound, _) = numbers(&line, &pressed(2.0, 95.0), LimitId::LamCurl);
    assert_close(difference, (web - laid).abs(), 1e-9, "by hand");
    assert_close(bound, 5e-4, 1e-12, "common practice");
    let tight = change(&line, |l| {
        l.laid.tension = Some(WebTension::from_n_per_m(400.0));
    });
    assert!(margin(&tight, &pressed(2.0, 95.0), LimitId::LamCurl) < 0.0);
    let mut without = line;
    without.foil.thickness = None;
    let lacking = record(&without, &pressed(2.0, 95.0), LimitId::LamCurl).outcome;
    assert_eq!(
        lacking,
        Outcome::NotEvaluated {
            missing: Input::FoilThickness
        }
    );
}

#[test]
fn laminator_has_spans_and_is_hot_to_the_touch() {
    let line = laminating_line();
    assert!(margin(&line, &pressed(12.0, 95.0), LimitId::NipLoadSpan) < 0.0);
    assert!(margin(&line, &pressed(2.0, 95.0), LimitId::NipLoadSpan) > 0.0);
    assert!(margin(&line, &pressed(2.0, 170.0), LimitId::LaminationSpan) < 0.0);
    let (surface, ..) = numbers(
        &line,
        &with_gas(pressed(2.0, 150.0), 80.0),
        LimitId::HotTouch,
    );
    assert_close(surface, 423.15, 1e-12, "the laminator is the hottest");
}

#[test]
fn nip_is_a_knob_of_a_laminator_alone() {
    for run in [
        Setting {
            nip_load: Some(WebTension::from_n_per_mm(1.0)),
            ..setting(1.0, 20.0, 100.0)
        },
        Setting {
            lamination_temperature: Some(Temperature::from_deg_c(90.0)),
            ..setting(1.0, 20.0, 100.0)
        },
    ] {
        assert!(matches!(
            assess_nominal(&worked_example(), &run),
            Err(InputError::NoStation {
                station: Station::Laminator,
                ..
            })
        ));
    }
    let idle = judged(&worked_example(), &setting(1.0, 20.0, 100.0));
    assert!(
        idle.limits
            .iter()
            .all(|limit| limit.station != Station::Laminator)
    );
}

proptest! {
    #[test]
    fn harder_press_never_lowers_pressure_or_time(load in 0.2..20.0_f64, more in 1.0..5.0_f64) {
        let (light, heavy) = (
            Nip { load: WebTension::from_n_per_mm(load), ..nip() },
            Nip { load: WebTension::from_n_per_mm(load * more), ..nip() },
        );
        let speed = Speed::from_m_per_min(2.0);
        prop_assert!(heavy.mean_pressure() >= light.mean_pressure());
        prop_assert!(heavy.dwell(speed) >= light.dwell(speed));
        // The speed for a time gives that time back.
        let back = light.dwell(light.speed_for_dwell(Duration::from_s(0.2)));
        prop_assert!((back.s() - 0.2).abs() < 1e-12);
    }

    #[test]
    fn bond_line_warms_with_time_and_never_beyond_the_roller(
        um in 5.0..500.0_f64, ms in 0.1..2000.0_f64, longer in 1.0..10.0_f64,
    ) {
        let share = |ms: f64| unwarmed_share(
            Length::from_um(um),
            Diffusivity::from_m2_per_s(9.5e-8),
            Duration::from_s(1e-3 * ms),
        );
        let (early, late) = (share(ms).ratio(), share(ms * longer).ratio());
        prop_assert!((0.0..=1.0).contains(&early));
        prop_assert!(late <= early + 1e-12);
        let bond = bond_line_temperature(
            Temperature::from_deg_c(120.0),
            Temperature::from_deg_c(22.0),
            Fraction::from_ratio(early),
        );
        prop_assert!(bond.deg_c() <= 120.0 + 1e-9 && bond.deg_c() >= 22.0 - 1e-9);
    }
}

#[test]
fn chance_of_the_bond_line_is_that_of_the_roller_s_temperature() {
    // By hand: the bond line is as hot as the roller here, which is known to 2 K. At the softening it is a coin toss, 2 K
    // above it holds with Φ(1) = 0.8413 (Abramowitz & Stegun 1964, Table 26.1).
    let prepared = Prepared::new(&laminating_line(), &Basis::default()).expect("valid");
    let mut known = Uncertainties::none();
    known
        .set(Cause::LaminationTemperature, Spread::Absolute(2.0))
        .expect("a standard deviation");
    let errors = InputErrors::new(&prepared, &known);
    let chances = Chances::new(&errors, 4096, 1).expect("a number of draws");
    let at = |deg_c: f64| {
        let chance = chances.of(&pressed(2.0, deg_c)).expect("valid");
        let chance = chance.expect("known");
        let limits = chance.limits.iter();
        let mut of_bond = limits.filter(|limit| limit.id == LimitId::LamTemp);
        1.0 - of_bond.next().expect("judged").fails
    };
    assert_close(at(80.0), 0.5, 0.02, "at the limit");
    assert_close(at(82.0), 0.8413, 0.01, "Abramowitz & Stegun, Table 26.1");
}
