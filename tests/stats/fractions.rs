//! Regular two-level fractions and their blocks: published tables, complete searches, and the algebra of words.

use std::collections::BTreeSet;

use proptest::prelude::*;
use wetlane_stats::design::{
    CATALOGUE, Design, DesignError, DesignKind, DesignNote, DesignRequest, Progress,
    RegularFraction, Seed, Word, block_words, build, fractions_for,
};
use wetlane_stats::{CodedPoint, Factor, FactorSpace, Value};

use crate::factor_spaces::{category, count, letters, numbers};
use crate::reference::{Reference, list, number, numbers as numbers_of};

fn request() -> DesignRequest {
    DesignRequest {
        n_centre: Some(0),
        ..DesignRequest::new(DesignKind::FractionalFactorial, Seed(11))
    }
}

fn generated(generators: &str, space: &FactorSpace) -> Result<Design, DesignError> {
    let asked = DesignRequest {
        generators: Some(generators.to_owned()),
        ..request()
    };
    build(space, &asked, &Progress::unwatched())
}

fn fraction_of(design: &Design) -> RegularFraction {
    design.details.fraction.clone().unwrap()
}

fn texts(value: &serde_json::Value) -> Vec<String> {
    list(value)
        .iter()
        .map(|text| text.as_str().unwrap().to_owned())
        .collect()
}

#[test]
fn catalogue_has_the_published_word_length_patterns() {
    // minimum-aberration-catalogue.json: Fries & Hunter (1980), Chen, Sun & Wu (1993), NIST files; each pattern proved
    // smallest by complete search.
    let reference = Reference::open("minimum-aberration-catalogue");
    let entries = list(reference.data("entries"));
    assert_eq!(entries.len(), CATALOGUE.len());
    for entry in entries {
        let n_factors = count(number(&entry["factors"]));
        let n_runs = count(number(&entry["runs"]));
        let space = letters(n_factors);
        let asked = DesignRequest {
            n_runs: Some(n_runs),
            ..request()
        };
        let design = build(&space, &asked, &Progress::unwatched()).unwrap();
        let fraction = fraction_of(&design);
        let label = format!("{n_runs} runs, {n_factors} factors");
        assert_eq!(design.runs.len(), n_runs, "{label}");
        let own: Vec<String> = fraction
            .generators()
            .iter()
            .map(|generator| generator.name(&space))
            .collect();
        assert_eq!(own, texts(&entry["generators"]), "{label}");
        assert_eq!(
            fraction.resolution(),
            Some(count(number(&entry["resolution"]))),
            "{label}"
        );
        let mut pattern: Vec<f64> = fraction
            .word_length_pattern()
            .iter()
            .map(|n| *n as f64)
            .collect();
        let wanted = numbers_of(&entry["wlp_from_A3"]);
        pattern.resize(wanted.len(), 0.0);
        assert_eq!(pattern, wanted, "{label}");
        let clear = fraction.clear_effects();
        let n_main = clear.iter().filter(|effect| effect.length() == 1).count();
        assert_eq!(
            n_main as f64,
            number(&entry["clear_main_effects"]),
            "{label}"
        );
        assert_eq!(
            (clear.len() - n_main) as f64,
            number(&entry["clear_two_factor_interactions"]),
            "{label}"
        );
    }
}

#[test]
fn alias_tables_equal_the_published_strings() {
    // alias-tables.json: generators of Box, Hunter & Hunter (1978) and Montgomery; 2^(9-4) as in NIST file 2TO9M4.
    let reference = Reference::open("alias-tables");
    for (name, case) in reference.data("cases").as_object().unwrap() {
        let generators = texts(&case["generators"]);
        let n_factors = count(number(&case["basic"])) + generators.len();
        let space = letters(n_factors);
        let fraction = fraction_of(&generated(&generators.join(" "), &space).unwrap());
        let words: Vec<String> = fraction
            .words()
            .iter()
            .map(|word| word.name(&space))
            .collect();
        let wanted: Vec<String> = texts(&case["defining_words"])
            .iter()
            .map(|word| format!("+{word}"))
            .collect();
        assert_eq!(words, wanted, "{name}");
        let sets: Vec<Vec<String>> = fraction
            .alias_sets()
            .iter()
            .map(|set| {
                assert!(set.effects.iter().all(|effect| !effect.is_negative()));
                set.effects
                    .iter()
                    .map(|effect| effect.product_name(&space))
                    .collect()
            })
            .collect();
        let wanted: Vec<Vec<String>> = list(&case["alias_sets_up_to_2fi"])
            .iter()
            .map(texts)
            .collect();
        assert_eq!(sets, wanted, "{name}");
    }
}

