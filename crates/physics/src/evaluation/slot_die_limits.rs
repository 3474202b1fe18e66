//! The coating window of a slot die, and what else its gap and its feed slot decide.

use super::entrainment_limits::entrainment_m_per_s;
use super::plasma_limits::WettingState;
use super::{Sink, Walk, clip, ratio_margin};
use crate::assumed::{Input, InputSet};
use crate::elementary::{acos, exp, ln};
use crate::limit::{LimitId, Sense};
use crate::prepared::{AngleSource, SlotDieValues, Values};
use crate::rheology::FlowLaw;
use crate::slot_die::{
    FEED_SLOT_FILMS, Lips, PARTICLES_ACROSS_GAP, RawBead, WETTING_ASSISTANCE, thinnest_film_m,
    thinnest_without_vortex_m, upstream_gap,
};
use crate::wetting::dynamic_cosine_of_logarithm;

const BEAD_INPUTS: InputSet = InputSet::of(&[
    Input::SurfaceTension,
    Input::DownstreamLip,
    Input::UpstreamLip,
    Input::UpstreamGapRatio,
    Input::LipCorner,
    Input::AngleOnLip,
    Input::AngleOnFoil,
    Input::Vacuum,
    Input::GapTolerance,
]);

/// The bead at one setting, with every limit of its film.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BeadState {
    speed: f64,
    gap: f64,
    t: f64,
    mu_gap: f64,
    capillary_number: f64,
    bead: RawBead,
    vacuum: f64,
    pub(crate) t_min: f64,
    pub(crate) t_hold: f64,
    pub(crate) t_shoulder: f64,
    pub(crate) t_flood: f64,
    pub(crate) entrainment: f64,
}

/// What one setting means to the head: gap, film and speed, with the cosine of the foil's contact angle.
#[derive(Debug, Clone, Copy)]
pub(crate) struct BeadPoint {
    pub(crate) speed: f64,
    pub(crate) gap: f64,
    pub(crate) upstream_gap: f64,
    pub(crate) t: f64,
    pub(crate) vacuum: f64,
    pub(crate) foil_cosine: f64,
}

/// A slot die with the ink in it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FilledDie<'a> {
    values: &'a Values,
    die: &'a SlotDieValues,
    law: FlowLaw,
}

impl FilledDie<'_> {
    fn lips(&self, point: BeadPoint) -> Lips {
        let lips = self.die.lips;
        Lips {
            gap: point.gap,
            upstream_gap: point.upstream_gap,
            downstream: lips.downstream,
            upstream: lips.upstream,
        }
    }

    /// The bead at a setting.
    pub(crate) fn bead(&self, point: BeadPoint) -> BeadState {
        self.bead_with_film(point, Film::new(self, point))
    }

    fn bead_with_film(&self, point: BeadPoint, film: Film) -> BeadState {
        let mu_gap = self.law.viscosity(point.speed / point.gap);
        let bead = RawBead::new(
            self.lips(point),
            self.die.cosines,
            self.values.ink.sigma,
            mu_gap * point.speed,
            film.dynamic,
            film.two_thirds,
        );
        BeadState {
            speed: point.speed,
            gap: point.gap,
            t: point.t,
            mu_gap,
            capillary_number: film.capillary_number,
            bead,
            vacuum: point.vacuum,
            t_min: thinnest_film_m(point.gap, film.two_thirds),
            t_hold: bead.thinnest_held(point.vacuum).m(),
            t_shoulder: bead.thickest_dry_shoulder(point.vacuum).m(),
            t_flood: bead.thickest_not_flooding(point.vacuum).m(),
            entrainment: entrainment_m_per_s(self.values, &self.law, mu_gap),
        }
    }
}

impl BeadState {
    /// Worst hard margin of the window, with calibration factors of its four limits.
    pub(crate) fn worst_margin(&self, factors: WindowFactors) -> f64 {
        let low_flow = ratio_margin(Sense::AtLeast, self.t, factors.low_flow * self.t_min);
        let bead_hold = ratio_margin(Sense::AtLeast, self.t, factors.bead_hold * self.t_hold);
        let flood = ratio_margin(Sense::AtMost, self.t, factors.flood * self.t_flood);
        let wetting = ratio_margin(
            Sense::AtMost,
            self.speed,
            factors.wetting_failure * WETTING_ASSISTANCE * self.entrainment,
        );
        low_flow.min(bead_hold).min(flood).min(wetting)
    }
}

