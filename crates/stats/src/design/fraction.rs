//! The algebra of regular two-level fractions: words, defining relation, resolution, alias sets, clear effects.
//!
//! A word is a set of factors whose product is constant over all runs. The words of a fraction form a group under
//! symmetric difference; everything follows from it (Box & Hunter 1961, The 2^(k−p) fractional factorial designs,
//! Technometrics 3, 311–351; docs/methods.md, 3.2). Only numbers at two levels and categories with two levels take
//! part; other factors are crossed with the fraction.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

use crate::factor::{CodedPoint, FactorKind, FactorSpace, Value};
use crate::term::Term;

/// Most generators whose words are listed: 2¹⁶ words (own choice; the catalogue has at most 11).
pub(crate) const MAX_GENERATORS: usize = 16;

/// Most factors in a word: one bit each.
pub(crate) const MAX_FACTORS: usize = 64;

/// Coded settings this near count as equal (own choice, far above rounding and far below any step).
const SAME_SETTING: f64 = 1e-9;

/// A product of different two-level factors with a sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Word {
    mask: u64,
    is_negative: bool,
}

impl Word {
    /// The product of these factors (0-based indices below 64; a factor named twice cancels).
    pub fn new(factors: impl IntoIterator<Item = usize>, is_negative: bool) -> Self {
        let mask = factors
            .into_iter()
            .filter(|factor| *factor < MAX_FACTORS)
            .fold(0, |mask, factor| mask ^ (1_u64 << factor));
        Self { mask, is_negative }
    }

    pub(crate) const fn from_mask(mask: u64, is_negative: bool) -> Self {
        Self { mask, is_negative }
    }

    pub(crate) const fn mask(self) -> u64 {
        self.mask
    }

    /// 0-based factor indices, ascending.
    pub fn factors(self) -> impl Iterator<Item = usize> {
        (0..MAX_FACTORS).filter(move |factor| self.mask >> factor & 1 == 1)
    }

    /// Number of factors.
    pub const fn length(self) -> usize {
        self.mask.count_ones() as usize
    }

    /// True if the product is −1 (as a word), or if the effect enters with a minus (in an alias set).
    pub const fn is_negative(self) -> bool {
        self.is_negative
    }

    /// The product of two words: common factors cancel, signs multiply.
    #[must_use]
    pub const fn times(self, other: Self) -> Self {
        Self {
            mask: self.mask ^ other.mask,
            is_negative: self.is_negative != other.is_negative,
        }
    }

    /// The term with these factors.
    pub fn term(self) -> Term {
        Term::from_powers(self.factors().map(|factor| (factor, 1)).collect())
    }

    /// The product without its sign: `ABC` if all factors of the space have one-letter names, else `speed*gap*web`.
    pub fn product_name(self, space: &FactorSpace) -> String {
        if has_one_letter_names(space) {
            self.factors()
                .filter_map(|factor| space.factors().get(factor))
                .map(crate::factor::Factor::name)
                .collect()
        } else {
            self.term().name(space)
        }
    }

    /// The word in tables: `+ABCG` if all factors have one-letter names, else `speed*gap*air` with a leading `-` if
    /// it is negative.
    pub fn name(self, space: &FactorSpace) -> String {
        let sign = match (self.is_negative, has_one_letter_names(space)) {
            (true, _) => "-",
            (false, true) => "+",
            (false, false) => "",
        };
        format!("{sign}{}", self.product_name(space))
    }

    /// Product of the factors' signs at one run, `true` for −1; `minus` has a bit for each factor at its low level.
    pub(crate) const fn is_minus_at(self, minus: u64) -> bool {
        (self.mask & minus).count_ones() % 2 == 1
    }
}

/// By length, then in lexicographic order of the factors.
pub(crate) fn canonical(one: &Word, other: &Word) -> Ordering {
    one.length().cmp(&other.length()).then_with(|| {
        let differing = one.mask ^ other.mask;
        let first = differing & differing.wrapping_neg();
        match first {
            0 => Ordering::Equal,
            bit if one.mask & bit != 0 => Ordering::Less,
            _ => Ordering::Greater,
        }
    })
}

