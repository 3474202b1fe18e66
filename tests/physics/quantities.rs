//! Conversion factors against NIST Special Publication 811 (2008), appendix B, and round trips.

use proptest::prelude::{ProptestConfig, prop_assert, proptest};
use wetlane_physics::{
    Angle, AreaMass, Density, Diffusivity, Duration, ExposureDose, Fraction, Irradiance, Length,
    PlasmaDose, Pressure, Speed, SurfaceTension, Temperature, Viscosity, Volume, VolumeFlow,
};

use crate::support::assert_close;

const NIST: &str = "NIST SP 811 (2008), appendix B";

#[test]
fn trade_units_have_their_published_factors() {
    for (actual, expected) in [
        (Length::from_um(1.0).m(), 1e-6),
        (Length::from_nm(1.0).m(), 1e-9),
        (Length::from_mm(1.0).m(), 1e-3),
        (
            Speed::from_m_per_min(1.0).m_per_s(),
            0.016_666_666_666_666_67,
        ),
        (
            VolumeFlow::from_ml_per_min(1.0).m3_per_s(),
            1.666_666_666_666_667e-8,
        ),
        (
            VolumeFlow::from_m3_per_h(1.0).m3_per_s(),
            2.777_777_777_777_778e-4,
        ),
        (Volume::from_ml(1.0).m3(), 1e-6),
        (Volume::from_l(1.0).m3(), 1e-3),
        // 1 cP = 1 mPa·s; 1 dyn/cm = 1 mN/m.
        (Viscosity::from_mpa_s(1.0).pa_s(), 1e-3),
        (SurfaceTension::from_mn_per_m(1.0).n_per_m(), 1e-3),
        (Density::from_g_per_cm3(1.0).kg_per_m3(), 1000.0),
        (Pressure::from_mbar(1.0).pa(), 100.0),
        (Pressure::from_kpa(1.0).pa(), 1000.0),
        (PlasmaDose::from_w_min_per_m2(1.0).j_per_m2(), 60.0),
        (Irradiance::from_mw_per_cm2(1.0).w_per_m2(), 10.0),
        (Irradiance::from_kw_per_m2(1.0).w_per_m2(), 1000.0),
        (ExposureDose::from_mj_per_cm2(1.0).j_per_m2(), 10.0),
        (ExposureDose::from_j_per_cm2(1.0).j_per_m2(), 1e4),
        (Diffusivity::from_cm2_per_s(1.0).m2_per_s(), 1e-4),
        (Angle::from_deg(1.0).rad(), 0.017_453_292_519_943_295),
        (Duration::from_h(1.0).s(), 3600.0),
        (Fraction::from_percent(1.0).ratio(), 0.01),
        (AreaMass::from_mg_per_cm2(1.0).kg_per_m2(), 0.01),
        (AreaMass::from_g_per_m2(1.0).kg_per_m2(), 1e-3),
        (Temperature::from_deg_c(0.0).k(), 273.15),
    ] {
        assert_close(actual, expected, 1e-15, NIST);
    }
}

#[test]
fn temperatures_subtract_to_a_difference_and_add_one() {
    let (hot, cold) = (Temperature::from_deg_c(80.0), Temperature::from_deg_c(20.0));
    let difference = hot - cold;
    assert_close(difference.k(), 60.0, 1e-12, "identity");
    assert_close((cold + difference).deg_c(), 80.0, 1e-12, "identity");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn shop_units_survive_a_round_trip(value in 1e-6..1e6_f64) {
        for back in [
            Length::from_um(value).um(),
            Length::from_mm(value).mm(),
            Length::from_nm(value).nm(),
            Speed::from_m_per_min(value).m_per_min(),
            Speed::from_mm_per_s(value).mm_per_s(),
            VolumeFlow::from_ml_per_min(value).ml_per_min(),
            VolumeFlow::from_m3_per_h(value).m3_per_h(),
            Viscosity::from_mpa_s(value).mpa_s(),
            SurfaceTension::from_mn_per_m(value).mn_per_m(),
            PlasmaDose::from_w_min_per_m2(value).w_min_per_m2(),
            Angle::from_deg(value).deg(),
        ] {
            prop_assert!((back / value - 1.0).abs() <= 4.0 * f64::EPSILON);
        }
    }
}
