//! What a plan can learn: criteria of six standard plans, alias matrices, continuous optima, evenness, and limits.

use proptest::prelude::*;
use wetlane_stats::alias::{AliasMatrix, alias_pairs, second_order_terms_outside};
use wetlane_stats::design::{CATALOGUE, Design, DesignKind, DesignRequest, Progress, Seed, build};
use wetlane_stats::evaluation::{
    Evaluation, EvaluationError, EvaluationOptions, PredictionVariance, SetUpRequest, Stratum,
    TermEvaluation, evaluate,
};
use wetlane_stats::{
    Blocks, CodedPoint, Factor, FactorSpace, Intercept, ModelMatrix, TermList, Undefined, Value,
};

use crate::factor_spaces::{category, count, discrete, letters, numbers, points};
use crate::reference::{Reference, list, number, numbers as numbers_of};
use crate::support::assert_close;

fn built(space: &FactorSpace, kind: DesignKind, change: impl Fn(&mut DesignRequest)) -> Design {
    let mut request = DesignRequest {
        n_centre: Some(0),
        ..DesignRequest::new(kind, Seed(4))
    };
    change(&mut request);
    build(space, &request, &Progress::unwatched()).unwrap()
}

fn judged(space: &FactorSpace, terms: &TermList, runs: &[CodedPoint]) -> Evaluation {
    evaluate(space, terms, runs, &EvaluationOptions::default()).unwrap()
}

fn in_standard_order(design: &Design) -> Vec<CodedPoint> {
    let mut runs = design.runs.clone();
    runs.sort_by_key(|run| run.standard_order);
    runs.into_iter().map(|run| run.coded).collect()
}

fn standard_plan(name: &str) -> (FactorSpace, Vec<CodedPoint>) {
    let (k, kind, n_centre) = match name {
        "ccd_face_centred_k2_nc5" => (2, DesignKind::FaceCentred, 5),
        "ccd_rotatable_k2_nc5" => (2, DesignKind::CentralComposite, 5),
        "ccd_face_centred_k3_nc6" => (3, DesignKind::FaceCentred, 6),
        "ccd_rotatable_k3_nc6" => (3, DesignKind::CentralComposite, 6),
        "box_behnken_k3_nc3" => (3, DesignKind::BoxBehnken, 3),
        "factorial_3x3" => (2, DesignKind::FullFactorial, 0),
        other => panic!("unknown plan {other}"),
    };
    let space = letters(k);
    let design = built(&space, kind, |request| {
        request.n_centre = Some(n_centre);
        if kind == DesignKind::FullFactorial {
            request.n_levels = vec![Some(3); k];
        }
    });
    (space, in_standard_order(&design))
}

#[test]
fn six_standard_plans_have_the_computed_criteria() {
    // design-evaluation.json: definitions of Myers & Montgomery, Response Surface Methodology; numbers by numpy/scipy.
    let reference = Reference::open("design-evaluation");
    let entry = reference.expected("evaluations");
    for (name, case) in entry.json().as_object().unwrap() {
        let (space, runs) = standard_plan(name);
        let quadratic = TermList::quadratic(&space);
        let options = EvaluationOptions {
            n_region_points: 65_536,
            ..EvaluationOptions::default()
        };
        let own = evaluate(&space, &quadratic, &runs, &options).unwrap();
        let p = number(&case["p"]);
        let n = number(&case["n"]);
        assert_eq!((own.n_runs as f64, own.rank as f64), (n, p), "{name}");
        let check = |key: &str, actual: f64| {
            assert_close(actual, number(&case[key]), 1e-6, &format!("{name}: {key}"));
        };
        check("log_det_XtX", own.ln_determinant.clone().unwrap());
        check(
            "d_criterion_det_1_p_over_n",
            own.d_efficiency.clone().unwrap() / 100.0,
        );
        check(
            "a_efficiency_p_over_n_trace",
            own.a_efficiency.clone().unwrap() / 100.0,
        );
        check(
            "average_variance_cube",
            own.average_prediction_variance.clone().unwrap(),
        );
        check(
            "g_max_variance_on_41_grid",
            own.max_prediction_variance.clone().unwrap().variance,
        );
        check(
            "g_efficiency_p_over_n_vmax",
            own.g_efficiency.clone().unwrap() / 100.0,
        );
        // Within the gap of 2e-4 that the search of the optimum leaves, and never above.
        let of_best = own.d_efficiency_of_best.clone().unwrap() / 100.0;
        let wanted = number(&case["d_efficiency_vs_continuous"]);
        assert!(
            (of_best / wanted - 1.0).abs() < 2.5e-4 && of_best < wanted * (1.0 + 1e-9),
            "{name}: {of_best} {wanted}"
        );
        assert_all_close(&own.leverages, &case["leverages"], name);
        let vifs: Vec<f64> = own.columns[1..]
            .iter()
            .map(|c| c.vif.clone().unwrap())
            .collect();
        assert_all_close(&vifs, &case["vif_in_model_order_without_intercept"], name);
        let variances: Vec<f64> = own
            .columns
            .iter()
            .map(|column| column.relative_se.clone().unwrap().powi(2))
            .collect();
        assert_all_close(&variances, &case["coefficient_variances"], name);
        let surface = PredictionVariance::new(&space, &quadratic, &runs, None).unwrap();
        let centre = CodedPoint(vec![Value::Number(0.0); space.n_factors()]);
        check("variance_at_centre", surface.at(&centre).unwrap());
        let region = surface.over_region(65_536, None).unwrap();
        for (share, wanted) in case["fds_quantiles"].as_object().unwrap() {
            let share: f64 = share.parse().unwrap();
            assert_close(region.quantile(share), number(wanted), 1e-6, name);
            let in_curve = own.fraction_of_design_space.as_ref().unwrap();
            if let Some((_, variance)) = in_curve.iter().find(|(s, _)| (s - share).abs() < 1e-9) {
                assert_close(*variance, number(wanted), 1e-6, name);
            }
        }
    }
}

