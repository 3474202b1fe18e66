//! The roll as a strip to scale in metres: leader and settling foil hatched, samples solid, set-ups as bars; below it,
//! on the same axis, each setting as a step line and what is left of ink, foil and time.
//!
//! A press or the arrows select a run; a run is dragged by its sample, a set-up by its bar. With Alt the arrows move
//! the selected run, with Alt and Shift its set-up. Moves are reported, never made here.

mod drag;
mod paint;

use egui::{EventFilter, Id, Key, Rect, Sense, Ui, WidgetInfo, accesskit::Role, pos2, vec2};

use crate::figure::axis::Axis;
use crate::theme::measure;
use crate::widgets::button::focus_ring;

/// What is said about a run on the strip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FoilRunState {
    /// It can run.
    #[default]
    Plain,
    /// It repeats one setting through the roll: a double ring.
    Return,
    /// It is near a limit: a hollow diamond.
    Near,
    /// It cannot run: an arrowhead.
    Broken,
}

impl FoilRunState {
    /// The words for the accessibility tree.
    pub fn label(self) -> &'static str {
        match self {
            Self::Plain => "can run",
            Self::Return => "return run",
            Self::Near => "near a limit",
            Self::Broken => "cannot run",
        }
    }
}

/// A run on the strip, places in metres.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FoilRun {
    /// Its number.
    pub number: u32,
    /// Where its settling foil begins.
    pub from: f64,
    /// Where its sample begins.
    pub sample_from: f64,
    /// Where it ends.
    pub to: f64,
    /// The bottle it is coated from, counted from 0: the first is drawn soft, later ones full.
    pub bottle: usize,
    /// What is said about it.
    pub state: FoilRunState,
    /// Places of a reading in the color sequence (0 to 1) at left, center and right; `None` shows the bottle.
    pub lanes: Option<[Option<f64>; 3]>,
}

/// A stretch of foil coated from one bottle.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BottleBand {
    /// Where it begins, in metres.
    pub from: f64,
    /// Where it ends, in metres.
    pub to: f64,
    /// E.g. "bottle 1, 0.15 wt%, opened 08:40".
    pub words: String,
}

/// A set-up before a run.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SetUpBar {
    /// Where it stands, in metres.
    pub at: f64,
    /// How long it takes, e.g. "18 min".
    pub words: String,
    /// Whether the bottle is changed: drawn heavy.
    pub is_bottle_change: bool,
}

/// A setting along the roll.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SettingTrack {
    /// Its name.
    pub name: String,
    /// Its unit.
    pub unit: String,
    /// Stretches of one value: from, to (metres), value, value as text.
    pub steps: Vec<(f64, f64, f64, String)>,
}

/// What is left of a store along the roll.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StoreTrack {
    /// What it is, e.g. "ink".
    pub name: String,
    /// What there was at the start, e.g. "60 mL".
    pub whole: String,
    /// Places in metres with the share that is left there, 1 at the start; below 0 where it has run out.
    pub left: Vec<(f64, f64)>,
    /// What is left at the end, e.g. "3.5 mL left".
    pub words: String,
}

/// The roll with all that is drawn along it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FoilStrip {
    /// End of the axis in metres.
    pub metres: f64,
    /// Length of the leader in metres.
    pub leader: f64,
    /// The runs in the order of the roll.
    pub runs: Vec<FoilRun>,
    /// The bottles.
    pub bottles: Vec<BottleBand>,
    /// The set-ups in the order of the roll.
    pub set_ups: Vec<SetUpBar>,
    /// The settings, one row each.
    pub settings: Vec<SettingTrack>,
    /// The stores, one row each.
    pub stores: Vec<StoreTrack>,
    /// Number of the selected run.
    pub selected: Option<u32>,
}

/// What was done on the strip.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FoilEvent {
    /// A run was selected.
    Pick {
        /// Its number.
        run: u32,
    },
    /// A run is to stand elsewhere: places are counted from 0 in the order of the roll, `to` as it is after the move.
    MoveRun {
        /// Its place now.
        from: usize,
        /// Its place after the move.
        to: usize,
    },
    /// A set-up is to stand elsewhere, with all runs up to the next one.
    MoveSetUp {
        /// Its place now.
        from: usize,
        /// Its place after the move.
        to: usize,
    },
}

/// Vertical places, from the top of the strip.
#[derive(Debug, Clone, Copy)]
struct Rows {
    axis: f32,
    bottle: f32,
    set_up_words: f32,
    strip_top: f32,
    strip_bottom: f32,
    settings: f32,
    stores: f32,
    end: f32,
}

const SETTING_PITCH: f32 = 25.0;
const STORE_PITCH: f32 = 33.0;

impl Rows {
    fn new(strip: &FoilStrip) -> Self {
        let settings = 178.0;
        let stores = settings + SETTING_PITCH * strip.settings.len() as f32 + 22.0;
        Self {
            axis: 26.0,
            bottle: 33.0,
            set_up_words: 75.0,
            strip_top: 85.0,
            strip_bottom: 149.0,
            settings,
            stores,
            end: stores + STORE_PITCH * strip.stores.len() as f32 + 4.0,
        }
    }
}

/// Where the strip stands on the screen.
#[derive(Debug, Clone, Copy)]
struct Place {
    whole: Rect,
    /// Left and right end of the metre axis.
    left: f32,
    right: f32,
    metres: f64,
    rows: Rows,
}

impl Place {
    fn x(&self, metre: f64) -> f32 {
        #[expect(clippy::cast_possible_truncation, reason = "held within -1..=2")]
        let share = (metre / self.metres.max(1e-9)).clamp(-1.0, 2.0) as f32;
        self.left + share * (self.right - self.left)
    }

