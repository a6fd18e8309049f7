//! The stitches as text: one string a row, the top row first as seen, one character a stitch.
//!
//! `A`-`Z`, `a`-`z`, `0`-`9`, `+` and `-` stand for colours 1 to 64, `.` for no stitch.

use crate::chart::{Cell, Grid};
use crate::plain_text::Quoted;

/// The character of each palette slot.
const ALPHABET: &[u8; Cell::MAX_SLOTS] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+-";
/// The character of a cell without a stitch.
const NO_STITCH: u8 = b'.';

/// Why the rows are not a chart, and the item of the list (from 1) where that shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowsError {
    /// The row in the file, from 1 at the top; `None` when the number of rows is wrong.
    pub item: Option<usize>,
    /// What is wrong.
    pub message: String,
}

/// What is wrong with a character of the chart, in words that follow its place.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LetterFault {
    /// No stitch where there must be one.
    #[error("is '.', which is no colour")]
    NoStitch,
    /// None of the characters that stand for colours.
    #[error("is '{0}', which is no colour: use A-Z, a-z, 0-9, + or -, or . for no stitch")]
    NoLetter(Quoted),
    /// A colour that the palette does not have.
    #[error(
        "uses colour {slot} ('{letter}'), but the palette has {slots}: add the colour or repaint the stitch"
    )]
    Unknown {
        /// The character.
        letter: char,
        /// Its colour, from 1.
        slot: usize,
        /// Colours of the palette.
        slots: usize,
    },
}

/// The character of a palette slot.
pub fn letter(slot: usize) -> char {
    ALPHABET.get(slot).copied().unwrap_or(NO_STITCH).into()
}

/// The rows of a chart, top row first.
pub fn write(grid: &Grid) -> Vec<String> {
    let row = |y| grid.row(y).iter().map(|cell| cell.index().map_or('.', letter)).collect();
    (0..grid.height()).rev().map(row).collect()
}

/// The chart of `width` x `height` in these rows, whose stitches may use `slots` colours.
///
/// # Errors
/// [`RowsError`] when the size is out of range or not that of the rows, or a character is no
/// colour of the palette. Nothing is allocated before the size is known to be sound.
pub fn read(width: u64, height: u64, rows: &[String], slots: usize) -> Result<Grid, RowsError> {
    let whole = |message| RowsError { item: None, message };
    Grid::check_size(width, height).map_err(|error| whole(error.to_string()))?;
    if rows.len() as u64 != height {
        return Err(whole(format!("height_rows is {height}, but {} rows follow", rows.len())));
    }
    let mut cells = Vec::with_capacity(width as usize * height as usize);
    for (from_bottom, (item, row)) in rows.iter().enumerate().rev().enumerate() {
        let number = from_bottom + 1;
        let wrong = |message| RowsError { item: Some(item + 1), message };
        let found = row.chars().count();
        if found as u64 != width {
            return Err(wrong(format!("row {number} has {found} stitches, but the chart is {width} wide")));
        }
        for (x, c) in row.chars().enumerate() {
            let stitch = found - x;
            cells
                .push(cell(c, slots).map_err(|what| wrong(format!("row {number}, stitch {stitch} {what}")))?);
        }
    }
    Grid::from_cells(width as u32, height as u32, cells).map_err(|error| whole(error.to_string()))
}

/// The palette slot of a character, which must be one of `slots`.
///
/// # Errors
/// [`LetterFault`] when it is none.
pub fn slot(c: char, slots: usize) -> Result<usize, LetterFault> {
    cell(c, slots)?.index().ok_or(LetterFault::NoStitch)
}

fn cell(c: char, slots: usize) -> Result<Cell, LetterFault> {
    if c == char::from(NO_STITCH) {
        return Ok(Cell::NO_STITCH);
    }
    match ALPHABET.iter().position(|letter| char::from(*letter) == c) {
        Some(slot) if slot < slots => Ok(Cell::slot(slot as u8)),
        Some(slot) => Err(LetterFault::Unknown { letter: c, slot: slot + 1, slots }),
        None => Err(LetterFault::NoLetter(c.to_string().as_str().into())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Point;

    #[test]
    fn the_top_row_comes_first() {
        let mut grid = Grid::new(3, 2, Cell::slot(0)).unwrap();
        grid.set(Point::new(0, 1), Cell::slot(63));
        grid.set(Point::new(2, 0), Cell::NO_STITCH);
        assert_eq!(write(&grid), ["-AA", "AA."]);
        assert_eq!(read(3, 2, &write(&grid), 64).unwrap(), grid);
    }

    #[test]
    fn every_slot_has_a_character_of_its_own() {
        let mut letters: Vec<char> = (0..Cell::MAX_SLOTS).map(letter).collect();
        letters.push('.');
        letters.sort_unstable();
        letters.dedup();
        assert_eq!(letters.len(), Cell::MAX_SLOTS + 1);
    }

    #[test]
    fn a_wrong_stitch_is_named_as_the_knitter_counts() {
        let rows = ["AAA".to_owned(), "AAC".to_owned()];
        let error = read(3, 2, &rows, 2).unwrap_err();
        assert_eq!(error.item, Some(2));
        assert!(error.message.starts_with("row 1, stitch 1 uses colour 3 ('C')"), "{}", error.message);
        assert!(read(3, 2, &rows[..1], 3).unwrap_err().message.contains("1 rows follow"));
        assert!(read(4, 2, &rows, 3).unwrap_err().message.contains("row 1 has 3 stitches"));
        assert!(read(u64::MAX, 2, &rows, 3).unwrap_err().message.contains("1 to 2000"));
    }
}
