//! The appendix in textbook words: terms, analysis of variance, lack of fit, diagnostics, stationary point.

use wetlane_stats::{ConfidenceLevel, Known};

use super::residual_plots::residual_plots;
use super::{QualityAnswer, ReportInput};
use crate::campaign::analysis::QualityFit;
use crate::campaign::answers::plain;
use crate::campaign::factors::{coded_point, settings_at};
use crate::campaign::html::{Cell, Html, Table};
use crate::campaign::project::{Project, QualityScale};
use crate::campaign::sentence_case::in_sentence;
use crate::number_text::format_number;

/// One section a fitted quality.
pub(super) fn evidence(page: &mut Html, input: &ReportInput<'_>) {
    for answer in &input.qualities {
        if let Ok(fit) = &answer.fit {
            let heading = format!("Evidence: {}", in_sentence(&fit.quality.label));
            ReportInput::section(page, &heading, |page| quality(page, input, answer, fit));
        }
    }
}

fn quality(page: &mut Html, input: &ReportInput<'_>, answer: &QualityAnswer, fit: &QualityFit) {
    page.leaf("p", "", &summary_words(fit));
    terms(page, input.project, fit);
    anova(page, input.project, fit);
    goodness(page, fit);
    page.element("div", "curves", |page| {
        for drawing in residual_plots(input.project, fit) {
            page.drawing(&drawing);
        }
    });
    page.new_line();
    diagnostics(page, fit);
    stationary_point(page, input, fit);
    for note in fit.fit.notes() {
        page.leaf("p", "quiet", &format!("{note}."));
    }
    for left_out in &fit.table.left_out {
        page.leaf(
            "p",
            "quiet",
            &format!("Run {} is left out: {}.", left_out.run, left_out.why),
        );
    }
    // The id names the quality on the command line.
    page.leaf("p", "quiet", &format!("Id: {}", answer.quality));
}

fn scale_words(fit: &QualityFit) -> String {
    let unit = if fit.quality.unit.is_empty() {
        "the reading"
    } else {
        fit.quality.unit.as_str()
    };
    match fit.scale {
        QualityScale::Plain => format!("Fitted to {unit} as read"),
        QualityScale::Log => format!("Fitted to the natural logarithm of {unit}"),
        QualityScale::Sqrt => format!("Fitted to the square root of {unit}"),
    }
}

fn summary_words(fit: &QualityFit) -> String {
    format!(
        "{} by least squares: {} runs with {} readings, model \u{201c}{}\u{201d} ({}), {} error degrees of freedom. Coded units: \
         −1 to +1 over each range.",
        scale_words(fit),
        fit.table.rows.len(),
        fit.table.n_readings,
        fit.model_name,
        fit.model_reason,
        fit.fit.error_df(),
    )
}

/// A number, or a dash where there is none; the reasons stand in the notes.
fn known(value: &Known<f64>) -> Cell {
    match value {
        Ok(value) => plain(*value).into(),
        Err(why) => Cell::classed(why.to_string(), "quiet"),
    }
}

fn probability(value: &Known<f64>) -> Cell {
    match value {
        Ok(p) if *p < 0.001 => "< 0.001".into(),
        Ok(p) => format_number(*p, 3).into(),
        Err(why) => Cell::classed(why.to_string(), "quiet"),
    }
}

/// Term names as people write products and squares, with the labels of the settings.
fn term_words(project: &Project, name: &str) -> String {
    if name == "1" {
        return "intercept".to_owned();
    }
    let factors: Vec<String> = name
        .split('*')
        .map(|factor| {
            let id_end = factor.find(['^', '[']).unwrap_or(factor.len());
            let (id, rest) = factor.split_at(id_end);
            let label = project
                .setting(id.trim_matches('`'))
                .map(|setting| in_sentence(&setting.label));
            let rest = rest.replace("^2", "²").replace('[', " [");
            format!("{}{rest}", label.unwrap_or_else(|| id.to_owned()))
        })
        .collect();
    factors.join(" × ")
}

fn terms(page: &mut Html, project: &Project, fit: &QualityFit) {
    page.leaf("h3", "", "Terms");
    let mut table = Table::new()
        .words("term")
        .numbers("estimate", "")
        .numbers("std. error", "")
        .numbers("95 % interval", "")
        .numbers("t", "")
        .numbers("p", "")
        .numbers("VIF", "")
        .words("aliased with");
    for coefficient in fit.coefficients(ConfidenceLevel::NINETY_FIVE) {
        let interval = match &coefficient.interval {
            Ok(interval) => format!("{} to {}", plain(interval.low), plain(interval.high)).into(),
            Err(_) => Cell::default(),
        };
        let aliases: Vec<String> = coefficient
            .aliased_with
            .iter()
            .map(|part| {
                format!(
                    "{} ({})",
                    term_words(project, &part.term),
                    plain(part.coefficient)
                )
            })
            .collect();
        table.row([
            term_words(project, &coefficient.name).into(),
            known(&coefficient.estimate),
            blank(&coefficient.standard_error),
            interval,
            blank(&coefficient.t),
            coefficient
                .p
                .as_ref()
                .map_or_else(|_| Cell::default(), |p| probability(&Ok(*p))),
            blank(&coefficient.vif),
            aliases.join(", ").into(),
        ]);
    }
    table.write(page, "small");
}

