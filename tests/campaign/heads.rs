//! Every coating head on a line: planned, judged, on the run sheet and in the report; and one head after another.

use wetlane::campaign::card::Field;
use wetlane::campaign::documents::{report_html, run_sheet_csv, run_sheet_html};
use wetlane::campaign::feasibility::{Depth, Judge, judge_runs};
use wetlane::campaign::head_switch::{own_settings, switch_head};
use wetlane::campaign::moves_along::moves_along;
use wetlane::campaign::planning::{PlanRequest, make_plan, take_plan};
use wetlane::campaign::presets::{foils, inks, lab_coater_with, new_project, quality, usual_range};
use wetlane::campaign::project::{Project, Question, Role, SettingValue, StationKind, Variation};
use wetlane::campaign::project_file::{from_bytes, to_bytes};
use wetlane::campaign::report::ReportParts;
use wetlane::campaign::resolve::resolve;
use wetlane::campaign::validity::problems_of;
use wetlane::campaign::window_axes::{default_axes, window_axis};
use wetlane::campaign::window_map::{WindowMap, window_map};
use wetlane_physics::{HeadKind, LimitId, Station};
use wetlane_stats::design::{DesignKind, DesignRequest, Progress, Seed};

pub(crate) const NOW: &str = "2026-02-05T09:00:00Z";

/// A film on the lab coater with this head, speed and the head's own settings varied over their usual ranges.
pub(crate) fn project(head: HeadKind) -> Project {
    // An invented ink that all heads can lay down: 100 mPa·s.
    let mut ink = inks().remove(0);
    ink = ink.with(Field::Viscosity, 100.0, "mPa·s");
    let foil = foils().remove(0);
    let mut project = new_project(
        head.label(),
        3,
        NOW.to_owned(),
        ink,
        foil,
        lab_coater_with(head),
    );
    for setting in &mut project.settings {
        let is_varied = setting.role == Role::Speed || own_settings(head).contains(&setting.role);
        if let (true, Some((low, high))) = (is_varied, usual_range(setting.role)) {
            setting.variation = Variation::Range {
                low,
                high,
                log: false,
            };
        }
    }
    project.qualities.push(quality("haze", "Haze", "%"));
    project
}

pub(crate) fn planned(head: HeadKind) -> Project {
    let mut project = project(head);
    plan(&mut project);
    project
}

/// A full factorial over what is varied.
pub(crate) fn plan(project: &mut Project) {
    let request = PlanRequest {
        question: Question::WhichMatter,
        model: String::new(),
        design: DesignRequest::new(DesignKind::FullFactorial, Seed(3)),
    };
    let (record, runs) = make_plan(project, &request, NOW, &Progress::unwatched()).unwrap();
    take_plan(record, runs).apply(project).unwrap();
}

/// What the sheet asks to be turned for the film of a head.
fn knob_heading(head: HeadKind) -> &'static str {
    match head {
        HeadKind::SlotDie => "Pump flow",
        HeadKind::Knife => "Gap",
        HeadKind::WireBar => "Wire diameter",
        HeadKind::Gravure | HeadKind::Flexo => "Cell volume",
    }
}

#[test]
fn every_head_is_planned_judged_printed_and_reported() {
    for head in HeadKind::ALL {
        let project = planned(head);
        assert_eq!(problems_of(&project), Vec::new(), "{head:?}");
        assert!(project.runs.len() >= 4, "{head:?}");
        for judged in judge_runs(&project, Depth::Nominal) {
            let judgement = judged
                .judgement
                .unwrap_or_else(|error| panic!("{head:?}: {error}"));
            assert!(
                judgement.feasible().is_some(),
                "{head:?} run {}",
                judged.run
            );
            let of_head = judgement.assessment.limits.iter();
            let n_of_head = of_head
                .filter(|limit| limit.station == Station::Head)
                .count();
            assert!(n_of_head >= 4, "{head:?} has {n_of_head} limits");
            assert!(judgement.resolved.wet_thickness.is_some(), "{head:?}");
            assert!(judgement.resolved.ink_flow.is_some(), "{head:?}");
        }
        let sheet = run_sheet_html(&project);
        assert!(sheet.contains(knob_heading(head)), "{head:?}");
        assert!(
            run_sheet_csv(&project).contains(knob_heading(head)),
            "{head:?}"
        );
        let report = report_html(&project, NOW, ReportParts::default());
        let name = &project.head().unwrap().card.name;
        assert!(report.contains(name.as_str()), "{head:?}");
        let again = from_bytes(&to_bytes(&project).unwrap(), std::path::Path::new("x")).unwrap();
        assert_eq!(again, project);
    }
}

