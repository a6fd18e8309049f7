//! Symmetry while painting: which stitches a stitch takes along.
//!
//! A [`Symmetry`] is what a person sets; [`Symmetry::about`] places it over a chart. The stitches that
//! belong together are the orbit of a group: mirrors and turns about an axis, and the shifts of a repeat.

use super::grid::{Point, Rect};
use super::work::Ink;

/// The mirrors and turns about the axis.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Mirrors {
    /// None.
    #[default]
    None,
    /// Left and right of an upright axis.
    LeftRight,
    /// Below and above a level axis.
    UpDown,
    /// Both axes: four stitches belong together.
    Both,
    /// Quarter turns about the crossing of the axes: four stitches.
    QuarterTurns,
    /// Quarter turns, mirrored: eight stitches, as in a snowflake on squares.
    Star,
}

impl Mirrors {
    /// All of them, in the order they are offered.
    pub const ALL: [Self; 6] =
        [Self::None, Self::LeftRight, Self::UpDown, Self::Both, Self::QuarterTurns, Self::Star];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::None => "No mirror",
            Self::LeftRight => "Left and right",
            Self::UpDown => "Up and down",
            Self::Both => "Both ways",
            Self::QuarterTurns => "Quarter turns",
            Self::Star => "Star, eight ways",
        }
    }

    /// Whether columns and rows change places in some of them.
    pub const fn turns(self) -> bool {
        matches!(self, Self::QuarterTurns | Self::Star)
    }

    /// Whether the upright axis plays a part.
    pub const fn has_upright(self) -> bool {
        !matches!(self, Self::None | Self::UpDown)
    }

    /// Whether the level axis plays a part.
    pub const fn has_level(self) -> bool {
        !matches!(self, Self::None | Self::LeftRight)
    }

    /// The group, identity first, as the matrices `[a, b, c, d]` of x' = a x + b y, y' = c x + d y.
    const fn group(self) -> &'static [[i64; 4]] {
        const ALL: [[i64; 4]; 8] = [
            [1, 0, 0, 1],
            [0, -1, 1, 0],
            [-1, 0, 0, -1],
            [0, 1, -1, 0],
            [-1, 0, 0, 1],
            [1, 0, 0, -1],
            [0, 1, 1, 0],
            [0, -1, -1, 0],
        ];
        match self {
            Self::None => &[[1, 0, 0, 1]],
            Self::LeftRight => &[[1, 0, 0, 1], [-1, 0, 0, 1]],
            Self::UpDown => &[[1, 0, 0, 1], [1, 0, 0, -1]],
            Self::Both => &[[1, 0, 0, 1], [-1, 0, 0, 1], [1, 0, 0, -1], [-1, 0, 0, -1]],
            Self::QuarterTurns => ALL.split_at(4).0,
            Self::Star => &ALL,
        }
    }
}

/// How the tiles of a repeat lie beside each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Lay {
    /// In rows and columns.
    Straight,
    /// Each column of tiles half a tile lower than its neighbour.
    HalfDrop,
    /// Each row of tiles half a tile aside of its neighbour, as bricks lie.
    Brick,
}

impl Lay {
    /// All of them, in the order they are offered.
    pub const ALL: [Self; 3] = [Self::Straight, Self::HalfDrop, Self::Brick];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Straight => "Straight",
            Self::HalfDrop => "Half-drop",
            Self::Brick => "Brick",
        }
    }
}

/// A tile and how its copies lie. Half a tile is a whole number of stitches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Tiles {
    lay: Lay,
    width: u32,
    height: u32,
}

impl Tiles {
    /// Tiles of `width` stitches and `height` rows, at least one of each. The side that is halved is made
    /// even by one more stitch or row where it is odd.
    pub fn new(lay: Lay, width: u32, height: u32) -> Self {
        let even = |side: u32, halved: bool| {
            let side = side.clamp(1, super::MAX_SIDE);
            if halved { side.next_multiple_of(2) } else { side }
        };
        Self { lay, width: even(width, lay == Lay::Brick), height: even(height, lay == Lay::HalfDrop) }
    }

    /// Tiles that fill a repeat: in a half-drop two beside each other, in a brick repeat two rows of them.
    pub fn filling(lay: Lay, repeat: Rect) -> Self {
        match lay {
            Lay::Straight => Self::new(lay, repeat.width, repeat.height),
            Lay::HalfDrop => Self::new(lay, repeat.width.div_ceil(2), repeat.height),
            Lay::Brick => Self::new(lay, repeat.width, repeat.height.div_ceil(2)),
        }
    }

