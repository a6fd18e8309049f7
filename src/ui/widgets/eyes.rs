//! Through which eyes the colours are shown.

use egui::Ui;

use super::one_of_in;
use crate::app::view::Eyes;

const fn word(eyes: Eyes) -> &'static str {
    match eyes {
        Eyes::Usual => "All colours",
        Eyes::Value => "Value (L*)",
        Eyes::Protan => "Protan",
        Eyes::Deutan => "Deutan",
        Eyes::Tritan => "Tritan",
    }
}

/// The choice of eyes; gives back another one.
pub fn eyes_choice(ui: &mut Ui, current: Eyes) -> Option<Eyes> {
    let mut chosen = current;
    let all =
        [Eyes::Usual, Eyes::Value, Eyes::Protan, Eyes::Deutan, Eyes::Tritan].map(|eyes| (eyes, word(eyes)));
    one_of_in(ui, 92.0, "Seen through", all, &mut chosen)
        .on_hover_text("Lightness only, or how red-, green- and blue-weak eyes see the colours");
    (chosen != current).then_some(chosen)
}
