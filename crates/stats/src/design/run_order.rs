//! The order in which runs are made: shuffled within blocks and within set-ups, with return runs spread over it.
//!
//! Blocks are made in their number's order. Within a block, runs with equal settings of all factors that are hard to
//! change form a set-up (one for each replicate); set-ups are shuffled, then the runs within each.

use std::collections::BTreeMap;

use crate::design::note::DesignNote;
use crate::design::settable::settable;
use crate::design::{
    DesignError, DesignRequest, DesignRun, OrderRule, Purpose, RandomStream, RunRole,
};
use crate::factor::{ChangeEffort, CodedPoint, Factor, FactorKind, FactorSpace, Value};

/// Orders from which the trend-balanced rule takes the best (own choice; more bring little).
const N_TRIAL_ORDERS: u32 = 200;

/// Runs that are made without a change of hard settings, in the order of the plan's list.
type SetUp = Vec<usize>;

/// Puts listed runs into run order, numbers their set-ups, and adds return runs.
pub(crate) fn ordered(
    space: &FactorSpace,
    request: &DesignRequest,
    runs: Vec<DesignRun>,
    notes: &mut Vec<DesignNote>,
) -> Result<Vec<DesignRun>, DesignError> {
    let hard: Vec<usize> = (0..space.n_factors())
        .filter(|index| space.factors()[*index].effort() == ChangeEffort::Hard)
        .collect();
    let blocks = set_ups_by_block(&runs, &hard);
    let order = match request.order {
        OrderRule::Standard => blocks.concat(),
        OrderRule::Shuffled => shuffled(&blocks, request, 0),
        OrderRule::TrendBalanced => trend_balanced(space, request, &runs, &blocks),
    };
    if request.order != OrderRule::Shuffled {
        notes.push(DesignNote::OrderRestricted);
    }
    let mut set_ups: Vec<Vec<DesignRun>> = order
        .iter()
        .map(|set_up| set_up.iter().map(|run| runs[*run].clone()).collect())
        .collect();
    if let Some(n_return) = request.n_return {
        insert_return_runs(space, n_return, &mut set_ups)?;
    }
    if !hard.is_empty() {
        number_set_ups(&hard, &mut set_ups, notes);
    }
    Ok(set_ups.concat())
}

/// A block and the hard settings of a run in it, on a grid far finer than any dial.
type BlockSettings = (usize, Vec<i64>);

/// The set-ups of each block. Without hard factors every run is a set-up of its own, so that shuffling set-ups
/// shuffles runs.
fn set_ups_by_block(runs: &[DesignRun], hard: &[usize]) -> Vec<Vec<SetUp>> {
    let n_blocks = runs.iter().filter_map(|run| run.block).max().unwrap_or(1);
    let mut blocks: Vec<Vec<SetUp>> = vec![Vec::new(); n_blocks];
    // Replicates and places of the set-ups with each combination of hard settings, block by block.
    let mut known: BTreeMap<BlockSettings, Vec<(usize, usize)>> = BTreeMap::new();
    for (index, run) in runs.iter().enumerate() {
        let block = run.block.unwrap_or(1) - 1;
        let set_ups = &mut blocks[block];
        if hard.is_empty() {
            set_ups.push(vec![index]);
            continue;
        }
        let with_settings = known.entry((block, setting_key(run, hard))).or_default();
        // Centre runs join any set-up with their settings, plan runs only that of their own replicate.
        let shared = with_settings
            .iter()
            .find(|(replicate, _)| run.role == RunRole::Centre || *replicate == run.replicate)
            .and_then(|(_, place)| set_ups.get_mut(*place));
        if let Some(set_up) = shared {
            set_up.push(index);
        } else {
            with_settings.push((run.replicate, set_ups.len()));
            set_ups.push(vec![index]);
        }
    }
    blocks
}

/// The hard settings on a grid far finer than any dial.
fn setting_key(run: &DesignRun, hard: &[usize]) -> Vec<i64> {
    hard.iter()
        .map(|factor| match run.coded.0.get(*factor) {
            #[expect(
                clippy::cast_possible_truncation,
                reason = "coded settings are small numbers; beyond, they saturate"
            )]
            Some(Value::Number(x)) => (x * 1e9).round() as i64,
            Some(Value::Level(level)) => i64::try_from(*level).unwrap_or(i64::MAX),
            None => -1,
        })
        .collect()
}

fn has_equal_settings(one: &CodedPoint, other: &CodedPoint, factors: &[usize]) -> bool {
    factors
        .iter()
        .all(|factor| match (one.0.get(*factor), other.0.get(*factor)) {
            (Some(Value::Number(a)), Some(Value::Number(b))) => (a - b).abs() < 1e-12,
            (a, b) => a == b,
        })
}

fn shuffled(blocks: &[Vec<SetUp>], request: &DesignRequest, index: u32) -> Vec<SetUp> {
    let mut stream = RandomStream::new(request.seed, Purpose::RunOrder, index);
    let mut order = Vec::new();
    for set_ups in blocks {
        let mut set_ups = set_ups.clone();
        stream.shuffle(&mut set_ups);
        for set_up in &mut set_ups {
            stream.shuffle(set_up);
        }
        order.append(&mut set_ups);
    }
    order
}

