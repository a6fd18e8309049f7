//! Draws the window's output on the processor: needs no driver and no display, and draws the same
//! picture every time. For looking at the window and for the few image snapshots.
#![allow(dead_code)]

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use egui::epaint::{ImageData, ImageDelta, Mesh, Primitive, Vertex};
use egui::{
    Color32, ColorImage, Rect, TextureFilter, TextureId, TextureOptions, TextureWrapMode, TexturesDelta,
};
use image::{Rgba, RgbaImage};

/// The textures of one harness. Clone it: give one to the harness, keep the other to draw with.
#[derive(Clone, Default)]
pub struct SoftwareRenderer {
    textures: Rc<RefCell<HashMap<TextureId, (ColorImage, TextureOptions)>>>,
}

impl egui_kittest::TestRenderer for SoftwareRenderer {
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        let mut textures = self.textures.borrow_mut();
        for (id, changes) in delta.set.drain() {
            for ImageDelta { image, options, pos } in changes {
                let ImageData::Color(image) = image;
                if let Some([left, top]) = pos {
                    let (old, _) = textures.get_mut(&id).expect("a part of a texture that exists");
                    for (y, row) in image.pixels.chunks(image.size[0]).enumerate() {
                        let start = (top + y) * old.size[0] + left;
                        old.pixels[start..start + row.len()].copy_from_slice(row);
                    }
                } else {
                    textures.insert(id, ((*image).clone(), options));
                }
            }
        }
        for id in delta.free.drain() {
            textures.remove(&id);
        }
    }
}

impl SoftwareRenderer {
    /// The picture of the harness's last frame.
    pub fn picture<State>(&self, harness: &egui_kittest::Harness<'_, State>) -> RgbaImage {
        self.parts(harness, &[Rect::EVERYTHING])
    }

    /// The same, drawn only in these areas: a whole window takes a second.
    pub fn parts<State>(&self, harness: &egui_kittest::Harness<'_, State>, areas: &[Rect]) -> RgbaImage {
        let scale = harness.ctx.pixels_per_point();
        let size = harness.ctx.content_rect().size() * scale;
        let shapes = harness.output().shapes.clone();
        let mut picture = RgbaImage::from_pixel(size.x as u32, size.y as u32, Rgba([0, 0, 0, 255]));
        for clipped in harness.ctx.tessellate(shapes, scale) {
            if let Primitive::Mesh(mesh) = clipped.primitive {
                let bounds = mesh.calc_bounds().intersect(clipped.clip_rect);
                for area in areas.iter().filter(|area| area.intersects(bounds)) {
                    self.draw(&mut picture, &mesh, clipped.clip_rect.intersect(*area), scale);
                }
            }
        }
        picture
    }

    /// Writes the picture of the harness's last frame as a PNG.
    pub fn save<State>(&self, harness: &egui_kittest::Harness<'_, State>, path: &std::path::Path) {
        self.picture(harness).save(path).expect("the picture can be written");
    }

    fn draw(&self, picture: &mut RgbaImage, mesh: &Mesh, clip: Rect, scale: f32) {
        let textures = self.textures.borrow();
        let (texture, options) = &textures[&mesh.texture_id];
        let edge = |v: f32, most: u32| (v * scale).round().clamp(0.0, most as f32);
        let (width, height) = picture.dimensions();
        let low = [edge(clip.min.x, width), edge(clip.min.y, height)];
        let high = [edge(clip.max.x, width), edge(clip.max.y, height)];
        for [a, b, c] in mesh.triangles() {
            let corners = [a, b, c].map(|i| mesh.vertices[i as usize]);
            if !Rect::from_points(&corners.map(|corner| corner.pos)).intersects(clip) {
                continue;
            }
            triangle(picture, corners, scale, low, high, |uv| sample(texture, *options, uv));
        }
    }
}

