//! Lines of equal value over a grid: marching squares with linear interpolation along cell edges.
//!
//! Method: Lorensen & Cline (1987), "Marching cubes", Computer Graphics 21(4), 163–169, reduced to two dimensions
//! (common practice). A saddle cell is split by the mean of its four corners. Cells with a missing corner are left out,
//! so a line ends open where the grid is not known. Along a cell edge the error of linear interpolation is at most
//! h²·max|f″|/8 in the value (Abramowitz & Stegun 1964, eq 25.2.3, two points).

use std::collections::BTreeMap;

/// Values over a rectangular grid of two settings.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// Positions of the columns, in the unit of the setting across, increasing.
    pub xs: Vec<f64>,
    /// Positions of the rows, in the unit of the setting up, increasing.
    pub ys: Vec<f64>,
    /// `xs.len() * ys.len()` values, row by row from the lowest `y`; not-a-number where unknown or not feasible.
    pub values: Vec<f64>,
}

impl Grid {
    /// A grid filled by `f(x, y)`.
    pub fn sample(xs: Vec<f64>, ys: Vec<f64>, mut f: impl FnMut(f64, f64) -> f64) -> Self {
        let mut values = Vec::with_capacity(xs.len() * ys.len());
        for &y in &ys {
            for &x in &xs {
                values.push(f(x, y));
            }
        }
        Self { xs, ys, values }
    }

    /// The value at column `i`, row `j`; `None` where it is missing, not finite or outside.
    pub fn at(&self, i: usize, j: usize) -> Option<f64> {
        if i >= self.xs.len() || j >= self.ys.len() {
            return None;
        }
        self.values
            .get(j * self.xs.len() + i)
            .copied()
            .filter(|v| v.is_finite())
    }

    /// The value at a place between grid points, linear in both directions; `None` outside the grid or beside a
    /// missing corner.
    pub fn interpolate(&self, x: f64, y: f64) -> Option<f64> {
        let (i, u) = cell_of(&self.xs, x)?;
        let (j, v) = cell_of(&self.ys, y)?;
        let low = lerp(self.at(i, j)?, self.at(i + 1, j)?, u);
        let high = lerp(self.at(i, j + 1)?, self.at(i + 1, j + 1)?, u);
        Some(lerp(low, high, v))
    }

    /// Smallest and largest known value; `None` when nothing is known.
    pub fn range(&self) -> Option<(f64, f64)> {
        self.values
            .iter()
            .filter(|v| v.is_finite())
            .fold(None, |range, &v| {
                Some(range.map_or((v, v), |(low, high): (f64, f64)| (low.min(v), high.max(v))))
            })
    }
}

/// One line of equal value: its points in data units, joined in order; closed when first and last are equal.
pub type Isoline = Vec<[f64; 2]>;

/// All lines on which the grid has the value `level`.
///
/// Lines are returned in a fixed order (by the first grid edge they cross), each point on a grid edge.
pub fn isolines(grid: &Grid, level: f64) -> Vec<Isoline> {
    if !level.is_finite() {
        return Vec::new();
    }
    let mut links: BTreeMap<Edge, Vec<Edge>> = BTreeMap::new();
    for j in 0..grid.ys.len().saturating_sub(1) {
        for i in 0..grid.xs.len().saturating_sub(1) {
            for (a, b) in cell_segments(grid, level, i, j).into_iter().flatten() {
                links.entry(a).or_default().push(b);
                links.entry(b).or_default().push(a);
            }
        }
    }
    join(links)
        .into_iter()
        .map(|edges| {
            edges
                .iter()
                .filter_map(|edge| crossing(grid, level, *edge))
                .collect()
        })
        .collect()
}

/// A grid edge: from point (i, j) to the next column (`Across`) or the next row (`Up`).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Edge {
    Across(usize, usize),
    Up(usize, usize),
}