/// Every point of every drawn boundary is where the margin of its limit turns: zero to 1e-6, or a jump of which both sides lie
/// a billionth of the range apart.
pub(crate) fn assert_boundaries_are_where_margins_are_zero(
    project: &Project,
    axes: [&str; 2],
    map: &WindowMap,
) {
    let mut judge = Judge::new(project);
    let mut margin_at = |limit: LimitId, at: [f64; 2]| {
        let mut settings = project.cross();
        for (id, value) in axes.iter().zip(at) {
            settings.insert((*id).to_owned(), SettingValue::Number(value));
        }
        let judged = judge.judge(&settings, Depth::Nominal).unwrap();
        judged.assessment.limit(limit).unwrap().margin().unwrap()
    };
    for curve in &map.curves {
        for piece in &curve.pieces {
            for point in piece {
                let margin = margin_at(curve.limit, *point);
                assert!(margin.abs() < 1e-6, "{}: {margin}", curve.limit.key());
            }
        }
    }
}

#[test]
fn every_head_has_a_window_over_speed_and_its_film() {
    for head in HeadKind::ALL {
        let project = project(head);
        let (x, y) = default_axes(&project).unwrap();
        assert_eq!(project.setting(&x).unwrap().role, Role::Speed);
        let up = project.setting(&y).unwrap().role;
        let expected = match head {
            HeadKind::SlotDie | HeadKind::Knife | HeadKind::WireBar => Role::WetThickness,
            HeadKind::Gravure | HeadKind::Flexo => Role::CellVolume,
        };
        assert_eq!(up, expected, "{head:?}");
        let (x, y) = (
            window_axis(&project, &x, 9).unwrap(),
            window_axis(&project, &y, 9).unwrap(),
        );
        let map = window_map(&project, &project.cross(), &x, &y, &|_| false).unwrap();
        assert!(
            map.feasible(0.5 * (x.low + x.high), 0.5 * (y.low + y.high))
                .is_some()
        );
        assert_boundaries_are_where_margins_are_zero(&project, [&x.id, &y.id], &map);
    }
}

/// The followed value of a role in its usual unit.
pub(crate) fn followed(project: &Project, role: Role) -> f64 {
    let resolved = resolve(project, &project.cross()).unwrap();
    let known = resolved.followed_of(&[role]);
    known
        .unwrap_or_else(|| panic!("{role:?} does not follow"))
        .quantity
        .value
}

pub(crate) fn set(project: &mut Project, role: Role, value: f64) {
    let setting = project
        .settings
        .iter_mut()
        .find(|setting| setting.role == role);
    setting.unwrap().now = SettingValue::Number(value);
}

#[test]
fn each_head_turns_its_own_knob_for_a_wet_thickness() {
    // Flat land without a bank: half the gap (Couette flow between parallel plates).
    let mut knife = project(HeadKind::Knife);
    let station = &mut knife.line.as_mut().unwrap().stations[1];
    station.card.fields.remove(&Field::BankHeight);
    station.card = station.card.clone().with(Field::FilmOverGap, 0.5, "×");
    set(&mut knife, Role::WetThickness, 30.0);
    assert!((followed(&knife, Role::Gap) - 60.0).abs() < 1e-9);

    // Grooves between tightly wound wires hold (1/2 − π/8)·d, plane geometry of circles that touch.
    let mut bar = project(HeadKind::WireBar);
    let station = &mut bar.line.as_mut().unwrap().stations[1];
    station.card =
        station
            .card
            .clone()
            .with(Field::FilmOverWire, 0.5 - std::f64::consts::PI / 8.0, "×");
    set(&mut bar, Role::WetThickness, 21.46);
    let wire = followed(&bar, Role::WireDiameter);
    assert!((wire - 200.0).abs() < 0.02, "{wire} µm");

    // 20 cm³/m² of which 45 % reach a web at the speed of the roll: 9 µm.
    let gravure = project(HeadKind::Gravure);
    assert!((followed(&gravure, Role::WetThickness) - 9.0).abs() < 1e-9);
}

