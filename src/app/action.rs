//! What the window asks for. Only [`super::update`] carries it out.

use crate::project::Edit;

use super::command::Command;

/// One request from the window.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// Change the project.
    Edit {
        /// What undo will call it, sentence case, e.g. `Draw`.
        label: &'static str,
        /// The change.
        edit: Edit,
        /// Part of a gesture still going on: joins the gesture's undo step.
        in_gesture: bool,
    },
    /// The pointer gesture is over: the next edit is a step of its own.
    EndGesture,
    /// A command from a menu, a button or a key.
    Command(Command),
    /// Keep a patch of stitches for pasting.
    CopyCells(crate::chart::Grid),
    /// Tell the user something in passing.
    Notify(String),
}

impl Action {
    /// One finished edit.
    pub const fn edit(label: &'static str, edit: Edit) -> Self {
        Self::Edit { label, edit, in_gesture: false }
    }

    /// An edit inside a gesture.
    pub const fn gesture(label: &'static str, edit: Edit) -> Self {
        Self::Edit { label, edit, in_gesture: true }
    }
}
