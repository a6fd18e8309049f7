//! Through which eyes the colours are shown.

use egui::{ComboBox, Ui};

use super::name;
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
    let combo = ComboBox::from_id_salt("eyes").width(92.0).selected_text(word(current)).show_ui(ui, |ui| {
        for choice in [Eyes::Usual, Eyes::Value, Eyes::Protan, Eyes::Deutan, Eyes::Tritan] {
            ui.selectable_value(&mut chosen, choice, word(choice));
        }
    });
    name(&combo.response, "Seen through");
    combo.response.on_hover_text("Lightness only, or how red-, green- and blue-weak eyes see the colours");
    (chosen != current).then_some(chosen)
}
