//! From text to cells.

use proptest::prelude::*;
use wetlane::campaign::table_cell::{Cell, ColumnSign, DecimalSign};
use wetlane::campaign::table_problem::{is_unseen, shown};
use wetlane::campaign::table_records::{Delimiter, decode};
use wetlane::campaign::table_text::{Header, LONGEST_TEXT, Table, TableOptions, split_head};

use super::{messages, table};

fn texts(table: &Table) -> Vec<Vec<String>> {
    let columns = 0..table.columns().len();
    table
        .rows()
        .iter()
        .map(|row| {
            columns
                .clone()
                .map(|column| table.text(row, column).to_owned())
                .collect()
        })
        .collect()
}

fn heads(table: &Table) -> Vec<&str> {
    table
        .columns()
        .iter()
        .map(|column| column.head.as_str())
        .collect()
}

/// All numbers of a column that must be readable.
#[track_caller]
fn numbers(table: &Table, column: usize) -> Vec<Cell<'static>> {
    let (cells, problems) = table.numbers(column);
    assert!(problems.is_empty(), "{}", problems[0]);
    cells
}

#[track_caller]
fn refused(text: &str) -> Vec<String> {
    messages(&Table::read(text, &TableOptions::default()).expect_err("refused"))
}

/// Messages on a column of a readable table.
#[track_caller]
fn column_refused(text: &str, column: usize) -> Vec<String> {
    table(text)
        .numbers(column)
        .1
        .iter()
        .map(ToString::to_string)
        .collect()
}

#[test]
fn one_table_reads_alike_in_every_writing() {
    let plain = table("speed,yield\n1.5,76.5\n2,77\n");
    for text in [
        "speed;yield\n1,5;76,5\n2;77\n",
        "speed\tyield\n1,5\t76,5\n2\t77",
        "\u{feff}speed;yield\r\n1,5;76,5\r\n2;77\r\n",
        "speed;yield\r1,5;76,5\r2;77\r",
        "\"speed\",\"yield\"\n\"1,5\",\"76,5\"\n\"2\",\"77\"\n",
        "\n\nspeed ; yield \n 1,5 ; 76,5 \n2;77;\n"
            .replace(";\n", "\n")
            .as_str(),
        "speed,yield\n1.5,76.5\n2,77\n\n\n,\n",
    ] {
        let other = table(text);
        assert_eq!(heads(&other), heads(&plain), "{text:?}");
        for column in 0..2 {
            assert_eq!(numbers(&other, column), numbers(&plain, column), "{text:?}");
        }
    }
}

#[test]
fn what_was_read_is_told() {
    let read = table("speed;yield;films\n1,5;76.5;3\n2;77;4\n");
    assert_eq!(read.delimiter(), Some(Delimiter::Semicolon));
    assert_eq!(
        read.delimiter_note().unwrap(),
        "The cells are separated by semicolons."
    );
    assert_eq!(
        read.sign_notes(&[0, 1, 2]),
        [
            "Decimal point in \"yield\": \"76.5\" is read as 76.5.",
            "Decimal comma in \"speed\": \"1,5\" is read as 1.5."
        ]
    );
    assert_eq!(read.columns()[2].sign, ColumnSign::Unused);
}

#[test]
fn quoted_cells_hold_separators_marks_and_line_breaks() {
    // RFC 4180, section 2, rules 5 to 7.
    let read =
        table("\"wet\nthickness (µm)\",note\r\n12,\"said \"\"thin\"\", then\r\nthick\"\n13,\"\"\n");
    assert_eq!(heads(&read), ["wet thickness (µm)", "note"]);
    assert_eq!(
        texts(&read),
        [["12", "said \"thin\", then\nthick"], ["13", ""]]
    );
    // Rows count from 1 below the header; lines count as an editor does.
    assert_eq!(
        (read.rows()[0].place.number, read.rows()[0].place.line),
        (1, 3)
    );
    assert_eq!(
        (read.rows()[1].place.number, read.rows()[1].place.line),
        (2, 5)
    );
}

