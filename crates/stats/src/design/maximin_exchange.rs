//! The exchange engine of the maximin search: two runs swap their entries of one column, and only their own distances
//! change (docs/methods.md, 3.10).
//!
//! All arithmetic is plain multiplication, addition and division in a fixed order, so that every machine finds the
//! same plan.

use crate::design::{Progress, RandomStream};

/// Between looks at the stop flag: well under a millisecond up to 500 runs.
const TRIALS_BETWEEN_LOOKS: usize = 1024;

/// Accepted exchanges after which sums are formed anew, so that rounding does not pile up.
const ACCEPTED_BETWEEN_REFRESHES: usize = 4096;

/// Sums are formed anew as well when the potential falls below this share of what it was: what is left of the former
/// large terms would be their rounding.
const REFRESH_SHARE: f64 = 1e-3;

/// Added to squared distances, as a share of the scale, so that equal runs have a finite potential.
const DISTANCE_FLOOR: f64 = 1e-3;

/// Share of trials that begin with the run that is most crowded, and that swap neighboring levels (chosen by trial).
const CROWDED_SHARE: f64 = 0.25;
const NEIGHBOR_SHARE: f64 = 0.7;

/// One column of the plan.
#[derive(Debug, Clone)]
pub(crate) struct Column {
    /// Where each run stands: on the scale 0…n−1, or the level number of a category.
    pub(crate) positions: Vec<f64>,
    /// Squared distance of two different levels of a category; `None` for numbers.
    pub(crate) category_distance: Option<f64>,
}

impl Column {
    /// Squared distance of two runs in this column.
    pub(crate) fn between(&self, one: usize, other: usize) -> f64 {
        self.squared_distance(self.positions[one], self.positions[other])
    }

    fn squared_distance(&self, one: f64, other: f64) -> f64 {
        match self.category_distance {
            None => (one - other) * (one - other),
            Some(apart) => {
                if (one - other).abs() < 0.5 {
                    0.0
                } else {
                    apart
                }
            }
        }
    }
}

/// How a start goes about it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Schedule {
    /// Exchanges that are tried.
    pub(crate) n_trials: usize,
    /// The exponent p of Σ (scale/d²)ᵖ.
    pub(crate) sharpness: Sharpness,
    /// Largest relative worsening that is accepted at the beginning: part that falls with the third power of the
    /// remaining share of trials, and part that falls linearly.
    pub(crate) thresholds: (f64, f64),
}

/// Exponents for which the potential is a few multiplications.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sharpness {
    Eight,
    Sixteen,
    ThirtyTwo,
}

/// The best plan of a start.
#[derive(Debug, Clone)]
pub(crate) struct Improved {
    /// For each column the run whose first entry now stands in each run.
    pub(crate) origins: Vec<Vec<usize>>,
    /// False if it was stopped.
    pub(crate) is_complete: bool,
}

/// Improves a plan by exchanges.
pub(crate) fn improve(
    columns: Vec<Column>,
    schedule: Schedule,
    stream: &mut RandomStream,
    progress: &Progress<'_>,
) -> Improved {
    let exchange = Exchange::new(columns);
    match schedule.sharpness {
        Sharpness::Eight => exchange.improve::<8>(schedule, stream, progress),
        Sharpness::Sixteen => exchange.improve::<16>(schedule, stream, progress),
        Sharpness::ThirtyTwo => exchange.improve::<32>(schedule, stream, progress),
    }
}

struct Exchange {
    n_runs: usize,
    columns: Vec<Column>,
    /// Run whose first entry stands here now, column by column.
    origins: Vec<Vec<usize>>,
    /// Runs in the order of their positions, and the place of each run in that order, column by column.
    ranked: Vec<Vec<usize>>,
    ranks: Vec<Vec<usize>>,
    /// Squared distances plus the floor, n × n; infinite on the diagonal.
    distances: Vec<f64>,
    /// Potential of each run: Σ over the others.
    crowding: Vec<f64>,
    potential: f64,
    scale: f64,
    most_crowded: usize,
}

/// `(scale/d)^P` for P = 8, 16, 32.
#[inline]
fn pair_potential<const P: u32>(scale: f64, distance: f64) -> f64 {
    let ratio = scale / distance;
    let second = ratio * ratio;
    let fourth = second * second;
    let eighth = fourth * fourth;
    match P {
        8 => eighth,
        16 => eighth * eighth,
        _ => {
            let sixteenth = eighth * eighth;
            sixteenth * sixteenth
        }
    }
}

