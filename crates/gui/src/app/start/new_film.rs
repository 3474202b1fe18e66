//! The first film: ink, foil, head, three settings, one goal, what there is. Two minutes, nothing to read.

use egui::{Id, Ui};

use crate::campaign::clock::now_utc;
use crate::campaign::presets::{
    foils, inks, lab_coater, new_project, quality, setting, usual_range,
};
use crate::campaign::project::{Goal, Project, Role, Variation};
use crate::campaign::quality_id::id_from;
use crate::theme::measure;
use crate::widgets::button::{link, primary_button, tick_box};
use crate::widgets::choice::{radio_rows, word_row};
use crate::widgets::heading::{quiet_text, section_head, sentence};
use crate::widgets::number_field::NumberField;
use crate::widgets::row_label::left_label;
use crate::widgets::text_field::text_field;

/// Settings offered to be varied, the first three ticked.
const OFFERED: [Role; 5] = [
    Role::Speed,
    Role::WetThickness,
    Role::Gap,
    Role::GasTemperature,
    Role::PlasmaDose,
];

/// Seed of a new project's random order. Any number does; the same one makes two people's first plans comparable.
const FIRST_SEED: u64 = 7;

/// What is wanted of the first quality.
const GOALS: [&str; 3] = ["at most", "at least", "as near as possible to"];

/// What came of a frame.
#[derive(Debug)]
pub(super) enum Outcome {
    /// Go on filling in.
    Stay,
    /// Back to the start page.
    Back,
    /// The project is made.
    Made(Box<Project>),
}

/// What was filled in so far.
#[derive(Debug)]
pub(super) struct NewFilm {
    title: String,
    ink: usize,
    foil: usize,
    varied: [bool; OFFERED.len()],
    quality: String,
    quality_unit: String,
    goal: usize,
    goal_value: f64,
    ink_ml: f64,
    foil_m: f64,
    hours: f64,
}

impl Default for NewFilm {
    fn default() -> Self {
        Self {
            title: "New film".to_owned(),
            ink: 0,
            foil: 0,
            varied: [true, true, true, false, false],
            quality: "Thickness".to_owned(),
            quality_unit: "nm".to_owned(),
            goal: 2,
            goal_value: 70.0,
            ink_ml: 60.0,
            foil_m: 40.0,
            hours: 6.0,
        }
    }
}

impl NewFilm {
    /// Draws the form.
    pub(super) fn ui(&mut self, ui: &mut Ui) -> Outcome {
        let mut outcome = Outcome::Stay;
        let n_varied = self.varied.iter().filter(|ticked| **ticked).count();
        ui.horizontal(|ui| {
            ui.vertical(|ui| {
                ui.set_width((ui.available_width() - 220.0).max(280.0));
                sentence(
                    ui,
                    "A new film",
                    "Start from typical values; every one of them can be changed later.",
                );
            });
            ui.with_layout(egui::Layout::right_to_left(egui::Align::TOP), |ui| {
                if primary_button(ui, "Make the project").clicked() && n_varied > 0 {
                    outcome = Outcome::Made(Box::new(self.project()));
                }
            });
        });
        if link(ui, "Back").clicked() {
            outcome = Outcome::Back;
        }
        ui.add_space(8.0);
        let n_columns = if ui.available_width() < 900.0 { 1 } else { 3 };
        ui.spacing_mut().item_spacing.x = measure::COLUMN_GAP;
        ui.columns(n_columns, |columns| {
            let last = columns.len() - 1;
            let mut column = |index: usize, draw: &mut dyn FnMut(&mut Ui)| {
                if let Some(ui) = columns.get_mut(index.min(last)) {
                    draw(ui);
                }
            };
            column(0, &mut |ui| self.materials_ui(ui));
            column(1, &mut |ui| self.settings_ui(ui, n_varied));
            column(2, &mut |ui| self.goal_ui(ui));
        });
        outcome
    }

