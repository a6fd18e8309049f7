//! What must pass through an opening, and what a piece must reach round: the knitting held against its
//! wearer.
//!
//! What an edge is for is read from what its piece follows: a tube that follows the head begins at the
//! brim, one that follows the hand or the foot at its cuff; a tube that takes up a front and a back (or a
//! back of the neck) ends at the neck; the narrow end of a sleeve is its cuff.

use super::body::{Body, Measure};
use super::model::{Band, EndEdge, Fabric, Piece, Size, StartEdge, Width};
use super::steps::{BindOff, CastOn, Take};
use super::worked::WorkedPiece;
use crate::knit::{Construction, Edge, Gauge, Passage, Passing, Technique, passes};
use crate::units::{LengthUnit, both_lengths};

/// An opening of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum OpeningKind {
    /// The neck of a pullover.
    Neck,
    /// The brim of a hat.
    Brim,
    /// The cuff of a sleeve or a mitten.
    Cuff,
    /// The leg of a sock.
    Leg,
}

impl OpeningKind {
    /// Trade name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Neck => "Neck",
            Self::Brim => "Brim",
            Self::Cuff => "Cuff",
            Self::Leg => "Leg",
        }
    }

    /// Stable name for files and programs.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Neck => "neck",
            Self::Brim => "brim",
            Self::Cuff => "cuff",
            Self::Leg => "leg",
        }
    }

    /// What must pass through it.
    pub const fn must_pass(self) -> Measure {
        match self {
            Self::Neck | Self::Brim => Measure::Head,
            Self::Cuff => Measure::HandPassage,
            Self::Leg => Measure::Heel,
        }
    }
}

/// An opening in one size, held against what must pass.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// Which.
    pub kind: OpeningKind,
    /// The piece, by its place.
    pub piece: usize,
    /// Girth at rest, in cm, of the edge that limits it.
    pub girth_cm: f64,
    /// What must pass, in cm.
    pub must_pass_cm: f64,
    /// What limits it.
    pub edge: Edge,
    /// Whether it passes.
    pub passage: Passage,
    /// The edge that would let it through, where another does.
    pub better: Option<Edge>,
}

impl Opening {
    /// The girth at rest that would pass surely, in cm.
    pub fn enough_cm(&self) -> f64 {
        self.must_pass_cm / self.edge.stretch().low
    }

    /// How far it surely stretches, in cm.
    pub fn surely_cm(&self) -> f64 {
        self.girth_cm * self.edge.stretch().low
    }

    /// How far it stretches, from what is sure to the most: `surely to 51.0 cm (20.1 in), at most to 54.6 cm (21.5 in)`. The
    /// same figures and words wherever an opening is told.
    pub fn stretch_words(&self, units: LengthUnit) -> String {
        let cm = |cm: f64| both_lengths(cm, units);
        format!("surely to {}, at most to {}", cm(self.surely_cm()), cm(self.passage.reach_cm))
    }

    /// That it lets through what must pass, in a sentence; `None` where it may not.
    pub fn passing_words(&self, units: LengthUnit) -> Option<String> {
        let cm = |cm: f64| both_lengths(cm, units);
        let passer = self.kind.must_pass().name().to_lowercase();
        (self.passage.verdict == Passing::Passes).then(|| {
            format!(
                "Passes the {passer}: the {}, {} around, stretches {} ({}); {passer} {}.",
                self.kind.name().to_lowercase(),
                cm(self.girth_cm),
                self.stretch_words(units),
                self.edge.name().to_lowercase(),
                cm(self.must_pass_cm),
            )
        })
    }
}

/// A girth or a depth of a piece that is less than its wearer's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tight {
    /// What it is held against.
    pub measure: Measure,
    /// The piece, by its place.
    pub piece: usize,
    /// What it is, in cm.
    pub found_cm: f64,
    /// What it should be at the least, in cm.
    pub least_cm: f64,
}

