//! The JSON document of `fit`.

use std::collections::BTreeMap;

use serde::Serialize;
use wetlane_stats::anova::AnovaRow;
use wetlane_stats::{
    AliasPart, CodedPoint, Coefficient, ColumnSource, ConfidenceLevel, FactorKind, Interval, Known,
    ModelMatrix, NaturalCoefficient, Nature, StationaryPoint, Term, Undefined, Value,
};

use crate::campaign::analysis::{AnalysisError, QualityFit};
use crate::campaign::analysis_table::from_scale;
use crate::campaign::answers::plain;
use crate::campaign::factors::settings_at;
use crate::campaign::feasibility::{Depth, Judge};
use crate::campaign::project::{
    Project, Quality, QualityKind, QualityScale, RunRole, SettingValue, Settings,
};

use super::document::{Reasons, VERSION, finite, value_of};

/// In which units coefficients are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Coding {
    /// Settings coded −1 to +1 over their ranges.
    Coded,
    /// Settings in their own units.
    Natural,
}

/// Whether a scale was asked for on the command line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum TransformAsked {
    /// It was.
    Yes,
    /// The quality's own was taken.
    No,
}

/// All fits.
#[derive(Debug, Serialize)]
pub(super) struct FitsDocument {
    document: &'static str,
    version: u32,
    fits: Vec<FitDocument>,
    warnings: Vec<String>,
}

impl FitsDocument {
    /// The document of some fits, in the project's order.
    pub(super) fn new(fits: Vec<FitDocument>) -> Self {
        let warnings = if fits.is_empty() {
            vec!["The project has no film qualities.".to_owned()]
        } else {
            Vec::new()
        };
        Self {
            document: "fit",
            version: VERSION,
            fits,
            warnings,
        }
    }

    /// The fits.
    pub(super) fn fits(&self) -> &[FitDocument] {
        &self.fits
    }

    /// What is doubtful beside the fits themselves.
    pub(super) fn warnings(&self) -> &[String] {
        &self.warnings
    }
}

/// The fit of one film quality.
#[derive(Debug, Serialize)]
pub(super) struct FitDocument {
    response: String,
    kind: QualityKind,
    unit: String,
    method: Option<&'static str>,
    coded: bool,
    model: Option<String>,
    model_reason: Option<String>,
    n_runs: usize,
    n_readings: usize,
    n_left_out: Vec<LeftOutDocument>,
    terms: Vec<TermDocument>,
    levels: Vec<LevelDocument>,
    anova: Vec<AnovaDocument>,
    sequential: Vec<AnovaDocument>,
    residual_sd: Option<f64>,
    r2: Option<f64>,
    r2_adjusted: Option<f64>,
    r2_predicted: Option<f64>,
    press: Option<f64>,
    aicc: Option<f64>,
    bic: Option<f64>,
    information_criterion_scale: Option<&'static str>,
    log_likelihood: Option<f64>,
    condition_number: Option<f64>,
    transform: Option<TransformDocument>,
    variance_components: Option<()>,
    runs: Vec<RunDocument>,
    stationary_point: Option<StationaryDocument>,
    #[serde(skip_serializing_if = "Option::is_none")]
    drift: Option<Later>,
    #[serde(skip_serializing_if = "Option::is_none")]
    readings_next: Option<Later>,
    why: Option<String>,
    warnings: Vec<String>,
}

/// A key whose answer this version does not have: null in the document.
#[derive(Debug)]
struct Later;

impl Serialize for Later {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_none()
    }
}

#[derive(Debug, Serialize)]
struct LeftOutDocument {
    run: u32,
    why: String,
}

/// One term.
#[derive(Debug, Serialize)]
pub(super) struct TermDocument {
    name: String,
    estimate: Option<f64>,
    standard_error: Option<f64>,
    t: Option<f64>,
    df: usize,
    p: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    unit: String,
    vif: Option<f64>,
    stratum: &'static str,
    aliased_with: Option<Vec<AliasDocument>>,
    why: Option<String>,
}

impl TermDocument {
    /// The name of its column.
    pub(super) fn name(&self) -> &str {
        &self.name
    }

    /// Estimate, error, t, p and the ends of its interval.
    pub(super) const fn figures(&self) -> [Option<f64>; 6] {
        [
            self.estimate,
            self.standard_error,
            self.t,
            self.p,
            self.low,
            self.high,
        ]
    }

