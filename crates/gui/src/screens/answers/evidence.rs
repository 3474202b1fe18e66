//! The evidence: terms, analysis of variance, residual plots, and the choice of terms. Textbook words stand here.

use egui::{Grid, Id, ScrollArea, Ui, vec2};

use wetlane_stats::default_model::ModelSize;
use wetlane_stats::diagnostics::normal_scores;
use wetlane_stats::{ConfidenceLevel, Undefined};

use crate::app::view::{Request, View};
use crate::campaign::analysis::QualityFit;
use crate::campaign::answers::plain;
use crate::campaign::command::Command;
use crate::campaign::project::AnalysisChoice;
use crate::figure::axis::Axis;
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::choice::dropdown;
use crate::widgets::heading::{inline_text, quiet_text, section_head};
use crate::widgets::plot::scatter::{DotLook, FieldRule, ScatterPlot, ScatterPoint};
use crate::widgets::text_field::bare_text_field;

/// State of the fold.
#[derive(Debug, Default)]
pub(super) struct EvidenceFold {
    is_natural: bool,
    is_sequential: bool,
}

fn number(value: &Result<f64, Undefined>) -> String {
    value
        .as_ref()
        .map_or_else(|_| "–".to_owned(), |value| plain(*value))
}

fn cell(ui: &mut Ui, text: &str, is_head: bool) {
    let palette = Palette::of(ui);
    let (font, color) = if is_head {
        (theme::regular(text_size::UNIT), palette.ink2)
    } else {
        (theme::regular(text_size::CELL), palette.ink)
    };
    ui.add(egui::Label::new(
        egui::RichText::new(text).font(font).color(color),
    ));
}

impl EvidenceFold {
    /// Draws the fold.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        fit: &QualityFit,
        requests: &mut Vec<Request>,
    ) {
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            quiet_text(ui, "Textbook words from here on.");
            terms_choice_ui(ui, view, fit, requests);
            let n_columns = if ui.available_width() < measure::NARROW {
                1
            } else {
                2
            };
            ui.columns(n_columns, |columns| {
                if let Some(ui) = columns.first_mut() {
                    self.terms_ui(ui, fit);
                    ui.add_space(8.0);
                    self.anova_ui(ui, fit);
                    ui.add_space(8.0);
                    summary_ui(ui, fit);
                }
                if let Some(ui) = columns.last_mut() {
                    residuals_ui(ui, view, fit, requests);
                }
            });
        });
    }

    fn terms_ui(&mut self, ui: &mut Ui, fit: &QualityFit) {
        section_head(
            ui,
            "Terms",
            &format!(
                "{} runs, {} readings",
                fit.fit.n_runs(),
                fit.table.n_readings
            ),
        );
        let words = ["coded −1 to +1".to_owned(), "natural units".to_owned()];
        let chosen = usize::from(self.is_natural);
        if let Some(picked) = dropdown(
            ui,
            Id::unique("term units"),
            "units of the coefficients",
            &words,
            (Some(chosen), 150.0),
        ) {
            self.is_natural = picked == 1;
        }
        let level = ConfidenceLevel::NINETY_FIVE;
        Grid::new("terms")
            .num_columns(6)
            .spacing([14.0, 3.0])
            .show(ui, |ui| {
                for head in [
                    "term",
                    "estimate",
                    "standard error",
                    "t",
                    "p",
                    "95 % interval",
                ] {
                    cell(ui, head, true);
                }
                ui.end_row();
                let mut row = |name: &str, parts: [String; 5]| {
                    cell(ui, name, false);
                    for part in parts {
                        cell(ui, &part, false);
                    }
                    ui.end_row();
                };
                let interval = |interval: &Result<wetlane_stats::Interval, Undefined>| {
                    interval.as_ref().map_or_else(ToString::to_string, |i| {
                        format!("{} to {}", plain(i.low), plain(i.high))
                    })
                };
                if self.is_natural {
                    for term in fit.natural_coefficients(level).unwrap_or_default() {
                        row(
                            &term.name,
                            [
                                number(&term.estimate),
                                number(&term.standard_error),
                                number(&term.t),
                                number(&term.p),
                                interval(&term.interval),
                            ],
                        );
                    }
                } else {
                    for term in fit.coefficients(level) {
                        row(
                            &term.name,
                            [
                                number(&term.estimate),
                                number(&term.standard_error),
                                number(&term.t),
                                number(&term.p),
                                interval(&term.interval),
                            ],
                        );
                    }
                }
            });
    }

    fn anova_ui(&mut self, ui: &mut Ui, fit: &QualityFit) {
        section_head(ui, "Analysis of variance", "");
        let words = [
            "each term given all others".to_owned(),
            "each term given those before".to_owned(),
        ];
        let chosen = usize::from(self.is_sequential);
        if let Some(picked) = dropdown(
            ui,
            Id::unique("anova kind"),
            "kind of sums of squares",
            &words,
            (Some(chosen), 210.0),
        ) {
            self.is_sequential = picked == 1;
        }
        let rows = if self.is_sequential {
            fit.anova_sequential()
        } else {
            fit.anova()
        };
        Grid::new("anova")
            .num_columns(6)
            .spacing([14.0, 3.0])
            .show(ui, |ui| {
                for head in ["source", "df", "sum of squares", "mean square", "F", "p"] {
                    cell(ui, head, true);
                }
                ui.end_row();
                for row in rows {
                    cell(ui, &row.name, false);
                    cell(ui, &row.df.to_string(), false);
                    for value in [&row.sum_of_squares, &row.mean_square, &row.f, &row.p] {
                        cell(ui, &number(value), false);
                    }
                    ui.end_row();
                }
            });
    }
}

