//! Limits in words and in units people use: value and bound, by how much something is broken, what follows.

use wetlane_physics::{
    Assessment, Dimension as PhysicsDimension, LimitId, LimitRecord, Outcome, Sense,
};

use super::answers::plain;
use super::sentence_case::in_sentence;
use super::unit::{Dimension, Unit};

/// The unit in which a quantity of a limit is shown.
pub fn shown_unit(dimension: PhysicsDimension) -> Unit {
    let usual = match dimension {
        PhysicsDimension::Length => Dimension::Length,
        PhysicsDimension::Speed => Dimension::Speed,
        PhysicsDimension::VolumeFlow => Dimension::VolumeFlow,
        PhysicsDimension::Power => Dimension::Power,
        PhysicsDimension::Pressure => Dimension::Pressure,
        PhysicsDimension::Temperature => Dimension::Temperature,
        // A difference has no offset: kelvins, never degrees Celsius.
        PhysicsDimension::TemperatureDifference => {
            return Unit::parse("K").unwrap_or_else(|_| Unit::usual(Dimension::Temperature));
        }
        PhysicsDimension::Density => Dimension::Density,
        PhysicsDimension::Angle => Dimension::Angle,
        PhysicsDimension::SurfaceTension => Dimension::SurfaceTension,
        PhysicsDimension::PlasmaDose => Dimension::PlasmaDose,
        PhysicsDimension::Irradiance => Dimension::Irradiance,
        PhysicsDimension::Diffusivity => Dimension::Diffusivity,
        PhysicsDimension::ExposureDose => Dimension::ExposureDose,
        PhysicsDimension::Duration => Dimension::Duration,
        PhysicsDimension::Volume => Dimension::Volume,
        PhysicsDimension::HeatTransferCoefficient => Dimension::HeatTransfer,
        PhysicsDimension::Viscosity => Dimension::Viscosity,
        PhysicsDimension::ShearRate => Dimension::ShearRate,
        PhysicsDimension::MolarEnergy => Dimension::MolarEnergy,
        PhysicsDimension::CellVolume => Dimension::CellVolume,
        PhysicsDimension::LineCount => Dimension::LineCount,
        PhysicsDimension::Force => Dimension::Force,
        // Webs run at some N/cm; N/m stands for surface tensions.
        PhysicsDimension::WebTension => {
            return Unit::parse("N/cm").unwrap_or_else(|_| Unit::usual(Dimension::LineForce));
        }
        PhysicsDimension::Compliance => Dimension::Compliance,
        PhysicsDimension::Expansion => Dimension::Expansion,
        PhysicsDimension::Energy => Dimension::Energy,
        PhysicsDimension::Ratio => Dimension::Ratio,
    };
    Unit::usual(usual)
}

/// The unit in which value and bound of one limit are shown: metres for the roll, megapascals in a foil, kilopascals in a
/// hose, else the usual one.
pub fn unit_of(record: &LimitRecord) -> Unit {
    let symbol = match record.id {
        LimitId::FoilLength | LimitId::StartupLength => "m",
        LimitId::TensionMax => "MPa",
        LimitId::Breathing => "m³/h",
        LimitId::NipLoadSpan => "N/mm",
        LimitId::Wrinkle | LimitId::Pressure | LimitId::LamPressure | LimitId::LamTack => "kPa",
        _ => return shown_unit(record.dimension),
    };
    Unit::parse(symbol).unwrap_or_else(|_| shown_unit(record.dimension))
}

/// Value and bound in the shown unit.
pub fn shown_numbers(record: &LimitRecord) -> Option<(f64, f64, Unit)> {
    match record.outcome {
        Outcome::Evaluated { value, bound, .. } => {
            let unit = unit_of(record);
            Some((unit.from_si(value), unit.from_si(bound), unit))
        }
        Outcome::NotEvaluated { .. } => None,
    }
}

/// "13.0 ≥ 12.4 µm", or what is missing.
pub fn comparison(record: &LimitRecord) -> String {
    match (shown_numbers(record), record.outcome) {
        (Some((value, bound, unit)), _) => {
            let sign = match record.sense {
                Sense::AtMost => "≤",
                Sense::AtLeast => "≥",
            };
            let symbol = if unit.dimension() == Dimension::Ratio {
                ""
            } else {
                unit.symbol()
            };
            format!("{} {sign} {} {symbol}", plain(value), plain(bound))
                .trim_end()
                .to_owned()
        }
        (None, Outcome::NotEvaluated { missing }) => {
            format!("needs {}", in_sentence(missing.label()))
        }
        (None, Outcome::Evaluated { .. }) => String::new(),
    }
}

/// Name inside a sentence of the limit of a key; the key itself if there is none.
pub fn name_of_key(key: &str) -> String {
    LimitId::from_key(key).map_or_else(|| key.to_owned(), |id| in_sentence(id.label()))
}

