//! Tables of variance: unbalanced two-way, blocks, confounded terms, missing cells, curvature.

use wetlane_stats::{
    AnovaRow, AnovaSource, ConfidenceLevel, FitError, LeastSquares, ModelMatrix, ReplicateGroups,
    Undefined,
};

use crate::fitting::{Case, estimates, standard_errors};
use crate::reference::{Reference, list, number};
use crate::support::assert_close;

fn row<'a>(rows: &'a [AnovaRow], name: &str) -> &'a AnovaRow {
    rows.iter().find(|row| row.name == name).unwrap()
}

fn squares(rows: &[AnovaRow], name: &str) -> f64 {
    row(rows, name).sum_of_squares.clone().unwrap()
}

fn warpbreaks(first: &str, second: &str, keep: impl Fn(&str, &str) -> bool) -> (Case, Vec<f64>) {
    let reference = Reference::open("weighted-and-unbalanced");
    let text = |name| reference.text_column("warpbreaks_columns", "warpbreaks_rows", name);
    let breaks = reference.column_of("warpbreaks_columns", "warpbreaks_rows", "breaks");
    let (wool, tension) = (text("wool"), text("tension"));
    let kept: Vec<usize> = (0..breaks.len())
        .filter(|run| keep(&wool[*run], &tension[*run]))
        .collect();
    let pick = |name: &str| {
        let labels = if name == "wool" { &wool } else { &tension };
        kept.iter().map(|run| labels[*run].clone()).collect()
    };
    let case = Case::categories(&[(first, pick(first)), (second, pick(second))]);
    (case, kept.iter().map(|run| breaks[*run]).collect())
}

/// Compares a table with one of the reference's {term, df, ss, F, p}; `wool:tension` is our `wool*tension`.
fn check_table(entry: &str, rows: &[AnovaRow]) {
    let reference = Reference::open("weighted-and-unbalanced");
    let entry = reference.expected(entry);
    let terms = list(&entry.json()["term"]);
    for (index, term) in terms.iter().enumerate() {
        let name = match term.as_str().unwrap() {
            "<none>" => continue,
            "Residuals" => "residual".to_owned(),
            other => other.replace(':', "*"),
        };
        let own = row(rows, &name);
        let wanted = |figure: &str| entry.json()[figure][index].as_f64();
        assert_eq!(own.df as f64, wanted("df").unwrap(), "{name}");
        assert_close(
            own.sum_of_squares.clone().unwrap(),
            wanted("ss").unwrap(),
            1e-8,
            "R 4.2.2 anova, drop1",
        );
        for (figure, actual) in [("F", &own.f), ("p", &own.p)] {
            if let Some(wanted) = wanted(figure) {
                assert_close(
                    actual.clone().unwrap(),
                    wanted,
                    1e-8,
                    "R 4.2.2 anova, drop1",
                );
            }
        }
    }
}

// R 4.2.2 anova of lm (weighted-and-unbalanced.json): the order of the terms matters in unbalanced data.
#[test]
fn sequential_tables_follow_the_order_of_the_factors() {
    let (case, breaks) = warpbreaks("wool", "tension", |_, _| true);
    let fit = case.fit("wool, tension, wool*tension", &breaks);
    check_table("sequential_wool_tension", &fit.anova_sequential(None));
    let (case, breaks) = warpbreaks("tension", "wool", |_, _| true);
    let fit = case.fit("wool, tension, wool*tension", &breaks);
    check_table("sequential_tension_wool", &fit.anova_sequential(None));
}

// R 4.2.2 drop1 with sum-to-zero contrasts (weighted-and-unbalanced.json).
#[test]
fn marginal_table_tests_each_term_given_all_others() {
    let (case, breaks) = warpbreaks("wool", "tension", |_, _| true);
    let fit = case.fit("wool, tension, wool*tension", &breaks);
    check_table("marginal_sum_to_zero", &fit.anova_marginal(None));
}

// R 4.2.2 lm with sum-to-zero contrasts. R's wool1 is the effect of the first level; two levels here have one column
// named after the second, so its sign and that of its products turn.
#[test]
fn category_coefficients_are_deviations_from_the_mean_of_the_levels() {
    let reference = Reference::open("weighted-and-unbalanced");
    let (case, breaks) = warpbreaks("wool", "tension", |_, _| true);
    let fit = case.fit("wool, tension, wool*tension", &breaks);
    assert_eq!(
        fit.column_names(),
        [
            "1",
            "wool[B]",
            "tension[L]",
            "tension[M]",
            "wool[B]*tension[L]",
            "wool[B]*tension[M]"
        ]
    );
    let mut own = estimates(&fit);
    for turned in [1, 4, 5] {
        own[turned] = -own[turned];
    }
    let entry = reference.expected("coefficients_sum_to_zero");
    entry.part("est").check_all(&own);
    entry.part("se").check_all(&standard_errors(&fit));
    // Of all levels, the one without a column included: they sum to zero, and the last of three has its own error.
    let levels = fit.level_effects(&case.space).unwrap();
    assert_eq!(levels.len(), 5);
    let tension: f64 = levels[2..]
        .iter()
        .map(|l| l.estimate.clone().unwrap())
        .sum();
    assert!(tension.abs() < 1e-12);
    let first = levels[0].estimate.clone().unwrap();
    assert_close(first, own[1], 1e-12, "wool1 of the same table");
}

