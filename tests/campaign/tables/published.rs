//! Published tables become the runs, blocks and layers that their studies had; the sums of squares of the printed
//! analyses of variance come out of the imported readings.

use std::collections::{BTreeMap, BTreeSet};

use wetlane::campaign::analysis::{FitOptions, ModelChoice, fit_quality};
use wetlane::campaign::project::{
    EffortClass, Outcome, Project, QualityKind, ReadingValue, Run, Variation,
};
use wetlane::campaign::project_file;
use wetlane::campaign::table_import::{BlockSpec, FactorSpec, ImportRequest, Imported};

use wetlane_stats::{ConfidenceLevel, ModelSize};

use super::request::{
    category, exact, grouped, imported, kind, numbers_of, owned, plain, published, response,
};
use crate::support::assert_close;

fn all(project: &Project, quality: &str) -> Vec<f64> {
    project
        .runs
        .iter()
        .flat_map(|run| exact(run, quality))
        .collect()
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn sum_of_squares(values: &[f64]) -> f64 {
    let mean = mean(values);
    values.iter().map(|value| (value - mean).powi(2)).sum()
}

/// Sum of squares between groups.
fn sum_between(groups: &BTreeMap<String, Vec<f64>>) -> f64 {
    let all: Vec<f64> = groups.values().flatten().copied().collect();
    let grand = mean(&all);
    groups
        .values()
        .map(|group| group.len() as f64 * (mean(group) - grand).powi(2))
        .sum()
}

#[test]
fn a_central_composite_plan_becomes_thirteen_runs_with_its_replicates() {
    let request = plain(&["x1", "x2"], &["yield", "viscosity", "molecular_weight"]);
    let Imported {
        project,
        notes,
        warnings,
    } = imported(&published("chemical-process-ccd"), &request);
    assert_eq!(numbers_of(&project), (1..=13).collect::<Vec<_>>());
    assert_eq!(
        project
            .settings
            .iter()
            .map(|setting| setting.variation.clone())
            .collect::<Vec<_>>(),
        vec![
            Variation::Range {
                low: -1.414,
                high: 1.414,
                log: false
            };
            2
        ]
    );
    // Five centre runs, rows 5 to 9; nothing else is repeated.
    assert_eq!(
        project
            .runs
            .iter()
            .map(|run| run.replicate)
            .collect::<Vec<_>>(),
        [1, 1, 1, 1, 1, 2, 3, 4, 5, 1, 1, 1, 1]
    );
    // Montgomery, Design and Analysis of Experiments, central composite example: centre yields, and the mean square of
    // pure error 0.053 with 4 df.
    let centre: Vec<f64> = project.runs[4..9]
        .iter()
        .flat_map(|run| exact(run, "yield"))
        .collect();
    assert_eq!(centre, [79.9, 80.3, 80.0, 79.7, 79.8]);
    assert_close(
        sum_of_squares(&centre) / 4.0,
        0.053,
        1e-9,
        "Montgomery, pure error of the yield",
    );
    assert!(warnings.is_empty(), "{warnings:?}");
    assert_eq!(
        notes,
        [
            "The cells are separated by commas.",
            "Decimal point in \"x1\", \"x2\", \"yield\": \"1.414\" is read as 1.414.",
            "\"x1\" ranges from -1.414 to 1.414, its least and greatest value.",
            "\"x2\" ranges from -1.414 to 1.414, its least and greatest value.",
            "\"yield\" is continuous, from its entries: 13 readings.",
            "\"viscosity\" is continuous, from its entries: 13 readings.",
            "\"molecular_weight\" is continuous, from its entries: 13 readings.",
            "Every row is a run: 13 runs. Rows with equal settings are replicates.",
        ]
    );
}

#[test]
fn an_imported_plan_is_fitted_with_the_printed_coefficients() {
    let one = |name: &str| FactorSpec {
        name: name.to_owned(),
        range: Some((-1.0, 1.0)),
        unit: None,
    };
    let request = ImportRequest {
        factors: vec![one("x1"), one("x2")],
        ..plain(&[], &["yield"])
    };
    let project = imported(&published("chemical-process-ccd"), &request).project;
    let options = FitOptions {
        model: ModelChoice::Size(ModelSize::Quadratic),
        ..FitOptions::default()
    };
    let fit = fit_quality(&project, "yield", &options).unwrap();
    // Montgomery, Design and Analysis of Experiments, central composite example, in coded units; half a unit of the last
    // printed digit.
    let printed = [
        ("1", 79.94),
        ("x1", 0.995),
        ("x2", 0.515),
        ("x1*x2", 0.25),
        ("x1^2", -1.376),
        ("x2^2", -1.001),
    ];
    let coefficients = fit.coefficients(ConfidenceLevel::NINETY_FIVE);
    for (name, value) in printed {
        let found = coefficients
            .iter()
            .find(|coefficient| coefficient.name == name)
            .unwrap();
        let estimate = found.estimate.clone().unwrap();
        assert!(
            (estimate - value).abs() <= 0.0005,
            "{name}: {estimate}, printed {value}"
        );
    }
}

#[test]
fn the_same_table_with_decimal_commas_is_the_same_project() {
    let request = plain(&["x1", "x2"], &["yield", "viscosity", "molecular_weight"]);
    let text = published("chemical-process-ccd");
    let commas = format!(
        "\u{feff}{}",
        text.replace(',', ";")
            .replace('.', ",")
            .replace('\n', "\r\n")
    );
    assert_eq!(
        imported(&text, &request).project,
        imported(&commas, &request).project
    );
}

#[test]
fn an_imported_project_is_saved_and_read_back_unchanged() {
    let request = ImportRequest {
        block: Some(BlockSpec {
            name: "block".to_owned(),
            random: true,
        }),
        categories: vec![category("variety")],
        hard: owned(&["variety"]),
        ..plain(&["nitro"], &["yield"])
    };
    let project = imported(&published("oats-split-plot"), &request).project;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("oats.json");
    project_file::save(&project, &path, None).unwrap();
    assert_eq!(project_file::open(&path).unwrap().project, project);
}

#[test]
fn whole_plots_are_found_from_a_hard_setting_inside_random_blocks() {
    let request = ImportRequest {
        block: Some(BlockSpec {
            name: "block".to_owned(),
            random: true,
        }),
        categories: vec![category("variety")],
        hard: owned(&["variety"]),
        ..plain(&["nitro"], &["yield"])
    };
    let Imported { project, notes, .. } = imported(&published("oats-split-plot"), &request);
    // Yates (1935): 6 blocks of 3 whole plots of 4 subplots.
    assert_eq!(project.runs.len(), 72);
    for (index, run) in project.runs.iter().enumerate() {
        assert_eq!(run.set_up, u32::try_from(index / 4 + 1).ok());
    }
    let block = project.block.as_ref().unwrap();
    assert_eq!((block.name.as_str(), block.random), ("block", true));
    assert_eq!(
        project.runs[71].labels,
        BTreeMap::from([("block".to_owned(), "VI".to_owned())])
    );
    assert!(project.layers.is_empty());
    let variety = project.setting("variety").unwrap();
    assert_eq!(variety.effort.class, EffortClass::StopAndWait);
    assert_eq!(
        variety.variation,
        Variation::Categories {
            levels: owned(&["Victory", "Golden Rain", "Marvellous"])
        }
    );
    assert_eq!(
        project.setting("nitro").unwrap().effort.class,
        EffortClass::OnTheFly
    );
    assert!(
        notes.contains(
            &"18 set-ups from the run order: consecutive runs with the same \"variety\"."
                .to_owned()
        ),
        "{notes:?}"
    );
    // Venables and Ripley (2002), section 10.2: analysis of variance, blocks 15875 on 5 df, varieties 1786 on 2 df,
    // nitrogen 20020 on 3 df (from memory).
    let between = |key: &dyn Fn(&Run) -> String| sum_between(&grouped(&project, "yield", key));
    assert_close(
        between(&|run| run.labels["block"].clone()),
        15875.3,
        1e-5,
        "Oats, blocks",
    );
    assert_close(
        between(&|run| run.planned["variety"].to_string()),
        1786.4,
        3e-5,
        "Oats, varieties",
    );
    assert_close(
        between(&|run| run.planned["nitro"].to_string()),
        20020.5,
        1e-5,
        "Oats, nitrogen",
    );
}

#[test]
fn an_innermost_layer_without_varying_settings_is_the_run() {
    let request = ImportRequest {
        categories: vec![category("source")],
        layers: owned(&["lot", "wafer"]),
        place: Some("site".to_owned()),
        responses: vec![response("thickness")],
        ..ImportRequest::default()
    };
    let Imported {
        project,
        notes,
        warnings,
    } = imported(&published("oxide-thickness-nested"), &request);
    // Pinheiro and Bates (2000), section 4.4: 8 lots, 3 wafers a lot, 3 sites a wafer.
    assert_eq!(project.runs.len(), 24);
    assert_eq!(project.layers, ["lot", "wafer"]);
    let labels: BTreeSet<Vec<&String>> = project
        .runs
        .iter()
        .map(|run| run.labels.values().collect())
        .collect();
    assert_eq!(labels.len(), 24);
    assert!(
        project
            .runs
            .iter()
            .all(|run| run.readings.len() == 3 && run.set_up.is_none() && run.replicate > 0)
    );
    // Wafers are numbered 1 to 3 in every lot, so the runs are counted instead.
    assert_eq!(numbers_of(&project), (1..=24).collect::<Vec<_>>());
    assert_eq!(project.qualities[0].places, Vec::<String>::new());
    let places: Vec<&str> = project.runs[23]
        .readings
        .iter()
        .map(|reading| reading.place.as_str())
        .collect();
    assert_eq!(places, ["1", "2", "3"]);
    assert!(
        project.runs[23]
            .readings
            .iter()
            .all(|reading| reading.repeat == 1)
    );
    // Pinheiro and Bates (2000): the mean thickness is 2000.15 (also fixed effect of the intercept-only fit).
    assert_close(
        mean(&all(&project, "thickness")),
        2000.153,
        1e-6,
        "Oxide, mean",
    );
    assert!(warnings.is_empty(), "{warnings:?}");
    for note in [
        "No setting varies inside a level of \"wafer\", so its levels are the runs and the rows their readings: 24 runs, 72 \
         rows.",
        "Changed only between levels of \"lot\": \"source\".",
    ] {
        assert!(notes.iter().any(|known| known == note), "{notes:?}");
    }
}

#[test]
fn a_layer_with_varying_settings_is_a_set_up_and_every_row_a_run() {
    let request = ImportRequest {
        block: Some(BlockSpec {
            name: "block".to_owned(),
            random: false,
        }),
        layers: owned(&["block_again"]),
        ..plain(&["N", "P", "K"], &["yield"])
    };
    let text = published("npk-blocked-factorial");
    let text: String = text
        .lines()
        .enumerate()
        .map(|(index, line)| match (index, line.split(',').next()) {
            (0, _) => format!("{line},block_again\n"),
            (_, block) => format!("{line},{}\n", block.unwrap()),
        })
        .collect();
    let Imported { project, notes, .. } = imported(&text, &request);
    assert_eq!(project.runs.len(), 24);
    assert_eq!(project.layers, ["block_again"]);
    // A layer with a name of its own is not numbered a second time.
    assert!(
        project
            .runs
            .iter()
            .all(|run| run.set_up.is_none() && run.labels.len() == 2)
    );
    assert!(!project.block.as_ref().unwrap().random);
    let note = "\"N\", \"P\", \"K\" vary inside levels of \"block_again\", so these are set-ups and every row is a run: 24 \
                runs in 6 set-ups. Rows with equal settings inside one are replicates; if they are repeated readings, name \
                the column of run numbers as one more layer.";
    assert!(notes.iter().any(|known| known == note), "{notes:?}");
    assert!(notes.contains(&"Changed from run to run: \"N\", \"P\", \"K\".".to_owned()));
    // Venables and Ripley (2002), section 6.7: blocks 343.295, N 189.282, K 95.202.
    let between = |key: &dyn Fn(&Run) -> String| sum_between(&grouped(&project, "yield", key));
    assert_close(
        between(&|run| run.labels["block"].clone()),
        343.295,
        1e-6,
        "npk, blocks",
    );
    assert_close(
        between(&|run| run.planned["N"].to_string()),
        189.282,
        3e-6,
        "npk, N",
    );
    assert_close(
        between(&|run| run.planned["K"].to_string()),
        95.202,
        3e-5,
        "npk, K",
    );
}

#[test]
fn layers_without_any_setting_are_a_study_of_scatter() {
    let request = ImportRequest {
        layers: owned(&["batch"]),
        ..plain(&[], &["yield_set1"])
    };
    let project = imported(&published("dyestuff-one-way-random"), &request).project;
    assert_eq!(project.runs.len(), 6);
    assert!(project.settings.is_empty());
    assert!(
        project
            .runs
            .iter()
            .all(|run| run.readings.iter().map(|reading| reading.repeat).eq(1..=5))
    );
    // Davies and Goldsmith (1972): between batches 56357.5 on 5 df, within 58830 on 24 df; REML variances 1764.05 and
    // 2451.25 follow as (MSB - MSW)/5 and MSW.
    let groups = grouped(&project, "yield_set1", |run| run.labels["batch"].clone());
    let within: f64 = groups
        .values()
        .map(|group| sum_of_squares(group))
        .sum::<f64>()
        / 24.0;
    assert_close(within, 2451.25, 1e-12, "Dyestuff, residual variance");
    assert_close(
        (sum_between(&groups) / 5.0 - within) / 5.0,
        1764.05,
        1e-12,
        "Dyestuff, batch variance",
    );
}

#[test]
fn a_fixed_block_is_kept_beside_the_settings_and_order_may_share_a_column() {
    let request = ImportRequest {
        categories: vec![category("treatment")],
        block: Some(BlockSpec {
            name: "blend".to_owned(),
            random: false,
        }),
        order: Some("order_in_blend".to_owned()),
        positions: owned(&["order_in_blend"]),
        responses: vec![response("yield")],
        ..ImportRequest::default()
    };
    let Imported {
        project, warnings, ..
    } = imported(&published("penicillin-rbd"), &request);
    // Box, Hunter and Hunter (1978), table 7.4: blends 264, treatments 70.
    let between = |key: &dyn Fn(&Run) -> String| sum_between(&grouped(&project, "yield", key));
    assert_close(
        between(&|run| run.labels["blend"].clone()),
        264.0,
        1e-12,
        "Penicillin, blends",
    );
    assert_close(
        between(&|run| run.planned["treatment"].to_string()),
        70.0,
        1e-12,
        "Penicillin, treatments",
    );
    // Run numbers stay those of the rows; the order puts the first run of each blend in front.
    assert_eq!(numbers_of(&project)[..5], [1, 8, 10, 13, 19]);
    assert_close(
        project.runs[0].positions["order_in_blend"],
        1.0,
        0.0,
        "the table",
    );
    assert_eq!(project.positions[0].name, "order_in_blend");
    assert_eq!(
        warnings,
        [
            "The run order names some places twice; runs of one place follow each other as in the table."
        ]
    );
}

#[test]
fn readings_below_a_limit_stay_what_they_are() {
    let Imported { project, notes, .. } = imported(
        &published("censored-durable-goods"),
        &plain(&["age", "liquidity"], &["purchase"]),
    );
    // Tobin (1958): 20 households, 13 of them without purchase.
    let below = project
        .runs
        .iter()
        .filter(|run| run.readings[0].value == ReadingValue::Below(0.0))
        .count();
    assert_eq!((project.runs.len(), below), (20, 13));
    assert!(
        notes.contains(
            &"\"purchase\" is continuous, from its entries: 20 readings, 13 of them below a limit."
                .to_owned()
        )
    );
}

#[test]
fn counts_are_counts_only_if_named_so() {
    let text = published("count-warpbreaks");
    let request = |response| ImportRequest {
        categories: vec![category("wool"), category("tension")],
        responses: vec![response],
        ..ImportRequest::default()
    };
    let project = imported(&text, &request(response("breaks"))).project;
    assert_eq!(project.qualities[0].kind, QualityKind::Continuous);
    let project = imported(&text, &request(kind("breaks", QualityKind::Count))).project;
    assert_eq!(project.qualities[0].kind, QualityKind::Count);
    // Tippett (1950): 54 looms, 1520 breaks; nine replicates of every pair.
    assert_close(
        all(&project, "breaks").iter().sum(),
        1520.0,
        0.0,
        "warp breaks, total",
    );
    assert_eq!(project.runs.iter().map(|run| run.replicate).max(), Some(9));
}

#[test]
fn zero_and_one_are_sound_and_faulty_only_if_named_so() {
    let text = published("endometrial-firth");
    let request = |response| ImportRequest {
        responses: vec![response],
        ..plain(&["NV", "PI", "EH"], &[])
    };
    let project = imported(&text, &request(response("HG"))).project;
    assert_eq!(project.qualities[0].kind, QualityKind::Continuous);
    let Imported { project, notes, .. } = imported(&text, &request(kind("HG", QualityKind::Sound)));
    // Heinze and Schemper (2002): 79 patients, 30 of high grade.
    let n_sound = project
        .runs
        .iter()
        .filter(|run| run.outcome == Outcome::Sound)
        .count();
    assert_eq!((project.runs.len(), n_sound), (79, 30));
    assert!(project.runs.iter().all(|run| run.readings.is_empty()));
    assert!(notes.contains(
        &"\"HG\" is sound, as given: 30 sound, 49 faulty (sound, pass, good or 1 is sound; faulty, fail, bad or 0 is faulty)."
            .to_owned()
    ));
}

#[test]
fn a_run_order_and_a_fixed_block_make_set_ups_from_consecutive_runs() {
    let request = ImportRequest {
        categories: vec![category("method")],
        hard: owned(&["method"]),
        order: Some("order".to_owned()),
        ..plain(&["temperature"], &["strength"])
    };
    // Montgomery's paper table lies temperature by temperature; run method by method, each replicate has three whole
    // plots of four temperatures.
    let mut n_of_plot = BTreeMap::new();
    let text: Vec<String> = published("paper-tensile-split-plot")
        .lines()
        .enumerate()
        .map(|(index, line)| {
            if index == 0 {
                return format!("{line},order");
            }
            let cells: Vec<&str> = line.split(',').collect();
            let plot = 3 * cells[2].parse::<u32>().unwrap() + cells[0].parse::<u32>().unwrap();
            let n = n_of_plot.entry(plot).or_insert(0);
            *n += 1;
            format!("{line},{}", 10 * plot + *n)
        })
        .collect();
    let project = imported(&text.join("\n"), &request).project;
    assert_eq!(
        project
            .runs
            .iter()
            .map(|run| run.set_up.unwrap())
            .collect::<Vec<_>>(),
        (0..36).map(|run| run / 4 + 1).collect::<Vec<u32>>()
    );
    let plots = grouped(&project, "strength", |run| run.set_up.unwrap().to_string());
    // Montgomery: replicates 77.55, methods 128.39 and whole-plot error 36.28 add up to what lies between whole plots.
    assert_close(
        sum_between(&plots),
        77.55 + 128.39 + 36.28,
        1e-4,
        "paper, between whole plots",
    );
}