impl Exchange {
    fn new(columns: Vec<Column>) -> Self {
        let n_runs = columns.first().map_or(0, |column| column.positions.len());
        let origins = vec![(0..n_runs).collect(); columns.len()];
        let mut ranked = Vec::with_capacity(columns.len());
        let mut ranks = Vec::with_capacity(columns.len());
        for column in &columns {
            let mut order: Vec<usize> = (0..n_runs).collect();
            order.sort_by(|one, other| column.positions[*one].total_cmp(&column.positions[*other]));
            let mut rank = vec![0; n_runs];
            for (place, run) in order.iter().enumerate() {
                rank[*run] = place;
            }
            ranked.push(order);
            ranks.push(rank);
        }
        // Half the mean squared distance of random plans: potentials stay near 1 for good ones.
        let scale = (n_runs * (n_runs + 1) * columns.len()) as f64 / 12.0;
        Self {
            n_runs,
            columns,
            origins,
            ranked,
            ranks,
            distances: vec![0.0; n_runs * n_runs],
            crowding: vec![0.0; n_runs],
            potential: 0.0,
            scale: scale.max(1.0),
            most_crowded: 0,
        }
    }

    /// Forms all sums anew.
    fn refresh<const P: u32>(&mut self) {
        let n = self.n_runs;
        let floor = DISTANCE_FLOOR * self.scale;
        for one in 0..n {
            for other in 0..n {
                self.distances[one * n + other] = if one == other {
                    f64::INFINITY
                } else {
                    let apart: f64 = self
                        .columns
                        .iter()
                        .map(|column| {
                            column.squared_distance(column.positions[one], column.positions[other])
                        })
                        .sum();
                    apart + floor
                };
            }
        }
        let scale = self.scale;
        for (crowding, row) in self.crowding.iter_mut().zip(self.distances.chunks_exact(n)) {
            *crowding = row
                .iter()
                .map(|distance| pair_potential::<P>(scale, *distance))
                .sum();
        }
        self.potential = 0.5 * self.crowding.iter().sum::<f64>();
        self.find_most_crowded();
    }

    fn find_most_crowded(&mut self) {
        let mut most = f64::NEG_INFINITY;
        for (run, crowding) in self.crowding.iter().enumerate() {
            if *crowding > most {
                most = *crowding;
                self.most_crowded = run;
            }
        }
    }

    fn min_distance(&self) -> f64 {
        self.distances.iter().copied().fold(f64::INFINITY, f64::min)
    }

    fn improve<const P: u32>(
        mut self,
        schedule: Schedule,
        stream: &mut RandomStream,
        progress: &Progress<'_>,
    ) -> Improved {
        self.refresh::<P>();
        let mut best = Best::of(&self);
        let mut is_complete = true;
        let mut n_accepted = 0;
        let mut at_refresh = self.potential;
        for trial in 0..schedule.n_trials {
            if trial % TRIALS_BETWEEN_LOOKS == 0 && progress.is_stopped() {
                is_complete = false;
                break;
            }
            let left = 1.0 - trial as f64 / schedule.n_trials as f64;
            let (cubic, linear) = schedule.thresholds;
            let threshold = cubic * left * left * left + linear * left;
            let (column, one, other) = self.candidate(stream);
            if one == other {
                continue;
            }
            let (new, apart) = self.potential_after::<P>(column, one, other);
            let between = pair_potential::<P>(self.scale, apart);
            let old = self.crowding[one] + self.crowding[other] - 2.0 * between;
            let potential = self.potential + new - old;
            if potential > self.potential * (1.0 + threshold * stream.unit()) {
                continue;
            }
            self.exchange::<P>(column, one, other);
            self.potential = potential;
            n_accepted += 1;
            if n_accepted % ACCEPTED_BETWEEN_REFRESHES == 0
                || potential < REFRESH_SHARE * at_refresh
            {
                self.refresh::<P>();
                at_refresh = self.potential;
            }
            at_refresh = at_refresh.max(self.potential);
            self.find_most_crowded();
            best.keep(&self);
        }
        Improved {
            origins: best.origins,
            is_complete,
        }
    }

