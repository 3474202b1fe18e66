//! The run sheet on paper: a first page for before the start, pages of runs, and pages of boxes for readings.
//!
//! Landscape, for A4 as well as Letter: widths are those of the narrower, heights those of the lower sheet. Runs are
//! dealt to pages by their estimated height, so that no run is torn.

use super::layout::{
    AS_RUN_WIDTH, FILM_WIDTH, METRE_WIDTH, RUN_WIDTH, SET_UP_WIDTH, dealt, is_number, knob_widths,
    n_readings_down,
};
use super::{Done, ReadingColumn, RunSheet, SheetCell, SheetRow};
use crate::campaign::html::{Html, Table, document};
use crate::campaign::project::{Outcome, RunRole};
use crate::campaign::sentence_case::in_sentence;
use crate::figure::web_line;
use crate::number_text::format_number;

const STYLE: &str = include_str!("style.css");
/// Width of the web picture in figure units: 259 mm on paper, what both paper sizes have inside their margins.
const PICTURE_WIDTH: f64 = 1180.0;
/// Boxes for readings beside each other.
const READINGS_ACROSS: usize = 12;
/// Words for what can be wrong with a film (trade words).
const FAULTS: &str = "ribs, cross bars, streaks, pinholes, bare edge, tacky, other";

/// The sheet as one HTML document.
pub(super) fn write(sheet: &RunSheet) -> String {
    document(&format!("Run sheet: {}", sheet.title), STYLE, |page| {
        cover(page, sheet);
        for rows in dealt(sheet) {
            runs_page(page, sheet, rows);
        }
        for columns in sheet.readings.chunks(READINGS_ACROSS) {
            let first = sheet
                .readings
                .iter()
                .position(|column| Some(column) == columns.first());
            for rows in sheet.rows.chunks(n_readings_down(sheet.rows.len())) {
                readings_page(page, sheet, rows, columns, first.unwrap_or(0));
            }
        }
    })
}

fn header(page: &mut Html, sheet: &RunSheet, name: &str, which: &str) {
    page.element("header", "", |page| {
        page.element("div", "", |page| {
            page.leaf("h1", "", name);
            page.element("p", "", |page| {
                page.typed(&sheet.title);
                page.text(", ");
                page.text(&sheet.plan);
            });
        });
        page.element("div", "which", |page| {
            page.leaf("div", "", which);
            page.leaf("strong", "", &format!("check word {}", sheet.check_word));
        });
    });
    page.new_line();
}

/// What has to be known before the start.
fn cover(page: &mut Html, sheet: &RunSheet) {
    page.element("section", "page", |page| {
        let n_runs = sheet.rows.len();
        header(
            page,
            sheet,
            "Run sheet",
            &format!("before the start of {n_runs} runs"),
        );
        if !sheet.stops.is_empty() {
            page.element("div", "picture", |page| {
                page.drawing(&web_line::draw("The line", &sheet.stops, PICTURE_WIDTH));
            });
        }
        page.element("div", "columns", |page| {
            page.element("div", "", |page| totals(page, sheet));
            page.element("div", "", |page| fixed(page, sheet));
        });
        page.leaf("h2", "", "Cautions");
        page.element("ul", "cautions", |page| {
            for caution in &sheet.cautions {
                page.leaf("li", "", caution);
            }
        });
        if !sheet.rows.is_empty() {
            page.element("div", "picture", |page| {
                page.leaf("h2", "", "The roll");
                page.drawing(&sheet.strip.draw("The roll to scale", PICTURE_WIDTH));
            });
        }
    });
    page.new_line();
}

