//! Plots and the roll: what is dragged, picked and moved by keys, and what they say in words.

use egui::{Id, Key, Modifiers, Pos2, Rect, pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use wetlane::figure::axis::Axis;
use wetlane::figure::color_map::{MapScale, WantedEnd};
use wetlane::figure::isolines::Grid;
use wetlane::theme;
use wetlane::widgets::foil_strip::{FoilEvent, foil_strip};
use wetlane::widgets::plot::contour_map::{ContourMap, MapLevel};
use wetlane::widgets::plot::cross::CrossMove;
use wetlane::widgets::plot::curve_strip::{CurveStrip, StripMove};
use wetlane::widgets::plot::effect_list::effect_list;
use wetlane::widgets::plot::run_marks::{RunMark, RunMarkKind};
use wetlane::widgets::plot::scatter::{ScatterPlot, ScatterPoint};

use crate::gallery::{effects, roll};
use crate::software_renderer::SoftwareRenderer;

fn page<'a, State: Default + 'a>(
    size: egui::Vec2,
    mut draw: impl FnMut(&mut egui::Ui, &mut State) + 'a,
) -> Harness<'a, State> {
    let mut harness = Harness::builder()
        .with_size(size)
        .with_max_steps(20)
        .with_context_setup(theme::install)
        .renderer(SoftwareRenderer::default())
        .build_ui_state(move |ui, state| draw(ui, state), State::default());
    harness.run();
    harness
}

/// What was done on a map of x + 10 y over 0..4 and 0..2, with the cross at (1, 1), that cannot run beyond x = 3.
#[derive(Default)]
struct MapPage {
    moves: Vec<CrossMove>,
    picked: Vec<u32>,
}

fn map_page<'a>() -> Harness<'a, MapPage> {
    page(vec2(520.0, 320.0), |ui, page: &mut MapPage| {
        let (x, y) = (
            Axis::linear("speed", "m/min", 0.0, 4.0),
            Axis::linear("thickness", "µm", 0.0, 2.0),
        );
        let steps = |n: u8, step: f64| (0..n).map(|i| step * f64::from(i)).collect::<Vec<f64>>();
        let values = Grid::sample(steps(5, 1.0), steps(5, 0.5), |x, y| x + 10.0 * y);
        let margin = Grid::sample(steps(5, 1.0), steps(5, 0.5), |x, _| 3.0 - x);
        let levels = [MapLevel {
            value: 11.0,
            label: "11".into(),
            is_goal: true,
        }];
        let runs = [RunMark {
            at: [2.0, 1.5],
            number: 7,
            kind: RunMarkKind::Sound,
            note: String::new(),
        }];
        let map = ContourMap {
            name: "Haze",
            x: &x,
            y: &y,
            values: &values,
            margin: Some(&margin),
            goals: None,
            revision: 1,
            scale: MapScale {
                low: 0.0,
                high: 24.0,
                is_log: false,
                wanted: WantedEnd::Low,
            },
            unit: "%",
            levels: &levels,
            notes: &[],
            cross: Some([1.0, 1.0]),
            runs: &runs,
            selected: None,
        };
        let output = map.show(ui, vec2(500.0, 300.0));
        page.moves.extend(output.moved);
        page.picked.extend(output.picked);
    })
}

/// Where a share of a rectangle across and up stands.
fn place(rect: Rect, across: f32, up: f32) -> Pos2 {
    pos2(
        rect.left() + across * rect.width(),
        rect.bottom() - up * rect.height(),
    )
}

#[test]
fn a_map_tells_the_value_at_the_cross() {
    let harness = map_page();
    harness.get_by_label("Haze; at the cross 11.0 %"); // 1 + 10 * 1, by hand
}

#[test]
fn the_cross_is_dragged_and_reported_done_once() {
    let mut harness = map_page();
    let field = harness.get_by_label_contains("Haze").rect();
    harness.drag_at(place(field, 0.25, 0.5) + vec2(3.0, 0.0));
    harness.run();
    harness.hover_at(place(field, 0.4, 0.6));
    harness.run();
    harness.drop_at(place(field, 0.5, 0.75) + vec2(3.0, 0.0));
    harness.run();
    let done: Vec<&CrossMove> = harness.state().moves.iter().filter(|m| m.is_done).collect();
    assert_eq!(done.len(), 1, "{:?}", harness.state().moves);
    let [across, up] = done[0].to;
    assert!(
        (across - 2.0).abs() < 0.02 && (up - 1.5).abs() < 0.02,
        "{across} {up}"
    );
    assert!(
        harness.state().moves.len() > 1,
        "moves are reported on the way"
    );
}

#[test]
fn a_drag_far_from_the_cross_moves_nothing() {
    let mut harness = map_page();
    let field = harness.get_by_label_contains("Haze").rect();
    harness.drag_at(place(field, 0.7, 0.2));
    harness.run();
    harness.hover_at(place(field, 0.75, 0.3));
    harness.run();
    harness.drop_at(place(field, 0.8, 0.3));
    harness.run();
    assert!(harness.state().moves.is_empty());
}

#[test]
fn arrows_move_the_cross_by_a_hundredth_of_the_axis() {
    let mut harness = map_page();
    harness.get_by_label_contains("Haze").focus();
    harness.run();
    harness.key_press(Key::ArrowRight);
    harness.run();
    harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowUp);
    harness.run();
    let [across, up] = [0, 1].map(|i| harness.state().moves[i].to);
    assert!(
        (across[0] - 1.04).abs() < 1e-4 && (across[1] - 1.0).abs() < 1e-4,
        "{across:?}"
    );
    assert!(
        (up[0] - 1.0).abs() < 1e-4 && (up[1] - 1.1).abs() < 1e-4,
        "{up:?}"
    );
}

