//! Flow laws, temperature, solids (eqs 1.1 to 1.21).

use wetlane_physics::dimensionless::{
    bond_number, capillary_number, dimensionless_gap, drying_peclet_number, marangoni_number,
    reynolds_number, weber_number,
};
use wetlane_physics::rheology::{
    Andrade, Carreau, INTRINSIC_VISCOSITY_OF_SPHERES, SPHERE_PACKING, film_shear_rate_per_s,
    gap_shear_rate_per_s, lip_wall_shear_rate_per_s, relative_viscosity_of_suspension,
    slot_wall_shear_rate_per_s, temperature_factor, tube_wall_shear_rate_per_s,
    web_wall_shear_rate_per_s,
};
use wetlane_physics::{
    Density, Fraction, Input, Length, LimitId, Line, MolarEnergy, Outcome, Rheology, Sense,
    Setting, ShearRate, Solvent, Span, Speed, SurfaceTension, Temperature, Viscosity, VolumeFlow,
};

use crate::assessed::judged;
use crate::sample_lines::{setting, worked_example};
use crate::support::assert_close;

const SPEED: Speed = Speed::from_m_per_min(1.0);
const SIGMA: SurfaceTension = SurfaceTension::from_mn_per_m(30.0);
const MU: Viscosity = Viscosity::from_mpa_s(10.0);
const WATER_DENSITY: Density = Density::from_kg_per_m3(1000.0);

#[test]
fn capillary_number_of_the_worked_example() {
    // A1, computed: 0.010 · (1/60) / 0.030.
    assert_close(
        capillary_number(MU, SPEED, SIGMA),
        5.5556e-3,
        1e-3,
        "A1, computed from the equation",
    );
}

#[test]
fn film_reynolds_number_of_the_worked_example() {
    // A2, computed.
    let re = reynolds_number(WATER_DENSITY, SPEED, Length::from_um(20.0), MU);
    assert_close(re, 0.033_333, 1e-3, "A2, computed from the equation");
}

#[test]
fn gap_shear_rate_of_the_worked_example() {
    // A3, computed.
    assert_close(
        gap_shear_rate_per_s(SPEED, Length::from_um(100.0)),
        166.67,
        1e-3,
        "A3, computed from the equation",
    );
}

#[test]
fn weber_number_is_reynolds_times_capillary() {
    // Identity of eqs 1.1 to 1.3.
    let t = Length::from_um(20.0);
    let product = reynolds_number(WATER_DENSITY, SPEED, t, MU) * capillary_number(MU, SPEED, SIGMA);
    assert_close(
        weber_number(WATER_DENSITY, SPEED, t, SIGMA),
        product,
        1e-14,
        "identity We = Re Ca",
    );
}

#[test]
fn gap_over_thickness_and_bond_number_follow_their_definitions() {
    // Identity; the Bond number computed by hand: 1000 · 9.80665 · 1e-8 / 0.03.
    assert_close(
        dimensionless_gap(Length::from_um(100.0), Length::from_um(20.0)),
        5.0,
        1e-14,
        "identity",
    );
    assert_close(
        bond_number(WATER_DENSITY, Length::from_um(100.0), SIGMA),
        3.268_883e-3,
        1e-6,
        "by hand",
    );
}

#[test]
fn power_law_of_half_index_falls_with_the_root_of_the_rate() {
    // A4, identity: 1 Pa·sⁿ at n = 0.5 and 100 1/s is 0.1 Pa·s.
    let ink = Rheology::PowerLaw {
        consistency: Viscosity::from_pa_s(1.0),
        index: 0.5,
    };
    assert_close(ink.viscosity_at(100.0).pa_s(), 0.1, 1e-9, "A4, closed form");
}

#[test]
fn newtonian_ink_has_one_viscosity() {
    let ink = Rheology::Newtonian { viscosity: MU };
    assert_eq!(ink.viscosity_at(1.0), ink.viscosity_at(1e4));
}

#[test]
fn carreau_law_between_its_plateaus_and_at_rest() {
    let ink = Carreau {
        at_rest: Viscosity::from_pa_s(1.0),
        at_high_rate: Viscosity::from_pa_s(0.01),
        time_constant_s: 1.0,
        index: 0.4,
    };
    // A5, computed by a second implementation.
    assert_close(
        ink.viscosity_at(100.0).pa_s(),
        0.072_463,
        1e-3,
        "A5, computed from the equation",
    );
    // A6, identity.
    assert_close(ink.viscosity_at(0.0).pa_s(), 1.0, 1e-12, "A6, closed form");
}

