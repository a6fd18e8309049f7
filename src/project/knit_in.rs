//! Knitting the palette in shades of a card: which colour takes which shade, and the edit that does it.

use std::sync::Arc;

use super::edit::Edit;
use super::model::Project;
use super::palette::{Palette, Role, Slot};
use crate::colour::Colour;
use crate::knit::pieces::PiecesYarn;
use crate::yarn::{OnHand, Shade};

impl Palette {
    /// The slots by role: main, supporting, accent, ground; in each role as they stand.
    pub fn by_role(&self) -> Vec<usize> {
        let of = |role: Role| {
            let slots = self.slots().iter().enumerate();
            slots.filter(move |(_, slot)| slot.role == role).map(|(index, _)| index)
        };
        Role::ALL.into_iter().flat_map(of).collect()
    }
}

/// Deals what is on hand to slots that were given other shades or colours, for it belongs to the shade: a slot that
/// keeps its shade keeps its yarn, and the first that has none takes what is left of it. What `before` says of a shade
/// goes before what a slot brings along, and what a card says is counted once.
pub(super) fn deal_on_hand(before: &[Slot], after: &mut [Slot]) {
    let mut dealt = vec![false; after.len()];
    for ((slot, old), dealt) in after.iter_mut().zip(before).zip(&mut dealt) {
        *dealt = old.yarn.on_hand_m > 0.0 && slot.shade().is_some_and(|shade| old.has_chosen(shade));
        if *dealt {
            slot.yarn.on_hand_m = old.yarn.on_hand_m;
        }
    }
    for index in 0..after.len() {
        let Some(shade) = after[index].shade().filter(|_| !dealt[index]).map(Arc::clone) else { continue };
        let metres = |slot: &Slot| if slot.has_chosen(&shade) { slot.yarn.on_hand_m } else { 0.0 };
        let there: f64 = before.iter().map(metres).sum();
        let given: f64 =
            after.iter().zip(&dealt).filter(|(_, dealt)| **dealt).map(|(slot, _)| metres(slot)).sum();
        let brought = after[index].yarn.on_hand_m;
        let told = before.iter().any(|slot| slot.tells_on_hand(&shade));
        let all = if told { there } else { shade.owned_m() };
        if told || brought == all {
            after[index].yarn.on_hand_m = (all - given).max(0.0);
        }
        dealt[index] = true;
        for left in after.iter_mut().filter(|slot| slot.left_shade().is_some_and(|old| old.is_same(&shade))) {
            left.yarn.on_hand_m = 0.0;
        }
    }
}

impl Project {
    /// What is on hand of the shades that colours are knitted in, or were until the colour became another.
    pub fn on_hand(&self) -> OnHand {
        let told = |slot: &Slot| Some((Arc::clone(slot.chosen_shade.as_ref()?), slot.yarn.on_hand_m));
        OnHand::new(self.palette.slots().iter().filter_map(told))
    }

    /// The edit that knits slots in shades. What is on hand of a shade goes along to the slot that takes it. Hues are
    /// let go from the scheme, which would pull the shades about again; slots that do not exist are passed over.
    pub fn knit_in(&self, shades: impl IntoIterator<Item = (usize, Arc<Shade>)>) -> Edit {
        let mut palette = self.palette.clone();
        palette.scheme = None;
        for (index, shade) in shades {
            if let Some(slot) = palette.slots_mut().get_mut(index) {
                slot.knit_in(shade);
            }
        }
        deal_on_hand(self.palette.slots(), palette.slots_mut());
        Edit::Palette(Box::new(palette))
    }
}

impl Project {
    /// The metres each shade of a set takes when the palette's colours are knitted in them by area: the
    /// colours by role take them, the largest area the quietest; a shade that no colour takes needs none.
    pub fn metres_by_area(&self, yarn: &PiecesYarn, shades: &[Colour]) -> Vec<f64> {
        let slots = self.palette.by_role();
        let slots = &slots[..shades.len().min(slots.len())];
        let of = |slot: &usize| yarn.colours.get(*slot);
        let areas: Vec<f64> =
            slots.iter().map(|slot| of(slot).map_or(0.0, |colour| colour.share_percent)).collect();
        let mut metres = vec![0.0; shades.len()];
        for (slot, shade) in slots.iter().zip(deal_by_area(&areas, shades)) {
            metres[shade] = of(slot).map_or(0.0, |colour| colour.metres().high);
        }
        metres
    }
}

