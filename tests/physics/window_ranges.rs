//! How far speed and thickness can move inside the coating window.

use wetlane_physics::{
    Basis, Length, Line, Prepared, Rheology, Setting, Speed, Viscosity, VolumeFlow, assess_nominal,
};

use crate::sample_lines::{setting, slurry_line, worked_example};
use crate::support::assert_close;

fn prepared(line: &Line) -> Prepared {
    Prepared::new(line, &Basis::default()).expect("valid line")
}

/// Worst margin of the four core limits.
fn worst(line: &Line, setting: &Setting) -> f64 {
    let assessment = assess_nominal(line, setting).expect("valid inputs");
    let core = assessment.limits.iter().filter(|limit| limit.id.is_core());
    core.filter_map(wetlane_physics::LimitRecord::margin)
        .fold(f64::INFINITY, f64::min)
}

fn at_thickness(base: &Setting, um: f64) -> Setting {
    let flow = um * 1e-6 * 0.1 * base.speed.expect("set").m_per_s();
    Setting {
        flow: Some(VolumeFlow::from_m3_per_s(flow)),
        ..*base
    }
}

fn at_speed(base: &Setting, speed: Speed) -> Setting {
    let ratio = speed.m_per_s() / base.speed.expect("set").m_per_s();
    let flow = base.flow.expect("set").m3_per_s() * ratio;
    Setting {
        speed: Some(speed),
        flow: Some(VolumeFlow::from_m3_per_s(flow)),
        ..*base
    }
}

#[test]
fn thickness_range_of_the_worked_example_runs_from_held_to_flooding() {
    let range = prepared(&worked_example())
        .thickness_range(&setting(1.0, 20.0, 100.0))
        .expect("valid");
    let range = range.expect("feasible");
    // C12, C13, computed by a second implementation.
    assert_close(range.least.um(), 3.5558, 1e-4, "C12");
    assert_close(range.greatest.um(), 105.95, 1e-4, "C13");
}

#[test]
fn margins_vanish_at_the_ends_of_a_thickness_range_and_break_outside() {
    for (line, base) in [
        (worked_example(), setting(1.0, 20.0, 100.0)),
        (slurry_line(), setting(0.2, 200.0, 230.0)),
    ] {
        let range = prepared(&line)
            .thickness_range(&base)
            .expect("valid")
            .expect("feasible");
        for end in [range.least, range.greatest] {
            assert!(worst(&line, &at_thickness(&base, end.um())).abs() < 1e-8);
        }
        assert!(worst(&line, &at_thickness(&base, range.least.um() * 0.999)) < 0.0);
        assert!(worst(&line, &at_thickness(&base, range.greatest.um() * 1.001)) < 0.0);
    }
}

#[test]
fn margins_vanish_at_the_ends_of_a_speed_range() {
    let line = worked_example();
    let base = setting(1.0, 20.0, 100.0);
    let range = prepared(&line)
        .speed_range(&base)
        .expect("valid")
        .expect("feasible");
    assert!(
        range.least < Speed::from_m_per_min(1.0) && Speed::from_m_per_min(1.0) < range.greatest
    );
    assert!(worst(&line, &at_speed(&base, range.greatest)).abs() < 1e-8);
    assert!(
        worst(
            &line,
            &at_speed(&base, Speed::from_m_per_s(range.greatest.m_per_s() * 1.001))
        ) < 0.0
    );
    // Slow webs break nothing here: the search ends first.
    assert_close(range.least.m_per_s(), 1e-4, 1e-9, "end of the search");
}

#[test]
fn setting_outside_the_window_is_told_the_nearest_stretch() {
    let line = worked_example();
    let base = setting(1.0, 1.5, 100.0);
    assert!(worst(&line, &base) < 0.0);
    let range = prepared(&line)
        .thickness_range(&base)
        .expect("valid")
        .expect("a stretch");
    assert_close(range.least.um(), 3.5558, 1e-4, "C12");
    let slower = prepared(&line)
        .speed_range(&base)
        .expect("valid")
        .expect("a stretch");
    assert!(slower.greatest < Speed::from_m_per_min(1.0));
    assert!(worst(&line, &at_speed(&base, slower.greatest)).abs() < 1e-8);
}

#[test]
fn window_that_is_closed_everywhere_has_no_range() {
    // A film a hundred times thicker than the gap floods at any speed.
    let line = worked_example();
    let range = prepared(&line)
        .speed_range(&setting(1.0, 10_000.0, 100.0))
        .expect("valid");
    assert!(range.is_none(), "{range:?}");
}

#[test]
fn missing_essential_input_has_no_range() {
    let mut line = worked_example();
    line.ink.rheology = None;
    assert_eq!(
        prepared(&line)
            .thickness_range(&setting(1.0, 20.0, 100.0))
            .expect("valid"),
        None
    );
    let no_gap = Setting {
        gap: None,
        ..setting(1.0, 20.0, 100.0)
    };
    assert_eq!(
        prepared(&worked_example())
            .thickness_range(&no_gap)
            .expect("valid"),
        None
    );
}

#[test]
fn shear_thinning_moves_the_low_flow_border_with_the_film() {
    let mut line = worked_example();
    line.ink.rheology = Some(Rheology::PowerLaw {
        consistency: Viscosity::from_pa_s(1.0),
        index: 0.6,
    });
    let base = Setting {
        gap: Some(Length::from_um(150.0)),
        ..setting(1.0, 80.0, 150.0)
    };
    let range = prepared(&line)
        .thickness_range(&base)
        .expect("valid")
        .expect("feasible");
    assert!(worst(&line, &at_thickness(&base, range.least.um())).abs() < 1e-8);
}
