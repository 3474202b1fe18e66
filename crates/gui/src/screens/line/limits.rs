//! The right column: limits by margin, what breaks, what is worth knowing, what was assumed.

use crate::campaign::sentence_case::in_sentence;
use egui::Ui;

use wetlane_physics::probability::Chance;
use wetlane_physics::{LimitRecord, Severity};

use super::{LeftColumn, LineScreen};
use crate::app::spine_view::state_of;
use crate::app::view::View;
use crate::campaign::chance::{SCREEN_DRAWS, chance_of, chance_sentence, chance_words};
use crate::campaign::feasibility::{Judge, Judgement};
use crate::campaign::limit_words::comparison;
use crate::campaign::verdict_words::{assumed_words, unchecked, worth_knowing};
use crate::widgets::button::link;
use crate::widgets::heading::{body_text, quiet_text, section_head};
use crate::widgets::limit_row::{LimitLine, limit_list};
use crate::widgets::margin_bar::Margin;

impl LineScreen {
    /// Draws the column.
    pub(super) fn limits_ui(&mut self, ui: &mut Ui, view: &mut View<'_>) {
        let Some(judgement) = view
            .derived
            .judged_settings()
            .and_then(|(_, judged)| judged.as_ref().ok())
            .cloned()
        else {
            section_head(ui, "Limits", "");
            body_text(
                ui,
                "They stand here as soon as the settings lead to machine knobs.",
            );
            return;
        };
        let hard = by_margin(&judgement);
        let chance = self.chance_of(ui, view);
        let lines: Vec<LimitLine> = hard
            .iter()
            .map(|(margin, limit)| line_of(*margin, limit, &judgement, chance.as_ref()))
            .collect();
        let selected = self
            .selected_limit
            .and_then(|id| hard.iter().position(|(_, limit)| limit.id == id))
            .unwrap_or(0);
        if let Some(clicked) = limit_list(ui, "Limits", &lines, Some(selected)) {
            self.selected_limit = hard.get(clicked).map(|(_, limit)| limit.id);
        }
        ui.add_space(4.0);
        match &chance {
            Some(chance) => body_text(ui, &chance_sentence(chance)),
            None => quiet_text(ui, "The chance that it works is being worked out."),
        };
        if link(ui, "How well the inputs are known…").clicked() {
            self.left = LeftColumn::KnownTo;
            self.narrow_column = 0;
        }
        if let Some((_, limit)) = hard.get(selected) {
            ui.add_space(6.0);
            section_head(ui, "If it breaks", &in_sentence(limit.id.label()));
            body_text(ui, limit.id.defect());
            quiet_text(ui, limit.id.remedy());
            quiet_text(ui, &format!("Source: {}", limit.id.source()));
        }
        worth_knowing_ui(ui, view, &judgement);
        assumed_ui(ui, view, &judgement);
    }
}

impl LineScreen {
    /// The chance that the shown settings work, from the background; the last one known while it is being worked out.
    fn chance_of(&mut self, ui: &Ui, view: &View<'_>) -> Option<Chance> {
        let key = (view.derived.stamps(), view.shown.clone());
        if let Some(project) = view.derived.snapshot() {
            let settings = view.shown.clone();
            self.chance.ask(key.clone(), ui.ctx(), move |watch| {
                let stop = || watch.is_stopped();
                chance_of(&project, &settings, SCREEN_DRAWS, stop)
                    .ok()
                    .flatten()
            });
        }
        self.chance.poll();
        self.chance.get(&key).any().cloned().flatten()
    }
}

/// Evaluated hard limits, least margin first.
fn by_margin(judgement: &Judgement) -> Vec<(f64, &LimitRecord)> {
    let mut hard: Vec<(f64, &LimitRecord)> = judgement
        .assessment
        .limits
        .iter()
        .filter(|limit| limit.severity == Severity::Hard)
        .filter_map(|limit| limit.margin().map(|margin| (margin, limit)))
        .collect();
    hard.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    hard
}

fn line_of(
    margin: f64,
    limit: &LimitRecord,
    judgement: &Judgement,
    chance: Option<&Chance>,
) -> LimitLine {
    let fails = chance.and_then(|chance| chance.fails(limit.id));
    LimitLine {
        name: limit.id.label().to_owned(),
        comparison: comparison(limit),
        margin: Margin {
            value: margin,
            span: None,
            state: state_of(margin, judgement.safety_margin),
        },
        chance: fails.map_or_else(String::new, |fails| chance_words(1.0 - fails)),
    }
}

fn worth_knowing_ui(ui: &mut Ui, view: &View<'_>, judgement: &Judgement) {
    ui.add_space(6.0);
    section_head(ui, "Worth knowing", "");
    for sentence in worth_knowing(judgement) {
        quiet_text(ui, &sentence);
    }
    let prepared = Judge::new(view.project).prepared(view.shown);
    if let Ok(prepared) = prepared {
        for caution in prepared.cautions(&judgement.resolved.setting, &judgement.assessment) {
            quiet_text(ui, &caution);
        }
    }
}

fn assumed_ui(ui: &mut Ui, view: &mut View<'_>, judgement: &Judgement) {
    let Ok(prepared) = Judge::new(view.project).prepared(view.shown) else {
        return;
    };
    let assumed = prepared.assumed_inputs(&judgement.assessment);
    if !assumed.is_empty() {
        ui.add_space(6.0);
        section_head(ui, "Assumed", "state it to be sure");
        let words: Vec<String> = assumed.iter().map(assumed_words).collect();
        quiet_text(ui, &words.join("; "));
    }
    let settings = view.shown.clone();
    let ctx = ui.ctx().clone();
    let with_doubts = view
        .derived
        .judge_with_doubts(&settings, &ctx)
        .any()
        .and_then(Option::as_ref);
    if let Some(doubts) = with_doubts.filter(|doubts| !doubts.assessment.rests_on.is_empty()) {
        let inputs: Vec<String> = doubts
            .assessment
            .rests_on
            .iter()
            .map(|input| in_sentence(input.label()))
            .collect();
        body_text(
            ui,
            &format!("The verdict depends on {}: enter it.", inputs.join(", ")),
        );
    }
    let missing = unchecked(judgement);
    if !missing.is_empty() {
        ui.add_space(6.0);
        section_head(ui, "Not checked", "");
        let words: Vec<String> = missing
            .iter()
            .map(|(limit, input)| format!("{}: name {}", limit.label(), in_sentence(input.label())))
            .collect();
        quiet_text(ui, &words.join("; "));
    }
}
