//! The photograph of a swatch with the corners that are dragged on it, and the grid that was found.

use std::sync::Arc;

use egui::{
    Color32, CursorIcon, EventFilter, FontId, Id, Key, PointerButton, Pos2, Rect, Response, Role, Sense,
    Shape, Stroke, Ui, Vec2, WidgetInfo, pos2, vec2,
};

use super::{Known, KnownSizes};
use crate::app::gauge_desk::GaugePhoto;
use crate::knit::{Construction, SwatchFabric};
use crate::photo::{GaugeReading, ID1_CARD_MM, Place};
use crate::ui::theme::{SMALL, STEP, Tokens};
use crate::ui::widgets::{OnScreen, Sheet, focus_ring};

/// Wheel travel, in points, that enlarges e-fold.
const WHEEL_PER_E: f32 = 220.0;
/// The most the photograph is enlarged beyond fitting.
const MOST_ZOOM: f32 = 24.0;
/// How near to a corner it is taken hold of, in points.
const REACH: f32 = 14.0;
/// Side of the glass that shows a corner enlarged, and points to a picture pixel in it at least.
const GLASS: f32 = 132.0;
const GLASS_SCALE: f32 = 4.0;
/// Marks are white on black, so that they show on every yarn.
const LIGHT: Color32 = Color32::WHITE;
const DARK: Color32 = Color32::from_black_alpha(200);

/// What the pointer is in the middle of.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Held {
    /// A corner by its number, and where it lies off the pointer, in picture pixels.
    Corner(usize, Vec2),
    /// The picture.
    Pan,
}

/// How the photograph is looked at, and the corners on it.
pub struct PhotoView {
    /// The photograph this view belongs to.
    of: u64,
    zoom: f32,
    /// What lies in the middle, in shares of the picture.
    middle: Vec2,
    /// In picture pixels: four of what is known, then four of the swatch.
    corners: [Pos2; 8],
    chosen: Option<usize>,
    held: Option<Held>,
    texture: Option<OnScreen>,
    /// What is known.
    pub known: Known,
    /// Its size.
    pub sizes: KnownSizes,
    /// The swatch of the log that it is; `None` for a new one.
    pub into: Option<usize>,
    /// Its stitch and whether it was worked in the round; `None` while they are those of that swatch, or as planned.
    pub knitted: Option<(SwatchFabric, Construction)>,
    /// Whether it was washed and dried; `None` until the knitter told it.
    pub washed: Option<bool>,
    /// What was read last.
    pub last: Option<Arc<Result<GaugeReading, String>>>,
}

impl Default for PhotoView {
    fn default() -> Self {
        Self {
            of: 0,
            zoom: 1.0,
            middle: Vec2::splat(0.5),
            corners: [Pos2::ZERO; 8],
            chosen: None,
            held: None,
            texture: None,
            known: Known::default(),
            sizes: KnownSizes::default(),
            into: None,
            knitted: None,
            washed: None,
            last: None,
        }
    }
}

impl PhotoView {
    /// Begins anew on another photograph: a card at the left, a swatch in the middle.
    pub fn settle(&mut self, photo: &GaugePhoto) {
        if self.of == photo.number {
            return;
        }
        let (known, sizes) = (self.known, self.sizes);
        *self = Self { of: photo.number, known, sizes, ..Self::default() };
        let size = vec2(photo.picture.width() as f32, photo.picture.height() as f32);
        let wide = 0.28 * size.x;
        let card = vec2(wide, wide * (ID1_CARD_MM.1 / ID1_CARD_MM.0) as f32);
        let card = Rect::from_min_size(pos2(0.04 * size.x, 0.08 * size.y), card.min(0.8 * size));
        let swatch = Rect::from_min_max((0.38 * size).to_pos2(), (0.9 * size).to_pos2());
        for (corner, place) in self.corners.iter_mut().zip([card, swatch].into_iter().flat_map(around)) {
            *corner = place;
        }
    }

    /// Lets go of the corner that was chosen.
    pub const fn let_go(&mut self) {
        self.chosen = None;
        self.held = None;
    }

    /// Whether a corner is being dragged.
    pub const fn is_dragging(&self) -> bool {
        matches!(self.held, Some(Held::Corner(..)))
    }

    /// Those of what is known.
    pub fn corners_of_scale(&self) -> [Place; 4] {
        [0, 1, 2, 3].map(|i| place(self.corners[i]))
    }

    /// Those of the swatch.
    pub fn corners_of_swatch(&self) -> [Place; 4] {
        [4, 5, 6, 7].map(|i| place(self.corners[i]))
    }

    /// The corners that are there, by number.
    fn shown(&self) -> impl Iterator<Item = usize> + use<> {
        let has_corners = self.known.has_corners();
        (0..8).filter(move |i| *i >= 4 || has_corners || *i < 2)
    }

    fn move_to(&mut self, corner: usize, to: Pos2, photo: &GaugePhoto) {
        let end = pos2(photo.picture.width() as f32, photo.picture.height() as f32);
        self.corners[corner] = to.clamp(Pos2::ZERO, end);
    }
}

