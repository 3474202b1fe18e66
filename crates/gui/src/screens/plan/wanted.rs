//! What is wanted: film qualities with their goals, edited in place.

use egui::{Align, Id, Layout, Ui};

use crate::app::view::{Request, View};
use crate::campaign::answers::{goal_signs, goal_words};
use crate::campaign::command::Command;
use crate::campaign::presets::quality;
use crate::campaign::project::{Goal, Importance, Project, Quality, QualityScale};
use crate::campaign::quality_id::new_quality_id;
use crate::number_text::{NumberError, format_typed, parse_number};
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::button::link;
use crate::widgets::choice::dropdown;
use crate::widgets::heading::{quiet_text, section_head};
use crate::widgets::lettering::Lettering;
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
/// Width of the fields.
const FIELD: f32 = 130.0;
/// Pitch of the list.
const PITCH: f32 = 20.0;

/// A goal whose numbers are not all typed yet.
#[derive(Debug, Clone, PartialEq)]
struct GoalDraft {
    quality: String,
    kind: usize,
    first: Option<f64>,
    second: Option<f64>,
}

/// Drafts of the list.
#[derive(Debug, Default)]
pub(super) struct Wanted {
    /// The quality that is open.
    edited: Option<String>,
    goal: Option<GoalDraft>,
}

/// Why a number does not do for a goal.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
enum GoalError {
    #[error(transparent)]
    Number(#[from] NumberError),
    #[error("The upper end lies above {low}.")]
    NotAbove { low: f64 },
    #[error("The lower end lies below {high}.")]
    NotBelow { high: f64 },
    #[error("A tolerance is above zero.")]
    NoTolerance,
}

impl Wanted {
    /// Draws the list.
    pub(super) fn ui(&mut self, ui: &mut Ui, view: &View<'_>, requests: &mut Vec<Request>) {
        section_head(ui, "What is wanted", "");
        ui.add_space(2.0);
        let project = view.project;
        for (index, quality) in project.qualities.iter().enumerate() {
            if self.edited.as_deref() == Some(&quality.id) {
                self.editor_ui(ui, index, quality, requests);
            } else if line_ui(ui, quality) {
                self.edited = Some(quality.id.clone());
                self.goal = None;
            }
        }
        if project.qualities.is_empty() {
            quiet_text(ui, "Nothing yet: name what is measured on the film.");
        }
        if link(ui, "Add a film quality…").clicked() {
            let new = new_quality(project);
            self.edited = Some(new.id.clone());
            self.goal = None;
            requests.push(Request::Edit(Command::PutQuality {
                index: project.qualities.len(),
                quality: Box::new(new),
            }));
        }
    }

    fn editor_ui(
        &mut self,
        ui: &mut Ui,
        index: usize,
        quality: &Quality,
        requests: &mut Vec<Request>,
    ) {
        ui.add_space(2.0);
        let changed = texts_ui(ui, quality);
        let goal = self.goal_ui(ui, quality).map(|goal| Quality {
            goal,
            ..quality.clone()
        });
        let changed = choices_ui(ui, quality).or(goal).or(changed);
        if let Some(changed) = changed {
            requests.push(Request::Edit(Command::PutQuality {
                index,
                quality: Box::new(changed),
            }));
        }
        ui.horizontal(|ui| {
            if link(ui, "Done").clicked() {
                (self.edited, self.goal) = (None, None);
            }
            ui.add_space(12.0);
            if link(ui, "Take it away").clicked() {
                (self.edited, self.goal) = (None, None);
                requests.push(Request::Edit(Command::RemoveQuality {
                    id: quality.id.clone(),
                }));
            }
        });
        ui.add_space(6.0);
    }

    /// Kind and numbers of the goal; returned once all of it is typed.
    fn goal_ui(&mut self, ui: &mut Ui, quality: &Quality) -> Option<Goal> {
        let present = draft_of(quality);
        let mut draft = self
            .goal
            .clone()
            .filter(|draft| draft.quality == quality.id)
            .unwrap_or_else(|| present.clone());
        row(ui, "Goal", |ui| {
            let words = GOALS.map(ToOwned::to_owned);
            let id = Id::unique(("goal", &quality.id));
            if let Some(picked) = dropdown(ui, id, "goal", &words, (Some(draft.kind), FIELD)) {
                draft.kind = picked;
                if !matches!(picked, 3 | 4) {
                    draft.second = None;
                }
            }
        });
        numbers_ui(ui, quality, &mut draft);
        if draft == present {
            self.goal = None;
            return None;
        }
        let goal = goal_of(&draft);
        self.goal = goal.is_none().then_some(draft);
        goal
    }
}

/// A quality in one line; true if it was pressed.
fn line_ui(ui: &mut Ui, quality: &Quality) -> bool {
    ui.allocate_ui_with_layout(
        egui::vec2(ui.available_width(), PITCH),
        Layout::left_to_right(Align::Center),
        |ui| {
            let rect = ui.available_rect_before_wrap();
            let wish = if quality.importance == Importance::Wish {
                "wish "
            } else {
                ""
            };
            let words = format!("{wish}{}", goal_signs(quality.goal, &quality.unit));
            let palette = Palette::of(ui);
            let goal = Lettering::new(&words, theme::regular(text_size::CELL), palette.ink2);
            let width = goal.width(ui.painter());
            let base =
                crate::widgets::lettering::base_line_around(rect.center().y, text_size::CELL);
            goal.write(ui.painter(), egui::pos2(rect.right(), base), Align::RIGHT);
            ui.set_max_width((rect.width() - width - 8.0).max(40.0));
            ui.shrink_clip_rect(rect.with_max_x(rect.right() - width - 8.0));
            let full = format!(
                "{}: {wish}{}",
                quality.label,
                goal_words(quality.goal, &quality.unit)
            );
            link(ui, &quality.label).on_hover_text(full).clicked()
        },
    )
    .inner
}

fn new_quality(project: &Project) -> Quality {
    let label = "Film quality";
    quality(&new_quality_id(project, label), label, "")
}

/// Name, unit and places; returns the quality with the one that was changed.
fn texts_ui(ui: &mut Ui, quality: &Quality) -> Option<Quality> {
    let mut changed: Option<Quality> = None;
    let text = |ui: &mut Ui, words: &str, shown: &str| {
        let mut committed = None;
        row(ui, words, |ui| {
            let size = egui::vec2(FIELD, measure::FIELD_HEIGHT);
            let (rect, _) = ui.allocate_exact_size(size, egui::Sense::hover());
            let id = Id::unique(("quality", &quality.id, words));
            let name = format!("{words} of the film quality");
            committed = bare_text_field(ui, id, &name, shown, rect);
        });
        committed
    };
    if let Some(label) = text(ui, "Name", &quality.label)
        && !label.trim().is_empty()
    {
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
    changed
}

fn row(ui: &mut Ui, words: &str, draw: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        let label = egui::Label::new(words).truncate();
        left_label(ui, 70.0, measure::FIELD_HEIGHT, label);
        draw(ui);
    });
}

