//! Data that break careless programs: each is either fitted with its gaps named, or refused in words.

use wetlane_stats::{
    Blocks, CodedPoint, ConfidenceLevel, Factor, FactorSpace, FitError, Intercept, LeastSquares,
    ModelMatrix, ReplicateGroups, StatsError, TermList, TotalAbout, Undefined, Value,
};

use crate::fitting::{Case, estimates};
use crate::support::assert_close;

fn line(n: usize) -> Case {
    let x = (0..n).map(|run| run as f64 / 3.0 - 1.0).collect();
    Case::coded(&[("x", x)])
}

fn refused(case: &Case, response: &[f64], weights: Option<&[f64]>) -> String {
    LeastSquares::fit(&case.matrix("x"), response, weights)
        .unwrap_err()
        .to_string()
}

#[test]
fn responses_and_weights_that_are_none_are_refused_in_words() {
    let case = line(4);
    let good = [1.0, 2.0, 3.5, 4.0];
    assert_eq!(
        refused(&case, &[1.0, f64::NAN, 3.0, 4.0], None),
        "the response of run 2 is not a finite number"
    );
    assert_eq!(
        refused(&case, &good[..3], None),
        "there are 3 responses for 4 runs"
    );
    assert_eq!(
        refused(&case, &[], None),
        "there are 0 responses for 4 runs"
    );
    assert_eq!(
        refused(&case, &[1.0, 2.0, 1e200, 4.0], None),
        "the response 1e200 of run 3 is beyond 1e100; use a larger unit"
    );
    assert_eq!(
        refused(&case, &good, Some(&[1.0, -1.0, 1.0, 1.0])),
        "the weight -1 of run 2 is not a finite number from zero up"
    );
    assert_eq!(
        refused(&case, &good, Some(&[1.0, 1.0])),
        "there are 2 weights for 4 runs"
    );
    assert_eq!(
        refused(&case, &good, Some(&[0.0; 4])),
        "there is no run to fit"
    );
}

#[test]
fn models_that_are_none_are_refused_in_words() {
    let case = line(4);
    let empty = TermList::parse("", &case.space, Intercept::LeftOut).unwrap();
    let matrix = ModelMatrix::new(&case.space, &empty, &case.points, None).unwrap();
    assert_eq!(
        LeastSquares::fit(&matrix, &[1.0; 4], None).unwrap_err(),
        FitError::NoColumns
    );
    let matrix = ModelMatrix::new(&case.space, &case.terms("x"), &[], None).unwrap();
    assert_eq!(
        LeastSquares::fit(&matrix, &[], None).unwrap_err(),
        FitError::NoRuns
    );
    let zero = vec![CodedPoint(vec![Value::Number(0.0)]); 3];
    let slope = TermList::parse("x", &case.space, Intercept::LeftOut).unwrap();
    let matrix = ModelMatrix::new(&case.space, &slope, &zero, None).unwrap();
    assert_eq!(
        LeastSquares::fit(&matrix, &[1.0, 2.0, 3.0], None).unwrap_err(),
        FitError::NothingEstimable
    );
    // A far-away setting to the twentieth power.
    let far = vec![CodedPoint(vec![Value::Number(1e9)]); 2];
    let matrix = ModelMatrix::new(&case.space, &case.terms("x^20"), &far, None).unwrap();
    assert_eq!(
        LeastSquares::fit(&matrix, &[1.0, 2.0], None)
            .unwrap_err()
            .to_string(),
        "the term \"x^20\" is not a finite number at run 1"
    );
    let nan = [CodedPoint(vec![Value::Number(f64::NAN)])];
    assert!(ModelMatrix::new(&case.space, &case.terms("x"), &nan, None).is_err());
}

