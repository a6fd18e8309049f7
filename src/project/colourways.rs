//! The chart in other colours: colourways taken up, two colours swapped, and every order of the colours tried.

use super::contrast::{LITTLE_CONTACT, weakest};
use super::edit::Edit;
use super::knit_in::deal_on_hand;
use super::model::{Colourway, Project};
use super::palette::{Palette, Slot};
use crate::chart::{Contact, Wrap, contacts};
use crate::colour::Colour;
use crate::colour::proportion::{PARTS, deviations, part_shares};
use crate::knit::pieces::{PieceError, PiecesYarn, WorkedPiece};
use crate::units::Price;

/// Most colours whose every order is tried: 7 have 5040.
pub const MOST_ORDERED: usize = 7;
/// Orders that are kept, the best of all.
pub const MOST_KEPT: usize = 24;

/// By what orders of colours are ranked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum BestBy {
    /// The weakest difference of L* between colours that touch, the largest first.
    #[default]
    Contrast,
    /// Nearness to the target shares.
    Proportion,
    /// Cost, the lowest first.
    Cost,
}

impl BestBy {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Contrast, Self::Proportion, Self::Cost];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Contrast => "Contrast",
            Self::Proportion => "Proportion",
            Self::Cost => "Cost",
        }
    }
}

/// What is to be known of the chart in some colours.
#[derive(Clone, Debug, PartialEq)]
pub struct WayFigures {
    /// The least difference of L* between colours that touch enough to matter, and the two; `None` when no two do.
    pub weakest: Option<(f64, usize, usize)>,
    /// Shares of main, supporting and accent in the repeat, in per cent of what is not ground.
    pub part_shares: [f64; PARTS],
    /// Percentage points off the target, all three together.
    pub off_target: f64,
    /// The price of all balls to buy for the worked size; `None` while one that is bought has no price.
    pub cost: Option<Price>,
}

/// The chart in some colours.
#[derive(Clone, Debug, PartialEq)]
pub struct WayTrial {
    /// What it is called.
    pub name: String,
    /// Its slots in the order of the palette.
    pub slots: Vec<Slot>,
    /// For an order of the colours: which slot's colour stands in each place.
    pub order: Option<Vec<usize>>,
    /// Its figures.
    pub figures: WayFigures,
}

impl WayTrial {
    /// The colours, one per slot.
    pub fn colours(&self) -> Vec<Colour> {
        self.slots.iter().map(|slot| slot.colour).collect()
    }
}

/// Orders of the colours, the best first.
#[derive(Clone, Debug, PartialEq)]
pub struct Orders {
    /// The best, at most [`MOST_KEPT`].
    pub best: Vec<WayTrial>,
    /// How many were tried: all there are of the colours that move.
    pub tried: usize,
    /// How many colours move: those of the repeat that are not locked, at most [`MOST_ORDERED`].
    pub moving: usize,
    /// Unlocked colours of the repeat that stay for want of room, those with the fewest stitches.
    pub left_out: usize,
}

/// What trials have in common.
struct Basis {
    contacts: Vec<Contact>,
    counts: Vec<u32>,
    worked: Vec<WorkedPiece>,
    yarn: PiecesYarn,
}

impl Basis {
    fn of(project: &Project) -> Result<Self, PieceError> {
        let repeat = project.chart.repeat();
        let wrap = Wrap { across: project.repeats_side_by_side(), up: project.plan.repeats_up > 1 };
        let worked = project.work_pieces(&project.pieces.size())?;
        let counts = project.chart.grid.copy(repeat).map_or([0; 64], |part| part.counts());
        Ok(Self {
            contacts: contacts(&project.chart.grid, repeat, project.plan.gauge, wrap),
            counts: counts[..project.palette.slots().len()].to_vec(),
            yarn: project.pieces_yarn(&worked, None),
            worked,
        })
    }

    fn shares(&self, project: &Project, slots: &[Slot]) -> ([f64; PARTS], f64) {
        let parts: Vec<Option<usize>> = slots.iter().map(|slot| slot.role.part()).collect();
        let shares = part_shares(&self.counts, &parts);
        let off = deviations(shares, project.palette.targets()).iter().map(|points| points.abs()).sum();
        (shares, off)
    }

