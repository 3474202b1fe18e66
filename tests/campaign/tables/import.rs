//! From a table to a project, rule by rule.

use proptest::prelude::*;
use wetlane::campaign::command::Command;
use wetlane::campaign::project::{Outcome, QualityKind, ReadingValue, SettingValue, Variation};
use wetlane::campaign::table_import::{
    CategorySpec, FactorSpec, ImportRequest, Imported, ResponseSpec, import,
};
use wetlane::campaign::table_text::Table;
use wetlane::campaign::validity::problems_of;

use super::empty_project;
use super::request::{
    category, factor, grouped, imported, kind, numbers_of, owned, plain, published, refused,
    response,
};
use crate::support::assert_close;

#[test]
fn units_in_heads_are_the_units_of_the_project() {
    let request = ImportRequest {
        factors: vec![
            FactorSpec {
                name: "gap".to_owned(),
                range: Some((0.08, 0.25)),
                unit: Some("mm".to_owned()),
            },
            factor("speed [m/min]"),
            FactorSpec {
                name: "flow".to_owned(),
                range: Some((1.0, 2.0)),
                unit: Some("ml/min".to_owned()),
            },
        ],
        responses: vec![response("R"), kind("haze", QualityKind::Percent)],
        ..ImportRequest::default()
    };
    let text = "gap (um);speed [m/min];flow;R (Ω/sq);haze\n80;1;1,5;75,2;1\n250;2;1,7;54;2\n300;3;1;60;3\n";
    let Imported {
        project, warnings, ..
    } = imported(text, &request);
    let units: Vec<(&str, &str, &str)> = project
        .settings
        .iter()
        .map(|s| (s.id.as_str(), s.label.as_str(), s.unit.as_str()))
        .collect();
    assert_eq!(
        units,
        [
            ("gap", "gap", "µm"),
            ("speed [m/min]", "speed", "m/min"),
            ("flow", "flow", "mL/min")
        ]
    );
    let Variation::Range { low, high, .. } = project.settings[0].variation else {
        panic!()
    };
    assert_close(low, 80.0, 1e-12, "0.08 mm, by hand");
    assert_close(high, 250.0, 1e-12, "0.25 mm, by hand");
    assert_eq!(project.qualities[0].unit, "Ω/sq");
    assert_eq!(project.qualities[1].unit, "%");
    assert_eq!(
        warnings,
        ["\"gap\" lies beyond its range in 1 row; they are used all the same."]
    );
}

#[test]
fn empty_cells_are_missing_readings_and_never_zero() {
    let request = ImportRequest {
        missing: owned(&["n/a"]),
        ..plain(&["x"], &["y", "z"])
    };
    let Imported { project, notes, .. } = imported("x,y,z\n1,5,\n2,,n/a\n3,7,8\n", &request);
    let qualities = |index: usize| -> Vec<&str> {
        project.runs[index]
            .readings
            .iter()
            .map(|reading| reading.quality.as_str())
            .collect()
    };
    assert_eq!(
        (qualities(0), qualities(1), qualities(2)),
        (vec!["y"], vec![], vec!["y", "z"])
    );
    // Nobody judged the films, so a film is sound if it was measured and not run if nothing is known of it.
    let outcomes: Vec<&Outcome> = project.runs.iter().map(|run| &run.outcome).collect();
    assert_eq!(
        outcomes,
        [&Outcome::Sound, &Outcome::NotRun, &Outcome::Sound]
    );
    assert!(
        notes.contains(&"\"z\" is continuous, from its entries: 1 reading, 2 missing.".to_owned()),
        "{notes:?}"
    );
}

#[test]
fn films_are_judged_by_words_and_faults() {
    let request = ImportRequest {
        fault: Some("defect".to_owned()),
        ..plain(&["x"], &["film", "y"])
    };
    let text = "x,film,defect,y\n1,Sound,,5\n2,FAULTY,ribs; streaks,\n3,fail: pinholes,ribs,\n4,,,6\n5,good,,7\n";
    let Imported { project, .. } = imported(text, &request);
    assert_eq!(project.qualities[0].kind, QualityKind::Sound);
    let outcomes: Vec<Outcome> = project.runs.iter().map(|run| run.outcome.clone()).collect();
    assert_eq!(
        outcomes,
        [
            Outcome::Sound,
            Outcome::Faulty {
                faults: owned(&["ribs", "streaks"])
            },
            Outcome::Faulty {
                faults: owned(&["pinholes", "ribs"])
            },
            Outcome::NotRun,
            Outcome::Sound
        ]
    );
    assert_eq!(
        refused("x,film,defect,y\n1,sound,ribs,5\n2,sound,,6\n", &request),
        [
            "Row 1 (line 2), column \"defect\": The film is sound and yet has the fault \"ribs\". Correct one of the two, or name \
          the word as missing."
        ]
    );
    // Faults alone judge, too.
    let request = ImportRequest {
        fault: Some("defect".to_owned()),
        ..plain(&["x"], &["y"])
    };
    let project = imported("x,defect,y\n1,,5\n2,ribs,\n", &request).project;
    assert_eq!(project.runs[0].outcome, Outcome::Sound);
    assert_eq!(
        project.runs[1].outcome,
        Outcome::Faulty {
            faults: owned(&["ribs"])
        }
    );
}

