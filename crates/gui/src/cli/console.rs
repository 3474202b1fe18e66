//! Where answers and messages go: results to one stream, everything else to another.

use std::fmt;
use std::io::{self, Write};

use serde::Serialize;

use crate::campaign::table_problem::{code_of, is_unseen};

use super::error::CliError;
use super::text_table::{WIDEST, wrap};

/// Both streams, and whether somebody watches the second one.
pub struct Console<'a> {
    out: &'a mut dyn Write,
    messages: &'a mut dyn Write,
    shows_progress: bool,
}

impl fmt::Debug for Console<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Console")
            .field("shows_progress", &self.shows_progress)
            .finish_non_exhaustive()
    }
}

impl<'a> Console<'a> {
    /// A console; progress is only shown if `messages` is a terminal.
    pub fn new(out: &'a mut dyn Write, messages: &'a mut dyn Write, shows_progress: bool) -> Self {
        Self {
            out,
            messages,
            shows_progress,
        }
    }

    /// Whether progress of long work is to be shown.
    pub const fn shows_progress(&self) -> bool {
        self.shows_progress
    }

    /// Writes text to the result, as it is.
    ///
    /// # Errors
    /// [`CliError::Output`], also for a reader that went away.
    pub fn text(&mut self, text: &str) -> Result<(), CliError> {
        self.out
            .write_all(text.as_bytes())
            .map_err(CliError::Output)
    }

    /// Writes a line to the result; characters that would act on the terminal are shown by their code.
    ///
    /// # Errors
    /// As [`Console::text`].
    pub fn line(&mut self, line: &str) -> Result<(), CliError> {
        writeln!(self.out, "{}", visible(line)).map_err(CliError::Output)
    }

    /// Writes prose to the result, broken between words so that it fits beside a table.
    ///
    /// # Errors
    /// As [`Console::text`].
    pub fn paragraph(&mut self, text: &str) -> Result<(), CliError> {
        for line in wrap(text, WIDEST) {
            self.line(&line)?;
        }
        Ok(())
    }

    /// Writes one JSON document.
    ///
    /// # Errors
    /// As [`Console::text`].
    pub fn document<T: Serialize>(&mut self, document: &T) -> Result<(), CliError> {
        let text = serde_json::to_string_pretty(document)
            .map_err(|error| CliError::Output(io::Error::from(error)))?;
        writeln!(self.out, "{text}").map_err(CliError::Output)
    }

    /// Hands everything written so far to the reader.
    ///
    /// # Errors
    /// As [`Console::text`].
    pub fn flush(&mut self) -> Result<(), CliError> {
        self.out.flush().map_err(CliError::Output)
    }

    /// Writes a line of message. Nothing can be done about a closed stream of messages.
    pub fn message(&mut self, message: &str) {
        for line in message.lines() {
            writeln!(self.messages, "{}", visible(line)).unwrap_or_default();
        }
    }
}

/// Text in which control characters, and others that nobody sees, are shown by their code.
pub fn visible(text: &str) -> String {
    if !text.chars().any(is_unseen) {
        return text.to_owned();
    }
    let mut seen = String::with_capacity(text.len());
    for character in text.chars() {
        if is_unseen(character) {
            seen.push_str(&code_of(character));
        } else {
            seen.push(character);
        }
    }
    seen
}
