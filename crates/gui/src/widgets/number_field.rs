//! A field for one number: keeps what was typed until it is right, and reports each change exactly once.
//!
//! The field holds a text draft while it is edited. Enter, Tab or leaving the field commits: the text is read by the
//! caller's parser, and on success one [`Committed`] is returned and the draft is dropped. Text that cannot be read
//! stays in the field, with its message under it. Esc drops the draft and shows the value from before.

use std::fmt::Display;

use egui::{
    Align, Color32, CornerRadius, FontId, Frame, Id, Rect, Response, Sense, Stroke, StrokeKind,
    TextEdit, Ui, WidgetInfo, accesskit, accesskit::Role, pos2, vec2,
};

use super::lettering::{Lettering, base_line_around};
use crate::number_text::{NumberError, parse_number};
use crate::theme::{self, Palette, measure, text_size};

/// What one commit of a field delivers.
#[derive(Debug, Clone, PartialEq)]
pub struct Committed<T> {
    /// What was typed, without blanks around it.
    pub text: String,
    /// What it was read as.
    pub value: T,
}

/// What a field did in this frame.
#[derive(Debug)]
pub struct FieldOutput<T> {
    /// Response of the text field; `response.id` names it to the focus and the accessibility tree.
    pub response: Response,
    /// The change, in the one frame in which it was committed.
    pub committed: Option<Committed<T>>,
    /// Why the text in the field cannot be read, while it cannot.
    pub message: Option<String>,
}

/// Where the message about wrong text is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MessagePlace {
    /// Under the field, pushing down what follows.
    #[default]
    Below,
    /// Under the field, over what follows: for rows and cells of fixed height.
    Over,
}

/// A field of one line, for numbers or for anything else that is read from text.
#[derive(Debug, Clone)]
pub struct NumberField<'a> {
    id: Id,
    name: &'a str,
    shown: &'a str,
    unit: &'a str,
    hint: &'a str,
    size: egui::Vec2,
    font: FontId,
    align: Align,
    message_place: MessagePlace,
}

/// What is being typed, kept between frames under the id of the field.
#[derive(Debug, Clone, Default)]
struct Draft {
    text: String,
    /// The value shown when typing began: when it changes from outside, the draft is void.
    origin: String,
    message: Option<String>,
}

impl<'a> NumberField<'a> {
    /// A field showing `shown`, the committed value as text.
    ///
    /// `id` must be unique in the window; `name` is its name in the accessibility tree, with the unit, e.g.
    /// "Speed, m/min".
    pub fn new(id: Id, name: &'a str, shown: &'a str) -> Self {
        Self {
            id,
            name,
            shown,
            unit: "",
            hint: "",
            size: vec2(62.0, measure::FIELD_HEIGHT),
            font: theme::regular(text_size::BUTTON),
            align: Align::RIGHT,
            message_place: MessagePlace::Below,
        }
    }

    /// A unit set 6 points after the field.
    #[must_use]
    pub fn unit(mut self, unit: &'a str) -> Self {
        self.unit = unit;
        self
    }

    /// A quiet word in the empty field.
    #[must_use]
    pub fn hint(mut self, hint: &'a str) -> Self {
        self.hint = hint;
        self
    }

    /// Width of the field in points, without the unit.
    #[must_use]
    pub fn width(mut self, width: f32) -> Self {
        self.size.x = width;
        self
    }

    /// Height of the field in points.
    #[must_use]
    pub fn height(mut self, height: f32) -> Self {
        self.size.y = height;
        self
    }

    /// Face and size of what is typed.
    #[must_use]
    pub fn font(mut self, font: FontId) -> Self {
        self.font = font;
        self
    }

    /// Where the text stands in the field; numbers stand on the right.
    #[must_use]
    pub fn align(mut self, align: Align) -> Self {
        self.align = align;
        self
    }

    /// Where the message about wrong text is shown.
    #[must_use]
    pub fn message_place(mut self, place: MessagePlace) -> Self {
        self.message_place = place;
        self
    }

