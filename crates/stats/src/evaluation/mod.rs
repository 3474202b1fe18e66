//! What a plan can learn before it is run: efficiencies, prediction variance, power, aliases, evenness (docs/methods.md,
//! section 4).
//!
//! Works for any list of runs, generated, edited or imported, and any model. A figure that does not exist comes with
//! the reason.

mod continuous_optimum;
mod error;
mod orthonormal;
mod prediction_variance;
mod region;
mod set_ups;
mod symmetric_optimum;
mod term_power;

use crate::alias::{AliasPair, alias_pairs, ordered_qr};
use crate::design::RegularFraction;
use crate::evaluation::continuous_optimum::continuous_optimum;
pub(crate) use crate::evaluation::orthonormal::OrthonormalRows;
pub(crate) use crate::evaluation::region::Region;
use crate::evaluation::set_ups::SetUps;
use crate::factor::{CodedPoint, FactorSpace, Value};
use crate::model::{Blocks, ModelMatrix};
use crate::power::PowerError;
use crate::qr::OrderedQr;
use crate::space_filling::{
    DistanceNorm, centred_discrepancy, column_correlation, correlations, min_distance,
};
use crate::term::{Term, TermList};
use crate::undefined::{Known, Undefined};

pub use error::EvaluationError;
pub use prediction_variance::{PredictionVariance, VarianceAt, VarianceOverRegion};
pub use term_power::{ColumnEvaluation, Stratum, TermEvaluation};

/// Points at which the prediction variance is looked at when nothing else is said: 2¹⁴ (docs/methods.md, 4.6).
pub const DEFAULT_REGION_POINTS: usize = 16_384;

/// Leverages above this belong to runs that are fitted exactly (docs/methods.md, 4.3).
const FULL_LEVERAGE: f64 = 0.999;

/// Largest number of runs whose pairs are all looked at for evenness (own choice: eight million pairs).
const MAX_PAIRED_RUNS: usize = 4000;

/// What is asked about a plan.
#[derive(Clone, Copy)]
pub struct EvaluationOptions<'a> {
    /// The change that a term makes across its coded range, in standard deviations between runs, for power.
    pub effect_over_sigma: f64,
    /// Significance level for power.
    pub alpha: f64,
    /// Nuisance blocks of the runs.
    pub blocks: Option<&'a Blocks>,
    /// Set-ups of the runs.
    pub set_ups: Option<SetUpRequest<'a>>,
    /// True where a run could be made; `None`: everywhere in the ranges.
    pub is_feasible: Option<&'a dyn Fn(&CodedPoint) -> bool>,
    /// Points at which the prediction variance is looked at.
    pub n_region_points: usize,
}

/// Set-ups and how much they scatter.
#[derive(Debug, Clone, Copy)]
pub struct SetUpRequest<'a> {
    /// Set-up number of each run (any numbers).
    pub of_run: &'a [usize],
    /// Ratio of the variance between set-ups to that between runs of a set-up.
    pub variance_ratio: f64,
}

impl Default for EvaluationOptions<'_> {
    /// An effect of two standard deviations at 5 %, no blocks, no set-ups, no limits.
    fn default() -> Self {
        Self {
            effect_over_sigma: 2.0,
            alpha: 0.05,
            blocks: None,
            set_ups: None,
            is_feasible: None,
            n_region_points: DEFAULT_REGION_POINTS,
        }
    }
}

impl std::fmt::Debug for EvaluationOptions<'_> {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter
            .debug_struct("EvaluationOptions")
            .field("effect_over_sigma", &self.effect_over_sigma)
            .field("alpha", &self.alpha)
            .field("blocks", &self.blocks)
            .field("set_ups", &self.set_ups)
            .field("is_limited", &self.is_feasible.is_some())
            .field("n_region_points", &self.n_region_points)
            .finish()
    }
}

