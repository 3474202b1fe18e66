//! The run sheet on paper: a first page for before the start, pages of runs, and pages of boxes for readings.
//!
//! Landscape, for A4 as well as Letter: widths are those of the narrower, heights those of the lower sheet. Runs are
//! dealt to pages by their estimated height, so that no run is torn.

use super::{Done, ReadingColumn, RunSheet, SheetCell, SheetRow};
use crate::campaign::html::{Html, Table, document};
use crate::campaign::project::{Outcome, RunRole};
use crate::figure::text_width::text_width;
use crate::figure::web_line;
use crate::number_text::format_number;

const STYLE: &str = include_str!("style.css");
/// Width of the web picture in figure units: 259 mm on paper, what both paper sizes have inside their margins.
const PICTURE_WIDTH: f64 = 1180.0;
/// Room for the rows of runs on a page [mm]: 190 mm inside the margins of A4, less head and foot.
const ROOM_FOR_RUNS: f64 = 146.0;
/// Least height of a run [mm].
const RUN_HEIGHT: f64 = 14.4;
/// Room for the rows of readings on a page [mm].
const ROOM_FOR_READINGS: f64 = 148.0;
/// Height of a row of readings [mm].
const READING_HEIGHT: f64 = 9.0;
/// Boxes for readings beside each other.
const READINGS_ACROSS: usize = 12;
/// One point in mm (by definition of the point of desktop publishing: 1/72 inch).
const POINT: f64 = 25.4 / 72.0;
/// Widths of the columns that are always there [mm]; the note takes what is left.
const RUN_WIDTH: f64 = 12.0;
const SET_UP_WIDTH: f64 = 30.0;
const METRE_WIDTH: f64 = 31.0;
const AS_RUN_WIDTH: f64 = 36.0;
const FILM_WIDTH: f64 = 26.0;
const LEAST_NOTE_WIDTH: f64 = 40.0;
const PAGE_WIDTH: f64 = 259.0;
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
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a quotient of two constants"
            )]
            let n_down = (ROOM_FOR_READINGS / READING_HEIGHT) as usize;
            let first = sheet
                .readings
                .iter()
                .position(|column| Some(column) == columns.first());
            for rows in sheet.rows.chunks(n_down) {
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
        header(page, sheet, "Run sheet", &format!("before the start of {n_runs} runs"));
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
        page.leaf("h2", "", "Words");
        page.leaf(
            "p",
            "",
            &format!(
                "Bold: turn this. A thin number under a bold one is what was asked for; the knob above it follows. Lines \
                 between runs: a heavy one is a stop. Faults: {FAULTS}. Off plan? Write what you set."
            ),
        );
        signature(page);
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
}

fn signature(page: &mut Html) {
    page.element("div", "signature", |page| {
        for words in ["date", "ink left at stop, mL", "room °C, % r.h.", "signed"] {
            page.element("span", "", |page| page.text(words));
            page.leaf("span", "line", "");
        }
    });
}

/// The runs, dealt to pages.
fn dealt(sheet: &RunSheet) -> Vec<&[SheetRow]> {
    let mut pages = Vec::new();
    let mut rest = sheet.rows.as_slice();
    while !rest.is_empty() {
        let mut room = ROOM_FOR_RUNS - extra_head(sheet);
        let n_fitting = rest
            .iter()
            .take_while(|row| {
                room -= height(sheet, row);
                room >= 0.0
            })
            .count()
            // A run that is higher than a page gets one of its own.
            .max(1);
        let (page, later) = rest.split_at(n_fitting);
        pages.push(page);
        rest = later;
    }
    pages
}

/// Height of the head beyond two lines [mm].
fn extra_head(sheet: &RunSheet) -> f64 {
    let width = knob_width(sheet) - 2.0;
    let lines = |column: &super::SheetColumn| {
        let asked = column.asked.as_ref().map_or(0.0, |(label, unit)| {
            n_lines(&format!("for {label}, {unit}"), 7.0, width)
        });
        n_lines(&column.label, 8.0, width) + n_lines(&column.unit, 7.5, width) + asked
    };
    let most = sheet.columns.iter().map(lines).fold(3.0, f64::max);
    (most - 3.0) * 3.4
}

