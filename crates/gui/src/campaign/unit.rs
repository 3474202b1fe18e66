//! Units as people type them, and the one road from a number with its unit to SI and back.
//!
//! What was typed is kept (value and unit); conversion happens on the way into `wetlane-physics`. Factors: NIST
//! Special Publication 811 (2008), appendix B; W·min/m² and the spellings without superscripts are trade usage.

use std::fmt;

use serde::{Deserialize, Serialize};

/// What kind of quantity a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// Lengths.
    Length,
    /// Speeds.
    Speed,
    /// Volume flows.
    VolumeFlow,
    /// Volumes.
    Volume,
    /// Dynamic viscosities.
    Viscosity,
    /// Surface tensions and energies.
    SurfaceTension,
    /// Densities.
    Density,
    /// Absolute temperatures.
    Temperature,
    /// Pressures.
    Pressure,
    /// Powers.
    Power,
    /// Energy per area.
    PlasmaDose,
    /// Radiant power per area.
    Irradiance,
    /// Radiant energy per area.
    ExposureDose,
    /// Diffusivities.
    Diffusivity,
    /// Plane angles.
    Angle,
    /// Heat-transfer coefficients.
    HeatTransfer,
    /// Durations.
    Duration,
    /// Shares of a whole.
    Fraction,
    /// Mass per area.
    AreaMass,
    /// Plain numbers and ratios.
    Ratio,
    /// Force per width of the web.
    LineForce,
    /// Shear rates.
    ShearRate,
    /// Energy per amount of substance.
    MolarEnergy,
    /// Volume of the cells of an engraved roll per area.
    CellVolume,
    /// Lines of a screen or an engraving per length.
    LineCount,
    /// Forces.
    Force,
    /// Volume that yields per pressure.
    Compliance,
    /// Thermal expansions.
    Expansion,
    /// Energies.
    Energy,
}

/// One unit: SI value = number · factor + offset.
#[derive(Debug, PartialEq)]
struct UnitRow {
    symbol: &'static str,
    spellings: &'static [&'static str],
    dimension: Dimension,
    factor: f64,
    offset: f64,
}

const fn row(
    symbol: &'static str,
    spellings: &'static [&'static str],
    dimension: Dimension,
    factor: f64,
    offset: f64,
) -> UnitRow {
    UnitRow {
        symbol,
        spellings,
        dimension,
        factor,
        offset,
    }
}