#[test]
fn limits_and_missing_cells_are_what_they_say() {
    let options = TableOptions {
        missing: vec!["n/a".to_owned(), "-".to_owned()],
        ..TableOptions::default()
    };
    let read = Table::read("a;b\n<0,1;n/a\n> 500;-\n≤ 0,2;\n>=7;1\n−3;2", &options).unwrap();
    assert_eq!(
        numbers(&read, 0),
        [
            Cell::Below(0.1),
            Cell::Above(500.0),
            Cell::Below(0.2),
            Cell::Above(7.0),
            Cell::Number(-3.0)
        ]
    );
    assert_eq!(
        numbers(&read, 1),
        [
            Cell::Empty,
            Cell::Empty,
            Cell::Empty,
            Cell::Number(1.0),
            Cell::Number(2.0)
        ]
    );
}

#[test]
fn a_cell_that_is_no_number_is_text_where_text_is_asked_for() {
    let read = table("gas,class\nargon,1.5\nair,\n");
    assert_eq!(read.cell(&read.rows()[0], 0), Cell::Text("argon"));
    assert_eq!(read.cell(&read.rows()[0], 1), Cell::Number(1.5));
    assert_eq!(read.cell(&read.rows()[1], 1), Cell::Empty);
}

#[test]
fn a_suspicious_character_is_named_with_row_and_column() {
    assert_eq!(
        column_refused("run;Wet thickness (µm)\n1;12,5\n2;12,5O\n3;l2,5\n", 1),
        [
            "Row 2 (line 3), column \"Wet thickness (µm)\": \"12,5O\" is not a number: the last character is \"O\". It \
             looks like a zero.",
            "Row 3 (line 4), column \"Wet thickness (µm)\": \"l2,5\" is not a number: character 1 is \"l\". It looks like \
             a one.",
        ]
    );
}

#[test]
fn everything_that_is_no_number_says_what_to_do() {
    let place = "Row 1 (line 2), column \"x\": ";
    for (cell, message) in [
        (
            "80 µm",
            "\"80 µm\" holds a unit. Write \"µm\" into the column head, in brackets, and only the number here.",
        ),
        (
            "12,5%",
            "\"12,5%\" holds a unit. Write \"%\" into the column head, in brackets, and only the number here.",
        ),
        ("=A1*2", "\"=A1*2\" is a formula. Put its value here."),
        (
            "#DIV/0!",
            "\"#DIV/0!\" says that a formula failed. Put a value here, or leave the cell empty.",
        ),
        (
            "n/a",
            "\"n/a\" is not a number. If it stands for a missing value, name it as such (--missing \"n/a\") or leave the cell \
             empty.",
        ),
        ("<", "\"<\" lacks the number behind the sign."),
        ("1e999", "\"1e999\" is too large."),
        ("--", "\"--\" is not a number: the last character is \"-\"."),
        (
            "12 500",
            "\"12 500\" has a gap. Write thousands without a separator, as 1234.5.",
        ),
        (
            "12\u{a0}500",
            "\"12\u{a0}500\" has a gap. Write thousands without a separator, as 1234.5.",
        ),
        (
            "1'200",
            "\"1'200\" has a gap. Write thousands without a separator, as 1234.5.",
        ),
        (
            "1.234,5",
            "\"1.234,5\" has two decimal signs. Write thousands without a separator, as 1234.5.",
        ),
        (
            "1,234,567",
            "\"1,234,567\" has two decimal signs. Write thousands without a separator, as 1234.5.",
        ),
        ("inf", "\"inf\" is not a number: character 1 is \"i\"."),
        (
            "1111111111111111111111111111111111111111111111111111111111111111x",
            "\"1111111111111111111111111111111111111111…\" is too long for a number.",
        ),
    ] {
        assert_eq!(
            column_refused(&format!("x;y\n{cell};1\n"), 0),
            [format!("{place}{message}")],
            "{cell}"
        );
    }
}

#[test]
fn a_word_for_missing_is_reported_once_a_column() {
    assert_eq!(
        column_refused("x;y\nNA;1\n2;1\nNA;1\nNA;1\n-;1\n", 0),
        [
            "Row 1 (line 2), column \"x\": \"NA\" (in 2 more rows, too) is not a number. If it stands for a missing value, \
             name it as such (--missing \"NA\") or leave the cell empty.",
            "Row 5 (line 6), column \"x\": \"-\" is not a number. If it stands for a missing value, name it as such \
             (--missing \"-\") or leave the cell empty.",
        ]
    );
}

