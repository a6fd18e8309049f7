//! The opened set: which colour takes which shade, its score in parts, and the one click that
//! recolours the chart.

use egui::{CollapsingHeader, Label, Rect, RichText, Sense, Ui, Vec2, pos2};

use super::deal::Dealt;
use super::parts::{self, ScorePart};
use super::{SetsView, Target, swatch};
use crate::app::Action;
use crate::app::shelf::Search;
use crate::app::state::State;
use crate::project::{Colourway, Edit, code_and_role};
use crate::ui::fibre::paint_bar;
use crate::ui::theme::{BODY, STEP, Tokens};
use crate::ui::widgets::{Icon, caption, heading, one_of_in, paint_swatch, primary, sized_icon_button};
use crate::yarn::best_sets::ShadeSet;
use crate::yarn::{SetCost, ShadeCard};

/// Which set is open, and where its shades were swapped to.
#[derive(Default)]
pub(super) struct OpenedView {
    shades: Vec<usize>,
    swapped: Option<Dealt>,
}

impl OpenedView {
    /// Opens a set.
    pub(super) fn open(&mut self, set: &ShadeSet) {
        if self.shades != set.shades {
            self.shades.clone_from(&set.shades);
            self.swapped = None;
        }
    }

    /// Place of the open set in an answer; the first when it is not among them.
    pub(super) fn place(&self, sets: &[ShadeSet]) -> usize {
        sets.iter().position(|set| set.shades == self.shades).unwrap_or(0)
    }

    /// The open set's shades as they stand.
    pub(super) fn dealt(&self, set: &ShadeSet, dealt: &Dealt) -> Dealt {
        let swapped =
            self.swapped.as_ref().filter(|swapped| self.shades == set.shades && swapped.slots == dealt.slots);
        swapped.unwrap_or(dealt).clone()
    }
}

/// The open set with its place in the answer, and its shades as they stand; `None` where there is none.
fn opened<'a>(
    state: &'a State,
    view: &mut SetsView,
    targets: &[Target],
) -> Option<(&'a Search, usize, ShadeSet, Dealt)> {
    let found = state.desks.shelf.search.as_ref()?;
    let sets = found.news().sets;
    let place = view.opened.place(&sets);
    let set = sets.get(place)?;
    let deals = view.deals.of(found, &sets, targets, view.options.rule);
    let dealt = view.opened.dealt(set, deals.get(place)?);
    Some((found, place, set.clone(), dealt))
}

/// Shows the opened set.
pub(super) fn show(ui: &mut Ui, state: &State, view: &mut SetsView, targets: &[Target]) {
    let Some((found, place, set, dealt)) = opened(state, view, targets) else {
        heading(ui, "The opened set");
        caption(ui, "Shows here once there is one.");
        return;
    };
    heading(ui, &format!("Set {}: {:.0} of 100", place + 1, set.score * 100.0));
    roles(ui, state, view, (found, &set), &dealt);
    let metres = |slot: &usize| targets.iter().find(|target| target.slot == *slot).and_then(|t| t.metres);
    let taken = dealt.shades.iter().copied().zip(dealt.slots.iter().map(metres));
    let cost = SetCost::of(&found.ask.shelved.card, taken);
    caption(
        ui,
        format!("{}. {}", swatch::cost_words(&cost, &state.project().currency), super::counted_for(state)),
    );
    ui.separator();
    heading(ui, "The score in parts, each of 100");
    let (weighed, hints) = parts::of(state.project(), targets, found, &set, &dealt);
    for part in &weighed {
        show_part(ui, part);
    }
    ui.add_space(STEP / 2.0);
    heading(ui, "Hints, not counted");
    for part in &hints {
        show_part(ui, part);
    }
    caption(ui, "No score predicts taste. Open a part for its figures, its source and what it cannot see.");
    ui.add_space(STEP);
}

/// A row for each colour that is recoloured, to give it another shade of the set.
fn roles(ui: &mut Ui, state: &State, view: &mut SetsView, (found, set): (&Search, &ShadeSet), dealt: &Dealt) {
    let project = state.project();
    let card = &found.ask.shelved.card;
    let mut wanted = dealt.clone();
    for (place, (slot, shade)) in dealt.slots.iter().zip(&dealt.shades).enumerate() {
        let (index, Some(slot)) = (*slot, project.palette.slots().get(*slot)) else { continue };
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            chip(ui, state, card, *shade);
            ui.allocate_ui_with_layout(
                Vec2::new(72.0, 26.0),
                egui::Layout::left_to_right(egui::Align::Center),
                |ui| {
                    ui.set_width(72.0);
                    ui.add(Label::new(RichText::new(code_and_role(index, slot.role)).small()).truncate())
                        .on_hover_text(&slot.name);
                },
            );
            let width = ui.available_width() - 64.0;
            let label = format!("Shade for {}", slot.role.word());
            let mut given = *shade;
            let shades = dealt.all().map(|other| (other, card.shades()[other].name.as_str()));
            // Two colours may have one role, and so one label.
            ui.push_id(place, |ui| one_of_in(ui, width, &label, shades, &mut given));
            if given != *shade {
                wanted.give(place, given);
            }
            pin_buttons(ui, view, card, *shade);
        });
    }
    for shade in &dealt.spare {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            chip(ui, state, card, *shade);
            let text = format!("{}: spare", card.shades()[*shade].name);
            ui.add(Label::new(RichText::new(text).small()).truncate());
        });
    }
    if wanted != *dealt {
        view.opened.shades.clone_from(&set.shades);
        view.opened.swapped = Some(wanted);
    }
    let rest = project.palette.slots().len().saturating_sub(dealt.slots.len());
    if rest > 0 {
        let rest = if rest == 1 { "One colour stays".to_owned() } else { format!("{rest} colours stay") };
        caption(ui, format!("{rest} as now: the set is smaller than the palette."));
    }
}

