//! Drawing of the strip and the tracks under it.

use egui::{Align, Mesh, Painter, Rect, Shape, Stroke, StrokeKind, Ui, pos2, vec2};

use super::{
    FoilRun, FoilRunState, FoilStrip, Place, SETTING_PITCH, STORE_PITCH, SettingTrack, StoreTrack,
};
use crate::theme::{self, Palette, map_color, measure, text_size};
use crate::widgets::hatch::{Hatch, hatch_rect};
use crate::widgets::lettering::{Lettering, base_line_around};
use crate::widgets::margin_bar::{LimitState, diamond, paint_margin_mark};

/// What is needed to draw.
struct Sheet<'a> {
    painter: &'a Painter,
    palette: &'a Palette,
    place: &'a Place,
    strip: &'a FoilStrip,
}

/// Draws everything.
pub(super) fn all(ui: &Ui, place: &Place, strip: &FoilStrip) {
    let sheet = Sheet {
        painter: ui.painter(),
        palette: Palette::of(ui),
        place,
        strip,
    };
    sheet.labels();
    sheet.axis();
    sheet.bottles();
    sheet.foil();
    sheet.set_ups();
    for (i, track) in strip.settings.iter().enumerate() {
        sheet.setting(
            track,
            place.y(place.rows.settings + SETTING_PITCH * i as f32),
        );
    }
    for (i, track) in strip.stores.iter().enumerate() {
        sheet.store(track, place.y(place.rows.stores + STORE_PITCH * i as f32));
    }
    sheet.bottle_changes();
}

