//! From the yarn that is described to the colours that are counted in it, and back: which colours are
//! counted as another yarn.

use super::colour_code::colour_code;
use super::edit::Edit;
use super::model::Project;
use super::palette::{Palette, Slot};
use super::stand_in::yarn_of;
use crate::units::{Currency, LengthUnit, Price};
use crate::yarn::{PutUp, SlotYarn, Yarn};

/// What the figures of the colours are those of.
#[derive(Clone, Debug, PartialEq)]
pub enum CountedAs {
    /// No yarn is described, no shade chosen and no figure typed: what the program begins with.
    Unset,
    /// No yarn is described; the figures are those of shades, or typed.
    Typed,
    /// All are those of the yarn.
    TheYarn,
    /// These colours are counted as another yarn than the one described.
    Others(Vec<usize>),
}

impl Slot {
    /// Whether nobody said yet how it is sold.
    fn is_unset(&self) -> bool {
        self.yarn.none_on_hand() == SlotYarn::default() && self.shade().is_none()
    }

    /// Whether it is counted as sold like this. Dyes of one yarn may differ in price; none at all is a gap.
    fn is_sold_as(&self, put_up: PutUp, price: Option<Price>) -> bool {
        self.yarn.put_up == put_up && (price.is_none() || self.yarn.ball_price.is_some())
    }

    /// Whether length, ball and price are all those.
    fn is_sold_exactly_as(&self, put_up: PutUp, price: Option<Price>) -> bool {
        (self.yarn.put_up, self.yarn.ball_price) == (put_up, price)
    }
}

impl Project {
    /// What the figures of the colours are those of.
    pub fn counted_as(&self) -> CountedAs {
        let slots = self.palette.slots();
        let Some(yarn) = self.described_yarn() else {
            return if slots.iter().all(Slot::is_unset) { CountedAs::Unset } else { CountedAs::Typed };
        };
        let differs = |(_, slot): &(usize, &Slot)| !slot.is_sold_as(yarn.put_up, yarn.ball_price);
        let others: Vec<usize> = slots.iter().enumerate().filter(differs).map(|(index, _)| index).collect();
        if others.is_empty() { CountedAs::TheYarn } else { CountedAs::Others(others) }
    }

    /// The same in a sentence or two; `None` when each colour shows figures of its own that nobody
    /// contradicts.
    pub fn counted_as_words(&self) -> Option<String> {
        let name = |yarn: &Yarn| {
            format!("{}, {}", yarn.name, sold(yarn.put_up, yarn.ball_price, self.units, &self.currency))
        };
        match (self.counted_as(), self.described_yarn()) {
            (CountedAs::TheYarn, Some(yarn)) if self.prices_are_those_of(yarn) => {
                Some(format!("Every colour is counted as {}.", name(yarn)))
            }
            (CountedAs::TheYarn, Some(yarn)) => {
                let sold = sold(yarn.put_up, None, self.units, &self.currency);
                Some(format!("Every colour is counted as {}, {sold}; prices differ by colour.", yarn.name))
            }
            (CountedAs::Others(others), Some(yarn)) => {
                Some(format!("The yarn is {}. Counted as another: {}.", name(yarn), self.sold_words(&others)))
            }
            (CountedAs::Unset, _) => {
                let yarn = SlotYarn::default();
                let sold = sold(yarn.put_up, yarn.ball_price, self.units, &self.currency);
                Some(format!("No yarn is described yet: every colour is counted as {sold}, to begin with."))
            }
            _ => None,
        }
    }

    fn prices_are_those_of(&self, yarn: &Yarn) -> bool {
        self.palette.slots().iter().all(|slot| slot.yarn.ball_price == yarn.ball_price)
    }

    /// Whether length, ball and price of every colour are those of this yarn, as far as they are told.
    pub fn is_wholly(&self, yarn: &Yarn) -> bool {
        let priced = |slot: &Slot| yarn.ball_price.is_none() || slot.yarn.ball_price == yarn.ball_price;
        self.palette.slots().iter().all(|slot| slot.yarn.put_up == yarn.put_up && priced(slot))
    }

