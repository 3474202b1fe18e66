//! Stations put on the line and taken off it, and the web that runs another way: the settings go along.

use super::command::Command;
use super::head_switch::give_up;
use super::presets::{new_setting, station_settings};
use super::project::{LineCard, Project, Role, StationCard, WebMode};
use super::role::{Family, RolePlace};
use super::sentence_case::in_sentence;

/// The step that puts a station on the line with the settings that it has; `None` without a line. A setting that is there
/// already stays the only one of its family.
pub fn add_station(project: &Project, station: StationCard) -> Option<Command> {
    let line = project.line.as_ref()?;
    let label = in_sentence(&station.card.name);
    let roles = station_settings(station.kind);
    let new = new_settings(project, roles, project.settings.len());
    let with_line = Command::SetLine(Some(Box::new(line.with_station(station))));
    Some(Command::Together {
        label,
        commands: std::iter::once(with_line).chain(new).collect(),
    })
}

/// The step that takes a station off the line; its settings go, or stay as settings of the user's own where runs hold values
/// of them. `None` if it is not there.
pub fn remove_station(project: &Project, index: usize) -> Option<Command> {
    let mut line = project.line.clone()?;
    if index >= line.stations.len() {
        return None;
    }
    let station = line.stations.remove(index);
    let is_its = |role: Role| match role.place() {
        RolePlace::Station(kind) => kind == station.kind,
        RolePlace::Head => station.kind.head().is_some(),
        RolePlace::Web | RolePlace::Nowhere => false,
    };
    Some(without(
        project,
        line,
        &in_sentence(&station.card.name),
        is_its,
    ))
}

/// The step that makes the foil run another way; a sheet on a single roll has no tension to set.
pub fn switch_web(project: &Project, web: WebMode) -> Option<Command> {
    let line = LineCard {
        web,
        ..project.line.clone()?
    };
    let is_lost = |role: Role| web == WebMode::SingleRoll && role == Role::Tension;
    Some(without(project, line, web.label(), is_lost))
}

/// Another line, and the settings that it has no use for given up; a speed where the one that stood for it went.
fn without(
    project: &Project,
    line: LineCard,
    label: &str,
    is_lost: impl Fn(Role) -> bool,
) -> Command {
    let mut commands = vec![Command::SetLine(Some(Box::new(line)))];
    let mut n_removed = 0;
    let mut has_lost_speed = false;
    for (index, entry) in project.settings.iter().enumerate() {
        if !is_lost(entry.role) {
            continue;
        }
        has_lost_speed |= entry.role.family_under(project.head_kind()) == Some(Family::Transport);
        let command = give_up(project, index - n_removed, entry);
        n_removed += usize::from(matches!(command, Command::RemoveSetting { .. }));
        commands.push(command);
    }
    if has_lost_speed {
        commands.push(Command::PutSetting {
            index: project.settings.len(),
            setting: Box::new(new_setting(project, Role::Speed)),
        });
    }
    Command::Together {
        label: label.to_owned(),
        commands,
    }
}

/// New settings of those roles of whose family none is there yet.
fn new_settings(project: &Project, roles: &[Role], at: usize) -> Vec<Command> {
    let head = project.head_kind();
    let is_free = |role: &&Role| {
        let family = role.family_under(head);
        let mut known = project.settings.iter();
        !known.any(|setting| setting.role.family_under(head) == family)
    };
    let free = roles.iter().filter(is_free);
    free.enumerate()
        .map(|(index, role)| Command::PutSetting {
            index: at + index,
            setting: Box::new(new_setting(project, *role)),
        })
        .collect()
}
