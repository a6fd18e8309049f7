//! A chart from a picture: its cells averaged, their colours few, its areas tidy, its rows workable.
//!
//! 1. [`crate::photo::cell_means`] averages light over each stitch at its true proportion.
//! 2. The colours are found in Oklab (`cluster`), taken off a shade card (`shades`) or given.
//! 3. Each stitch takes a colour so that nearness and tidiness together cost least (`label`); a row uses
//!    no more colours than it may.
//!
//! Pure: no egui, no files, no project.

mod cluster;
mod dither;
mod figures;
mod label;
mod shades;

pub use figures::Closeness;
pub use label::MOST_ENUMERATED;

use crate::chart::{Cell, Grid, GridError};
use crate::colour::Colour;
use crate::knit::Gauge;
use crate::photo::CellMeans;

/// Most colours a picture is brought to.
pub const MOST_COLOURS: usize = 32;

/// Where the colours come from.
#[derive(Clone, Debug, PartialEq)]
pub enum ColoursFrom {
    /// The picture: this many, 1 to [`MOST_COLOURS`].
    Picture(usize),
    /// This many of these shades.
    Shades(Vec<Colour>, usize),
    /// All of these and no others.
    These(Vec<Colour>),
}

/// What the chart is to be like.
#[derive(Clone, Debug, PartialEq)]
pub struct PictureWish {
    /// Where the colours come from.
    pub from: ColoursFrom,
    /// Colours that are kept whatever the picture holds; they count as colours of the chart.
    pub protected: Vec<Colour>,
    /// How tidy areas are to be, `0..=100`: 0 takes the nearest colour for every stitch.
    pub tidy: f64,
    /// Most colours in a row, 1 or more; `None` for as many as come.
    pub per_row: Option<usize>,
    /// Mix colours stitch by stitch where they lie between; tidiness then has nothing to do.
    pub dither: bool,
}

impl Default for PictureWish {
    /// Eight colours of the picture, a little tidied, no dithering.
    fn default() -> Self {
        Self {
            from: ColoursFrom::Picture(8),
            protected: Vec::new(),
            tidy: 25.0,
            per_row: None,
            dither: false,
        }
    }
}

/// A chart made from a picture.
#[derive(Clone, Debug, PartialEq)]
pub struct PictureChart {
    /// Its stitches; slot numbers are places in `colours`.
    pub grid: Grid,
    /// Its colours: the protected ones first, then those with most stitches.
    pub colours: Vec<Colour>,
    /// For each colour, the shade it is, by its place among those given.
    pub shades: Vec<Option<usize>>,
    /// How near its colours come to the picture's.
    pub closeness: Closeness,
    /// Whether the colours of every row are proven to be the best choice; otherwise they are a good one.
    pub rows_are_exact: bool,
}

/// The rows that show a picture of `width` x `height` pixels undistorted in `stitches` at this gauge, and
/// whether chart and picture can be.
///
/// # Errors
/// [`GridError::Size`] when the chart would have no stitches, no rows or too many.
pub fn rows_for(stitches: u32, (width, height): (u32, u32), gauge: Gauge) -> Result<u32, GridError> {
    let rows = f64::from(stitches) * f64::from(height) / f64::from(width.max(1)) * gauge.cell_aspect();
    let rows = rows.round().max(1.0);
    Grid::check_size(u64::from(stitches), rows as u64)?;
    Ok(rows as u32)
}

/// The colours found and the shade each is.
struct Chosen {
    colours: Vec<[f32; 3]>,
    shades: Vec<Option<usize>>,
}

