//! Wet and dry thickness, pump, dead volume (eqs 2.1 to 2.28).

use wetlane_physics::metering::{
    SettlingTimes, SolidContent, Syringe, bead_volume, bubble_compliance_m3_per_pa,
    cross_web_error_of_manifold, cross_web_error_of_slot, drip_head, dry_coat_weight,
    flow_for_wet_thickness, flush_volume, foil_per_filling, foil_per_run, ink_density, ink_per_run,
    line_time_constant, pump_bar_pitch, slot_pressure_drop, tube_pressure_drop, wet_thickness,
    wet_thickness_error,
};
use wetlane_physics::{
    Angle, Density, Duration, Fraction, Length, Pressure, Speed, SurfaceTension, Viscosity, Volume,
    VolumeFlow,
};

use crate::support::assert_close;

const WIDTH: Length = Length::from_mm(100.0);
const SPEED: Speed = Speed::from_m_per_min(1.0);
const WET: Length = Length::from_um(20.0);
const FLOW: VolumeFlow = VolumeFlow::from_ml_per_min(2.0);
const MU: Viscosity = Viscosity::from_mpa_s(10.0);

#[test]
fn pump_flow_in_shop_units_is_the_plain_product() {
    // B1, identity: mL/min = µm · mm · m/min / 1000.
    assert_close(
        flow_for_wet_thickness(WET, SPEED, WIDTH).ml_per_min(),
        2.0,
        1e-9,
        "B1, unit identity",
    );
    assert_close(
        wet_thickness(FLOW, SPEED, WIDTH).um(),
        20.0,
        1e-12,
        "B1 inverted",
    );
}

#[test]
fn dry_thickness_of_a_dilute_ink() {
    let content = SolidContent {
        ink_density: Density::from_kg_per_m3(1000.0),
        solids: Fraction::from_ratio(0.05),
        dry_density: Density::from_kg_per_m3(1200.0),
        porosity: Fraction::from_ratio(0.0),
    };
    // B2, computed: 20 µm · 1000 · 0.05 / 1200.
    assert_close(
        content.dry_thickness(WET).nm(),
        833.33,
        1e-4,
        "B2, computed from the equation",
    );
    // Identity: the inverse leads back.
    assert_close(
        content.wet_thickness(content.dry_thickness(WET)).um(),
        20.0,
        1e-12,
        "identity",
    );
    // By hand, eq 2.9: 0.05 · 1000/1200.
    assert_close(
        content.volume_fraction().ratio(),
        0.041_666_7,
        1e-5,
        "by hand",
    );
    // By hand, eq 2.7: 20e-6 · 1000 · 0.05 = 1 g/m².
    let weight = dry_coat_weight(WET, content.ink_density, content.solids);
    assert_close(weight.g_per_m2(), 1.0, 1e-12, "by hand");
}

#[test]
fn dry_layer_of_a_published_rod_example() {
    // B3, published: trade page, wire 0.4 mm, wet film 0.08 of the wire, 40 % solids, specific gravity 1.05: "about 13.4 µm"
    // for a dry film of 1 g/cm³.
    let content = SolidContent {
        ink_density: Density::from_g_per_cm3(1.05),
        solids: Fraction::from_percent(40.0),
        dry_density: Density::from_g_per_cm3(1.0),
        porosity: Fraction::from_ratio(0.0),
    };
    let dry = content.dry_thickness(Length::from_mm(0.08 * 0.4));
    assert_close(dry.um(), 13.4, 1e-2, "B3, trade page on wire rods");
}

#[test]
fn porous_layer_is_thicker_by_its_pores() {
    let dense = SolidContent {
        ink_density: Density::from_kg_per_m3(1700.0),
        solids: Fraction::from_ratio(0.65),
        dry_density: Density::from_kg_per_m3(4000.0),
        porosity: Fraction::from_ratio(0.0),
    };
    let porous = SolidContent {
        porosity: Fraction::from_ratio(0.5),
        ..dense
    };
    // Identity of eq 2.6.
    let ratio = porous.dry_thickness(WET).m() / dense.dry_thickness(WET).m();
    assert_close(ratio, 2.0, 1e-12, "identity");
}

#[test]
fn ink_density_mixes_by_volume() {
    // By hand, eq 2.8: half and half of 2000 and 1000 by mass is 1/(0.5/2000 + 0.5/1000) = 1333.3.
    let rho = ink_density(
        Fraction::from_ratio(0.5),
        Density::from_kg_per_m3(2000.0),
        Density::from_kg_per_m3(1000.0),
    );
    assert_close(rho.kg_per_m3(), 1_333.333_333, 1e-9, "by hand");
}

#[test]
fn errors_of_flow_speed_and_width_add_in_squares() {
    // By hand, eq 2.11: √(1 + 4 + 4) % = 3 %.
    assert_close(
        wet_thickness_error(0.01, 0.02, 0.02),
        0.03,
        1e-12,
        "by hand",
    );
}

#[test]
fn plunger_of_a_10_ml_syringe() {
    let syringe = Syringe {
        bore: Length::from_mm(14.5),
        volume: Volume::from_ml(10.0),
    };
    // B4, computed by a second implementation.
    assert_close(
        syringe.plunger_speed(FLOW).m_per_s() * 1e6,
        201.86,
        1e-3,
        "B4, computed from the equation",
    );
    // By hand: 10 mL at 2 mL/min.
    assert_close(syringe.run_time(FLOW).min(), 5.0, 1e-12, "by hand");
    // By hand: 10 mL over 20 µm · 100 mm = 5 m.
    assert_close(
        foil_per_filling(syringe.volume, WET, WIDTH).m(),
        5.0,
        1e-12,
        "by hand",
    );
}

