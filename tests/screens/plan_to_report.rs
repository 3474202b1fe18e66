//! From a proposal to the report by visible words: plan, pull, roll, answers.

use egui::{Theme, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use wetlane::app::App;
use wetlane::app::action::{Action, Screen};
use wetlane::campaign::feasibility::{Depth, Judge};

use crate::desk::{changed_sample, click, picture, project, sample, settle, wait_for, window_on};

const SMALL_LAPTOP: egui::Vec2 = vec2(1366.0, 768.0);

fn go_to(harness: &mut Harness<'_, App>, screen: Screen) {
    let ctx = harness.ctx.clone();
    harness.state_mut().act(Action::GoTo(screen), &ctx);
    wait(harness);
}

/// Frames until what a screen asked for in the background has come back.
fn wait(harness: &mut Harness<'_, App>) {
    settle(harness);
    for _ in 0..40 {
        std::thread::sleep(std::time::Duration::from_millis(50));
        harness.step();
    }
    settle(harness);
}

#[test]
fn a_proposal_becomes_runs_that_are_pulled_to_where_they_can_run() {
    let file = changed_sample("without-runs.json", |project| {
        project.runs.clear();
        project.plan = None;
    });
    let mut harness = window_on(file, Screen::Plan, SMALL_LAPTOP, 1.0, Theme::Light);
    picture(&mut harness, "plan-none");
    wait_for(&mut harness, "No plan yet.");
    wait_for(&mut harness, "Fitting");
    click(&mut harness, "Fitting");
    wait_for(&mut harness, "cannot run. Nothing is spent yet.");
    picture(&mut harness, "plan-cannot-run");
    let n_runs = project(&harness).runs.len();

    // The button names as many runs as a judge without the window finds broken.
    let mut judge = Judge::new(project(&harness));
    let mut n_broken = 0;
    for run in &project(&harness).runs {
        let settings = project(&harness).settings_of(run);
        let judged = judge.judge(&settings, Depth::Nominal).unwrap();
        n_broken += usize::from(judged.feasible() == Some(false));
    }
    assert!(n_broken > 0);
    click(&mut harness, &format!("Pull {n_broken} runs to feasible"));
    wait_for(&mut harness, &format!("All {n_runs} runs can run."));
    let n_pulled = project(&harness)
        .runs
        .iter()
        .filter(|run| !run.pulled.is_empty())
        .count();
    assert_eq!(n_pulled, n_broken);

    let ctx = harness.ctx.clone();
    harness.state_mut().act(Action::Undo, &ctx);
    wait_for(&mut harness, "cannot run. Nothing is spent yet.");
    assert!(
        project(&harness)
            .runs
            .iter()
            .all(|run| run.pulled.is_empty())
    );
}

#[test]
fn the_later_screens_say_what_the_campaign_computes() {
    let mut harness = window_on(sample(), Screen::Roll, SMALL_LAPTOP, 1.0, Theme::Dark);
    wait(&mut harness);
    let roll = wetlane::campaign::roll::lay_out(project(&harness));
    let stretch = format!("{} runs on", roll.runs.len());
    assert!(
        harness
            .query_all_by_label_contains(&stretch)
            .next()
            .is_some()
    );
    picture(&mut harness, "roll-dark");

    go_to(&mut harness, Screen::Answers);
    wait_for(&mut harness, "At the cross");
    for quality in project(&harness).qualities.clone() {
        assert!(
            harness.query_all_by_label(&quality.label).next().is_some(),
            "{} is not shown",
            quality.label
        );
    }
    picture(&mut harness, "answers-dark");
    click(&mut harness, "Evidence: terms, scatter, diagnostics");
    wait(&mut harness);
    picture(&mut harness, "evidence-dark");

    go_to(&mut harness, Screen::Report);
    wait_for(&mut harness, "runs done, 1 faulty.");
    click(&mut harness, "History of changes");
    picture(&mut harness, "report-dark");
}
