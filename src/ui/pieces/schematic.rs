//! The pieces to scale with the knitted charts on them: stitches as a picture, lines and words over it.

use std::sync::Arc;

use egui::{
    Align2, Color32, ColorImage, FontId, Pos2, Rect, Role, ScrollArea, Sense, Shape, Stroke, TextureHandle,
    TextureOptions, Ui, UiBuilder, Vec2, WidgetInfo,
};

use super::{PiecesView, words};
use crate::app::derived::Reading;
use crate::app::pieces_desk::PiecesWorked;
use crate::app::state::State;
use crate::export::knitted_picture::{KnittedPicture, Sheet, Standing};
use crate::knit::pieces::{BandOutline, Room};
use crate::ui::theme::{BODY, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{Follow, caption, truncated};
use crate::units::{self, LengthUnit};

/// Room around a piece for its words, in points.
const ROOM: Room = Room { above: 24.0, below: 52.0, beside: 112.0, narrowest: 72.0 };
/// Height of the note under the pieces.
const NOTE: f32 = 40.0;
/// Height of a band's two lines of words.
const WORDS: f32 = 28.0;

/// The picture as the graphics driver has it.
#[derive(Default)]
pub struct SchematicView {
    texture: Option<(Arc<KnittedPicture>, TextureHandle)>,
}

/// Shows the pieces; a click on a band chooses it.
pub fn show(ui: &mut Ui, state: &State, view: &mut PiecesView) {
    let area = Rect::from_min_size(
        ui.available_rect_before_wrap().min,
        (ui.available_size() - Vec2::new(STEP, NOTE)).max(Vec2::splat(80.0)).floor(),
    );
    let sheet = Sheet {
        width: f64::from(area.width()),
        height: f64::from(area.height()),
        pixels_per_point: f64::from(ui.pixels_per_point()),
        room: ROOM,
        band_words: f64::from(WORDS),
    };
    let reading = state.desks.pieces.picture(&state.document, &state.jobs, sheet);
    let worked = state.desks.pieces.worked(&state.document, &state.jobs).value();
    let is_fresh = matches!(reading, Reading::Fresh(_));
    let Some(picture) = reading.value() else {
        ui.allocate_rect(area, Sense::hover());
        return;
    };
    let texture = texture(ui, &mut view.schematic, &picture);
    ui.scope_builder(UiBuilder::new().max_rect(area), |ui| {
        ScrollArea::vertical().id_salt("schematic").auto_shrink([false, false]).follow(ui, |ui| {
            let size = Vec2::new(area.width(), (picture.height as f32).max(area.height()));
            let (sheet, _) = ui.allocate_exact_size(size, Sense::hover());
            let shown = if is_fresh { sheet } else { as_drawn(ui, &picture, sheet.min) };
            let unit = Rect::from_min_max(Pos2::ZERO, Pos2::new(1.0, 1.0));
            ui.painter().image(texture, shown, unit, Color32::WHITE);
            for standing in &picture.standing {
                let (per_cm, units) = (picture.per_cm as f32, state.project().units);
                let drawn = Drawn { standing, per_cm, corner: sheet.min, units };
                drawn.show(ui, view, worked.as_deref());
            }
        });
    });
    if picture.standing.is_empty() {
        ui.painter().text(
            area.center(),
            Align2::CENTER_CENTER,
            "No piece can be drawn yet",
            FontId::proportional(BODY),
            Tokens::of(ui).weak,
        );
    }
    note(ui, state, &picture);
}

/// A picture of an earlier sheet keeps its own size until the new one comes.
fn as_drawn(ui: &Ui, picture: &KnittedPicture, corner: Pos2) -> Rect {
    let size = Vec2::new(picture.size[0] as f32, picture.size[1] as f32);
    Rect::from_min_size(corner, size / ui.pixels_per_point())
}

fn note(ui: &mut Ui, state: &State, picture: &KnittedPicture) {
    let tube = picture.standing.iter().any(|standing| standing.outline.tube);
    let tubes = if tube { " A tube lies double and shows half of each round." } else { "" };
    let plan = &state.project().pieces;
    let missing = picture.standing.len() < plan.pieces.len();
    let missing = if missing { " Pieces that cannot be worked are left out." } else { "" };
    let scale = if plan.sizes.is_empty() {
        "To scale".to_owned()
    } else {
        format!("Size {}, to scale", plan.size().name)
    };
    caption(
        ui,
        format!("{scale}, without the give of ribbing.{tubes}{missing} Yarn for these pieces: see Shopping."),
    );
}

fn texture(ui: &Ui, view: &mut SchematicView, picture: &Arc<KnittedPicture>) -> egui::TextureId {
    match &mut view.texture {
        Some((shown, texture)) if Arc::ptr_eq(shown, picture) => texture.id(),
        slot => {
            let image = ColorImage::from_rgba_unmultiplied(picture.size, &picture.rgba);
            let texture = ui.ctx().load_texture("pieces", image, TextureOptions::LINEAR);
            let id = texture.id();
            *slot = Some((Arc::clone(picture), texture));
            id
        }
    }
}

/// A piece on its place.
struct Drawn<'a> {
    standing: &'a Standing,
    per_cm: f32,
    corner: Pos2,
    units: LengthUnit,
}

