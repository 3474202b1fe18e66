//! Keys and pastes that a table understands, taken out of the input before any field sees them.

use egui::{Event, Key, Modifiers, Ui};

use super::is_block;

/// One thing the keyboard asks of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Step {
    Move { rows: isize, columns: isize },
    Tab { is_back: bool },
    RowStart,
    RowEnd,
    Type(String),
    Edit,
    Clear,
    FillDown,
    Paste(String),
    Copy,
}

/// How many rows a page key moves.
const PAGE: isize = 12;

/// Steps while no cell is being edited. Keys after the first typed character go to the new editor.
pub(super) fn navigation_steps(ui: &Ui) -> Vec<Step> {
    take(ui, |event| match event {
        Event::Key {
            key,
            pressed: true,
            modifiers,
            ..
        } => navigation_key(*key, *modifiers),
        Event::Text(text) if !text.chars().any(char::is_control) => Some(Step::Type(text.clone())),
        Event::Paste(text) => Some(Step::Paste(text.clone())),
        Event::Copy => Some(Step::Copy),
        _ => None,
    })
}

/// Steps while a cell is being edited: only those that end the edit.
pub(super) fn editor_steps(ui: &Ui) -> Vec<Step> {
    take(ui, |event| match event {
        Event::Key {
            key,
            pressed: true,
            modifiers,
            ..
        } => editor_key(*key, *modifiers),
        Event::Paste(text) if is_block(text) => Some(Step::Paste(text.clone())),
        _ => None,
    })
}

fn take(ui: &Ui, step_of: impl Fn(&Event) -> Option<Step>) -> Vec<Step> {
    let mut steps = Vec::new();
    ui.input_mut(|input| {
        input.events.retain(|event| match step_of(event) {
            Some(step) => {
                steps.push(step);
                false
            }
            None => true,
        });
    });
    steps
}

fn navigation_key(key: Key, modifiers: Modifiers) -> Option<Step> {
    if modifiers.command {
        return (key == Key::D).then_some(Step::FillDown);
    }
    match key {
        Key::ArrowUp => Some(Step::Move {
            rows: -1,
            columns: 0,
        }),
        Key::ArrowDown => Some(Step::Move {
            rows: 1,
            columns: 0,
        }),
        Key::ArrowLeft => Some(Step::Move {
            rows: 0,
            columns: -1,
        }),
        Key::ArrowRight => Some(Step::Move {
            rows: 0,
            columns: 1,
        }),
        Key::PageUp => Some(Step::Move {
            rows: -PAGE,
            columns: 0,
        }),
        Key::PageDown => Some(Step::Move {
            rows: PAGE,
            columns: 0,
        }),
        Key::Home => Some(Step::RowStart),
        Key::End => Some(Step::RowEnd),
        Key::F2 => Some(Step::Edit),
        Key::Delete | Key::Backspace => Some(Step::Clear),
        _ => editor_key(key, modifiers),
    }
}

fn editor_key(key: Key, modifiers: Modifiers) -> Option<Step> {
    match key {
        Key::Enter => Some(Step::Move {
            rows: if modifiers.shift { -1 } else { 1 },
            columns: 0,
        }),
        Key::ArrowUp => Some(Step::Move {
            rows: -1,
            columns: 0,
        }),
        Key::ArrowDown => Some(Step::Move {
            rows: 1,
            columns: 0,
        }),
        Key::Tab if !modifiers.command => Some(Step::Tab {
            is_back: modifiers.shift,
        }),
        _ => None,
    }
}
