//! "What you have": ink, foil and line in a few words each, and the choice of other cards.

use crate::campaign::sentence_case::in_sentence;
use egui::{Id, Ui};

use super::LeftColumn;
use crate::app::view::{Request, View};
use crate::campaign::card::{Card, Entry, Field};
use crate::campaign::card_library::{handbook_foils, pure_solvents};
use crate::campaign::command::{CardRef, Command};
use crate::campaign::presets::{foils, inks, lab_coater, starting_settings};
use crate::campaign::project::Project;
use crate::number_text::format_typed;
use crate::theme::{self, Palette, text_size};
use crate::widgets::button::link;
use crate::widgets::heading::{body_text, quiet_text, section_head};
use crate::widgets::row_label::left_label;

/// Fields that tell most about an ink.
const INK_FIELDS: [Field; 6] = [
    Field::Viscosity,
    Field::Consistency,
    Field::SurfaceTension,
    Field::Density,
    Field::Solvent,
    Field::LargestParticle,
];
/// Fields that tell most about a foil.
const FOIL_FIELDS: [Field; 4] = [
    Field::Thickness,
    Field::SurfaceEnergy,
    Field::HighestTemperature,
    Field::RollLength,
];

/// Draws the summary; returns where to go.
pub(super) fn ui(ui: &mut Ui, view: &View<'_>, requests: &mut Vec<Request>) -> Option<LeftColumn> {
    section_head(ui, "What you have", "");
    let mut next = None;
    let project = view.project;
    let mut row = |ui: &mut Ui, word: &str, card: &Card, facts: String, to: LeftColumn| {
        if line(ui, word, &card.name, &facts) {
            next = Some(to);
        }
    };
    row(
        ui,
        "Ink",
        &project.ink,
        facts(&project.ink, &INK_FIELDS),
        LeftColumn::Card(CardRef::Ink),
    );
    row(
        ui,
        "Foil",
        &project.foil,
        facts(&project.foil, &FOIL_FIELDS),
        LeftColumn::Card(CardRef::Foil),
    );
    if let Some(line) = &project.line {
        row(
            ui,
            "Line",
            &line.card,
            line_facts(project),
            LeftColumn::Card(CardRef::Line),
        );
    } else {
        body_text(ui, "No line yet: limits need one.");
        if link(ui, "Take the lab coater").clicked() {
            requests.push(Request::Edit(take_line(project)));
        }
    }
    if link(ui, "Use another card…").clicked() {
        next = Some(LeftColumn::Cards);
    }
    ui.add_space(6.0);
    next
}

/// One card in two lines; true if its "Edit" was pressed.
fn line(ui: &mut Ui, word: &str, name: &str, facts: &str) -> bool {
    let palette = Palette::of(ui);
    let mut is_pressed = false;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        let head = egui::RichText::new(word)
            .font(theme::bold(text_size::BODY))
            .color(palette.ink);
        left_label(ui, 38.0, 18.0, egui::Label::new(head));
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            ui.horizontal(|ui| {
                let shown = if name.is_empty() {
                    "not described yet"
                } else {
                    name
                };
                let width = (ui.available_width() - 52.0).max(60.0);
                let text = egui::RichText::new(shown)
                    .font(theme::regular(text_size::BODY))
                    .color(palette.ink2);
                left_label(ui, width, 18.0, egui::Label::new(text).truncate());
                is_pressed = link(ui, "Edit…").clicked();
            });
            quiet_text(ui, facts);
        });
    });
    is_pressed
}

/// Some fields of a card in words.
fn facts(card: &Card, fields: &[Field]) -> String {
    let words: Vec<String> = fields
        .iter()
        .filter_map(|field| {
            Some(match card.fields.get(field)? {
                Entry::Number(number) => {
                    let name = in_sentence(field.label());
                    let value = format!("{} {}", format_typed(number.value), number.unit);
                    match field {
                        Field::RollLength => format!("{value} on the roll"),
                        Field::HighestTemperature => format!("at most {value}"),
                        Field::LargestParticle => format!("particles up to {value}"),
                        Field::SurfaceEnergy => format!("{value} untreated"),
                        Field::Consistency => format!("{name} {value}"),
                        _ => value,
                    }
                }
                Entry::Word(word) => field
                    .words()
                    .into_iter()
                    .find(|(key, _)| key == word)
                    .map_or(word.clone(), |(_, label)| label.to_owned()),
            })
        })
        .collect();
    if words.is_empty() {
        "nothing stated yet".to_owned()
    } else {
        words.join(", ")
    }
}

