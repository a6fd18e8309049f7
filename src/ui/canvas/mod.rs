//! The stitch grid: one widget with tools, zoom, numbers and a keyboard cursor.

mod around;
mod geometry;
mod handles;
mod images;
mod inks;
mod keyboard;
mod knitted;
mod marks;
mod numbers;
mod paint;
mod quads;
mod scene;
mod sprites;
mod texture;
mod tools;

use egui::{Color32, ColorImage, CursorIcon, MouseWheelSource, Pos2, Rect, Response, Sense, Ui, Vec2, vec2};

use crate::app::Action;
use crate::app::view::{ChartView, Eyes, Gesture, MenuAt, Stale, Tool};
use crate::chart;
use crate::colour::Colour;
use crate::project::Project;
use crate::ui::colours::seen;
use geometry::Geometry;
use inks::{Inks, Seen};
use numbers::Rulers;

pub use keyboard::{LABEL, describe};
pub use tools::{paint_cell, second_cell};

/// Wheel travel, in points, that enlarges e-fold.
const WHEEL_PER_E: f32 = 220.0;

/// What the canvas keeps between frames: textures and meshes that need not be made again.
pub struct CanvasTextures {
    seen: Seen,
    chart: texture::Picture,
    held: scene::HeldPatch,
    knitted: knitted::KnittedView,
    symbols: sprites::Symbols,
    /// Grows whenever the stitches or their colours change.
    revision: u64,
    /// The space bar, still down, has served to move the view.
    space_used: bool,
    /// The view as the last fit left it: until it is changed by hand, a canvas of another size
    /// is fitted again.
    fitted: Option<Fitted>,
    /// Zoom and place when a finding was last brought into view.
    revealed: Option<(f32, [f32; 2])>,
}

impl CanvasTextures {
    /// The stitches of the repeat in each colour are so many: it says how yarns of changing colour look knitted.
    pub fn counted(&mut self, repeat_stitches: &[u32]) {
        if self.knitted.counts != repeat_stitches {
            self.knitted.counts = repeat_stitches.to_vec();
        }
    }
}

impl Default for CanvasTextures {
    fn default() -> Self {
        Self {
            seen: Seen::default(),
            chart: texture::Picture::new("chart"),
            held: scene::HeldPatch::default(),
            knitted: knitted::KnittedView::default(),
            symbols: sprites::Symbols::default(),
            revision: 0,
            space_used: false,
            fitted: None,
            revealed: None,
        }
    }
}

/// How the whole chart was brought into view.
#[derive(Clone, Copy)]
struct Fitted {
    canvas: Rect,
    /// Stitches and rows.
    size: (u32, u32),
    zoom: f32,
    pan: [f32; 2],
}

impl Fitted {
    /// Whether the canvas or the chart is another by now while the person has not moved the view. A row more or
    /// less moves nothing: it may be put in while another is painted.
    fn is_left(self, canvas: Rect, size: (u32, u32), view: &ChartView) -> bool {
        let is_another = |old: u32, new: u32| old.abs_diff(new) * 10 > old.max(new);
        let chart = is_another(self.size.0, size.0) || is_another(self.size.1, size.1);
        (self.canvas != canvas || chart) && self.zoom == view.zoom && self.pan == view.pan
    }
}

/// Notes whether a press comes while a menu or list is open, which it closes: it is none on the chart. Once a frame,
/// before anything is shown.
pub fn note_press(ctx: &egui::Context) {
    if ctx.input(|input| input.pointer.any_pressed()) {
        let closes = egui::Popup::is_any_open(ctx);
        ctx.data_mut(|data| data.insert_temp(egui::Id::unique(CLOSES), closes));
    }
}

const CLOSES: &str = "the press closes what is open";

/// Whether the last press closed what was open.
fn press_closes(ui: &Ui) -> bool {
    ui.data(|data| data.get_temp(egui::Id::unique(CLOSES))).unwrap_or(false)
}

/// The one stitch grid of the window, to ask whether it has the keyboard, and to give it.
pub fn id() -> egui::Id {
    egui::Id::unique("stitch grid")
}

