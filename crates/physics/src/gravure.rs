//! Film that an engraved roll hands to the web (eq 2.4), and how its cells empty, fill and dry in.

use crate::elementary::pow;
use crate::quantity::{CellVolume, Length, Viscosity};

/// Capillary number up to which kiss coating with a forward roll is stable (Benkreira & Cohu 1998, Chem. Eng. Sci.,
/// abstract; also below 20 m/min).
pub const GREATEST_KISS_CAPILLARY_NUMBER: f64 = 0.02;
/// Capillary numbers between which a pressed nip prints well, best near 1 (Kitsomboonloha et al. 2012, Langmuir, quoted from
/// memory, unverified).
pub const NIP_CAPILLARY_NUMBERS: (f64, f64) = (0.01, 10.0);
/// Share of the liquid in the cells that may evaporate before the nip.
pub const GREATEST_LOSS_IN_CELLS: f64 = 0.05;
/// Viscosities that engraved rolls are used for, "a few to several thousand" mPa·s (trade article).
pub const VISCOSITIES: (Viscosity, Viscosity) =
    (Viscosity::from_mpa_s(3.0), Viscosity::from_mpa_s(5000.0));

/// How the share of the cells that is picked out falls with the capillary number, `f = f₀ (Ca/Ca₀)^(−b)`, fitted to one's own
/// runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PickoutFall {
    /// Exponent b.
    pub exponent: f64,
    /// Capillary number Ca₀ at which the share was measured.
    pub reference_capillary_number: f64,
}

/// Share of the cell volume that reaches the web; never more than all of it.
pub fn pickout(at_reference: f64, fall: Option<PickoutFall>, capillary_number: f64) -> f64 {
    let share = match fall {
        Some(fall) => {
            at_reference
                * pow(
                    capillary_number / fall.reference_capillary_number,
                    -fall.exponent,
                )
        }
        None => at_reference,
    };
    share.min(1.0)
}

/// Wet thickness from the cells, the share that is picked out and the speed of the roll over that of the web (eq 2.4).
pub fn wet_thickness(cells: CellVolume, pickout: f64, speed_ratio: f64) -> Length {
    Length::from_m(pickout * cells.m3_per_m2() * speed_ratio)
}

/// Share of the liquid in the cells that evaporates on the way from doctor blade to nip, from the flux [kg/(m²·s)], the time
/// \[s\] and the density [kg/m³] of the ink.
pub fn loss_in_cells(flux: f64, time_s: f64, density: f64, cells: CellVolume) -> f64 {
    flux * time_s / (density * cells.m3_per_m2())
}
