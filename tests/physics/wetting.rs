//! Entrained air, contact angles, surface energies, dewetting (eqs 5.1 to 5.6b, 5.12, 5.13).

use wetlane_physics::surface_energy::{
    EnergyParts, SurfaceEnergyError, TestLiquid, contact_angle_from_parts,
    contact_angle_from_totals, contact_cosine_from_parts, owens_wendt_two_liquids,
    spreading_coefficient, work_of_adhesion, work_of_adhesion_from_parts,
};
use wetlane_physics::wetting::{
    DEWETTING_COEFFICIENT, air_entrainment_speed, dewetting_speed, plunging_tape_speed,
    thinnest_stable_film,
};
use wetlane_physics::{Angle, Density, SurfaceTension, Viscosity};

use crate::assert_between;
use crate::support::assert_close;

const fn liquid(mpa_s: f64, mn_per_m: f64, kg_per_m3: f64) -> (Viscosity, Density, SurfaceTension) {
    (
        Viscosity::from_mpa_s(mpa_s),
        Density::from_kg_per_m3(kg_per_m3),
        SurfaceTension::from_mn_per_m(mn_per_m),
    )
}

fn entrainment((mu, rho, sigma): (Viscosity, Density, SurfaceTension)) -> f64 {
    air_entrainment_speed(mu, rho, sigma).m_per_s()
}

#[test]
fn air_entrainment_speeds_of_water_and_of_a_thicker_ink() {
    // E1, E2, computed by a second implementation.
    assert_close(
        entrainment(liquid(1.0, 72.8, 998.0)),
        6.1918,
        1e-3,
        "E1, computed from the equation",
    );
    assert_close(
        entrainment(liquid(10.0, 40.0, 1000.0)),
        1.0839,
        1e-3,
        "E2, computed from the equation",
    );
}

#[test]
fn air_entrainment_agrees_with_an_independent_correlation() {
    // E3, from memory: Gutoff & Kendrick (1982), AIChE J. 28, 459: V = 5.11 μ^−0.67, m/s and mPa·s.
    let other = 5.11 * 10.0_f64.powf(-0.67);
    assert_close(
        entrainment(liquid(10.0, 40.0, 1000.0)),
        other,
        0.15,
        "E3, Gutoff & Kendrick (1982), from memory",
    );
}

#[test]
fn end_of_the_correlation_meets_the_published_plateau_and_critical_capillary_number() {
    let (mu, rho, sigma) = liquid(465.0, 63.0, 1260.0);
    let speed = plunging_tape_speed(mu, rho, sigma).m_per_s();
    // E4, published: Burley & Kennedy (1976), abstract: 9.5 cm/s above 4.65 P.
    assert_close(speed, 0.095, 0.12, "E4, Burley & Kennedy (1976)");
    // E5, published: Burley & Jolly (1984), abstract: critical capillary numbers 0.2 to 1.26.
    assert_between(
        mu.pa_s() * speed / sigma.n_per_m(),
        0.2,
        1.26,
        "E5, Burley & Jolly (1984)",
    );
}

#[test]
fn plateau_is_reached_without_a_jump() {
    // E18, identity: continuity.
    let ratio = entrainment(liquid(465.1, 25.0, 900.0)) / entrainment(liquid(464.9, 25.0, 900.0));
    assert_close(ratio, 1.0, 1e-3, "E18, continuity");
    assert_close(
        entrainment(liquid(5000.0, 40.0, 1200.0)),
        0.095,
        1e-12,
        "plateau",
    );
}

#[test]
fn angle_from_totals_is_60_degrees_at_nine_sixteenths() {
    // E19, identity: 2 · √0.5625 − 1 = 0.5.
    let theta = contact_angle_from_totals(
        SurfaceTension::from_mn_per_m(22.5),
        SurfaceTension::from_mn_per_m(40.0),
    );
    assert_close(
        theta.deg(),
        60.0,
        1e-9,
        "E19, Girifalco & Good with factor 1",
    );
}

#[test]
fn angle_from_totals_matches_hexadecane_on_a_fluoropolymer() {
    // E20, from memory: about 46° for n-hexadecane (27.5 mN/m) on polytetrafluoroethylene (19.1 mN/m).
    let theta = contact_angle_from_totals(
        SurfaceTension::from_mn_per_m(19.1),
        SurfaceTension::from_mn_per_m(27.5),
    );
    assert_close(theta.deg(), 46.0, 0.08, "E20, from memory");
}

