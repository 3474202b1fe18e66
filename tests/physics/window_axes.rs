//! Axes of the window of each head, and where its limits turn along them.

use wetlane_physics::{
    Basis, Dimension, HeadKind, Input, Length, LimitId, Line, MeteringError, Prepared, Setting,
    Span, Speed, VolumeFlow, WindowKnob,
};

use crate::sample_lines::{
    flexo_line, gravure_line, knife_line, knife_setting, setting, speed_setting, wire_bar_line,
    with_flexo, with_knife, worked_example,
};
use crate::support::assert_close;

fn prepared(line: &Line) -> Prepared {
    Prepared::new(line, &Basis::default()).expect("valid line")
}

/// A line of each head with a setting that runs.
fn samples() -> [(Line, Setting); 5] {
    [
        (worked_example(), setting(1.0, 20.0, 100.0)),
        (knife_line(), knife_setting(1.0, 200.0)),
        (wire_bar_line(), speed_setting(2.0)),
        (gravure_line(), speed_setting(1.0)),
        (flexo_line(), speed_setting(5.0)),
    ]
}

#[test]
fn each_head_is_drawn_over_speed_and_what_sets_its_film() {
    let up = |kind: HeadKind| kind.window_knobs()[1];
    assert_eq!(up(HeadKind::SlotDie), WindowKnob::WetThickness);
    assert_eq!(up(HeadKind::Knife), WindowKnob::Gap);
    assert_eq!(up(HeadKind::WireBar), WindowKnob::WireDiameter);
    assert_eq!(up(HeadKind::Gravure), WindowKnob::CellVolume);
    assert_eq!(up(HeadKind::Flexo), WindowKnob::CellVolume);
    for kind in HeadKind::ALL {
        assert_eq!(kind.window_knobs()[0], WindowKnob::Speed);
    }
    assert_eq!(WindowKnob::CellVolume.dimension(), Dimension::CellVolume);
}

#[test]
fn axes_take_in_the_setting_and_lead_back_to_it() {
    for (line, setting) in samples() {
        let prepared = prepared(&line);
        let axes = prepared.window_axes(&setting);
        let place = axes.map(|axis| prepared.window_place(&setting, axis.knob).expect("known"));
        for (axis, at) in axes.iter().zip(place) {
            assert!(
                axis.least < axis.greatest && (axis.least..=axis.greatest).contains(&at),
                "{axis:?} {at}"
            );
        }
        let moved = prepared
            .at_window_place(&setting, place)
            .expect("all inputs are there");
        let before = prepared
            .wet_thickness(&setting)
            .expect("valid")
            .expect("known");
        let after = prepared
            .wet_thickness(&moved)
            .expect("valid")
            .expect("known");
        assert_close(after.m(), before.m(), 1e-12, line.head.kind().label());
    }
}

#[test]
fn stated_spans_are_the_axes() {
    let span = Span {
        least: Length::from_um(50.0),
        greatest: Length::from_um(400.0),
    };
    let line = Line {
        speed_span: Some(Span {
            least: Speed::from_m_per_min(0.5),
            greatest: Speed::from_m_per_min(8.0),
        }),
        ..with_knife(&knife_line(), |knife| knife.gap_span = Some(span))
    };
    let [speed, gap] = prepared(&line).window_axes(&knife_setting(1.0, 200.0));
    assert_close(speed.least, 0.5 / 60.0, 1e-12, "as stated");
    assert_close(speed.greatest, 8.0 / 60.0, 1e-12, "as stated");
    assert_close(gap.least, 50e-6, 1e-12, "as stated");
    assert_close(gap.greatest, 400e-6, 1e-12, "as stated");
    // A setting outside widens them.
    let [_, wide] = prepared(&line).window_axes(&knife_setting(1.0, 500.0));
    assert_close(wide.greatest, 500e-6, 1e-12, "the setting itself");
}

