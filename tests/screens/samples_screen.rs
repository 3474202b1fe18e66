//! Every sample from the start page over all screens, by visible words.

use egui::{Theme, vec2};
use wetlane::app::Setting;
use wetlane::app::action::{Action, Screen};
use wetlane::campaign::feasibility::{Depth, count, judge_runs};
use wetlane::campaign::project::Outcome;
use wetlane::campaign::report::{ReportInput, ReportParts, verdict_sentences};
use wetlane::campaign::samples::SAMPLES;

use crate::desk::{NOW, act, click, picture, project, settle, wait_for, window_with};

#[test]
fn every_sample_opens_from_the_start_page_and_shows_its_story() {
    for sample in SAMPLES {
        let letter = &sample.file_name[..1];
        let setting = Setting::default();
        let mut harness = window_with(setting, vec2(1366.0, 768.0), 1.0, Theme::Light);
        click(&mut harness, "Open a sample");
        picture(&mut harness, "samples");
        wait_for(&mut harness, sample.shows);
        click(&mut harness, sample.title);
        settle(&mut harness);
        assert_eq!(project(&harness).title, sample.title);
        wait_for(&mut harness, "Limits");
        picture(&mut harness, &format!("sample-{letter}-line"));

        act(&mut harness, Action::GoTo(Screen::Plan));
        let n_runs = project(&harness).runs.len();
        wait_for(&mut harness, &format!("run {n_runs}:"));
        let judged = judge_runs(project(&harness), Depth::Nominal);
        wait_for(
            &mut harness,
            &match count(&judged).0 {
                0 => format!("All {n_runs} runs can run."),
                n_beyond => format!("{} of {n_runs} runs can run.", n_runs - n_beyond),
            },
        );
        picture(&mut harness, &format!("sample-{letter}-plan"));

        act(&mut harness, Action::GoTo(Screen::Roll));
        wait_for(&mut harness, &format!("{n_runs} runs on"));
        picture(&mut harness, &format!("sample-{letter}-roll"));

        act(&mut harness, Action::GoTo(Screen::Readings));
        let of_project = project(&harness);
        let faulty = |outcome: &Outcome| matches!(outcome, Outcome::Faulty { .. });
        let has_faults = of_project.runs.iter().any(|run| faulty(&run.outcome));
        wait_for(&mut harness, if has_faults { "faulty" } else { "sound" });
        picture(&mut harness, &format!("sample-{letter}-readings"));

        act(&mut harness, Action::GoTo(Screen::Answers));
        for quality in project(&harness).qualities.clone() {
            wait_for(&mut harness, &quality.label);
        }
        picture(&mut harness, &format!("sample-{letter}-answers"));

        act(&mut harness, Action::GoTo(Screen::Report));
        let of_project = project(&harness);
        let input = ReportInput::gather(of_project, NOW, ReportParts::none(), &|_| false);
        let (verdict, _) = verdict_sentences(&input.expect("nothing stops it"));
        wait_for(&mut harness, &verdict);
        picture(&mut harness, &format!("sample-{letter}-report"));
    }
}
