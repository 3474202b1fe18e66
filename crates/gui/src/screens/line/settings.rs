//! The list of settings: range, present value, effort; what follows from them.

use egui::{Align, Id, Layout, Ui};

use super::LeftColumn;
use crate::app::background::Available;
use crate::app::view::{Request, View};

use crate::campaign::command::Command;
use crate::campaign::machine_span::machine_span;
use crate::campaign::project::{EffortClass, SettingEntry, SettingValue, Settings, Variation};
use crate::campaign::what_follows::{Follows, bounds, knobs};
use crate::number_text::format_typed;
use crate::widgets::button::link;
use crate::widgets::choice::dropdown;
use crate::widgets::heading::{body_text, inline_text, quiet_text, section_head};
use crate::widgets::setting_row::{
    Effort, SettingEdit, SettingLine, plain_setting_row, setting_head,
};

/// Draws the settings; returns where to go.
pub(super) fn ui(ui: &mut Ui, view: &View<'_>, requests: &mut Vec<Request>) -> Option<LeftColumn> {
    let mut next = None;
    setting_head(ui, "Settings");
    if view.project.settings.is_empty() {
        body_text(ui, "No setting yet.");
    }
    for setting in &view.project.settings {
        let value = view.shown.get(&setting.id).unwrap_or(&setting.now);
        let gone_to = match value {
            SettingValue::Number(number) => number_row(ui, view, setting, *number, requests),
            SettingValue::Level(level) => level_row(ui, setting, level, requests),
        };
        next = next.or(gone_to);
    }
    ui.add_space(6.0);
    ui.horizontal(|ui| {
        if link(ui, "Vary another setting…").clicked() {
            next = Some(LeftColumn::AddSetting);
        }
    });
    followed_ui(ui, view);
    next
}

fn number_row(
    ui: &mut Ui,
    view: &View<'_>,
    setting: &SettingEntry,
    number: f64,
    requests: &mut Vec<Request>,
) -> Option<LeftColumn> {
    let line = setting_line(view, setting, number);
    let is_selected = false;
    match plain_setting_row(
        ui,
        Id::unique(("line setting", &setting.id)),
        &line,
        is_selected,
    )? {
        SettingEdit::Now(committed) => {
            let settings =
                Settings::from([(setting.id.clone(), SettingValue::Number(committed.value))]);
            requests.push(Request::SelectRun(None));
            requests.push(Request::Edit(Command::MoveCross(settings)));
            None
        }
        SettingEdit::OpenRange | SettingEdit::OpenEffort => {
            Some(LeftColumn::Setting(setting.id.clone()))
        }
    }
}

fn level_row(
    ui: &mut Ui,
    setting: &SettingEntry,
    level: &str,
    requests: &mut Vec<Request>,
) -> Option<LeftColumn> {
    let Variation::Categories { levels } = &setting.variation else {
        quiet_text(ui, &format!("{}: {level}", setting.label));
        return None;
    };
    let mut next = None;
    ui.horizontal(|ui| {
        if link(ui, &setting.label).clicked() {
            next = Some(LeftColumn::Setting(setting.id.clone()));
        }
        let chosen = levels.iter().position(|known| known == level);
        let id = Id::unique(("line level", &setting.id));
        if let Some(picked) = dropdown(ui, id, &setting.label, levels, (chosen, 140.0))
            && let Some(level) = levels.get(picked)
        {
            let settings =
                Settings::from([(setting.id.clone(), SettingValue::Level(level.clone()))]);
            requests.push(Request::Edit(Command::MoveCross(settings)));
        }
    });
    next
}

/// A setting as the row widget shows it.
fn setting_line(view: &View<'_>, setting: &SettingEntry, number: f64) -> SettingLine {
    let (range, range_text, is_log) = match &setting.variation {
        Variation::Range { low, high, log } => (
            Some((*low, *high)),
            format!("{} to {}", format_typed(*low), format_typed(*high)),
            *log,
        ),
        Variation::Levels { levels } => {
            let words: Vec<String> = levels.iter().map(|level| format_typed(*level)).collect();
            (
                levels.first().copied().zip(levels.last().copied()),
                words.join(" / "),
                false,
            )
        }
        Variation::Fixed | Variation::Categories { .. } => (None, "fixed".to_owned(), false),
    };
    let span = machine_span(view.project, setting);
    let machine = span.or(range).unwrap_or((0.0, 2.0 * number.abs().max(1.0)));
    SettingLine {
        name: setting.label.clone(),
        unit: setting.unit.clone(),
        machine,
        range,
        range_text,
        now: Some(number),
        now_text: format_typed(number),
        effort: match setting.effort.class {
            EffortClass::OnTheFly => Effort::OnTheFly,
            EffortClass::StopAndWait => Effort::StopAndWait,
            EffortClass::StripDown => Effort::StripDown,
        },
        minutes: if setting.effort.minutes > 0.0 {
            format!("{} min", format_typed(setting.effort.minutes))
        } else {
            String::new()
        },
        is_log,
    }
}

/// What follows from the settings: the knobs of the machine.
fn followed_ui(ui: &mut Ui, view: &View<'_>) {
    let Some((_, Ok(judgement))) = view.derived.judged_settings() else {
        return;
    };
    let how_far = bounds(judgement)
        .into_iter()
        .chain(searched(view))
        .collect();
    for (head, all) in [
        ("What follows", knobs(judgement)),
        ("How far one may go", how_far),
    ] {
        if all.is_empty() {
            continue;
        }
        ui.add_space(8.0);
        section_head(ui, head, "at these values");
        for follows in all {
            fact_row(ui, &follows.name, &follows.value);
        }
    }
}

/// What the background has searched; an ellipsis for what belongs to settings of a moment ago.
fn searched(view: &View<'_>) -> Vec<Follows> {
    let (judgement, is_fresh) = match view.derived.judged_with_doubts(view.shown) {
        Available::Fresh(Some(judgement)) => (judgement, true),
        Available::Stale(Some(judgement)) => (judgement, false),
        Available::Fresh(None) | Available::Stale(None) | Available::Nothing => return Vec::new(),
    };
    let mut words = judgement
        .answers
        .map(|answers| answers.words())
        .unwrap_or_default();
    if !is_fresh {
        for follows in &mut words {
            "…".clone_into(&mut follows.value);
        }
    }
    words
}

/// A name with its value at the right end.
fn fact_row(ui: &mut Ui, name: &str, value: &str) {
    ui.horizontal(|ui| {
        quiet_text(ui, name);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            inline_text(ui, value);
        });
    });
}