/// Every unit the program knows, the usual one of each dimension first.
const UNITS: &[UnitRow] = &[
    row(
        "µm",
        &["um", "μm", "micron", "microns"],
        Dimension::Length,
        1e-6,
        0.0,
    ),
    row("mm", &[], Dimension::Length, 1e-3, 0.0),
    row("m", &[], Dimension::Length, 1.0, 0.0),
    row("nm", &[], Dimension::Length, 1e-9, 0.0),
    row("cm", &[], Dimension::Length, 1e-2, 0.0),
    row("mil", &[], Dimension::Length, 25.4e-6, 0.0),
    row("in", &["inch"], Dimension::Length, 25.4e-3, 0.0),
    row("m/min", &[], Dimension::Speed, 1.0 / 60.0, 0.0),
    row("m/s", &[], Dimension::Speed, 1.0, 0.0),
    row("mm/s", &[], Dimension::Speed, 1e-3, 0.0),
    row("cm/s", &[], Dimension::Speed, 1e-2, 0.0),
    row("ft/min", &["fpm"], Dimension::Speed, 0.3048 / 60.0, 0.0),
    row(
        "mL/min",
        &["ml/min"],
        Dimension::VolumeFlow,
        1e-6 / 60.0,
        0.0,
    ),
    row(
        "µL/min",
        &["ul/min", "uL/min", "μL/min"],
        Dimension::VolumeFlow,
        1e-9 / 60.0,
        0.0,
    ),
    row("L/min", &["l/min"], Dimension::VolumeFlow, 1e-3 / 60.0, 0.0),
    row(
        "m³/h",
        &["m3/h", "m^3/h"],
        Dimension::VolumeFlow,
        1.0 / 3600.0,
        0.0,
    ),
    row("m³/s", &["m3/s", "m^3/s"], Dimension::VolumeFlow, 1.0, 0.0),
    row("mL", &["ml", "cm3", "cm³"], Dimension::Volume, 1e-6, 0.0),
    row("L", &["l"], Dimension::Volume, 1e-3, 0.0),
    row("m³", &["m3", "m^3"], Dimension::Volume, 1.0, 0.0),
    row(
        "mPa·s",
        &["mPas", "mPa.s", "mPa*s", "mPa s", "cP", "cps"],
        Dimension::Viscosity,
        1e-3,
        0.0,
    ),
    row(
        "Pa·s",
        &["Pas", "Pa.s", "Pa*s", "Pa s"],
        Dimension::Viscosity,
        1.0,
        0.0,
    ),
    row(
        "mN/m",
        &["dyn/cm", "dyne/cm", "mJ/m2", "mJ/m²"],
        Dimension::SurfaceTension,
        1e-3,
        0.0,
    ),
    row("N/m", &[], Dimension::SurfaceTension, 1.0, 0.0),
    row(
        "g/cm³",
        &["g/cm3", "g/cc", "g/mL", "g/ml", "kg/L"],
        Dimension::Density,
        1e3,
        0.0,
    ),
    row("kg/m³", &["kg/m3", "kg/m^3"], Dimension::Density, 1.0, 0.0),
    row(
        "°C",
        &["degC", "C", "deg C", "celsius"],
        Dimension::Temperature,
        1.0,
        273.15,
    ),
    row("K", &["kelvin"], Dimension::Temperature, 1.0, 0.0),
    row(
        "°F",
        &["degF"],
        Dimension::Temperature,
        5.0 / 9.0,
        459.67 * 5.0 / 9.0,
    ),
    row("Pa", &[], Dimension::Pressure, 1.0, 0.0),
    row("kPa", &[], Dimension::Pressure, 1e3, 0.0),
    row("MPa", &[], Dimension::Pressure, 1e6, 0.0),
    row("mbar", &["hPa"], Dimension::Pressure, 1e2, 0.0),
    row("W", &["watt"], Dimension::Power, 1.0, 0.0),
    row("kW", &[], Dimension::Power, 1e3, 0.0),
    row(
        "W·min/m²",
        &["W.min/m2", "Wmin/m2", "W*min/m2", "W min/m2", "W·min/m2"],
        Dimension::PlasmaDose,
        60.0,
        0.0,
    ),
    row("J/m²", &["J/m2"], Dimension::PlasmaDose, 1.0, 0.0),
    row("kJ/m²", &["kJ/m2"], Dimension::PlasmaDose, 1e3, 0.0),
    row("kW/m²", &["kW/m2"], Dimension::Irradiance, 1e3, 0.0),
    row("W/m²", &["W/m2"], Dimension::Irradiance, 1.0, 0.0),
    row("mW/cm²", &["mW/cm2"], Dimension::Irradiance, 10.0, 0.0),
    row("W/cm²", &["W/cm2"], Dimension::Irradiance, 1e4, 0.0),
    row("mJ/cm²", &["mJ/cm2"], Dimension::ExposureDose, 10.0, 0.0),
    row("J/cm²", &["J/cm2"], Dimension::ExposureDose, 1e4, 0.0),
    row("m²/s", &["m2/s"], Dimension::Diffusivity, 1.0, 0.0),
    row("cm²/s", &["cm2/s"], Dimension::Diffusivity, 1e-4, 0.0),
    row(
        "°",
        &["deg", "degree", "degrees"],
        Dimension::Angle,
        std::f64::consts::PI / 180.0,
        0.0,
    ),
    row("rad", &[], Dimension::Angle, 1.0, 0.0),
    row(
        "W/m²K",
        &["W/m2K", "W/(m2K)", "W/(m²·K)", "W/m²/K"],
        Dimension::HeatTransfer,
        1.0,
        0.0,
    ),
    row("s", &["sec"], Dimension::Duration, 1.0, 0.0),
    row("min", &[], Dimension::Duration, 60.0, 0.0),
    row(
        "h",
        &["hr", "hour", "hours"],
        Dimension::Duration,
        3600.0,
        0.0,
    ),
    row("d", &["day", "days"], Dimension::Duration, 86_400.0, 0.0),
    row(
        "%",
        &["percent", "wt%", "wt %", "vol%", "% RH"],
        Dimension::Fraction,
        1e-2,
        0.0,
    ),
    row("ppm", &[], Dimension::Fraction, 1e-6, 0.0),
    row("g/m²", &["g/m2", "gsm"], Dimension::AreaMass, 1e-3, 0.0),
    row("mg/cm²", &["mg/cm2"], Dimension::AreaMass, 1e-2, 0.0),
    row("×", &["", "x", "1", "-"], Dimension::Ratio, 1.0, 0.0),
    row("N/mm", &[], Dimension::LineForce, 1e3, 0.0),
    row("N/cm", &[], Dimension::LineForce, 1e2, 0.0),
    row("1/s", &["s-1", "s⁻¹"], Dimension::ShearRate, 1.0, 0.0),
    row("kJ/mol", &[], Dimension::MolarEnergy, 1e3, 0.0),
    row("J/mol", &[], Dimension::MolarEnergy, 1.0, 0.0),
    row(
        "cm³/m²",
        &["cm3/m2", "mL/m²", "mL/m2", "ml/m2"],
        Dimension::CellVolume,
        1e-6,
        0.0,
    ),
    row(
        "BCM/in²",
        &["BCM", "BCM/in2", "bcm"],
        Dimension::CellVolume,
        1e-9 / (0.0254 * 0.0254),
        0.0,
    ),
    row("lines/cm", &["l/cm", "lpc"], Dimension::LineCount, 1e2, 0.0),
    row(
        "lines/in",
        &["lpi"],
        Dimension::LineCount,
        1.0 / 0.0254,
        0.0,
    ),
    row("N", &["newton"], Dimension::Force, 1.0, 0.0),
    row("mL/bar", &["ml/bar"], Dimension::Compliance, 1e-11, 0.0),
    row(
        "µm/(m·K)",
        &["um/(m.K)", "um/m/K", "µm/m/K", "ppm/K"],
        Dimension::Expansion,
        1e-6,
        0.0,
    ),
    row("mJ", &[], Dimension::Energy, 1e-3, 0.0),
    row("J", &["joule"], Dimension::Energy, 1.0, 0.0),
];

