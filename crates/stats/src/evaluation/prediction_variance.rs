//! Prediction variance before any run: `v(x) = f(x)' M⁻¹ f(x)`, in units of the variance of a single run.

use crate::error::StatsError;
use crate::evaluation::orthonormal::OrthonormalRows;
use crate::evaluation::region::Region;
use crate::evaluation::set_ups::SetUps;
use crate::factor::{CodedPoint, FactorSpace};
use crate::model::{Blocks, ModelMatrix};
use crate::qr::{OrderedQr, SpreadAbout, dot};
use crate::term::TermList;
use crate::undefined::{Known, Undefined};

/// Local maxima that are climbed to (docs/methods.md, 4.1).
const N_CLIMBS: usize = 10;

/// Sobol points among which climbs begin (docs/methods.md, 4.1).
const N_START_POINTS: usize = 4000;

/// Points of a profile (docs/methods.md, 4.6).
const N_PROFILE_POINTS: usize = 41;

/// The prediction variance of a plan as a function of the setting.
#[derive(Debug, Clone)]
pub struct PredictionVariance {
    space: FactorSpace,
    rows: OrthonormalRows,
    /// Factor of the plan's rows in orthonormal coding, whitened for set-ups.
    qr: OrderedQr,
}

/// A place and the prediction variance there.
#[derive(Debug, Clone, PartialEq)]
pub struct VarianceAt {
    /// The setting, coded.
    pub point: CodedPoint,
    /// Prediction variance.
    pub variance: f64,
}

impl PredictionVariance {
    /// The prediction variance of these terms after these runs, averaged over blocks.
    ///
    /// # Errors
    /// As [`ModelMatrix::new`].
    pub fn new(
        space: &FactorSpace,
        terms: &TermList,
        points: &[CodedPoint],
        blocks: Option<&Blocks>,
    ) -> Result<Self, StatsError> {
        Self::with_set_ups(space, terms, points, blocks, None)
    }

    pub(crate) fn with_set_ups(
        space: &FactorSpace,
        terms: &TermList,
        points: &[CodedPoint],
        blocks: Option<&Blocks>,
        set_ups: Option<&SetUps>,
    ) -> Result<Self, StatsError> {
        // Checks points, blocks and terms.
        ModelMatrix::new(space, terms, points, blocks)?;
        let rows = OrthonormalRows::new(space, terms, blocks)?;
        let mut matrix = rows.matrix(points, blocks);
        if let Some(set_ups) = set_ups {
            set_ups.whiten(&mut matrix);
        }
        let intercept: Vec<f64> = matrix
            .column_iter()
            .next()
            .map_or_else(Vec::new, |column| column.iter().copied().collect());
        let spread = if terms.has_intercept() {
            SpreadAbout::Mean(&intercept)
        } else {
            SpreadAbout::Zero
        };
        let qr = OrderedQr::new(matrix.as_slice(), points.len(), spread);
        Ok(Self {
            space: space.clone(),
            rows,
            qr,
        })
    }

    /// Number of model columns, blocks included.
    pub fn n_columns(&self) -> usize {
        self.rows.n_columns()
    }

    /// Number of columns that can be estimated.
    pub const fn rank(&self) -> usize {
        self.qr.rank()
    }

    /// `ln |M|`.
    ///
    /// # Errors
    /// [`Undefined::Aliased`] if a column depends on others.
    pub fn ln_determinant(&self) -> Known<f64> {
        self.full_rank()?;
        Ok(self.qr.ln_determinant())
    }

    /// `tr M⁻¹`.
    ///
    /// # Errors
    /// As [`PredictionVariance::ln_determinant`].
    pub fn trace_of_inverse(&self) -> Known<f64> {
        self.full_rank()?;
        Ok(self.qr.r_inverse().iter().map(|x| x * x).sum())
    }

    /// The variance at one setting.
    ///
    /// # Errors
    /// [`Undefined::Aliased`] if a column depends on others; [`Undefined::DoesNotApply`] if the point has another number
    /// of settings than there are factors.
    pub fn at(&self, point: &CodedPoint) -> Known<f64> {
        self.full_rank()?;
        if point.0.len() != self.space.n_factors() {
            return Err(Undefined::DoesNotApply);
        }
        Ok(self.value(point))
    }

    /// Variances along one factor, the others held where `through` has them: 41 settings of a range (or the list, or
    /// the levels), those that do not pass the test left out.
    ///
    /// # Errors
    /// As [`PredictionVariance::at`].
    pub fn profile(
        &self,
        factor: usize,
        through: &CodedPoint,
        is_feasible: Option<&dyn Fn(&CodedPoint) -> bool>,
    ) -> Known<Vec<VarianceAt>> {
        self.at(through)?;
        let along = self
            .space
            .factors()
            .get(factor)
            .ok_or(Undefined::DoesNotApply)?;
        let settings = crate::design::listed_settings(along).unwrap_or_else(|| {
            let last = (N_PROFILE_POINTS - 1) as f64;
            (0..N_PROFILE_POINTS)
                .map(|place| crate::factor::Value::Number((2.0 * place as f64 - last) / last))
                .collect()
        });
        let region = self.region(is_feasible);
        Ok(settings
            .into_iter()
            .map(|setting| {
                let mut point = through.clone();
                if let Some(value) = point.0.get_mut(factor) {
                    *value = setting;
                }
                point
            })
            .filter(|point| region.contains(point))
            .map(|point| VarianceAt {
                variance: self.value(&point),
                point,
            })
            .collect())
    }

