//! Line and setting in, every limit out.
//!
//! [`assess`] is the whole answer for one setting. A caller with many settings of one line makes a [`Prepared`] once and
//! asks it; what is costly can be left out there ([`Prepared::assess_without_drying`]), kept ([`DrySpeedCache`]) or
//! handed in ([`Prepared::assess_given_dry_speed`]). Nothing here allocates on the heap per setting.

use arrayvec::ArrayVec;

use crate::assumed::{Assumptions, Input};
use crate::calibration::Calibration;
use crate::drying::DrySpeed;
use crate::evaluation::{DrySpeeds, Drying, DryingInputs, Walk, WorstHard, march_inputs};
use crate::input_error::InputError;
use crate::limit::{Assessment, LimitId, MAX_LIMITS, Severity, Verdict};
use crate::line::{Line, Setting};
use crate::prepared::{Knobs, Values, doubt_of};
use crate::quantity::{Length, Speed};

/// What an assessment rests on besides line and setting.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Basis {
    /// What may stand in for missing inputs.
    pub assumptions: Assumptions,
    /// Factors fitted from one's own runs.
    pub calibration: Calibration,
}

/// An assumed input with the value that stood in for it and the range over which it is doubted, in SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AssumedInput {
    /// Which input.
    pub input: Input,
    /// The value, or `None` for a choice and for a value that follows from others (the contact angle from surface
    /// energies).
    pub value: Option<f64>,
    /// Low and high end, if it is varied.
    pub range: Option<(f64, f64)>,
}

/// Dry speeds of settings already asked for: they depend on wet thickness, temperatures and infrared light, not on the web speed, so that
/// a plan or a map asks for the same one again and again. Holds for one line; keeps the last few entries.
#[derive(Debug, Clone, Default)]
pub struct DrySpeedCache {
    entries: ArrayVec<(CacheKey, DrySpeeds), CACHE_ENTRIES>,
    oldest: usize,
}

const CACHE_ENTRIES: usize = 64;

/// Bits of wet thickness, roller temperature, infrared irradiance and gas temperature.
type CacheKey = [u64; 4];

impl DrySpeedCache {
    /// An empty cache.
    pub fn new() -> Self {
        Self::default()
    }

    /// Forgets everything; needed before the cache serves another line.
    pub fn clear(&mut self) {
        self.entries.clear();
        self.oldest = 0;
    }

    fn get(&self, key: CacheKey) -> Option<DrySpeeds> {
        self.entries
            .iter()
            .find(|entry| entry.0 == key)
            .map(|entry| entry.1)
    }

    fn put(&mut self, key: CacheKey, speeds: DrySpeeds) {
        if self.entries.try_push((key, speeds)).is_ok() {
            return;
        }
        if let Some(entry) = self.entries.get_mut(self.oldest) {
            *entry = (key, speeds);
        }
        self.oldest = (self.oldest + 1) % CACHE_ENTRIES;
    }
}

/// A checked line with its defaults filled in, for many settings.
///
/// # Examples
/// See the page of the crate.
#[derive(Debug, Clone)]
pub struct Prepared {
    line: Line,
    basis: Basis,
    values: Values,
}

impl Prepared {
    /// Checks a line and fills in its defaults.
    ///
    /// # Errors
    /// [`InputError`] names the input that is not finite, not positive, or otherwise impossible.
    pub fn new(line: &Line, basis: &Basis) -> Result<Self, InputError> {
        let values = Values::resolve(line, &basis.assumptions, &[])?;
        Ok(Self {
            line: *line,
            basis: basis.clone(),
            values,
        })
    }

    /// The line as stated.
    pub const fn line(&self) -> &Line {
        &self.line
    }

    /// What the assessment rests on besides.
    pub const fn basis(&self) -> &Basis {
        &self.basis
    }

    pub(crate) const fn values(&self) -> &Values {
        &self.values
    }

    /// Checks a setting against the line.
    pub(crate) fn knobs(&self, setting: &Setting) -> Result<Knobs, InputError> {
        Knobs::resolve(&self.values, setting)
    }

