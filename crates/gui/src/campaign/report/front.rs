//! The first page: title, verdict, map and goals; and the recipe card.

use super::verdict::verdict_sentences;
use super::{QualityAnswer, ReportInput, TEXT_WIDTH};
use crate::campaign::answer_figures::{quality_figure, window_figure};
use crate::campaign::answers::{GoalLine, plain};
use crate::campaign::chance::chance_words;
use crate::campaign::check_word::check_word;
use crate::campaign::html::{Cell, Html, Table};
use crate::campaign::project::{Importance, SettingEntry, SettingValue};
use crate::campaign::resolve::{Followed, resolve};
use crate::campaign::run_sheet::{line_stops, moment};
use crate::campaign::sentence_case::in_sentence;
use crate::figure::web_line;

use super::check_runs::{CheckState, check_runs};

/// Title, purpose, date and the line as a picture.
pub(super) fn title(page: &mut Html, input: &ReportInput<'_>) {
    let project = input.project;
    page.element("header", "", |page| {
        page.leaf("h1", "", &project.title);
        if !project.purpose.is_empty() {
            page.leaf("p", "purpose", &project.purpose);
        }
        page.leaf(
            "p",
            "quiet",
            &format!(
                "Report of {}, check word {}, made with Wetlane {}",
                moment(&input.made_at),
                check_word(project),
                env!("CARGO_PKG_VERSION")
            ),
        );
    });
    page.new_line();
    let stops = line_stops(project);
    if !stops.is_empty() {
        page.element("div", "picture", |page| {
            page.drawing(&web_line::draw("The line", &stops, TEXT_WIDTH));
        });
        page.new_line();
    }
}

/// The verdict, the map of the first quality with a goal, and every goal.
pub(super) fn summary(page: &mut Html, input: &ReportInput<'_>) {
    page.element("section", "", |page| {
        let (sentence, more) = verdict_sentences(input);
        page.leaf("p", "verdict", &sentence);
        page.leaf("p", "", &more.join(" "));
        page.leaf("p", "", &held_words(input));
        main_figure(page, input);
        goals(page, input);
    });
    page.new_line();
}

/// The map of the main quality, or the window as long as nothing is fitted.
fn main_figure(page: &mut Html, input: &ReportInput<'_>) {
    const SIZE: [f64; 2] = [TEXT_WIDTH, 440.0];
    let mapped = main_map(input).and_then(|answer| {
        let label = &input.project.quality(&answer.quality)?.label;
        Some((
            label.clone(),
            quality_figure(&input.slice(), answer.map.as_ref()?, SIZE)?,
        ))
    });
    let window = || {
        Some((
            "Where the line can run".to_owned(),
            window_figure(&input.slice(), SIZE)?,
        ))
    };
    if let Some((label, drawing)) = mapped.or_else(window) {
        page.element("figure", "", |page| {
            page.drawing(&drawing);
            let words = format!("{label}. Hatched: cannot run. {}", marks_words(input));
            page.leaf("figcaption", "", &words);
        });
    }
}

/// The first quality that must meet a goal and has a map, else the first with a map.
fn main_map<'a>(input: &'a ReportInput<'_>) -> Option<&'a QualityAnswer> {
    let has_goal = |answer: &&QualityAnswer| {
        input
            .project
            .quality(&answer.quality)
            .is_some_and(|quality| {
                quality.importance == Importance::Must && quality.goal.interval().is_some()
            })
    };
    let mapped = || input.qualities.iter().filter(|answer| answer.map.is_some());
    mapped().find(has_goal).or_else(|| mapped().next())
}

/// What run marks on a map mean.
pub(super) fn marks_words(input: &ReportInput<'_>) -> String {
    if input.marks.is_empty() {
        return String::new();
    }
    "Numbers: runs, at whatever their other settings were; double ring: return run; square: faulty or cannot run.".to_owned()
}

/// The settings that maps, curves and goals are held at.
pub(super) fn held_words(input: &ReportInput<'_>) -> String {
    let settings: Vec<String> = input
        .project
        .settings
        .iter()
        .filter_map(|setting| {
            let value = input.held.get(&setting.id)?;
            Some(format!(
                "{} {}",
                in_sentence(&setting.label),
                with_unit(value, &setting.unit)
            ))
        })
        .collect();
    if settings.is_empty() {
        return String::new();
    }
    let place = if input.project.choice.is_some() {
        "The chosen point"
    } else {
        "The cross"
    };
    format!("{place}: {}.", settings.join(", "))
}

