//! The shade cards of the project.

use egui::{CentralPanel, Frame, Margin, Ui};

use crate::app::Action;
use crate::app::state::State;
use crate::ui::theme::Tokens;
use crate::ui::widgets::heading;

/// What the page remembers between frames.
#[derive(Default)]
pub struct ShadesView {}

/// Shows the page.
pub fn show(ui: &mut Ui, _state: &State, _view: &mut ShadesView) -> Vec<Action> {
    let frame = Frame::new().fill(Tokens::of(ui).rail).inner_margin(Margin::symmetric(12, 8));
    CentralPanel::no_frame().frame(frame).show(ui, |ui| heading(ui, "Shade cards"));
    Vec::new()
}
