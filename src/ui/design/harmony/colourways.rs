//! The chart in other colours, side by side.

use egui::{
    Rect, Role, Sense, Stroke, StrokeKind, TextEdit, TextureHandle, TextureOptions, Ui, Vec2, WidgetInfo,
    pos2,
};

use crate::app::Action;
use crate::app::state::State;
use crate::app::view::Eyes;
use crate::colour::Colour;
use crate::project::{Colourway, Edit, Project};
use crate::ui::canvas;
use crate::ui::theme::{STEP, Tokens};
use crate::ui::widgets::{Icon, caption, focus_ring, heading, name, sized_icon_button};

/// Stitches stay squares when enlarged and are averaged when there are too many.
const SHARP: TextureOptions =
    TextureOptions { magnification: egui::TextureFilter::Nearest, ..TextureOptions::LINEAR };
const PICTURE: Vec2 = Vec2::new(124.0, 96.0);

/// Pictures of the colourways, drawn anew when the project has changed.
#[derive(Default)]
pub struct Pictures {
    of: Option<(u64, Eyes)>,
    textures: Vec<TextureHandle>,
}

impl Pictures {
    fn refresh(&mut self, ui: &Ui, state: &State) {
        let key = Some((state.document.revision(), state.view.eyes));
        // Not while something is dragged: the pictures follow when it is let go.
        if self.of == key || (self.of.is_some() && ui.input(|input| input.pointer.any_down())) {
            return;
        }
        self.of = key;
        let project = state.project();
        self.textures.clear();
        for way in &project.colourways {
            let image = canvas::thumbnail(project, &way.colours, state.view.eyes, PICTURE.x as u32);
            self.textures.push(ui.ctx().load_texture("colourway", image, SHARP));
        }
    }
}

/// Shows the colourways; a click takes one up.
pub fn show(ui: &mut Ui, state: &State, pictures: &mut Pictures, actions: &mut Vec<Action>) {
    let project = state.project();
    ui.horizontal(|ui| {
        heading(ui, "Colourways");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let tip = "Keeps the colours as they are now, to compare and to come back to";
            if ui.button("Keep these").on_hover_text(tip).clicked() {
                let colours = colours(project);
                let way = Colourway { name: format!("Colourway {}", project.colourways.len() + 1), colours };
                actions.push(edit(project, "Keep colourway", false, |ways| ways.push(way)));
            }
        });
    });
    if project.colourways.is_empty() {
        caption(ui, "Keep the colours you like so far, try others, and compare them here on your own chart.");
        return;
    }
    pictures.refresh(ui, state);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = Vec2::splat(STEP);
        for (index, way) in project.colourways.iter().enumerate() {
            entry(ui, state, index, way, pictures.textures.get(index), actions);
        }
    });
}

fn colours(project: &Project) -> Vec<Colour> {
    project.palette.slots().iter().map(|slot| slot.colour).collect()
}

fn entry(
    ui: &mut Ui,
    state: &State,
    index: usize,
    way: &Colourway,
    texture: Option<&TextureHandle>,
    actions: &mut Vec<Action>,
) {
    let project = state.project();
    ui.allocate_ui(PICTURE + Vec2::new(0.0, 34.0), |ui| {
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 4.0;
            let (rect, response) = ui.allocate_exact_size(PICTURE, Sense::click());
            let worn = way.colours == colours(project);
            let label = format!("Take up {}", way.name);
            response.widget_info(|| WidgetInfo::selected(Role::Button, true, worn, &label));
            paint(ui, project, rect, texture, worn || response.hovered());
            if response.has_focus() {
                focus_ring(ui, rect);
            }
            if response.on_hover_text("Take up these colours; undo brings back the present ones").clicked()
                && !worn
            {
                actions.push(take_up(project, way));
            }
            ui.horizontal(|ui| name_row(ui, project, index, way, actions));
        });
    });
}

/// The chart's picture at its true aspect, in the middle of `rect`.
fn paint(ui: &Ui, project: &Project, rect: Rect, texture: Option<&TextureHandle>, ringed: bool) {
    let tokens = Tokens::of(ui);
    ui.painter().rect_filled(rect, 4, tokens.surround);
    if let Some(texture) = texture {
        let [width, height] = texture.size();
        let tall = height as f32 / project.plan.gauge.cell_aspect() as f32;
        let scale = ((rect.width() - 8.0) / width as f32).min((rect.height() - 8.0) / tall);
        let picture = Rect::from_center_size(rect.center(), Vec2::new(width as f32, tall) * scale);
        let whole = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        ui.painter().image(texture.id(), picture, whole, egui::Color32::WHITE);
    }
    if ringed {
        ui.painter().rect_stroke(rect, 4, Stroke::new(2.0, tokens.focus), StrokeKind::Inside);
    }
}

fn name_row(ui: &mut Ui, project: &Project, index: usize, way: &Colourway, actions: &mut Vec<Action>) {
    let mut text = way.name.clone();
    let field = ui.add(TextEdit::singleline(&mut text).desired_width(PICTURE.x - 38.0).char_limit(60));
    name(&field, &format!("Name of colourway {}", index + 1));
    if field.changed() {
        actions.push(edit(project, "Name colourway", true, |ways| ways[index].name = text));
    }
    if field.lost_focus() {
        actions.push(Action::EndGesture);
    }
    let label = format!("Drop {}", way.name);
    if sized_icon_button(ui, Icon::Close, &label, "Drop this colourway", false, Vec2::splat(24.0)).clicked() {
        actions.push(edit(project, "Drop colourway", false, |ways| {
            ways.remove(index);
        }));
    }
}

fn take_up(project: &Project, way: &Colourway) -> Action {
    let mut palette = project.palette.clone();
    // The scheme would pull the colours about again at the next drag.
    palette.scheme = None;
    for (slot, colour) in palette.slots_mut().iter_mut().zip(&way.colours) {
        slot.colour = *colour;
    }
    Action::edit("Take up colourway", Edit::Palette(Box::new(palette)))
}

fn edit(
    project: &Project,
    label: &'static str,
    in_gesture: bool,
    change: impl FnOnce(&mut Vec<Colourway>),
) -> Action {
    let mut ways = project.colourways.clone();
    change(&mut ways);
    Action::Edit { label, edit: Edit::Colourways(ways), in_gesture }
}
