//! `window`: where a line can run over two settings, as a drawing or a table.

use std::fmt::Write as _;

use crate::campaign::answer_figures::{Slice, window_figure};
use crate::campaign::answers::run_marks;
use crate::campaign::feasibility::{Depth, judge_runs};
use crate::campaign::project::{Project, Settings};
use crate::campaign::project_file;
use crate::campaign::window_axes::{default_axes, window_axis};
use crate::campaign::window_map::{WindowMap, window_map};
use crate::figure::svg;

use super::Answer;
use super::arguments::WindowArgs;
use super::assignment::{find_setting, point_of};
use super::console::Console;
use super::error::CliError;
use super::written_file::{ending_of, write};

/// Places across and up at which margins are computed.
const PLACES: usize = 41;
/// Size of the drawing, in figure units.
const SIZE: [f64; 2] = [720.0, 480.0];

/// Answers `window`.
///
/// # Errors
/// [`CliError`] for a project that cannot be opened, settings that are no numbers of it, or a file that cannot be
/// written.
pub(super) fn run(arguments: &WindowArgs, console: &mut Console<'_>) -> Result<Answer, CliError> {
    let ending = ending_of(&arguments.out, &["svg", "csv"], ".svg or .csv")?;
    let project = project_file::open(&arguments.file)?.project;
    let mut held = project.cross();
    let given = point_of(&project, &arguments.at)?;
    held.extend(
        given
            .settings
            .into_iter()
            .filter(|(id, _)| !given.assumed.contains(id)),
    );
    let (x, y) = axes(&project, arguments)?;
    let map = map_of(&project, &held, &x, &y)?;
    let text = match ending {
        "csv" => table(&project, &map),
        _ => drawing(&project, &held, &map)?,
    };
    write(&arguments.out, text.as_bytes())?;
    let n_limits = map.curves.len();
    console.message(&format!(
        "The window over {x} and {y}, with {n_limits} limits that turn in it, is in {}.",
        arguments.out.display()
    ));
    Ok(Answer::Yes)
}

/// Ids of the two settings: as asked for, else those that the line's head is usually looked at over.
fn axes(project: &Project, arguments: &WindowArgs) -> Result<(String, String), CliError> {
    let usual = default_axes(project).ok_or(CliError::NoWindow {
        why: "it has no two settings that are numbers of the line",
    })?;
    let asked = |name: &Option<String>, usual: String| match name {
        Some(name) => Ok(find_setting(project, name)?.id.clone()),
        None => Ok::<_, CliError>(usual),
    };
    let (x, y) = (asked(&arguments.x, usual.0)?, asked(&arguments.y, usual.1)?);
    if x == y {
        return Err(CliError::NoWindow {
            why: "both axes are the same setting",
        });
    }
    Ok((x, y))
}

fn map_of(project: &Project, held: &Settings, x: &str, y: &str) -> Result<WindowMap, CliError> {
    let no_number = CliError::NoWindow {
        why: "one of the settings is no number with a range",
    };
    let axes = window_axis(project, x, PLACES).zip(window_axis(project, y, PLACES));
    let (x, y) = axes.ok_or(no_number)?;
    let map = window_map(project, held, &x, &y, &|_| false);
    map.ok_or(CliError::NoWindow {
        why: "nothing of it can be judged",
    })
}

fn drawing(project: &Project, held: &Settings, map: &WindowMap) -> Result<String, CliError> {
    let cannot_run: Vec<u32> = judge_runs(project, Depth::Nominal)
        .iter()
        .filter(|judged| judged.feasible() == Some(false))
        .map(|judged| judged.run)
        .collect();
    let marks = run_marks(project, held, &map.x.id, &map.y.id, &|run| {
        cannot_run.contains(&run)
    });
    let slice = Slice {
        project,
        held,
        window: Some(map),
        marks: &marks,
    };
    let figure = window_figure(&slice, SIZE).ok_or(CliError::NoWindow {
        why: "nothing of it can be drawn",
    })?;
    Ok(svg::file(&figure))
}

/// Every place with its worst hard margin; empty where it is not known.
fn table(project: &Project, map: &WindowMap) -> String {
    let head = |id: &str| {
        let unit = project.setting(id).map_or("", |setting| &setting.unit);
        if unit.is_empty() {
            id.to_owned()
        } else {
            format!("{id} ({unit})")
        }
    };
    let mut text = format!("{},{},margin,can run\r\n", head(&map.x.id), head(&map.y.id));
    for (row, up) in map.worst.ys.iter().enumerate() {
        for (column, across) in map.worst.xs.iter().enumerate() {
            let margin = map.worst.at(column, row).filter(|margin| !margin.is_nan());
            let (margin, can_run) = match margin {
                Some(margin) => (margin.to_string(), if margin >= 0.0 { "yes" } else { "no" }),
                None => (String::new(), ""),
            };
            // Writing to a string cannot fail.
            write!(text, "{across},{up},{margin},{can_run}\r\n").unwrap_or_default();
        }
    }
    text
}
