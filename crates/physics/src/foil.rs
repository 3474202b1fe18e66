//! Foils with handbook properties: glass transition, heat capacity, limits of temperature, shrinkage, surface energy.
//!
//! Sources: polyester film bulletin (polyester: density, heat capacity, conductivity, shrinkage, expansion); Adv. Mater.
//! 34 (2022) 2106787, Table 1 (glass transitions, moduli); surface energies of untreated polyester and polyimide from a
//! trade table. Stress at 5 % strain and strength of polyester from the film bulletin, tensions that webs are run at from
//! two trade tables that agree; yield stresses of other foils and Poisson's ratios are quoted from memory, unverified.
//! Polyethylene naphthalate and polyimide heat capacities, expansions and shrinkages, and the metals'
//! ranges of surface energy, are quoted from memory, unverified. Limits of use are common practice.

use crate::line::FoilMaterial;
use crate::quantity::{Fraction, Length, SurfaceTension, Temperature, WebTension};

const CELSIUS: f64 = 273.15;

/// Handbook properties of a foil material.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoilProperties {
    /// Lower-snake name for files.
    pub key: &'static str,
    /// Name for the screen.
    pub label: &'static str,
    /// Glass transition [°C]; `None` for metals and paper.
    pub glass_transition_deg_c: Option<f64>,
    /// Highest temperature of use if the user states none [°C].
    pub highest_temperature_deg_c: f64,
    /// Density [kg/m³].
    pub density_kg_per_m3: f64,
    /// Heat capacity [J/(kg·K)].
    pub heat_capacity_j_per_kg_k: f64,
    /// Thermal conductivity [W/(m·K)].
    pub conductivity_w_per_m_k: f64,
    /// Elastic modulus \[Pa\].
    pub elastic_modulus_pa: f64,
    /// Poisson's ratio.
    pub poisson_ratio: f64,
    /// Stress at which the foil yields at room temperature, along the web \[Pa\]; of films the stress at 5 % strain.
    pub yield_stress_pa: f64,
    /// Stress at which webs of it are usually run \[Pa\]; `None` if the trade tables do not list it.
    pub usual_stress_pa: Option<f64>,
    /// Thermal expansion [1/K].
    pub thermal_expansion_per_k: f64,
    /// Free shrinkage in the worse direction: (temperature [°C], share), rising; `None` where moisture rules.
    pub shrinkage: Option<&'static [(f64, f64)]>,
    /// Surface energy untreated, low end of the usual range [mN/m], taken where the user states none.
    pub surface_energy_mn_per_m: f64,
    /// Low and high end over which that figure is doubted [mN/m].
    pub surface_energy_range_mn_per_m: (f64, f64),
}

impl FoilMaterial {
    /// Every material.
    pub const ALL: [Self; 8] = [
        Self::Pet,
        Self::PetHeatStabilised,
        Self::Pen,
        Self::Polyimide,
        Self::Paper,
        Self::Aluminium,
        Self::Copper,
        Self::StainlessSteel,
    ];

    /// Handbook properties.
    pub const fn properties(self) -> &'static FoilProperties {
        match self {
            Self::Pet => &PET,
            Self::PetHeatStabilised => &PET_HEAT_STABILISED,
            Self::Pen => &PEN,
            Self::Polyimide => &POLYIMIDE,
            Self::Paper => &PAPER,
            Self::Aluminium => &ALUMINIUM,
            Self::Copper => &COPPER,
            Self::StainlessSteel => &STAINLESS_STEEL,
        }
    }

    /// True for metal foils, which reflect most of what shines on them.
    pub const fn is_metal(self) -> bool {
        match self {
            Self::Aluminium | Self::Copper | Self::StainlessSteel => true,
            Self::Pet | Self::PetHeatStabilised | Self::Pen | Self::Polyimide | Self::Paper => {
                false
            }
        }
    }

    /// Lower-snake name for files and the command line.
    pub const fn key(self) -> &'static str {
        self.properties().key
    }

    /// Name for the screen.
    pub const fn label(self) -> &'static str {
        self.properties().label
    }

    /// The material of that key.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|material| material.key() == key)
    }

    /// Glass transition, if it has one.
    pub fn glass_transition(self) -> Option<Temperature> {
        self.properties()
            .glass_transition_deg_c
            .map(Temperature::from_deg_c)
    }

    /// Highest temperature of use if the user states none (common practice).
    pub const fn highest_temperature(self) -> Temperature {
        Temperature::from_deg_c(self.properties().highest_temperature_deg_c)
    }

    /// Surface energy untreated, low end of the usual range.
    pub const fn surface_energy(self) -> SurfaceTension {
        SurfaceTension::from_mn_per_m(self.properties().surface_energy_mn_per_m)
    }

    /// Heat capacity of a foil per area [J/(m²·K)].
    pub fn areal_heat_capacity_j_per_m2_k(self, thickness: Length) -> f64 {
        let properties = self.properties();
        thickness.m() * properties.density_kg_per_m3 * properties.heat_capacity_j_per_kg_k
    }

    /// Free shrinkage in the worse direction after 30 min at a temperature, linear between the points of the data sheet
    /// and continued with the last slope. `None` for paper, where moisture rules.
    pub fn shrinkage(self, temperature: Temperature) -> Option<Fraction> {
        let points = self.properties().shrinkage?;
        Some(Fraction::from_ratio(interpolate(
            points,
            temperature.k() - CELSIUS,
        )))
    }
}

