//! Line drawings of the stations. Lengths are for full size, `x` from the middle, `y` from the web (down positive).

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, pos2, vec2};

use super::{LimitState, StationKind, StationView};
use crate::theme::{Palette, measure};
use crate::widgets::hatch::{Hatch, hatch_circle, hatch_polygon, hatch_rect};

/// Draws parts of one station.
pub(super) struct Pen<'a> {
    painter: &'a Painter,
    palette: &'a Palette,
    center: f32,
    web: f32,
    k: f32,
    outline: Stroke,
    hatch: Option<Hatch>,
    is_used: bool,
}

impl<'a> Pen<'a> {
    pub(super) fn new(
        painter: &'a Painter,
        palette: &'a Palette,
        station: &StationView,
        place: (f32, f32, f32),
    ) -> Self {
        let (center, web, k) = place;
        let (weight, color, hatch) = match station.state() {
            LimitState::Holds => (1.6, palette.ink, None),
            LimitState::Near => (1.8, palette.amber_line, Some(Hatch::near(palette))),
            LimitState::Broken => (2.6, palette.amber_line, Some(Hatch::broken(palette))),
        };
        let color = if station.is_used { color } else { palette.line };
        let weight = if station.is_used { weight } else { 1.2 };
        Self {
            painter,
            palette,
            center,
            web,
            k,
            outline: Stroke::new(weight * k.max(0.75), color),
            hatch: hatch.map(|hatch| hatch.scaled(k.max(0.75))),
            is_used: station.is_used,
        }
    }

    fn at(&self, x: f32, y: f32) -> Pos2 {
        pos2(self.center + x * self.k, self.web + y * self.k)
    }

    /// Ink of parts that never carry the state.
    fn plain(&self) -> Stroke {
        let color = if self.is_used {
            self.palette.ink
        } else {
            self.palette.line
        };
        Stroke::new(
            if self.is_used { 1.6 } else { 1.2 } * self.k.max(0.75),
            color,
        )
    }

    fn thin(&self, weight: f32) -> Stroke {
        Stroke::new(weight, self.outline.color)
    }

    fn wet(&self) -> Color32 {
        if self.is_used {
            self.palette.wet
        } else {
            self.palette.line
        }
    }

    fn closed(&self, corners: Vec<Pos2>, stroke: Stroke) {
        if self.is_used {
            self.painter.add(Shape::closed_line(corners, stroke));
        } else {
            let mut path = corners;
            path.extend(path.first().copied());
            self.painter
                .extend(Shape::dashed_line(&path, stroke, 3.0, 3.0));
        }
    }

    /// A body: filled with the sheet, outlined, hatched when its limit is near or broken. Convex corners only.
    fn body(&self, corners: &[(f32, f32)]) {
        let corners: Vec<Pos2> = corners.iter().map(|&(x, y)| self.at(x, y)).collect();
        self.painter.add(Shape::convex_polygon(
            corners.clone(),
            self.palette.sheet,
            Stroke::NONE,
        ));
        if let Some(hatch) = self.hatch {
            hatch_polygon(self.painter, &corners, hatch);
        }
        self.closed(corners, self.outline);
    }

    fn body_rect(&self, left: f32, top: f32, right: f32, bottom: f32) {
        let rect = Rect::from_min_max(self.at(left, top), self.at(right, bottom));
        if !self.is_used {
            self.body(&[(left, top), (right, top), (right, bottom), (left, bottom)]);
            return;
        }
        self.painter.rect_filled(rect, 2, self.palette.sheet);
        if let Some(hatch) = self.hatch {
            hatch_rect(self.painter, rect.shrink(1.0), hatch);
        }
        self.painter
            .rect_stroke(rect, 2, self.outline, StrokeKind::Middle);
    }

    fn body_circle(&self, x: f32, y: f32, r: f32) {
        let (center, radius) = (self.at(x, y), r * self.k);
        self.painter
            .circle_filled(center, radius, self.palette.sheet);
        if let Some(hatch) = self.hatch {
            hatch_circle(self.painter, center, radius, hatch);
        }
        self.circle(x, y, r, self.outline);
    }

