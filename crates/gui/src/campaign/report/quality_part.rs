//! What each film quality does over the settings: map, curves and what matters.

use super::front::{held_words, marks_words};
use super::{QualityAnswer, ReportInput, TEXT_WIDTH};
use crate::campaign::analysis::QualityFit;
use crate::campaign::answer_figures::{curve_figure, effect_bars, quality_figure, shared_range};
use crate::campaign::answers::goal_words;
use crate::campaign::html::Html;
use crate::campaign::project::{Quality, QualityScale};

/// One section, on a page of its own, for each film quality that is fitted; one for all others.
pub(super) fn answers(page: &mut Html, input: &ReportInput<'_>) {
    for answer in &input.qualities {
        if let (Ok(fit), Some(known)) = (&answer.fit, input.project.quality(&answer.quality)) {
            ReportInput::page_section(page, &known.label, |page| {
                quality(page, input, answer, fit, known);
            });
        }
    }
    if input.qualities.iter().any(|answer| answer.fit.is_err()) {
        ReportInput::section(page, "No answer yet", |page| {
            for answer in &input.qualities {
                if let (Err(why), Some(known)) =
                    (&answer.fit, input.project.quality(&answer.quality))
                {
                    page.leaf("p", "", &format!("{}: {why}.", known.label));
                }
            }
        });
    }
}

fn quality(
    page: &mut Html,
    input: &ReportInput<'_>,
    answer: &QualityAnswer,
    fit: &QualityFit,
    known: &Quality,
) {
    page.leaf(
        "p",
        "",
        &format!("Wanted: {}.", goal_words(known.goal, &known.unit)),
    );
    if let Some(drawing) = answer
        .map
        .as_ref()
        .and_then(|map| quality_figure(&input.slice(), map, [TEXT_WIDTH, 350.0]))
    {
        page.element("figure", "", |page| {
            page.drawing(&drawing);
            page.element("figcaption", "", |page| {
                page.text("Hatched: cannot run. ");
                page.text(&marks_words(input));
            });
        });
    }
    curves(page, input, answer, fit.scale == QualityScale::Log);
    effects(page, answer);
    for warning in &fit.warnings {
        page.leaf("p", "warn", &format!("Doubtful: {warning}."));
    }
}

fn curves(page: &mut Html, input: &ReportInput<'_>, answer: &QualityAnswer, is_log: bool) {
    let Some(quality) = input.project.quality(&answer.quality) else {
        return;
    };
    let Some(range) = shared_range(&answer.curves, quality.goal) else {
        return;
    };
    page.element("div", "curves", |page| {
        for curve in &answer.curves {
            page.drawing(&curve_figure(&input.slice(), quality, curve, range, is_log));
        }
    });
    page.element("p", "quiet", |page| {
        page.text(&held_words(input));
        page.text(" Band: 95 % interval of the mean. Hatched: beyond the goal.");
    });
}

fn effects(page: &mut Html, answer: &QualityAnswer) {
    if answer.effects.is_empty() {
        return;
    }
    let bars = effect_bars(&answer.effects);
    page.element("table", "effects", |page| {
        page.element("thead", "", |page| {
            page.element("tr", "", |page| {
                for heading in [
                    "what matters",
                    "change over the range, 95 % interval",
                    "",
                    "",
                ] {
                    page.leaf("th", "", heading);
                }
            });
        });
        page.element("tbody", "", |page| {
            for (line, bar) in answer.effects.iter().zip(&bars) {
                page.element("tr", "", |page| {
                    page.leaf("td", "strong", &line.label);
                    page.element("td", "bar", |page| {
                        if let Some(bar) = bar {
                            page.drawing(bar);
                        }
                    });
                    page.leaf("td", "", line.effect.certainty.label());
                    page.leaf("td", "", &line.sentence);
                });
                page.new_line();
            }
        });
    });
    page.new_line();
}
