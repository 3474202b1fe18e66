//! The kind of question, and three proposals side by side in words.

use egui::{
    Align, CursorIcon, FontId, Rect, Sense, Stroke, Ui, WidgetInfo, accesskit::Role, pos2, vec2,
};

use crate::app::background::Available;
use crate::campaign::answers::plain;
use crate::campaign::plan_options::is_plan_of;
use crate::campaign::planning::PlanRequest;
use crate::campaign::project::{Project, Question};
use crate::campaign::proposals::{Proposal, short_words};
use crate::campaign::roll::hours_words;
use crate::theme::{self, Palette, text_size};
use crate::widgets::button::focus_ring;
use crate::widgets::choice::radio_rows;
use crate::widgets::heading::{body_text, quiet_text, section_head};
use crate::widgets::lettering::Lettering;

const QUESTIONS: [(Question, &str); 4] = [
    (Question::WhichMatter, "Which settings matter"),
    (Question::MapTheResponse, "Map the response"),
    (Question::UnknownWindow, "Unknown window"),
    (Question::FindTheBest, "Find the best"),
];
/// Width of the names of the rows.
const NAMES: f32 = 50.0;
/// Gap between columns.
const GAP: f32 = 10.0;
/// Pitch of rows of one line.
const PITCH: f32 = 18.0;
/// Height of the titles.
const TITLE: f32 = 28.0;
/// Inset of the words in their column.
const INSET: f32 = 6.0;

/// Draws the choice of the question; returns another one that was picked.
pub(super) fn question_ui(ui: &mut Ui, question: Question) -> Option<Question> {
    section_head(ui, "What kind of question", "");
    let words: Vec<&str> = QUESTIONS.iter().map(|(_, words)| *words).collect();
    let chosen = QUESTIONS.iter().position(|(known, _)| *known == question);
    let (picked, _) = QUESTIONS.get(radio_rows(ui, &words, chosen)?)?;
    Some(*picked)
}

/// Draws the proposals; returns the one that was taken.
pub(super) fn ui(
    ui: &mut Ui,
    project: &Project,
    offered: Available<'_, Vec<Proposal>>,
    has_full_words: bool,
) -> Option<PlanRequest> {
    let is_old = matches!(offered, Available::Stale(_));
    let right = if is_old {
        "being worked out anew"
    } else {
        "press one to take it"
    };
    if project.varied().next().is_none() {
        section_head(ui, "Proposals", "");
        body_text(
            ui,
            "Vary two settings first. Speed and wet thickness are a good start.",
        );
        return None;
    }
    let Some(proposals) = offered.any() else {
        section_head(ui, "Proposals", "");
        quiet_text(ui, "The proposals are being worked out.");
        return None;
    };
    let word = match proposals.len() {
        0 | 1 => "Proposals",
        2 => "Two proposals",
        _ => "Three proposals",
    };
    section_head(ui, word, right);
    if proposals.is_empty() {
        body_text(
            ui,
            "No kind of plan for this question fits these settings; the expert fold has all of them.",
        );
        return None;
    }
    let table = Table::new(ui, project, proposals, has_full_words);
    let pressed = table.show(ui)?;
    proposals
        .get(pressed)
        .map(|proposal| proposal.request.clone())
}

/// One cell: words, and whether they are over what there is.
struct Cell {
    words: String,
    is_over: bool,
}

struct Row {
    name: &'static str,
    cells: Vec<Cell>,
    height: f32,
}

/// The proposals as a table in words.
struct Table {
    titles: Vec<String>,
    chosen: Option<usize>,
    rows: Vec<Row>,
    column: f32,
}

impl Table {
    fn new(ui: &Ui, project: &Project, proposals: &[Proposal], has_full_words: bool) -> Self {
        let n = proposals.len() as f32;
        let column = ((ui.available_width() - NAMES - GAP * (n - 1.0)) / n).min(220.0);
        let mut rows = facts(proposals);
        let all = |words: &str| {
            if has_full_words {
                words.to_owned()
            } else {
                short_words(words)
            }
        };
        for (name, of) in [
            (
                "tells",
                (|proposal: &Proposal| proposal.tells.clone()) as fn(&Proposal) -> String,
            ),
            ("cannot", |proposal| proposal.cannot.clone()),
        ] {
            let cells = proposals
                .iter()
                .map(|proposal| Cell {
                    words: all(&of(proposal)),
                    is_over: false,
                })
                .collect();
            rows.push(Row {
                name,
                cells,
                height: 0.0,
            });
        }
        for row in &mut rows {
            let height = |cell: &Cell| {
                lettering(ui, cell).wrapped_height(ui.painter(), column - 2.0 * INSET)
            };
            row.height = row.cells.iter().map(height).fold(PITCH, f32::max) + 1.0;
        }
        Self {
            titles: proposals
                .iter()
                .map(|proposal| proposal.title.clone())
                .collect(),
            chosen: proposals
                .iter()
                .position(|proposal| is_plan_of(project, &proposal.request)),
            rows,
            column,
        }
    }

