//! Axes: where a value stands, and which round values are written beside the axis.
//!
//! Round steps (1, 2, 5 times a power of ten): Heckbert (1990), "Nice numbers for graph labels", in Graphics Gems,
//! Academic Press, 61–63. Powers of ten that are multiples of three are taken out of the labels into the heading, as
//! engineers write them (common practice).

use super::super::number_text::format_number;

/// Numbers whose size is at or above this are written with a power of ten in the heading.
const LARGE: f64 = 1e5;
/// Numbers whose size is below this are written with a power of ten in the heading.
const SMALL: f64 = 1e-2;
/// Axes are not asked to show numbers beyond this size.
const FARTHEST: f64 = 1e150;
/// Least width of an axis, relative to its larger end: below it, rounding would show.
const NARROWEST: f64 = 1e-9;

/// How values are spread along an axis.
#[derive(Debug, Clone, PartialEq)]
pub enum AxisScale {
    /// Equal differences take equal room.
    Linear,
    /// Equal ratios take equal room.
    Log,
    /// Named levels at 0, 1, 2, …
    Levels(Vec<String>),
}

/// An axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    title: String,
    unit: String,
    low: f64,
    high: f64,
    scale: AxisScale,
}

/// A value that is written beside an axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Tick {
    /// The value.
    pub value: f64,
    /// How it is written.
    pub label: String,
}

impl Axis {
    /// An axis of equal differences from `low` to `high`, both in `unit`.
    ///
    /// Ends that are equal, in the wrong order or not finite are put right, so that every axis can be drawn.
    pub fn linear(title: impl Into<String>, unit: impl Into<String>, low: f64, high: f64) -> Self {
        let (low, high) = widened(low, high);
        Self {
            title: title.into(),
            unit: unit.into(),
            low,
            high,
            scale: AxisScale::Linear,
        }
    }

    /// An axis of equal ratios; one of equal differences if an end is not above zero.
    pub fn log(title: impl Into<String>, unit: impl Into<String>, low: f64, high: f64) -> Self {
        let linear = Self::linear(title, unit, low, high);
        if linear.low > 0.0 {
            Self {
                scale: AxisScale::Log,
                ..linear
            }
        } else {
            linear
        }
    }

    /// An axis of named levels, each in the middle of an equal share.
    pub fn levels(title: impl Into<String>, levels: Vec<String>) -> Self {
        let high = levels.len().max(1) as f64 - 0.5;
        Self {
            title: title.into(),
            unit: String::new(),
            low: -0.5,
            high,
            scale: AxisScale::Levels(levels),
        }
    }

    /// Lower end.
    pub const fn low(&self) -> f64 {
        self.low
    }

    /// Upper end.
    pub const fn high(&self) -> f64 {
        self.high
    }

    /// Whether equal ratios take equal room.
    pub const fn is_log(&self) -> bool {
        matches!(self.scale, AxisScale::Log)
    }

    /// Where a value stands: 0 at the lower end, 1 at the upper end, beyond for values outside; `None` for a value
    /// that has no place (not finite, or not above zero on an axis of ratios).
    pub fn fraction(&self, value: f64) -> Option<f64> {
        let place = |v: f64| if self.is_log() { v.ln() } else { v };
        let (low, high) = (place(self.low), place(self.high));
        let fraction = (place(value) - low) / (high - low);
        fraction.is_finite().then_some(fraction)
    }

    /// The value at a place, the inverse of [`Self::fraction`].
    pub fn value_at(&self, fraction: f64) -> f64 {
        if self.is_log() {
            (self.low.ln() + fraction * (self.high.ln() - self.low.ln())).exp()
        } else {
            self.low + fraction * (self.high - self.low)
        }
    }

    /// The part of the axis between two places, 0 and 1 being its ends: what a magnified plot shows.
    #[must_use]
    pub fn part(&self, from: f64, to: f64) -> Self {
        let (low, high) = widened(self.value_at(from), self.value_at(to));
        Self {
            low,
            high,
            ..self.clone()
        }
    }

