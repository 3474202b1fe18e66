//! Opening, saving, leaving a project, writing the run sheet and the report; asking for file names.

use std::path::{Path, PathBuf};

use egui::{Align2, Context, Id, Key, Modal, vec2};

use super::App;
use super::file_picker::{FileAnswer, FileQuestion};
use super::start::StartChoice;
use crate::campaign::card_file::{self, SharedCard};
use crate::campaign::command::CardRef;
use crate::campaign::documents;
use crate::campaign::journal::Recovered;
use crate::campaign::json_file::{FileError, write_atomically};
use crate::campaign::session::Session;
use crate::widgets::button::{outlined_button, primary_button};
use crate::widgets::message_list::MessageWeight;

/// What comes after leaving a project.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum After {
    /// The start page.
    StartPage,
    /// The question for a file to open.
    Open,
    /// The end.
    Quit,
}

/// What a chosen file is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Purpose {
    Open,
    SaveProject(Option<After>),
    RunSheet,
    Report,
    SaveCard(CardRef),
    OpenCard,
}

impl Purpose {
    const fn is_save(self) -> bool {
        !matches!(self, Self::Open | Self::OpenCard)
    }
}

/// A file being asked for, or a question before leaving.
#[derive(Debug, Default)]
pub(super) struct FileWork {
    asked: Option<(Purpose, FileQuestion)>,
    typed: Option<(Purpose, FileQuestion, String)>,
    leaving: Option<After>,
}

impl App {
    /// Opens a project file; on failure the start page or the present project stays, with a message.
    pub fn open_file(&mut self, path: &Path) {
        let journals = self
            .folders
            .as_ref()
            .map(|folders| folders.journals.clone());
        match Session::open(path, journals) {
            Ok(session) => {
                let shown = session
                    .path()
                    .map_or_else(|| path.to_owned(), Path::to_owned);
                self.begin(session);
                self.preferences.remember(&shown);
                self.keep_preferences();
                self.start.mark_recovery_for(&shown);
            }
            Err(error) => self.say(
                MessageWeight::Refusal,
                error.to_string(),
                "Nothing was changed.",
            ),
        }
    }

    /// Shows a project.
    pub(super) fn begin(&mut self, session: Session) {
        if let Some(old) = self.session.replace(session) {
            old.close();
        }
        self.derived = super::Derived::default();
        self.selection = super::Selection::default();
        self.screens = crate::screens::Screens::default();
        self.screen = super::Screen::Line;
    }

    fn recover(&mut self, recovered: Recovered) {
        let journals = self
            .folders
            .as_ref()
            .map(|folders| folders.journals.clone());
        let old_journal = recovered.journal.clone();
        let n_edits = recovered.labels.len();
        self.begin(Session::recover(recovered, journals));
        // The edits live on in the new session's journal, which starts from the recovered state.
        if let Some(session) = &mut self.session {
            session.keep_recovered_in_journal();
        }
        if let Err(error) = std::fs::remove_file(&old_journal) {
            log::debug!("the old journal could not be removed: {error}");
        }
        self.say(
            MessageWeight::Note,
            format!("{n_edits} edits were recovered."),
            "Save to keep them in the file.",
        );
    }

    pub(super) fn take_start_choice(&mut self, choice: StartChoice, ctx: &Context) {
        match choice {
            StartChoice::New(project) => {
                let journals = self
                    .folders
                    .as_ref()
                    .map(|folders| folders.journals.clone());
                self.begin(Session::new(*project, journals));
            }
            StartChoice::OpenDialog => self.ask_for(Purpose::Open, ctx),
            StartChoice::File(path) => self.open_file(&path),
            StartChoice::Recover(recovered) => self.recover(*recovered),
            StartChoice::DropRecovered(recovered) => {
                if let Err(error) = std::fs::remove_file(&recovered.journal) {
                    self.say(
                        MessageWeight::Warning,
                        error.to_string(),
                        "The edits will be offered again.",
                    );
                }
            }
        }
    }

    /// Saves, asking for a name first if there is none.
    pub(super) fn save(&mut self, ctx: &Context) {
        if self
            .session
            .as_ref()
            .is_some_and(|session| session.path().is_none())
        {
            self.ask_save_as(ctx);
            return;
        }
        if let Some(Err(error)) = self.session.as_mut().map(Session::save) {
            self.say(
                MessageWeight::Refusal,
                error.to_string(),
                "The file is as it was; your edits are in the journal.",
            );
        } else {
            self.say(MessageWeight::Note, "Saved.", "");
        }
    }

    pub(super) fn ask_save_as(&mut self, ctx: &Context) {
        self.ask_for(Purpose::SaveProject(None), ctx);
    }

    pub(super) fn ask_run_sheet(&mut self, ctx: &Context) {
        self.ask_for(Purpose::RunSheet, ctx);
    }

    pub(super) fn ask_report(&mut self, ctx: &Context) {
        self.ask_for(Purpose::Report, ctx);
    }

