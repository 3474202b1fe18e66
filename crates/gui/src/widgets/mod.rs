//! Widgets of the window. Each takes plain data defined beside it and draws with the painter.
//!
//! Shape, hatch and word carry the meaning and color repeats it, so every widget reads the same in gray. Every part
//! that can be acted on has a name in the accessibility tree, takes the keyboard focus and shows it.

pub mod button;
pub mod choice;
pub mod columns;
pub mod editable_grid;
pub mod flag;
pub mod foil_strip;
pub mod hatch;
pub mod heading;
pub mod lettering;
pub mod limit_row;
pub mod margin_bar;
pub mod message_list;
pub mod number_field;
pub mod paper_page;
pub mod plot;
pub mod row_label;
pub mod screen_tape;
pub mod setting_row;
pub mod spine;
pub mod text_field;