/// A known unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(into = "String", try_from = "String")]
pub struct Unit(usize);

/// Why a unit or a number with one could not be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum UnitError {
    /// The program does not know the unit.
    #[error("\"{text}\" is no unit known here; {hint}")]
    Unknown {
        /// What was written.
        text: String,
        /// Which units there are.
        hint: String,
    },
    /// The unit measures something else.
    #[error("{symbol} does not fit here; use one of {fitting}")]
    DoesNotFit {
        /// The unit that was given.
        symbol: String,
        /// Units that fit.
        fitting: String,
    },
    /// There is no number in front of the unit.
    #[error("\"{text}\" does not start with a number")]
    NoNumber {
        /// What was written.
        text: String,
    },
}

impl Unit {
    /// Finds a unit by its symbol or one of its usual spellings.
    ///
    /// # Errors
    /// [`UnitError::Unknown`] with the units there are.
    pub fn parse(text: &str) -> Result<Self, UnitError> {
        let text = text.trim();
        UNITS
            .iter()
            .position(|unit| unit.symbol == text || unit.spellings.contains(&text))
            .map(Self)
            .ok_or_else(|| UnitError::Unknown {
                text: text.to_owned(),
                hint: format!("known are {}", symbols(UNITS.iter())),
            })
    }

    /// As [`Unit::parse`], but only units of one dimension fit.
    ///
    /// # Errors
    /// [`UnitError::Unknown`] or [`UnitError::DoesNotFit`], both with the units that fit.
    pub fn parse_for(text: &str, dimension: Dimension) -> Result<Self, UnitError> {
        let fitting = || symbols(UNITS.iter().filter(|unit| unit.dimension == dimension));
        match Self::parse(text) {
            Ok(unit) if unit.dimension() == dimension => Ok(unit),
            Ok(unit) => Err(UnitError::DoesNotFit {
                symbol: unit.symbol().to_owned(),
                fitting: fitting(),
            }),
            Err(_) => Err(UnitError::Unknown {
                text: text.trim().to_owned(),
                hint: format!("use one of {}", fitting()),
            }),
        }
    }

    /// The usual unit of a dimension.
    pub fn usual(dimension: Dimension) -> Self {
        Self(
            UNITS
                .iter()
                .position(|unit| unit.dimension == dimension)
                .unwrap_or(0),
        )
    }

    /// All units of a dimension, the usual one first.
    pub fn all_of(dimension: Dimension) -> Vec<Self> {
        (0..UNITS.len())
            .filter(|index| UNITS[*index].dimension == dimension)
            .map(Self)
            .collect()
    }

