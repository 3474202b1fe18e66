//! The roll as a figure: runs along the foil and what is left of ink, foil and time.

use super::feasibility::RunJudgement;
use super::project::{Outcome, Project, RunRole};
use super::roll::{Roll, RunOnRoll};
use crate::figure::foil_strip::{FoilStrip, Gauge, Stop, StripRun};
use crate::figure::run_marks::RunMarkKind;
use crate::number_text::format_number;

/// The strip of a laid-out roll; runs that cannot run, or were faulty, are marked.
pub fn foil_strip(project: &Project, roll: &Roll, judged: &[RunJudgement]) -> FoilStrip {
    FoilStrip {
        leader_m: roll.leader_m,
        foil_m: roll.totals.foil_in_hand_m,
        runs: roll
            .runs
            .iter()
            .map(|place| StripRun {
                number: place.run,
                kind: kind(project, place, judged),
                start_m: place.start_m,
                sample_start_m: place.sample_start_m,
                end_m: place.end_m,
                stop: place.set_up.as_ref().map(|bar| Stop {
                    minutes: bar.minutes,
                    is_strip_down: bar.is_strip_down,
                }),
                bottle: place.bottle,
            })
            .collect(),
        gauges: gauges(roll),
    }
}

fn kind(project: &Project, place: &RunOnRoll, judged: &[RunJudgement]) -> RunMarkKind {
    let outcome = project.run(place.run).map(|run| &run.outcome);
    let feasible = judged
        .iter()
        .find(|judged| judged.run == place.run)
        .and_then(RunJudgement::feasible);
    match outcome {
        Some(Outcome::Faulty { .. }) => RunMarkKind::Faulty,
        Some(Outcome::NotRun) if feasible == Some(false) => RunMarkKind::Faulty,
        _ if place.role == RunRole::Return => RunMarkKind::Return,
        _ => RunMarkKind::Sound,
    }
}

/// What is left of each thing that is stated and known for every run.
fn gauges(roll: &Roll) -> Vec<Gauge> {
    let totals = &roll.totals;
    let hours = |run: &RunOnRoll| run.minutes_passed / 60.0;
    let known =
        |total: Option<f64>, there: Option<f64>| total.and(there).filter(|there| *there > 0.0);
    [
        (
            "ink",
            "mL",
            known(totals.ink_ml, totals.ink_in_hand_ml),
            &(|run: &RunOnRoll| run.ink_used_ml) as &dyn Fn(&RunOnRoll) -> f64,
        ),
        (
            "foil",
            "m",
            known(Some(totals.foil_m), totals.foil_in_hand_m),
            &|run: &RunOnRoll| run.end_m,
        ),
        (
            "time",
            "h",
            known(totals.hours, totals.hours_in_hand),
            &hours,
        ),
    ]
    .into_iter()
    .filter_map(|(name, unit, there, used)| Some(gauge(roll, (name, unit), there?, used)))
    .collect()
}

fn gauge(
    roll: &Roll,
    (name, unit): (&str, &str),
    there: f64,
    used: &dyn Fn(&RunOnRoll) -> f64,
) -> Gauge {
    let is_foil = name == "foil";
    let mut left = vec![[0.0, 1.0]];
    if let Some(first) = roll.runs.first() {
        // The leader takes foil only.
        let share = if is_foil {
            1.0 - first.start_m / there
        } else {
            1.0
        };
        left.push([first.start_m, share]);
    }
    left.extend(
        roll.runs
            .iter()
            .map(|run| [run.end_m, 1.0 - used(run) / there]),
    );
    let rest = there - roll.runs.last().map_or(0.0, used);
    let is_short = rest < 0.0;
    let amount = format!("{} {unit}", format_number(rest.abs(), 1));
    Gauge {
        name: name.to_owned(),
        amount: format!("{} {unit}", format_number(there, 1)),
        left,
        words: if is_short {
            format!("{amount} too little")
        } else {
            format!("{amount} left")
        },
        is_short,
    }
}
