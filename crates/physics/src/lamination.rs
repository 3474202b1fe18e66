//! Lamination: the nip of two rollers as a Hertz contact, how long the bond line stays in it, how warm it gets, and whether
//! both webs leave equally stretched (eqs 7.3 to 7.8).

use std::f64::consts::PI;

use crate::elementary::{erfc, exp};
use crate::physical_constants::GAS_CONSTANT;
use crate::quantity::{
    Diffusivity, Duration, Fraction, Length, MolarEnergy, Pressure, Speed, Temperature, WebTension,
};

/// Stretch by which two webs may differ where they are joined before the laminate curls (common practice).
pub const ACCEPTED_STRAIN_DIFFERENCE: f64 = 5e-4;
/// Storage modulus at 1 Hz above which a pressure-sensitive adhesive no longer wets what it is pressed on (Dahlquist, quoted
/// from memory, unverified).
pub const GREATEST_TACKY_MODULUS: Pressure = Pressure::from_pa(3e5);
/// Fourier number (times π²/4) below which the penetration series is the shorter one; both agree there to 1e-12.
const EARLY: f64 = 0.3;

/// A steel roller against a roller with a rubber cover.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nip {
    /// Load per width.
    pub load: WebTension,
    /// Diameters of both rollers.
    pub diameters: (Length, Length),
    /// Elastic modulus of the rubber.
    pub rubber_modulus: Pressure,
    /// Poisson's ratio of the rubber, at most a half.
    pub rubber_poisson_ratio: f64,
}

impl Nip {
    /// Length along the web over which the rollers touch (eq 7.3).
    ///
    /// # Validity
    /// A cover that is thick against the contact. A thin cover gives a shorter contact at 1.3 to 2 times the pressure (common
    /// practice).
    ///
    /// # Source
    /// Line contact of Hertz, after Johnson, Contact Mechanics (1985), quoted from memory, derived again.
    ///
    /// # Examples
    /// ```
    /// use wetlane_physics::lamination::Nip;
    /// use wetlane_physics::{Length, Pressure, WebTension};
    /// let nip = Nip {
    ///     load: WebTension::from_n_per_mm(2.0),
    ///     diameters: (Length::from_mm(200.0), Length::from_mm(200.0)),
    ///     rubber_modulus: Pressure::from_pa(5e6),
    ///     rubber_poisson_ratio: 0.49,
    /// };
    /// assert!((nip.contact_length().mm() - 8.7979).abs() < 0.01);
    /// ```
    pub fn contact_length(&self) -> Length {
        let (first, second) = (0.5 * self.diameters.0.m(), 0.5 * self.diameters.1.m());
        let radius = first * second / (first + second);
        let nu = self.rubber_poisson_ratio;
        let modulus = self.rubber_modulus.pa() / (1.0 - nu * nu);
        Length::from_m(2.0 * (4.0 * self.load.n_per_m() * radius / (PI * modulus)).sqrt())
    }

    /// Mean pressure over the contact.
    pub fn mean_pressure(&self) -> Pressure {
        Pressure::from_pa(self.load.n_per_m() / self.contact_length().m())
    }

    /// Time in the nip (eq 7.4).
    pub fn dwell(&self, web: Speed) -> Duration {
        Duration::from_s(self.contact_length().m() / web.m_per_s())
    }

    /// Highest speed at which the web stays in the nip for a time (eq 7.4).
    pub fn speed_for_dwell(&self, dwell: Duration) -> Speed {
        Speed::from_m_per_s(self.contact_length().m() / dwell.s())
    }
}

/// Pressure times time at the bond line \[Pa·s\] (eq 7.5), weighted by how much softer the adhesive is than at a reference
/// temperature. An activation energy of zero stands for a pressure-sensitive adhesive.
///
/// # Source
/// Derived: flow of the adhesive into the surface is proportional to pressure and time over viscosity.
pub fn lamination_dose_pa_s(
    pressure: Pressure,
    dwell: Duration,
    activation: MolarEnergy,
    bond_line: Temperature,
    reference: Temperature,
) -> f64 {
    let softer =
        exp(-(activation.j_per_mol() / GAS_CONSTANT) * (1.0 / bond_line.k() - 1.0 / reference.k()));
    pressure.pa() * dwell.s() * softer
}

/// Share of the temperature difference between roller and bond line that is left after a time on the roller (eq 7.6): a
/// foil on a hot roller with nothing behind its bond line that takes heat.
///
/// # Source
/// Carslaw & Jaeger, slab insulated on one face, textbook series, quoted from memory, derived again; its first term for
/// late times is `(4/π)·exp(−π²αt/(4L²))`.
pub fn unwarmed_share(foil: Length, diffusivity: Diffusivity, time: Duration) -> Fraction {
    let l = foil.m();
    let late = PI * PI * diffusivity.m2_per_s() * time.s() / (4.0 * l * l);
    if late <= 0.0 {
        return Fraction::from_ratio(1.0);
    }
    let share = if late < EARLY {
        // Images: 1 − 2·erfc(z) + 2·erfc(3z) − …, the third of them below 1e-11 here.
        let z = PI / (4.0 * late.sqrt());
        1.0 - 2.0 * (erfc(z) - erfc(3.0 * z))
    } else {
        let term = |n: f64| exp(-n * n * late) / n;
        4.0 / PI * (term(1.0) - term(3.0) + term(5.0) - term(7.0) + term(9.0))
    };
    Fraction::from_ratio(share.clamp(0.0, 1.0))
}

/// Temperature of the bond line as it leaves the nip (eq 7.6).
pub fn bond_line_temperature(
    roller: Temperature,
    arriving: Temperature,
    unwarmed: Fraction,
) -> Temperature {
    Temperature::from_k(roller.k() - unwarmed.ratio() * (roller.k() - arriving.k()))
}
