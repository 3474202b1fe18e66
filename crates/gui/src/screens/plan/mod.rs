//! The Plan screen: what is wanted, what there is, proposals in words, and the runs with what stops them.

mod expert;
mod have;
mod proposals;
mod runs;
mod two_settings;
mod wanted;

use egui::{Align, Layout, Rect, ScrollArea, Ui, UiBuilder, vec2};

use crate::app::action::Screen;
use crate::app::background::Background;
use crate::app::derived::Stamps;
use crate::app::view::{Request, View, message};
use crate::campaign::command::Command;
use crate::campaign::feasibility::RunJudgement;
use crate::campaign::planning::PlanRequest;
use crate::campaign::project::{PlanRecord, Question, Run};
use crate::campaign::proposals::Proposal;
use crate::campaign::pull::pull;
use crate::theme::measure;
use crate::widgets::button::{link, primary_button};
use crate::widgets::choice::word_row;
use crate::widgets::heading::sentence;
use crate::widgets::message_list::MessageWeight;

/// What a search for a plan was asked for.
#[derive(Debug, Clone, PartialEq)]
struct PlanKey {
    stamps: Stamps,
    request: PlanRequest,
}

/// A plan that was made, or why not.
type Made = Result<(PlanRecord, Vec<Run>), String>;

/// Drafts of the Plan screen.
#[derive(Debug)]
pub struct PlanScreen {
    question: Question,
    proposals: Background<(Stamps, Question), Vec<Proposal>>,
    making: Background<PlanKey, Made>,
    asked: Option<PlanKey>,
    expert: expert::ExpertFold,
    axes: Option<(String, String)>,
    /// Quality whose goal is being edited.
    edited_quality: Option<String>,
    /// Reason being typed for keeping runs on purpose.
    keeping: Option<String>,
    narrow_column: usize,
}

impl Default for PlanScreen {
    fn default() -> Self {
        Self {
            question: Question::default(),
            proposals: Background::new("proposals"),
            making: Background::new("plan"),
            asked: None,
            expert: expert::ExpertFold::default(),
            axes: None,
            edited_quality: None,
            keeping: None,
            narrow_column: 0,
        }
    }
}

impl PlanScreen {
    /// Draws the screen.
    pub fn ui(&mut self, ui: &mut Ui, view: &mut View<'_>) -> Vec<Request> {
        let mut requests = Vec::new();
        self.take_made_plan(&mut requests);
        let judged = view
            .derived
            .judged_runs()
            .any()
            .cloned()
            .unwrap_or_default();
        self.head_ui(ui, view, &judged, &mut requests);
        if ui.available_width() < measure::NARROW {
            self.narrow_ui(ui, view, &judged, &mut requests);
        } else {
            self.wide_ui(ui, view, &judged, &mut requests);
        }
        requests
    }

    fn wide_ui(
        &mut self,
        ui: &mut Ui,
        view: &mut View<'_>,
        judged: &[RunJudgement],
        requests: &mut Vec<Request>,
    ) {
        let full = ui.available_rect_before_wrap();
        let spare = (full.width() - 1318.0).max(0.0);
        let left = full.with_max_x(full.left() + 240.0 + 0.1 * spare);
        let right = full.with_min_x(full.right() - 536.0 - 0.3 * spare);
        let middle = full
            .with_min_x(left.right() + 28.0)
            .with_max_x(right.left() - 28.0);
        part(ui, "plan left", left, |ui| self.left_ui(ui, view, requests));
        part(ui, "plan middle", middle, |ui| {
            self.middle_ui(ui, view, judged, requests);
        });
        part(ui, "plan right", right, |ui| {
            runs::ui(ui, view, judged, requests);
        });
        ui.advance_cursor_after_rect(full);
    }

    fn narrow_ui(
        &mut self,
        ui: &mut Ui,
        view: &mut View<'_>,
        judged: &[RunJudgement],
        requests: &mut Vec<Request>,
    ) {
        if let Some(chosen) = word_row(ui, &["Wanted", "Proposals", "Runs"], self.narrow_column) {
            self.narrow_column = chosen;
        }
        let rect = ui.available_rect_before_wrap();
        let which = self.narrow_column;
        part(ui, "plan narrow", rect, |ui| match which {
            0 => self.left_ui(ui, view, requests),
            1 => self.middle_ui(ui, view, judged, requests),
            _ => runs::ui(ui, view, judged, requests),
        });
        ui.advance_cursor_after_rect(rect);
    }

