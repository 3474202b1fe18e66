//! The expert fold: every kind of plan with the options that it has, the model, the order and the seed.

use std::fmt::Display;

use egui::{Id, Ui};

use wetlane_stats::design::{
    AxialDistance, CentrePlacement, CubePart, DesignKind, DesignRequest, OrderRule, SearchBudget,
    Seed,
};

use crate::campaign::plan_options::{axial_words, parse_axial_distance, request_of};
use crate::campaign::planning::PlanRequest;
use crate::campaign::project::{Project, Question, Variation};
use crate::campaign::sentence_case::in_sentence;
use crate::number_text::parse_number;
use crate::theme::measure;
use crate::widgets::button::{link, outlined_button, tick_box};
use crate::widgets::choice::dropdown;
use crate::widgets::heading::{quiet_text, section_head};
use crate::widgets::number_field::NumberField;
use crate::widgets::row_label::left_label;
use crate::widgets::text_field::bare_text_field;

/// Width of the names of the options.
const NAMES: f32 = 118.0;
/// Width of lists and texts.
const WIDE: f32 = 200.0;
/// Models by the word that the plan keeps, with the words of the list.
const MODELS: [(&str, &str); 4] = [
    ("", "open: the largest that fits"),
    ("linear", "linear"),
    ("interactions", "interactions"),
    ("quadratic", "quadratic"),
];
/// Ways to order the runs.
const ORDERS: [(OrderRule, &str); 3] = [
    (OrderRule::Shuffled, "shuffled"),
    (OrderRule::TrendBalanced, "balanced against a drift"),
    (OrderRule::Standard, "standard, not shuffled"),
];

/// What is chosen in the fold.
#[derive(Debug, Default)]
pub(super) struct ExpertFold {
    /// The request while the fold is open.
    draft: Option<PlanRequest>,
}

/// Message for text that is no whole number.
#[derive(Debug, Clone, Copy)]
struct NotAWholeNumber;

impl Display for NotAWholeNumber {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("A whole number belongs here.")
    }
}

const fn is_composite(kind: DesignKind) -> bool {
    matches!(
        kind,
        DesignKind::CentralComposite | DesignKind::FaceCentred | DesignKind::Inscribed
    )
}

const fn has_runs(kind: DesignKind) -> bool {
    matches!(
        kind,
        DesignKind::FractionalFactorial
            | DesignKind::PlackettBurman
            | DesignKind::DefinitiveScreening
            | DesignKind::LatinHypercube
    )
}

const fn has_generators(kind: DesignKind) -> bool {
    matches!(kind, DesignKind::FractionalFactorial) || is_composite(kind)
}

impl ExpertFold {
    /// The link that opens and closes the fold.
    pub(super) fn link_ui(&mut self, ui: &mut Ui, project: &Project) {
        let words = if self.draft.is_some() {
            "Close the expert fold"
        } else {
            "Every plan kind, generator, block, seed"
        };
        if link(ui, words).clicked() {
            self.draft = match self.draft {
                None => Some(start(project)),
                Some(_) => None,
            };
        }
    }

    /// Draws the fold; returns a plan that was asked for.
    pub(super) fn ui(
        &mut self,
        ui: &mut Ui,
        project: &Project,
        question: Question,
    ) -> Option<PlanRequest> {
        let draft = self.draft.as_mut()?;
        section_head(ui, "Every plan", "");
        quiet_text(ui, "Textbook words from here on.");
        kind_ui(ui, draft);
        size_ui(ui, &mut draft.design);
        composite_ui(ui, &mut draft.design);
        levels_ui(ui, project, &mut draft.design);
        repeats_ui(ui, &mut draft.design);
        order_ui(ui, &mut draft.design);
        let is_asked = outlined_button(ui, "Make this plan").clicked();
        ui.add_space(6.0);
        is_asked.then(|| PlanRequest {
            question,
            model: draft.model.clone(),
            design: applicable(&draft.design, project),
        })
    }
}

/// The request of the present plan, if there is one that is understood.
fn start(project: &Project) -> PlanRequest {
    let of_plan = project.plan.as_ref().and_then(|plan| request_of(plan).ok());
    of_plan.unwrap_or_else(|| PlanRequest {
        question: Question::default(),
        model: String::new(),
        design: DesignRequest::new(DesignKind::FullFactorial, Seed(project.seed)),
    })
}