    /// These colours by code with how they are counted, alike ones together: `A, C as 400 m in 100 g ...`.
    fn sold_words(&self, slots: &[usize]) -> String {
        let mut groups: Vec<(String, Vec<String>)> = Vec::new();
        for (index, slot) in
            slots.iter().filter_map(|index| Some((*index, self.palette.slots().get(*index)?)))
        {
            let words = sold(slot.yarn.put_up, slot.yarn.ball_price, self.units, &self.currency);
            match groups.iter_mut().find(|(known, _)| *known == words) {
                Some((_, codes)) => codes.push(colour_code(index)),
                None => groups.push((words, vec![colour_code(index)])),
            }
        }
        let group = |(words, codes): &(String, Vec<String>)| format!("{} as {words}", codes.join(", "));
        groups.iter().map(group).collect::<Vec<_>>().join("; ")
    }

    /// The edit that describes the project's yarn. A change of length, ball or price reaches the colours of
    /// which nobody said anything else: those still as the program begins them, or as the yarn was before.
    pub fn describe_yarn(&self, yarn: Yarn) -> Edit {
        let before = self.material.yarn.as_ref();
        let (was, is) = (before.map(|yarn| (yarn.put_up, yarn.ball_price)), (yarn.put_up, yarn.ball_price));
        let mut material = self.material.clone();
        material.yarn = Some(yarn);
        let described = Edit::Material(Box::new(material));
        if was == Some(is) {
            return described;
        }
        let mut palette = self.palette.clone();
        for slot in palette.slots_mut() {
            if slot.is_unset() || was == Some((slot.yarn.put_up, slot.yarn.ball_price)) {
                (slot.yarn.put_up, slot.yarn.ball_price) = is;
            }
        }
        if palette == self.palette {
            return described;
        }
        Edit::Several(vec![described, Edit::Palette(Box::new(palette))])
    }

    /// The edit that counts every colour as this yarn. While its price is not told, the prices of colours that are
    /// sold as it stay: what nobody said takes nothing away.
    pub fn yarn_for_every_colour(&self, yarn: &Yarn) -> Edit {
        let mut palette = self.palette.clone();
        for slot in palette.slots_mut() {
            let told = slot.yarn.ball_price.filter(|_| slot.yarn.put_up == yarn.put_up);
            slot.yarn.ball_price = yarn.ball_price.or(told);
        }
        palette.put_up_all(yarn.put_up);
        Edit::Palette(Box::new(palette))
    }

    /// The palette with every colour counted as this yarn, at its price or none. Of a shade of another yarn only the
    /// colour stays, as a wish: neither its number nor its lot is to be had in this one, nor is what lies there of it.
    fn palette_of(&self, yarn: &Yarn) -> Palette {
        let mut palette = self.palette.clone();
        for slot in palette.slots_mut() {
            let stays = self.is_of(slot, yarn);
            let on_hand_m = if stays { slot.yarn.on_hand_m } else { 0.0 };
            slot.yarn = SlotYarn { put_up: yarn.put_up, ball_price: yarn.ball_price, on_hand_m };
            slot.chosen_shade.take_if(|_| !stays);
        }
        palette
    }

    /// Whether the shade of a colour and what is on hand of it are of this yarn, as far as the project tells.
    fn is_of(&self, slot: &Slot, yarn: &Yarn) -> bool {
        let of_shade = slot.chosen_shade.as_ref().and_then(|shade| yarn_of(shade));
        let own = self.material.yarn.as_ref();
        let is_same = match of_shade {
            Some(of_shade) => of_shade.blend == yarn.blend,
            None => own.is_none_or(|own| own.name == yarn.name),
        };
        is_same && slot.yarn.put_up == yarn.put_up
    }

    /// The edit that knits the piece in another yarn: it becomes the project's and every colour's, and the
    /// one it replaces stays as the pattern's where there is none.
    pub fn knit_in_yarn(&self, yarn: &Yarn) -> Edit {
        let mut material = self.material.clone();
        if material.pattern_yarn.is_none() {
            material.pattern_yarn = material.yarn.take();
        }
        material.yarn = Some(yarn.clone());
        material.blend = Some(yarn.blend.clone());
        Edit::Several(vec![
            Edit::Material(Box::new(material)),
            Edit::Palette(Box::new(self.palette_of(yarn))),
        ])
    }

