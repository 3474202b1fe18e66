//! The Plan screen: what is wanted, what there is, proposals in words, and the runs with what stops them.

mod expert;
mod figures;
mod have;
mod head;
mod making;
mod offers;
mod proposals;
mod runs;
mod two_settings;
mod wanted;
mod worth;

use egui::{Align, Layout, Rect, ScrollArea, Ui, UiBuilder, vec2};

use crate::app::background::{Available, Background};
use crate::app::derived::Stamps;
use crate::app::view::{Request, View};
use crate::campaign::feasibility::RunJudgement;
use crate::campaign::plan_worth::PlanWorth;
use crate::campaign::project::Question;
use crate::campaign::proposals::Proposal;
use crate::theme::measure;
use crate::widgets::button::link;
use crate::widgets::choice::word_row;

/// Gap between the chart and what the plan can tell.
const INNER_GAP: f32 = 16.0;
/// Narrowest middle column in which chart and words stand side by side.
const SIDE_BY_SIDE: f32 = 420.0;

/// Stamps and model for which the worth of a plan was computed.
type WorthKey = (Stamps, String);

/// Drafts of the Plan screen.
#[derive(Debug)]
pub struct PlanScreen {
    /// The question chosen here; `None` is that of the plan.
    question: Option<Question>,
    proposals: Background<(Stamps, Question), Vec<Proposal>>,
    /// Whether proposals are shown with all their words.
    has_full_words: bool,
    making: making::Making,
    expert: expert::ExpertFold,
    worth: Background<WorthKey, Result<PlanWorth, String>>,
    /// Whether the figures in textbook words are open.
    has_figures: bool,
    axes: Option<(String, String)>,
    wanted: wanted::Wanted,
    have: have::Have,
    offers: offers::Offers,
    narrow_column: usize,
}

impl Default for PlanScreen {
    fn default() -> Self {
        Self {
            question: None,
            proposals: Background::new("proposals"),
            has_full_words: false,
            making: making::Making::default(),
            expert: expert::ExpertFold::default(),
            worth: Background::new("what the plan can tell"),
            has_figures: false,
            axes: None,
            wanted: wanted::Wanted::default(),
            have: have::Have::default(),
            offers: offers::Offers::default(),
            narrow_column: 0,
        }
    }
}

/// The judgements of the runs, and whether they belong to the runs as they are now.
#[derive(Debug, Clone)]
struct Judged {
    runs: Vec<RunJudgement>,
    is_fresh: bool,
}

impl Judged {
    fn of(view: &View<'_>) -> Self {
        match view.derived.judged_runs() {
            Available::Fresh(runs) => Self {
                runs: runs.clone(),
                is_fresh: true,
            },
            Available::Stale(runs) => Self {
                runs: runs.clone(),
                is_fresh: false,
            },
            Available::Nothing => Self {
                runs: Vec::new(),
                is_fresh: false,
            },
        }
    }

    /// Runs without results that cannot run and are not kept on purpose; none while that is not known.
    fn stuck(&self, view: &View<'_>) -> Vec<u32> {
        let broken = self
            .runs
            .iter()
            .filter(|judged| self.is_fresh && judged.feasible() == Some(false));
        broken
            .filter_map(|judged| view.project.run(judged.run))
            .filter(|run| run.on_purpose.is_none() && !run.has_results())
            .map(|run| run.number)
            .collect()
    }
}

