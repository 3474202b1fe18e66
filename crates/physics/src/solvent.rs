//! Solvents: vapour pressure, heat of vaporization, diffusivity in a gas, flammability, exposure limits.
//!
//! Antoine coefficients: Poling, Prausnitz & O'Connell (2001), The Properties of Gases and Liquids, 5th ed., appendix;
//! Landolt-Börnstein, vol. IV/20; or fitted here to the correlations of Perry's Chemical Engineers' Handbook, 8th ed.,
//! Table 2-8, over the range shown (largest error 1 %), all read from an open property library. Density, viscosity and
//! vapour pressure at 25 °C: reference equations of state or Perry. Heat of vaporization: CRC Handbook. Lower explosive
//! limits: the smaller of IEC 60079-20-1:2010 and NFPA 497:2008. Surface tension: Jasper (1972), J. Phys. Chem. Ref.
//! Data 1, 841, or later fits. Density, viscosity and heat of vaporization of N-methyl-2-pyrrolidone and density and
//! viscosity of 2-methoxyethanol: quoted from memory, unverified.
//!
//! Explosive and exposure limits are data to be checked against the safety data sheet of the solvent in hand.

use crate::elementary::{exp, pow};
use crate::physical_constants::{REFERENCE_TEMPERATURE_K, STANDARD_PRESSURE};
use crate::quantity::{Density, Pressure, SurfaceTension, Temperature, Viscosity};

const LN_10: f64 = std::f64::consts::LN_10;
const CELSIUS: f64 = 273.15;

/// A solvent with handbook properties.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Solvent {
    /// Water.
    Water,
    /// Methanol.
    Methanol,
    /// Ethanol.
    Ethanol,
    /// 2-Propanol.
    Isopropanol,
    /// 1-Butanol.
    Butanol,
    /// Acetone.
    Acetone,
    /// 2-Butanone (methyl ethyl ketone).
    Butanone,
    /// Cyclohexanone.
    Cyclohexanone,
    /// Tetrahydrofuran.
    Tetrahydrofuran,
    /// Ethyl acetate.
    EthylAcetate,
    /// n-Butyl acetate.
    ButylAcetate,
    /// Toluene.
    Toluene,
    /// o-Xylene.
    OrthoXylene,
    /// Chlorobenzene.
    Chlorobenzene,
    /// 1,2-Dichlorobenzene.
    OrthoDichlorobenzene,
    /// Anisole.
    Anisole,
    /// n-Heptane.
    Heptane,
    /// Acetonitrile.
    Acetonitrile,
    /// Dimethylformamide (DMF).
    Dimethylformamide,
    /// Dimethyl sulfoxide.
    DimethylSulfoxide,
    /// N-Methyl-2-pyrrolidone (NMP).
    Methylpyrrolidone,
    /// Ethylene glycol.
    EthyleneGlycol,
    /// 2-Methoxyethanol.
    Methoxyethanol,
}

/// Atoms and rings of one molecule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names of elements need no explanation")]
pub struct Composition {
    pub carbon: u8,
    pub hydrogen: u8,
    pub oxygen: u8,
    pub nitrogen: u8,
    pub chlorine: u8,
    pub sulfur: u8,
    /// Rings, aromatic or not.
    pub rings: u8,
}

impl Composition {
    /// Molar mass from standard atomic weights [g/mol] (IUPAC, abridged values).
    pub fn molar_mass_g_per_mol(&self) -> f64 {
        12.011 * f64::from(self.carbon)
            + 1.008 * f64::from(self.hydrogen)
            + 15.999 * f64::from(self.oxygen)
            + 14.007 * f64::from(self.nitrogen)
            + 35.453 * f64::from(self.chlorine)
            + 32.06 * f64::from(self.sulfur)
    }

    /// Diffusion volume of Fuller's method, from the increments of Poling, Prausnitz & O'Connell (2001), Table 11-1,
    /// quoted from memory, unverified. Water has a volume of its own there.
    pub fn diffusion_volume(&self) -> f64 {
        const WATER: Composition = Composition {
            carbon: 0,
            hydrogen: 2,
            oxygen: 1,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 0,
        };
        if *self == WATER {
            return 13.1;
        }
        15.9 * f64::from(self.carbon)
            + 2.31 * f64::from(self.hydrogen)
            + 6.11 * f64::from(self.oxygen)
            + 4.54 * f64::from(self.nitrogen)
            + 21.0 * f64::from(self.chlorine)
            + 22.9 * f64::from(self.sulfur)
            - 18.3 * f64::from(self.rings)
    }
}

/// Where Antoine coefficients come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AntoineOrigin {
    /// Poling, Prausnitz & O'Connell (2001), appendix.
    Poling,
    /// Landolt-Börnstein, vol. IV/20.
    LandoltBoernstein,
    /// Fitted to Perry's Handbook, 8th ed., Table 2-8.
    Fitted,
}

