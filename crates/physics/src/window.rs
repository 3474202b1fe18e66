//! How far speed or film thickness can move before a hard limit of the head breaks.
//!
//! The closed-form limits of the head alone: of a slot die low flow, bead, flooding and wetting failure. The worst of them need not be monotone in the
//! speed, so a logarithmic grid is scanned first and each border is then found by bisection.

use crate::assess::{Basis, Prepared};
use crate::elementary::{exp, ln};
use crate::evaluation::{Drying, Walk, WorstHard};
use crate::head::HeadKind;
use crate::input_error::InputError;
use crate::line::{Line, Setting, Span};
use crate::prepared::Knobs;
use crate::quantity::{Length, Speed};

/// Speeds that are searched [m/s].
const SPEED_REACH: (f64, f64) = (1e-4, 5.0);
/// Wet thicknesses that are searched, in coating gaps.
const THICKNESS_REACH: (f64, f64) = (1e-4, 1e2);
/// Wet thicknesses that are searched where the head itself sets the film, in films of the setting.
const METERED_REACH: (f64, f64) = (1e-2, 1e2);
/// Points of the logarithmic grid.
pub(crate) const GRID_POINTS: usize = 60;
/// Halvings of a border: below 1e-12 relative.
pub(crate) const BORDER_HALVINGS: u32 = 40;

/// Speeds at which the wet thickness of a setting can be coated; see [`Prepared::speed_range`].
///
/// # Errors
/// [`InputError`] names the input that cannot be used.
pub fn speed_range(line: &Line, setting: &Setting) -> Result<Option<Span<Speed>>, InputError> {
    Prepared::new(line, &Basis::default())?.speed_range(setting)
}

/// Wet thicknesses that can be coated at the speed and gap of a setting; see [`Prepared::thickness_range`].
///
/// # Errors
/// [`InputError`] names the input that cannot be used.
pub fn thickness_range(line: &Line, setting: &Setting) -> Result<Option<Span<Length>>, InputError> {
    Prepared::new(line, &Basis::default())?.thickness_range(setting)
}

impl Prepared {
    /// Speeds at which the wet thickness of a setting can be coated, about the set speed; if that lies outside, the nearest
    /// such stretch. The knob that sets the wet thickness moves along, all others stay. `None` if there is none or an
    /// essential input is missing. An end at 1e-4 or 5 m/s is the end of the search, not of the window.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn speed_range(&self, setting: &Setting) -> Result<Option<Span<Speed>>, InputError> {
        let knobs = self.knobs(setting)?;
        let (Some(speed), Ok(wet)) = (knobs.speed, self.values().wet_thickness(&knobs)) else {
            return Ok(None);
        };
        let margin = |v: f64| {
            let knobs = Knobs {
                speed: Some(v),
                ..knobs
            };
            self.window_margin_of_film(&knobs, wet)
        };
        let range = stretch(margin, SPEED_REACH, speed);
        Ok(range.map(|(least, greatest)| Span {
            least: Speed::from_m_per_s(least),
            greatest: Speed::from_m_per_s(greatest),
        }))
    }

    /// Wet thicknesses that can be coated at the speed of a setting, and on a slot die at its gap, about its own; if that
    /// lies outside, the nearest such stretch. `None` if there is none or an essential input is missing.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn thickness_range(&self, setting: &Setting) -> Result<Option<Span<Length>>, InputError> {
        let knobs = self.knobs(setting)?;
        let Ok(wet) = self.values().wet_thickness(&knobs) else {
            return Ok(None);
        };
        let (unit, reach) = match self.line().head.kind() {
            HeadKind::SlotDie => match knobs.head.gap {
                Some(gap) => (gap, THICKNESS_REACH),
                None => return Ok(None),
            },
            HeadKind::Knife | HeadKind::WireBar | HeadKind::Gravure | HeadKind::Flexo => {
                (wet, METERED_REACH)
            }
        };
        let margin = |t: f64| self.window_margin_of_film(&knobs, t);
        let range = stretch(margin, (reach.0 * unit, reach.1 * unit), wet);
        Ok(range.map(|(least, greatest)| Span {
            least: Length::from_m(least),
            greatest: Length::from_m(greatest),
        }))
    }

    /// Worst hard margin of the head with its usual knob moved to a wet thickness \[m\]; `None` if an essential input is
    /// missing.
    fn window_margin_of_film(&self, knobs: &Knobs, wet: f64) -> Option<f64> {
        let kind = self.line().head.kind();
        self.window_margin(&self.values().knobs_for_wet_thickness(knobs, kind, wet)?)
    }

    /// Worst hard margin of the head; `None` if an essential input is missing.
    fn window_margin(&self, knobs: &Knobs) -> Option<f64> {
        Walk::new(
            self.values(),
            &self.basis().calibration,
            knobs,
            Drying::LeaveOut,
            WorstHard::default(),
        )
        .head_margin()
    }
}

/// The stretch about `at`, or nearest to it, where the margin is not negative; its ends within the reach.
fn stretch(
    margin: impl Fn(f64) -> Option<f64>,
    (least, greatest): (f64, f64),
    at: f64,
) -> Option<(f64, f64)> {
    let holds = |x: f64| margin(x).is_some_and(|m| m >= 0.0);
    let grid = || logarithmic_grid(least, greatest);
    if holds(at) {
        let below = grid().rev().filter(|x| *x < at);
        let above = grid().filter(|x| *x > at);
        return Some((edge(holds, at, below), edge(holds, at, above)));
    }
    let distance = |x: f64| ln(x / at).abs();
    let nearest = grid()
        .filter(|x| holds(*x))
        .min_by(|a, b| distance(*a).total_cmp(&distance(*b)))?;
    let below = grid().rev().filter(|x| *x < nearest);
    let above = grid().filter(|x| *x > nearest);
    Some((edge(holds, nearest, below), edge(holds, nearest, above)))
}

/// Points between two ends, both among them, at equal ratios.
pub(crate) fn logarithmic_grid(least: f64, greatest: f64) -> impl DoubleEndedIterator<Item = f64> {
    let step = ln(greatest / least) / (GRID_POINTS - 1) as f64;
    (0..GRID_POINTS).map(move |i| {
        if i + 1 == GRID_POINTS {
            greatest
        } else {
            least * exp(step * i as f64)
        }
    })
}

/// Walks outwards from a point that holds; returns the border before the first point that does not, or the last point.
fn edge(holds: impl Fn(f64) -> bool, from: f64, outwards: impl Iterator<Item = f64>) -> f64 {
    let mut inside = from;
    for point in outwards {
        if !holds(point) {
            let mut outside = point;
            for _ in 0..BORDER_HALVINGS {
                let middle = (inside * outside).sqrt();
                if holds(middle) {
                    inside = middle;
                } else {
                    outside = middle;
                }
            }
            return inside;
        }
        inside = point;
    }
    inside
}