fn totals(page: &mut Html, sheet: &RunSheet) {
    page.leaf("h2", "", "What it takes");
    let totals = &sheet.totals;
    let mut table = Table::new()
        .words("")
        .numbers("needed", "")
        .numbers("there is", "")
        .numbers("left", "");
    for (name, needed, there, unit) in [
        ("ink", totals.ink_ml, totals.ink_in_hand_ml, "mL"),
        ("foil", Some(totals.foil_m), totals.foil_in_hand_m, "m"),
        ("time", totals.hours, totals.hours_in_hand, "h"),
    ] {
        let amount = |value: Option<f64>, otherwise: &str| {
            value.map_or_else(
                || otherwise.to_owned(),
                |value| format!("{} {unit}", format_number(value, 1)),
            )
        };
        let left = needed.zip(there).map(|(needed, there)| there - needed);
        let left = match left {
            Some(left) if left < 0.0 => format!("{} {unit} too little", format_number(-left, 1)),
            left => amount(left, ""),
        };
        table.row([
            name.into(),
            amount(needed, "not known").into(),
            amount(there, "not stated").into(),
            left.into(),
        ]);
    }
    table.write(page, "plain");
    page.leaf(
        "p",
        "",
        &format!(
            "Leader {} m and {} min until the first run are counted in. Waiting at one stop adds up.",
            format_number(sheet.leader_m, 1),
            format_number(sheet.start_minutes, 0)
        ),
    );
}

fn fixed(page: &mut Html, sheet: &RunSheet) {
    page.leaf("h2", "", "Set once");
    if sheet.fixed.is_empty() {
        page.leaf("p", "", "Everything is turned from run to run.");
        return;
    }
    let mut table = Table::new().words("").words("");
    for setting in &sheet.fixed {
        table.row([setting.label.as_str().into(), setting.value.as_str().into()]);
    }
    table.write(page, "plain");
    if let Some(moves) = &sheet.moves {
        page.leaf("p", "quiet", moves);
    }
}

fn signature(page: &mut Html) {
    page.element("div", "signature", |page| {
        for words in ["date", "ink left at stop, mL", "room °C, % r.h.", "signed"] {
            page.element("span", "", |page| page.text(words));
            page.leaf("span", "line", "");
        }
    });
}

fn runs_page(page: &mut Html, sheet: &RunSheet, rows: &[SheetRow]) {
    page.element("section", "page", |page| {
        header(page, sheet, "Run sheet", &which_runs(rows));
        page.element("table", "runs", |page| {
            columns(page, sheet);
            page.element("thead", "", |page| {
                page.element("tr", "", |page| heads(page, sheet));
            });
            page.new_line();
            page.element("tbody", "", |page| {
                for row in rows {
                    run(page, row);
                }
            });
        });
        page.element("footer", "", |page| {
            page.leaf(
                "p",
                "",
                &format!(
                    "Bold: turn this; a small number under it is what was asked for. Heavy line: stop. Faults: {FAULTS}. \
                     Off plan? Write what you set."
                ),
            );
            page.leaf(
                "p",
                "",
                "Cautions stand on the first page. Local codes and licensed practice prevail.",
            );
            signature(page);
        });
    });
    page.new_line();
}

fn which_runs(rows: &[SheetRow]) -> String {
    match (rows.first(), rows.last()) {
        (Some(first), Some(last)) if first.run != last.run => {
            format!("runs {} to {}", first.run, last.run)
        }
        (Some(first), _) => format!("run {}", first.run),
        _ => String::new(),
    }
}

fn columns(page: &mut Html, sheet: &RunSheet) {
    page.element("colgroup", "", |page| {
        let mut widths = vec![RUN_WIDTH, SET_UP_WIDTH];
        widths.extend(knob_widths(sheet));
        widths.extend([METRE_WIDTH, AS_RUN_WIDTH, FILM_WIDTH]);
        for width in widths {
            page.element_with(
                "col",
                "",
                &[("style", &format!("width:{width:.2}mm"))],
                |_| {},
            );
        }
        page.element("col", "", |_| {});
    });
}

