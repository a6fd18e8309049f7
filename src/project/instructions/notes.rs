//! What a knitter must know beside the rows: when colours are joined and cut, how a chart is read.

use super::Page;
use crate::knit::pieces::{WorkedBand, WorkedPiece};
use crate::knit::{CARRY_UP_ROWS, Construction, Technique};
use crate::project::Project;
use crate::units::LengthUnit;

/// What has been explained in a piece.
#[derive(Clone, Debug, Default)]
pub(super) struct Told(Vec<Topic>);

/// What needs an explanation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Topic {
    /// Joining and cutting colours.
    Colours,
    /// Reading a chart.
    Chart,
    /// Working a bridge.
    Steeks,
    /// Cutting it open.
    Cutting,
}

impl Told {
    fn knows(&self, topic: Topic) -> bool {
        self.0.contains(&topic)
    }

    /// Whether this is the first time a topic comes up.
    pub fn first(&mut self, topic: Topic) -> bool {
        let first = !self.knows(topic);
        if first {
            self.0.push(topic);
        }
        first
    }
}

impl Page<'_> {
    /// Explains what this band is the first to need.
    pub(super) fn explain(&mut self, band: &WorkedBand, project: &Project) {
        if !self.told.knows(Topic::Colours) && self.begins_several(band, project) {
            self.told.first(Topic::Colours);
            let note = joining(band, project.plan.tail_cm);
            self.note(&note);
        }
        if band.chart.is_some() && self.told.first(Topic::Chart) {
            self.note(match band.construction {
                Construction::InTheRound => {
                    "Every rnd of a chart is read from right to left; its right edge is at the marker."
                }
                Construction::Flat => {
                    "RS rows of a chart are read from right to left, WS rows from left to right."
                }
            });
        }
    }

    /// Whether this band is the first in which a second colour comes into the piece.
    fn begins_several(&self, band: &WorkedBand, project: &Project) -> bool {
        let bands = &self.first().bands;
        let upto = bands.iter().position(|other| std::ptr::eq(other, band)).map_or(bands.len(), |at| at + 1);
        several(self.first(), upto, project)
    }
}

/// Whether the first bands of a piece have more than one colour.
fn several(piece: &WorkedPiece, bands: usize, project: &Project) -> bool {
    let mut first = None;
    let mut cells = Vec::new();
    for band in &piece.bands[..bands] {
        let Some(of) = band.cells(&project.pattern()) else { continue };
        for row in 0..band.rows() {
            of.row(row, &mut cells);
            for slot in cells.iter().filter_map(|cell| cell.index()) {
                if *first.get_or_insert(slot) != slot {
                    return true;
                }
            }
        }
    }
    false
}

/// When colours are joined and cut: as the yarn is counted.
fn joining(band: &WorkedBand, tail_cm: f64) -> String {
    let tail = format!("{tail_cm:.0} cm ({:.0} in)", LengthUnit::Imperial.from_cm(tail_cm));
    if band.technique == Technique::Intarsia && band.chart.is_some() {
        return format!(
            "Each area of a colour in a chart has a length of yarn of its own, with a tail of {tail} at both ends: join \
             it where the area begins, cross it with its neighbour where two colours meet, and cut it where the area ends."
        );
    }
    let rests = match band.construction {
        Construction::InTheRound => format!("up to {CARRY_UP_ROWS} rnds"),
        Construction::Flat => format!("2 or {CARRY_UP_ROWS} rows"),
    };
    format!(
        "Join a colour where it is first worked, with a tail of {tail}; carry it up where it rests for {rests}, else cut \
         it with as long a tail and join it anew."
    )
}

/// `The thumb lies in the palm, the first 31 sts after the marker.`
pub(super) fn face_of(name: &str, faces: &[u32], hands: bool) -> String {
    let figures = match faces {
        [first, rest @ ..] if rest.iter().any(|face| face != first) => {
            let rest: Vec<String> = rest.iter().map(u32::to_string).collect();
            format!("{first} ({})", rest.join(", "))
        }
        [first, ..] => first.to_string(),
        [] => "0".to_owned(),
    };
    let palm = if hands { "palm, the " } else { "" };
    format!("The {name} lies in the {palm}first {figures} sts after the marker.")
}

/// What the words for a bridge mean (common practice, no published source).
pub(super) const STEEK_STITCHES: &str = "Steek sts are a bridge that is cut open later. Cast them on by backward loops and work them with the colours of the \
     rnd in turn, A before B; new sts, the edge st beside them, and a decrease in its place take the first of these \
     colours. Of the chart as set means: go on in the columns the sts are in, the steek and edge sts as before.";

/// Which side of the hand is which where what is set aside lies over the marker: seen with the fingers up and the thumb
/// at the right, the back of a left hand and the palm of a right one, and rounds run from right to left.
pub(super) fn at_the_side(name: &str) -> String {
    format!(
        "The {name} is at the marker, at the side of the hand: the first half of each rnd is the back of the left hand and \
         the palm of the right."
    )
}

/// What to know before a steek is cut (common practice, no published source).
pub(super) const STEEK: [&str; 3] = [
    "The cut lies in the centre of the steek, with as many of its sts on either side. Before cutting, reinforce it along both sides \
     of its centre: sew by machine or in backstitch, or crochet, through every row. Try it on the swatch first; what is \
     cut cannot be unravelled.",
    "Stranded wool that felts holds at a cut edge; superwash wool, plant fibres, silk and synthetics slip and run: \
     reinforce those densely by machine, or do not cut them.",
    "Pick up sts, and sew in sleeves, between the edge st and the steek. When all is joined, trim the cut edges, fold the \
     steek to the wrong side and sew it down loosely.",
];