fn assert_all_close(actual: &[f64], wanted: &serde_json::Value, name: &str) {
    let wanted = numbers_of(wanted);
    assert_eq!(actual.len(), wanted.len(), "{name}");
    for (actual, wanted) in actual.iter().zip(wanted) {
        assert_close(*actual, wanted, 1e-6, name);
    }
}

#[test]
fn a_rotatable_plan_has_equal_variance_on_circles() {
    // Box & Hunter (1957); design-evaluation.json: 0.26875 on the unit circle.
    let reference = Reference::open("design-evaluation");
    let (space, runs) = standard_plan("ccd_rotatable_k2_nc5");
    let surface =
        PredictionVariance::new(&space, &TermList::quadratic(&space), &runs, None).unwrap();
    for step in 0..24 {
        let angle = f64::from(step) * std::f64::consts::PI / 12.0;
        let point = CodedPoint(vec![Value::Number(angle.cos()), Value::Number(angle.sin())]);
        reference
            .expected("rotatable_variance_k2_radius_1")
            .check(surface.at(&point).unwrap());
    }
}

#[test]
fn continuous_optima_of_the_quadratic_are_the_published_ones() {
    // optimal-designs-quadratic-cube.json: Farrell, Kiefer & Walbran (1967), Atkinson & Donev (1992); maximum variance
    // = p to 1e-10 proves the optimum. The bound lies above it by at most the gap that the search leaves, 2e-4 per column.
    let reference = Reference::open("optimal-designs-quadratic-cube");
    for (k, case) in reference.data("continuous").as_object().unwrap() {
        let k: usize = k.parse().unwrap();
        let space = letters(k);
        let design = built(&space, DesignKind::FullFactorial, |request| {
            request.n_levels = vec![Some(3); k];
        });
        let own = judged(&space, &TermList::quadratic(&space), &design.points());
        let reference_value = own.d_efficiency.unwrap() / own.d_efficiency_of_best.unwrap();
        let wanted = number(&case["det_1_p"]);
        assert!(
            reference_value >= wanted * (1.0 - 1e-9),
            "{k}: {reference_value} {wanted}"
        );
        assert!(
            reference_value <= wanted * (1.0 + 2.5e-4),
            "{k}: {reference_value} {wanted}"
        );
    }
}

#[test]
fn exact_plans_have_the_computed_efficiency_and_average_variance() {
    // optimal-designs-quadratic-cube.json: D- and I-optimal plans found by coordinate exchange (numpy); among them the
    // six-run plan of Box & Draper (1971), Biometrika 58, 731–742. Points are printed to six decimals: 1e-5.
    let reference = Reference::open("optimal-designs-quadratic-cube");
    for case in list(reference.data("exact")) {
        let k = count(number(&case["k"]));
        let rows: Vec<Vec<f64>> = list(&case["points"]).iter().map(numbers_of).collect();
        let space = letters(k);
        let own =
            PredictionVariance::new(&space, &TermList::quadratic(&space), &points(&rows), None)
                .unwrap();
        let label = format!("{k} factors, {} runs", rows.len());
        assert_close(
            own.ln_determinant().unwrap(),
            number(&case["log_det_XtX"]),
            1e-5,
            &label,
        );
        assert_close(
            own.average().unwrap(),
            number(&case["average_variance_cube"]),
            1e-5,
            &label,
        );
    }
}

