//! The Answers screen: maps inside what can run, curves with bands, what matters, goals, and the evidence behind them.

mod curves;
mod evidence;
mod goals;
mod map;

use crate::campaign::sentence_case::in_sentence;
use std::sync::Arc;

use egui::{Align, Layout, Rect, ScrollArea, Ui, UiBuilder, vec2};

use crate::app::action::Screen;
use crate::app::derived::Fits;
use crate::app::view::{Request, View};
use crate::campaign::analysis::QualityFit;
use crate::campaign::answers::goal_lines;
use crate::campaign::chance::chance_words;
use crate::campaign::project::Outcome;
use crate::theme::measure;
use crate::widgets::button::{link, primary_button};
use crate::widgets::choice::word_row;
use crate::widgets::heading::{body_text, quiet_text, sentence};

/// Drafts of the Answers screen.
#[derive(Debug, Default)]
pub struct AnswersScreen {
    quality: Option<String>,
    axes: Option<(String, String)>,
    is_evidence_open: bool,
    evidence: evidence::EvidenceFold,
    narrow_column: usize,
}

impl AnswersScreen {
    /// Draws the screen.
    pub fn ui(&mut self, ui: &mut Ui, view: &mut View<'_>) -> Vec<Request> {
        let mut requests = Vec::new();
        let Some(fits) = view.derived.fits().any().cloned() else {
            empty_ui(ui, view, &mut requests);
            return requests;
        };
        self.head_ui(ui, view, &fits, &mut requests);
        let Some(id) = self.chosen_quality(&fits) else {
            body_text(ui, "No film quality could be fitted yet.");
            for (id, why) in fits
                .iter()
                .filter_map(|(id, fit)| Some((id, fit.as_ref().err()?)))
            {
                quiet_text(ui, &format!("{id}: {why}"));
            }
            return requests;
        };
        self.tabs_ui(ui, view, &fits, &id);
        let fit = fits
            .iter()
            .find(|(known, _)| *known == id)
            .map(|(_, fit)| fit);
        match fit {
            Some(Ok(fit)) if self.is_evidence_open => {
                self.evidence.ui(ui, view, fit, &mut requests);
            }
            Some(Ok(fit)) => self.answers_ui(ui, view, &fits, fit, &mut requests),
            Some(Err(why)) => body_text_of(ui, &id, why),
            None => {}
        }
        requests
    }

    /// The quality that is shown: the chosen one, else the first that could be fitted.
    fn chosen_quality(&self, fits: &Fits) -> Option<String> {
        let is_known = |id: &String| fits.iter().any(|(known, _)| known == id);
        self.quality.clone().filter(is_known).or_else(|| {
            fits.iter()
                .find(|(_, fit)| fit.is_ok())
                .map(|(id, _)| id.clone())
        })
    }

    fn tabs_ui(&mut self, ui: &mut Ui, view: &View<'_>, fits: &Fits, id: &str) {
        let label = |id: &String| {
            view.project
                .quality(id)
                .map_or_else(|| id.clone(), |quality| quality.label.clone())
        };
        let labels: Vec<String> = fits.iter().map(|(id, _)| label(id)).collect();
        let words: Vec<&str> = labels.iter().map(String::as_str).collect();
        let present = fits.iter().position(|(known, _)| known == id).unwrap_or(0);
        if let Some((id, _)) = word_row(ui, &words, present).and_then(|index| fits.get(index)) {
            self.quality = Some(id.clone());
        }
        ui.add_space(2.0);
    }

    fn answers_ui(
        &mut self,
        ui: &mut Ui,
        view: &mut View<'_>,
        fits: &Arc<Fits>,
        fit: &QualityFit,
        requests: &mut Vec<Request>,
    ) {
        if ui.available_width() < measure::NARROW {
            if let Some(chosen) = word_row(
                ui,
                &["Map", "Curves", "What matters", "Goals"],
                self.narrow_column,
            ) {
                self.narrow_column = chosen;
            }
            let rect = ui.available_rect_before_wrap();
            let which = self.narrow_column;
            part(ui, "answers narrow", rect, |ui| match which {
                0 => map::ui(ui, view, fit, &mut self.axes, requests),
                1 => curves::ui(ui, view, fit, requests),
                2 => goals::effects_ui(ui, view, fit),
                _ => goals::ui(ui, view, fits, requests),
            });
            ui.advance_cursor_after_rect(rect);
            return;
        }
        curves::ui(ui, view, fit, requests);
        let full = ui.available_rect_before_wrap();
        let right = full.with_min_x(full.right() - 308.0);
        let middle = full
            .with_max_x(right.left() - 36.0)
            .with_min_x(right.left() - 36.0 - 330.0);
        let left = full.with_max_x(middle.left() - 30.0);
        let builder = UiBuilder::new()
            .id_salt("answers map")
            .max_rect(left)
            .layout(Layout::top_down(Align::LEFT));
        map::ui(
            &mut ui.new_child(builder),
            view,
            fit,
            &mut self.axes,
            requests,
        );
        part(ui, "answers middle", middle, |ui| {
            goals::effects_ui(ui, view, fit);
        });
        part(ui, "answers right", right, |ui| {
            goals::ui(ui, view, fits, requests);
        });
        ui.advance_cursor_after_rect(full);
    }