impl Sheet<'_> {
    fn label(&self, words: &str, base_line: f32) {
        let at = pos2(self.place.whole.left(), base_line);
        Lettering::new(words, theme::regular(text_size::UNIT), self.palette.ink2).write_within(
            self.painter,
            at,
            Align::LEFT,
            self.place.left - at.x - 6.0,
        );
    }

    fn head(&self, words: &str, base_line: f32) {
        let at = pos2(self.place.whole.left(), base_line);
        Lettering::new(words, theme::bold(text_size::UNIT), self.palette.ink).write(
            self.painter,
            at,
            Align::LEFT,
        );
    }

    fn labels(&self) {
        let rows = &self.place.rows;
        let is_narrow = self.place.left - self.place.whole.left() < 100.0;
        self.label(
            if is_narrow {
                "metre"
            } else {
                "metre on the roll"
            },
            self.place.y(14.0),
        );
        if !self.strip.bottles.is_empty() {
            self.label("bottle", self.place.y(rows.bottle + 13.0));
        }
        self.label("set-up", self.place.y(rows.set_up_words));
        if !self.strip.settings.is_empty() {
            self.head("settings", self.place.y(rows.settings - 8.0));
        }
        if !self.strip.stores.is_empty() {
            self.head("what is left", self.place.y(rows.stores - 4.0));
        }
    }

    fn axis(&self) {
        let y = self.place.y(self.place.rows.axis);
        let stroke = Stroke::new(measure::RULE, self.palette.ink3);
        self.painter
            .hline(self.place.left..=self.place.right, y, stroke);
        let axis = self.place.axis();
        let ticks = axis.ticks(8);
        for tick in &ticks {
            let x = self.place.x(tick.value);
            self.painter.vline(x, y - 7.0..=y, stroke);
            let align = if tick.value <= 0.0 {
                Align::LEFT
            } else {
                Align::Center
            };
            let at = pos2(if tick.value <= 0.0 { x - 3.0 } else { x }, y - 11.0);
            Lettering::new(
                &tick.label,
                theme::regular(text_size::UNIT),
                self.palette.ink2,
            )
            .write(self.painter, at, align);
        }
        let one_metre = self.place.x(1.0) - self.place.x(0.0);
        if one_metre > 8.0 {
            let mut metre = 1.0;
            while metre < self.strip.metres {
                self.painter.vline(self.place.x(metre), y - 3.5..=y, stroke);
                metre += 1.0;
            }
        }
    }

    fn bottles(&self) {
        let top = self.place.y(self.place.rows.bottle);
        for (i, bottle) in self.strip.bottles.iter().enumerate() {
            let rect = Rect::from_min_max(
                pos2(self.place.x(bottle.from), top),
                pos2(self.place.x(bottle.to) - 1.0, top + 18.0),
            );
            let fill = if i == 0 {
                self.palette.sheet
            } else {
                self.palette.selected
            };
            self.painter.rect(
                rect,
                2,
                fill,
                Stroke::new(1.0, self.palette.line),
                StrokeKind::Inside,
            );
            let at = pos2(rect.left() + 8.0, rect.top() + 13.0);
            Lettering::new(
                &bottle.words,
                theme::regular(text_size::UNIT),
                self.palette.ink,
            )
            .write_within(self.painter, at, Align::LEFT, rect.width() - 14.0);
        }
    }

    fn foil(&self) {
        let leader = self.place.strip(0.0, self.strip.leader);
        if self.strip.leader > 0.0 {
            self.blank(leader);
            self.painter.rect_stroke(
                leader,
                0,
                Stroke::new(1.0, self.palette.line),
                StrokeKind::Inside,
            );
            let words = Lettering::new(
                format!("leader, {} m", plain(self.strip.leader)),
                theme::regular(text_size::UNIT),
                self.palette.ink2,
            );
            if words.width(self.painter) + 16.0 < leader.width() {
                let plate = vec2(words.width(self.painter) + 12.0, 18.0);
                self.painter.rect_filled(
                    Rect::from_center_size(leader.center(), plate),
                    0,
                    self.palette.sheet,
                );
                let base_line = base_line_around(leader.center().y, text_size::UNIT);
                words.write(
                    self.painter,
                    pos2(leader.center().x, base_line),
                    Align::Center,
                );
            }
        }
        for run in &self.strip.runs {
            self.blank(self.place.strip(run.from, run.sample_from));
            self.sample(run);
        }
        let used = self
            .strip
            .runs
            .last()
            .map_or(self.strip.leader, |run| run.to);
        if used < self.strip.metres {
            self.painter.rect_filled(
                self.place.strip(used, self.strip.metres),
                0,
                self.palette.foil,
            );
        }
        let selected = self
            .strip
            .runs
            .iter()
            .find(|run| self.strip.selected == Some(run.number));
        if let Some(run) = selected {
            let rect = self.place.strip(run.from, run.to).expand2(vec2(0.5, 3.0));
            self.painter.rect_stroke(
                rect,
                0,
                Stroke::new(2.2, self.palette.ink),
                StrokeKind::Middle,
            );
        }
    }

    /// Foil without a sample.
    fn blank(&self, rect: Rect) {
        self.painter.rect_filled(rect, 0, self.palette.sheet);
        hatch_rect(self.painter, rect, Hatch::infeasible(self.palette));
    }

    fn sample(&self, run: &FoilRun) {
        let rect = self.place.strip(run.sample_from, run.to);
        let (fill, ink) = if run.bottle == 0 {
            (self.palette.accent_soft, self.palette.ink)
        } else {
            (self.palette.wet, self.palette.on_wet)
        };
        self.painter.rect_filled(rect, 0, fill);
        let mut number = Lettering::new(run.number.to_string(), theme::bold(text_size::CELL), ink);
        if number.width(self.painter) + 4.0 > rect.width() {
            number.font = theme::bold(10.0);
        }
        let has_room = number.width(self.painter) + 1.0 < rect.width();
        if let Some(lanes) = run.lanes {
            self.lanes(rect, lanes);
            if has_room {
                number.color = self.palette.ink;
                number.write(
                    self.painter,
                    pos2(rect.center().x, rect.bottom() + 14.0),
                    Align::Center,
                );
            }
            return;
        }
        if has_room {
            number.write(
                self.painter,
                pos2(rect.center().x, rect.bottom() - 9.0),
                Align::Center,
            );
        }
        if rect.width() >= 12.0 {
            self.mark(run, rect, ink);
        }
    }

    fn mark(&self, run: &FoilRun, rect: Rect, ink: egui::Color32) {
        let at = pos2(rect.center().x, rect.top() + 22.0);
        match run.state {
            FoilRunState::Plain => {}
            FoilRunState::Return => {
                self.painter.circle_stroke(at, 7.5, Stroke::new(1.3, ink));
                self.painter.circle_stroke(at, 4.2, Stroke::new(1.3, ink));
            }
            FoilRunState::Near => {
                let outline = Stroke::new(1.8, self.palette.amber_line);
                self.painter.add(Shape::convex_polygon(
                    diamond(at, 6.5),
                    self.palette.sheet,
                    outline,
                ));
            }
            FoilRunState::Broken => {
                let plate = Rect::from_center_size(at, vec2(16.0, 16.0));
                self.painter.rect_filled(plate, 2, self.palette.sheet);
                paint_margin_mark(self.painter, self.palette, at, LimitState::Broken);
            }
        }
    }

    /// A reading at left, center and right of the web; hatched where there is none.
    fn lanes(&self, rect: Rect, lanes: [Option<f64>; 3]) {
        let height = rect.height() / 3.0;
        let mut top = rect.top();
        for lane in lanes {
            let stripe = Rect::from_min_size(pos2(rect.left(), top), vec2(rect.width(), height));
            if let Some(position) = lane {
                self.painter
                    .rect_filled(stripe.shrink2(vec2(0.0, 0.5)), 0, map_color(position));
            } else {
                self.painter.rect_filled(stripe, 0, self.palette.sheet);
                hatch_rect(self.painter, stripe, Hatch::beyond(self.palette));
            }
            top += height;
        }
    }

    fn set_ups(&self) {
        let rows = &self.place.rows;
        let (top, bottom) = (
            self.place.y(rows.set_up_words - 13.0),
            self.place.y(rows.strip_bottom + 7.0),
        );
        for (i, set_up) in self.strip.set_ups.iter().enumerate() {
            let x = self.place.x(set_up.at);
            let weight = if set_up.is_bottle_change { 3.0 } else { 1.5 };
            self.painter
                .vline(x, top..=bottom, Stroke::new(weight, self.palette.ink));
            let next = self
                .strip
                .set_ups
                .get(i + 1)
                .map_or(self.place.right, |next| self.place.x(next.at));
            let font = if set_up.is_bottle_change {
                theme::bold(text_size::UNIT)
            } else {
                theme::regular(text_size::UNIT)
            };
            let words = Lettering::new(&set_up.words, font, self.palette.ink);
            let room = next - x - 7.0;
            let shown = if words.width(self.painter) <= room {
                words
            } else {
                // Where "18 min" has no room, the number alone tells the minutes.
                Lettering {
                    text: set_up.words.replace(" min", ""),
                    ..words
                }
            };
            if shown.width(self.painter) <= room {
                shown.write(
                    self.painter,
                    pos2(x + 4.0, self.place.y(rows.set_up_words - 1.0)),
                    Align::LEFT,
                );
            }
        }
    }

    /// Bottle changes run on through the tracks as dotted lines.
    fn bottle_changes(&self) {
        if self.strip.stores.is_empty() {
            return;
        }
        let (top, bottom) = (
            self.place.y(self.place.rows.stores),
            self.place.y(self.place.rows.end - 4.0),
        );
        for set_up in self
            .strip
            .set_ups
            .iter()
            .filter(|set_up| set_up.is_bottle_change)
        {
            let x = self.place.x(set_up.at);
            let ends = [pos2(x, top), pos2(x, bottom)];
            let stroke = Stroke::new(1.2, self.palette.ink);
            self.painter
                .extend(Shape::dashed_line(&ends, stroke, 2.0, 3.0));
        }
    }

    fn setting(&self, track: &SettingTrack, top: f32) {
        let unit = Lettering::new(
            &track.unit,
            theme::regular(text_size::UNIT_CLOSE),
            self.palette.ink2,
        );
        let base_line = top + 16.0;
        let unit_at = pos2(self.place.left - 8.0, base_line);
        let left_of_unit = if self.place.left - self.place.whole.left() > 100.0 {
            unit.write(self.painter, unit_at, Align::RIGHT).left()
        } else {
            self.place.left
        };
        let name = Lettering::new(
            &track.name,
            theme::regular(text_size::UNIT),
            self.palette.ink2,
        );
        let at = pos2(self.place.whole.left(), base_line);
        name.write_within(self.painter, at, Align::LEFT, left_of_unit - at.x - 4.0);
        let rule = Stroke::new(measure::HAIR, self.palette.hair);
        self.painter.hline(
            self.place.whole.left()..=self.place.right,
            top + SETTING_PITCH - 1.0,
            rule,
        );
        let values = track.steps.iter().map(|step| step.2);
        let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
            (l.min(v), h.max(v))
        });
        let mut previous: Option<(f32, f64)> = None;
        for (from, to, value, text) in &track.steps {
            let share = if high > low {
                (value - low) / (high - low)
            } else {
                0.5
            };
            let y = top + 20.0 - 13.0 * crate::widgets::plot::field::points(share);
            let (left, right) = (self.place.x(*from), self.place.x(*to));
            self.painter
                .hline(left..=right, y, Stroke::new(2.0, self.palette.ink));
            let is_new = previous.is_none_or(|(_, before)| (before - value).abs() > 0.0);
            if let Some((before_y, _)) = previous.filter(|_| is_new) {
                let (top, bottom) = (before_y.min(y), before_y.max(y));
                self.painter
                    .vline(left, top..=bottom, Stroke::new(1.0, self.palette.ink));
            }
            if is_new {
                self.step_value(
                    text,
                    (left, right),
                    if share > 0.6 { y + 12.5 } else { y - 3.5 },
                );
            }
            previous = Some((y, *value));
        }
    }

    fn step_value(&self, text: &str, ends: (f32, f32), base_line: f32) {
        let value = Lettering::new(
            text,
            theme::regular(text_size::UNIT_CLOSE),
            self.palette.ink2,
        );
        let width = value.width(self.painter);
        let room = ends.1 - ends.0 - 4.0;
        if width <= room {
            let x = ends.0 + 20.0_f32.min(room - width).max(3.0);
            value.write(self.painter, pos2(x, base_line), Align::LEFT);
        }
    }

    fn store(&self, track: &StoreTrack, top: f32) {
        let base_line = top + 20.0;
        self.label(&track.name, base_line);
        Lettering::new(
            &track.whole,
            theme::regular(text_size::UNIT),
            self.palette.ink2,
        )
        .write(
            self.painter,
            pos2(self.place.left - 8.0, base_line),
            Align::RIGHT,
        );
        let bottom = top + STORE_PITCH - 2.0;
        let y = |share: f64| {
            bottom
                - crate::widgets::plot::field::points(share.clamp(0.0, 1.0)) * (STORE_PITCH - 7.0)
        };
        let mut mesh = Mesh::default();
        let mut line = Vec::with_capacity(track.left.len());
        for (metre, share) in &track.left {
            let x = self.place.x(*metre);
            let n = u32::try_from(mesh.vertices.len()).unwrap_or(0);
            mesh.colored_vertex(pos2(x, bottom), self.palette.accent_soft);
            mesh.colored_vertex(pos2(x, y(*share)), self.palette.accent_soft);
            line.push(pos2(x, y(*share)));
            if n >= 2 {
                mesh.add_triangle(n - 2, n - 1, n);
                mesh.add_triangle(n - 1, n, n + 1);
            }
        }
        self.painter.add(Shape::mesh(mesh));
        self.painter
            .add(Shape::line(line, Stroke::new(1.8, self.palette.accent)));
        self.painter.hline(
            self.place.left..=self.place.right,
            bottom,
            Stroke::new(1.0, self.palette.line),
        );
        self.run_out(track, bottom);
        let is_out = track.left.iter().any(|(_, share)| *share < 0.0);
        let color = if is_out {
            self.palette.amber
        } else {
            self.palette.ink
        };
        let words = Lettering::new(&track.words, theme::bold(text_size::UNIT), color);
        let at = pos2(self.place.right - 22.0, bottom - 9.0);
        if is_out {
            let width = words.width(self.painter) + 10.0;
            let corner = pos2(at.x + 5.0 - width, bottom - 22.0);
            self.painter.rect_filled(
                Rect::from_min_size(corner, vec2(width, 18.0)),
                0,
                self.palette.ground,
            );
        }
        words.write_cased(self.painter, at, Align::RIGHT, self.palette.ground);
    }

    /// Hatches the part of the roll on which a store has run out.
    fn run_out(&self, track: &StoreTrack, bottom: f32) {
        let pairs = track.left.iter().zip(track.left.iter().skip(1));
        let crossing = pairs.filter(|(before, after)| before.1 >= 0.0 && after.1 < 0.0);
        let Some(from) = crossing
            .map(|(a, b)| a.0 + (b.0 - a.0) * a.1 / (a.1 - b.1))
            .next()
        else {
            return;
        };
        let to = track.left.last().map_or(from, |(metre, _)| *metre);
        let rect = Rect::from_min_max(
            pos2(self.place.x(from), bottom - STORE_PITCH + 7.0),
            pos2(self.place.x(to), bottom),
        );
        hatch_rect(self.painter, rect, Hatch::broken(self.palette));
    }
}

/// A length with one decimal, without it where it is whole.
fn plain(metres: f64) -> String {
    let text = crate::number_text::format_number(metres, 1);
    text.trim_end_matches(".0").to_owned()
}
