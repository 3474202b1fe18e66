//! The runs in order with what limits them: a mark left of the common line holds.

use egui::{
    Align, EventFilter, Id, Key, Modifiers, Rect, Sense, Stroke, Ui, WidgetInfo, accesskit::Role,
    pos2, vec2,
};

use super::Judged;
use crate::app::spine_view::state_of;
use crate::app::view::{Request, View};
use crate::campaign::decimals::shared_decimals;
use crate::campaign::feasibility::RunJudgement;
use crate::campaign::limit_words::in_short;
use crate::campaign::moves_along::moves_in_words;
use crate::campaign::project::{EffortClass, Run, RunRole, SettingEntry, SettingValue};
use crate::campaign::sentence_case::in_sentence;
use crate::number_text::format_number;
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::button::focus_ring;
use crate::widgets::columns::columns_that_fit;
use crate::widgets::hatch::{Hatch, hatch_rect};
use crate::widgets::heading::{body_text, quiet_text, section_head};
use crate::widgets::lettering::Lettering;
use crate::widgets::margin_bar::{BarParts, LimitState, Margin, bound_x, paint_margin_bar};

/// Width of the margin bars.
const BAR: f32 = 46.0;
/// Narrowest and widest room for the words behind them.
const WORDS: (f32, f32) = (150.0, 250.0);
/// Room for the run's number.
const NUMBER: f32 = 26.0;
/// Narrowest and widest column of a setting.
const PITCH: (f32, f32) = (37.0, 72.0);
/// Room for the margin behind the words.
const MARGIN: f32 = 34.0;

/// Where the parts of a row stand, from its left end.
#[derive(Debug, Clone, Copy)]
struct Parts {
    bar: f32,
    words: f32,
}

/// A column of settings.
struct Column<'a> {
    setting: &'a SettingEntry,
    /// The word of its name that fits, told apart from those of the others.
    head: String,
    /// The unit, or a sign that leads to the line under the table.
    unit: String,
    decimals: usize,
    right: f32,
    /// The width its text may take.
    room: f32,
}

/// Draws the table.
pub(super) fn ui(ui: &mut Ui, view: &View<'_>, judged: &Judged, requests: &mut Vec<Request>) {
    let project = view.project;
    section_head(ui, "Runs in order", &counts(judged));
    if project.runs.is_empty() {
        body_text(ui, "The runs stand here as soon as a proposal is taken.");
        return;
    }
    let width = ui.available_width();
    let left = ui.cursor().left();
    let (columns, parts, feet) = columns_of(ui, view, left, width);
    head_ui(ui, &columns, parts, width);
    limit_line(ui, parts, width, project.runs.len());
    let mut before: Option<&Run> = None;
    for run in &project.runs {
        let known = judged.runs.iter().find(|judged| judged.run == run.number);
        requests.extend(line_ui(ui, view, (&columns, parts), (run, before), known));
        before = Some(run);
    }
    ui.add_space(8.0);
    for foot in feet
        .into_iter()
        .chain(moves_in_words(project, &judged.runs))
    {
        quiet_text(ui, &foot);
    }
    quiet_text(
        ui,
        "A line between rows: something is set up. A heavy one: something is stripped down. Accent: pulled.",
    );
}

/// "13 hold, 2 near, 4 cannot run".
fn counts(judged: &Judged) -> String {
    let of = |wanted: LimitState| {
        let states = judged.runs.iter().filter_map(|judged| {
            let judgement = judged.judgement.as_ref().ok()?;
            Some(state_of(judgement.margin()?, judgement.safety_margin))
        });
        states.filter(|state| *state == wanted).count()
    };
    if !judged.is_fresh {
        return "being judged".to_owned();
    }
    let parts = [
        (of(LimitState::Holds), "hold"),
        (of(LimitState::Near), "near"),
        (of(LimitState::Broken), "cannot run"),
    ];
    let words: Vec<String> = parts
        .iter()
        .filter(|(n, _)| *n > 0)
        .map(|(n, words)| format!("{n} {words}"))
        .collect();
    words.join(", ")
}

