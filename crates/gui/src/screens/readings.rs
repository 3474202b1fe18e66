//! The Readings screen.

use egui::Ui;

use crate::app::view::{Request, View};
use crate::widgets::heading::sentence;

/// Drafts of the Readings screen.
#[derive(Debug, Default)]
pub struct ReadingsScreen {}

impl ReadingsScreen {
    /// Draws the screen.
    pub fn ui(&mut self, ui: &mut Ui, view: &mut View<'_>) -> Vec<Request> {
        sentence(ui, &view.project.title, "");
        Vec::new()
    }
}