    /// What [`Self::knit_in_yarn`] would replace, in sentences.
    pub fn replaced_by(&self, yarn: &Yarn) -> String {
        let slots = self.palette.slots();
        let mut said = Vec::new();
        if let Some(own) = &self.material.yarn {
            let kept =
                if self.material.pattern_yarn.is_none() { ", which stays as the pattern's" } else { "" };
            said.push(format!("Replaces the yarn {}{kept}.", own.name));
        }
        let other = |slot: &Slot| !slot.is_sold_exactly_as(yarn.put_up, yarn.ball_price);
        let changed: Vec<usize> = (0..slots.len()).filter(|index| other(&slots[*index])).collect();
        if !changed.is_empty() {
            let now = sold(yarn.put_up, yarn.ball_price, self.units, &self.currency);
            said.push(format!("Counts as {now} what is counted now: {}.", self.sold_words(&changed)));
        }
        let left = slots.iter().enumerate();
        let left = left.filter(|(_, slot)| slot.on_hand_m() > 0.0 && !self.is_of(slot, yarn));
        let left: Vec<String> = left.map(|(index, _)| colour_code(index)).collect();
        if !left.is_empty() {
            let codes = left.join(", ");
            said.push(format!("{codes}: what is on hand is of the yarn it replaces and counts no longer."));
        }
        let wishes = slots.iter().enumerate();
        let wishes = wishes.filter(|(_, slot)| slot.shade().is_some() && !self.is_of(slot, yarn));
        let wishes: Vec<String> = wishes.map(|(index, _)| colour_code(index)).collect();
        if !wishes.is_empty() {
            let codes = wishes.join(", ");
            said.push(format!(
                "{codes}: the colours stay as wishes; look for them in this yarn under Sets of shades."
            ));
        }
        if let Some(blend) = self.material.blend.as_ref().filter(|blend| **blend != yarn.blend) {
            said.push(format!("The fibre becomes {} instead of {}.", yarn.blend.name(), blend.name()));
        }
        if said.is_empty() { "Nothing else changes.".to_owned() } else { said.join(" ") }
    }
}

