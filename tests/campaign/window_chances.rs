//! The shade of the window against the chances of single settings, which march every draw.

use wetlane::campaign::chance::chance_of;
use wetlane::campaign::presets::setting as usual;
use wetlane::campaign::project::{Project, Role, SettingValue, Variation};
use wetlane::campaign::window_axes::window_axis;
use wetlane::campaign::window_chances::window_chances;
use wetlane::campaign::window_map::MapAxis;
use wetlane_physics::HeadKind;
use wetlane_physics::probability::{CHART_DRAWS, RESPONSE_ERROR};

use crate::heads::project;

/// Both axes with few points.
fn axes(project: &Project, x: &str, y: &str) -> (MapAxis, MapAxis) {
    (
        window_axis(project, x, 5).unwrap(),
        window_axis(project, y, 5).unwrap(),
    )
}

/// The chance of a single setting, or `None` if it is not known.
fn alone(project: &Project, axes: (&MapAxis, &MapAxis), at: (f64, f64)) -> Option<f64> {
    let mut settings = project.cross();
    for (axis, value) in [(axes.0, at.0), (axes.1, at.1)] {
        settings.insert(axis.id.clone(), SettingValue::Number(value));
    }
    let chance = chance_of(project, &settings, CHART_DRAWS, || false).unwrap();
    chance.map(|chance| chance.all_hold)
}

#[test]
fn the_shade_is_the_chance_of_single_settings_with_every_head() {
    let mut n_between = 0;
    for head in HeadKind::ALL {
        let project = project(head);
        let film = match head {
            HeadKind::SlotDie | HeadKind::Knife | HeadKind::WireBar => Role::WetThickness,
            HeadKind::Gravure | HeadKind::Flexo => Role::CellVolume,
        };
        let id = |role: Role| project.setting_of(role).unwrap().id.clone();
        let (x, y) = axes(&project, &id(Role::Speed), &id(film));
        let map = window_chances(&project, &project.cross(), (&x, &y), &|| false).unwrap();
        assert!(map.counts_drying, "{head:?}");
        for up in &map.chance.ys {
            for across in &map.chance.xs {
                let shade = map.chance.interpolate(*across, *up);
                let single = alone(&project, (&x, &y), (*across, *up));
                let (Some(shade), Some(single)) = (shade, single) else {
                    assert_eq!(shade, single, "{head:?}");
                    continue;
                };
                // Dry speeds of the draws are interpolated; the hottest foil is taken on the careful side.
                assert!(
                    shade <= single + RESPONSE_ERROR && shade >= single - 0.15,
                    "{head:?} at {across}, {up}: {shade} and {single}"
                );
                n_between += usize::from((0.02..0.98).contains(&single));
            }
        }
    }
    assert!(n_between > 5, "some settings are neither sure nor hopeless");
}

#[test]
fn places_on_another_ink_get_draws_of_their_own() {
    let mut project = project(HeadKind::SlotDie);
    let mut solids = usual(Role::Solids);
    solids.variation = Variation::Range {
        low: 0.5,
        high: 1.5,
        log: false,
    };
    project.settings.push(solids);
    let (x, y) = axes(&project, "speed", "solids");
    let map = window_chances(&project, &project.cross(), (&x, &y), &|| false).unwrap();
    assert!(
        !map.counts_drying,
        "the dryer answers for one ink only, and the map says so"
    );
    assert!(
        map.chance
            .values
            .iter()
            .all(|chance| (0.0..=1.0).contains(chance))
    );
}

#[test]
fn the_border_stands_where_the_chance_is_the_one_that_was_asked_for() {
    let mut project = project(HeadKind::SlotDie);
    project.limits.least_chance = Some(0.8);
    let (x, y) = (
        window_axis(&project, "speed", 15).unwrap(),
        window_axis(&project, "wet_thickness", 15).unwrap(),
    );
    let map = window_chances(&project, &project.cross(), (&x, &y), &|| false).unwrap();
    assert!(!map.border.is_empty());
    for point in map.border.iter().flatten() {
        let chance = map.chance.interpolate(point[0], point[1]).unwrap();
        assert!((chance - 0.8).abs() < 1e-9, "{chance}");
    }
}

#[test]
fn a_project_without_a_line_has_no_shade_but_a_reason() {
    let mut project = project(HeadKind::SlotDie);
    let (x, y) = axes(&project, "speed", "wet_thickness");
    project.line = None;
    let why = window_chances(&project, &project.cross(), (&x, &y), &|| false).unwrap_err();
    assert!(why.to_string().contains("no line"), "{why}");
}
