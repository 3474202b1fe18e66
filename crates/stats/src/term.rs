//! Model terms as multisets of factors: `1`, `speed`, `speed*gap`, `gap^2`.
//!
//! A product is only the product: no term brings others with it. Canonical order: intercept, main effects in factor
//! order, squares, two-factor products in lexicographic order, then higher order by (order, lexicographic).

use std::cmp::Ordering;

use crate::error::StatsError;
use crate::factor::FactorSpace;

/// A term: factor indices, ascending, each with its exponent (1 for a category). Empty is the intercept.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Term {
    powers: Vec<(usize, u32)>,
}

impl Term {
    /// The intercept.
    pub const fn intercept() -> Self {
        Self { powers: Vec::new() }
    }

    /// The main effect of a factor.
    pub fn main_effect(factor: usize) -> Self {
        Self {
            powers: vec![(factor, 1)],
        }
    }

    /// The square of a factor.
    pub fn square(factor: usize) -> Self {
        Self {
            powers: vec![(factor, 2)],
        }
    }

    /// The product of two different factors.
    pub fn product(one: usize, other: usize) -> Self {
        Self::from_powers(vec![(one, 1), (other, 1)])
    }

    /// A term from (factor, exponent) pairs in any order; exponents of one factor add up.
    pub fn from_powers(powers: Vec<(usize, u32)>) -> Self {
        let mut sorted: Vec<(usize, u32)> = Vec::with_capacity(powers.len());
        for (factor, exponent) in powers {
            match sorted.iter_mut().find(|(known, _)| *known == factor) {
                Some((_, sum)) => *sum += exponent,
                None => sorted.push((factor, exponent)),
            }
        }
        sorted.retain(|(_, exponent)| *exponent > 0);
        sorted.sort_unstable();
        Self { powers: sorted }
    }

    /// Factor indices with exponents, ascending.
    pub fn powers(&self) -> &[(usize, u32)] {
        &self.powers
    }

    /// True for the intercept.
    pub const fn is_intercept(&self) -> bool {
        self.powers.is_empty()
    }

    /// Total order: 0 for the intercept, 1 for main effects, 2 for squares and two-factor products.
    pub fn order(&self) -> u32 {
        self.powers.iter().map(|(_, exponent)| exponent).sum()
    }

    /// Exponent of one factor in this term.
    pub fn exponent_of(&self, factor: usize) -> u32 {
        self.powers
            .iter()
            .find(|(known, _)| *known == factor)
            .map_or(0, |(_, exponent)| *exponent)
    }

    /// True if this term divides the other (each exponent at most the other's): the other contains it.
    pub fn is_contained_in(&self, other: &Self) -> bool {
        self.powers
            .iter()
            .all(|(factor, exponent)| other.exponent_of(*factor) >= *exponent)
    }

    /// The name as it stands in tables: `1`, `speed`, `speed*gap`, `gap^2`; names with other than letters, digits
    /// and underscores stand between back-quotes.
    pub fn name(&self, space: &FactorSpace) -> String {
        if self.is_intercept() {
            return "1".to_owned();
        }
        let parts: Vec<String> = self
            .powers
            .iter()
            .map(|(factor, exponent)| {
                let name = space
                    .factors()
                    .get(*factor)
                    .map_or("?", |factor| factor.name());
                if *exponent == 1 {
                    quoted(name)
                } else {
                    format!("{}^{exponent}", quoted(name))
                }
            })
            .collect();
        parts.join("*")
    }

    /// Reads one term. Spaces, `×`, `·` and `²` are accepted, the order of a product does not matter.
    ///
    /// # Errors
    /// [`StatsError::BadTerm`] with what was written and why it is none.
    pub fn parse(text: &str, space: &FactorSpace) -> Result<Self, StatsError> {
        let bad = |reason: String| StatsError::BadTerm {
            text: text.trim().to_owned(),
            reason,
        };
        let plain = text
            .replace(['×', '·'], "*")
            .replace('²', "^2")
            .replace('³', "^3");
        if plain.trim() == "1" {
            return Ok(Self::intercept());
        }
        let mut powers = Vec::new();
        for part in split_outside_quotes(&plain, '*') {
            let pieces = split_outside_quotes(&part, '^');
            let (name, exponent) = match pieces.as_slice() {
                [name] => (name.trim(), 1),
                [name, exponent] => {
                    let number = exponent
                        .trim()
                        .parse::<u32>()
                        .ok()
                        .filter(|e| (1..=20).contains(e));
                    let number = number.ok_or_else(|| {
                        bad(format!(
                            "\"{}\" is no exponent from 1 to 20",
                            exponent.trim()
                        ))
                    })?;
                    (name.trim(), number)
                }
                _ => return Err(bad("it has more than one exponent in a row".to_owned())),
            };
            let name = name
                .strip_prefix('`')
                .and_then(|rest| rest.strip_suffix('`'))
                .unwrap_or(name);
            let index = space.index_of(name).ok_or_else(|| {
                let known: Vec<&str> = space
                    .factors()
                    .iter()
                    .map(super::factor::Factor::name)
                    .collect();
                bad(format!(
                    "\"{name}\" is none of the factors {}",
                    known.join(", ")
                ))
            })?;
            powers.push((index, exponent));
        }
        let term = Self::from_powers(powers);
        for (factor, exponent) in &term.powers {
            if *exponent > 1
                && space
                    .factors()
                    .get(*factor)
                    .is_some_and(super::factor::Factor::is_categorical)
            {
                return Err(bad(format!(
                    "a category such as \"{}\" has no powers",
                    space.factors()[*factor].name()
                )));
            }
        }
        Ok(term)
    }
}

