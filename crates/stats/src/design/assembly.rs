//! From the points of a family to a plan: replicates, centre runs, blocks, rounding, numbering, order.

use crate::design::blocking::block_imbalance;
use crate::design::note::DesignNote;
use crate::design::settable::settable;
use crate::design::{
    ALGORITHM_VERSION, CentrePlacement, Design, DesignError, DesignRequest, DesignRun,
    FamilyDetails, MANY_RUNS, MAX_RUNS, RunRole, run_order,
};
use crate::factor::{CodedPoint, Factor, FactorKind, FactorSpace, Value};

/// A point of a family before rounding.
#[derive(Debug, Clone)]
pub(crate) struct BasePoint {
    pub(crate) coded: CodedPoint,
    pub(crate) role: RunRole,
    /// 0-based block within one replicate.
    pub(crate) block: usize,
}

/// How blocks and replicates go together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct BlockLayout {
    /// Blocks into which the points of one replicate are divided.
    pub(crate) inner: usize,
    /// True if each replicate has its own blocks, false if equal parts of all replicates share a block.
    pub(crate) is_own_per_replicate: bool,
}

impl BlockLayout {
    /// The layout for a request: blocks of their own for each replicate if the numbers allow it (that confounds
    /// least), else shared ones. `is_possible` tells whether one replicate divides into so many blocks (more than
    /// one), `inner_possible` lists these numbers for the message.
    pub(crate) fn choose(
        request: &DesignRequest,
        is_possible: impl Fn(usize) -> bool,
        inner_possible: impl FnOnce() -> Vec<usize>,
    ) -> Result<Self, DesignError> {
        let (n_blocks, n_replicates) = (request.n_blocks, request.n_replicates);
        let divides = |inner: usize| inner == 1 || is_possible(inner);
        if n_blocks.is_multiple_of(n_replicates) && divides(n_blocks / n_replicates) {
            return Ok(Self {
                inner: n_blocks / n_replicates,
                is_own_per_replicate: n_replicates > 1,
            });
        }
        if divides(n_blocks) {
            return Ok(Self {
                inner: n_blocks,
                is_own_per_replicate: false,
            });
        }
        let mut possible: Vec<usize> = std::iter::once(1)
            .chain(inner_possible())
            .flat_map(|inner| [inner, inner.saturating_mul(n_replicates)])
            .collect();
        possible.sort_unstable();
        possible.dedup();
        Err(DesignError::BlocksNotPossible { n_blocks, possible })
    }

    /// How many groups of replicates have blocks of their own.
    pub(crate) const fn n_copies(self, n_replicates: usize) -> usize {
        if self.is_own_per_replicate {
            n_replicates
        } else {
            1
        }
    }

    /// Number of blocks of the whole plan.
    pub(crate) const fn n_blocks(self, n_replicates: usize) -> usize {
        if self.is_own_per_replicate {
            self.inner * n_replicates
        } else {
            self.inner
        }
    }

    const fn block_of(self, inner_block: usize, replicate: usize) -> usize {
        if self.is_own_per_replicate {
            inner_block + replicate * self.inner
        } else {
            inner_block
        }
    }
}

/// One replicate of a family's points with what is needed to make the plan of it.
#[derive(Debug, Clone)]
pub(crate) struct BasePlan {
    /// The points of one replicate, centre runs left out.
    pub(crate) points: Vec<BasePoint>,
    pub(crate) layout: BlockLayout,
    /// Centre runs of each block of the whole plan, at each combination of levels without a middle.
    pub(crate) n_centre_of_block: Vec<usize>,
    /// True if the plan promises blocks that leave the quadratic model alone, so that it is told if they do not.
    pub(crate) is_block_balance_told: bool,
    /// What is particular to some families.
    pub(crate) details: FamilyDetails,
    pub(crate) notes: Vec<DesignNote>,
}

/// Deals `total` centre runs to blocks as evenly as possible, the first blocks getting one more.
pub(crate) fn dealt_evenly(total: usize, n_blocks: usize) -> Vec<usize> {
    let n_blocks = n_blocks.max(1);
    (0..n_blocks)
        .map(|block| total / n_blocks + usize::from(block < total % n_blocks))
        .collect()
}

/// True if the factor can stand between its ends: any number of a range, or a list of three or more numbers.
pub(crate) const fn has_middle(factor: &Factor) -> bool {
    match factor.kind() {
        FactorKind::Continuous { .. } => true,
        FactorKind::Discrete { levels } => levels.len() > 2,
        FactorKind::Categorical { .. } => false,
    }
}

/// Indices of the factors that have a middle.
pub(crate) fn factors_with_middle(space: &FactorSpace) -> Vec<usize> {
    (0..space.n_factors())
        .filter(|index| has_middle(&space.factors()[*index]))
        .collect()
}

