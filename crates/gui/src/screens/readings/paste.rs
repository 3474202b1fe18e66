//! A pasted block before it is taken over: every column with where it goes and how it is read, every problem with its
//! cell, and every reading that differs from one that stands.

use egui::{
    Align, Context, Event, Id, Sense, Ui, ViewportCommand, WidgetInfo, accesskit::Role, pos2, vec2,
};

use crate::app::derived::Stamps;
use crate::app::view::{Request, View};
use crate::campaign::paste_preview::{Preview, PreviewColumn};
use crate::campaign::project::Project;
use crate::campaign::reading_entry::{Differing, EntryFault, EntryOptions, MatchedBy, RowsGoTo};
use crate::campaign::table_cell::DecimalSign;
use crate::campaign::table_text::Header;
use crate::theme::{self, Palette, text_size};
use crate::widgets::button::{ButtonLook, link, outlined_button, sized_button, tick_box};
use crate::widgets::choice::{dropdown, radio_rows};
use crate::widgets::heading::{body_text, quiet_text, section_head};
use crate::widgets::lettering::{Lettering, base_line_around};

/// Problems that are listed; the others are counted.
const MOST_LISTED: usize = 12;

/// What there is of a paste.
#[derive(Debug, Default)]
pub(super) enum PasteState {
    /// Nothing.
    #[default]
    Closed,
    /// The next paste is taken.
    Waiting,
    /// A block that is no table, with what is wrong.
    NoTable(Vec<String>),
    /// A block held against the project.
    Open(Box<OpenPaste>),
}

/// A block held against the project.
#[derive(Debug)]
pub(super) struct OpenPaste {
    preview: Preview,
    stamps: Stamps,
    /// Run from which rows count when they go in order.
    from: Option<u32>,
    has_head: bool,
    rows: RowsGoTo,
    differing: Differing,
    message: String,
}

impl PasteState {
    pub(super) const fn is_open(&self) -> bool {
        !matches!(self, Self::Closed)
    }

    /// Asks for the clipboard and waits for what comes.
    pub(super) fn wait(&mut self, ctx: &Context) {
        *self = Self::Waiting;
        ctx.send_viewport_cmd(ViewportCommand::RequestPaste);
    }

    /// Takes a paste out of the input: a block at any time, any text while one is waited for.
    pub(super) fn take_text(&self, ui: &Ui) -> Option<String> {
        if !matches!(self, Self::Waiting) {
            return crate::widgets::editable_grid::take_block_paste(ui);
        }
        ui.input_mut(|input| {
            let at = input
                .events
                .iter()
                .position(|event| matches!(event, Event::Paste(_)))?;
            match input.events.remove(at) {
                Event::Paste(text) => Some(text),
                _ => None,
            }
        })
    }

    /// Holds a block against the project.
    pub(super) fn open(&mut self, text: &str, from: Option<u32>, view: &View<'_>) {
        let options = EntryOptions {
            when: view.now.to_owned(),
            ..EntryOptions::default()
        };
        match Preview::new(text, view.project, options) {
            Err(problems) => {
                *self = Self::NoTable(problems.0.iter().map(ToString::to_string).collect());
            }
            Ok(preview) => {
                let mut open = OpenPaste {
                    has_head: has_head(&preview, view.project),
                    preview,
                    stamps: view.derived.stamps(),
                    from: from.or_else(|| view.project.runs.first().map(|run| run.number)),
                    rows: RowsGoTo::Matched,
                    differing: Differing::Refuse,
                    message: String::new(),
                };
                open.say_rows(view.project);
                *self = Self::Open(Box::new(open));
            }
        }
    }

    /// Draws the preview.
    pub(super) fn ui(&mut self, ui: &mut Ui, view: &View<'_>, requests: &mut Vec<Request>) {
        let is_done = match self {
            Self::Closed => false,
            Self::Waiting => waiting_ui(ui),
            Self::NoTable(problems) => no_table_ui(ui, problems),
            Self::Open(open) => open.ui(ui, view, requests),
        };
        if is_done {
            *self = Self::Closed;
        }
    }
}

