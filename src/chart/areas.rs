//! A few rectangles that together hold what changed.

use super::grid::Rect;

/// As many rectangles are kept apart: those of a stroke with eight images, and some.
const MOST: usize = 12;

/// A few rectangles of the chart: what a stroke with its mirror images touches is small though it is far
/// apart. They may overlap; when there are too many, the two that fit best become one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Areas {
    rects: [Rect; MOST],
    count: usize,
}

impl Areas {
    /// Nothing.
    pub const NONE: Self = Self { rects: [Rect::new(0, 0, 0, 0); MOST], count: 0 };

    /// Whether they hold no stitch.
    pub const fn is_empty(&self) -> bool {
        self.count == 0
    }

    /// The rectangles, none of them empty.
    pub fn rects(&self) -> &[Rect] {
        &self.rects[..self.count]
    }

    /// The smallest rectangle around all.
    pub fn bounds(&self) -> Rect {
        self.rects().iter().fold(Rect::default(), |all, rect| all.union(*rect))
    }

    /// Adds a rectangle; an empty one adds nothing.
    pub fn add(&mut self, rect: Rect) {
        if rect.is_empty() {
            return;
        }
        let growth = |old: &Rect| old.union(rect).area() as i64 - old.area() as i64 - rect.area() as i64;
        let best = (0..self.count).min_by_key(|index| growth(&self.rects[*index]));
        if let Some(best) = best.filter(|best| self.count == MOST || growth(&self.rects[*best]) <= 0) {
            self.rects[best] = self.rects[best].union(rect);
        } else {
            self.rects[self.count] = rect;
            self.count += 1;
        }
    }

    /// What either holds.
    #[must_use]
    pub fn union(mut self, other: Self) -> Self {
        for rect in other.rects() {
            self.add(*rect);
        }
        self
    }

    /// The part inside `bounds`.
    #[must_use]
    pub fn intersect(&self, bounds: Rect) -> Self {
        let mut inside = Self::NONE;
        for rect in self.rects() {
            inside.add(rect.intersect(bounds));
        }
        inside
    }
}

impl From<Rect> for Areas {
    fn from(rect: Rect) -> Self {
        let mut areas = Self::NONE;
        areas.add(rect);
        areas
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_far_apart_stays_apart_and_what_touches_becomes_one() {
        let mut areas = Areas::from(Rect::new(0, 0, 2, 2));
        areas.add(Rect::new(90, 90, 2, 2));
        areas.add(Rect::new(2, 0, 2, 2));
        areas.add(Rect::default());
        assert_eq!(areas.rects(), [Rect::new(0, 0, 4, 2), Rect::new(90, 90, 2, 2)]);
        assert_eq!(areas.bounds(), Rect::new(0, 0, 92, 92));
        assert_eq!(areas.intersect(Rect::new(1, 0, 10, 10)).rects(), [Rect::new(1, 0, 3, 2)]);
    }

    #[test]
    fn however_many_there_are_all_of_them_are_held() {
        let spots = |i: u32| Rect::new(i * 37 % 200, i * 91 % 200, 1 + i % 3, 1);
        let areas = (0..60).map(spots).map(Areas::from).fold(Areas::NONE, Areas::union);
        assert!(areas.rects().len() <= MOST);
        for spot in (0..60).map(spots).flat_map(Rect::points) {
            assert!(areas.rects().iter().any(|rect| rect.contains(spot)));
        }
    }
}
