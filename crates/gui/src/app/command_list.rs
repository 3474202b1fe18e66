//! The searchable list of everything that can be done, with keys.

use egui::{Align2, Area, Context, Frame, Id, Key, Order, vec2};

use super::action::Action;
use crate::theme::{self, Palette, text_size};

/// The list: open or not, and what is typed into it.
#[derive(Debug, Default)]
pub(super) struct CommandList {
    is_open: bool,
    just_opened: bool,
    search: String,
    marked: usize,
}

impl CommandList {
    /// Opens it with nothing typed.
    pub(super) fn open(&mut self) {
        *self = Self {
            is_open: true,
            just_opened: true,
            ..Self::default()
        };
    }

    fn found(&self) -> Vec<Action> {
        let wanted = self.search.to_lowercase();
        Action::ALL
            .into_iter()
            .filter(|action| action.label().to_lowercase().contains(wanted.trim()))
            .collect()
    }

    /// Draws it, if open; returns what was chosen.
    pub(super) fn show(&mut self, ctx: &Context) -> Option<Action> {
        if !self.is_open {
            return None;
        }
        if ctx.input_mut(|input| input.consume_key(egui::Modifiers::NONE, Key::Escape)) {
            self.is_open = false;
            return None;
        }
        let found = self.found();
        let step = ctx.input_mut(|input| {
            let down = input.consume_key(egui::Modifiers::NONE, Key::ArrowDown);
            let up = input.consume_key(egui::Modifiers::NONE, Key::ArrowUp);
            isize::from(down) - isize::from(up)
        });
        self.marked = self
            .marked
            .saturating_add_signed(step)
            .min(found.len().saturating_sub(1));
        let is_chosen = ctx.input_mut(|input| input.consume_key(egui::Modifiers::NONE, Key::Enter));
        let mut chosen = found.get(self.marked).copied().filter(|_| is_chosen);
        let palette = Palette::of_context(ctx);
        Area::new(Id::unique("command list"))
            .order(Order::Foreground)
            .anchor(Align2::CENTER_TOP, vec2(0.0, 60.0))
            .show(ctx, |ui| {
                Frame::new()
                    .fill(palette.sheet)
                    .stroke(egui::Stroke::new(1.0, palette.control))
                    .inner_margin(12)
                    .show(ui, |ui| {
                        ui.set_width(420.0);
                        let field = ui.add(
                            egui::TextEdit::singleline(&mut self.search)
                                .hint_text("What do you want to do?")
                                .desired_width(f32::INFINITY),
                        );
                        field.widget_info(|| {
                            egui::WidgetInfo::labeled(
                                egui::Role::TextInput,
                                true,
                                "search for a command",
                            )
                        });
                        if std::mem::take(&mut self.just_opened) {
                            field.request_focus();
                        }
                        if field.changed() {
                            self.marked = 0;
                        }
                        chosen = chosen.or(self.rows(ui, &found, palette));
                    });
            });
        if chosen.is_some() {
            self.is_open = false;
        }
        chosen
    }

    fn rows(&self, ui: &mut egui::Ui, found: &[Action], palette: &Palette) -> Option<Action> {
        let mut chosen = None;
        for (index, action) in found.iter().enumerate() {
            let key = action
                .shortcut()
                .map(|key| ui.ctx().format_shortcut(&key))
                .unwrap_or_default();
            let (rect, response) =
                ui.allocate_exact_size(vec2(ui.available_width(), 24.0), egui::Sense::click());
            response.widget_info(|| {
                egui::WidgetInfo::labeled(egui::Role::Button, true, action.label())
            });
            if index == self.marked || response.hovered() {
                ui.painter().rect_filled(rect, 0, palette.selected);
            }
            let at = |x: f32| egui::pos2(x, rect.center().y);
            let font = theme::regular(text_size::BODY);
            ui.painter().text(
                at(rect.left() + 6.0),
                Align2::LEFT_CENTER,
                action.label(),
                font.clone(),
                palette.ink,
            );
            ui.painter().text(
                at(rect.right() - 6.0),
                Align2::RIGHT_CENTER,
                key,
                font,
                palette.ink2,
            );
            if response.clicked() {
                chosen = Some(*action);
            }
        }
        if found.is_empty() {
            ui.label("Nothing is called that.");
        }
        chosen
    }
}
