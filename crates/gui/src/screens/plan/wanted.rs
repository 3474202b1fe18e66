//! What is wanted: film qualities with their goals, edited in place.

use egui::{Id, Ui, vec2};

use crate::app::view::{Request, View};
use crate::campaign::answers::goal_words;
use crate::campaign::command::Command;
use crate::campaign::presets::quality;
use crate::campaign::project::{Goal, Importance, Project, Quality, QualityScale};
use crate::campaign::quality_id::new_quality_id;
use crate::number_text::format_typed;
use crate::theme::measure;
use crate::widgets::button::link;
use crate::widgets::choice::dropdown;
use crate::widgets::heading::{quiet_text, section_head};
use crate::widgets::number_field::NumberField;
use crate::widgets::row_label::left_label;
use crate::widgets::text_field::bare_text_field;

/// Words for the kinds of goals.
const GOALS: [&str; 7] = [
    "watched only",
    "at most",
    "at least",
    "between",
    "target ±",
    "as high as possible",
    "as low as possible",
];

/// Draws the list; the quality named in `edited` is open.
pub(super) fn ui(
    ui: &mut Ui,
    view: &View<'_>,
    edited: &mut Option<String>,
    requests: &mut Vec<Request>,
) {
    section_head(ui, "What is wanted", "");
    let project = view.project;
    for (index, quality) in project.qualities.iter().enumerate() {
        if edited.as_deref() == Some(&quality.id) {
            editor_ui(ui, index, quality, edited, requests);
            continue;
        }
        if link(ui, &quality.label).clicked() {
            *edited = Some(quality.id.clone());
        }
        let wish = if quality.importance == Importance::Wish {
            ", a wish"
        } else {
            ""
        };
        quiet_text(
            ui,
            &format!("{}{wish}", goal_words(quality.goal, &quality.unit)),
        );
    }
    if project.qualities.is_empty() {
        quiet_text(ui, "Nothing yet: name what is measured on the film.");
    }
    if link(ui, "Add a film quality…").clicked() {
        let new = new_quality(project);
        *edited = Some(new.id.clone());
        requests.push(Request::Edit(Command::PutQuality {
            index: project.qualities.len(),
            quality: Box::new(new),
        }));
    }
}

fn new_quality(project: &Project) -> Quality {
    let label = "Film quality";
    quality(&new_quality_id(project, label), label, "")
}

fn editor_ui(
    ui: &mut Ui,
    index: usize,
    quality: &Quality,
    edited: &mut Option<String>,
    requests: &mut Vec<Request>,
) {
    let mut changed: Option<Quality> = None;
    let text = |ui: &mut Ui, words: &str, shown: &str| {
        let mut committed = None;
        row(ui, words, |ui| {
            let (rect, _) =
                ui.allocate_exact_size(vec2(130.0, measure::FIELD_HEIGHT), egui::Sense::hover());
            let id = Id::unique(("quality", &quality.id, words));
            committed =
                bare_text_field(ui, id, &format!("{words} of the film quality"), shown, rect);
        });
        committed
    };
    if let Some(label) = text(ui, "Name", &quality.label) {
        changed = Some(Quality {
            label,
            ..quality.clone()
        });
    }
    if let Some(unit) = text(ui, "Unit", &quality.unit) {
        changed = Some(Quality {
            unit,
            ..quality.clone()
        });
    }
    if let Some(places) = text(ui, "Places", &quality.places.join("; ")) {
        let places = places
            .split(';')
            .map(|place| place.trim().to_owned())
            .filter(|place| !place.is_empty())
            .collect();
        changed = Some(Quality {
            places,
            ..quality.clone()
        });
    }
    changed = goal_ui(ui, quality)
        .map(|goal| Quality {
            goal,
            ..quality.clone()
        })
        .or(changed);
    changed = choices_ui(ui, quality).or(changed);
    if let Some(changed) = changed {
        requests.push(Request::Edit(Command::PutQuality {
            index,
            quality: Box::new(changed),
        }));
    }
    ui.horizontal(|ui| {
        if link(ui, "Done").clicked() {
            *edited = None;
        }
        ui.add_space(12.0);
        if link(ui, "Take it away").clicked() {
            requests.push(Request::Edit(Command::RemoveQuality {
                id: quality.id.clone(),
            }));
            *edited = None;
        }
    });
    ui.add_space(6.0);
}

