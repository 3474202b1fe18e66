//! A block of settings with the margins of all limits that are wanted.

#![expect(
    clippy::needless_range_loop,
    reason = "loops over lanes of several arrays side by side are vectorized"
)]

use arrayvec::ArrayVec;

use super::die_window::{DieKnobs, DieWindow};
use super::extremes::{Extremes, Gathering};
use super::sources::{Source, Sources, SpannedKnob, has_lanes};
use super::{BatchError, Columns, Lanes};
use crate::assess::Prepared;
use crate::assumed::Input;
use crate::dry_speed_table::DrySpeedTable;
use crate::drying::DRY_SPEED_REACH;
use crate::elementary::{branchless, exp};
use crate::evaluation::{Drying, DryingInputs, Sink, Walk, clip, ratio_margin};
use crate::limit::{LimitId, LimitRecord, MAX_LIMITS, Sense, Severity};
use crate::prepared::{Knobs, MethodValues, SlotDieValues};
use crate::quantity::{Irradiance, Temperature};
use crate::slot_die::PARTICLES_ACROSS_GAP;
use crate::slot_die::lanes::LANES;
use crate::widest_vectors::{Loops, with_widest_vectors};

/// Room for columns: more than there are knobs.
pub(super) const MAX_COLUMNS: usize = 32;

/// A block of settings.
pub(super) struct Block<'a> {
    prepared: &'a Prepared,
    columns: &'a Columns<'a>,
    table: Option<&'a DrySpeedTable>,
    sources: &'a Sources,
    start: usize,
    n: usize,
    knobs: DieKnobs,
    window: Option<DieWindow>,
    /// The angle on the foil follows the speed or the power of a plasma.
    is_foil_varied: bool,
    dry_at_exit: Lanes,
    /// Of each column.
    extremes: ArrayVec<Extremes, MAX_COLUMNS>,
    walked: ArrayVec<(LimitId, Lanes), MAX_LIMITS>,
}

impl<'a> Block<'a> {
    pub(super) fn new(
        prepared: &'a Prepared,
        columns: &'a Columns<'a>,
        table: Option<&'a DrySpeedTable>,
        sources: &'a Sources,
    ) -> Self {
        let mut block = Self {
            prepared,
            columns,
            table,
            sources,
            start: 0,
            n: 0,
            knobs: DieKnobs::default(),
            window: None,
            is_foil_varied: false,
            dry_at_exit: [0.0; LANES],
            extremes: columns
                .varied
                .iter()
                .map(|_| Extremes::NONE)
                .take(MAX_COLUMNS)
                .collect(),
            walked: sources
                .iter()
                .filter(|(_, source)| *source == Source::Walk)
                .map(|(id, _)| (id, [0.0; LANES]))
                .collect(),
        };
        if let Some(knobs) = block.knobs_at(0) {
            block.fill(&knobs);
        }
        block
    }

    /// Fills the lanes with what is not varied.
    fn fill(&mut self, first: &Knobs) {
        let of = |knob: Option<f64>| [knob.unwrap_or(0.0); LANES];
        let values = self.prepared.values();
        self.knobs = DieKnobs {
            speed: of(first.speed),
            flow: of(first.flow),
            gap: of(first.head.gap),
            vacuum: [first.vacuum; LANES],
            foil_cosine: [self.foil_cosine(first); LANES],
        };
        self.is_foil_varied = values.plasma.is_some()
            && (self.columns.is_varied(Input::Speed) || self.columns.is_varied(Input::PlasmaPower));
        let wants_soft = self.wants_soft();
        let calibration = &self.prepared.basis().calibration;
        let die = self.die().filter(|_| has_lanes(values, self.columns));
        self.window = die
            .zip(values.head.width)
            .zip(values.flow_law(first).ok())
            .map(|(die, law)| DieWindow::new(values, die, law, calibration, wants_soft));
    }

