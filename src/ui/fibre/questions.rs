//! The kind of piece and the five questions.

use egui::{Button, ComboBox, RichText, Ui, Vec2};

use super::{edit, needs_of};
use crate::app::Action;
use crate::project::Project;
use crate::ui::theme::{STEP, semibold};
use crate::ui::widgets::{caption, heading, name};
use crate::yarn::{Climate, Moisture, Needs, PieceKind, Skin, Stitches, Stretch, Washing, Wear, Wearer};

/// Shows the questions; a changed answer is an edit of the project.
pub fn show(ui: &mut Ui, project: &Project, actions: &mut Vec<Action>) {
    let before = needs_of(project);
    let mut needs = before;
    heading(ui, "What must it withstand?");
    piece(ui, &mut needs);
    if project.material.needs.is_none() {
        caption(ui, "Choose what you knit: the answers start from what is usual for it.");
    }
    question(ui, "1. How durable?");
    choice(ui, "Wear", Wear::ALL, Wear::name, &mut needs.wear);
    question(ui, "2. How warm, how breathable?");
    if needs.piece.warms_a_body() {
        choice(ui, "Climate", Climate::ALL, Climate::name, &mut needs.climate);
        choice(ui, "Wearer", Wearer::ALL, Wearer::name, &mut needs.wearer);
    }
    choice(ui, "Moisture", Moisture::ALL, Moisture::name, &mut needs.moisture);
    question(ui, "3. Smooth or fuzzy?");
    choice(ui, "Stitches", Stitches::ALL, Stitches::name, &mut needs.stitches);
    choice(ui, "Skin", Skin::ALL, Skin::name, &mut needs.skin);
    question(ui, "4. How much stretch and recovery?");
    choice(ui, "Stretch", Stretch::ALL, Stretch::name, &mut needs.stretch);
    question(ui, "5. How is it washed?");
    ui.add_enabled_ui(!needs.gift, |ui| {
        choice(ui, "Washing", Washing::ALL, Washing::name, &mut needs.washing);
    });
    let gift = ui.checkbox(&mut needs.gift, "A gift");
    gift.on_hover_text("A gift is planned for the machine: its owner may not know better.");
    ui.add_space(STEP);
    if needs != before {
        let label = if needs.piece == before.piece { "Answer" } else { "Kind of piece" };
        actions.push(edit(project, label, |material| material.needs = Some(needs)));
    }
}

/// The kind of piece; another one brings its usual answers, a gift stays a gift.
fn piece(ui: &mut Ui, needs: &mut Needs) {
    let combo = ComboBox::from_id_salt("kind of piece")
        .width(ui.available_width() - STEP)
        .selected_text(needs.piece.name())
        .height(400.0)
        .show_ui(ui, |ui| {
            for kind in PieceKind::ALL.iter().copied() {
                if ui.selectable_label(needs.piece == kind, kind.name()).clicked() {
                    *needs = Needs { gift: needs.gift, ..Needs::preset(kind) };
                }
            }
        });
    name(&combo.response, "Kind of piece");
}

fn question(ui: &mut Ui, text: &str) {
    ui.add_space(STEP / 2.0);
    ui.label(RichText::new(text).family(semibold()));
}

/// One answer out of several, all in sight.
fn choice<T: Copy + PartialEq>(
    ui: &mut Ui,
    what: &str,
    all: &[T],
    text: impl Fn(T) -> &'static str,
    value: &mut T,
) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = Vec2::splat(STEP / 2.0);
        ui.spacing_mut().button_padding.x = STEP * 0.75;
        for option in all.iter().copied() {
            let chosen = *value == option;
            let response = ui.add(Button::selectable(chosen, text(option)).frame_when_inactive(true));
            name(&response, &format!("{what}: {}", text(option)));
            if response.clicked() {
                *value = option;
            }
        }
    });
}
