//! One walk along the line: every limit of one setting, in the order of [`LimitId::ALL`].

use arrayvec::ArrayVec;

use crate::assumed::{Input, InputSet};
use crate::calibration::Calibration;
use crate::drying::March;
use crate::limit::{
    Assessment, Derived, LimitId, LimitRecord, MAX_LIMITS, Outcome, Sense, Severity, Verdict,
};
use crate::prepared::{Knobs, Values};

mod caution_limits;
mod drying_case;
mod drying_limits;
mod engraved_roll_limits;
mod entrainment_limits;
mod exhaust_limits;
mod film_defect_limits;
mod flexo_limits;
mod foil_limits;
mod gravure_limits;
mod head_limits;
mod infrared_limits;
mod knife_limits;
mod lamination_limits;
mod levelling_limits;
mod limit_knobs;
mod machine_limits;
mod plasma_limits;
mod pump_limits;
mod room_limits;
mod safety_limits;
mod slot_die_limits;
mod target_limits;
mod uv_limits;
mod web_limits;
mod wire_bar_limits;

pub(crate) use caution_limits::burning_vapor;
pub(crate) use drying_case::{DryingInputs, hottest_constant_rate, march_inputs};
pub(crate) use limit_knobs::knobs_of;
pub(crate) use room_limits::{air_to_breathe, spilled_vapor};
pub(crate) use safety_limits::greatest_pressure_pa;
pub(crate) use uv_limits::cured_dose_at_full_power;

/// Least and greatest margin of a record.
pub(crate) const MARGIN_REACH: (f64, f64) = (-10.0, 1.0);
/// Least reference of a temperature margin \[K\].
const LEAST_TEMPERATURE_REFERENCE: f64 = 10.0;

/// Highest speeds [m/s] at which a film leaves dry, and with what the product may hold; the latter only where it was
/// searched.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DrySpeeds {
    pub(crate) dry: f64,
    pub(crate) target: Option<f64>,
}

impl DrySpeeds {
    const fn of_dry(dry: f64) -> Self {
        Self { dry, target: None }
    }
}

/// What to do about the drying march.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Drying {
    /// March at the set speed and search the dry speed.
    Full,
    /// March at the set speed; the dry speeds are known.
    KnownSpeeds(DrySpeeds),
    /// The dry speed [m/s] and the march at the set speed are known.
    Known(f64, March),
    /// March at the set speed only to see on which side of the dry speed it lies.
    SideOnly,
    /// Do not march; the dry speed is known [m/s].
    Given(f64),
    /// Do not march and say nothing of drying.
    LeaveOut,
}

#[expect(
    clippy::inline_always,
    reason = "loops over many settings are vectorized through it"
)]
#[inline(always)]
pub(crate) fn clip(margin: f64) -> f64 {
    margin.clamp(MARGIN_REACH.0, MARGIN_REACH.1)
}

/// Margin of a quantity with a natural zero: 1 − utilisation.
#[expect(
    clippy::inline_always,
    reason = "loops over many settings are vectorized through it"
)]
#[inline(always)]
pub(crate) fn ratio_margin(sense: Sense, value: f64, bound: f64) -> f64 {
    let (small, large) = match sense {
        Sense::AtMost => (value, bound),
        Sense::AtLeast => (bound, value),
    };
    if small <= 0.0 {
        MARGIN_REACH.1
    } else if large <= 0.0 {
        MARGIN_REACH.0
    } else {
        clip(1.0 - small / large)
    }
}

/// A bound on a temperature \[K\] whose distance from the room is scaled by a factor.
pub(crate) fn calibrated_temperature(bound: f64, room: f64, factor: f64) -> f64 {
    room + factor * (bound - room)
}

/// Where the records of a walk go.
pub(crate) trait Sink {
    /// False if only hard limits are wanted; the walk then leaves out what only others need.
    const WANTS_ALL: bool;
    /// False if the window of a slot die is judged elsewhere; the walk then leaves out its limits.
    const WANTS_BEAD: bool = true;

    /// Takes the record of a limit.
    fn take(&mut self, record: LimitRecord);
}

/// Keeps every record.
impl Sink for ArrayVec<LimitRecord, MAX_LIMITS> {
    const WANTS_ALL: bool = true;

    fn take(&mut self, record: LimitRecord) {
        // Each limit is recorded once and there is room for all of them.
        if self.try_push(record).is_err() {
            debug_assert!(false, "more records than limits");
        }
    }
}

