//! Geometry and color of figures, without a window: shared by the screens and by the report writer.

pub mod color_map;
pub mod isolines;
