//! The continuous D-optimum over a whole cube, where symmetry makes it small.
//!
//! Turning the sign of a factor turns the signs of some monomials, and exchanging levels of a category turns its columns
//! among themselves: neither changes the determinant. As ln|M| is concave, some optimum is therefore symmetric
//! (Kiefer 1959, J. R. Statist. Soc. B 21, 272–319, on invariant designs). Its weight lies on orbits of settings, its
//! information matrix falls into blocks of monomials with the same odd factors and the same category columns, and a
//! full quadratic of k factors has one block of size k + 1 and otherwise single numbers. Weights are multiplied by
//! `d/p` (Silvey, Titterington & Torsney 1978, Commun. Statist. A7, 1379–1389).

use std::collections::BTreeMap;

use nalgebra::DMatrix;

use crate::evaluation::continuous_optimum::{ContinuousOptimum, GAP};
use crate::evaluation::orthonormal::power;
use crate::factor::{FactorKind, FactorSpace};
use crate::model::{ColumnRecipe, FactorPart};
use crate::sobol::{MAX_DIMENSIONS, Sobol};

/// Most orbits of ends and middles (2 to the number of factors); beyond, as many are drawn.
const MAX_ORBITS: usize = 4096;

/// Orbits inside the range among the candidates of models above second order.
const N_INNER: usize = 256;

/// Rounds of multiplication before the search gives up with the bound it has (own choice).
const MAX_ROUNDS: usize = 4000;

/// Times that a place inside the range is added.
const MAX_ADDITIONS: usize = 20;

/// Finest step of the climb inside the range.
const FINEST_STEP: f64 = 1e-6;

/// Monomials (exponents of the numbers) that are correlated with each other only, and how often the block comes.
struct Block {
    monomials: Vec<Vec<u32>>,
    count: f64,
}

impl Block {
    fn values(&self, place: &[f64]) -> Vec<f64> {
        self.monomials
            .iter()
            .map(|exponents| {
                let factors = exponents.iter().zip(place);
                factors.map(|(exponent, x)| power(*x, *exponent)).product()
            })
            .collect()
    }
}

/// An orbit: distance of each number from the middle, 0 to 1.
struct Orbit {
    place: Vec<f64>,
    /// Values of each block's monomials.
    values: Vec<Vec<f64>>,
    weight: f64,
}

/// The optimum of a model on ranges and categories; `None` if a factor is a list, or if no weights make the model
/// estimable.
pub(crate) fn symmetric_optimum(
    recipes: &[ColumnRecipe],
    space: &FactorSpace,
) -> Option<ContinuousOptimum> {
    let numbers: Vec<usize> = (0..space.n_factors())
        .filter(|factor| {
            matches!(
                space.factors()[*factor].kind(),
                FactorKind::Continuous { .. }
            )
        })
        .collect();
    let is_list =
        |factor: &crate::factor::Factor| matches!(factor.kind(), FactorKind::Discrete { .. });
    if space.factors().iter().any(is_list) {
        return None;
    }
    let blocks = blocks(recipes, &numbers)?;
    let is_curved = blocks
        .iter()
        .flat_map(|block| block.monomials.iter().flatten())
        .any(|exponent| *exponent > 2);
    let mut search = Search {
        orbits: Vec::new(),
        n_columns: recipes.len() as f64,
        blocks,
    };
    for place in places(numbers.len(), is_curved)? {
        search.add(place);
    }
    let even = 1.0 / search.orbits.len() as f64;
    for orbit in &mut search.orbits {
        orbit.weight = even;
    }
    search.run()
}