/// A number, or nothing.
fn blank(value: &Known<f64>) -> Cell {
    value
        .as_ref()
        .map_or_else(|_| Cell::default(), |value| plain(*value).into())
}

fn anova(page: &mut Html, project: &Project, fit: &QualityFit) {
    page.leaf("h3", "", "Analysis of variance, each term given all others");
    let mut table = Table::new()
        .words("source")
        .numbers("sum of squares", "")
        .numbers("df", "")
        .numbers("mean square", "")
        .numbers("F", "")
        .numbers("p", "");
    for row in fit.anova() {
        let p = row
            .p
            .as_ref()
            .map_or_else(|_| Cell::default(), |p| probability(&Ok(*p)));
        table.row([
            term_words(project, &row.name).into(),
            known(&row.sum_of_squares),
            row.df.to_string().into(),
            blank(&row.mean_square),
            blank(&row.f),
            p,
        ]);
    }
    table.write(page, "small");
    if let Err(why) = &fit.lack_of_fit.f {
        page.leaf(
            "p",
            "quiet",
            &format!("Lack of fit cannot be tested: {why}."),
        );
    }
}

fn goodness(page: &mut Html, fit: &QualityFit) {
    let fitted = &fit.fit;
    let mut table = Table::new();
    let figures = [
        ("residual sd", fitted.residual_sd()),
        ("R²", fitted.r2()),
        ("R² adjusted", fitted.r2_adjusted()),
        ("R² predicted", fitted.r2_predicted()),
        ("PRESS", fitted.press()),
        ("AICc", fitted.aicc()),
        ("BIC", fitted.bic()),
        ("condition number", Ok(fitted.condition_number())),
    ];
    for (name, _) in &figures {
        table = table.numbers(*name, "");
    }
    table.row(figures.iter().map(|(_, value)| known(value)));
    table.write(page, "small");
}

fn diagnostics(page: &mut Html, fit: &QualityFit) {
    page.leaf("h3", "", "Runs");
    let mut table = Table::new()
        .numbers("run", "")
        .numbers("observed", "")
        .numbers("fitted", "")
        .numbers("residual", "")
        .numbers("leverage", "")
        .numbers("studentized", "internal")
        .numbers("studentized", "external")
        .numbers("Cook", "")
        .numbers("DFFITS", "");
    for run in fit.fit.diagnostics() {
        let number = fit
            .table
            .rows
            .get(run.row)
            .map_or_else(String::new, |row| row.run.to_string());
        table.row([
            number.into(),
            plain(run.observed).into(),
            plain(run.fitted).into(),
            plain(run.residual).into(),
            format_number(run.leverage, 3).into(),
            blank(&run.studentized_internal),
            blank(&run.studentized_external),
            blank(&run.cook),
            blank(&run.dffits),
        ]);
    }
    table.write(page, "small");
}

fn stationary_point(page: &mut Html, input: &ReportInput<'_>, fit: &QualityFit) {
    page.leaf("h3", "", "Stationary point");
    let found = coded_point(&fit.space, &input.held)
        .map_err(|error| error.to_string())
        .and_then(|levels| {
            fit.fit
                .stationary_point(&fit.space, &levels)
                .map_err(|error| error.to_string())
        });
    let point = match found {
        Ok(point) => point,
        Err(why) => {
            page.leaf("p", "quiet", &format!("None: {why}."));
            return;
        }
    };
    let back = fit.in_own_unit(&point.prediction, ConfidenceLevel::NINETY_FIVE);
    let value = back.value.map_or_else(
        |why| why.to_string(),
        |value| format!("{} {}", plain(value), fit.quality.unit),
    );
    let interval = back.mean.map_or_else(
        |_| String::new(),
        |mean| {
            format!(
                " (95 % interval of the mean {} to {})",
                plain(mean.low),
                plain(mean.high)
            )
        },
    );
    let inside = if point.is_inside_ranges() {
        "inside"
    } else {
        "outside"
    };
    page.leaf(
        "p",
        "",
        &format!(
            "A {} {inside} the ranges that were varied: {}{interval}.",
            point.nature.key(),
            value.trim_end()
        ),
    );
    let settings = settings_at(&fit.space, &point.point).unwrap_or_default();
    let mut table = Table::new()
        .words("setting")
        .numbers("there", "")
        .numbers("coded", "");
    for (factor, coded) in point.factors.iter().zip(&point.coded) {
        let Some(known) = fit.space.factors().get(*factor) else {
            continue;
        };
        let (label, unit) = names(input.project, known.name());
        let there = settings
            .get(known.name())
            .and_then(crate::campaign::project::SettingValue::number);
        let there = there.map_or_else(String::new, |value| format!("{} {unit}", plain(value)));
        table.row([
            label.into(),
            there.trim_end().into(),
            format_number(*coded, 2).into(),
        ]);
    }
    table.write(page, "narrow");
    let eigenvalues: Vec<String> = point
        .axes
        .iter()
        .map(|axis| plain(axis.eigenvalue))
        .collect();
    page.leaf(
        "p",
        "quiet",
        &format!("Eigenvalues in coded units: {}.", eigenvalues.join(", ")),
    );
}

fn names(project: &Project, id: &str) -> (String, String) {
    project.setting(id).map_or_else(
        || (id.to_owned(), String::new()),
        |setting| (setting.label.clone(), setting.unit.clone()),
    )
}