    /// What is worth saying beside the figures.
    pub(super) fn note(&self) -> String {
        if self.estimate.is_none() {
            return self.why.clone().unwrap_or_default();
        }
        let mut aliases: Vec<&AliasDocument> = self.aliased_with.iter().flatten().collect();
        aliases.sort_by(|a, b| b.coefficient.abs().total_cmp(&a.coefficient.abs()));
        let list: Vec<String> = aliases
            .into_iter()
            .take(2)
            .map(AliasDocument::words)
            .collect();
        if list.is_empty() {
            String::new()
        } else {
            format!("with {}", list.join(", "))
        }
    }
}

#[derive(Debug, Serialize)]
struct AliasDocument {
    term: String,
    coefficient: f64,
}

impl AliasDocument {
    fn words(&self) -> String {
        format!("{} × {}", plain(self.coefficient), self.term)
    }
}

#[derive(Debug, Serialize)]
struct LevelDocument {
    factor: String,
    level: String,
    estimate: Option<f64>,
    standard_error: Option<f64>,
    why: Option<String>,
}

#[derive(Debug, Serialize)]
struct AnovaDocument {
    source: String,
    df: usize,
    sum_of_squares: Option<f64>,
    mean_square: Option<f64>,
    f: Option<f64>,
    p: Option<f64>,
    denominator_df: Option<usize>,
    stratum: &'static str,
    why: Option<String>,
}

#[derive(Debug, Serialize)]
struct TransformDocument {
    scale: &'static str,
    lambda: f64,
    lambda_hat: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    low_open: Option<bool>,
    high_open: Option<bool>,
    formula: &'static str,
    reason: &'static str,
    why: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct RunDocument {
    run: u32,
    observed: f64,
    fitted: f64,
    residual: f64,
    leverage: f64,
    studentised_internal: Option<f64>,
    studentised_external: Option<f64>,
    cook: Option<f64>,
    dffits: Option<f64>,
    covratio: Option<f64>,
    deleted_residual: Option<f64>,
    weight: f64,
    censored: Option<&'static str>,
    why: Option<String>,
}

#[derive(Debug, Serialize)]
struct StationaryDocument {
    kind: &'static str,
    at: Settings,
    coded: BTreeMap<String, f64>,
    value: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    eigenvalues: Vec<f64>,
    axes: Vec<Vec<f64>>,
    inside_region: bool,
    inside_limits: Option<bool>,
    levels: BTreeMap<String, String>,
    why: Option<String>,
}

/// What a run's error is judged against in a least-squares fit: runs, whatever they share.
const STRATUM: &str = "run";

/// Why there are no components.
const ONE_STRATUM: &str = "least squares knows one scatter, that of the residual";

impl FitDocument {
    /// A quality that could not be fitted, with the reason.
    pub(super) fn without(quality: &Quality, coding: Coding, error: &AnalysisError) -> Self {
        Self {
            response: quality.id.clone(),
            kind: quality.kind,
            unit: quality.unit.clone(),
            method: None,
            coded: coding == Coding::Coded,
            model: None,
            model_reason: None,
            n_runs: 0,
            n_readings: 0,
            n_left_out: Vec::new(),
            terms: Vec::new(),
            levels: Vec::new(),
            anova: Vec::new(),
            sequential: Vec::new(),
            residual_sd: None,
            r2: None,
            r2_adjusted: None,
            r2_predicted: None,
            press: None,
            aicc: None,
            bic: None,
            information_criterion_scale: None,
            log_likelihood: None,
            condition_number: None,
            transform: None,
            variance_components: None,
            runs: Vec::new(),
            stationary_point: None,
            drift: None,
            readings_next: None,
            why: Some(error.to_string()),
            warnings: Vec::new(),
        }
    }

