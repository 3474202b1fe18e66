//! Improving a plan run by run: coordinates move along the whole range of a factor, whole runs move inside a region.

use super::gain_profile::{GainProfile, gain_of_setting};
use super::information::{Image, Information};
use super::model_rows::ModelRows;
use crate::design::{RandomStream, listed_settings};
use crate::factor::{CodedPoint, FactorSpace, Value};

/// Most passes over all runs.
const MAX_PASSES: usize = 200;
/// Places along a coordinate that are tried where the best of all cannot run.
const PLACES: [f64; 9] = [-1.0, -0.75, -0.5, -0.25, 0.0, 0.25, 0.5, 0.75, 1.0];
/// Random moves of a whole run inside a region, a visit, at each of some step lengths.
const STEPS: [f64; 6] = [0.6, 0.3, 0.15, 0.08, 0.04, 0.02];
/// What holds the place of runs that are not there yet.
const RIDGE: f64 = 1e-4;
/// Least growth of the determinant of an exchange: less would leave nothing but rounding.
const LEAST_RATIO: f64 = 1e-8;

/// How far an improvement is driven.
#[derive(Debug, Clone, Copy)]
pub(super) struct Effort {
    /// Relative gain below which an exchange is not worth while.
    pub(super) least_gain: f64,
    /// Halvings of the way to the boundary of the region.
    pub(super) n_halvings: usize,
    /// Rounds of random moves of each run inside a region, a visit.
    pub(super) n_rounds: usize,
}

/// What does not change during a search.
pub(super) struct Problem<'a> {
    pub(super) space: &'a FactorSpace,
    pub(super) rows: ModelRows,
    /// Rows of the runs that are there already.
    pub(super) kept: Vec<Vec<f64>>,
    /// What prediction variances are weighed with, unless the determinant counts.
    pub(super) weights: Option<Vec<f64>>,
    pub(super) is_feasible: Option<&'a (dyn Fn(&CodedPoint) -> bool + Sync)>,
    /// Settings of each factor that has only some.
    pub(super) listed: Vec<Option<Vec<Value>>>,
}

/// A plan at work.
#[derive(Debug, Clone)]
pub(super) struct Plan {
    pub(super) points: Vec<CodedPoint>,
    pub(super) rows: Vec<Vec<f64>>,
    pub(super) information: Information,
}

/// Space that visits of runs use again and again.
#[derive(Debug, Default)]
struct Scratch {
    leaving: Image,
    coming: Image,
    row: Vec<f64>,
    cofactors: Vec<f64>,
}