    /// The same tiles laid otherwise; those that just filled the repeat fill it again.
    pub fn laid(self, lay: Lay, repeat: Rect) -> Self {
        if self == Self::filling(self.lay, repeat) {
            return Self::filling(lay, repeat);
        }
        Self::new(lay, self.width, self.height)
    }

    /// How they lie.
    pub const fn lay(self) -> Lay {
        self.lay
    }

    /// Stitches of a tile, `1..=2000`.
    pub const fn width(self) -> u32 {
        self.width
    }

    /// Rows of a tile, `1..=2000`.
    pub const fn height(self) -> u32 {
        self.height
    }

    /// Whether the tiles go on unbroken where a repeat of this size is laid beside and above itself: then moving by
    /// its width or height brings tiles onto tiles, for which a half-drop wants an even number of them across and a brick
    /// repeat an even number up.
    pub const fn close(self, repeat: Rect) -> bool {
        let (across, up) = match self.lay {
            Lay::Straight => (self.width, self.height),
            Lay::HalfDrop => (2 * self.width, self.height),
            Lay::Brick => (self.width, 2 * self.height),
        };
        repeat.width.is_multiple_of(across) && repeat.height.is_multiple_of(up)
    }

    /// Whether quarter turns bring the tiles onto each other: a square straight tile, a half-drop tile
    /// twice as high as wide, a brick tile twice as wide as high.
    pub const fn turns(self) -> bool {
        match self.lay {
            Lay::Straight => self.width == self.height,
            Lay::HalfDrop => self.height == 2 * self.width,
            Lay::Brick => self.width == 2 * self.height,
        }
    }

    /// The lower left corners of the tiles that show some of `bounds`, one of them at `first`.
    pub fn corners(self, first: (i64, i64), bounds: Rect) -> Vec<(i64, i64)> {
        let mut corners = Vec::new();
        self.shifts(first, (self.width, self.height), bounds, |right, up| {
            corners.push((first.0 + right, first.1 + up));
        });
        corners
    }

    /// Every shift that brings some of a rectangle at `(x, y)` of this size onto `bounds`.
    fn shifts(self, (x, y): (i64, i64), size: (u32, u32), bounds: Rect, mut give: impl FnMut(i64, i64)) {
        let (w, h) = (i64::from(self.width), i64::from(self.height));
        let span = |at: i64, size: u32, low: u32, length: u32, step: i64| {
            let first = i64::from(low) - at - i64::from(size) + 1;
            let last = i64::from(low) + i64::from(length) - 1 - at;
            (-(-first).div_euclid(step), last.div_euclid(step))
        };
        if self.lay == Lay::Brick {
            let (from, to) = span(y, size.1, bounds.y, bounds.height, h);
            for k in from..=to {
                let aside = k.rem_euclid(2) * (w / 2);
                let (from, to) = span(x + aside, size.0, bounds.x, bounds.width, w);
                (from..=to).for_each(|j| give(aside + j * w, k * h));
            }
        } else {
            let (from, to) = span(x, size.0, bounds.x, bounds.width, w);
            for k in from..=to {
                let up = if self.lay == Lay::HalfDrop { k.rem_euclid(2) * (h / 2) } else { 0 };
                let (from, to) = span(y + up, size.1, bounds.y, bounds.height, h);
                (from..=to).for_each(|j| give(k * w, up + j * h));
            }
        }
    }
}

/// The crossing of the axes in half stitches from the left and half rows from the bottom: even numbers lie
/// between stitches, odd ones run through the middle of a stitch.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Axis {
    /// Half stitches from the left edge of the chart.
    pub x2: u32,
    /// Half rows from its bottom.
    pub y2: u32,
}

impl Axis {
    /// The middle of a rectangle.
    pub const fn middle(rect: Rect) -> Self {
        Self { x2: 2 * rect.x + rect.width, y2: 2 * rect.y + rect.height }
    }
}

/// What a stitch takes along when it is painted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Symmetry {
    /// The mirrors and turns.
    pub mirrors: Mirrors,
    /// Where their axes lie; `None` is the middle of the repeat.
    pub axis: Option<Axis>,
    /// The repeat that is painted along.
    pub tiles: Option<Tiles>,
}