fn has_one_letter_names(space: &FactorSpace) -> bool {
    space
        .factors()
        .iter()
        .all(|factor| factor.name().chars().count() == 1)
}

/// One factor as a product of others: `E = ABC`, `F = −BCD`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Generator {
    /// 0-based index of the generated factor.
    pub factor: usize,
    /// The signed product of basic factors that it equals.
    pub product: Word,
}

impl Generator {
    /// The text: `E=ABC`, `F=-BCD`, `web=speed*gap`.
    pub fn name(self, space: &FactorSpace) -> String {
        let factor = Word::new([self.factor], false).product_name(space);
        let sign = if self.product.is_negative { "-" } else { "" };
        format!("{factor}={sign}{}", self.product.product_name(space))
    }

    /// The word of the defining relation: the product with the factor itself.
    const fn word(self) -> Word {
        Word::from_mask(
            self.product.mask ^ (1 << self.factor),
            self.product.is_negative,
        )
    }
}

/// Effects that a fraction cannot tell apart, shortest first. The sign of each is that relative to the first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AliasSet {
    /// The effects.
    pub effects: Vec<Word>,
}

/// A regular two-level fraction, or a full two-level factorial (no words).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RegularFraction {
    factors: Vec<usize>,
    generators: Vec<Generator>,
    words: Vec<Word>,
}

impl RegularFraction {
    /// The fraction of `factors` (indices, ascending) with these generators. `None` with more than 16 generators.
    pub(crate) fn new(factors: Vec<usize>, generators: Vec<Generator>) -> Option<Self> {
        if generators.len() > MAX_GENERATORS {
            return None;
        }
        let mut words = vec![Word::from_mask(0, false)];
        for generator in &generators {
            let products: Vec<Word> = words
                .iter()
                .map(|word| word.times(generator.word()))
                .collect();
            words.extend(products);
        }
        words.remove(0);
        words.sort_by(canonical);
        Some(Self {
            factors,
            generators,
            words,
        })
    }

    /// The full factorial of these factors (indices, ascending).
    pub(crate) const fn full(factors: Vec<usize>) -> Self {
        Self {
            factors,
            generators: Vec::new(),
            words: Vec::new(),
        }
    }

    /// Recognizes a regular fraction or a full two-level factorial in a list of runs, in any order, replicated or not.
    /// Centre runs are passed over. Factors at other than two levels must be crossed with it. `None` if the runs are
    /// no such plan.
    pub fn recognize(space: &FactorSpace, points: &[CodedPoint]) -> Option<Self> {
        let runs: Vec<&CodedPoint> = points
            .iter()
            .filter(|point| !is_centre(space, point))
            .collect();
        let factors: Vec<usize> = (0..space.n_factors().min(MAX_FACTORS))
            .filter(|factor| runs.iter().all(|run| sign_bit(run, *factor).is_some()))
            .filter(|factor| is_two_level(space, *factor))
            .collect();
        if factors.is_empty() || space.n_factors() > MAX_FACTORS {
            return None;
        }
        let patterns = crossed_patterns(space, &runs, &factors)?;
        let base = *patterns.first()?;
        let basis = reduced_basis(patterns.iter().map(|pattern| pattern ^ base), &factors);
        if patterns.len() != 1_usize.checked_shl(u32::try_from(basis.len()).ok()?)? {
            return None;
        }
        let generators = factors
            .iter()
            .filter(|factor| basis.iter().all(|(pivot, _)| pivot != *factor))
            .map(|factor| {
                let basic = basis
                    .iter()
                    .filter(|(_, row)| row >> factor & 1 == 1)
                    .map(|(pivot, _)| *pivot);
                let word = Word::new(basic.chain([*factor]), false);
                Generator {
                    factor: *factor,
                    product: Word::from_mask(word.mask ^ (1 << factor), word.is_minus_at(base)),
                }
            })
            .collect();
        Self::new(factors, generators)
    }

