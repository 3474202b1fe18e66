//! The page for standing at the machine: one run, large targets, nothing to hover over or to drag.

use egui::{Align, ScrollArea, Sense, Ui, UiBuilder, WidgetInfo, accesskit::Role, pos2, vec2};

use super::columns::short_names;
use super::keypad::{Keypad, Pressed};
use super::tiles::{foil_ui, tiles_ui};
use super::verdict::{faults_ui, verdict_ui};
use crate::app::view::{Request, View};
use crate::campaign::command::Command;
use crate::campaign::machine_page::{MachinePage, cautions_of, first_open_run, machine_page};
use crate::campaign::project::{Outcome, Quality, Run};
use crate::campaign::reading_table::{
    ReadingTable, Slot, measured, read_metre, read_slot, slots, value_text,
};
use crate::campaign::sentence_case::in_sentence;
use crate::number_text::format_number;
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::button::{ButtonLook, sized_button};
use crate::widgets::heading::quiet_text;
use crate::widgets::lettering::Lettering;

/// Width from which tiles and verdict stand side by side.
const SIDE_BY_SIDE: f32 = 1000.0;
pub(super) const GAP: f32 = 12.0;
/// Heights below which the keys stand in two rows.
const FLAT: f32 = 380.0;

/// What a narrow window shows of the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Part {
    /// What to turn.
    #[default]
    Settings,
    /// Sound or faulty.
    Film,
    /// Readings and metre.
    Readings,
}

/// What a number is entered for.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Entry {
    /// The metre at which the sample starts.
    Metre,
    /// A reading.
    Reading(String, Slot),
}

/// Drafts of the page.
#[derive(Debug)]
pub(super) struct MachineState {
    run: Option<u32>,
    entry: Option<Entry>,
    keypad: Keypad,
    part: Part,
}

impl MachineState {
    /// Starts with the selected run, else with the first that was not run.
    pub(super) fn starting_at(view: &View<'_>) -> Self {
        Self {
            run: view.selection.run.or_else(|| first_open_run(view.project)),
            entry: None,
            keypad: Keypad::default(),
            part: Part::default(),
        }
    }

