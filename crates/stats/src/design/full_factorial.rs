//! Full factorials: all combinations of all levels, mixed numbers of levels allowed (Box, Hunter & Hunter 1978,
//! Statistics for Experimenters, ch. 10).

use crate::design::assembly::{
    BasePlan, BasePoint, BlockLayout, combinations, dealt_evenly, listed_settings,
};
use crate::design::blocking::{BlockWords, blocks_of};
use crate::design::fraction::{MAX_FACTORS, RegularFraction};
use crate::design::note::DesignNote;
use crate::design::{DesignError, DesignRequest, FamilyDetails, RunRole};
use crate::factor::{CodedPoint, Factor, FactorSpace, Value};

/// Centre runs of a two-level factorial when none are asked for: enough to test curvature with two degrees of freedom
/// of pure error (common practice).
pub(crate) const DEFAULT_CENTRE_RUNS: usize = 3;

/// All level combinations in standard order, the first factor running fastest.
///
/// A continuous factor takes evenly spaced levels, two unless the request says otherwise; a list takes all its levels.
/// Blocks are whole replicates, or parts of one by the sign of products of two-level factors.
pub(crate) fn points(
    space: &FactorSpace,
    request: &DesignRequest,
) -> Result<BasePlan, DesignError> {
    let lists = level_lists(space, &request.n_levels)?;
    let (layout, words) = blocks(space, request, &lists)?;
    let mut notes = Vec::new();
    if let Some(words) = &words {
        notes.push(DesignNote::ConfoundedWithBlocks {
            effects: words
                .confounded
                .iter()
                .map(|word| word.product_name(space))
                .collect(),
        });
    }
    let has_untried_middle = space
        .factors()
        .iter()
        .zip(&lists)
        .any(|(factor, list)| factor.n_levels().is_none() && list.len() == 2);
    let n_centre = request.n_centre.unwrap_or(if has_untried_middle {
        DEFAULT_CENTRE_RUNS
    } else {
        0
    });
    let points = combinations(&lists)?
        .into_iter()
        .map(|values| {
            let coded = CodedPoint(values);
            let block = words
                .as_ref()
                .map_or(0, |words| words.block_of_point(&coded));
            BasePoint {
                coded,
                role: RunRole::Plan,
                block,
            }
        })
        .collect();
    Ok(BasePlan {
        points,
        layout,
        n_centre_of_block: dealt_evenly(n_centre, layout.n_blocks(request.n_replicates)),
        is_block_balance_told: false,
        details: FamilyDetails::default(),
        notes,
    })
}

/// Division into blocks by the two-level factors.
fn blocks(
    space: &FactorSpace,
    request: &DesignRequest,
    lists: &[Vec<Value>],
) -> Result<(BlockLayout, Option<BlockWords>), DesignError> {
    let two_level: Vec<usize> = (0..space.n_factors().min(MAX_FACTORS))
        .filter(|index| lists.get(*index).is_some_and(|list| list.len() == 2))
        .collect();
    blocks_of(request, &RegularFraction::full(two_level))
}

fn level_lists(
    space: &FactorSpace,
    n_levels: &[Option<usize>],
) -> Result<Vec<Vec<Value>>, DesignError> {
    if !n_levels.is_empty() && n_levels.len() != space.n_factors() {
        return Err(DesignError::WrongLength {
            option: "levels",
            expected: space.n_factors(),
            found: n_levels.len(),
        });
    }
    space
        .factors()
        .iter()
        .enumerate()
        .map(|(index, factor)| levels_of(factor, n_levels.get(index).copied().flatten()))
        .collect()
}

fn levels_of(factor: &Factor, asked: Option<usize>) -> Result<Vec<Value>, DesignError> {
    match (listed_settings(factor), asked) {
        (Some(settings), None) => Ok(settings),
        (Some(_), Some(_)) => Err(DesignError::LevelsAreGiven {
            factor: factor.name().to_owned(),
        }),
        (None, asked) => {
            let n_levels = asked.unwrap_or(2);
            if n_levels < 2 {
                return Err(DesignError::TooFewLevels {
                    factor: factor.name().to_owned(),
                    n_levels,
                });
            }
            super::assembly::check_number_of_runs(n_levels)?;
            let last = (n_levels - 1) as f64;
            Ok((0..n_levels)
                .map(|level| Value::Number((2.0 * level as f64 - last) / last))
                .collect())
        }
    }
}