// R 4.2.2 anova of lm without the cell A, H: the product loses one column (rank 5 of 6).
#[test]
fn a_missing_cell_drops_a_column_and_bars_the_marginal_test() {
    let (case, breaks) = warpbreaks("wool", "tension", |wool, tension| {
        (wool, tension) != ("A", "H")
    });
    let fit = case.fit("wool, tension, wool*tension", &breaks);
    assert_eq!(fit.rank(), 5);
    check_table("missing_cell_A_H", &fit.anova_sequential(None));
    let marginal = fit.anova_marginal(None);
    let higher = "wool*tension".to_owned();
    let barred = Err(Undefined::MissingCells { higher });
    assert_eq!(row(&marginal, "wool").sum_of_squares, barred);
    assert_eq!(row(&marginal, "tension").sum_of_squares, barred);
    assert!(row(&marginal, "wool*tension").f.is_ok());
    // Given all terms that do not contain it, by two explicit fits of the same data.
    let hierarchical = fit.anova_hierarchical(None);
    let without = |terms: &str| case.fit(terms, &breaks).residual_sum_of_squares();
    let both = without("wool, tension");
    for (term, other) in [("wool", "tension"), ("tension", "wool")] {
        assert_close(
            squares(&hierarchical, term),
            without(other) - both,
            1e-9,
            "difference of two residual sums of squares",
        );
    }
}

// R 4.2.2 lm with weights 1/speed (weighted-and-unbalanced.json).
#[test]
fn weighted_line_has_the_errors_and_leverages_of_the_scaled_rows() {
    let reference = Reference::open("weighted-and-unbalanced");
    let speed = reference.column_of("cars_columns", "cars_rows", "speed");
    let distance = reference.column_of("cars_columns", "cars_rows", "dist");
    let weights: Vec<f64> = speed.iter().map(|speed| 1.0 / speed).collect();
    let case = Case::imported(&[("speed", speed)]);
    let fit = LeastSquares::fit(&case.matrix("speed"), &distance, Some(&weights)).unwrap();
    let entry = reference.expected("wls_weights_1_over_speed");
    let natural = fit
        .natural_coefficients(&case.space, ConfidenceLevel::NINETY_FIVE)
        .unwrap();
    let values = natural.iter().map(|c| c.estimate.clone().unwrap());
    entry.part("coef").check_all(&values.collect::<Vec<_>>());
    let errors = natural.iter().map(|c| c.standard_error.clone().unwrap());
    entry.part("se").check_all(&errors.collect::<Vec<_>>());
    entry.part("sigma").check(fit.residual_sd().unwrap());
    entry.part("r2").check(fit.r2().unwrap());
    entry.part("hat").check_all(fit.leverages());
    let diagnostics = fit.diagnostics();
    let internal = diagnostics
        .iter()
        .map(|d| d.studentized_internal.clone().unwrap());
    entry.part("rst").check_all(&internal.collect::<Vec<_>>());
}

// Box, Hunter & Hunter (1978), table 7.3: randomized blocks, four treatments by five blends.
#[test]
fn penicillin_blocks_take_their_share() {
    let reference = Reference::open("penicillin-rbd");
    let labels = |name: &str| -> Vec<String> {
        reference
            .column(name)
            .iter()
            .map(ToString::to_string)
            .collect()
    };
    let case = Case::categories(&[("treatment", labels("treatment"))])
        .in_blocks("blend", &labels("blend"));
    let fit = case.fit("treatment", &reference.column("yield"));
    for rows in [fit.anova_marginal(None), fit.anova_sequential(None)] {
        let of = |figure: &str| reference.expected(figure);
        of("ss_blends").check(squares(&rows, "blend"));
        of("ss_treatments").check(squares(&rows, "treatment"));
        of("ss_residual").check(squares(&rows, "residual"));
        of("ss_total_corrected").check(squares(&rows, "total"));
        of("F_treatments").check(row(&rows, "treatment").f.clone().unwrap());
        of("F_blends").check(row(&rows, "blend").f.clone().unwrap());
        of("p_treatments").check(row(&rows, "treatment").p.clone().unwrap());
        of("p_blends").check(row(&rows, "blend").p.clone().unwrap());
        of("df").check_named("blends", row(&rows, "blend").df as f64);
        of("df").check_named("treatments", row(&rows, "treatment").df as f64);
        of("df").check_named("residual", row(&rows, "residual").df as f64);
        // The published shares are whole numbers of the total.
        let share = row(&rows, "blend").share.clone().unwrap();
        assert_close(share, 264.0 / 560.0, 1e-9, "table 7.3");
    }
}

