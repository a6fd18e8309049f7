//! The same piece in one yarn or weight class and in another: what each comes to.

use super::model::Project;
use super::shopping::SizeFigures;
use crate::chart::{BasicShape, Cell, Grid, Motif, motif_fit};
use crate::knit::pieces::{PiecesYarn, Ways, WorkedPiece};
use crate::knit::{AtGauge, ClassMeaning, Cover, CoverVerdict, Gauge, motif_at_gauge, usual_gauge};
use crate::units::{Cm, Price};
use crate::yarn::{Blend, Fibre, KnownClass, PutUp, WeightClass, Yarn, YarnId};

/// What the piece is knitted in.
#[derive(Clone, Debug, PartialEq)]
pub enum Side {
    /// As the project stands: its gauge, and each colour as it is counted in Shopping.
    Project,
    /// Another yarn, knitted as tightly.
    Yarn(Box<Yarn>),
    /// A weight class at the middle of its published gauge and its traded metres.
    Class(WeightClass),
}

/// What a piece comes to in one yarn or class.
#[derive(Clone, Debug, PartialEq)]
pub struct SideFigures {
    /// The yarn or class.
    pub name: String,
    /// The yarn the figures are for; that of a class is a typical one, and sold nowhere.
    pub yarn: Yarn,
    /// Washed gauge.
    pub gauge: Gauge,
    /// Where the gauge comes from, a sentence.
    pub gauge_from: String,
    /// The size.
    pub size: String,
    /// Stitches of the whole piece.
    pub stitches: u64,
    /// Hours at the knitter's pace, before sewing up and weaving in.
    pub hours: f64,
    /// The yarn of all pieces, with the balls and the cost of all of it: nothing on hand is taken off, on either side.
    pub sum: PiecesYarn,
    /// The same with what is on hand of this yarn taken off: what is still to be bought, and its cost.
    pub to_buy: PiecesYarn,
    /// Whether any of this yarn is on hand; what is on hand is of the project's yarn.
    pub on_hand: bool,
    /// What the price rests on, a sentence; empty where there is none.
    pub price_from: String,
    /// The weight class.
    pub class: KnownClass,
    /// How the fabric hangs and how warm it is: common practice, no published source.
    pub meaning: ClassMeaning,
    /// How the yarn fills plain knit at this gauge.
    pub cover: CoverVerdict,
    /// What a square metre of it weighs, plain, in grams.
    pub grams_per_m2: f64,
    /// The smallest square that can be told for one: cm across and stitches; `None` when there is none.
    pub smallest_square: Option<(f64, u32)>,
    /// The smallest circle, likewise.
    pub smallest_circle: Option<(f64, u32)>,
    /// The chart's repeat at its size in cm, in the stitches of this gauge and the palette's slots; why
    /// there is none.
    pub repeat: Result<AtGauge, String>,
}

/// The price of a class: grams cost what they cost elsewhere.
struct ClassPrice {
    per_100_g: f64,
    from: String,
}

impl Project {
    /// What is held side by side until something else is chosen: the project and the class one thicker.
    pub fn first_sides(&self) -> [Side; 2] {
        let own = self.material.yarn.as_ref().map_or_else(
            || WeightClass::for_grist(self.palette.slots()[0].yarn.put_up.grist).best,
            |yarn| yarn.weight_class().class(),
        );
        let thicker = WeightClass::from_number(own.number() + 1).unwrap_or(WeightClass::Light);
        [Side::Project, Side::Class(thicker)]
    }

    /// The worked size in each of these, in their order.
    ///
    /// The piece stays what it is in cm, and its colours lie where they lie: stitches go with both gauges,
    /// floats with the rows, edges with the stitches (geometry). The yarn is counted by the engine that counts
    /// it everywhere. `kept` are yarns beside those of the cards that tell what a class costs. Some ten
    /// milliseconds a side for large charts: work it out beside the window's thread.
    ///
    /// # Errors
    /// Words naming the piece and band that cannot be worked.
    pub fn side_by_side(&self, sides: &[Side], kept: &[Yarn]) -> Result<Vec<SideFigures>, String> {
        let size = self.pieces.size();
        let worked = self.work_pieces(&size).map_err(|error| error.to_string())?;
        let of = |side: &Side| self.side(side, kept, &worked, &size.name);
        sides.iter().map(of).collect()
    }