fn polyester(water_deg: f64, glycerol_deg: f64) -> EnergyParts {
    owens_wendt_two_liquids(
        (TestLiquid::Water.parts(), Angle::from_deg(water_deg)),
        (TestLiquid::Glycerol.parts(), Angle::from_deg(glycerol_deg)),
    )
    .expect("the liquids separate the parts")
}

#[test]
fn parts_of_untreated_polyester_match_the_published_table() {
    // E6 to E8, published: Materials 13 (2020) 508, Table 1.
    let foil = polyester(80.0, 73.0);
    assert_close(
        foil.dispersive.mn_per_m(),
        14.1,
        2e-2,
        "E6, Materials 13 (2020) 508, Table 1",
    );
    assert_close(
        foil.polar.mn_per_m(),
        12.4,
        2e-2,
        "E7, Materials 13 (2020) 508, Table 1",
    );
    assert_close(
        foil.total().mn_per_m(),
        26.5,
        1e-2,
        "E8, Materials 13 (2020) 508, Table 1",
    );
}

#[test]
fn work_of_adhesion_of_water_on_polyester_matches_the_published_table() {
    // E9, published: Materials 13 (2020) 508, Table 1.
    let work = work_of_adhesion(SurfaceTension::from_mn_per_m(72.8), Angle::from_deg(80.0));
    assert_close(
        work.mn_per_m(),
        85.4,
        3e-3,
        "E9, Materials 13 (2020) 508, Table 1",
    );
}

#[test]
fn total_of_treated_polyester_matches_the_published_table() {
    // E10, published: Materials 13 (2020) 508, Table 1, after 60 s of plasma.
    assert_close(
        polyester(17.0, 15.0).total().mn_per_m(),
        70.0,
        1e-2,
        "E10, Materials 13 (2020) 508, Table 1",
    );
}

#[test]
fn parts_lead_back_to_the_angles_they_came_from() {
    // Identity: eq 5.4 inverts eq 5.3.
    let foil = polyester(80.0, 73.0);
    assert_close(
        contact_angle_from_parts(foil, TestLiquid::Water.parts()).deg(),
        80.0,
        1e-9,
        "identity",
    );
    assert_close(
        contact_angle_from_parts(foil, TestLiquid::Glycerol.parts()).deg(),
        73.0,
        1e-9,
        "identity",
    );
}

#[test]
fn toluene_spreads_on_a_polar_foil() {
    let parts = |d, p| EnergyParts {
        dispersive: SurfaceTension::from_mn_per_m(d),
        polar: SurfaceTension::from_mn_per_m(p),
    };
    let (foil, toluene) = (parts(33.0, 10.0), parts(27.2, 1.3));
    // E11, computed by a second implementation.
    assert_close(
        contact_cosine_from_parts(foil, toluene),
        1.3555,
        1e-3,
        "E11, computed from the equation",
    );
    assert_close(
        contact_angle_from_parts(foil, toluene).deg() + 1.0,
        1.0,
        1e-12,
        "clipped to complete wetting",
    );
    let work = work_of_adhesion_from_parts(foil, toluene);
    assert!(spreading_coefficient(work, toluene.total()).n_per_m() > 0.0);
}

#[test]
fn like_liquids_are_refused() {
    let glycol = (TestLiquid::EthyleneGlycol.parts(), Angle::from_deg(40.0));
    assert_eq!(
        owens_wendt_two_liquids(glycol, glycol),
        Err(SurfaceEnergyError::LiquidsTooAlike)
    );
}

#[test]
fn contradicting_angles_are_refused_rather_than_squared() {
    let result = owens_wendt_two_liquids(
        (TestLiquid::Water.parts(), Angle::from_deg(120.0)),
        (TestLiquid::Diiodomethane.parts(), Angle::from_deg(5.0)),
    );
    assert_eq!(result, Err(SurfaceEnergyError::NegativePart));
}

#[test]
fn every_lab_film_is_thinner_than_gravity_would_hold() {
    // E14, computed by a second implementation.
    let film = thinnest_stable_film(
        Angle::from_deg(20.0),
        SurfaceTension::from_mn_per_m(30.0),
        Density::from_kg_per_m3(1000.0),
    );
    assert_close(film.um(), 607.44, 1e-3, "E14, computed from the equation");
}

#[test]
fn edge_retreats_by_three_quarters_of_a_millimetre_a_second() {
    // E15, computed by a second implementation.
    let speed = dewetting_speed(
        Angle::from_deg(20.0),
        SurfaceTension::from_mn_per_m(30.0),
        Viscosity::from_mpa_s(10.0),
        DEWETTING_COEFFICIENT,
    );
    assert_close(
        speed.mm_per_s(),
        0.76559,
        1e-3,
        "E15, computed from the equation",
    );
}
