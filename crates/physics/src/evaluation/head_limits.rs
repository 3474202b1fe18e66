//! Limits of the slot die, of pump and foil, and the range of the window equations.

use super::{Sink, Walk, clip, ratio_margin};
use crate::assumed::{Input, InputSet};
use crate::elementary::{acos, exp, ln};
use crate::limit::{LimitId, Sense};
use crate::line::Rheology;
use crate::prepared::{AngleSource, Values};
use crate::rheology::power_law_viscosity_pa_s;
use crate::slot_die::{
    FEED_SLOT_FILMS, GREATEST_CAPILLARY_NUMBER, GREATEST_GAP_REYNOLDS_NUMBER,
    GREATEST_VISCOSITY_RATIO, Lips, PARTICLES_ACROSS_GAP, RawBead, WETTING_ASSISTANCE,
    thinnest_film_m,
};
use crate::wetting::{air_entrainment_m_per_s, dynamic_cosine_of_logarithm};

use super::plasma_limits::WettingState;

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
const WETTING_INPUTS: InputSet = InputSet::of(&[Input::SurfaceTension, Input::Density]);

/// The bead at one setting, with every limit of its film.
#[derive(Debug, Clone, Copy)]
pub(crate) struct HeadState {
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
pub(crate) struct HeadPoint {
    pub(crate) speed: f64,
    pub(crate) gap: f64,
    pub(crate) t: f64,
    pub(crate) vacuum: f64,
    pub(crate) foil_cosine: f64,
}

fn viscosity(rheology: &Rheology, rate: f64) -> f64 {
    match *rheology {
        Rheology::Newtonian { viscosity } => viscosity.pa_s(),
        Rheology::PowerLaw { consistency, index } => {
            power_law_viscosity_pa_s(consistency.pa_s(), index, rate)
        }
    }
}

/// Air-entrainment speed, kept for a Newtonian ink.
fn entrainment(values: &Values, mu_gap: f64) -> f64 {
    values
        .ink
        .entrainment
        .unwrap_or_else(|| air_entrainment_m_per_s(mu_gap, values.ink.rho, values.ink.sigma))
}

fn lips(values: &Values, gap: f64, upstream_gap: f64) -> Lips {
    let lips = values.head.lips;
    Lips {
        gap,
        upstream_gap,
        downstream: lips.downstream,
        upstream: lips.upstream,
    }
}

impl HeadState {
    pub(crate) fn new(values: &Values, rheology: &Rheology, point: HeadPoint) -> Self {
        Self::with_film(
            values,
            rheology,
            point,
            None,
            Film::new(values, rheology, point),
        )
    }

