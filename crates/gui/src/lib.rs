//! placeholder

pub mod figure;
#[cfg(feature = "window")]
pub mod theme;
#[cfg(feature = "window")]
pub mod widgets;
