//! The varied settings of a project as the factors of `wetlane-stats`, and runs as points in them.

use wetlane_stats::{
    ChangeEffort, CodedPoint, Factor, FactorKind, FactorSpace, NaturalPoint, Scale, StatsError,
    Value,
};

use super::project::{EffortClass, Project, SettingEntry, SettingValue, Settings, Variation};

/// The varied settings as factors; the factor of a setting carries its id.
///
/// # Errors
/// [`StatsError`] for a range that is none; a valid project has no such range.
pub fn factor_space(project: &Project) -> Result<FactorSpace, StatsError> {
    space_of(project.varied())
}

/// Factors of some settings; fixed ones are skipped.
///
/// # Errors
/// As [`factor_space`].
pub fn space_of<'a>(
    settings: impl Iterator<Item = &'a SettingEntry>,
) -> Result<FactorSpace, StatsError> {
    let factors = settings
        .filter_map(factor_of)
        .collect::<Result<Vec<_>, _>>()?;
    FactorSpace::new(factors)
}

fn factor_of(setting: &SettingEntry) -> Option<Result<Factor, StatsError>> {
    let kind = match &setting.variation {
        Variation::Fixed => return None,
        Variation::Range { low, high, log } => FactorKind::Continuous {
            low: *low,
            high: *high,
            scale: if *log { Scale::Log } else { Scale::Linear },
            step: setting.step,
        },
        Variation::Levels { levels } => FactorKind::Discrete {
            levels: levels.clone(),
        },
        Variation::Categories { levels } => FactorKind::Categorical {
            levels: levels.clone(),
        },
    };
    let effort = match setting.effort.class {
        EffortClass::OnTheFly => ChangeEffort::Easy,
        EffortClass::StopAndWait | EffortClass::StripDown => ChangeEffort::Hard,
    };
    Some(Factor::new(setting.id.clone(), kind, effort))
}

/// What a run lacks or has wrong to be a point among the factors.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PointError {
    /// A factor has no value.
    #[error("\"{id}\" has no value")]
    NoValue {
        /// The setting.
        id: String,
    },
    /// A level that the factor does not have.
    #[error("\"{id}\" has no level \"{level}\"")]
    NoLevel {
        /// The setting.
        id: String,
        /// The level.
        level: String,
    },
    /// A number that cannot be coded.
    #[error(transparent)]
    Stats(#[from] StatsError),
}

/// Settings as a point among the factors, in natural units.
///
/// # Errors
/// [`PointError`] names the factor whose value is missing or does not fit.
pub fn natural_point(space: &FactorSpace, settings: &Settings) -> Result<NaturalPoint, PointError> {
    space
        .factors()
        .iter()
        .map(|factor| {
            let id = || factor.name().to_owned();
            match (settings.get(factor.name()), factor.kind()) {
                (
                    Some(SettingValue::Number(number)),
                    FactorKind::Continuous { .. } | FactorKind::Discrete { .. },
                ) => Ok(Value::Number(*number)),
                (Some(SettingValue::Level(level)), FactorKind::Categorical { levels }) => levels
                    .iter()
                    .position(|known| known == level)
                    .map(Value::Level)
                    .ok_or_else(|| PointError::NoLevel {
                        id: id(),
                        level: level.clone(),
                    }),
                (Some(SettingValue::Number(number)), FactorKind::Categorical { .. }) => {
                    Err(PointError::NoLevel {
                        id: id(),
                        level: number.to_string(),
                    })
                }
                (Some(SettingValue::Level(_)) | None, _) => Err(PointError::NoValue { id: id() }),
            }
        })
        .collect::<Result<Vec<_>, _>>()
        .map(NaturalPoint)
}

/// As [`natural_point`], coded.
///
/// # Errors
/// As [`natural_point`].
pub fn coded_point(space: &FactorSpace, settings: &Settings) -> Result<CodedPoint, PointError> {
    Ok(space.code(&natural_point(space, settings)?)?)
}

/// A coded point as settings by setting id.
///
/// # Errors
/// [`StatsError`] if the point is not of this space.
pub fn settings_at(space: &FactorSpace, point: &CodedPoint) -> Result<Settings, StatsError> {
    let natural = space.decode(point)?;
    let values = space
        .factors()
        .iter()
        .zip(&natural.0)
        .map(|(factor, value)| {
            let value = match (value, factor.kind()) {
                (Value::Level(level), FactorKind::Categorical { levels }) => {
                    SettingValue::Level(levels.get(*level).cloned().unwrap_or_default())
                }
                (Value::Number(number), FactorKind::Discrete { levels }) => {
                    SettingValue::Number(nearest(levels, *number))
                }
                (Value::Number(number), FactorKind::Continuous { step, .. }) => {
                    SettingValue::Number(without_noise(*number, *step))
                }
                (Value::Number(number), FactorKind::Categorical { .. }) => {
                    SettingValue::Number(*number)
                }
                (
                    Value::Level(level),
                    FactorKind::Continuous { .. } | FactorKind::Discrete { .. },
                ) => SettingValue::Level(level.to_string()),
            };
            (factor.name().to_owned(), value)
        });
    Ok(values.collect())
}

fn nearest(levels: &[f64], number: f64) -> f64 {
    levels
        .iter()
        .copied()
        .min_by(|a, b| (a - number).abs().total_cmp(&(b - number).abs()))
        .unwrap_or(number)
}

/// The shortest decimal number within rounding noise: settings are typed into machines, and 0.1 + 0.2 is typed 0.3.
/// With a settable step, the decimals of the step decide; without, twelve significant digits are kept.
fn without_noise(number: f64, step: Option<f64>) -> f64 {
    let text = match step {
        Some(step) => {
            let decimals = (0..12)
                .find(|d| (step * 10f64.powi(*d)).fract().abs() < 1e-9)
                .unwrap_or(12);
            format!("{number:.*}", usize::try_from(decimals).unwrap_or(12))
        }
        None => format!("{number:.11e}"),
    };
    text.parse().unwrap_or(number)
}
