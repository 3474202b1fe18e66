//! Film that a wire-wound bar leaves: the grooves between its turns (eq 4.3).

use std::f64::consts::PI;

use crate::quantity::{Length, Viscosity};

/// Film over wire diameter of a tightly wound bar whose grooves empty onto the web, `1/2 − π/8` (eq 4.3, derived).
pub const GROOVE_RATIO: f64 = 0.5 - PI / 8.0;
/// Film over wire diameter in suppliers' charts; a trade page gives 0.08 as real beside 0.107 of the geometry.
pub const CHART_RATIO: f64 = 0.09;
/// Wire diameters of which a particle must be smaller (common practice).
pub const PARTICLES_ACROSS_WIRE: f64 = 6.0;
/// Feed over what the web carries off that keeps the bar flooded (common practice).
pub const FEED_SURPLUS: f64 = 1.2;
/// Viscosities that wire-wound bars are used for (trade page).
pub const VISCOSITIES: (Viscosity, Viscosity) =
    (Viscosity::from_mpa_s(1.0), Viscosity::from_mpa_s(1000.0));

/// Cross-section of one groove between two turns \[m²\].
pub fn groove_area_m2(wire_diameter: Length) -> f64 {
    GROOVE_RATIO * wire_diameter.m() * wire_diameter.m()
}

/// Wet thickness of a bar, from the film that it leaves over its wire diameter.
pub fn wet_thickness(wire_diameter: Length, film_over_wire: f64) -> Length {
    Length::from_m(film_over_wire * wire_diameter.m())
}

/// Wire diameter for a wet thickness.
pub fn wire_for_wet_thickness(wet_thickness: Length, film_over_wire: f64) -> Length {
    Length::from_m(wet_thickness.m() / film_over_wire)
}

/// The wire of a set of bars whose film comes nearest to a wanted one; the thinner of two equally near. `None` of an empty
/// set.
pub fn nearest_wire(wires: &[Length], film_over_wire: f64, wanted: Length) -> Option<Length> {
    let miss = |wire: Length| (wet_thickness(wire, film_over_wire).m() - wanted.m()).abs();
    wires
        .iter()
        .copied()
        .min_by(|a, b| miss(*a).total_cmp(&miss(*b)).then(a.m().total_cmp(&b.m())))
}
