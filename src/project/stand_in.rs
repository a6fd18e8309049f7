//! Which yarns of the project's shade cards may stand in for its own, and what that buys.

use super::model::Project;
use crate::knit::pieces::Size;
use crate::knit::{Gauge, Needle};
use crate::units::{Price, RowsPer10Cm, StitchesPer10Cm};
use crate::yarn::{
    FibreWanted, PutUp, Shade, Substitution, SubstitutionPoint, Variation, Yarn, YarnId, YarnWanted,
    rank_substitutes,
};

/// Most different yarns that are compared.
pub const MOST_STAND_INS: usize = 400;

/// A yarn of a shade card held against the project's.
#[derive(Clone, Debug, PartialEq)]
pub struct StandIn {
    /// The yarn, under the name of its fibre and put-up.
    pub yarn: Yarn,
    /// The card it was found on.
    pub card: String,
    /// Shades it comes in there.
    pub shades: usize,
    /// The comparison, each colour of the piece in whole balls.
    pub compared: Substitution,
    /// Whole balls of the project's yarn, colour by colour.
    pub balls_of_own: u32,
    /// Whole balls of this one, colour by colour.
    pub balls: u32,
    /// What those cost at the price of its dearest shade, when prices are known.
    pub cost: Option<Price>,
    /// The gauge to expect when it is knitted as tightly as the yarn it stands in for.
    pub gauge: Gauge,
    /// The needle to try first, and the one after that, thinnest apart by what the strand lets expect.
    pub needles: Vec<Needle>,
    /// Balls of every size, colour by colour, in the order of the sizes.
    pub sizes: Vec<SizeBalls>,
}

/// What one size takes.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeBalls {
    /// The size.
    pub name: String,
    /// Balls of the yarn that is replaced, colour by colour.
    pub own: Vec<u32>,
    /// Balls of the stand-in, colour by colour.
    pub balls: Vec<u32>,
    /// What those cost, when the price is known.
    pub cost: Option<Price>,
}

/// Difference of the gauge to expect from which a second needle is tried (our judgement: half of what one
/// needle size changes).
const NEEDLE_STEP: f64 = 0.03;

/// What the list of the person's own yarns is called where a card would be named.
pub const KEPT: &str = "Your yarns";

/// A yarn of a card and how many shades it comes in there.
pub(super) struct OnCard<'a> {
    card: &'a str,
    shades: usize,
    pub(super) yarn: Yarn,
}

/// Two shades are one yarn when line, fibre, class, put-up, spin and care are the same; dyes may differ in price.
fn same_yarn(a: &Yarn, b: &Yarn) -> bool {
    let made = |yarn: &Yarn| (yarn.class_on_band, yarn.put_up, yarn.spin, yarn.wraps_per_inch);
    a.name == b.name && a.blend == b.blend && made(a) == made(b) && a.care == b.care
}

/// The yarn of a shade, named by its line or, without one, by fibre and weight.
pub(super) fn yarn_of(shade: &Shade) -> Option<Yarn> {
    let yarn = Yarn::of_shade(YarnId(0), shade)?;
    let line = shade.make.line.trim();
    let name = match line {
        "" => format!("{}, {}", yarn.blend.name(), yarn.weight_class().class().name()),
        line => line.to_owned(),
    };
    Some(Yarn { name, lot: String::new(), ..yarn })
}