#[test]
fn a_damaged_factorial_has_the_computed_aliases_inflation_and_power() {
    // alias-matrix-irregular.json: Box & Wilson (1951) definition, numpy.
    let reference = Reference::open("alias-matrix-irregular");
    let space = FactorSpace::new(
        ["x1", "x2", "x3"]
            .map(|name| Factor::continuous(name, -1.0, 1.0).unwrap())
            .to_vec(),
    )
    .unwrap();
    let runs = points(&reference.table("points"));
    let linear = TermList::linear(&space);
    let model = ModelMatrix::new(&space, &linear, &runs, None).unwrap();
    let outside_terms = second_order_terms_outside(&space, &linear);
    let outside = ModelMatrix::new(&space, &outside_terms, &runs, None).unwrap();
    let matrix = AliasMatrix::new(&model, &outside).unwrap();
    let rows = list(reference.expected("alias_matrix").json()).len();
    let wanted: Vec<Vec<f64>> = list(reference.expected("alias_matrix").json())
        .iter()
        .map(numbers_of)
        .collect();
    assert_eq!(matrix.coefficients.shape(), (rows, 6));
    let mut sum = 0.0;
    for (row, wanted) in wanted.iter().enumerate() {
        for (column, wanted) in wanted.iter().enumerate() {
            assert_close(
                matrix.coefficients[(row, column)],
                *wanted,
                1e-9,
                "alias matrix",
            );
            sum += wanted * wanted;
        }
    }
    assert_close(matrix.trace(), sum, 1e-9, "tr A'A");
    // Effect 2 sigma across the range: coefficient 1 sigma.
    let own = judged(&space, &linear, &runs);
    let vifs: Vec<f64> = own.columns[1..]
        .iter()
        .map(|c| c.vif.clone().unwrap())
        .collect();
    reference.expected("vif").check_all(&vifs);
    reference
        .expected("log_det_XtX")
        .check(own.ln_determinant.clone().unwrap());
    reference.expected("leverages").check_all(&own.leverages);
    let powers: Vec<f64> = own.terms[1..]
        .iter()
        .map(|t| t.power.clone().unwrap())
        .collect();
    reference
        .expected("power_coefficient_1sigma")
        .check_all(&powers);
    for term in &own.terms[1..] {
        assert_close(term.assumed_coefficient.clone().unwrap(), 1.0, 1e-15, "E/2");
        assert_close(term.error_df.clone().unwrap(), 6.0, 1e-15, "10 − 4");
    }
    let wanted = list(reference.expected("correlation_all_terms").json());
    assert_eq!(
        own.correlations.names,
        [
            "x1", "x2", "x3", "x1^2", "x2^2", "x3^2", "x1*x2", "x1*x3", "x2*x3"
        ]
    );
    for (row, wanted) in own.correlations.matrix.iter().zip(wanted) {
        for (own, wanted) in row.iter().zip(numbers_of(wanted)) {
            assert_close(own.unwrap(), wanted, 1e-9, "correlations");
        }
    }
    // Pairs: every coefficient of the matrix once, largest first.
    assert_eq!(own.aliases.len(), 24);
    assert_eq!(
        (own.aliases[0].term.as_str(), own.aliases[0].with.as_str()),
        ("1", "x2^2")
    );
    assert!(
        own.aliases
            .is_sorted_by(|a, b| a.coefficient.abs() >= b.coefficient.abs())
    );
    assert_eq!(own.fraction, None);
}

/// What a plan says about one term for an effect of this many standard deviations.
fn term_of(own: Evaluation, name: &str) -> TermEvaluation {
    own.terms
        .into_iter()
        .find(|term| term.name == name)
        .unwrap()
}

fn with_effect(
    space: &FactorSpace,
    terms: &TermList,
    runs: &[CodedPoint],
    effect_over_sigma: f64,
) -> Evaluation {
    let options = EvaluationOptions {
        effect_over_sigma,
        ..EvaluationOptions::default()
    };
    evaluate(space, terms, runs, &options).unwrap()
}

fn check_power_case(index: usize, own: &TermEvaluation) {
    let reference = Reference::open("power-examples");
    let case = &list(reference.data("cases"))[index];
    let name = case["case"].as_str().unwrap();
    let power = own.power.clone().unwrap();
    assert!(
        (power - number(&case["power"])).abs() < 1e-6,
        "{name}: {power}"
    );
    assert_close(
        own.noncentrality.clone().unwrap(),
        number(&case["lambda"]),
        1e-12,
        name,
    );
    assert_close(
        own.error_df.clone().unwrap(),
        number(&case["df2"]),
        1e-12,
        name,
    );
}

#[test]
fn power_of_two_level_terms_follows_from_plan_model_and_effect() {
    // power-examples.json: mpmath 1.3.0. Plans and models as the cases state.
    let full = |k: usize, n_replicates: usize| {
        built(&letters(k), DesignKind::FullFactorial, |r| {
            r.n_replicates = n_replicates;
        })
        .points()
    };
    let three = letters(3);
    let own = with_effect(&three, &TermList::linear(&three), &full(3, 1), 2.0);
    check_power_case(0, &term_of(own, "B"));
    let all = TermList::parse("A,B,C,A*B,A*C,B*C,A*B*C", &three, Intercept::Included).unwrap();
    let own = with_effect(&three, &all, &full(3, 2), 1.5);
    check_power_case(1, &term_of(own, "A*B*C"));
    let four = letters(4);
    let own = with_effect(&four, &TermList::interactions(&four), &full(4, 1), 2.0);
    check_power_case(2, &term_of(own, "A*D"));
    let seven = letters(7);
    let fraction = built(&seven, DesignKind::FractionalFactorial, |r| {
        r.n_runs = Some(16);
    });
    let own = with_effect(&seven, &TermList::linear(&seven), &fraction.points(), 1.0);
    check_power_case(3, &term_of(own, "G"));
    let five = letters(5);
    let own = with_effect(&five, &TermList::interactions(&five), &full(5, 1), 1.0);
    check_power_case(5, &term_of(own, "C*E"));
    // A square runs over 0…1: its coefficient is the whole effect, that of a product half of it.
    let (space, runs) = standard_plan("factorial_3x3");
    let own = judged(&space, &TermList::quadratic(&space), &runs);
    let assumed: Vec<f64> = own.terms[1..]
        .iter()
        .map(|t| t.assumed_coefficient.clone().unwrap())
        .collect();
    assert_eq!(assumed, [1.0, 1.0, 2.0, 2.0, 1.0]);
    assert_eq!(own.terms[0].power, Err(Undefined::Intercept));
}