/// What a plan can learn. Efficiencies are per cent.
#[derive(Debug, Clone, PartialEq)]
pub struct Evaluation {
    /// Number of runs.
    pub n_runs: usize,
    /// Number of model columns, blocks included.
    pub n_columns: usize,
    /// Number of columns that can be estimated.
    pub rank: usize,
    /// Degrees of freedom for error: runs − rank.
    pub error_df: usize,
    /// `100 |M|^(1/p)/n` in orthonormal coding: 100 for an orthogonal two-level plan of a first-order model.
    pub d_efficiency: Known<f64>,
    /// D-efficiency against the best that any plan of any size could do in the same region, for the same model. Plans
    /// with blocks or set-ups have none.
    pub d_efficiency_of_best: Known<f64>,
    /// `100 p/(n tr M⁻¹)` in orthonormal coding.
    pub a_efficiency: Known<f64>,
    /// `100 p/(n max v)`; plans with set-ups have none.
    pub g_efficiency: Known<f64>,
    /// Average prediction variance over the feasible region, in units of the variance of a run.
    pub average_prediction_variance: Known<f64>,
    /// Greatest prediction variance over the feasible region and where it is.
    pub max_prediction_variance: Known<VarianceAt>,
    /// `ln|M|` in the coding of the fits.
    pub ln_determinant: Known<f64>,
    /// 2-norm condition number of the model columns scaled to unit length.
    pub condition_number: f64,
    /// One entry a model column.
    pub columns: Vec<ColumnEvaluation>,
    /// One entry a model term (and one for the blocks), in column order.
    pub terms: Vec<TermEvaluation>,
    /// Aliased pairs, largest first.
    pub aliases: Vec<AliasPair>,
    /// The regular fraction or full two-level factorial that the runs form: resolution, defining relation, word-length
    /// pattern.
    pub fraction: Option<RegularFraction>,
    /// Correlations of all model columns, two-factor products and squares.
    pub correlations: Correlations,
    /// Share of the feasible region and the prediction variance that it does not exceed: steps of 0.05, 0.99 and 1.
    pub fraction_of_design_space: Known<Vec<(f64, f64)>>,
    /// Leverage of each run.
    pub leverages: Vec<f64>,
    /// 0-based runs that are fitted exactly: losing one loses a term.
    pub indispensable_runs: Vec<usize>,
    /// 0-based runs with more than twice the average leverage.
    pub influential_runs: Vec<usize>,
    /// Smallest distance of two runs in coded units; different levels of a category are 2 apart. None above 4000 runs.
    pub min_distance: Known<f64>,
    /// Squared centered discrepancy of the numbers, ranges scaled to 0…1; none if a run lies outside its range, and none above
    /// 4000 runs.
    pub centred_discrepancy: Known<f64>,
    /// Greatest absolute correlation of two main-effect columns.
    pub max_column_correlation: Known<f64>,
    /// 0-based runs that do not pass the feasibility test.
    pub infeasible_runs: Vec<usize>,
    /// What set-ups cost, if there are any.
    pub split_plot: Option<SplitPlotEvaluation>,
}

/// Correlations of columns over the runs.
#[derive(Debug, Clone, PartialEq)]
pub struct Correlations {
    /// Names of the columns.
    pub names: Vec<String>,
    /// Pearson correlations; `None` where a column is constant.
    pub matrix: Vec<Vec<Option<f64>>>,
}

/// What set-ups cost.
#[derive(Debug, Clone, PartialEq)]
pub struct SplitPlotEvaluation {
    /// Number of set-ups.
    pub n_set_ups: usize,
    /// Ratio of the variance between set-ups to that between runs.
    pub variance_ratio: f64,
    /// D-efficiency against the same runs in complete random order with the same total variance, per cent.
    pub efficiency_against_full_shuffle: Known<f64>,
}

/// Judges a plan for a model.
///
/// # Errors
/// [`EvaluationError`] says what is wrong with the question; figures that do not exist for this plan and model are no
/// error.
pub fn evaluate(
    space: &FactorSpace,
    terms: &TermList,
    points: &[CodedPoint],
    options: &EvaluationOptions<'_>,
) -> Result<Evaluation, EvaluationError> {
    check(terms, points, options)?;
    let blocks = options.blocks.filter(|blocks| blocks.labels.len() > 1);
    let set_ups = options
        .set_ups
        .map(|asked| SetUps::new(asked.of_run, asked.variance_ratio));
    let model = ModelMatrix::new(space, terms, points, blocks)?;
    let qr = ordered_qr(&model);
    let variance =
        PredictionVariance::with_set_ups(space, terms, points, blocks, set_ups.as_ref())?;
    let criteria = Criteria::of(&variance, terms, points.len(), set_ups.is_some(), options)?;
    let leverages = leverages(&qr);
    let limit = 2.0 * qr.rank() as f64 / points.len() as f64;
    let (columns, judged_terms) = term_power::judge(space, &model, &qr, set_ups.as_ref(), options)?;
    let split_plot = set_ups
        .map(|set_ups| split_plot(space, terms, points, blocks, (&set_ups, &variance)))
        .transpose()?;
    Ok(Evaluation {
        n_runs: points.len(),
        n_columns: model.n_columns(),
        rank: qr.rank(),
        error_df: points.len() - qr.rank(),
        d_efficiency: criteria.d_efficiency,
        d_efficiency_of_best: criteria.d_efficiency_of_best,
        a_efficiency: criteria.a_efficiency,
        g_efficiency: criteria.g_efficiency,
        average_prediction_variance: criteria.average,
        max_prediction_variance: criteria.greatest,
        fraction_of_design_space: criteria.curve,
        ln_determinant: if qr.dependent().is_empty() {
            Ok(qr.ln_determinant())
        } else {
            Err(Undefined::Aliased)
        },
        condition_number: qr.condition_number(),
        columns,
        terms: judged_terms,
        aliases: alias_pairs(space, terms, points, blocks)?,
        fraction: RegularFraction::recognize(space, points),
        correlations: all_correlations(space, terms, points)?,
        indispensable_runs: runs_above(&leverages, FULL_LEVERAGE),
        influential_runs: runs_above(&leverages, limit),
        leverages,
        min_distance: evenness(points, || {
            min_distance(&distance_rows(space, points), DistanceNorm::Euclidean)
        }),
        centred_discrepancy: evenness(points, || centred_discrepancy(&unit_rows(points))),
        max_column_correlation: main_effect_correlation(space, points)?,
        infeasible_runs: options.is_feasible.map_or_else(Vec::new, |is_feasible| {
            (0..points.len())
                .filter(|run| !is_feasible(&points[*run]))
                .collect()
        }),
        split_plot,
    })
}