    /// The document of a fit.
    ///
    /// # Errors
    /// [`AnalysisError`] if the factors are not those of the fit, which does not happen.
    pub(super) fn of(
        project: &Project,
        fit: &QualityFit,
        level: ConfidenceLevel,
        coding: Coding,
        transform: TransformAsked,
    ) -> Result<Self, AnalysisError> {
        let told = Told { project, fit };
        let mut reasons = Reasons::default();
        let stationary_point = told.stationary_point(level, &mut reasons)?;
        let least_squares = &fit.fit;
        let mut number = |key, known: Known<f64>| reasons.number(key, &told.by_runs(known));
        let residual_sd = number("residual_sd", least_squares.residual_sd());
        let r2 = number("r2", least_squares.r2());
        let r2_adjusted = number("r2_adjusted", least_squares.r2_adjusted());
        let r2_predicted = number("r2_predicted", least_squares.r2_predicted());
        let press = number("press", least_squares.press());
        let aicc = number("aicc", least_squares.aicc());
        let bic = number("bic", least_squares.bic());
        let log_likelihood = number("log_likelihood", least_squares.log_likelihood());
        let condition_number = number("condition_number", Ok(least_squares.condition_number()));
        reasons.add("variance_components", ONE_STRATUM);
        if coding == Coding::Natural {
            reasons.add("terms.vif", CODED_ONLY);
            reasons.add("terms.aliased_with", CODED_ONLY);
        }
        let drift = told.has_positions().then_some(Later);
        let readings_next = (fit.table.n_readings > fit.table.rows.len()).then_some(Later);
        if drift.is_some() {
            reasons.add("drift", NOT_COMPUTED);
        }
        if readings_next.is_some() {
            reasons.add("readings_next", NOT_COMPUTED);
        }
        Ok(Self {
            response: fit.quality.id.clone(),
            kind: fit.quality.kind,
            unit: fit.quality.unit.clone(),
            method: Some("least-squares"),
            coded: coding == Coding::Coded,
            model: Some(fit.model_name.clone()),
            model_reason: Some(fit.model_reason.clone()),
            n_runs: least_squares.n_runs(),
            n_readings: fit.table.n_readings,
            n_left_out: told.left_out(),
            terms: told.terms(level, coding)?,
            levels: told.levels()?,
            anova: told.anova(fit.anova()),
            sequential: told.anova(fit.anova_sequential()),
            residual_sd,
            r2,
            r2_adjusted,
            r2_predicted,
            press,
            aicc,
            bic,
            information_criterion_scale: Some(
                "n ln(RSS/n) on the fitted scale; compare fits of the same runs on the same scale only",
            ),
            log_likelihood,
            condition_number,
            transform: told.transform(transform),
            variance_components: None,
            runs: told.runs(),
            stationary_point,
            drift,
            readings_next,
            why: reasons.text(),
            warnings: fit.warnings.clone(),
        })
    }

    /// Id of the quality.
    pub(super) fn response(&self) -> &str {
        &self.response
    }

    /// Its terms.
    pub(super) fn terms(&self) -> &[TermDocument] {
        &self.terms
    }

    /// The stationary point in words, if there is one.
    pub(super) fn stationary_words(&self) -> Option<String> {
        let point = self.stationary_point.as_ref()?;
        let at: Vec<String> = point
            .at
            .iter()
            .map(|(id, value)| match value {
                SettingValue::Number(number) => format!("{id} {}", plain(*number)),
                SettingValue::Level(level) => format!("{id} {level}"),
            })
            .collect();
        let value = point.value.map_or_else(|| "–".to_owned(), plain);
        let place = if point.inside_region {
            "inside the ranges"
        } else {
            "outside the ranges"
        };
        Some(format!(
            "stationary point: {} of {value} {} at {}, {place}",
            point.kind,
            self.unit,
            at.join(", ")
        ))
    }
}

const CODED_ONLY: &str = "told for coded coefficients";
const NOT_COMPUTED: &str = "this version does not compute it";

/// A fit with its project, about to be told.
struct Told<'a> {
    project: &'a Project,
    fit: &'a QualityFit,
}

