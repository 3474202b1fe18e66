//! What there is: ink, foil and time with what the plan uses of them, and what each run takes beyond its film.

use egui::{Id, Ui};

use crate::app::view::{Request, View};
use crate::campaign::answers::plain;
use crate::campaign::command::Command;
use crate::campaign::project::Budget;
use crate::campaign::roll::Totals;
use crate::number_text::{NumberError, format_typed, parse_number};
use crate::theme::measure;
use crate::widgets::button::link;
use crate::widgets::heading::section_head;
use crate::widgets::number_field::{NumberField, RangeError, parse_within};
use crate::widgets::plot::share_bars::{BudgetLine, budget_rows};
use crate::widgets::row_label::left_label;

/// Longest length of foil or time in minutes that is taken for a typing slip above.
const MOST: f64 = 1e6;

/// Whether the amounts are being changed.
#[derive(Debug, Default)]
pub(super) struct Have {
    is_open: bool,
}

impl Have {
    /// Draws bars, and the amounts as fields while they are open or not known.
    pub(super) fn ui(&mut self, ui: &mut Ui, view: &View<'_>, requests: &mut Vec<Request>) {
        section_head(ui, "What there is", "used");
        let budget = &view.project.budget;
        let roll = view.derived.roll().filter(|roll| !roll.runs.is_empty());
        let lines = roll.map(|roll| lines(&roll.totals)).unwrap_or_default();
        budget_rows(ui, &lines);
        let is_stated =
            budget.ink_ml.is_some() || budget.foil_m.is_some() || budget.hours.is_some();
        let shows_all = self.is_open || !is_stated || lines.is_empty();
        if shows_all && let Some(changed) = fields_ui(ui, budget) {
            requests.push(Request::Edit(Command::SetBudget(changed)));
        }
        if !lines.is_empty() && is_stated {
            ui.add_space(2.0);
            let words = if self.is_open {
                "Done with amounts"
            } else {
                "Change ink, foil, time, sample…"
            };
            if link(ui, words).clicked() {
                self.is_open = !self.is_open;
            }
        }
    }
}

fn lines(totals: &Totals) -> Vec<BudgetLine> {
    let line = |name: &str, used: Option<f64>, there: Option<f64>, unit: &str| {
        let (used, there) = (used?, there?);
        Some(BudgetLine {
            name: name.to_owned(),
            words: format!("{} of {} {unit}", plain(used), plain(there)),
            share: used / there.max(f64::MIN_POSITIVE),
        })
    };
    [
        line("Ink", totals.ink_ml, totals.ink_in_hand_ml, "mL"),
        line("Foil", Some(totals.foil_m), totals.foil_in_hand_m, "m"),
        line("Time", totals.hours, totals.hours_in_hand, "h"),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The amounts as fields; returns the budget with the one that was changed.
fn fields_ui(ui: &mut Ui, budget: &Budget) -> Option<Budget> {
    let mut changed = None;
    for (words, unit, value, put) in [
        (
            "Ink",
            "mL",
            budget.ink_ml,
            (|b, v| b.ink_ml = v) as fn(&mut Budget, Option<f64>),
        ),
        ("Foil", "m", budget.foil_m, |b, v| b.foil_m = v),
        ("Time", "h", budget.hours, |b, v| b.hours = v),
    ] {
        let shown = value.map(format_typed).unwrap_or_default();
        if let Some(value) = row_ui(ui, (words, unit), &shown, "not stated", optional) {
            let mut budget = budget.clone();
            put(&mut budget, value);
            changed = Some(budget);
        }
    }
    for (words, unit, value, least, put) in [
        (
            "Sample",
            "m",
            budget.sample_m,
            1e-3,
            (|b, v| b.sample_m = v) as fn(&mut Budget, f64),
        ),
        ("Settling", "m", budget.settle_m, 0.0, |b, v| b.settle_m = v),
        ("Start", "min", budget.start_minutes, 0.0, |b, v| {
            b.start_minutes = v;
        }),
    ] {
        let within = |text: &str| parse_within(text, least, MOST, words);
        let shown = format_typed(value);
        if let Some(value) = row_ui::<f64, RangeError>(ui, (words, unit), &shown, "", within) {
            let mut budget = budget.clone();
            put(&mut budget, value);
            changed = Some(budget);
        }
    }
    changed
}

/// Nothing, or an amount.
fn optional(text: &str) -> Result<Option<f64>, AmountError> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let amount = parse_number(text)?;
    (amount > 0.0)
        .then_some(Some(amount))
        .ok_or(AmountError::NotAboveZero)
}

/// Why a text is no amount.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
enum AmountError {
    #[error(transparent)]
    Number(#[from] NumberError),
    #[error("An amount is above zero.")]
    NotAboveZero,
}

fn row_ui<T, E: std::fmt::Display>(
    ui: &mut Ui,
    (words, unit): (&str, &str),
    shown: &str,
    hint: &str,
    parse: impl Fn(&str) -> Result<T, E>,
) -> Option<T> {
    ui.horizontal(|ui| {
        left_label(ui, 70.0, measure::FIELD_HEIGHT, egui::Label::new(words));
        let name = format!("{words}, {unit}");
        NumberField::new(Id::unique(("budget", words)), &name, shown)
            .hint(hint)
            .width(90.0)
            .unit(unit)
            .show_with(ui, parse)
            .committed
            .map(|committed| committed.value)
    })
    .inner
}
