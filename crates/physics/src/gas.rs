//! Drying gases: air, nitrogen, argon, helium.
//!
//! Density, viscosity, conductivity and heat capacity at 60 °C and one atmosphere come from reference equations of
//! state through an open property library. At other temperatures density falls as 1/T, viscosity and conductivity
//! rise as T^0.7 and the heat capacity stays: within about 1 % from 20 to 120 °C.

use crate::elementary::pow;
use crate::line::Gas;
use crate::physical_constants::STANDARD_PRESSURE;
use crate::quantity::{Pressure, Temperature};
use crate::solvent::Solvent;

/// Temperature of the tabulated state \[K\].
const TABLE_TEMPERATURE_K: f64 = 333.15;
/// Exponent of viscosity and conductivity with absolute temperature.
const TRANSPORT_EXPONENT: f64 = 0.7;
/// Coefficient and exponent of Fuller's method, for cm²/s, bar and g/mol.
const FULLER_COEFFICIENT: f64 = 0.001_43;
const FULLER_EXPONENT: f64 = 1.75;

/// Properties of a gas at one atmosphere and one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GasProperties {
    /// Density [kg/m³].
    pub density_kg_per_m3: f64,
    /// Dynamic viscosity [Pa·s].
    pub viscosity_pa_s: f64,
    /// Thermal conductivity [W/(m·K)].
    pub conductivity_w_per_m_k: f64,
    /// Heat capacity [J/(kg·K)].
    pub heat_capacity_j_per_kg_k: f64,
}

impl GasProperties {
    /// Prandtl number.
    pub fn prandtl_number(&self) -> f64 {
        self.viscosity_pa_s * self.heat_capacity_j_per_kg_k / self.conductivity_w_per_m_k
    }
}

impl Gas {
    /// Every gas.
    pub const ALL: [Self; 4] = [Self::Air, Self::Nitrogen, Self::Argon, Self::Helium];

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Air => "air",
            Self::Nitrogen => "nitrogen",
            Self::Argon => "argon",
            Self::Helium => "helium",
        }
    }

    /// Name for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Air => "Air",
            Self::Nitrogen => "Nitrogen",
            Self::Argon => "Argon",
            Self::Helium => "Helium",
        }
    }

    /// The gas of that key.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|gas| gas.key() == key)
    }

    /// True if the gas displaces the oxygen of the room.
    pub const fn is_inert(self) -> bool {
        match self {
            Self::Air => false,
            Self::Nitrogen | Self::Argon | Self::Helium => true,
        }
    }

    /// Molar mass [g/mol].
    pub const fn molar_mass_g_per_mol(self) -> f64 {
        match self {
            Self::Air => 28.965,
            Self::Nitrogen => 28.014,
            Self::Argon => 39.948,
            Self::Helium => 4.0026,
        }
    }

    /// Diffusion volume of Fuller's method (Poling, Prausnitz & O'Connell 2001, Table 11-1, quoted from memory,
    /// unverified).
    const fn diffusion_volume(self) -> f64 {
        match self {
            Self::Air => 19.7,
            Self::Nitrogen => 18.5,
            Self::Argon => 16.2,
            Self::Helium => 2.67,
        }
    }

    /// Properties at 60 °C and one atmosphere, as tabulated.
    pub const fn properties_at_60(self) -> GasProperties {
        let (density, viscosity, conductivity, heat_capacity) = match self {
            Self::Air => (1.0596, 20.099e-6, 0.028_80, 1008.0),
            Self::Nitrogen => (1.0247, 19.383e-6, 0.028_32, 1041.8),
            Self::Argon => (1.4618, 24.793e-6, 0.019_45, 521.3),
            Self::Helium => (0.1464, 21.415e-6, 0.167_70, 5193.2),
        };
        GasProperties {
            density_kg_per_m3: density,
            viscosity_pa_s: viscosity,
            conductivity_w_per_m_k: conductivity,
            heat_capacity_j_per_kg_k: heat_capacity,
        }
    }

    /// Properties at one atmosphere and a temperature.
    ///
    /// # Validity
    /// Within about 1 % from 20 to 120 °C.
    pub fn properties(self, temperature: Temperature) -> GasProperties {
        let x = temperature.k() / TABLE_TEMPERATURE_K;
        let at_60 = self.properties_at_60();
        GasProperties {
            density_kg_per_m3: at_60.density_kg_per_m3 / x,
            viscosity_pa_s: at_60.viscosity_pa_s * pow(x, TRANSPORT_EXPONENT),
            conductivity_w_per_m_k: at_60.conductivity_w_per_m_k * pow(x, TRANSPORT_EXPONENT),
            heat_capacity_j_per_kg_k: at_60.heat_capacity_j_per_kg_k,
        }
    }
}

