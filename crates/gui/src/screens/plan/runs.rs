//! The runs in order with what limits them: a mark left of the common line holds.

use egui::{Align, Key, Rect, Sense, Stroke, Ui, WidgetInfo, accesskit::Role, pos2, vec2};

use crate::app::spine_view::state_of;
use crate::app::view::{Request, View};
use crate::campaign::decimals::shared_decimals;
use crate::campaign::feasibility::RunJudgement;
use crate::campaign::limit_words::{in_short, shortfall};
use crate::campaign::project::{EffortClass, Run, RunRole, SettingEntry, SettingValue};
use crate::number_text::format_number;
use crate::theme::{self, Palette, measure, text_size};
use crate::widgets::columns::columns_that_fit;
use crate::widgets::hatch::{Hatch, hatch_rect};
use crate::widgets::heading::{body_text, section_head};
use crate::widgets::lettering::Lettering;
use crate::widgets::margin_bar::{BarParts, LimitState, Margin, bound_x, paint_margin_bar};

const BAR: f32 = 74.0;
const WORDS: f32 = 168.0;
const NUMBER: f32 = 30.0;

/// What fails, once for each limit: "Runs 2, 4: dry at exit, 10 s short."
pub(super) fn broken_words(judged: &[RunJudgement], stuck: &[u32]) -> Vec<String> {
    let mut by_limit: Vec<(String, Vec<String>)> = Vec::new();
    for run in judged.iter().filter(|judged| stuck.contains(&judged.run)) {
        let Some(name) = run
            .judgement
            .as_ref()
            .ok()
            .and_then(|j| j.binding())
            .map(|limit| limit.id.label().to_lowercase())
        else {
            continue;
        };
        match by_limit.iter_mut().find(|(known, _)| *known == name) {
            Some((_, runs)) => runs.push(run.run.to_string()),
            None => by_limit.push((name, vec![run.run.to_string()])),
        }
    }
    by_limit
        .into_iter()
        .map(|(name, runs)| {
            format!(
                "{} breaks in run {}.",
                sentence_start(&name),
                runs.join(", ")
            )
        })
        .collect()
}

fn sentence_start(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}

/// A column of settings.
struct Column<'a> {
    setting: &'a SettingEntry,
    decimals: usize,
    right: f32,
    /// The width its text may take.
    room: f32,
}

/// Draws the table.
pub(super) fn ui(
    ui: &mut Ui,
    view: &View<'_>,
    judged: &[RunJudgement],
    requests: &mut Vec<Request>,
) {
    let project = view.project;
    section_head(ui, "Runs in order", "tightest limit");
    if project.runs.is_empty() {
        body_text(ui, "The runs stand here as soon as a proposal is taken.");
        return;
    }
    let width = ui.available_width();
    let left = ui.cursor().left();
    let columns = columns_of(view, left, width);
    head_ui(ui, &columns, width);
    let top = ui.cursor().top();
    let bar_left = left + width - BAR - WORDS - 8.0;
    let height = measure::RUN_PITCH * project.runs.len() as f32;
    let bar = Rect::from_min_size(pos2(bar_left, top), vec2(BAR, height));
    let palette = Palette::of(ui);
    let bound = bound_x(bar);
    hatch_rect(
        ui.painter(),
        Rect::from_min_max(pos2(bound, top), bar.max),
        Hatch::beyond(palette),
    );
    ui.painter().vline(
        bound,
        bar.y_range(),
        Stroke::new(measure::BOUND, palette.ink),
    );
    let mut before: Option<&Run> = None;
    for run in &project.runs {
        let (rect, response) =
            ui.allocate_exact_size(vec2(width, measure::RUN_PITCH), Sense::click());
        ui.add_space(-ui.spacing().item_spacing.y);
        let known = judged.iter().find(|judged| judged.run == run.number);
        let words = words_of(run, known);
        response.widget_info(|| {
            WidgetInfo::selected(
                Role::Row,
                true,
                view.selection.run == Some(run.number),
                format!("run {}: {}", run.number, words.0),
            )
        });
        row_ui(
            ui,
            rect,
            &columns,
            (run, before),
            &words,
            view.selection.run == Some(run.number),
        );
        if response.clicked() {
            requests.push(Request::SelectRun(Some(run.number)));
            response.request_focus();
        }
        if response.has_focus() {
            requests.extend(step_request(ui, view, run.number));
        }
        before = Some(run);
    }
}

