//! Factors: what is varied, over which range, and how natural settings and coded values belong together.
//!
//! This is the only place where the two are converted. A [`NaturalPoint`] holds settings as the machine is set, a
//! [`CodedPoint`] the same run on the −1..1 scale of the models; the types cannot be mixed up.

use crate::error::StatsError;

/// How a continuous range is spaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scale {
    /// Equal differences count equally.
    Linear,
    /// Equal ratios count equally; both ends are positive.
    Log,
}

/// How much it costs to change a factor from one run to the next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChangeEffort {
    /// May change at every run.
    Easy,
    /// Kept constant within a set-up (whole plot).
    Hard,
}

/// What a factor can be set to.
#[derive(Debug, Clone, PartialEq)]
pub enum FactorKind {
    /// Any number of a range.
    Continuous {
        /// Setting that is coded −1.
        low: f64,
        /// Setting that is coded +1.
        high: f64,
        /// Spacing of the range.
        scale: Scale,
        /// Smallest settable step, if there is one.
        step: Option<f64>,
    },
    /// One of some numbers, ascending; a number in models, restricted to the list in plans.
    Discrete {
        /// The allowed numbers.
        levels: Vec<f64>,
    },
    /// One of some named levels, in the order in which they were declared.
    Categorical {
        /// The names.
        levels: Vec<String>,
    },
}

/// One factor.
#[derive(Debug, Clone, PartialEq)]
pub struct Factor {
    name: String,
    kind: FactorKind,
    effort: ChangeEffort,
}

/// A single setting: a number, or the index of a category's level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value {
    /// A number (natural or coded, as the point that holds it says).
    Number(f64),
    /// 0-based index of the level.
    Level(usize),
}

/// Settings of one run in natural units, one value a factor, in factor order.
#[derive(Debug, Clone, PartialEq)]
pub struct NaturalPoint(pub Vec<Value>);

/// The same on the coded scale: −1 at low, +1 at high; categories keep their level index.
#[derive(Debug, Clone, PartialEq)]
pub struct CodedPoint(pub Vec<Value>);

impl Factor {
    /// A continuous factor on a linear scale.
    ///
    /// # Errors
    /// [`StatsError::BadRange`] unless low < high and both are finite.
    pub fn continuous(name: impl Into<String>, low: f64, high: f64) -> Result<Self, StatsError> {
        Self::new(
            name,
            FactorKind::Continuous {
                low,
                high,
                scale: Scale::Linear,
                step: None,
            },
            ChangeEffort::Easy,
        )
    }

    /// A categorical factor.
    ///
    /// # Errors
    /// [`StatsError::TooFewLevels`] with fewer than two levels, [`StatsError::RepeatedLevel`] if two are equal.
    pub fn categorical(name: impl Into<String>, levels: Vec<String>) -> Result<Self, StatsError> {
        Self::new(name, FactorKind::Categorical { levels }, ChangeEffort::Easy)
    }

    /// A factor of any kind.
    ///
    /// # Errors
    /// As [`Factor::continuous`] and [`Factor::categorical`]; [`StatsError::BadRange`] also for a log scale that
    /// reaches zero, for a step that is not positive and for discrete levels that do not ascend.
    pub fn new(
        name: impl Into<String>,
        kind: FactorKind,
        effort: ChangeEffort,
    ) -> Result<Self, StatsError> {
        let name = name.into();
        match &kind {
            FactorKind::Continuous {
                low,
                high,
                scale,
                step,
            } => {
                let positive = *scale == Scale::Linear || *low > 0.0;
                let step_fits = step.is_none_or(|step| step.is_finite() && step > 0.0);
                if !(low.is_finite() && high.is_finite() && low < high && positive && step_fits) {
                    return Err(StatsError::BadRange {
                        factor: name,
                        low: *low,
                        high: *high,
                    });
                }
            }
            FactorKind::Discrete { levels } => {
                if levels.len() < 2 {
                    return Err(StatsError::TooFewLevels {
                        factor: name,
                        n_levels: levels.len(),
                    });
                }
                let ascends = levels.windows(2).all(|pair| pair[0] < pair[1]);
                let (low, high) = (levels[0], levels[levels.len() - 1]);
                if !ascends || !low.is_finite() || !high.is_finite() {
                    return Err(StatsError::BadRange {
                        factor: name,
                        low,
                        high,
                    });
                }
            }
            FactorKind::Categorical { levels } => {
                if levels.len() < 2 {
                    return Err(StatsError::TooFewLevels {
                        factor: name,
                        n_levels: levels.len(),
                    });
                }
                for (index, level) in levels.iter().enumerate() {
                    if levels[..index].contains(level) {
                        return Err(StatsError::RepeatedLevel {
                            factor: name,
                            level: level.clone(),
                        });
                    }
                }
            }
        }
        Ok(Self { name, kind, effort })
    }

    /// The factor's name as it stands in terms and tables.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What it can be set to.
    pub const fn kind(&self) -> &FactorKind {
        &self.kind
    }

    /// How much a change costs.
    pub const fn effort(&self) -> ChangeEffort {
        self.effort
    }

    /// True for categories.
    pub const fn is_categorical(&self) -> bool {
        matches!(self.kind, FactorKind::Categorical { .. })
    }

    /// Number of levels of a category or discrete factor, `None` for a continuous one.
    pub const fn n_levels(&self) -> Option<usize> {
        match &self.kind {
            FactorKind::Continuous { .. } => None,
            FactorKind::Discrete { levels } => Some(levels.len()),
            FactorKind::Categorical { levels } => Some(levels.len()),
        }
    }

