//! Plasma dose, response, ageing, warming (eqs 5.7 to 5.11).

use wetlane_physics::plasma::{
    AGEING_TIME, HEATING_SHARE, NeededDose, PlasmaResponse, aged, plasma_dose, warming,
};
use wetlane_physics::{
    Duration, Foil, FoilMaterial, Ink, Input, Length, Line, PlasmaDose, PlasmaStation, Power,
    Setting, Speed, SurfaceTension, assess_nominal,
};

use crate::sample_lines::{setting, worked_example};
use crate::support::assert_close;

const fn polyester() -> PlasmaResponse {
    PlasmaResponse {
        untreated: SurfaceTension::from_mn_per_m(43.0),
        saturated: SurfaceTension::from_mn_per_m(58.0),
        characteristic_dose: PlasmaDose::from_w_min_per_m2(15.0),
    }
}

#[test]
fn dose_in_trade_units_is_power_over_width_and_speed() {
    // E12, identity of the definition.
    let dose = plasma_dose(
        Power::from_w(100.0),
        Length::from_mm(100.0),
        Speed::from_m_per_min(1.0),
    );
    assert_close(dose.w_min_per_m2(), 1000.0, 1e-9, "E12, definition");
    // E13, unit identity.
    assert_close(
        PlasmaDose::from_w_min_per_m2(1.0).j_per_m2(),
        60.0,
        1e-9,
        "E13, unit identity",
    );
}

#[test]
fn one_characteristic_dose_gains_63_per_cent() {
    // E16, computed by a second implementation.
    let treated = polyester().treated(PlasmaDose::from_w_min_per_m2(15.0));
    assert_close(
        treated.mn_per_m(),
        52.482,
        1e-3,
        "E16, computed from the equation",
    );
}

#[test]
fn three_days_lose_some_of_the_gain() {
    // E17, computed by a second implementation.
    let foil = polyester();
    let treated = foil.treated(foil.characteristic_dose);
    let after = aged(foil.untreated, treated, Duration::from_h(72.0), AGEING_TIME);
    assert_close(
        after.mn_per_m(),
        48.886,
        1e-3,
        "E17, computed from the equation",
    );
    let at_once = aged(foil.untreated, treated, Duration::from_s(0.0), AGEING_TIME);
    assert_close(at_once.mn_per_m(), treated.mn_per_m(), 1e-12, "identity");
}

#[test]
fn needed_dose_inverts_the_response() {
    let foil = polyester();
    let NeededDose::Dose(dose) = foil.needed_dose(SurfaceTension::from_mn_per_m(50.0)) else {
        panic!("a dose reaches 50 mN/m")
    };
    assert_close(foil.treated(dose).mn_per_m(), 50.0, 1e-12, "identity");
    assert_eq!(
        foil.needed_dose(SurfaceTension::from_mn_per_m(40.0)),
        NeededDose::None
    );
    assert_eq!(
        foil.needed_dose(SurfaceTension::from_mn_per_m(58.0)),
        NeededDose::Unreachable
    );
}

#[test]
fn foil_takes_up_half_of_the_plasma_energy() {
    // By hand, eq 5.11: 0.5 · 6000 J/m² over 100 µm · 1390 · 1170 = 18.447 K (half of the 36.894 K of 6000 J/m² fully
    // absorbed).
    let capacity = FoilMaterial::Pet.areal_heat_capacity_j_per_m2_k(Length::from_um(100.0));
    let rise = warming(PlasmaDose::from_j_per_m2(6000.0), capacity, HEATING_SHARE);
    assert_close(rise.k(), 18.447, 1e-4, "by hand");
}

/// Polyester of 43 mN/m under a plasma that lays down one characteristic dose at 1 m/min, some hours before coating.
fn treated_line(hours: Option<f64>) -> Line {
    Line {
        foil: Foil {
            material: Some(FoilMaterial::Pet),
            thickness: Some(Length::from_um(100.0)),
            surface_energy: Some(SurfaceTension::from_mn_per_m(43.0)),
            ..Foil::default()
        },
        plasma: Some(PlasmaStation {
            electrode_width: Some(Length::from_mm(100.0)),
            saturated_energy: Some(SurfaceTension::from_mn_per_m(58.0)),
            characteristic_dose: Some(PlasmaDose::from_w_min_per_m2(15.0)),
            age: hours.map(Duration::from_h),
            ..PlasmaStation::default()
        }),
        ink: Ink {
            angle_on_foil: None,
            ..worked_example().ink
        },
        ..worked_example()
    }
}

fn treated_run() -> Setting {
    Setting {
        plasma_power: Some(Power::from_w(1.5)),
        ..setting(1.0, 20.0, 100.0)
    }
}

fn energy_mn_per_m(line: &Line) -> f64 {
    1e3 * assess_nominal(line, &treated_run())
        .expect("valid")
        .derived
        .foil_energy_n_per_m
        .expect("known")
}

#[test]
fn foil_treated_days_ago_has_lost_some_of_its_gain() {
    // E16 and E17, computed by a second implementation: 52.482 mN/m fresh, 48.886 mN/m after three days.
    assert_close(
        energy_mn_per_m(&treated_line(None)),
        52.482,
        1e-3,
        "E16, computed",
    );
    assert_close(
        energy_mn_per_m(&treated_line(Some(0.0))),
        52.482,
        1e-3,
        "E16, computed",
    );
    assert_close(
        energy_mn_per_m(&treated_line(Some(72.0))),
        48.886,
        1e-3,
        "E17, computed",
    );
    let energies =
        [0.0, 1.0, 24.0, 72.0, 1000.0].map(|hours| energy_mn_per_m(&treated_line(Some(hours))));
    assert!(
        energies.windows(2).all(|pair| pair[1] < pair[0]),
        "{energies:?}"
    );
    assert!(energies[4] > 43.0, "some of it lasts");
}

#[test]
fn age_of_a_treatment_is_named_where_it_is_assumed() {
    let assumed = |line: &Line| assess_nominal(line, &treated_run()).expect("valid").assumed;
    let in_line = assumed(&treated_line(None));
    assert!(in_line.contains(&Input::PlasmaAge) && !in_line.contains(&Input::AgeingTime));
    let stored = assumed(&treated_line(Some(10.0)));
    assert!(!stored.contains(&Input::PlasmaAge) && stored.contains(&Input::AgeingTime));
    // Nothing ages that was not treated.
    let dark = Setting {
        plasma_power: Some(Power::from_w(0.0)),
        ..treated_run()
    };
    let untreated = assess_nominal(&treated_line(Some(10.0)), &dark).expect("valid");
    assert!(!untreated.assumed.contains(&Input::AgeingTime));
}

#[test]
fn impossible_ages_are_refused_by_name() {
    let negative = treated_line(Some(-1.0));
    assert_eq!(
        assess_nominal(&negative, &treated_run())
            .expect_err("refused")
            .input(),
        Input::PlasmaAge
    );
    let mut never = treated_line(None);
    never.plasma = never.plasma.map(|plasma| PlasmaStation {
        ageing_time: Some(Duration::from_s(0.0)),
        ..plasma
    });
    assert_eq!(
        assess_nominal(&never, &treated_run())
            .expect_err("refused")
            .input(),
        Input::AgeingTime
    );
}