fn blocks(recipes: &[ColumnRecipe], numbers: &[usize]) -> Option<Vec<Block>> {
    type Key = (Vec<(usize, usize)>, Vec<bool>);
    let mut by_key: BTreeMap<Key, Vec<Vec<u32>>> = BTreeMap::new();
    for recipe in recipes {
        let ColumnRecipe::Product(parts) = recipe else {
            return None;
        };
        let exponent_of = |factor: &usize| {
            let part = parts.iter().find(|part| part.factor == *factor);
            part.map_or(0, |part| part.exponent)
        };
        let exponents: Vec<u32> = numbers.iter().map(exponent_of).collect();
        let is_category = |part: &&FactorPart| !numbers.contains(&part.factor);
        let categories = parts.iter().filter(is_category);
        let key = (
            categories.map(|part| (part.factor, part.column)).collect(),
            exponents.iter().map(|exponent| exponent % 2 == 1).collect(),
        );
        by_key.entry(key).or_default().push(exponents);
    }
    let mut counts: BTreeMap<Vec<Vec<u32>>, f64> = BTreeMap::new();
    for monomials in by_key.into_values() {
        *counts.entry(monomials).or_default() += 1.0;
    }
    let blocks = counts.into_iter();
    Some(
        blocks
            .map(|(monomials, count)| Block { monomials, count })
            .collect(),
    )
}

/// Orbits of ends and middles, and evenly spread ones inside for models above second order.
fn places(n_numbers: usize, is_curved: bool) -> Option<Vec<Vec<f64>>> {
    let n_all = 1_usize.checked_shl(u32::try_from(n_numbers).ok()?);
    let mut places: Vec<Vec<f64>> = match n_all.filter(|n| *n <= MAX_ORBITS) {
        Some(n) => (0..n)
            .map(|index| {
                (0..n_numbers)
                    .map(|bit| f64::from(u8::from(index >> bit & 1 == 1)))
                    .collect()
            })
            .collect(),
        None => spread(n_numbers, MAX_ORBITS)?
            .into_iter()
            // Two ends to one middle, as quadratic optima have.
            .map(|place| {
                place
                    .iter()
                    .map(|x| f64::from(u8::from(*x > 0.33)))
                    .collect()
            })
            .chain([vec![1.0; n_numbers], vec![0.0; n_numbers]])
            .collect(),
    };
    if is_curved {
        places.extend(spread(n_numbers, N_INNER)?);
    }
    Some(places)
}

fn spread(n_numbers: usize, n: usize) -> Option<Vec<Vec<f64>>> {
    let mut sobol = Sobol::new(n_numbers.min(MAX_DIMENSIONS))?;
    let mut points = Vec::with_capacity(n);
    for _ in 0..n {
        let mut point = sobol.next_point();
        point.resize(n_numbers, 1.0);
        points.push(point);
    }
    Some(points)
}

struct Search {
    blocks: Vec<Block>,
    orbits: Vec<Orbit>,
    n_columns: f64,
}

impl Search {
    fn add(&mut self, place: Vec<f64>) {
        self.orbits.push(Orbit {
            values: self
                .blocks
                .iter()
                .map(|block| block.values(&place))
                .collect(),
            place,
            weight: 0.0,
        });
    }

    fn information(&self) -> Vec<DMatrix<f64>> {
        self.blocks
            .iter()
            .enumerate()
            .map(|(index, block)| {
                let n = block.monomials.len();
                let mut matrix = DMatrix::zeros(n, n);
                for orbit in &self.orbits {
                    let values = &orbit.values[index];
                    for (column, x) in values.iter().enumerate() {
                        for (row, y) in values.iter().enumerate() {
                            matrix[(row, column)] += orbit.weight * x * y;
                        }
                    }
                }
                matrix
            })
            .collect()
    }

    /// `Σ count · v' M⁻¹ v` over the blocks.
    fn variance(&self, inverses: &[DMatrix<f64>], values: &[Vec<f64>]) -> f64 {
        let terms = self.blocks.iter().zip(inverses.iter().zip(values));
        terms
            .map(|(block, (inverse, values))| {
                let mut sum = 0.0;
                for (column, x) in values.iter().enumerate() {
                    for (row, y) in values.iter().enumerate() {
                        sum += inverse[(row, column)] * x * y;
                    }
                }
                block.count * sum
            })
            .sum()
    }

