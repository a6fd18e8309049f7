//! The chosen shade large beside the palette's colours, and its way into the palette.

use std::sync::Arc;

use egui::{Align2, Button, FontId, Rect, Role, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};

use crate::app::Action;
use crate::app::cards::TwinsAsk;
use crate::app::derived::Reading;
use crate::app::state::State;
use crate::colour::Likeness;
use crate::project::{Slot, code_and_role, key_entry};
use crate::ui::colours::seen;
use crate::ui::theme::{BODY, CORNER, STEP, Tokens};
use crate::ui::widgets::{caption, focus_ring, heading, paint_swatch, reserved_caption};
use crate::units::and_more;
use crate::yarn::{Shade, ShadeCard};

const HEIGHT: f32 = 120.0;
/// Part of the width that the palette takes.
const PALETTE: f32 = 0.4;

/// Shows the colour, how near the palette comes to it, and the button to knit in it.
pub fn show(ui: &mut Ui, state: &State, (place, shade): ((usize, usize), &Shade), actions: &mut Vec<Action>) {
    heading(ui, "Shade");
    picture(ui, state, shade);
    let slots = state.project().palette.slots();
    let nearest = slots.iter().enumerate().map(|entry| (entry.1.colour.difference(shade.colour), entry));
    if let Some((difference, entry)) = nearest.min_by(|a, b| a.0.total_cmp(&b.0)) {
        caption(ui, format!("Nearest in the palette: {}", distance(entry, difference)));
    }
    let knitted =
        slots.iter().enumerate().filter(|(_, slot)| slot.shade().is_some_and(|used| **used == *shade));
    seen_again(ui, state, place, shade);
    let roles: Vec<String> = knitted.map(|(index, slot)| code_and_role(index, slot.role)).collect();
    ui.horizontal(|ui| {
        ui.menu_button("Use for…", |ui| {
            for (place, slot) in slots.iter().enumerate() {
                if entry(ui, state, (place, slot)) {
                    actions.push(knit(state, place, shade));
                    ui.close();
                }
            }
        })
        .response
        .on_hover_text("Give a colour of the palette this shade, with its metres, price and stock");
        if !roles.is_empty() {
            ui.label(format!("Knitted as {}", roles.join("; ")));
        }
    });
}

/// What a photograph read of it, and the shades it may be taken for; `place` is that of its card and its own.
fn seen_again(ui: &mut Ui, state: &State, place: (usize, usize), shade: &Shade) {
    if let Some(second) = &shade.second {
        let off = second.colour.difference(shade.colour);
        caption(
            ui,
            format!(
                "Read off {} as {}, {off:.1} CIEDE2000 from this; that reading may be off by {:.1}.",
                second.photo.split('#').next().unwrap_or_default(),
                second.colour.to_hex(),
                second.uncertainty
            ),
        );
    }
    let Some(card) = state.project().shade_cards.get(place.0) else { return };
    let ask = TwinsAsk { card: Arc::clone(card), place: place.1 };
    let twins = state.desks.cards.twins(&ask, &state.jobs);
    let words = match &twins {
        Reading::Fresh(twins) => twins_words(card, twins),
        _ => None,
    };
    // The answer comes a moment after the shade was chosen, and moves nothing.
    reserved_caption(ui, words.as_deref(), 2);
}

/// `None` where there are none.
fn twins_words(card: &ShadeCard, twins: &[(usize, f64)]) -> Option<String> {
    let name = |(other, off): &(usize, f64)| Some(format!("{} ({off:.1})", card.shades().get(*other)?.name));
    let names: Vec<String> = twins.iter().take(2).filter_map(name).collect();
    let more = and_more(twins.len().saturating_sub(2));
    (!names.is_empty())
        .then(|| format!("Twins, nearer than the colours may be off: {}{more}.", names.join(", ")))
}

/// A colour and how far it is from the shade, in words and figures.
fn distance((index, slot): (usize, &Slot), difference: f64) -> String {
    let word = Likeness::of(difference).name().to_lowercase();
    format!("{}, {word}, CIEDE2000 {difference:.1}.", key_entry(index, slot))
}

/// The edit that knits a palette colour in the shade.
fn knit(state: &State, place: usize, shade: &Shade) -> Action {
    Action::edit("Use shade", state.project().knit_in([(place, Arc::new(shade.clone()))]))
}

/// The shade on the left; every colour of the palette touches it.
fn picture(ui: &mut Ui, state: &State, shade: &Shade) {
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), HEIGHT), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, "The shade beside the palette"));
    let slots = state.project().palette.slots();
    ui.painter().rect_filled(rect, CORNER, seen(shade.colour, state.eyes));
    let left = rect.right() - rect.width() * PALETTE;
    let height = rect.height() / slots.len().max(1) as f32;
    let block = |number: usize| {
        let at = egui::pos2(left, rect.top() + height * number as f32);
        Rect::from_min_size(at, Vec2::new(rect.right() - left, height))
    };
    for (number, slot) in slots.iter().enumerate() {
        ui.painter().rect_filled(block(number), 0, seen(slot.colour, state.eyes));
    }
    ui.painter().rect_stroke(rect, CORNER, Stroke::new(1.0, Tokens::of(ui).edge), StrokeKind::Outside);
    let pointed =
        response.hover_pos().and_then(|at| (0..slots.len()).find(|number| block(*number).contains(at)));
    if let Some((number, slot)) = pointed.map(|number| (number, &slots[number])) {
        response.on_hover_text(distance((number, slot), slot.colour.difference(shade.colour)));
    }
}

/// A colour of the palette in the menu; whether it was clicked.
fn entry(ui: &mut Ui, state: &State, (index, slot): (usize, &Slot)) -> bool {
    let text = key_entry(index, slot);
    if slot.locked {
        let button = ui.add_enabled(false, Button::new(text));
        button.on_disabled_hover_text("Locked: unlock the colour in Design first");
        return false;
    }
    let (rect, response) = ui.allocate_exact_size(Vec2::new(220.0, 28.0), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &text));
    let tokens = Tokens::of(ui);
    if response.hovered() {
        ui.painter().rect_filled(rect, CORNER, tokens.hover);
    }
    let block = Rect::from_min_size(rect.min + Vec2::new(5.0, 5.0), Vec2::new(30.0, 18.0));
    paint_swatch(ui, block, slot.colour, &[], state.eyes);
    let at = egui::pos2(block.right() + STEP, rect.center().y);
    let painter = ui.painter().with_clip_rect(rect);
    painter.text(at, Align2::LEFT_CENTER, text, FontId::proportional(BODY), tokens.text);
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    response.clicked()
}