#[test]
fn power_of_categories_assumes_the_most_unlucky_levels() {
    // power-examples.json: mpmath 1.3.0, largest pairwise difference stated, others midway.
    for (case, n_levels, n_each, effect) in [(6, 4, 5, 2.0), (7, 3, 4, 1.5), (8, 5, 3, 2.0)] {
        let names: Vec<String> = (0..n_levels)
            .map(|level| format!("level {level}"))
            .collect();
        let space = FactorSpace::new(vec![Factor::categorical("gas", names).unwrap()]).unwrap();
        let runs = built(&space, DesignKind::FullFactorial, |r| {
            r.n_replicates = n_each;
        })
        .points();
        let own = with_effect(&space, &TermList::linear(&space), &runs, effect);
        let gas = term_of(own, "gas");
        check_power_case(case, &gas);
        assert_eq!(gas.n_columns, n_levels - 1);
        assert_eq!(gas.assumed_coefficient, Err(Undefined::DoesNotApply));
    }
}

#[test]
fn an_orthogonal_two_level_plan_has_full_efficiency() {
    // Definition (docs/methods.md, 4.1): 100 per cent for a two-level orthogonal plan of a first-order or interaction
    // model; with a balanced category in orthonormal coding as well.
    let space = FactorSpace::new(vec![
        Factor::continuous("speed", 1.0, 5.0).unwrap(),
        category("gas", &["air", "argon", "nitrogen", "helium"]),
        category("foil", &["PET", "PEN"]),
    ])
    .unwrap();
    let runs = built(&space, DesignKind::FullFactorial, |_| ()).points();
    for terms in [TermList::linear(&space), TermList::interactions(&space)] {
        let own = judged(&space, &terms, &runs);
        for efficiency in [own.d_efficiency, own.a_efficiency, own.g_efficiency] {
            assert_close(efficiency.unwrap(), 100.0, 1e-9, "orthogonal");
        }
        assert!((own.d_efficiency_of_best.unwrap() - 100.0).abs() < 0.11);
        // The largest variance of a saturated orthogonal plan is p/n, everywhere at the corners.
        assert_close(
            own.max_prediction_variance.unwrap().variance,
            own.rank as f64 / 16.0,
            1e-9,
            "p/n",
        );
    }
}

#[test]
fn fractions_list_their_aliases_once_in_canonical_order() {
    // By hand: 2^(4-1) with I = ABCD. Main effects alone: nothing of the model is aliased inside; outside, pairs of
    // products are equal to each other but not to main effects; squares equal the mean.
    let space = letters(4);
    let half = built(&space, DesignKind::FractionalFactorial, |r| {
        r.generators = Some("D=ABC".to_owned());
    });
    let own = judged(&space, &TermList::linear(&space), &half.points());
    let pairs = |own: &Evaluation| -> Vec<String> {
        own.aliases
            .iter()
            .map(|pair| format!("{} {} {}", pair.term, pair.with, pair.coefficient.round()))
            .collect()
    };
    assert_eq!(pairs(&own), ["1 A^2 1", "1 B^2 1", "1 C^2 1", "1 D^2 1"]);
    let fraction = own.fraction.as_ref().unwrap();
    assert_eq!(fraction.resolution(), Some(4));
    assert_eq!(fraction.word_length_pattern(), [0, 1]);
    assert_eq!(fraction.words()[0].name(&space), "+ABCD");
    // Products in the model: each pair of equal ones once.
    let own = judged(&space, &TermList::interactions(&space), &half.points());
    assert_eq!(
        pairs(&own),
        [
            "1 A^2 1",
            "1 B^2 1",
            "1 C^2 1",
            "1 D^2 1",
            "A*B C*D 1",
            "A*C B*D 1",
            "A*D B*C 1"
        ]
    );
    assert_eq!((own.rank, own.error_df), (8, 0));
    assert_eq!(own.d_efficiency, Err(Undefined::Aliased));
    assert_eq!(own.d_efficiency_of_best, Err(Undefined::Aliased));
    assert_eq!(own.max_prediction_variance, Err(Undefined::Aliased));
    assert_eq!(own.fraction_of_design_space, Err(Undefined::Aliased));
    let of = |name: &str| own.terms.iter().find(|t| t.name == name).unwrap();
    assert_eq!(of("C*D").power, Err(Undefined::Aliased));
    assert_eq!(of("A*B").power, Err(Undefined::NoErrorDf));
    // 2^(5-2), I = ABD = ACE = BCDE (alias-tables.json): B*C = D*E and B*E = C*D are both outside the mains; inside the
    // interaction model the pair of two dropped products BD = CE (both equal A) is listed too.
    let space = letters(5);
    let quarter = built(&space, DesignKind::FractionalFactorial, |r| {
        r.generators = Some("D=AB E=-AC".to_owned());
    });
    let own = judged(&space, &TermList::interactions(&space), &quarter.points());
    let inside: Vec<String> = pairs(&own)
        .into_iter()
        .filter(|p| !p.starts_with("1 "))
        .collect();
    assert_eq!(
        inside,
        [
            "A B*D 1",
            "A C*E -1",
            "B A*D 1",
            "C A*E -1",
            "D A*B 1",
            "E A*C -1",
            "B*C D*E -1",
            "B*D C*E -1",
            "B*E C*D -1"
        ]
    );
}