// By definition: a run without a response or of weight 0 takes no part, and is listed.
#[test]
fn missing_responses_are_left_out_and_listed() {
    let case = line(6);
    let matrix = case.matrix("x");
    let some = [Some(1.0), None, Some(2.2), Some(2.9), None, Some(5.0)];
    let fit = LeastSquares::fit_available(&matrix, &some, None).unwrap();
    assert_eq!(
        (fit.rows(), fit.left_out()),
        (&[0, 2, 3, 5][..], &[1, 4][..])
    );
    let present = matrix.select_runs(&[0, 2, 3, 5]).unwrap();
    let same = LeastSquares::fit(&present, &[1.0, 2.2, 2.9, 5.0], None).unwrap();
    assert_eq!(estimates(&fit), estimates(&same));
    let weights = [1.0, 0.0, 1.0, 1.0, 0.0, 1.0];
    let responses = [1.0, f64::NAN, 2.2, 2.9, 77.0, 5.0];
    let weighted = LeastSquares::fit(&matrix, &responses, Some(&weights)).unwrap();
    assert_eq!(estimates(&fit), estimates(&weighted));
    assert_eq!(weighted.diagnostics()[1].row, 2);
    assert_eq!(
        LeastSquares::fit_available(&matrix, &[None; 6], None).unwrap_err(),
        FitError::NoRuns
    );
}

// By definition: one column a run at most can be estimated; the rest is dropped, never a failure.
#[test]
fn more_terms_than_runs_drop_the_later_terms() {
    let case = line(3);
    let fit = case.fit("x, x^2, x^3, x^4", &[1.0, 4.0, 2.0]);
    assert_eq!((fit.rank(), fit.error_df()), (3, 0));
    let names: Vec<String> = fit.dropped().into_iter().map(|d| d.name).collect();
    assert_eq!(names, ["x^3", "x^4"]);
    assert_eq!(
        fit.coefficients(ConfidenceLevel::NINETY_FIVE)[4].estimate,
        Err(Undefined::Aliased)
    );
    let single = line(1).fit("x", &[7.0]);
    assert_eq!((single.rank(), single.estimate(0)), (1, Ok(7.0)));
}

// By hand: y = 1, 2, 4 at −1, −2/3, −1/3.
#[test]
fn one_error_df_leaves_deletion_scales_undefined() {
    let fit = line(3).fit("x", &[1.0, 2.0, 4.0]);
    assert_eq!(fit.error_df(), 1);
    assert_close(fit.residual_sum_of_squares(), 1.0 / 6.0, 1e-13, "by hand");
    let run = &fit.diagnostics()[0];
    assert_eq!(run.studentized_external, Err(Undefined::OneErrorDf));
    assert_eq!(run.dffits, Err(Undefined::OneErrorDf));
    assert!(run.studentized_internal.is_ok() && run.cook.is_ok());
    assert_close(
        run.studentized_internal.clone().unwrap().abs(),
        1.0,
        1e-12,
        "one df",
    );
    assert_eq!(
        fit.aicc(),
        Err(Undefined::TooFewRuns {
            needed: 4,
            present: 3
        })
    );
    // Two error df: everything exists.
    let fit = line(4).fit("x", &[1.0, 2.0, 4.0, 4.5]);
    assert!(fit.diagnostics()[0].studentized_external.is_ok());
}

// By hand: three runs on a line and one at the same setting off it.
#[test]
fn an_outlier_beside_an_exact_fit_has_no_scale() {
    let case = Case::coded(&[("x", vec![-1.0, 0.0, 1.0, 0.0])]);
    let fit = case.fit("x", &[1.0, 2.0, 3.0, 2.6]);
    let run = &fit.diagnostics()[3];
    assert_eq!(
        run.studentized_external,
        Err(Undefined::OthersFittedExactly)
    );
    assert!(run.cook.is_ok());
}

#[test]
fn a_factor_that_never_varied_is_a_constant() {
    let case = Case::coded(&[
        ("speed", vec![-1.0, 1.0, -1.0, 1.0, 0.0]),
        ("gap", vec![0.5; 5]),
    ]);
    let fit = case.fit("speed, gap, speed*gap", &[1.0, 2.0, 1.1, 2.1, 1.4]);
    let dropped = fit.dropped();
    assert_eq!(dropped.len(), 2);
    assert_eq!(
        (dropped[0].name.as_str(), dropped[0].equals[0].term.as_str()),
        ("gap", "1")
    );
    assert_close(
        dropped[0].equals[0].coefficient,
        0.5,
        1e-14,
        "gap = 0.5 at all runs",
    );
    assert_eq!(dropped[1].equals[0].term, "speed");
    // A prediction at that setting of the gap exists; at another it does not.
    let at = |gap: f64| {
        let point = CodedPoint(vec![Value::Number(0.2), Value::Number(gap)]);
        let row = fit.layout().row_at(&case.space, &point).unwrap();
        fit.predict(&row).unwrap()
    };
    assert!(at(0.5).value().is_ok());
    assert_eq!(
        at(-0.5).value().clone().unwrap_err().to_string(),
        "not estimable: the runs cannot separate gap, speed*gap"
    );
    assert!(at(-0.5).standard_error().is_err());
}