#[test]
fn flushing_to_five_per_cent_takes_three_dead_volumes() {
    // B5, computed: 2 mL · ln 20.
    let flush = flush_volume(Volume::from_ml(2.0), Fraction::from_percent(5.0));
    assert_close(flush.ml(), 5.9915, 1e-4, "B5, computed from the equation");
}

fn tube_drop() -> Pressure {
    tube_pressure_drop(MU, FLOW, Length::from_mm(0.5), Length::from_m(0.5))
}

fn slot_drop() -> Pressure {
    slot_pressure_drop(
        MU,
        FLOW,
        WIDTH,
        Length::from_um(100.0),
        Length::from_mm(30.0),
    )
}

#[test]
fn pressure_drop_of_a_millimetre_tube() {
    // B6, computed by a second implementation.
    assert_close(
        tube_drop().pa(),
        6790.6,
        1e-3,
        "B6, computed from the equation",
    );
}

#[test]
fn bubble_of_a_tenth_of_a_millilitre_delays_a_thin_ink_by_a_quarter_second() {
    // B7, computed by a second implementation.
    let compliance = bubble_compliance_m3_per_pa(Volume::from_ml(0.1));
    let both = Pressure::from_pa(tube_drop().pa() + slot_drop().pa());
    assert_close(
        line_time_constant(both, FLOW, compliance).s(),
        0.23658,
        1e-3,
        "B7, computed from the equation",
    );
}

#[test]
fn bubble_of_two_millilitres_delays_a_thick_ink_by_minutes() {
    // Computed in docs/methods.md: 1 Pa·s and 2 mL of air in the same circuit, about 470 s.
    let compliance = bubble_compliance_m3_per_pa(Volume::from_ml(2.0));
    let both = Pressure::from_pa(100.0 * (tube_drop().pa() + slot_drop().pa()));
    assert_close(
        line_time_constant(both, FLOW, compliance).s(),
        470.0,
        1e-2,
        "computed from the equation",
    );
}

#[test]
fn manifold_of_three_millimetres_feeds_100_mm_evenly() {
    // B8, computed by a second implementation.
    let error = cross_web_error_of_manifold(
        WIDTH,
        Length::from_um(100.0),
        Length::from_mm(30.0),
        Length::from_mm(3.0),
    );
    assert_close(error, 1.0916e-4, 1e-3, "B8, computed from the equation");
}

#[test]
fn slot_error_of_one_per_cent_makes_three_per_cent_of_flow() {
    // B9, identity: flow goes with the cube of the height.
    let error = cross_web_error_of_slot(Length::from_um(1.0), Length::from_um(100.0));
    assert_close(error, 0.03, 1e-9, "B9, identity");
}

#[test]
fn plunger_force_of_a_thin_ink() {
    // B12, computed by a second implementation.
    let syringe = Syringe {
        bore: Length::from_mm(14.5),
        volume: Volume::from_ml(10.0),
    };
    let both = Pressure::from_pa(tube_drop().pa() + slot_drop().pa());
    assert_close(
        syringe.plunger_force_n(both),
        1.3195,
        1e-3,
        "B12, computed from the equation",
    );
}

#[test]
fn pump_step_of_a_twentieth_of_a_microlitre_makes_bars_of_25_um() {
    // B13, identity of eq 2.19.
    let pitch = pump_bar_pitch(Volume::from_m3(0.05e-9), WET, WIDTH);
    assert_close(pitch.um(), 25.0, 1e-9, "B13, identity");
}

#[test]
fn stopped_bead_holds_61_mm_of_ink() {
    // C18, computed by a second implementation: 30 mN/m, 100 µm, both angles zero.
    let head = drip_head(
        SurfaceTension::from_mn_per_m(30.0),
        Density::from_kg_per_m3(1000.0),
        Length::from_um(100.0),
        Angle::from_deg(0.0),
        Angle::from_deg(0.0),
    );
    assert_close(head.mm(), 61.183, 1e-3, "C18, computed from the equation");
}

#[test]
fn longest_wait_decides_when_a_run_is_steady() {
    let bead = bead_volume(
        Length::from_um(100.0),
        Length::from_mm(1.0),
        Length::from_mm(1.0),
        WIDTH,
    );
    let times = SettlingTimes {
        line_time_constant: Duration::from_s(0.24),
        bead_time: Duration::from_s(bead.m3() / FLOW.m3_per_s()),
        flush_time: Duration::from_s(120.0),
        thermal_time: Duration::from_s(30.0),
    };
    // By hand, eq 2.23: 100 µm · 2 mm · 100 mm over 2 mL/min is 0.6 s.
    assert_close(times.bead_time.s(), 0.6, 1e-12, "by hand");
    assert_close(times.time_to_steady().s(), 120.0, 1e-12, "by hand");
    let foil = foil_per_run(SPEED, times.time_to_steady(), Duration::from_s(60.0));
    assert_close(foil.m(), 3.0, 1e-12, "by hand");
    let ink = ink_per_run(WET, WIDTH, foil, Volume::from_ml(4.0));
    assert_close(ink.ml(), 10.0, 1e-12, "by hand");
}
