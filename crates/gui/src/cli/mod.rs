//! The command line: the same headless core as the window, for scripts and for colleagues without a display.
//!
//! Results go to standard output, everything else to standard error. Exit status: 0 done; 1 done, and the answer is
//! "no"; 2 bad use or bad input, with a message, and nothing was written. A reader that goes away is no failure.

pub mod arguments;
pub mod assignment;
mod check;
pub mod console;
mod document;
pub mod error;
mod fit;
mod fit_document;
mod freeing;
mod import;
mod limits;
mod plan;
mod predict;
mod read_table;
mod readings;
mod report;
mod sheet;
pub mod text_table;
mod window;
mod written_file;

use std::ffi::OsString;
use std::io::{self, BufWriter, IsTerminal, Write};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::Parser;
use clap::error::ErrorKind;

use crate::campaign::sentence_case::capitalized;

use arguments::{Arguments, CliCommand};
use console::Console;
use error::CliError;

/// Done.
const DONE: u8 = 0;
/// Done, and the answer is "no".
const ANSWER_IS_NO: u8 = 1;
/// Bad use or bad input.
const BAD_USE: u8 = 2;

/// What a command found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    /// Done.
    Yes,
    /// Done, and the answer is "no".
    No,
}

/// Reads the arguments of the process and does what they say.
pub fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => return ExitCode::from(refuse(&error, &mut io::stdout(), &mut io::stderr())),
    };
    let Some(command) = arguments.command else {
        return show_window(arguments.file);
    };
    let mut out = BufWriter::new(io::stdout().lock());
    let mut messages = io::stderr().lock();
    let shows_progress = messages.is_terminal();
    let mut console = Console::new(&mut out, &mut messages, shows_progress);
    ExitCode::from(answer(&command, &mut console))
}

/// As [`main`] for given arguments (the program's name first) and streams, without a window; returns the exit status.
pub fn run<A: Into<OsString> + Clone>(
    arguments: impl IntoIterator<Item = A>,
    out: &mut dyn Write,
    messages: &mut dyn Write,
) -> u8 {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(error) => return refuse(&error, out, messages),
    };
    let mut console = Console::new(out, messages, false);
    if let Some(command) = arguments.command {
        return answer(&command, &mut console);
    }
    console.message("Name a command: wetlane --help");
    BAD_USE
}

/// Help and version are results; everything else that cannot be parsed is bad use.
fn refuse(error: &clap::Error, out: &mut dyn Write, messages: &mut dyn Write) -> u8 {
    let text = error.render();
    match error.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => {
            match write!(out, "{text}").and_then(|()| out.flush()) {
                Ok(()) => DONE,
                Err(error) if error.kind() == io::ErrorKind::BrokenPipe => DONE,
                Err(_) => BAD_USE,
            }
        }
        _ => {
            // Nothing can be done about a closed error stream.
            write!(messages, "{text}").unwrap_or_default();
            BAD_USE
        }
    }
}

fn answer(command: &CliCommand, console: &mut Console<'_>) -> u8 {
    let answered = answered(command, console).and_then(|answer| {
        console.flush()?;
        Ok(answer)
    });
    match answered {
        Ok(Answer::Yes) => DONE,
        Ok(Answer::No) => ANSWER_IS_NO,
        Err(error) if error.is_closed_pipe() => DONE,
        Err(error) => {
            console.message(&message_of(&error));
            BAD_USE
        }
    }
}

fn answered(command: &CliCommand, console: &mut Console<'_>) -> Result<Answer, CliError> {
    match command {
        CliCommand::Import(arguments) => import::run(arguments, console),
        CliCommand::Plan(arguments) => plan::run(arguments, console),
        CliCommand::Limits(arguments) => limits::run(arguments, console),
        CliCommand::Window(arguments) => window::run(arguments, console),
        CliCommand::Sheet(arguments) => sheet::run(arguments, console),
        CliCommand::Readings(arguments) => readings::run(arguments, console),
        CliCommand::Fit(arguments) => fit::run(arguments, console),
        CliCommand::Predict(arguments) => predict::run(arguments, console),
        CliCommand::Report(arguments) => report::run(arguments, console),
        CliCommand::Check(arguments) => check::run(arguments, console),
    }
}

/// An error as a message for people.
fn message_of(error: &CliError) -> String {
    capitalized(&error.to_string())
}

fn show_window(file: Option<PathBuf>) -> ExitCode {
    match open_window(file) {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            // Nothing can be done about a closed error stream.
            writeln!(io::stderr(), "{message}").unwrap_or_default();
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
