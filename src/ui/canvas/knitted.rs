//! The knitted look: one drawn knit stitch, tinted per cell, as one mesh.
//!
//! On the knit side a stitch shows as a V: the two legs of its loop. The tips of the V come up
//! between the legs of the stitch below, so sprites reach beyond their cell and rows interlock.

use egui::{Color32, ColorImage, Context, Mesh, Rect, Shape, TextureHandle, TextureOptions, pos2, vec2};

use super::around::Around;
use super::geometry::Geometry;
use super::inks::Inks;
use super::sprites::{Kept, side_for};
use crate::app::view::Eyes;
use crate::chart::{self, Grid};
use crate::project::{Project, StrandLook};
use crate::ui::colours::seen;
use crate::yarn::{Variation, VariationKind};

/// Sprite widths that are drawn, physical pixels: the next larger one is used.
const SIDES: [u32; 8] = [10, 14, 20, 28, 40, 56, 80, 112];
/// From this stitch width on fabric can be told from flat colour, physical pixels.
const FAR_FROM: f32 = 2.0;
/// Widths the pattern from afar is drawn in, physical pixels: the next larger one is used.
const FAR_SIDES: [u32; 5] = [3, 4, 6, 8, 10];
/// How far a stitch reaches above and below its cell, in cell heights.
const REACH: f32 = 0.40;
/// Cell height over width the stitch is drawn for; other gauges stretch it.
const SHAPE: f32 = 0.8;
/// What is seen between the legs: the stitch's own colour in the shadow of the fabric.
pub const SHADOW: f32 = 0.52;
/// Thickest half width of a leg, in cell widths.
const LEG: f32 = 0.228;
/// The yarn's twist, in plies over the length of a leg.
const PLIES: f32 = 3.4;
/// How far the brightness lost to shade is made up for: all of it would make the lit parts, which
/// the eye goes by, too light.
const EVEN_OUT: f32 = 0.6;
/// Sub-pixels per side for smooth edges.
const SAMPLES: u32 = 3;

#[derive(PartialEq)]
struct Key {
    g: Geometry,
    revision: u64,
    side: u32,
    repeat: Option<chart::Rect>,
    strands: Option<Strands>,
}

/// What decides how yarns of changing colour look; `None` where all are of one colour.
#[derive(PartialEq)]
struct Strands {
    varies: Vec<Option<Variation>>,
    /// Stitches of a round or row.
    width: u32,
    /// Yarn in a stitch, in cm.
    loop_cm: f64,
    /// Stitches of the repeat in each colour, as far as they are counted.
    counts: Vec<u32>,
    eyes: Eyes,
}

/// Whether some colour is knitted in a yarn that changes along the strand.
pub fn is_varied(project: &Project) -> bool {
    let mut slots = 0..project.palette.slots().len();
    slots.any(|slot| project.variation_of(slot).is_some_and(|varies| varies.kind != VariationKind::Solid))
}

impl Strands {
    fn of(project: &Project, counts: &[u32], eyes: Eyes) -> Option<Self> {
        let slots = 0..project.palette.slots().len();
        is_varied(project).then(|| Self {
            varies: slots.map(|slot| project.variation_of(slot).cloned()).collect(),
            width: project.plan.needle_stitches.max(1),
            loop_cm: project.loop_basis().length.likely,
            counts: counts.to_vec(),
            eyes,
        })
    }
}

/// The tints of a slot's stitches: one, or those of a yarn that changes.
struct Tints {
    all: Vec<Color32>,
    look: Option<StrandLook>,
    width: u32,
}

impl Tints {
    fn at(&self, x: i64, y: i64) -> Option<Color32> {
        let place = self.look.as_ref().map_or(0, |look| look.at(x, y, self.width));
        self.all.get(place).copied()
    }
}

struct Stitch {
    side: u32,
    texture: TextureHandle,
    /// Makes up for the brightness lost to shade.
    gain: f32,
}

/// The visible fabric.
#[derive(Default)]
pub struct KnittedView {
    stitch: Option<Stitch>,
    kept: Kept<Key>,
    /// Stitches of the repeat in each colour, as far as they are counted.
    pub counts: Vec<u32>,
    /// The side of the small pattern and the pattern.
    far: Option<(u32, TextureHandle)>,
}