#[test]
fn regular_fractions_of_the_catalogue_are_recognized_by_evaluation() {
    for entry in CATALOGUE.iter().filter(|entry| entry.n_runs <= 16) {
        let space = letters(entry.n_factors);
        let design = built(&space, DesignKind::FractionalFactorial, |r| {
            r.n_runs = Some(entry.n_runs);
            r.n_centre = Some(3);
        });
        let recognized =
            wetlane_stats::design::RegularFraction::recognize(&space, &design.points()).unwrap();
        assert_eq!(recognized.words(), design.details.fraction.unwrap().words());
    }
}

#[test]
fn twin_columns_are_named_together() {
    // Pitfall 18 of docs/methods.md, 7.4: two factors with identical columns.
    let space = letters(2);
    let rows: Vec<Vec<f64>> = [-1.0, 1.0, -1.0, 1.0, 0.0]
        .iter()
        .map(|x| vec![*x, *x])
        .collect();
    let own = judged(&space, &TermList::linear(&space), &points(&rows));
    let first = &own.aliases.iter().find(|pair| pair.with == "B").unwrap();
    assert_eq!(first.term, "A");
    assert_close(first.coefficient, 1.0, 1e-12, "identical columns");
    assert_close(
        own.max_column_correlation.unwrap(),
        1.0,
        1e-12,
        "identical columns",
    );
    assert_eq!(own.columns[2].vif, Err(Undefined::Aliased));
}

#[test]
fn second_levels_keep_their_sign() {
    // Pitfall 22 of docs/methods.md, 7.4: a category of two levels is −1 at the first, +1 at the second, so that the
    // generated factor `foil = A·gas` has its second level where the product is positive, and its alias sign is +.
    let space = FactorSpace::new(vec![
        Factor::continuous("A", -1.0, 1.0).unwrap(),
        category("gas", &["air", "argon"]),
        category("foil", &["PET", "PEN"]),
    ])
    .unwrap();
    let half = built(&space, DesignKind::FractionalFactorial, |r| {
        r.generators = Some("foil=A*gas".to_owned());
    });
    for run in &half.runs {
        let x = numbers(&run.coded);
        let sign = |level: f64| 2.0 * level - 1.0;
        assert!((x[0] * sign(x[1]) - sign(x[2])).abs() < 1e-12);
    }
    let pairs = alias_pairs(&space, &TermList::linear(&space), &half.points(), None).unwrap();
    let names: Vec<(String, String, i8)> = pairs
        .into_iter()
        .filter(|pair| pair.term != "1")
        .map(|pair| {
            (
                pair.term,
                pair.with,
                if pair.coefficient > 0.0 { 1 } else { -1 },
            )
        })
        .collect();
    let expected = [
        ("A", "gas[argon]*foil[PEN]", 1),
        ("gas[argon]", "A*foil[PEN]", 1),
        ("foil[PEN]", "A*gas[argon]", 1),
    ];
    assert_eq!(
        names,
        expected.map(|(a, b, s)| (a.to_owned(), b.to_owned(), s))
    );
}

#[test]
fn blocks_belong_to_the_model_and_confound_what_they_should() {
    // By hand: 2^3 in two blocks by ABC: the block column equals the triple product and no pair; a 2^2 in two blocks by
    // AB: the block is A*B.
    let space = letters(2);
    let design = built(&space, DesignKind::FullFactorial, |r| r.n_blocks = 2);
    let blocks = Blocks {
        name: "day".to_owned(),
        labels: vec!["1".to_owned(), "2".to_owned()],
        of_run: design
            .runs
            .iter()
            .map(|run| run.block.unwrap() - 1)
            .collect(),
    };
    let options = EvaluationOptions {
        blocks: Some(&blocks),
        ..EvaluationOptions::default()
    };
    let own = evaluate(
        &space,
        &TermList::linear(&space),
        &design.points(),
        &options,
    )
    .unwrap();
    let alias = own.aliases.iter().find(|pair| pair.with == "A*B").unwrap();
    assert_eq!(alias.term, "day[2]");
    assert_close(alias.coefficient, 1.0, 1e-12, "block 2 where A*B is +");
    assert_eq!((own.n_columns, own.rank, own.error_df), (4, 4, 0));
    // Orthogonal columns, four runs: D 100, and prediction in an average block has variance (1 + x² + y²)/4 ≤ 3/4.
    assert_close(own.d_efficiency.unwrap(), 100.0, 1e-9, "orthogonal");
    assert_close(
        own.max_prediction_variance.unwrap().variance,
        0.75,
        1e-9,
        "by hand",
    );
    assert_eq!(own.d_efficiency_of_best, Err(Undefined::DoesNotApply));
    assert_eq!(own.terms[1].name, "day");
    assert_eq!(own.terms[1].power, Err(Undefined::DoesNotApply));
}

