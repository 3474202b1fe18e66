//! Box–Behnken plans for three to seven factors: groups of two or three factors run through all their ±1
//! combinations while the others stand at the middle (Box & Behnken 1960, Some new three level designs for the study
//! of quantitative variables, Technometrics 2, 455–475; run numbers also in the NIST/SEMATECH e-Handbook of
//! Statistical Methods, 5.3.3.6.2).
//!
//! Factors without a middle (categories, numbers with two levels) are crossed with the plan of the others.

use crate::design::assembly::{
    BasePlan, BasePoint, BlockLayout, crossed_levels, dealt_evenly, factors_with_middle,
};
use crate::design::note::DesignNote;
use crate::design::{DesignError, DesignRequest, FamilyDetails, RunRole};
use crate::factor::{FactorSpace, Value};

/// How the plan divides into orthogonal blocks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Blocking {
    /// It does not.
    None,
    /// So many consecutive groups a block.
    GroupsPerBlock(usize),
    /// Two blocks by the sign of the product of a group's three factors.
    TripleProduct,
}

struct Family {
    /// Groups of factors (1-based) that vary together.
    groups: &'static [&'static [usize]],
    blocking: Blocking,
    /// Centre runs of the published plan.
    n_centre: usize,
}

/// Groups from memory; with them every quadratic model is estimable, blocks are orthogonal and the numbers of runs
/// are the published ones (15, 27, 46, 54, 62).
const FAMILIES: [Family; 5] = [
    Family {
        groups: &[&[1, 2], &[1, 3], &[2, 3]],
        blocking: Blocking::None,
        n_centre: 3,
    },
    Family {
        groups: &[&[1, 2], &[3, 4], &[1, 4], &[2, 3], &[1, 3], &[2, 4]],
        blocking: Blocking::GroupsPerBlock(2),
        n_centre: 3,
    },
    Family {
        groups: &[
            &[1, 2],
            &[3, 4],
            &[2, 5],
            &[1, 3],
            &[4, 5],
            &[2, 3],
            &[1, 4],
            &[3, 5],
            &[1, 5],
            &[2, 4],
        ],
        blocking: Blocking::GroupsPerBlock(5),
        n_centre: 6,
    },
    Family {
        groups: &[
            &[1, 2, 4],
            &[2, 3, 5],
            &[3, 4, 6],
            &[1, 4, 5],
            &[2, 5, 6],
            &[1, 3, 6],
        ],
        blocking: Blocking::TripleProduct,
        n_centre: 6,
    },
    Family {
        groups: &[
            &[4, 5, 6],
            &[1, 6, 7],
            &[2, 5, 7],
            &[1, 2, 4],
            &[3, 4, 7],
            &[1, 3, 5],
            &[2, 3, 6],
        ],
        blocking: Blocking::TripleProduct,
        n_centre: 6,
    },
];

const MIN_FACTORS: usize = 3;

/// The points of the plan, group by group.
pub(crate) fn points(
    space: &FactorSpace,
    request: &DesignRequest,
) -> Result<BasePlan, DesignError> {
    let factors = factors_with_middle(space);
    let have = factors.len();
    let family = have
        .checked_sub(MIN_FACTORS)
        .ok_or(DesignError::TooFewFactors {
            kind: request.kind,
            need: MIN_FACTORS,
            have,
        })?;
    let limit = MIN_FACTORS + FAMILIES.len() - 1;
    let family = FAMILIES.get(family).ok_or(DesignError::TooManyFactors {
        kind: request.kind,
        limit,
        have,
    })?;
    let n_inner_blocks = match family.blocking {
        Blocking::None => 1,
        Blocking::GroupsPerBlock(n_groups) => family.groups.len() / n_groups,
        Blocking::TripleProduct => 2,
    };
    let layout = BlockLayout::choose(
        request,
        |n_blocks| n_blocks == n_inner_blocks,
        || vec![n_inner_blocks],
    )?;
    let mut notes = vec![DesignNote::NoCorners];
    let crossed = crossed_levels(space, &factors, &mut notes)?;
    let mut points = Vec::new();
    for levels in &crossed {
        for (place, group) in family.groups.iter().enumerate() {
            for combination in 0..1_usize << group.len() {
                let mut coded = levels.clone();
                for (bit, factor) in group.iter().enumerate() {
                    let is_high = combination >> bit & 1 == 1;
                    let index = factors.get(factor - 1);
                    if let Some(value) = index.and_then(|index| coded.0.get_mut(*index)) {
                        *value = Value::Number(if is_high { 1.0 } else { -1.0 });
                    }
                }
                let n_low = group.len() - combination.count_ones() as usize;
                points.push(BasePoint {
                    coded,
                    role: RunRole::Plan,
                    block: match family.blocking {
                        Blocking::GroupsPerBlock(n_groups) if layout.inner > 1 => place / n_groups,
                        Blocking::TripleProduct if layout.inner > 1 => {
                            usize::from(n_low.is_multiple_of(2))
                        }
                        Blocking::None | Blocking::GroupsPerBlock(_) | Blocking::TripleProduct => 0,
                    },
                });
            }
        }
    }
    let n_blocks = layout.n_blocks(request.n_replicates);
    let n_centre = request.n_centre.unwrap_or(family.n_centre);
    Ok(BasePlan {
        points,
        layout,
        n_centre_of_block: dealt_evenly(n_centre, n_blocks),
        is_block_balance_told: true,
        details: FamilyDetails::default(),
        notes,
    })
}
