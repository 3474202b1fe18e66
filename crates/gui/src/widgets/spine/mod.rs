//! The spine: the web path along the top of every screen, with its stations, their settings and tightest margins.
//!
//! The web is one line. The wet lane rides on it from the head, thins out in the dryer and is dry at the rewinder.
//! A near limit hatches its station openly, a broken one closely, and from there on the web is dashed.

mod layout;
mod stations;
mod web;

use egui::{
    Align, CursorIcon, Rect, Response, Sense, Stroke, Ui, WidgetInfo, accesskit::Role, pos2, vec2,
};

use super::button::{focus_ring, plain_link_at};
use super::flag::{FlagLook, flag};
use super::lettering::{Lettering, write_run};
use super::margin_bar::{BarParts, LimitState, Margin, paint_margin_bar};
use crate::theme::{self, Palette, measure, text_size};
use layout::{Column, Size, columns};

/// What a station is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StationKind {
    /// The roll that the foil comes from.
    Unwind,
    /// Plasma treatment of the foil.
    Plasma,
    /// Slot-die head.
    SlotDie,
    /// Knife over the web.
    Knife,
    /// Wire-wound bar.
    WireBar,
    /// Gravure roll.
    Gravure,
    /// Flexographic plate roll.
    Flexo,
    /// Heated roller.
    HeatedRoller,
    /// Hot-gas dryer.
    Dryer,
    /// Infrared field.
    Infrared,
    /// Ultraviolet lamp.
    Ultraviolet,
    /// Lamination nip.
    Lamination,
    /// The roll that the film goes to.
    Rewind,
    /// An end of a sheet that is clamped on a single roll.
    Clamp,
}

impl StationKind {
    /// Whether ink is laid down here.
    pub fn is_head(self) -> bool {
        matches!(
            self,
            Self::SlotDie | Self::Knife | Self::WireBar | Self::Gravure | Self::Flexo
        )
    }
}

/// One station of the spine.
#[derive(Debug, Clone, PartialEq)]
pub struct StationView {
    /// What it is: chooses the drawing.
    pub kind: StationKind,
    /// Its name, e.g. "Head, slot die".
    pub name: String,
    /// Settings beside the name, e.g. "2.34 mL/min".
    pub beside: String,
    /// Settings on the second line, e.g. "wet 13.0 µm, gap 250 µm".
    pub below: String,
    /// Margin of its tightest limit; `None` draws no bar.
    pub margin: Option<Margin>,
    /// What stands beside the bar while the limit holds, e.g. "0.49 low flow".
    pub note: String,
    /// What the flag says when the limit is near or broken, e.g. "10 s short".
    pub words: String,
    /// Whether the present settings use it.
    pub is_used: bool,
}

impl StationView {
    /// A station in use, without settings or limits yet.
    pub fn new(kind: StationKind, name: impl Into<String>) -> Self {
        Self {
            kind,
            name: name.into(),
            beside: String::new(),
            below: String::new(),
            margin: None,
            note: String::new(),
            words: String::new(),
            is_used: true,
        }
    }

    /// State of its tightest limit; holds when it has none or is not used.
    pub fn state(&self) -> LimitState {
        match self.margin {
            Some(margin) if self.is_used => margin.state,
            _ => LimitState::Holds,
        }
    }

    /// The station in words, as it stands in the accessibility tree.
    pub fn in_words(&self) -> String {
        let mut words = self.name.clone();
        for part in [&self.beside, &self.below] {
            if !part.is_empty() {
                words.push_str(", ");
                words.push_str(part);
            }
        }
        if !self.is_used {
            words.push_str(": not used");
            return words;
        }
        if self.margin.is_some() {
            words.push_str(": ");
            words.push_str(self.state().label());
            let told = if self.state() == LimitState::Holds {
                &self.note
            } else {
                &self.words
            };
            if !told.is_empty() {
                words.push_str(", ");
                words.push_str(told);
            }
        }
        words
    }
}

/// How the film dries on its way to the rewinder.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum WetLane {
    /// No ink yet: no lane is drawn.
    #[default]
    None,
    /// Dry at this share of the dryer's length (0 at its entry, 1 at its exit), with the words at the place.
    DryAt {
        /// Seconds needed over seconds available in the dryer.
        share: f64,
        /// E.g. "dry after 13 s".
        words: String,
    },
    /// Still wet behind the dryer.
    StaysWet,
}

/// All that the spine shows.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SpineModel {
    /// The stations in web order, unwinder first, rewinder last.
    pub stations: Vec<StationView>,
    /// Web speed with unit; empty draws no arrow.
    pub speed: String,
    /// Distance and time between head and dryer, e.g. "0.40 m, 13 s wet".
    pub wet_path: String,
    /// Length of the dryer and time in it, e.g. "1.20 m, 40 s".
    pub dryer_path: String,
    /// The film on the web.
    pub wet_lane: WetLane,
    /// The station whose card is open.
    pub selected: Option<usize>,
}

