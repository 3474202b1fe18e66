//! Which column goes where: heads against the names of the project, then against words of the trade.

use super::super::project::{Project, Quality, QualityKind};
use super::super::table_text::{Column, Table};
use super::super::unit::Unit;
use super::{Abbreviations, EntryColumn, MatchedBy, Target};

/// Words that heads use for what is not a name of the project.
const USUAL_HEADS: [(&str, Target); 16] = [
    ("run", Target::Run),
    ("run number", Target::Run),
    ("run no", Target::Run),
    ("outcome", Target::Outcome),
    ("film", Target::Outcome),
    ("sound or faulty", Target::Outcome),
    ("fault", Target::Fault),
    ("faults", Target::Fault),
    ("note", Target::Note),
    ("notes", Target::Note),
    ("metre", Target::Metre),
    ("meter", Target::Metre),
    ("place", Target::Place),
    ("repeat", Target::Repeat),
    ("reading", Target::Repeat),
    ("area", Target::Area),
];

/// Matches every column of a table by its head. Names of the project go first; two names that fit equally are no match.
pub fn match_columns(
    table: &Table,
    project: &Project,
    abbreviations: Abbreviations,
) -> Vec<EntryColumn> {
    table
        .columns()
        .iter()
        .map(|column| {
            let found = [column.head.as_str(), column.name.as_str()]
                .into_iter()
                .find_map(|name| by_name(name, project));
            let matched = found.map(|target| (target, MatchedBy::Name)).or_else(|| {
                let proposed = (abbreviations == Abbreviations::Proposed)
                    .then(|| by_abbreviation(column, project));
                proposed
                    .flatten()
                    .map(|target| (target, MatchedBy::Abbreviation))
            });
            let (target, by) = matched.unwrap_or_default();
            EntryColumn { target, by }
        })
        .collect()
}

/// A name without capitals, and with blanks for all that joins words.
fn plain(name: &str) -> String {
    let joints =
        |c: char| c.is_whitespace() || matches!(c, '_' | '-' | ',' | '(' | ')' | '[' | ']' | '.');
    name.to_lowercase()
        .split(joints)
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(" ")
}

/// The only item that is called so: by its id as it stands, else by id or label however they are written.
fn only<'a, T>(
    items: &'a [T],
    id: impl Fn(&T) -> &str,
    label: impl Fn(&T) -> &str,
    name: &str,
) -> Option<&'a T> {
    items.iter().find(|item| id(item) == name).or_else(|| {
        let name = plain(name);
        let mut fitting = items
            .iter()
            .filter(|item| plain(id(item)) == name || plain(label(item)) == name);
        fitting.next().filter(|_| fitting.next().is_none())
    })
}

fn by_name(name: &str, project: &Project) -> Option<Target> {
    if let Some(quality) = only(&project.qualities, |q| &q.id, |q| &q.label, name) {
        return Some(target_of(quality, ""));
    }
    if let Some(setting) = only(&project.settings, |s| &s.id, |s| &s.label, name) {
        return Some(Target::Setting(setting.id.clone()));
    }
    let plain_name = plain(name);
    if plain_name.is_empty() {
        return None;
    }
    let as_run = plain_name
        .strip_suffix(" as run")
        .or_else(|| plain_name.strip_prefix("as run "));
    if let Some(setting) =
        as_run.and_then(|name| only(&project.settings, |s| &s.id, |s| &s.label, name))
    {
        return Some(Target::AsRun(setting.id.clone()));
    }
    let at_place = project.qualities.iter().find_map(|quality| {
        let place = quality.places.iter().find(|place| {
            [&quality.id, &quality.label]
                .into_iter()
                .any(|name| plain(&format!("{name} {place}")) == plain_name)
        })?;
        Some(target_of(quality, place))
    });
    at_place.or_else(|| {
        USUAL_HEADS
            .into_iter()
            .find(|(head, _)| *head == plain_name)
            .map(|(_, target)| target)
    })
}

fn target_of(quality: &Quality, place: &str) -> Target {
    if quality.kind == QualityKind::Sound {
        Target::Outcome
    } else {
        Target::Reading {
            quality: quality.id.clone(),
            place: place.to_owned(),
        }
    }
}

/// `T (%)` for the only quality in % whose name begins with t.
fn by_abbreviation(column: &Column, project: &Project) -> Option<Target> {
    let unit = column.unit.as_deref()?;
    let start = plain(&column.name);
    let begins = |name: &str| !start.is_empty() && plain(name).starts_with(&start);
    let mut fitting = project.qualities.iter().filter(|quality| {
        is_one_unit(unit, &quality.unit) && (begins(&quality.label) || begins(&quality.id))
    });
    fitting
        .next()
        .filter(|_| fitting.next().is_none())
        .map(|quality| target_of(quality, ""))
}

/// True for two spellings of one unit.
fn is_one_unit(one: &str, other: &str) -> bool {
    one == other || matches!((Unit::parse(one), Unit::parse(other)), (Ok(a), Ok(b)) if a == b)
}