/// Every opening of the pieces in one size, in their order; what the size does not measure is left out.
pub fn openings(pieces: &[Piece], worked: &[WorkedPiece], size: &Size, gauge: Gauge) -> Vec<Opening> {
    let mut all = Vec::new();
    for (place, (piece, worked)) in pieces.iter().zip(worked).enumerate() {
        let Some((kind, at_start)) = kind(piece) else { continue };
        let Some(must_pass_cm) = must_pass(&size.body, kind) else { continue };
        let edges = edges(piece, worked, (kind, at_start), gauge);
        let Some((edge, girth_cm, passage)) = narrowest(&edges, must_pass_cm) else { continue };
        let better = better(&edges, must_pass_cm).filter(|_| passage.verdict != Passing::Passes);
        all.push(Opening { kind, piece: place, girth_cm, must_pass_cm, edge, passage, better });
    }
    all
}

/// The least girth at rest, in cm, that lets the head through a neck that is worked so; `None` where the
/// piece has no neck or the head is not known.
pub fn least_neck_cm(piece: &Piece, size: &Size) -> Option<f64> {
    let (OpeningKind::Neck, false) = kind(piece)? else { return None };
    let head = size.body.get(Measure::Head)?;
    let edges = piece.bands.last().map(band_edge).into_iter().chain(bound_off(piece));
    let low = edges.map(|edge| edge.stretch().low).fold(f64::INFINITY, f64::min);
    low.is_finite().then_some(head / low)
}

/// Girths and depths that fall short of the wearer, in one size.
pub fn tight(pieces: &[Piece], worked: &[WorkedPiece], size: &Size, gauge: Gauge) -> Vec<Tight> {
    let mut all = Vec::new();
    let cm = |stitches: u32| f64::from(stitches) * gauge.stitch_width_cm();
    for (place, (piece, worked)) in pieces.iter().zip(worked).enumerate() {
        let mut hold = |measure: Measure, found_cm: f64, share: f64, ease_cm: f64| {
            let Some(body) = size.body.get(measure) else { return };
            let least_cm = body * share + ease_cm;
            // Half a stitch less is the rounding of a count.
            if found_cm + gauge.stitch_width_cm() < least_cm {
                all.push(Tight { measure, piece: place, found_cm, least_cm });
            }
        };
        let rows: Vec<u32> = worked.worn_rows().collect();
        let yoke = joins_body_and_sleeves(piece);
        if yoke {
            // A third of the way up a yoke lies round shoulders and upper arms, stretched as far as is surely
            // comfortable (`yoke_shaping.csv` Y17; where on its depth: our judgement).
            let row = worked.rows() / 3;
            let stretch = band_at(worked, row).map(|place| band_edge(&piece.bands[place]));
            let reach = stretch.map_or(1.0, |edge| edge.stretch().low);
            let around = rows.get(row as usize).copied().unwrap_or(0);
            hold(Measure::ShoulderGirth, cm(around), 1.0 / reach, 0.0);
            hold(Measure::Armhole, worked.height_cm(gauge), 1.0, 0.0);
        } else if is_sleeve(piece) {
            hold(Measure::UpperArm, cm(worked.last_stitches()), 1.0, size.ease_cm.min(0.0) / 2.0);
        } else if is_body(piece) {
            let narrowest = rows.iter().copied().min().unwrap_or(0);
            hold(Measure::Chest, cm(narrowest), 1.0, size.ease_cm.min(0.0));
        } else if let Some(measure) = worn_around(piece) {
            // A repeat may leave it narrower than its edge: held is what not even the most stretch brings around.
            let charted = piece.bands.iter().zip(&worked.bands).filter(|(band, worked)| {
                worked.chart.is_some() && worked.rows() > 0 && band.end == Width::AsBefore
            });
            let narrowest = charted
                .filter_map(|(band, worked)| {
                    // A chart that holds the shaping ends in a crown or a tip, which goes around nothing.
                    let shaped = worked.chart.is_some_and(|chart| chart.shaped);
                    let rows = worked.row_stitches.iter();
                    let around = if shaped { rows.copied().next()? } else { rows.copied().min()? };
                    Some((cm(around), band_edge(band).stretch().high))
                })
                .min_by(|a, b| (a.0 * a.1).total_cmp(&(b.0 * b.1)));
            if let Some((around, reach)) = narrowest {
                hold(measure, around, 1.0 / reach, size.ease_cm.min(0.0));
            }
        }
    }
    all
}