/// The request without options that its kind does not have; limits of axial points come from the machine.
fn applicable(design: &DesignRequest, project: &Project) -> DesignRequest {
    let kind = design.kind;
    let mut design = design.clone();
    if kind == DesignKind::FullFactorial {
        let n = project.varied().count();
        if design.n_levels.iter().any(Option::is_some) {
            design.n_levels.resize(n, None);
        }
    } else {
        design.n_levels = Vec::new();
    }
    design.hard_limits = Vec::new();
    if !has_generators(kind) {
        design.generators = None;
    }
    if !has_runs(kind) {
        design.n_runs = None;
    }
    if kind != DesignKind::LatinHypercube {
        design.search_budget = None;
    }
    if !is_composite(kind) {
        design.axial_distance = None;
        design.cube_part = CubePart::SmallestOfResolutionFive;
    }
    if kind == DesignKind::FaceCentred {
        design.axial_distance = None;
    }
    design
}

fn kind_ui(ui: &mut Ui, draft: &mut PlanRequest) {
    let labels: Vec<String> = DesignKind::ALL
        .iter()
        .map(|kind| kind.label().to_owned())
        .collect();
    let present = DesignKind::ALL
        .iter()
        .position(|kind| *kind == draft.design.kind);
    if let Some(kind) = list(ui, "Kind", "kind of plan", &labels, present)
        .and_then(|picked| DesignKind::ALL.get(picked))
    {
        draft.design.kind = *kind;
    }
    let words: Vec<String> = MODELS
        .iter()
        .map(|(_, words)| (*words).to_owned())
        .collect();
    let present = MODELS.iter().position(|(key, _)| *key == draft.model);
    if let Some((key, _)) = list(ui, "Model", "model of the plan", &words, present)
        .and_then(|picked| MODELS.get(picked))
    {
        (*key).clone_into(&mut draft.model);
    }
}

/// Runs, generators and search, for the kinds that have them.
fn size_ui(ui: &mut Ui, design: &mut DesignRequest) {
    if has_runs(design.kind) {
        count(ui, "Runs", "usual", &mut design.n_runs);
    }
    if has_generators(design.kind) {
        let shown = design.generators.clone().unwrap_or_default();
        if let Some(text) = text(ui, "Generators", &shown) {
            design.generators = Some(text.trim().to_owned()).filter(|text| !text.is_empty());
        }
    }
    if design.kind == DesignKind::LatinHypercube {
        let present = design.search_budget;
        let mut starts = present.map(|budget| budget.n_starts);
        let mut trials = present.map(|budget| budget.n_trials);
        count(ui, "Search starts", "usual", &mut starts);
        count(ui, "Trials a start", "usual", &mut trials);
        // Both numbers make a budget; one alone stands beside a usual number for the other.
        design.search_budget = match (starts, trials) {
            (None, None) => None,
            (starts, trials) => Some(SearchBudget {
                n_starts: starts.unwrap_or(4),
                n_trials: trials.unwrap_or(100_000),
            }),
        };
    }
}

fn composite_ui(ui: &mut Ui, design: &mut DesignRequest) {
    if !is_composite(design.kind) {
        return;
    }
    if design.kind != DesignKind::FaceCentred {
        let shown = design.axial_distance.map(axial_words).unwrap_or_default();
        row(ui, "Axial distance", |ui| {
            let output = NumberField::new(Id::unique("axial distance"), "axial distance", &shown)
                .hint("usual")
                .width(WIDE)
                .show_with(ui, read_distance);
            if let Some(committed) = output.committed {
                design.axial_distance = committed.value;
            }
        });
    }
    let mut is_full = design.cube_part == CubePart::Full;
    row(ui, "", |ui| {
        if tick_box(ui, &mut is_full, "all corners, no fraction").clicked() {
            design.cube_part = if is_full {
                CubePart::Full
            } else {
                CubePart::SmallestOfResolutionFive
            };
        }
    });
    if design.kind == DesignKind::CentralComposite {
        quiet_text(ui, "Axial runs stop at what the machine can set.");
    }
}

fn read_distance(
    text: &str,
) -> Result<Option<AxialDistance>, crate::campaign::planning::PlanError> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    parse_axial_distance(text).map(Some)
}

