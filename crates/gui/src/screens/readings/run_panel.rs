//! The selected run: what became of its film, planned and as run, metre, note, readings.

use egui::{Id, Sense, Ui, WidgetInfo, accesskit::Role, pos2, vec2};

use super::reading_list::ReadingList;
use crate::app::view::{Request, View};
use crate::campaign::command::Command;
use crate::campaign::project::{Outcome, Run, SettingEntry, Variation};
use crate::campaign::reading_table::{
    ReadingTable, known_faults, read_as_run, read_metre, setting_text, settings_words,
};
use crate::campaign::verdict_words::verdict_words;
use crate::number_text::format_number;
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::button::{ButtonLook, choice_button, link};
use crate::widgets::choice::dropdown;
use crate::widgets::heading::{body_text, quiet_text, section_head};
use crate::widgets::lettering::{Lettering, base_line_around};
use crate::widgets::number_field::{MessagePlace, NumberField};
use crate::widgets::text_field::{bare_text_field, note_field};

/// Width of the names at the left.
pub(super) const LABEL: f32 = 104.0;

/// Drafts of the panel.
#[derive(Debug, Default)]
pub(super) struct RunPanel {
    is_naming_fault: bool,
    is_as_run_open: bool,
    list: ReadingList,
}

impl RunPanel {
    /// Draws the selected run.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        view: &mut View<'_>,
        facts: &ReadingTable,
        requests: &mut Vec<Request>,
    ) {
        let run = view
            .selection
            .run
            .and_then(|number| view.project.run(number));
        let Some(run) = run else {
            section_head(ui, "Selected run", "");
            quiet_text(
                ui,
                "Select a row: here you say what became of its film, how it was really run, and set readings aside.",
            );
            return;
        };
        section_head(ui, &format!("Run {}", run.number), &place_words(view, run));
        self.film_ui(ui, view, run, requests);
        ui.add_space(6.0);
        self.settings_ui(ui, view, facts, run, requests);
        verdict_ui(ui, view, run);
        metre_ui(ui, view, run, requests);
        ui.add_space(2.0);
        quiet_text(ui, "Note");
        let id = Id::unique(("note of run", run.number));
        let name = format!("Note of run {}", run.number);
        if let Some(note) = note_field(ui, id, &name, &run.note, 2) {
            requests.push(Request::Edit(Command::SetNote {
                run: run.number,
                note: note.trim().to_owned(),
            }));
        }
        ui.add_space(8.0);
        self.list.ui(ui, view, facts, run, requests);
    }

    fn film_ui(&mut self, ui: &mut Ui, view: &View<'_>, run: &Run, requests: &mut Vec<Request>) {
        beside(ui, "Film", |ui| {
            let choices = [
                ("sound", Outcome::Sound),
                ("faulty", Outcome::Faulty { faults: Vec::new() }),
                ("not run", Outcome::NotRun),
            ];
            for (word, outcome) in choices {
                let is_chosen =
                    std::mem::discriminant(&outcome) == std::mem::discriminant(&run.outcome);
                let look = match (is_chosen, &outcome) {
                    (true, Outcome::Faulty { .. }) => ButtonLook::Fault,
                    (true, Outcome::Sound | Outcome::NotRun) => ButtonLook::Accent,
                    (false, _) => ButtonLook::Outlined,
                };
                if choice_button(ui, word, look).clicked() && !is_chosen {
                    requests.push(set_outcome(run, outcome));
                }
            }
        });
        if let Outcome::Faulty { faults } = &run.outcome {
            beside(ui, "Which fault", |ui| {
                fault_buttons(ui, view, run, faults, requests);
                if choice_button(ui, "other…", ButtonLook::Outlined).clicked() {
                    self.is_naming_fault = !self.is_naming_fault;
                }
            });
            if self.is_naming_fault {
                self.other_fault_ui(ui, run, faults, requests);
            }
            quiet_text(
                ui,
                "It stays in the sound-film map as faulty. Qualities without film stay blank; nothing is filled in.",
            );
        }
    }

    fn other_fault_ui(
        &mut self,
        ui: &mut Ui,
        run: &Run,
        faults: &[String],
        requests: &mut Vec<Request>,
    ) {
        let (rect, _) = ui.allocate_exact_size(
            vec2(ui.available_width(), measure::FIELD_HEIGHT),
            Sense::hover(),
        );
        write_label(ui, rect, "Other fault");
        let field = rect.with_min_x(rect.left() + LABEL);
        let id = Id::unique(("other fault", run.number));
        if let Some(fault) = bare_text_field(ui, id, "Other fault", "", field) {
            self.is_naming_fault = false;
            let fault = fault.trim().to_owned();
            if !fault.is_empty() && !faults.contains(&fault) {
                let mut faults = faults.to_vec();
                faults.push(fault);
                requests.push(set_outcome(run, Outcome::Faulty { faults }));
            }
        }
    }

    fn settings_ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        facts: &ReadingTable,
        run: &Run,
        requests: &mut Vec<Request>,
    ) {
        let planned = settings_words(view.project, facts, |id| run.planned.get(id).cloned());
        words_ui(ui, "Planned", &planned);
        if !run.pulled.is_empty() {
            let pulled = settings_words(view.project, facts, |id| run.pulled.get(id).cloned());
            words_ui(ui, "Pulled to", &pulled);
        }
        let as_run = match (&run.outcome, run.as_run.is_empty()) {
            (Outcome::NotRun, true) => "not run yet".to_owned(),
            (_, true) if run.pulled.is_empty() => "as planned".to_owned(),
            (_, true) => "as pulled".to_owned(),
            (_, false) => settings_words(view.project, facts, |id| run.as_run.get(id).cloned()),
        };
        words_ui(ui, "As run", &as_run);
        let words = if self.is_as_run_open {
            "Close settings as run"
        } else {
            "Run otherwise…"
        };
        ui.horizontal(|ui| {
            ui.add_space(LABEL);
            if link(ui, words).clicked() {
                self.is_as_run_open = !self.is_as_run_open;
            }
        });
        if self.is_as_run_open {
            for column in &facts.settings {
                if let Some(setting) = view.project.setting(&column.id) {
                    as_run_ui(ui, (run, setting), column.n_decimals, requests);
                }
            }
        }
    }
}

