//! The page for standing at the machine: one run, large targets, nothing to hover over or to drag.

use egui::{
    Align, Rect, ScrollArea, Sense, Stroke, StrokeKind, Ui, UiBuilder, Vec2, WidgetInfo,
    accesskit::Role, pos2, vec2,
};

use super::keypad::Keypad;
use crate::app::view::{Request, View};
use crate::campaign::command::Command;
use crate::campaign::machine_page::{KnobTile, MachinePage, first_open_run, machine_page};
use crate::campaign::project::{Outcome, Quality, Run};
use crate::campaign::reading_table::{
    ReadingTable, Slot, known_faults, measured, read_metre, read_slot, slots, value_text,
};
use crate::number_text::format_number;
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::button::{ButtonLook, sized_button};
use crate::widgets::hatch::{Hatch, hatch_rect};
use crate::widgets::lettering::{Lettering, base_line_around};

/// Width from which tiles and verdict stand side by side.
const SIDE_BY_SIDE: f32 = 1000.0;
const GAP: f32 = 12.0;

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
}

impl MachineState {
    /// Starts with the selected run, else with the first that was not run.
    pub(super) fn starting_at(view: &View<'_>) -> Self {
        Self {
            run: view.selection.run.or_else(|| first_open_run(view.project)),
            entry: None,
            keypad: Keypad::default(),
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
        let is_done = head_ui(ui, &page, run);
        let rect = ui.available_rect_before_wrap();
        let mut inner = ui.new_child(UiBuilder::new().id_salt("machine").max_rect(rect));
        ScrollArea::vertical()
            .id_salt("machine")
            .auto_shrink(false)
            .show(&mut inner, |ui| {
                ui.set_max_width(rect.width() - 8.0);
                ui.spacing_mut().item_spacing = vec2(GAP, 8.0);
                if rect.width() >= SIDE_BY_SIDE {
                    let left = ui.available_width() * 0.55;
                    ui.horizontal_top(|ui| {
                        ui.allocate_ui(vec2(left, 0.0), |ui| {
                            ui.vertical(|ui| self.left_ui(ui, view, &page, run));
                        });
                        ui.add_space(24.0);
                        ui.vertical(|ui| self.right_ui(ui, view, facts, (&page, run), requests));
                    });
                } else {
                    self.left_ui(ui, view, &page, run);
                    self.right_ui(ui, view, facts, (&page, run), requests);
                }
            });
        ui.advance_cursor_after_rect(rect);
        is_done || ui.input(|input| input.key_pressed(egui::Key::Escape))
    }

    fn left_ui(&mut self, ui: &mut Ui, view: &View<'_>, page: &MachinePage, run: &Run) {
        label_ui(ui, &format!("Set now: {}", page.change_words()));
        if let Some(unknown) = &page.unknown {
            label_ui(ui, unknown);
        }
        tiles_ui(ui, &page.tiles);
        let stop = page.stop_words();
        if !stop.is_empty() {
            label_ui(ui, &stop);
        }
        foil_ui(ui, view, page);
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
            verdict_ui(ui, run, requests);
            if let Outcome::Faulty { faults } = &run.outcome {
                faults_ui(ui, view, run, faults, requests);
            }
        }
        self.turn_ui(ui, page);
        if self.entry.is_none() {
            self.readings_ui(ui, view, facts, run);
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
    fn readings_ui(&mut self, ui: &mut Ui, view: &View<'_>, facts: &ReadingTable, run: &Run) {
        label_ui(ui, "Readings");
        let half = vec2((ui.available_width() - GAP) / 2.0, measure::MACHINE_TARGET);
        let all: Vec<(&Quality, Slot)> = measured(view.project)
            .flat_map(|quality| {
                slots(run, quality)
                    .into_iter()
                    .map(move |slot| (quality, slot))
            })
            .collect();
        for pair in all.chunks(2) {
            ui.horizontal(|ui| {
                for (quality, slot) in pair {
                    let words = reading_words(facts, run, quality, slot);
                    let look = ButtonLook::Outlined;
                    if sized_button(ui, &words, look, half, text_size::MACHINE_LABEL).clicked() {
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
        label_ui(ui, &format!("Type the {name}"));
        if let Entry::Reading(id, _) = &entry
            && let Some(quality) = view.project.quality(id)
        {
            classes_ui(ui, quality, &mut self.keypad);
        }
        if self.keypad.ui(ui, &name, &unit) {
            match entered(view, run, &entry, &self.keypad.text) {
                Ok(command) => {
                    requests.push(Request::Edit(command));
                    self.keypad = Keypad::default();
                    self.entry = next_entry(view, run, &entry);
                }
                Err(message) => self.keypad.message = message,
            }
        }
        let size = vec2(ui.available_width().min(560.0), measure::MACHINE_TARGET);
        if sized_button(
            ui,
            "Close the keys",
            ButtonLook::Outlined,
            size,
            text_size::MACHINE_FAULT,
        )
        .clicked()
        {
            self.entry = None;
        }
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
    let name = crate::campaign::sentence_case::in_sentence(&quality.label);
    match (slot.place.is_empty(), slot.repeat) {
        (true, 1) => name,
        (true, repeat) => format!("{name}, reading {repeat}"),
        (false, 1) => format!("{name}, {}", slot.place),
        (false, _) => format!("{name}, {}", slot.label()),
    }
}

fn reading_words(facts: &ReadingTable, run: &Run, quality: &Quality, slot: &Slot) -> String {
    let column = facts
        .qualities
        .iter()
        .find(|column| column.id == quality.id);
    let n_decimals = column.map_or(0, |column| column.n_decimals);
    let name = slot_name(quality, slot);
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

fn label_ui(ui: &mut Ui, words: &str) {
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

/// What to turn, three tiles a row, two on a small screen.
fn tiles_ui(ui: &mut Ui, tiles: &[KnobTile]) {
    let width = ui.available_width();
    let n_columns = if width < 660.0 { 2 } else { 3 };
    let size = vec2(
        (width - GAP * (n_columns - 1) as f32) / n_columns as f32,
        108.0,
    );
    for row in tiles.chunks(n_columns) {
        ui.horizontal(|ui| {
            for tile in row {
                tile_ui(ui, tile, size);
            }
        });
    }
}

fn tile_ui(ui: &mut Ui, tile: &KnobTile, size: Vec2) {
    let palette = Palette::of(ui);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let was = tile.was.as_ref().map_or_else(String::new, |was| {
        if tile.is_changed {
            format!("was {was}")
        } else {
            "stays".to_owned()
        }
    });
    let words = format!("{} {} {}, {was}", tile.label, tile.value, tile.unit);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
    let painter = ui.painter();
    let fill = if tile.is_changed {
        palette.sheet
    } else {
        palette.ground
    };
    let stroke = Stroke::new(1.0, palette.line);
    painter.rect(
        rect,
        measure::BUTTON_RADIUS,
        fill,
        stroke,
        StrokeKind::Inside,
    );
    if tile.is_changed {
        painter.rect_filled(rect.with_max_x(rect.left() + 5.0), 0, palette.accent);
    }
    let left = rect.left() + 20.0;
    let label = Lettering::new(
        &tile.label,
        theme::regular(text_size::MACHINE_LABEL),
        palette.ink2,
    );
    let was = Lettering::new(was, theme::regular(text_size::CELL), palette.ink2);
    let was_width = was.width(painter) + 12.0;
    was.write(
        painter,
        pos2(rect.right() - 12.0, rect.top() + 27.0),
        Align::RIGHT,
    );
    label.write_within(
        painter,
        pos2(left, rect.top() + 27.0),
        Align::LEFT,
        size.x - 34.0 - was_width,
    );
    let font = if tile.is_changed {
        theme::bold(text_size::MACHINE_VALUE)
    } else {
        theme::regular(text_size::MACHINE_VALUE)
    };
    let value = Lettering::new(&tile.value, font, palette.ink);
    let base = rect.top() + if tile.asked.is_empty() { 82.0 } else { 74.0 };
    let drawn = value.write_within(painter, pos2(left, base), Align::LEFT, size.x - 80.0);
    let unit = Lettering::new(
        &tile.unit,
        theme::regular(text_size::MACHINE_LABEL),
        palette.ink2,
    );
    unit.write_within(
        painter,
        pos2(drawn.right() + 7.0, base),
        Align::LEFT,
        rect.right() - drawn.right() - 12.0,
    );
    let asked = Lettering::new(&tile.asked, theme::regular(text_size::CELL), palette.ink2);
    asked.write_within(
        painter,
        pos2(left, rect.bottom() - 10.0),
        Align::LEFT,
        size.x - 32.0,
    );
}

/// The foil around the run: settling hatched, sample solid, metres below.
fn foil_ui(ui: &mut Ui, view: &View<'_>, page: &MachinePage) {
    let Some(placed) = &page.on_roll else { return };
    let palette = Palette::of(ui);
    let (rect, response) = ui.allocate_exact_size(vec2(ui.available_width(), 66.0), Sense::hover());
    let metres = [placed.start_m, placed.sample_start_m, placed.end_m];
    let words = format!(
        "Foil: settling from metre {}, sample from {} to {}",
        format_number(metres[0], 1),
        format_number(metres[1], 1),
        format_number(metres[2], 1)
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
    let strip = rect.with_max_y(rect.top() + 40.0);
    let at = |share: f32| strip.left() + share * strip.width();
    // Not to scale: the neighbours take a quarter each, settling and sample share the middle by their lengths.
    let length = (metres[2] - metres[0]).max(1e-9);
    #[expect(clippy::cast_possible_truncation, reason = "a share of one")]
    let settling = (((metres[1] - metres[0]) / length) as f32).clamp(0.15, 0.6);
    let stops = [0.25, 0.25 + 0.5 * settling, 0.75];
    let painter = ui.painter();
    let part = |from: f32, to: f32| Rect::from_x_y_ranges(at(from)..=at(to), strip.y_range());
    painter.rect_filled(part(0.0, stops[0]), 0, palette.accent_soft);
    painter.rect_filled(part(stops[0], stops[1]), 0, palette.foil);
    hatch_rect(
        painter,
        part(stops[0], stops[1]),
        Hatch::infeasible(palette),
    );
    painter.rect_filled(part(stops[1], stops[2]), 0, palette.wet);
    painter.rect_filled(part(stops[2], 1.0), 0, palette.foil);
    let base = base_line_around(strip.center().y, text_size::MACHINE_LABEL);
    let write = |from: f32, to: f32, words: String, color| {
        let text = Lettering::new(words, theme::regular(text_size::MACHINE_LABEL), color);
        let middle = f32::midpoint(at(from), at(to));
        text.write_within(
            painter,
            pos2(middle, base),
            Align::Center,
            at(to) - at(from) - 6.0,
        );
    };
    let neighbour = |run: Option<u32>, none: &str| {
        run.map_or_else(|| none.to_owned(), |run| format!("run {run}"))
    };
    write(
        0.0,
        stops[0],
        neighbour(page.previous, "leader"),
        palette.ink,
    );
    let sample = format!(
        "sample {} m",
        format_number(view.project.budget.sample_m, 1)
    );
    write(stops[1], stops[2], sample, palette.on_wet);
    write(stops[2], 1.0, neighbour(page.next, "end"), palette.ink2);
    for (stop, metre) in stops.iter().zip(metres) {
        painter.vline(
            at(*stop),
            strip.y_range().expand(3.0),
            Stroke::new(1.6, palette.ink),
        );
        let text = Lettering::new(
            format_number(metre, 1),
            theme::regular(text_size::MACHINE_LABEL),
            palette.ink,
        );
        text.write(
            painter,
            pos2(at(*stop), strip.bottom() + 20.0),
            Align::Center,
        );
    }
}

fn set_outcome(run: &Run, outcome: Outcome) -> Request {
    Request::Edit(Command::SetOutcome {
        run: run.number,
        outcome,
    })
}

fn verdict_ui(ui: &mut Ui, run: &Run, requests: &mut Vec<Request>) {
    let question = match &run.outcome {
        Outcome::NotRun => "How is the film?".to_owned(),
        Outcome::Sound => "How is the film? Said: sound.".to_owned(),
        Outcome::Faulty { .. } => "How is the film? Said: faulty.".to_owned(),
    };
    label_ui(ui, &question);
    let is_judged = run.outcome != Outcome::NotRun;
    let (n_gaps, third) = if is_judged { (2.0, 110.0) } else { (1.0, 0.0) };
    let half = vec2((ui.available_width() - n_gaps * GAP - third) / 2.0, 80.0);
    ui.horizontal(|ui| {
        let is_faulty = matches!(run.outcome, Outcome::Faulty { .. });
        let look = if is_faulty {
            ButtonLook::Outlined
        } else {
            ButtonLook::Primary
        };
        let sound = sized_button(ui, "Sound", look, half, text_size::MACHINE_VERDICT);
        if sound.clicked() && run.outcome != Outcome::Sound {
            requests.push(set_outcome(run, Outcome::Sound));
        }
        let look = if is_faulty {
            ButtonLook::Fault
        } else {
            ButtonLook::Hatched
        };
        let faulty = sized_button(ui, "Faulty", look, half, text_size::MACHINE_VERDICT);
        if faulty.clicked() && !is_faulty {
            requests.push(set_outcome(run, Outcome::Faulty { faults: Vec::new() }));
        }
        if is_judged {
            let size = vec2(third, 80.0);
            let look = ButtonLook::Outlined;
            if sized_button(ui, "Not run", look, size, text_size::MACHINE_FAULT).clicked() {
                requests.push(set_outcome(run, Outcome::NotRun));
            }
        }
    });
}

fn faults_ui(
    ui: &mut Ui,
    view: &View<'_>,
    run: &Run,
    chosen: &[String],
    requests: &mut Vec<Request>,
) {
    label_ui(ui, "Which fault");
    let size = vec2((ui.available_width() - 2.0 * GAP) / 3.0, 60.0);
    for row in known_faults(view.project).chunks(3) {
        ui.horizontal(|ui| {
            for fault in row {
                let is_chosen = chosen.contains(fault);
                let look = if is_chosen {
                    ButtonLook::Fault
                } else {
                    ButtonLook::Outlined
                };
                if sized_button(ui, fault, look, size, text_size::MACHINE_FAULT).clicked() {
                    let mut faults = chosen.to_vec();
                    if is_chosen {
                        faults.retain(|known| known != fault);
                    } else {
                        faults.push(fault.clone());
                    }
                    requests.push(set_outcome(run, Outcome::Faulty { faults }));
                }
            }
        });
    }
}
