//! Screens and widgets, driven by their visible words and drawn without a display.

mod gallery;
mod line_screen;
mod pictures;
mod plots;
mod readings_screen;
mod software_renderer;
mod widgets;
