//! Ribs of opening surfaces, and whether they and the marks of the head level before the film stiffens.

use super::drying_case::constant_rate_time_s;
use super::{Sink, Walk};
use crate::assumed::{Input, InputSet};
use crate::levelling::{
    LEVELLING_SHARE_OF_DRYING, LEVELLING_TIME_CONSTANTS, frozen_amplitude_m, levelling_viscosity,
    time_constant_s,
};
use crate::limit::LimitId;
use crate::quantity::Length;
use crate::rheology::FlowLaw;
use crate::ribbing::{RIB_SPACING_FILMS, critical_capillary_number};

const LEVELLING_INPUTS: InputSet = InputSet::of(&[
    Input::SurfaceTension,
    Input::OpenPath,
    Input::ThicknessTolerance,
]);
/// What the drying time rests on besides.
const DRYING_INPUTS: InputSet = InputSet::of(&[
    Input::Density,
    Input::DryerHeatTransferAbove,
    Input::DryerHeatTransferBelow,
]);

/// Two surfaces between which a film splits.
#[derive(Debug, Clone, Copy)]
pub(super) struct OpeningNip {
    /// Gap at its narrowest \[m\], or what is missing.
    pub(super) gap: Result<f64, Input>,
    /// Radius of the roll \[m\], or what is missing.
    pub(super) radius: Result<f64, Input>,
    /// Viscosity in the nip [Pa·s].
    pub(super) mu: f64,
}

impl<S: Sink> Walk<'_, S> {
    /// Time from the head until the film flows no more \[s\] (eq 4.6): the open path, and a share of the drying time where
    /// it can be computed.
    fn time_to_flow(&mut self, wet: f64, speed: f64) -> f64 {
        let path = self.values.room.open_path + self.wrapped_path();
        match constant_rate_time_s(self.values, self.knobs, wet) {
            Some(drying) => {
                self.uses(DRYING_INPUTS);
                path / speed + LEVELLING_SHARE_OF_DRYING * drying
            }
            None => path / speed,
        }
    }

    /// Levelling time of a mark \[s\] and the time it has, with the height at which it freezes over the height allowed.
    pub(super) fn levelling(&mut self, law: &FlowLaw, wavelength: f64) -> Result<Levelling, Input> {
        let speed = self.knobs.speed.ok_or(Input::Speed)?;
        let wet = self.wet_thickness()?;
        self.uses(LEVELLING_INPUTS);
        let ink = &self.values.ink;
        let allowed = self.values.head.thickness_tolerance * wet;
        let mu = levelling_viscosity(law, ink.sigma, allowed, wet, wavelength);
        let frozen = ink
            .yield_stress
            .map(|tau_y| frozen_amplitude_m(tau_y, ink.sigma, wet, wavelength));
        Ok(Levelling {
            needed: LEVELLING_TIME_CONSTANTS * time_constant_s(mu, ink.sigma, wet, wavelength),
            at_hand: self.time_to_flow(wet, speed),
            frozen,
            allowed,
        })
    }

    /// Whether the marks of a head level, and with a yield stress at which height they freeze.
    pub(super) fn marks(&mut self, id: LimitId, law: &FlowLaw, wavelength: Result<f64, Input>) {
        let levelling = wavelength.and_then(|wavelength| self.levelling(law, wavelength));
        match levelling {
            Ok(levelling) => {
                self.ratio(id, levelling.needed, levelling.at_hand);
                if let Some(frozen) = levelling.frozen {
                    self.ratio(LimitId::FrozenMarks, frozen, levelling.allowed);
                }
            }
            Err(missing) => self.missing(id, missing),
        }
    }

    /// Ribs of a nip, and whether they level.
    pub(super) fn ribbing(&mut self, law: &FlowLaw, nip: OpeningNip) {
        let number = || -> Result<(f64, f64), Input> {
            let speed = self.knobs.speed.ok_or(Input::Speed)?;
            let (gap, radius) = (nip.gap?, nip.radius?);
            Ok((
                nip.mu * speed / self.values.ink.sigma,
                critical_capillary_number(Length::from_m(gap), Length::from_m(radius)),
            ))
        };
        let (number, critical) = match number() {
            Ok(numbers) => numbers,
            Err(missing) => {
                self.missing(LimitId::Ribbing, missing);
                return self.missing(LimitId::RibLevelling, missing);
            }
        };
        self.uses(InputSet::of(&[Input::SurfaceTension]));
        self.ratio(LimitId::Ribbing, number, critical);
        let critical = self.calibration.factor(LimitId::Ribbing) * critical;
        let levelling = match self.wet_thickness() {
            Ok(wet) => self.levelling(law, RIB_SPACING_FILMS * wet),
            Err(missing) => Err(missing),
        };
        match levelling {
            // Ribs show only if they form and do not level.
            Ok(levelling) => self.ratio(
                LimitId::RibLevelling,
                (number / critical).min(levelling.utilisation()),
                1.0,
            ),
            Err(missing) => self.missing(LimitId::RibLevelling, missing),
        }
    }
}

/// What a mark needs to level, and what it has.
#[derive(Debug, Clone, Copy)]
pub(super) struct Levelling {
    /// Time for 99 % of it \[s\].
    pub(super) needed: f64,
    /// Time that there is \[s\].
    pub(super) at_hand: f64,
    /// Height at which it freezes \[m\], with a yield stress.
    frozen: Option<f64>,
    /// Height that is allowed \[m\].
    allowed: f64,
}

impl Levelling {
    /// Above 1 the mark stays.
    fn utilisation(&self) -> f64 {
        let frozen = self.frozen.map_or(0.0, |height| height / self.allowed);
        (self.needed / self.at_hand).max(frozen)
    }
}
