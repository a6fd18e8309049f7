//! What is knitted in the end: its size and its yarn, the same for every page that shows them.

use super::figures::Extent;
use super::model::Project;
use crate::knit::pieces::{
    Measure, PieceError, PiecesYarn, Size, WorkedPiece, ease_as_worked, fitted, told_row, work,
};
use crate::knit::{Construction, Gauge, RowUses, YarnLine, row_of_yarn};

/// A piece as it lies there, washed.
#[derive(Clone, Debug, PartialEq)]
pub struct Finished {
    /// What the knitter calls it.
    pub name: String,
    /// How many are knitted.
    pub copies: u32,
    /// Rounds or turned rows: whether the width is a girth.
    pub construction: Construction,
    /// Stitches of the row that tells its width, [`told_row`].
    pub stitches: u32,
    /// Rows.
    pub rows: u32,
    /// The width of that row, and the length.
    pub size: Extent,
}

impl Finished {
    fn of(piece: &WorkedPiece, gauge: Gauge, fitted: Option<Measure>) -> Self {
        let stitches = told_row(fitted, piece);
        let rows = piece.rows();
        Self {
            name: piece.name.clone(),
            copies: piece.copies,
            construction: piece.construction,
            stitches,
            rows,
            size: Extent { width: gauge.width(stitches), height: gauge.height(rows) },
        }
    }

    /// The largest of some pieces, which stands for them where there is room for one size.
    pub fn largest(pieces: &[Self]) -> Option<&Self> {
        let area = |piece: &&Self| piece.size.width.get() * piece.size.height.get();
        // Of equal ones the first.
        pieces.iter().rev().max_by(|a, b| area(a).total_cmp(&area(b)))
    }
}

/// What a sum of yarn is of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum YarnOf {
    /// The pieces in this size.
    Pieces {
        /// Its name, when there are several to choose from.
        size: Option<String>,
    },
    /// The chart as planned; the project has no pieces.
    Chart,
    /// The chart as planned, since the pieces cannot be worked for this reason.
    ChartAlone(String),
    /// Nothing: neither pieces nor chart can be worked, for this reason.
    Nothing(String),
}

impl YarnOf {
    /// A word for other programs.
    pub const fn key(&self) -> &'static str {
        match self {
            Self::Pieces { .. } => "pieces",
            Self::Chart => "chart",
            Self::ChartAlone(_) => "chart_alone",
            Self::Nothing(_) => "nothing",
        }
    }

    /// Why it is not of the pieces.
    pub fn problem(&self) -> Option<&str> {
        match self {
            Self::ChartAlone(reason) | Self::Nothing(reason) => Some(reason),
            Self::Pieces { .. } | Self::Chart => None,
        }
    }

    /// A sentence.
    pub fn words(&self) -> String {
        match self {
            Self::Pieces { size: Some(size) } => format!("All pieces in size {size}, as in Shopping."),
            Self::Pieces { size: None } => "All pieces, as in Shopping.".to_owned(),
            Self::Chart => "The chart as planned is the piece.".to_owned(),
            Self::ChartAlone(reason) => {
                format!("The chart alone, as planned here: the pieces cannot be worked ({reason}).")
            }
            Self::Nothing(reason) => format!("No yarn is counted: {reason}."),
        }
    }
}

/// The yarn of what is knitted, and what that is.
#[derive(Clone, Debug, PartialEq)]
pub struct KnittedYarn {
    /// What the sum is of.
    pub of: YarnOf,
    /// The sum.
    pub yarn: PiecesYarn,
    /// The pieces in it; none when nothing can be worked.
    pub pieces: Vec<Finished>,
    /// One plain row as wide as the largest piece.
    pub row: Option<YarnLine>,
}

impl Project {
    /// The pieces of the worked size as they lie there; a project without pieces is one: its chart as
    /// planned.
    ///
    /// # Errors
    /// [`PieceError`] naming the piece and band that cannot be worked.
    pub fn finished(&self) -> Result<Vec<Finished>, PieceError> {
        let worked = self.work_pieces(&self.pieces.size())?;
        Ok(self.as_it_lies(&worked))
    }

    fn as_it_lies(&self, worked: &[WorkedPiece]) -> Vec<Finished> {
        let fitted = fitted(&self.pieces.pieces, &self.pieces.all_sizes());
        worked.iter().map(|piece| Finished::of(piece, self.plan.gauge, fitted)).collect()
    }

    /// The ease of the pieces as they are worked in one of the sizes, in cm; `None` where no pieces go around what
    /// is measured, or they cannot be worked.
    pub fn ease_as_worked(&self, size: &Size, worked: &[WorkedPiece]) -> Option<f64> {
        let pieces = &self.pieces.pieces;
        let measure = fitted(pieces, &self.pieces.all_sizes())?;
        ease_as_worked(measure, (pieces, worked), size, self.plan.gauge)
    }

    /// The yarn of the pieces in the worked size. Where they cannot be worked it is that of the chart as
    /// planned, and says so. Some ten milliseconds for a chart of millions of stitches.
    pub fn knitted_yarn(&self) -> KnittedYarn {
        self.knitted_yarn_after(&mut RowUses::default())
    }