#[test]
fn water_viscosity_between_two_points_matches_the_published_one() {
    let point = |deg_c, mpa_s| (Temperature::from_deg_c(deg_c), Viscosity::from_mpa_s(mpa_s));
    let water =
        Andrade::through(point(20.0, 1.0016), point(30.0, 0.7972)).expect("two temperatures");
    // A7, published: reference equation of state of water, 0.8900 mPa·s at 25 °C; the fit is 0.2 % off.
    let mu = water.viscosity_at(Temperature::from_deg_c(25.0));
    assert_close(
        mu.mpa_s(),
        0.8900,
        5e-3,
        "A7, reference equation of state of water",
    );
    // A8, computed by a second implementation.
    assert_close(
        water.activation_energy_j_per_mol(),
        16_865.0,
        1e-3,
        "A8, computed from the equation",
    );
}

#[test]
fn equal_temperatures_fit_no_law() {
    let point = (Temperature::from_deg_c(20.0), MU);
    assert!(Andrade::through(point, (point.0, Viscosity::from_mpa_s(5.0))).is_none());
}

#[test]
fn surface_tension_of_water_at_20_matches_the_release() {
    // A9, published: IAPWS R1-76(2014), 72.74 mN/m at 20 °C. The table row says 72.7.
    let sigma = Solvent::Water
        .surface_tension(Temperature::from_deg_c(20.0))
        .expect("a datum");
    assert_close(sigma.mn_per_m(), 72.74, 1e-3, "A9, IAPWS R1-76(2014)");
}

#[test]
fn surface_tension_of_water_at_30_follows_the_release() {
    // Published: IAPWS R1-76(2014), σ = 0.2358 τ^1.256 (1 − 0.625 τ), τ = 1 − T/647.096 K; our line is straight.
    let tau: f64 = 1.0 - 303.15 / 647.096;
    let release = 235.8 * tau.powf(1.256) * (1.0 - 0.625 * tau);
    let sigma = Solvent::Water
        .surface_tension(Temperature::from_deg_c(30.0))
        .expect("a datum");
    assert_close(sigma.mn_per_m(), release, 2e-3, "IAPWS R1-76(2014)");
}

#[test]
fn surface_tension_of_toluene_matches_an_independent_fit() {
    // A10, published: Jasper (1972) line 30.90 − 0.1189 T; 28.52 mN/m at 20 °C by an independent reference fit.
    let at = |deg_c: f64| {
        Solvent::Toluene
            .surface_tension(Temperature::from_deg_c(deg_c))
            .expect("a datum")
            .mn_per_m()
    };
    assert_close(at(20.0), 28.52, 5e-3, "A10, independent reference fit");
    assert_close(
        at(40.0),
        30.90 - 0.1189 * 40.0,
        5e-3,
        "Jasper (1972), J. Phys. Chem. Ref. Data 1, 841",
    );
}

#[test]
fn suspension_thickens_with_its_solids() {
    // A11, computed by a second implementation.
    let relative = relative_viscosity_of_suspension(
        Fraction::from_ratio(0.30),
        SPHERE_PACKING,
        INTRINSIC_VISCOSITY_OF_SPHERES,
    );
    assert_close(relative, 2.7512, 1e-3, "A11, computed from the equation");
}

#[test]
fn dilute_suspension_follows_einstein() {
    // Published: Einstein (1906), 1 + 2.5 φ to first order.
    let phi = 1e-4;
    let relative = relative_viscosity_of_suspension(
        Fraction::from_ratio(phi),
        SPHERE_PACKING,
        INTRINSIC_VISCOSITY_OF_SPHERES,
    );
    assert_close(relative, 1.0 + 2.5 * phi, 1e-7, "Einstein (1906)");
}

#[test]
fn packed_suspension_does_not_flow() {
    assert!(relative_viscosity_of_suspension(SPHERE_PACKING, SPHERE_PACKING, 2.5).is_infinite());
}

#[test]
fn lip_shear_rate_vanishes_at_a_third_of_the_gap() {
    // C15, identity: the flow reverses below a third of the gap.
    let gap = Length::from_um(90.0);
    let rate = lip_wall_shear_rate_per_s(SPEED, gap, Length::from_um(30.0));
    assert!(rate.abs() < 1e-9, "C15: {rate}");
    assert!(lip_wall_shear_rate_per_s(SPEED, gap, Length::from_um(29.0)) < 0.0);
}