/// Shows the stitch grid in the space there is, through these eyes, and answers with what its user asked for.
///
/// It takes `view.stale`, and carries out and clears `view.fit`, `view.reveal` and `view.zoom_by`.
/// It asks for another frame only when it has asked for a change.
pub fn show(
    ui: &mut Ui,
    project: &Project,
    view: &mut ChartView,
    eyes: Eyes,
    textures: &mut CanvasTextures,
) -> Vec<Action> {
    let size = ui.available_size().max(Vec2::splat(48.0));
    let (_, canvas) = ui.allocate_space(size);
    let response = ui.interact(canvas, id(), Sense::click_and_drag());
    settle(project, view);
    let g = arrange(ui, &response, project, view, textures);
    let rulers = Rulers::new(&g, project, view);
    let is_free = |pos: Pos2| !rulers.is_some_and(|rulers| rulers.contains(pos));

    let keyed = keyboard::keys(ui, &response, project, view, &mut textures.space_used);
    let mut actions = keyed.actions;
    actions.extend(tools::pointer(ui, &response, project, view, &g, is_free));
    if keyed.moved {
        g.following(view.cursor, numbers::free_area(canvas, project, view)).store(view);
    }
    let g = Geometry::new(canvas, project, view, ui.pixels_per_point());
    if keyed.menu {
        let pos = g.cell_rect(view.cursor).center().into();
        view.menu = Some(MenuAt { pos, by_keys: true });
    }
    let pointer = response.hover_pos().filter(|pos| is_free(*pos));
    view.hover = pointer.and_then(|pos| g.point_at(pos));
    if pointer.is_some() || view.gesture.is_some() {
        let handle = pointer.filter(|_| view.gesture.is_none() && view.floating.is_none());
        let handle = handle.and_then(|pos| handles::at(&g, project, view, pos));
        let icon = handle.map_or_else(
            || cursor_icon(ui, view, pointer.map(|pos| g.cell_at(pos))),
            handles::Handle::cursor,
        );
        ui.ctx().set_cursor_icon(icon);
    }

    let stale = std::mem::replace(&mut view.stale, Stale { cells: chart::Areas::NONE, all: false });
    scene::paint(ui, &g, (project, eyes), view, textures, stale, response.has_focus());
    keyboard::announce(ui, &response, project, view, g.cell_rect(view.cursor));
    if !actions.is_empty() {
        // The change is carried out after this frame; the next one shows it.
        ui.ctx().request_repaint();
    }
    actions
}

/// A small picture of the chart in other colours, at most `side` pixels wide and high, averaged in
/// linear light; for previews of colourways. Slots without a colour show their own. It has a pixel
/// for every so many stitches and rows: show it at the chart's true aspect, and keep it until the
/// chart or the colours change.
pub fn thumbnail(project: &Project, colours: &[Colour], eyes: Eyes, side: u32) -> ColorImage {
    let slots = project.palette.slots().iter().enumerate();
    let inks = slots.map(|(i, slot)| seen(colours.get(i).copied().unwrap_or(slot.colour), eyes));
    let inks = Inks::new(inks.collect(), Color32::TRANSPARENT);
    let grid = &project.chart.grid;
    let factor = grid.width().max(grid.height()).div_ceil(side.max(1));
    texture::draw(grid, grid.bounds(), factor, &inks)
}

/// Brings what the view points at back inside a chart that has shrunk.
fn settle(project: &Project, view: &mut ChartView) {
    let bounds = project.chart.grid.bounds();
    let inside = |p: &mut chart::Point| {
        p.x = p.x.min(bounds.width - 1);
        p.y = p.y.min(bounds.height - 1);
    };
    inside(&mut view.cursor);
    view.anchor.as_mut().map(inside);
    view.region = view.region.map(|region| region.intersect(bounds)).filter(|region| !region.is_empty());
    if let Some(Gesture::Shape { from, to, .. } | Gesture::Band { from, to, .. }) = &mut view.gesture {
        inside(from);
        inside(to);
    }
}

