//! One setting open for editing: fixed or varied, range or levels, unit, present value, step, scatter, effort.

use egui::{Id, Ui};

use super::LeftColumn;
use super::field::field;
use crate::app::view::{Request, View};
use crate::campaign::command::Command;
use crate::campaign::presets::usual_range;
use crate::campaign::project::{EffortClass, SettingEntry, SettingValue, Variation};
use crate::campaign::setting_unit::in_unit;
use crate::campaign::unit::Unit;
use crate::number_text::format_typed;
use crate::widgets::button::link;
use crate::widgets::choice::{dropdown, radio_rows};
use crate::widgets::heading::{quiet_text, section_head};
use crate::widgets::number_field::NumberField;
use crate::widgets::row_label::left_label;

/// Words for the ways in which a setting is varied.
const WAYS: [&str; 4] = [
    "fixed",
    "varied over a range",
    "varied over some numbers",
    "varied over named levels",
];

/// Draws the editor; returns where to go.
pub(super) fn ui(
    ui: &mut Ui,
    view: &View<'_>,
    id: &str,
    requests: &mut Vec<Request>,
) -> Option<LeftColumn> {
    let Some((index, setting)) = view
        .project
        .settings
        .iter()
        .enumerate()
        .find(|(_, setting)| setting.id == id)
    else {
        return Some(LeftColumn::Settings);
    };
    let mut next = None;
    section_head(ui, &setting.label, setting.role.label());
    if link(ui, "Back to the settings").clicked() {
        next = Some(LeftColumn::Settings);
    }
    let mut changed = None;
    {
        let mut put = |setting: SettingEntry| changed = Some(setting);
        row(ui, "Name", |ui| {
            if let Some(label) = field(
                ui,
                Id::unique(("setting name", id)),
                "name of the setting",
                &setting.label,
                200.0,
            ) {
                put(SettingEntry {
                    label,
                    ..setting.clone()
                });
            }
        });
        unit_ui(ui, setting, &mut put);
        variation_ui(ui, setting, &mut put);
        now_ui(ui, setting, &mut put);
        optional_ui(ui, setting, &mut put);
        effort_ui(ui, setting, &mut put);
    }
    if let Some(setting) = changed {
        requests.push(Request::Edit(Command::PutSetting {
            index,
            setting: Box::new(setting),
        }));
    }
    ui.add_space(8.0);
    if link(ui, "Take this setting away").clicked() {
        requests.push(Request::Edit(Command::RemoveSetting { id: id.to_owned() }));
        next = Some(LeftColumn::Settings);
    }
    next
}

fn row(ui: &mut Ui, words: &str, draw: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        left_label(ui, 120.0, 25.0, egui::Label::new(words).truncate());
        draw(ui);
    });
}

fn number(ui: &mut Ui, setting: &SettingEntry, what: &str, value: f64) -> Option<f64> {
    let name = format!("{}, {what}, {}", setting.label, setting.unit);
    NumberField::new(
        Id::unique(("setting", &setting.id, what)),
        &name,
        &format_typed(value),
    )
    .unit(&setting.unit)
    .show(ui)
    .committed
    .map(|committed| committed.value)
}

fn unit_ui(ui: &mut Ui, setting: &SettingEntry, put: &mut dyn FnMut(SettingEntry)) {
    row(ui, "Unit", |ui| {
        if let Some(dimension) = setting.role.dimension() {
            let units = Unit::all_of(dimension);
            let symbols: Vec<String> = units.iter().map(|unit| unit.symbol().to_owned()).collect();
            let chosen = units
                .iter()
                .position(|unit| Unit::parse(&setting.unit).is_ok_and(|known| known == *unit));
            let id = Id::unique(("setting unit", &setting.id));
            if let Some(picked) = dropdown(ui, id, "unit of the setting", &symbols, (chosen, 110.0))
                && let Some(converted) = units.get(picked).and_then(|unit| in_unit(setting, *unit))
            {
                put(converted);
            }
        } else {
            let id = Id::unique(("setting unit text", &setting.id));
            if let Some(unit) = field(ui, id, "unit of the setting", &setting.unit, 110.0) {
                put(SettingEntry {
                    unit,
                    ..setting.clone()
                });
            }
        }
    });
}