    /// 0-based indices of the two-level factors, ascending.
    pub fn factors(&self) -> &[usize] {
        &self.factors
    }

    /// The generators, in factor order.
    pub fn generators(&self) -> &[Generator] {
        &self.generators
    }

    /// The defining relation: all words but the identity, shortest first, then in lexicographic order.
    pub fn words(&self) -> &[Word] {
        &self.words
    }

    /// Indices of the basic factors, whose combinations are all run.
    pub fn basic_factors(&self) -> Vec<usize> {
        self.factors
            .iter()
            .copied()
            .filter(|factor| self.generators.iter().all(|g| g.factor != *factor))
            .collect()
    }

    /// Length of the shortest word; `None` for a full factorial.
    pub fn resolution(&self) -> Option<usize> {
        self.words.first().map(|word| word.length())
    }

    /// Numbers of words of length 3, 4, …, up to the number of factors (Fries & Hunter 1980, Technometrics 22,
    /// 601–608).
    pub fn word_length_pattern(&self) -> Vec<usize> {
        (3..=self.factors.len())
            .map(|length| {
                self.words
                    .iter()
                    .filter(|word| word.length() == length)
                    .count()
            })
            .collect()
    }

    /// The word of basic factors, with sign, that an effect equals.
    pub(crate) fn reduced(&self, effect: Word) -> Word {
        self.generators.iter().fold(effect, |reduced, generator| {
            if reduced.mask >> generator.factor & 1 == 1 {
                reduced.times(generator.word())
            } else {
                reduced
            }
        })
    }

    /// Alias sets of the main effects and two-factor products, each effect in one set, shortest first.
    pub fn alias_sets(&self) -> Vec<AliasSet> {
        let mut sets: Vec<(u64, AliasSet)> = Vec::new();
        for effect in self.main_effects_and_pairs() {
            let reduced = self.reduced(effect);
            match sets.iter_mut().find(|(mask, _)| *mask == reduced.mask) {
                Some((_, set)) => {
                    let first_is_negative = set.effects.first().is_some_and(|first| {
                        self.reduced(Word::from_mask(first.mask, false)).is_negative
                    });
                    set.effects.push(Word::from_mask(
                        effect.mask,
                        reduced.is_negative != first_is_negative,
                    ));
                }
                None => sets.push((
                    reduced.mask,
                    AliasSet {
                        effects: vec![effect],
                    },
                )),
            }
        }
        sets.into_iter().map(|(_, set)| set).collect()
    }

    /// Main effects and two-factor products that are aliased with no other main effect or two-factor product (clear
    /// effects; Chen, Sun & Wu 1993, Int. Statist. Rev. 61, 131–145), main effects first.
    pub fn clear_effects(&self) -> Vec<Word> {
        self.alias_sets()
            .into_iter()
            .filter(|set| set.effects.len() == 1)
            .filter_map(|set| set.effects.first().copied())
            // An effect that equals the mean is not clear either.
            .filter(|effect| self.reduced(*effect).mask != 0)
            .collect()
    }

    fn main_effects_and_pairs(&self) -> Vec<Word> {
        let mut effects: Vec<Word> = self
            .factors
            .iter()
            .map(|factor| Word::new([*factor], false))
            .collect();
        for (place, one) in self.factors.iter().enumerate() {
            effects.extend(
                self.factors
                    .iter()
                    .skip(place + 1)
                    .map(|other| Word::new([*one, *other], false)),
            );
        }
        effects
    }

    /// Low-level bits of all runs in standard order of the basic factors, the first running fastest: bit `i` is set
    /// where factor `i` is at −1.
    pub(crate) fn runs(&self) -> Vec<u64> {
        let basic = self.basic_factors();
        let n_runs = 1_usize << basic.len().min(usize::BITS as usize - 1);
        (0..n_runs)
            .map(|index| {
                let minus = basic
                    .iter()
                    .enumerate()
                    .filter(|(place, _)| index >> place & 1 == 0)
                    .fold(0_u64, |mask, (_, factor)| mask | 1 << factor);
                self.generators.iter().fold(minus, |mask, generator| {
                    let is_minus =
                        generator.product.is_minus_at(minus) != generator.product.is_negative;
                    mask | u64::from(is_minus) << generator.factor
                })
            })
            .collect()
    }
}

