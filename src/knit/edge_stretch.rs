//! How far the edges of knitting stretch, and whether an opening lets a head, a hand or a heel through.
//!
//! Few of these were ever measured: the bind-offs are one knitter's swatches, pulled by hand. Another
//! knitter gets other figures, so a table of our own margin stands between "passes" and "does not".

use crate::yarn::Basis;

/// An edge, or a fabric that an edge cannot outstretch.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Edge {
    /// Long-tail cast-on.
    LongTailCastOn,
    /// Tubular cast-on of a one-by-one rib.
    TubularCastOn,
    /// Standard bind-off.
    BindOff,
    /// Suspended bind-off: the old stitch stays on the needle until the next is worked.
    SuspendedBindOff,
    /// Two worked stitches put back and knitted together through the back.
    KnitBackBindOff,
    /// A yarn over before every stitch, bound off with it.
    YarnOverBindOff,
    /// Ribbing, knit one, purl one.
    RibOneByOne,
    /// Ribbing, knit two, purl two.
    RibTwoByTwo,
    /// Plain stockinette, as far as it looks well.
    Stockinette,
    /// Stranded colourwork: the floats are taut before the loops give.
    Stranded,
}

/// Stretched over relaxed length: 1.39 gives 39 %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeStretch {
    /// Surely.
    pub low: f64,
    /// At most.
    pub high: f64,
    /// How firmly the figures stand.
    pub basis: Basis,
    /// Where they come from.
    pub source: &'static str,
}

/// Of a stretch that one knitter measured, the share that another may count on (our judgement).
const OF_ANOTHER_KNITTER: f64 = 0.8;

const ONE_KNITTER: &str =
    "bind-off comparison on one knitter's swatches, pulled by hand, 2019 (unnamed blog)";
const RIB: &str = "question page on ribbing, average of swatches, method not shown; all of it is beyond comfort, which \
     ends at about 1.5 (common practice)";

impl Edge {
    /// All edges, in the order they are offered.
    pub const ALL: [Self; 10] = [
        Self::LongTailCastOn,
        Self::TubularCastOn,
        Self::BindOff,
        Self::SuspendedBindOff,
        Self::KnitBackBindOff,
        Self::YarnOverBindOff,
        Self::RibOneByOne,
        Self::RibTwoByTwo,
        Self::Stockinette,
        Self::Stranded,
    ];

    /// Trade name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::LongTailCastOn => "Long-tail cast-on",
            Self::TubularCastOn => "Tubular cast-on",
            Self::BindOff => "Standard bind-off",
            Self::SuspendedBindOff => "Suspended bind-off",
            Self::KnitBackBindOff => "Bind-off, two knitted together through the back",
            Self::YarnOverBindOff => "Bind-off with a yarn over before every stitch",
            Self::RibOneByOne => "1 x 1 ribbing",
            Self::RibTwoByTwo => "2 x 2 ribbing",
            Self::Stockinette => "Stockinette",
            Self::Stranded => "Stranded colourwork",
        }
    }

    /// How far it stretches. The factors of a measured bind-off are the published per cent over 100 and 1.
    pub const fn stretch(self) -> EdgeStretch {
        const fn one(factor: f64, basis: Basis, source: &'static str) -> EdgeStretch {
            EdgeStretch { low: 1.0 + OF_ANOTHER_KNITTER * (factor - 1.0), high: factor, basis, source }
        }
        match self {
            Self::LongTailCastOn => one(
                1.39,
                Basis::Judgement,
                "no measurement was found; taken as the standard bind-off, which wraps as much yarn about each stitch",
            ),
            Self::TubularCastOn => one(
                1.96,
                Basis::Judgement,
                "no measurement was found; taken as the 1 x 1 ribbing it grows out of",
            ),
            Self::BindOff | Self::SuspendedBindOff => one(1.39, Basis::Seen, ONE_KNITTER),
            Self::KnitBackBindOff => one(1.57, Basis::Seen, ONE_KNITTER),
            Self::YarnOverBindOff => one(2.26, Basis::Seen, ONE_KNITTER),
            Self::RibOneByOne => one(1.96, Basis::Seen, RIB),
            Self::RibTwoByTwo => one(2.233, Basis::Seen, RIB),
            Self::Stockinette => EdgeStretch {
                low: 1.2,
                high: 1.3,
                basis: Basis::Judgement,
                source: "teaching rule (common practice): 0 to 20 % is comfortable, over 30 % shows the gaps",
            },
            Self::Stranded => EdgeStretch {
                low: 1.05,
                high: 1.1,
                basis: Basis::Derived,
                source: "geometry: loops lend no width once the floats, 5 to 10 % longer than straight, are taut",
            },
        }
    }
}

