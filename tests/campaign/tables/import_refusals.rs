//! What is wrong with a table, or with what is said about it, in words.

use wetlane::campaign::project::{QualityKind, ReadingValue};
use wetlane::campaign::table_import::{
    BlockSpec, CategorySpec, FactorSpec, ImportRequest, ResponseSpec,
};

use super::request::{category, imported, kind, numbers_of, owned, plain, refused, response};

#[test]
fn everything_wrong_is_reported_in_one_pass() {
    let request = ImportRequest {
        layers: owned(&["day", "rolle"]),
        ..plain(&["x", "gas"], &["y", "nothing"])
    };
    assert_eq!(
        refused(
            "day;x;gas;y\nmon;1;argon;12,5O\n;;air;5\ntue;3;;n/a\n",
            &request
        ),
        [
            "There is no column \"nothing\" for the response. The columns are \"day\", \"x\", \"gas\", \"y\".",
            "There is no column \"rolle\" for the layer. The columns are \"day\", \"x\", \"gas\", \"y\".",
            "Row 1 (line 2), column \"gas\": The column holds text, such as \"argon\". If these are levels, name it as a category \
             (--category).",
            "Row 1 (line 2), column \"y\": \"12,5O\" is not a number: the last character is \"O\". It looks like a zero.",
            "Row 2 (line 3), column \"day\": The layer is missing in this row. Fill it in, or take the row out.",
            "Row 2 (line 3), column \"x\": The setting has no value in this row. Fill it in, or take the row out.",
            "Row 3 (line 4), column \"y\": \"n/a\" is not a number. If it stands for a missing value, name it as such (--missing \
             \"n/a\") or leave the cell empty.",
        ]
    );
}

#[test]
fn columns_have_one_use() {
    let text = "a,b,t\n1,2,3\n2,3,4\n";
    for (request, message) in [
        (
            plain(&["a", "a"], &["t"]),
            "Column \"a\": The column is named as factor and as factor. Give it one use.",
        ),
        (
            plain(&["a"], &["a"]),
            "Column \"a\": The column is named as factor and as response. Give it one use.",
        ),
        (
            ImportRequest {
                block: Some(BlockSpec {
                    name: "b".to_owned(),
                    random: true,
                }),
                layers: owned(&["b"]),
                ..plain(&["a"], &["t"])
            },
            "Column \"b\": The column is named as block and as layer. Give it one use.",
        ),
        (
            ImportRequest {
                positions: owned(&["a"]),
                ..plain(&["a"], &["t"])
            },
            "Column \"a\": The column is named as factor and as position. Give it one use.",
        ),
        (
            ImportRequest {
                hard: owned(&["b"]),
                ..plain(&["a"], &["t"])
            },
            "\"b\" is hard to change but neither factor nor category. Name it as one of them.",
        ),
        (
            ImportRequest::default(),
            "Say at least which column is a factor, a category or a response. The columns are \"a\", \"b\", \"t\".",
        ),
    ] {
        assert_eq!(refused(text, &request), [message]);
    }
    let request = ImportRequest {
        layers: owned(&["b"]),
        order: Some("b".to_owned()),
        positions: owned(&["b"]),
        ..plain(&["a"], &["t"])
    };
    assert_eq!(numbers_of(&imported(text, &request).project), [2, 3]);
}

#[test]
fn settings_must_vary_and_be_plain_numbers() {
    for (text, message) in [
        (
            "x,t\n5,1\n5,2\n",
            "Column \"x\": The column has one value throughout, 5. Leave it out, or give the factor a range.",
        ),
        (
            "x,t\n<5,1\n6,2\n7,3\n",
            "Row 1 (line 2), column \"x\": \"<5\" must be a plain number, without < or >.",
        ),
    ] {
        assert_eq!(refused(text, &plain(&["x"], &["t"])), [message]);
    }
    assert_eq!(
        refused("x,t\n1,1\n2,2\nfast,3\n", &plain(&["x"], &["t"])),
        [
            "Row 3 (line 4), column \"x\": The column holds text, such as \"fast\". If these are levels, name it as a category \
             (--category).",
            "Row 3 (line 4), column \"x\": \"fast\" is not a number: character 1 is \"f\".",
        ]
    );
    let ranged = |range, unit: Option<&str>| ImportRequest {
        factors: vec![FactorSpec {
            name: "x".to_owned(),
            range: Some(range),
            unit: unit.map(ToOwned::to_owned),
        }],
        ..plain(&[], &["t"])
    };
    assert_eq!(
        refused("x,t\n1,1\n2,2\n", &ranged((2.0, 1.0), None)),
        ["Column \"x\": 2 to 1 is no range. The first number must be below the second."]
    );
    assert_eq!(
        refused("x (µm),t\n1,1\n2,2\n", &ranged((1.0, 2.0), Some("m/min"))),
        [
            "Column \"x (µm)\": The range is in \"m/min\", the column in \"µm\". Give the range in the column's unit."
        ]
    );
    // With a range of its own, a constant column is a setting that was not moved yet.
    let project = imported("x,t\n5,1\n5,2\n", &ranged((1.0, 10.0), None)).project;
    assert_eq!(project.runs[1].replicate, 2);
}

