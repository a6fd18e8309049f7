//! Which colour of the palette takes which shade of a set.

use std::sync::Arc;

use super::Target;
use crate::app::shelf::Search;
use crate::colour::Colour;
use crate::project::{Palette, Project, deal_by_area};
use crate::yarn::best_sets::ShadeSet;
use crate::yarn::{Shade, ShadeCard, Wish, match_palette};

/// The colours wished for: those of the palette, and of a colour that is knitted in a shade the one it
/// had before, so that trying shades on does not lose the wish.
#[derive(Default)]
pub(super) struct HeldWish {
    colours: Vec<Colour>,
}

impl HeldWish {
    /// Keeps up with the palette.
    pub(super) fn follow(&mut self, palette: &Palette) {
        let slots = palette.slots();
        let held = self.colours.len() == slots.len();
        let wish = |(index, slot): (usize, &crate::project::Slot)| match self.colours.get(index) {
            Some(before) if held && slot.shade().is_some() => *before,
            _ => slot.colour,
        };
        self.colours = slots.iter().enumerate().map(wish).collect();
    }

    /// The colour a slot is wished in.
    pub(super) fn of(&self, slot: usize) -> Option<Colour> {
        self.colours.get(slot).copied()
    }

    /// Takes the palette as it is for the wish.
    pub(super) fn renew(&mut self, palette: &Palette) {
        self.colours = palette.slots().iter().map(|slot| slot.colour).collect();
    }

    /// Whether it is other than the palette.
    pub(super) fn differs(&self, palette: &Palette) -> bool {
        palette.slots().iter().zip(&self.colours).any(|(slot, wish)| slot.colour != *wish)
    }
}

/// How the shades of a set are given to the palette's colours.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Rule {
    /// The largest area takes the quietest shade.
    #[default]
    Area,
    /// Each colour takes the shade that is nearest to it, so that the sum of differences is least.
    Likeness,
}

/// A set given to the palette's colours: for each slot the place of its shade on the shelf. Shades
/// beyond the palette's colours are spare.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Dealt {
    /// Slots that are recoloured, by role.
    pub slots: Vec<usize>,
    /// The shade of each of these.
    pub shades: Vec<usize>,
    /// Shades no slot takes.
    pub spare: Vec<usize>,
}

impl Dealt {
    fn of(card: &ShadeCard, set: &[usize], targets: &[Target], rule: Rule) -> Self {
        let targets = &targets[..set.len().min(targets.len())];
        let shades: Vec<usize> = match rule {
            Rule::Area => {
                let areas: Vec<f64> = targets.iter().map(|target| target.area).collect();
                let colours: Vec<Colour> = set.iter().map(|place| card.shades()[*place].colour).collect();
                deal_by_area(&areas, &colours).into_iter().map(|of_set| set[of_set]).collect()
            }
            Rule::Likeness => {
                let wish = |target: &Target| Wish { colour: target.wish, metres: None };
                let wishes: Vec<Wish> = targets.iter().map(wish).collect();
                let found = match_palette(card, set, &wishes, 0);
                found.map_or_else(
                    |_| set[..targets.len()].to_vec(),
                    |found| found.matched.iter().map(|matched| matched.chosen.shade).collect(),
                )
            }
        };
        let spare = set.iter().copied().filter(|place| !shades.contains(place)).collect();
        Self { slots: targets.iter().map(|target| target.slot).collect(), shades, spare }
    }

    /// One colour takes another shade of the set; who had it takes this one's.
    pub(super) fn give(&mut self, place: usize, shade: usize) {
        let Some(before) = self.shades.get(place).copied() else { return };
        if let Some(other) = self.shades.iter().position(|taken| *taken == shade) {
            self.shades[other] = before;
        } else if let Some(other) = self.spare.iter().position(|taken| *taken == shade) {
            self.spare[other] = before;
        }
        self.shades[place] = shade;
    }

    /// The palette's colours with these shades in their places.
    pub(super) fn colours(&self, project: &Project, card: &ShadeCard) -> Vec<Colour> {
        recoloured(project, self.slots.iter().zip(&self.shades).map(|(s, p)| (*s, card.shades()[*p].colour)))
    }