/// Up to two segments of the line through cell (i, j), each between two of its edges.
fn cell_segments(grid: &Grid, level: f64, i: usize, j: usize) -> [Option<(Edge, Edge)>; 2] {
    let corners = [
        grid.at(i, j),
        grid.at(i + 1, j),
        grid.at(i + 1, j + 1),
        grid.at(i, j + 1),
    ];
    let [Some(a), Some(b), Some(c), Some(d)] = corners else {
        return [None, None];
    };
    let (bottom, right, top, left) = (
        Edge::Across(i, j),
        Edge::Up(i + 1, j),
        Edge::Across(i, j + 1),
        Edge::Up(i, j),
    );
    let above = [a, b, c, d].map(|v| v >= level);
    let center_is_above = (a + b + c + d) / 4.0 >= level;
    match above {
        [true, true, true, true] | [false, false, false, false] => [None, None],
        [true, false, false, false] | [false, true, true, true] => [Some((left, bottom)), None],
        [false, true, false, false] | [true, false, true, true] => [Some((bottom, right)), None],
        [false, false, true, false] | [true, true, false, true] => [Some((right, top)), None],
        [false, false, false, true] | [true, true, true, false] => [Some((top, left)), None],
        [true, true, false, false] | [false, false, true, true] => [Some((left, right)), None],
        [true, false, false, true] | [false, true, true, false] => [Some((bottom, top)), None],
        [true, false, true, false] if center_is_above => [Some((bottom, right)), Some((top, left))],
        [false, true, false, true] if !center_is_above => {
            [Some((bottom, right)), Some((top, left))]
        }
        [true, false, true, false] | [false, true, false, true] => {
            [Some((left, bottom)), Some((right, top))]
        }
    }
}

/// Strings linked edges together: open lines first from their ends, then closed ones.
fn join(mut links: BTreeMap<Edge, Vec<Edge>>) -> Vec<Vec<Edge>> {
    let ends: Vec<Edge> = links
        .iter()
        .filter(|(_, next)| next.len() == 1)
        .map(|(edge, _)| *edge)
        .collect();
    let mut lines = Vec::new();
    for start in ends {
        if links.get(&start).is_some_and(|next| !next.is_empty()) {
            lines.push(walk(&mut links, start));
        }
    }
    while let Some(start) = links
        .iter()
        .find(|(_, next)| !next.is_empty())
        .map(|(edge, _)| *edge)
    {
        lines.push(walk(&mut links, start));
    }
    lines
}

fn walk(links: &mut BTreeMap<Edge, Vec<Edge>>, start: Edge) -> Vec<Edge> {
    let mut line = vec![start];
    let mut here = start;
    while let Some(next) = links.get_mut(&here).and_then(Vec::pop) {
        if let Some(back) = links.get_mut(&next)
            && let Some(k) = back.iter().position(|edge| *edge == here)
        {
            back.swap_remove(k);
        }
        line.push(next);
        here = next;
    }
    line
}

/// Where `level` is met on an edge, by linear interpolation.
fn crossing(grid: &Grid, level: f64, edge: Edge) -> Option<[f64; 2]> {
    let ((i0, j0), (i1, j1)) = match edge {
        Edge::Across(i, j) => ((i, j), (i + 1, j)),
        Edge::Up(i, j) => ((i, j), (i, j + 1)),
    };
    let (from, to) = (grid.at(i0, j0)?, grid.at(i1, j1)?);
    let fraction = (level - from) / (to - from);
    let fraction = if fraction.is_finite() {
        fraction.clamp(0.0, 1.0)
    } else {
        0.5
    };
    let x = lerp(*grid.xs.get(i0)?, *grid.xs.get(i1)?, fraction);
    let y = lerp(*grid.ys.get(j0)?, *grid.ys.get(j1)?, fraction);
    Some([x, y])
}

/// The cell of an increasing axis that holds `x`, and the place in it (0..=1).
fn cell_of(axis: &[f64], x: f64) -> Option<(usize, f64)> {
    let n_below = axis.partition_point(|&v| v <= x);
    let i = n_below.saturating_sub(1).min(axis.len().checked_sub(2)?);
    let (low, high) = (*axis.get(i)?, *axis.get(i + 1)?);
    (low <= x && x <= high && high > low).then(|| (i, (x - low) / (high - low)))
}

fn lerp(from: f64, to: f64, fraction: f64) -> f64 {
    from + (to - from) * fraction
}

