//! Central composite plans: a two-level factorial or fraction, axial points and centre runs, for a full quadratic
//! model (Box & Wilson 1951, J. R. Statist. Soc. B 13, 1–45; Box & Hunter 1957, Multi-factor experimental designs for
//! exploring response surfaces, Ann. Math. Statist. 28, 195–241; docs/methods.md, 3.7).
//!
//! Factors without a middle (categories, numbers with two levels) are crossed with the plan of the others.

use crate::design::assembly::{
    BasePlan, BasePoint, BlockLayout, crossed_levels, dealt_evenly, factors_with_middle,
};
use crate::design::blocking::{BlockWords, block_words};
use crate::design::catalogue::fractions_for;
use crate::design::fraction::{MAX_FACTORS, RegularFraction};
use crate::design::fractional_factorial::with_signs;
use crate::design::note::DesignNote;
use crate::design::{
    AxialDistance, CubePart, DesignError, DesignKind, DesignRequest, FamilyDetails, RunRole,
    generators,
};
use crate::factor::{CodedPoint, Factor, FactorSpace, Value};
use crate::model::ModelMatrix;
use crate::qr::{OrderedQr, SpreadAbout};
use crate::term::TermList;

/// Below this many factors a plan with axial points makes little sense (common practice).
const MIN_FACTORS: usize = 2;

/// Smallest resolution whose fraction lets all quadratic terms be estimated well (Box & Hunter 1957).
const RESOLUTION_FIVE: usize = 5;

/// Centre runs of orthogonally blocked plans: factors, factorial runs, factorial blocks, centre runs in each factorial
/// block, centre runs in the axial block. Table of Box & Hunter (1957), as in Myers & Montgomery, Response Surface
/// Methodology (from memory; the axial distances that follow from it agree with the printed ones to three decimals).
const BLOCKED_CENTRE_RUNS: [(usize, usize, usize, usize, usize); 8] = [
    (2, 4, 1, 3, 3),
    (3, 8, 2, 2, 2),
    (4, 16, 2, 2, 2),
    (5, 32, 4, 2, 4),
    (5, 16, 1, 6, 1),
    (6, 64, 8, 1, 6),
    (6, 32, 2, 4, 2),
    (7, 64, 8, 1, 4),
];

/// Centre runs of each block of one replicate.
#[derive(Debug, Clone, Copy)]
struct CentreRuns {
    in_factorial_block: usize,
    in_axial_block: usize,
}

/// The points of a circumscribed, face-centred or inscribed plan.
pub(crate) fn points(
    space: &FactorSpace,
    request: &DesignRequest,
) -> Result<BasePlan, DesignError> {
    let factors = factors_with_middle(space);
    if factors.len() < MIN_FACTORS {
        return Err(DesignError::TooFewFactors {
            kind: request.kind,
            need: MIN_FACTORS,
            have: factors.len(),
        });
    }
    let mut notes = Vec::new();
    let cube = cube_part(space, request, &factors, &mut notes)?;
    let (layout, words) = blocks(request, &cube)?;
    let centre = centre_runs(request, &cube, layout);
    let alpha = axial_distance(request, &cube, layout, centre)?;
    let ends = axial_ends(space, request, &factors, alpha, &mut notes)?;
    let crossed = crossed_levels(space, &factors, &mut notes)?;
    let n_points = cube.runs().len() + 2 * factors.len();
    super::assembly::check_number_of_runs(n_points.saturating_mul(crossed.len()))?;
    let mut points = Vec::new();
    for levels in &crossed {
        points.extend(cube_points(request, &cube, words.as_ref(), levels, alpha));
        points.extend(axial_points(levels, &ends, layout.inner.saturating_sub(1)));
    }
    check_estimable(space, &points)?;
    Ok(BasePlan {
        points,
        layout,
        n_centre_of_block: centre_of_blocks(request, layout, centre),
        is_block_balance_told: true,
        details: FamilyDetails {
            fraction: (!cube.words().is_empty()).then_some(cube),
            axial_distance: Some(alpha),
            search: None,
        },
        notes,
    })
}

