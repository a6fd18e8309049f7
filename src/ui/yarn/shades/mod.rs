//! The shade cards of the project: the colours that exist, to search, to keep and to knit in.

mod card_list;
mod filters;
mod form;
mod guide;
mod import;
mod swatch;
mod table;

use std::sync::Arc;

use egui::{CentralPanel, Frame, Id, Margin, Panel, ScrollArea, Ui};

use crate::app::Action;
use crate::app::cards::{self, FindAsk, Found};
use crate::app::state::State;
use crate::project::Project;
use crate::ui::theme::Tokens;
use crate::ui::widgets::Follow;
use crate::yarn::{ShadeCard, ShadeError, ShadeQuery};

/// Width of the list of cards.
const LIST: f32 = 210.0;
/// Width of the fields of a shade.
const FORM: f32 = 296.0;

/// What the page remembers between frames.
#[derive(Default)]
pub struct ShadesView {
    /// The card the rest is about, by its place in the project.
    card: usize,
    /// Which of its shades are wanted, in which order.
    query: ShadeQuery,
    /// The shade in the fields, by its place on the card.
    chosen: usize,
    /// The chosen shade is to be brought into sight.
    reveal: bool,
    /// A text that is being typed, and its field: it may be wrong on the way to being right.
    draft: Option<(Id, String)>,
    /// The guide to tables is shown.
    guide: bool,
    /// The page of photographs was asked for.
    to_photograph: bool,
}

impl ShadesView {
    /// Whether the page of photographs was asked for; asking it once is enough.
    pub const fn asks_for_photograph(&mut self) -> bool {
        std::mem::replace(&mut self.to_photograph, false)
    }

    fn choose(&mut self, place: usize) {
        self.chosen = place;
        self.reveal = true;
    }
}

/// Shows the page.
pub fn show(ui: &mut Ui, state: &State, view: &mut ShadesView) -> Vec<Action> {
    let mut actions = Vec::new();
    let project = state.project();
    let place = state.desks.cards.shown.min(project.shade_cards.len().saturating_sub(1));
    if view.card != place {
        *view = ShadesView { card: place, ..ShadesView::default() };
    }
    let card = project.shade_cards.get(place);
    view.chosen = view.chosen.min(card.map_or(0, |card| card.shades().len().saturating_sub(1)));
    let tokens = Tokens::of(ui);
    let frame =
        |fill| Frame::new().fill(fill).inner_margin(Margin { left: 12, right: 10, top: 8, bottom: 0 });
    Panel::left("cards").frame(frame(tokens.panel)).exact_size(LIST).resizable(false).show(ui, |ui| {
        scroll(ui, |ui| card_list::show(ui, state, view, &mut actions));
    });
    let in_table = state.desks.cards.table.is_none() && !view.guide;
    if let Some(shade) = card.filter(|_| in_table).and_then(|card| card.shades().get(view.chosen)) {
        Panel::right("shade").frame(frame(tokens.panel)).exact_size(FORM).resizable(false).show(ui, |ui| {
            scroll(ui, |ui| {
                swatch::show(ui, state, ((view.card, view.chosen), shade), &mut actions);
                form::show(ui, state, view, shade, &mut actions);
            });
        });
    }
    CentralPanel::no_frame().frame(frame(tokens.panel)).show(ui, |ui| {
        match (card, &state.desks.cards.table) {
            (_, Some(table)) => import::show(ui, state, table, &mut actions),
            (_, None) if view.guide => scroll(ui, |ui| guide::columns(ui, view, &mut actions)),
            (None, None) => scroll(ui, |ui| guide::first_card(ui, project, view, &mut actions)),
            (Some(card), None) => shades(ui, state, view, card, &mut actions),
        }
    });
    actions
}

fn scroll(ui: &mut Ui, contents: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical().auto_shrink([false, false]).follow(ui, contents);
}

/// The shown card: what is wanted of it, and the shades that are found.
fn shades(
    ui: &mut Ui,
    state: &State,
    view: &mut ShadesView,
    card: &Arc<ShadeCard>,
    actions: &mut Vec<Action>,
) {
    if card.shades().is_empty() {
        guide::empty_card(ui, state.project(), view, actions);
        return;
    }
    let ask = FindAsk { card: Arc::clone(card), query: view.query.clone() };
    let found = state.desks.cards.found(&ask, &state.jobs).value();
    let found = found.as_deref();
    filters::show(ui, view, card, found);
    // Until the answer comes the one before it stands, so that nothing flickers.
    match found {
        Some(found) if found.places.is_empty() => guide::nothing_found(ui, view),
        Some(Found { places, .. }) => table::show(ui, state, view, card, places),
        None => {}
    }
}

/// An edit of the shown card; one of a text or a figure joins the step of the field.
fn edit_card(
    project: &Project,
    card: usize,
    label: &'static str,
    in_gesture: bool,
    change: impl FnOnce(&mut ShadeCard) -> Result<(), ShadeError>,
) -> Action {
    let mut result = Ok(());
    let edit = cards::changed(project, |cards| {
        if let Some(card) = cards.get_mut(card) {
            result = change(Arc::make_mut(card));
        }
    });
    match result {
        Ok(()) => Action::Edit { label: label.into(), edit, in_gesture },
        Err(error) => Action::Complain(error.to_string()),
    }
}