    /// Number of model columns of the main effect: one, or levels − 1 for a category.
    pub const fn n_columns(&self) -> usize {
        match &self.kind {
            FactorKind::Categorical { levels } => levels.len() - 1,
            FactorKind::Continuous { .. } | FactorKind::Discrete { .. } => 1,
        }
    }

    /// The settings coded −1 and +1; `None` for a category.
    pub fn range(&self) -> Option<(f64, f64)> {
        match &self.kind {
            FactorKind::Continuous { low, high, .. } => Some((*low, *high)),
            FactorKind::Discrete { levels } => Some((levels[0], levels[levels.len() - 1])),
            FactorKind::Categorical { .. } => None,
        }
    }

    /// True if coding goes through the logarithm.
    pub const fn is_log(&self) -> bool {
        matches!(
            self.kind,
            FactorKind::Continuous {
                scale: Scale::Log,
                ..
            }
        )
    }

    /// Coded value of one natural setting: `(u − m)/h` with middle m and half range h, in ln u on a log scale.
    ///
    /// # Errors
    /// [`StatsError::ValueDoesNotFit`] for a level index or number that the factor cannot take.
    pub fn code(&self, natural: Value) -> Result<Value, StatsError> {
        match (natural, &self.kind) {
            (Value::Level(level), FactorKind::Categorical { levels }) if level < levels.len() => {
                Ok(Value::Level(level))
            }
            (
                Value::Number(number),
                FactorKind::Continuous { .. } | FactorKind::Discrete { .. },
            ) => {
                let (low, high) = self.range().unwrap_or((-1.0, 1.0));
                if !number.is_finite() || (self.is_log() && number <= 0.0) {
                    return Err(self.does_not_fit(natural));
                }
                let (u, lo, hi) = if self.is_log() {
                    (number.ln(), low.ln(), high.ln())
                } else {
                    (number, low, high)
                };
                let distance = 2.0 * u - lo - hi;
                // Two writings of the middle (0.3 and 0.1 + 0.2) must not look like two settings.
                let rounding = 4.0 * f64::EPSILON * (lo.abs() + hi.abs());
                let distance = if distance.abs() <= rounding {
                    0.0
                } else {
                    distance
                };
                Ok(Value::Number(distance / (hi - lo)))
            }
            _ => Err(self.does_not_fit(natural)),
        }
    }

    /// Natural setting of one coded value; the algebraic inverse of [`Factor::code`].
    ///
    /// # Errors
    /// [`StatsError::ValueDoesNotFit`] as for [`Factor::code`].
    pub fn decode(&self, coded: Value) -> Result<Value, StatsError> {
        match (coded, &self.kind) {
            (Value::Level(level), FactorKind::Categorical { levels }) if level < levels.len() => {
                Ok(Value::Level(level))
            }
            (Value::Number(x), FactorKind::Continuous { .. } | FactorKind::Discrete { .. })
                if x.is_finite() =>
            {
                let (low, high) = self.range().unwrap_or((-1.0, 1.0));
                let natural = if self.is_log() {
                    (0.5 * (low.ln() + high.ln() + x * (high.ln() - low.ln()))).exp()
                } else {
                    // Written so that −1, 0 and +1 give low, middle and high exactly.
                    low.mul_add(0.5 * (1.0 - x), high * (0.5 * (1.0 + x)))
                };
                Ok(Value::Number(natural))
            }
            _ => Err(self.does_not_fit(coded)),
        }
    }

    fn does_not_fit(&self, value: Value) -> StatsError {
        StatsError::ValueDoesNotFit {
            factor: self.name.clone(),
            value,
        }
    }
}

/// The factors of a plan or a fit, in the project's order.
#[derive(Debug, Clone, PartialEq)]
pub struct FactorSpace {
    factors: Vec<Factor>,
}

impl FactorSpace {
    /// Collects factors whose names differ.
    ///
    /// # Errors
    /// [`StatsError::RepeatedFactor`] if two share a name.
    pub fn new(factors: Vec<Factor>) -> Result<Self, StatsError> {
        for (index, factor) in factors.iter().enumerate() {
            if factors[..index]
                .iter()
                .any(|earlier| earlier.name == factor.name)
            {
                return Err(StatsError::RepeatedFactor {
                    factor: factor.name.clone(),
                });
            }
        }
        Ok(Self { factors })
    }

    /// The factors in order.
    pub fn factors(&self) -> &[Factor] {
        &self.factors
    }

    /// Number of factors.
    pub const fn n_factors(&self) -> usize {
        self.factors.len()
    }

    /// 0-based index of a factor by name.
    pub fn index_of(&self, name: &str) -> Option<usize> {
        self.factors.iter().position(|factor| factor.name == name)
    }

    /// Codes a whole run.
    ///
    /// # Errors
    /// [`StatsError::WrongLength`] if the point has another number of values, else as [`Factor::code`].
    pub fn code(&self, point: &NaturalPoint) -> Result<CodedPoint, StatsError> {
        self.convert(&point.0, Factor::code).map(CodedPoint)
    }

    /// Decodes a whole run.
    ///
    /// # Errors
    /// As [`FactorSpace::code`].
    pub fn decode(&self, point: &CodedPoint) -> Result<NaturalPoint, StatsError> {
        self.convert(&point.0, Factor::decode).map(NaturalPoint)
    }

    fn convert(
        &self,
        values: &[Value],
        each: impl Fn(&Factor, Value) -> Result<Value, StatsError>,
    ) -> Result<Vec<Value>, StatsError> {
        if values.len() != self.factors.len() {
            return Err(StatsError::WrongLength {
                expected: self.factors.len(),
                found: values.len(),
            });
        }
        self.factors
            .iter()
            .zip(values)
            .map(|(factor, value)| each(factor, *value))
            .collect()
    }
}