#[test]
fn two_decimal_signs_in_one_column_are_refused_once() {
    assert_eq!(
        column_refused("x;y\n1,5;1\n2;1\n3.5;1\n4.5;1", 0),
        [
            "Column \"x\": \"3.5\" (row 3) has a decimal point, \"1,5\" (row 1) a decimal comma. Use one sign in the whole \
          column, and none between thousands."
        ]
    );
    // Every column has its own sign.
    let read = table("x;y\n1,5;1.5\n2,5;2.5");
    assert_eq!(read.columns()[0].sign, ColumnSign::One(DecimalSign::Comma));
    assert_eq!(read.columns()[1].sign, ColumnSign::One(DecimalSign::Point));
}

#[test]
fn digits_in_groups_of_three_are_not_guessed() {
    let unclear = |text: &str, row| {
        format!(
            "Column \"x\": \"{text}\" (row {row}) may be {} or {}. Write thousands without a separator, or give a number \
             of the column another count of decimals.",
            text.replace(',', "."),
            text.replace([',', '.'], "")
        )
    };
    // Copied cells show thousands as they are formatted.
    assert_eq!(
        column_refused("x\ty\n900\t1\n1,234\t2\n", 0),
        [unclear("1,234", 2)]
    );
    assert_eq!(
        column_refused("x,y\n\"1,234\",1\n\"2,345\",2\n", 0),
        [unclear("1,234", 1)]
    );
    // Another column says that the comma is the decimal sign, so the point may part thousands.
    assert_eq!(
        column_refused("x;y\n1.234;1,5\n2.345;2,5\n", 0),
        [unclear("1.234", 1)]
    );
    // The other way round, the point is the decimal sign.
    assert_eq!(
        column_refused("x\ty\n1,234\t1.5\n2,345\t2.5\n", 0),
        [unclear("1,234", 1)]
    );
}

#[test]
fn three_decimals_are_read_where_nothing_speaks_against_them() {
    for (text, expected) in [
        ("x,y\n-1.414,1\n1.414,2\n", [-1.414, 1.414]),
        ("x;y\n-1,414;1\n1,414;2\n", [-1.414, 1.414]),
        ("x;y\n-1,414;76,5\n1,414;2\n", [-1.414, 1.414]),
        ("x\ty\n0,125\t1\n0,250\t2\n", [0.125, 0.25]),
        ("x\ty\n1,250\t1\n1,5\t2\n", [1.25, 1.5]),
        ("x\ty\n1,250\t1,5\n1,500\t2\n", [1.25, 1.5]),
    ] {
        let cells = numbers(&table(text), 0);
        assert_eq!(cells, expected.map(Cell::Number), "{text:?}");
    }
}

#[test]
fn a_decimal_comma_among_separating_commas_is_advised_on() {
    assert_eq!(
        refused("speed,yield\n1,5,76,5\n2,77\n"),
        [
            "Row 1 (line 2): The row has 4 cells, the header has 2. If the comma is the decimal sign too, separate the cells \
          by semicolons or tabs, or put the numbers in quotation marks."
        ]
    );
}

#[test]
fn every_ragged_row_is_reported_in_one_pass() {
    assert_eq!(
        refused("a;b;c\n1;2;3\n1;2\n1;2;3;4\n"),
        [
            "Row 2 (line 3): The row has 2 cells, the header has 3. Fill up the row; a missing value is an empty cell \
             between two separators.",
            "Row 3 (line 4): The row has 4 cells, the header has 3. Take out the cells beyond the header, or name their \
             columns.",
        ]
    );
}

#[test]
fn heads_must_be_there_and_differ() {
    assert_eq!(
        refused("a,,b,a\n1,2,3,4\n"),
        [
            "Column 2 has no name in the header row. Give it one.",
            "Columns 1 and 4 are both called \"a\". Rename one."
        ]
    );
    // Blanks do not tell heads apart.
    assert_eq!(
        refused("a b,a  b \n1,2\n"),
        ["Columns 1 and 2 are both called \"a b\". Rename one."]
    );
    // Some programs write empty columns at the right edge.
    assert_eq!(heads(&table("a;b;;\n1;2;;\n3;4;;\n")), ["a", "b"]);
    assert_eq!(
        refused("a;b;\n1;2;3\n"),
        ["Column 3 has no name in the header row. Give it one."]
    );
}

#[test]
fn an_empty_text_is_no_table() {
    let empty = "The table is empty. It needs a header row and at least one row below.";
    for text in ["", "\u{feff}", "\n\n \n", " "] {
        assert_eq!(refused(text), [empty], "{text:?}");
    }
    for text in ["a,b", "a,b\n", "a;b\n;\n;\n"] {
        assert_eq!(
            refused(text),
            ["There is a header but no row below it."],
            "{text:?}"
        );
    }
}