/// Softening of a polymer film about its glass transition (eq 8.2): full stiffness up to 30 K below, this share from 50 K
/// above on, linear between (common practice, for polyester).
const SOFT_SHARE: f64 = 0.3;
const SOFTENING_BELOW_K: f64 = 30.0;
const SOFTENING_ABOVE_K: f64 = 50.0;

impl FoilMaterial {
    /// Share of stiffness and yield stress that is left at a temperature (eq 8.2); all of it for metals and paper.
    pub fn softening(self, temperature: Temperature) -> Fraction {
        let Some(transition) = self.glass_transition() else {
            return Fraction::from_ratio(1.0);
        };
        let beyond = temperature.k() - transition.k() + SOFTENING_BELOW_K;
        let way = (beyond / (SOFTENING_BELOW_K + SOFTENING_ABOVE_K)).clamp(0.0, 1.0);
        Fraction::from_ratio(1.0 - (1.0 - SOFT_SHARE) * way)
    }

    /// Tension at which a web of a thickness is usually run, if the trade tables list the material.
    pub fn usual_tension(self, thickness: Length) -> Option<WebTension> {
        let stress = self.properties().usual_stress_pa?;
        Some(WebTension::from_n_per_m(stress * thickness.m()))
    }
}

/// Pounds-force per inch of width and mil of thickness \[Pa\].
const LBF_PER_IN_AND_MIL: f64 = WebTension::from_lbf_per_in(1.0).n_per_m() / 25.4e-6;

/// Piecewise linear through rising points: the first value before them, the last slope after them.
fn interpolate(points: &[(f64, f64)], x: f64) -> f64 {
    let mut result = points.first().map_or(0.0, |point| point.1);
    for pair in points.windows(2) {
        let [(x0, y0), (x1, y1)] = *pair else {
            continue;
        };
        if x >= x0 {
            result = y0 + (y1 - y0) * (x - x0) / (x1 - x0);
        }
    }
    result
}

const PET: FoilProperties = FoilProperties {
    key: "pet",
    label: "Polyester (PET)",
    glass_transition_deg_c: Some(78.0),
    highest_temperature_deg_c: 130.0,
    density_kg_per_m3: 1390.0,
    heat_capacity_j_per_kg_k: 1170.0,
    conductivity_w_per_m_k: 0.155,
    elastic_modulus_pa: 4.8e9,
    poisson_ratio: 0.38,
    yield_stress_pa: 98e6,
    usual_stress_pa: Some(0.75 * LBF_PER_IN_AND_MIL),
    thermal_expansion_per_k: 17e-6,
    // Zero at 20 K below the glass transition; the larger of both directions at 105 and 150 °C.
    shrinkage: Some(&[(58.0, 0.0), (105.0, 0.009), (150.0, 0.018)]),
    surface_energy_mn_per_m: 41.0,
    surface_energy_range_mn_per_m: (36.0, 44.0),
};

const PET_HEAT_STABILISED: FoilProperties = FoilProperties {
    key: "pet_heat_stabilised",
    label: "Polyester, heat-stabilised (PET)",
    highest_temperature_deg_c: 150.0,
    shrinkage: Some(&[(58.0, 0.0), (150.0, 0.002)]),
    ..PET
};

