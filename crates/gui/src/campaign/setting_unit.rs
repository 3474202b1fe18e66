//! A setting in another unit: every number of it converted, none of them rounded.

use super::project::{SettingEntry, SettingValue, Variation};
use super::unit::Unit;

/// The setting in another unit of its dimension; `None` if its present unit is none of them.
///
/// Runs keep their numbers: a setting that runs already use keeps its unit, which the caller has to see to.
pub fn in_unit(setting: &SettingEntry, to: Unit) -> Option<SettingEntry> {
    let from = Unit::parse(&setting.unit).ok()?;
    let value = |number: f64| from.convert(number, to).ok();
    let difference = |number: f64| Some(from.difference_to_si(number) / to.difference_to_si(1.0));
    let variation = match &setting.variation {
        Variation::Range { low, high, log } => Variation::Range {
            low: value(*low)?,
            high: value(*high)?,
            log: *log,
        },
        Variation::Levels { levels } => Variation::Levels {
            levels: levels
                .iter()
                .map(|level| value(*level))
                .collect::<Option<_>>()?,
        },
        Variation::Fixed => Variation::Fixed,
        Variation::Categories { levels } => Variation::Categories {
            levels: levels.clone(),
        },
    };
    let now = match &setting.now {
        SettingValue::Number(number) => SettingValue::Number(value(*number)?),
        SettingValue::Level(level) => SettingValue::Level(level.clone()),
    };
    Some(SettingEntry {
        unit: to.symbol().to_owned(),
        now,
        variation,
        step: setting
            .step
            .map_or(Some(None), |step| difference(step).map(Some))?,
        scatter: setting
            .scatter
            .map_or(Some(None), |scatter| difference(scatter).map(Some))?,
        ..setting.clone()
    })
}
