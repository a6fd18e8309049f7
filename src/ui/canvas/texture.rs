//! The chart as textures: one texel per stitch, and box-averaged ones for a chart seen from afar.
//!
//! Only what changed is drawn anew and uploaded. A full redraw of a large chart happens on a
//! thread of its own while the old picture stays up.

use std::sync::LazyLock;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

use egui::{Color32, ColorImage, Context, TextureHandle, TextureOptions};

use super::inks::Inks;
use crate::app::view::Stale;
use crate::chart::{Areas, Cell, Grid, MAX_SIDE, Rect};
use crate::colour::transfer;

// Every backend takes textures of this side, so the largest chart needs no tiles.
const _: () = assert!(MAX_SIDE <= 2048);

/// Halvings of the chart's resolution that exist: 1, 1/2, ... 1/32.
const LEVELS: usize = 6;
/// A redraw of more stitches than this leaves the window's thread (about 1 ms).
const WORTH_A_THREAD: usize = 160_000;

/// Draws the stitches of `rect` as pixels, the top row first, `factor` x `factor` stitches to a
/// pixel, averaged in linear light. `rect` begins at the left and the top on a multiple of `factor`.
pub fn draw(grid: &Grid, rect: Rect, factor: u32, inks: &Inks) -> ColorImage {
    let size = [rect.width.div_ceil(factor), rect.height.div_ceil(factor)];
    let mut pixels = Vec::with_capacity(size[0] as usize * size[1] as usize);
    let columns = rect.x as usize..(rect.x + rect.width) as usize;
    if factor == 1 {
        for y in (rect.y..rect.y + rect.height).rev() {
            pixels.extend(grid.row(y)[columns.clone()].iter().map(|cell| inks.of(*cell)));
        }
    } else {
        let mut sums = vec![[0_u32; 4]; size[0] as usize];
        let light = Light::of(inks);
        let last = rect.width - (size[0] - 1) * factor;
        for band in 0..size[1] {
            let top = rect.y + rect.height - band * factor;
            let rows = top.saturating_sub(factor).max(rect.y)..top;
            sums.fill([0; 4]);
            for y in rows.clone() {
                for (sum, block) in sums.iter_mut().zip(grid.row(y)[columns.clone()].chunks(factor as usize))
                {
                    for cell in block {
                        let l = light.of_cell(*cell);
                        *sum = std::array::from_fn(|i| sum[i] + l[i]);
                    }
                }
            }
            pixels.extend(sums.iter().enumerate().map(|(i, sum)| {
                let width = if i as u32 == size[0] - 1 { last } else { factor };
                let [r, g, b, a] = sum.map(|v| v / (width * rows.len() as u32));
                let [r, g, b] = [r, g, b].map(|v| ENCODED[v as usize]);
                Color32::from_rgba_premultiplied(r, g, b, a as u8)
            }));
        }
    }
    ColorImage::new(size.map(|v| v as usize), pixels)
}

/// The inks in linear light, with their opacity.
struct Light {
    slots: Vec<[u32; 4]>,
    no_stitch: [u32; 4],
}

impl Light {
    fn of(inks: &Inks) -> Self {
        let linear = |ink: Color32| {
            let [r, g, b] = [ink.r(), ink.g(), ink.b()].map(|v| LINEAR[usize::from(v)]);
            [r, g, b, u32::from(ink.a())]
        };
        Self {
            slots: inks.slots().iter().map(|ink| linear(*ink)).collect(),
            no_stitch: linear(inks.of(Cell::NO_STITCH)),
        }
    }

    fn of_cell(&self, cell: Cell) -> [u32; 4] {
        cell.index().and_then(|slot| self.slots.get(slot)).copied().unwrap_or(self.no_stitch)
    }
}

/// Linear light is kept in 12 bits: fine enough to come back to the same 8-bit sRGB value.
const LINEAR_MAX: u32 = 4095;

/// 8-bit sRGB to linear light.
static LINEAR: LazyLock<[u32; 256]> = LazyLock::new(|| {
    std::array::from_fn(|i| (transfer::byte_to_light(i as u8) * f64::from(LINEAR_MAX)).round() as u32)
});

/// Linear light to 8-bit sRGB.
static ENCODED: LazyLock<Vec<u8>> = LazyLock::new(|| {
    (0..=LINEAR_MAX).map(|i| transfer::to_byte(f64::from(i) / f64::from(LINEAR_MAX))).collect()
});

/// One resolution of the chart.
#[derive(Default)]
struct Level {
    texture: Option<TextureHandle>,
    /// Stitches that changed since the texture was drawn.
    stale: Areas,
    all: bool,
    pending: Option<Receiver<ColorImage>>,
}