    /// The symbol as it stands on screen and in files.
    pub fn symbol(self) -> &'static str {
        self.table_row().symbol
    }

    /// The symbol as it stands behind a number in a sentence: nothing for a plain ratio.
    pub fn written(self) -> &'static str {
        match self.dimension() {
            Dimension::Ratio => "",
            _ => self.symbol(),
        }
    }

    /// What it measures.
    pub fn dimension(self) -> Dimension {
        self.table_row().dimension
    }

    /// The number in SI.
    pub fn to_si(self, value: f64) -> f64 {
        let unit = self.table_row();
        value.mul_add(unit.factor, unit.offset)
    }

    /// The number in this unit of an SI value.
    pub fn from_si(self, si: f64) -> f64 {
        let unit = self.table_row();
        (si - unit.offset) / unit.factor
    }

    /// A difference in SI of a difference in this unit (temperatures: without the offset).
    pub fn difference_to_si(self, difference: f64) -> f64 {
        difference * self.table_row().factor
    }

    /// The number of `value` (in this unit) in another unit of the same dimension.
    ///
    /// # Errors
    /// [`UnitError::DoesNotFit`] if the other measures something else.
    pub fn convert(self, value: f64, to: Self) -> Result<f64, UnitError> {
        if self == to {
            return Ok(value);
        }
        if self.dimension() != to.dimension() {
            let fitting = symbols(UNITS.iter().filter(|unit| unit.dimension == to.dimension()));
            return Err(UnitError::DoesNotFit {
                symbol: self.symbol().to_owned(),
                fitting,
            });
        }
        Ok(to.from_si(self.to_si(value)))
    }

    fn table_row(self) -> &'static UnitRow {
        // A `Unit` is only ever made from a position in the table.
        &UNITS[self.0.min(UNITS.len() - 1)]
    }
}

fn symbols<'a>(units: impl Iterator<Item = &'a UnitRow>) -> String {
    units.map(|unit| unit.symbol).collect::<Vec<_>>().join(", ")
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

impl From<Unit> for String {
    fn from(unit: Unit) -> Self {
        unit.symbol().to_owned()
    }
}

impl TryFrom<String> for Unit {
    type Error = UnitError;

    fn try_from(text: String) -> Result<Self, UnitError> {
        Self::parse(&text)
    }
}

/// A number with its unit, as typed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Quantity {
    /// The number.
    pub value: f64,
    /// The unit it was typed in.
    pub unit: Unit,
}

impl Quantity {
    /// A number with a unit.
    pub const fn new(value: f64, unit: Unit) -> Self {
        Self { value, unit }
    }

    /// The number in SI.
    pub fn si(self) -> f64 {
        self.unit.to_si(self.value)
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.value, self.unit)
    }
}

/// Splits `80um`, `-3.5 °C` or `12` into the number and what follows it.
///
/// # Errors
/// [`UnitError::NoNumber`] if there is no number in front.
pub fn split_number(text: &str) -> Result<(f64, &str), UnitError> {
    let text = text.trim();
    let no_number = || UnitError::NoNumber {
        text: text.to_owned(),
    };
    // The longest prefix that is a number: `1e-3m` is 0.001 m, `5 eV` would be 5 with the unit "eV".
    let ends = text
        .char_indices()
        .map(|(index, c)| index + c.len_utf8())
        .rev();
    for end in ends {
        let head = text.get(..end).unwrap_or_default();
        if head.ends_with(|c: char| c.is_ascii_digit() || c == '.')
            && let Ok(number) = head.trim().parse::<f64>()
            && number.is_finite()
        {
            return Ok((number, text.get(end..).unwrap_or_default().trim()));
        }
    }
    Err(no_number())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spelling_leads_to_one_unit() {
        for (index, unit) in UNITS.iter().enumerate() {
            assert_eq!(Unit::parse(unit.symbol), Ok(Unit(index)), "{}", unit.symbol);
            for spelling in unit.spellings {
                assert_eq!(Unit::parse(spelling), Ok(Unit(index)), "{spelling}");
            }
        }
    }

    #[test]
    fn a_number_is_split_from_its_unit() {
        assert_eq!(split_number("80um"), Ok((80.0, "um")));
        assert_eq!(split_number("1.2m/min"), Ok((1.2, "m/min")));
        assert_eq!(split_number(" -3.5 °C "), Ok((-3.5, "°C")));
        assert_eq!(split_number("1e-3m"), Ok((1e-3, "m")));
        assert_eq!(split_number("12"), Ok((12.0, "")));
        assert!(split_number("fast").is_err());
    }

    #[test]
    fn a_unit_of_another_dimension_is_refused_with_those_that_fit() {
        let problem = Unit::parse_for("mm", Dimension::Speed).unwrap_err();
        assert!(problem.to_string().contains("m/min"), "{problem}");
    }
}