#[test]
fn slot_die_borders_are_the_films_that_the_bead_holds() {
    // C12 and C13, computed by a second implementation: held from 3.5558 µm, flooding from 105.95 µm.
    let prepared = prepared(&worked_example());
    let run = setting(1.0, 20.0, 100.0);
    let [_, axis] = prepared.window_axes(&run);
    let border = |limit| {
        prepared
            .window_borders(&run, axis, 1.0 / 60.0, limit)
            .expect("valid")
    };
    let held = border(LimitId::BeadHold);
    assert_eq!(held.len(), 1);
    assert_close(held[0], 3.5558e-6, 1e-4, "C12");
    let flooding = border(LimitId::Flood);
    assert_close(flooding[0], 105.95e-6, 1e-4, "C13");
    assert!(border(LimitId::WettingFailure).is_empty());
}

#[test]
fn knife_border_of_the_feed_is_the_gap_that_carries_it_off() {
    // By hand: 20 mL/min over 100 mm at 1 m/min is 200 µm, under a flat land a gap of 400 µm.
    let line = with_knife(&knife_line(), |knife| {
        knife.shape = Some(wetlane_physics::KnifeShape::FlatLand);
    });
    let run = Setting {
        flow: Some(VolumeFlow::from_ml_per_min(20.0)),
        ..knife_setting(1.0, 200.0)
    };
    let prepared = prepared(&line);
    let [_, axis] = prepared.window_axes(&run);
    let borders = prepared
        .window_borders(&run, axis, 1.0 / 60.0, LimitId::BankStarved)
        .expect("valid");
    assert_eq!(borders.len(), 1);
    assert_close(borders[0], 400e-6, 1e-9, "by hand");
}

#[test]
fn two_sided_limit_turns_twice() {
    // A wanted film of 27 µm ± 10 % from 0.09 of the wire: wires of 270 and 330 µm.
    let prepared = prepared(&wire_bar_line());
    let run = Setting {
        wanted_wet_thickness: Some(Length::from_um(27.0)),
        ..speed_setting(2.0)
    };
    let [_, axis] = prepared.window_axes(&run);
    let borders = prepared
        .window_borders(&run, axis, 2.0 / 60.0, LimitId::BarTarget)
        .expect("valid");
    assert_eq!(borders.len(), 2, "{borders:?}");
    assert_close(borders[0], 270e-6, 1e-9, "by hand");
    assert_close(borders[1], 330e-6, 1e-9, "by hand");
}

#[test]
fn margins_vanish_on_every_border() {
    for (line, setting) in samples() {
        let prepared = prepared(&line);
        let run = Setting {
            wanted_wet_thickness: prepared.wet_thickness(&setting).expect("valid"),
            ..setting
        };
        let [_, axis] = prepared.window_axes(&run);
        let speed = run.speed.expect("set").m_per_s();
        let mut n_borders = 0;
        for limit in LimitId::ALL {
            for border in prepared
                .window_borders(&run, axis, speed, limit)
                .expect("valid")
            {
                let margin = prepared
                    .window_margin_at(&run, [speed, border], limit)
                    .expect("valid")
                    .expect("evaluated");
                assert!(margin.abs() < 1e-8, "{} {margin}", limit.key());
                n_borders += 1;
            }
        }
        assert!(n_borders > 0, "{}", line.head.kind().label());
    }
}

#[test]
fn window_without_what_it_needs_says_so() {
    let mut line = worked_example();
    line = crate::sample_lines::with_die(&line, |die| die.coated_width = None);
    assert_eq!(
        prepared(&line).at_window_place(&setting(1.0, 20.0, 100.0), [0.02, 1e-5]),
        Err(MeteringError::Missing {
            missing: Input::CoatedWidth
        })
    );
    // An anilox that is not known yet still has axes.
    let bare = with_flexo(&flexo_line(), |unit| unit.anilox.cell_volume = None);
    let [_, cells] = prepared(&bare).window_axes(&speed_setting(5.0));
    assert!(cells.least > 0.0 && cells.least < cells.greatest);
}
