//! What physics says: the window, the limits of every run, the roll, cautions and what was assumed.

use wetlane_physics::{Assessment, Prepared, Verdict};

use super::front::{held_words, marks_words};
use super::{AssumedValue, ReportInput, TEXT_WIDTH};
use crate::campaign::answer_figures::window_figure;
use crate::campaign::answers::plain;
use crate::campaign::feasibility::{Judgement, RunJudgement};
use crate::campaign::html::{Cell, Html, Table};
use crate::campaign::limit_words::{comparison, in_short, shown_unit};
use crate::campaign::project::{Project, Run};
use crate::campaign::roll_figure::foil_strip;
use crate::campaign::run_sheet::all_cautions;
use crate::campaign::sentence_case::in_sentence;
use crate::campaign::unit::Unit;
use crate::number_text::format_number;

/// The window as a chart and the limits of every run as a table.
pub(super) fn limits(page: &mut Html, input: &ReportInput<'_>) {
    ReportInput::section(page, "Limits", |page| {
        if input.project.line.is_none() {
            page.leaf(
                "p",
                "quiet",
                "The project has no line; nothing was checked against limits.",
            );
            return;
        }
        if let Some(drawing) = window_figure(&input.slice(), [TEXT_WIDTH, 400.0]) {
            page.element("figure", "", |page| {
                page.drawing(&drawing);
                page.element("figcaption", "", |page| {
                    page.text("Where the line can run, all other settings as follows. ");
                    page.text(&held_words(input));
                    page.text(" Dashed: range that was varied. ");
                    page.text(&marks_words(input));
                });
            });
        }
        let mut table = Table::new()
            .numbers("run", "")
            .words("can run")
            .words("tightest limit")
            .words("value and bound")
            .numbers("margin", "")
            .words("if it breaks");
        for run in &input.project.runs {
            let judged = input
                .judgements
                .iter()
                .find(|judged| judged.run == run.number);
            table.row(limit_row(run, judged));
        }
        table.write(page, "small");
        page.leaf(
            "p",
            "quiet",
            "Margins have no unit: 1 is far inside, 0 on the limit, below 0 broken. The verdict holds for the hard limits \
             of the model; it never says that something is harmless or permitted.",
        );
        switched_off(page, input.project);
    });
}

fn limit_row(run: &Run, judged: Option<&RunJudgement>) -> Vec<Cell> {
    let number = Cell::from(run.number.to_string());
    let Some(judged) = judged else {
        return vec![number, Cell::classed("not judged", "quiet")];
    };
    let judgement = match &judged.judgement {
        Ok(judgement) => judgement,
        Err(error) => {
            return vec![
                number,
                Cell::classed("not judged", "quiet"),
                error.to_string().into(),
            ];
        }
    };
    let can_run = match (judgement.feasible(), &run.on_purpose) {
        (Some(true), _) if judgement.verdict() == Verdict::Marginal => {
            Cell::from("yes, on assumed values")
        }
        (Some(true), _) => Cell::from("yes"),
        (Some(false), Some(reason)) => {
            Cell::classed(format!("no, kept on purpose: {reason}"), "warn")
        }
        (Some(false), None) => Cell::classed("no", "warn"),
        (None, _) => Cell::classed(
            judged
                .why_unknown()
                .unwrap_or_else(|| "not known".to_owned()),
            "quiet",
        ),
    };
    let mut cells = vec![number, can_run];
    let broken = judgement.broken();
    if broken.is_empty() {
        cells.extend(binding_cells(judgement));
    } else {
        let names: Vec<String> = broken
            .iter()
            .map(|limit| in_short(limit, &judgement.assessment))
            .collect();
        let values: Vec<String> = broken.iter().map(|limit| comparison(limit)).collect();
        let defects: Vec<&str> = broken.iter().map(|limit| limit.id.defect()).collect();
        cells.extend([
            Cell::classed(names.join("; "), "warn"),
            Cell::classed(values.join("; "), "value"),
            margin_words(judgement).into(),
            defects.join(" ").into(),
        ]);
    }
    cells
}

fn binding_cells(judgement: &Judgement) -> Vec<Cell> {
    judgement.binding().map_or_else(Vec::new, |limit| {
        vec![
            in_sentence(limit.id.label()).into(),
            Cell::classed(comparison(limit), "value"),
            margin_words(judgement).into(),
            Cell::classed(limit.id.defect(), "quiet"),
        ]
    })
}

fn margin_words(judgement: &Judgement) -> String {
    judgement
        .margin()
        .map_or_else(String::new, |margin| format_number(margin, 2))
}

