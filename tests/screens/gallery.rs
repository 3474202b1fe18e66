//! A page of every widget, drawn in both themes and at two scales: fails when a widget cannot be drawn, lacks an
//! accessible name or uses a character that no face has. With `WETLANE_PICTURES` set, the pages are kept there.

use egui::{Theme, Ui, Vec2, vec2};
use egui_kittest::Harness;
use wetlane::figure::axis::Axis;
use wetlane::figure::color_map::{MapScale, WantedEnd};
use wetlane::figure::isolines::Grid;
use wetlane::theme;
use wetlane::widgets::editable_grid::{
    CellLook, EditableGrid, GridCell, GridColumn, GridRow, RowRule,
};
use wetlane::widgets::foil_strip::{
    BottleBand, FoilRun, FoilRunState, FoilStrip, SetUpBar, SettingTrack, StoreTrack, foil_strip,
};
use wetlane::widgets::limit_row::{LimitLine, limit_list};
use wetlane::widgets::margin_bar::{BarParts, LimitState, Margin, paint_margin_bar};
use wetlane::widgets::message_list::{MessageView, MessageWeight, message_line};
use wetlane::widgets::number_field::NumberField;
use wetlane::widgets::paper_page::{A4_RATIO, paper_page};
use wetlane::widgets::plot::contour_map::{ContourMap, MapLevel};
use wetlane::widgets::plot::curve_strip::CurveStrip;
use wetlane::widgets::plot::effect_list::{
    EffectLine, IntervalLine, Verdict, effect_list, interval_rows,
};
use wetlane::widgets::plot::run_marks::{RunMark, RunMarkKind};
use wetlane::widgets::plot::scatter::{
    DotLook, FieldRule, LineLook, ScatterLine, ScatterPlot, ScatterPoint, empty_plot,
};
use wetlane::widgets::plot::share_bars::{AmountLine, BudgetLine, amount_rows, budget_rows};
use wetlane::widgets::plot::window_chart::{
    CurveKind, PlotNote, RangeBox, WindowChart, WindowCurve,
};
use wetlane::widgets::screen_tape::{TapeItem, screen_tape};
use wetlane::widgets::setting_row::{
    Effort, SettingLine, plain_setting_row, range_fields, setting_head,
};
use wetlane::widgets::spine::{SpineModel, StationKind, StationView, TitleLine, WetLane, spine};
use wetlane::widgets::{button, choice, heading, text_field};

use crate::software_renderer::SoftwareRenderer;

/// A harness with our faces and the processor renderer.
pub(crate) fn harness<'a>(
    size: Vec2,
    scale: f32,
    theme: Theme,
    page: impl FnMut(&mut Ui) + 'a,
) -> Harness<'a> {
    Harness::builder()
        .with_size(size)
        .with_pixels_per_point(scale)
        .with_theme(theme)
        .with_max_steps(20)
        .with_render_cursor(false)
        .with_context_setup(|ctx| {
            theme::install(ctx);
            ctx.set_missing_glyph_policy(egui::MissingGlyphPolicy::Panic);
        })
        .renderer(SoftwareRenderer::default())
        .build_ui(page)
}

/// Lays out `page` in both themes at both scales; draws it where pictures are wanted.
fn draw(name: &str, size: Vec2, page: fn(&mut Ui)) -> Result<(), String> {
    for (theme, theme_name) in [(Theme::Light, "light"), (Theme::Dark, "dark")] {
        for scale in [1.0, 2.0] {
            let mut harness = harness(size, scale, theme, page);
            harness.run();
            if let Some(folder) = std::env::var_os("WETLANE_PICTURES") {
                let file = format!("{name}-{theme_name}-{scale}x.png");
                let path = std::path::Path::new(&folder).join(file);
                harness
                    .render()?
                    .save(path)
                    .map_err(|error| error.to_string())?;
            }
        }
    }
    Ok(())
}

pub(crate) fn limits() -> Vec<LimitLine> {
    let limit =
        |name: &str, comparison: &str, value: f64, span: f64, state: LimitState, chance: &str| {
            LimitLine {
                name: name.into(),
                comparison: comparison.into(),
                margin: Margin {
                    value,
                    span: Some((value - span, value + span)),
                    state,
                },
                chance: chance.into(),
            }
        };
    vec![
        limit(
            "Stays wet",
            "40 ≤ 30 s",
            -0.25,
            0.0,
            LimitState::Broken,
            "3 %",
        ),
        limit(
            "Bead holds",
            "13.0 ≥ 12.4 µm",
            0.05,
            0.12,
            LimitState::Near,
            "76 %",
        ),
        limit(
            "Low flow",
            "13.0 ≥ 10.2 µm",
            0.21,
            0.04,
            LimitState::Holds,
            "> 99 %",
        ),
        limit(
            "Wires pass",
            "3 × 40 ≤ 250 µm",
            0.52,
            0.0,
            LimitState::Holds,
            "> 99 %",
        ),
        limit(
            "Ink wets the foil",
            "52 ≥ 28 mN/m",
            1.0,
            0.0,
            LimitState::Holds,
            "> 99 %",
        ),
    ]
}