#[test]
fn two_identical_factors_are_both_named() {
    let x = vec![-1.0, 1.0, 0.0, 0.4, -0.7];
    let case = Case::coded(&[("Geschwindigkeit v₁", x.clone()), ("vitesse α", x)]);
    let fit = case.fit(
        "`Geschwindigkeit v₁`, `vitesse α`",
        &[1.0, 2.0, 1.4, 1.9, 1.2],
    );
    let dropped = &fit.dropped()[0];
    assert_eq!(dropped.name, "`vitesse α`");
    assert_eq!(dropped.equals[0].term, "`Geschwindigkeit v₁`");
    let kept = &fit.coefficients(ConfidenceLevel::NINETY_FIVE)[1];
    assert_eq!(kept.aliased_with[0].term, "`vitesse α`");
}

#[test]
fn an_unvaried_response_and_an_exact_one_say_so() {
    let case = line(6);
    for constant in [0.0, 4.2, -1e9, 1e-9] {
        let fit = case.fit("x", &[constant; 6]);
        assert!(fit.has_zero_variance());
        assert_eq!(fit.r2(), Err(Undefined::ZeroVariance));
        assert_eq!(fit.r2_predicted(), Err(Undefined::ZeroVariance));
        assert_eq!(fit.log_likelihood(), Err(Undefined::ZeroVariance));
        assert_eq!(estimates(&fit), [constant, 0.0]);
        let slope = &fit.coefficients(ConfidenceLevel::NINETY_FIVE)[1];
        assert_eq!(slope.p, Err(Undefined::ZeroVariance));
        assert_eq!(
            fit.anova_marginal(None)[0].share,
            Err(Undefined::ZeroVariance)
        );
    }
    let exact: Vec<f64> = (0..6).map(|run| 0.1 + 0.7 * f64::from(run)).collect();
    let fit = case.fit("x", &exact);
    assert!(fit.is_perfect() && !fit.has_zero_variance());
    assert_close(fit.r2().unwrap(), 1.0, 1e-14, "by definition");
    assert_eq!(fit.aicc(), Err(Undefined::PerfectFit));
    assert_eq!(fit.diagnostics()[2].cook, Err(Undefined::PerfectFit));
    // Two different values only are no difficulty.
    let fit = case.fit("x", &[1.0, 1.0, 1.0, 2.0, 2.0, 2.0]);
    assert!(
        fit.coefficients(ConfidenceLevel::NINETY_FIVE)[1]
            .p
            .clone()
            .unwrap()
            < 0.05
    );
}

// By hand: replicates that agree exactly leave no pure error to test against.
#[test]
fn replicates_that_agree_exactly_are_said_to() {
    let case = Case::coded(&[("x", vec![-1.0, -1.0, 0.0, 0.0, 1.0, 1.0, 1.0])]);
    let fit = case.fit("x", &[1.0, 1.0, 3.3, 3.3, 2.1, 2.1, 2.1]);
    let groups = ReplicateGroups::within(&case.points, None, 1e-9).unwrap();
    let split = fit.lack_of_fit(&groups).unwrap();
    assert_eq!(split.f, Err(Undefined::NoPureErrorScatter));
    assert_eq!((split.lack_of_fit.df, split.pure_error.df), (1, 4));
    assert_eq!(split.pure_error.sum_of_squares, Ok(0.0));
    let rest = split.lack_of_fit.sum_of_squares.unwrap();
    assert_close(
        rest,
        fit.residual_sum_of_squares(),
        1e-13,
        "nothing else is left",
    );
    // As many coefficients as settings: pure error only.
    let fit = case.fit("x, x^2", &[1.0, 1.2, 3.3, 3.1, 2.1, 2.4, 2.0]);
    let split = fit.lack_of_fit(&groups).unwrap();
    assert_eq!(
        (split.lack_of_fit.df, split.f),
        (0, Err(Undefined::NoLackOfFitDf))
    );
    assert!(
        fit.lack_of_fit(&ReplicateGroups::within(&case.points[1..], None, 1e-9).unwrap())
            .is_err()
    );
}

