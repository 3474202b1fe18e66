//! Many lines that the stated one may be, and one setting judged on all of them.

use arrayvec::ArrayVec;

use super::{Chance, ChanceError, GREATEST_DRAWS, LimitChance};
use crate::assess::Prepared;
use crate::evaluation::{Drying, Sink, Walk};
use crate::input_errors::{DrawnLine, InputErrors};
use crate::limit::{LimitId, LimitRecord, Severity};
use crate::limit_set::LimitSet;
use crate::line::Setting;
use crate::prepared::Knobs;

/// Draws between two looks at the stop flag; with a drying march each, some milliseconds.
const DRAWS_A_SLICE: usize = 64;

/// Drawn lines of one stated line, for many settings.
///
/// # Examples
/// ```
/// use wetlane_physics::probability::{Chances, InputErrors, SCREEN_DRAWS};
/// use wetlane_physics::{
///     Basis, Head, Ink, Length, Line, Prepared, Rheology, Setting, SlotDie, Speed, Uncertainties, Viscosity, VolumeFlow,
/// };
///
/// // An invented ink on a die of which only the width is known.
/// let line = Line {
///     ink: Ink {
///         rheology: Some(Rheology::Newtonian { viscosity: Viscosity::from_mpa_s(10.0) }),
///         ..Ink::default()
///     },
///     head: Head::SlotDie(SlotDie { coated_width: Some(Length::from_mm(100.0)), ..SlotDie::default() }),
///     ..Line::default()
/// };
/// let setting = Setting {
///     speed: Some(Speed::from_m_per_min(1.0)),
///     flow: Some(VolumeFlow::from_ml_per_min(2.0)),
///     gap: Some(Length::from_um(100.0)),
///     ..Setting::default()
/// };
/// let errors = InputErrors::new(&Prepared::new(&line, &Basis::default())?, &Uncertainties::default());
/// let chances = Chances::new(&errors, SCREEN_DRAWS, 1)?;
/// // 20 µm stand far inside a window of 3.6 to 106 µm, whatever lips and angles may be.
/// assert!(chances.of(&setting)?.is_some_and(|chance| chance.all_hold > 0.95));
/// # Ok::<(), wetlane_physics::probability::ChanceError>(())
/// ```
#[derive(Debug, Clone)]
pub struct Chances {
    errors: InputErrors,
    pub(super) draws: Vec<DrawnLine>,
    pub(super) ignored: LimitSet,
}

impl Chances {
    /// Draws the lines; a microsecond or two each. Powers of two spread most evenly.
    ///
    /// # Errors
    /// [`ChanceError::NumberOfDraws`] if there are none or more than [`GREATEST_DRAWS`].
    pub fn new(errors: &InputErrors, n_draws: u32, seed: u64) -> Result<Self, ChanceError> {
        if !(1..=GREATEST_DRAWS).contains(&n_draws) {
            return Err(ChanceError::NumberOfDraws { n_draws });
        }
        let draws = (0..n_draws)
            .map(|draw| errors.drawn(&errors.scores(draw, seed)))
            .collect();
        Ok(Self {
            errors: errors.clone(),
            draws,
            ignored: LimitSet::default(),
        })
    }

    /// The same draws, judged without some limits: those that somebody switched off.
    #[must_use]
    pub fn ignoring(mut self, limits: &[LimitId]) -> Self {
        for limit in limits {
            self.ignored = self.ignored.with(*limit);
        }
        self
    }

    /// What scatters.
    pub const fn errors(&self) -> &InputErrors {
        &self.errors
    }

    /// The stated line.
    pub const fn prepared(&self) -> &Prepared {
        self.errors.prepared()
    }

    /// Number of draws.
    pub fn n_draws(&self) -> u32 {
        u32::try_from(self.draws.len()).unwrap_or(GREATEST_DRAWS)
    }

    /// The chances of a setting, every limit as [`Prepared::assess`] has it: the film is marched once a draw, some 50 µs each,
    /// if the line dries it. `Ok(None)` if a core limit lacks an essential input.
    ///
    /// # Errors
    /// [`ChanceError::Input`] names the knob that cannot be used.
    pub fn of(&self, setting: &Setting) -> Result<Option<Chance>, ChanceError> {
        self.of_until(setting, || false)
    }

    /// As [`Self::of`]; `stop` is asked every few milliseconds.
    ///
    /// # Errors
    /// [`ChanceError::Stopped`] once `stop` says so; else as [`Self::of`].
    pub fn of_until(
        &self,
        setting: &Setting,
        mut stop: impl FnMut() -> bool,
    ) -> Result<Option<Chance>, ChanceError> {
        let knobs = self.prepared().knobs(setting)?;
        let Some(nominal) = self.nominal::<true>(&knobs, Drying::SideOnly) else {
            return Ok(None);
        };
        let mut tally = Tally::new(nominal.broken_spans.minus(self.ignored));
        for slice in self.draws.chunks(DRAWS_A_SLICE) {
            if stop() {
                return Err(ChanceError::Stopped);
            }
            for draw in slice {
                let knobs = draw.knobs_set_to(&knobs);
                let sink = Breaches::<true, true>::default();
                let walk = Walk::new(
                    &draw.values,
                    &draw.calibration,
                    &knobs,
                    Drying::SideOnly,
                    sink,
                );
                tally.count(walk.keep().broken.minus(self.ignored));
            }
        }
        let counted = nominal.evaluated.minus(self.ignored);
        Ok(Some(tally.chance(counted, self.n_draws())))
    }