fn first_page(ui: &mut Ui) {
    heading::sentence(
        ui,
        "The bead is near its limit: chance of a sound film 76 %.",
        "At a gap of 250 µm and 1.80 m/min the thinnest film the bead can hold is 12.4 µm; you ask 13.0 µm.",
    );
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        button::primary_button(ui, "Plan the runs");
        button::outlined_button(ui, "Take over 4 readings");
        button::choice_button(ui, "ribs", button::ButtonLook::Outlined);
        button::choice_button(ui, "cross bars", button::ButtonLook::Fault);
        button::link(ui, "Use another card…");
        let mut is_ticked = true;
        button::tick_box(ui, &mut is_ticked, "Recipe card");
        let mut is_ticked = false;
        button::tick_box(ui, &mut is_ticked, "Evidence");
    });
    ui.add_space(8.0);
    ui.horizontal(|ui| {
        NumberField::new(egui::Id::unique("speed"), "Speed, m/min", "1.80")
            .unit("m/min")
            .show(ui);
        NumberField::new(egui::Id::unique("wet"), "Wet thickness, µm", "13.0")
            .unit("µm")
            .show(ui);
        NumberField::new(egui::Id::unique("empty"), "Dose, W·min/m²", "")
            .hint("dose")
            .show(ui);
    });
    ui.allocate_ui(vec2(342.0, 300.0), |ui| {
        limit_list(ui, "Limits", &limits(), Some(1));
        heading::section_head(ui, "If it breaks", "");
        heading::body_text(ui, "Bead holds: the bead tears off the lip. Cross bars at even spacing, then skips and bare patches.");
        heading::quiet_text(ui, "Thicker film, slower web, smaller gap or more vacuum helps.");
    });
}

#[test]
fn first_widgets_can_be_drawn() -> Result<(), String> {
    draw("first", vec2(820.0, 460.0), first_page)
}

fn station(kind: StationKind, name: &str, beside: &str, below: &str) -> StationView {
    StationView {
        beside: beside.into(),
        below: below.into(),
        ..StationView::new(kind, name)
    }
}

fn with_limit(mut view: StationView, value: f64, state: LimitState, words: &str) -> StationView {
    view.margin = Some(Margin {
        value,
        span: (state == LimitState::Near).then_some((value - 0.1, value + 0.1)),
        state,
    });
    match state {
        LimitState::Holds => view.note = words.into(),
        LimitState::Near | LimitState::Broken => view.words = words.into(),
    }
    view
}

/// The spine of an invented line; `state` is that of head and dryer.
pub(crate) fn spine_model(head: LimitState, dryer: LimitState) -> SpineModel {
    let words = |state: LimitState,
                 holds: &'static str,
                 near: &'static str,
                 broken: &'static str| match state {
        LimitState::Holds => holds,
        LimitState::Near => near,
        LimitState::Broken => broken,
    };
    let head_words = words(head, "0.49 low flow", "bead holds, near", "bead lost");
    let dryer_words = words(dryer, "0.31 foil heat", "dry, near", "10 s short");
    let unused = |mut view: StationView| {
        view.is_used = false;
        view
    };
    SpineModel {
        stations: vec![
            station(
                StationKind::Unwind,
                "Unwind",
                "PET 125 µm",
                "40 m on the roll",
            ),
            with_limit(
                station(StationKind::Plasma, "Plasma", "4.3 W", "20 W·min/m²"),
                1.0,
                LimitState::Holds,
                "1.00 wets",
            ),
            with_limit(
                station(
                    StationKind::SlotDie,
                    "Head, slot die",
                    "2.34 mL/min",
                    "wet 13.0 µm, gap 250 µm",
                ),
                0.2,
                head,
                head_words,
            ),
            with_limit(
                station(StationKind::HeatedRoller, "Roller", "23 °C", ""),
                0.94,
                LimitState::Holds,
                "0.94 hot gap",
            ),
            with_limit(
                station(
                    StationKind::Dryer,
                    "Dryer, hot gas",
                    "90 °C, air",
                    "needs 14 s, has 40 s",
                ),
                0.31,
                dryer,
                dryer_words,
            ),
            unused(station(StationKind::Infrared, "IR", "off", "")),
            unused(station(StationKind::Lamination, "Lamination", "open", "")),
            with_limit(
                station(StationKind::Rewind, "Rewind", "1.80 m/min", "12 N pull"),
                0.84,
                LimitState::Holds,
                "0.84 web pull",
            ),
        ],
        speed: "1.80 m/min".into(),
        wet_path: "0.40 m, 13 s wet".into(),
        dryer_path: "1.20 m, 40 s".into(),
        wet_lane: if dryer == LimitState::Broken {
            WetLane::StaysWet
        } else {
            WetLane::DryAt {
                share: 0.35,
                words: "dry after 14 s".into(),
            }
        },
        selected: None,
    }
}