/// Coefficients of log₁₀(p/Pa) = a − b/(T/K + c), with the range they were fitted over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Antoine {
    /// Constant.
    pub a: f64,
    /// Slope \[K\].
    pub b: f64,
    /// Shift \[K\].
    pub c: f64,
    /// Low end of the range \[K\].
    pub least_k: f64,
    /// High end of the range \[K\].
    pub greatest_k: f64,
    /// Source.
    pub origin: AntoineOrigin,
}

impl Antoine {
    /// Vapour pressure \[Pa\] at a temperature \[K\].
    pub(crate) fn vapor_pressure_pa(&self, temperature_k: f64) -> f64 {
        exp(LN_10 * (self.a - self.b / (temperature_k + self.c)))
    }
}

/// Where a lower explosive limit comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LelOrigin {
    /// The smaller of IEC 60079-20-1:2010 and NFPA 497:2008.
    Standard,
    /// A reference chart of a public agency.
    Chart,
    /// Quoted from memory, unverified.
    Memory,
    /// Common practice, no source.
    CommonPractice,
}

/// Lower explosive limit in air at 25 °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExplosiveLimit {
    /// Per cent by volume.
    pub percent: f64,
    /// Source.
    pub origin: LelOrigin,
}

/// An occupational exposure limit to start from; not current law everywhere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExposureLimit {
    /// Parts per million by volume.
    pub ppm: f64,
    /// Source.
    pub origin: &'static str,
}

/// Handbook properties of a solvent, in the units of the table they were taken from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolventProperties {
    /// Lower-snake name for files.
    pub key: &'static str,
    /// Name for the screen.
    pub label: &'static str,
    /// Atoms of the molecule.
    pub composition: Composition,
    /// Molar mass [g/mol].
    pub molar_mass_g_per_mol: f64,
    /// Density at 25 °C [kg/m³].
    pub density_kg_per_m3: f64,
    /// Normal boiling point [°C].
    pub boiling_point_deg_c: f64,
    /// Critical temperature \[K\].
    pub critical_temperature_k: f64,
    /// Vapour-pressure curve.
    pub antoine: Antoine,
    /// Vapour pressure at 25 °C \[Pa\], independent of the curve.
    pub vapor_pressure_25_pa: f64,
    /// Heat of vaporization at 25 °C [J/kg].
    pub heat_of_vaporization_j_per_kg: f64,
    /// Lower explosive limit; `None` if the vapour does not burn.
    pub explosive_limit: Option<ExplosiveLimit>,
    /// Flash point [°C].
    pub flash_point_deg_c: Option<f64>,
    /// Surface tension at 20 °C [mN/m].
    pub surface_tension_20_mn_per_m: Option<f64>,
    /// Fall of the surface tension with temperature [mN/(m·K)].
    pub surface_tension_slope_mn_per_m_k: Option<f64>,
    /// Diffusivity in air at 25 °C [cm²/s], as tabulated.
    pub diffusivity_in_air_cm2_per_s: f64,
    /// Viscosity at 25 °C [mPa·s].
    pub viscosity_25_mpa_s: f64,
    /// Exposure limit to start from.
    pub exposure_limit: Option<ExposureLimit>,
    /// True if it may harm fertility or the unborn child.
    pub is_reproductive_toxicant: bool,
}

impl SolventProperties {
    /// Molar mass [kg/mol], from the atoms (more digits than the table).
    pub(crate) fn molar_mass_kg_per_mol(&self) -> f64 {
        self.composition.molar_mass_g_per_mol() * 1e-3
    }

    /// Heat of vaporization [J/kg] at a temperature \[K\], Watson's exponent 0.38 from 25 °C (Watson 1943, quoted from
    /// memory, unverified). Held at a small positive value towards the critical point.
    pub(crate) fn heat_of_vaporization_at(&self, temperature_k: f64) -> f64 {
        let critical = self.critical_temperature_k;
        let share = (critical - temperature_k) / (critical - REFERENCE_TEMPERATURE_K);
        self.heat_of_vaporization_j_per_kg * pow(share.max(LEAST_WATSON_RATIO), WATSON_EXPONENT)
    }
}

const WATSON_EXPONENT: f64 = 0.38;
/// Keeps Watson's formula real at and beyond the critical point.
const LEAST_WATSON_RATIO: f64 = 1e-3;

impl Solvent {
    /// Every solvent, in the order of the table.
    pub const ALL: [Self; 23] = [
        Self::Water,
        Self::Methanol,
        Self::Ethanol,
        Self::Isopropanol,
        Self::Butanol,
        Self::Acetone,
        Self::Butanone,
        Self::Cyclohexanone,
        Self::Tetrahydrofuran,
        Self::EthylAcetate,
        Self::ButylAcetate,
        Self::Toluene,
        Self::OrthoXylene,
        Self::Chlorobenzene,
        Self::OrthoDichlorobenzene,
        Self::Anisole,
        Self::Heptane,
        Self::Acetonitrile,
        Self::Dimethylformamide,
        Self::DimethylSulfoxide,
        Self::Methylpyrrolidone,
        Self::EthyleneGlycol,
        Self::Methoxyethanol,
    ];

