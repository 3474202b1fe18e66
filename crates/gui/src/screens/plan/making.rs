//! The search for a plan: asked for, watched, stopped, and put in place if the project is still the same.

use egui::Ui;

use crate::app::background::Background;
use crate::app::derived::Stamps;
use crate::app::view::{Request, View, message};
use crate::campaign::planning::{PlanRequest, make_plan, take_plan};
use crate::campaign::project::{PlanRecord, Run};
use crate::widgets::button::link;
use crate::widgets::heading::inline_text;
use crate::widgets::message_list::MessageWeight;

/// What a search for a plan was asked for.
#[derive(Debug, Clone, PartialEq)]
struct PlanKey {
    stamps: Stamps,
    request: PlanRequest,
}

/// A plan that was made, or why not.
type Made = Result<(PlanRecord, Vec<Run>), String>;

/// One search at a time.
#[derive(Debug)]
pub(super) struct Making {
    search: Background<PlanKey, Made>,
    asked: Option<PlanKey>,
}

impl Default for Making {
    fn default() -> Self {
        Self {
            search: Background::new("plan"),
            asked: None,
        }
    }
}

impl Making {
    /// Starts a search for the project as it is now.
    pub(super) fn ask(&mut self, view: &View<'_>, request: PlanRequest, ctx: &egui::Context) {
        let Some(project) = view.derived.snapshot() else {
            return;
        };
        let key = PlanKey {
            stamps: view.derived.stamps(),
            request: request.clone(),
        };
        self.asked = Some(key.clone());
        let now = view.now.to_owned();
        self.search.ask(key, ctx, move |watch| {
            let report = |share: f64| watch.report(share);
            let progress = wetlane_stats::design::Progress::new(watch.stop_flag(), &report);
            make_plan(&project, &request, &now, &progress).map_err(|error| error.to_string())
        });
    }

    /// The step that puts a finished plan in place; a plan for an earlier project is dropped, and that is said.
    pub(super) fn take(&mut self, stamps: Stamps) -> Option<Request> {
        self.search.poll();
        let key = self.asked.clone()?;
        let made = self.search.take(&key)?;
        self.asked = None;
        if key.stamps != stamps {
            return Some(message(
                MessageWeight::Warning,
                "Plan",
                "The project changed while the plan was searched, so the plan was dropped.",
                "Ask for it again.",
            ));
        }
        Some(match made {
            Ok((record, runs)) => Request::Edit(take_plan(record, runs)),
            Err(why) => message(MessageWeight::Refusal, "Plan", why, "Choose other options."),
        })
    }

    /// How far the search is, and the way to stop it.
    pub(super) fn progress_ui(&mut self, ui: &mut Ui) {
        let Some(share) = self.search.share() else {
            return;
        };
        ui.horizontal(|ui| {
            inline_text(ui, &format!("Searching: {:.0} %", 100.0 * share));
            if link(ui, "Stop the search").clicked() {
                self.search.cancel();
                self.asked = None;
            }
        });
    }
}