// Replicates agree in every factor that varies, in the model or not, and in the block.
#[test]
fn replicates_share_block_and_every_factor() {
    let case = Case::coded(&[
        ("in", vec![-1.0, -1.0, 1.0, 1.0, -1.0, -1.0]),
        ("out", vec![-1.0, 1.0, -1.0, 1.0, -1.0, 1.0]),
    ]);
    let groups = |blocks: Option<&Blocks>, tolerance: f64| {
        ReplicateGroups::within(&case.points, blocks, tolerance).unwrap()
    };
    assert_eq!(groups(None, 1e-9).of_run(), [0, 1, 2, 3, 0, 1]);
    let blocks = Blocks {
        name: "day".to_owned(),
        labels: ["one", "two"].map(String::from).to_vec(),
        of_run: vec![0, 0, 0, 0, 1, 1],
    };
    assert_eq!(groups(Some(&blocks), 1e-9).n_groups(), 6);
    assert_eq!(groups(None, 2.0).n_groups(), 1);
    // Recorded settings within half a step are the same setting.
    let kind = wetlane_stats::FactorKind::Continuous {
        low: 10.0,
        high: 30.0,
        scale: wetlane_stats::Scale::Linear,
        step: Some(0.5),
    };
    let effort = wetlane_stats::ChangeEffort::Easy;
    let space = FactorSpace::new(vec![Factor::new("gap", kind, effort).unwrap()]).unwrap();
    let points: Vec<CodedPoint> = [20.0, 20.25, 20.5, 20.75]
        .map(|gap| CodedPoint(vec![Value::Number((gap - 20.0) / 10.0)]))
        .to_vec();
    let groups = ReplicateGroups::within_steps(&space, &points, None).unwrap();
    assert_eq!(groups.of_run(), [0, 0, 1, 1]);
}

// By definition: without an intercept the total is about zero, unless the columns can make a constant.
#[test]
fn a_model_without_intercept_measures_about_zero() {
    let case = Case::categories(&[(
        "gas",
        ["argon", "air", "argon", "air"].map(String::from).to_vec(),
    )]);
    let terms = TermList::parse("gas", &case.space, Intercept::LeftOut).unwrap();
    let matrix = ModelMatrix::new(&case.space, &terms, &case.points, None).unwrap();
    let fit = LeastSquares::fit(&matrix, &[1.0, 2.0, 1.2, 2.1], None).unwrap();
    assert_eq!((fit.total_about(), fit.total_df()), (TotalAbout::Zero, 4));
    let constant = vec![CodedPoint(vec![Value::Level(1)]); 4];
    let matrix = ModelMatrix::new(&case.space, &terms, &constant, None).unwrap();
    let fit = LeastSquares::fit(&matrix, &[1.0, 2.0, 1.2, 2.1], None).unwrap();
    assert_eq!((fit.total_about(), fit.total_df()), (TotalAbout::Mean, 3));
}

#[test]
fn questions_that_do_not_fit_the_model_are_refused() {
    let case = line(5);
    let fit = case.fit("x", &[1.0, 2.0, 2.5, 4.1, 5.0]);
    assert_eq!(
        fit.predict(&[1.0]).unwrap_err().to_string(),
        "a row of 1 numbers was given for a model with 2 columns"
    );
    assert_eq!(
        fit.predict(&[1.0, f64::INFINITY]).unwrap_err().to_string(),
        "the setting asked for is not finite in the term \"x\""
    );
    assert_eq!(fit.estimate(9), Err(Undefined::Aliased));
    assert!(ConfidenceLevel::new(1.0).is_err());
    assert_eq!(
        ConfidenceLevel::new(95.0).unwrap_err().to_string(),
        "95 is no confidence level: it must lie between 0 and 1"
    );
    let other = FactorSpace::new(Vec::new()).unwrap();
    assert!(matches!(
        fit.layout().row_at(&other, &CodedPoint(Vec::new())),
        Err(StatsError::WrongLength { .. })
    ));
    assert!(case.matrix("x").select_runs(&[5]).is_err());
    let surface = fit.quadratic_surface(&case.space, &case.points[0]).unwrap();
    let up = wetlane_stats::Direction::Up;
    assert!(
        fit.ridge_analysis(&case.space, &surface, up, &[-1.0])
            .is_err()
    );
    assert!(surface.value_at(&[]).is_err());
}

