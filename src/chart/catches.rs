//! Where a long float is caught behind the work.

use super::grid::Cell;
use super::runs::long_floats_in_row;

/// A stitch behind which a strand is caught.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Catch {
    /// Column of the stitch, from the left.
    pub column: u32,
    /// The colour that travels and is caught.
    pub slot: usize,
}

/// How often a float of `length` stitches is caught so that no part of it passes more than `limit`
/// stitches (1 or more).
pub const fn catches_in(length: u32, limit: u32) -> u32 {
    length.saturating_sub(1) / if limit == 0 { 1 } else { limit }
}

/// The catches of a row, left to right: each float over `limit` stitches is caught at even distances, as few
/// times as will do. With `wraps` strands also travel across the end of the round or repeat.
///
/// Catching every few stitches is common practice, no published source; even distances are our judgement.
pub fn catches_in_row(row: &[Cell], wraps: bool, limit: u32) -> Vec<Catch> {
    let limit = limit.max(1);
    let mut places = Vec::new();
    for float in long_floats_in_row(row, wraps, limit) {
        let times = catches_in(float.length, limit);
        let behind: Vec<u32> = row
            .iter()
            .enumerate()
            .cycle()
            .skip(float.start as usize)
            .take(row.len())
            .filter(|(_, cell)| cell.index().is_some())
            .map(|(column, _)| column as u32)
            .take(float.length as usize)
            .collect();
        places.extend((1..=times).filter_map(|i| {
            // The middle of each catch's share, so that the parts beside it are equal to a stitch.
            let at = (u64::from(i) * u64::from(float.length) / u64::from(times + 1)) as usize;
            Some(Catch { column: *behind.get(at)?, slot: float.slot })
        }));
    }
    places.sort_unstable();
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(text: &str) -> Vec<Cell> {
        text.bytes().map(|b| if b == b'.' { Cell::NO_STITCH } else { Cell::slot(b - b'0') }).collect()
    }

    fn columns(text: &str, wraps: bool, limit: u32) -> Vec<u32> {
        catches_in_row(&row(text), wraps, limit).iter().map(|catch| catch.column).collect()
    }

    #[test]
    fn a_float_at_the_limit_is_not_caught_and_one_over_it_once() {
        assert!(columns("1000001", false, 5).is_empty());
        assert_eq!(columns("10000001", false, 5), [4]);
        assert_eq!(columns("100000000001", false, 5), [6]);
        assert_eq!(columns("1000000000001", false, 5), [4, 8]);
    }

    #[test]
    fn no_part_between_catches_is_longer_than_the_limit() {
        for length in 1..60 {
            for limit in 1..9 {
                let text = format!("1{}1", "0".repeat(length));
                let mut ends = vec![0];
                ends.extend(columns(&text, false, limit));
                ends.push(length as u32 + 1);
                // Between two catches the strand passes the stitches from one to the next.
                assert!(
                    ends.windows(2).all(|pair| pair[1] - pair[0] <= limit + 1),
                    "{length} {limit} {ends:?}"
                );
            }
        }
    }

    #[test]
    fn a_float_across_the_end_is_caught_where_it_lies() {
        // Behind columns 7, 8, 9, 0, 1, 2: the middle one is column 0.
        assert!(columns("0001222000", true, 5).contains(&0));
        assert!(columns("0001222000", false, 5).is_empty());
    }

    #[test]
    fn cells_without_a_stitch_are_passed_over() {
        assert_eq!(columns("1..000...0001", false, 5), [9]);
    }
}
