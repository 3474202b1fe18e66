//! Parts that several JSON documents share: factors, reasons for what is null, one limit, one setting.
//!
//! Keys stand in the order of the fields. A number that does not exist is null, and a `why` beside it says why.

use crate::campaign::sentence_case::in_sentence;
use std::collections::BTreeMap;
use std::fmt::Display;

use serde::Serialize;
use wetlane_physics::probability::Chance;
use wetlane_physics::{AssumedInput, LimitRecord, Outcome, Prepared, Sense};
use wetlane_stats::Known;

use crate::campaign::feasibility::Judgement;
use crate::campaign::limit_words::{derived_quantities, shown_unit, unit_of};
use crate::campaign::line_answers::LineAnswers;
use crate::campaign::project::{
    EffortClass, Project, SettingEntry, SettingValue, Settings, Variation,
};
use crate::campaign::unit::{Dimension, Unit};

/// Version of every document.
pub(super) const VERSION: u32 = 1;

/// The symbol of a unit; plain numbers have none.
fn symbol(unit: Unit) -> &'static str {
    if unit.dimension() == Dimension::Ratio {
        ""
    } else {
        unit.symbol()
    }
}

/// A finite number, else nothing.
pub(super) fn finite(number: f64) -> Option<f64> {
    number.is_finite().then_some(number)
}

