//! Limits of a knife, comma bar or blade.

use super::entrainment_limits::entrainment_m_per_s;
use super::levelling_limits::OpeningNip;
use super::{Sink, Walk, clip, ratio_margin};
use crate::assumed::{Input, InputSet};
use crate::head::KnifeShape;
use crate::knife::{GREATEST_BANK_SHARE, PARTICLES_ACROSS_GAP};
use crate::limit::{LimitId, Sense};
use crate::prepared::{KnifeValues, SpreadInk};
use crate::slot_die::WETTING_ASSISTANCE;

impl<'a, S: Sink> Walk<'a, S> {
    pub(super) fn knife_limits(&mut self, knife: &'a KnifeValues) {
        match self.spread_at_gap() {
            Ok((ink, gap)) => {
                let mu = ink.law.viscosity(ink.speed / gap);
                if S::WANTS_ALL {
                    self.derive_gap(&ink, gap, mu);
                }
                let entrainment = entrainment_m_per_s(self.values, &ink.law, mu);
                self.entrainment(ink.speed, entrainment);
            }
            Err(missing) => self.entrainment_missing(missing),
        }
        self.particle_under_knife();
        if S::WANTS_ALL {
            self.knife_gap_tolerance(knife);
            self.target(LimitId::KnifeTarget);
            self.knife_head(knife);
        }
        self.feed(LimitId::BankStarved, 1.0);
        if S::WANTS_ALL {
            self.run_out(knife);
            self.knife_ribs(knife);
        }
    }

    /// The ink and the gap it is spread through, or the first essential input that is missing.
    fn spread_at_gap(&self) -> Result<(SpreadInk, f64), Input> {
        let ink = self.values.spread_ink(self.knobs)?;
        Ok((ink, self.knobs.head.gap.ok_or(Input::Gap)?))
    }

    fn derive_gap(&mut self, ink: &SpreadInk, gap: f64, mu: f64) {
        let wet = self.wet_thickness().ok();
        let d = &mut self.derived;
        d.gap_reynolds_number = Some(ink.rho * ink.speed * gap / mu);
        d.gap_to_wet_ratio = wet.map(|wet| gap / wet);
        d.gap_shear_rate_per_s = Some(ink.speed / gap);
    }

    fn particle_under_knife(&mut self) {
        match (self.values.ink.largest_particle, self.knobs.head.gap) {
            (Some(particle), Some(gap)) => {
                self.ratio(LimitId::Particle, particle, gap / PARTICLES_ACROSS_GAP);
            }
            (None, _) => self.missing(LimitId::Particle, Input::LargestParticle),
            (Some(_), None) => self.missing(LimitId::Particle, Input::Gap),
        }
    }

    /// Worst hard margin with the gap off by its tolerance on either side.
    fn knife_gap_tolerance(&mut self, knife: &KnifeValues) {
        let (ink, gap) = match self.spread_at_gap() {
            Ok(spread) => spread,
            Err(missing) => return self.missing(LimitId::GapTolerance, missing),
        };
        self.uses(InputSet::of(&[Input::GapTolerance]));
        let at = |gap: f64| {
            if gap > 0.0 {
                self.knife_margin(knife, &ink, gap)
            } else {
                clip(f64::NEG_INFINITY)
            }
        };
        let margin = at(gap - knife.gap_tolerance).min(at(gap + knife.gap_tolerance));
        self.evaluated(
            LimitId::GapTolerance,
            Sense::AtMost,
            (1.0 - margin, 1.0, margin),
            1.0,
        );
    }

    /// Worst hard margin of the knife at a gap.
    fn knife_margin(&self, knife: &KnifeValues, ink: &SpreadInk, gap: f64) -> f64 {
        let margin = |id: LimitId, value: f64, bound: f64| {
            ratio_margin(Sense::AtMost, value, self.calibration.factor(id) * bound)
        };
        let mu = ink.law.viscosity(ink.speed / gap);
        let entrainment = entrainment_m_per_s(self.values, &ink.law, mu);
        let wetting = margin(
            LimitId::WettingFailure,
            ink.speed,
            WETTING_ASSISTANCE * entrainment,
        );
        let particle = self
            .values
            .ink
            .largest_particle
            .map_or(wetting, |particle| {
                margin(LimitId::Particle, particle, gap / PARTICLES_ACROSS_GAP)
            });
        let feed = match (self.values.head.width, self.knobs.flow) {
            (Some(width), Some(fed)) => {
                let carried = knife.wet_thickness(gap, ink) * width * ink.speed;
                margin(LimitId::BankStarved, carried, fed)
            }
            (Some(_) | None, _) => wetting,
        };
        wetting.min(particle).min(feed)
    }

    /// How much the bank's pressure adds to the film, and thus how far the film follows the level of the bank.
    fn knife_head(&mut self, knife: &KnifeValues) {
        let share = || -> Result<f64, Input> {
            let (ink, gap) = self.spread_at_gap()?;
            knife.bank_share(gap, &ink).ok_or(Input::BankHeight)
        };
        match share() {
            Ok(share) => {
                self.uses(InputSet::of(&[Input::Density]));
                if knife.is_land_assumed() {
                    self.uses(InputSet::of(&[Input::LandLength]));
                }
                self.ratio(LimitId::KnifeHead, share, GREATEST_BANK_SHARE);
            }
            Err(missing) => self.missing(LimitId::KnifeHead, missing),
        }
    }

    fn run_out(&mut self, knife: &KnifeValues) {
        let swing = || -> Result<(f64, f64), Input> {
            let run_out = knife.run_out.ok_or(Input::RunOut)?;
            let gap = self.knobs.head.gap.ok_or(Input::Gap)?;
            let wet = self.wet_thickness()?;
            Ok((wet / gap * run_out, wet))
        };
        match swing() {
            Ok((swing, wet)) => {
                self.uses(InputSet::of(&[Input::ThicknessTolerance]));
                let allowed = self.values.head.thickness_tolerance * wet;
                self.ratio(LimitId::Runout, swing, allowed);
            }
            Err(missing) => self.missing(LimitId::Runout, missing),
        }
    }

    /// Only a round knife or a roll opens gradually enough to rib.
    fn knife_ribs(&mut self, knife: &KnifeValues) {
        if knife.shape != Some(KnifeShape::Round) {
            return;
        }
        match self.spread_at_gap() {
            Ok((ink, gap)) => self.ribbing(
                &ink.law,
                OpeningNip {
                    gap: Ok(gap),
                    radius: knife.roll_radius.ok_or(Input::HeadRollDiameter),
                    mu: ink.law.viscosity(ink.speed / gap),
                },
            ),
            Err(missing) => {
                self.missing(LimitId::Ribbing, missing);
                self.missing(LimitId::RibLevelling, missing);
            }
        }
    }
}
