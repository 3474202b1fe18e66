//! The Plan screen by its visible words: goals, amounts, proposals, runs, the offers for runs that cannot run.

use egui::{Key, Theme, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use wetlane::app::App;
use wetlane::app::action::{Action, Screen};
use wetlane::campaign::feasibility::{Depth, judge_runs};
use wetlane::campaign::plan_worth::plan_worth;
use wetlane::campaign::project::{Goal, Outcome, Project, Question, RunRole};
use wetlane::campaign::proposals::proposals;
use wetlane::campaign::roll::lay_out;

use crate::desk::{
    act, changed_sample, click, is_said, picture, project, sample, settle, type_into, wait_for,
    window_on,
};

const SMALL_LAPTOP: egui::Vec2 = vec2(1366.0, 768.0);

fn undo(harness: &mut Harness<'_, App>) {
    act(harness, Action::Undo);
}

/// The sample with the runs of its plan as if none had been made, none of them pulled.
fn untouched(project: &mut Project) {
    for run in &mut project.runs {
        run.readings.clear();
        run.pulled.clear();
        run.as_run.clear();
        run.on_purpose = None;
        run.outcome = Outcome::NotRun;
    }
}

fn stuck(project: &Project) -> Vec<u32> {
    judge_runs(project, Depth::Nominal)
        .iter()
        .filter(|judged| judged.feasible() == Some(false))
        .map(|judged| judged.run)
        .collect()
}

fn plan_of_nothing_spent<'a>(name: &str) -> Harness<'a, App> {
    let file = changed_sample(name, untouched);
    let mut harness = window_on(file, Screen::Plan, SMALL_LAPTOP, 1.0, Theme::Light);
    wait_for(&mut harness, "cannot run. Nothing is spent yet.");
    harness
}

#[test]
fn pictures_of_the_plan() {
    let mut harness = plan_of_nothing_spent("plan-look.json");
    wait_for(&mut harness, "Fitting");
    wait_for(&mut harness, "Figures: power");
    harness.run_steps(20);
    picture(&mut harness, "plan-light");
    harness.get_by_label_contains("run 4:").click();
    wait_for(&mut harness, "Hatched at");
    settle(&mut harness);
    picture(&mut harness, "plan-selected");
    for (name, size, scale, look) in [
        ("plan-dark", SMALL_LAPTOP, 1.0, Theme::Dark),
        ("plan-small", vec2(683.0, 384.0), 2.0, Theme::Light),
        ("plan-1024", vec2(1024.0, 768.0), 1.0, Theme::Light),
    ] {
        let mut harness = window_on(sample(), Screen::Plan, size, scale, look);
        wait_for(&mut harness, "can run");
        harness.run_steps(20);
        picture(&mut harness, name);
        if size.x < 900.0 {
            click(&mut harness, "Proposals");
            wait_for(&mut harness, "Fitting");
            picture(&mut harness, "plan-small-proposals");
            click(&mut harness, "Runs");
            picture(&mut harness, "plan-small-runs");
        }
    }
}

#[test]
fn runs_that_cannot_run_are_kept_on_purpose_with_a_reason_in_one_step() {
    let mut harness = plan_of_nothing_spent("plan-keep.json");
    let broken = stuck(project(&harness));
    assert!(broken.len() > 1);
    click(&mut harness, "Keep them on purpose…");
    type_into(&mut harness, "reason", "to see the bead break");
    let kept = |harness: &Harness<'_, App>| -> Vec<u32> {
        let runs = project(harness).runs.iter();
        let kept = runs.filter(|run| run.on_purpose.as_deref() == Some("to see the bead break"));
        kept.map(|run| run.number).collect()
    };
    assert_eq!(kept(&harness), broken);
    wait_for(
        &mut harness,
        "break a limit on purpose. Nothing is spent yet.",
    );
    undo(&mut harness);
    assert!(kept(&harness).is_empty());
}

