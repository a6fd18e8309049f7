//! Rows that come again, alike or changed.

use std::rc::Rc;

use super::lines::Logged;
use super::needle::Trouble;
use super::{Knitter, word};
use crate::words::{Change, Course, Item, Pace, PerSize, Stitch, Work};

impl Knitter<'_> {
    /// `Rep the last 2 rnds 5 times more.`
    pub(super) fn repeat(&mut self, rows: u32, times: u32, course: Course) -> Result<(), Trouble> {
        let known = self.log.worked.len();
        let Some(from) = known.checked_sub(rows as usize).filter(|_| rows > 0) else {
            let word = word(course);
            return Err(format!("the last {rows} {word}s are asked for, but there are {known}").into());
        };
        if let Some(other) = self.log.worked[from..].iter().find(|one| one.course != course) {
            let (said, was) = (word(course), word(other.course));
            self.stumble(format!("{said}s are said, but these were {was}s"));
        }
        for _ in 0..times {
            for n in 0..rows as usize {
                let one = self.log.worked[from + n].clone();
                self.check_side(&one);
                self.log_row(one)?;
            }
        }
        Ok(())
    }

    /// A row comes again on the side it was on.
    fn check_side(&mut self, one: &Logged) {
        if self.needle.facing.is_some_and(|facing| facing != one.side) {
            let (was, now) = (one.side.abbreviation(), one.side.other().abbreviation());
            self.stumble(format!("a row of the {was} comes again on the {now}"));
        }
    }

    /// `Go on so, with one st fewer before each k2tog, on every 2nd rnd 9 times more.`
    pub(super) fn go_on(
        &mut self,
        changes: &[Change],
        paces: &[Pace],
        between: Option<&Work>,
        course: Course,
    ) -> Result<(), Trouble> {
        let written = self.log.worked.iter().rposition(|one| !one.by_rule);
        let Some(at) = written else { return Err("there is no row to go on from".to_owned().into()) };
        let base = self.log.worked[at].clone();
        let mut since = (self.log.worked.len() - 1 - at) as u32;
        if base.course != course {
            let (said, was) = (word(course), word(base.course));
            self.stumble(format!("{said}s are said, but the last was a {was}"));
        }
        let between = between.map(|work| Rc::new(work.clone()));
        let mut changed = 0;
        for pace in paces {
            let (every, times) = (pace.every.get(self.size), pace.times.get(self.size));
            for _ in 0..times {
                let plain = every.checked_sub(1 + since).ok_or_else(|| {
                    format!("every {every} rows are said, but {since} rows were worked already")
                })?;
                for n in 0..plain {
                    self.between(between.as_ref(), since + n, course)?;
                }
                since = 0;
                changed += 1;
                let work = self.changed(&base.work, changes, changed)?;
                let one = Logged { work, colour: self.yarn, ..base.clone() };
                self.check_side(&one);
                self.log_row(one)?;
            }
        }
        Ok(())
    }

    /// A row between: as the sentence says, else as "every even rnd" says.
    fn between(&mut self, said: Option<&Rc<Work>>, phase: u32, course: Course) -> Result<(), Trouble> {
        if let Some(work) = said {
            let side = self.needle.facing.unwrap_or(crate::words::Side::Right);
            let (work, colour) = (Rc::clone(work), self.yarn);
            let one = Logged { work, colour, phase, closing_gaps: false, course, by_rule: true, side };
            return self.log_row(one);
        }
        let next = (self.log.number + 1) % 2;
        match self.log.standing.clone().filter(|(parity, _)| *parity == next) {
            Some((_, work)) => self.by_rule(work, course),
            None => Err(format!("nothing says what is worked in the {}s between", word(course)).into()),
        }
    }

    /// A row with its counts changed so many times over.
    fn changed(&mut self, work: &Rc<Work>, changes: &[Change], times: i64) -> Result<Rc<Work>, Trouble> {
        if changes.is_empty() {
            return Ok(Rc::clone(work));
        }
        let Work::Formula(items) = &**work else {
            return Err("only a row that is written out stitch by stitch can be changed".to_owned().into());
        };
        let mut items = items.clone();
        for change in changes {
            let by = i64::from(change.by) * times;
            let mut found = false;
            let fits = change_before(&mut items, change.before, by, self.size, &mut found);
            let stitch = change.before.abbreviation();
            if !found {
                return Err(format!("no k or p stands right before a {stitch} in the last row").into());
            }
            if !fits {
                return Err(format!("no sts are left before each {stitch} to work fewer of").into());
            }
        }
        Ok(Rc::new(Work::Formula(items)))
    }
}

/// Changes the knits and purls right before a stitch; `false` when one would fall below 0.
fn change_before(items: &mut [Item], before: Stitch, by: i64, size: usize, found: &mut bool) -> bool {
    let mut fits = true;
    for at in 0..items.len() {
        let follows = matches!(items.get(at + 1), Some(Item::Work { stitch, .. }) if *stitch == before);
        match &mut items[at] {
            Item::Work { stitch: Stitch::K | Stitch::P, times, .. } if follows => {
                let changed = i64::from(times.get(size)) + by;
                *times = PerSize::all(changed.clamp(0, i64::from(u32::MAX)) as u32);
                fits &= changed >= 0;
                *found = true;
            }
            Item::Group { items, .. } | Item::Star { items, .. } => {
                fits &= change_before(items, before, by, size, found);
            }
            _ => {}
        }
    }
    fits
}