/// A block without heads has columns that are only counted.
fn has_head(preview: &Preview, project: &Project) -> bool {
    preview
        .columns(project)
        .first()
        .is_some_and(|column| column.head != "column 1")
}

fn waiting_ui(ui: &mut Ui) -> bool {
    section_head(ui, "Paste readings", "");
    body_text(
        ui,
        "Copy a block in your table program, then press Ctrl+V here.",
    );
    quiet_text(
        ui,
        "Its first row names the columns: run, then film qualities by their names, units in brackets, for example T (%). \
         Nothing is taken over before you have seen it.",
    );
    link(ui, "Drop").clicked()
}

fn no_table_ui(ui: &mut Ui, problems: &[String]) -> bool {
    section_head(ui, "Paste", "no table");
    for problem in problems.iter().take(MOST_LISTED) {
        amber_text(ui, problem);
    }
    link(ui, "Drop").clicked()
}

impl OpenPaste {
    /// Without a column that names the run, rows are taken in order, which the preview says openly.
    fn say_rows(&mut self, project: &Project) {
        let is_unknown = self
            .preview
            .problems()
            .iter()
            .any(|problem| matches!(problem.fault, EntryFault::NoRunColumn { .. }));
        if is_unknown && let Some(from) = self.from {
            self.rows = RowsGoTo::InOrderFrom(from);
            self.preview.set_rows(self.rows, project);
        }
    }

    fn ui(&mut self, ui: &mut Ui, view: &View<'_>, requests: &mut Vec<Request>) -> bool {
        if self.stamps != view.derived.stamps() {
            self.stamps = view.derived.stamps();
            self.preview.update(view.project);
        }
        let columns = self.preview.columns(view.project);
        let size = format!(
            "Paste: {} rows, {} columns",
            self.preview.n_rows(),
            columns.len()
        );
        section_head(ui, &size, "not yet taken over");
        for (at, column) in columns.iter().enumerate() {
            self.column_ui(ui, view.project, at, column);
        }
        self.rows_ui(ui, view.project);
        for note in &self.preview.summary().notes {
            quiet_text(ui, note);
        }
        self.differing_ui(ui, view.project);
        self.problems_ui(ui);
        self.take_over_ui(ui, view, requests)
    }

    /// One column: its head, where it goes, and how its first cells are read.
    fn column_ui(&mut self, ui: &mut Ui, project: &Project, at: usize, column: &PreviewColumn) {
        let choices = Preview::choices(project);
        let mut words: Vec<String> = choices.iter().map(|target| target.label(project)).collect();
        let mut chosen = choices.iter().position(|target| *target == column.target);
        if chosen.is_none() {
            chosen = Some(words.len());
            words.push(column.target.label(project));
        }
        let name = format!("{} goes to", column.head);
        let picked = ui
            .horizontal(|ui| {
                head_ui(ui, &column.head);
                let width = (ui.available_width() - 4.0).clamp(120.0, 230.0);
                let id = Id::unique(("pasted column", at));
                dropdown(ui, id, &name, &words, (chosen, width))
            })
            .inner;
        if let Some(target) = picked.and_then(|picked| choices.get(picked)) {
            let target = target.clone();
            let result = self.preview.retarget(at, target, project);
            self.say(result.err());
        }
        quiet_text(ui, &read_words(column));
        if let Some(sign) = column.sign {
            let (other, words) = match sign {
                DecimalSign::Comma => (DecimalSign::Point, "Read the comma otherwise"),
                DecimalSign::Point => (DecimalSign::Comma, "Read the point otherwise"),
            };
            if link(ui, words).clicked() {
                let result = self.preview.set_sign(at, other, project);
                self.say(result.err());
            }
        }
        ui.add_space(4.0);
    }

    fn say(&mut self, refusal: Option<impl ToString>) {
        self.message = refusal.map_or_else(String::new, |refusal| refusal.to_string());
    }

