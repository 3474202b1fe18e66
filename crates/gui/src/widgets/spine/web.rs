//! The web from roll to roll, the wet lane on it, the stations' drawings, and the lengths written above them.

use egui::{Align, Color32, Painter, Rect, Shape, Stroke, Ui, pos2, vec2};

use super::layout::{Column, Size, drawing_width};
use super::stations::{self, Pen};
use super::{LimitState, SpineModel, StationKind, StationView, WetLane};
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::lettering::Lettering;

/// Height of the wet lane before the dryer.
const LANE: f32 = 5.5;
/// Height of the wet lane where the film has just dried.
const LANE_DRY: f32 = 1.6;
/// Height of the wet lane behind a dryer that is too short.
const LANE_STILL_WET: f32 = 2.6;

/// What is needed to draw along the web.
struct Web<'a> {
    painter: &'a Painter,
    palette: &'a Palette,
    model: &'a SpineModel,
    columns: &'a [Column],
    top: f32,
    y: f32,
    k: f32,
}

/// Draws web, lane, stations and lengths.
pub(super) fn paint(ui: &Ui, model: &SpineModel, columns: &[Column], frame: (Rect, &Size)) {
    let (rect, size) = frame;
    let web = Web {
        painter: ui.painter(),
        palette: Palette::of(ui),
        model,
        columns,
        top: rect.top(),
        y: rect.top() + size.web,
        k: size.k,
    };
    web.stations();
    web.line();
    web.lane();
    web.rolls();
    if !size.is_compact {
        web.speed();
        web.lengths();
        web.dry_place();
    }
}

