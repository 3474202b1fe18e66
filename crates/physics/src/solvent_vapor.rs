//! Solvent vapour, its dilution, and its explosive and exposure limits (eqs 9.1 to 9.4). Estimates only: local codes and
//! licensed practice prevail.

use crate::physical_constants::{GAS_CONSTANT, STANDARD_PRESSURE};
use crate::quantity::{Density, Fraction, Temperature, Volume, VolumeFlow};
use crate::solvent::Solvent;

/// Temperature at which fresh gas and vapour are counted unless stated otherwise (21 °C, common practice).
pub const FRESH_GAS_TEMPERATURE: Temperature = Temperature::from_deg_c(21.0);
/// Share of the lower explosive limit that ovens are designed for (trade summaries of the oven standard).
pub const DESIGN_SHARE: f64 = 0.25;
/// Span from 25 °C to where the lower explosive limit is taken to reach zero \[K\]: 1300 °C (Burgess & Wheeler).
pub const BURGESS_WHEELER_SPAN_K: f64 = 1275.0;
/// The careful span: some fuels behave as if the limit reached zero at 900 °C (same discussion).
pub const CAREFUL_SPAN_K: f64 = 875.0;

/// Molar volume of an ideal gas at one atmosphere [m³/mol].
fn molar_volume(temperature: Temperature) -> f64 {
    GAS_CONSTANT * temperature.k() / STANDARD_PRESSURE
}

/// Vapour from a volume of liquid solvent, counted at a temperature (eq 9.1).
pub fn vapor_of_liquid(
    solvent: Solvent,
    liquid: Volume,
    density: Density,
    temperature: Temperature,
) -> Volume {
    let mass = liquid.m3() * density.kg_per_m3();
    Volume::from_m3(mass / solvent.properties().molar_mass_kg_per_mol() * molar_volume(temperature))
}

/// Vapour flow of the solvent in an ink flow, all of it taken to evaporate (eq 9.1).
pub fn vapor_flow(
    solvent: Solvent,
    ink_flow: VolumeFlow,
    ink_density: Density,
    solids: Fraction,
    temperature: Temperature,
) -> VolumeFlow {
    let mass = ink_flow.m3_per_s() * ink_density.kg_per_m3() * (1.0 - solids.ratio());
    VolumeFlow::from_m3_per_s(
        mass / solvent.properties().molar_mass_kg_per_mol() * molar_volume(temperature),
    )
}

/// Fresh air that keeps a vapour flow at a share of a lower explosive limit, both at one temperature (eq 9.1).
pub fn dilution_air(vapor: VolumeFlow, explosive_limit: Fraction, share: f64) -> VolumeFlow {
    VolumeFlow::from_m3_per_s(vapor.m3_per_s() * (1.0 / (share * explosive_limit.ratio()) - 1.0))
}

/// The variant that handbooks print, `(1/f)·V·(1 − LEL)/LEL`, some 0.8 % smaller.
pub fn dilution_air_handbook(
    vapor: VolumeFlow,
    explosive_limit: Fraction,
    share: f64,
) -> VolumeFlow {
    let lel = explosive_limit.ratio();
    VolumeFlow::from_m3_per_s(vapor.m3_per_s() * (1.0 - lel) / lel / share)
}

/// Share of vapour in the mixture of a vapour flow and a fresh-gas flow at one temperature.
pub fn vapor_share(vapor: VolumeFlow, fresh_gas: VolumeFlow) -> Fraction {
    Fraction::from_ratio(vapor.m3_per_s() / (vapor.m3_per_s() + fresh_gas.m3_per_s()))
}

/// A flow measured hot, converted to a colder temperature.
pub fn flow_at(flow: VolumeFlow, measured_at: Temperature, wanted: Temperature) -> VolumeFlow {
    VolumeFlow::from_m3_per_s(flow.m3_per_s() * wanted.k() / measured_at.k())
}

/// Lower explosive limit at a temperature (Burgess & Wheeler, eq 9.2), from the limit at 25 °C and the span to zero;
/// [`CAREFUL_SPAN_K`] for judging, [`BURGESS_WHEELER_SPAN_K`] for comparison with tables. Never below zero.
pub fn explosive_limit_at(
    limit_at_25: Fraction,
    temperature: Temperature,
    span_k: f64,
) -> Fraction {
    Fraction::from_ratio(
        limit_at_25.ratio() * (1.0 - (temperature.deg_c() - 25.0) / span_k).max(0.0),
    )
}

/// Lower explosive limit of a mixture of vapours (Le Chatelier, eq 9.3), from pairs of mole share (of the vapours, adding
/// to one) and limit. `None` if no pair is given.
pub fn explosive_limit_of_mixture(parts: &[(f64, Fraction)]) -> Option<Fraction> {
    let sum: f64 = parts
        .iter()
        .map(|(share, limit)| share / limit.ratio())
        .sum();
    (sum > 0.0).then(|| Fraction::from_ratio(1.0 / sum))
}

/// Air that dilutes a vapour flow to an exposure limit (eq 9.4), with a mixing factor of 3 to 10 for a room
/// (common practice). A room cannot supply it: enclose and exhaust.
pub fn breathing_air(vapor: VolumeFlow, exposure_limit_ppm: f64, mixing_factor: f64) -> VolumeFlow {
    VolumeFlow::from_m3_per_s(vapor.m3_per_s() * mixing_factor / (exposure_limit_ppm * 1e-6))
}
