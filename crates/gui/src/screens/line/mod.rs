//! The Line screen: what one has, the settings, the coating window and the limits.

mod add_setting;
mod card_editor;
mod field;
mod have;
mod known_to;
mod limits;
mod setting_editor;
mod settings;
mod window;

use egui::{Align, Layout, ScrollArea, Ui, UiBuilder, vec2};

use wetlane_physics::probability::Chance;

use crate::app::action::Screen;
use crate::app::background::Background;
use crate::app::derived::Stamps;
use crate::app::derived::WindowKey;
use crate::app::view::{Request, SelectedStation, View};
use crate::campaign::command::CardRef;
use crate::campaign::project::Settings;
use crate::campaign::verdict_words::verdict_words;
use crate::campaign::window_chances::ChanceMap;
use crate::theme::measure;
use crate::widgets::button::primary_button;
use crate::widgets::choice::word_row;
use crate::widgets::heading::sentence;

/// Width of the left column on a full screen.
const LEFT: f32 = 404.0;
/// Width of the right column on a full screen.
const RIGHT: f32 = 376.0;

/// What the left column shows.
#[derive(Debug, Clone, Default, PartialEq)]
enum LeftColumn {
    /// Summary of the cards and the settings.
    #[default]
    Settings,
    /// A card being edited.
    Card(CardRef),
    /// The choice of another card for ink, foil or line.
    Cards,
    /// One setting's range, unit and effort.
    Setting(String),
    /// A setting to be added.
    AddSetting,
    /// How well the inputs are known.
    KnownTo,
}

/// The settings for which a chance was computed, at a state of the project.
type ChanceKey = (Stamps, Settings);

/// Drafts of the Line screen.
#[derive(Debug)]
pub struct LineScreen {
    left: LeftColumn,
    /// Station whose card the left column shows because it was pressed on the spine.
    followed_station: Option<SelectedStation>,
    selected_limit: Option<wetlane_physics::LimitId>,
    axes: Option<(String, String)>,
    is_choosing_axes: bool,
    /// Column shown on a narrow screen.
    narrow_column: usize,
    chance: Background<ChanceKey, Option<Chance>>,
    shade: Background<WindowKey, Option<ChanceMap>>,
    is_shade_hidden: bool,
}

impl Default for LineScreen {
    fn default() -> Self {
        Self {
            left: LeftColumn::default(),
            followed_station: None,
            selected_limit: None,
            axes: None,
            is_choosing_axes: false,
            narrow_column: 0,
            chance: Background::new("the chance that it works"),
            shade: Background::new("the chances of the window"),
            is_shade_hidden: false,
        }
    }
}

impl LineScreen {
    /// Draws the screen.
    pub fn ui(&mut self, ui: &mut Ui, view: &mut View<'_>) -> Vec<Request> {
        let mut requests = Vec::new();
        self.follow_spine(view);
        let judged = view.derived.judge(view.project, view.shown).clone();
        head_ui(ui, &judged, view, &mut requests);
        if ui.available_width() < measure::NARROW {
            self.narrow_ui(ui, view, &mut requests);
        } else {
            self.wide_ui(ui, view, &mut requests);
        }
        requests
    }

    /// Opens the card of the station that was pressed on the spine.
    fn follow_spine(&mut self, view: &View<'_>) {
        if self.followed_station == view.selection.station {
            return;
        }
        self.followed_station = view.selection.station;
        self.left = match view.selection.station {
            None => LeftColumn::Settings,
            Some(SelectedStation::Unwind) => LeftColumn::Card(CardRef::Foil),
            Some(SelectedStation::Rewind) => LeftColumn::Card(CardRef::Line),
            Some(SelectedStation::OfLine(kind)) => view
                .project
                .line
                .as_ref()
                .and_then(|line| {
                    line.stations
                        .iter()
                        .position(|station| station.kind == kind)
                })
                .map_or(LeftColumn::Settings, |index| {
                    LeftColumn::Card(CardRef::Station(index))
                }),
        };
    }

