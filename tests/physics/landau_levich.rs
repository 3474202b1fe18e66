//! Films drawn from menisci (section 4.6).

use wetlane_physics::landau_levich::{film_of_dipped_plate, film_of_meniscus};
use wetlane_physics::wetting::capillary_length;
use wetlane_physics::{Density, Length, SurfaceTension};

use crate::support::assert_close;

const SIGMA: SurfaceTension = SurfaceTension::from_mn_per_m(30.0);
const DENSITY: Density = Density::from_kg_per_m3(1000.0);

#[test]
fn dipped_plate_meets_the_textbook_coefficient() {
    // C4, published: 0.944 of the capillary length and Ca^(2/3) (Landau & Levich, as quoted in Deen); 1.34/√2 = 0.9475 here.
    let ca = 1e-3_f64;
    let film = film_of_dipped_plate(SIGMA, DENSITY, ca);
    let scale = capillary_length(SIGMA, DENSITY).m() * ca.powf(2.0 / 3.0);
    assert_close(film.m() / scale, 0.944, 5e-3, "C4, Deen");
}

#[test]
fn plate_and_meniscus_are_one_law() {
    // Identity: the meniscus on a wall has the capillary length over √2 as radius.
    let radius = Length::from_m(capillary_length(SIGMA, DENSITY).m() / 2.0_f64.sqrt());
    assert_close(
        film_of_meniscus(radius, 2e-3).m(),
        film_of_dipped_plate(SIGMA, DENSITY, 2e-3).m(),
        1e-12,
        "identity",
    );
    // By hand: 1.34 · 100 µm · 0.001^(2/3).
    assert_close(
        film_of_meniscus(Length::from_um(100.0), 1e-3).um(),
        1.34,
        1e-9,
        "by hand",
    );
}
