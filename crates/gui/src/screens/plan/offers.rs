//! What can be done with runs that cannot run: pull them, leave them out, or run them on purpose.

use egui::{Id, Sense, Ui, vec2};

use crate::app::background::{Available, Background};
use crate::app::derived::Stamps;
use crate::app::view::{Request, View, message};
use crate::campaign::command::Command;
use crate::campaign::leave_out::{LeftOut, leave_out};
use crate::campaign::pull::{PulledRuns, pull_runs};
use crate::theme::measure;
use crate::widgets::button::{link, outlined_button, primary_button};
use crate::widgets::heading::{body_text, inline_text, quiet_text};
use crate::widgets::message_list::MessageWeight;
use crate::widgets::text_field::bare_text_field;

/// Which offer is open under the sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
enum Open {
    #[default]
    None,
    Keep,
    LeaveOut,
}

/// The offers and what they compute.
#[derive(Debug)]
pub(super) struct Offers {
    open: Open,
    pulling: Background<Stamps, PulledRuns>,
    asked: Option<Stamps>,
    leaving: Background<(Stamps, Vec<u32>), Option<LeftOut>>,
}

impl Default for Offers {
    fn default() -> Self {
        Self {
            open: Open::None,
            pulling: Background::new("feasible places"),
            asked: None,
            leaving: Background::new("the plan without some runs"),
        }
    }
}

/// "run 4", or "6 runs".
fn which(runs: &[u32]) -> String {
    match runs {
        [run] => format!("run {run}"),
        all => format!("{} runs", all.len()),
    }
}

/// "run 4", or "runs 4, 7".
pub(super) fn named(runs: &[u32]) -> String {
    let numbers: Vec<String> = runs.iter().map(ToString::to_string).collect();
    let word = if runs.len() == 1 { "run" } else { "runs" };
    format!("{word} {}", numbers.join(", "))
}

impl Offers {
    /// Buttons, the primary one first; laid out by the caller.
    pub(super) fn buttons_ui(&mut self, ui: &mut Ui, view: &View<'_>, stuck: &[u32]) {
        if let Some(share) = self.pulling.share() {
            if link(ui, "Stop pulling").clicked() {
                self.pulling.cancel();
                self.asked = None;
            }
            inline_text(ui, &format!("Pulling: {:.0} %", 100.0 * share));
            return;
        }
        if primary_button(ui, &format!("Pull {} to feasible", which(stuck))).clicked() {
            self.ask_pull(ui, view, stuck);
        }
        ui.add_space(12.0);
        let them = if stuck.len() == 1 { "it" } else { "them" };
        for (words, offer) in [
            (format!("Leave {them} out…"), Open::LeaveOut),
            (format!("Keep {them} on purpose…"), Open::Keep),
        ] {
            if link(ui, &words).clicked() {
                self.open = if self.open == offer {
                    Open::None
                } else {
                    offer
                };
            }
            ui.add_space(8.0);
        }
    }

    fn ask_pull(&mut self, ui: &Ui, view: &View<'_>, stuck: &[u32]) {
        let Some(project) = view.derived.snapshot() else {
            return;
        };
        let (stamps, runs) = (view.derived.stamps(), stuck.to_vec());
        self.asked = Some(stamps);
        self.pulling.ask(stamps, ui.ctx(), move |watch| {
            pull_runs(&project, &runs, |share| {
                watch.report(share);
                watch.is_stopped()
            })
        });
    }

    /// What became of a pull that was asked for.
    pub(super) fn take(&mut self, stamps: Stamps) -> Vec<Request> {
        self.pulling.poll();
        let Some(found) = self.asked.and_then(|asked| self.pulling.take(&asked)) else {
            return Vec::new();
        };
        let is_old = self.asked.take() != Some(stamps);
        if is_old {
            return vec![message(
                MessageWeight::Warning,
                "Plan",
                "The project changed while feasible places were looked for, so they were dropped.",
                "Ask for them again.",
            )];
        }
        pull_requests(found)
    }