pub(crate) fn title() -> TitleLine {
    TitleLine {
        program: "Wetlane".into(),
        project: "Invented electrode".into(),
        undo: Some("speed 1.60 → 1.80 m/min".into()),
        saved: "Saved 14:02".into(),
    }
}

fn spines(ui: &mut Ui) {
    ui.spacing_mut().item_spacing.y = 10.0;
    for (i, (head, dryer)) in [
        (LimitState::Holds, LimitState::Holds),
        (LimitState::Near, LimitState::Holds),
        (LimitState::Holds, LimitState::Broken),
        (LimitState::Broken, LimitState::Near),
    ]
    .into_iter()
    .enumerate()
    {
        ui.push_id(i, |ui| {
            let mut model = spine_model(head, dryer);
            model.selected = (i == 0).then_some(2);
            spine(ui, &model, &title());
        });
    }
}

#[test]
fn the_spine_can_be_drawn_wide() -> Result<(), String> {
    draw("spine", vec2(1366.0, 700.0), spines)
}

#[test]
fn the_spine_can_be_drawn_at_1024() -> Result<(), String> {
    draw("spine-1024", vec2(1024.0, 700.0), spines)
}

#[test]
fn the_spine_can_be_drawn_small() -> Result<(), String> {
    draw("spine-small", vec2(683.0, 340.0), spines)
}

fn other_heads(ui: &mut Ui) {
    for (i, kind) in [
        StationKind::Knife,
        StationKind::WireBar,
        StationKind::Gravure,
        StationKind::Flexo,
    ]
    .into_iter()
    .enumerate()
    {
        ui.push_id(i, |ui| {
            let mut model = spine_model(LimitState::Holds, LimitState::Holds);
            model.stations[2].kind = kind;
            model.stations[3] = with_limit(
                station(StationKind::Ultraviolet, "UV", "80 %", ""),
                0.4,
                LimitState::Holds,
                "0.40 dose",
            );
            for used in [5, 6] {
                model.stations[used].is_used = true;
            }
            spine(ui, &model, &title());
        });
    }
}

#[test]
fn other_heads_can_be_drawn() -> Result<(), String> {
    draw("heads", vec2(1366.0, 700.0), other_heads)
}

pub(crate) fn screens() -> Vec<TapeItem> {
    [
        ("Line", "6 varied, 5 fixed"),
        ("Plan", "19 runs, 4 cannot run"),
        ("Roll", "33.5 m"),
        ("Readings", "18 sound, 1 faulty"),
        ("Answers", "5 qualities"),
        ("Report", "4 pages"),
    ]
    .map(|(name, count)| TapeItem::new(name, count))
    .into()
}

pub(crate) fn settings() -> Vec<SettingLine> {
    let line = |name: &str,
                unit: &str,
                machine,
                range,
                now: f64,
                now_text: &str,
                effort,
                minutes: &str| SettingLine {
        name: name.into(),
        unit: unit.into(),
        machine,
        range: Some(range),
        range_text: format!("{} to {}", range.0, range.1),
        now: Some(now),
        now_text: now_text.into(),
        effort,
        minutes: minutes.into(),
        is_log: false,
    };
    let mut lines = vec![
        line(
            "Speed",
            "m/min",
            (0.1, 6.0),
            (0.6, 2.4),
            1.8,
            "1.80",
            Effort::OnTheFly,
            "",
        ),
        line(
            "Gap",
            "µm",
            (50.0, 500.0),
            (100.0, 250.0),
            250.0,
            "250",
            Effort::StopAndWait,
            "6 min",
        ),
        line(
            "Wire content",
            "wt%",
            (0.1, 0.5),
            (0.15, 0.3),
            0.3,
            "0.30",
            Effort::StripDown,
            "35 min",
        ),
        line(
            "Vacuum",
            "Pa",
            (0.0, 500.0),
            (0.0, 0.0),
            60.0,
            "60",
            Effort::OnTheFly,
            "",
        ),
    ];
    lines[3].range = None;
    lines
}