/// Fills a triangle, each pixel centre once even where two triangles share an edge (the top-left
/// rule), blending premultiplied colours in gamma space as egui's backends do.
fn triangle(
    picture: &mut RgbaImage,
    mut corners: [Vertex; 3],
    scale: f32,
    low: [f32; 2],
    high: [f32; 2],
    texel: impl Fn([f32; 2]) -> [f32; 4],
) {
    let at = |v: &Vertex| [v.pos.x * scale, v.pos.y * scale];
    let edge =
        |a: [f32; 2], b: [f32; 2], p: [f32; 2]| (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
    let mut area = edge(at(&corners[0]), at(&corners[1]), at(&corners[2]));
    if area < 0.0 {
        corners.swap(1, 2);
        area = -area;
    }
    if area == 0.0 || !area.is_finite() {
        return;
    }
    let p = [at(&corners[0]), at(&corners[1]), at(&corners[2])];
    let range = |axis: usize| {
        let all = p.map(|p| p[axis]);
        let from = all.iter().copied().fold(f32::INFINITY, f32::min).max(low[axis]).floor();
        let to = all.iter().copied().fold(f32::NEG_INFINITY, f32::max).min(high[axis]).ceil();
        from as u32..to.max(from) as u32
    };
    // Owns its boundary when it is a left edge or a level top one (y down, corners clockwise).
    let owns = |a: [f32; 2], b: [f32; 2]| b[1] < a[1] || (b[1] == a[1] && b[0] > a[0]);
    let edges = [(p[1], p[2]), (p[2], p[0]), (p[0], p[1])];
    for y in range(1) {
        for x in range(0) {
            let centre = [x as f32 + 0.5, y as f32 + 0.5];
            if centre[0] < low[0] || centre[1] < low[1] || centre[0] >= high[0] || centre[1] >= high[1] {
                continue;
            }
            let weights = edges.map(|(a, b)| edge(a, b, centre));
            let is_in = weights.iter().zip(edges).all(|(w, (a, b))| *w > 0.0 || (*w == 0.0 && owns(a, b)));
            if !is_in {
                continue;
            }
            let mix = |of: &dyn Fn(&Vertex) -> f32| {
                weights.iter().zip(&corners).map(|(w, v)| w / area * of(v)).sum::<f32>()
            };
            let colour = texel([mix(&|v| v.uv.x), mix(&|v| v.uv.y)]);
            let tint: [f32; 4] = std::array::from_fn(|i| mix(&|v| f32::from(v.color.to_array()[i])) / 255.0);
            let source: [f32; 4] = std::array::from_fn(|i| colour[i] * tint[i]);
            let under = picture.get_pixel_mut(x, y);
            for i in 0..4 {
                let blended = source[i] + f32::from(under[i]) / 255.0 * (1.0 - source[3]);
                under[i] = (blended * 255.0).round().clamp(0.0, 255.0) as u8;
            }
        }
    }
}

fn sample(texture: &ColorImage, options: TextureOptions, [u, v]: [f32; 2]) -> [f32; 4] {
    let [width, height] = texture.size;
    let texel = |x: i64, y: i64| -> [f32; 4] {
        let wrap = |v: i64, size: usize| match options.wrap_mode {
            TextureWrapMode::Repeat => v.rem_euclid(size as i64) as usize,
            _ => v.clamp(0, size as i64 - 1) as usize,
        };
        let colour: Color32 = texture.pixels[wrap(y, height) * width + wrap(x, width)];
        colour.to_array().map(|v| f32::from(v) / 255.0)
    };
    let (x, y) = (u * width as f32, v * height as f32);
    if options.magnification == TextureFilter::Nearest {
        return texel(x.floor() as i64, y.floor() as i64);
    }
    let (x, y) = (x - 0.5, y - 0.5);
    let (left, top) = (x.floor(), y.floor());
    let (across, down) = (x - left, y - top);
    let corner = |dx: i64, dy: i64| texel(left as i64 + dx, top as i64 + dy);
    let (a, b, c, d) = (corner(0, 0), corner(1, 0), corner(0, 1), corner(1, 1));
    std::array::from_fn(|i| {
        let (upper, lower) = (a[i] + (b[i] - a[i]) * across, c[i] + (d[i] - c[i]) * across);
        upper + (lower - upper) * down
    })
}
