//! The virtual knitter: knits from the words and the charts, and looks at nothing else.

mod across;
mod lines;
mod moves;
mod needle;
mod report;
mod row;
mod series;

use rayon::prelude::*;

use self::lines::Log;
use self::needle::{Group, Needle, On, Row, Trouble, loops};
pub use self::report::{
    EdgeKind, Knitted, KnittedEdge, KnittedPiece, KnittedRow, LeftOpen, Stumble, Totals, knitted_through,
};
use super::{Colour, Copies, Course, Line, Name, Pattern, Piece, Side, Wording, Work};

/// Stumbles kept of one size: the first ones tell what is wrong.
pub const MAX_STUMBLES: usize = 20;

/// Stitches and instructions worked in one size before the knitter gives up; the largest garment in the
/// finest yarn is far below a million.
const OPS: u64 = 4_000_000;
/// Rows and rounds of one size.
const MAX_ROWS: u32 = 20_000;

impl Pattern {
    /// Knits the pattern in one size (place in [`Pattern::sizes`]).
    pub fn knit(&self, size: usize) -> Knitted {
        let mut knitter = Knitter::new(self, size);
        for piece in &self.pieces {
            for copy in 0..piece.copies.count() {
                if !knitter.gave_up {
                    knitter.piece(piece, copy);
                }
            }
        }
        knitter.finished()
    }

    /// Knits the pattern in every size.
    pub fn knit_all(&self) -> Vec<Knitted> {
        (0..self.sizes.len()).into_par_iter().map(|size| self.knit(size)).collect()
    }
}

/// What the knitter holds and remembers.
struct Knitter<'p> {
    pattern: &'p Pattern,
    size: usize,
    needle: Needle,
    groups: Vec<Group>,
    /// Openings on waste yarn and their stitches.
    openings: Vec<(Name, u32)>,
    /// Provisional cast-ons that are still in.
    provisional: Vec<u32>,
    /// Stitches cast on inside rows of this piece, for the steeks: each with its name where it has one.
    bridges: Vec<(Option<Name>, u32)>,
    /// What the last row with charts left on the needle.
    set: Vec<across::Set>,
    /// Whether a row is being worked.
    in_row: bool,
    yarn: Option<Colour>,
    /// The needle that was last named in this piece.
    tool: Option<super::Needle>,
    log: Log,
    pieces: Vec<KnittedPiece>,
    totals: Totals,
    stumbles: Vec<Stumble>,
    open: Vec<LeftOpen>,
    ops: u64,
    gave_up: bool,
    here: Here<'p>,
}

/// Where in the words the knitter is.
struct Here<'p> {
    piece: Option<&'p Piece>,
    copy: u32,
    section: Option<&'p str>,
    step: u32,
    line: Option<&'p Line>,
}

impl<'p> Knitter<'p> {
    fn new(pattern: &'p Pattern, size: usize) -> Self {
        Self {
            pattern,
            size: size.min(pattern.sizes.len().saturating_sub(1)),
            needle: Needle::default(),
            groups: Vec::new(),
            openings: Vec::new(),
            provisional: Vec::new(),
            bridges: Vec::new(),
            set: Vec::new(),
            in_row: false,
            yarn: None,
            tool: None,
            log: Log::default(),
            pieces: Vec::new(),
            totals: Totals::default(),
            stumbles: Vec::new(),
            open: Vec::new(),
            ops: 0,
            gave_up: false,
            here: Here { piece: None, copy: 0, section: None, step: 0, line: None },
        }
    }

    fn piece(&mut self, piece: &'p Piece, copy: u32) {
        self.here = Here { piece: Some(piece), copy, section: None, step: 0, line: None };
        self.log = Log::default();
        self.bridges.clear();
        self.set.clear();
        self.tool = None;
        self.pieces.push(KnittedPiece {
            heading: piece.heading.to_string(),
            copy: piece.copies.name(copy),
            rows: Vec::new(),
            edges: Vec::new(),
        });
        for section in &piece.sections {
            self.here.section = section.heading.as_ref().map(super::Text::as_str);
            self.log.begin_section();
            for line in &section.lines {
                self.here.step += 1;
                self.here.line = Some(line);
                if !line.only.includes(self.size as u32, copy) || self.gave_up {
                    continue;
                }
                if let Err(trouble) = self.line(line) {
                    self.stumble(trouble.to_string());
                    self.gave_up = true;
                }
            }
        }
        self.leave_needle();
    }

    /// Stitches still on the needle when a piece ends stay open.
    fn leave_needle(&mut self) {
        let left = self.needle.stitches();
        if left > 0 {
            self.open
                .push(LeftOpen { place: format!("{}, on the needle", self.piece_name()), stitches: left });
        }
        self.needle = Needle::default();
        self.yarn = None;
    }

    fn finished(mut self) -> Knitted {
        for group in &self.groups {
            let place = format!("{}, set aside", group.name);
            self.open.push(LeftOpen { place, stitches: loops(&group.on) });
        }
        for (name, stitches) in &self.openings {
            self.open.push(LeftOpen { place: format!("{name}, on waste yarn"), stitches: *stitches });
        }
        for stitches in &self.provisional {
            self.open.push(LeftOpen { place: "provisional cast-on".to_owned(), stitches: *stitches });
        }
        self.open.retain(|open| open.stitches > 0);
        Knitted {
            size: self.size,
            pieces: self.pieces,
            stumbles: self.stumbles,
            open: self.open,
            totals: self.totals,
        }
    }