fn variation_ui(ui: &mut Ui, setting: &SettingEntry, put: &mut dyn FnMut(SettingEntry)) {
    section_head(ui, "In the plan", "");
    let present = match setting.variation {
        Variation::Fixed => 0,
        Variation::Range { .. } => 1,
        Variation::Levels { .. } => 2,
        Variation::Categories { .. } => 3,
    };
    // A setting that physics knows is a number; only one's own can have named levels.
    let n_ways = if setting.role.dimension().is_some() {
        3
    } else {
        4
    };
    if let Some(chosen) = radio_rows(ui, WAYS.get(..n_ways).unwrap_or(&WAYS), Some(present))
        && chosen != present
    {
        put(varied_otherwise(setting, chosen));
    }
    match &setting.variation {
        Variation::Fixed => {}
        Variation::Range { low, high, log } => range_ui(ui, setting, (*low, *high, *log), put),
        Variation::Levels { levels } => levels_ui(ui, setting, levels, put),
        Variation::Categories { levels } => categories_ui(ui, setting, levels, put),
    }
}

fn range_ui(
    ui: &mut Ui,
    setting: &SettingEntry,
    (low, high, log): (f64, f64, bool),
    put: &mut dyn FnMut(SettingEntry),
) {
    let mut with = |low: f64, high: f64, log: bool| {
        put(SettingEntry {
            variation: Variation::Range { low, high, log },
            ..setting.clone()
        });
    };
    row(ui, "From", |ui| {
        if let Some(new) = number(ui, setting, "low", low) {
            with(new, high, log);
        }
    });
    row(ui, "To", |ui| {
        if let Some(new) = number(ui, setting, "high", high) {
            with(low, new, log);
        }
    });
    row(ui, "Spaced by", |ui| {
        let words = ["differences".to_owned(), "ratios".to_owned()];
        let id = Id::unique(("setting spacing", &setting.id));
        if let Some(picked) = dropdown(
            ui,
            id,
            "spacing of the range",
            &words,
            (Some(usize::from(log)), 110.0),
        ) {
            with(low, high, picked == 1);
        }
    });
}

fn levels_ui(
    ui: &mut Ui,
    setting: &SettingEntry,
    levels: &[f64],
    put: &mut dyn FnMut(SettingEntry),
) {
    let shown = levels
        .iter()
        .map(|level| format_typed(*level))
        .collect::<Vec<_>>()
        .join("; ");
    row(ui, "Numbers", |ui| {
        let id = Id::unique(("setting levels", &setting.id));
        if let Some(text) = field(ui, id, "numbers, separated by semicolons", &shown, 200.0) {
            let mut levels: Vec<f64> = text
                .split(';')
                .filter_map(|part| crate::number_text::parse_number(part).ok())
                .collect();
            levels.sort_by(f64::total_cmp);
            levels.dedup();
            put(SettingEntry {
                variation: Variation::Levels { levels },
                ..setting.clone()
            });
        }
    });
    quiet_text(ui, "Separate them by semicolons.");
}

fn categories_ui(
    ui: &mut Ui,
    setting: &SettingEntry,
    levels: &[String],
    put: &mut dyn FnMut(SettingEntry),
) {
    row(ui, "Levels", |ui| {
        let id = Id::unique(("setting categories", &setting.id));
        if let Some(text) = field(
            ui,
            id,
            "names, separated by semicolons",
            &levels.join("; "),
            200.0,
        ) {
            let levels: Vec<String> = text
                .split(';')
                .map(|part| part.trim().to_owned())
                .filter(|part| !part.is_empty())
                .collect();
            let keeps_now = setting
                .now
                .level()
                .is_some_and(|now| levels.iter().any(|level| level == now));
            let first = levels.first().cloned().unwrap_or_default();
            let now = if keeps_now {
                setting.now.clone()
            } else {
                SettingValue::Level(first)
            };
            put(SettingEntry {
                now,
                variation: Variation::Categories { levels },
                ..setting.clone()
            });
        }
    });
    quiet_text(ui, "Separate them by semicolons.");
}

