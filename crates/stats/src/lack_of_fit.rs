//! Lack of fit against pure error: does the model miss more than replicates scatter?
//!
//! Replicates are runs with the same setting of every factor that varies, in the model or not, in the same block.
//! Grouping by the model's factors alone would count the effect of a factor left out as pure error. Both sums are made
//! from residuals: those of a group's mean for lack of fit, those within groups for pure error, so that they add up to
//! the residual sum of squares without any difference of large numbers.
//!
//! Source: Draper & Smith, Applied Regression Analysis (3rd ed. 1998), section 2.1.

use crate::distributions::FisherF;
use crate::error::{FitError, StatsError};
use crate::factor::{CodedPoint, FactorKind, FactorSpace, Value};
use crate::least_squares::LeastSquares;
use crate::model::Blocks;
use crate::undefined::{Known, Undefined};

/// Coded settings closer than this are the same setting.
pub const SAME_SETTING: f64 = 1e-9;

/// Which runs are replicates of each other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReplicateGroups {
    of_run: Vec<usize>,
    n_groups: usize,
}

impl ReplicateGroups {
    /// Groups runs whose coded settings differ by at most `tolerance` in every factor and whose block is the same.
    ///
    /// # Errors
    /// [`StatsError::WrongLength`] unless there is one block a run.
    pub fn within(
        points: &[CodedPoint],
        blocks: Option<&Blocks>,
        tolerance: f64,
    ) -> Result<Self, StatsError> {
        Self::by(points, blocks, |one, other| {
            same_settings(one, other, |_, a, b| (a - b).abs() <= tolerance)
        })
    }

    /// Groups runs whose settings agree to half the settable step of each factor (to [`SAME_SETTING`] where there is no
    /// step): for settings as they were really run.
    ///
    /// # Errors
    /// As [`ReplicateGroups::within`].
    pub fn within_steps(
        space: &FactorSpace,
        points: &[CodedPoint],
        blocks: Option<&Blocks>,
    ) -> Result<Self, StatsError> {
        Self::by(points, blocks, |one, other| {
            same_settings(one, other, |factor, a, b| {
                (a - b).abs() <= SAME_SETTING || within_half_step(space, factor, a, b)
            })
        })
    }

    fn by(
        points: &[CodedPoint],
        blocks: Option<&Blocks>,
        same: impl Fn(&CodedPoint, &CodedPoint) -> bool,
    ) -> Result<Self, StatsError> {
        if let Some(blocks) = blocks.filter(|blocks| blocks.of_run.len() != points.len()) {
            return Err(StatsError::WrongLength {
                expected: points.len(),
                found: blocks.of_run.len(),
            });
        }
        let block_of = |run: usize| blocks.and_then(|blocks| blocks.of_run.get(run));
        let mut firsts: Vec<usize> = Vec::new();
        let of_run = points
            .iter()
            .enumerate()
            .map(|(run, point)| {
                let known = firsts.iter().position(|first| {
                    block_of(*first) == block_of(run) && same(&points[*first], point)
                });
                known.unwrap_or_else(|| {
                    firsts.push(run);
                    firsts.len() - 1
                })
            })
            .collect();
        Ok(Self {
            of_run,
            n_groups: firsts.len(),
        })
    }

    /// 0-based group of each run, numbered in the order of first appearance.
    pub fn of_run(&self) -> &[usize] {
        &self.of_run
    }

    /// Number of groups.
    pub const fn n_groups(&self) -> usize {
        self.n_groups
    }
}

fn same_settings(
    one: &CodedPoint,
    other: &CodedPoint,
    close: impl Fn(usize, f64, f64) -> bool,
) -> bool {
    one.0.len() == other.0.len()
        && one
            .0
            .iter()
            .zip(&other.0)
            .enumerate()
            .all(|(factor, pair)| match pair {
                (Value::Number(a), Value::Number(b)) => close(factor, *a, *b),
                (Value::Level(a), Value::Level(b)) => a == b,
                (Value::Number(_), Value::Level(_)) | (Value::Level(_), Value::Number(_)) => false,
            })
}

fn within_half_step(space: &FactorSpace, factor: usize, a: f64, b: f64) -> bool {
    let Some(factor) = space.factors().get(factor) else {
        return false;
    };
    let FactorKind::Continuous {
        step: Some(step), ..
    } = factor.kind()
    else {
        return false;
    };
    match (
        factor.decode(Value::Number(a)),
        factor.decode(Value::Number(b)),
    ) {
        (Ok(Value::Number(a)), Ok(Value::Number(b))) => {
            // Half a step itself still counts, whatever its rounding.
            (a - b).abs() <= 0.5 * step * (1.0 + SAME_SETTING)
        }
        _ => false,
    }
}

/// A sum of squares with its degrees of freedom.
#[derive(Debug, Clone, PartialEq)]
pub struct SquaresOfPart {
    /// Degrees of freedom.
    pub df: usize,
    /// Sum of squares.
    pub sum_of_squares: Known<f64>,
    /// Sum of squares over df.
    pub mean_square: Known<f64>,
}

