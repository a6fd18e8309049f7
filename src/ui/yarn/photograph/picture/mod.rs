//! The photograph: shown as taken, corrected or both; marks are drawn, moved and resized on it.

mod marks;

use egui::{
    Color32, CursorIcon, EventFilter, Key, PointerButton, Pos2, Rect, Response, Role, Sense, Ui, Vec2,
    WidgetInfo, vec2,
};

use super::{Marking, PhotographView, Place, Shown, light, photo};
use crate::app::Action;
use crate::app::photo_desk::{PhotoAction, Photograph};
use crate::app::state::State;
use crate::photo::{MAX_REFERENCES, Region};
use crate::ui::theme::{STEP, Tokens};
use crate::ui::widgets::{OnScreen, Sheet, focus_ring};
use marks::Grip;

/// Wheel travel, in points, that enlarges e-fold.
const WHEEL_PER_E: f32 = 220.0;
/// The most a photograph is enlarged beyond fitting.
const MOST_ZOOM: f32 = 24.0;

/// What the pointer is in the middle of.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Grasp {
    /// Drawing a new mark from here, in picture pixels.
    Draw(Pos2),
    /// Moving or resizing a mark that was in the region, by the picture place it was taken hold of.
    Mark(Place, Grip, Region, Pos2),
    /// Moving the picture.
    Pan,
}

/// How the photograph is looked at.
pub struct PictureView {
    /// The photograph this view belongs to.
    of: u64,
    /// Enlargement over fitting, 1 or more.
    zoom: f32,
    /// What lies in the middle, in shares of the picture.
    middle: Vec2,
    held: Option<Grasp>,
    /// The pane the pointer went down in.
    pane: usize,
    as_taken: Option<OnScreen>,
    corrected: Option<OnScreen>,
}

impl Default for PictureView {
    fn default() -> Self {
        Self {
            of: 0,
            zoom: 1.0,
            middle: Vec2::splat(0.5),
            held: None,
            pane: 0,
            as_taken: None,
            corrected: None,
        }
    }
}

impl PictureView {
    /// Enlarges about the middle.
    pub fn zoom_by(&mut self, factor: f32) {
        self.zoom = (self.zoom * factor).clamp(1.0, MOST_ZOOM);
    }

    /// Shows the whole photograph.
    pub fn whole(&mut self) {
        self.zoom = 1.0;
        self.middle = Vec2::splat(0.5);
    }

    /// Drops what belongs to another photograph.
    fn settle(&mut self, photograph: &Photograph) {
        if self.of != photograph.number {
            *self = Self { of: photograph.number, ..Self::default() };
        }
        if photograph.light.is_none() {
            self.corrected = None;
        }
    }
}

