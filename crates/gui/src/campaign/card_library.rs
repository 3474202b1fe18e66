//! A small library of generic cards whose figures come from handbooks: every solvent pure, every foil at a usual thickness.
//!
//! A pure solvent is what a dryer is calibrated with: coat it, dry it, watch where the film goes dry.

use wetlane_physics::{FoilMaterial, Solvent};

use super::card::{Card, Entry, Field, HowKnown, NumberEntry};
use super::unit::Unit;

/// Where the figures of the solvents come from.
const SOLVENT_SOURCE: &str = "Pure, handbook values. Density and viscosity at 25 °C: reference equations of state or Perry's Chemical \
     Engineers' Handbook, 8th ed. (N-methyl-2-pyrrolidone and 2-methoxyethanol from memory, unverified). Surface tension at \
     20 °C: Jasper (1972), J. Phys. Chem. Ref. Data 1, 841, or later fits.";
/// Where the figures of the foils come from.
const FOIL_SOURCE: &str = "Handbook values of the material: polyester film bulletin; Adv. Mater. 34 (2022) 2106787, Table 1; a trade table \
     of surface energies; other figures from memory, unverified. The highest temperature is common practice, the thickness is \
     a usual one.";

fn put(card: &mut Card, field: Field, value: f64, unit: &str) {
    if let Ok(unit) = Unit::parse(unit) {
        let entry = NumberEntry {
            value,
            unit,
            known: HowKnown::DataSheet,
        };
        card.fields.insert(field, Entry::Number(entry));
    }
}

/// Every solvent of the handbook table as an ink without solids.
pub fn pure_solvents() -> Vec<Card> {
    Solvent::ALL.into_iter().map(pure_solvent).collect()
}

fn pure_solvent(solvent: Solvent) -> Card {
    let handbook = solvent.properties();
    let mut card = Card {
        note: SOLVENT_SOURCE.to_owned(),
        ..Card::named(format!("{}, pure", handbook.label))
    };
    put(
        &mut card,
        Field::Viscosity,
        handbook.viscosity_25_mpa_s,
        "mPa·s",
    );
    put(&mut card, Field::ViscosityTemperature, 25.0, "°C");
    put(
        &mut card,
        Field::Density,
        1e-3 * handbook.density_kg_per_m3,
        "g/cm³",
    );
    put(&mut card, Field::Solids, 0.0, "%");
    if let Some(tension) = handbook.surface_tension_20_mn_per_m {
        put(&mut card, Field::SurfaceTension, tension, "mN/m");
    }
    card.with_word(Field::Solvent, handbook.key)
        .with_word(Field::Activity, "free")
}

/// Every foil of the handbook table.
pub fn handbook_foils() -> Vec<Card> {
    FoilMaterial::ALL.into_iter().map(handbook_foil).collect()
}

fn handbook_foil(material: FoilMaterial) -> Card {
    let thickness_um = match material {
        FoilMaterial::Pet | FoilMaterial::PetHeatStabilised | FoilMaterial::Pen => 125.0,
        FoilMaterial::Paper => 100.0,
        FoilMaterial::Aluminium => 15.0,
        FoilMaterial::Copper => 10.0,
        FoilMaterial::Polyimide | FoilMaterial::StainlessSteel => 50.0,
    };
    let mut card = Card {
        note: FOIL_SOURCE.to_owned(),
        ..Card::named(format!("{}, {thickness_um} µm", material.label()))
    };
    let handbook = material.properties();
    put(&mut card, Field::Thickness, thickness_um, "µm");
    put(
        &mut card,
        Field::SurfaceEnergy,
        handbook.surface_energy_mn_per_m,
        "mN/m",
    );
    put(
        &mut card,
        Field::HighestTemperature,
        handbook.highest_temperature_deg_c,
        "°C",
    );
    put(
        &mut card,
        Field::FoilModulus,
        1e-6 * handbook.elastic_modulus_pa,
        "MPa",
    );
    put(
        &mut card,
        Field::FoilYieldStress,
        1e-6 * handbook.yield_stress_pa,
        "MPa",
    );
    put(
        &mut card,
        Field::FoilExpansion,
        1e6 * handbook.thermal_expansion_per_k,
        "µm/(m·K)",
    );
    card.with_word(Field::Material, handbook.key)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::campaign::card::check_entry;

    #[test]
    fn every_card_can_be_used_as_it_is_and_names_its_source() {
        for card in pure_solvents().into_iter().chain(handbook_foils()) {
            assert!(card.fields.len() >= 5, "{}", card.name);
            assert!(card.note.contains("andbook values"), "{}", card.name);
            for (field, entry) in &card.fields {
                assert_eq!(check_entry(*field, entry), Ok(()), "{}", card.name);
            }
        }
    }

    #[test]
    fn water_is_as_in_the_reference_equations() {
        // IAPWS-95 at 25 °C and one atmosphere: 997.05 kg/m³; IAPWS R12-08: 0.8900 mPa·s; IAPWS R1-76 at 20 °C: 72.74 mN/m.
        let water = pure_solvents().remove(0);
        let close = |field, expected: f64, tolerance: f64| {
            let value = water.si(field).unwrap();
            assert!((value - expected).abs() < tolerance * expected, "{value}");
        };
        close(Field::Density, 997.05, 1e-3);
        close(Field::Viscosity, 0.8900e-3, 5e-3);
        close(Field::SurfaceTension, 72.74e-3, 5e-3);
    }
}