impl KnittedView {
    /// The light and shade of fabric seen from afar, to be painted over the stitches in `area`: one pattern for
    /// all of them, so that it costs the same for any number.
    pub fn far_shape(&mut self, ctx: &Context, g: &Geometry, area: Rect) -> Shape {
        let pixels = g.cell.x * g.pixels_per_point;
        let area = area.intersect(g.canvas);
        if pixels < FAR_FROM || !area.is_positive() {
            return Shape::Noop;
        }
        let side = side_for(pixels, &FAR_SIDES);
        if self.far.as_ref().is_none_or(|(old, _)| *old != side) {
            let options = TextureOptions::LINEAR_REPEAT;
            self.far = Some((side, ctx.load_texture("fabric from afar", far_pattern(side), options)));
        }
        let Some((_, texture)) = &self.far else { return Shape::Noop };
        let mut mesh = Mesh::with_texture(texture.id());
        let in_cells = |pos: egui::Pos2| ((pos - g.origin) / g.cell).to_pos2();
        let uv = Rect::from_min_max(in_cells(area.min), in_cells(area.max));
        mesh.add_rect_with_uv(area, uv, Color32::WHITE);
        Shape::mesh(mesh)
    }

    /// The visible stitches as one shape, with those of `repeat` beside the chart if it is continued there, to be
    /// painted over them tinted with [`SHADOW`].
    pub fn shape(
        &mut self,
        ctx: &Context,
        g: &Geometry,
        (project, eyes): (&Project, Eyes),
        repeat: Option<chart::Rect>,
        inks: &Inks,
        revision: u64,
    ) -> Shape {
        let grid = &project.chart.grid;
        let side = side_for(g.cell.x * g.pixels_per_point, &SIDES);
        if self.stitch.as_ref().is_none_or(|stitch| stitch.side != side) {
            let image = stitch_image(side);
            let gain = (1.0 / fabric_average(&image)).powf(EVEN_OUT);
            let texture = ctx.load_texture("knit stitch", image, TextureOptions::LINEAR);
            self.stitch = Some(Stitch { side, texture, gain });
        }
        let Some(stitch) = &self.stitch else { return Shape::Noop };
        let (texture, gain) = (stitch.texture.id(), stitch.gain);
        let strands = Strands::of(project, &self.counts, eyes);
        let width = strands.as_ref().map_or(1, |strands| strands.width);
        let (varied, counts) = (strands.is_some(), &self.counts);
        self.kept.shape(Key { g: *g, revision, side, repeat, strands }, || {
            let mut mesh = Mesh::with_texture(texture);
            let mut looks = if varied { project.strand_looks_by(counts) } else { Vec::new() };
            let tints = inks.slots().iter().enumerate().map(|(slot, ink)| {
                let look = looks.get_mut(slot).and_then(Option::take);
                let of_look = |look: &StrandLook| {
                    look.shown().iter().map(|colour| yarn(seen(*colour, eyes), gain)).collect()
                };
                let all = look.as_ref().map_or_else(|| vec![yarn(*ink, gain)], of_look);
                Tints { all, look, width }
            });
            let tints: Vec<Tints> = tints.collect();
            add_stitches(&mut mesh, g, grid, repeat, &tints);
            mesh
        })
    }
}

/// The tint of a stitch: the yarn's colour, bright enough that light and shade average to it. Black
/// yarn is lifted a little, as no yarn swallows all light.
fn yarn(colour: Color32, gain: f32) -> Color32 {
    let lift = |v: u8| 9.0 + f32::from(v) * (246.0 / 255.0);
    let [r, g, b] = [colour.r(), colour.g(), colour.b()].map(lift);
    let gain = gain.min(255.0 / r.max(g).max(b));
    Color32::from_rgb((r * gain) as u8, (g * gain) as u8, (b * gain) as u8)
}

