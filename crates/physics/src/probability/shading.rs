//! The chances of many settings at once, for a chart that is shaded while it is dragged.

use super::bead_lanes::{BeadLanes, LANE_LIMITS, Lanes};
use super::draws::{Breaches, Chances, Nominal, Tally};
use super::drying_response::DryingResponse;
use super::{ChanceError, Likelihood};
use crate::evaluation::{Drying, Sink, Walk, knobs_of};
use crate::input_errors::DrawnLine;
use crate::limit::{LimitId, Severity};
use crate::limit_set::LimitSet;
use crate::line::Setting;
use crate::prepared::Knobs;
use crate::slot_die::lanes::LANES;

/// Settings between two looks at the stop flag; a millisecond or less with the draws of a chart.
const SETTINGS_A_SLICE: usize = 16;

/// The chance of one setting of a chart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shade {
    /// Share of the draws in which every evaluated hard limit holds.
    pub all_hold: f64,
    /// The hard limit that breaks most often, with the share of the draws; `None` if none ever does.
    pub likeliest_failure: Option<(LimitId, f64)>,
}

impl Shade {
    /// The band that the chance falls in.
    pub fn likelihood(&self) -> Likelihood {
        Likelihood::of(self.all_hold)
    }
}

impl Chances {
    /// The chances of many settings from the closed-form limits, and from a response of the dryer if one is given: what
    /// [`Self::of`] gives but for `dry_at_exit` and `blister`, which are left out without a response, and for the hottest
    /// foil, which is taken to reach what the stations are set to (the careful side). `None` where a core limit lacks an
    /// essential input. Nothing is allocated per setting; settings of equal speed in a row cost least.
    ///
    /// # Errors
    /// [`ChanceError::Lengths`] if there are not as many shades as settings, [`ChanceError::Input`] if a knob cannot be
    /// used, [`ChanceError::BeyondResponse`] if a setting lies outside the response or the response is of other draws,
    /// [`ChanceError::Stopped`] once `stop` says so.
    pub fn shade(
        &self,
        settings: &[Setting],
        drying: Option<&DryingResponse>,
        shades: &mut [Option<Shade>],
        mut stop: impl FnMut() -> bool,
    ) -> Result<(), ChanceError> {
        if settings.len() != shades.len() {
            return Err(ChanceError::Lengths {
                n_settings: settings.len(),
                n_shades: shades.len(),
            });
        }
        let mut shading = Shading::new(self, drying);
        let slices = settings
            .chunks(SETTINGS_A_SLICE)
            .zip(shades.chunks_mut(SETTINGS_A_SLICE));
        for (settings, shades) in slices {
            if stop() {
                return Err(ChanceError::Stopped);
            }
            for (setting, shade) in settings.iter().zip(shades) {
                *shade = shading.shade(setting)?;
            }
        }
        Ok(())
    }
}

/// Numbers of all draws at one setting, kept for the next.
struct Shading<'a> {
    chances: &'a Chances,
    drying: Option<&'a DryingResponse>,
    /// The slot die's window, of all draws side by side; any other head is walked draw by draw.
    bead: Option<BeadLanes>,
    /// Speeds and wet thicknesses of any other head.
    films: Vec<(Lanes, Lanes)>,
    /// Which of [`LANE_LIMITS`] break, block by block.
    broken: Vec<[u64; LANES]>,
    /// What other limits break, draw by draw, and the knobs at which which of them were judged.
    others: Vec<LimitSet>,
    others_at: Option<(Knobs, LimitSet)>,
}

impl<'a> Shading<'a> {
    fn new(chances: &'a Chances, drying: Option<&'a DryingResponse>) -> Self {
        let n_blocks = chances.draws.len().div_ceil(LANES);
        Self {
            chances,
            drying,
            bead: BeadLanes::new(&chances.draws),
            films: vec![([0.0; LANES], [0.0; LANES]); n_blocks],
            broken: vec![[0; LANES]; n_blocks],
            others: vec![LimitSet::default(); chances.draws.len()],
            others_at: None,
        }
    }

    fn shade(&mut self, setting: &Setting) -> Result<Option<Shade>, ChanceError> {
        let prepared = self.chances.prepared();
        let knobs = prepared.knobs(setting)?;
        let Some(nominal) = self.chances.nominal::<false>(&knobs, Drying::LeaveOut) else {
            return Ok(None);
        };
        self.broken.fill([0; LANES]);
        if let Some(bead) = &mut self.bead {
            bead.judge(&self.chances.draws, &knobs, &mut self.broken);
        }
        if let (Some(drying), Ok(wet)) = (self.drying, prepared.values().wet_thickness(&knobs)) {
            if self.bead.is_none() {
                self.fill_films(&knobs, wet);
            }
            let films = |block: usize| match &self.bead {
                Some(bead) => bead.films(block),
                None => self.films.get(block).map(|(speeds, wets)| (speeds, wets)),
            };
            drying
                .judge(&knobs, wet, films, &mut self.broken)
                .ok_or(ChanceError::BeyondResponse)?;
        }
        self.judge_others(&knobs, nominal.evaluated);
        Ok(Some(self.count(nominal)))
    }