    fn side(
        &self,
        side: &Side,
        kept: &[Yarn],
        worked: &[WorkedPiece],
        size: &str,
    ) -> Result<SideFigures, String> {
        let own = self.own_or_typical_yarn();
        let planned = self.plan.gauge;
        let (yarn, gauge, gauge_from, price_from) = match side {
            Side::Project => {
                let price = if self.material.yarn.is_some() { "Your own price." } else { "" };
                (own, planned, self.gauge_words(), price.to_owned())
            }
            Side::Yarn(yarn) => (
                Yarn::clone(yarn),
                self.gauge_to_expect(&own, yarn),
                "Knitted as tightly as your yarn: a first guess by the thickness of the strands.".to_owned(),
                yarn.ball_price.map_or_else(String::new, |_| "The price you kept with it.".to_owned()),
            ),
            Side::Class(class) => {
                let price = self.class_price(*class, kept);
                let yarn = class_yarn(*class, &own, price.as_ref().map(|price| price.per_100_g))
                    .ok_or("The class has no typical yarn")?;
                let gauge =
                    usual_gauge(*class, planned.cell_aspect()).ok_or("The class has no published gauge")?;
                let from = "The middle of the published gauge (Craft Yarn Council), rows in the proportion of yours.";
                (yarn, gauge, from.to_owned(), price.map_or_else(String::new, |price| price.from))
            }
        };
        let (counted, hours, stitches) = self.counted_in(side, &yarn, gauge, worked);
        let sum = counted.with_none_on_hand();
        // What is on hand is yarn of the project's.
        let is_own = self.is_knitted_in(side);
        let on_hand = is_own && self.palette.slots().iter().any(|slot| slot.on_hand_m() > 0.0);
        let to_buy = if is_own { counted } else { sum.clone() };
        let smallest = |shape| {
            // The smallest size does not depend on the size that is asked for.
            let found = motif_fit(shape, Cm::clamped(5.0), gauge).ok()?.smallest?;
            Some((found.width_cm, found.stitches))
        };
        let cover = Cover::new(yarn.strand(), gauge, None);
        Ok(SideFigures {
            name: yarn.name.clone(),
            gauge,
            gauge_from,
            size: size.to_owned(),
            stitches,
            hours,
            sum,
            to_buy,
            on_hand,
            price_from,
            class: yarn.weight_class(),
            meaning: ClassMeaning::of(yarn.weight_class().class()),
            cover: cover.verdict,
            grams_per_m2: cover.grams_per_m2,
            smallest_square: smallest(BasicShape::Square),
            smallest_circle: smallest(BasicShape::Circle),
            repeat: self.repeat_at(gauge),
            yarn,
        })
    }

    /// Yarn, hours and stitches of the counted pieces in a side's yarn.
    fn counted_in(
        &self,
        side: &Side,
        yarn: &Yarn,
        gauge: Gauge,
        worked: &[WorkedPiece],
    ) -> (PiecesYarn, f64, u64) {
        if *side == Side::Project {
            let SizeFigures { yarn, hours } = SizeFigures::of(self, worked);
            let stitches = yarn.colours.iter().map(|colour| colour.stitches).sum();
            return (yarn, hours, stitches);
        }
        let mut other = self.clone();
        other.apply(other.knit_in_yarn(yarn));
        other.plan.gauge = gauge;
        let planned = self.plan.gauge;
        let sum = other.pieces_yarn_counted_at(worked, planned);
        let times = gauge.stitches.get() * gauge.rows.get() / (planned.stitches.get() * planned.rows.get());
        let ways: Ways = worked.iter().map(|piece| Ways::of(piece, self.pattern())).sum();
        let hours = self.pieces.pace.hours(ways.scaled(times));
        let stitches = sum.colours.iter().map(|colour| colour.stitches).sum();
        (sum, hours, stitches)
    }

    /// Whether a side is the yarn that the project is knitted in: as it stands, or kept under the same name.
    fn is_knitted_in(&self, side: &Side) -> bool {
        match side {
            Side::Project => true,
            Side::Yarn(yarn) => self.material.yarn.as_ref().is_some_and(|own| {
                (&own.name, own.put_up, &own.blend) == (&yarn.name, yarn.put_up, &yarn.blend)
            }),
            Side::Class(_) => false,
        }
    }

    /// The yarn of the project, or a typical one where none is described.
    fn own_or_typical_yarn(&self) -> Yarn {
        self.material.yarn.clone().unwrap_or_else(|| self.typical_yarn("The yarn of the project"))
    }

    /// A yarn of the chosen fibre, put up and priced as the first colour is, with the label that the cards give it.
    pub fn typical_yarn(&self, name: &str) -> Yarn {
        let blend = self.material.blend.clone().unwrap_or_else(|| Blend::pure(Fibre::Wool));
        let sold = self.palette.slots().first().map(|slot| slot.yarn).unwrap_or_default();
        let care = self.label_of_cards().unwrap_or_default();
        Yarn { ball_price: sold.ball_price, care, ..Yarn::new(YarnId(0), name, blend, sold.put_up) }
    }

