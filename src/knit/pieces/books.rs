//! The ledger of worked pieces: what each step opens and closes, copy by copy.

use super::ledger::{Ledger, LedgerError, StepAt, Way};
use super::model::{EndEdge, StartEdge};
use super::steps::{CastOn, Finish, bridge_group};
use super::worked::{Taken, WorkedExtra, WorkedPiece};

/// The group of both edges of an opening.
pub(super) fn opening_group(name: &str) -> String {
    format!("{name} opening")
}

/// A step of a worked piece, in the order they are done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WorkedStep<'a> {
    /// Casts on so many stitches.
    CastOn(u32),
    /// Takes up or picks up stitches; empty where they are picked up along an edge that is not named.
    TakeUp(&'a [Taken]),
    /// Joins for the round.
    Join,
    /// Works the band at this place.
    Band(usize),
    /// Does what is done after a band.
    Extra(&'a WorkedExtra),
    /// Binds off.
    BindOff(u32),
    /// Leaves the stitches live.
    Hold,
    /// Draws the yarn through.
    DrawThrough(u32),
    /// Grafts the first half to the second.
    GraftHalves(u32),
    /// Finishes.
    Finish(&'a Finish),
}

impl WorkedStep<'_> {
    /// Trade name, sentence case.
    pub const fn name(&self) -> &'static str {
        match self {
            Self::CastOn(_) => "Cast on",
            Self::TakeUp(_) => "Take up",
            Self::Join => "Join for the round",
            Self::Band(_) => "Band",
            Self::Extra(WorkedExtra::Opening { .. }) => "Opening on waste yarn",
            Self::Extra(WorkedExtra::ShortRows { .. }) => "Short rows",
            Self::Extra(WorkedExtra::HeelTurn { .. }) => "Heel turn",
            Self::Extra(WorkedExtra::Steek { .. }) => "Steek",
            Self::BindOff(_) => "Bind off",
            Self::Hold => "Set aside",
            Self::DrawThrough(_) => "Draw through",
            Self::GraftHalves(_) => "Graft halves",
            Self::Finish(finish) => finish.name(),
        }
    }
}

impl WorkedPiece {
    /// Its steps, from the first to the last.
    pub fn steps(&self) -> Vec<WorkedStep<'_>> {
        let mut steps = match self.start {
            StartEdge::CastOn => vec![WorkedStep::CastOn(self.first_stitches())],
            StartEdge::PickedUp | StartEdge::Joined => vec![WorkedStep::TakeUp(&self.taken)],
        };
        if self.construction == crate::knit::Construction::InTheRound {
            steps.push(WorkedStep::Join);
        }
        for (place, band) in self.bands.iter().enumerate().filter(|(_, band)| band.rows() > 0) {
            steps.push(WorkedStep::Band(place));
            steps.extend(band.then.iter().map(WorkedStep::Extra));
        }
        let last = self.last_stitches();
        steps.push(match self.end {
            EndEdge::BoundOff => WorkedStep::BindOff(last),
            EndEdge::Live => WorkedStep::Hold,
            EndEdge::DrawnTogether => WorkedStep::DrawThrough(last),
            EndEdge::Grafted => WorkedStep::GraftHalves(last),
        });
        steps.extend(self.finish.iter().map(WorkedStep::Finish));
        steps
    }
}

/// What the loops of a provisional cast-on are called when the waste yarn is taken out.
pub fn cast_on_group(piece: &str) -> String {
    format!("{} cast on edge", piece.to_lowercase())
}

/// A step that could not be booked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unbooked {
    /// Which.
    pub at: StepAt,
    /// Why.
    pub error: LedgerError,
}

/// The ledger and what went wrong on the way.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Books {
    /// Live groups and every line.
    pub ledger: Ledger,
    /// Steps that could not be booked.
    pub unbooked: Vec<Unbooked>,
    /// Groups that rest and are taken up only by name.
    resting: Vec<String>,
}

impl Books {
    /// The books of all pieces of one size.
    pub fn of<'a>(pieces: impl IntoIterator<Item = &'a WorkedPiece>) -> Self {
        let mut books = Self::default();
        for (place, piece) in pieces.into_iter().enumerate() {
            books.book(place, piece);
        }
        books
    }

    /// Whether every stitch was closed and every step booked.
    pub fn close(&self) -> bool {
        self.ledger.live().is_empty() && self.unbooked.is_empty()
    }

    /// The name under which a copy knows a group: its own first.
    fn resolve(&self, copy: Option<&str>, name: &str) -> String {
        let own = copy.map(|copy| format!("{copy} {name}"));
        own.filter(|own| self.ledger.stitches(own) > 0).unwrap_or_else(|| name.to_owned())
    }

    /// Stitches of a group as a copy knows it; 0 when it is not live.
    pub(super) fn stitches(&self, copy: Option<&str>, name: &str) -> u32 {
        self.ledger.stitches(&self.resolve(copy, name))
    }

    /// The groups that are live and do not rest.
    pub(super) fn free(&self) -> Vec<Taken> {
        let free = self.ledger.live().iter().filter(|group| !self.resting.contains(&group.name));
        free.map(|group| Taken::Group { name: group.name.clone(), stitches: group.stitches }).collect()
    }

    /// Books all copies of a piece.
    pub(super) fn book(&mut self, place: usize, piece: &WorkedPiece) {
        let steps = piece.steps();
        for copy in 0..piece.copies {
            let copy = piece.copy_name(copy);
            let mut needle = Needle { books: self, copy, name: format!("{} on the needle", piece.name) };
            for (step, worked) in steps.iter().enumerate() {
                let at = StepAt { piece: place, step };
                // What is done at the end is done once, for all copies.
                if matches!(worked, WorkedStep::Finish(_)) && piece.copy_name(piece.copies - 1) != copy {
                    continue;
                }
                if let Err(error) = needle.book(at, piece, worked) {
                    needle.books.unbooked.push(Unbooked { at, error });
                    break;
                }
            }
        }
    }
}

