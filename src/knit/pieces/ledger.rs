//! The ledger of live stitches: every named group is opened once and closed once.
//!
//! As in double-entry book-keeping each step debits and credits groups of stitches. What is still open
//! after the last step has been left on a needle or a thread, and the pattern is not finished.

use std::fmt;

use thiserror::Error;

use crate::units::counted;

/// The place of a step: the piece and the step in it, both from 0.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct StepAt {
    /// Piece.
    pub piece: usize,
    /// Step of the piece.
    pub step: usize,
}

/// How stitches come to be live or cease to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Way {
    /// Cast on.
    CastOn,
    /// Picked up along an edge.
    PickedUp,
    /// Made by increases.
    Increased,
    /// Taken out by decreases.
    Decreased,
    /// Bound off, alone or with another group.
    BoundOff,
    /// Grafted to another group.
    Grafted,
    /// Drawn together on the yarn.
    DrawnThrough,
}

/// A line of the ledger: stitches that began or ceased to be live.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Where.
    pub at: StepAt,
    /// How.
    pub way: Way,
    /// How many.
    pub stitches: u32,
}

/// A group of live stitches.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// Its name, e.g. `left underarm of the body`.
    pub name: String,
    /// Its stitches.
    pub stitches: u32,
    /// Where it was opened.
    pub opened: StepAt,
}

/// Why a step cannot be booked.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum LedgerError {
    /// The name is taken by a group that is still live.
    #[error("{name} is live already: close it first, or give these stitches another name")]
    Twice {
        /// The group.
        name: String,
    },
    /// No live stitches have this name.
    #[error("no stitches called {name} are live here: set them aside in an earlier step")]
    Missing {
        /// The group.
        name: String,
    },
    /// Two groups that must be equal are not.
    #[error(
        "{first} has {} and {second} has {}: they can only be joined stitch by stitch when they have as many",
        Stitches(.has.0),
        Stitches(.has.1)
    )]
    Unequal {
        /// One group.
        first: String,
        /// The other.
        second: String,
        /// Their stitches.
        has: (u32, u32),
    },
    /// More stitches are asked for than there are.
    #[error("{name} has {}, fewer than the {asked} asked for", Stitches(*.has))]
    Short {
        /// The group.
        name: String,
        /// What it has.
        has: u32,
        /// What is asked for.
        asked: u32,
    },
}

/// `1 stitch`, `2 stitches`.
struct Stitches(u32);

impl fmt::Display for Stitches {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&counted(self.0.into(), "stitch", "stitches"))
    }
}

/// The live stitches of one size, as the steps go on.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ledger {
    open: Vec<Group>,
    entries: Vec<Entry>,
}

impl Ledger {
    fn place(&self, name: &str) -> Result<usize, LedgerError> {
        let found = self.open.iter().position(|group| group.name == name);
        found.ok_or_else(|| LedgerError::Missing { name: name.to_owned() })
    }

    fn enter(&mut self, at: StepAt, way: Way, stitches: u32) {
        if stitches > 0 {
            self.entries.push(Entry { at, way, stitches });
        }
    }

    /// New stitches under a new name; none open nothing.
    ///
    /// # Errors
    /// [`LedgerError::Twice`] when the name is taken.
    pub fn open(&mut self, at: StepAt, name: &str, stitches: u32, way: Way) -> Result<(), LedgerError> {
        self.enter(at, way, stitches);
        self.put(at, name, stitches)
    }

    /// Live stitches go on under a new name.
    fn put(&mut self, at: StepAt, name: &str, stitches: u32) -> Result<(), LedgerError> {
        if self.place(name).is_ok() {
            return Err(LedgerError::Twice { name: name.to_owned() });
        }
        if stitches > 0 {
            self.open.push(Group { name: name.to_owned(), stitches, opened: at });
        }
        Ok(())
    }

    /// A group becomes `stitches` wide by increases or decreases.
    ///
    /// # Errors
    /// [`LedgerError::Missing`] when it is not live.
    pub fn resize(&mut self, at: StepAt, name: &str, stitches: u32) -> Result<(), LedgerError> {
        let place = self.place(name)?;
        let has = std::mem::replace(&mut self.open[place].stitches, stitches);
        let way = if stitches > has { Way::Increased } else { Way::Decreased };
        self.enter(at, way, stitches.abs_diff(has));
        if stitches == 0 {
            self.open.remove(place);
        }
        Ok(())
    }

    /// Makes stitches of a group beside what it has (cast on over a gap, picked up).
    ///
    /// # Errors
    /// [`LedgerError::Missing`] when it is not live.
    pub fn add(&mut self, at: StepAt, name: &str, stitches: u32, way: Way) -> Result<(), LedgerError> {
        let place = self.place(name)?;
        self.open[place].stitches += stitches;
        self.enter(at, way, stitches);
        Ok(())
    }

    /// Takes `stitches` of `from` into a new group called `name`.
    ///
    /// # Errors
    /// [`LedgerError::Missing`], [`LedgerError::Short`] or [`LedgerError::Twice`].
    pub fn part(&mut self, at: StepAt, from: &str, name: &str, stitches: u32) -> Result<(), LedgerError> {
        let place = self.place(from)?;
        let has = self.open[place].stitches;
        let left = has.checked_sub(stitches).ok_or_else(|| LedgerError::Short {
            name: from.to_owned(),
            has,
            asked: stitches,
        })?;
        self.open[place].stitches = left;
        if left == 0 {
            self.open.remove(place);
        }
        self.put(at, name, stitches)
    }

