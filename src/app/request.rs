//! What a desk asks of the program once it has done its own part.

use super::purpose::Purpose;
use crate::project::Edit;

/// One request of a desk.
#[derive(Clone, Debug, PartialEq)]
pub enum Request {
    /// Change the project in one step, which undo will call by this label.
    Edit(&'static str, Edit),
    /// Say something in passing.
    Notify(String),
    /// Say that something went wrong.
    Complain(String),
    /// Ask for a file.
    Pick(Purpose),
}
