//! One frame of the canvas, from the surround up to the focus ring.

use std::borrow::Cow;

use egui::{Color32, Mesh, Painter, Rect, Shape, Ui};

use super::geometry::Geometry;
use super::inks::Inks;
use super::numbers::Rulers;
use super::quads::Quads;
use super::texture::{Picture, Sheet};
use super::{CanvasTextures, handles, images, knitted, marks, paint, sprites, tools};
use crate::app::view::{ChartView, Eyes, Gesture, Look, Stale};
use crate::chart::{self, Cell, Grid, Point};
use crate::project::{Project, chosen_edits};
use crate::ui::theme::Tokens;

/// Opacity of held stitches that are not set down yet.
const HELD: f32 = 0.6;
/// Opacity of the region's stitches on their way.
const ON_THE_WAY: f32 = 0.85;
/// The knitted look shows single stitches from this cell size, physical pixels.
const KNITTED_FROM: f32 = 9.0;
/// The same where a yarn changes colour along the strand.
const VARIED_FROM: f32 = 5.0;
/// Stitches and rows beyond the chart at full strength in the knitted look and with symbols, so that the seam of
/// the repeat is seen as it will be.
const SEAM: i64 = 4;
/// The preview of a filled shape is left open when more stitches than this are in view: their list
/// would take longer than a frame has.
const MAX_PREVIEW: usize = 200_000;

/// The picture of stitches that hang over the chart.
pub struct HeldPatch {
    patch: Option<(Grid, Option<Cell>)>,
    picture: Picture,
}

impl Default for HeldPatch {
    fn default() -> Self {
        Self { patch: None, picture: Picture::new("held stitches") }
    }
}

impl HeldPatch {
    fn sheet(
        &mut self,
        painter: &Painter,
        patch: &Grid,
        see_through: Option<Cell>,
        inks: &Inks,
        pixels: f32,
    ) -> Option<Sheet> {
        let same = self.patch.as_ref().is_some_and(|(old, through)| old == patch && *through == see_through);
        if !same {
            self.patch = Some((patch.clone(), see_through));
        }
        let inks = see_through.map_or(Cow::Borrowed(inks), |cell| Cow::Owned(inks.without(cell)));
        self.picture.touch(patch, Stale { all: !same, cells: chart::Areas::NONE }, &inks);
        self.picture.sheet(painter.ctx(), patch, pixels)
    }
}

/// Paints the frame.
pub fn paint(
    ui: &Ui,
    g: &Geometry,
    (project, eyes): (&Project, Eyes),
    view: &ChartView,
    textures: &mut CanvasTextures,
    stale: Stale,
    has_focus: bool,
) {
    let tokens = Tokens::of(ui);
    let ground = paint::surround(view, &tokens);
    let inks = textures.seen.inks(project, eyes, ground).clone();
    if textures.chart.touch(&project.chart.grid, stale, &inks) {
        textures.revision += 1;
    }
    if !ui.is_rect_visible(g.canvas) {
        return;
    }
    let painter = ui.painter_at(g.canvas);
    let scene = Scene { painter: &painter, g, project, view, ground, inks: &inks, eyes };
    painter.rect_filled(g.canvas, 0.0, ground);
    scene.stitches(textures);
    scene.hanging(textures);
    if view.look != Look::Knitted {
        let mut quads = Quads::default();
        paint::grid_lines(g, g.visible(), &mut quads);
        painter.add(quads.into_mesh());
    }
    let current = view.hover.or_else(|| has_focus.then_some(view.cursor));
    let rulers = Rulers::new(g, project, view);
    if let Some(rulers) = rulers {
        rulers.paint(&painter, g, project, current, ground);
    }
    let mut over = painter.clone();
    over.shrink_clip_rect(rulers.map_or(g.canvas, |rulers| rulers.free()));
    over.add(scene.marks(has_focus).into_mesh());
    if has_focus {
        let mut quads = Quads::default();
        marks::focus_ring(g, tokens.focus, &mut quads);
        painter.add(quads.into_mesh());
    }
}

