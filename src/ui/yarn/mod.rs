//! The Yarn workspace: the yarn itself, the shades it can be had in, colours read off a photograph,
//! and the sets those shades make.

mod facts;
mod photograph;
mod sets;
mod shades;
mod side_by_side;

use egui::{Frame, Margin, Panel, Ui};

use super::theme::{STEP, Tokens};
use crate::app::Action;
use crate::app::progress::Lead;
use crate::app::state::State;
use crate::project::Project;

/// A page of the workspace.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Page {
    /// The yarn's figures and what may stand in for it.
    #[default]
    Yarn,
    /// The piece in two yarns or classes.
    SideBySide,
    /// The shade cards.
    Shades,
    /// Colours read off a photograph.
    Photograph,
    /// Nearest shades and the best sets.
    Sets,
}

impl Page {
    const ALL: [Self; 5] = [Self::Yarn, Self::SideBySide, Self::Shades, Self::Photograph, Self::Sets];

    const fn name(self) -> &'static str {
        match self {
            Self::Yarn => "This yarn",
            Self::SideBySide => "Side by side",
            Self::Shades => "Shade cards",
            Self::Photograph => "From a photograph",
            Self::Sets => "Sets of shades",
        }
    }
}

/// What the workspace remembers between frames.
#[derive(Default)]
pub struct YarnView {
    page: Page,
    facts: facts::FactsView,
    side_by_side: side_by_side::SideView,
    shades: shades::ShadesView,
    photograph: photograph::PhotographView,
    sets: sets::SetsView,
}

impl YarnView {
    /// Whether the page a next step leads to is the one that is open, so that there is nothing to press.
    pub const fn shows(&self, lead: &Lead) -> bool {
        matches!(
            (lead, self.page),
            (Lead::ThisYarn, Page::Yarn) | (Lead::ShadeCards, Page::Shades) | (Lead::Sets, Page::Sets)
        )
    }

    /// Opens the page a next step leads to; where a yarn is to be described, its description is begun.
    pub fn follow(&mut self, lead: &Lead, project: &Project) -> Option<Action> {
        self.page = match lead {
            Lead::ThisYarn | Lead::DescribeYarn => Page::Yarn,
            Lead::ShadeCards => Page::Shades,
            Lead::Sets => Page::Sets,
            Lead::To(_) | Lead::Do(_) | Lead::Edit(..) => self.page,
        };
        (*lead == Lead::DescribeYarn).then(|| self.facts.describe(project)).flatten()
    }
}

/// Shows the workspace; while no question stands in front of it, it takes pictures that are dropped on it.
pub fn show(ui: &mut Ui, state: &State, takes_drops: bool, view: &mut YarnView) -> Vec<Action> {
    let frame = Frame::new().fill(Tokens::of(ui).panel).inner_margin(Margin::symmetric(12, 6));
    Panel::top("yarn pages").frame(frame).resizable(false).show(ui, |ui| {
        ui.horizontal(|ui| {
            for page in Page::ALL {
                ui.selectable_value(&mut view.page, page, page.name());
                ui.add_space(STEP / 2.0);
            }
        });
    });
    if view.shades.asks_for_photograph() {
        view.page = Page::Photograph;
    }
    match view.page {
        Page::Yarn => facts::show(ui, state, &mut view.facts),
        Page::SideBySide => side_by_side::show(ui, state, &mut view.side_by_side),
        Page::Shades => shades::show(ui, state, &mut view.shades),
        Page::Photograph => photograph::show(ui, state, takes_drops, &mut view.photograph),
        Page::Sets => sets::show(ui, state, &mut view.sets),
    }
}
