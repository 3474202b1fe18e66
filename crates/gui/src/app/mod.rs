//! The window: one project at a time, six screens, the spine above them and the messages below.
//!
//! `ui` draws and collects requests; `logic` applies them, follows the project with what is derived from it and takes
//! in what background work has brought. Screens never change the project themselves.

pub mod action;
pub mod background;
pub mod command_list;
pub mod derived;
pub mod file_picker;
pub mod open_and_save;
pub mod preferences;
pub mod spine_view;
pub mod start;
pub mod view;
pub mod window;

use std::path::PathBuf;
use std::sync::Arc;

use egui::Ui;

use crate::campaign::clock::now_utc;
use crate::campaign::command::Command;
use crate::campaign::journal::Recovered;
use crate::campaign::project::Settings;
use crate::campaign::report::ReportParts;
use crate::campaign::roll::Roll;
use crate::campaign::session::Session;
use crate::screens::Screens;
use crate::theme;
use crate::widgets::message_list::{MessageView, MessageWeight};

use action::{Action, Screen};
use derived::Derived;
use file_picker::{DesktopPicker, FilePicker};
use open_and_save::FileWork;
use preferences::{Preferences, ProgramFolders};
use view::{Request, Selection, View};

pub use window::run;

/// How many messages are kept.
const MESSAGES: usize = 200;

/// The program's window.
pub struct App {
    session: Option<Session>,
    screen: Screen,
    screens: Screens,
    derived: Derived,
    selection: Selection,
    requests: Vec<Request>,
    messages: Vec<MessageView>,
    is_message_list_open: bool,
    command_list: command_list::CommandList,
    start: start::StartPage,
    files: FileWork,
    picker: Box<dyn FilePicker>,
    preferences: Preferences,
    folders: Option<ProgramFolders>,
    clock: Arc<dyn Fn() -> String>,
    wants_to_quit: bool,
    report_parts: ReportParts,
}

impl std::fmt::Debug for App {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("App")
            .field("screen", &self.screen)
            .field("session", &self.session)
            .finish_non_exhaustive()
    }
}

/// What the window is started with.
pub struct Setting {
    /// File to open.
    pub file: Option<PathBuf>,
    /// Folders for preferences and journals; `None` keeps nothing (tests).
    pub folders: Option<ProgramFolders>,
    /// How files are asked for.
    pub picker: Box<dyn FilePicker>,
    /// The time of day (UTC, RFC 3339).
    pub clock: Arc<dyn Fn() -> String>,
    /// Edits of earlier runs of the program that were not saved.
    pub left_behind: Vec<Recovered>,
}

impl std::fmt::Debug for Setting {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Setting")
            .field("file", &self.file)
            .finish_non_exhaustive()
    }
}

impl Default for Setting {
    fn default() -> Self {
        Self {
            file: None,
            folders: None,
            picker: Box::new(DesktopPicker::default()),
            clock: Arc::new(now_utc),
            left_behind: Vec::new(),
        }
    }
}

impl App {
    /// Makes the window's contents and installs faces and colors.
    pub fn new(ctx: &egui::Context, setting: Setting) -> Self {
        theme::install(ctx);
        let preferences = setting
            .folders
            .as_ref()
            .map(|folders| Preferences::load(&folders.config))
            .unwrap_or_default();
        preferences.theme.apply(ctx);
        let mut app = Self {
            session: None,
            screen: Screen::Line,
            screens: Screens::default(),
            derived: Derived::default(),
            selection: Selection::default(),
            requests: Vec::new(),
            messages: Vec::new(),
            is_message_list_open: false,
            command_list: command_list::CommandList::default(),
            start: start::StartPage::new(setting.left_behind),
            files: FileWork::default(),
            picker: setting.picker,
            preferences,
            folders: setting.folders,
            clock: setting.clock,
            wants_to_quit: false,
            report_parts: ReportParts::all(),
        };
        if let Some(file) = setting.file {
            app.open_file(&file);
        }
        app
    }

    /// The open project with its file and undo stack.
    pub const fn session(&self) -> Option<&Session> {
        self.session.as_ref()
    }

