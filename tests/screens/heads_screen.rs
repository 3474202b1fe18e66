//! Every coating head from the start page to a judged plan, by visible words.

use egui::{Theme, vec2};
use egui_kittest::kittest::Queryable;
use wetlane::app::Setting;
use wetlane::app::action::{Action, Screen};
use wetlane_physics::HeadKind;

use crate::desk::{act, click, is_said, picture, project, settle, wait_for, window_with};

/// The name of the head on the spine.
fn spine_name(head: HeadKind) -> &'static str {
    match head {
        HeadKind::SlotDie => "Head, slot die",
        HeadKind::Knife => "Head, knife",
        HeadKind::WireBar => "Head, wire bar",
        HeadKind::Gravure => "Head, gravure",
        HeadKind::Flexo => "Head, flexo",
    }
}

#[test]
fn a_film_with_each_head_reaches_a_judged_plan() {
    for head in HeadKind::ALL {
        let setting = Setting::default();
        let mut harness = window_with(setting, vec2(1366.0, 768.0), 1.0, Theme::Light);
        click(&mut harness, "New film…");
        click(&mut harness, head.label());
        picture(&mut harness, &format!("head-{}-new", head.key()));
        click(&mut harness, "Make the project");
        settle(&mut harness);
        assert_eq!(project(&harness).head_kind(), head);
        assert!(is_said(&harness, spine_name(head)));
        picture(&mut harness, &format!("head-{}-line", head.key()));
        act(&mut harness, Action::GoTo(Screen::Plan));
        wait_for(&mut harness, "Small");
        click(&mut harness, "Small");
        wait_for(&mut harness, "run 1:");
        wait_for(&mut harness, "Figures: power");
        assert!(project(&harness).runs.len() >= 4);
        picture(&mut harness, &format!("head-{}-plan", head.key()));
    }
}

#[test]
fn the_head_is_switched_on_the_card_of_the_line() {
    let setting = Setting::default();
    let mut harness = window_with(setting, vec2(1366.0, 768.0), 1.0, Theme::Dark);
    click(&mut harness, "New film…");
    click(&mut harness, "Make the project");
    settle(&mut harness);
    let edits: Vec<_> = harness.get_all_by_label("Edit…").collect();
    edits[2].click();
    drop(edits);
    settle(&mut harness);
    harness.get_by_label("coating head").scroll_to_me();
    harness.run_steps(4);
    harness.get_by_label("coating head").click();
    harness.run_steps(3);
    click(&mut harness, "knife over roll");
    settle(&mut harness);
    assert_eq!(project(&harness).head_kind(), HeadKind::Knife);
    picture(&mut harness, "head-switched");
    act(&mut harness, Action::Undo);
    assert_eq!(project(&harness).head_kind(), HeadKind::SlotDie);
}
