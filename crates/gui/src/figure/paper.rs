//! Colors, weights and sizes of figures on white paper: the light palette of the window on a white ground.

use super::drawing::{Color, Stroke};

/// Paper.
pub const PAPER: Color = Color([0xFF, 0xFF, 0xFF]);
/// Text, bounds, rules, marks.
pub const INK: Color = Color([0x18, 0x23, 0x2A]);
/// Units and secondary text.
pub const INK2: Color = Color([0x4C, 0x5A, 0x61]);
/// Axis lines, neutral bars.
pub const INK3: Color = Color([0x58, 0x66, 0x6B]);
/// Tracks and light rules.
pub const LINE: Color = Color([0xB4, 0xBF, 0xC0]);
/// Row rules.
pub const HAIR: Color = Color([0xD5, 0xDC, 0xDB]);
/// Hatch lines.
pub const HATCH: Color = Color([0x8C, 0x98, 0x9B]);
/// Data marks and fitted curves.
pub const ACCENT: Color = Color([0x0A, 0x5C, 0x66]);
/// Bands around curves.
pub const ACCENT_SOFT: Color = Color([0xCF, 0xE3, 0xE2]);
/// Wet film and samples.
pub const WET: Color = Color([0x15, 0x7E, 0x87]);
/// Words about limits.
pub const AMBER: Color = Color([0x84, 0x49, 0x0A]);
/// Limit curves.
pub const AMBER_LINE: Color = Color([0xB5, 0x69, 0x0F]);
/// Fill of a faulty mark.
pub const AMBER_SOFT: Color = Color([0xF4, 0xE4, 0xCB]);
/// Unused foil.
pub const FOIL: Color = Color([0xC9, 0xD2, 0xD2]);
/// Lines and numbers on a map.
pub const MAP_INK: Color = Color([0x10, 0x18, 0x1C]);
/// Casing of lines and ground of numbers on a map.
pub const MAP_CASING: Color = Color([0xF4, 0xF6, 0xF3]);

/// Axis lines and ticks.
pub const AXIS: Stroke = Stroke::new(INK3, 1.0);
/// Bounds.
pub const BOUND: Stroke = Stroke::new(INK, 1.6);
/// The limit curve that binds.
pub const LIMIT_CURVE: Stroke = Stroke::new(AMBER_LINE, 2.3);
/// Limit curves that bind nowhere in the field.
pub const SECOND_LIMIT: Stroke = Stroke::new(AMBER_LINE, 1.2);

/// Size of axis text and quiet labels.
pub const UNIT_SIZE: f64 = 12.5;
/// Distance between hatch lines where settings cannot run (1.5 mm on paper is 6.9 units).
pub const HATCH_PITCH: f64 = 7.0;
/// Distance between hatch lines beyond a bound.
pub const BEYOND_PITCH: f64 = 6.0;
/// Weight of hatch lines (0.2 mm on paper).
pub const HATCH_WEIGHT: f64 = 0.9;
