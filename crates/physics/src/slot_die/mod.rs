//! The coating window of a slot die: pressure balance through the bead, and the thinnest and thickest film it allows.
//!
//! Two-dimensional, steady, Newtonian lubrication flow, feed slot between the two lips, downstream meniscus pinned at
//! the edge of the downstream lip. Capillary limits after Ruschak (1976), Chem. Eng. Sci. 31, 1057; viscous and
//! capillary bounds after Higgins & Scriven (1980), Chem. Eng. Sci. 35, 673; the equations are derived again in
//! `docs/methods.md`. Valid for gaps much smaller than the lips, gap Reynolds numbers below about 10 and capillary
//! numbers below 0.1; trends hold to about 1.

use crate::quantity::Length;

mod bead;
mod hot_gap;
pub(crate) mod lanes;
mod low_flow;

pub use bead::{BeadAngles, BeadGeometry, CoatingBead, LANDAU_LEVICH};
pub(crate) use bead::{BeadCosines, FilmFraction, Lips, RawBead};
pub use hot_gap::{GrowingBody, STEEL_EXPANSION_PER_K, hot_gap};
pub use low_flow::thinnest_film;
pub(crate) use low_flow::thinnest_film_m;

/// Thinnest film of a gap \[m\] without a vortex under the downstream lip (eq 1.15).
pub(crate) const fn thinnest_without_vortex_m(gap: f64) -> f64 {
    gap / 3.0
}

/// Least gap that an error leaves \[m\]; there the lips touch.
const TOUCHING_GAP: f64 = 1e-9;

/// Upstream gap \[m\] of a coating gap that is off by an error: the error moves both lips alike, whatever the ratio of the
/// gaps.
#[expect(
    clippy::inline_always,
    reason = "loops over many settings are vectorized through it"
)]
#[inline(always)]
pub(crate) fn upstream_gap(ratio: f64, gap: f64, error: f64) -> f64 {
    (ratio * (gap - error) + error).max(TOUCHING_GAP)
}

/// Largest capillary number at which the window equations are trusted in number (common practice).
pub const GREATEST_CAPILLARY_NUMBER: f64 = 0.1;
/// Largest gap Reynolds number at which inertia may be left out (common practice).
pub const GREATEST_GAP_REYNOLDS_NUMBER: f64 = 10.0;
/// Largest ratio of the viscosities in gap and film at which one viscosity will do (common practice).
pub const GREATEST_VISCOSITY_RATIO: f64 = 2.0;
/// Multiple of the plunging-tape speed at which a coating bead entrains air (common practice; slurries have been run at
/// 3.5 times that speed).
pub const WETTING_ASSISTANCE: f64 = 5.0;
/// Particle sizes that must fit into the gap and the feed slot (common practice; five to ten are wanted).
pub const PARTICLES_ACROSS_GAP: f64 = 3.0;
/// Least gap that must be left hot of one set cold (common practice).
pub const LEAST_HOT_GAP: Length = Length::from_um(20.0);
/// Wet thicknesses that the feed slot may be high (Sartor as quoted in a coating handbook, quoted from memory,
/// unverified).
pub const FEED_SLOT_FILMS: f64 = 5.0;
