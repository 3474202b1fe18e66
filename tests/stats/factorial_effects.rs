//! Two-level plans: an effect is twice its coefficient, and reduced models have the printed quality of fit.

use wetlane_stats::{ConfidenceLevel, LeastSquares};

use crate::fitting::{Case, estimate_of, estimates, spelled_out, standard_errors};
use crate::reference::{Entry, Reference, list, number};
use crate::support::assert_close;

fn letters_case(reference: &Reference, heads: &[&str], rows: &str) -> Case {
    let letters = ["A", "B", "C", "D", "E"];
    let columns: Vec<(&str, Vec<f64>)> = letters
        .iter()
        .zip(heads)
        .map(|(letter, head)| (*letter, reference.column_of("columns", rows, head)))
        .collect();
    Case::coded(&columns)
}

fn check_effects(entry: &Entry<'_>, fit: &LeastSquares) {
    for (name, _) in entry.named_numbers() {
        entry.check_named(&name, 2.0 * estimate_of(fit, &spelled_out(&name)));
    }
}

fn check_squares(entry: &Entry<'_>, fit: &LeastSquares) {
    let rows = fit.anova_marginal(None);
    for (name, _) in entry.named_numbers() {
        let row = rows.iter().find(|row| row.name == spelled_out(&name));
        entry.check_named(&name, row.unwrap().sum_of_squares.clone().unwrap());
    }
}

/// Checks one of the reference's reduced fits: coefficients, errors and quality of fit.
fn check_reduced(reference: &Reference, path: &str, case: &Case, response: &[f64]) {
    let of = |figure: &str| reference.expected(&format!("{path}/{figure}"));
    let names: Vec<String> = list(of("model_terms").json())
        .iter()
        .filter_map(|name| name.as_str())
        .map(|name| {
            if name == "1" {
                name.to_owned()
            } else {
                spelled_out(name)
            }
        })
        .collect();
    let fit = case.fit(&names.join(","), response);
    let in_their_order: Vec<f64> = names.iter().map(|name| estimate_of(&fit, name)).collect();
    of("coefficients").check_all(&in_their_order);
    // All errors of an orthogonal plan are equal, so the order does not matter.
    of("std_errors").check_all(&standard_errors(&fit));
    of("residual_ss").check(fit.residual_sum_of_squares());
    of("residual_df").check(fit.error_df() as f64);
    of("r_squared").check(fit.r2().unwrap());
    of("adj_r_squared").check(fit.r2_adjusted().unwrap());
    of("press").check(fit.press().unwrap());
    of("pred_r_squared").check(fit.r2_predicted().unwrap());
}

// Montgomery, example 6.2: all fifteen effects and sums of squares as printed.
#[test]
fn filtration_effects_and_squares_are_those_printed() {
    let reference = Reference::open("filtration-rate-2p4");
    let case = letters_case(&reference, &["A", "B", "C", "D"], "rows");
    let rate = reference.column("rate");
    let fit = case.fit_terms(&case.full_factorial_terms(), &rate);
    check_effects(&reference.expected("effects"), &fit);
    check_squares(&reference.expected("sums_of_squares"), &fit);
    reference
        .expected("total_ss")
        .check(fit.total_sum_of_squares());
    assert_eq!(estimates(&fit).len(), 16);
}

// Montgomery, example 6.2: R2 0.9660, adjusted 0.9489, PRESS 499.52 as printed; the rest computed with numpy/scipy.
#[test]
fn filtration_reduced_models_have_the_printed_quality() {
    let reference = Reference::open("filtration-rate-2p4");
    let case = letters_case(&reference, &["A", "B", "C", "D"], "rows");
    let rate = reference.column("rate");
    check_reduced(&reference, "fit_A_C_D_AC_AD", &case, &rate);
    check_reduced(&reference, "fit_projected_2p3_in_A_C_D", &case, &rate);
    let fit = case.fit("A, C, D, A*C, A*D", &rate);
    let printed = |figure: &str| reference.expected(&format!("fit_A_C_D_AC_AD/{figure}"));
    printed("published_r_squared").check(fit.r2().unwrap());
    printed("published_adj_r_squared").check(fit.r2_adjusted().unwrap());
    printed("published_press").check(fit.press().unwrap());
}

