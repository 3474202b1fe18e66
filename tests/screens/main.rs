//! Screens and widgets, driven by their visible words and drawn without a display.

mod gallery;
mod pictures;
mod plots;
mod software_renderer;
mod widgets;
