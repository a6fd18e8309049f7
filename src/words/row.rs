//! What is worked in a row or round.

use super::{Amount, Name, Stitch};

/// A colour of the pattern: its place in [`super::Pattern::colours`], from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Colour(pub u8);

/// How far a stitch is worked without counting.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Until {
    /// `to end`: the end of the row, the marker of the round.
    End,
    /// `to last 3 sts`; more than 0 in some size.
    Last(Amount),
    /// `to marker`, or `to 2 sts before marker`: the next marker on the left needle, in the round at last
    /// the marker of the round.
    Marker {
        /// Stitches left before it.
        before: Amount,
    },
    /// `to the turn`, or `to 6 sts before the turn`: the gap that the last turn but one left in this
    /// direction.
    Turn {
        /// Stitches left before it.
        before: Amount,
    },
    /// `to 4 sts past the turn`; more than 0 in some size.
    PastTurn(Amount),
}

/// How a short row is turned, and what has to be done later so that no hole stays.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Turn {
    /// Simply turned; a later decrease closes the gap (a heel).
    Plain,
    /// The next stitch is wrapped.
    Wrapped,
    /// The first stitch after the turn is pulled up into a double stitch.
    Double,
}

impl Turn {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Plain, Self::Wrapped, Self::Double];
}

/// How stitches are cast on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CastOn {
    /// As the knitter likes.
    Any,
    /// Long-tail.
    LongTail,
    /// One that stretches.
    Stretchy,
    /// Backward loops: the way over a gap.
    BackwardLoop,
    /// Cable cast-on.
    Cable,
    /// On waste yarn, to be taken up or grafted later.
    Provisional,
}

impl CastOn {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::Any, Self::LongTail, Self::Stretchy, Self::BackwardLoop, Self::Cable, Self::Provisional];
}

/// How stitches are bound off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum BindOff {
    /// The usual way.
    Any,
    /// One that stretches.
    Stretchy,
    /// Each stitch as it shows: knit the knits, purl the purls.
    InPattern,
    /// Sewn.
    Sewn,
}

impl BindOff {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Any, Self::Stretchy, Self::InPattern, Self::Sewn];
}

/// One instruction inside a row.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Item {
    /// `k11 (12, 13)`, `k2tog`, `M1L twice`, `k3 B`: a stitch so many times.
    Work {
        /// The stitch.
        stitch: Stitch,
        /// How many times.
        times: Amount,
        /// In which colour; `None` is the one the row is worked with.
        colour: Option<Colour>,
    },
    /// `k to last 3 sts`. Only [`Stitch::K`], [`Stitch::P`] and [`Stitch::Sl`] are counted so.
    WorkTo {
        /// The stitch.
        stitch: Stitch,
        /// How far.
        until: Until,
        /// In which colour.
        colour: Option<Colour>,
    },
    /// `k64 (65, 71) of the left sleeve`: the stitches come from a group that was set aside.
    From {
        /// The stitch, one that takes one and gives one.
        stitch: Stitch,
        /// How many.
        times: Amount,
        /// The group.
        group: Name,
    },
    /// `(k9, k2tog) 4 (5, 6) times`.
    Group {
        /// What is worked.
        items: Vec<Item>,
        /// How many times.
        times: Amount,
    },
    /// `*k1, p1; repeat from * to end`: as often as it fits exactly.
    Star {
        /// What is worked.
        items: Vec<Item>,
        /// Where it ends.
        until: Until,
    },
    /// `place marker`.
    PlaceMarker,
    /// `slip marker`.
    SlipMarker,
    /// `remove marker`.
    RemoveMarker,
    /// `place the marker of the rnd`: the round begins and ends here.
    RoundMarker,
    /// `bind off 6 (7, 8) sts`.
    BindOff(Amount),
    /// `cast on 4 sts by backward loops`.
    CastOn {
        /// How many.
        times: Amount,
        /// How.
        method: CastOn,
    },
    /// `pick up and k 12 (13, 14) sts along the left edge`.
    PickUp(PickUp),
    /// `set 13 (14, 15) sts aside on waste yarn for the thumb`.
    SetAside {
        /// How many of the next stitches.
        times: Amount,
        /// What they are called from here on.
        group: Name,
    },
    /// `k12 with waste yarn for the thumb, slip these sts back and k them again`: an opening to be made
    /// later.
    WasteYarn {
        /// How many of the next stitches.
        times: Amount,
        /// What the opening is called.
        opening: Name,
    },
    /// `turn`: the rest of the row is left unworked. Always the last item of a row.
    Turn(Turn),
}

/// New stitches along an edge.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct PickUp {
    /// How many.
    pub times: Amount,
    /// Which edge.
    pub edge: Name,
    /// At which ratio, when it is stated.
    pub ratio: Option<Ratio>,
}

/// `3 sts for every 4 of 112 (116, 122) rows`.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Ratio {
    /// Stitches picked up, 1 or more.
    pub stitches: u32,
    /// For so many rows (or stitches) of the edge, 1 or more.
    pub every: u32,
    /// Rows (or stitches) of the whole edge.
    pub of: Amount,
}

