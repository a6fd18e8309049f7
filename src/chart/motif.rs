//! A motif to be used again: stitches in one ink or several, on whatever ground the chart has.

use super::grid::{Cell, Grid, Point, Rect};
use super::raster::Raster;
use super::region_fit::{RegionFit, region_fit};
use super::runs::long_floats_in_row;
use crate::units::Gauge;

/// Longest side of a motif, in stitches and rows.
pub const MOST_MOTIF_SIDE: u32 = 240;
/// Longest name of a motif, in characters.
pub const MOST_MOTIF_NAME: usize = 60;

/// What a motif shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MotifKind {
    /// Kept by the person.
    Own,
    /// Repeats side by side around the work.
    Border,
    /// Snow and frost.
    Snow,
    /// Leaves and fruit of trees.
    Leaf,
    /// Flowers.
    Flower,
    /// Trees and what grows under and on them.
    Tree,
    /// Birds.
    Bird,
    /// Other animals.
    Animal,
    /// Boats and the sea.
    Sea,
    /// House and home.
    Home,
    /// Sky and tokens.
    Sign,
    /// Letters and digits.
    Letter,
}

impl MotifKind {
    /// All kinds, the person's own first.
    pub const ALL: [Self; 12] = [
        Self::Own,
        Self::Border,
        Self::Snow,
        Self::Leaf,
        Self::Flower,
        Self::Tree,
        Self::Bird,
        Self::Animal,
        Self::Sea,
        Self::Home,
        Self::Sign,
        Self::Letter,
    ];

    /// Name of the group, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Own => "My own",
            Self::Border => "Borders",
            Self::Snow => "Snow",
            Self::Leaf => "Leaves",
            Self::Flower => "Flowers",
            Self::Tree => "Trees and fruit",
            Self::Bird => "Birds",
            Self::Animal => "Animals",
            Self::Sea => "Boats and sea",
            Self::Home => "Home",
            Self::Sign => "Sky and tokens",
            Self::Letter => "Letters and digits",
        }
    }
}

/// Why stitches cannot be kept as a motif.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MotifError {
    /// No name.
    #[error("a motif needs a name: give it one")]
    NoName,
    /// A name that fits no label.
    #[error("the name has more than {MOST_MOTIF_NAME} characters: shorten it")]
    LongName,
    /// Nothing but ground.
    #[error("there is nothing but ground in it: choose a part of the chart with a figure")]
    Empty,
    /// Larger than any motif.
    #[error("it is larger than {MOST_MOTIF_SIDE} x {MOST_MOTIF_SIDE} stitches: choose a smaller part")]
    TooLarge,
}

/// A motif to be used again.
#[derive(Clone, Debug, PartialEq)]
pub struct Motif {
    name: String,
    kind: MotifKind,
    /// The inks, 0 and up; "no stitch" is the ground.
    stitches: Grid,
}

/// What is to be known of a motif before it is used.
#[derive(Clone, Debug, PartialEq)]
pub struct MotifFacts {
    /// The longest float within the motif, in stitches, its ground counted as a colour.
    pub longest_float: u32,
    /// The same when the motif repeats around the work without a gap.
    pub longest_float_around: u32,
    /// Stitches that touch no other stitch of the figure, not even by a corner.
    pub lone_stitches: u32,
    /// How it fares at the gauge.
    pub fit: Option<RegionFit>,
}

impl Motif {
    /// A motif of these stitches: the slots are its inks, "no stitch" is the ground. How stitches are
    /// worked is not kept.
    ///
    /// # Errors
    /// [`MotifError`] says what is wrong and how to mend it.
    pub fn new(name: &str, kind: MotifKind, stitches: &Grid) -> Result<Self, MotifError> {
        let name = Self::checked_name(name)?;
        if stitches.width().max(stitches.height()) > MOST_MOTIF_SIDE {
            return Err(MotifError::TooLarge);
        }
        if stitches.cells().iter().all(|cell| cell.index().is_none()) {
            return Err(MotifError::Empty);
        }
        let stitches = with_cells(stitches, |cell| match cell.index() {
            Some(slot) => Cell::slot(slot as u8),
            None => Cell::NO_STITCH,
        });
        Ok(Self { name, kind, stitches })
    }

    /// The motif in a part of a chart: every stitch that is not `ground`. Its colours become inks in the
    /// order of the palette.
    ///
    /// # Errors
    /// [`MotifError`] says what is wrong and how to mend it.
    pub fn of_region(name: &str, grid: &Grid, region: Rect, ground: Cell) -> Result<Self, MotifError> {
        if region.width.max(region.height) > MOST_MOTIF_SIDE {
            return Err(MotifError::TooLarge);
        }
        let patch = grid.copy(region.intersect(grid.bounds())).ok_or(MotifError::Empty)?;
        let inks = Self::slots_of(&patch, ground);
        let stitches = with_cells(&patch, |cell| {
            let ink = cell.index().and_then(|slot| inks.binary_search(&slot).ok());
            ink.map_or(Cell::NO_STITCH, |ink| Cell::slot(ink as u8))
        });
        Self::new(name, MotifKind::Own, &stitches)
    }

