//! What runs can tell before they are made, what leaving some out costs, and what an order by hand does.

use wetlane::campaign::command::Command;
use wetlane::campaign::data_map::{data_map, mapped_qualities};
use wetlane::campaign::feasibility::{Depth, Judge, count, judge_runs};
use wetlane::campaign::fitting::longest_sample_that_fits;
use wetlane::campaign::leave_out::leave_out;
use wetlane::campaign::plan_worth::{Stratum, WorthError, plan_worth};
use wetlane::campaign::planning::{PlanRequest, make_plan, take_plan};
use wetlane::campaign::project::{
    Effort, EffortClass, Project, Question, ReadingValue, Role, RunRole, SettingEntry,
    SettingValue, Variation,
};
use wetlane::campaign::pull::pull_runs;
use wetlane::campaign::roll::lay_out;
use wetlane::campaign::run_order::{drift_correlations, full_shuffle, n_stops, n_strip_downs};
use wetlane::campaign::samples::SAMPLES;
use wetlane_stats::design::{DesignKind, DesignRequest, OrderRule, Progress, Seed};

use crate::support::assert_close;

fn sample() -> Project {
    (SAMPLES[0].make)().unwrap()
}

/// A setting that physics knows nothing of, −1 to 1.
fn free(id: &str, class: EffortClass) -> SettingEntry {
    SettingEntry {
        id: id.to_owned(),
        label: id.to_owned(),
        role: Role::Free,
        unit: String::new(),
        now: SettingValue::Number(0.0),
        variation: Variation::Range {
            low: -1.0,
            high: 1.0,
            log: false,
        },
        step: None,
        scatter: None,
        effort: Effort {
            class,
            minutes: 10.0,
        },
    }
}

/// Four settings, the half of all combinations with D = ABC, made twice.
fn half_fraction(hard: bool, order: OrderRule) -> Project {
    let mut project = Project::new("Invented", "half".to_owned(), String::new(), 7);
    for (place, id) in ["one", "two", "three", "four"].into_iter().enumerate() {
        let class = if hard && place == 0 {
            EffortClass::StopAndWait
        } else {
            EffortClass::OnTheFly
        };
        project.settings.push(free(id, class));
    }
    let mut design = DesignRequest::new(DesignKind::FractionalFactorial, Seed(7));
    design.n_runs = Some(8);
    design.n_centre = Some(0);
    design.n_replicates = 2;
    design.order = order;
    let request = PlanRequest {
        question: Question::WhichMatter,
        model: String::new(),
        design,
    };
    let (record, runs) = make_plan(&project, &request, "", &Progress::unwatched()).unwrap();
    take_plan(record, runs).apply(&mut project).unwrap();
    project
}

#[test]
fn a_half_fraction_finds_a_change_of_one_and_a_half_scatters() {
    let worth = plan_worth(&half_fraction(false, OrderRule::Shuffled), &[]).unwrap();
    assert_eq!((worth.n_runs, worth.model.as_str()), (16, "linear"));
    assert_eq!(worth.evaluation.error_df, 11);
    assert_eq!(worth.n_set_ups, None);
    assert!(worth.terms.iter().all(|term| term.is_single));
    for term in &worth.terms {
        // λ with P(F'(1, 11, λ) > F(0.95; 1, 11)) = 0.8 from the Poisson mixture of beta functions (Johnson, Kotz &
        // Balakrishnan 1995) in mpmath 1.3.0 at 30 digits is 9.476…; a contrast of n runs has λ = n (E/2σ)².
        assert_close(
            *term.sure_change.as_ref().unwrap(),
            1.539_194_337_851_11,
            1e-9,
            &term.label,
        );
        // Each of 16 orthogonal columns of ±1: σ/√16.
        assert_close(*term.relative_se.as_ref().unwrap(), 0.25, 1e-12, "σ/√n");
    }
}

#[test]
fn a_half_fraction_mixes_pairs_as_tables_print() {
    // I = ABCD: AB = CD, AC = BD, AD = BC (Montgomery, Design and Analysis of Experiments, the half fraction of 2⁴).
    let worth = plan_worth(&half_fraction(false, OrderRule::Shuffled), &[]).unwrap();
    let mut confused = worth.confused;
    confused.sort();
    assert_eq!(
        confused,
        [
            ["one × four", "two × three"],
            ["one × three", "two × four"],
            ["one × two", "three × four"],
        ]
    );
    assert!(worth.alike.is_empty());
}

#[test]
fn a_setting_that_is_hard_to_change_is_told_less_surely() {
    let worth = plan_worth(&half_fraction(true, OrderRule::Shuffled), &[]).unwrap();
    let n_set_ups = worth.n_set_ups.unwrap();
    assert!(n_set_ups < 16, "{n_set_ups}");
    let hard = &worth.terms[0];
    assert_eq!(
        (hard.label.as_str(), hard.stratum),
        ("one", Some(Stratum::SetUps))
    );
    for easy in &worth.terms[1..] {
        assert_eq!(easy.stratum, Some(Stratum::Runs));
        assert!(
            hard.relative_se.as_ref().unwrap() > easy.relative_se.as_ref().unwrap(),
            "{}",
            easy.label
        );
    }
}

#[test]
fn nothing_is_told_without_runs_or_ranges() {
    let mut project = half_fraction(false, OrderRule::Shuffled);
    let all: Vec<u32> = project.runs.iter().map(|run| run.number).collect();
    assert_eq!(plan_worth(&project, &all), Err(WorthError::NoRuns));
    for setting in &mut project.settings {
        setting.variation = Variation::Fixed;
    }
    assert_eq!(plan_worth(&project, &[]), Err(WorthError::NothingVaried));
}