#[test]
fn one_faulty_row_makes_a_run_faulty() {
    let request = ImportRequest {
        layers: owned(&["run"]),
        ..plain(&["x"], &["film"])
    };
    let project = imported(
        "run,x,film\n7,1,sound\n7,1,faulty: ribs\n9,2,sound\n9,2,\n",
        &request,
    )
    .project;
    assert_eq!(numbers_of(&project), [7, 9]);
    assert_eq!(
        project.runs[0].outcome,
        Outcome::Faulty {
            faults: owned(&["ribs"])
        }
    );
    assert_eq!(project.runs[1].outcome, Outcome::Sound);
}

#[test]
fn classes_are_ordered_by_number_or_as_listed() {
    let text = "x,class,look\n1,0,good\n2,3,bad\n3,1,fair\n";
    let classes = ResponseSpec {
        kind: Some(QualityKind::Class),
        classes: owned(&["good", "fair", "bad"]),
        ..response("look")
    };
    let request = ImportRequest {
        responses: vec![kind("class", QualityKind::Class), classes],
        ..plain(&["x"], &[])
    };
    let project = imported(text, &request).project;
    assert_eq!(project.runs[1].readings[0].value, ReadingValue::Exact(3.0));
    assert_eq!(
        project.runs[1].readings[1].value,
        ReadingValue::Class("bad".to_owned())
    );
    assert_eq!(project.qualities[1].classes, ["good", "fair", "bad"]);
    assert_eq!(
        refused(
            text,
            &ImportRequest {
                responses: vec![kind("look", QualityKind::Class)],
                ..plain(&["x"], &[])
            }
        ),
        [
            "Column \"look\": The classes are words: \"good\", \"bad\", \"fair\". List them in order, best first (--response \
          NAME=class:GOOD,FAIR,BAD)."
        ]
    );
    assert_eq!(
        refused(text, &plain(&["x"], &["look"])),
        [
            "Column \"look\": The column holds words such as \"good\", \"bad\", \"fair\", which are neither numbers nor sound and \
          faulty. If they are classes, list them, best first (--response NAME=class:GOOD,FAIR,BAD)."
        ]
    );
    let short = ResponseSpec {
        kind: Some(QualityKind::Class),
        classes: owned(&["good", "bad"]),
        ..response("look")
    };
    assert_eq!(
        refused(
            text,
            &ImportRequest {
                responses: vec![short],
                ..plain(&["x"], &[])
            }
        ),
        ["Row 3 (line 4), column \"look\": \"fair\" is none of the classes \"good\", \"bad\"."]
    );
}

#[test]
fn places_and_repeats_belong_to_their_run() {
    let request = ImportRequest {
        layers: owned(&["day", "run"]),
        place: Some("lane".to_owned()),
        ..plain(&["x"], &["t", "haze"])
    };
    let text = "day,run,x,lane,t,haze\nmon,a,1,left,10,1\nmon,a,1,right,12,\nmon,a,1,left,11,2\ntue,a,2,left,13,3\n";
    let project = imported(text, &request).project;
    // The label "a" under another day is another run.
    assert_eq!(project.runs.len(), 2);
    let of_first: Vec<(&str, &str, u32)> = project.runs[0]
        .readings
        .iter()
        .map(|reading| {
            (
                reading.quality.as_str(),
                reading.place.as_str(),
                reading.repeat,
            )
        })
        .collect();
    assert_eq!(
        of_first,
        [
            ("t", "left", 1),
            ("haze", "left", 1),
            ("t", "right", 1),
            ("t", "left", 2),
            ("haze", "left", 2)
        ]
    );
}

#[test]
fn places_without_layers_are_doubtful() {
    let request = ImportRequest {
        place: Some("lane".to_owned()),
        ..plain(&["x"], &["t"])
    };
    let Imported {
        project, warnings, ..
    } = imported(
        "x,lane,t\n1,left,10\n1,right,12\n2,left,13\n2,right,14\n",
        &request,
    );
    assert_eq!(project.runs.len(), 4);
    assert_eq!(
        warnings,
        [
            "There are places but no layer, so every row is a run of its own. If several rows were read on one film, name the \
          column of run numbers as a layer."
        ]
    );
}