pub(crate) fn messages() -> Vec<MessageView> {
    vec![
        MessageView {
            weight: MessageWeight::Refusal,
            place: "Run 7, wet thickness".into(),
            what: "\"12,5O\" is not a number.".into(),
            todo: "Check the last character, it may be the letter O.".into(),
            can_jump: true,
        },
        MessageView {
            weight: MessageWeight::Warning,
            place: "Run 4, place right".into(),
            what: "Set aside: fingerprint.".into(),
            todo: String::new(),
            can_jump: true,
        },
        MessageView {
            place: "Readings".into(),
            what: "Transmittance is missing in runs 13, 15, 17 and 18.".into(),
            can_jump: false,
            ..MessageView::default()
        },
    ]
}

fn settings_column(ui: &mut Ui) {
    setting_head(ui, "Settings");
    for (i, line) in settings().iter().enumerate() {
        plain_setting_row(ui, egui::Id::unique(("setting", i)), line, i == 0);
    }
    ui.add_space(8.0);
    range_fields(
        ui,
        egui::Id::unique("range"),
        "Speed",
        ("0.60", "2.40"),
        "m/min",
    );
    text_field::text_field(
        ui,
        egui::Id::unique("project"),
        "Project",
        "Invented electrode",
        (90.0, 240.0),
    );
    text_field::note_field(
        ui,
        egui::Id::unique("note"),
        "Note, run 4",
        "edge waved for 0.2 m",
        2,
    );
}

fn choices_column(ui: &mut Ui) {
    heading::section_head(ui, "What kind of question", "");
    choice::radio_rows(
        ui,
        &[
            "Which settings matter",
            "Map the response",
            "Unknown window",
        ],
        Some(0),
    );
    let words: Vec<String> = ["Lab coater, 100 mm", "Pilot coater, 300 mm"]
        .map(Into::into)
        .into();
    choice::dropdown(
        ui,
        egui::Id::unique("card"),
        "Line card",
        &words,
        (Some(0), 200.0),
    );
    ui.add_space(8.0);
    choice::word_row(
        ui,
        &[
            "Sound film",
            "Sheet resistance",
            "Haze",
            "Transmittance",
            "Class",
            "Spread",
        ],
        1,
    );
    heading::quiet_head(ui, "smallest sure change, Ω/sq", "");
}

fn forms(ui: &mut Ui) {
    screen_tape(ui, &screens(), 1);
    ui.add_space(10.0);
    ui.horizontal_top(|ui| {
        ui.allocate_ui(vec2(404.0, 300.0), |ui| ui.vertical(settings_column));
        ui.add_space(26.0);
        ui.allocate_ui(vec2(330.0, 300.0), |ui| ui.vertical(choices_column));
        ui.add_space(26.0);
        paper_page(ui, "Page 1 of 4", vec2(220.0, 220.0 * A4_RATIO), |ui| {
            heading::section_head(ui, "Recipe card", "set and tolerance");
            heading::body_text(ui, "Plasma 4.3 ± 0.6 W");
        });
    });
    let mut is_open = true;
    ui.with_layout(egui::Layout::bottom_up(egui::Align::Min), |ui| {
        message_line(
            ui,
            &mut is_open,
            &messages(),
            ("", "Journal written 14:02:31"),
        );
    });
}

#[test]
fn forms_can_be_drawn() -> Result<(), String> {
    draw("forms", vec2(1100.0, 620.0), forms)
}

fn note(at: [f64; 2], words: &str, is_name: bool) -> PlotNote {
    PlotNote {
        at,
        words: words.into(),
        is_name,
    }
}

/// An invented window: floods above a steep curve, stays wet above a falling one, loses the bead below a rising one.
fn can_run([u, t]: [f64; 2]) -> bool {
    t < 9.0 / (0.75 - u).max(0.02) && t < 66.0 / u && t > 6.8 * u + 0.8
}

fn curve(kind: CurveKind, name: &str, f: impl Fn(f64) -> f64) -> WindowCurve {
    let piece = (0..=120)
        .map(|i| 0.2 + 2.8 * f64::from(i) / 120.0)
        .map(|u| [u, f(u)])
        .collect();
    WindowCurve {
        pieces: vec![piece],
        kind,
        name: name.into(),
    }
}

fn run(number: u32, at: [f64; 2], kind: RunMarkKind, note: &str) -> RunMark {
    RunMark {
        at,
        number,
        kind,
        note: note.into(),
    }
}