// By hand: the model row averages over the blocks, whose columns are 0.
#[test]
fn blocks_out_of_range_are_refused_and_absent_ones_average() {
    let case = line(4);
    let blocks = |of_run: Vec<usize>| Blocks {
        name: "day".to_owned(),
        labels: ["one", "two", "three"].map(String::from).to_vec(),
        of_run,
    };
    let make = |of_run: Vec<usize>| {
        let terms = case.terms("x");
        ModelMatrix::new(&case.space, &terms, &case.points, Some(&blocks(of_run)))
    };
    assert!(make(vec![0, 1, 2, 3]).is_err());
    assert!(make(vec![0, 1]).is_err());
    let matrix = make(vec![0, 1, 2, 2]).unwrap();
    let row = matrix.row_at(&case.space, &case.points[2]).unwrap();
    assert_eq!(row[..3], [1.0, 0.0, 0.0]);
}

// By definition of the sums of squares: residuals in run order that alternate have a negative lag-one correlation, a
// ramp has a perfect trend, and a factor that scales the scatter shows in ln e².
#[test]
fn checks_of_residuals_see_order_trend_and_scatter() {
    use wetlane_stats::diagnostics::{half_normal_scores, normal_scores, run_order_check};
    let alternating = run_order_check(&[1.0, -1.0, 1.0, -1.0]);
    assert_close(alternating.lag_one.unwrap(), -0.75, 1e-15, "by hand");
    let ramp = run_order_check(&[-1.5, -0.5, 0.5, 1.5]);
    assert_eq!((ramp.slope, ramp.t), (Ok(1.0), Err(Undefined::PerfectFit)));
    assert!(run_order_check(&[]).slope.is_err());
    let x: Vec<f64> = (0..8).map(|run| if run < 4 { -1.0 } else { 1.0 }).collect();
    let case = Case::coded(&[("x", x.clone())]);
    let fit = case.fit("x", &[1.0, 1.1, 0.9, 1.0, 5.0, 9.0, 1.0, 5.0]);
    let hint = fit.dispersion_hint(&x).unwrap();
    // Squares 0.02 and 32: ln 1600.
    assert_close(
        hint.log_variance_ratio.unwrap(),
        1600.0_f64.ln(),
        1e-12,
        "by hand",
    );
    assert!(fit.dispersion_hint(&x[1..]).is_err());
    // Blom's places of three values: Φ⁻¹(0.625/3.25), 0 and its mirror; Φ⁻¹(0.1923) = −0.8694 (any normal table).
    let scores = normal_scores(&[3.0, -1.0, 2.0]);
    assert_eq!(
        scores.iter().map(|s| s.index).collect::<Vec<_>>(),
        [1, 2, 0]
    );
    assert_close(scores[0].quantile, -0.8694, 1e-4, "normal table");
    assert!(scores[1].quantile.abs() < 1e-15);
    let half = half_normal_scores(&[3.0, -4.0]);
    assert_eq!((half[1].index, half[1].value), (1, 4.0));
    // Φ⁻¹(0.5 + 0.5·0.25) = Φ⁻¹(0.625) = 0.3186 (any normal table).
    assert_close(half[0].quantile, 0.3186, 2e-4, "normal table");
}