impl Symmetry {
    /// What the step that leads here from another symmetry is called, sentence case.
    pub fn step_from(self, before: Self) -> &'static str {
        let lay = |symmetry: Self| symmetry.tiles.map(Tiles::lay);
        if self.mirrors != before.mirrors {
            return match self.mirrors {
                Mirrors::None => "No mirror",
                Mirrors::LeftRight => "Mirror left and right",
                Mirrors::UpDown => "Mirror up and down",
                Mirrors::Both => "Mirror both ways",
                Mirrors::QuarterTurns => "Quarter turns",
                Mirrors::Star => "Star, eight ways",
            };
        }
        if lay(self) != lay(before) {
            return match lay(self) {
                None => "No tiles",
                Some(Lay::Straight) => "Straight tiles",
                Some(Lay::HalfDrop) => "Half-drop tiles",
                Some(Lay::Brick) => "Brick tiles",
            };
        }
        if self.tiles == before.tiles { "Place the axis" } else { "Size of the tile" }
    }

    /// Whether a stitch takes others along.
    pub fn is_on(&self) -> bool {
        self.mirrors != Mirrors::None || self.tiles.is_some()
    }

    /// Whether the tiles are left out because the quarter turns do not bring them onto each other.
    pub fn tiles_are_left_out(&self) -> bool {
        self.mirrors.turns() && self.tiles.is_some_and(|tiles| !tiles.turns())
    }

    /// The symmetry over a chart with this repeat. Quarter turns need a crossing in the middle of a stitch or
    /// on the corner of four; one between two stitches gives way half a row, down if it can.
    pub fn about(&self, repeat: Rect) -> Placed {
        let mut axis = self.axis.unwrap_or(Axis::middle(repeat));
        if self.mirrors.turns() && (axis.x2 + axis.y2) % 2 == 1 {
            axis.y2 = axis.y2.checked_sub(1).unwrap_or(axis.y2 + 1);
        }
        let tiles = self.tiles.filter(|_| !self.tiles_are_left_out());
        Placed { mirrors: self.mirrors, axis, tiles }
    }
}

/// A symmetry over a chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placed {
    mirrors: Mirrors,
    axis: Axis,
    tiles: Option<Tiles>,
}

/// One way in which a stitch comes to lie elsewhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Image {
    matrix: [i64; 4],
    /// Added to twice the image of a place.
    by2: (i64, i64),
}

impl Image {
    /// The column and row to which a stitch goes.
    pub const fn cell(&self, (x, y): (i64, i64)) -> (i64, i64) {
        let (x2, y2) = self.place2((2 * x + 1, 2 * y + 1));
        ((x2 - 1).div_euclid(2), (y2 - 1).div_euclid(2))
    }

    /// Where a place goes, both in half stitches and half rows.
    pub const fn place2(&self, (x2, y2): (i64, i64)) -> (i64, i64) {
        let [a, b, c, d] = self.matrix;
        (a * x2 + b * y2 + self.by2.0, c * x2 + d * y2 + self.by2.1)
    }

    /// Whether the stitch changes to the other side of the upright axis, so that a decrease that leans right
    /// leans left there.
    pub const fn changes_sides(&self) -> bool {
        self.matrix[0] < 0
    }

    /// What a brush leaves there.
    pub const fn ink(&self, ink: Ink) -> Ink {
        if self.changes_sides() { ink.mirrored() } else { ink }
    }
}

impl Placed {
    /// The repeat that is painted along.
    pub const fn tiles(&self) -> Option<Tiles> {
        self.tiles
    }

    /// Where the axes cross.
    pub const fn axis(&self) -> Axis {
        self.axis
    }

    /// Every image that brings some of a rectangle at `at` of `size` stitches and rows onto `bounds`, that
    /// rectangle itself among them if it lies there.
    pub fn images(&self, at: (i64, i64), size: (u32, u32), bounds: Rect, mut give: impl FnMut(Image)) {
        let centre = (i64::from(self.axis.x2), i64::from(self.axis.y2));
        for matrix in self.mirrors.group() {
            let [a, b, c, d] = *matrix;
            let by2 = (centre.0 - a * centre.0 - b * centre.1, centre.1 - c * centre.0 - d * centre.1);
            let image = Image { matrix: *matrix, by2 };
            let far = (at.0 + i64::from(size.0) - 1, at.1 + i64::from(size.1) - 1);
            let (p, q) = (image.cell(at), image.cell(far));
            let corner = (p.0.min(q.0), p.1.min(q.1));
            let size = if a == 0 { (size.1, size.0) } else { size };
            match self.tiles {
                Some(tiles) => tiles.shifts(corner, size, bounds, |dx, dy| {
                    give(Image { by2: (by2.0 + 2 * dx, by2.1 + 2 * dy), ..image });
                }),
                None if meets(corner, size, bounds) => give(image),
                None => {}
            }
        }
    }

