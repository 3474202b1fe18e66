//! What cannot be told apart: the alias matrix and the list of aliased pairs (docs/methods.md, 2.5 and 4.4).
//!
//! A fit of the terms X₁ estimates `E[b₁] = β₁ + A β₂` with `A = (X₁'X₁)⁻¹X₁'X₂` when terms X₂ are left out (Box & Wilson
//! 1951, J. R. Statist. Soc. B 13, 1–45). Columns of the model that depend on earlier ones are aliased with them.

use nalgebra::DMatrix;

use crate::design::{RegularFraction, Word};
use crate::error::StatsError;
use crate::factor::{CodedPoint, FactorSpace};
use crate::model::{Blocks, ColumnSource, ModelMatrix};
use crate::qr::{OrderedQr, SpreadAbout};
use crate::term::{Term, TermList};

/// Alias coefficients up to this size are rounding.
pub const ALIAS_THRESHOLD: f64 = 1e-6;

/// Two columns that are aliased: the estimate of `term` holds `coefficient` times `with`.
#[derive(Debug, Clone, PartialEq)]
pub struct AliasPair {
    /// The one that is earlier in canonical order.
    pub term: String,
    /// The later one.
    pub with: String,
    /// How much of one the estimate of the other holds: of `with` in `term` if `term` is in the model, else of `term`
    /// in `with`.
    pub coefficient: f64,
}

/// Alias coefficients of estimated columns (rows) with columns left out.
#[derive(Debug, Clone, PartialEq)]
pub struct AliasMatrix {
    /// 0-based indices of the model's columns that are estimated.
    pub estimated: Vec<usize>,
    /// The coefficients: one row for each estimated column, one column for each left-out one.
    pub coefficients: DMatrix<f64>,
}

impl AliasMatrix {
    /// The alias matrix of a model with columns outside it, both on the same runs.
    ///
    /// # Errors
    /// [`StatsError::WrongLength`] unless both have the same number of runs.
    pub fn new(model: &ModelMatrix, outside: &ModelMatrix) -> Result<Self, StatsError> {
        if model.n_runs() != outside.n_runs() {
            return Err(StatsError::WrongLength {
                expected: model.n_runs(),
                found: outside.n_runs(),
            });
        }
        Ok(Self::of_factor(&ordered_qr(model), outside))
    }

    pub(crate) fn of_factor(qr: &OrderedQr, outside: &ModelMatrix) -> Self {
        let mut coefficients = DMatrix::zeros(qr.rank(), outside.n_columns());
        for (source, mut target) in outside
            .matrix()
            .column_iter()
            .zip(coefficients.column_iter_mut())
        {
            let mut image: Vec<f64> = source.iter().copied().collect();
            qr.apply_q_transpose(&mut image);
            for (value, coefficient) in target.iter_mut().zip(qr.coefficients(&image)) {
                *value = coefficient;
            }
        }
        Self {
            estimated: qr.kept().to_vec(),
            coefficients,
        }
    }

    /// The sum of all squared coefficients, `tr(A'A)`: 0 if nothing is aliased.
    pub fn trace(&self) -> f64 {
        self.coefficients.iter().map(|a| a * a).sum()
    }
}

/// The factor of a model's columns in their order, spread measured about the mean if there is an intercept.
pub(crate) fn ordered_qr(model: &ModelMatrix) -> OrderedQr {
    let n_runs = model.n_runs();
    let intercept = vec![1.0; n_runs];
    let spread = if model.has_intercept() {
        SpreadAbout::Mean(&intercept)
    } else {
        SpreadAbout::Zero
    };
    OrderedQr::new(model.matrix().as_slice(), n_runs, spread)
}

/// Two-factor products and squares of numbers that are not in the model, in canonical order.
pub fn second_order_terms_outside(space: &FactorSpace, terms: &TermList) -> TermList {
    let outside = TermList::quadratic(space)
        .terms()
        .iter()
        .filter(|term| term.order() == 2 && !terms.terms().contains(term))
        .cloned()
        .collect();
    TermList::new(outside)
}

/// All aliased pairs of a model on a list of runs, each unordered pair once, largest coefficient first, then in
/// canonical order.
///
/// Listed are pairs inside the model (a dependent column with each estimated one that it depends on, and any two terms
/// that a regular fraction makes equal), and estimated columns with two-factor products and squares outside the model.
///
/// # Errors
/// As [`ModelMatrix::new`].
pub fn alias_pairs(
    space: &FactorSpace,
    terms: &TermList,
    points: &[CodedPoint],
    blocks: Option<&Blocks>,
) -> Result<Vec<AliasPair>, StatsError> {
    let model = ModelMatrix::new(space, terms, points, blocks)?;
    let outside_terms = second_order_terms_outside(space, terms);
    let outside = ModelMatrix::new(space, &outside_terms, points, None)?;
    let qr = ordered_qr(&model);
    let names = Names::new(&model, &outside);
    let mut found: Vec<(usize, usize, f64)> = Vec::new();
    for dependent in qr.dependent() {
        for (kept, coefficient) in qr.kept().iter().zip(&dependent.on_kept) {
            found.push((
                names.place_inside(*kept),
                names.place_inside(dependent.column),
                *coefficient,
            ));
        }
    }
    let matrix = AliasMatrix::of_factor(&qr, &outside);
    for (row, kept) in matrix.estimated.iter().enumerate() {
        for column in 0..outside.n_columns() {
            found.push((
                names.place_inside(*kept),
                names.place_outside(column),
                matrix.coefficients[(row, column)],
            ));
        }
    }
    found.retain(|(_, _, coefficient)| coefficient.abs() > ALIAS_THRESHOLD);
    if let Some(fraction) = RegularFraction::recognize(space, points) {
        add_equal_terms(&fraction, terms, &names, &mut found);
    }
    Ok(names.sorted_pairs(found))
}

