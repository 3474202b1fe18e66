//! Surface energies of foils and the contact angle they promise.
//!
//! Energies from different pairs of test liquids, or from test inks, are not comparable with each other: the same
//! polyester gives 26 mN/m with water and glycerol and 41 to 44 with test inks. Compare only within one method.

use thiserror::Error;

use crate::elementary::{acos, cos};
use crate::quantity::{Angle, SurfaceTension};

/// Largest equilibrium contact angle at which a film can be made (common practice).
pub const GREATEST_ANGLE: Angle = Angle::from_deg(60.0);
/// Contact angle above which the film is forced onto the foil and retracts (common practice).
pub const SPREADING_ANGLE: Angle = Angle::from_deg(30.0);
/// By how much the wetting tension of the foil should exceed the ink's surface tension: trade rule of 7 to 10 mN/m, only
/// for wetting tensions by test inks.
pub const ENERGY_SURPLUS: SurfaceTension = SurfaceTension::from_mn_per_m(8.0);

/// Dispersive and polar part of a surface tension or surface energy.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnergyParts {
    /// Dispersive part.
    pub dispersive: SurfaceTension,
    /// Polar part.
    pub polar: SurfaceTension,
}

impl EnergyParts {
    /// Sum of both parts.
    pub fn total(&self) -> SurfaceTension {
        SurfaceTension::from_n_per_m(self.dispersive.n_per_m() + self.polar.n_per_m())
    }
}

/// Test liquids with their parts, for [`owens_wendt_two_liquids`]. Water and glycerol reproduce a published table; the
/// rest is quoted from memory, unverified.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TestLiquid {
    /// Water.
    Water,
    /// Glycerol.
    Glycerol,
    /// Diiodomethane.
    Diiodomethane,
    /// Ethylene glycol.
    EthyleneGlycol,
    /// Formamide.
    Formamide,
}

impl TestLiquid {
    /// Every test liquid.
    pub const ALL: [Self; 5] = [
        Self::Water,
        Self::Glycerol,
        Self::Diiodomethane,
        Self::EthyleneGlycol,
        Self::Formamide,
    ];

    /// Dispersive and polar part at 20 °C.
    pub const fn parts(self) -> EnergyParts {
        let (dispersive, polar) = match self {
            Self::Water => (21.8, 51.0),
            Self::Glycerol => (37.0, 26.4),
            Self::Diiodomethane => (50.8, 0.0),
            Self::EthyleneGlycol => (29.0, 19.0),
            Self::Formamide => (39.0, 19.0),
        };
        EnergyParts {
            dispersive: SurfaceTension::from_mn_per_m(dispersive),
            polar: SurfaceTension::from_mn_per_m(polar),
        }
    }
}

/// Why two contact angles do not give the parts of a surface energy.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum SurfaceEnergyError {
    /// The liquids have nearly the same ratio of polar to dispersive part.
    #[error("these two liquids are too alike to separate the parts of the surface energy")]
    LiquidsTooAlike,
    /// The angles contradict the method: a square root of a part came out negative.
    #[error(
        "these two contact angles give a negative part of the surface energy; they do not belong to one surface"
    )]
    NegativePart,
}

/// Least determinant, over the product of the liquids' tensions, at which two liquids still separate the parts (common
/// practice; water and glycerol have 0.22).
const LEAST_RELATIVE_DETERMINANT: f64 = 0.02;

/// Parts of a foil's surface energy from the contact angles of two test liquids (Owens & Wendt, eq 5.3).
///
/// # Errors
/// [`SurfaceEnergyError`] if the liquids cannot separate the parts or the angles contradict each other.
///
/// # Source
/// Owens & Wendt (1969), J. Appl. Polym. Sci. 13, 1741.
pub fn owens_wendt_two_liquids(
    first: (EnergyParts, Angle),
    second: (EnergyParts, Angle),
) -> Result<EnergyParts, SurfaceEnergyError> {
    let row = |(liquid, angle): (EnergyParts, Angle)| {
        let half_work = 0.5 * liquid.total().n_per_m() * (1.0 + cos(angle.rad()));
        (
            liquid.dispersive.n_per_m().sqrt(),
            liquid.polar.n_per_m().sqrt(),
            half_work,
        )
    };
    let ((a, b, e), (c, d, f)) = (row(first), row(second));
    let determinant = a * d - b * c;
    let scale = (first.0.total().n_per_m() * second.0.total().n_per_m()).sqrt();
    // A NaN, too, is refused.
    if determinant.is_nan() || determinant.abs() <= LEAST_RELATIVE_DETERMINANT * scale {
        return Err(SurfaceEnergyError::LiquidsTooAlike);
    }
    let (x, y) = ((e * d - b * f) / determinant, (a * f - e * c) / determinant);
    if x < 0.0 || y < 0.0 {
        return Err(SurfaceEnergyError::NegativePart);
    }
    Ok(EnergyParts {
        dispersive: SurfaceTension::from_n_per_m(x * x),
        polar: SurfaceTension::from_n_per_m(y * y),
    })
}

/// Work of adhesion `σ(1 + cos θ)` (Young & Dupré, eq 5.2).
pub fn work_of_adhesion(surface_tension: SurfaceTension, angle: Angle) -> SurfaceTension {
    SurfaceTension::from_n_per_m(surface_tension.n_per_m() * (1.0 + cos(angle.rad())))
}

/// Work of adhesion from the parts of foil and ink (eq 5.3).
pub fn work_of_adhesion_from_parts(foil: EnergyParts, ink: EnergyParts) -> SurfaceTension {
    let (sd, sp) = (foil.dispersive.n_per_m(), foil.polar.n_per_m());
    let (ld, lp) = (ink.dispersive.n_per_m(), ink.polar.n_per_m());
    SurfaceTension::from_n_per_m(2.0 * ((sd * ld).sqrt() + (sp * lp).sqrt()))
}

/// Spreading coefficient `W_a − 2σ`; positive if the ink spreads by itself (eq 5.5).
pub fn spreading_coefficient(
    work_of_adhesion: SurfaceTension,
    surface_tension: SurfaceTension,
) -> SurfaceTension {
    SurfaceTension::from_n_per_m(work_of_adhesion.n_per_m() - 2.0 * surface_tension.n_per_m())
}

/// Cosine of the contact angle that the parts of foil and ink promise, not clipped: above 1 the ink spreads (eq 5.4).
pub fn contact_cosine_from_parts(foil: EnergyParts, ink: EnergyParts) -> f64 {
    work_of_adhesion_from_parts(foil, ink).n_per_m() / ink.total().n_per_m() - 1.0
}

/// Contact angle that the parts of foil and ink promise (eq 5.4); zero if the ink spreads.
pub fn contact_angle_from_parts(foil: EnergyParts, ink: EnergyParts) -> Angle {
    Angle::from_rad(acos(contact_cosine_from_parts(foil, ink).clamp(-1.0, 1.0)))
}

/// Contact angle from the totals alone, `cos θ = 2√(γ/σ) − 1` (eq 5.6b); zero if the ink spreads.
///
/// # Source
/// Girifalco & Good (1957) with an interaction factor of 1.
pub fn contact_angle_from_totals(
    foil_energy: SurfaceTension,
    surface_tension: SurfaceTension,
) -> Angle {
    Angle::from_rad(acos(contact_cosine_from_totals(
        foil_energy.n_per_m(),
        surface_tension.n_per_m(),
    )))
}

pub(crate) fn contact_cosine_from_totals(gamma: f64, sigma: f64) -> f64 {
    (2.0 * (gamma / sigma).sqrt() - 1.0).clamp(-1.0, 1.0)
}
