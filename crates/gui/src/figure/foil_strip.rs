//! The foil as a strip to scale in metres, with what is left of ink, foil and time under it.

use super::axis::round_values;
use super::drawing::{Anchor, Drawing, Frame, Look, Point, Stroke, Words};
use super::paper::{
    ACCENT, ACCENT_SOFT, AMBER, AMBER_LINE, AMBER_SOFT, AXIS, FOIL, HATCH, HATCH_PITCH,
    HATCH_WEIGHT, INK, INK2, INK3, LINE, PAPER, UNIT_SIZE, WET,
};
use super::region::hatch;
use super::run_marks::RunMarkKind;
use super::text_width::text_width;
use crate::number_text::format_number;

/// A roll of foil with its runs.
#[derive(Debug, Clone, PartialEq)]
pub struct FoilStrip {
    /// Foil lost before the first run (m).
    pub leader_m: f64,
    /// Foil that there is (m); the end of the last run if it is not known.
    pub foil_m: Option<f64>,
    /// Runs along the strip.
    pub runs: Vec<StripRun>,
    /// What is left along the strip.
    pub gauges: Vec<Gauge>,
}

/// A run on the strip.
#[derive(Debug, Clone, PartialEq)]
pub struct StripRun {
    /// Its number.
    pub number: u32,
    /// Its look.
    pub kind: RunMarkKind,
    /// Where its settling starts (m).
    pub start_m: f64,
    /// Where its sample starts (m).
    pub sample_start_m: f64,
    /// Where its sample ends (m).
    pub end_m: f64,
    /// The stop before it.
    pub stop: Option<Stop>,
    /// Number of its bottle, from 1.
    pub bottle: u32,
}

/// A stop at which something is changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Stop {
    /// Minutes it takes.
    pub minutes: f64,
    /// True if it is a change of bottle or the like.
    pub is_strip_down: bool,
}

/// What is left of something along the strip.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauge {
    /// What it is.
    pub name: String,
    /// What there is, with its unit.
    pub amount: String,
    /// `[metre, share left]`; below zero where it is used up.
    pub left: Vec<Point>,
    /// What is left at the end, in words.
    pub words: String,
    /// Whether more is needed than there is.
    pub is_short: bool,
}

/// Room for the names at the left.
const LABELS: f64 = 108.0;
const STRIP_TOP: f64 = 44.0;
const STRIP_HEIGHT: f64 = 58.0;
const GAUGE_TOP: f64 = 120.0;
const GAUGE_PITCH: f64 = 32.0;
const GAUGE_HEIGHT: f64 = 26.0;

impl FoilStrip {
    /// Draws the strip on a page of some width.
    pub fn draw(&self, title: &str, width: f64) -> Drawing {
        let height = GAUGE_TOP + GAUGE_PITCH * self.gauges.len() as f64;
        let mut drawing = Drawing::new(width, height, title);
        drawing.description = self.spoken();
        let end = self.runs.last().map_or(self.leader_m, |run| run.end_m);
        let length = self.foil_m.unwrap_or(end).max(end).max(f64::MIN_POSITIVE);
        let scale = Scale {
            left: LABELS,
            per_metre: (width - LABELS - 4.0) / length,
        };
        axis(&mut drawing, &scale, length);
        self.strip(&mut drawing, &scale, length);
        for (index, gauge) in self.gauges.iter().enumerate() {
            let top = GAUGE_TOP + GAUGE_PITCH * index as f64;
            draw_gauge(&mut drawing, &scale, gauge, top);
        }
        drawing
    }

    fn spoken(&self) -> String {
        let end = self.runs.last().map_or(self.leader_m, |run| run.end_m);
        format!(
            "{} runs on {} m of foil",
            self.runs.len(),
            format_number(end, 1)
        )
    }

    fn strip(&self, drawing: &mut Drawing, scale: &Scale, length: f64) {
        let foil = scale.stretch(0.0, length, STRIP_TOP, STRIP_HEIGHT);
        drawing.rectangle(foil, Look::filled(FOIL));
        let leader = scale.stretch(0.0, self.leader_m, STRIP_TOP, STRIP_HEIGHT);
        hatched(drawing, &leader);
        let leader_words = format!("leader, {} m", format_number(self.leader_m, 1));
        if text_width(&leader_words, UNIT_SIZE, false) + 8.0 < leader.width {
            let at = [
                leader.x + leader.width / 2.0,
                STRIP_TOP + STRIP_HEIGHT / 2.0 + 4.0,
            ];
            let words = Words::new(at, leader_words, UNIT_SIZE, INK2);
            drawing.words(words.anchored(Anchor::Middle).cased(PAPER));
        }
        for run in &self.runs {
            draw_run(drawing, scale, run);
        }
        let mut free_from = f64::NEG_INFINITY;
        for run in &self.runs {
            free_from = draw_stop(drawing, scale, run, free_from);
        }
        drawing.rectangle(foil, Look::outlined(Stroke::new(INK3, 1.0)));
        for (y, words) in [
            (14.0, "metre on the roll"),
            (STRIP_TOP - 6.0, "set-up, min"),
            (STRIP_TOP + 33.0, "run"),
        ] {
            drawing.words(Words::new([0.0, y], words, UNIT_SIZE, INK2));
        }
    }
}

struct Scale {
    left: f64,
    per_metre: f64,
}

impl Scale {
    fn x(&self, metre: f64) -> f64 {
        self.left + metre * self.per_metre
    }

    fn stretch(&self, from: f64, to: f64, top: f64, height: f64) -> Frame {
        Frame::new(
            self.x(from),
            top,
            (to - from).max(0.0) * self.per_metre,
            height,
        )
    }
}

