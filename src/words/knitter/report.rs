//! What came off the needles.

use crate::knit::Technique;
use crate::words::{self, Colour, Course, Name, Pattern, Side, Stitch};

/// A row or round as it was worked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KnittedRow {
    /// A round or a row.
    pub course: Course,
    /// The side that faced.
    pub side: Side,
    /// On which needle; `None` while the words have named none.
    pub needle: Option<words::Needle>,
    /// How its colours were worked.
    pub technique: Technique,
    /// Whether knits and purls stand side by side in it.
    pub ribbing: bool,
    /// The stitches made, as the right side shows them, from its right edge.
    pub stitches: Vec<(Colour, Stitch)>,
}

/// What is done along an edge, beside the rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum EdgeKind {
    /// Cast on.
    CastOn,
    /// Picked up along an edge.
    PickedUp,
    /// Bound off; two groups together count once.
    BoundOff,
    /// Grafted: one new row.
    Grafted,
}

/// An edge as it was worked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KnittedEdge {
    /// What was done.
    pub kind: EdgeKind,
    /// In which colour.
    pub colour: Colour,
    /// Along so many stitches.
    pub stitches: u32,
    /// Which edge they were picked up along.
    pub along: Option<Name>,
    /// Whether it lies within a row, among whose stitches it is counted.
    pub in_row: bool,
}

/// One copy of a piece, as knitted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KnittedPiece {
    /// Its heading.
    pub heading: String,
    /// Which copy, where there are several.
    pub copy: Option<Name>,
    /// From the first row to the last, in the order they were worked.
    pub rows: Vec<KnittedRow>,
    /// Cast-on, bind-off and the like, in order.
    pub edges: Vec<KnittedEdge>,
}

/// A place at which the words could not be followed, or were followed and came out otherwise than they say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stumble {
    /// The heading of the piece, and its copy.
    pub piece: String,
    /// The heading of the section, where there is one.
    pub section: Option<String>,
    /// Which sentence of the piece, from 1.
    pub step: u32,
    /// Which row or round of the piece, from 1; 0 before the first.
    pub row: u32,
    /// The words.
    pub words: String,
    /// What is wrong with them.
    pub why: String,
}

/// Stitches opened and closed, as in book-keeping by double entry.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Totals {
    /// Cast on.
    pub cast_on: u64,
    /// Picked up along edges.
    pub picked_up: u64,
    /// Gained by increases, and freed by taking out waste yarn.
    pub gained: u64,
    /// Lost by decreases.
    pub lost: u64,
    /// Bound off.
    pub bound_off: u64,
    /// Grafted, both sides.
    pub grafted: u64,
    /// Drawn together on the yarn.
    pub drawn: u64,
}

impl Totals {
    /// Stitches that must be live somewhere.
    pub const fn live(&self) -> i64 {
        let opened = self.cast_on + self.picked_up + self.gained;
        let closed = self.lost + self.bound_off + self.grafted + self.drawn;
        opened as i64 - closed as i64
    }
}

/// Stitches that nothing closes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOpen {
    /// Where they are, e.g. `left sleeve, set aside`.
    pub place: String,
    /// How many.
    pub stitches: u32,
}

/// A pattern knitted in one size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Knitted {
    /// Place of the size in the pattern.
    pub size: usize,
    /// Each copy of each piece.
    pub pieces: Vec<KnittedPiece>,
    /// Where the words failed; at most [`super::MAX_STUMBLES`].
    pub stumbles: Vec<Stumble>,
    /// What stays open at the end.
    pub open: Vec<LeftOpen>,
    /// The book of stitches.
    pub totals: Totals,
}

impl Knitted {
    /// Whether everything could be followed and every stitch is closed.
    pub fn is_closed(&self) -> bool {
        self.stumbles.is_empty() && self.open.is_empty()
    }

    /// Stitches made in rows and rounds.
    pub fn stitches(&self) -> u64 {
        self.all_rows().map(|row| row.stitches.len() as u64).sum()
    }

    /// Rows and rounds.
    pub fn rows(&self) -> u64 {
        self.all_rows().count() as u64
    }

    fn all_rows(&self) -> impl Iterator<Item = &KnittedRow> {
        self.pieces.iter().flat_map(|piece| &piece.rows)
    }
}

/// The sentence for the head of a sheet: `Knitted through by program in S, M, L: 12,345 to 15,678 stitches,
/// nothing left on the needles.`, or where it stumbled and what is open.
pub fn knitted_through(pattern: &Pattern, knitted: &[Knitted]) -> String {
    let name = |one: &&Knitted| pattern.sizes.get(one.size).map_or("?", |size| size.as_str());
    let listed = |of: &[&Knitted]| of.iter().map(name).collect::<Vec<_>>().join(", ");
    let (good, bad): (Vec<&Knitted>, Vec<&Knitted>) = knitted.iter().partition(|one| one.is_closed());
    let mut sentences = Vec::new();
    if !good.is_empty() {
        let counts = good.iter().map(|one| one.stitches());
        let (least, most) = (counts.clone().min().unwrap_or(0), counts.max().unwrap_or(0));
        let stitches =
            if least == most { grouped(least) } else { format!("{} to {}", grouped(least), grouped(most)) };
        sentences.push(format!(
            "Knitted through by program in {}: {stitches} stitches, nothing left on the needles.",
            listed(&good)
        ));
    }
    if let Some(first) = bad.first() {
        let why = match (first.stumbles.first(), first.open.first()) {
            (Some(stumble), _) => format!("{}, sentence {}: {}", stumble.piece, stumble.step, stumble.why),
            (None, Some(open)) => format!("{} sts stay open ({})", open.stitches, open.place),
            (None, None) => String::new(),
        };
        sentences.push(format!("Not to be knitted as it stands in {}: {why}.", listed(&bad)));
    }
    sentences.join(" ")
}

/// `12,345`
fn grouped(n: u64) -> String {
    let digits = n.to_string();
    let mut text = String::with_capacity(digits.len() + digits.len() / 3);
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}
