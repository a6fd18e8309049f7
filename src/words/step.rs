//! The sentences of a pattern.

use super::{Amount, BindOff, CastOn, Colour, Name, PickUp, Rows, Side, Stitch, Text, Work};

/// Which needle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Needle {
    /// For ribs and edges.
    Finer,
    /// The one that gives the gauge.
    Larger,
}

impl Needle {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Finer, Self::Larger];
}

/// Where stitches rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Rest {
    /// On a length of waste yarn.
    WasteYarn,
    /// On a spare needle.
    SpareNeedle,
}

impl Rest {
    /// Both.
    pub const ALL: [Self; 2] = [Self::WasteYarn, Self::SpareNeedle];
}

/// Some of the live stitches, set aside under a name.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct PartAside {
    /// How many.
    pub stitches: Amount,
    /// Where they rest.
    pub rest: Rest,
    /// What they are called from here on. A name that occurs twice is one group: the later stitches go
    /// before the earlier ones, as around the marker of the round.
    pub group: Name,
}

/// A group of stitches that was set aside, with its count.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct GroupAside {
    /// How many it must hold.
    pub stitches: Amount,
    /// Its name.
    pub group: Name,
}

/// `with one st fewer before each k2tog`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Change {
    /// Stitches more (or fewer, below 0) each time; never 0, `-100..=100`.
    pub by: i32,
    /// Before each of these stitches.
    pub before: Stitch,
}

/// `on every 2nd rnd 9 (10, 11) times more`.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Pace {
    /// From one such row to the next, 1 or more.
    pub every: Amount,
    /// How often.
    pub times: Amount,
}

/// One thing a knitter does.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Step {
    /// Casts on a new piece.
    CastOn {
        /// Stitches.
        stitches: Amount,
        /// How.
        method: CastOn,
        /// With this colour.
        colour: Option<Colour>,
        /// On this needle.
        needle: Option<Needle>,
    },
    /// Begins on stitches picked up along an edge.
    PickUp {
        /// How many, where and at which ratio.
        pick_up: PickUp,
        /// With this colour.
        colour: Option<Colour>,
        /// On this needle.
        needle: Option<Needle>,
    },
    /// Places a marker and joins for the round without twisting.
    Join,
    /// From here on to and fro.
    WorkFlat,
    /// Changes the needle.
    Needle(Needle),
    /// Works rows or rounds.
    Rows(Rows),
    /// `Rep the last 2 rnds 5 (6, 7) times more`.
    Repeat {
        /// Rows or rounds, counted back from the last one worked; 1 or more.
        rows: Amount,
        /// How often more.
        times: Amount,
        /// Said of rounds or of rows.
        course: super::Course,
    },
    /// `Go on so, with one st fewer before each k2tog, on every 2nd rnd 9 (10, 11) times more`: works
    /// the last row that was written out again, with its counts changed each time, and in the rows
    /// between what `between` or the standing "every even rnd" says.
    GoOn {
        /// How its counts change each time.
        changes: Vec<Change>,
        /// When, one after the other; at least one.
        paces: Vec<Pace>,
        /// What is worked in the rows between.
        between: Option<Work>,
        /// Said of rounds or of rows.
        course: super::Course,
    },
    /// Sets live stitches aside, in the order in which they would be worked next.
    SetAside {
        /// The parts, at least one.
        parts: Vec<PartAside>,
        /// Whether the others stay on the needle; if not there are no others.
        others_stay: bool,
    },
    /// Places stitches that were set aside on the needle, in the order in which the right side is worked.
    TakeUp {
        /// The groups, at least one.
        groups: Vec<GroupAside>,
        /// Which side faces for the next row.
        facing: Side,
    },
    /// Takes out the waste yarn of an opening: the stitches below it, then those above it, are on the
    /// needle.
    Open {
        /// The opening.
        opening: Name,
        /// Stitches below.
        below: Amount,
        /// Stitches above.
        above: Amount,
    },
    /// Takes out a provisional cast-on: its stitches are a group.
    Release {
        /// Stitches.
        stitches: Amount,
        /// What they are called from here on.
        group: Name,
    },
    /// Binds off all live stitches.
    BindOff {
        /// How many there must be.
        stitches: Amount,
        /// How.
        method: BindOff,
        /// With this colour.
        colour: Option<Colour>,
    },
    /// Binds off two groups together.
    ThreeNeedle {
        /// Stitches of each.
        stitches: Amount,
        /// One group.
        front: Name,
        /// The other.
        back: Name,
    },
    /// Grafts two groups.
    Graft {
        /// Stitches of each.
        stitches: Amount,
        /// One group.
        one: Name,
        /// The other.
        other: Name,
    },
    /// Grafts the first half of the live stitches to the second half (a toe).
    GraftHalves {
        /// Stitches of each half.
        stitches: Amount,
    },
    /// Cuts the yarn and draws it through all live stitches.
    DrawThrough {
        /// This colour; `None` is the only one in use.
        colour: Option<Colour>,
        /// How many there must be.
        stitches: Amount,
        /// What it closes.
        what: Name,
    },
    /// `Remove the markers`.
    RemoveMarkers,
    /// `So far 68 (72, 76) rnds`: to compare with the row counter.
    SoFar {
        /// Rows or rounds of this piece.
        rows: Amount,
        /// Rounds or rows; the others are not counted.
        course: super::Course,
    },
    /// Cuts the yarn.
    Cut,
    /// Sews a seam.
    Seam(Name),
    /// Secures steek stitches on both sides of their centre and cuts between; said with its caution.
    Steek {
        /// Stitches of the bridge.
        stitches: Amount,
        /// Where it lies.
        place: Name,
    },
    /// `Weave in the ends`.
    WeaveIn,
    /// What is not knitted: `Note: soak, roll in a towel, dry flat to the measures.`
    Note(Text),
}

impl Step {
    /// Whether it joins what was knitted apart.
    pub(super) const fn joins(&self) -> bool {
        matches!(
            self,
            Self::ThreeNeedle { .. }
                | Self::Graft { .. }
                | Self::GraftHalves { .. }
                | Self::Seam(_)
                | Self::Steek { .. }
                | Self::Release { .. }
        )
    }
}

/// The sizes or copies a line is meant for; empty lists mean all.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Only {
    /// Places in [`super::Pattern::sizes`], rising.
    pub sizes: Vec<u32>,
    /// Places in [`super::Copies`], rising.
    pub copies: Vec<u32>,
}

impl Only {
    /// For everyone.
    pub const ALL: Self = Self { sizes: Vec::new(), copies: Vec::new() };

    /// Whether a size of a copy is meant (both from 0).
    pub fn includes(&self, size: u32, copy: u32) -> bool {
        let meant = |list: &[u32], one| list.is_empty() || list.contains(&one);
        meant(&self.sizes, size) && meant(&self.copies, copy)
    }
}

/// A sentence, and the count after it.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Line {
    /// For whom.
    pub only: Only,
    /// What is done.
    pub step: Step,
    /// Live stitches on the needle afterwards, where they are said.
    pub count: Option<Amount>,
}

impl From<Step> for Line {
    fn from(step: Step) -> Self {
        Self { only: Only::ALL, step, count: None }
    }
}

impl Step {
    /// The step with the count after it.
    pub fn then(self, count: Amount) -> Line {
        Line { only: Only::ALL, step: self, count: Some(count) }
    }
}