/// The common line of all limits, hatched beyond.
fn limit_line(ui: &Ui, parts: Parts, width: f32, n_runs: usize) {
    let (left, top) = (ui.cursor().left(), ui.cursor().top());
    let height = measure::RUN_PITCH * n_runs as f32;
    let bar = Rect::from_min_size(pos2(left + parts.bar, top), vec2(BAR.min(width), height));
    let palette = Palette::of(ui);
    let bound = bound_x(bar);
    let beyond = Rect::from_min_max(pos2(bound, top), bar.max);
    hatch_rect(ui.painter(), beyond, Hatch::beyond(palette));
    let stroke = Stroke::new(measure::BOUND, palette.ink);
    ui.painter().vline(bound, bar.y_range(), stroke);
}

/// A run: pressing selects it, the arrows go to its neighbours.
fn line_ui(
    ui: &mut Ui,
    view: &View<'_>,
    (columns, parts): (&[Column<'_>], Parts),
    (run, before): (&Run, Option<&Run>),
    known: Option<&RunJudgement>,
) -> Option<Request> {
    let size = vec2(ui.available_width(), measure::RUN_PITCH);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    ui.add_space(-ui.spacing().item_spacing.y);
    let response = ui.interact(rect, row_id(run.number), Sense::click());
    let words = words_of(run, known);
    let is_selected = view.selection.run == Some(run.number);
    response.widget_info(|| {
        let name = format!("run {}: {}", run.number, words.text);
        WidgetInfo::selected(Role::Row, true, is_selected, name)
    });
    row_ui(
        ui,
        rect,
        (columns, parts),
        (run, before),
        &words,
        is_selected,
    );
    focus_ring(ui, rect, &response);
    if response.clicked() {
        response.request_focus();
        return Some(Request::SelectRun(Some(run.number)));
    }
    if !response.has_focus() {
        return None;
    }
    let filter = EventFilter {
        vertical_arrows: true,
        ..EventFilter::default()
    };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, filter));
    let to = neighbour(ui, view, run.number)?;
    ui.memory_mut(|memory| memory.request_focus(row_id(to)));
    let step = measure::RUN_PITCH * if to > run.number { 1.0 } else { -1.0 };
    ui.scroll_to_rect(rect.translate(vec2(0.0, step)), None);
    Some(Request::SelectRun(Some(to)))
}

fn row_id(run: u32) -> Id {
    Id::unique(("run of the plan", run))
}

/// The run above or below in the order, where an arrow was pressed.
fn neighbour(ui: &Ui, view: &View<'_>, run: u32) -> Option<u32> {
    let runs = &view.project.runs;
    let at = runs.iter().position(|known| known.number == run)?;
    // Taken, so that the row to which the focus goes does not answer to the same press.
    let pressed = |key| ui.input_mut(|input| input.consume_key(Modifiers::NONE, key));
    let to = if pressed(Key::ArrowDown) {
        at + 1
    } else if pressed(Key::ArrowUp) {
        at.checked_sub(1)?
    } else {
        return None;
    };
    runs.get(to).map(|run| run.number)
}

