//! Settings, ranges and names as they stand on the command line: `gap=80um`, `speed=0.6..2.4m/min`, `gas=air,argon`.

use crate::campaign::project::{
    Project, QualityKind, SettingEntry, SettingValue, Settings, Variation,
};
use crate::campaign::table_import::{BlockSpec, CategorySpec, FactorSpec, ResponseSpec};
use crate::campaign::table_problem::shown;
use crate::campaign::unit::{Unit, UnitError, split_number};

/// Why a text on the command line says nothing.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AssignmentError {
    /// No equals sign.
    #[error(
        "\"{}\" does not say NAME=VALUE; write for example {example}",
        shown(text)
    )]
    NoEquals {
        /// What was written.
        text: String,
        /// How to write it.
        example: &'static str,
    },
    /// Nothing in front of the equals sign.
    #[error("\"{}\" names nothing", shown(text))]
    NoName {
        /// What was written.
        text: String,
    },
    /// A name that is not a setting.
    #[error("there is no setting \"{}\"; there are {known}", shown(name))]
    NoSetting {
        /// What was written.
        name: String,
        /// What there is.
        known: String,
    },
    /// A setting that keeps its value, where one that is varied is meant.
    #[error(
        "\"{}\" is not varied; it is neither easy nor hard to change",
        shown(name)
    )]
    NotVaried {
        /// The setting.
        name: String,
    },
    /// One setting given twice.
    #[error("\"{}\" is given twice; keep one", shown(name))]
    Twice {
        /// The setting.
        name: String,
    },
    /// A value that is no number.
    #[error("\"{}\": {problem}", shown(name))]
    Number {
        /// The setting.
        name: String,
        /// What is wrong.
        problem: UnitError,
    },
    /// A value that begins like a number and does not go on like a unit.
    #[error(
        "\"{}\": \"{}\" is no ordinary number; write it with a decimal point, then the unit",
        shown(name),
        shown(text)
    )]
    OddNumber {
        /// The setting.
        name: String,
        /// What was written.
        text: String,
    },
    /// A unit that does not fit a setting with a unit of the user's own.
    #[error(
        "\"{}\": \"{}\" does not fit here; use {fitting}",
        shown(name),
        shown(unit)
    )]
    Unit {
        /// The setting.
        name: String,
        /// What was written.
        unit: String,
        /// What fits.
        fitting: String,
    },
    /// A level that the category does not have.
    #[error(
        "\"{}\" has no level \"{}\"; there are {known}",
        shown(name),
        shown(level)
    )]
    NoLevel {
        /// The category.
        name: String,
        /// What was written.
        level: String,
        /// The levels.
        known: String,
    },
    /// A range that is none.
    #[error("\"{}\" is no range; write for example 0.6..2.4m/min", shown(text))]
    NoRange {
        /// What was written.
        text: String,
    },
    /// A range whose ends are in two units.
    #[error(
        "\"{}\" has two units, {one} and {other}; write one behind the second number",
        shown(text)
    )]
    TwoUnits {
        /// What was written.
        text: String,
        /// Unit of the first number.
        one: String,
        /// Unit of the second.
        other: String,
    },
    /// A range from high to low, or of no width.
    #[error("{low} to {high} is no range; the first number must be below the second")]
    RangeOrder {
        /// First number.
        low: f64,
        /// Second number.
        high: f64,
    },
    /// Fewer than two levels.
    #[error(
        "the category \"{}\" needs two levels or more, separated by commas",
        shown(name)
    )]
    FewLevels {
        /// The category.
        name: String,
    },
    /// A kind of film quality that is none.
    #[error("\"{}\" is no kind of film quality; there are {known}", shown(kind))]
    NoKind {
        /// What was written.
        kind: String,
        /// The kinds.
        known: String,
    },
    /// Something behind a block other than `random`.
    #[error(
        "\"{}\" is not understood behind a block; only \"random\" is",
        shown(text)
    )]
    NoBlockKind {
        /// What was written.
        text: String,
    },
    /// A number of levels that is none.
    #[error("\"{}\" is no number of levels", shown(text))]
    NoCount {
        /// What was written.
        text: String,
    },
}

/// Settings of one point: those given, the others at their middle.
#[derive(Debug, Clone, PartialEq)]
pub struct PointSettings {
    /// Every setting of the project.
    pub settings: Settings,
    /// Varied settings that were not given.
    pub assumed: Vec<String>,
}

/// The last equals sign parts name and value, so that a name may hold one.
fn split<'t>(text: &'t str, example: &'static str) -> Result<(&'t str, &'t str), AssignmentError> {
    let (name, value) = text
        .rsplit_once('=')
        .ok_or_else(|| AssignmentError::NoEquals {
            text: text.to_owned(),
            example,
        })?;
    Ok((named(name, text)?, value.trim()))
}

