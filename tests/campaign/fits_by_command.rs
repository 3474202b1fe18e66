//! Tables imported and fitted by the program itself, held against certified and published figures.

use std::fmt::Write as _;
use std::path::Path;

use serde_json::Value;

use crate::command_line::{answer, document};
use crate::reference::{Reference, numbers};

/// The rows of a reference case as a table with commas; numbers read back as the same 64 bits.
fn write_table(reference: &Reference, path: &Path) {
    let columns: Vec<&str> = reference
        .data("columns")
        .as_array()
        .unwrap()
        .iter()
        .map(|head| head.as_str().unwrap())
        .collect();
    let mut text = columns.join(",");
    for row in reference.table("rows") {
        let cells: Vec<String> = row.iter().map(f64::to_string).collect();
        write!(text, "\n{}", cells.join(",")).unwrap();
    }
    std::fs::write(path, text).unwrap();
}

/// Imports a reference case; every name with a range of its own is `name=low..high`.
fn import(folder: &Path, reference: &Reference, factors: &[&str], responses: &[&str]) {
    write_table(reference, &folder.join("table.csv"));
    let mut arguments = vec!["import", "table.csv", "--out", "film.json"];
    arguments.extend(factors.iter().flat_map(|factor| ["--factor", *factor]));
    arguments.extend(
        responses
            .iter()
            .flat_map(|response| ["--response", *response]),
    );
    answer(folder, &arguments, 0);
}

fn fit(folder: &Path, arguments: &[&str]) -> Value {
    let all = [&["fit", "film.json", "--json"], arguments].concat();
    document(folder, &all, 0)["fits"][0].clone()
}

/// One figure of the terms with these names, in this order.
fn figures(fit: &Value, key: &str, names: &[&str]) -> Vec<f64> {
    names
        .iter()
        .map(|name| {
            let terms = fit["terms"].as_array().unwrap();
            let term = terms.iter().find(|term| term["name"] == *name);
            term.unwrap()[key].as_f64().unwrap()
        })
        .collect()
}

fn row<'f>(fit: &'f Value, table: &str, source: &str) -> &'f Value {
    let rows = fit[table].as_array().unwrap();
    rows.iter().find(|row| row["source"] == source).unwrap()
}

/// Certified digits reached by a fit in natural units.
fn assert_digits(name: &str, factors: &[&str], terms: &[&str], options: &[&str], digits: f64) {
    let folder = tempfile::tempdir().unwrap();
    let reference = Reference::open(name);
    import(folder.path(), &reference, factors, &["y"]);
    let list = terms.join(",");
    let mut arguments = vec!["--natural", "--terms", list.as_str()];
    arguments.extend(options);
    let fit = fit(folder.path(), &arguments);
    let has_intercept = !options.contains(&"--no-intercept");
    let names: Vec<&str> = has_intercept
        .then_some("1")
        .into_iter()
        .chain(terms.iter().copied())
        .collect();
    assert_eq!(
        fit["terms"].as_array().unwrap().len(),
        names.len(),
        "{name}"
    );
    let check = |path: &str, actual: &[f64]| {
        let reached = reference.expected(path).digits(actual);
        assert!(reached >= digits, "{name}, {path}: {reached:.1} digits");
    };
    check("coefficients", &figures(&fit, "estimate", &names));
    check("std_errors", &figures(&fit, "standard_error", &names));
    check("residual_sd", &[fit["residual_sd"].as_f64().unwrap()]);
    check("r_squared", &[fit["r2"].as_f64().unwrap()]);
    let residual = row(&fit, "anova", "residual");
    reference
        .expected("residual_df")
        .check(residual["df"].as_f64().unwrap());
}

// NIST Statistical Reference Datasets, linear least squares, certified to 15 digits; sources and origin stand in each
// file of tests/data/statistics. The digits asked for are those that 64-bit numbers can be expected to keep.

#[test]
fn norris_keeps_twelve_certified_digits_through_the_program() {
    assert_digits("strd-norris", &["x"], &["x"], &[], 12.0);
}

#[test]
fn longley_keeps_eleven_certified_digits_through_the_program() {
    let names = ["x1", "x2", "x3", "x4", "x5", "x6"];
    assert_digits("strd-longley", &names, &names, &[], 11.0);
}

