//! The chart in other colours, worked out off the window's thread.

use std::sync::Arc;

use super::derived::{Derived, Reading};
use super::document::{Document, DocumentId, Version};
use super::jobs::{Host, Jobs};
use crate::project::{BestBy, Orders, WayTrial};

/// Which colourways are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ShownWays {
    /// Those that were kept, beside the chart as it is.
    #[default]
    Kept,
    /// Every order of the colours.
    Orders,
}

impl ShownWays {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Kept, Self::Orders];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Kept => "Kept",
            Self::Orders => "Every order of the colours",
        }
    }
}

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ColourwaysForm {
    /// Which are shown.
    pub shown: ShownWays,
    /// By what orders are ranked.
    pub best_by: BestBy,
    /// Two slots to be swapped.
    pub swap: [usize; 2],
}

impl Default for ColourwaysForm {
    fn default() -> Self {
        Self { shown: ShownWays::default(), best_by: BestBy::default(), swap: [0, 1] }
    }
}

/// The colourways asked for.
#[derive(Clone, Debug)]
pub enum Ways {
    /// The chart as it is, and those that were kept.
    Kept(Vec<WayTrial>),
    /// The best orders of the colours.
    Orders(Orders),
}

impl Ways {
    /// Each, in order.
    pub fn trials(&self) -> &[WayTrial] {
        match self {
            Self::Kept(ways) => ways,
            Self::Orders(orders) => &orders.best,
        }
    }
}

type Key = (Version, ShownWays, Option<BestBy>);

/// What is worked out about colourways.
pub struct ColourwayDesk {
    ways: Derived<Key, Result<Ways, String>>,
}

impl ColourwayDesk {
    /// A desk on which nothing lies yet.
    pub fn of(document: DocumentId) -> Self {
        Self { ways: Derived::of(document, "colourways") }
    }

    /// The colourways asked for; why there are none, when they cannot be.
    pub fn ask(
        &self,
        document: &Document,
        jobs: &Jobs<impl Host>,
        form: ColourwaysForm,
    ) -> Reading<Result<Ways, String>> {
        let project = Arc::clone(document.project());
        let best_by = (form.shown == ShownWays::Orders).then_some(form.best_by);
        self.ways.ask(&(document.version(), form.shown, best_by), jobs, move || {
            let ways = match best_by {
                None => project.colourway_trials().map(Ways::Kept),
                Some(best_by) => project.orders(best_by).map(Ways::Orders),
            };
            ways.map_err(|error| error.to_string())
        })
    }
}
