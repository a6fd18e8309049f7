//! Intarsia areas, counted the way they are worked: in bobbins.

/// Stitches of one colour side by side: the first, and the one after the last.
pub(super) type Span = (u32, u32);

/// Which runs of `below` go on in the row `above` it, each in a run of its own: places in both lists.
///
/// A bobbin works one run in a row and goes on with a run of its colour that touches it in the next,
/// corners included; every run without such a forerunner begins a new one. So a U takes two bobbins, and
/// so does a ring. Both lists from left to right.
pub(super) fn continued(below: &[Span], above: &[Span]) -> Vec<(usize, usize)> {
    let (mut i, mut j, mut pairs) = (0, 0, Vec::new());
    let (mut below_free, mut above_free) = (true, true);
    while let (Some(a), Some(b)) = (below.get(i), above.get(j)) {
        if below_free && above_free && a.0 <= b.1 && b.0 <= a.1 {
            pairs.push((i, j));
            (below_free, above_free) = (false, false);
        }
        if a.1 <= b.1 {
            (i, below_free) = (i + 1, true);
        } else {
            (j, above_free) = (j + 1, true);
        }
    }
    pairs
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Bobbins of `#` in rows written top first.
    fn areas(rows: &[&str]) -> usize {
        let mut below: Vec<Span> = Vec::new();
        let mut begun = 0;
        for row in rows.iter().rev() {
            let mut column = 0;
            let mut spans = Vec::new();
            for chunk in row.as_bytes().chunk_by(|a, b| a == b) {
                let from = column;
                column += chunk.len() as u32;
                if chunk[0] == b'#' {
                    spans.push((from, column));
                }
            }
            begun += spans.len() - continued(&below, &spans).len();
            below = spans;
        }
        begun
    }

    #[test]
    fn a_block_is_one_bobbin_and_a_u_two() {
        assert_eq!(areas(&["....", ".##.", ".##."]), 1);
        assert_eq!(areas(&["#..#", "#..#", "####"]), 2);
        assert_eq!(areas(&["####", "#..#", "####"]), 2);
        assert_eq!(areas(&["....", "...."]), 0);
    }

    #[test]
    fn a_diagonal_of_single_stitches_is_one_bobbin() {
        assert_eq!(areas(&["...#", "..#.", ".#..", "#..."]), 1);
        assert_eq!(areas(&["#...", "....", "#..."]), 2);
    }
}