#[test]
fn a_delimiter_that_could_be_two_is_refused() {
    assert_eq!(
        refused("T, left;T, right\n1,5;2,5\n"),
        [
            "The cells may be separated by semicolons or by commas. Put names and texts that hold one of the two in quotation \
          marks."
        ]
    );
    assert_eq!(
        heads(&table("\"T, left\";\"T, right\"\n1,5;2,5\n")),
        ["T, left", "T, right"]
    );
    // Equal rows decide, and a tab is never part of a name.
    assert_eq!(
        heads(&table("speed;yield, mean\n1,5;2\n3;4\n")),
        ["speed", "yield, mean"]
    );
    assert_eq!(
        heads(&table("T, left\tT, right\n1,5\t2,5\n")),
        ["T, left", "T, right"]
    );
    assert_eq!(heads(&table("yield\n76,5\n77\n")), ["yield"]);
}

#[test]
fn quotation_marks_are_not_forgiven() {
    assert_eq!(
        refused("a,b\n1,\"2\n3,4\n5,6\n"),
        [
            "Row 2: A quotation mark is opened here and never closed. Close it, or write it twice if it is part of the text."
        ]
    );
    assert_eq!(
        refused("a,b\n1,2\n\"3\"4,5\n"),
        [
            "Row 3: There is text behind a closing quotation mark. Write a quotation mark twice if it is part of the text."
        ]
    );
    // A mark inside an unquoted cell is part of it, as for inches.
    assert_eq!(texts(&table("roll,b\n3\" core,2\n")), [["3\" core", "2"]]);
}

#[test]
fn unseen_characters_are_refused_by_their_code() {
    for (text, message) in [
        (
            "a,b\n1,2\u{0}\n",
            "Row 1 (line 2), column \"b\": The unseen character ⟨U+0000⟩ stands in \"2⟨U+0000⟩\". Take it out.",
        ),
        (
            "a,b\n\u{202e}12,2\n",
            "Row 1 (line 2), column \"a\": The unseen character ⟨U+202E⟩ stands in \"⟨U+202E⟩12\". Take it out.",
        ),
        (
            "a,\u{feff}b\n1,2\n",
            "Column \"⟨U+FEFF⟩b\": The unseen character ⟨U+FEFF⟩ stands in \"⟨U+FEFF⟩b\". Take it out.",
        ),
        (
            "a,b\u{7}\n1,2\n",
            "Column \"b⟨U+0007⟩\": The unseen character ⟨U+0007⟩ stands in \"b⟨U+0007⟩\". Take it out.",
        ),
    ] {
        assert_eq!(refused(text), [message]);
    }
    // Writing from right to left is text like any other.
    assert_eq!(heads(&table("מהירות,תפוקה\n1,2\n")), ["מהירות", "תפוקה"]);
}

#[test]
fn hostile_sizes_are_refused_quickly_and_briefly() {
    let long_line = "x".repeat(10_000_000);
    let commas = ",".repeat(10_000_000);
    let quotes = "\"".repeat(9_999_999);
    for text in [
        long_line,
        commas,
        quotes,
        format!("a,b\n{}", "1,2,".repeat(3_000_000)),
    ] {
        let messages = refused(&format!("{text}\n1\n"));
        assert_eq!(messages.len(), 1);
        assert!(messages[0].len() < 300, "{}", messages[0]);
    }
    let many = format!("a,b\n{}", "1,2\n".repeat(2_000_001));
    let options = TableOptions {
        delimiter: Some(Delimiter::Comma),
        ..TableOptions::default()
    };
    assert_eq!(
        messages(&Table::read(&many, &options).unwrap_err()),
        ["The table has more than 4000000 cells. Take out what is not needed."]
    );
    let long = " ".repeat(LONGEST_TEXT + 1);
    assert_eq!(
        refused(&long),
        ["The text has 67108865 bytes; a table may have 67108864. Take out what is not needed."]
    );
}

#[test]
fn problems_beyond_twenty_are_counted() {
    let text = format!("a,b\n{}", "1\n".repeat(30));
    let problems = Table::read(&text, &TableOptions::default()).unwrap_err();
    let message = problems.to_string();
    assert_eq!(message.lines().count(), 21);
    assert!(message.ends_with("… and 10 more"), "{message}");
    assert_eq!(problems.0.len(), 30);
}

