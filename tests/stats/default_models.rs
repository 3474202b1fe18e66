//! The model that is fitted when none is named. The rule is our own (docs/methods.md); the cases are by hand.

use wetlane_stats::{
    CodedPoint, DefaultModel, Factor, FactorSpace, ModelSize, StatsError, Value, default_model,
};

use crate::fitting::Case;

fn choose(case: &Case) -> DefaultModel {
    default_model(&case.space, &case.points, case.blocks.as_ref(), None).unwrap()
}

/// A two-level plan in k factors from bits, all combinations.
fn two_level(k: usize, n_repeats: usize) -> Vec<Vec<f64>> {
    let n = (1 << k) * n_repeats;
    (0..k)
        .map(|factor| {
            (0..n)
                .map(|run| if run >> factor & 1 == 1 { 1.0 } else { -1.0 })
                .collect()
        })
        .collect()
}

fn named(columns: Vec<Vec<f64>>) -> Case {
    let names = ["A", "B", "C", "D", "E"];
    let pairs: Vec<(&str, Vec<f64>)> = names.into_iter().zip(columns).collect();
    Case::coded(&pairs)
}

#[test]
fn a_composite_plan_supports_the_quadratic() {
    let mut columns = two_level(2, 1);
    for (own, other) in [(0, 1), (1, 0)] {
        for x in [-1.0, 1.0] {
            columns[own].push(x);
            columns[other].push(0.0);
        }
    }
    for column in &mut columns {
        column.extend([0.0, 0.0]);
    }
    let chosen = choose(&named(columns));
    assert_eq!(chosen.size, ModelSize::Quadratic);
    assert!(chosen.is_supported && chosen.obstacles.is_empty());
    assert_eq!(chosen.terms.terms().len(), 6);
}

#[test]
fn two_levels_bar_the_quadratic_and_few_runs_the_products() {
    let chosen = choose(&named(two_level(3, 2)));
    assert_eq!(chosen.size, ModelSize::Interactions);
    assert_eq!(
        chosen.reason(),
        "interactions is the largest model that the runs support (quadratic not supported: no number takes three \
         different settings)"
    );
    // 8 runs − 7 coefficients leave one df; the linear model leaves four.
    let chosen = choose(&named(two_level(3, 1)));
    assert_eq!(chosen.size, ModelSize::Linear);
    assert!(
        chosen
            .reason()
            .contains("8 runs leave 1 error df for 7 coefficients")
    );
}

#[test]
fn a_fraction_names_the_first_pair_it_cannot_tell_apart() {
    // 2^(5−2) with D = AB and E = AC, twice.
    let mut columns = two_level(3, 2);
    let product = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).collect();
    columns.push(product(&columns[0], &columns[1]));
    columns.push(product(&columns[0], &columns[2]));
    let chosen = choose(&named(columns));
    assert_eq!(chosen.size, ModelSize::Linear);
    assert!(
        chosen
            .reason()
            .contains("the runs cannot tell \"A*B\" from \"D\"")
    );
}

#[test]
fn blocks_count_as_columns() {
    let labels: Vec<String> = (0..8).map(|run| format!("day {}", run / 2)).collect();
    let case = named(two_level(3, 1)).in_blocks("day", &labels);
    let chosen = choose(&case);
    // Days of two runs each are the products of B and C: only A is left beside them.
    assert!(!chosen.is_supported);
    assert!(chosen.reason().contains("cannot tell \"B\" from"));
}

#[test]
fn set_ups_must_leave_an_error_of_their_own() {
    // A changes only between set-ups; B within.
    let columns = two_level(2, 4);
    let case = named(vec![
        (0..16)
            .map(|run| if run / 8 == 0 { -1.0 } else { 1.0 })
            .collect(),
        columns[0].clone(),
    ]);
    let two: Vec<usize> = (0..16).map(|run| run / 8).collect();
    let four: Vec<usize> = (0..16).map(|run| run / 4).collect();
    let with =
        |set_ups: &[usize]| default_model(&case.space, &case.points, None, Some(set_ups)).unwrap();
    let chosen = with(&two);
    assert!(!chosen.is_supported);
    assert!(
        chosen
            .reason()
            .contains("2 set-ups leave no error df for \"A\"")
    );
    assert_eq!(with(&four).size, ModelSize::Interactions);
    let wrong = default_model(&case.space, &case.points, None, Some(&two[1..]));
    assert_eq!(
        wrong,
        Err(StatsError::WrongLength {
            expected: 16,
            found: 15
        })
    );
}

#[test]
fn a_factor_that_never_varies_is_named() {
    let mut columns = two_level(2, 3);
    columns.push(vec![1.0; 12]);
    let chosen = choose(&named(columns));
    assert_eq!(
        (chosen.size, chosen.is_supported),
        (ModelSize::Linear, false)
    );
    assert!(
        chosen
            .reason()
            .contains("cannot tell \"C\" from a constant")
    );
}

#[test]
fn without_factors_the_mean_is_left() {
    let space = FactorSpace::new(Vec::new()).unwrap();
    let points = vec![CodedPoint(Vec::new()); 5];
    let chosen = default_model(&space, &points, None, None).unwrap();
    assert_eq!((chosen.size, chosen.is_supported), (ModelSize::Mean, true));
    assert_eq!(
        ModelSize::ALL.map(ModelSize::key),
        ["mean", "linear", "interactions", "quadratic"]
    );
    let one = FactorSpace::new(vec![Factor::continuous("x", 0.0, 1.0).unwrap()]).unwrap();
    let points: Vec<CodedPoint> = [-1.0, 1.0, -1.0, 1.0, 1.0]
        .map(|x| CodedPoint(vec![Value::Number(x)]))
        .to_vec();
    assert_eq!(
        default_model(&one, &points, None, None).unwrap().size,
        ModelSize::Linear
    );
}
