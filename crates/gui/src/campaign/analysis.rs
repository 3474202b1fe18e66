//! Fits of film qualities to settings: which runs, which terms, which scale, and what the fit says.

use wetlane_stats::anova::AnovaRow;
use wetlane_stats::default_model::{ModelSize, default_model};
use wetlane_stats::natural::{NaturalCoefficient, space_about_zero};
use wetlane_stats::{
    CategoryCoding, CodedPoint, Coefficient, ConfidenceLevel, FactorKind, FactorSpace, FitError,
    Intercept, Interval, LackOfFit, LeastSquares, ModelMatrix, Prediction, ReplicateGroups,
    StatsError, TermList, Undefined, Value,
};

use super::analysis_table::{AnalysisTable, TableError, analysis_table, from_scale};
use super::factors::{PointError, coded_point};
use super::project::{Project, Quality, QualityKind, QualityScale, Settings};

/// Which terms are fitted.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum ModelChoice {
    /// The largest standard size that the runs support.
    #[default]
    Default,
    /// A standard size.
    Size(ModelSize),
    /// A list of terms, comma-separated.
    Terms(String),
}

impl ModelChoice {
    /// Reads a choice as the project keeps it: a model's name and a list of terms, either of them empty.
    ///
    /// # Errors
    /// [`AnalysisError::NoSuchModel`].
    pub fn parse(model: &str, terms: &str) -> Result<Self, AnalysisError> {
        if !terms.trim().is_empty() {
            return Ok(Self::Terms(terms.to_owned()));
        }
        if model.is_empty() {
            return Ok(Self::Default);
        }
        ModelSize::ALL
            .into_iter()
            .find(|size| size.key() == model)
            .map(Self::Size)
            .ok_or_else(|| AnalysisError::NoSuchModel {
                model: model.to_owned(),
            })
    }
}

/// How a fit is made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FitOptions {
    /// Terms.
    pub model: ModelChoice,
    /// Whether the model has the intercept.
    pub intercept: Intercept,
    /// Level with which categories are compared; `None` compares with their mean.
    pub reference: Option<String>,
    /// Scale; `None` takes the quality's own.
    pub scale: Option<QualityScale>,
}

impl Default for FitOptions {
    fn default() -> Self {
        Self {
            model: ModelChoice::Default,
            intercept: Intercept::Included,
            reference: None,
            scale: None,
        }
    }
}

/// Why there is no fit.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AnalysisError {
    /// No table of runs.
    #[error(transparent)]
    Table(#[from] TableError),
    /// Terms or points that do not fit the factors.
    #[error(transparent)]
    Stats(#[from] StatsError),
    /// The numbers cannot be fitted.
    #[error(transparent)]
    Fit(#[from] FitError),
    /// A setting that is no point.
    #[error(transparent)]
    Point(#[from] PointError),
    /// No such model.
    #[error(
        "there is no model \"{model}\"; there are mean, linear, interactions, quadratic, or a list of terms"
    )]
    NoSuchModel {
        /// What was asked for.
        model: String,
    },
    /// No category has this level.
    #[error("no category has the level \"{level}\" to compare with")]
    NoSuchLevel {
        /// What was asked for.
        level: String,
    },
    /// A level to compare with, but more than one category.
    #[error(
        "\"{level}\" is a level of one category, and there are {n_categories}; comparing with one level needs a single \
         category"
    )]
    ReferenceAmongSeveral {
        /// What was asked for.
        level: String,
        /// How many categories there are.
        n_categories: usize,
    },
    /// Sound or faulty is no number.
    #[error("\"{quality}\" is sound or faulty, no number; it has no least-squares fit")]
    NotANumber {
        /// The quality.
        quality: String,
    },
}