    /// Draws the page; true once one wants back to the table.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        facts: &ReadingTable,
        requests: &mut Vec<Request>,
    ) -> bool {
        let number = self
            .run
            .filter(|number| view.project.run(*number).is_some())
            .or_else(|| first_open_run(view.project));
        let found = number.and_then(|number| {
            let page = machine_page(view.project, view.derived.roll(), number)?;
            Some((page, view.project.run(number)?))
        });
        let Some((page, run)) = found else {
            return true;
        };
        if view.selection.run != number {
            requests.push(Request::SelectRun(number));
        }
        let is_narrow = ui.available_width() < SIDE_BY_SIDE;
        let is_done = if is_narrow {
            self.narrow_head_ui(ui, &page)
        } else {
            head_ui(ui, &page, run)
        };
        let rect = ui.available_rect_before_wrap();
        let mut inner = ui.new_child(UiBuilder::new().id_salt("machine").max_rect(rect));
        ScrollArea::vertical()
            .id_salt("machine")
            .auto_shrink(false)
            .show(&mut inner, |ui| {
                ui.set_max_width(rect.width() - 8.0);
                ui.spacing_mut().item_spacing = vec2(GAP, 8.0);
                if is_narrow {
                    self.part_ui(ui, view, facts, (&page, run), requests);
                } else {
                    self.wide_ui(ui, view, facts, (&page, run), requests);
                }
            });
        ui.advance_cursor_after_rect(rect);
        is_done || ui.input(|input| input.key_pressed(egui::Key::Escape))
    }

    fn wide_ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        facts: &ReadingTable,
        (page, run): (&MachinePage, &Run),
        requests: &mut Vec<Request>,
    ) {
        let left = ui.available_width() * 0.55;
        ui.horizontal_top(|ui| {
            ui.allocate_ui(vec2(left, 0.0), |ui| {
                ui.vertical(|ui| self.left_ui(ui, view, page, run));
            });
            ui.add_space(24.0);
            ui.vertical(|ui| self.right_ui(ui, view, facts, (page, run), requests));
        });
    }

    /// One part at a time; every part is reached by a large button, nothing has to be dragged.
    fn part_ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        facts: &ReadingTable,
        (page, run): (&MachinePage, &Run),
        requests: &mut Vec<Request>,
    ) {
        if self.entry.is_some() {
            self.entry_ui(ui, view, run, requests);
            return;
        }
        match self.part {
            Part::Settings => {
                tiles_ui(ui, &page.tiles, true);
                let below = [page.stop_words(), page.left_words()];
                for words in below.iter().filter(|words| !words.is_empty()) {
                    label_ui(ui, words);
                }
            }
            Part::Film => {
                verdict_ui(ui, run, requests, (measure::MACHINE_TARGET, false));
                if let Outcome::Faulty { faults } = &run.outcome {
                    faults_ui(ui, view, (run, faults), false, requests);
                }
            }
            Part::Readings => {
                self.readings_ui(ui, view, facts, run, 3);
                self.metre_ui(ui, page, run);
            }
        }
    }

    /// Number of the run and the ways to everything else, in one row of large buttons.
    fn narrow_head_ui(&mut self, ui: &mut Ui, page: &MachinePage) -> bool {
        const NUMBER: f32 = 128.0;
        const CLOSE: f32 = 6.0;
        let mut is_back = false;
        let width = (ui.available_width() - NUMBER - 6.0 * CLOSE - 8.0) / 6.0;
        let size = vec2(width, measure::MACHINE_TARGET);
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = CLOSE;
            number_ui(ui, page, NUMBER);
            let parts = [
                (Part::Settings, "Set"),
                (Part::Film, "Film"),
                (Part::Readings, "Readings"),
            ];
            for (part, words) in parts {
                let look = if self.part == part {
                    ButtonLook::Accent
                } else {
                    ButtonLook::Outlined
                };
                if sized_button(ui, words, look, size, text_size::MACHINE_LABEL).clicked() {
                    self.part = part;
                    self.entry = None;
                }
            }
            for (run, words) in [(page.previous, "Before"), (page.next, "Next")] {
                ui.add_enabled_ui(run.is_some(), |ui| {
                    let look = ButtonLook::Outlined;
                    if sized_button(ui, words, look, size, text_size::MACHINE_LABEL).clicked() {
                        self.run = run;
                        self.entry = None;
                    }
                });
            }
            let look = ButtonLook::Outlined;
            is_back = sized_button(ui, "Table", look, size, text_size::MACHINE_LABEL).clicked();
        });
        is_back
    }

    fn left_ui(&mut self, ui: &mut Ui, view: &View<'_>, page: &MachinePage, run: &Run) {
        label_ui(ui, &format!("Set now: {}", page.change_words()));
        if let Some(unknown) = &page.unknown {
            label_ui(ui, unknown);
        }
        tiles_ui(ui, &page.tiles, false);
        let stop = page.stop_words();
        if !stop.is_empty() {
            label_ui(ui, &stop);
        }
        foil_ui(ui, view, page);
        self.metre_ui(ui, page, run);
        let left = page.left_words();
        if !left.is_empty() {
            label_ui(ui, &left);
        }
        cautions_ui(ui, view);
    }

    /// The metre of the sample: as written down, else as laid out.
    fn metre_ui(&mut self, ui: &mut Ui, page: &MachinePage, run: &Run) {
        let laid_out = page.on_roll.as_ref().map(|roll| roll.sample_start_m);
        let words = match (run.metre, laid_out) {
            (Some(metre), _) => {
                format!("Sample starts at metre {}", format_number(metre, 1))
            }
            (None, Some(metre)) => {
                format!(
                    "Metre at the sample, laid out at {}…",
                    format_number(metre, 1)
                )
            }
            (None, None) => "Metre at the start of the sample…".to_owned(),
        };
        let look = if self.entry == Some(Entry::Metre) {
            ButtonLook::Accent
        } else {
            ButtonLook::Outlined
        };
        let size = vec2(ui.available_width(), measure::MACHINE_TARGET);
        if sized_button(ui, &words, look, size, text_size::MACHINE_FAULT).clicked() {
            self.choose(Entry::Metre);
        }
    }

    fn choose(&mut self, entry: Entry) {
        self.entry = (self.entry.as_ref() != Some(&entry)).then_some(entry);
        self.keypad = Keypad::default();
    }

    fn right_ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        facts: &ReadingTable,
        (page, run): (&MachinePage, &Run),
        requests: &mut Vec<Request>,
    ) {
        if self.entry.is_some() {
            self.entry_ui(ui, view, run, requests);
        } else {
            verdict_ui(ui, run, requests, (80.0, true));
            if let Outcome::Faulty { faults } = &run.outcome {
                faults_ui(ui, view, (run, faults), true, requests);
            }
        }
        self.turn_ui(ui, page);
        let has_film = !matches!(run.outcome, Outcome::Faulty { .. });
        if self.entry.is_none() && (has_film || !run.readings.is_empty()) {
            label_ui(ui, "Readings");
            self.readings_ui(ui, view, facts, run, 2);
        }
    }

    /// Previous and next run.
    fn turn_ui(&mut self, ui: &mut Ui, page: &MachinePage) {
        let half = vec2((ui.available_width() - GAP) / 2.0, 60.0);
        ui.horizontal(|ui| {
            let turns = [
                (page.previous, "Previous run", ButtonLook::Outlined),
                (page.next, "Next run", ButtonLook::Accent),
            ];
            for (run, words, look) in turns {
                ui.add_enabled_ui(run.is_some(), |ui| {
                    if sized_button(ui, words, look, half, text_size::MACHINE_FAULT).clicked() {
                        self.run = run;
                        self.entry = None;
                    }
                });
            }
        });
    }

    /// One large button a reading.
    fn readings_ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        facts: &ReadingTable,
        run: &Run,
        n_columns: usize,
    ) {
        let n_gaps = n_columns.saturating_sub(1) as f32;
        let width = (ui.available_width() - n_gaps * GAP) / n_columns as f32;
        let size = vec2(width, measure::MACHINE_TARGET);
        let full: Vec<String> = measured(view.project)
            .map(|quality| in_sentence(&quality.label))
            .collect();
        let names = if n_columns > 2 {
            short_names(&full)
        } else {
            full
        };
        let all: Vec<(&Quality, &String, Slot)> = measured(view.project)
            .zip(&names)
            .flat_map(|(quality, name)| {
                slots(run, quality)
                    .into_iter()
                    .map(move |slot| (quality, name, slot))
            })
            .collect();
        for row in all.chunks(n_columns) {
            ui.horizontal(|ui| {
                for (quality, name, slot) in row {
                    let words = reading_words(facts, run, (quality, name), slot);
                    let look = ButtonLook::Outlined;
                    if sized_button(ui, &words, look, size, text_size::MACHINE_LABEL).clicked() {
                        self.choose(Entry::Reading(quality.id.clone(), slot.clone()));
                    }
                }
            });
        }
    }

    fn entry_ui(&mut self, ui: &mut Ui, view: &View<'_>, run: &Run, requests: &mut Vec<Request>) {
        let Some(entry) = self.entry.clone() else {
            return;
        };
        let (name, unit) = match &entry {
            Entry::Metre => (
                "metre at the start of the sample".to_owned(),
                "m".to_owned(),
            ),
            Entry::Reading(id, slot) => view.project.quality(id).map_or_else(
                || (id.clone(), String::new()),
                |quality| (slot_name(quality, slot), quality.unit.clone()),
            ),
        };
        let is_flat = ui.available_height() < FLAT;
        if !is_flat {
            label_ui(ui, &format!("Type the {name}"));
        }
        if let Entry::Reading(id, _) = &entry
            && let Some(quality) = view.project.quality(id)
            && !quality.classes.is_empty()
        {
            classes_ui(ui, quality, &mut self.keypad);
        }
        match self.keypad.ui(ui, &name, &unit, is_flat) {
            Some(Pressed::Enter) => match entered(view, run, &entry, &self.keypad.text) {
                Ok(command) => {
                    requests.push(Request::Edit(command));
                    self.keypad = Keypad::default();
                    self.entry = next_entry(view, run, &entry);
                }
                Err(message) => self.keypad.message = message,
            },
            Some(Pressed::Close) => self.entry = None,
            None => {}
        }
    }
}