// Wording of the notes; the numbers are by hand.
#[test]
fn notes_say_what_is_doubtful_about_a_fit() {
    let words = |fit: &LeastSquares| -> Vec<String> {
        fit.notes().iter().map(ToString::to_string).collect()
    };
    let good = line(9).fit("x", &[1.0, 2.3, 2.9, 4.2, 4.8, 6.1, 7.2, 7.7, 9.1]);
    assert!(words(&good).is_empty());
    let saturated = line(3).fit("x, x^2, x^3", &[1.0, 4.0, 2.0]);
    let said = words(&saturated);
    assert!(said[0].starts_with("the runs cannot tell \"x^3\" from"));
    assert_eq!(
        said[1],
        "as many coefficients as runs: no error can be estimated"
    );
    let few = line(4).fit("x", &[1.0, 2.2, 2.7, 4.3]);
    assert_eq!(
        words(&few),
        ["only 2 error df: intervals are wide and tests weak"]
    );
    let flat = line(5).fit("x", &[2.0; 5]);
    assert_eq!(words(&flat), ["the response does not vary"]);
    // One run alone on its side of the category: leverage 1.
    let case = Case::categories(&[(
        "gas",
        ["argon", "argon", "argon", "argon", "air"]
            .map(String::from)
            .to_vec(),
    )]);
    let alone = case.fit("gas", &[1.0, 1.2, 0.9, 1.1, 3.0]);
    assert_eq!(
        words(&alone),
        ["leverage 1 at run 5: fitted exactly; losing it loses terms"]
    );
    // A far setting, and a response far off.
    let case = Case::coded(&[("x", vec![-1.0, -0.9, -0.8, -1.0, -0.9, -0.8, -0.95, 1.0])]);
    let far = case.fit("x", &[1.0, 1.1, 1.0, 1.2, 1.1, 0.9, 1.05, 2.0]);
    assert_eq!(
        words(&far),
        ["run 8 weighs more than twice the average in the fit"]
    );
    let off = line(9).fit("x", &[1.0, 2.0, 3.0, 4.1, 15.0, 6.0, 7.0, 7.9, 9.0]);
    assert!(
        words(&off)[0].starts_with("run 5 lies far from what the other runs predict (p = 0.00")
    );
    let some = [
        Some(1.0),
        Some(2.3),
        None,
        Some(4.2),
        None,
        Some(6.1),
        Some(6.9),
        Some(8.2),
        Some(8.8),
    ];
    let partial = LeastSquares::fit_available(&line(9).matrix("x"), &some, None).unwrap();
    assert_eq!(
        words(&partial),
        ["runs 3, 5 left out for want of a response"]
    );
}

// By hand: a setting at its middle written in two ways, and one away from it, are still one setting.
#[test]
fn a_setting_written_in_two_ways_is_one_setting() {
    let middle = vec![0.3, 0.1 + 0.2, 0.3, 0.1 + 0.2, 0.3];
    let aside = vec![0.7, 0.1 * 7.0, 0.7, 0.1 * 7.0, 0.7];
    let speed = vec![1.0, 2.0, 1.5, 1.2, 1.9];
    let space = FactorSpace::new(vec![
        Factor::continuous("speed", 1.0, 2.0).unwrap(),
        Factor::continuous("middle", 0.1, 0.5).unwrap(),
        Factor::continuous("aside", 0.1, 0.8).unwrap(),
    ])
    .unwrap();
    let columns = [("speed", speed), ("middle", middle), ("aside", aside)];
    let case = Case::with_space(space, &columns);
    assert_ne!(case.points[0].0[2], case.points[1].0[2]);
    let fit = case.fit("speed, middle, aside", &[1.0, 2.0, 1.4, 1.3, 1.9]);
    let names: Vec<String> = fit.dropped().into_iter().map(|d| d.name).collect();
    assert_eq!(names, ["middle", "aside"]);
    assert_eq!(fit.rank(), 2);
}

// By definition: the average of the blocks is over those that have runs.
#[test]
fn a_block_without_runs_takes_no_part() {
    let case = line(6);
    let blocks = Blocks {
        name: "day".to_owned(),
        labels: ["one", "two", "three"].map(String::from).to_vec(),
        of_run: vec![0, 0, 0, 2, 2, 2],
    };
    let matrix = ModelMatrix::new(&case.space, &case.terms("x"), &case.points, Some(&blocks));
    let matrix = matrix.unwrap();
    assert_eq!(matrix.column_names(), ["1", "day[three]", "x"]);
    let fit = LeastSquares::fit(&matrix, &[1.0, 2.1, 2.9, 7.0, 8.2, 8.9], None).unwrap();
    let row = matrix.row_at(&case.space, &case.points[2]).unwrap();
    assert!(fit.predict(&row).unwrap().value().is_ok());
    // The same when a block loses its runs to missing responses.
    let left = blocks.select_runs(&[3, 4, 5]).unwrap();
    assert_eq!(
        (left.labels.as_slice(), left.of_run.as_slice()),
        (&["three".to_owned()][..], &[0, 0, 0][..])
    );
    assert!(blocks.select_runs(&[6]).is_err());
}