/// The chart in all its resolutions.
pub struct Picture {
    levels: [Level; LEVELS],
    size: (u32, u32),
    inks: Inks,
    name: &'static str,
}

/// A texture that shows the whole chart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheet {
    /// The texture.
    pub texture: egui::TextureId,
    /// Texture coordinates a stitch is wide and a row is high.
    pub step: egui::Vec2,
}

impl Picture {
    /// A picture that has drawn nothing yet.
    pub fn new(name: &'static str) -> Self {
        let levels = std::array::from_fn(|_| Level { all: true, ..Level::default() });
        Self { levels, size: (0, 0), inks: Inks::new(Vec::new(), Color32::TRANSPARENT), name }
    }

    /// Notes what changed. Returns whether anything did.
    pub fn touch(&mut self, grid: &Grid, stale: Stale, inks: &Inks) -> bool {
        let size = (grid.width(), grid.height());
        let all = stale.all || size != self.size || *inks != self.inks;
        if all {
            self.size = size;
            self.inks.clone_from(inks);
        }
        for level in &mut self.levels {
            level.all |= all;
            level.stale = level.stale.union(stale.cells.intersect(grid.bounds()));
        }
        all || !stale.cells.is_empty()
    }

    /// The texture for cells of `pixels` physical pixels, up to date (or, for a large redraw,
    /// as new as it can be without making the window wait).
    pub fn sheet(&mut self, ctx: &Context, grid: &Grid, pixels: f32) -> Option<Sheet> {
        let halvings = (1.0 / pixels.max(1e-3)).log2().ceil().max(0.0);
        let index = (halvings as usize).min(LEVELS - 1);
        let factor = 1 << index;
        let level = &mut self.levels[index];
        level.refresh(ctx, grid, factor, &self.inks, self.name);
        let texture = level.texture.as_ref()?;
        let size = texture.size_vec2() * factor as f32;
        Some(Sheet { texture: texture.id(), step: egui::vec2(1.0, 1.0) / size })
    }
}

impl Level {
    fn refresh(&mut self, ctx: &Context, grid: &Grid, factor: u32, inks: &Inks, name: &'static str) {
        self.collect(ctx, grid, factor, name);
        let fits = self.fits(grid, factor);
        if self.all && (self.pending.is_none() || !fits) {
            self.all = false;
            self.stale = Areas::NONE;
            let elsewhere = fits && grid.bounds().area() > WORTH_A_THREAD;
            self.pending = if elsewhere { redraw_elsewhere(ctx, grid, factor, inks) } else { None };
            if self.pending.is_none() {
                self.set(ctx, draw(grid, grid.bounds(), factor, inks), factor, name);
            }
        } else if !self.stale.is_empty() && self.pending.is_none() {
            let Some(texture) = &mut self.texture else { return };
            for rect in std::mem::take(&mut self.stale).rects() {
                let rect = aligned(*rect, factor, grid);
                let from_top = grid.height() - rect.y - rect.height;
                let at = [rect.x / factor, from_top / factor].map(|v| v as usize);
                texture.set_partial(at, draw(grid, rect, factor, inks), options(factor));
            }
        }
    }

    /// Takes in a redraw that has been finished, unless the chart has got another size meanwhile.
    fn collect(&mut self, ctx: &Context, grid: &Grid, factor: u32, name: &'static str) {
        match self.pending.as_ref().map(Receiver::try_recv) {
            Some(Ok(image)) => {
                self.pending = None;
                if image.size == texels(grid, factor) {
                    self.set(ctx, image, factor, name);
                } else {
                    self.all = true;
                }
            }
            Some(Err(TryRecvError::Disconnected)) => {
                self.pending = None;
                self.all = true;
            }
            Some(Err(TryRecvError::Empty)) | None => {}
        }
    }

    /// Whether the picture that is up has the right size to stay up a little longer.
    fn fits(&self, grid: &Grid, factor: u32) -> bool {
        self.texture.as_ref().is_some_and(|texture| texture.size() == texels(grid, factor))
    }

    fn set(&mut self, ctx: &Context, image: ColorImage, factor: u32, name: &'static str) {
        match &mut self.texture {
            Some(texture) => texture.set(image, options(factor)),
            None => self.texture = Some(ctx.load_texture(name, image, options(factor))),
        }
    }
}

fn options(factor: u32) -> TextureOptions {
    if factor == 1 { TextureOptions::NEAREST } else { TextureOptions::LINEAR }
}

