//! The air of the room: oxygen, spills, sparks, the time after a loss of exhaust (eqs 9.1 to 9.6b).

use proptest::prelude::*;
use wetlane_physics::room_air::{
    StoppedExhaust, Ventilation, spill_share, steady_oxygen, time_to_least_oxygen,
};
use wetlane_physics::solvent_vapor::{
    FRESH_GAS_TEMPERATURE, vapor_flow, vapor_of_liquid, vapor_share,
};
use wetlane_physics::static_electricity::{CHARGED_PERSON, PERSON, spark_energy};
use wetlane_physics::{
    Density, Dryer, Energy, Fraction, Gas, Input, LimitId, Line, Outcome, Severity, Solvent,
    Temperature, Volume, VolumeFlow, cautions,
};

use crate::assessed::{judged, margin, numbers, record};
use crate::sample_lines::{nanowire_line, setting, with_gas};
use crate::support::assert_close;

const TOLUENE: Density = Density::from_kg_per_m3(867.0);
const LEL: f64 = 0.011;
const INERT: VolumeFlow = VolumeFlow::from_m3_per_h(6.0);

fn vapor() -> VolumeFlow {
    vapor_flow(
        Solvent::Toluene,
        VolumeFlow::from_ml_per_min(2.0),
        TOLUENE,
        Fraction::from_ratio(0.0),
        FRESH_GAS_TEMPERATURE,
    )
}

/// Toluene without solids, 2 mL/min at 1 m/min and 20 µm, in a room of 60 m³ (invented).
fn toluene_in_a_room(fresh_air_m3_per_h: f64) -> Line {
    let mut line = nanowire_line();
    line.ink.solvent = Some(Solvent::Toluene);
    line.ink.density = Some(TOLUENE);
    line.ink.solids = Some(Fraction::from_ratio(0.0));
    line.dryer = line.dryer.map(|dryer| Dryer {
        fresh_gas: Some(VolumeFlow::from_m3_per_h(20.0)),
        gas_volume: Some(Volume::from_l(500.0)),
        ..dryer
    });
    line.surroundings.room_volume = Some(Volume::from_m3(60.0));
    line.surroundings.ventilation = Some(Ventilation::FreshAir(VolumeFlow::from_m3_per_h(
        fresh_air_m3_per_h,
    )));
    line.surroundings.spill = Some(Volume::from_ml(100.0));
    line
}

#[test]
fn closed_room_falls_to_19_5_per_cent_in_43_minutes() {
    // I8, computed by a second implementation.
    let time = time_to_least_oxygen(INERT, Volume::from_m3(60.0));
    assert_close(time.s() / 60.0, 43.035, 1e-3, "I8, computed");
}

#[test]
fn half_an_air_change_leaves_17_5_per_cent_and_two_leave_20() {
    // I9, I10, I20, computed by a second implementation.
    let fresh = |m3_per_h| Ventilation::FreshAir(VolumeFlow::from_m3_per_h(m3_per_h));
    assert_close(
        steady_oxygen(INERT, fresh(30.0)).percent(),
        17.458,
        1e-3,
        "I9",
    );
    assert_close(
        steady_oxygen(INERT, fresh(120.0)).percent(),
        19.952,
        1e-3,
        "I10",
    );
    let fan = Ventilation::Extract(VolumeFlow::from_m3_per_h(120.0));
    assert_close(steady_oxygen(INERT, fan).percent(), 19.902, 1e-4, "I20");
    // A fan that only takes what the inert gas brings.
    let small = Ventilation::Extract(VolumeFlow::from_m3_per_h(5.0));
    assert_close(steady_oxygen(INERT, small).percent(), 0.0, 1e-12, "eq 9.6b");
}

