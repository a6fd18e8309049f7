//! Edits of the palette that take the rest of the project along.

use super::edit::Edit;
use super::model::Project;
use super::palette::{GIVEN_NAMES, Palette, Role, Slot};
use crate::colour::proportion::{PARTS, best_assignment};
use crate::colour::{Colour, Member, Scheme, well_apart};

impl Role {
    /// The roles of the 60-30-10, in its order; the ground is outside it.
    pub const PARTS: [Self; PARTS] = [Self::Main, Self::Supporting, Self::Accent];

    /// Place in the 60-30-10; `None` for the ground.
    pub fn part(self) -> Option<usize> {
        Self::PARTS.iter().position(|role| *role == self)
    }
}

/// Lightness and hue in words with a capital, as a name.
fn called(colour: Colour) -> String {
    let words = colour.words();
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

impl Slot {
    /// Gives it another colour. A name that speaks of the old one (a shade's, or one that the program
    /// gave) gives way; what the knitter called it stays. What cannot be told on the screen from the shade it was
    /// knitted in last is that shade.
    pub fn recolour(&mut self, colour: Colour) {
        let shade = self.chosen_shade.as_ref().map(|shade| shade.colour);
        let colour = shade.filter(|shade| shade.to_srgb8() == colour.to_srgb8()).unwrap_or(colour);
        if colour == self.colour {
            return;
        }
        let was_shade = self.shade().is_some_and(|shade| shade.name == self.name);
        let was_called = self.name == called(self.colour);
        let was_given = GIVEN_NAMES.contains(&self.name.as_str());
        let turns = was_given && colour.hue_word() != self.colour.hue_word();
        self.colour = colour;
        let back = self.shade().map(|shade| shade.name.clone());
        if was_shade || was_called || turns {
            self.name = back.unwrap_or_else(|| called(colour));
        }
    }
}

impl Palette {
    /// A new colour well apart from those there are, on the places of the scheme if there is one; named by
    /// its hue, in the first role that is still free.
    pub fn new_slot(&self, like: &Slot) -> Slot {
        let colours: Vec<Colour> = self.slots().iter().map(|slot| slot.colour).collect();
        let main = self.slot_of(Role::Main).and_then(|main| colours[main].hue());
        let offsets = self.scheme.map(Scheme::offsets).filter(|_| main.is_some());
        let start = self.wheel.angle_of_hue(main.unwrap_or_default());
        let hues: Vec<f64> = offsets.map_or_else(
            || (0..24).map(|step| f64::from(step) * 15.0).collect(),
            |offsets| offsets.iter().map(|offset| self.wheel.hue_at(start + offset)).collect(),
        );
        let colour = well_apart(&colours, &hues);
        Slot {
            name: called(colour),
            colour,
            role: Role::ALL.into_iter().find(|role| self.slot_of(*role).is_none()).unwrap_or(Role::Accent),
            symbol: self.free_symbol(),
            locked: false,
            // Sold as that one is, but none of it is at home.
            yarn: like.yarn.none_on_hand(),
            chosen_shade: None,
        }
    }

    /// The colours as the schemes see them. A ground keeps itself unless it is asked to follow.
    pub fn members(&self, ground_follows: bool) -> Vec<Member> {
        self.slots()
            .iter()
            .map(|slot| Member {
                colour: slot.colour,
                locked: slot.locked || (slot.role == Role::Ground && !ground_follows),
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
            way.push(&slot);
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
        self.in_order(&order)
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
        project.colourways.push(crate::project::Colourway::of_colours("Steel cabinet".to_owned(), colours));
        let edit = project.with_slot(project.palette.slots()[0].clone()).unwrap();
        project.apply(edit);
        assert_eq!(project.check(), Ok(()));
    }

    #[test]
    fn a_name_follows_the_hue_and_what_the_knitter_said_stays() {
        let mut slot = Palette::default().slots()[0].clone();
        let (red, blue) = (Colour::clamped(0.5, 0.12, 25.0), Colour::clamped(0.5, 0.08, 250.0));
        slot.recolour(blue);
        assert_eq!(slot.name, "Blue crate", "it is still blue");
        slot.recolour(red);
        assert_eq!(slot.name, "Middling red");
        slot.recolour(blue);
        assert_eq!(slot.name, "Middling blue");
        slot.name = "Harbour wall".to_owned();
        slot.recolour(red);
        assert_eq!(slot.name, "Harbour wall");
    }

    #[test]
    fn a_shade_that_is_typed_as_it_is_shown_is_the_shade_again() {
        use crate::yarn::Shade;
        let drum = Colour::clamped(0.3518, 0.0672, 240.3);
        let mut slot = Palette::default().slots()[0].clone();
        slot.knit_in(std::sync::Arc::new(Shade::new("Blue oil drum", drum)));
        slot.set_on_hand(600.0);
        slot.recolour(Colour::clamped(0.5, 0.12, 25.0));
        assert_eq!((slot.name.as_str(), slot.on_hand_m()), ("Middling red", 0.0));
        let typed = Colour::from_hex(&drum.to_hex()).unwrap();
        assert_ne!(typed, drum);
        slot.recolour(typed);
        assert_eq!((slot.name.as_str(), slot.on_hand_m(), slot.colour), ("Blue oil drum", 600.0, drum));
    }

    #[test]
    fn a_new_colour_is_told_from_the_others_and_stands_in_the_scheme() {
        for scheme in [None, Some(Scheme::Triadic), Some(Scheme::Monochromatic)] {
            let mut palette = Palette::default();
            palette.scheme = scheme;
            for _ in 0..3 {
                let slot = palette.new_slot(&palette.slots()[0]);
                let gaps = palette.slots().iter().map(|old| old.colour.difference(slot.colour));
                assert!(gaps.fold(f64::INFINITY, f64::min) > 8.0, "{scheme:?} {}", slot.name);
                palette.push(slot);
            }
        }
    }
}
