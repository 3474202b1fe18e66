//! Regions of a grid: outlines of where a value is at least so much, bands of equal color, and hatching.
//!
//! A region is given by numbers on a grid, so that its edge can run between grid points; a mask of yes and no is a
//! grid of +1 and −1.

use std::collections::VecDeque;

use super::drawing::{Frame, Point, Step};
use super::isolines::{Grid, Isoline, isolines};

/// Closed outlines that together hold every place where the grid, linear between its points, is at least `level`.
///
/// Inside is where a ray crosses the outlines an odd number of times. Outlines follow the rim of the grid where the
/// region reaches it. Places beside an unknown value are left out.
pub fn region_at_least(grid: &Grid, level: f64) -> Vec<Isoline> {
    isolines(&with_rim(grid, level), level)
}

/// The grid with a rim of far lower values just outside, which closes every outline.
fn with_rim(grid: &Grid, level: f64) -> Grid {
    let (low, high) = grid.range().unwrap_or((level, level));
    let depth = (high - low)
        .max((level - low).abs())
        .max((high - level).abs())
        .max(f64::MIN_POSITIVE);
    let below = level - 1e6 * depth;
    let xs = stretched(&grid.xs);
    let ys = stretched(&grid.ys);
    let (n_columns, n_rows) = (grid.xs.len(), grid.ys.len());
    let mut values = Vec::with_capacity(xs.len() * ys.len());
    for j in 0..n_rows + 2 {
        for i in 0..n_columns + 2 {
            let is_rim = i == 0 || j == 0 || i == n_columns + 1 || j == n_rows + 1;
            values.push(if is_rim {
                below
            } else {
                grid.at(i - 1, j - 1).unwrap_or(f64::NAN)
            });
        }
    }
    Grid { xs, ys, values }
}

/// The axis with one more position at either end, closer than any page can show.
fn stretched(axis: &[f64]) -> Vec<f64> {
    let (Some(first), Some(last)) = (axis.first(), axis.last()) else {
        return Vec::new();
    };
    let reach = 1e-9 * (last - first).abs().max(f64::MIN_POSITIVE);
    std::iter::once(first - reach)
        .chain(axis.iter().copied())
        .chain(std::iter::once(last + reach))
        .collect()
}

/// The grid with every unknown value replaced by the nearest known one (in grid steps), so that colors reach under
/// whatever covers the unknown part. Stays as it is if nothing is known.
pub fn filled_up(grid: &Grid) -> Grid {
    let (n_columns, n_rows) = (grid.xs.len(), grid.ys.len());
    let mut values: Vec<Option<f64>> = (0..n_columns * n_rows)
        .map(|k| grid.at(k % n_columns, k / n_columns))
        .collect();
    let mut edge: VecDeque<usize> = (0..values.len())
        .filter(|k| values.get(*k).copied().flatten().is_some())
        .collect();
    while let Some(here) = edge.pop_front() {
        let value = values.get(here).copied().flatten();
        let (i, j) = (here % n_columns, here / n_columns);
        let beside = [
            (i > 0).then(|| here - 1),
            (i + 1 < n_columns).then_some(here + 1),
            (j > 0).then(|| here - n_columns),
            (j + 1 < n_rows).then_some(here + n_columns),
        ];
        for next in beside.into_iter().flatten() {
            if let Some(place) = values.get_mut(next)
                && place.is_none()
            {
                *place = value;
                edge.push_back(next);
            }
        }
    }
    Grid {
        values: values
            .into_iter()
            .map(|value| value.unwrap_or(f64::NAN))
            .collect(),
        ..grid.clone()
    }
}

/// Outlines as steps on the page.
pub fn outline_steps(outlines: &[Isoline], place: impl Fn(Point) -> Option<Point>) -> Vec<Step> {
    let mut steps = Vec::new();
    for outline in outlines {
        let points: Vec<Point> = outline.iter().filter_map(|point| place(*point)).collect();
        let corners = thinned(&points);
        if corners.len() < 3 {
            continue;
        }
        for (index, point) in corners.iter().enumerate() {
            steps.push(if index == 0 {
                Step::Move(*point)
            } else {
                Step::Line(*point)
            });
        }
        steps.push(Step::Close);
    }
    steps
}