    fn left_ui(&mut self, ui: &mut Ui, view: &mut View<'_>, requests: &mut Vec<Request>) {
        wanted::ui(ui, view, &mut self.edited_quality, requests);
        ui.add_space(8.0);
        have::ui(ui, view, requests);
        ui.add_space(8.0);
        proposals::question_ui(ui, &mut self.question);
    }

    fn middle_ui(
        &mut self,
        ui: &mut Ui,
        view: &mut View<'_>,
        judged: &[RunJudgement],
        requests: &mut Vec<Request>,
    ) {
        let ctx = ui.ctx().clone();
        if let Some(project) = view.derived.snapshot() {
            let (stamps, question) = (view.derived.stamps(), self.question);
            self.proposals.ask((stamps, question), &ctx, move |watch| {
                crate::campaign::proposals::proposals_until(&project, question, watch.stop_flag())
            });
            self.proposals.poll();
            let offered = self.proposals.get(&(stamps, question));
            let chosen = proposals::ui(ui, view.project, offered);
            if let Some(request) =
                chosen.or(self
                    .expert
                    .ui(ui, view.project, self.question, self.making.share()))
            {
                self.ask_plan(view, request, &ctx);
            }
            if self.making.share().is_some() && link(ui, "Stop the search").clicked() {
                self.making.cancel();
                self.asked = None;
            }
        }
        ui.add_space(8.0);
        two_settings::ui(ui, view, judged, &mut self.axes, requests);
    }

    fn ask_plan(&mut self, view: &View<'_>, request: PlanRequest, ctx: &egui::Context) {
        let Some(project) = view.derived.snapshot() else {
            return;
        };
        let key = PlanKey {
            stamps: view.derived.stamps(),
            request: request.clone(),
        };
        self.asked = Some(key.clone());
        let now = view.now.to_owned();
        self.making.ask(key, ctx, move |watch| {
            let report = |share: f64| watch.report(share);
            let progress = wetlane_stats::design::Progress::new(watch.stop_flag(), &report);
            crate::campaign::planning::make_plan(&project, &request, &now, &progress)
                .map_err(|error| error.to_string())
        });
    }

    /// Puts a finished plan in place.
    fn take_made_plan(&mut self, requests: &mut Vec<Request>) {
        self.making.poll();
        let Some(key) = &self.asked else { return };
        match self.making.take(key) {
            Some(Ok((record, runs))) => {
                self.asked = None;
                requests.push(Request::Edit(crate::campaign::planning::take_plan(
                    record, runs,
                )));
            }
            Some(Err(why)) => {
                self.asked = None;
                requests.push(message(
                    MessageWeight::Refusal,
                    "Plan",
                    why,
                    "Choose other options.",
                ));
            }
            None => {}
        }
    }

    fn head_ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        judged: &[RunJudgement],
        requests: &mut Vec<Request>,
    ) {
        let stuck: Vec<u32> = stuck_runs(view, judged);
        let (first, below) = head_words(view, judged, &stuck);
        ui.horizontal_top(|ui| {
            let width =
                (ui.available_width() - if stuck.is_empty() { 200.0 } else { 420.0 }).max(160.0);
            ui.allocate_ui(vec2(width, 44.0), |ui| {
                ui.vertical(|ui| sentence(ui, &first, &below))
            });
            ui.with_layout(Layout::right_to_left(Align::TOP), |ui| {
                self.next_ui(ui, view, &stuck, requests);
            });
        });
        if let Some(command) = self.keeping_ui(ui, &stuck) {
            requests.push(Request::Edit(command));
        }
        ui.add_space(4.0);
    }

    /// The button that says what comes next.
    fn next_ui(
        &mut self,
        ui: &mut Ui,
        view: &View<'_>,
        stuck: &[u32],
        requests: &mut Vec<Request>,
    ) {
        if view.project.varied().next().is_none() {
            if primary_button(ui, "Vary a setting first").clicked() {
                requests.push(Request::GoTo(Screen::Line));
            }
        } else if stuck.is_empty() {
            if !view.project.runs.is_empty() && primary_button(ui, "See the roll").clicked() {
                requests.push(Request::GoTo(Screen::Roll));
            }
        } else {
            let which = match stuck {
                [run] => format!("run {run}"),
                runs => format!("{} runs", runs.len()),
            };
            if primary_button(ui, &format!("Pull {which} to feasible")).clicked() {
                requests.push(pull_request(view, stuck));
            }
            ui.add_space(12.0);
            if link(ui, "Keep them on purpose…").clicked() {
                self.keeping = Some(String::new());
            }
        }
    }

    /// The reason for keeping runs that cannot run.
    fn keeping_ui(&mut self, ui: &mut Ui, stuck: &[u32]) -> Option<Command> {
        let reason = self.keeping.clone()?;
        let mut command = None;
        ui.horizontal(|ui| {
            crate::widgets::heading::inline_text(ui, "Why are they run all the same?");
            let (rect, _) =
                ui.allocate_exact_size(vec2(320.0, measure::FIELD_HEIGHT), egui::Sense::hover());
            let id = egui::Id::unique("keep on purpose");
            if let Some(text) =
                crate::widgets::text_field::bare_text_field(ui, id, "reason", &reason, rect)
                && !text.trim().is_empty()
            {
                let commands = stuck
                    .iter()
                    .map(|run| Command::KeepOnPurpose {
                        run: *run,
                        reason: Some(text.trim().to_owned()),
                    })
                    .collect();
                command = Some(Command::Together {
                    label: format!("kept {} runs on purpose", stuck.len()),
                    commands,
                });
                self.keeping = None;
            }
            if link(ui, "Not now").clicked() {
                self.keeping = None;
            }
        });
        command
    }
}