    /// The palette slots of a part of a chart but for `ground`, in their order: what its inks were.
    pub fn slots_of(part: &Grid, ground: Cell) -> Vec<usize> {
        let others = part.cells().iter().filter(|cell| !cell.same_colour(&ground));
        let mut slots: Vec<usize> = others.filter_map(|cell| cell.index()).collect();
        slots.sort_unstable();
        slots.dedup();
        slots
    }

    /// A name fit for a motif, without blanks around it.
    ///
    /// # Errors
    /// [`MotifError::NoName`] and [`MotifError::LongName`].
    pub fn checked_name(name: &str) -> Result<String, MotifError> {
        let name = name.trim();
        match name.chars().count() {
            0 => Err(MotifError::NoName),
            count if count > MOST_MOTIF_NAME => Err(MotifError::LongName),
            _ => Ok(name.to_owned()),
        }
    }

    /// The same motif under another name.
    ///
    /// # Errors
    /// [`MotifError::NoName`] and [`MotifError::LongName`].
    pub fn renamed(&self, name: &str) -> Result<Self, MotifError> {
        Ok(Self { name: Self::checked_name(name)?, ..self.clone() })
    }

    /// Its name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What it shows.
    pub const fn kind(&self) -> MotifKind {
        self.kind
    }

    /// Its stitches: the inks as slots, the ground as "no stitch".
    pub const fn stitches(&self) -> &Grid {
        &self.stitches
    }

    /// How many inks it has, 1 or more.
    pub fn inks(&self) -> usize {
        self.stitches.cells().iter().filter_map(|cell| cell.index()).max().map_or(1, |most| most + 1)
    }

    /// Whether the name or the kind holds every word of `wanted`, small and capital letters alike.
    pub fn is_found_by(&self, wanted: &str) -> bool {
        let (name, kind) = (self.name.to_lowercase(), self.kind.name().to_lowercase());
        wanted.to_lowercase().split_whitespace().all(|word| name.contains(word) || kind.contains(word))
    }

    /// Its figure, whatever the ink.
    pub fn figure(&self) -> Raster {
        let grid = &self.stitches;
        Raster::from_fn(grid.width(), grid.height(), |p| grid.get(p).is_some_and(|c| c.index().is_some()))
    }

    /// Its stitches in these colours, one for each ink; an ink without a colour takes the last one. The
    /// ground is "no stitch".
    pub fn in_colours(&self, colours: &[Cell]) -> Grid {
        with_cells(&self.stitches, |cell| {
            let colour = cell.index().and_then(|ink| colours.get(ink).or(colours.last()));
            colour.copied().unwrap_or(Cell::NO_STITCH)
        })
    }

    /// What is to be known of it at a gauge.
    pub fn facts(&self, gauge: Gauge) -> MotifFacts {
        // Ink 0 is colour 1, and so on; the ground is colour 0. The last ink of a full palette joins the one
        // before: it floats no further than both.
        let most = Cell::MAX_SLOTS - 1;
        let grounded = with_cells(&self.stitches, |cell| {
            Cell::slot(cell.index().map_or(0, |ink| (ink + 1).min(most)) as u8)
        });
        let longest = |wraps: bool| {
            let rows = (0..grounded.height()).flat_map(|y| long_floats_in_row(grounded.row(y), wraps, 0));
            rows.map(|float| float.length).max().unwrap_or(0)
        };
        let pieces = self.figure().pieces();
        MotifFacts {
            longest_float: longest(false),
            longest_float_around: longest(true),
            lone_stitches: pieces.iter().filter(|piece| piece.stitches == 1).count() as u32,
            fit: region_fit(&self.stitches, self.stitches.bounds(), Cell::NO_STITCH, gauge),
        }
    }

    /// The motif knitted in `width` x `height` stitches: a cell belongs to the figure from half coverage
    /// up, as everywhere (see [`Raster::resampled`]), and takes the ink that covers most of it, of equal
    /// ones the first.
    pub fn resampled(&self, width: u32, height: u32) -> Option<Grid> {
        let figure = self.figure().resampled(width, height);
        let mut grid = Grid::new(width, height, Cell::NO_STITCH).ok()?;
        let several = self.inks() > 1;
        for p in figure.points() {
            let ink = if several { self.most_of(p, (width, height)) } else { 0 };
            grid.set(p, Cell::slot(ink));
        }
        Some(grid)
    }

