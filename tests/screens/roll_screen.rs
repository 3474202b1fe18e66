//! The Roll screen by its visible words: the strip colored by readings, and what the order of the runs costs.

use egui::{Theme, vec2};
use egui_kittest::kittest::Queryable;
use wetlane::app::action::{Action, Screen};
use wetlane::campaign::project::Outcome;
use wetlane::campaign::run_order::{full_shuffle, n_stops};
use wetlane::campaign::telling_first::telling_first;

use crate::desk::{
    act, changed_sample, click, is_said, picture, project, sample, settle, wait_for, window_on,
};

const SMALL_LAPTOP: egui::Vec2 = vec2(1366.0, 768.0);

#[test]
fn the_strip_is_colored_by_a_film_quality() {
    let mut harness = window_on(sample(), Screen::Roll, SMALL_LAPTOP, 1.0, Theme::Light);
    harness.get_by_label("the strip shows").click();
    harness.run_steps(3);
    click(&mut harness, "haze");
    wait_for(&mut harness, "lanes: left, centre, right");
    picture(&mut harness, "roll-haze");
    assert!(is_said(&harness, "%"));
}

#[test]
fn an_order_that_tells_more_early_is_offered_with_its_cost_and_undone() {
    let file = changed_sample("roll-order.json", |project| {
        for run in &mut project.runs {
            run.readings.clear();
            run.outcome = Outcome::NotRun;
        }
    });
    let mut harness = window_on(file, Screen::Roll, SMALL_LAPTOP, 1.0, Theme::Light);
    wait_for(&mut harness, "Put the most telling runs first");
    let before = project(&harness).clone();
    let offered = telling_first(&before).unwrap();
    let shuffled = full_shuffle(&before).unwrap();
    let roll = wetlane::campaign::roll::lay_out(&before);
    assert!(shuffled.n_stops > n_stops(&roll) as f64);
    assert!(is_said(
        &harness,
        &format!("{:.0} times (now {})", shuffled.n_stops, n_stops(&roll))
    ));
    let enough = offered.n_until_each_setting.unwrap();
    assert!(is_said(&harness, &format!("After {enough} runs")));
    assert!(enough < before.runs.len());
    let label = harness.get_by_label_contains("Put the most telling runs first");
    label.scroll_to_me();
    harness.run_steps(4);
    picture(&mut harness, "roll-order");
    harness
        .get_by_label_contains("Put the most telling runs first")
        .click();
    settle(&mut harness);
    let order: Vec<u32> = project(&harness)
        .runs
        .iter()
        .map(|run| run.number)
        .collect();
    assert_eq!(order, offered.order);
    act(&mut harness, Action::Undo);
    assert_eq!(project(&harness), &before);
}
