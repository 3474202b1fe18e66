//! Curing by ultraviolet lamps: dose, depth, warming, the foils that block the light, and what the light does to people
//! (eqs 7.1, 7.2, 9.8).

use crate::elementary::exp;
use crate::line::FoilMaterial;
use crate::quantity::{
    Duration, ExposureDose, Fraction, Irradiance, Length, Speed, TemperatureDifference,
};

/// Oxygen at the film below which free-radical resins cure through, 0.1 to 1 % (common practice).
pub const ACCEPTED_OXYGEN: Fraction = Fraction::from_ratio(0.005);
/// Warming of the foil by a lamp that is accepted (common practice).
pub const ACCEPTED_WARMING: TemperatureDifference = TemperatureDifference::from_k(20.0);
/// Weighted dose of eye and skin in a working day, 180 to 400 nm (ICNIRP 2004).
pub const ACTINIC_LIMIT: ExposureDose = ExposureDose::from_j_per_m2(30.0);
/// Dose of the eye in a working day, 315 to 400 nm (ICNIRP 2004).
pub const NEAR_ULTRAVIOLET_EYE_LIMIT: ExposureDose = ExposureDose::from_j_per_m2(10e3);
/// Wavelength from which the limit of the near ultraviolet counts.
pub const NEAR_ULTRAVIOLET: Length = Length::from_nm(315.0);
/// Working day that the limits are for.
pub const WORKING_DAY: Duration = Duration::from_h(8.0);
/// Wavelength below which lamps make ozone.
pub const OZONE_WAVELENGTH: Length = Length::from_nm(240.0);

/// Dose on the web from the mean irradiance along a window (eq 7.1). Doses of several lamps and passes add up.
///
/// # Examples
/// ```
/// use wetlane_physics::curing::exposure_dose;
/// use wetlane_physics::{Irradiance, Length, Speed};
/// let dose = exposure_dose(
///     Irradiance::from_mw_per_cm2(100.0),
///     Length::from_mm(100.0),
///     Speed::from_m_per_min(1.0),
/// );
/// assert!((dose.j_per_cm2() - 0.6).abs() < 1e-12); // 0.1 W/cm² · 10 cm over 100/60 cm/s, by hand
/// ```
pub fn exposure_dose(irradiance: Irradiance, window: Length, speed: Speed) -> ExposureDose {
    ExposureDose::from_j_per_m2(irradiance.w_per_m2() * window.m() / speed.m_per_s())
}

/// Share of full lamp power that lays down a dose (eq 7.1 inverted); above one where no power is enough.
pub fn lamp_power_for_dose(
    dose: ExposureDose,
    irradiance_at_full_power: Irradiance,
    window: Length,
    speed: Speed,
) -> Fraction {
    let full = exposure_dose(irradiance_at_full_power, window, speed);
    Fraction::from_ratio(dose.j_per_m2() / full.j_per_m2())
}

/// Dose at the bottom of a layer of a decadic absorbance below a cover (eq 7.2, Beer & Lambert).
pub fn dose_at_bottom(
    dose: ExposureDose,
    cover_transmittance: Fraction,
    absorbance: f64,
) -> ExposureDose {
    ExposureDose::from_j_per_m2(
        dose.j_per_m2() * cover_transmittance.ratio() * exp(-std::f64::consts::LN_10 * absorbance),
    )
}

/// Warming of a foil that takes up a share of a dose, from its heat capacity per area [J/(m²·K)].
pub fn warming(
    dose: ExposureDose,
    absorbed: Fraction,
    areal_heat_capacity_j_per_m2_k: f64,
) -> TemperatureDifference {
    TemperatureDifference::from_k(
        absorbed.ratio() * dose.j_per_m2() / areal_heat_capacity_j_per_m2_k,
    )
}

/// Time in which direct view of a lamp reaches a daily limit (eq 9.8).
///
/// In the near ultraviolet that of the eye; below it, and for lamps of unknown wavelength, that of eye and skin with every
/// wavelength taken to act like the worst, 270 nm.
pub fn exposure_time(irradiance: Irradiance, wavelength: Option<Length>) -> Duration {
    let limit = match wavelength {
        Some(wavelength) if wavelength >= NEAR_ULTRAVIOLET => NEAR_ULTRAVIOLET_EYE_LIMIT,
        Some(_) | None => ACTINIC_LIMIT,
    };
    Duration::from_s(limit.j_per_m2() / irradiance.w_per_m2())
}

impl FoilMaterial {
    /// Wavelength below which the foil absorbs ultraviolet light (quoted from memory, unverified); `None` if it lets none
    /// through at all.
    pub const fn absorption_edge(self) -> Option<Length> {
        match self {
            Self::Pet | Self::PetHeatStabilised => Some(Length::from_nm(310.0)),
            Self::Pen => Some(Length::from_nm(380.0)),
            Self::Polyimide => Some(Length::from_nm(450.0)),
            Self::Paper | Self::Aluminium | Self::Copper | Self::StainlessSteel => None,
        }
    }
}