#[test]
fn stopped_fan_leaves_nine_seconds() {
    // I21, computed by a second implementation: 50 L, 12.4 % of the limit, 2 mL/min go on.
    let stopped = StoppedExhaust {
        gas: Volume::from_l(50.0),
        vapor: vapor(),
        // The exhaust of 20 m³/h holds fresh air and vapour.
        running_share: vapor_share(
            vapor(),
            VolumeFlow::from_m3_per_h(20.0 - vapor().m3_per_h()),
        ),
        on_the_web: Volume::from_m3(0.0),
    };
    let time = stopped.time_to(Fraction::from_ratio(0.25 * LEL));
    assert_close(time.s(), 9.1553, 1e-3, "I21, computed");
    // The film alone takes it there.
    let wet = StoppedExhaust {
        on_the_web: Volume::from_l(1.0),
        ..stopped
    };
    assert_close(
        wet.time_to(Fraction::from_ratio(0.25 * LEL)).s(),
        0.0,
        1e-12,
        "never negative",
    );
}

#[test]
fn hundred_millilitres_of_toluene_are_far_below_explosion_and_far_above_breathing() {
    // I17, I18, computed by a second implementation.
    let spilled = vapor_of_liquid(
        Solvent::Toluene,
        Volume::from_ml(100.0),
        TOLUENE,
        FRESH_GAS_TEMPERATURE,
    );
    let share = spill_share(spilled, Volume::from_m3(60.0)).ratio();
    assert_close(100.0 * share / LEL, 3.4425, 1e-3, "I17, computed");
    assert_close(1e6 * share, 378.68, 1e-3, "I18, computed");
}

#[test]
fn person_at_five_kilovolts_sparks_with_two_millijoules() {
    // I13, computed by hand: half of 150 pF times the square of 5 kV.
    assert_close(
        spark_energy(PERSON, CHARGED_PERSON).mj(),
        1.875,
        1e-9,
        "I13, by hand",
    );
    let line = toluene_in_a_room(30.0);
    let run = with_gas(setting(1.0, 20.0, 100.0), 80.0);
    let (value, bound, worse) = numbers(&line, &run, LimitId::StaticSpark);
    assert_close(value, 1.875e-3, 1e-9, "I13");
    assert_close(
        bound,
        0.2e-3,
        1e-12,
        "careful end of 0.2 to 1 mJ, from memory",
    );
    assert!(worse < 0.0);
    let mut stated = line;
    stated.ink.ignition_energy = Some(Energy::from_mj(5.0));
    assert!(margin(&stated, &run, LimitId::StaticSpark) > 0.0);
}

#[test]
fn room_is_judged_by_what_it_gets_and_holds() {
    let line = toluene_in_a_room(30.0);
    let run = with_gas(setting(1.0, 20.0, 100.0), 80.0);
    // I17 is of a limit of 1.1 %; the one held is 1.0 %.
    let (share, bound, _) = numbers(&line, &run, LimitId::Spill);
    assert_close(share, 1.1 * 0.034_425, 0.01, "I17, computed");
    assert_close(bound, 0.25, 1e-12, "a quarter of the limit");
    // I5 with a mixing factor of ten: 13632 m³/h against 30.
    let (needed, there, _) = numbers(&line, &run, LimitId::Breathing);
    assert_close(3600.0 * needed, 13_632.0, 2e-3, "I5, ten times");
    assert_close(3600.0 * there, 30.0, 1e-9, "as stated");
    let record = record(&line, &run, LimitId::Breathing);
    assert_eq!(record.severity, Severity::Caution);
}

#[test]
fn loss_of_exhaust_counts_the_ink_on_the_web_and_the_hot_gas() {
    let line = toluene_in_a_room(30.0);
    let run = with_gas(setting(1.0, 20.0, 100.0), 80.0);
    let (seconds, ..) = numbers(&line, &run, LimitId::LelLoss);
    // By hand, from I21: 500 L of gas at 80 °C are 416.5 L at 21 °C; web of 1.6 m (open path and dryer) holds 96 s of vapour.
    let feed = vapor().m3_per_s();
    let limit = 0.25 * 0.01 * (1.0 - 55.0 / 875.0);
    let running = feed / (feed + 20.0 / 3600.0);
    let by_hand = ((limit - running) * 0.5 * 294.15 / 353.15 - feed * 96.0) / feed;
    assert_close(seconds, by_hand.max(0.0), 1e-6, "by hand from I21");
    let slow_fan = line.dryer.map(|dryer| Dryer {
        gas_volume: Some(Volume::from_m3(5.0)),
        ..dryer
    });
    let large = Line {
        dryer: slow_fan,
        ..line
    };
    assert!(numbers(&large, &run, LimitId::LelLoss).0 > seconds);
}