    fn materials_ui(&mut self, ui: &mut Ui) {
        section_head(ui, "Film", "");
        if let Some(title) = text_field(
            ui,
            Id::unique("new film title"),
            "Title",
            &self.title,
            (70.0, 190.0),
        ) {
            self.title = title;
        }
        ui.add_space(8.0);
        section_head(ui, "Ink", "typical values");
        let cards = inks();
        let names: Vec<&str> = cards.iter().map(|card| card.name.as_str()).collect();
        if let Some(chosen) = radio_rows(ui, &names, Some(self.ink)) {
            self.ink = chosen;
        }
        ui.add_space(8.0);
        section_head(ui, "Foil", "");
        let cards = foils();
        let names: Vec<&str> = cards.iter().map(|card| card.name.as_str()).collect();
        if let Some(chosen) = radio_rows(ui, &names, Some(self.foil)) {
            self.foil = chosen;
        }
        ui.add_space(8.0);
        section_head(ui, "Line", "");
        quiet_text(
            ui,
            "Lab coater: slot die, 100 mm wide, plasma before it, hot-gas dryer of 1.2 m behind it.",
        );
    }

    fn settings_ui(&mut self, ui: &mut Ui, n_varied: usize) {
        section_head(ui, "Settings to vary", &format!("{n_varied} ticked"));
        for (role, ticked) in OFFERED.iter().zip(&mut self.varied) {
            let (low, high) = usual_range(*role).unwrap_or_default();
            let words = format!("{}, {low} to {high} {}", role.label(), setting(*role).unit);
            tick_box(ui, ticked, &words);
        }
        if n_varied == 0 {
            quiet_text(
                ui,
                "Tick at least one. Speed and wet thickness are a good start.",
            );
        }
    }

    fn goal_ui(&mut self, ui: &mut Ui) {
        section_head(ui, "Film quality", "one is enough for a start");
        if let Some(name) = text_field(
            ui,
            Id::unique("new film quality"),
            "Quality",
            &self.quality,
            (70.0, 190.0),
        ) {
            self.quality = name;
        }
        if let Some(unit) = text_field(
            ui,
            Id::unique("new film quality unit"),
            "Unit",
            &self.quality_unit,
            (70.0, 190.0),
        ) {
            self.quality_unit = unit;
        }
        if let Some(goal) = word_row(ui, &GOALS, self.goal) {
            self.goal = goal;
        }
        number(ui, "Wanted", &self.quality_unit, &mut self.goal_value);
        ui.add_space(8.0);
        section_head(ui, "What there is", "");
        number(ui, "Ink", "mL", &mut self.ink_ml);
        number(ui, "Foil", "m", &mut self.foil_m);
        number(ui, "Time", "h", &mut self.hours);
    }

    /// The project as filled in.
    fn project(&self) -> Project {
        let ink = inks().into_iter().nth(self.ink).unwrap_or_default();
        let foil = foils().into_iter().nth(self.foil).unwrap_or_default();
        let mut project = new_project(&self.title, FIRST_SEED, now_utc(), ink, foil, lab_coater());
        for (role, ticked) in OFFERED.iter().zip(self.varied) {
            let Some(entry) = project
                .settings
                .iter_mut()
                .find(|entry| entry.role == *role)
            else {
                continue;
            };
            if let (true, Some((low, high))) = (ticked, usual_range(*role)) {
                entry.variation = Variation::Range {
                    low,
                    high,
                    log: false,
                };
            }
        }
        let id = id_from(&self.quality);
        let mut first = quality(&id, &self.quality, &self.quality_unit);
        first.goal = match self.goal {
            0 => Goal::AtMost(self.goal_value),
            1 => Goal::AtLeast(self.goal_value),
            _ => Goal::Target {
                value: self.goal_value,
                tolerance: (0.1 * self.goal_value.abs()).max(f64::MIN_POSITIVE),
            },
        };
        project.qualities.push(first);
        project.budget.ink_ml = Some(self.ink_ml);
        project.budget.foil_m = Some(self.foil_m);
        project.budget.hours = Some(self.hours);
        project.budget.start_minutes = 20.0;
        project
    }
}

fn number(ui: &mut Ui, name: &str, unit: &str, value: &mut f64) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 0.0;
        left_label(ui, 70.0, measure::FIELD_HEIGHT, egui::Label::new(name));
        let shown = value.to_string();
        let output = NumberField::new(Id::unique(("new film", name)), name, &shown)
            .unit(unit)
            .show(ui);
        if let Some(committed) = output.committed
            && committed.value >= 0.0
        {
            *value = committed.value;
        }
    });
}
