//! The command line: the same headless core as the window, for scripts and for colleagues without a display.

pub mod arguments;

use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::Parser;

use arguments::Arguments;

/// Done, but the use or the input was bad.
const BAD_USE: u8 = 2;

/// Reads the arguments and does what they say.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    match open_window(arguments.file) {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            // Nothing can be done about a closed error stream.
            writeln!(std::io::stderr(), "{message}").unwrap_or_default();
            ExitCode::from(BAD_USE)
        }
    }
}

#[cfg(feature = "window")]
fn open_window(file: Option<PathBuf>) -> Result<(), String> {
    crate::app::run(file)
}

#[cfg(not(feature = "window"))]
fn open_window(_file: Option<PathBuf>) -> Result<(), String> {
    Err("This program was built without its window. Every step works on the command line: wetlane --help".to_owned())
}
