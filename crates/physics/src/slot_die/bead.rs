//! Pressure balance from the vacuum box through the bead to the room, and its solution for the film thickness.

use crate::elementary::{acos, cos, two_thirds_power};
use crate::quantity::{Angle, Length, Pressure, Speed, SurfaceTension, Viscosity};
use crate::wetting::dynamic_cosine;

/// Coefficient of the film-forming meniscus (Landau & Levich 1942); √2 times that of a plate drawn from a pool.
pub const LANDAU_LEVICH: f64 = 1.34;

/// Geometry of the bead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeadGeometry {
    /// Gap under the downstream lip.
    pub coating_gap: Length,
    /// Gap under the upstream lip.
    pub upstream_gap: Length,
    /// Length of the downstream lip.
    pub downstream_lip: Length,
    /// Length of the upstream lip.
    pub upstream_lip: Length,
    /// Corner angle of the upstream lip's outer edge.
    pub lip_corner: Angle,
}

/// Static contact angles of the ink.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeadAngles {
    /// On the lips.
    pub on_lip: Angle,
    /// On the foil.
    pub on_foil: Angle,
}

/// A coating bead at one speed: every pressure of its balance, and the film thicknesses at which it closes.
///
/// The viscous terms take the viscosity at the nominal shear rate of the gap, the menisci the one at the shear rate of
/// the film (common practice for shear-thinning inks).
///
/// # Source
/// Eqs 3.1 to 3.11 of `docs/methods.md`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoatingBead(RawBead);

impl CoatingBead {
    /// Sets up the balance.
    pub fn new(
        geometry: BeadGeometry,
        angles: BeadAngles,
        speed: Speed,
        surface_tension: SurfaceTension,
        gap_viscosity: Viscosity,
        film_viscosity: Viscosity,
    ) -> Self {
        let sigma = surface_tension.n_per_m();
        let cosines = BeadCosines::new(angles.on_lip.rad(), geometry.lip_corner.rad());
        let capillary_number = film_viscosity.pa_s() * speed.m_per_s() / sigma;
        let lips = Lips {
            gap: geometry.coating_gap.m(),
            upstream_gap: geometry.upstream_gap.m(),
            downstream: geometry.downstream_lip.m(),
            upstream: geometry.upstream_lip.m(),
        };
        let drag = gap_viscosity.pa_s() * speed.m_per_s();
        Self(RawBead::new(
            lips,
            cosines,
            sigma,
            drag,
            dynamic_cosine(cos(angles.on_foil.rad()), capillary_number),
            two_thirds_power(capillary_number),
        ))
    }

    /// Suction of the film-forming meniscus `1.34 Ca^(2/3) σ/t` (eq 3.3).
    pub fn downstream_capillary_pressure(&self, wet_thickness: Length) -> Pressure {
        Pressure::from_pa(self.0.a / wet_thickness.m())
    }

    /// Pressure demand under the downstream lip (eq 3.5); zero at half the gap.
    pub fn downstream_viscous_pressure(&self, wet_thickness: Length) -> Pressure {
        Pressure::from_pa(self.0.b * (1.0 - 2.0 * wet_thickness.m() / self.0.gap))
    }

    /// Pressure demand under the whole upstream lip (eq 3.5).
    pub fn upstream_viscous_pressure(&self) -> Pressure {
        Pressure::from_pa(self.0.upstream_drag)
    }

    /// Dynamic contact angle at the wetting line.
    pub fn dynamic_angle(&self) -> Angle {
        Angle::from_rad(acos(self.0.dynamic_cosine))
    }

    /// Least vacuum that holds the bead at a wet thickness (eq 3.6); negative if none is needed.
    pub fn least_vacuum(&self, wet_thickness: Length) -> Pressure {
        Pressure::from_pa(self.0.demand(wet_thickness.m(), self.0.e_hold))
    }

    /// Vacuum above which the shoulder of the upstream lip wets (eq 3.7a).
    pub fn shoulder_wetting_vacuum(&self, wet_thickness: Length) -> Pressure {
        Pressure::from_pa(self.0.demand(wet_thickness.m(), self.0.e_shoulder))
    }

    /// Vacuum above which the bead floods upstream (eq 3.7b).
    pub fn flooding_vacuum(&self, wet_thickness: Length) -> Pressure {
        Pressure::from_pa(self.0.demand(wet_thickness.m(), self.0.e_flood))
    }

    /// Thinnest film that the bead holds under a vacuum (eq 3.11).
    pub fn thinnest_held(&self, vacuum: Pressure) -> Length {
        Length::from_m(self.0.thinnest_held(vacuum.pa()).m())
    }

    /// Thickest film before the shoulder of the upstream lip wets (eq 3.11).
    pub fn thickest_dry_shoulder(&self, vacuum: Pressure) -> Length {
        Length::from_m(self.0.thickest_dry_shoulder(vacuum.pa()).m())
    }

    /// Thickest film before the bead floods upstream (eq 3.11).
    pub fn thickest_not_flooding(&self, vacuum: Pressure) -> Length {
        Length::from_m(self.0.thickest_not_flooding(vacuum.pa()).m())
    }

