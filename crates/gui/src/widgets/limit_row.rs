//! Rows of limits: in every list the limit of every row is the same vertical line.

use egui::{
    Align, CursorIcon, Rect, Response, Sense, Stroke, Ui, WidgetInfo, accesskit::Role, pos2, vec2,
};

use super::heading::{SECTION_HEAD_HEIGHT, paint_section_head};
use super::lettering::{Lettering, base_line_around};
use super::margin_bar::{BarParts, LimitState, Margin, bound_x, paint_margin_bar};
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::hatch::{Hatch, hatch_rect};

/// One limit as shown in a list.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LimitLine {
    /// What must hold, e.g. "Bead holds".
    pub name: String,
    /// Value and bound with sign and unit, e.g. "13.0 ≥ 12.4 µm".
    pub comparison: String,
    /// The margin.
    pub margin: Margin,
    /// The chance that it holds, in words, e.g. "> 99 %"; empty when the list shows no chances.
    pub chance: String,
}

impl LimitLine {
    /// The whole row in words, as it stands in the accessibility tree.
    pub fn words(&self) -> String {
        let mut words = format!(
            "{}: {}, {}",
            self.name,
            self.comparison,
            self.margin.state.label()
        );
        if !self.chance.is_empty() {
            words.push_str(", chance ");
            words.push_str(&self.chance);
        }
        words
    }
}

/// A list of limits under one head, sharing one bound line. Returns the row that was clicked.
///
/// `selected` is the row shown on the selected ground. The columns fit the available width (at least about 260).
pub fn limit_list(
    ui: &mut Ui,
    head: &str,
    limits: &[LimitLine],
    selected: Option<usize>,
) -> Option<usize> {
    let columns = Columns::new(ui, limits);
    let width = ui.available_width();
    let (head_rect, head_response) =
        ui.allocate_exact_size(vec2(width, SECTION_HEAD_HEIGHT), Sense::hover());
    paint_section_head(ui, head_rect, head, "");
    head_response.widget_info(|| WidgetInfo::labeled(Role::Heading, true, head));
    columns.paint_heads(ui, head_rect);
    let height = measure::LIMIT_PITCH * limits.len() as f32 + 4.0;
    let (body, _) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    let rows: Vec<Rect> = (0..limits.len())
        .map(|i| {
            let top = body.top() + 4.0 + measure::LIMIT_PITCH * i as f32;
            Rect::from_min_size(pos2(body.left(), top), vec2(width, measure::LIMIT_PITCH))
        })
        .collect();
    let palette = Palette::of(ui);
    if let Some(rect) = selected.and_then(|i| rows.get(i)) {
        ui.painter()
            .rect_filled(rect.expand2(vec2(8.0, 0.0)), 0, palette.selected);
    }
    columns.paint_bound(ui, head_rect.bottom(), body.bottom());
    let mut clicked = None;
    for (i, (limit, rect)) in limits.iter().zip(&rows).enumerate() {
        let response = row(ui, *rect, limit, &columns, selected == Some(i));
        if response.clicked() {
            clicked = Some(i);
        }
    }
    clicked
}

/// A limit row that stands alone, with its own bound tick (station cards, tooltips).
pub fn limit_row(ui: &mut Ui, limit: &LimitLine) -> Response {
    let columns = Columns::new(ui, std::slice::from_ref(limit));
    let (rect, _) = ui.allocate_exact_size(
        vec2(ui.available_width(), measure::LIMIT_PITCH),
        Sense::hover(),
    );
    columns.paint_bound(ui, rect.top(), rect.bottom());
    row(ui, rect, limit, &columns, false)
}

/// Places of the columns, measured from the right edge of the list.
#[derive(Debug, Clone, Copy)]
struct Columns {
    /// Right end of the comparison.
    comparison: f32,
    /// Left and right end of the bar.
    bar: (f32, f32),
    has_chance: bool,
}