#[test]
fn unknown_room_is_said_rather_than_passed_over() {
    let mut line = toluene_in_a_room(30.0);
    line.surroundings.room_volume = None;
    line.surroundings.ventilation = None;
    line.dryer = line.dryer.map(|dryer| Dryer {
        gas_volume: None,
        gas: Gas::Nitrogen,
        ..dryer
    });
    let run = with_gas(setting(1.0, 20.0, 100.0), 80.0);
    let judged = judged(&line, &run);
    for id in [
        LimitId::Spill,
        LimitId::Breathing,
        LimitId::OxygenRoom,
        LimitId::LelLoss,
    ] {
        assert!(judged.limit(id).is_none(), "{}", id.key());
    }
    let texts = cautions(&line, &run, &judged);
    for what in [
        "Vapour of a spill",
        "Vapour after a loss of exhaust",
        "Oxygen of the room",
    ] {
        assert!(
            texts
                .iter()
                .any(|text| text.contains(what) && text.contains("not computed")),
            "{what}: {texts:?}"
        );
    }
}

#[test]
fn nitrogen_dryer_is_judged_by_the_air_of_its_room() {
    let mut line = toluene_in_a_room(30.0);
    line.dryer = line.dryer.map(|dryer| Dryer {
        gas: Gas::Nitrogen,
        fresh_gas: Some(INERT),
        ..dryer
    });
    let run = with_gas(setting(1.0, 20.0, 100.0), 80.0);
    let (oxygen, bound, worse) = numbers(&line, &run, LimitId::OxygenRoom);
    assert_close(100.0 * oxygen, 17.458, 1e-3, "I9");
    assert_close(100.0 * bound, 19.5, 1e-9, "29 CFR 1910.146");
    // By hand: (17.458 − 19.5)/(20.95 − 19.5).
    assert_close(worse, -1.4082, 1e-3, "by hand");
    let texts = cautions(&line, &run, &judged(&line, &run));
    assert!(
        texts
            .iter()
            .any(|text| text.contains("17 % oxygen") && text.contains("43 min")),
        "{texts:?}"
    );
    let mut half = line;
    half.surroundings.ventilation = None;
    assert_eq!(
        record(&half, &run, LimitId::OxygenRoom).outcome,
        Outcome::NotEvaluated {
            missing: Input::Ventilation
        }
    );
}

proptest! {
    #[test]
    fn more_fresh_air_never_lowers_the_oxygen(
        inert in 0.0..50.0_f64, air in 0.0..500.0_f64, more in 0.0..500.0_f64,
    ) {
        let q = VolumeFlow::from_m3_per_h(inert);
        let of = |air| steady_oxygen(q, Ventilation::FreshAir(VolumeFlow::from_m3_per_h(air)));
        let fan = steady_oxygen(q, Ventilation::Extract(VolumeFlow::from_m3_per_h(air)));
        prop_assert!(of(air + more) >= of(air));
        // A fan of the same flow brings in less fresh air.
        prop_assert!(fan.ratio() <= of(air).ratio() + 1e-15);
        prop_assert!((0.0..=0.2095).contains(&of(air).ratio()));
    }

    #[test]
    fn hotter_dryer_leaves_no_more_time(deg_c in 30.0..140.0_f64, hotter in 0.0..40.0_f64) {
        let mut line = toluene_in_a_room(30.0);
        line.dryer = line.dryer.map(|dryer| Dryer {
            gas_volume: Some(Volume::from_m3(3.0)),
            ..dryer
        });
        let time = |deg_c| numbers(
            &line,
            &with_gas(setting(1.0, 20.0, 100.0), deg_c),
            LimitId::LelLoss,
        ).0;
        prop_assert!(time(deg_c + hotter) <= time(deg_c) + 1e-9);
        prop_assert!(Temperature::from_deg_c(deg_c).is_finite());
    }
}