#[test]
fn both_walls_shear_alike_in_plain_drag_flow() {
    // Identity: at half the gap the flow is Couette, U/H everywhere.
    let (gap, t) = (Length::from_um(100.0), Length::from_um(50.0));
    let nominal = gap_shear_rate_per_s(SPEED, gap);
    assert_close(
        lip_wall_shear_rate_per_s(SPEED, gap, t),
        nominal,
        1e-12,
        "identity",
    );
    assert_close(
        web_wall_shear_rate_per_s(SPEED, gap, t),
        nominal,
        1e-12,
        "identity",
    );
    assert_close(
        film_shear_rate_per_s(SPEED, t),
        2.0 * nominal,
        1e-12,
        "identity",
    );
}

#[test]
fn wall_shear_rates_of_slot_and_tube_follow_poiseuille() {
    // By hand: 6 · 3.3333e-8/(0.1 · 1e-8) = 200 1/s; 4 · 3.3333e-8/(π · 1.25e-10) = 339.53 1/s.
    let flow = VolumeFlow::from_ml_per_min(2.0);
    let slot = slot_wall_shear_rate_per_s(flow, Length::from_mm(100.0), Length::from_um(100.0));
    assert_close(slot, 200.0, 1e-12, "by hand");
    assert_close(
        tube_wall_shear_rate_per_s(flow, Length::from_mm(0.5)),
        339.53,
        1e-5,
        "by hand",
    );
}

#[test]
fn drying_peclet_and_marangoni_numbers_follow_their_definitions() {
    // F27 and F29, computed.
    let t = Length::from_um(20.0);
    assert_close(
        drying_peclet_number(Speed::from_m_per_s(1e-6), t, 1e-10),
        0.2,
        1e-9,
        "F27, computed",
    );
    assert_close(
        marangoni_number(1e-4, 1.0, t, Viscosity::from_mpa_s(1.0), 1e-7),
        20.0,
        1e-9,
        "F29, computed",
    );
}

/// An ink between two plateaus (invented).
const THINNING: Carreau = Carreau {
    at_rest: Viscosity::from_pa_s(1.0),
    at_high_rate: Viscosity::from_pa_s(0.01),
    time_constant_s: 0.1,
    index: 0.4,
};

fn with_rheology(rheology: Rheology) -> Line {
    let mut line = worked_example();
    line.ink.rheology = Some(rheology);
    line
}

#[test]
fn time_and_temperature_superpose() {
    // Identity of the superposition: a liquid `a` times slower has at rate γ the viscosity a·μ(a·γ).
    let power = Rheology::PowerLaw {
        consistency: Viscosity::from_pa_s(2.0),
        index: 0.6,
    };
    for (law, a) in [(power, 2.5), (Rheology::Carreau(THINNING), 0.3)] {
        for rate in [0.1, 3.0, 400.0] {
            assert_close(
                law.shifted_by(a).viscosity_at(rate).pa_s(),
                a * law.viscosity_at(a * rate).pa_s(),
                1e-12,
                "identity",
            );
        }
    }
    let newtonian = Rheology::Newtonian { viscosity: MU };
    assert_close(
        newtonian.shifted_by(0.5).viscosity_at(7.0).mpa_s(),
        5.0,
        1e-12,
        "identity",
    );
}

#[test]
fn activation_energy_of_water_takes_the_viscosity_from_20_to_30_degrees() {
    // A8: 16.865 kJ/mol, fitted to the published 1.0016 and 0.7972 mPa·s (reference equation of state of water).
    let factor = temperature_factor(
        MolarEnergy::from_kj_per_mol(16.865),
        Temperature::from_deg_c(20.0),
        Temperature::from_deg_c(30.0),
    );
    assert_close(1.0016 * factor, 0.7972, 1e-4, "A8 put back");
}

#[test]
fn warm_ink_is_judged_with_its_viscosity_at_the_head() {
    let mut line = worked_example();
    line.ink.viscosity_temperature = Some(Temperature::from_deg_c(20.0));
    line.ink.activation_energy = Some(MolarEnergy::from_kj_per_mol(16.865));
    let warm = Setting {
        ink_temperature: Some(Temperature::from_deg_c(30.0)),
        ..setting(1.0, 20.0, 100.0)
    };
    // By hand from the published pair of water: thinner by 0.7972/1.0016, and so is the capillary number (A1).
    let ca = |line: &Line, setting: &Setting| {
        judged(line, setting)
            .derived
            .capillary_number
            .expect("evaluated")
    };
    assert_close(
        ca(&line, &warm),
        5.5556e-3 * 0.7972 / 1.0016,
        1e-4,
        "by hand",
    );
    // The thinner ink entrains air later (eq 5.1: exponent 0.67).
    let bound = |setting: &Setting| {
        let assessment = judged(&line, setting);
        match assessment.limit(LimitId::AirEntrainment).map(|l| l.outcome) {
            Some(Outcome::Evaluated { bound, .. }) => bound,
            other => panic!("{other:?}"),
        }
    };
    assert_close(
        bound(&warm) / bound(&setting(1.0, 20.0, 100.0)),
        (0.7972_f64 / 1.0016).powf(-0.67),
        1e-4,
        "by hand",
    );
}