/// The chart of averaged cells. `aspect` is the width of a stitch over its height.
///
/// # Errors
/// [`GridError`] when there are more cells than a chart can have.
pub fn chart_of(means: &CellMeans, aspect: f64, wish: &PictureWish) -> Result<PictureChart, GridError> {
    let (width, height) = (means.columns as usize, means.rows as usize);
    Grid::check_size(width as u64, height as u64)?;
    let chosen = choose(means, wish);
    let unary = label::distances(&means.oklab, &chosen.colours);
    let task = label::Task {
        unary: &unary,
        colours: chosen.colours.len(),
        size: (width, height),
        strength: label::Strength::of(if wish.dither { 0.0 } else { wish.tidy }, aspect),
    };
    let (mut labels, exact) = match wish.per_row {
        Some(most) => label::per_row(&task, most),
        None => (label::tidied(&task), true),
    };
    if wish.dither {
        dither::mix(&mut labels, means, &chosen.colours, wish.per_row.is_some());
    }
    let protected = wish.protected.len().min(chosen.colours.len());
    let order = by_count(&labels, chosen.colours.len(), protected);
    let mut place = vec![0_u8; chosen.colours.len()];
    for (new, old) in order.iter().enumerate() {
        place[*old] = new as u8;
    }
    // Pictures begin at the top, charts at the bottom.
    let cells = labels.chunks_exact(width).rev().flatten();
    let cells = cells.map(|label| Cell::slot(place[usize::from(*label)])).collect();
    Ok(PictureChart {
        grid: Grid::from_cells(means.columns, means.rows, cells)?,
        closeness: Closeness::of(&means.oklab, &labels, &chosen.colours),
        colours: order.iter().map(|old| colour(chosen.colours[*old])).collect(),
        shades: order.iter().map(|old| chosen.shades[*old]).collect(),
        rows_are_exact: exact,
    })
}

fn choose(means: &CellMeans, wish: &PictureWish) -> Chosen {
    let protected: Vec<[f32; 3]> = wish.protected.iter().map(|colour| oklab(*colour)).collect();
    let given = |colours: &[Colour]| colours.iter().map(|colour| oklab(*colour)).collect::<Vec<_>>();
    let mut chosen = Chosen { shades: vec![None; protected.len()], colours: protected };
    match &wish.from {
        ColoursFrom::Picture(count) => {
            let count = (*count).clamp(1, MOST_COLOURS);
            chosen.colours = cluster::means(&means.oklab, count, chosen.colours);
            chosen.shades.resize(chosen.colours.len(), None);
        }
        ColoursFrom::Shades(shades, count) => {
            let count = (*count).clamp(1, MOST_COLOURS);
            let shades = given(shades);
            for index in shades::best(&means.oklab, &shades, count, &chosen.colours) {
                chosen.colours.push(shades[index]);
                chosen.shades.push(Some(index));
            }
        }
        ColoursFrom::These(colours) => {
            for (index, colour) in given(colours).into_iter().enumerate() {
                if chosen.colours.len() < Cell::MAX_SLOTS {
                    chosen.colours.push(colour);
                    chosen.shades.push(Some(index));
                }
            }
        }
    }
    if chosen.colours.is_empty() {
        // No shades were given: there is always one colour.
        chosen.colours = cluster::means(&means.oklab, 1, Vec::new());
        chosen.shades = vec![None; chosen.colours.len()];
    }
    chosen
}

/// The places of the colours that stay, in their new order: the protected, then the others that are used,
/// most stitches first.
fn by_count(labels: &[u8], colours: usize, protected: usize) -> Vec<usize> {
    let mut counts = vec![0_u32; colours];
    for label in labels {
        counts[usize::from(*label)] += 1;
    }
    let mut others: Vec<usize> = (protected..colours).filter(|colour| counts[*colour] > 0).collect();
    others.sort_by_key(|colour| std::cmp::Reverse(counts[*colour]));
    (0..protected).chain(others).collect()
}

fn oklab(colour: Colour) -> [f32; 3] {
    let (l, a, b) = colour.to_oklab();
    [l, a, b].map(|value| value as f32)
}

fn colour([l, a, b]: [f32; 3]) -> Colour {
    Colour::from_oklab(l.into(), a.into(), b.into())
}

