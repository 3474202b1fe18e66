//! `fit`: film qualities as functions of the settings, with everything that says how far the fit can be believed.

use wetlane_stats::{ConfidenceLevel, Intercept};

use crate::campaign::analysis::{AnalysisError, FitOptions, ModelChoice, QualityFit, fit_quality};
use crate::campaign::analysis_table::TableError;
use crate::campaign::answers::plain;
use crate::campaign::project::{Project, Quality, QualityScale};
use crate::campaign::project_file;

use super::Answer;
use super::arguments::{FitArgs, ModelArgs};
use super::console::Console;
use super::error::CliError;
use super::fit_document::{Coding, FitDocument, FitsDocument, TransformAsked};
use super::text_table::{Align, TextTable};

/// Scales that can be asked for.
const SCALES: [(&str, QualityScale); 3] = [
    ("none", QualityScale::Plain),
    ("log", QualityScale::Log),
    ("sqrt", QualityScale::Sqrt),
];

/// Answers `fit`.
///
/// # Errors
/// [`CliError`] for a file, quality, model or option that is none. A quality that cannot be fitted is no error: the
/// document says why.
pub(super) fn run(arguments: &FitArgs, console: &mut Console<'_>) -> Result<Answer, CliError> {
    let level = ConfidenceLevel::new(arguments.level)?;
    check_method(arguments.method.as_deref())?;
    let scale = arguments
        .transform
        .as_deref()
        .map(parse_scale)
        .transpose()?;
    let project = project_file::open(&arguments.file)?.project;
    let qualities = asked_qualities(&project, arguments.response.as_deref())?;
    let coding = if arguments.natural {
        Coding::Natural
    } else {
        Coding::Coded
    };
    let transform = if scale.is_some() {
        TransformAsked::Yes
    } else {
        TransformAsked::No
    };
    let mut fits = Vec::with_capacity(qualities.len());
    let mut documents = Vec::with_capacity(qualities.len());
    for quality in qualities {
        let options = options_of(&project, quality, &arguments.model, scale)?;
        let fit = fitted(&project, quality, &options)?;
        documents.push(match &fit {
            Ok(fit) => FitDocument::of(&project, fit, level, coding, transform)?,
            Err(error) => FitDocument::without(quality, coding, error),
        });
        fits.push(fit);
    }
    let n_fitted = fits.iter().filter(|fit| fit.is_ok()).count();
    let document = FitsDocument::new(documents);
    if arguments.json {
        console.document(&document)?;
    } else {
        print(&document, &fits, level, console)?;
    }
    Ok(if n_fitted == 0 {
        Answer::No
    } else {
        Answer::Yes
    })
}

/// Only least squares is offered; whatever else is asked for is refused rather than passed over.
fn check_method(method: Option<&str>) -> Result<(), CliError> {
    match method {
        None | Some("least-squares") => Ok(()),
        Some(other) => Err(CliError::NotOffered {
            option: "method",
            text: other.to_owned(),
            offered: "least-squares",
        }),
    }
}

fn parse_scale(text: &str) -> Result<QualityScale, CliError> {
    SCALES
        .iter()
        .find(|(word, _)| *word == text)
        .map(|(_, scale)| *scale)
        .ok_or_else(|| CliError::NotOffered {
            option: "transform",
            text: text.to_owned(),
            offered: "none, log, sqrt",
        })
}

/// The qualities that are asked for: one by its name, or all.
///
/// # Errors
/// [`CliError::NoQuality`].
pub(super) fn asked_qualities<'p>(
    project: &'p Project,
    name: Option<&str>,
) -> Result<Vec<&'p Quality>, CliError> {
    let Some(name) = name else {
        return Ok(project.qualities.iter().collect());
    };
    let quality = project.quality(name).ok_or_else(|| {
        let known: Vec<&str> = project.qualities.iter().map(|q| q.id.as_str()).collect();
        CliError::NoQuality {
            name: name.to_owned(),
            known: if known.is_empty() {
                "none".to_owned()
            } else {
                known.join(", ")
            },
        }
    })?;
    Ok(vec![quality])
}

/// How a quality is fitted: as asked on the command line, else as the project says.
pub(super) fn options_of(
    project: &Project,
    quality: &Quality,
    model: &ModelArgs,
    scale: Option<QualityScale>,
) -> Result<FitOptions, CliError> {
    let asked = ModelChoice::parse(
        model.model.as_deref().unwrap_or_default(),
        model.terms.as_deref().unwrap_or_default(),
    )?;
    let kept = project.analyses.get(&quality.id);
    let model_choice = match (asked, kept) {
        (ModelChoice::Default, Some(kept)) => ModelChoice::parse(&kept.model, &kept.terms)?,
        (asked, _) => asked,
    };
    Ok(FitOptions {
        model: model_choice,
        intercept: if model.no_intercept {
            Intercept::LeftOut
        } else {
            Intercept::Included
        },
        reference: model.reference.clone(),
        scale,
    })
}