#[test]
fn limits_bound_the_region() {
    // By hand: one factor, runs at ±1, linear model: v(x) = (1 + x²)/2. Within x ≤ 0 the maximum is at −1, the average
    // over −1…0 is (1 + 1/3)/2 = 2/3.
    let space = letters(1);
    let runs = points(&[vec![-1.0], vec![1.0]]);
    let is_feasible = |point: &CodedPoint| numbers(point)[0] <= 0.0;
    let options = EvaluationOptions {
        is_feasible: Some(&is_feasible),
        ..EvaluationOptions::default()
    };
    let own = evaluate(&space, &TermList::linear(&space), &runs, &options).unwrap();
    let greatest = own.max_prediction_variance.unwrap();
    assert_close(greatest.variance, 1.0, 1e-12, "by hand");
    assert_close(numbers(&greatest.point)[0], -1.0, 1e-12, "by hand");
    assert_close(
        own.average_prediction_variance.unwrap(),
        2.0 / 3.0,
        1e-3,
        "by hand",
    );
    assert_eq!(own.infeasible_runs, [1]);
    // The best plan of the region −1…0 puts half its weight at each end: |M| = 1/4 of that of ±1, so the plan at ±1
    // reaches √4 = 200 per cent of it.
    assert!((own.d_efficiency_of_best.unwrap() - 200.0).abs() < 0.25);
    let nothing = |_: &CodedPoint| false;
    let options = EvaluationOptions {
        is_feasible: Some(&nothing),
        ..EvaluationOptions::default()
    };
    let own = evaluate(&space, &TermList::linear(&space), &runs, &options).unwrap();
    assert_eq!(own.max_prediction_variance, Err(Undefined::NoFeasiblePoint));
    assert_eq!(
        own.average_prediction_variance,
        Err(Undefined::NoFeasiblePoint)
    );
    assert_eq!(own.g_efficiency, Err(Undefined::NoFeasiblePoint));
    assert_eq!(own.d_efficiency_of_best, Err(Undefined::NoFeasiblePoint));
    assert_eq!(own.infeasible_runs, [0, 1]);
}

#[test]
fn maxima_between_the_corners_are_found() {
    // By hand: one factor, quadratic model, runs at −1, −1, 1, 1, 0 … many at the ends and one in the middle: v has its
    // greatest value at 0 when the middle is run once: v(0) = 1/1 there (saturated square): runs (−1)×4, (1)×4, 0×1.
    let space = letters(1);
    let rows: Vec<Vec<f64>> = [-1.0, -1.0, -1.0, -1.0, 1.0, 1.0, 1.0, 1.0, 0.0]
        .iter()
        .map(|x| vec![*x])
        .collect();
    let own = judged(&space, &TermList::quadratic(&space), &points(&rows));
    let greatest = own.max_prediction_variance.unwrap();
    assert_close(
        greatest.variance,
        1.0,
        1e-12,
        "a run of its own is fitted exactly",
    );
    assert!(numbers(&greatest.point)[0].abs() < 1e-6);
    assert_eq!(own.indispensable_runs, [8]);
    assert_eq!(own.influential_runs, [8]);
}

#[test]
fn lists_and_categories_limit_where_predictions_are_asked() {
    // By hand: a number that can be 0, 1 or 2 (coded −1, 0, 1), linear model, runs at both ends: v = (1 + x²)/2 averages
    // to (1 + 2/3)/2 = 5/6 over the three settings; with a two-level category (orthogonal) p/n at the corners.
    let space = FactorSpace::new(vec![discrete("roll", &[0.0, 1.0, 2.0])]).unwrap();
    let runs = points(&[vec![-1.0], vec![1.0]]);
    let own = judged(&space, &TermList::linear(&space), &runs);
    assert_close(
        own.average_prediction_variance.unwrap(),
        5.0 / 6.0,
        1e-12,
        "by hand",
    );
    let space = FactorSpace::new(vec![
        Factor::continuous("speed", -1.0, 1.0).unwrap(),
        category("gas", &["air", "argon", "nitrogen"]),
    ])
    .unwrap();
    let runs = built(&space, DesignKind::FullFactorial, |_| ()).points();
    let own = judged(&space, &TermList::linear(&space), &runs);
    // Orthonormal columns: v = (1 + x² + 2)/6: average (3 + 1/3)/6, greatest 4/6, by hand.
    assert_close(
        own.average_prediction_variance.unwrap(),
        (3.0 + 1.0 / 3.0) / 6.0,
        1e-12,
        "by hand",
    );
    assert_close(
        own.max_prediction_variance.unwrap().variance,
        4.0 / 6.0,
        1e-12,
        "by hand",
    );
}