fn summary_ui(ui: &mut Ui, fit: &QualityFit) {
    section_head(ui, "How good the fit is", "");
    let fitted = &fit.fit;
    quiet_text(
        ui,
        &format!(
            "Residual standard deviation {} on {} df. R² {}, adjusted {}, predicted {}. PRESS {}. Condition number {}.",
            number(&fitted.residual_sd()),
            fitted.error_df(),
            number(&fitted.r2()),
            number(&fitted.r2_adjusted()),
            number(&fitted.r2_predicted()),
            number(&fitted.press()),
            plain(fitted.condition_number())
        ),
    );
    quiet_text(
        ui,
        &format!("Model: {} ({}).", fit.model_name, fit.model_reason),
    );
    for left in &fit.table.left_out {
        quiet_text(ui, &format!("Run {} left out: {}.", left.run, left.why));
    }
    for warning in &fit.warnings {
        quiet_text(ui, &format!("Mind: {warning}."));
    }
}

/// Model size or a list of terms.
fn terms_choice_ui(ui: &mut Ui, view: &View<'_>, fit: &QualityFit, requests: &mut Vec<Request>) {
    let id = &fit.quality.id;
    let present = view.project.analyses.get(id).cloned().unwrap_or_default();
    let mut choose = |choice: Option<AnalysisChoice>| {
        requests.push(Request::Edit(Command::SetAnalysis {
            quality: id.clone(),
            choice,
        }));
    };
    ui.horizontal(|ui| {
        inline_text(ui, "Model");
        let mut words = vec!["as the runs support".to_owned()];
        words.extend(ModelSize::ALL.iter().map(|size| size.key().to_owned()));
        let chosen = if present.terms.is_empty() {
            Some(
                words
                    .iter()
                    .position(|word| *word == present.model)
                    .unwrap_or(0),
            )
        } else {
            None
        };
        if let Some(picked) = dropdown(
            ui,
            Id::unique(("model", id)),
            "model",
            &words,
            (chosen, 160.0),
        ) {
            let model = if picked == 0 {
                String::new()
            } else {
                words.get(picked).cloned().unwrap_or_default()
            };
            choose((picked > 0).then(|| AnalysisChoice {
                model,
                terms: String::new(),
            }));
        }
        inline_text(ui, "or terms");
        let width = (ui.available_width() - 10.0).clamp(120.0, 420.0);
        let (rect, _) =
            ui.allocate_exact_size(vec2(width, measure::FIELD_HEIGHT), egui::Sense::hover());
        if let Some(terms) = bare_text_field(
            ui,
            Id::unique(("terms", id)),
            "terms, separated by commas",
            &present.terms,
            rect,
        ) {
            let is_empty = terms.trim().is_empty();
            choose((!is_empty).then(|| AnalysisChoice {
                model: String::new(),
                terms,
            }));
        }
    });
}

/// Residuals against fitted values, run order and normal scores.
fn residuals_ui(ui: &mut Ui, view: &View<'_>, fit: &QualityFit, requests: &mut Vec<Request>) {
    let residuals = fit.fit.residuals();
    let runs: Vec<u32> = fit
        .fit
        .rows()
        .iter()
        .filter_map(|row| fit.table.rows.get(*row))
        .map(|row| row.run)
        .collect();
    let order: Vec<f64> = runs
        .iter()
        .map(|run| {
            view.project
                .runs
                .iter()
                .position(|known| known.number == *run)
                .unwrap_or(0) as f64
                + 1.0
        })
        .collect();
    let mut scores = vec![0.0; residuals.len()];
    for score in normal_scores(residuals) {
        if let Some(place) = scores.get_mut(score.index) {
            *place = score.quantile;
        }
    }
    let plots: [(&str, &[f64], &str); 3] = [
        (
            "Residuals against fitted values",
            fit.fit.fitted(),
            "fitted",
        ),
        ("Residuals against run order", &order, "run"),
        ("Residuals against normal scores", &scores, "normal score"),
    ];
    for (title, xs, x_title) in plots {
        section_head(ui, title, "");
        let axis = |title: &str, values: &[f64]| {
            let low = values.iter().copied().fold(f64::INFINITY, f64::min);
            let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let more = 0.06 * (high - low).max(f64::MIN_POSITIVE);
            Axis::linear(title, "", low - more, high + more)
        };
        let points: Vec<ScatterPoint> = xs
            .iter()
            .zip(residuals)
            .zip(&runs)
            .map(|((x, residual), run)| ScatterPoint {
                at: [*x, *residual],
                run: Some(*run),
                look: DotLook::Plain,
                label: String::new(),
            })
            .collect();
        let (x, y) = (axis(x_title, xs), axis("residual", residuals));
        let zero = [FieldRule {
            value: 0.0,
            is_upright: false,
            words: String::new(),
        }];
        let plot = ScatterPlot {
            name: title,
            x: &x,
            y: &y,
            points: &points,
            lines: &[],
            rules: &zero,
            selected: view.selection.run,
        };
        let output = plot.show(ui, vec2(ui.available_width(), 190.0));
        if let Some(run) = output.picked {
            requests.push(Request::SelectRun(Some(run)));
        }
    }
}
