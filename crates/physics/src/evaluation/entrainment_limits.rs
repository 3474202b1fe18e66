//! Entrained air, the same for every head but for the shear rate at which the ink meets the foil.

use super::{Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::limit::LimitId;
use crate::prepared::Values;
use crate::rheology::FlowLaw;
use crate::slot_die::WETTING_ASSISTANCE;
use crate::wetting::air_entrainment_m_per_s;

const WETTING_INPUTS: InputSet = InputSet::of(&[Input::SurfaceTension, Input::Density]);

/// Air-entrainment speed [m/s] of the ink at a viscosity [Pa·s]; kept for a Newtonian ink as stated.
pub(super) fn entrainment_m_per_s(values: &Values, law: &FlowLaw, mu: f64) -> f64 {
    match values.ink.entrainment {
        Some(kept) if !law.is_shifted => kept,
        Some(_) | None => air_entrainment_m_per_s(mu, values.ink.rho, values.ink.sigma),
    }
}

impl<S: Sink> Walk<'_, S> {
    pub(super) fn entrainment(&mut self, speed: f64, entrainment: f64) {
        self.uses(WETTING_INPUTS);
        if S::WANTS_ALL {
            self.ratio(LimitId::AirEntrainment, speed, entrainment);
        }
        self.ratio(
            LimitId::WettingFailure,
            speed,
            WETTING_ASSISTANCE * entrainment,
        );
    }

    pub(super) fn entrainment_missing(&mut self, missing: Input) {
        self.missing(LimitId::AirEntrainment, missing);
        self.missing(LimitId::WettingFailure, missing);
    }

    /// A Newtonian ink needs neither gap nor film to be judged for entrained air.
    pub(super) fn entrainment_without_film(&mut self) {
        let known = || -> Result<(f64, f64), Input> {
            let law = self.values.flow_law(self.knobs)?;
            let speed = self.knobs.speed.ok_or(Input::Speed)?;
            let rate = if law.is_newtonian() {
                0.0
            } else {
                speed / self.knobs.head.gap.ok_or(Input::Gap)?
            };
            Ok((
                speed,
                entrainment_m_per_s(self.values, &law, law.viscosity(rate)),
            ))
        };
        match known() {
            Ok((speed, entrainment)) => self.entrainment(speed, entrainment),
            Err(missing) => self.entrainment_missing(missing),
        }
    }
}