fn named<'t>(name: &'t str, text: &str) -> Result<&'t str, AssignmentError> {
    let name = name.trim();
    if name.is_empty() {
        Err(AssignmentError::NoName {
            text: text.to_owned(),
        })
    } else {
        Ok(name)
    }
}

/// A setting of the project by its id.
///
/// # Errors
/// [`AssignmentError::NoSetting`] with the ids there are.
pub fn find_setting<'p>(
    project: &'p Project,
    name: &str,
) -> Result<&'p SettingEntry, AssignmentError> {
    project
        .setting(name)
        .ok_or_else(|| AssignmentError::NoSetting {
            name: name.to_owned(),
            known: listed(project.settings.iter().map(|setting| setting.id.as_str())),
        })
}

fn listed<'t>(names: impl Iterator<Item = &'t str>) -> String {
    let list = names.collect::<Vec<_>>().join(", ");
    if list.is_empty() {
        "none".to_owned()
    } else {
        list
    }
}

/// A value as typed for a setting: a number with a unit that fits or none, or a level.
///
/// # Errors
/// [`AssignmentError`] names the setting and what fits.
pub fn value_of(setting: &SettingEntry, text: &str) -> Result<SettingValue, AssignmentError> {
    if let Variation::Categories { levels } = &setting.variation {
        return levels
            .iter()
            .find(|level| level.as_str() == text)
            .map(|level| SettingValue::Level(level.clone()))
            .ok_or_else(|| AssignmentError::NoLevel {
                name: setting.id.clone(),
                level: text.to_owned(),
                known: listed(levels.iter().map(String::as_str)),
            });
    }
    let is_word = matches!(setting.variation, Variation::Fixed)
        && matches!(setting.now, SettingValue::Level(_));
    if is_word {
        return Ok(SettingValue::Level(text.to_owned()));
    }
    let plain = text.replace('\u{2212}', "-");
    let (number, unit) = split_number(&plain).map_err(|problem| AssignmentError::Number {
        name: setting.id.clone(),
        problem,
    })?;
    if goes_on_like_a_number(unit) {
        return Err(AssignmentError::OddNumber {
            name: setting.id.clone(),
            text: text.to_owned(),
        });
    }
    in_own_unit(setting, number, unit).map(SettingValue::Number)
}

/// What goes on like a number was one: 80,5 and 1.2.3 and 1e999 are not guessed at.
fn goes_on_like_a_number(unit: &str) -> bool {
    unit.starts_with(|c: char| c.is_ascii_digit() || ".,".contains(c))
}

/// A number in the setting's unit; no unit means the setting's own.
fn in_own_unit(setting: &SettingEntry, number: f64, unit: &str) -> Result<f64, AssignmentError> {
    if unit.is_empty() || unit == setting.unit {
        return Ok(number);
    }
    let misfit = |problem| AssignmentError::Number {
        name: setting.id.clone(),
        problem,
    };
    let own = match (setting.role.dimension(), Unit::parse(&setting.unit)) {
        (Some(dimension), _) => Unit::parse_for(&setting.unit, dimension).map_err(misfit)?,
        (None, Ok(own)) if !setting.unit.trim().is_empty() => own,
        (None, _) => {
            return Err(AssignmentError::Unit {
                name: setting.id.clone(),
                unit: unit.to_owned(),
                fitting: if setting.unit.is_empty() {
                    "a number without unit".to_owned()
                } else {
                    format!("{} or no unit", setting.unit)
                },
            });
        }
    };
    let given = Unit::parse_for(unit, own.dimension()).map_err(misfit)?;
    given.convert(number, own).map_err(misfit)
}

/// Reads `NAME=VALUE` pairs; settings that are not named stand at their middle.
///
/// # Errors
/// [`AssignmentError`] for the first pair that says nothing.
pub fn point_of(project: &Project, pairs: &[String]) -> Result<PointSettings, AssignmentError> {
    let mut given = Settings::new();
    for pair in pairs {
        let (name, value) = split(pair, "--at speed=1.2m/min")?;
        let setting = find_setting(project, name)?;
        let value = value_of(setting, value)?;
        if given.insert(setting.id.clone(), value).is_some() {
            return Err(AssignmentError::Twice {
                name: name.to_owned(),
            });
        }
    }
    Ok(completed(project, given))
}

/// Adds the middle of every setting that is not given.
pub fn completed(project: &Project, given: Settings) -> PointSettings {
    let mut settings = given;
    let mut assumed = Vec::new();
    for setting in &project.settings {
        if settings.contains_key(&setting.id) {
            continue;
        }
        settings.insert(setting.id.clone(), middle_of(setting));
        if setting.is_varied() {
            assumed.push(setting.id.clone());
        }
    }
    PointSettings { settings, assumed }
}

