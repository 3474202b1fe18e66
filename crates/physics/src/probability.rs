//! The chance that a setting can be coated, given how well its inputs are known.
//!
//! A margin of +0.06 means little while the viscosity is known to 10 %. Here many lines are drawn that the stated one may
//! really be ([`InputErrors`]), each with its knobs off by a little, and a setting is judged on all of them
//! ([`Chances`]). The draws are evenly spread and the same for every setting, so that chances change smoothly from setting to
//! setting and from one edit to the next; the seed alone decides them. [`InputErrors::first_order`] gives the chances of the
//! limits by propagation of errors instead, as a cross-check, and says which input the doubt comes from.
//!
//! Spans of the machine are judged as they are set, for a knob can be set to the end of its span whatever it then does.
//! Cautions have no chance: they are warnings, and no chance of this module says that anything is safe or permitted.
//!
//! # Source
//! Eqs 10.1 and 10.2 of `docs/methods.md`.

use arrayvec::ArrayVec;
use thiserror::Error;

use crate::dry_speed_table::TableError;
use crate::input_error::InputError;
use crate::limit::{LimitId, MAX_LIMITS, Verdict};

mod bead_lanes;
mod draws;
mod drying_response;
mod first_order;
mod shading;

pub use crate::input_errors::{ErrorSource, InputErrors};
pub use draws::Chances;
pub use drying_response::{DryingResponse, RESPONSE_ERROR};
pub use first_order::{FirstOrder, FirstOrderLimit};
pub use shading::Shade;

/// Draws that shade a chart while it is dragged.
pub const CHART_DRAWS: u32 = 256;
/// Draws for the screen.
pub const SCREEN_DRAWS: u32 = 2048;
/// Draws for a report.
pub const REPORT_DRAWS: u32 = 16_384;
/// Most draws that are taken.
pub const GREATEST_DRAWS: u32 = 1 << 16;

/// Why there is no chance.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum ChanceError {
    /// A knob cannot be used.
    #[error(transparent)]
    Input(#[from] InputError),
    /// Dry speeds of the drawn lines cannot be interpolated.
    #[error(transparent)]
    Table(#[from] TableError),
    /// No draws, or too many.
    #[error("a chance takes 1 to {GREATEST_DRAWS} draws, not {n_draws}")]
    NumberOfDraws {
        /// Draws asked for.
        n_draws: u32,
    },
    /// Not as many places for shades as settings.
    #[error("{n_settings} settings need as many shades, not {n_shades}")]
    Lengths {
        /// Settings.
        n_settings: usize,
        /// Places for their shades.
        n_shades: usize,
    },
    /// A setting outside the range of the dryer's response, or a response made of fewer draws.
    #[error("the setting lies outside the range that the dryer's response was made for")]
    BeyondResponse,
    /// The caller said stop.
    #[error("stopped")]
    Stopped,
}

/// How a chance reads. Never "go": cautions are not in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Likelihood {
    /// Below 50 %.
    Unlikely,
    /// 50 to 95 %.
    Risky,
    /// 95 % and more.
    Likely,
}

/// Least chance that is called likely, and least that is called risky (common practice).
const LIKELY: f64 = 0.95;
const RISKY: f64 = 0.5;

impl Likelihood {
    /// The band of a chance.
    pub fn of(chance: f64) -> Self {
        if chance >= LIKELY {
            Self::Likely
        } else if chance >= RISKY {
            Self::Risky
        } else {
            Self::Unlikely
        }
    }

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Unlikely => "unlikely",
            Self::Risky => "risky",
            Self::Likely => "likely",
        }
    }

    /// Plain words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Unlikely => "Unlikely to work",
            Self::Risky => "Risky",
            Self::Likely => "Likely to work",
        }
    }
}

/// The chance that one limit breaks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitChance {
    /// Which limit, hard or soft.
    pub id: LimitId,
    /// Share of the draws in which it breaks.
    pub fails: f64,
}

/// The chances of one setting.
#[derive(Debug, Clone, PartialEq)]
pub struct Chance {
    /// Share of the draws in which every evaluated hard limit holds.
    pub all_hold: f64,
    /// Standard error of `all_hold`, `√(P(1 − P)/N)`: that of independent draws. Evenly spread ones do better, so that this
    /// is an upper end.
    pub standard_error: f64,
    /// Number of draws.
    pub n_draws: u32,
    /// Every evaluated hard and soft limit, in the order of evaluation.
    pub limits: ArrayVec<LimitChance, MAX_LIMITS>,
}

impl Chance {
    /// The band that the chance falls in.
    pub fn likelihood(&self) -> Likelihood {
        Likelihood::of(self.all_hold)
    }

    /// Share of the draws in which a limit breaks, or `None` if it was not evaluated.
    pub fn fails(&self, id: LimitId) -> Option<f64> {
        let limit = self.limits.iter().find(|limit| limit.id == id);
        limit.map(|limit| limit.fails)
    }

    /// The verdict in the light of the chance: what looked feasible is marginal below 95 %.
    #[must_use]
    pub fn temper(&self, verdict: Verdict) -> Verdict {
        match verdict {
            Verdict::Feasible if self.all_hold < LIKELY => Verdict::Marginal,
            Verdict::Feasible | Verdict::Marginal | Verdict::Infeasible | Verdict::Unknown => {
                verdict
            }
        }
    }
}