#[test]
fn bytes_are_decoded_or_refused_with_their_place() {
    assert_eq!(decode("a;µ\n".as_bytes()).unwrap(), "a;µ\n");
    let utf16: Vec<u8> = [0xff, 0xfe]
        .into_iter()
        .chain("a\tµ\n1\t2".encode_utf16().flat_map(u16::to_le_bytes))
        .collect();
    assert_eq!(decode(&utf16).unwrap(), "a\tµ\n1\t2");
    let big: Vec<u8> = [0xfe, 0xff]
        .into_iter()
        .chain("µ".encode_utf16().flat_map(u16::to_be_bytes))
        .collect();
    assert_eq!(decode(&big).unwrap(), "µ");
    // ISO 8859-1 has µ as the single byte B5.
    assert_eq!(
        decode(b"gap (\xb5m);b\n1;2").unwrap_err().to_string(),
        "The text is not UTF-8 (byte 6 on line 1). Save the table as UTF-8."
    );
    assert_eq!(
        decode(b"\xff\xfe\x00").unwrap_err().to_string(),
        "The text is marked as UTF-16 but is not. Save the table as UTF-8."
    );
}

#[test]
fn without_a_header_columns_are_numbered_and_empty_rows_stay() {
    let options = TableOptions {
        header: Header::None,
        ..TableOptions::default()
    };
    let read = Table::read("12,5\n\n13,1\n", &options).unwrap();
    assert_eq!(heads(&read), ["column 1"]);
    assert_eq!(
        numbers(&read, 0),
        [Cell::Number(12.5), Cell::Empty, Cell::Number(13.1)]
    );
    assert_eq!(read.rows()[2].place.to_string(), "row 3");
}

#[test]
fn cells_of_a_sheet_are_read_like_text() {
    let sheet = |cells: [[&str; 2]; 3]| {
        Table::of_cells(
            cells
                .map(|row| row.map(ToOwned::to_owned).to_vec())
                .to_vec(),
            &TableOptions::default(),
        )
    };
    let read = sheet([["x", "y"], ["1.5", "a"], ["2.5", ""]]).unwrap();
    assert_eq!(numbers(&read, 0), [Cell::Number(1.5), Cell::Number(2.5)]);
    assert_eq!(read.delimiter_note(), None);
    assert_eq!(
        messages(&sheet([["x", "x"], ["1", "2"], ["3", "4"]]).unwrap_err()),
        ["Columns 1 and 2 are both called \"x\". Rename one."]
    );
}

#[test]
fn units_are_told_from_words_in_brackets() {
    for (head, name, unit) in [
        ("gap (µm)", "gap", Some("µm")),
        ("T [%]", "T", Some("%")),
        ("sheet resistance (Ω/sq)", "sheet resistance", Some("Ω/sq")),
        ("voltage (mV)", "voltage", Some("mV")),
        ("dose (W·min/m²)", "dose", Some("W·min/m²")),
        ("yield (mean of 3)", "yield (mean of 3)", None),
        ("thickness (left)", "thickness (left)", None),
        ("speed (as run) (m/min)", "speed (as run)", Some("m/min")),
        ("(µm)", "(µm)", None),
        ("plain", "plain", None),
    ] {
        assert_eq!(
            split_head(head),
            (name.to_owned(), unit.map(ToOwned::to_owned)),
            "{head}"
        );
    }
}

#[test]
fn a_column_is_found_by_head_or_by_name_without_unit() {
    let read = table("gap (µm),speed (m/min),speed (m/s)\n1,2,3\n");
    assert_eq!(read.find_column("gap (µm)"), Some(0));
    assert_eq!(read.find_column(" gap "), Some(0));
    assert_eq!(read.find_column("speed"), None);
    assert_eq!(read.find_column("speed (m/s)"), Some(2));
    assert_eq!(read.find_column("Gap"), None);
}

/// Cells that the `csv` package can write and a table can hold.
fn cells() -> impl Strategy<Value = Vec<Vec<String>>> {
    (2_usize..5).prop_flat_map(|n_columns| {
        let cell = "[a-z0-9,;\"\n µ.]{0,8}".prop_map(|text| text.trim().to_owned());
        proptest::collection::vec(proptest::collection::vec(cell, n_columns), 1..8)
    })
}