    /// All shades of the set, those with a slot first.
    pub(super) fn all(&self) -> impl Iterator<Item = usize> {
        self.shades.iter().chain(&self.spare).copied()
    }

    /// The shades by their slots, for the edit.
    pub(super) fn to_knit(&self, card: &ShadeCard) -> Vec<(usize, Arc<Shade>)> {
        let shade = |place: &usize| Arc::new(card.shades()[*place].clone());
        self.slots.iter().copied().zip(self.shades.iter().map(shade)).collect()
    }
}

/// The palette's colours with some of them replaced.
pub(super) fn recoloured(project: &Project, new: impl IntoIterator<Item = (usize, Colour)>) -> Vec<Colour> {
    let mut colours: Vec<Colour> = project.palette.slots().iter().map(|slot| slot.colour).collect();
    for (slot, colour) in new {
        if let Some(place) = colours.get_mut(slot) {
            *place = colour;
        }
    }
    colours
}

/// What deals rest on: the sets, the colours and the rule.
type DealtFrom = (Arc<Vec<ShadeSet>>, Vec<Target>, Rule);

/// The deals of a search's sets, worked out again only when something they rest on has changed.
#[derive(Default)]
pub(super) struct Deals {
    of: Option<DealtFrom>,
    dealt: Arc<Vec<Dealt>>,
}

impl Deals {
    /// One deal for each set.
    pub(super) fn of(
        &mut self,
        search: &Search,
        sets: &Arc<Vec<ShadeSet>>,
        targets: &[Target],
        rule: Rule,
    ) -> Arc<Vec<Dealt>> {
        let same = self
            .of
            .as_ref()
            .is_some_and(|(dealt, of, by)| Arc::ptr_eq(dealt, sets) && of == targets && *by == rule);
        if !same {
            let card = &search.ask.shelved.card;
            let deal = |set: &ShadeSet| Dealt::of(card, &set.shades, targets, rule);
            self.dealt = Arc::new(sets.iter().map(deal).collect());
            self.of = Some((Arc::clone(sets), targets.to_vec(), rule));
        }
        Arc::clone(&self.dealt)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn card() -> ShadeCard {
        let shade = |hex: &str| Shade::new(hex, Colour::from_hex(hex).unwrap());
        ShadeCard::new("Card", ["#a3421f", "#d8cbb2", "#1f2a4d"].map(shade).to_vec()).unwrap()
    }

    fn target(slot: usize, hex: &str, area: f64) -> Target {
        Target { slot, wish: Colour::from_hex(hex).unwrap(), metres: None, area }
    }

    #[test]
    fn a_swap_keeps_every_shade_once() {
        let targets = [target(0, "#222244", 0.6), target(1, "#aa4422", 0.1)];
        let mut dealt = Dealt::of(&card(), &[0, 1, 2], &targets, Rule::Likeness);
        assert_eq!((&dealt.shades[..], &dealt.spare[..]), (&[2, 0][..], &[1][..]));
        dealt.give(0, 0);
        assert_eq!(dealt.shades, [0, 2]);
        dealt.give(1, 1);
        assert_eq!((&dealt.shades[..], &dealt.spare[..]), (&[0, 1][..], &[2][..]));
        let by_area = Dealt::of(&card(), &[0, 1, 2], &targets, Rule::Area);
        assert_eq!(by_area.shades, [1, 2], "sand is the quietest, rust the loudest");
    }

    #[test]
    fn the_wish_outlives_trying_shades_on() {
        let mut project = Project::default();
        let mut held = HeldWish::default();
        held.follow(&project.palette);
        let wished = project.palette.slots()[0].colour;
        let shade = Arc::new(card().shades()[0].clone());
        let edit = project.knit_in([(0, shade)]);
        project.apply(edit);
        held.follow(&project.palette);
        assert_eq!(held.of(0), Some(wished));
        assert!(held.differs(&project.palette));
        held.renew(&project.palette);
        held.follow(&project.palette);
        assert!(!held.differs(&project.palette));
        // A colour changed by hand is a new wish.
        project.palette.slots_mut()[0].colour = Colour::WHITE;
        held.follow(&project.palette);
        assert_eq!(held.of(0), Some(Colour::WHITE));
    }
}
