//! The message line at the bottom of the window and the list that opens upward from it.

use egui::{
    Align, Area, CursorIcon, Id, Key, Order, Rect, Response, ScrollArea, Sense, Shape, Stroke, Ui,
    WidgetInfo, accesskit::Role, pos2, vec2,
};

use super::button::{focus_ring, link_at};
use super::lettering::Lettering;
use crate::theme::{self, Palette, measure, text_size};

/// How much a message matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MessageWeight {
    /// For interest.
    #[default]
    Note,
    /// It was done, but read this.
    Warning,
    /// It could not be done; nothing changed.
    Refusal,
}

impl MessageWeight {
    /// The word in the list.
    pub fn label(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Warning => "check",
            Self::Refusal => "not done",
        }
    }
}

/// One message.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct MessageView {
    /// How much it matters.
    pub weight: MessageWeight,
    /// Where: in the user's words, e.g. "Run 7, wet thickness".
    pub place: String,
    /// What happened, with the numbers.
    pub what: String,
    /// What to do; may be empty.
    pub todo: String,
    /// Whether there is a place to jump to.
    pub can_jump: bool,
}

/// Draws the bottom line and, when `is_open`, the list over the lower third of the window. Newest message first.
///
/// `quiet` stands in the line when there is no message, `right` at its right end. Returns the message whose jump was
/// pressed. A press on the line or Esc opens and closes the list.
pub fn message_line(
    ui: &mut Ui,
    is_open: &mut bool,
    messages: &[MessageView],
    ends: (&str, &str),
) -> Option<usize> {
    let (quiet, right) = ends;
    let size = vec2(ui.available_width(), measure::STATUS_HEIGHT);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let newest = newest_words(messages, quiet);
    paint_line(ui, rect, &response, (&newest, right), messages);
    if response.clicked() && !messages.is_empty() {
        *is_open = !*is_open;
    }
    if *is_open && ui.input(|input| input.key_pressed(Key::Escape)) {
        *is_open = false;
    }
    if !*is_open || messages.is_empty() {
        return None;
    }
    list(ui, rect, is_open, messages)
}

fn newest_words(messages: &[MessageView], quiet: &str) -> String {
    match messages {
        [] => quiet.to_owned(),
        [only] => one_line(only),
        [newest, ..] => format!("{} messages: {}", messages.len(), one_line(newest)),
    }
}

fn one_line(message: &MessageView) -> String {
    if message.place.is_empty() {
        message.what.clone()
    } else {
        format!("{}: {}", message.place, message.what)
    }
}

fn paint_line(
    ui: &Ui,
    rect: Rect,
    response: &Response,
    words: (&str, &str),
    messages: &[MessageView],
) {
    let palette = Palette::of(ui);
    let painter = ui.painter();
    painter.rect_filled(rect, 0, palette.ground);
    painter.hline(
        rect.x_range(),
        rect.top() + 0.5,
        Stroke::new(measure::RULE, palette.line),
    );
    let margin = if rect.width() < measure::NARROW {
        12.0
    } else {
        measure::WINDOW_MARGIN
    };
    let base_line = rect.top() + 16.5;
    let font = theme::regular(text_size::UNIT);
    let right = Lettering::new(words.1, font.clone(), palette.ink2).write_within(
        painter,
        pos2(rect.right() - margin, base_line),
        Align::RIGHT,
        rect.width() * 0.4,
    );
    let is_grave = messages
        .first()
        .is_some_and(|m| m.weight != MessageWeight::Note);
    let color = if is_grave {
        palette.amber
    } else {
        palette.ink2
    };
    let at = pos2(rect.left() + margin, base_line);
    let drawn = Lettering::new(words.0, font, color).write_within(
        painter,
        at,
        Align::LEFT,
        right.left() - at.x - 30.0,
    );
    if messages.len() > 1 || response.hovered() && !messages.is_empty() {
        let tip = pos2(drawn.right() + 12.0, rect.center().y - 2.0);
        let arrow = vec![tip + vec2(-4.0, 4.0), tip, tip + vec2(4.0, 4.0)];
        painter.add(Shape::line(arrow, Stroke::new(1.4, palette.accent)));
    }
    let is_enabled = ui.is_enabled();
    let name = if words.0.is_empty() {
        "No messages"
    } else {
        words.0
    };
    response.widget_info(|| WidgetInfo::labeled(Role::Button, is_enabled, name));
    focus_ring(ui, rect.shrink(3.0), response);
}

