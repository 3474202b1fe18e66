//! Film that a moving web draws from a pool or from a meniscus (section 4.6): a cross-check of what menisci of heads leave.

use std::f64::consts::SQRT_2;

use crate::elementary::two_thirds_power;
use crate::quantity::{Density, Length, SurfaceTension};
use crate::slot_die::LANDAU_LEVICH;
use crate::wetting::capillary_length;

/// Film that a meniscus of a radius leaves, `1.34 r Ca^(2/3)`.
///
/// # Validity
/// Small capillary numbers; the film much thinner than the radius.
///
/// # Source
/// Landau & Levich (1942), quoted from memory.
pub fn film_of_meniscus(radius: Length, capillary_number: f64) -> Length {
    Length::from_m(LANDAU_LEVICH * radius.m() * two_thirds_power(capillary_number))
}

/// Film on a plate drawn up from a pool, the law of [`film_of_meniscus`] for the radius of a meniscus on a wall, the
/// capillary length over √2; 0.944 of the capillary length and `Ca^(2/3)` in textbooks.
///
/// # Validity
/// Vertical plate, wetting liquid, capillary numbers below about 0.01.
///
/// # Source
/// Landau & Levich (1942), as quoted in Deen, Analysis of Transport Phenomena.
pub fn film_of_dipped_plate(
    surface_tension: SurfaceTension,
    density: Density,
    capillary_number: f64,
) -> Length {
    let radius = capillary_length(surface_tension, density).m() / SQRT_2;
    film_of_meniscus(Length::from_m(radius), capillary_number)
}
