//! The kind of question, and three proposals side by side in words.

use egui::{Ui, vec2};

use crate::app::background::Available;
use crate::campaign::answers::plain;
use crate::campaign::planning::PlanRequest;
use crate::campaign::project::{Project, Question};
use crate::campaign::proposals::Proposal;
use crate::theme::{self, Palette, text_size};
use crate::widgets::button::{ButtonLook, choice_button};
use crate::widgets::choice::radio_rows;
use crate::widgets::heading::{body_text, quiet_text, section_head};

const QUESTIONS: [(Question, &str); 4] = [
    (Question::WhichMatter, "Which settings matter"),
    (Question::MapTheResponse, "Map the response"),
    (Question::UnknownWindow, "Unknown window"),
    (Question::FindTheBest, "Find the best"),
];

/// Draws the choice of the question.
pub(super) fn question_ui(ui: &mut Ui, question: &mut Question) {
    section_head(ui, "What kind of question", "");
    let words: Vec<&str> = QUESTIONS.iter().map(|(_, words)| *words).collect();
    let chosen = QUESTIONS.iter().position(|(known, _)| known == question);
    if let Some((picked, _)) = radio_rows(ui, &words, chosen).and_then(|index| QUESTIONS.get(index))
    {
        *question = *picked;
    }
}

/// Draws the proposals; returns the one that was taken.
pub(super) fn ui(
    ui: &mut Ui,
    project: &Project,
    offered: Available<'_, Vec<Proposal>>,
) -> Option<PlanRequest> {
    section_head(ui, "Proposals", "press one to take it");
    if project.varied().next().is_none() {
        body_text(
            ui,
            "Vary two settings first. Speed and wet thickness are a good start.",
        );
        return None;
    }
    let Some(proposals) = offered.any() else {
        quiet_text(ui, "The proposals are being worked out.");
        return None;
    };
    if proposals.is_empty() {
        body_text(
            ui,
            "No kind of plan for this question fits these settings; the expert fold has all of them.",
        );
        return None;
    }
    let mut taken = None;
    let width =
        (ui.available_width() - 8.0 * (proposals.len() as f32 - 1.0)) / proposals.len() as f32;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 8.0;
        for proposal in proposals {
            ui.allocate_ui(vec2(width, 10.0), |ui| {
                ui.set_width(width);
                ui.vertical(|ui| {
                    if proposal_ui(ui, project, proposal) {
                        taken = Some(proposal.request.clone());
                    }
                });
            });
        }
    });
    taken
}

/// One proposal; true if it was pressed.
fn proposal_ui(ui: &mut Ui, project: &Project, proposal: &Proposal) -> bool {
    let is_present = project.plan.as_ref().is_some_and(|plan| {
        plan.kind == proposal.request.design.kind.key() && project.runs.len() == proposal.n_runs
    });
    let look = if is_present {
        ButtonLook::Accent
    } else {
        ButtonLook::Outlined
    };
    let is_pressed = choice_button(ui, &proposal.title, look).clicked();
    let totals = &proposal.totals;
    let mut fact = |words: String, is_too_much: bool| {
        let palette = Palette::of(ui);
        let (font, color) = if is_too_much {
            (theme::bold(text_size::CELL), palette.amber)
        } else {
            (theme::regular(text_size::CELL), palette.ink)
        };
        ui.add(egui::Label::new(egui::RichText::new(words).font(font).color(color)).wrap());
    };
    fact(format!("{} runs", proposal.n_runs), false);
    let over = |name: &str| {
        proposal
            .shortfalls
            .iter()
            .any(|shortfall| shortfall.starts_with(name))
    };
    let amount = |value: Option<f64>, unit: &str, is_over: bool| {
        let words = value.map_or_else(
            || format!("? {unit}"),
            |value| format!("{} {unit}", plain(value)),
        );
        if is_over {
            format!("{words}, too much")
        } else {
            words
        }
    };
    fact(amount(totals.ink_ml, "mL", over("ink")), over("ink"));
    fact(amount(Some(totals.foil_m), "m", over("foil")), over("foil"));
    fact(amount(totals.hours, "h", over("time")), over("time"));
    if proposal.n_infeasible > 0 {
        fact(
            format!("{} cannot run as they are", proposal.n_infeasible),
            true,
        );
    }
    ui.add_space(2.0);
    quiet_text(ui, &format!("Tells {}", proposal.tells));
    quiet_text(ui, &format!("Cannot tell {}", proposal.cannot));
    is_pressed
}
