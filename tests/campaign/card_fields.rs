//! Every field of every card reaches the line that the limits see.

use wetlane::campaign::card::{Card, Entry, Field, FieldKind, HowKnown, NumberEntry};
use wetlane::campaign::card_fields::fields_of;
use wetlane::campaign::command::CardRef;
use wetlane::campaign::presets::{
    foils, heated_roller, infrared, inks, lab_coater_with, laminator, new_project, ultraviolet,
};
use wetlane::campaign::project::{Project, WebMode};
use wetlane::campaign::resolve::resolve;
use wetlane::campaign::unit::Unit;
use wetlane_physics::{HeadKind, Line};

use crate::heads::NOW;

/// Fields that stand aside where another one says more: Carreau's law outranks the other two, fresh air an extract fan, a
/// measured capillary number of transfer stands only with its exponent.
const OUTRANKED: [Field; 3] = [Field::Viscosity, Field::Consistency, Field::RoomExtract];

/// A project with every station on its line.
fn everything(head: HeadKind, web: WebMode) -> Project {
    let (ink, foil) = (inks().remove(0), foils().remove(0));
    let mut line = lab_coater_with(head);
    for station in [heated_roller(), infrared(), laminator(), ultraviolet()] {
        line = line.with_station(station);
    }
    line.web = web;
    let mut project = new_project("all", 1, NOW.to_owned(), ink, foil, line);
    // Only what the cards say counts.
    project.settings.clear();
    project
}

fn card_of(project: &mut Project, which: CardRef) -> &mut Card {
    match which {
        CardRef::Ink => &mut project.ink,
        CardRef::Foil => &mut project.foil,
        CardRef::Line => &mut project.line.as_mut().unwrap().card,
        CardRef::Station(index) => &mut project.line.as_mut().unwrap().stations[index].card,
    }
}

/// Some entry for a field; greatest values lie above least ones.
fn some_entry(field: Field) -> Entry {
    match field.kind() {
        FieldKind::Word => Entry::Word(field.words().last().unwrap().0.to_owned()),
        FieldKind::Number(dimension) => Entry::Number(NumberEntry {
            value: if field.key().ends_with("greatest") {
                2.0
            } else {
                1.0
            },
            unit: Unit::usual(dimension),
            known: HowKnown::Measured,
        }),
    }
}

fn line_of(project: &Project) -> Line {
    resolve(project, &project.cross()).unwrap().line
}

#[test]
fn taking_a_field_away_changes_the_line() {
    for (head, web) in [
        (HeadKind::SlotDie, WebMode::RollToRoll),
        (HeadKind::Knife, WebMode::SingleRoll),
        (HeadKind::WireBar, WebMode::RollToRoll),
        (HeadKind::Gravure, WebMode::RollToRoll),
        (HeadKind::Flexo, WebMode::RollToRoll),
    ] {
        let mut full = everything(head, web);
        let n_stations = full.line.as_ref().unwrap().stations.len();
        let stations = (0..n_stations).map(CardRef::Station);
        let cards: Vec<CardRef> = [CardRef::Ink, CardRef::Foil, CardRef::Line]
            .into_iter()
            .chain(stations)
            .collect();
        for which in &cards {
            for field in fields_of(&full, *which) {
                card_of(&mut full, *which)
                    .fields
                    .insert(*field, some_entry(*field));
            }
        }
        let whole = line_of(&full);
        for which in &cards {
            for field in fields_of(&full, *which) {
                let mut without = full.clone();
                card_of(&mut without, *which).fields.remove(field);
                let is_seen = line_of(&without) != whole;
                assert_eq!(
                    is_seen,
                    !OUTRANKED.contains(field),
                    "{} with {head:?}",
                    field.key()
                );
            }
        }
    }
}