fn heads(page: &mut Html, sheet: &RunSheet) {
    let head = |page: &mut Html, class: &'static str, words: &str, under: &str| {
        page.element("th", class, |page| {
            page.text(words);
            page.leaf("div", "unit", under);
        });
    };
    head(page, "run", "run", "");
    head(page, "", "set up first", "min");
    for column in &sheet.columns {
        page.element("th", "knob", |page| {
            page.text(&column.label);
            page.leaf("div", "unit", &column.unit);
            if let Some((label, unit)) = &column.asked {
                let unit = if unit.is_empty() {
                    String::new()
                } else {
                    format!(", {unit}")
                };
                page.leaf("div", "asked", &format!("{}{unit}", in_sentence(label)));
            }
        });
    }
    head(page, "", "metre", "start to end; used so far");
    head(page, "", "as run", "sample from, m; time");
    head(page, "", "film", "");
    head(page, "", "limit and note", "");
}

fn run(page: &mut Html, row: &SheetRow) {
    let class = match &row.set_up {
        Some(bar) if bar.is_strip_down => "strip-down",
        Some(_) => "stop",
        None => "",
    };
    page.element("tr", class, |page| {
        page.element("td", "run", |page| {
            page.text(&row.run.to_string());
            if let Some(words) = role_words(row.role) {
                page.leaf("div", "role", words);
            }
        });
        set_up(page, row);
        for cell in &row.cells {
            knob(page, cell);
        }
        metre(page, row);
        as_run(page, &row.done);
        film(page, &row.done.outcome);
        note(page, row);
    });
    page.new_line();
}

const fn role_words(role: RunRole) -> Option<&'static str> {
    match role {
        RunRole::Plan | RunRole::Axial => None,
        RunRole::Centre => Some("center"),
        RunRole::Return => Some("return"),
        RunRole::Check => Some("check"),
        RunRole::Added => Some("added"),
    }
}

/// What to change at the stop before a run, and the minutes.
pub(super) fn set_up_words(row: &SheetRow) -> (String, String) {
    let minutes = |minutes: f64| format!("{} min", format_number(minutes, 0));
    match (&row.set_up, row.first_minutes) {
        (Some(bar), _) => {
            let names: Vec<String> = bar.changes.iter().map(|name| in_sentence(name)).collect();
            let bottle = if bar.is_strip_down {
                "new bottle: "
            } else {
                ""
            };
            (
                format!("{bottle}{}", names.join(", ")),
                minutes(bar.minutes),
            )
        }
        (None, Some(first)) => ("everything".to_owned(), minutes(first)),
        (None, None) => (String::new(), String::new()),
    }
}

fn set_up(page: &mut Html, row: &SheetRow) {
    let (changes, minutes) = set_up_words(row);
    page.element("td", "set-up", |page| {
        if changes.is_empty() {
            page.text("nothing");
        } else {
            page.leaf("strong", "", &changes);
            page.text(&format!(", {minutes}"));
        }
    });
}

fn knob(page: &mut Html, cell: &SheetCell) {
    let class = if cell.is_changed { "knob turn" } else { "knob" };
    page.element("td", class, |page| {
        let class = if is_number(&cell.knob) {
            "value"
        } else {
            "value word"
        };
        page.leaf("div", class, &cell.knob);
        if !cell.asked.is_empty() {
            page.leaf("div", "asked", &cell.asked);
        }
    });
}

fn metre(page: &mut Html, row: &SheetRow) {
    let metre = |value: f64| format_number(value, 1);
    page.element("td", "metre", |page| {
        page.leaf(
            "div",
            "value",
            &format!("{} to {}", metre(row.start_m), metre(row.end_m)),
        );
        page.leaf(
            "div",
            "",
            &format!("sample from {}", metre(row.sample_start_m)),
        );
        let ink = if row.ink_ml.is_some() {
            format!("{} mL, ", format_number(row.ink_used_ml, 1))
        } else {
            String::new()
        };
        let time = if row.minutes.is_some() {
            clock(row.minutes_passed)
        } else {
            String::new()
        };
        page.leaf(
            "div",
            "so-far",
            format!("{ink}{time}").trim_end_matches(", "),
        );
    });
}