    /// A column and two runs; equal runs mean that nothing is tried.
    fn candidate(&self, stream: &mut RandomStream) -> (usize, usize, usize) {
        let column = stream.below(self.columns.len());
        let one = if stream.unit() < CROWDED_SHARE {
            self.most_crowded
        } else {
            stream.below(self.n_runs)
        };
        let positions = &self.columns[column].positions;
        let other = if stream.unit() < NEIGHBOR_SHARE {
            let rank = self.ranks[column][one];
            let is_up = rank == 0 || (rank + 1 < self.n_runs && stream.bits() & 1 == 0);
            self.ranked[column][if is_up { rank + 1 } else { rank - 1 }]
        } else {
            stream.below(self.n_runs)
        };
        if (positions[one] - positions[other]).abs() < f64::EPSILON {
            (column, one, one)
        } else {
            (column, one, other)
        }
    }

    /// Potential of two runs with all others after their exchange, and their own distance, which stays.
    fn potential_after<const P: u32>(
        &mut self,
        column: usize,
        one: usize,
        other: usize,
    ) -> (f64, f64) {
        let n = self.n_runs;
        let apart = self.distances[one * n + other];
        // An infinite distance has no potential: the pair itself and the diagonal drop out of the sums.
        self.distances[one * n + other] = f64::INFINITY;
        self.distances[other * n + one] = f64::INFINITY;
        let own = &self.columns[column];
        let of_one = &self.distances[one * n..(one + 1) * n];
        let of_other = &self.distances[other * n..(other + 1) * n];
        let (from, to) = (own.positions[one], own.positions[other]);
        let new = match own.category_distance {
            None => numbers_after::<P>(of_one, of_other, &own.positions, (from, to), self.scale),
            Some(_) => own
                .positions
                .iter()
                .zip(of_one.iter().zip(of_other))
                .map(|(position, (d_one, d_other))| {
                    let change =
                        own.squared_distance(to, *position) - own.squared_distance(from, *position);
                    pair_potential::<P>(self.scale, d_one + change)
                        + pair_potential::<P>(self.scale, d_other - change)
                })
                .sum(),
        };
        self.distances[one * n + other] = apart;
        self.distances[other * n + one] = apart;
        (new, apart)
    }

    /// Makes the exchange and updates distances and crowding (the potential is the caller's).
    fn exchange<const P: u32>(&mut self, column: usize, one: usize, other: usize) {
        let n = self.n_runs;
        let scale = self.scale;
        let own = &self.columns[column];
        let (from, to) = (own.positions[one], own.positions[other]);
        let between = pair_potential::<P>(scale, self.distances[one * n + other]);
        let (mut sum_one, mut sum_other) = (between, between);
        for run in (0..n).filter(|run| *run != one && *run != other) {
            let position = own.positions[run];
            let change = own.squared_distance(to, position) - own.squared_distance(from, position);
            let before = (
                self.distances[one * n + run],
                self.distances[other * n + run],
            );
            let after = (before.0 + change, before.1 - change);
            let of_one = pair_potential::<P>(scale, after.0);
            let of_other = pair_potential::<P>(scale, after.1);
            self.crowding[run] += of_one + of_other
                - pair_potential::<P>(scale, before.0)
                - pair_potential::<P>(scale, before.1);
            sum_one += of_one;
            sum_other += of_other;
            self.distances[one * n + run] = after.0;
            self.distances[run * n + one] = after.0;
            self.distances[other * n + run] = after.1;
            self.distances[run * n + other] = after.1;
        }
        self.crowding[one] = sum_one;
        self.crowding[other] = sum_other;
        self.columns[column].positions.swap(one, other);
        self.origins[column].swap(one, other);
        let (rank_one, rank_other) = (self.ranks[column][one], self.ranks[column][other]);
        self.ranked[column].swap(rank_one, rank_other);
        self.ranks[column].swap(one, other);
    }
}

