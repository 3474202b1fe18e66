//! Plain bars: how much of what there is a plan uses, and small amounts side by side.

use egui::{Align, Rect, Sense, Stroke, Ui, WidgetInfo, accesskit::Role, pos2, vec2};

use super::field::points;
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::hatch::{Hatch, hatch_rect};
use crate::widgets::lettering::{Lettering, base_line_around};

/// A store and what is used of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BudgetLine {
    /// What it is, e.g. "Ink".
    pub name: String,
    /// Used and available with unit, e.g. "56.5 of 60 mL".
    pub words: String,
    /// Used over available.
    pub share: f64,
}

/// A row per store: its words over a bar that ends at a tick. Beyond the tick the bar is hatched and the words say so.
pub fn budget_rows(ui: &mut Ui, lines: &[BudgetLine]) {
    for line in lines {
        let (rect, response) =
            ui.allocate_exact_size(vec2(ui.available_width(), 34.0), Sense::hover());
        ui.add_space(-ui.spacing().item_spacing.y);
        let palette = Palette::of(ui);
        let painter = ui.painter();
        let is_over = line.share > 1.0;
        let words = if is_over {
            format!("{}  too much", line.words)
        } else {
            line.words.clone()
        };
        let (font, color) = if is_over {
            (theme::bold(text_size::CELL), palette.amber)
        } else {
            (theme::regular(text_size::CELL), palette.ink)
        };
        let base_line = rect.top() + 16.0;
        Lettering::new(&line.name, theme::regular(text_size::CELL), palette.ink).write(
            painter,
            pos2(rect.left(), base_line),
            Align::LEFT,
        );
        Lettering::new(&words, font, color).write(
            painter,
            pos2(rect.right(), base_line),
            Align::RIGHT,
        );
        // The tick stands before the right end when the store is overdrawn, so that the rest can be seen.
        let full = if is_over {
            rect.left() + rect.width() * 0.86
        } else {
            rect.right() - 1.0
        };
        let y = rect.top() + 26.0;
        painter.hline(
            rect.left()..=full,
            y,
            Stroke::new(measure::RULE, palette.line),
        );
        let used_to =
            (rect.left() + points(line.share.max(0.0)) * (full - rect.left())).min(rect.right());
        let bar = Rect::from_x_y_ranges(rect.left()..=used_to.min(full), y - 2.5..=y + 2.5);
        painter.rect_filled(bar, 0, palette.ink3);
        if is_over {
            let beyond = Rect::from_x_y_ranges(full..=used_to, y - 4.0..=y + 4.0);
            hatch_rect(painter, beyond, Hatch::broken(palette));
        }
        painter.vline(
            full,
            y - 6.0..=y + 6.0,
            Stroke::new(measure::BOUND, palette.ink),
        );
        response.widget_info(|| {
            WidgetInfo::labeled(Role::Label, true, format!("{}: {words}", line.name))
        });
    }
}

/// An amount with its name and words.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AmountLine {
    /// What it is.
    pub name: String,
    /// The amount with unit.
    pub words: String,
    /// The amount over the largest that is shown.
    pub share: f64,
}

/// A row per amount: name, bar, words at the right.
pub fn amount_rows(ui: &mut Ui, lines: &[AmountLine]) {
    for line in lines {
        let (rect, response) =
            ui.allocate_exact_size(vec2(ui.available_width(), 19.0), Sense::hover());
        ui.add_space(-ui.spacing().item_spacing.y);
        let palette = Palette::of(ui);
        let painter = ui.painter();
        let base_line = base_line_around(rect.center().y, text_size::CELL);
        let name_width = 0.5 * rect.width();
        Lettering::new(&line.name, theme::regular(text_size::CELL), palette.ink).write_within(
            painter,
            pos2(rect.left(), base_line),
            Align::LEFT,
            name_width - 8.0,
        );
        let words = Lettering::new(&line.words, theme::regular(text_size::CELL), palette.ink)
            .write(painter, pos2(rect.right(), base_line), Align::RIGHT);
        let from = rect.left() + name_width;
        let room = (words.left() - from - 8.0)
            .min(0.32 * rect.width())
            .max(0.0);
        let length = points(line.share.clamp(0.0, 1.0)) * room;
        let y = rect.center().y;
        painter.rect_filled(
            Rect::from_x_y_ranges(from..=from + length, y - 2.5..=y + 2.5),
            0,
            palette.ink3,
        );
        response.widget_info(|| {
            WidgetInfo::labeled(Role::Label, true, format!("{}: {}", line.name, line.words))
        });
    }
}