    /// The round values to write, at most `n_at_most` (never fewer than two for numbers).
    pub fn ticks(&self, n_at_most: usize) -> Vec<Tick> {
        match &self.scale {
            AxisScale::Levels(levels) => levels
                .iter()
                .enumerate()
                .map(|(index, level)| Tick {
                    value: index as f64,
                    label: level.clone(),
                })
                .collect(),
            AxisScale::Linear | AxisScale::Log => {
                let power = self.power();
                let values = round_values(self.low, self.high, n_at_most, self.is_log());
                labelled(&values, power)
            }
        }
    }

    /// What stands beside the axis: `speed, m/min`, with a power of ten before the unit if the labels need one.
    pub fn heading(&self) -> String {
        let power = if matches!(self.scale, AxisScale::Levels(_)) {
            0
        } else {
            self.power()
        };
        let factor = if power == 0 {
            String::new()
        } else {
            format!("10{}", superscript(power))
        };
        let unit = [factor, self.unit.clone()]
            .into_iter()
            .filter(|part| !part.is_empty())
            .collect::<Vec<_>>();
        if unit.is_empty() {
            self.title.clone()
        } else {
            format!("{}, {}", self.title, unit.join(" "))
        }
    }

    /// The power of ten, a multiple of three, that the labels leave out.
    fn power(&self) -> i32 {
        let size = self.low.abs().max(self.high.abs());
        let spans_decades = self.is_log() && self.high / self.low > 1e3;
        if (SMALL..LARGE).contains(&size) || spans_decades {
            return 0;
        }
        // A size above zero lies between 1e-300 and FARTHEST, so the power fits easily.
        #[expect(clippy::cast_possible_truncation, reason = "between -100 and 50")]
        let thirds = (size.log10() / 3.0 + 1e-12).floor() as i32;
        3 * thirds
    }
}

/// Ends in order, finite and far enough apart.
fn widened(low: f64, high: f64) -> (f64, f64) {
    let held = |end: f64, otherwise: f64| {
        if end.is_nan() {
            otherwise
        } else {
            end.clamp(-FARTHEST, FARTHEST)
        }
    };
    let (one, other) = (held(low, 0.0), held(high, 1.0));
    let (low, high) = (one.min(other), one.max(other));
    let size = low.abs().max(high.abs());
    if size < 1.0 / FARTHEST {
        return if high > low { (0.0, 1.0) } else { (-0.5, 0.5) };
    }
    if high - low >= NARROWEST * size {
        return (low, high);
    }
    (low - 0.05 * size, high + 0.05 * size)
}

/// Round values between two ends, at most `n_at_most` of them; by ratios if `is_log` and the ends are above zero.
pub fn round_values(low: f64, high: f64, n_at_most: usize, is_log: bool) -> Vec<f64> {
    let n_at_most = n_at_most.max(2);
    let (low, high) = widened(low, high);
    if is_log && low > 0.0 {
        let by_ratio = round_by_ratio(low, high, n_at_most);
        if by_ratio.len() >= 3 {
            return by_ratio;
        }
    }
    round_by_difference(low, high, n_at_most)
}

/// Slack by which a round value may lie outside because of rounding, as a share of a step.
const SLACK: f64 = 1e-6;

fn round_by_difference(low: f64, high: f64, n_at_most: usize) -> Vec<f64> {
    let smallest = (high - low) / n_at_most as f64;
    let decade = 10f64.powf(smallest.log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0].map(|factor| factor * decade);
    for step in steps {
        let (first, last) = ((low / step - SLACK).ceil(), (high / step + SLACK).floor());
        let n = last - first + 1.0;
        if n <= n_at_most as f64 {
            return std::iter::successors(Some(first), |index| Some(index + 1.0))
                .take_while(|index| *index <= last)
                // Dividing by a whole number keeps 3 · 0.1 from becoming 0.30000000000000004.
                .map(|index| {
                    if step < 1.0 {
                        index / (1.0 / step).round()
                    } else {
                        index * step
                    }
                })
                .collect();
        }
    }
    vec![low, high]
}

/// First digits of round values within a decade, from many to few.
const DIGITS: [&[f64]; 5] = [
    &[1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0],
    &[1.0, 2.0, 3.0, 4.0, 6.0, 8.0],
    &[1.0, 2.0, 5.0],
    &[1.0, 3.0],
    &[1.0],
];

