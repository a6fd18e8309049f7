//! What a care label says, a line each: a pictogram of our own and the words.

use egui::{Align, Label, Layout, Sense, Ui, Vec2};

use super::swatch::paint_sign;
use crate::app::exports::Export;
use crate::app::{Action, Command};
use crate::export::pictograms;
use crate::ui::theme::{STEP, Tokens};
use crate::yarn::CareGroup;

/// Side of the pictogram.
const SIDE: f32 = 20.0;

/// One line; hovering it says where the meaning comes from.
pub fn care_line(ui: &mut Ui, group: CareGroup, words: &str, provenance: &str) {
    let height = SIDE.max(ui.spacing().interact_size.y);
    let size = Vec2::new(ui.available_width(), height);
    ui.allocate_ui_with_layout(size, Layout::left_to_right(Align::Center), |ui| {
        let (square, mark) = ui.allocate_exact_size(Vec2::splat(SIDE), Sense::hover());
        paint_sign(ui.painter(), square, &pictograms::care(group), Tokens::of(ui).text);
        mark.on_hover_text(format!("{}. A picture of our own, not the symbol on the label.", group.name()));
        ui.add_space(STEP / 2.0);
        ui.add(Label::new(words).wrap()).on_hover_text(format!("{}. {provenance}", group.name()));
    });
}

/// The buttons to the gift tag, where the care is told that stands on it.
pub fn gift_tag(ui: &mut Ui, actions: &mut Vec<Action>) {
    ui.horizontal_wrapped(|ui| {
        for (words, export) in
            [("Gift tag (PNG)…", Export::GiftTag), ("Gift tag to print (PDF)…", Export::GiftTagPrint)]
        {
            let tip = "Fibre, care in words, how to wash it and a caution, to go with a gift";
            if ui.button(words).on_hover_text(tip).clicked() {
                actions.push(Action::Command(Command::Export(export)));
            }
        }
    });
}
