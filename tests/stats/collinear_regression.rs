//! The cement data: strong collinearity, every subset, every diagnostic.

use wetlane_stats::ConfidenceLevel;

use crate::fitting::Case;
use crate::reference::{Reference, list, number, numbers};
use crate::support::assert_close;

fn cement(reference: &Reference) -> (Case, Vec<f64>) {
    let columns: Vec<(&str, Vec<f64>)> = ["x1", "x2", "x3", "x4"]
        .map(|name| (name, reference.column(name)))
        .to_vec();
    (Case::imported(&columns), reference.column("y"))
}

/// `x124` as it stands in the table becomes `x1,x2,x4`; `1` is the mean alone.
fn subset_terms(subset: &str) -> String {
    match subset.strip_prefix('x') {
        None => subset.to_owned(),
        Some(digits) => digits
            .chars()
            .map(|digit| format!("x{digit}"))
            .collect::<Vec<_>>()
            .join(","),
    }
}

// Computed with numpy/scipy for all 16 subsets; R2 and PRESS as printed by Draper & Smith and by Montgomery, Peck &
// Vining.
#[test]
fn all_subsets_have_the_published_quality() {
    let reference = Reference::open("hald-cement-subsets");
    let (case, heat) = cement(&reference);
    let entry = reference.expected("all_subsets");
    let full = case.fit("x1, x2, x3, x4", &heat);
    for subset in list(entry.json()) {
        let name = subset["subset"].as_str().unwrap();
        let fit = case.fit(&subset_terms(name), &heat);
        let wanted = |figure: &str| number(&subset[figure]);
        let check = |figure: &str, actual: f64| {
            // R2 of the mean alone is an exact zero.
            let scale = if wanted(figure) == 0.0 { 1e-12 } else { 1e-8 };
            assert_close(actual, wanted(figure), scale, "numpy/scipy, all_subsets");
        };
        check("rss", fit.residual_sum_of_squares());
        check("r2", fit.r2().unwrap());
        check("adj_r2", fit.r2_adjusted().unwrap());
        check("s2", fit.residual_mean_square().unwrap());
        check("press", fit.press().unwrap());
        check("aicc_n_log_rss_over_n", fit.aicc().unwrap());
        check("bic_n_log_rss_over_n", fit.bic().unwrap());
        // Mallows: RSS/s² of the full model − n + 2p.
        let s2 = full.residual_mean_square().unwrap();
        let cp = fit.residual_sum_of_squares() / s2 - 13.0 + 2.0 * fit.rank() as f64;
        check("cp", cp);
    }
    for (name, _) in reference.expected("published_r2_percent").named_numbers() {
        let fit = case.fit(&subset_terms(&name), &heat);
        let percent = 100.0 * fit.r2().unwrap();
        reference
            .expected("published_r2_percent")
            .check_named(&name, percent);
    }
    for (name, _) in reference.expected("published_press").named_numbers() {
        let fit = case.fit(&subset_terms(&name), &heat);
        let press = fit.press().unwrap();
        reference
            .expected("published_press")
            .check_named(&name, press);
    }
}

// Montgomery, Peck & Vining: variance inflation 38.5, 254.4, 46.9, 282.5; coefficients as printed.
#[test]
fn variance_inflation_is_that_published() {
    let reference = Reference::open("hald-cement-subsets");
    let (case, heat) = cement(&reference);
    let fit = case.fit("x1, x2, x3, x4", &heat);
    let coefficients = fit.coefficients(ConfidenceLevel::NINETY_FIVE);
    let vif: Vec<f64> = coefficients[1..]
        .iter()
        .map(|c| c.vif.clone().unwrap())
        .collect();
    reference.expected("published_vif").check_all(&vif);
    reference.expected("vif").check_all(&vif);
    assert!(coefficients[0].vif.is_err());
    let natural = fit
        .natural_coefficients(&case.space, ConfidenceLevel::NINETY_FIVE)
        .unwrap();
    let values: Vec<f64> = natural
        .iter()
        .map(|c| c.estimate.clone().unwrap())
        .collect();
    reference
        .expected("published_full_coefficients")
        .check_all(&values);
}

// R 4.2.2 lm with its influence measures.
#[test]
fn diagnostics_of_the_full_model_agree() {
    let reference = Reference::open("hald-cement-subsets");
    let (case, heat) = cement(&reference);
    let fit = case.fit("x1, x2, x3, x4", &heat);
    let entry = reference.expected("diagnostics_full_model");
    let natural = fit
        .natural_coefficients(&case.space, ConfidenceLevel::NINETY_FIVE)
        .unwrap();
    let values: Vec<f64> = natural
        .iter()
        .map(|c| c.estimate.clone().unwrap())
        .collect();
    entry.part("coef").check_all(&values);
    let errors: Vec<f64> = natural
        .iter()
        .map(|c| c.standard_error.clone().unwrap())
        .collect();
    entry.part("se").check_all(&errors);
    entry.part("sigma").check(fit.residual_sd().unwrap());
    entry.part("r2").check(fit.r2().unwrap());
    let runs = fit.diagnostics();
    entry.part("hat").check_all(fit.leverages());
    let all =
        |pick: fn(&wetlane_stats::RunDiagnostics) -> Result<f64, wetlane_stats::Undefined>| {
            runs.iter()
                .map(|run| pick(run).unwrap())
                .collect::<Vec<f64>>()
        };
    entry
        .part("rst")
        .check_all(&all(|run| run.studentized_internal.clone()));
    entry
        .part("rstud")
        .check_all(&all(|run| run.studentized_external.clone()));
    entry.part("cook").check_all(&all(|run| run.cook.clone()));
    entry
        .part("dffits")
        .check_all(&all(|run| run.dffits.clone()));
    assert_eq!(numbers(&entry.json()["hat"]).len(), runs.len());
}