    /// Shows the field in the layout of `ui`; numbers are read by [`parse_number`].
    pub fn show(self, ui: &mut Ui) -> FieldOutput<f64> {
        self.show_with(ui, parse_number)
    }

    /// Shows the field in the layout of `ui`; text is read by `parse`, whose error is the message.
    pub fn show_with<T, E: Display>(
        self,
        ui: &mut Ui,
        parse: impl Fn(&str) -> Result<T, E>,
    ) -> FieldOutput<T> {
        let unit = Lettering::new(
            self.unit,
            theme::regular(text_size::UNIT),
            Palette::of(ui).ink2,
        );
        let unit_width = if self.unit.is_empty() {
            0.0
        } else {
            6.0 + unit.width(ui.painter())
        };
        let (rect, _) = ui.allocate_exact_size(self.size + vec2(unit_width, 0.0), Sense::hover());
        let field = Rect::from_min_size(rect.min, self.size);
        let at = pos2(
            field.right() + 6.0,
            base_line_around(field.center().y, text_size::UNIT),
        );
        unit.write(ui.painter(), at, Align::LEFT);
        let place = self.message_place;
        let (id, name) = (self.id, self.name.to_owned());
        let output = self
            .message_place(MessagePlace::Over)
            .edit(ui, field, parse);
        match (&output.message, place) {
            (Some(message), MessagePlace::Below) => show_message_below(ui, id, message),
            (Some(message), MessagePlace::Over) => show_message_over(ui, id, field, message),
            (None, _) => {}
        }
        describe(ui, id, &name, output.message.as_deref());
        output
    }

    /// Shows the field in `rect` and takes no room in the layout; wrong text gets its message over what follows.
    pub fn show_at<T, E: Display>(
        self,
        ui: &mut Ui,
        rect: Rect,
        parse: impl Fn(&str) -> Result<T, E>,
    ) -> FieldOutput<T> {
        let (id, name) = (self.id, self.name.to_owned());
        let output = self.edit(ui, rect, parse);
        if let Some(message) = &output.message {
            show_message_over(ui, id, rect, message);
        }
        describe(ui, id, &name, output.message.as_deref());
        output
    }

    fn edit<T, E: Display>(
        self,
        ui: &mut Ui,
        rect: Rect,
        parse: impl Fn(&str) -> Result<T, E>,
    ) -> FieldOutput<T> {
        let id = self.id;
        let had_focus = ui.memory(|memory| memory.has_focus(id));
        let draft: Option<Draft> = ui.data(|data| data.get_temp(id));
        let draft = draft.filter(|draft| had_focus || draft.origin == self.shown);
        let mut text = draft
            .as_ref()
            .map_or_else(|| self.shown.to_owned(), |draft| draft.text.clone());
        let mut message = draft.as_ref().and_then(|draft| draft.message.clone());
        paint_field(ui, rect, self.id, message.is_some());
        let response = self.text_edit(ui, rect, &mut text);
        let mut committed = None;
        // Esc takes the focus away before any widget runs, so the field sees it as a loss of focus.
        let is_edited = had_focus || response.lost_focus();
        let is_reverted = is_edited && ui.input(|input| input.key_pressed(egui::Key::Escape));
        if response.gained_focus() {
            select_all(ui, id, &text);
        }
        if response.changed() {
            message = None;
        }
        if is_reverted {
            drop_draft(ui, id);
            message = None;
        } else if response.lost_focus() {
            (committed, message) = self.commit(ui, &text, draft, parse);
        } else if response.has_focus() || response.changed() {
            let origin = draft.map_or_else(|| self.shown.to_owned(), |draft| draft.origin);
            let draft = Draft {
                text,
                origin,
                message: message.clone(),
            };
            ui.data_mut(|data| data.insert_temp(id, draft));
        } else if draft.is_none() {
            drop_draft(ui, id);
        }
        FieldOutput {
            response,
            committed,
            message,
        }
    }

