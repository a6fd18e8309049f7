//! Finding the yarns in a picture.
//!
//! The picture is averaged into cells. What looks like the picture's edge, shadow on it included,
//! is background; what stays is divided into areas of one colour (see `segment`), and those that
//! are neither a card nor cut by the edge are yarns. Two balls of one colour that touch are found
//! as one, and a ball of long colour changes may be found in pieces: the knitter keeps, redraws or
//! drops each proposal.

use super::background::foreground;
use super::balance::Balance;
use super::cells::Cells;
use super::error::PhotoError;
use super::picture::{Picture, Region};
use super::segment::segment;
use super::watch::Watch;
use crate::colour::Colour;

/// Yarns proposed at most.
pub const MAX_FOUND: usize = 12;

/// A yarn that may be in the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct YarnProposal {
    /// The rectangle round it.
    pub bounds: Region,
    /// A rectangle that lies wholly on it, to sample.
    pub sample: Region,
    /// Its middle colour, for the list; the sample is measured by `sample_yarn`.
    pub colour: Colour,
    /// Share of the picture it covers, `0..=1`.
    pub share: f64,
}

/// Cells along the longer side of the picture.
const CELLS_ALONG: usize = 200;
/// Difference a lone cell bridges (Oklab times cells; Felzenszwalb and Huttenlocher's k).
const SCALE: f32 = 1.2;
/// Least share of the picture an area must cover to be a yarn.
const LEAST_SHARE: f64 = 0.004;
/// An area that has more than this share of the picture's edge is something it stands on.
const EDGE_SHARE: f64 = 0.12;
/// Texture of yarn, at least: flat things (a card, a wall) have less unless the picture is noisy.
const FLAT: f32 = 0.03;
/// An area that fills this share of its bounding rectangle is a rectangle; a disc fills 0.785.
const RECTANGLE: f64 = 0.9;

/// An area of one colour.
#[derive(Clone, Debug)]
struct Area {
    cells: Vec<usize>,
    texture: f32,
    edge_cells: usize,
    bounds: [usize; 4],
}

/// Proposes up to [`MAX_FOUND`] yarns in reading order, leaving out the background, the cards
/// under `references` and flat rectangles that look like a card.
///
/// # Errors
/// [`PhotoError`] when the picture is too small or the work was cancelled.
pub fn find_yarns(
    picture: &Picture,
    balance: &Balance,
    references: &[Region],
    watch: &Watch,
) -> Result<Vec<YarnProposal>, PhotoError> {
    let cells = Cells::read(picture, picture.bounds(), balance, CELLS_ALONG, watch)?;
    watch.check()?;
    let least = (cells.all.len() as f64 * LEAST_SHARE).ceil() as usize;
    let labels = segment(&cells, &foreground(&cells), SCALE, least.div_ceil(2));
    watch.check()?;
    let mut areas = areas(&cells, &labels);
    let perimeter = 2 * (cells.columns + cells.rows);
    let is_yarn = |area: &Area| {
        area.cells.len() >= least
            && (area.edge_cells as f64) < EDGE_SHARE * perimeter as f64
            && !is_card(area, &cells, references)
    };
    areas.retain(is_yarn);
    areas.sort_by_key(|area| std::cmp::Reverse(area.cells.len()));
    areas.truncate(MAX_FOUND);
    let mut found: Vec<YarnProposal> = areas.iter().filter_map(|area| proposal(area, &cells)).collect();
    in_reading_order(&mut found);
    Ok(found)
}

