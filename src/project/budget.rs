//! One limit for a whole project.
//!
//! Each part of a project has limits of its own, but what is worked out of it grows with their product:
//! 64 pieces of 64 bands in 64 sizes are 262,144 bands to work and to write. The budget adds up what
//! every part costs to work out, to show and to write, so that whatever a file holds is done in seconds
//! and in memory that any machine has.

use thiserror::Error;

use super::model::Project;

/// Bands, counted in every size, that fill the budget alone: about 20 MB of figures.
const BANDS_IN_SIZES: f64 = 16_384.0;
/// Characters of titles, names and notes that fill it alone: a long book.
const CHARACTERS: f64 = 400_000.0;
/// Characters of one title or name, which are measured and set in lines again and again.
const TITLE_CHARACTERS: f64 = 20_000.0;
/// Shades on all cards together.
const SHADES: f64 = 100_000.0;
/// Colours of all colourways together.
const COLOURWAY_COLOURS: f64 = 65_536.0;
/// Stitches of the chart: four times the largest chart there can be.
const STITCHES: f64 = 16_000_000.0;

/// A project that would take more than the budget.
#[derive(Clone, Debug, Error, PartialEq)]
#[error(
    "the project is too large to work with: it takes {percent} % of what one project may, most of it for \
     {largest} ({count}): make that part smaller, or divide the project"
)]
pub struct OverBudget {
    /// What it would take, in per cent of the budget; over 100.
    pub percent: u64,
    /// The part that takes most, in words.
    pub largest: &'static str,
    /// How many there are of it.
    pub count: u64,
    /// The field of that part in a project file.
    pub field: &'static str,
}

/// Checks a project against the budget.
///
/// # Errors
/// [`OverBudget`] naming the part that takes most.
pub fn check(project: &Project) -> Result<(), OverBudget> {
    let parts = parts(project);
    let share: f64 = parts.iter().map(|part| part.count / part.most).sum();
    if share <= 1.0 {
        return Ok(());
    }
    let largest = parts.into_iter().max_by(|a, b| (a.count / a.most).total_cmp(&(b.count / b.most)));
    let Some(Counted { words, field, count, .. }) = largest else { return Ok(()) };
    Err(OverBudget { percent: (100.0 * share).ceil() as u64, largest: words, count: count as u64, field })
}

/// A part of a project: how many there are, and how many would fill the budget.
struct Counted {
    words: &'static str,
    field: &'static str,
    count: f64,
    most: f64,
}

fn parts(project: &Project) -> [Counted; 7] {
    let length = |text: &String| text.chars().count() as f64;
    let plan = &project.pieces;
    let bands = plan.pieces.iter().flat_map(|piece| &piece.bands);
    let band_count = bands.clone().count() as f64;
    let band_names: f64 = bands.map(|band| length(&band.name)).sum();
    let sizes = plan.sizes.len().max(1) as f64;
    // The name of a piece or a band is written once for every size.
    let piece_names = plan.pieces.iter().map(|piece| length(&piece.name)).sum::<f64>() + band_names;
    let slot_names: f64 = project.palette.slots().iter().map(|slot| length(&slot.name)).sum();
    let other_names = project.colourways.iter().map(|way| length(&way.name)).sum::<f64>()
        + plan.sizes.iter().map(|size| length(&size.name)).sum::<f64>();
    let shades: usize = project.shade_cards.iter().map(|card| card.shades().len()).sum();
    let ways: usize =
        project.colourways.iter().map(|way| way.colours.len() + way.whole.as_ref().map_or(0, Vec::len)).sum();
    let part = |words, field, count, most| Counted { words, field, count, most };
    let stitches = project.chart.grid.cells().len() as f64;
    [
        part("the stitches of the chart", "chart", stitches, STITCHES),
        part("the bands of the pieces in all sizes", "pieces", band_count * sizes, BANDS_IN_SIZES),
        part("the letters of the notes", "notes", length(&project.notes), CHARACTERS),
        part(
            "the letters of the title, the designer and the names of colours",
            "title",
            length(&project.title) + length(&project.designer) + slot_names,
            TITLE_CHARACTERS,
        ),
        part(
            "the letters of the other names, in all sizes",
            "pieces",
            piece_names * sizes + other_names,
            CHARACTERS,
        ),
        part("the shades of the cards", "shade_cards", shades as f64, SHADES),
        part("the colours of the colourways", "colourways", ways as f64, COLOURWAY_COLOURS),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::{Cell, Grid, MAX_SIDE};
    use crate::project::Chart;

    #[test]
    fn the_largest_chart_and_long_notes_are_within_it() {
        let project = Project {
            chart: Chart::new(Grid::new(MAX_SIDE, MAX_SIDE, Cell::slot(0)).unwrap()),
            notes: "a".repeat(100_000),
            ..Project::default()
        };
        assert_eq!(check(&project), Ok(()));
    }

    #[test]
    fn the_part_that_takes_most_is_named() {
        let project = Project { title: "t".repeat(1_100_000), ..Project::default() };
        let error = check(&project).unwrap_err();
        assert_eq!(error.field, "title");
        let words = error.to_string();
        assert!(words.contains("5501 %") && words.contains("letters of the title"), "{words}");
        let one = |notes: usize| Project { notes: "n".repeat(notes), ..Project::default() };
        assert_eq!(check(&one(390_000)), Ok(()));
        assert_eq!(check(&one(400_001)).unwrap_err().percent, 101);
    }
}
