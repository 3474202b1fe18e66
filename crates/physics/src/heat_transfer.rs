//! Heat-transfer coefficients of dryers, contact with rollers, heater power (eqs 6.9, 6.10, 6.16 to 6.18).

use std::f64::consts::PI;

use crate::elementary::{exp, pow};
use crate::gas::GasProperties;
use crate::quantity::{
    Angle, Duration, HeatTransferCoefficient, Length, Power, Speed, Temperature,
    TemperatureDifference, VolumeFlow,
};

/// Reynolds number at which a flat plate turns turbulent (textbook, quoted from memory).
const PLATE_TRANSITION: f64 = 5e5;

/// Heat transfer of gas flowing along a plate of a length (eq 6.9): laminar, or tripped to turbulence above a Reynolds
/// number of 5e5. A lower bound for a lab channel.
///
/// # Source
/// Textbook correlations, quoted from memory, unverified.
pub fn flat_plate(speed: Speed, length: Length, gas: GasProperties) -> HeatTransferCoefficient {
    let re = speed.m_per_s() * length.m() * gas.density_kg_per_m3 / gas.viscosity_pa_s;
    let pr_third = libm::cbrt(gas.prandtl_number());
    let nu = if re < PLATE_TRANSITION {
        0.664 * re.sqrt()
    } else {
        0.037 * pow(re, 0.8) - 871.0
    } * pr_third;
    HeatTransferCoefficient::from_w_per_m2_k(nu * gas.conductivity_w_per_m_k / length.m())
}

/// An array of slot nozzles blowing onto the web.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlotJets {
    /// Width of a slot.
    pub slot_width: Length,
    /// Distance from nozzle to web.
    pub stand_off: Length,
    /// Distance from slot to slot.
    pub pitch: Length,
}

impl SlotJets {
    /// Reynolds number on twice the slot width.
    pub fn reynolds_number(&self, exit_speed: Speed, gas: GasProperties) -> f64 {
        exit_speed.m_per_s() * 2.0 * self.slot_width.m() * gas.density_kg_per_m3
            / gas.viscosity_pa_s
    }

    /// Heat-transfer coefficient averaged over the array (eq 6.10).
    ///
    /// # Validity
    /// Reynolds numbers 1500 to 40 000, open share 0.008 to 2.5 f₀, stand-off 2 to 80 slot widths.
    ///
    /// # Source
    /// Martin (1977), Adv. Heat Transfer 13, 1, quoted from memory, unverified.
    pub fn heat_transfer(&self, exit_speed: Speed, gas: GasProperties) -> HeatTransferCoefficient {
        let s = self.slot_width.m();
        let f = s / self.pitch.m();
        let x = self.stand_off.m() / (2.0 * s) - 2.0;
        let f0 = 1.0 / (60.0 + 4.0 * x * x).sqrt();
        let re = self.reynolds_number(exit_speed, gas);
        let nu = pow(gas.prandtl_number(), 0.42) * 2.0 / 3.0
            * pow(f0, 0.75)
            * pow(2.0 * re / (f / f0 + f0 / f), 2.0 / 3.0);
        HeatTransferCoefficient::from_w_per_m2_k(nu * gas.conductivity_w_per_m_k / (2.0 * s))
    }
}

/// Heat transfer of one gas over that of another at the same nozzle speed and slot jets: `k·Re^(2/3)·Pr^0.42`.
pub fn slot_jet_ratio(gas: GasProperties, reference: GasProperties) -> f64 {
    let kinematic = |g: GasProperties| g.density_kg_per_m3 / g.viscosity_pa_s;
    gas.conductivity_w_per_m_k / reference.conductivity_w_per_m_k
        * pow(kinematic(gas) / kinematic(reference), 2.0 / 3.0)
        * pow(gas.prandtl_number() / reference.prandtl_number(), 0.42)
}

/// Length of web in contact with a roller.
pub fn wrapped_length(roller_diameter: Length, wrap: Angle) -> Length {
    Length::from_m(0.5 * roller_diameter.m() * wrap.rad())
}

/// Time of contact with a roller (eq 6.17).
pub fn contact_time(roller_diameter: Length, wrap: Angle, speed: Speed) -> Duration {
    Duration::from_s(wrapped_length(roller_diameter, wrap).m() / speed.m_per_s())
}

/// Time constant of a web heated on one side, from its heat capacity per area [J/(m²·K)].
pub fn web_time_constant(
    areal_heat_capacity_j_per_m2_k: f64,
    contact: HeatTransferCoefficient,
) -> Duration {
    Duration::from_s(areal_heat_capacity_j_per_m2_k / contact.w_per_m2_k())
}

/// Temperature of a dry web that leaves a heated roller (eq 6.18).
pub fn web_after_roller(
    roller: Temperature,
    web: Temperature,
    contact: Duration,
    time_constant: Duration,
) -> Temperature {
    Temperature::from_k(roller.k() - (roller.k() - web.k()) * exp(-contact.s() / time_constant.s()))
}

/// Rate at which a dry web warms under an absorbed heat flux [W/m²], from its heat capacity per area (eq 6.19) [K/s].
pub fn radiant_heating_rate_k_per_s(
    absorbed_w_per_m2: f64,
    areal_heat_capacity_j_per_m2_k: f64,
) -> f64 {
    absorbed_w_per_m2 / areal_heat_capacity_j_per_m2_k
}

/// Power that heats a flow of gas, the first term of eq 6.16, with the gas at the state in which the flow is measured.
pub fn gas_heating_power(
    flow: VolumeFlow,
    gas: GasProperties,
    rise: TemperatureDifference,
) -> Power {
    Power::from_w(flow.m3_per_s() * gas.density_kg_per_m3 * gas.heat_capacity_j_per_kg_k * rise.k())
}

/// Share of a sudden temperature change that has not yet reached the far side of a layer heated on one face (eq 7.6), from
/// its thermal diffusivity [m²/s], its thickness and the time.
///
/// # Validity
/// The first term of the series: once less than about 0.8 is left.
pub fn unaccomplished_change(
    thermal_diffusivity_m2_per_s: f64,
    thickness: Length,
    time: Duration,
) -> f64 {
    let l = thickness.m();
    4.0 / PI * exp(-PI * PI * thermal_diffusivity_m2_per_s * time.s() / (4.0 * l * l))
}

/// Time in a zone (eq 6.14).
pub fn residence_time(zone_length: Length, speed: Speed) -> Duration {
    Duration::from_s(zone_length.m() / speed.m_per_s())
}

/// Temperature at which bare metal burns skin within a minute (ISO 13732-1, quoted from memory, unverified).
pub const BURN_THRESHOLD: Temperature = Temperature::from_deg_c(51.0);
/// Temperature from which the way to the burn threshold is counted.
pub const COOL_SURFACE: Temperature = Temperature::from_deg_c(20.0);