#[test]
fn set_ups_cost_what_their_covariance_says() {
    // By hand: 2² replicated four times, A hard to change: eight set-ups of two runs (one for each A and replicate),
    // variance ratio η, run variance 1. The mean and A have variance (η + 1/2)/8, B and A*B 1/16 (both runs of every
    // set-up enter with opposite signs). |X'V⁻¹X|^(1/4) over |X'X|^(1/4), times 1 + η: (1+η)/√(2η + 1).
    let space = letters(2);
    let mut rows = Vec::new();
    let mut of_run = Vec::new();
    for set_up in 0..8_u8 {
        let a = if set_up % 2 == 0 { -1.0 } else { 1.0 };
        for b in [-1.0, 1.0] {
            rows.push(vec![a, b]);
            of_run.push(usize::from(set_up) + 10);
        }
    }
    let runs = points(&rows);
    for ratio in [0.0, 0.5, 1.0, 4.0] {
        let options = EvaluationOptions {
            set_ups: Some(SetUpRequest {
                of_run: &of_run,
                variance_ratio: ratio,
            }),
            effect_over_sigma: 1.0,
            ..EvaluationOptions::default()
        };
        let own = evaluate(&space, &TermList::interactions(&space), &runs, &options).unwrap();
        let split = own.split_plot.clone().unwrap();
        assert_eq!(split.n_set_ups, 8);
        let expected = 100.0 * (1.0 + ratio) / (2.0 * ratio + 1.0).sqrt();
        assert_close(
            split.efficiency_against_full_shuffle.unwrap(),
            expected,
            1e-10,
            "by hand",
        );
        let total = 1.0 + ratio;
        let squared =
            |column: usize| own.columns[column].relative_se.clone().unwrap().powi(2) * total;
        assert_close(squared(1), (ratio + 0.5) / 8.0, 1e-10, "A between set-ups");
        assert_close(squared(2), 1.0 / 16.0, 1e-10, "B within set-ups");
        assert_close(squared(3), 1.0 / 16.0, 1e-10, "A*B within set-ups");
        let [a, b] = [1, 2].map(|place: usize| own.terms[place].clone());
        assert_eq!(
            (a.stratum, b.stratum),
            (Some(Stratum::SetUps), Some(Stratum::Runs))
        );
        if ratio > 0.0 {
            // Balanced: the classical strata. Eight set-ups less mean and A leave 6 df; 16 runs less 8 set-ups less two
            // effects leave 6.
            assert_close(a.error_df.unwrap(), 6.0, 1e-6, "classical strata");
            assert_close(b.error_df.unwrap(), 6.0, 1e-6, "classical strata");
        }
        // One sd of its own stratum across the range: half a sd as coefficient: λ = 8/4 between set-ups, 16/4 within.
        assert_close(a.noncentrality.unwrap(), 2.0, 1e-9, "by hand");
        assert_close(b.noncentrality.unwrap(), 4.0, 1e-9, "by hand");
        assert_eq!(own.g_efficiency, Err(Undefined::DoesNotApply));
        // Property 28 of docs/methods.md, 8.3: without scatter between set-ups the ordinary criterion comes out.
        if ratio == 0.0 {
            let plain = judged(&space, &TermList::interactions(&space), &runs);
            assert_close(
                own.d_efficiency.unwrap(),
                plain.d_efficiency.unwrap(),
                1e-12,
                "η = 0",
            );
        }
    }
}

#[test]
fn too_few_set_ups_leave_no_test_between_them() {
    // Pitfall 26 of docs/methods.md, 7.4: one set-up a setting, one set-up only, set-ups of one run.
    let space = letters(2);
    let runs = points(&[
        vec![-1.0, -1.0],
        vec![-1.0, 1.0],
        vec![-1.0, 0.0],
        vec![1.0, -1.0],
        vec![1.0, 1.0],
        vec![1.0, 0.0],
    ]);
    let with = |of_run: &[usize]| {
        let options = EvaluationOptions {
            set_ups: Some(SetUpRequest {
                of_run,
                variance_ratio: 1.0,
            }),
            ..EvaluationOptions::default()
        };
        evaluate(&space, &TermList::linear(&space), &runs, &options).unwrap()
    };
    let own = with(&[1, 1, 1, 2, 2, 2]);
    assert_eq!(own.terms[1].power, Err(Undefined::NoErrorDf));
    assert_close(
        own.terms[2].error_df.clone().unwrap(),
        3.0,
        1e-6,
        "6 runs − 2 set-ups − B",
    );
    assert!(own.terms[2].power.is_ok());
    let one = with(&[7; 6]);
    assert!(one.terms[2].power.is_ok());
    let single = with(&[1, 2, 3, 4, 5, 6]);
    assert_eq!(single.split_plot.unwrap().n_set_ups, 6);
}