/// Columns, places and the lines under the table.
fn columns_of<'a>(
    ui: &Ui,
    view: &View<'a>,
    left: f32,
    width: f32,
) -> (Vec<Column<'a>>, Parts, Vec<String>) {
    let settings: Vec<&SettingEntry> = view.project.varied().collect();
    let n = settings.len().max(1) as f32;
    let beside = NUMBER + BAR + 22.0;
    let words = (width - beside - n * PITCH.0).clamp(WORDS.0, WORDS.1);
    let room = width - beside - words;
    let pitch = (room / n).clamp(PITCH.0, PITCH.1);
    let n_fit = columns_that_fit(room, pitch, settings.len());
    let hidden: Vec<String> = settings
        .iter()
        .skip(n_fit)
        .map(|setting| in_sentence(&setting.label))
        .collect();
    let mut feet = Vec::new();
    if !hidden.is_empty() {
        feet.push(format!(
            "Not shown for want of room: {}.",
            hidden.join(", ")
        ));
    }
    let mut columns: Vec<Column<'a>> = Vec::new();
    for (index, setting) in settings.into_iter().take(n_fit).enumerate() {
        let values: Vec<f64> = view
            .project
            .runs
            .iter()
            .filter_map(|run| run.target(&setting.id)?.number())
            .collect();
        let (head, is_told) = head_word(ui, setting, pitch - 4.0, &columns);
        let is_wide = text_width(ui, &setting.unit) > pitch - 4.0;
        if is_wide || !is_told {
            let unit = if setting.unit.is_empty() {
                String::new()
            } else {
                format!(" in {}", setting.unit)
            };
            let sign = if is_wide { "* " } else { "" };
            feet.push(format!(
                "{sign}{head}: {}{unit}.",
                in_sentence(&setting.label)
            ));
        }
        columns.push(Column {
            setting,
            unit: if is_wide {
                "*".to_owned()
            } else {
                setting.unit.clone()
            },
            head,
            decimals: shared_decimals(values),
            room: pitch - 4.0,
            right: left + NUMBER + pitch * (index + 1) as f32,
        });
    }
    let bar = NUMBER + pitch * n_fit as f32 + 12.0;
    let parts = Parts {
        bar,
        words: bar + BAR + 10.0,
    };
    (columns, parts, feet)
}

fn text_width(ui: &Ui, text: &str) -> f32 {
    let ink = Palette::of(ui).ink2;
    Lettering::new(text, theme::regular(text_size::UNIT_CLOSE), ink).width(ui.painter())
}

