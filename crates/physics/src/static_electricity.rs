//! Sparks of charged bodies near solvent vapour (eq 9.5). Estimates only: local codes and licensed practice prevail.

use crate::quantity::{Capacitance, Energy, Voltage};

/// Capacitance of a person (common practice).
pub const PERSON: Capacitance = Capacitance::from_pf(150.0);
/// Voltage to which a person is charged by walking or by foil (common practice).
pub const CHARGED_PERSON: Voltage = Voltage::from_kv(5.0);

/// Energy of the spark of a charged body (eq 9.5).
///
/// # Examples
/// ```
/// use wetlane_physics::static_electricity::{CHARGED_PERSON, PERSON, spark_energy};
/// assert!((spark_energy(PERSON, CHARGED_PERSON).mj() - 1.875).abs() < 1e-9); // 150 pF · (5 kV)²/2, by hand
/// ```
pub fn spark_energy(capacitance: Capacitance, voltage: Voltage) -> Energy {
    Energy::from_j(0.5 * capacitance.f() * voltage.v() * voltage.v())
}