    const fn die(&self) -> Option<&'a SlotDieValues> {
        match &self.prepared.values().head.method {
            MethodValues::SlotDie(die) => Some(die),
            MethodValues::Knife(_)
            | MethodValues::WireBar(_)
            | MethodValues::Gravure(_)
            | MethodValues::Flexo(_) => None,
        }
    }

    fn wants_soft(&self) -> bool {
        self.sources
            .iter()
            .any(|(id, _)| id.severity() == Severity::Soft)
    }

    /// Cosine of the static contact angle on the foil, which a plasma may have treated.
    fn foil_cosine(&self, knobs: &Knobs) -> f64 {
        let calibration = &self.prepared.basis().calibration;
        let sink = Gathered::<false, false>::default();
        Walk::new(
            self.prepared.values(),
            calibration,
            knobs,
            Drying::LeaveOut,
            sink,
        )
        .foil_cosine()
    }

    /// Knobs of a setting, which were checked before.
    fn knobs_at(&self, index: usize) -> Option<Knobs> {
        self.prepared.knobs(&self.columns.setting(index)?).ok()
    }

    /// Takes over some settings, at most as many as there are lanes.
    pub(super) fn load(&mut self, start: usize, n: usize) {
        (self.start, self.n) = (start, n);
        for ((knob, numbers), extremes) in self.columns.varied.iter().zip(&mut self.extremes) {
            let numbers = numbers.get(start..start + n).unwrap_or_default();
            with_widest_vectors(Gathering { extremes, numbers });
            let lanes = match knob {
                Input::Speed => &mut self.knobs.speed,
                Input::Flow => &mut self.knobs.flow,
                Input::Gap => &mut self.knobs.gap,
                Input::Vacuum => &mut self.knobs.vacuum,
                _ => continue,
            };
            // Lanes behind the last setting keep what they had.
            for (lane, number) in lanes.iter_mut().zip(numbers) {
                *lane = *number;
            }
        }
    }

    /// Checks the numbers of all blocks that were loaded. What a knob can be set to is one stretch of numbers, so that the
    /// least and the greatest of a column speak for all.
    pub(super) fn check(&self) -> Result<(), BatchError> {
        for ((input, numbers), extremes) in self.columns.varied.iter().zip(&self.extremes) {
            let set = |number: f64| {
                let setting = self.columns.base.with_knob(*input, number);
                setting.map_or(Ok(()), |setting| self.prepared.knobs(&setting).map(|_| ()))
            };
            let ends = extremes.of_column();
            if numbers.is_empty()
                || ends.is_some_and(|(least, greatest)| set(least).is_ok() && set(greatest).is_ok())
            {
                continue;
            }
            for (index, number) in numbers.iter().enumerate() {
                set(*number).map_err(|error| BatchError::Setting { index, error })?;
            }
        }
        Ok(())
    }

    /// Judges the settings.
    pub(super) fn judge(&mut self) {
        if self.is_foil_varied && self.window.is_some() {
            for lane in 0..self.n {
                if let Some(knobs) = self.knobs_at(self.start + lane) {
                    self.knobs.foil_cosine[lane] = self.foil_cosine(&knobs);
                }
            }
        }
        if let Some(window) = &mut self.window {
            window.judge(&self.knobs);
        }
        if self.sources.has(LimitId::DryAtExit) {
            self.dry_speeds();
        }
        if !self.walked.is_empty() {
            self.walk();
        }
    }

    /// Walks every setting for the limits that have no quicker source.
    fn walk(&mut self) {
        let wants_soft = self.wants_soft();
        for lane in 0..self.n {
            let Some(knobs) = self.knobs_at(self.start + lane) else {
                continue;
            };
            let found = if wants_soft {
                self.gather::<true, true>(&knobs)
            } else if self.window.is_some() {
                self.gather::<false, false>(&knobs)
            } else {
                self.gather::<false, true>(&knobs)
            };
            for (id, margins) in &mut self.walked {
                if let Some((_, margin)) = found.iter().find(|(found, _)| found == id) {
                    margins[lane] = *margin;
                }
            }
        }
    }

    fn gather<const ALL: bool, const BEAD: bool>(
        &self,
        knobs: &Knobs,
    ) -> ArrayVec<(LimitId, f64), MAX_LIMITS> {
        let calibration = &self.prepared.basis().calibration;
        let sink = Gathered::<ALL, BEAD>::default();
        Walk::new(
            self.prepared.values(),
            calibration,
            knobs,
            Drying::LeaveOut,
            sink,
        )
        .keep()
        .0
    }

    /// Margins of the speed against dry speeds of the table, by marching where it does not reach.
    fn dry_speeds(&mut self) {
        let factor = self.prepared.basis().calibration.factor(LimitId::DryAtExit);
        for lane in 0..self.n {
            let index = self.start + lane;
            let read = self.read_dry_speed(lane, index);
            if let Some((speed, dry_speed)) = read.or_else(|| self.march(index)) {
                self.dry_at_exit[lane] = ratio_margin(Sense::AtMost, speed, factor * dry_speed);
            }
        }
    }

    /// Speed and dry speed of a setting by the table.
    fn read_dry_speed(&self, lane: usize, index: usize) -> Option<(f64, f64)> {
        let window = self.window.as_ref()?;
        let number = |knob: Input, base: Option<f64>| {
            let column = self
                .columns
                .varied
                .iter()
                .find(|(varied, _)| *varied == knob);
            column.map_or(base, |(_, numbers)| numbers.get(index).copied())
        };
        let base = &self.columns.base;
        let table = self.table?;
        let coordinates = table.coordinates(
            branchless::ln(window.wet()[lane]),
            [
                number(
                    Input::GasTemperature,
                    base.gas_temperature.map(Temperature::k),
                ),
                number(
                    Input::RollerTemperature,
                    base.roller_temperature.map(Temperature::k),
                ),
                number(
                    Input::InfraredPower,
                    base.infrared_power.map(Irradiance::w_per_m2),
                ),
            ],
        )?;
        let dry_speed = exp(table.logarithm_at(coordinates)?).min(DRY_SPEED_REACH.1);
        Some((self.knobs.speed[lane], dry_speed))
    }

    /// Speed and dry speed of a setting by marching.
    fn march(&self, index: usize) -> Option<(f64, f64)> {
        let values = self.prepared.values();
        let knobs = self.knobs_at(index)?;
        let case = DryingInputs::new(values, &knobs).ok()?.case(values, &knobs);
        Some((knobs.speed?, case.dry_speed().speed().m_per_s()))
    }

    /// Judges the settings and returns the least margin of each with the place of its limit in the order of evaluation.
    pub(super) fn least(&mut self) -> (Lanes, [u64; LANES]) {
        self.judge();
        with_widest_vectors(Least(self))
    }

    /// Writes the margins of a limit in the settings judged last.
    pub(super) fn write(&self, limit: LimitId, margins: &mut [f64]) {
        if let Some((id, source)) = self.sources.iter().find(|(id, _)| *id == limit) {
            with_widest_vectors(Writing {
                block: self,
                id,
                source,
                margins,
            });
        }
    }

    /// Calls with the margin of every lane.
    #[expect(clippy::inline_always, reason = "compiled for each width of vector")]
    #[inline(always)]
    fn each_margin(&self, id: LimitId, source: Source, mut each: impl FnMut(usize, f64)) {
        match source {
            Source::Constant(margin) => {
                for lane in 0..LANES {
                    each(lane, margin);
                }
            }
            Source::Window => {
                let margins = self.window.as_ref().and_then(|window| window.margins(id));
                each_lane(margins, each);
            }
            Source::Span(knob, (least, greatest)) => {
                let numbers = match knob {
                    SpannedKnob::Speed => &self.knobs.speed,
                    SpannedKnob::Flow => &self.knobs.flow,
                    SpannedKnob::Gap => &self.knobs.gap,
                };
                let per_greatest = 1.0 / greatest;
                for lane in 0..LANES {
                    let below = ratio_margin(Sense::AtLeast, numbers[lane], least);
                    each(lane, below.min(clip(1.0 - numbers[lane] * per_greatest)));
                }
            }
            Source::Particle(size) => {
                let factor = self.prepared.basis().calibration.factor(LimitId::Particle);
                if let Some(die) = self.die() {
                    let share = factor / PARTICLES_ACROSS_GAP;
                    for lane in 0..LANES {
                        let passage = share * die.narrowest(self.knobs.gap[lane]);
                        each(lane, ratio_margin(Sense::AtMost, size, passage));
                    }
                }
            }
            Source::DrySpeed => each_lane(Some(&self.dry_at_exit), each),
            Source::Walk => {
                let walked = self.walked.iter().find(|(walked, _)| *walked == id);
                each_lane(walked.map(|(_, margins)| margins), each);
            }
        }
    }
}