    /// The figures of `trial`, which is the project with other slots.
    fn figures(&self, trial: &Project) -> WayFigures {
        let touching = super::contrast::touching(trial, &self.contacts);
        let (part_shares, off_target) = self.shares(trial, trial.palette.slots());
        WayFigures {
            weakest: weakest(&touching).map(|pair| (pair.value, pair.contact.a, pair.contact.b)),
            part_shares,
            off_target,
            cost: trial.pieces_yarn(&self.worked, None).cost(),
        }
    }
}

/// What an order of colours is ranked by, from light and price alone.
struct Ranks {
    lstar: Vec<f64>,
    /// Pairs that matter, with their part of all edges.
    pairs: Vec<(usize, usize, f64)>,
    /// Price of the balls when the colour of the second slot is knitted where the first one is.
    prices: Vec<Vec<Option<f64>>>,
}

impl Ranks {
    fn of(project: &Project, basis: &Basis) -> Self {
        let slots = project.palette.slots();
        let total: f64 = basis.contacts.iter().map(|contact| contact.cm).sum();
        let pair = |contact: &Contact| (contact.a, contact.b, contact.cm / total);
        let price = |place: usize, from: usize| {
            let need = basis.yarn.colours.get(place)?.metres().high;
            let yarn = slots[from].stock();
            let balls = yarn.put_up.balls((need - yarn.on_hand_m).max(0.0));
            if balls == 0 { Some(0.0) } else { yarn.ball_price.map(|price| price.of_balls(balls).get()) }
        };
        Self {
            lstar: slots.iter().map(|slot| slot.colour.lstar()).collect(),
            pairs: basis.contacts.iter().map(pair).filter(|(.., share)| *share >= LITTLE_CONTACT).collect(),
            prices: (0..slots.len())
                .map(|place| (0..slots.len()).map(|from| price(place, from)).collect())
                .collect(),
        }
    }

    /// The weakest contrast of an order, and all of them weighed by their edges.
    fn contrast(&self, order: &[usize]) -> (f64, f64) {
        let apart = |a: usize, b: usize| (self.lstar[order[a]] - self.lstar[order[b]]).abs();
        let values = self.pairs.iter().map(|(a, b, share)| (apart(*a, *b), share));
        values.fold((f64::INFINITY, 0.0), |(least, all), (value, share)| {
            (least.min(value), all + value * share)
        })
    }

    /// The price of an order; infinite while one is not known.
    fn cost(&self, order: &[usize]) -> f64 {
        let prices = order.iter().enumerate().map(|(place, from)| self.prices[place][*from]);
        prices.sum::<Option<f64>>().unwrap_or(f64::INFINITY)
    }
}

impl Colourway {
    /// A colourway that differs in its colours alone: names, roles and yarns are those of the palette.
    pub const fn of_colours(name: String, colours: Vec<Colour>) -> Self {
        Self { name, colours, whole: None }
    }

    /// A colourway of the whole palette: colours with their names, roles, shades and yarns.
    pub fn of_palette(name: String, palette: &Palette) -> Self {
        let colours = palette.slots().iter().map(|slot| slot.colour).collect();
        Self { name, colours, whole: Some(palette.slots().to_vec()) }
    }

    /// Takes in a new colour of the palette.
    pub(super) fn push(&mut self, slot: &Slot) {
        self.colours.push(slot.colour);
        if let Some(whole) = &mut self.whole {
            whole.push(slot.clone());
        }
    }

    /// Lets a colour of the palette go.
    pub(super) fn remove(&mut self, index: usize) {
        if index < self.colours.len() {
            self.colours.remove(index);
        }
        if let Some(whole) = self.whole.as_mut().filter(|whole| index < whole.len()) {
            whole.remove(index);
        }
    }

