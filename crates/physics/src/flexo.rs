//! Film that a flexo unit prints (eq 2.5), and how a film splits between two rolls (eq 4.8).

use crate::elementary::pow;
use crate::quantity::{CellVolume, Length, Viscosity};

/// Exponent of [`film_split_ratio`].
const SPLIT_EXPONENT: f64 = 0.65;
/// Lines of the anilox to one line of the plate, 4 to 5 (common practice).
pub const ANILOX_LINES_TO_PLATE: f64 = 4.5;
/// Impression between plate and foil, 50 to 100 µm (common practice).
pub const GREATEST_IMPRESSION: Length = Length::from_um(100.0);
/// Viscosities that flexo inks have on the machine (common practice).
pub const VISCOSITIES: (Viscosity, Viscosity) =
    (Viscosity::from_mpa_s(50.0), Viscosity::from_mpa_s(500.0));

/// Ink on its way from the cells to the foil.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Transfer {
    /// Share of the cell volume that goes to the plate.
    pub to_plate: f64,
    /// Share of the plate's film that goes to the foil.
    pub to_foil: f64,
    /// Share of the area that prints.
    pub printed_share: f64,
}

impl Transfer {
    /// Wet thickness from the cells of the anilox, averaged over printed and bare area (eq 2.5).
    pub fn wet_thickness(&self, cells: CellVolume) -> Length {
        Length::from_m(cells.m3_per_m2() * self.to_plate * self.to_foil * self.printed_share)
    }

    /// Cell volume of the anilox for a wet thickness.
    pub fn cells_for_wet_thickness(&self, wet_thickness: Length) -> CellVolume {
        CellVolume::from_m3_per_m2(
            wet_thickness.m() / (self.to_plate * self.to_foil * self.printed_share),
        )
    }
}

/// Film on the faster of two forward rolls over that on the slower, from the ratio of their speeds, `S^0.65` (eq 4.8).
///
/// # Validity
/// Gap over radius below 0.001, capillary number above 0.1.
///
/// # Source
/// Coyle, Macosko & Scriven (1986), J. Fluid Mech. 171, 183, abstract.
pub fn film_split_ratio(speed_ratio: f64) -> f64 {
    pow(speed_ratio, SPLIT_EXPONENT)
}