/// The residual split into lack of fit and pure error.
#[derive(Debug, Clone, PartialEq)]
pub struct LackOfFit {
    /// What the model misses: df = groups − rank.
    pub lack_of_fit: SquaresOfPart,
    /// What replicates scatter: df = runs − groups.
    pub pure_error: SquaresOfPart,
    /// Ratio of the mean squares.
    pub f: Known<f64>,
    /// Probability of a larger ratio if nothing is missing.
    pub p: Known<f64>,
}

impl LeastSquares {
    /// Splits the residual sum of squares by replicates. `groups` covers all rows of the model matrix.
    ///
    /// # Errors
    /// [`FitError::CompanionLength`] unless there is one group a row.
    pub fn lack_of_fit(&self, groups: &ReplicateGroups) -> Result<LackOfFit, FitError> {
        self.check_companion("replicate groups", groups.of_run.len())?;
        let members = self.members(groups);
        let pure_df = self.n_runs() - members.len();
        // Fewer groups than coefficients: a wide tolerance has merged runs that the model tells apart.
        let missing_df = members.len().checked_sub(self.rank());
        let Some(missing_df) = missing_df.filter(|_| pure_df > 0) else {
            return Ok(LackOfFit::without_replicates(self.error_df()));
        };
        let (between, within) = members
            .iter()
            .map(|runs| self.split_group(runs))
            .fold((0.0, 0.0), |sum, part| (sum.0 + part.0, sum.1 + part.1));
        let between = if missing_df == 0 { 0.0 } else { between };
        let f = if missing_df == 0 {
            Err(Undefined::NoLackOfFitDf)
        } else if self.is_rounding(within) {
            Err(Undefined::NoPureErrorScatter)
        } else {
            Ok((between / missing_df as f64) / (within / pure_df as f64))
        };
        let p = f.clone().and_then(|f| {
            let distribution = FisherF::new(missing_df as f64, pure_df as f64).ok();
            let distribution = distribution.ok_or(Undefined::NoLackOfFitDf)?;
            Ok(distribution.sf(f))
        });
        Ok(LackOfFit {
            lack_of_fit: SquaresOfPart::new(missing_df, between, Undefined::NoLackOfFitDf),
            pure_error: SquaresOfPart::new(pure_df, within, Undefined::NoReplicate),
            f,
            p,
        })
    }

    /// The used runs of each group that has any, as positions among the used runs.
    fn members(&self, groups: &ReplicateGroups) -> Vec<Vec<usize>> {
        let mut members = vec![Vec::new(); groups.n_groups];
        for (position, row) in self.rows.iter().enumerate() {
            members[groups.of_run[*row]].push(position);
        }
        members.retain(|runs| !runs.is_empty());
        members
    }

    /// Weighted squares of one group: of its mean residual, and about it.
    fn split_group(&self, runs: &[usize]) -> (f64, f64) {
        let weight_of = |run: usize| self.weights().map_or(1.0, |weights| weights[run]);
        let Some(first) = runs.first().map(|run| self.residuals()[*run]) else {
            return (0.0, 0.0);
        };
        // About the first residual, so that equal replicates give exactly zero.
        let deviations = || {
            runs.iter()
                .map(|run| (self.residuals()[*run] - first, weight_of(*run)))
        };
        let total_weight: f64 = runs.iter().map(|run| weight_of(*run)).sum();
        let mean = deviations().map(|(d, w)| d * w).sum::<f64>() / total_weight;
        let within = deviations().map(|(d, w)| w * (d - mean) * (d - mean)).sum();
        let center = first + mean;
        (total_weight * center * center, within)
    }

    pub(crate) fn check_companion(&self, what: &'static str, found: usize) -> Result<(), FitError> {
        let expected = self.rows().len() + self.left_out().len();
        if found == expected {
            Ok(())
        } else {
            Err(FitError::CompanionLength {
                what,
                expected,
                found,
            })
        }
    }
}

impl LackOfFit {
    const fn without_replicates(error_df: usize) -> Self {
        Self {
            lack_of_fit: SquaresOfPart::without_replicates(error_df),
            pure_error: SquaresOfPart::without_replicates(0),
            f: Err(Undefined::NoReplicate),
            p: Err(Undefined::NoReplicate),
        }
    }
}

impl SquaresOfPart {
    fn new(df: usize, squares: f64, without_df: Undefined) -> Self {
        Self {
            df,
            sum_of_squares: Ok(squares),
            mean_square: if df == 0 {
                Err(without_df)
            } else {
                Ok(squares / df as f64)
            },
        }
    }

    const fn without_replicates(df: usize) -> Self {
        Self {
            df,
            sum_of_squares: Err(Undefined::NoReplicate),
            mean_square: Err(Undefined::NoReplicate),
        }
    }
}
