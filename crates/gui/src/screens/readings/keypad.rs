//! Number entry by large keys on the screen, for gloves.

use egui::{
    Align, Id, Rect, Sense, Stroke, StrokeKind, Ui, WidgetInfo, accesskit::Role, pos2, vec2,
};

use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::button::{ButtonLook, sized_button};
use crate::widgets::lettering::{Lettering, base_line_around};

/// What is typed on the keypad.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Keypad {
    /// The text so far.
    pub text: String,
    /// Why it was refused.
    pub message: String,
}

/// A key: its sign, and its name for a screen reader.
type Sign = (&'static str, &'static str);

/// Keys in four rows.
const HIGH: [&[Sign]; 4] = [
    &[("7", "7"), ("8", "8"), ("9", "9"), ("<", "below")],
    &[("4", "4"), ("5", "5"), ("6", "6"), (">", "above")],
    &[("1", "1"), ("2", "2"), ("3", "3"), BACK],
    &[("0", "0"), POINT, MINUS, EMPTY],
];

/// Keys in two rows, for a window that is not high.
const FLAT: [&[Sign]; 2] = [
    &[
        ("1", "1"),
        ("2", "2"),
        ("3", "3"),
        ("4", "4"),
        ("5", "5"),
        ("<", "below"),
        MINUS,
        BACK,
    ],
    &[
        ("6", "6"),
        ("7", "7"),
        ("8", "8"),
        ("9", "9"),
        ("0", "0"),
        (">", "above"),
        POINT,
        EMPTY,
    ],
];

const BACK: Sign = ("←", "take the last sign back");
const POINT: Sign = (".", "decimal point");
const MINUS: Sign = ("−", "minus");
const EMPTY: Sign = ("C", "empty the field");

/// What was pressed below the keys.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pressed {
    /// Take what was typed.
    Enter,
    /// Put the keys away.
    Close,
}

const GAP: f32 = 6.0;

impl Keypad {
    /// Draws the field and the keys, in two rows where `is_flat`.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        name: &str,
        unit: &str,
        is_flat: bool,
    ) -> Option<Pressed> {
        ui.spacing_mut().item_spacing = vec2(GAP, GAP);
        let width = ui.available_width();
        let mut pressed = None;
        let half = vec2((width - GAP) / 2.0, measure::MACHINE_TARGET);
        if is_flat {
            let quarter = vec2((half.x - GAP) / 2.0, half.y);
            ui.horizontal(|ui| {
                self.field_ui(ui, half.x, name, unit);
                pressed = ways_out_ui(ui, quarter);
            });
        } else {
            self.field_ui(ui, width, name, unit);
        }
        self.message_ui(ui);
        let rows: &[&[Sign]] = if is_flat { &FLAT } else { &HIGH };
        for row in rows {
            let n_keys = row.len() as f32;
            let key = vec2(
                (width - (n_keys - 1.0) * GAP) / n_keys,
                measure::MACHINE_TARGET,
            );
            ui.horizontal(|ui| {
                for (sign, words) in *row {
                    if key_ui(ui, sign, words, key) {
                        self.press(sign);
                    }
                }
            });
        }
        if !is_flat {
            ui.horizontal(|ui| pressed = ways_out_ui(ui, half));
        }
        pressed
    }

    fn press(&mut self, sign: &str) {
        self.message.clear();
        match sign {
            "←" => {
                self.text.pop();
            }
            "C" => self.text.clear(),
            "<" | ">" => {
                let number = self.text.trim_start_matches(['<', '>', ' ']).to_owned();
                self.text = format!("{sign} {number}");
            }
            "−" => self.text.push('-'),
            digit => self.text.push_str(digit),
        }
    }

    fn field_ui(&self, ui: &mut Ui, width: f32, name: &str, unit: &str) {
        let palette = Palette::of(ui);
        let (rect, response) = ui.allocate_exact_size(vec2(width, 56.0), Sense::hover());
        response.widget_info(|| WidgetInfo {
            current_text_value: Some(self.text.clone()),
            ..WidgetInfo::labeled(Role::Label, true, format!("typed for {name}"))
        });
        let is_wrong = !self.message.is_empty();
        let outline = if is_wrong {
            palette.amber_line
        } else {
            palette.accent
        };
        let stroke = Stroke::new(2.0, outline);
        ui.painter().rect(
            rect,
            measure::BUTTON_RADIUS,
            palette.sheet,
            stroke,
            StrokeKind::Inside,
        );
        field_text(ui, rect, &self.text, unit);
    }

    fn message_ui(&self, ui: &mut Ui) {
        if self.message.is_empty() {
            return;
        }
        let color = Palette::of(ui).amber;
        let width = ui.available_width();
        let text = Lettering::new(&self.message, theme::regular(text_size::BODY), color);
        let height = text.wrapped_height(ui.painter(), width);
        let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &self.message));
        text.write_wrapped(ui.painter(), pos2(rect.left(), rect.top() + 14.0), width);
    }
}

/// The two ways out, side by side.
fn ways_out_ui(ui: &mut Ui, size: egui::Vec2) -> Option<Pressed> {
    let text = text_size::MACHINE_FAULT;
    let close = sized_button(ui, "Close", ButtonLook::Outlined, size, text);
    let enter = sized_button(ui, "Enter", ButtonLook::Accent, size, text);
    if enter.clicked() {
        Some(Pressed::Enter)
    } else {
        close.clicked().then_some(Pressed::Close)
    }
}

fn field_text(ui: &Ui, rect: Rect, text: &str, unit: &str) {
    let palette = Palette::of(ui);
    let base = base_line_around(rect.center().y, text_size::MACHINE_METRE);
    let unit = Lettering::new(unit, theme::regular(text_size::MACHINE_LABEL), palette.ink2);
    let drawn = unit.write(ui.painter(), pos2(rect.right() - 14.0, base), Align::RIGHT);
    let number = Lettering::new(text, theme::bold(text_size::MACHINE_METRE), palette.ink);
    let at = pos2(drawn.left() - 8.0, base);
    number.write_within(ui.painter(), at, Align::RIGHT, rect.width() - 90.0);
}

fn key_ui(ui: &mut Ui, sign: &str, words: &str, size: egui::Vec2) -> bool {
    let response = sized_button(
        ui,
        sign,
        ButtonLook::Outlined,
        size,
        text_size::MACHINE_FAULT,
    );
    let id: Id = response.id;
    if words != sign {
        ui.ctx()
            .accesskit_node_builder(id, |node| node.set_label(words));
    }
    response.clicked()
}