/// Where the chart lies in this frame: what was asked for by commands, then wheel, pinch and drag.
fn arrange(
    ui: &Ui,
    response: &Response,
    project: &Project,
    view: &mut ChartView,
    textures: &mut CanvasTextures,
) -> Geometry {
    let canvas = response.rect;
    let area = numbers::free_area(canvas, project, view);
    let before = Geometry::new(canvas, project, view, ui.pixels_per_point());
    let size = (project.chart.grid.width(), project.chart.grid.height());
    let left = textures.fitted.is_some_and(|fitted| fitted.is_left(canvas, size, view));
    let fit = std::mem::take(&mut view.fit) || left;
    let mut g = if fit { before.fitted(area) } else { before.kept() };
    let whole = g;
    let mut revealed = g;
    if let Some(rect) = view.reveal.take() {
        let (zoom, pan) = (view.zoom, view.pan);
        let shown = g.revealing(rect.intersect(project.chart.grid.bounds()), area);
        // From one finding to the next, the way back is still to where the person was.
        if shown != g && (view.back.is_none() || textures.revealed != Some((zoom, pan))) {
            view.back = Some((zoom, pan));
        }
        revealed = shown;
        g = shown;
    }
    g = g.zoomed(std::mem::replace(&mut view.zoom_by, 1.0), canvas.center());
    if let Some(pointer) = response.hover_pos() {
        let wheel = Wheel::take(ui);
        g = g.zoomed(wheel.zoom, pointer);
        if wheel.pan != Vec2::ZERO {
            g = g.panned(wheel.pan);
        }
    }
    if view.gesture == Some(Gesture::Pan) {
        g = g.panned(ui.input(|i| i.pointer.delta()));
    }
    g.store(view);
    if revealed != whole && g == revealed {
        textures.revealed = Some((view.zoom, view.pan));
    }
    if fit {
        // What was zoomed in the same frame is no longer the whole, and a wider canvas leaves it alone.
        let (zoom, pan) = (view.zoom, view.pan);
        textures.fitted = (g == whole).then_some(Fitted { canvas, size, zoom, pan });
    }
    g
}

/// What wheel, trackpad and fingers ask of the view.
struct Wheel {
    zoom: f32,
    pan: Vec2,
}

impl Wheel {
    /// A wheel zooms, sideways or with Shift it pans. Two fingers on a trackpad that is known as one
    /// pan both ways; a pinch zooms.
    fn take(ui: &Ui) -> Self {
        ui.input_mut(|i| {
            let scroll = std::mem::take(&mut i.smooth_scroll_delta);
            let fingers = i.multi_touch().map_or(Vec2::ZERO, |touch| touch.translation_delta);
            if i.scroll_source() == Some(MouseWheelSource::Trackpad) {
                return Self { zoom: i.zoom_delta(), pan: scroll + fingers };
            }
            Self { zoom: i.zoom_delta() * (scroll.y / WHEEL_PER_E).exp(), pan: vec2(scroll.x, 0.0) + fingers }
        })
    }
}

fn cursor_icon(ui: &Ui, view: &ChartView, cell: Option<(i64, i64)>) -> CursorIcon {
    if view.gesture == Some(Gesture::Pan) {
        return CursorIcon::Grabbing;
    }
    if ui.input(|i| i.key_down(egui::Key::Space)) {
        return CursorIcon::Grab;
    }
    if matches!(
        view.gesture,
        Some(Gesture::Shift { .. } | Gesture::Carry { .. } | Gesture::Axis { .. } | Gesture::Corner { .. })
    ) {
        return CursorIcon::Grabbing;
    }
    let over = |at: (i64, i64), width: u32, height: u32| {
        cell.is_some_and(|cell| {
            (0..i64::from(width)).contains(&(cell.0 - at.0))
                && (0..i64::from(height)).contains(&(cell.1 - at.1))
        })
    };
    let held = view.floating.as_ref();
    let is_over_held = held.is_some_and(|held| over(held.at, held.patch.width(), held.patch.height()));
    let on_chart = |(x, y): (i64, i64)| Some(chart::Point::new(x.try_into().ok()?, y.try_into().ok()?));
    let chooses = view.tool == Tool::Region && held.is_none();
    let is_over_region = chooses && cell.and_then(on_chart).is_some_and(|p| tools::is_chosen(view, p));
    if is_over_held || is_over_region { CursorIcon::Move } else { CursorIcon::Crosshair }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::{Cell, Grid};
    use crate::project::Chart;

    #[test]
    fn a_thumbnail_fits_and_shows_the_colourway() {
        let chart = Chart::new(Grid::new(300, 120, Cell::slot(1)).unwrap());
        let project = Project { chart, ..Project::default() };
        let image = thumbnail(&project, &[Colour::BLACK, Colour::WHITE], Eyes::Usual, 64);
        assert_eq!(image.size, [60, 24]);
        assert!(image.pixels.iter().all(|pixel| *pixel == Color32::WHITE));
        let own = thumbnail(&project, &[], Eyes::Usual, 64);
        assert_eq!(own.pixels[0], seen(project.palette.slots()[1].colour, Eyes::Usual));
    }
}