/// One copy of a piece on its way.
struct Needle<'a> {
    books: &'a mut Books,
    copy: Option<&'static str>,
    name: String,
}

impl Needle<'_> {
    fn outside(&self, name: &str) -> String {
        self.copy.map_or_else(|| name.to_owned(), |copy| format!("{copy} {name}"))
    }

    fn book(&mut self, at: StepAt, piece: &WorkedPiece, step: &WorkedStep) -> Result<(), LedgerError> {
        let name = self.name.clone();
        match step {
            WorkedStep::CastOn(stitches) => {
                self.books.ledger.open(at, &name, *stitches, Way::CastOn)?;
                if piece.cast_on == CastOn::Provisional {
                    // The loops on the waste yarn wait to be grafted.
                    let group = self.outside(&cast_on_group(&piece.name));
                    self.books.ledger.open(at, &group, *stitches, Way::CastOn)?;
                    self.books.resting.push(group);
                }
            }
            WorkedStep::TakeUp([]) => {
                self.books.ledger.open(at, &name, piece.first_stitches(), Way::PickedUp)?;
            }
            WorkedStep::TakeUp(taken) => self.take_up(at, taken)?,
            WorkedStep::Join | WorkedStep::Extra(WorkedExtra::ShortRows { .. }) => {}
            WorkedStep::Extra(WorkedExtra::HeelTurn { left, .. }) => {
                self.books.ledger.resize(at, &name, *left)?;
            }
            WorkedStep::Band(place) => {
                let band = &piece.bands[*place];
                for stitches in std::iter::once(&band.start.stitches).chain(&band.row_stitches) {
                    if self.books.ledger.stitches(&name) != *stitches {
                        self.books.ledger.resize(at, &name, *stitches)?;
                    }
                }
            }
            WorkedStep::Extra(WorkedExtra::Opening { name: opening, stitches, .. }) => {
                let group = self.outside(&opening_group(opening));
                self.books.ledger.open(at, &group, 2 * stitches, Way::PickedUp)?;
                self.books.resting.push(group);
            }
            WorkedStep::Extra(WorkedExtra::Steek { name: steek, aside, bridge }) => {
                if *aside > 0 {
                    let group = self.outside(steek);
                    self.books.ledger.part(at, &name, &group, *aside)?;
                    self.books.resting.push(group);
                }
                self.books.ledger.add(at, &name, *bridge, Way::CastOn)?;
            }
            WorkedStep::BindOff(_) => drop(self.books.ledger.close(at, &name, Way::BoundOff)?),
            WorkedStep::DrawThrough(_) => drop(self.books.ledger.close(at, &name, Way::DrawnThrough)?),
            WorkedStep::GraftHalves(stitches) if stitches.is_multiple_of(2) => {
                self.books.ledger.close(at, &name, Way::Grafted)?;
            }
            WorkedStep::GraftHalves(stitches) => {
                return Err(LedgerError::Unequal {
                    first: "the first half".to_owned(),
                    second: "the second half".to_owned(),
                    has: (stitches / 2, stitches - stitches / 2),
                });
            }
            WorkedStep::Hold => {
                for part in &piece.live {
                    let group = self.outside(&part.name);
                    self.books.ledger.part(at, &name, &group, part.stitches)?;
                    if part.rests {
                        self.books.resting.push(group);
                    }
                }
            }
            WorkedStep::Finish(finish) => self.finish(at, finish)?,
        }
        Ok(())
    }

    fn take_up(&mut self, at: StepAt, taken: &[Taken]) -> Result<(), LedgerError> {
        let mut groups = Vec::new();
        let mut new = 0;
        for taken in taken {
            match taken {
                Taken::Group { name, .. } => groups.push(self.books.resolve(self.copy, name)),
                Taken::Opening { name, corners, .. } => {
                    groups.push(self.books.resolve(self.copy, &opening_group(name)));
                    new += 2 * corners;
                }
                Taken::PickedUp { stitches, .. } | Taken::CastOn { stitches } => new += stitches,
            }
        }
        let name = self.name.clone();
        if groups.is_empty() {
            return self.books.ledger.open(at, &name, new, Way::PickedUp);
        }
        self.books.ledger.take_up(at, &groups, &name)?;
        self.books.ledger.add(at, &name, new, Way::PickedUp)
    }

    fn finish(&mut self, at: StepAt, finish: &Finish) -> Result<(), LedgerError> {
        let (one, other, way) = match finish {
            Finish::Graft { one, other } => (one, other, Way::Grafted),
            Finish::ThreeNeedle { one, other } => (one, other, Way::BoundOff),
            Finish::Seam(_) => return Ok(()),
            Finish::Steek { place, .. } => {
                let bridge = self.books.resolve(self.copy, &bridge_group(place));
                if self.books.ledger.stitches(&bridge) > 0 {
                    self.books.ledger.close(at, &bridge, Way::BoundOff)?;
                }
                return Ok(());
            }
        };
        let one = self.books.resolve(self.copy, one);
        let other = self.books.resolve(self.copy, other);
        self.books.ledger.close_both(at, (&one, &other), way).map(drop)
    }
}