#[test]
fn temperature_of_an_ink_of_unknown_activation_energy_changes_nothing_and_is_named() {
    let warm = Setting {
        ink_temperature: Some(Temperature::from_deg_c(40.0)),
        ..setting(1.0, 20.0, 100.0)
    };
    let (plain, assessed) = (
        judged(&worked_example(), &setting(1.0, 20.0, 100.0)),
        judged(&worked_example(), &warm),
    );
    assert_eq!(plain.limits, assessed.limits);
    assert!(assessed.assumed.contains(&Input::ActivationEnergy));
    assert!(!plain.assumed.contains(&Input::ActivationEnergy));
}

#[test]
fn carreau_ink_without_slope_is_newtonian() {
    let flat = Rheology::Carreau(Carreau {
        at_rest: MU,
        at_high_rate: MU,
        time_constant_s: 1.0,
        index: 0.5,
    });
    let (carreau, newtonian) = (
        judged(&with_rheology(flat), &setting(1.0, 20.0, 100.0)),
        judged(&worked_example(), &setting(1.0, 20.0, 100.0)),
    );
    for limit in &newtonian.limits {
        let (Some(expected), Some(actual)) = (
            limit.margin(),
            carreau
                .limit(limit.id)
                .and_then(wetlane_physics::LimitRecord::margin),
        ) else {
            continue;
        };
        assert_close(actual, expected, 1e-12, limit.id.key());
    }
}

#[test]
fn carreau_ink_is_judged_at_the_rates_of_gap_and_film() {
    let line = with_rheology(Rheology::Carreau(THINNING));
    let derived = judged(&line, &setting(1.0, 20.0, 100.0)).derived;
    // By hand: film rate (1/60)/20e-6 = 833.3 1/s; eq 1.10: 0.01 + 0.99 (1 + 83.33²)^(−0.3) = 0.079683 Pa·s.
    assert_close(
        derived.capillary_number.expect("evaluated"),
        0.079_683 / 60.0 / 0.030,
        1e-4,
        "by hand",
    );
    // Gap rate 166.67 1/s: 0.01 + 0.99 (1 + 16.667²)^(−0.3) = 0.192834 Pa·s; Re = 1000 · (1/60) · 1e-4/μ.
    assert_close(
        derived.gap_reynolds_number.expect("evaluated"),
        1000.0 / 60.0 * 1e-4 / 0.192_834,
        1e-4,
        "by hand",
    );
}

#[test]
fn rates_beyond_the_measured_range_are_doubted_and_held_at_its_end() {
    let mut line = with_rheology(Rheology::Carreau(THINNING));
    line.ink.shear_rate_span = Some(Span {
        least: ShearRate::from_per_s(1.0),
        greatest: ShearRate::from_per_s(100.0),
    });
    let assessment = judged(&line, &setting(1.0, 20.0, 100.0));
    let record = assessment.limit(LimitId::Extrapolation).expect("recorded");
    // By hand: the film's 833.3 1/s against 100.
    let Outcome::Evaluated {
        value,
        bound,
        margin,
    } = record.outcome
    else {
        panic!("evaluated")
    };
    assert_close(value, 833.333, 1e-5, "by hand");
    assert_close(bound, 100.0, 1e-12, "as stated");
    assert_close(margin, 1.0 - 8.333_33, 1e-5, "by hand");
    assert_eq!(record.sense, Sense::AtMost);
    // Eq 1.10 at 100 1/s: 0.01 + 0.99 (1 + 100)^(−0.3).
    assert_close(
        assessment.derived.capillary_number.expect("evaluated"),
        (0.01 + 0.99 * 101.0_f64.powf(-0.3)) / 60.0 / 0.030,
        1e-9,
        "by hand",
    );
    line.ink.shear_rate_span = Some(Span {
        least: ShearRate::from_per_s(500.0),
        greatest: ShearRate::from_per_s(2000.0),
    });
    let assessment = judged(&line, &setting(1.0, 20.0, 100.0));
    let record = assessment.limit(LimitId::Extrapolation).expect("recorded");
    // By hand: the gap's 166.67 1/s against 500.
    assert_close(record.margin().expect("evaluated"), -2.0, 1e-9, "by hand");
    assert_eq!(record.sense, Sense::AtLeast);
}