/// Keeps the worst evaluated hard limit.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct WorstHard {
    pub(crate) binding: Option<(LimitId, f64)>,
    pub(crate) is_core_missing: bool,
}

impl Sink for WorstHard {
    const WANTS_ALL: bool = false;

    fn take(&mut self, record: LimitRecord) {
        if record.severity != Severity::Hard {
            return;
        }
        match (record.margin(), self.binding) {
            (Some(margin), None) => self.binding = Some((record.id, margin)),
            (Some(margin), Some((_, worst))) if margin < worst => {
                self.binding = Some((record.id, margin));
            }
            (Some(_), Some(_)) => {}
            (None, _) => self.is_core_missing |= record.id.is_core(),
        }
    }
}

/// A walk in progress.
pub(crate) struct Walk<'a, S> {
    values: &'a Values,
    calibration: &'a Calibration,
    knobs: &'a Knobs,
    drying: Drying,
    used: InputSet,
    sink: S,
    derived: Derived,
}

impl<'a, S: Sink> Walk<'a, S> {
    pub(crate) fn new(
        values: &'a Values,
        calibration: &'a Calibration,
        knobs: &'a Knobs,
        drying: Drying,
        sink: S,
    ) -> Self {
        Self {
            values,
            calibration,
            knobs,
            drying,
            used: InputSet::EMPTY,
            sink,
            derived: Derived::default(),
        }
    }

    /// Walks the whole line.
    fn walk(&mut self) {
        if S::WANTS_ALL {
            self.derive_film();
        }
        let wetting = self.wetting_state();
        self.head_limits(&wetting);
        self.machine_limits();
        self.pump_limits(&wetting);
        self.plasma_limits(&wetting);
        self.drying_limits();
        self.lamination_limits();
        self.uv_limits();
        self.web_limits();
        if S::WANTS_ALL {
            self.cautions();
            self.pump_pressure();
            self.nip();
            self.validity_limits();
            self.biot_range();
        }
    }

    /// Walks the whole line and returns what the sink kept.
    pub(crate) fn keep(mut self) -> S {
        self.walk();
        self.sink
    }

    /// Inputs of line and setting that stand in by default.
    fn assumed_inputs(&self) -> InputSet {
        let mut set = self.values.assumed;
        if self.knobs.is_vacuum_assumed {
            set = set.with(Input::Vacuum);
        }
        if self.values.plasma.is_some() && self.knobs.plasma_power.is_none() {
            set = set.with(Input::PlasmaPower);
        }
        if self.values.ink.solids.is_none() {
            set = set.with(Input::Solids);
        }
        if self.knobs.head.speed_ratio.is_none() {
            set = set.with(Input::SpeedRatio);
        }
        set
    }

    fn uses(&mut self, inputs: InputSet) {
        self.used = self.used.union(inputs);
    }

    fn record(&mut self, id: LimitId, sense: Sense, outcome: Outcome, is_calibrated: bool) {
        let record = LimitRecord {
            id,
            station: id.station(),
            severity: id.severity(),
            sense,
            dimension: id.dimension(),
            outcome,
            is_calibrated,
        };
        self.sink.take(record);
    }

    fn missing(&mut self, id: LimitId, missing: Input) {
        self.record(id, id.sense(), Outcome::NotEvaluated { missing }, false);
    }

    /// A limit on a quantity with a natural zero.
    fn ratio(&mut self, id: LimitId, value: f64, bound: f64) {
        let factor = self.calibration.factor(id);
        let bound = factor * bound;
        let margin = ratio_margin(id.sense(), value, bound);
        self.evaluated(id, id.sense(), (value, bound, margin), factor);
    }

    /// An upper limit on a temperature.
    fn temperature(&mut self, id: LimitId, value: f64, bound: f64) {
        let factor = self.calibration.factor(id);
        let room = self.values.room.temperature;
        let bound = calibrated_temperature(bound, room, factor);
        let margin = (bound - value) / (bound - room).max(LEAST_TEMPERATURE_REFERENCE);
        self.uses(InputSet::EMPTY.with(Input::RoomTemperature));
        self.evaluated(id, Sense::AtMost, (value, bound, clip(margin)), factor);
    }

    /// `numbers` are value, bound and margin.
    fn evaluated(&mut self, id: LimitId, sense: Sense, numbers: (f64, f64, f64), factor: f64) {
        let (value, bound, margin) = numbers;
        let is_calibrated = (factor - 1.0).abs() > f64::EPSILON;
        self.record(
            id,
            sense,
            Outcome::Evaluated {
                value,
                bound,
                margin,
            },
            is_calibrated,
        );
    }