#[test]
fn filip_keeps_seven_certified_digits_through_the_program() {
    let powers = [
        "x", "x^2", "x^3", "x^4", "x^5", "x^6", "x^7", "x^8", "x^9", "x^10",
    ];
    assert_digits("strd-filip", &["x"], &powers, &[], 7.0);
}

#[test]
fn a_line_through_zero_keeps_twelve_certified_digits_through_the_program() {
    for name in ["strd-noint1", "strd-noint2"] {
        assert_digits(name, &["x"], &["x"], &["--no-intercept"], 12.0);
    }
}

/// Names of the terms in the order of the reference file.
const SURFACE: [&str; 6] = ["1", "x1", "x2", "x1^2", "x2^2", "x1*x2"];

fn chemical_process() -> (tempfile::TempDir, Reference) {
    let folder = tempfile::tempdir().unwrap();
    let reference = Reference::open("chemical-process-ccd");
    import(
        folder.path(),
        &reference,
        &["x1=-1..1", "x2=-1..1"],
        &["yield", "viscosity", "molecular_weight"],
    );
    (folder, reference)
}

// Montgomery, Design and Analysis of Experiments, central composite example of two factors; which figure is published
// and which computed by another program stands beside each in tests/data/statistics/chemical-process-ccd.json.
#[test]
fn the_yield_surface_has_every_printed_figure() {
    let (folder, reference) = chemical_process();
    let fit = fit(folder.path(), &["--response", "yield"]);
    assert_eq!(fit["model"], "quadratic");
    let estimates = figures(&fit, "estimate", &SURFACE);
    reference
        .expected("yield/published_coefficients")
        .check_all(&estimates);
    reference
        .expected("yield/coefficients")
        .check_all(&estimates);
    reference
        .expected("yield/std_errors")
        .check_all(&figures(&fit, "standard_error", &SURFACE));
    for (path, key) in [
        ("published_r2", "r2"),
        ("published_adj_r2", "r2_adjusted"),
        ("published_pred_r2", "r2_predicted"),
        ("published_press", "press"),
    ] {
        reference
            .expected(&format!("yield/{path}"))
            .check(fit[key].as_f64().unwrap());
    }
    let squares = |source: &str| {
        row(&fit, "anova", source)["sum_of_squares"]
            .as_f64()
            .unwrap()
    };
    reference
        .expected("yield/residual_ss")
        .check(squares("residual"));
    reference
        .expected("yield/pure_error_ss")
        .check(squares("pure error"));
    reference
        .expected("yield/lack_of_fit_ss")
        .check(squares("lack of fit"));
    let lack_of_fit = row(&fit, "anova", "lack of fit");
    reference
        .expected("yield/lack_of_fit_F")
        .check(lack_of_fit["f"].as_f64().unwrap());
    reference
        .expected("yield/lack_of_fit_p")
        .check(lack_of_fit["p"].as_f64().unwrap());
    assert_eq!(lack_of_fit["denominator_df"], 4);
}

#[test]
fn the_yield_has_the_printed_maximum() {
    let (folder, reference) = chemical_process();
    let fit = fit(folder.path(), &["--response", "yield"]);
    let point = &fit["stationary_point"];
    assert_eq!(point["kind"], *reference.expected("yield/nature").json());
    let at: Vec<f64> = ["x1", "x2"]
        .map(|name| point["at"][name].as_f64().unwrap())
        .to_vec();
    reference.expected("yield/stationary_point").check_all(&at);
    reference
        .expected("yield/stationary_point_full")
        .check_all(&at);
    reference
        .expected("yield/stationary_value")
        .check(point["value"].as_f64().unwrap());
    reference
        .expected("yield/eigenvalues")
        .check_all(&numbers(&point["eigenvalues"]));
    assert_eq!(point["inside_region"], true);
    // Columns of the reference are the axes; their signs are free.
    let columns: Vec<Vec<f64>> = reference
        .expected("yield/eigenvectors_columns")
        .json()
        .as_array()
        .unwrap()
        .iter()
        .map(numbers)
        .collect();
    for (index, axis) in point["axes"].as_array().unwrap().iter().enumerate() {
        for (entry, column) in numbers(axis).iter().zip(&columns) {
            assert!((entry.abs() - column[index].abs()).abs() < 1e-7);
        }
    }
}