fn set_outcome(run: &Run, outcome: Outcome) -> Request {
    Request::Edit(Command::SetOutcome {
        run: run.number,
        outcome,
    })
}

fn fault_buttons(
    ui: &mut Ui,
    view: &View<'_>,
    run: &Run,
    chosen: &[String],
    requests: &mut Vec<Request>,
) {
    for fault in known_faults(view.project) {
        let is_chosen = chosen.contains(&fault);
        let look = if is_chosen {
            ButtonLook::Fault
        } else {
            ButtonLook::Outlined
        };
        if choice_button(ui, &fault, look).clicked() {
            let mut faults = chosen.to_vec();
            if is_chosen {
                faults.retain(|known| *known != fault);
            } else {
                faults.push(fault);
            }
            requests.push(set_outcome(run, Outcome::Faulty { faults }));
        }
    }
}

/// One setting as it was run; off the plan its name stands in the accent.
fn as_run_ui(
    ui: &mut Ui,
    (run, setting): (&Run, &SettingEntry),
    n_decimals: usize,
    requests: &mut Vec<Request>,
) {
    let Some(value) = run.setting(&setting.id) else {
        return;
    };
    let shown = setting_text(value, n_decimals);
    let is_off = run.as_run.contains_key(&setting.id);
    let id = Id::unique(("as run", run.number, &setting.id));
    let name = format!("{} as run, {}", setting.label, setting.unit);
    let typed = ui
        .horizontal(|ui| {
            label_ui(ui, &setting.label, is_off);
            if let Variation::Categories { levels } = &setting.variation {
                let chosen = levels.iter().position(|level| *level == shown);
                let picked = dropdown(ui, id, &name, levels, (chosen, 130.0))?;
                return levels.get(picked).cloned();
            }
            let field = NumberField::new(id, &name, &shown)
                .unit(&setting.unit)
                .width(90.0)
                .message_place(MessagePlace::Over);
            field.show(ui).committed.map(|committed| committed.text)
        })
        .inner;
    if let Some(text) = typed
        && let Ok(command) = read_as_run(&text, run, setting)
    {
        requests.push(Request::Edit(command));
    }
}

/// What the limits say to the settings as they were run.
fn verdict_ui(ui: &mut Ui, view: &mut View<'_>, run: &Run) {
    if view.project.line.is_none() {
        return;
    }
    let settings = view.project.settings_of(run);
    let words = verdict_words(view.derived.judge(view.project, &settings));
    quiet_text(ui, &words.sentence);
    if !run.as_run.is_empty() && !words.below.is_empty() {
        quiet_text(ui, &words.below);
    }
}

