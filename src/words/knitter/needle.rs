//! What is on the needle, and a row in the making.

use crate::words::{Colour, Name, Side, Stitch, Turn};

/// One thing on the needle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum On {
    /// A live stitch.
    Loop(Loop),
    /// A marker.
    Marker,
    /// The gap that a turn has left.
    Gap(Turn),
    /// The marker of the round, while short rows pass it.
    RoundMark,
}

/// A live stitch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Loop {
    pub colour: Colour,
    /// Whether it shows a purl on the right side.
    pub purl: bool,
}

/// Stitches among things on a needle.
pub(super) fn loops(on: &[On]) -> u32 {
    on.iter().filter(|on| matches!(on, On::Loop(_))).count() as u32
}

/// Live stitches in the order in which the right side is worked, and where the working yarn is.
#[derive(Clone, Debug, Default)]
pub(super) struct Needle {
    pub on: Vec<On>,
    /// Things to the right of the working yarn.
    pub at: usize,
    /// Whether it is joined for the round.
    pub joined: bool,
    /// The side of the next row; `None` while nothing has settled it.
    pub facing: Option<Side>,
}

impl Needle {
    /// Stitches from a group or an edge, not joined.
    pub fn holding(on: Vec<On>, facing: Option<Side>) -> Self {
        Self { at: 0, on, joined: false, facing }
    }

    pub fn stitches(&self) -> u32 {
        loops(&self.on)
    }

    /// Puts the yarn where a row of this side begins.
    pub fn face(&mut self, side: Side) {
        self.at = if side == Side::Right { 0 } else { self.on.len() };
        self.facing = Some(side);
    }

    /// Whether a short row waits to be finished.
    pub fn in_short_rows(&self) -> bool {
        self.on.contains(&On::RoundMark) || (self.at > 0 && self.at < self.on.len())
    }

    /// Begins a row on the side that faces: what is ahead, next thing last, and what is behind.
    pub fn begin(&mut self, side: Side) -> (Vec<On>, Vec<On>) {
        if self.facing.is_none() {
            self.face(side);
        }
        if self.joined {
            self.turn_ring(side);
        }
        let behind_first = self.on.split_off(self.at.min(self.on.len()));
        let before = std::mem::take(&mut self.on);
        match side {
            Side::Right => (behind_first.into_iter().rev().collect(), before),
            Side::Wrong => (before, behind_first),
        }
    }

    /// In the round nothing lies behind: what was worked last comes again after what is ahead.
    fn turn_ring(&mut self, side: Side) {
        let marked = self.on.contains(&On::RoundMark);
        match side {
            Side::Right if marked => {
                self.on.rotate_left(self.at);
                self.at = 0;
            }
            Side::Right => {}
            Side::Wrong => {
                if !marked {
                    self.on.insert(0, On::RoundMark);
                    self.at += 1;
                }
                self.on.rotate_left(self.at);
                self.at = self.on.len();
            }
        }
    }

    /// Ends a row: puts what was worked between what was behind and what is still ahead.
    pub fn end(&mut self, side: Side, row: Row) {
        let Row { mut left, right, behind, turned, .. } = row;
        // A turn at the place of another leaves one gap.
        let gapped = matches!(left.last(), Some(On::Gap(_)));
        let gap = turned.filter(|_| loops(&left) > 0 && !gapped).map(On::Gap);
        match side {
            Side::Right => {
                self.on = behind;
                self.on.extend(right);
                self.at = self.on.len();
                self.on.extend(gap);
                self.on.extend(left.into_iter().rev());
            }
            Side::Wrong => {
                left.extend(gap);
                self.on = left;
                self.at = self.on.len();
                self.on.extend(right.into_iter().rev());
                self.on.extend(behind);
            }
        }
        if self.joined && turned.is_none() {
            // The round is done: it begins anew at its marker.
            if let Some(mark) = self.on.iter().position(|on| *on == On::RoundMark) {
                self.on.rotate_left(mark);
                self.on.remove(0);
            }
            self.at = 0;
            self.facing = Some(Side::Right);
        } else {
            self.facing = Some(side.other());
        }
    }
}

/// Why a row cannot be worked on.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Trouble {
    /// There are fewer stitches than it takes.
    Short {
        /// What wants them.
        what: String,
        /// How many there are.
        left: u32,
    },
    /// Anything else.
    Other(String),
}

impl From<String> for Trouble {
    fn from(why: String) -> Self {
        Self::Other(why)
    }
}

impl std::fmt::Display for Trouble {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Short { what, left: 1 } => write!(f, "{what} needs more than the 1 st that is left"),
            Self::Short { what, left } => write!(f, "{what} needs more than the {left} sts that are left"),
            Self::Other(why) => f.write_str(why),
        }
    }
}

/// A row in the making.
#[derive(Debug)]
pub(super) struct Row {
    pub side: Side,
    /// Ahead, the next thing last.
    pub left: Vec<On>,
    /// Worked, in the order it was.
    pub right: Vec<On>,
    /// What lies behind the beginning of a row that began in the middle.
    pub behind: Vec<On>,
    /// Stitches ahead up to the end of the row.
    pub ahead: u32,
    /// The stitches made, as the right side shows them.
    pub made: Vec<(Colour, Stitch)>,
    /// The colour it is worked with.
    pub yarn: Option<Colour>,
    /// Whether the gaps of short rows are closed on the way.
    pub closing: bool,
    pub turned: Option<Turn>,
    /// Whether the marker of the round was placed.
    pub joins: bool,
    pub gained: u64,
    pub lost: u64,
}