#[test]
fn the_other_responses_have_the_printed_surfaces() {
    let (folder, reference) = chemical_process();
    let viscosity = fit(folder.path(), &["--response", "viscosity"]);
    let estimates = figures(&viscosity, "estimate", &SURFACE);
    reference
        .expected("viscosity/published_coefficients")
        .check_all(&estimates);
    reference
        .expected("viscosity/coefficients")
        .check_all(&estimates);
    let line = fit(
        folder.path(),
        &["--response", "molecular_weight", "--model", "linear"],
    );
    let estimates = figures(&line, "estimate", &["1", "x1", "x2"]);
    for path in ["published_coefficients", "coefficients"] {
        reference
            .expected(&format!("molecular_weight_first_order/{path}"))
            .check_all(&estimates);
    }
    assert!(line["stationary_point"].is_null());
    assert!(line["why"].as_str().unwrap().contains("square"));
    let saddle = fit(
        folder.path(),
        &["--response", "molecular_weight", "--model", "quadratic"],
    );
    reference
        .expected("molecular_weight_quadratic/eigenvalues")
        .check_all(&numbers(&saddle["stationary_point"]["eigenvalues"]));
    assert_eq!(saddle["stationary_point"]["inside_region"], false);
    // Below zero: told as it is.
    reference
        .expected("molecular_weight_quadratic/pred_r_squared")
        .check(saddle["r2_predicted"].as_f64().unwrap());
}

#[test]
fn a_prediction_has_the_intervals_of_another_program() {
    let (folder, reference) = chemical_process();
    let arguments = [
        "predict",
        "film.json",
        "--json",
        "--response",
        "yield",
        "--at",
        "x1=0.4",
        "--at",
        "x2=0.3",
    ];
    let predicted = document(folder.path(), &arguments, 0);
    let point = &predicted["points"][0];
    let response = &point["responses"][0];
    let expected = reference.expected("yield_at_0.4_0.3");
    let figure = |key: &str| response[key].as_f64().unwrap();
    expected.part("prediction").check(figure("value"));
    expected.part("se_mean").check(figure("standard_error"));
    expected
        .part("ci95")
        .check_all(&[figure("low"), figure("high")]);
    expected
        .part("pi95")
        .check_all(&[figure("single_low"), figure("single_high")]);
    assert_eq!(response["df"], 7);
    assert_eq!(point["extrapolation"]["outside_hull"], false);
}

// Box, Hunter & Hunter (1978), Statistics for Experimenters, table 7.3: randomised blocks.
#[test]
fn blocks_and_a_category_have_the_printed_table() {
    let folder = tempfile::tempdir().unwrap();
    let reference = Reference::open("penicillin-rbd");
    write_table(&reference, &folder.path().join("table.csv"));
    let arguments = [
        "import",
        "table.csv",
        "--category",
        "treatment",
        "--block",
        "blend",
        "--response",
        "yield",
        "--out",
        "film.json",
    ];
    answer(folder.path(), &arguments, 0);
    let fit = fit(folder.path(), &[]);
    for (source, squares, f) in [
        ("blend", "ss_blends", Some("F_blends")),
        ("treatment", "ss_treatments", Some("F_treatments")),
        ("residual", "ss_residual", None),
        ("total", "ss_total_corrected", None),
    ] {
        let found = row(&fit, "anova", source);
        reference
            .expected(squares)
            .check(found["sum_of_squares"].as_f64().unwrap());
        if let Some(f) = f {
            reference.expected(f).check(found["f"].as_f64().unwrap());
        }
    }
    reference
        .expected("p_treatments")
        .check(row(&fit, "anova", "treatment")["p"].as_f64().unwrap());
    // Sum-to-zero coding: all levels are told and add up to nothing; the mean of the first treatment is 84, that of all
    // 86, by hand from the table.
    let levels = fit["levels"].as_array().unwrap();
    let effects: Vec<f64> = levels
        .iter()
        .map(|l| l["estimate"].as_f64().unwrap())
        .collect();
    assert_eq!(effects.len(), 4);
    assert!(effects.iter().sum::<f64>().abs() < 1e-9);
    assert!((effects[0] + 2.0).abs() < 1e-9);
}