    /// Reads the draft at the end of an edit: what it delivers, or why it stays.
    fn commit<T, E: Display>(
        &self,
        ui: &Ui,
        text: &str,
        draft: Option<Draft>,
        parse: impl Fn(&str) -> Result<T, E>,
    ) -> (Option<Committed<T>>, Option<String>) {
        let origin = draft.map_or_else(|| self.shown.to_owned(), |draft| draft.origin);
        if text == origin {
            drop_draft(ui, self.id);
            return (None, None);
        }
        match parse(text) {
            Ok(value) => {
                drop_draft(ui, self.id);
                (
                    Some(Committed {
                        text: text.trim().to_owned(),
                        value,
                    }),
                    None,
                )
            }
            Err(error) => {
                let message = Some(error.to_string());
                let draft = Draft {
                    text: text.to_owned(),
                    origin,
                    message: message.clone(),
                };
                ui.data_mut(|data| data.insert_temp(self.id, draft));
                if ui.input(|input| input.key_pressed(egui::Key::Enter)) {
                    ui.memory_mut(|memory| memory.request_focus(self.id));
                }
                (None, message)
            }
        }
    }

    fn text_edit(&self, ui: &mut Ui, rect: Rect, text: &mut String) -> Response {
        // One point lower than the middle of the line box: digits have no descenders.
        let inner = rect.shrink2(vec2(7.0, 1.0)).translate(vec2(0.0, 1.0));
        let hint = egui::RichText::new(self.hint)
            .color(Palette::of(ui).ink2)
            .font(self.font.clone());
        let edit = TextEdit::singleline(text)
            .id(self.id)
            .font(self.font.clone())
            .frame(Frame::NONE)
            .hint_text(hint)
            .desired_width(inner.width())
            .min_size(inner.size())
            .align(egui::Align2([self.align, Align::Center]));
        let builder = egui::UiBuilder::new()
            .max_rect(inner)
            .layout(egui::Layout::left_to_right(Align::Center));
        ui.new_child(builder).add(edit) // a child takes no room: the caller placed `rect`
    }
}

fn drop_draft(ui: &Ui, id: Id) {
    ui.data_mut(|data| data.remove_temp::<Draft>(id));
}

/// Selects the whole text, so that typing overwrites it.
fn select_all(ui: &Ui, id: Id, text: &str) {
    let mut state = egui::text_edit::TextEditState::load(ui.ctx(), id).unwrap_or_default();
    let everything = egui::text_selection::CCursorRange::select_all_str(text);
    state.cursor.set_char_range(Some(everything));
    state.store(ui.ctx(), id);
}

/// Ground and outline of a field: accent while edited, amber while its text is wrong.
fn paint_field(ui: &Ui, rect: Rect, id: Id, is_wrong: bool) {
    let palette = Palette::of(ui);
    let has_focus = ui.memory(|memory| memory.has_focus(id));
    let is_hovered = ui.rect_contains_pointer(rect);
    let outline = match (is_wrong, has_focus, is_hovered) {
        (true, ..) => Stroke::new(2.0, palette.amber_line),
        (false, true, _) => Stroke::new(2.0, palette.accent),
        (false, false, true) => Stroke::new(1.0, palette.accent),
        (false, false, false) => Stroke::new(1.0, palette.control),
    };
    let radius = CornerRadius::same(measure::FIELD_RADIUS);
    ui.painter()
        .rect(rect, radius, palette.sheet, outline, StrokeKind::Inside);
}

fn message_text(message: &str, color: Color32) -> Lettering {
    Lettering::new(message, theme::regular(text_size::UNIT), color)
}

fn show_message_below(ui: &mut Ui, id: Id, message: &str) {
    let text = message_text(message, Palette::of(ui).amber);
    let width = ui.available_width();
    let height = text.wrapped_height(ui.painter(), width);
    let (rect, response) = ui.allocate_exact_size(vec2(width, height + 2.0), Sense::hover());
    text.write_wrapped(
        ui.painter(),
        pos2(rect.left(), rect.top() + text_size::UNIT),
        width,
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, message));
    ui.ctx().accesskit_node_builder(id, |node| {
        node.push_described_by(response.id.accesskit_id());
    });
}