/// The middle of a setting: of its range (by ratios if it is varied by ratios), its middle or first level, or the value
/// at which it is fixed.
pub fn middle_of(setting: &SettingEntry) -> SettingValue {
    match &setting.variation {
        Variation::Fixed => setting.now.clone(),
        Variation::Range { low, high, log } => SettingValue::Number(if *log {
            (low * high).sqrt()
        } else {
            low.midpoint(*high)
        }),
        Variation::Levels { levels } => levels
            .get(levels.len().saturating_sub(1) / 2)
            .map_or_else(|| setting.now.clone(), |level| SettingValue::Number(*level)),
        Variation::Categories { levels } => levels.first().map_or_else(
            || setting.now.clone(),
            |level| SettingValue::Level(level.clone()),
        ),
    }
}

/// A range as typed: both ends, and the unit if one is written.
#[derive(Debug, Clone, PartialEq)]
pub struct TypedRange {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// The unit behind it.
    pub unit: Option<String>,
}

/// Reads `LOW..HIGH[unit]`.
///
/// # Errors
/// [`AssignmentError`] says what does not fit.
pub fn parse_range(text: &str) -> Result<TypedRange, AssignmentError> {
    let plain = text.replace('\u{2212}', "-");
    let no_range = || AssignmentError::NoRange {
        text: text.to_owned(),
    };
    let (low, high) = plain.split_once("..").ok_or_else(no_range)?;
    let read = |part: &str| {
        split_number(part)
            .map(|(number, unit)| (number, unit.to_owned()))
            .ok()
            .filter(|(_, unit)| !goes_on_like_a_number(unit))
            .ok_or_else(no_range)
    };
    let ((low, low_unit), (high, high_unit)) = (read(low)?, read(high)?);
    if !low_unit.is_empty() && low_unit != high_unit {
        return Err(AssignmentError::TwoUnits {
            text: text.to_owned(),
            one: low_unit,
            other: if high_unit.is_empty() {
                "none".to_owned()
            } else {
                high_unit
            },
        });
    }
    if low >= high {
        return Err(AssignmentError::RangeOrder { low, high });
    }
    Ok(TypedRange {
        low,
        high,
        unit: Some(high_unit).filter(|unit| !unit.is_empty()),
    })
}

/// Reads `NAME[=LOW..HIGH[unit]]` for a column of a table.
///
/// # Errors
/// [`AssignmentError`].
pub fn factor_spec(text: &str) -> Result<FactorSpec, AssignmentError> {
    let Some((name, range)) = text.rsplit_once('=') else {
        return Ok(FactorSpec {
            name: named(text, text)?.to_owned(),
            range: None,
            unit: None,
        });
    };
    let range = parse_range(range.trim())?;
    Ok(FactorSpec {
        name: named(name, text)?.to_owned(),
        range: Some((range.low, range.high)),
        unit: range.unit,
    })
}

/// Reads `NAME=LOW..HIGH[unit]`.
///
/// # Errors
/// [`AssignmentError`].
pub fn named_range(text: &str) -> Result<(String, TypedRange), AssignmentError> {
    let (name, range) = split(text, "--factor speed=0.6..2.4m/min")?;
    Ok((name.to_owned(), parse_range(range)?))
}

/// Reads `NAME[=A,B,…]`.
///
/// # Errors
/// [`AssignmentError`].
pub fn category_spec(text: &str) -> Result<CategorySpec, AssignmentError> {
    let Some((name, levels)) = text.split_once('=') else {
        return Ok(CategorySpec {
            name: named(text, text)?.to_owned(),
            levels: None,
        });
    };
    let name = named(name, text)?.to_owned();
    let levels: Vec<String> = words(levels);
    if levels.len() < 2 {
        return Err(AssignmentError::FewLevels { name });
    }
    Ok(CategorySpec {
        name,
        levels: Some(levels),
    })
}

fn words(text: &str) -> Vec<String> {
    text.split(',')
        .map(str::trim)
        .filter(|word| !word.is_empty())
        .map(ToOwned::to_owned)
        .collect()
}

/// Reads `NAME[=KIND]` and `NAME=class:GOOD,FAIR,BAD`.
///
/// # Errors
/// [`AssignmentError`].
pub fn response_spec(text: &str) -> Result<ResponseSpec, AssignmentError> {
    let Some((name, kind)) = text.split_once('=') else {
        return Ok(ResponseSpec {
            name: named(text, text)?.to_owned(),
            kind: None,
            classes: Vec::new(),
        });
    };
    let (kind, classes) = kind.split_once(':').unwrap_or((kind, ""));
    let known = QualityKind::ALL
        .into_iter()
        .find(|known| known.key() == kind.trim())
        .ok_or_else(|| AssignmentError::NoKind {
            kind: kind.to_owned(),
            known: listed(QualityKind::ALL.into_iter().map(QualityKind::key)),
        })?;
    Ok(ResponseSpec {
        name: named(name, text)?.to_owned(),
        kind: Some(known),
        classes: words(classes),
    })
}

