//! Division of two-level plans into blocks of equal size.
//!
//! A block word is a product of factors whose sign says the block. Block words, their products, and the aliases of
//! all these are confounded with the blocks. Words are chosen so that the numbers of confounded main effects, pairs,
//! triples, … are lexicographically smallest (docs/methods.md, 3.4; tables of the same choice in Box, Hunter & Hunter
//! 1978, Statistics for Experimenters, and Montgomery, Design and Analysis of Experiments).

use std::cmp::Ordering;

use crate::design::assembly::BlockLayout;
use crate::design::fraction::{RegularFraction, Word};
use crate::design::{DesignError, DesignRequest};
use crate::error::StatsError;
use crate::factor::{CodedPoint, FactorSpace};
use crate::model::ModelMatrix;
use crate::term::TermList;

/// Most products of words that the search forms (own choice, under a second; complete for full factorials of up to seven
/// factors in up to sixteen blocks, beyond the result is the best found).
const MAX_PRODUCTS: usize = 10_000_000;

/// Block words of a plan with what they confound.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BlockWords {
    /// Independent block words; the sign of the i-th is bit i of the block number.
    pub words: Vec<Word>,
    /// Shortest effect of each alias set that is confounded with blocks, shortest first.
    pub confounded: Vec<Word>,
    /// Number of confounded effects of order 1, 2, 3, …, aliases included.
    pub n_confounded_by_order: Vec<usize>,
}

impl BlockWords {
    /// True if no main effect and no two-factor product is confounded with blocks.
    pub fn spares_pairs(&self) -> bool {
        self.n_confounded_by_order.iter().take(2).all(|n| *n == 0)
    }

    /// 0-based block of a point all of whose two-level factors stand at an end.
    pub(crate) fn block_of_point(&self, point: &CodedPoint) -> usize {
        let factors: Vec<usize> = self.words.iter().flat_map(|word| word.factors()).collect();
        super::fraction::minus_bits(point, &factors).map_or(0, |minus| self.block_of(minus))
    }

    /// 0-based block of a run; `minus` has a bit for each factor at its low level.
    pub(crate) fn block_of(&self, minus: u64) -> usize {
        self.words
            .iter()
            .enumerate()
            .filter(|(_, word)| !word.is_minus_at(minus))
            .map(|(place, _)| 1 << place)
            .sum()
    }
}

/// The layout that a request asks for, with the block words if one replicate is divided.
pub(crate) fn blocks_of(
    request: &DesignRequest,
    fraction: &RegularFraction,
) -> Result<(BlockLayout, Option<BlockWords>), DesignError> {
    let layout = BlockLayout::choose(
        request,
        |n_blocks| block_words(fraction, n_blocks).is_some(),
        || possible_blocks(fraction),
    )?;
    let words = (layout.inner > 1)
        .then(|| block_words(fraction, layout.inner))
        .flatten();
    Ok((layout, words))
}

/// Numbers of blocks into which a fraction divides without confounding a main effect, ascending; for fractions looked at
/// up to sixteen.
fn possible_blocks(fraction: &RegularFraction) -> Vec<usize> {
    // Products of an even number of factors spare the main effects of a full factorial, down to blocks of two runs.
    let is_full = fraction.words().is_empty();
    (1..fraction.basic_factors().len())
        .map(|n_words| 1_usize << n_words)
        .filter(|n_blocks| {
            is_full || (*n_blocks <= 16 && block_words(fraction, *n_blocks).is_some())
        })
        .collect()
}

/// One alias set that could be given to blocks.
struct Candidate {
    basic: u64,
    shortest: Word,
    /// Effects of order 1, 2, … in the set.
    n_by_order: Vec<usize>,
}

/// The best block words for `n_blocks` (a power of two below the number of runs) that spare all main effects; `None`
/// if there are none.
pub fn block_words(fraction: &RegularFraction, n_blocks: usize) -> Option<BlockWords> {
    let basic = fraction.basic_factors();
    let n_words = n_blocks.trailing_zeros() as usize;
    if !n_blocks.is_power_of_two() || n_words == 0 || n_words >= basic.len() {
        return None;
    }
    let mut candidates = candidates(fraction, &basic);
    candidates.retain(|candidate| candidate.n_by_order.first() == Some(&0));
    candidates.sort_by(|one, other| {
        one.n_by_order
            .cmp(&other.n_by_order)
            .then_with(|| super::fraction::canonical(&one.shortest, &other.shortest))
    });
    let mut by_basic: Vec<(u64, usize)> = candidates
        .iter()
        .enumerate()
        .map(|(place, candidate)| (candidate.basic, place))
        .collect();
    by_basic.sort_unstable();
    let mut search = Search {
        candidates: &candidates,
        by_basic: &by_basic,
        n_words,
        n_products: 0,
        best: None,
    };
    let no_words = vec![0; fraction.factors().len()];
    search.extend(&mut Vec::new(), &[], &no_words, 0);
    let (chosen, span, n_confounded_by_order) = search.best?;
    let mut confounded: Vec<Word> = span
        .iter()
        .filter_map(|place| candidates.get(*place))
        .map(|candidate| candidate.shortest)
        .collect();
    confounded.sort_by(super::fraction::canonical);
    let words = chosen
        .iter()
        .filter_map(|place| candidates.get(*place))
        .map(|candidate| candidate.shortest)
        .collect();
    Some(BlockWords {
        words,
        confounded,
        n_confounded_by_order,
    })
}