const PEN: FoilProperties = FoilProperties {
    key: "pen",
    label: "Polyethylene naphthalate (PEN)",
    glass_transition_deg_c: Some(120.0),
    highest_temperature_deg_c: 155.0,
    density_kg_per_m3: 1360.0,
    heat_capacity_j_per_kg_k: 1200.0,
    conductivity_w_per_m_k: 0.15,
    elastic_modulus_pa: 6.25e9,
    poisson_ratio: 0.37,
    yield_stress_pa: 110e6,
    // Run like polyester (common practice).
    usual_stress_pa: Some(0.75 * LBF_PER_IN_AND_MIL),
    thermal_expansion_per_k: 17e-6,
    shrinkage: Some(&[(100.0, 0.0), (150.0, 0.006)]),
    surface_energy_mn_per_m: 43.0,
    surface_energy_range_mn_per_m: (38.0, 46.0),
};

const POLYIMIDE: FoilProperties = FoilProperties {
    key: "polyimide",
    label: "Polyimide (PI)",
    glass_transition_deg_c: Some(360.0),
    highest_temperature_deg_c: 250.0,
    density_kg_per_m3: 1420.0,
    heat_capacity_j_per_kg_k: 1090.0,
    conductivity_w_per_m_k: 0.14,
    elastic_modulus_pa: 2.5e9,
    poisson_ratio: 0.34,
    yield_stress_pa: 69e6,
    // Run like polyester (common practice).
    usual_stress_pa: Some(0.75 * LBF_PER_IN_AND_MIL),
    thermal_expansion_per_k: 20e-6,
    // Shrinks by loss of water well below its glass transition, so the points of the data sheet rule.
    shrinkage: Some(&[(100.0, 0.0), (150.0, 0.0003), (200.0, 0.002)]),
    surface_energy_mn_per_m: 40.0,
    surface_energy_range_mn_per_m: (35.0, 43.0),
};

const PAPER: FoilProperties = FoilProperties {
    key: "paper",
    label: "Paper",
    glass_transition_deg_c: None,
    highest_temperature_deg_c: 120.0,
    density_kg_per_m3: 800.0,
    heat_capacity_j_per_kg_k: 1400.0,
    conductivity_w_per_m_k: 0.1,
    elastic_modulus_pa: 4.5e9,
    poisson_ratio: 0.3,
    yield_stress_pa: 25e6,
    // Listed by mass per area: 1.25 lbf/in for 75 g/m².
    usual_stress_pa: None,
    thermal_expansion_per_k: 10e-6,
    shrinkage: None,
    surface_energy_mn_per_m: 35.0,
    surface_energy_range_mn_per_m: (30.0, 50.0),
};

const ALUMINIUM: FoilProperties = FoilProperties {
    key: "aluminium",
    label: "Aluminium foil",
    glass_transition_deg_c: None,
    highest_temperature_deg_c: 200.0,
    density_kg_per_m3: 2700.0,
    heat_capacity_j_per_kg_k: 900.0,
    conductivity_w_per_m_k: 235.0,
    elastic_modulus_pa: 69e9,
    poisson_ratio: 0.33,
    // Soft foil; hard-rolled foil stands five times as much.
    yield_stress_pa: 30e6,
    usual_stress_pa: Some(LBF_PER_IN_AND_MIL),
    thermal_expansion_per_k: 23e-6,
    shrinkage: Some(&[(0.0, 0.0)]),
    // Rolling oil: 25 to 40; clean oxide above 60.
    surface_energy_mn_per_m: 25.0,
    surface_energy_range_mn_per_m: (25.0, 60.0),
};

const COPPER: FoilProperties = FoilProperties {
    key: "copper",
    label: "Copper foil",
    highest_temperature_deg_c: 120.0,
    density_kg_per_m3: 8960.0,
    heat_capacity_j_per_kg_k: 385.0,
    conductivity_w_per_m_k: 390.0,
    elastic_modulus_pa: 110e9,
    poisson_ratio: 0.34,
    // Annealed; electrodeposited foil stands three times as much.
    yield_stress_pa: 70e6,
    usual_stress_pa: None,
    thermal_expansion_per_k: 17e-6,
    ..ALUMINIUM
};

const STAINLESS_STEEL: FoilProperties = FoilProperties {
    key: "stainless_steel",
    label: "Stainless-steel foil",
    highest_temperature_deg_c: 250.0,
    density_kg_per_m3: 7900.0,
    heat_capacity_j_per_kg_k: 500.0,
    conductivity_w_per_m_k: 15.0,
    elastic_modulus_pa: 195e9,
    poisson_ratio: 0.29,
    // Annealed.
    yield_stress_pa: 205e6,
    usual_stress_pa: None,
    thermal_expansion_per_k: 16e-6,
    ..ALUMINIUM
};
