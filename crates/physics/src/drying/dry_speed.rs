//! The highest speed at which a film still leaves dry.

use super::DryingCase;
use crate::elementary::{exp, ln};
use crate::quantity::Speed;

/// Slowest and fastest web that [`DryingCase::dry_speed`] considers [m/s].
pub const DRY_SPEED_REACH: (f64, f64) = (1e-4, 2.0);
/// Halvings of the logarithm of speed between both ends of the reach that make the grid: 1.5e-4 relative.
const HALVINGS: u32 = 16;
/// Guesses of the dry speed before its bracket is halved instead (chosen by trial: five or six are enough nearly always).
const GUESSES: u32 = 8;
/// Share of a step of the grid that the answer stays on the dry side of what is interpolated, so that the film is dry there.
const DRY_SIDE: f64 = 1e-3;
/// Last relative step of an estimate of the dry speed, whose error is a small part of that (tested; common choice).
const ESTIMATE_STEP: f64 = 5e-3;
/// Highest place on the grid of speeds.
const GRID_TOP: i32 = 1 << HALVINGS;

/// The answer of [`DryingCase::dry_speed`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DrySpeed {
    /// Highest speed at which the film leaves dry.
    At(Speed),
    /// Dry even at the top of [`DRY_SPEED_REACH`].
    BeyondReach,
    /// Not dry even at the bottom of [`DRY_SPEED_REACH`]: the gas is too cold or too loaded at any speed.
    Never,
}

impl DrySpeed {
    /// The speed, or the end of the reach.
    pub const fn speed(self) -> Speed {
        match self {
            Self::At(speed) => speed,
            Self::BeyondReach => Speed::from_m_per_s(DRY_SPEED_REACH.1),
            Self::Never => Speed::from_m_per_s(DRY_SPEED_REACH.0),
        }
    }
}

/// How a march ended.
#[derive(Debug, Clone, Copy)]
pub(super) enum DryOutcome {
    /// Dry some time after the head \[s\].
    Dry { after: f64 },
    /// Still wet at the end; how long it would take at the last rate \[s\].
    Wet { lacking: f64 },
}

/// Speed at a place of the logarithmic grid [m/s].
fn grid_speed(place: i32) -> f64 {
    speed_between(place, 0.0)
}

/// Speed at a share of the way from a place of the grid to the next [m/s].
fn speed_between(place: i32, share: f64) -> f64 {
    let (slowest, fastest) = DRY_SPEED_REACH;
    let at = f64::from(place) + share;
    slowest * exp(ln(fastest / slowest) * at / f64::from(GRID_TOP))
}

/// Where between two neighbouring places, the first dry with time to spare and the next lacking some, the film just dries: so
/// that the answer does not jump from place to place while the film changes.
fn share_of_cell(spare: f64, lacking: f64) -> f64 {
    let whole = spare - lacking;
    if spare >= 0.0 && lacking <= 0.0 && whole > 0.0 {
        (spare / whole - DRY_SIDE).max(0.0)
    } else {
        0.0
    }
}

/// Highest place whose speed is not above the given one, within the grid.
fn grid_place(speed: f64) -> i32 {
    let (slowest, fastest) = DRY_SPEED_REACH;
    let place =
        ln(speed.clamp(slowest, fastest) / slowest) / ln(fastest / slowest) * f64::from(GRID_TOP);
    #[expect(
        clippy::cast_possible_truncation,
        reason = "the place lies within the grid"
    )]
    let place = place.floor() as i32;
    place.clamp(0, GRID_TOP)
}

impl DryingCase {
    /// Highest speed at which the film leaves the last zone dry (section 6.4 of `docs/methods.md`): bracketed on a logarithmic
    /// grid of 1.5e-4 and interpolated between its two places.
    ///
    /// The residual falls with the time spent, so that the border can be bracketed. Each march also tells how much time was
    /// to spare or lacking, and the next speed is taken from that; a bracket that guesses do not close is halved.
    pub fn dry_speed(&self) -> DrySpeed {
        self.dry_speed_from(GRID_TOP / 2)
    }

    /// As [`Self::dry_speed`], with the search begun at a speed that is thought to be near.
    pub fn dry_speed_near(&self, near: Speed) -> DrySpeed {
        self.dry_speed_from(grid_place(near.m_per_s()))
    }

    /// As [`Self::dry_speed_near`] without its grid, in three or four marches: the speed at which the last zone lasts as long as
    /// the film needed in it, by secants. Within 2e-3 of the grid, less than what the steps of the march cost.
    pub(crate) fn dry_speed_estimate(&self, near: Speed) -> DrySpeed {
        let (slowest, fastest) = DRY_SPEED_REACH;
        let mut speed = near.m_per_s().clamp(slowest, fastest);
        let mut before: Option<(f64, f64)> = None;
        for _ in 0..GUESSES {
            let at = ln(speed);
            let better = ln(self.better_speed(speed, self.outcome_at(speed)));
            let slope = before.map_or(0.0, |(x, y)| (better - y) / (at - x));
            // Where the answer hardly depends on the guess, or on nothing else, the answer is the next guess.
            let next = if slope.abs() < 0.9 {
                at + (better - at) / (1.0 - slope)
            } else {
                better
            };
            speed = exp(next);
            // Beyond the reach, and where the film never dries, the grid has the answer.
            if !(slowest < speed && speed < fastest) {
                break;
            }
            if (next - at).abs() < ESTIMATE_STEP {
                return DrySpeed::At(Speed::from_m_per_s(speed));
            }
            before = Some((at, better));
        }
        self.dry_speed_near(Speed::from_m_per_s(speed.clamp(slowest, fastest)))
    }

    fn dry_speed_from(&self, first: i32) -> DrySpeed {
        let (mut dry, mut wet) = (-1, GRID_TOP + 1);
        let mut next = first;
        let mut n_marches = 0;
        // How far the better speed lies from the speed that was marched, as a logarithm, at both ends of the bracket.
        let (mut spare, mut lacking) = (0.0, 0.0);
        while wet - dry > 1 {
            let speed = grid_speed(next);
            let outcome = self.outcome_at(speed);
            let better = self.better_speed(speed, outcome);
            match outcome {
                DryOutcome::Dry { .. } => (dry, spare) = (next, ln(better / speed)),
                DryOutcome::Wet { .. } => (wet, lacking) = (next, ln(better / speed)),
            }
            n_marches += 1;
            let wanted = if n_marches >= GUESSES {
                i32::midpoint(dry, wet)
            } else {
                grid_place(better)
            };
            next = wanted.max(dry + 1).min(wet - 1);
        }
        match dry {
            -1 => DrySpeed::Never,
            GRID_TOP => DrySpeed::BeyondReach,
            place => {
                let share = share_of_cell(spare, lacking);
                DrySpeed::At(Speed::from_m_per_s(speed_between(place, share)))
            }
        }
    }

    /// Speed at which the last zone lasts just as long as the film needed in it.
    fn better_speed(&self, speed: f64, outcome: DryOutcome) -> f64 {
        let (path, last) = (self.path(), self.last_length());
        let in_last = match outcome {
            DryOutcome::Dry { after } => after - (path - last) / speed,
            DryOutcome::Wet { lacking } => last / speed + lacking,
        };
        if in_last > 0.0 {
            last / in_last
        } else {
            DRY_SPEED_REACH.1
        }
    }
}