#[test]
fn signs_of_the_other_family_member_are_kept() {
    // By hand: D = −AB gives I = −ABD, so A = −BD, B = −AD, D = −AB, and C is alone.
    let space = letters(4);
    let design = generated("D=-AB", &space).unwrap();
    let fraction = fraction_of(&design);
    assert_eq!(fraction.generators()[0].name(&space), "D=-AB");
    assert_eq!(fraction.words()[0].name(&space), "-ABD");
    for run in &design.runs {
        let x = numbers(&run.coded);
        assert!((x[3] + x[0] * x[1]).abs() < 1e-15);
    }
    let sets = fraction.alias_sets();
    let first: Vec<(String, bool)> = sets[0]
        .effects
        .iter()
        .map(|effect| (effect.product_name(&space), effect.is_negative()))
        .collect();
    assert_eq!(first, [("A".to_owned(), false), ("BD".to_owned(), true)]);
    assert_eq!(sets[2].effects.len(), 1);
    // E = −ABC, F = −ABD in one plan: their product word CDEF is positive, CE = DF with plus (by hand).
    let space = letters(6);
    let fraction = fraction_of(&generated("E=-ABC F=-ABD", &space).unwrap());
    let words: Vec<String> = fraction.words().iter().map(|w| w.name(&space)).collect();
    assert_eq!(words, ["-ABCE", "-ABDF", "+CDEF"]);
    let ce = fraction
        .alias_sets()
        .into_iter()
        .find(|set| set.effects.contains(&Word::new([2, 4], true)))
        .unwrap();
    let names: Vec<(String, bool)> = ce
        .effects
        .iter()
        .map(|e| (e.product_name(&space), e.is_negative()))
        .collect();
    let expected = [("AB", false), ("CE", true), ("DF", true)];
    assert_eq!(names, expected.map(|(n, s)| (n.to_owned(), s)));
}

#[test]
fn generators_are_read_in_letters_and_names() {
    let space = FactorSpace::new(
        ["speed", "gap", "web tension", "dose"]
            .map(|name| Factor::continuous(name, 1.0, 2.0).unwrap())
            .to_vec(),
    )
    .unwrap();
    let wanted = fraction_of(&generated("D=ABC", &space).unwrap());
    for text in [
        "D = ABC",
        "D=A*B*C;",
        " dose = speed * gap * `web tension` ",
        "dose=+gap×`web tension`·speed",
        "`dose`=A*gap*C",
    ] {
        assert_eq!(
            fraction_of(&generated(text, &space).unwrap()),
            wanted,
            "{text}"
        );
    }
    assert_eq!(
        wanted.words()[0].name(&space),
        "speed*gap*`web tension`*dose"
    );
    assert_eq!(wanted.words()[0].length(), 4);
    // Factors with letters of their own keep them: T is the first factor, not the eighteenth letter.
    let own = FactorSpace::new(
        ["T", "P", "A", "F"]
            .map(|name| Factor::continuous(name, 1.0, 2.0).unwrap())
            .to_vec(),
    )
    .unwrap();
    let fraction = fraction_of(&generated("F=TPA", &own).unwrap());
    assert_eq!(fraction.generators()[0].factor, 3);
    assert_eq!(fraction.words()[0].name(&own), "+TPAF");
}

#[test]
fn generators_that_make_no_sense_are_refused_with_the_reason() {
    let space = letters(5);
    for (text, reason) in [
        ("E=AB D", "each generator is"),
        ("ABC", "each generator is"),
        ("=AB", "each generator is"),
        ("E=", "is missing"),
        ("E=A*", "is missing"),
        ("E=AZ", "no row of factor letters"),
        ("E=AI", "no row of factor letters"),
        ("E=A?", "no meaning"),
        ("E=`A", "not closed"),
        ("E=AAB", "twice"),
        ("E=A", "the same as"),
        ("E=AB E=AC", "generated twice"),
        ("D=AB E=AD", "generated itself"),
        ("E=ABE", "generated itself"),
        ("D=ABC E=-ABC", "the same in every run"),
        ("DE=AB", "one factor"),
    ] {
        match generated(text, &space) {
            Err(DesignError::BadGenerators { reason: given, .. }) => {
                assert!(given.contains(reason), "{text}: {given}");
            }
            other => panic!("{text}: {other:?}"),
        }
    }
}