    fn wide_ui(&mut self, ui: &mut Ui, view: &mut View<'_>, requests: &mut Vec<Request>) {
        let full = ui.available_rect_before_wrap();
        let spare = (full.width() - 1318.0).max(0.0);
        let left_width = (LEFT + 0.1 * spare).min(1.2 * LEFT);
        let right_width = (RIGHT + 0.1 * spare).min(1.2 * RIGHT);
        let gap = measure::COLUMN_GAP;
        let left = full.with_max_x(full.left() + left_width);
        let right = full.with_min_x(full.right() - right_width);
        let middle = full
            .with_min_x(left.right() + gap)
            .with_max_x(right.left() - gap - 8.0);
        column(ui, "line left", left, |ui| self.left_ui(ui, view, requests));
        // The chart takes the height there is; it never scrolls.
        let builder = UiBuilder::new()
            .id_salt("line middle")
            .max_rect(middle)
            .layout(Layout::top_down(Align::LEFT));
        self.window_ui(&mut ui.new_child(builder), view, requests);
        column(ui, "line right", right, |ui| self.limits_ui(ui, view));
        ui.advance_cursor_after_rect(full);
    }

    fn narrow_ui(&mut self, ui: &mut Ui, view: &mut View<'_>, requests: &mut Vec<Request>) {
        if let Some(chosen) = word_row(ui, &["Settings", "Window", "Limits"], self.narrow_column) {
            self.narrow_column = chosen;
        }
        ui.add_space(4.0);
        let rect = ui.available_rect_before_wrap();
        let which = self.narrow_column;
        column(ui, "line narrow", rect, |ui| match which {
            0 => self.left_ui(ui, view, requests),
            1 => self.window_ui(ui, view, requests),
            _ => self.limits_ui(ui, view),
        });
        ui.advance_cursor_after_rect(rect);
    }

    fn left_ui(&mut self, ui: &mut Ui, view: &mut View<'_>, requests: &mut Vec<Request>) {
        let next = match self.left.clone() {
            LeftColumn::Settings => {
                have::ui(ui, view, requests).or(settings::ui(ui, view, requests))
            }
            LeftColumn::Card(card) => card_editor::ui(ui, view, card, requests),
            LeftColumn::Cards => have::cards_ui(ui, view, requests),
            LeftColumn::Setting(id) => setting_editor::ui(ui, view, &id, requests),
            LeftColumn::AddSetting => add_setting::ui(ui, view, requests),
            LeftColumn::KnownTo => known_to::ui(ui, view, requests),
        };
        if let Some(next) = next {
            if next == LeftColumn::Settings && view.selection.station.is_some() {
                requests.push(Request::SelectStation(None));
            }
            self.left = next;
        }
    }
}

/// Draws into a part of the screen, scrolling up and down where it must.
fn column(ui: &mut Ui, name: &str, rect: egui::Rect, draw: impl FnOnce(&mut Ui)) {
    let builder = UiBuilder::new()
        .id_salt(name)
        .max_rect(rect)
        .layout(Layout::top_down(Align::LEFT));
    let mut inner = ui.new_child(builder);
    ScrollArea::vertical()
        .id_salt(name)
        .auto_shrink(false)
        .show(&mut inner, |ui| {
            // The bar of the scroll area lies over the margin, not over the content.
            ui.set_max_width(rect.width() - 8.0);
            draw(ui);
        });
}

fn head_ui(
    ui: &mut Ui,
    judged: &Result<
        crate::campaign::feasibility::Judgement,
        crate::campaign::feasibility::JudgeError,
    >,
    view: &View<'_>,
    requests: &mut Vec<Request>,
) {
    let words = verdict_words(judged);
    let button_width = 190.0;
    ui.horizontal_top(|ui| {
        let text_width = (ui.available_width() - button_width).max(200.0);
        ui.allocate_ui(vec2(text_width, 44.0), |ui| {
            ui.vertical(|ui| sentence(ui, &words.sentence, &words.below));
        });
        ui.with_layout(Layout::right_to_left(Align::TOP), |ui| {
            let has_varied = view.project.varied().next().is_some();
            let word = if has_varied {
                "Plan the runs"
            } else {
                "Vary a setting…"
            };
            if primary_button(ui, word).clicked() {
                requests.push(Request::GoTo(if has_varied {
                    Screen::Plan
                } else {
                    Screen::Line
                }));
            }
        });
    });
    ui.add_space(4.0);
}
