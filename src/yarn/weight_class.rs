//! The weight classes 0 to 7 of the published Standard Yarn Weight System.

use super::shipped::table_or_none;
use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::units::{MetresPer100G, PER_4_IN_OVER_PER_10_CM, StitchesPer10Cm};

/// A weight class of the Standard Yarn Weight System (Craft Yarn Council), thinnest first.
///
/// The standard's ranges overlap on purpose: a yarn may belong to two neighbours.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum WeightClass {
    /// Class 0.
    Lace,
    /// Class 1 (fingering, sock).
    SuperFine,
    /// Class 2 (sport).
    Fine,
    /// Class 3 (DK).
    Light,
    /// Class 4 (worsted, aran).
    Medium,
    /// Class 5 (chunky).
    Bulky,
    /// Class 6 (super bulky, roving).
    SuperBulky,
    /// Class 7 (the thickest roving).
    Jumbo,
}

/// A published range whose ends may be open ("6 stitches and fewer"); both ends belong to it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Span {
    /// Smallest value, or `None` for "and less".
    pub from: Option<f64>,
    /// Largest value, or `None` for "and more".
    pub to: Option<f64>,
}

impl Span {
    /// Whether `value` lies in the range.
    pub fn contains(self, value: f64) -> bool {
        self.from.is_none_or(|from| value >= from) && self.to.is_none_or(|to| value <= to)
    }

    /// Both ends times `factor` (more than 0).
    pub fn scaled(self, factor: f64) -> Self {
        Self { from: self.from.map(|v| v * factor), to: self.to.map(|v| v * factor) }
    }
}

/// `27 to 32`, `up to 6`, `600 and more`; whole numbers without decimals.
impl fmt::Display for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.from, self.to) {
            (Some(from), Some(to)) => write!(f, "{from} to {to}"),
            (Some(from), None) => write!(f, "{from} and more"),
            (None, Some(to)) => write!(f, "up to {to}"),
            (None, None) => write!(f, "any"),
        }
    }
}

/// What is published about a class, each with its source.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WeightClassFacts {
    /// Number in the standard, `0..=7`.
    pub number: u8,
    /// Name in the standard.
    pub name: String,
    /// Kinds of yarn the standard counts in it.
    pub types: String,
    /// Stitches of stocking stitch in 4 in.
    pub stitches_per_4_in: Span,
    /// Needle diameter in mm.
    pub needle_mm: Span,
    /// Needle sizes as numbered in the United States.
    pub needle_us: String,
    /// Wraps per inch.
    pub wraps_per_inch: Span,
    /// Metres per 100 g as traded; not part of the standard.
    pub metres_per_100_g: Span,
    /// Plies as counted in the United Kingdom and Australia.
    pub ply: String,
    /// Source of gauge, needles and wraps.
    pub source: String,
    /// Source of the metres per 100 g.
    pub grist_source: String,
}

const TABLE_TEXT: &str = include_str!("../../assets/weight_classes.ron");

static TABLE: LazyLock<[WeightClassFacts; WeightClass::ALL.len()]> =
    LazyLock::new(|| table_or_none("weight_classes.ron", ron::from_str(TABLE_TEXT)));

/// The classes a gauge or a grist falls in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClassMatch {
    /// Every class whose published range holds the value, thinnest first; empty outside all of them.
    pub classes: Vec<WeightClass>,
    /// The one whose middle is nearest, as a ratio; outside all ranges the nearest class.
    pub best: WeightClass,
}

impl WeightClass {
    /// All classes, thinnest first; the index is the number.
    pub const ALL: [Self; 8] = [
        Self::Lace,
        Self::SuperFine,
        Self::Fine,
        Self::Light,
        Self::Medium,
        Self::Bulky,
        Self::SuperBulky,
        Self::Jumbo,
    ];

    /// The class of this number, `0..=7`.
    pub fn from_number(number: u8) -> Option<Self> {
        Self::ALL.get(usize::from(number)).copied()
    }

    /// Number in the standard, `0..=7`.
    pub const fn number(self) -> u8 {
        self as u8
    }