fn chip(ui: &mut Ui, state: &State, card: &ShadeCard, shade: usize) {
    let (rect, _) = ui.allocate_exact_size(Vec2::new(28.0, 22.0), Sense::hover());
    paint_swatch(ui, rect, card.shades()[shade].colour, &[], state.eyes);
}

fn pin_buttons(ui: &mut Ui, view: &mut SetsView, card: &ShadeCard, shade: usize) {
    let shade = &card.shades()[shade];
    let pinned = view.options.is_pinned(shade);
    let (label, icon) = if pinned {
        (format!("Let go of {}", shade.name), Icon::Locked)
    } else {
        (format!("Pin {}", shade.name), Icon::Unlocked)
    };
    let tip = if pinned { "No longer in every set" } else { "In every set from now on" };
    ui.spacing_mut().item_spacing.x = 2.0;
    if sized_icon_button(ui, icon, &label, tip, pinned, Vec2::splat(26.0)).clicked() {
        view.options.pin(shade);
    }
    let label = format!("Rule out {}", shade.name);
    if sized_icon_button(ui, Icon::Close, &label, "In no set from now on", false, Vec2::splat(26.0)).clicked()
    {
        view.options.rule_out(shade);
    }
}

/// The buttons that take the opened set up, always in view.
pub(super) fn knit(
    ui: &mut Ui,
    state: &State,
    view: &mut SetsView,
    targets: &[Target],
    actions: &mut Vec<Action>,
) {
    let Some((found, _, _, dealt)) = opened(state, view, targets) else { return };
    let project = state.project();
    let card = &found.ask.shelved.card;
    let worn = dealt.slots.iter().zip(&dealt.shades).all(|(slot, shade)| {
        let worn = project.palette.slots().get(*slot).and_then(|slot| slot.shade());
        worn.is_some_and(|worn| **worn == card.shades()[*shade])
    });
    ui.add_space(STEP);
    ui.horizontal(|ui| {
        let button = primary(ui, !worn, "Knit the chart in these")
            .on_hover_text("Colours, names, put-up and prices of the palette follow; undo takes it back")
            .on_disabled_hover_text("The palette is knitted in these shades");
        if button.clicked() {
            actions.extend(super::knitted(project.knit_in(dealt.to_knit(card))));
        }
        let tip = "Keeps the colours as a colourway, to compare in Design; the palette stays";
        if ui.button("Keep").on_hover_text(tip).clicked() {
            let mut ways = project.colourways.clone();
            let name = format!("Colourway {}", ways.len() + 1);
            actions.push(Action::Notify(format!("Kept as {name}, under Colourways in Design.")));
            ways.push(Colourway::of_colours(name, dealt.colours(project, card)));
            actions.push(Action::edit("Keep colourway", Edit::Colourways(ways)));
        }
    });
    ui.add_space(STEP);
}

/// One part: its word, a bar, and opened its figures and source.
fn show_part(ui: &mut Ui, part: &ScorePart) {
    let title = format!("{}: {}", part.title, part.word);
    let header = CollapsingHeader::new(title).id_salt(part.title).show(ui, |ui| {
        ui.add(Label::new(RichText::new(&part.figures).small()).wrap());
        caption(ui, part.source);
    });
    if header.fully_closed() {
        ui.indent(part.title, |ui| caption(ui, &*part.figures));
    }
    let row = header.header_response.rect;
    let right = ui.max_rect().right() - STEP;
    if let Some(score) = part.score {
        let tokens = Tokens::of(ui);
        let bar = Rect::from_min_size(pos2(right - 68.0, row.center().y - 3.0), Vec2::new(40.0, 6.0));
        paint_bar(ui.painter(), bar, score, tokens);
        let font = egui::FontId::proportional(BODY);
        let at = pos2(right, row.center().y);
        ui.painter().text(at, egui::Align2::RIGHT_CENTER, format!("{:.0}", score * 100.0), font, tokens.text);
    }
}