/// Shows the photograph in `size`; gives back where.
pub fn show(
    ui: &mut Ui,
    size: Vec2,
    state: &State,
    photograph: &Photograph,
    view: &mut PhotographView,
    actions: &mut Vec<Action>,
) -> Rect {
    let (area, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    if view.picture.of != photograph.number {
        view.draft = None;
        view.chosen = None;
        view.marking = Marking::Reference;
        view.reference = 0;
    }
    view.picture.settle(photograph);
    let count = photograph.yarns.len();
    let enabled = !state.photo.is_locked();
    response.widget_info(|| {
        let text = format!("Photograph {}, {count} yarns marked", photograph.name);
        WidgetInfo::labeled(Role::Image, enabled, text)
    });
    let panes = panes(area, photograph, view);
    let sheets = arrange(ui, &response, &panes, photograph, view);
    if enabled {
        pointer(ui, &response, &sheets, photograph, view, actions);
        keys(ui, &response, photograph, view, actions);
    }
    ui.painter().rect_filled(area, 0, Tokens::of(ui).surround);
    for (sheet, corrected) in sheets.iter().zip([view_of_first(photograph, view), true]) {
        paint(ui, sheet, corrected, photograph, view);
    }
    // Whoever points at the picture sees the pointer and needs no ring over it.
    if response.has_focus() && !response.contains_pointer() {
        focus_ring(ui, area);
    }
    area
}

/// Whether the first pane shows the corrected picture.
fn view_of_first(photograph: &Photograph, view: &PhotographView) -> bool {
    photograph.light.is_some() && view.shown == Shown::Corrected
}

/// One pane, or two side by side (one above the other where that shows more).
fn panes(area: Rect, photograph: &Photograph, view: &PhotographView) -> Vec<Rect> {
    if photograph.light.is_none() || view.shown != Shown::Both {
        return vec![area];
    }
    let gap = STEP / 2.0;
    let aspect = photograph.picture.width() as f32 / photograph.picture.height() as f32;
    let scale = |pane: Vec2| (pane.x / aspect).min(pane.y);
    let (across, down) = (vec2(area.width() / 2.0, area.height()), vec2(area.width(), area.height() / 2.0));
    let (first, second) = if scale(across) >= scale(down) {
        area.split_left_right_at_fraction(0.5)
    } else {
        area.split_top_bottom_at_fraction(0.5)
    };
    let shrink = if scale(across) >= scale(down) { vec2(gap / 2.0, 0.0) } else { vec2(0.0, gap / 2.0) };
    vec![first.shrink2(shrink), second.shrink2(shrink)]
}

/// Where the picture lies in each pane this frame, after wheel, pinch and drag.
fn arrange(
    ui: &Ui,
    response: &Response,
    panes: &[Rect],
    photograph: &Photograph,
    view: &mut PhotographView,
) -> Vec<Sheet> {
    let size = vec2(photograph.picture.width() as f32, photograph.picture.height() as f32);
    let picture = &mut view.picture;
    let place = |pane: Rect, picture: &PictureView| Sheet::new(pane, size, picture.zoom, picture.middle);
    let hovered = response
        .hover_pos()
        .and_then(|pos| panes.iter().rfind(|p| p.contains(pos)).or(panes.first()).map(|p| (*p, pos)));
    if let Some((pane, pos)) = hovered {
        let factor = ui.input_mut(|input| {
            let scroll = std::mem::take(&mut input.smooth_scroll_delta);
            input.zoom_delta() * (scroll.y / WHEEL_PER_E).exp()
        });
        if factor != 1.0 {
            let under = place(pane, picture).to_picture(pos);
            picture.zoom_by(factor);
            let now = place(pane, picture).to_picture(pos);
            picture.middle += (under - now) / size;
        }
    }
    if picture.held == Some(Grasp::Pan) {
        let scale = place(panes[0], picture).scale();
        picture.middle -= ui.input(|input| input.pointer.delta()) / scale / size;
    }
    let sheets: Vec<Sheet> = panes.iter().map(|pane| place(*pane, picture)).collect();
    // What was asked for beyond the edge is not kept.
    picture.middle = sheets[0].middle();
    sheets
}

/// The region between two picture places, in whole pixels.
fn between(a: Pos2, b: Pos2, photograph: &Photograph) -> Region {
    let rect = Rect::from_two_pos(a, b);
    let (wide, high) = (photograph.picture.width() as f32, photograph.picture.height() as f32);
    let whole = |v: f32, end: f32| v.round().clamp(0.0, end) as u32;
    let (left, top) = (whole(rect.left(), wide), whole(rect.top(), high));
    let (right, bottom) = (whole(rect.right(), wide), whole(rect.bottom(), high));
    Region::new(left, top, right - left, bottom - top)
}

/// Marks that dragging may take hold of, the topmost first.
fn within_reach(photograph: &Photograph, view: &PhotographView) -> Vec<(Place, Region)> {
    let place = |place: Place| Some((place, view.region(photograph, place)?));
    match view.marking {
        Marking::Reference => {
            let count = photograph.references().len();
            let mut cards: Vec<(Place, Region)> =
                (0..count).rev().filter_map(|number| place(Place::Reference(number))).collect();
            cards.sort_by_key(|(place, _)| Place::Reference(view.reference) != *place);
            cards
        }
        Marking::Yarn => {
            let mut yarns: Vec<(Place, Region)> =
                photograph.yarns.iter().rev().filter_map(|yarn| place(Place::Yarn(yarn.id))).collect();
            yarns.sort_by_key(|(place, _)| view.chosen.map(Place::Yarn) != Some(*place));
            yarns
        }
    }
}

fn pointer(
    ui: &Ui,
    response: &Response,
    sheets: &[Sheet],
    photograph: &Photograph,
    view: &mut PhotographView,
    actions: &mut Vec<Action>,
) {
    let Some(pos) = ui.input(|input| input.pointer.latest_pos()) else { return };
    let origin = ui.input(|input| input.pointer.press_origin()).unwrap_or(pos);
    if view.picture.held.is_none() {
        view.picture.pane = sheets.iter().position(|sheet| sheet.pane().contains(origin)).unwrap_or(0);
    }
    let sheet = sheets[view.picture.pane.min(sheets.len() - 1)];
    let reach = within_reach(photograph, view);
    let grip_at = |pos: Pos2| {
        reach.iter().find_map(|(place, region)| Some((*place, marks::grip(&sheet, *region, pos)?, *region)))
    };
    if response.drag_started() {
        response.request_focus();
        let primary =
            response.drag_started_by(PointerButton::Primary) && !ui.input(|i| i.key_down(Key::Space));
        view.picture.held = Some(match grip_at(origin) {
            _ if !primary => Grasp::Pan,
            Some((place, grip, region)) => Grasp::Mark(place, grip, region, sheet.to_picture(origin)),
            None => Grasp::Draw(sheet.to_picture(origin)),
        });
    }
    let moved = match view.picture.held {
        Some(Grasp::Draw(from)) => Some((None, between(from, sheet.to_picture(pos), photograph))),
        Some(Grasp::Mark(place, grip, region, from)) => {
            let by = sheet.to_picture(pos) - from;
            Some((Some(place), marks::moved(photograph, region, grip, by)))
        }
        Some(Grasp::Pan) | None => None,
    };
    if let Some((place, region)) = moved {
        let drawn = match view.marking {
            Marking::Reference => Place::Reference(photograph.references().len()),
            Marking::Yarn => Place::Yarn(0),
        };
        view.draft = Some((place.unwrap_or(drawn), region));
    }
    if ui.input(|input| input.key_pressed(Key::Escape)) && view.picture.held.take().is_some() {
        view.draft = None;
    }
    if response.drag_stopped() && view.picture.held.take().is_some() {
        set_down(photograph, view, actions);
    }
    if response.clicked() {
        response.request_focus();
        choose(view, photograph, &sheet, pos);
    }
    if response.hovered() || view.picture.held.is_some() {
        let over = grip_at(pos).map(|(_, grip, _)| grip);
        ui.ctx().set_cursor_icon(match (view.picture.held, over) {
            (Some(Grasp::Pan), _) => CursorIcon::Grabbing,
            (Some(Grasp::Mark(_, grip, ..)), _) | (None, Some(grip)) => grip.cursor(),
            _ => CursorIcon::Crosshair,
        });
    }
}

/// A click chooses the yarn under it, and turns to the yarns while the card was to be marked.
fn choose(view: &mut PhotographView, photograph: &Photograph, sheet: &Sheet, pos: Pos2) {
    if view.marking == Marking::Reference {
        let cards = photograph.references();
        let is_under = |number: &usize| marks::grip(sheet, cards[*number].region, pos).is_some();
        if let Some(number) = (0..cards.len()).rev().find(is_under) {
            view.choose_reference(photograph, number);
        }
    }
    let under = photograph.yarns.iter().rev().find(|yarn| marks::grip(sheet, yarn.region, pos).is_some());
    match under {
        Some(yarn) => view.choose(yarn.id),
        None => view.chosen = None,
    }
}

/// The drawn, moved or resized mark is measured.
fn set_down(photograph: &Photograph, view: &mut PhotographView, actions: &mut Vec<Action>) {
    let Some((place, region)) = view.draft.take() else { return };
    if region.width.min(region.height) < Region::LEAST_SIDE {
        actions.push(Action::Notify("That mark is too small to measure: drag a larger one.".to_owned()));
        return;
    }
    actions.push(match place {
        Place::Yarn(0) => photo(PhotoAction::AddYarn(region)),
        Place::Reference(number) if number >= MAX_REFERENCES => {
            Action::Notify(format!("{MAX_REFERENCES} references are enough: drop one first."))
        }
        place => view.put(photograph, place, region),
    });
}

/// Arrows move the chosen mark, Delete drops the chosen yarn.
fn keys(
    ui: &Ui,
    response: &Response,
    photograph: &Photograph,
    view: &mut PhotographView,
    actions: &mut Vec<Action>,
) {
    if !response.has_focus() {
        return;
    }
    let place = match view.marking {
        Marking::Reference => Some(Place::Reference(view.reference)),
        Marking::Yarn => view.chosen.map(Place::Yarn),
    };
    let Some((place, region)) = place.and_then(|place| Some((place, view.region(photograph, place)?))) else {
        return;
    };
    let arrows = EventFilter { horizontal_arrows: true, vertical_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, arrows));
    let (step, pressed, delete) = ui.input(|input| {
        let step = if input.modifiers.shift { 10.0 } else { 1.0 };
        let pressed = |key| input.num_presses(key) as f32;
        let across = pressed(Key::ArrowRight) - pressed(Key::ArrowLeft);
        let down = pressed(Key::ArrowDown) - pressed(Key::ArrowUp);
        (step, vec2(across, down), input.key_pressed(Key::Delete))
    });
    if pressed != Vec2::ZERO {
        let to = marks::moved(photograph, region, Grip::Inside, pressed * step);
        actions.push(view.put(photograph, place, to));
    }
    match place {
        Place::Yarn(id) if delete => {
            actions.push(photo(PhotoAction::DropYarn(id)));
            view.chosen = None;
        }
        Place::Reference(number) if delete => actions.push(light::without(photograph, view, number)),
        Place::Yarn(_) | Place::Reference(_) => {}
    }
}