/// The word of a setting's name that fits and that no other column has; and whether it says enough by itself.
fn head_word(ui: &Ui, setting: &SettingEntry, room: f32, others: &[Column<'_>]) -> (String, bool) {
    let name = in_sentence(&setting.label);
    let is_free = |word: &str| !others.iter().any(|column| column.head == word);
    if text_width(ui, &name) <= room && is_free(&name) {
        return (name, true);
    }
    let fitting = name
        .split(' ')
        .find(|word| text_width(ui, word) <= room && is_free(word));
    match fitting {
        Some(word) => (word.to_owned(), true),
        None => (name, false),
    }
}

fn head_ui(ui: &mut Ui, columns: &[Column<'_>], parts: Parts, width: f32) {
    let (rect, _) = ui.allocate_exact_size(vec2(width, 34.0), Sense::hover());
    let palette = Palette::of(ui);
    let font = theme::regular(text_size::UNIT_CLOSE);
    for column in columns {
        for (words, y) in [(&column.head, 13.0), (&column.unit, 28.0)] {
            Lettering::new(words, font.clone(), palette.ink2).write_within(
                ui.painter(),
                pos2(column.right, rect.top() + y),
                Align::RIGHT,
                column.room,
            );
        }
    }
    let at = pos2(rect.left() + parts.words, rect.top() + 28.0);
    Lettering::new("tightest limit, margin", font, palette.ink2).write_within(
        ui.painter(),
        at,
        Align::LEFT,
        rect.right() - at.x,
    );
    let stroke = Stroke::new(measure::RULE, palette.ink);
    ui.painter().hline(rect.x_range(), rect.bottom(), stroke);
}

/// What a row says.
struct RowWords {
    text: String,
    margin: Option<Margin>,
}

impl RowWords {
    fn of(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            margin: None,
        }
    }
}

/// What the row says: limit and margin, or what fails and by how much.
fn words_of(run: &Run, judged: Option<&RunJudgement>) -> RowWords {
    let Some(judged) = judged else {
        return RowWords::of("being judged");
    };
    let Ok(judgement) = &judged.judgement else {
        return RowWords::of(judged.why_unknown().unwrap_or_default());
    };
    let Some(limit) = judgement.binding() else {
        let why = judged.why_unknown();
        return RowWords::of(why.unwrap_or_else(|| "no limit known".to_owned()));
    };
    let value = limit.margin().unwrap_or(0.0);
    let state = state_of(value, judgement.safety_margin);
    let short = in_short(limit, &judgement.assessment);
    let text = match state {
        LimitState::Broken if run.on_purpose.is_some() => format!("{short}, on purpose"),
        LimitState::Broken if limit.holds() => format!("{short}: margin too small"),
        LimitState::Broken => short,
        LimitState::Near => format!("{short}, near"),
        LimitState::Holds => match run.role {
            RunRole::Return => "return run".to_owned(),
            RunRole::Check => "check run".to_owned(),
            RunRole::Plan | RunRole::Centre | RunRole::Axial | RunRole::Added => short,
        },
    };
    RowWords {
        text,
        margin: Some(Margin {
            value,
            span: None,
            state,
        }),
    }
}

fn row_ui(
    ui: &Ui,
    rect: Rect,
    (columns, parts): (&[Column<'_>], Parts),
    (run, before): (&Run, Option<&Run>),
    words: &RowWords,
    is_selected: bool,
) {
    let margin = words.margin;
    let palette = Palette::of(ui);
    let painter = ui.painter();
    if is_selected {
        painter.rect_filled(rect.expand2(vec2(6.0, 0.0)), 0, palette.selected);
    }
    rule_above(ui, rect, columns, run, before);
    let base = rect.top() + 15.0;
    let bold = is_selected || margin.is_some_and(|margin| margin.state == LimitState::Broken);
    let font = if bold {
        theme::bold(text_size::CELL)
    } else {
        theme::regular(text_size::CELL)
    };
    Lettering::new(run.number.to_string(), font.clone(), palette.ink).write(
        painter,
        pos2(rect.left() + 20.0, base),
        Align::RIGHT,
    );
    for column in columns {
        let id = &column.setting.id;
        let Some(value) = run.target(id) else {
            continue;
        };
        let text = match value {
            SettingValue::Number(number) => format_number(*number, column.decimals),
            SettingValue::Level(level) => level.clone(),
        };
        let is_repeated = before.and_then(|before| before.target(id)) == Some(value)
            && column.setting.effort.class != EffortClass::OnTheFly;
        let color = if run.pulled.contains_key(id) {
            palette.accent
        } else if is_repeated {
            palette.ink3
        } else {
            palette.ink
        };
        Lettering::new(text, font.clone(), color).write_within(
            painter,
            pos2(column.right, base),
            Align::RIGHT,
            column.room,
        );
    }
    limit_ui(ui, rect, parts, words, font);
}

/// The bar and the words behind it.
fn limit_ui(ui: &Ui, rect: Rect, parts: Parts, words: &RowWords, font: egui::FontId) {
    let (palette, painter) = (Palette::of(ui), ui.painter());
    let base = rect.top() + 15.0;
    let corner = pos2(rect.left() + parts.bar, rect.top());
    let bar = Rect::from_min_size(corner, vec2(BAR, rect.height()));
    let mut room = rect.right() - rect.left() - parts.words;
    let mut color = palette.ink2;
    if let Some(margin) = words.margin {
        paint_margin_bar(painter, palette, bar, margin, BarParts::InColumn);
        if margin.state == LimitState::Holds {
            let number = format_number(margin.value, 2);
            Lettering::new(number, font.clone(), palette.ink2).write(
                painter,
                pos2(rect.right() - 2.0, base),
                Align::RIGHT,
            );
            room -= MARGIN;
        } else {
            color = palette.amber;
        }
    }
    let at = pos2(rect.left() + parts.words, base);
    Lettering::new(&words.text, font, color).write_within(painter, at, Align::LEFT, room);
}

/// A rule above a run at which something is set up; heavy where something is stripped down.
fn rule_above(ui: &Ui, rect: Rect, columns: &[Column<'_>], run: &Run, before: Option<&Run>) {
    let Some(before) = before else { return };
    let changed = columns
        .iter()
        .filter(|column| before.target(&column.setting.id) != run.target(&column.setting.id))
        .map(|column| column.setting.effort.class)
        .max();
    let palette = Palette::of(ui);
    let stroke = match changed {
        Some(EffortClass::StripDown) => Stroke::new(1.4, palette.ink),
        Some(EffortClass::StopAndWait) => Stroke::new(measure::RULE, palette.line),
        Some(EffortClass::OnTheFly) | None => return,
    };
    ui.painter().hline(rect.x_range(), rect.top(), stroke);
}