    /// What is published about the class.
    pub fn facts(self) -> &'static WeightClassFacts {
        &TABLE[self as usize]
    }

    /// Name in the standard, e.g. `Super Fine`.
    pub fn name(self) -> &'static str {
        &self.facts().name
    }

    /// Stitches of stocking stitch per 10 cm: the published count per 4 in over 1.016.
    pub fn stitches_per_10_cm(self) -> Span {
        self.facts().stitches_per_4_in.scaled(1.0 / PER_4_IN_OVER_PER_10_CM)
    }

    /// Every class that yarn of this grist is traded as, and the best.
    pub fn for_grist(grist: MetresPer100G) -> ClassMatch {
        let metres = grist.get();
        matching(|class| class.facts().metres_per_100_g.contains(metres), Self::typical_grist, metres)
    }

    /// The coarsest class whose finest published gauge reaches `gauge`: the thickest yarn a motif
    /// that needs this many stitches can still be knitted in. `None` when even class 0 is too coarse.
    pub fn coarsest_reaching(gauge: StitchesPer10Cm) -> Option<Self> {
        // A hair of tolerance: a gauge that came from a whole count per 4 in must reach that count.
        let needed = gauge.get() * PER_4_IN_OVER_PER_10_CM - 1e-6;
        Self::ALL
            .into_iter()
            .rev()
            .find(|class| class.facts().stitches_per_4_in.to.is_some_and(|to| to >= needed))
    }

    /// Middle of the published gauge, in stitches per 4 in; an open lower end counts as 1 stitch.
    fn middle_gauge(self) -> f64 {
        let span = self.facts().stitches_per_4_in;
        f64::midpoint(span.from.unwrap_or(1.0), span.to.unwrap_or(1.0))
    }

    /// A typical grist in m per 100 g: the geometric middle of the traded range.
    ///
    /// Where the range is open it is carried over from the nearest closed one: fabric of equal
    /// tightness has sqrt(tex) / loop length constant (tightness factor, Munden 1962), so grist goes
    /// with the square of the gauge.
    pub fn typical_grist(self) -> f64 {
        let closed = |class: Self| {
            let span = class.facts().metres_per_100_g;
            Some((span.from? * span.to?).sqrt())
        };
        let scaled_from = |class: Self| {
            let ratio = self.middle_gauge() / class.middle_gauge();
            closed(class).unwrap_or(1.0) * ratio * ratio
        };
        closed(self).unwrap_or_else(|| match self {
            Self::Lace => scaled_from(Self::SuperFine),
            _ => scaled_from(Self::Bulky),
        })
    }
}

/// The classes that `holds` accepts and, among them (or else among all), the one whose `middle` is
/// nearest to `value` as a ratio.
fn matching(
    holds: impl Fn(WeightClass) -> bool,
    middle: impl Fn(WeightClass) -> f64,
    value: f64,
) -> ClassMatch {
    let classes: Vec<_> = WeightClass::ALL.into_iter().filter(|class| holds(*class)).collect();
    let candidates = if classes.is_empty() { &WeightClass::ALL[..] } else { &classes };
    let distance = |class: &WeightClass| (value / middle(*class)).ln().abs();
    let best = candidates.iter().min_by(|a, b| distance(a).total_cmp(&distance(b))).copied();
    ClassMatch { best: best.unwrap_or(WeightClass::Medium), classes }
}

#[cfg(test)]
mod tests {
    use super::*;
    use WeightClass::*;

    fn gauge(per_4_in: f64) -> StitchesPer10Cm {
        StitchesPer10Cm::new(per_4_in / PER_4_IN_OVER_PER_10_CM).unwrap()
    }

    fn grist(metres: f64) -> MetresPer100G {
        MetresPer100G::new(metres).unwrap()
    }

    #[test]
    fn the_table_parses_and_every_row_sits_at_its_number() {
        let table: [WeightClassFacts; 8] = ron::from_str(TABLE_TEXT).unwrap();
        for (class, row) in WeightClass::ALL.into_iter().zip(&table) {
            assert_eq!(class.number(), row.number);
            assert_eq!(class.facts(), row);
            assert!(!row.source.is_empty() && !row.grist_source.is_empty());
            assert_eq!(WeightClass::from_number(class.number()), Some(class));
        }
        assert_eq!(WeightClass::from_number(8), None);
    }

    #[test]
    fn overlapping_classes_are_all_named() {
        let found = WeightClass::for_grist(grist(125.0));
        assert_eq!(found.classes, [Medium, Bulky]);
        assert_eq!(found.best, Bulky);
    }

    #[test]
    fn a_gauge_finer_than_the_standard_is_reached_by_no_class() {
        assert_eq!(WeightClass::coarsest_reaching(gauge(60.0)), None);
    }

    #[test]
    fn rovings_are_told_apart_by_the_tightness_of_their_gauge() {
        // Common practice, no published source: the thickest rovings run 12 to 18 m per 100 g.
        for metres in [12.0, 18.0] {
            let found = WeightClass::for_grist(grist(metres));
            assert_eq!(found.classes, [SuperBulky, Jumbo]);
            assert_eq!(found.best, Jumbo);
        }
        assert_eq!(WeightClass::for_grist(grist(60.0)).best, SuperBulky);
        assert_eq!(WeightClass::for_grist(grist(900.0)).classes, [Lace]);
    }

    #[test]
    fn the_coarsest_class_reaches_the_gauge_and_the_next_does_not() {
        assert_eq!(WeightClass::coarsest_reaching(gauge(15.0)), Some(Bulky));
        assert_eq!(WeightClass::coarsest_reaching(gauge(15.2)), Some(Medium));
        assert_eq!(WeightClass::coarsest_reaching(gauge(6.0)), Some(Jumbo));
        assert_eq!(WeightClass::coarsest_reaching(gauge(40.0)), Some(Lace));
    }

    #[test]
    fn open_ranges_read_as_words() {
        assert_eq!(SuperFine.facts().stitches_per_4_in.to_string(), "27 to 32");
        assert_eq!(Jumbo.facts().stitches_per_4_in.to_string(), "up to 6");
        assert_eq!(Lace.facts().metres_per_100_g.to_string(), "600 and more");
    }
}