    /// Handbook properties.
    pub const fn properties(self) -> &'static SolventProperties {
        &TABLE[self as usize]
    }

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        self.properties().key
    }

    /// Name for the screen.
    pub const fn label(self) -> &'static str {
        self.properties().label
    }

    /// The solvent of that key.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|solvent| solvent.key() == key)
    }

    /// Vapour pressure of the pure liquid (Antoine).
    ///
    /// # Validity
    /// Over the range of [`SolventProperties::antoine`] within 1 %; outside it extrapolates.
    pub fn vapor_pressure(self, temperature: Temperature) -> Pressure {
        Pressure::from_pa(self.properties().antoine.vapor_pressure_pa(temperature.k()))
    }

    /// Temperature at which the vapour pressure reaches the given pressure (Antoine inverted): the boiling point at a
    /// total pressure, the dew point at a partial pressure. `None` if the pressure is not positive.
    pub fn saturation_temperature(self, pressure: Pressure) -> Option<Temperature> {
        let antoine = &self.properties().antoine;
        let depth = antoine.a - libm::log10(pressure.pa());
        (pressure.pa() > 0.0 && depth > 0.0)
            .then(|| Temperature::from_k(antoine.b / depth - antoine.c))
    }

    /// Normal boiling point.
    pub const fn boiling_point(self) -> Temperature {
        Temperature::from_k(self.properties().boiling_point_deg_c + CELSIUS)
    }

    /// Heat of vaporization [J/kg], Watson's exponent 0.38 from 25 °C.
    pub fn heat_of_vaporization_j_per_kg(self, temperature: Temperature) -> f64 {
        self.properties().heat_of_vaporization_at(temperature.k())
    }

    /// Density at 25 °C.
    pub const fn density(self) -> Density {
        Density::from_kg_per_m3(self.properties().density_kg_per_m3)
    }

    /// Viscosity at 25 °C.
    pub const fn viscosity(self) -> Viscosity {
        Viscosity::from_mpa_s(self.properties().viscosity_25_mpa_s)
    }

    /// Surface tension, linear from 20 °C (eq 1.21). `None` where no datum is held.
    pub fn surface_tension(self, temperature: Temperature) -> Option<SurfaceTension> {
        let properties = self.properties();
        let slope = properties.surface_tension_slope_mn_per_m_k?;
        let sigma = properties.surface_tension_20_mn_per_m? - slope * (temperature.deg_c() - 20.0);
        Some(SurfaceTension::from_mn_per_m(sigma))
    }

    /// True if the vapour burns.
    pub const fn is_flammable(self) -> bool {
        self.properties().explosive_limit.is_some()
    }

    /// True if the liquid boils, at one atmosphere, at or below the temperature.
    pub fn boils_at(self, temperature: Temperature) -> bool {
        self.vapor_pressure(temperature).pa() >= STANDARD_PRESSURE
    }
}