    fn run(&mut self) -> Option<ContinuousOptimum> {
        let mut optimum: Option<ContinuousOptimum> = None;
        for _ in 0..MAX_ADDITIONS {
            let inverses = self.multiply()?;
            let ln_determinant = self.ln_determinant()?;
            let (place, largest) = self.largest_variance(&inverses)?;
            let gap = (largest / self.n_columns).max(1.0);
            let bound = ln_determinant + self.n_columns * gap.ln();
            let known = optimum.get_or_insert(ContinuousOptimum {
                ln_determinant,
                ln_determinant_bound: bound,
            });
            known.ln_determinant = known.ln_determinant.max(ln_determinant);
            known.ln_determinant_bound = known.ln_determinant_bound.min(bound);
            if gap <= 1.0 + GAP {
                break;
            }
            let share = 1.0 / (self.n_columns + 1.0);
            for orbit in &mut self.orbits {
                orbit.weight *= 1.0 - share;
            }
            self.add(place);
            if let Some(orbit) = self.orbits.last_mut() {
                orbit.weight = share;
            }
        }
        optimum
    }

    fn inverses(&self) -> Option<Vec<DMatrix<f64>>> {
        self.information()
            .into_iter()
            .map(|matrix| Some(matrix.cholesky()?.inverse()))
            .collect()
    }

    fn ln_determinant(&self) -> Option<f64> {
        let information = self.information();
        let blocks = self.blocks.iter().zip(information);
        blocks
            .map(|(block, matrix)| Some(block.count * matrix.cholesky()?.ln_determinant()))
            .sum()
    }

    /// Multiplies weights until the gap over the orbits is small enough.
    fn multiply(&mut self) -> Option<Vec<DMatrix<f64>>> {
        for _ in 0..MAX_ROUNDS {
            let inverses = self.inverses()?;
            let variances: Vec<f64> = self
                .orbits
                .iter()
                .map(|orbit| self.variance(&inverses, &orbit.values))
                .collect();
            let largest = variances.iter().copied().fold(0.0, f64::max);
            if largest <= self.n_columns * (1.0 + 0.2 * GAP) {
                return Some(inverses);
            }
            for (orbit, variance) in self.orbits.iter_mut().zip(variances) {
                orbit.weight *= variance / self.n_columns;
            }
        }
        self.inverses()
    }

    /// The place of the largest variance: the best orbits, then a climb inside the range from the best of them.
    fn largest_variance(&self, inverses: &[DMatrix<f64>]) -> Option<(Vec<f64>, f64)> {
        let value_at = |place: &[f64]| {
            let values: Vec<Vec<f64>> = self
                .blocks
                .iter()
                .map(|block| block.values(place))
                .collect();
            self.variance(inverses, &values)
        };
        let mut order: Vec<(f64, usize)> = self
            .orbits
            .iter()
            .enumerate()
            .map(|(index, orbit)| (self.variance(inverses, &orbit.values), index))
            .collect();
        order.sort_by(|one, other| other.0.total_cmp(&one.0).then(one.1.cmp(&other.1)));
        order
            .iter()
            .take(10)
            .map(|(_, index)| climb(&self.orbits[*index].place, &value_at))
            .reduce(|best, next| if next.1 > best.1 { next } else { best })
    }
}

/// One coordinate at a time, with shrinking steps.
fn climb(start: &[f64], value_at: &dyn Fn(&[f64]) -> f64) -> (Vec<f64>, f64) {
    let mut best = (start.to_vec(), value_at(start));
    let mut step = 0.5;
    while step > FINEST_STEP {
        let mut is_better = false;
        for index in 0..start.len() {
            for change in [-step, step] {
                let mut place = best.0.clone();
                place[index] = (place[index] + change).clamp(0.0, 1.0);
                let value = value_at(&place);
                if value > best.1 * (1.0 + 1e-13) {
                    best = (place, value);
                    is_better = true;
                }
            }
        }
        if !is_better {
            step *= 0.5;
        }
    }
    best
}