/// The parts of `lines` on which `inside` is not negative, cut where it changes sign (linear in between).
///
/// `inside` is a signed value such as a margin; where it is unknown (`None`) nothing is kept.
pub fn clip_lines(lines: &[Isoline], inside: impl Fn([f64; 2]) -> Option<f64>) -> Vec<Isoline> {
    let mut kept = Vec::new();
    for line in lines {
        let values: Vec<Option<f64>> = line.iter().map(|p| inside(*p)).collect();
        let mut part: Isoline = Vec::new();
        for (k, (point, value)) in line.iter().zip(&values).enumerate() {
            let is_in = value.is_some_and(|v| v >= 0.0);
            if let Some(previous) = k.checked_sub(1)
                && let (Some(from), Some(to)) = (values.get(previous).copied().flatten(), *value)
                && (from >= 0.0) != (to >= 0.0)
                && let Some(last) = line.get(previous)
            {
                let fraction = from / (from - to);
                part.push([
                    lerp(last[0], point[0], fraction),
                    lerp(last[1], point[1], fraction),
                ]);
            }
            if is_in {
                part.push(*point);
            } else if !part.is_empty() {
                kept.push(std::mem::take(&mut part));
            }
        }
        kept.push(part);
    }
    kept.retain(|part| part.len() > 1);
    kept
}

