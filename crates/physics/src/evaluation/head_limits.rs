//! The head, whichever it is: which limits it has, and the ranges in which its equations are trusted.

use super::plasma_limits::WettingState;
use super::wire_bar_limits::wire_shear_rate;
use super::{Sink, Walk, WorstHard};
use crate::assumed::{Input, InputSet};
use crate::flexo;
use crate::gravure;
use crate::knife;
use crate::limit::{LimitId, Sense};
use crate::prepared::{MethodValues, SpreadInk};
use crate::quantity::Viscosity;
use crate::slot_die::{
    GREATEST_CAPILLARY_NUMBER, GREATEST_GAP_REYNOLDS_NUMBER, GREATEST_VISCOSITY_RATIO,
};
use crate::wire_bar;

impl<S: Sink> Walk<'_, S> {
    pub(super) fn head_limits(&mut self, wetting: &WettingState) {
        if self.knobs.ink_k.is_some() {
            // Without an activation energy the viscosity counts as stated, whatever the temperature.
            self.uses(InputSet::of(&[Input::ActivationEnergy]));
        }
        self.uses(self.values.head.method.film_inputs());
        match &self.values.head.method {
            MethodValues::SlotDie(die) => self.slot_die_limits(die, wetting),
            MethodValues::Knife(knife) => self.knife_limits(knife),
            MethodValues::WireBar(bar) => self.wire_bar_limits(bar),
            MethodValues::Gravure(unit) => self.gravure_limits(unit),
            MethodValues::Flexo(unit) => self.flexo_limits(unit),
        }
    }

    /// Capillary number of the film as it forms, with the viscosity at its own shear rate (eq 1.16).
    pub(super) fn derive_film_capillary_number(&mut self, ink: &SpreadInk) {
        self.derived.capillary_number = self
            .wet_thickness()
            .ok()
            .map(|wet| ink.law.viscosity(ink.speed / wet) * ink.speed / self.values.ink.sigma);
    }

    /// Ranges in which the equations of the head are trusted.
    pub(super) fn validity_limits(&mut self) {
        if let (MethodValues::SlotDie(_), Some(ca)) =
            (&self.values.head.method, self.derived.capillary_number)
        {
            self.ratio(LimitId::CapillaryRange, ca, GREATEST_CAPILLARY_NUMBER);
        }
        if let Some(re) = self.derived.gap_reynolds_number {
            self.ratio(LimitId::GapReynolds, re, GREATEST_GAP_REYNOLDS_NUMBER);
        }
        self.flow_law_ranges();
        match &self.values.head.method {
            MethodValues::SlotDie(_) => {}
            MethodValues::Knife(_) => self.viscosity_range(LimitId::KnifeRange, knife::VISCOSITIES),
            MethodValues::WireBar(_) => {
                self.viscosity_range(LimitId::BarRange, wire_bar::VISCOSITIES);
            }
            MethodValues::Gravure(_) => {
                self.viscosity_range(LimitId::GravureRange, gravure::VISCOSITIES);
            }
            MethodValues::Flexo(_) => self.viscosity_range(LimitId::FlexoRange, flexo::VISCOSITIES),
        }
    }

    /// Viscosity at the shear rate of the head against what it is used for.
    fn viscosity_range(&mut self, id: LimitId, (least, greatest): (Viscosity, Viscosity)) {
        if let (Ok(law), Ok((in_head, _))) = (self.values.flow_law(self.knobs), self.shear_rates())
        {
            let range = (least.pa_s(), greatest.pa_s());
            self.two_sided(id, law.viscosity(in_head), range);
        }
    }

    /// Shear rates of head and film [1/s], or the first input that they lack.
    fn shear_rates(&self) -> Result<(f64, f64), Input> {
        let speed = self.knobs.speed.ok_or(Input::Speed)?;
        let in_head = match &self.values.head.method {
            MethodValues::SlotDie(_) | MethodValues::Knife(_) => {
                speed / self.knobs.head.gap.ok_or(Input::Gap)?
            }
            MethodValues::WireBar(bar) => wire_shear_rate(speed, bar.wire(self.knobs)?),
            MethodValues::Gravure(unit) => {
                unit.roll.shear_rate(speed, unit.roll.volume(self.knobs)?)
            }
            MethodValues::Flexo(unit) => unit
                .anilox
                .shear_rate(speed, unit.anilox.volume(self.knobs)?),
        };
        Ok((in_head, speed / self.wet_thickness()?))
    }

    /// Whether one viscosity is enough, and whether it was measured where it counts.
    fn flow_law_ranges(&mut self) {
        let (Ok(law), Ok((in_head, in_film))) =
            (self.values.flow_law(self.knobs), self.shear_rates())
        else {
            return;
        };
        if law.is_newtonian() {
            return;
        }
        let (mu_head, mu_film) = (law.viscosity(in_head), law.viscosity(in_film));
        let ratio = (mu_head / mu_film).max(mu_film / mu_head);
        self.ratio(LimitId::RheologyRange, ratio, GREATEST_VISCOSITY_RATIO);
        if let Some((least, greatest)) = law.rates {
            let (low, high) = (in_head.min(in_film), in_head.max(in_film));
            if least / low > high / greatest {
                self.two_sided(LimitId::Extrapolation, low, (least, greatest));
            } else {
                self.two_sided(LimitId::Extrapolation, high, (least, greatest));
            }
        }
    }

    /// A range with both ends, scaled apart by the calibration factor; the nearer end is recorded.
    pub(super) fn two_sided(&mut self, id: LimitId, value: f64, (least, greatest): (f64, f64)) {
        let factor = self.calibration.factor(id);
        let (least, greatest) = (least / factor, greatest * factor);
        let below = super::ratio_margin(Sense::AtLeast, value, least);
        let above = super::ratio_margin(Sense::AtMost, value, greatest);
        if below < above {
            self.evaluated(id, Sense::AtLeast, (value, least, below), factor);
        } else {
            self.evaluated(id, Sense::AtMost, (value, greatest, above), factor);
        }
    }
}

impl Walk<'_, WorstHard> {
    /// Worst hard margin of the head alone, on a slot die of its coating window; `None` if an essential input is missing.
    pub(crate) fn head_margin(mut self) -> Option<f64> {
        if let MethodValues::SlotDie(die) = &self.values.head.method {
            return self.bead_margin(die);
        }
        let wetting = self.wetting_state();
        self.head_limits(&wetting);
        let worst = self.sink;
        worst
            .binding
            .filter(|_| !worst.is_core_missing)
            .map(|(_, margin)| margin)
    }
}