fn window(ui: &mut Ui) {
    let (x, y) = (
        Axis::linear("speed", "m/min", 0.2, 3.0),
        Axis::linear("wet thickness", "µm", 2.0, 40.0),
    );
    let curves = [
        curve(CurveKind::Edge, "floods upstream above this", |u| {
            9.0 / (0.75 - u).max(0.02)
        }),
        curve(CurveKind::Edge, "dry at the dryer exit, 90 °C", |u| {
            66.0 / u
        }),
        curve(CurveKind::Edge, "bead holds above this", |u| 6.8 * u + 0.8),
        curve(
            CurveKind::Further,
            "low flow: thinnest film possible",
            |u| 5.0 * u.powf(0.7) + 0.4,
        ),
        curve(CurveKind::Chance, "", |u| 7.9 * u + 1.6),
    ];
    let notes = [
        note([2.6, 36.0], "tacky, sticks in the roll", false),
        note([2.5, 5.0], "ribs, dry lanes, cross bars", false),
        note([1.3, 30.0], "holds", false),
    ];
    let range = RangeBox {
        across: (0.6, 2.4),
        up: (10.0, 24.0),
        words: "range to be varied".into(),
    };
    let runs = [
        run(2, [2.4, 24.0], RunMarkKind::Sound, ""),
        run(3, [0.6, 10.0], RunMarkKind::Return, ""),
        run(6, [0.6, 24.0], RunMarkKind::Near, ""),
        run(16, [2.4, 10.0], RunMarkKind::Faulty, "gap 100 µm"),
    ];
    let chart = WindowChart {
        name: "Window for this ink at gap 250 µm",
        x: &x,
        y: &y,
        can_run: &can_run,
        chance: None,
        curves: &curves,
        notes: &notes,
        range: Some(&range),
        cross: Some([1.8, 13.5]),
        runs: &runs,
        selected: Some(2),
    };
    ui.horizontal_top(|ui| {
        chart.show(ui, vec2(520.0, 450.0));
        ui.vertical(stores);
    });
}

fn stores(ui: &mut Ui) {
    ui.set_width(260.0);
    heading::section_head(ui, "What there is", "used");
    let budget = |name: &str, words: &str, share| BudgetLine {
        name: name.into(),
        words: words.into(),
        share,
    };
    budget_rows(
        ui,
        &[
            budget("Ink", "56.5 of 60 mL", 0.94),
            budget("Foil", "47.0 of 40 m", 1.175),
        ],
    );
    ui.add_space(10.0);
    heading::section_head(ui, "What it can tell", "");
    let amount = |name: &str, words: &str, share| AmountLine {
        name: name.into(),
        words: words.into(),
        share,
    };
    amount_rows(
        ui,
        &[
            amount("speed", "4 %", 0.44),
            amount("wire content", "9 %", 1.0),
        ],
    );
    empty_plot(ui, vec2(260.0, 180.0), "No runs yet.");
}

#[test]
fn the_window_can_be_drawn() -> Result<(), String> {
    draw("window", vec2(830.0, 470.0), window)
}

fn steps(low: f64, high: f64, n: u8) -> Vec<f64> {
    (0..n)
        .map(|i| low + (high - low) * f64::from(i) / f64::from(n - 1))
        .collect()
}

fn map(ui: &mut Ui) {
    let (x, y) = (
        Axis::linear("speed", "m/min", 0.4, 2.8),
        Axis::linear("wet thickness", "µm", 8.0, 28.0),
    );
    let grid =
        |f: &dyn Fn(f64, f64) -> f64| Grid::sample(steps(0.4, 2.8, 49), steps(8.0, 28.0, 41), f);
    let quality = |u: f64, t: f64| 640.0 * t.powf(-1.1) * u.powf(0.07);
    let values = grid(&quality);
    let margin = grid(&|u, t| ((t - 6.4 * u + 2.0) / 10.0).min((66.0 / u - t) / 20.0));
    let goals = grid(&|u, t| ((40.0 - quality(u, t)) / 40.0).min((19.8 + 0.2 * u - t) / 20.0));
    let level = |value: f64, is_goal| MapLevel {
        value,
        label: format!("{value}"),
        is_goal,
    };
    let levels = [20.0, 25.0, 30.0, 40.0, 50.0, 60.0]
        .map(|value| level(value, value > 39.0 && value < 41.0));
    let notes = [
        note([1.6, 21.5], "above: haze over 1.8 %", false),
        note(
            [1.0, 18.3],
            "all goals, 90 % sure, between the dashes",
            true,
        ),
        note([2.62, 26.5], "stays wet", true),
        note([2.55, 11.5], "bead lost", true),
    ];
    let runs = [
        run(15, [0.6, 24.0], RunMarkKind::Sound, ""),
        run(17, [0.6, 24.0], RunMarkKind::Sound, ""),
        run(19, [1.1, 17.0], RunMarkKind::Return, ""),
        run(16, [1.3, 10.0], RunMarkKind::Faulty, ""),
        run(12, [0.6, 10.0], RunMarkKind::Near, ""),
        run(18, [2.4, 10.0], RunMarkKind::Sound, "gap 100 µm"),
    ];
    let map = ContourMap {
        name: "Sheet resistance over speed and wet thickness",
        x: &x,
        y: &y,
        values: &values,
        margin: Some(&margin),
        goals: Some(&goals),
        revision: 1,
        scale: MapScale {
            low: 16.0,
            high: 84.0,
            is_log: true,
            wanted: WantedEnd::Low,
        },
        unit: "Ω/sq",
        levels: &levels,
        notes: &notes,
        cross: Some([1.3, 16.0]),
        runs: &runs,
        selected: Some(19),
    };
    map.show(ui, vec2(600.0, 350.0));
}

