//! A small bar for an estimate with its interval, against zero: one row of a table.

use super::drawing::{Drawing, Frame, Look, Stroke};
use super::paper::{ACCENT, ACCENT_SOFT, INK, LINE};

/// An estimate with its interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IntervalBar {
    /// Lower end; not finite if there is none.
    pub low: f64,
    /// The estimate.
    pub value: f64,
    /// Upper end; not finite if there is none.
    pub high: f64,
}

const WIDTH: f64 = 150.0;
const HEIGHT: f64 = 15.0;

/// The ends that bars of one table share: all intervals and zero, with a little room beside them.
pub fn shared_ends(bars: &[IntervalBar]) -> (f64, f64) {
    let ends = bars.iter().flat_map(|bar| [bar.low, bar.value, bar.high]);
    let ends = ends.filter(|end| end.is_finite());
    let (low, high) = ends.fold((0.0_f64, 0.0_f64), |(low, high), end| {
        (low.min(end), high.max(end))
    });
    let room = 0.04 * (high - low);
    if room > 0.0 && room.is_finite() {
        (low - room, high + room)
    } else {
        (-1.0, 1.0)
    }
}

impl IntervalBar {
    /// Draws it between shared ends.
    pub fn draw(&self, title: &str, (low, high): (f64, f64)) -> Drawing {
        let mut drawing = Drawing::new(WIDTH, HEIGHT, title);
        let x = |value: f64| (WIDTH * (value - low) / (high - low)).clamp(0.0, WIDTH);
        let middle = HEIGHT / 2.0;
        drawing.line([0.0, middle], [WIDTH, middle], Stroke::new(LINE, 1.0));
        if self.low.is_finite() && self.high.is_finite() {
            let (from, to) = (x(self.low), x(self.high));
            let bar = Frame::new(from, middle - 2.5, (to - from).max(0.5), 5.0);
            drawing.rectangle(bar, Look::both(ACCENT_SOFT, Stroke::new(ACCENT, 0.6)));
        }
        drawing.line([x(0.0), 0.0], [x(0.0), HEIGHT], Stroke::new(INK, 1.2));
        if self.value.is_finite() {
            let at = x(self.value);
            drawing.line(
                [at, middle - 5.5],
                [at, middle + 5.5],
                Stroke::new(ACCENT, 2.4),
            );
        }
        drawing
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_hold_zero_and_every_interval() {
        let bars = [
            IntervalBar {
                low: 1.0,
                value: 2.0,
                high: 3.0,
            },
            IntervalBar {
                low: f64::NAN,
                value: 5.0,
                high: f64::NAN,
            },
        ];
        let (low, high) = shared_ends(&bars);
        assert!(low < 0.0 && high > 5.0);
        assert_eq!(shared_ends(&[]), (-1.0, 1.0));
    }
}