/// Lines that a text takes in a column of a width [mm] at a size [pt].
fn n_lines(text: &str, size: f64, width: f64) -> f64 {
    // Words are not torn, so lines are on average not full.
    const FULL: f64 = 0.85;
    if text.is_empty() {
        0.0
    } else {
        (text_width(text, size * POINT, true) / (FULL * width))
            .ceil()
            .max(1.0)
    }
}

fn knob_width(sheet: &RunSheet) -> f64 {
    let taken =
        RUN_WIDTH + SET_UP_WIDTH + METRE_WIDTH + AS_RUN_WIDTH + FILM_WIDTH + LEAST_NOTE_WIDTH;
    ((PAGE_WIDTH - taken) / sheet.columns.len().max(1) as f64).min(17.0)
}

fn note_width(sheet: &RunSheet) -> f64 {
    let taken = RUN_WIDTH + SET_UP_WIDTH + METRE_WIDTH + AS_RUN_WIDTH + FILM_WIDTH;
    PAGE_WIDTH - taken - knob_width(sheet) * sheet.columns.len() as f64
}

/// Estimated height of a run [mm].
fn height(sheet: &RunSheet, row: &SheetRow) -> f64 {
    const LINE: f64 = 3.6;
    let set_up = n_lines(&set_up_words(row).0, 8.5, SET_UP_WIDTH - 3.0) + 1.0;
    let width = note_width(sheet) - 3.0;
    let notes: f64 = notes(row)
        .iter()
        .map(|note| n_lines(note, 7.5, width))
        .sum();
    let written = n_lines(&row.done.note, 7.5, width);
    let values = row
        .cells
        .iter()
        .map(|cell| n_lines(&cell.knob, 11.0, knob_width(sheet) - 1.0) * 1.3);
    let values = values.fold(0.0, f64::max) + 1.0;
    let lines = set_up.max(notes + written).max(values);
    RUN_HEIGHT.max(lines * LINE + 4.0)
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
                &format!("Bold: turn this. Faults: {FAULTS}. Off plan? Write what you set."),
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
    let knob = knob_width(sheet);
    page.element("colgroup", "", |page| {
        let mut widths = vec![RUN_WIDTH, SET_UP_WIDTH];
        widths.extend(sheet.columns.iter().map(|_| knob));
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
                page.leaf(
                    "div",
                    "asked",
                    &format!("for {}{unit}", label.to_lowercase()),
                );
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
fn set_up_words(row: &SheetRow) -> (String, String) {
    match &row.set_up {
        Some(bar) => {
            let first = if bar.is_strip_down {
                "new bottle: "
            } else {
                ""
            };
            (
                format!("{first}{}", bar.changes.join(", ").to_lowercase()),
                format!("{} min", format_number(bar.minutes, 0)),
            )
        }
        None => (String::new(), String::new()),
    }
}

fn set_up(page: &mut Html, row: &SheetRow) {
    let (changes, minutes) = set_up_words(row);
    page.element("td", "set-up", |page| {
        if changes.is_empty() {
            page.text("nothing");
        } else {
            page.leaf("strong", "", &changes);
            page.leaf("div", "", &minutes);
        }
    });
}

fn knob(page: &mut Html, cell: &SheetCell) {
    let class = if cell.is_changed { "knob turn" } else { "knob" };
    page.element("td", class, |page| {
        page.leaf("div", "value", &cell.knob);
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

/// Minutes as hours and minutes: "2 h 05 min".
fn clock(minutes: f64) -> String {
    let whole = minutes.round().max(0.0);
    let (hours, rest) = ((whole / 60.0).floor(), whole % 60.0);
    if hours > 0.0 {
        format!("{hours:.0} h {rest:02.0} min")
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
fn notes(row: &SheetRow) -> Vec<String> {
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