// NIST/SEMATECH e-Handbook 5.4.7.1, ceramic strength (CERAMIC.DAT); values computed with numpy/scipy.
#[test]
fn ceramic_effects_and_models_agree() {
    let reference = Reference::open("ceramic-strength-2p5");
    let heads = ["speed", "feed", "grit", "direction", "batch"];
    let case = letters_case(&reference, &heads, "rows");
    let strength = reference.column("strength");
    let fit = case.fit_terms(&case.full_factorial_terms(), &strength);
    check_effects(&reference.expected("effects"), &fit);
    check_squares(&reference.expected("sums_of_squares"), &fit);
    reference
        .expected("grand_mean")
        .check(fit.estimate(0).unwrap());
    reference
        .expected("total_ss")
        .check(fit.total_sum_of_squares());
    check_reduced(&reference, "fit_two_factor_interactions", &case, &strength);
    check_reduced(&reference, "fit_reduced_11_terms", &case, &strength);
}

// Box, Hunter & Hunter (1978), tables 12.1a and 12.3: the full 2^5 and its half with I = ABCDE.
#[test]
fn reactor_half_fraction_repeats_the_full_analysis() {
    let reference = Reference::open("reactor-2p5-and-half-fraction");
    let heads = [
        "feed",
        "catalyst",
        "agitation",
        "temperature",
        "concentration",
    ];
    let full = letters_case(&reference, &heads, "rows");
    let reacted = reference.column("percent_reacted");
    let fit = full.fit_terms(&full.full_factorial_terms(), &reacted);
    check_effects(&reference.expected("published_large_effects_full"), &fit);
    check_effects(&reference.expected("effects_full"), &fit);
    let half = letters_case(&reference, &heads, "half_fraction_rows");
    let reacted = reference.column_of("columns", "half_fraction_rows", "percent_reacted");
    let fit = half.fit(
        "A,B,C,D,E,A*B,A*C,A*D,A*E,B*C,B*D,B*E,C*D,C*E,D*E",
        &reacted,
    );
    check_effects(&reference.expected("published_effects_half"), &fit);
}

// Box, Hunter & Hunter (1978), table 12.3: with I = ABCDE each two-factor product stands for a three-factor one.
#[test]
fn half_fraction_coefficients_name_their_aliases() {
    let reference = Reference::open("reactor-2p5-and-half-fraction");
    let heads = [
        "feed",
        "catalyst",
        "agitation",
        "temperature",
        "concentration",
    ];
    let half = letters_case(&reference, &heads, "half_fraction_rows");
    let reacted = reference.column_of("columns", "half_fraction_rows", "percent_reacted");
    let fit = half.fit("A, B, C, D, E, A*B, C*D*E", &reacted);
    let coefficients = fit.coefficients(ConfidenceLevel::NINETY_FIVE);
    let product = coefficients.iter().find(|c| c.name == "A*B").unwrap();
    assert_eq!(product.aliased_with.len(), 1);
    assert_eq!(product.aliased_with[0].term, "C*D*E");
    let sign = number(reference.expected("half_defining_word_sign").json());
    assert_close(
        product.aliased_with[0].coefficient,
        sign,
        1e-14,
        "I = ABCDE",
    );
    // Terms outside the model: the square of a two-level factor is the constant, all other pairs are clear.
    let outside = half
        .terms("A, B, C, D, E, A*B")
        .second_order_outside(&half.space);
    let outside = wetlane_stats::ModelMatrix::new(&half.space, &outside, &half.points, None);
    let parts = fit.aliases_with(&outside.unwrap()).unwrap();
    assert_eq!(parts[0].len(), 5);
    assert!(parts[0].iter().all(|part| part.term.ends_with("^2")));
    assert!(parts[1..].iter().all(Vec::is_empty));
}

