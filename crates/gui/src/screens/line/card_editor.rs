//! A card open for editing: every field with value, unit, how it is known, and what it means.

use egui::{Id, Ui};

use wetlane_physics::Severity;

use super::LeftColumn;
use super::field::field;
use crate::app::spine_view::{physics_station, state_of};
use crate::app::view::{Request, SelectedStation, View};
use crate::campaign::card::{Card, Entry, Field, FieldKind, HowKnown, NumberEntry};
use crate::campaign::card_fields::fields_of;
use crate::campaign::command::{CardRef, Command};
use crate::campaign::feasibility::Judgement;
use crate::campaign::head_switch::switch_head;
use crate::campaign::limit_words::comparison;
use crate::campaign::presets;
use crate::campaign::project::{StationCard, StationKind, WebMode};
use crate::campaign::station_switch::{add_station, remove_station, switch_web};
use crate::campaign::unit::Unit;
use crate::number_text::format_typed;
use crate::widgets::button::link;
use crate::widgets::choice::dropdown;
use crate::widgets::heading::{quiet_text, section_head};
use crate::widgets::limit_row::{LimitLine, limit_row};
use crate::widgets::margin_bar::Margin;
use crate::widgets::number_field::NumberField;
use crate::widgets::row_label::left_label;

/// Draws the card; returns where to go.
pub(super) fn ui(
    ui: &mut Ui,
    view: &View<'_>,
    which: CardRef,
    requests: &mut Vec<Request>,
) -> Option<LeftColumn> {
    let Some(card) = card_of(view, which) else {
        return Some(LeftColumn::Settings);
    };
    let mut next = None;
    section_head(ui, &title_of(view, which), "how it is known");
    ui.horizontal(|ui| {
        if link(ui, "Back to the settings").clicked() {
            next = Some(LeftColumn::Settings);
        }
        ui.add_space(12.0);
        let words = match which {
            CardRef::Station(_) => "Save the line to a file…",
            CardRef::Ink | CardRef::Foil | CardRef::Line => "Save this card to a file…",
        };
        if link(ui, words).clicked() {
            requests.push(Request::SaveCard(which));
        }
    });
    name_ui(ui, which, card, requests);
    if let CardRef::Station(index) = which {
        limits_of_station_ui(ui, view, index);
    }
    let fields = fields_of(view.project, which);
    for field in fields {
        field_ui(ui, which, *field, card.fields.get(field), requests);
    }
    if which == CardRef::Line {
        web_ui(ui, view, requests);
        stations_ui(ui, view, requests);
    }
    if let CardRef::Station(index) = which {
        ui.add_space(8.0);
        if link(ui, "Take this station off the line").clicked() {
            requests.extend(remove_station(view.project, index).map(Request::Edit));
            next = Some(LeftColumn::Settings);
        }
    }
    next
}

fn card_of<'a>(view: &View<'a>, which: CardRef) -> Option<&'a Card> {
    match which {
        CardRef::Ink => Some(&view.project.ink),
        CardRef::Foil => Some(&view.project.foil),
        CardRef::Line => view.project.line.as_ref().map(|line| &line.card),
        CardRef::Station(index) => view
            .project
            .line
            .as_ref()?
            .stations
            .get(index)
            .map(|station| &station.card),
    }
}

fn title_of(view: &View<'_>, which: CardRef) -> String {
    match which {
        CardRef::Ink => "Ink".to_owned(),
        CardRef::Foil => "Foil".to_owned(),
        CardRef::Line => "Line".to_owned(),
        CardRef::Station(_) => card_of(view, which)
            .map(|card| card.name.clone())
            .unwrap_or_default(),
    }
}

fn name_ui(ui: &mut Ui, which: CardRef, card: &Card, requests: &mut Vec<Request>) {
    ui.horizontal(|ui| {
        label(ui, "Name");
        let id = Id::unique(("card name", which));
        if let Some(name) = field(ui, id, "name of the card", &card.name, 232.0) {
            let with = Box::new(Card {
                name,
                ..card.clone()
            });
            requests.push(Request::Edit(Command::SetCard { card: which, with }));
        }
    });
    if !card.note.is_empty() {
        quiet_text(ui, &card.note);
    }
}

fn label(ui: &mut Ui, words: &str) {
    left_label(ui, 150.0, 25.0, egui::Label::new(words).truncate());
}