#[test]
fn the_map_can_be_drawn() -> Result<(), String> {
    draw("map", vec2(620.0, 366.0), map)
}

fn strips(ui: &mut Ui) {
    let y = Axis::log("sheet resistance", "Ω/sq", 15.0, 90.0);
    let settings = [
        (
            "Wet thickness",
            "µm",
            Axis::linear("", "", 10.0, 24.0),
            16.0,
            ("10", "24"),
            -1.1,
        ),
        (
            "Gap",
            "µm",
            Axis::linear("", "", 100.0, 250.0),
            150.0,
            ("100", "250"),
            0.05,
        ),
        (
            "Wire content",
            "wt%",
            Axis::linear("", "", 0.15, 0.3),
            0.3,
            ("0.15", "0.30"),
            -0.9,
        ),
    ];
    let (rect, _) = ui.allocate_exact_size(vec2(560.0, 110.0), egui::Sense::hover());
    let mut left = rect.left() + 50.0;
    for (i, (name, unit, x, at, ends, power)) in settings.iter().enumerate() {
        let value = |v: f64| 33.0 * (v / at).powf(*power);
        let curve: Vec<[f64; 2]> = steps(x.low(), x.high(), 40)
            .into_iter()
            .map(|v| [v, value(v)])
            .collect();
        let band: Vec<[f64; 3]> = curve.iter().map(|[v, q]| [*v, q * 0.9, q * 1.11]).collect();
        let strip = CurveStrip {
            name,
            unit,
            x,
            y: &y,
            curve: &curve,
            band: &band,
            goal: Some((40.0, WantedEnd::Low)),
            at: *at,
            ends: *ends,
            shows_numbers: i == 0,
        };
        let field =
            egui::Rect::from_min_size(egui::pos2(left, rect.top() + 22.0), vec2(130.0, 56.0));
        strip.show_at(ui, field);
        left += 165.0;
    }
}

fn residuals(ui: &mut Ui) {
    let (x, y) = (
        Axis::linear("run", "", 0.0, 20.0),
        Axis::linear("residual", "%", -13.0, 13.0),
    );
    let point = |i: u32| ScatterPoint {
        at: [f64::from(i), 10.0 * f64::from(i * i * 7 % 19) / 9.0 - 10.0],
        run: Some(i),
        look: if i % 9 == 1 {
            DotLook::Return
        } else {
            DotLook::Plain
        },
        label: String::new(),
    };
    let mut points: Vec<ScatterPoint> = (1..20).map(point).collect();
    points[4].look = DotLook::Outlying;
    points[7].look = DotLook::SetAside;
    let rules = [
        FieldRule {
            value: 0.0,
            is_upright: false,
            words: String::new(),
        },
        FieldRule {
            value: 10.5,
            is_upright: true,
            words: "bottle 2".into(),
        },
    ];
    let plot = ScatterPlot {
        name: "Residuals in run order",
        x: &x,
        y: &y,
        points: &points,
        lines: &[],
        rules: &rules,
        selected: Some(9),
    };
    plot.show(ui, vec2(400.0, 190.0));
}

fn half_normal(ui: &mut Ui) {
    let (x, y) = (
        Axis::linear("half-normal score", "", 0.0, 2.5),
        Axis::linear("size of effect", "%", 0.0, 75.0),
    );
    let effects = [
        (0.2, 2.0, ""),
        (0.5, 4.0, ""),
        (0.9, 6.0, ""),
        (1.4, 11.0, "speed"),
        (1.8, 61.0, "wire content"),
        (2.3, 68.0, "wet thickness"),
    ];
    let points: Vec<ScatterPoint> = effects
        .iter()
        .map(|(x, y, name)| ScatterPoint {
            at: [*x, *y],
            label: (*name).into(),
            ..ScatterPoint::default()
        })
        .collect();
    let lines = [
        ScatterLine {
            path: vec![[0.0, 0.0], [2.5, 15.0]],
            look: LineLook::Reference,
        },
        ScatterLine {
            path: vec![[0.0, 20.0], [2.5, 20.0]],
            look: LineLook::Bound,
        },
    ];
    let plot = ScatterPlot {
        name: "Half-normal plot",
        x: &x,
        y: &y,
        points: &points,
        lines: &lines,
        rules: &[],
        selected: None,
    };
    plot.show(ui, vec2(280.0, 190.0));
}