impl Row {
    /// Looks again how far the end is.
    pub fn measure(&mut self) {
        let end = self.left.iter().rposition(|on| *on == On::RoundMark).map_or(0, |at| at + 1);
        self.ahead = loops(&self.left[end..]);
    }

    /// Whether the next thing ahead, gaps aside, ends the row.
    pub fn at_end(&self) -> bool {
        self.ahead == 0
    }

    /// Takes the next stitch off the left needle. `first` is false inside a decrease, where no marker may
    /// lie.
    fn take(&mut self, stitch: Stitch, first: bool) -> Result<Loop, Trouble> {
        loop {
            match self.left.pop() {
                Some(On::Loop(loop_)) => {
                    self.ahead = self.ahead.saturating_sub(1);
                    return Ok(loop_);
                }
                Some(On::Gap(Turn::Plain)) => {}
                Some(On::Gap(_)) if self.closing => {}
                Some(On::Gap(_)) => {
                    return Err("a gap of the short rows is passed without being closed".to_owned().into());
                }
                Some(On::Marker) if !first => {
                    self.left.push(On::Marker);
                    return Err(format!("a marker lies inside the {}", stitch.abbreviation()).into());
                }
                Some(mark @ On::Marker) => self.right.push(mark),
                Some(mark @ On::RoundMark) => {
                    self.right.push(mark);
                    self.measure();
                }
                None => return Err(Trouble::Short { what: stitch.abbreviation().to_owned(), left: 0 }),
            }
        }
    }

    /// Works one stitch.
    pub fn work(&mut self, stitch: Stitch, colour: Option<Colour>) -> Result<(), Trouble> {
        let takes = stitch.takes();
        if takes > self.ahead && !self.left.contains(&On::RoundMark) {
            return Err(Trouble::Short { what: stitch.abbreviation().to_owned(), left: self.ahead });
        }
        if stitch == Stitch::Sl {
            let slipped = self.take(stitch, true)?;
            self.right.push(On::Loop(slipped));
            self.made.push((slipped.colour, Stitch::Sl));
            return Ok(());
        }
        let colour = self.colour(colour)?;
        self.take_off(takes, stitch, true)?;
        self.make(stitch, colour);
        let gives = stitch.gives();
        self.gained += u64::from(gives.saturating_sub(takes));
        self.lost += u64::from(takes.saturating_sub(gives));
        Ok(())
    }

    /// The colour said, or the one the row is worked with.
    pub fn colour(&self, said: Option<Colour>) -> Result<Colour, Trouble> {
        said.or(self.yarn).ok_or_else(|| "no colour is said, and none is in use".to_owned().into())
    }

    /// Puts what a stitch gives on the right needle.
    pub fn make(&mut self, stitch: Stitch, colour: Colour) {
        let seen = stitch.on(self.side);
        self.right.push(On::Loop(Loop { colour, purl: shows_purl(seen) }));
        self.made.push((colour, seen));
        if stitch == Stitch::Kfb {
            let bar = if self.side == Side::Right { Stitch::P } else { Stitch::K };
            self.right.push(On::Loop(Loop { colour, purl: shows_purl(bar) }));
            self.made.push((colour, bar));
        }
    }

    /// Puts new stitches on the right needle, cast on or picked up within the row: they are stitches of it.
    pub fn put_on(&mut self, stitches: u32, colour: Colour) {
        let new = On::Loop(Loop { colour, purl: false });
        self.right.extend(std::iter::repeat_n(new, stitches as usize));
        self.made.extend(std::iter::repeat_n((colour, Stitch::K), stitches as usize));
    }

    /// Takes this many stitches off the left needle without working them; markers between them stay behind.
    pub fn lift(&mut self, stitches: u32, what: &str) -> Result<Vec<On>, Trouble> {
        if stitches > self.ahead {
            return Err(Trouble::Short { what: what.to_owned(), left: self.ahead });
        }
        self.take_off(stitches, Stitch::Sl, false)
    }

    /// Takes stitches off the left needle, all or none.
    fn take_off(&mut self, stitches: u32, stitch: Stitch, together: bool) -> Result<Vec<On>, Trouble> {
        let mut taken = Vec::with_capacity(stitches as usize);
        for n in 0..stitches {
            match self.take(stitch, n == 0 || !together) {
                Ok(one) => taken.push(On::Loop(one)),
                Err(trouble) => {
                    self.right.append(&mut taken);
                    return Err(trouble);
                }
            }
        }
        Ok(taken)
    }

    /// The next stitch ahead, as it shows on the right side.
    pub fn next_shows_purl(&self) -> bool {
        self.left.iter().rev().find_map(|on| if let On::Loop(l) = on { Some(l.purl) } else { None })
            == Some(true)
    }

    /// Stitches up to the next of something, the end of the row aside.
    pub fn up_to(&self, wanted: impl Fn(On) -> bool) -> Option<u32> {
        let mut stitches = 0;
        for on in self.left.iter().rev() {
            match on {
                on if wanted(*on) => return Some(stitches),
                On::Loop(_) => stitches += 1,
                _ => {}
            }
        }
        None
    }
}

pub(super) const fn shows_purl(seen: Stitch) -> bool {
    matches!(
        seen,
        Stitch::P
            | Stitch::Ptbl
            | Stitch::P2tog
            | Stitch::Ssp
            | Stitch::P3tog
            | Stitch::S2pp
            | Stitch::Sssp
            | Stitch::M1lp
            | Stitch::M1rp
    )
}

/// Stitches that rest somewhere under a name.
#[derive(Clone, Debug)]
pub(super) struct Group {
    pub name: Name,
    /// In the order in which the right side is worked.
    pub on: Vec<On>,
}