/// Reads `NAME[=random]`.
///
/// # Errors
/// [`AssignmentError`].
pub fn block_spec(text: &str) -> Result<BlockSpec, AssignmentError> {
    let (name, kind) = match text.split_once('=') {
        Some((name, kind)) => (name, Some(kind.trim())),
        None => (text, None),
    };
    if let Some(kind) = kind.filter(|kind| *kind != "random") {
        return Err(AssignmentError::NoBlockKind {
            text: kind.to_owned(),
        });
    }
    Ok(BlockSpec {
        name: named(name, text)?.to_owned(),
        random: kind.is_some(),
    })
}

/// Reads `NAME=N`.
///
/// # Errors
/// [`AssignmentError`].
pub fn named_count(text: &str) -> Result<(String, usize), AssignmentError> {
    let (name, count) = split(text, "--levels speed=3")?;
    count
        .parse()
        .map(|count| (name.to_owned(), count))
        .ok()
        .ok_or_else(|| AssignmentError::NoCount {
            text: count.to_owned(),
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::campaign::project::{Effort, Role};

    fn setting(role: Role, unit: &str, variation: Variation) -> SettingEntry {
        SettingEntry {
            id: "x".to_owned(),
            label: "X".to_owned(),
            role,
            unit: unit.to_owned(),
            now: SettingValue::Number(1.0),
            variation,
            step: None,
            scatter: None,
            effort: Effort::default(),
        }
    }

    fn range(low: f64, high: f64, log: bool) -> Variation {
        Variation::Range { low, high, log }
    }

    #[test]
    fn a_value_arrives_in_the_unit_of_its_setting() {
        let gap = setting(Role::Gap, "µm", range(50.0, 200.0, false));
        assert_eq!(value_of(&gap, "80um"), Ok(SettingValue::Number(80.0)));
        assert_eq!(value_of(&gap, "80"), Ok(SettingValue::Number(80.0)));
        let in_mm = value_of(&gap, "0.08 mm").unwrap().number().unwrap();
        assert!((in_mm - 80.0).abs() < 1e-9);
        let hot = setting(Role::GasTemperature, "°C", range(60.0, 120.0, false));
        assert_eq!(value_of(&hot, "95degC"), Ok(SettingValue::Number(95.0)));
        let kelvin = value_of(&hot, "368.15K").unwrap().number().unwrap();
        assert!((kelvin - 95.0).abs() < 1e-9);
    }

    #[test]
    fn a_unit_that_does_not_fit_is_refused_with_those_that_do() {
        let speed = setting(Role::Speed, "m/min", range(0.5, 2.0, false));
        for text in ["3um", "3furlongs"] {
            let message = value_of(&speed, text).unwrap_err().to_string();
            assert!(
                message.contains("m/min") && message.contains("\"x\""),
                "{message}"
            );
        }
        let own = setting(Role::Free, "drops", range(0.0, 9.0, false));
        assert_eq!(value_of(&own, "3 drops"), Ok(SettingValue::Number(3.0)));
        let message = value_of(&own, "3mm").unwrap_err().to_string();
        assert!(message.contains("drops"), "{message}");
    }

    #[test]
    fn ranges_may_be_negative_and_carry_one_unit() {
        let range = parse_range("-1.414..1.414").unwrap();
        assert!((range.low + 1.414).abs() < 1e-12 && range.unit.is_none());
        assert_eq!(
            parse_range("0.6..2.4m/min").unwrap().unit.as_deref(),
            Some("m/min")
        );
        assert_eq!(
            parse_range("20um..80um").unwrap().unit.as_deref(),
            Some("um")
        );
        assert!(matches!(
            parse_range("20um..80mm"),
            Err(AssignmentError::TwoUnits { .. })
        ));
        assert!(matches!(
            parse_range("2..1"),
            Err(AssignmentError::RangeOrder { .. })
        ));
        for text in ["", "1", "1..", "..2", "a..b", "1...2.."] {
            assert!(parse_range(text).is_err(), "{text}");
        }
    }

    #[test]
    fn settings_not_given_stand_at_their_middle() {
        let by_ratios = setting(Role::Speed, "m/min", range(0.5, 8.0, true));
        assert_eq!(middle_of(&by_ratios), SettingValue::Number(2.0));
        let levels = Variation::Levels {
            levels: vec![1.0, 2.0, 5.0],
        };
        assert_eq!(
            middle_of(&setting(Role::Gap, "µm", levels)),
            SettingValue::Number(2.0)
        );
    }
}