#[test]
fn sizes_without_a_fraction_are_refused_with_those_that_exist() {
    let space = letters(7);
    let with_runs = |n_runs: usize| DesignRequest {
        n_runs: Some(n_runs),
        ..request()
    };
    assert_eq!(
        build(&space, &with_runs(24), &Progress::unwatched()).unwrap_err(),
        DesignError::NotInCatalogue {
            n_factors: 7,
            n_runs: 24,
            available: vec![8, 16, 32, 64]
        }
    );
    assert!(matches!(
        build(&space, &request(), &Progress::unwatched()).unwrap_err(),
        DesignError::OptionMissing { .. }
    ));
    let contradicting = DesignRequest {
        generators: Some("G=ABC".to_owned()),
        ..with_runs(32)
    };
    assert_eq!(
        build(&space, &contradicting, &Progress::unwatched()).unwrap_err(),
        DesignError::RunsAgainstGenerators {
            asked: 32,
            n_runs: 64
        }
    );
    let two = letters(2);
    assert_eq!(
        build(&two, &with_runs(2), &Progress::unwatched()).unwrap_err(),
        DesignError::TooFewTwoLevelFactors { need: 3, have: 2 }
    );
    assert_eq!(fractions_for(11).len(), 4);
}

#[test]
fn categories_of_three_levels_are_crossed_with_the_fraction() {
    let mut factors: Vec<Factor> = letters(4).factors().to_vec();
    factors.insert(1, category("gas", &["air", "argon", "nitrogen"]));
    factors.push(category("foil", &["PET", "PEN"]));
    let space = FactorSpace::new(factors).unwrap();
    // Two-level factors in order: A, B, C, D, foil. In letters of places the category is passed over.
    let design = generated("foil=A*B*C*D", &space).unwrap();
    assert_eq!(design.runs.len(), 16 * 3);
    assert!(design.notes.contains(&DesignNote::Crossed {
        factors: vec!["gas".to_owned()],
        n_combinations: 3
    }));
    let recognized = RegularFraction::recognize(&space, &design.points()).unwrap();
    assert_eq!(recognized, fraction_of(&design));
    assert!(matches!(
        generated("foil=A*B*gas", &space),
        Err(DesignError::BadGenerators { .. })
    ));
}

#[test]
fn blocks_confound_least_of_all() {
    // block-generators.json: complete branch-and-bound, lexicographically fewest confounded main effects, pairs, …;
    // the same minima stand in the tables of Box, Hunter & Hunter (1978) and Montgomery for the common cases.
    let reference = Reference::open("block-generators");
    for entry in list(reference.data("entries")) {
        let n_factors = count(number(&entry["factors"]));
        let n_blocks = count(number(&entry["blocks"]));
        let label = format!("2^{n_factors} in {n_blocks} blocks");
        let space = letters(n_factors);
        let asked = DesignRequest {
            kind: DesignKind::FullFactorial,
            n_blocks,
            ..request()
        };
        let design = build(&space, &asked, &Progress::unwatched()).unwrap();
        let full = RegularFraction::recognize(&space, &design.points()).unwrap();
        let words = block_words(&full, n_blocks).unwrap();
        let counts: Vec<f64> = words
            .n_confounded_by_order
            .iter()
            .map(|n| *n as f64)
            .collect();
        assert_eq!(counts, numbers_of(&entry["confounded_by_order"]), "{label}");
        // The blocks of the plan are those of the words: equal size, and each confounded product constant in each.
        for block in 1..=n_blocks {
            let runs: Vec<Vec<f64>> = design
                .runs
                .iter()
                .filter(|run| run.block == Some(block))
                .map(|run| numbers(&run.coded))
                .collect();
            assert_eq!(runs.len() as f64, number(&entry["block_size"]), "{label}");
            for word in &words.confounded {
                let signs: BTreeSet<bool> = runs
                    .iter()
                    .map(|run| word.factors().map(|f| run[f]).product::<f64>() > 0.0)
                    .collect();
                assert_eq!(signs.len(), 1, "{label}");
            }
        }
    }
}

