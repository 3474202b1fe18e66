//! How evenly points fill a region: published discrepancies, distances, correlations, and the Sobol sequence.

use wetlane_stats::Undefined;
use wetlane_stats::sobol::{MAX_DIMENSIONS, Sobol};
use wetlane_stats::space_filling::{
    DistanceNorm, centred_discrepancy, column_correlation, correlations, min_distance, phi_p,
};

use crate::reference::{Reference, list, number};
use crate::support::assert_close;

#[test]
fn criteria_of_two_documented_plans_come_out() {
    // space-filling-criteria.json: Hickernell (1998), example printed in the documentation of scipy.stats.qmc.discrepancy;
    // Morris & Mitchell (1995) for φ; numpy/scipy.
    let reference = Reference::open("space-filling-criteria");
    let plans = [reference.table("design1"), reference.table("design2")];
    let unit: Vec<Vec<Vec<f64>>> = plans
        .iter()
        .map(|plan| {
            plan.iter()
                .map(|row| row.iter().map(|level| (level - 0.5) / 6.0).collect())
                .collect()
        })
        .collect();
    let discrepancies: Vec<f64> = unit
        .iter()
        .map(|plan| centred_discrepancy(plan).unwrap())
        .collect();
    reference
        .expected("published_cd2_squared")
        .check_all(&discrepancies);
    let halton = centred_discrepancy(&reference.table("design3_halton10_3d")).unwrap();
    let all = [discrepancies[0], discrepancies[1], halton];
    reference.expected("cd2_squared_123").check_all(&all);
    let of_plans = |criterion: &dyn Fn(&[Vec<f64>]) -> f64| -> Vec<f64> {
        plans.iter().map(|plan| criterion(plan)).collect()
    };
    // The file's second number of each pair belongs to that plan scaled to the unit square, (level − 1/2)/6: all its
    // distances are a sixth of those between levels (by the definition, φ of the levels is 0.7756 and 0.5141).
    let in_levels = |mut values: Vec<f64>| {
        values[1] *= 6.0;
        values
    };
    reference
        .expected("phi_p15_L2_on_integer_levels")
        .check_all(&in_levels(of_plans(&|plan| {
            phi_p(plan, 15.0, DistanceNorm::Euclidean).unwrap()
        })));
    reference
        .expected("phi_p50_L1_on_integer_levels")
        .check_all(&in_levels(of_plans(&|plan| {
            phi_p(plan, 50.0, DistanceNorm::Rectangular).unwrap()
        })));
    let squared = of_plans(&|plan| min_distance(plan, DistanceNorm::Euclidean).unwrap().powi(2));
    for (own, wanted) in squared.iter().zip(list(
        reference.expected("min_distance_squared_integer").json(),
    )) {
        assert_close(*own, number(wanted), 1e-12, "space-filling-criteria.json");
    }
    reference
        .expected("correlation")
        .check_all(&of_plans(&|plan| correlations(plan)[0][1].unwrap()));
}

#[test]
fn sobol_points_equal_the_published_generator() {
    // sobol-halton-points.json: Joe & Kuo (2008) direction numbers; scipy 1.17.1 stats.qmc, unscrambled.
    let reference = Reference::open("sobol-halton-points");
    let rows = reference.table("sobol_rows");
    let mut sobol = Sobol::new(rows[0].len()).unwrap();
    for wanted in &rows {
        assert_eq!(sobol.next_point(), *wanted);
    }
    assert!(Sobol::new(MAX_DIMENSIONS).is_some());
    assert!(Sobol::new(MAX_DIMENSIONS + 1).is_none());
    assert_eq!(Sobol::new(0).unwrap().next_point(), Vec::<f64>::new());
}

#[test]
fn every_sobol_coordinate_fills_every_slice_once() {
    // Property of a (0, 1)-sequence: among any aligned 2^m points each slice of width 2^−m holds one, in each coordinate.
    let mut sobol = Sobol::new(MAX_DIMENSIONS).unwrap();
    for _ in 0..4 {
        let block: Vec<Vec<f64>> = (0..64).map(|_| sobol.next_point()).collect();
        for dimension in 0..MAX_DIMENSIONS {
            let mut slices: Vec<f64> = block
                .iter()
                .map(|p| (p[dimension] * 64.0).floor())
                .collect();
            slices.sort_by(f64::total_cmp);
            assert_eq!(
                slices,
                (0..64).map(f64::from).collect::<Vec<_>>(),
                "{dimension}"
            );
        }
    }
}

#[test]
fn awkward_point_sets_have_reasons_instead_of_numbers() {
    let nothing: Vec<Vec<f64>> = Vec::new();
    assert!(matches!(
        centred_discrepancy(&nothing),
        Err(Undefined::TooFewRuns { .. })
    ));
    assert!(matches!(
        min_distance(&[vec![0.0]], DistanceNorm::Euclidean),
        Err(Undefined::TooFewRuns {
            needed: 1,
            present: 1
        })
    ));
    assert_eq!(
        centred_discrepancy(&[vec![1.2]]),
        Err(Undefined::DoesNotApply)
    );
    let twins = [vec![0.1, 0.1], vec![0.1, 0.1], vec![0.9, 0.1]];
    assert_eq!(min_distance(&twins, DistanceNorm::Euclidean), Ok(0.0));
    assert_eq!(
        phi_p(&twins, 15.0, DistanceNorm::Euclidean),
        Ok(f64::INFINITY)
    );
    assert_eq!(
        phi_p(&twins, 0.0, DistanceNorm::Euclidean),
        Err(Undefined::DoesNotApply)
    );
    // The second column is constant.
    assert_eq!(correlations(&twins)[0][1], None);
    assert_eq!(column_correlation(&twins), Err(Undefined::DoesNotVary));
    // Far-away points do not overflow.
    let far = [vec![0.0], vec![1e200], vec![3e200]];
    assert!(phi_p(&far, 50.0, DistanceNorm::Rectangular).unwrap() > 0.0);
    // One point in the middle of the unit interval, by hand: 13/12 − 2·1 + 1 = 1/12.
    assert_close(
        centred_discrepancy(&[vec![0.5]]).unwrap(),
        1.0 / 12.0,
        1e-12,
        "by hand",
    );
}
