//! Following the sentences: numbers of rows, and what is worked in which.

use std::rc::Rc;

use super::needle::Trouble;
use super::{Knitter, word};
use crate::words::{Colour, Course, Item, Label, Line, Rows, Side, Step, Work};

/// A row that was worked, so that it can be worked again.
#[derive(Clone, Debug)]
pub(super) struct Logged {
    pub work: Rc<Work>,
    /// The colour it was worked with.
    pub colour: Option<Colour>,
    /// Its place among the rows worked alike, from 0.
    pub phase: u32,
    pub closing_gaps: bool,
    pub course: Course,
    /// Whether "every even rnd" said it, not a line of its own.
    pub by_rule: bool,
    /// The side that faced.
    pub side: Side,
}

/// The rows of a piece, and how they are numbered.
#[derive(Debug, Default)]
pub(super) struct Log {
    pub worked: Vec<Logged>,
    /// Rows of the whole piece.
    pub rows: u32,
    /// The number of the last row, in words.
    pub number: u32,
    /// Rows of this section, while no label has given a number in it: the first number may begin anew.
    pub fresh: Option<u32>,
    /// What every even (or odd) row is.
    pub standing: Option<(u32, Rc<Work>)>,
}

impl Log {
    pub fn begin_section(&mut self) {
        self.fresh = Some(0);
        self.standing = None;
    }
}

impl Knitter<'_> {
    /// Follows a line, and counts what it says is there then.
    pub(super) fn line(&mut self, line: &Line) -> Result<(), Trouble> {
        self.spend(1)?;
        match &line.step {
            Step::Rows(rows) => self.rows(rows)?,
            Step::Repeat { rows, times, course } => {
                self.repeat(rows.get(self.size), times.get(self.size), *course)?;
            }
            Step::GoOn { changes, paces, between, course } => {
                self.go_on(changes, paces, between.as_ref(), *course)?;
            }
            step => self.step(step)?,
        }
        let there = self.needle.stitches();
        if let Some(said) = line.count.as_ref().map(|count| count.get(self.size))
            && said != there
        {
            self.stumble(format!("{said} sts are said, but {there} are on the needle"));
        }
        Ok(())
    }

    fn rows(&mut self, rows: &Rows) -> Result<(), Trouble> {
        let count = self.numbers(rows)?;
        if count == 0 {
            return Ok(());
        }
        if let Some(said) = rows.side {
            if self.needle.facing.is_none() {
                self.needle.face(said);
            } else if self.needle.facing != Some(said) {
                let (said, other) = (said.abbreviation(), said.other().abbreviation());
                self.stumble(format!("the row is said to be on the {said}, but it falls on the {other}"));
            }
        }
        self.yarn = rows.colour.or(self.yarn);
        let work = Rc::new(rows.work.clone());
        self.check_count(&work, count, rows.course);
        for phase in 0..count {
            self.log_row(Logged {
                work: Rc::clone(&work),
                colour: self.yarn,
                phase,
                closing_gaps: rows.closing_gaps,
                course: rows.course,
                by_rule: matches!(rows.label, Label::EverySecond(_)),
                side: self.needle.facing.unwrap_or(Side::Right),
            })?;
        }
        if let Label::EverySecond(_) = rows.label {
            self.log.standing = Some((self.log.number % 2, work));
        }
        Ok(())
    }

    /// Works a row and remembers it.
    pub(super) fn log_row(&mut self, mut one: Logged) -> Result<(), Trouble> {
        one.side = self.needle.facing.unwrap_or(Side::Right);
        self.row(&one)?;
        if let Work::Striped { .. } = *one.work
            && let Some((colour, _)) = self.needle_colour()
        {
            self.yarn = Some(colour);
        } else {
            self.yarn = one.colour.or(self.yarn);
        }
        self.log.number += 1;
        self.log.fresh = self.log.fresh.map(|rows| rows + 1);
        self.log.worked.push(one);
        Ok(())
    }

    /// The colour of the last stitch made.
    fn needle_colour(&self) -> Option<(Colour, crate::words::Stitch)> {
        self.pieces.last()?.rows.last()?.stitches.last().copied()
    }

    /// How many rows a label means; says so when its numbers do not follow.
    fn numbers(&mut self, rows: &Rows) -> Result<u32, Trouble> {
        let size = self.size;
        let (from, count) = match &rows.label {
            Label::Next(count) => return Ok(count.get(size)),
            Label::EverySecond(first) => (*first, 1),
            Label::Numbered { from, to } => {
                let (from, to) = (from.get(size), to.get(size));
                let count = (to + 1).checked_sub(from).filter(|count| *count > 0);
                (from, count.ok_or_else(|| format!("rows {from} to {to} cannot be"))?)
            }
        };
        if let Some(rows) = self.log.fresh.take().filter(|rows| from == rows + 1 || from == 1) {
            self.log.number = if from == 1 { 0 } else { rows };
        }
        while self.log.number + 1 < from
            && let Some((parity, work)) = self.log.standing.clone()
            && (self.log.number + 1) % 2 == parity
        {
            self.by_rule(work, rows.course)?;
        }
        let next = self.log.number + 1;
        if from != next {
            let word = word(rows.course);
            self.stumble(format!("{word} {from} is said, but {word} {next} comes next"));
            self.log.number = from.saturating_sub(1);
        }
        Ok(count)
    }

    pub(super) fn by_rule(&mut self, work: Rc<Work>, course: Course) -> Result<(), Trouble> {
        let side = self.needle.facing.unwrap_or(Side::Right);
        let colour = self.yarn;
        self.log_row(Logged { work, colour, phase: 0, closing_gaps: false, course, by_rule: true, side })
    }

    /// The rows of a chart must be as many as are worked.
    fn check_count(&mut self, work: &Work, count: u32, course: Course) {
        let (from, to, times) = match work {
            Work::Chart(chart) => (&chart.from, &chart.to, &chart.times),
            Work::ChartAsSet(chart) => (&chart.from, &chart.to, &chart.times),
            _ => return,
        };
        let (from, to) = (from.get(self.size), to.get(self.size));
        let rows = (to + 1).saturating_sub(from).saturating_mul(times.get(self.size));
        if rows != count {
            let word = word(course);
            self.stumble(format!("{count} {word}s are said, but {rows} rows of the chart"));
        }
    }
}

/// Whether the last instruction of a row is a turn.
pub(super) fn ends_in_turn(work: &Work) -> bool {
    matches!(work, Work::Formula(items) if matches!(items.last(), Some(Item::Turn(_))))
}

/// Whether a row places the marker of the round.
pub(super) fn joins(work: &Work) -> bool {
    matches!(work, Work::Formula(items) if items.contains(&Item::RoundMarker))
}
