//! Two-level screening plans of Plackett & Burman (1946), The design of optimum multifactorial experiments, Biometrika 33,
//! 305–325: one run more than factors at most, all main effects independent of each other, and each mixed in part with every
//! two-factor product that does not contain it.
//!
//! Numbers stand at the two ends of their range. Categories with three or more levels are crossed with the plan.

use crate::design::assembly::{
    BasePlan, BasePoint, BlockLayout, crossed_levels, dealt_evenly, has_middle,
};
use crate::design::conference::skew_core;
use crate::design::fractional_factorial::two_level_factors;
use crate::design::full_factorial::DEFAULT_CENTRE_RUNS;
use crate::design::note::DesignNote;
use crate::design::{DesignError, DesignRequest, FamilyDetails, RunRole};
use crate::factor::{CodedPoint, FactorSpace, Value};

/// Fewest factors for which the family is worth while.
const MIN_FACTORS: usize = 3;

/// First rows of the cyclic plans, Plackett & Burman (1946), read from the public data files of NIST (PB12, PB20, PB24,
/// PB36) or quoted from memory (44, 48); every one is checked to be orthogonal.
const FIRST_ROWS: [&str; 6] = [
    "++-+++---+-",
    "++--++++-+-+----++-",
    "+++++-+-++--++--+-+----",
    "-+-+++---+++++-+++--+----+-+-++--+-",
    "++--+-+--+++-+++++---+-+++-----+---++-+-++-",
    "+++++-++++--+-+-+++--+--++-++---+-+-++----+----",
];
/// The one number of runs that has no cyclic plan; it is made from the field of 27 elements (Paley 1933).
const NOT_CYCLIC: usize = 28;

/// Numbers of runs of the family, ascending. Powers of two are regular fractions.
pub const PLACKETT_BURMAN_RUNS: [usize; 7] = [12, 20, 24, NOT_CYCLIC, 36, 44, 48];

/// Signs of the plan of a number of runs, row by row; `None` if there is none.
pub(crate) fn signs(n_runs: usize) -> Option<Vec<Vec<i8>>> {
    if n_runs == NOT_CYCLIC {
        return from_field(n_runs);
    }
    let row = FIRST_ROWS.iter().find(|row| row.len() + 1 == n_runs)?;
    let first: Vec<i8> = row
        .chars()
        .map(|sign| if sign == '+' { 1 } else { -1 })
        .collect();
    let n = first.len();
    // Each row is the one above, moved on by one place; the last has minus signs alone.
    let shifted = |by: usize| (0..n).map(|column| first[(column + n - by) % n]).collect();
    let mut rows: Vec<Vec<i8>> = (0..n).map(shifted).collect();
    rows.push(vec![-1; n]);
    Some(rows)
}

/// Paley's construction: the core of a skew conference matrix with ones on its diagonal, bordered by ones.
fn from_field(n_runs: usize) -> Option<Vec<Vec<i8>>> {
    let core = skew_core(n_runs - 1)?;
    let mut rows = vec![vec![1; n_runs - 1]];
    rows.extend(core.into_iter().enumerate().map(|(place, mut row)| {
        // The border of minus ones down the first column is dropped, after its rows were turned to begin with one.
        for (column, sign) in row.iter_mut().enumerate() {
            *sign = if column == place { -1 } else { -*sign };
        }
        row
    }));
    Some(rows)
}

/// The plan for the factors that can stand at two levels, crossed with other categories.
pub(crate) fn points(
    space: &FactorSpace,
    request: &DesignRequest,
) -> Result<BasePlan, DesignError> {
    let factors = two_level_factors(space);
    let have = factors.len();
    if have < MIN_FACTORS {
        return Err(DesignError::TooFewTwoLevelFactors {
            need: MIN_FACTORS,
            have,
        });
    }
    let large_enough = || PLACKETT_BURMAN_RUNS.into_iter().filter(|n| *n > have);
    let limit = PLACKETT_BURMAN_RUNS[PLACKETT_BURMAN_RUNS.len() - 1] - 1;
    let smallest = large_enough().next().ok_or(DesignError::TooManyFactors {
        kind: request.kind,
        limit,
        have,
    })?;
    let asked = request.n_runs.unwrap_or(smallest);
    let rows =
        signs(asked)
            .filter(|_| asked > have)
            .ok_or_else(|| DesignError::RunsNotPossible {
                kind: request.kind,
                asked,
                possible: large_enough().collect(),
            })?;
    let layout = BlockLayout::choose(request, |_| false, Vec::new)?;
    let mut notes = vec![DesignNote::MainEffectsPartlyAliased {
        largest: largest_alias(&rows, have),
    }];
    let crossed = crossed_levels(space, &factors, &mut notes)?;
    super::assembly::check_number_of_runs(rows.len().saturating_mul(crossed.len()))?;
    let points = crossed
        .iter()
        .flat_map(|levels| rows.iter().map(|row| at_signs(levels, &factors, row)))
        .collect();
    let has_centre = space.factors().iter().any(has_middle);
    let usual = if has_centre { DEFAULT_CENTRE_RUNS } else { 0 };
    let n_centre = request.n_centre.unwrap_or(usual);
    Ok(BasePlan {
        points,
        layout,
        n_centre_of_block: dealt_evenly(n_centre, layout.n_blocks(request.n_replicates)),
        is_block_balance_told: false,
        details: FamilyDetails::default(),
        notes,
    })
}

fn at_signs(levels: &CodedPoint, factors: &[usize], row: &[i8]) -> BasePoint {
    let mut coded = levels.clone();
    for (factor, sign) in factors.iter().zip(row) {
        if let Some(value) = coded.0.get_mut(*factor) {
            *value = match value {
                Value::Level(_) => Value::Level(usize::from(*sign > 0)),
                Value::Number(_) => Value::Number(f64::from(*sign)),
            };
        }
    }
    BasePoint {
        coded,
        role: RunRole::Plan,
        block: 0,
    }
}

/// Largest share of a two-factor product that is mixed into a main effect, over the first columns.
fn largest_alias(rows: &[Vec<i8>], n_factors: usize) -> f64 {
    let mut largest = 0;
    for a in 0..n_factors {
        for b in 0..a {
            for c in 0..b {
                let sum: i32 = rows
                    .iter()
                    .map(|row| i32::from(row[a] * row[b] * row[c]))
                    .sum();
                largest = largest.max(sum.abs());
            }
        }
    }
    f64::from(largest) / rows.len() as f64
}