    /// Where the upstream meniscus sits, as a share of the upstream lip (eq 3.9): below 0 the bead is lost, above 1 it is
    /// pinned at the outer edge or past it.
    pub fn wetted_upstream_lip(&self, wet_thickness: Length, vacuum: Pressure) -> f64 {
        self.0.wetted_upstream_lip(wet_thickness.m(), vacuum.pa())
    }
}

/// Lengths of the bead \[m\].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lips {
    pub(crate) gap: f64,
    pub(crate) upstream_gap: f64,
    pub(crate) downstream: f64,
    pub(crate) upstream: f64,
}

/// Cosines of the static angles on the upstream lip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct BeadCosines {
    pub(crate) on_lip: f64,
    at_edge: f64,
}

impl BeadCosines {
    /// The angle at the outer edge follows from Gibbs' condition for a pinned line: `min(π, θ_lip + π − α)`.
    pub(crate) fn new(on_lip: f64, lip_corner: f64) -> Self {
        let edge = (on_lip + std::f64::consts::PI - lip_corner).min(std::f64::consts::PI);
        Self {
            on_lip: cos(on_lip),
            at_edge: cos(edge),
        }
    }
}

/// A film thickness \[m\] as a fraction, for callers who compare it with others and can do without the division.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FilmFraction {
    pub(crate) over: f64,
    /// Never negative.
    pub(crate) under: f64,
}

impl FilmFraction {
    /// The thickness \[m\].
    pub(crate) const fn m(self) -> f64 {
        self.over / self.under
    }
}

/// The balance in SI numbers: `ΔP = a/t + b(1 − 2t/H) + e`, with one constant `e` for each limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RawBead {
    /// `1.34 Ca^(2/3) σ` [N/m].
    a: f64,
    /// `6μUL_d/H²` \[Pa\].
    b: f64,
    gap: f64,
    per_gap: f64,
    upstream_drag: f64,
    e_hold: f64,
    e_shoulder: f64,
    e_flood: f64,
    pub(crate) dynamic_cosine: f64,
}

#[expect(
    clippy::inline_always,
    reason = "loops over many settings are vectorized through these"
)]
impl RawBead {
    /// `drag` is gap viscosity times speed [N/m].
    #[inline(always)]
    pub(crate) fn new(
        lips: Lips,
        cosines: BeadCosines,
        sigma: f64,
        drag: f64,
        dynamic_cosine: f64,
        capillary_number_two_thirds: f64,
    ) -> Self {
        // Reciprocals once: divisions are what the balance takes longest over.
        let (per_gap, per_upstream_gap) = (1.0 / lips.gap, 1.0 / lips.upstream_gap);
        let upstream_drag = 6.0 * drag * lips.upstream * (per_upstream_gap * per_upstream_gap);
        let at_edge = -sigma * (dynamic_cosine + cosines.at_edge) * per_upstream_gap;
        Self {
            a: LANDAU_LEVICH * capillary_number_two_thirds * sigma,
            b: 6.0 * drag * lips.downstream * (per_gap * per_gap),
            gap: lips.gap,
            per_gap,
            upstream_drag,
            e_hold: -sigma * (dynamic_cosine + cosines.on_lip) * per_upstream_gap,
            e_shoulder: upstream_drag + at_edge,
            e_flood: upstream_drag + at_edge.max(0.0),
            dynamic_cosine,
        }
    }

    fn demand(&self, t: f64, e: f64) -> f64 {
        self.a / t + self.b * (1.0 - 2.0 * t / self.gap) + e
    }

    /// Positive root of `a/t + b(1 − 2t/H) + e = ΔP` (eq 3.11) as a fraction, in the form without cancellation on either
    /// side.
    #[inline(always)]
    fn root(&self, e: f64, vacuum: f64) -> FilmFraction {
        let big_b = self.b + e - vacuum;
        let s = (big_b * big_b + 8.0 * self.a * self.b * self.per_gap).sqrt();
        if big_b > 0.0 {
            FilmFraction {
                over: self.gap * (big_b + s),
                under: 4.0 * self.b,
            }
        } else {
            FilmFraction {
                over: 2.0 * self.a,
                under: s - big_b,
            }
        }
    }

    pub(crate) fn least_vacuum(&self, t: f64) -> f64 {
        self.demand(t, self.e_hold)
    }

    pub(crate) fn flooding_vacuum(&self, t: f64) -> f64 {
        self.demand(t, self.e_flood)
    }

    #[inline(always)]
    pub(crate) fn thinnest_held(&self, vacuum: f64) -> FilmFraction {
        self.root(self.e_hold, vacuum)
    }

    #[inline(always)]
    pub(crate) fn thickest_dry_shoulder(&self, vacuum: f64) -> FilmFraction {
        self.root(self.e_shoulder, vacuum)
    }

    #[inline(always)]
    pub(crate) fn thickest_not_flooding(&self, vacuum: f64) -> FilmFraction {
        self.root(self.e_flood, vacuum)
    }

    pub(crate) fn wetted_upstream_lip(&self, t: f64, vacuum: f64) -> f64 {
        (vacuum - self.demand(t, self.e_hold)) / self.upstream_drag
    }
}