/// Points of a line without those that lie within a tenth of a unit of the straight line between their neighbors
/// (Ramer 1972; Douglas & Peucker 1973).
pub fn thinned(points: &[Point]) -> Vec<Point> {
    const TOLERANCE: f64 = 0.1;
    let last = points.len().saturating_sub(1);
    let mut is_kept = vec![false; points.len()];
    let mut open = vec![(0, last)];
    while let Some((from, to)) = open.pop() {
        for end in [from, to] {
            if let Some(kept) = is_kept.get_mut(end) {
                *kept = true;
            }
        }
        let (Some(a), Some(b)) = (points.get(from), points.get(to)) else {
            continue;
        };
        let between = points.iter().enumerate().take(to).skip(from + 1);
        let farthest = between
            .map(|(index, point)| (index, off_line(*point, *a, *b)))
            .max_by(|(_, one), (_, other)| one.total_cmp(other));
        if let Some((index, distance)) = farthest
            && distance > TOLERANCE
        {
            open.extend([(from, index), (index, to)]);
        }
    }
    points
        .iter()
        .zip(is_kept)
        .filter(|(_, kept)| *kept)
        .map(|(point, _)| *point)
        .collect()
}

/// Distance of a point from the line through two others, or from the one point if they are the same.
fn off_line(point: Point, from: Point, to: Point) -> f64 {
    let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
    let length = dx.hypot(dy);
    let (px, py) = (point[0] - from[0], point[1] - from[1]);
    if length > 0.0 {
        (dx * py - dy * px).abs() / length
    } else {
        px.hypot(py)
    }
}

/// Distance at which a hatch line looks whether it is inside, in figure units.
const LOOK: f64 = 1.5;

/// Lines of 45°, rising to the right and fixed to the page, inside a region of a rectangle.
///
/// `inside` gives a number that is positive inside the region; the lines end where it passes zero, found by linear
/// interpolation. `pitch` is the distance between lines, square to them.
pub fn hatch(frame: &Frame, pitch: f64, inside: impl Fn(Point) -> f64) -> Vec<Step> {
    let mut steps = Vec::new();
    if frame.width <= 0.0
        || frame.height <= 0.0
        || !(frame.width + frame.height).is_finite()
        || pitch <= 0.0
    {
        return steps;
    }
    // A line holds x + y = sum; sums are multiples of a step counted from the page's corner.
    let step = pitch * std::f64::consts::SQRT_2;
    let (least, greatest) = (frame.x + frame.y, frame.right() + frame.bottom());
    let mut sum = (least / step).ceil() * step;
    while sum <= greatest {
        hatch_line(frame, sum, &inside, &mut steps);
        sum += step;
    }
    steps
}

fn hatch_line(frame: &Frame, sum: f64, inside: &impl Fn(Point) -> f64, steps: &mut Vec<Step>) {
    let (from, to) = (
        frame.x.max(sum - frame.bottom()),
        frame.right().min(sum - frame.y),
    );
    if to <= from {
        return;
    }
    let n = ((to - from) / LOOK).ceil().max(1.0);
    let at = |x: f64| [x, sum - x];
    let mut before: Option<(f64, f64)> = None;
    let mut start: Option<f64> = None;
    let mut index = 0.0;
    while index <= n {
        let x = from + (to - from) * index / n;
        let value = inside(at(x));
        let crossing = before.map(|(x0, v0)| {
            let share = v0 / (v0 - value);
            if share.is_finite() {
                x0 + (x - x0) * share.clamp(0.0, 1.0)
            } else {
                x
            }
        });
        match (start, value > 0.0) {
            (None, true) => start = Some(crossing.unwrap_or(x)),
            (Some(began), false) => {
                push_segment(steps, at(began), at(crossing.unwrap_or(x)));
                start = None;
            }
            _ => {}
        }
        before = Some((x, value));
        index += 1.0;
    }
    if let Some(began) = start {
        push_segment(steps, at(began), at(to));
    }
}

