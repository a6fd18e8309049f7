//! The kind of piece and what is asked about the five needs.

use egui::{Button, RichText, Ui, Vec2};

use super::needs_of;
use crate::app::Action;
use crate::knit::Technique;
use crate::project::Project;
use crate::ui::theme::{STEP, semibold};
use crate::ui::widgets::{Icon, caption, heading, item, name, one_of, tick_box};
use crate::units::both_lengths;
use crate::yarn::{
    Climate, Moisture, Need, Needs, PieceKind, Skin, Stitches, Stretch, Washing, Wear, Wearer,
};

/// Shows the questions; a changed answer is an edit of the project.
pub fn show(ui: &mut Ui, project: &Project, actions: &mut Vec<Action>) {
    let before = needs_of(project);
    let mut needs = before;
    heading(ui, "What must it withstand?");
    let stranded = project.plan.technique == Technique::Stranded;
    piece(ui, stranded, &mut needs);
    if project.material.needs.is_none() {
        caption(ui, "Choose what you knit: the answers start from what is usual for it.");
    }
    sizes(ui, project, actions);
    for need in Need::ALL.iter().copied() {
        ui.add_space(STEP / 2.0);
        ui.label(RichText::new(need.name()).family(semibold()));
        answers(ui, need, &mut needs);
        if need == Need::Surface && needs.where_worked(stranded) != needs {
            caption(
                ui,
                "The plan works its colours stranded (Design): a stranded pattern asks for other yarn than plain \
                         stockinette.",
            );
        }
    }
    ui.add_space(STEP);
    if needs != before {
        let label = if needs.piece == before.piece { "Answer" } else { "Kind of piece" };
        actions.push(Action::edit(label, project.answer_needs(needs)));
    }
}

/// What the answers have set elsewhere: the sizes with their ease, or that the sizes contradict them.
fn sizes(ui: &mut Ui, project: &Project, actions: &mut Vec<Action>) {
    let sizes = &project.pieces.sizes;
    if project.material.needs.is_none() || sizes.is_empty() {
        return;
    }
    let names: Vec<&str> = sizes.iter().map(|size| size.name.as_str()).collect();
    let ease = both_lengths(project.pieces.size().ease_cm, project.units);
    caption(ui, format!("Sizes {}, ease planned {ease}; change them under Pieces.", names.join(", ")));
    if project.sizes_contradict_needs() {
        item(ui, Icon::Warning, "They are not a child's.");
        let tip = "Sizes 4, 6 and 8 of the published table, with the standard ease; undo brings yours back";
        if ui.button("Take a child's sizes").on_hover_text(tip).clicked() {
            actions.push(match project.take_child_sizes() {
                Ok(edit) => Action::edit("Take a child's sizes", edit),
                Err(error) => Action::Complain(error.to_string()),
            });
        }
    }
}

/// The kind of piece; another one brings its usual answers, a gift stays a gift.
fn piece(ui: &mut Ui, stranded: bool, needs: &mut Needs) {
    let mut kind = needs.piece;
    let kinds = PieceKind::ALL.iter().map(|kind| (*kind, kind.name()));
    if one_of(ui, "Kind of piece", kinds, &mut kind, 0.0) {
        *needs = Needs { gift: needs.gift, ..Needs::preset(kind).where_worked(stranded) };
    }
}

/// The choices of one need.
fn answers(ui: &mut Ui, need: Need, needs: &mut Needs) {
    match need {
        Need::Washing => {
            let before = needs.washed();
            let mut washing = before;
            // How a gift is washed is not a question.
            let answers = if needs.gift { std::slice::from_ref(&before) } else { Washing::ALL };
            choice(ui, "Washing", answers, Washing::name, &mut washing);
            if washing != before {
                needs.washing = washing;
            }
            let gift = Needs { gift: true, ..*needs };
            tick_box(ui, &mut needs.gift, "A gift").on_hover_text(gift.washing_reason());
            caption(ui, needs.washing_reason());
        }
        Need::Durability => choice(ui, "Wear", Wear::ALL, Wear::name, &mut needs.wear),
        Need::Stretch => choice(ui, "Stretch", Stretch::ALL, Stretch::name, &mut needs.stretch),
        Need::Warmth => {
            if needs.piece.warms_a_body() {
                choice(ui, "Climate", Climate::ALL, Climate::name, &mut needs.climate);
                choice(ui, "Wearer", Wearer::ALL, Wearer::name, &mut needs.wearer);
            }
            choice(ui, "Moisture", Moisture::ALL, Moisture::name, &mut needs.moisture);
        }
        Need::Surface => {
            choice(ui, "Stitches", Stitches::ALL, Stitches::name, &mut needs.stitches);
            choice(ui, "Skin", Skin::ALL, Skin::name, &mut needs.skin);
        }
    }
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