    /// The same, with the rows that an earlier count left in `uses`.
    pub(super) fn knitted_yarn_after(&self, uses: &mut RowUses) -> KnittedYarn {
        let size = self.pieces.size();
        let mut of = |worked: &[WorkedPiece], of| {
            let pieces = self.as_it_lies(worked);
            let row = Finished::largest(&pieces)
                .map(|largest| row_of_yarn(largest.stitches, self.plan.gauge, self.stitch_yarn()));
            KnittedYarn { of, yarn: self.pieces_yarn_after(worked, None, uses), pieces, row }
        };
        let planned = !self.pieces.pieces.is_empty();
        match self.work_pieces(&size) {
            Ok(pieces) if planned => {
                let several = self.pieces.sizes.len() > 1;
                of(&pieces, YarnOf::Pieces { size: several.then_some(size.name) })
            }
            Ok(pieces) => of(&pieces, YarnOf::Chart),
            Err(error) if planned => {
                let chart = work(&[self.chart_piece()], &size, self.plan.gauge, &self.pattern());
                match chart {
                    Ok(chart) => of(&chart, YarnOf::ChartAlone(error.to_string())),
                    Err(_) => of(&[], YarnOf::Nothing(error.to_string())),
                }
            }
            Err(error) => of(&[], YarnOf::Nothing(error.to_string())),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knit::pieces::{Band, Fabric, Follow, Length, Piece, Width};
    use crate::project::findings::tests::drawn;

    #[test]
    fn pieces_are_counted_and_without_them_the_chart_is_one() {
        let mut project = drawn(&["0011", "1100"]);
        let chart = project.knitted_yarn();
        assert_eq!((chart.of.clone(), chart.pieces.len()), (YarnOf::Chart, 1));
        let band = Band::new("Plain", Fabric::Plain, Length::Rows(10), 0).from(Width::Stitches(500));
        project.pieces.pieces = vec![Piece::new("Strip", Construction::Flat, vec![band])];
        let pieces = project.knitted_yarn();
        assert_eq!(pieces.of, YarnOf::Pieces { size: None });
        assert_eq!((pieces.pieces[0].stitches, pieces.pieces[0].rows), (500, 10));
        assert_eq!(pieces.yarn.colours[0].stitches, 5_000);
        assert_eq!(pieces.yarn.colours[1].stitches, 0, "the chart is not worked");
    }

    /// A hem of a few wider rounds does not make the body wider: its width is the one that its ease goes by.
    #[test]
    fn a_body_is_as_wide_as_most_of_its_rounds() {
        let mut project = drawn(&["0011", "1100"]);
        let around = Width::Body(Follow::with_ease(Measure::Chest, 1.0));
        let hem = Band::new("Hem", Fabric::Plain, Length::Rows(6), 0).from(Width::Stitches(190));
        let body = Band::new("Body", Fabric::Plain, Length::Rows(80), 0).from(around);
        project.pieces.pieces = vec![Piece::new("Body", Construction::InTheRound, vec![hem, body])];
        let mut size = Size::one_size();
        size.body.set(Measure::Chest, Some(60.0));
        project.pieces.sizes = vec![size.clone()];
        let worked = project.work_pieces(&size).unwrap();
        let ease = project.ease_as_worked(&size, &worked).unwrap();
        let told = project.finished().unwrap()[0].clone();
        assert!((told.size.width.get() - 60.0 - ease).abs() < 1e-9, "{told:?}, ease {ease}");
        assert!(told.stitches < 190, "{told:?}");
        assert_eq!(project.knitted_yarn().pieces[0], told);
    }

    /// The stitches that fold away at the cut widen nothing: a blanket of 100 cm is cast on that much wider.
    #[test]
    fn a_blanket_cut_open_is_as_wide_as_it_lies() {
        use crate::knit::pieces::Template;
        let mut project = drawn(&["0011", "1100"]);
        project.pieces.pieces = Template::SteekedBlanket.pieces(0);
        let worked = project.work_pieces(&Size::one_size()).unwrap();
        let told = project.finished().unwrap()[0].clone();
        assert_eq!(told.stitches, worked[0].first_stitches() - 8);
        let stitch = project.plan.gauge.stitch_width_cm();
        assert!((told.size.width.get() - 100.0).abs() <= 2.0 * stitch, "{told:?}");
        let start = worked[0].bands[0].start;
        assert!((start.finished_cm(project.plan.gauge) - told.size.width.get()).abs() < 1e-9);
    }

    #[test]
    fn what_cannot_be_worked_says_so() {
        let mut project = drawn(&["0011", "1100"]);
        let chart = project.knitted_yarn().yarn;
        let band = Band::new("Plain", Fabric::Plain, Length::Rows(10), 0);
        project.pieces.pieces = vec![Piece::new("Strip", Construction::Flat, vec![band])];
        let alone = project.knitted_yarn();
        assert_eq!(alone.of.key(), "chart_alone");
        assert!(alone.of.words().contains("Strip"), "{}", alone.of.words());
        assert_eq!(alone.yarn, chart);
        project.plan.repeats_up = u32::MAX;
        let nothing = project.knitted_yarn();
        assert_eq!((nothing.of.key(), nothing.pieces.len()), ("nothing", 0));
        assert_eq!(nothing.yarn.metres().high, 0.0);
        assert_eq!(nothing.yarn.colours.len(), project.palette.slots().len());
    }

    #[test]
    fn the_largest_piece_stands_for_all() {
        let piece = |name: &str, stitches: u32, rows: u32| {
            let gauge = Gauge::new(20.0, 20.0).unwrap();
            let size = Extent { width: gauge.width(stitches), height: gauge.height(rows) };
            Finished {
                name: name.to_owned(),
                copies: 1,
                construction: Construction::Flat,
                stitches,
                rows,
                size,
            }
        };
        let pieces = [piece("Thumb", 20, 30), piece("Hand", 60, 80), piece("Hand again", 60, 80)];
        assert_eq!(Finished::largest(&pieces).unwrap().name, "Hand");
        assert_eq!(Finished::largest(&[]), None);
    }
}
