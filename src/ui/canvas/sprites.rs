//! Symbols on the stitches and the hatching of "no stitch", all from one texture in one mesh.

use std::sync::Arc;

use egui::{
    Color32, ColorImage, Context, Mesh, Rect, Shape, TextureHandle, TextureOptions, Vec2, pos2, vec2,
};
use tiny_skia::{FillRule, Paint, PathBuilder, Pixmap, Stroke, Transform};

use super::around::Around;
use super::geometry::Geometry;
use super::inks::Inks;
use crate::chart::{self, Cell, Grid, Work};
use crate::export::symbols::{Mark, distinct_marks, no_stitch, work_marks};
use crate::project::{Project, Symbol};
use crate::ui::colours::ink_on;

/// Symbols and hatching are drawn from this cell size, physical pixels.
const SYMBOLS_FROM: f32 = 4.0;
/// Sprite sides that are drawn, physical pixels: the next larger one is used.
const SIDES: [u32; 10] = [5, 7, 9, 12, 16, 24, 32, 48, 64, 96];
/// Opacity of symbols: strong, yet the colour stays the first thing seen.
const SYMBOL: f32 = 0.88;
/// Side of a sign on a plate, as a part of the stitch, of which something is to be seen around it.
const ON_PLATE: f32 = 0.8;
/// Opacity of the hatching.
const HATCH: f32 = 0.3;

/// A mesh that is kept until what it shows changes.
pub struct Kept<K> {
    key: Option<K>,
    mesh: Arc<Mesh>,
}

impl<K> Default for Kept<K> {
    fn default() -> Self {
        Self { key: None, mesh: Arc::default() }
    }
}

impl<K: PartialEq> Kept<K> {
    /// The mesh for `key`, made anew when it was for another.
    pub fn shape(&mut self, key: K, make: impl FnOnce() -> Mesh) -> Shape {
        if self.key.as_ref() != Some(&key) {
            self.mesh = Arc::new(make());
            self.key = Some(key);
        }
        Shape::Mesh(Arc::clone(&self.mesh))
    }
}

/// The smallest of some sprite sides that is not smaller than `pixels`.
pub fn side_for(pixels: f32, sides: &[u32]) -> u32 {
    let fits = sides.iter().find(|side| **side as f32 >= pixels);
    fits.or(sides.last()).copied().unwrap_or(1)
}

/// What the symbols mesh depends on.
#[derive(PartialEq)]
struct Key {
    g: Geometry,
    revision: u64,
    side: u32,
    symbols: Option<Vec<Symbol>>,
    plates: bool,
    ground: Color32,
    repeat: Option<chart::Rect>,
}

/// The sprites of a palette at one size.
struct Atlas {
    side: u32,
    /// What the colours carry, from which their signs follow.
    symbols: Vec<Symbol>,
    /// Whether each colour has a sign at all.
    signed: Vec<bool>,
    texture: TextureHandle,
}

/// The symbols of the chart.
#[derive(Default)]
pub struct Symbols {
    atlas: Option<Atlas>,
    kept: Kept<Key>,
}

/// Which stitches are marked, and how.
pub struct Marking<'a> {
    /// The project.
    pub project: &'a Project,
    /// Its colours as shown.
    pub inks: &'a Inks,
    /// Whether colours have their symbols; "no stitch" is always hatched.
    pub symbols: bool,
    /// Whether a sign stands on a plate of its colour: the light and shade of knit stitches would swallow it.
    pub plates: bool,
    /// The grey around the chart, which shows through where there is no stitch.
    pub ground: Color32,
    /// The repeat, where it is continued around the chart.
    pub repeat: Option<chart::Rect>,
    /// Changes when stitches or colours do.
    pub revision: u64,
}

