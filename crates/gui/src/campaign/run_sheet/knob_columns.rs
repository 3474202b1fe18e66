//! Which knobs are turned from run to run, and what is written for each run.

use crate::campaign::decimals::shared_decimals;
use crate::campaign::project::{Project, Role, Run, SettingEntry, SettingValue, Settings};
use crate::campaign::resolve::{Resolved, resolve};
use crate::number_text::format_number;

use super::{SheetCell, SheetColumn};

/// A column with what stands in it, one entry a run.
#[derive(Debug, Clone)]
pub(super) struct KnobColumn {
    /// Id of the setting it belongs to.
    pub(super) setting: String,
    /// Its heading.
    pub(super) heading: SheetColumn,
    entries: Vec<Entry>,
}

#[derive(Debug, Clone)]
struct Entry {
    knob: String,
    asked: String,
}

/// One column for every setting that is varied, or whose knob has to be turned because others are.
pub(super) fn knob_columns(project: &Project) -> Vec<KnobColumn> {
    let targets: Vec<Settings> = project
        .runs
        .iter()
        .map(|run| targets_of(project, run))
        .collect();
    let resolved: Vec<Option<Resolved>> = targets
        .iter()
        .map(|settings| resolve(project, settings).ok())
        .collect();
    project
        .settings
        .iter()
        .filter_map(|setting| {
            let knobs = setting.role.knobs_under(project.head_kind());
            column_of(setting, &knobs, &targets, &resolved)
        })
        .collect()
}

/// All settings as they are to be set: the present values, overlaid with the run's plan.
fn targets_of(project: &Project, run: &Run) -> Settings {
    let mut settings = project.cross();
    for own in [&run.planned, &run.pulled] {
        settings.extend(own.iter().map(|(id, value)| (id.clone(), value.clone())));
    }
    settings
}

fn column_of(
    setting: &SettingEntry,
    knobs: &[Role],
    targets: &[Settings],
    resolved: &[Option<Resolved>],
) -> Option<KnobColumn> {
    let asked: Vec<String> = {
        let values: Vec<Option<&SettingValue>> = targets
            .iter()
            .map(|settings| settings.get(&setting.id))
            .collect();
        written_settings(&values, setting.step)
    };
    let own = SheetColumn {
        label: setting.label.clone(),
        unit: setting.unit.clone(),
        asked: None,
    };
    let Some((role, knobs)) = followed_knobs(knobs, resolved) else {
        let entries = asked
            .into_iter()
            .map(|knob| Entry {
                knob,
                asked: String::new(),
            })
            .collect();
        return setting.is_varied().then(|| KnobColumn {
            setting: setting.id.clone(),
            heading: own,
            entries,
        });
    };
    let knobs = written_knobs(&knobs);
    let turns = knobs
        .windows(2)
        .any(|pair| matches!(pair, [one, other] if one != other));
    let heading = SheetColumn {
        label: role.label().to_owned(),
        unit: role.usual_unit().symbol().to_owned(),
        asked: Some((own.label, own.unit)),
    };
    let entries = knobs
        .into_iter()
        .zip(asked)
        .map(|(knob, asked)| Entry { knob, asked })
        .collect();
    (setting.is_varied() || turns).then(|| KnobColumn {
        setting: setting.id.clone(),
        heading,
        entries,
    })
}

/// The knob that follows from a setting, run by run; `None` if no run has it.
fn followed_knobs(
    knobs: &[Role],
    resolved: &[Option<Resolved>],
) -> Option<(Role, Vec<Option<f64>>)> {
    let known = || resolved.iter().flatten();
    let knob = known().find_map(|run| run.followed_of(knobs))?.role;
    let value = |run: &Option<Resolved>| Some(run.as_ref()?.followed_of(&[knob])?.quantity.value);
    Some((knob, resolved.iter().map(value).collect()))
}

impl KnobColumn {
    /// The cell of a run; `before` is what the last run with a known value had, and becomes this run's.
    pub(super) fn cell(&self, run: usize, before: &mut Option<String>) -> SheetCell {
        let Some(entry) = self.entries.get(run) else {
            return SheetCell {
                knob: String::new(),
                is_changed: false,
                asked: String::new(),
            };
        };
        let is_changed = before.as_ref() != Some(&entry.knob);
        *before = Some(entry.knob.clone());
        SheetCell {
            knob: entry.knob.clone(),
            is_changed,
            asked: entry.asked.clone(),
        }
    }
}

/// Values that someone chose, with the decimals of the settable step or those that the values need.
fn written_settings(values: &[Option<&SettingValue>], step: Option<f64>) -> Vec<String> {
    let numbers = values
        .iter()
        .filter_map(|value| value.and_then(SettingValue::number));
    let n_decimals = shared_decimals(step.into_iter().chain(numbers));
    values
        .iter()
        .map(|value| match value {
            Some(SettingValue::Number(number)) => format_number(*number, n_decimals),
            Some(SettingValue::Level(level)) => level.clone(),
            None => String::new(),
        })
        .collect()
}

/// Computed values with decimals that keep three digits of the largest and two of the smallest.
fn written_knobs(values: &[Option<f64>]) -> Vec<String> {
    let sizes = || {
        values
            .iter()
            .flatten()
            .map(|value| value.abs())
            .filter(|size| *size > 0.0 && size.is_finite())
    };
    let decade = |size: f64| {
        if size > 0.0 && size.is_finite() {
            size.log10().floor()
        } else {
            0.0
        }
    };
    let largest = decade(sizes().fold(0.0, f64::max));
    let smallest = decade(sizes().fold(f64::INFINITY, f64::min));
    // At most four decimals, so the cast loses nothing.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "held between 0 and 4"
    )]
    let n_decimals = (2.0 - largest).max(1.0 - smallest).clamp(0.0, 4.0) as usize;
    values
        .iter()
        .map(|value| {
            value
                .filter(|value| value.is_finite())
                .map_or_else(String::new, |value| format_number(value, n_decimals))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chosen_values_share_the_decimals_they_need() {
        let values = [
            SettingValue::Number(0.6),
            SettingValue::Number(1.25),
            SettingValue::Number(2.0),
        ];
        let values: Vec<Option<&SettingValue>> = values.iter().map(Some).collect();
        assert_eq!(written_settings(&values, None), ["0.60", "1.25", "2.00"]);
        assert_eq!(
            written_settings(&values, Some(0.001)),
            ["0.600", "1.250", "2.000"]
        );
    }

    #[test]
    fn computed_values_keep_enough_digits() {
        assert_eq!(written_knobs(&[Some(0.36), Some(11.52)]), ["0.36", "11.52"]);
        assert_eq!(
            written_knobs(&[Some(123.4), Some(99.96), None]),
            ["123", "100", ""]
        );
        assert_eq!(
            written_knobs(&[Some(0.0), Some(f64::INFINITY)]),
            ["0.00", ""]
        );
    }
}