/// Minutes as hours and minutes: "2 h 05".
fn clock(minutes: f64) -> String {
    let whole = minutes.round().max(0.0);
    let (hours, rest) = ((whole / 60.0).floor(), whole % 60.0);
    if hours > 0.0 {
        format!("{hours:.0} h {rest:02.0}")
    } else {
        format!("{rest:.0} min")
    }
}

fn as_run(page: &mut Html, done: &Done) {
    page.element("td", "as-run", |page| {
        page.element("div", "boxes", |page| {
            let metre = done
                .metre
                .map_or_else(String::new, |metre| format_number(metre, 2));
            page.leaf("div", "box", &metre);
            page.leaf("div", "box", &done.time);
        });
    });
}

fn film(page: &mut Html, outcome: &Outcome) {
    let (sound, faulty, faults) = match outcome {
        Outcome::NotRun => ("", "", String::new()),
        Outcome::Sound => ("×", "", String::new()),
        Outcome::Faulty { faults } => ("", "×", faults.join(", ")),
    };
    page.element("td", "film", |page| {
        page.element("div", "tick", |page| {
            page.leaf("span", "tick-box", sound);
            page.text(" sound");
        });
        page.element("div", "tick", |page| {
            page.leaf("span", "tick-box", faulty);
            page.text(" faulty: ");
            if faults.is_empty() {
                page.leaf("span", "line", "");
            } else {
                page.typed(&faults);
            }
        });
    });
}

/// What is printed in the column of notes.
pub(super) fn notes(row: &SheetRow) -> Vec<String> {
    let mut notes = vec![row.remark.clone()];
    notes.extend(row.pulled.iter().map(|words| format!("pulled: {words}")));
    notes.extend(
        row.done
            .off_plan
            .iter()
            .map(|words| format!("off plan: {words}")),
    );
    notes
}

fn note(page: &mut Html, row: &SheetRow) {
    let class = if row.feasible == Some(true) {
        "note"
    } else {
        "note warn"
    };
    page.element("td", class, |page| {
        for words in notes(row) {
            page.leaf("div", "", &words);
        }
        if !row.done.note.is_empty() {
            page.leaf("div", "written", &row.done.note);
        }
    });
}

/// A page of boxes; `first` is the place of the first column among all.
fn readings_page(
    page: &mut Html,
    sheet: &RunSheet,
    rows: &[SheetRow],
    columns: &[ReadingColumn],
    first: usize,
) {
    page.element("section", "page", |page| {
        header(page, sheet, "Readings", &which_runs(rows));
        page.element("table", "readings", |page| {
            page.element("thead", "", |page| {
                page.element("tr", "", |page| {
                    page.leaf("th", "run", "run");
                    for column in columns {
                        page.element("th", "", |page| {
                            page.text(&column.label);
                            page.leaf("div", "place", &column.place);
                            page.leaf("div", "unit", &column.unit);
                        });
                    }
                    page.leaf("th", "note", "note");
                });
            });
            page.new_line();
            page.element("tbody", "", |page| {
                for row in rows {
                    page.element("tr", "", |page| {
                        page.leaf("td", "run", &row.run.to_string());
                        for index in first..first + columns.len() {
                            let text = row.readings.get(index).map_or("", String::as_str);
                            page.leaf("td", "box", text);
                        }
                        page.leaf("td", "note", "");
                    });
                    page.new_line();
                }
            });
        });
        page.element("footer", "", |page| {
            let words =
                "Write < or > where the gauge ends. Strike out, never erase; say why beside it.";
            page.leaf("p", "", words);
            page.element("div", "signature", |page| {
                for words in ["date", "gauge", "room °C, % r.h.", "read by"] {
                    page.leaf("span", "", words);
                    page.leaf("span", "line", "");
                }
            });
        });
    });
    page.new_line();
}