fn row(ui: &mut Ui, words: &str, draw: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        left_label(
            ui,
            70.0,
            measure::FIELD_HEIGHT,
            egui::Label::new(words).truncate(),
        );
        draw(ui);
    });
}

fn goal_ui(ui: &mut Ui, quality: &Quality) -> Option<Goal> {
    let (kind, one, other) = match quality.goal {
        Goal::Watch => (0, None, None),
        Goal::AtMost(bound) => (1, Some(bound), None),
        Goal::AtLeast(bound) => (2, Some(bound), None),
        Goal::Between { low, high } => (3, Some(low), Some(high)),
        Goal::Target { value, tolerance } => (4, Some(value), Some(tolerance)),
        Goal::High => (5, None, None),
        Goal::Low => (6, None, None),
    };
    let mut new = None;
    row(ui, "Goal", |ui| {
        let words = GOALS.map(ToOwned::to_owned);
        if let Some(picked) = dropdown(
            ui,
            Id::unique(("goal", &quality.id)),
            "goal",
            &words,
            (Some(kind), 130.0),
        ) {
            new = Some(goal_of(picked, one.unwrap_or(0.0), other));
        }
    });
    let number = |ui: &mut Ui, words: &str, value: Option<f64>| {
        let value = value?;
        let mut committed = None;
        row(ui, words, |ui| {
            let name = format!("{words}, {}", quality.unit);
            let shown = format_typed(value);
            committed = NumberField::new(
                Id::unique(("goal number", &quality.id, words)),
                &name,
                &shown,
            )
            .unit(&quality.unit)
            .show(ui)
            .committed;
        });
        committed.map(|committed| committed.value)
    };
    let (first, second) = match kind {
        3 => ("From", "To"),
        4 => ("Target", "Tolerance"),
        _ => ("Bound", ""),
    };
    if let Some(value) = number(ui, first, one) {
        new = Some(goal_of(kind, value, other));
    }
    if let Some(value) = number(ui, second, other) {
        new = Some(goal_of(kind, one.unwrap_or(0.0), Some(value)));
    }
    new
}

/// A goal of a kind with these numbers; what is missing starts with something that is a range.
fn goal_of(kind: usize, one: f64, other: Option<f64>) -> Goal {
    let more = 0.1 * one.abs().max(1.0);
    match kind {
        1 => Goal::AtMost(one),
        2 => Goal::AtLeast(one),
        3 => Goal::Between {
            low: one,
            high: other.filter(|high| *high > one).unwrap_or(one + more),
        },
        4 => Goal::Target {
            value: one,
            tolerance: other.filter(|tolerance| *tolerance > 0.0).unwrap_or(more),
        },
        5 => Goal::High,
        6 => Goal::Low,
        _ => Goal::Watch,
    }
}

fn choices_ui(ui: &mut Ui, quality: &Quality) -> Option<Quality> {
    let mut changed = None;
    row(ui, "It is", |ui| {
        let words = ["a must".to_owned(), "a wish".to_owned()];
        let chosen = usize::from(quality.importance == Importance::Wish);
        if let Some(picked) = dropdown(
            ui,
            Id::unique(("importance", &quality.id)),
            "importance",
            &words,
            (Some(chosen), 130.0),
        ) {
            let importance = if picked == 1 {
                Importance::Wish
            } else {
                Importance::Must
            };
            changed = Some(Quality {
                importance,
                ..quality.clone()
            });
        }
    });
    row(ui, "Fitted on", |ui| {
        let words = [
            "its own scale".to_owned(),
            "a log scale".to_owned(),
            "a root scale".to_owned(),
        ];
        let scales = [QualityScale::Plain, QualityScale::Log, QualityScale::Sqrt];
        let chosen = scales.iter().position(|scale| *scale == quality.scale);
        if let Some(picked) = dropdown(
            ui,
            Id::unique(("scale", &quality.id)),
            "scale of the fit",
            &words,
            (chosen, 130.0),
        ) && let Some(scale) = scales.get(picked)
        {
            changed = Some(Quality {
                scale: *scale,
                ..quality.clone()
            });
        }
    });
    changed
}