fn field_ui(
    ui: &mut Ui,
    which: CardRef,
    field: Field,
    entry: Option<&Entry>,
    requests: &mut Vec<Request>,
) {
    let set = |entry: Option<Entry>| {
        Request::Edit(Command::SetField {
            card: which,
            field,
            entry,
        })
    };
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        left_label(ui, 150.0, 25.0, egui::Label::new(field.label()).truncate())
            .on_hover_text(field.help());
        match field.kind() {
            FieldKind::Number(_) => number_ui(ui, which, field, entry, &mut |entry| {
                requests.push(set(entry));
            }),
            FieldKind::Word => {
                let words = field.words();
                let labels: Vec<String> =
                    words.iter().map(|(_, label)| (*label).to_owned()).collect();
                let chosen = match entry {
                    Some(Entry::Word(word)) => words.iter().position(|(key, _)| key == word),
                    Some(Entry::Number(_)) | None => None,
                };
                let id = Id::unique(("card word", which, field));
                if let Some(picked) = dropdown(ui, id, field.label(), &labels, (chosen, 170.0))
                    && let Some((key, _)) = words.get(picked)
                {
                    requests.push(set(Some(Entry::Word((*key).to_owned()))));
                }
            }
        }
    });
}

/// A number with its unit and how it is known; an emptied field takes the value back.
fn number_ui(
    ui: &mut Ui,
    which: CardRef,
    field: Field,
    entry: Option<&Entry>,
    set: &mut dyn FnMut(Option<Entry>),
) {
    let FieldKind::Number(dimension) = field.kind() else {
        return;
    };
    let known = match entry {
        Some(Entry::Number(number)) => Some(*number),
        Some(Entry::Word(_)) | None => None,
    };
    let usual = field.usual_unit().unwrap_or_else(|| Unit::usual(dimension));
    let unit = known.map_or(usual, |number| number.unit);
    let shown = known
        .map(|number| format_typed(number.value))
        .unwrap_or_default();
    let name = format!("{}, {unit}", field.label());
    let parse = |text: &str| {
        if text.trim().is_empty() {
            Ok(None)
        } else {
            crate::number_text::parse_number(text).map(Some)
        }
    };
    let output = NumberField::new(Id::unique(("card number", which, field)), &name, &shown)
        .hint("unknown")
        .width(72.0)
        .show_with(ui, parse);
    if let Some(committed) = output.committed {
        set(committed.value.map(|value| {
            Entry::Number(NumberEntry {
                value,
                unit,
                known: known.map_or(HowKnown::Measured, |number| number.known),
            })
        }));
    }
    let units = Unit::all_of(dimension);
    let symbols: Vec<String> = units.iter().map(|unit| unit.symbol().to_owned()).collect();
    let chosen = units.iter().position(|known| *known == unit);
    let id = Id::unique(("card unit", which, field));
    if let Some(picked) = dropdown(
        ui,
        id,
        &format!("unit of {}", field.label()),
        &symbols,
        (chosen, 78.0),
    ) && let (Some(number), Some(unit)) = (known, units.get(picked))
    {
        set(Some(Entry::Number(NumberEntry {
            unit: *unit,
            ..number
        })));
    }
    if let Some(number) = known {
        how_known_ui(ui, which, field, number, set);
    }
}

fn how_known_ui(
    ui: &mut Ui,
    which: CardRef,
    field: Field,
    number: NumberEntry,
    set: &mut dyn FnMut(Option<Entry>),
) {
    let words: Vec<String> = HowKnown::ALL
        .iter()
        .map(|known| known.label().to_owned())
        .collect();
    let chosen = HowKnown::ALL
        .iter()
        .position(|known| *known == number.known);
    let id = Id::unique(("card known", which, field));
    let width = ui.available_width().clamp(60.0, 92.0);
    if let Some(picked) = dropdown(
        ui,
        id,
        &format!("how {} is known", field.label()),
        &words,
        (chosen, width),
    ) && let Some(known) = HowKnown::ALL.get(picked)
    {
        set(Some(Entry::Number(NumberEntry {
            known: *known,
            ..number
        })));
    }
}

/// Limits of the station whose card is open, with its soft ones.
fn limits_of_station_ui(ui: &mut Ui, view: &View<'_>, index: usize) {
    let Some(kind) = view
        .project
        .line
        .as_ref()
        .and_then(|line| line.stations.get(index))
        .map(|station| station.kind)
    else {
        return;
    };
    let Some((_, Ok(judgement))) = view.derived.judged_settings() else {
        return;
    };
    section_head(ui, "Its limits", "");
    for line in station_limits(judgement, SelectedStation::OfLine(kind)) {
        limit_row(ui, &line);
    }
    ui.add_space(6.0);
}