impl Symbols {
    /// The symbols of the visible stitches as one shape.
    pub fn shape(&mut self, ctx: &Context, g: &Geometry, marking: &Marking<'_>) -> Shape {
        if g.cell_pixels() < SYMBOLS_FROM {
            return Shape::Noop;
        }
        let side = side_for(g.cell_pixels(), &SIDES);
        let slots = marking.project.palette.slots();
        let symbols: Vec<Symbol> = slots.iter().map(|slot| slot.symbol).collect();
        self.atlas.take_if(|atlas| atlas.side != side || atlas.symbols != symbols);
        let atlas = self.atlas.get_or_insert_with(|| {
            let signs = distinct_marks(marking.project);
            let texture = ctx.load_texture("symbols", picture(&signs, side), TextureOptions::LINEAR);
            let signed = signs.iter().map(|sign| !sign.is_empty()).collect();
            Atlas { side, symbols: symbols.clone(), signed, texture }
        });
        let symbols = marking.symbols.then_some(symbols);
        let signed = if marking.symbols { &atlas.signed[..] } else { &[] };
        let Marking { revision, plates, ground, repeat, .. } = *marking;
        let key = Key { g: *g, revision, side, symbols, plates, ground, repeat };
        self.kept.shape(key, || {
            let mut mesh = Mesh::with_texture(atlas.texture.id());
            add_marks(&mut mesh, g, marking, signed);
            mesh
        })
    }
}

fn add_marks(mesh: &mut Mesh, g: &Geometry, marking: &Marking<'_>, signed: &[bool]) {
    let grid: &Grid = &marking.project.chart.grid;
    let hatch_ink = ink_on(marking.ground).gamma_multiply(HATCH);
    let inks: Vec<Color32> = marking.inks.slots().iter().map(|ground| ink_on(*ground)).collect();
    let side = g.cell.min_elem() * if marking.plates { ON_PLATE } else { 1.0 };
    let square = Vec2::splat(g.snap(side));
    let around = Around::new(g, marking.repeat);
    for y in around.rows() {
        around.row(grid, y, |x, cell| {
            let rect = || g.cell_block((x, y));
            if cell == Cell::NO_STITCH {
                mesh.add_rect_with_uv(rect(), uv(HATCHING), hatch_ink);
                return;
            }
            let Some(slot) = cell.index() else { return };
            let (sprite, opacity) = match cell.work() {
                Work::Plain if signed.get(slot) != Some(&true) => return,
                Work::Plain => (slot, SYMBOL),
                work => (Cell::MAX_SLOTS + work as usize, 1.0),
            };
            if marking.plates {
                add_mark(mesh, g, rect(), square, PLATE, marking.inks.of(cell));
            }
            let ink = inks.get(slot).copied().unwrap_or_default();
            add_mark(mesh, g, rect(), square, sprite, ink.gamma_multiply(opacity));
        });
    }
}

/// Sprites beside each other in the atlas, which keeps its sides under the limit of old graphics cards.
const COLUMNS: usize = 8;
/// After the signs of all colours there can be and those of shaping.
const HATCHING: usize = Cell::MAX_SLOTS + Work::ALL.len();
const PLATE: usize = HATCHING + 1;
const SPRITES: usize = PLATE + 1;
const ROWS: usize = SPRITES.div_ceil(COLUMNS);

/// A sprite in the middle of a cell, on whole pixels.
fn add_mark(mesh: &mut Mesh, g: &Geometry, cell: Rect, square: Vec2, sprite: usize, ink: Color32) {
    let min = cell.center() - square / 2.0;
    let at = Rect::from_min_size(pos2(g.snap(min.x), g.snap(min.y)), square);
    mesh.add_rect_with_uv(at, uv(sprite), ink);
}

/// The pieces of the sprite `index`: the colours' signs, then those of shaping, the hatching and the plate.
fn sprite(signs: &[Vec<Mark>], index: usize) -> Vec<Mark> {
    match index {
        HATCHING => no_stitch(),
        PLATE => vec![Mark::Fill(round())],
        _ => index
            .checked_sub(Cell::MAX_SLOTS)
            .and_then(|work| Work::ALL.get(work))
            .map_or_else(|| signs.get(index).cloned().unwrap_or_default(), |work| work_marks(*work)),
    }
}

/// As large a disc as the square holds.
fn round() -> Vec<[f32; 2]> {
    let corner = |n: u8| (f32::from(n) / 24.0 * std::f32::consts::TAU).sin_cos();
    (0..24).map(corner).map(|(x, y)| [0.5 + 0.5 * x, 0.5 + 0.5 * y]).collect()
}

