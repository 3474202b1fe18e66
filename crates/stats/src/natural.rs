//! Coefficients in natural units, by exact substitution of the coding into the fitted polynomial.
//!
//! A fit on raw powers of a setting loses half of all digits; a fit in coded units followed by the substitution
//! `x = (u − m)/h` loses none that the data carry. Natural coefficients are `T b` with covariance `T C T'`, where T
//! holds binomial coefficients, powers of 1/h and of −m/h. T and its products are summed in doubled precision, since
//! they cancel when a range lies far from zero. Factors on a log scale enter through ln u.
//!
//! The substitution may bring lower-order terms that are not in the coded model (`gap^2` alone gives `gap` and a
//! constant, too): they are listed as implied. Tests of terms belong to the coded columns; t and p here are only the
//! same for terms without higher-order relatives.

use nalgebra::DMatrix;

use crate::confidence::{ConfidenceLevel, Interval};
use crate::distributions::StudentT;
use crate::double_double::DoubleDouble;
use crate::error::{FitError, StatsError};
use crate::factor::{Factor, FactorSpace};
use crate::least_squares::LeastSquares;
use crate::model::{ColumnRecipe, ColumnSource, FactorPart, ModelLayout};
use crate::term::{Term, TermList};
use crate::undefined::{Known, Undefined};

/// One coefficient of the polynomial in natural settings.
#[derive(Debug, Clone, PartialEq)]
pub struct NaturalCoefficient {
    /// Name of the column, as in coded units.
    pub name: String,
    /// The term or blocks it belongs to.
    pub source: ColumnSource,
    /// 0-based indices of the factors of this term that enter as the logarithm of the setting.
    pub logarithmic: Vec<usize>,
    /// True if the coded model has no such column: it only comes from the substitution.
    pub is_implied: bool,
    /// The coefficient, in response units per product of setting units.
    pub estimate: Known<f64>,
    /// Its standard error.
    pub standard_error: Known<f64>,
    /// Estimate over standard error.
    pub t: Known<f64>,
    /// Error degrees of freedom.
    pub df: usize,
    /// Two-sided probability of a larger |t| if the true coefficient is zero.
    pub p: Known<f64>,
    /// Two-sided confidence interval.
    pub interval: Known<Interval>,
}

/// The exact substitution of one model: natural coefficients are linear in the coded ones.
struct Substitution {
    layout: ModelLayout,
    /// For each natural column, the coded columns it is made of with their factors.
    rows: Vec<Vec<(usize, DoubleDouble)>>,
    implied: Vec<bool>,
}

impl LeastSquares {
    /// Coefficients of the same surface as a polynomial in natural settings, canonical order, blocks as they are.
    ///
    /// # Errors
    /// [`FitError::Space`] if `space` is not the one of the fit.
    pub fn natural_coefficients(
        &self,
        space: &FactorSpace,
        level: ConfidenceLevel,
    ) -> Result<Vec<NaturalCoefficient>, FitError> {
        let substitution = Substitution::new(self.layout(), space)?;
        let distribution = StudentT::new(self.error_df() as f64).ok();
        let t_limit = distribution.map(|t| t.two_sided_quantile(level.outside()));
        let groups = substitution.layout.groups().iter();
        let sources = groups.flat_map(|group| group.columns.clone().map(|_| &group.source));
        let columns = sources.zip(substitution.layout.column_names()).enumerate();
        Ok(columns
            .map(|(index, (source, name))| {
                let row = &substitution.rows[index];
                let value = self.natural_value(row, substitution.implied[index]);
                let estimate = value.clone().map(|(estimate, _)| estimate);
                let standard_error = value
                    .clone()
                    .and_then(|(_, length)| Ok(self.residual_sd()? * length));
                let t = value
                    .and_then(|(estimate, length)| Ok(estimate / (self.testing_sd()? * length)));
                NaturalCoefficient {
                    name: name.clone(),
                    source: source.clone(),
                    logarithmic: logarithmic_factors(space, source),
                    is_implied: substitution.implied[index],
                    interval: estimate.clone().and_then(|estimate| {
                        let limit = t_limit.ok_or(Undefined::NoErrorDf)?;
                        Ok(Interval::around(estimate, limit * standard_error.clone()?))
                    }),
                    p: t.clone().and_then(|t| {
                        let distribution = distribution.ok_or(Undefined::NoErrorDf)?;
                        Ok(distribution.two_sided(t))
                    }),
                    estimate,
                    standard_error,
                    t,
                    df: self.error_df(),
                }
            })
            .collect())
    }

