//! Drawing of a table: heads, grounds, rules, cells, the editor.

use egui::{
    Align, Frame, Id, Rangef, Rect, Response, Sense, Shape, Stroke, StrokeKind, TextEdit, Ui, pos2,
    vec2,
};

use super::{CellLook, ColumnHolds, GridCell, GridColumn, GridRow, RowRule};
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::flag::{FlagLook, flag};
use crate::widgets::lettering::{Lettering, base_line_around};

/// Height of the heads with their units and rule.
pub(super) const HEAD_HEIGHT: f32 = 38.0;

const PADDING: f32 = 6.0;

/// Heads of the columns, unit below, over an ink rule.
pub(super) fn heads(ui: &mut Ui, columns: &[GridColumn], places: &[Rangef]) {
    let (Some(first), Some(last)) = (places.first(), places.last()) else {
        return;
    };
    let (rect, _) = ui.allocate_exact_size(vec2(last.max - first.min, HEAD_HEIGHT), Sense::hover());
    ui.add_space(-ui.spacing().item_spacing.y);
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let has_units = columns.iter().any(|column| !column.unit.is_empty());
    for (column, place) in columns.iter().zip(places) {
        let (x, align) = if column.holds == ColumnHolds::Words {
            (place.min + PADDING, Align::LEFT)
        } else {
            (place.max - PADDING, Align::RIGHT)
        };
        let head = Lettering::new(&column.head, theme::bold(text_size::UNIT), palette.ink);
        let head_base = if has_units {
            rect.top() + 13.0
        } else {
            rect.top() + 24.0
        };
        head.write(painter, pos2(x, head_base), align);
        Lettering::new(
            &column.unit,
            theme::regular(text_size::UNIT_CLOSE),
            palette.ink2,
        )
        .write(painter, pos2(x, rect.top() + 29.0), align);
    }
    painter.hline(
        rect.x_range(),
        rect.bottom() - 0.5,
        Stroke::new(measure::BOUND, palette.ink),
    );
}

/// Ground of a selected row and the rule above a row.
pub(super) fn row_ground(ui: &Ui, rect: Rect, row: &GridRow) {
    let palette = Palette::of(ui);
    if row.is_selected {
        ui.painter().rect_filled(rect, 0, palette.selected);
    }
    let stroke = match row.rule {
        RowRule::None => return,
        RowRule::SetUp => Stroke::new(measure::RULE, palette.line),
        RowRule::NewBottle => Stroke::new(1.4, palette.ink),
    };
    ui.painter().hline(rect.x_range(), rect.top(), stroke);
}

/// The text of a cell, ending in "…" where the column is too narrow.
pub(super) fn cell(ui: &Ui, rect: Rect, cell: &GridCell, holds: ColumnHolds, is_selected: bool) {
    if cell.text.is_empty() {
        return;
    }
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let base_line = base_line_around(rect.center().y, text_size::CELL);
    if cell.look == CellLook::Faulty {
        flag(
            painter,
            palette,
            pos2(rect.left() + PADDING, rect.center().y),
            &cell.text,
            FlagLook::Broken,
        );
        return;
    }
    let is_bold = is_selected || matches!(cell.look, CellLook::Bold | CellLook::Trouble);
    let font = if is_bold {
        theme::bold(text_size::CELL)
    } else {
        theme::regular(text_size::CELL)
    };
    let color = match cell.look {
        CellLook::Normal | CellLook::Bold => palette.ink,
        CellLook::Quiet | CellLook::Missing => palette.ink2,
        CellLook::Repeated => palette.ink3,
        CellLook::Changed => palette.accent,
        CellLook::Trouble | CellLook::Faulty => palette.amber,
    };
    let (x, align) = if holds == ColumnHolds::Words {
        (rect.left() + PADDING, Align::LEFT)
    } else {
        (rect.right() - PADDING, Align::RIGHT)
    };
    let room = rect.width() - 1.5 * PADDING;
    let drawn = Lettering::new(&cell.text, font, color).write_within(
        painter,
        pos2(x, base_line),
        align,
        room,
    );
    if cell.look == CellLook::Missing {
        let frame = drawn
            .translate(vec2(0.0, -1.0))
            .expand2(vec2(8.0, -0.5))
            .intersect(rect.shrink(1.0));
        let corners = [
            frame.left_top(),
            frame.right_top(),
            frame.right_bottom(),
            frame.left_bottom(),
            frame.left_top(),
        ];
        painter.extend(Shape::dashed_line(
            &corners,
            Stroke::new(1.0, palette.control),
            3.0,
            3.0,
        ));
    }
}

/// Outline of the cell under the cursor, or of one with wrong text.
pub(super) fn outline(ui: &Ui, rect: Rect, is_wrong: bool) {
    let palette = Palette::of(ui);
    let color = if is_wrong {
        palette.amber_line
    } else {
        palette.accent
    };
    let stroke = Stroke::new(2.0, color);
    ui.painter()
        .rect_stroke(rect, measure::FIELD_RADIUS, stroke, StrokeKind::Inside);
}

/// The field in which a cell is edited.
pub(super) fn editor(
    ui: &mut Ui,
    rect: Rect,
    id: Id,
    text: &mut String,
    holds: ColumnHolds,
) -> Response {
    let palette = Palette::of(ui);
    let stroke = Stroke::new(2.0, palette.accent);
    ui.painter().rect(
        rect,
        measure::FIELD_RADIUS,
        palette.sheet,
        stroke,
        StrokeKind::Inside,
    );
    let inner = rect.shrink2(vec2(PADDING, 0.0));
    let align = if holds == ColumnHolds::Words {
        Align::LEFT
    } else {
        Align::RIGHT
    };
    let edit = TextEdit::singleline(text)
        .id(id)
        .font(theme::regular(text_size::CELL))
        .frame(Frame::NONE)
        .desired_width(inner.width())
        .min_size(inner.size())
        .align(egui::Align2([align, Align::Center]))
        .event_filter(egui::EventFilter {
            tab: true,
            horizontal_arrows: true,
            vertical_arrows: true,
            escape: true,
        });
    let layout = egui::Layout::left_to_right(Align::Center);
    ui.new_child(egui::UiBuilder::new().max_rect(inner).layout(layout))
        .add(edit)
}