/// Figures that look at all pairs of runs, for plans where that takes no time.
fn evenness(points: &[CodedPoint], figure: impl FnOnce() -> Known<f64>) -> Known<f64> {
    if points.len() > MAX_PAIRED_RUNS {
        Err(Undefined::DoesNotApply)
    } else {
        figure()
    }
}

fn check(
    terms: &TermList,
    points: &[CodedPoint],
    options: &EvaluationOptions<'_>,
) -> Result<(), EvaluationError> {
    if points.is_empty() {
        return Err(EvaluationError::NoRuns);
    }
    if terms.terms().is_empty() {
        return Err(EvaluationError::NoTerms);
    }
    let (alpha, effect) = (options.alpha, options.effect_over_sigma);
    if !(alpha > 0.0 && alpha < 1.0) {
        return Err(PowerError::BadSignificanceLevel { alpha }.into());
    }
    if !(effect.is_finite() && effect >= 0.0) {
        return Err(PowerError::BadEffect { effect }.into());
    }
    let Some(asked) = options.set_ups else {
        return Ok(());
    };
    let ratio = asked.variance_ratio;
    if !(ratio.is_finite() && ratio >= 0.0) {
        return Err(EvaluationError::BadVarianceRatio { ratio });
    }
    if asked.of_run.len() != points.len() {
        return Err(EvaluationError::SetUpsLength {
            expected: points.len(),
            found: asked.of_run.len(),
        });
    }
    Ok(())
}

/// Everything that follows from `M`.
struct Criteria {
    d_efficiency: Known<f64>,
    d_efficiency_of_best: Known<f64>,
    a_efficiency: Known<f64>,
    g_efficiency: Known<f64>,
    average: Known<f64>,
    greatest: Known<VarianceAt>,
    curve: Known<Vec<(f64, f64)>>,
}

impl Criteria {
    fn of(
        variance: &PredictionVariance,
        terms: &TermList,
        n_runs: usize,
        has_set_ups: bool,
        options: &EvaluationOptions<'_>,
    ) -> Result<Self, EvaluationError> {
        let (n, p) = (n_runs as f64, variance.n_columns() as f64);
        let greatest = variance.greatest(options.is_feasible);
        let over_region = variance.over_region(options.n_region_points, options.is_feasible);
        let n_blocks = options.blocks.map_or(1, |blocks| blocks.labels.len());
        Ok(Self {
            d_efficiency: variance
                .ln_determinant()
                .map(|ln| 100.0 * (ln / p).exp() / n),
            d_efficiency_of_best: if has_set_ups || n_blocks > 1 {
                Err(Undefined::DoesNotApply)
            } else {
                efficiency_of_best(variance, terms, n, options)?
            },
            a_efficiency: variance
                .trace_of_inverse()
                .map(|trace| 100.0 * p / (n * trace)),
            g_efficiency: match &greatest {
                Ok(_) if has_set_ups => Err(Undefined::DoesNotApply),
                Ok(greatest) => Ok(100.0 * p / (n * greatest.variance)),
                Err(why) => Err(why.clone()),
            },
            average: match (&over_region, options.is_feasible) {
                (Ok(over_region), Some(_)) => Ok(over_region.mean()),
                (Err(why), Some(_)) => Err(why.clone()),
                (_, None) => variance.average(),
            },
            curve: over_region.and_then(|over_region| Ok(curve(&over_region, &greatest.clone()?))),
            greatest,
        })
    }
}

