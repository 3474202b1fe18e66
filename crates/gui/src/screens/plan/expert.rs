//! The expert fold: every kind of plan with its options and the seed.

use egui::{Id, Ui};

use wetlane_stats::design::{DesignKind, DesignRequest, Seed};

use crate::campaign::planning::PlanRequest;
use crate::campaign::project::{Project, Question};
use crate::number_text::parse_number;
use crate::theme::measure;
use crate::widgets::button::{link, outlined_button};
use crate::widgets::choice::dropdown;
use crate::widgets::heading::quiet_text;
use crate::widgets::number_field::NumberField;
use crate::widgets::row_label::left_label;
use crate::widgets::text_field::bare_text_field;

/// What is chosen in the fold.
#[derive(Debug)]
pub(super) struct ExpertFold {
    is_open: bool,
    kind: usize,
    runs: Option<usize>,
    centre: Option<usize>,
    returns: Option<usize>,
    replicates: usize,
    blocks: usize,
    generators: String,
    seed: Option<u64>,
}

impl Default for ExpertFold {
    fn default() -> Self {
        Self {
            is_open: false,
            kind: 0,
            runs: None,
            centre: None,
            returns: None,
            replicates: 1,
            blocks: 1,
            generators: String::new(),
            seed: None,
        }
    }
}

impl ExpertFold {
    /// Draws the fold; returns a plan that was asked for. `share` is how far a search under way is.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        project: &Project,
        question: Question,
        share: Option<f64>,
    ) -> Option<PlanRequest> {
        let words = if self.is_open {
            "Close the expert fold"
        } else {
            "Every plan kind, generator, block, seed"
        };
        if link(ui, words).clicked() {
            self.is_open = !self.is_open;
        }
        if let Some(share) = share {
            quiet_text(ui, &format!("Searching: {:.0} %", 100.0 * share));
        }
        if !self.is_open {
            return None;
        }
        quiet_text(ui, "Textbook words from here on.");
        let labels: Vec<String> = DesignKind::ALL
            .iter()
            .map(|kind| kind.label().to_owned())
            .collect();
        row(ui, "Kind", |ui| {
            if let Some(picked) = dropdown(
                ui,
                Id::unique("plan kind"),
                "kind of plan",
                &labels,
                (Some(self.kind), 190.0),
            ) {
                self.kind = picked;
            }
        });
        count(ui, "Runs", &mut self.runs);
        count(ui, "Centre runs", &mut self.centre);
        count(ui, "Return runs", &mut self.returns);
        whole(ui, "Replicates", &mut self.replicates);
        whole(ui, "Blocks", &mut self.blocks);
        row(ui, "Generators", |ui| {
            let (rect, _) = ui.allocate_exact_size(
                egui::vec2(190.0, measure::FIELD_HEIGHT),
                egui::Sense::hover(),
            );
            if let Some(text) = bare_text_field(
                ui,
                Id::unique("generators"),
                "generators",
                &self.generators,
                rect,
            ) {
                self.generators = text;
            }
        });
        row(ui, "Seed", |ui| {
            let shown = self.seed.unwrap_or(project.seed).to_string();
            let output = NumberField::new(Id::unique("plan seed"), "seed", &shown)
                .width(90.0)
                .show_with(ui, |text: &str| {
                    text.trim().parse::<u64>().or(Err(NotAWholeNumber))
                });
            if let Some(committed) = output.committed {
                self.seed = Some(committed.value);
            }
        });
        outlined_button(ui, "Make this plan")
            .clicked()
            .then(|| self.request(project, question))
    }

    fn request(&self, project: &Project, question: Question) -> PlanRequest {
        let kind = DesignKind::ALL
            .get(self.kind)
            .copied()
            .unwrap_or(DesignKind::FullFactorial);
        let mut design = DesignRequest::new(kind, Seed(self.seed.unwrap_or(project.seed)));
        design.n_runs = self.runs;
        design.n_centre = self.centre;
        design.n_return = self.returns;
        design.n_replicates = self.replicates;
        design.n_blocks = self.blocks;
        design.generators = Some(self.generators.trim().to_owned()).filter(|text| !text.is_empty());
        PlanRequest {
            question,
            model: String::new(),
            design,
        }
    }
}

/// Message for text that is no whole number.
#[derive(Debug, Clone, Copy)]
struct NotAWholeNumber;

impl std::fmt::Display for NotAWholeNumber {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("A whole number belongs here.")
    }
}

fn row(ui: &mut Ui, words: &str, draw: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        left_label(ui, 96.0, measure::FIELD_HEIGHT, egui::Label::new(words));
        draw(ui);
    });
}

fn read_count(text: &str) -> Result<Option<usize>, NotAWholeNumber> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let number = parse_number(text).or(Err(NotAWholeNumber))?;
    let is_whole = (0.0..100_000.0).contains(&number) && number.fract().abs() < f64::EPSILON;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "checked just above"
    )]
    let count = number as usize;
    is_whole.then_some(Some(count)).ok_or(NotAWholeNumber)
}

fn count(ui: &mut Ui, words: &str, value: &mut Option<usize>) {
    row(ui, words, |ui| {
        let shown = value.map(|value| value.to_string()).unwrap_or_default();
        let output = NumberField::new(Id::unique(("plan count", words)), words, &shown)
            .hint("usual")
            .show_with(ui, read_count);
        if let Some(committed) = output.committed {
            *value = committed.value;
        }
    });
}

fn whole(ui: &mut Ui, words: &str, value: &mut usize) {
    let mut optional = Some(*value);
    count(ui, words, &mut optional);
    *value = optional.unwrap_or(1).max(1);
}