pub(super) fn with_unit(value: &SettingValue, unit: &str) -> String {
    let number = value.to_string().replace('-', "\u{2212}");
    format!("{number} {unit}").trim_end().to_owned()
}

fn goals(page: &mut Html, input: &ReportInput<'_>) {
    if input.goals.is_empty() {
        return;
    }
    let mut table = Table::new()
        .words("film quality")
        .words("wanted")
        .numbers("fitted", "")
        .numbers("one new run", "95 %")
        .numbers("chance", "");
    for line in &input.goals {
        table.row(goal_row(line));
    }
    table.write(page, "");
}

fn goal_row(line: &GoalLine) -> Vec<Cell> {
    let unit = |text: String| format!("{text} {}", line.unit).trim_end().to_owned();
    let value = line.value.map_or_else(
        || line.why.clone().unwrap_or_default(),
        |value| unit(plain(value)),
    );
    let interval = line.single.map_or_else(String::new, |(low, high)| {
        format!("{} to {}", plain(low), plain(high))
    });
    let chance = line.chance.map_or_else(String::new, chance_words);
    let class = if line.meets == Some(false) {
        "number warn"
    } else {
        "number"
    };
    vec![
        line.label.as_str().into(),
        line.wanted.as_str().into(),
        Cell::classed(value, if line.value.is_some() { class } else { "quiet" }),
        interval.into(),
        chance.into(),
    ]
}

/// The chosen settings as knobs with what they are held to, and the check runs.
pub(super) fn recipe(page: &mut Html, input: &ReportInput<'_>) {
    ReportInput::kept_section(page, "Recipe card", |page| {
        if input.project.choice.is_none() {
            page.leaf(
                "p",
                "quiet",
                "No point is chosen yet; the settings are those of the cross.",
            );
        }
        let followed = resolve(input.project, &input.held)
            .map(|resolved| resolved.followed)
            .unwrap_or_default();
        let mut table = Table::new()
            .words("set")
            .numbers("value", "")
            .words("hold within")
            .words("which gives");
        for setting in &input.project.settings {
            if let Some(value) = input.held.get(&setting.id) {
                let knobs = setting.role.knobs_under(input.project.head_kind());
                let knob = followed.iter().find(|known| knobs.contains(&known.role));
                table.row(recipe_row(setting, value, knob));
            }
        }
        table.write(page, "");
        checks(page, input);
    });
}

fn recipe_row(setting: &SettingEntry, value: &SettingValue, knob: Option<&Followed>) -> Vec<Cell> {
    let asked = with_unit(value, &setting.unit);
    let scatter = setting.scatter.map_or_else(String::new, |sd| {
        format!(
            "± {} (1 standard deviation)",
            with_unit(&SettingValue::Number(sd), &setting.unit)
        )
    });
    match knob {
        Some(knob) => {
            let number = format!("{} {}", plain(knob.quantity.value), knob.quantity.unit);
            let gives = format!("{} {asked}", in_sentence(&setting.label));
            vec![
                knob.role.label().into(),
                number.into(),
                scatter.into(),
                gives.into(),
            ]
        }
        None => vec![
            setting.label.as_str().into(),
            asked.into(),
            scatter.into(),
            Cell::default(),
        ],
    }
}

fn checks(page: &mut Html, input: &ReportInput<'_>) {
    let checks = check_runs(input.project);
    if checks.is_empty() {
        return;
    }
    page.leaf("h3", "", "Check runs");
    let mut table = Table::new()
        .numbers("run", "")
        .words("film quality")
        .numbers("promised", "")
        .numbers("read", "")
        .words("");
    for check in checks {
        let quality = input.project.quality(&check.quality);
        let label = quality.map_or(check.quality.as_str(), |quality| quality.label.as_str());
        let unit = quality.map_or("", |quality| quality.unit.as_str());
        let promised = format!(
            "{} to {} {unit}",
            plain(check.promised.low),
            plain(check.promised.high)
        );
        let read = check
            .read
            .map_or_else(String::new, |read| format!("{} {unit}", plain(read)));
        let state = match check.state {
            CheckState::Open => Cell::from("to be run"),
            CheckState::Inside => Cell::from("inside"),
            CheckState::Outside => Cell::classed("outside", "warn"),
        };
        table.row([
            check.run.to_string().into(),
            label.into(),
            promised.trim_end().into(),
            read.trim_end().into(),
            state,
        ]);
    }
    table.write(page, "");
}