fn areas(cells: &Cells, labels: &[Option<usize>]) -> Vec<Area> {
    let count = labels.iter().flatten().max().map_or(0, |most| most + 1);
    let empty =
        Area { cells: Vec::new(), texture: 0.0, edge_cells: 0, bounds: [usize::MAX, usize::MAX, 0, 0] };
    let mut areas = vec![empty; count];
    for (index, label) in labels.iter().enumerate().filter_map(|(index, label)| Some((index, (*label)?))) {
        let (column, row) = (index % cells.columns, index / cells.columns);
        let area = &mut areas[label];
        let at_edge = column == 0 || row == 0 || column + 1 == cells.columns || row + 1 == cells.rows;
        area.edge_cells += usize::from(at_edge);
        let [left, top, right, bottom] = area.bounds;
        area.bounds = [left.min(column), top.min(row), right.max(column + 1), bottom.max(row + 1)];
        area.cells.push(index);
    }
    for area in &mut areas {
        // The median: cells along the outline hold two things and look textured.
        let mut textures: Vec<f32> = area.cells.iter().map(|cell| cells.all[*cell].texture).collect();
        textures.sort_unstable_by(f32::total_cmp);
        area.texture = textures.get(textures.len() / 2).copied().unwrap_or_default();
    }
    areas
}

/// Whether the area is a reference that was picked, or a flat rectangle like a card.
fn is_card(area: &Area, cells: &Cells, references: &[Region]) -> bool {
    let [left, top, right, bottom] = area.bounds;
    let on_reference = |region: &Region| {
        let inside = |cell: &&usize| {
            let (x, y) = (**cell % cells.columns, **cell / cells.columns);
            region.contains(x as u32 * cells.side + cells.side / 2, y as u32 * cells.side + cells.side / 2)
        };
        let covered = area.cells.iter().filter(inside).count() as f64;
        let whole = region.area() as f64 / f64::from(cells.side).powi(2);
        covered >= 0.5 * whole.max(1.0)
    };
    let fills = area.cells.len() as f64 / ((right - left) * (bottom - top)) as f64;
    references.iter().any(on_reference) || (area.texture < FLAT && fills > RECTANGLE)
}

/// The yarn in an area; `None` when no rectangle of some size fits on it.
fn proposal(area: &Area, cells: &Cells) -> Option<YarnProposal> {
    let [left, top, right, bottom] = area.bounds;
    let (width, height) = (right - left, bottom - top);
    let mut mask = vec![false; width * height];
    for cell in &area.cells {
        mask[(cell / cells.columns - top) * width + cell % cells.columns - left] = true;
    }
    let [x, y, w, h] = largest_rectangle(&mask, width);
    // A tenth off each side: the outline is fuzz and shadow.
    let (trim_x, trim_y) = (w.div_ceil(10), h.div_ceil(10));
    if w <= 2 * trim_x || h <= 2 * trim_y {
        return None;
    }
    let pixels = |x: usize, y: usize, w: usize, h: usize| {
        let [x, y, w, h] = [x, y, w, h].map(|v| v as u32 * cells.side);
        Region::new(x, y, w, h)
    };
    let sample = pixels(left + x + trim_x, top + y + trim_y, w - 2 * trim_x, h - 2 * trim_y);
    if sample.width.min(sample.height) < Region::LEAST_SIDE {
        return None;
    }
    let mut colours: Vec<[f32; 3]> = area.cells.iter().map(|cell| cells.all[*cell].oklab).collect();
    colours.sort_unstable_by(|p, q| p[0].total_cmp(&q[0]));
    let [l, a, b] = colours[colours.len() / 2].map(f64::from);
    Some(YarnProposal {
        bounds: pixels(left, top, width, height),
        sample,
        colour: Colour::from_oklab(l, a, b),
        share: area.cells.len() as f64 / cells.all.len() as f64,
    })
}

/// Left, top, width and height of the largest rectangle of `true` in a mask of this width: each row
/// is the foot of a histogram of the columns above it, searched with a stack.
fn largest_rectangle(mask: &[bool], width: usize) -> [usize; 4] {
    let mut best = [0; 4];
    let mut heights = vec![0; width];
    for (row, line) in mask.chunks_exact(width).enumerate() {
        for (height, on) in heights.iter_mut().zip(line) {
            *height = if *on { *height + 1 } else { 0 };
        }
        // Rising columns waiting for their right end: (left, height).
        let mut open: Vec<(usize, usize)> = Vec::new();
        for (column, height) in heights.iter().copied().chain([0]).enumerate() {
            let mut left = column;
            while let Some((start, tall)) = open.pop_if(|(_, tall)| *tall > height) {
                left = start;
                if tall * (column - start) > best[2] * best[3] {
                    best = [start, row + 1 - tall, column - start, tall];
                }
            }
            if open.last().is_none_or(|(_, tall)| *tall < height) {
                open.push((left, height));
            }
        }
    }
    best
}

