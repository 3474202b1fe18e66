//! Levelling of marks (eqs 4.4 to 4.7) and ribbing (eq 4.9).

use wetlane_physics::levelling::{
    LEVELLING_TIME_CONSTANTS, amplitude_after, frozen_amplitude, levelling_stress,
    levelling_time_constant, time_to_level,
};
use wetlane_physics::ribbing::{critical_capillary_number, mill_south, pitts_greiller};
use wetlane_physics::{Duration, Length, Pressure, SurfaceTension, Viscosity};

use crate::support::assert_close;

const MU: Viscosity = Viscosity::from_pa_s(0.1);
const SIGMA: SurfaceTension = SurfaceTension::from_mn_per_m(30.0);
const FILM: Length = Length::from_um(30.0);

#[test]
fn time_constant_grows_with_the_fourth_power_of_the_wavelength() {
    // D9 and D10, computed by a second implementation: 1.9249 ms at 300 µm, 19.249 s at 3 mm.
    let short = levelling_time_constant(MU, SIGMA, FILM, Length::from_um(300.0));
    let long = levelling_time_constant(MU, SIGMA, FILM, Length::from_mm(3.0));
    assert_close(short.s(), 0.001_924_9, 1e-4, "D9, computed");
    assert_close(long.s(), 19.249, 1e-4, "D10, computed");
}

#[test]
fn handbook_coefficient_of_the_decadic_form_is_met() {
    // D8, from memory: time = μ λ⁴ log10(a₀/a)/(226 σ t³) in Patton's handbook form of Orchard's equation; 225.6 here.
    let wavelength = Length::from_mm(1.0);
    let constant = levelling_time_constant(MU, SIGMA, FILM, wavelength);
    let to_a_tenth = time_to_level(constant, 0.1).s();
    let group = 0.1 * 1e-12 / (0.030 * 27e-15);
    assert_close(group / to_a_tenth, 226.0, 3e-3, "D8, Patton, from memory");
}

#[test]
fn levelled_mark_has_lost_99_percent() {
    let constant = Duration::from_s(2.0);
    let after = Duration::from_s(2.0 * LEVELLING_TIME_CONSTANTS);
    let left = amplitude_after(Length::from_um(1.0), after, constant);
    // Identity: exp(−4.6) is 1.005 %.
    assert_close(left.um(), (-4.6_f64).exp(), 1e-12, "identity");
    assert_close(left.um(), 0.01, 1e-2, "99 % decay");
    // The inverse: the time to that share.
    assert_close(
        time_to_level(constant, left.um()).s(),
        after.s(),
        1e-12,
        "round trip",
    );
}

#[test]
fn stress_of_a_mark_and_the_height_at_which_it_freezes_belong_together() {
    let wavelength = Length::from_um(300.0);
    // D17, computed: 8.2683 Pa at 1 µm.
    let stress = levelling_stress(SIGMA, Length::from_um(1.0), FILM, wavelength);
    assert_close(stress.pa(), 8.2683, 1e-4, "D17, computed");
    // Identity: with that yield stress the mark freezes at 1 µm.
    let frozen = frozen_amplitude(stress, SIGMA, FILM, wavelength);
    assert_close(frozen.um(), 1.0, 1e-12, "identity");
    let half = Pressure::from_pa(0.5 * stress.pa());
    assert_close(
        frozen_amplitude(half, SIGMA, FILM, wavelength).um(),
        0.5,
        1e-12,
        "identity",
    );
}

#[test]
fn rolls_rib_above_the_smaller_of_two_fits() {
    let (gap, radius) = (Length::from_um(50.0), Length::from_mm(50.0));
    // D15, computed: 28 · 50 µm/100 mm; D16, computed: 10.3 (10⁻³)^(3/4).
    assert_close(pitts_greiller(gap, radius), 0.014, 1e-9, "D15, computed");
    assert_close(mill_south(gap, radius), 0.057_921, 1e-4, "D16, computed");
    assert_close(
        critical_capillary_number(gap, radius),
        0.014,
        1e-9,
        "the smaller",
    );
    // Identity: the fits meet where 14 x = 10.3 x^(3/4), at gap/radius (10.3/14)⁴; beyond, the other is smaller.
    let meeting = Length::from_mm(50.0 * (10.3_f64 / 14.0).powi(4));
    assert_close(
        pitts_greiller(meeting, radius),
        mill_south(meeting, radius),
        1e-12,
        "identity",
    );
    let wide = Length::from_mm(40.0);
    assert_close(
        critical_capillary_number(wide, radius),
        mill_south(wide, radius),
        1e-12,
        "the smaller",
    );
}
