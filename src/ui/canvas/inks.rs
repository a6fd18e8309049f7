//! The palette as it is shown.

use egui::Color32;

use crate::app::view::Eyes;
use crate::chart::Cell;
use crate::colour::Colour;
use crate::project::Project;
use crate::ui::colours::seen;

/// Colours as shown, one per palette slot and one for "no stitch".
#[derive(Clone, Debug, PartialEq)]
pub struct Inks {
    slots: Vec<Color32>,
    no_stitch: Color32,
}

impl Inks {
    /// One colour per slot, and the one that stands for no stitch.
    pub const fn new(slots: Vec<Color32>, no_stitch: Color32) -> Self {
        Self { slots, no_stitch }
    }

    /// The colour of a cell; of "no stitch" for a slot that does not exist.
    pub fn of(&self, cell: Cell) -> Color32 {
        cell.index().and_then(|slot| self.slots.get(slot)).copied().unwrap_or(self.no_stitch)
    }

    /// The colours of the slots.
    pub fn slots(&self) -> &[Color32] {
        &self.slots
    }

    /// The same with one kind of stitch left out.
    pub fn without(&self, cell: Cell) -> Self {
        let mut inks = self.clone();
        match cell.index() {
            None => inks.no_stitch = Color32::TRANSPARENT,
            Some(slot) => inks.slots.get_mut(slot).into_iter().for_each(|ink| *ink = Color32::TRANSPARENT),
        }
        inks
    }
}

/// The palette through these eyes, worked out again only when it changes.
pub struct Seen {
    colours: Vec<Colour>,
    eyes: Eyes,
    no_stitch: Color32,
    inks: Inks,
}

impl Default for Seen {
    fn default() -> Self {
        Self {
            colours: Vec::new(),
            eyes: Eyes::default(),
            no_stitch: Color32::TRANSPARENT,
            inks: Inks::new(Vec::new(), Color32::TRANSPARENT),
        }
    }
}

impl Seen {
    /// The palette of the project as it is shown, `no_stitch` where there is no stitch.
    pub fn inks(&mut self, project: &Project, eyes: Eyes, no_stitch: Color32) -> &Inks {
        let slots = project.palette.slots();
        let same = self.eyes == eyes
            && self.no_stitch == no_stitch
            && self.colours.len() == slots.len()
            && self.colours.iter().zip(slots).all(|(colour, slot)| *colour == slot.colour);
        if !same {
            self.colours = slots.iter().map(|slot| slot.colour).collect();
            (self.eyes, self.no_stitch) = (eyes, no_stitch);
            self.inks = Inks::new(self.colours.iter().map(|colour| seen(*colour, eyes)).collect(), no_stitch);
        }
        &self.inks
    }
}