/// The line above the web: program, project, last step, state of the file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TitleLine {
    /// Name of the program.
    pub program: String,
    /// Name of the project.
    pub project: String,
    /// The step that undo takes back, e.g. "speed 1.60 → 1.80 m/min"; `None` when there is none.
    pub undo: Option<String>,
    /// When it was saved, e.g. "Saved 14:02".
    pub saved: String,
}

/// What was pressed on the spine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpineClick {
    /// A station, by its place in [`SpineModel::stations`].
    Station(usize),
    /// The name of the project.
    Project,
    /// The step that undo takes back.
    Undo,
    /// The list of commands.
    Find,
}

/// Height that the spine takes in a window of this width, in points.
pub fn spine_height(width: f32) -> f32 {
    if width < measure::NARROW {
        measure::SPINE_COMPACT_HEIGHT
    } else {
        measure::SPINE_HEIGHT
    }
}

/// Draws the spine across the available width and returns what was pressed.
///
/// Below [`measure::NARROW`] points it is drawn small, without the title line; without a program name there is none either.
pub fn spine(ui: &mut Ui, model: &SpineModel, title: &TitleLine) -> Option<SpineClick> {
    let width = ui.available_width();
    let (rect, _) = ui.allocate_exact_size(vec2(width, spine_height(width)), Sense::hover());
    let palette = Palette::of(ui);
    ui.painter().rect_filled(rect, 0, palette.sheet);
    ui.painter().hline(
        rect.x_range(),
        rect.bottom() - 0.5,
        Stroke::new(measure::RULE, palette.line),
    );
    let size = if width < measure::NARROW {
        Size::COMPACT
    } else {
        Size::FULL
    };
    let mut clicked = None;
    if !size.is_compact && !title.program.is_empty() {
        clicked = title_line(ui, rect, title);
    }
    let columns = columns(ui.painter(), rect, model, &size);
    web::paint(ui, model, &columns, (rect, &size));
    for column in &columns {
        if let Some(station) = model.stations.get(column.station) {
            let is_selected = model.selected == Some(column.station);
            let response = station_ui(ui, station, column, &size, is_selected);
            if response.clicked() {
                clicked = Some(SpineClick::Station(column.station));
            }
        }
    }
    clicked
}

fn title_line(ui: &Ui, rect: Rect, title: &TitleLine) -> Option<SpineClick> {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let base_line = rect.top() + 19.0;
    let (left, right) = (
        rect.left() + measure::WINDOW_MARGIN,
        rect.right() - measure::WINDOW_MARGIN,
    );
    let program = Lettering::new(&title.program, theme::bold(text_size::CELL), palette.ink).write(
        painter,
        pos2(left, base_line),
        Align::LEFT,
    );
    let saved = Lettering::new(&title.saved, theme::regular(text_size::CELL), palette.ink2).write(
        painter,
        pos2(right, base_line),
        Align::RIGHT,
    );
    let find = plain_link_at(
        ui,
        pos2(saved.left() - 22.0, base_line),
        Align::RIGHT,
        "Find…",
        text_size::CELL,
    );
    let mut clicked = find.clicked().then_some(SpineClick::Find);
    let mut right_end = find.rect.left() - 22.0;
    if let Some(step) = &title.undo {
        let words = format!("Undo: {step}");
        let undo = plain_link_at(
            ui,
            pos2(right_end, base_line),
            Align::RIGHT,
            &words,
            text_size::CELL,
        );
        right_end = undo.rect.left() - 22.0;
        if undo.clicked() {
            clicked = Some(SpineClick::Undo);
        }
    }
    let project = Lettering::new(
        &title.project,
        theme::regular(text_size::CELL),
        palette.ink2,
    );
    let at = pos2(program.right() + 12.0, base_line);
    let drawn = project.write_within(painter, at, Align::LEFT, right_end - at.x);
    let response = ui.interact(
        drawn.expand(2.0),
        ui.scope_id().with("project"),
        Sense::click(),
    );
    let is_enabled = ui.is_enabled();
    response.widget_info(|| {
        WidgetInfo::labeled(
            Role::Button,
            is_enabled,
            format!("Project {}", title.project),
        )
    });
    focus_ring(ui, drawn, &response);
    if response.clicked() {
        clicked = Some(SpineClick::Project);
    }
    clicked
}