impl PlanScreen {
    /// Draws the screen.
    pub fn ui(&mut self, ui: &mut Ui, view: &mut View<'_>) -> Vec<Request> {
        let mut requests = Vec::new();
        let stamps = view.derived.stamps();
        requests.extend(self.making.take(stamps));
        requests.extend(self.offers.take(stamps));
        let judged = Judged::of(view);
        head::ui(ui, view, &judged, &mut self.offers, &mut requests);
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
        judged: &Judged,
        requests: &mut Vec<Request>,
    ) {
        let full = ui.available_rect_before_wrap();
        let spare = (full.width() - 1318.0).max(0.0);
        let tight = (1318.0 - full.width()).max(0.0);
        let left = full.with_max_x(full.left() + 240.0 + 0.1 * spare - 0.1 * tight);
        let right = full.with_min_x(full.right() - 536.0 - 0.3 * spare + 0.4 * tight);
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
        judged: &Judged,
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

    fn question(&self, view: &View<'_>) -> Question {
        let of_plan = || view.project.plan.as_ref().map(|plan| plan.question);
        self.question.or_else(of_plan).unwrap_or_default()
    }

    fn left_ui(&mut self, ui: &mut Ui, view: &mut View<'_>, requests: &mut Vec<Request>) {
        self.wanted.ui(ui, view, requests);
        ui.add_space(10.0);
        self.have.ui(ui, view, requests);
        ui.add_space(10.0);
        if let Some(picked) = proposals::question_ui(ui, self.question(view)) {
            self.question = Some(picked);
        }
    }

    fn middle_ui(
        &mut self,
        ui: &mut Ui,
        view: &mut View<'_>,
        judged: &Judged,
        requests: &mut Vec<Request>,
    ) {
        self.proposals_ui(ui, view);
        ui.add_space(6.0);
        if ui.available_width() < SIDE_BY_SIDE {
            two_settings::ui(ui, view, judged, &mut self.axes, requests);
            ui.add_space(8.0);
            self.worth_ui(ui, view);
        } else {
            let width = ui.available_width();
            let chart_width = 0.57 * (width - INNER_GAP);
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = INNER_GAP;
                column(ui, chart_width, |ui| {
                    two_settings::ui(ui, view, judged, &mut self.axes, requests);
                });
                column(ui, width - INNER_GAP - chart_width, |ui| {
                    self.worth_ui(ui, view);
                });
            });
        }
        self.figures_ui(ui, view);
    }

    fn proposals_ui(&mut self, ui: &mut Ui, view: &View<'_>) {
        let ctx = ui.ctx().clone();
        let Some(project) = view.derived.snapshot() else {
            return;
        };
        let (stamps, question) = (view.derived.stamps(), self.question(view));
        self.proposals.ask((stamps, question), &ctx, move |watch| {
            crate::campaign::proposals::proposals_until(&project, question, watch.stop_flag())
        });
        self.proposals.poll();
        let offered = self.proposals.get(&(stamps, question));
        let taken = proposals::ui(ui, view.project, offered, self.has_full_words);
        ui.horizontal_wrapped(|ui| {
            let words = if self.has_full_words {
                "Fewer words"
            } else {
                "All words"
            };
            if link(ui, words).clicked() {
                self.has_full_words = !self.has_full_words;
            }
            ui.add_space(12.0);
            self.expert.link_ui(ui, view.project);
        });
        let asked = self.expert.ui(ui, view.project, question);
        self.making.progress_ui(ui);
        if let Some(request) = taken.or(asked) {
            self.making.ask(view, request, &ctx);
        }
    }

    /// What the plan can tell, asked for in the background.
    fn ask_worth(&mut self, ui: &Ui, view: &View<'_>) -> WorthKey {
        let key = worth_key(view);
        if let Some(project) = view.derived.snapshot().filter(|p| !p.runs.is_empty()) {
            self.worth.ask(key.clone(), ui.ctx(), move |_| {
                crate::campaign::plan_worth::plan_worth(&project, &[])
                    .map_err(|error| error.to_string())
            });
        }
        self.worth.poll();
        key
    }

    fn worth_ui(&mut self, ui: &mut Ui, view: &View<'_>) {
        if view.project.runs.is_empty() {
            return;
        }
        let key = self.ask_worth(ui, view);
        if worth::ui(ui, self.worth.get(&key), self.has_figures) {
            self.has_figures = !self.has_figures;
        }
    }

    fn figures_ui(&self, ui: &mut Ui, view: &View<'_>) {
        if !self.has_figures || view.project.runs.is_empty() {
            return;
        }
        if let Some(Ok(worth)) = self.worth.get(&worth_key(view)).any() {
            ui.add_space(8.0);
            figures::ui(ui, worth);
        }
    }
}

/// What the worth of the present plan is kept under.
fn worth_key(view: &View<'_>) -> WorthKey {
    let model = view.project.plan.as_ref().map(|plan| plan.model.clone());
    (view.derived.stamps(), model.unwrap_or_default())
}

/// Draws into a column of this width, from the top.
fn column(ui: &mut Ui, width: f32, draw: impl FnOnce(&mut Ui)) {
    ui.allocate_ui_with_layout(
        vec2(width, ui.available_height()),
        Layout::top_down(Align::LEFT),
        |ui| {
            ui.set_width(width);
            draw(ui);
        },
    );
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