struct Scene<'a> {
    painter: &'a Painter,
    g: &'a Geometry,
    project: &'a Project,
    view: &'a ChartView,
    ground: Color32,
    inks: &'a Inks,
    eyes: Eyes,
}

impl Scene<'_> {
    /// Whether more than flat colour is shown, which is judged over the seam of the repeat.
    fn shows_signs(&self) -> bool {
        self.view.symbols || self.view.look == Look::Knitted
    }

    fn is_knitted(&self) -> bool {
        // What a yarn of changing colour does is seen from smaller stitches on than the single stitch.
        let from = if knitted::is_varied(self.project) { VARIED_FROM } else { KNITTED_FROM };
        self.view.look == Look::Knitted && self.g.cell_pixels() >= from
    }

    /// Ghost repeats, stitches and symbols.
    fn stitches(&self, textures: &mut CanvasTextures) {
        let (g, grid, ctx) = (self.g, &self.project.chart.grid, self.painter.ctx());
        let Some(sheet) = textures.chart.sheet(ctx, grid, g.cell_pixels()) else { return };
        let repeat = self.view.ghosts.then(|| handles::shown_repeat(self.project, self.view.gesture));
        let tint = if self.is_knitted() { knitted::SHADOW } else { 1.0 };
        let tint = Color32::from_gray((255.0 * tint) as u8);
        if let Some(repeat) = repeat {
            self.painter.add(paint::ghosts(g, sheet, repeat, tint));
        }
        self.painter.add(paint::stitches(g, sheet, tint));
        // Without ghosts the heads of the top row and the feet of the bottom row end with the chart.
        let end = if repeat.is_some() { g.canvas } else { g.chart().intersect(g.canvas) };
        if self.is_knitted() {
            self.painter.add(paint::no_stitches(g, grid, repeat, self.ground));
            let fabric = textures.knitted.shape(
                ctx,
                g,
                (self.project, self.eyes),
                repeat,
                self.inks,
                textures.revision,
            );
            self.painter.with_clip_rect(end).add(fabric);
        } else if self.view.look == Look::Knitted {
            self.painter.add(textures.knitted.far_shape(ctx, g, end));
        }
        let marking = sprites::Marking {
            project: self.project,
            inks: self.inks,
            symbols: self.view.symbols,
            plates: self.view.look == Look::Knitted,
            ground: self.ground,
            repeat,
            revision: textures.revision,
        };
        self.painter.add(textures.symbols.shape(ctx, g, &marking));
        if repeat.is_some() {
            self.painter.add(paint::veil(g, if self.shows_signs() { SEAM } else { 0 }, self.ground));
        }
    }

    /// Stitches on their way: a moved region, held stitches, the shape being stretched.
    fn hanging(&self, textures: &mut CanvasTextures) {
        if let (Some(Gesture::Shift { by, copy, .. }), Some(region)) = (self.view.gesture, self.view.region)
            && by != (0, 0)
        {
            if !copy && self.view.mask().is_none() {
                let background = Cell::slot(self.project.background_slot() as u8);
                self.painter.rect_filled(self.g.rect(region), 0.0, self.inks.of(background));
            }
            let at = (i64::from(region.x) + by.0, i64::from(region.y) + by.1);
            let see_through = self.view.mask().map(|_| Cell::NO_STITCH);
            if let Some(patch) = chosen_edits::lifted(self.project, region, self.view.mask()) {
                self.patch(textures, &patch, at, see_through, ON_THE_WAY);
            }
        }
        if let Some(Gesture::Shape { from, to, second, .. }) = self.view.gesture {
            self.shape_preview(from, to, second);
        }
        if let Some(held) = &self.view.floating {
            self.patch(textures, &held.patch, held.at, held.see_through, HELD);
        }
    }

    fn patch(
        &self,
        textures: &mut CanvasTextures,
        patch: &Grid,
        at: (i64, i64),
        see_through: Option<Cell>,
        opacity: f32,
    ) {
        let sheet = textures.held.sheet(self.painter, patch, see_through, self.inks, self.g.cell_pixels());
        if let Some(sheet) = sheet {
            let mut mesh = Mesh::with_texture(sheet.texture);
            let block = self.g.block(at, patch.width(), patch.height());
            let tint = Color32::WHITE.gamma_multiply(opacity);
            paint::add_cells(&mut mesh, sheet, patch.bounds(), patch.height(), block, tint);
            if self.view.floating.is_some()
                && let Some(placed) = images::placed(self.project, self.view)
            {
                let size = (patch.width(), patch.height());
                for image in images::held(placed, self.g, at, size) {
                    images::add_held(&mut mesh, self.g, sheet, &image, (at, size), tint);
                }
            }
            self.painter.add(Shape::mesh(mesh));
        }
    }

    fn shape_with_images(&self, from: Point, to: Point, filled: bool, clip: chart::Rect) -> Vec<Point> {
        let bounds = if self.project.symmetry.is_on() { self.project.chart.grid.bounds() } else { clip };
        let points = tools::shape_points(self.view, from, to, filled, bounds);
        images::with_images(self.project, self.view, self.g, points)
    }

    fn shape_preview(&self, from: Point, to: Point, second: bool) {
        let (g, view) = (self.g, self.view);
        let clip = g.visible();
        let filled = view.filled && clip.area() <= MAX_PREVIEW;
        let points = self.shape_with_images(from, to, filled, clip);
        let cell = if second { tools::second_cell } else { tools::paint_cell };
        let ink = self.inks.of(cell(self.project, view));
        let mut quads = Quads::default();
        // Neighbours in a row become one rectangle.
        for run in points.chunk_by(|a, b| a.y == b.y && a.x + 1 == b.x) {
            let first = run[0];
            quads.fill(g.rect(chart::Rect::new(first.x, first.y, run.len() as u32, 1)), ink);
        }
        self.painter.add(quads.into_mesh());
    }

    /// Everything that lies over the stitches.
    fn marks(&self, has_focus: bool) -> Quads {
        let (g, view) = (self.g, self.view);
        let mut quads = Quads::default();
        marks::repeat(g, handles::shown_repeat(self.project, view.gesture), &mut quads);
        images::paint_ghosts(g, self.project, view, self.inks, &mut quads);
        handles::paint_axes(g, self.project, view, &mut quads);
        for cells in &view.highlight {
            marks::highlight(g, *cells, &mut quads);
        }
        for pair in view.path.windows(2) {
            let (a, b) = (g.cell_rect(pair[0]), g.cell_rect(pair[1]));
            marks::way(g, a.center(), b.center(), &mut quads);
        }
        if let (Some(mask), Some(region)) = (view.mask(), view.region)
            && !matches!(view.gesture, Some(Gesture::Shift { .. } | Gesture::Band { .. }))
        {
            marks::chosen(g, region, mask, &mut quads);
        } else if let Some(rect) = self.region_rect() {
            marks::dashed(g, rect, &mut quads);
        }
        if let Some(held) = &view.floating {
            marks::dashed(g, g.block(held.at, held.patch.width(), held.patch.height()), &mut quads);
        }
        if has_focus {
            marks::cursor(g, g.cell_rect(view.cursor), &mut quads);
        }
        if let Some(hover) = view.hover.filter(|_| view.gesture.is_none() && view.floating.is_none()) {
            marks::hover(g, g.cell_rect(hover), &mut quads);
        }
        quads
    }

    /// The region where it is now, or the rubber band.
    fn region_rect(&self) -> Option<Rect> {
        let region = self.view.region;
        match self.view.gesture {
            Some(Gesture::Band { from, to, moved: true }) => {
                Some(self.g.rect(chart::Rect::spanning(from, to)))
            }
            Some(Gesture::Shift { by, .. }) => region
                .map(|r| self.g.block((i64::from(r.x) + by.0, i64::from(r.y) + by.1), r.width, r.height)),
            _ => region.map(|region| self.g.rect(region)),
        }
    }
}
