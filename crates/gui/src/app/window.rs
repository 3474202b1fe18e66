//! The frame around every screen (spine, tape, message line) and the start of the window.

use std::path::PathBuf;

use egui::{Frame, Margin, Panel, Ui};

use crate::campaign::feasibility::{JudgeError, Judgement, count};
use crate::campaign::journal::left_behind;
use crate::campaign::project::{Outcome, Project, Settings};
use crate::campaign::session::Session;
use crate::theme::Palette;
use crate::widgets::message_list::{MessageView, message_line};
use crate::widgets::screen_tape::{TapeItem, screen_tape};
use crate::widgets::spine::{SpineClick, TitleLine, spine};

use super::action::{Action, Screen};
use super::derived::Derived;
use super::preferences::ProgramFolders;
use super::spine_view::{spine_model, stations};
use super::view::{Request, Selection};
use super::{App, Setting};

/// The margin of the window (`theme::measure::WINDOW_MARGIN`) as egui's margins want it.
const MARGIN: i8 = 24;

/// What the frame of the window shows.
pub(super) struct FrameParts<'a> {
    pub session: &'a Session,
    pub judged: &'a Result<Judgement, JudgeError>,
    pub shown: &'a Settings,
    pub selection: &'a Selection,
    pub screen: Screen,
    pub roll: Option<f64>,
    pub counts: Counts,
    pub messages: &'a [MessageView],
    pub work: &'a [(&'static str, f64)],
}

/// Numbers beside the names on the tape.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Counts {
    varied: usize,
    fixed: usize,
    planned: usize,
    cannot: usize,
    sound: usize,
    faulty: usize,
    fitted: usize,
}

/// Counts what the tape tells.
pub(super) fn counts(project: &Project, derived: &Derived) -> Counts {
    let is_sound = |outcome: &Outcome| matches!(outcome, Outcome::Sound);
    let is_faulty = |outcome: &Outcome| matches!(outcome, Outcome::Faulty { .. });
    let varied = project.varied().count();
    Counts {
        varied,
        fixed: project.settings.len() - varied,
        planned: project.runs.len(),
        cannot: derived
            .judged_runs()
            .any()
            .map_or(0, |judged| count(judged).0),
        sound: project
            .runs
            .iter()
            .filter(|run| is_sound(&run.outcome))
            .count(),
        faulty: project
            .runs
            .iter()
            .filter(|run| is_faulty(&run.outcome))
            .count(),
        fitted: derived
            .fits()
            .any()
            .map_or(0, |fits| fits.iter().filter(|(_, fit)| fit.is_ok()).count()),
    }
}

impl Counts {
    fn words(&self, screen: Screen, roll_m: Option<f64>) -> String {
        let planned = self.planned > 0;
        match screen {
            Screen::Line => format!("{} varied, {} fixed", self.varied, self.fixed),
            Screen::Plan if !planned => "no plan yet".to_owned(),
            Screen::Plan if self.cannot > 0 => {
                format!("{} runs, {} cannot run", self.planned, self.cannot)
            }
            Screen::Plan => format!("{} runs", self.planned),
            Screen::Roll => roll_m
                .filter(|_| planned)
                .map_or_else(String::new, |metres| format!("{metres:.1} m")),
            Screen::Readings if self.sound + self.faulty > 0 => {
                format!("{} sound, {} faulty", self.sound, self.faulty)
            }
            Screen::Answers if self.fitted > 0 => format!("{} qualities", self.fitted),
            Screen::Readings | Screen::Answers | Screen::Report => String::new(),
        }
    }
}

