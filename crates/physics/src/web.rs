//! The web between its rollers: stress and strain, slack, troughs, the air that it draws in, slip, and what a roller leaves
//! on it (eqs 8.1 to 8.10).

use std::f64::consts::PI;

use crate::elementary::{exp, two_thirds_power};
use crate::quantity::{
    Angle, Length, Pressure, Rotation, Speed, TemperatureDifference, WebTension,
};

/// Viscosity of air at room temperature [Pa·s] (handbook value at 25 °C).
pub const AIR_VISCOSITY_PA_S: f64 = 1.85e-5;
/// Coefficient of the foil bearing (Knox & Sweeney 1971, quoted from memory, unverified).
const FOIL_BEARING: f64 = 0.643;
/// Roughnesses of web and roller together that an air film must reach for the web to float (Ducotey & Good 1999, J. Tribol.
/// 121, 618, abstract).
pub const ROUGHNESSES_TO_FLOAT: f64 = 3.0;
/// Speed at which a labour inspectorate's guidance on printing machines lets an unguarded web be threaded, held to run.
pub const THREADING_SPEED: Speed = Speed::from_m_per_min(1.0);

/// Stress of a web under tension (eq 8.1).
pub fn web_stress(tension: WebTension, thickness: Length) -> Pressure {
    Pressure::from_pa(tension.n_per_m() / thickness.m())
}

/// Elastic strain of a web under tension (eq 8.3).
///
/// # Examples
/// ```
/// use wetlane_physics::web::elastic_strain;
/// use wetlane_physics::{Length, Pressure, WebTension};
/// let polyester = Pressure::from_pa(4.8e9);
/// let strain = elastic_strain(WebTension::from_n_per_m(100.0), Length::from_um(75.0), polyester);
/// assert!((strain - 2.7778e-4).abs() < 1e-8); // 100/(75e-6 · 4.8e9), by hand
/// ```
pub fn elastic_strain(tension: WebTension, thickness: Length, modulus: Pressure) -> f64 {
    tension.n_per_m() / (thickness.m() * modulus.pa())
}

/// Free strain of a web that warms (eq 8.4), without shrinkage, from its thermal expansion [1/K].
pub fn thermal_strain(expansion_per_k: f64, rise: TemperatureDifference) -> f64 {
    expansion_per_k * rise.k()
}

/// Speed of the roller after a zone over that before it that keeps the strains before and after (eq 8.4).
pub fn draw_ratio(strain_before: f64, strain_after: f64) -> f64 {
    1.0 + strain_after - strain_before
}

/// Tension in the hot part of a zone of fixed draw; negative where the web hangs slack. `stiffness` is modulus times
/// thickness there [N/m], `draw` the speed of the roller after the zone over that before it, less one.
pub fn hot_tension(
    tension: WebTension,
    stiffness_n_per_m: f64,
    draw: f64,
    thermal_strain: f64,
    shrinkage: f64,
) -> WebTension {
    let stretch = draw - thermal_strain + shrinkage;
    WebTension::from_n_per_m(tension.n_per_m() + stiffness_n_per_m * stretch)
}

/// Air film between a web and a roller (eq 8.5), for the speeds of both.
///
/// # Validity
/// A web that wraps the roller well; no grooves, no air through the web.
///
/// # Source
/// Foil-bearing law, Knox & Sweeney (1971), quoted from memory, unverified; the form is confirmed by Ducotey & Good (1999),
/// J. Tribol. 121, 618, abstract.
pub fn air_film(radius: Length, web: Speed, roller: Speed, tension: WebTension) -> Length {
    let speeds = web.m_per_s() + roller.m_per_s();
    let bearing = 6.0 * AIR_VISCOSITY_PA_S * speeds / tension.n_per_m();
    Length::from_m(FOIL_BEARING * radius.m() * two_thirds_power(bearing))
}