fn line_facts(project: &Project) -> String {
    let Some(line) = &project.line else {
        return String::new();
    };
    let names: Vec<&str> = line
        .stations
        .iter()
        .map(|station| station.card.name.as_str())
        .collect();
    let speeds = line
        .card
        .number(Field::SpeedLeast)
        .zip(line.card.number(Field::SpeedGreatest));
    let speeds = speeds
        .map(|(low, high)| {
            format!(
                "{} to {} {}, ",
                format_typed(low.value),
                format_typed(high.value),
                high.unit
            )
        })
        .unwrap_or_default();
    format!("{speeds}{}", names.join(", ").to_lowercase())
}

/// The lab coater, with settings for it if there are none.
fn take_line(project: &Project) -> Command {
    let line = lab_coater();
    let mut commands = vec![Command::SetLine(Some(Box::new(line.clone())))];
    if project.settings.is_empty() {
        for (index, setting) in starting_settings(&line).into_iter().enumerate() {
            commands.push(Command::PutSetting {
                index,
                setting: Box::new(setting),
            });
        }
    }
    Command::Together {
        label: "lab coater".to_owned(),
        commands,
    }
}

/// A link that opens the long list of handbook cards and closes it again; whether it is open.
fn handbook_is_open(ui: &mut Ui) -> bool {
    let id = Id::unique("handbook cards");
    let is_open = ui.data(|data| data.get_temp::<bool>(id)).unwrap_or(false);
    ui.add_space(8.0);
    let words = if is_open {
        "Hide the handbook's solvents and foils"
    } else {
        "Show the handbook's solvents and foils…"
    };
    if link(ui, words).clicked() {
        ui.data_mut(|data| data.insert_temp(id, !is_open));
    }
    quiet_text(
        ui,
        "A pure solvent calibrates the dryer: coat it, and watch where the film goes dry.",
    );
    is_open
}

/// Draws the choice of cards; returns where to go.
pub(super) fn cards_ui(
    ui: &mut Ui,
    view: &View<'_>,
    requests: &mut Vec<Request>,
) -> Option<LeftColumn> {
    let mut next = None;
    section_head(ui, "Use another card", "typical values of their kind");
    ui.horizontal(|ui| {
        if link(ui, "Back to the settings").clicked() {
            next = Some(LeftColumn::Settings);
        }
        ui.add_space(12.0);
        if link(ui, "Open a card from a file…").clicked() {
            requests.push(Request::OpenCard);
        }
    });
    let mut offer =
        |ui: &mut Ui, word: &str, cards: Vec<Card>, which: CardRef, fields: &[Field]| {
            ui.add_space(8.0);
            section_head(ui, word, "");
            for card in cards {
                if link(ui, &card.name).clicked() {
                    requests.push(Request::Edit(Command::SetCard {
                        card: which,
                        with: Box::new(card.clone()),
                    }));
                    next = Some(LeftColumn::Settings);
                }
                quiet_text(ui, &facts(&card, fields));
            }
        };
    offer(ui, "Ink", inks(), CardRef::Ink, &INK_FIELDS);
    offer(ui, "Foil", foils(), CardRef::Foil, &FOIL_FIELDS);
    if handbook_is_open(ui) {
        offer(
            ui,
            "Pure solvents, handbook",
            pure_solvents(),
            CardRef::Ink,
            &INK_FIELDS,
        );
        offer(
            ui,
            "Foils, handbook",
            handbook_foils(),
            CardRef::Foil,
            &FOIL_FIELDS,
        );
    }
    ui.add_space(8.0);
    section_head(ui, "Line", "");
    if link(ui, "Lab coater").clicked() {
        requests.push(Request::Edit(take_line(view.project)));
        next = Some(LeftColumn::Settings);
    }
    quiet_text(
        ui,
        "Invented, common in size: slot die 100 mm wide, plasma, hot-gas dryer of 1.2 m. Another head is chosen on its card.",
    );
    next
}
