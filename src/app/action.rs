//! What the window asks for. Only [`super::update`] carries it out.

use std::path::PathBuf;

use super::blank::NewProject;
use super::cards::CardAction;
use super::command::Command;
use super::dialog::Dialog;
use super::exports::{Export, ExportOptions};
use super::gauge_desk::GaugeAction;
use super::motifs::MotifAction;
use super::photo_desk::PhotoAction;
use super::purpose::{Next, Purpose};
use super::shelf::ShelfAction;
use super::timed_search::SearchTime;
use super::view::{Eyes, Fold};
use crate::chart;
use crate::file::recovery::LeftBehind;
use crate::project::{Edit, StepLabel};
use crate::yarn::Yarn;

/// One request from the window.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// Change the project.
    Edit {
        /// What undo will call it, sentence case, e.g. `Draw`.
        label: StepLabel,
        /// The change.
        edit: Edit,
        /// Part of a gesture still going on: joins the gesture's undo step.
        in_gesture: bool,
    },
    /// The pointer gesture is over: the next edit is a step of its own.
    EndGesture,
    /// The gesture under way is given up: what it did so far is undone, and no step of it is left.
    DropGesture,
    /// A command from a menu, a button or a key.
    Command(Command),
    /// Keep a patch of stitches for pasting.
    CopyCells(chart::Grid),
    /// The same of stitches that are no whole rectangle: what is not chosen is "no stitch" in it.
    CopyChosen(chart::Grid),
    /// Go so many steps on in the history, or back when below zero.
    Steps(i64),
    /// Tell the user something in passing.
    Notify(String),
    /// Tell the user that the edit just made has happened, with a way to take it back.
    Done(String),
    /// Tell the user that something cannot be done, and the mend.
    Complain(String),
    /// Take a message away.
    Dismiss(u64),
    /// Go on to another project or leave, asking about unsaved changes first.
    Go(Next),
    /// Put a question in front of the window.
    Ask(Dialog),
    /// Take the question away unanswered.
    CloseDialog,
    /// Begin the project asked for.
    CreateProject(NewProject),
    /// Save, then go on.
    SaveThen(Next),
    /// Save over what another program wrote into the file, then go on.
    SaveOver(PathBuf, Option<Next>),
    /// Go on without saving.
    Discard(Next),
    /// A path was typed by hand.
    PathEntered(Purpose, PathBuf),
    /// Choose the file of an export with these options.
    Export(Export, ExportOptions),
    /// Stop the export under way.
    CancelExport,
    /// Whether the copy of unsaved work is wanted; if not it is dropped.
    Recover(LeftBehind, bool),
    /// Something on the desk a photograph is read on.
    Photo(PhotoAction),
    /// Show colours through these eyes.
    SeeThrough(Eyes),
    /// Open or fold a part of the right column.
    Fold(Fold),
    /// How long a search for sets may take, the one under way too.
    SearchTime(SearchTime),
    /// Look for shades on the cards.
    Shelf(ShelfAction),
    /// Something about a photograph of a swatch.
    Gauge(GaugeAction),
    /// Keep a described yarn across projects.
    KeepYarn(Box<Yarn>),
    /// Forget the kept yarn of a name.
    ForgetYarn(String),
    /// Take back the last change of the list of kept yarns, or make it again.
    YarnsBack,
    /// Something about the shade cards.
    Cards(CardAction),
    /// Something about the motif library.
    Motifs(MotifAction),
}

impl Action {
    /// One finished edit.
    pub fn edit(label: impl Into<StepLabel>, edit: Edit) -> Self {
        Self::Edit { label: label.into(), edit, in_gesture: false }
    }

    /// An edit inside a gesture.
    pub fn gesture(label: impl Into<StepLabel>, edit: Edit) -> Self {
        Self::Edit { label: label.into(), edit, in_gesture: true }
    }
}