/// Calls with the number of every lane.
#[expect(clippy::inline_always, reason = "compiled for each width of vector")]
#[inline(always)]
fn each_lane(lanes: Option<&Lanes>, mut each: impl FnMut(usize, f64)) {
    if let Some(lanes) = lanes {
        for lane in 0..LANES {
            each(lane, lanes[lane]);
        }
    }
}

/// The least margin in every lane of a block.
struct Least<'a, 'b>(&'a Block<'b>);

impl Loops for Least<'_, '_> {
    type Output = (Lanes, [u64; LANES]);

    #[expect(clippy::inline_always, reason = "compiled for each width of vector")]
    #[inline(always)]
    fn run(self) -> Self::Output {
        let (mut least, mut places) = ([f64::INFINITY; LANES], [0; LANES]);
        for (id, source) in self.0.sources.iter() {
            let place = id as u64;
            self.0.each_margin(id, source, |lane, margin| {
                let is_less = margin < least[lane];
                least[lane] = if is_less { margin } else { least[lane] };
                places[lane] = if is_less { place } else { places[lane] };
            });
        }
        (least, places)
    }
}

/// Margins of one limit on their way out.
struct Writing<'a, 'b> {
    block: &'a Block<'b>,
    id: LimitId,
    source: Source,
    margins: &'a mut [f64],
}

impl Loops for Writing<'_, '_> {
    type Output = ();

    #[expect(clippy::inline_always, reason = "compiled for each width of vector")]
    #[inline(always)]
    fn run(self) {
        if let Ok(whole) = <&mut Lanes>::try_from(&mut *self.margins) {
            self.block
                .each_margin(self.id, self.source, |lane, margin| whole[lane] = margin);
        } else {
            let margins = self.margins;
            self.block
                .each_margin(self.id, self.source, |lane, margin| {
                    if let Some(place) = margins.get_mut(lane) {
                        *place = margin;
                    }
                });
        }
    }
}

/// Margins of the evaluated limits of a walk: all of them or the hard ones, with or without the window of a slot die.
#[derive(Debug, Clone, Default)]
struct Gathered<const ALL: bool, const BEAD: bool>(ArrayVec<(LimitId, f64), MAX_LIMITS>);

impl<const ALL: bool, const BEAD: bool> Sink for Gathered<ALL, BEAD> {
    const WANTS_ALL: bool = ALL;
    const WANTS_BEAD: bool = BEAD;

    fn take(&mut self, record: LimitRecord) {
        if let Some(margin) = record.margin()
            && self.0.try_push((record.id, margin)).is_err()
        {
            debug_assert!(false, "more records than limits");
        }
    }
}