/// What the film alone decides, whatever the gap.
#[derive(Clone, Copy)]
struct Film {
    capillary_number: f64,
    two_thirds: f64,
    dynamic: f64,
}

impl Film {
    fn new(die: &FilledDie<'_>, point: BeadPoint) -> Self {
        let mu_film = die.law.viscosity(point.speed / point.t);
        let capillary_number = mu_film * point.speed / die.values.ink.sigma;
        let logarithm = ln(capillary_number);
        Self {
            capillary_number,
            two_thirds: exp(2.0 / 3.0 * logarithm),
            dynamic: dynamic_cosine_of_logarithm(point.foil_cosine, logarithm),
        }
    }
}

/// Calibration factors of the four hard limits of the window.
#[derive(Debug, Clone, Copy)]
pub(crate) struct WindowFactors {
    low_flow: f64,
    bead_hold: f64,
    flood: f64,
    wetting_failure: f64,
}

impl WindowFactors {
    pub(crate) fn new(calibration: &crate::calibration::Calibration) -> Self {
        Self {
            low_flow: calibration.factor(LimitId::LowFlow),
            bead_hold: calibration.factor(LimitId::BeadHold),
            flood: calibration.factor(LimitId::Flood),
            wetting_failure: calibration.factor(LimitId::WettingFailure),
        }
    }
}

impl<'a, S: Sink> Walk<'a, S> {
    /// Everything the window needs, or the first essential input that is missing.
    fn bead_point(
        &self,
        die: &'a SlotDieValues,
        wetting: &WettingState,
    ) -> Result<(FilledDie<'a>, BeadPoint), Input> {
        let law = self.values.flow_law(self.knobs)?;
        let t = self.wet_thickness()?;
        let speed = self.knobs.speed.ok_or(Input::Speed)?;
        let gap = self.knobs.head.gap.ok_or(Input::Gap)?;
        let filled = FilledDie {
            values: self.values,
            die,
            law,
        };
        let point = BeadPoint {
            speed,
            gap,
            upstream_gap: upstream_gap(die.lips.upstream_gap_ratio, gap, self.knobs.gap_error),
            t,
            vacuum: self.knobs.vacuum,
            foil_cosine: wetting.bead_cosine,
        };
        Ok((filled, point))
    }

    /// Worst hard margin of the coating window; `None` if an essential input is missing.
    pub(super) fn bead_margin(&mut self, die: &'a SlotDieValues) -> Option<f64> {
        let wetting = self.wetting_state();
        let (filled, point) = self.bead_point(die, &wetting).ok()?;
        let factors = WindowFactors::new(self.calibration);
        Some(filled.bead(point).worst_margin(factors))
    }

    /// Cosine of the static contact angle on the foil that the bead is judged with.
    pub(crate) fn foil_cosine(mut self) -> f64 {
        self.wetting_state().bead_cosine
    }

    pub(super) fn slot_die_limits(&mut self, die: &'a SlotDieValues, wetting: &WettingState) {
        if !S::WANTS_BEAD {
            return self.die_limits(die);
        }
        match self.bead_point(die, wetting) {
            Ok((filled, point)) => {
                let film = Film::new(&filled, point);
                let state = filled.bead_with_film(point, film);
                if S::WANTS_ALL {
                    self.derive_bead(&state);
                }
                self.window_limits(&state);
                self.die_limits(die);
                if S::WANTS_ALL {
                    let factors = WindowFactors::new(self.calibration);
                    let tolerance = filled.gap_tolerance_margin(point, film, factors);
                    self.evaluated(
                        LimitId::GapTolerance,
                        Sense::AtMost,
                        (1.0 - tolerance, 1.0, tolerance),
                        1.0,
                    );
                }
                self.mark_angle(wetting);
            }
            Err(missing) => {
                for id in [
                    LimitId::LowFlow,
                    LimitId::BeadHold,
                    LimitId::Flood,
                    LimitId::LipWetting,
                ] {
                    self.missing(id, missing);
                }
                self.gap_fill();
                self.entrainment_without_film();
                self.die_limits(die);
                self.missing(LimitId::GapTolerance, missing);
            }
        }
    }

    /// The angle on the foil may rest on the energy of a named foil and on the plasma.
    fn mark_angle(&mut self, wetting: &WettingState) {
        self.uses(BEAD_INPUTS);
        if self.values.head.angle_source == AngleSource::Totals {
            self.uses(wetting.energy_inputs);
        }
    }