#[test]
fn a_mounted_gravure_roll_makes_the_roll_speed_follow_from_the_film() {
    let mut gravure = project(HeadKind::Gravure);
    let ratio = gravure
        .settings
        .iter()
        .position(|setting| setting.role == Role::SpeedRatio)
        .unwrap();
    gravure.settings[ratio].role = Role::WetThickness;
    gravure.settings[ratio].unit = "µm".to_owned();
    gravure.settings[ratio].now = SettingValue::Number(9.9);
    gravure.settings[ratio].variation = Variation::Fixed;
    // 9.9 µm out of 20 cm³/m² at 45 %: the roll turns a tenth faster.
    assert!((followed(&gravure, Role::SpeedRatio) - 1.1).abs() < 1e-9);
}

#[test]
fn a_capillary_number_sets_the_speed() {
    let mut project = project(HeadKind::SlotDie);
    let speed = project
        .settings
        .iter_mut()
        .find(|setting| setting.role == Role::Speed)
        .unwrap();
    speed.role = Role::CapillaryNumber;
    speed.unit = "×".to_owned();
    speed.variation = Variation::Fixed;
    speed.now = SettingValue::Number(0.05);
    // Ca = μU/σ by hand: 0.05 · 32 mN/m / 100 mPa·s = 16 mm/s = 0.96 m/min.
    let speed = followed(&project, Role::Speed);
    assert!((speed - 0.96).abs() < 1e-9, "{speed}");
}

#[test]
fn another_head_keeps_what_both_have_and_can_be_undone() {
    for from in HeadKind::ALL {
        for kind in [
            StationKind::SlotDie,
            StationKind::Knife,
            StationKind::WireBar,
            StationKind::Gravure,
            StationKind::Flexo,
        ] {
            let mut project = planned(from);
            let before = project.clone();
            let Some(command) = switch_head(&project, kind) else {
                assert_eq!(kind.head(), Some(from));
                continue;
            };
            let inverse = command.apply(&mut project).unwrap();
            assert_eq!(problems_of(&project), Vec::new(), "{from:?} to {kind:?}");
            let head = project.head().unwrap();
            assert_eq!(head.kind, kind);
            let width = Field::CoatedWidth;
            assert_eq!(
                head.card.number(width),
                before.head().unwrap().card.number(width)
            );
            // Whatever the runs hold is still there, and the line can be judged.
            assert_eq!(project.runs, before.runs);
            for id in project.runs[0].planned.keys() {
                assert!(project.setting(id).is_some(), "{from:?} to {kind:?}: {id}");
            }
            let mut judge = Judge::new(&project);
            let judged = judge.judge(&project.cross(), Depth::Nominal);
            judged.unwrap_or_else(|error| panic!("{from:?} to {kind:?}: {error}"));
            inverse.apply(&mut project).unwrap();
            assert_eq!(project, before, "{from:?} to {kind:?}");
        }
    }
}

#[test]
fn what_moves_with_the_speed_is_shown_although_nobody_sets_it() {
    let mut project = planned(HeadKind::SlotDie);
    let dose = project
        .settings
        .iter_mut()
        .find(|entry| entry.role == Role::PlasmaDose)
        .unwrap();
    dose.role = Role::PlasmaPower;
    dose.unit = "W".to_owned();
    dose.now = SettingValue::Number(6.0);
    let judged = judge_runs(&project, Depth::Nominal);
    let moves = moves_along(&project, &judged);
    let of = |role: Role| moves.iter().find(|known| known.role == role).unwrap();
    // 6 W over 120 mm at 0.6 and 2.4 m/min: 6/(0.12 · v), by hand.
    let dose = of(Role::PlasmaDose);
    assert!(
        (dose.low - 6.0 / (0.12 * 2.4)).abs() < 1e-9
            && (dose.high - 6.0 / (0.12 * 0.6)).abs() < 1e-9
    );
    // 1.2 m of dryer.
    let time = of(Role::DryerTime);
    assert!((time.low - 30.0).abs() < 1e-9 && (time.high - 120.0).abs() < 1e-9);
    // A knob that is turned to reach a setting does not move along silently.
    assert!(moves.iter().all(|known| known.role != Role::Flow));
    assert!(run_sheet_html(&project).contains("With these settings move: "));
}