/// The fit of one quality.
#[derive(Debug, Clone)]
pub struct QualityFit {
    /// The quality.
    pub quality: Quality,
    /// Scale of the fit.
    pub scale: QualityScale,
    /// The runs.
    pub table: AnalysisTable,
    /// Factors of the fit; without intercept their ranges are symmetric about zero.
    pub space: FactorSpace,
    /// Terms.
    pub terms: TermList,
    /// `mean`, `linear`, `interactions`, `quadratic` or `terms`.
    pub model_name: String,
    /// Why this model.
    pub model_reason: String,
    /// The model matrix of the runs.
    pub model: ModelMatrix,
    /// The fit itself.
    pub fit: LeastSquares,
    /// The residual split by replicates, if there are any.
    pub lack_of_fit: LackOfFit,
    /// What is doubtful.
    pub warnings: Vec<String>,
}

/// A prediction in the reading's own unit; ends that do not exist say why.
#[derive(Debug, Clone, PartialEq)]
pub struct PointPrediction {
    /// The fitted value (the median, if the scale is not plain).
    pub value: Result<f64, Undefined>,
    /// Standard error on the fitted scale.
    pub standard_error: Result<f64, Undefined>,
    /// Error degrees of freedom.
    pub df: usize,
    /// Interval of the mean.
    pub mean: Result<Interval, Undefined>,
    /// Interval of one new run.
    pub single: Result<Interval, Undefined>,
    /// Variance of the prediction over run variance.
    pub variance_factor: Result<f64, Undefined>,
}

/// How sure an effect is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Certainty {
    /// The 95 % interval leaves zero out.
    Clear,
    /// The 80 % interval leaves zero out.
    Likely,
    /// It does not.
    CannotTell,
    /// No term of the model has the setting, so that nothing was asked about it.
    NotAsked,
}

impl Certainty {
    /// Words for the screen.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::Likely => "likely",
            Self::CannotTell => "cannot tell",
            Self::NotAsked => "not asked",
        }
    }
}

/// The change of a quality over the range of one setting, all others held.
#[derive(Debug, Clone, PartialEq)]
pub struct SettingEffect {
    /// Id of the setting.
    pub setting: String,
    /// From which setting, as text in its unit.
    pub from: String,
    /// To which.
    pub to: String,
    /// Change on the fitted scale; none where nothing was asked.
    pub change: Result<f64, Undefined>,
    /// Its 95 % interval on the fitted scale.
    pub interval: Result<Interval, Undefined>,
    /// How sure it is.
    pub certainty: Certainty,
}

/// Fits one quality.
///
/// # Errors
/// [`AnalysisError`] says which part of data or model does not do.
pub fn fit_quality(
    project: &Project,
    quality: &str,
    options: &FitOptions,
) -> Result<QualityFit, AnalysisError> {
    let known = project.quality(quality);
    let scale = options
        .scale
        .or_else(|| known.map(|known| known.scale))
        .unwrap_or_default();
    if known.is_some_and(|known| known.kind == QualityKind::Sound) {
        return Err(AnalysisError::NotANumber {
            quality: quality.to_owned(),
        });
    }
    let table = analysis_table(project, quality, scale)?;
    let space = match options.intercept {
        Intercept::Included => table.space.clone(),
        Intercept::LeftOut => space_about_zero(&table.space)?,
    };
    let points = points_of(&table, &space)?;
    let chosen = choose_terms(&space, &table, &points, options)?;
    let coding = coding_of(&space, options.reference.as_deref())?;
    let model = ModelMatrix::with_coding(
        &space,
        &chosen.terms,
        &points,
        table.blocks.as_ref(),
        coding,
    )?;
    let values: Vec<f64> = table.rows.iter().map(|row| row.value).collect();
    let fit = LeastSquares::fit(&model, &values, None)?;
    let groups = ReplicateGroups::within_steps(&space, &points, table.blocks.as_ref())?;
    let lack_of_fit = fit.lack_of_fit(&groups)?;
    let quality = known.cloned().ok_or_else(|| TableError::NoQuality {
        id: quality.to_owned(),
        known: String::new(),
    })?;
    let warnings = warnings_of(&quality, &table, &fit);
    Ok(QualityFit {
        quality,
        scale,
        space,
        terms: chosen.terms,
        model_name: chosen.name,
        model_reason: chosen.reason,
        model,
        fit,
        lack_of_fit,
        warnings,
        table,
    })
}

