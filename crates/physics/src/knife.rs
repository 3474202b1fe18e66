//! Film that a knife, a comma bar or a blade leaves on the web (eqs 4.1 and 4.2): a share of the gap, set by the shape of
//! the knife.

use std::f64::consts::PI;

use crate::physical_constants::STANDARD_GRAVITY;
use crate::quantity::{Density, Length, Pressure, Speed, Viscosity};

/// Film over gap of plain drag flow, for any flow law (derived).
pub const DRAG_FLOW_RATIO: f64 = 0.5;
/// Flow through the nip of a round knife over a moving web in units of `UH/2`, from lubrication flow that ends where
/// pressure and its gradient vanish (Swift and Stieber; 1.226 in the literature, quoted from memory).
pub const ROUND_KNIFE_FLOW: f64 = 1.225_8;
/// The same flow as measured for splitting films (Coyle, Macosko & Scriven 1986, quoted from memory, unverified).
pub const MEASURED_ROUND_KNIFE_FLOW: f64 = 1.3;
/// Share of the drag flow that the head of the bank may add (common practice).
pub const GREATEST_BANK_SHARE: f64 = 0.1;
/// Particle sizes that must fit into the gap (common practice).
pub const PARTICLES_ACROSS_GAP: f64 = 3.0;
/// Viscosities that a knife is used for (common practice); thinner inks run out under the bank.
pub const VISCOSITIES: (Viscosity, Viscosity) =
    (Viscosity::from_pa_s(0.05), Viscosity::from_pa_s(50.0));

/// Film over gap of a straight wedge of an inlet gap over exit gap `K`, `K/(K + 1)` (eq 4.2): 0.5 of a parallel land to 1.
pub fn wedge_ratio(inlet_gap_ratio: f64) -> f64 {
    inlet_gap_ratio / (inlet_gap_ratio + 1.0)
}

/// Pressure at the foot of a bank of ink.
pub fn bank_pressure(density: Density, bank_height: Length) -> Pressure {
    Pressure::from_pa(density.kg_per_m3() * STANDARD_GRAVITY * bank_height.m())
}

/// Length of parallel land that passes as much pressure flow as a round knife of a radius at a gap, `(3π/8)√(2RH)`
/// (derived from the parabola that stands in for the circle).
pub fn land_of_round_knife(radius: Length, gap: Length) -> Length {
    Length::from_m(0.375 * PI * (2.0 * radius.m() * gap.m()).sqrt())
}

/// A land between knife and web with a bank in front.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KnifeLand {
    /// Length along the web.
    pub length: Length,
    /// Pressure of the bank at its entrance.
    pub bank_pressure: Pressure,
}

impl KnifeLand {
    /// What the bank's pressure adds to the film, over what drag alone lays down (eq 4.1).
    pub fn bank_share(&self, gap: Length, viscosity: Viscosity, speed: Speed) -> f64 {
        let h = gap.m();
        h * h * self.bank_pressure.pa()
            / (6.0 * viscosity.pa_s() * speed.m_per_s() * self.length.m())
    }

    /// Film over gap under a parallel land, `1/2 + H²Δp/(12μUL)` (eq 4.1, Couette and Poiseuille flow).
    pub fn film_over_gap(&self, gap: Length, viscosity: Viscosity, speed: Speed) -> f64 {
        DRAG_FLOW_RATIO * (1.0 + self.bank_share(gap, viscosity, speed))
    }
}