    fn y(&self, row: f32) -> f32 {
        self.whole.top() + row
    }

    fn strip(&self, from: f64, to: f64) -> Rect {
        Rect::from_min_max(
            pos2(self.x(from), self.y(self.rows.strip_top)),
            pos2(self.x(to), self.y(self.rows.strip_bottom)),
        )
    }

    fn axis(&self) -> Axis {
        Axis::linear("", "m", 0.0, self.metres)
    }
}

/// Height that [`foil_strip`] takes.
pub fn foil_strip_height(strip: &FoilStrip) -> f32 {
    Rows::new(strip).end
}

/// Draws the strip across the available width and returns what was done.
pub fn foil_strip(ui: &mut Ui, id: Id, strip: &FoilStrip) -> Vec<FoilEvent> {
    let rows = Rows::new(strip);
    let width = ui.available_width();
    let (whole, _) = ui.allocate_exact_size(vec2(width, rows.end), Sense::hover());
    let labels = if width < measure::NARROW { 84.0 } else { 108.0 };
    let place = Place {
        whole,
        left: whole.left() + labels,
        right: whole.right(),
        metres: strip.metres,
        rows,
    };
    let target = Rect::from_min_max(
        pos2(place.left, place.y(rows.strip_top)),
        pos2(place.right, place.y(rows.strip_bottom)),
    );
    let response = ui.interact(target, id, Sense::FOCUSABLE);
    let is_enabled = ui.is_enabled();
    response.widget_info(|| {
        let words = format!("Roll, {} runs on {:.1} m", strip.runs.len(), strip.metres);
        WidgetInfo::labeled(Role::ListBox, is_enabled, words)
    });
    paint::all(ui, &place, strip);
    let mut events = runs_ui(ui, id, &place, strip);
    events.extend(drag::set_ups_ui(ui, id, &place, strip));
    if response.has_focus() {
        events.extend(keys(ui, id, strip));
    }
    focus_ring(ui, target, &response);
    events
}

fn runs_ui(ui: &Ui, id: Id, place: &Place, strip: &FoilStrip) -> Vec<FoilEvent> {
    let mut events = Vec::new();
    for (i, run) in strip.runs.iter().enumerate() {
        let rect = place.strip(run.from, run.to);
        let response = ui.interact(
            rect,
            id.with(("run", run.number)),
            Sense::CLICK | Sense::DRAG,
        );
        let is_selected = strip.selected == Some(run.number);
        let words = format!(
            "run {}, {:.1} to {:.1} m, bottle {}, {}",
            run.number,
            run.from,
            run.to,
            run.bottle + 1,
            run.state.label()
        );
        response
            .widget_info(|| WidgetInfo::selected(Role::ListBoxOption, true, is_selected, &words));
        if response.clicked() {
            ui.memory_mut(|memory| memory.request_focus(id));
            events.push(FoilEvent::Pick { run: run.number });
        }
        if response.hovered() {
            ui.ctx().set_cursor_icon(egui::CursorIcon::Grab);
        }
        if let Some(to) = drag::run_target(ui, &response, place, strip, i) {
            events.push(FoilEvent::MoveRun { from: i, to });
        }
        response.on_hover_text(words);
    }
    events
}

fn keys(ui: &Ui, id: Id, strip: &FoilStrip) -> Option<FoilEvent> {
    let filter = EventFilter {
        horizontal_arrows: true,
        ..EventFilter::default()
    };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, filter));
    let (step, alt, shift) = ui.input(|input| {
        let pressed = |key| isize::from(input.key_pressed(key));
        (
            pressed(Key::ArrowRight) - pressed(Key::ArrowLeft),
            input.modifiers.alt,
            input.modifiers.shift,
        )
    });
    if step == 0 || strip.runs.is_empty() {
        return None;
    }
    let now = strip
        .runs
        .iter()
        .position(|run| strip.selected == Some(run.number));
    let from = now.unwrap_or(0);
    let to = from
        .saturating_add_signed(if now.is_none() { 0 } else { step })
        .min(strip.runs.len() - 1);
    if alt && shift {
        let from = set_up_of(strip, from)?;
        let to = from
            .saturating_add_signed(step)
            .min(strip.set_ups.len().saturating_sub(1));
        return (from != to).then_some(FoilEvent::MoveSetUp { from, to });
    }
    if alt {
        return (from != to).then_some(FoilEvent::MoveRun { from, to });
    }
    strip
        .runs
        .get(to)
        .map(|run| FoilEvent::Pick { run: run.number })
}

/// The set-up in which a run is made.
fn set_up_of(strip: &FoilStrip, run: usize) -> Option<usize> {
    let at = strip.runs.get(run)?.from;
    strip
        .set_ups
        .iter()
        .rposition(|set_up| set_up.at <= at + 1e-9)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_run_belongs_to_the_last_set_up_before_it() {
        let run = |from: f64| FoilRun {
            from,
            ..FoilRun::default()
        };
        let bar = |at: f64| SetUpBar {
            at,
            ..SetUpBar::default()
        };
        let strip = FoilStrip {
            runs: vec![run(5.0), run(6.5), run(8.0)],
            set_ups: vec![bar(5.0), bar(8.0)],
            ..FoilStrip::default()
        };
        assert_eq!(set_up_of(&strip, 0), Some(0));
        assert_eq!(set_up_of(&strip, 1), Some(0));
        assert_eq!(set_up_of(&strip, 2), Some(1));
        assert_eq!(set_up_of(&strip, 9), None);
    }
}
