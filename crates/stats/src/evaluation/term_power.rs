//! What a plan says about each term: variance inflation, standard error, power.

use nalgebra::{DMatrix, DVector};

use crate::error::StatsError;
use crate::evaluation::set_ups::{SetUps, StratumInformation};
use crate::evaluation::{EvaluationError, EvaluationOptions};
use crate::factor::{CodedPoint, FactorKind, FactorSpace, Value};
use crate::model::{ColumnGroup, ColumnSource, ModelMatrix};
use crate::power::{least_noncentrality, power_of_f_test};
use crate::qr::{OrderedQr, SpreadAbout};
use crate::term::Term;
use crate::undefined::{Known, Undefined};

/// Most settings between which the contribution of a term is compared (own choice: products of large categories).
const MAX_SETTINGS: usize = 400;

/// Among what scatter an effect is judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stratum {
    /// Between set-ups.
    SetUps,
    /// Between runs within a set-up.
    Runs,
}

/// What a plan says about one model column.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnEvaluation {
    /// Name of the column: `speed`, `gas[argon]`, `block[day 2]`.
    pub name: String,
    /// Variance inflation among the estimated columns: centered if the model has an intercept.
    pub vif: Known<f64>,
    /// Standard error of the coefficient (coded units, sum-to-zero categories) in standard deviations of a run.
    pub relative_se: Known<f64>,
}

/// What a plan says about one term, or about the blocks.
#[derive(Debug, Clone, PartialEq)]
pub struct TermEvaluation {
    /// Name of the term; a category and its products have one entry.
    pub name: String,
    /// The term, or the blocks.
    pub source: ColumnSource,
    /// Number of its columns: numerator degrees of freedom of its test.
    pub n_columns: usize,
    /// Largest variance inflation of its columns.
    pub vif: Known<f64>,
    /// Largest relative standard error of its columns.
    pub relative_se: Known<f64>,
    /// Coefficient that is assumed for power: the effect divided by the width of the term's range; terms with several
    /// columns have none.
    pub assumed_coefficient: Known<f64>,
    /// Noncentrality of its F test; for several columns with the most unlucky pattern of the stated range.
    pub noncentrality: Known<f64>,
    /// Power of its test.
    pub power: Known<f64>,
    /// Error degrees of freedom of its test; with set-ups after Satterthwaite, for several columns the least of them.
    pub error_df: Known<f64>,
    /// Where it is judged, if there are set-ups.
    pub stratum: Option<Stratum>,
}

struct Judge<'a> {
    space: &'a FactorSpace,
    model: &'a ModelMatrix,
    /// Factor of the model's columns.
    qr: &'a OrderedQr,
    set_ups: Option<&'a SetUps>,
    options: &'a EvaluationOptions<'a>,
    /// Covariance of the estimated columns in units of the variance of a run, by place among the kept.
    covariance: DMatrix<f64>,
    /// The same without set-ups, for variance inflation.
    plain_covariance: DMatrix<f64>,
    information: Option<StratumInformation>,
}

/// Judges all columns and terms.
pub(crate) fn judge(
    space: &FactorSpace,
    model: &ModelMatrix,
    qr: &OrderedQr,
    set_ups: Option<&SetUps>,
    options: &EvaluationOptions<'_>,
) -> Result<(Vec<ColumnEvaluation>, Vec<TermEvaluation>), EvaluationError> {
    let plain = qr.r_inverse();
    let plain_covariance = &plain * plain.transpose();
    let kept = model.matrix().select_columns(qr.kept());
    let covariance = set_ups.map_or_else(
        || plain_covariance.clone(),
        |set_ups| {
            let mut whitened = kept.clone();
            set_ups.whiten(&mut whitened);
            // All these columns are independent already: nothing is measured against their spread.
            let factor = OrderedQr::new(whitened.as_slice(), kept.nrows(), SpreadAbout::Zero);
            let inverse = factor.r_inverse();
            &inverse * inverse.transpose()
        },
    );
    let judge = Judge {
        space,
        model,
        qr,
        set_ups,
        options,
        covariance,
        plain_covariance,
        information: set_ups.and_then(|set_ups| set_ups.information(&kept)),
    };
    let columns: Vec<ColumnEvaluation> = (0..model.n_columns())
        .map(|column| judge.column(column))
        .collect();
    let terms = model
        .groups()
        .iter()
        .map(|group| judge.term(group, &columns))
        .collect::<Result<Vec<_>, _>>()?;
    Ok((columns, terms))
}