/// Up and down arrows select the neighbour.
fn step_request(ui: &Ui, view: &View<'_>, run: u32) -> Option<Request> {
    let at = view
        .project
        .runs
        .iter()
        .position(|known| known.number == run)?;
    let (up, down) = ui.input(|input| {
        (
            input.key_pressed(Key::ArrowUp),
            input.key_pressed(Key::ArrowDown),
        )
    });
    let to = if down {
        at + 1
    } else if up {
        at.checked_sub(1)?
    } else {
        return None;
    };
    view.project
        .runs
        .get(to)
        .map(|run| Request::SelectRun(Some(run.number)))
}

fn columns_of<'a>(view: &View<'a>, left: f32, width: f32) -> Vec<Column<'a>> {
    let settings: Vec<&SettingEntry> = view.project.varied().collect();
    let room = width - NUMBER - BAR - WORDS - 16.0;
    let pitch = (room / settings.len().max(1) as f32).clamp(36.0, 72.0);
    let n_fit = columns_that_fit(room, pitch, settings.len());
    settings
        .into_iter()
        .take(n_fit)
        .enumerate()
        .map(|(index, setting)| {
            let values: Vec<f64> = view
                .project
                .runs
                .iter()
                .filter_map(|run| run.target(&setting.id)?.number())
                .collect();
            Column {
                setting,
                decimals: shared_decimals(values),
                room: pitch - 5.0,
                right: left + NUMBER + pitch * (index + 1) as f32,
            }
        })
        .collect()
}

fn head_ui(ui: &mut Ui, columns: &[Column<'_>], width: f32) {
    let (rect, _) = ui.allocate_exact_size(vec2(width, 34.0), Sense::hover());
    let palette = Palette::of(ui);
    for column in columns {
        let name = column.setting.label.to_lowercase();
        let short = name.split(' ').next().unwrap_or(&name);
        for (words, y) in [(short, 13.0), (column.setting.unit.as_str(), 28.0)] {
            Lettering::new(words, theme::regular(text_size::UNIT_CLOSE), palette.ink2)
                .write_within(
                    ui.painter(),
                    pos2(column.right, rect.top() + y),
                    Align::RIGHT,
                    column.room,
                );
        }
    }
    ui.painter().hline(
        rect.x_range(),
        rect.bottom(),
        Stroke::new(measure::RULE, palette.ink),
    );
}

/// What the row says, and whether that is trouble.
fn words_of(run: &Run, judged: Option<&RunJudgement>) -> (String, Option<Margin>) {
    let Some(judged) = judged else {
        return ("being judged".to_owned(), None);
    };
    let Ok(judgement) = &judged.judgement else {
        return (judged.why_unknown().unwrap_or_default(), None);
    };
    let Some(limit) = judgement.binding() else {
        return (
            judged
                .why_unknown()
                .unwrap_or_else(|| "no limit known".to_owned()),
            None,
        );
    };
    let value = limit.margin().unwrap_or(0.0);
    let state = state_of(value, judgement.safety_margin);
    let words = match state {
        LimitState::Broken => {
            let what = shortfall(limit, &judgement.assessment);
            let kept = if run.on_purpose.is_some() {
                ", on purpose"
            } else {
                ""
            };
            format!("{}: {what}{kept}", limit.id.label().to_lowercase())
        }
        LimitState::Near => format!("{}, near", in_short(limit, &judgement.assessment)),
        LimitState::Holds => match run.role {
            RunRole::Return => "return run".to_owned(),
            RunRole::Check => "check run".to_owned(),
            RunRole::Plan | RunRole::Centre | RunRole::Axial | RunRole::Added => {
                in_short(limit, &judgement.assessment)
            }
        },
    };
    (
        words,
        Some(Margin {
            value,
            span: None,
            state,
        }),
    )
}

fn row_ui(
    ui: &Ui,
    rect: Rect,
    columns: &[Column<'_>],
    (run, before): (&Run, Option<&Run>),
    (words, margin): &(String, Option<Margin>),
    is_selected: bool,
) {
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
    let bar = Rect::from_min_size(
        pos2(rect.right() - BAR - WORDS - 8.0, rect.top()),
        vec2(BAR, rect.height()),
    );
    let trouble = margin.is_some_and(|margin| margin.state != LimitState::Holds);
    if let Some(margin) = margin {
        paint_margin_bar(painter, palette, bar, *margin, BarParts::InColumn);
    }
    let color = if trouble { palette.amber } else { palette.ink2 };
    Lettering::new(words, font, color).write_within(
        painter,
        pos2(bar.right() + 10.0, base),
        Align::LEFT,
        WORDS - 4.0,
    );
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
