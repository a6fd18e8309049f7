//! Rows, stitches and colours in words.

use super::super::colour_code::code_and_name;
use super::super::model::Project;
use crate::plain_text::and_list;

/// Ranges of rows that are written out; further ones are counted.
const MOST_RANGES: usize = 4;

/// Rows a finding is about, met from the bottom up.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Rows {
    /// First and last row of each unbroken range, from 0; only the first few.
    ranges: Vec<(u32, u32)>,
    unlisted: u32,
    last: Option<u32>,
}

impl Rows {
    /// Adds a row above those so far; the same row again changes nothing.
    pub fn push(&mut self, row: u32) {
        if self.last == Some(row) {
            return;
        }
        let follows = self.unlisted == 0 && row > 0 && self.last == Some(row - 1);
        let room = self.ranges.len() < MOST_RANGES;
        match self.ranges.last_mut() {
            Some(range) if follows => range.1 = row,
            _ if room => self.ranges.push((row, row)),
            _ => self.unlisted += 1,
        }
        self.last = Some(row);
    }

    /// `Row 4`, `Rows 1 to 3, 7 and 9`, `Rows 1, 3, 5, 7 and 12 more`; as knitters count, from 1.
    pub fn words(&self) -> String {
        let mut parts: Vec<String> = self
            .ranges
            .iter()
            .flat_map(|(from, to)| match to - from {
                0 => vec![format!("{}", from + 1)],
                1 => vec![format!("{}", from + 1), format!("{}", to + 1)],
                _ => vec![format!("{} to {}", from + 1, to + 1)],
            })
            .collect();
        if self.unlisted > 0 {
            parts.push(format!("{} more", self.unlisted));
        }
        let noun = if matches!(self.ranges[..], [(from, to)] if from == to) { "Row" } else { "Rows" };
        format!("{noun} {}", and_list(&parts))
    }
}

/// The columns `from..to` (not empty) of a chart of `width` as stitch numbers: `5 to 12`, from the
/// right.
pub(super) fn stitches(from: u32, to: u32, width: u32) -> String {
    let (first, last) = (width + 1 - to, width - from);
    if first == last { format!("{first}") } else { format!("{first} to {last}") }
}

/// A colour by code and name.
pub(super) fn colour(project: &Project, slot: usize) -> String {
    let found = project.palette.slots().get(slot);
    found.map_or_else(|| "a colour that is not in the palette".to_owned(), |found| code_and_name(slot, found))
}

/// Several colours by code and name.
pub(super) fn colours(project: &Project, slots: &[usize]) -> String {
    and_list(&slots.iter().map(|slot| colour(project, *slot)).collect::<Vec<_>>())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(rows: impl IntoIterator<Item = u32>) -> String {
        let mut list = Rows::default();
        rows.into_iter().for_each(|row| list.push(row));
        list.words()
    }

    #[test]
    fn rows_read_as_a_knitter_would_say_them() {
        assert_eq!(words([3]), "Row 4");
        assert_eq!(words([3, 3, 4]), "Rows 4 and 5");
        assert_eq!(words([0, 1, 2, 6, 8]), "Rows 1 to 3, 7 and 9");
        assert_eq!(words((0..20).step_by(2)), "Rows 1, 3, 5, 7 and 6 more");
        assert_eq!(words([0, 2, 4, 6, 8, 9, 10]), "Rows 1, 3, 5, 7 and 3 more");
    }

    #[test]
    fn stitches_count_from_the_right() {
        assert_eq!(stitches(0, 3, 24), "22 to 24");
        assert_eq!(stitches(23, 24, 24), "1");
    }
}