    /// The average over the whole region: exact, `tr(M⁻¹ M_R)`.
    ///
    /// # Errors
    /// As [`PredictionVariance::ln_determinant`].
    pub fn average(&self) -> Known<f64> {
        self.full_rank()?;
        let inverse = self.qr.r_inverse();
        let moments = self.rows.moments(&self.space);
        Ok((inverse.transpose() * moments * inverse).trace())
    }

    /// The greatest variance over the region and where it is: from ends, middles and Sobol points, then climbing from
    /// the best of them.
    ///
    /// # Errors
    /// As [`PredictionVariance::ln_determinant`]; [`Undefined::NoFeasiblePoint`] if nothing passes the test.
    pub fn greatest(&self, is_feasible: Option<&dyn Fn(&CodedPoint) -> bool>) -> Known<VarianceAt> {
        self.full_rank()?;
        let region = self.region(is_feasible);
        let mut starts = region.grid(true);
        if starts.is_empty() {
            starts = region.grid(false);
        }
        starts.extend(region.sample(N_START_POINTS));
        let mut valued: Vec<(f64, CodedPoint)> = starts
            .into_iter()
            .map(|point| (self.value(&point), point))
            .collect();
        valued.sort_by(|one, other| other.0.total_cmp(&one.0));
        valued
            .iter()
            .take(N_CLIMBS)
            .map(|(_, start)| region.climb(start, &|point| self.value(point)))
            // Of equals the first, so that the place does not depend on rounding of later ones.
            .reduce(|best, next| if next.1 > best.1 { next } else { best })
            .map(|(point, variance)| VarianceAt { point, variance })
            .ok_or(Undefined::NoFeasiblePoint)
    }

    /// Variances at the feasible ones of the first `n` Sobol points, as a curve over the share of the region.
    ///
    /// # Errors
    /// As [`PredictionVariance::greatest`].
    pub fn over_region(
        &self,
        n: usize,
        is_feasible: Option<&dyn Fn(&CodedPoint) -> bool>,
    ) -> Known<VarianceOverRegion> {
        self.full_rank()?;
        let mut sorted: Vec<f64> = self
            .region(is_feasible)
            .sample(n)
            .iter()
            .map(|point| self.value(point))
            .collect();
        if sorted.is_empty() {
            return Err(Undefined::NoFeasiblePoint);
        }
        sorted.sort_by(f64::total_cmp);
        Ok(VarianceOverRegion { sorted })
    }

    pub(crate) const fn region<'a>(
        &'a self,
        is_feasible: Option<&'a dyn Fn(&CodedPoint) -> bool>,
    ) -> Region<'a> {
        Region {
            space: &self.space,
            is_feasible,
        }
    }

    pub(crate) const fn space(&self) -> &FactorSpace {
        &self.space
    }

    fn full_rank(&self) -> Known<()> {
        if self.qr.rank() == self.rows.n_columns() && self.qr.rank() > 0 {
            Ok(())
        } else {
            Err(Undefined::Aliased)
        }
    }

    fn value(&self, point: &CodedPoint) -> f64 {
        let mut row = vec![0.0; self.rows.n_columns()];
        self.rows.fill(&point.0, None, &mut row);
        let z = self.qr.forward_substitute(&row);
        dot(&z, &z)
    }
}

/// Prediction variance against the share of the region where it is no greater (fraction of design space: Zahran,
/// Anderson-Cook & Myers 2003, J. Qual. Technol. 35, 377–386).
#[derive(Debug, Clone, PartialEq)]
pub struct VarianceOverRegion {
    sorted: Vec<f64>,
}

impl VarianceOverRegion {
    /// Variances at evenly spread points, ascending.
    pub fn sorted(&self) -> &[f64] {
        &self.sorted
    }

    /// The variance that this share of the region (0…1) does not exceed: number round(share · n) of the sorted ones.
    pub fn quantile(&self, share: f64) -> f64 {
        let n = self.sorted.len();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to the length of the list"
        )]
        let place = (share.clamp(0.0, 1.0) * n as f64).round() as usize;
        self.sorted[place.clamp(1, n) - 1]
    }

    /// Share of the region where the variance is at most this.
    pub fn share_up_to(&self, variance: f64) -> f64 {
        self.sorted.partition_point(|v| *v <= variance) as f64 / self.sorted.len() as f64
    }

    /// Mean over the points.
    pub fn mean(&self) -> f64 {
        self.sorted.iter().sum::<f64>() / self.sorted.len() as f64
    }
}