fn paint(ui: &Ui, sheet: &Sheet, corrected: bool, photograph: &Photograph, view: &mut PhotographView) {
    let painter = ui.painter().with_clip_rect(sheet.pane().intersect(ui.clip_rect()));
    let PictureView { as_taken, corrected: held, .. } = &mut view.picture;
    let taken = (photograph.number, &photograph.as_taken);
    let (preview, texture) = match &photograph.light {
        Some(light) if corrected => {
            let meanwhile = as_taken.as_ref().and_then(OnScreen::texture);
            (&light.preview, OnScreen::of(held, ui, (light.number, &light.preview), meanwhile))
        }
        _ => (taken.1, OnScreen::of(as_taken, ui, taken, None)),
    };
    // The preview leaves out a last row or column of less than one of its pixels.
    let shown = vec2(preview.width as f32, preview.height as f32) * preview.scale as f32;
    let place = Rect::from_two_pos(sheet.to_screen(Pos2::ZERO), sheet.to_screen(shown.to_pos2()));
    if let Some(texture) = texture {
        let whole = Rect::from_min_max(Pos2::ZERO, Pos2::new(1.0, 1.0));
        painter.image(texture, place, whole, Color32::WHITE);
    }
    marks::paint(&painter, sheet, photograph, view);
    if photograph.light.is_some() && view.shown == Shown::Both {
        marks::caption(&painter, sheet.pane(), if corrected { "Corrected" } else { "As taken" });
    }
}
