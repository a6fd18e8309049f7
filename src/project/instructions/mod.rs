//! The pieces of a project, worked in every size, as a pattern in words.
//!
//! Steps become sentences: each says the colour, the action, the amount in every size and the count
//! afterwards. What cannot be said so that it can be knitted is refused with its place.

mod bands;
mod charts;
mod ends;
mod formula;
mod notes;
mod short_rows;
mod steeks;

use std::borrow::Cow;

use thiserror::Error;

use super::model::Project;
use crate::chart::Rect;
use crate::knit::pieces::{Measure, PieceError, Size, WorkedPiece, WorkedStep};
use crate::knit::{Construction, Gauge};
use crate::words::{
    Amount, Code, Colour, Copies, Course, Label, Line, MAX_SIZES, Name, Only, Pattern, PerSize, Piece, Rows,
    Section, Side, SizeName, Step, Text, Work, Yarn, YarnBasis,
};
use crate::yarn::{Needs, Washing};

/// Heading of what is done when all pieces are knitted; the last section of the last piece.
pub const TO_FINISH: &str = "To finish";

/// Why pieces cannot be put in words.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum Unwritten {
    /// A piece that cannot be worked.
    #[error(transparent)]
    Piece(#[from] PieceError),
    /// A band whose rows cannot be said.
    #[error("piece '{piece}', band '{band}': {why}")]
    Band {
        /// The piece.
        piece: String,
        /// The band.
        band: String,
        /// What cannot be said, and what to do.
        why: Cow<'static, str>,
    },
    /// More sizes than a pattern can be written in.
    #[error("a pattern is written in {MAX_SIZES} sizes at the most, not {0}: take some out")]
    TooManySizes(usize),
    /// A piece without a name.
    #[error("a piece has no name: give it one")]
    NoName,
}

impl Project {
    /// What the virtual knitter counts this project's yarn by: the same as every other figure of yarn.
    pub fn yarn_basis(&self) -> YarnBasis {
        let (loop_length, loop_source) = self.stitch_yarn();
        let plan = &self.plan;
        let float_limit = plan.float_limit.in_stitches(plan.gauge);
        YarnBasis { gauge: plan.gauge, loop_length, loop_source, float_limit, tail_cm: plan.tail_cm }
    }

    /// The pieces in words, for all sizes at once.
    ///
    /// # Errors
    /// [`Unwritten`] naming the piece and band that cannot be worked or said.
    pub fn instructions(&self) -> Result<Pattern, Unwritten> {
        self.instructions_and_charts().map(|(pattern, _)| pattern)
    }

    /// The same, with the part of the project's chart that each chart of the pattern is.
    ///
    /// # Errors
    /// [`Unwritten`] naming the piece and band that cannot be worked or said.
    pub fn instructions_and_charts(&self) -> Result<(Pattern, Vec<Rect>), Unwritten> {
        let sizes = self.pieces.all_sizes();
        if sizes.len() > MAX_SIZES {
            return Err(Unwritten::TooManySizes(sizes.len()));
        }
        let worked: Vec<Vec<WorkedPiece>> =
            sizes.iter().map(|size| self.work_pieces(size)).collect::<Result<_, _>>()?;
        let mut writer = Writer { project: self, sizes: &sizes, worked: &worked, charts: Vec::new() };
        let pattern = writer.pattern()?;
        Ok((pattern, writer.charts.iter().map(|part| part.region).collect()))
    }
}

/// All pieces on their way into words.
struct Writer<'a> {
    project: &'a Project,
    sizes: &'a [Size],
    /// For each size its pieces.
    worked: &'a [Vec<WorkedPiece>],
    charts: Vec<charts::ChartPart>,
}

/// How a piece is finished that is washed by hand (common practice, no published source).
const BY_HAND: &[&str] = &[
    "Soak the work, press out the water in a towel, and dry it flat to its measures.",
    "Wash as the label of the yarn says.",
];
/// The same for one that goes in the machine: the first wash takes it where the others will.
const BY_MACHINE: &[&str] = &[
    "Wash the work in the machine as the label of the yarn says and as the swatch was washed, and dry it flat to its measures.",
];

