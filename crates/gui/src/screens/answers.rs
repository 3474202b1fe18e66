//! The Answers screen.

use egui::Ui;

use crate::app::view::{Request, View};
use crate::widgets::heading::sentence;

/// Drafts of the Answers screen.
#[derive(Debug, Default)]
pub struct AnswersScreen {}

impl AnswersScreen {
    /// Draws the screen.
    pub fn ui(&mut self, ui: &mut Ui, view: &mut View<'_>) -> Vec<Request> {
        sentence(ui, &view.project.title, "");
        Vec::new()
    }
}