fn station_limits(judgement: &Judgement, station: SelectedStation) -> Vec<LimitLine> {
    judgement
        .assessment
        .limits
        .iter()
        .filter(|limit| limit.station == physics_station(station))
        .filter(|limit| matches!(limit.severity, Severity::Hard | Severity::Soft))
        .filter_map(|limit| {
            let value = limit.margin()?;
            Some(LimitLine {
                name: limit.id.label().to_owned(),
                comparison: comparison(limit),
                margin: Margin {
                    value,
                    span: None,
                    state: state_of(value, judgement.safety_margin),
                },
                chance: String::new(),
            })
        })
        .collect()
}

/// A station that can be added: its kind, the words, and how it is made.
type Offer = (StationKind, &'static str, fn() -> StationCard);

/// Stations beside the head.
const STATIONS: [Offer; 6] = [
    (StationKind::Plasma, "Add a plasma", presets::plasma),
    (
        StationKind::HeatedRoller,
        "Add a heated roller",
        presets::heated_roller,
    ),
    (
        StationKind::Infrared,
        "Add infrared lamps",
        presets::infrared,
    ),
    (
        StationKind::HotGasDryer,
        "Add a hot-gas dryer",
        presets::dryer,
    ),
    (
        StationKind::Laminator,
        "Add a laminator",
        presets::laminator,
    ),
    (
        StationKind::Ultraviolet,
        "Add an ultraviolet lamp",
        presets::ultraviolet,
    ),
];
/// Heads, one of which stands on a line.
const HEADS: [(StationKind, &str); 5] = [
    (StationKind::SlotDie, "slot die"),
    (StationKind::Knife, "knife over roll"),
    (StationKind::WireBar, "wire-wound bar"),
    (StationKind::Gravure, "gravure"),
    (StationKind::Flexo, "flexo"),
];

/// How the foil runs; the fields of the card follow from it.
fn web_ui(ui: &mut Ui, view: &View<'_>, requests: &mut Vec<Request>) {
    let Some(line) = &view.project.line else {
        return;
    };
    ui.horizontal(|ui| {
        label(ui, "Foil runs");
        let words: Vec<String> = WebMode::ALL
            .iter()
            .map(|web| web.label().to_owned())
            .collect();
        let chosen = WebMode::ALL.iter().position(|web| *web == line.web);
        let id = Id::unique("how the foil runs");
        let picked = dropdown(ui, id, "how the foil runs", &words, (chosen, 170.0));
        if let Some(web) = picked.and_then(|index| WebMode::ALL.get(index)) {
            requests.extend(switch_web(view.project, *web).map(Request::Edit));
        }
    });
}

/// Stations of the line: which there are, which can be added, which head it has.
fn stations_ui(ui: &mut Ui, view: &View<'_>, requests: &mut Vec<Request>) {
    let Some(line) = &view.project.line else {
        return;
    };
    ui.add_space(8.0);
    section_head(ui, "Stations", "in web order");
    let names: Vec<&str> = line
        .stations
        .iter()
        .map(|station| station.card.name.as_str())
        .collect();
    quiet_text(
        ui,
        &format!(
            "{}. Press a station on the drawing above to open its card.",
            names.join(", ")
        ),
    );
    for (kind, words, make) in STATIONS {
        if !line.stations.iter().any(|station| station.kind == kind) && link(ui, words).clicked() {
            requests.extend(add_station(view.project, make()).map(Request::Edit));
        }
    }
    ui.add_space(8.0);
    section_head(ui, "Coating head", "");
    let present = view.project.head().map(|station| station.kind);
    let words: Vec<String> = HEADS.iter().map(|(_, words)| (*words).to_owned()).collect();
    let chosen = HEADS.iter().position(|(kind, _)| Some(*kind) == present);
    ui.horizontal(|ui| {
        label(ui, "Head");
        let id = Id::unique("coating head");
        let picked = dropdown(ui, id, "coating head", &words, (chosen, 170.0));
        let kind = picked
            .and_then(|index| HEADS.get(index))
            .map(|(kind, _)| *kind);
        requests.extend(
            kind.and_then(|kind| switch_head(view.project, kind))
                .map(Request::Edit),
        );
    });
    quiet_text(
        ui,
        "Width, gap, pump and settings that both heads have are kept; the rest changes with the head.",
    );
}
