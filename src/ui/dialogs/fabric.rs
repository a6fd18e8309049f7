//! The knit fabric as a picture: how it is shown, and a look at it.

use std::sync::Arc;

use egui::{
    Color32, ColorImage, Id, Rect, Role, Sense, TextureHandle, TextureOptions, Ui, Vec2, WidgetInfo, pos2,
    vec2,
};

use super::FIELD;
use super::export::size;
use crate::app::derived::Reading;
use crate::app::exports::ExportOptions;
use crate::app::fabric_desk::FabricLook;
use crate::app::state::State;
use crate::export::fabric_picture::{Distance, PX, Shown};
use crate::project::Project;
use crate::ui::theme::{CORNER, STEP, Tokens};
use crate::ui::widgets::{caption, count_field, one_of_in, row, row_if, tick_box};

/// Width of the fields, and height of all above and below them.
const FIELDS: f32 = 2.0 * (FIELD + STEP * 2.0);
const BESIDES: f32 = 150.0;

/// How much is seen of a look that is out of date.
const PALE: u8 = 90;

/// A look that lies on the graphics card.
#[derive(Clone)]
struct Painted(Arc<Result<FabricLook, String>>, TextureHandle);

/// Asks and shows.
pub fn show(ui: &mut Ui, state: &State, options: &mut ExportOptions, room: Vec2) {
    let asked = (options.fabric, options.size.filter(|_| options.fabric.shown == Shown::Garment));
    let reading = state.desks.fabric.look(&state.document, &state.jobs, asked);
    let is_fresh = matches!(reading, Reading::Fresh(_));
    let look = reading.value();
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = STEP * 2.0;
        let look_at = vec2(ui.available_width() - FIELDS - STEP * 2.0, (room.y - BESIDES).max(360.0));
        let (rect, response) = ui.allocate_exact_size(look_at, Sense::hover());
        let seen = look.as_deref().and_then(|look| look.as_ref().ok());
        let name = match (seen, is_fresh) {
            (Some(look), true) => format!("The fabric, {} stitches", look.stitches),
            (_, false) => "The fabric is being knitted".to_owned(),
            (None, true) => "The fabric cannot be shown".to_owned(),
        };
        response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &name));
        ui.painter().rect_filled(rect, CORNER, Tokens::of(ui).surround);
        match look.as_ref() {
            Some(look) if look.is_ok() => paint(ui, look, rect, is_fresh),
            Some(look) => {
                let reason = look.as_ref().as_ref().err().map_or("", String::as_str);
                ui.put(rect.shrink(STEP * 2.0), egui::Label::new(reason).wrap());
            }
            None => {}
        }
        ui.vertical(|ui| {
            fields(ui, state.project(), options);
            caption(ui, format!("{name}."));
        });
    });
}

/// As large as it fits, but never larger than it is; pale while it is not yet what was asked for.
fn paint(ui: &Ui, look: &Arc<Result<FabricLook, String>>, rect: Rect, is_fresh: bool) {
    let Ok(seen) = look.as_ref() else { return };
    let id = Id::unique("knitted picture");
    let kept = ui.data(|data| data.get_temp::<Painted>(id)).filter(|kept| Arc::ptr_eq(&kept.0, look));
    let Painted(_, texture) = kept.unwrap_or_else(|| {
        let image = ColorImage::from_rgb(seen.size.map(|side| side as usize), &seen.rgb);
        let texture = ui.ctx().load_texture("knitted picture", image, TextureOptions::LINEAR);
        let painted = Painted(Arc::clone(look), texture);
        ui.data_mut(|data| data.insert_temp(id, painted.clone()));
        painted
    });
    let own = texture.size_vec2() / ui.pixels_per_point();
    let room = rect.shrink(STEP).size() / own;
    let place = Rect::from_center_size(rect.center(), own * room.min_elem().min(1.0));
    let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
    let tint = if is_fresh { Color32::WHITE } else { Color32::from_white_alpha(PALE) };
    ui.painter().image(texture.id(), place, whole, tint);
}

fn fields(ui: &mut Ui, project: &Project, options: &mut ExportOptions) {
    let own = &mut options.fabric;
    row(ui, "Show", |ui| {
        one_of_in(ui, FIELD, "What is shown", Shown::ALL.map(|shown| (shown, shown.name())), &mut own.shown);
    });
    row(ui, "Look at it", |ui| {
        let choices = Distance::ALL.map(|distance| (distance, distance.name()));
        one_of_in(ui, FIELD, "From where", choices, &mut own.distance);
    });
    row_if(ui, own.distance == Distance::Arm, "Size of a stitch", |ui| {
        if let Some(px) = count_field(ui, "Size of a knit stitch", " px wide", PX, own.px_per_stitch) {
            own.px_per_stitch = px;
        }
    });
    tick_box(ui, &mut own.grey, "In greys, by lightness alone");
    let garment = own.shown == Shown::Garment;
    ui.add_enabled_ui(garment, |ui| size(ui, project, &mut options.size));
    ui.add_space(STEP / 2.0);
    caption(
        ui,
        "The yarn is lit from the upper left and a little uneven, as a hand knits; light, plies and unevenness are drawn, \
         not measured. Across the room a pixel is what an eye tells apart at 4 m, averaged in linear light. The file notes its \
         size in life.",
    );
}
