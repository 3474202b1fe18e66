//! The sample projects: corners of their boxes and the share of each box that can run. All data are invented; the
//! numbers are computed by a second implementation.

use rand_free::Draws;
use wetlane_physics::{Assessment, Basis, LimitId, Line, Prepared, Setting, assess_nominal};

use crate::sample_lines::{
    electrochromic_line, nanowire_line, roll_setting, setting, slurry_line, transport_layer_line,
    with_gas, with_roller, with_solids,
};
use crate::{assert_between, assert_within};

/// Hard limits that the second implementation knows.
const JUDGED: [LimitId; 5] = [
    LimitId::LowFlow,
    LimitId::BeadHold,
    LimitId::Flood,
    LimitId::WettingFailure,
    LimitId::DryAtExit,
];

/// As [`JUDGED`], under an engraved roll.
const JUDGED_ROLL: [LimitId; 2] = [LimitId::WettingFailure, LimitId::DryAtExit];

/// Worst of some limits.
fn worst(assessment: &Assessment, judged: &[LimitId]) -> (LimitId, f64) {
    judged
        .iter()
        .map(|&id| {
            let record = assessment
                .limit(id)
                .unwrap_or_else(|| panic!("no {}", id.key()));
            (
                id,
                record
                    .margin()
                    .unwrap_or_else(|| panic!("{} not evaluated", id.key())),
            )
        })
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .expect("a limit")
}

fn check(line: &Line, setting: Setting, limit: LimitId, margin: f64, source: &str) {
    let (id, worst) = worst(
        &assess_nominal(line, &setting).expect("valid inputs"),
        &JUDGED,
    );
    assert_eq!(id, limit, "{source}");
    assert_within(worst, margin, 0.03, source);
}

#[test]
fn corners_of_the_nanowire_box_bind_as_computed() {
    let line = nanowire_line();
    // K1 to K4, computed by a second implementation.
    check(
        &line,
        with_gas(setting(0.6, 10.0, 250.0), 70.0),
        LimitId::BeadHold,
        0.42905,
        "K1",
    );
    check(
        &line,
        with_gas(setting(2.4, 10.0, 250.0), 70.0),
        LimitId::BeadHold,
        -1.0358,
        "K2",
    );
    check(
        &line,
        with_gas(setting(2.4, 24.0, 250.0), 70.0),
        LimitId::DryAtExit,
        -0.23156,
        "K3",
    );
    check(
        &line,
        with_gas(setting(2.4, 24.0, 100.0), 110.0),
        LimitId::DryAtExit,
        0.30237,
        "K4",
    );
}

#[test]
fn corners_of_the_transport_layer_box_bind_as_computed() {
    let line = transport_layer_line();
    let at = |setting| with_roller(with_gas(setting, 100.0), 30.0);
    // K5, K6, computed by a second implementation.
    check(
        &line,
        at(setting(3.0, 5.0, 200.0)),
        LimitId::BeadHold,
        -1.397,
        "K5",
    );
    check(
        &line,
        at(setting(0.8, 5.0, 200.0)),
        LimitId::BeadHold,
        0.24424,
        "K6",
    );
}

#[test]
fn corners_of_the_slurry_box_bind_as_computed() {
    let line = slurry_line();
    // K7 to K9, computed by a second implementation; the gap is 1.05 or 2.4 films.
    check(
        &line,
        with_gas(setting(1.0, 240.0, 252.0), 80.0),
        LimitId::DryAtExit,
        -1.3429,
        "K7",
    );
    check(
        &line,
        with_gas(setting(0.2, 90.0, 216.0), 80.0),
        LimitId::BeadHold,
        -0.30924,
        "K8",
    );
    check(
        &line,
        with_gas(setting(0.2, 240.0, 252.0), 80.0),
        LimitId::Flood,
        0.20339,
        "K9",
    );
}

