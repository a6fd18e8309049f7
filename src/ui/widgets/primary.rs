//! The one button of a page that stands out.

use egui::{Button, Color32, Response, RichText, Ui, Vec2};

use crate::ui::theme::{Tokens, semibold};

/// The button that does what the page is for: filled with the ink of the text, by lightness alone.
pub fn primary(ui: &mut Ui, enabled: bool, text: &str) -> Response {
    primary_of(ui, enabled, text, Vec2::ZERO)
}

/// The same, no smaller than `least`.
pub fn primary_of(ui: &mut Ui, enabled: bool, text: &str, least: Vec2) -> Response {
    let tokens = Tokens::of(ui);
    let (fill, ink): (Color32, Color32) =
        if enabled { (tokens.text, tokens.panel) } else { (tokens.control, tokens.weak) };
    let text = RichText::new(text).family(semibold()).color(ink);
    ui.scope(|ui| {
        // Under the pointer a little weaker, as other controls are.
        let visuals = &mut ui.visuals_mut().widgets;
        visuals.inactive.weak_bg_fill = fill;
        visuals.hovered.weak_bg_fill = if enabled { tokens.weak } else { fill };
        visuals.active.weak_bg_fill = tokens.weak;
        ui.add_enabled(enabled, Button::new(text).min_size(least))
    })
    .inner
}