// Yates (1937), as printed by Venables & Ripley, section 6.7: the three-factor product is lost to the blocks.
#[test]
fn a_product_confounded_with_blocks_is_dropped_and_named() {
    let reference = Reference::open("npk-blocked-factorial");
    let column = |name: &str| (name.to_owned(), reference.column(name));
    let coded: Vec<(String, Vec<f64>)> = ["N", "P", "K"].map(column).to_vec();
    let columns: Vec<(&str, Vec<f64>)> = coded
        .iter()
        .map(|(name, v)| (name.as_str(), v.clone()))
        .collect();
    let labels: Vec<String> = reference
        .column("block")
        .iter()
        .map(ToString::to_string)
        .collect();
    let case = Case::imported(&columns).in_blocks("block", &labels);
    let fit = case.fit("N, P, K, N*P, N*K, P*K, N*P*K", &reference.column("yield"));
    let dropped = fit.dropped();
    let lost = reference.expected("rank_deficient_term_with_blocks_fixed");
    assert_eq!(dropped.len(), 1);
    assert_eq!(
        dropped[0].name,
        lost.json().as_str().unwrap().replace(':', "*")
    );
    assert!(
        dropped[0]
            .equals
            .iter()
            .all(|part| part.term.starts_with("block["))
    );
    let rows = fit.anova_marginal(None);
    for (name, wanted) in reference.expected("published_ss").named_numbers() {
        let own = squares(&rows, &name.replace(':', "*"));
        reference.expected("published_ss").check_named(&name, own);
        assert!((own - wanted).abs() <= 0.001);
    }
    for (figure, pick) in [
        (
            "published_F",
            (|row| &row.f) as fn(&AnovaRow) -> &Result<f64, Undefined>,
        ),
        ("published_p", |row| &row.p),
    ] {
        for (name, _) in reference.expected(figure).named_numbers() {
            let own = pick(row(&rows, &name.replace(':', "*"))).clone().unwrap();
            reference.expected(figure).check_named(&name, own);
        }
    }
    for (name, df) in reference.expected("df").named_numbers() {
        assert_eq!(row(&rows, &name.replace(':', "*")).df as f64, df, "{name}");
    }
    let lost_row = row(&rows, "N*P*K");
    assert_eq!((lost_row.df, &lost_row.f), (0, &Err(Undefined::Aliased)));
}

// Montgomery, example on centre points: curvature of a 2^2 against the scatter of five centre runs.
#[test]
fn centre_runs_show_curvature_and_pure_error() {
    let reference = Reference::open("centre-point-curvature-2p2");
    let case = Case::coded(&[("A", reference.column("x1")), ("B", reference.column("x2"))]);
    let response = reference.column("y");
    // With the square of one factor the model holds the curvature, and the residual is pure error.
    let fit = case.fit("A, B, A*B, A^2", &response);
    let rows = fit.anova_sequential(None);
    for (ours, theirs) in [("A", "A"), ("B", "B"), ("A*B", "AB"), ("A^2", "curvature")] {
        let own = row(&rows, ours);
        let check =
            |figure: &str, value: f64| reference.expected(figure).check_named(theirs, value);
        check("published_ss", own.sum_of_squares.clone().unwrap());
        check("F", own.f.clone().unwrap());
        check("p", own.p.clone().unwrap());
    }
    // The same from the plain two-level model and the means.
    let fit = case.fit("A, B, A*B", &response);
    let groups = ReplicateGroups::within(&case.points, None, 1e-9).unwrap();
    let split = fit.lack_of_fit(&groups).unwrap();
    let curvature = fit.curvature(&case.points, &split).unwrap();
    let mean_square = curvature.error_mean_square.clone().unwrap();
    reference.expected("published_mse").check(mean_square);
    reference
        .expected("ss_curvature")
        .check(curvature.sum_of_squares);
    reference
        .expected("F")
        .check_named("curvature", curvature.f.clone().unwrap());
    reference
        .expected("p")
        .check_named("curvature", curvature.p.clone().unwrap());
    assert_eq!((curvature.n_factorial, curvature.n_center), (4, 5));
    // Curvature is all the lack of fit that this plan can show.
    let missing = split.lack_of_fit.sum_of_squares.unwrap();
    assert_close(missing, curvature.sum_of_squares, 1e-9, "one df each");
}