    pub(super) fn ask_save_card(&mut self, card: CardRef, ctx: &Context) {
        self.ask_for(Purpose::SaveCard(card), ctx);
    }

    pub(super) fn ask_open_card(&mut self, ctx: &Context) {
        self.ask_for(Purpose::OpenCard, ctx);
    }

    /// Leaves the project, after a question if there is something unsaved.
    pub(super) fn leave_project(&mut self, after: After, ctx: &Context) {
        match &self.session {
            Some(session) if session.has_unsaved_changes() => self.files.leaving = Some(after),
            Some(_) | None => self.go_on(after, ctx),
        }
    }

    fn go_on(&mut self, after: After, ctx: &Context) {
        match after {
            After::Open => self.ask_for(Purpose::Open, ctx),
            After::StartPage | After::Quit => {
                if let Some(session) = self.session.take() {
                    session.close();
                }
                if after == After::Quit {
                    self.wants_to_quit = true;
                    ctx.request_repaint();
                }
            }
        }
    }

    fn ask_for(&mut self, purpose: Purpose, ctx: &Context) {
        if self.files.asked.is_some() {
            return;
        }
        let question = self.question(purpose);
        self.picker.ask(&question, ctx);
        self.files.asked = Some((purpose, question));
    }

    fn question(&self, purpose: Purpose) -> FileQuestion {
        let title = self
            .session
            .as_ref()
            .map_or("film", |session| session.project().title.as_str());
        let stem = file_stem(title);
        let (title, kind, endings, suggested): (_, _, &'static [&'static str], _) = match purpose {
            Purpose::Open => (
                "Open a project",
                "Wetlane project",
                &["json"],
                String::new(),
            ),
            Purpose::SaveProject(_) => (
                "Save the project",
                "Wetlane project",
                &["json"],
                format!("{stem}.json"),
            ),
            Purpose::RunSheet => (
                "Write the run sheet",
                "run sheet",
                &["html", "csv"],
                format!("{stem}-run-sheet.html"),
            ),
            Purpose::Report => (
                "Write the report",
                "report",
                &["html"],
                format!("{stem}-report.html"),
            ),
            Purpose::SaveCard(card) => (
                "Write the card",
                "Wetlane card",
                &["json"],
                self.card_to_share(card).map_or_else(String::new, |card| {
                    format!("{}-{}.json", card.noun(), file_stem(card.name()))
                }),
            ),
            Purpose::OpenCard => ("Open a card", "Wetlane card", &["json"], String::new()),
        };
        FileQuestion {
            title,
            kind,
            endings,
            is_save: purpose.is_save(),
            suggested,
        }
    }

    /// Takes in the answer to a question for a file.
    pub(super) fn poll_files(&mut self, ctx: &Context) {
        if self.files.asked.is_none() {
            return;
        }
        let Some(answer) = self.picker.poll() else {
            return;
        };
        let Some((purpose, question)) = self.files.asked.take() else {
            return;
        };
        match answer {
            FileAnswer::Chosen(path) => self.use_file(purpose, path, ctx),
            FileAnswer::Cancelled => {}
            FileAnswer::NoService => {
                let offered = question.suggested.clone();
                self.files.typed = Some((purpose, question, offered));
            }
        }
    }

    fn use_file(&mut self, purpose: Purpose, path: PathBuf, ctx: &Context) {
        match purpose {
            Purpose::Open => self.open_file(&path),
            Purpose::SaveProject(after) => self.save_to(path, after, ctx),
            Purpose::RunSheet | Purpose::Report => self.write_document(purpose, &path),
            Purpose::SaveCard(card) => {
                if let Some(card) = self.card_to_share(card) {
                    let result = card_file::save(&card, &path);
                    self.say_written(&path, result);
                }
            }
            Purpose::OpenCard => match card_file::open(&path) {
                Ok(card) => self.edit(&card.command()),
                Err(error) => self.say(
                    MessageWeight::Refusal,
                    error.to_string(),
                    "The cards of the project are as they were.",
                ),
            },
        }
    }

    fn card_to_share(&self, card: CardRef) -> Option<SharedCard> {
        SharedCard::of(self.session.as_ref()?.project(), card)
    }

    fn save_to(&mut self, path: PathBuf, after: Option<After>, ctx: &Context) {
        let path = if path.extension().is_none() {
            path.with_extension("json")
        } else {
            path
        };
        let Some(session) = &mut self.session else {
            return;
        };
        match session.save_as(path) {
            Ok(()) => {
                if let Some(path) = session.path().map(Path::to_owned) {
                    self.preferences.remember(&path);
                    self.keep_preferences();
                }
                self.say(MessageWeight::Note, "Saved.", "");
                if let Some(after) = after {
                    self.go_on(after, ctx);
                }
            }
            Err(error) => self.say(
                MessageWeight::Refusal,
                error.to_string(),
                "Choose another place.",
            ),
        }
    }

    fn write_document(&mut self, purpose: Purpose, path: &Path) {
        let Some(session) = &self.session else { return };
        let project = session.project();
        let is_csv = path
            .extension()
            .is_some_and(|extension| extension.eq_ignore_ascii_case("csv"));
        let text = match purpose {
            Purpose::RunSheet if is_csv => documents::run_sheet_csv(project),
            Purpose::RunSheet => documents::run_sheet_html(project),
            _ => documents::report_html(project, &(self.clock)(), self.report_parts.clone()),
        };
        let result = write_atomically(path, text.as_bytes());
        self.say_written(path, result);
    }

    fn say_written(&mut self, path: &Path, result: Result<(), FileError>) {
        match result {
            Ok(()) => self.say(
                MessageWeight::Note,
                format!("Written: {}", path.display()),
                "",
            ),
            Err(error) => self.say(
                MessageWeight::Refusal,
                error.to_string(),
                "Choose another place.",
            ),
        }
    }

    /// Draws the typed question for a file and the question before leaving, where they are open.
    pub(super) fn draw_file_dialogs(&mut self, ctx: &Context) {
        self.draw_typed_question(ctx);
        self.draw_leaving_question(ctx);
    }

    fn draw_typed_question(&mut self, ctx: &Context) {
        let Some((purpose, question, mut text)) = self.files.typed.take() else {
            return;
        };
        let mut answer = None;
        let mut is_cancelled = false;
        Modal::new(Id::unique("file by name")).show(ctx, |ui| {
            ui.set_width(480.0);
            crate::widgets::heading::sentence(
                ui,
                question.title,
                "No file dialog answers here. Type the file's name with its folder.",
            );
            let field = ui.add(egui::TextEdit::singleline(&mut text).desired_width(f32::INFINITY));
            field.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::TextInput, true, "file name")
            });
            let is_entered = field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
            if !field.has_focus() && !is_entered && ui.memory(|memory| memory.focused().is_none()) {
                field.request_focus();
            }
            ui.add_space(8.0);
            ui.horizontal(|ui| {
                let word = if question.is_save { "Save" } else { "Open" };
                if (primary_button(ui, word).clicked() || is_entered) && !text.trim().is_empty() {
                    answer = Some(PathBuf::from(text.trim()));
                }
                is_cancelled = outlined_button(ui, "Cancel").clicked();
            });
        });
        is_cancelled |= ctx.input(|input| input.key_pressed(Key::Escape));
        match answer {
            Some(path) => self.use_file(purpose, path, ctx),
            None if is_cancelled => {}
            None => self.files.typed = Some((purpose, question, text)),
        }
    }

    fn draw_leaving_question(&mut self, ctx: &Context) {
        let Some(after) = self.files.leaving else {
            return;
        };
        let mut decided = None;
        Modal::new(Id::unique("unsaved changes"))
            .area(egui::Area::new(Id::unique("unsaved changes area")).anchor(Align2::CENTER_CENTER, vec2(0.0, 0.0)))
            .show(ctx, |ui| {
                ui.set_width(460.0);
                crate::widgets::heading::sentence(
                    ui,
                    "There are changes that the file does not hold.",
                    "Saved, they are in the file. Left, they stay in the journal and are offered again at the next start.",
                );
                ui.add_space(8.0);
                ui.horizontal(|ui| {
                    if primary_button(ui, "Save").clicked() {
                        decided = Some(Leaving::Save);
                    }
                    if outlined_button(ui, "Leave without saving").clicked() {
                        decided = Some(Leaving::Leave);
                    }
                    if outlined_button(ui, "Stay").clicked() {
                        decided = Some(Leaving::Stay);
                    }
                });
            });
        if ctx.input(|input| input.key_pressed(Key::Escape)) {
            decided = Some(Leaving::Stay);
        }
        if let Some(decided) = decided {
            self.files.leaving = None;
            self.decide_leaving(decided, after, ctx);
        }
    }

    fn decide_leaving(&mut self, decided: Leaving, after: After, ctx: &Context) {
        match decided {
            Leaving::Stay => {}
            Leaving::Leave => self.go_on(after, ctx),
            Leaving::Save => {
                if self
                    .session
                    .as_ref()
                    .is_some_and(|session| session.path().is_none())
                {
                    self.ask_for(Purpose::SaveProject(Some(after)), ctx);
                } else {
                    self.save(ctx);
                    if self
                        .session
                        .as_ref()
                        .is_some_and(|session| !session.has_unsaved_changes())
                    {
                        self.go_on(after, ctx);
                    }
                }
            }
        }
    }
}

#[derive(Debug, Clone, Copy)]
enum Leaving {
    Save,
    Leave,
    Stay,
}

/// A title as a file name: small letters and digits, everything else a dash.
fn file_stem(title: &str) -> String {
    title
        .to_lowercase()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect()
}