    fn rows_ui(&mut self, ui: &mut Ui, project: &Project) {
        let mut has_head = self.has_head;
        if tick_box(ui, &mut has_head, "The first row names the columns").clicked() {
            let header = if has_head {
                Header::FirstRow
            } else {
                Header::None
            };
            match self.preview.set_header(header, project) {
                Ok(()) => {
                    self.has_head = has_head;
                    self.message.clear();
                }
                Err(problems) => {
                    self.message = problems
                        .0
                        .first()
                        .map_or_else(String::new, ToString::to_string);
                }
            }
        }
        let Some(from) = self.from else { return };
        let in_order = format!("Rows are runs in their order from run {from} on");
        let words = [
            "Rows belong to runs by number or settings",
            in_order.as_str(),
        ];
        let chosen = usize::from(self.rows != RowsGoTo::Matched);
        if let Some(picked) = radio_rows(ui, &words, Some(chosen)) {
            self.rows = if picked == 0 {
                RowsGoTo::Matched
            } else {
                RowsGoTo::InOrderFrom(from)
            };
            self.preview.set_rows(self.rows, project);
        }
    }

    /// What stands and what was pasted, side by side, before anything is replaced.
    fn differing_ui(&mut self, ui: &mut Ui, project: &Project) {
        let mut strict = self.preview.clone();
        if self.differing == Differing::Replace {
            strict.set_differing(Differing::Refuse, project);
        }
        let lines: Vec<(String, String, String)> = strict
            .problems()
            .iter()
            .filter_map(|problem| match &problem.fault {
                EntryFault::Differs { run, old, new } => {
                    let head = problem
                        .place
                        .column
                        .as_ref()
                        .map_or("", |c| c.head.as_str());
                    Some((format!("run {run}, {head}"), old.clone(), new.clone()))
                }
                _ => None,
            })
            .collect();
        if lines.is_empty() {
            return;
        }
        ui.add_space(4.0);
        three_ui(ui, ("differs", "stands", "pasted"), true);
        for (what, old, new) in lines.iter().take(MOST_LISTED) {
            three_ui(ui, (what, old, new), false);
        }
        if lines.len() > MOST_LISTED {
            quiet_text(ui, &format!("and {} more", lines.len() - MOST_LISTED));
        }
        let mut is_replaced = self.differing == Differing::Replace;
        let words = format!("Replace {} by what was pasted", count(lines.len(), "value"));
        if tick_box(ui, &mut is_replaced, &words).clicked() {
            self.differing = if is_replaced {
                Differing::Replace
            } else {
                Differing::Refuse
            };
            self.preview.set_differing(self.differing, project);
        }
        quiet_text(ui, "A reading that is replaced stays in its history.");
    }

    fn problems_ui(&self, ui: &mut Ui) {
        if !self.message.is_empty() {
            amber_text(ui, &self.message);
        }
        let others: Vec<String> = self
            .preview
            .problems()
            .iter()
            .filter(|problem| !matches!(problem.fault, EntryFault::Differs { .. }))
            .map(ToString::to_string)
            .collect();
        for problem in others.iter().take(MOST_LISTED) {
            amber_text(ui, problem);
        }
        if others.len() > MOST_LISTED {
            amber_text(ui, &format!("and {} more", others.len() - MOST_LISTED));
        }
    }

    /// The two ways out; true if the preview is done.
    fn take_over_ui(&mut self, ui: &mut Ui, view: &View<'_>, requests: &mut Vec<Request>) -> bool {
        ui.add_space(6.0);
        let n_problems = self.preview.problems().len();
        let mut is_done = false;
        ui.horizontal(|ui| {
            if n_problems == 0 {
                if outlined_button(ui, &self.take_over_words()).clicked() {
                    match self.preview.to_command(view.project, view.now) {
                        Ok(entry) => {
                            requests.extend(entry.command.map(Request::Edit));
                            is_done = true;
                        }
                        Err(problems) => self.message = problems.to_string(),
                    }
                }
            } else {
                let words = format!("{} to settle", count(n_problems, "cell"));
                ui.add_enabled_ui(false, |ui| {
                    sized_button(
                        ui,
                        &words,
                        ButtonLook::Outlined,
                        vec2(170.0, 34.0),
                        text_size::BUTTON,
                    )
                });
            }
            ui.add_space(10.0);
            is_done |= link(ui, "Drop").clicked();
        });
        is_done
    }