    /// After the colours of the design went to other places: place by place the slot that comes there. Shades alone
    /// go with the colours they stand for; a whole palette that was kept stays as it looked.
    pub(super) fn ordered(&self, order: &[usize]) -> Self {
        if self.whole.is_some() {
            return self.clone();
        }
        let colours = order.iter().map(|from| self.colours[*from]).collect();
        Self { name: self.name.clone(), colours, whole: None }
    }
}

impl Project {
    /// The palette's slots in a colourway. Of the whole palette only the signs on the chart and the locks stay; of
    /// colours alone a colour that is a shade on a card brings that shade's name, yarn and price, and what the program called
    /// any other follows it. What is on hand is of a
    /// shade, and goes with it.
    pub fn in_colourway(&self, way: &Colourway) -> Vec<Slot> {
        let mut slots = self.slots_of(way);
        deal_on_hand(self.palette.slots(), &mut slots);
        slots
    }

    fn slots_of(&self, way: &Colourway) -> Vec<Slot> {
        let slots = self.palette.slots();
        if let Some(whole) = &way.whole {
            let own =
                |(now, then): (&Slot, &Slot)| Slot { symbol: now.symbol, locked: now.locked, ..then.clone() };
            return slots.iter().zip(whole).map(own).collect();
        }
        let in_colour = |(slot, colour): (&Slot, &Colour)| {
            let mut slot = slot.clone();
            if slot.colour != *colour {
                let shades = self.shade_cards.iter().flat_map(|card| card.shades());
                match shades.into_iter().find(|shade| shade.colour == *colour) {
                    Some(shade) => slot.knit_in(std::sync::Arc::new(shade.clone())),
                    None => slot.recolour(*colour),
                }
            }
            slot
        };
        slots.iter().zip(&way.colours).map(in_colour).collect()
    }

    /// The edit that takes a colourway up.
    pub fn take_up(&self, way: &Colourway) -> Edit {
        self.with_slots(self.in_colourway(way))
    }

    /// The edit that puts slots in the place of the palette's; the scheme would pull the colours about again at the
    /// next drag, so it rests.
    fn with_slots(&self, slots: Vec<Slot>) -> Edit {
        let mut palette = self.palette.clone();
        palette.scheme = None;
        for (slot, new) in palette.slots_mut().iter_mut().zip(slots) {
            *slot = new;
        }
        Edit::Palette(Box::new(palette))
    }

    /// The edit that gives the colours to other places of the chart: place by place the slot whose colour comes there.
    /// What makes up a colour (name, role, sign, yarn, its shade in colourways of shades) moves with it. `None` when it
    /// is no order of the palette, or nothing would move.
    pub fn in_order(&self, order: &[usize]) -> Option<Edit> {
        let slots = self.palette.slots();
        let mut sorted = order.to_vec();
        sorted.sort_unstable();
        if !sorted.iter().copied().eq(0..slots.len()) || order.iter().copied().eq(0..slots.len()) {
            return None;
        }
        let mut palette = self.palette.clone();
        for (slot, from) in palette.slots_mut().iter_mut().zip(order) {
            *slot = slots[*from].clone();
        }
        let ways = self.colourways.iter().map(|way| way.ordered(order)).collect();
        Some(Edit::Several(vec![Edit::Palette(Box::new(palette)), Edit::Colourways(ways)]))
    }

    /// The edit that swaps two colours on the chart; `None` when there are not two.
    pub fn swapped(&self, a: usize, b: usize) -> Option<Edit> {
        let mut order: Vec<usize> = (0..self.palette.slots().len()).collect();
        if a.max(b) >= order.len() {
            return None;
        }
        order.swap(a, b);
        self.in_order(&order)
    }

    /// The chart as it is and in every colourway, with the figures of each.
    ///
    /// # Errors
    /// [`PieceError`] when the pieces cannot be worked.
    pub fn colourway_trials(&self) -> Result<Vec<WayTrial>, PieceError> {
        let basis = Basis::of(self)?;
        let mut trial = self.clone();
        let mut try_slots = |name: &str, slots: Vec<Slot>| {
            trial.palette.slots_mut().clone_from_slice(&slots);
            WayTrial { name: name.to_owned(), slots, order: None, figures: basis.figures(&trial) }
        };
        let now = try_slots("As it is now", self.palette.slots().to_vec());
        let ways = self.colourways.iter().map(|way| try_slots(&way.name, self.in_colourway(way)));
        Ok(std::iter::once(now).chain(ways.collect::<Vec<_>>()).collect())
    }

