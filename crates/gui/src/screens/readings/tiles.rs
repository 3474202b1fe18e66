//! What to turn, and where the foil is, in large letters.

use egui::{
    Align, Rect, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, accesskit::Role, pos2, vec2,
};

use super::machine::GAP;
use crate::app::view::View;
use crate::campaign::machine_page::{KnobTile, MachinePage};
use crate::number_text::format_number;
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::hatch::{Hatch, hatch_rect};
use crate::widgets::lettering::{Lettering, base_line_around};

/// Height of a tile.
const HIGH: f32 = 108.0;
/// Height of a tile in a window that is not high.
const LOW: f32 = 80.0;
/// Least height of a tile, in which its three lines stand clear of each other.
const LOWEST: f32 = 76.0;

/// What to turn, three tiles a row, two in a narrow place; `is_low` makes them fit a window that is not high.
pub(super) fn tiles_ui(ui: &mut Ui, tiles: &[KnobTile], is_low: bool) {
    let width = ui.available_width();
    let n_columns = if width < 560.0 { 2 } else { 3 };
    let size = vec2(
        (width - GAP * (n_columns - 1) as f32) / n_columns as f32,
        if is_low {
            ((ui.available_height() - 8.0) / 2.0).clamp(LOWEST, LOW)
        } else {
            HIGH
        },
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
    tile_words(ui, rect, tile, was);
}

/// Name and former value at the top, the value large, below it what was asked for.
fn tile_words(ui: &Ui, rect: Rect, tile: &KnobTile, was: String) {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let is_low = rect.height() < HIGH;
    let left = rect.left() + if is_low { 14.0 } else { 20.0 };
    let top = rect.top() + if is_low { 21.0 } else { 27.0 };
    let plain = |words: &str, size: f32| Lettering::new(words, theme::regular(size), palette.ink2);
    let was = plain(&was, text_size::CELL);
    let room = rect.right() - 20.0 - left - was.width(painter);
    was.write(painter, pos2(rect.right() - 12.0, top), Align::RIGHT);
    plain(&tile.label, text_size::MACHINE_LABEL).write_within(
        painter,
        pos2(left, top),
        Align::LEFT,
        room,
    );
    let size = if is_low {
        text_size::MACHINE_METRE
    } else {
        text_size::MACHINE_VALUE
    };
    let font = if tile.is_changed {
        theme::bold(size)
    } else {
        theme::regular(size)
    };
    let value = Lettering::new(&tile.value, font, palette.ink);
    let below = match (tile.asked.is_empty(), is_low) {
        (true, false) => 26.0,
        (false, false) => 34.0,
        (true, true) => 22.0,
        (false, true) => 30.0,
    };
    let base = rect.bottom() - below;
    let drawn = value.write_within(painter, pos2(left, base), Align::LEFT, rect.width() - 80.0);
    let at = pos2(drawn.right() + 7.0, base);
    let room = rect.right() - at.x - 5.0;
    plain(&tile.unit, text_size::MACHINE_LABEL).write_within(painter, at, Align::LEFT, room);
    let at = pos2(left, rect.bottom() - if is_low { 8.0 } else { 10.0 });
    plain(&tile.asked, text_size::CELL).write_within(painter, at, Align::LEFT, rect.width() - 32.0);
}

/// The foil around the run: settling hatched, sample solid, metres below.
pub(super) fn foil_ui(ui: &mut Ui, view: &View<'_>, page: &MachinePage) {
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