    fn circle(&self, x: f32, y: f32, r: f32, stroke: Stroke) {
        let (center, radius) = (self.at(x, y), r * self.k);
        if self.is_used {
            self.painter.circle_stroke(center, radius, stroke);
        } else {
            let path: Vec<Pos2> = (0..=48)
                .map(|i| {
                    center + radius * egui::Vec2::angled(std::f32::consts::TAU * i as f32 / 48.0)
                })
                .collect();
            self.painter
                .extend(Shape::dashed_line(&path, stroke, 3.0, 3.0));
        }
    }

    /// A roller that carries the web from below: filled, with its axle.
    fn roller(&self, r: f32) {
        let gap = measure::WEB / 2.0;
        let (center, radius) = (self.at(0.0, r) + vec2(0.0, gap), r * self.k);
        self.painter
            .circle_filled(center, radius, self.palette.sheet);
        if self.is_used {
            self.painter.circle_stroke(center, radius, self.plain());
            self.painter
                .circle_filled(center, 2.0 * self.k.max(0.75), self.palette.ink);
        } else {
            self.circle(0.0, r, r, self.plain());
        }
    }

    fn line(&self, points: &[(f32, f32)], stroke: Stroke) {
        let path: Vec<Pos2> = points.iter().map(|&(x, y)| self.at(x, y)).collect();
        if self.is_used {
            self.painter.add(Shape::line(path, stroke));
        } else {
            self.painter
                .extend(Shape::dashed_line(&path, stroke, 3.0, 3.0));
        }
    }

    fn arrow_down(&self, x: f32, from: f32, to: f32) {
        let stroke = self.thin(1.0);
        self.line(&[(x, from), (x, to)], stroke);
        self.line(&[(x - 2.6, to - 3.2), (x, to), (x + 2.6, to - 3.2)], stroke);
    }

    fn wet_polygon(&self, corners: &[(f32, f32)]) {
        let corners = corners.iter().map(|&(x, y)| self.at(x, y)).collect();
        self.painter
            .add(Shape::convex_polygon(corners, self.wet(), Stroke::NONE));
    }

    /// The S-curves that stand for heat.
    fn heat_curve(&self, x: f32, top: f32, bottom: f32, weight: f32) {
        let height = bottom - top;
        let points: Vec<(f32, f32)> = (0..=10)
            .map(|i| {
                let t = i as f32 / 10.0;
                (
                    x + 1.6 * (t * std::f32::consts::TAU).sin(),
                    top + t * height,
                )
            })
            .collect();
        self.line(&points, self.thin(weight));
    }
}

/// Draws one station; `width` is that of a dryer or lamp field, in points.
pub(super) fn paint(pen: &Pen<'_>, kind: StationKind, width: f32) {
    match kind {
        StationKind::Unwind => roll(pen, 18.0),
        StationKind::Rewind => roll(pen, 15.0),
        StationKind::Clamp => clamp(pen),
        StationKind::Plasma => plasma(pen),
        StationKind::SlotDie => slot_die(pen),
        StationKind::Knife => knife(pen),
        StationKind::WireBar => wire_bar(pen),
        StationKind::Gravure => gravure(pen),
        StationKind::Flexo => flexo(pen),
        StationKind::HeatedRoller => heated_roller(pen),
        StationKind::Dryer => dryer(pen, width),
        StationKind::Infrared => infrared(pen),
        StationKind::Ultraviolet => ultraviolet(pen),
        StationKind::Lamination => lamination(pen),
    }
}

fn roll(pen: &Pen<'_>, r: f32) {
    pen.body_circle(0.0, r, r);
    for share in [0.82, 0.64, 0.46] {
        pen.circle(0.0, r, r * share, pen.thin(0.8));
    }
    pen.circle(0.0, r, 4.0, pen.thin(1.2));
}

/// A bar across the foil with its two screws.
fn clamp(pen: &Pen<'_>) {
    pen.body_rect(-6.0, -9.0, 6.0, 9.0);
    for y in [-5.0, 5.0] {
        pen.circle(0.0, y, 1.8, pen.thin(1.0));
    }
}