/// Where the sprite `index` lies in the atlas.
fn uv(index: usize) -> Rect {
    let size = vec2(1.0 / COLUMNS as f32, 1.0 / ROWS as f32);
    let place = vec2((index % COLUMNS) as f32, (index / COLUMNS) as f32);
    Rect::from_min_size((place * size).to_pos2(), size)
}

/// All sprites in rows, white on nothing.
fn picture(signs: &[Vec<Mark>], side: u32) -> ColorImage {
    let side_px = side as usize;
    let mut image = ColorImage::filled([side_px * COLUMNS, side_px * ROWS], Color32::TRANSPARENT);
    for index in 0..SPRITES {
        let pieces = sprite(signs, index);
        let (left, top) = (index % COLUMNS * side_px, index / COLUMNS * side_px);
        for (i, alpha) in rasterise(&pieces, side).into_iter().enumerate() {
            image[(left + i % side_px, top + i / side_px)] = Color32::from_white_alpha(alpha);
        }
    }
    image
}

/// Coverage of the pieces in a square of `side` pixels, row by row from the top; empty when there is
/// no room for it.
fn rasterise(pieces: &[Mark], side: u32) -> Vec<u8> {
    let Some(mut pixmap) = Pixmap::new(side, side) else { return Vec::new() };
    let mut paint = Paint::default();
    paint.set_color(tiny_skia::Color::WHITE);
    let scale = Transform::from_scale(side as f32, side as f32);
    for piece in pieces {
        let (points, closed) = match piece {
            Mark::Fill(points) => (points, true),
            Mark::Stroke { points, closed, .. } => (points, *closed),
        };
        let mut builder = PathBuilder::new();
        for (i, [x, y]) in points.iter().enumerate() {
            if i == 0 { builder.move_to(*x, *y) } else { builder.line_to(*x, *y) }
        }
        if closed {
            builder.close();
        }
        let Some(path) = builder.finish() else { continue };
        match piece {
            Mark::Fill(_) => pixmap.fill_path(&path, &paint, FillRule::Winding, scale, None),
            Mark::Stroke { width, .. } => {
                let stroke = Stroke { width: *width, ..Stroke::default() };
                pixmap.stroke_path(&path, &paint, &stroke, scale, None);
            }
        }
    }
    pixmap.pixels().iter().map(|pixel| pixel.alpha()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::export::symbols::marks;

    #[test]
    fn every_symbol_has_a_picture_of_its_own_even_when_small() {
        for (side, least) in [(9, 3), (16, 10)] {
            let pictures: Vec<Vec<u8>> =
                Symbol::ALL.iter().map(|symbol| rasterise(&marks(*symbol), side)).collect();
            for (i, picture) in pictures.iter().enumerate() {
                let inked = picture.iter().any(|alpha| *alpha > 128);
                assert_eq!(inked, Symbol::ALL[i] != Symbol::Blank);
                for other in &pictures[..i] {
                    let apart: u32 = picture.iter().zip(other).map(|(a, b)| u32::from(a.abs_diff(*b))).sum();
                    assert!(apart > least * 255, "{:?} at {side}", Symbol::ALL[i]);
                }
            }
        }
    }

    #[test]
    fn no_texture_is_wider_than_old_graphics_cards_bear() {
        assert!(SIDES.iter().all(|side| *side as usize * COLUMNS.max(ROWS) <= 2048));
    }

    #[test]
    fn colours_with_one_symbol_have_sprites_apart() {
        let mut project = Project::default();
        let edit = project.with_slot(project.palette.slots()[0].clone()).unwrap();
        project.apply(edit);
        let slots = project.palette.slots();
        let (first, last) = (0, slots.len() - 1);
        assert_eq!(slots[first].symbol, slots[last].symbol);
        let signs = distinct_marks(&project);
        let drawn = |slot| rasterise(&sprite(&signs, slot), 16);
        assert_ne!(drawn(first), drawn(last));
        assert_eq!(sprite(&signs, HATCHING), no_stitch());
    }

    #[test]
    fn a_kept_mesh_is_made_once_for_each_key() {
        let mut kept = Kept::<u32>::default();
        let mut made = 0;
        for key in [1, 1, 1, 2, 2] {
            let shape = kept.shape(key, || {
                made += 1;
                Mesh::default()
            });
            assert!(matches!(shape, Shape::Mesh(_)));
        }
        assert_eq!(made, 2);
    }
}
