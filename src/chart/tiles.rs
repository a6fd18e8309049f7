//! The tiles of a repeat that is painted along, and how they lie.

use super::grid::Rect;

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

    /// What to say when the tiles came out otherwise than `asked`, in stitches and rows; `None` when they did not.
    pub fn told(self, asked: (u32, u32), repeat: Rect) -> Option<String> {
        let why = if self == Self::filling(self.lay, repeat) && self.close(repeat) {
            "so that they fill the repeat"
        } else {
            match self.lay {
                Lay::HalfDrop => "as the rows of a half-drop tile are even",
                Lay::Straight | Lay::Brick => "as the stitches of a brick tile are even",
            }
        };
        let size = (self.width, self.height);
        (size != asked).then(|| {
            format!("The tiles are {} × {} now, not {} × {}, {why}.", size.0, size.1, asked.0, asked.1)
        })
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
    pub(super) fn shifts(
        self,
        (x, y): (i64, i64),
        size: (u32, u32),
        bounds: Rect,
        mut give: impl FnMut(i64, i64),
    ) {
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

#[cfg(test)]
mod tests {
    use super::*;

    const CHART: Rect = Rect::new(0, 0, 12, 12);

    #[test]
    fn tiles_of_a_size_of_their_own_keep_it_however_they_lie() {
        let repeat = Rect::new(0, 0, 24, 50);
        let own = Tiles::new(Lay::HalfDrop, 8, 10);
        assert_eq!(own.laid(Lay::Brick, repeat), Tiles::new(Lay::Brick, 8, 10));
        let filling = Tiles::filling(Lay::HalfDrop, repeat);
        assert_eq!(filling.laid(Lay::Brick, repeat), Tiles::filling(Lay::Brick, repeat));
    }

    #[test]
    fn tiles_that_come_out_otherwise_say_so_and_why() {
        let told = Tiles::new(Lay::Straight, 8, 5).laid(Lay::HalfDrop, CHART).told((8, 5), CHART).unwrap();
        assert_eq!(told, "The tiles are 8 × 6 now, not 8 × 5, as the rows of a half-drop tile are even.");
        let filling = Tiles::filling(Lay::Straight, CHART).laid(Lay::Brick, CHART);
        assert!(filling.told((12, 12), CHART).unwrap().ends_with("so that they fill the repeat."));
        let tiles = Tiles::new(Lay::HalfDrop, 8, 10);
        assert_eq!(tiles.laid(Lay::Straight, CHART).told((8, 10), CHART), None);
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