fn plasma(pen: &Pen<'_>) {
    pen.roller(9.0);
    pen.body_rect(-22.0, -24.0, 22.0, -15.0);
    for i in 0..6 {
        let x = -17.5 + 7.0 * i as f32;
        let zig = [(x, -13.0), (x - 2.0, -9.5), (x + 2.0, -7.0), (x, -3.0)];
        pen.line(&zig, pen.thin(1.0));
    }
}

fn slot_die(pen: &Pen<'_>) {
    pen.roller(15.0);
    for side in [-1.0, 1.0] {
        let half = [
            (1.6, -5.5),
            (8.0, -5.5),
            (20.0, -22.0),
            (20.0, -42.0),
            (1.6, -42.0),
        ];
        pen.body(&half.map(|(x, y)| (side * x, y)));
    }
    let slot = Stroke::new(2.2 * pen.k, pen.wet());
    pen.line(&[(0.0, -42.0), (0.0, -5.0)], slot);
    pen.painter
        .circle_filled(pen.at(0.0, -30.0), 3.2 * pen.k, pen.wet());
    pen.wet_polygon(&[(-6.0, -1.0), (-4.0, -5.2), (9.0, -5.2), (9.0, -1.0)]);
}

fn knife(pen: &Pen<'_>) {
    pen.roller(15.0);
    pen.wet_polygon(&[
        (-3.0, -1.0),
        (-3.0, -14.0),
        (-8.0, -13.0),
        (-14.0, -8.0),
        (-18.0, -1.0),
    ]);
    pen.body(&[
        (-3.0, -42.0),
        (6.0, -42.0),
        (6.0, -14.0),
        (2.0, -5.5),
        (-3.0, -5.5),
    ]);
}

fn wire_bar(pen: &Pen<'_>) {
    pen.wet_polygon(&[(-4.0, -1.0), (-9.0, -9.0), (-14.0, -7.0), (-20.0, -1.0)]);
    pen.body_circle(0.0, -13.0, 10.0);
    for i in 0..16 {
        let turn = egui::Vec2::angled(std::f32::consts::TAU * i as f32 / 16.0) * 11.6;
        let center = pen.at(turn.x, -13.0 + turn.y);
        pen.painter
            .circle(center, 1.9 * pen.k, pen.palette.sheet, pen.thin(0.9));
    }
    pen.painter
        .circle_filled(pen.at(0.0, -13.0), 1.8 * pen.k, pen.outline.color);
}

/// Short radial lines on a roll: cells, or the raised pads of a plate.
fn radial_ticks(pen: &Pen<'_>, middle: (f32, f32), from: f32, to: f32, look: (u16, f32)) {
    let (n_ticks, weight) = look;
    for i in 0..n_ticks {
        let turn = egui::Vec2::angled(std::f32::consts::TAU * f32::from(i) / f32::from(n_ticks));
        let point = |r: f32| (middle.0 + turn.x * r, middle.1 + turn.y * r);
        pen.line(&[point(from), point(to)], pen.thin(weight));
    }
}

fn gravure(pen: &Pen<'_>) {
    pen.wet_polygon(&[(-24.0, 22.0), (24.0, 22.0), (22.0, 33.0), (-22.0, 33.0)]);
    pen.body_circle(0.0, 18.0, 17.0);
    radial_ticks(pen, (0.0, 18.0), 13.0, 16.5, (28, 0.8));
    pen.line(&[(-26.0, 8.0), (-14.5, 12.0)], pen.thin(1.6));
    pen.painter.circle(
        pen.at(0.0, -12.0),
        11.0 * pen.k,
        pen.palette.sheet,
        pen.plain(),
    );
    pen.painter
        .circle_filled(pen.at(0.0, -12.0), 1.8 * pen.k, pen.plain().color);
    pen.painter
        .circle_filled(pen.at(0.0, 18.0), 1.8 * pen.k, pen.outline.color);
}