/// The factorial part: the whole of it up to four factors, else the smallest fraction of resolution V, unless the
/// request says otherwise.
fn cube_part(
    space: &FactorSpace,
    request: &DesignRequest,
    factors: &[usize],
    notes: &mut Vec<DesignNote>,
) -> Result<RegularFraction, DesignError> {
    if space.n_factors() > MAX_FACTORS {
        return Err(DesignError::TooManyFactors {
            kind: request.kind,
            limit: MAX_FACTORS,
            have: space.n_factors(),
        });
    }
    let fraction = match (&request.generators, request.cube_part) {
        (Some(text), _) => {
            let chosen = generators::parse(text, space, factors)?;
            let n_generators = chosen.len();
            RegularFraction::new(factors.to_vec(), chosen)
                .ok_or(DesignError::TooManyGenerators { n_generators })?
        }
        (None, CubePart::Full) => whole_cube(factors),
        (None, CubePart::SmallestOfResolutionFive) if factors.len() < 5 => whole_cube(factors),
        (None, CubePart::SmallestOfResolutionFive) => resolution_five(request.kind, factors)?,
    };
    let n_basic = u32::try_from(fraction.basic_factors().len()).unwrap_or(u32::MAX);
    super::assembly::check_number_of_runs(1_usize.checked_shl(n_basic).unwrap_or(usize::MAX))?;
    if let Some(resolution) = fraction.resolution().filter(|r| *r < RESOLUTION_FIVE) {
        notes.push(DesignNote::SmallComposite { resolution });
    }
    Ok(fraction)
}

fn whole_cube(factors: &[usize]) -> RegularFraction {
    // No generators, so there is nothing to refuse.
    RegularFraction::full(factors.to_vec())
}

fn resolution_five(kind: DesignKind, factors: &[usize]) -> Result<RegularFraction, DesignError> {
    for entry in fractions_for(factors.len()) {
        let chosen = generators::parse_letters(entry.generators, factors)?;
        if let Some(fraction) = RegularFraction::new(factors.to_vec(), chosen)
            && fraction.resolution() >= Some(RESOLUTION_FIVE)
        {
            return Ok(fraction);
        }
    }
    Err(DesignError::TooManyFactors {
        kind,
        limit: 11,
        have: factors.len(),
    })
}

/// Blocks of the factorial part (no main effect or pair confounded) and one axial block.
fn blocks(
    request: &DesignRequest,
    cube: &RegularFraction,
) -> Result<(BlockLayout, Option<BlockWords>), DesignError> {
    let words_for = |n_blocks: usize| {
        let n_cube_blocks = n_blocks.saturating_sub(1);
        block_words(cube, n_cube_blocks).filter(BlockWords::spares_pairs)
    };
    let is_possible = |n_blocks: usize| n_blocks == 2 || words_for(n_blocks).is_some();
    let layout = BlockLayout::choose(request, is_possible, || {
        (0..cube.basic_factors().len())
            .map(|n_words| 1 + (1_usize << n_words))
            .filter(|n_blocks| is_possible(*n_blocks))
            .collect()
    })?;
    Ok((layout, words_for(layout.inner)))
}

/// Centre runs when none are asked for and there are no blocks: five for two factors, else six (common practice;
/// nearly uniform precision inside the region after Box & Hunter 1957).
const fn default_centre_runs(n_factors: usize) -> usize {
    if n_factors == 2 { 5 } else { 6 }
}

/// Centre runs of the blocks of one replicate (of the whole plan if replicates share blocks).
fn centre_runs(request: &DesignRequest, cube: &RegularFraction, layout: BlockLayout) -> CentreRuns {
    let n_cube_blocks = layout.inner.saturating_sub(1).max(1);
    let n_sharing = request.n_replicates / layout.n_copies(request.n_replicates);
    let from_table = BLOCKED_CENTRE_RUNS.iter().find(|row| {
        (row.0, row.1, row.2) == (cube.factors().len(), cube.runs().len(), n_cube_blocks)
    });
    match (request.n_centre, from_table) {
        (None, Some(row)) => CentreRuns {
            in_factorial_block: row.3 * n_sharing,
            in_axial_block: row.4 * n_sharing,
        },
        (asked, _) => {
            let total = asked.map_or_else(
                || default_centre_runs(cube.factors().len()) * n_sharing,
                |total| total / layout.n_copies(request.n_replicates),
            );
            let in_factorial_block = total / (n_cube_blocks + 1);
            CentreRuns {
                in_factorial_block,
                in_axial_block: total - in_factorial_block * n_cube_blocks,
            }
        }
    }
}

fn centre_of_blocks(
    request: &DesignRequest,
    layout: BlockLayout,
    centre: CentreRuns,
) -> Vec<usize> {
    let n_blocks = layout.n_blocks(request.n_replicates);
    if layout.inner == 1 {
        let n_copies = layout.n_copies(request.n_replicates);
        let total = request.n_centre.unwrap_or(0);
        return match request.n_centre {
            Some(_) => dealt_evenly(total, n_blocks),
            None => vec![centre.in_factorial_block + centre.in_axial_block; n_copies],
        };
    }
    let mut of_block: Vec<usize> = (0..n_blocks)
        .map(|block| {
            if (block + 1).is_multiple_of(layout.inner) {
                centre.in_axial_block
            } else {
                centre.in_factorial_block
            }
        })
        .collect();
    // What does not divide evenly among replicates goes to the first axial blocks.
    let left_over = request
        .n_centre
        .map_or(0, |total| total.saturating_sub(of_block.iter().sum()));
    for copy in 0..left_over {
        if let Some(n_centre) = of_block.get_mut((copy + 1) * layout.inner - 1) {
            *n_centre += 1;
        }
    }
    of_block
}