/// Clockwise from the top left.
fn around(rect: Rect) -> [Pos2; 4] {
    [rect.left_top(), rect.right_top(), rect.right_bottom(), rect.left_bottom()]
}

fn place(at: Pos2) -> Place {
    [f64::from(at.x), f64::from(at.y)]
}

/// Shows the photograph in `area`.
pub fn show(ui: &Ui, area: Rect, photo: &GaugePhoto, view: &mut PhotoView, reading: Option<&GaugeReading>) {
    let response = ui.interact(area, Id::unique("photograph of a swatch"), Sense::click_and_drag());
    response.widget_info(|| {
        WidgetInfo::labeled(Role::Image, true, format!("Photograph of a swatch, {}", photo.name))
    });
    let sheet = arrange(ui, &response, area, photo, view);
    pointer(ui, &response, &sheet, photo, view);
    keys(ui, &response, photo, view);
    paint(ui, &sheet, photo, view, reading);
    if response.has_focus() && !response.contains_pointer() {
        focus_ring(ui, area);
    }
}

fn arrange(ui: &Ui, response: &Response, area: Rect, photo: &GaugePhoto, view: &mut PhotoView) -> Sheet {
    let size = vec2(photo.picture.width() as f32, photo.picture.height() as f32);
    let place = |view: &PhotoView| Sheet::new(area, size, view.zoom, view.middle);
    if let Some(pos) = response.hover_pos() {
        let factor = ui.input_mut(|input| {
            let scroll = std::mem::take(&mut input.smooth_scroll_delta);
            input.zoom_delta() * (scroll.y / WHEEL_PER_E).exp()
        });
        if factor != 1.0 {
            let under = place(view).to_picture(pos);
            view.zoom = (view.zoom * factor).clamp(1.0, MOST_ZOOM);
            view.middle += (under - place(view).to_picture(pos)) / size;
        }
    }
    if view.held == Some(Held::Pan) {
        view.middle -= ui.input(|input| input.pointer.delta()) / place(view).scale() / size;
    }
    let sheet = place(view);
    // What was asked for beyond the edge is not kept.
    view.middle = sheet.middle();
    sheet
}

fn pointer(ui: &Ui, response: &Response, sheet: &Sheet, photo: &GaugePhoto, view: &mut PhotoView) {
    let Some(pos) = ui.input(|input| input.pointer.latest_pos()) else { return };
    let near = |view: &PhotoView, pos: Pos2| {
        let reach = view.shown().map(|i| (i, sheet.to_screen(view.corners[i]).distance(pos)));
        reach.filter(|(_, far)| *far <= REACH).min_by(|a, b| a.1.total_cmp(&b.1)).map(|(i, _)| i)
    };
    if response.drag_started() {
        response.request_focus();
        let origin = ui.input(|input| input.pointer.press_origin()).unwrap_or(pos);
        let corner = near(view, origin).filter(|_| response.drag_started_by(PointerButton::Primary));
        view.held = Some(match corner {
            Some(corner) => Held::Corner(corner, view.corners[corner] - sheet.to_picture(origin)),
            None => Held::Pan,
        });
        view.chosen = corner.or(view.chosen);
    }
    if let Some(Held::Corner(corner, off)) = view.held {
        view.move_to(corner, sheet.to_picture(pos) + off, photo);
    }
    if response.drag_stopped() {
        view.held = None;
    }
    if response.clicked() {
        response.request_focus();
        view.chosen = near(view, pos);
    }
    if response.hovered() || view.held.is_some() {
        ui.ctx().set_cursor_icon(match (view.held, near(view, pos)) {
            (Some(Held::Pan), _) => CursorIcon::Grabbing,
            (Some(Held::Corner(..)), _) => CursorIcon::None,
            (None, Some(_)) => CursorIcon::Move,
            (None, None) => CursorIcon::Grab,
        });
    }
}

/// 1 to 8 choose a corner, arrows move it by a pixel, with Shift by ten.
fn keys(ui: &Ui, response: &Response, photo: &GaugePhoto, view: &mut PhotoView) {
    const NUMBERS: [Key; 8] =
        [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8];
    if !response.has_focus() {
        return;
    }
    let arrows = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, arrows));
    let (number, by) = ui.input(|input| {
        let number = NUMBERS.iter().position(|key| input.key_pressed(*key));
        let pressed = |key| input.num_presses(key) as f32;
        let by = vec2(
            pressed(Key::ArrowRight) - pressed(Key::ArrowLeft),
            pressed(Key::ArrowDown) - pressed(Key::ArrowUp),
        );
        (number, by * if input.modifiers.shift { 10.0 } else { 1.0 })
    });
    if let Some(number) = number.filter(|number| view.shown().any(|shown| shown == *number)) {
        view.chosen = Some(number);
    }
    if let Some(corner) = view.chosen.filter(|_| by != Vec2::ZERO) {
        view.move_to(corner, view.corners[corner] + by, photo);
    }
}