/// By how much a limit is broken, in the unit of the thing: "10 s short", "6.3 µm too thin".
pub fn shortfall(record: &LimitRecord, assessment: &Assessment) -> String {
    let derived = &assessment.derived;
    if record.id == LimitId::DryAtExit
        && let (Some(has), Some(needs)) = (derived.dryer_time_s, derived.dry_after_s)
        && needs > has
    {
        return format!("{} s short", plain(needs - has));
    }
    let Some((value, bound, unit)) = shown_numbers(record) else {
        return "not known".to_owned();
    };
    let amount = format!("{} {}", plain((value - bound).abs()), unit.symbol());
    let too = match (record.dimension, record.sense) {
        (PhysicsDimension::Length, Sense::AtLeast) => "too thin",
        (PhysicsDimension::Length, Sense::AtMost) => "too thick",
        (PhysicsDimension::Speed, Sense::AtMost) => "too fast",
        (PhysicsDimension::Speed, Sense::AtLeast) => "too slow",
        (PhysicsDimension::Temperature, Sense::AtMost) => "too hot",
        (PhysicsDimension::Temperature, Sense::AtLeast) => "too cold",
        (_, Sense::AtMost) => "too much",
        (_, Sense::AtLeast) => "too little",
    };
    match record.id {
        LimitId::GapSpan if record.sense == Sense::AtMost => format!("{amount} too wide"),
        LimitId::GapSpan | LimitId::ThermalGap => format!("{amount} too narrow"),
        LimitId::HeadAtStop => format!("{amount} too high"),
        LimitId::FoilLength
        | LimitId::StartupLength
        | LimitId::SyringeVolume
        | LimitId::Particle => {
            format!("{amount} short of it")
        }
        _ if !value.is_finite() || !bound.is_finite() => "far beyond it".to_owned(),
        _ => format!("{amount} {too}"),
    }
}

/// A limit as one short phrase: its name while it holds, what is wrong and by how much when it does not.
pub fn in_short(record: &LimitRecord, assessment: &Assessment) -> String {
    let name = in_sentence(record.id.label());
    if record.holds() {
        name
    } else {
        format!("{name}: {}", shortfall(record, assessment))
    }
}

#[expect(clippy::too_many_lines, reason = "a table, one row a quantity")]
/// Quantities that follow from a setting, with the unit people use: (name, key, value, unit).
pub fn derived_quantities(
    assessment: &Assessment,
) -> Vec<(&'static str, &'static str, Option<f64>, &'static str)> {
    let d = &assessment.derived;
    let celsius = |kelvins: Option<f64>| kelvins.map(|k| k - 273.15);
    let scaled = |value: Option<f64>, factor: f64| value.map(|value| value * factor);
    vec![
        (
            "Wet thickness",
            "wet_thickness",
            scaled(d.wet_thickness_m, 1e6),
            "µm",
        ),
        (
            "Dry thickness",
            "dry_thickness",
            scaled(d.dry_thickness_m, 1e9),
            "nm",
        ),
        (
            "Coat weight",
            "coat_weight",
            scaled(d.coat_weight_kg_per_m2, 1e3),
            "g/m²",
        ),
        (
            "Capillary number",
            "capillary_number",
            d.capillary_number,
            "",
        ),
        (
            "Reynolds number of the gap",
            "gap_reynolds_number",
            d.gap_reynolds_number,
            "",
        ),
        (
            "Gap over wet thickness",
            "gap_to_wet",
            d.gap_to_wet_ratio,
            "",
        ),
        (
            "Shear rate in the gap",
            "gap_shear_rate",
            d.gap_shear_rate_per_s,
            "1/s",
        ),
        (
            "Dynamic contact angle",
            "dynamic_angle",
            d.dynamic_angle_rad.map(f64::to_degrees),
            "°",
        ),
        (
            "Vacuum needed to hold the bead",
            "vacuum_needed",
            d.vacuum_needed_pa,
            "Pa",
        ),
        (
            "Vacuum that floods",
            "vacuum_flooding",
            d.vacuum_flooding_pa,
            "Pa",
        ),
        (
            "Thinnest film for any vacuum",
            "thinnest_low_flow",
            scaled(d.thinnest_low_flow_m, 1e6),
            "µm",
        ),
        (
            "Thinnest film the bead holds",
            "thinnest_held",
            scaled(d.thinnest_held_m, 1e6),
            "µm",
        ),
        (
            "Thickest film before flooding",
            "thickest_not_flooding",
            scaled(d.thickest_not_flooding_m, 1e6),
            "µm",
        ),
        (
            "Plasma dose",
            "plasma_dose",
            scaled(d.plasma_dose_j_per_m2, 1.0 / 60.0),
            "W·min/m²",
        ),
        (
            "Surface energy as coated",
            "foil_energy",
            scaled(d.foil_energy_n_per_m, 1e3),
            "mN/m",
        ),
        ("Time in the dryer", "dryer_time", d.dryer_time_s, "s"),
        ("Time from head to dryer", "open_time", d.open_time_s, "s"),
        ("Dry after", "dry_after", d.dry_after_s, "s"),
        (
            "Highest speed that dries",
            "dry_speed",
            scaled(d.dry_speed_m_per_s, 60.0),
            "m/min",
        ),
        (
            "Hottest foil",
            "hottest_foil",
            celsius(d.hottest_foil_k),
            "°C",
        ),
        (
            "Change of the web's length",
            "web_length_change",
            scaled(d.web_length_change, 100.0),
            "%",
        ),
        (
            "Stress of the web",
            "web_stress",
            scaled(d.web_stress_pa, 1e-6),
            "MPa",
        ),
        ("Foil in one lap", "lap_length", d.lap_length_m, "m"),
        (
            "Pressure in the nip",
            "nip_pressure",
            scaled(d.nip_pressure_pa, 1e-3),
            "kPa",
        ),
        ("Time in the nip", "nip_dwell", d.nip_dwell_s, "s"),
        ("Bond line", "bond_line", celsius(d.bond_line_k), "°C"),
        (
            "Lamination dose",
            "lamination_dose",
            scaled(d.lamination_dose_pa_s, 1e-3),
            "kPa·s",
        ),
        (
            "Oxygen of the room",
            "room_oxygen",
            scaled(d.room_oxygen, 100.0),
            "%",
        ),
        (
            "Vapor over its explosive limit",
            "lel_share",
            scaled(d.lel_share, 100.0),
            "%",
        ),
    ]
}
