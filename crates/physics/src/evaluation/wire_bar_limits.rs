//! Limits of a wire-wound bar.

use super::entrainment_limits::entrainment_m_per_s;
use super::{Sink, Walk};
use crate::assumed::Input;
use crate::limit::LimitId;
use crate::prepared::{SpreadInk, WireBarValues};
use crate::wire_bar::{FEED_SURPLUS, PARTICLES_ACROSS_WIRE};

impl<S: Sink> Walk<'_, S> {
    pub(super) fn wire_bar_limits(&mut self, bar: &WireBarValues) {
        let spread = self.spread_by_wire(bar);
        match spread {
            Ok((ink, wire)) => {
                let mu = ink.law.viscosity(wire_shear_rate(ink.speed, wire));
                if S::WANTS_ALL {
                    self.derive_film_capillary_number(&ink);
                }
                let entrainment = entrainment_m_per_s(self.values, &ink.law, mu);
                self.entrainment(ink.speed, entrainment);
            }
            Err(missing) => self.entrainment_missing(missing),
        }
        match (self.values.ink.largest_particle, bar.wire(self.knobs)) {
            (Some(particle), Ok(wire)) => {
                self.ratio(LimitId::Particle, particle, wire / PARTICLES_ACROSS_WIRE);
            }
            (None, _) => self.missing(LimitId::Particle, Input::LargestParticle),
            (Some(_), Err(missing)) => self.missing(LimitId::Particle, missing),
        }
        if S::WANTS_ALL {
            self.target(LimitId::BarTarget);
        }
        self.feed(LimitId::BarFlood, FEED_SURPLUS);
        if S::WANTS_ALL {
            match spread {
                Ok((ink, wire)) => self.marks(LimitId::BarLevelling, &ink.law, Ok(wire)),
                Err(missing) => self.missing(LimitId::BarLevelling, missing),
            }
        }
    }

    /// The ink and the wire that spreads it, or the first essential input that is missing.
    fn spread_by_wire(&self, bar: &WireBarValues) -> Result<(SpreadInk, f64), Input> {
        let ink = self.values.spread_ink(self.knobs)?;
        Ok((ink, bar.wire(self.knobs)?))
    }
}

/// Shear rate between wire and web [1/s] (eq 1.19, common practice).
pub(super) fn wire_shear_rate(speed: f64, wire: f64) -> f64 {
    2.0 * speed / wire
}