/// Differences of means below this are rounding (own choice).
const BALANCED: f64 = 1e-9;

/// The column of the full quadratic model that is least balanced over blocks, with the largest difference of its mean
/// in a block from its mean over all runs; `None` if all are balanced, so that blocks change no coefficient.
///
/// `blocks` has one number a run.
///
/// # Errors
/// As [`ModelMatrix::new`]; [`StatsError::WrongLength`] if there are not as many blocks as runs.
pub fn block_imbalance(
    space: &FactorSpace,
    points: &[CodedPoint],
    blocks: &[usize],
) -> Result<Option<(String, f64)>, StatsError> {
    if blocks.len() != points.len() {
        return Err(StatsError::WrongLength {
            expected: points.len(),
            found: blocks.len(),
        });
    }
    let model = ModelMatrix::new(space, &TermList::quadratic(space), points, None)?;
    let mut numbers = blocks.to_vec();
    numbers.sort_unstable();
    numbers.dedup();
    let mut worst: Option<(String, f64)> = None;
    for (name, column) in model
        .column_names()
        .iter()
        .zip(model.matrix().column_iter())
    {
        let overall = column.mean();
        for block in &numbers {
            let inside: Vec<f64> = column
                .iter()
                .zip(blocks)
                .filter(|(_, of_run)| *of_run == block)
                .map(|(x, _)| *x)
                .collect();
            let difference = (inside.iter().sum::<f64>() / inside.len() as f64 - overall).abs();
            let limit = worst.as_ref().map_or(BALANCED, |(_, known)| *known);
            if difference > limit {
                worst = Some((name.clone(), difference));
            }
        }
    }
    Ok(worst)
}

fn candidates(fraction: &RegularFraction, basic: &[usize]) -> Vec<Candidate> {
    let n_factors = fraction.factors().len();
    (1..1_usize << basic.len())
        .map(|index| {
            let word = Word::new(
                basic
                    .iter()
                    .enumerate()
                    .filter(|(place, _)| index >> place & 1 == 1)
                    .map(|(_, factor)| *factor),
                false,
            );
            let mut n_by_order = vec![0; n_factors];
            let mut shortest = word;
            let aliases = fraction
                .words()
                .iter()
                .map(|defining| word.times(*defining));
            for alias in std::iter::once(word).chain(aliases) {
                if let Some(n) = n_by_order.get_mut(alias.length().saturating_sub(1)) {
                    *n += 1;
                }
                if super::fraction::canonical(&alias, &shortest) == Ordering::Less {
                    shortest = Word::from_mask(alias.mask(), false);
                }
            }
            Candidate {
                basic: word.mask(),
                shortest,
                n_by_order,
            }
        })
        .collect()
}

struct Search<'a> {
    candidates: &'a [Candidate],
    /// Place of each candidate by its word of basic factors.
    by_basic: &'a [(u64, usize)],
    n_words: usize,
    n_products: usize,
    /// Chosen words, all words they span, confounded effects by order.
    best: Option<(Vec<usize>, Vec<usize>, Vec<usize>)>,
}

impl Search<'_> {
    /// Depth first; a partial choice that is no better than the best is not followed, because numbers only grow.
    fn extend(&mut self, chosen: &mut Vec<usize>, span: &[usize], counts: &[usize], from: usize) {
        if chosen.len() == self.n_words {
            self.best = Some((chosen.clone(), span.to_vec(), counts.to_vec()));
            return;
        }
        for place in from..self.candidates.len() {
            self.n_products += 1 + span.len();
            if self.n_products > MAX_PRODUCTS {
                return;
            }
            if span.contains(&place) {
                continue;
            }
            let Some((wider, wider_counts)) = self.with_word(span, counts, place) else {
                continue;
            };
            let is_better = self
                .best
                .as_ref()
                .is_none_or(|(_, _, best)| wider_counts < *best);
            if is_better {
                chosen.push(place);
                self.extend(chosen, &wider, &wider_counts, place + 1);
                chosen.pop();
            }
        }
    }

    /// The span with one more word; `None` if a product confounds a main effect.
    fn with_word(
        &self,
        span: &[usize],
        counts: &[usize],
        place: usize,
    ) -> Option<(Vec<usize>, Vec<usize>)> {
        let added = self.candidates.get(place)?;
        let mut wider = span.to_vec();
        wider.push(place);
        for known in span {
            let product = self.candidates.get(*known)?.basic ^ added.basic;
            let found = self
                .by_basic
                .binary_search_by_key(&product, |(basic, _)| *basic)
                .ok()?;
            wider.push(self.by_basic.get(found)?.1);
        }
        let mut wider_counts = counts.to_vec();
        for new in wider.iter().skip(span.len()) {
            let candidate = self.candidates.get(*new)?;
            for (sum, n) in wider_counts.iter_mut().zip(&candidate.n_by_order) {
                *sum += n;
            }
        }
        Some((wider, wider_counts))
    }
}