impl Project {
    /// What is to be said beside the balls of a stand-in while there is yarn on hand, which Shopping takes off.
    pub fn on_hand_beside_stand_ins(&self) -> Option<&'static str> {
        let some = self.palette.slots().iter().any(|slot| slot.on_hand_m() > 0.0);
        some.then_some(
            "Both as if nothing were on hand: what lies there is of the yarn you have, and none of it counts in another.",
        )
    }

    /// What a shade must be to be knitted in here: the fibre chosen, else that of the yarn; the weight of
    /// the yarn, else of the shades the colours are knitted in already; and what the piece must withstand.
    /// What nobody chose is not asked for. Whether the chart asks for a calm yarn is left open: that takes a look
    /// at all of it, [`Self::has_busy_chart`].
    pub fn wanted_yarn(&self) -> YarnWanted {
        let material = &self.material;
        let of_yarn = material.yarn.as_ref().map(YarnWanted::like).unwrap_or_default();
        let fibre = material.blend.clone().map_or(of_yarn.fibre, FibreWanted::Like);
        let mut classes = of_yarn.classes;
        if classes.is_empty() {
            let shades = self.palette.slots().iter().filter_map(|slot| slot.shade());
            let none = YarnWanted::default();
            classes = shades.flat_map(|shade| YarnWanted::like_shade(shade, &none).classes).collect();
            classes.sort_unstable();
            classes.dedup();
        }
        YarnWanted { fibre, classes, needs: material.needs, calm: false }
    }

    /// The yarns of the shade cards, each once, with the price of its dearest shade; no more than
    /// [`MOST_STAND_INS`].
    pub(super) fn yarns_of_cards(&self) -> Vec<OnCard<'_>> {
        let mut found: Vec<OnCard> = Vec::new();
        for card in &self.shade_cards {
            for yarn in card.shades().iter().filter_map(yarn_of) {
                let known =
                    found.iter_mut().find(|other| other.card == card.name && same_yarn(&other.yarn, &yarn));
                if let Some(other) = known {
                    other.shades += 1;
                    // A yarn that can be had calm is calm.
                    if other.yarn.varies.is_some() && !Variation::is_busy(yarn.varies.as_ref()) {
                        other.yarn.varies = yarn.varies;
                    }
                    // `None` is below every price.
                    if yarn.ball_price > other.yarn.ball_price {
                        other.yarn.ball_price = yarn.ball_price;
                    }
                } else if found.len() < MOST_STAND_INS {
                    found.push(OnCard { card: &card.name, shades: 1, yarn });
                }
            }
        }
        found
    }

    /// The yarn that a stand-in must answer: the pattern's, else the one the project is knitted in.
    pub fn yarn_to_replace(&self) -> Option<&Yarn> {
        self.material.pattern_yarn.as_ref().or(self.material.yarn.as_ref())
    }

    /// Metres of each colour to buy for (the high figure), in the worked size; empty when the pieces
    /// cannot be worked. Some milliseconds: work it out beside the window's thread.
    pub fn metres_to_buy(&self) -> Vec<f64> {
        let Ok(pieces) = self.work_pieces(&self.pieces.size()) else { return Vec::new() };
        self.pieces_yarn(&pieces, None).colours.iter().map(|colour| colour.metres().high).collect()
    }

    /// Metres of each colour to buy for (the high figure) in every size, by its name; sizes that cannot be
    /// worked are left out.
    fn metres_by_size(&self) -> Vec<(String, Vec<f64>)> {
        let of = |size: Size| {
            let pieces = self.work_pieces(&size).ok()?;
            let yarn = self.pieces_yarn(&pieces, None);
            Some((size.name, yarn.colours.iter().map(|colour| colour.metres().high).collect()))
        };
        self.pieces.all_sizes().into_iter().filter_map(of).collect()
    }

    /// The gauge to expect of a yarn in place of another, knitted as tightly: stitches are as wide as strands
    /// are thick (geometry; the diameters are those of the strand model).
    pub fn gauge_to_expect(&self, own: &Yarn, other: &Yarn) -> Gauge {
        let ratio = own.strand().pressed_mm() / other.strand().pressed_mm();
        let planned = self.plan.gauge;
        Gauge {
            stitches: StitchesPer10Cm::clamped(planned.stitches.get() * ratio),
            rows: RowsPer10Cm::clamped(planned.rows.get() * ratio),
        }
    }

    /// Needles to try for the planned gauge: that of the swatch that is followed, if it was told, else the middle of the published ones of
    /// the class; and the next size towards the gauge where the strand is thicker or thinner (common practice,
    /// no published source).
    fn needles_to_try(&self, own: &Yarn, gauge: Gauge) -> Vec<Needle> {
        let swatch = self.material.followed().and_then(|followed| followed.entry.swatch.needle_mm);
        let published = || {
            let span = own.weight_class().class().facts().needle_mm;
            let ends = [span.from, span.to].into_iter().flatten();
            let count = ends.clone().count() as f64;
            (count > 0.0).then(|| ends.sum::<f64>() / count)
        };
        let Some(first) = swatch.or_else(published).and_then(Needle::nearest) else { return Vec::new() };
        let change = gauge.stitches.get() / self.plan.gauge.stitches.get() - 1.0;
        let second = match change {
            thicker if thicker < -NEEDLE_STEP => Needle::next_down(first.mm()),
            thinner if thinner > NEEDLE_STEP => Needle::next_up(first.mm()),
            _ => None,
        };
        std::iter::once(first).chain(second).collect()
    }

    /// The comparison with its prices in the project's currency, for the metres of each colour.
    fn priced(&self, own: &Yarn, other: &Yarn, metres: &[f64], mut compared: Substitution) -> Substitution {
        let (Some(was), Some(is)) = (own.cost(metres), other.cost(metres)) else { return compared };
        let told = |price| self.currency.told(price);
        for point in compared.points.iter_mut().filter(|point| point.point == SubstitutionPoint::Price) {
            point.detail = format!("{} against {}", told(was), told(is));
            let apart = Price::new((is.get() - was.get()).abs()).map(told);
            let side = if is > was { "more" } else { "less" };
            if let (Some(said), Ok(apart)) = (point.consequences.first_mut(), apart) {
                *said = format!("the piece costs {apart} {side}");
            }
        }
        compared
    }

    /// Every yarn of the shade cards and every kept one against the one to replace, nearest first and those that the needs refuse
    /// last; empty when there is
    /// none to replace. Some milliseconds: work it out beside the window's thread.
    pub fn stand_ins(&self, kept: &[Yarn]) -> Vec<StandIn> {
        let Some(own) = self.yarn_to_replace() else { return Vec::new() };
        let metres = self.metres_to_buy();
        let by_size = self.metres_by_size();
        let balls = |put_up: PutUp| put_up.balls_by_colour(&metres);
        let mut found = self.yarns_of_cards();
        // A card often says less of a yarn than its band: the same name and thickness are the same yarn.
        let line = own.name.trim().to_lowercase();
        found.retain(|on_card| {
            let yarn = &on_card.yarn;
            let apart = (yarn.put_up.grist.get() - own.put_up.grist.get()).abs();
            yarn.name.trim().to_lowercase() != line || apart > 1.0
        });
        let is_own = |yarn: &&Yarn| same_yarn(yarn, own);
        let fresh = kept.iter().filter(|yarn| !is_own(yarn)).take(MOST_STAND_INS);
        found.extend(fresh.map(|yarn| OnCard { card: KEPT, shades: 0, yarn: yarn.clone() }));
        let (cards, yarns): (Vec<_>, Vec<_>) =
            found.into_iter().map(|OnCard { card, shades, yarn }| ((card, shades), yarn)).unzip();
        let stand_in = |compared: Substitution| {
            let yarn = yarns[compared.candidate].clone();
            let (card, shades) = cards[compared.candidate];
            let balls_of_this = balls(yarn.put_up);
            let gauge = self.gauge_to_expect(own, &yarn);
            let size = |(name, metres): &(String, Vec<f64>)| {
                let of =
                    |put_up: PutUp| metres.iter().map(|metres| put_up.balls(*metres)).collect::<Vec<_>>();
                let balls = of(yarn.put_up);
                let cost = yarn.ball_price.map(|price| price.of_balls(balls.iter().sum()));
                SizeBalls { name: name.clone(), own: of(own.put_up), balls, cost }
            };
            let compared = self.priced(own, &yarn, &metres, compared);
            StandIn {
                gauge,
                needles: self.needles_to_try(own, gauge),
                sizes: by_size.iter().map(size).collect(),
                card: card.to_owned(),
                shades,
                balls_of_own: balls(own.put_up),
                balls: balls_of_this,
                cost: yarn.ball_price.map(|price| price.of_balls(balls_of_this)),
                compared,
                yarn,
            }
        };
        rank_substitutes(own, &yarns, &metres, self.material.needs).into_iter().map(stand_in).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Colour;
    use crate::yarn::{Blend, Fibre, ShadeCard};

    fn shade(name: &str, fibre: &str, metres: f64) -> Shade {
        let mut shade = Shade::new(name, Colour::from_hex("#456789").unwrap());
        shade.fibre = fibre.to_owned();
        shade.put_up = PutUp::new(metres, 50.0).ok();
        shade
    }

    #[test]
    fn the_shades_of_one_yarn_are_one_and_the_nearest_leads() {
        let mut project = Project::default();
        assert_eq!(project.stand_ins(&[]), [], "nothing to replace");
        let own =
            Yarn::new(YarnId(0), "Out of make", Blend::pure(Fibre::Wool), PutUp::new(440.0, 50.0).unwrap());
        project.material.pattern_yarn = Some(own);
        let shades = vec![
            shade("Green gutter", "cotton", 220.0),
            shade("Dull bucket", "wool", 400.0),
            shade("Yellow ruler", "wool", 400.0),
            shade("Pink blotter", "no metres known", 400.0),
        ];
        project.shade_cards = vec![ShadeCard::new("Front room", shades).unwrap().into()];
        let found = project.stand_ins(&[]);
        assert_eq!(found.len(), 3);
        assert_eq!((found[0].yarn.blend.name().as_str(), found[0].shades), ("Wool", 2));
        assert!(found[0].compared.nearness > found[1].compared.nearness);
        // 10 % fewer metres in a ball never need fewer balls; each colour is bought whole.
        assert!(found[0].balls >= found[0].balls_of_own);
        let by_colour: u32 = project.metres_to_buy().iter().map(|m| (m / 200.0).ceil() as u32).sum();
        assert_eq!(found[0].balls, by_colour);
        assert_eq!(
            (found[0].compared.balls_of_b, found[0].compared.balls_of_a),
            (by_colour, found[0].balls_of_own)
        );
        let mut kept = project.yarn_to_replace().cloned().unwrap();
        kept.name = "Kept before".to_owned();
        let with_kept = project.stand_ins(&[kept, project.yarn_to_replace().cloned().unwrap()]);
        assert_eq!((with_kept.len(), with_kept[0].card.as_str()), (4, KEPT), "its own self is no stand-in");
        // Nor is its line on a card, which tells less of it than the band.
        let mut on_card = shade("Grey bell", "", 440.0);
        on_card.make.line = "out of make".to_owned();
        project.shade_cards.push(ShadeCard::new("Its maker", vec![on_card]).unwrap().into());
        assert_eq!(project.stand_ins(&[]).len(), 3);
        // One size fits nobody in particular: the same balls, colour by colour.
        assert_eq!(found[0].sizes.len(), 1);
        assert_eq!(found[0].sizes[0].balls.iter().sum::<u32>(), by_colour);
        // Diameter goes with the root of the length: 400 for 440 m is 4.7 % thicker, so fewer stitches.
        let expected = project.plan.gauge.stitches.get() * (400.0_f64 / 440.0).sqrt();
        assert!((found[0].gauge.stitches.get() - expected).abs() < 1e-6, "{:?}", found[0].gauge);
        assert_eq!(found[0].needles.len(), 2);
        assert!(found[0].needles[1].mm() < found[0].needles[0].mm());
    }

    #[test]
    fn the_price_held_against_is_the_price_of_the_balls_that_are_bought() {
        let mut project = crate::project::findings::tests::drawn(&["0133301333", "3333333333", "0003330003"]);
        let price = Price::new(5.95).ok();
        let put_up = PutUp::new(250.0, 50.0).unwrap();
        let own = Yarn {
            ball_price: price,
            ..Yarn::new(YarnId(0), "Out of make", Blend::pure(Fibre::Wool), put_up)
        };
        project.material.yarn = Some(own);
        let other = Shade { ball_price: price, ..shade("Dull bucket", "wool", 250.0) };
        project.shade_cards = vec![ShadeCard::new("Front room", vec![other]).unwrap().into()];
        project.palette.slots_mut()[3].yarn.on_hand_m = 375.0;
        let found = project.stand_ins(&[]);
        assert!(found[0].balls > 1, "several colours, each a ball at least");
        let told = project.currency.told(found[0].cost.unwrap());
        let points = &found[0].compared.points;
        let detail = &points.iter().find(|point| point.point == SubstitutionPoint::Price).unwrap().detail;
        assert_eq!(*detail, format!("{told} against {told}"), "what is on hand is taken off neither");
    }
}