fn list(ui: &Ui, line: Rect, is_open: &mut bool, messages: &[MessageView]) -> Option<usize> {
    let palette = Palette::of(ui);
    let window = ui.ctx().content_rect();
    let most = window.height() / 3.0;
    let layer = Area::new(Id::unique("message list"))
        .order(Order::Foreground)
        .fixed_pos(pos2(line.left(), line.top()))
        .pivot(egui::Align2::LEFT_BOTTOM)
        .constrain(false)
        .accessible_name("Messages");
    let mut jump = None;
    layer.show(ui.ctx(), |ui| {
        egui::Frame::new().fill(palette.sheet).show(ui, |ui| {
            ui.set_width(line.width());
            ui.spacing_mut().item_spacing.y = 0.0;
            let (top, _) = ui.allocate_exact_size(vec2(line.width(), 6.0), Sense::hover());
            ui.painter().hline(
                top.x_range(),
                top.top() + 0.5,
                Stroke::new(measure::BOUND, palette.ink),
            );
            ScrollArea::vertical().max_height(most).show(ui, |ui| {
                for (i, message) in messages.iter().enumerate() {
                    if row(ui, i, message) {
                        jump = Some(i);
                    }
                }
            });
        });
    });
    if jump.is_some() {
        *is_open = false;
    }
    jump
}

/// One row of the list; returns whether its jump was pressed.
fn row(ui: &mut Ui, index: usize, message: &MessageView) -> bool {
    let palette = Palette::of(ui);
    let width = ui.available_width();
    let margin = if width < measure::NARROW {
        12.0
    } else {
        measure::WINDOW_MARGIN
    };
    let is_grave = message.weight != MessageWeight::Note;
    let color = if is_grave { palette.amber } else { palette.ink };
    let (place_width, jump_width) = if width < measure::NARROW {
        (150.0, 60.0)
    } else {
        (260.0, 80.0)
    };
    let words = if message.todo.is_empty() {
        message.what.clone()
    } else {
        format!("{} {}", message.what, message.todo)
    };
    let words = Lettering::new(words, theme::regular(text_size::CELL), palette.ink);
    let room = width - 2.0 * margin - place_width - jump_width;
    let height = words.wrapped_height(ui.painter(), room) + 8.0;
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    let base_line = rect.top() + 4.0 + text_size::CELL;
    let painter = ui.painter();
    let place_font = if is_grave {
        theme::bold(text_size::CELL)
    } else {
        theme::regular(text_size::CELL)
    };
    let place = if is_grave {
        format!("{}: {}", message.weight.label(), message.place)
    } else {
        message.place.clone()
    };
    Lettering::new(place, place_font, color).write_within(
        painter,
        pos2(rect.left() + margin, base_line),
        Align::LEFT,
        place_width - 16.0,
    );
    words.write_wrapped(
        painter,
        pos2(rect.left() + margin + place_width, base_line),
        room,
    );
    painter.hline(
        rect.left() + margin..=rect.right() - margin,
        rect.bottom() - 0.5,
        Stroke::new(measure::HAIR, palette.hair),
    );
    response.widget_info(|| {
        WidgetInfo::labeled(
            Role::Label,
            true,
            format!("{}: {}", one_line(message), message.todo),
        )
    });
    if !message.can_jump {
        return false;
    }
    let at = pos2(rect.right() - margin, base_line);
    let scope = ui.scope_id().with(index);
    let link = ui
        .push_id(scope, |ui| {
            link_at(ui, at, Align::RIGHT, "Go there", text_size::CELL)
        })
        .inner;
    let spoken = format!("Go there: {}", one_line(message));
    link.clone().accessible_name(spoken);
    link.on_hover_cursor(CursorIcon::PointingHand).clicked()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_names_the_newest_message_and_how_many_there_are() {
        let message = |place: &str, what: &str| MessageView {
            place: place.into(),
            what: what.into(),
            ..MessageView::default()
        };
        let messages = [
            message("Run 4", "place right set aside"),
            message("", "saved"),
        ];
        assert_eq!(
            newest_words(&messages, "quiet"),
            "2 messages: Run 4: place right set aside"
        );
        assert_eq!(newest_words(&messages[1..], "quiet"), "saved");
        assert_eq!(newest_words(&[], "quiet"), "quiet");
    }
}
