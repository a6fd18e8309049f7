//! The Pieces workspace: bands from cast-on to bind-off, the sizes, and the schematic.

use egui::{CentralPanel, Frame, Margin, Ui};

use super::theme::Tokens;
use super::widgets::{caption, heading};
use crate::app::Action;
use crate::app::state::State;

/// What the workspace remembers between frames.
#[derive(Default)]
pub struct PiecesView {}

/// Shows the workspace.
pub fn show(ui: &mut Ui, _state: &State, _view: &mut PiecesView) -> Vec<Action> {
    let frame = Frame::new().fill(Tokens::of(ui).rail).inner_margin(Margin::symmetric(12, 8));
    CentralPanel::no_frame().frame(frame).show(ui, |ui| {
        heading(ui, "Pieces");
        caption(ui, "The pieces of the project and their sizes.");
    });
    Vec::new()
}
