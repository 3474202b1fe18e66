//! Lattice rules: Latin hypercubes whose columns are multiples of the run number modulo n or n + 1.
//!
//! Rank-one lattices with the multipliers 1, g, g², … (Korobov 1959, Dokl. Akad. Nauk SSSR 124, 1207–1210). Many of
//! the best known maximin plans of two and three factors are of this kind or one exchange away.

/// Largest number of runs for which all multipliers are tried (own choice: 40 million distances).
const MAX_RUNS: usize = 200;

/// Replaces the chosen columns by the lattice with the greatest smallest distance, if there is one.
pub(crate) fn replace_by_best_lattice(
    levels: &mut [Vec<usize>],
    is_chosen: impl Fn(usize) -> bool,
    n_runs: usize,
) {
    let chosen: Vec<usize> = (0..levels.len())
        .filter(|column| is_chosen(*column))
        .collect();
    if chosen.len() < 2 || n_runs > MAX_RUNS {
        return;
    }
    let mut best: Option<(usize, Vec<Vec<usize>>)> = None;
    for modulus in [n_runs, n_runs + 1] {
        for multiplier in (2..modulus).filter(|g| greatest_common_divisor(*g, modulus) == 1) {
            let lattice = lattice(chosen.len(), n_runs, modulus, multiplier);
            let distance = min_squared_distance(&lattice, n_runs);
            if best.as_ref().is_none_or(|(known, _)| distance > *known) {
                best = Some((distance, lattice));
            }
        }
    }
    if let Some((_, lattice)) = best {
        for (column, replacement) in chosen.into_iter().zip(lattice) {
            levels[column] = replacement;
        }
    }
}

/// Columns `i·gʲ mod m`; with m = n + 1 the run numbers start at 1 and the levels are one less.
fn lattice(n_columns: usize, n_runs: usize, modulus: usize, multiplier: usize) -> Vec<Vec<usize>> {
    let offset = modulus - n_runs;
    let mut power = 1;
    (0..n_columns)
        .map(|_| {
            let column = (offset..n_runs + offset)
                .map(|run| run * power % modulus - offset)
                .collect();
            power = power * multiplier % modulus;
            column
        })
        .collect()
}

fn min_squared_distance(columns: &[Vec<usize>], n_runs: usize) -> usize {
    let mut least = usize::MAX;
    for one in 0..n_runs {
        for other in one + 1..n_runs {
            let distance = columns
                .iter()
                .map(|column| column[one].abs_diff(column[other]).pow(2))
                .sum();
            least = least.min(distance);
        }
    }
    least
}

const fn greatest_common_divisor(one: usize, other: usize) -> usize {
    let (mut a, mut b) = (one, other);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lattice_columns_are_permutations() {
        for n_runs in 2..40 {
            let mut levels: Vec<Vec<usize>> = (0..3).map(|_| (0..n_runs).collect()).collect();
            replace_by_best_lattice(&mut levels, |_| true, n_runs);
            for mut column in levels {
                column.sort_unstable();
                assert_eq!(column, (0..n_runs).collect::<Vec<_>>());
            }
        }
    }

    #[test]
    fn the_lattice_of_a_few_runs_is_the_best_of_all_rules() {
        // By hand, five runs of two factors: (0, 0), (1, 2), (2, 4), (3, 1), (4, 3), smallest squared distance 5; the
        // same plan is proved optimal by van Dam, Husslage, den Hertog & Melissen (2007), Oper. Res. 55, 158–169.
        let mut levels = vec![(0..5).collect(), (0..5).collect()];
        replace_by_best_lattice(&mut levels, |_| true, 5);
        assert_eq!(min_squared_distance(&levels, 5), 5);
    }
}
