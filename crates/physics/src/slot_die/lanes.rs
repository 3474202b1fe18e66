//! The bead in loops over many settings or many inks, one a lane: the equations of the neighboring files with exponentials
//! and logarithms that the compiler can turn into vector instructions.

#![expect(
    clippy::inline_always,
    reason = "a call in a loop keeps it from being vectorized"
)]

use super::bead::{BeadCosines, FilmFraction, Lips, RawBead};
use super::low_flow::thinnest_film_fraction;
use crate::elementary::branchless::{self, Branchless};
use crate::line::Rheology;
use crate::quantity::Viscosity;
use crate::rheology::{Carreau, FlowLaw};
use crate::wetting::{air_entrainment_by, dynamic_cosine_by};

/// Lanes of a block: enough that loops over them pay, few enough that a block stays in the nearest cache.
pub(crate) const LANES: usize = 64;

/// What the film alone decides, whatever the gap.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LaneFilm {
    /// Capillary number to the power of two thirds.
    pub(crate) two_thirds: f64,
    /// Cosine of the dynamic contact angle.
    pub(crate) dynamic: f64,
}

impl LaneFilm {
    /// From the capillary number of the film and the cosine of the static angle on the foil.
    #[inline(always)]
    pub(crate) fn new(capillary_number: f64, foil_cosine: f64) -> Self {
        let logarithm = branchless::ln(capillary_number);
        Self {
            two_thirds: branchless::exp(2.0 / 3.0 * logarithm),
            dynamic: dynamic_cosine_by::<Branchless>(foil_cosine, logarithm),
        }
    }
}

/// The bead of one lane with what stands about it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LaneBead {
    pub(crate) lips: Lips,
    pub(crate) cosines: BeadCosines,
    pub(crate) sigma: f64,
    /// Gap viscosity times speed [N/m].
    pub(crate) drag: f64,
    pub(crate) film: LaneFilm,
    pub(crate) vacuum: f64,
}

/// Thinnest and thickest films \[m\].
#[derive(Debug, Clone, Copy)]
pub(crate) struct LaneFilms {
    pub(crate) low_flow: FilmFraction,
    pub(crate) held: FilmFraction,
    pub(crate) not_flooding: FilmFraction,
    /// Where it is asked for.
    pub(crate) dry_shoulder: FilmFraction,
}

impl LaneBead {
    /// The films of the hard limits, and with `SHOULDER` of the soft one.
    #[inline(always)]
    pub(crate) fn films<const SHOULDER: bool>(&self) -> LaneFilms {
        let bead = RawBead::new(
            self.lips,
            self.cosines,
            self.sigma,
            self.drag,
            self.film.dynamic,
            self.film.two_thirds,
        );
        LaneFilms {
            low_flow: thinnest_film_fraction(self.lips.gap, self.film.two_thirds),
            held: bead.thinnest_held(self.vacuum),
            not_flooding: bead.thickest_not_flooding(self.vacuum),
            dry_shoulder: if SHOULDER {
                bead.thickest_dry_shoulder(self.vacuum)
            } else {
                FilmFraction {
                    over: 0.0,
                    under: 1.0,
                }
            },
        }
    }
}

/// Air-entrainment speed [m/s].
#[inline(always)]
pub(crate) fn lane_entrainment(mu: f64, rho: f64, sigma: f64) -> f64 {
    air_entrainment_by::<Branchless>(mu, rho, sigma)
}

/// Flow laws of a block of lanes: of one kind, with one index and one measured range, each with its own coefficients.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LaneLaws {
    kind: FlowLaw,
    /// Viscosity, consistency or viscosity at rest \[SI\].
    first: [f64; LANES],
    /// Viscosity at high rate [Pa·s] and time constant \[s\] of Carreau's law.
    at_high_rate: [f64; LANES],
    time_constant: [f64; LANES],
}

impl LaneLaws {
    /// One law in every lane.
    pub(crate) fn uniform(law: FlowLaw) -> Self {
        let mut lanes = Self {
            kind: law,
            first: [0.0; LANES],
            at_high_rate: [0.0; LANES],
            time_constant: [0.0; LANES],
        };
        for lane in 0..LANES {
            lanes.put(lane, law);
        }
        lanes
    }

    /// Puts a law of the same kind into a lane; one of another kind has no place there and changes nothing.
    pub(crate) fn put(&mut self, lane: usize, law: FlowLaw) {
        let (first, at_high_rate, time_constant) = match (law.rheology, self.kind.rheology) {
            (Rheology::Newtonian { viscosity }, Rheology::Newtonian { .. }) => {
                (viscosity.pa_s(), 0.0, 0.0)
            }
            (Rheology::PowerLaw { consistency, .. }, Rheology::PowerLaw { .. }) => {
                (consistency.pa_s(), 0.0, 0.0)
            }
            (Rheology::Carreau(law), Rheology::Carreau(_)) => (
                law.at_rest.pa_s(),
                law.at_high_rate.pa_s(),
                law.time_constant_s,
            ),
            (Rheology::Newtonian { .. } | Rheology::PowerLaw { .. } | Rheology::Carreau(_), _) => {
                return;
            }
        };
        let slots = (
            self.first.get_mut(lane),
            self.at_high_rate.get_mut(lane),
            self.time_constant.get_mut(lane),
        );
        if let (Some(a), Some(b), Some(c)) = slots {
            (*a, *b, *c) = (first, at_high_rate, time_constant);
        }
    }

    pub(crate) const fn is_newtonian(&self) -> bool {
        self.kind.is_newtonian()
    }

    /// Viscosities [Pa·s] at the shear rates of speeds over heights, lane by lane.
    #[inline(always)]
    pub(crate) fn viscosities(
        &self,
        speeds: &[f64; LANES],
        heights: &[f64; LANES],
    ) -> [f64; LANES] {
        // The law is put together anew in each loop, so that the compiler knows its kind there.
        match self.kind.rheology {
            Rheology::Newtonian { .. } => self.first,
            Rheology::PowerLaw { index, .. } => {
                let mut viscosities = [0.0; LANES];
                for (lane, mu) in viscosities.iter_mut().enumerate() {
                    let rheology = Rheology::PowerLaw {
                        consistency: Viscosity::from_pa_s(self.first[lane]),
                        index,
                    };
                    *mu = viscosity(self.kind, rheology, speeds[lane] / heights[lane]);
                }
                viscosities
            }
            Rheology::Carreau(Carreau { index, .. }) => {
                let mut viscosities = [0.0; LANES];
                for (lane, mu) in viscosities.iter_mut().enumerate() {
                    let rheology = Rheology::Carreau(Carreau {
                        at_rest: Viscosity::from_pa_s(self.first[lane]),
                        at_high_rate: Viscosity::from_pa_s(self.at_high_rate[lane]),
                        time_constant_s: self.time_constant[lane],
                        index,
                    });
                    *mu = viscosity(self.kind, rheology, speeds[lane] / heights[lane]);
                }
                viscosities
            }
        }
    }
}

#[inline(always)]
fn viscosity(kind: FlowLaw, rheology: Rheology, rate: f64) -> f64 {
    FlowLaw { rheology, ..kind }.viscosity_by::<Branchless>(rate)
}