fn paint(ui: &Ui, sheet: &Sheet, photo: &GaugePhoto, view: &mut PhotoView, reading: Option<&GaugeReading>) {
    let pane = sheet.pane();
    let painter = ui.painter().with_clip_rect(pane.intersect(ui.clip_rect()));
    painter.rect_filled(pane, 0, Tokens::of(ui).surround);
    let texture = OnScreen::of(&mut view.texture, ui, (photo.number, &photo.preview), None);
    let preview = &photo.preview;
    // The preview leaves out a last row or column of less than one of its pixels.
    let shown = vec2(preview.width as f32, preview.height as f32) * preview.scale as f32;
    if let Some(texture) = texture {
        let place = Rect::from_two_pos(sheet.to_screen(Pos2::ZERO), sheet.to_screen(shown.to_pos2()));
        painter.image(texture, place, Rect::from_min_max(Pos2::ZERO, pos2(1.0, 1.0)), Color32::WHITE);
    }
    for lines in reading.into_iter().flat_map(|reading| &reading.grid) {
        for ends in lines {
            let ends = ends.map(|[x, y]| sheet.to_screen(pos2(x as f32, y as f32)));
            painter.line_segment(ends, Stroke::new(2.0, Color32::from_black_alpha(90)));
            painter.line_segment(ends, Stroke::new(1.0, Color32::from_white_alpha(190)));
        }
    }
    if let Some(reading) = reading.filter(|reading| reading.edges_found > 0) {
        let on_screen = |[x, y]: &Place| sheet.to_screen(pos2(*x as f32, *y as f32));
        let mut found: Vec<Pos2> = reading.scale_places.iter().map(on_screen).collect();
        found.extend(found.first().copied());
        painter.line(found.clone(), Stroke::new(3.0, DARK));
        painter.extend(Shape::dashed_line(&found, Stroke::new(1.5, LIGHT), 6.0, 4.0));
    }
    let at = |i: usize| sheet.to_screen(view.corners[i]);
    let scale: Vec<Pos2> = view.shown().filter(|i| *i < 4).map(at).collect();
    let swatch: Vec<Pos2> = (4..8).map(at).collect();
    for (outline, words) in [(scale, "Known size"), (swatch, "Swatch")] {
        painter.add(Shape::closed_line(outline.clone(), Stroke::new(3.0, DARK)));
        painter.add(Shape::closed_line(outline.clone(), Stroke::new(1.5, LIGHT)));
        let galley = painter.layout_no_wrap(words.to_owned(), FontId::proportional(SMALL), LIGHT);
        let low = outline.iter().fold(pane.min.y, |low, at| low.max(at.y));
        let across = outline.iter().map(|at| at.x).sum::<f32>() / outline.len().max(1) as f32;
        let at = pos2(across - galley.size().x / 2.0, low + STEP);
        painter.rect_filled(Rect::from_min_size(at, galley.size()).expand(3.0), 3, DARK);
        painter.galley(at, galley, LIGHT);
    }
    for i in view.shown() {
        let (at, chosen) = (at(i), view.chosen == Some(i));
        painter.circle(
            at,
            if chosen { 7.0 } else { 5.0 },
            DARK,
            Stroke::new(if chosen { 2.5 } else { 1.5 }, LIGHT),
        );
        painter.circle_filled(at, 1.0, LIGHT);
    }
    if let (Some(texture), Some(corner)) = (texture, view.chosen) {
        glass(ui, sheet, texture, shown, view.corners[corner]);
    }
}

/// The chosen corner, enlarged, in the corner of the pane that lies away from it.
fn glass(ui: &Ui, sheet: &Sheet, texture: egui::TextureId, shown: Vec2, corner: Pos2) {
    let (pane, at) = (sheet.pane(), sheet.to_screen(corner));
    let left = at.x > pane.center().x;
    let x = if left { pane.min.x + STEP } else { pane.max.x - STEP - GLASS };
    let rect = Rect::from_min_size(pos2(x, pane.max.y - STEP - GLASS), Vec2::splat(GLASS));
    let half = GLASS / (2.0 * sheet.scale() * GLASS_SCALE).max(2.0 * GLASS_SCALE);
    let uv = |by: f32| ((corner + Vec2::splat(by)).to_vec2() / shown).to_pos2();
    let painter = ui.painter().with_clip_rect(rect.intersect(ui.clip_rect()));
    painter.rect_filled(rect, 0, Color32::BLACK);
    painter.image(texture, rect, Rect::from_min_max(uv(-half), uv(half)), Color32::WHITE);
    for (ink, width) in [(DARK, 3.0), (LIGHT, 1.0)] {
        let stroke = Stroke::new(width, ink);
        painter.hline(rect.x_range(), rect.center().y, stroke);
        painter.vline(rect.center().x, rect.y_range(), stroke);
        painter.rect_stroke(rect, 0, stroke, egui::StrokeKind::Inside);
    }
}
