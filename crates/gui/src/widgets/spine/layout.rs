//! Where the stations of the spine stand: text columns spread over the width, each drawing over its text.

use egui::{Painter, Rect, pos2};

use super::{LimitState, SpineModel, StationKind, StationView};
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::flag::flag_width;
use crate::widgets::lettering::{Lettering, run_width};

/// Distance between a station's name and what stands beside it.
pub(super) const NAME_GAP: f32 = 8.0;
/// Width of the margin bar under a station.
pub(super) const BAR_WIDTH: f32 = 44.0;
/// Least distance between the text columns of two stations.
const LEAST_GAP: f32 = 14.0;

/// Vertical places of the spine and the scale of its drawings.
#[derive(Debug, Clone, Copy)]
pub(super) struct Size {
    pub(super) is_compact: bool,
    /// Scale of the drawings.
    pub(super) k: f32,
    /// The web, below the top of the spine.
    pub(super) web: f32,
    /// Base line of the names, below the top of the spine.
    pub(super) name_base: f32,
}

impl Size {
    pub(super) const FULL: Self = Self {
        is_compact: false,
        k: 1.0,
        web: 75.0,
        name_base: 123.0,
    };
    pub(super) const COMPACT: Self = Self {
        is_compact: true,
        k: 0.6,
        web: 30.0,
        name_base: 65.0,
    };
}

/// Where one station stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Column {
    /// Place in the list of stations.
    pub(super) station: usize,
    /// Middle of the drawing.
    pub(super) center: f32,
    /// Left end of its lettering.
    pub(super) text_left: f32,
    /// Right end of its widest line.
    pub(super) text_right: f32,
    /// Ends of the room that lettering may take without meeting the neighbors.
    pub(super) room_left: f32,
    pub(super) room_right: f32,
    /// Base line of the name.
    pub(super) name_base: f32,
    pub(super) shows_beside: bool,
    pub(super) shows_below: bool,
    /// What can be clicked.
    pub(super) target: Rect,
}

/// How much of the lettering is shown, from all to least.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Detail {
    Everything,
    UsedStations,
    WithoutSecondLine,
    WithoutBeside,
    NamesOnly,
}

impl Detail {
    const STEPS: [Self; 5] = [
        Self::Everything,
        Self::UsedStations,
        Self::WithoutSecondLine,
        Self::WithoutBeside,
        Self::NamesOnly,
    ];

    fn has_unused_stations(self) -> bool {
        self == Self::Everything
    }

    fn has_second_line(self) -> bool {
        matches!(
            self,
            Self::Everything | Self::UsedStations | Self::WithoutBeside
        )
    }

    fn has_beside(self) -> bool {
        matches!(
            self,
            Self::Everything | Self::UsedStations | Self::WithoutSecondLine
        )
    }
}

/// The columns of all stations that are drawn, from left to right.
///
/// What does not fit is left out in the order: stations not in use, the second line, what stands beside the name.
pub(super) fn columns(
    painter: &Painter,
    rect: Rect,
    model: &SpineModel,
    size: &Size,
) -> Vec<Column> {
    let available = rect.width() - 2.0 * margin(size);
    let least = Detail::STEPS.len() - 1;
    let first = if size.is_compact { least } else { 0 };
    for (i, detail) in Detail::STEPS.into_iter().enumerate().skip(first) {
        let widths = widths(painter, model, size, detail);
        let taken: f32 = widths.iter().map(|(_, width)| width).sum();
        let gaps = widths.len().saturating_sub(1) as f32;
        if taken + gaps * LEAST_GAP <= available || i == least {
            return spread(rect, model, size, (&widths, detail));
        }
    }
    Vec::new()
}

fn margin(size: &Size) -> f32 {
    if size.is_compact {
        measure::WINDOW_MARGIN / 2.0
    } else {
        measure::WINDOW_MARGIN
    }
}

/// Station numbers with the width that each needs.
fn widths(painter: &Painter, model: &SpineModel, size: &Size, detail: Detail) -> Vec<(usize, f32)> {
    let stations = model.stations.iter().enumerate();
    stations
        .filter(|(_, station)| station.is_used || detail.has_unused_stations())
        .map(|(i, station)| (i, width_of(painter, station, size, detail)))
        .collect()
}