#[test]
fn blocks_of_a_fraction_spare_main_effects() {
    // By hand: 2^(4-1) with I = ABCD. In two blocks every pair of pairs (AB = CD, AC = BD, AD = BC) is a candidate,
    // a main effect never; the confounded set is one of them.
    let space = letters(4);
    let asked = DesignRequest {
        generators: Some("D=ABC".to_owned()),
        n_blocks: 2,
        ..request()
    };
    let design = build(&space, &asked, &Progress::unwatched()).unwrap();
    assert!(design.notes.contains(&DesignNote::ConfoundedWithBlocks {
        effects: vec!["AB".to_owned()]
    }));
    for run in &design.runs {
        let x = numbers(&run.coded);
        assert_eq!(run.block, Some(if x[0] * x[1] > 0.0 { 2 } else { 1 }));
    }
}

#[test]
fn recognition_passes_over_centre_runs_and_replicates_and_refuses_the_rest() {
    let space = letters(5);
    let design = generated("D=-AB E=AC", &space).unwrap();
    let mut points = design.points();
    points.extend(design.points());
    points.extend(vec![CodedPoint(vec![Value::Number(0.0); 5]); 3]);
    let recognized = RegularFraction::recognize(&space, &points).unwrap();
    assert_eq!(recognized, fraction_of(&design));
    // One run more than the others: no longer balanced.
    points.push(design.runs[0].coded.clone());
    assert_eq!(RegularFraction::recognize(&space, &points), None);
    // One run lost.
    let lost = &design.points()[1..];
    assert_eq!(RegularFraction::recognize(&space, lost), None);
    // A setting that missed its end.
    let mut missed = design.points();
    missed[3].0[2] = Value::Number(0.98);
    assert_eq!(RegularFraction::recognize(&space, &missed), None);
    assert_eq!(RegularFraction::recognize(&space, &[]), None);
    // A full factorial is recognized, without words.
    let full = DesignRequest {
        kind: DesignKind::FullFactorial,
        ..request()
    };
    let full = build(&space, &full, &Progress::unwatched()).unwrap();
    let recognized = RegularFraction::recognize(&space, &full.points()).unwrap();
    assert!(recognized.words().is_empty());
    assert_eq!(recognized.resolution(), None);
}

proptest! {
    // Property 8 of docs/methods.md, 8.3: the word-length pattern counts the products of columns that are constant.
    #[test]
    fn words_are_the_constant_products_of_columns(choice in 0_usize..CATALOGUE.len(), flips in any::<u16>()) {
        let entry = &CATALOGUE[choice];
        prop_assume!(entry.n_factors <= 10);
        let space = letters(entry.n_factors);
        let text: Vec<String> = entry
            .generators
            .split_whitespace()
            .enumerate()
            .map(|(place, generator)| {
                let sign = if flips >> place & 1 == 1 { "=-" } else { "=" };
                generator.replace('=', sign)
            })
            .collect();
        let design = generated(&text.join(", "), &space).unwrap();
        let rows: Vec<Vec<f64>> = design.runs.iter().map(|run| numbers(&run.coded)).collect();
        let mut constant = BTreeSet::new();
        for mask in 1_u32..1 << entry.n_factors {
            let product = |row: &Vec<f64>| -> f64 {
                (0..entry.n_factors).filter(|f| mask >> f & 1 == 1).map(|f| row[f]).product()
            };
            let first = product(&rows[0]);
            if rows.iter().all(|row| (product(row) - first).abs() < 1e-12) {
                constant.insert((mask, first < 0.0));
            }
        }
        let fraction = fraction_of(&design);
        let words: BTreeSet<(u32, bool)> = fraction
            .words()
            .iter()
            .map(|word| (word.factors().map(|f| 1_u32 << f).sum(), word.is_negative()))
            .collect();
        prop_assert_eq!(&words, &constant);
        for (place, count) in fraction.word_length_pattern().iter().enumerate() {
            let of_length = constant.iter().filter(|(mask, _)| mask.count_ones() as usize == place + 3).count();
            prop_assert_eq!(*count, of_length);
        }
    }
}