    /// Value of one natural coefficient and the length of its row of `T R⁻¹`.
    fn natural_value(&self, row: &[(usize, DoubleDouble)], is_implied: bool) -> Known<(f64, f64)> {
        let mut dense = vec![0.0; self.n_columns()];
        for (column, factor) in row {
            dense[*column] = factor.to_f64();
        }
        let kept: Vec<f64> = self.kept_columns().iter().map(|c| dense[*c]).collect();
        if let Err(reason) = self.check_estimable(&dense, &kept) {
            // A column of its own that was dropped says so; a sum says what cannot be separated.
            let own_column_only = row.len() == 1 && !is_implied;
            return Err(if own_column_only {
                Undefined::Aliased
            } else {
                reason
            });
        }
        let mut estimate = DoubleDouble::ZERO;
        let mut image = vec![DoubleDouble::ZERO; self.rank()];
        for (column, factor) in row {
            let Some(position) = self.position(*column) else {
                continue;
            };
            let own = DoubleDouble::new(self.estimates[position]);
            estimate = estimate.plus(factor.times(own));
            for (sum, r) in image.iter_mut().zip(self.r_inverse.row(position).iter()) {
                *sum = sum.plus(factor.times(DoubleDouble::new(*r)));
            }
        }
        let square: f64 = image.iter().map(|z| z.to_f64().powi(2)).sum();
        Ok((estimate.to_f64(), square.sqrt()))
    }

    /// The substitution as a plain matrix, natural columns × coded columns, with the names of its rows.
    ///
    /// # Errors
    /// [`FitError::Space`] if `space` is not the one of the fit.
    pub fn natural_substitution(
        &self,
        space: &FactorSpace,
    ) -> Result<(Vec<String>, DMatrix<f64>), FitError> {
        let substitution = Substitution::new(self.layout(), space)?;
        let mut matrix = DMatrix::zeros(substitution.rows.len(), self.n_columns());
        for (index, row) in substitution.rows.iter().enumerate() {
            for (column, factor) in row {
                matrix[(index, *column)] = factor.to_f64();
            }
        }
        Ok((substitution.layout.column_names().to_vec(), matrix))
    }
}

impl Substitution {
    fn new(coded: &ModelLayout, space: &FactorSpace) -> Result<Self, StatsError> {
        let terms = TermList::new(
            coded
                .groups()
                .iter()
                .filter_map(|group| match &group.source {
                    ColumnSource::Term(term) => Some(lower_terms(term, space)),
                    ColumnSource::Blocks => None,
                })
                .flatten()
                .collect(),
        );
        let layout = coded.with_terms(space, &terms)?;
        let mut rows = vec![Vec::new(); layout.n_columns()];
        for (column, recipe) in coded.recipes().iter().enumerate() {
            match recipe {
                ColumnRecipe::Block => {
                    let name = coded.column_names().get(column);
                    let own = layout.column_names().iter().position(|n| Some(n) == name);
                    if let Some(row) = own.and_then(|own| rows.get_mut(own)) {
                        row.push((column, DoubleDouble::ONE));
                    }
                }
                ColumnRecipe::Product(parts) => {
                    for (natural, factor) in expand(parts, space) {
                        let wanted = ColumnRecipe::Product(natural);
                        let own = layout.recipes().iter().position(|r| *r == wanted);
                        if let Some(row) = own.and_then(|own| rows.get_mut(own)) {
                            row.push((column, factor));
                        }
                    }
                }
            }
        }
        let implied = layout
            .column_names()
            .iter()
            .map(|name| !coded.column_names().contains(name))
            .collect();
        Ok(Self {
            layout,
            rows,
            implied,
        })
    }
}