/// Fits every quality that is a number, as the project says; errors stay with their quality.
pub fn fit_all(project: &Project) -> Vec<(String, Result<QualityFit, AnalysisError>)> {
    project
        .qualities
        .iter()
        .filter(|quality| quality.kind != QualityKind::Sound)
        .map(|quality| (quality.id.clone(), fit_as_chosen(project, &quality.id)))
        .collect()
}

/// Fits a quality with the terms that the project keeps for it.
///
/// # Errors
/// As [`fit_quality`].
pub fn fit_as_chosen(project: &Project, quality: &str) -> Result<QualityFit, AnalysisError> {
    let model = match project.analyses.get(quality) {
        Some(choice) => ModelChoice::parse(&choice.model, &choice.terms)?,
        None => ModelChoice::Default,
    };
    fit_quality(
        project,
        quality,
        &FitOptions {
            model,
            ..FitOptions::default()
        },
    )
}

fn points_of(table: &AnalysisTable, space: &FactorSpace) -> Result<Vec<CodedPoint>, StatsError> {
    table
        .rows
        .iter()
        .map(|row| space.code(&row.natural))
        .collect()
}

struct Chosen {
    terms: TermList,
    name: String,
    reason: String,
}

fn choose_terms(
    space: &FactorSpace,
    table: &AnalysisTable,
    points: &[CodedPoint],
    options: &FitOptions,
) -> Result<Chosen, AnalysisError> {
    let asked = "as asked".to_owned();
    let chosen = match &options.model {
        ModelChoice::Default => {
            let found = default_model(space, points, table.blocks.as_ref(), None)?;
            Chosen {
                name: found.size.key().to_owned(),
                reason: found.reason(),
                terms: found.terms,
            }
        }
        ModelChoice::Size(size) => Chosen {
            terms: size.terms(space),
            name: size.key().to_owned(),
            reason: asked,
        },
        ModelChoice::Terms(text) => Chosen {
            terms: TermList::parse(text, space, options.intercept)?,
            name: "terms".to_owned(),
            reason: asked,
        },
    };
    if options.intercept == Intercept::LeftOut && chosen.terms.has_intercept() {
        let without = chosen
            .terms
            .terms()
            .iter()
            .filter(|term| !term.is_intercept())
            .cloned()
            .collect();
        return Ok(Chosen {
            terms: TermList::new(without),
            ..chosen
        });
    }
    Ok(chosen)
}

fn coding_of(
    space: &FactorSpace,
    reference: Option<&str>,
) -> Result<CategoryCoding, AnalysisError> {
    let Some(level) = reference else {
        return Ok(CategoryCoding::Effect);
    };
    let categories: Vec<&Vec<String>> = space
        .factors()
        .iter()
        .filter_map(|factor| match factor.kind() {
            FactorKind::Categorical { levels } => Some(levels),
            FactorKind::Continuous { .. } | FactorKind::Discrete { .. } => None,
        })
        .collect();
    let reference = categories
        .iter()
        .find_map(|levels| levels.iter().position(|known| known == level))
        .ok_or_else(|| AnalysisError::NoSuchLevel {
            level: level.to_owned(),
        })?;
    // The reference is a place in the list of levels, the same one for every category.
    if categories.len() > 1 {
        return Err(AnalysisError::ReferenceAmongSeveral {
            level: level.to_owned(),
            n_categories: categories.len(),
        });
    }
    Ok(CategoryCoding::Treatment { reference })
}