/// Gives colours to areas so that the largest area takes the quietest colour (the lowest chroma) and
/// the smallest the loudest: common practice, no published source. For each area the place of its
/// colour; there must be at least as many colours as areas, and the loudest are left over.
pub fn deal_by_area(areas: &[f64], colours: &[Colour]) -> Vec<usize> {
    let mut quiet: Vec<usize> = (0..colours.len()).collect();
    quiet.sort_by(|a, b| colours[*a].chroma().total_cmp(&colours[*b].chroma()));
    let mut large: Vec<usize> = (0..areas.len()).collect();
    large.sort_by(|a, b| areas[*b].total_cmp(&areas[*a]));
    let mut dealt = vec![0; areas.len()];
    for (area, colour) in large.into_iter().zip(quiet) {
        dealt[area] = colour;
    }
    dealt
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Scheme;

    #[test]
    fn the_largest_area_takes_the_quietest_colour() {
        let colours =
            [Colour::clamped(0.6, 0.15, 30.0), Colour::grey(80.0), Colour::clamped(0.4, 0.06, 250.0)];
        assert_eq!(deal_by_area(&[0.3, 0.1, 0.6], &colours), [2, 0, 1]);
        assert_eq!(deal_by_area(&[0.1, 0.9], &colours), [2, 1]);
        assert!(deal_by_area(&[], &colours).is_empty());
    }

    #[test]
    fn roles_come_in_their_order() {
        let mut palette = Palette::default();
        palette.slots_mut()[0].role = Role::Ground;
        palette.slots_mut()[3].role = Role::Main;
        assert_eq!(palette.by_role(), [3, 1, 2, 0]);
    }

    #[test]
    fn knitting_in_shades_is_one_edit_and_lets_the_scheme_go() {
        let mut project = Project::default();
        project.palette.scheme = Some(Scheme::Triadic);
        let before = project.palette.clone();
        let shade = Arc::new(Shade::new("Dull bucket", Colour::grey(80.0)));
        let edit = project.knit_in([(1, Arc::clone(&shade)), (99, Arc::clone(&shade))]);
        let undo = project.apply(edit);
        assert_eq!(project.palette.slots()[1].shade(), Some(&shade));
        assert_eq!(project.palette.slots()[0], before.slots()[0]);
        assert_eq!(project.palette.scheme, None);
        project.apply(undo);
        assert_eq!(project.palette, before);
    }

    /// The card says two balls, the project that they are gone: Shopping and Sets count none.
    #[test]
    fn none_left_of_a_shade_goes_before_what_its_card_says() {
        use crate::yarn::{PutUp, SetCost, ShadeCard, Stock};
        let mut project = crate::project::findings::tests::drawn(&["0133301333", "3333333333", "0003330003"]);
        let put_up = PutUp::new(250.0, 50.0).unwrap();
        let sold = |stock| Shade { put_up: Some(put_up), stock, ..Shade::new("Rahm", Colour::grey(80.0)) };
        let shade = Arc::new(sold(Stock::Owned(2)));
        project.apply(project.knit_in([(3, Arc::clone(&shade))]));
        project.palette.slots_mut()[3].yarn.on_hand_m = 0.0;
        let card =
            ShadeCard::new("Card", vec![Shade::clone(&shade)]).unwrap().with_on_hand(project.on_hand());
        assert!(!card.is_at_home(&shade));
        let need = project.metres_to_buy()[3];
        assert_eq!(SetCost::of(&card, [(0, Some(need))]).balls, [put_up.balls(need)]);
        project.palette.slots_mut()[3].yarn.on_hand_m = shade.owned_m();
        let card = card.with_on_hand(project.on_hand());
        assert!(card.is_at_home(&shade), "as the card says");
    }

    #[test]
    fn what_is_on_hand_of_a_shade_is_taken_off_it_wherever_it_is_costed() {
        use crate::project::shopping::Shopping;
        use crate::units::Price;
        use crate::yarn::{PutUp, SetCost, ShadeCard, Wish, match_palette};
        let mut project = crate::project::findings::tests::drawn(&["0133301333", "3333333333", "0003330003"]);
        let shade = Shade {
            put_up: PutUp::new(250.0, 50.0).ok(),
            ball_price: Price::new(5.0).ok(),
            ..Shade::new("Rahm", Colour::grey(80.0))
        };
        let shade = Arc::new(shade);
        project.apply(project.knit_in([(3, Arc::clone(&shade))]));
        let need = project.metres_to_buy()[3];
        // Half a ball is on hand, and another ball and a quarter is short.
        project.palette.slots_mut()[3].yarn.on_hand_m = 1e-3 + need / 2.0;
        let bought = Shopping::of(&project, None, None).unwrap().yarn.colours[3].balls;
        let other = Shade::new("Other", Colour::grey(20.0));
        let card = ShadeCard::new("Card", vec![other, Shade::clone(&shade)]).unwrap();
        let card = card.with_on_hand(project.on_hand());
        let wish = Wish { colour: shade.colour, metres: Some(need) };
        let found = match_palette(&card, &[0, 1], &[wish], 0).unwrap();
        assert_eq!(found.cost.balls, [bought]);
        assert_eq!(found.cost.known, Price::new(5.0 * f64::from(bought)).unwrap());
        project.palette.slots_mut()[3].yarn.on_hand_m = 1e6;
        let card = card.with_on_hand(project.on_hand());
        assert_eq!(SetCost::of(&card, [(1, Some(need))]).balls, [0]);
        assert!(card.is_at_home(&shade) && !card.is_at_home(&card.shades()[0]));
        assert_eq!(card.balls_at_home(&shade), 8000);
        // It goes along with the shade to another colour.
        project.apply(project.knit_in([(0, Arc::clone(&shade)), (3, Arc::new(card.shades()[0].clone()))]));
        assert!((project.palette.slots()[0].yarn.on_hand_m - 1e6).abs() < 1e-9);
    }

    fn gull(grey: f64) -> Arc<Shade> {
        let put_up = crate::yarn::PutUp::new(250.0, 50.0).ok();
        Arc::new(Shade { put_up, ..Shade::new(format!("Gull {grey}"), Colour::grey(grey)) })
    }

    fn on_hand(project: &Project) -> Vec<f64> {
        project.palette.slots().iter().map(Slot::on_hand_m).collect()
    }

    #[test]
    fn what_is_on_hand_is_of_the_shade_and_comes_back_with_its_colour() {
        let mut project = Project::default();
        let shade = gull(70.0);
        project.apply(project.knit_in([(0, Arc::clone(&shade))]));
        project.palette.slots_mut()[0].set_on_hand(375.0);
        let to_buy = |project: &Project| project.knitted_yarn().yarn.colours[0].to_buy_m;
        let (with, high) = (to_buy(&project), project.knitted_yarn().yarn.colours[0].metres().high);
        assert!((with - (high - 375.0).max(0.0)).abs() < 1e-9);
        project.palette.slots_mut()[0].recolour(Colour::grey(69.0));
        assert_eq!((on_hand(&project)[0], to_buy(&project)), (0.0, high));
        assert_eq!(project.on_hand().metres(&shade), Some(375.0), "it still lies there");
        // Another colour that takes the shade takes its yarn along, and only one has it.
        let mut other = project.clone();
        other.apply(project.knit_in([(1, Arc::clone(&shade)), (2, Arc::clone(&shade))]));
        other.palette.slots_mut()[0].recolour(shade.colour);
        assert_eq!(on_hand(&other), [0.0, 375.0, 0.0, 0.0]);
        project.palette.slots_mut()[0].recolour(shade.colour);
        assert_eq!((on_hand(&project)[0], to_buy(&project)), (375.0, with));
        // Yarn of the new colour is not yarn of the shade.
        let slot = &mut project.palette.slots_mut()[0];
        slot.recolour(Colour::grey(69.0));
        slot.set_on_hand(20.0);
        slot.recolour(shade.colour);
        assert_eq!((slot.on_hand_m(), project.on_hand().metres(&shade)), (20.0, None));
    }

    #[test]
    fn a_shade_without_a_length_takes_over_no_yarn_of_another() {
        let mut project = Project::default();
        project.apply(project.knit_in([(0, gull(70.0))]));
        project.palette.slots_mut()[0].set_on_hand(375.0);
        project.apply(project.knit_in([(0, Arc::new(Shade::new("Bare", Colour::grey(70.0))))]));
        assert_eq!(on_hand(&project)[0], 0.0);
    }

    #[test]
    fn balls_that_a_card_says_are_at_home_are_counted_once() {
        let mut project = Project::default();
        let owned = Shade { stock: crate::yarn::Stock::Owned(2), ..Shade::clone(&gull(70.0)) };
        let owned = Arc::new(owned);
        project.apply(project.knit_in([(0, Arc::clone(&owned)), (1, Arc::clone(&owned))]));
        assert_eq!(on_hand(&project), [250.0, 0.0, 0.0, 0.0]);
        project.palette.slots_mut()[0].set_on_hand(90.0);
        project.apply(project.knit_in([(2, Arc::clone(&owned)), (0, Arc::clone(&owned))]));
        assert_eq!(on_hand(&project), [90.0, 0.0, 0.0, 0.0], "who keeps a shade keeps its yarn");
        project.apply(project.knit_in([(2, owned), (0, gull(50.0))]));
        assert_eq!(on_hand(&project), [0.0, 90.0, 0.0, 0.0], "and leaves it to the first that has none");
    }

    #[test]
    fn that_none_is_left_goes_before_what_the_card_says() {
        let mut project = Project::default();
        let owned = Arc::new(Shade { stock: crate::yarn::Stock::Owned(2), ..Shade::clone(&gull(70.0)) });
        project.apply(project.knit_in([(0, Arc::clone(&owned))]));
        project.palette.slots_mut()[0].set_on_hand(0.0);
        project.apply(project.knit_in([(0, Arc::clone(&owned)), (1, Arc::clone(&owned))]));
        assert_eq!(on_hand(&project), [0.0; 4], "chosen again, by another colour too");
        assert_eq!((project.on_hand().balls(&owned), OnHand::default().balls(&owned)), (0.0, 2.0));
        let more = Arc::new(Shade { stock: crate::yarn::Stock::Owned(3), ..Shade::clone(&owned) });
        project.apply(project.knit_in([(0, more)]));
        assert_eq!(on_hand(&project), [375.0, 0.0, 0.0, 0.0], "a card that says otherwise now is news");
    }
}