    /// The ink that covers most of a cell of a `width` x `height` box.
    fn most_of(&self, p: Point, (width, height): (u32, u32)) -> u8 {
        let across = parts(p.x, width, self.stitches.width());
        let up = parts(p.y, height, self.stitches.height());
        let mut covered = [0.0_f64; Cell::MAX_SLOTS];
        for (y, high) in &up {
            for (x, wide) in &across {
                if let Some(ink) = self.stitches.get(Point::new(*x, *y)).and_then(Cell::index) {
                    covered[ink] += wide * high;
                }
            }
        }
        let mut best = 0;
        for (ink, share) in covered.iter().enumerate() {
            if *share > covered[best] + 1e-9 {
                best = ink;
            }
        }
        best as u8
    }
}

/// The old cells under new cell `at` of `new`, each with its share of it, when `old` are spread over them.
fn parts(at: u32, new: u32, old: u32) -> Vec<(u32, f64)> {
    let scale = f64::from(old) / f64::from(new);
    let (from, to) = (f64::from(at) * scale, f64::from(at + 1) * scale);
    (from.floor() as u32..(to.ceil() as u32).min(old))
        .map(|cell| (cell, to.min(f64::from(cell) + 1.0) - from.max(f64::from(cell))))
        .collect()
}

/// A grid of the same size with other cells.
fn with_cells(grid: &Grid, change: impl Fn(Cell) -> Cell) -> Grid {
    let mut changed = grid.clone();
    for p in grid.bounds().points() {
        if let Some(cell) = grid.get(p) {
            changed.set(p, change(cell));
        }
    }
    changed
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gauge() -> Gauge {
        Gauge::new(28.0, 36.0).unwrap()
    }

    /// From rows, the top one first; `.` is the ground, digits are slots.
    fn grid(rows: &[&str], ground: Cell) -> Grid {
        let (width, height) = (rows[0].len() as u32, rows.len() as u32);
        let mut grid = Grid::new(width, height, ground).unwrap();
        for p in grid.bounds().points().collect::<Vec<_>>() {
            let letter = rows[(height - 1 - p.y) as usize].as_bytes()[p.x as usize];
            if letter != b'.' {
                grid.set(p, Cell::slot(letter - b'0'));
            }
        }
        grid
    }

    #[test]
    fn a_region_is_kept_without_its_ground_and_with_inks_in_order() {
        let chart = grid(&["..5.", ".353", "...."], Cell::slot(0));
        let motif = Motif::of_region(" Sprig ", &chart, chart.bounds(), Cell::slot(0)).unwrap();
        assert_eq!((motif.name(), motif.kind(), motif.inks()), ("Sprig", MotifKind::Own, 2));
        assert_eq!(motif.stitches(), &grid(&["..1.", ".010", "...."], Cell::NO_STITCH));
        assert_eq!(
            motif.in_colours(&[Cell::slot(3), Cell::slot(5)]).get(Point::new(2, 1)),
            Some(Cell::slot(5))
        );
        assert_eq!(motif.in_colours(&[Cell::slot(3)]).get(Point::new(2, 1)), Some(Cell::slot(3)));
        let facts = motif.facts(gauge());
        assert_eq!((facts.longest_float, facts.longest_float_around), (1, 3));
        assert_eq!(facts.lone_stitches, 0);
    }

    #[test]
    fn what_is_no_motif_is_refused_with_the_mend() {
        let chart = grid(&["..0", "..."], Cell::slot(1));
        let why = |name: &str, region| Motif::of_region(name, &chart, region, Cell::slot(1)).unwrap_err();
        assert_eq!(why("A", Rect::new(0, 0, 2, 2)), MotifError::Empty);
        assert_eq!(why("  ", chart.bounds()), MotifError::NoName);
        assert_eq!(why(&"x".repeat(61), chart.bounds()), MotifError::LongName);
        assert_eq!(why("A", Rect::new(0, 0, 241, 1)), MotifError::TooLarge);
    }

    #[test]
    fn it_is_found_by_words_of_its_name_and_kind() {
        let motif = Motif::new("Oak leaf", MotifKind::Leaf, &grid(&["00"], Cell::NO_STITCH)).unwrap();
        assert!(motif.is_found_by("") && motif.is_found_by("OAK") && motif.is_found_by("leaves oak"));
        assert!(!motif.is_found_by("oak bird"));
    }

    #[test]
    fn resampled_it_keeps_figure_and_inks() {
        let motif = Motif::new("Two", MotifKind::Own, &grid(&["01", ".1"], Cell::NO_STITCH)).unwrap();
        let double = motif.resampled(4, 4).unwrap();
        assert_eq!(double, grid(&["0011", "0011", "..11", "..11"], Cell::NO_STITCH));
        let again = Motif::new("Two", MotifKind::Own, &double).unwrap().resampled(2, 2).unwrap();
        assert_eq!(&again, motif.stitches());
        assert!(motif.resampled(0, 3).is_none());
    }
}