impl Writer<'_> {
    fn pattern(&mut self) -> Result<Pattern, Unwritten> {
        let count = self.worked.first().map_or(0, Vec::len);
        let mut pieces = Vec::with_capacity(count);
        for place in 0..count {
            pieces.push(self.piece(place)?);
        }
        let slots = self.project.palette.slots().iter().enumerate();
        let colours =
            slots.map(|(i, slot)| Yarn { code: Code::nth(i as u8), name: SizeName::new(&slot.name) });
        Ok(Pattern {
            title: Text::new(&self.project.title).ok_or(Unwritten::NoName)?,
            sizes: self.sizes.iter().map(|size| SizeName::new(&size.name)).collect(),
            gauge: as_shown(self.project.plan.gauge),
            colours: colours.collect(),
            charts: self.charts.iter().map(|part| part.chart(self.project)).collect(),
            pieces,
        })
    }

    fn piece(&mut self, place: usize) -> Result<Piece, Unwritten> {
        let of_sizes: Vec<&WorkedPiece> = self.worked.iter().map(|pieces| &pieces[place]).collect();
        let piece = of_sizes[0];
        let mut copies: Vec<Name> = Vec::new();
        copies.extend((0..piece.copies).filter_map(|copy| piece.copy_name(copy)).map(Name::new));
        let copies = match (piece.copies, piece.sided) {
            (1, _) => Copies::One,
            (2, true) => Copies::Named(copies),
            (n, _) => Copies::Alike(n),
        };
        let edges = piece.edge_slots(&self.project.pattern()).unwrap_or_default();
        let mut page = Page::new(&of_sizes, self.worked, edges);
        page.hands = self.project.pieces.pieces.iter().any(|p| p.measures().contains(&Measure::Hand));
        for step in piece.steps_in_any(&of_sizes) {
            match step {
                WorkedStep::CastOn(_) | WorkedStep::TakeUp(_) => page.begin(),
                WorkedStep::Join => page.join(),
                WorkedStep::Band(band) => page.band(band, &mut self.charts, self.project)?,
                WorkedStep::Extra(_) => {}
                WorkedStep::Finish(finish) => page.finish(finish),
                end => page.end(&end),
            }
        }
        if place + 1 == self.worked.first().map_or(0, Vec::len) {
            page.heading(TO_FINISH);
            page.say(Step::WeaveIn);
            let washed = self.project.material.needs.map(Needs::washed);
            for note in if washed == Some(Washing::Machine) { BY_MACHINE } else { BY_HAND } {
                page.note(note);
            }
        }
        Ok(Piece {
            heading: Text::new(&piece.name).ok_or(Unwritten::NoName)?,
            copies,
            sections: page.sections,
        })
    }
}

impl WorkedPiece {
    /// The steps that are done in one size or another.
    fn steps_in_any<'p>(&'p self, sizes: &[&'p Self]) -> Vec<WorkedStep<'p>> {
        let mut steps = self.steps();
        let missing = (0..self.bands.len()).filter(|band| {
            self.bands[*band].rows() == 0 && sizes.iter().any(|piece| piece.bands[*band].rows() > 0)
        });
        for band in missing {
            let after = |step: &WorkedStep| matches!(step, WorkedStep::Band(other) if *other < band);
            let at = steps.iter().rposition(after).map_or_else(
                || steps.iter().position(|step| matches!(step, WorkedStep::Band(_))).unwrap_or(steps.len()),
                |at| at + 1,
            );
            steps.insert(at, WorkedStep::Band(band));
        }
        steps
    }
}

/// The sentences of one piece.
struct Page<'a> {
    /// The piece in every size.
    pieces: &'a [&'a WorkedPiece],
    /// All pieces of every size, for the stitches of groups.
    all: &'a [Vec<WorkedPiece>],
    sections: Vec<Section>,
    colour: Option<Colour>,
    finer: Option<bool>,
    /// Whether the next row closes the gaps of short rows.
    gaps: bool,
    /// Rows worked, in every size: their parity tells the side of a flat row.
    rows: Vec<u32>,
    /// Rows of the first band that the beginning took, in every size alike.
    begun: u32,
    /// Stitches between the lines of a raglan, in every size; empty without such lines.
    lines: Vec<Vec<u32>>,
    /// The colours of its first and its last edge.
    edges: (Colour, Colour),
    /// What has been explained.
    told: notes::Told,
    /// Whether hands are what it is for.
    hands: bool,
}