fn add_stitches(mesh: &mut Mesh, g: &Geometry, grid: &Grid, repeat: Option<chart::Rect>, tints: &[Tints]) {
    let around = Around::new(g, repeat);
    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
    mesh.reserve_triangles(around.count() * 2);
    mesh.reserve_vertices(around.count() * 4);
    // From the bottom up: the legs of a stitch lie over the head of the one below. A stitch of the next row
    // reaches into the canvas from outside it.
    for y in around.rows_and_one(grid) {
        around.row(grid, y, |x, cell| {
            if let Some(tint) = cell.index().and_then(|slot| tints.get(slot)?.at(x, y)) {
                let at = g.cell_block((x, y));
                let at = at.expand2(vec2(0.0, at.height() * REACH));
                mesh.add_rect_with_uv(at, whole, tint);
            }
        });
    }
}

/// The light and shade of one cell of plain fabric, `side` pixels wide: black and white with transparency that
/// leave the brightness of the fabric as it is on the whole.
fn far_pattern(side: u32) -> ColorImage {
    let image = stitch_image(side.max(2));
    let [width, height] = image.size;
    let cell = (height as f32 / (1.0 + 2.0 * REACH)).round().max(1.0) as usize;
    let reach = (height - cell.min(height)) / 2;
    let values: Vec<f32> = (0..cell)
        .flat_map(|y| (0..width).map(move |x| (x, y)))
        .map(|(x, y)| fabric_value(&image, cell, reach, x, y))
        .collect();
    let mean = values.iter().sum::<f32>() / values.len().max(1) as f32;
    let pixel = |value: f32| {
        let byte = |share: f32| (share.clamp(0.0, 0.6) * 255.0).round() as u8;
        if value < mean {
            Color32::from_black_alpha(byte(1.0 - value / mean))
        } else {
            // White lightens dark yarn more than shade darkens it: half of it keeps the balance.
            Color32::from_white_alpha(byte((value - mean) / (255.0 - mean).max(1.0) * 0.5))
        }
    };
    ColorImage::new([width, cell], values.into_iter().map(pixel).collect())
}

/// Brightness, 0 to 255, at a pixel of a cell of plain white fabric over its shadow.
fn fabric_value(image: &ColorImage, cell: usize, reach: usize, x: usize, y: usize) -> f32 {
    let [width, height] = image.size;
    let mut value = SHADOW * 255.0;
    // The stitch below reaches up into the cell, the one above, painted last, down.
    for row in [(y + reach).wrapping_sub(cell), y + reach, y + reach + cell] {
        if row < height {
            let pixel = image.pixels[row * width + x];
            value = f32::from(pixel.r()) + value * (1.0 - f32::from(pixel.a()) / 255.0);
        }
    }
    value
}

/// One knit stitch of `side` pixels width, in greys with transparency.
fn stitch_image(side: u32) -> ColorImage {
    let height = (side as f32 * SHAPE * (1.0 + 2.0 * REACH)).round() as u32;
    let mut pixels = Vec::with_capacity((side * height) as usize);
    for y in 0..height {
        for x in 0..side {
            let (mut value, mut alpha) = (0.0, 0.0);
            for sub in 0..SAMPLES * SAMPLES {
                let step = 1.0 / SAMPLES as f32;
                let (dx, dy) = ((sub % SAMPLES) as f32 + 0.5, (sub / SAMPLES) as f32 + 0.5);
                let u = (x as f32 + dx * step) / side as f32;
                let v = (y as f32 + dy * step) / height as f32;
                if let Some(shade) = leg_shade(u, v) {
                    value += shade;
                    alpha += 1.0;
                }
            }
            let all = (SAMPLES * SAMPLES) as f32;
            let grey = |v: f32| (v / all * 255.0).round() as u8;
            let v = grey(value);
            pixels.push(Color32::from_rgba_premultiplied(v, v, v, grey(alpha)));
        }
    }
    ColorImage::new([side as usize, height as usize], pixels)
}

