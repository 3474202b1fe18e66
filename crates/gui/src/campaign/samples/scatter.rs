//! Scatter for invented readings: normal numbers from a stored seed, the same on every machine.

use wetlane_stats::design::{Purpose, RandomStream, Seed};

use super::super::card::{Card, Entry, Field, HowKnown, NumberEntry};
use super::super::project::{Reading, ReadingValue};
use super::super::unit::Unit;

/// A stream of normal numbers.
pub(super) struct Scatter {
    stream: RandomStream,
}

impl Scatter {
    /// The stream of a seed.
    pub(super) fn new(seed: u64, index: u32) -> Self {
        Self {
            stream: RandomStream::new(Seed(seed), Purpose::InventedReadings, index),
        }
    }

    /// A standard normal number: the mean of twelve uniform ones, centred and scaled (Irwin–Hall), which needs no
    /// function whose last digit depends on the machine.
    pub(super) fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.stream.unit()).sum::<f64>() - 6.0
    }

    /// A factor exp(sd · normal), by its first two terms for the small scatters used here.
    pub(super) fn factor(&mut self, sd: f64) -> f64 {
        1.0 + sd * self.normal()
    }
}

/// Rounds a reading to the digits that a gauge shows.
pub(super) fn shown(value: f64, decimals: i32) -> f64 {
    let power = 10f64.powi(decimals);
    (value * power).round() / power
}

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