fn flexo(pen: &Pen<'_>) {
    pen.painter.circle(
        pen.at(-18.0, 27.0),
        9.0 * pen.k,
        pen.palette.sheet,
        pen.plain(),
    );
    radial_ticks(pen, (-18.0, 27.0), 6.5, 8.5, (18, 0.8));
    radial_ticks(pen, (0.0, 17.0), 13.0, 16.0, (10, 4.0 * pen.k));
    pen.body_circle(0.0, 17.0, 13.0);
    pen.painter.circle(
        pen.at(0.0, -12.0),
        11.0 * pen.k,
        pen.palette.sheet,
        pen.plain(),
    );
    pen.painter
        .circle_filled(pen.at(0.0, -12.0), 1.8 * pen.k, pen.plain().color);
    pen.painter
        .circle_filled(pen.at(0.0, 17.0), 1.8 * pen.k, pen.outline.color);
}

fn heated_roller(pen: &Pen<'_>) {
    pen.body_circle(0.0, 14.0, 13.0);
    for x in [-4.5, 0.0, 4.5] {
        pen.heat_curve(x, 8.0, 20.0, 1.1);
    }
}

fn dryer(pen: &Pen<'_>, width: f32) {
    let half = width / 2.0 / pen.k;
    pen.body_rect(-half, -30.0, half, 14.0);
    let n_nozzles = ((2.0 * half - 10.0) / 20.0).floor().max(1.0);
    let first = -(n_nozzles - 1.0) * 10.0;
    let mut x = first;
    while x <= -first + 0.5 {
        pen.line(
            &[
                (x - 5.0, -30.0),
                (x - 2.0, -22.0),
                (x + 2.0, -22.0),
                (x + 5.0, -30.0),
            ],
            pen.thin(1.2),
        );
        pen.arrow_down(x, -20.0, -12.0);
        x += 20.0;
    }
}

fn infrared(pen: &Pen<'_>) {
    pen.body_rect(-32.0, -24.0, 32.0, -11.0);
    for i in 0..4 {
        let x = -19.5 + 13.0 * i as f32;
        pen.circle(x, -17.5, 3.2, pen.thin(1.2));
        if pen.is_used {
            pen.heat_curve(x, -9.0, -2.0, 1.0);
        }
    }
}

fn ultraviolet(pen: &Pen<'_>) {
    // Straight sides, on top a quadratic curve with its control point at (0, -49).
    let mut hood = vec![(24.0, -10.5), (-24.0, -10.5)];
    hood.extend((0..=16).map(|i| {
        let t = i as f32 / 16.0;
        (-24.0 + 48.0 * t, -17.0 - 64.0 * t * (1.0 - t))
    }));
    pen.body(&hood);
    pen.painter.circle(
        pen.at(0.0, -20.0),
        4.0 * pen.k,
        pen.palette.sheet,
        pen.thin(1.3),
    );
    for i in -2_i8..=2 {
        let x = f32::from(i) * 4.0;
        let path = [pen.at(x * 0.9, -9.0), pen.at(x * 1.9, -2.0)];
        pen.painter
            .extend(Shape::dashed_line(&path, pen.thin(1.0), 2.0, 2.0));
    }
}

fn lamination(pen: &Pen<'_>) {
    pen.body_circle(0.0, -11.0, 10.0);
    pen.body_circle(0.0, 11.0, 10.0);
    if !pen.is_used {
        return;
    }
    for y in [-11.0, 11.0] {
        pen.painter
            .circle_filled(pen.at(0.0, y), 1.8 * pen.k, pen.outline.color);
    }
    let (roll, foil) = (
        (26.0, -41.0),
        [(24.0, -33.0), (12.0, -30.0), (2.0, -26.0), (-8.0, -19.0)],
    );
    pen.line(&foil, pen.plain());
    pen.circle(roll.0, roll.1, 8.0, pen.plain());
    pen.circle(roll.0, roll.1, 4.5, Stroke::new(0.7, pen.plain().color));
    pen.painter
        .circle_filled(pen.at(roll.0, roll.1), 1.6 * pen.k, pen.plain().color);
}