fn switched_off(page: &mut Html, project: &Project) {
    for (key, reason) in &project.limits.switched_off {
        page.leaf(
            "p",
            "warn",
            &format!("Not judged: {key}. Reason given: {reason}"),
        );
    }
    for (key, factor) in &project.limits.calibration {
        page.leaf(
            "p",
            "quiet",
            &format!("The bound of {key} is multiplied by {factor}, learned from own runs."),
        );
    }
    if project.limits.safety_margin > 0.0 {
        let margin = project.limits.safety_margin;
        page.leaf(
            "p",
            "quiet",
            &format!("A margin of at least {margin} is asked for."),
        );
    }
}

/// The roll to scale and the amounts.
pub(super) fn roll(page: &mut Html, input: &ReportInput<'_>) {
    ReportInput::kept_section(page, "Roll and amounts", |page| {
        let strip = foil_strip(input.project, &input.roll, &input.judgements);
        page.element("figure", "", |page| {
            page.drawing(&strip.draw("The roll to scale", TEXT_WIDTH));
        });
        let totals = &input.roll.totals;
        let mut table = Table::new()
            .words("")
            .numbers("needed", "")
            .numbers("there is", "");
        for (name, needed, there, unit) in [
            ("ink", totals.ink_ml, totals.ink_in_hand_ml, "mL"),
            ("foil", Some(totals.foil_m), totals.foil_in_hand_m, "m"),
            ("time", totals.hours, totals.hours_in_hand, "h"),
        ] {
            let amount = |value: Option<f64>, otherwise: &str| {
                value.map_or_else(
                    || otherwise.to_owned(),
                    |value| format!("{} {unit}", format_number(value, 1)),
                )
            };
            table.row([
                name.into(),
                amount(needed, "not known").into(),
                amount(there, "not stated").into(),
            ]);
        }
        table.write(page, "narrow");
        for shortfall in totals.shortfalls() {
            page.leaf("p", "warn", &format!("Too little {shortfall}."));
        }
    });
}

/// Every caution, the closing sentence last.
pub(super) fn cautions(page: &mut Html, input: &ReportInput<'_>) {
    ReportInput::kept_section(page, "Cautions", |page| {
        page.element("ul", "cautions", |page| {
            for caution in all_cautions(&input.judgements) {
                page.leaf("li", "", &caution);
            }
        });
        page.leaf("p", "strong", "Local codes and licensed practice prevail.");
    });
}

/// The inputs that stood in by default, in units people use.
pub(super) fn assumed_values(prepared: &Prepared, assessment: &Assessment) -> Vec<AssumedValue> {
    prepared
        .assumed_inputs(assessment)
        .iter()
        .map(|assumed| {
            let unit = assumed.input.dimension().map(shown_unit);
            let shown = |si: f64| unit.map_or(si, |unit| unit.from_si(si));
            let symbol = unit.map_or("", Unit::written);
            let with_symbol = |text: String| format!("{text} {symbol}").trim_end().to_owned();
            AssumedValue {
                label: assumed.input.label().to_owned(),
                value: assumed
                    .value
                    .map_or_else(String::new, |value| with_symbol(plain(shown(value)))),
                range: assumed.range.map_or_else(String::new, |(low, high)| {
                    with_symbol(format!("{} to {}", plain(shown(low)), plain(shown(high))))
                }),
                decides: assessment.rests_on.contains(&assumed.input),
            }
        })
        .collect()
}

/// What stood in for values that nobody stated.
pub(super) fn assumed(page: &mut Html, input: &ReportInput<'_>) {
    ReportInput::section(page, "What was assumed", |page| {
        if input.assumed.is_empty() {
            let nothing = if input.at_held.is_some() {
                "Nothing: every input that the limits need is stated."
            } else {
                "Not known: the settings could not be judged."
            };
            page.leaf("p", "quiet", nothing);
            return;
        }
        let mut table = Table::new()
            .words("input")
            .numbers("taken as", "")
            .numbers("may lie in", "")
            .words("");
        for value in &input.assumed {
            let decides = if value.decides {
                "the verdict hangs on it"
            } else {
                ""
            };
            table.row([
                value.label.as_str().into(),
                if value.value.is_empty() {
                    "follows from others".into()
                } else {
                    value.value.as_str().into()
                },
                value.range.as_str().into(),
                decides.into(),
            ]);
        }
        table.write(page, "");
        page.leaf(
            "p",
            "quiet",
            "Usual values of the trade; state your own on the cards.",
        );
    });
}