// NIST/SEMATECH e-Handbook, 5.5.3.1: curvature and pure error at two stages of a campaign.
#[test]
fn curvature_appears_when_the_campaign_reaches_the_top() {
    let reference = Reference::open("sequential-campaign-ccd");
    for stage in ["stage1", "stage2"] {
        let columns = |name: &str| reference.column_of("columns", stage, name);
        let case = Case::coded(&[("x1", columns("x1")), ("x2", columns("x2"))]);
        let fit = case.fit("x1, x2", &columns("yield"));
        let groups = ReplicateGroups::within(&case.points, None, 1e-9).unwrap();
        let split = fit.lack_of_fit(&groups).unwrap();
        let curvature = fit.curvature(&case.points, &split).unwrap();
        let pure = split.pure_error.sum_of_squares.clone().unwrap();
        reference
            .expected(&format!("{stage}_curvature_and_pure_error_ss"))
            .check_all(&[curvature.sum_of_squares, pure]);
    }
}

// By definition: an unreplicated plan without centre runs has neither, and says so.
#[test]
fn a_plan_without_centre_runs_has_no_curvature_test() {
    let case = Case::coded(&[
        ("A", vec![-1.0, 1.0, -1.0, 1.0]),
        ("B", vec![-1.0, -1.0, 1.0, 1.0]),
    ]);
    let fit = case.fit("A, B", &[1.0, 2.0, 4.0, 5.5]);
    let groups = ReplicateGroups::within(&case.points, None, 1e-9).unwrap();
    let split = fit.lack_of_fit(&groups).unwrap();
    assert_eq!(split.f, Err(Undefined::NoReplicate));
    assert_eq!((split.lack_of_fit.df, split.pure_error.df), (1, 0));
    assert_eq!(
        fit.curvature(&case.points, &split),
        Err(FitError::Undefined(Undefined::NoCenterRuns))
    );
    let rows = fit.anova_marginal(Some(&split));
    let pure = rows.iter().find(|row| row.source == AnovaSource::PureError);
    assert_eq!(
        pure.unwrap()
            .sum_of_squares
            .clone()
            .unwrap_err()
            .to_string(),
        "no replicate"
    );
}

// Littell and others (1996), oxide thickness: lots are the runs; 72 readings in 8 lots leave 6 df. The Kenward–Roger
// test of the restricted-likelihood fit (pbkrtest 0.5.2) equals least squares on the lot means in balanced data.
#[test]
fn readings_within_a_run_add_no_degrees_of_freedom() {
    let reference = Reference::open("oxide-thickness-nested");
    let lots = reference.column("lot");
    let sources = reference.column("source");
    let thickness = reference.column("thickness");
    let mut labels: Vec<String> = Vec::new();
    let mut means = Vec::new();
    for lot in 1..=8 {
        let readings: Vec<f64> = (0..lots.len())
            .filter(|row| lots[*row] == f64::from(lot))
            .map(|row| thickness[row])
            .collect();
        let value = wetlane_stats::RunValue::from_readings(&readings, wetlane_stats::Center::Mean);
        means.push(value.unwrap().center.unwrap());
        let row = lots.iter().position(|l| *l == f64::from(lot)).unwrap();
        labels.push(sources[row].to_string());
    }
    let case = Case::categories(&[("source", labels)]);
    let fit = case.fit("source", &means);
    let rows = fit.anova_marginal(None);
    assert_eq!(row(&rows, "residual").df, 6);
    let test = &reference
        .expected("reml_with_source/fixed_effect_tests")
        .json()["Source"];
    // Tolerance of the file for p_kr: 1e-3; least squares itself is exact.
    assert_close(
        row(&rows, "source").p.clone().unwrap(),
        number(&test["p_kr"]),
        1e-6,
        "pbkrtest 0.5.2",
    );
    // The column is named after the second source, their contrast after the first.
    let coefficients = [fit.estimate(0).unwrap(), -fit.estimate(1).unwrap()];
    reference
        .expected("reml_with_source/fixed_effects")
        .check_all(&coefficients);
    reference
        .expected("reml_with_source/std_errors_kenward_roger")
        .check_all(&standard_errors(&fit));
    // Counting readings as runs is the known wrong answer.
    let all: Vec<String> = sources.iter().map(ToString::to_string).collect();
    let wrong = Case::categories(&[("source", all)]);
    let wrong: &ModelMatrix = &wrong.matrix("source");
    let wrong = LeastSquares::fit(wrong, &thickness, None).unwrap();
    let entry = reference.expected("wrong_answer_if_readings_counted_as_runs");
    entry.check_named("residual_df", wrong.error_df() as f64);
    let p = wrong.coefficients(ConfidenceLevel::NINETY_FIVE)[1]
        .p
        .clone();
    entry.check_named("slope_p_value", p.unwrap());
}