fn axis(drawing: &mut Drawing, scale: &Scale, length: f64) {
    const Y: f64 = 20.0;
    drawing.line([scale.x(0.0), Y], [scale.x(length), Y], AXIS);
    let ticks = round_values(0.0, length, 9, false);
    let n_decimals = usize::from(ticks.iter().any(|tick| tick.fract() != 0.0));
    for tick in ticks {
        let x = scale.x(tick);
        drawing.line([x, Y], [x, Y - 5.0], AXIS);
        let words = Words::new([x, 12.0], format_number(tick, n_decimals), UNIT_SIZE, INK);
        let anchor = if tick == 0.0 {
            Anchor::Start
        } else if x + 15.0 > drawing.width {
            Anchor::End
        } else {
            Anchor::Middle
        };
        drawing.words(words.anchored(anchor));
    }
}

fn hatched(drawing: &mut Drawing, frame: &Frame) {
    drawing.rectangle(*frame, Look::filled(PAPER));
    let lines = hatch(frame, HATCH_PITCH, |_| 1.0);
    drawing.path(lines, Look::outlined(Stroke::new(HATCH, HATCH_WEIGHT)));
}

fn draw_run(drawing: &mut Drawing, scale: &Scale, run: &StripRun) {
    hatched(
        drawing,
        &scale.stretch(run.start_m, run.sample_start_m, STRIP_TOP, STRIP_HEIGHT),
    );
    let sample = scale.stretch(run.sample_start_m, run.end_m, STRIP_TOP, STRIP_HEIGHT);
    let is_first_bottle = run.bottle % 2 == 1;
    let (ground, on) = match (run.kind, is_first_bottle) {
        (RunMarkKind::Faulty, _) => (AMBER_SOFT, INK),
        (_, true) => (ACCENT_SOFT, INK),
        (_, false) => (WET, PAPER),
    };
    drawing.rectangle(sample, Look::filled(ground));
    let center = [sample.x + sample.width / 2.0, STRIP_TOP + 18.0];
    let is_wide = sample.width >= 15.0;
    match run.kind {
        RunMarkKind::Return if is_wide => {
            drawing.circle(center, 6.5, Look::outlined(Stroke::new(on, 1.3)));
            drawing.circle(center, 3.0, Look::outlined(Stroke::new(on, 1.3)));
        }
        RunMarkKind::Near if is_wide => {
            let [x, y] = center;
            let diamond = [[x, y - 6.0], [x + 6.0, y], [x, y + 6.0], [x - 6.0, y]];
            drawing.polygon(diamond, Look::both(PAPER, Stroke::new(AMBER_LINE, 1.5)));
        }
        RunMarkKind::Faulty => {
            drawing.rectangle(sample, Look::outlined(Stroke::new(AMBER_LINE, 1.3)));
        }
        _ => {}
    }
    let text = run.number.to_string();
    // Crowded strips carry every number that fits.
    if let Some(size) = [12.5, 10.0, 8.0]
        .into_iter()
        .find(|size| text_width(&text, *size, true) < sample.width - 1.0)
    {
        let at = [center[0], STRIP_TOP + STRIP_HEIGHT - 9.0];
        drawing.words(
            Words::new(at, text, size, on)
                .bold()
                .anchored(Anchor::Middle),
        );
    }
}

/// Draws the bar of a stop and its minutes where there is room; returns where the next minutes may start.
fn draw_stop(drawing: &mut Drawing, scale: &Scale, run: &StripRun, free_from: f64) -> f64 {
    let Some(stop) = &run.stop else {
        return free_from;
    };
    let x = scale.x(run.start_m);
    let weight = if stop.is_strip_down { 3.0 } else { 1.4 };
    drawing.line(
        [x, STRIP_TOP - 16.0],
        [x, STRIP_TOP + STRIP_HEIGHT + 8.0],
        Stroke::new(INK, weight),
    );
    let text = format_number(stop.minutes, 0);
    if x + 3.0 < free_from {
        return free_from;
    }
    let end = x + 3.0 + text_width(&text, UNIT_SIZE, stop.is_strip_down);
    let words = Words::new([x + 3.0, STRIP_TOP - 6.0], text, UNIT_SIZE, INK);
    drawing.words(if stop.is_strip_down {
        words.bold()
    } else {
        words
    });
    end + 3.0
}

fn draw_gauge(drawing: &mut Drawing, scale: &Scale, gauge: &Gauge, top: f64) {
    let bottom = top + GAUGE_HEIGHT;
    let y = |share: f64| bottom - share.clamp(0.0, 1.0) * GAUGE_HEIGHT;
    let line: Vec<Point> = gauge
        .left
        .iter()
        .map(|[metre, share]| [scale.x(*metre), y(*share)])
        .collect();
    if let (Some(first), Some(last)) = (line.first(), line.last()) {
        let ends = [[last[0], bottom], [first[0], bottom]];
        drawing.polygon(line.iter().copied().chain(ends), Look::filled(ACCENT_SOFT));
    }
    drawing.polyline(line, Stroke::new(ACCENT, 1.6));
    let right = drawing.width - 4.0;
    drawing.line(
        [scale.left, bottom],
        [right, bottom],
        Stroke::new(LINE, 1.0),
    );
    let base = top + 14.0;
    drawing.words(Words::new(
        [0.0, base],
        gauge.name.as_str(),
        UNIT_SIZE,
        INK2,
    ));
    let amount = Words::new([LABELS - 8.0, base], gauge.amount.as_str(), UNIT_SIZE, INK2);
    drawing.words(amount.anchored(Anchor::End));
    let words = Words::new(
        [right, base],
        gauge.words.as_str(),
        UNIT_SIZE,
        if gauge.is_short { AMBER } else { INK },
    );
    drawing.words(words.bold().anchored(Anchor::End).cased(PAPER));
}