    /// Judges what the lanes do not, unless nothing that it follows has changed. Spans of the machine are judged once, as they
    /// are set.
    fn judge_others(&mut self, knobs: &Knobs, evaluated: LimitSet) {
        let has_bead = self.bead.is_some();
        let others = LimitSet::of(evaluated.iter().filter(|id| {
            let is_of_lanes = has_bead && LANE_LIMITS.contains(id);
            !is_of_lanes && !id.is_machine_span() && !self.chances.ignored.contains(*id)
        }));
        if others.is_empty() {
            self.others.fill(LimitSet::default());
            self.others_at = None;
            return;
        }
        if self
            .others_at
            .is_some_and(|(at, limits)| limits == others && self.stand(others, &at, knobs))
        {
            return;
        }
        for (broken, draw) in self.others.iter_mut().zip(&self.chances.draws) {
            *broken = if has_bead {
                walk(draw, knobs, Breaches::<false, false>::default()).broken
            } else {
                walk(draw, knobs, Breaches::<false, true>::default()).broken
            };
        }
        self.others_at = Some((*knobs, others));
    }

    /// Whether every knob that some limits follow is set the same.
    fn stand(&self, limits: LimitSet, one: &Knobs, other: &Knobs) -> bool {
        let values = self.chances.prepared().values();
        limits.iter().all(
            |id| match knobs_of(values, id).filter(|_| self.bead.is_some()) {
                Some(followed) => followed.iter().all(|knob| {
                    one.value(knob).map(f64::to_bits) == other.value(knob).map(f64::to_bits)
                }),
                None => one == other,
            },
        )
    }

    /// Speeds and wet thicknesses of all draws. A film that a draw does not have counts as set.
    fn fill_films(&mut self, set: &Knobs, set_wet: f64) {
        let draws = self.chances.draws.chunks(LANES);
        for ((speeds, wets), draws) in self.films.iter_mut().zip(draws) {
            for ((speed, wet), draw) in speeds.iter_mut().zip(wets).zip(draws) {
                let knobs = draw.knobs_set_to(set);
                *speed = knobs.speed.unwrap_or(0.0);
                *wet = draw.values.wet_thickness(&knobs).unwrap_or(set_wet);
            }
        }
    }

    fn count(&self, nominal: Nominal<false>) -> Shade {
        let ignored = self.chances.ignored;
        let mut tally = Tally::new(nominal.broken_spans.minus(ignored));
        let by_lanes = self.broken.iter().flatten();
        for (others, broken) in self.others.iter().zip(by_lanes) {
            tally.count(lane_limits(*broken).union(*others).minus(ignored));
        }
        let n_draws = self.chances.n_draws();
        Shade {
            all_hold: tally.all_hold(n_draws),
            likeliest_failure: tally.likeliest(n_draws),
        }
    }
}

/// What a sink keeps of the closed-form limits of a draw.
fn walk<S: Sink>(draw: &DrawnLine, set: &Knobs, sink: S) -> S {
    let knobs = draw.knobs_set_to(set);
    Walk::new(
        &draw.values,
        &draw.calibration,
        &knobs,
        Drying::LeaveOut,
        sink,
    )
    .keep()
}

/// The limits behind the bits of a lane.
fn lane_limits(broken: u64) -> LimitSet {
    if broken == 0 {
        return LimitSet::default();
    }
    let limits = (0..).zip(LANE_LIMITS);
    limits
        .filter(|(bit, _)| broken >> bit & 1 == 1)
        .fold(LimitSet::default(), |set, (_, id)| set.with(id))
}

impl Tally {
    /// The hard limit that breaks in most draws, with its share; the first of equals in the order of evaluation.
    fn likeliest(&self, n_draws: u32) -> Option<(LimitId, f64)> {
        let hard = LimitId::ALL
            .into_iter()
            .filter(|id| id.severity() == Severity::Hard);
        let counts = hard.map(|id| (id, self.n_broken(id, n_draws)));
        let (id, n) = counts.reduce(|most, next| if next.1 > most.1 { next } else { most })?;
        (n > 0).then(|| (id, f64::from(n) / f64::from(n_draws)))
    }
}