#[test]
fn categories_need_two_levels_but_not_a_thousand() {
    let request = ImportRequest {
        categories: vec![category("gas")],
        ..plain(&[], &["t"])
    };
    assert_eq!(
        refused("gas,t\nair,1\nair,2\n", &request),
        [
            "Column \"gas\": A category needs two levels or more; there is only \"air\". Leave the column out, or list the levels."
        ]
    );
    assert_eq!(
        refused("gas,t\n\"one\nline\",1\nair,2\n,3\n", &request),
        [
            "Row 1 (line 2), column \"gas\": \"one⟨U+000A⟩line\" goes over more than one line. Write it on one.",
            "Row 3 (line 5), column \"gas\": The setting has no value in this row. Fill it in, or take the row out.",
        ]
    );
    let many = (0..1001)
        .map(|level| format!("level {level},1"))
        .collect::<Vec<_>>()
        .join("\n");
    assert_eq!(
        refused(&format!("gas,t\n{many}"), &request),
        [
            "Column \"gas\": The column has 1001 different levels; a category may have 1000. Is it a number, or a note?"
        ]
    );
    let twice = ImportRequest {
        categories: vec![CategorySpec {
            name: "gas".to_owned(),
            levels: Some(owned(&["air", "air"])),
        }],
        ..plain(&[], &["t"])
    };
    assert_eq!(
        refused("gas,t\nair,1\nair,2\n", &twice),
        ["Column \"gas\": The level \"air\" is listed twice. Take one out."]
    );
}

#[test]
fn kinds_are_held_against_their_cells() {
    let request = |kind_of| ImportRequest {
        responses: vec![kind("y", kind_of)],
        ..plain(&["x"], &[])
    };
    for (kind, cell, message) in [
        (
            QualityKind::Percent,
            "120",
            "120 is not between 0 and 100 %.",
        ),
        (QualityKind::Percent, "-1", "-1 is not between 0 and 100 %."),
        (
            QualityKind::Count,
            "<3",
            "\"<3\" does not fit here. < and > are for measured numbers and percentages.",
        ),
        (
            QualityKind::Class,
            ">3",
            "\">3\" does not fit here. < and > are for measured numbers and percentages.",
        ),
        (
            QualityKind::Sound,
            "ok",
            "\"ok\" says neither sound nor faulty. Write sound, pass or good; or faulty, fail or bad, and what is wrong behind a \
             colon (\"faulty: streaks\").",
        ),
    ] {
        assert_eq!(
            refused(&format!("x,y\n1,1\n2,{cell}\n"), &request(kind)),
            [format!("Row 2 (line 3), column \"y\": {message}")]
        );
    }
    let percent = imported("x,y\n1,<1\n2,100\n", &request(QualityKind::Percent)).project;
    assert_eq!(percent.runs[0].readings[0].value, ReadingValue::Below(1.0));
    let listed = ResponseSpec {
        kind: Some(QualityKind::Count),
        classes: owned(&["a"]),
        ..response("y")
    };
    assert_eq!(
        refused(
            "x,y\n1,1\n2,2\n",
            &ImportRequest {
                responses: vec![listed],
                ..plain(&["x"], &[])
            }
        ),
        ["Column \"y\": A count quality has no classes. Take the list out, or make it a class."]
    );
    assert_eq!(
        refused(
            "x,film,peel\n1,good,pass\n2,bad,fail\n",
            &plain(&["x"], &["film", "peel"])
        ),
        [
            "Column \"peel\": \"film\" already says whether the film is sound. Make this one a class of two words, the better one \
          first (--response NAME=class:PASS,FAIL)."
        ]
    );
}

#[test]
fn rows_of_one_run_lie_in_one_block_and_have_an_order() {
    let request = ImportRequest {
        layers: owned(&["run"]),
        block: Some(BlockSpec {
            name: "day".to_owned(),
            random: false,
        }),
        ..plain(&["x"], &["t"])
    };
    assert_eq!(
        refused(
            "run,day,x,t\n1,mon,1,10\n1,tue,1,11\n2,tue,2,12\n",
            &request
        ),
        [
            "Row 2 (line 3), column \"day\": \"tue\" differs from \"mon\" in row 1 of the same run. Correct one of them, or give the \
          runs a layer of their own."
        ]
    );
    let request = ImportRequest {
        order: Some("order".to_owned()),
        ..plain(&["x"], &["t"])
    };
    assert_eq!(
        refused("order,x,t\n2,1,10\n,2,11\nthird,3,12\n", &request),
        [
            "Row 2 (line 3), column \"order\": The run order is missing in this row. Fill it in.",
            "Row 3 (line 4), column \"order\": \"third\" is not a number: character 1 is \"t\".",
        ]
    );
}

#[test]
fn a_sign_that_cannot_be_told_is_one_problem_of_the_column() {
    assert_eq!(
        refused("x;t\n1,5;1\n2.5;2\n3.5;3\n", &plain(&["x"], &["t"])),
        [
            "Column \"x\": \"2.5\" (row 2) has a decimal point, \"1,5\" (row 1) a decimal comma. Use one sign in the whole column, \
          and none between thousands."
        ]
    );
}
