//! A yarn: everything known of it, as on its band and in the knitter's notes.

use super::Shade;
use super::blend::Blend;
use super::care::CareLabel;
use super::fibre::Fibre;
use super::put_up::PutUp;
use super::spin::Spin;
use super::strand::Strand;
use super::variation::Variation;
use super::weight_class::WeightClass;
use crate::units::Price;

/// Identifies a yarn within a project.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct YarnId(pub u32);

/// A yarn. What is not known is `None` or empty; nothing is guessed into it.
#[derive(Clone, Debug, PartialEq)]
pub struct Yarn {
    /// Identifies it within a project.
    pub id: YarnId,
    /// What the knitter calls it.
    pub name: String,
    /// What it is made of.
    pub blend: Blend,
    /// How it is spun and plied, when known.
    pub spin: Option<Spin>,
    /// Metres per 100 g and grams per ball.
    pub put_up: PutUp,
    /// Price of one ball, when known.
    pub ball_price: Option<Price>,
    /// The care label; empty when none is recorded.
    pub care: CareLabel,
    /// The weight class on the band, when it is given there.
    pub class_on_band: Option<WeightClass>,
    /// Wraps per inch measured by the knitter, when they were, above 0.
    pub wraps_per_inch: Option<f64>,
    /// How its colour changes along the strand, when known.
    pub varies: Option<Variation>,
    /// Dye lot; may be empty.
    pub lot: String,
    /// Free notes.
    pub notes: String,
}

/// A weight class and how it is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KnownClass {
    /// It stands on the band.
    Given(WeightClass),
    /// From the metres per 100 g, whose traded ranges overlap: a neighbour may be meant.
    FromGrist(WeightClass),
}

impl KnownClass {
    /// The class.
    pub const fn class(self) -> WeightClass {
        match self {
            Self::Given(class) | Self::FromGrist(class) => class,
        }
    }
}

impl Yarn {
    /// A yarn of which only the name, the blend and the put-up are known.
    pub fn new(id: YarnId, name: impl Into<String>, blend: Blend, put_up: PutUp) -> Self {
        Self {
            id,
            name: name.into(),
            blend,
            spin: None,
            put_up,
            ball_price: None,
            care: CareLabel::default(),
            class_on_band: None,
            wraps_per_inch: None,
            varies: None,
            lot: String::new(),
            notes: String::new(),
        }
    }

    /// The yarn of a shade, so that a whole card can stand for substitutes. `None` when the card does
    /// not say how many metres it runs; a fibre that cannot be read is [`Fibre::Other`].
    pub fn of_shade(id: YarnId, shade: &Shade) -> Option<Self> {
        let blend = Blend::parse(&shade.fibre).unwrap_or_else(|_| Blend::pure(Fibre::Other));
        Some(Self {
            ball_price: shade.ball_price,
            class_on_band: shade.weight_class.and_then(WeightClass::from_number),
            lot: shade.dye_lot.clone(),
            spin: shade.make.spin,
            wraps_per_inch: shade.make.wraps_per_inch,
            care: shade.make.care.clone(),
            varies: shade.varies.clone(),
            ..Self::new(id, shade.name.clone(), blend, shade.put_up?)
        })
    }

    /// The weight class: as given on the band, else from the grist.
    pub fn weight_class(&self) -> KnownClass {
        match self.class_on_band {
            Some(class) => KnownClass::Given(class),
            None => KnownClass::FromGrist(WeightClass::for_grist(self.put_up.grist).best),
        }
    }

    /// The strand as a body.
    pub fn strand(&self) -> Strand {
        Strand::new(self.put_up.grist, &self.blend, self.spin)
    }

    /// Measured wraps per inch when they are known and make sense.
    pub fn wraps(&self) -> Option<f64> {
        self.wraps_per_inch.filter(|wraps| wraps.is_finite() && *wraps > 0.0)
    }

    /// What the balls for this many metres of each colour cost, when the price is known.
    pub fn cost(&self, metres: &[f64]) -> Option<Price> {
        self.ball_price.map(|price| price.of_balls(self.put_up.balls_by_colour(metres)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Colour;

    #[test]
    fn the_class_on_the_band_wins_over_the_grist() {
        let put_up = PutUp::new(400.0, 100.0).unwrap();
        let mut yarn = Yarn::new(YarnId(1), "Crooked Ladder sock", Blend::pure(Fibre::Wool), put_up);
        assert_eq!(yarn.weight_class(), KnownClass::FromGrist(WeightClass::SuperFine));
        yarn.class_on_band = Some(WeightClass::Fine);
        assert_eq!(yarn.weight_class(), KnownClass::Given(WeightClass::Fine));
        assert_eq!(yarn.weight_class().class(), WeightClass::Fine);
    }

    #[test]
    fn a_shade_with_metres_is_a_yarn_and_one_without_is_none() {
        let mut shade = Shade::new("Green gutter", Colour::from_hex("#446655").unwrap());
        assert_eq!(Yarn::of_shade(YarnId(3), &shade), None);
        shade.put_up = Some(PutUp::new(225.0, 50.0).unwrap());
        shade.weight_class = Some(3);
        shade.fibre = "50% wool, 50% alpaca".to_owned();
        let yarn = Yarn::of_shade(YarnId(3), &shade).unwrap();
        assert_eq!(yarn.weight_class(), KnownClass::Given(WeightClass::Light));
        assert_eq!(yarn.blend.name(), "50 % wool, 50 % alpaca");
        shade.fibre = "something soft".to_owned();
        assert_eq!(Yarn::of_shade(YarnId(3), &shade).unwrap().blend, Blend::pure(Fibre::Other));
    }

    #[test]
    fn wraps_that_make_no_sense_are_unknown_and_whole_balls_are_paid() {
        let put_up = PutUp::new(400.0, 50.0).unwrap();
        let mut yarn = Yarn::new(YarnId(1), "Crooked Ladder sock", Blend::pure(Fibre::Wool), put_up);
        assert_eq!(yarn.cost(&[100.0]), None);
        yarn.wraps_per_inch = Some(0.0);
        assert_eq!(yarn.wraps(), None);
        yarn.ball_price = Price::new(6.5).ok();
        assert_eq!(yarn.cost(&[401.0]), Price::new(19.5).ok());
    }
}