    fn walk(&self, setting: &Setting, drying: Drying) -> Result<Assessment, InputError> {
        Ok(self.walk_knobs(&self.knobs(setting)?, drying))
    }

    fn walk_knobs(&self, knobs: &Knobs, drying: Drying) -> Assessment {
        Walk::new(
            &self.values,
            &self.basis.calibration,
            knobs,
            drying,
            ArrayVec::new(),
        )
        .finish()
    }

    /// Every limit, the verdict, and what the verdict rests on.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn assess(&self, setting: &Setting) -> Result<Assessment, InputError> {
        let mut assessment = self.assess_nominal(setting)?;
        assessment.rests_on = self.rests_on(setting, &assessment)?;
        if assessment.verdict == Verdict::Feasible && !assessment.rests_on.is_empty() {
            assessment.verdict = Verdict::Marginal;
        }
        Ok(assessment)
    }

    /// Every limit and the verdict of the nominal margins; `rests_on` is left empty, so that the verdict may say feasible
    /// where [`Self::assess`] says marginal.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn assess_nominal(&self, setting: &Setting) -> Result<Assessment, InputError> {
        self.walk(setting, Drying::Full)
    }

    /// As [`Self::assess_nominal`], with the dry speed taken from the cache where it is known. The film is still marched
    /// once, at the set speed.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn assess_with(
        &self,
        setting: &Setting,
        cache: &mut DrySpeedCache,
    ) -> Result<Assessment, InputError> {
        let knobs = self.knobs(setting)?;
        let Some(key) = self.cache_key(&knobs) else {
            return Ok(self.walk_knobs(&knobs, Drying::Full));
        };
        if let Some(known) = cache.get(key) {
            return Ok(self.walk_knobs(&knobs, Drying::KnownSpeeds(known)));
        }
        let assessment = self.walk_knobs(&knobs, Drying::Full);
        if let Some(dry) = assessment.derived.dry_speed_m_per_s {
            let target = assessment.derived.residual_speed_m_per_s;
            cache.put(key, DrySpeeds { dry, target });
        }
        Ok(assessment)
    }

    fn cache_key(&self, knobs: &Knobs) -> Option<CacheKey> {
        let t = self.values.wet_thickness(knobs).ok()?;
        let bits = |knob: Option<f64>| knob.unwrap_or(0.0).to_bits();
        Some([
            t.to_bits(),
            bits(knobs.roller_k),
            bits(knobs.infrared),
            bits(knobs.gas_k),
        ])
    }

    /// The closed-form limits alone: no march, so that nothing is said of drying, boiling and defects of the drying film, and the foil is
    /// taken to reach the hottest temperature that is set.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn assess_without_drying(&self, setting: &Setting) -> Result<Assessment, InputError> {
        self.walk(setting, Drying::LeaveOut)
    }

    /// As [`Self::assess_without_drying`], with `dry_at_exit` judged against a dry speed that the caller has (from
    /// [`Self::dry_speed`], a table or an interpolation).
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn assess_given_dry_speed(
        &self,
        setting: &Setting,
        dry_speed: Speed,
    ) -> Result<Assessment, InputError> {
        self.walk(setting, Drying::Given(dry_speed.m_per_s()))
    }

    /// The binding limit of [`Self::assess_without_drying`] with its margin, without building the records: for searches that
    /// ask millions of times. `Ok(None)` if a core limit lacks an essential input.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn binding_without_drying(
        &self,
        setting: &Setting,
    ) -> Result<Option<(LimitId, f64)>, InputError> {
        self.binding(setting, Drying::LeaveOut)
    }

    /// The binding limit of [`Self::assess_given_dry_speed`] with its margin, without building the records.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn binding_given_dry_speed(
        &self,
        setting: &Setting,
        dry_speed: Speed,
    ) -> Result<Option<(LimitId, f64)>, InputError> {
        self.binding(setting, Drying::Given(dry_speed.m_per_s()))
    }

    fn binding(
        &self,
        setting: &Setting,
        drying: Drying,
    ) -> Result<Option<(LimitId, f64)>, InputError> {
        let knobs = self.knobs(setting)?;
        let calibration = &self.basis.calibration;
        let worst = Walk::new(
            &self.values,
            calibration,
            &knobs,
            drying,
            WorstHard::default(),
        )
        .keep();
        Ok(if worst.is_core_missing {
            None
        } else {
            worst.binding
        })
    }

    /// Highest speed at which a film of the wet thickness of this setting leaves the dryer dry, at its temperatures; it
    /// does not depend on the web speed once the wet thickness is given. `Ok(None)` if an input is missing or the line has
    /// neither dryer nor infrared lamps.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn dry_speed(&self, setting: &Setting) -> Result<Option<DrySpeed>, InputError> {
        let knobs = self.knobs(setting)?;
        if self.values.residual.is_none() {
            return Ok(None);
        }
        let inputs = DryingInputs::new(&self.values, &knobs).ok();
        Ok(inputs.map(|inputs| inputs.case(&self.values, &knobs).dry_speed()))
    }

    /// As [`Self::dry_speed`], for a film of a wet thickness in place of that of the setting, whose temperatures alone
    /// count.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn dry_speed_of_film(
        &self,
        setting: &Setting,
        wet_thickness: Length,
    ) -> Result<Option<DrySpeed>, InputError> {
        let knobs = self.knobs(setting)?;
        if self.values.residual.is_none() {
            return Ok(None);
        }
        // The dry speed does not depend on the speed of the web.
        let film = Ok((1.0, wet_thickness.m()));
        let inputs = DryingInputs::of_film(&self.values, &knobs, film).ok();
        Ok(inputs.map(|inputs| inputs.case(&self.values, &knobs).dry_speed()))
    }

    /// Wet thickness that the head lays down; `Ok(None)` if an input is missing.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn wet_thickness(&self, setting: &Setting) -> Result<Option<Length>, InputError> {
        let knobs = self.knobs(setting)?;
        let wet = self.values.wet_thickness(&knobs).ok();
        Ok(wet.map(Length::from_m))
    }

    /// Assumed inputs whose range changes the sign of the worst hard margin, each varied alone.
    ///
    /// # Errors
    /// [`InputError`] names the knob that cannot be used.
    pub fn rests_on(
        &self,
        setting: &Setting,
        nominal: &Assessment,
    ) -> Result<ArrayVec<Input, MAX_LIMITS>, InputError> {
        let knobs = self.knobs(setting)?;
        let holds = holds(nominal);
        let known = match (
            nominal.derived.dry_speed_m_per_s,
            DryingInputs::new(&self.values, &knobs),
            setting.speed,
        ) {
            (Some(dry_speed), Ok(inputs), Some(speed)) => Some(Drying::Known(
                dry_speed,
                inputs.case(&self.values, &knobs).march(speed),
            )),
            _ => None,
        };
        let march_inputs = march_inputs(&self.values);
        let mut rests_on = ArrayVec::new();
        for &input in &nominal.assumed {
            let Some((low, high)) = self.range_of(input) else {
                continue;
            };
            let drying = match known {
                Some(known) if !march_inputs.contains(input) => known,
                Some(_) | None => Drying::SideOnly,
            };
            let turns = |value: f64| self.holds_with(input, value, &knobs, drying) != holds;
            if (turns(low) || turns(high)) && rests_on.try_push(input).is_err() {
                break;
            }
        }
        Ok(rests_on)
    }

    fn range_of(&self, input: Input) -> Option<(f64, f64)> {
        let (value, doubt) = doubt_of(&self.line, &self.values, &self.basis.assumptions, input)?;
        doubt.ends(value)
    }

    /// Whether every hard limit holds with another value for an assumed input. A value that the line refuses breaks it.
    fn holds_with(&self, input: Input, value: f64, knobs: &Knobs, drying: Drying) -> bool {
        match Values::resolve(&self.line, &self.basis.assumptions, &[(input, value)]) {
            Ok(values) => {
                let knobs = knobs.with_hot_gap(&values);
                let worst = Walk::new(
                    &values,
                    &self.basis.calibration,
                    &knobs,
                    drying,
                    WorstHard::default(),
                )
                .keep();
                worst.binding.is_none_or(|(_, margin)| margin >= 0.0)
            }
            Err(_) => false,
        }
    }

    /// The assumed inputs of an assessment with their values and ranges.
    pub fn assumed_inputs(&self, assessment: &Assessment) -> ArrayVec<AssumedInput, MAX_LIMITS> {
        assessment
            .assumed
            .iter()
            .map(|&input| {
                let doubt = doubt_of(&self.line, &self.values, &self.basis.assumptions, input);
                let follows =
                    input == Input::AngleOnFoil && assessment.derived.foil_energy_n_per_m.is_some();
                AssumedInput {
                    input,
                    value: doubt.map(|(value, _)| value).filter(|_| !follows),
                    range: doubt.and_then(|(value, doubt)| doubt.ends(value)),
                }
            })
            .collect()
    }
}