impl Problem<'_> {
    /// Settings of a factor if it has only some: lists, categories, and ends and middle of what is hard to change.
    pub(super) fn listed(space: &FactorSpace, few_levels: &[usize]) -> Vec<Option<Vec<Value>>> {
        let factors = space.factors().iter().enumerate();
        factors
            .map(|(factor, kind)| {
                let few = || {
                    let is_few = few_levels.contains(&factor);
                    is_few.then(|| [-1.0, 0.0, 1.0].map(Value::Number).to_vec())
                };
                listed_settings(kind).or_else(few)
            })
            .collect()
    }

    pub(super) fn contains(&self, point: &CodedPoint) -> bool {
        let is_feasible = self.is_feasible;
        is_feasible.is_none_or(|is_feasible| is_feasible(point))
    }

    /// A plan with its matrices; `None` if it does not tell all terms apart.
    pub(super) fn plan(&self, points: Vec<CodedPoint>) -> Option<Plan> {
        let rows: Vec<Vec<f64>> = points.iter().map(|point| self.rows.row(point)).collect();
        let information = self.information(&rows)?;
        Some(Plan {
            points,
            rows,
            information,
        })
    }

    fn information(&self, rows: &[Vec<f64>]) -> Option<Information> {
        let all = rows.iter().chain(&self.kept).map(Vec::as_slice);
        Information::of(all, self.rows.n_columns(), self.weights.as_deref())
    }

    /// Forms the matrices anew, without the rounding of many updates; false if the runs do not tell all terms apart.
    pub(super) fn refresh(&self, plan: &mut Plan) -> bool {
        let anew = self.information(&plan.rows);
        let is_whole = anew.is_some();
        if let Some(information) = anew {
            plan.information = information;
        }
        is_whole
    }

    /// Relative advantage of one plan over another, positive if it is better; of determinants that of one factor among as many
    /// as there are coefficients, to first order.
    pub(super) fn advantage(&self, one: &Information, other: &Information) -> f64 {
        match (one.trace(), other.trace()) {
            (Some(one), Some(other)) => other / one - 1.0,
            _ => (one.determinant() / other.determinant() - 1.0) / self.rows.n_columns() as f64,
        }
    }

    /// Puts another run in the place of one; false if hardly anything could be estimated then.
    pub(super) fn put(&self, plan: &mut Plan, run: usize, point: CodedPoint) -> bool {
        let mut scratch = Scratch::default();
        plan.information
            .look_at(&plan.rows[run], &mut scratch.leaving);
        let here = std::mem::replace(&mut plan.points[run], point);
        let is_in = self.take_in(plan, run, &mut scratch);
        if !is_in {
            plan.points[run] = here;
        }
        is_in
    }

    /// A plan put together place by place: each new run where the variance of the prediction is greatest; `None` if these
    /// places do not tell all terms apart.
    pub(super) fn put_together(
        &self,
        n_runs: usize,
        grid: &[CodedPoint],
        spread: &[CodedPoint],
    ) -> Option<Plan> {
        let p = self.rows.n_columns();
        let ridge: Vec<Vec<f64>> = (0..p)
            .map(|column| {
                let mut row = vec![0.0; p];
                row[column] = RIDGE;
                row
            })
            .collect();
        let mut points: Vec<CodedPoint> = Vec::new();
        let mut rows: Vec<Vec<f64>> = self.kept.clone();
        while points.len() < n_runs {
            let all = rows.iter().chain(&ridge).map(Vec::as_slice);
            let information = Information::of(all, p, None)?;
            let farthest = grid
                .iter()
                .chain(spread)
                .map(|point| (point, information.form(&self.rows.row(point))))
                .reduce(|best, next| if next.1 > best.1 { next } else { best })?;
            rows.push(self.rows.row(farthest.0));
            points.push(farthest.0.clone());
        }
        self.plan(points)
    }

    /// Moves runs until no move helps.
    pub(super) fn improve(&self, plan: &mut Plan, effort: Effort, stream: &mut RandomStream) {
        // With squares only a ratio of quartics is met, and short arrays are fast.
        if self.rows.max_exponent() <= 2 {
            self.improve_by::<5>(plan, effort, stream);
        } else {
            self.improve_by::<41>(plan, effort, stream);
        }
    }

    fn improve_by<const N: usize>(
        &self,
        plan: &mut Plan,
        effort: Effort,
        stream: &mut RandomStream,
    ) {
        let mut scratch = Scratch::default();
        let n_runs = plan.points.len();
        let mut n_unmoved = 0;
        for visit in 0..MAX_PASSES * n_runs {
            let run = visit % n_runs;
            if self.visit::<N>(plan, run, effort, stream, &mut scratch) {
                n_unmoved = 0;
            } else {
                n_unmoved += 1;
            }
            if n_unmoved >= n_runs {
                break;
            }
        }
    }

    /// Moves one run along each factor and, inside a region, as a whole; true if it moved.
    fn visit<const N: usize>(
        &self,
        plan: &mut Plan,
        run: usize,
        effort: Effort,
        stream: &mut RandomStream,
        scratch: &mut Scratch,
    ) -> bool {
        plan.information
            .look_at(&plan.rows[run], &mut scratch.leaving);
        let mut has_moved = false;
        for factor in 0..self.space.n_factors() {
            let best = if self.listed[factor].is_some() {
                self.best_listed(plan, (run, factor), effort, scratch)
            } else {
                self.best_on_line::<N>(plan, (run, factor), effort, scratch)
            };
            if let Some(value) = best {
                let here = std::mem::replace(&mut plan.points[run].0[factor], value);
                if self.take_in(plan, run, scratch) {
                    has_moved = true;
                } else {
                    plan.points[run].0[factor] = here;
                }
            }
        }
        if self.is_feasible.is_some() {
            for _ in 0..effort.n_rounds {
                has_moved |= self.wander(plan, run, effort, stream, scratch);
            }
        }
        has_moved
    }

    /// Takes the setting of a run into the matrices, in the place of the row that `scratch.leaving` shows; false if hardly
    /// anything could be estimated then.
    fn take_in(&self, plan: &mut Plan, run: usize, scratch: &mut Scratch) -> bool {
        self.rows.fill(&plan.points[run], &mut plan.rows[run]);
        let (leaving, coming) = (&mut scratch.leaving, &mut scratch.coming);
        plan.information.look_at(&plan.rows[run], coming);
        let ratio = plan.information.forms(leaving, coming).ratio(leaving);
        if ratio.is_nan() || ratio < LEAST_RATIO {
            plan.rows[run].copy_from_slice(&leaving.row);
            return false;
        }
        plan.information.exchange(leaving, coming);
        plan.information.look_at(&plan.rows[run], leaving);
        true
    }

    fn best_listed(
        &self,
        plan: &Plan,
        (run, factor): (usize, usize),
        effort: Effort,
        scratch: &Scratch,
    ) -> Option<Value> {
        let here = &plan.points[run];
        let mut point = here.clone();
        let mut best = (effort.least_gain, None);
        for value in self.listed[factor].iter().flatten() {
            if *value == here.0[factor] {
                continue;
            }
            let gain = gain_of_setting(
                &plan.information,
                &self.rows,
                &scratch.leaving,
                here,
                factor,
                *value,
            );
            point.0[factor] = *value;
            if gain > best.0 && self.contains(&point) {
                best = (gain, Some(*value));
            }
        }
        best.1
    }

    fn best_on_line<const N: usize>(
        &self,
        plan: &Plan,
        (run, factor): (usize, usize),
        effort: Effort,
        scratch: &mut Scratch,
    ) -> Option<Value> {
        let here = &plan.points[run];
        let Value::Number(from) = here.0[factor] else {
            return None;
        };
        let parts = self.rows.along(factor);
        scratch.cofactors.clear();
        let cofactors = parts.iter().map(|part| self.rows.cofactor(part, here));
        scratch.cofactors.extend(cofactors);
        let profile = GainProfile::<N>::new(
            &plan.information,
            &scratch.leaving,
            parts,
            &scratch.cofactors,
            from,
        );
        let (x, gain) = profile.greatest();
        if gain.is_nan() || gain <= effort.least_gain {
            return None;
        }
        let mut point = here.clone();
        if self.is_feasible.is_none() || self.contains(put(&mut point, factor, x)) {
            return Some(Value::Number(x));
        }
        // On the way to the best place, and among places all over the range.
        let mut best = (effort.least_gain, None);
        let mut consider = |x: f64| {
            let gain = profile.at(x);
            if gain > best.0 {
                best = (gain, Some(x));
            }
        };
        consider(self.last_feasible(&mut point, factor, (from, x), effort.n_halvings));
        let mut places = PLACES.map(|place| (profile.at(place), place));
        places.sort_by(|one, other| other.0.total_cmp(&one.0));
        let useful = places
            .into_iter()
            .take_while(|(gain, _)| *gain > effort.least_gain);
        let first = useful
            .map(|(_, place)| place)
            .find(|place| self.contains(put(&mut point, factor, *place)));
        if let Some(place) = first {
            consider(place);
            consider(self.last_feasible(&mut point, factor, (place, x), effort.n_halvings));
        }
        best.1.map(Value::Number)
    }

    /// The last feasible setting found on the way from a feasible one to one that is not.
    fn last_feasible(
        &self,
        point: &mut CodedPoint,
        factor: usize,
        way: (f64, f64),
        n_halvings: usize,
    ) -> f64 {
        let (mut inside, mut outside) = way;
        for _ in 0..n_halvings {
            let middle = f64::midpoint(inside, outside);
            if self.contains(put(point, factor, middle)) {
                inside = middle;
            } else {
                outside = middle;
            }
        }
        inside
    }

    /// Tries random moves of a whole run, long ones first; true if it moved.
    fn wander(
        &self,
        plan: &mut Plan,
        run: usize,
        effort: Effort,
        stream: &mut RandomStream,
        scratch: &mut Scratch,
    ) -> bool {
        let mut has_moved = false;
        for step in STEPS {
            let mut point = plan.points[run].clone();
            for (value, listed) in point.0.iter_mut().zip(&self.listed) {
                if let (Value::Number(x), None) = (value, listed) {
                    *x = (*x + step * (2.0 * stream.unit() - 1.0)).clamp(-1.0, 1.0);
                }
            }
            scratch.row.resize(self.rows.n_columns(), 0.0);
            self.rows.fill(&point, &mut scratch.row);
            if Self::gain(plan, scratch) > effort.least_gain && self.contains(&point) {
                let here = std::mem::replace(&mut plan.points[run], point);
                if self.take_in(plan, run, scratch) {
                    has_moved = true;
                } else {
                    plan.points[run] = here;
                }
            }
        }
        has_moved
    }

    /// Gain of the row in `scratch.row` over the one that leaves.
    fn gain(plan: &Plan, scratch: &mut Scratch) -> f64 {
        let (leaving, coming) = (&scratch.leaving, &mut scratch.coming);
        plan.information.look_at(&scratch.row, coming);
        let forms = plan.information.forms(leaving, coming);
        let ratio = forms.ratio(leaving);
        match plan.information.trace() {
            None => ratio - 1.0,
            Some(trace) if ratio > LEAST_RATIO => forms.fall(leaving) / ratio / trace,
            Some(_) => f64::NEG_INFINITY,
        }
    }
}

fn put(point: &mut CodedPoint, factor: usize, x: f64) -> &CodedPoint {
    point.0[factor] = Value::Number(x);
    point
}