/// Square of the distance of two Oklab colours.
#[inline]
fn distance_squared(p: [f32; 3], q: [f32; 3]) -> f32 {
    let [l, a, b] = [p[0] - q[0], p[1] - q[1], p[2] - q[2]];
    l * l + a * a + b * b
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::RepeatedRows;

    fn hex(text: &str) -> Colour {
        Colour::from_hex(text).unwrap()
    }

    /// Cells from letters: `a` navy, `b` cream, `c` red; the first row is the top one.
    fn means(rows: &[&str]) -> CellMeans {
        let colour = |letter| match letter {
            b'a' => "#1f2a4d",
            b'b' => "#efe6cf",
            _ => "#b03030",
        };
        let cells = rows.iter().flat_map(|row| row.bytes()).map(|letter| oklab(hex(colour(letter))));
        CellMeans { columns: rows[0].len() as u32, rows: rows.len() as u32, oklab: cells.collect() }
    }

    fn wish(count: usize, tidy: f64) -> PictureWish {
        PictureWish { from: ColoursFrom::Picture(count), tidy, ..PictureWish::default() }
    }

    #[test]
    fn as_many_colours_as_there_are_come_back_as_they_were() {
        let picture = means(&["aaab", "bbbb", "cbbb"]);
        let chart = chart_of(&picture, 0.8, &wish(3, 0.0)).unwrap();
        assert_eq!(
            chart.colours.iter().map(|c| c.to_hex()).collect::<Vec<_>>(),
            ["#efe6cf", "#1f2a4d", "#b03030"]
        );
        assert!(chart.closeness.mean < 0.01, "{:?}", chart.closeness);
        // The picture's last row is the chart's first.
        assert_eq!(chart.grid.row(0)[0].index(), Some(2));
        assert_eq!(chart.grid.row(2)[0].index(), Some(1));
        // Fewer colours than asked for when the picture has no more.
        assert_eq!(chart_of(&picture, 0.8, &wish(9, 0.0)).unwrap().colours.len(), 3);
    }

    #[test]
    fn tidying_takes_lone_stitches_away_and_costs_closeness() {
        let picture = means(&["aaaaaa", "aacaaa", "aaaaaa", "cccccc", "cccacc", "cccccc"]);
        let raw = chart_of(&picture, 0.8, &wish(2, 0.0)).unwrap();
        let lone = |grid: &Grid| {
            let rows = (0..grid.height()).map(|y| grid.row(y)).collect();
            let fabric = RepeatedRows { rows, across: false, up: false };
            grid.bounds().points().filter(|p| fabric.stands_alone(p.x as usize, p.y as usize)).count()
        };
        assert_eq!(lone(&raw.grid), 2);
        let tidy = chart_of(&picture, 0.8, &wish(2, 100.0)).unwrap();
        assert_eq!(lone(&tidy.grid), 0);
        assert!(tidy.closeness.mean > raw.closeness.mean);
    }

    #[test]
    fn a_protected_colour_is_there_and_shades_are_named() {
        let picture = means(&["aaab", "bbbb", "cbbb"]);
        let kept = PictureWish { protected: vec![hex("#00ff00")], ..wish(3, 0.0) };
        let chart = chart_of(&picture, 0.8, &kept).unwrap();
        assert_eq!((chart.colours.len(), chart.colours[0].to_hex()), (3, "#00ff00".to_owned()));
        let card = ["#ff0000", "#202a50", "#ffffff", "#00ff00"].map(hex).to_vec();
        let from = PictureWish { from: ColoursFrom::Shades(card, 2), ..wish(2, 0.0) };
        let chart = chart_of(&picture, 0.8, &from).unwrap();
        assert_eq!(chart.shades, [Some(2), Some(1)]);
    }

    #[test]
    fn rows_follow_from_the_gauge() {
        let gauge = Gauge::new(20.0, 28.0).unwrap();
        assert_eq!(rows_for(100, (400, 300), gauge), Ok(105));
        assert!(rows_for(2000, (100, 300), gauge).is_err());
        assert!(rows_for(0, (100, 300), gauge).is_err());
    }
}
