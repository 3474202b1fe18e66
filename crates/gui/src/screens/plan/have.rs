//! What there is: ink, foil and time with what the plan uses of them, and what each run takes beyond its film.

use egui::{Id, Ui};

use crate::app::view::{Request, View};
use crate::campaign::answers::plain;
use crate::campaign::command::Command;
use crate::campaign::project::Budget;
use crate::number_text::{format_typed, parse_number};
use crate::theme::measure;
use crate::widgets::heading::section_head;
use crate::widgets::number_field::NumberField;
use crate::widgets::plot::share_bars::{BudgetLine, budget_rows};
use crate::widgets::row_label::left_label;

/// Draws amounts and bars.
pub(super) fn ui(ui: &mut Ui, view: &View<'_>, requests: &mut Vec<Request>) {
    section_head(ui, "What there is", "used");
    if let Some(roll) = view.derived.roll().filter(|roll| !roll.runs.is_empty()) {
        let totals = &roll.totals;
        let line = |name: &str, used: Option<f64>, there: Option<f64>, unit: &str| {
            let (used, there) = (used?, there?);
            let words = format!("{} of {} {unit}", plain(used), plain(there));
            Some(BudgetLine {
                name: name.to_owned(),
                words,
                share: used / there.max(f64::MIN_POSITIVE),
            })
        };
        let lines: Vec<BudgetLine> = [
            line("Ink", totals.ink_ml, totals.ink_in_hand_ml, "mL"),
            line("Foil", Some(totals.foil_m), totals.foil_in_hand_m, "m"),
            line("Time", totals.hours, totals.hours_in_hand, "h"),
        ]
        .into_iter()
        .flatten()
        .collect();
        budget_rows(ui, &lines);
        ui.add_space(4.0);
    }
    let budget = &view.project.budget;
    let mut changed: Option<Budget> = None;
    optional(ui, "Ink", "mL", budget.ink_ml, &mut |ink_ml| {
        changed = Some(Budget {
            ink_ml,
            ..budget.clone()
        });
    });
    optional(ui, "Foil", "m", budget.foil_m, &mut |foil_m| {
        changed = Some(Budget {
            foil_m,
            ..budget.clone()
        });
    });
    optional(ui, "Time", "h", budget.hours, &mut |hours| {
        changed = Some(Budget {
            hours,
            ..budget.clone()
        });
    });
    stated(ui, "Sample", "m", budget.sample_m, &mut |sample_m| {
        changed = Some(Budget {
            sample_m,
            ..budget.clone()
        });
    });
    stated(ui, "Settling", "m", budget.settle_m, &mut |settle_m| {
        changed = Some(Budget {
            settle_m,
            ..budget.clone()
        });
    });
    stated(
        ui,
        "Start",
        "min",
        budget.start_minutes,
        &mut |start_minutes| {
            changed = Some(Budget {
                start_minutes,
                ..budget.clone()
            });
        },
    );
    if let Some(budget) = changed {
        requests.push(Request::Edit(Command::SetBudget(budget)));
    }
}

fn optional(
    ui: &mut Ui,
    words: &str,
    unit: &str,
    value: Option<f64>,
    with: &mut dyn FnMut(Option<f64>),
) {
    ui.horizontal(|ui| {
        left_label(ui, 70.0, measure::FIELD_HEIGHT, egui::Label::new(words));
        let name = format!("{words}, {unit}");
        let shown = value.map(format_typed).unwrap_or_default();
        let parse = |text: &str| {
            if text.trim().is_empty() {
                Ok(None)
            } else {
                parse_number(text).map(Some)
            }
        };
        let output = NumberField::new(Id::unique(("budget", words)), &name, &shown)
            .hint("not stated")
            .width(76.0)
            .unit(unit)
            .show_with(ui, parse);
        if let Some(committed) = output.committed {
            with(committed.value);
        }
    });
}

fn stated(ui: &mut Ui, words: &str, unit: &str, value: f64, with: &mut dyn FnMut(f64)) {
    ui.horizontal(|ui| {
        left_label(ui, 70.0, measure::FIELD_HEIGHT, egui::Label::new(words));
        let name = format!("{words}, {unit}");
        let shown = format_typed(value);
        let output = NumberField::new(Id::unique(("budget", words)), &name, &shown)
            .width(76.0)
            .unit(unit)
            .show(ui);
        if let Some(committed) = output.committed {
            with(committed.value);
        }
    });
}