impl<'a> Page<'a> {
    fn new(
        pieces: &'a [&'a WorkedPiece],
        all: &'a [Vec<WorkedPiece>],
        (first, last): (usize, usize),
    ) -> Self {
        let colour = |slot: usize| Colour(slot.min(255) as u8);
        Self {
            pieces,
            all,
            sections: Vec::new(),
            colour: None,
            finer: None,
            gaps: false,
            rows: vec![0; pieces.len()],
            begun: 0,
            lines: Vec::new(),
            edges: (colour(first), colour(last)),
            told: notes::Told::default(),
            hands: false,
        }
    }

    fn first(&self) -> &'a WorkedPiece {
        self.pieces[0]
    }

    fn flat(&self) -> bool {
        self.first().construction == Construction::Flat
    }

    fn course(&self) -> Course {
        if self.flat() { Course::Row } else { Course::Round }
    }

    /// A figure of the piece in every size.
    fn amount(&self, of: impl Fn(&WorkedPiece) -> u32) -> Amount {
        amount(self.pieces.iter().map(|piece| of(piece)))
    }

    /// A new section, unless the one before it is still empty.
    fn heading(&mut self, words: &str) {
        let heading = Text::new(words);
        match self.sections.last_mut() {
            Some(last) if last.lines.is_empty() => last.heading = heading,
            Some(last) if last.heading == heading => {}
            _ => self.sections.push(Section { heading, lines: Vec::new() }),
        }
    }

    fn line(&mut self, line: Line) {
        if self.sections.is_empty() {
            self.sections.push(Section { heading: None, lines: Vec::new() });
        }
        if let Some(section) = self.sections.last_mut() {
            section.lines.push(line);
        }
    }

    fn say(&mut self, step: Step) {
        self.line(step.into());
    }

    fn note(&mut self, words: &str) {
        if let Some(text) = Text::new(words) {
            self.say(Step::Note(text));
        }
    }

    /// The sizes for which `meant` holds; `None` when it holds for none.
    fn only(&self, meant: impl Fn(usize) -> bool) -> Option<Only> {
        let sizes: Vec<u32> = (0..self.pieces.len()).filter(|size| meant(*size)).map(|n| n as u32).collect();
        match sizes.len() {
            0 => None,
            n if n == self.pieces.len() => Some(Only::ALL),
            _ => Some(Only { sizes, copies: Vec::new() }),
        }
    }

    /// Works so many rows alike (0 in a size leaves it out), from row `from` of the section on.
    fn work(&mut self, from: &[u32], count: &[u32], colour: usize, work: Work, said: Option<Amount>) {
        let Some(only) = self.only(|size| count[size] > 0) else { return };
        let sides: Vec<Side> = self.rows.iter().map(|rows| side(*rows)).collect();
        let meant = (0..count.len()).find(|size| count[*size] > 0).unwrap_or(0);
        if self.flat() && sides.iter().zip(count).any(|(side, n)| *n > 0 && *side != sides[meant]) {
            // Sizes that stand on different sides are told apart, each to close the gaps.
            let gaps = self.gaps;
            for facing in [Side::Right, Side::Wrong] {
                let part: Vec<u32> =
                    count.iter().zip(&sides).map(|(n, side)| if *side == facing { *n } else { 0 }).collect();
                if part.iter().any(|n| *n > 0) && part.iter().zip(count).any(|(a, b)| a != b) {
                    self.gaps = gaps;
                    self.work(from, &part, colour, work.clone(), said.clone());
                }
            }
            return;
        }
        let numbers = Label::Numbered {
            from: told(count, &|size| from[size] + 1),
            to: told(count, &|size| from[size] + count[size]),
        };
        let colour = Colour(colour.min(255) as u8);
        let charted = matches!(work, Work::Chart(_) | Work::ChartAsSet(_) | Work::Striped { .. });
        let rows = Rows {
            course: self.course(),
            label: numbers,
            side: self.flat().then(|| sides[meant]),
            colour: (!charted && self.colour != Some(colour)).then_some(colour),
            work,
            closing_gaps: std::mem::take(&mut self.gaps),
        };
        // What only some sizes are told is said again to all.
        let known = only.sizes.is_empty() || self.colour == Some(colour);
        self.colour = (!charted && known).then_some(colour);
        self.line(Line { only, step: Step::Rows(rows), count: said });
        for (rows, count) in self.rows.iter_mut().zip(count) {
            *rows += count;
        }
    }
}

/// An amount in every size; 0 where there is no size.
fn amount(values: impl IntoIterator<Item = u32>) -> Amount {
    PerSize::each(values).unwrap_or_else(|| PerSize::all(0))
}

/// A figure of the sizes that are meant (those with a count); the others have that of one which is, so that it is
/// read once.
fn told(count: &[u32], of: &dyn Fn(usize) -> u32) -> Amount {
    let meant = (0..count.len()).find(|size| count[*size] > 0).unwrap_or(0);
    amount((0..count.len()).map(|size| of(if count[size] > 0 { size } else { meant })))
}

/// A gauge as every page shows it, to a tenth of a stitch: what a swatch was counted to has no end of digits.
fn as_shown(gauge: Gauge) -> Gauge {
    let tenths = |count: f64| (count * 10.0).round() / 10.0;
    Gauge::new(tenths(gauge.stitches.get()), tenths(gauge.rows.get())).unwrap_or(gauge)
}

/// The side on which the row after so many falls.
const fn side(rows: u32) -> Side {
    if rows.is_multiple_of(2) { Side::Right } else { Side::Wrong }
}

#[cfg(test)]
mod tests;
