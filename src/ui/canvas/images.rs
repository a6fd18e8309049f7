//! The stitches that the symmetry takes along, shown under the pointer before and while they are painted.

use std::collections::BTreeSet;

use egui::epaint::{Mesh, Vertex};
use egui::{Color32, pos2};

use super::geometry::Geometry;
use super::handles::shown_symmetry;
use super::inks::Inks;
use super::marks;
use super::quads::Quads;
use super::texture::Sheet;
use super::tools;
use crate::app::view::{ChartView, Gesture, Tool};
use crate::chart::{Cell, Image, Ink, Placed, Point};
use crate::project::Project;

/// So many ghosts are shown at most; a tiny tile seen from afar has more copies than eyes can tell apart.
const MOST: usize = 3000;
/// How much of the stitch under it a ghost hides.
const GHOST: f32 = 0.75;

/// The symmetry as it is shown, while its axis is dragged too; `None` when it is off.
pub fn placed(project: &Project, view: &ChartView) -> Option<Placed> {
    let symmetry = shown_symmetry(project, view.gesture);
    symmetry.is_on().then(|| symmetry.about(project.chart.repeat()))
}

/// The images of the stitch under the pointer, as the tool would leave them.
pub fn paint_ghosts(g: &Geometry, project: &Project, view: &ChartView, inks: &Inks, quads: &mut Quads) {
    let paints = matches!(
        view.tool,
        Tool::Draw | Tool::Line | Tool::Rectangle | Tool::Ellipse | Tool::Fill | Tool::Erase
    );
    let Some(placed) = placed(project, view).filter(|_| paints && view.floating.is_none()) else { return };
    let is_stroke = matches!(view.gesture, None | Some(Gesture::Stroke { .. }));
    let Some(hover) = view.hover.filter(|_| is_stroke) else { return };
    let ink = match view.gesture {
        Some(Gesture::Stroke { ink, .. }) => ink,
        _ => tools::stroke_ink(project, view, false),
    };
    let mut ghosts = BTreeSet::new();
    let at = (i64::from(hover.x), i64::from(hover.y));
    placed.images(at, (1, 1), g.visible(), |image| {
        if ghosts.len() < MOST {
            let (x, y) = image.cell(at);
            ghosts.insert((y as u32, x as u32));
        }
    });
    ghosts.remove(&(hover.y, hover.x));
    for (y, x) in ghosts {
        let cell = g.cell_rect(Point::new(x, y));
        if let Some(colour) = colour(ink, inks) {
            quads.fill(cell, colour.gamma_multiply(GHOST));
        }
        marks::hover(g, cell, quads);
    }
}

/// The colour a brush leaves; none when it leaves another work.
fn colour(ink: Ink, inks: &Inks) -> Option<Color32> {
    match ink {
        Ink::Colour(cell) | Ink::Cell(cell) => Some(inks.of(cell)),
        Ink::Work(_) => None,
    }
}

/// The stitches of a shape with their images, in rows, each once. Many are left without them: their list would
/// take longer than a frame has.
pub fn with_images(project: &Project, view: &ChartView, g: &Geometry, points: Vec<Point>) -> Vec<Point> {
    const ENOUGH: usize = 40_000;
    let Some(placed) = placed(project, view).filter(|_| points.len() <= ENOUGH) else { return points };
    let ink = Ink::Colour(Cell::NO_STITCH);
    let strokes: Vec<(Point, Ink)> = points.into_iter().map(|p| (p, ink)).collect();
    placed.strokes(&strokes, g.visible()).into_iter().map(|(p, _)| p).collect()
}

/// The images of held stitches at `at`, but for those where they are held.
pub fn held(placed: Placed, g: &Geometry, at: (i64, i64), size: (u32, u32)) -> Vec<Image> {
    let mut images = Vec::new();
    placed.images(at, size, g.visible(), |image| {
        if images.len() < MOST {
            images.push(image);
        }
    });
    let stays = |image: &Image| image.cell((0, 0)) == (0, 0) && image.cell((1, 2)) == (1, 2);
    images.retain(|image| !stays(image));
    images
}

/// Adds held stitches as an image shows them.
pub fn add_held(
    mesh: &mut Mesh,
    g: &Geometry,
    sheet: Sheet,
    image: &Image,
    (at, size): ((i64, i64), (u32, u32)),
    tint: Color32,
) {
    let first = mesh.vertices.len() as u32;
    for (right, top) in [(0, 0), (1, 0), (1, 1), (0, 1)] {
        let (x, y) = (right * i64::from(size.0), top * i64::from(size.1));
        let (x2, y2) = image.place2((2 * (at.0 + x), 2 * (at.1 + y)));
        let pos = pos2(
            g.snap(g.origin.x + x2 as f32 / 2.0 * g.cell.x),
            g.snap(g.y(0) - y2 as f32 / 2.0 * g.cell.y),
        );
        let uv = pos2(x as f32 * sheet.step.x, (i64::from(size.1) - y) as f32 * sheet.step.y);
        mesh.vertices.push(Vertex { pos, uv, color: tint });
    }
    mesh.add_triangle(first, first + 1, first + 2);
    mesh.add_triangle(first, first + 2, first + 3);
}
