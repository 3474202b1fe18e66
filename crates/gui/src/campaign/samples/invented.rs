//! Invented cards, settings and readings: what all samples are put together from.

use super::super::card::{Card, Entry, Field, HowKnown, NumberEntry};
use super::super::presets::setting;
use super::super::project::{
    AnalysisChoice, HistoryStep, Project, Reading, ReadingValue, Role, SettingEntry, SettingValue,
    Settings, Variation,
};
use super::super::unit::Unit;

/// A card of invented values; rows whose unit is unknown are left out, which the sample tests rule out.
pub(super) fn invented_card(
    name: &str,
    numbers: &[(Field, f64, &str, HowKnown)],
    words: &[(Field, &str)],
) -> Card {
    let mut card = Card::named(name);
    "Invented.".clone_into(&mut card.note);
    for (field, value, unit, known) in numbers {
        if let Ok(unit) = Unit::parse(unit) {
            card.fields.insert(
                *field,
                Entry::Number(NumberEntry {
                    value: *value,
                    unit,
                    known: *known,
                }),
            );
        }
    }
    for (field, word) in words {
        card.fields.insert(*field, Entry::Word((*word).to_owned()));
    }
    card
}

/// An exact reading, the first at its place.
pub(super) fn exact_reading(quality: &str, place: &str, value: f64, when: &str) -> Reading {
    Reading {
        quality: quality.to_owned(),
        place: place.to_owned(),
        repeat: 1,
        value: ReadingValue::Exact(value),
        area: None,
        when: when.to_owned(),
        who: String::new(),
        set_aside: None,
        earlier: Vec::new(),
    }
}

/// A setting that is varied over a range in steps, with its present value.
pub(super) fn varied(role: Role, low: f64, high: f64, now: f64, step: f64) -> SettingEntry {
    let mut entry = setting(role);
    entry.variation = Variation::Range {
        low,
        high,
        log: false,
    };
    entry.now = SettingValue::Number(now);
    entry.step = Some(step);
    entry
}

/// The number of a setting; zero for one that is none, which the sample tests rule out.
pub(super) fn number_at(settings: &Settings, id: &str) -> f64 {
    settings
        .get(id)
        .and_then(SettingValue::number)
        .unwrap_or(0.0)
}

/// Notes a step in the project's history.
pub(super) fn note_step(project: &mut Project, what: &str, when: &str) {
    project.history.push(HistoryStep {
        what: what.to_owned(),
        when: when.to_owned(),
        program: project.program.clone(),
    });
}

/// Keeps the terms with which a quality is fitted.
pub(super) fn fit_with(project: &mut Project, quality: &str, terms: &str) {
    let choice = AnalysisChoice {
        model: String::new(),
        terms: terms.to_owned(),
    };
    project.analyses.insert(quality.to_owned(), choice);
}