/// The setting varied in another way, with a start that makes sense.
fn varied_otherwise(setting: &SettingEntry, way: usize) -> SettingEntry {
    let now = setting.now.number().unwrap_or(1.0);
    let around = if now == 0.0 {
        (0.0, 1.0)
    } else {
        (0.5 * now.abs(), 1.5 * now.abs())
    };
    let usual = usual_range(setting.role)
        .filter(|_| setting.unit == crate::campaign::presets::setting(setting.role).unit);
    let (low, high) = match &setting.variation {
        Variation::Range { low, high, .. } => (*low, *high),
        Variation::Levels { levels } => levels
            .first()
            .copied()
            .zip(levels.last().copied())
            .unwrap_or(around),
        Variation::Fixed | Variation::Categories { .. } => usual.unwrap_or(around),
    };
    let variation = match way {
        0 => Variation::Fixed,
        1 => Variation::Range {
            low,
            high,
            log: false,
        },
        2 => Variation::Levels {
            levels: vec![low, high],
        },
        _ => Variation::Categories {
            levels: vec!["A".to_owned(), "B".to_owned()],
        },
    };
    let now = match (&variation, &setting.now) {
        (Variation::Categories { levels }, _) => {
            SettingValue::Level(levels.first().cloned().unwrap_or_default())
        }
        (_, SettingValue::Level(_)) => SettingValue::Number(f64::midpoint(low, high)),
        (_, SettingValue::Number(_)) => setting.now.clone(),
    };
    SettingEntry {
        now,
        variation,
        ..setting.clone()
    }
}

fn now_ui(ui: &mut Ui, setting: &SettingEntry, put: &mut dyn FnMut(SettingEntry)) {
    if let SettingValue::Number(now) = setting.now {
        row(ui, "Now", |ui| {
            if let Some(value) = number(ui, setting, "now", now) {
                put(SettingEntry {
                    now: SettingValue::Number(value),
                    ..setting.clone()
                });
            }
        });
    }
}

/// Step and scatter, which may be left empty.
fn optional_ui(ui: &mut Ui, setting: &SettingEntry, put: &mut dyn FnMut(SettingEntry)) {
    if setting.now.number().is_none() {
        return;
    }
    let field =
        |ui: &mut Ui, words: &str, value: Option<f64>, with: &mut dyn FnMut(Option<f64>)| {
            row(ui, words, |ui| {
                let name = format!(
                    "{}, {}, {}",
                    setting.label,
                    words.to_lowercase(),
                    setting.unit
                );
                let shown = value.map(format_typed).unwrap_or_default();
                let parse = |text: &str| {
                    if text.trim().is_empty() {
                        Ok(None)
                    } else {
                        crate::number_text::parse_number(text).map(Some)
                    }
                };
                let output =
                    NumberField::new(Id::unique(("setting", &setting.id, words)), &name, &shown)
                        .hint("none")
                        .unit(&setting.unit)
                        .show_with(ui, parse);
                if let Some(committed) = output.committed {
                    with(committed.value);
                }
            });
        };
    field(ui, "Settable step", setting.step, &mut |step| {
        put(SettingEntry {
            step,
            ..setting.clone()
        });
    });
    field(ui, "Hit within (sd)", setting.scatter, &mut |scatter| {
        put(SettingEntry {
            scatter,
            ..setting.clone()
        });
    });
}

fn effort_ui(ui: &mut Ui, setting: &SettingEntry, put: &mut dyn FnMut(SettingEntry)) {
    section_head(ui, "Effort to change", "");
    let words: Vec<&str> = EffortClass::ALL.iter().map(|class| class.label()).collect();
    let chosen = EffortClass::ALL
        .iter()
        .position(|class| *class == setting.effort.class);
    if let Some(picked) = radio_rows(ui, &words, chosen)
        && let Some(class) = EffortClass::ALL.get(picked)
    {
        let mut effort = setting.effort;
        effort.class = *class;
        put(SettingEntry {
            effort,
            ..setting.clone()
        });
    }
    row(ui, "Minutes lost", |ui| {
        let name = format!("{}, minutes of a change", setting.label);
        let shown = format_typed(setting.effort.minutes);
        let output = NumberField::new(Id::unique(("setting minutes", &setting.id)), &name, &shown)
            .unit("min")
            .show(ui);
        if let Some(committed) = output.committed {
            let mut effort = setting.effort;
            effort.minutes = committed.value;
            put(SettingEntry {
                effort,
                ..setting.clone()
            });
        }
    });
}