    /// The screen that is shown.
    pub const fn screen(&self) -> Screen {
        self.screen
    }

    /// Messages, newest first.
    pub fn messages(&self) -> &[MessageView] {
        &self.messages
    }

    /// What follows from the project.
    pub const fn derived(&self) -> &Derived {
        &self.derived
    }

    fn say(&mut self, weight: MessageWeight, what: impl Into<String>, todo: impl Into<String>) {
        let message = MessageView {
            weight,
            place: String::new(),
            what: what.into(),
            todo: todo.into(),
            can_jump: false,
        };
        self.push_message(message);
    }

    fn push_message(&mut self, message: MessageView) {
        if self.messages.first() != Some(&message) {
            self.messages.insert(0, message);
            self.messages.truncate(MESSAGES);
        }
    }

    /// Settings that the spine shows: the dragged cross, the selected run, or the cross.
    fn shown_settings(&self) -> Settings {
        let Some(session) = &self.session else {
            return Settings::new();
        };
        let project = session.project();
        if let Some(dragged) = &self.selection.dragged {
            let mut settings = project.cross();
            settings.extend(
                dragged
                    .iter()
                    .map(|(id, value)| (id.clone(), value.clone())),
            );
            return settings;
        }
        match self.selection.run.and_then(|number| project.run(number)) {
            Some(run) => project.settings_of(run),
            None => project.cross(),
        }
    }

    fn edit(&mut self, command: &Command) {
        let Some(session) = &mut self.session else {
            return;
        };
        if let Err(refusal) = session.apply(command) {
            let label = command.label();
            self.say(
                MessageWeight::Refusal,
                format!("{label}: {refusal}"),
                "Nothing was changed.",
            );
        }
    }

    fn apply_request(&mut self, request: Request, ctx: &egui::Context) {
        match request {
            Request::Edit(command) => self.edit(&command),
            Request::Act(action) => self.act(action, ctx),
            Request::GoTo(screen) => self.screen = screen,
            Request::SelectRun(run) => self.selection.run = run,
            Request::SelectStation(station) => self.selection.station = station,
            Request::DragCross(settings) => {
                self.selection.run = None;
                self.selection.dragged = settings;
            }
            Request::DropCross(command) => {
                self.selection.dragged = None;
                self.edit(&command);
            }
            Request::SaveCard(card) => self.ask_save_card(card, ctx),
            Request::OpenCard => self.ask_open_card(ctx),
            Request::ChooseReportParts(parts) => self.report_parts = parts,
            Request::Say(message) => self.push_message(message),
        }
    }

    /// Does something that menus, keys and the list of commands can do.
    pub fn act(&mut self, action: Action, ctx: &egui::Context) {
        match action {
            Action::NewFilm => self.leave_project(open_and_save::After::StartPage, ctx),
            Action::Open => self.leave_project(open_and_save::After::Open, ctx),
            Action::Save => self.save(ctx),
            Action::SaveAs => self.ask_save_as(ctx),
            Action::Undo => self.step_back(),
            Action::Redo => self.step_forward(),
            Action::GoTo(screen) => self.screen = screen,
            Action::Find => self.command_list.open(),
            Action::SwitchTheme => self.switch_theme(ctx),
            Action::Help => self.screens.toggle_help(),
            Action::StopWork => self.derived.stop_work(),
            Action::PrintRunSheet => self.ask_run_sheet(ctx),
            Action::WriteReport => self.ask_report(ctx),
            Action::Quit => self.leave_project(open_and_save::After::Quit, ctx),
        }
    }

    fn step_back(&mut self) {
        if let Some(Err(refusal)) = self.session.as_mut().map(Session::undo) {
            self.say(
                MessageWeight::Refusal,
                refusal.to_string(),
                "The step was dropped.",
            );
        }
    }

    fn step_forward(&mut self) {
        if let Some(Err(refusal)) = self.session.as_mut().map(Session::redo) {
            self.say(
                MessageWeight::Refusal,
                refusal.to_string(),
                "The step was dropped.",
            );
        }
    }

