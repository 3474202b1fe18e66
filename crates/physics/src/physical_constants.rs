//! Constants of nature and the reference state.

/// Molar gas constant [J/(mol·K)], exact since the 2019 SI (CODATA 2018).
pub const GAS_CONSTANT: f64 = 8.314_462_618;
/// Boltzmann constant [J/K], exact since the 2019 SI (CODATA 2018).
pub const BOLTZMANN_CONSTANT: f64 = 1.380_649e-23;
/// Standard atmosphere \[Pa\] (10th CGPM 1954).
pub const STANDARD_PRESSURE: f64 = 101_325.0;
/// Standard gravity [m/s²] (3rd CGPM 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;
/// Stefan–Boltzmann constant [W/(m²·K⁴)], exact since the 2019 SI (CODATA 2018).
pub const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;
/// 25 °C \[K\], the reference temperature of the solvent table.
pub const REFERENCE_TEMPERATURE_K: f64 = 298.15;
/// Molar mass of dry air [kg/mol] (U.S. Standard Atmosphere 1976, rounded).
pub const MOLAR_MASS_AIR: f64 = 0.028_965;
