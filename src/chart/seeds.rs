//! Stitches that stand alone, and figures too small to be a shape.

use super::grid::Cell;
use super::lone::RepeatedRows;
use super::runs::Run;

/// A stitch that stands alone or a small figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seed {
    /// Row and column of its stitches in the repeat, the first first; only the first `count` are some.
    places: [(usize, usize); 4],
    count: usize,
    /// Their colours, one bit a slot.
    pub slots: u64,
}

impl Seed {
    /// One stitch of a slot.
    const fn of(place: (usize, usize), slot: usize) -> Self {
        Self { places: [place, (0, 0), (0, 0), (0, 0)], count: 1, slots: 1 << slot }
    }

    /// Another stitch of it; a fifth is none.
    fn push(&mut self, place: (usize, usize), slot: usize) {
        if let Some(next) = self.places.get_mut(self.count) {
            *next = place;
            self.count += 1;
            self.slots |= 1 << slot;
        }
    }

    /// Row and column of its stitches in the repeat, the first first.
    pub fn stitches(&self) -> &[(usize, usize)] {
        &self.places[..self.count]
    }
}

/// Seeds counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SeedCount {
    /// Stitches that stand alone.
    pub lone: u32,
    /// Figures of two to four stitches.
    pub figures: u32,
    /// Their colours, one bit a slot.
    pub slots: u64,
    /// Row and column in the repeat of the first.
    pub first: Option<(usize, usize)>,
}

impl SeedCount {
    /// These and those.
    pub fn merged(self, other: Self) -> Self {
        Self {
            lone: self.lone + other.lone,
            figures: self.figures + other.figures,
            slots: self.slots | other.slots,
            first: [self.first, other.first].into_iter().flatten().min(),
        }
    }
}

impl FromIterator<Seed> for SeedCount {
    fn from_iter<I: IntoIterator<Item = Seed>>(seeds: I) -> Self {
        seeds.into_iter().fold(Self::default(), |count, seed| {
            let is_lone = seed.count == 1;
            count.merged(Self {
                lone: u32::from(is_lone),
                figures: u32::from(!is_lone),
                slots: seed.slots,
                first: seed.stitches().first().copied(),
            })
        })
    }
}

/// Where seeds are looked for.
#[derive(Clone, Debug)]
pub struct Seeds<'a> {
    /// The rows.
    pub fabric: RepeatedRows<'a>,
    /// What figures stand on; only its colour counts.
    pub background: Cell,
}

impl Seeds<'_> {
    /// Rows above a row that [`Seeds::in_row`] looks at, and below it.
    pub const ROWS: (usize, usize) = (2, 1);

    /// Stitches of row `y` that stand alone (see [`RepeatedRows::stands_alone`]) and the figures of two to four
    /// stitches in a box of 2 x 2 that begin in it, from the left; `runs` are the runs of the row.
    pub fn in_row(&self, y: usize, runs: &[Run]) -> impl Iterator<Item = Seed> {
        let ends_figure = |run: &Run| !self.is_filled(run.cell);
        let lone = runs.iter().filter(|run| run.length == 1).filter_map(move |run| {
            let (x, slot) = (run.start as usize, run.cell.index()?);
            self.fabric.stands_alone(x, y).then(|| Seed::of((y, x), slot))
        });
        // Only where one or two stitches stand between two of the background can a small figure begin.
        let figures = runs.split(ends_figure).filter_map(move |runs| {
            let width: u32 = runs.iter().map(|run| run.length).sum();
            let first = runs.first().filter(|_| width <= 2)?;
            self.figure_from(first.start as usize, y)
        });
        let (mut lone, mut figures) = (lone.peekable(), figures.peekable());
        std::iter::from_fn(move || {
            let column = |seed: Option<&Seed>| seed.and_then(|seed| seed.stitches().first()).map(|at| at.1);
            match (column(lone.peek()), column(figures.peek())) {
                (Some(lone_at), Some(figure_at)) if figure_at < lone_at => figures.next(),
                (Some(_), _) => lone.next(),
                (None, _) => figures.next(),
            }
        })
    }

    fn is_filled(&self, cell: Cell) -> bool {
        cell.index().is_some() && !cell.same_colour(&self.background)
    }

    /// The stitch of a figure this far from `at`, if there is one.
    fn filled(&self, at: (usize, usize), by: (i64, i64)) -> Option<Cell> {
        self.fabric.beside(at, by).filter(|cell| self.is_filled(*cell))
    }

    /// The small figure of two stitches or more whose first, from the bottom left, is `(x, y)`; not one whose
    /// stitches all stand alone.
    fn figure_from(&self, x: usize, y: usize) -> Option<Seed> {
        let filled = |place| self.filled((x, y), place);
        // Its first stitch has none of the figure to its left or below.
        let before = [(-1, 0), (-1, -1), (0, -1), (1, -1)];
        if before.into_iter().any(|place| filled(place).is_some()) {
            return None;
        }
        let left = filled((-1, 1)).is_some();
        let right = filled((1, 0)).is_some() || filled((1, 1)).is_some();
        let up = left || filled((0, 1)).is_some() || filled((1, 1)).is_some();
        if left && right {
            return None;
        }
        let (columns, rows) = (-i64::from(left)..=i64::from(right), 0..=i64::from(up));
        let mut figure: Option<Seed> = None;
        for place in rows.clone().flat_map(|dy| columns.clone().map(move |dx| (dx, dy))) {
            let Some(slot) = filled(place).and_then(Cell::index) else { continue };
            let at = self.fabric.place((x, y), place)?;
            figure = Some(figure.map_or_else(
                || Seed::of(at, slot),
                |mut figure| {
                    figure.push(at, slot);
                    figure
                },
            ));
            let around = (-1..=1).flat_map(|dy| (-1..=1).map(move |dx| (place.0 + dx, place.1 + dy)));
            let mut outside = around.filter(|(dx, dy)| !columns.contains(dx) || !rows.contains(dy));
            if outside.any(|place| filled(place).is_some()) {
                return None;
            }
        }
        figure.filter(|figure| !figure.stitches().iter().all(|(y, x)| self.fabric.stands_alone(*x, *y)))
    }
}