/// Levels of each continuous setting of a full factorial.
fn levels_ui(ui: &mut Ui, project: &Project, design: &mut DesignRequest) {
    if design.kind != DesignKind::FullFactorial {
        return;
    }
    let varied: Vec<_> = project.varied().collect();
    let mut levels = design.n_levels.clone();
    levels.resize(varied.len(), None);
    for (setting, n_levels) in varied.iter().zip(&mut levels) {
        if matches!(setting.variation, Variation::Range { .. }) {
            let name = format!("Levels, {}", in_sentence(&setting.label));
            count(ui, &name, "2", n_levels);
        }
    }
    design.n_levels = if levels.iter().any(Option::is_some) {
        levels
    } else {
        Vec::new()
    };
}

fn repeats_ui(ui: &mut Ui, design: &mut DesignRequest) {
    count(ui, "Centre runs", "usual", &mut design.n_centre);
    let mut is_first = design.centre_placement == CentrePlacement::FirstLevels;
    row(ui, "", |ui| {
        if tick_box(ui, &mut is_first, "only at first categories").clicked() {
            design.centre_placement = if is_first {
                CentrePlacement::FirstLevels
            } else {
                CentrePlacement::EachCombination
            };
        }
    });
    count(ui, "Return runs", "none", &mut design.n_return);
    whole(ui, "Replicates", &mut design.n_replicates);
    whole(ui, "Blocks", &mut design.n_blocks);
}

fn order_ui(ui: &mut Ui, design: &mut DesignRequest) {
    let words: Vec<String> = ORDERS
        .iter()
        .map(|(_, words)| (*words).to_owned())
        .collect();
    let present = ORDERS.iter().position(|(order, _)| *order == design.order);
    if let Some((order, _)) = list(ui, "Order", "order of the runs", &words, present)
        .and_then(|picked| ORDERS.get(picked))
    {
        design.order = *order;
    }
    row(ui, "Seed", |ui| {
        let shown = design.seed.0.to_string();
        let output = NumberField::new(Id::unique("plan seed"), "seed", &shown)
            .width(90.0)
            .show_with(ui, |text: &str| {
                text.trim().parse::<u64>().or(Err(NotAWholeNumber))
            });
        if let Some(committed) = output.committed {
            design.seed = Seed(committed.value);
        }
    });
}

fn row(ui: &mut Ui, words: &str, draw: impl FnOnce(&mut Ui)) {
    ui.horizontal(|ui| {
        let label = egui::Label::new(words).truncate();
        left_label(ui, NAMES, measure::FIELD_HEIGHT, label);
        draw(ui);
    });
}

fn list(
    ui: &mut Ui,
    words: &str,
    name: &str,
    entries: &[String],
    present: Option<usize>,
) -> Option<usize> {
    let mut picked = None;
    row(ui, words, |ui| {
        picked = dropdown(
            ui,
            Id::unique(("plan list", words)),
            name,
            entries,
            (present, WIDE),
        );
    });
    picked
}

fn text(ui: &mut Ui, words: &str, shown: &str) -> Option<String> {
    let mut committed = None;
    row(ui, words, |ui| {
        let size = egui::vec2(WIDE, measure::FIELD_HEIGHT);
        let (rect, _) = ui.allocate_exact_size(size, egui::Sense::hover());
        let id = Id::unique(("plan text", words));
        committed = bare_text_field(ui, id, &words.to_lowercase(), shown, rect);
    });
    committed
}

fn read_count(text: &str) -> Result<Option<usize>, NotAWholeNumber> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let number = parse_number(text).or(Err(NotAWholeNumber))?;
    let is_whole = (0.0..1e12).contains(&number) && number.fract().abs() < f64::EPSILON;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "taken only where the check just above holds"
    )]
    let count = number as usize;
    is_whole.then_some(Some(count)).ok_or(NotAWholeNumber)
}

fn count(ui: &mut Ui, words: &str, hint: &str, value: &mut Option<usize>) {
    row(ui, words, |ui| {
        let shown = value.map(|value| value.to_string()).unwrap_or_default();
        let name = words.to_lowercase();
        let output = NumberField::new(Id::unique(("plan count", words)), &name, &shown)
            .hint(hint)
            .width(90.0)
            .show_with(ui, read_count);
        if let Some(committed) = output.committed {
            *value = committed.value;
        }
    });
}

fn whole(ui: &mut Ui, words: &str, value: &mut usize) {
    let mut optional = Some(*value);
    count(ui, words, "1", &mut optional);
    *value = optional.unwrap_or(1);
}