/// A fit, or why this quality has none. What was asked for wrongly is an error of the whole command.
pub(super) fn fitted(
    project: &Project,
    quality: &Quality,
    options: &FitOptions,
) -> Result<Result<QualityFit, AnalysisError>, CliError> {
    match fit_quality(project, &quality.id, options) {
        Ok(fit) => Ok(Ok(fit)),
        Err(error) if is_bad_use(&error) => Err(error.into()),
        Err(error) => Ok(Err(error)),
    }
}

const fn is_bad_use(error: &AnalysisError) -> bool {
    match error {
        AnalysisError::NoSuchModel { .. }
        | AnalysisError::NoSuchLevel { .. }
        | AnalysisError::ReferenceAmongSeveral { .. }
        | AnalysisError::Stats(_)
        | AnalysisError::Point(_)
        | AnalysisError::Table(TableError::NoQuality { .. } | TableError::Stats(_)) => true,
        AnalysisError::Table(TableError::NoReadings { .. })
        | AnalysisError::Fit(_)
        | AnalysisError::NotANumber { .. } => false,
    }
}

fn print(
    document: &FitsDocument,
    fits: &[Result<QualityFit, AnalysisError>],
    level: ConfidenceLevel,
    console: &mut Console<'_>,
) -> Result<(), CliError> {
    for (index, (shown, fit)) in document.fits().iter().zip(fits).enumerate() {
        if index > 0 {
            console.line("")?;
        }
        match fit {
            Ok(fit) => print_fit(shown, fit, level, console)?,
            Err(error) => {
                let text = format!("{}: no fit: {error}", shown.response());
                console.paragraph(&text)?;
            }
        }
    }
    for warning in document.warnings() {
        console.line(warning)?;
    }
    Ok(())
}

fn print_fit(
    shown: &FitDocument,
    fit: &QualityFit,
    level: ConfidenceLevel,
    console: &mut Console<'_>,
) -> Result<(), CliError> {
    let head = format!(
        "{}: {} model, {} runs, {} readings; {}",
        shown.response(),
        fit.model_name,
        fit.fit.n_runs(),
        fit.table.n_readings,
        fit.model_reason
    );
    console.paragraph(&head)?;
    let or_dash = |number: Option<f64>| number.map_or_else(|| "–".to_owned(), plain);
    let low = format!("low {} %", 100.0 * level.level());
    let mut table = TextTable::new(&[
        ("term", Align::Left),
        ("estimate", Align::Right),
        ("error", Align::Right),
        ("t", Align::Right),
        ("p", Align::Right),
        (&low, Align::Right),
        ("high", Align::Right),
        ("", Align::Left),
    ]);
    for term in shown.terms() {
        let mut cells = vec![term.name().to_owned()];
        cells.extend(term.figures().map(or_dash));
        cells.push(term.note());
        table.row(cells);
    }
    for line in table.lines() {
        console.line(&line)?;
    }
    console.line("")?;
    let mut anova = TextTable::new(&[
        ("source", Align::Left),
        ("df", Align::Right),
        ("sum of squares", Align::Right),
        ("mean square", Align::Right),
        ("F", Align::Right),
        ("p", Align::Right),
    ]);
    for row in fit.anova() {
        anova.row([
            row.name.clone(),
            row.df.to_string(),
            or_dash(row.sum_of_squares.ok()),
            or_dash(row.mean_square.ok()),
            or_dash(row.f.ok()),
            or_dash(row.p.ok()),
        ]);
    }
    for line in anova.lines() {
        console.line(&line)?;
    }
    console.line(&format!(
        "residual sd {}, R² {}, adjusted {}, predicted {}",
        or_dash(fit.fit.residual_sd().ok()),
        or_dash(fit.fit.r2().ok()),
        or_dash(fit.fit.r2_adjusted().ok()),
        or_dash(fit.fit.r2_predicted().ok()),
    ))?;
    if let Some(words) = shown.stationary_words() {
        console.paragraph(&words)?;
    }
    for warning in &fit.warnings {
        console.paragraph(&format!("Warning: {warning}"))?;
    }
    Ok(())
}