fn round_by_ratio(low: f64, high: f64, n_at_most: usize) -> Vec<f64> {
    let (first, last) = (low.log10().floor(), high.log10().floor());
    if last - first <= 16.0 {
        for digits in DIGITS {
            let values = decades(first, last, 1.0)
                .flat_map(|power| digits.iter().map(move |digit| times_power(*digit, power)))
                .filter(|value| low * (1.0 - SLACK) <= *value && *value <= high * (1.0 + SLACK))
                .collect::<Vec<_>>();
            if values.len() <= n_at_most {
                return values;
            }
        }
    }
    let stride = ((last - first + 1.0) / n_at_most as f64).ceil();
    decades(first, last, stride)
        .map(|power| times_power(1.0, power))
        .filter(|value| *value >= low)
        .collect()
}

fn decades(first: f64, last: f64, stride: f64) -> impl Iterator<Item = f64> {
    std::iter::successors(Some(first), move |power| Some(power + stride))
        .take_while(move |power| *power <= last)
}

/// `digit` times a power of ten, divided rather than multiplied below one so that 2 · 10⁻¹ is the double 0.2.
fn times_power(digit: f64, power: f64) -> f64 {
    if power < 0.0 {
        digit / 10f64.powf(-power)
    } else {
        digit * 10f64.powf(power)
    }
}

/// Values with labels of equal decimals where they are evenly spaced, and as many as each needs otherwise.
fn labelled(values: &[f64], power: i32) -> Vec<Tick> {
    let scaled: Vec<f64> = values
        .iter()
        .map(|value| value / 10f64.powi(power))
        .collect();
    let n_decimals = scaled
        .iter()
        .map(|value| decimals_of(*value))
        .max()
        .unwrap_or(0);
    let steps: Vec<f64> = scaled
        .windows(2)
        .filter_map(|pair| Some(pair.get(1)? - pair.first()?))
        .collect();
    let first = steps.first().copied().unwrap_or(0.0);
    let is_even = steps
        .iter()
        .all(|step| (step - first).abs() <= 1e-9 * first.abs());
    let is_far = |value: &f64| *value != 0.0 && !(1e-4..1e6).contains(&value.abs());
    let needs_powers = scaled.iter().any(is_far);
    let label = |value: f64| match (needs_powers, is_even) {
        (true, _) => with_power(value),
        (false, true) => format_number(value, n_decimals),
        (false, false) => format_number(value, decimals_of(value)),
    };
    values
        .iter()
        .zip(&scaled)
        .map(|(value, scaled)| Tick {
            value: *value,
            label: label(*scaled),
        })
        .collect()
}

/// A value as a first digit times a power of ten.
fn with_power(value: f64) -> String {
    let size = value.abs();
    if size == 0.0 {
        return "0".to_owned();
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the power of ten of a double fits"
    )]
    let power = (size.log10() + 1e-12).floor() as i32;
    let digit = value / 10f64.powi(power);
    let digits = format_number(digit, decimals_of(digit).min(2));
    if digits == "1" {
        format!("10{}", superscript(power))
    } else {
        format!("{digits}·10{}", superscript(power))
    }
}

/// Decimals that a round value needs, at most nine.
fn decimals_of(value: f64) -> usize {
    (0..9)
        .find(|decimals| {
            let shifted = value * 10f64.powi(*decimals);
            (shifted - shifted.round()).abs() <= 1e-6 * shifted.abs().max(1e-3)
        })
        .and_then(|decimals| usize::try_from(decimals).ok())
        .unwrap_or(9)
}

