//! placeholder

pub mod figure;
pub mod number_text;
#[cfg(feature = "window")]
pub mod theme;
#[cfg(feature = "window")]
pub mod widgets;
