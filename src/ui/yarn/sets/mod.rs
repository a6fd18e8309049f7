//! The nearest shades to the palette and the best sets on a card.

mod deal;
mod grid;
mod nearest;
mod opened;
mod options;
mod parts;
mod progress;
mod shelf;
mod swatch;

use std::sync::Arc;

use egui::{CentralPanel, Color32, Frame, Margin, Panel, ScrollArea, Ui};

use crate::app::Action;
use crate::app::document::DocumentId;
use crate::app::shelf::{MatchAsk, Matched, SetsAsk, ShelfAction, Shelved};
use crate::app::state::State;
use crate::app::timed_search::SearchTime;
use crate::colour::Colour;
use crate::project::Edit;
use crate::project::shopping::Shopping;
use crate::ui::theme::{STEP, Tokens};
use crate::ui::widgets::{ChartPictures, Follow, caption, heading};
use crate::yarn::Wish;

/// Width of the column of choices.
const CHOICES: f32 = 300.0;
/// Width of the column on the opened set.
const OPENED: f32 = 324.0;

/// What the page looks for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Mode {
    /// The shade nearest to each colour of the palette.
    #[default]
    Nearest,
    /// The best sets among the shades.
    Best,
}

/// What the page remembers between frames.
#[derive(Default)]
pub struct SetsView {
    /// The project all the rest belongs to.
    document: Option<DocumentId>,
    mode: Mode,
    shelf: shelf::Choice,
    wish: deal::HeldWish,
    nearest: nearest::NearestView,
    options: options::Options,
    opened: opened::OpenedView,
    deals: deal::Deals,
    pictures: ChartPictures,
}

/// A colour of the palette that is to be knitted in a shade.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Target {
    /// Its slot.
    slot: usize,
    /// The colour it is wished in.
    wish: Colour,
    /// Metres it takes in all pieces, the high figure, once they are worked out.
    metres: Option<f64>,
    /// Its part of all their stitches, `0..=1`; 0 until it is worked out.
    area: f64,
}

/// Shows the page.
pub fn show(ui: &mut Ui, state: &State, view: &mut SetsView) -> Vec<Action> {
    let mut actions = Vec::new();
    if view.document != Some(state.document.id()) {
        *view = SetsView { document: Some(state.document.id()), mode: view.mode, ..SetsView::default() };
    }
    view.wish.follow(&state.project().palette);
    let tokens = Tokens::of(ui);
    if state.project().shade_cards.iter().all(|card| card.shades().is_empty()) {
        CentralPanel::no_frame().frame(frame(tokens.rail)).show(ui, empty);
        return actions;
    }
    let shelved = wanted_shelf(state, view);
    Panel::left("set choices").frame(frame(tokens.panel)).exact_size(CHOICES).resizable(false).show(
        ui,
        |ui| {
            scroll(ui, |ui| choices(ui, state, view, shelved.as_ref(), &mut actions));
        },
    );
    let targets = targets(state, view);
    match (view.mode, shelved) {
        (Mode::Nearest, Some(shelved)) => {
            let matched = wanted_match(state, &shelved, &targets);
            nearest::show(ui, state, view, &targets, matched.as_ref(), &mut actions);
        }
        (Mode::Best, Some(shelved)) => {
            search_as_wanted(ui, state, view, &shelved, &targets, &mut actions);
            Panel::right("opened set").frame(frame(tokens.panel)).exact_size(OPENED).resizable(false).show(
                ui,
                |ui| {
                    Panel::bottom("knit the set").frame(Frame::new()).resizable(false).show(ui, |ui| {
                        opened::knit(ui, state, view, &targets, &mut actions);
                    });
                    scroll(ui, |ui| opened::show(ui, state, view, &targets));
                },
            );
            CentralPanel::no_frame().frame(frame(tokens.rail)).show(ui, |ui| {
                grid::show(ui, state, view, &targets, &mut actions);
            });
        }
        (_, None) => {
            CentralPanel::no_frame().frame(frame(tokens.rail)).show(ui, |ui| caption(ui, "Looking…"));
        }
    }
    view.pictures.keep_up(ui, state);
    actions
}

/// The step that knits colours in shades, and the word that it was done.
fn knitted(edit: Edit) -> [Action; 2] {
    let done = "Every colour is knitted in its shade: name, ball and price with it.";
    [Action::edit("Knit in shades", edit), Action::Done(done.to_owned())]
}

/// A column of the page.
fn frame(fill: Color32) -> Frame {
    Frame::new().fill(fill).inner_margin(Margin { left: 12, right: 10, top: 8, bottom: 0 })
}

fn scroll(ui: &mut Ui, contents: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical().auto_shrink([false, false]).follow(ui, contents);
}