    /// The stitches of `bounds` that belong together with `p`, each once, `p` among them if it lies there.
    pub fn orbit(&self, p: Point, bounds: Rect) -> Vec<Point> {
        let at = (i64::from(p.x), i64::from(p.y));
        let mut orbit = Vec::new();
        self.images(at, (1, 1), bounds, |image| orbit.extend(on_chart(image.cell(at))));
        orbit.sort_unstable();
        orbit.dedup();
        orbit
    }

    /// The stitches of `bounds` on which these strokes leave something, each with what it is, in the order of
    /// rows. Where a stroke passes itself it wins over what comes from elsewhere.
    pub fn strokes(&self, strokes: &[(Point, Ink)], bounds: Rect) -> Vec<(Point, Ink)> {
        let own = strokes.iter().copied().filter(|(p, _)| bounds.contains(*p));
        let mut all: Vec<(Point, Ink)> = own.collect();
        if self.mirrors != Mirrors::None || self.tiles.is_some() {
            for (p, ink) in strokes {
                let at = (i64::from(p.x), i64::from(p.y));
                self.images(at, (1, 1), bounds, |image| {
                    all.extend(on_chart(image.cell(at)).map(|there| (there, image.ink(*ink))));
                });
            }
        }
        all.sort_by_key(|(p, _)| (p.y, p.x));
        all.dedup_by_key(|(p, _)| *p);
        all
    }
}

fn on_chart((x, y): (i64, i64)) -> Option<Point> {
    Some(Point::new(u32::try_from(x).ok()?, u32::try_from(y).ok()?))
}