/// What to heed with the settings that the spine shows, which are those of the run.
fn cautions_ui(ui: &mut Ui, view: &View<'_>) {
    if let Some((_, Ok(judgement))) = view.derived.judged_settings() {
        quiet_text(ui, &cautions_of(judgement).join(" "));
    }
}

/// Named classes are chosen, not typed.
fn classes_ui(ui: &mut Ui, quality: &Quality, keypad: &mut Keypad) {
    ui.horizontal_wrapped(|ui| {
        for class in &quality.classes {
            let size = vec2(130.0, measure::MACHINE_TARGET);
            if sized_button(
                ui,
                class,
                ButtonLook::Outlined,
                size,
                text_size::MACHINE_LABEL,
            )
            .clicked()
            {
                keypad.text.clone_from(class);
            }
        }
    });
}

fn slot_name(quality: &Quality, slot: &Slot) -> String {
    with_slot(in_sentence(&quality.label), slot)
}

fn with_slot(name: String, slot: &Slot) -> String {
    match (slot.place.is_empty(), slot.repeat) {
        (true, 1) => name,
        (true, repeat) => format!("{name}, reading {repeat}"),
        (false, 1) => format!("{name}, {}", slot.place),
        (false, _) => format!("{name}, {}", slot.label()),
    }
}

/// A reading on its button: "sheet resistance, left: 45.4 Ω/sq"; `name` is the name that has room.
fn reading_words(
    facts: &ReadingTable,
    run: &Run,
    (quality, name): (&Quality, &str),
    slot: &Slot,
) -> String {
    let column = facts
        .qualities
        .iter()
        .find(|column| column.id == quality.id);
    let n_decimals = column.map_or(0, |column| column.n_decimals);
    let name = with_slot(name.to_owned(), slot);
    match run.reading(&quality.id, &slot.place, slot.repeat) {
        Some(reading) => {
            let value = value_text(&reading.value, n_decimals);
            format!("{name}: {value} {}", quality.unit)
                .trim_end()
                .to_owned()
        }
        None => format!("{name}…"),
    }
}