fn empty(ui: &mut Ui) {
    heading(ui, "There are no shades yet");
    ui.set_max_width(460.0);
    caption(
        ui,
        "Make or open a shade card under “Shade cards”, or read colours off a photograph of yarn. Then the \
         shades nearest to your palette, and the sets that go together best, are found here among shades you \
         can really get.",
    );
}

fn choices(
    ui: &mut Ui,
    state: &State,
    view: &mut SetsView,
    shelved: Option<&Arc<Shelved>>,
    actions: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        ui.selectable_value(&mut view.mode, Mode::Nearest, "Nearest shades");
        ui.selectable_value(&mut view.mode, Mode::Best, "Best sets");
    });
    ui.add_space(STEP / 2.0);
    shelf::show(ui, state, &mut view.shelf, shelved, actions);
    ui.separator();
    match view.mode {
        Mode::Nearest => nearest::choices(ui, state, view),
        Mode::Best => options::show(ui, state, view, shelved, actions),
    }
    ui.add_space(STEP);
}

/// The shades as chosen on the left, asked for when they are not at hand. What is at hand stays up
/// until the answer comes.
fn wanted_shelf(state: &State, view: &SetsView) -> Option<Arc<Shelved>> {
    state.desks.shelf.shelved(&view.shelf.ask(state), &state.jobs).value()
}

/// The colours to be knitted in shades, by role.
fn targets(state: &State, view: &SetsView) -> Vec<Target> {
    let order = state.project().palette.by_role();
    let typed = (view.mode == Mode::Nearest).then(|| view.nearest.typed_colours()).flatten();
    let bought = to_buy(state);
    let bought = bought.as_deref().and_then(|bought| bought.as_ref().ok());
    let yarn = |slot: usize| bought?.yarn.colours.get(slot);
    let target = |(place, slot): (usize, usize)| {
        let wish = match &typed {
            Some(typed) => typed.get(place).copied()?,
            None => view.wish.of(slot)?,
        };
        let metres = yarn(slot).map(|yarn| yarn.metres().high);
        Some(Target { slot, wish, metres, area: yarn(slot).map_or(0.0, |yarn| yarn.share_percent / 100.0) })
    };
    order.into_iter().enumerate().filter_map(target).collect()
}

/// The yarn of all pieces, maybe of an earlier revision, or why they cannot be worked; `None` until it is
/// worked out, and while it counts other colours than the palette has.
fn to_buy(state: &State) -> Option<Arc<Result<Shopping, String>>> {
    let colours = state.project().palette.slots().len();
    let bought = state.desks.shopping(&state.document, &state.jobs, None).value()?;
    bought.as_ref().as_ref().map_or(true, |found| found.yarn.colours.len() == colours).then_some(bought)
}

/// What the balls are counted for, in words.
fn counted_for(state: &State) -> String {
    match to_buy(state).as_deref() {
        None => "One ball each, until the yarn of the pieces is worked out.".to_owned(),
        Some(Err(reason)) => format!("One ball each: the pieces cannot be worked ({reason})."),
        Some(Ok(found)) if found.sizes > 1 => format!(
            "Whole balls for the high figure of all pieces in size {}, what is on hand taken off.",
            found.size_name
        ),
        Some(Ok(_)) => "Whole balls for the high figure of all pieces, what is on hand taken off.".to_owned(),
    }
}

/// The nearest shades, asked for when they are not at hand.
fn wanted_match(state: &State, shelved: &Arc<Shelved>, targets: &[Target]) -> Option<Arc<Matched>> {
    let wish = |target: &Target| Wish { colour: target.wish, metres: target.metres };
    let wanted = MatchAsk { shelved: Arc::clone(shelved), wishes: targets.iter().map(wish).collect() };
    let matched = state.desks.shelf.matched(&wanted, &state.jobs).value();
    // Figures of another number of colours would be put beside the wrong ones.
    matched.filter(|matched| matched.ask.wishes.len() == targets.len())
}

/// Begins the search anew when what is wanted has changed, but not while a slider is dragged.
fn search_as_wanted(
    ui: &Ui,
    state: &State,
    view: &SetsView,
    shelved: &Arc<Shelved>,
    targets: &[Target],
    actions: &mut Vec<Action>,
) {
    let wanted = view.options.ask(shelved, targets);
    let asked = state.desks.shelf.search.as_ref().is_some_and(|search| *search.ask == wanted);
    if !asked && !ui.input(|input| input.pointer.any_down()) && shelved.ask == view.shelf.ask(state) {
        actions.push(search(wanted, state.search_time));
    }
}

fn search(ask: SetsAsk, time: SearchTime) -> Action {
    Action::Shelf(ShelfAction::Search(Box::new(ask), time))
}