/// All coded settings of a factor that has a list, in its order; `None` for a continuous one.
pub(crate) fn listed_settings(factor: &Factor) -> Option<Vec<Value>> {
    match factor.kind() {
        FactorKind::Continuous { .. } => None,
        FactorKind::Categorical { levels } => Some((0..levels.len()).map(Value::Level).collect()),
        FactorKind::Discrete { levels } => {
            let (low, high) = (levels[0], levels[levels.len() - 1]);
            Some(
                levels
                    .iter()
                    .map(|level| Value::Number((2.0 * level - low - high) / (high - low)))
                    .map(snap_ends)
                    .collect(),
            )
        }
    }
}

fn snap_ends(value: Value) -> Value {
    match value {
        Value::Number(x) if (x.abs() - 1.0).abs() < 1e-14 => Value::Number(1.0_f64.copysign(x)),
        other => other,
    }
}

/// All combinations of settings, the first list running fastest. The number of combinations is checked first.
pub(crate) fn combinations(lists: &[Vec<Value>]) -> Result<Vec<Vec<Value>>, DesignError> {
    let n_runs = lists
        .iter()
        .try_fold(1_usize, |product, list| product.checked_mul(list.len()))
        .unwrap_or(usize::MAX);
    check_number_of_runs(n_runs)?;
    Ok((0..n_runs)
        .map(|index| {
            let mut rest = index;
            lists
                .iter()
                .map(|list| {
                    let value = list[rest % list.len()];
                    rest /= list.len();
                    value
                })
                .collect()
        })
        .collect())
}

/// All combinations of the levels of the factors that are not `inner`, with a place holder for the inner ones (the
/// middle of a number, the first level of a category); noted if there are any.
pub(crate) fn crossed_levels(
    space: &FactorSpace,
    inner: &[usize],
    notes: &mut Vec<DesignNote>,
) -> Result<Vec<CodedPoint>, DesignError> {
    let mut names = Vec::new();
    let lists: Vec<Vec<Value>> = space
        .factors()
        .iter()
        .enumerate()
        .map(|(index, factor)| match listed_settings(factor) {
            Some(settings) if !inner.contains(&index) => {
                names.push(factor.name().to_owned());
                settings
            }
            Some(settings) if factor.is_categorical() => settings[..1].to_vec(),
            Some(_) | None => vec![Value::Number(0.0)],
        })
        .collect();
    let crossed: Vec<CodedPoint> = combinations(&lists)?.into_iter().map(CodedPoint).collect();
    if !names.is_empty() {
        notes.push(DesignNote::Crossed {
            factors: names,
            n_combinations: crossed.len(),
        });
    }
    Ok(crossed)
}

pub(crate) const fn check_number_of_runs(n_runs: usize) -> Result<(), DesignError> {
    if n_runs > MAX_RUNS {
        return Err(DesignError::TooManyRuns {
            n_runs,
            limit: MAX_RUNS,
        });
    }
    Ok(())
}

/// Levels of the factors without a middle: all their combinations, with the middle at the other factors.
fn middles(
    space: &FactorSpace,
    placement: CentrePlacement,
) -> Result<Vec<CodedPoint>, DesignError> {
    let lists: Vec<Vec<Value>> = space
        .factors()
        .iter()
        .map(|factor| match listed_settings(factor) {
            Some(settings) if !has_middle(factor) => match placement {
                CentrePlacement::EachCombination => settings,
                CentrePlacement::FirstLevels => settings[..1].to_vec(),
            },
            Some(_) | None => vec![Value::Number(0.0)],
        })
        .collect();
    Ok(combinations(&lists)?.into_iter().map(CodedPoint).collect())
}

/// Makes the plan of one replicate's points.
pub(crate) fn assemble(
    space: &FactorSpace,
    request: &DesignRequest,
    base: BasePlan,
) -> Result<Design, DesignError> {
    let mut notes = base.notes.clone();
    let n_centre: usize = base.n_centre_of_block.iter().sum();
    if n_centre > 0 && factors_with_middle(space).is_empty() {
        return Err(DesignError::NoMiddle);
    }
    let centre_points = if n_centre > 0 {
        middles(space, request.centre_placement)?
    } else {
        Vec::new()
    };
    let n_return = request.n_return.unwrap_or(0);
    if request.n_return.is_some_and(|n_runs| n_runs < 2) {
        return Err(DesignError::TooFewReturnRuns { n_runs: n_return });
    }
    let n_runs = base
        .points
        .len()
        .saturating_mul(request.n_replicates)
        .saturating_add(n_centre.saturating_mul(centre_points.len()))
        .saturating_add(n_return);
    check_number_of_runs(n_runs)?;
    if n_runs > MANY_RUNS {
        notes.push(DesignNote::ManyRuns { n_runs });
    }
    note_centre_placement(space, request, &centre_points, n_centre, &mut notes);
    let mut runs = listed_runs(request, &base, &centre_points);
    round_runs(space, &mut runs, &mut notes)?;
    if base.is_block_balance_told {
        note_block_balance(space, &runs, &mut notes)?;
    }
    let runs = run_order::ordered(space, request, runs, &mut notes)?;
    Ok(Design {
        kind: request.kind,
        runs,
        seed: request.seed,
        algorithm_version: ALGORITHM_VERSION,
        n_blocks: base.layout.n_blocks(request.n_replicates),
        details: base.details,
        notes,
    })
}