#[test]
fn a_reference_level_makes_coefficients_differences_from_it() {
    let folder = tempfile::tempdir().unwrap();
    let reference = Reference::open("penicillin-rbd");
    write_table(&reference, &folder.path().join("table.csv"));
    let arguments = [
        "import",
        "table.csv",
        "--category",
        "treatment",
        "--response",
        "yield",
        "--out",
        "film.json",
    ];
    answer(folder.path(), &arguments, 0);
    let fit = fit(folder.path(), &["--reference", "2"]);
    // Means of the treatments from the table, by hand: 84, 85, 89, 86.
    let expected = [
        ("1", 85.0),
        ("treatment[1]", -1.0),
        ("treatment[3]", 4.0),
        ("treatment[4]", 1.0),
    ];
    for (name, value) in expected {
        let found = figures(&fit, "estimate", &[name])[0];
        assert!((found - value).abs() < 1e-9, "{name}: {found}");
    }
    let unknown = ["fit", "film.json", "--reference", "9"];
    answer(folder.path(), &unknown, 2);
}

// The alias matrix (X1'X1)^-1 X1'X2 of Box & Wilson (1951) for ten irregular runs, computed by another program.
#[test]
fn estimates_tell_what_they_are_mixed_with() {
    let folder = tempfile::tempdir().unwrap();
    let reference = Reference::open("alias-matrix-irregular");
    let mut table = "x1,x2,x3,y".to_owned();
    for (index, point) in reference.table("points").iter().enumerate() {
        let cells: Vec<String> = point.iter().map(f64::to_string).collect();
        // Any response will do: aliases do not depend on it.
        write!(table, "\n{},{}", cells.join(","), (index * index) % 7).unwrap();
    }
    std::fs::write(folder.path().join("table.csv"), table).unwrap();
    let arguments = [
        "import",
        "table.csv",
        "--factor",
        "x1=-1..1",
        "--factor",
        "x2=-1..1",
        "--factor",
        "x3=-1..1",
        "--response",
        "y",
        "--out",
        "film.json",
    ];
    answer(folder.path(), &arguments, 0);
    let fit = fit(folder.path(), &["--model", "linear"]);
    let potential: Vec<&str> = reference
        .data("potential_terms")
        .as_array()
        .unwrap()
        .iter()
        .map(|term| term.as_str().unwrap())
        .collect();
    let matrix: Vec<Vec<f64>> = reference
        .expected("alias_matrix")
        .json()
        .as_array()
        .unwrap()
        .iter()
        .map(numbers)
        .collect();
    for (term, expected) in fit["terms"].as_array().unwrap().iter().zip(&matrix) {
        let aliases = term["aliased_with"].as_array().unwrap();
        assert_eq!(aliases.len(), potential.len());
        for (name, coefficient) in potential.iter().zip(expected) {
            let alias = aliases.iter().find(|alias| alias["term"] == *name).unwrap();
            let found = alias["coefficient"].as_f64().unwrap();
            assert!(
                (found - coefficient).abs() < 1e-9,
                "{} with {name}",
                term["name"]
            );
        }
    }
    let vifs: Vec<f64> = figures(&fit, "vif", &["x1", "x2", "x3"]);
    reference.expected("vif").check_all(&vifs);
    let leverages: Vec<f64> = fit["runs"]
        .as_array()
        .unwrap()
        .iter()
        .map(|run| run["leverage"].as_f64().unwrap())
        .collect();
    reference.expected("leverages").check_all(&leverages);
}