/// How a yarn is sold: `400 m in 100 g, balls of 50 g at 5.45`.
pub fn sold(put_up: PutUp, price: Option<Price>, units: LengthUnit, currency: &Currency) -> String {
    let decimals = if units == LengthUnit::Metric { 0 } else { 2 };
    let price = price.map_or_else(String::new, |price| format!(" at {}", currency.told(price)));
    format!(
        "{:.0} {} in 100 g, balls of {:.decimals$} {}{price}",
        units.from_metres(put_up.grist.get()),
        units.yarn_suffix(),
        units.from_grams(put_up.ball_g()),
        units.mass_suffix(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::yarn::{Blend, Fibre, YarnId};

    fn yarn(metres: f64) -> Yarn {
        let put_up = PutUp::new(metres, 100.0).unwrap();
        Yarn::new(YarnId(0), "Bare step", Blend::pure(Fibre::Wool), put_up)
    }

    #[test]
    fn a_typed_length_reaches_every_colour_of_which_nobody_said_anything() {
        let mut project = Project::default();
        assert_eq!(project.counted_as(), CountedAs::Unset);
        let own = PutUp::new(120.0, 50.0).unwrap();
        project.palette.slots_mut()[2].yarn.put_up = own;
        let before = project.clone();
        let undo = project.apply(project.describe_yarn(yarn(210.0)));
        project.apply(project.describe_yarn(yarn(220.0)));
        let metres = |project: &Project| -> Vec<f64> {
            project.palette.slots().iter().map(|slot| slot.yarn.put_up.grist.get()).collect()
        };
        assert_eq!(metres(&project), [220.0, 220.0, 120.0, 220.0]);
        assert_eq!(project.counted_as(), CountedAs::Others(vec![2]));
        let words = project.counted_as_words().unwrap();
        assert!(words.contains("C as 120 m in 100 g, balls of 50 g"), "{words}");
        let every = project.yarn_for_every_colour(&yarn(220.0));
        project.apply(every);
        assert_eq!(project.counted_as(), CountedAs::TheYarn);
        project.palette.slots_mut()[1].yarn.ball_price = Price::new(7.0).ok();
        assert_eq!(project.counted_as(), CountedAs::TheYarn, "dyes may differ in price");
        assert!(project.counted_as_words().unwrap().contains("prices differ"));
        project.apply(undo);
        assert_eq!(metres(&project), metres(&before));
    }

    #[test]
    fn a_price_nobody_told_takes_no_price_away() {
        let mut project = Project::default();
        project.apply(project.describe_yarn(yarn(210.0)));
        project.palette.slots_mut()[1].yarn.ball_price = Price::new(7.0).ok();
        project.palette.slots_mut()[2].yarn = SlotYarn {
            put_up: PutUp::new(300.0, 50.0).unwrap(),
            ball_price: Price::new(4.0).ok(),
            ..project.palette.slots()[2].yarn
        };
        assert!(!project.is_wholly(&yarn(210.0)));
        project.apply(project.yarn_for_every_colour(&yarn(210.0)));
        let prices: Vec<Option<f64>> =
            project.palette.slots().iter().map(|slot| slot.yarn.ball_price.map(Price::get)).collect();
        assert_eq!(prices, [None, Some(7.0), None, None], "the price of another ball is none of this one");
        assert!(project.is_wholly(&yarn(210.0)));
        let priced = Yarn { ball_price: Price::new(5.45).ok(), ..yarn(210.0) };
        project.apply(project.yarn_for_every_colour(&priced));
        assert!(project.palette.slots().iter().all(|slot| slot.yarn.ball_price == priced.ball_price));
    }

    #[test]
    fn a_name_reaches_no_colour() {
        let mut project = Project::default();
        project.material.yarn = Some(yarn(210.0));
        let renamed = Yarn { name: "Worn sill".to_owned(), ..yarn(210.0) };
        assert!(matches!(project.describe_yarn(renamed), Edit::Material(_)));
    }

    #[test]
    fn what_another_yarn_replaces_is_told_before_it_is_done() {
        let mut project = Project::default();
        project.material.yarn = Some(yarn(210.0));
        project.palette.slots_mut()[1].yarn.on_hand_m = 90.0;
        let words = project.replaced_by(&yarn(300.0));
        assert!(words.contains("B: what is on hand is of the yarn it replaces"), "{words}");
        assert!(words.contains("Replaces the yarn Bare step, which stays as the pattern's."), "{words}");
        assert!(words.contains("A, B, C, D as 400 m in 100 g"), "{words}");
        let before = project.clone();
        let undo = project.apply(project.knit_in_yarn(&yarn(300.0)));
        assert_eq!(project.counted_as(), CountedAs::TheYarn);
        assert_eq!(project.material.pattern_yarn, before.material.yarn);
        assert_eq!(project.palette.slots()[1].on_hand_m(), 0.0);
        project.apply(undo);
        assert_eq!(project, before);
        project.apply(project.yarn_for_every_colour(&yarn(210.0)));
        let dearer = Yarn { ball_price: Price::new(9.0).ok(), ..yarn(210.0) };
        project.apply(project.knit_in_yarn(&dearer));
        assert_eq!(project.palette.slots()[1].on_hand_m(), 90.0, "the same yarn at another price");
    }

    #[test]
    fn a_shade_of_another_yarn_stays_as_a_wish_and_one_of_the_same_stays() {
        use crate::yarn::Shade;
        let put_up = PutUp::new(300.0, 50.0).unwrap();
        let shade = |fibre: &str| Shade {
            put_up: Some(put_up),
            fibre: fibre.to_owned(),
            code: "218".to_owned(),
            ..Shade::new("Mallow", crate::colour::Colour::grey(60.0))
        };
        let mut project = Project::default();
        project.apply(project.knit_in([(0, shade("wool").into()), (1, shade("cotton").into())]));
        for slot in project.palette.slots_mut() {
            slot.set_on_hand(150.0);
        }
        let wool = Yarn::new(YarnId(0), "Bare step", Blend::pure(Fibre::Wool), put_up);
        let words = project.replaced_by(&wool);
        assert!(words.contains("B: the colours stay as wishes"), "{words}");
        project.apply(project.knit_in_yarn(&wool));
        let [of_wool, of_cotton] = [0, 1].map(|index| project.palette.slots()[index].clone());
        assert!(of_wool.shade().is_some() && of_wool.on_hand_m() == 150.0);
        assert!(of_cotton.chosen_shade.is_none() && of_cotton.on_hand_m() == 0.0);
        assert_eq!(of_cotton.name, "Mallow");
    }
}