impl Drawn<'_> {
    fn at(&self, (x, y): (f64, f64)) -> Pos2 {
        let [foot_x, foot_y] = self.standing.foot;
        let place = Vec2::new(foot_x as f32, foot_y as f32);
        self.corner + place + Vec2::new(x as f32, -y as f32) * self.per_cm
    }

    /// The box of a band.
    fn rect(&self, band: &BandOutline) -> Rect {
        Rect::from_points(&band.corners().map(|corner| self.at(corner)))
    }

    fn show(&self, ui: &Ui, view: &mut PiecesView, worked: Option<&PiecesWorked>) {
        let tokens = Tokens::of(ui);
        let outline = &self.standing.outline;
        let chosen_piece = self.standing.place == view.piece;
        let bands = || outline.bands.iter().enumerate().filter(|(_, band)| band.rows.0 < band.rows.1);
        for (index, band) in bands() {
            if band.rows.0 > 0 {
                let ends = band.ends()[0].map(|end| self.at(end));
                ui.painter().line_segment(ends, Stroke::new(1.0, tokens.weak));
            }
            let id = ui.scope_id().with(("band of the schematic", self.standing.place, index));
            // By pointer only: the list of bands serves the keyboard.
            let response = ui.interact(self.rect(band), id, Sense::CLICK);
            let label = format!("{}, {} drawn", outline.name, band.name);
            response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &label));
            if response.hovered() {
                self.frame_band(ui, band, 1.5);
            }
            if response.clicked() {
                view.piece = self.standing.place;
                view.band = index;
            }
            let place = self.standing.place;
            response.on_hover_ui_at_pointer(|ui| self.tip(ui, band, (place, index), worked));
        }
        let corners = outline.corners().into_iter().map(|corner| self.at(corner)).collect();
        ui.painter().add(Shape::closed_line(corners, Stroke::new(1.5, tokens.text)));
        if let Some(band) = outline.bands.get(view.band).filter(|_| chosen_piece) {
            self.frame_band(ui, band, 2.5);
        }
        self.ends(ui, chosen_piece);
        self.beside(ui, chosen_piece.then_some(view.band));
    }

    /// Both sides and both ends of a band.
    fn frame_band(&self, ui: &Ui, band: &BandOutline, width: f32) {
        let corners = band.corners().map(|corner| self.at(corner));
        let tokens = Tokens::of(ui);
        // A rim of the ground's tone, so that the frame shows on knitting as light or dark as itself.
        for (width, ink) in [(width + 4.0, tokens.rail), (width, tokens.focus)] {
            ui.painter().add(Shape::closed_line(corners.to_vec(), Stroke::new(width, ink)));
        }
    }

    fn tip(
        &self,
        ui: &mut Ui,
        band: &BandOutline,
        (place, index): (usize, usize),
        worked: Option<&PiecesWorked>,
    ) {
        ui.label(&band.name);
        let piece = worked.and_then(|worked| worked.piece(place)?.as_ref().ok());
        let Some(counted) = piece.and_then(|piece| piece.bands.get(index)) else { return };
        let height = words::length(band.y_cm.1 - band.y_cm.0, self.units);
        let [one, many] = counted.construction.row_words();
        caption(
            ui,
            format!(
                "{}, {}, {height}",
                words::stitches(counted),
                units::counted(u64::from(counted.rows()), one, many)
            ),
        );
        if let Some(shaping) = words::shaping(counted) {
            caption(ui, shaping);
        }
    }

    /// The widths at both ends, and the name.
    fn ends(&self, ui: &Ui, chosen: bool) {
        let outline = &self.standing.outline;
        let tokens = Tokens::of(ui);
        let (around, word) = if outline.tube { (2.0, "around") } else { (1.0, "wide") };
        let small = FontId::proportional(SMALL);
        let paint = |at: Pos2, align, text: String, font: FontId, ink| {
            ui.painter().text(at, align, text, font, ink);
        };
        let (Some(first), Some(last)) = (outline.bands.first(), outline.bands.last()) else { return };
        let foot = self.at((0.0, 0.0)) + Vec2::new(0.0, 4.0);
        let start = format!("{} {word}", words::length(first.width_cm.0 * around, self.units));
        paint(foot, Align2::CENTER_TOP, start, small.clone(), tokens.text);
        let make = if outline.copies > 1 { format!(" × {}", outline.copies) } else { String::new() };
        let font = if chosen { FontId::new(BODY, semibold()) } else { FontId::proportional(BODY) };
        let name = format!("{}{make}", outline.name);
        paint(foot + Vec2::new(0.0, 17.0), Align2::CENTER_TOP, name, font, tokens.text);
        let top = self.at((0.0, outline.height_cm())) - Vec2::new(0.0, 4.0);
        let end = words::length(last.width_cm.1 * around, self.units);
        paint(top, Align2::CENTER_BOTTOM, end, small, tokens.text);
    }

    /// The bands by name and length, at the right, each as near to its own as the one below allows.
    fn beside(&self, ui: &Ui, chosen: Option<usize>) {
        let outline = &self.standing.outline;
        let tokens = Tokens::of(ui);
        // Beside a low piece they stand clear of the words under it.
        let mut lowest = self.at((0.0, 0.0)).y + WORDS / 2.0;
        for (index, band) in outline.bands.iter().enumerate().filter(|(_, band)| band.rows.0 < band.rows.1) {
            let middle = self.at((outline.width_cm() / 2.0, f64::midpoint(band.y_cm.0, band.y_cm.1)));
            let y = middle.y.min(lowest - WORDS);
            lowest = y;
            let edge = self.rect(band).right();
            let left = middle.x + STEP * 1.25;
            let stroke = Stroke::new(1.0, tokens.line);
            ui.painter().line_segment([Pos2::new(edge + 2.0, middle.y), Pos2::new(left - 3.0, y)], stroke);
            let width = ROOM.beside as f32 - STEP * 2.0;
            let is_chosen = chosen == Some(index);
            let family = if is_chosen { semibold() } else { egui::FontFamily::Proportional };
            let ink = if is_chosen { tokens.text } else { tokens.weak };
            let name = truncated(ui, band.name.as_str(), FontId::new(SMALL, family), ink, width);
            ui.painter().galley(Pos2::new(left, y - WORDS / 2.0), name, ink);
            let length = words::length(band.y_cm.1 - band.y_cm.0, self.units);
            let length = truncated(ui, length, FontId::proportional(SMALL), ink, width);
            ui.painter().galley(Pos2::new(left, y - 1.0), length, ink);
        }
    }
}