fn note_centre_placement(
    space: &FactorSpace,
    request: &DesignRequest,
    centre_points: &[CodedPoint],
    n_centre: usize,
    notes: &mut Vec<DesignNote>,
) {
    let without_middle: Vec<String> = space
        .factors()
        .iter()
        .filter(|factor| !has_middle(factor))
        .map(|factor| factor.name().to_owned())
        .collect();
    if n_centre == 0 || without_middle.is_empty() {
        return;
    }
    notes.push(match request.centre_placement {
        CentrePlacement::EachCombination => DesignNote::CentreRunsAtEachCombination {
            n_combinations: centre_points.len(),
            n_each: n_centre,
        },
        CentrePlacement::FirstLevels => DesignNote::CentreRunsAtFirstLevels {
            factors: without_middle,
        },
    });
}

/// Notes the quadratic term that blocks disturb most, if any.
fn note_block_balance(
    space: &FactorSpace,
    runs: &[DesignRun],
    notes: &mut Vec<DesignNote>,
) -> Result<(), DesignError> {
    let points: Vec<CodedPoint> = runs.iter().map(|run| run.coded.clone()).collect();
    let blocks: Vec<usize> = runs.iter().filter_map(|run| run.block).collect();
    if blocks.len() == points.len()
        && let Some((term, imbalance)) = block_imbalance(space, &points, &blocks)?
    {
        notes.push(DesignNote::BlocksNotOrthogonal { term, imbalance });
    }
    Ok(())
}

/// All runs but the return runs, in standard order.
fn listed_runs(
    request: &DesignRequest,
    base: &BasePlan,
    centre_points: &[CodedPoint],
) -> Vec<DesignRun> {
    let is_blocked = base.layout.n_blocks(request.n_replicates) > 1;
    let mut runs = Vec::new();
    for replicate in 0..request.n_replicates {
        for point in &base.points {
            let block = base.layout.block_of(point.block, replicate);
            runs.push(DesignRun {
                standard_order: runs.len() + 1,
                block: is_blocked.then_some(block + 1),
                whole_plot: None,
                replicate: replicate + 1,
                role: point.role,
                coded: point.coded.clone(),
            });
        }
    }
    let mut replicate = 0;
    for (block, n_centre) in base.n_centre_of_block.iter().enumerate() {
        for _ in 0..*n_centre {
            replicate += 1;
            for point in centre_points {
                runs.push(DesignRun {
                    standard_order: runs.len() + 1,
                    block: is_blocked.then_some(block + 1),
                    whole_plot: None,
                    replicate,
                    role: RunRole::Centre,
                    coded: point.clone(),
                });
            }
        }
    }
    runs
}

/// Rounds all runs to settable values and notes, factor by factor, how far they moved.
fn round_runs(
    space: &FactorSpace,
    runs: &mut [DesignRun],
    notes: &mut Vec<DesignNote>,
) -> Result<(), DesignError> {
    let mut shifts = vec![(0_usize, 0.0_f64); space.n_factors()];
    for run in runs.iter_mut() {
        check_numbers(space, &run.coded)?;
        let rounded = settable(space, &run.coded)?;
        for (shift, pair) in shifts.iter_mut().zip(run.coded.0.iter().zip(&rounded.0)) {
            if let (Value::Number(before), Value::Number(after)) = pair {
                let distance = (before - after).abs();
                if distance > 1e-12 {
                    shift.0 += 1;
                    shift.1 = shift.1.max(distance);
                }
            }
        }
        run.coded = rounded;
    }
    for (factor, (n_runs, largest_shift)) in space.factors().iter().zip(shifts) {
        if n_runs > 0 {
            notes.push(DesignNote::Rounded {
                factor: factor.name().to_owned(),
                n_runs,
                largest_shift,
            });
        }
    }
    Ok(())
}

/// An axial run on a wide range can lie beyond the largest number.
fn check_numbers(space: &FactorSpace, point: &CodedPoint) -> Result<(), DesignError> {
    let natural = space.decode(point)?;
    for (factor, (coded, natural)) in space.factors().iter().zip(point.0.iter().zip(&natural.0)) {
        if let (Value::Number(coded), Value::Number(natural)) = (coded, natural) {
            let is_positive = !factor.is_log() || *natural > 0.0;
            if !(natural.is_finite() && is_positive) {
                return Err(DesignError::SettingOutOfNumbers {
                    factor: factor.name().to_owned(),
                    coded: *coded,
                });
            }
        }
    }
    Ok(())
}
