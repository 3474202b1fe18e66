//! The first film: ink, foil, head, three settings, one goal, what there is. Two minutes, nothing to read.

use egui::{Id, Ui};

use wetlane_physics::HeadKind;

use crate::campaign::clock::now_utc;
use crate::campaign::head_switch::own_settings;
use crate::campaign::presets::{
    foils, inks, lab_coater_with, new_project, quality, setting, usual_range,
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

/// Heads that are offered.
const HEADS: [HeadKind; 5] = HeadKind::ALL;
/// Settings that are ticked before anyone chose.
const FIRST_TICKED: usize = 3;

/// Settings offered to be varied under a head: the speed, those of the head, air and plasma.
fn offered(head: HeadKind) -> Vec<Role> {
    let mut roles = vec![Role::Speed];
    roles.extend_from_slice(own_settings(head));
    roles.extend([Role::GasTemperature, Role::PlasmaDose]);
    roles
}

/// Seed of a new project's random order. Any number does; the same one makes two people's first plans comparable.
const FIRST_SEED: u64 = 7;

/// What is wanted of the first quality.
const GOALS: [&str; 3] = ["at most", "at least", "as near as possible to"];

fn first_ticked(head: HeadKind) -> Vec<Role> {
    offered(head).into_iter().take(FIRST_TICKED).collect()
}

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
    head: HeadKind,
    /// Settings that are ticked, whether the head has them or not.
    varied: Vec<Role>,
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
            head: HeadKind::SlotDie,
            varied: first_ticked(HeadKind::SlotDie),
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
        let n_varied = self.varied.len();
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
        section_head(ui, "Head", "");
        let words: Vec<&str> = HEADS.iter().map(|head| head.label()).collect();
        let chosen = HEADS.iter().position(|head| *head == self.head);
        if let Some(head) = radio_rows(ui, &words, chosen).and_then(|picked| HEADS.get(picked)) {
            self.head = *head;
            self.varied = first_ticked(*head);
        }
        quiet_text(
            ui,
            "On a lab coater, 100 mm wide, plasma before the head, hot-gas dryer of 1.2 m behind it.",
        );
    }

    fn settings_ui(&mut self, ui: &mut Ui, n_varied: usize) {
        section_head(ui, "Settings to vary", &format!("{n_varied} ticked"));
        for role in offered(self.head) {
            let (low, high) = usual_range(role).unwrap_or_default();
            let words = format!("{}, {low} to {high} {}", role.label(), setting(role).unit);
            let mut is_ticked = self.varied.contains(&role);
            if tick_box(ui, &mut is_ticked, &words).clicked() {
                self.varied.retain(|known| *known != role);
                if is_ticked {
                    self.varied.push(role);
                }
            }
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
        let mut project = new_project(
            &self.title,
            FIRST_SEED,
            now_utc(),
            ink,
            foil,
            lab_coater_with(self.head),
        );
        for entry in &mut project.settings {
            let is_ticked = self.varied.contains(&entry.role);
            if let (true, Some((low, high))) = (is_ticked, usual_range(entry.role)) {
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