/// Diffusivity of a solvent's vapour in a gas [m²/s] (Fuller, eq 6.11).
///
/// # Validity
/// 2 to 5 % against handbook values for the vapours checked.
///
/// # Source
/// Poling, Prausnitz & O'Connell (2001), The Properties of Gases and Liquids, 5th ed., eq 11-4.4, quoted from memory,
/// unverified.
pub fn vapor_diffusivity_m2_per_s(
    solvent: Solvent,
    gas: Gas,
    temperature: Temperature,
    pressure: Pressure,
) -> f64 {
    let composition = solvent.properties().composition;
    fuller(
        composition.molar_mass_g_per_mol(),
        composition.diffusion_volume(),
        gas,
        temperature,
        pressure,
    )
}

/// Fuller's method for any vapour, from its molar mass [g/mol] and diffusion volume [cm³/mol]; result in m²/s.
pub fn fuller(
    molar_mass_g_per_mol: f64,
    diffusion_volume: f64,
    gas: Gas,
    temperature: Temperature,
    pressure: Pressure,
) -> f64 {
    let m_ab = 2.0 / (1.0 / molar_mass_g_per_mol + 1.0 / gas.molar_mass_g_per_mol());
    let sum = libm::cbrt(diffusion_volume) + libm::cbrt(gas.diffusion_volume());
    let bar = pressure.pa() / 1e5;
    1e-4 * FULLER_COEFFICIENT * pow(temperature.k(), FULLER_EXPONENT)
        / (bar * m_ab.sqrt() * sum * sum)
}

/// The evaporation flux of eq 6.3 with eqs 6.4 and 6.11, written with its temperature dependence gathered.
///
/// Density falls as 1/T, conductivity rises as T^0.7 and diffusivity as T^1.75, so the Lewis number varies as T^(−0.05)
/// and `k_c / (R·T)` as T^(0.05·2/3): one weak power in place of four.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct VaporTransfer {
    /// `M · P / (R · T · ρ · c_p · Le^(2/3))` at 60 °C [kg·K/J]: flux per heat-transfer coefficient and driving force.
    coefficient: f64,
}

/// Exponent of the film temperature in the gathered flux: 2/3 of 0.05.
const GATHERED_EXPONENT: f64 = 1.0 / 30.0;

impl VaporTransfer {
    pub(crate) fn new(solvent: Solvent, gas: Gas) -> Self {
        let temperature = Temperature::from_k(TABLE_TEMPERATURE_K);
        let diffusivity = vapor_diffusivity_m2_per_s(
            solvent,
            gas,
            temperature,
            Pressure::from_pa(STANDARD_PRESSURE),
        );
        let p = gas.properties_at_60();
        let volumetric_heat = p.density_kg_per_m3 * p.heat_capacity_j_per_kg_k;
        let lewis = p.conductivity_w_per_m_k / (volumetric_heat * diffusivity);
        let molar = solvent.properties().molar_mass_kg_per_mol() * STANDARD_PRESSURE
            / (crate::physical_constants::GAS_CONSTANT * TABLE_TEMPERATURE_K);
        Self {
            coefficient: molar / (volumetric_heat * crate::elementary::two_thirds_power(lewis)),
        }
    }

    /// With another diffusivity: the flux goes as Le^(−2/3).
    pub(crate) fn with_diffusivity_times(self, factor: f64) -> Self {
        Self {
            coefficient: self.coefficient * crate::elementary::two_thirds_power(factor),
        }
    }

    /// Flux [kg/(m²·s)] at a heat-transfer coefficient [W/(m²·K)], for film and gas temperatures \[K\] and
    /// `ln[(P − p∞)/(P − a·p_sat)]`.
    pub(crate) fn flux(self, h: f64, film_k: f64, gas_k: f64, driving: f64) -> f64 {
        let x = 0.5 * (film_k + gas_k) / TABLE_TEMPERATURE_K;
        self.coefficient * h * pow(x, GATHERED_EXPONENT) * driving
    }
}