fn entered(view: &View<'_>, run: &Run, entry: &Entry, text: &str) -> Result<Command, String> {
    match entry {
        Entry::Metre => read_metre(text)
            .map(|metre| Command::SetMetre {
                run: run.number,
                metre,
            })
            .map_err(|error| error.to_string()),
        Entry::Reading(id, slot) => {
            let quality = view.project.quality(id);
            let quality =
                quality.ok_or_else(|| format!("There is no film quality \"{id}\" any more."))?;
            read_slot(text, run, quality, slot, view.now)
                .map(|edit| Command::EnterReadings(vec![edit]))
                .map_err(|error| error.to_string())
        }
    }
}

/// After a reading comes the next that is missing; after the metre the film.
fn next_entry(view: &View<'_>, run: &Run, done: &Entry) -> Option<Entry> {
    let Entry::Reading(..) = done else {
        return None;
    };
    let all = measured(view.project).flat_map(|quality| {
        slots(run, quality)
            .into_iter()
            .map(move |slot| Entry::Reading(quality.id.clone(), slot))
    });
    all.skip_while(|entry| entry != done)
        .skip(1)
        .find(|entry| match entry {
            Entry::Metre => false,
            Entry::Reading(id, slot) => run.reading(id, &slot.place, slot.repeat).is_none(),
        })
}

/// Number of the run over its place in the order.
fn number_ui(ui: &mut Ui, page: &MachinePage, width: f32) {
    let (rect, response) = ui.allocate_exact_size(vec2(width, 58.0), Sense::hover());
    let place = format!("{} of {}", page.place, page.n_runs);
    let words = format!("Run {}, {place}", page.run);
    response.widget_info(|| WidgetInfo::labeled(Role::Heading, true, &words));
    let palette = Palette::of(ui);
    let number = Lettering::new(
        format!("Run {}", page.run),
        theme::bold(text_size::MACHINE_VERDICT),
        palette.ink,
    );
    let painter = ui.painter();
    number.write_within(
        painter,
        pos2(rect.left(), rect.top() + 32.0),
        Align::LEFT,
        width,
    );
    let place = Lettering::new(place, theme::regular(text_size::CELL), palette.ink2);
    place.write_within(
        painter,
        pos2(rect.left(), rect.top() + 51.0),
        Align::LEFT,
        width,
    );
}

/// Number of the run, where it lies, and the way back; true once that was pressed.
fn head_ui(ui: &mut Ui, page: &MachinePage, run: &Run) -> bool {
    let mut is_back = false;
    ui.horizontal(|ui| {
        let palette = Palette::of(ui);
        let (rect, response) =
            ui.allocate_exact_size(vec2(ui.available_width() - 190.0, 58.0), Sense::hover());
        let from = run
            .metre
            .or_else(|| page.on_roll.as_ref().map(|roll| roll.start_m))
            .map_or_else(String::new, |metre| {
                format!(", from metre {}", format_number(metre, 1))
            });
        let place = format!("{} of {}{from}", page.place, page.n_runs);
        let words = format!("Run {}, {place}", page.run);
        response.widget_info(|| WidgetInfo::labeled(Role::Heading, true, &words));
        let base = rect.top() + 42.0;
        let number = format!("Run {}", page.run);
        let drawn = Lettering::new(number, theme::bold(text_size::MACHINE_RUN), palette.ink).write(
            ui.painter(),
            pos2(rect.left(), base),
            Align::LEFT,
        );
        let at = pos2(drawn.right() + 20.0, base);
        let room = rect.right() - at.x;
        Lettering::new(
            place,
            theme::regular(text_size::MACHINE_FAULT),
            palette.ink2,
        )
        .write_within(ui.painter(), at, Align::LEFT, room);
        let size = vec2(180.0, measure::MACHINE_TARGET);
        is_back = sized_button(
            ui,
            "Back to the table",
            ButtonLook::Outlined,
            size,
            text_size::MACHINE_LABEL,
        )
        .clicked();
    });
    is_back
}

/// A line of words in the size of the machine page.
pub(super) fn label_ui(ui: &mut Ui, words: &str) {
    let text = Lettering::new(
        words,
        theme::regular(text_size::MACHINE_LABEL),
        Palette::of(ui).ink2,
    );
    let width = ui.available_width();
    let height = text.wrapped_height(ui.painter(), width);
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    text.write_wrapped(ui.painter(), pos2(rect.left(), rect.top() + 16.0), width);
}
