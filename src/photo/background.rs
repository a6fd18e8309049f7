//! Which cells of a picture are background: those that look like its edge, shadow included.

use super::cells::{Cell, Cells};
use super::oklab::distance;

/// Edge cells nearer than this (Oklab) are one kind of background.
const KIND: f32 = 0.03;
/// A kind must make up this share of the edge: a ball cut by the edge is not background.
const KIND_SHARE: f64 = 0.08;
/// A cell this near to a kind in hue and chroma, shading taken out, has its colour (Oklab).
const ALIKE: f32 = 0.022;
/// How dark a shadow may make the background, and how light a patch of light (share of lightness).
const SHADOW: f32 = 0.55;
const SHINE: f32 = 1.06;
/// A cell with this many times the texture of the background is a thing of the same colour on it.
const ROUGH: f32 = 3.0;
/// Texture below which nothing is rough, in a picture without any.
const SMOOTH: f32 = 0.04;

/// One kind of background.
struct Kind {
    first: [f32; 3],
    cells: Vec<Cell>,
}

/// What a kind of background looks like.
struct Look {
    /// Oklab a and b over lightness: the colour with shading taken out.
    tint: [f32; 2],
    dark: f32,
    light: f32,
    texture: f32,
}

/// `true` for every cell that is not background, without specks and lines thinner than about four
/// cells (joints of a table top, loose ends of yarn).
pub(super) fn foreground(cells: &Cells) -> Vec<bool> {
    let looks = looks(cells);
    let is_background = |cell: &Cell| looks.iter().any(|look| look.covers(cell));
    let mask: Vec<bool> = cells.all.iter().map(|cell| !is_background(cell)).collect();
    let closed = shrink(&grow(&mask, cells.columns, 1), cells.columns, 1);
    grow(&shrink(&closed, cells.columns, 2), cells.columns, 2)
}

impl Look {
    fn of(kind: &Kind) -> Self {
        let middle = |f: fn(&Cell) -> f32, share: f64| {
            let mut values: Vec<f32> = kind.cells.iter().map(f).collect();
            values.sort_unstable_by(f32::total_cmp);
            let index = (values.len() as f64 * share) as usize;
            values.get(index.min(values.len().saturating_sub(1))).copied().unwrap_or_default()
        };
        Self {
            tint: [middle(|cell| tint(cell)[0], 0.5), middle(|cell| tint(cell)[1], 0.5)],
            dark: middle(|cell| cell.oklab[0], 0.05),
            light: middle(|cell| cell.oklab[0], 0.95),
            texture: middle(|cell| cell.texture, 0.75),
        }
    }

    fn covers(&self, cell: &Cell) -> bool {
        let [a, b] = tint(cell);
        let apart = (a - self.tint[0]).hypot(b - self.tint[1]) * self.light;
        let lightness = cell.oklab[0];
        apart < ALIKE
            && (self.dark * SHADOW..self.light * SHINE).contains(&lightness)
            && cell.texture < (ROUGH * self.texture).max(SMOOTH)
    }
}

fn tint(cell: &Cell) -> [f32; 2] {
    let [l, a, b] = cell.oklab;
    [a / l.max(0.08), b / l.max(0.08)]
}

/// The kinds of background along the edge.
fn looks(cells: &Cells) -> Vec<Look> {
    let mut kinds: Vec<Kind> = Vec::new();
    let mut count = 0;
    for row in 0..cells.rows {
        let whole = row == 0 || row + 1 == cells.rows;
        let step = if whole { 1 } else { (cells.columns - 1).max(1) };
        for column in (0..cells.columns).step_by(step) {
            let cell = *cells.at(column, row);
            count += 1;
            match kinds.iter_mut().find(|kind| distance(kind.first, cell.oklab) < KIND) {
                Some(kind) => kind.cells.push(cell),
                None => kinds.push(Kind { first: cell.oklab, cells: vec![cell] }),
            }
        }
    }
    kinds.retain(|kind| kind.cells.len() as f64 >= KIND_SHARE * f64::from(count));
    kinds.iter().map(Look::of).collect()
}

/// Cells with a `true` cell within `reach` columns and rows.
fn grow(mask: &[bool], columns: usize, reach: usize) -> Vec<bool> {
    spread(mask, columns, reach, true)
}

/// Cells without a `false` cell within `reach` columns and rows.
fn shrink(mask: &[bool], columns: usize, reach: usize) -> Vec<bool> {
    spread(mask, columns, reach, false)
}

/// Spreads `value` by `reach` along rows, then along columns.
fn spread(mask: &[bool], columns: usize, reach: usize, value: bool) -> Vec<bool> {
    let rows = mask.len() / columns.max(1);
    let near = |at: usize, end: usize| at.saturating_sub(reach)..(at + reach + 1).min(end);
    let pick = |found: bool| if found { value } else { !value };
    let along: Vec<bool> = (0..mask.len())
        .map(|index| {
            let (row, column) = (index / columns, index % columns);
            pick(near(column, columns).any(|c| mask[row * columns + c] == value))
        })
        .collect();
    (0..mask.len())
        .map(|index| {
            let (row, column) = (index / columns, index % columns);
            pick(near(row, rows).any(|r| along[r * columns + column] == value))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn growing_and_shrinking_drop_lines_and_keep_blocks() {
        let columns = 12;
        let block = |x: usize, y: usize| (3..9).contains(&x) && (3..9).contains(&y);
        let mask: Vec<bool> =
            (0..144).map(|i| block(i % columns, i / columns) || i / columns == 11).collect();
        let opened = grow(&shrink(&mask, columns, 2), columns, 2);
        let kept: Vec<bool> = (0..144).map(|i| block(i % columns, i / columns)).collect();
        assert_eq!(opened, kept);
    }
}
