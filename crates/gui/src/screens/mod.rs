//! The six screens. Each owns the drafts of what is being typed or looked at, draws the project and what follows from
//! it, and returns requests; none of them changes the project.

pub mod answers;
pub mod line;
pub mod plan;
pub mod readings;
pub mod report;
pub mod roll;

use egui::Ui;

use crate::app::action::Screen;
use crate::app::view::{Request, View};

/// Drafts of all screens.
#[derive(Debug, Default)]
pub struct Screens {
    line: line::LineScreen,
    plan: plan::PlanScreen,
    roll: roll::RollScreen,
    readings: readings::ReadingsScreen,
    answers: answers::AnswersScreen,
    report: report::ReportScreen,
    is_help_shown: bool,
}

impl Screens {
    /// Draws one screen.
    pub fn ui(&mut self, ui: &mut Ui, screen: Screen, view: &mut View<'_>) -> Vec<Request> {
        if self.is_help_shown {
            crate::widgets::heading::quiet_text(ui, help_of(screen));
            ui.add_space(6.0);
        }
        match screen {
            Screen::Line => self.line.ui(ui, view),
            Screen::Plan => self.plan.ui(ui, view),
            Screen::Roll => self.roll.ui(ui, view),
            Screen::Readings => self.readings.ui(ui, view),
            Screen::Answers => self.answers.ui(ui, view),
            Screen::Report => self.report.ui(ui, view),
        }
    }

    /// Shows or hides the explanation at the head of each screen.
    pub const fn toggle_help(&mut self) {
        self.is_help_shown = !self.is_help_shown;
    }
}

/// What a screen is for, in two sentences.
const fn help_of(screen: Screen) -> &'static str {
    match screen {
        Screen::Line => {
            "State ink, foil and line on the left and say which settings are varied. The window in the middle shows what \
             can run at the present values; drag the cross. On the right, every limit with its margin: a mark left of \
             the line holds."
        }
        Screen::Plan => {
            "Choose what kind of question the plan is to answer, take one of the proposals, and look at the runs before \
             anything is spent: those that cannot run are marked with the limit and by how much."
        }
        Screen::Roll => {
            "The foil to scale: hatched is settling, solid is sample, bars are stops. What is left of ink, foil and time \
             runs along below. Print the run sheet from here."
        }
        Screen::Readings => {
            "Type over a cell or paste a block with a head; columns are matched by name and shown before they are taken \
             over. A reading is set aside with a reason, never deleted."
        }
        Screen::Answers => {
            "Each film quality over two settings, all others at the cross. Curves run along each setting through the \
             cross with their 95 % band; hatched means that it cannot run."
        }
        Screen::Report => {
            "Pages for a colleague who has no Wetlane. Tick the parts and write the file."
        }
    }
}