/// A whole number in superscript signs.
pub fn superscript(number: i32) -> String {
    number
        .to_string()
        .chars()
        .map(|sign| match sign {
            '-' => '⁻',
            '1' => '¹',
            '2' => '²',
            '3' => '³',
            '4' => '⁴',
            '5' => '⁵',
            '6' => '⁶',
            '7' => '⁷',
            '8' => '⁸',
            '9' => '⁹',
            _ => '⁰',
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(axis: &Axis, n: usize) -> Vec<String> {
        axis.ticks(n).into_iter().map(|tick| tick.label).collect()
    }

    #[test]
    fn steps_are_one_two_or_five() {
        // Heckbert (1990), worked example of the article: 105 to 543 in five labels has the step 100.
        assert_eq!(
            labels(&Axis::linear("x", "", 105.0, 543.0), 5),
            ["200", "300", "400", "500"]
        );
        assert_eq!(
            labels(&Axis::linear("speed", "m/min", 0.4, 2.8), 6),
            ["0.5", "1.0", "1.5", "2.0", "2.5"]
        );
        assert_eq!(
            labels(&Axis::linear("residual", "%", -12.0, 12.0), 5),
            ["−10", "−5", "0", "5", "10"]
        );
        assert_eq!(
            labels(&Axis::linear("gap", "µm", 100.0, 250.0), 4),
            ["100", "150", "200", "250"]
        );
    }

    #[test]
    fn ratios_get_round_values_of_every_decade() {
        assert_eq!(
            labels(&Axis::log("r", "Ω/sq", 15.0, 90.0), 6),
            ["20", "30", "40", "50", "60", "80"]
        );
        assert_eq!(
            labels(&Axis::log("r", "", 0.1, 1000.0), 5),
            ["0.1", "1", "10", "100", "1000"]
        );
        assert_eq!(
            labels(&Axis::log("r", "", 1e-6, 1.0), 8),
            ["10⁻⁶", "10⁻⁵", "10⁻⁴", "10⁻³", "10⁻²", "10⁻¹", "10⁰"]
        );
        // A short stretch of ratios is divided as differences are.
        assert_eq!(
            labels(&Axis::log("r", "", 10.2, 10.9), 4),
            ["10.2", "10.4", "10.6", "10.8"]
        );
    }

    #[test]
    fn powers_of_ten_go_to_the_heading_in_threes() {
        let large = Axis::linear("modulus", "Pa", 0.0, 2.0e9);
        assert_eq!(large.heading(), "modulus, 10⁹ Pa");
        assert_eq!(labels(&large, 5), ["0.0", "0.5", "1.0", "1.5", "2.0"]);
        let small = Axis::linear("time", "s", 0.0, 0.004);
        assert_eq!(small.heading(), "time, 10⁻³ s");
        assert_eq!(labels(&small, 5), ["0", "1", "2", "3", "4"]);
        assert_eq!(Axis::linear("share", "", 0.0, 1.0).heading(), "share");
    }

    #[test]
    fn every_axis_can_be_drawn() {
        for (low, high) in [
            (0.0, 0.0),
            (5.0, 5.0),
            (3.0, -3.0),
            (f64::NAN, f64::NAN),
            (f64::NEG_INFINITY, f64::INFINITY),
            (1e300, 1e308),
            (1.0, 1.0 + 1e-15),
            (-1e-320, 1e-320),
        ] {
            for axis in [
                Axis::linear("x", "", low, high),
                Axis::log("x", "", low, high),
            ] {
                let ticks = axis.ticks(6);
                assert!(
                    ticks.len() <= 6 && axis.high() > axis.low(),
                    "{low} to {high}: {ticks:?}"
                );
                for tick in ticks {
                    let place = axis.fraction(tick.value).unwrap();
                    assert!(
                        (-1e-6..=1.0 + 1e-6).contains(&place),
                        "{low} to {high}: {tick:?} at {place}"
                    );
                }
            }
        }
    }

    #[test]
    fn places_and_values_are_inverse() {
        for axis in [
            Axis::linear("x", "", -3.0, 7.0),
            Axis::log("x", "", 0.2, 50.0),
        ] {
            for fraction in [0.0, 0.25, 0.5, 1.0, 1.2] {
                let back = axis.fraction(axis.value_at(fraction)).unwrap();
                assert!((back - fraction).abs() < 1e-12);
            }
        }
        assert_eq!(Axis::log("x", "", 1.0, 10.0).fraction(-1.0), None);
        assert_eq!(Axis::linear("x", "", 1.0, 10.0).fraction(f64::NAN), None);
    }

    proptest::proptest! {
        #[test]
        fn ticks_lie_on_the_axis_and_rise(low in -1e9..1e9_f64, width in 1e-6..1e9_f64, n in 2_usize..9) {
            let axis = Axis::linear("x", "", low, low + width);
            let ticks = axis.ticks(n);
            proptest::prop_assert!(ticks.len() <= n);
            proptest::prop_assert!(ticks.windows(2).all(|pair| pair[0].value < pair[1].value));
            proptest::prop_assert!(ticks.windows(2).all(|pair| pair[0].label != pair[1].label));
        }
    }
}