fn draft_of(quality: &Quality) -> GoalDraft {
    let (kind, first, second) = match quality.goal {
        Goal::Watch => (0, None, None),
        Goal::AtMost(bound) => (1, Some(bound), None),
        Goal::AtLeast(bound) => (2, Some(bound), None),
        Goal::Between { low, high } => (3, Some(low), Some(high)),
        Goal::Target { value, tolerance } => (4, Some(value), Some(tolerance)),
        Goal::High => (5, None, None),
        Goal::Low => (6, None, None),
    };
    GoalDraft {
        quality: quality.id.clone(),
        kind,
        first,
        second,
    }
}

/// The numbers that this kind of goal has.
fn numbers_ui(ui: &mut Ui, quality: &Quality, draft: &mut GoalDraft) {
    let (first, second) = match draft.kind {
        1 | 2 => ("Bound", None),
        3 => ("From", Some("To")),
        4 => ("Target", Some("Tolerance")),
        _ => return,
    };
    let (kind, before) = (draft.kind, draft.clone());
    let low_end = move |text: &str| {
        let value = parse_number(text)?;
        match before.second {
            Some(high) if kind == 3 && value >= high => Err(GoalError::NotBelow { high }),
            _ => Ok(value),
        }
    };
    number_ui(ui, quality, first, &mut draft.first, low_end);
    let Some(second) = second else { return };
    let one = draft.first;
    let high_end = move |text: &str| {
        let value = parse_number(text)?;
        match one {
            Some(low) if kind == 3 && value <= low => Err(GoalError::NotAbove { low }),
            _ if kind == 4 && value <= 0.0 => Err(GoalError::NoTolerance),
            _ => Ok(value),
        }
    };
    number_ui(ui, quality, second, &mut draft.second, high_end);
}

fn number_ui(
    ui: &mut Ui,
    quality: &Quality,
    words: &str,
    value: &mut Option<f64>,
    parse: impl Fn(&str) -> Result<f64, GoalError>,
) {
    row(ui, words, |ui| {
        let name = if quality.unit.is_empty() {
            words.to_owned()
        } else {
            format!("{words}, {}", quality.unit)
        };
        let shown = value.map(format_typed).unwrap_or_default();
        let id = Id::unique(("goal number", &quality.id, words));
        let output = NumberField::new(id, &name, &shown)
            .hint("type it")
            .unit(&quality.unit)
            .show_with(ui, parse);
        if let Some(committed) = output.committed {
            *value = Some(committed.value);
        }
    });
}

/// The goal of a draft, once all its numbers are there and make one.
fn goal_of(draft: &GoalDraft) -> Option<Goal> {
    Some(match draft.kind {
        0 => Goal::Watch,
        1 => Goal::AtMost(draft.first?),
        2 => Goal::AtLeast(draft.first?),
        3 => {
            let (low, high) = (draft.first?, draft.second?);
            (low < high).then_some(Goal::Between { low, high })?
        }
        4 => {
            let (value, tolerance) = (draft.first?, draft.second?);
            (tolerance > 0.0).then_some(Goal::Target { value, tolerance })?
        }
        5 => Goal::High,
        _ => Goal::Low,
    })
}

fn choices_ui(ui: &mut Ui, quality: &Quality) -> Option<Quality> {
    let mut changed = None;
    row(ui, "It is", |ui| {
        let words = ["a must".to_owned(), "a wish".to_owned()];
        let chosen = usize::from(quality.importance == Importance::Wish);
        let id = Id::unique(("importance", &quality.id));
        if let Some(picked) = dropdown(ui, id, "importance", &words, (Some(chosen), FIELD)) {
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
        let id = Id::unique(("scale", &quality.id));
        if let Some(picked) = dropdown(ui, id, "scale of the fit", &words, (chosen, FIELD))
            && let Some(scale) = scales.get(picked)
        {
            changed = Some(Quality {
                scale: *scale,
                ..quality.clone()
            });
        }
    });
    changed
}