    /// What 100 g of a class cost: the middle of the priced yarns of that class on the cards and among the
    /// kept ones; else what 100 g of the project's cost. Our judgement: a fibre is paid by its weight.
    fn class_price(&self, class: WeightClass, kept: &[Yarn]) -> Option<ClassPrice> {
        let per_100_g = |yarn: &Yarn| Some(yarn.ball_price?.get() * 100.0 / yarn.put_up.ball_g());
        let on_cards = self.yarns_of_cards();
        let yarns = on_cards.iter().map(|found| &found.yarn).chain(kept);
        let mut prices: Vec<f64> =
            yarns.filter(|yarn| yarn.weight_class().class() == class).filter_map(per_100_g).collect();
        if prices.is_empty() {
            let own = self.own_or_typical_yarn();
            let per_100_g = per_100_g(&own)?;
            let from = "No yarn of this class has a price on your cards: as if it cost by weight what your yarn does \
                        (our judgement).";
            return Some(ClassPrice { per_100_g, from: from.to_owned() });
        }
        prices.sort_by(f64::total_cmp);
        let middle = f64::midpoint(prices[(prices.len() - 1) / 2], prices[prices.len() / 2]);
        let from = match prices.len() {
            1 => "The price of the one yarn of this class on your cards and list.".to_owned(),
            count => format!("The middle price of {count} yarns of this class on your cards and list."),
        };
        Some(ClassPrice { per_100_g: middle, from })
    }

    /// The repeat as wide as it is now in another gauge, in slots of the palette.
    fn repeat_at(&self, gauge: Gauge) -> Result<AtGauge, String> {
        let (grid, region) = (&self.chart.grid, self.chart.repeat());
        let ground = self.background_slot();
        let motif = Motif::of_region("The repeat", grid, region, Cell::slot(ground as u8))
            .map_err(|error| error.to_string())?;
        let mut at = motif_at_gauge(&motif, self.plan.gauge, gauge);
        // The inks of a motif are the slots of its stitches in the order of the palette.
        let used =
            region.points().filter_map(|p| grid.get(p)?.index()).fold(0_u64, |all, slot| all | 1 << slot);
        let inks: Vec<usize> =
            (0..self.palette.slots().len()).filter(|slot| *slot != ground && used >> slot & 1 == 1).collect();
        let in_slots = |inked: &Grid| {
            let cell = |cell: &Cell| {
                let slot = cell.index().and_then(|ink| inks.get(ink)).copied().unwrap_or(ground);
                Cell::slot(slot.min(Cell::MAX_SLOTS - 1) as u8)
            };
            Grid::from_cells(inked.width(), inked.height(), inked.cells().iter().map(cell).collect()).ok()
        };
        at.stitches = at.stitches.as_ref().and_then(in_slots);
        Ok(at)
    }
}

