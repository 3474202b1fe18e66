//! The start page: what this is, three large buttons, recent files, edits to recover, and the first film in two minutes.

mod new_film;

use std::path::{Path, PathBuf};

use egui::Ui;

use crate::campaign::journal::Recovered;
use crate::campaign::project::Project;
use crate::campaign::project_file::from_bytes;
use crate::campaign::samples::SAMPLES;
use crate::theme::{self, Palette, text_size};
use crate::widgets::button::{ButtonLook, link, sized_button};
use crate::widgets::heading::{body_text, quiet_text, section_head};
use crate::widgets::spine::{SpineModel, StationKind, StationView, TitleLine, spine};

use new_film::NewFilm;

/// What was chosen on the start page.
#[derive(Debug)]
pub(super) enum StartChoice {
    /// A new project.
    New(Box<Project>),
    /// The question for a file.
    OpenDialog,
    /// A recent file.
    File(PathBuf),
    /// Edits that were not saved.
    Recover(Box<Recovered>),
    /// Such edits are not wanted any more.
    DropRecovered(Box<Recovered>),
}

#[derive(Debug, Default)]
enum Page {
    #[default]
    Start,
    NewFilm(Box<NewFilm>),
    Samples,
}

/// State of the start page.
#[derive(Debug, Default)]
pub(super) struct StartPage {
    page: Page,
    left_behind: Vec<Recovered>,
    problem: String,
}

impl StartPage {
    /// A start page that offers these unsaved edits.
    pub(super) fn new(left_behind: Vec<Recovered>) -> Self {
        Self {
            left_behind,
            ..Self::default()
        }
    }

    /// A file was opened directly although unsaved edits of it exist: they stay on offer on the start page.
    pub(super) fn mark_recovery_for(&mut self, path: &Path) {
        if let Some(at) = self
            .left_behind
            .iter()
            .position(|found| found.start.path.as_deref() == Some(path))
        {
            let found = self.left_behind.remove(at);
            self.left_behind.insert(0, found);
        }
    }

    /// Draws the page.
    pub(super) fn ui(&mut self, ui: &mut Ui, recent: &[PathBuf]) -> Option<StartChoice> {
        let palette = Palette::of(ui);
        let margin = if ui.available_width() < 900.0 {
            24
        } else {
            110
        };
        let mut choice = None;
        egui::CentralPanel::default()
            .frame(
                egui::Frame::new()
                    .fill(palette.ground)
                    .inner_margin(egui::Margin::symmetric(margin, 24)),
            )
            .show(ui, |ui| {
                egui::ScrollArea::vertical()
                    .auto_shrink(false)
                    .show(ui, |ui| {
                        choice = match &mut self.page {
                            Page::Start => self.start_ui(ui, recent),
                            Page::NewFilm(_) => self.new_film_ui(ui),
                            Page::Samples => self.samples_ui(ui),
                        };
                    });
            });
        choice
    }

