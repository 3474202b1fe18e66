//! The Report screen: which parts stand in it, what it will say first, and where it is written to.

use egui::{Align, Layout, ScrollArea, Ui, vec2};

use crate::app::action::Action;
use crate::app::background::Background;
use crate::app::derived::Stamps;
use crate::app::view::{Request, View};
use crate::campaign::report::{ReportInput, ReportPart, ReportParts, verdict_sentences};
use crate::theme::Palette;
use crate::widgets::button::{outlined_button, primary_button, tick_box};
use crate::widgets::heading::{body_text, quiet_text, section_head, sentence};

/// The first sentence of the report and those below it.
type Summary = (String, Vec<String>);

/// Drafts of the Report screen.
#[derive(Debug)]
pub struct ReportScreen {
    parts: ReportParts,
    summary: Background<(Stamps, ReportParts), Option<Summary>>,
}

impl Default for ReportScreen {
    fn default() -> Self {
        Self {
            parts: ReportParts::all(),
            summary: Background::new("report"),
        }
    }
}

impl ReportScreen {
    /// Draws the screen.
    pub fn ui(&mut self, ui: &mut Ui, view: &mut View<'_>) -> Vec<Request> {
        let mut requests = Vec::new();
        let key = (view.derived.stamps(), self.parts.clone());
        if let Some(project) = view.derived.snapshot() {
            let (parts, now) = (self.parts.clone(), view.now.to_owned());
            self.summary.ask(key.clone(), ui.ctx(), move |watch| {
                ReportInput::gather(&project, &now, parts, &|share| {
                    watch.report(share);
                    watch.is_stopped()
                })
                .map(|input| verdict_sentences(&input))
            });
        }
        self.summary.poll();
        let (first, below) = self
            .summary
            .get(&key)
            .any()
            .cloned()
            .flatten()
            .unwrap_or_else(|| ("The report is being put together.".to_owned(), Vec::new()));
        ui.horizontal_top(|ui| {
            let width = (ui.available_width() - 190.0).max(160.0);
            ui.allocate_ui(vec2(width, 44.0), |ui| {
                ui.vertical(|ui| {
                    sentence(
                        ui,
                        &first,
                        "One self-contained page for a colleague who has no Wetlane.",
                    )
                });
            });
            ui.with_layout(Layout::right_to_left(Align::TOP), |ui| {
                if primary_button(ui, "Write the report…").clicked() {
                    requests.push(Request::ChooseReportParts(self.parts.clone()));
                    requests.push(Request::Act(Action::WriteReport));
                }
            });
        });
        ui.add_space(6.0);
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            ui.horizontal_top(|ui| {
                ui.allocate_ui(vec2(240.0, 10.0), |ui| {
                    ui.vertical(|ui| self.parts_ui(ui, &mut requests))
                });
                ui.add_space(26.0);
                ui.vertical(|ui| page_ui(ui, view, &first, &below, &self.parts));
            });
        });
        requests
    }

    fn parts_ui(&mut self, ui: &mut Ui, requests: &mut Vec<Request>) {
        section_head(ui, "Parts", "");
        for part in ReportPart::ALL {
            let mut is_ticked = self.parts.has(part);
            tick_box(ui, &mut is_ticked, part.label());
            if is_ticked != self.parts.has(part) {
                self.parts.toggle(part);
            }
        }
        ui.add_space(8.0);
        section_head(ui, "Run sheet", "");
        if outlined_button(ui, "Print the run sheet…").clicked() {
            requests.push(Request::Act(Action::PrintRunSheet));
        }
        quiet_text(ui, "A name that ends in .csv writes a table.");
    }
}

/// The first page in short: what the report says before its tables and plots.
fn page_ui(ui: &mut Ui, view: &View<'_>, first: &str, below: &[String], parts: &ReportParts) {
    let palette = Palette::of(ui);
    egui::Frame::new()
        .fill(palette.sheet)
        .inner_margin(24)
        .show(ui, |ui| {
            ui.set_width((ui.available_width() - 48.0).clamp(200.0, 620.0));
            sentence(ui, &view.project.title, &view.project.purpose);
            ui.add_space(6.0);
            body_text(ui, first);
            for sentence in below {
                body_text(ui, sentence);
            }
            ui.add_space(8.0);
            section_head(ui, "Then follow", "");
            let titles: Vec<&str> = ReportPart::ALL
                .into_iter()
                .filter(|part| parts.has(*part))
                .map(ReportPart::label)
                .collect();
            quiet_text(ui, &titles.join("; "));
            ui.add_space(8.0);
            quiet_text(ui, "Local codes and licensed practice prevail.");
        });
}