/// Why numbers of one object are null.
#[derive(Debug, Default)]
pub(super) struct Reasons(Vec<(Vec<&'static str>, String)>);

impl Reasons {
    /// Notes a reason for a key.
    pub(super) fn add(&mut self, key: &'static str, reason: impl Display) {
        let reason = reason.to_string();
        match self.0.iter_mut().find(|(_, known)| *known == reason) {
            Some((keys, _)) => keys.push(key),
            None => self.0.push((vec![key], reason)),
        }
    }

    /// The number, or nothing with its reason noted.
    pub(super) fn number<E: Display>(
        &mut self,
        key: &'static str,
        number: &Result<f64, E>,
    ) -> Option<f64> {
        match number {
            Ok(number) if number.is_finite() => Some(*number),
            Ok(_) => {
                self.add(key, "beyond all numbers");
                None
            }
            Err(reason) => {
                self.add(key, reason);
                None
            }
        }
    }

    /// One reason as it is; several with the keys they are for.
    pub(super) fn text(self) -> Option<String> {
        match self.0.as_slice() {
            [] => None,
            [(_, reason)] => Some(reason.clone()),
            several => Some(
                several
                    .iter()
                    .map(|(keys, reason)| format!("{}: {reason}", keys.join(", ")))
                    .collect::<Vec<_>>()
                    .join("; "),
            ),
        }
    }
}

/// A number without its reason, where another key of the object tells it.
pub(super) fn value_of(known: &Known<f64>) -> Option<f64> {
    known.as_ref().ok().copied().and_then(finite)
}

/// A varied setting.
#[derive(Debug, Serialize)]
pub(super) struct FactorDocument {
    name: String,
    kind: &'static str,
    unit: String,
    low: Option<f64>,
    high: Option<f64>,
    levels: Option<Vec<SettingValue>>,
    scale: Option<&'static str>,
    effort: EffortClass,
}

impl FactorDocument {
    /// The varied settings in their order.
    pub(super) fn all(project: &Project) -> Vec<Self> {
        project.varied().filter_map(Self::of).collect()
    }

    /// The name.
    pub(super) fn name(&self) -> &str {
        &self.name
    }

    /// The name with its unit, as the head of a column.
    pub(super) fn head(&self) -> String {
        if self.unit.is_empty() {
            self.name.clone()
        } else {
            format!("{} ({})", self.name, self.unit)
        }
    }

    fn of(setting: &SettingEntry) -> Option<Self> {
        let (kind, ends, levels, scale) = match &setting.variation {
            Variation::Fixed => return None,
            Variation::Range { low, high, log } => (
                "continuous",
                Some((*low, *high)),
                None,
                Some(if *log { "log" } else { "linear" }),
            ),
            Variation::Levels { levels } => (
                "levels",
                levels.first().copied().zip(levels.last().copied()),
                Some(levels.iter().copied().map(SettingValue::Number).collect()),
                Some("linear"),
            ),
            Variation::Categories { levels } => (
                "category",
                None,
                Some(levels.iter().cloned().map(SettingValue::Level).collect()),
                None,
            ),
        };
        Some(Self {
            name: setting.id.clone(),
            kind,
            unit: setting.unit.clone(),
            low: ends.map(|(low, _)| low),
            high: ends.map(|(_, high)| high),
            levels,
            scale,
            effort: setting.effort.class,
        })
    }
}

/// Units of settings by their ids.
pub(super) fn units_of(project: &Project, settings: &Settings) -> BTreeMap<String, String> {
    settings
        .keys()
        .filter_map(|id| Some((id.clone(), project.setting(id)?.unit.clone())))
        .collect()
}

/// Something that was not given and stood in for.
#[derive(Debug, Serialize)]
pub(super) struct AssumedDocument {
    name: String,
    what: &'static str,
    value: Option<SettingValue>,
    unit: String,
    low: Option<f64>,
    high: Option<f64>,
    decisive: bool,
    why: Option<String>,
}

impl AssumedDocument {
    /// A setting that stands at its middle.
    pub(super) fn setting(project: &Project, id: &str, settings: &Settings) -> Self {
        let setting = project.setting(id);
        let ends = setting.and_then(|setting| match &setting.variation {
            Variation::Range { low, high, .. } => Some((*low, *high)),
            Variation::Levels { levels } => levels.first().copied().zip(levels.last().copied()),
            Variation::Fixed | Variation::Categories { .. } => None,
        });
        Self {
            name: id.to_owned(),
            what: "setting",
            value: settings.get(id).cloned(),
            unit: setting
                .map(|setting| setting.unit.clone())
                .unwrap_or_default(),
            low: ends.map(|(low, _)| low),
            high: ends.map(|(_, high)| high),
            decisive: false,
            why: Some("not given; it stands at its middle".to_owned()),
        }
    }

    /// An input of the limits that no card states.
    pub(super) fn input(assumed: &AssumedInput, is_decisive: bool) -> Self {
        let unit = assumed.input.dimension().map(shown_unit);
        let shown = |si: f64| finite(unit.map_or(si, |unit| unit.from_si(si)));
        let ends = assumed.range;
        let mut reasons = vec!["no card states it"];
        if assumed.value.is_none() {
            reasons.push("its value follows from others or is a choice");
        }
        if ends.is_none() {
            reasons.push("it is not varied");
        }
        Self {
            name: assumed.input.key().to_owned(),
            what: "input",
            value: assumed.value.and_then(shown).map(SettingValue::Number),
            unit: unit.map(|unit| symbol(unit).to_owned()).unwrap_or_default(),
            low: ends.and_then(|(low, _)| shown(low)),
            high: ends.and_then(|(_, high)| shown(high)),
            decisive: is_decisive,
            why: Some(reasons.join("; ")),
        }
    }

    /// Every input that stood in, in the order in which it was needed.
    pub(super) fn inputs(prepared: &Prepared, judgement: &Judgement) -> Vec<Self> {
        let rests_on = &judgement.assessment.rests_on;
        prepared
            .assumed_inputs(&judgement.assessment)
            .iter()
            .map(|assumed| Self::input(assumed, rests_on.contains(&assumed.input)))
            .collect()
    }

    /// "dry density 1.2 g/cm³ (1.05 to 2)", as far as it is known.
    pub(super) fn words(&self) -> String {
        let plain = crate::campaign::answers::plain;
        let name = self.name.replace('_', " ");
        let value = self.value.as_ref().map(|value| match value {
            SettingValue::Number(number) => format!(" {} {}", plain(*number), self.unit),
            SettingValue::Level(level) => format!(" {level}"),
        });
        let range = match (self.low, self.high, self.what) {
            (Some(low), Some(high), "input") => format!(" ({} to {})", plain(low), plain(high)),
            _ => String::new(),
        };
        let value = value.unwrap_or_default();
        let mut words = format!("{name}{}{range}", value.trim_end());
        if self.decisive {
            words.push_str(", on which the verdict rests");
        }
        words
    }
}

/// A quantity that follows from a setting.
#[derive(Debug, Serialize)]
pub(super) struct DerivedDocument {
    name: &'static str,
    value: Option<f64>,
    unit: &'static str,
    why: Option<&'static str>,
}

impl DerivedDocument {
    /// All of them, those without a value with the reason.
    pub(super) fn all(judgement: &Judgement) -> Vec<Self> {
        let searched = judgement.answers.iter().flat_map(LineAnswers::numbers);
        let derived = derived_quantities(&judgement.assessment).into_iter();
        derived
            .map(|(_, key, value, unit)| (key, value, unit))
            .chain(searched)
            .map(|(key, value, unit)| {
                let value = value.and_then(finite);
                Self {
                    name: key,
                    value,
                    unit,
                    why: value
                        .is_none()
                        .then_some("the line does not have it, or an input is missing"),
                }
            })
            .collect()
    }
}

/// One limit at one setting.
#[derive(Debug, Serialize)]
pub(super) struct LimitDocument {
    limit: &'static str,
    station: &'static str,
    severity: &'static str,
    value: Option<f64>,
    bound: Option<f64>,
    sense: &'static str,
    unit: &'static str,
    margin: Option<f64>,
    holds: Option<bool>,
    probability: Option<f64>,
    defect: &'static str,
    source: &'static str,
    why: Option<String>,
}

impl LimitDocument {
    /// All limits of a judgement, in the order of evaluation.
    pub(super) fn all(judgement: &Judgement) -> Vec<Self> {
        judgement
            .assessment
            .limits
            .iter()
            .map(|record| Self::of(record, judgement.switched_off.get(record.id.key())))
            .collect()
    }

    /// The chance that the limit holds, if it was asked for.
    pub(super) const fn chance(&self) -> Option<f64> {
        self.probability
    }

    /// Takes over the chance that the limit holds.
    pub(super) fn take_chance(&mut self, chance: &Chance) {
        let own = chance.limits.iter().find(|own| own.id.key() == self.limit);
        self.probability = own.map(|own| 1.0 - own.fails);
    }

    fn of(record: &LimitRecord, switched_off: Option<&String>) -> Self {
        let unit = unit_of(record);
        let mut reasons = Reasons::default();
        if let Some(reason) = switched_off {
            reasons.add("verdict", format!("switched off: {reason}"));
        }
        let (value, bound, margin, holds) = match record.outcome {
            Outcome::Evaluated {
                value,
                bound,
                margin,
            } => {
                let value = finite(unit.from_si(value));
                let bound = finite(unit.from_si(bound));
                if value.is_none() {
                    reasons.add("value", "unbounded");
                }
                if bound.is_none() {
                    reasons.add("bound", "unbounded");
                }
                (value, bound, finite(margin), Some(record.holds()))
            }
            Outcome::NotEvaluated { missing } => {
                let reason = format!("needs {}", in_sentence(missing.label()));
                for key in ["value", "bound", "margin", "holds"] {
                    reasons.add(key, &reason);
                }
                (None, None, None, None)
            }
        };
        Self {
            limit: record.id.key(),
            station: record.station.key(),
            severity: record.severity.key(),
            value,
            bound,
            sense: match record.sense {
                Sense::AtMost => "at most",
                Sense::AtLeast => "at least",
            },
            unit: symbol(unit),
            margin,
            holds,
            probability: None,
            defect: record.id.defect(),
            source: record.id.source(),
            why: reasons.text(),
        }
    }
}
