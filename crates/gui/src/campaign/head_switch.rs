//! Another head on a line: what still applies is kept, what the new head does not have is dropped or kept as data.

use wetlane_physics::HeadKind;

use super::card_fields::fields_of_station;
use super::command::Command;
use super::presets::{head_station, new_setting};
use super::project::{LineCard, Project, Role, SettingEntry, StationCard, StationKind};
use super::role::{Family, RolePlace};

/// Settings that a head needs, the one that sets its film first.
pub const fn own_settings(head: HeadKind) -> &'static [Role] {
    match head {
        HeadKind::SlotDie => &[Role::WetThickness, Role::Gap],
        HeadKind::Knife | HeadKind::WireBar => &[Role::WetThickness],
        HeadKind::Gravure => &[Role::CellVolume, Role::SpeedRatio],
        HeadKind::Flexo => &[Role::CellVolume, Role::Impression],
    }
}

/// The step that puts another head on the line; `None` without a line or with that head on it already.
///
/// The card of the new head keeps every field that both have. A setting that the new head does not have is taken away,
/// or, where runs hold values of it, kept as a setting of the user's own that no limit knows.
pub fn switch_head(project: &Project, kind: StationKind) -> Option<Command> {
    let head = kind.head()?;
    let line = project.line.as_ref()?;
    let old = project.head();
    if old.is_some_and(|station| station.kind == kind) {
        return None;
    }
    let new = with_kept_fields(head_station(head), old);
    let label = format!("{} instead", new.card.name.to_lowercase());
    let mut commands = vec![Command::SetLine(Some(Box::new(with_head(line, new))))];
    let mut left: Vec<SettingEntry> = Vec::new();
    for (index, entry) in project.settings.iter().enumerate() {
        if !is_lost(entry, head, &left) {
            left.push(entry.clone());
            continue;
        }
        commands.push(give_up(project, index, entry));
    }
    commands.extend(missing_settings(project, head, &left));
    Some(Command::Together { label, commands })
}

/// The new head with what the old card says of fields that both have.
fn with_kept_fields(mut new: StationCard, old: Option<&StationCard>) -> StationCard {
    let fields = fields_of_station(new.kind);
    for (field, entry) in old.iter().flat_map(|old| &old.card.fields) {
        if fields.contains(field) {
            new.card.fields.insert(*field, entry.clone());
        }
    }
    new
}

/// The line with this head in the place of its own, or at its usual place along the web.
fn with_head(line: &LineCard, head: StationCard) -> LineCard {
    let mut line = line.clone();
    let own = line
        .stations
        .iter()
        .position(|station| station.kind.head().is_some());
    match own.and_then(|index| line.stations.get_mut(index)) {
        Some(station) => *station = head,
        None => return line.with_station(head),
    }
    line
}

/// True if the new head has no use for a setting, or if one of its family is there already.
fn is_lost(entry: &SettingEntry, head: HeadKind, kept: &[SettingEntry]) -> bool {
    if entry.role.place() != RolePlace::Head {
        return false;
    }
    let Some(family) = entry.role.family_under(head) else {
        return true;
    };
    kept.iter()
        .any(|known| known.role.family_under(head) == Some(family))
}

/// The step that gives up a setting of which the line has no use: kept as one of the user's own, which no limit knows, where
/// runs hold values of it.
pub(super) fn give_up(project: &Project, index: usize, entry: &SettingEntry) -> Command {
    if has_values(project, &entry.id) {
        Command::PutSetting {
            index,
            setting: Box::new(SettingEntry {
                role: Role::Free,
                ..entry.clone()
            }),
        }
    } else {
        Command::RemoveSetting {
            id: entry.id.clone(),
        }
    }
}

fn has_values(project: &Project, id: &str) -> bool {
    project.runs.iter().any(|run| run.planned.contains_key(id))
}

/// Settings that the new head needs and that nothing kept stands for.
fn missing_settings(project: &Project, head: HeadKind, kept: &[SettingEntry]) -> Vec<Command> {
    let family = |role: Role| role.family_under(head);
    let film_is_kept = kept
        .iter()
        .any(|known| family(known.role) == Some(Family::Metering));
    let follows_from_film = |role: Role| {
        let knob = role.metering_knob();
        film_is_kept && knob.is_some_and(|knob| head.metering_knobs().contains(&knob))
    };
    let is_there = |role: Role| kept.iter().any(|known| family(known.role) == family(role));
    own_settings(head)
        .iter()
        .filter(|role| !is_there(**role) && !follows_from_film(**role))
        .map(|role| Command::PutSetting {
            index: project.settings.len(),
            setting: Box::new(new_setting(project, *role)),
        })
        .collect()
}
