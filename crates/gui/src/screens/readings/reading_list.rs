//! The readings of one run one by one: set aside with a reason, taken in again, and what stood there before.

use egui::{Align, Id, Sense, Ui, WidgetInfo, accesskit::Role, pos2, vec2};

use super::run_panel::LABEL;
use crate::app::view::{Request, View};
use crate::campaign::command::{Command, ReadingRef};
use crate::campaign::project::{Reading, Run};
use crate::campaign::reading_table::{QualityColumn, ReadingTable, Slot, value_text};
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::button::{ButtonLook, choice_button, link};
use crate::widgets::heading::{quiet_text, section_head};
use crate::widgets::lettering::{Lettering, base_line_around};
use crate::widgets::text_field::bare_text_field;

/// Reasons that are often given.
const REASONS: [&str; 4] = ["fingerprint", "scratch", "probe slipped", "typed wrongly"];

/// Drafts of the list.
#[derive(Debug, Default)]
pub(super) struct ReadingList {
    /// The reading whose reason is being given.
    asked: Option<ReadingRef>,
    /// Whether it is to be brought into view.
    is_just_asked: bool,
}

impl ReadingList {
    /// Draws the readings of a run.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        facts: &ReadingTable,
        run: &Run,
        requests: &mut Vec<Request>,
    ) {
        let n = run.readings.len();
        let n_aside = run
            .readings
            .iter()
            .filter(|r| r.set_aside.is_some())
            .count();
        let right = match (n, n_aside) {
            (0, _) => "none yet".to_owned(),
            (n, 0) => format!("{n}"),
            (n, aside) => format!("{n}, {aside} set aside"),
        };
        section_head(ui, "Readings one by one", &right);
        let is_measured = |reading: &&Reading| view.project.quality(&reading.quality).is_some();
        for column in &facts.qualities {
            let own = run.readings.iter().filter(|r| r.quality == column.id);
            for (at, reading) in own.filter(is_measured).enumerate() {
                self.row_ui(ui, run, (column, at == 0), reading, requests);
            }
        }
    }

    fn row_ui(
        &mut self,
        ui: &mut Ui,
        run: &Run,
        (column, is_first): (&QualityColumn, bool),
        reading: &Reading,
        requests: &mut Vec<Request>,
    ) {
        let which = ReadingRef {
            run: run.number,
            quality: reading.quality.clone(),
            place: reading.place.clone(),
            repeat: reading.repeat,
        };
        let slot = Slot {
            place: reading.place.clone(),
            repeat: reading.repeat,
        };
        let value = value_text(&reading.value, column.n_decimals);
        let name = if is_first { column.label.as_str() } else { "" };
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            cell_ui(ui, name, LABEL + 6.0, Align::LEFT);
            cell_ui(ui, &slot.label(), 96.0, Align::LEFT);
            cell_ui(ui, &value, 52.0, Align::RIGHT);
            let words = if reading.set_aside.is_some() {
                "Take in"
            } else {
                "Set aside…"
            };
            let response = link(ui, words);
            let full = format!("{words} {}, {}", column.label, slot.label());
            ui.ctx()
                .accesskit_node_builder(response.id, |node| node.set_label(full));
            if response.clicked() {
                if reading.set_aside.is_some() {
                    requests.push(set_aside(which.clone(), None));
                } else {
                    self.is_just_asked = true;
                    self.asked = (self.asked.as_ref() != Some(&which)).then(|| which.clone());
                }
            }
        });
        if let Some(reason) = &reading.set_aside {
            quiet_text(ui, &format!("set aside: {reason}"));
        }
        for line in history_lines(reading, column.n_decimals) {
            quiet_text(ui, &line);
        }
        if self.asked.as_ref() == Some(&which) && reading.set_aside.is_none() {
            self.reason_ui(ui, &which, requests);
        }
    }

    /// Why it is set aside: one of the frequent reasons, or words of one's own.
    fn reason_ui(&mut self, ui: &mut Ui, which: &ReadingRef, requests: &mut Vec<Request>) {
        let mut given: Option<String> = None;
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 4.0);
            for reason in REASONS {
                if choice_button(ui, reason, ButtonLook::Outlined).clicked() {
                    given = Some(reason.to_owned());
                }
            }
        });
        let size = vec2(ui.available_width(), measure::FIELD_HEIGHT);
        let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
        let id = Id::unique((
            "reason",
            which.run,
            &which.quality,
            &which.place,
            which.repeat,
        ));
        if std::mem::take(&mut self.is_just_asked) {
            ui.scroll_to_rect(rect.expand(24.0), None);
        }
        let typed = bare_text_field(ui, id, "Other reason to set it aside", "", rect);
        let given = given.or_else(|| typed.map(|text| text.trim().to_owned()));
        if let Some(reason) = given.filter(|reason| !reason.is_empty()) {
            requests.push(set_aside(which.clone(), Some(reason)));
            self.asked = None;
        }
        quiet_text(
            ui,
            "Press a reason, or type one and press Enter. The reading stays in the file.",
        );
    }
}

fn set_aside(reading: ReadingRef, reason: Option<String>) -> Request {
    Request::Edit(Command::SetAside { reading, reason })
}

/// What stood in a reading before, newest first: "was 171.4, entered 2026-02-04 15:30".
fn history_lines(reading: &Reading, n_decimals: usize) -> Vec<String> {
    reading
        .earlier
        .iter()
        .rev()
        .map(|earlier| {
            let value = value_text(&earlier.value, n_decimals);
            match clock_words(&earlier.when) {
                when if when.is_empty() => format!("was {value}"),
                when => format!("was {value}, entered {when}"),
            }
        })
        .collect()
}

/// A time (UTC, RFC 3339) down to the minute.
fn clock_words(when: &str) -> String {
    when.chars()
        .take(16)
        .map(|sign| if sign == 'T' { ' ' } else { sign })
        .collect()
}

fn cell_ui(ui: &mut Ui, words: &str, width: f32, align: Align) {
    let (rect, response) = ui.allocate_exact_size(vec2(width, 19.0), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    let x = if align == Align::RIGHT {
        rect.right()
    } else {
        rect.left()
    };
    let text = Lettering::new(words, theme::regular(text_size::UNIT), Palette::of(ui).ink);
    let at = pos2(x, base_line_around(rect.center().y, text_size::UNIT));
    text.write_within(ui.painter(), at, align, width);
}
