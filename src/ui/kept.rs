//! Triangles kept from one frame to the next.
//!
//! Most of what stands in the window is the same in the next frame, yet rounded corners, smooth edges and words
//! would be made into triangles again each time: a third of what a frame costs. So the shapes of a frame are taken
//! in parts, and a part that is just what it was in the frame before gives way to the triangles it made then. What
//! is seen is the same to the last bit.

use std::collections::HashMap;
use std::sync::Arc;

use egui::epaint::{ClippedShape, Primitive, TextShape};
use egui::layers::{PaintList, ShapeIdx};
use egui::{Context, LayerId, Mesh, Rect, Shape, TextureId};

/// Most shapes of a part: where one changes, so many are made anew.
const PART: usize = 12;

/// The triangles of the last frame, by the shapes they were made of.
#[derive(Default)]
pub struct Kept {
    of: Option<Screen>,
    parts: HashMap<Place, Part>,
    frame: u64,
}

/// What all triangles rest on, beside their shapes: pixels in a point and, where glyphs are looked up in it, the size
/// of the picture of all glyphs.
type Screen = (u32, [usize; 2]);

/// Where a part is found again: its layer, its clip rectangle, and how many parts with the same come before it. So
/// what comes and goes in one rectangle leaves the parts of the others their place.
type Place = (LayerId, [u32; 4], usize);

struct Part {
    shapes: Vec<ClippedShape>,
    mesh: Arc<Mesh>,
    /// The frame it was last seen in.
    seen: u64,
}

impl Kept {
    /// Puts the triangles of the last frame in the place of shapes that have not changed since, and remembers those of
    /// this one. Comes after everything was painted.
    pub fn keep(&mut self, ctx: &Context) {
        #[allow(
            clippy::redundant_closure_for_method_calls,
            reason = "the method alone is not general enough"
        )]
        let glyphs = ctx.fonts(|fonts| fonts.font_image_size());
        let of = (ctx.pixels_per_point().to_bits(), glyphs);
        if self.of.replace(of) != Some(of) {
            self.parts.clear();
        }
        self.frame += 1;
        let layers: Vec<LayerId> = ctx.memory(|memory| memory.layer_ids().collect());
        for layer in layers.into_iter().filter(|layer| ctx.layer_transform_to_global(*layer).is_none()) {
            // Taken out, since making triangles asks the context itself.
            let Some(mut list) = ctx.graphics_mut(|graphics| graphics.get_mut(layer).map(std::mem::take))
            else {
                continue;
            };
            self.keep_layer(ctx, layer, &mut list);
            ctx.graphics_mut(|graphics| *graphics.entry(layer) = list);
        }
        self.parts.retain(|_, part| part.seen == self.frame);
    }

    fn keep_layer(&mut self, ctx: &Context, layer: LayerId, list: &mut PaintList) {
        let shapes: Vec<&ClippedShape> = list.all_entries().collect();
        let mut met: HashMap<[u32; 4], usize> = HashMap::new();
        let mut made: Vec<(usize, usize, Arc<Mesh>)> = Vec::new();
        let mut start = 0;
        while start < shapes.len() {
            let length = part_length(&shapes[start..]);
            if length > 0 {
                let clip = bits(shapes[start].clip_rect);
                let count = met.entry(clip).or_default();
                let mesh = self.mesh(ctx, (layer, clip, *count), &shapes[start..start + length]);
                *count += 1;
                made.push((start, length, mesh));
            }
            start += length.max(1);
        }
        for (start, length, mesh) in made {
            for place in start..start + length {
                list.reset_shape(ShapeIdx(place));
            }
            list.mutate_shape(ShapeIdx(start), |first| first.shape = Shape::Mesh(mesh));
        }
    }

    /// The triangles of these shapes, which share a clip rectangle.
    fn mesh(&mut self, ctx: &Context, place: Place, shapes: &[&ClippedShape]) -> Arc<Mesh> {
        if let Some(part) = self.parts.get_mut(&place)
            && part.shapes.len() == shapes.len()
            && part.shapes.iter().zip(shapes).all(|(old, new)| is_same(&old.shape, &new.shape))
        {
            part.seen = self.frame;
            return Arc::clone(&part.mesh);
        }
        let shapes: Vec<ClippedShape> = shapes.iter().map(|shape| (*shape).clone()).collect();
        // One clip rectangle and one texture give one mesh, or none.
        let made = ctx.tessellate(shapes.clone(), ctx.pixels_per_point());
        let mesh = made.into_iter().find_map(|clipped| match clipped.primitive {
            Primitive::Mesh(mesh) => Some(Arc::new(mesh)),
            Primitive::Callback(_) => None,
        });
        let mesh = mesh.unwrap_or_default();
        self.parts.insert(place, Part { shapes, mesh: Arc::clone(&mesh), seen: self.frame });
        mesh
    }
}

/// How many of the first shapes make a part: those that may be kept and share a clip rectangle.
fn part_length(shapes: &[&ClippedShape]) -> usize {
    let clip = shapes.first().map(|first| first.clip_rect);
    let of_part = |shape: &&&ClippedShape| Some(shape.clip_rect) == clip && may_be_kept(shape);
    shapes.iter().take(PART).take_while(of_part).count()
}

/// Whether a shape is worth keeping: triangles already are what would be kept, and what has a texture of its own
/// does not go into one mesh with the rest.
fn may_be_kept(shape: &ClippedShape) -> bool {
    let is_plain = !matches!(shape.shape, Shape::Mesh(_) | Shape::Vec(_) | Shape::Callback(_));
    is_plain
        && shape.shape.texture_id() == TextureId::default()
        && shape.transform_after_tessellation == egui::emath::TSTransform::IDENTITY
}

/// Whether two shapes make the same triangles. Words are the same when they are one galley, which the window library
/// hands out again as long as they are shown: to compare them letter by letter would cost what is to be saved.
fn is_same(old: &Shape, new: &Shape) -> bool {
    match (old, new) {
        (Shape::Text(old), Shape::Text(new)) => {
            let TextShape {
                pos,
                galley,
                underline,
                fallback_color,
                override_text_color,
                opacity_factor,
                angle,
            } = old;
            Arc::ptr_eq(galley, &new.galley)
                && *pos == new.pos
                && *underline == new.underline
                && *fallback_color == new.fallback_color
                && *override_text_color == new.override_text_color
                && *opacity_factor == new.opacity_factor
                && *angle == new.angle
        }
        _ => old == new,
    }
}

/// A clip rectangle as something that can be looked up.
fn bits(rect: Rect) -> [u32; 4] {
    [rect.min.x, rect.min.y, rect.max.x, rect.max.y].map(f32::to_bits)
}