fn texels(grid: &Grid, factor: u32) -> [usize; 2] {
    [grid.width(), grid.height()].map(|v| v.div_ceil(factor) as usize)
}

/// `rect` grown to whole texels, which are counted from the top left corner of the chart.
fn aligned(rect: Rect, factor: u32, grid: &Grid) -> Rect {
    let (height, x) = (grid.height(), rect.x / factor * factor);
    let right = (rect.x + rect.width).div_ceil(factor) * factor;
    let top = (height - rect.y - rect.height) / factor * factor;
    let bottom = (height - rect.y).div_ceil(factor) * factor;
    let (right, bottom) = (right.min(grid.width()), bottom.min(height));
    Rect::new(x, height - bottom, right - x, bottom - top)
}

/// Starts a redraw on a thread and wakes the window when it is done. `None` when no thread could
/// be had.
fn redraw_elsewhere(ctx: &Context, grid: &Grid, factor: u32, inks: &Inks) -> Option<Receiver<ColorImage>> {
    let (sender, receiver) = channel();
    let (ctx, grid, inks) = (ctx.clone(), grid.clone(), inks.clone());
    let work = move || {
        let image = draw(&grid, grid.bounds(), factor, &inks);
        // The window may have closed meanwhile; then nobody waits for the picture.
        if sender.send(image).is_ok() {
            ctx.request_repaint();
        }
    };
    std::thread::Builder::new().name("chart picture".to_owned()).spawn(work).ok().map(|_| receiver)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Point;

    fn inks() -> Inks {
        Inks::new(vec![Color32::BLACK, Color32::WHITE, Color32::from_rgb(200, 40, 30)], Color32::GRAY)
    }

    #[test]
    fn one_pixel_a_stitch_with_the_top_row_first() {
        let mut grid = Grid::new(3, 2, Cell::slot(0)).unwrap();
        grid.set(Point::new(0, 1), Cell::slot(1));
        grid.set(Point::new(2, 0), Cell::NO_STITCH);
        let image = draw(&grid, grid.bounds(), 1, &inks());
        assert_eq!(image.size, [3, 2]);
        assert_eq!(image.pixels[0], Color32::WHITE);
        assert_eq!(image.pixels[5], Color32::GRAY);
        assert_eq!(image.pixels[3], Color32::BLACK);
    }

    #[test]
    fn black_and_white_stitches_average_in_linear_light() {
        // Half the light of white is sRGB 188 (IEC 61966-2-1: 1.055 * 0.5^(1/2.4) - 0.055 = 0.7354).
        let cells = (0..16).map(|i| Cell::slot((i + i / 4) % 2)).collect();
        let grid = Grid::from_cells(4, 4, cells).unwrap();
        let image = draw(&grid, grid.bounds(), 2, &inks());
        assert_eq!(image.size, [2, 2]);
        for pixel in image.pixels {
            assert!(pixel.r().abs_diff(188) <= 1, "{pixel:?}");
        }
    }

    #[test]
    fn a_solid_chart_keeps_its_colour_at_every_level_and_at_odd_edges() {
        let grid = Grid::new(37, 21, Cell::slot(2)).unwrap();
        for factor in [1, 2, 4, 8, 16, 32] {
            let image = draw(&grid, grid.bounds(), factor, &inks());
            assert_eq!(image.size, texels(&grid, factor));
            for pixel in image.pixels {
                for (a, b) in pixel.to_array().iter().zip(Color32::from_rgb(200, 40, 30).to_array()) {
                    assert!(a.abs_diff(b) <= 1, "{pixel:?} at {factor}");
                }
            }
        }
    }

    #[test]
    fn a_partial_redraw_equals_the_full_one() {
        let mut grid = Grid::new(37, 21, Cell::slot(0)).unwrap();
        for p in Rect::new(5, 3, 7, 9).points() {
            grid.set(p, Cell::slot(1));
        }
        for factor in [1, 2, 4, 8] {
            let rect = aligned(Rect::new(5, 3, 7, 9), factor, &grid);
            let part = draw(&grid, rect, factor, &inks());
            let full = draw(&grid, grid.bounds(), factor, &inks());
            let top = ((grid.height() - rect.y - rect.height) / factor) as usize;
            let left = (rect.x / factor) as usize;
            for y in 0..part.size[1] {
                for x in 0..part.size[0] {
                    let whole = full.pixels[(top + y) * full.size[0] + left + x];
                    assert_eq!(part.pixels[y * part.size[0] + x], whole, "{factor}: {x} {y}");
                }
            }
        }
    }
}