fn meets((x, y): (i64, i64), (width, height): (u32, u32), bounds: Rect) -> bool {
    let beside = |at: i64, size: u32, low: u32, length: u32| {
        at < i64::from(low) + i64::from(length) && at + i64::from(size) > i64::from(low)
    };
    beside(x, width, bounds.x, bounds.width) && beside(y, height, bounds.y, bounds.height)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::{Cell, Work};

    const CHART: Rect = Rect::new(0, 0, 12, 12);

    fn placed(mirrors: Mirrors, axis: Option<Axis>, tiles: Option<Tiles>) -> Placed {
        Symmetry { mirrors, axis, tiles }.about(CHART)
    }

    fn orbit(placed: &Placed, x: u32, y: u32) -> Vec<(u32, u32)> {
        placed.orbit(Point::new(x, y), CHART).iter().map(|p| (p.x, p.y)).collect()
    }

    #[test]
    fn tiles_of_a_size_of_their_own_keep_it_however_they_lie() {
        let repeat = Rect::new(0, 0, 24, 50);
        let own = Tiles::new(Lay::HalfDrop, 8, 10);
        assert_eq!(own.laid(Lay::Brick, repeat), Tiles::new(Lay::Brick, 8, 10));
        let filling = Tiles::filling(Lay::HalfDrop, repeat);
        assert_eq!(filling.laid(Lay::Brick, repeat), Tiles::filling(Lay::Brick, repeat));
    }

    #[test]
    fn the_middle_of_an_even_chart_lies_between_stitches() {
        assert_eq!(orbit(&placed(Mirrors::LeftRight, None, None), 2, 3), [(2, 3), (9, 3)]);
        assert_eq!(orbit(&placed(Mirrors::UpDown, None, None), 2, 3), [(2, 3), (2, 8)]);
        assert_eq!(orbit(&placed(Mirrors::Both, None, None), 2, 3), [(2, 3), (2, 8), (9, 3), (9, 8)]);
        let turns = placed(Mirrors::QuarterTurns, None, None);
        assert_eq!(orbit(&turns, 2, 3), [(2, 3), (3, 9), (8, 2), (9, 8)]);
        assert_eq!(orbit(&placed(Mirrors::Star, None, None), 2, 3).len(), 8);
        // On a diagonal four of the eight fall together.
        assert_eq!(orbit(&placed(Mirrors::Star, None, None), 2, 2).len(), 4);
    }

    #[test]
    fn an_odd_axis_runs_through_a_stitch() {
        let axis = Some(Axis { x2: 7, y2: 4 });
        assert_eq!(orbit(&placed(Mirrors::LeftRight, axis, None), 3, 0), [(3, 0)]);
        assert_eq!(orbit(&placed(Mirrors::LeftRight, axis, None), 1, 0), [(1, 0), (5, 0)]);
        // What would lie outside the chart is left off.
        assert_eq!(orbit(&placed(Mirrors::LeftRight, axis, None), 9, 0), [(9, 0)]);
        // A quarter turn about the edge between two stitches is none: the crossing gives way.
        assert_eq!(placed(Mirrors::QuarterTurns, axis, None).axis(), Axis { x2: 7, y2: 3 });
    }

    #[test]
    fn bricks_and_half_drops_lie_half_a_tile_off() {
        let brick = placed(Mirrors::None, None, Some(Tiles::new(Lay::Brick, 6, 4)));
        assert_eq!(orbit(&brick, 1, 0), [(1, 0), (1, 8), (4, 4), (7, 0), (7, 8), (10, 4)]);
        let drop = placed(Mirrors::None, None, Some(Tiles::new(Lay::HalfDrop, 4, 6)));
        assert_eq!(orbit(&drop, 0, 1), [(0, 1), (0, 7), (4, 4), (4, 10), (8, 1), (8, 7)]);
        let straight = placed(Mirrors::None, None, Some(Tiles::new(Lay::Straight, 6, 6)));
        assert_eq!(orbit(&straight, 1, 2), [(1, 2), (1, 8), (7, 2), (7, 8)]);
    }

    #[test]
    fn the_side_that_is_halved_is_even_and_the_tiles_fill_the_repeat() {
        assert_eq!(Tiles::new(Lay::Brick, 7, 5), Tiles::new(Lay::Brick, 8, 5));
        assert_eq!(Tiles::new(Lay::HalfDrop, 7, 5), Tiles::new(Lay::HalfDrop, 7, 6));
        let tiles = Tiles::filling(Lay::HalfDrop, CHART);
        assert_eq!((tiles.width(), tiles.height()), (6, 12));
    }

    #[test]
    fn tiles_cover_every_stitch_once() {
        let bounds = Rect::new(3, 2, 17, 13);
        for lay in Lay::ALL {
            let tiles = Tiles::new(lay, 4, 6);
            let corners = tiles.corners((1, 1), bounds);
            for p in bounds.points() {
                let inside = |(x, y): &&(i64, i64)| {
                    (*x..*x + i64::from(tiles.width())).contains(&p.x.into())
                        && (*y..*y + i64::from(tiles.height())).contains(&p.y.into())
                };
                assert_eq!(corners.iter().filter(inside).count(), 1, "{lay:?} {p:?}");
            }
        }
    }

    #[test]
    fn tiles_that_do_not_turn_are_left_out() {
        let symmetry = |w, h| Symmetry {
            mirrors: Mirrors::QuarterTurns,
            axis: None,
            tiles: Some(Tiles::new(Lay::Straight, w, h)),
        };
        assert!(symmetry(6, 4).tiles_are_left_out());
        assert!(!symmetry(6, 6).tiles_are_left_out());
        assert_eq!(symmetry(6, 4).about(CHART).orbit(Point::new(0, 1), CHART).len(), 4);
    }

    #[test]
    fn a_decrease_leans_the_other_way_on_the_other_side() {
        let mirror = placed(Mirrors::LeftRight, None, None);
        let left = mirror.strokes(&[(Point::new(1, 1), Ink::Work(Work::K2tog))], CHART);
        assert_eq!(left[0], (Point::new(1, 1), Ink::Work(Work::K2tog)));
        assert_eq!(left[1], (Point::new(10, 1), Ink::Work(Work::Ssk)));
    }

    #[test]
    fn a_stroke_wins_over_its_own_image() {
        let mirror = placed(Mirrors::LeftRight, None, None);
        let (a, b) = (Ink::Cell(Cell::slot(1)), Ink::Cell(Cell::slot(2)));
        let both = mirror.strokes(&[(Point::new(1, 1), a), (Point::new(10, 1), b)], CHART);
        assert_eq!(both, [(Point::new(1, 1), a), (Point::new(10, 1), b)]);
    }

    /// What [`Tiles::close`] says, seen in the tiles themselves: painted once, the repeat and the same repeat moved
    /// by its own size show the same.
    #[test]
    fn tiles_close_when_the_repeat_continues_them() {
        for lay in Lay::ALL {
            for (width, height) in (1..=9).flat_map(|width| (1..=9).map(move |height| (width, height))) {
                let (tiles, repeat) = (Tiles::new(lay, width, height), Rect::new(0, 0, 12, 12));
                let wide = Rect::new(0, 0, 36, 36);
                let corners = tiles.corners((0, 0), wide);
                let onto = |by: (i64, i64)| corners.contains(&by);
                let continues = onto((12, 0)) && onto((0, 12));
                assert_eq!(tiles.close(repeat), continues, "{lay:?} {width} x {height}");
            }
        }
    }
}