/// Top to bottom in lines, each left to right.
fn in_reading_order(found: &mut [YarnProposal]) {
    let centre = |yarn: &YarnProposal| yarn.bounds.y + yarn.bounds.height / 2;
    found.sort_by_key(centre);
    let mut start = 0;
    while start < found.len() {
        let first = found[start].bounds;
        let line = found[start..].iter().take_while(|yarn| centre(yarn) < first.y + first.height).count();
        let end = start + line.max(1);
        found[start..end].sort_by_key(|yarn| yarn.bounds.x);
        start = end;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::{ColourSpace, Depth, Samples};

    #[test]
    fn the_largest_rectangle_is_found() {
        let mask: Vec<bool> = "0110 1111 1111 0111".chars().filter(|c| *c != ' ').map(|c| c == '1').collect();
        assert_eq!(largest_rectangle(&mask, 4), [1, 1, 3, 3]);
        assert_eq!(largest_rectangle(&[false; 6], 3), [0; 4]);
        assert_eq!(largest_rectangle(&[true; 6], 3), [0, 0, 3, 2]);
    }

    /// Discs of these colours in a row on a table, with a grey card below.
    fn table(colours: &[[u8; 3]]) -> Picture {
        let (width, height) = (100 * colours.len(), 200);
        // Deterministic texture of +-8 codes.
        let grain = |x: usize, y: usize| ((x * 73 + y * 151 + x * y * 7) % 17) as i16 - 8;
        let pixel = |x: usize, y: usize| {
            let (dx, dy) = ((x % 100) as f64 - 50.0, y as f64 - 60.0);
            let [r, g, b] = if dx.hypot(dy) < 36.0 {
                colours[x / 100].map(|v| (i16::from(v) + grain(x, y)).clamp(0, 255) as u8)
            } else if y > 130 && y < 180 && x > 20 && x < 80 {
                [118; 3]
            } else {
                [205, 198, 188].map(|v: u8| v - (x * 20 / width) as u8)
            };
            [r, g, b]
        };
        let pixels: Vec<[u8; 3]> = (0..width * height).map(|i| pixel(i % width, i / width)).collect();
        let space = ColourSpace::srgb(Depth::Eight);
        Picture::new(width as u32, height as u32, Samples::Eight(pixels.into_flattened()), space).unwrap()
    }

    #[test]
    fn discs_are_found_and_table_and_card_are_not() {
        let colours = [[150, 30, 40], [40, 60, 120], [240, 238, 230], [30, 30, 32], [90, 120, 60]];
        let picture = table(&colours);
        let found = find_yarns(&picture, &Balance::none(), &[], &Watch::nobody()).unwrap();
        assert_eq!(found.len(), colours.len(), "{found:?}");
        for (index, yarn) in found.iter().enumerate() {
            let middle = 100 * index as u32 + 50;
            assert!(yarn.bounds.contains(middle, 60) && yarn.bounds.width < 80, "{yarn:?}");
            assert!(yarn.sample.contains(middle, 60) && yarn.sample.width >= 30, "{yarn:?}");
        }
    }

    #[test]
    fn an_empty_table_has_no_yarn() {
        let pixels = vec![[180, 170, 160]; 300 * 200];
        let space = ColourSpace::srgb(Depth::Eight);
        let picture = Picture::new(300, 200, Samples::Eight(pixels.into_flattened()), space).unwrap();
        assert_eq!(find_yarns(&picture, &Balance::none(), &[], &Watch::nobody()).unwrap(), []);
    }
}
