//! The plan in the figures of textbooks: power, variance inflation, prediction variance, efficiencies.

use egui::{Align, Sense, Stroke, Ui, WidgetInfo, accesskit::Role, pos2, vec2};

use wetlane_stats::{Known, Value};

use crate::campaign::answers::plain;
use crate::campaign::plan_worth::{PlanWorth, Stratum, TermWorth};
use crate::figure::axis::Axis;
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::heading::{quiet_head, quiet_text, section_head};
use crate::widgets::lettering::{Lettering, base_line_around};
use crate::widgets::plot::field::{Field, Room};

/// Heads of the columns of terms, after the name.
const HEADS: [&str; 4] = ["std. error / σ", "VIF", "power at 2σ", "stratum"];
/// Pitch of the rows.
const PITCH: f32 = 19.0;

/// Draws all figures.
pub(super) fn ui(ui: &mut Ui, worth: &PlanWorth) {
    section_head(ui, "Figures", "5 % level, scatter σ of a run");
    quiet_text(ui, "Textbook words from here on.");
    line_ui(ui, "term", &HEADS.map(ToOwned::to_owned), true);
    for term in &worth.terms {
        line_ui(ui, &term.label, &cells(term), false);
    }
    ui.add_space(6.0);
    let evaluation = &worth.evaluation;
    quiet_head(ui, "Whole plan", &format!("{} model", worth.model));
    let facts = [
        ("runs", evaluation.n_runs.to_string()),
        (
            "coefficients that can be estimated",
            format!("{} of {}", evaluation.rank, evaluation.n_columns),
        ),
        ("error degrees of freedom", evaluation.error_df.to_string()),
        ("D-efficiency", percent(&evaluation.d_efficiency)),
        ("A-efficiency", percent(&evaluation.a_efficiency)),
        ("G-efficiency", percent(&evaluation.g_efficiency)),
        (
            "average prediction variance / σ²",
            number(&evaluation.average_prediction_variance),
        ),
        ("greatest prediction variance / σ²", greatest(worth)),
        ("condition number", plain(evaluation.condition_number)),
    ];
    for (name, words) in facts {
        line_ui(ui, name, &[words], false);
    }
    if !worth.indispensable.is_empty() {
        let words = super::offers::named(&worth.indispensable);
        quiet_text(
            ui,
            &format!("If one of these is lost, a term is lost: {words}."),
        );
    }
    if !worth.left_out.is_empty() {
        let words = super::offers::named(&worth.left_out);
        quiet_text(ui, &format!("Not counted, for want of a setting: {words}."));
    }
    ui.add_space(6.0);
    region_ui(ui, &evaluation.fraction_of_design_space);
}

fn cells(term: &TermWorth) -> [String; 4] {
    [
        number(&term.relative_se),
        number(&term.vif),
        percent(&term.power.clone().map(|power| 100.0 * power)),
        match term.stratum {
            Some(Stratum::SetUps) => "set-ups",
            Some(Stratum::Runs) => "runs",
            None => "–",
        }
        .to_owned(),
    ]
}

fn number(value: &Known<f64>) -> String {
    match value {
        Ok(value) => plain(*value),
        Err(why) => why.to_string(),
    }
}

fn percent(value: &Known<f64>) -> String {
    match value {
        Ok(value) => format!("{value:.0} %"),
        Err(why) => why.to_string(),
    }
}

/// The greatest prediction variance with the coded place where it is.
fn greatest(worth: &PlanWorth) -> String {
    match &worth.evaluation.max_prediction_variance {
        Ok(found) => {
            let coded = |value: &Value| match value {
                Value::Number(number) => plain(*number),
                Value::Level(level) => format!("level {}", level + 1),
            };
            let place: Vec<String> = found.point.0.iter().map(coded).collect();
            format!("{} at coded {}", plain(found.variance), place.join(", "))
        }
        Err(why) => why.to_string(),
    }
}

/// A row: a name, then words in columns of equal width up to the right end.
fn line_ui(ui: &mut Ui, name: &str, cells: &[String], is_head: bool) {
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), PITCH), Sense::hover());
    ui.add_space(-ui.spacing().item_spacing.y);
    let palette = Palette::of(ui);
    let color = if is_head { palette.ink2 } else { palette.ink };
    let font = theme::regular(text_size::UNIT);
    let base = base_line_around(rect.center().y, text_size::UNIT);
    let painter = ui.painter();
    let names = if cells.len() == 1 { 0.5 } else { 0.32 } * rect.width();
    let column = (rect.width() - names) / cells.len().max(1) as f32;
    Lettering::new(name, font.clone(), color).write_within(
        painter,
        pos2(rect.left(), base),
        Align::LEFT,
        names - 6.0,
    );
    for (index, cell) in cells.iter().enumerate() {
        let right = rect.left() + names + column * (index as f32 + 1.0);
        Lettering::new(cell, font.clone(), color).write_within(
            painter,
            pos2(right, base),
            Align::RIGHT,
            column - 6.0,
        );
    }
    if is_head {
        let stroke = Stroke::new(measure::HAIR, palette.line);
        painter.hline(rect.x_range(), rect.bottom(), stroke);
    }
    let words = format!("{name}: {}", cells.join(", "));
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
}

/// The share of the feasible region whose prediction variance is not above a value.
fn region_ui(ui: &mut Ui, curve: &Known<Vec<(f64, f64)>>) {
    quiet_head(ui, "Fraction of design space", "prediction variance / σ²");
    let curve = match curve {
        Ok(curve) if curve.len() > 1 => curve,
        Ok(_) => return,
        Err(why) => {
            quiet_text(ui, &format!("Not there: {why}."));
            return;
        }
    };
    let highest = curve
        .iter()
        .map(|(_, variance)| *variance)
        .fold(0.0, f64::max);
    let x = Axis::linear("share of the region that can run", "", 0.0, 1.0);
    let y = Axis::linear(
        "variance / σ²",
        "",
        0.0,
        1.05 * highest.max(f64::MIN_POSITIVE),
    );
    let size = vec2(ui.available_width().min(420.0), 150.0);
    let (outer, response) = ui.allocate_exact_size(size, Sense::hover());
    let field = Field::inside(outer, Room::AXES, &x, &y);
    let palette = Palette::of(ui);
    let painter = ui.painter();
    field.paint_ground(painter, palette);
    let line: Vec<[f64; 2]> = curve
        .iter()
        .map(|(share, variance)| [*share, *variance])
        .collect();
    field.paint_line(
        painter,
        &line,
        Stroke::new(measure::LIMIT_CURVE, palette.accent),
    );
    field.paint_axes(painter, palette);
    let at = |wanted: f64| {
        let found = curve.iter().find(|(share, _)| *share >= wanted - 1e-9);
        found.map_or_else(|| "–".to_owned(), |(_, variance)| plain(*variance))
    };
    let words = format!(
        "half of the region has at most {} σ², nine tenths at most {} σ²",
        at(0.5),
        at(0.9)
    );
    response.widget_info(|| {
        WidgetInfo::labeled(
            Role::Figure,
            true,
            format!("fraction of design space: {words}"),
        )
    });
    quiet_text(
        ui,
        &crate::campaign::sentence_case::capitalized(&format!("{words}.")),
    );
}