/// The trial order with the smallest largest correlation of a main effect with the place in the order; the first one
/// of equals.
fn trend_balanced(
    space: &FactorSpace,
    request: &DesignRequest,
    runs: &[DesignRun],
    blocks: &[Vec<SetUp>],
) -> Vec<SetUp> {
    let columns: Vec<Vec<f64>> = space
        .factors()
        .iter()
        .enumerate()
        .flat_map(|(index, factor)| main_effect_columns(factor, index, runs))
        .collect();
    let mut best = (f64::INFINITY, Vec::new());
    for trial in 0..N_TRIAL_ORDERS {
        let order = shuffled(blocks, request, trial);
        let sequence = order.concat();
        let worst = columns
            .iter()
            .map(|column| trend(&sequence, column))
            .fold(0.0, f64::max);
        if worst < best.0 {
            best = (worst, order);
        }
    }
    best.1
}

/// The coded column of a number, or one column that marks each level of a category.
fn main_effect_columns(factor: &Factor, index: usize, runs: &[DesignRun]) -> Vec<Vec<f64>> {
    let marks: Vec<Option<usize>> = match factor.kind() {
        FactorKind::Categorical { levels } => (0..levels.len()).map(Some).collect(),
        FactorKind::Continuous { .. } | FactorKind::Discrete { .. } => vec![None],
    };
    marks
        .into_iter()
        .map(|mark| {
            runs.iter()
                .map(|run| match (run.coded.0.get(index), mark) {
                    (Some(Value::Number(x)), None) => *x,
                    (Some(Value::Level(level)), Some(mark)) if *level == mark => 1.0,
                    _ => 0.0,
                })
                .collect()
        })
        .collect()
}

/// Absolute correlation of a column with the place in the order; 0 for a constant column.
pub(crate) fn trend(sequence: &[usize], column: &[f64]) -> f64 {
    let n = sequence.len() as f64;
    let mean = column.iter().sum::<f64>() / n;
    let middle = 0.5 * (n - 1.0);
    let (mut cross, mut of_column, mut of_place) = (0.0, 0.0, 0.0);
    for (place, run) in sequence.iter().enumerate() {
        let (x, t) = (column[*run] - mean, place as f64 - middle);
        cross += x * t;
        of_column += x * x;
        of_place += t * t;
    }
    let product = of_column * of_place;
    if product > 0.0 {
        cross.abs() / product.sqrt()
    } else {
        0.0
    }
}

/// Inserts return runs first, last and evenly between, never inside a set-up.
fn insert_return_runs(
    space: &FactorSpace,
    n_return: usize,
    set_ups: &mut Vec<Vec<DesignRun>>,
) -> Result<(), DesignError> {
    let setting = return_setting(space)?;
    let n_runs: usize = set_ups.iter().map(Vec::len).sum();
    // Runs that stand before each boundary between set-ups.
    let mut boundaries = vec![0];
    for set_up in set_ups.iter() {
        let before = boundaries.last().copied().unwrap_or(0);
        boundaries.push(before + set_up.len());
    }
    let mut with_returns: Vec<Vec<DesignRun>> = Vec::with_capacity(set_ups.len() + n_return);
    let places: Vec<usize> = (0..n_return)
        .map(|index| nearest_boundary(&boundaries, index * n_runs, n_return - 1))
        .collect();
    let mut made = 0;
    for boundary in 0..boundaries.len() {
        while places.get(made) == Some(&boundary) {
            let neighbor = set_ups.get(boundary).or_else(|| set_ups.last());
            let block = neighbor.and_then(|set_up| set_up.first()?.block);
            made += 1;
            with_returns.push(vec![DesignRun {
                standard_order: n_runs + made,
                block,
                whole_plot: None,
                replicate: made,
                role: RunRole::Return,
                coded: setting.clone(),
            }]);
        }
        if let Some(set_up) = set_ups.get(boundary) {
            with_returns.push(set_up.clone());
        }
    }
    *set_ups = with_returns;
    Ok(())
}

/// Index of the boundary nearest to the place `numerator/denominator`, the earlier of two equally near.
fn nearest_boundary(boundaries: &[usize], numerator: usize, denominator: usize) -> usize {
    let distance = |boundary: usize| (boundary * denominator).abs_diff(numerator);
    let mut nearest = 0;
    for (index, boundary) in boundaries.iter().enumerate() {
        if distance(*boundary) < distance(boundaries[nearest]) {
            nearest = index;
        }
    }
    nearest
}

/// The middle of all numbers and the first level of each category, rounded to what can be set.
fn return_setting(space: &FactorSpace) -> Result<CodedPoint, DesignError> {
    let middle = space
        .factors()
        .iter()
        .map(|factor| {
            if factor.is_categorical() {
                Value::Level(0)
            } else {
                Value::Number(0.0)
            }
        })
        .collect();
    Ok(settable(space, &CodedPoint(middle))?)
}

/// Numbers the set-ups from 1 in run order, and notes those that repeat the settings of the one before.
fn number_set_ups(hard: &[usize], set_ups: &mut [Vec<DesignRun>], notes: &mut Vec<DesignNote>) {
    let mut to_reset = Vec::new();
    let mut previous: Option<CodedPoint> = None;
    for (index, set_up) in set_ups.iter_mut().enumerate() {
        for run in set_up.iter_mut() {
            run.whole_plot = Some(index + 1);
        }
        let settings = set_up.first().map(|run| run.coded.clone());
        if let (Some(before), Some(now)) = (&previous, &settings)
            && has_equal_settings(before, now, hard)
        {
            to_reset.push(index + 1);
        }
        previous = settings;
    }
    notes.push(DesignNote::SetUps {
        n_set_ups: set_ups.len(),
        n_runs: set_ups.iter().map(Vec::len).sum(),
    });
    if !to_reset.is_empty() {
        notes.push(DesignNote::SetUpsToReset { set_ups: to_reset });
    }
}