#[test]
fn leaving_runs_out_says_first_what_that_costs() {
    let mut harness = plan_of_nothing_spent("plan-leave-out.json");
    let before = project(&harness).clone();
    let broken = stuck(&before);
    click(&mut harness, "Leave them out…");
    wait_for(&mut harness, "Without runs");
    let cost = wetlane::campaign::leave_out::leave_out(&before, &broken)
        .expect("runs without results")
        .cost;
    assert!(is_said(&harness, &cost), "{cost}");
    click(&mut harness, &format!("Leave out {} runs", broken.len()));
    settle(&mut harness);
    let left = &project(&harness).runs;
    assert_eq!(left.len(), before.runs.len() - broken.len());
    assert!(left.iter().all(|run| !broken.contains(&run.number)));
    undo(&mut harness);
    assert_eq!(project(&harness).runs, before.runs);
}

#[test]
fn a_goal_is_typed_and_an_impossible_one_is_refused_with_the_text_kept() {
    let mut harness = plan_of_nothing_spent("plan-goal.json");
    let goal = |harness: &Harness<'_, App>| {
        let qualities = &project(harness).qualities;
        let haze = qualities.iter().find(|quality| quality.label == "Haze");
        haze.expect("the sample has it").goal
    };
    assert_eq!(goal(&harness), Goal::AtMost(1.8));
    click(&mut harness, "Haze");
    type_into(&mut harness, "Bound, %", "1,5");
    assert_eq!(goal(&harness), Goal::AtMost(1.5));
    type_into(&mut harness, "Bound, %", "low");
    assert_eq!(goal(&harness), Goal::AtMost(1.5));
    assert_eq!(
        harness.get_by_label("Bound, %").accesskit_node().value(),
        Some("low".to_owned())
    );
    click(&mut harness, "Take it away");
    assert!(
        project(&harness)
            .qualities
            .iter()
            .all(|quality| quality.label != "Haze")
    );
    undo(&mut harness);
    assert_eq!(goal(&harness), Goal::AtMost(1.5));
}

#[test]
fn amounts_are_typed_and_the_bars_follow() {
    let mut harness = plan_of_nothing_spent("plan-amounts.json");
    click(&mut harness, "Change ink, foil, time, sample…");
    type_into(&mut harness, "Ink, mL", "200");
    assert_eq!(project(&harness).budget.ink_ml, Some(200.0));
    type_into(&mut harness, "Ink, mL", "-3");
    assert_eq!(project(&harness).budget.ink_ml, Some(200.0));
    type_into(&mut harness, "Sample, m", "2");
    assert!((project(&harness).budget.sample_m - 2.0).abs() < f64::EPSILON);
    let foil = lay_out(project(&harness)).totals.foil_m;
    let words = wetlane::campaign::answers::plain(foil);
    wait_for(&mut harness, &format!("{words} of 40.0 m"));
}

#[test]
fn proposals_on_the_screen_are_those_of_the_planner() {
    let file = changed_sample("plan-proposals.json", untouched);
    let mut harness = window_on(file, Screen::Plan, SMALL_LAPTOP, 1.0, Theme::Light);
    wait_for(&mut harness, "Fitting");
    click(&mut harness, "Map the response");
    let offered = proposals(project(&harness), Question::MapTheResponse);
    assert!(offered.len() > 1);
    for proposal in &offered {
        let runs = format!(
            "{}, runs: {}",
            proposal.title.to_lowercase(),
            proposal.n_runs
        );
        wait_for(&mut harness, &runs);
    }
    let last = &offered[offered.len() - 1];
    click(&mut harness, &last.title);
    let mut tries = 0..400;
    assert!(tries.any(|_| {
        harness.step();
        std::thread::sleep(std::time::Duration::from_millis(20));
        project(&harness).runs.len() == last.n_runs
    }));
    let plan = project(&harness).plan.as_ref().expect("taken");
    assert_eq!(plan.question, Question::MapTheResponse);
    assert_eq!(plan.kind, last.request.design.kind.key());
    let title = harness.get_by_label(&last.title).accesskit_node();
    assert_eq!(title.toggled(), Some(egui::accesskit::Toggled::True));
}