fn quoted(name: &str) -> String {
    if name.chars().all(|c| c.is_alphanumeric() || c == '_') {
        name.to_owned()
    } else {
        format!("`{name}`")
    }
}

fn split_outside_quotes(text: &str, separator: char) -> Vec<String> {
    let mut parts = vec![String::new()];
    let mut inside = false;
    for c in text.chars() {
        if c == '`' {
            inside = !inside;
        }
        if c == separator && !inside {
            parts.push(String::new());
        } else if let Some(last) = parts.last_mut() {
            last.push(c);
        }
    }
    parts
}

impl Ord for Term {
    fn cmp(&self, other: &Self) -> Ordering {
        let rank = |term: &Self| {
            let is_product = term.powers.len() > 1;
            (term.order(), term.order() == 2 && is_product)
        };
        rank(self)
            .cmp(&rank(other))
            .then_with(|| self.powers.cmp(&other.powers))
    }
}

impl PartialOrd for Term {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// A list of different terms in canonical order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TermList {
    terms: Vec<Term>,
}

impl TermList {
    /// Sorts terms into canonical order and drops repetitions.
    pub fn new(mut terms: Vec<Term>) -> Self {
        terms.sort();
        terms.dedup();
        Self { terms }
    }

    /// The intercept alone.
    pub fn mean_only() -> Self {
        Self {
            terms: vec![Term::intercept()],
        }
    }

    /// Intercept and main effects.
    pub fn linear(space: &FactorSpace) -> Self {
        let mut terms = vec![Term::intercept()];
        terms.extend((0..space.n_factors()).map(Term::main_effect));
        Self::new(terms)
    }

    /// Intercept, main effects and two-factor products.
    pub fn interactions(space: &FactorSpace) -> Self {
        let mut terms = Self::linear(space).terms;
        for one in 0..space.n_factors() {
            terms.extend((one + 1..space.n_factors()).map(|other| Term::product(one, other)));
        }
        Self::new(terms)
    }

    /// Full second order: as [`TermList::interactions`] with the squares of all factors that are numbers.
    pub fn quadratic(space: &FactorSpace) -> Self {
        let mut terms = Self::interactions(space).terms;
        let squares = space
            .factors()
            .iter()
            .enumerate()
            .filter(|(_, factor)| !factor.is_categorical());
        terms.extend(squares.map(|(index, _)| Term::square(index)));
        Self::new(terms)
    }

    /// The two-factor products and squares of numbers that are not in this list: what its terms may be aliased with.
    #[must_use]
    pub fn second_order_outside(&self, space: &FactorSpace) -> Self {
        let all = Self::quadratic(space).terms;
        Self {
            terms: all
                .into_iter()
                .filter(|term| term.order() == 2 && !self.terms.contains(term))
                .collect(),
        }
    }

    /// Reads a comma-separated list. The intercept is added unless `intercept` says otherwise.
    ///
    /// # Errors
    /// [`StatsError::BadTerm`] for the first part that is no term.
    pub fn parse(
        text: &str,
        space: &FactorSpace,
        intercept: Intercept,
    ) -> Result<Self, StatsError> {
        let mut terms = match intercept {
            Intercept::Included => vec![Term::intercept()],
            Intercept::LeftOut => Vec::new(),
        };
        for part in split_outside_quotes(text, ',') {
            if !part.trim().is_empty() {
                terms.push(Term::parse(&part, space)?);
            }
        }
        Ok(Self::new(terms))
    }

    /// The terms in canonical order.
    pub fn terms(&self) -> &[Term] {
        &self.terms
    }

    /// True if the intercept is among them.
    pub fn has_intercept(&self) -> bool {
        self.terms.first().is_some_and(Term::is_intercept)
    }
}

/// Whether a model has the intercept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Intercept {
    /// It does.
    Included,
    /// It does not.
    LeftOut,
}