    fn show(&self, ui: &mut Ui) -> Option<usize> {
        let height = TITLE + self.rows.iter().map(|row| row.height).sum::<f32>() + 4.0;
        let (whole, _) = ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::hover());
        let columns: Vec<Rect> = (0..self.titles.len())
            .map(|index| {
                let left = whole.left() + NAMES + index as f32 * (self.column + GAP);
                Rect::from_min_size(pos2(left, whole.top()), vec2(self.column, height))
            })
            .collect();
        let mut pressed = None;
        for (index, (title, rect)) in self.titles.iter().zip(&columns).enumerate() {
            if self.title_ui(ui, *rect, index, title) {
                pressed = Some(index);
            }
        }
        let mut top = whole.top() + TITLE;
        for row in &self.rows {
            self.row_ui(ui, row, whole.left(), top, &columns);
            top += row.height;
        }
        pressed
    }

    /// The ground of a column with its title; true if it was pressed.
    fn title_ui(&self, ui: &Ui, rect: Rect, index: usize, title: &str) -> bool {
        let palette = Palette::of(ui);
        let is_chosen = self.chosen == Some(index);
        let response = ui.interact(
            rect,
            ui.scope_id().with(("proposal", index)),
            Sense::click(),
        );
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_chosen, title));
        let painter = ui.painter();
        if is_chosen || response.hovered() {
            painter.rect_filled(rect, 0, palette.selected);
        }
        let bar = if is_chosen {
            palette.accent
        } else {
            palette.line
        };
        painter.hline(rect.x_range(), rect.top() + 1.5, Stroke::new(3.0, bar));
        let base = rect.top() + 20.0;
        let at = pos2(rect.left() + INSET, base);
        let drawn = Lettering::new(title, theme::bold(text_size::BODY), palette.accent).write(
            painter,
            at,
            Align::LEFT,
        );
        if is_chosen {
            Lettering::new("chosen", theme::regular(text_size::UNIT), palette.ink2).write_within(
                painter,
                pos2(drawn.right() + 8.0, base),
                Align::LEFT,
                rect.right() - drawn.right() - 10.0,
            );
        } else {
            painter.hline(
                drawn.x_range(),
                base + 3.0,
                Stroke::new(0.7, palette.accent),
            );
        }
        focus_ring(ui, rect, &response);
        response.on_hover_cursor(CursorIcon::PointingHand).clicked()
    }

    fn row_ui(&self, ui: &Ui, row: &Row, left: f32, top: f32, columns: &[Rect]) {
        let painter = ui.painter();
        let base = top + 13.5;
        let quiet = Lettering::new(row.name, cell_font(), Palette::of(ui).ink2);
        quiet.write(painter, pos2(left, base), Align::LEFT);
        for (index, (cell, column)) in row.cells.iter().zip(columns).enumerate() {
            let at = pos2(column.left() + INSET, base);
            lettering(ui, cell).write_wrapped(painter, at, column.width() - 2.0 * INSET);
            let rect =
                Rect::from_min_size(pos2(column.left(), top), vec2(column.width(), row.height));
            let id = ui.scope_id().with(("proposal cell", row.name, index));
            let title = self.titles.get(index).map_or("", String::as_str);
            let words = format!("{}, {}: {}", title.to_lowercase(), row.name, cell.words);
            ui.interact(rect, id, Sense::empty())
                .widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
        }
    }
}

fn cell_font() -> FontId {
    theme::regular(text_size::UNIT)
}

fn lettering(ui: &Ui, cell: &Cell) -> Lettering {
    let palette = Palette::of(ui);
    if cell.is_over {
        Lettering::new(&cell.words, theme::bold(text_size::UNIT), palette.amber)
    } else {
        Lettering::new(&cell.words, cell_font(), palette.ink)
    }
}

/// Runs, ink, foil, time, stops and what cannot run, one line each.
fn facts(proposals: &[Proposal]) -> Vec<Row> {
    let row = |name: &'static str, cell: &dyn Fn(&Proposal) -> Cell| Row {
        name,
        cells: proposals.iter().map(cell).collect(),
        height: PITCH,
    };
    let amount = |proposal: &Proposal, name: &str, words: String| {
        let is_over = proposal
            .shortfalls
            .iter()
            .any(|short| short.starts_with(name));
        Cell {
            words: if is_over {
                format!("{words}, too much")
            } else {
                words
            },
            is_over,
        }
    };
    let known = |value: Option<f64>, words: &dyn Fn(f64) -> String| {
        value.map_or_else(|| "not known".to_owned(), words)
    };
    let mut rows = vec![
        row("runs", &|proposal| Cell {
            words: if proposal.n_set_ups > 1 {
                format!("{} in {} set-ups", proposal.n_runs, proposal.n_set_ups)
            } else {
                proposal.n_runs.to_string()
            },
            is_over: false,
        }),
        row("ink", &|proposal| {
            let ink = known(proposal.totals.ink_ml, &|ink| format!("{} mL", plain(ink)));
            amount(proposal, "ink", ink)
        }),
        row("foil", &|proposal| {
            amount(
                proposal,
                "foil",
                format!("{} m", plain(proposal.totals.foil_m)),
            )
        }),
        row("time", &|proposal| {
            amount(proposal, "time", known(proposal.totals.hours, &hours_words))
        }),
    ];
    if proposals.iter().any(|proposal| proposal.n_infeasible > 0) {
        rows.push(row("limits", &|proposal| Cell {
            words: match proposal.n_infeasible {
                0 => "all can run".to_owned(),
                n => format!("{n} cannot run"),
            },
            is_over: proposal.n_infeasible > 0,
        }));
    }
    rows
}