    /// What the stated line has at knobs as they are set; `None` if a core limit lacks an essential input.
    pub(super) fn nominal<const SOFT_TOO: bool>(
        &self,
        knobs: &Knobs,
        drying: Drying,
    ) -> Option<Nominal<SOFT_TOO>> {
        let calibration = &self.prepared().basis().calibration;
        let values = self.prepared().values();
        let sink = Nominal::default();
        let nominal = Walk::new(values, calibration, knobs, drying, sink).keep();
        (!nominal.is_core_missing).then_some(nominal)
    }
}

/// Which limits a setting has, hard ones alone or soft ones, too, and which spans it leaves.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Nominal<const SOFT_TOO: bool> {
    pub(super) evaluated: LimitSet,
    pub(super) broken_spans: LimitSet,
    is_core_missing: bool,
}

impl<const SOFT_TOO: bool> Sink for Nominal<SOFT_TOO> {
    const WANTS_ALL: bool = SOFT_TOO;

    fn take(&mut self, record: LimitRecord) {
        if !is_wanted(record.severity, SOFT_TOO) {
            return;
        }
        match record.margin() {
            Some(margin) => {
                self.evaluated = self.evaluated.with(record.id);
                if record.id.is_machine_span() && margin < 0.0 {
                    self.broken_spans = self.broken_spans.with(record.id);
                }
            }
            None => self.is_core_missing |= record.id.is_core(),
        }
    }
}

/// Whether limits of a severity are given chances; warnings never.
const fn is_wanted(severity: Severity, soft_too: bool) -> bool {
    match severity {
        Severity::Hard => true,
        Severity::Soft => soft_too,
        Severity::Caution | Severity::Validity => false,
    }
}

/// The limits that one draw breaks, hard ones alone or soft ones, too, with or without the window of a slot die; spans of the
/// machine never.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Breaches<const SOFT_TOO: bool, const WITH_BEAD: bool> {
    pub(super) broken: LimitSet,
}

impl<const SOFT_TOO: bool, const WITH_BEAD: bool> Sink for Breaches<SOFT_TOO, WITH_BEAD> {
    const WANTS_ALL: bool = SOFT_TOO;
    const WANTS_BEAD: bool = WITH_BEAD;

    fn take(&mut self, record: LimitRecord) {
        let is_broken = record.margin().is_some_and(|margin| margin < 0.0);
        if is_broken && is_wanted(record.severity, SOFT_TOO) && !record.id.is_machine_span() {
            self.broken = self.broken.with(record.id);
        }
    }
}

/// Counts over the draws.
#[derive(Debug, Clone)]
pub(super) struct Tally {
    broken: [u32; LimitId::COUNT],
    n_holding: u32,
    /// Spans that every draw leaves.
    broken_spans: LimitSet,
}

impl Tally {
    pub(super) const fn new(broken_spans: LimitSet) -> Self {
        Self {
            broken: [0; LimitId::COUNT],
            n_holding: 0,
            broken_spans,
        }
    }

    /// Counts the limits that one draw breaks.
    pub(super) fn count(&mut self, broken: LimitSet) {
        if broken.is_empty() {
            self.n_holding += u32::from(self.broken_spans.is_empty());
            return;
        }
        let mut holds = self.broken_spans.is_empty();
        for id in broken.iter() {
            holds &= id.severity() != Severity::Hard;
            if let Some(count) = self.broken.get_mut(id as usize) {
                *count += 1;
            }
        }
        self.n_holding += u32::from(holds);
    }

    /// Draws in which a limit breaks.
    pub(super) fn n_broken(&self, id: LimitId, n_draws: u32) -> u32 {
        if self.broken_spans.contains(id) {
            n_draws
        } else {
            self.broken.get(id as usize).copied().unwrap_or(0)
        }
    }

    pub(super) fn all_hold(&self, n_draws: u32) -> f64 {
        f64::from(self.n_holding) / f64::from(n_draws)
    }

    fn chance(&self, evaluated: LimitSet, n_draws: u32) -> Chance {
        let all_hold = self.all_hold(n_draws);
        let mut limits = ArrayVec::new();
        for id in evaluated.iter() {
            let fails = f64::from(self.n_broken(id, n_draws)) / f64::from(n_draws);
            if limits.try_push(LimitChance { id, fails }).is_err() {
                debug_assert!(false, "more limits than there are");
            }
        }
        Chance {
            all_hold,
            standard_error: (all_hold * (1.0 - all_hold) / f64::from(n_draws)).sqrt(),
            n_draws,
            limits,
        }
    }
}
