//! The Roll screen.

use egui::Ui;

use crate::app::view::{Request, View};
use crate::widgets::heading::sentence;

/// Drafts of the Roll screen.
#[derive(Debug, Default)]
pub struct RollScreen {}

impl RollScreen {
    /// Draws the screen.
    pub fn ui(&mut self, ui: &mut Ui, view: &mut View<'_>) -> Vec<Request> {
        sentence(ui, &view.project.title, "");
        Vec::new()
    }
}