proptest! {
    // The csv package is an independent writer of RFC 4180.
    #[test]
    fn what_the_csv_package_writes_is_read_back(rows in cells(), delimiter in 0_usize..3) {
        let delimiter = Delimiter::ALL[delimiter];
        let byte = match delimiter { Delimiter::Tab => b'\t', Delimiter::Semicolon => b';', Delimiter::Comma => b',' };
        let mut writer = csv::WriterBuilder::new().delimiter(byte).from_writer(Vec::new());
        let n_columns = rows[0].len();
        writer.write_record((0..n_columns).map(|column| format!("head {column}"))).unwrap();
        for row in &rows {
            writer.write_record(row).unwrap();
        }
        let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
        let is_blank = |row: &Vec<String>| row.iter().all(String::is_empty);
        let n_kept = rows.iter().rposition(|row| !is_blank(row)).map_or(0, |last| last + 1);
        let options = TableOptions { delimiter: Some(delimiter), ..TableOptions::default() };
        match Table::read(&text, &options) {
            Ok(table) => prop_assert_eq!(texts(&table), rows[..n_kept].to_vec()),
            Err(problems) => prop_assert_eq!(n_kept, 0, "{}", problems),
        }
    }

    // And an independent reader of it, where no cell is quoted.
    #[test]
    fn plain_text_is_split_as_the_csv_package_splits_it(text in "[a-z],[b-z]\n([a-z0-9]{0,3},[a-z0-9]{1,3}\n){1,6}") {
        let mut reader = csv::ReaderBuilder::new().from_reader(text.as_bytes());
        let expected: Vec<Vec<String>> =
            reader.records().map(|record| record.unwrap().iter().map(ToOwned::to_owned).collect()).collect();
        if let Ok(read) = Table::read(&text, &TableOptions::default()) {
            prop_assert_eq!(texts(&read), expected);
        }
    }

    #[test]
    fn any_text_is_read_or_refused_without_a_crash(text in "(?s).{0,80}", header in any::<bool>()) {
        let header = if header { Header::FirstRow } else { Header::None };
        match Table::read(&text, &TableOptions { header, ..TableOptions::default() }) {
            Ok(table) => {
                for column in 0..table.columns().len() {
                    let (cells, problems) = table.numbers(column);
                    prop_assert_eq!(cells.len(), table.rows().len());
                    for problem in problems {
                        prop_assert!(!problem.to_string().contains(|c: char| is_unseen(c)));
                    }
                }
            }
            Err(problems) => {
                prop_assert!(!problems.0.is_empty());
                prop_assert!(!problems.to_string().replace('\n', "").contains(|c: char| is_unseen(c)));
            }
        }
    }

    #[test]
    fn any_punctuation_is_read_or_refused_without_a_crash(text in "[\"',;\t\r\n .0-9<>=#-]{0,40}") {
        if let Ok(table) = Table::read(&text, &TableOptions::default()) {
            for column in 0..table.columns().len() {
                table.numbers(column);
            }
        }
    }

    #[test]
    fn any_bytes_are_decoded_or_refused_without_a_crash(bytes in proptest::collection::vec(any::<u8>(), 0..60)) {
        if let Ok(text) = decode(&bytes) {
            prop_assert!(text.len() <= 2 * bytes.len());
        }
    }

    // Numbers as Rust writes them, the shortest text that reads back to the same 64 bits.
    #[test]
    fn numbers_survive_point_and_comma(
        values in proptest::collection::vec(proptest::num::f64::NORMAL | proptest::num::f64::ZERO, 1..6),
        comma in any::<bool>()
    ) {
        let written: Vec<String> =
            values.iter().map(|value| if value.abs() < 1e16 && value.abs() > 1e-5 { format!("{value}") } else { format!("{value:e}") }).collect();
        // A first number with one decimal settles what the sign is.
        let text = format!("x;y\n0.5;1\n{}", written.join(";1\n") + ";1\n");
        let text = if comma { text.replace('.', ",") } else { text };
        let cells = numbers(&table(&text), 0);
        for (cell, value) in cells[1..].iter().zip(&values) {
            prop_assert!(matches!(cell, Cell::Number(number) if number.to_bits() == value.to_bits() || *number == 0.0 && *value == 0.0));
        }
    }

    #[test]
    fn shown_text_hides_nothing_and_stays_short(text in "(?s).{0,200}") {
        let shown = shown(&text);
        prop_assert!(!shown.contains(|c: char| is_unseen(c)));
        prop_assert!(shown.chars().count() <= 41 * 8);
    }
}