/// The band of a row, by its place.
fn band_at(worked: &WorkedPiece, row: u32) -> Option<usize> {
    let mut done = 0;
    worked.bands.iter().position(|band| {
        done += band.rows();
        row < done
    })
}

fn follows(piece: &Piece, measure: Measure) -> bool {
    piece.measures().contains(&measure)
}

/// A piece that begins with the fronts, backs and sleeves of a pullover.
fn joins_body_and_sleeves(piece: &Piece) -> bool {
    let groups = piece.takes.iter().filter(|take| matches!(take, Take::Group(_))).count();
    piece.start == StartEdge::Joined && piece.construction == Construction::InTheRound && groups >= 4
}

fn is_sleeve(piece: &Piece) -> bool {
    piece.start == StartEdge::CastOn
        && piece.construction == Construction::InTheRound
        && piece.copies == 2
        && follows(piece, Measure::Arm)
}

fn is_body(piece: &Piece) -> bool {
    piece.start == StartEdge::CastOn
        && piece.construction == Construction::InTheRound
        && piece.copies == 1
        && follows(piece, Measure::Chest)
}

/// What a hat, a mitten or the hand of one goes around.
fn worn_around(piece: &Piece) -> Option<Measure> {
    if piece.construction != Construction::InTheRound {
        return None;
    }
    match kind(piece) {
        Some((OpeningKind::Brim, _)) => Some(Measure::Head),
        Some((OpeningKind::Cuff, _)) => Some(Measure::Hand),
        _ if piece.copies == 2 && follows(piece, Measure::HandLength) => Some(Measure::Hand),
        _ => None,
    }
}

/// What a piece opens, and whether at its first edge.
fn kind(piece: &Piece) -> Option<(OpeningKind, bool)> {
    if piece.construction != Construction::InTheRound {
        return None;
    }
    let takes_neck = piece.takes.iter().any(|take| match take {
        Take::Group(name) => name.contains("neck"),
        _ => false,
    });
    if joins_body_and_sleeves(piece) || (takes_neck && piece.start == StartEdge::Joined) {
        return (piece.end == EndEdge::BoundOff).then_some((OpeningKind::Neck, false));
    }
    if piece.start != StartEdge::CastOn {
        return None;
    }
    if follows(piece, Measure::Head) {
        Some((OpeningKind::Brim, true))
    } else if follows(piece, Measure::Foot) {
        Some((OpeningKind::Leg, true))
    } else if follows(piece, Measure::Hand) || is_sleeve(piece) {
        Some((OpeningKind::Cuff, true))
    } else {
        None
    }
}

/// A hand with its thumb, or a tenth more than the hand where only that is known.
fn must_pass(body: &Body, kind: OpeningKind) -> Option<f64> {
    body.get(kind.must_pass()).or_else(|| match kind {
        // The tenth is how the table of sizes has it (our judgement, no measurement was found).
        OpeningKind::Cuff => Some(body.get(Measure::Hand)? * 1.1),
        // A heel is 1.35 of the foot round its diagonal (`edge_stretch.csv` S4).
        OpeningKind::Leg => Some(body.get(Measure::Foot)? * 1.35),
        OpeningKind::Neck | OpeningKind::Brim => None,
    })
}