// Constructed 2^(5−2) (numpy/scipy): canonical order decides which of two aliased terms stays.
#[test]
fn an_overfull_fraction_keeps_the_earlier_of_two_aliased_terms() {
    let reference = Reference::open("rank-deficient-saturated");
    let case = letters_case(&reference, &["A", "B", "C", "D", "E"], "rows");
    let names: Vec<String> = list(reference.data("requested_terms"))
        .iter()
        .map(|name| spelled_out(name.as_str().unwrap()))
        .collect();
    let fit = case.fit(&names.join(","), &reference.column("y"));
    let kept: Vec<&str> = fit
        .kept_columns()
        .iter()
        .map(|column| fit.column_names()[*column].as_str())
        .collect();
    let wanted: Vec<String> = list(reference.expected("kept_terms").json())
        .iter()
        .map(|name| name.as_str().unwrap())
        .map(|name| {
            if name == "1" {
                name.to_owned()
            } else {
                spelled_out(name)
            }
        })
        .collect();
    assert_eq!(kept, wanted);
    let twins = reference.expected("dropped_alias_of");
    let twins = twins.json().as_object().unwrap();
    let dropped = fit.dropped();
    assert_eq!(dropped.len(), twins.len());
    for (lost, twin) in twins {
        let own = dropped
            .iter()
            .find(|d| d.name == spelled_out(lost))
            .unwrap();
        assert_eq!(own.equals.len(), 1, "{lost}");
        assert_eq!(own.equals[0].term, spelled_out(twin.as_str().unwrap()));
        assert!((own.equals[0].coefficient - 1.0).abs() < 1e-12);
    }
    let estimates: Vec<f64> = fit
        .kept_columns()
        .iter()
        .map(|column| fit.estimate(*column).unwrap())
        .collect();
    reference.expected("coefficients").check_all(&estimates);
    reference
        .expected("residual_df")
        .check(fit.error_df() as f64);
}

// The list `must_be_undefined` of rank-deficient-saturated.json, with the reason of each.
#[test]
fn a_saturated_fit_has_coefficients_and_nothing_else() {
    let reference = Reference::open("rank-deficient-saturated");
    let case = letters_case(&reference, &["A", "B", "C", "D", "E"], "rows");
    let fit = case.fit("A, B, C, D, E, B*C, B*E", &reference.column("y"));
    let why = |value: Result<f64, wetlane_stats::Undefined>| value.unwrap_err().to_string();
    let coefficients = fit.coefficients(ConfidenceLevel::NINETY_FIVE);
    assert_eq!(why(coefficients[1].standard_error.clone()), "no error df");
    assert_eq!(why(coefficients[1].p.clone()), "no error df");
    assert_eq!(why(fit.anova_marginal(None)[1].f.clone()), "no error df");
    assert_eq!(
        why(fit.press()),
        "leverage 1 at runs 1, 2, 3, 4, 5, 6, 7, 8"
    );
    assert_eq!(why(fit.r2_adjusted()), "no error df");
    assert_eq!(why(fit.residual_sd()), "no error df");
    assert_eq!(why(fit.aicc()), "no error df");
    let run = &fit.diagnostics()[6];
    assert_eq!(why(run.studentized_internal.clone()), "leverage 1 at run 7");
    assert_eq!(why(run.cook.clone()), "leverage 1 at run 7");
    assert!((fit.r2().unwrap() - 1.0).abs() < 1e-12);
    // A response that does not vary has no R2, and effects of exactly zero.
    let fit = case.fit("A, B", &[3.3; 8]);
    assert_eq!(why(fit.r2()), "the response does not vary");
    assert!(estimates(&fit)[1..].iter().all(|b| b.abs() < 1e-15));
    assert_eq!(
        why(fit.anova_marginal(None)[1].f.clone()),
        "the response does not vary"
    );
}