/// A typical yarn of a class, of the fibre and in balls of the project's; `None` when it cannot be.
fn class_yarn(class: WeightClass, own: &Yarn, per_100_g: Option<f64>) -> Option<Yarn> {
    let put_up = PutUp::new(class.typical_grist(), own.put_up.ball_g()).ok()?;
    let name = format!("Weight {}, {}", class.number(), class.name());
    Some(Yarn {
        ball_price: per_100_g.and_then(|price| Price::new(price * put_up.ball_g() / 100.0).ok()),
        class_on_band: Some(class),
        spin: own.spin,
        ..Yarn::new(YarnId(0), name, own.blend.clone(), put_up)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knit::pieces::{Band, Fabric, Length, Piece, Width};
    use crate::knit::{Construction, Technique};
    use crate::project::findings::tests::drawn;
    use crate::project::shopping::Shopping;

    fn wool(metres: f64) -> Yarn {
        let put_up = PutUp::new(metres, 50.0).unwrap();
        Yarn::new(YarnId(0), "Bare step", Blend::pure(Fibre::Wool), put_up)
    }

    /// A flat piece of 60 x 60 cm in one colour.
    fn blanket() -> Project {
        let mut project = drawn(&["0133301333", "3333333333", "0003330003"]);
        let band = Band::new("Plain", Fabric::Plain, Length::Cm(60.0), 0).from(Width::Cm(60.0));
        project.pieces.pieces = vec![Piece::new("Blanket", Construction::Flat, vec![band])];
        project.plan.technique = Technique::Stripes;
        project.plan.swatch_cm = 0.0;
        project.apply(project.knit_in_yarn(&Yarn { ball_price: Price::new(5.0).ok(), ..wool(400.0) }));
        project.plan.gauge = Gauge::new(28.0, 36.0).unwrap();
        project
    }

    #[test]
    fn the_project_s_side_is_what_shopping_says() {
        let project = blanket();
        let sides = project.side_by_side(&[Side::Project], &[]).unwrap();
        let shopping = Shopping::of(&project, None, None).unwrap();
        assert_eq!(sides[0].to_buy, shopping.yarn);
        assert_eq!(sides[0].gauge, project.plan.gauge);
        assert_eq!(sides[0].gauge_from, project.gauge_words());
    }

    #[test]
    fn a_kept_yarn_that_the_project_is_knitted_in_is_on_hand_on_its_side_too() {
        let mut project = blanket();
        let own = wool(400.0);
        project.material.yarn = Some(own.clone());
        project.palette.slots_mut()[0].yarn.on_hand_m = 300.0;
        let found = project.side_by_side(&[Side::Project, Side::Yarn(Box::new(own))], &[]).unwrap();
        assert!(found[0].on_hand && found[1].on_hand);
        assert_eq!(found[0].to_buy.balls(), found[1].to_buy.balls());
        assert!(found[0].to_buy.balls() < found[0].sum.balls());
    }

    #[test]
    fn another_gauge_comes_to_what_the_piece_comes_to_when_it_is_planned_so() {
        let project = blanket();
        for class in [WeightClass::SuperFine, WeightClass::Medium, WeightClass::SuperBulky] {
            let side = project.side_by_side(&[Side::Class(class)], &[]).unwrap().remove(0);
            let mut planned = project.clone();
            planned.apply(planned.knit_in_yarn(&side.yarn));
            planned.plan.gauge = side.gauge;
            let worked = planned.work_pieces(&planned.pieces.size()).unwrap();
            let there = SizeFigures::of(&planned, &worked);
            let near = |a: f64, b: f64| (a / b - 1.0).abs() < 0.02;
            let counted: u64 = there.yarn.colours.iter().map(|colour| colour.stitches).sum();
            assert!(near(side.stitches as f64, counted as f64), "{} {counted}", side.stitches);
            assert!(near(side.sum.metres().likely, there.yarn.metres().likely), "{class:?}");
            assert!(near(side.sum.grams().high, there.yarn.grams().high), "{class:?}");
            assert!(near(side.hours, there.hours), "{class:?}");
        }
    }

    #[test]
    fn a_thicker_class_takes_less_time_and_more_grams_and_shows_less() {
        let sides: Vec<Side> = WeightClass::ALL.into_iter().map(Side::Class).collect();
        let found = blanket().side_by_side(&sides, &[]).unwrap();
        for pair in found.windows(2) {
            assert!(pair[0].hours > pair[1].hours && pair[0].stitches > pair[1].stitches);
            assert!(pair[0].sum.grams().likely < pair[1].sum.grams().likely);
            assert!(pair[0].smallest_square.unwrap().0 < pair[1].smallest_square.unwrap().0);
            assert!(pair[0].smallest_circle.unwrap().0 < pair[1].smallest_circle.unwrap().0);
            // By weight alike, so that what weighs more costs more, whole balls apart.
            assert!(pair[0].sum.cost() <= pair[1].sum.cost());
        }
    }

    #[test]
    fn a_class_costs_what_yarns_of_it_cost_else_by_weight_what_the_project_s_does() {
        let project = blanket();
        let bulky = [Side::Class(WeightClass::Bulky)];
        let by_weight = project.side_by_side(&bulky, &[]).unwrap().remove(0);
        assert_eq!(by_weight.yarn.ball_price, Price::new(5.0).ok());
        assert!(by_weight.price_from.contains("our judgement"));
        let mut kept = vec![wool(110.0), wool(105.0), wool(400.0)];
        for (yarn, price) in kept.iter_mut().zip([8.0, 10.0, 99.0]) {
            yarn.ball_price = Price::new(price).ok();
        }
        let priced = project.side_by_side(&bulky, &kept).unwrap().remove(0);
        assert_eq!(priced.yarn.ball_price, Price::new(9.0).ok());
        assert!(priced.price_from.contains("2 yarns"), "{}", priced.price_from);
    }

    #[test]
    fn what_is_on_hand_is_the_project_s_yarn_and_the_repeat_keeps_its_slots() {
        let mut project = blanket();
        project.palette.slots_mut()[0].yarn.on_hand_m = 1e6;
        let kept = Side::Yarn(Box::new(Yarn { name: "Worn sill".to_owned(), ..wool(400.0) }));
        let found = project.side_by_side(&[Side::Project, kept], &[]).unwrap();
        assert_eq!(found[0].to_buy.balls(), 0);
        assert!(found[0].on_hand && !found[1].on_hand);
        assert!(found[1].to_buy.balls() > 0);
        // The same yarn on both sides comes to the same, whatever is owned of it.
        assert!(found[0].sum.balls() > 0);
        assert_eq!(found[0].sum.balls(), found[1].sum.balls());
        assert_eq!(found[1].sum.balls(), found[1].to_buy.balls());
        assert_eq!(found[0].gauge, found[1].gauge, "as thick, so at the same gauge");
        let stitches = found[0].repeat.as_ref().unwrap().stitches.clone().unwrap();
        assert_eq!(stitches, project.chart.grid);
    }
}
