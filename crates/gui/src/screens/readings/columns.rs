//! Which columns of the table fit the width: heads get shorter, then settings, metre and note give way.

use egui::{Color32, Ui};

use crate::campaign::project::Project;
use crate::campaign::reading_table::ReadingTable;
use crate::theme::{self, text_size};
use crate::widgets::editable_grid::GridColumn;
use crate::widgets::lettering::Lettering;

/// What a column shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Column {
    /// Number of the run.
    Run,
    /// Metre on the roll.
    Metre,
    /// A varied setting as run, by its place among them.
    Setting(usize),
    /// What became of the film.
    Film,
    /// A quality that is read, by its place among them.
    Quality(usize),
    /// The note.
    Note,
}

/// The columns of a table.
#[derive(Debug, Default)]
pub(super) struct Columns {
    /// What they show.
    pub kinds: Vec<Column>,
    /// How the grid shows them.
    pub heads: Vec<GridColumn>,
    /// Names of settings that had no room.
    pub settings_left_out: Vec<String>,
    /// Qualities that had no room.
    pub n_qualities_left_out: usize,
}

/// Room for the ticks of readings beside their mean.
pub(super) const TICKS: f32 = 56.0;

const RUN: f32 = 48.0;
const METRE: f32 = 56.0;
const FILM: f32 = 86.0;
const NOTE: f32 = 96.0;
/// Settings beside which whole names of qualities stand; with fewer the names are shortened.
const LEAST_SETTINGS: usize = 2;
/// Widest head in points; longer names end in "…".
const WIDEST_NAME: f32 = 130.0;

/// Chooses the columns for a width, the qualities from `first_quality` on.
pub(super) fn columns(
    ui: &Ui,
    project: &Project,
    facts: &ReadingTable,
    first_quality: usize,
) -> Columns {
    let width = ui.available_width();
    let full: Vec<String> = facts
        .qualities
        .iter()
        .map(|q| elided(ui, &lower(&q.label)))
        .collect();
    let short = short_names(&full);
    let settings: Vec<String> = facts.settings.iter().map(|s| lower(&s.label)).collect();
    let settings: Vec<String> = short_names(&settings)
        .iter()
        .map(|name| elided(ui, name))
        .collect();
    let mut fitted = Fitted {
        n_settings: settings.len(),
        has_metre: true,
        has_note: true,
        qualities: (first_quality..full.len()).collect(),
    };
    let sizes = |names: &[String]| -> Vec<f32> {
        facts
            .qualities
            .iter()
            .zip(names)
            .map(|(quality, name)| {
                let ticks = if quality.spread > 0.0 { TICKS } else { 0.0 };
                head_width(ui, name, &quality.unit).max(58.0 + ticks)
            })
            .collect()
    };
    let setting_sizes: Vec<f32> = facts
        .settings
        .iter()
        .zip(&settings)
        .map(|(setting, name)| head_width(ui, name, &setting.unit).max(46.0))
        .collect();
    let full_sizes = sizes(&full);
    let mut with_full = fitted.clone();
    with_full.shrink(width, &setting_sizes, &full_sizes);
    let is_roomy = with_full.n_settings >= settings.len().min(LEAST_SETTINGS) && with_full.has_note;
    let (names, quality_sizes) = if is_roomy {
        (full, full_sizes)
    } else {
        (short.clone(), sizes(&short))
    };
    fitted.shrink(width, &setting_sizes, &quality_sizes);
    assemble(
        project,
        facts,
        &fitted,
        (&settings, &setting_sizes),
        (&names, &quality_sizes),
    )
}

/// What is shown.
#[derive(Debug, Clone)]
struct Fitted {
    n_settings: usize,
    has_metre: bool,
    has_note: bool,
    qualities: Vec<usize>,
}

impl Fitted {
    fn width(&self, settings: &[f32], qualities: &[f32]) -> f32 {
        let settings: f32 = settings.iter().take(self.n_settings).sum();
        let qualities: f32 = self
            .qualities
            .iter()
            .filter_map(|at| qualities.get(*at))
            .sum();
        let metre = if self.has_metre { METRE } else { 0.0 };
        let note = if self.has_note { NOTE } else { 0.0 };
        RUN + metre + settings + FILM + qualities + note
    }

