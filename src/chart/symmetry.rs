//! Symmetry while painting: which stitches a stitch takes along.
//!
//! A [`Symmetry`] is what a person sets; [`Symmetry::about`] places it over a chart. The stitches that
//! belong together are the orbit of a group: mirrors and turns about an axis, and the shifts of a repeat.

use super::grid::{Point, Rect};
use super::tiles::{Lay, Tiles};
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
    /// on the corner of four; one between two stitches gives way half a row, down if it can, and in the middle of a
    /// repeat that is wider than high half a stitch, so that no row loses its copies.
    pub fn about(&self, repeat: Rect) -> Placed {
        let mut axis = self.axis.unwrap_or(Axis::middle(repeat));
        if self.mirrors.turns() && (axis.x2 + axis.y2) % 2 == 1 {
            let across = self.axis.is_none() && repeat.width > repeat.height;
            let at2 = if across { &mut axis.x2 } else { &mut axis.y2 };
            *at2 = at2.checked_sub(1).unwrap_or(*at2 + 1);
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

    /// The part of a chart with these bounds of which every copy lies on the chart; empty when the axis stands at its
    /// edge. Tiles leave no stitch out.
    pub fn reach(&self, bounds: Rect) -> Rect {
        if self.tiles.is_some() {
            return bounds;
        }
        // Half stitches and half rows from the axis to the nearer edge.
        let room = |at2: u32, low: u32, side: u32| {
            at2.saturating_sub(2 * low).min((2 * (low + side)).saturating_sub(at2))
        };
        let mut across = room(self.axis.x2, bounds.x, bounds.width);
        let mut up = room(self.axis.y2, bounds.y, bounds.height);
        if self.mirrors.turns() {
            (across, up) = (across.min(up), across.min(up));
        }
        let span = |on: bool, at2: u32, half: u32, whole| if on { ((at2 - half) / 2, half) } else { whole };
        let (x, width) = span(self.mirrors.has_upright(), self.axis.x2, across, (bounds.x, bounds.width));
        let (y, height) = span(self.mirrors.has_level(), self.axis.y2, up, (bounds.y, bounds.height));
        Rect::new(x, y, width, height)
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
    fn within_its_reach_every_stitch_has_all_its_copies_on_the_chart() {
        for (width, height) in [(12, 12), (24, 9), (9, 24), (7, 8)] {
            let bounds = Rect::new(0, 0, width, height);
            let axes = [(0, 0), (7, 4), (5, 9), (width, 3)].map(|(x2, y2)| Some(Axis { x2, y2 }));
            for (mirrors, axis) in
                Mirrors::ALL.into_iter().flat_map(|m| axes.into_iter().map(move |a| (m, a)))
            {
                let placed = Symmetry { mirrors, axis, tiles: None }.about(bounds);
                for p in bounds.points() {
                    let mut copies = 0;
                    placed.images((p.x.into(), p.y.into()), (1, 1), bounds, |_| copies += 1);
                    let all = copies == mirrors.group().len();
                    assert_eq!(
                        placed.reach(bounds).contains(p),
                        all,
                        "{mirrors:?} {axis:?} {bounds:?} {p:?}"
                    );
                }
            }
        }
    }

    #[test]
    fn quarter_turns_about_the_middle_lose_nothing_of_the_shorter_side() {
        for (width, height) in [(24, 9), (9, 24), (25, 24), (24, 25), (7, 7), (2000, 1)] {
            let repeat = Rect::new(0, 0, width, height);
            let turns = Symmetry { mirrors: Mirrors::Star, ..Symmetry::default() }.about(repeat);
            let reach = turns.reach(repeat);
            assert_eq!((reach.width, reach.height), (width.min(height), width.min(height)));
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
}