/// Light on the yarn at (`u`, `v`) of the sprite, `0..=1` each with `v` down; `None` beside the legs.
fn leg_shade(u: f32, v: f32) -> Option<f32> {
    // Both legs are one, mirrored.
    let is_right = u > 0.5;
    let x = if is_right { 1.0 - u } else { u };
    // In cell widths from the top of the cell, down.
    let y = (v * (1.0 + 2.0 * REACH) - REACH) * SHAPE;
    // The middle of the left leg, from its foot between the legs below to its head at the side.
    let (foot, knee, head) = (vec2(0.49, 1.30 * SHAPE), vec2(0.36, 0.62 * SHAPE), vec2(0.11, -0.30 * SHAPE));
    let point = vec2(x, y);
    let mut nearest: Option<(f32, f32, f32)> = None;
    for i in 0..=32 {
        let t = i as f32 / 32.0;
        let (a, b) = (foot + (knee - foot) * t, knee + (head - knee) * t);
        let offset = point - (a + (b - a) * t);
        let along = (b - a).normalized();
        let across = along.x * offset.y - along.y * offset.x;
        if nearest.is_none_or(|(distance, ..)| offset.length() < distance) {
            nearest = Some((offset.length(), t, across));
        }
    }
    let (distance, t, across) = nearest?;
    // Full in the middle, drawn in at the foot, rounded at the head.
    let width = LEG * (std::f32::consts::PI * (0.03 + 0.93 * t)).sin().max(0.0).powf(0.6);
    if distance >= width || width <= 0.0 {
        return None;
    }
    let n = across / width;
    let round = (1.0 - n * n).max(0.0).sqrt();
    // Light from the upper left: the outer flank of the left leg, the inner one of the right.
    let side = if is_right { -n } else { n };
    let ply = 0.5 + 0.5 * (std::f32::consts::TAU * (t * PLIES - 0.55 * n)).cos();
    let depth = smooth(0.0, 0.36, t) * (1.0 - 0.8 * smooth(0.70, 1.0, t));
    let light = 0.50 + 0.42 * round + 0.07 * side - 0.09 * (1.0 - ply) * (0.4 + 0.6 * round);
    Some((light * (0.52 + 0.48 * depth)).clamp(0.0, 1.0))
}

fn smooth(from: f32, to: f32, at: f32) -> f32 {
    let t = ((at - from) / (to - from)).clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

/// Average brightness of a plain fabric of these sprites over its shadow.
fn fabric_average(image: &ColorImage) -> f32 {
    let [width, height] = image.size;
    let cell = (height as f32 / (1.0 + 2.0 * REACH)).round().max(1.0) as usize;
    let reach = (height - cell.min(height)) / 2;
    let mut sum = 0.0;
    for y in 0..cell {
        for x in 0..width {
            sum += fabric_value(image, cell, reach, x, y);
        }
    }
    (sum / (cell * width) as f32 / 255.0).max(0.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stitch_is_a_v_with_an_open_mouth_and_a_closed_foot() {
        let image = stitch_image(56);
        let [width, height] = image.size;
        let alpha = |x: usize, y: usize| image.pixels[y * width + x].a();
        assert_eq!(alpha(width / 2, height / 5), 0, "open at the top");
        assert!(alpha(width / 2, height * 3 / 4) > 200, "closed at the foot");
        for y in 0..height {
            for x in 0..width / 2 {
                assert_eq!(alpha(x, y), alpha(width - 1 - x, y), "both legs alike");
            }
        }
    }

    #[test]
    fn fabric_is_about_as_bright_as_its_yarn_at_every_size() {
        for side in SIDES {
            let average = fabric_average(&stitch_image(side));
            let grey = yarn(Color32::from_gray(120), average.recip().powf(EVEN_OUT));
            let shown = f32::from(grey.r()) * average;
            assert!((shown - 120.0).abs() < 18.0, "{side}: {shown}");
        }
    }

    #[test]
    fn from_afar_light_and_shade_even_out() {
        for side in FAR_SIDES {
            let image = far_pattern(side);
            let over = |base: f32| {
                let shown =
                    image.pixels.iter().map(|p| f32::from(p.r()) + base * (1.0 - f32::from(p.a()) / 255.0));
                shown.sum::<f32>() / image.pixels.len() as f32
            };
            assert!((over(128.0) - 128.0).abs() < 16.0, "{side}: {}", over(128.0));
            assert!(image.pixels.iter().any(|p| p.a() > 8), "{side}");
        }
    }

    #[test]
    fn white_yarn_stays_white_and_hues_are_kept() {
        assert_eq!(yarn(Color32::WHITE, 1.5), Color32::WHITE);
        let red = yarn(Color32::from_rgb(200, 40, 30), 1.5);
        assert!(red.r() == 255 && red.g() < 70);
    }
}