/// A stitch pattern that needs no chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum StitchPattern {
    /// Stockinette: knit on the right side, purl on the wrong side.
    Stockinette,
    /// Its other side.
    ReverseStockinette,
    /// Knit every row; in the round k 1 rnd, p 1 rnd.
    Garter,
    /// k1, p1, shifted by one in every row (moss or seed stitch).
    Moss,
    /// `k2, p2 rib` as the right side shows it, beginning at its right edge.
    Rib {
        /// Knit stitches, 1 or more.
        knit: u32,
        /// Purl stitches, 1 or more.
        purl: u32,
    },
}

/// Stitches beside the chart.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Edge {
    /// How many, 0 for none.
    pub stitches: Amount,
    /// In which colour; `None` is the one the row is worked with.
    pub colour: Option<Colour>,
    /// In which stitch.
    pub fabric: StitchPattern,
}

/// One chart across some of the stitches of a row.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Strip {
    /// Place in [`super::Pattern::charts`], from 0; printed from 1.
    pub chart: u32,
    /// How often its stitches go into the row.
    pub repeats: Amount,
    /// Stitches of one repeat that the first of the rows takes off the left needle.
    pub of: u32,
    /// Chart stitch (column, from 1, counted from the right) that a right-side row begins with.
    pub begin: Amount,
    /// Columns of one more, partial repeat.
    pub extra: Amount,
}

/// What comes in turn across a row with charts.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Across {
    /// `chart 1, 13 (14, 15) repeats of 10 sts`.
    Strip(Strip),
    /// `2 sts with A`.
    Edge(Edge),
    /// `8 steek sts`: in the colours of the charts' row in turn, A before B.
    Steek(Amount),
    /// `1 edge st`: in the first of these colours.
    EdgeStitches(Amount),
    /// `place the next 32 sts on waste yarn for the front neck and cast on 8 steek sts`; new stitches are made in the
    /// first of these colours.
    Bridge {
        /// Stitches set aside, 0 for none.
        aside: Amount,
        /// Stitches of the bridge.
        stitches: Amount,
        /// What the steek and the stitches set aside are called.
        steek: Name,
    },
}

/// `work rnds 1-21 of chart 1, 13 (14, 15) repeats of 10 sts`.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct ChartWork {
    /// First row of the charts, from 1.
    pub from: Amount,
    /// Last row.
    pub to: Amount,
    /// How often these rows are worked, one after the other.
    pub times: Amount,
    /// In the order of a right-side row; at least one of them is a chart.
    pub across: Vec<Across>,
}

impl ChartWork {
    /// Its charts, in the order of a right-side row.
    pub fn strips(&self) -> impl Iterator<Item = &Strip> {
        self.across.iter().filter_map(|part| if let Across::Strip(strip) = part { Some(strip) } else { None })
    }
}

/// `work rnds 30-31 of the chart as set`: every stitch in the column it is in.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct AsSet {
    /// First row of the charts, from 1.
    pub from: Amount,
    /// Last row.
    pub to: Amount,
    /// How often these rows are worked, one after the other.
    pub times: Amount,
    /// The steek that loses a stitch at either side: `with k2tog before and ssk after the steek of the front neck`.
    pub shaped: Option<Name>,
}

/// What fills a row.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Work {
    /// Instruction by instruction; one that is only `k` or `p` to the end is printed so. Never empty.
    Formula(Vec<Item>),
    /// A stitch pattern over all stitches.
    Fabric(StitchPattern),
    /// The same in stripes.
    Striped {
        /// The stitch pattern.
        fabric: StitchPattern,
        /// Rows of each colour in turn, each 1 or more; begun anew where the last ends.
        stripes: Vec<(Colour, u32)>,
    },
    /// Charts across all stitches.
    Chart(ChartWork),
    /// The charts go on where they are.
    ChartAsSet(AsSet),
    /// Each stitch as it shows: knit the knits, purl the purls.
    AsSet,
}

/// Rounds or rows; a piece says which, and never mixes them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Course {
    /// In the round: the right side always faces.
    Round,
    /// To and fro.
    Row,
}

/// Which rows an instruction is for.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Label {
    /// `Rnds 17-37`: numbers go on from the row before, or begin anew with 1.
    Numbered {
        /// First.
        from: Amount,
        /// Last.
        to: Amount,
    },
    /// `Next 8 (10, 12) rnds`; also printed as `k 8 (10, 12) rnds`.
    Next(Amount),
    /// `Rnd 2 and every even rnd`: this round now, and all of the same parity until a label begins anew.
    EverySecond(u32),
}

/// One or more rows or rounds worked alike.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Rows {
    /// Rounds or rows.
    pub course: Course,
    /// Which.
    pub label: Label,
    /// The side of the first of them; `Some` for rows, `None` for rounds (but for short rows in the
    /// round, which have sides).
    pub side: Option<super::Side>,
    /// The colour they are worked with; `None` is the one in use.
    pub colour: Option<Colour>,
    /// What is worked.
    pub work: Work,
    /// Wraps or double stitches are worked as one stitch with theirs.
    pub closing_gaps: bool,
}
