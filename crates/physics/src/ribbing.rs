//! Ribs along the web where a film splits between two surfaces that open up (eq 4.9).

use crate::elementary::pow;
use crate::quantity::Length;

/// Coefficient of [`pitts_greiller`], quoted from memory, unverified.
pub const PITTS_GREILLER: f64 = 28.0;
/// Coefficient of [`mill_south`], quoted from memory, unverified.
pub const MILL_SOUTH: f64 = 10.3;
/// Exponent of [`mill_south`], quoted from memory, unverified.
const MILL_SOUTH_EXPONENT: f64 = 0.75;
/// Distance between ribs in wet thicknesses, 10 to 20 (common practice).
pub const RIB_SPACING_FILMS: f64 = 15.0;

/// Capillary number above which two rigid rolls rib, `28 H₀/D` of gap over diameter (eq 4.9).
///
/// # Source
/// Pitts & Greiller (1961), J. Fluid Mech. 11, 33, quoted from memory, unverified.
pub fn pitts_greiller(gap: Length, roll_radius: Length) -> f64 {
    0.5 * PITTS_GREILLER * gap.m() / roll_radius.m()
}

/// Capillary number above which two rigid rolls rib, `10.3 (H₀/R)^(3/4)` of gap over radius (eq 4.9).
///
/// # Source
/// Mill & South (1967), J. Fluid Mech. 28, 523, quoted from memory, unverified.
pub fn mill_south(gap: Length, roll_radius: Length) -> f64 {
    MILL_SOUTH * pow(gap.m() / roll_radius.m(), MILL_SOUTH_EXPONENT)
}

/// Capillary number above which ribs are expected: the smaller of both fits.
///
/// # Validity
/// Rigid forward rolls; ribs of small amplitude are measured at much lower capillary numbers (Coyle et al. 1990, abstract).
pub fn critical_capillary_number(gap: Length, roll_radius: Length) -> f64 {
    pitts_greiller(gap, roll_radius).min(mill_south(gap, roll_radius))
}