/// D-efficiency against the bound of the equivalence theorem, so that it errs on the low side.
fn efficiency_of_best(
    variance: &PredictionVariance,
    terms: &TermList,
    n: f64,
    options: &EvaluationOptions<'_>,
) -> Result<Known<f64>, EvaluationError> {
    let ln_determinant = match variance.ln_determinant() {
        Ok(ln_determinant) => ln_determinant,
        Err(why) => return Ok(Err(why)),
    };
    let rows = OrthonormalRows::new(variance.space(), terms, None)?;
    let p = rows.n_columns() as f64;
    Ok(
        continuous_optimum(&rows, variance.region(options.is_feasible))
            .map(|optimum| {
                let ln_ratio = ln_determinant - p * n.ln() - optimum.ln_determinant_bound;
                100.0 * (ln_ratio / p).exp()
            })
            .ok_or(Undefined::NoFeasiblePoint),
    )
}

/// Shares in steps of 0.05, 0.99, and the climbed-to maximum at 1.
fn curve(over_region: &VarianceOverRegion, greatest: &VarianceAt) -> Vec<(f64, f64)> {
    let mut curve: Vec<(f64, f64)> = (1..20_u8)
        .map(|step| f64::from(step) / 20.0)
        .chain([0.99])
        .map(|share| (share, over_region.quantile(share)))
        .collect();
    curve.push((1.0, over_region.quantile(1.0).max(greatest.variance)));
    curve
}

fn leverages(qr: &OrderedQr) -> Vec<f64> {
    let q = qr.thin_q();
    q.row_iter().map(|row| row.norm_squared()).collect()
}

fn runs_above(leverages: &[f64], limit: f64) -> Vec<usize> {
    (0..leverages.len())
        // Equality to rounding is no excess.
        .filter(|run| leverages[*run] > limit * (1.0 + 1e-9))
        .collect()
}

fn split_plot(
    space: &FactorSpace,
    terms: &TermList,
    points: &[CodedPoint],
    blocks: Option<&Blocks>,
    (set_ups, in_set_ups): (&SetUps, &PredictionVariance),
) -> Result<SplitPlotEvaluation, EvaluationError> {
    let shuffled = PredictionVariance::new(space, terms, points, blocks)?;
    let p = shuffled.n_columns() as f64;
    let efficiency = in_set_ups
        .ln_determinant()
        .and_then(|own| Ok(100.0 * ((own - shuffled.ln_determinant()?) / p).exp()));
    Ok(SplitPlotEvaluation {
        n_set_ups: set_ups.n_set_ups(),
        variance_ratio: set_ups.ratio(),
        efficiency_against_full_shuffle: efficiency,
    })
}

/// Model columns and all second-order ones, without the intercept and blocks.
fn all_correlations(
    space: &FactorSpace,
    terms: &TermList,
    points: &[CodedPoint],
) -> Result<Correlations, EvaluationError> {
    let all: Vec<Term> = terms
        .terms()
        .iter()
        .chain(TermList::quadratic(space).terms())
        .filter(|term| !term.is_intercept())
        .cloned()
        .collect();
    let model = ModelMatrix::new(space, &TermList::new(all), points, None)?;
    Ok(Correlations {
        names: model.column_names().to_vec(),
        matrix: correlations(&matrix_rows(&model)),
    })
}

fn main_effect_correlation(
    space: &FactorSpace,
    points: &[CodedPoint],
) -> Result<Known<f64>, EvaluationError> {
    let linear = TermList::linear(space);
    let main: Vec<Term> = linear
        .terms()
        .iter()
        .filter(|term| !term.is_intercept())
        .cloned()
        .collect();
    let model = ModelMatrix::new(space, &TermList::new(main), points, None)?;
    Ok(column_correlation(&matrix_rows(&model)).map(|correlation| correlation.largest))
}

fn matrix_rows(model: &ModelMatrix) -> Vec<Vec<f64>> {
    model
        .matrix()
        .row_iter()
        .map(|row| row.iter().copied().collect())
        .collect()
}

/// Coordinates whose Euclidean distance is the coded one for numbers and 2 for different levels of a category.
fn distance_rows(space: &FactorSpace, points: &[CodedPoint]) -> Vec<Vec<f64>> {
    points
        .iter()
        .map(|point| {
            let mut row = Vec::new();
            for (factor, value) in space.factors().iter().zip(&point.0) {
                match value {
                    Value::Number(x) => row.push(*x),
                    Value::Level(level) => {
                        let marks = 0..factor.n_levels().unwrap_or(0);
                        row.extend(marks.map(|mark| {
                            if mark == *level {
                                std::f64::consts::SQRT_2
                            } else {
                                0.0
                            }
                        }));
                    }
                }
            }
            row
        })
        .collect()
}

/// The numbers of each run on the scale 0…1 of their ranges.
fn unit_rows(points: &[CodedPoint]) -> Vec<Vec<f64>> {
    points
        .iter()
        .map(|point| {
            point
                .0
                .iter()
                .filter_map(|value| match value {
                    Value::Number(x) => Some(0.5 * (x + 1.0)),
                    Value::Level(_) => None,
                })
                .collect()
        })
        .collect()
}
