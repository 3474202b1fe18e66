//! The run sheet as a table of comma-separated values (RFC 4180), one row a run.
//!
//! Numbers have a decimal point and no unit; the unit stands in the head of the column. A text that a spreadsheet would
//! take for a formula gets an apostrophe in front (OWASP, "CSV injection"; common practice).

use super::{RunSheet, SheetRow};
use crate::campaign::project::Outcome;
use crate::figure::markup::plain;

/// A byte order mark, without which spreadsheets misread µ and °.
const MARK: &str = "\u{feff}";

/// Writes the table.
pub(super) fn write(sheet: &RunSheet) -> String {
    let mut text = MARK.to_owned();
    push_record(&mut text, &heads(sheet));
    for row in &sheet.rows {
        push_record(&mut text, &cells(sheet, row));
    }
    text
}

/// A line of RFC 4180: cells with a comma, a quotation mark or blanks at an end stand in quotation marks.
fn push_record(text: &mut String, cells: &[String]) {
    for (index, cell) in cells.iter().enumerate() {
        if index > 0 {
            text.push(',');
        }
        if cell.contains([',', '"', '\n', '\r']) || cell.trim() != cell {
            text.push('"');
            text.push_str(&cell.replace('"', "\"\""));
            text.push('"');
        } else {
            text.push_str(cell);
        }
    }
    text.push_str("\r\n");
}

fn heads(sheet: &RunSheet) -> Vec<String> {
    let mut heads: Vec<String> = ["run", "role", "set up first", "set-up [min]"]
        .map(ToOwned::to_owned)
        .to_vec();
    for column in &sheet.columns {
        heads.push(with_unit(&column.label, &column.unit));
        if let Some((label, unit)) = &column.asked {
            heads.push(with_unit(label, unit));
        }
    }
    for head in [
        "start [m]",
        "sample from [m]",
        "end [m]",
        "ink [mL]",
        "ink so far [mL]",
        "time [min]",
        "time so far [min]",
        "can run",
        "limit",
        "margin",
        "remark",
        "pulled",
        "metre [m]",
        "time as run",
        "off plan",
        "film",
        "fault",
        "note",
    ] {
        heads.push(head.to_owned());
    }
    for column in &sheet.readings {
        let label = if column.place.is_empty() {
            column.label.clone()
        } else {
            format!("{}, {}", column.label, column.place)
        };
        heads.push(with_unit(&label, &column.unit));
    }
    heads
}

fn with_unit(label: &str, unit: &str) -> String {
    harmless(&if unit.is_empty() {
        label.to_owned()
    } else {
        format!("{label} [{unit}]")
    })
}

fn cells(sheet: &RunSheet, row: &SheetRow) -> Vec<String> {
    let mut cells = vec![row.run.to_string(), row.role.key().to_owned()];
    match &row.set_up {
        Some(bar) => cells.extend([harmless(&bar.changes.join(", ")), bar.minutes.to_string()]),
        None => cells.extend([String::new(), String::new()]),
    }
    for (column, cell) in sheet.columns.iter().zip(&row.cells) {
        cells.push(number_or_text(&cell.knob));
        if column.asked.is_some() {
            cells.push(number_or_text(&cell.asked));
        }
    }
    let number = |value: Option<f64>| value.map_or_else(String::new, |value| format!("{value:.3}"));
    cells.extend([row.start_m, row.sample_start_m, row.end_m].map(|metre| format!("{metre:.3}")));
    cells.extend([
        number(row.ink_ml),
        number(Some(row.ink_used_ml)),
        number(row.minutes),
        number(Some(row.minutes_passed)),
    ]);
    let can_run = match row.feasible {
        Some(true) => "yes",
        Some(false) => "no",
        None => "not known",
    };
    let (film, fault) = film(&row.done.outcome);
    cells.extend([
        can_run.to_owned(),
        row.limit.clone(),
        number(row.margin),
        harmless(&row.remark),
        harmless(&row.pulled.join(", ")),
        number(row.done.metre),
        harmless(&row.done.time),
        harmless(&row.done.off_plan.join(", ")),
        film.to_owned(),
        harmless(&fault),
        harmless(&row.done.note),
    ]);
    cells.extend(row.readings.iter().map(|text| number_or_text(text)));
    cells
}

fn film(outcome: &Outcome) -> (&'static str, String) {
    match outcome {
        Outcome::NotRun => ("", String::new()),
        Outcome::Sound => ("sound", String::new()),
        Outcome::Faulty { faults } => ("faulty", faults.join(", ")),
    }
}

/// A number with a plain minus sign, or a text made harmless.
fn number_or_text(text: &str) -> String {
    let number = text.replace('\u{2212}', "-");
    if number.parse::<f64>().is_ok_and(f64::is_finite) {
        number
    } else {
        harmless(text)
    }
}

/// Text that no spreadsheet takes for a formula.
fn harmless(text: &str) -> String {
    let text = plain(text);
    let first = text.trim_start().chars().next();
    let is_formula = first.is_some_and(|character| "=+-@\u{2212}＝＋－＠".contains(character));
    if is_formula { format!("'{text}") } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_become_text_and_numbers_stay() {
        // The starting characters are those of the OWASP page on CSV injection.
        for text in ["=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1", "  =1", "＝1"] {
            assert!(harmless(text).starts_with('\''), "{text}");
        }
        assert_eq!(harmless("gap"), "gap");
        assert_eq!(number_or_text("\u{2212}2.5"), "-2.5");
        assert_eq!(number_or_text("-2+3"), "'-2+3");
        assert_eq!(number_or_text("< 0.1"), "< 0.1");
    }
}
