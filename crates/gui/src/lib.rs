//! Wetlane: a workbench for designing experiments on coated and printed films.
//!
//! Two halves. The headless half ([`campaign`], [`figure`]) holds the project and computes everything;
//! it never names the window's toolkit and builds without it (`--no-default-features`). The other half draws it:
//! widgets know no campaign, screens show it and send commands.

#[cfg(feature = "window")]
pub mod app;
pub mod campaign;
pub mod cli;
pub mod figure;
pub mod number_text;
#[cfg(feature = "window")]
pub mod screens;
#[cfg(feature = "window")]
pub mod theme;
#[cfg(feature = "window")]
pub mod widgets;