/// Runs without results that cannot run and are not kept on purpose.
fn stuck_runs(view: &View<'_>, judged: &[RunJudgement]) -> Vec<u32> {
    judged
        .iter()
        .filter(|judged| judged.feasible() == Some(false))
        .filter_map(|judged| view.project.run(judged.run))
        .filter(|run| run.on_purpose.is_none() && !run.has_results())
        .map(|run| run.number)
        .collect()
}

fn head_words(view: &View<'_>, judged: &[RunJudgement], stuck: &[u32]) -> (String, String) {
    let n_runs = view.project.runs.len();
    if n_runs == 0 {
        let below = "Say what is wanted and what there is, then take a proposal: the runs appear on the right.";
        return ("No plan yet.".to_owned(), below.to_owned());
    }
    let n_done = view
        .project
        .runs
        .iter()
        .filter(|run| run.has_results())
        .count();
    let spent = if n_done == 0 {
        "Nothing is spent yet."
    } else {
        "Runs with results stay as they are."
    };
    if !stuck.is_empty() {
        let words: Vec<String> = runs::broken_words(judged, stuck);
        return (
            format!("{} of {n_runs} runs cannot run. {spent}", stuck.len()),
            words.join(" "),
        );
    }
    let unknown = judged
        .iter()
        .filter(|judged| judged.feasible().is_none())
        .count();
    if unknown > 0 {
        let why = judged
            .iter()
            .find_map(RunJudgement::why_unknown)
            .unwrap_or_default();
        return (format!("{unknown} of {n_runs} runs cannot be judged."), why);
    }
    (format!("All {n_runs} runs can run."), spent.to_owned())
}

fn pull_request(view: &View<'_>, stuck: &[u32]) -> Request {
    let mut commands = Vec::new();
    let mut left = Vec::new();
    for run in stuck.iter().filter_map(|number| view.project.run(*number)) {
        match pull(view.project, run) {
            Some(pulled) => commands.push(Command::PullRun {
                run: run.number,
                pulled: pulled.settings,
            }),
            None => left.push(run.number.to_string()),
        }
    }
    if commands.is_empty() {
        return message(
            MessageWeight::Warning,
            "Plan",
            format!("No feasible place was found near runs {}.", left.join(", ")),
            "Change the ranges on the Line screen, or keep them on purpose.",
        );
    }
    Request::Edit(Command::Together {
        label: format!("pulled {} runs to feasible", commands.len()),
        commands,
    })
}

/// Draws into a part of the screen, scrolling up and down where it must.
fn part(ui: &mut Ui, name: &str, rect: Rect, draw: impl FnOnce(&mut Ui)) {
    let builder = UiBuilder::new()
        .id_salt(name)
        .max_rect(rect)
        .layout(Layout::top_down(Align::LEFT));
    let mut inner = ui.new_child(builder);
    ScrollArea::vertical()
        .id_salt(name)
        .auto_shrink(false)
        .show(&mut inner, |ui| {
            ui.set_max_width(rect.width() - 8.0);
            draw(ui);
        });
}