    fn derive_bead(&mut self, state: &BeadState) {
        let d = &mut self.derived;
        d.capillary_number = Some(state.capillary_number);
        d.gap_reynolds_number = Some(self.values.ink.rho * state.speed * state.gap / state.mu_gap);
        d.gap_to_wet_ratio = Some(state.gap / state.t);
        d.gap_shear_rate_per_s = Some(state.speed / state.gap);
        d.dynamic_angle_rad = Some(acos(state.bead.dynamic_cosine));
        d.wetted_upstream_lip = Some(state.bead.wetted_upstream_lip(state.t, state.vacuum));
        d.vacuum_needed_pa = Some(state.bead.least_vacuum(state.t));
        d.vacuum_flooding_pa = Some(state.bead.flooding_vacuum(state.t));
        d.thinnest_low_flow_m = Some(state.t_min);
        d.thinnest_held_m = Some(state.t_hold);
        d.thickest_dry_shoulder_m = Some(state.t_shoulder);
        d.thickest_not_flooding_m = Some(state.t_flood);
    }

    fn window_limits(&mut self, state: &BeadState) {
        self.ratio(LimitId::LowFlow, state.t, state.t_min);
        self.ratio(LimitId::BeadHold, state.t, state.t_hold);
        self.ratio(LimitId::Flood, state.t, state.t_flood);
        if S::WANTS_ALL {
            self.ratio(LimitId::LipWetting, state.t, state.t_shoulder);
            self.gap_fill();
        }
        self.entrainment(state.speed, state.entrainment);
    }

    fn gap_fill(&mut self) {
        match (self.wet_thickness(), self.knobs.head.gap) {
            (Ok(t), Some(gap)) => self.ratio(LimitId::GapFill, t, gap),
            (Err(missing), _) => self.missing(LimitId::GapFill, missing),
            (Ok(_), None) => self.missing(LimitId::GapFill, Input::Gap),
        }
    }

    fn die_limits(&mut self, die: &SlotDieValues) {
        if S::WANTS_ALL {
            self.vortex_limits(die);
        }
        match (self.values.ink.largest_particle, self.knobs.head.gap) {
            (Some(particle), Some(gap)) => {
                let narrowest = die.narrowest(gap);
                self.ratio(
                    LimitId::Particle,
                    particle,
                    narrowest / PARTICLES_ACROSS_GAP,
                );
            }
            (None, _) => self.missing(LimitId::Particle, Input::LargestParticle),
            (Some(_), None) => self.missing(LimitId::Particle, Input::Gap),
        }
    }

    /// Vortices under the lip and at the exit of the feed slot.
    fn vortex_limits(&mut self, die: &SlotDieValues) {
        match (self.wet_thickness(), self.knobs.head.gap) {
            (Ok(t), Some(gap)) => {
                self.ratio(LimitId::Recirculation, t, thinnest_without_vortex_m(gap));
            }
            (Err(missing), _) => self.missing(LimitId::Recirculation, missing),
            (Ok(_), None) => self.missing(LimitId::Recirculation, Input::Gap),
        }
        match (self.wet_thickness(), die.feed_slot_height) {
            (Ok(t), Some(slot)) => self.ratio(LimitId::FeedSlot, slot, FEED_SLOT_FILMS * t),
            (_, None) => self.missing(LimitId::FeedSlot, Input::FeedSlotHeight),
            (Err(missing), Some(_)) => self.missing(LimitId::FeedSlot, missing),
        }
    }
}

impl FilledDie<'_> {
    /// Worst hard margin of the window with the gap off by its tolerance on either side; both gaps move together.
    fn gap_tolerance_margin(&self, point: BeadPoint, film: Film, factors: WindowFactors) -> f64 {
        let tolerance = self.die.lips.gap_tolerance;
        let at = |change: f64| {
            let (gap, upstream_gap) = (point.gap + change, point.upstream_gap + change);
            if gap <= 0.0 || upstream_gap <= 0.0 {
                return clip(f64::NEG_INFINITY);
            }
            let moved = BeadPoint {
                gap,
                upstream_gap,
                ..point
            };
            self.bead_with_film(moved, film).worst_margin(factors)
        };
        at(-tolerance).min(at(tolerance))
    }
}