#[test]
fn wrong_questions_are_refused() {
    let space = letters(2);
    let runs = points(&[vec![-1.0, 1.0], vec![1.0, -1.0]]);
    let linear = TermList::linear(&space);
    let ask = |options: &EvaluationOptions<'_>| evaluate(&space, &linear, &runs, options);
    assert_eq!(
        evaluate(&space, &linear, &[], &EvaluationOptions::default()).unwrap_err(),
        EvaluationError::NoRuns
    );
    assert_eq!(
        evaluate(
            &space,
            &TermList::new(Vec::new()),
            &runs,
            &EvaluationOptions::default()
        )
        .unwrap_err(),
        EvaluationError::NoTerms
    );
    for alpha in [0.0, 1.0, f64::NAN] {
        let options = EvaluationOptions {
            alpha,
            ..EvaluationOptions::default()
        };
        assert!(matches!(ask(&options), Err(EvaluationError::Power(_))));
    }
    for effect_over_sigma in [-1.0, f64::NAN, f64::INFINITY] {
        let options = EvaluationOptions {
            effect_over_sigma,
            ..EvaluationOptions::default()
        };
        assert!(matches!(ask(&options), Err(EvaluationError::Power(_))));
    }
    for (of_run, variance_ratio) in [(vec![1], 1.0), (vec![1, 2], -1.0), (vec![1, 2], f64::NAN)] {
        let options = EvaluationOptions {
            set_ups: Some(SetUpRequest {
                of_run: &of_run,
                variance_ratio,
            }),
            ..EvaluationOptions::default()
        };
        assert!(matches!(
            ask(&options),
            Err(EvaluationError::SetUpsLength { .. } | EvaluationError::BadVarianceRatio { .. })
        ));
    }
    let short = vec![CodedPoint(vec![Value::Number(0.0)])];
    assert!(matches!(
        evaluate(&space, &linear, &short, &EvaluationOptions::default()),
        Err(EvaluationError::Stats(_))
    ));
    let wrong = vec![CodedPoint(vec![Value::Number(0.0), Value::Level(0)])];
    assert!(matches!(
        evaluate(&space, &linear, &wrong, &EvaluationOptions::default()),
        Err(EvaluationError::Stats(_))
    ));
}

#[test]
fn single_runs_and_saturated_models_are_judged_as_far_as_they_go() {
    // Pitfall 1 of docs/methods.md, 7.4: p > n, p = n.
    let space = letters(2);
    let one = judged(
        &space,
        &TermList::linear(&space),
        &points(&[vec![0.0, 0.0]]),
    );
    assert_eq!((one.rank, one.error_df), (1, 0));
    assert_eq!(
        one.min_distance,
        Err(Undefined::TooFewRuns {
            needed: 1,
            present: 1
        })
    );
    assert_eq!(one.max_column_correlation, Err(Undefined::DoesNotVary));
    assert!(
        one.correlations
            .matrix
            .iter()
            .flatten()
            .all(Option::is_none)
    );
    let mean = judged(
        &space,
        &TermList::mean_only(),
        &points(&[vec![0.0, 0.0], vec![1.0, 1.0]]),
    );
    assert_close(
        mean.d_efficiency.unwrap(),
        100.0,
        1e-12,
        "one column of ones",
    );
    assert_eq!(mean.terms[0].power, Err(Undefined::Intercept));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    // Properties 7, 18 and 22 of docs/methods.md, 8.3.
    #[test]
    fn criteria_do_not_depend_on_the_order_of_runs_and_curves_do_not_fall(
        rows in prop::collection::vec(prop::collection::vec(-1.0_f64..1.0, 3), 12..24),
        rotation in 0_usize..12,
    ) {
        let space = letters(3);
        let quadratic = TermList::quadratic(&space);
        let runs = points(&rows);
        let mut turned = runs.clone();
        turned.rotate_left(rotation);
        let (one, other) = (judged(&space, &quadratic, &runs), judged(&space, &quadratic, &turned));
        let d = one.d_efficiency.unwrap();
        prop_assert!((0.0..=100.0).contains(&d));
        prop_assert!((d / other.d_efficiency.unwrap() - 1.0).abs() < 1e-9);
        let of_best = one.d_efficiency_of_best.unwrap();
        prop_assert!((0.0..=100.0).contains(&of_best), "{}", of_best);
        let curve = one.fraction_of_design_space.unwrap();
        prop_assert!(curve.is_sorted_by(|a, b| a.0 < b.0 && a.1 <= b.1));
        let surface = PredictionVariance::new(&space, &quadratic, &runs, None).unwrap();
        let region = surface.over_region(16_384, None).unwrap();
        let average = one.average_prediction_variance.unwrap();
        // Sobol points: error far below that of 16384 random ones; v is a polynomial of degree 4.
        prop_assert!((region.mean() / average - 1.0).abs() < 5e-3, "{} {}", region.mean(), average);
        let greatest = one.max_prediction_variance.unwrap();
        prop_assert!(greatest.variance >= region.sorted()[region.sorted().len() - 1] * (1.0 - 1e-12));
        prop_assert!((region.share_up_to(greatest.variance) - 1.0).abs() < 1e-12);
        // Property 2: leverages add up to the number of columns.
        prop_assert!((one.leverages.iter().sum::<f64>() - 10.0).abs() < 1e-9);
        let g = one.g_efficiency.unwrap();
        prop_assert!(g > 0.0 && g <= 100.0);
    }
}