/// The sum over all runs for a column of numbers; four running sums let the processor work on several at once, in an
/// order that is the same everywhere.
fn numbers_after<const P: u32>(
    of_one: &[f64],
    of_other: &[f64],
    positions: &[f64],
    (from, to): (f64, f64),
    scale: f64,
) -> f64 {
    let (difference, sum) = (to - from, to + from);
    let pair = |position: f64, d_one: f64, d_other: f64| {
        // (to − x)² − (from − x)²
        let change = difference * (sum - 2.0 * position);
        pair_potential::<P>(scale, d_one + change) + pair_potential::<P>(scale, d_other - change)
    };
    let mut sums = [0.0; 4];
    let (x_chunks, x_rest) = positions.as_chunks::<4>();
    let (one_chunks, one_rest) = of_one.as_chunks::<4>();
    let (other_chunks, other_rest) = of_other.as_chunks::<4>();
    for (x, (d_one, d_other)) in x_chunks.iter().zip(one_chunks.iter().zip(other_chunks)) {
        for lane in 0..4 {
            sums[lane] += pair(x[lane], d_one[lane], d_other[lane]);
        }
    }
    for (x, (d_one, d_other)) in x_rest.iter().zip(one_rest.iter().zip(other_rest)) {
        sums[0] += pair(*x, *d_one, *d_other);
    }
    (sums[0] + sums[1]) + (sums[2] + sums[3])
}

/// The best plan so far: greatest smallest distance, then smallest potential.
struct Best {
    min_distance: f64,
    potential: f64,
    origins: Vec<Vec<usize>>,
}

impl Best {
    fn of(exchange: &Exchange) -> Self {
        Self {
            min_distance: exchange.min_distance(),
            potential: exchange.potential,
            origins: exchange.origins.clone(),
        }
    }

    /// Looks at the distances only when the potential is a new best, because that is what costs.
    fn keep(&mut self, exchange: &Exchange) {
        if exchange.potential >= self.potential {
            return;
        }
        self.potential = exchange.potential;
        let min_distance = exchange.min_distance();
        // Rounding of running distances is far below this.
        if min_distance > self.min_distance * (1.0 - 1e-9) {
            self.min_distance = min_distance;
            self.origins.clone_from(&exchange.origins);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::design::{Purpose, Seed};

    fn sharp(exchange: &mut Exchange) -> (Vec<f64>, Vec<f64>, f64) {
        exchange.refresh::<16>();
        (
            exchange.distances.clone(),
            exchange.crowding.clone(),
            exchange.potential,
        )
    }

    #[test]
    fn updated_distances_and_potential_equal_those_formed_anew() {
        // Definition: after any exchanges the running numbers must be those of the plan itself; and every column stays
        // a rearrangement of its entries.
        let mut stream = RandomStream::new(Seed(3), Purpose::LatinHypercube, 0);
        let number = |stream: &mut RandomStream| Column {
            positions: stream.permutation(11).iter().map(|l| *l as f64).collect(),
            category_distance: None,
        };
        let columns = vec![
            number(&mut stream),
            number(&mut stream),
            Column {
                positions: (0..11_u8).map(|run| f64::from(run % 3)).collect(),
                category_distance: Some(22.0),
            },
        ];
        let first = columns.clone();
        let mut exchange = Exchange::new(columns);
        exchange.refresh::<16>();
        let mut n_made = 0;
        while n_made < 300 {
            let (column, one, other) = exchange.candidate(&mut stream);
            if one == other {
                continue;
            }
            let (new, apart) = exchange.potential_after::<16>(column, one, other);
            let between = pair_potential::<16>(exchange.scale, apart);
            let old = exchange.crowding[one] + exchange.crowding[other] - 2.0 * between;
            exchange.potential += new - old;
            exchange.exchange::<16>(column, one, other);
            n_made += 1;
            let running = (
                exchange.distances.clone(),
                exchange.crowding.clone(),
                exchange.potential,
            );
            let anew = sharp(&mut exchange);
            for (a, b) in running.0.iter().zip(&anew.0) {
                assert!((a - b).abs() < 1e-9 || a.is_infinite() && b.is_infinite());
            }
            assert!((running.2 - anew.2).abs() <= 1e-9 * old.max(anew.2));
            for (column, before) in exchange.columns.iter().zip(&first) {
                let sorted = |positions: &[f64]| {
                    let mut sorted = positions.to_vec();
                    sorted.sort_by(f64::total_cmp);
                    sorted
                };
                assert_eq!(sorted(&column.positions), sorted(&before.positions));
            }
            for (column, (origins, before)) in exchange
                .columns
                .iter()
                .zip(exchange.origins.iter().zip(&first))
            {
                for (run, origin) in origins.iter().enumerate() {
                    assert!((column.positions[run] - before.positions[*origin]).abs() < 1e-15);
                }
            }
        }
    }
}
