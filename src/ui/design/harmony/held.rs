//! A drag in the column: every step of it starts from the palette as it was when it began, so that chroma
//! lost to gamut mapping on the way comes back.

use egui::{Id, Ui};

use super::{HarmonyView, recoloured, step_of};
use crate::app::Action;
use crate::colour::Colour;
use crate::project::{Edit, Palette};

/// The drag under way, or the keys pressed on one control.
pub struct Held {
    /// The control.
    by: Id,
    from: Palette,
    /// What the last step made of it: when the palette is another, something else changed it.
    gives: Palette,
}

impl Held {
    /// Whether its control is still there, held or with the keyboard.
    pub fn goes_on(&self, ui: &Ui) -> bool {
        ui.ctx().is_being_dragged(self.by) || ui.memory(|memory| memory.has_focus(self.by))
    }

    /// The palette as it was when it began.
    pub const fn from(&self) -> &Palette {
        &self.from
    }

    /// The palette the steps of the control start from.
    pub fn start<'a>(held: Option<&'a Self>, by: Id, now: &'a Palette) -> &'a Palette {
        held.filter(|held| held.by == by && held.gives == *now).map_or(now, |held| &held.from)
    }
}

/// A step: slot `index` becomes what `wanted` makes of its colour at the start; `what` of it is changed.
pub fn step(
    view: &mut HarmonyView,
    now: &Palette,
    (by, what): (Id, &str),
    index: usize,
    wanted: impl FnOnce(Colour) -> Colour,
) -> Action {
    let from = Held::start(view.held.as_ref(), by, now).clone();
    let colour = from.slots().get(index).map_or(Colour::BLACK, |slot| wanted(slot.colour));
    let label = step_of(what, &from, index);
    let (gives, note) = recoloured(&from, index, colour, view.ground_follows);
    view.note = note;
    view.held = Some(Held { by, from, gives: gives.clone() });
    Action::gesture(label, Edit::Palette(Box::new(gives)))
}
