//! Geometry and color of figures, without a window: shared by the screens and by the report writer.

pub mod axis;
pub mod color_map;
pub mod drawing;
pub mod isolines;
pub mod markup;
pub mod paper;
pub mod region;
pub mod svg;
pub mod text_width;