fn warnings_of(quality: &Quality, table: &AnalysisTable, fit: &LeastSquares) -> Vec<String> {
    let mut warnings = Vec::new();
    for layer in &table.layers {
        warnings.push(format!(
            "runs share {} levels of \"{}\"; they are not independent of each other, and intervals of settings that \
             only change with it are too narrow",
            layer.n_levels,
            layer.name.replace("set_up", "set-up")
        ));
    }
    if table.n_censored > 0 {
        warnings.push(format!(
            "{} readings beyond the measuring range were left out; the fit is drawn towards the readings that remain",
            table.n_censored
        ));
    }
    if matches!(quality.kind, QualityKind::Class | QualityKind::Count) {
        warnings.push("fitted by least squares as if it were an ordinary number".to_owned());
    }
    if fit.is_perfect() {
        warnings.push("perfect fit within rounding".to_owned());
    }
    for dropped in fit.dropped() {
        let equals: Vec<String> = dropped
            .equals
            .iter()
            .map(|part| part.term.clone())
            .collect();
        let twin = if equals.is_empty() {
            "a constant".to_owned()
        } else {
            equals.join(" + ")
        };
        warnings.push(format!(
            "\"{}\" cannot be told from {twin} in these runs",
            dropped.name
        ));
    }
    for row in fit.full_leverage_rows() {
        if let Some(run) = fit.rows().get(row).and_then(|row| table.rows.get(*row)) {
            warnings.push(format!(
                "run {} is fitted exactly; losing it loses a term",
                run.run
            ));
        }
    }
    warnings
}

impl QualityFit {
    /// Coefficients in coded units, canonical order.
    pub fn coefficients(&self, level: ConfidenceLevel) -> Vec<Coefficient> {
        self.fit.coefficients(level)
    }

    /// Coefficients in natural units.
    ///
    /// # Errors
    /// [`FitError`] if the factors are not those of the fit.
    pub fn natural_coefficients(
        &self,
        level: ConfidenceLevel,
    ) -> Result<Vec<NaturalCoefficient>, FitError> {
        self.fit.natural_coefficients(&self.space, level)
    }

    /// Analysis of variance, each term given all others.
    pub fn anova(&self) -> Vec<AnovaRow> {
        self.fit.anova_marginal(Some(&self.lack_of_fit))
    }

    /// Analysis of variance, each term given those before it.
    pub fn anova_sequential(&self) -> Vec<AnovaRow> {
        self.fit.anova_sequential(Some(&self.lack_of_fit))
    }

    /// The prediction on the fitted scale.
    ///
    /// # Errors
    /// [`AnalysisError`] if the settings are no point of the factors.
    pub fn predict_on_scale(&self, settings: &Settings) -> Result<Prediction, AnalysisError> {
        let point = coded_point(&self.space, settings)?;
        self.predict_at(&point)
    }

    /// As [`QualityFit::predict_on_scale`] at a coded point.
    ///
    /// # Errors
    /// As [`QualityFit::predict_on_scale`].
    pub fn predict_at(&self, point: &CodedPoint) -> Result<Prediction, AnalysisError> {
        let row = self.model.row_at(&self.space, point)?;
        Ok(self.fit.predict(&row)?)
    }

    /// The prediction in the reading's own unit.
    ///
    /// # Errors
    /// As [`QualityFit::predict_on_scale`].
    pub fn predict(
        &self,
        settings: &Settings,
        level: ConfidenceLevel,
    ) -> Result<PointPrediction, AnalysisError> {
        Ok(self.in_own_unit(&self.predict_on_scale(settings)?, level))
    }

    /// A prediction on the fitted scale in the reading's own unit.
    pub fn in_own_unit(&self, on_scale: &Prediction, level: ConfidenceLevel) -> PointPrediction {
        let back = |value: f64| from_scale(value, self.scale);
        let interval = |interval: Interval| Interval {
            low: back(interval.low),
            high: back(interval.high),
        };
        PointPrediction {
            value: on_scale.value().clone().map(back),
            standard_error: on_scale.standard_error(),
            df: on_scale.df(),
            mean: on_scale.mean_interval(level).map(interval),
            single: on_scale.single_interval(level).map(interval),
            variance_factor: on_scale.variance_factor().clone(),
        }
    }