/// Where to write a number on a line: the point half way along it and the direction there (radians), both in the
/// space of `place`, which maps data to the page.
///
/// `None` for lines shorter than `shortest` on the page.
pub fn label_place(
    line: &[[f64; 2]],
    shortest: f64,
    place: impl Fn([f64; 2]) -> [f64; 2],
) -> Option<([f64; 2], f64)> {
    let points: Vec<[f64; 2]> = line.iter().map(|p| place(*p)).collect();
    let length = |a: &[f64; 2], b: &[f64; 2]| (b[0] - a[0]).hypot(b[1] - a[1]);
    let total: f64 = points.windows(2).map(|w| length(&w[0], &w[1])).sum();
    if total < shortest || total <= 0.0 {
        return None;
    }
    let mut left = total / 2.0;
    for w in points.windows(2) {
        let step = length(&w[0], &w[1]);
        if step >= left && step > 0.0 {
            let fraction = left / step;
            let at = [
                lerp(w[0][0], w[1][0], fraction),
                lerp(w[0][1], w[1][1], fraction),
            ];
            return Some((at, (w[1][1] - w[0][1]).atan2(w[1][0] - w[0][0])));
        }
        left -= step;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steps(low: f64, high: f64, n: usize) -> Vec<f64> {
        (0..n)
            .map(|i| low + (high - low) * i as f64 / (n - 1) as f64)
            .collect()
    }

    #[test]
    fn a_plane_is_met_exactly() {
        // Linear interpolation is exact on a plane, so every point satisfies 2x + 3y = 1 to rounding.
        let grid = Grid::sample(steps(-1.0, 1.0, 12), steps(-1.0, 1.0, 9), |x, y| {
            2.0 * x + 3.0 * y
        });
        let lines = isolines(&grid, 1.0);
        assert_eq!(lines.len(), 1);
        for [x, y] in &lines[0] {
            assert!((2.0 * x + 3.0 * y - 1.0).abs() < 1e-12);
        }
        let ends = [lines[0][0], lines[0][lines[0].len() - 1]];
        for [x, y] in ends {
            assert!(
                x.abs() > 1.0 - 1e-9 || y.abs() > 1.0 - 1e-9,
                "an open line ends at the border"
            );
        }
    }

    #[test]
    fn a_quadratic_stays_within_the_interpolation_bound() {
        // Abramowitz & Stegun (1964), eq 25.2.3: two-point interpolation errs by at most h² max|f''| / 8.
        // Here f'' is 2 across and 6 up; the larger of h² f''/8 over both directions bounds the value error.
        let (nx, ny) = (41, 31);
        let grid = Grid::sample(steps(-2.0, 2.0, nx), steps(-1.0, 1.5, ny), |x, y| {
            x * x + 3.0 * y * y + x * y
        });
        let (hx, hy) = (4.0 / (nx as f64 - 1.0), 2.5 / (ny as f64 - 1.0));
        let bound = (hx * hx * 2.0 / 8.0).max(hy * hy * 6.0 / 8.0);
        let mut worst: f64 = 0.0;
        for level in [0.2, 1.0, 2.5, 4.0] {
            for line in isolines(&grid, level) {
                for [x, y] in line {
                    worst = worst.max((x * x + 3.0 * y * y + x * y - level).abs());
                }
            }
        }
        assert!(
            worst > 0.0 && worst <= bound,
            "worst {worst} against bound {bound}"
        );
    }

    #[test]
    fn a_circle_closes_and_has_its_length() {
        // Elementary geometry: circumference 2πr; a chord polygon with n > 60 corners is short by < (π/n)²/6 = 0.05 %.
        let grid = Grid::sample(steps(-1.0, 1.0, 61), steps(-1.0, 1.0, 61), |x, y| {
            x.hypot(y)
        });
        let lines = isolines(&grid, 0.6);
        assert_eq!(lines.len(), 1);
        let line = &lines[0];
        assert!((line[0][0] - line[line.len() - 1][0]).abs() < 1e-12);
        let length: f64 = line
            .windows(2)
            .map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]))
            .sum();
        let exact = 2.0 * std::f64::consts::PI * 0.6;
        assert!(
            (length - exact).abs() < 2e-3 * exact,
            "{length} against {exact}"
        );
    }

    #[test]
    fn a_saddle_splits_by_its_middle() {
        // Corners 1, 0, 1, 0 with mean 0.5: below the mean the high corners are joined, above it they are apart.
        let grid = Grid {
            xs: vec![0.0, 1.0],
            ys: vec![0.0, 1.0],
            values: vec![1.0, 0.0, 0.0, 1.0],
        };
        for (level, high_corners_joined) in [(0.4, true), (0.6, false)] {
            let lines = isolines(&grid, level);
            assert_eq!(lines.len(), 2);
            let cuts_origin = lines
                .iter()
                .any(|line| line.iter().all(|[x, y]| x + y < 1.0));
            assert_eq!(cuts_origin, !high_corners_joined);
        }
    }

    #[test]
    fn missing_values_leave_an_open_end() {
        let mut grid = Grid::sample(steps(0.0, 1.0, 11), steps(0.0, 1.0, 11), |_, y| y);
        for j in 0..11 {
            grid.values[j * 11 + 8] = f64::NAN;
        }
        let lines = isolines(&grid, 0.55);
        assert_eq!(lines.len(), 2);
        assert!(
            lines
                .iter()
                .flatten()
                .all(|[x, _]| *x <= 0.7 + 1e-12 || *x >= 0.9 - 1e-12)
        );
        assert_eq!(grid.interpolate(0.75, 0.5), None);
        assert!((grid.interpolate(0.33, 0.44).unwrap() - 0.44).abs() < 1e-12);
        assert_eq!(grid.interpolate(1.5, 0.5), None);
    }

    #[test]
    fn lines_are_cut_where_the_margin_changes_sign() {
        let line = vec![[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [3.0, 0.0]];
        // Inside where 0.5 <= x <= 2.5, by hand.
        let parts = clip_lines(&[line], |[x, _]| Some(1.0 - (x - 1.5).abs()));
        assert_eq!(parts.len(), 1);
        let xs: Vec<f64> = parts[0].iter().map(|p| p[0]).collect();
        assert!(
            xs.iter()
                .zip([0.5, 1.0, 2.0, 2.5])
                .all(|(x, y)| (x - y).abs() < 1e-12),
            "{xs:?}"
        );
        let apart = clip_lines(&[vec![[0.0, 0.0], [1.0, 0.0], [2.0, 0.0]]], |[x, _]| {
            Some((x - 1.0).abs() - 0.25)
        });
        assert_eq!(apart.len(), 2);
        assert!(clip_lines(&[vec![[0.0, 0.0], [1.0, 0.0]]], |_| None).is_empty());
    }

    #[test]
    fn degenerate_grids_give_nothing() {
        let empty = Grid {
            xs: vec![],
            ys: vec![],
            values: vec![],
        };
        assert!(isolines(&empty, 1.0).is_empty());
        assert_eq!(empty.range(), None);
        let short = Grid {
            xs: vec![0.0, 1.0],
            ys: vec![0.0, 1.0],
            values: vec![1.0],
        };
        assert!(isolines(&short, 0.5).is_empty());
        assert!(isolines(&short, f64::NAN).is_empty());
        let flat = Grid::sample(steps(0.0, 1.0, 4), steps(0.0, 1.0, 4), |_, _| 2.0);
        assert!(isolines(&flat, 2.0).is_empty());
    }

    #[test]
    fn a_label_sits_half_way_along_the_page() {
        let line = [[0.0, 0.0], [1.0, 0.0], [1.0, 3.0]];
        let (at, angle) = label_place(&line, 1.0, |[x, y]| [10.0 * x, 10.0 * y]).unwrap();
        assert!((at[0] - 10.0).abs() < 1e-9 && (at[1] - 10.0).abs() < 1e-9); // total 40, half 20: 10 across, 10 up
        assert!((angle - std::f64::consts::FRAC_PI_2).abs() < 1e-9);
        assert!(label_place(&line, 50.0, |p| [10.0 * p[0], 10.0 * p[1]]).is_none());
    }
}