    /// Takes away, in this order, settings from the last on, the note, the metre, qualities from the last on.
    fn shrink(&mut self, most: f32, settings: &[f32], qualities: &[f32]) {
        while self.width(settings, qualities) > most {
            if self.n_settings > 0 {
                self.n_settings -= 1;
            } else if self.has_note {
                self.has_note = false;
            } else if self.has_metre {
                self.has_metre = false;
            } else if self.qualities.len() > 1 {
                self.qualities.pop();
            } else {
                return;
            }
        }
    }
}

fn assemble(
    project: &Project,
    facts: &ReadingTable,
    fitted: &Fitted,
    settings: (&[String], &[f32]),
    qualities: (&[String], &[f32]),
) -> Columns {
    let mut columns = Columns::default();
    let mut add = |kind: Column, head: GridColumn| {
        columns.kinds.push(kind);
        columns.heads.push(head);
    };
    add(
        Column::Run,
        GridColumn::number("run", "", points(RUN)).fixed(),
    );
    if fitted.has_metre {
        add(
            Column::Metre,
            GridColumn::number("metre", "m", points(METRE)),
        );
    }
    let shown = facts
        .settings
        .iter()
        .zip(settings.0)
        .zip(settings.1)
        .enumerate();
    for (at, ((setting, name), width)) in shown.take(fitted.n_settings) {
        let is_level = project
            .setting(&setting.id)
            .is_some_and(|setting| setting.now.number().is_none());
        let head = if is_level {
            GridColumn::words(name, points(*width))
        } else {
            GridColumn::number(name, &setting.unit, points(*width))
        };
        add(Column::Setting(at), head);
    }
    add(Column::Film, GridColumn::words("film", points(FILM)));
    for at in &fitted.qualities {
        let parts = (
            facts.qualities.get(*at),
            qualities.0.get(*at),
            qualities.1.get(*at),
        );
        if let (Some(quality), Some(name), Some(width)) = parts {
            let head = GridColumn::number(name, &quality.unit, points(*width));
            let head = if fitted.has_note {
                head
            } else {
                head.growing()
            };
            add(Column::Quality(*at), head);
        }
    }
    if fitted.has_note {
        add(
            Column::Note,
            GridColumn::words("note", points(NOTE)).growing(),
        );
    }
    columns.settings_left_out = settings.0.iter().skip(fitted.n_settings).cloned().collect();
    columns.n_qualities_left_out = facts.qualities.len() - fitted.qualities.len();
    columns
}

fn head_width(ui: &Ui, name: &str, unit: &str) -> f32 {
    let width =
        |text: &str, font| Lettering::new(text, font, Color32::PLACEHOLDER).width(ui.painter());
    let name = width(name, theme::bold(text_size::UNIT));
    let unit = width(unit, theme::regular(text_size::UNIT_CLOSE));
    name.max(unit) + 15.0
}

// Columns are a few hundred points wide.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "held between 0 and 1000"
)]
fn points(width: f32) -> u16 {
    width.clamp(0.0, 1000.0).ceil() as u16
}

/// A name that is no wider than a head may be.
fn elided(ui: &Ui, name: &str) -> String {
    let width = |text: &str| {
        Lettering::new(text, theme::bold(text_size::UNIT), Color32::PLACEHOLDER).width(ui.painter())
    };
    if width(name) <= WIDEST_NAME {
        return name.to_owned();
    }
    let mut kept = String::new();
    for sign in name.chars() {
        let longer = format!("{kept}{sign}");
        if width(&longer) > WIDEST_NAME - 10.0 {
            break;
        }
        kept = longer;
    }
    format!("{}…", kept.trim_end())
}

fn lower(label: &str) -> String {
    crate::campaign::sentence_case::in_sentence(label)
}

/// First words of names where no two are alike; otherwise the names themselves.
pub(super) fn short_names(names: &[String]) -> Vec<String> {
    let first = |name: &String| {
        name.split_whitespace()
            .next()
            .unwrap_or_default()
            .to_owned()
    };
    names
        .iter()
        .map(|name| {
            let short = first(name);
            let n_alike = names.iter().filter(|other| first(other) == short).count();
            if n_alike == 1 { short } else { name.clone() }
        })
        .collect()
}