// Yates (1937), in Venables & Ripley, Modern Applied Statistics with S, section 6.7: N:P:K is confounded with blocks.
#[test]
fn a_term_that_is_confounded_with_blocks_is_listed_without_an_estimate() {
    let folder = tempfile::tempdir().unwrap();
    let reference = Reference::open("npk-blocked-factorial");
    import_blocked(folder.path(), &reference);
    let terms = "N, P, K, N*P, N*K, P*K, N*P*K";
    let fit = fit(folder.path(), &["--terms", terms]);
    let triple = fit["terms"].as_array().unwrap().last().unwrap();
    assert_eq!(triple["name"], "N*P*K");
    for key in ["estimate", "standard_error", "t", "p", "low", "high"] {
        assert!(triple[key].is_null(), "{key}");
    }
    assert_eq!(triple["why"], "aliased");
    let squares = reference.expected("published_ss");
    for (source, name) in [
        ("block", "block"),
        ("N", "N"),
        ("P", "P"),
        ("K", "K"),
        ("N*P", "N:P"),
        ("N*K", "N:K"),
        ("P*K", "P:K"),
        ("residual", "residual"),
    ] {
        squares.check_named(
            name,
            row(&fit, "sequential", source)["sum_of_squares"]
                .as_f64()
                .unwrap(),
        );
    }
    let f = reference.expected("published_F");
    for (source, name) in [("block", "block"), ("N", "N"), ("N*K", "N:K")] {
        f.check_named(name, row(&fit, "sequential", source)["f"].as_f64().unwrap());
    }
}

fn import_blocked(folder: &Path, reference: &Reference) {
    write_table(reference, &folder.join("table.csv"));
    let arguments = [
        "import",
        "table.csv",
        "--factor",
        "N",
        "--factor",
        "P",
        "--factor",
        "K",
        "--block",
        "block",
        "--response",
        "yield",
        "--out",
        "film.json",
    ];
    answer(folder, &arguments, 0);
}

/// Algebra: a fit on the logarithmic scale is the fit of the logarithms.
#[test]
fn the_logarithmic_scale_is_that_of_the_logarithms() {
    let folder = tempfile::tempdir().unwrap();
    let values = [
        (0.0, 3.1),
        (0.0, 2.9),
        (1.0, 5.0),
        (1.0, 5.6),
        (2.0, 9.1),
        (2.0, 8.4),
        (3.0, 15.9),
    ];
    let mut table = "x,y,log_y".to_owned();
    for (x, y) in values {
        write!(table, "\n{x},{y},{}", f64::ln(y)).unwrap();
    }
    std::fs::write(folder.path().join("table.csv"), table).unwrap();
    let arguments = [
        "import",
        "table.csv",
        "--factor",
        "x",
        "--response",
        "y",
        "--response",
        "log_y",
        "--out",
        "film.json",
    ];
    answer(folder.path(), &arguments, 0);
    let scaled = fit(
        folder.path(),
        &["--response", "y", "--transform", "log", "--model", "linear"],
    );
    let plain = fit(folder.path(), &["--response", "log_y", "--model", "linear"]);
    assert_eq!(scaled["transform"]["scale"], "log");
    assert!(plain["transform"].is_null());
    for key in ["estimate", "standard_error", "p"] {
        let (one, other) = (
            figures(&scaled, key, &["1", "x"]),
            figures(&plain, key, &["1", "x"]),
        );
        for (a, b) in one.iter().zip(&other) {
            assert!((a - b).abs() <= 1e-12 * b.abs().max(1.0), "{key}: {a} {b}");
        }
    }
}

#[test]
fn a_response_without_a_fit_says_why_and_the_answer_is_no() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(
        folder.path().join("table.csv"),
        "x,film\n1,sound\n2,faulty: streaks\n3,sound\n",
    )
    .unwrap();
    let import = [
        "import",
        "table.csv",
        "--factor",
        "x",
        "--response",
        "film",
        "--out",
        "film.json",
    ];
    answer(folder.path(), &import, 0);
    let none = document(folder.path(), &["fit", "film.json", "--json"], 1);
    let fit = &none["fits"][0];
    assert_eq!(fit["kind"], "sound");
    assert!(fit["why"].as_str().is_some_and(|why| why.contains("sound")));
    assert!(fit["terms"].as_array().unwrap().is_empty());
}

#[test]
fn what_is_not_offered_is_refused_and_not_passed_over() {
    let (folder, _) = chemical_process();
    for extra in [
        &["--method", "mixed"][..],
        &["--transform", "auto"],
        &["--transform", "0.3"],
        &["--select", "aicc"],
        &["--model", "cubic"],
        &["--terms", "x1, x9"],
        &["--level", "1.5"],
        &["--response", "colour"],
        &["--coded", "--natural"],
        &["--model", "linear", "--terms", "x1"],
    ] {
        answer(folder.path(), &[&["fit", "film.json"], extra].concat(), 2);
    }
}
