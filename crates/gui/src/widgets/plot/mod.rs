//! Plots on the screen: window of the line, maps, curves under the stations, scatter, effects, shares.
//!
//! All are drawn from one [`field::Field`]: a sheet without a frame, axes at the left and below with outward ticks, no
//! grid. Places are `[across, up]` in the units of the axes. Each plot has a name in the accessibility tree and takes
//! the keyboard focus; the arrows move its cross.

pub mod contour_map;
pub mod cross;
pub mod curve_strip;
pub mod effect_list;
pub mod field;
mod map_picture;
pub mod run_marks;
pub mod scatter;
pub mod share_bars;
pub mod window_chart;