#[test]
fn areas_go_with_counts() {
    let request = ImportRequest {
        area: Some("area".to_owned()),
        responses: vec![kind("holes", QualityKind::Count), response("t")],
        ..plain(&["x"], &[])
    };
    let text = "x,holes,t,area (cm²)\n1,3,10,10\n2,0,11,2.5\n3,,12,\n";
    let project = imported(text, &request).project;
    assert_eq!(project.area_unit, "cm²");
    let areas: Vec<Option<f64>> = project
        .runs
        .iter()
        .flat_map(|run| &run.readings)
        .map(|reading| reading.area)
        .collect();
    assert_eq!(areas, [Some(10.0), None, Some(2.5), None, None]);
    assert_eq!(
        refused(
            "x,holes,t,area\n1,3,10,0\n2,0,11,\n3,1,12,<5\n4,2.5,1,1\n5,-1,1,1\n",
            &request
        ),
        [
            "Row 1 (line 2), column \"area\": 0 is no area. It must be above zero.",
            "Row 2 (line 3), column \"area\": There is a count but no area in this row. Fill it in.",
            "Row 3 (line 4), column \"area\": \"<5\" must be a plain number, without < or >.",
            "Row 3 (line 4), column \"area\": There is a count but no area in this row. Fill it in.",
            "Row 4 (line 5), column \"holes\": 2.5 is not a count. Write a whole number, 0 or more.",
            "Row 5 (line 6), column \"holes\": -1 is not a count. Write a whole number, 0 or more.",
        ]
    );
}

#[test]
fn positions_of_several_rows_are_averaged_and_told() {
    let request = ImportRequest {
        layers: owned(&["run"]),
        positions: owned(&["metre"]),
        ..plain(&["x"], &["t"])
    };
    let Imported {
        project, warnings, ..
    } = imported(
        "run,x,metre (m),t\n1,1,5.5,10\n1,1,6.5,12\n2,2,,13\n2,2,9,14\n",
        &request,
    );
    assert_close(
        project.runs[0].positions["metre"],
        6.0,
        1e-15,
        "mean of 5.5 and 6.5",
    );
    assert_close(project.runs[1].positions["metre"], 9.0, 0.0, "the only one");
    assert_eq!(project.positions[0].unit, "m");
    assert_eq!(
        warnings,
        ["Run 1 has several values of \"metre\"; it stands at their mean."]
    );
}

#[test]
fn unused_columns_are_kept_as_notes_and_listed() {
    let request = ImportRequest {
        layers: owned(&["run"]),
        ..plain(&["x"], &["t"])
    };
    let text = "run,x,t,operator,date\n1,1,10,A,1.2.\n1,1,12,B,1.2.\n2,2,13,,2.2.\n2,2,14,,\n";
    let Imported {
        project, warnings, ..
    } = imported(text, &request);
    assert_eq!(project.runs[0].note, "operator: A, B; date: 1.2.");
    assert_eq!(project.runs[1].note, "date: 2.2.");
    assert_eq!(
        warnings,
        ["Kept as notes of the runs and used nowhere: \"operator\", \"date\"."]
    );
}

#[test]
fn empty_rows_are_skipped_and_told() {
    let Imported {
        project, warnings, ..
    } = imported("x,t\n1,10\n\n,\n2,11\n", &plain(&["x"], &["t"]));
    assert_eq!(numbers_of(&project), [1, 4]);
    assert_eq!(
        warnings,
        ["Empty rows were skipped: row 2 (line 3), row 3 (line 4)."]
    );
}

#[test]
fn hard_settings_with_layers_leave_the_layers_believed() {
    let request = ImportRequest {
        layers: owned(&["plot"]),
        hard: owned(&["g"]),
        ..plain(&["g", "x"], &["t"])
    };
    let Imported { project, notes, .. } = imported(
        "plot,g,x,t\na,1,1,10\na,1,2,11\nb,2,1,12\nb,3,2,13\n",
        &request,
    );
    assert!(project.runs.iter().all(|run| run.set_up.is_none()));
    assert!(notes.contains(
        &"Set-ups are those of the layers \"plot\", not found from the hard settings.".to_owned()
    ));
}

