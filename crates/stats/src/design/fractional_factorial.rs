//! Regular two-level fractions: the basic factors run through all combinations, every other factor is a product of
//! basic ones (Box & Hunter 1961, Technometrics 3, 311–351; docs/methods.md, 3.2).
//!
//! Numbers stand at the two ends of their range. Categories with three or more levels are crossed with the fraction.

use crate::design::assembly::{BasePlan, BasePoint, crossed_levels, dealt_evenly, has_middle};
use crate::design::blocking::blocks_of;
use crate::design::catalogue::fractions_for;
use crate::design::fraction::{Generator, MAX_FACTORS, RegularFraction};
use crate::design::full_factorial::DEFAULT_CENTRE_RUNS;
use crate::design::note::DesignNote;
use crate::design::{DesignError, DesignRequest, FamilyDetails, RunRole, generators};
use crate::factor::{CodedPoint, FactorKind, FactorSpace, Value};

/// The fraction that the request names, crossed with categories of three or more levels.
pub(crate) fn points(
    space: &FactorSpace,
    request: &DesignRequest,
) -> Result<BasePlan, DesignError> {
    if space.n_factors() > MAX_FACTORS {
        return Err(DesignError::TooManyFactors {
            kind: request.kind,
            limit: MAX_FACTORS,
            have: space.n_factors(),
        });
    }
    let factors = two_level_factors(space);
    if factors.len() < 3 {
        return Err(DesignError::TooFewTwoLevelFactors {
            need: 3,
            have: factors.len(),
        });
    }
    let fraction = requested_fraction(space, request, &factors)?;
    let mut notes = Vec::new();
    match fraction.resolution() {
        Some(3) => notes.push(DesignNote::MainEffectsAliasedWithPairs),
        Some(4) => notes.push(DesignNote::PairsAliasedAmongThemselves),
        Some(_) | None => {}
    }
    let crossed = crossed_levels(space, &factors, &mut notes)?;
    two_level_plan(space, request, fraction, &crossed, notes)
}

/// Points of a two-level fraction or full factorial in blocks, at each combination of the crossed factors' levels.
pub(crate) fn two_level_plan(
    space: &FactorSpace,
    request: &DesignRequest,
    fraction: RegularFraction,
    crossed: &[CodedPoint],
    mut notes: Vec<DesignNote>,
) -> Result<BasePlan, DesignError> {
    let (layout, words) = blocks_of(request, &fraction)?;
    if let Some(words) = &words {
        notes.push(DesignNote::ConfoundedWithBlocks {
            effects: words
                .confounded
                .iter()
                .map(|word| word.product_name(space))
                .collect(),
        });
    }
    let runs = fraction.runs();
    super::assembly::check_number_of_runs(runs.len().saturating_mul(crossed.len()))?;
    let points = crossed
        .iter()
        .flat_map(|levels| {
            let (words, fraction) = (&words, &fraction);
            runs.iter().map(move |minus| BasePoint {
                coded: with_signs(levels, fraction, *minus),
                role: RunRole::Plan,
                block: words.as_ref().map_or(0, |words| words.block_of(*minus)),
            })
        })
        .collect();
    let n_centre = request.n_centre.unwrap_or_else(|| {
        if space.factors().iter().any(has_middle) {
            DEFAULT_CENTRE_RUNS
        } else {
            0
        }
    });
    Ok(BasePlan {
        points,
        layout,
        n_centre_of_block: dealt_evenly(n_centre, layout.n_blocks(request.n_replicates)),
        is_block_balance_told: false,
        details: FamilyDetails {
            fraction: Some(fraction),
            ..FamilyDetails::default()
        },
        notes,
    })
}

/// Puts the low and high level of each two-level factor into a run.
pub(crate) fn with_signs(
    levels: &CodedPoint,
    fraction: &RegularFraction,
    minus: u64,
) -> CodedPoint {
    let mut point = levels.clone();
    for factor in fraction.factors() {
        let is_low = minus >> factor & 1 == 1;
        if let Some(value) = point.0.get_mut(*factor) {
            *value = match value {
                Value::Level(_) => Value::Level(usize::from(!is_low)),
                Value::Number(_) => Value::Number(if is_low { -1.0 } else { 1.0 }),
            };
        }
    }
    point
}

/// Numbers and categories with two levels.
pub(crate) fn two_level_factors(space: &FactorSpace) -> Vec<usize> {
    (0..space.n_factors())
        .filter(|index| match space.factors()[*index].kind() {
            FactorKind::Continuous { .. } | FactorKind::Discrete { .. } => true,
            FactorKind::Categorical { levels } => levels.len() == 2,
        })
        .collect()
}

/// The fraction of the request's generators, or that of minimum aberration for its number of runs.
pub(crate) fn requested_fraction(
    space: &FactorSpace,
    request: &DesignRequest,
    factors: &[usize],
) -> Result<RegularFraction, DesignError> {
    let chosen = match (&request.generators, request.n_runs) {
        (Some(text), _) => generators::parse(text, space, factors)?,
        (None, Some(n_runs)) => catalogued(factors, n_runs)?,
        (None, None) => {
            return Err(DesignError::OptionMissing {
                kind: request.kind,
                option: "runs or generators",
            });
        }
    };
    let n_basic = factors.len() - chosen.len();
    let n_runs = 1_usize
        .checked_shl(u32::try_from(n_basic).unwrap_or(u32::MAX))
        .unwrap_or(usize::MAX);
    if let Some(asked) = request.n_runs.filter(|asked| *asked != n_runs) {
        return Err(DesignError::RunsAgainstGenerators { asked, n_runs });
    }
    super::assembly::check_number_of_runs(n_runs)?;
    let n_generators = chosen.len();
    RegularFraction::new(factors.to_vec(), chosen)
        .ok_or(DesignError::TooManyGenerators { n_generators })
}

fn catalogued(factors: &[usize], n_runs: usize) -> Result<Vec<Generator>, DesignError> {
    let entries = fractions_for(factors.len());
    let is_full = u32::try_from(factors.len())
        .ok()
        .and_then(|n_factors| 1_usize.checked_shl(n_factors))
        == Some(n_runs);
    if is_full {
        return Ok(Vec::new());
    }
    match entries.iter().find(|entry| entry.n_runs == n_runs) {
        Some(entry) => generators::parse_letters(entry.generators, factors),
        None => Err(DesignError::NotInCatalogue {
            n_factors: factors.len(),
            n_runs,
            available: entries.iter().map(|entry| entry.n_runs).collect(),
        }),
    }
}