    /// Every order of the colours of the repeat that are not locked, ranked. All are tried, of the [`MOST_ORDERED`] with the
    /// most stitches; equal ones stand in the order of the palette.
    ///
    /// # Errors
    /// [`PieceError`] when the pieces cannot be worked.
    pub fn orders(&self, best_by: BestBy) -> Result<Orders, PieceError> {
        let (basis, slots) = (Basis::of(self)?, self.palette.slots());
        let mut free: Vec<usize> =
            (0..slots.len()).filter(|slot| basis.counts[*slot] > 0 && !slots[*slot].locked).collect();
        free.sort_by_key(|slot| std::cmp::Reverse(basis.counts[*slot]));
        let left_out = free.len().saturating_sub(MOST_ORDERED);
        free.truncate(MOST_ORDERED);
        free.sort_unstable();
        let ranks = Ranks::of(self, &basis);
        let mut ranked: Vec<([f64; 3], Vec<usize>)> = Vec::new();
        each_order(&free, &mut |places| {
            let mut order: Vec<usize> = (0..slots.len()).collect();
            for (place, from) in free.iter().zip(places) {
                order[*place] = *from;
            }
            let contrast = ranks.contrast(&order);
            let (least, all) = (-contrast.0, -contrast.1);
            let arranged: Vec<Slot> = match best_by {
                BestBy::Proportion => order.iter().map(|from| slots[*from].clone()).collect(),
                BestBy::Contrast | BestBy::Cost => Vec::new(),
            };
            let rank = match best_by {
                BestBy::Contrast => [least, all, 0.0],
                BestBy::Proportion => [basis.shares(self, &arranged).1, least, all],
                BestBy::Cost => [ranks.cost(&order), least, all],
            };
            ranked.push((rank, order));
        });
        let tried = ranked.len();
        let by = |a: &[f64; 3], b: &[f64; 3]| {
            let pairs = a.iter().zip(b).map(|(a, b)| a.total_cmp(b));
            pairs.fold(std::cmp::Ordering::Equal, std::cmp::Ordering::then)
        };
        ranked.sort_by(|a, b| by(&a.0, &b.0).then_with(|| a.1.cmp(&b.1)));
        ranked.truncate(MOST_KEPT);
        let mut trial = self.clone();
        let best = ranked.into_iter().enumerate().map(|(place, (_, order))| {
            let arranged: Vec<Slot> = order.iter().map(|from| slots[*from].clone()).collect();
            trial.palette.slots_mut().clone_from_slice(&arranged);
            let figures = basis.figures(&trial);
            WayTrial { name: format!("Order {}", place + 1), slots: arranged, order: Some(order), figures }
        });
        Ok(Orders { best: best.collect(), tried, moving: free.len(), left_out })
    }
}

