//! The k colours of a picture: k-means in Oklab.
//!
//! Lloyd's iteration (Lloyd 1982, IEEE Trans. Inf. Theory 28:129) from k-means++ beginnings (Arthur and
//! Vassilvitskii 2007, SODA), the best of a few. The beginnings are seeded: the same picture gives the same
//! colours.

use rayon::prelude::*;

use super::distance_squared;

/// Beginnings that are tried.
const TRIES: u64 = 4;
/// Rounds of a try at most.
const MOST_ROUNDS: usize = 100;
/// A try ends when no centre has moved further than this, squared: far below what an eye can tell.
const STILL: f32 = 1e-8;
/// Cells that are looked at; of more, every second, third, ... is.
const MOST_CELLS: usize = 100_000;

/// Up to `count` colours of the cells, `fixed` among them, which come first and stay as they are.
pub(super) fn means(cells: &[[f32; 3]], count: usize, fixed: Vec<[f32; 3]>) -> Vec<[f32; 3]> {
    let step = cells.len().div_ceil(MOST_CELLS).max(1);
    let cells: Vec<[f32; 3]> = cells.iter().step_by(step).copied().collect();
    if fixed.len() >= count || cells.is_empty() {
        return fixed;
    }
    let tries: Vec<(f64, Vec<[f32; 3]>)> =
        (0..TRIES).into_par_iter().map(|seed| one_try(&cells, count, &fixed, seed)).collect();
    let best = tries.into_iter().min_by(|a, b| a.0.total_cmp(&b.0));
    best.map_or(fixed, |(_, centres)| centres)
}

fn one_try(cells: &[[f32; 3]], count: usize, fixed: &[[f32; 3]], seed: u64) -> (f64, Vec<[f32; 3]>) {
    let mut centres = begin(cells, count, fixed, &mut Stream(seed));
    for _ in 0..MOST_ROUNDS {
        let mut sums = vec![[0.0_f64; 4]; centres.len()];
        for cell in cells {
            let sum = &mut sums[nearest(*cell, &centres).0];
            for (sum, value) in sum.iter_mut().zip([cell[0], cell[1], cell[2], 1.0]) {
                *sum += f64::from(value);
            }
        }
        let mut moved = 0.0_f32;
        for (centre, [l, a, b, n]) in centres.iter_mut().zip(sums).skip(fixed.len()) {
            // A centre that no cell is nearest to stays; it is dropped later.
            if n > 0.0 {
                let new = [l / n, a / n, b / n].map(|value| value as f32);
                moved = moved.max(distance_squared(*centre, new));
                *centre = new;
            }
        }
        if moved < STILL {
            break;
        }
    }
    let cost = cells.iter().map(|cell| f64::from(nearest(*cell, &centres).1)).sum();
    (cost, centres)
}

/// k-means++: each centre is a cell, chosen the likelier the further it lies from those there are.
fn begin(cells: &[[f32; 3]], count: usize, fixed: &[[f32; 3]], stream: &mut Stream) -> Vec<[f32; 3]> {
    let mut centres = fixed.to_vec();
    if centres.is_empty() {
        centres.push(cells[(stream.next() * cells.len() as f64) as usize % cells.len()]);
    }
    let mut far: Vec<f32> = cells.iter().map(|cell| nearest(*cell, &centres).1).collect();
    while centres.len() < count {
        let total: f64 = far.iter().map(|far| f64::from(*far)).sum();
        // Equal colours differ by rounding only.
        if total <= 1e-9 * cells.len() as f64 {
            break;
        }
        let mut left = stream.next() * total;
        let drawn = far.iter().position(|far| {
            left -= f64::from(*far);
            left < 0.0
        });
        let centre = cells[drawn.unwrap_or(cells.len() - 1)];
        for (far, cell) in far.iter_mut().zip(cells) {
            *far = far.min(distance_squared(*cell, centre));
        }
        centres.push(centre);
    }
    centres
}

/// The nearest centre and the square of its distance.
#[inline]
fn nearest(cell: [f32; 3], centres: &[[f32; 3]]) -> (usize, f32) {
    let mut best = (0, f32::INFINITY);
    for (index, centre) in centres.iter().enumerate() {
        let far = distance_squared(cell, *centre);
        if far < best.1 {
            best = (index, far);
        }
    }
    best
}

/// A repeatable stream of numbers in `0..1` (`SplitMix64`: Steele, Lea and Flood 2014, OOPSLA).
struct Stream(u64);

impl Stream {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clouds_of_colour_are_found_whatever_their_size() {
        let clouds = [([0.2, 0.0, 0.0], 500), ([0.8, 0.1, 0.1], 40), ([0.5, -0.1, 0.05], 200)];
        let mut stream = Stream(7);
        let mut near = |middle: [f32; 3]| middle.map(|v| v + (stream.next() as f32 - 0.5) * 0.02);
        let cells: Vec<_> =
            clouds.iter().flat_map(|(m, n)| (0..*n).map(|_| *m).collect::<Vec<_>>()).collect();
        let cells: Vec<_> = cells.into_iter().map(&mut near).collect();
        let found = means(&cells, 3, Vec::new());
        for (middle, _) in clouds {
            assert!(nearest(middle, &found).1 < 1e-4, "{middle:?} {found:?}");
        }
        assert_eq!(found, means(&cells, 3, Vec::new()), "the same picture, the same colours");
    }

    #[test]
    fn fixed_colours_stay_and_are_not_found_again() {
        let cells = vec![[0.2, 0.0, 0.0]; 50];
        assert_eq!(means(&cells, 4, vec![[0.2, 0.0, 0.0]]), [[0.2, 0.0, 0.0]]);
        let found = means(&cells, 2, vec![[0.9, 0.0, 0.0]]);
        assert_eq!(found.len(), 2);
        assert_eq!(found[0], [0.9, 0.0, 0.0]);
        assert!(distance_squared(found[1], cells[0]) < 1e-10);
    }
}