fn metre_ui(ui: &mut Ui, view: &View<'_>, run: &Run, requests: &mut Vec<Request>) {
    let shown = run
        .metre
        .map_or_else(String::new, |metre| format_number(metre, 1));
    let laid_out = on_roll(view, run).map_or_else(String::new, |placed| {
        format!("laid out at {}", format_number(placed.sample_start_m, 1))
    });
    let id = Id::unique(("metre of run", run.number));
    let name = format!("Metre of run {}, m", run.number);
    let committed = ui
        .horizontal(|ui| {
            label_ui(ui, "Metre", false);
            let field = NumberField::new(id, &name, &shown)
                .unit("m")
                .width(90.0)
                .message_place(MessagePlace::Over);
            let committed = field.show_with(ui, read_metre).committed;
            crate::widgets::heading::inline_text(ui, &laid_out);
            committed
        })
        .inner;
    if let Some(committed) = committed {
        requests.push(Request::Edit(Command::SetMetre {
            run: run.number,
            metre: committed.value,
        }));
    }
}

fn on_roll<'a>(view: &'a View<'_>, run: &Run) -> Option<&'a crate::campaign::roll::RunOnRoll> {
    let roll = view.derived.roll()?;
    roll.runs.iter().find(|placed| placed.run == run.number)
}

fn place_words(view: &View<'_>, run: &Run) -> String {
    let metre = run
        .metre
        .or_else(|| on_roll(view, run).map(|placed| placed.sample_start_m));
    let mut words: Vec<String> = Vec::new();
    words.extend(metre.map(|metre| format!("{} m", format_number(metre, 1))));
    words.extend(on_roll(view, run).map(|placed| format!("bottle {}", placed.bottle)));
    words.extend((!run.time.is_empty()).then(|| run.time.clone()));
    words.join(", ")
}

/// A name with what stands beside it, wrapped into as many lines as it takes.
pub(super) fn beside(ui: &mut Ui, label: &str, draw: impl FnOnce(&mut Ui)) {
    let top = ui.cursor().top();
    let left = ui.cursor().left();
    let width = ui.available_width();
    let rect = egui::Rect::from_min_size(pos2(left, top), vec2(LABEL, 26.0));
    write_label(ui, rect, label);
    let inner = egui::Rect::from_min_size(pos2(left + LABEL, top), vec2(width - LABEL, 26.0));
    let layout = egui::Layout::left_to_right(egui::Align::Center).with_main_wrap(true);
    let builder = egui::UiBuilder::new()
        .id_salt(label)
        .max_rect(inner)
        .layout(layout);
    let mut child = ui.new_child(builder);
    child.spacing_mut().item_spacing = vec2(6.0, 5.0);
    draw(&mut child);
    let used = child.min_rect().union(rect);
    ui.advance_cursor_after_rect(used);
    ui.add_space(2.0);
}

fn write_label(ui: &Ui, rect: egui::Rect, label: &str) {
    let text = Lettering::new(label, theme::regular(text_size::CELL), Palette::of(ui).ink2);
    let base = base_line_around(rect.center().y, text_size::CELL);
    text.write_within(
        ui.painter(),
        pos2(rect.left(), base),
        egui::Align::LEFT,
        LABEL - 6.0,
    );
}

/// A name in its place at the left of a row; in the accent where it is off the plan.
pub(super) fn label_ui(ui: &mut Ui, label: &str, is_off: bool) {
    let size = vec2(LABEL - ui.spacing().item_spacing.x, measure::FIELD_HEIGHT);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, label));
    let palette = Palette::of(ui);
    let color = if is_off { palette.accent } else { palette.ink2 };
    let text = Lettering::new(label, theme::regular(text_size::CELL), color);
    let base = base_line_around(rect.center().y, text_size::CELL);
    text.write_within(
        ui.painter(),
        pos2(rect.left(), base),
        egui::Align::LEFT,
        size.x,
    );
}

/// A name with words beside it.
fn words_ui(ui: &mut Ui, label: &str, words: &str) {
    let left = ui.cursor().min;
    let rect = egui::Rect::from_min_size(left, vec2(LABEL, 18.0));
    write_label(ui, rect, label);
    let width = ui.available_width() - LABEL;
    let inner = egui::Rect::from_min_size(left + vec2(LABEL, 0.0), vec2(width, 18.0));
    let mut child = ui.new_child(egui::UiBuilder::new().id_salt(label).max_rect(inner));
    body_text(&mut child, words);
    let used = child.min_rect().union(rect);
    ui.advance_cursor_after_rect(used);
}
