//! The Shopping workspace: how much of each colour to buy, and what leaves the program.

use egui::{CentralPanel, Frame, Margin, Ui};

use super::theme::Tokens;
use super::widgets::{caption, heading};
use crate::app::Action;
use crate::app::state::State;

/// What the workspace remembers between frames.
#[derive(Default)]
pub struct ShoppingView {}

/// Shows the workspace.
pub fn show(ui: &mut Ui, _state: &State, _view: &mut ShoppingView) -> Vec<Action> {
    let frame = Frame::new().fill(Tokens::of(ui).rail).inner_margin(Margin::symmetric(12, 8));
    CentralPanel::no_frame().frame(frame).show(ui, |ui| {
        heading(ui, "Shopping");
        caption(ui, "What to buy of each colour.");
    });
    Vec::new()
}