#[test]
fn arrow_keys_go_through_the_runs() {
    let mut harness = plan_of_nothing_spent("plan-keys.json");
    let is_selected = |harness: &Harness<'_, App>, run: u32| {
        let label = format!("run {run}:");
        let row = harness.get_by_label_contains(&label);
        row.accesskit_node().toggled() == Some(egui::accesskit::Toggled::True)
    };
    harness.get_by_label_contains("run 1:").click();
    harness.run_steps(3);
    assert!(is_selected(&harness, 1));
    for (key, run) in [
        (Key::ArrowDown, 2),
        (Key::ArrowDown, 3),
        (Key::ArrowUp, 2),
        (Key::ArrowUp, 1),
        // There is none above the first.
        (Key::ArrowUp, 1),
    ] {
        harness.key_press(key);
        harness.run_steps(3);
        assert!(is_selected(&harness, run), "run {run}");
    }
}

#[test]
fn what_the_plan_can_tell_is_what_its_evaluation_says() {
    let mut harness = plan_of_nothing_spent("plan-worth.json");
    wait_for(&mut harness, "Figures: power");
    let worth = plan_worth(project(&harness), &[]).expect("a plan");
    let single = worth.terms.iter().filter(|term| term.is_single);
    for term in single.clone() {
        let change = *term.sure_change.as_ref().expect("told");
        let words = wetlane::campaign::answers::plain(change);
        let said = format!("{}: smallest sure change {words} σ", term.label);
        assert!(is_said(&harness, &said), "{said}");
    }
    assert!(single.count() > 3);
    let link = "Figures: power, variance, efficiency";
    harness.get_by_label(link).scroll_to_me();
    harness.run_steps(4);
    click(&mut harness, link);
    wait_for(&mut harness, "D-efficiency");
    picture(&mut harness, "plan-figures");
}

/// Asks the expert fold for a Latin hypercube whose search takes this many trials.
fn search(harness: &mut Harness<'_, App>, trials: &str) {
    click(harness, "Every plan kind, generator, block, seed");
    settle(harness);
    harness.get_by_label("kind of plan").click();
    harness.run_steps(3);
    click(harness, "Latin hypercube");
    type_into(harness, "runs", "12");
    type_into(harness, "trials a start", trials);
    harness.get_by_label("Make this plan").scroll_to_me();
    harness.run_steps(4);
    click(harness, "Make this plan");
}

#[test]
fn the_expert_fold_makes_the_plan_it_was_asked_for() {
    let mut harness = plan_of_nothing_spent("plan-expert.json");
    search(&mut harness, "2000");
    settle(&mut harness);
    let mut tries = 0..400;
    let is_made = |harness: &Harness<'_, App>| {
        let plan = project(harness).plan.as_ref().expect("a plan");
        plan.kind == "latin-hypercube"
    };
    assert!(tries.any(|_| {
        harness.step();
        std::thread::sleep(std::time::Duration::from_millis(20));
        is_made(&harness)
    }));
    let runs = project(&harness).runs.iter();
    assert_eq!(runs.filter(|run| run.role == RunRole::Plan).count(), 12);
    picture(&mut harness, "plan-expert");
}

#[test]
fn a_search_is_stopped_and_the_plan_stays() {
    let mut harness = plan_of_nothing_spent("plan-stop.json");
    let before = project(&harness).clone();
    search(&mut harness, "900000000");
    wait_for(&mut harness, "Searching:");
    picture(&mut harness, "plan-searching");
    click(&mut harness, "Stop the search");
    settle(&mut harness);
    assert!(!is_said(&harness, "Searching:"));
    assert_eq!(project(&harness), &before);
}

#[test]
fn a_plan_that_was_searched_for_other_settings_is_dropped_with_a_word() {
    let mut harness = plan_of_nothing_spent("plan-dropped.json");
    click(&mut harness, "Haze");
    type_into(&mut harness, "Bound, %", "1.5");
    search(&mut harness, "300000");
    undo(&mut harness);
    wait_for(&mut harness, "so the plan was dropped");
    let plan = project(&harness).plan.as_ref().expect("the old one");
    assert_ne!(plan.kind, "latin-hypercube");
}
