//! Edits of the palette that take the rest of the project along.

use super::edit::Edit;
use super::model::Project;
use super::palette::{Palette, Role, Slot};
use crate::colour::Member;
use crate::colour::proportion::{PARTS, best_assignment};

impl Role {
    /// The roles of the 60-30-10, in its order; the ground is outside it.
    pub const PARTS: [Self; PARTS] = [Self::Main, Self::Supporting, Self::Accent];

    /// Place in the 60-30-10; `None` for the ground.
    pub fn part(self) -> Option<usize> {
        Self::PARTS.iter().position(|role| *role == self)
    }
}

impl Palette {
    /// The colours as the schemes see them.
    pub fn members(&self) -> Vec<Member> {
        self.slots()
            .iter()
            .map(|slot| Member {
                colour: slot.colour,
                locked: slot.locked,
                is_ground: slot.role == Role::Ground,
            })
            .collect()
    }

    /// Target shares of [`Role::PARTS`] in per cent.
    pub fn targets(&self) -> [f64; PARTS] {
        Role::PARTS.map(|role| self.proportion.share(role).unwrap_or(0.0))
    }
}

impl Project {
    /// The edit that adds a colour to the palette and to every colourway; `None` when there is no room.
    pub fn with_slot(&self, slot: Slot) -> Option<Edit> {
        let mut ways = self.colourways.clone();
        for way in &mut ways {
            way.colours.push(slot.colour);
        }
        let mut palette = self.palette.clone();
        palette
            .push(slot)
            .then(|| Edit::Several(vec![Edit::Palette(Box::new(palette)), Edit::Colourways(ways)]))
    }

    /// The edit that gives colours to the repeat's areas so that the shares come nearest to the target;
    /// `None` when they stand so already. What makes up a colour (name, role, symbol, yarn, its colour in
    /// every colourway) moves with it.
    pub fn nearest_proportion(&self) -> Option<Edit> {
        let slots = self.palette.slots();
        let counts = self.chart.grid.copy(self.chart.repeat())?.counts();
        let parts: Vec<Option<usize>> = slots.iter().map(|slot| slot.role.part()).collect();
        let order = best_assignment(&counts[..slots.len()], &parts, self.palette.targets());
        if order.iter().enumerate().all(|(slot, from)| slot == *from) {
            return None;
        }
        let mut palette = self.palette.clone();
        let mut ways = self.colourways.clone();
        for (slot, from) in order.iter().enumerate() {
            palette.slots_mut()[slot] = slots[*from].clone();
            for (way, before) in ways.iter_mut().zip(&self.colourways) {
                way.colours[slot] = before.colours[*from];
            }
        }
        Some(Edit::Several(vec![Edit::Palette(Box::new(palette)), Edit::Colourways(ways)]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::{Cell, Point};
    use crate::project::CellPatch;

    #[test]
    fn reassigning_brings_the_largest_area_to_the_main_colour() {
        let mut project = Project::default();
        // Mostly slot 2 (accent), some slot 1 (supporting), a little slot 0 (main).
        for (slot, rows) in [(2, 0..12), (1, 12..18), (0, 18..20)] {
            let points = rows.flat_map(|y| (0..24).map(move |x| Point::new(x, y)));
            let patch = CellPatch::painting(&project.chart.grid, points, Cell::slot(slot)).unwrap();
            project.apply(Edit::Cells(patch));
        }
        let edit = project.nearest_proportion().unwrap();
        let undo = project.apply(edit);
        let role = |slot: usize| project.palette.slots()[slot].role;
        assert_eq!([role(2), role(1), role(0)], Role::PARTS);
        assert_eq!(project.nearest_proportion(), None);
        project.apply(undo);
        assert_eq!(project.palette, Project::default().palette);
    }

    #[test]
    fn a_new_colour_reaches_every_colourway() {
        let mut project = Project::default();
        let colours = project.palette.slots().iter().map(|slot| slot.colour).collect();
        project.colourways.push(crate::project::Colourway { name: "Steel cabinet".to_owned(), colours });
        let edit = project.with_slot(project.palette.slots()[0].clone()).unwrap();
        project.apply(edit);
        assert_eq!(project.check(), Ok(()));
    }
}