    /// With an upstream gap that does not keep its ratio to the coating gap, if one is given.
    fn with_film(
        values: &Values,
        rheology: &Rheology,
        point: HeadPoint,
        upstream_gap: Option<f64>,
        film: Film,
    ) -> Self {
        let upstream_gap = upstream_gap.unwrap_or(values.head.lips.upstream_gap_ratio * point.gap);
        let mu_gap = viscosity(rheology, point.speed / point.gap);
        let bead = RawBead::new(
            lips(values, point.gap, upstream_gap),
            values.head.cosines,
            values.ink.sigma,
            mu_gap * point.speed,
            film.dynamic,
            film.two_thirds,
        );
        Self {
            speed: point.speed,
            gap: point.gap,
            t: point.t,
            mu_gap,
            capillary_number: film.capillary_number,
            bead,
            vacuum: point.vacuum,
            t_min: thinnest_film_m(point.gap, film.two_thirds),
            t_hold: bead.thinnest_held(point.vacuum),
            t_shoulder: bead.thickest_dry_shoulder(point.vacuum),
            t_flood: bead.thickest_not_flooding(point.vacuum),
            entrainment: entrainment(values, mu_gap),
        }
    }

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
    fn new(values: &Values, rheology: &Rheology, point: HeadPoint) -> Self {
        let mu_film = viscosity(rheology, point.speed / point.t);
        let capillary_number = mu_film * point.speed / values.ink.sigma;
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

impl<S: Sink> Walk<'_, S> {
    /// Everything the window needs, or the first essential input that is missing.
    fn head_point(&self, wetting: &WettingState) -> Result<(Rheology, HeadPoint), Input> {
        let rheology = self.values.ink.rheology.ok_or(Input::Viscosity)?;
        let t = self.wet_thickness()?;
        let speed = self.knobs.speed.ok_or(Input::Speed)?;
        let gap = self.knobs.gap.ok_or(Input::Gap)?;
        let foil_cosine = wetting.bead_cosine;
        Ok((
            rheology,
            HeadPoint {
                speed,
                gap,
                t,
                vacuum: self.knobs.vacuum,
                foil_cosine,
            },
        ))
    }

    /// What the window depends on; `None` if an essential input is missing.
    pub(crate) fn window_point(mut self) -> Option<(Rheology, HeadPoint)> {
        let wetting = self.wetting_state();
        self.head_point(&wetting).ok()
    }

    pub(super) fn head_limits(&mut self, wetting: &WettingState) {
        match self.head_point(wetting) {
            Ok((rheology, point)) => {
                let film = Film::new(self.values, &rheology, point);
                let state = HeadState::with_film(self.values, &rheology, point, None, film);
                if S::WANTS_ALL {
                    self.derive_head(&state);
                }
                self.window_limits(&state);
                self.film_limits();
                if S::WANTS_ALL {
                    let tolerance = self.gap_tolerance_margin(&rheology, point, film);
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
                self.film_limits_after_entrainment();
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

    fn derive_head(&mut self, state: &HeadState) {
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

    fn window_limits(&mut self, state: &HeadState) {
        self.ratio(LimitId::LowFlow, state.t, state.t_min);
        self.ratio(LimitId::BeadHold, state.t, state.t_hold);
        self.ratio(LimitId::Flood, state.t, state.t_flood);
        self.ratio(LimitId::LipWetting, state.t, state.t_shoulder);
        self.gap_fill();
        self.entrainment(state.speed, state.entrainment);
    }

    fn film_limits(&mut self) {
        self.film_limits_after_entrainment();
    }

    fn gap_fill(&mut self) {
        match (self.wet_thickness(), self.knobs.gap) {
            (Ok(t), Some(gap)) => self.ratio(LimitId::GapFill, t, gap),
            (Err(missing), _) => self.missing(LimitId::GapFill, missing),
            (Ok(_), None) => self.missing(LimitId::GapFill, Input::Gap),
        }
    }

    fn entrainment(&mut self, speed: f64, entrainment: f64) {
        self.uses(WETTING_INPUTS);
        self.ratio(LimitId::AirEntrainment, speed, entrainment);
        self.ratio(
            LimitId::WettingFailure,
            speed,
            WETTING_ASSISTANCE * entrainment,
        );
    }

    /// A Newtonian ink needs neither gap nor film to be judged for entrained air.
    fn entrainment_without_film(&mut self) {
        let known = || -> Result<(f64, f64), Input> {
            let rheology = self.values.ink.rheology.ok_or(Input::Viscosity)?;
            let speed = self.knobs.speed.ok_or(Input::Speed)?;
            let rate = match rheology {
                Rheology::Newtonian { .. } => 0.0,
                Rheology::PowerLaw { .. } => speed / self.knobs.gap.ok_or(Input::Gap)?,
            };
            Ok((speed, entrainment(self.values, viscosity(&rheology, rate))))
        };
        match known() {
            Ok((speed, entrainment)) => self.entrainment(speed, entrainment),
            Err(missing) => {
                self.missing(LimitId::AirEntrainment, missing);
                self.missing(LimitId::WettingFailure, missing);
            }
        }
    }

    fn film_limits_after_entrainment(&mut self) {
        match (self.wet_thickness(), self.knobs.gap) {
            (Ok(t), Some(gap)) => self.ratio(LimitId::Recirculation, t, gap / 3.0),
            (Err(missing), _) => self.missing(LimitId::Recirculation, missing),
            (Ok(_), None) => self.missing(LimitId::Recirculation, Input::Gap),
        }
        match (self.wet_thickness(), self.values.head.feed_slot_height) {
            (Ok(t), Some(slot)) => self.ratio(LimitId::FeedSlot, slot, FEED_SLOT_FILMS * t),
            (_, None) => self.missing(LimitId::FeedSlot, Input::FeedSlotHeight),
            (Err(missing), Some(_)) => self.missing(LimitId::FeedSlot, missing),
        }
        match (self.values.ink.largest_particle, self.knobs.gap) {
            (Some(particle), Some(gap)) => {
                let narrowest = self
                    .values
                    .head
                    .feed_slot_height
                    .map_or(gap, |slot| slot.min(gap));
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

    /// Worst hard margin of the window with the gap off by its tolerance on either side; both gaps move together.
    fn gap_tolerance_margin(&self, rheology: &Rheology, point: HeadPoint, film: Film) -> f64 {
        let factors = WindowFactors::new(self.calibration);
        let tolerance = self.values.head.lips.gap_tolerance;
        let upstream_gap = self.values.head.lips.upstream_gap_ratio * point.gap;
        let at = |change: f64| {
            let (gap, upstream) = (point.gap + change, upstream_gap + change);
            if gap <= 0.0 || upstream <= 0.0 {
                return clip(f64::NEG_INFINITY);
            }
            let moved = HeadPoint { gap, ..point };
            HeadState::with_film(self.values, rheology, moved, Some(upstream), film)
                .worst_margin(factors)
        };
        at(-tolerance).min(at(tolerance))
    }

    /// Spans of speed, gap and pump; syringe and foil.
    pub(super) fn machine_limits(&mut self) {
        let head = self.values.head;
        self.span_or_missing(
            LimitId::SpeedSpan,
            (self.knobs.speed, Input::Speed),
            (head.speed_span, Input::SpeedSpan),
        );
        self.span_or_missing(
            LimitId::GapSpan,
            (self.knobs.gap, Input::Gap),
            (head.gap_span, Input::GapSpan),
        );
        self.span_or_missing(
            LimitId::PumpRange,
            (self.knobs.flow, Input::Flow),
            (head.flow_span, Input::FlowSpan),
        );
        self.syringe_limit();
        self.foil_length_limit();
    }

    pub(super) fn span_or_missing(
        &mut self,
        id: LimitId,
        (value, value_input): (Option<f64>, Input),
        (span, span_input): (Option<(f64, f64)>, Input),
    ) {
        match (value, span) {
            (Some(value), Some(span)) => self.span(id, value, span),
            (_, None) => self.missing(id, span_input),
            (None, Some(_)) => self.missing(id, value_input),
        }
    }

    fn syringe_limit(&mut self) {
        let head = self.values.head;
        let needed = || -> Result<(f64, f64), Input> {
            let filling = head.syringe_volume.ok_or(Input::SyringeVolume)?;
            let foil = self.knobs.foil_needed.ok_or(Input::FoilNeeded)?;
            let t = self.wet_thickness()?;
            let width = head.width.ok_or(Input::CoatedWidth)?;
            Ok((t * width * foil + head.dead_volume, filling))
        };
        match needed() {
            Ok((volume, filling)) => {
                self.uses(InputSet::of(&[Input::DeadVolume]));
                self.ratio(LimitId::SyringeVolume, volume, filling);
            }
            Err(missing) => self.missing(LimitId::SyringeVolume, missing),
        }
    }

    fn foil_length_limit(&mut self) {
        match (self.values.foil.roll_length, self.knobs.foil_needed) {
            (Some(roll), Some(needed)) => {
                self.uses(InputSet::of(&[Input::Leader]));
                self.ratio(LimitId::FoilLength, self.values.foil.leader + needed, roll);
            }
            (None, _) => self.missing(LimitId::FoilLength, Input::RollLength),
            (Some(_), None) => self.missing(LimitId::FoilLength, Input::FoilNeeded),
        }
    }

    /// Ranges in which the window equations are trusted.
    pub(super) fn validity_limits(&mut self) {
        if let Some(ca) = self.derived.capillary_number {
            self.ratio(LimitId::CapillaryRange, ca, GREATEST_CAPILLARY_NUMBER);
        }
        if let Some(re) = self.derived.gap_reynolds_number {
            self.ratio(LimitId::GapReynolds, re, GREATEST_GAP_REYNOLDS_NUMBER);
        }
        if let (Some(rheology @ Rheology::PowerLaw { .. }), Some(speed), Some(gap), Ok(t)) = (
            self.values.ink.rheology,
            self.knobs.speed,
            self.knobs.gap,
            self.wet_thickness(),
        ) {
            let (in_gap, in_film) = (
                viscosity(&rheology, speed / gap),
                viscosity(&rheology, speed / t),
            );
            let ratio = (in_gap / in_film).max(in_film / in_gap);
            self.ratio(LimitId::RheologyRange, ratio, GREATEST_VISCOSITY_RATIO);
        }
    }
}
