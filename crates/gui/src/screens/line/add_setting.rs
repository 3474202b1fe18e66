//! A setting more: one that the line knows, or one of one's own.

use crate::campaign::sentence_case::in_sentence;
use egui::Ui;

use super::LeftColumn;
use crate::app::view::{Request, View};
use crate::campaign::command::Command;
use crate::campaign::presets::{new_setting, usual_range};
use crate::campaign::project::{Project, Role, SettingEntry, StationKind, Variation};
use crate::campaign::role::RolePlace;
use crate::widgets::button::link;
use crate::widgets::heading::{quiet_text, section_head};

/// Draws the offers; returns where to go.
pub(super) fn ui(ui: &mut Ui, view: &View<'_>, requests: &mut Vec<Request>) -> Option<LeftColumn> {
    let mut next = None;
    section_head(ui, "Vary another setting", "");
    if link(ui, "Back to the settings").clicked() {
        next = Some(LeftColumn::Settings);
    }
    ui.add_space(4.0);
    for fixed in view
        .project
        .settings
        .iter()
        .filter(|setting| !setting.is_varied())
    {
        if link(ui, &format!("Vary {}", in_sentence(&fixed.label))).clicked() {
            next = Some(LeftColumn::Setting(fixed.id.clone()));
        }
    }
    for role in Role::ALL {
        if let Some(taken) = offer(view.project, role) {
            let words = match (&taken, role) {
                (_, Role::Free) => "A setting of your own".to_owned(),
                (Place::Instead(known), _) => {
                    format!("{} instead of {}", role.label(), in_sentence(&known.label))
                }
                (Place::New, _) => role.label().to_owned(),
            };
            if link(ui, &words).clicked() {
                let (command, id) = add(view.project, role, &taken);
                requests.push(Request::Edit(command));
                next = Some(LeftColumn::Setting(id));
            }
        }
    }
    quiet_text(
        ui,
        "Of linked quantities, such as flow and wet thickness, one is set and the others follow.",
    );
    next
}

/// Where a new setting goes.
enum Place<'a> {
    /// Beside the others.
    New,
    /// In the place of one that sets the same thing.
    Instead(&'a SettingEntry),
}

/// Whether a role can be set here, and which setting of its family it would replace.
fn offer(project: &Project, role: Role) -> Option<Place<'_>> {
    if role == Role::Free {
        return Some(Place::New);
    }
    if project.setting_of(role).is_some() {
        return None;
    }
    let family = role.family_under(project.head_kind())?;
    let fits = match (role, role.place()) {
        (Role::Vacuum, _) => {
            let die = project.station(StationKind::SlotDie);
            die.and_then(|die| die.word(crate::campaign::card::Field::VacuumBox)) == Some("yes")
        }
        (_, RolePlace::Station(kind)) => project.station(kind).is_some(),
        (_, RolePlace::Head) => project.head().is_some(),
        (_, RolePlace::Web) => project.line.is_some(),
        (_, RolePlace::Nowhere) => true,
    };
    let is_sibling =
        |setting: &&SettingEntry| setting.role.family_under(project.head_kind()) == Some(family);
    let sibling = project.settings.iter().find(is_sibling);
    let is_replaceable = sibling.is_none_or(|sibling| {
        !project
            .runs
            .iter()
            .any(|run| run.has_results() && run.planned.contains_key(&sibling.id))
    });
    (fits && is_replaceable).then(|| sibling.map_or(Place::New, Place::Instead))
}

fn add(project: &Project, role: Role, place: &Place<'_>) -> (Command, String) {
    let mut entry = new_setting(project, role);
    entry.variation = match usual_range(role) {
        Some((low, high)) => Variation::Range {
            low,
            high,
            log: false,
        },
        None => Variation::Range {
            low: 0.0,
            high: 1.0,
            log: false,
        },
    };
    let id = entry.id.clone();
    let label = in_sentence(&entry.label);
    let instead = match place {
        Place::New => None,
        Place::Instead(known) => Some(*known),
    };
    let index = instead
        .and_then(|instead| {
            project
                .settings
                .iter()
                .position(|known| known.id == instead.id)
        })
        .unwrap_or(project.settings.len());
    let put = Command::PutSetting {
        index,
        setting: Box::new(entry),
    };
    let command = match instead {
        Some(instead) => Command::Together {
            label,
            commands: vec![
                Command::RemoveSetting {
                    id: instead.id.clone(),
                },
                put,
            ],
        },
        None => put,
    };
    (command, id)
}
