//! The yarn itself: its figures, its class and what may stand in for it.

use egui::{CentralPanel, Frame, Margin, Ui};

use crate::app::Action;
use crate::app::state::State;
use crate::ui::theme::Tokens;
use crate::ui::widgets::heading;

/// What the page remembers between frames.
#[derive(Default)]
pub struct FactsView {}

/// Shows the page.
pub fn show(ui: &mut Ui, _state: &State, _view: &mut FactsView) -> Vec<Action> {
    let frame = Frame::new().fill(Tokens::of(ui).rail).inner_margin(Margin::symmetric(12, 8));
    CentralPanel::no_frame().frame(frame).show(ui, |ui| heading(ui, "This yarn"));
    Vec::new()
}