#[test]
fn leaving_runs_out_says_what_it_costs_and_can_be_taken_back() {
    let mut project = half_fraction(false, OrderRule::Shuffled);
    let before = project.clone();
    let left = leave_out(&project, &[2, 5, 99]).unwrap();
    assert_eq!(left.runs, [2, 5]);
    assert!(left.cost.starts_with("14 runs are left."), "{}", left.cost);
    assert!(
        left.cost.contains("grows from 1.54 to"),
        "the smallest sure change is named: {}",
        left.cost
    );
    let back = left.command.apply(&mut project).unwrap();
    assert_eq!(project.runs.len(), 14);
    assert!(project.run(2).is_none() && project.run(5).is_none());
    back.apply(&mut project).unwrap();
    assert_eq!(project, before);
    // Runs with results are never left out.
    let measured = sample();
    let all: Vec<u32> = measured.runs.iter().map(|run| run.number).collect();
    assert_eq!(leave_out(&measured, &all), None);
}

#[test]
fn pulled_runs_can_run_and_the_others_are_named() {
    let mut project = sample();
    for run in &mut project.runs {
        run.readings.clear();
        run.pulled.clear();
        run.outcome = wetlane::campaign::project::Outcome::NotRun;
    }
    let judged = judge_runs(&project, Depth::Nominal);
    let stuck: Vec<u32> = judged
        .iter()
        .filter(|judged| judged.feasible() == Some(false))
        .map(|judged| judged.run)
        .collect();
    assert!(!stuck.is_empty());
    let found = pull_runs(&project, &stuck, |_| false);
    assert_eq!(found.pulled.len() + found.left.len(), stuck.len());
    for (run, pulled) in &found.pulled {
        Command::PullRun {
            run: *run,
            pulled: pulled.settings.clone(),
        }
        .apply(&mut project)
        .unwrap();
    }
    let mut judge = Judge::new(&project);
    for (number, _) in &found.pulled {
        let settings = project.settings_of(project.run(*number).unwrap());
        let judged = judge.judge(&settings, Depth::Nominal).unwrap();
        assert_eq!(judged.feasible(), Some(true), "run {number}");
    }
    assert_eq!(
        count(&judge_runs(&project, Depth::Nominal)).0,
        found.left.len()
    );
    // Stopped at once: nothing is claimed.
    let stopped = pull_runs(&project, &stuck, |_| true);
    assert!(stopped.pulled.is_empty() && stopped.left.is_empty());
}

#[test]
fn the_longest_sample_fits_and_a_centimetre_more_does_not() {
    let mut project = sample();
    assert!(!lay_out(&project).totals.shortfalls().is_empty());
    let longest = longest_sample_that_fits(&project).unwrap();
    project.budget.sample_m = longest;
    assert!(lay_out(&project).totals.shortfalls().is_empty());
    project.budget.sample_m = longest + 0.01;
    assert!(!lay_out(&project).totals.shortfalls().is_empty());
    // What fits already needs no advice, and what never fits gets none.
    project.budget.sample_m = longest;
    assert_eq!(longest_sample_that_fits(&project), None);
    project.budget.hours = Some(0.1);
    assert_eq!(longest_sample_that_fits(&project), None);
}

#[test]
fn an_order_sorted_by_a_setting_follows_the_roll() {
    let mut project = half_fraction(false, OrderRule::Shuffled);
    let key = |run: &wetlane::campaign::project::Run| match run.setting("one") {
        Some(SettingValue::Number(number)) => *number > 0.0,
        _ => false,
    };
    project.runs.sort_by_key(key);
    let (id, r) = drift_correlations(&project).remove(0);
    assert_eq!(id, "one");
    // Eight times −1, then eight times 1, against 0…15: sums of squares 16 and 340, of products 64.
    assert_close(r, 64.0 / (16.0_f64 * 340.0).sqrt(), 1e-12, "Pearson");
}

#[test]
fn a_full_shuffle_stops_more_often_than_kept_set_ups() {
    let project = sample();
    let roll = lay_out(&project);
    let shuffled = full_shuffle(&project).unwrap();
    assert!(shuffled.n_stops > n_stops(&roll) as f64);
    assert!(shuffled.n_strip_downs > n_strip_downs(&roll) as f64);
    assert!(shuffled.minutes.unwrap() > 60.0 * roll.totals.hours.unwrap());
    assert_eq!(full_shuffle(&project), Some(shuffled));
    let mut none = project;
    none.runs.clear();
    assert_eq!(full_shuffle(&none), None);
}

#[test]
fn a_data_map_holds_the_means_of_the_readings_that_count() {
    let mut project = sample();
    let quality = mapped_qualities(&project)[0].clone();
    let run = project
        .runs
        .iter_mut()
        .find(|run| run.role == RunRole::Plan && run.has_results())
        .unwrap();
    let number = run.number;
    run.readings.retain(|reading| reading.quality == quality.id);
    let reading = run.readings[0].clone();
    run.readings = ["left", "left", "right"]
        .into_iter()
        .zip([1.0, 3.0, 5.0])
        .map(|(place, value)| {
            let mut new = reading.clone();
            place.clone_into(&mut new.place);
            new.value = ReadingValue::Exact(value);
            new
        })
        .collect();
    let mut aside = reading;
    aside.set_aside = Some("dust".to_owned());
    aside.value = ReadingValue::Exact(1e6);
    run.readings.push(aside);
    let map = data_map(&project, &quality).unwrap();
    let lanes = map.runs.iter().find(|lanes| lanes.run == number).unwrap();
    assert_eq!(lanes.values, [Some(2.0), None, Some(5.0)]);
    assert!(map.scale.high < 1e6);
    let positions = map.positions(number).unwrap();
    assert!(positions[1].is_none());
    assert!(map.positions(9999).is_none());
}