pub(crate) fn effects() -> Vec<EffectLine> {
    let effect = |name: &str, estimate, interval, verdict, sentence: &str| EffectLine {
        name: name.into(),
        estimate,
        interval,
        verdict,
        sentence: sentence.into(),
    };
    vec![
        effect(
            "Wet thickness",
            -68.0,
            (-70.0, -65.0),
            Verdict::Clear,
            "lower by 68 % (65 to 70) over 10 to 24 µm",
        ),
        effect(
            "Speed",
            11.0,
            (3.0, 20.0),
            Verdict::Likely,
            "higher by 11 % (3 to 20) over 0.6 to 2.4 m/min",
        ),
        effect(
            "Gap",
            2.0,
            (-4.0, 9.0),
            Verdict::CannotTell,
            "between −4 and +9 % over 100 to 250 µm",
        ),
    ]
}

fn effect_column(ui: &mut Ui) {
    let scale = Axis::linear("", "%", -75.0, 30.0);
    effect_list(
        ui,
        ("What matters", "change over the range"),
        &effects(),
        &scale,
        Some(0),
    );
    let scatter = |name: &str, value: &str, estimate, interval| IntervalLine {
        name: name.into(),
        value: value.into(),
        estimate,
        interval,
    };
    let lines = [
        scatter("run to run", "4.4 %", 4.4, (1.9, 8.1)),
        scatter("set-up to set-up", "1.8 %", 1.8, (0.0, 6.0)),
    ];
    interval_rows(ui, &lines, &Axis::linear("", "%", 0.0, 9.0));
}

fn evidence(ui: &mut Ui) {
    strips(ui);
    ui.horizontal_top(|ui| {
        residuals(ui);
        half_normal(ui);
    });
    ui.allocate_ui(vec2(330.0, 300.0), |ui| ui.vertical(effect_column));
}

#[test]
fn evidence_can_be_drawn() -> Result<(), String> {
    draw("evidence", vec2(720.0, 600.0), evidence)
}

fn roll_runs() -> Vec<FoilRun> {
    (0..19_u32)
        .map(|i| {
            let from = 5.0 + 1.5 * f64::from(i);
            FoilRun {
                number: i + 1,
                from,
                sample_from: from + 0.5,
                to: from + 1.5,
                bottle: usize::from(i >= 10),
                state: match i {
                    0 | 9 | 18 => FoilRunState::Return,
                    1 | 3 | 15 => FoilRunState::Near,
                    7 => FoilRunState::Broken,
                    _ => FoilRunState::Plain,
                },
                lanes: None,
            }
        })
        .collect()
}

fn roll_settings() -> Vec<SettingTrack> {
    let step = |from: u32, to: u32, value: f64, text: &str| {
        (
            5.0 + 1.5 * f64::from(from - 1),
            5.0 + 1.5 * f64::from(to),
            value,
            text.to_owned(),
        )
    };
    let track = |name: &str, unit: &str, steps| SettingTrack {
        name: name.into(),
        unit: unit.into(),
        steps,
    };
    let wet = vec![
        step(1, 1, 17.0, "17.0"),
        step(2, 3, 24.0, "24.0"),
        step(4, 9, 10.0, "10.0"),
        step(10, 10, 17.0, "17.0"),
        step(11, 19, 24.0, "24.0"),
    ];
    let speed = vec![
        step(1, 1, 1.2, "1.20"),
        step(2, 2, 1.5, "1.50"),
        step(3, 5, 0.6, "0.60"),
        step(6, 19, 2.4, "2.40"),
    ];
    vec![
        track("wet thickness", "µm", wet),
        track("speed", "m/min", speed),
    ]
}

