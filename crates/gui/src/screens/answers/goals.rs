//! What matters, and the goals at the cross.

use egui::Ui;

use crate::app::derived::Fits;
use crate::app::view::{Request, View};
use crate::campaign::analysis::{Certainty, QualityFit};
use crate::campaign::answers::{effect_lines, goal_lines, plain};
use crate::campaign::chance::chance_words;
use crate::campaign::command::Command;
use crate::campaign::project::{SettingValue, Settings, Variation};
use crate::figure::axis::Axis;
use crate::theme::{self, Palette, text_size};
use crate::widgets::choice::dropdown;
use crate::widgets::heading::{quiet_text, section_head};
use crate::widgets::plot::effect_list::{EffectLine, Verdict, effect_list};

/// Draws the effects of the quality, largest first.
pub(super) fn effects_ui(ui: &mut Ui, view: &View<'_>, fit: &QualityFit) {
    let lines = effect_lines(view.project, fit, view.shown);
    let shown: Vec<EffectLine> = lines
        .iter()
        .filter_map(|line| {
            let (estimate, low, high) = line.shown?;
            let interval = if low.is_finite() && high.is_finite() {
                (low, high)
            } else {
                (estimate, estimate)
            };
            Some(EffectLine {
                name: line.label.clone(),
                estimate,
                interval,
                verdict: match line.effect.certainty {
                    Certainty::Clear => Verdict::Clear,
                    Certainty::Likely => Verdict::Likely,
                    Certainty::CannotTell | Certainty::NotAsked => Verdict::CannotTell,
                },
                sentence: line.sentence.clone(),
            })
        })
        .collect();
    let ends = shown
        .iter()
        .flat_map(|line| [line.interval.0, line.interval.1, 0.0]);
    let low = ends.clone().fold(0.0, f64::min);
    let high = ends.fold(0.0, f64::max);
    let unit = lines
        .first()
        .map(|line| line.unit.clone())
        .unwrap_or_default();
    let scale = Axis::linear("", unit.clone(), low, high);
    let right = format!(
        "change over the range{}",
        if unit.is_empty() {
            String::new()
        } else {
            format!(", {unit}")
        }
    );
    effect_list(ui, ("What matters", &right), &shown, &scale, None);
    for line in lines.iter().filter(|line| line.shown.is_none()) {
        quiet_text(ui, &format!("{}: {}", line.label, line.sentence));
    }
    for warning in &fit.warnings {
        quiet_text(ui, &format!("Mind: {warning}."));
    }
}

/// Draws the goals at the cross, and the levels of categories at which everything is shown.
pub(super) fn ui(ui: &mut Ui, view: &View<'_>, fits: &Fits, requests: &mut Vec<Request>) {
    section_head(ui, "Goals at the cross", "chance, one new run");
    for line in goal_lines(view.project, fits, view.shown) {
        let palette = Palette::of(ui);
        let chance = line.chance.map(chance_words).unwrap_or_default();
        let color = if line.meets == Some(false) {
            palette.amber
        } else {
            palette.ink
        };
        ui.horizontal(|ui| {
            let font = if line.meets == Some(false) {
                theme::bold(text_size::CELL)
            } else {
                theme::regular(text_size::CELL)
            };
            ui.add(
                egui::Label::new(egui::RichText::new(&line.label).font(font).color(color))
                    .truncate(),
            );
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                ui.add(egui::Label::new(
                    egui::RichText::new(chance)
                        .font(theme::bold(text_size::CELL))
                        .color(color),
                ));
            });
        });
        let value = line.value.map_or_else(
            || line.why.clone().unwrap_or_default(),
            |value| {
                format!("{} {}", plain(value), line.unit)
                    .trim_end()
                    .to_owned()
            },
        );
        let single = line
            .single
            .map(|(low, high)| format!(", {} to {}", plain(low), plain(high)))
            .unwrap_or_default();
        let missed = if line.meets == Some(false) {
            ", missed"
        } else {
            ""
        };
        quiet_text(
            ui,
            &format!("{value}{single}; wanted {}{missed}", line.wanted),
        );
    }
    levels_ui(ui, view, requests);
}

/// Categories have no axis: their level is chosen here.
fn levels_ui(ui: &mut Ui, view: &View<'_>, requests: &mut Vec<Request>) {
    for setting in view.project.varied() {
        let Variation::Categories { levels } = &setting.variation else {
            continue;
        };
        ui.add_space(6.0);
        section_head(ui, &setting.label, "level shown");
        let present = view.shown.get(&setting.id).and_then(SettingValue::level);
        let chosen = present.and_then(|present| levels.iter().position(|level| level == present));
        let id = egui::Id::unique(("answers level", &setting.id));
        if let Some(level) = dropdown(ui, id, &setting.label, levels, (chosen, 180.0))
            .and_then(|index| levels.get(index))
        {
            let settings =
                Settings::from([(setting.id.clone(), SettingValue::Level(level.clone()))]);
            requests.push(Request::Edit(Command::MoveCross(settings)));
        }
    }
}