#[test]
fn declared_levels_keep_their_order_and_near_twins_are_told() {
    let request = ImportRequest {
        categories: vec![CategorySpec {
            name: "gas".to_owned(),
            levels: Some(owned(&["air", "argon", "none"])),
        }],
        responses: vec![response("t")],
        ..ImportRequest::default()
    };
    let project = imported("gas,t\nargon,1\nair,2\n", &request).project;
    assert_eq!(
        project.settings[0].variation,
        Variation::Categories {
            levels: owned(&["air", "argon", "none"])
        }
    );
    assert_eq!(
        project.runs[0].planned["gas"],
        SettingValue::Level("argon".to_owned())
    );
    assert_eq!(
        refused("gas,t\nargon,1\nArgon,2\n", &request),
        [
            "Row 2 (line 3), column \"gas\": \"Argon\" is none of the levels \"air\", \"argon\", \"none\". Correct it, or list it \
          too."
        ]
    );
    let request = ImportRequest {
        categories: vec![category("gas")],
        ..plain(&[], &["t"])
    };
    let warnings = imported("gas,t\nargon,1\nArgon,2\n", &request).warnings;
    assert_eq!(
        warnings,
        ["\"gas\" has the levels \"argon\", \"Argon\", which differ only in their writing."]
    );
}

#[test]
fn heads_with_blanks_and_foreign_letters_are_ids_as_they_are() {
    let project = imported(
        "Gießdicke naß,ρ·g\n1,2\n2,3\n",
        &plain(&["Gießdicke naß"], &["ρ·g"]),
    )
    .project;
    assert_eq!(project.settings[0].id, "Gießdicke naß");
    assert_eq!(project.qualities[0].id, "ρ·g");
}

#[test]
fn commands_apply_to_an_imported_project() {
    let mut project = imported(
        &published("chemical-process-ccd"),
        &plain(&["x1", "x2"], &["yield"]),
    )
    .project;
    let before = project.clone();
    let inverse = Command::SetOutcome {
        run: 3,
        outcome: Outcome::Faulty {
            faults: owned(&["foam"]),
        },
    }
    .apply(&mut project)
    .unwrap();
    inverse.apply(&mut project).unwrap();
    assert_eq!(project, before);
}

proptest! {
    // Row order does not matter to what a run is: shuffled rows give the same runs under the same labels.
    #[test]
    fn rows_in_any_order_give_the_same_runs(order in Just((0..12_usize).collect::<Vec<_>>()).prop_shuffle()) {
        let request = ImportRequest { layers: owned(&["lot", "wafer"]), ..plain(&["x"], &["t"]) };
        let rows: Vec<String> =
            (0..12).map(|row| format!("{},{},{},{}\n", row / 6, row / 3 % 2, row / 6, 10 + row)).collect();
        let text: String = order.iter().map(|row| rows[*row].clone()).collect();
        let project = imported(&format!("lot,wafer,x,t\n{text}"), &request).project;
        let values = grouped(&project, "t", |run| format!("{} {}", run.labels["lot"], run.labels["wafer"]));
        prop_assert_eq!(project.runs.len(), 4);
        for (index, group) in values.values().enumerate() {
            let mut group = group.clone();
            group.sort_by(f64::total_cmp);
            prop_assert_eq!(group, (0..3).map(|at| 10.0 + (3 * index + at) as f64).collect::<Vec<_>>());
        }
    }

    #[test]
    fn any_table_is_imported_or_refused_without_a_crash(
        cells in proptest::collection::vec("[0-9a-c,.<>=/:\\- ]{0,5}|sound|faulty: a|", 21),
        use_layers in any::<bool>(),
        use_area in any::<bool>(),
    ) {
        let rows: Vec<String> = cells.chunks(7).map(|row| row.iter().map(|cell| format!("\"{cell}\"")).collect::<Vec<_>>().join(";")).collect();
        let text = format!("\"f\";\"c\";\"r\";\"s\";\"l\";\"p\";\"a\"\n{}\n", rows.join("\n"));
        let request = ImportRequest {
            categories: vec![category("c")],
            responses: vec![response("r"), kind("s", if use_area { QualityKind::Count } else { QualityKind::Sound })],
            layers: if use_layers { owned(&["l"]) } else { Vec::new() },
            place: Some("p".to_owned()),
            area: use_area.then(|| "a".to_owned()),
            hard: owned(&["f"]),
            ..plain(&["f"], &[])
        };
        if let Ok(table) = Table::read(&text, &request.table_options()) {
            match import(&table, &request, empty_project()) {
                Ok(imported) => prop_assert_eq!(problems_of(&imported.project), []),
                Err(problems) => prop_assert!(!problems.0.is_empty() && !problems.to_string().is_empty()),
            }
        }
    }
}