    /// Both ends of the span of a knob with a natural zero; the nearer one is recorded.
    fn span(&mut self, id: LimitId, value: f64, (least, greatest): (f64, f64)) {
        let below = ratio_margin(Sense::AtLeast, value, least);
        let above = ratio_margin(Sense::AtMost, value, greatest);
        if below < above {
            self.evaluated(id, Sense::AtLeast, (value, least, below), 1.0);
        } else {
            self.evaluated(id, Sense::AtMost, (value, greatest, above), 1.0);
        }
    }

    /// Both ends of the span of a temperature, each measured by how far the upper end lies above the room.
    fn temperature_span(&mut self, id: LimitId, value: f64, (least, greatest): (f64, f64)) {
        let reference = (greatest - self.values.room.temperature).max(LEAST_TEMPERATURE_REFERENCE);
        let (below, above) = (
            clip((value - least) / reference),
            clip((greatest - value) / reference),
        );
        if below < above {
            self.evaluated(id, Sense::AtLeast, (value, least, below), 1.0);
        } else {
            self.evaluated(id, Sense::AtMost, (value, greatest, above), 1.0);
        }
    }

    /// Wet film, dry film, times.
    fn derive_film(&mut self) {
        let (ink, knobs) = (&self.values.ink, self.knobs);
        if let Ok(t) = self.wet_thickness() {
            self.derived.wet_thickness_m = Some(t);
            if let Some(solids) = ink.solids {
                let coat_weight = t * ink.rho * solids;
                self.derived.coat_weight_kg_per_m2 = Some(coat_weight);
                self.derived.dry_thickness_m = ink
                    .dry_density
                    .map(|rho_s| coat_weight / (rho_s * (1.0 - ink.porosity)));
            }
            if self.derived.dry_thickness_m.is_some() {
                self.used = self.used.with(Input::DryPorosity).with(Input::Density);
            }
        }
        if let (Some(dryer), Some(v)) = (self.values.dryer, knobs.speed) {
            self.derived.dryer_time_s = dryer.length.map(|length| length / v);
            self.derived.open_time_s = Some(self.path_to_dryer() / v);
        }
    }

    /// Way from the head to the dryer \[m\]: the open path, the web around a heated roller, lamps before the dryer.
    fn path_to_dryer(&self) -> f64 {
        let lit = self
            .values
            .infrared
            .filter(|lamps| !lamps.is_in_dryer)
            .and_then(|lamps| lamps.length);
        self.values.room.open_path + self.wrapped_path() + lit.unwrap_or(0.0)
    }

    /// Path of the web on the heated roller \[m\]; zero if its size is not known.
    fn wrapped_path(&self) -> f64 {
        self.values
            .roller
            .and_then(|roller| Some(0.5 * roller.diameter? * roller.wrap?))
            .unwrap_or(0.0)
    }

    /// Wet thickness \[m\], or the first input that it lacks.
    fn wet_thickness(&self) -> Result<f64, Input> {
        self.values.wet_thickness(self.knobs)
    }
}

impl Walk<'_, ArrayVec<LimitRecord, MAX_LIMITS>> {
    /// Walks the whole line and puts the assessment together.
    pub(crate) fn finish(mut self) -> Assessment {
        self.walk();
        let mut assumed = ArrayVec::new();
        for input in self.used.intersection(self.assumed_inputs()).iter() {
            if assumed.try_push(input).is_err() {
                break;
            }
        }
        let verdict = nominal_verdict(&self.sink);
        Assessment {
            limits: self.sink,
            derived: self.derived,
            assumed,
            rests_on: ArrayVec::new(),
            verdict,
        }
    }
}

/// Verdict of the nominal margins alone: without what rests on assumed inputs.
pub(crate) fn nominal_verdict(limits: &[LimitRecord]) -> Verdict {
    let hard = || {
        limits
            .iter()
            .filter(|limit| limit.severity == Severity::Hard)
    };
    if hard().any(|limit| limit.margin().is_some_and(|margin| margin < 0.0)) {
        Verdict::Infeasible
    } else if hard().any(|limit| limit.id.is_core() && limit.margin().is_none()) {
        Verdict::Unknown
    } else {
        Verdict::Feasible
    }
}
