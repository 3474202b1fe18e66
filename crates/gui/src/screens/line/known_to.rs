//! How well the inputs are known: one standard deviation each, with the usual figure of the trade beside it.

use egui::{Id, Ui};

use wetlane_physics::Cause;

use super::LeftColumn;
use crate::app::view::{Request, View};
use crate::campaign::chance::{USUAL_LEAST_CHANCE, absolute_unit, spread_of, usual};
use crate::campaign::command::Command;
use crate::campaign::project::{KnownTo, LimitChoices};
use crate::campaign::window_axes::readable;
use crate::number_text::{NumberError, format_typed, parse_number};
use crate::widgets::button::link;
use crate::widgets::heading::{quiet_text, section_head};
use crate::widgets::number_field::NumberField;
use crate::widgets::row_label::left_label;

/// Width of the names.
const NAMES: f32 = 230.0;
/// Width of the numbers.
const FIELD: f32 = 76.0;
/// Height of a row.
const ROW: f32 = 25.0;

/// Why a number does not do.
#[derive(Debug, thiserror::Error)]
enum KnownToError {
    #[error(transparent)]
    Number(#[from] NumberError),
    #[error(transparent)]
    Refused(#[from] wetlane_physics::UncertaintyError),
    #[error("A chance lies between 0 and 100 %.")]
    NoChance,
}

/// Draws the list; returns where to go.
pub(super) fn ui(ui: &mut Ui, view: &View<'_>, requests: &mut Vec<Request>) -> Option<LeftColumn> {
    section_head(ui, "How well inputs are known", "one standard deviation");
    let next = link(ui, "Back to the settings")
        .clicked()
        .then_some(LeftColumn::Settings);
    quiet_text(
        ui,
        "Empty takes the usual figure of the trade, shown in grey. Rest on a name to see where it comes from.",
    );
    let limits = &view.project.limits;
    for cause in Cause::ALL {
        if let Some(changed) = row_ui(ui, limits, cause) {
            requests.push(Request::Edit(Command::SetLimits(changed)));
        }
    }
    ui.add_space(8.0);
    section_head(ui, "Runs that are pulled", "");
    if let Some(changed) = least_chance_ui(ui, limits) {
        requests.push(Request::Edit(Command::SetLimits(changed)));
    }
    next
}

fn number_of(known_to: KnownTo) -> f64 {
    match known_to {
        KnownTo::Percent(number) | KnownTo::Absolute(number) => number,
    }
}

/// One cause; returns the choices with it changed.
fn row_ui(ui: &mut Ui, limits: &LimitChoices, cause: Cause) -> Option<LimitChoices> {
    let usual = usual(cause);
    let unit = absolute_unit(cause).unwrap_or("%");
    let own = limits.uncertainties.get(cause.key()).copied();
    let shown = own
        .map(|own| format_typed(number_of(own)))
        .unwrap_or_default();
    let parse = |text: &str| -> Result<Option<KnownTo>, KnownToError> {
        if text.trim().is_empty() {
            return Ok(None);
        }
        let number = parse_number(text)?;
        let known_to = match usual {
            KnownTo::Percent(_) => KnownTo::Percent(number),
            KnownTo::Absolute(_) => KnownTo::Absolute(number),
        };
        spread_of(cause, known_to)?;
        Ok(Some(known_to))
    };
    let mut changed = None;
    ui.horizontal(|ui| {
        left_label(ui, NAMES, ROW, egui::Label::new(cause.label()).truncate())
            .on_hover_text(cause.source());
        let name = format!("{}, known to, {unit}", cause.label());
        let output = NumberField::new(Id::unique(("known to", cause.key())), &name, &shown)
            .hint(&format_typed(readable(number_of(usual))))
            .width(FIELD)
            .unit(unit)
            .show_with(ui, parse);
        if let Some(committed) = output.committed {
            let mut limits = limits.clone();
            match committed.value {
                Some(known_to) => limits
                    .uncertainties
                    .insert(cause.key().to_owned(), known_to),
                None => limits.uncertainties.remove(cause.key()),
            };
            changed = Some(limits);
        }
    });
    changed
}

/// The chance that a pulled run is asked to have.
fn least_chance_ui(ui: &mut Ui, limits: &LimitChoices) -> Option<LimitChoices> {
    let shown = limits
        .least_chance
        .map(|chance| format_typed(100.0 * chance))
        .unwrap_or_default();
    let parse = |text: &str| -> Result<Option<f64>, KnownToError> {
        if text.trim().is_empty() {
            return Ok(None);
        }
        let share = parse_number(text)? / 100.0;
        (share > 0.0 && share < 1.0)
            .then_some(Some(share))
            .ok_or(KnownToError::NoChance)
    };
    let mut changed = None;
    ui.horizontal(|ui| {
        let words = "They work with a chance of at least";
        left_label(ui, NAMES, ROW, egui::Label::new(words).truncate());
        let output = NumberField::new(Id::unique("least chance"), "least chance, %", &shown)
            .hint(&format_typed(100.0 * USUAL_LEAST_CHANCE))
            .width(FIELD)
            .unit("%")
            .show_with(ui, parse);
        if let Some(committed) = output.committed {
            changed = Some(LimitChoices {
                least_chance: committed.value,
                ..limits.clone()
            });
        }
    });
    changed
}