/// The edges that what passes must stretch, each with its own narrowest girth at rest in cm: the cast-on or
/// bind-off, and the bands it passes through.
fn edges(
    piece: &Piece,
    worked: &WorkedPiece,
    (kind, at_start): (OpeningKind, bool),
    gauge: Gauge,
) -> Vec<(Edge, f64)> {
    let cm = |stitches: u32| f64::from(stitches) * gauge.stitch_width_cm();
    let mut edges: Vec<(Edge, f64)> = Vec::new();
    if at_start {
        edges.extend(cast_on(piece).map(|edge| (edge, cm(worked.first_stitches()))));
    } else {
        edges.extend(bound_off(piece).map(|edge| (edge, cm(worked.last_stitches()))));
    }
    edges.extend(through(worked, kind, at_start).into_iter().map(|place| {
        // The first round of a neckband may still take stitches out.
        let narrowest = worked.bands[place].row_stitches.iter().min().copied().unwrap_or(0);
        let stitches = if at_start { narrowest } else { worked.last_stitches() };
        (band_edge(&piece.bands[place]), cm(stitches))
    }));
    edges
}

/// The edge that stretches least far, its girth at rest, and what that lets through.
fn narrowest(edges: &[(Edge, f64)], must_pass_cm: f64) -> Option<(Edge, f64, Passage)> {
    let held = edges.iter().map(|(edge, girth)| (*edge, *girth, passes(*girth, *edge, must_pass_cm)));
    held.min_by(|a, b| a.2.reach_cm.total_cmp(&b.2.reach_cm))
}

/// The bands that what passes goes through: a head only the edge itself, hands and feet the tube up to
/// their widest place.
fn through(worked: &WorkedPiece, kind: OpeningKind, at_start: bool) -> Vec<usize> {
    let worked_bands = (0..worked.bands.len()).filter(|place| worked.bands[*place].rows() > 0);
    let places: Vec<usize> = worked_bands.collect();
    match (kind, at_start) {
        (OpeningKind::Leg, true) => {
            let opens = |place: &usize| !worked.bands[*place].then.is_empty();
            // A leg that ends live goes on in the heel: all of it is passed.
            let all = if worked.end == EndEdge::Live { places.len() } else { 1 };
            let heel = places.iter().position(opens).map_or(all, |place| place + 1);
            places.into_iter().take(heel).collect()
        }
        (_, true) => places.into_iter().take(1).collect(),
        (_, false) => places.into_iter().rev().take(1).collect(),
    }
}

fn cast_on(piece: &Piece) -> Option<Edge> {
    match piece.cast_on {
        CastOn::Any => Some(Edge::LongTailCastOn),
        CastOn::Stretchy => Some(Edge::TubularCastOn),
        CastOn::Provisional => None,
    }
}

fn bound_off(piece: &Piece) -> Option<Edge> {
    match (piece.end, piece.bind_off) {
        (EndEdge::BoundOff, BindOff::Stretchy) => Some(Edge::YarnOverBindOff),
        (EndEdge::BoundOff, BindOff::Any | BindOff::InPattern) => Some(Edge::BindOff),
        _ => None,
    }
}

fn band_edge(band: &Band) -> Edge {
    let several = band.colours.len() > 1;
    match (band.fabric, band.technique) {
        (Fabric::Chart { .. }, Technique::Stranded) => Edge::Stranded,
        (Fabric::Ribbing { .. }, Technique::Stranded) if several => Edge::Stranded,
        (Fabric::Ribbing { knit: 1, purl: 1 }, _) => Edge::RibOneByOne,
        (Fabric::Ribbing { .. }, _) => Edge::RibTwoByTwo,
        // Garter and moss stretch no less than stockinette.
        _ => Edge::Stockinette,
    }
}

/// An edge that lets it pass where only the cast-on or bind-off holds it.
fn better(edges: &[(Edge, f64)], must_pass_cm: f64) -> Option<Edge> {
    let (held, ..) = narrowest(edges, must_pass_cm)?;
    let stretchier = match held {
        Edge::LongTailCastOn => Edge::TubularCastOn,
        Edge::BindOff | Edge::SuspendedBindOff | Edge::KnitBackBindOff => Edge::YarnOverBindOff,
        _ => return None,
    };
    let mended: Vec<(Edge, f64)> =
        edges.iter().map(|(edge, girth)| (if *edge == held { stretchier } else { *edge }, *girth)).collect();
    let (.., passage) = narrowest(&mended, must_pass_cm)?;
    (passage.verdict == Passing::Passes).then_some(stretchier)
}