/// Whether an opening lets something through.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passage {
    /// Girth that must pass over the girth of the opening at rest; 1 and less needs no stretch.
    pub needed: f64,
    /// The farthest the opening stretches, in cm.
    pub reach_cm: f64,
    /// The verdict.
    pub verdict: Passing,
}

/// The verdict on a passage.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Passing {
    /// It passes.
    Passes,
    /// It passes if the edge is as stretchy as the best that is known of it: try it on the swatch.
    Barely,
    /// It does not: widen the opening, or change the edge.
    DoesNot,
}

/// Whether an opening of `finished_girth_cm` at rest, ended by `edge`, lets a girth of `must_pass_cm`
/// through. Where several edges meet (a bind-off on ribbing on stranded fabric) the worst verdict counts:
/// see [`passes_all`]. A girth that is not a positive number passes nothing.
///
/// ```
/// use huegauge::knit::{Edge, Passing, passes};
/// // A woman's sock of 20.5 cm must pass a heel of 31 cm: 1.51 times its girth.
/// assert_eq!(passes(20.5, Edge::BindOff, 31.0).verdict, Passing::DoesNot);
/// assert_eq!(passes(20.5, Edge::YarnOverBindOff, 31.0).verdict, Passing::Passes);
/// ```
pub fn passes(finished_girth_cm: f64, edge: Edge, must_pass_cm: f64) -> Passage {
    let EdgeStretch { low, high, .. } = edge.stretch();
    let open = finished_girth_cm.is_finite() && finished_girth_cm > 0.0;
    let needed = if open { must_pass_cm / finished_girth_cm } else { f64::INFINITY };
    // A hair of tolerance: a girth worked out from the factor must pass at that factor.
    let verdict = match needed {
        n if n <= low + 1e-9 => Passing::Passes,
        n if n <= high + 1e-9 => Passing::Barely,
        _ => Passing::DoesNot,
    };
    Passage { needed, reach_cm: if open { finished_girth_cm * high } else { 0.0 }, verdict }
}

/// As [`passes`], through edges that lie one above the other: the least stretchy decides. `None` when
/// there are none.
pub fn passes_all(finished_girth_cm: f64, edges: &[Edge], must_pass_cm: f64) -> Option<(Edge, Passage)> {
    let through = |edge: &Edge| (*edge, passes(finished_girth_cm, *edge, must_pass_cm));
    edges.iter().map(through).min_by(|a, b| a.1.reach_cm.total_cmp(&b.1.reach_cm))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_edge_has_its_range_and_its_source() {
        for edge in Edge::ALL {
            let stretch = edge.stretch();
            assert!(1.0 < stretch.low && stretch.low < stretch.high, "{}", edge.name());
            assert!(!stretch.source.is_empty() && !edge.name().is_empty());
        }
    }

    #[test]
    fn the_verdict_changes_at_the_ends_of_the_range() {
        let girth = 20.0;
        let verdict = |edge, cm| passes(girth, edge, cm).verdict;
        assert_eq!(verdict(Edge::Stranded, 19.0), Passing::Passes);
        assert_eq!(verdict(Edge::Stranded, 21.0), Passing::Passes);
        assert_eq!(verdict(Edge::Stranded, 21.5), Passing::Barely);
        assert_eq!(verdict(Edge::Stranded, 22.0), Passing::Barely);
        assert_eq!(verdict(Edge::Stranded, 22.1), Passing::DoesNot);
        let found = passes(girth, Edge::BindOff, 30.0);
        assert!((found.needed - 1.5).abs() < 1e-12 && (found.reach_cm - 27.8).abs() < 1e-9);
    }

    #[test]
    fn a_stretchy_bind_off_on_stranded_fabric_is_held_by_the_floats() {
        let (held_by, passage) =
            passes_all(20.0, &[Edge::YarnOverBindOff, Edge::RibOneByOne, Edge::Stranded], 25.0).unwrap();
        assert_eq!((held_by, passage.verdict), (Edge::Stranded, Passing::DoesNot));
        assert_eq!(passes_all(20.0, &[], 25.0), None);
    }

    #[test]
    fn an_opening_of_nothing_passes_nothing() {
        for girth in [0.0, -3.0, f64::NAN, f64::INFINITY] {
            let found = passes(girth, Edge::YarnOverBindOff, 20.0);
            assert_eq!((found.verdict, found.reach_cm), (Passing::DoesNot, 0.0), "{girth}");
        }
        assert_eq!(passes(20.0, Edge::BindOff, f64::NAN).verdict, Passing::DoesNot);
    }
}