    /// Takes up groups, which become one called `name`; returns its stitches.
    ///
    /// # Errors
    /// [`LedgerError::Missing`] for the first that is not live, or [`LedgerError::Twice`].
    pub fn take_up(&mut self, at: StepAt, groups: &[String], name: &str) -> Result<u32, LedgerError> {
        for group in groups {
            self.place(group)?;
        }
        let mut all = 0;
        for group in groups {
            let place = self.place(group)?;
            all += self.open.remove(place).stitches;
        }
        self.put(at, name, all)?;
        Ok(all)
    }

    /// Closes a group; returns its stitches.
    ///
    /// # Errors
    /// [`LedgerError::Missing`] when it is not live.
    pub fn close(&mut self, at: StepAt, name: &str, way: Way) -> Result<u32, LedgerError> {
        let place = self.place(name)?;
        let stitches = self.open.remove(place).stitches;
        self.enter(at, way, stitches);
        Ok(stitches)
    }

    /// Closes two groups of equal stitches against each other; returns the stitches of one.
    ///
    /// # Errors
    /// [`LedgerError::Missing`] or [`LedgerError::Unequal`].
    pub fn close_both(
        &mut self,
        at: StepAt,
        (first, second): (&str, &str),
        way: Way,
    ) -> Result<u32, LedgerError> {
        let has = (self.open[self.place(first)?].stitches, self.open[self.place(second)?].stitches);
        if has.0 != has.1 || first == second {
            return Err(LedgerError::Unequal { first: first.to_owned(), second: second.to_owned(), has });
        }
        self.close(at, first, way)?;
        self.close(at, second, way)
    }

    /// The stitches of a group; 0 when it is not live.
    pub fn stitches(&self, name: &str) -> u32 {
        self.place(name).map_or(0, |place| self.open[place].stitches)
    }

    /// The groups that are live, in the order they were opened.
    pub fn live(&self) -> &[Group] {
        &self.open
    }

    /// Stitches made less stitches closed: what must be live.
    pub fn balance(&self) -> i64 {
        let signed = |entry: &Entry| match entry.way {
            Way::CastOn | Way::PickedUp | Way::Increased => i64::from(entry.stitches),
            Way::Decreased | Way::BoundOff | Way::Grafted | Way::DrawnThrough => -i64::from(entry.stitches),
        };
        self.entries.iter().map(signed).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const AT: StepAt = StepAt { piece: 0, step: 0 };

    fn names(names: &[&str]) -> Vec<String> {
        names.iter().map(|name| (*name).to_owned()).collect()
    }

    #[test]
    fn a_yoke_closes_and_without_the_grafts_its_underarms_stay_open() {
        let mut ledger = Ledger::default();
        ledger.open(AT, "body", 256, Way::CastOn).unwrap();
        for (name, n) in [("left underarm", 20), ("front", 108), ("right underarm", 20), ("back", 108)] {
            ledger.part(AT, "body", name, n).unwrap();
        }
        for side in ["left", "right"] {
            ledger.open(AT, "sleeve", 54, Way::CastOn).unwrap();
            ledger.resize(AT, "sleeve", 84).unwrap();
            ledger.part(AT, "sleeve", &format!("{side} sleeve underarm"), 20).unwrap();
            ledger.take_up(AT, &names(&["sleeve"]), &format!("{side} sleeve")).unwrap();
        }
        let order = names(&["left sleeve", "front", "right sleeve", "back"]);
        assert_eq!(ledger.take_up(AT, &order, "yoke").unwrap(), 344);
        ledger.resize(AT, "yoke", 104).unwrap();
        ledger.close(AT, "yoke", Way::BoundOff).unwrap();
        let left: Vec<&str> = ledger.live().iter().map(|group| group.name.as_str()).collect();
        assert_eq!(
            left,
            ["left underarm", "right underarm", "left sleeve underarm", "right sleeve underarm"]
        );
        assert_eq!(ledger.balance(), 80);
        for side in ["left", "right"] {
            let pair = (format!("{side} underarm"), format!("{side} sleeve underarm"));
            assert_eq!(ledger.close_both(AT, (&pair.0, &pair.1), Way::Grafted).unwrap(), 20);
        }
        assert_eq!((ledger.live().len(), ledger.balance()), (0, 0));
    }

    #[test]
    fn what_cannot_be_is_refused_in_words() {
        let mut ledger = Ledger::default();
        ledger.open(AT, "hand", 1, Way::CastOn).unwrap();
        let words = ledger.open(AT, "hand", 3, Way::CastOn).unwrap_err().to_string();
        assert!(words.starts_with("hand is live already"), "{words}");
        let words = ledger.part(AT, "hand", "thumb", 5).unwrap_err().to_string();
        assert_eq!(words, "hand has 1 stitch, fewer than the 5 asked for");
        let words = ledger.take_up(AT, &names(&["hand", "thumb"]), "all").unwrap_err().to_string();
        assert!(words.starts_with("no stitches called thumb are live here"), "{words}");
        assert_eq!(ledger.stitches("hand"), 1, "a refused step changes nothing");
        ledger.part(AT, "hand", "thumb", 1).unwrap();
        assert_eq!(ledger.live().len(), 1, "a group of nothing is closed");
        ledger.open(AT, "hand", 4, Way::PickedUp).unwrap();
        let words = ledger.close_both(AT, ("hand", "thumb"), Way::Grafted).unwrap_err().to_string();
        assert!(words.starts_with("hand has 4 stitches and thumb has 1 stitch"), "{words}");
        assert!(ledger.close_both(AT, ("hand", "hand"), Way::Grafted).is_err(), "a group has one edge");
    }
}
