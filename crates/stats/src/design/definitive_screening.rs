//! Definitive screening plans (Jones & Nachtsheim 2011, A class of three-level designs for definitive screening in the presence
//! of second-order effects, J. Quality Technology 43, 1–15) from conference matrices (Xiao, Lin & Bai 2012): every run has its
//! mirror image, every factor its middle, and main effects are clear of all squares and two-factor products.
//!
//! Two factors more than there are lend their four runs to the estimate of the scatter (recommended by the same authors, 2017).
//! A factor with two levels stands at opposite ends in the two runs of the pair that has its middle. Categories with three or
//! more levels are crossed with the plan.

use crate::design::assembly::{
    BasePlan, BasePoint, BlockLayout, crossed_levels, dealt_evenly, factors_with_middle,
};
use crate::design::conference::conference_matrix;
use crate::design::fractional_factorial::two_level_factors;
use crate::design::note::DesignNote;
use crate::design::{DesignError, DesignRequest, FamilyDetails, RunRole};
use crate::factor::{CodedPoint, FactorSpace, Value};

/// Fewest factors for which the family is worth while.
const MIN_FACTORS: usize = 3;
/// Factors beyond those that there are, whose runs show the scatter.
const SPARE_FACTORS: usize = 2;
/// Largest order of a conference matrix that is taken.
const MAX_ORDER: usize = 54;

/// Runs of a plan from a conference matrix of an order, without centre runs.
const fn n_runs_of(order: usize) -> usize {
    2 * order
}

/// Orders of conference matrices that are made, from one on.
fn orders_from(least: usize) -> impl Iterator<Item = usize> {
    (least..=MAX_ORDER).filter(|order| conference_matrix(*order).is_some())
}

/// The plan, pair by pair of mirrored runs.
pub(crate) fn points(
    space: &FactorSpace,
    request: &DesignRequest,
) -> Result<BasePlan, DesignError> {
    let with_middle = factors_with_middle(space);
    let factors = two_level_factors(space);
    let have = factors.len();
    if with_middle.len() < MIN_FACTORS {
        return Err(DesignError::TooFewFactors {
            kind: request.kind,
            need: MIN_FACTORS,
            have: with_middle.len(),
        });
    }
    let order = order_for(request, have)?;
    let matrix = conference_matrix(order).ok_or(DesignError::TooManyFactors {
        kind: request.kind,
        limit: MAX_ORDER - SPARE_FACTORS,
        have,
    })?;
    let divides = |n_blocks: usize| n_blocks <= order / 2;
    let layout = BlockLayout::choose(request, divides, || (2..=order / 2).collect())?;
    let mut notes = vec![if with_middle.len() == have {
        DesignNote::MainEffectsClearOfSecondOrder {
            squares: 1.0 / 3.0 - 1.0 / (order as f64 - 1.0),
        }
    } else {
        DesignNote::TwoLevelFactorsInScreening
    }];
    let crossed = crossed_levels(space, &factors, &mut notes)?;
    super::assembly::check_number_of_runs(n_runs_of(order).saturating_mul(crossed.len()))?;
    let mut points = Vec::new();
    for levels in &crossed {
        for (pair, row) in matrix.iter().enumerate() {
            for mirror in [1, -1] {
                points.push(BasePoint {
                    coded: at_row(levels, &factors, &with_middle, (row, mirror)),
                    role: RunRole::Plan,
                    block: pair % layout.inner,
                });
            }
        }
    }
    let n_blocks = layout.n_blocks(request.n_replicates);
    let n_centre = request.n_centre.unwrap_or(n_blocks);
    Ok(BasePlan {
        points,
        layout,
        n_centre_of_block: dealt_evenly(n_centre, n_blocks),
        is_block_balance_told: true,
        details: FamilyDetails::default(),
        notes,
    })
}

/// The order of the matrix: that of the runs that were asked for, centre runs left out, else the first with spare factors.
fn order_for(request: &DesignRequest, have: usize) -> Result<usize, DesignError> {
    let usual = orders_from(have + SPARE_FACTORS)
        .next()
        .ok_or(DesignError::TooManyFactors {
            kind: request.kind,
            limit: MAX_ORDER - SPARE_FACTORS,
            have,
        })?;
    let Some(asked) = request.n_runs else {
        return Ok(usual);
    };
    orders_from(have)
        .find(|order| n_runs_of(*order) == asked)
        .ok_or_else(|| DesignError::RunsNotPossible {
            kind: request.kind,
            asked,
            possible: orders_from(have).map(n_runs_of).collect(),
        })
}

/// A row of the matrix, or its mirror image, as settings of the factors. In the pair in which a factor with two levels would
/// have its middle it stands at its upper end first and at its lower one then.
fn at_row(
    levels: &CodedPoint,
    factors: &[usize],
    with_middle: &[usize],
    (row, mirror): (&[i8], i8),
) -> CodedPoint {
    let mut coded = levels.clone();
    for (factor, sign) in factors.iter().zip(row) {
        let at = match *sign {
            0 if !with_middle.contains(factor) => mirror,
            sign => sign * mirror,
        };
        if let Some(value) = coded.0.get_mut(*factor) {
            *value = match value {
                Value::Level(_) => Value::Level(usize::from(at > 0)),
                Value::Number(_) => Value::Number(f64::from(at)),
            };
        }
    }
    coded
}