#[test]
fn corners_of_the_electrochromic_box_bind_as_computed() {
    // K10, K11, computed by a second implementation; 30 cm³/m² at 6 m/min.
    let line = with_solids(&electrochromic_line(), 0.06);
    for (gas, margin, source) in [(80.0, -0.4203, "K10"), (120.0, 0.131_39, "K11")] {
        let setting = with_gas(roll_setting(6.0, 30.0), gas);
        let assessment = assess_nominal(&line, &setting).expect("valid inputs");
        let (id, worst) = worst(&assessment, &JUDGED_ROLL);
        assert_eq!(id, LimitId::DryAtExit, "{source}");
        assert_within(worst, margin, 0.03, source);
    }
}

/// A small generator of its own, so that the shares do not depend on a package.
mod rand_free {
    /// Sequence of doubles in 0..1 from splitmix64 (Steele, Lea & Flood 2014).
    pub(super) struct Draws(pub(super) u64);

    impl Draws {
        pub(super) fn between(&mut self, least: f64, greatest: f64) -> f64 {
            self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
            let mut z = self.0;
            z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
            z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
            z ^= z >> 31;
            least + (greatest - least) * ((z >> 11) as f64 / (1_u64 << 53) as f64)
        }
    }
}

/// Random settings of which a share is formed.
const N_DRAWS: usize = 400;

/// Share of random settings whose judged limits hold.
fn feasible_share(line: &Line, mut draw: impl FnMut(&mut Draws) -> Setting) -> f64 {
    let prepared = Prepared::new(line, &Basis::default()).expect("valid line");
    let mut draws = Draws(7);
    let n_feasible = (0..N_DRAWS)
        .filter(|_| {
            let assessment = prepared
                .assess_nominal(&draw(&mut draws))
                .expect("valid setting");
            worst(&assessment, &JUDGED).1 >= 0.0
        })
        .count();
    n_feasible as f64 / N_DRAWS as f64
}

#[test]
fn nine_tenths_of_the_nanowire_box_can_run() {
    // K12, computed by a second implementation with another generator.
    let share = feasible_share(&nanowire_line(), |d| {
        let (v, t, h, gas) = (
            d.between(0.6, 2.4),
            d.between(10.0, 24.0),
            d.between(100.0, 250.0),
            d.between(70.0, 110.0),
        );
        with_gas(setting(v, t, h), gas)
    });
    assert_between(share, 0.85, 0.97, "K12");
}

#[test]
fn four_fifths_of_the_transport_layer_box_can_run() {
    // K13, computed by a second implementation with another generator.
    let share = feasible_share(&transport_layer_line(), |d| {
        let (v, t, h, roller) = (
            d.between(0.8, 3.0),
            d.between(5.0, 12.0),
            d.between(80.0, 200.0),
            d.between(30.0, 70.0),
        );
        with_roller(with_gas(setting(v, t, h), 100.0), roller)
    });
    assert_between(share, 0.75, 0.91, "K13");
}

#[test]
fn less_than_half_of_the_slurry_box_can_run() {
    // K14, computed by a second implementation with another generator.
    let share = feasible_share(&slurry_line(), |d| {
        let (v, t, ratio, gas) = (
            d.between(0.2, 1.0),
            d.between(90.0, 240.0),
            d.between(1.05, 2.4),
            d.between(80.0, 130.0),
        );
        with_gas(setting(v, t, ratio * t), gas)
    });
    assert_between(share, 0.28, 0.5, "K14");
}

#[test]
fn nearly_all_of_the_electrochromic_box_can_run() {
    // K15, computed by a second implementation with another generator.
    let mut draws = Draws(7);
    let n_feasible = (0..N_DRAWS)
        .filter(|_| {
            let line = with_solids(&electrochromic_line(), draws.between(0.06, 0.14));
            let cells = match draws.between(0.0, 3.0) {
                third if third < 1.0 => 12.0,
                third if third < 2.0 => 20.0,
                _ => 30.0,
            };
            let setting = roll_setting(draws.between(1.0, 6.0), cells);
            let setting = with_gas(setting, draws.between(80.0, 120.0));
            let assessment = assess_nominal(&line, &setting).expect("valid inputs");
            worst(&assessment, &JUDGED_ROLL).1 >= 0.0
        })
        .count();
    assert_between(n_feasible as f64 / N_DRAWS as f64, 0.92, 1.0, "K15");
}
