//! Geometry and color of figures, without a window: shared by the screens and by the report writer.

pub mod axis;
pub mod color_map;
pub mod drawing;
pub mod foil_strip;
pub mod interval_bar;
pub mod isolines;
pub mod markup;
pub mod paper;
pub mod plot;
mod plot_layers;
pub mod region;
pub mod run_marks;
pub mod svg;
pub mod text_width;
pub mod web_line;