    /// The open offer, under the sentence.
    pub(super) fn open_ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        stuck: &[u32],
    ) -> Option<Request> {
        if stuck.is_empty() {
            self.open = Open::None;
        }
        match self.open {
            Open::None => None,
            Open::Keep => self.keep_ui(ui, stuck),
            Open::LeaveOut => self.leave_out_ui(ui, view, stuck),
        }
    }

    /// The reason for keeping runs that cannot run.
    fn keep_ui(&mut self, ui: &mut Ui, stuck: &[u32]) -> Option<Request> {
        let mut request = None;
        ui.horizontal_wrapped(|ui| {
            let verb = if stuck.len() == 1 { "is" } else { "are" };
            inline_text(
                ui,
                &format!("Why {verb} {} run all the same?", named(stuck)),
            );
            let width = ui.available_width().clamp(160.0, 320.0);
            let (rect, _) =
                ui.allocate_exact_size(vec2(width, measure::FIELD_HEIGHT), Sense::hover());
            let id = Id::unique("keep on purpose");
            if let Some(text) = bare_text_field(ui, id, "reason", "", rect)
                && !text.trim().is_empty()
            {
                request = Some(Request::Edit(keep_command(stuck, text.trim())));
                self.open = Open::None;
            }
            if link(ui, "Not now").clicked() {
                self.open = Open::None;
            }
        });
        request
    }

    /// What leaving the runs out costs.
    fn leave_out_ui(&mut self, ui: &mut Ui, view: &View<'_>, stuck: &[u32]) -> Option<Request> {
        let project = view.derived.snapshot()?;
        let key = (view.derived.stamps(), stuck.to_vec());
        let runs = stuck.to_vec();
        self.leaving
            .ask(key.clone(), ui.ctx(), move |_| leave_out(&project, &runs));
        self.leaving.poll();
        let mut request = None;
        match self.leaving.get(&key) {
            Available::Fresh(Some(left)) => {
                body_text(ui, &format!("Without {}: {}", named(&left.runs), left.cost));
                let words = format!("Leave out {}", which(&left.runs));
                let command = left.command.clone();
                ui.horizontal(|ui| {
                    if outlined_button(ui, &words).clicked() {
                        request = Some(Request::Edit(command));
                        self.open = Open::None;
                    }
                    if link(ui, "Not now").clicked() {
                        self.open = Open::None;
                    }
                });
            }
            Available::Fresh(None) => {
                quiet_text(ui, "These runs have results; they stay.");
            }
            Available::Stale(_) | Available::Nothing => {
                quiet_text(ui, "What that costs is being worked out.");
            }
        }
        request
    }
}

fn keep_command(runs: &[u32], reason: &str) -> Command {
    Command::Together {
        label: format!("kept {} on purpose", which(runs)),
        commands: runs
            .iter()
            .map(|run| Command::KeepOnPurpose {
                run: *run,
                reason: Some(reason.to_owned()),
            })
            .collect(),
    }
}

/// The step that pulls what can be pulled, and a word on what cannot or only just.
fn pull_requests(found: PulledRuns) -> Vec<Request> {
    let mut requests = Vec::new();
    let risky: Vec<u32> = found.risky.clone();
    if !risky.is_empty() {
        requests.push(message(
            MessageWeight::Warning,
            "Plan",
            format!(
                "Near {} no place works with the chance asked for; the best one was taken.",
                named(&risky)
            ),
            "See the chance of each limit on the Line screen with the run selected.",
        ));
    }
    let pulled: Vec<u32> = found.pulled.iter().map(|(run, _)| *run).collect();
    if !pulled.is_empty() {
        requests.push(Request::Edit(Command::Together {
            label: format!("pulled {} to feasible", which(&pulled)),
            commands: found
                .pulled
                .into_iter()
                .map(|(run, pulled)| Command::PullRun {
                    run,
                    pulled: pulled.settings,
                })
                .collect(),
        }));
    }
    if !found.left.is_empty() {
        requests.push(message(
            MessageWeight::Warning,
            "Plan",
            format!("No feasible place was found near {}.", named(&found.left)),
            "Change the ranges on the Line screen, leave them out, or keep them on purpose.",
        ));
    }
    requests
}
