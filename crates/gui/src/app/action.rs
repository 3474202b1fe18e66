//! Everything that can be done from a menu, a key or the list of commands: one place for its words and its key.

use egui::{Key, KeyboardShortcut, Modifiers};

/// The screens, in the order of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Screen {
    /// Ink, foil, line, settings, window, limits.
    #[default]
    Line,
    /// What is wanted, proposals, runs.
    Plan,
    /// The foil as a strip.
    Roll,
    /// Entry of readings.
    Readings,
    /// Maps, curves, effects, goals.
    Answers,
    /// Pages for others.
    Report,
}

impl Screen {
    /// All screens in order.
    pub const ALL: [Self; 6] = [
        Self::Line,
        Self::Plan,
        Self::Roll,
        Self::Readings,
        Self::Answers,
        Self::Report,
    ];

    /// Word on the tape.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Line => "Line",
            Self::Plan => "Plan",
            Self::Roll => "Roll",
            Self::Readings => "Readings",
            Self::Answers => "Answers",
            Self::Report => "Report",
        }
    }

    const fn key(self) -> Key {
        match self {
            Self::Line => Key::Num1,
            Self::Plan => Key::Num2,
            Self::Roll => Key::Num3,
            Self::Readings => Key::Num4,
            Self::Answers => Key::Num5,
            Self::Report => Key::Num6,
        }
    }
}

/// Something that can be done anywhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Action {
    /// Back to the start page for a new film.
    NewFilm,
    /// Open a project file.
    Open,
    /// Save to the project's file.
    Save,
    /// Save to another file.
    SaveAs,
    /// Take the last step back.
    Undo,
    /// Bring it again.
    Redo,
    /// Go to a screen.
    GoTo(Screen),
    /// The searchable list of commands.
    Find,
    /// Light letters on dark, or the other way round.
    SwitchTheme,
    /// Explanations beside what one looks at.
    Help,
    /// Stop work in the background.
    StopWork,
    /// Write the run sheet to a file.
    PrintRunSheet,
    /// Write the report to a file.
    WriteReport,
    /// Close the program.
    Quit,
}

impl Action {
    /// All actions in the order of the list of commands.
    pub const ALL: [Self; 19] = [
        Self::NewFilm,
        Self::Open,
        Self::Save,
        Self::SaveAs,
        Self::Undo,
        Self::Redo,
        Self::GoTo(Screen::Line),
        Self::GoTo(Screen::Plan),
        Self::GoTo(Screen::Roll),
        Self::GoTo(Screen::Readings),
        Self::GoTo(Screen::Answers),
        Self::GoTo(Screen::Report),
        Self::PrintRunSheet,
        Self::WriteReport,
        Self::StopWork,
        Self::SwitchTheme,
        Self::Help,
        Self::Find,
        Self::Quit,
    ];

    /// Words for menus and the list of commands.
    pub const fn label(self) -> &'static str {
        match self {
            Self::NewFilm => "New film…",
            Self::Open => "Open a file…",
            Self::Save => "Save",
            Self::SaveAs => "Save as…",
            Self::Undo => "Undo",
            Self::Redo => "Redo",
            Self::GoTo(Screen::Line) => "Go to Line",
            Self::GoTo(Screen::Plan) => "Go to Plan",
            Self::GoTo(Screen::Roll) => "Go to Roll",
            Self::GoTo(Screen::Readings) => "Go to Readings",
            Self::GoTo(Screen::Answers) => "Go to Answers",
            Self::GoTo(Screen::Report) => "Go to Report",
            Self::Find => "Find…",
            Self::SwitchTheme => "Light or dark",
            Self::Help => "Help",
            Self::StopWork => "Stop the work in the background",
            Self::PrintRunSheet => "Print the run sheet…",
            Self::WriteReport => "Write the report…",
            Self::Quit => "Quit",
        }
    }

    /// Its key, if it has one.
    pub const fn shortcut(self) -> Option<KeyboardShortcut> {
        let command = Modifiers::COMMAND;
        let shifted = Modifiers {
            shift: true,
            ..Modifiers::COMMAND
        };
        let shortcut = match self {
            Self::NewFilm => KeyboardShortcut::new(command, Key::N),
            Self::Open => KeyboardShortcut::new(command, Key::O),
            Self::Save => KeyboardShortcut::new(command, Key::S),
            Self::SaveAs => KeyboardShortcut::new(shifted, Key::S),
            Self::Undo => KeyboardShortcut::new(command, Key::Z),
            Self::Redo => KeyboardShortcut::new(command, Key::Y),
            Self::GoTo(screen) => KeyboardShortcut::new(command, screen.key()),
            Self::Find => KeyboardShortcut::new(command, Key::F),
            Self::Help => KeyboardShortcut::new(Modifiers::NONE, Key::F1),
            Self::PrintRunSheet => KeyboardShortcut::new(command, Key::P),
            Self::Quit => KeyboardShortcut::new(command, Key::Q),
            Self::SwitchTheme | Self::StopWork | Self::WriteReport => return None,
        };
        Some(shortcut)
    }

    /// True if a text field that is being typed in keeps this key for itself.
    pub const fn yields_to_text(self) -> bool {
        matches!(self, Self::Undo | Self::Redo)
    }
}