/// A roll of an invented plan: nineteen runs of 1.5 m behind a leader of 5 m.
pub(crate) fn roll() -> FoilStrip {
    let set_up = |run: u32, words: &str, is_bottle_change| SetUpBar {
        at: 5.0 + 1.5 * f64::from(run - 1),
        words: words.into(),
        is_bottle_change,
    };
    let store = |name: &str, whole: &str, end: f64, words: &str| StoreTrack {
        name: name.into(),
        whole: whole.into(),
        left: vec![(0.0, 1.0), (5.0, 1.0), (20.0, 0.5 + end / 2.0), (33.5, end)],
        words: words.into(),
    };
    FoilStrip {
        metres: 34.0,
        leader: 5.0,
        runs: roll_runs(),
        bottles: vec![
            BottleBand {
                from: 0.0,
                to: 20.0,
                words: "bottle 1, 0.15 wt%, opened 08:40".into(),
            },
            BottleBand {
                from: 20.0,
                to: 33.5,
                words: "bottle 2, 0.30 wt%, shaken every 30 min".into(),
            },
        ],
        set_ups: vec![
            set_up(1, "20 min", false),
            set_up(2, "18 min", false),
            set_up(4, "6 min", false),
            set_up(8, "12 min", false),
            set_up(11, "35 min", true),
            set_up(15, "6 min", false),
            set_up(19, "18 min", false),
        ],
        settings: roll_settings(),
        stores: vec![
            store("ink", "60 mL", 0.06, "3.5 mL left"),
            store("foil", "40 m", 0.16, "6.5 m left"),
            store("time", "3 h", -0.2, "36 min too long"),
        ],
        selected: Some(11),
    }
}

fn roll_page(ui: &mut Ui) {
    let mut strip = roll();
    foil_strip(ui, egui::Id::unique("roll"), &strip);
    ui.add_space(12.0);
    strip.settings.clear();
    strip.stores.clear();
    for run in &mut strip.runs {
        let place = f64::from(run.number) / 19.0;
        run.lanes = Some([
            Some(place),
            (run.number % 5 != 0).then_some(place * 0.9),
            Some(place * place),
        ]);
    }
    foil_strip(ui, egui::Id::unique("data map"), &strip);
}

#[test]
fn the_roll_can_be_drawn() -> Result<(), String> {
    draw("roll", vec2(1366.0, 560.0), roll_page)
}

#[test]
fn the_roll_can_be_drawn_small() -> Result<(), String> {
    draw("roll-small", vec2(683.0, 560.0), roll_page)
}

fn table_cell(row: usize, column: usize) -> GridCell {
    let texts = [
        "",
        "28.0",
        "1.25",
        "10.0",
        "sound",
        "75.2",
        "",
        "1.01",
        "90.5",
        "speed set to 1.25, plan said 2.40",
    ];
    let text = texts.get(column).copied().unwrap_or_default();
    match (row, column) {
        (_, 0) => GridCell::new(format!("{}", row + 1), CellLook::Normal),
        (5, 4) => GridCell::new("faulty", CellLook::Faulty),
        (3 | 7, 8) => GridCell::new("missing", CellLook::Missing),
        (r, 2) if r % 3 == 1 => GridCell::new(text, CellLook::Changed),
        (r, 3) if r % 2 == 1 => GridCell::new(text, CellLook::Repeated),
        (_, 4) | (2 | 5, 9) => GridCell::new(text, CellLook::Quiet),
        (5, 5 | 7 | 8) | (_, 9) => GridCell::default(),
        _ => GridCell::new(text, CellLook::Normal),
    }
}

fn table(ui: &mut Ui) {
    let columns = [
        GridColumn::number("run", "", 44).fixed(),
        GridColumn::number("metre", "m", 60).fixed(),
        GridColumn::number("speed", "m/min", 64),
        GridColumn::number("wet", "µm", 56),
        GridColumn::words("film", 80),
        GridColumn::number("sheet resistance", "Ω/sq", 120),
        GridColumn::number("margin", "", 90).fixed(),
        GridColumn::number("haze", "%", 60),
        GridColumn::number("transmittance", "%", 100),
        GridColumn::words("note", 150).growing(),
    ];
    let row = |row: usize| GridRow {
        name: format!("run {}", row + 1),
        is_selected: row == 5,
        rule: match row {
            2 | 4 => RowRule::SetUp,
            7 => RowRule::NewBottle,
            _ => RowRule::None,
        },
    };
    let bar = |ui: &Ui, rect: egui::Rect, row: usize, column: usize| {
        if column != 6 {
            return false;
        }
        let (value, state) = match row {
            5 => (-0.2, LimitState::Broken),
            3 => (0.03, LimitState::Near),
            _ => (
                0.1 * f64::from(u8::try_from(row).unwrap_or(9)),
                LimitState::Holds,
            ),
        };
        let margin = Margin {
            value,
            span: None,
            state,
        };
        let rect = rect.shrink2(vec2(8.0, 0.0));
        paint_margin_bar(
            ui.painter(),
            theme::Palette::of(ui),
            rect,
            margin,
            BarParts::Whole,
        );
        true
    };
    EditableGrid::new(
        egui::Id::unique("readings"),
        "Readings",
        &columns,
        10,
        &table_cell,
        &row,
    )
    .painter(&bar)
    .show(ui);
}

#[test]
fn a_table_can_be_drawn() -> Result<(), String> {
    draw("table", vec2(1000.0, 270.0), table)
}
