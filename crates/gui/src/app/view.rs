//! What a screen sees and what it may ask for.

use crate::campaign::command::{CardRef, Command};
use crate::campaign::project::{Project, Settings, StationKind};
use crate::campaign::report::ReportParts;
use crate::widgets::message_list::{MessageView, MessageWeight};

use super::action::{Action, Screen};
use super::derived::Derived;

/// What is selected; the same on every screen.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Selection {
    /// Run whose settings the spine shows; `None` shows the cross.
    pub run: Option<u32>,
    /// Station whose card is open on the Line screen.
    pub station: Option<SelectedStation>,
    /// The cross while it is being dragged.
    pub dragged: Option<Settings>,
}

/// A station of the spine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SelectedStation {
    /// The unwinder: the foil.
    Unwind,
    /// A station of the line.
    OfLine(StationKind),
    /// The rewinder: web and speed.
    Rewind,
}

/// What a screen draws from. It reads the project and asks `derived` for what follows from it.
#[derive(Debug)]
pub struct View<'a> {
    /// The project at its present revision.
    pub project: &'a Project,
    /// What follows from it.
    pub derived: &'a mut Derived,
    /// What is selected.
    pub selection: &'a Selection,
    /// Settings that spine, maps and curves show: the dragged cross, the selected run, or the cross.
    pub shown: &'a Settings,
    /// Now, for what is stamped with a time (UTC, RFC 3339).
    pub now: &'a str,
}

/// What a screen wants done. It is done after drawing, in one place.
#[derive(Debug, Clone, PartialEq)]
pub enum Request {
    /// Change the project.
    Edit(Command),
    /// Do something that menus can do too.
    Act(Action),
    /// Go to a screen.
    GoTo(Screen),
    /// Select a run, or none.
    SelectRun(Option<u32>),
    /// Open a station's card, or close it.
    SelectStation(Option<SelectedStation>),
    /// The cross is being dragged here; nothing is changed yet.
    DragCross(Option<Settings>),
    /// The cross was let go: the command that takes it there.
    DropCross(Command),
    /// Write a card to a file of its own.
    SaveCard(CardRef),
    /// Take a card from a file.
    OpenCard,
    /// The parts that the next report has.
    ChooseReportParts(ReportParts),
    /// Say something.
    Say(MessageView),
}

/// A message of a screen.
pub fn message(
    weight: MessageWeight,
    place: impl Into<String>,
    what: impl Into<String>,
    todo: impl Into<String>,
) -> Request {
    Request::Say(MessageView {
        weight,
        place: place.into(),
        what: what.into(),
        todo: todo.into(),
        can_jump: false,
    })
}