impl Judge<'_> {
    fn column(&self, column: usize) -> ColumnEvaluation {
        let name = self.model.column_names()[column].clone();
        let Ok(place) = self.qr.kept().binary_search(&column) else {
            return ColumnEvaluation {
                name,
                vif: Err(Undefined::Aliased),
                relative_se: Err(Undefined::Aliased),
            };
        };
        let values = self.model.matrix().column(column);
        let mean = if self.model.has_intercept() {
            values.mean()
        } else {
            0.0
        };
        let spread: f64 = values.iter().map(|x| (x - mean) * (x - mean)).sum();
        let vif = if self.model.has_intercept() && column == 0 {
            Err(Undefined::Intercept)
        } else {
            Ok(self.plain_covariance[(place, place)] * spread)
        };
        ColumnEvaluation {
            name,
            vif,
            relative_se: Ok(self.covariance[(place, place)].sqrt()),
        }
    }

    fn term(
        &self,
        group: &ColumnGroup,
        columns: &[ColumnEvaluation],
    ) -> Result<TermEvaluation, EvaluationError> {
        let own = &columns[group.columns.clone()];
        let stratum = self.set_ups.map(|set_ups| {
            let is_constant = group.columns.clone().all(|column| {
                set_ups.is_constant_within(self.model.matrix().column(column).as_slice())
            });
            if is_constant {
                Stratum::SetUps
            } else {
                Stratum::Runs
            }
        });
        let places: Known<Vec<usize>> = group
            .columns
            .clone()
            .map(|column| {
                self.qr
                    .kept()
                    .binary_search(&column)
                    .ok()
                    .ok_or(Undefined::Aliased)
            })
            .collect();
        let test = self.test(group, places, stratum)?;
        Ok(TermEvaluation {
            name: group.name.clone(),
            source: group.source.clone(),
            n_columns: group.columns.len(),
            vif: largest(own.iter().map(|column| column.vif.clone())),
            relative_se: largest(own.iter().map(|column| column.relative_se.clone())),
            assumed_coefficient: test.assumed_coefficient,
            noncentrality: test.noncentrality,
            power: test.power,
            error_df: test.error_df,
            stratum,
        })
    }

    fn test(
        &self,
        group: &ColumnGroup,
        places: Known<Vec<usize>>,
        stratum: Option<Stratum>,
    ) -> Result<Test, EvaluationError> {
        let term = match &group.source {
            ColumnSource::Blocks => return Ok(Test::none(Undefined::DoesNotApply)),
            ColumnSource::Term(term) if term.is_intercept() => {
                return Ok(Test::none(Undefined::Intercept));
            }
            ColumnSource::Term(term) => term,
        };
        let places = match places {
            Ok(places) => places,
            Err(why) => return Ok(Test::none(why)),
        };
        let Some(settings) = self.settings(term, group)? else {
            return Ok(Test::none(Undefined::DoesNotApply));
        };
        let covariance = self.covariance.select_rows(&places).select_columns(&places);
        let effect = self.options.effect_over_sigma;
        let noncentrality = least_noncentrality(effect, &covariance, &settings)
            .map(|lambda| lambda * self.stratum_variance(stratum))
            .ok_or(Undefined::DoesNotVary);
        let assumed_coefficient = match places.len() {
            1 => Ok(effect / width(&settings)),
            _ => Err(Undefined::DoesNotApply),
        };
        let error_df = self.error_df(&places);
        let power = match (&noncentrality, &error_df) {
            (Ok(lambda), Ok(df)) => Ok(power_of_f_test(
                places.len() as f64,
                *df,
                *lambda,
                self.options.alpha,
            )?),
            (Err(why), _) | (_, Err(why)) => Err(why.clone()),
        };
        Ok(Test {
            assumed_coefficient,
            noncentrality,
            power,
            error_df,
        })
    }

    /// Variance between the units of a stratum in units of that of a single run, which is `1 + η` for run variance 1:
    /// the effect is stated in standard deviations of its own stratum.
    fn stratum_variance(&self, stratum: Option<Stratum>) -> f64 {
        match (self.set_ups, stratum) {
            (Some(set_ups), Some(Stratum::SetUps)) => {
                set_ups.stratum_variance() / (1.0 + set_ups.ratio())
            }
            (Some(set_ups), _) => 1.0 / (1.0 + set_ups.ratio()),
            (None, _) => 1.0,
        }
    }

    fn error_df(&self, places: &[usize]) -> Known<f64> {
        if self.set_ups.is_none() {
            let df = self.qr.n_rows() - self.qr.rank();
            return if df == 0 {
                Err(Undefined::NoErrorDf)
            } else {
                Ok(df as f64)
            };
        }
        let information = self.information.as_ref().ok_or(Undefined::NoErrorDf)?;
        let mut least = f64::INFINITY;
        for place in places {
            let mut contrast = DVector::zeros(self.qr.rank());
            contrast[*place] = 1.0;
            least = least.min(information.df(&contrast)?);
        }
        Ok(least)
    }

    /// The term's columns where its contribution can be extreme: ends and middles of numbers, all levels of categories.
    /// `None` if these are too many.
    fn settings(
        &self,
        term: &Term,
        group: &ColumnGroup,
    ) -> Result<Option<Vec<DVector<f64>>>, StatsError> {
        let choices: Vec<(usize, Vec<Value>)> = term
            .powers()
            .iter()
            .filter_map(|(factor, _)| Some((*factor, self.space.factors().get(*factor)?.kind())))
            .map(|(factor, kind)| {
                let values = match kind {
                    FactorKind::Categorical { levels } => {
                        (0..levels.len()).map(Value::Level).collect()
                    }
                    FactorKind::Continuous { .. } | FactorKind::Discrete { .. } => {
                        [-1.0, 0.0, 1.0].map(Value::Number).to_vec()
                    }
                };
                (factor, values)
            })
            .collect();
        let n_settings = choices
            .iter()
            .try_fold(1_usize, |n, (_, values)| n.checked_mul(values.len()));
        let Some(n_settings) = n_settings.filter(|n| *n <= MAX_SETTINGS) else {
            return Ok(None);
        };
        let middle: Vec<Value> = self
            .space
            .factors()
            .iter()
            .map(|factor| {
                if factor.is_categorical() {
                    Value::Level(0)
                } else {
                    Value::Number(0.0)
                }
            })
            .collect();
        (0..n_settings)
            .map(|index| {
                let mut values = middle.clone();
                let mut rest = index;
                for (factor, list) in &choices {
                    values[*factor] = list[rest % list.len()];
                    rest /= list.len();
                }
                let row = self.model.row_at(self.space, &CodedPoint(values))?;
                Ok(DVector::from_row_slice(&row[group.columns.clone()]))
            })
            .collect::<Result<Vec<_>, _>>()
            .map(Some)
    }
}

struct Test {
    assumed_coefficient: Known<f64>,
    noncentrality: Known<f64>,
    power: Known<f64>,
    error_df: Known<f64>,
}

impl Test {
    fn none(why: Undefined) -> Self {
        Self {
            assumed_coefficient: Err(why.clone()),
            noncentrality: Err(why.clone()),
            power: Err(why.clone()),
            error_df: Err(why),
        }
    }
}

/// Width of the range of a single column.
fn width(settings: &[DVector<f64>]) -> f64 {
    let values = || settings.iter().filter_map(|row| row.iter().next());
    let greatest = values().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = values().copied().fold(f64::INFINITY, f64::min);
    greatest - least
}

/// The largest number, or the first reason why there is none.
fn largest(numbers: impl Iterator<Item = Known<f64>>) -> Known<f64> {
    let mut largest = f64::NEG_INFINITY;
    for number in numbers {
        largest = largest.max(number?);
    }
    Ok(largest)
}