    fn piece_name(&self) -> String {
        let Some(piece) = self.here.piece else { return String::new() };
        match piece.copies.name(self.here.copy) {
            Some(copy) => format!("{} ({copy})", piece.heading),
            None => piece.heading.to_string(),
        }
    }

    fn stumble(&mut self, why: String) {
        if self.stumbles.len() >= MAX_STUMBLES {
            return;
        }
        let copies = self.here.piece.map_or(&Copies::One, |piece| &piece.copies);
        let words = self.here.line.map(|line| Wording::new(self.pattern, copies).line(line));
        let row = self.pieces.last().map_or(0, |piece| piece.rows.len() as u32);
        self.stumbles.push(Stumble {
            piece: self.piece_name(),
            section: self.here.section.map(str::to_owned),
            step: self.here.step,
            row,
            words: words.unwrap_or_default(),
            why,
        });
    }

    fn edge_worked(&mut self, kind: EdgeKind, colour: Colour, stitches: u32, along: Option<&Name>) {
        if let Some(piece) = self.pieces.last_mut().filter(|_| stitches > 0) {
            let along = along.cloned();
            piece.edges.push(KnittedEdge { kind, colour, stitches, along, in_row: self.in_row });
        }
    }

    /// Works one row or round.
    fn row(&mut self, one: &lines::Logged) -> Result<(), Trouble> {
        let side = self.needle.facing.unwrap_or(Side::Right);
        self.check_course(one)?;
        if self.log.rows >= MAX_ROWS {
            return Err(format!("these words take more than {MAX_ROWS} rows").into());
        }
        let (left, behind) = self.needle.begin(side);
        let mut row = Row {
            side,
            left,
            right: Vec::new(),
            behind,
            ahead: 0,
            made: Vec::new(),
            yarn: one.colour,
            closing: one.closing_gaps,
            turned: None,
            joins: false,
            gained: 0,
            lost: 0,
        };
        row.measure();
        let nothing = loops(&row.left) == 0;
        self.in_row = true;
        let worked = self.fill(&mut row, &one.work, one.phase).and_then(|technique| {
            self.check_end(&row, one.course, nothing)?;
            Ok(technique)
        });
        self.in_row = false;
        // Markers at the very end are slipped; gaps there are behind for good.
        while row.turned.is_none() && matches!(row.left.last(), Some(On::Marker | On::Gap(_))) {
            row.right.extend(row.left.pop().filter(|on| *on == On::Marker));
        }
        self.totals.gained += row.gained;
        self.totals.lost += row.lost;
        let mut made = std::mem::take(&mut row.made);
        if side == Side::Wrong {
            made.reverse();
        }
        self.needle.joined |= row.joins;
        self.needle.end(side, row);
        if loops(&self.needle.on) == 0 {
            self.needle = Needle::default();
        }
        let technique = worked?;
        self.log.rows += 1;
        let ribbing = is_ribbing(&one.work, &made);
        if let Some(piece) = self.pieces.last_mut() {
            let (course, needle) = (one.course, self.tool);
            piece.rows.push(KnittedRow { course, side, needle, technique, ribbing, stitches: made });
        }
        Ok(())
    }

    /// What must be so when the words of a row are over.
    fn check_end(&self, row: &Row, course: Course, nothing: bool) -> Result<(), Trouble> {
        if row.turned.is_none() && !row.at_end() {
            let sts = if row.ahead == 1 { "st is" } else { "sts are" };
            return Err(format!("{} {sts} left at the end of the {}", row.ahead, word(course)).into());
        }
        if self.needle.joined && row.turned.is_none() && row.side == Side::Wrong {
            return Err("a row back over a piece in the round must end in a turn".to_owned().into());
        }
        if nothing && row.right.is_empty() {
            return Err("nothing is on the needle".to_owned().into());
        }
        Ok(())
    }

    /// Rounds are worked on what is joined, rows on what is not, but for short rows.
    fn check_course(&self, one: &lines::Logged) -> Result<(), Trouble> {
        let short = self.needle.in_short_rows() || lines::ends_in_turn(&one.work);
        match one.course {
            Course::Round if !self.needle.joined && !lines::joins(&one.work) => {
                Err("a rnd is asked for, but the piece is not joined".to_owned().into())
            }
            Course::Row if self.needle.joined && !short => {
                Err("a row is asked for, but the piece is joined for the round".to_owned().into())
            }
            _ => Ok(()),
        }
    }
}

/// Whether a row is ribbing: one that is said to be, or, stitch by stitch, one in which a quarter of the stitches
/// or more are of the other kind (our judgement).
fn is_ribbing(work: &Work, made: &[(Colour, super::Stitch)]) -> bool {
    match work {
        Work::Fabric(fabric) | Work::Striped { fabric, .. } => {
            matches!(fabric, super::StitchPattern::Rib { .. })
        }
        Work::Formula(_) | Work::Chart(_) | Work::ChartAsSet(_) | Work::AsSet => {
            let knits = made.iter().filter(|made| !needle::shows_purl(made.1)).count();
            knits.min(made.len() - knits) * 4 >= made.len().max(1)
        }
    }
}

const fn word(course: Course) -> &'static str {
    match course {
        Course::Round => "rnd",
        Course::Row => "row",
    }
}