/// Draws one station with its lettering and returns its response.
fn station_ui(
    ui: &Ui,
    station: &StationView,
    column: &Column,
    size: &Size,
    is_selected: bool,
) -> Response {
    let palette = Palette::of(ui);
    let response = ui.interact(
        column.target,
        ui.scope_id().with(("station", column.station)),
        Sense::click(),
    );
    let is_enabled = ui.is_enabled();
    response.widget_info(|| {
        WidgetInfo::selected(Role::Button, is_enabled, is_selected, station.in_words())
    });
    if is_selected || response.hovered() || response.has_focus() {
        let weight = if is_selected { 3.0 } else { 2.0 };
        let color = if response.hovered() && !is_selected {
            palette.control
        } else {
            palette.accent
        };
        let y = column.target.bottom() - weight / 2.0;
        ui.painter().hline(
            column.text_left..=column.text_right,
            y,
            Stroke::new(weight, color),
        );
    }
    if size.is_compact {
        compact_lettering(ui, station, column);
    } else {
        lettering(ui, station, column);
    }
    focus_ring(ui, column.target.shrink(3.0), &response);
    response
        .on_hover_cursor(CursorIcon::PointingHand)
        .on_hover_text(station.in_words())
}

fn lettering(ui: &Ui, station: &StationView, column: &Column) {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let names = layout::name_run(palette, station, column.shows_beside);
    write_run(
        painter,
        pos2(column.text_left, column.name_base),
        layout::NAME_GAP,
        &names,
    );
    if !column.shows_below {
        bar_and_words(ui, station, column, column.name_base + 17.0);
        return;
    }
    Lettering::new(
        &station.below,
        theme::regular(text_size::UNIT),
        palette.ink2,
    )
    .write(
        painter,
        pos2(column.text_left, column.name_base + 16.0),
        Align::LEFT,
    );
    bar_and_words(ui, station, column, column.name_base + 29.5);
}

/// The margin bar and, beside it, the note of a limit that holds or the flag of one that does not.
fn bar_and_words(ui: &Ui, station: &StationView, column: &Column, y: f32) {
    let (Some(margin), true) = (station.margin, station.is_used) else {
        return;
    };
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let bar = Rect::from_min_size(
        pos2(column.text_left, y - 7.0),
        vec2(layout::BAR_WIDTH, 14.0),
    );
    let look = match margin.state {
        LimitState::Holds => {
            paint_margin_bar(painter, palette, bar, margin, BarParts::Whole);
            let at = pos2(bar.right() + 10.0, y + 4.0);
            Lettering::new(
                &station.note,
                theme::regular(text_size::UNIT_SPINE),
                palette.ink2,
            )
            .write_within(painter, at, Align::LEFT, column.room_right - at.x);
            return;
        }
        LimitState::Near => FlagLook::Near,
        LimitState::Broken => FlagLook::Broken,
    };
    let width = super::flag::flag_width(painter, &station.words);
    let mut left = bar.right() + 10.0;
    if left + width <= column.room_right {
        paint_margin_bar(painter, palette, bar, margin, BarParts::Whole);
    } else {
        // The words matter more than the bar: they take its place when there is no room for both.
        left = column
            .text_left
            .min(column.room_right - width)
            .max(column.room_left);
    }
    flag(painter, palette, pos2(left, y), &station.words, look);
}

fn compact_lettering(ui: &Ui, station: &StationView, column: &Column) {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let look = match station.state() {
        LimitState::Holds => {
            let color = if station.is_used {
                palette.ink2
            } else {
                palette.ink3
            };
            Lettering::new(&station.name, theme::regular(text_size::UNIT_SPINE), color)
                .write_within(
                    painter,
                    pos2(column.text_left, column.name_base),
                    Align::LEFT,
                    column.room_right - column.text_left,
                );
            return;
        }
        LimitState::Near => FlagLook::Near,
        LimitState::Broken => FlagLook::Broken,
    };
    let width = super::flag::flag_width(painter, &station.words);
    let left = column
        .text_left
        .min(column.room_right - width)
        .max(column.room_left);
    flag(
        painter,
        palette,
        pos2(left, column.name_base - 4.5),
        &station.words,
        look,
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_station_tells_its_state_in_words() {
        let mut head = StationView::new(StationKind::SlotDie, "Head, slot die");
        head.beside = "2.34 mL/min".into();
        head.note = "0.49 low flow".into();
        head.words = "bead holds, near".into();
        assert_eq!(head.in_words(), "Head, slot die, 2.34 mL/min");
        head.margin = Some(Margin {
            value: 0.49,
            span: None,
            state: LimitState::Holds,
        });
        assert_eq!(
            head.in_words(),
            "Head, slot die, 2.34 mL/min: holds, 0.49 low flow"
        );
        head.margin = Some(Margin {
            value: 0.04,
            span: None,
            state: LimitState::Near,
        });
        assert_eq!(
            head.in_words(),
            "Head, slot die, 2.34 mL/min: near its limit, bead holds, near"
        );
        head.is_used = false;
        assert_eq!(head.in_words(), "Head, slot die, 2.34 mL/min: not used");
        assert_eq!(head.state(), LimitState::Holds);
    }
}
