//! What the plan can tell, in words: the smallest sure change of each setting, and what is mixed up.

use egui::{Align, Rect, Sense, Ui, WidgetInfo, accesskit::Role, pos2, vec2};

use crate::app::background::Available;
use crate::campaign::answers::plain;
use crate::campaign::plan_worth::{PlanWorth, TermWorth, model_words};
use crate::theme::{self, Palette, text_size};
use crate::widgets::button::link;
use crate::widgets::heading::{body_text, quiet_text, section_head};
use crate::widgets::lettering::{Lettering, base_line_around};

/// Sets of terms that are named before the rest is counted.
const NAMED_SETS: usize = 3;
/// Pitch of the rows.
const PITCH: f32 = 19.0;
/// Room for the number at the right.
const NUMBER: f32 = 62.0;
/// Longest bar.
const BAR: f32 = 44.0;

/// Draws what is known; true if the figures are to be opened or closed.
pub(super) fn ui(
    ui: &mut Ui,
    worth: Available<'_, Result<PlanWorth, String>>,
    has_figures: bool,
) -> bool {
    let is_old = matches!(worth, Available::Stale(_));
    let right = if is_old { "being worked out anew" } else { "" };
    section_head(ui, "What it can tell", right);
    let worth = match worth.any() {
        None => {
            quiet_text(ui, "What the runs can tell is being worked out.");
            return false;
        }
        Some(Err(why)) => {
            quiet_text(ui, &format!("Nothing can be said: {why}."));
            return false;
        }
        Some(Ok(worth)) => worth,
    };
    changes_ui(ui, worth);
    ui.add_space(4.0);
    mixed_ui(ui, worth);
    let words = if has_figures {
        "Close the figures"
    } else {
        "Figures: power, variance, efficiency"
    };
    link(ui, words).clicked()
}

/// The smallest sure change of each setting by itself.
fn changes_ui(ui: &mut Ui, worth: &PlanWorth) {
    quiet_text(
        ui,
        &format!(
            "Smallest sure change over the range, in scatters σ of a run; {}.",
            model_words(&worth.model)
        ),
    );
    let single: Vec<&TermWorth> = worth.terms.iter().filter(|term| term.is_single).collect();
    let known = single
        .iter()
        .filter_map(|term| term.sure_change.as_ref().ok());
    let largest = known.copied().fold(0.0, f64::max);
    for term in &single {
        let share = match &term.sure_change {
            Ok(change) if largest > 0.0 => change / largest,
            _ => 0.0,
        };
        row_ui(ui, term, share);
    }
    if let Some(n_set_ups) = worth.n_set_ups {
        ui.add_space(4.0);
        quiet_text(
            ui,
            &format!(
                "What is hard to change is judged among {n_set_ups} set-ups, not {} runs.",
                worth.n_runs
            ),
        );
    }
}

fn row_ui(ui: &mut Ui, term: &TermWorth, share: f64) {
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), PITCH), Sense::hover());
    ui.add_space(-ui.spacing().item_spacing.y);
    let palette = Palette::of(ui);
    let painter = ui.painter();
    let base = base_line_around(rect.center().y, text_size::CELL);
    let (words, color) = match &term.sure_change {
        Ok(change) => (format!("{} σ", plain(*change)), palette.ink),
        Err(_) => ("not told".to_owned(), palette.amber),
    };
    let font = theme::regular(text_size::CELL);
    Lettering::new(&words, font.clone(), color).write(
        painter,
        pos2(rect.right(), base),
        Align::RIGHT,
    );
    let bar_right = rect.right() - NUMBER;
    #[expect(clippy::cast_possible_truncation, reason = "a share of a bar")]
    let length = BAR * share.clamp(0.0, 1.0) as f32;
    let bar = Rect::from_x_y_ranges(
        bar_right - BAR..=bar_right - BAR + length,
        rect.center().y - 2.5..=rect.center().y + 2.5,
    );
    painter.rect_filled(bar, 0, palette.ink3);
    Lettering::new(&term.label, font, palette.ink).write_within(
        painter,
        pos2(rect.left(), base),
        Align::LEFT,
        rect.width() - NUMBER - BAR - 8.0,
    );
    let why = term.sure_change.as_ref().err().map(ToString::to_string);
    let full = match &why {
        Some(why) => format!("{}: not told, {why}", term.label),
        None => format!("{}: smallest sure change {words}", term.label),
    };
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &full));
    if why.is_some() {
        response.on_hover_text(full);
    }
}

/// What cannot be told apart, in words.
fn mixed_ui(ui: &mut Ui, worth: &PlanWorth) {
    if worth.confused.is_empty() && worth.alike.is_empty() {
        body_text(ui, "No two of settings, pairs and bends are mixed up.");
    }
    if !worth.confused.is_empty() {
        let n = worth.confused.len();
        let head = if n > NAMED_SETS {
            format!("It cannot tell apart ({NAMED_SETS} of {n}):")
        } else {
            "It cannot tell apart:".to_owned()
        };
        quiet_text(ui, &head);
        for set in worth.confused.iter().take(NAMED_SETS) {
            body_text(ui, &set.join(" and "));
        }
    }
    if let Some((one, other, r)) = worth.alike.first() {
        let more = worth.alike.len() - 1;
        let more = if more > 0 {
            format!(", and {more} more pairs")
        } else {
            String::new()
        };
        quiet_text(
            ui,
            &format!("Hard to tell apart: {one} and {other} (r = {r:.2}){more}."),
        );
    }
}