/// Numbers and categories with two levels can take part; numbers count by the settings that are run.
fn is_two_level(space: &FactorSpace, factor: usize) -> bool {
    space
        .factors()
        .get(factor)
        .is_some_and(|factor| match factor.kind() {
            FactorKind::Categorical { levels } => levels.len() == 2,
            FactorKind::Continuous { .. } | FactorKind::Discrete { .. } => true,
        })
}

/// `Some(true)` at the low level, `Some(false)` at the high one, `None` elsewhere.
fn sign_bit(point: &CodedPoint, factor: usize) -> Option<bool> {
    match point.0.get(factor)? {
        Value::Number(x) if (x.abs() - 1.0).abs() < SAME_SETTING => Some(*x < 0.0),
        Value::Level(0) => Some(true),
        Value::Level(1) => Some(false),
        Value::Number(_) | Value::Level(_) => None,
    }
}

/// Bits of the factors that stand at their low level; `None` if one stands between.
pub(crate) fn minus_bits(point: &CodedPoint, factors: &[usize]) -> Option<u64> {
    factors.iter().try_fold(0_u64, |mask, factor| {
        sign_bit(point, *factor).map(|is_low| mask | u64::from(is_low) << factor)
    })
}

/// All numbers that have a middle stand at it (and there is at least one).
fn is_centre(space: &FactorSpace, point: &CodedPoint) -> bool {
    let mut n_middles = 0;
    for (factor, value) in space.factors().iter().zip(&point.0) {
        if let Value::Number(x) = value {
            if x.abs() < SAME_SETTING {
                n_middles += 1;
            } else if super::assembly::has_middle(factor) {
                return false;
            }
        }
    }
    n_middles > 0
}

/// The distinct sign patterns of the two-level factors, ascending, if each is run equally often at each combination
/// of the other factors' settings.
fn crossed_patterns(
    space: &FactorSpace,
    runs: &[&CodedPoint],
    factors: &[usize],
) -> Option<Vec<u64>> {
    let mut groups: BTreeMap<Vec<u64>, BTreeMap<u64, usize>> = BTreeMap::new();
    for run in runs {
        let others = (0..space.n_factors())
            .filter(|factor| !factors.contains(factor))
            .map(|factor| match run.0.get(factor) {
                // Adding 0 makes −0 and 0 the same setting.
                Some(Value::Number(x)) => (x + 0.0).to_bits(),
                Some(Value::Level(level)) => *level as u64,
                None => u64::MAX,
            })
            .collect();
        let pattern = minus_bits(run, factors)?;
        *groups
            .entry(others)
            .or_default()
            .entry(pattern)
            .or_default() += 1;
    }
    let first = groups.values().next()?;
    let is_crossed = groups.values().all(|group| group == first);
    let is_balanced = first.values().collect::<BTreeSet<_>>().len() == 1;
    (is_crossed && is_balanced).then(|| first.keys().copied().collect())
}

/// Basis of the span of bit rows in reduced form: each (pivot, row) has its pivot in no other row; pivots are the
/// earliest possible factors.
fn reduced_basis(rows: impl Iterator<Item = u64>, factors: &[usize]) -> Vec<(usize, u64)> {
    let mut basis: Vec<(usize, u64)> = Vec::new();
    for row in rows {
        let rest = basis.iter().fold(row, |rest, (pivot, known)| {
            if rest >> pivot & 1 == 1 {
                rest ^ known
            } else {
                rest
            }
        });
        let Some(pivot) = factors.iter().find(|factor| rest >> **factor & 1 == 1) else {
            continue;
        };
        for (_, known) in &mut basis {
            if *known >> pivot & 1 == 1 {
                *known ^= rest;
            }
        }
        basis.push((*pivot, rest));
    }
    basis
}
