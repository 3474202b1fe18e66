//! The thinnest film for any vacuum: the downstream meniscus cannot curve more than a half circle across the free height.

use super::bead::{FilmFraction, LANDAU_LEVICH};
use crate::elementary::two_thirds_power;
use crate::quantity::Length;

/// Share of the gap at which the limit is capped at high capillary number, where it depends on the gap alone (Lee, Liu &
/// Yu 1992, Chem. Eng. Sci. 47, 1703: 0.6 to 0.7, quoted from memory, unverified). The two meet at a capillary number of
/// 4.6, far outside the range of the model; the cap only keeps extreme inputs finite.
const GREATEST_SHARE_OF_GAP: f64 = 0.65;

/// Thinnest wet film of a gap at a capillary number, `H/(1 + 2/(1.34 Ca^(2/3)))` (eq 3.10).
///
/// # Validity
/// Capillary numbers up to about 0.1; capped at 0.65 of the gap.
///
/// # Source
/// Carvalho & Kheshgi (2000), `AIChE` J. 46, 1907, quoted from memory, unverified; there `Ca = 0.65 [2/(H/t − 1)]^(3/2)`.
pub fn thinnest_film(gap: Length, capillary_number: f64) -> Length {
    Length::from_m(thinnest_film_m(gap.m(), two_thirds_power(capillary_number)))
}

pub(crate) fn thinnest_film_m(gap: f64, capillary_number_two_thirds: f64) -> f64 {
    thinnest_film_fraction(gap, capillary_number_two_thirds).m()
}

/// As [`thinnest_film_m`], without the division.
#[expect(
    clippy::inline_always,
    reason = "loops over many settings are vectorized through it"
)]
#[inline(always)]
pub(crate) fn thinnest_film_fraction(gap: f64, capillary_number_two_thirds: f64) -> FilmFraction {
    let suction = LANDAU_LEVICH * capillary_number_two_thirds;
    // H/(1 + 2/s) written as H·s/(s + 2), which holds at s = 0 as well.
    if suction < GREATEST_SHARE_OF_GAP * (suction + 2.0) {
        FilmFraction {
            over: gap * suction,
            under: suction + 2.0,
        }
    } else {
        FilmFraction {
            over: GREATEST_SHARE_OF_GAP * gap,
            under: 1.0,
        }
    }
}