/// The coded distance of axial points from the middle (before an inscribed plan is shrunk).
fn axial_distance(
    request: &DesignRequest,
    cube: &RegularFraction,
    layout: BlockLayout,
    centre: CentreRuns,
) -> Result<f64, DesignError> {
    if request.kind == DesignKind::FaceCentred {
        return match request.axial_distance {
            None => Ok(1.0),
            Some(_) => Err(DesignError::OptionDoesNotApply {
                kind: request.kind,
                option: "axial distance",
            }),
        };
    }
    let default = if layout.inner > 1 {
        AxialDistance::OrthogonalBlocks
    } else {
        AxialDistance::Rotatable
    };
    let n_factors = cube.factors().len() as f64;
    let n_cube = cube.runs().len() as f64;
    let n_sharing = (request.n_replicates / layout.n_copies(request.n_replicates)) as f64;
    let n_cube_blocks = layout.inner.saturating_sub(1).max(1) as f64;
    let (c_f, c_a) = (
        centre.in_factorial_block as f64,
        centre.in_axial_block as f64,
    );
    let alpha = match request.axial_distance.unwrap_or(default) {
        AxialDistance::Rotatable => n_cube.sqrt().sqrt(),
        AxialDistance::Spherical => n_factors.sqrt(),
        // Box & Hunter (1957): squares uncorrelated after centring; all numbers for one replicate.
        AxialDistance::OrthogonalSquares => {
            let n_centre = (c_f * n_cube_blocks + c_a) / n_sharing;
            let n_all = n_cube + 2.0 * n_factors + n_centre;
            (0.5 * ((n_cube * n_all).sqrt() - n_cube)).sqrt()
        }
        // Box & Hunter (1957): equal mean squares of each factor in factorial and axial blocks.
        AxialDistance::OrthogonalBlocks => {
            let m = n_cube / n_cube_blocks;
            (m * (2.0 * n_factors * n_sharing + c_a) / (2.0 * (n_sharing * m + c_f))).sqrt()
        }
        AxialDistance::Coded(alpha) => alpha,
    };
    let needs_one = request.kind == DesignKind::Inscribed;
    if !alpha.is_finite() || alpha <= 0.0 || (needs_one && alpha < 1.0) {
        return Err(DesignError::BadAxialDistance { alpha, needs_one });
    }
    Ok(alpha)
}

/// Low and high coded place of the axial points of each factor: moved inwards to hard limits, noted outside the range.
fn axial_ends(
    space: &FactorSpace,
    request: &DesignRequest,
    factors: &[usize],
    alpha: f64,
    notes: &mut Vec<DesignNote>,
) -> Result<Vec<(usize, f64, f64)>, DesignError> {
    if !request.hard_limits.is_empty() && request.hard_limits.len() != space.n_factors() {
        return Err(DesignError::WrongLength {
            option: "hard limits",
            expected: space.n_factors(),
            found: request.hard_limits.len(),
        });
    }
    let reach = if request.kind == DesignKind::Inscribed {
        1.0
    } else {
        alpha
    };
    let mut ends = Vec::with_capacity(factors.len());
    for index in factors {
        let Some(factor) = space.factors().get(*index) else {
            continue;
        };
        let limits = request.hard_limits.get(*index).copied().flatten();
        let (low, high) = shrunk_to_limits(factor, limits, reach, notes)?;
        if reach > 1.0 {
            note_beyond_range(factor, low, high, notes)?;
        }
        ends.push((*index, low, high));
    }
    Ok(ends)
}