    fn head_ui(&mut self, ui: &mut Ui, view: &View<'_>, fits: &Fits, requests: &mut Vec<Request>) {
        let (first, below) = head_words(view, fits);
        ui.horizontal_top(|ui| {
            let width = (ui.available_width() - 330.0).max(160.0);
            ui.allocate_ui(vec2(width, 44.0), |ui| {
                ui.vertical(|ui| sentence(ui, &first, &below))
            });
            ui.with_layout(Layout::right_to_left(Align::TOP), |ui| {
                if primary_button(ui, "See the report").clicked() {
                    requests.push(Request::GoTo(Screen::Report));
                }
                ui.add_space(12.0);
                let words = if self.is_evidence_open {
                    "Back to the map"
                } else {
                    "Evidence: terms, scatter, diagnostics"
                };
                if link(ui, words).clicked() {
                    self.is_evidence_open = !self.is_evidence_open;
                }
            });
        });
    }
}

fn body_text_of(ui: &mut Ui, id: &str, why: &str) {
    body_text(ui, &format!("\"{id}\" cannot be fitted: {why}"));
}

fn empty_ui(ui: &mut Ui, view: &View<'_>, requests: &mut Vec<Request>) {
    let n_sound = view
        .project
        .runs
        .iter()
        .filter(|run| run.outcome == Outcome::Sound)
        .count();
    let words = if n_sound == 0 {
        "No readings yet.".to_owned()
    } else {
        format!("{n_sound} sound runs, no reading yet.")
    };
    sentence(ui, &words, "Readings of a few runs make the first map.");
    if primary_button(ui, "Enter readings").clicked() {
        requests.push(Request::GoTo(Screen::Readings));
    }
}

/// Whether all goals are met at the cross, and what is tightest.
fn head_words(view: &View<'_>, fits: &Fits) -> (String, String) {
    let lines = goal_lines(view.project, fits, view.shown);
    let with_goal: Vec<_> = lines.iter().filter(|line| line.meets.is_some()).collect();
    let missed: Vec<String> = with_goal
        .iter()
        .filter(|line| line.meets == Some(false))
        .map(|line| in_sentence(&line.label))
        .collect();
    let least = with_goal
        .iter()
        .filter_map(|line| Some((line.chance?, line)))
        .min_by(|(a, _), (b, _)| a.total_cmp(b));
    let below = least.map_or_else(String::new, |(chance, line)| {
        format!(
            "Least sure: {}, {} for one new run. The single chances are not a chance of all together.",
            in_sentence(&line.label),
            chance_words(chance)
        )
    });
    if with_goal.is_empty() {
        return (
            "No goal is stated yet.".to_owned(),
            "State what is wanted on the Plan screen.".to_owned(),
        );
    }
    if missed.is_empty() {
        (
            format!("All {} goals are met at the cross.", with_goal.len()),
            below,
        )
    } else {
        (
            format!(
                "At the cross {} of {} goals are missed: {}.",
                missed.len(),
                with_goal.len(),
                missed.join(", ")
            ),
            below,
        )
    }
}

/// Draws into a part of the screen, scrolling up and down where it must.
fn part(ui: &mut Ui, name: &str, rect: Rect, draw: impl FnOnce(&mut Ui)) {
    let builder = UiBuilder::new()
        .id_salt(name)
        .max_rect(rect)
        .layout(Layout::top_down(Align::LEFT));
    let mut inner = ui.new_child(builder);
    ScrollArea::vertical()
        .id_salt(name)
        .auto_shrink(false)
        .show(&mut inner, |ui| {
            ui.set_max_width(rect.width() - 8.0);
            draw(ui);
        });
}
