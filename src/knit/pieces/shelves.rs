//! Pieces stood on shelves for a drawing to scale: side by side from the first to the last, a new
//! shelf when one is full.

/// What a piece needs around it, in units of the drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// Above it.
    pub above: f64,
    /// Below it.
    pub below: f64,
    /// At its right.
    pub beside: f64,
    /// The least width given to the piece itself.
    pub narrowest: f64,
}

/// What a piece takes on its shelf.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Footprint {
    /// Width of the knitting in cm.
    pub width_cm: f64,
    /// Its height in cm.
    pub height_cm: f64,
    /// The least height given to it, in units of the drawing: the words beside it.
    pub lowest: f64,
}

impl Footprint {
    /// A piece of this width and height in cm with no words beside it.
    pub const fn bare(width_cm: f64, height_cm: f64) -> Self {
        Self { width_cm, height_cm, lowest: 0.0 }
    }
}

/// Pieces side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceRow {
    /// Each piece by its place in the list, and the middle of its foot from the left.
    pub standing: Vec<(usize, f64)>,
    /// Width that is used.
    pub width: f64,
    /// Height, room above and below included.
    pub height: f64,
}

/// All pieces at one scale.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceRows {
    /// Units of the drawing to one cm of knitting.
    pub per_cm: f64,
    /// From the top one down.
    pub shelves: Vec<PieceRow>,
}

impl PieceRows {
    /// Stands pieces on shelves `width` units wide. A piece wider than that has a shelf of its own.
    pub fn at(per_cm: f64, pieces: &[Footprint], room: &Room, width: f64) -> Self {
        let mut shelves: Vec<PieceRow> = Vec::new();
        for (place, piece) in pieces.iter().enumerate() {
            let own = (piece.width_cm * per_cm).max(room.narrowest);
            let takes = own + room.beside;
            let height = room.above + (piece.height_cm * per_cm).max(piece.lowest) + room.below;
            match shelves.last_mut() {
                Some(shelf) if shelf.width + takes <= width => {
                    shelf.standing.push((place, shelf.width + own / 2.0));
                    shelf.width += takes;
                    shelf.height = shelf.height.max(height);
                }
                _ => shelves.push(PieceRow { standing: vec![(place, own / 2.0)], width: takes, height }),
            }
        }
        Self { per_cm, shelves }
    }

    /// Height of all shelves together.
    pub fn height(&self) -> f64 {
        self.shelves.iter().map(|shelf| shelf.height).sum()
    }

    /// Whether they stand inside this room.
    pub fn fit(&self, width: f64, height: f64) -> bool {
        self.height() <= height && self.shelves.iter().all(|shelf| shelf.width <= width)
    }

    /// The largest of `scales` (largest first) at which the pieces fit; the last where none does.
    pub fn largest(
        scales: impl IntoIterator<Item = f64>,
        pieces: &[Footprint],
        room: &Room,
        (width, height): (f64, f64),
    ) -> Option<Self> {
        let mut last = None;
        for per_cm in scales {
            let shelves = Self::at(per_cm, pieces, room, width);
            let fit = shelves.fit(width, height);
            last = Some(shelves);
            if fit {
                break;
            }
        }
        last
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ROOM: Room = Room { above: 2.0, below: 3.0, beside: 10.0, narrowest: 8.0 };
    const SMALL: [Footprint; 1] = [Footprint::bare(10.0, 10.0)];

    #[test]
    fn a_full_shelf_is_followed_by_another() {
        let shelves = PieceRows::at(
            1.0,
            &[(20.0, 30.0), (20.0, 10.0), (40.0, 5.0)].map(|(w, h)| Footprint::bare(w, h)),
            &ROOM,
            70.0,
        );
        let places: Vec<Vec<usize>> = shelves
            .shelves
            .iter()
            .map(|shelf| shelf.standing.iter().map(|(place, _)| *place).collect())
            .collect();
        assert_eq!(places, [vec![0, 1], vec![2]]);
        assert_eq!(shelves.shelves[0].standing[1], (1, 40.0));
        assert_eq!(shelves.height(), 35.0 + 10.0);
        assert!(shelves.fit(70.0, 45.0) && !shelves.fit(70.0, 44.0) && !shelves.fit(49.0, 45.0));
    }

    #[test]
    fn words_beside_a_low_piece_have_their_room() {
        let low = Footprint { lowest: 40.0, ..Footprint::bare(20.0, 10.0) };
        let shelves = PieceRows::at(1.0, &[low, Footprint::bare(60.0, 10.0)], &ROOM, 70.0);
        assert_eq!(shelves.height(), 45.0 + 15.0, "and only that piece");
    }

    #[test]
    fn the_largest_scale_that_fits_is_taken() {
        let scales = (1..=20).rev().map(f64::from);
        let shelves = PieceRows::largest(scales, &SMALL, &ROOM, (100.0, 95.0)).unwrap();
        assert_eq!(shelves.per_cm, 9.0);
        let tiny = PieceRows::largest([2.0, 1.0], &SMALL, &ROOM, (5.0, 5.0)).unwrap();
        assert_eq!(tiny.per_cm, 1.0, "the smallest when none fits");
        assert_eq!(PieceRows::largest([1.0], &[], &ROOM, (5.0, 5.0)).unwrap().shelves, []);
    }
}