impl Told<'_> {
    /// The reason with run numbers where the fit only knows its rows.
    fn by_runs<T>(&self, known: Known<T>) -> Result<T, String> {
        known.map_err(|reason| match reason {
            Undefined::LeverageOne { rows } => {
                let runs: Vec<String> = rows
                    .iter()
                    .filter_map(|row| self.fit.table.rows.get(*row))
                    .map(|row| row.run.to_string())
                    .collect();
                format!("leverage 1 at run {}", runs.join(", "))
            }
            other => other.to_string(),
        })
    }

    fn has_positions(&self) -> bool {
        !self.project.positions.is_empty()
            || self
                .project
                .runs
                .iter()
                .any(|run| run.role == RunRole::Return)
    }

    fn left_out(&self) -> Vec<LeftOutDocument> {
        self.fit
            .table
            .left_out
            .iter()
            .map(|left_out| LeftOutDocument {
                run: left_out.run,
                why: left_out.why.clone(),
            })
            .collect()
    }

    fn terms(
        &self,
        level: ConfidenceLevel,
        coding: Coding,
    ) -> Result<Vec<TermDocument>, AnalysisError> {
        match coding {
            Coding::Coded => {
                let outside = self.outside_aliases()?;
                Ok(self
                    .fit
                    .coefficients(level)
                    .into_iter()
                    .map(|coefficient| {
                        let aliases = outside.get(coefficient.column);
                        self.coded_term(&coefficient, aliases.map_or(&[], Vec::as_slice))
                    })
                    .collect())
            }
            Coding::Natural => Ok(self
                .fit
                .natural_coefficients(level)?
                .iter()
                .map(|coefficient| self.natural_term(coefficient))
                .collect()),
        }
    }

    /// For each model column the two-factor products and squares outside the model that it also estimates.
    fn outside_aliases(&self) -> Result<Vec<Vec<AliasPart>>, AnalysisError> {
        let fit = self.fit;
        let outside = fit.terms.second_order_outside(&fit.space);
        if outside.terms().is_empty() {
            return Ok(Vec::new());
        }
        let points = fit
            .table
            .rows
            .iter()
            .map(|row| fit.space.code(&row.natural))
            .collect::<Result<Vec<_>, _>>()?;
        let matrix =
            ModelMatrix::with_coding(&fit.space, &outside, &points, None, fit.model.coding())?;
        Ok(fit.fit.aliases_with(&matrix)?)
    }

    fn coded_term(&self, coefficient: &Coefficient, outside: &[AliasPart]) -> TermDocument {
        let mut reasons = Reasons::default();
        let estimate = reasons.number("estimate", &coefficient.estimate);
        let standard_error = reasons.number("standard_error", &coefficient.standard_error);
        let t = reasons.number("t", &coefficient.t);
        let p = reasons.number("p", &coefficient.p);
        let (low, high) = ends(&mut reasons, &coefficient.interval);
        let vif = reasons.number("vif", &coefficient.vif);
        let aliased_with = estimate.map_or_else(Vec::new, |_| {
            coefficient
                .aliased_with
                .iter()
                .chain(outside)
                .filter(|part| part.coefficient.is_finite())
                .map(|part| AliasDocument {
                    term: part.term.clone(),
                    coefficient: part.coefficient,
                })
                .collect()
        });
        TermDocument {
            name: coefficient.name.clone(),
            estimate,
            standard_error,
            t,
            df: coefficient.df,
            p,
            low,
            high,
            unit: self.scale_unit(),
            vif,
            stratum: STRATUM,
            aliased_with: Some(aliased_with),
            why: reasons.text(),
        }
    }

    fn natural_term(&self, coefficient: &NaturalCoefficient) -> TermDocument {
        let mut reasons = Reasons::default();
        let estimate = reasons.number("estimate", &coefficient.estimate);
        let standard_error = reasons.number("standard_error", &coefficient.standard_error);
        let t = reasons.number("t", &coefficient.t);
        let p = reasons.number("p", &coefficient.p);
        let (low, high) = ends(&mut reasons, &coefficient.interval);
        TermDocument {
            name: coefficient.name.clone(),
            estimate,
            standard_error,
            t,
            df: coefficient.df,
            p,
            low,
            high,
            unit: self.natural_unit(coefficient),
            vif: None,
            stratum: STRATUM,
            aliased_with: None,
            why: reasons.text().or_else(|| Some(CODED_ONLY.to_owned())),
        }
    }

    /// Unit of the fitted scale.
    fn scale_unit(&self) -> String {
        let unit = &self.fit.quality.unit;
        match self.fit.scale {
            _ if unit.is_empty() => String::new(),
            QualityScale::Plain => unit.clone(),
            QualityScale::Log => format!("ln({unit})"),
            QualityScale::Sqrt => format!("√({unit})"),
        }
    }

    /// Unit of the fitted scale over the units of the term's settings.
    fn natural_unit(&self, coefficient: &NaturalCoefficient) -> String {
        let ColumnSource::Term(term) = &coefficient.source else {
            return self.scale_unit();
        };
        let divisors: Vec<String> = term
            .powers()
            .iter()
            .filter_map(|(factor, exponent)| self.divisor(*factor, *exponent, coefficient))
            .collect();
        let unit = self.scale_unit();
        match (divisors.as_slice(), unit.is_empty()) {
            ([], _) => unit,
            ([one], false) => format!("{unit}/({one})"),
            ([one], true) => format!("1/({one})"),
            (several, is_empty) => {
                let above = if is_empty { "1" } else { unit.as_str() };
                format!("{above}/({})", several.join("·"))
            }
        }
    }

    fn divisor(
        &self,
        factor: usize,
        exponent: u32,
        coefficient: &NaturalCoefficient,
    ) -> Option<String> {
        let name = self.fit.space.factors().get(factor)?.name();
        let unit = self.project.setting(name)?.unit.clone();
        if unit.is_empty() {
            return None;
        }
        let unit = if coefficient.logarithmic.contains(&factor) {
            format!("ln({unit})")
        } else {
            unit
        };
        Some(match exponent {
            1 => unit,
            _ => format!("({unit})^{exponent}"),
        })
    }

    fn levels(&self) -> Result<Vec<LevelDocument>, AnalysisError> {
        let effects = self.fit.fit.level_effects(&self.fit.space)?;
        Ok(effects
            .into_iter()
            .map(|effect| {
                let mut reasons = Reasons::default();
                LevelDocument {
                    factor: Term::main_effect(effect.factor).name(&self.fit.space),
                    estimate: reasons.number("estimate", &effect.estimate),
                    standard_error: reasons.number("standard_error", &effect.standard_error),
                    level: effect.name,
                    why: reasons.text(),
                }
            })
            .collect())
    }

    fn anova(&self, rows: Vec<AnovaRow>) -> Vec<AnovaDocument> {
        let error_df = self.fit.fit.error_df();
        rows.into_iter()
            .map(|row| {
                let mut reasons = Reasons::default();
                let f = reasons.number("f", &row.f);
                let pure_df = self.fit.lack_of_fit.pure_error.df;
                let denominator_df = f.map(|_| match row.source {
                    wetlane_stats::AnovaSource::LackOfFit => pure_df,
                    _ => error_df,
                });
                if let (None, Err(reason)) = (denominator_df, &row.f) {
                    reasons.add("denominator_df", reason);
                }
                AnovaDocument {
                    source: row.name,
                    df: row.df,
                    sum_of_squares: reasons.number("sum_of_squares", &row.sum_of_squares),
                    mean_square: reasons.number("mean_square", &row.mean_square),
                    f,
                    p: reasons.number("p", &row.p),
                    denominator_df,
                    stratum: STRATUM,
                    why: reasons.text(),
                }
            })
            .collect()
    }

    fn transform(&self, asked: TransformAsked) -> Option<TransformDocument> {
        let scale = self.fit.scale;
        if asked == TransformAsked::No && scale == QualityScale::Plain {
            return None;
        }
        let (name, lambda, formula) = match scale {
            QualityScale::Plain => ("none", 1.0, "y"),
            QualityScale::Log => ("log", 0.0, "ln(y)"),
            QualityScale::Sqrt => ("sqrt", 0.5, "√y"),
        };
        Some(TransformDocument {
            scale: name,
            lambda,
            lambda_hat: None,
            low: None,
            high: None,
            low_open: None,
            high_open: None,
            formula,
            reason: match asked {
                TransformAsked::Yes => "as asked",
                TransformAsked::No => "the film quality is fitted on this scale",
            },
            why: Some("the likelihood of other powers is not computed in this version"),
        })
    }

    fn runs(&self) -> Vec<RunDocument> {
        self.fit
            .fit
            .diagnostics()
            .into_iter()
            .filter_map(|run| {
                let mut reasons = Reasons::default();
                let mut number = |key, known: Known<f64>| reasons.number(key, &self.by_runs(known));
                Some(RunDocument {
                    run: self.fit.table.rows.get(run.row)?.run,
                    observed: run.observed,
                    fitted: run.fitted,
                    residual: run.residual,
                    leverage: run.leverage,
                    studentised_internal: number("studentised_internal", run.studentized_internal),
                    studentised_external: number("studentised_external", run.studentized_external),
                    cook: number("cook", run.cook),
                    dffits: number("dffits", run.dffits),
                    covratio: number("covratio", run.covratio),
                    deleted_residual: number("deleted_residual", run.deleted_residual),
                    weight: run.weight,
                    censored: None,
                    why: reasons.text(),
                })
            })
            .collect()
    }

    fn stationary_point(
        &self,
        level: ConfidenceLevel,
        reasons: &mut Reasons,
    ) -> Result<Option<StationaryDocument>, AnalysisError> {
        let fit = self.fit;
        let has_square = |term: &Term| matches!(term.powers(), [(_, 2)]);
        if !fit.terms.terms().iter().any(has_square) {
            reasons.add("stationary_point", "the model has no full square part");
            return Ok(None);
        }
        match fit.fit.stationary_point(&fit.space, &self.first_levels()) {
            Ok(point) => Ok(Some(self.stationary_document(&point, level)?)),
            Err(reason) => {
                reasons.add("stationary_point", reason);
                Ok(None)
            }
        }
    }

    /// Numbers at their middle, categories at their first level.
    fn first_levels(&self) -> CodedPoint {
        CodedPoint(
            self.fit
                .space
                .factors()
                .iter()
                .map(|factor| match factor.kind() {
                    FactorKind::Categorical { .. } => Value::Level(0),
                    FactorKind::Continuous { .. } | FactorKind::Discrete { .. } => {
                        Value::Number(0.0)
                    }
                })
                .collect(),
        )
    }

    fn stationary_document(
        &self,
        point: &StationaryPoint,
        level: ConfidenceLevel,
    ) -> Result<StationaryDocument, AnalysisError> {
        let fit = self.fit;
        let mut reasons = Reasons::default();
        let at = self.natural_settings(&point.point)?;
        let inside_limits = self.inside_limits(&at, &mut reasons);
        let back = |value: f64| from_scale(value, fit.scale);
        let mean = point
            .prediction
            .mean_interval(level)
            .map(|interval| Interval {
                low: back(interval.low),
                high: back(interval.high),
            });
        let (low, high) = ends(&mut reasons, &mean);
        let coded = point
            .factors
            .iter()
            .zip(&point.coded)
            .filter_map(|(factor, coded)| {
                let name = fit.space.factors().get(*factor)?.name().to_owned();
                Some((name, *coded))
            })
            .collect();
        let levels = fit
            .space
            .factors()
            .iter()
            .filter_map(|factor| match factor.kind() {
                FactorKind::Categorical { levels } => {
                    Some((factor.name().to_owned(), levels.first()?.clone()))
                }
                FactorKind::Continuous { .. } | FactorKind::Discrete { .. } => None,
            })
            .collect();
        Ok(StationaryDocument {
            kind: match point.nature {
                Nature::Maximum => "maximum",
                Nature::Minimum => "minimum",
                Nature::Saddle => "saddle",
                Nature::Ridge => "ridge",
            },
            coded,
            value: value_of(&point.prediction.value().clone().map(back)),
            low,
            high,
            eigenvalues: point.axes.iter().map(|axis| axis.eigenvalue).collect(),
            axes: point
                .axes
                .iter()
                .map(|axis| axis.direction.clone())
                .collect(),
            inside_region: point.is_inside_ranges(),
            inside_limits,
            levels,
            at: only_numbers(at, point, fit),
            why: reasons.text(),
        })
    }

    fn natural_settings(&self, point: &CodedPoint) -> Result<Settings, AnalysisError> {
        let natural = self.fit.space.decode(point)?;
        let mut settings = settings_at(&self.fit.space, point)?;
        // Full digits: nobody types a stationary point into a machine before rounding it.
        for (factor, value) in self.fit.space.factors().iter().zip(&natural.0) {
            if let Value::Number(number) = value {
                settings.insert(factor.name().to_owned(), SettingValue::Number(*number));
            }
        }
        Ok(settings)
    }

    fn inside_limits(&self, at: &Settings, reasons: &mut Reasons) -> Option<bool> {
        let mut all = self.project.cross();
        all.extend(at.clone());
        let feasible = match Judge::new(self.project).judge(&all, Depth::Nominal) {
            Ok(judgement) => judgement.feasible(),
            Err(error) => {
                reasons.add("inside_limits", error);
                return None;
            }
        };
        if feasible.is_none() {
            reasons.add("inside_limits", "an input of the limits is missing");
        }
        feasible
    }
}

/// The settings that the surface determines.
fn only_numbers(at: Settings, point: &StationaryPoint, fit: &QualityFit) -> Settings {
    let names: Vec<&str> = point
        .factors
        .iter()
        .filter_map(|factor| fit.space.factors().get(*factor))
        .map(wetlane_stats::Factor::name)
        .collect();
    at.into_iter()
        .filter(|(name, _)| names.contains(&name.as_str()))
        .collect()
}

/// Both ends of an interval, or nothing with the reason noted.
fn ends(reasons: &mut Reasons, interval: &Known<Interval>) -> (Option<f64>, Option<f64>) {
    match interval {
        Ok(interval) => (finite(interval.low), finite(interval.high)),
        Err(reason) => {
            reasons.add("low", reason);
            reasons.add("high", reason);
            (None, None)
        }
    }
}
