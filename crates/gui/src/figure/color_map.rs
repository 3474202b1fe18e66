//! The color sequence of maps and the scale that leads from a value to a place in it.
//!
//! Nine stops, linear in between. Their lightness (`OKLab`, Ottosson 2020, "A perceptual color space for image
//! processing") rises in even steps, so the order survives gray print and color blindness.

/// The nine stops as sRGB bytes, dark end first.
pub const STOPS: [[u8; 3]; 9] = [
    [0x1C, 0x1F, 0x4B],
    [0x20, 0x38, 0x6B],
    [0x1F, 0x54, 0x80],
    [0x24, 0x70, 0x8C],
    [0x3A, 0x8B, 0x92],
    [0x5F, 0xA6, 0x95],
    [0x8C, 0xBE, 0x9A],
    [0xBD, 0xD5, 0xA6],
    [0xEF, 0xE8, 0xBE],
];

/// The color at `position` of the sequence (0 dark end, 1 light end) as sRGB bytes.
///
/// Positions outside 0..=1 are held at the ends; not-a-number takes the dark end (hatch such cells instead).
pub fn color_at(position: f64) -> [u8; 3] {
    let last = STOPS.len() - 1;
    let x = if position.is_nan() {
        0.0
    } else {
        position.clamp(0.0, 1.0)
    } * last as f64;
    let mut below = 0;
    while below + 1 < last && (below + 1) as f64 <= x {
        below += 1;
    }
    let fraction = x - below as f64;
    let (from, to) = (STOPS[below], STOPS[below + 1]);
    std::array::from_fn(|i| mix(from[i], to[i], fraction))
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a mean of two bytes lies within 0..=255"
)]
fn mix(from: u8, to: u8, fraction: f64) -> u8 {
    (f64::from(from) + (f64::from(to) - f64::from(from)) * fraction).round() as u8
}

/// Which end of a film quality's values is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WantedEnd {
    /// Small values are wanted: they are drawn light.
    Low,
    /// Large values are wanted: they are drawn light.
    High,
}

/// Leads from a value to a place in the color sequence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MapScale {
    /// Smallest value shown, in the unit of the quality.
    pub low: f64,
    /// Largest value shown, in the unit of the quality.
    pub high: f64,
    /// Whether equal ratios, not equal differences, get equal steps.
    pub is_log: bool,
    /// Which end is drawn light.
    pub wanted: WantedEnd,
}

impl MapScale {
    /// The place of `value` along the bar, 0 at `low` and 1 at `high`, held at the ends;
    /// `None` for values that are not finite, or not positive on a logarithmic scale, or when the scale is empty.
    pub fn fraction(&self, value: f64) -> Option<f64> {
        let place = |v: f64| if self.is_log { v.ln() } else { v };
        let (low, high, v) = (place(self.low), place(self.high), place(value));
        let fraction = (v - low) / (high - low);
        (low.is_finite() && high.is_finite() && v.is_finite() && fraction.is_finite())
            .then(|| fraction.clamp(0.0, 1.0))
    }

    /// The place of `value` in the color sequence (1 = light = wanted end); `None` as for [`Self::fraction`].
    pub fn position(&self, value: f64) -> Option<f64> {
        let fraction = self.fraction(value)?;
        Some(match self.wanted {
            WantedEnd::Low => 1.0 - fraction,
            WantedEnd::High => fraction,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `OKLab` lightness of sRGB bytes (Ottosson 2020, matrices M1 and M2 of the article, sRGB transfer of IEC 61966-2-1).
    fn oklab_lightness([r, g, b]: [u8; 3]) -> f64 {
        let linear = |c: u8| {
            let c = f64::from(c) / 255.0;
            if c <= 0.04045 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        let (r, g, b) = (linear(r), linear(g), linear(b));
        let l = (0.412_221_470_8 * r + 0.536_332_536_3 * g + 0.051_445_992_9 * b).cbrt();
        let m = (0.211_903_498_2 * r + 0.680_699_545_1 * g + 0.107_396_956_6 * b).cbrt();
        let s = (0.088_302_461_9 * r + 0.281_718_837_6 * g + 0.629_978_700_5 * b).cbrt();
        0.210_454_255_3 * l + 0.793_617_785_0 * m - 0.004_072_046_8 * s
    }

    #[test]
    fn lightness_rises_in_even_steps() {
        // Even spacing is the design rule of the sequence; OKLab (Ottosson 2020) is the outside yardstick.
        let lightness: Vec<f64> = STOPS.iter().map(|&stop| oklab_lightness(stop)).collect();
        let mean = (lightness[8] - lightness[0]) / 8.0;
        for pair in lightness.windows(2) {
            let step = pair[1] - pair[0];
            assert!(
                (step - mean).abs() < 0.012,
                "step {step:.3} against mean {mean:.3}"
            );
        }
    }

    #[test]
    fn colors_meet_the_stops_and_the_middles() {
        for (i, stop) in STOPS.iter().enumerate() {
            assert_eq!(color_at(i as f64 / 8.0), *stop);
        }
        // By hand: half way from #1C1F4B to #20386B.
        assert_eq!(color_at(1.0 / 16.0), [0x1E, 0x2C, 0x5B]);
        assert_eq!(color_at(-3.0), STOPS[0]);
        assert_eq!(color_at(7.0), STOPS[8]);
        assert_eq!(color_at(f64::NAN), STOPS[0]);
    }

    #[test]
    fn log_scale_puts_the_geometric_mean_in_the_middle() {
        let scale = MapScale {
            low: 10.0,
            high: 1000.0,
            is_log: true,
            wanted: WantedEnd::Low,
        };
        assert!((scale.fraction(100.0).unwrap() - 0.5).abs() < 1e-12); // by hand: 100 = sqrt(10 * 1000)
        assert!((scale.position(10.0).unwrap() - 1.0).abs() < 1e-12);
        assert_eq!(scale.fraction(0.0), None);
        assert_eq!(scale.fraction(f64::NAN), None);
        let empty = MapScale {
            low: 2.0,
            high: 2.0,
            is_log: false,
            wanted: WantedEnd::High,
        };
        assert_eq!(empty.fraction(2.0), None);
    }
}