    /// Change over the range of each varied setting with all others as given, largest first.
    pub fn effects(&self, held: &Settings) -> Vec<SettingEffect> {
        let Ok(center) = coded_point(&self.space, held) else {
            return Vec::new();
        };
        let mut effects: Vec<SettingEffect> = (0..self.space.n_factors())
            .flat_map(|factor| self.effects_of(factor, &center))
            .collect();
        effects.sort_by(|a, b| {
            let size =
                |effect: &SettingEffect| effect.change.as_ref().map_or(-1.0, |change| change.abs());
            size(b).total_cmp(&size(a))
        });
        effects
    }

    /// The change from the low to the high end of a number, or from the first to each other level of a category.
    fn effects_of(&self, factor: usize, center: &CodedPoint) -> Vec<SettingEffect> {
        let Some(known) = self.space.factors().get(factor) else {
            return Vec::new();
        };
        let ends: Vec<(Value, Value, String, String)> = match known.kind() {
            FactorKind::Categorical { levels } => levels
                .iter()
                .enumerate()
                .skip(1)
                .map(|(index, level)| {
                    (
                        Value::Level(0),
                        Value::Level(index),
                        levels.first().cloned().unwrap_or_default(),
                        level.clone(),
                    )
                })
                .collect(),
            FactorKind::Continuous { .. } | FactorKind::Discrete { .. } => {
                let (low, high) = known.range().unwrap_or_default();
                vec![(
                    Value::Number(-1.0),
                    Value::Number(1.0),
                    low.to_string(),
                    high.to_string(),
                )]
            }
        };
        ends.into_iter()
            .map(|(low, high, from, to)| {
                self.effect_between(factor, center, (low, high), (from, to))
            })
            .collect()
    }

    fn effect_between(
        &self,
        factor: usize,
        center: &CodedPoint,
        (low, high): (Value, Value),
        (from, to): (String, String),
    ) -> SettingEffect {
        let at = |value: Value| {
            let mut point = center.clone();
            if let Some(place) = point.0.get_mut(factor) {
                *place = value;
            }
            self.model.row_at(&self.space, &point)
        };
        let is_asked = self
            .terms
            .terms()
            .iter()
            .any(|term| term.exponent_of(factor) > 0);
        let contrast = match (at(high), at(low)) {
            (Ok(high), Ok(low)) if is_asked => self
                .fit
                .predict(
                    &high
                        .iter()
                        .zip(&low)
                        .map(|(a, b)| a - b)
                        .collect::<Vec<_>>(),
                )
                .ok(),
            _ => None,
        };
        let undefined = || Undefined::DoesNotApply;
        let interval_at = |level: f64| {
            let level = ConfidenceLevel::new(level).unwrap_or(ConfidenceLevel::NINETY_FIVE);
            contrast.as_ref().map_or_else(
                || Err(undefined()),
                |contrast| contrast.mean_interval(level),
            )
        };
        let excludes_zero = |interval: &Result<Interval, Undefined>| {
            interval
                .as_ref()
                .is_ok_and(|interval| interval.low > 0.0 || interval.high < 0.0)
        };
        let interval = interval_at(0.95);
        let certainty = if !is_asked {
            Certainty::NotAsked
        } else if excludes_zero(&interval) {
            Certainty::Clear
        } else if excludes_zero(&interval_at(0.80)) {
            Certainty::Likely
        } else {
            Certainty::CannotTell
        };
        SettingEffect {
            setting: self
                .space
                .factors()
                .get(factor)
                .map(|known| known.name().to_owned())
                .unwrap_or_default(),
            from,
            to,
            change: contrast
                .as_ref()
                .map_or_else(|| Err(undefined()), |contrast| contrast.value().clone()),
            interval,
            certainty,
        }
    }
}