impl Web<'_> {
    fn station(&self, column: &Column) -> Option<&StationView> {
        self.model.stations.get(column.station)
    }

    /// The first column whose station satisfies `wanted`.
    fn find(&self, wanted: impl Fn(&StationView) -> bool) -> Option<&Column> {
        self.columns
            .iter()
            .find(|column| self.station(column).is_some_and(|s| s.is_used && wanted(s)))
    }

    /// Left and right end of the dryer.
    fn dryer(&self) -> Option<(f32, f32)> {
        let column = self.find(|s| s.kind == StationKind::Dryer)?;
        let half = drawing_width(StationKind::Dryer) * self.k / 2.0;
        Some((column.center - half, column.center + half))
    }

    fn ends(&self) -> Option<(f32, f32)> {
        Some((self.columns.first()?.center, self.columns.last()?.center))
    }

    fn paint_station(&self, column: &Column) {
        let Some(station) = self.station(column) else {
            return;
        };
        let pen = Pen::new(
            self.painter,
            self.palette,
            station,
            (column.center, self.y, self.k),
        );
        stations::paint(&pen, station.kind, drawing_width(station.kind) * self.k);
    }

    fn is_roll(&self, column: &Column) -> bool {
        self.station(column).is_some_and(|s| {
            matches!(
                s.kind,
                StationKind::Unwind | StationKind::Rewind | StationKind::Clamp
            )
        })
    }

    fn stations(&self) {
        for column in self.columns.iter().filter(|column| !self.is_roll(column)) {
            self.paint_station(column);
        }
    }

    fn rolls(&self) {
        for column in self.columns.iter().filter(|column| self.is_roll(column)) {
            self.paint_station(column);
        }
    }

    /// The web itself: solid up to the first broken limit, dashed from there on.
    fn line(&self) {
        let Some((from, to)) = self.ends() else {
            return;
        };
        let stroke = Stroke::new(measure::WEB * self.k.max(0.75), self.palette.ink);
        let broken = self.find(|s| s.state() == LimitState::Broken);
        let solid_to = match broken.and_then(|column| Some((column, self.station(column)?))) {
            Some((_, station)) if station.kind == StationKind::Dryer => {
                self.dryer().map_or(to, |(_, right)| right)
            }
            Some((column, _)) => column.center.max(from),
            None => to,
        };
        self.painter.hline(from..=solid_to, self.y, stroke);
        if solid_to < to {
            let path = [pos2(solid_to + 5.0, self.y), pos2(to, self.y)];
            self.painter
                .extend(Shape::dashed_line(&path, stroke, 7.0, 6.0));
        }
    }

    /// The wet lane: full height to the dryer, thinning to the place where the film is dry.
    fn lane(&self) {
        let (Some(head), Some((_, end))) = (self.find(|s| s.kind.is_head()), self.ends()) else {
            return;
        };
        let start = head.center + 9.0 * self.k;
        let is_in_pieces = self
            .station(head)
            .is_some_and(|s| s.state() == LimitState::Broken);
        let dryer = self.dryer().filter(|(left, _)| *left > start);
        let wet_to = dryer.map_or(end, |(left, _)| left);
        let (dry_at, after) = match (&self.model.wet_lane, dryer) {
            (WetLane::None, _) => return,
            (WetLane::DryAt { share, .. }, Some((left, right))) => {
                (dry_x(*share, left, right), LANE_DRY)
            }
            (WetLane::StaysWet, Some((_, right))) => (right, LANE_STILL_WET),
            (WetLane::DryAt { .. } | WetLane::StaysWet, None) => (wet_to, LANE),
        };
        if is_in_pieces {
            self.pieces(start, wet_to);
            return;
        }
        let low = self.y - measure::WEB * self.k.max(0.75) / 2.0;
        let high = |height: f32| low - height * self.k.max(0.75);
        let rect = |from: f32, to: f32, height: f32| {
            Rect::from_min_max(pos2(from, high(height)), pos2(to, low + 0.3))
        };
        self.painter
            .rect_filled(rect(start, wet_to, LANE), 0, self.palette.wet);
        let corners = vec![
            pos2(wet_to, high(LANE)),
            pos2(dry_at, high(after)),
            pos2(dry_at, low + 0.3),
            pos2(wet_to, low + 0.3),
        ];
        self.painter.add(Shape::convex_polygon(
            corners,
            self.palette.wet,
            Stroke::NONE,
        ));
        self.painter
            .rect_filled(rect(dry_at, end, after), 0, self.palette.wet);
    }

    /// The lane of a head that cannot hold its film.
    fn pieces(&self, from: f32, to: f32) {
        let low = self.y - measure::WEB * self.k / 2.0;
        let mut x = from + 2.0;
        while x + 11.0 * self.k < to {
            let piece = Rect::from_min_size(pos2(x, low - 4.6 * self.k), vec2(11.0, 4.6) * self.k);
            self.painter.rect_filled(piece, 0, self.palette.wet);
            x += 20.0 * self.k;
        }
    }

    /// Speed above the web and an arrow below it, between the first two stations.
    fn speed(&self) {
        let [first, second, ..] = self.columns else {
            return;
        };
        if self.model.speed.is_empty() {
            return;
        }
        let first_right = first.center + 24.0;
        let second_left = second.center
            - self
                .station(second)
                .map_or(20.0, |s| drawing_width(s.kind) / 2.0);
        let middle = f32::midpoint(first_right, second_left);
        Lettering::new(
            &self.model.speed,
            theme::bold(text_size::CELL),
            self.palette.ink,
        )
        .write(self.painter, pos2(middle, self.y - 9.0), Align::Center);
        let (y, half) = (self.y + 9.0, 16.0);
        let stroke = Stroke::new(1.0, self.palette.ink2);
        self.painter
            .hline(middle - half..=middle + half - 4.0, y, stroke);
        let tip = pos2(middle + half, y);
        let head = vec![tip, tip + vec2(-7.0, -3.0), tip + vec2(-7.0, 3.0)];
        self.painter
            .add(Shape::convex_polygon(head, self.palette.ink2, Stroke::NONE));
    }

    /// Lengths and seconds between head and dryer and inside the dryer.
    fn lengths(&self) {
        let Some((left, right)) = self.dryer() else {
            return;
        };
        let y = self.top + 37.0;
        if let Some(head) = self.find(|s| s.kind.is_head())
            && let Some(kind) = self.station(head).map(|s| s.kind)
            && !self.model.wet_path.is_empty()
        {
            let from = head.center
                + if kind == StationKind::SlotDie {
                    20.0
                } else {
                    drawing_width(kind) / 2.0
                };
            self.length(from, left, y, &self.model.wet_path);
        }
        if !self.model.dryer_path.is_empty() {
            self.length(left, right, y, &self.model.dryer_path);
        }
    }

    /// A dimension line with its words in the middle; without the line where the words fill it.
    fn length(&self, from: f32, to: f32, y: f32, words: &str) {
        let stroke = Stroke::new(0.9, self.palette.ink3);
        let words = Lettering::new(
            words,
            theme::regular(text_size::UNIT_SPINE),
            self.palette.ink2,
        );
        let half = words.width(self.painter) / 2.0 + 6.0;
        let middle = f32::midpoint(from, to);
        if middle - half < from + 4.0 {
            return;
        }
        self.painter.hline(from..=middle - half, y, stroke);
        self.painter.hline(middle + half..=to, y, stroke);
        for x in [from, to] {
            self.painter.vline(x, y - 4.0..=y + 4.0, stroke);
        }
        words.write(self.painter, pos2(middle, y + 4.0), Align::Center);
    }

    /// The tick and the words where the film is dry.
    fn dry_place(&self) {
        let (Some((left, right)), WetLane::DryAt { share, words }) =
            (self.dryer(), &self.model.wet_lane)
        else {
            return;
        };
        let x = dry_x(*share, left, right);
        self.painter.vline(
            x,
            self.y - 9.0..=self.y + 9.0,
            Stroke::new(1.2, self.palette.wet),
        );
        let words = Lettering::new(
            words,
            theme::regular(text_size::UNIT_SPINE),
            self.palette.ink2,
        );
        let base_line = self.y + 11.0;
        let casing = if self
            .find(|s| s.kind == StationKind::Dryer && s.state() != LimitState::Holds)
            .is_some()
        {
            self.palette.sheet
        } else {
            Color32::TRANSPARENT
        };
        if x + 6.0 + words.width(self.painter) < right {
            words.write_cased(self.painter, pos2(x + 5.0, base_line), Align::LEFT, casing);
        } else {
            words.write_cased(self.painter, pos2(x - 5.0, base_line), Align::RIGHT, casing);
        }
    }
}

fn dry_x(share: f64, left: f32, right: f32) -> f32 {
    #[expect(clippy::cast_possible_truncation, reason = "held within 0..=1")]
    let share = if share.is_nan() {
        1.0
    } else {
        share.clamp(0.0, 1.0) as f32
    };
    left + share * (right - left)
}