fn push_segment(steps: &mut Vec<Step>, from: Point, to: Point) {
    if to[0] - from[0] > 0.3 {
        steps.push(Step::Move(from));
        steps.push(Step::Line(to));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(outlines: &[Isoline]) -> f64 {
        // Shoelace formula; outlines that do not hold each other add up.
        outlines
            .iter()
            .map(|line| {
                let twice: f64 = line
                    .windows(2)
                    .map(|p| p[0][0] * p[1][1] - p[1][0] * p[0][1])
                    .sum();
                twice.abs() / 2.0
            })
            .sum()
    }

    fn steps_of(n: usize) -> Vec<f64> {
        (0..n).map(|i| i as f64 / (n - 1) as f64).collect()
    }

    #[test]
    fn a_half_plane_covers_half_the_square() {
        let grid = Grid::sample(steps_of(11), steps_of(11), |x, y| x + y - 1.0);
        let outlines = region_at_least(&grid, 0.0);
        assert_eq!(outlines.len(), 1);
        assert_eq!(outlines[0].first(), outlines[0].last(), "closed");
        assert!((area(&outlines) - 0.5).abs() < 1e-6);
    }

    #[test]
    fn a_disc_has_the_area_of_a_disc() {
        let grid = Grid::sample(steps_of(81), steps_of(81), |x, y| {
            0.3 - (x - 0.5).hypot(y - 0.5)
        });
        let expected = std::f64::consts::PI * 0.09;
        assert!((area(&region_at_least(&grid, 0.0)) - expected).abs() < 0.002 * expected);
    }

    #[test]
    fn thinning_keeps_the_shape() {
        let circle: Vec<Point> = (0..=360)
            .map(|degree| {
                let (sin, cos) = f64::from(degree).to_radians().sin_cos();
                [100.0 * cos, 100.0 * sin]
            })
            .collect();
        let few = thinned(&circle);
        // A chord of 5° lies within 0.095 of the circle, one of 6° does not: between 72 and 121 points are left.
        assert!((72..=121).contains(&few.len()), "{}", few.len());
        // The area of what is left differs by less than the tolerance times the circumference.
        assert!((area(&[few]) - area(&[circle])).abs() < 0.1 * 2.0 * std::f64::consts::PI * 100.0);
        assert_eq!(thinned(&[]), Vec::<Point>::new());
        assert_eq!(thinned(&[[1.0, 2.0]]), [[1.0, 2.0]]);
    }

    #[test]
    fn everything_and_nothing_are_regions_too() {
        let grid = Grid::sample(steps_of(3), steps_of(3), |_, _| 1.0);
        assert!((area(&region_at_least(&grid, 0.0)) - 1.0).abs() < 1e-6);
        assert!(region_at_least(&grid, 2.0).is_empty());
    }

    #[test]
    fn unknown_values_take_the_nearest_known() {
        let grid = Grid {
            xs: steps_of(3),
            ys: steps_of(2),
            values: vec![1.0, f64::NAN, 3.0, f64::NAN, f64::NAN, 3.0],
        };
        assert_eq!(filled_up(&grid).values, [1.0, 1.0, 3.0, 1.0, 3.0, 3.0]);
        let unknown = Grid {
            xs: steps_of(2),
            ys: steps_of(2),
            values: vec![f64::NAN; 4],
        };
        assert_eq!(filled_up(&unknown).range(), None);
    }

    #[test]
    fn hatching_stays_inside_and_fills_its_share() {
        let frame = Frame::new(0.0, 0.0, 200.0, 100.0);
        let steps = hatch(&frame, 7.0, |[x, _]| 120.0 - x);
        let mut length = 0.0;
        for pair in steps.chunks(2) {
            let [Step::Move(from), Step::Line(to)] = pair else {
                panic!("segments only")
            };
            assert!(from[0] >= -1e-9 && to[0] <= 120.0 + 1e-6 && to[1] >= -1e-9);
            length += (to[0] - from[0]).hypot(to[1] - from[1]);
        }
        // Lines 7 apart that fill an area of 120 × 100 have the total length 12000/7.
        assert!(
            (length - 12_000.0 / 7.0).abs() < 0.03 * 12_000.0 / 7.0,
            "{length}"
        );
        assert!(hatch(&frame, 7.0, |_| -1.0).is_empty());
        assert!(hatch(&Frame::new(0.0, 0.0, 0.0, 5.0), 7.0, |_| 1.0).is_empty());
    }
}