/// A free span of web between two rollers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FreeSpan {
    /// Length from roller to roller.
    pub length: Length,
    /// Width of the web.
    pub width: Length,
    /// Thickness of the web.
    pub thickness: Length,
    /// Elastic modulus.
    pub modulus: Pressure,
    /// Poisson's ratio.
    pub poisson_ratio: f64,
    /// Stress along the web.
    pub stress: Pressure,
}

impl FreeSpan {
    /// Compression across the web at which the span buckles into troughs (eq 8.6).
    ///
    /// # Validity
    /// A web whose bending stiffness is small against its tension, as that of foils is.
    ///
    /// # Source
    /// Shelton; Good & Biesel, quoted from memory, unverified; derived again as the least buckling load of a tensioned span.
    pub fn buckling_stress(&self) -> Pressure {
        let (t, l, e) = (self.thickness.m(), self.length.m(), self.modulus.pa());
        let nu = self.poisson_ratio;
        Pressure::from_pa(PI * t / l * (e * self.stress.pa() / (3.0 * (1.0 - nu * nu))).sqrt())
    }

    /// Compression across the web that two rollers out of line by an angle make (eq 8.6a).
    ///
    /// The web enters the second roller square to it, so that the span bends like a beam and carries the shear stress
    /// `EW²θ/(6L²)`; the lesser principal stress of that shear and the tension is the compression.
    ///
    /// # Validity
    /// Spans at least as long as the web is wide; a shorter span also shears and is compressed less.
    ///
    /// # Source
    /// Beam of Shelton (1968), wrinkling by shear after Good, Kedl & Shelton (1997), both quoted from memory, unverified;
    /// derived again.
    pub fn compression_of_misalignment(&self, angle: Angle) -> Pressure {
        let slenderness = self.width.m() / self.length.m();
        let shear = self.modulus.pa() * slenderness * slenderness * angle.rad() / 6.0;
        let half = 0.5 * self.stress.pa();
        // The form without cancellation of √(half² + shear²) − half.
        Pressure::from_pa(shear * shear / ((half * half + shear * shear).sqrt() + half))
    }
}

/// How fast a roller turns (eq 8.7).
pub fn rotation(web: Speed, diameter: Length) -> Rotation {
    Rotation::from_per_s(web.m_per_s() / (PI * diameter.m()))
}

/// Speed of the surface of a turning roller (eq 8.7): how a single roll sets the speed of its sheet.
pub fn surface_speed(rotation: Rotation, diameter: Length) -> Speed {
    Speed::from_m_per_s(rotation.per_s() * PI * diameter.m())
}

/// Pitch along the web of the marks that a roller of a diameter leaves, to be compared with the pitch of a defect.
pub fn mark_pitch(diameter: Length) -> Length {
    Length::from_m(PI * diameter.m())
}

/// Foil that one turn of a single roll can coat: its circumference less what the clamp takes.
pub fn lap_length(diameter: Length, clamp: Length) -> Length {
    Length::from_m((PI * diameter.m() - clamp.m()).max(0.0))
}

/// Ratio of the tensions on both sides of a driven roller above which the web slips (eq 8.8).
///
/// # Source
/// Euler's belt, textbook, quoted from memory.
pub fn slip_tension_ratio(friction: f64, wrap: Angle) -> f64 {
    exp(friction * wrap.rad())
}

/// Strain of the outer face of a web bent over a roller or core (eq 8.9); brittle coatings crack above about 0.5 %
/// (common practice), oxide layers at 1 to 2 %.
pub fn bending_strain(thickness: Length, radius: Length) -> f64 {
    0.5 * thickness.m() / radius.m()
}

/// Curvature of a web with a thin stressed film [1/m] (eq 8.10), from the web's modulus over one minus Poisson's ratio.
///
/// # Source
/// Stoney, quoted from memory, unverified.
pub fn curl_curvature_per_m(
    film_stress: Pressure,
    film_thickness: Length,
    biaxial_modulus: Pressure,
    web_thickness: Length,
) -> f64 {
    let t = web_thickness.m();
    6.0 * film_stress.pa() * film_thickness.m() / (biaxial_modulus.pa() * t * t)
}