/// True if no evaluated hard limit is broken.
fn holds(assessment: &Assessment) -> bool {
    assessment
        .binding()
        .is_none_or(crate::limit::LimitRecord::holds)
}

impl Assessment {
    /// Hard limits that were not evaluated because an input is missing, with that input, core limits left out: what the
    /// verdict did not check.
    pub fn unchecked(&self) -> impl Iterator<Item = (LimitId, Input)> + '_ {
        self.limits.iter().filter_map(|limit| match limit.outcome {
            crate::limit::Outcome::NotEvaluated { missing }
                if limit.severity == Severity::Hard && !limit.id.is_core() =>
            {
                Some((limit.id, missing))
            }
            crate::limit::Outcome::NotEvaluated { .. }
            | crate::limit::Outcome::Evaluated { .. } => None,
        })
    }

    /// The essential input that a core limit lacks, if the verdict is unknown for want of one.
    pub fn missing_essential(&self) -> Option<Input> {
        self.limits
            .iter()
            .filter(|limit| limit.id.is_core())
            .find_map(|limit| match limit.outcome {
                crate::limit::Outcome::NotEvaluated { missing } => Some(missing),
                crate::limit::Outcome::Evaluated { .. } => None,
            })
    }
}

/// Every limit of one setting, the verdict, and what it rests on, with the defaults of this crate and no calibration.
///
/// # Errors
/// [`InputError`] names the input that is not finite, not positive, or otherwise impossible. A missing input is no error.
pub fn assess(line: &Line, setting: &Setting) -> Result<Assessment, InputError> {
    Prepared::new(line, &Basis::default())?.assess(setting)
}

