//! Orders in which the first runs tell most.

use wetlane_stats::sequential_order::sequential_order;
use wetlane_stats::{CodedPoint, Factor, FactorSpace, TermList, Value};

fn space(n: usize) -> FactorSpace {
    let factor = |index: usize| Factor::continuous(format!("x{index}"), -1.0, 1.0).unwrap();
    FactorSpace::new((0..n).map(factor).collect()).unwrap()
}

fn point(values: &[f64]) -> CodedPoint {
    CodedPoint(values.iter().map(|value| Value::Number(*value)).collect())
}

fn corners() -> Vec<CodedPoint> {
    (0..8_u8)
        .map(|bits| {
            let sign = |bit: u8| if bits & bit == 0 { -1.0 } else { 1.0 };
            point(&[sign(1), sign(2), sign(4)])
        })
        .collect()
}

#[test]
fn four_first_corners_of_eight_are_a_half_fraction() {
    // Hadamard's bound for four runs is 16, reached only by an orthogonal half of the 2³ (Plackett & Burman 1946,
    // Biometrika 33, 305).
    let (space, points) = (space(3), corners());
    let terms = TermList::linear(&space);
    let groups: Vec<Vec<usize>> = (0..8).map(|index| vec![index]).collect();
    let order = sequential_order(&space, &terms, &points, &[], &groups).unwrap();
    let number = |value: &Value| match value {
        Value::Number(number) => *number,
        Value::Level(_) => f64::NAN,
    };
    let rows = nalgebra::DMatrix::from_fn(4, 4, |row, column| match column {
        0 => 1.0,
        _ => number(&points[order[row]].0[column - 1]),
    });
    assert!((rows.determinant().abs() - 16.0).abs() < 1e-12, "{order:?}");
}

#[test]
fn every_run_comes_once_groups_stay_together_and_made_runs_come_first() {
    let (space, points) = (space(3), corners());
    let terms = TermList::interactions(&space);
    let groups = vec![vec![2, 3], vec![5], vec![], vec![0, 7, 4]];
    let order = sequential_order(&space, &terms, &points, &[6, 1], &groups).unwrap();
    assert_eq!(order[..2], [6, 1]);
    let mut sorted = order.clone();
    sorted.sort_unstable();
    assert_eq!(sorted, (0..8).collect::<Vec<_>>());
    let place = |run: usize| order.iter().position(|known| *known == run).unwrap();
    assert_eq!(place(2).abs_diff(place(3)), 1);
    let mut three = [place(0), place(7), place(4)];
    three.sort_unstable();
    assert_eq!(three[2] - three[0], 2);
}

#[test]
fn a_repeat_of_a_run_comes_after_what_is_not_known_yet() {
    let space = space(1);
    let points = [point(&[-1.0]), point(&[-1.0]), point(&[1.0])];
    let groups = vec![vec![0], vec![1], vec![2]];
    let terms = TermList::linear(&space);
    let order = sequential_order(&space, &terms, &points, &[], &groups).unwrap();
    assert_eq!(order, [0, 2, 1]);
}