fn shrunk_to_limits(
    factor: &Factor,
    limits: Option<(f64, f64)>,
    reach: f64,
    notes: &mut Vec<DesignNote>,
) -> Result<(f64, f64), DesignError> {
    let Some((low, high)) = limits else {
        return Ok((-reach, reach));
    };
    let coded = |natural: f64, unlimited: f64| match factor.code(Value::Number(natural)) {
        Ok(Value::Number(x)) => x,
        // A limit at or below zero does not bind a factor on a log scale, an infinite one binds nothing.
        Ok(Value::Level(_)) | Err(_) => unlimited,
    };
    let (lowest, highest) = (coded(low, f64::NEG_INFINITY), coded(high, f64::INFINITY));
    if lowest > -1.0 + 1e-12 || highest < 1.0 - 1e-12 {
        return Err(DesignError::HardLimitInsideRange {
            factor: factor.name().to_owned(),
            low,
            high,
        });
    }
    let ends = (lowest.max(-reach), highest.min(reach));
    for (wanted, used) in [(-reach, ends.0), (reach, ends.1)] {
        if used.abs() < wanted.abs() {
            notes.push(DesignNote::AxialShrunk {
                factor: factor.name().to_owned(),
                wanted,
                used,
            });
        }
    }
    Ok(ends)
}

fn note_beyond_range(
    factor: &Factor,
    low: f64,
    high: f64,
    notes: &mut Vec<DesignNote>,
) -> Result<(), DesignError> {
    let natural = |coded: f64| match factor.decode(Value::Number(coded)) {
        Ok(Value::Number(u)) if u.is_finite() && (u > 0.0 || !factor.is_log()) => Ok(u),
        Ok(_) => Err(DesignError::SettingOutOfNumbers {
            factor: factor.name().to_owned(),
            coded,
        }),
        Err(error) => Err(error.into()),
    };
    let (lowest, highest) = (natural(low)?, natural(high)?);
    // A list has nothing beyond its ends: those points are rounded to the ends, which is noted.
    if factor.n_levels().is_some() {
        return Ok(());
    }
    notes.push(DesignNote::AxialBeyondRange {
        factor: factor.name().to_owned(),
        low: lowest,
        high: highest,
    });
    if lowest < 0.0 && factor.range().is_some_and(|(low, _)| low >= 0.0) {
        notes.push(DesignNote::AxialBelowZero {
            factor: factor.name().to_owned(),
            setting: lowest,
        });
    }
    Ok(())
}

fn cube_points(
    request: &DesignRequest,
    cube: &RegularFraction,
    words: Option<&BlockWords>,
    levels: &CodedPoint,
    alpha: f64,
) -> Vec<BasePoint> {
    cube.runs()
        .into_iter()
        .map(|minus| {
            let mut coded = with_signs(levels, cube, minus);
            if request.kind == DesignKind::Inscribed {
                for factor in cube.factors() {
                    if let Some(Value::Number(x)) = coded.0.get_mut(*factor) {
                        *x /= alpha;
                    }
                }
            }
            BasePoint {
                coded,
                role: RunRole::Plan,
                block: words.map_or(0, |words| words.block_of(minus)),
            }
        })
        .collect()
}

fn axial_points(levels: &CodedPoint, ends: &[(usize, f64, f64)], block: usize) -> Vec<BasePoint> {
    ends.iter()
        .flat_map(|(factor, low, high)| {
            [*low, *high].map(|place| {
                let mut coded = levels.clone();
                if let Some(value) = coded.0.get_mut(*factor) {
                    *value = Value::Number(place);
                }
                BasePoint {
                    coded,
                    role: RunRole::Axial,
                    block,
                }
            })
        })
        .collect()
}

/// Refuses a factorial part that leaves quadratic terms aliased (centre runs cannot help).
fn check_estimable(space: &FactorSpace, points: &[BasePoint]) -> Result<(), DesignError> {
    let mut runs: Vec<CodedPoint> = points.iter().map(|point| point.coded.clone()).collect();
    let numeric = factors_with_middle(space);
    if let Some(mut middle) = runs.first().cloned() {
        for factor in &numeric {
            if let Some(value) = middle.0.get_mut(*factor) {
                *value = Value::Number(0.0);
            }
        }
        runs.push(middle);
    }
    // Among the crossed factors' own products nothing new can depend: only the numbers' quadratic model is at stake.
    let terms: Vec<crate::term::Term> = TermList::quadratic(space)
        .terms()
        .iter()
        .filter(|term| {
            term.powers()
                .iter()
                .all(|(factor, _)| numeric.contains(factor))
        })
        .cloned()
        .collect();
    let model = ModelMatrix::new(space, &TermList::new(terms), &runs, None)?;
    let intercept = vec![1.0; runs.len()];
    let qr = OrderedQr::new(
        model.matrix().as_slice(),
        runs.len(),
        SpreadAbout::Mean(&intercept),
    );
    if qr.dependent().is_empty() {
        return Ok(());
    }
    Err(DesignError::QuadraticNotEstimable {
        terms: qr
            .dependent()
            .iter()
            .filter_map(|dependent| model.column_names().get(dependent.column).cloned())
            .collect(),
    })
}