/// As [`assess`], without looking for what the verdict rests on.
///
/// # Errors
/// As [`assess`].
pub fn assess_nominal(line: &Line, setting: &Setting) -> Result<Assessment, InputError> {
    Prepared::new(line, &Basis::default())?.assess_nominal(setting)
}

/// As [`assess_nominal`], with dry speeds kept in a cache that serves this line alone.
///
/// # Errors
/// As [`assess`].
pub fn assess_with(
    line: &Line,
    setting: &Setting,
    cache: &mut DrySpeedCache,
) -> Result<Assessment, InputError> {
    Prepared::new(line, &Basis::default())?.assess_with(setting, cache)
}

/// The closed-form limits alone; see [`Prepared::assess_without_drying`].
///
/// # Errors
/// As [`assess`].
pub fn assess_without_drying(line: &Line, setting: &Setting) -> Result<Assessment, InputError> {
    Prepared::new(line, &Basis::default())?.assess_without_drying(setting)
}

/// The closed-form limits with a dry speed of the caller's; see [`Prepared::assess_given_dry_speed`].
///
/// # Errors
/// As [`assess`].
pub fn assess_given_dry_speed(
    line: &Line,
    setting: &Setting,
    dry_speed: Speed,
) -> Result<Assessment, InputError> {
    Prepared::new(line, &Basis::default())?.assess_given_dry_speed(setting, dry_speed)
}

/// Highest speed at which the film of a setting leaves the dryer dry; see [`Prepared::dry_speed`].
///
/// # Errors
/// As [`assess`].
pub fn dry_speed(line: &Line, setting: &Setting) -> Result<Option<DrySpeed>, InputError> {
    Prepared::new(line, &Basis::default())?.dry_speed(setting)
}