impl Columns {
    fn new(ui: &Ui, limits: &[LimitLine]) -> Self {
        let left = ui.cursor().left();
        let right = left + ui.available_width();
        let has_chance = limits.iter().any(|limit| !limit.chance.is_empty());
        let chance = if has_chance { 46.0 } else { 0.0 };
        let bar_width = (ui.available_width() * 0.28).clamp(60.0, 104.0);
        let bar_right = right - chance;
        Self {
            comparison: bar_right - bar_width - 8.0,
            bar: (bar_right - bar_width, bar_right),
            has_chance,
        }
    }

    fn bar_rect(&self, row: Rect) -> Rect {
        Rect::from_min_max(pos2(self.bar.0, row.top()), pos2(self.bar.1, row.bottom()))
    }

    fn paint_heads(&self, ui: &Ui, head: Rect) {
        let palette = Palette::of(ui);
        let base_line = head.bottom() - 7.5;
        let bound = bound_x(self.bar_rect(head));
        let mut heads = vec![
            ("value / bound", self.comparison, Align::RIGHT),
            ("limit", bound, Align::Center),
        ];
        if self.has_chance {
            heads.push(("chance", head.right(), Align::RIGHT));
        }
        for (word, x, align) in heads {
            Lettering::new(word, theme::regular(text_size::UNIT), palette.ink2).write(
                ui.painter(),
                pos2(x, base_line),
                align,
            );
        }
    }

    /// The bound line and the hatch beyond it, once for all rows.
    fn paint_bound(&self, ui: &Ui, top: f32, bottom: f32) {
        let palette = Palette::of(ui);
        let bar = Rect::from_min_max(pos2(self.bar.0, top), pos2(self.bar.1, bottom));
        let bound = bound_x(bar);
        let beyond = Rect::from_min_max(pos2(bound, top + 1.0), bar.max);
        hatch_rect(ui.painter(), beyond, Hatch::beyond(palette));
        ui.painter().vline(
            bound,
            top..=bottom,
            Stroke::new(measure::BOUND, palette.ink),
        );
    }
}

fn row(ui: &Ui, rect: Rect, limit: &LimitLine, columns: &Columns, is_selected: bool) -> Response {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let response = ui.interact(
        rect,
        ui.scope_id().with(("limit", &limit.name)),
        Sense::click(),
    );
    let is_enabled = ui.is_enabled();
    response.widget_info(|| {
        WidgetInfo::selected(Role::ListBoxOption, is_enabled, is_selected, limit.words())
    });
    let is_troubled = limit.margin.state != LimitState::Holds;
    let font = if is_troubled || is_selected {
        theme::bold(text_size::CELL)
    } else {
        theme::regular(text_size::CELL)
    };
    let (name_color, value_color) = if is_troubled {
        (palette.amber, palette.amber)
    } else {
        (palette.ink, palette.ink2)
    };
    let base_line = base_line_around(rect.center().y, text_size::CELL);
    let unit_font = theme::regular(text_size::CELL);
    let comparison = Lettering::new(&limit.comparison, unit_font.clone(), palette.ink2).write(
        painter,
        pos2(columns.comparison, base_line),
        Align::RIGHT,
    );
    let room = comparison.left() - rect.left() - 6.0;
    let name = Lettering::new(&limit.name, font, name_color);
    name.write_within(painter, pos2(rect.left(), base_line), Align::LEFT, room);
    paint_margin_bar(
        painter,
        palette,
        columns.bar_rect(rect),
        limit.margin,
        BarParts::InColumn,
    );
    let chance_font = if is_troubled {
        theme::bold(text_size::CELL)
    } else {
        unit_font
    };
    Lettering::new(&limit.chance, chance_font, value_color).write(
        painter,
        pos2(rect.right(), base_line),
        Align::RIGHT,
    );
    super::button::focus_ring(ui, rect, &response);
    response.on_hover_cursor(CursorIcon::PointingHand)
}