static TABLE: [SolventProperties; 23] = [
    SolventProperties {
        key: "water",
        label: "Water",
        composition: Composition {
            carbon: 0,
            hydrogen: 2,
            oxygen: 1,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 0,
        },
        molar_mass_g_per_mol: 18.02,
        density_kg_per_m3: 997.0,
        boiling_point_deg_c: 100.0,
        critical_temperature_k: 647.1,
        antoine: Antoine {
            a: 10.115_64,
            b: 1687.537,
            c: -42.980,
            least_k: 273.0,
            greatest_k: 473.0,
            origin: AntoineOrigin::Poling,
        },
        vapor_pressure_25_pa: 3179.0,
        heat_of_vaporization_j_per_kg: 2_442_000.0,
        explosive_limit: None,
        flash_point_deg_c: None,
        surface_tension_20_mn_per_m: Some(72.7),
        surface_tension_slope_mn_per_m_k: Some(0.15),
        diffusivity_in_air_cm2_per_s: 0.25,
        viscosity_25_mpa_s: 0.89,
        exposure_limit: None,
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "methanol",
        label: "Methanol",
        composition: Composition {
            carbon: 1,
            hydrogen: 4,
            oxygen: 1,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 0,
        },
        molar_mass_g_per_mol: 32.04,
        density_kg_per_m3: 786.0,
        boiling_point_deg_c: 64.5,
        critical_temperature_k: 513.4,
        antoine: Antoine {
            a: 10.202_77,
            b: 1580.080,
            c: -33.650,
            least_k: 263.0,
            greatest_k: 356.0,
            origin: AntoineOrigin::Poling,
        },
        vapor_pressure_25_pa: 16_941.0,
        heat_of_vaporization_j_per_kg: 1_169_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 6.0,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(9.0),
        surface_tension_20_mn_per_m: Some(22.4),
        surface_tension_slope_mn_per_m_k: Some(0.077),
        diffusivity_in_air_cm2_per_s: 0.16,
        viscosity_25_mpa_s: 0.544,
        exposure_limit: Some(ExposureLimit {
            ppm: 200.0,
            origin: "Ontario 8-h limit",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "ethanol",
        label: "Ethanol",
        composition: Composition {
            carbon: 2,
            hydrogen: 6,
            oxygen: 1,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 0,
        },
        molar_mass_g_per_mol: 46.07,
        density_kg_per_m3: 785.0,
        boiling_point_deg_c: 78.4,
        critical_temperature_k: 514.7,
        antoine: Antoine {
            a: 10.336_75,
            b: 1648.220,
            c: -42.232,
            least_k: 277.0,
            greatest_k: 370.0,
            origin: AntoineOrigin::Poling,
        },
        vapor_pressure_25_pa: 7876.0,
        heat_of_vaporization_j_per_kg: 919_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 3.1,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(12.0),
        surface_tension_20_mn_per_m: Some(22.4),
        surface_tension_slope_mn_per_m_k: Some(0.083),
        diffusivity_in_air_cm2_per_s: 0.123,
        viscosity_25_mpa_s: 1.08,
        exposure_limit: Some(ExposureLimit {
            ppm: 1000.0,
            origin: "Ontario short-term limit",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "2_propanol",
        label: "2-Propanol",
        composition: Composition {
            carbon: 3,
            hydrogen: 8,
            oxygen: 1,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 0,
        },
        molar_mass_g_per_mol: 60.09,
        density_kg_per_m3: 782.0,
        boiling_point_deg_c: 82.2,
        critical_temperature_k: 508.3,
        antoine: Antoine {
            a: 10.242_68,
            b: 1580.920,
            c: -53.540,
            least_k: 281.0,
            greatest_k: 373.0,
            origin: AntoineOrigin::Poling,
        },
        vapor_pressure_25_pa: 6021.0,
        heat_of_vaporization_j_per_kg: 755_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 2.0,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(12.0),
        surface_tension_20_mn_per_m: Some(21.3),
        surface_tension_slope_mn_per_m_k: Some(0.079),
        diffusivity_in_air_cm2_per_s: 0.102,
        viscosity_25_mpa_s: 2.05,
        exposure_limit: Some(ExposureLimit {
            ppm: 200.0,
            origin: "Ontario 8-h limit",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "1_butanol",
        label: "1-Butanol",
        composition: Composition {
            carbon: 4,
            hydrogen: 10,
            oxygen: 1,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 0,
        },
        molar_mass_g_per_mol: 74.12,
        density_kg_per_m3: 804.0,
        boiling_point_deg_c: 117.6,
        critical_temperature_k: 563.0,
        antoine: Antoine {
            a: 9.649_30,
            b: 1395.140,
            c: -90.411,
            least_k: 310.0,
            greatest_k: 411.0,
            origin: AntoineOrigin::Poling,
        },
        vapor_pressure_25_pa: 858.0,
        heat_of_vaporization_j_per_kg: 706_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 1.4,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(35.0),
        surface_tension_20_mn_per_m: Some(25.4),
        surface_tension_slope_mn_per_m_k: Some(0.09),
        diffusivity_in_air_cm2_per_s: 0.09,
        viscosity_25_mpa_s: 2.55,
        exposure_limit: Some(ExposureLimit {
            ppm: 20.0,
            origin: "Ontario 8-h limit",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "acetone",
        label: "Acetone",
        composition: Composition {
            carbon: 3,
            hydrogen: 6,
            oxygen: 1,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 0,
        },
        molar_mass_g_per_mol: 58.08,
        density_kg_per_m3: 785.0,
        boiling_point_deg_c: 56.1,
        critical_temperature_k: 508.1,
        antoine: Antoine {
            a: 9.218_40,
            b: 1197.010,
            c: -45.090,
            least_k: 247.0,
            greatest_k: 351.0,
            origin: AntoineOrigin::Poling,
        },
        vapor_pressure_25_pa: 30_779.0,
        heat_of_vaporization_j_per_kg: 534_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 2.5,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(-20.0),
        surface_tension_20_mn_per_m: Some(24.0),
        surface_tension_slope_mn_per_m_k: Some(0.112),
        diffusivity_in_air_cm2_per_s: 0.106,
        viscosity_25_mpa_s: 0.316,
        exposure_limit: Some(ExposureLimit {
            ppm: 250.0,
            origin: "lower of the limits in force, quoted from memory",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "2_butanone",
        label: "2-Butanone (MEK)",
        composition: Composition {
            carbon: 4,
            hydrogen: 8,
            oxygen: 1,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 0,
        },
        molar_mass_g_per_mol: 72.11,
        density_kg_per_m3: 800.0,
        boiling_point_deg_c: 79.6,
        critical_temperature_k: 536.7,
        antoine: Antoine {
            a: 9.138_60,
            b: 1232.630,
            c: -54.460,
            least_k: 266.0,
            greatest_k: 376.0,
            origin: AntoineOrigin::Poling,
        },
        vapor_pressure_25_pa: 12_034.0,
        heat_of_vaporization_j_per_kg: 482_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 1.4,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(-10.0),
        surface_tension_20_mn_per_m: Some(24.5),
        surface_tension_slope_mn_per_m_k: Some(0.112),
        diffusivity_in_air_cm2_per_s: 0.092,
        viscosity_25_mpa_s: 0.395,
        exposure_limit: Some(ExposureLimit {
            ppm: 75.0,
            origin: "lower of the limits in force, quoted from memory",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "cyclohexanone",
        label: "Cyclohexanone",
        composition: Composition {
            carbon: 6,
            hydrogen: 10,
            oxygen: 1,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 1,
        },
        molar_mass_g_per_mol: 98.14,
        density_kg_per_m3: 943.0,
        boiling_point_deg_c: 155.4,
        critical_temperature_k: 665.0,
        antoine: Antoine {
            a: 9.122_42,
            b: 1508.950,
            c: -61.986,
            least_k: 298.0,
            greatest_k: 458.0,
            origin: AntoineOrigin::LandoltBoernstein,
        },
        vapor_pressure_25_pa: 541.0,
        heat_of_vaporization_j_per_kg: 459_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 1.1,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(43.0),
        surface_tension_20_mn_per_m: Some(35.2),
        surface_tension_slope_mn_per_m_k: Some(0.124),
        diffusivity_in_air_cm2_per_s: 0.082,
        viscosity_25_mpa_s: 2.02,
        exposure_limit: Some(ExposureLimit {
            ppm: 10.0,
            origin: "lower of the limits in force, quoted from memory",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "tetrahydrofuran",
        label: "Tetrahydrofuran",
        composition: Composition {
            carbon: 4,
            hydrogen: 8,
            oxygen: 1,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 1,
        },
        molar_mass_g_per_mol: 72.11,
        density_kg_per_m3: 880.0,
        boiling_point_deg_c: 66.0,
        critical_temperature_k: 540.5,
        antoine: Antoine {
            a: 9.121_42,
            b: 1203.110,
            c: -46.795,
            least_k: 254.0,
            greatest_k: 362.0,
            origin: AntoineOrigin::Poling,
        },
        vapor_pressure_25_pa: 21_623.0,
        heat_of_vaporization_j_per_kg: 444_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 1.5,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(-14.0),
        surface_tension_20_mn_per_m: Some(27.3),
        surface_tension_slope_mn_per_m_k: Some(0.127),
        diffusivity_in_air_cm2_per_s: 0.101,
        viscosity_25_mpa_s: 0.456,
        exposure_limit: Some(ExposureLimit {
            ppm: 50.0,
            origin: "Ontario 8-h limit",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "ethyl_acetate",
        label: "Ethyl acetate",
        composition: Composition {
            carbon: 4,
            hydrogen: 8,
            oxygen: 2,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 0,
        },
        molar_mass_g_per_mol: 88.11,
        density_kg_per_m3: 894.0,
        boiling_point_deg_c: 77.1,
        critical_temperature_k: 523.3,
        antoine: Antoine {
            a: 9.133_61,
            b: 1195.130,
            c: -60.680,
            least_k: 266.0,
            greatest_k: 373.0,
            origin: AntoineOrigin::Poling,
        },
        vapor_pressure_25_pa: 12_614.0,
        heat_of_vaporization_j_per_kg: 404_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 2.0,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(-4.0),
        surface_tension_20_mn_per_m: Some(24.0),
        surface_tension_slope_mn_per_m_k: Some(0.116),
        diffusivity_in_air_cm2_per_s: 0.087,
        viscosity_25_mpa_s: 0.43,
        exposure_limit: Some(ExposureLimit {
            ppm: 200.0,
            origin: "lower of the limits in force, quoted from memory",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "n_butyl_acetate",
        label: "n-Butyl acetate",
        composition: Composition {
            carbon: 6,
            hydrogen: 12,
            oxygen: 2,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 0,
        },
        molar_mass_g_per_mol: 116.16,
        density_kg_per_m3: 876.0,
        boiling_point_deg_c: 126.0,
        critical_temperature_k: 575.6,
        antoine: Antoine {
            a: 9.149_23,
            b: 1364.963,
            c: -69.710,
            least_k: 288.0,
            greatest_k: 404.0,
            origin: AntoineOrigin::Fitted,
        },
        vapor_pressure_25_pa: 1493.0,
        heat_of_vaporization_j_per_kg: 378_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 1.2,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(22.0),
        surface_tension_20_mn_per_m: Some(25.4),
        surface_tension_slope_mn_per_m_k: Some(0.107),
        diffusivity_in_air_cm2_per_s: 0.072,
        viscosity_25_mpa_s: 0.677,
        exposure_limit: Some(ExposureLimit {
            ppm: 50.0,
            origin: "lower of the limits in force, quoted from memory",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "toluene",
        label: "Toluene",
        composition: Composition {
            carbon: 7,
            hydrogen: 8,
            oxygen: 0,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 1,
        },
        molar_mass_g_per_mol: 92.14,
        density_kg_per_m3: 862.0,
        boiling_point_deg_c: 110.6,
        critical_temperature_k: 591.8,
        antoine: Antoine {
            a: 9.050_43,
            b: 1327.620,
            c: -55.525,
            least_k: 286.0,
            greatest_k: 410.0,
            origin: AntoineOrigin::Poling,
        },
        vapor_pressure_25_pa: 3789.0,
        heat_of_vaporization_j_per_kg: 413_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 1.0,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(4.0),
        surface_tension_20_mn_per_m: Some(28.5),
        surface_tension_slope_mn_per_m_k: Some(0.119),
        diffusivity_in_air_cm2_per_s: 0.081,
        viscosity_25_mpa_s: 0.553,
        exposure_limit: Some(ExposureLimit {
            ppm: 20.0,
            origin: "Ontario 8-h limit",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "o_xylene",
        label: "o-Xylene",
        composition: Composition {
            carbon: 8,
            hydrogen: 10,
            oxygen: 0,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 1,
        },
        molar_mass_g_per_mol: 106.17,
        density_kg_per_m3: 876.0,
        boiling_point_deg_c: 144.4,
        critical_temperature_k: 630.3,
        antoine: Antoine {
            a: 9.161_62,
            b: 1496.140,
            c: -57.385,
            least_k: 288.0,
            greatest_k: 423.0,
            origin: AntoineOrigin::Fitted,
        },
        vapor_pressure_25_pa: 886.0,
        heat_of_vaporization_j_per_kg: 409_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 0.9,
            origin: LelOrigin::Memory,
        }),
        flash_point_deg_c: Some(30.0),
        surface_tension_20_mn_per_m: Some(30.3),
        surface_tension_slope_mn_per_m_k: Some(0.11),
        diffusivity_in_air_cm2_per_s: 0.074,
        viscosity_25_mpa_s: 0.757,
        exposure_limit: Some(ExposureLimit {
            ppm: 20.0,
            origin: "lower of the limits in force, quoted from memory",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "chlorobenzene",
        label: "Chlorobenzene",
        composition: Composition {
            carbon: 6,
            hydrogen: 5,
            oxygen: 0,
            nitrogen: 0,
            chlorine: 1,
            sulfur: 0,
            rings: 1,
        },
        molar_mass_g_per_mol: 112.56,
        density_kg_per_m3: 1101.0,
        boiling_point_deg_c: 132.1,
        critical_temperature_k: 632.4,
        antoine: Antoine {
            a: 9.280_61,
            b: 1539.052,
            c: -45.031,
            least_k: 288.0,
            greatest_k: 410.0,
            origin: AntoineOrigin::Fitted,
        },
        vapor_pressure_25_pa: 1586.0,
        heat_of_vaporization_j_per_kg: 364_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 1.3,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(28.0),
        surface_tension_20_mn_per_m: Some(33.6),
        surface_tension_slope_mn_per_m_k: Some(0.119),
        diffusivity_in_air_cm2_per_s: 0.079,
        viscosity_25_mpa_s: 0.749,
        exposure_limit: Some(ExposureLimit {
            ppm: 5.0,
            origin: "lower of the limits in force, quoted from memory",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "1_2_dichlorobenzene",
        label: "1,2-Dichlorobenzene",
        composition: Composition {
            carbon: 6,
            hydrogen: 4,
            oxygen: 0,
            nitrogen: 0,
            chlorine: 2,
            sulfur: 0,
            rings: 1,
        },
        molar_mass_g_per_mol: 147.0,
        density_kg_per_m3: 1301.0,
        boiling_point_deg_c: 180.2,
        critical_temperature_k: 729.0,
        antoine: Antoine {
            a: 9.356_07,
            b: 1738.257,
            c: -53.302,
            least_k: 288.0,
            greatest_k: 423.0,
            origin: AntoineOrigin::Fitted,
        },
        vapor_pressure_25_pa: 181.0,
        heat_of_vaporization_j_per_kg: 342_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 2.2,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(66.0),
        surface_tension_20_mn_per_m: None,
        surface_tension_slope_mn_per_m_k: None,
        diffusivity_in_air_cm2_per_s: 0.072,
        viscosity_25_mpa_s: 1.3,
        exposure_limit: Some(ExposureLimit {
            ppm: 25.0,
            origin: "Ontario 8-h limit",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "anisole",
        label: "Anisole",
        composition: Composition {
            carbon: 7,
            hydrogen: 8,
            oxygen: 1,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 1,
        },
        molar_mass_g_per_mol: 108.14,
        density_kg_per_m3: 991.0,
        boiling_point_deg_c: 153.6,
        critical_temperature_k: 646.5,
        antoine: Antoine {
            a: 9.325_58,
            b: 1590.848,
            c: -58.625,
            least_k: 288.0,
            greatest_k: 423.0,
            origin: AntoineOrigin::Fitted,
        },
        vapor_pressure_25_pa: 483.0,
        heat_of_vaporization_j_per_kg: 434_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 1.0,
            origin: LelOrigin::CommonPractice,
        }),
        flash_point_deg_c: None,
        surface_tension_20_mn_per_m: Some(35.7),
        surface_tension_slope_mn_per_m_k: Some(0.12),
        diffusivity_in_air_cm2_per_s: 0.077,
        viscosity_25_mpa_s: 1.02,
        exposure_limit: None,
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "n_heptane",
        label: "n-Heptane",
        composition: Composition {
            carbon: 7,
            hydrogen: 16,
            oxygen: 0,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 0,
        },
        molar_mass_g_per_mol: 100.2,
        density_kg_per_m3: 680.0,
        boiling_point_deg_c: 98.4,
        critical_temperature_k: 540.2,
        antoine: Antoine {
            a: 9.020_23,
            b: 1263.909,
            c: -56.718,
            least_k: 278.0,
            greatest_k: 397.0,
            origin: AntoineOrigin::Poling,
        },
        vapor_pressure_25_pa: 6098.0,
        heat_of_vaporization_j_per_kg: 365_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 0.85,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(-7.0),
        surface_tension_20_mn_per_m: Some(20.1),
        surface_tension_slope_mn_per_m_k: Some(0.098),
        diffusivity_in_air_cm2_per_s: 0.07,
        viscosity_25_mpa_s: 0.39,
        exposure_limit: Some(ExposureLimit {
            ppm: 400.0,
            origin: "Ontario 8-h limit",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "acetonitrile",
        label: "Acetonitrile",
        composition: Composition {
            carbon: 2,
            hydrogen: 3,
            oxygen: 0,
            nitrogen: 1,
            chlorine: 0,
            sulfur: 0,
            rings: 0,
        },
        molar_mass_g_per_mol: 41.05,
        density_kg_per_m3: 777.0,
        boiling_point_deg_c: 81.6,
        critical_temperature_k: 545.5,
        antoine: Antoine {
            a: 9.450_53,
            b: 1462.288,
            c: -25.644,
            least_k: 288.0,
            greatest_k: 360.0,
            origin: AntoineOrigin::Fitted,
        },
        vapor_pressure_25_pa: 12_147.0,
        heat_of_vaporization_j_per_kg: 802_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 3.0,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(2.0),
        surface_tension_20_mn_per_m: Some(27.2),
        surface_tension_slope_mn_per_m_k: Some(0.118),
        diffusivity_in_air_cm2_per_s: 0.134,
        viscosity_25_mpa_s: 0.342,
        exposure_limit: Some(ExposureLimit {
            ppm: 20.0,
            origin: "Ontario 8-h limit",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "dimethylformamide",
        label: "Dimethylformamide (DMF)",
        composition: Composition {
            carbon: 3,
            hydrogen: 7,
            oxygen: 1,
            nitrogen: 1,
            chlorine: 0,
            sulfur: 0,
            rings: 0,
        },
        molar_mass_g_per_mol: 73.09,
        density_kg_per_m3: 944.0,
        boiling_point_deg_c: 152.8,
        critical_temperature_k: 649.6,
        antoine: Antoine {
            a: 9.106_00,
            b: 1468.842,
            c: -67.721,
            least_k: 288.0,
            greatest_k: 426.0,
            origin: AntoineOrigin::Fitted,
        },
        vapor_pressure_25_pa: 542.0,
        heat_of_vaporization_j_per_kg: 642_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 1.8,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(58.0),
        surface_tension_20_mn_per_m: Some(36.5),
        surface_tension_slope_mn_per_m_k: Some(0.138),
        diffusivity_in_air_cm2_per_s: 0.098,
        viscosity_25_mpa_s: 0.815,
        exposure_limit: Some(ExposureLimit {
            ppm: 2.0,
            origin: "REACH Annex XVII entry 76, quoted second hand",
        }),
        is_reproductive_toxicant: true,
    },
    SolventProperties {
        key: "dimethyl_sulfoxide",
        label: "Dimethyl sulfoxide",
        composition: Composition {
            carbon: 2,
            hydrogen: 6,
            oxygen: 1,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 1,
            rings: 0,
        },
        molar_mass_g_per_mol: 78.13,
        density_kg_per_m3: 1096.0,
        boiling_point_deg_c: 191.9,
        critical_temperature_k: 707.0,
        antoine: Antoine {
            a: 9.630_93,
            b: 1922.244,
            c: -49.449,
            least_k: 288.0,
            greatest_k: 465.0,
            origin: AntoineOrigin::Fitted,
        },
        vapor_pressure_25_pa: 80.0,
        heat_of_vaporization_j_per_kg: 684_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 2.6,
            origin: LelOrigin::Memory,
        }),
        flash_point_deg_c: None,
        surface_tension_20_mn_per_m: Some(43.5),
        surface_tension_slope_mn_per_m_k: Some(0.118),
        diffusivity_in_air_cm2_per_s: 0.097,
        viscosity_25_mpa_s: 1.98,
        exposure_limit: None,
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "n_methyl_2_pyrrolidone",
        label: "N-Methyl-2-pyrrolidone (NMP)",
        composition: Composition {
            carbon: 5,
            hydrogen: 9,
            oxygen: 1,
            nitrogen: 1,
            chlorine: 0,
            sulfur: 0,
            rings: 1,
        },
        molar_mass_g_per_mol: 99.13,
        density_kg_per_m3: 1028.0,
        boiling_point_deg_c: 204.0,
        critical_temperature_k: 721.8,
        antoine: Antoine {
            a: 9.180_01,
            b: 1655.290,
            c: -80.355,
            least_k: 336.0,
            greatest_k: 477.0,
            origin: AntoineOrigin::LandoltBoernstein,
        },
        vapor_pressure_25_pa: 38.0,
        heat_of_vaporization_j_per_kg: 550_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 1.3,
            origin: LelOrigin::Memory,
        }),
        flash_point_deg_c: None,
        surface_tension_20_mn_per_m: Some(41.2),
        surface_tension_slope_mn_per_m_k: Some(0.114),
        diffusivity_in_air_cm2_per_s: 0.086,
        viscosity_25_mpa_s: 1.66,
        exposure_limit: Some(ExposureLimit {
            ppm: 3.5,
            origin: "REACH exposure level of 14.4 mg/m³",
        }),
        is_reproductive_toxicant: true,
    },
    SolventProperties {
        key: "ethylene_glycol",
        label: "Ethylene glycol",
        composition: Composition {
            carbon: 2,
            hydrogen: 6,
            oxygen: 2,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 0,
        },
        molar_mass_g_per_mol: 62.07,
        density_kg_per_m3: 1110.0,
        boiling_point_deg_c: 197.2,
        critical_temperature_k: 719.0,
        antoine: Antoine {
            a: 10.400_90,
            b: 2202.136,
            c: -62.183,
            least_k: 288.0,
            greatest_k: 470.0,
            origin: AntoineOrigin::Fitted,
        },
        vapor_pressure_25_pa: 12.0,
        heat_of_vaporization_j_per_kg: 1_065_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 3.0,
            origin: LelOrigin::Chart,
        }),
        flash_point_deg_c: None,
        surface_tension_20_mn_per_m: Some(48.4),
        surface_tension_slope_mn_per_m_k: Some(0.089),
        diffusivity_in_air_cm2_per_s: 0.111,
        viscosity_25_mpa_s: 16.8,
        exposure_limit: Some(ExposureLimit {
            ppm: 39.0,
            origin: "Ontario ceiling of 100 mg/m³",
        }),
        is_reproductive_toxicant: false,
    },
    SolventProperties {
        key: "2_methoxyethanol",
        label: "2-Methoxyethanol",
        composition: Composition {
            carbon: 3,
            hydrogen: 8,
            oxygen: 2,
            nitrogen: 0,
            chlorine: 0,
            sulfur: 0,
            rings: 0,
        },
        molar_mass_g_per_mol: 76.09,
        density_kg_per_m3: 960.0,
        boiling_point_deg_c: 124.1,
        critical_temperature_k: 597.6,
        antoine: Antoine {
            a: 10.076_80,
            b: 1862.919,
            c: -29.918,
            least_k: 329.0,
            greatest_k: 397.0,
            origin: AntoineOrigin::LandoltBoernstein,
        },
        vapor_pressure_25_pa: 1354.0,
        heat_of_vaporization_j_per_kg: 594_000.0,
        explosive_limit: Some(ExplosiveLimit {
            percent: 1.8,
            origin: LelOrigin::Standard,
        }),
        flash_point_deg_c: Some(39.0),
        surface_tension_20_mn_per_m: Some(31.3),
        surface_tension_slope_mn_per_m_k: Some(0.098),
        diffusivity_in_air_cm2_per_s: 0.096,
        viscosity_25_mpa_s: 1.6,
        exposure_limit: Some(ExposureLimit {
            ppm: 0.1,
            origin: "Ontario 8-h limit",
        }),
        is_reproductive_toxicant: true,
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_lead_back_to_their_solvents() {
        for solvent in Solvent::ALL {
            assert_eq!(Solvent::from_key(solvent.key()), Some(solvent));
        }
    }
}