/// Calls `each` with every order of the items, in lexicographic order of their places.
fn each_order(items: &[usize], each: &mut impl FnMut(&[usize])) {
    fn deal(items: &[usize], used: &mut Vec<bool>, dealt: &mut Vec<usize>, each: &mut impl FnMut(&[usize])) {
        if dealt.len() == items.len() {
            each(dealt);
            return;
        }
        for place in 0..items.len() {
            if !used[place] {
                used[place] = true;
                dealt.push(items[place]);
                deal(items, used, dealt, each);
                dealt.pop();
                used[place] = false;
            }
        }
    }
    deal(items, &mut vec![false; items.len()], &mut Vec::new(), each);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::Role;
    use crate::project::findings::tests::drawn;

    fn demo() -> Project {
        drawn(&["0001", "3333", "0012", "2203"])
    }

    #[test]
    fn every_order_is_tried_once() {
        let mut seen = std::collections::BTreeSet::new();
        each_order(&[3, 5, 7, 9], &mut |order| assert!(seen.insert(order.to_vec())));
        assert_eq!(seen.len(), 24);
        let mut none = 0;
        each_order(&[], &mut |_| none += 1);
        assert_eq!(none, 1);
    }

    #[test]
    fn the_best_order_is_the_best_of_all_by_its_own_figures() {
        let mut project = demo();
        for slot in project.palette.slots_mut() {
            slot.locked = false;
        }
        for best_by in BestBy::ALL {
            let orders = project.orders(best_by).unwrap();
            assert_eq!((orders.left_out, orders.tried), (0, (1..=orders.moving).product()));
            // Each of all orders, by applying it and looking.
            let mut naive: Vec<f64> = Vec::new();
            each_order(&(0..project.palette.slots().len()).collect::<Vec<_>>(), &mut |order| {
                let mut other = project.clone();
                if let Some(edit) = project.in_order(order) {
                    other.apply(edit);
                }
                let figures = Basis::of(&other).unwrap().figures(&other);
                naive.push(match best_by {
                    BestBy::Contrast => -figures.weakest.map_or(f64::INFINITY, |weakest| weakest.0),
                    BestBy::Proportion => figures.off_target,
                    BestBy::Cost => figures.cost.map_or(f64::INFINITY, Price::get),
                });
            });
            let first = &orders.best[0].figures;
            let found = match best_by {
                BestBy::Contrast => -first.weakest.map_or(f64::INFINITY, |weakest| weakest.0),
                BestBy::Proportion => first.off_target,
                BestBy::Cost => first.cost.map_or(f64::INFINITY, Price::get),
            };
            let least = naive.iter().copied().fold(f64::INFINITY, f64::min);
            assert!((found - least).abs() < 1e-9 || found == least, "{best_by:?}: {found} {least}");
        }
    }

    #[test]
    fn locked_colours_stay_where_they_are() {
        let mut project = demo();
        project.palette.slots_mut()[0].locked = true;
        let orders = project.orders(BestBy::Contrast).unwrap();
        assert!(orders.best.iter().all(|way| way.order.as_ref().unwrap()[0] == 0));
    }

    #[test]
    fn two_colours_swap_and_swap_back() {
        let mut project = demo();
        let shades = project.palette.slots().iter().map(|slot| slot.colour).collect();
        project.colourways.push(Colourway::of_colours("Shades".to_owned(), shades));
        project.colourways.push(Colourway::of_palette("Whole".to_owned(), &project.palette));
        let before = project.clone();
        let undo = project.apply(before.swapped(0, 2).unwrap());
        assert_eq!(project.palette.slots()[0], before.palette.slots()[2]);
        let [.., shades, whole] = project.colourways.as_slice() else { panic!("two were kept") };
        assert_eq!(shades.colours[0], before.palette.slots()[2].colour);
        assert_eq!(whole, before.colourways.last().unwrap(), "what was kept stays to be compared with");
        assert_eq!(project.check(), Ok(()));
        project.apply(undo);
        assert_eq!(project, before);
        project.apply(before.swapped(0, 2).unwrap());
        let back = project.swapped(0, 2).unwrap();
        project.apply(back);
        assert_eq!(project, before);
        assert_eq!((project.swapped(1, 1), project.swapped(0, 99)), (None, None));
    }

    #[test]
    fn a_colourway_of_colours_renames_what_speaks_of_the_old_and_one_of_the_palette_brings_its_own() {
        let mut project = demo();
        let mut other = project.palette.clone();
        other.slots_mut()[1].name = "Wet slate".to_owned();
        other.slots_mut()[1].colour = Colour::from_srgb8([20, 90, 60]);
        other.slots_mut()[1].role = Role::Accent;
        let colours = other.slots().iter().map(|slot| slot.colour).collect();
        let shades = Colourway::of_colours("Shades".to_owned(), colours);
        let whole = Colourway::of_palette("Whole".to_owned(), &other);
        let now = project.palette.slots()[1].clone();
        let in_shades = project.in_colourway(&shades)[1].clone();
        assert_eq!(
            (in_shades.name.as_str(), in_shades.role),
            ("Dark green", now.role),
            "no longer {}",
            now.name
        );
        project.palette.slots_mut()[1].name = "Sea wall".to_owned();
        assert_eq!(project.in_colourway(&shades)[1].name, "Sea wall", "what the knitter called it stays");
        project.palette.slots_mut()[1].name.clone_from(&now.name);
        let in_whole = project.in_colourway(&whole)[1].clone();
        assert_eq!(
            (in_whole.name.as_str(), in_whole.role, in_whole.symbol),
            ("Wet slate", Role::Accent, now.symbol)
        );
        assert_eq!(in_shades.colour, in_whole.colour);
        project.colourways = vec![shades, whole];
        let trials = project.colourway_trials().unwrap();
        assert_eq!(
            trials.iter().map(|way| way.name.as_str()).collect::<Vec<_>>(),
            ["As it is now", "Shades", "Whole"]
        );
        assert_ne!(trials[1].figures.part_shares, trials[2].figures.part_shares);
        let undo = project.apply(project.take_up(&project.colourways[1].clone()));
        assert_eq!(project.palette.slots()[1].name, "Wet slate");
        project.apply(undo);
        assert_eq!(project.palette.slots()[1], now);
    }

    #[test]
    fn what_is_on_hand_goes_with_its_shade_through_colourways() {
        use crate::yarn::{PutUp, Shade, ShadeCard};
        let shade = |name: &str, grey| {
            let put_up = PutUp::new(250.0, 50.0).ok();
            std::sync::Arc::new(Shade { put_up, ..Shade::new(name, Colour::grey(grey)) })
        };
        let (gull, slate) = (shade("Gull", 70.0), shade("Slate", 40.0));
        let mut project = demo();
        project.apply(project.knit_in([(0, gull.clone()), (3, slate.clone())]));
        let cards = [&gull, &slate].map(|shade| Shade::clone(shade)).to_vec();
        project.shade_cards = vec![ShadeCard::new("Grey", cards).unwrap().into()];
        let whole = Colourway::of_palette("Kept with nothing on hand".to_owned(), &project.palette);
        project.palette.slots_mut()[0].set_on_hand(375.0);
        let on_hand =
            |way: &Colourway| -> Vec<f64> { project.in_colourway(way).iter().map(Slot::on_hand_m).collect() };
        let coloured = |change: fn(&mut Vec<Colour>)| {
            let mut colours = project.palette.slots().iter().map(|slot| slot.colour).collect();
            change(&mut colours);
            Colourway::of_colours("Colours alone".to_owned(), colours)
        };
        let (as_it_is, other) = (coloured(|_| {}), coloured(|colours| colours[0] = Colour::grey(60.0)));
        let swapped = coloured(|colours| colours.swap(0, 3));
        assert_eq!(on_hand(&as_it_is), [375.0, 0.0, 0.0, 0.0]);
        assert_eq!(on_hand(&other), [0.0; 4]);
        assert_eq!(on_hand(&swapped), [0.0, 0.0, 0.0, 375.0]);
        let name = |way: &Colourway| project.in_colourway(way)[0].name.clone();
        assert_eq!(
            [name(&as_it_is), name(&other), name(&swapped)],
            ["Gull", "Light grey", "Slate"].map(str::to_owned)
        );
        assert_eq!(on_hand(&whole), [375.0, 0.0, 0.0, 0.0], "the palette knows better than what was kept");
        // What the figures of a colourway cost is what taking it up costs.
        let before = project.clone();
        let balls = |project: &Project| -> Vec<u32> {
            project.knitted_yarn().yarn.colours.iter().map(|colour| colour.balls).collect()
        };
        project.colourways = vec![as_it_is.clone(), other.clone()];
        project.apply(project.take_up(&other));
        assert!(balls(&project)[0] > balls(&before)[0], "{:?}", balls(&project));
        project.apply(project.take_up(&as_it_is));
        assert_eq!(balls(&project), balls(&before));
        assert_eq!(project.palette.slots()[0].on_hand_m(), 375.0);
    }
}