/// Draws spine, tape and message line, and the screen between them; returns all that was asked for.
pub(super) fn frame_of_window(
    ui: &mut Ui,
    parts: &FrameParts<'_>,
    is_list_open: &mut bool,
    screen: impl FnOnce(&mut Ui) -> Vec<Request>,
) -> Vec<Request> {
    let mut requests = Vec::new();
    let palette = Palette::of(ui);
    let ground = Frame::new().fill(palette.ground);
    Panel::top("spine")
        .frame(Frame::new().fill(palette.sheet))
        .show_separator_line(false)
        .show(ui, |ui| {
            requests.extend(spine_requests(ui, parts));
        });
    Panel::top("tape")
        .frame(ground)
        .show_separator_line(false)
        .show(ui, |ui| {
            let items: Vec<TapeItem> = Screen::ALL
                .iter()
                .map(|screen| {
                    TapeItem::new(screen.label(), parts.counts.words(*screen, parts.roll))
                })
                .collect();
            let present = Screen::ALL
                .iter()
                .position(|screen| *screen == parts.screen)
                .unwrap_or(0);
            let chosen = screen_tape(ui, &items, present).and_then(|index| Screen::ALL.get(index));
            requests.extend(chosen.map(|screen| Request::GoTo(*screen)));
        });
    Panel::bottom("messages")
        .frame(ground)
        .show_separator_line(false)
        .show(ui, |ui| {
            let work = parts
                .work
                .first()
                .map(|(name, share)| format!("{name}: {:.0} %", 100.0 * share));
            let quiet = parts
                .selection
                .run
                .map(|run| format!("Run {run} selected"))
                .unwrap_or_default();
            message_line(
                ui,
                is_list_open,
                parts.messages,
                (&quiet, &work.unwrap_or_default()),
            );
        });
    let margin = Margin {
        left: MARGIN,
        right: MARGIN,
        top: 8,
        bottom: 4,
    };
    egui::CentralPanel::default()
        .frame(ground.inner_margin(margin))
        .show(ui, |ui| {
            requests.extend(screen(ui));
        });
    requests
}

fn spine_requests(ui: &mut Ui, parts: &FrameParts<'_>) -> Vec<Request> {
    let project = parts.session.project();
    let model = spine_model(project, parts.shown, parts.judged, parts.selection.station);
    let title = TitleLine {
        program: "Wetlane".to_owned(),
        project: project.title.clone(),
        undo: parts.session.undo_label().map(ToOwned::to_owned),
        saved: saved_words(parts.session),
    };
    match spine(ui, &model, &title) {
        Some(SpineClick::Station(index)) => {
            let station = stations(project).get(index).copied();
            let station = station.filter(|station| parts.selection.station != Some(*station));
            vec![Request::SelectStation(station), Request::GoTo(Screen::Line)]
        }
        Some(SpineClick::Project) => vec![Request::Act(Action::NewFilm)],
        Some(SpineClick::Undo) => vec![Request::Act(Action::Undo)],
        Some(SpineClick::Find) => vec![Request::Act(Action::Find)],
        None => Vec::new(),
    }
}

fn saved_words(session: &Session) -> String {
    match (session.path(), session.has_unsaved_changes()) {
        (None, _) => "Not saved yet".to_owned(),
        (Some(_), true) => "Changes not saved".to_owned(),
        (Some(_), false) => "Saved".to_owned(),
    }
}

/// Opens the window and runs it to its end.
///
/// # Errors
/// One sentence with what to do if no window can be opened.
pub fn run(file: Option<PathBuf>) -> Result<(), String> {
    let folders = ProgramFolders::of_this_person();
    let own = std::process::id();
    let unsaved = folders
        .as_ref()
        .map(|folders| {
            left_behind(&folders.journals, |process| {
                process != own && is_running(process)
            })
        })
        .unwrap_or_default();
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Wetlane")
            .with_inner_size([1366.0, 768.0])
            .with_min_inner_size([640.0, 360.0])
            .with_app_id("wetlane"),
        renderer: eframe::Renderer::Glow,
        ..Default::default()
    };
    let setting = Setting {
        file,
        folders,
        left_behind: unsaved,
        ..Setting::default()
    };
    eframe::run_native("Wetlane", options, Box::new(|creation| Ok(Box::new(App::new(&creation.egui_ctx, setting)))))
        .map_err(|error| {
            format!(
                "No window could be opened: {error}. Without a display, every step works on the command line: \
                 wetlane --help"
            )
        })
}

/// Whether a process runs. Only known where the system shows processes as folders; elsewhere none counts as running,
/// so that nothing unsaved is ever hidden.
fn is_running(process: u32) -> bool {
    std::path::Path::new("/proc")
        .join(process.to_string())
        .exists()
}
