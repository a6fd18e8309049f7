//! Dividing a picture into areas of one colour.
//!
//! Felzenszwalb and Huttenlocher, "Efficient graph-based image segmentation", Int. J. Computer
//! Vision 59(2), 2004: neighbouring cells are joined in order of rising difference, as long as the
//! difference is no larger than what both areas already hold inside, plus `scale` / area size.

use super::cells::Cells;
use super::oklab::distance;

/// How much less lightness counts than hue and chroma: shading must not divide a ball.
const LIGHTNESS_WEIGHT: f32 = 0.5;

/// Areas as a union-find forest over cells.
struct Forest {
    parent: Vec<u32>,
    size: Vec<u32>,
    /// Largest difference joined inside each area.
    inside: Vec<f32>,
}

impl Forest {
    fn new(cells: usize) -> Self {
        Self { parent: (0..cells as u32).collect(), size: vec![1; cells], inside: vec![0.0; cells] }
    }

    fn root(&mut self, mut cell: usize) -> usize {
        while self.parent[cell] as usize != cell {
            let above = self.parent[cell] as usize;
            self.parent[cell] = self.parent[above];
            cell = above;
        }
        cell
    }

    fn join(&mut self, first: usize, second: usize, difference: f32) {
        let (large, small) =
            if self.size[first] >= self.size[second] { (first, second) } else { (second, first) };
        self.parent[small] = large as u32;
        self.size[large] += self.size[small];
        self.inside[large] = self.inside[first].max(self.inside[second]).max(difference);
    }
}

/// The area number of every cell in `mask`, numbered from 0 in reading order; `None` outside it.
/// `scale` is the difference a lone cell bridges; an area under `least` cells is joined to its
/// nearest neighbour.
pub(super) fn segment(cells: &Cells, mask: &[bool], scale: f32, least: usize) -> Vec<Option<usize>> {
    let edges = edges(cells, mask);
    let mut forest = Forest::new(cells.all.len());
    for (difference, first, second) in &edges {
        let (p, q) = (forest.root(*first as usize), forest.root(*second as usize));
        let allowed = |area: usize, forest: &Forest| forest.inside[area] + scale / forest.size[area] as f32;
        if p != q && *difference <= allowed(p, &forest).min(allowed(q, &forest)) {
            forest.join(p, q, *difference);
        }
    }
    for (difference, first, second) in &edges {
        let (p, q) = (forest.root(*first as usize), forest.root(*second as usize));
        if p != q && (forest.size[p].min(forest.size[q]) as usize) < least {
            forest.join(p, q, *difference);
        }
    }
    number(&mut forest, mask)
}

/// Differences between neighbouring cells in the mask (eight neighbours), rising.
fn edges(cells: &Cells, mask: &[bool]) -> Vec<(f32, u32, u32)> {
    let colour = |column: usize, row: usize| {
        let [l, a, b] = cells.at(column, row).oklab;
        [l * LIGHTNESS_WEIGHT, a, b]
    };
    let mut edges = Vec::with_capacity(cells.all.len() * 4);
    for row in 0..cells.rows {
        for column in 0..cells.columns {
            let here = row * cells.columns + column;
            let mut edge = |to_column: usize, to_row: usize| {
                let there = to_row.saturating_mul(cells.columns).saturating_add(to_column);
                if to_column < cells.columns && to_row < cells.rows && mask[here] && mask[there] {
                    let difference = distance(colour(column, row), colour(to_column, to_row));
                    edges.push((difference, here as u32, there as u32));
                }
            };
            edge(column + 1, row);
            edge(column, row + 1);
            edge(column + 1, row + 1);
            // `usize::MAX` at the left edge lies outside and is skipped.
            edge(column.wrapping_sub(1), row + 1);
        }
    }
    edges.sort_by(|p, q| p.0.total_cmp(&q.0));
    edges
}

fn number(forest: &mut Forest, mask: &[bool]) -> Vec<Option<usize>> {
    let mut numbers = vec![None; mask.len()];
    let mut next = 0;
    (0..mask.len())
        .map(|cell| {
            let root = forest.root(cell);
            mask[cell].then(|| {
                *numbers[root].get_or_insert_with(|| {
                    next += 1;
                    next - 1
                })
            })
        })
        .collect()
}