    fn switch_theme(&mut self, ctx: &egui::Context) {
        let is_dark = ctx.theme() == egui::Theme::Dark;
        self.preferences.theme = if is_dark {
            theme::ThemeChoice::Light
        } else {
            theme::ThemeChoice::Dark
        };
        self.preferences.theme.apply(ctx);
        self.keep_preferences();
    }

    fn keep_preferences(&self) {
        if let Some(folders) = &self.folders {
            self.preferences.store(&folders.config);
        }
    }

    /// Applies what was asked for while drawing and takes in what has arrived.
    pub fn update(&mut self, ctx: &egui::Context) {
        self.poll_files(ctx);
        for request in std::mem::take(&mut self.requests) {
            self.apply_request(request, ctx);
        }
        if let Some(session) = &self.session {
            for problem in session.journal_problems() {
                self.messages.insert(
                    0,
                    MessageView {
                        weight: MessageWeight::Warning,
                        what: problem.to_string(),
                        todo: "Save now; edits since the last save may not survive a crash."
                            .to_owned(),
                        ..MessageView::default()
                    },
                );
            }
            let number_is_gone = self
                .selection
                .run
                .is_some_and(|run| session.project().run(run).is_none());
            if number_is_gone {
                self.selection.run = None;
            }
            let project = session.project();
            self.derived.follow(project, session.revision(), ctx);
        }
    }

    /// Draws one frame.
    pub fn draw(&mut self, ui: &mut Ui) {
        self.take_keys(ui.ctx());
        if self.session.is_some() {
            self.draw_project(ui);
        } else {
            self.draw_start(ui);
        }
        let ctx = ui.ctx().clone();
        if let Some(action) = self.command_list.show(&ctx) {
            self.requests.push(Request::Act(action));
        }
        self.draw_file_dialogs(&ctx);
        if !self.requests.is_empty() {
            ctx.request_repaint();
        }
    }

    /// Keys that work everywhere, taken before the widgets see them; those with more modifiers first.
    fn take_keys(&mut self, ctx: &egui::Context) {
        let typing = ctx.text_edit_focused();
        let mut actions: Vec<Action> = Action::ALL.to_vec();
        actions.sort_by_key(|action| {
            std::cmp::Reverse(action.shortcut().is_some_and(|key| key.modifiers.shift))
        });
        for action in actions {
            let Some(shortcut) = action.shortcut() else {
                continue;
            };
            if typing && action.yields_to_text() {
                continue;
            }
            if ctx.input_mut(|input| input.consume_shortcut(&shortcut)) {
                self.requests.push(Request::Act(action));
            }
        }
    }

    fn draw_project(&mut self, ui: &mut Ui) {
        let shown = self.shown_settings();
        let Some(session) = &self.session else { return };
        let project = session.project();
        let judged = self.derived.judge(project, &shown).clone();
        let mut requests = window::frame_of_window(
            ui,
            &window::FrameParts {
                session,
                judged: &judged,
                shown: &shown,
                selection: &self.selection,
                screen: self.screen,
                roll: self.derived.roll().map(|roll: &Roll| roll.totals.foil_m),
                counts: window::counts(project, &self.derived),
                messages: &self.messages,
                work: &self.derived.under_way(),
            },
            &mut self.is_message_list_open,
            |ui| {
                let now = (self.clock)();
                let mut view = View {
                    project,
                    derived: &mut self.derived,
                    selection: &self.selection,
                    shown: &shown,
                    now: &now,
                };
                self.screens.ui(ui, self.screen, &mut view)
            },
        );
        self.requests.append(&mut requests);
    }

    fn draw_start(&mut self, ui: &mut Ui) {
        let choice = self.start.ui(ui, &self.preferences.recent);
        if let Some(choice) = choice {
            self.take_start_choice(choice, ui.ctx());
        }
    }
}

impl eframe::App for App {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.update(ctx);
        if ctx.input(|input| input.viewport().close_requested()) && !self.wants_to_quit {
            ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            self.requests.push(Request::Act(Action::Quit));
            ctx.request_repaint();
        }
        if self.wants_to_quit {
            ctx.send_viewport_cmd(egui::ViewportCommand::Close);
        }
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        self.draw(ui);
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        if let Some(session) = self.session.take() {
            session.close();
        }
    }
}