    fn start_ui(&mut self, ui: &mut Ui, recent: &[PathBuf]) -> Option<StartChoice> {
        let palette = Palette::of(ui);
        let mut choice = None;
        ui.add_space(12.0);
        ui.label(
            egui::RichText::new("Wetlane")
                .font(theme::bold(text_size::START_NAME))
                .color(palette.ink),
        );
        ui.add_space(6.0);
        spine(ui, &gray_line(), &TitleLine::default());
        ui.add_space(24.0);
        let what = egui::RichText::new(
            "Plan coating runs that can work, and learn the most from each metre of foil.",
        );
        let what = what
            .font(theme::bold(text_size::START_SENTENCE))
            .color(palette.ink);
        ui.add(egui::Label::new(what).wrap());
        ui.add_space(28.0);
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing.x = 20.0;
            let size = egui::vec2(276.0, 74.0);
            if sized_button(ui, "New film…", ButtonLook::Primary, size, 19.0).clicked() {
                self.page = Page::NewFilm(Box::default());
            }
            if sized_button(ui, "Open a sample", ButtonLook::Outlined, size, 19.0).clicked() {
                self.page = Page::Samples;
            }
            if sized_button(ui, "Open a file…", ButtonLook::Outlined, size, 19.0).clicked() {
                choice = Some(StartChoice::OpenDialog);
            }
        });
        ui.add_space(28.0);
        if !self.problem.is_empty() {
            body_text(ui, &self.problem.clone());
        }
        choice = choice.or(self.recovery_ui(ui));
        choice.or(recent_ui(ui, recent))
    }

    fn recovery_ui(&mut self, ui: &mut Ui) -> Option<StartChoice> {
        if self.left_behind.is_empty() {
            return None;
        }
        section_head(ui, "Edits that were not saved", "");
        let mut decided = None;
        for (index, found) in self.left_behind.iter().enumerate() {
            let last = found.labels.last().map_or("", String::as_str);
            body_text(
                ui,
                &format!(
                    "{}: {} not saved, the last one \"{last}\" at {}",
                    found.project.title,
                    found.labels.len(),
                    found.last_at
                ),
            );
            ui.horizontal(|ui| {
                if link(ui, &format!("Recover \"{}\"", found.project.title)).clicked() {
                    decided = Some((index, true));
                }
                ui.add_space(16.0);
                if link(ui, "Drop these edits").clicked() {
                    decided = Some((index, false));
                }
            });
        }
        ui.add_space(16.0);
        decided.map(|(index, is_wanted)| {
            let found = Box::new(self.left_behind.remove(index));
            if is_wanted {
                StartChoice::Recover(found)
            } else {
                StartChoice::DropRecovered(found)
            }
        })
    }

    fn new_film_ui(&mut self, ui: &mut Ui) -> Option<StartChoice> {
        let Page::NewFilm(form) = &mut self.page else {
            return None;
        };
        match form.ui(ui) {
            new_film::Outcome::Stay => None,
            new_film::Outcome::Back => {
                self.page = Page::Start;
                None
            }
            new_film::Outcome::Made(project) => {
                self.page = Page::Start;
                Some(StartChoice::New(project))
            }
        }
    }

    fn samples_ui(&mut self, ui: &mut Ui) -> Option<StartChoice> {
        let mut choice = None;
        crate::widgets::heading::sentence(
            ui,
            "Open a sample",
            "All samples are invented: inks, numbers and results.",
        );
        ui.add_space(12.0);
        for sample in &SAMPLES {
            if link(ui, sample.title).clicked() {
                match from_bytes(sample.bytes, Path::new(sample.file_name)) {
                    Ok(project) => choice = Some(StartChoice::New(Box::new(project))),
                    Err(error) => self.problem = error.to_string(),
                }
            }
            quiet_text(ui, sample.shows);
            ui.add_space(12.0);
        }
        if link(ui, "Back").clicked() || choice.is_some() {
            self.page = Page::Start;
        }
        choice
    }
}

fn recent_ui(ui: &mut Ui, recent: &[PathBuf]) -> Option<StartChoice> {
    if recent.is_empty() {
        return None;
    }
    section_head(ui, "Recent", "");
    let mut choice = None;
    for path in recent {
        let name = path.file_name().map_or_else(
            || path.display().to_string(),
            |name| name.to_string_lossy().into_owned(),
        );
        ui.horizontal(|ui| {
            if link(ui, &name).clicked() {
                choice = Some(StartChoice::File(path.clone()));
            }
            quiet_text(
                ui,
                &path
                    .parent()
                    .map(|folder| folder.display().to_string())
                    .unwrap_or_default(),
            );
        });
    }
    choice
}

/// A line without anything on it: what the window is about.
fn gray_line() -> SpineModel {
    let stations = [
        (StationKind::Unwind, "unwind"),
        (StationKind::Plasma, "plasma"),
        (StationKind::SlotDie, "head"),
        (StationKind::HeatedRoller, "roller"),
        (StationKind::Dryer, "dryer"),
        (StationKind::Rewind, "rewind"),
    ];
    let stations = stations.map(|(kind, name)| {
        let mut station = StationView::new(kind, name);
        station.is_used = false;
        station
    });
    SpineModel {
        stations: stations.to_vec(),
        ..SpineModel::default()
    }
}