/// Shows a message on a plate just under `field`, above everything else, inside the window.
pub(crate) fn show_message_over(ui: &Ui, id: Id, field: Rect, message: &str) {
    const WIDEST: f32 = 300.0;
    let palette = Palette::of(ui);
    let layer = egui::LayerId::new(egui::Order::Foreground, id.with("message"));
    let painter = ui.ctx().layer_painter(layer);
    let text = message_text(message, palette.amber);
    let width = text.width(&painter).min(WIDEST) + 1.0;
    let height = text.wrapped_height(&painter, width);
    let window = ui.ctx().content_rect();
    let left = field
        .left()
        .min(window.right() - width - 20.0)
        .max(window.left() + 4.0);
    let mut plate = Rect::from_min_size(
        pos2(left, field.bottom() + 3.0),
        vec2(width + 14.0, height + 8.0),
    );
    if plate.bottom() > window.bottom() {
        plate = plate.translate(vec2(0.0, -(plate.height() + field.height() + 6.0)));
    }
    let radius = CornerRadius::same(measure::FIELD_RADIUS);
    painter.rect(
        plate,
        radius,
        palette.sheet,
        Stroke::new(1.0, palette.amber_line),
        StrokeKind::Inside,
    );
    text.write_wrapped(
        &painter,
        pos2(plate.left() + 7.0, plate.top() + 4.0 + text_size::UNIT),
        width,
    );
    let response = ui.interact(plate, id.with("message"), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, message));
}

/// Names the field and tells the accessibility tree whether its text is wrong and why.
fn describe(ui: &Ui, id: Id, name: &str, message: Option<&str>) {
    ui.ctx().accesskit_node_builder(id, |node| {
        node.set_label(name);
        if let Some(message) = message {
            node.set_invalid(accesskit::Invalid::True);
            node.set_description(message);
        }
    });
}

/// The error of a number outside its legal range, for parsers that check one.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RangeError {
    /// Not a number at all.
    #[error(transparent)]
    Number(#[from] NumberError),
    /// Below the smallest value allowed.
    #[error("{value} is below {least}, the least that {what} allows.")]
    TooSmall {
        /// What was typed, as read.
        value: f64,
        /// The smallest value allowed, in the unit of the field.
        least: f64,
        /// Who sets the bound, e.g. "this pump".
        what: String,
    },
    /// Above the largest value allowed.
    #[error("{value} is above {most}, the most that {what} allows.")]
    TooLarge {
        /// What was typed, as read.
        value: f64,
        /// The largest value allowed, in the unit of the field.
        most: f64,
        /// Who sets the bound.
        what: String,
    },
}

/// Reads a number and checks that it lies within `least..=most`; `what` names who sets the bounds.
///
/// # Errors
/// [`RangeError`] says what is wrong with the text or which bound it passes.
pub fn parse_within(text: &str, least: f64, most: f64, what: &str) -> Result<f64, RangeError> {
    let value = parse_number(text)?;
    if value < least {
        return Err(RangeError::TooSmall {
            value,
            least,
            what: what.to_owned(),
        });
    }
    if value > most {
        return Err(RangeError::TooLarge {
            value,
            most,
            what: what.to_owned(),
        });
    }
    Ok(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bounds_belong_to_the_range() {
        assert!(parse_within("0,1", 0.1, 6.0, "this line").is_ok());
        assert!(parse_within("6", 0.1, 6.0, "this line").is_ok());
        let message = parse_within("6.01", 0.1, 6.0, "this line")
            .unwrap_err()
            .to_string();
        assert_eq!(message, "6.01 is above 6, the most that this line allows.");
        let message = parse_within("0.09", 0.1, 6.0, "this line")
            .unwrap_err()
            .to_string();
        assert_eq!(
            message,
            "0.09 is below 0.1, the least that this line allows."
        );
        assert!(matches!(
            parse_within("x", 0.1, 6.0, ""),
            Err(RangeError::Number(_))
        ));
    }
}