/// Pairs of model terms that a regular fraction makes equal and that are not listed yet (both depend on a third).
fn add_equal_terms(
    fraction: &RegularFraction,
    terms: &TermList,
    names: &Names,
    found: &mut Vec<(usize, usize, f64)>,
) {
    let is_in_model = |word: &&Word| terms.terms().contains(&word.term());
    for set in fraction.alias_sets() {
        let inside: Vec<&Word> = set.effects.iter().filter(is_in_model).collect();
        for (place, one) in inside.iter().enumerate() {
            for other in inside.iter().skip(place + 1) {
                let columns = (
                    names.place_of_term(&one.term()),
                    names.place_of_term(&other.term()),
                );
                let (Some(first), Some(second)) = columns else {
                    continue;
                };
                let is_known = found
                    .iter()
                    .any(|(a, b, _)| (*a, *b) == (first, second) || (*a, *b) == (second, first));
                if !is_known {
                    let is_opposite = one.is_negative() != other.is_negative();
                    found.push((first, second, if is_opposite { -1.0 } else { 1.0 }));
                }
            }
        }
    }
}

/// The columns of the model and of the terms outside it in one canonical order.
struct Names {
    /// Name and, for columns of terms, the term.
    sorted: Vec<(String, Option<Term>)>,
    inside: Vec<usize>,
    outside: Vec<usize>,
}

impl Names {
    fn new(model: &ModelMatrix, outside: &ModelMatrix) -> Self {
        // Blocks stand right after the intercept, everything else in the order of terms.
        let keys = |matrix: &ModelMatrix, is_inside: bool| {
            let mut keys = Vec::new();
            for group in matrix.groups() {
                for column in group.columns.clone() {
                    let term = match &group.source {
                        ColumnSource::Term(term) => Some(term.clone()),
                        ColumnSource::Blocks => None,
                    };
                    let name = matrix.column_names()[column].clone();
                    keys.push((term, column, name, is_inside));
                }
            }
            keys
        };
        let mut all = keys(model, true);
        all.extend(keys(outside, false));
        let intercept = Term::intercept();
        all.sort_by(|one, other| {
            let rank = |term: &Option<Term>| match term {
                Some(term) if *term == intercept => 0,
                None => 1,
                Some(_) => 2,
            };
            rank(&one.0)
                .cmp(&rank(&other.0))
                .then_with(|| one.0.cmp(&other.0))
                .then_with(|| one.1.cmp(&other.1))
        });
        let mut inside = vec![0; model.n_columns()];
        let mut of_outside = vec![0; outside.n_columns()];
        let mut sorted = Vec::with_capacity(all.len());
        for (place, (term, column, name, is_inside)) in all.into_iter().enumerate() {
            if is_inside {
                inside[column] = place;
            } else {
                of_outside[column] = place;
            }
            sorted.push((name, term));
        }
        Self {
            sorted,
            inside,
            outside: of_outside,
        }
    }

    fn place_inside(&self, column: usize) -> usize {
        self.inside[column]
    }

    fn place_outside(&self, column: usize) -> usize {
        self.outside[column]
    }

    fn place_of_term(&self, term: &Term) -> Option<usize> {
        self.sorted
            .iter()
            .position(|(_, known)| known.as_ref() == Some(term))
    }

    fn sorted_pairs(&self, mut found: Vec<(usize, usize, f64)>) -> Vec<AliasPair> {
        for pair in &mut found {
            if pair.0 > pair.1 {
                (pair.0, pair.1) = (pair.1, pair.0);
            }
        }
        // Coefficients that differ by rounding count as equal, so that the order does not depend on it.
        let size = |coefficient: f64| (coefficient.abs() * 1e9).round();
        found.sort_by(|one, other| {
            size(other.2)
                .total_cmp(&size(one.2))
                .then_with(|| (one.0, one.1).cmp(&(other.0, other.1)))
        });
        found
            .into_iter()
            .map(|(one, other, coefficient)| AliasPair {
                term: self.sorted[one].0.clone(),
                with: self.sorted[other].0.clone(),
                coefficient,
            })
            .collect()
    }
}