/// The term itself and all that are left when exponents of numbers are lowered.
fn lower_terms(term: &Term, space: &FactorSpace) -> Vec<Term> {
    let mut lists: Vec<Vec<(usize, u32)>> = vec![Vec::new()];
    for (factor, exponent) in term.powers() {
        // Categories have no powers, and a range symmetric about zero is only scaled.
        let line = space.factors().get(*factor).and_then(coding_line);
        let is_shifted = line.is_some_and(|(_, constant)| constant.to_f64() != 0.0);
        let lowest = if is_shifted { 0 } else { *exponent };
        lists = lists
            .into_iter()
            .flat_map(|list| {
                (lowest..=*exponent).map(move |e| {
                    let mut longer = list.clone();
                    longer.push((*factor, e));
                    longer
                })
            })
            .collect();
    }
    lists.into_iter().map(Term::from_powers).collect()
}

/// The natural columns that a product of coded settings becomes, each with its factor.
fn expand(parts: &[FactorPart], space: &FactorSpace) -> Vec<(Vec<FactorPart>, DoubleDouble)> {
    let mut sums = vec![(Vec::new(), DoubleDouble::ONE)];
    for part in parts {
        let powers = match space.factors().get(part.factor).and_then(coding_line) {
            None => vec![(part.exponent, DoubleDouble::ONE)],
            Some(line) => binomial(line, part.exponent),
        };
        sums = sums
            .iter()
            .flat_map(|(natural, factor)| {
                powers.iter().map(move |(exponent, own)| {
                    let mut longer = natural.clone();
                    if *exponent > 0 {
                        longer.push(FactorPart {
                            exponent: *exponent,
                            ..*part
                        });
                    }
                    (longer, factor.times(*own))
                })
            })
            .collect();
    }
    sums
}

/// Coded value as a line in the setting (or its logarithm): slope 1/h and constant −m/h; `None` for a category.
fn coding_line(factor: &Factor) -> Option<(DoubleDouble, DoubleDouble)> {
    let (low, high) = factor.range()?;
    let (low, high) = if factor.is_log() {
        (low.ln(), high.ln())
    } else {
        (low, high)
    };
    let width = DoubleDouble::exact_sum(high, -low);
    let slope = DoubleDouble::new(2.0).divided_by(width);
    let constant = DoubleDouble::exact_sum(low, high)
        .divided_by(width)
        .negated();
    Some((slope, constant))
}

/// The powers of u in `(slope u + constant)^n` with their factors, highest power last.
fn binomial(line: (DoubleDouble, DoubleDouble), n: u32) -> Vec<(u32, DoubleDouble)> {
    let (slope, constant) = line;
    // Repeated multiplication with the line; n is at most 20.
    let mut powers = vec![DoubleDouble::ONE];
    for _ in 0..n {
        let mut next = vec![DoubleDouble::ZERO; powers.len() + 1];
        for (exponent, factor) in powers.iter().enumerate() {
            next[exponent] = next[exponent].plus(factor.times(constant));
            next[exponent + 1] = next[exponent + 1].plus(factor.times(slope));
        }
        powers = next;
    }
    (0..).zip(powers).collect()
}

fn logarithmic_factors(space: &FactorSpace, source: &ColumnSource) -> Vec<usize> {
    match source {
        ColumnSource::Blocks => Vec::new(),
        ColumnSource::Term(term) => term
            .powers()
            .iter()
            .map(|(factor, _)| *factor)
            .filter(|factor| space.factors().get(*factor).is_some_and(Factor::is_log))
            .collect(),
    }
}

/// The same factors with ranges symmetric about zero, so that coding is a pure scaling. A model without an intercept
/// means "zero response at zero settings" only under such a coding; logarithmic scales and categories stay as they are.
///
/// # Errors
/// As [`Factor::new`].
pub fn space_about_zero(space: &FactorSpace) -> Result<FactorSpace, StatsError> {
    let factors = space
        .factors()
        .iter()
        .map(|factor| match factor.range() {
            Some((low, high)) if !factor.is_log() => {
                let reach = low.abs().max(high.abs());
                Factor::continuous(factor.name(), -reach, reach)
            }
            _ => Ok(factor.clone()),
        })
        .collect::<Result<Vec<_>, _>>()?;
    FactorSpace::new(factors)
}