#[test]
fn a_run_is_picked_on_the_map() {
    let mut harness = map_page();
    let field = harness.get_by_label_contains("Haze").rect();
    for at in [place(field, 0.5, 0.75), place(field, 0.1, 0.1)] {
        harness.drag_at(at);
        harness.drop_at(at);
        harness.run();
    }
    assert_eq!(harness.state().picked, [7]);
}

#[test]
fn a_strip_moves_its_setting_by_press_and_by_arrow() {
    let mut harness = page(vec2(300.0, 120.0), |ui, moves: &mut Vec<StripMove>| {
        let (x, y) = (
            Axis::linear("", "", 10.0, 20.0),
            Axis::linear("", "", 0.0, 50.0),
        );
        let strip = CurveStrip {
            name: "Wet thickness",
            unit: "µm",
            x: &x,
            y: &y,
            curve: &[[10.0, 40.0], [20.0, 20.0]],
            band: &[],
            goal: Some((30.0, WantedEnd::Low)),
            at: 15.0,
            ends: ("10", "20"),
            shows_numbers: false,
        };
        moves.extend(strip.show_at(ui, Rect::from_min_size(pos2(40.0, 30.0), vec2(200.0, 56.0))));
    });
    harness.drag_at(pos2(80.0, 60.0));
    harness.drop_at(pos2(80.0, 60.0));
    harness.run();
    harness.get_by_label("Wet thickness, 15.0 µm").focus();
    harness.run();
    harness.key_press(Key::ArrowLeft);
    harness.run();
    let done: Vec<f64> = harness
        .state()
        .iter()
        .filter(|m| m.is_done)
        .map(|m| m.to)
        .collect();
    assert_eq!(done.len(), 2, "{done:?}");
    assert!(
        (done[0] - 12.0).abs() < 0.01 && (done[1] - 14.9).abs() < 1e-4,
        "{done:?}"
    ); // 40 of 200 points; 1 % of 10
}

#[test]
fn a_point_is_picked_and_effects_are_read_in_words() {
    let mut harness = page(
        vec2(400.0, 500.0),
        |ui, picked: &mut (Option<u32>, Option<usize>)| {
            let (x, y) = (
                Axis::linear("run", "", 0.0, 10.0),
                Axis::linear("residual", "%", -10.0, 10.0),
            );
            let points = [ScatterPoint {
                at: [5.0, 0.0],
                run: Some(5),
                ..ScatterPoint::default()
            }];
            let plot = ScatterPlot {
                name: "Residuals",
                x: &x,
                y: &y,
                points: &points,
                lines: &[],
                rules: &[],
                selected: None,
            };
            picked.0 = plot.show(ui, vec2(380.0, 200.0)).picked.or(picked.0);
            let scale = Axis::linear("", "%", -75.0, 30.0);
            picked.1 = effect_list(ui, ("What matters", ""), &effects(), &scale, None).or(picked.1);
        },
    );
    let field = harness.get_by_label("Residuals, 1 points").rect();
    harness.drag_at(field.center());
    harness.drop_at(field.center());
    harness.run();
    harness
        .get_by_label("Gap: cannot tell, between −4 and +9 % over 100 to 250 µm")
        .click();
    harness.run();
    assert_eq!(*harness.state(), (Some(5), Some(2)));
}

fn roll_page<'a>() -> Harness<'a, Vec<FoilEvent>> {
    page(vec2(1200.0, 400.0), |ui, events: &mut Vec<FoilEvent>| {
        events.extend(foil_strip(ui, Id::unique("roll"), &roll()));
    })
}

#[test]
fn runs_on_the_roll_are_named_picked_and_moved_by_keys() {
    let mut harness = roll_page();
    harness
        .get_by_label("run 8, 15.5 to 17.0 m, bottle 1, cannot run")
        .click();
    harness.run();
    harness.key_press(Key::ArrowRight);
    harness.run();
    harness.key_press_modifiers(Modifiers::ALT, Key::ArrowLeft);
    harness.run();
    harness.key_press_modifiers(Modifiers::ALT | Modifiers::SHIFT, Key::ArrowLeft);
    harness.run();
    // Run 11 stays selected, as the page keeps its data: it is tenth counted from 0 and opens the fifth set-up.
    let expected = [
        FoilEvent::Pick { run: 8 },
        FoilEvent::Pick { run: 12 },
        FoilEvent::MoveRun { from: 10, to: 9 },
        FoilEvent::MoveSetUp { from: 4, to: 3 },
    ];
    assert_eq!(*harness.state(), expected);
}

#[test]
fn a_run_is_dragged_to_another_place_and_a_set_up_by_its_bar() {
    let mut harness = roll_page();
    let from = harness.get_by_label_contains("run 3, ").rect().center();
    let to = harness.get_by_label_contains("run 6, ").rect();
    harness.drag_at(from);
    harness.run();
    harness.hover_at(to.center());
    harness.run();
    harness.drop_at(to.left_center() + vec2(2.0, 0.0));
    harness.run();
    // Run 3 (place 2) is dropped before run 6 (place 5) and so comes to place 4.
    assert_eq!(*harness.state(), [FoilEvent::MoveRun { from: 2, to: 4 }]);
    let bar = harness
        .get_by_label_contains("bottle change at 20.0 m")
        .rect();
    let first = harness.get_by_label_contains("set-up at 6.5 m").rect();
    harness.drag_at(bar.center_top() + vec2(0.0, 4.0));
    harness.run();
    harness.hover_at(first.center() + vec2(-1.0, 0.0));
    harness.run();
    harness.drop_at(first.center() + vec2(-1.0, 0.0));
    harness.run();
    assert_eq!(
        harness.state().last(),
        Some(&FoilEvent::MoveSetUp { from: 4, to: 1 })
    );
}