fn width_of(painter: &Painter, station: &StationView, size: &Size, detail: Detail) -> f32 {
    let drawing = drawing_width(station.kind) * size.k;
    let names = if size.is_compact {
        Lettering::new(
            &station.name,
            theme::regular(text_size::UNIT_SPINE),
            Palette::LIGHT.ink2,
        )
        .width(painter)
    } else {
        run_width(
            painter,
            NAME_GAP,
            &name_run(&Palette::LIGHT, station, detail.has_beside()),
        )
    };
    let plain = |text: &str, size: f32| {
        Lettering::new(text, theme::regular(size), Palette::LIGHT.ink2).width(painter)
    };
    let below = if detail.has_second_line() {
        plain(&station.below, text_size::UNIT)
    } else {
        0.0
    };
    let words = if !station.is_used || station.margin.is_none() || size.is_compact {
        0.0
    } else {
        // Room for the note is kept while a flag shows, so that columns stand still when a limit comes near.
        let note = BAR_WIDTH + 10.0 + plain(&station.note, text_size::UNIT_SPINE);
        match station.state() {
            LimitState::Holds => note,
            LimitState::Near | LimitState::Broken => note.max(flag_width(painter, &station.words)),
        }
    };
    let width = drawing.max(names).max(below).max(words);
    (width / measure::GRID).ceil() * measure::GRID
}

/// The name and what stands beside it.
pub(super) fn name_run(
    palette: &Palette,
    station: &StationView,
    shows_beside: bool,
) -> Vec<Lettering> {
    let name = if station.is_used {
        Lettering::new(&station.name, theme::bold(text_size::UNIT), palette.ink)
    } else {
        Lettering::new(&station.name, theme::regular(text_size::UNIT), palette.ink3)
    };
    let beside = if shows_beside || !station.is_used {
        station.beside.as_str()
    } else {
        ""
    };
    let color = if station.is_used {
        palette.ink2
    } else {
        palette.ink3
    };
    vec![
        name,
        Lettering::new(beside, theme::regular(text_size::UNIT), color),
    ]
}

/// Width of a drawing at full size.
pub(super) fn drawing_width(kind: StationKind) -> f32 {
    match kind {
        StationKind::Unwind => 42.0,
        StationKind::Plasma | StationKind::Lamination => 48.0,
        StationKind::SlotDie | StationKind::Gravure | StationKind::Flexo => 52.0,
        StationKind::Knife | StationKind::WireBar => 44.0,
        StationKind::HeatedRoller => 30.0,
        StationKind::Dryer => 190.0,
        StationKind::Infrared => 66.0,
        StationKind::Ultraviolet => 58.0,
        StationKind::Rewind => 36.0,
        StationKind::Clamp => 16.0,
    }
}

/// Middle of a drawing, from the left end of its lettering, at full size.
fn drawing_place(kind: StationKind) -> f32 {
    match kind {
        StationKind::Unwind => 24.0,
        StationKind::Plasma => 40.0,
        StationKind::SlotDie | StationKind::Gravure | StationKind::Flexo => 54.0,
        StationKind::Knife | StationKind::WireBar => 46.0,
        StationKind::HeatedRoller => 30.0,
        StationKind::Dryer => 95.0,
        StationKind::Infrared => 33.0,
        StationKind::Ultraviolet => 32.0,
        StationKind::Lamination => 44.0,
        StationKind::Rewind => 20.0,
        StationKind::Clamp => 10.0,
    }
}

fn spread(
    rect: Rect,
    model: &SpineModel,
    size: &Size,
    plan: (&[(usize, f32)], Detail),
) -> Vec<Column> {
    let (widths, detail) = plan;
    let margin = margin(size);
    let taken: f32 = widths.iter().map(|(_, width)| width).sum();
    let gaps = widths.len().saturating_sub(1).max(1) as f32;
    let gap = (rect.width() - 2.0 * margin - taken) / gaps;
    let mut columns = Vec::with_capacity(widths.len());
    let mut left = rect.left() + margin;
    for (i, &(station, width)) in widths.iter().enumerate() {
        let Some(view) = model.stations.get(station) else {
            continue;
        };
        let is_last = i + 1 == widths.len();
        let center = if is_last && i > 0 {
            rect.right() - margin - drawing_place(view.kind) * size.k
        } else {
            left + (drawing_place(view.kind) * size.k)
                .min(width.max(drawing_width(view.kind) * size.k) / 2.0 + 30.0)
        };
        let text_left = left.round();
        let room_right = if is_last {
            rect.right() - margin / 2.0
        } else {
            left + width + gap - 8.0
        };
        let room_left = if i == 0 {
            rect.left() + margin / 2.0
        } else {
            left - gap + 8.0
        };
        let target_right = if is_last {
            rect.right()
        } else {
            left + width + gap / 2.0
        };
        let top = rect.top() + if size.is_compact { 0.0 } else { 28.0 };
        columns.push(Column {
            station,
            center: center.round(),
            text_left,
            text_right: text_left + width,
            room_left,
            room_right,
            name_base: rect.top() + size.name_base,
            shows_beside: detail.has_beside(),
            shows_below: detail.has_second_line(),
            target: Rect::from_min_max(
                pos2(left - gap.min(24.0) / 2.0, top),
                pos2(target_right.min(left + width + 12.0), rect.bottom()),
            ),
        });
        left += width + gap;
    }
    columns
}