    fn take_over_words(&self) -> String {
        let summary = self.preview.summary();
        let n_readings = self.preview.n_readings();
        let others = [summary.outcomes, summary.as_run, summary.remarks];
        let n_others: usize = others
            .iter()
            .map(|tally| tally.n_new + tally.n_replaced)
            .sum();
        match (n_readings, n_others) {
            (0, 0) => "Nothing new: close".to_owned(),
            (n, 0) => format!("Take over {}", count(n, "reading")),
            (0, m) => format!("Take over {}", count(m, "entry")),
            (n, m) => format!(
                "Take over {} and {}",
                count(n, "reading"),
                count(m, "entry")
            ),
        }
    }
}

fn count(n: usize, what: &str) -> String {
    match (n, what) {
        (1, _) => format!("1 {what}"),
        (n, "entry") => format!("{n} entries"),
        (n, what) => format!("{n} {what}s"),
    }
}

/// How a column is read: by what it was matched, in which unit, with which decimal sign, and its first cells.
fn read_words(column: &PreviewColumn) -> String {
    let by = match column.by {
        MatchedBy::Nothing => "no such name: left out",
        MatchedBy::Name => "by its name",
        MatchedBy::Abbreviation => "by the beginning of its name: look at it",
        MatchedBy::Hand => "chosen by you",
    };
    let mut words = vec![by.to_owned()];
    if !column.unit.is_empty() {
        words.push(column.unit.clone());
    }
    words.extend(column.sign.map(|sign| sign.label().to_owned()));
    let first = column.first.iter().find(|cell| !cell.pasted.is_empty());
    words.extend(first.map(|cell| match &cell.read_as {
        Some(read) => format!("first cell \"{}\" is read as {read}", cell.pasted),
        None => format!("first cell \"{}\" is not read", cell.pasted),
    }));
    words.join(", ")
}

fn head_ui(ui: &mut Ui, head: &str) {
    let (rect, response) = ui.allocate_exact_size(vec2(110.0, 25.0), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, head));
    let text = Lettering::new(head, theme::bold(text_size::CELL), Palette::of(ui).ink);
    let at = pos2(
        rect.left(),
        base_line_around(rect.center().y, text_size::CELL),
    );
    text.write_within(ui.painter(), at, Align::LEFT, 106.0);
}

/// A row of the side-by-side list.
fn three_ui(ui: &mut Ui, words: (&str, &str, &str), is_head: bool) {
    let width = ui.available_width();
    let (rect, response) = ui.allocate_exact_size(vec2(width, 18.0), Sense::hover());
    let line = format!("{}: {} stands, {} pasted", words.0, words.1, words.2);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &line));
    let palette = Palette::of(ui);
    let (font, color) = if is_head {
        (theme::regular(text_size::UNIT), palette.ink2)
    } else {
        (theme::regular(text_size::CELL), palette.ink)
    };
    let base = base_line_around(rect.center().y, text_size::CELL);
    let places = [
        (words.0, rect.left(), Align::LEFT, width - 150.0),
        (words.1, rect.right() - 76.0, Align::RIGHT, 70.0),
        (words.2, rect.right() - 2.0, Align::RIGHT, 70.0),
    ];
    for (text, x, align, room) in places {
        let text = Lettering::new(text, font.clone(), color);
        text.write_within(ui.painter(), pos2(x, base), align, room);
    }
}

fn amber_text(ui: &mut Ui, words: &str) {
    let text = Lettering::new(
        words,
        theme::regular(text_size::CELL),
        Palette::of(ui).amber,
    );
    let width = ui.available_width();
    let height = text.wrapped_height(ui.painter(), width);
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words));
    text.write_wrapped(ui.painter(), pos2(rect.left(), rect.top() + 13.4), width);
}
